//! # drive/shaft
//!
//! A propshaft keeps well below the speed at which it whirls, at the highest speed that it turns;
//! and where the `basis` states a limit, its tube bears the torque.
//!
//! ## Why it matters
//!
//! A shaft that was made longer for a shorter gearbox runs quietly in town and throws itself out of
//! the vehicle on the motorway. An overdrive makes it turn faster than the engine.
//!
//! ## An example that clashes
//!
//! ```trunnion clash
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is gearbox
//!   place propshaft is propshaft }
//! part diesel is engine fills engine { fitted on Dunlin, peak speed 4800 rpm }
//! part six is gearbox fills gearbox { ratios 4.31, 2.47, 1.59, 1.17, 0.88 }
//! part made_long is propshaft { length 1750 mm, tube diameter 63 mm, tube wall 2 mm, material "steel" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit six, make made_long for propshaft }
//! ```
//!
//! ## The same mended
//!
//! ```trunnion clear
//! family Dunlin { built 2009-06 to 2018-12, driven rear
//!   place engine is engine
//!   place gearbox is gearbox
//!   place propshaft is propshaft }
//! part diesel is engine fills engine { fitted on Dunlin, peak speed 4800 rpm }
//! part six is gearbox fills gearbox { ratios 4.31, 2.47, 1.59, 1.17, 0.88 }
//! part made_two "front half, with a centre bearing" is propshaft {
//!   length 1150 mm, tube diameter 63 mm, tube wall 2 mm, material "steel" }
//! vehicle van is Dunlin { built 2012-04 }
//! conversion easy { recipient van, fit six, make made_two for propshaft }
//! ```
//!
//! ## Which model, and which speed
//!
//! `basis { shaft is uniform_beam }`, which is taken where none is chosen, is a bare tube hinged at
//! both joints; `lumped_mass` puts half of the stated mass, joints and all, in its middle. Heavy ends
//! and soft mounts make a real shaft whirl sooner. The whirling speed of its maker goes before both. The highest speed is that of the engine through top gear; with the
//! vehicle's own engine, it is what its stated top speed makes of it.
//!
//! ## References
//!
//! Beam and torsion theory: `trunnion explain shaft_critical_speed`,
//! `trunnion explain shaft_critical_speed_lumped`, `trunnion explain shaft_torsion`. At most 75 % of the whirling speed; steel 206 GPa and 7850 kg/m³, aluminium 70 GPa
//! and 2700 kg/m³: common practice, no source.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::check::{Check, Judge};
use crate::ctx::Ctx;
use crate::driveline::{beside, circumference, final_drive, gearbox, is_front, number, shaft_torque};
use crate::sum::{Answer, Sum};

/// The check.
pub static CHECK: Check =
    Check { name: "drive/shaft", source: include_str!("drive_shaft.rs"), judge: Judge::World(judge) };

/// Share of the whirling speed that is still good, in per cent: common practice, no source.
const SHARE: f64 = 75.0;

/// What a tube may be made of, with modulus in GPa and density in kg/m³: common practice, no source.
const MATERIALS: [(&str, f64, f64); 2] = [("steel", 206.0, 7850.0), ("aluminium", 70.0, 2700.0)];

fn judge(ctx: &Ctx<'_>) -> Vec<Verdict> {
    let (Some(engine), Some(gearbox)) = (ctx.only_of_kind("engine"), gearbox(ctx)) else { return Vec::new() };
    let shafts = ctx.of_kind("propshaft").into_iter().filter(|it| {
        let begun = ["critical_speed", "tube_diameter", "tube_wall"].iter().any(|of| ctx.stated(it, of));
        begun && (ctx.concerns(&[it, gearbox]) || engine.changed())
    });
    shafts
        .flat_map(|it| [whirl(ctx, engine, gearbox, it), torsion(ctx, engine, gearbox, it)])
        .flatten()
        .collect()
}

fn whirl(ctx: &Ctx<'_>, engine: &Place, gearbox: &Place, shaft: &Place) -> Option<Verdict> {
    let site = shaft.done.last().or(gearbox.done.last()).map_or(shaft.site, |it| it.site);
    let hangs = format!("whether the {} keeps below its whirling speed", shaft.shown());
    Sum::new(ctx, CHECK.name, &*shaft.name, site, hangs).work(|sum| {
        let fastest = fastest(ctx, sum, engine, gearbox);
        let critical = critical(ctx, sum, shaft);
        let share = sum.basis_or("shaft_speed", SHARE, "%")?;
        let (fastest, critical) = (fastest?, critical?);
        let limit = critical.mul(&share).ok()?.shown_in("rpm").ok()?;
        sum.formula(format!("{} × {} = {}", critical.display(), share.display(), limit.display()));
        sum.name("whirling speed", &critical, "rpm");
        stress_beside(ctx, sum, engine, gearbox, shaft);
        let said = format!("the {} turns up to {}", shaft.shown(), fastest.display());
        let needed = format!(
            "{} of its whirling speed of {} are {}",
            share.display(),
            critical.display(),
            limit.display()
        );
        Some(Answer::at_most(fastest, limit, &said, &needed))
    })
}

