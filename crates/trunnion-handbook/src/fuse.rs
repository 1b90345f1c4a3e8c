//! Blade fuses: the sizes there are and how fast they open.

use crate::registry::{OutOfTable, Source};

/// What the figures rest on.
pub const SOURCES: &[Source] = &[
    Source::from_memory("ISO 8820-3", "2015", "blade fuses: rated currents of the medium size"),
    Source::from_memory("ISO 8820-3", "2015", "operating times of the medium size"),
];

/// Rated currents in A of medium blade fuses: ISO 8820-3, from memory.
pub const RATINGS: [f64; 12] = [1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0];

/// Least and most time in s that a fuse may take to open at a multiple of its rating.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Opening {
    /// Current over rating.
    pub multiple: f64,
    /// It holds at least so long.
    pub at_least: f64,
    /// It has opened by then; `None` where it may hold for ever.
    pub at_most: Option<f64>,
}

/// The points that the standard tests: ISO 8820-3, medium size, from memory.
pub const OPENINGS: [Opening; 5] = [
    Opening { multiple: 1.1, at_least: 360_000.0, at_most: None },
    Opening { multiple: 1.35, at_least: 0.75, at_most: Some(1800.0) },
    Opening { multiple: 2.0, at_least: 0.15, at_most: Some(5.0) },
    Opening { multiple: 3.5, at_least: 0.08, at_most: Some(0.5) },
    Opening { multiple: 6.0, at_least: 0.03, at_most: Some(0.1) },
];

/// The smallest fuse that carries a current in A.
///
/// # Errors
/// A current below zero or above the largest size.
pub fn smallest_for(current: f64) -> Result<f64, OutOfTable> {
    let found = RATINGS.iter().copied().find(|it| current >= 0.0 && *it >= current);
    found.ok_or_else(|| {
        OutOfTable::new("ISO 8820-3 medium blades", format!("fuse for {current} A"), "1 A to 40 A")
    })
}

/// By when a fuse has surely opened at a multiple of its rating: the latest time of the nearest
/// tested point at or below it.
///
/// # Errors
/// Below 1.35 times its rating, where it may hold for ever.
pub fn latest_opening(multiple: f64) -> Result<f64, OutOfTable> {
    let point = OPENINGS.iter().rev().find(|it| it.multiple <= multiple);
    point.and_then(|it| it.at_most).ok_or_else(|| {
        let wanted = format!("time to open at {multiple} times the rating");
        OutOfTable::new("ISO 8820-3 operating times", wanted, "1.35 times and more")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes() {
        assert_eq!(smallest_for(7.0), Ok(7.5));
        assert_eq!(smallest_for(7.5), Ok(7.5));
        for bad in [-1.0, 40.1, f64::NAN, f64::INFINITY] {
            assert!(smallest_for(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn more_current_opens_no_later() {
        let pairs = OPENINGS.windows(2);
        assert!(pairs.clone().all(|it| it[0].multiple < it[1].multiple));
        assert!(pairs.clone().all(|it| it[0].at_least > it[1].at_least));
        assert!(OPENINGS.iter().all(|it| it.at_most.is_none_or(|most| most > it.at_least)));
        assert_eq!(latest_opening(2.5), Ok(5.0));
        assert_eq!(latest_opening(100.0), Ok(0.1));
        assert!(latest_opening(1.2).is_err() && latest_opening(f64::NAN).is_err());
    }
}
