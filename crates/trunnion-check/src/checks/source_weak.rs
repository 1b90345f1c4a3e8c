//! # source/weak
//!
//! What is known of brakes, steering, airbags, fuel, high voltage, lifting, wheels and belts that
//! change rests on a document or a measurement, not on hearsay.
//!
//! ## Why it matters
//!
//! Half of what is known comes from a forum or from memory. For a trim clip that will do. Where a
//! wrong figure can kill, somebody looks it up or measures it, and a licensed person checks the
//! work where local rules ask for one.
//!
//! ## An example that stays open
//!
//! ```trunnion open
//! kind brake_disc { asks diameter
//!   safety brakes }
//! source club "Owners' club notes" reported
//! family Dunlin { built 2009-06 to 2018-12
//!   place front_disc is brake_disc }
//! part big_disc is brake_disc fills front_disc { diameter 300 mm per club }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit big_disc }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind brake_disc { asks diameter
//!   safety brakes }
//! source manual "Workshop manual" documented
//! family Dunlin { built 2009-06 to 2018-12
//!   place front_disc is brake_disc }
//! part big_disc is brake_disc fills front_disc { diameter 300 mm per manual }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit big_disc }
//! ```
//!
//! ## References
//!
//! Common practice, no source: which areas count and that a document is asked for. Clear here
//! means that there is a document or a measurement, not that the work is allowed on the road.

use trunnion_model::decl::{EndClass, FindOut};
use trunnion_model::fact::{Found, Known, Standing};
use trunnion_model::known;
use trunnion_model::verdict::{Gate, Question, Verdict, Who};
use trunnion_model::world::{EndAt, Place};

use crate::check::{Check, Judge};
use crate::ctx::{Ctx, listed};

/// The check.
pub static CHECK: Check =
    Check { name: "source/weak", source: include_str!("source_weak.rs"), judge: Judge::World(judge) };

/// The areas in which a mistake can hurt or kill.
const AREAS: [&str; 8] =
    ["brakes", "steering", "airbags", "fuel", "high_voltage", "lifting", "wheels", "belts"];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    ctx.world.places.iter().filter_map(|it| one(ctx, it)).collect()
}

/// Something stated of what sits in a place.
struct Fact {
    /// What it is, in words.
    what: String,
    /// The best supported claim.
    best: Found,
    /// The measure, where it is one.
    measure: Option<String>,
    /// Whether it tells how heavy the thing is or what carries it.
    carries: bool,
}

fn one(ctx: &Ctx<'_>, place: &Place) -> Option<Verdict> {
    let mut areas = ctx.safety(place);
    areas.retain(|it| AREAS.contains(&it.as_str()));
    if areas.is_empty() || !place.after.is_filled() || !ctx.touched(place) {
        return None;
    }
    let mut facts = facts(ctx, place);
    // What is heavy hangs on its mass and its mounts; its plugs and ratios do not fall on anybody.
    if areas == ["lifting"] {
        facts.retain(|it| it.carries);
    }
    if facts.is_empty() {
        return None;
    }
    let weak: Vec<&Fact> = facts.iter().filter(|it| it.best.standing < Standing::Documented).collect();
    let who = ctx.part_shown(place);
    let site = place.done.last().map_or(place.site, |it| it.site);
    let concerns = listed(&areas.iter().map(|it| it.replace('_', " ")).collect::<Vec<_>>());
    let subject = place.name.to_string();
    let mut verdict = if weak.is_empty() {
        let found: Vec<Found> = facts.iter().map(|it| it.best.clone()).collect();
        let all = match facts.len() {
            1 => "The one fact".to_owned(),
            n => format!("All {n} facts"),
        };
        let message = format!(
            "{all} used about {who} ({concerns}) {} on documents or measurements.",
            if facts.len() == 1 { "rests" } else { "rest" }
        );
        ctx.clear("source/weak", subject, site, message, &found)
    } else {
        let row = |it: &&Fact| format!("{} ({})", it.what, said_by(&it.best));
        let names: Vec<String> = weak.iter().map(row).collect();
        let shown = if names.len() > 5 {
            format!("{} and {} more", names[..5].join(", "), names.len() - 5)
        } else {
            listed(&names)
        };
        let message =
            format!("What is known about {who} ({concerns}) rests in part on less than a document: {shown}.");
        let question = question(ctx, place, &who, &areas, &weak);
        let open = ctx.open("source/weak", subject, weak[0].best.site, message, question);
        crate::ctx::with_found(open, &weak.iter().map(|it| it.best.clone()).collect::<Vec<_>>())
    };
    verdict.safety = areas;
    Some(verdict.with_because(
        "Clear on paper is not permission; a licensed person checks it where local rules ask for one.",
    ))
}

