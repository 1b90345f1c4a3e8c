//! # work/order
//!
//! The work can be done in some order: nothing waits for itself, what is reached only through an opening has
//! work that makes it, nothing is sealed in before its service, and what a piece of work asks for holds.
//!
//! What seals an access for good comes after all that is done in it; a part that would come only after that is
//! named. Of two pieces of work on one place, what opens something is taken to come before what puts together,
//! unless somebody says otherwise; the verdict tells so.
//!
//! It looks at the work of this conversion: what is done on places that it changes or cuts, services that it
//! renews, what opens the way to them, what is reached only there, and what must be done before. What the log
//! says is done is held against that order.
//!
//! ## Why it matters
//!
//! The gearbox is back in, the last bolt is tight, and the seal lies on the bench. An order that cannot be is
//! seen on paper in a minute, and in the workshop after a day.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox, flywheel is unit }
//! part auto_six is unit fills gearbox { mass 86 kg }
//! work gearbox_out { takes 3 h, on gearbox, opens clutch_housing, after converter_up }
//! work converter_up { takes 30 min, on gearbox, reached only in clutch_housing }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12, place gearbox, flywheel is unit }
//! part auto_six is unit fills gearbox { mass 86 kg }
//! work gearbox_out { takes 3 h, on gearbox, opens clutch_housing }
//! work converter_up { takes 30 min, on gearbox, reached only in clutch_housing }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit auto_six }
//! ```
//!
//! ## References
//!
//! What the specification states of its work; an order without a ring (topological order). Times are added
//! one after another: common practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::Found;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_syntax::tree::Date;

use crate::awaited::{days, needed, told};
use crate::calendar::{last_day, later};
use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::works::{Job, declared, hours, works};

mod needs;
pub mod sequence;

use sequence::{Before, Why, assumed, ring, sequence};

/// The check.
pub static CHECK: Check =
    Check { name: "work/order", source: include_str!("work_order.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let jobs = works(ctx);
    if jobs.is_empty() {
        return Vec::new();
    }
    let edges = sequence::edges(&jobs);
    let mut verdicts = unopened(ctx, &jobs);
    verdicts.extend(out_of_order(ctx, &jobs, &edges));
    match ring(&jobs, &edges) {
        Some(around) => verdicts.push(waits_for_itself(ctx, &jobs, &around)),
        None if verdicts.is_empty() => verdicts.push(in_order(ctx, &jobs, &edges)),
        None => {}
    }
    verdicts.extend(jobs.iter().flat_map(|it| needs::judged(ctx, it)));
    verdicts
}

/// Work that is reached only through what nothing opens, or through what several might.
fn unopened(ctx: &Ctx<'_>, jobs: &[Job<'_>]) -> Vec<Verdict> {
    let all = declared(ctx);
    let mut verdicts = Vec::new();
    for job in jobs {
        for access in job.work.reached_in.iter().filter(|it| !jobs.iter().any(|job| job.opens(&it.value))) {
            let (who, access_shown) = (job.shown(ctx), access.value.replace('_', " "));
            let openers: Vec<String> =
                all.iter().filter(|it| it.opens(&access.value)).map(|it| it.shown(ctx)).collect();
            let message = match openers.as_slice() {
                [] => format!(
                    "{} is reached only in {access_shown}, and nobody has said which work opens it.",
                    capital(&who)
                ),
                _ => format!(
                    "{} is reached only in {access_shown}; nobody has said which opens it here: {}.",
                    capital(&who),
                    openers.join(" or ")
                ),
            };
            let question = Question {
                what: format!("which work opens {access_shown}"),
                good: (!openers.is_empty()).then(|| openers.join(" or ")),
                tool: Some("workshop manual".to_owned()),
                precision: None,
                minutes: Some(10),
                who: Who::Owner,
                gate: Gate::Buying,
                hangs: format!("whether {who} can be reached"),
                type_in: Some(format!("in a work: opens {}", access.value)),
            };
            verdicts.push(ctx.open(
                CHECK.name,
                job.name.clone(),
                job.id.site(access.span),
                message,
                question,
            ));
        }
    }
    verdicts
}

/// Work that the log says was done before what must come first.
fn out_of_order(ctx: &Ctx<'_>, jobs: &[Job<'_>], edges: &[Before]) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for edge in edges {
        let (first, then) = (&jobs[edge.first], &jobs[edge.then]);
        let Some(done) = then.done else { continue };
        // What seals something in closes the way for good; other work may have been done unlogged.
        let late = first.done.map_or(edge.why.seals(), |it| it > done);
        if !late {
            continue;
        }
        let (what, sealed) = (first.shown(ctx), then.shown(ctx));
        let message = match &edge.why {
            Why::Seals(access) => format!(
                "{} is reached only in {}, which {sealed} sealed on {done}{}.",
                capital(&what),
                access.replace('_', " "),
                not_yet_here(ctx, first, done)
            ),
            _ => format!("{} was done on {done}, before {what}, which must come first.", capital(&sealed)),
        };
        let found = found(ctx, &[first, then]);
        verdicts.push(ctx.clash(CHECK.name, first.name.clone(), first.site(ctx), message, &found));
    }
    verdicts
}

