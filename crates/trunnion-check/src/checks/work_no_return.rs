//! # work/no-return
//!
//! Nothing is cut, drilled, welded or sealed before what it rests on is settled: every open point
//! about the places worked on and about what comes there, up to the gate "before no return".
//!
//! ## Why it matters
//!
//! A hole in the floor stays. It is sawn on the free Saturday, for the selector that was to come, and
//! then the selector that comes is another.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind box { asks ratio }
//! kind shell { asks corrosion }
//! pattern wide { holes 4 on 90 mm, bore 8 mm }
//! pattern narrow { holes 3 on 80 mm, thread M8x1.25 }
//! family Dunlin { built 2009-06 to 2018-12
//!   place selector is box
//!   place body is shell
//!   joint selector.floor to body.selector_hole }
//! part selector_auto is box fills selector { suits selector of Dunlin, face floor is wide, ratio 1, offer 90 EUR }
//! part body_dunlin is shell fills body { fitted on Dunlin, face selector_hole is narrow }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit selector_auto
//!   cut body.selector_hole for "the selector is 14 mm wider" }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind box { asks ratio }
//! kind shell { asks corrosion }
//! pattern wide { holes 4 on 90 mm, bore 8.4 mm }
//! pattern studs { holes 4 on 90 mm, thread M8x1.25 }
//! family Dunlin { built 2009-06 to 2018-12
//!   place selector is box
//!   place body is shell
//!   joint selector.floor to body.selector_hole }
//! part selector_auto is box fills selector { suits selector of Dunlin, face floor is wide, ratio 1, offer 90 EUR }
//! part body_dunlin is shell fills body { fitted on Dunlin, face selector_hole is studs }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit selector_auto
//!   cut body.selector_hole for "the selector is 14 mm wider" }
//! ```
//!
//! ## References
//!
//! It judges by the other checks: what they leave open with a gate up to "before no return", or find to
//! clash, about the places worked on and about what changes beside them; and by the rules of one's own
//! that must hold `before no return`. What was accepted counts as settled. Common practice, no source.

use trunnion_model::built::scope_of;
use trunnion_model::db::Site;
use trunnion_model::decl::{Body, Verb};
use trunnion_model::name::Space;
use trunnion_model::verdict::{Gate, Outcome, Question, Verdict, Who};
use trunnion_model::world::Place;
use trunnion_syntax::tree::Name;

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, capital, listed};
use crate::run::of_other_checks;

/// The check.
pub static CHECK: Check =
    Check { name: "work/no-return", source: include_str!("work_no_return.rs"), judge: Judge::World(judge) };

/// Something that cannot be undone.
struct Final {
    subject: String,
    /// As in a sentence: "the cut at the body".
    shown: String,
    site: Site,
    /// The one end of the place that it is at.
    end: Option<Name>,
    /// The places it works on.
    on: Vec<Name>,
    /// Those and what changes beside them.
    rests_on: Vec<Name>,
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = finals(ctx);
    if all.is_empty() {
        return Vec::new();
    }
    let others = of_other_checks(ctx, CHECK.name);
    all.iter().map(|it| one(ctx, it, &others)).collect()
}

/// The cuts of the conversion, and the work without a way back on places that change or that meet
/// something which does; work on what is cut anyhow is told with the cut, with all that it rests on.
fn finals(ctx: &Ctx<'_>) -> Vec<Final> {
    let root = ctx.world.root();
    let mut all: Vec<Final> = Vec::new();
    for change in &ctx.world.changes {
        let Verb::Cut { what, .. } = &change.verb else { continue };
        let place = what.head();
        let at = match what.second() {
            Some(end) => format!("{} ({})", place.replace('_', " "), end.replace('_', " ")),
            None => place.replace('_', " "),
        };
        all.push(Final {
            subject: what.text(),
            shown: format!("the cut at the {at}"),
            site: root.site(change.span),
            end: what.second().cloned(),
            on: vec![place.clone()],
            rests_on: beside(ctx, place, what.second()),
        });
    }
    if ctx.world.conversion.is_none() {
        return all;
    }
    let scope = scope_of(ctx.db, ctx.workspace, root);
    for (name, id) in scope.each(Space::Work) {
        let Some(Body::Work(work)) = id.decl(ctx.db).map(|it| &it.body) else { continue };
        let on: Vec<Name> = work.on.iter().map(|it| it.head().clone()).collect();
        let touched = on.iter().filter_map(|it| ctx.world.place(it)).any(|it| ctx.touched(it));
        if !work.no_way_back || work.service || !touched {
            continue;
        }
        let rests_on: Vec<Name> = on.iter().flat_map(|it| beside(ctx, it, None)).collect();
        if let Some(cut) = all.iter_mut().find(|it| on.iter().any(|place| it.on.contains(place))) {
            // A cut at one end has nothing to do with what hangs on the others.
            for place in rests_on.into_iter().filter(|_| cut.end.is_none()) {
                if !cut.rests_on.contains(&place) {
                    cut.rests_on.push(place);
                }
            }
            continue;
        }
        let shown = format!("\"{}\"", id.shown(ctx.db));
        all.push(Final {
            subject: name.to_string(),
            shown,
            site: id.name_site(ctx.db),
            end: None,
            on,
            rests_on,
        });
    }
    all
}

