//! What stands before each gate, as a block of text and as a record.

use std::fmt::Write;

use serde::Serialize;
use trunnion_model::verdict::Who;
use trunnion_plan::gates::{AtGate, Gates};

/// How many things to find out are in view for each gate.
const IN_VIEW: usize = 3;

/// The block: a line for each gate, and the first few things to find out.
pub fn block(gates: &Gates) -> String {
    let mut out = String::from("Gates:\n");
    for it in &gates.gates {
        let _ = writeln!(out, "  {}", sentence(it));
        let all = it.tasks.iter().flat_map(|(who, tasks)| tasks.iter().map(move |task| (*who, task)));
        let all: Vec<_> = all.collect();
        for (who, task) in all.iter().take(IN_VIEW) {
            let minutes = task.minutes.map(|it| format!(", {it} min")).unwrap_or_default();
            let _ = writeln!(out, "      {}: {}{minutes}", asked(*who), task.what);
        }
        if all.len() > IN_VIEW {
            let _ = writeln!(out, "      and {} more", all.len() - IN_VIEW);
        }
    }
    let _ = writeln!(out, "  Clear on paper is not permission; local codes and approval rules apply.");
    out
}

/// One gate in a line: "before buying: 3 open, 1 clash: not yet".
pub fn sentence(it: &AtGate) -> String {
    let mut stands = Vec::new();
    if it.open > 0 {
        stands.push(format!("{} open", it.open));
    }
    match it.clashes.len() {
        0 => {}
        1 => stands.push("1 clash".to_owned()),
        many => stands.push(format!("{many} clashes")),
    }
    if it.sooner > 0 {
        let own = if stands.is_empty() { "nothing of its own open, but " } else { "" };
        let verb = match (own.is_empty(), it.sooner) {
            (true, _) => "",
            (false, 1) => " is",
            (false, _) => " are",
        };
        stands.push(format!("{own}{} of sooner gates{verb}", it.sooner));
    }
    let mut line = match it.may_pass {
        true => format!("{}: nothing open, nothing clashes: on paper it may be passed", it.gate.phrase()),
        false => format!("{}: {}: not yet", it.gate.phrase(), stands.join(", ")),
    };
    let mut notes = Vec::new();
    if it.minutes > 0 {
        notes.push(format!("{} min of measuring", it.minutes));
    }
    if it.untimed > 0 {
        notes.push(format!("{} to measure without a stated time", it.untimed));
    }
    if it.not_looked_at > 0 {
        notes.push(format!("{} not looked at", it.not_looked_at));
    }
    if it.accepted > 0 {
        notes.push(format!("{} accepted", it.accepted));
    }
    if !notes.is_empty() {
        let _ = write!(line, " ({})", notes.join(", "));
    }
    line
}

fn asked(who: Who) -> &'static str {
    match who {
        Who::Seller => "ask the seller",
        Who::Tape => "measure or look",
        Who::Maker => "look up",
        Who::Owner => "decide",
    }
}

/// The gates as a record for other programs.
#[derive(Serialize)]
pub struct Record {
    conversion: String,
    gates: Vec<GateRecord>,
}

#[derive(Serialize)]
struct GateRecord {
    gate: &'static str,
    may_pass: bool,
    sentence: String,
    open: usize,
    accepted: usize,
    not_looked_at: usize,
    sooner: usize,
    minutes_of_measuring: u32,
    measurements_without_time: usize,
    clashes: Vec<ClashRecord>,
    to_find_out: Vec<TaskRecord>,
}

#[derive(Serialize)]
struct ClashRecord {
    check: String,
    message: String,
}

#[derive(Serialize)]
struct TaskRecord {
    who: &'static str,
    what: String,
    good: Option<String>,
    tool: Option<String>,
    precision: Option<String>,
    minutes: Option<u32>,
    hangs: Vec<String>,
    type_in: Option<String>,
    safety: bool,
}

/// The record.
pub fn record(gates: &Gates) -> Record {
    let one = |it: &AtGate| GateRecord {
        gate: it.gate.word(),
        may_pass: it.may_pass,
        sentence: sentence(it),
        open: it.open,
        accepted: it.accepted,
        not_looked_at: it.not_looked_at,
        sooner: it.sooner,
        minutes_of_measuring: it.minutes,
        measurements_without_time: it.untimed,
        clashes: it
            .clashes
            .iter()
            .map(|(check, message)| ClashRecord { check: check.clone(), message: message.clone() })
            .collect(),
        to_find_out: it
            .tasks
            .iter()
            .flat_map(|(who, tasks)| tasks.iter().map(move |task| (*who, task)))
            .map(|(who, it)| TaskRecord {
                who: who.word(),
                what: it.what.clone(),
                good: it.good.clone(),
                tool: it.tool.clone(),
                precision: it.precision.clone(),
                minutes: it.minutes,
                hangs: it.hangs.clone(),
                type_in: it.type_in.clone(),
                safety: it.safety,
            })
            .collect(),
    };
    Record { conversion: gates.title.clone(), gates: gates.gates.iter().map(one).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trunnion_model::verdict::Gate;

    fn at(open: usize, clashes: usize, sooner: usize) -> AtGate {
        AtGate {
            gate: Gate::Power,
            open,
            not_looked_at: 0,
            accepted: 0,
            clashes: vec![(String::new(), String::new()); clashes],
            tasks: Vec::new(),
            minutes: 12,
            untimed: 0,
            sooner,
            may_pass: open + clashes + sooner == 0,
        }
    }

    #[test]
    fn a_gate_never_reads_as_passed_while_something_stands_before_it() {
        assert_eq!(sentence(&at(3, 1, 0)), "before power: 3 open, 1 clash: not yet (12 min of measuring)");
        assert_eq!(
            sentence(&at(0, 0, 2)),
            "before power: nothing of its own open, but 2 of sooner gates are: not yet (12 min of measuring)"
        );
        assert_eq!(
            sentence(&at(1, 0, 2)),
            "before power: 1 open, 2 of sooner gates: not yet (12 min of measuring)"
        );
        assert!(sentence(&at(0, 0, 0)).contains("on paper it may be passed"));
    }
}
