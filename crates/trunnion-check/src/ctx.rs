//! What a check is given, and the turns of phrase that all checks share.

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::{Built, Holding, part};
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::decl::{Decl, EndClass, FindOut, Geometry, Part};
use trunnion_model::fact::{Found, Known, Standing};
use trunnion_model::kinds::{EndOf, WholeKind, kind_of, whole_kind};
use trunnion_model::known;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Edit, Fix, Gate, Outcome, Question, Verdict, Who, Won};
use trunnion_model::world::{EndAt, Place, When, World};

/// A vehicle before and after the changes, for a check.
pub struct Ctx<'a> {
    /// The database.
    pub db: &'a dyn Db,
    /// The workspace.
    pub workspace: Workspace,
    /// The vehicle before and after.
    pub world: &'a World,
}

/// One declaration, for a check.
pub struct DeclCtx<'a> {
    /// The database.
    pub db: &'a dyn Db,
    /// The workspace.
    pub workspace: Workspace,
    /// Which declaration.
    pub id: Id,
    /// The declaration.
    pub decl: &'a Decl,
}

/// An end of a place after the changes, with all that is stated about it.
pub struct Mate<'a> {
    /// Where it is.
    pub at: EndAt,
    /// The place.
    pub place: &'a Place,
    /// The part that sits there, if it is known which.
    pub part: Option<(Id, &'a Part)>,
    /// The end as stated or asked for; none where nothing tells that it has such an end.
    pub end: Option<EndOf>,
    /// Its geometry: that of its pattern with what is stated in place.
    pub geometry: Option<Geometry>,
    /// The pattern it is of.
    pub pattern: Option<Id>,
    /// How well the geometry is supported, and by what.
    pub found: Option<Found>,
}

impl Mate<'_> {
    /// As it is shown: "the tail of the gearbox".
    pub fn shown(&self) -> String {
        let end = self.end.as_ref().map_or_else(|| self.at.end.replace('_', " "), |it| it.shown.clone());
        format!("{end} of {}", self.place.shown())
    }

    /// What sits there, by name.
    pub fn part_shown(&self, ctx: &Ctx<'_>) -> String {
        match self.part {
            Some((id, _)) => id.shown(ctx.db),
            None => ctx.holding_shown(&self.place.after, self.place),
        }
    }

    /// The place to point at.
    pub fn site(&self) -> Site {
        match (&self.found, self.end.as_ref().and_then(|it| it.stated)) {
            (Some(found), _) => found.site,
            (None, _) => self.place.done.last().map_or(self.place.site, |it| it.site),
        }
    }
}

impl<'a> Ctx<'a> {
    /// Where the whole thing starts: the conversion's or vehicle's name.
    pub fn root_site(&self) -> Site {
        self.world.root().name_site(self.db)
    }

