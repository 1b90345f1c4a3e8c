//! Comparing ranges: yes, no, or it may be either.

use super::{Quantity, QuantityError};

/// How two ranges lie.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Order {
    /// All of the first lies below all of the second.
    Less,
    /// Both are exact and equal, but for rounding in the twelfth digit.
    Equal,
    /// All of the first lies above all of the second.
    Greater,
    /// The ranges share values: it may be either.
    Overlap,
}

/// The answer to a question about ranges.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Truth {
    /// True for every value.
    Yes,
    /// False for every value.
    No,
    /// True for some values and false for others.
    Maybe,
}

/// Below this share of the larger figure two figures count as equal, so that 1 in is 25.4 mm.
const SAME: f64 = 1e-12;

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= SAME * one.abs().max(other.abs())
}

fn at_most(one: f64, other: f64) -> bool {
    one <= other || near(one, other)
}

impl Quantity {
    /// How this range lies to another.
    ///
    /// # Errors
    /// They measure different things or are different moneys.
    pub fn compare(&self, other: &Self) -> Result<Order, QuantityError> {
        self.agree(other, "comparing", "with")?;
        let exact = self.is_exact() && other.is_exact();
        Ok(if exact && near(self.nominal(), other.nominal()) {
            Order::Equal
        } else if self.hi() < other.lo() && !near(self.hi(), other.lo()) {
            Order::Less
        } else if self.lo() > other.hi() && !near(self.lo(), other.hi()) {
            Order::Greater
        } else {
            Order::Overlap
        })
    }

    /// Whether this is at most the other, for every value of both.
    ///
    /// # Errors
    /// As [`Quantity::compare`].
    pub fn at_most(&self, other: &Self) -> Result<Truth, QuantityError> {
        self.agree(other, "comparing", "with")?;
        Ok(if at_most(self.hi(), other.lo()) {
            Truth::Yes
        } else if at_most(self.lo(), other.hi()) {
            Truth::Maybe
        } else {
            Truth::No
        })
    }

    /// Whether this is at least the other, for every value of both.
    ///
    /// # Errors
    /// As [`Quantity::compare`].
    pub fn at_least(&self, other: &Self) -> Result<Truth, QuantityError> {
        self.agree(other, "comparing", "with")?;
        other.at_most(self)
    }

    /// Whether the two ranges share a value.
    ///
    /// # Errors
    /// As [`Quantity::compare`].
    pub fn overlaps(&self, other: &Self) -> Result<bool, QuantityError> {
        Ok(matches!(self.compare(other)?, Order::Equal | Order::Overlap))
    }

    /// Whether this lies within a tolerance of what is needed, as "3.69 within 2 %": the
    /// tolerance is a share (% or ‰) of the needed figure, or a quantity of its kind. A needed
    /// range is widened by the tolerance at both ends. `Maybe` when this range straddles an end.
    ///
    /// # Errors
    /// As [`Quantity::compare`], and a tolerance of another kind or below zero.
    pub fn within(&self, needed: &Self, tolerance: &Self) -> Result<Truth, QuantityError> {
        self.agree(needed, "comparing", "with")?;
        let window = needed.plus_minus(tolerance)?;
        self.inside(&window)
    }

    /// Whether all of this range lies inside another.
    ///
    /// # Errors
    /// As [`Quantity::compare`].
    pub fn inside(&self, window: &Self) -> Result<Truth, QuantityError> {
        self.agree(window, "comparing", "with")?;
        let inside = at_most(window.lo(), self.lo()) && at_most(self.hi(), window.hi());
        let outside = !at_most(self.lo(), window.hi()) || !at_most(window.lo(), self.hi());
        Ok(match (inside, outside) {
            (true, _) => Truth::Yes,
            (false, true) => Truth::No,
            (false, false) => Truth::Maybe,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(figure: f64, unit: &str) -> Quantity {
        Quantity::exact(figure, unit).unwrap()
    }

    #[test]
    fn the_same_length_in_two_units_is_equal() {
        assert_eq!(q(1.0, "in").compare(&q(25.4, "mm")), Ok(Order::Equal));
        assert_eq!(q(1.0, "in").compare(&q(25.41, "mm")), Ok(Order::Less));
        assert_eq!(q(1.0, "lbf ft").at_least(&q(1.3, "Nm")), Ok(Truth::Yes));
    }

    #[test]
    fn ranges_that_touch_overlap() {
        let low = Quantity::range(1.0, 2.0, "mm").unwrap();
        let high = Quantity::range(2.0, 3.0, "mm").unwrap();
        assert_eq!(low.compare(&high), Ok(Order::Overlap));
        assert_eq!(low.at_most(&high), Ok(Truth::Yes));
        assert_eq!(high.at_most(&low), Ok(Truth::Maybe));
        assert_eq!(q(4.0, "mm").at_most(&low), Ok(Truth::No));
        assert_eq!(low.overlaps(&high), Ok(true));
        assert_eq!(low.overlaps(&q(4.0, "mm")), Ok(false));
    }

    #[test]
    fn within_a_share_of_what_is_needed() {
        let (needed, two) = (q(3.69, ""), q(2.0, "%"));
        assert_eq!(q(3.74, "").within(&needed, &two), Ok(Truth::Yes));
        assert_eq!(q(4.28, "").within(&needed, &two), Ok(Truth::No));
        let unsure = Quantity::range(3.70, 3.80, "").unwrap();
        assert_eq!(unsure.within(&needed, &two), Ok(Truth::Maybe));
        // The very edge is within.
        assert_eq!(q(3.7638, "").within(&needed, &two), Ok(Truth::Yes));
    }

    #[test]
    fn different_things_do_not_compare() {
        let error = q(2.0, "mm").at_least(&q(12.0, "V")).unwrap_err();
        assert_eq!(error.to_string(), "comparing mm (length) with V (voltage)");
        assert!(q(2.0, "EUR").compare(&q(2.0, "USD")).is_err());
        assert!(q(20.0, "K").compare(&q(20.0, "°C")).is_err());
    }
}
