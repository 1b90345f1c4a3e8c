//! # bus/termination
//!
//! A CAN bus has two terminating resistors, one at each far end; what a meter reads across its
//! two wires follows from them.
//!
//! ## Why it matters
//!
//! A module brought from another vehicle brings its resistor along, or leaves the bus without
//! one. The bus often works on the bench and fails on the road, in the cold, with the engine on.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller, gearbox_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, terminates drive with 120 Ω }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, terminates drive with 120 Ω }
//! module late_unit is unit fills gearbox_controller { terminates drive with 120 Ω }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! kind unit { asks mass }
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine_controller, brake_controller, gearbox_controller is unit
//!   bus drive is CAN at 500 kbit/s }
//! module engine_unit is unit fills engine_controller { fitted on Dunlin, terminates drive with 120 Ω }
//! module brake_unit is unit fills brake_controller { fitted on Dunlin, terminates drive with 120 Ω }
//! module plain_brake is unit fills brake_controller { sends wheel_speed on drive }
//! module late_unit is unit fills gearbox_controller { terminates drive with 120 Ω }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit late_unit, fit plain_brake }
//! ```
//!
//! ## References
//!
//! ISO 11898-2: a terminating resistor of 120 Ω nominal at each end of the trunk. That one
//! resistor may lie between 100 Ω and 130 Ω is from memory, unverified. Resistors side by side:
//! 1/R = 1/R1 + 1/R2 (Ohm's law). The right reading alone does not prove two resistors at the far
//! ends: one of 60 Ω reads the same, and so do two side by side at one end.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Site;
use trunnion_model::decl::Part;
use trunnion_model::fact::Found;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Fix, Gate, Question, Verdict, Who};
use trunnion_model::world::Place;

use crate::bus::{Bus, Node, buses, is_on};
use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::{Ctx, capital, listed, trimmed};

/// The check.
pub static CHECK: Check =
    Check { name: "bus/termination", source: include_str!("bus_termination.rs"), judge: Judge::World(judge) };

/// The least and greatest resistance of one terminator in Ω: from memory, unverified.
const LIMITS: (f64, f64) = (100.0, 130.0);

const NOT_PROVEN: &str = "The right reading alone does not prove two resistors at the far ends: \
                          one of 60 Ω reads the same. Look that each end of the trunk has its own.";

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let all = buses(ctx);
    all.iter().filter(|it| it.touched && it.is_can() && !it.nodes.is_empty()).map(|it| one(ctx, it)).collect()
}

/// A terminating resistor: where, how much, and by whose word.
struct Resistor {
    place: String,
    who: String,
    ohms: Option<Quantity>,
    found: Found,
    site: Site,
}

fn one(ctx: &Ctx<'_>, bus: &Bus<'_>) -> Verdict {
    // One of several units that all end the bus does so whichever it is.
    let each_ends = |place: &Place| {
        place.after.parts().iter().all(|it| ctx.part(*it).is_some_and(|it| ends(it, bus.name())))
    };
    let certain = |node: &&Node<'_>| {
        node.sure || each_ends(node.place) && node.place.after.parts().first() == Some(&node.id)
    };
    let sure: Vec<Resistor> =
        bus.nodes.iter().filter(certain).flat_map(|it| resistors(ctx, it, bus.name())).collect();
    let mut doubtful: Vec<String> = Vec::new();
    for node in bus.nodes.iter().filter(|it| !it.sure && !each_ends(it.place)) {
        let shown = format!("{} in the {}", node.id.shown(ctx.db), node.place.shown());
        if ends(node.part, bus.name()) && !doubtful.contains(&shown) {
            doubtful.push(shown);
        }
    }
    doubtful.extend(bus.unknown.iter().map(|it| ctx.holding_shown(&it.after, it)));
    let site = place_to_look(ctx, bus, &sure);
    if sure.len() > 2 {
        return wrong_count(ctx, bus, &sure, site);
    }
    if !doubtful.is_empty() {
        let have = count(sure.len());
        let unknown = listed(&doubtful);
        let message = format!(
            "{} has {have} for certain; nobody has said whether {unknown} ends it too.",
            capital(&bus.shown())
        );
        return open(ctx, bus, site, message, format!("which modules end {}", bus.shown()));
    }
    if sure.len() < 2 {
        if ended_before(ctx, bus) {
            return wrong_count(ctx, bus, &sure, site);
        }
        let message = format!(
            "{} has {} that anybody has said; it wants two.",
            capital(&bus.shown()),
            count(sure.len())
        );
        return open(ctx, bus, site, message, format!("where {} ends", bus.shown()));
    }
    pair(ctx, bus, &sure, site)
}

