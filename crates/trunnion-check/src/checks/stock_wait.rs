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
use trunnion_model::db::Site;
use trunnion_model::decl::Event;
use trunnion_model::fact::{Found, Standing, ValueKind};
use trunnion_model::known::{self, logs};
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_syntax::tree::Date;

use crate::calendar::{between, first_day, last_day, later};
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::checks::stock_missing::wanted;
use crate::ctx::{Ctx, capital};
use crate::works::renewed;

/// The check.
pub static CHECK: Check =
    Check { name: "stock/wait", source: include_str!("stock_wait.rs"), judge: Judge::World(judge) };

/// Something that is waited for.
struct Awaited {
    id: Id,
    subject: String,
    shown: String,
    /// The names under which the log may speak of it.
    names: Vec<String>,
    wait: Option<Quantity>,
    stated: Found,
    site: Site,
    /// Whether it lies on the own shelf or is made by oneself and needs no order.
    here: bool,
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let Some((aim, found)) = ctx.aim("ready") else { return Vec::new() };
    let Some(ValueKind::Date(ready)) = aim.values.first().map(|it| &it.kind) else { return Vec::new() };
    awaited(ctx).into_iter().filter_map(|it| one(ctx, &it, *ready, &found)).collect()
}

fn awaited(ctx: &Ctx<'_>) -> Vec<Awaited> {
    let mut all: Vec<Awaited> = Vec::new();
    for it in wanted(ctx) {
        let offer = ctx.part(it.part).and_then(|part| part.offer.as_ref());
        let wait = offer.and_then(|it| it.wait);
        // What lies on the shelf needs no order; what is made here takes its own work.
        let on_shelf = offer
            .is_some_and(|offer| offer.price.is_none() && offer.stock.is_some_and(|stock| stock >= it.count));
        let here = on_shelf || it.made && wait.is_none();
        all.push(Awaited {
            id: it.part,
            names: vec![it.part.name(ctx.db).to_string(), it.place],
            stated: said(ctx, it.part, offer.map(|it| (&it.claim, it.span))),
            subject: it.subject,
            shown: it.shown,
            site: it.site,
            wait,
            here,
        });
    }
    for (name, change) in renewed(ctx) {
        let Some(id) = ctx.find(ctx.world.root(), Space::Work, &name) else { continue };
        let Some(trunnion_model::decl::Body::Work(work)) = id.decl(ctx.db).map(|it| &it.body) else {
            continue;
        };
        let Some(offer) = &work.offer else { continue };
        all.push(Awaited {
            id,
            subject: name.clone(),
            shown: format!("what {} needs", id.shown(ctx.db)),
            names: vec![name],
            wait: offer.wait,
            stated: said(ctx, id, Some((&offer.claim, offer.span))),
            site: change.site,
            here: false,
        });
    }
    all
}

fn said(
    ctx: &Ctx<'_>,
    id: Id,
    stated: Option<(&trunnion_model::fact::Claim, trunnion_syntax::tree::Span)>,
) -> Found {
    match stated {
        Some((claim, span)) => known::said(ctx.db, ctx.workspace, id, claim, span),
        None => known::said(ctx.db, ctx.workspace, id, &Default::default(), id.name_site(ctx.db).span),
    }
}

/// What the log says of it: when it was ordered, when it came; and its newest day.
struct Told {
    ordered: Option<(Date, Found)>,
    arrived: Option<(Date, Found)>,
    newest: Option<Date>,
}

fn told(ctx: &Ctx<'_>, names: &[String]) -> Told {
    let mut told = Told { ordered: None, arrived: None, newest: None };
    for (id, log) in logs(ctx.db, ctx.workspace, ctx.world, ctx.world.recipient.vehicle) {
        for entry in &log.entries {
            told.newest = told.newest.max(Some(entry.date));
            let found = |standing| Found {
                values: Vec::new(),
                bound: None,
                standing,
                source: format!("job log, {}", entry.date),
                source_item: Some(id.item),
                site: id.site(entry.span),
            };
            let is_it = |what: &str| names.iter().any(|it| !it.is_empty() && it == what);
            match &entry.event {
                Event::Ordered { what, .. } if is_it(what.head()) => {
                    told.ordered = Some((entry.date, found(Standing::Documented)));
                }
                Event::Arrived { what } if is_it(what.head()) => {
                    told.arrived = Some((entry.date, found(Standing::Measured)));
                }
                _ => {}
            }
        }
    }
    told
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
    // A wait may be a range: what comes at the latest counts.
    let days = |seconds: f64| -> Option<i64> {
        let days = (seconds / 86_400.0).ceil();
        // A wait of a century is none.
        #[allow(clippy::cast_possible_truncation)]
        (0.0..36_500.0).contains(&days).then_some(days as i64)
    };
    let (soonest, latest) = (days(wait.lo())?, days(wait.hi())?);
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
