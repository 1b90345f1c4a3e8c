//! # build/disagree
//!
//! Sources give different change-over dates for a part or a loom: does this vehicle lie between
//! them, and what hangs on it.
//!
//! ## Why it matters
//!
//! The manual says March, the club says June. For most vehicles it does not matter who is right.
//! For the one built in April it decides whether there is a splice behind the console to join into.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! source manual "Workshop manual" documented
//! source club "Club notes" reported
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place final_drive is unit }
//! part axle_428 is unit fills final_drive { fitted on Dunlin to 2014-02 per manual, fitted on Dunlin to 2014-05 per club }
//! part axle_410 is unit fills final_drive { fitted on Dunlin from 2014-03 per manual, fitted on Dunlin from 2014-06 per club }
//! part axle_369 is unit fills final_drive { mass 30 kg }
//! vehicle van is Dunlin { built 2014-04 }
//! conversion easy { recipient van, fit axle_369 }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! source manual "Workshop manual" documented
//! source club "Club notes" reported
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place final_drive is unit }
//! part axle_428 is unit fills final_drive { fitted on Dunlin to 2014-02 per manual, fitted on Dunlin to 2014-05 per club }
//! part axle_410 is unit fills final_drive { fitted on Dunlin from 2014-03 per manual, fitted on Dunlin from 2014-06 per club }
//! part axle_369 is unit fills final_drive { mass 30 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit axle_369 }
//! ```
//!
//! ## References
//!
//! Comparison of dates; a month means the whole month. The claims and their sources stand in the
//! specification.

use std::collections::{BTreeMap, BTreeSet};

use trunnion_model::built::{Built, How, Inside, contested, disputed, fitted_on, inside, rivals};
use trunnion_model::decl::{Body, Fitted};
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{Laid, Place, WireEnd};
use trunnion_syntax::tree::{Date, Name};

use crate::as_built::{Looked, looked_at, tell_apart};
use crate::check::{Check, Judge};
use crate::checks::build_window::{date, window};
use crate::ctx::{Ctx, with_found};

/// The check.
pub static CHECK: Check =
    Check { name: "build/disagree", source: include_str!("build_disagree.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts: Vec<Verdict> = looked_at(ctx).iter().filter_map(|it| one(ctx, it)).collect();
    verdicts.extend(of_looms(ctx));
    verdicts
}

/// Whether sources disagree on a part in a place of this vehicle: then this check speaks.
pub(crate) fn speaks(ctx: &Ctx<'_>, looked: &Looked<'_>) -> bool {
    one(ctx, looked).is_some()
}

/// The windows of a part that contradict one another, with the options of the vehicle.
fn windows<'a>(ctx: &Ctx<'a>, built: &Built, id: Id) -> Vec<&'a Fitted> {
    let lines = fitted_on(ctx.db, id, &built.families, ctx.workspace);
    let lines: Vec<&Fitted> =
        lines.into_iter().filter(|it| built.holds_all(&it.with) != Some(false)).collect();
    differing(&lines)
}

fn differing<'a>(lines: &[&'a Fitted]) -> Vec<&'a Fitted> {
    let mut all: Vec<&Fitted> = Vec::new();
    for (a, b) in rivals(lines) {
        for it in [a, b] {
            if !all.iter().any(|other| other.span == it.span) {
                all.push(it);
            }
        }
    }
    all
}

fn claims(ctx: &Ctx<'_>, id: Id, lines: &[&Fitted]) -> Vec<Found> {
    lines.iter().map(|it| known::said(ctx.db, ctx.workspace, id, &it.claim, it.span)).collect()
}

fn each_says(lines: &[&Fitted], found: &[Found]) -> String {
    let each = lines.iter().zip(found).map(|(it, by)| format!("{} says {}", by.source, window(it)));
    each.collect::<Vec<_>>().join(", ")
}

fn one(ctx: &Ctx<'_>, looked: &Looked<'_>) -> Option<Verdict> {
    let vehicle = looked.built.vehicle.shown(ctx.db);
    let built = date(looked.built.built);
    if matches!(looked.how, How::Has(_)) {
        return None;
    }
    let parts = looked.holding.parts();
    if parts.iter().any(|it| disputed(ctx.db, ctx.workspace, *it, looked.built)) {
        let each =
            parts.iter().map(|it| (*it, windows(ctx, looked.built, *it))).filter(|it| !it.1.is_empty());
        // The one that ended is named; what followed it changed on the same day.
        let (id, lines) = each.min_by_key(|(_, lines)| lines.iter().any(|it| it.from.is_some()))?;
        let found = claims(ctx, id, &lines);
        let message = format!(
            "When {} was fitted is disputed: {}; {vehicle} was built {built}.",
            id.shown(ctx.db),
            each_says(&lines, &found)
        );
        let (question, fixes) = tell_apart(ctx, looked);
        let verdict = ctx.open(CHECK.name, &looked.subject, looked.site, message, question).with_fixes(fixes);
        return Some(with_found(verdict, &found));
    }
    let id = looked.holding.part()?;
    let lines = windows(ctx, looked.built, id);
    let side = agreed(looked.built, &lines)?;
    let found = claims(ctx, id, &lines);
    let who = id.shown(ctx.db);
    let message =
        format!("When {who} was fitted is disputed, but {vehicle} was built {built}: all put it {side}.");
    Some(
        ctx.clear(CHECK.name, &looked.subject, looked.site, message, &found)
            .with_need(each_says(&lines, &found), built),
    )
}

