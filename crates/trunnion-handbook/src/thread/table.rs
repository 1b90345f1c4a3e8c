//! The stored lists of threads, read into rows.

use crate::data::{CLEARANCE_HOLES, METRIC_THREADS, PIPE_THREADS, UNIFIED_THREADS};

/// A metric size with its pitches in mm, coarse to fine.
pub(super) struct Metric {
    pub size: f64,
    pub coarse: Option<f64>,
    pub fine: Vec<f64>,
}

/// The metric sizes: ISO 261.
pub(super) fn metric() -> impl Iterator<Item = Metric> {
    METRIC_THREADS.table().all().filter_map(|row| {
        let fine = row.word(2).split(' ').filter_map(|it| it.parse().ok()).collect();
        Some(Metric { size: row.at(0)?, coarse: row.at(1), fine })
    })
}

/// Clearance holes of a metric size in mm, fine, medium, coarse: ISO 273.
pub(super) fn holes(size: f64) -> Option<[f64; 3]> {
    let row = CLEARANCE_HOLES.table().row_at(size)?;
    Some([row.at(1)?, row.at(2)?, row.at(3)?])
}

/// Major diameter in mm and threads per inch of a pipe thread: ISO 228-1.
pub(super) fn pipe(size: &str) -> Option<(f64, f64)> {
    let row = PIPE_THREADS.table().row(size)?;
    Some((row.at(1)?, row.at(2)?))
}

/// A unified size: major diameter in inches, threads per inch of UNC and UNF: ASME B1.1.
pub(super) fn unified(size: &str) -> Option<(f64, f64, f64)> {
    let row = UNIFIED_THREADS.table().row(size)?;
    Some((row.at(1)?, row.at(2)?, row.at(3)?))
}
