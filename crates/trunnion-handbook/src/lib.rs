//! The engineering behind the checks: quantities with units, published tables, and functions that
//! each name their source. It knows nothing of the language.

pub mod quantity;

pub use quantity::{Dimension, Quantity, QuantityError, Unit, unit, units};
