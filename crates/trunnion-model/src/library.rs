//! The files shipped inside the program: kinds, measures, schemes, patterns.
//!
//! They are written in the language itself. Adding a kind is adding a text
//! file to `kinds/` and its name here.

macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        &[$((concat!("library:", $name, ".trunnion"), include_str!(concat!("../kinds/", $name, ".trunnion")))),*]
    };
}

/// Path and text of each shipped file.
pub const FILES: &[(&str, &str)] = shipped![
    "body",
    "brakes",
    "cabin",
    "camper",
    "clutch",
    "controllers",
    "cooling",
    "driveline",
    "electrics",
    "engine",
    "fuel",
    "gearboxes",
    "high_voltage",
    "measures",
    "media",
    "patterns",
    "schemes",
    "steering",
];

/// Whether a path is that of a shipped file.
pub fn is_library(path: &str) -> bool {
    path.starts_with("library:")
}
