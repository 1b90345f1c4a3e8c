//! # build/ambiguous
//!
//! Several parts match a place of this vehicle: its build date is only known as a month or a span
//! in which a change falls, or an option is not known.
//!
//! ## Why it matters
//!
//! Everything that is worked out for the vehicle rests on what sits in it. Where that is one of
//! two, a photograph of a label settles it for nothing; after the order it costs the order.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is unit }
//! part engine_a is unit fills engine { fitted on Dunlin to 2012-04-14 }
//! part engine_b is unit fills engine { fitted on Dunlin from 2012-04-15 }
//! part other is unit fills engine { mass 190 kg }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit other }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is unit }
//! part engine_a is unit fills engine { fitted on Dunlin to 2012-04-14 }
//! part engine_b is unit fills engine { fitted on Dunlin from 2012-04-15 }
//! part other is unit fills engine { mass 190 kg }
//! vehicle van is Dunlin { built 2012-04, has engine engine_a }
//! conversion easy { recipient van, fit other }
//! ```
//!
//! ## References
//!
//! Comparison of dates; a month means the whole month. Which part was fitted when stands in the
//! specification.

use std::collections::BTreeMap;

use trunnion_model::built::vehicle as vehicle_decl;
use trunnion_model::built::{Built, Holding, How, Inside, contested, family, fitted_on, inside, scope_of};
use trunnion_model::decl::Fitted;
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_syntax::tree::Name;

use crate::as_built::{Looked, looked_at, tell_apart};
use crate::check::{Check, Judge};
use crate::checks::build_disagree::{loom_windows, looms, speaks};
use crate::checks::build_window::{date, window};
use crate::ctx::{Ctx, with_found};

/// The check.
pub static CHECK: Check =
    Check { name: "build/ambiguous", source: include_str!("build_ambiguous.rs"), judge: Judge::World(judge) };

/// Why it is not known what sits there.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Cause {
    /// Nobody said when the vehicle was built.
    NoDate,
    /// Nobody said this option.
    Option(Name),
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let mut verdicts = Vec::new();
    let mut shared: BTreeMap<(bool, Name, Cause), (Id, Vec<String>)> = BTreeMap::new();
    let rivals = rivals(ctx);
    for looked in looked_at(ctx) {
        if speaks(ctx, &looked) {
            continue;
        }
        if let (Holding::Part(id), Some(rivals)) = (looked.holding, rivals.get(looked.place)) {
            verdicts.extend(settled(ctx, &looked, *id, rivals));
        }
        if !matches!(looked.holding, Holding::Several(_)) {
            continue;
        }
        let each = windows(ctx, &looked);
        let lines: Vec<&Fitted> = each.iter().flat_map(|it| it.1.iter().copied()).collect();
        match cause(looked.built, &lines) {
            Some(cause) => {
                let key = (looked.donor, looked.built.vehicle.name(ctx.db), cause);
                let entry = shared.entry(key).or_insert_with(|| (looked.built.vehicle, Vec::new()));
                entry.1.push(format!("the {}", looked.place.replace('_', " ")));
            }
            None => verdicts.push(one(ctx, &looked, &each)),
        }
    }
    let doubtful = looms(ctx).into_values().filter(|it| ctx.world.doubtful_looms.contains(it));
    for id in doubtful {
        let lines = loom_windows(ctx, id);
        match cause(ctx.built(), &lines) {
            _ if contested(&lines, ctx.built()) => {}
            Some(cause) => {
                let vehicle = ctx.built().vehicle;
                let entry = shared
                    .entry((false, vehicle.name(ctx.db), cause))
                    .or_insert_with(|| (vehicle, Vec::new()));
                entry.1.push(format!("the loom {}", id.shown(ctx.db)));
            }
            None => verdicts.push(loom(ctx, id, &lines)),
        }
    }
    let shared = shared
        .into_iter()
        .map(|((donor, _, cause), (vehicle, hangs))| unsaid(ctx, vehicle, donor, &cause, &hangs));
    verdicts.extend(shared);
    verdicts
}

