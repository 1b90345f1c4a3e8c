//! Chains of dimensions: what adds up along an axis, by worst case and by statistics.

use crate::quantity::{Dimension, Quantity, QuantityError};
use crate::registry::Source;

/// What the sums rest on.
pub const SOURCES: &[Source] = &[
    Source::definition("dimension chain: worst case by sum of the ends"),
    Source::common_practice(
        "root of the sum of squares: each dimension independent, centred, and of a normal spread",
    ),
];

/// The closing dimension of a chain.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Closing {
    /// Between its least and most when every part lies at its worst end.
    pub worst_case: Quantity,
    /// Between the ends that the root of the sum of squares gives.
    pub statistical: Quantity,
}

/// Adds the first list and takes the second away, each with its range.
///
/// # Errors
/// No dimension at all, dimensions of different kinds, or a sum out of reach.
pub fn closing(added: &[Quantity], taken: &[Quantity]) -> Result<Closing, QuantityError> {
    let negated = taken.iter().map(Quantity::neg);
    let all: Vec<Quantity> = added.iter().copied().map(Ok).chain(negated).collect::<Result<_, _>>()?;
    let (first, rest) = all.split_first().ok_or(QuantityError::NotFinite)?;
    let mut sum = *first;
    for it in rest {
        sum = sum.add(it)?;
    }
    let half = |it: &Quantity| (it.hi() - it.lo()) / 2.0;
    let middle = |it: &Quantity| it.lo() / 2.0 + it.hi() / 2.0;
    let spread = all.iter().map(|it| half(it).powi(2)).sum::<f64>().sqrt();
    let centre: f64 = all.iter().map(middle).sum();
    // The nominal figure may lie outside the statistical ends where tolerances are one-sided.
    let shown = |it: Quantity| match sum.unit() {
        Some(unit) => it.shown_in(unit.symbol),
        None => Ok(it),
    };
    let dimension: Dimension = sum.dimension();
    let statistical = Quantity::si_range(centre - spread, centre, centre + spread, dimension)?;
    Ok(Closing { worst_case: sum, statistical: shown(statistical)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn worst_case_and_statistics() {
        let part = |nominal| Quantity::tolerance(nominal, 0.1, "mm").unwrap();
        let made = closing(&[part(100.0)], &[part(30.0), part(40.0), part(20.0)]).unwrap();
        assert_eq!(made.worst_case.display(), "9.6 to 10.4 mm");
        // Four equal tolerances: half of their sum.
        assert_eq!(made.statistical.display(), "9.8 to 10.2 mm");
    }

    #[test]
    fn one_sided_tolerances_shift_the_middle() {
        let part = Quantity::tolerances(10.0, 0.2, 0.0, "mm").unwrap();
        let made = closing(&[part], &[]).unwrap();
        let [lo, middle, hi] = made.statistical.ends_in("mm").unwrap();
        assert!((lo - 10.0).abs() < 1e-9 && (middle - 10.1).abs() < 1e-9);
        assert!((hi - 10.2).abs() < 1e-9);
    }

    #[test]
    fn kinds_do_not_mix() {
        let volt = Quantity::exact(1.0, "V").unwrap();
        let length = Quantity::exact(1.0, "mm").unwrap();
        assert!(closing(&[length], &[volt]).is_err());
        assert!(closing(&[], &[]).is_err());
    }
}
