//! # fluid/flow
//!
//! What a port needs of coolant, fuel or oil the pump before it gives, and the hoses on the way are wide
//! enough: the flow runs through each no faster than the `basis` allows.
//!
//! ## Why it matters
//!
//! A pump that fed the old engine starves the new one at full load, when it is hottest. A hose that is
//! too narrow does the same with any pump: it draws air, collapses or wears from inside.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place fuel_pump is fuel_pump
//!   line feed joins fuel_pump.out to engine.fuel_in, 8 mm bore, carrying diesel }
//! part strong is engine { port fuel_in carrying diesel, fuel_in.flow 2.4 L/min }
//! part lift is fuel_pump fills fuel_pump { fitted on Dunlin, port out carrying diesel, flow 1.6 L/min }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit strong for engine }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12
//!   place engine is engine
//!   place fuel_pump is fuel_pump
//!   line feed joins fuel_pump.out to engine.fuel_in, 8 mm bore, carrying diesel }
//! part strong is engine { port fuel_in carrying diesel, fuel_in.flow 2.4 L/min }
//! part large_lift is fuel_pump { port out carrying diesel, flow 3.2 L/min }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion stronger { recipient van, fit strong for engine, fit large_lift for fuel_pump }
//! ```
//!
//! ## References
//!
//! Comparison of what is stated; continuity: `trunnion explain flow_speed`. At most 2 m/s of fuel and
//! 3 m/s of anything else in a delivery line: common practice, no source. What an engine needs of
//! fuel and coolant may be worked out by `trunnion explain fuel_flow` and `trunnion explain
//! coolant_flow`. Steering is `steer/supply`.

use trunnion_handbook::quantity::{Quantity, Truth};
use trunnion_model::decl::EndClass;
use trunnion_model::fact::{Found, Known};
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::{EndAt, LineAt, Place, When};

use crate::check::{Check, Judge};
use crate::checks::need::replacements;
use crate::ctx::Ctx;
use crate::routes::{Route, line_at, medium, route};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "fluid/flow", source: include_str!("fluid_flow.rs"), judge: Judge::World(judge) };

/// What may run through a delivery line, in m/s: common practice, no source.
const FASTEST: f64 = 3.0;
/// The same of fuel.
const FASTEST_FUEL: f64 = 2.0;

/// What gives a flow of its own.
const PUMPS: [&str; 3] = ["fuel_pump", "coolant_pump", "water_pump"];

/// A port that needs a flow.
struct Taker<'a> {
    at: EndAt,
    place: &'a Place,
    known: Known,
}

impl Taker<'_> {
    fn words(&self) -> String {
        format!("{} of the {}", self.at.end.replace('_', " "), self.place.shown())
    }

    fn flow(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<Quantity> {
        let mut question = ctx.question(self.place, "flow", sum.hangs());
        question.what = format!("the flow at {}", self.words());
        sum.settle_with(&self.known, question, None)?.quantity()
    }
}

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let pumps: Vec<&Place> = PUMPS.iter().flat_map(|it| ctx.of_kind(it)).collect();
    let is_pump = |it: &Place| pumps.iter().any(|other| other.name == it.name);
    let mut verdicts = Vec::new();
    for taker in takers(ctx).into_iter().filter(|it| !is_pump(it.place)) {
        let way = route(ctx, &taker.at, |place, end| is_pump(place) && end.end != "inlet");
        let first = line_at(ctx, &taker.at).filter(|it| medium(it) != Some("steering_fluid"));
        let Some(first) = first else { continue };
        let lines = way.as_ref().map_or_else(|| vec![first], |it| it.lines.clone());
        let giver = way.as_ref().map(|it| it.place);
        let changes = ctx.concerns(&[taker.place])
            || giver.is_some_and(Place::changed)
            || lines.iter().any(|it| !it.joint.before);
        if !changes {
            continue;
        }
        verdicts.extend(way.as_ref().and_then(|it| supply(ctx, &taker, it)));
        verdicts.extend(lines.into_iter().filter_map(|it| bore(ctx, &taker, it)));
    }
    verdicts
}

/// The ports of which somebody stated a flow.
fn takers<'a>(ctx: &Ctx<'a>) -> Vec<Taker<'a>> {
    let mut all = Vec::new();
    for place in ctx.world.places.iter().filter(|it| it.after.is_filled()) {
        let Some(part) = place.after.part() else { continue };
        let ends = ctx.ends(place, When::After);
        for end in ends.iter().filter(|it| it.class == EndClass::Port && !it.absent) {
            let known = known::of_part_about(ctx.db, ctx.workspace, part, &end.name, "flow");
            if !known.claims().is_empty() {
                let at = EndAt { place: place.name.clone(), end: end.name.clone() };
                all.push(Taker { at, place, known });
            }
        }
    }
    all
}

