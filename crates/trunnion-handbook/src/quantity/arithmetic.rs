//! Sums, products and quotients by worst case.
//!
//! Each operand is taken as independent: `x - x` of a range is not zero but the full width. That
//! errs to the wide side, never to the narrow. Ends are not rounded outwards; the error is in the
//! fifteenth digit, far below any figure a specification states.

use super::value::Form;
use super::{Dimension, Quantity, QuantityError, Unit};

type Made = Result<Quantity, QuantityError>;

impl Quantity {
    /// The quantity as an error names it: its unit and dimension, or the dimension alone.
    pub(super) fn words(&self) -> Box<str> {
        match self.unit() {
            Some(unit) => unit.words(),
            None => self.dimension().to_string().into(),
        }
    }

    pub(super) fn mismatch(
        &self,
        doing: &'static str,
        between: &'static str,
        right: Box<str>,
    ) -> QuantityError {
        QuantityError::Mismatch { doing, between, left: self.words(), right }
    }

    /// That both measure the same thing, the angle of a computed side waived where SI allows.
    pub(super) fn agree(
        &self,
        other: &Self,
        doing: &'static str,
        between: &'static str,
    ) -> Result<(), QuantityError> {
        let computed = self.unit().is_none() || other.unit().is_none();
        let (mine, theirs) = (self.dimension(), other.dimension());
        if mine != theirs && !(computed && mine.stands_for(theirs)) {
            return Err(self.mismatch(doing, between, other.words()));
        }
        match (self.currency(), other.currency()) {
            (Some(left), Some(right)) if left != right => Err(QuantityError::Currencies { left, right }),
            _ => Ok(()),
        }
    }

    /// The unit and dimension that a sum or pick of two agreeing quantities has.
    fn shared(&self, other: &Self) -> (Dimension, Option<&'static Unit>) {
        match (self.unit(), other.unit()) {
            (None, Some(unit)) => (other.dimension(), Some(unit)),
            (unit, _) => (self.dimension(), unit),
        }
    }

    fn sum(&self, other: &Self, ends: [f64; 3]) -> Made {
        let (dimension, unit) = self.shared(other);
        Self::build(ends, dimension, self.currency(), unit, Form::Computed)
    }

    /// The sum. A temperature and a difference give a temperature.
    ///
    /// # Errors
    /// Different dimensions or moneys, two temperatures on a scale, a sum out of reach.
    pub fn add(&self, other: &Self) -> Made {
        let ends = [self.lo() + other.lo(), self.nominal() + other.nominal(), self.hi() + other.hi()];
        match (self.dimension().point, other.dimension().point) {
            (true, true) => Err(QuantityError::TemperaturePoint { doing: "adding a temperature to" }),
            (true, false) if other.dimension() == Dimension::TEMPERATURE_DIFFERENCE => {
                Self::build(ends, Dimension::TEMPERATURE, None, self.unit(), Form::Computed)
            }
            (false, true) if self.dimension() == Dimension::TEMPERATURE_DIFFERENCE => {
                Self::build(ends, Dimension::TEMPERATURE, None, other.unit(), Form::Computed)
            }
            _ => {
                other.agree(self, "adding", "to")?;
                self.sum(other, ends)
            }
        }
    }

    /// The difference. Two temperatures give a difference in K.
    ///
    /// # Errors
    /// Different dimensions or moneys, a temperature taken from a difference.
    pub fn sub(&self, other: &Self) -> Made {
        let ends = [self.lo() - other.hi(), self.nominal() - other.nominal(), self.hi() - other.lo()];
        match (self.dimension().point, other.dimension().point) {
            (true, true) => {
                let kelvin = super::unit("K");
                let dimension = Dimension::TEMPERATURE_DIFFERENCE;
                Self::build(ends, dimension, None, kelvin, Form::Computed)
            }
            (true, false) if other.dimension() == Dimension::TEMPERATURE_DIFFERENCE => {
                Self::build(ends, Dimension::TEMPERATURE, None, self.unit(), Form::Computed)
            }
            _ => {
                other.agree(self, "taking", "from")?;
                self.sum(other, ends)
            }
        }
    }

