//! The ways of a conversion side by side, as a block of text and as a record.

use std::fmt::Write;

use serde::Serialize;
use trunnion_check::works::hours;
use trunnion_model::verdict::Gate;
use trunnion_plan::ways::{Closed, Wait, Way, Ways, Why};

use crate::money::{TotalRecord, total, total_record};

/// The block; of a conversion without ways, what it comes to.
pub fn block(ways: &Ways) -> String {
    let mut out = String::new();
    if let [only] = ways.ways.as_slice() {
        out.push_str("What it comes to:\n");
        one(&mut out, only, "  ");
        closed_off(&mut out, "  no way back: ", &ways.closed_by_all);
        return out;
    }
    out.push_str("Ways:\n");
    for it in &ways.ways {
        let _ = writeln!(out, "  {}", it.shown);
        one(&mut out, it, "    ");
        closed_off(&mut out, "    no way back: ", &it.closes);
        for then in &it.then {
            let against = match then.against.is_empty() {
                true => "stays possible".to_owned(),
                false => format!("is closed off by: {}", then.against.join("; ")),
            };
            let buys = match then.buys.is_empty() {
                true => String::new(),
                false => format!("; it would buy {}", then.buys.join(", ")),
            };
            let _ = writeln!(out, "    then \"{}\" {against}{buys}", then.way);
        }
    }
    closed_off(&mut out, "  no way back by any of them: ", &ways.closed_by_all);
    if !ways.differs.is_empty() {
        let _ = writeln!(out, "  they differ in:");
        for it in &ways.differs {
            let each = ways.ways.iter().zip(&it.each).map(|(way, what)| format!("{}: {what}", named(way)));
            let _ = writeln!(out, "    {}  {}", it.what, each.collect::<Vec<_>>().join(" | "));
        }
    }
    out
}

fn one(out: &mut String, it: &Way, indent: &str) {
    for (name, text) in rows(it) {
        let _ = writeln!(out, "{indent}{name:<9} {text}");
    }
}

fn closed_off(out: &mut String, lead: &str, all: &[Closed]) {
    let of =
        |taken: bool| all.iter().filter(move |it| (it.why == Why::Taken) == taken).map(|it| it.what.as_str());
    let mut each: Vec<String> = of(false).map(str::to_owned).collect();
    let taken: Vec<&str> = of(true).collect();
    if !taken.is_empty() {
        each.push(format!("taken, and there once: {}", taken.join(", ")));
    }
    if !each.is_empty() {
        let _ = writeln!(out, "{lead}{}", each.join("; "));
    }
}

fn named(way: &Way) -> String {
    way.name.as_ref().map_or_else(|| way.shown.clone(), |it| it.replace('_', " "))
}

/// The rows of one way: name and text.
fn rows(it: &Way) -> Vec<(&'static str, String)> {
    let mut rows = vec![("costs", total(&it.money.cost))];
    if let Some(left) = it.money.left {
        rows.push(("left", left.display()));
    }
    let waits = match (&it.wait, it.unknown_waits.len()) {
        (None, 0) => "for nothing".to_owned(),
        (None, many) => format!("not known: nobody has said how long {many} parts take"),
        (Some(wait), 0) => format!("{} for {}", time(wait), wait.what),
        (Some(wait), many) => {
            format!("at least {} for {}; nobody has said how long {many} parts take", time(wait), wait.what)
        }
    };
    rows.push(("waits", waits));
    let untimed = match it.untimed.as_slice() {
        [] => String::new(),
        names => format!(", and {} without a stated time ({})", names.len(), names.join(", ")),
    };
    let time = it.work.as_ref().and_then(hours).unwrap_or_else(|| "no time stated".to_owned());
    rows.push(("work", format!("{time} in {} pieces{untimed}", it.pieces)));
    let unknown = match it.unknown_masses.len() {
        0 => String::new(),
        many => format!(", without {many} that nobody has weighed"),
    };
    let mass = it.mass.map_or_else(|| "not known".to_owned(), |it| it.display());
    rows.push(("mass", format!("{mass}{unknown}")));
    let open: Vec<String> = it
        .open
        .iter()
        .filter(|it| it.1 > 0)
        .map(|(gate, many)| format!("{many} {}", gate.phrase()))
        .collect();
    let open = if open.is_empty() { "nothing".to_owned() } else { open.join(", ") };
    rows.push(("clashes", it.clashes.to_string()));
    rows.push(("open", open));
    rows
}

