//! What each wire end is before and after the changes: which part, which cavity, in which zone.

use std::collections::BTreeMap;

use trunnion_check::checks::loose_end::{Fate, fate};
use trunnion_check::ctx::Ctx;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::{family, vehicle};
use trunnion_model::circuit::wired_part;
use trunnion_model::db::{Db, Workspace};
use trunnion_model::decl::{Body, Cavity, Connector, End, EndClass, Part};
use trunnion_model::fact::Fact;
use trunnion_model::name::{Id, Space};
use trunnion_model::world::{EndAt, Place, WireEnd, World};
use trunnion_syntax::tree::Name;

/// The vehicle with what is looked up again and again.
pub(super) struct Frame<'a> {
    pub ctx: Ctx<'a>,
    places: BTreeMap<&'a str, usize>,
    /// By place: what sits there after the changes, as far as its wires go.
    pub after: Vec<Option<(Id, &'a Part)>>,
    /// By place: what sat there before.
    pub before: Vec<Option<(Id, &'a Part)>>,
    /// Zones of splices, grounds and feeds.
    spots: BTreeMap<WireEnd, Name>,
}

/// A cavity with all that is known of it.
#[derive(Clone, Copy)]
pub(super) struct Pin<'a> {
    pub place: &'a Place,
    /// Number of the place.
    pub nth: usize,
    pub n: u32,
    /// The plug after the changes, with the part.
    pub end: Option<(Id, &'a End)>,
    /// What it is for after the changes.
    pub now: Option<&'a Cavity>,
    /// What it was for before them.
    pub was: Option<&'a Cavity>,
    /// Whether the plug, or the cavity in it, went with what was there: a wire to it is loose.
    pub gone: bool,
}

impl<'a> Frame<'a> {
    pub fn of(db: &'a dyn Db, workspace: Workspace, world: &'a World) -> Self {
        let ctx = Ctx { db, workspace, world };
        let places = world.places.iter().enumerate().map(|(nth, it)| (it.name.as_str(), nth)).collect();
        let after = world.places.iter().map(|it| wired_part(db, it)).collect();
        let before = world
            .places
            .iter()
            .map(|it| {
                let id = it.before.part()?;
                Some((id, ctx.part(id)?))
            })
            .collect();
        let mut frame = Self { ctx, places, after, before, spots: BTreeMap::new() };
        frame.find_spots();
        frame
    }

    fn find_spots(&mut self) {
        let (db, world) = (self.ctx.db, self.ctx.world);
        let mut spots: Vec<(WireEnd, Name)> = Vec::new();
        let mut ids: Vec<Id> = world.recipient.families.clone();
        ids.push(world.recipient.vehicle);
        ids.extend(world.wires.iter().map(|it| it.id));
        ids.extend(world.conversion);
        let mut seen: Vec<Id> = Vec::new();
        for id in ids {
            if seen.contains(&id) {
                continue;
            }
            seen.push(id);
            if let Some(Body::Loom(loom)) = id.decl(db).map(|it| &it.body) {
                let at = loom.splices.iter().filter_map(|it| Some((&it.0, it.1.as_ref()?)));
                spots.extend(at.map(|it| (WireEnd::Splice(it.0.value.clone()), it.1.head().clone())));
            }
            if let Some(own) = vehicle(db, id) {
                let at = own.splices.iter().filter_map(|it| Some((&it.0, it.1.as_ref()?)));
                spots.extend(at.map(|it| (WireEnd::Splice(it.0.value.clone()), it.1.head().clone())));
                let at = own.grounds.iter();
                spots.extend(at.map(|it| (WireEnd::Ground(it.0.value.clone()), it.1.head().clone())));
            }
            let of_family = family(db, id).map(|it| it.grounds.as_slice()).unwrap_or_default();
            let decl = trunnion_model::world::conversion(db, id);
            let own = decl.map(|it| it.grounds.as_slice()).unwrap_or_default();
            let ways = decl.into_iter().flat_map(|it| &it.ways).flat_map(|it| &it.body.grounds);
            let at = of_family.iter().chain(own).chain(ways);
            spots.extend(at.map(|it| (WireEnd::Ground(it.0.value.clone()), it.1.head().clone())));
        }
        for (_, feed) in &world.feeds {
            if let Some(zone) = &feed.zone {
                spots.push((WireEnd::Feed(feed.name.value.clone()), zone.head().clone()));
            }
        }
        for (end, zone) in spots {
            self.spots.entry(end).or_insert(zone);
        }
    }

    /// The number of a place.
    pub fn place(&self, name: &str) -> Option<usize> {
        self.places.get(name).copied()
    }

    /// The zone of a wire end; none where nobody has said it.
    pub fn zone(&self, end: &WireEnd) -> Option<Name> {
        let WireEnd::Cavity(at, _) = end else { return self.spots.get(end).cloned() };
        let nth = self.place(&at.place)?;
        let plug = |part: &Option<(Id, &'a Part)>| {
            part.as_ref().and_then(|(_, it)| it.end(&at.end)).and_then(|it| it.zone.as_ref())
        };
        let own = plug(&self.after[nth]).or_else(|| plug(&self.before[nth])).map(|it| it.head().clone());
        own.or_else(|| self.ctx.world.places[nth].zone.clone())
    }

    /// A wire end as a cavity; none where it is none, or of no place.
    pub fn pin(&self, end: &WireEnd) -> Option<Pin<'a>> {
        let WireEnd::Cavity(at, n) = end else { return None };
        let nth = self.place(&at.place)?;
        let place = &self.ctx.world.places[nth];
        let plug = |part: &Option<(Id, &'a Part)>| {
            let (id, part) = (*part)?;
            Some((id, part.end(&at.end).filter(|it| it.class == EndClass::Plug && !it.absent)?))
        };
        let find =
            |end: Option<(Id, &'a End)>| end?.1.cavities.iter().find(|cavity| cavity.number.value == *n);
        let now = plug(&self.after[nth]);
        let gone = self.gone(place, now.map(|it| it.1), at, *n);
        Some(Pin { place, nth, n: *n, end: now, now: find(now), was: find(plug(&self.before[nth])), gone })
    }

    fn gone(&self, place: &Place, plug: Option<&End>, at: &EndAt, n: u32) -> bool {
        if !place.changed() {
            return !place.after.is_filled();
        }
        match fate(&self.ctx, place, &at.end) {
            Fate::Gone => true,
            Fate::Unsaid => false,
            Fate::There => plug.is_some_and(|it| {
                let used = |it: &Cavity| it.number.value == n && it.role.value != "empty";
                !it.cavities.is_empty() && !it.cavities.iter().any(used)
            }),
        }
    }

    /// The housing of a plug.
    pub fn connector(&self, (id, end): (Id, &End)) -> Option<(Id, &'a Connector)> {
        let named = self.ctx.find(id, Space::Connector, end.is.as_ref()?.head())?;
        match &named.decl(self.ctx.db)?.body {
            Body::Connector(it) => Some((named, it)),
            _ => None,
        }
    }

    /// The terminal that a cavity takes, and what is stated of it.
    pub fn terminal(&self, pin: &Pin<'a>) -> Option<(Id, &'a [Fact])> {
        let plug = pin.end?;
        let own = pin.now.and_then(|it| it.terminal.as_ref());
        let own = own.and_then(|it| self.ctx.find(plug.0, Space::Terminal, it.head()));
        let id = own.or_else(|| {
            let (housing, connector) = self.connector(plug)?;
            let special = connector.special.iter().find(|it| it.0 == pin.n).map(|it| &it.1);
            self.ctx.find(housing, Space::Terminal, special.or(connector.terminal.as_ref())?.head())
        })?;
        match &id.decl(self.ctx.db)?.body {
            Body::Terminal(facts) => Some((id, facts)),
            _ => None,
        }
    }

    /// The sizes of wire that the terminal at an end takes.
    pub fn takes(&self, end: &WireEnd) -> Option<Quantity> {
        let (_, facts) = self.terminal(&self.pin(end)?)?;
        let fact = facts.iter().find(|it| it.target.is_empty() && it.name.value == "wire_size")?;
        fact.values.first()?.quantity()
    }

    /// What sits in a place, by its own name where that is known.
    pub fn shown(&self, pin: &Pin<'_>) -> String {
        self.ctx.part_shown(pin.place)
    }
}
