//! What can go wrong with a quantity, as plain data with its wording in one place.

use std::fmt;

/// Why a quantity could not be made or computed.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum QuantityError {
    /// No unit is spelt so. `near` is a known spelling that differs only in upper and lower case.
    UnknownUnit {
        /// As written.
        symbol: Box<str>,
        /// A known spelling close to it.
        near: Option<&'static str>,
    },
    /// A number that is infinite or not a number, stated or computed.
    NotFinite,
    /// A range whose lower end is above its upper end.
    Backwards,
    /// A tolerance below zero.
    NegativeTolerance,
    /// A figure that the unit has no meaning for (a wire gauge that does not exist, less than no
    /// heat at all, zero miles per gallon).
    NoSuchValue {
        /// The unit's symbol.
        unit: &'static str,
        /// What the unit allows.
        allowed: &'static str,
    },
    /// Two quantities of different dimension.
    Mismatch {
        /// What was tried, as "adding" or "comparing".
        doing: &'static str,
        /// The word between the two, as "to" or "with".
        between: &'static str,
        /// The left side: its unit and dimension in words.
        left: Box<str>,
        /// The right side.
        right: Box<str>,
    },
    /// Two moneys; no rate of exchange is ever assumed.
    Currencies {
        /// The left side's code.
        left: [u8; 3],
        /// The right side's code.
        right: [u8; 3],
    },
    /// Where a money is wanted and none came.
    NoMoney,
    /// No stated rate of exchange leads from one money to another.
    NoRate {
        /// The money there is.
        from: [u8; 3],
        /// The money wanted.
        to: [u8; 3],
    },
    /// A rate of exchange between two moneys that was stated before, or between a money and itself.
    RateTwice {
        /// The one money.
        left: [u8; 3],
        /// The other.
        right: [u8; 3],
    },
    /// Division by zero, or by a range that has zero inside.
    DivisionByZero,
    /// Adding two temperatures on a scale, or multiplying one.
    TemperaturePoint {
        /// What was tried.
        doing: &'static str,
    },
    /// A root of a negative quantity or of a dimension that has none, or a power too high.
    NoPower,
}

fn code(it: &[u8; 3]) -> String {
    String::from_utf8_lossy(it).into_owned()
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownUnit { symbol, near: None } => write!(f, "no unit is spelt `{symbol}`"),
            Self::UnknownUnit { symbol, near: Some(near) } => {
                write!(f, "no unit is spelt `{symbol}`; `{near}` is one")
            }
            Self::NotFinite => f.write_str("the figure is too large, or not a number"),
            Self::Backwards => f.write_str("the range runs backwards; write the smaller end first"),
            Self::NegativeTolerance => f.write_str("a tolerance cannot be below zero"),
            Self::NoSuchValue { unit, allowed } => write!(f, "{unit} goes {allowed}"),
            Self::Mismatch { doing, between, left, right } => {
                write!(f, "{doing} {left} {between} {right}")
            }
            Self::Currencies { left, right } => write!(
                f,
                "{} and {} are different moneys, and no rate of exchange is assumed",
                code(left),
                code(right)
            ),
            Self::NoMoney => f.write_str("that is no money"),
            Self::NoRate { from, to } => {
                write!(f, "no rate of exchange leads from {} to {}", code(from), code(to))
            }
            Self::RateTwice { left, right } => {
                write!(f, "what {} is worth in {} is stated twice", code(left), code(right))
            }
            Self::DivisionByZero => f.write_str("division by zero, or by a range with zero in it"),
            Self::TemperaturePoint { doing } => {
                write!(f, "{doing} a temperature on a scale has no meaning; a difference is written in K")
            }
            Self::NoPower => f.write_str("the power or root has no meaning for this quantity"),
        }
    }
}

impl std::error::Error for QuantityError {}
