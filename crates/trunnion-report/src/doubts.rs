//! The doubts, as plain text and as a record.

use std::fmt::Write;

use serde::Serialize;
use trunnion_model::db::Host;
use trunnion_plan::doubts::{Doubt, Doubts};
use trunnion_plan::stake::Stake;

use crate::placed::file_and_line;

/// How many are in view.
const IN_VIEW: usize = 12;

/// The page; all of them where `all`, else those on which most hangs.
pub fn page(host: &Host, doubts: &Doubts, in_view: Option<usize>) -> String {
    let mut out = String::new();
    let title = format!("{}: what it rests on and was not measured", doubts.title);
    let _ = writeln!(out, "{title}\n{}\n", "=".repeat(title.chars().count()));
    let _ = writeln!(
        out,
        "Matters of safety first; then what is only assumed or reported before what a document says; then by what is\n\
         at stake if it is wrong: the places by money, by waiting and by work, added up.\n"
    );
    let shown = in_view.unwrap_or(IN_VIEW).min(doubts.doubts.len());
    for (nth, it) in doubts.doubts[..shown].iter().enumerate() {
        one(&mut out, host, nth + 1, it);
    }
    if shown < doubts.doubts.len() {
        let _ = writeln!(out, "and {} more (`--all` shows them).\n", doubts.doubts.len() - shown);
    }
    if doubts.doubts.is_empty() {
        let _ = writeln!(out, "No verdict rests on a claim that was not measured.\n");
    }
    if !doubts.measurements.is_empty() {
        let no_smaller = if doubts.smallest { " (no smaller set does)" } else { "" };
        let _ = writeln!(out, "To settle every open point of safety, find out{no_smaller}:");
        for (what, settles) in &doubts.measurements {
            let _ = writeln!(out, "  {what}  ({})", settles.join(", "));
        }
        let _ = writeln!(
            out,
            "\nClear on paper is not permission; where local codes ask for one, a licensed person checks it."
        );
    }
    out
}

fn one(out: &mut String, host: &Host, nth: usize, it: &Doubt) {
    let _ = writeln!(out, "{nth:>3}. {} ({}): {}", it.of, it.standing.word(), it.claim);
    let _ = writeln!(out, "     {}, {}", file_and_line(host, it.site), it.source);
    let verdicts: Vec<String> = it
        .verdicts
        .iter()
        .map(|(check, subject, outcome)| format!("{check} {subject} ({outcome})"))
        .collect();
    let _ = writeln!(out, "     rests on it: {}", verdicts.join(", "));
    let at_stake = at_stake(&it.stake);
    if !at_stake.is_empty() {
        let _ = writeln!(out, "     at stake: {}", at_stake.join(", "));
    }
    if !it.safety.is_empty() {
        let _ = writeln!(out, "     safety: {}", it.safety.join(", ").replace('_', " "));
    }
    let settle = &it.settle;
    if let Some(tool) = &settle.tool {
        let precision = settle.precision.map(|it| format!(" to {}", it.display())).unwrap_or_default();
        let takes = settle.takes.map(|it| format!(", {}", it.display())).unwrap_or_default();
        let _ = writeln!(out, "     settled by: {tool}{precision}{takes}");
    }
    out.push('\n');
}

fn at_stake(stake: &Stake) -> Vec<String> {
    let mut all: Vec<String> =
        stake.money.iter().map(trunnion_handbook::quantity::Quantity::display).collect();
    all.extend(stake.wait.map(|it| format!("a wait of {}", it.display())));
    all.extend(stake.work.map(|it| format!("{} of work", it.display())));
    all
}

/// The doubts as a record for other programs.
#[derive(Serialize)]
pub struct Record {
    version: u32,
    conversion: String,
    doubts: Vec<DoubtRecord>,
    measurements: Vec<MeasurementRecord>,
    /// Whether no smaller set of measurements does.
    smallest: bool,
}

#[derive(Serialize)]
struct DoubtRecord {
    claim: String,
    of: String,
    place: String,
    standing: &'static str,
    source: String,
    verdicts: Vec<VerdictRecord>,
    safety: Vec<String>,
    money: Vec<String>,
    wait: Option<String>,
    work: Option<String>,
    settled_by: Option<String>,
}

#[derive(Serialize)]
struct VerdictRecord {
    check: String,
    subject: String,
    verdict: &'static str,
}

#[derive(Serialize)]
struct MeasurementRecord {
    what: String,
    settles: Vec<String>,
}

/// The record.
pub fn record(host: &Host, doubts: &Doubts) -> Record {
    let one = |it: &Doubt| DoubtRecord {
        claim: it.claim.clone(),
        of: it.of.clone(),
        place: file_and_line(host, it.site),
        standing: it.standing.word(),
        source: it.source.clone(),
        verdicts: it
            .verdicts
            .iter()
            .map(|(check, subject, outcome)| VerdictRecord {
                check: check.clone(),
                subject: subject.clone(),
                verdict: outcome,
            })
            .collect(),
        safety: it.safety.clone(),
        money: it.stake.money.iter().map(trunnion_handbook::quantity::Quantity::display).collect(),
        wait: it.stake.wait.map(|it| it.display()),
        work: it.stake.work.map(|it| it.display()),
        settled_by: it.settle.tool.as_ref().map(ToString::to_string),
    };
    Record {
        version: 1,
        conversion: doubts.title.clone(),
        doubts: doubts.doubts.iter().map(one).collect(),
        measurements: doubts
            .measurements
            .iter()
            .map(|(what, settles)| MeasurementRecord { what: what.clone(), settles: settles.clone() })
            .collect(),
        smallest: doubts.smallest,
    }
}
