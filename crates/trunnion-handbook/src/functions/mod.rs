//! The handbook's functions: one file each, and one line in the list below.

/// Declares each module and lists its `FUNCTION`.
macro_rules! handbook {
    ($($name:ident,)*) => {
        $(pub mod $name;)*

        /// Every function, in the order of the reference.
        pub static FUNCTIONS: &[&crate::registry::Function] = &[$(&$name::FUNCTION,)*];
    };
}

handbook! {
    overall_ratio,
    road_speed,
}
