//! The log read back: what is done and how long it took, what is ordered and here, what was found and failed,
//! what the measured values settled, and which claims they contradict.

use std::collections::BTreeSet;

use trunnion_check::awaited::{awaited, days};
use trunnion_check::calendar::{first_day, last_day, later};
use trunnion_check::ctx::Ctx;
use trunnion_check::run::of_world;
use trunnion_check::works::works;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::{Db, Item, Site, Workspace};
use trunnion_model::decl::{Entry, Event};
use trunnion_model::fact::{Bound, Fact, Found, Standing, Value, ValueKind};
use trunnion_model::known::{self, logs};
use trunnion_model::name::Id;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{When, conversion, world};
use trunnion_syntax::tree::Date;

use crate::order::minutes;

/// One line of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// When.
    pub date: Date,
    /// The word that says what happened: `done`, `found`, `arrived` …
    pub word: &'static str,
    /// To what, and with what outcome.
    pub what: String,
    /// How many minutes it took, at the most.
    pub minutes: Option<u64>,
    /// By whom.
    pub by: Option<String>,
    /// With which tool, and how precise it is.
    pub tool: Option<String>,
    /// Where it is written.
    pub site: Site,
}

/// A piece of work that is done: planned against spent, in minutes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worked {
    /// As it is shown.
    pub shown: String,
    /// When.
    pub date: Date,
    /// How long it was to take.
    pub planned: Option<u64>,
    /// How long it took.
    pub took: Option<u64>,
}

/// What the log says of something that is bought or sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Traded {
    /// As the log names it.
    pub what: String,
    /// When it was ordered, and for how much.
    pub ordered: Option<(Date, Option<String>)>,
    /// Each time something was paid for it.
    pub paid: Vec<(Date, Option<String>)>,
    /// When it came.
    pub arrived: Option<Date>,
    /// When it was sold, and for how much.
    pub sold: Option<(Date, Option<String>)>,
    /// When it is due at the latest, while it has not come and a wait is stated.
    pub due: Option<String>,
    /// Whether the log goes on past that day.
    pub late: bool,
}

/// A verdict that a measured value settled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settled {
    /// The check.
    pub check: String,
    /// What it is about.
    pub subject: String,
    /// Clear or clash.
    pub outcome: &'static str,
    /// What it says.
    pub message: String,
    /// The lines of the log that it rests on: "job log, 2026-02-27 (measured)".
    pub by: Vec<String>,
}

/// A measured value outside what somebody claimed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contradiction {
    /// What was measured: "propshaft.gap".
    pub what: String,
    /// The value, and when, by whom, with what it was measured.
    pub measured: Line,
    /// The claim's value.
    pub claim: String,
    /// Its source, with how well it is supported.
    pub source: String,
    /// Where it is stated.
    pub site: Site,
}

/// The log read back.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Progress {
    /// Every line, oldest first.
    pub lines: Vec<Line>,
    /// The planned pieces of work that are done.
    pub worked: Vec<Worked>,
    /// Other work that was done, as the log tells it.
    pub other: Vec<Line>,
    /// How many minutes all of the work took whose time the log tells.
    pub spent: u64,
    /// How many lines of work tell no time.
    pub untold: usize,
    /// How many planned pieces are left.
    pub left: usize,
    /// How many minutes those take whose time is stated.
    pub remaining: u64,
    /// Those left whose time nobody stated.
    pub untimed: Vec<String>,
    /// What is bought and sold.
    pub traded: Vec<Traded>,
    /// What measured values settled.
    pub settled: Vec<Settled>,
    /// The claims that measured values contradict.
    pub contradictions: Vec<Contradiction>,
}

impl Progress {
    /// The lines of one sort: `found`, `failed`, `photographed` …
    pub fn of(&self, word: &str) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(move |it| it.word == word)
    }
}

/// What the log says of a conversion by one of its ways. None where it is no conversion or has no recipient.
pub fn progress(db: &dyn Db, workspace: Workspace, id: Id, way: Option<u32>) -> Option<Progress> {
    conversion(db, id)?;
    let world = world(db, workspace, id.item, id.nth, way)?;
    let ctx = Ctx { db, workspace, world: &world };
    let entries = entries(&ctx);
    let mut progress =
        Progress { lines: entries.iter().map(|(id, it)| line(*id, it)).collect(), ..Progress::default() };
    work(&ctx, &entries, &mut progress);
    progress.traded = traded(&ctx, &entries);
    let logs: Vec<Item> = entries.iter().map(|it| it.0.item).collect();
    progress.settled = settled(&of_world(db, workspace, id, way), &logs);
    progress.contradictions = contradictions(&ctx, &entries, &logs);
    Some(progress)
}