    /// The recipient as built.
    pub fn built(&self) -> &'a Built {
        &self.world.recipient
    }

    /// The part behind an id.
    pub fn part(&self, id: Id) -> Option<&'a Part> {
        part(self.db, id)
    }

    /// Finds a name seen from a declaration.
    pub fn find(&self, from: Id, space: Space, name: &str) -> Option<Id> {
        trunnion_model::built::scope_of(self.db, self.workspace, from).find(space, name)
    }

    /// What is known of a measure of what sits in a place after the changes.
    pub fn fact(&self, place: &Place, name: &str) -> Known {
        known::fact(self.db, self.workspace, self.world, place, name, When::After)
    }

    /// The same before the changes.
    pub fn fact_before(&self, place: &Place, name: &str) -> Known {
        known::fact(self.db, self.workspace, self.world, place, name, When::Before)
    }

    /// How a measure is found out.
    pub fn find_out(&self, place: &Place, name: &str) -> FindOut {
        known::find_out(self.db, self.workspace, self.world, place, name)
    }

    /// The kind of what sits in a place after the changes, with all it takes over.
    pub fn kind_after(&self, place: &Place) -> Option<(Id, &'a WholeKind)> {
        let id = kind_of(self.db, self.workspace, &place.after, place.kind)?;
        Some((id, whole_kind(self.db, self.workspace, id)))
    }

    /// The kind of what sat in a place before them.
    pub fn kind_before(&self, place: &Place) -> Option<(Id, &'a WholeKind)> {
        let id = kind_of(self.db, self.workspace, &place.before, place.kind)?;
        Some((id, whole_kind(self.db, self.workspace, id)))
    }

    /// Areas of safety of what sits in a place, before or after.
    pub fn safety(&self, place: &Place) -> Vec<String> {
        let mut areas: Vec<String> = Vec::new();
        let kinds = [self.kind_before(place), self.kind_after(place)];
        for area in kinds.iter().flatten().flat_map(|(_, kind)| &kind.safety) {
            if !areas.iter().any(|it| it == area.as_str()) {
                areas.push(area.to_string());
            }
        }
        for id in place.before.parts().iter().chain(place.after.parts()) {
            for area in self.part(*id).into_iter().flat_map(|it| &it.safety) {
                if !areas.iter().any(|it| it == area.value.as_str()) {
                    areas.push(area.value.to_string());
                }
            }
        }
        areas
    }

    /// What sits in a place after the changes, by its own name where it is known which, else by the place's.
    pub fn part_shown(&self, place: &Place) -> String {
        place.after.part().map_or_else(|| format!("the {}", place.shown()), |it| it.shown(self.db))
    }

    /// What sits in a place, in words.
    pub fn holding_shown(&self, holding: &Holding, place: &Place) -> String {
        match holding {
            Holding::Nothing => "nothing".to_owned(),
            Holding::Unknown => format!("an unknown {}", place.shown()),
            Holding::Hollow(kind) => format!("an unknown {}", kind.shown(self.db)),
            Holding::Part(id) => id.shown(self.db),
            Holding::Several(all) | Holding::Choice(all) => {
                all.iter().map(|it| it.shown(self.db)).collect::<Vec<_>>().join(" or ")
            }
        }
    }

    /// The ends of what sits in a place after the changes.
    pub fn ends(&self, place: &Place, when: When) -> Vec<EndOf> {
        self.world.ends(self.db, self.workspace, place, when)
    }

    /// Whether something in or beside a place changes, so that checks there matter.
    pub fn touched(&self, place: &Place) -> bool {
        let neighbour = |end: &EndAt| self.world.place(&end.place).is_some_and(Place::changed);
        place.changed()
            || self.world.joints.iter().filter(|it| it.after).any(|it| {
                (it.a.place == place.name && neighbour(&it.b))
                    || (it.b.place == place.name && neighbour(&it.a))
            })
    }

    /// The places in which something of that kind sits after the changes, or of one that builds on it.
    pub fn of_kind(&self, kind: &str) -> Vec<&'a Place> {
        let places = self.world.places.iter().filter(|it| it.after.is_filled());
        places.filter(|it| self.kind_after(it).is_some_and(|(_, whole)| whole.is(self.db, kind))).collect()
    }

    /// The only place in which something of that kind sits.
    pub fn only_of_kind(&self, kind: &str) -> Option<&'a Place> {
        match self.of_kind(kind).as_slice() {
            [only] => Some(only),
            _ => None,
        }
    }

    /// Whether a sum over these places is to be done: something in or beside one of them changes, or
    /// it is a vehicle alone.
    pub fn concerns(&self, places: &[&Place]) -> bool {
        self.world.conversion.is_none() || places.iter().any(|it| self.touched(it))
    }

    /// Whether anybody stated a measure of what sits in a place after the changes.
    pub fn stated(&self, place: &Place, measure: &str) -> bool {
        !self.fact(place, measure).claims().is_empty()
    }

    /// What the owner wants of the result, by name: `cruise`, `payload`. With the claim it rests on.
    pub fn aim(&self, name: &str) -> Option<(&'a trunnion_model::decl::Aim, Found)> {
        let id = self.world.conversion?;
        let decl = trunnion_model::world::conversion(self.db, id)?;
        let way = decl.ways.iter().filter(|it| Some(&it.name.value) == self.world.way.as_ref());
        let mut all = way.flat_map(|it| &it.body.aims).chain(&decl.aims);
        let aim = all.find(|it| it.name.value.replace(' ', "_") == name)?;
        let mut found = known::said(self.db, self.workspace, id, &aim.claim, aim.span);
        found.values.clone_from(&aim.values);
        found.bound = aim.bound;
        Some((aim, found))
    }

    /// The two ends of each joint of faces, mounts, links and openings after the changes, where
    /// at least one side changes; all joints of a vehicle alone.
    pub fn mates(&self) -> Vec<(Mate<'a>, Mate<'a>, Site)> {
        let alone = self.world.conversion.is_none();
        let joints = self.world.joints.iter().filter(|it| it.after);
        joints
            .filter_map(|it| {
                let (a, b) = (self.mate(&it.a)?, self.mate(&it.b)?);
                let changes = a.place.changed()
                    || b.place.changed()
                    || it.laid == trunnion_model::world::Laid::Conversion;
                (alone || changes).then_some((a, b, it.site))
            })
            .collect()
    }

    /// An end after the changes, with its geometry.
    pub fn mate(&self, at: &EndAt) -> Option<Mate<'a>> {
        let place = self.world.place(&at.place)?;
        // Where several parts are possible, what all of them share is as good as known.
        let part_id = place.after.part().or_else(|| self.alike(place.after.parts(), &at.end));
        let part = part_id.and_then(|it| Some((it, self.part(it)?)));
        let end = self.ends(place, When::After).into_iter().find(|it| it.name == at.end);
        let mut mate = Mate { at: at.clone(), place, part, end, geometry: None, pattern: None, found: None };
        if let Some((id, end)) = part.and_then(|(id, part)| Some((id, part.end(&at.end)?))) {
            let pattern = end.is.as_ref().and_then(|it| self.find(id, Space::Pattern, it.head()));
            mate.pattern = pattern;
            mate.geometry = self.geometry(pattern, &end.geometry, end.side);
            mate.found = Some(known::said(self.db, self.workspace, id, &end.claim, end.span));
        }
        Some(mate)
    }

    /// The first of several parts, where all state the same about an end.
    fn alike(&self, parts: &[Id], end: &str) -> Option<Id> {
        let first = *parts.first()?;
        let stated = |id: &Id| {
            let it = self.part(*id)?.end(end)?;
            Some((
                it.is.as_ref().map(trunnion_model::fact::Ref::text),
                it.side,
                it.absent,
                it.geometry == Geometry::default(),
            ))
        };
        let own = stated(&first)?;
        (own.3 && parts.iter().all(|it| stated(it).as_ref() == Some(&own))).then_some(first)
    }

    /// The geometry of an end: its pattern's, with what the end itself states on top.
    pub fn geometry(
        &self,
        pattern: Option<Id>,
        own: &Geometry,
        side: Option<trunnion_model::decl::Side>,
    ) -> Option<Geometry> {
        let stated = match pattern.and_then(|it| it.decl(self.db)).map(|it| &it.body) {
            Some(trunnion_model::decl::Body::Pattern(it)) => Some(it.clone()),
            _ => None,
        };
        let bare = *own == Geometry::default();
        let mut geometry = match (stated, bare) {
            (None, true) => return None,
            (Some(it), _) => it,
            (None, false) => Geometry::default(),
        };
        if !own.holes.is_empty() {
            geometry.holes.clone_from(&own.holes);
        }
        if !own.registers.is_empty() {
            geometry.registers.clone_from(&own.registers);
        }
        geometry.thread = own.thread.clone().or(geometry.thread);
        geometry.dowels = own.dowels.clone().or(geometry.dowels);
        geometry.spline = own.spline.clone().or(geometry.spline);
        geometry.flare = own.flare.clone().or(geometry.flare);
        geometry.facts.extend(own.facts.iter().cloned());
        geometry.flags.extend(own.flags.iter().cloned());
        geometry.side = side.or(own.side).or(geometry.side);
        Some(geometry)
    }

    /// How a clear verdict was won: as well as the weakest of what it rests on.
    pub fn won(&self, found: &[Found]) -> Won {
        won(found)
    }

    /// A clear verdict on the claims it rests on.
    pub fn clear(
        &self,
        check: &'static str,
        subject: impl Into<String>,
        site: Site,
        message: impl Into<String>,
        found: &[Found],
    ) -> Verdict {
        with_found(Verdict::new(check, Outcome::Clear(won(found)), subject, site, message), found)
    }

    /// A clash on the claims it rests on.
    pub fn clash(
        &self,
        check: &'static str,
        subject: impl Into<String>,
        site: Site,
        message: impl Into<String>,
        found: &[Found],
    ) -> Verdict {
        with_found(Verdict::new(check, Outcome::Clash, subject, site, message), found)
    }

    /// An open verdict: what nobody knows.
    pub fn open(
        &self,
        check: &'static str,
        subject: impl Into<String>,
        site: Site,
        message: impl Into<String>,
        question: Question,
    ) -> Verdict {
        Verdict::new(check, Outcome::Open, subject, site, message).with_question(question)
    }

    /// The question for a measure of a place that nobody stated.
    pub fn question(&self, place: &Place, measure: &str, hangs: impl Into<String>) -> Question {
        let find_out = self.find_out(place, measure);
        let title = self
            .find(self.world.root(), Space::Measure, measure)
            .map_or_else(|| measure.replace('_', " "), |it| it.shown(self.db));
        let what = format!("the {title} of the {}", place.shown());
        let written = measure.replace('_', " ");
        let mut question = question(what, &find_out, hangs);
        question.who = self.who(place, question.who);
        question.type_in = Some(match place.donor() {
            Some(donor) => format!("in vehicle {}: {}.{measure} …", donor.name(self.db), place.name),
            None => match place.after.part() {
                Some(part) => format!("in part {}: {written} …", part.name(self.db)),
                None => {
                    format!(
                        "in vehicle {}: {}.{measure} …",
                        self.world.recipient.vehicle.name(self.db),
                        place.name
                    )
                }
            },
        });
        question
    }

    /// Only a donor's seller can be asked; on the own vehicle one looks.
    fn who(&self, place: &Place, who: Who) -> Who {
        match who {
            Who::Seller if place.donor().is_none() => Who::Tape,
            other => other,
        }
    }

    /// A fix that states a missing fact, with a hole to fill.
    pub fn state_fact(&self, place: &Place, measure: &str, unit: Option<&str>) -> Option<Fix> {
        let unit = unit.map(|it| format!(" {it}")).unwrap_or_default();
        let written = measure.replace('_', " ");
        if let (Some(part), None) = (place.after.part(), place.donor()) {
            let edit = self.insert(part, &format!("{written} …{unit}"))?;
            return Some(Fix {
                title: format!("state the {written} of {}", part.shown(self.db)),
                edits: vec![edit],
            });
        }
        let vehicle = place.donor().unwrap_or(self.world.recipient.vehicle);
        let edit = self.insert(vehicle, &format!("{}.{measure} …{unit}", place.name))?;
        Some(Fix { title: format!("state the {written} of the {}", place.shown()), edits: vec![edit] })
    }

    /// An edit that adds a statement at the end of a declaration's block.
    pub fn insert(&self, id: Id, statement: &str) -> Option<Edit> {
        insert(self.db, id, statement)
    }

    /// A fix that adds a change to the conversion.
    pub fn add_change(&self, title: impl Into<String>, statement: &str) -> Option<Fix> {
        let edit = self.insert(self.world.conversion?, statement)?;
        Some(Fix { title: title.into(), edits: vec![edit] })
    }
}

