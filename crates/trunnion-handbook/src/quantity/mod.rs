//! Numbers with a unit and a worst-case range.

mod arithmetic;
mod compare;
mod currency;
mod dimension;
mod error;
mod rates;
mod show;
mod unit;
mod unit_list;
mod value;

pub use compare::{Order, Truth};
pub use dimension::Dimension;
pub use error::QuantityError;
pub use rates::Rates;
pub use unit::{Scale, Unit, unit, units};
pub use value::Quantity;

#[cfg(test)]
mod published;
