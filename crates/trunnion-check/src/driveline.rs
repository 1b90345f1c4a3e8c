//! What turns what between the crank and the road, and how far it rolls in a turn.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry;
use trunnion_handbook::tyre::Tyre;
use trunnion_model::built::{family, vehicle};
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::world::Place;

use crate::ctx::{Ctx, question};
use crate::rolling::{is_wheel, tyre_on};
use crate::sum::Sum;

/// The unit that changes the gear.
pub(crate) fn gearbox<'a>(ctx: &Ctx<'a>) -> Option<&'a Place> {
    ctx.only_of_kind("gearbox")
}

/// The final drive of the axle that is driven first: the rear one where both are.
pub(crate) fn final_drive<'a>(ctx: &Ctx<'a>) -> Option<&'a Place> {
    let all = ctx.of_kind("final_drive");
    let rear = all.iter().find(|it| !it.name.starts_with("front_"));
    rear.or(all.first()).copied()
}

/// Which axle is driven, as the vehicle or its family says: `front`, `rear`, `all`.
pub(crate) fn driven(ctx: &Ctx<'_>) -> Option<String> {
    let built = ctx.built();
    let own = vehicle(ctx.db, built.vehicle).and_then(|it| Some(&it.driven.as_ref()?.value));
    let inherited = || built.families.iter().find_map(|it| family(ctx.db, *it)?.driven.as_ref());
    own.or_else(inherited).map(ToString::to_string)
}

/// Whether the torque goes through a converter, which multiplies it while it slips.
pub(crate) fn has_converter(ctx: &Ctx<'_>, gearbox: &Place) -> bool {
    ctx.kind_after(gearbox).is_some_and(|(_, kind)| kind.is(ctx.db, "automatic_gearbox"))
        || ctx.only_of_kind("torque_converter").is_some()
}

/// A handbook function for a figure beside the answer, whose formula is not part of the verdict.
pub(crate) fn beside(name: &str, arguments: &[Quantity]) -> Option<Quantity> {
    Some(registry::function(name)?.call(arguments).ok()?.value)
}

/// A plain number.
pub(crate) fn number(figure: f64) -> Option<Quantity> {
    Quantity::number(figure).ok()
}

/// The wheels of the driven axle first.
fn wheels<'a>(ctx: &Ctx<'a>) -> Vec<&'a Place> {
    let front = driven(ctx).as_deref() == Some("front");
    let mut all: Vec<&Place> = ctx.world.places.iter().filter(|it| is_wheel(it)).collect();
    all.sort_by_key(|it| it.name.ends_with("front") != front);
    all
}

/// Whether anybody stated how far the driven tyres roll, or what is marked on them.
pub(crate) fn rolls(ctx: &Ctx<'_>) -> bool {
    let of_vehicle = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, "rolling_circumference");
    wheels(ctx).iter().any(|it| ctx.stated(it, "rolling_circumference"))
        || !of_vehicle.claims().is_empty()
        || tyre_on(ctx).is_some()
}

/// What the driven tyres roll in one turn: as measured or stated, else from their marking.
pub(crate) fn circumference(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<Quantity> {
    const MEASURE: &str = "rolling_circumference";
    let wheels = wheels(ctx);
    if let Some(wheel) = wheels.iter().find(|it| ctx.stated(it, MEASURE)) {
        return sum.figure(wheel, MEASURE);
    }
    let of_vehicle = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, MEASURE);
    if !wheels.iter().any(|it| it.changed()) && !of_vehicle.claims().is_empty() {
        return sum.of_vehicle(MEASURE);
    }
    if let Some((marking, found)) = tyre_on(ctx) {
        sum.rests_on(&found);
        return of_marking(sum, &marking);
    }
    let declared = known::measure(ctx.db, ctx.workspace, ctx.world.root(), "tyre");
    let find_out = declared.map(|it| it.find_out.clone()).unwrap_or_default();
    let mut ask = question("the marking of the tyres", &find_out, "");
    ask.type_in = Some(format!("in vehicle {}: tyre …", ctx.built().vehicle.name(ctx.db)));
    sum.lacks("the marking of the tyres", ask);
    None
}