/// A place, and what changes and meets it, at one of its ends where one is named; of a zone what
/// changes in it.
fn beside(ctx: &Ctx<'_>, place: &Name, end: Option<&Name>) -> Vec<Name> {
    if ctx.world.place(place).is_none() {
        let there = |it: &&Place| it.changed() && it.zone.as_deref() == Some(place.as_str());
        return ctx.world.places.iter().filter(there).map(|it| it.name.clone()).collect();
    }
    let mut all = vec![place.clone()];
    let joints = ctx.world.joints.iter().chain(ctx.world.lines.iter().map(|it| &it.joint));
    for joint in joints.filter(|it| it.after) {
        let other = match (&joint.a, &joint.b) {
            (own, other) | (other, own) if own.place == *place && end.is_none_or(|it| *it == own.end) => {
                other
            }
            _ => continue,
        };
        let changes = ctx.world.place(&other.place).is_some_and(Place::changed);
        if changes && !all.contains(&other.place) {
            all.push(other.place.clone());
        }
    }
    all
}

impl Final {
    /// Whether a verdict speaks of what it rests on: of the place that is cut at one end only what is
    /// said of that end, or of the whole.
    fn speaks_of(&self, verdict: &Verdict) -> bool {
        let paths = verdict.subject.split(|c: char| !c.is_alphanumeric() && c != '_' && c != '.');
        paths.into_iter().any(|path| {
            let mut words = path.split('.');
            let (place, end) = (words.next().unwrap_or_default(), words.next());
            let here = self.rests_on.iter().any(|it| it == place);
            let elsewhere = match (&self.end, end) {
                (Some(own), Some(end)) => self.on.iter().any(|it| it == place) && own != end,
                _ => false,
            };
            here && !elsewhere
        })
    }
}

/// Whether a rule of one's own must hold before there is no way back.
fn binding(ctx: &Ctx<'_>, verdict: &Verdict) -> bool {
    let rule = (verdict.check == "rule").then(|| ctx.find(ctx.world.root(), Space::Rule, &verdict.subject));
    match rule.flatten().and_then(|it| it.decl(ctx.db)).map(|it| &it.body) {
        Some(Body::Rule(rule)) => rule.gate.is_some_and(|it| it <= Gate::NoReturn),
        _ => false,
    }
}

fn one(ctx: &Ctx<'_>, it: &Final, others: &[Verdict]) -> Verdict {
    let about: Vec<&Verdict> =
        others.iter().filter(|verdict| it.speaks_of(verdict) || binding(ctx, verdict)).collect();
    let clashes: Vec<&Verdict> = about.iter().copied().filter(|it| it.outcome == Outcome::Clash).collect();
    let open: Vec<&Verdict> = about
        .iter()
        .copied()
        .filter(|it| it.outcome == Outcome::Open && it.accepted.is_none())
        .filter(|it| it.question.as_ref().is_some_and(|it| it.gate <= Gate::NoReturn))
        .collect();
    let places = listed(&it.rests_on.iter().map(|it| it.replace('_', " ")).collect::<Vec<_>>());
    let mut verdict = if !clashes.is_empty() {
        let names: Vec<String> = clashes.iter().map(|it| named(it)).collect();
        let message = format!("{} waits for what clashes: {}.", capital(&it.shown), few(&names));
        ctx.clash(CHECK.name, &*it.subject, it.site, message, &[])
    } else if let Some(first) = open.iter().min_by_key(|it| it.question.as_ref().map(|it| it.gate)) {
        let names: Vec<String> =
            open.iter().filter_map(|it| it.question.as_ref()).map(|it| it.what.clone()).collect();
        let message = format!("{} waits for what is not settled: {}.", capital(&it.shown), few(&names));
        let mut question = first.question.clone().unwrap_or_else(|| nothing_said(it));
        question.what = few(&names);
        question.gate = Gate::NoReturn;
        question.hangs = format!("whether {} may be done", it.shown);
        ctx.open(CHECK.name, &*it.subject, it.site, message, question)
    } else if about.is_empty() {
        let message = format!("{} rests on nothing that anybody stated.", capital(&it.shown));
        ctx.open(CHECK.name, &*it.subject, it.site, message, nothing_said(it))
    } else {
        let count = about.len();
        let s = if count == 1 { "" } else { "s" };
        let message =
            format!("All that {} rests on is settled: {count} verdict{s} on {places} looked at.", it.shown);
        let verdict = ctx.clear(CHECK.name, &*it.subject, it.site, message, &[]);
        won_by(verdict, &about)
    };
    for other in clashes.iter().chain(&open) {
        verdict = verdict.with_related(other.site, format!("{}: {}", other.check, other.outcome.word()));
    }
    for place in it.rests_on.iter().filter_map(|it| ctx.world.place(it)) {
        verdict.safety.extend(ctx.safety(place));
    }
    verdict.safety.sort();
    verdict.safety.dedup();
    verdict
}

/// A clear verdict is won no better than the weakest of those it rests on.
fn won_by(mut verdict: Verdict, about: &[&Verdict]) -> Verdict {
    let won = about.iter().filter_map(|it| match it.outcome {
        Outcome::Clear(won) => Some(won),
        _ => None,
    });
    if let Some(least) = won.min() {
        verdict.outcome = Outcome::Clear(least);
    }
    verdict
}

/// "fit/pattern of engine.crank".
fn named(verdict: &Verdict) -> String {
    format!("{} of {}", verdict.check, verdict.subject)
}

/// Three at most, and how many more.
fn few(names: &[String]) -> String {
    match names.len() {
        0..=3 => listed(names),
        more => format!("{}; and {} more", names[..3].join("; "), more - 3),
    }
}

fn nothing_said(it: &Final) -> Question {
    Question {
        what: format!("what {} is for, and what comes there", it.shown),
        good: None,
        tool: None,
        precision: None,
        minutes: None,
        who: Who::Owner,
        gate: Gate::NoReturn,
        hangs: format!("whether {} may be done", it.shown),
        type_in: None,
    }
}

#[cfg(test)]
mod tests;
