//! A quantity: a nominal figure, its worst-case range, and what it measures.

use std::hash::{Hash, Hasher};

use super::unit::find;
use super::{Dimension, QuantityError, Unit};

/// How a quantity came to be, which decides how it is shown.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(super) enum Form {
    /// Written as one figure, or as nominal and tolerance.
    Stated,
    /// Written as two ends.
    Range,
    /// The result of arithmetic: shown rounded.
    Computed,
}

/// A figure with unit and worst-case range.
///
/// Always finite, and always `lo ≤ nominal ≤ hi` in SI; nothing else can be made. Two quantities
/// are `==` only when they agree bit for bit, in unit and form as well (for caching); to ask
/// which is larger, use [`Quantity::compare`].
#[derive(Clone, Copy, Debug)]
pub struct Quantity {
    lo: f64,
    nominal: f64,
    hi: f64,
    dimension: Dimension,
    currency: Option<[u8; 3]>,
    unit: Option<&'static Unit>,
    pub(super) form: Form,
}

impl Quantity {
    /// One exact figure: `Quantity::exact(1420.0, "mm")`. An empty unit means a plain number.
    ///
    /// # Errors
    /// The unit is not known, or has no such figure; the figure is not finite.
    pub fn exact(figure: f64, unit: &str) -> Result<Self, QuantityError> {
        Self::in_stated_unit([figure; 3], unit, Form::Stated)
    }

    /// A figure with an equal tolerance to both sides, in the same unit: 1420 mm ± 5 mm. The
    /// tolerance of a temperature is a difference in its degrees.
    ///
    /// # Errors
    /// As [`Quantity::exact`], and a tolerance below zero.
    pub fn tolerance(nominal: f64, to_each_side: f64, unit: &str) -> Result<Self, QuantityError> {
        Self::tolerances(nominal, to_each_side, to_each_side, unit)
    }

    /// A figure with its own tolerance to each side, both written without sign.
    ///
    /// # Errors
    /// As [`Quantity::exact`], and a tolerance below zero.
    pub fn tolerances(nominal: f64, plus: f64, minus: f64, unit: &str) -> Result<Self, QuantityError> {
        if plus < 0.0 || minus < 0.0 {
            return Err(QuantityError::NegativeTolerance);
        }
        Self::in_stated_unit([nominal - minus, nominal, nominal + plus], unit, Form::Stated)
    }

    /// Two ends: 3.65 to 3.72. The nominal figure is the middle.
    ///
    /// # Errors
    /// As [`Quantity::exact`], and the first end above the second.
    pub fn range(from: f64, to: f64, unit: &str) -> Result<Self, QuantityError> {
        if from > to {
            return Err(QuantityError::Backwards);
        }
        Self::in_stated_unit([from, from / 2.0 + to / 2.0, to], unit, Form::Range)
    }

    /// A plain number without unit.
    ///
    /// # Errors
    /// The number is not finite.
    pub fn number(figure: f64) -> Result<Self, QuantityError> {
        Self::exact(figure, "")
    }

    fn in_stated_unit(figures: [f64; 3], unit: &str, form: Form) -> Result<Self, QuantityError> {
        let unit = match unit {
            "" => None,
            spelt => Some(find(spelt)?),
        };
        let mut si = figures;
        for (to, figure) in si.iter_mut().zip(figures) {
            *to = match unit {
                None => figure,
                Some(unit) => unit.to_si(figure).ok_or_else(|| unit.refusal(figure))?,
            };
        }
        // A gauge and miles per gallon run against their SI value.
        let [one, nominal, other] = si;
        let dimension = unit.map_or(Dimension::NONE, |it| it.dimension);
        let ends = [one.min(other), nominal, one.max(other)];
        Self::build(ends, dimension, unit.and_then(|it| it.currency), unit, form)
    }

    /// A result in SI with its worst-case ends.
    ///
    /// # Errors
    /// A figure that is not finite, or ends out of order.
    pub fn si_range(lo: f64, nominal: f64, hi: f64, dimension: Dimension) -> Result<Self, QuantityError> {
        Self::build([lo, nominal, hi], dimension, None, None, Form::Computed)
    }

    /// An exact result in SI.
    ///
    /// # Errors
    /// A figure that is not finite.
    pub fn si(figure: f64, dimension: Dimension) -> Result<Self, QuantityError> {
        Self::si_range(figure, figure, figure, dimension)
    }

    pub(super) fn build(
        ends: [f64; 3],
        dimension: Dimension,
        currency: Option<[u8; 3]>,
        unit: Option<&'static Unit>,
        form: Form,
    ) -> Result<Self, QuantityError> {
        // Adding zero turns −0 into 0, so that equal figures are equal in their bits.
        let [lo, nominal, hi] = ends.map(|it| it + 0.0);
        if ![lo, nominal, hi].into_iter().all(f64::is_finite) {
            return Err(QuantityError::NotFinite);
        }
        if lo > hi {
            return Err(QuantityError::Backwards);
        }
        // The middle of a curved scale may fall outside the ends by its last bit.
        let nominal = nominal.clamp(lo, hi);
        Ok(Self { lo, nominal, hi, dimension, currency, unit, form })
    }

