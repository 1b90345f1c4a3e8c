//! What may sit in each place: as it is, from a donor, or bought.

use trunnion_model::built::{Holding, built, fitted_on, part, scope_of, vehicle};
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::decl::Verb;
use trunnion_model::name::{Id, Space};
use trunnion_model::world::{Place, World, conversion};

/// A place of which it is to be picked what sits in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Open {
    /// The place.
    pub place: String,
    /// How many like places it stands for.
    pub count: u32,
    /// What may sit in it; what it is now comes first, where it may stay.
    pub candidates: Vec<Candidate>,
    /// The `choose` statement that leaves the pick to the planner.
    pub chosen_by: Option<Site>,
    /// Whether something sits in it before the changes.
    pub filled: bool,
    /// Whether the place is an option of the family: what else is there follows from it.
    pub is_option: bool,
}

/// One thing that may sit in a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Candidate {
    /// What sits there stays; the part, where it is known.
    AsIs(Option<Id>),
    /// What a donor has there.
    Donor {
        /// The vehicle.
        donor: Id,
        /// The part; none where only its kind is known.
        part: Option<Id>,
    },
    /// A part that is on offer or lies on the shelf.
    Bought(Id),
}

impl Candidate {
    /// The part, where it is known.
    pub fn part(&self) -> Option<Id> {
        match self {
            Self::AsIs(part) | Self::Donor { part, .. } => *part,
            Self::Bought(part) => Some(*part),
        }
    }

    /// What sits in the place with it.
    pub fn holding(&self, world: &World, place: &str) -> Holding {
        match self {
            Self::AsIs(_) => world.place(place).map_or(Holding::Unknown, |it| it.before.clone()),
            Self::Bought(id) | Self::Donor { part: Some(id), .. } => Holding::Part(*id),
            Self::Donor { donor, part: None } => {
                let donor = world.donors.iter().find(|it| it.vehicle == *donor);
                let there = donor.and_then(|it| it.place(place));
                there.map_or(Holding::Unknown, |it| it.holding.clone())
            }
        }
    }

    /// As it is shown.
    pub fn shown(&self, db: &dyn Db) -> String {
        match self {
            Self::AsIs(Some(part)) => format!("{}, as it is", part.shown(db)),
            Self::AsIs(None) => "as it is".to_owned(),
            Self::Donor { donor, part: Some(part) } => format!("{} from {}", part.shown(db), donor.name(db)),
            Self::Donor { donor, part: None } => format!("what {} has, not known by part", donor.name(db)),
            Self::Bought(part) => part.shown(db),
        }
    }

    /// The statement that puts it in a place.
    pub fn statement(&self, db: &dyn Db, open: &Open) -> Option<String> {
        let place = &open.place;
        match self {
            Self::AsIs(_) => None,
            Self::Donor { donor, .. } => Some(format!("take {place} from {}", donor.name(db))),
            Self::Bought(id) if open.filled => Some(format!("replace {place} with {}", id.name(db))),
            Self::Bought(id) => {
                let own = part(db, *id).and_then(|it| it.fills.as_ref()).is_some_and(|it| it.head() == place);
                let name = id.name(db);
                Some(if own { format!("fit {name}") } else { format!("fit {name} for {place}") })
            }
        }
    }
}

/// The places that are open, in the order of the world: those left to the planner by `choose`, and those
/// that the specification does not touch and for which there is another part.
pub fn open(db: &dyn Db, workspace: Workspace, world: &World) -> Vec<Open> {
    world.places.iter().filter_map(|place| one(db, workspace, world, place)).collect()
}

