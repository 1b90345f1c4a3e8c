//! The brakes of the two axles: the force they give for a pressure, what holds the rear back, and the
//! chain from the pedal to the line.

use trunnion_handbook::quantity::Quantity;
use trunnion_handbook::registry::{self, Argument};
use trunnion_model::known;
use trunnion_model::world::Place;

use crate::ctx::Ctx;
use crate::driveline::of_marking;
use crate::rolling::tyre_on;
use crate::sum::Sum;

/// Which rules the `basis` may choose for brakes.
pub(crate) const RULES: &str = "ece_13h or cfr_571_135";

/// The brakes of the front and of the rear axle.
pub(crate) struct Brakes<'a> {
    pub(crate) front: &'a Place,
    pub(crate) rear: &'a Place,
}

/// Forces at the road of the two axles at one pressure, and what holds the rear back.
pub(crate) struct Forces {
    pub(crate) front: Quantity,
    pub(crate) rear: Quantity,
    pub(crate) pressure: Quantity,
    pub(crate) valve_pressure: Quantity,
    pub(crate) valve_slope: Quantity,
}

/// The brakes of the two axles: one place with a caliper or drum that has `front` in its name, one
/// that has `rear`.
pub(crate) fn brakes<'a>(ctx: &Ctx<'a>) -> Option<Brakes<'a>> {
    let all: Vec<&Place> =
        ["brake_caliper", "brake_drum"].into_iter().flat_map(|it| ctx.of_kind(it)).collect();
    let only = |word: &str| {
        let mut there = all.iter().filter(|it| it.name.split('_').any(|part| part == word));
        there.next().copied().filter(|_| there.next().is_none())
    };
    Some(Brakes { front: only("front")?, rear: only("rear")? })
}

impl<'a> Brakes<'a> {
    pub(crate) fn both(&self) -> [&'a Place; 2] {
        [self.front, self.rear]
    }

    /// Whether anybody stated what the force of either is worked out from.
    pub(crate) fn begun(&self, ctx: &Ctx<'_>) -> bool {
        let of = ["effective_radius", "lining_friction", "brake_factor"];
        self.both().iter().any(|it| of.iter().any(|measure| ctx.stated(it, measure)))
    }

    /// The forces of both axles at 100 bar, with all that is missing asked for.
    pub(crate) fn forces(&self, ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> Option<Forces> {
        let pressure = Quantity::exact(100.0, "bar").ok()?;
        let front = axle(ctx, sum, self.front, "front", pressure);
        let rear = axle(ctx, sum, self.rear, "rear", pressure);
        let (valve_pressure, valve_slope) = valve(ctx, sum);
        Some(Forces {
            front: front?,
            rear: rear?,
            pressure,
            valve_pressure: valve_pressure?,
            valve_slope: valve_slope?,
        })
    }
}

/// The force of one axle at a pressure.
fn axle(
    ctx: &Ctx<'_>,
    sum: &mut Sum<'_, '_>,
    place: &Place,
    which: &str,
    pressure: Quantity,
) -> Option<Quantity> {
    let bore = sum.figure(place, "piston_diameter");
    if is_drum(ctx, place) {
        let factor = sum.figure(place, "brake_factor");
        let drum = sum.figure(place, "diameter");
        let rolls = circumference(ctx, sum, which);
        return sum.call("drum_brake_force", &[pressure, bore?, factor?, drum?, rolls?]);
    }
    let pistons = sum.figure(place, "pistons");
    let friction = sum.figure(place, "lining_friction");
    let radius = sum.figure(place, "effective_radius");
    let rolls = circumference(ctx, sum, which);
    sum.call("disc_brake_force", &[pressure, bore?, pistons?, friction?, radius?, rolls?])
}

/// Whether a drum sits there.
pub(crate) fn is_drum(ctx: &Ctx<'_>, place: &Place) -> bool {
    ctx.kind_after(place).is_some_and(|(_, kind)| kind.is(ctx.db, "brake_drum"))
}

/// What the wheels of that axle roll in a turn: their own figure, the vehicle's, or the marking's.
fn circumference(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, which: &str) -> Option<Quantity> {
    const MEASURE: &str = "rolling_circumference";
    let wheel = ctx.world.place(&format!("wheel_{which}")).filter(|it| ctx.stated(it, MEASURE));
    if let Some(wheel) = wheel {
        return sum.figure(wheel, MEASURE);
    }
    let of_vehicle = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, MEASURE);
    let marked = tyre_on(ctx);
    let (true, Some((marking, found))) = (of_vehicle.claims().is_empty(), marked) else {
        return sum.of_vehicle(MEASURE);
    };
    sum.rests_on(&found);
    of_marking(sum, &marking)
}

