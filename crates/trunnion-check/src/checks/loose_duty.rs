//! # loose/duty
//!
//! What a part that leaves also did for others (a switch they listen to, a supply, a support, a
//! seal) is done by what comes in, or handed to something else.
//!
//! ## Why it matters
//!
//! A clutch pedal box is not only a pedal: the starter waits for its switch, the cruise control
//! lets go by it. Nothing looks missing when it is out; the starter just does not turn.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind pedal_box { asks mass
//!   does start_release "lets the starter turn only with the pedal down" for body_controller }
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch_pedal, spare is pedal_box
//!   holds pedal_box in clutch_pedal }
//! vehicle van is Dunlin { built 2012-04, has spare none }
//! conversion easy { recipient van
//!   remove clutch_pedal
//!   hand clutch_pedal.start_release to spare }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind pedal_box { asks mass
//!   does start_release "lets the starter turn only with the pedal down" for body_controller }
//! kind lever { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place clutch_pedal is pedal_box
//!   place selector is lever
//!   holds pedal_box in clutch_pedal
//!   holds lever in selector }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van
//!   remove clutch_pedal
//!   hand clutch_pedal.start_release to selector }
//! ```
//!
//! ## References
//!
//! Common practice, no source; what a thing also does stands in its kind or its part. A duty
//! through a plug must be settled before power, through a face before buying, through an opening
//! before there is no way back, any other before the road.

use trunnion_model::decl::Duty;
use trunnion_model::kinds::kind_of_part;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{Place, When};

use crate::check::{Check, Judge};
use crate::checks::kind_asked::change_site;
use crate::checks::loose_end::gate;
use crate::ctx::Ctx;

/// The check.
pub static CHECK: Check =
    Check { name: "loose/duty", source: include_str!("loose_duty.rs"), judge: Judge::World(judge) };

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.changed() && it.before.is_filled()) {
        for (by, duty) in before(ctx, place) {
            let mut verdict = one(ctx, place, duty).with_related(by.site(duty.span), duty.text.to_string());
            verdict.safety = ctx.safety(place);
            verdicts.push(verdict);
        }
    }
    verdicts
}

/// What sat there did, as its part states and its kind, each duty once.
fn before<'a>(ctx: &Ctx<'a>, place: &Place) -> Vec<(Id, &'a Duty)> {
    let mut duties: Vec<(Id, &Duty)> = Vec::new();
    for id in place.before.parts() {
        duties.extend(ctx.part(*id).into_iter().flat_map(|it| &it.does).map(|it| (*id, it)));
    }
    if let Some((_, kind)) = ctx.kind_before(place) {
        duties.extend(kind.does.iter().map(|(id, it)| (*id, it)));
    }
    let mut once: Vec<(Id, &Duty)> = Vec::new();
    for duty in duties {
        if !once.iter().any(|it| it.1.name.value == duty.1.name.value) {
            once.push(duty);
        }
    }
    once
}

/// Whether what sits in a place after the changes does a duty: every part it may be, or its kind.
fn does(ctx: &Ctx<'_>, place: &Place, duty: &str) -> bool {
    if !place.after.is_filled() {
        return false;
    }
    let of_kind = |it: Option<(Id, &trunnion_model::kinds::WholeKind)>| {
        it.is_some_and(|(_, kind)| kind.does.iter().any(|(_, it)| it.name.value == duty))
    };
    if of_kind(ctx.kind_after(place)) {
        return true;
    }
    let parts = place.after.parts();
    let stated = |id: &Id| {
        let own = ctx.part(*id).is_some_and(|it| it.does.iter().any(|it| it.name.value == duty));
        let kind = kind_of_part(ctx.db, ctx.workspace, *id);
        own || of_kind(kind.map(|it| (it, trunnion_model::kinds::whole_kind(ctx.db, ctx.workspace, it))))
    };
    !parts.is_empty() && parts.iter().all(stated)
}