/// The lines of the logs of the recipient and of the donors, oldest first.
fn entries<'a>(ctx: &Ctx<'a>) -> Vec<(Id, &'a Entry)> {
    let donors = ctx.world.donors.iter().map(|it| it.vehicle);
    let mut all: Vec<(Id, &Entry)> = Vec::new();
    for vehicle in std::iter::once(ctx.world.recipient.vehicle).chain(donors) {
        for (id, log) in logs(ctx.db, ctx.workspace, ctx.world, vehicle) {
            all.extend(log.entries.iter().map(|it| (id, it)));
        }
    }
    all.sort_by_key(|it| it.1.date);
    all
}

fn line(id: Id, entry: &Entry) -> Line {
    let cost = |what: &str, cost: &Option<Quantity>| match cost {
        Some(cost) => format!("{what}, {}", cost.display()),
        None => what.to_owned(),
    };
    let mut tool = entry.tool.as_ref().map(ToString::to_string);
    let (word, what) = match &entry.event {
        Event::Measured { fact, precision } => {
            if let Some(precision) = precision {
                tool = Some(match tool {
                    Some(tool) => format!("{tool} to {}", precision.display()),
                    None => format!("to {}", precision.display()),
                });
            }
            ("measured", format!("{} {}", named(fact), shown(&fact.values)))
        }
        Event::MeasuredNumber { number, values } => ("measured", format!("no {number} is {}", shown(values))),
        Event::Done { what, .. } => ("done", what.clone()),
        Event::Ordered { what, cost: price, seller } => {
            let from = seller.as_ref().map(|it| format!(" from {it}")).unwrap_or_default();
            ("ordered", format!("{}{from}", cost(&what.text(), price)))
        }
        Event::Paid { what, cost: price } => ("paid", cost(&what.text(), price)),
        Event::Arrived { what } => ("arrived", what.text()),
        Event::Sold { what, cost: price } => ("sold", cost(&what.text(), price)),
        Event::Found { what } => ("found", what.clone()),
        Event::Failed { what } => ("failed", what.clone()),
        Event::Photographed { what, file } => {
            let file = file.as_ref().map(|it| format!(", {it}")).unwrap_or_default();
            ("photographed", format!("{}{file}", what.text()))
        }
    };
    let took = match &entry.event {
        Event::Done { took, .. } => took.as_ref().and_then(minutes),
        _ => None,
    };
    Line {
        date: entry.date,
        word,
        what,
        minutes: took,
        by: entry.by.as_ref().map(ToString::to_string),
        tool,
        site: id.site(entry.span),
    }
}

fn named(fact: &Fact) -> String {
    let words = fact.target.iter().map(|it| it.value.as_str()).chain([fact.name.value.as_str()]);
    words.collect::<Vec<_>>().join(".")
}

fn shown(values: &[Value]) -> String {
    values.iter().map(Value::display).collect::<Vec<_>>().join(", ")
}

/// Planned work against what the log says was done.
fn work(ctx: &Ctx<'_>, entries: &[(Id, &Entry)], progress: &mut Progress) {
    let jobs = works(ctx);
    let mut told: BTreeSet<usize> = BTreeSet::new();
    for job in &jobs {
        let planned = job.work.takes.as_ref().and_then(minutes);
        let Some(date) = job.done else {
            progress.left += 1;
            progress.remaining += planned.unwrap_or(0);
            if planned.is_none() {
                progress.untimed.push(job.shown(ctx));
            }
            continue;
        };
        let names =
            |what: &str| what.split(|c: char| !c.is_alphanumeric() && c != '_').any(|it| it == job.name);
        let mut took: Option<u64> = None;
        for (nth, (_, entry)) in entries.iter().enumerate() {
            if let Event::Done { what, took: time } = &entry.event
                && names(what)
            {
                told.insert(nth);
                // Work may be done in several goes.
                took = match (took, time.as_ref().and_then(minutes)) {
                    (Some(so_far), Some(more)) => Some(so_far + more),
                    (so_far, more) => so_far.or(more),
                };
            }
        }
        progress.worked.push(Worked { shown: job.shown(ctx), date, planned, took });
    }
    for (nth, (id, entry)) in entries.iter().enumerate() {
        let Event::Done { took, .. } = &entry.event else { continue };
        match took.as_ref().and_then(minutes) {
            Some(minutes) => progress.spent += minutes,
            None => progress.untold += 1,
        }
        if !told.contains(&nth) {
            progress.other.push(line(*id, entry));
        }
    }
    progress.worked.sort_by_key(|it| it.date);
}

