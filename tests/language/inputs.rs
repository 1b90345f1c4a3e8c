//! The paper test: for every check, the statement that supplies each of its inputs.

use std::collections::BTreeSet;
use std::fs;

use trunnion_check::list::CHECKS;
use trunnion_tests::loaded::root;

use crate::pages;
use crate::reading;
use crate::table::{Row, rows};

const HEADING: [&str; 4] = ["check", "input", "context", "statement that supplies it"];

/// Every check there is or is to be.
const NAMED: &[&str] = &[
    "kind/asked",
    "kind/none",
    "loose/end",
    "loose/duty",
    "set/together",
    "work/no-return",
    "line/mate",
    "line/rating",
    "line/route",
    "carry/support",
    "gap/least",
    "fluid/kind",
    "fluid/amount",
    "heat/cooler",
    "state/duty",
    "state/backfeed",
    "signal/scale",
    "brake/balance",
    "brake/pedal",
    "brake/parking",
    "lever/force",
    "clutch/release",
    "fit/pattern",
    "fit/register",
    "fit/spline",
    "fit/stack",
    "fit/clamp",
    "fit/length",
    "fit/angle",
    "fit/starter",
    "fit/trigger",
    "fit/wheel",
    "fit/space",
    "drive/ratio",
    "drive/road-speed",
    "drive/tyre",
    "drive/speedometer",
    "drive/torque",
    "drive/clutch",
    "drive/shaft",
    "drive/mass",
    "drive/axle",
    "build/window",
    "build/ambiguous",
    "build/disagree",
    "plug/mate",
    "plug/cavity",
    "plug/terminal",
    "wire/current",
    "wire/drop",
    "wire/fuse",
    "wire/bundle",
    "wire/end",
    "wire/budget",
    "wire/source",
    "energy/days",
    "bus/rate",
    "bus/termination",
    "bus/length",
    "bus/message",
    "bus/load",
    "bus/deadline",
    "bus/lin",
    "setup/version",
    "setup/setting",
    "setup/pair",
    "setup/contradict",
    "volt/window",
    "volt/isolation",
    "volt/pre-charge",
    "volt/fuse",
    "volt/interlock",
    "volt/colour",
    "volt/disconnect",
    "stock/twice",
    "stock/missing",
    "stock/budget",
    "stock/wait",
    "work/order",
    "work/while-open",
    "source/weak",
    "source/conflict",
    "need",
    "rule",
];

/// What a careful engineer also asks; each comes in as a check of its own.
const ALSO_WANTED: &[&str] = &["connector derating", "pack short circuit", "contactor", "stored energy"];

fn page() -> String {
    fs::read_to_string(root().join("grammar/inputs.md")).expect("grammar/inputs.md")
}

/// The name of a check in a row, and whether it is still to come.
fn named(row: &Row) -> (&str, bool) {
    match row.cells[0].strip_suffix(" (later)") {
        Some(name) => (name, true),
        None => (&row.cells[0], false),
    }
}

/// What stands in backticks; a cell holds one statement and nothing else.
fn statement(row: &Row) -> Option<&str> {
    let inner = row.cells[3].strip_prefix('`')?.strip_suffix('`')?;
    (!inner.contains('`')).then_some(inner)
}

#[test]
fn every_statement_can_be_written_where_the_table_says() {
    let page = page();
    let rows = rows(&page, &HEADING);
    assert!(rows.len() > 300, "{} rows", rows.len());
    let mut wrong = Vec::new();
    for row in &rows {
        let Some(statement) = statement(row) else {
            wrong.push(format!("line {}: `{}` is not one statement in backticks", row.line, row.cells[3]));
            continue;
        };
        let found = reading::problems(&row.cells[2], statement);
        wrong.extend(found.iter().map(|it| format!("line {}: {statement}\n      {it}", row.line)));
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn every_check_has_its_inputs() {
    let page = page();
    let rows = rows(&page, &HEADING);
    let there: BTreeSet<&str> = rows.iter().map(|it| named(it).0).collect();
    let mut wanted: BTreeSet<&str> = NAMED.iter().chain(ALSO_WANTED).copied().collect();
    assert_eq!(wanted.len(), NAMED.len() + ALSO_WANTED.len(), "each is named once");
    wanted.extend(CHECKS.iter().map(|it| it.name));
    let missing: Vec<_> = wanted.difference(&there).collect();
    assert!(missing.is_empty(), "no row: {missing:?}");
    let strange: Vec<_> = there.difference(&wanted).collect();
    assert!(strange.is_empty(), "no such check: {strange:?}");
}

/// `UPDATE_EXPECT=1` sets and takes away the marks.
#[test]
fn what_is_built_and_what_is_still_to_come_is_said_right() {
    let page = page();
    let mut lines: Vec<String> = page.lines().map(str::to_owned).collect();
    let mut wrong = Vec::new();
    for row in rows(&page, &HEADING) {
        let (name, later) = named(&row);
        let built = CHECKS.iter().any(|it| it.name == name);
        if built == later {
            wrong.push(format!(
                "line {}: {name} is {}",
                row.line,
                if built { "built" } else { "still to come" }
            ));
            let right = if built { name.to_owned() } else { format!("{name} (later)") };
            lines[row.line - 1] = lines[row.line - 1].replacen(&row.cells[0], &right, 1);
        }
    }
    if !wrong.is_empty() && std::env::var_os("UPDATE_EXPECT").is_some() {
        pages::write("inputs.md", &(lines.join("\n") + "\n"));
        return;
    }
    assert!(wrong.is_empty(), "UPDATE_EXPECT=1 mends:\n{}", wrong.join("\n"));
}

#[test]
fn no_input_of_a_check_is_listed_twice() {
    let page = page();
    let rows = rows(&page, &HEADING);
    let mut seen = BTreeSet::new();
    for row in &rows {
        assert!(seen.insert((named(row).0, &row.cells[1], &row.cells[3])), "line {} stands twice", row.line);
    }
}