/// The source without its standing, which the message says anyway.
fn said_by(found: &Found) -> String {
    match found.standing {
        Standing::Assumed if found.source_item.is_none() => "no source".to_owned(),
        _ => found.source.clone(),
    }
}

/// What the verdicts on a place rest on: of something that changes all that is stated, of its
/// neighbours the ends that meet it. Claims that differ are source/conflict.
fn facts(ctx: &Ctx<'_>, place: &Place) -> Vec<Fact> {
    let Some(id) = place.after.part() else { return Vec::new() };
    let Some(part) = ctx.part(id) else { return Vec::new() };
    let said = |claim, span| known::said(ctx.db, ctx.workspace, id, claim, span);
    let meets = |end: &str| {
        let at = EndAt { place: place.name.clone(), end: end.into() };
        ctx.world.joined_after(&at).any(|(it, _)| ctx.world.place(&it.place).is_some_and(Place::changed))
    };
    let ends = part.ends.iter().filter(|it| place.changed() || meets(&it.name.value));
    let mut facts: Vec<Fact> = ends
        .map(|it| Fact {
            what: format!("the {} {}", it.class.word(), it.name.value.replace('_', " ")),
            best: said(&it.claim, it.span),
            measure: None,
            carries: it.class == EndClass::Mount,
        })
        .collect();
    if !place.changed() {
        return facts;
    }
    let mut measures: Vec<&str> =
        part.facts.iter().filter(|it| it.target.is_empty()).map(|it| it.name.value.as_str()).collect();
    measures.dedup();
    for name in measures {
        if let Known::Stated(claims) = ctx.fact(place, name)
            && let Some(best) = claims.into_iter().next()
        {
            facts.push(Fact {
                what: format!("the {}", name.replace('_', " ")),
                best,
                measure: Some(name.to_owned()),
                carries: name == "mass",
            });
        }
    }
    facts.extend(part.needs.iter().map(|it| Fact {
        what: "what it needs of others".to_owned(),
        best: said(&it.claim, it.span),
        measure: None,
        carries: false,
    }));
    facts
}