/// An edit that adds a statement at the end of a declaration's block, laid out as the block is.
pub fn insert(db: &dyn Db, id: Id, statement: &str) -> Option<Edit> {
    let decl = id.decl(db)?;
    let text = id.item.text(db);
    let whole = text.get(decl.span.range())?;
    let at = |offset: usize| {
        let offset = decl.span.start + offset as u32;
        id.site(trunnion_syntax::tree::Span::new(offset, offset))
    };
    let Some(open) = whole.find('{') else {
        return Some(Edit { site: at(whole.trim_end().len()), text: format!(" {{\n  {statement}\n}}") });
    };
    let close = whole.rfind('}').filter(|it| *it > open).unwrap_or(whole.len());
    let inside = &whole[open + 1..close];
    if inside.contains('\n') {
        let kept = inside.trim_end();
        let text = format!("\n  {statement}");
        return Some(Edit { site: at(open + 1 + kept.len()), text });
    }
    let kept = inside.trim_end();
    let text = if kept.trim().is_empty() { format!(" {statement} ") } else { format!(", {statement}") };
    Some(Edit { site: at(open + 1 + kept.len()), text })
}

/// How a clear verdict was won: as well as the weakest of what it rests on.
pub fn won(found: &[Found]) -> Won {
    match found.iter().map(|it| it.standing).min() {
        Some(Standing::Measured) => Won::Measured,
        Some(Standing::Documented) => Won::Paper,
        _ => Won::Hearsay,
    }
}