/// Exactly two: whether each is what it should be.
fn pair(ctx: &Ctx<'_>, bus: &Bus<'_>, sure: &[Resistor], site: Site) -> Verdict {
    let found: Vec<Found> = sure.iter().map(|it| it.found.clone()).collect();
    if let Some(silent) = sure.iter().find(|it| it.ohms.is_none()) {
        let message = format!("{} ends {}, but nobody has said with how many ohms.", silent.who, bus.shown());
        return open(ctx, bus, silent.site, message, format!("the resistor in {}", silent.who));
    }
    let names = listed(&sure.iter().map(|it| it.who.clone()).collect::<Vec<_>>());
    let (formula, reading) = reading(sure);
    for it in sure {
        let Some([lo, _, hi]) = it.ohms.and_then(|it| it.ends_in("Ω")) else { continue };
        let shown = it.ohms.map(|it| it.display()).unwrap_or_default();
        let (low, high) = (LIMITS.0 - 1e-9, LIMITS.1 + 1e-9);
        if hi < low || lo > high {
            let message = format!(
                "{} ends {} with {shown}; one resistor is to have {} Ω to {} Ω. A meter will read {reading}.",
                it.who,
                bus.shown(),
                LIMITS.0,
                LIMITS.1
            );
            let fixes = others(ctx, bus, &|part| ends(part, bus.name()), &it.place);
            return dressed(
                ctx.clash("bus/termination", bus.name(), it.site, message, &found),
                &formula,
                &reading,
            )
            .with_fixes(fixes);
        }
        if lo < low || hi > high {
            let message = format!(
                "{} ends {} with {shown}, which may lie outside {} Ω to {} Ω.",
                it.who,
                bus.shown(),
                LIMITS.0,
                LIMITS.1
            );
            return open(ctx, bus, it.site, message, format!("the resistor in {} more precisely", it.who));
        }
    }
    let message = format!(
        "{} has its two terminators, in {names}; a meter across it will read {reading}.",
        capital(&bus.shown())
    );
    dressed(ctx.clear("bus/termination", bus.name(), site, message, &found), &formula, &reading)
}

fn wrong_count(ctx: &Ctx<'_>, bus: &Bus<'_>, sure: &[Resistor], site: Site) -> Verdict {
    let found: Vec<Found> = sure.iter().map(|it| it.found.clone()).collect();
    let names = listed(&sure.iter().map(|it| it.who.clone()).collect::<Vec<_>>());
    let holders = if sure.is_empty() { String::new() } else { format!(", in {names}") };
    let (formula, reading) = reading(sure);
    let read =
        if sure.is_empty() { "no resistor at all".to_owned() } else { format!("{reading} instead of 60 Ω") };
    let message = format!(
        "{} has {}{holders}; it wants two. A meter will read {read}.",
        capital(&bus.shown()),
        count(sure.len())
    );
    let many = sure.len() > 2;
    let mut fixes: Vec<Fix> = Vec::new();
    for node in &bus.nodes {
        if ends(node.part, bus.name()) == many {
            fixes.extend(others(ctx, bus, &|part| ends(part, bus.name()) != many, &node.place.name));
        }
    }
    fixes.truncate(4);
    dressed(ctx.clash("bus/termination", bus.name(), site, message, &found), &formula, &reading)
        .with_fixes(fixes)
}

fn dressed(verdict: Verdict, formula: &str, reading: &str) -> Verdict {
    let mut verdict = verdict.with_need("two of 120 Ω, read as 60 Ω", reading).with_because(NOT_PROVEN);
    if !formula.is_empty() {
        verdict = verdict.with_formula(formula).with_figure("reading", reading.trim_end_matches(" Ω"), "Ω");
    }
    verdict.with_source("ISO 11898-2")
}