/// What the log says was ordered, paid, came and was sold, in the order in which it is first named.
fn traded(ctx: &Ctx<'_>, entries: &[(Id, &Entry)]) -> Vec<Traded> {
    let mut all: Vec<Traded> = Vec::new();
    for (_, entry) in entries {
        let what = match &entry.event {
            Event::Ordered { what, .. }
            | Event::Paid { what, .. }
            | Event::Arrived { what }
            | Event::Sold { what, .. } => what.text(),
            _ => continue,
        };
        let nth = all.iter().position(|it| it.what == what).unwrap_or_else(|| {
            let (ordered, arrived, sold, due) = (None, None, None, None);
            all.push(Traded { what, ordered, paid: Vec::new(), arrived, sold, due, late: false });
            all.len() - 1
        });
        let it = &mut all[nth];
        let price = |cost: &Option<Quantity>| cost.map(|it| it.display());
        match &entry.event {
            Event::Ordered { cost, .. } => it.ordered = Some((entry.date, price(cost))),
            Event::Paid { cost, .. } => it.paid.push((entry.date, price(cost))),
            Event::Arrived { .. } => it.arrived = Some(entry.date),
            Event::Sold { cost, .. } => it.sold = Some((entry.date, price(cost))),
            _ => {}
        }
    }
    let waited = awaited(ctx);
    for it in all.iter_mut().filter(|it| it.arrived.is_none()) {
        let Some((on, _)) = &it.ordered else { continue };
        let wait = waited.iter().find(|one| one.names.contains(&it.what)).and_then(|it| it.wait);
        let due = wait.as_ref().and_then(days).map(|(_, most)| later(last_day(*on), most));
        let newest = entries.last().map(|it| first_day(it.1.date));
        it.late = due.is_some_and(|due| newest.is_some_and(|it| it > due));
        it.due = due.map(|it| it.to_string());
    }
    all
}

/// The verdicts that rest on a measured value of a log.
fn settled(verdicts: &[Verdict], logs: &[Item]) -> Vec<Settled> {
    let mut all = Vec::new();
    for verdict in verdicts.iter().filter(|it| it.outcome != Outcome::Open) {
        let measured = |it: &&Found| it.standing == Standing::Measured && logs.contains(&it.site.item);
        let mut by: Vec<String> = Vec::new();
        for found in verdict.rests.iter().filter(measured).filter(|it| !it.values.is_empty()) {
            if !by.contains(&found.source) {
                by.push(found.source.clone());
            }
        }
        if !by.is_empty() {
            all.push(Settled {
                check: verdict.check.to_owned(),
                subject: verdict.subject.clone(),
                outcome: verdict.outcome.word(),
                message: verdict.message.clone(),
                by,
            });
        }
    }
    all.sort_by(|a, b| {
        (a.outcome != "clash", &a.check, &a.subject).cmp(&(b.outcome != "clash", &b.check, &b.subject))
    });
    all
}

/// The measured values that lie outside what is claimed elsewhere of the same thing.
fn contradictions(ctx: &Ctx<'_>, entries: &[(Id, &Entry)], logs: &[Item]) -> Vec<Contradiction> {
    let mut all: Vec<Contradiction> = Vec::new();
    for (id, entry) in entries {
        let Event::Measured { fact, .. } = &entry.event else { continue };
        let site = id.site(entry.span);
        let claims = claims(ctx, fact, site);
        let Some(own) = claims.iter().find(|it| it.site == site) else { continue };
        for claim in claims.iter().filter(|it| !logs.contains(&it.site.item) && !holds(own, it)) {
            all.push(Contradiction {
                what: named(fact),
                measured: line(*id, entry),
                claim: claim.display(),
                source: claim.source.clone(),
                site: claim.site,
            });
        }
    }
    all
}

/// All that is claimed of what a line of the log measured: of what sits there now, else of what did before.
fn claims(ctx: &Ctx<'_>, fact: &Fact, site: Site) -> Vec<Found> {
    let [place] = fact.target.as_slice() else {
        return known::of_vehicle(ctx.db, ctx.workspace, ctx.world, &fact.name.value).claims().to_vec();
    };
    let Some(place) = ctx.world.place(&place.value) else { return Vec::new() };
    let of = |when| known::claims(ctx.db, ctx.workspace, ctx.world, place, &fact.name.value, when);
    let after = of(When::After);
    if after.iter().any(|it| it.site == site) { after } else { of(When::Before) }
}

/// Whether a measured value lies inside a claim. Words in quotes are not compared, nor what is "about" a value.
fn holds(measured: &Found, claim: &Found) -> bool {
    measured.values.iter().zip(&claim.values).all(|(a, b)| match (a.quantity(), b.quantity(), claim.bound) {
        (_, _, Some(Bound::About)) => true,
        (Some(a), Some(b), Some(Bound::Most)) => a.lo() <= b.hi(),
        (Some(a), Some(b), Some(Bound::Least)) => a.hi() >= b.lo(),
        _ => matches!((&a.kind, &b.kind), (ValueKind::Text(_), _) | (_, ValueKind::Text(_))) || a.agrees(b),
    })
}

#[cfg(test)]
mod tests;
