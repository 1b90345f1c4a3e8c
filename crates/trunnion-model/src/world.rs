//! As converted: the recipient with all changes applied, beside what it was before.

use std::collections::BTreeMap;
use std::sync::Arc;

use smol_str::SmolStr;
use trunnion_syntax::tree::{Name, Span};

use crate::built::{
    Built, BuiltPlace, Holding, How, built, family, fitted_on, inside, part, scope_of, vehicle,
};
use crate::db::{Db, Item, Site, Workspace};
use crate::decl::{
    Accept, Body, BusDecl, Change, Conversion, Decl, EndClass, Feed, Fitted, JointDecl, Line, Loom,
    PlaceDecl, Verb, Wire, With,
};
use crate::fact::Ref;
use crate::kinds::{EndOf, ends_of, kind_of};
use crate::name::{Id, Space};

/// An end in a vehicle: the place and the end's name.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EndAt {
    /// The place.
    pub place: Name,
    /// The end.
    pub end: Name,
}

impl EndAt {
    /// From a path of place and end.
    pub fn of(path: &Ref) -> Option<Self> {
        Some(Self { place: path.head().clone(), end: path.second()?.clone() })
    }

    /// As it is written.
    pub fn text(&self) -> String {
        format!("{}.{}", self.place, self.end)
    }
}

/// Who brought two ends together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Laid {
    /// The family or scheme.
    Family,
    /// The vehicle: a past owner.
    Vehicle,
    /// The conversion.
    Conversion,
}

/// Two ends together.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Joint {
    /// One end.
    pub a: EndAt,
    /// The other.
    pub b: EndAt,
    /// Who says so.
    pub laid: Laid,
    /// Where.
    pub site: Site,
    /// Whether the ends are together before the changes.
    pub before: bool,
    /// Whether they are to be together after them.
    pub after: bool,
}

impl Joint {
    /// The other end, where one of the two is given.
    pub fn other(&self, end: &EndAt) -> Option<&EndAt> {
        if self.a == *end {
            Some(&self.b)
        } else if self.b == *end {
            Some(&self.a)
        } else {
            None
        }
    }
}

/// A hose or pipe with both ends.
#[derive(Clone, Debug, PartialEq)]
pub struct LineAt {
    /// Its ends, as a joint.
    pub joint: Joint,
    /// What is stated about it.
    pub line: Line,
    /// The declaration it stands in.
    pub id: Id,
}

/// Where a wire ends.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WireEnd {
    /// A cavity of a plug.
    Cavity(EndAt, u32),
    /// A splice.
    Splice(Name),
    /// A feed.
    Feed(Name),
    /// A ground point.
    Ground(Name),
    /// Something that is none of these.
    Strange(String),
}

impl WireEnd {
    /// As a sentence speaks of it: "the splice S3", "K1\[3\] of the gearbox controller".
    pub fn shown(&self) -> String {
        match self {
            Self::Cavity(at, n) => format!("{}[{n}] of the {}", at.end, at.place.replace('_', " ")),
            Self::Splice(it) => format!("the splice {it}"),
            Self::Feed(it) => format!("the feed {it}"),
            Self::Ground(it) => format!("the ground {it}"),
            Self::Strange(it) => it.clone(),
        }
    }

    /// As it is written.
    pub fn text(&self) -> String {
        match self {
            Self::Cavity(end, n) => format!("{}[{n}]", end.text()),
            Self::Splice(it) | Self::Feed(it) | Self::Ground(it) => it.to_string(),
            Self::Strange(it) => it.clone(),
        }
    }
}

/// A wire of a loom, of the vehicle, or a new one.
#[derive(Clone, Debug, PartialEq)]
pub struct WireAt {
    /// One end, as it is after the changes.
    pub a: WireEnd,
    /// The other.
    pub b: WireEnd,
    /// Both ends as they were before terminals were moved.
    pub was: (WireEnd, WireEnd),
    /// What is stated about it.
    pub wire: Wire,
    /// The declaration it stands in.
    pub id: Id,
    /// Who brought it.
    pub laid: Laid,
}

/// What is done in a place.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Done {
    /// The leading word: `take`, `fit`, `remove` …
    pub verb: &'static str,
    /// The statement.
    pub site: Site,
    /// The donor it comes from.
    pub donor: Option<Id>,
    /// How many.
    pub count: u32,
}

