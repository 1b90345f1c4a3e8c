//! # stock/wait
//!
//! What must be bought is there by the day on which all is to be ready (`aim ready 2026-06-01`): by the day it
//! came, or the day it was ordered and its wait. What nobody has ordered yet is open, with the last day to do so.
//!
//! ## Why it matters
//!
//! One part of ten weeks keeps a vehicle on stands that everything else would have put back on the road in
//! three. It is ordered first, or another is taken.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place flywheel is unit }
//! part solid is unit fills flywheel { offer 310 EUR, wait 10 weeks }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit solid, aim ready 2026-05-01 }
//! log of van { 2026-03-06 ordered solid 310 EUR }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place flywheel is unit }
//! part quick is unit fills flywheel { offer 340 EUR, wait 3 weeks }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit quick, aim ready 2026-05-01 }
//! log of van { 2026-03-06 ordered quick 340 EUR }
//! ```
//!
//! ## References
//!
//! Counting of days on what the specification and the job log state. The day of today is never used: the
//! newest day of the log stands for it, so that the same files give the same answer tomorrow.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::{Found, ValueKind};
use trunnion_model::name::Id;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_syntax::tree::Date;

use crate::awaited::{Awaited, awaited, days, told};
use crate::calendar::{between, first_day, last_day, later};
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital};

/// The check.
pub static CHECK: Check =
    Check { name: "stock/wait", source: include_str!("stock_wait.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some((aim, found)) = ctx.aim("ready") else { return Vec::new() };
    let Some(ValueKind::Date(ready)) = aim.values.first().map(|it| &it.kind) else { return Vec::new() };
    awaited(ctx).into_iter().filter_map(|it| one(ctx, &it, *ready, &found)).collect()
}

fn one(ctx: &Ctx<'_>, it: &Awaited, ready: Date, aim: &Found) -> Option<Verdict> {
    let told = told(ctx, &it.names);
    let last = last_day(ready);
    let subject = it.subject.clone();
    if let Some((when, found)) = &told.arrived {
        let message = format!("{} came on {when}, to be ready by {last}.", capital(&it.shown));
        let clear = ctx.clear(CHECK.name, subject, it.site, message, &[found.clone(), aim.clone()]);
        return Some(clear);
    }
    if it.here {
        return None;
    }
    let Some(wait) = it.wait else { return open_wait(ctx, it) };
    let (soonest, latest) = days(&wait)?;
    let Some((ordered, order)) = &told.ordered else {
        return Some(unordered(ctx, it, wait, (soonest, latest), last, told.newest, aim));
    };
    let (from, to) = (later(first_day(*ordered), soonest), later(last_day(*ordered), latest));
    let found = [order.clone(), it.stated.clone(), aim.clone()];
    let comes = if from == to { to.to_string() } else { format!("between {from} and {to}") };
    let on = if from == to { format!("on {comes}") } else { comes.clone() };
    let told = format!("{}, ordered on {ordered}, comes {on}", capital(&it.shown));
    let formula = format!("{ordered} + {} = {comes}", wait.display());
    let verdict = if to <= last {
        let message = format!("{told}; all is to be ready by {last}.");
        ctx.clear(CHECK.name, subject, it.site, message, &found)
    } else if from > last {
        let message = format!("{told}, but all is to be ready by {last}.");
        ctx.clash(CHECK.name, subject, it.site, message, &found).with_fixes(sooner(ctx, it, &wait))
    } else {
        let message = format!("{told}; all is to be ready by {last}, which leaves both possible.");
        let question = question(it, format!("when {} comes", it.shown), "ask the seller", None);
        ctx.open(CHECK.name, subject, it.site, message, question)
    };
    let margin = between(to, last);
    Some(verdict.with_formula(formula).with_margin(format!("{margin} days").replace('-', "−")))
}

/// What nobody has ordered: the last day to do so.
fn unordered(
    ctx: &Ctx<'_>,
    it: &Awaited,
    wait: Quantity,
    (soonest, latest): (i64, i64),
    last: jiff::civil::Date,
    newest: Option<Date>,
    aim: &Found,
) -> Verdict {
    let (by, formula) =
        (later(last, -latest), format!("{last} − {} = {}", wait.display(), later(last, -latest)));
    let gone = newest.is_some_and(|it| first_day(it) > later(last, -soonest));
    let subject = it.subject.clone();
    let verdict = if gone {
        let message = format!(
            "{} is not ordered and takes {}: it cannot be there by {}, since the log goes on to {}.",
            capital(&it.shown),
            wait.display(),
            last,
            newest.map(|it| it.to_string()).unwrap_or_default()
        );
        let found = [it.stated.clone(), aim.clone()];
        ctx.clash(CHECK.name, subject, it.site, message, &found).with_fixes(sooner(ctx, it, &wait))
    } else {
        let message = format!(
            "Nobody has ordered {}, which takes {}; to be ready by {} it must be ordered by {}.",
            it.shown,
            wait.display(),
            last,
            by
        );
        let type_in = format!("in the log: … ordered {}", it.id.name(ctx.db));
        let mut question = question(it, format!("when {} is ordered", it.shown), "order it", Some(type_in));
        question.good = Some(format!("by {by}"));
        crate::ctx::with_found(
            ctx.open(CHECK.name, subject, it.site, message, question),
            &[it.stated.clone(), aim.clone()],
        )
    };
    verdict.with_formula(formula)
}

/// A part that nobody has said how long it takes.
fn open_wait(ctx: &Ctx<'_>, it: &Awaited) -> Option<Verdict> {
    // Without any offer stock/missing asks where it comes from at all; what is made takes its own work.
    let part = ctx.part(it.id);
    if part.is_some_and(|it| it.offer.as_ref().is_none_or(|it| it.price.is_none())) {
        return None;
    }
    let message = format!("Nobody has said how long {} takes to come.", it.shown);
    let type_in = format!("in {}: wait … days", it.id.name(ctx.db));
    let question =
        question(it, format!("how long {} takes to come", it.shown), "ask the seller", Some(type_in));
    let edit = ctx.insert(it.id, "wait … days");
    let fix = edit
        .map(|edit| Fix { title: format!("state the wait of {}", it.id.shown(ctx.db)), edits: vec![edit] });
    Some(ctx.open(CHECK.name, it.subject.clone(), it.site, message, question).with_fixes(fix))
}

fn question(it: &Awaited, what: String, tool: &str, type_in: Option<String>) -> Question {
    Question {
        what,
        good: None,
        tool: Some(tool.to_owned()),
        precision: None,
        minutes: Some(10),
        who: Who::Owner,
        gate: Gate::Buying,
        hangs: format!("whether {} is there in time", it.shown),
        type_in,
    }
}

/// Parts of the catalogue for the same place that come sooner.
fn sooner(ctx: &Ctx<'_>, it: &Awaited, wait: &Quantity) -> Vec<Fix> {
    let place = it.names.get(1).and_then(|it| ctx.world.place(it));
    let quick = |id: Id| {
        let other = ctx.part(id).and_then(|it| it.offer.as_ref()).and_then(|it| it.wait);
        id != it.id && other.is_some_and(|it| it.hi() < wait.lo())
    };
    place.map(|place| replacements(ctx, place, &quick)).unwrap_or_default()
}

#[cfg(test)]
mod tests;