/// The parts of a piece of work that had not come on a day: "; the sensor, ordered on 2026-03-02, was not here".
fn not_yet_here(ctx: &Ctx<'_>, job: &Job<'_>, on: Date) -> String {
    let late = needed(ctx, job).into_iter().filter(|it| !it.here).filter_map(|it| {
        let told = told(ctx, &it.names);
        let came = told.arrived.map(|it| it.0);
        if came.is_some_and(|it| it <= on) {
            return None;
        }
        let comes = match (told.ordered, it.wait.as_ref().and_then(days)) {
            _ if came.is_some() => format!("came on {}", came?),
            (Some((ordered, _)), Some((_, latest))) => {
                format!("is due on {} only", later(last_day(ordered), latest))
            }
            (Some((ordered, _)), None) => format!("was ordered on {ordered} and has not come"),
            (None, _) => "is not even ordered".to_owned(),
        };
        Some(format!("{} {comes}", it.shown))
    });
    let late: Vec<String> = late.collect();
    if late.is_empty() { String::new() } else { format!("; {}", listed(&late)) }
}

fn found(ctx: &Ctx<'_>, jobs: &[&Job<'_>]) -> Vec<Found> {
    jobs.iter().filter_map(|it| it.found(ctx)).collect()
}

/// Pieces of work each of which must come before the next, and the last before the first.
fn waits_for_itself(ctx: &Ctx<'_>, jobs: &[Job<'_>], around: &[&Before]) -> Verdict {
    let first = &jobs[around[0].first];
    let steps: Vec<String> = around
        .iter()
        .map(|it| {
            let (a, b) = (jobs[it.first].shown(ctx), jobs[it.then].shown(ctx));
            match &it.why {
                Why::After => format!("{b} comes after {a}"),
                Why::Opens(access) => {
                    format!("{b} is reached only in {}, which {a} opens", access.replace('_', " "))
                }
                Why::Seals(access) => {
                    format!("{b} seals {}, in which {a} is reached", access.replace('_', " "))
                }
                Why::Apart(place) => apart(&a, &b, place),
            }
        })
        .collect();
    let message = format!("No order is possible: {}.", steps.join("; "));
    let all: Vec<&Job<'_>> = around.iter().map(|it| &jobs[it.first]).collect();
    ctx.clash(CHECK.name, first.name.clone(), first.site(ctx), message, &found(ctx, &all))
}

/// "axles in comes after axles out, which takes the final drive apart".
fn apart(first: &str, then: &str, place: &str) -> String {
    format!("{then} comes after {first}, which takes the {} apart", place.replace('_', " "))
}

/// The order, and how long all of it takes.
fn in_order(ctx: &Ctx<'_>, jobs: &[Job<'_>], edges: &[Before]) -> Verdict {
    let assumed = assumed(jobs, edges);
    let all: Vec<Before> = edges.iter().chain(&assumed).cloned().collect();
    let order: Vec<&Job<'_>> = sequence(jobs.len(), &all).into_iter().map(|it| &jobs[it]).collect();
    let names: Vec<String> = order.iter().map(|it| it.shown(ctx)).collect();
    let timed: Vec<Quantity> = order.iter().filter_map(|it| it.work.takes).collect();
    let whole =
        timed.iter().skip(1).try_fold(timed.first().copied(), |all, it| Some(all?.add(it).ok())).flatten();
    let time = whole.as_ref().and_then(hours);
    let untimed: Vec<String> =
        order.iter().filter(|it| it.work.takes.is_none()).map(|it| it.shown(ctx)).collect();
    let together = match (&time, untimed.is_empty()) {
        (Some(time), true) => format!(", {time} together"),
        (Some(time), false) => format!(", {time} without {}", listed(&untimed)),
        (None, _) => String::new(),
    };
    let count = if names.len() == 1 { "one piece".to_owned() } else { format!("{} pieces", names.len()) };
    let message = format!("The work can be done in this order, {count}{together}: {}.", names.join("; "));
    let mut verdict = ctx.clear(CHECK.name, "work", ctx.root_site(), message, &found(ctx, &order));
    if let Some(time) = time.filter(|_| timed.len() > 1) {
        let words: Vec<String> = timed.iter().map(Quantity::display).collect();
        verdict = verdict.with_formula(format!("{} = {time}", words.join(" + ")));
    }
    let helpers: Vec<String> = order
        .iter()
        .filter_map(|it| {
            it.work.hands.filter(|hands| *hands > 1).map(|hands| format!("{} ({hands})", it.shown(ctx)))
        })
        .collect();
    if !helpers.is_empty() {
        verdict.notes.push(format!("more than one person is needed for {}", listed(&helpers)));
    }
    for edge in &assumed {
        if let Why::Apart(place) = &edge.why {
            let said = apart(&jobs[edge.first].shown(ctx), &jobs[edge.then].shown(ctx), place);
            verdict.notes.push(format!("nobody has said so, it is taken for granted: {said}"));
        }
    }
    if !untimed.is_empty() {
        verdict.notes.push(format!("nobody has said how long these take: {}", listed(&untimed)));
    }
    let done: Vec<String> =
        order.iter().filter_map(|it| it.done.map(|on| format!("{} on {on}", it.shown(ctx)))).collect();
    if !done.is_empty() {
        verdict.notes.push(format!("done already: {}", listed(&done)));
    }
    verdict
}

#[cfg(test)]
mod tests;