/// A place before and after.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    /// Its name.
    pub name: Name,
    /// How many like places.
    pub count: u32,
    /// Whether they are left and right.
    pub sides: bool,
    /// The general kind of what sits there.
    pub kind: Option<Id>,
    /// The zone.
    pub zone: Option<SmolStr>,
    /// Where the place is declared.
    pub site: Site,
    /// Before the changes.
    pub before: Holding,
    /// How that is known.
    pub how: How,
    /// The `fitted` lines that may or may not cover the vehicle.
    pub doubtful: Vec<(Id, Site)>,
    /// After the changes.
    pub after: Holding,
    /// The changes made to it, in the order they stand.
    pub done: Vec<Done>,
    /// Whether the conversion adds the place.
    pub added: bool,
    /// Whether the options before the changes call for it.
    pub called_before: bool,
    /// Whether the options after the changes call for it; false also when they no
    /// longer do.
    pub called_after: bool,
    /// The kind that the options after the changes call for, where it is another than
    /// before them.
    pub becomes: Option<Id>,
}

impl Place {
    /// Whether something else sits there after the changes.
    pub fn changed(&self) -> bool {
        !self.done.is_empty()
    }

    /// As it is shown.
    pub fn shown(&self) -> String {
        self.name.replace('_', " ")
    }

    /// The donor of what sits there after the changes.
    pub fn donor(&self) -> Option<Id> {
        self.done.iter().rev().find_map(|it| it.donor)
    }
}

/// How a loose end was answered.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Answer {
    /// `join`, `blank`, `bridge`, `move`, `splice`, `wire`.
    pub verb: &'static str,
    /// Where.
    pub site: Site,
}

/// The recipient before and after the changes of a conversion, or a vehicle alone.
#[derive(Clone, Debug, PartialEq)]
pub struct World {
    /// The conversion; none for a vehicle alone.
    pub conversion: Option<Id>,
    /// The way, where one of several is meant.
    pub way: Option<Name>,
    /// The vehicle as built.
    pub recipient: Arc<Built>,
    /// The donors as built, in the order they are named.
    pub donors: Vec<Arc<Built>>,
    /// The options after the changes.
    pub options_after: BTreeMap<Name, Name>,
    /// The places.
    pub places: Vec<Place>,
    /// Ends together, before or after.
    pub joints: Vec<Joint>,
    /// Hoses and pipes, before or after.
    pub lines: Vec<LineAt>,
    /// Wires.
    pub wires: Vec<WireAt>,
    /// Data networks.
    pub buses: Vec<(Id, BusDecl)>,
    /// Feeds.
    pub feeds: Vec<(Id, Feed)>,
    /// Splices.
    pub splices: Vec<Name>,
    /// Ground points.
    pub grounds: Vec<Name>,
    /// Looms of which it is not known whether they are fitted.
    pub doubtful_looms: Vec<Id>,
    /// All changes, of the conversion and the way.
    pub changes: Vec<Change>,
    /// Accepted points.
    pub accepts: Vec<Accept>,
    /// Answers to loose ends.
    pub answers: BTreeMap<EndAt, Vec<Answer>>,
    /// Cavities that a statement of the conversion ends in.
    pub answered_cavities: BTreeMap<(EndAt, u32), Vec<Answer>>,
    /// Duties handed over: place and duty, to which place.
    pub handed: Vec<(EndAt, Name, Site)>,
    /// Settings made: place, setting, value.
    pub setups: Vec<(Name, SmolStr, crate::fact::Value, Site)>,
}

impl World {
    /// The declaration everything starts from.
    pub fn root(&self) -> Id {
        self.conversion.unwrap_or(self.recipient.vehicle)
    }

    /// The place of that name.
    pub fn place(&self, name: &str) -> Option<&Place> {
        self.places.iter().find(|it| it.name == name)
    }

    /// The joints an end is in after the changes.
    pub fn joined_after(&self, end: &EndAt) -> impl Iterator<Item = (&EndAt, Site)> {
        let direct = self.joints.iter().filter(|it| it.after);
        let lines = self.lines.iter().map(|it| &it.joint).filter(|it| it.after);
        direct.chain(lines).filter_map(|it| Some((it.other(end)?, it.site)))
    }