/// The parts seen from here that left the factory in a place, by place.
fn rivals(ctx: &Ctx<'_>) -> BTreeMap<Name, Vec<Id>> {
    let mut rivals = BTreeMap::<Name, Vec<Id>>::new();
    for (_, id) in scope_of(ctx.db, ctx.workspace, ctx.world.root()).each(Space::Part) {
        let part = ctx.part(id).filter(|it| !it.fitted.is_empty());
        if let Some(fills) = part.and_then(|it| it.fills.as_ref()) {
            rivals.entry(fills.head().clone()).or_default().push(id);
        }
    }
    rivals
}

/// A place in which one of several parts sits for certain: by the dates, or because the vehicle
/// has it.
fn settled(ctx: &Ctx<'_>, looked: &Looked<'_>, id: Id, rivals: &[Id]) -> Option<Verdict> {
    let built = looked.built;
    let on_family = |it: &Id| !fitted_on(ctx.db, *it, &built.families, ctx.workspace).is_empty();
    if !rivals.iter().any(|it| *it != id && on_family(it)) {
        return None;
    }
    let (who, vehicle) = (id.shown(ctx.db), built.vehicle.shown(ctx.db));
    let place = looked.place.replace('_', " ");
    let (message, found) = match looked.how {
        How::Has(_) => {
            let has = vehicle_decl(ctx.db, built.vehicle)?
                .has
                .iter()
                .rev()
                .find(|it| *it.place.head() == *looked.place)?;
            let found = vec![known::said(ctx.db, ctx.workspace, built.vehicle, &has.claim, has.span)];
            (format!("The {place} of {vehicle} is {who}: it has it."), found)
        }
        _ => {
            let (_, lines) = windows(ctx, looked).into_iter().next()?;
            let found =
                lines.iter().map(|it| known::said(ctx.db, ctx.workspace, id, &it.claim, it.span)).collect();
            let lines: Vec<String> = lines.iter().map(|it| window(it)).collect();
            let message = format!(
                "One part matches the {place} of {vehicle}{}: {who}, {}.",
                built.built.map(|_| format!(", built {}", date(built.built))).unwrap_or_default(),
                lines.join(" or ")
            );
            (message, found)
        }
    };
    Some(ctx.clear(CHECK.name, &looked.subject, looked.site, message, &found))
}

/// The candidates with the windows that may cover the vehicle.
fn windows<'a>(ctx: &Ctx<'a>, looked: &Looked<'_>) -> Vec<(Id, Vec<&'a Fitted>)> {
    let built = looked.built;
    let may = |it: &Fitted| {
        let dated = built.built.is_none_or(|span| inside(span, it.from, it.to) != Inside::No);
        dated && built.holds_all(&it.with) != Some(false)
    };
    let lines = |id: Id| {
        fitted_on(ctx.db, id, &built.families, ctx.workspace).into_iter().filter(|it| may(it)).collect()
    };
    looked.holding.parts().iter().map(|it| (*it, lines(*it))).collect()
}

/// What nobody said of the whole vehicle, where that is why several match.
fn cause(built: &Built, lines: &[&Fitted]) -> Option<Cause> {
    if built.built.is_none() && lines.iter().any(|it| it.from.is_some() || it.to.is_some()) {
        return Some(Cause::NoDate);
    }
    let mut options = lines.iter().flat_map(|it| &it.with);
    let unsaid = options.find(|it| built.option(&it.option.value).is_none())?;
    Some(Cause::Option(unsaid.option.value.clone()))
}

