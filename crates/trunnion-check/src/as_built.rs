//! The places of vehicles as built that a conversion has to do with, and how parts that may sit
//! in one are told apart.

use trunnion_model::built::{Built, Holding, How};
use trunnion_model::db::Site;
use trunnion_model::decl::FindOut;
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Fix, Gate, Question, Who};
use trunnion_model::world::Place;
use trunnion_syntax::tree::Name;

use crate::ctx::{Ctx, question};

/// A place of a vehicle as built that the conversion has to do with.
pub(crate) struct Looked<'a> {
    /// The place, and its path in `accept`.
    pub(crate) place: &'a Name,
    pub(crate) subject: String,
    /// The vehicle, and whether it is a donor.
    pub(crate) built: &'a Built,
    pub(crate) donor: bool,
    pub(crate) holding: &'a Holding,
    pub(crate) how: &'a How,
    pub(crate) site: Site,
}

/// The places as built that matter: of the recipient those that change and their neighbours, of a
/// donor those that are taken from; all of a vehicle alone.
pub(crate) fn looked_at<'a>(ctx: &Ctx<'a>) -> Vec<Looked<'a>> {
    let alone = ctx.world.conversion.is_none();
    let mut all = Vec::new();
    let built = ctx.built();
    for place in ctx.world.places.iter().filter(|it| !it.added && (alone || beside(ctx, it))) {
        all.push(Looked {
            place: &place.name,
            subject: place.name.to_string(),
            built,
            donor: false,
            holding: &place.before,
            how: &place.how,
            site: built.vehicle.name_site(ctx.db),
        });
    }
    for place in &ctx.world.places {
        let taken = place.done.iter().rev().find(|it| it.verb == "take");
        let Some(donor) = taken.and_then(|it| ctx.world.donors.iter().find(|d| Some(d.vehicle) == it.donor))
        else {
            continue;
        };
        let Some(there) = donor.place(&place.name) else {
            continue;
        };
        all.push(Looked {
            place: &there.name,
            subject: format!("{}.{}", donor.vehicle.name(ctx.db), place.name),
            built: donor,
            donor: true,
            holding: &there.holding,
            how: &there.how,
            site: donor.vehicle.name_site(ctx.db),
        });
    }
    all
}

/// Whether a place changes, or something that it is or was joined to.
fn beside(ctx: &Ctx<'_>, place: &Place) -> bool {
    let changed = |name: &Name| ctx.world.place(name).is_some_and(Place::changed);
    place.changed()
        || ctx.world.joints.iter().any(|it| {
            (it.a.place == place.name && changed(&it.b.place))
                || (it.b.place == place.name && changed(&it.a.place))
        })
}

/// How the candidates of a place are told apart, and the ways to state which it is.
pub(crate) fn tell_apart(ctx: &Ctx<'_>, looked: &Looked<'_>) -> (Question, Vec<Fix>) {
    let parts = looked.holding.parts();
    let vehicle = looked.built.vehicle;
    let place = looked.place.replace('_', " ");
    let names: Vec<String> = parts.iter().map(|it| it.shown(ctx.db)).collect();
    let differing = differing(ctx, parts);
    let measure = differing.as_ref().map_or("part_number", |it| it.0.as_str());
    let at = ctx.world.place(looked.place);
    let find_out = at.map_or_else(FindOut::default, |it| ctx.find_out(it, measure));
    let what = format!("which {place} {} has: {}", vehicle.shown(ctx.db), names.join(" or "));
    let mut question = question(what, &find_out, format!("what fits the {place}, and what changes with it"));
    question.good = differing.map(|(name, values)| {
        let each = values
            .iter()
            .zip(&names)
            .map(|(value, part)| format!("{} {value} is {part}", name.replace('_', " ")));
        each.collect::<Vec<_>>().join(", ")
    });
    question.who = if looked.donor { Who::Seller } else { Who::Tape };
    question.gate = Gate::Buying;
    question.type_in = Some(format!("in vehicle {}: has {} …", vehicle.name(ctx.db), looked.place));
    let fix = |id: &Id| {
        let edit = ctx.insert(vehicle, &format!("has {} {}", looked.place, id.name(ctx.db)))?;
        let title = format!("{} has {}", vehicle.shown(ctx.db), id.shown(ctx.db));
        Some(Fix { title, edits: vec![edit] })
    };
    (question, parts.iter().filter_map(fix).collect())
}

/// The measure in which all candidates differ, and its values: first the number on the part, then
/// what can be asked or measured by hand, then what must be looked up.
fn differing(ctx: &Ctx<'_>, parts: &[Id]) -> Option<(Name, Vec<String>)> {
    let first = ctx.part(*parts.first()?)?;
    let value =
        |id: &Id, name: &str| known::of_part(ctx.db, ctx.workspace, *id, name).first().map(|it| it.display());
    let told = first.facts.iter().filter(|it| it.target.is_empty()).filter_map(|fact| {
        let name = &fact.name.value;
        let values: Vec<String> = parts.iter().map(|it| value(it, name)).collect::<Option<_>>()?;
        let distinct = values.iter().enumerate().all(|(nth, it)| !values[..nth].contains(it));
        (values.len() > 1 && distinct).then(|| (name.clone(), values))
    });
    told.min_by_key(|(name, _)| {
        let from = known::measure(ctx.db, ctx.workspace, ctx.world.root(), name)
            .and_then(|it| it.find_out.from.clone());
        match from.as_deref() {
            _ if name == "part_number" => 0,
            Some("seller" | "tape") => 1,
            _ => 2,
        }
    })
}