fn one(ctx: &Ctx<'_>, place: &Place, duty: &Duty) -> Verdict {
    let (own, name) = (place.shown(), duty.name.value.replace('_', " "));
    let subject = format!("{}.{}", place.name, duty.name.value);
    let site = change_site(place);
    let handed =
        ctx.world.handed.iter().rev().find(|(it, ..)| it.place == place.name && it.end == duty.name.value);
    if let Some((_, to, site)) = handed {
        return match ctx.world.place(to) {
            Some(at) if at.after.is_filled() => {
                let what = ctx.holding_shown(&at.after, at);
                let message =
                    format!("The duty {name} of the {own} is handed to the {}: {what}.", at.shown());
                ctx.clear("loose/duty", subject, *site, message, &[])
            }
            Some(at) => {
                let message = format!(
                    "The duty {name} of the {own} is handed to the {}, but nothing sits there.",
                    at.shown()
                );
                ctx.clash("loose/duty", subject, *site, message, &[])
                    .with_fixes(fixes(ctx, place, duty, false))
            }
            // The name means nothing, which is reported where it stands.
            None => open(ctx, place, duty),
        };
    }
    if does(ctx, place, &duty.name.value) {
        let what = ctx.holding_shown(&place.after, place);
        let message = format!("{what} does what was the duty of the {own}: {name}.");
        return ctx.clear("loose/duty", subject, site, message, &[]);
    }
    if unheard(ctx, duty) {
        let message =
            format!("Nobody wants the duty {name} of the {own} any more: those who listened are gone.");
        return ctx.clear("loose/duty", subject, site, message, &[]);
    }
    open(ctx, place, duty)
}

/// Whether all who relied on it are known places that hold nothing after the changes.
fn unheard(ctx: &Ctx<'_>, duty: &Duty) -> bool {
    let gone =
        |it: &trunnion_model::fact::Ref| ctx.world.place(it.head()).is_some_and(|it| !it.after.is_filled());
    !duty.listeners.is_empty() && duty.listeners.iter().all(gone)
}

fn open(ctx: &Ctx<'_>, place: &Place, duty: &Duty) -> Verdict {
    let own = place.shown();
    let listeners: Vec<String> =
        duty.listeners.iter().map(|it| format!("the {}", it.head().replace('_', " "))).collect();
    let hangs = match listeners.as_slice() {
        [] => format!("whether anything still {}", duty.text),
        [one] => format!("what {one} does without it"),
        all => format!("what {} do without it", all.join(" and ")),
    };
    let fixes = fixes(ctx, place, duty, true);
    let question = Question {
        what: format!("who does what the {own} did: {}", duty.text),
        good: None,
        tool: None,
        precision: None,
        minutes: None,
        who: Who::Owner,
        gate: by_when(ctx, place, duty),
        hangs,
        type_in: Some(format!("in the conversion: hand {}.{} to …", place.name, duty.name.value)),
    };
    let heard =
        if listeners.is_empty() { String::new() } else { format!(", for {}", listeners.join(" and ")) };
    let message = format!("Nobody has said who does what the {own} did: {}{heard}.", duty.text);
    let subject = format!("{}.{}", place.name, duty.name.value);
    let mut verdict =
        ctx.open("loose/duty", subject, change_site(place), message, question).with_fixes(fixes);
    let changes = ctx.world.changes.iter().filter(|it| it.span == verdict.site.span);
    verdict.because.extend(changes.filter_map(|it| it.claim.because.as_ref()).map(ToString::to_string));
    verdict
}

/// By the medium through which the duty was done.
fn by_when(ctx: &Ctx<'_>, place: &Place, duty: &Duty) -> Gate {
    let ends = ctx.ends(place, When::Before);
    let through = duty.through.as_ref().and_then(|it| it.parts.last());
    let end = through.and_then(|through| ends.iter().find(|it| it.name == through.value));
    end.map_or(Gate::Road, |it| gate(it.class))
}

