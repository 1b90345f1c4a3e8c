//! The engineering behind the checks: quantities with units, published tables, and functions that
//! each name their source. It knows nothing of the language.

pub mod bundle;
pub mod bus;
pub mod colour;
pub mod data;
pub mod fit;
pub mod functions;
pub mod fuse;
pub mod quantity;
pub mod reference;
pub mod registry;
pub mod stack;
pub mod thread;
pub mod tyre;

pub use functions::FUNCTIONS;
pub use quantity::{Dimension, Order, Quantity, QuantityError, Rates, Truth, Unit, unit, units};
pub use reference::{reference_markdown, reference_pages};
pub use registry::{
    Argument, Eval, Evaluation, Function, HandbookError, Limits, OutOfTable, Outcome, Parameter, Source,
    Standing, function,
};