fn one(db: &dyn Db, workspace: Workspace, world: &World, place: &Place) -> Option<Open> {
    let families = &world.recipient.families;
    let is_option = families.iter().any(|id| {
        let family = trunnion_model::built::family(db, *id);
        family.is_some_and(|it| it.options.iter().any(|it| it.0.value == place.name))
    });
    let mut open = Open {
        place: place.name.to_string(),
        count: place.count,
        candidates: Vec::new(),
        chosen_by: None,
        filled: place.before.is_filled(),
        is_option,
    };
    if let Some(done) = place.done.last() {
        if done.verb != "choose" {
            return None;
        }
        open.chosen_by = Some(done.site);
        open.count = done.count;
        open.candidates = place.after.parts().iter().map(|it| Candidate::Bought(*it)).collect();
        return Some(open);
    }
    let now = place.before.part();
    open.candidates.push(Candidate::AsIs(now));
    for donor in &world.donors {
        let Some(at) = donor.place(&place.name).filter(|it| it.exists) else { continue };
        let part = match at.holding {
            Holding::Part(part) => Some(part),
            Holding::Hollow(_) => None,
            _ => continue,
        };
        let lost = vehicle(db, donor.vehicle)
            .is_some_and(|it| it.lost.iter().any(|(lost, end)| *lost.head() == place.name && end.is_none()));
        if (part.is_none() || part != now)
            && !lost
            && !taken(world, donor.vehicle, &place.name, db, workspace)
        {
            open.candidates.push(Candidate::Donor { donor: donor.vehicle, part });
        }
    }
    for (_, id) in scope_of(db, workspace, world.root()).each(Space::Part) {
        let Some(offered) = part(db, id).filter(|_| Some(id) != now) else { continue };
        let fills = offered.fills.as_ref().is_some_and(|it| *it.head() == place.name);
        let here = offered.offer.as_ref().is_some_and(|it| it.price.is_some() || it.stock.is_some());
        if fills && here && reaches(db, workspace, world, id) {
            open.candidates.push(Candidate::Bought(id));
        }
    }
    (open.candidates.len() > 1).then_some(open)
}

/// Whether what a donor has in a place is taken already, for another place.
fn taken(world: &World, donor: Id, place: &str, db: &dyn Db, workspace: Workspace) -> bool {
    let Some(id) = world.conversion else { return false };
    let scope = scope_of(db, workspace, id);
    world.changes.iter().any(|change| match &change.verb {
        Verb::Take { places, from, .. } => {
            scope.find(Space::Vehicle, from.head()) == Some(donor)
                && places.iter().any(|it| it.head() == place)
        }
        Verb::Replace { part: named, from: Some(from), .. } => {
            let from = scope.find(Space::Vehicle, from.head());
            let part = scope.find(Space::Part, named.head());
            let held = built(db, workspace, donor.item, donor.nth)
                .and_then(|it| it.place(place).and_then(|it| it.holding.part()));
            from == Some(donor) && part.is_some() && part == held
        }
        _ => false,
    })
}

/// Whether a part may go on the recipient's family: it was fitted there, suits it, or says nothing.
fn reaches(db: &dyn Db, workspace: Workspace, world: &World, id: Id) -> bool {
    let Some(it) = part(db, id) else { return false };
    let families = &world.recipient.families;
    let named = |it: &trunnion_model::fact::Ref| families.iter().any(|id| id.name(db) == *it.head());
    it.fitted.is_empty() && it.suits.is_empty()
        || !fitted_on(db, id, families, workspace).is_empty()
        || it.suits.iter().any(|(_, window)| window.family.as_ref().is_none_or(named))
}

/// The statements of a conversion that a place's own changes stand in.
pub fn statements(world: &World, place: &str) -> Vec<Site> {
    world.place(place).map(|it| it.done.iter().map(|it| it.site).collect()).unwrap_or_default()
}

/// What the `choose` statements prefer, in the order in which they stand.
pub fn preferred(db: &dyn Db, id: Id, way: Option<u32>) -> Vec<String> {
    let Some(decl) = conversion(db, id) else { return Vec::new() };
    let way = way.and_then(|it| decl.ways.get(it as usize));
    let bodies = std::iter::once(decl).chain(way.map(|it| &it.body));
    let mut all: Vec<String> = Vec::new();
    for change in bodies.flat_map(|it| &it.changes) {
        if let Verb::Choose { prefer, .. } = &change.verb {
            for word in prefer {
                if !all.iter().any(|it| *it == word.value.as_str()) {
                    all.push(word.value.to_string());
                }
            }
        }
    }
    all
}