    /// The ends of what sits in a place before or after.
    pub fn ends(&self, db: &dyn Db, workspace: Workspace, place: &Place, when: When) -> Vec<EndOf> {
        let holding = match when {
            When::Before => &place.before,
            When::After => &place.after,
        };
        ends_of(db, workspace, holding, place.kind)
    }

    /// The kind of what sits in a place after the changes.
    pub fn kind_after(&self, db: &dyn Db, workspace: Workspace, place: &Place) -> Option<Id> {
        kind_of(db, workspace, &place.after, place.kind)
    }

    /// The kind of what sat in a place before them.
    pub fn kind_before(&self, db: &dyn Db, workspace: Workspace, place: &Place) -> Option<Id> {
        kind_of(db, workspace, &place.before, place.kind)
    }
}

/// Before or after the changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum When {
    /// As built.
    Before,
    /// As converted.
    After,
}

/// The conversion declaration behind an id.
pub fn conversion(db: &dyn Db, id: Id) -> Option<&Conversion> {
    match &id.decl(db)?.body {
        Body::Conversion(it) => Some(it),
        _ => None,
    }
}

/// The recipient before and after a conversion, by one of its ways if it has any.
#[salsa::tracked(returns(clone))]
pub fn world(
    db: &dyn Db,
    workspace: Workspace,
    item: Item,
    nth: u32,
    way: Option<u32>,
) -> Option<Arc<World>> {
    let id = Id { item, nth };
    match &id.decl(db)?.body {
        Body::Vehicle(_) => {
            let recipient = built(db, workspace, item, nth)?;
            Some(Arc::new(Building::new(db, workspace, recipient).finish()))
        }
        Body::Conversion(decl) => {
            let scope = scope_of(db, workspace, id);
            let named = scope.find(Space::Vehicle, decl.recipient.as_ref()?.head())?;
            let recipient = built(db, workspace, named.item, named.nth)?;
            let mut building = Building::new(db, workspace, recipient);
            building.world.conversion = Some(id);
            building.convert(id, decl, way.and_then(|it| decl.ways.get(it as usize)));
            Some(Arc::new(building.finish()))
        }
        _ => None,
    }
}

struct Building<'db> {
    db: &'db dyn Db,
    workspace: Workspace,
    world: World,
}

impl<'db> Building<'db> {
    fn new(db: &'db dyn Db, workspace: Workspace, recipient: Arc<Built>) -> Self {
        let places = recipient.places.iter().map(place_before).collect();
        let options = recipient.options.iter().map(|it| (it.0.clone(), it.1.clone())).collect();
        let world = World {
            conversion: None,
            way: None,
            recipient,
            donors: Vec::new(),
            options_after: options,
            places,
            joints: Vec::new(),
            lines: Vec::new(),
            wires: Vec::new(),
            buses: Vec::new(),
            feeds: Vec::new(),
            splices: Vec::new(),
            grounds: Vec::new(),
            doubtful_looms: Vec::new(),
            changes: Vec::new(),
            accepts: Vec::new(),
            answers: BTreeMap::new(),
            answered_cavities: BTreeMap::new(),
            handed: Vec::new(),
            setups: Vec::new(),
        };
        let mut building = Self { db, workspace, world };
        building.as_built();
        building
    }

    /// What families and the vehicle bring together.
    fn as_built(&mut self) {
        let recipient = self.world.recipient.clone();
        for id in &recipient.families {
            let Some(decl) = family(self.db, *id) else { continue };
            for joint in &decl.joints {
                self.joint(*id, joint, Laid::Family, joint.with.as_ref());
            }
            for line in &decl.lines {
                self.line(*id, line, Laid::Family);
            }
            self.buses(*id, &decl.buses);
            self.world.feeds.extend(decl.feeds.iter().map(|it| (*id, it.clone())));
            self.world.grounds.extend(decl.grounds.iter().map(|it| it.0.value.clone()));
        }
        self.of_families(&recipient);
        let id = recipient.vehicle;
        let Some(decl) = vehicle(self.db, id) else { return };
        for joint in &decl.joints {
            self.joint(id, joint, Laid::Vehicle, None);
        }
        for line in &decl.lines {
            self.line(id, line, Laid::Vehicle);
        }
        self.world.feeds.extend(decl.feeds.iter().map(|it| (id, it.clone())));
        self.world.splices.extend(decl.splices.iter().map(|it| it.0.value.clone()));
        self.world.grounds.extend(decl.grounds.iter().map(|it| it.0.value.clone()));
        for wire in &decl.wires {
            self.wire(id, wire, Laid::Vehicle);
        }
    }