/// Where all claims put the vehicle, where they agree on it.
fn agreed(built: &Built, lines: &[&Fitted]) -> Option<&'static str> {
    let (first, last) = built.built?;
    let each: Vec<Inside> = lines.iter().map(|it| inside((first, last), it.from, it.to)).collect();
    let side = *each.first()?;
    if side == Inside::Partly || each.iter().any(|it| *it != side) {
        return None;
    }
    Some(match side {
        Inside::No => "outside",
        _ if lines.iter().all(|it| it.from.is_none()) => "before the change",
        _ if lines.iter().all(|it| it.to.is_none()) => "after the change",
        _ => "inside",
    })
}

/// The looms of the vehicle that the conversion has to do with, by name: wires of theirs end in a
/// place that changes, or a new wire joins their splice. All of a vehicle alone.
pub(crate) fn looms(ctx: &Ctx<'_>) -> BTreeMap<Name, Id> {
    let alone = ctx.world.conversion.is_none();
    let new = ctx.world.wires.iter().filter(|it| it.laid == Laid::Conversion);
    let joined: BTreeSet<&WireEnd> = new.flat_map(|it| [&it.a, &it.b]).collect();
    let matters = |end: &WireEnd| match end {
        WireEnd::Cavity(at, _) => {
            ctx.world.place(&at.place).is_some_and(Place::changed) || joined.contains(end)
        }
        WireEnd::Splice(_) => joined.contains(end),
        _ => false,
    };
    let old = ctx.world.wires.iter().filter(|it| it.laid == Laid::Family);
    let old = old.filter(|it| alone || [&it.a, &it.b, &it.was.0, &it.was.1].into_iter().any(matters));
    old.filter(|it| matches!(it.id.decl(ctx.db).map(|it| &it.body), Some(Body::Loom(_))))
        .map(|it| (it.id.name(ctx.db), it.id))
        .collect()
}

/// When a loom was fitted, with the options of the vehicle.
pub(crate) fn loom_windows<'a>(ctx: &Ctx<'a>, id: Id) -> Vec<&'a Fitted> {
    let Some(Body::Loom(loom)) = id.decl(ctx.db).map(|it| &it.body) else {
        return Vec::new();
    };
    loom.fitted.iter().filter(|it| ctx.built().holds_all(&it.with) != Some(false)).collect()
}

/// The verdicts on looms: one for each change-over, also where one loom ends and another begins.
fn of_looms(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut changes: Vec<(Vec<Change>, Vec<Windows<'_>>)> = Vec::new();
    for id in looms(ctx).into_values() {
        let lines = differing(&loom_windows(ctx, id));
        if lines.is_empty() {
            continue;
        }
        let mut change: Vec<Change> = lines.iter().filter_map(|it| Change::of(it)).collect();
        change.sort();
        match changes.iter_mut().find(|(it, _)| *it == change) {
            Some((_, looms)) => looms.push((id, lines)),
            None => changes.push((change, vec![(id, lines)])),
        }
    }
    changes.iter().filter_map(|(_, looms)| loom(ctx, looms)).collect()
}

/// A loom with the windows of it that contradict one another.
type Windows<'a> = (Id, Vec<&'a Fitted>);

/// When something changed, by whose word.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Change {
    by: String,
    /// Year, month and day from which the other was fitted.
    from: (u16, u8, u8),
}

impl Change {
    fn of(it: &Fitted) -> Option<Self> {
        let by = it.claim.per.as_ref().map(|it| it.text()).unwrap_or_default();
        let from = match (it.from, it.to) {
            (Some(from), _) => (from.year, from.month, from.day.unwrap_or(1)),
            (None, Some(Date { year, month, day: Some(day) })) => (year, month, day + 1),
            (None, Some(Date { year, month: 12, .. })) => (year + 1, 1, 1),
            (None, Some(Date { year, month, .. })) => (year, month + 1, 1),
            (None, None) => return None,
        };
        Some(Self { by, from })
    }
}