/// Parts for a place that stay on the bus and end it, or do not.
fn others(ctx: &Ctx<'_>, bus: &Bus<'_>, suits: &dyn Fn(&Part) -> bool, place: &str) -> Vec<Fix> {
    let Some(place) = ctx.world.place(place) else { return Vec::new() };
    let here = |id: Id| place.after.parts().contains(&id);
    replacements(ctx, place, &|id| {
        !here(id) && ctx.part(id).is_some_and(|it| is_on(it, bus.name()) && suits(it))
    })
}

fn ends(part: &Part, bus: &str) -> bool {
    part.terminates.iter().any(|it| it.0.head() == bus)
}

fn resistors(ctx: &Ctx<'_>, node: &Node<'_>, bus: &str) -> Vec<Resistor> {
    let all = node.part.terminates.iter().filter(|it| it.0.head() == bus);
    all.map(|(_, ohms, claim, span)| Resistor {
        place: node.place.name.to_string(),
        who: node.id.shown(ctx.db),
        ohms: *ohms,
        found: known::said(ctx.db, ctx.workspace, node.id, claim, *span),
        site: node.id.site(*span),
    })
    .collect()
}

/// Whether the vehicle as built had two: then a missing one was taken off, not left unsaid.
fn ended_before(ctx: &Ctx<'_>, bus: &Bus<'_>) -> bool {
    let parts = ctx.world.places.iter().filter_map(|it| ctx.part(it.before.part()?));
    parts.map(|it| it.terminates.iter().filter(|it| it.0.head() == bus.name()).count()).sum::<usize>() >= 2
}

/// The last change that puts a terminator on the bus, else the last that touches it.
fn place_to_look(ctx: &Ctx<'_>, bus: &Bus<'_>, sure: &[Resistor]) -> Site {
    let of = |name: &str| ctx.world.place(name).and_then(|it| it.done.last()).map(|it| it.site);
    let put = sure.iter().filter_map(|it| of(&it.place)).next_back();
    let any = bus.nodes.iter().map(|it| it.place).chain(bus.unknown.iter().copied());
    put.or_else(|| any.filter_map(|it| it.done.last()).map(|it| it.site).next_back())
        .unwrap_or_else(|| bus.id.site(bus.decl.span))
}

/// The arithmetic and the reading of resistors side by side.
fn reading(all: &[Resistor]) -> (String, String) {
    let ohms: Option<Vec<[f64; 3]>> = all.iter().map(|it| it.ohms?.ends_in("Ω")).collect();
    let Some(ohms) = ohms.filter(|it| !it.is_empty()) else {
        return (String::new(), "nothing that can be told".to_owned());
    };
    let side_by_side = |at: usize| 1.0 / ohms.iter().map(|it| 1.0 / it[at]).sum::<f64>();
    let [lo, nominal, hi] = [side_by_side(0), side_by_side(1), side_by_side(2)];
    let shown = |it: f64| trimmed(it, 1);
    let reading = if shown(lo) == shown(hi) {
        format!("{} Ω", shown(nominal))
    } else {
        format!("{} to {} Ω", shown(lo), shown(hi))
    };
    let terms: Vec<String> = ohms.iter().map(|it| format!("1/{} Ω", shown(it[1]))).collect();
    (format!("R = 1/({}) = {} Ω", terms.join(" + "), shown(nominal)), reading)
}

fn open(ctx: &Ctx<'_>, bus: &Bus<'_>, site: Site, message: String, what: String) -> Verdict {
    let question = Question {
        what,
        good: Some("60 Ω with both; 120 Ω: one is missing; 40 Ω: one too many".to_owned()),
        tool: Some("meter across high and low, battery off".to_owned()),
        precision: Some("1 Ω".to_owned()),
        minutes: Some(10),
        who: Who::Tape,
        gate: Gate::Power,
        hangs: format!("whether {} works with all that is then on it", bus.shown()),
        type_in: Some(format!("in the module that ends it: terminates {} with … Ω", bus.name())),
    };
    let verdict = ctx.open("bus/termination", bus.name(), site, message, question);
    verdict.with_because(NOT_PROVEN).with_source("ISO 11898-2")
}