/// The highest speed of the shaft.
fn fastest(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, engine: &Place, gearbox: &Place) -> Option<Quantity> {
    let stated = known::of_vehicle(ctx.db, ctx.workspace, ctx.world, "top_speed");
    if let (false, Known::Stated(_), Some(axle)) = (engine.changed(), stated, final_drive(ctx)) {
        let top = sum.of_vehicle("top_speed");
        let last = sum.figure(axle, "ratio");
        let rolled = circumference(ctx, sum);
        sum.note("The stated top speed is taken for the highest: downhill it turns faster.");
        return sum.call("engine_speed", &[top?, number(1.0)?, last?, rolled?]);
    }
    let redline = sum.figure(engine, "peak_speed");
    let ratios = sum.figures(gearbox, "ratios");
    let top = ratios?.into_iter().min_by(|a, b| a.lo().total_cmp(&b.lo()))?;
    sum.call("propshaft_speed", &[redline?, top])
}

/// The whirling speed: its maker's, else that of the bare tube.
fn critical(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, shaft: &Place) -> Option<Quantity> {
    if ctx.stated(shaft, "critical_speed") {
        return sum.figure(shaft, "critical_speed");
    }
    let chosen = match ctx.basis("shaft") {
        Known::Unknown => {
            sum.source("shaft uniform_beam, where no other model is chosen");
            Some("uniform_beam".to_owned())
        }
        _ => sum.basis_word("shaft", "uniform_beam or lumped_mass"),
    };
    let lumped = chosen.as_deref() == Some("lumped_mass");
    let length = sum.figure(shaft, "length");
    let mass = if lumped { sum.figure(shaft, "mass") } else { None };
    let outer = sum.figure(shaft, "tube_diameter");
    let wall = sum.figure(shaft, "tube_wall");
    let material = sum.word(shaft, "material");
    if let Some(other) = chosen.filter(|it| !lumped && it != "uniform_beam") {
        sum.refuse(format!(
            "the handbook has no model {other} of a shaft; it has uniform_beam and lumped_mass"
        ));
    }
    let material = material?.to_lowercase();
    let Some((_, modulus, density)) = MATERIALS.iter().find(|it| material.contains(it.0)) else {
        sum.refuse(format!("no figures for {material} are at hand; its maker gives the whirling speed"));
        return None;
    };
    sum.source(format!("{material}: {modulus} GPa, {density} kg/m³, common practice, no source"));
    let modulus = Quantity::exact(*modulus, "GPa").ok()?;
    let density = Quantity::exact(*density, "kg/m³").ok()?;
    let (outer, wall) = (outer?, wall?);
    if lumped {
        // The half of a tube's mass that the model wants in the middle.
        let middle = mass?.div(&number(2.0)?).ok()?.shown_in("kg").ok()?;
        let inner = bore(&outer, &wall)?;
        return sum.call("shaft_critical_speed_lumped", &[length?, outer, inner, modulus, middle]);
    }
    sum.call("shaft_critical_speed", &[length?, outer, bore(&outer, &wall)?, modulus, density])
}

/// The bore of a tube.
fn bore(outer: &Quantity, wall: &Quantity) -> Option<Quantity> {
    outer.sub(wall).ok()?.sub(wall).ok()?.shown_in("mm").ok()
}

/// The stress in the tube as a figure, where no limit is stated and it can be told.
fn stress_beside(ctx: &Ctx<'_>, sum: &mut Sum<'_, '_>, engine: &Place, gearbox: &Place, shaft: &Place) {
    if !matches!(ctx.basis("shaft_stress"), Known::Unknown) {
        return;
    }
    let read = |measure: &str| ctx.fact(shaft, measure).quantity();
    let (Some(outer), Some(wall)) = (read("tube_diameter"), read("tube_wall")) else { return };
    let mut other = Sum::new(ctx, CHECK.name, "", shaft.site, "");
    let torque = shaft_torque(ctx, &mut other, engine, gearbox, is_front(ctx, shaft));
    let (Some(torque), Some(bore)) = (torque, bore(&outer, &wall)) else { return };
    let Some(stress) = beside("shaft_torsion", &[torque, outer, bore]) else { return };
    sum.name("stress in the tube", &stress, "MPa");
    sum.note(format!(
        "At {} the stress in the tube is {}; the basis states no limit (shaft stress … MPa), so it is not judged.",
        torque.display(),
        stress.display()
    ));
}

/// The stress in the tube against the limit of the basis.
fn torsion(ctx: &Ctx<'_>, engine: &Place, gearbox: &Place, shaft: &Place) -> Option<Verdict> {
    let tube = ["tube_diameter", "tube_wall"].iter().any(|it| ctx.stated(shaft, it));
    if !tube || matches!(ctx.basis("shaft_stress"), Known::Unknown) {
        return None;
    }
    let site = shaft.done.last().or(gearbox.done.last()).map_or(shaft.site, |it| it.site);
    let hangs = format!("whether the tube of the {} bears the torque", shaft.shown());
    Sum::new(ctx, CHECK.name, format!("{}.torsion", shaft.name), site, hangs).work(|sum| {
        let limit = sum.basis("shaft_stress", "");
        let torque = shaft_torque(ctx, sum, engine, gearbox, is_front(ctx, shaft));
        let outer = sum.figure(shaft, "tube_diameter");
        let wall = sum.figure(shaft, "tube_wall");
        let (limit, torque, outer) = (limit?, torque?, outer?);
        let stress = sum.call("shaft_torsion", &[torque, outer, bore(&outer, &wall?)?])?;
        let said =
            format!("{} make {} in the tube of the {}", torque.display(), stress.display(), shaft.shown());
        Some(Answer::at_most(stress, limit, &said, &format!("the basis allows {}", limit.display())))
    })
}

#[cfg(test)]
mod tests;