/// Hand it to what does the same duty after the changes, else to something; or accept.
fn fixes(ctx: &Ctx<'_>, place: &Place, duty: &Duty, accept: bool) -> Vec<trunnion_model::verdict::Fix> {
    let path = format!("{}.{}", place.name, duty.name.value);
    let others =
        ctx.world.places.iter().filter(|it| it.name != place.name && does(ctx, it, &duty.name.value));
    let mut to: Vec<String> = others.map(|it| it.name.to_string()).collect();
    if to.is_empty() {
        to.push("…".to_owned());
    }
    let mut fixes: Vec<_> = to
        .iter()
        .filter_map(|it| {
            ctx.add_change(
                format!("hand it to the {}", it.replace('_', " ")),
                &format!("hand {path} to {it}"),
            )
        })
        .collect();
    if accept {
        let by = if ctx.safety(place).is_empty() { "" } else { " by \"…\"" };
        let statement = format!("accept loose/duty {path}{by} because \"…\"");
        fixes.extend(ctx.add_change("accept that nobody does it", &statement));
    }
    fixes
}

#[cfg(test)]
mod tests {
    use crate::testing::{Found, check};

    fn van(changes: &str) -> Found {
        check(
            "loose/duty",
            &format!(
                r#"
kind pedal_box {{ asks plug S1 }}
kind lever {{ asks mass
  does start_release "lets the starter turn only in park" for body_controller }}
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place clutch_pedal is pedal_box
  place selector, spare, body_controller is unit }}
part pedal_dunlin is pedal_box fills clutch_pedal {{ fitted on Dunlin
  plug S1 {{ 1 ground }}
  does start_release "lets the starter turn only with the pedal down" for body_controller through S1
  safety brakes }}
part pedal_other is pedal_box {{ plug S1 {{ 1 ground }} }}
part pedal_same is pedal_box {{ does start_release "lets the starter turn" }}
part lever_auto is lever
part controller is unit fills body_controller {{ fitted on Dunlin }}
vehicle van is Dunlin {{ built 2012-04, has spare none, has selector none }}
conversion easy {{ recipient van, {changes} }}"#
            ),
        )
    }

    #[test]
    fn a_duty_nobody_takes_over_is_open() {
        let found = van("remove clutch_pedal because \"no third pedal\"");
        found.open(
            "Nobody has said who does what the clutch pedal did: lets the starter turn only with the pedal down, \
             for the body controller.",
        );
        assert_eq!(found.text(), "remove clutch_pedal because \"no third pedal\"");
        assert_eq!(found.only().subject, "clutch_pedal.start_release");
        let question = found.only().question.as_ref().expect("asked");
        assert_eq!(
            (question.gate.word(), question.hangs.as_str()),
            ("power", "what the body controller does without it")
        );
        assert_eq!(found.only().safety, ["brakes"]);
        assert!(found.fixed(0).contains("hand clutch_pedal.start_release to …"));
        assert!(
            found.fixed(1).contains("accept loose/duty clutch_pedal.start_release by \"…\" because \"…\"")
        );
        van("fit pedal_other for clutch_pedal").open(
            "Nobody has said who does what the clutch pedal did: lets the starter turn only with the pedal down, \
             for the body controller.",
        );
    }

    #[test]
    fn what_does_the_same_is_offered_and_takes_over_when_told() {
        let found = van("remove clutch_pedal, fit lever_auto for selector");
        let fixed = found.fixed(0);
        assert!(fixed.contains("hand clutch_pedal.start_release to selector"), "{fixed}");
        check("loose/duty", &fixed)
            .clear("The duty start release of the clutch pedal is handed to the selector: lever auto.");
    }

    #[test]
    fn what_comes_in_may_do_it() {
        van("fit pedal_same for clutch_pedal")
            .clear("pedal same does what was the duty of the clutch pedal: start release.");
    }

    #[test]
    fn handed_to_an_empty_place_is_a_clash() {
        let found = van("remove clutch_pedal, hand clutch_pedal.start_release to spare");
        found.clash(
            "The duty start release of the clutch pedal is handed to the spare, but nothing sits there.",
        );
        assert_eq!(found.text(), "hand clutch_pedal.start_release to spare");
    }

    #[test]
    fn nobody_listens_any_more() {
        van("remove clutch_pedal, remove body_controller").clear(
            "Nobody wants the duty start release of the clutch pedal any more: those who listened are gone.",
        );
    }
}