    /// The same range shown in another unit of the same dimension.
    ///
    /// # Errors
    /// The unit is not known or measures something else.
    pub fn shown_in(self, symbol: &str) -> Result<Self, QuantityError> {
        let unit = find(symbol)?;
        // K writes a temperature on a scale as a figure, but does not take its place: it is a
        // difference wherever it stands.
        if !self.fits(unit) || self.dimension.point != unit.dimension.point {
            return Err(self.mismatch("writing", "in", unit.words()));
        }
        Ok(Self { unit: Some(unit), dimension: unit.dimension, ..self })
    }

    /// This figure with a tolerance to each side, given in its own unit or, for a tolerance in %
    /// or ‰, as a share of the figure. Any range this quantity had is widened.
    ///
    /// # Errors
    /// The tolerance measures something else or is below zero.
    pub fn plus_minus(self, tolerance: &Self) -> Result<Self, QuantityError> {
        if tolerance.lo < 0.0 {
            return Err(QuantityError::NegativeTolerance);
        }
        let own = Dimension { point: false, ..self.dimension };
        let share = tolerance.dimension.is_plain() && !self.same_money_and_unit(tolerance);
        let by = if share && !self.dimension.point {
            tolerance.hi * self.nominal.abs()
        } else if tolerance.dimension == own && tolerance.currency == self.currency {
            tolerance.hi
        } else if tolerance.dimension == self.dimension && self.dimension.point {
            // 90 °C ± 5 °C is said of a difference: take the degrees, not the point.
            let unit = tolerance.unit.or(self.unit);
            unit.map_or(tolerance.hi, |it| tolerance.hi - it.offset * it.factor)
        } else {
            return Err(self.mismatch("allowing", "a tolerance of", tolerance.words()));
        };
        if by < 0.0 {
            return Err(QuantityError::NegativeTolerance);
        }
        let ends = [self.lo - by, self.nominal, self.hi + by];
        Self::build(ends, self.dimension, self.currency, self.unit, Form::Stated)
    }

    fn same_money_and_unit(&self, other: &Self) -> bool {
        let symbol = |it: &Self| it.unit.map(|unit| unit.symbol);
        self.dimension == other.dimension && symbol(self) == symbol(other)
    }

    /// The range from the least of one quantity to the most of another.
    ///
    /// # Errors
    /// They measure different things, or the first lies above the second.
    pub fn between(from: &Self, to: &Self) -> Result<Self, QuantityError> {
        from.agree(to, "ranging from", "to")?;
        let unit = to.unit.or(from.unit);
        let nominal = from.lo / 2.0 + to.hi / 2.0;
        Self::build([from.lo, nominal, to.hi], from.dimension, from.currency, unit, Form::Range)
    }

    /// The least it can be, in SI.
    pub fn lo(&self) -> f64 {
        self.lo
    }

    /// The figure meant, in SI.
    pub fn nominal(&self) -> f64 {
        self.nominal
    }

    /// The most it can be, in SI.
    pub fn hi(&self) -> f64 {
        self.hi
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The ISO 4217 code of a money, or of a price per something.
    pub fn currency(&self) -> Option<[u8; 3]> {
        self.currency
    }

    /// The unit it is shown in; `None` for a plain number or a computed product.
    pub fn unit(&self) -> Option<&'static Unit> {
        self.unit
    }

    /// True when there is no range.
    pub fn is_exact(&self) -> bool {
        self.lo == self.hi
    }

    /// The nominal figure in a unit. `None` when the unit is not known, measures something else or
    /// has no such figure.
    pub fn in_unit(&self, symbol: &str) -> Option<f64> {
        self.ends_in(symbol).map(|[_, nominal, _]| nominal)
    }

    /// Least, nominal and most in a unit, smallest figure first. `None` as [`Quantity::in_unit`].
    pub fn ends_in(&self, symbol: &str) -> Option<[f64; 3]> {
        let unit = find(symbol).ok().filter(|it| self.fits(it))?;
        let [one, nominal, other] =
            [unit.from_si(self.lo)?, unit.from_si(self.nominal)?, unit.from_si(self.hi)?];
        Some([one.min(other), nominal, one.max(other)])
    }

    /// Whether the figure may be written in the unit. K also writes a temperature on a scale.
    fn fits(&self, unit: &Unit) -> bool {
        let absolute = Dimension { point: false, ..self.dimension };
        let same = self.dimension == unit.dimension || absolute == unit.dimension;
        let relieved = self.unit.is_none() && self.dimension.stands_for(unit.dimension);
        (same || relieved) && self.currency == unit.currency
    }
}