fn loom(ctx: &Ctx<'_>, looms: &[Windows<'_>]) -> Option<Verdict> {
    let (id, lines) = looms.first()?;
    let found = claims(ctx, *id, lines);
    let subject = id.name(ctx.db).to_string();
    let vehicle = ctx.built().vehicle.shown(ctx.db);
    let built = date(ctx.built().built);
    let names: Vec<String> = looms.iter().map(|(id, _)| format!("the loom {}", id.shown(ctx.db))).collect();
    let names = names.join(" or ");
    let site = id.name_site(ctx.db);
    if !looms.iter().any(|(_, lines)| contested(lines, ctx.built())) {
        let side = agreed(ctx.built(), lines)?;
        let message = format!(
            "When {names} was fitted is disputed, but {vehicle} was built {built}: all put it {side}."
        );
        return Some(
            ctx.clear(CHECK.name, subject, site, message, &found).with_need(each_says(lines, &found), built),
        );
    }
    let message = format!(
        "When {names} was fitted is disputed: {}; {vehicle} was built {built}.",
        each_says(lines, &found)
    );
    let question = Question {
        what: format!("whether {names} is in {vehicle}"),
        good: None,
        tool: Some("look: trim off, follow the wires".to_owned()),
        precision: None,
        minutes: Some(30),
        who: Who::Tape,
        gate: Gate::NoReturn,
        hangs: "which wires are there to join into".to_owned(),
        type_in: Some(format!("in loom {}: fitted … per …", id.name(ctx.db))),
    };
    let mut verdict = with_found(ctx.open(CHECK.name, subject, site, message, question), &found);
    for (other, _) in looms.iter().skip(1) {
        verdict = verdict.with_related(other.name_site(ctx.db), "the other loom");
    }
    Some(verdict)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn built(date: &str, more: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
source club "Club notes" reported
kind unit {{ asks mass }}
kind brain {{ asks plug B1 }}
family Dunlin {{ built 2009-06 to 2018-12
  option gearbox is manual_five, auto_six
  place final_drive, gearbox is unit
  place selector is brain
  ground G1 at bay
  zone bay }}
part axle_428 "the 4.28 axle" is unit fills final_drive {{
  fitted on Dunlin to 2014-02 with gearbox manual_five per manual
  fitted on Dunlin to 2014-05 with gearbox manual_five per club
  ratio 4.28 }}
part axle_410 "the 4.10 axle" is unit fills final_drive {{
  fitted on Dunlin from 2014-03 with gearbox manual_five per manual
  fitted on Dunlin from 2014-06 with gearbox manual_five per club
  ratio 4.10 }}
part axle_369 is unit fills final_drive {{ mass 30 kg }}
module lever is brain fills selector {{ plug B1 {{ 1 ground }} }}
loom early of Dunlin {{
  fitted to 2011-02 per manual
  fitted to 2011-05 per club
  wire selector.B1[1] to G1 }}
loom late of Dunlin {{
  fitted from 2011-03 per manual
  fitted from 2011-06 per club
  splice S7 at bay
  wire selector.B1[1] to S7 }}
vehicle van is Dunlin "the van" {{ built {date}, gearbox manual_five }}
vehicle breaker is Dunlin "the breaker" {{ built 2014-04, gearbox manual_five }}
conversion easy {{ recipient van, donor breaker, {more} }}"#
        )
    }

    #[test]
    fn a_vehicle_before_or_after_the_dispute_is_clear() {
        let found = check("build/disagree", &built("2012-04", "fit axle_369"));
        found.clear("When the 4.28 axle was fitted is disputed, but the van was built 2012-04: all put it before the change.");
        assert_eq!(found.text(), "van");
        check("build/disagree", &built("2014-06", "fit axle_369"))
            .clear("When the 4.10 axle was fitted is disputed, but the van was built 2014-06: all put it after the change.");
    }

    #[test]
    fn a_vehicle_inside_the_dispute_is_open_with_both_claims() {
        let found = check("build/disagree", &built("2014-04", "fit axle_369"));
        found.open(
            "When the 4.28 axle was fitted is disputed: Workshop manual (documented) says to 2014-02 with gearbox manual five, Club notes (reported) says to 2014-05 with gearbox manual five; the van was built 2014-04.",
        );
        assert_eq!(found.only().sources, ["Workshop manual (documented)", "Club notes (reported)"]);
        assert!(found.fixed(1).contains("built 2014-04, gearbox manual_five, has final_drive axle_428 }"));
        check("build/ambiguous", &built("2014-04", "fit axle_369")).silent();
        check("build/ambiguous", &built("2012-04", "fit axle_369")).silent();
        check("build/disagree", &built("2014-04", "remove gearbox")).silent();
    }

    #[test]
    fn a_donor_inside_the_dispute_is_open_too() {
        let found = check("build/disagree", &built("2012-04", "take final_drive from breaker"));
        let open = found.about("breaker.final_drive");
        assert_eq!(open.outcome.word(), "open");
        assert_eq!(open.question.as_ref().map(|it| it.who.word()), Some("seller"));
        assert_eq!(found.about("final_drive").outcome.word(), "clear");
    }

    #[test]
    fn one_change_of_looms_is_said_once() {
        let found = check("build/disagree", &built("2011-04", "remove selector"));
        found.open(
            "When the loom early or the loom late was fitted is disputed: Workshop manual (documented) says to 2011-02, Club notes (reported) says to 2011-05; the van was built 2011-04.",
        );
        assert_eq!(found.text(), "early");
        check("build/disagree", &built("2012-04", "remove selector"))
            .clear("When the loom late was fitted is disputed, but the van was built 2012-04: all put it after the change.");
    }
}