fn one(ctx: &Ctx<'_>, looked: &Looked<'_>, each: &[(Id, Vec<&Fitted>)]) -> Verdict {
    let vehicle = looked.built.vehicle.shown(ctx.db);
    let place = looked.place.replace('_', " ");
    let shown = |(id, lines): &(Id, Vec<&Fitted>)| {
        let lines: Vec<String> = lines.iter().map(|it| window(it)).collect();
        format!("{}, {}", id.shown(ctx.db), lines.join(" or "))
    };
    let listed = each.iter().map(shown).collect::<Vec<_>>().join("; ");
    let built = date(looked.built.built);
    let message = match each {
        [_] => {
            format!("Whether the {place} of {vehicle}, built {built}, is the one cannot be told: {listed}.")
        }
        _ => format!("Several parts match the {place} of {vehicle}, built {built}: {listed}."),
    };
    let (question, fixes) = tell_apart(ctx, looked);
    let mut verdict = ctx.open(CHECK.name, &looked.subject, looked.site, message, question).with_fixes(fixes);
    let found = each.iter().flat_map(|(id, lines)| {
        lines.iter().map(|it| known::said(ctx.db, ctx.workspace, *id, &it.claim, it.span))
    });
    verdict = with_found(verdict, &found.collect::<Vec<_>>());
    if let Some(at) = ctx.world.place(looked.place) {
        verdict.safety = ctx.safety(at);
    }
    verdict
}

fn loom(ctx: &Ctx<'_>, id: Id, lines: &[&Fitted]) -> Verdict {
    let vehicle = ctx.built().vehicle.shown(ctx.db);
    let each: Vec<String> = lines.iter().map(|it| window(it)).collect();
    let message = format!(
        "Whether the loom {} is in {vehicle}, built {}, cannot be told: it was fitted {}.",
        id.shown(ctx.db),
        date(ctx.built().built),
        each.join(" or ")
    );
    let question = Question {
        what: format!("whether the loom {} is in {vehicle}", id.shown(ctx.db)),
        good: None,
        tool: Some("look: trim off, follow the wires".to_owned()),
        precision: None,
        minutes: Some(30),
        who: Who::Tape,
        gate: Gate::NoReturn,
        hangs: "which wires are there to join into".to_owned(),
        type_in: Some(format!("in vehicle {}: built …", ctx.built().vehicle.name(ctx.db))),
    };
    ctx.open(CHECK.name, id.name(ctx.db).to_string(), id.name_site(ctx.db), message, question)
}

/// One question for all that hangs on one thing nobody said of a vehicle.
fn unsaid(ctx: &Ctx<'_>, vehicle: Id, donor: bool, cause: &Cause, hangs: &[String]) -> Verdict {
    let shown = vehicle.shown(ctx.db);
    let name = vehicle.name(ctx.db);
    let (what, statements, tool, word) = match cause {
        Cause::NoDate => (
            format!("when {shown} was built"),
            vec!["built …".to_owned()],
            "vehicle papers, maker's plate",
            "built".to_owned(),
        ),
        Cause::Option(option) => {
            let built = ctx.world.donors.iter().map(|it| it.as_ref()).chain([ctx.built()]);
            let families = built.filter(|it| it.vehicle == vehicle).flat_map(|it| &it.families);
            let mut declared = families.filter_map(|it| family(ctx.db, *it)).flat_map(|it| &it.options);
            let values =
                declared.find(|it| it.0.value == *option).map(|it| it.1.as_slice()).unwrap_or_default();
            let statements = values.iter().map(|it| format!("{option} {}", it.value)).collect();
            let what = format!("the {} of {shown}", option.replace('_', " "));
            (what, statements, "vehicle papers, or look", option.to_string())
        }
    };
    let listed = hangs.join(", ");
    let message = format!("Nobody has said {what}, and several parts match: {listed}.");
    let question = Question {
        what,
        good: None,
        tool: Some(tool.to_owned()),
        precision: None,
        minutes: Some(5),
        who: if donor { Who::Seller } else { Who::Tape },
        gate: Gate::Buying,
        hangs: format!("what sits in {listed}"),
        type_in: Some(format!("in vehicle {name}: {word} …")),
    };
    let fix = |it: &String| {
        let title = format!("state in {shown}: {it}");
        Some(Fix { title, edits: vec![ctx.insert(vehicle, it)?] })
    };
    let fixes: Vec<Fix> = statements.iter().filter_map(fix).collect();
    ctx.open(CHECK.name, format!("{name}.{word}"), vehicle.name_site(ctx.db), message, question)
        .with_fixes(fixes)
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn ground(vehicle: &str, more: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  option engine is diesel_22, petrol_20
  place engine, flywheel, gearbox, radiator is unit
  joint engine.crank to flywheel.crank }}