fn time(wait: &Wait) -> String {
    match wait.soonest == wait.latest {
        true => wait.latest.display(),
        false => format!("{} to {}", wait.soonest.display(), wait.latest.display()),
    }
}

/// The ways as a record for other programs.
#[derive(Serialize)]
pub struct Record {
    conversion: String,
    ways: Vec<WayRecord>,
    differs: Vec<DifferenceRecord>,
    no_way_back_by_any: Vec<ClosedRecord>,
}

#[derive(Serialize)]
struct WayRecord {
    name: Option<String>,
    shown: String,
    cost: TotalRecord,
    wait: Option<WaitRecord>,
    unknown_waits: Vec<String>,
    work_hours: Option<f64>,
    work_pieces: usize,
    untimed: Vec<String>,
    mass_kg: Option<[f64; 2]>,
    unknown_masses: Vec<String>,
    clashes: usize,
    open: std::collections::BTreeMap<&'static str, usize>,
    no_way_back: Vec<ClosedRecord>,
    then: Vec<ThenRecord>,
}

#[derive(Serialize)]
struct WaitRecord {
    what: String,
    time: String,
    days: [Option<f64>; 2],
}

#[derive(Serialize)]
struct ClosedRecord {
    what: String,
    why: String,
}

#[derive(Serialize)]
struct ThenRecord {
    way: String,
    closed_off_by: Vec<String>,
    buys: Vec<String>,
}

#[derive(Serialize)]
struct DifferenceRecord {
    what: String,
    each: Vec<String>,
}

fn closed(all: &[Closed]) -> Vec<ClosedRecord> {
    let one =
        |it: &Closed| ClosedRecord { what: it.what.clone(), why: format!("{:?}", it.why).to_lowercase() };
    all.iter().map(one).collect()
}

/// The record.
pub fn record(ways: &Ways) -> Record {
    let round = |it: f64| (it * 1000.0).round() / 1000.0;
    let one = |it: &Way| WayRecord {
        name: it.name.clone(),
        shown: it.shown.clone(),
        cost: total_record(&it.money.cost),
        wait: it.wait.as_ref().map(|it| WaitRecord {
            what: it.what.clone(),
            time: time(it),
            days: [
                it.soonest.ends_in("days").map(|it| round(it[0])),
                it.latest.ends_in("days").map(|it| round(it[2])),
            ],
        }),
        unknown_waits: it.unknown_waits.clone(),
        work_hours: it.work.and_then(|it| it.in_unit("h")).map(round),
        work_pieces: it.pieces,
        untimed: it.untimed.clone(),
        mass_kg: it.mass.and_then(|it| it.ends_in("kg")).map(|[least, _, most]| [round(least), round(most)]),
        unknown_masses: it.unknown_masses.clone(),
        clashes: it.clashes,
        open: it.open.iter().map(|(gate, many): &(Gate, usize)| (gate.word(), *many)).collect(),
        no_way_back: closed(&it.closes),
        then: it
            .then
            .iter()
            .map(|it| ThenRecord {
                way: it.way.clone(),
                closed_off_by: it.against.clone(),
                buys: it.buys.clone(),
            })
            .collect(),
    };
    Record {
        conversion: ways.title.clone(),
        ways: ways.ways.iter().map(one).collect(),
        differs: ways
            .differs
            .iter()
            .map(|it| DifferenceRecord { what: it.what.clone(), each: it.each.clone() })
            .collect(),
        no_way_back_by_any: closed(&ways.closed_by_all),
    }
}