    fn no_point(&self, other: &Self, doing: &'static str) -> Result<(), QuantityError> {
        match self.dimension().point || other.dimension().point {
            true => Err(QuantityError::TemperaturePoint { doing }),
            false => Ok(()),
        }
    }

    /// The unit of a product where one side is a mere number, so that 2 × 5 mm is 10 mm and
    /// 3 × 48 teeth are teeth.
    fn scaled(&self, other: &Self) -> Option<&'static Unit> {
        let bare = |it: &Self| it.dimension().is_plain();
        match (bare(self), bare(other)) {
            (true, false) => other.unit(),
            (false, true) => self.unit(),
            _ => None,
        }
    }

    /// The product.
    ///
    /// # Errors
    /// A temperature on a scale, two different moneys, a product out of reach.
    pub fn mul(&self, other: &Self) -> Made {
        self.no_point(other, "multiplying")?;
        let (dimension, currency) = self.product(other, Dimension::times)?;
        let corners = corners(self, other, |a, b| a * b);
        let nominal = self.nominal() * other.nominal();
        let ends = [corners.0, nominal, corners.1];
        Self::build(ends, dimension, currency, self.scaled(other), Form::Computed)
    }

    /// The quotient.
    ///
    /// # Errors
    /// A divisor that is or may be zero, a temperature on a scale, two different moneys.
    pub fn div(&self, other: &Self) -> Made {
        self.no_point(other, "dividing")?;
        if other.lo() <= 0.0 && other.hi() >= 0.0 {
            return Err(QuantityError::DivisionByZero);
        }
        let (dimension, currency) = self.product(other, Dimension::over)?;
        let corners = corners(self, other, |a, b| a / b);
        let nominal = self.nominal() / other.nominal();
        let unit =
            if other.dimension().is_plain() && !self.dimension().is_plain() { self.unit() } else { None };
        Self::build([corners.0, nominal, corners.1], dimension, currency, unit, Form::Computed)
    }

    fn product(
        &self,
        other: &Self,
        combine: fn(Dimension, Dimension) -> Option<Dimension>,
    ) -> Result<(Dimension, Option<[u8; 3]>), QuantityError> {
        let dimension = combine(self.dimension(), other.dimension()).ok_or(QuantityError::NoPower)?;
        let currency = match (self.currency(), other.currency()) {
            (Some(left), Some(right)) if left != right => {
                return Err(QuantityError::Currencies { left, right });
            }
            (mine, theirs) => mine.or(theirs).filter(|_| dimension.money != 0),
        };
        Ok((dimension, currency))
    }

    /// The same below zero.
    ///
    /// # Errors
    /// A temperature on a scale (its degrees cannot be turned round).
    pub fn neg(&self) -> Made {
        self.no_point(self, "negating")?;
        let ends = [-self.hi(), -self.nominal(), -self.lo()];
        Self::build(ends, self.dimension(), self.currency(), self.unit(), self.form)
    }

    /// The size without sign.
    ///
    /// # Errors
    /// As [`Quantity::neg`], for a quantity below zero.
    pub fn abs(&self) -> Made {
        if self.lo() >= 0.0 {
            return Ok(*self);
        }
        self.no_point(self, "taking the size of")?;
        let (low, high) = (self.lo().abs(), self.hi().abs());
        let least = if self.hi() >= 0.0 { 0.0 } else { low.min(high) };
        let ends = [least, self.nominal().abs(), low.max(high)];
        Self::build(ends, self.dimension(), self.currency(), self.unit(), Form::Computed)
    }

    /// A whole power, 1 or higher. The power of a range that reaches below zero is exact (an even
    /// power is never below zero), unlike the product of the range with itself.
    ///
    /// # Errors
    /// An exponent below 1, a temperature on a scale, a result out of reach.
    pub fn power(&self, exponent: i8) -> Made {
        self.no_point(self, "raising")?;
        let dimension = self.dimension().power(exponent).filter(|_| exponent >= 1);
        let dimension = dimension.ok_or(QuantityError::NoPower)?;
        let raised = [self.lo(), self.nominal(), self.hi()].map(|it| it.powi(exponent.into()));
        let spans_zero = self.lo() < 0.0 && self.hi() > 0.0;
        let least = raised[0].min(raised[2]);
        let least = if spans_zero && exponent % 2 == 0 { 0.0 } else { least };
        let ends = [least, raised[1], raised[0].max(raised[2])];
        let unit = self.unit().filter(|_| exponent == 1);
        Self::build(ends, dimension, self.currency(), unit, Form::Computed)
    }

    /// The square root.
    ///
    /// # Errors
    /// A quantity that may be below zero, or whose dimension has no root.
    pub fn root(&self) -> Made {
        let dimension = self.dimension().root().filter(|_| self.lo() >= 0.0);
        let dimension = dimension.filter(|_| !self.dimension().point);
        let dimension = dimension.ok_or(QuantityError::NoPower)?;
        let ends = [self.lo(), self.nominal(), self.hi()].map(f64::sqrt);
        Self::build(ends, dimension, self.currency(), None, Form::Computed)
    }

    /// The smaller of two, end by end.
    ///
    /// # Errors
    /// Different dimensions or moneys.
    pub fn smaller(&self, other: &Self) -> Made {
        self.agree(other, "comparing", "with")?;
        let ends =
            [self.lo().min(other.lo()), self.nominal().min(other.nominal()), self.hi().min(other.hi())];
        self.sum(other, ends)
    }

    /// The larger of two, end by end.
    ///
    /// # Errors
    /// Different dimensions or moneys.
    pub fn larger(&self, other: &Self) -> Made {
        self.agree(other, "comparing", "with")?;
        let ends =
            [self.lo().max(other.lo()), self.nominal().max(other.nominal()), self.hi().max(other.hi())];
        self.sum(other, ends)
    }
}

