//! Shows verdicts: to a person, as JSON, as SARIF; and what the calculator answers.

pub mod calc;
mod plain;
mod text;

use std::io::Write;

use trunnion_report::placed::Placed;
use trunnion_report::summary::Summary;

use crate::Failure;
use crate::load::Loaded;

pub use plain::plain;
pub use text::{Shown, text};

/// One JSON object.
pub fn json(
    out: &mut Vec<u8>,
    loaded: &Loaded,
    placed: &[Placed<'_>],
    summary: &Summary,
) -> Result<(), Failure> {
    let record = trunnion_report::record::record(&loaded.host, placed, summary);
    serde_json::to_writer_pretty(&mut *out, &record)?;
    writeln!(out)?;
    Ok(())
}

/// SARIF 2.1.0.
pub fn sarif(out: &mut Vec<u8>, loaded: &Loaded, placed: &[Placed<'_>]) -> Result<(), Failure> {
    let checks = trunnion_check::list::CHECKS;
    let log = trunnion_report::sarif::log(&loaded.host, placed, checks, env!("CARGO_PKG_VERSION"));
    serde_json::to_writer_pretty(&mut *out, &log)?;
    writeln!(out)?;
    Ok(())
}
