//! The page "what to do now", as plain text; [`record`] gives the same for other programs.

mod log;
mod order;
pub mod record;
mod tonight;

use std::fmt::Write;

use trunnion_model::db::Host;
use trunnion_model::name::Id;
use trunnion_plan::chain::{Fate, Link};
use trunnion_plan::conversions;
use trunnion_plan::next::{Asked, Next, Task, Whole, whole};

pub use record::{Record, record};

/// How many tasks of a sort are in view.
const IN_VIEW: usize = 5;

/// How much of each section is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    /// A few lines, and the rest counted.
    Short,
    /// Everything.
    All,
}

impl View {
    /// How many of so many lines are shown where a few are `few`.
    fn of(self, few: usize, all: usize) -> usize {
        match self {
            Self::Short => few.min(all),
            Self::All => all,
        }
    }
}

/// The conversions in some files with all that their pages hold.
pub fn wholes(host: &Host, files: &[String], asked: &Asked) -> Vec<(Id, Whole)> {
    let all = conversions(host, files).into_iter();
    all.filter_map(|id| Some((id, whole(host.db(), host.workspace(), id, asked)?))).collect()
}

/// A page for each conversion in some files, with nothing else asked for.
pub fn pages(host: &Host, files: &[String]) -> Vec<String> {
    let all = wholes(host, files, &Asked::default());
    all.iter().map(|(_, it)| page(host, it, View::Short)).collect()
}

/// The page, section by section.
pub fn page(host: &Host, whole: &Whole, view: View) -> String {
    let next = &whole.next;
    let mut out = String::new();
    let _ = writeln!(out, "{}\n{}\n", next.title, "=".repeat(next.title.chars().count()));
    chain(&mut out, next);
    clashes(&mut out, next);
    let by = next.ask_by.as_ref().map(|it| format!(" (wants to know by {it})")).unwrap_or_default();
    tasks(&mut out, &format!("Ask the seller{by}"), &next.seller, view);
    tasks(&mut out, "Look or measure", &next.tape, view);
    tasks(&mut out, "Look up in the maker's papers", &next.maker, view);
    tasks(&mut out, "Decide", &next.owner, view);
    if let Some(it) = &whole.tonight {
        tonight::section(&mut out, it, whole.order.day, view);
    }
    order::section(&mut out, &whole.order, view);
    log::section(&mut out, host, &whole.progress, view);
    ways(&mut out, host, whole, view);
    gates(&mut out, whole);
    let _ = writeln!(
        out,
        "Local codes and approval rules apply; brakes, steering, airbags and high voltage call for a licensed person."
    );
    out
}

/// The places that change.
fn chain(out: &mut String, next: &Next) {
    let _ =
        writeln!(out, "The chain: {} places. ○ only its kind is known, ● a part is known.", next.chain.len());
    for link in &next.chain {
        chain_line(out, link);
    }
}

fn chain_line(out: &mut String, link: &Link) {
    let mark = if link.hollow { '○' } else { '●' };
    let change = if link.fate == Fate::Changes || link.before != link.after {
        format!("{} → {}", link.before, link.after)
    } else {
        link.after.clone()
    };
    let _ = writeln!(out, "  {mark} {} — {} ({})", link.shown, link.fate.phrase(), link.why);
    let _ = writeln!(out, "      {change}");
}

/// What clashes.
fn clashes(out: &mut String, next: &Next) {
    if !next.clashes.is_empty() {
        let _ = writeln!(out, "\nClashes:");
        for (check, message) in &next.clashes {
            let _ = writeln!(out, "  {check}: {message}");
        }
    }
}

/// What is to be found out in one way.
fn tasks(out: &mut String, title: &str, tasks: &[Task], view: View) {
    if tasks.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}:");
    let shown = view.of(IN_VIEW, tasks.len());
    for (nth, task) in tasks.iter().take(shown).enumerate() {
        let good = task.good.as_ref().map(|it| format!(" Good: {it}.")).unwrap_or_default();
        let _ = writeln!(out, "  {}. {}, {}.{good}", nth + 1, task.what, task.gate.phrase());
        let mut how = Vec::new();
        if let Some(tool) = &task.tool {
            let precision = task.precision.as_ref().map(|it| format!(" to {it}")).unwrap_or_default();
            how.push(format!("{tool}{precision}"));
        }
        how.extend(task.minutes.map(|it| format!("{it} min")));
        if !how.is_empty() {
            let _ = writeln!(out, "     with: {}", how.join(", "));
        }
        let _ = writeln!(out, "     hangs on it: {}", task.hangs.join("; "));
        if let Some(text) = &task.type_in {
            let _ = writeln!(out, "     then type {text}");
        }
    }
    more(out, tasks.len() - shown);
}

/// How many lines are not shown.
fn more(out: &mut String, count: usize) {
    if count > 0 {
        let _ = writeln!(out, "  and {count} more.");
    }
}

/// What it costs, and the ways side by side; the money in full is that of the first way.
fn ways(out: &mut String, host: &Host, whole: &Whole, view: View) {
    let in_view = (view == View::All).then_some(usize::MAX);
    if let Some(first) = whole.ways.ways.first() {
        let _ = write!(out, "\n{}", crate::money::block(host, &first.money, in_view));
    }
    let _ = write!(out, "\n{}", crate::ways::block(&whole.ways));
}

/// What is open before each gate: how much, and what of it is to be found out first.
fn gates(out: &mut String, whole: &Whole) {
    let next = &whole.next;
    let counted: Vec<String> = next
        .gates
        .iter()
        .filter(|it| it.1 > 0)
        .map(|(gate, count)| format!("{count} {}", gate.phrase()))
        .collect();
    let counted = if counted.is_empty() { "nothing".to_owned() } else { counted.join(", ") };
    let _ = writeln!(out, "\nOpen: {counted}.");
    let _ = write!(out, "\n{}", crate::gates::block(&whole.gates));
    if next.not_looked_at > 0 {
        let _ = writeln!(out, "Not looked at: {} parts without a kind.", next.not_looked_at);
    }
}
