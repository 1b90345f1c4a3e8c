//! Blade fuses: the sizes there are and how fast they open.

use crate::data::{BLADE_FUSE_TIMES, BLADE_FUSES};
use crate::registry::OutOfTable;

/// Rated currents in A of medium blade fuses: ISO 8820-3, from memory.
pub fn ratings() -> impl Iterator<Item = f64> {
    BLADE_FUSES.table().all().filter_map(|row| row.at(0))
}

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
pub fn openings() -> impl DoubleEndedIterator<Item = Opening> {
    BLADE_FUSE_TIMES
        .table()
        .all()
        .filter_map(|row| Some(Opening { multiple: row.at(0)?, at_least: row.at(1)?, at_most: row.at(2) }))
}

/// The smallest fuse that carries a current in A.
///
/// # Errors
/// A current below zero or above the largest size.
pub fn smallest_for(current: f64) -> Result<f64, OutOfTable> {
    let found = ratings().find(|it| current >= 0.0 && *it >= current);
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
    let point = openings().rev().find(|it| it.multiple <= multiple);
    point.and_then(|it| it.at_most).ok_or_else(|| {
        let wanted = format!("time to open at {multiple} times the rating");
        OutOfTable::new("ISO 8820-3 operating times", wanted, "1.35 times and more")
    })
}

/// How long a fuse surely holds at a multiple of its rating: the least time of the nearest tested
/// point at or above it.
///
/// # Errors
/// Above 6 times its rating, or below zero.
pub fn earliest_opening(multiple: f64) -> Result<f64, OutOfTable> {
    let point = openings().find(|it| it.multiple >= multiple && multiple >= 0.0);
    point.map(|it| it.at_least).ok_or_else(|| {
        let wanted = format!("time held at {multiple} times the rating");
        OutOfTable::new("ISO 8820-3 operating times", wanted, "up to 6 times")
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
        let all: Vec<_> = openings().collect();
        let pairs = all.windows(2);
        assert!(pairs.clone().all(|it| it[0].multiple < it[1].multiple));
        assert!(pairs.clone().all(|it| it[0].at_least > it[1].at_least));
        assert!(all.iter().all(|it| it.at_most.is_none_or(|most| most > it.at_least)));
        assert_eq!(latest_opening(2.5), Ok(5.0));
        assert_eq!(latest_opening(100.0), Ok(0.1));
        assert_eq!(earliest_opening(2.5), Ok(0.08));
        assert!(earliest_opening(6.1).is_err() && earliest_opening(f64::NAN).is_err());
        assert!(latest_opening(1.2).is_err() && latest_opening(f64::NAN).is_err());
    }
}