    /// Data networks; of two of one name the first holds.
    fn buses(&mut self, id: Id, buses: &[BusDecl]) {
        for bus in buses {
            if !self.world.buses.iter().any(|(_, it)| it.name.value == bus.name.value) {
                self.world.buses.push((id, bus.clone()));
            }
        }
    }

    /// Looms, feeds and lines declared beside a family, for it.
    fn of_families(&mut self, recipient: &Built) {
        let scope = scope_of(self.db, self.workspace, recipient.vehicle);
        let concerns = |id: Id, of: Option<&Ref>| {
            let named =
                of.and_then(|it| scope_of(self.db, self.workspace, id).find(Space::Family, it.head()));
            named.is_some_and(|it| recipient.families.contains(&it))
        };
        let mut looms: Vec<(Id, &Loom)> = Vec::new();
        for (_, id) in scope.each(Space::Loom) {
            let Some(Decl { body: Body::Loom(loom), .. }) = id.decl(self.db) else { continue };
            if concerns(id, loom.of.as_ref()) {
                looms.push((id, loom));
            }
        }
        let mut feeds = Vec::new();
        for (_, id) in scope.each(Space::Feed) {
            let Some(Decl { body: Body::Feed(feed), .. }) = id.decl(self.db) else { continue };
            if concerns(id, feed.of.as_ref()) {
                feeds.push((id, feed.clone()));
            }
        }
        let mut lines = Vec::new();
        for (_, id) in scope.each(Space::Line) {
            let Some(Decl { body: Body::Line(line), .. }) = id.decl(self.db) else { continue };
            if line.of.is_none() || concerns(id, line.of.as_ref()) {
                lines.push((id, line.as_ref()));
            }
        }
        self.world.feeds.extend(feeds);
        for (id, line) in lines {
            self.line(id, line, Laid::Family);
        }
        for (id, loom) in looms {
            match self.loom_fitted(recipient, &loom.fitted) {
                Some(false) => continue,
                Some(true) => {}
                None => self.world.doubtful_looms.push(id),
            }
            self.world.splices.extend(loom.splices.iter().map(|it| it.0.value.clone()));
            for wire in &loom.wires {
                self.wire(id, wire, Laid::Family);
            }
        }
    }

    /// Whether a loom is fitted: every window for certain, none for certain, or unknown.
    fn loom_fitted(&self, recipient: &Built, windows: &[Fitted]) -> Option<bool> {
        if windows.is_empty() {
            return Some(true);
        }
        let mut any = Vec::new();
        for window in windows {
            let dated = match recipient.built {
                Some(span) => match inside(span, window.from, window.to) {
                    crate::built::Inside::Yes => Some(true),
                    crate::built::Inside::Partly => None,
                    crate::built::Inside::No => Some(false),
                },
                None if window.from.is_none() && window.to.is_none() => Some(true),
                None => None,
            };
            any.push(match (dated, recipient.holds_all(&window.with)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            });
        }
        if crate::built::contested(&windows.iter().collect::<Vec<_>>(), recipient) {
            return None;
        }
        if any.contains(&Some(true)) {
            Some(true)
        } else if any.contains(&None) {
            None
        } else {
            Some(false)
        }
    }

    fn joint(&mut self, id: Id, decl: &JointDecl, laid: Laid, with: Option<&With>) {
        let (Some(a), Some(b)) = (EndAt::of(&decl.a), EndAt::of(&decl.b)) else { return };
        let there = self.world.recipient.holds(with) == Some(true);
        let joint = Joint {
            a,
            b,
            laid,
            site: id.site(decl.span),
            before: laid != Laid::Conversion && there,
            after: true,
        };
        self.lay(joint, with, |world, joint| world.joints.push(joint));
    }