fn question(ctx: &Ctx<'_>, place: &Place, who: &str, areas: &[String], weak: &[&Fact]) -> Question {
    let ways: Vec<FindOut> =
        weak.iter().filter_map(|it| Some(ctx.find_out(place, it.measure.as_ref()?))).collect();
    let minutes = |it: &FindOut| it.takes.and_then(|it| it.in_unit("min")).map(|it| it.ceil() as u32);
    let mut tools: Vec<String> = Vec::new();
    for tool in ways.iter().filter_map(|it| it.tool.as_ref()) {
        if !tools.iter().any(|it| it == tool.as_str()) {
            tools.push(tool.to_string());
        }
    }
    let powered = areas.iter().any(|it| matches!(it.as_str(), "airbags" | "high_voltage"));
    let by_hand = !ways.is_empty()
        && ways.len() == weak.len()
        && ways.iter().all(|it| it.from.as_deref() == Some("tape"));
    Question {
        what: format!(
            "what a document or a measurement says of {who}: {}",
            listed(&weak.iter().map(|it| it.what.clone()).collect::<Vec<_>>())
        ),
        good: Some("the same as stated".to_owned()),
        tool: Some(if tools.is_empty() {
            "workshop manual or data sheet".to_owned()
        } else {
            tools.join("; ")
        }),
        precision: ways.iter().find_map(|it| it.precision).map(|it| it.display()),
        minutes: ways.iter().map(minutes).sum::<Option<u32>>().filter(|it| *it > 0),
        who: if by_hand { Who::Tape } else { Who::Maker },
        gate: if powered { Gate::Power } else { Gate::Road },
        hangs: format!(
            "whether {} can be trusted",
            listed(&areas.iter().map(|it| it.replace('_', " ")).collect::<Vec<_>>())
        ),
        type_in: Some("per … at the end of the line, with a documented or measured source".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use trunnion_model::verdict::{Gate, Who};

    use crate::testing::check;

    fn disc(facts: &str, more: &str) -> String {
        format!(
            r#"
kind brake_disc {{ asks diameter
  safety brakes }}
kind trim {{ asks mass }}
source manual "Workshop manual" documented
source club "Club notes" reported
family Dunlin {{ built 2009-06 to 2018-12
  place front_disc, hub is brake_disc
  place shelf is trim
  joint front_disc.face to hub.face }}
part big_disc is brake_disc fills front_disc {{ {facts} }}
part old_hub is brake_disc fills hub {{ fitted on Dunlin, mass 4 kg
  face face {{ holes 5 on 112 mm }} per manual }}
part board is trim fills shelf {{ mass 2 kg }}
vehicle van is Dunlin {{ built 2012-04 }}
{more}
conversion easy {{ recipient van, fit big_disc, fit board }}"#
        )
    }

    #[test]
    fn documents_are_clear_and_trim_is_not_looked_at() {
        let found = check(
            "source/weak",
            &disc("diameter 300 mm per manual\n  face face { holes 5 on 112 mm } per manual", ""),
        );
        assert_eq!(
            found.about("front_disc").message,
            "All 2 facts used about big disc (brakes) rest on documents or measurements."
        );
        assert_eq!(
            found.about("hub").message,
            "The one fact used about old hub (brakes) rests on documents or measurements."
        );
        assert_eq!(found.verdicts().len(), 2);
    }

    #[test]
    fn hearsay_about_brakes_is_one_open_for_the_part() {
        let found = check(
            "source/weak",
            &disc("diameter 300 mm per club\n  thickness 22 mm\n  mass 8 kg per manual", ""),
        );
        let open = found.about("front_disc");
        assert_eq!(open.outcome.word(), "open");
        assert_eq!(
            open.message,
            "What is known about big disc (brakes) rests in part on less than a document: the diameter \
             (Club notes (reported)) and the thickness (no source)."
        );
        assert_eq!(found.text_of(open), "diameter 300 mm per club");
        let question = open.question.as_ref().expect("asked");
        assert_eq!((question.gate, question.who), (Gate::Road, Who::Tape));
        assert_eq!(question.tool.as_deref(), Some("calliper"));
        assert_eq!(open.safety, ["brakes"]);
    }

    #[test]
    fn a_measurement_outranks_hearsay() {
        let log = "log of van {\n  2026-03-05 done fit front_disc\n  2026-03-06 measured front_disc.diameter 300 mm\n}";
        let found = check("source/weak", &disc("diameter 300 mm per club", log));
        assert_eq!(found.about("front_disc").outcome.word(), "clear", "{}", found.listing());
    }

    #[test]
    fn of_what_is_only_heavy_the_mass_and_the_mounts_count() {
        let source = disc("diameter 300 mm per club\n  mass 80 kg per manual", "")
            .replace("safety brakes", "safety lifting");
        assert_eq!(
            check("source/weak", &source).about("front_disc").message,
            "The one fact used about big disc (lifting) rests on documents or measurements."
        );
    }

    #[test]
    fn airbags_are_settled_before_power() {
        let source = disc("diameter 300 mm per club", "").replace("safety brakes", "safety airbags");
        let found = check("source/weak", &source);
        assert_eq!(found.about("front_disc").question.as_ref().expect("asked").gate, Gate::Power);
    }
}
