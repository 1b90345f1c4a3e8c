//! What the changes bring and take away in mass, place by place.

use trunnion_handbook::quantity::{Dimension, Quantity};
use trunnion_model::fact::Known;
use trunnion_model::known;
use trunnion_model::verdict::Verdict;
use trunnion_model::world::Place;

use crate::ctx::{Ctx, listed};
use crate::sum::Sum;

/// A place whose mass changes.
pub(crate) struct Moved<'a> {
    /// The place.
    pub place: &'a Place,
    /// What comes less what goes, in kg; of all like places together.
    pub change: Quantity,
    /// The arithmetic: "86 kg − 47 kg".
    pub worked: String,
}

/// What is known of a measure of the whole vehicle.
pub(crate) fn of_vehicle(ctx: &Ctx<'_>, measure: &str) -> Known {
    known::of_vehicle(ctx.db, ctx.workspace, ctx.world, measure)
}

/// No mass at all.
pub(crate) fn nothing() -> Option<Quantity> {
    Quantity::si(0.0, Dimension::MASS).ok()?.shown_in("kg").ok()
}

/// Whether a mass is stated of anything that comes or goes.
pub(crate) fn any_stated(ctx: &Ctx<'_>) -> bool {
    let changed = ctx.world.places.iter().filter(|it| it.changed());
    let mut of = changed.flat_map(|it| [ctx.fact(it, "mass"), ctx.fact_before(it, "mass")]);
    of.any(|it| !it.claims().is_empty())
}

/// Every place whose mass changes. What comes and is asked for its mass must state it; what goes
/// counts as nothing where nobody stated its mass, and so does what is never asked for one: both
/// are named in a note.
pub(crate) fn moved<'a>(sum: &mut Sum<'_, 'a>, ctx: &Ctx<'a>) -> Option<Vec<Moved<'a>>> {
    let (mut all, mut light, mut gone_light) = (Vec::new(), Vec::new(), Vec::new());
    let mut missing = false;
    for place in ctx.world.places.iter().filter(|it| it.changed()) {
        let came = ctx.fact(place, "mass");
        let went = ctx.fact_before(place, "mass");
        let comes = if !place.after.is_filled() {
            None
        } else if !came.claims().is_empty() {
            let mass = sum.figure(place, "mass");
            missing |= mass.is_none();
            mass
        } else if ctx.kind_after(place).is_some_and(|(_, kind)| kind.ask("mass").is_some()) {
            missing |= sum.figure(place, "mass").is_none();
            None
        } else {
            light.push(place.shown());
            None
        };
        let goes = if !place.before.is_filled() {
            None
        } else if !went.claims().is_empty() {
            let mass = sum.figure_before(place, "mass");
            missing |= mass.is_none();
            mass
        } else {
            if comes.is_some() {
                gone_light.push(place.shown());
            }
            None
        };
        let (change, worked) = match (comes, goes) {
            (Some(comes), Some(goes)) => {
                (comes.sub(&goes).ok()?, format!("{} − {}", comes.display(), goes.display()))
            }
            (Some(comes), None) => (comes, comes.display()),
            (None, Some(goes)) => (goes.neg().ok()?, format!("−{}", goes.display())),
            (None, None) => continue,
        };
        let count = Quantity::number(f64::from(place.count)).ok()?;
        let change = change.mul(&count).ok()?.shown_in("kg").ok()?;
        let worked = if place.count > 1 { format!("{} × ({worked})", place.count) } else { worked };
        all.push(Moved { place, change, worked });
    }
    if !light.is_empty() {
        sum.note(format!("counted as nothing, for the trade asks no mass of it: {}", listed(&light)));
    }
    if !gone_light.is_empty() {
        let what = listed(&gone_light);
        sum.note(format!("what goes counts as nothing where nobody stated its mass: {what}"));
    }
    (!missing).then_some(all)
}

/// What is carried along, as the owner wants it, with its claim kept.
pub(crate) fn payload(sum: &mut Sum<'_, '_>, ctx: &Ctx<'_>) -> Option<Quantity> {
    let (_, found) = ctx.aim("payload")?;
    sum.rests_on(&found);
    found.quantity()
}

/// Where a verdict on the whole vehicle points: at the limit that it is held to.
pub(crate) fn site_of(ctx: &Ctx<'_>, measure: &str) -> trunnion_model::db::Site {
    of_vehicle(ctx, measure).claims().first().map_or_else(|| ctx.root_site(), |it| it.site)
}

/// Adds the usual word on plates.
pub(crate) fn plated(mut verdict: Verdict) -> Verdict {
    verdict
        .because
        .push("the plate is the maker's: raising it is for an approval body, not for the workshop".into());
    verdict
}