fn count(n: usize) -> String {
    match n {
        0 => "no terminator".to_owned(),
        1 => "one terminator".to_owned(),
        n => format!(
            "{} terminators",
            ["", "", "two", "three", "four"].get(n).map_or_else(|| n.to_string(), ToString::to_string)
        ),
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn bus(brake: &str, late: &str, more: &str) -> String {
        format!(
            r#"
kind unit {{ asks mass }}
source wiring "Wiring diagrams" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine_controller, brake_controller, gearbox_controller is unit
  bus drive is CAN at 500 kbit/s }}
module engine_unit is unit fills engine_controller {{ fitted on Dunlin, terminates drive with 120 Ω per wiring }}
module brake_unit is unit fills brake_controller {{ fitted on Dunlin, sends wheel_speed on drive, {brake} }}
module late_unit is unit fills gearbox_controller {{ sends gear on drive, {late} }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit late_unit }}"#
        )
    }

    #[test]
    fn two_are_clear_with_the_reading() {
        let found = check("bus/termination", &bus("mass 3 kg", "terminates drive with 120 Ω per wiring", ""));
        found.clear(
            "The drive bus has its two terminators, in engine unit and late unit; a meter across it will read 60 Ω.",
        );
        assert_eq!(found.only().formula.as_deref(), Some("R = 1/(1/120 Ω + 1/120 Ω) = 60 Ω"));
        assert!(found.only().because[0].contains("does not prove two"));
        assert_eq!(found.text(), "fit late_unit");
    }

    #[test]
    fn three_are_a_clash_and_a_unit_without_mends_it() {
        let plain =
            "module plain is unit fills brake_controller { sends wheel_speed on drive, offer 90 EUR }";
        let found = check(
            "bus/termination",
            &bus("terminates drive with 120 Ω", "terminates drive with 120 Ω", plain),
        );
        found.clash(
            "The drive bus has three terminators, in engine unit, brake unit and late unit; it wants two. \
             A meter will read 40 Ω instead of 60 Ω.",
        );
        assert_eq!(found.text(), "fit late_unit");
        let mended = found.fixed(0);
        assert!(mended.contains("fit late_unit, replace brake_controller with plain }"), "{mended}");
        assert_eq!(check("bus/termination", &mended).only().outcome.word(), "clear");
    }

    #[test]
    fn one_taken_off_is_a_clash() {
        let source = bus("terminates drive with 120 Ω", "mass 2 kg", "")
            .replace("fit late_unit }", "remove brake_controller }");
        check("bus/termination", &source)
            .clash("The drive bus has one terminator, in engine unit; it wants two. A meter will read 120 Ω instead of 60 Ω.");
    }

    #[test]
    fn a_resistor_of_60_ohms_is_a_clash_and_one_at_the_edge_open() {
        check("bus/termination", &bus("mass 3 kg", "terminates drive with 60 Ω", "")).clash(
            "late unit ends the drive bus with 60 Ω; one resistor is to have 100 Ω to 130 Ω. A meter will read 40 Ω.",
        );
        check("bus/termination", &bus("mass 3 kg", "terminates drive with 120 Ω ± 15 Ω", ""))
            .open("late unit ends the drive bus with 120 Ω ± 15 Ω, which may lie outside 100 Ω to 130 Ω.");
    }

    #[test]
    fn a_second_one_that_nobody_mentioned_is_open() {
        let found = check("bus/termination", &bus("mass 3 kg", "mass 2 kg", ""));
        found.open("The drive bus has one terminator that anybody has said; it wants two.");
        check("bus/termination", &bus("mass 3 kg", "terminates drive", ""))
            .open("late unit ends the drive bus, but nobody has said with how many ohms.");
    }

    #[test]
    fn one_of_several_units_is_open() {
        let source = bus(
            "mass 3 kg",
            "terminates drive with 120 Ω",
            "module other is unit fills gearbox_controller { sends gear on drive }",
        )
        .replace("fit late_unit }", "choose gearbox_controller from late_unit, other }");
        check("bus/termination", &source).open(
            "The drive bus has one terminator for certain; nobody has said whether late unit in the \
             gearbox controller ends it too.",
        );
    }

    #[test]
    fn a_bus_that_nothing_touches_is_left_alone() {
        let source = bus("mass 3 kg", "terminates drive with 120 Ω", "")
            .replace("fit late_unit }", "budget 100 EUR }");
        check("bus/termination", &source).silent();
    }
}