impl Unit {
    /// The unit with its dimension in words, for errors.
    pub(super) fn words(&self) -> Box<str> {
        format!("{} ({})", self.symbol, self.dimension).into()
    }
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        self.bits() == other.bits()
    }
}

impl Eq for Quantity {}

impl Hash for Quantity {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.bits().hash(state);
    }
}

type Bits = ([u64; 3], Dimension, Option<[u8; 3]>, Option<&'static str>, Form);

impl Quantity {
    fn bits(&self) -> Bits {
        let ends = [self.lo, self.nominal, self.hi].map(f64::to_bits);
        (ends, self.dimension, self.currency, self.unit.map(|it| it.symbol), self.form)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_infinite_gets_in() {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert_eq!(Quantity::exact(bad, "mm"), Err(QuantityError::NotFinite));
            assert_eq!(Quantity::number(bad), Err(QuantityError::NotFinite));
            assert_eq!(Quantity::tolerance(1.0, bad.abs(), "mm"), Err(QuantityError::NotFinite));
            assert!(Quantity::exact(bad, "°C").is_err());
            assert!(Quantity::exact(bad, "AWG").is_err());
            assert!(Quantity::si(bad, Dimension::LENGTH).is_err());
        }
        assert_eq!(Quantity::exact(1e308, "kWh"), Err(QuantityError::NotFinite));
        assert!(Quantity::range(f64::NAN, 1.0, "mm").is_err());
    }

    #[test]
    fn a_range_must_run_upwards() {
        assert_eq!(Quantity::range(3.72, 3.65, ""), Err(QuantityError::Backwards));
        assert_eq!(Quantity::tolerance(1.0, -0.1, "mm"), Err(QuantityError::NegativeTolerance));
    }

    #[test]
    fn a_gauge_runs_against_its_area() {
        let wires = Quantity::range(10.0, 14.0, "AWG").unwrap();
        assert!(wires.lo() < wires.hi());
        let [from, _, to] = wires.ends_in("AWG").unwrap();
        assert!((from - 10.0).abs() < 1e-9 && (to - 14.0).abs() < 1e-9);
        assert!(Quantity::exact(10.5, "AWG").is_err());
        assert!(Quantity::exact(57.0, "AWG").is_err());
    }

    #[test]
    fn no_less_than_no_heat() {
        assert!(Quantity::exact(-273.16, "°C").is_err());
        assert_eq!(Quantity::exact(-273.15, "°C").unwrap().lo(), 0.0);
        assert_eq!(Quantity::exact(-459.67, "°F").unwrap().lo(), 0.0);
        let warm = Quantity::exact(77.0, "°F").unwrap();
        assert!((warm.in_unit("°C").unwrap() - 25.0).abs() < 1e-9);
        assert!((warm.in_unit("K").unwrap() - 298.15).abs() < 1e-9);
    }

    #[test]
    fn a_tolerance_may_be_a_share_or_a_length() {
        let ratio = Quantity::number(3.69).unwrap();
        let two = Quantity::exact(2.0, "%").unwrap();
        let wide = ratio.plus_minus(&two).unwrap();
        assert!((wide.lo() - 3.6162).abs() < 1e-9);
        let inch = Quantity::exact(1.0, "in").unwrap();
        let half = Quantity::exact(0.5, "mm").unwrap();
        assert!((inch.plus_minus(&half).unwrap().hi() - 0.0259).abs() < 1e-12);
        let volt = Quantity::exact(1.0, "V").unwrap();
        assert!(inch.plus_minus(&volt).is_err());
    }

    #[test]
    fn a_temperature_tolerance_is_a_difference() {
        let hot = Quantity::exact(90.0, "°C").unwrap();
        for five in [Quantity::exact(5.0, "°C"), Quantity::exact(5.0, "K")] {
            let [lo, _, hi] = hot.plus_minus(&five.unwrap()).unwrap().ends_in("°C").unwrap();
            assert!((lo - 85.0).abs() < 1e-9 && (hi - 95.0).abs() < 1e-9);
        }
    }

    #[test]
    fn another_unit_keeps_the_range() {
        let inch = Quantity::range(1.0, 2.0, "in").unwrap();
        assert_eq!(inch.shown_in("mm").unwrap().display(), "25.4 to 50.8 mm");
        assert!(inch.shown_in("V").is_err());
        // A temperature on a scale is not turned into a difference.
        assert!(Quantity::exact(20.0, "°C").unwrap().shown_in("K").is_err());
        assert_eq!(Quantity::exact(20.0, "°C").unwrap().shown_in("°F").unwrap().display(), "68 °F");
    }

    #[test]
    fn equal_means_equal_bits() {
        use std::collections::HashSet;
        let zero = Quantity::exact(0.0, "mm").unwrap();
        assert_eq!(zero, Quantity::exact(-0.0, "mm").unwrap());
        assert_ne!(zero, Quantity::exact(0.0, "m").unwrap());
        let set: HashSet<_> = [zero, zero].into_iter().collect();
        assert_eq!(set.len(), 1);
    }
}