    fn line(&mut self, id: Id, line: &Line, laid: Laid) {
        let (Some(a), Some(b)) = (EndAt::of(&line.a), EndAt::of(&line.b)) else { return };
        let there = self.world.recipient.holds(line.with.as_ref()) == Some(true);
        let joint = Joint {
            a,
            b,
            laid,
            site: id.site(line.span),
            before: laid != Laid::Conversion && there,
            after: true,
        };
        let line = line.clone();
        let with = line.with.clone();
        self.lay(joint, with.as_ref(), |world, joint| world.lines.push(LineAt { joint, line, id }));
    }

    /// Adds a joint; `after` is settled in [`Self::finish`], when the options after the
    /// changes are known.
    fn lay(&mut self, mut joint: Joint, with: Option<&With>, push: impl FnOnce(&mut World, Joint)) {
        if let Some(with) = with {
            let after = self.world.options_after.get(&with.option.value);
            joint.after = after == Some(&with.value.value);
        }
        push(&mut self.world, joint);
    }

    fn wire_end(&self, path: &Ref) -> WireEnd {
        if let (Some(end), Some(index)) = (EndAt::of(path), &path.index)
            && let Ok(n) = index.value.parse()
        {
            return WireEnd::Cavity(end, n);
        }
        let name = path.parts.last().map(|it| it.value.clone()).unwrap_or_default();
        if self.world.splices.contains(&name) {
            WireEnd::Splice(name)
        } else if self.world.feeds.iter().any(|(_, it)| it.name.value == name) {
            WireEnd::Feed(name)
        } else if self.world.grounds.contains(&name) {
            WireEnd::Ground(name)
        } else {
            WireEnd::Strange(path.text())
        }
    }

    fn wire(&mut self, id: Id, wire: &Wire, laid: Laid) {
        let (a, b) = (self.wire_end(&wire.a), self.wire_end(&wire.b));
        let was = (a.clone(), b.clone());
        self.world.wires.push(WireAt { a, b, was, wire: wire.clone(), id, laid });
    }

    fn convert(&mut self, id: Id, decl: &Conversion, way: Option<&crate::decl::Way>) {
        let bodies: Vec<&Conversion> = std::iter::once(decl).chain(way.map(|it| &it.body)).collect();
        self.world.way = way.map(|it| it.name.value.clone());
        let scope = scope_of(self.db, self.workspace, id);
        for named in bodies.iter().flat_map(|it| &it.donors) {
            let donor = scope.find(Space::Vehicle, named.head());
            if let Some(donor) = donor.and_then(|it| built(self.db, self.workspace, it.item, it.nth)) {
                self.world.donors.push(donor);
            }
        }
        for body in &bodies {
            self.add(id, body);
            for change in &body.changes {
                self.change(id, change);
                self.world.changes.push(change.clone());
            }
            self.world.accepts.extend(body.accepts.iter().cloned());
        }
        self.options_follow();
        for body in &bodies {
            for joint in &body.joints {
                self.joint(id, joint, Laid::Conversion, None);
            }
            for line in &body.lines {
                self.line(id, line, Laid::Conversion);
                self.answer(EndAt::of(&line.a), "line", id.site(line.span));
                self.answer(EndAt::of(&line.b), "line", id.site(line.span));
            }
            for wire in &body.wires {
                for end in [&wire.a, &wire.b] {
                    self.answer_cavity(end, "wire", id.site(wire.span));
                }
                self.wire(id, wire, Laid::Conversion);
            }
        }
    }

    /// Places, buses, grounds and feeds that the conversion brings.
    fn add(&mut self, id: Id, body: &Conversion) {
        let scope = scope_of(self.db, self.workspace, id);
        for decl in &body.places {
            let kind = decl.kind.as_ref().and_then(|it| scope.find(Space::Kind, it.head()));
            if self.world.place(&decl.name.value).is_none() {
                self.world.places.push(added_place(id, decl, kind));
            }
        }
        self.buses(id, &body.buses);
        self.world.grounds.extend(body.grounds.iter().map(|it| it.0.value.clone()));
        self.world.feeds.extend(body.feeds.iter().map(|it| (id, it.clone())));
    }

    fn donor(&self, id: Id, named: &Ref) -> Option<Arc<Built>> {
        let donor = scope_of(self.db, self.workspace, id).find(Space::Vehicle, named.head())?;
        built(self.db, self.workspace, donor.item, donor.nth)
    }