/// Adds the sources and places of claims to a verdict.
pub fn with_found(mut verdict: Verdict, found: &[Found]) -> Verdict {
    for it in found {
        verdict = verdict.with_source(it.source.clone());
        if !verdict.rests.iter().any(|other| other.site == it.site) {
            verdict.rests.push(it.clone());
        }
        let shown = it.display();
        let known = verdict.site == it.site || verdict.related.iter().any(|other| other.site == it.site);
        if !known {
            let note =
                if shown.is_empty() { "stated here".to_owned() } else { format!("stated here: {shown}") };
            verdict = verdict.with_related(it.site, note);
        }
    }
    verdict
}

/// A question from how a thing is found out.
pub fn question(what: impl Into<String>, find_out: &FindOut, hangs: impl Into<String>) -> Question {
    Question {
        what: what.into(),
        good: find_out.good.map(|it| it.display()),
        tool: find_out.tool.as_ref().map(ToString::to_string),
        precision: find_out.precision.map(|it| it.display()),
        minutes: find_out.takes.and_then(|it| it.in_unit("min")).map(|it| it.ceil() as u32),
        who: find_out.from.as_deref().and_then(Who::from_word).unwrap_or(Who::Tape),
        gate: find_out.gate.unwrap_or(Gate::Buying),
        hangs: hangs.into(),
        type_in: None,
    }
}

/// A figure in a unit, as short as it can be shown: "76", "12.5".
pub fn figure(quantity: Quantity, unit: &str) -> String {
    quantity.in_unit(unit).map_or_else(|| quantity.display(), |it| trimmed(it, 3))
}

/// A number with at most so many decimals and no zeros at the end.
pub fn trimmed(number: f64, decimals: usize) -> String {
    let text = format!("{number:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Names in a row: "a", "a and b", "a, b and c"; with semicolons where a name has a comma of its own.
pub fn listed(names: &[String]) -> String {
    let between = if names.iter().any(|it| it.contains(',')) { "; " } else { ", " };
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => {
            let comma = if between == "; " { ";" } else { "" };
            format!("{}{comma} and {last}", first.join(between))
        }
    }
}

/// A text with its first letter in capitals, as a sentence begins.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |it| it.to_uppercase().chain(letters).collect())
}

/// The medium of an end in a word, for messages.
pub fn medium(class: EndClass) -> &'static str {
    class.medium()
}
