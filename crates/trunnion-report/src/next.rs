//! The page "what to do now", as plain text.

use std::fmt::Write;

use trunnion_model::db::Host;
use trunnion_plan::chain::{Fate, Link};
use trunnion_plan::conversions;
use trunnion_plan::next::{Next, Task, next};

/// How many tasks of a sort are in view.
const IN_VIEW: usize = 5;

/// A page for each conversion in some files.
pub fn pages(host: &Host, files: &[String]) -> Vec<String> {
    let all = conversions(host, files).into_iter();
    all.filter_map(|id| next(host.db(), host.workspace(), id)).map(|it| page(&it)).collect()
}

/// The page.
pub fn page(next: &Next) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{}\n{}\n", next.title, "=".repeat(next.title.chars().count()));
    let _ =
        writeln!(out, "The chain: {} places. ○ only its kind is known, ● a part is known.", next.chain.len());
    for link in &next.chain {
        chain_line(&mut out, link);
    }
    if !next.clashes.is_empty() {
        let _ = writeln!(out, "\nClashes:");
        for (check, message) in &next.clashes {
            let _ = writeln!(out, "  {check}: {message}");
        }
    }
    let by = next.ask_by.as_ref().map(|it| format!(" (wants to know by {it})")).unwrap_or_default();
    tasks(&mut out, &format!("Ask the seller{by}"), &next.seller);
    tasks(&mut out, "Look or measure", &next.tape);
    tasks(&mut out, "Look up in the maker's papers", &next.maker);
    tasks(&mut out, "Decide", &next.owner);
    let gates: Vec<String> = next
        .gates
        .iter()
        .filter(|it| it.1 > 0)
        .map(|(gate, count)| format!("{count} {}", gate.phrase()))
        .collect();
    let gates = if gates.is_empty() { "nothing".to_owned() } else { gates.join(", ") };
    let _ = writeln!(out, "\nOpen: {gates}.");
    if next.not_looked_at > 0 {
        let _ = writeln!(out, "Not looked at: {} parts without a kind.", next.not_looked_at);
    }
    let _ = writeln!(
        out,
        "Local codes and approval rules apply; brakes, steering, airbags and high voltage call for a licensed person."
    );
    out
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

fn tasks(out: &mut String, title: &str, tasks: &[Task]) {
    if tasks.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}:");
    for (nth, task) in tasks.iter().take(IN_VIEW).enumerate() {
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
    if tasks.len() > IN_VIEW {
        let _ = writeln!(out, "  and {} more.", tasks.len() - IN_VIEW);
    }
}