    fn change(&mut self, id: Id, change: &Change) {
        let site = id.site(change.span);
        match &change.verb {
            Verb::Take { places, count, from } => {
                let donor = self.donor(id, from);
                for named in places {
                    let built = donor.as_ref().and_then(|it| it.place(named.head()));
                    let holding = built.map_or(Holding::Unknown, |it| it.holding.clone());
                    let like = built.cloned();
                    self.put(id, named, holding, like.as_ref(), |place_count| Done {
                        verb: "take",
                        site,
                        donor: donor.as_ref().map(|it| it.vehicle),
                        count: count.unwrap_or(place_count),
                    });
                }
            }
            Verb::Fit { part, place } => self.put_part(id, part, place.as_ref(), "fit", None, site),
            Verb::Make { part, place } => self.put_part(id, part, place.as_ref(), "make", None, site),
            Verb::Replace { place, part, from } => {
                let donor = from.as_ref().and_then(|it| self.donor(id, it)).map(|it| it.vehicle);
                self.put_part(id, part, Some(place), "replace", donor, site);
            }
            Verb::Remove { places } => {
                for named in places {
                    self.put(id, named, Holding::Nothing, None, |count| Done {
                        verb: "remove",
                        site,
                        donor: None,
                        count,
                    });
                }
            }
            Verb::Choose { place, parts, .. } => {
                let scope = scope_of(self.db, self.workspace, id);
                let parts = parts.iter().filter_map(|it| scope.find(Space::Part, it.head())).collect();
                self.put(id, place, Holding::Choice(parts), None, |count| Done {
                    verb: "choose",
                    site,
                    donor: None,
                    count,
                });
            }
            Verb::Move { from, to } => {
                self.answer_cavity(from, "move", site);
                self.answer_cavity(to, "move", site);
                self.move_terminal(from, to);
            }
            Verb::Splice { a, b } => {
                self.answer_cavity(a, "splice", site);
                self.answer_cavity(b, "splice", site);
                let (a, b) = (self.wire_end(a), self.wire_end(b));
                self.world.wires.push(spliced(id, change.span, a, b));
            }
            Verb::Join { a, b, .. } => {
                self.answer_cavity(a, "join", site);
                self.answer_cavity(b, "join", site);
                self.answer(EndAt::of(a), "join", site);
                self.answer(EndAt::of(b), "join", site);
                if let (Some(a), Some(b)) = (EndAt::of(a), EndAt::of(b)) {
                    let joint = Joint { a, b, laid: Laid::Conversion, site, before: false, after: true };
                    self.world.joints.push(joint);
                }
            }
            Verb::Blank { end, .. } => {
                self.answer_cavity(end, "blank", site);
                self.answer(EndAt::of(end), "blank", site);
            }
            Verb::Bridge { a, b } => {
                for end in [a, b] {
                    self.answer_cavity(end, "bridge", site);
                    self.answer(EndAt::of(end), "bridge", site);
                }
            }
            Verb::Hand { duty, to } => {
                if let Some(duty) = EndAt::of(duty) {
                    self.world.handed.push((duty, to.head().clone(), site));
                }
            }
            Verb::Setup { place, setting, value } => {
                let setup = (place.head().clone(), setting.value.clone(), value.clone(), site);
                self.world.setups.push(setup);
            }
            Verb::Renew { .. } | Verb::Cut { .. } | Verb::Pair { .. } => {}
        }
    }

    fn answer(&mut self, end: Option<EndAt>, verb: &'static str, site: Site) {
        if let Some(end) = end {
            self.world.answers.entry(end).or_default().push(Answer { verb, site });
        }
    }

    fn answer_cavity(&mut self, path: &Ref, verb: &'static str, site: Site) {
        if let WireEnd::Cavity(end, n) = self.wire_end(path) {
            self.world.answered_cavities.entry((end, n)).or_default().push(Answer { verb, site });
        }
    }

    /// The wire whose terminal sat in one cavity sits in the other.
    fn move_terminal(&mut self, from: &Ref, to: &Ref) {
        let (from, to) = (self.wire_end(from), self.wire_end(to));
        for wire in self.world.wires.iter_mut().filter(|it| it.laid != Laid::Conversion) {
            // As it was before any move: the order in which moves stand says nothing.
            if wire.was.0 == from {
                wire.a = to.clone();
            } else if wire.was.1 == from {
                wire.b = to.clone();
            }
        }
    }

