//! # setup/version
//!
//! The software number that was read from a control unit lies in the range that this unit is known to carry.
//!
//! ## Why it matters
//!
//! Two units with the same number on the label may carry different software. One that is older or newer than
//! what others tried sends other messages, or has never heard of this gearbox.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox_controller is unit }
//! module late_unit is unit fills gearbox_controller { software "G6-07" to "G6-12" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit
//!   gearbox_controller.software_number "G6-04" }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox_controller is unit }
//! module late_unit is unit fills gearbox_controller { software "G6-07" to "G6-12" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit
//!   gearbox_controller.software_number "G6-09" }
//! ```
//!
//! ## References
//!
//! What the specification states of its modules. Numbers are compared part by part: letters must be the same,
//! figures count; numbers built otherwise are not compared. That software numbers rise: common practice, no
//! source. What one unit asks of another's software is judged by need.

use std::cmp::Ordering;

use trunnion_model::fact::{Found, Known};
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital};

/// The check.
pub static CHECK: Check =
    Check { name: "setup/version", source: include_str!("setup_version.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.world.places.iter().filter(|it| ctx.concerns(&[it])).filter_map(|it| one(ctx, it)).collect()
}

/// A range of software numbers.
struct Range {
    from: String,
    to: String,
}

impl Range {
    fn shown(&self) -> String {
        if self.from == self.to { self.from.clone() } else { format!("{} to {}", self.from, self.to) }
    }

    /// Whether a number lies in it; none where they are not built alike.
    fn holds(&self, number: &str) -> Option<bool> {
        let (low, high) = (compared(&self.from, number)?, compared(number, &self.to)?);
        Some(low != Ordering::Greater && high != Ordering::Greater)
    }
}

fn range(ctx: &Ctx<'_>, id: trunnion_model::name::Id) -> Option<(Range, Found)> {
    let (from, to, claim) = ctx.part(id)?.software.as_ref()?;
    let first = from.word()?.to_string();
    let last =
        to.as_ref().and_then(trunnion_model::fact::Value::word).map_or(first.clone(), |it| it.to_string());
    let found = known::said(ctx.db, ctx.workspace, id, claim, from.span);
    Some((Range { from: first, to: last }, found))
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let id = place.after.part()?;
    let (range, stated) = range(ctx, id)?;
    let who = id.shown(ctx.db);
    let subject = place.name.to_string();
    let hangs = format!("whether {who} is the unit that is meant");
    let known = ctx.fact(place, "software_number");
    let mut question = ctx.question(place, "software_number", hangs);
    question.good = Some(range.shown());
    let site = |found: &Found| found.site;
    let mut verdict = match &known {
        Known::Nothing(_) => return None,
        Known::Unknown => {
            // Where the kind asks for it, kind/asked does so already.
            let asked = ctx.kind_after(place).is_some_and(|(_, it)| it.ask("software_number").is_some());
            if asked || !place.changed() {
                return None;
            }
            let message = format!(
                "Nobody has said the software number of the {}; good would be {}.",
                place.shown(),
                range.shown()
            );
            let verdict = ctx.open(CHECK.name, subject, site(&stated), message, question);
            verdict.with_fixes(ctx.state_fact(place, "software_number", None))
        }
        Known::Disputed(claims) => {
            let said: Vec<String> =
                claims.iter().map(|it| format!("{} says {}", it.source, it.display())).collect();
            let message =
                format!("The software number of the {} is disputed: {}.", place.shown(), said.join(", "));
            crate::ctx::with_found(ctx.open(CHECK.name, subject, site(&stated), message, question), claims)
        }
        Known::Stated(claims) => {
            let read = claims.first()?;
            let number = read.values.first()?.word().map_or_else(|| read.display(), |it| it.to_string());
            let found = [read.clone(), stated];
            match range.holds(&number) {
                Some(true) => {
                    let message = format!("The {} carries {number}; {who} is known from {}.", place.shown(), range.shown());
                    ctx.clear(CHECK.name, subject, site(read), message, &found)
                }
                Some(false) => {
                    let message =
                        format!("The {} carries {number}, but {who} is known from {}.", place.shown(), range.shown());
                    let suits = |it| self::range(ctx, it).is_some_and(|(it, _)| it.holds(&number) == Some(true));
                    let ways = if place.donor().is_none() { replacements(ctx, place, &suits) } else { Vec::new() };
                    ctx.clash(CHECK.name, subject, site(read), message, &found).with_fixes(ways)
                }
                None => {
                    let message = format!(
                        "{} carries {number}, which is numbered otherwise than {}, from which {who} is known.",
                        capital(&format!("the {}", place.shown())),
                        range.shown()
                    );
                    ctx.open(CHECK.name, subject, site(read), message, question)
                }
            }
            .with_need(range.shown(), number)
        }
    };
    verdict.safety = ctx.safety(place);
    Some(verdict)
}

/// A part of a software number.
#[derive(PartialEq, Eq)]
enum Chunk {
    Letters(String),
    Figures(u64),
}

fn chunks(number: &str) -> Vec<Chunk> {
    let mut all: Vec<(bool, String)> = Vec::new();
    for it in number.to_lowercase().chars().filter(|it| !it.is_whitespace()) {
        let digit = it.is_ascii_digit();
        match all.last_mut().filter(|last| last.0 == digit) {
            Some(last) => last.1.push(it),
            None => all.push((digit, it.to_string())),
        }
    }
    let chunk = |(digit, text): (bool, String)| match text.parse() {
        Ok(figures) if digit => Chunk::Figures(figures),
        _ => Chunk::Letters(text),
    };
    all.into_iter().map(chunk).collect()
}

/// The order of two software numbers; none where they are not built alike.
fn compared(a: &str, b: &str) -> Option<Ordering> {
    let (a, b) = (chunks(a), chunks(b));
    for (a, b) in a.iter().zip(&b) {
        match (a, b) {
            (Chunk::Figures(a), Chunk::Figures(b)) if a != b => return Some(a.cmp(b)),
            (Chunk::Figures(_), Chunk::Figures(_)) => {}
            (Chunk::Letters(a), Chunk::Letters(b)) if a == b => {}
            _ => return None,
        }
    }
    Some(a.len().cmp(&b.len()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::check;

    fn unit(range: &str, vehicle: &str, kind: &str) -> crate::testing::Found {
        let source = format!(
            r#"
source yard "Read at the yard" measured
source club "Club notes" reported
kind unit {{ asks {kind} }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox_controller is unit }}
module late_unit is unit fills gearbox_controller {{ fitted on Dunlin, software {range} }}
module early_unit is unit fills gearbox_controller {{ software "G6-01" to "G6-04" }}
vehicle van is Dunlin {{ built 2012-04 }}
vehicle breaker is Dunlin {{ built 2015-09, {vehicle} }}
conversion easy {{ recipient van, donor breaker
  take gearbox_controller from breaker }}"#
        );
        check("setup/version", &source)
    }

    const RANGE: &str = r#""G6-07" to "G6-12""#;

    #[test]
    fn a_number_in_the_range_is_clear() {
        let found = unit(RANGE, "gearbox_controller.software_number \"G6-09\" per yard", "mass");
        found.clear("The gearbox controller carries G6-09; late unit is known from G6-07 to G6-12.");
        assert_eq!(found.only().need.as_deref(), Some("G6-07 to G6-12"));
    }

    #[test]
    fn a_number_outside_is_a_clash() {
        let found = unit(RANGE, "gearbox_controller.software_number \"G6-14\" per yard", "mass");
        found.clash("The gearbox controller carries G6-14, but late unit is known from G6-07 to G6-12.");
        assert_eq!(found.text(), "gearbox_controller.software_number \"G6-14\" per yard");
    }

    #[test]
    fn what_nobody_read_is_open_unless_the_kind_asks_already() {
        let found = unit(RANGE, "price 1 EUR", "mass");
        found.open(
            "Nobody has said the software number of the gearbox controller; good would be G6-07 to G6-12.",
        );
        unit(RANGE, "price 1 EUR", "software number").silent();
    }

    #[test]
    fn numbers_of_another_build_are_not_compared() {
        let found = unit(RANGE, "gearbox_controller.software_number \"7.2b\" per yard", "mass");
        found.open(
            "The gearbox controller carries 7.2b, which is numbered otherwise than G6-07 to G6-12, from which late \
             unit is known.",
        );
    }

    #[test]
    fn two_readings_that_differ_are_open() {
        let two = "gearbox_controller.software_number \"G6-09\" per club, gearbox_controller.software_number \"G6-11\"";
        let found = unit(RANGE, two, "mass");
        assert!(
            found.only().message.starts_with("The software number of the gearbox controller is disputed")
        );
    }

    #[test]
    fn figures_count_and_letters_must_agree() {
        assert_eq!(compared("G6-9", "G6-12"), Some(Ordering::Less));
        assert_eq!(compared("g6-09", "G6-9"), Some(Ordering::Equal));
        assert_eq!(compared("1.10", "1.9"), Some(Ordering::Greater));
        assert_eq!(compared("1.1", "1.1.2"), Some(Ordering::Less));
        assert_eq!(compared("E22-07", "F22-07"), None);
        assert_eq!(compared("4711", "G6-1"), None);
    }
}