/// What holds the rear back: the pressure above which it does, and the share it lets through.
fn valve(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>) -> (Option<Quantity>, Option<Quantity>) {
    let places = ctx.world.places.iter().filter(|it| it.after.is_filled());
    let holds = |it: &&Place| {
        let figure = |measure| ctx.fact(it, measure).best().and_then(|it| it.quantity()).is_some();
        figure("valve_pressure") || figure("valve_slope")
    };
    if let Some(valve) = places.into_iter().find(holds) {
        return (sum.figure(valve, "valve_pressure"), sum.figure(valve, "valve_slope"));
    }
    sum.note("Nothing is stated that holds the rear back: no valve is counted.");
    (Quantity::exact(0.0, "bar").ok(), Quantity::exact(100.0, "%").ok())
}

/// A figure of the rule that the `basis` takes for brakes; open until the owner chooses one.
pub(crate) fn ruled(sum: &mut Sum<'_, '_>, function: &str, case: Option<&str>) -> Option<Quantity> {
    let rule = sum.basis_word("brakes", RULES)?;
    let arguments: Vec<Argument<'_>> =
        [Some(rule.as_str()), case].into_iter().flatten().map(Into::into).collect();
    let known = registry::function(function)?;
    match known.call_with(&arguments) {
        Ok(made) => {
            sum.source(format!("basis: brakes is {rule}"));
            sum.formula(made.with_numbers);
            for source in known.sources {
                sum.source(source.to_string());
            }
            Some(made.value)
        }
        Err(error) => {
            sum.refuse(error.to_string());
            None
        }
    }
}

/// The chain from the foot to the line: pedal, servo, master cylinder.
pub(crate) struct Pedal<'a> {
    pub(crate) pedal: &'a Place,
    pub(crate) master: &'a Place,
    pub(crate) servo: Option<&'a Place>,
}

/// The only brake pedal with the only master cylinder of the brakes.
pub(crate) fn pedal<'a>(ctx: &Ctx<'a>) -> Option<Pedal<'a>> {
    Some(Pedal {
        pedal: ctx.only_of_kind("brake_pedal_box")?,
        master: ctx.only_of_kind("master_cylinder")?,
        servo: ctx.only_of_kind("brake_servo"),
    })
}

impl Pedal<'_> {
    /// The force at the pedal that gives the deceleration which the rule asks, with the servo at
    /// work or dead.
    pub(crate) fn force(
        &self,
        ctx: &Ctx<'_>,
        sum: &mut Sum<'_, '_>,
        brakes: &Brakes<'_>,
        dead: bool,
    ) -> Option<Quantity> {
        let state = if dead { "servo_dead" } else { "whole" };
        let wanted = ruled(sum, "deceleration_wanted", Some(state));
        let mass = sum.of_vehicle("plated_mass");
        let forces = brakes.forces(ctx, sum);
        let bore = sum.figure(self.master, "piston_diameter");
        let ratio = sum.figure(self.pedal, "pedal_ratio");
        let servo = match self.servo.filter(|_| !dead) {
            Some(servo) => sum.figure(servo, "boost_ratio"),
            None => Quantity::number(1.0).ok(),
        };
        let it = forces?;
        let given = [mass?, wanted?, it.front, it.rear, it.pressure, it.valve_pressure, it.valve_slope];
        let pressure = sum.call("stopping_pressure", &given)?;
        sum.call("pedal_force", &[pressure, bore?, ratio?, servo?])
    }
}