    fn put_part(
        &mut self,
        id: Id,
        named: &Ref,
        place: Option<&Ref>,
        verb: &'static str,
        donor: Option<Id>,
        site: Site,
    ) {
        let found = scope_of(self.db, self.workspace, id).find(Space::Part, named.head());
        let fills = found.and_then(|it| part(self.db, it)).and_then(|it| it.fills.clone());
        let Some(place) = place.cloned().or(fills) else { return };
        let holding = found.map_or(Holding::Unknown, Holding::Part);
        self.put(id, &place, holding, None, |count| Done { verb, site, donor, count });
    }

    /// Puts something in a place; a place that the recipient lacks is brought by what fills it.
    fn put(
        &mut self,
        id: Id,
        named: &Ref,
        holding: Holding,
        like: Option<&BuiltPlace>,
        done: impl FnOnce(u32) -> Done,
    ) {
        let name = named.head();
        if self.world.place(name).is_none() {
            let mut place = match like {
                Some(like) => place_before(like),
                None if matches!(holding, Holding::Nothing) => return,
                None => added_place(id, &nameless_place(named), None),
            };
            place.before = Holding::Nothing;
            place.called_before = false;
            place.added = true;
            self.world.places.push(place);
        }
        let Some(place) = self.world.places.iter_mut().find(|it| it.name == *name) else { return };
        let done = done(place.count);
        place.after = holding;
        place.done.push(done);
    }

    /// The options that follow from what is put in: a part that was only fitted with an
    /// option value brings it; a place named like an option brings the donor's value.
    fn options_follow(&mut self) {
        let recipient = self.world.recipient.clone();
        let mut follow: Vec<(Name, Name)> = Vec::new();
        for place in self.world.places.iter().filter(|it| it.changed()) {
            for id in place.after.parts() {
                let fitted = fitted_on(self.db, *id, &recipient.families, self.workspace);
                let named = |it: &&With| it.option.value == place.name;
                let mut with = fitted.iter().filter_map(|it| it.with.iter().find(named));
                if let Some(first) = with.next()
                    && with.all(|it| it.value.value == first.value.value)
                {
                    follow.push((first.option.value.clone(), first.value.value.clone()));
                }
            }
            let kind = kind_of(self.db, self.workspace, &place.after, None);
            let known =
                self.world.options_after.contains_key(&place.name) || recipient.unsaid.contains(&place.name);
            if !known {
                continue;
            }
            let donor = place.donor().and_then(|it| self.world.donors.iter().find(|d| d.vehicle == it));
            if let Some(value) = donor.and_then(|it| it.option(&place.name)) {
                follow.push((place.name.clone(), value.clone()));
            } else if let Some(kind) = kind {
                follow.extend(self.held_with(&recipient, place, kind));
            }
        }
        for (option, value) in follow {
            self.world.options_after.insert(option, value);
        }
        for place in &mut self.world.places {
            if place.added {
                continue;
            }
            let with = recipient.families.iter().find_map(|id| {
                let places = &family(self.db, *id)?.places;
                places.iter().find(|it| it.name.value == place.name)?.with.as_ref()
            });
            if let Some(with) = with {
                // An option that nobody stated says nothing about what is called for.
                let after = self.world.options_after.get(&with.option.value);
                place.called_after = after.map_or(place.called_before, |it| *it == with.value.value);
            }
        }
        let after = self.world.options_after.clone();
        let holds =
            |with: Option<&With>| with.is_none_or(|it| after.get(&it.option.value) == Some(&it.value.value));
        self.kinds_follow(&recipient, &holds);
        for id in &recipient.families {
            let Some(decl) = family(self.db, *id) else { continue };
            for joint in &mut self.world.joints {
                if let Some(it) = decl.joints.iter().find(|it| id.site(it.span) == joint.site) {
                    joint.after = holds(it.with.as_ref());
                }
            }
        }
        for line in &mut self.world.lines {
            line.joint.after = holds(line.line.with.as_ref());
        }
    }