/// Whether the pump gives what the port needs.
fn supply(ctx: &Ctx<'_>, taker: &Taker<'_>, way: &Route<'_>) -> Option<Verdict> {
    let pump = way.place;
    let done = taker.place.done.last().or(pump.done.last());
    let hangs = format!("whether the {} gets enough", taker.words());
    let site = done.map_or(taker.place.site, |it| it.site);
    let mut sum = Sum::new(ctx, CHECK.name, taker.at.text(), site, hangs);
    sum.safety_of(&[taker.place, pump]);
    sum.work(|sum| {
        let needed = taker.flow(ctx, sum)?;
        sum.good(format!("at least {}", needed.display()));
        let given = sum.figure(pump, "flow")?;
        if given.at_least(&needed) == Ok(Truth::No) {
            sum.fixes(replacements(ctx, pump, &|id| {
                let found = known::of_part(ctx.db, ctx.workspace, id, "flow");
                let other = found.first().and_then(Found::quantity);
                other.is_some_and(|it| it.at_least(&needed) == Ok(Truth::Yes))
            }));
        }
        let said = format!("{} gives {}", ctx.part_shown(pump), given.display());
        let wanted = format!("the {} needs {}", taker.words(), needed.display());
        Some(Answer::at_least(given, needed, &said, &wanted))
    })
}

/// Whether a line on the way is wide enough. What it is not stated for is line/mate's.
fn bore(ctx: &Ctx<'_>, taker: &Taker<'_>, line: &LineAt) -> Option<Verdict> {
    let bore = line.line.bore?;
    let name = line.line.title.clone().unwrap_or_else(|| line.line.name.value.as_str().into());
    let hangs = format!("whether the line \"{name}\" is wide enough");
    let mut sum = Sum::new(ctx, CHECK.name, &*line.line.name.value, line.joint.site, hangs);
    sum.safety_of(&[taker.place]);
    sum.work(|sum| {
        sum.rests_on(&known::said(ctx.db, ctx.workspace, line.id, &line.line.claim, line.line.span));
        let fuel = medium(line).is_some_and(|it| ["fuel", "diesel", "petrol"].contains(&it));
        let limit = sum.basis_or("flow_speed", if fuel { FASTEST_FUEL } else { FASTEST }, "m/s")?;
        let flow = taker.flow(ctx, sum)?;
        let runs = sum.call("flow_speed", &[flow, bore])?.shown_in("m/s").ok()?;
        let said = format!(
            "through \"{name}\", {} bore, {} run at {}",
            bore.display(),
            flow.display(),
            runs.display()
        );
        Some(Answer::at_most(runs, limit, &said, &format!("{} are good", limit.display())))
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::check;

    fn van(needs: &str, pump: &str, bore: &str) -> String {
        format!(
            r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place fuel_filter is fuel_filter
  place fuel_pump is fuel_pump
  line to_filter joins fuel_pump.out to fuel_filter.inlet, carrying diesel
  line feed "feed pipe" joins fuel_filter.out to engine.fuel_in, {bore} bore, carrying diesel per manual }}
part strong is engine {{ port fuel_in carrying diesel, {needs} }}
part filter is fuel_filter fills fuel_filter {{ fitted on Dunlin, port inlet carrying diesel, port out carrying diesel }}
part lift is fuel_pump fills fuel_pump {{ fitted on Dunlin, port out carrying diesel, {pump} }}
part large "the large pump" is fuel_pump fills fuel_pump {{ flow 4 L/min, offer 90 EUR }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion stronger {{ recipient van, fit strong for engine }}"#
        )
    }

    /// By hand: 3 l/min are 50 000 mm³/s; 8 mm of bore have 50.265 mm²: 0.9947 m/s.
    #[test]
    fn the_pump_is_found_through_the_filter() {
        let found =
            check("fluid/flow", &van("fuel_in.flow 3 L/min per manual", "flow 3.5 L/min per manual", "8 mm"));
        let supply = found.about("engine.fuel_in");
        assert_eq!(supply.message, "Lift gives 3.5 l/min; the fuel in of the engine needs 3 l/min.");
        assert_eq!(supply.margin.as_deref(), Some("0.5 l/min"));
        let line = found.about("feed");
        assert_eq!(
            line.message,
            "Through \"feed pipe\", 8 mm bore, 3 l/min run at 0.9947 m/s; 2 m/s are good."
        );
        assert_eq!(found.verdicts().len(), 2);
    }

    #[test]
    fn a_pump_that_starves_it_and_a_pipe_that_is_narrow() {
        let found =
            check("fluid/flow", &van("fuel_in.flow 3 L/min per manual", "flow 2 L/min per manual", "5 mm"));
        let supply = found.about("engine.fuel_in");
        assert_eq!(supply.message, "Lift gives 2 l/min, but the fuel in of the engine needs 3 l/min.");
        assert_eq!(found.text_of(supply), "fit strong for engine");
        assert_eq!(supply.fixes[0].title, "replace the fuel pump with the large pump");
        assert_eq!(supply.safety, ["lifting", "fuel"]);
        let line = found.about("feed");
        assert_eq!(line.outcome.word(), "clash");
        assert_eq!(
            line.message,
            "Through \"feed pipe\", 5 mm bore, 3 l/min run at 2.546 m/s, but 2 m/s are good."
        );
    }

    #[test]
    fn what_the_pump_gives_is_asked() {
        let found = check("fluid/flow", &van("fuel_in.flow 3 L/min per manual", "pressure 4 bar", "8 mm"));
        assert_eq!(
            found.about("engine.fuel_in").message,
            "Nobody has said the flow of the fuel pump; good would be at least 3 l/min: \
             it decides whether the fuel in of the engine gets enough."
        );
        check("fluid/flow", &van("mass 180 kg", "flow 2 L/min", "8 mm")).silent();
    }
}