part engine_a "the first diesel" is unit fills engine {{ fitted on Dunlin to 2012-12 with engine diesel_22, mass 198 kg, peak torque 340 Nm }}
part engine_b "the second diesel" is unit fills engine {{ fitted on Dunlin from 2013-01 with engine diesel_22, mass 201 kg, peak torque 360 Nm }}
part engine_p "the petrol" is unit fills engine {{ fitted on Dunlin with engine petrol_20, mass 152 kg }}
part wheel_d is unit fills flywheel {{ fitted on Dunlin with engine diesel_22 }}
part wheel_p is unit fills flywheel {{ fitted on Dunlin with engine petrol_20 }}
part wheel_new is unit fills flywheel {{ mass 2 kg }}
vehicle van is Dunlin "the van" {{ {vehicle} }}
vehicle breaker is Dunlin "the breaker" {{ built 2012-11 to 2013-02, engine diesel_22 }}
conversion easy {{ recipient van, donor breaker, {more} }}"#
        )
    }

    #[test]
    fn a_build_span_with_a_change_in_it_is_open() {
        let found =
            check("build/ambiguous", &ground("built 2012-12 to 2013-01, engine diesel_22", "fit wheel_new"));
        let open = found.about("engine");
        assert_eq!(
            open.message,
            "Several parts match the engine of the van, built between 2012-12 and 2013-01: \
             the first diesel, to 2012-12 with engine diesel 22; the second diesel, from 2013-01 with engine diesel 22."
        );
        assert_eq!(open.outcome.word(), "open");
        assert_eq!(found.text_of(open), "van");
        let question = open.question.as_ref().expect("asked");
        assert_eq!(
            question.good.as_deref(),
            Some("mass 198 kg is the first diesel, mass 201 kg is the second diesel")
        );
        assert_eq!(question.tool.as_deref(), Some("scales"));
        assert_eq!(open.fixes[1].edits[0].text, ", has engine engine_b");
    }

    #[test]
    fn what_is_taken_from_a_donor_is_asked_of_its_seller() {
        let found =
            check("build/ambiguous", &ground("built 2012-04, engine diesel_22", "take engine from breaker"));
        let open = found.about("breaker.engine");
        assert_eq!(open.outcome.word(), "open");
        assert_eq!(open.question.as_ref().map(|it| it.who.word()), Some("seller"));
        assert_eq!(found.text_of(open), "breaker");
        assert_eq!(open.fixes[0].title, "the breaker has the first diesel");
    }

    #[test]
    fn an_option_nobody_stated_is_asked_once() {
        let found = check("build/ambiguous", &ground("built 2012-04", "fit wheel_new"));
        found.open(
            "Nobody has said the engine of the van, and several parts match: the engine, the flywheel.",
        );
        assert_eq!(found.only().subject, "van.engine");
        assert!(found.fixed(1).contains("{ built 2012-04, engine petrol_20 }"));
        let found = check("build/ambiguous", &ground("engine diesel_22", "fit wheel_new"));
        assert_eq!(
            found.about("van.built").message,
            "Nobody has said when the van was built, and several parts match: the engine."
        );
        assert_eq!(
            found.about("flywheel").message,
            "One part matches the flywheel of the van: wheel d, at all build dates with engine diesel 22."
        );
    }

    #[test]
    fn what_is_known_is_clear_and_what_is_far_away_silent() {
        let found = check("build/ambiguous", &ground("built 2012-04, engine diesel_22", "fit wheel_new"));
        assert_eq!(
            found.about("engine").message,
            "One part matches the engine of the van, built 2012-04: the first diesel, to 2012-12 with engine diesel 22."
        );
        let has = "built 2012-12 to 2013-01, engine diesel_22, has engine engine_a";
        let found = check("build/ambiguous", &ground(has, "fit wheel_new"));
        assert_eq!(found.about("engine").message, "The engine of the van is the first diesel: it has it.");
        assert!(found.verdicts().iter().all(|it| it.outcome.word() == "clear"));
        check("build/ambiguous", &ground("built 2012-12 to 2013-01, engine diesel_22", "remove radiator"))
            .silent();
    }
}