    /// The kinds that the options after the changes call for.
    fn kinds_follow(&mut self, recipient: &Built, holds: &dyn Fn(Option<&With>) -> bool) {
        let called = |place: &Place, holds: &dyn Fn(Option<&With>) -> bool| {
            recipient.families.iter().find_map(|id| {
                let all = &family(self.db, *id)?.holds;
                let here = all.iter().filter(|it| *it.place.head() == place.name && it.with.is_some());
                let held = here.into_iter().find(|it| holds(it.with.as_ref()))?;
                scope_of(self.db, self.workspace, *id).find(Space::Kind, held.kind.head())
            })
        };
        let before = |with: Option<&With>| recipient.holds(with) == Some(true);
        let becomes: Vec<Option<Id>> = self
            .world
            .places
            .iter()
            .map(|place| called(place, holds).filter(|it| called(place, &before) != Some(*it)))
            .collect();
        for (place, becomes) in self.world.places.iter_mut().zip(becomes) {
            place.becomes = becomes;
        }
    }

    /// The option value with which a family holds a kind in a place.
    fn held_with(&self, recipient: &Built, place: &Place, kind: Id) -> Option<(Name, Name)> {
        let name = kind.name(self.db);
        recipient.families.iter().find_map(|id| {
            let holds = &family(self.db, *id)?.holds;
            let held = holds.iter().find(|it| *it.place.head() == place.name && *it.kind.head() == name)?;
            let with = held.with.as_ref()?;
            Some((with.option.value.clone(), with.value.value.clone()))
        })
    }

    /// An end can be in one joint only: those of the conversion outrank those of the family.
    fn finish(mut self) -> World {
        let mut taken: Vec<(EndAt, EndClass)> = Vec::new();
        let mine: Vec<EndAt> = self
            .world
            .joints
            .iter()
            .chain(self.world.lines.iter().map(|it| &it.joint))
            .filter(|it| it.laid == Laid::Conversion)
            .flat_map(|it| [it.a.clone(), it.b.clone()])
            .collect();
        taken.extend(mine.into_iter().map(|it| (it, EndClass::Face)));
        let held = |joint: &Joint| {
            joint.laid != Laid::Conversion && taken.iter().any(|(it, _)| *it == joint.a || *it == joint.b)
        };
        for joint in &mut self.world.joints {
            if held(joint) {
                joint.after = false;
            }
        }
        for line in &mut self.world.lines {
            if held(&line.joint) {
                line.joint.after = false;
            }
        }
        self.world
    }
}

fn place_before(built: &BuiltPlace) -> Place {
    Place {
        name: built.name.clone(),
        count: built.count,
        sides: built.sides,
        kind: built.kind,
        zone: built.zone.clone(),
        site: built.site,
        before: built.holding.clone(),
        how: built.how.clone(),
        doubtful: built.doubtful.clone(),
        after: built.holding.clone(),
        done: Vec::new(),
        added: false,
        called_before: built.exists,
        called_after: built.exists,
        becomes: None,
    }
}

fn nameless_place(named: &Ref) -> PlaceDecl {
    let name = named.parts[0].clone();
    PlaceDecl { name, count: 1, sides: false, kind: None, zone: None, with: None }
}

fn added_place(id: Id, decl: &PlaceDecl, kind: Option<Id>) -> Place {
    Place {
        name: decl.name.value.clone(),
        count: decl.count,
        sides: decl.sides,
        kind,
        zone: decl.zone.as_ref().map(|it| it.head().clone()),
        site: id.site(decl.name.span),
        before: Holding::Nothing,
        how: How::Unsaid,
        doubtful: Vec::new(),
        after: Holding::Nothing,
        done: Vec::new(),
        added: true,
        called_before: false,
        called_after: true,
        becomes: None,
    }
}

fn spliced(id: Id, span: Span, a: WireEnd, b: WireEnd) -> WireAt {
    let path = |end: &WireEnd| Ref {
        parts: vec![trunnion_syntax::tree::At { value: end.text().into(), span }],
        index: None,
        span,
    };
    let wire = Wire {
        a: path(&a),
        b: path(&b),
        size: None,
        colour: None,
        zones: Vec::new(),
        length: None,
        claim: Default::default(),
        span,
    };
    WireAt { was: (a.clone(), b.clone()), a, b, wire, id, laid: Laid::Conversion }
}
