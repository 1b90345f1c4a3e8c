//! What a change of the wiring costs in work: the stated cost model, all of it in this file.
//!
//! Every figure here is common practice, no source: what a careful amateur takes with the right
//! crimping tool at hand. They rank ways against one another; they are no times to be paid by.

/// Crimping a terminal on a new wire and putting it into its cavity, in s.
pub const TERMINAL: u64 = 120;
/// Drawing a terminal out of one cavity and putting it into another, in s.
pub const MOVED: u64 = 180;
/// Joining a wire at a splice that is there: opening the tape, crimping, sealing, taping, in s.
pub const AT_SPLICE: u64 = 240;
/// Joining a wire to the loose end of another, in s.
pub const AT_LOOSE_END: u64 = 150;
/// Joining a wire into one that goes on: baring it in the middle, crimping, sealing, in s.
pub const INTO_WIRE: u64 = 300;
/// A terminal in a fuse holder or at a stud that gives, in s.
pub const AT_FEED: u64 = 180;
/// A ring at a ground point, with cleaning it to bare metal, in s.
pub const AT_GROUND: u64 = 120;
/// Capping a loose end and tying it back, in s.
pub const CAP: u64 = 60;
/// Laying, taping and tying one metre of wire, in s.
pub const METRE: u64 = 120;
/// Getting at one more zone: trim off and on again, in s.
pub const ZONE: u64 = 120;
/// Passing a bulkhead, grommet or tube: one that is said to be easy, one of which nothing is said, and a
/// hard one, in s.
pub const PASSAGE: [u64; 3] = [60, 240, 900];
/// A way of which nobody has said where it goes is taken last, in s.
pub const UNKNOWN_WAY: u64 = 3600;
/// The length that a run of which nobody has said it counts with when ways are compared, in mm.
pub const UNKNOWN_RUN: f64 = 1000.0;
/// What a new wire is cut longer than its runs, as a share of them.
pub const SLACK: f64 = 0.10;
/// What each end of a new wire needs beside its runs, in mm.
pub const TAIL: f64 = 150.0;

/// The work of one change, with its parts.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Effort {
    /// In s, by the figures of this file.
    pub seconds: u64,
    /// Length of new wire in mm: its runs, a tenth more, and 150 mm at each end (common practice, no
    /// source). None where a run has no stated length, or both ends are in one zone and nobody has said
    /// how far apart.
    pub length: Option<u64>,
    /// Zones entered beside the one it starts in.
    pub zones: u32,
    /// Bulkheads, grommets and tubes passed.
    pub bulkheads: u32,
    /// Terminals crimped or moved.
    pub terminals: u32,
}

impl Effort {
    /// Moving a terminal.
    pub fn moved() -> Self {
        Self { seconds: MOVED, terminals: 1, ..Self::default() }
    }

    /// Capping a loose end.
    pub fn cap() -> Self {
        Self { seconds: CAP, ..Self::default() }
    }
}

/// The work of one more bundle through a run, in s. `mm` is its length, `passage` none where it passes
/// nothing, else the word that says how hard that is.
pub fn of_run(mm: Option<f64>, passage: Option<Option<&str>>) -> u64 {
    let laid = (METRE as f64 * mm.unwrap_or(UNKNOWN_RUN) / 1000.0).round() as u64;
    let passed = match passage {
        None => 0,
        Some(Some("easy")) => PASSAGE[0],
        Some(Some("hard")) => PASSAGE[2],
        Some(_) => PASSAGE[1],
    };
    ZONE + laid + passed
}

/// How long to cut a wire whose runs add up to so many mm: up to the next 10 mm.
pub fn cut(runs: f64) -> u64 {
    ((runs * (1.0 + SLACK) + 2.0 * TAIL) / 10.0 - 1e-6).ceil() as u64 * 10
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hard_passage_costs_more_than_a_long_way_round() {
        assert_eq!(of_run(Some(1000.0), None), 240);
        assert!(of_run(Some(500.0), Some(Some("hard"))) > 2 * of_run(Some(1500.0), None));
        assert!(of_run(Some(500.0), Some(Some("easy"))) < of_run(Some(500.0), Some(None)));
        assert_eq!(of_run(None, None), of_run(Some(1000.0), None));
    }

    #[test]
    fn a_wire_is_cut_with_its_allowance() {
        // 1.5 m, a tenth more, 150 mm at each end.
        assert_eq!(cut(1500.0), 1950);
        assert_eq!(cut(1501.0), 1960);
    }
}
