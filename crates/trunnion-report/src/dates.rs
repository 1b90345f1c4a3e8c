//! The table of build dates and options, as plain text and as a record.

use std::fmt::Write;

use jiff::civil::Date;
use serde::Serialize;
use trunnion_plan::dates::{Change, Dates, Options, Point, Row};

use crate::money::{TotalRecord, total, total_record};

/// The table as plain text.
pub fn page(dates: &Dates) -> String {
    let mut out = String::new();
    let title = format!("{}, by build date", dates.title);
    let _ = writeln!(out, "{title}\n{}\n", "=".repeat(title.chars().count()));
    let _ =
        writeln!(out, "The recipient ({}) as it is written: {}.", dates.recipient, options(&dates.stated));
    if !dates.kept.is_empty() {
        let _ = writeln!(
            out,
            "Kept in every row, since it is stated of this one vehicle: {}.",
            dates.kept.join(", ")
        );
    }
    if !dates.whole {
        let _ = writeln!(out, "There are too many sets of options to try all: each is changed by itself.");
    }
    let mut before: Option<&Row> = None;
    for row in &dates.rows {
        let last = before.filter(|it| it.options == row.options);
        if last.is_none() {
            let _ = writeln!(out, "\nWith {}:", options(&row.options));
        }
        one(&mut out, row, last);
        before = Some(row);
    }
    let works = dates.rows.iter().filter(|it| it.works()).count();
    let _ = writeln!(
        out,
        "\n{works} of {} spans without a clash. What is open stays open: clear on paper is not permission, and local\n\
         codes and approval rules apply.",
        dates.rows.len()
    );
    out
}

fn one(out: &mut String, row: &Row, last: Option<&Row>) {
    let own = if row.own { "  <- this vehicle" } else { "" };
    let outcome = match row.clashes.len() {
        0 => "nothing clashes".to_owned(),
        1 => "1 clash".to_owned(),
        many => format!("{many} clashes"),
    };
    let _ = writeln!(out, "  {}  {outcome}, {} open{own}", span(row.from, row.to), row.open.len());
    if last.is_none_or(|it| it.cost != row.cost) {
        let _ = writeln!(out, "      costs {}", total(&row.cost));
    }
    if last.is_none() {
        for (place, part) in &row.sits {
            let _ = writeln!(out, "      {place}: {part}");
        }
    }
    for it in &row.changes {
        let _ = writeln!(out, "      {}", changed(it));
    }
    for it in &row.disputed {
        let _ = writeln!(out, "      disputed: {it}");
    }
    let gone = |of: fn(&Row) -> &Vec<Point>| -> Vec<Point> {
        let there = last.map(of).into_iter().flatten();
        there.filter(|it| !of(row).iter().any(|other| key(other) == key(it))).cloned().collect()
    };
    let new = |of: fn(&Row) -> &Vec<Point>| -> Vec<Point> {
        let known = |it: &Point| last.is_some_and(|last| of(last).iter().any(|other| key(other) == key(it)));
        of(row).iter().filter(|it| !known(it)).cloned().collect()
    };
    for it in new(|it| &it.clashes) {
        let _ = writeln!(out, "      clash {}: {}", it.check, it.message);
    }
    for it in gone(|it| &it.clashes) {
        let _ = writeln!(out, "      no longer clashes: {} {}", it.check, it.subject);
    }
    if last.is_some() {
        for it in new(|it| &it.open).iter().filter(|it| !row.disputed.contains(&it.message)) {
            let _ = writeln!(out, "      open {}: {}", it.check, it.message);
        }
        for it in gone(|it| &it.open) {
            let _ = writeln!(out, "      no longer open: {} {}", it.check, it.subject);
        }
    }
}

/// What sits in a place instead of what sat there in the row before.
fn changed(it: &Change) -> String {
    match (&it.was, &it.is) {
        (Some(was), Some(is)) => format!("{}: {is} instead of {was}", it.place),
        (None, Some(is)) => format!("{}: {is}, a place that was not there before", it.place),
        (Some(was), None) => format!("{}: no longer there (was {was})", it.place),
        (None, None) => it.place.clone(),
    }
}

fn key(point: &Point) -> (&str, &str) {
    (&point.check, &point.subject)
}

fn options(set: &Options) -> String {
    if set.is_empty() {
        return "no options".to_owned();
    }
    set.iter().map(|(name, value)| format!("{name} {value}")).collect::<Vec<_>>().join(", ")
}

/// A span as a mechanic writes it: whole months where it is whole months.
fn span(from: Date, to: Date) -> String {
    let month = |it: Date| format!("{:04}-{:02}", it.year(), it.month());
    let first = if from.day() == 1 { month(from) } else { from.to_string() };
    let last = if to == to.last_of_month() { month(to) } else { to.to_string() };
    format!("{first} to {last}")
}

/// The table as a record for other programs.
#[derive(Serialize)]
pub struct Record {
    version: u32,
    conversion: String,
    recipient: String,
    kept: Vec<String>,
    whole: bool,
    spans: Vec<SpanRecord>,
}

#[derive(Serialize)]
struct SpanRecord {
    from: String,
    to: String,
    options: std::collections::BTreeMap<String, String>,
    own: bool,
    works: bool,
    sits: std::collections::BTreeMap<String, String>,
    clashes: Vec<PointRecord>,
    open: Vec<PointRecord>,
    disputed: Vec<String>,
    cost: TotalRecord,
    changes: Vec<ChangeRecord>,
}

#[derive(Serialize)]
struct ChangeRecord {
    place: String,
    was: Option<String>,
    is: Option<String>,
}

#[derive(Serialize)]
struct PointRecord {
    check: String,
    subject: String,
    message: String,
}

/// The record of a table.
pub fn record(dates: &Dates) -> Record {
    let points = |all: &[Point]| {
        let one = |it: &Point| PointRecord {
            check: it.check.clone(),
            subject: it.subject.clone(),
            message: it.message.clone(),
        };
        all.iter().map(one).collect()
    };
    let spans = dates.rows.iter().map(|it| SpanRecord {
        from: it.from.to_string(),
        to: it.to.to_string(),
        options: it.options.iter().cloned().collect(),
        own: it.own,
        works: it.works(),
        sits: it.sits.iter().cloned().collect(),
        clashes: points(&it.clashes),
        open: points(&it.open),
        disputed: it.disputed.clone(),
        cost: total_record(&it.cost),
        changes: it
            .changes
            .iter()
            .map(|it| ChangeRecord { place: it.place.clone(), was: it.was.clone(), is: it.is.clone() })
            .collect(),
    });
    Record {
        version: 1,
        conversion: dates.title.clone(),
        recipient: dates.recipient.clone(),
        kept: dates.kept.clone(),
        whole: dates.whole,
        spans: spans.collect(),
    }
}