/// What a tyre of that marking rolls in one turn, with the spread of makes.
pub(crate) fn of_marking(sum: &mut Sum<'_, '_>, marking: &str) -> Option<Quantity> {
    let tyre = match Tyre::parse(marking) {
        Ok(it) => it,
        Err(error) => {
            sum.refuse(error.to_string());
            return None;
        }
    };
    let Some(aspect) = tyre.aspect else {
        sum.refuse(format!("a tyre marked {marking} does not tell its height: measure what it rolls"));
        return None;
    };
    let width = Quantity::exact(f64::from(tyre.width_mm), "mm").ok()?;
    let aspect = Quantity::exact(f64::from(aspect), "%").ok()?;
    let rim = Quantity::exact(f64::from(tyre.rim_tenths) / 10.0, "in").ok()?;
    let diameter = sum.call("tyre_diameter", &[width, aspect, rim])?;
    sum.call("rolling_circumference", &[diameter])
}

/// The greatest torque behind the gearbox: the engine's, through the converter at stall and the
/// gear that multiplies it most, then through what is given beside. Collects what is missing before
/// it gives up.
fn torque_behind(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    engine: &Place,
    gearbox: &Place,
    further: &[Option<Quantity>],
) -> Option<Quantity> {
    let torque = sum.figure(engine, "peak_torque");
    let ratios = sum.figures(gearbox, "ratios");
    let reverse = sum.maybe(gearbox, "reverse_ratio");
    let stall = multiplication(ctx, sum, gearbox);
    let lowest = ratios?.into_iter().chain(reverse).max_by(|a, b| a.hi().total_cmp(&b.hi()))?;
    let mut arguments = vec![torque?, stall?, lowest];
    for it in further {
        arguments.push((*it)?);
    }
    sum.call("driveline_torque", &arguments)
}

/// The greatest torque that leaves the gearbox.
pub(crate) fn output_torque(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    engine: &Place,
    gearbox: &Place,
) -> Option<Quantity> {
    torque_behind(ctx, sum, engine, gearbox, &[])
}

/// What the converter makes of the engine's torque at stall; 1 with a clutch.
pub(crate) fn multiplication(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, gearbox: &Place) -> Option<Quantity> {
    if !has_converter(ctx, gearbox) {
        return number(1.0);
    }
    let converter = ctx.only_of_kind("torque_converter").filter(|it| ctx.stated(it, "stall_ratio"));
    sum.figure(converter.unwrap_or(gearbox), "stall_ratio")
}

/// The ratio of the low range of a transfer case; 1 where there is none.
pub(crate) fn low_range(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<Quantity> {
    let Some(case) = ctx.only_of_kind("transfer_case") else { return number(1.0) };
    match ctx.fact(case, "low_ratio") {
        Known::Nothing(found) => {
            sum.rests_on(&found);
            number(1.0)
        }
        _ => sum.figure(case, "low_ratio"),
    }
}

/// Whether a shaft or axle is one of the front axle of an all-driven vehicle, or of the only one.
pub(crate) fn is_front(ctx: &Ctx<'_>, place: &Place) -> bool {
    place.name.starts_with("front_") || driven(ctx).as_deref() == Some("front")
}

/// The greatest torque in the shaft to an axle: what leaves the gearbox, through the low range and
/// the share of a transfer case.
pub(crate) fn shaft_torque(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    engine: &Place,
    gearbox: &Place,
    front: bool,
) -> Option<Quantity> {
    let Some(case) = ctx.only_of_kind("transfer_case") else {
        return output_torque(ctx, sum, engine, gearbox);
    };
    let low = low_range(ctx, sum);
    let split = sum.figure(case, "torque_split");
    let share = if front { split } else { split.and_then(|it| number(1.0)?.sub(&it).ok()) };
    torque_behind(ctx, sum, engine, gearbox, &[low, share])
}
