//! A plan in a few sentences, as an editor tells it.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Host;
use trunnion_plan::draft::Sort;
use trunnion_plan::plan::contradiction::Contradiction;
use trunnion_plan::plan::{Plan, Total};

/// The usual caution.
const CAUTION: &str = "This is on paper: brakes, steering, airbags, fuel and high voltage are for a licensed person where your codes say so.";

/// How many of the statements that cannot all hold, and of what follows from them, are told.
const IN_VIEW: usize = 8;

/// What a plan does, what it costs, what clashes and what is open then.
pub fn plan(plan: &Plan) -> String {
    let way = plan.way.as_ref().map(|it| format!(", by way of {it}")).unwrap_or_default();
    let mut told = format!("{}{way}: {}.", plan.title, changes(plan));
    if !plan.picks.is_empty() {
        told.push_str(&format!(" {}.", cost(&plan.total)));
    }
    let mut clashes = plan.clashes.iter();
    match (clashes.next(), clashes.len()) {
        (None, _) => told.push_str(" Then nothing that is known clashes"),
        (Some(it), 0) => {
            told.push_str(&format!(" One clash is left, which has no one answer: {}", ended(&it.message)))
        }
        (Some(it), more) => told.push_str(&format!(
            " {} clashes are left, which have no one answer; the first: {}",
            more + 1,
            ended(&it.message)
        )),
    }
    told.push_str(&open(plan));
    if !plan.proven {
        told.push_str(" These picks are the best that were found; that there are none better is not proven.");
    }
    for note in &plan.notes {
        told.push_str(&format!(" {}.", ended(note)));
    }
    if !plan.steps.is_empty() {
        told.push_str(&format!(" {CAUTION}"));
    }
    told
}

fn changes(plan: &Plan) -> String {
    let kinds = [
        (Sort::Part, "of parts"),
        (Sort::Wire, "of wiring"),
        (Sort::Software, "of software"),
        (Sort::Duty, "of duties"),
        (Sort::End, "of ends to close"),
    ];
    let count = |sort| plan.steps.iter().filter(|it| it.sort == sort).count();
    let each = kinds
        .iter()
        .filter_map(|(sort, words)| Some(count(*sort)).filter(|it| *it > 0).map(|it| (it, words)));
    let each: Vec<String> = each.map(|(count, words)| format!("{count} {words}")).collect();
    match plan.steps.len() {
        0 => "nothing has to be changed".to_owned(),
        1 => format!("1 change, {}", each.concat().trim_start_matches("1 ")),
        all => format!("{all} changes, {}", each.join(", ")),
    }
}

/// What is open then; a sentence of its own or the end of the one before.
fn open(plan: &Plan) -> String {
    let gates = plan.open.iter().filter(|it| it.1 > 0);
    let gates: Vec<String> = gates.map(|(gate, count)| format!("{count} {}", gate.phrase())).collect();
    let all: usize = plan.open.iter().map(|it| it.1).sum();
    match (all, plan.clashes.is_empty()) {
        (0, _) => ".".to_owned(),
        (_, true) => format!(", but {all} are open: {}.", gates.join(", ")),
        (_, false) => format!(". {all} are open: {}.", gates.join(", ")),
    }
}

fn cost(total: &Total) -> String {
    let mut words = vec![format!("What is picked costs {}", money(total.cost, &total.currency))];
    match total.unpriced {
        0 => {}
        1 => words.push("one without a price".to_owned()),
        it => words.push(format!("{it} without a price")),
    }
    if total.wait > 0 {
        words.push(format!("{} to wait", time(total.wait)));
    }
    match total.unwaited {
        0 => {}
        1 => words.push("for one nobody has said how long it takes to come".to_owned()),
        it => words.push(format!("for {it} nobody has said how long they take to come")),
    }
    words.join(", ")
}

fn money((least, most): (u64, u64), currency: &str) -> String {
    let figure = |cents: u64| match cents % 100 {
        0 => (cents / 100).to_string(),
        rest => format!("{}.{rest:02}", cents / 100),
    };
    match (least, most) {
        (0, 0) => "nothing".to_owned(),
        _ if least == most => format!("{} {currency}", figure(least)),
        _ => format!("{} to {} {currency}", figure(least), figure(most)),
    }
}

/// A wait, in the largest unit that it is a whole number of.
fn time(minutes: u64) -> String {
    let units = [(7 * 1440, "weeks"), (1440, "days"), (60, "h"), (1, "min")];
    let (size, unit) = units.into_iter().find(|it| minutes.is_multiple_of(it.0)).unwrap_or((1, "min"));
    let number = minutes / size;
    match Quantity::exact(number as f64, unit) {
        Ok(it) => it.display(),
        Err(_) => format!("{number} {unit}"),
    }
}

fn ended(text: &str) -> &str {
    text.trim_end().trim_end_matches('.')
}

/// Why there is no plan.
pub fn contradiction(host: &Host, title: &str, it: &Contradiction) -> String {
    let mut statements: Vec<_> = it.statements.iter().map(|it| (host.locate(it.site), it)).collect();
    statements.sort_by(|a, b| a.0.cmp(&b.0));
    let statements = statements.into_iter().take(IN_VIEW).map(|(at, statement)| {
        let place = at.and_then(|at| {
            let before = host.text(&at.path)?.get(..at.span.start as usize)?;
            Some(format!(", {} line {}", at.path, before.matches('\n').count() + 1))
        });
        format!("`{}` ({}{})", statement.text, statement.of, place.unwrap_or_default())
    });
    let mut told = format!("{title}: there is no plan, for these cannot all hold: ");
    told.push_str(&statements.collect::<Vec<_>>().join("; "));
    told.push_str(&more(it.statements.len()));
    for sentence in it.chain.iter().take(IN_VIEW) {
        told.push_str(&format!(" {}.", ended(sentence)));
    }
    if !it.ways_out.is_empty() {
        told.push_str(&format!(" What would help: {}.", it.ways_out.join("; ")));
    }
    told
}

fn more(count: usize) -> String {
    match count.saturating_sub(IN_VIEW) {
        0 => ".".to_owned(),
        it => format!("; and {it} more, which `trunnion plan` lists."),
    }
}