/// The least and most of an operation that is monotone in each operand.
fn corners(one: &Quantity, other: &Quantity, of: fn(f64, f64) -> f64) -> (f64, f64) {
    let ends = [
        of(one.lo(), other.lo()),
        of(one.lo(), other.hi()),
        of(one.hi(), other.lo()),
        of(one.hi(), other.hi()),
    ];
    // `f64::min` would drop a NaN; a sum keeps it, so that `build` refuses it.
    let poison = ends.iter().sum::<f64>() * 0.0;
    let least = ends.into_iter().fold(f64::INFINITY, f64::min);
    let most = ends.into_iter().fold(f64::NEG_INFINITY, f64::max);
    (least + poison, most + poison)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn q(figure: f64, unit: &str) -> Quantity {
        Quantity::exact(figure, unit).unwrap()
    }

    #[test]
    fn a_mismatch_names_both_sides() {
        let error = q(2.0, "mm").add(&q(12.0, "V")).unwrap_err();
        assert_eq!(error.to_string(), "adding V (voltage) to mm (length)");
        let error = q(5.0, "Nm").add(&q(5.0, "J")).unwrap_err();
        assert_eq!(error.to_string(), "adding J (energy) to Nm (torque)");
        assert!(q(50.0, "Hz").sub(&q(3000.0, "rpm")).is_err());
        assert!(q(5.0, "kg").add(&q(5.0, "N")).is_err());
    }

    #[test]
    fn trade_units_meet() {
        let sum = q(1.0, "in").add(&q(0.6, "mm")).unwrap();
        assert!((sum.in_unit("mm").unwrap() - 26.0).abs() < 1e-9);
        let power = q(200.0, "Nm").mul(&q(3000.0, "rpm")).unwrap();
        assert!((power.in_unit("kW").unwrap() - 62.831_853).abs() < 1e-6);
        let torque = q(100.0, "N").mul(&q(300.0, "mm")).unwrap();
        assert!((torque.in_unit("Nm").unwrap() - 30.0).abs() < 1e-9);
        assert!(torque.add(&q(1.0, "Nm")).is_ok());
    }

    #[test]
    fn a_speed_of_rotation_times_a_circumference_is_no_road_speed() {
        let wrong = q(800.0, "rpm").mul(&q(2.0, "m")).unwrap();
        assert_eq!(wrong.in_unit("km/h"), None);
        let right = wrong.div(&q(1.0, "turns")).unwrap();
        assert!((right.in_unit("km/h").unwrap() - 96.0).abs() < 1e-9);
    }

    #[test]
    fn temperatures_on_a_scale() {
        let (hot, cold) = (q(90.0, "°C"), q(20.0, "°C"));
        let rise = hot.sub(&cold).unwrap();
        assert!((rise.in_unit("K").unwrap() - 70.0).abs() < 1e-9);
        assert!((cold.add(&rise).unwrap().in_unit("°C").unwrap() - 90.0).abs() < 1e-9);
        assert!(matches!(hot.add(&cold), Err(QuantityError::TemperaturePoint { .. })));
        assert!(matches!(hot.mul(&q(2.0, "")), Err(QuantityError::TemperaturePoint { .. })));
        assert!(hot.neg().is_err());
        assert!(rise.sub(&hot).is_err());
        assert!(hot.add(&q(1.0, "V")).is_err());
    }

    #[test]
    fn moneys_do_not_mix() {
        let sum = q(1450.0, "EUR").add(&q(50.0, "EUR")).unwrap();
        assert_eq!(sum.currency(), Some(*b"EUR"));
        assert!(matches!(sum.add(&q(1.0, "USD")), Err(QuantityError::Currencies { .. })));
        assert!(sum.add(&q(1.0, "")).is_err());
        assert_eq!(sum.div(&q(3.0, "EUR")).unwrap().currency(), None);
    }

    #[test]
    fn zero_in_the_divisor_is_refused() {
        let spread = Quantity::tolerance(0.0, 1.0, "V").unwrap();
        assert_eq!(q(1.0, "V").div(&spread), Err(QuantityError::DivisionByZero));
        assert_eq!(q(1.0, "V").div(&q(0.0, "A")), Err(QuantityError::DivisionByZero));
        assert!(q(1e300, "V").mul(&q(1e300, "A")).is_err());
    }

    #[test]
    fn an_even_power_is_never_below_zero() {
        let spread = Quantity::range(-2.0, 1.0, "m").unwrap().power(2).unwrap();
        assert_eq!((spread.lo(), spread.hi()), (0.0, 4.0));
        assert!(q(4.0, "m2").root().unwrap().in_unit("m").unwrap() == 2.0);
        assert!(q(-4.0, "m2").root().is_err());
        assert!(q(4.0, "m").power(0).is_err());
    }

    proptest! {
        /// Whatever values lie in the operands, the result lies in the computed range.
        #[test]
        fn results_hold_every_case(
            a in -1e6..1e6f64, aw in 0.0..1e3f64, at in 0.0..1.0f64,
            b in -1e6..1e6f64, bw in 0.0..1e3f64, bt in 0.0..1.0f64,
        ) {
            let one = Quantity::range(a, a + aw, "").unwrap();
            let other = Quantity::range(b, b + bw, "").unwrap();
            let (x, y) = (a + at * aw, b + bt * bw);
            let holds = |made: Quantity, value: f64| {
                let slack = 1e-9 * (1.0 + value.abs());
                made.lo() - slack <= value && value <= made.hi() + slack
            };
            prop_assert!(holds(one.add(&other).unwrap(), x + y));
            prop_assert!(holds(one.sub(&other).unwrap(), x - y));
            prop_assert!(holds(one.mul(&other).unwrap(), x * y));
            prop_assert!(holds(one.power(2).unwrap(), x * x));
            prop_assert!(holds(one.abs().unwrap(), x.abs()));
            match one.div(&other) {
                Ok(made) => prop_assert!(holds(made, x / y)),
                Err(error) => prop_assert_eq!(error, QuantityError::DivisionByZero),
            }
        }
    }
}
