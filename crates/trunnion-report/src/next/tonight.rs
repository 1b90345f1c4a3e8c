//! What can be done tonight.

use std::fmt::Write;

use trunnion_check::ctx::capital;
use trunnion_model::verdict::Who;
use trunnion_plan::order::hours;
use trunnion_plan::tonight::{Doable, Tonight, What};

use super::order::when;
use super::{View, more};

/// How much of what is not possible is in view.
const IN_VIEW: usize = 5;

pub(super) fn section(out: &mut String, tonight: &Tonight, day: u64, view: View) {
    let people = if tonight.hands == 1 { "alone".to_owned() } else { format!("{} people", tonight.hands) };
    let _ = writeln!(out, "\nTonight, {}, {people}:", hours(tonight.time));
    for (nth, it) in tonight.doable.iter().enumerate() {
        one(out, nth + 1, it, day);
    }
    if tonight.doable.is_empty() {
        let _ = writeln!(out, "  Nothing fits.");
    } else {
        let sum = match tonight.hands {
            1 => format!("together {}", hours(tonight.sum)),
            _ => format!("together {} of work, finished after {}", hours(tonight.sum), hours(tonight.finish)),
        };
        let _ = writeln!(out, "  {sum} of {}.", hours(tonight.time));
    }
    if tonight.more > 0 {
        let _ = writeln!(out, "  {} more could be found out, had one the time.", tonight.more);
    }
    if tonight.untimed > 0 {
        let _ = writeln!(out, "  {} more: nobody has said how long it takes to find out.", tonight.untimed);
    }
    let others: Vec<_> = tonight.not.iter().chain(&tonight.elsewhere).collect();
    if !others.is_empty() {
        let _ = writeln!(out, "  Not tonight:");
        let shown = view.of(IN_VIEW, others.len());
        for (what, why) in others.iter().take(shown) {
            let _ = writeln!(out, "    {what}: {why}");
        }
        more(out, others.len() - shown);
    }
}

/// The word for what is done.
pub(super) fn verb(what: What) -> &'static str {
    match what {
        What::Work => "do",
        What::FindOut(Who::Seller) => "ask",
        What::FindOut(Who::Tape) => "measure",
        What::FindOut(Who::Maker) => "look up",
        What::FindOut(Who::Owner) => "decide",
    }
}

fn one(out: &mut String, nth: usize, it: &Doable, day: u64) {
    let gate = it.gate.map(|it| format!(", {}", it.phrase())).unwrap_or_default();
    let people = if it.hands > 1 { format!(", {} people", it.hands) } else { String::new() };
    let tool = it.tool.as_ref().map(|it| format!(" with {it}")).unwrap_or_default();
    let _ =
        writeln!(out, "  {nth}. {}: {}{tool}, {}{people}{gate}", verb(it.what), it.shown, hours(it.minutes));
    if let Some(text) = &it.type_in {
        let _ = writeln!(out, "     then type {text}");
    }
    if it.what == What::Work && it.unlocks > 0 {
        let pieces = if it.unlocks == 1 {
            "one piece waits".to_owned()
        } else {
            format!("{} pieces wait", it.unlocks)
        };
        let _ = writeln!(out, "     {pieces} for it");
    }
    if let Some(wait) = it.may_wait {
        let _ = writeln!(out, "     not pressing: it may wait {}", when(wait, day));
    }
    if let Some(overnight) = &it.overnight {
        let _ = writeln!(out, "     overnight: {overnight}");
    }
    for it in &it.cautions {
        let _ = writeln!(out, "     {}", capital(it));
    }
}
