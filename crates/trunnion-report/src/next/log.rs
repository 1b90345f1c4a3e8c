//! What the log says: progress, parts, what measured values settled and contradict.

use std::fmt::Write;

use trunnion_model::db::{Host, Site};
use trunnion_plan::order::hours;
use trunnion_plan::progress::{Line, Progress, Traded, Worked};

use super::{View, more};
use crate::placed::Lines;

/// How many lines of a sort are in view.
const IN_VIEW: usize = 4;

pub(super) fn section(out: &mut String, host: &Host, progress: &Progress, view: View) {
    if progress.lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nBy the log:");
    let _ = writeln!(out, "  {}", head(progress));
    let worked: Vec<String> = progress.worked.iter().map(worked).collect();
    list(out, "Done", &worked, view);
    let other: Vec<String> = progress.other.iter().map(|it| line(it, it.minutes)).collect();
    list(out, "Done besides", &other, view);
    let traded: Vec<String> = progress.traded.iter().map(traded).collect();
    list(out, "Parts", &traded, view);
    for (word, title) in [("found", "Found"), ("failed", "Failed"), ("photographed", "Photographed")] {
        let lines: Vec<String> = progress.of(word).map(|it| line(it, None)).collect();
        list(out, title, &lines, view);
    }
    let contradictions: Vec<String> = progress
        .contradictions
        .iter()
        .map(|it| {
            let (measured, claim) = (place(host, it.measured.site), place(host, it.site));
            let how = how(&it.measured);
            format!(
                "{} on {} ({measured}{how}) contradicts {} by {} ({claim})",
                it.measured.what, it.measured.date, it.claim, it.source
            )
        })
        .collect();
    list(out, "Measured against what was claimed", &contradictions, View::All);
    let settled: Vec<String> = progress
        .settled
        .iter()
        .map(|it| format!("{} {} ({}), by {}", it.check, it.subject, it.outcome, it.by.join(" and ")))
        .collect();
    list(out, "Settled by what was measured", &settled, view);
}

fn head(progress: &Progress) -> String {
    let mut head = format!("{} of work", hours(progress.spent));
    if progress.untold > 0 {
        let _ = write!(
            head,
            " and {} of which the log tells no time",
            count(progress.untold, "entry", "entries")
        );
    }
    let all = progress.left + progress.worked.len();
    if all == 0 {
        head.push_str("; no work is planned.");
        return head;
    }
    let _ = write!(
        head,
        "; {} of {} planned pieces done, {} left",
        progress.worked.len(),
        all,
        hours(progress.remaining)
    );
    if !progress.untimed.is_empty() {
        let _ = write!(head, " without {}, whose time nobody stated", progress.untimed.join(", "));
    }
    head.push('.');
    head
}

fn count(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}

fn worked(it: &Worked) -> String {
    let time = match (it.took, it.planned) {
        (Some(took), Some(planned)) => format!("{} of {} planned", hours(took), hours(planned)),
        (Some(took), None) => hours(took),
        (None, Some(planned)) => format!("time not told, {} planned", hours(planned)),
        (None, None) => "time not told".to_owned(),
    };
    format!("{} {}, {time}", it.date, it.shown)
}

fn line(it: &Line, minutes: Option<u64>) -> String {
    let took = minutes.map(|it| format!(", {}", hours(it))).unwrap_or_default();
    format!("{} {}{took}{}", it.date, it.what, how(it))
}

/// With which tool, and by whom.
fn how(it: &Line) -> String {
    let tool = it.tool.as_ref().map(|it| format!(", with {it}")).unwrap_or_default();
    let by = it.by.as_ref().map(|it| format!(", by {it}")).unwrap_or_default();
    format!("{tool}{by}")
}

fn traded(it: &Traded) -> String {
    let cost = |cost: &Option<String>| cost.as_ref().map(|it| format!(" for {it}")).unwrap_or_default();
    let mut told = Vec::new();
    if let Some((on, price)) = &it.ordered {
        told.push(format!("ordered {on}{}", cost(price)));
    }
    told.extend(it.paid.iter().map(|(on, price)| format!("paid {on}{}", cost(price))));
    if let Some(on) = it.arrived {
        told.push(format!("arrived {on}"));
    }
    if let Some((on, price)) = &it.sold {
        told.push(format!("sold {on}{}", cost(price)));
    }
    if it.ordered.is_some() && it.arrived.is_none() {
        match &it.due {
            Some(due) if it.late => told.push(format!("was due by {due} and has not come")),
            Some(due) => told.push(format!("due by {due}")),
            None => told.push("not here; nobody has said how long it takes".to_owned()),
        }
    }
    format!("{}: {}", it.what.replace('_', " "), told.join(", "))
}

fn list(out: &mut String, title: &str, lines: &[String], view: View) {
    if lines.is_empty() {
        return;
    }
    let _ = writeln!(out, "  {title}:");
    let shown = view.of(IN_VIEW, lines.len());
    for it in &lines[..shown] {
        let _ = writeln!(out, "    {it}");
    }
    more(out, lines.len() - shown);
}

/// File and line of a site.
pub(super) fn place(host: &Host, site: Site) -> String {
    let Some(at) = host.locate(site) else { return String::new() };
    let (line, _) = Lines::of(host.text(&at.path).map_or("", |it| it)).position(at.span.start);
    format!("{}:{line}", at.path)
}
