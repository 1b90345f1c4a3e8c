//! Names that mean nothing, and figures of the wrong dimension.
//!
//! These are not checks on a vehicle but on the writing: `name/unknown`, `unit/dimension`.

use std::collections::BTreeSet;

use trunnion_handbook::quantity::Quantity;
use trunnion_model::built::{built, families, family, scope_of};
use trunnion_model::db::{Db, Item, Workspace};
use trunnion_model::decl::{
    Body, Change, Conversion, Decl, End, Event, Fitted, JointDecl, Line, Loom, Need, Part, Verb,
};
use trunnion_model::fact::{Claim, Fact, Ref, Value};
use trunnion_model::known::measure;
use trunnion_model::lower::lowered;
use trunnion_model::name::{Id, Scope, Space, nearest};
use trunnion_model::verdict::Problem;
use trunnion_model::world::world;
use trunnion_syntax::expr::{Expr, ExprKind};
use trunnion_syntax::tree::Span;

/// What is wrong with the names and units in an item.
#[salsa::tracked(returns(ref))]
pub fn name_problems(db: &dyn Db, workspace: Workspace, item: Item) -> Vec<Problem> {
    let mut problems = Vec::new();
    for nth in 0..lowered(db, item).decls.len() as u32 {
        let id = Id { item, nth };
        let Some(decl) = id.decl(db) else { continue };
        let scope = scope_of(db, workspace, id);
        let mut naming = Naming { db, workspace, id, scope, problems: &mut problems };
        naming.decl(decl);
        problems.extend(crate::circuit_names::problems(db, scope, decl));
    }
    problems.sort_by_key(|it: &Problem| (it.span, it.name));
    problems.dedup();
    problems
}

/// The paths in a condition that stand for a figure.
fn measured<'e>(expr: &'e Expr, paths: &mut Vec<&'e trunnion_syntax::tree::Path>) {
    match &expr.kind {
        ExprKind::Path(path) => paths.push(path),
        ExprKind::Arithmetic(_, a, b) | ExprKind::And(a, b) | ExprKind::Or(a, b) => {
            measured(a, paths);
            measured(b, paths);
        }
        ExprKind::Compare { left, right, .. } => {
            measured(left, paths);
            measured(right, paths);
        }
        ExprKind::Not(inner) => measured(inner, paths),
        ExprKind::Call(_, args) => {
            for arg in args {
                measured(arg, paths);
            }
        }
        _ => {}
    }
}

struct Naming<'a> {
    db: &'a dyn Db,
    workspace: Workspace,
    id: Id,
    scope: &'a Scope,
    problems: &'a mut Vec<Problem>,
}

impl Naming<'_> {
    fn decl(&mut self, decl: &Decl) {
        self.claim(&decl.claim);
        match &decl.body {
            Body::Family(it) => {
                self.named(it.base.as_ref(), Space::Family);
                let places = self.family_places(self.id);
                for place in &it.places {
                    self.named(place.kind.as_ref(), Space::Kind);
                }
                for holds in &it.holds {
                    self.named(Some(&holds.kind), Space::Kind);
                    self.place(&holds.place, &places);
                }
                self.joints(&it.joints, &places);
                self.lines(&it.lines, &places);
                for fact in &it.figures {
                    self.fact(fact, Some(&places));
                }
                for bus in &it.buses {
                    self.claim(&bus.claim);
                }
            }
            Body::Kind(it) => {
                self.named(it.base.as_ref(), Space::Kind);
                for ask in &it.asks {
                    self.named(ask.carrying.as_ref(), Space::Medium);
                    if let trunnion_model::decl::Asked::Measure(name) = &ask.asked {
                        self.measure(&name.value, name.span);
                    }
                }
                for kind in &it.comes_with {
                    self.named(Some(kind), Space::Kind);
                }
                for medium in &it.media {
                    self.named(Some(medium), Space::Medium);
                }
            }
            Body::Pattern(it) => self.facts(&it.facts),
            Body::Terminal(facts) | Body::Person(facts) => self.facts(facts),
            Body::Connector(it) => {
                self.named(it.terminal.as_ref(), Space::Terminal);
                self.named(it.mates.as_ref(), Space::Connector);
                self.facts(&it.facts);
            }
            Body::Part(it) => self.part(it),
            Body::Line(it) => self.line(it),
            Body::Loom(it) => self.loom(it),
            Body::Feed(it) => {
                self.named(it.of.as_ref(), Space::Family);
                self.claim(&it.claim);
            }
            Body::Work(it) => {
                for work in &it.after {
                    self.named(Some(work), Space::Work);
                }
                self.facts(&it.facts);
            }
            Body::Rule(it) => {
                for need in it.when.iter().chain(&it.needs) {
                    self.need(need);
                }
            }
            Body::Vehicle(it) => self.vehicle(it),
            Body::Conversion(it) => self.conversion(it),
            Body::Log(it) => {
                self.named(it.vehicle.as_ref(), Space::Vehicle);
                let vehicle = it.vehicle.as_ref().and_then(|it| self.scope.find(Space::Vehicle, it.head()));
                let places = vehicle.map(|it| self.vehicle_places(it)).unwrap_or_default();
                for entry in &it.entries {
                    if let Event::Measured { fact, .. } = &entry.event {
                        self.fact(fact, vehicle.is_some().then_some(&places));
                    }
                }
            }
            _ => {}
        }
    }

    fn part(&mut self, part: &Part) {
        self.named(part.kind.as_ref(), Space::Kind);
        if let Some(fills) = &part.fills {
            self.any_place(fills);
        }
        for fitted in &part.fitted {
            self.fitted(fitted);
        }
        for (place, fitted) in &part.suits {
            self.any_place(place);
            self.fitted(fitted);
        }
        for end in &part.ends {
            self.end(end);
        }
        for message in part.sends.iter().chain(&part.hears).chain(&part.passes) {
            self.claim(&message.claim);
        }
        for need in &part.needs {
            self.need(need);
        }
        for kind in &part.comes_with {
            self.named(Some(kind), Space::Kind);
        }
        self.facts(&part.facts);
    }

    fn need(&mut self, need: &Need) {
        self.claim(&need.claim);
        let mut paths = Vec::new();
        measured(&need.condition, &mut paths);
        for path in paths {
            if let [_, .., last] = path.parts.as_slice() {
                self.option_or_measure(&path.parts[0].value, &last.value, last.span);
            }
        }
    }

    /// The measure that a condition reads; of the vehicle also an option or its build date.
    fn option_or_measure(&mut self, of: &str, name: &str, span: Span) {
        if of == "vehicle" {
            let families: Vec<Id> = self.scope.each(Space::Family).map(|(_, id)| id).collect();
            let mut options =
                families.iter().filter_map(|it| family(self.db, *it)).flat_map(|it| &it.options);
            if name == "built" || options.any(|it| it.0.value == name) {
                return;
            }
        }
        self.measure(name, span);
    }

    fn end(&mut self, end: &End) {
        let space = match end.class {
            trunnion_model::decl::EndClass::Plug => Space::Connector,
            _ => Space::Pattern,
        };
        self.named(end.is.as_ref(), space);
        self.named(end.carrying.as_ref(), Space::Medium);
        self.claim(&end.claim);
        self.facts(&end.geometry.facts);
        for cavity in &end.cavities {
            self.claim(&cavity.claim);
            self.named(cavity.terminal.as_ref(), Space::Terminal);
        }
    }

    fn vehicle(&mut self, vehicle: &trunnion_model::decl::Vehicle) {
        self.named(vehicle.family.as_ref(), Space::Family);
        self.named(vehicle.kind.as_ref(), Space::Kind);
        self.claim(&vehicle.built_claim);
        let known = families(self.db, self.workspace, self.id);
        if vehicle.family.is_none() && known.is_empty() {
            let span = self.id.decl(self.db).and_then(|it| it.name.as_ref()).map(|it| it.span);
            self.problems.push(Problem::new(
                "name/scheme",
                span.unwrap_or_default(),
                "This vehicle names no family, and no general scheme fits it: say `kind …` and which axle is driven (`rear driven`, `front driven`, `all driven`).",
            ));
        }
        let places = self.vehicle_places(self.id);
        for has in &vehicle.has {
            self.place(&has.place, &places);
            self.named(has.part.as_ref(), Space::Part);
            self.claim(&has.claim);
        }
        self.joints(&vehicle.joints, &places);
        self.lines(&vehicle.lines, &places);
        for fact in &vehicle.figures {
            self.fact(fact, Some(&places));
        }
        for fact in &vehicle.facts {
            self.option_or_fact(fact, &known);
        }
    }

    fn option_or_fact(&mut self, fact: &Fact, known: &[Id]) {
        self.claim(&fact.claim);
        let options = known.iter().filter_map(|it| family(self.db, *it)).flat_map(|it| &it.options);
        let Some((_, values)) = options.into_iter().find(|it| it.0.value == fact.name.value) else {
            let option_names: Vec<String> = known
                .iter()
                .filter_map(|it| family(self.db, *it))
                .flat_map(|it| it.options.iter().map(|it| it.0.value.to_string()))
                .collect();
            if measure(self.db, self.workspace, self.id, &fact.name.value).is_none()
                && let Some(near) = nearest(&fact.name.value, option_names.iter().map(String::as_str))
            {
                self.unknown(&fact.name.value, "option or measure", fact.name.span, Some(near));
                return;
            }
            self.fact(fact, None);
            return;
        };
        let Some(value) = fact.values.first() else { return };
        let Some(word) = value.word() else { return };
        if !values.iter().any(|it| it.value == word) {
            let near = nearest(&word, values.iter().map(|it| it.value.as_str()));
            let all = values.iter().map(|it| it.value.as_str()).collect::<Vec<_>>().join(", ");
            let message = format!("The option {} has no value `{word}`; it may be: {all}.", fact.name.value);
            let mut problem = Problem::new("name/unknown", value.span, message);
            if let Some(near) = near {
                problem = problem.with_mend(format!("write {near}"), value.span, near);
            }
            self.problems.push(problem);
        }
    }

    fn conversion(&mut self, conversion: &Conversion) {
        let Some(recipient) = &conversion.recipient else {
            let span = self.id.decl(self.db).and_then(|it| it.name.as_ref()).map(|it| it.span);
            self.problems.push(Problem::new(
                "write/missing",
                span.unwrap_or_default(),
                "This conversion names no recipient: add `recipient VEHICLE`.",
            ));
            return;
        };
        self.named(Some(recipient), Space::Vehicle);
        let mut places = BTreeSet::new();
        let ways = std::iter::once(None).chain((0..conversion.ways.len() as u32).map(Some));
        for way in ways {
            let world = world(self.db, self.workspace, self.id.item, self.id.nth, way);
            for world in world.iter() {
                places.extend(world.places.iter().map(|it| it.name.to_string()));
                for donor in &world.donors {
                    places.extend(donor.places.iter().map(|it| it.name.to_string()));
                }
            }
        }
        self.body(conversion, &places);
        for way in &conversion.ways {
            self.body(&way.body, &places);
        }
    }

    fn body(&mut self, body: &Conversion, places: &BTreeSet<String>) {
        for donor in &body.donors {
            self.named(Some(donor), Space::Vehicle);
        }
        for place in &body.places {
            self.named(place.kind.as_ref(), Space::Kind);
        }
        self.joints(&body.joints, places);
        self.lines(&body.lines, places);
        for bus in &body.buses {
            self.claim(&bus.claim);
        }
        for fact in &body.figures {
            self.fact(fact, Some(places));
        }
        for change in &body.changes {
            self.change(change, places);
        }
    }

    fn change(&mut self, change: &Change, places: &BTreeSet<String>) {
        self.claim(&change.claim);
        match &change.verb {
            Verb::Take { places: taken, from, .. } => {
                self.named(Some(from), Space::Vehicle);
                for place in taken {
                    self.taken(place, from);
                }
            }
            Verb::Fit { part, place } | Verb::Make { part, place } => {
                self.named(Some(part), Space::Part);
                if let Some(place) = place {
                    self.place(place, places);
                }
            }
            Verb::Remove { places: removed } => {
                for place in removed {
                    self.place(place, places);
                }
            }
            Verb::Replace { place, part, from } => {
                self.place(place, places);
                self.named(Some(part), Space::Part);
                self.named(from.as_ref(), Space::Vehicle);
            }
            Verb::Choose { place, parts, .. } => {
                self.place(place, places);
                for part in parts {
                    self.named(Some(part), Space::Part);
                }
            }
            Verb::Setup { place, .. } => self.place(place, places),
            Verb::Hand { duty, to } => {
                self.place(duty, places);
                self.place(to, places);
            }
            Verb::Pair { places: paired } => {
                for place in paired {
                    self.place(place, places);
                }
            }
            Verb::Join { a, b, .. } | Verb::Bridge { a, b } => {
                for end in [a, b].into_iter().filter(|it| it.second().is_some()) {
                    self.place(end, places);
                }
            }
            Verb::Blank { end, .. } => self.place(end, places),
            _ => {}
        }
    }

    /// A place to take from must be one of the donor's.
    fn taken(&mut self, place: &Ref, from: &Ref) {
        let Some(donor) = self.scope.find(Space::Vehicle, from.head()) else { return };
        let places = self.vehicle_places(donor);
        self.place(place, &places);
    }

    fn loom(&mut self, loom: &Loom) {
        self.named(loom.of.as_ref(), Space::Family);
        for fitted in &loom.fitted {
            self.fitted(fitted);
        }
        for wire in &loom.wires {
            self.claim(&wire.claim);
        }
    }

    fn fitted(&mut self, fitted: &Fitted) {
        self.named(fitted.family.as_ref(), Space::Family);
        self.claim(&fitted.claim);
    }

    fn line(&mut self, line: &Line) {
        self.named(line.of.as_ref(), Space::Family);
        self.named(line.medium.as_ref(), Space::Medium);
        self.claim(&line.claim);
        self.facts(&line.facts);
    }

    fn lines(&mut self, lines: &[Line], places: &BTreeSet<String>) {
        for line in lines {
            self.line(line);
            self.place(&line.a, places);
            self.place(&line.b, places);
        }
    }

    fn joints(&mut self, joints: &[JointDecl], places: &BTreeSet<String>) {
        for joint in joints {
            self.claim(&joint.claim);
            self.place(&joint.a, places);
            self.place(&joint.b, places);
        }
    }

    fn family_places(&self, id: Id) -> BTreeSet<String> {
        let mut places = BTreeSet::new();
        let mut seen = Vec::new();
        let mut next = Some(id);
        while let Some(id) = next.filter(|it| !seen.contains(it)) {
            seen.push(id);
            let Some(decl) = family(self.db, id) else { break };
            places.extend(decl.places.iter().map(|it| it.name.value.to_string()));
            let scope = scope_of(self.db, self.workspace, id);
            next = decl.base.as_ref().and_then(|it| scope.find(Space::Family, it.head()));
        }
        places
    }

    fn vehicle_places(&self, id: Id) -> BTreeSet<String> {
        let built = built(self.db, self.workspace, id.item, id.nth);
        built.iter().flat_map(|it| &it.places).map(|it| it.name.to_string()).collect()
    }

    /// Every place of every family seen from here.
    fn any_place(&mut self, place: &Ref) {
        let families: Vec<Id> = self.scope.each(Space::Family).map(|(_, id)| id).collect();
        let mut places = BTreeSet::new();
        for id in families {
            places.extend(self.family_places(id));
        }
        // A conversion may add places; a part made for one can name it.
        for (_, id) in self.scope.each(Space::Conversion) {
            if let Some(Body::Conversion(decl)) = id.decl(self.db).map(|it| &it.body) {
                places.extend(decl.places.iter().map(|it| it.name.value.to_string()));
            }
        }
        let own_family = self
            .scope
            .each(Space::Family)
            .any(|(_, id)| !trunnion_model::library::is_library(&id.path(self.db)));
        if own_family && nearest(place.head(), places.iter().map(String::as_str)).is_some() {
            self.place(place, &places);
        }
    }

    fn place(&mut self, place: &Ref, places: &BTreeSet<String>) {
        let head = &place.parts[0];
        if places.contains(head.value.as_str()) || places.is_empty() {
            return;
        }
        let near = nearest(&head.value, places.iter().map(String::as_str));
        self.unknown(&head.value, "place", head.span, near);
    }

    fn named(&mut self, name: Option<&Ref>, space: Space) {
        let Some(name) = name else { return };
        if self.scope.find(space, name.head()).is_none() {
            let near = self.scope.suggest(space, name.head());
            let span = name.parts[0].span;
            match (near, self.elsewhere(space, name.head())) {
                (None, Some(path)) => {
                    let word = space.word();
                    let own = self.id.path(self.db);
                    let used = trunnion_model::name::relative(&own, &path);
                    let message = format!(
                        "The {word} `{}` is declared in `{path}`, which this file does not use: add `use \"{used}\"`.",
                        name.head()
                    );
                    self.problems.push(Problem::new("name/unused-file", span, message));
                }
                (near, _) => self.unknown(name.head(), space.word(), span, near),
            }
        }
    }

    /// A file of the workspace that declares the name though it is not used from here.
    fn elsewhere(&self, space: Space, name: &str) -> Option<String> {
        let files = self.workspace.files(self.db);
        files
            .iter()
            .find(|(_, file)| trunnion_model::name::declared(self.db, **file).find(space, name).is_some())
            .map(|(path, _)| path.to_string())
    }

    fn unknown(&mut self, name: &str, what: &str, span: Span, near: Option<String>) {
        let message = match &near {
            Some(near) => format!("There is no {what} `{name}`; `{near}` is one."),
            None => format!("There is no {what} `{name}`."),
        };
        let mut problem = Problem::new("name/unknown", span, message);
        if let Some(near) = near {
            problem = problem.with_mend(format!("write {near}"), span, near);
        }
        self.problems.push(problem);
    }

    fn claim(&mut self, claim: &Claim) {
        self.named(claim.per.as_ref(), Space::Source);
    }

    fn facts(&mut self, facts: &[Fact]) {
        for fact in facts {
            self.fact(fact, None);
        }
    }

    /// The place of a fact, its measure, and the dimension of its figures.
    fn fact(&mut self, fact: &Fact, places: Option<&BTreeSet<String>>) {
        self.claim(&fact.claim);
        for value in &fact.values {
            self.named(value.per.as_ref(), Space::Source);
        }
        if let (Some(places), Some(place)) = (places, fact.target.first())
            && !places.contains(place.value.as_str())
            && !places.is_empty()
        {
            let near = nearest(&place.value, places.iter().map(String::as_str));
            self.unknown(&place.value, "place", place.span, near);
            return;
        }
        if !self.measure(&fact.name.value, fact.name.span) {
            return;
        }
        let unit = measure(self.db, self.workspace, self.id, &fact.name.value)
            .and_then(|it| it.unit.as_ref())
            .map(|it| it.value.clone());
        for value in &fact.values {
            self.dimension(fact, value, unit.as_deref());
        }
    }

    fn measure(&mut self, name: &str, span: Span) -> bool {
        if measure(self.db, self.workspace, self.id, name).is_some() {
            return true;
        }
        let near = self.scope.suggest(Space::Measure, name);
        let near = near.map(|it| it.replace('_', " "));
        let shown = name.replace('_', " ");
        let message = match &near {
            Some(near) => format!("No measure is called `{shown}`; `{near}` is one."),
            None => format!(
                "No measure is called `{shown}`; declare it (`measure {shown} in mm`) or write one that is."
            ),
        };
        let mut problem = Problem::new("name/unknown", span, message);
        if let Some(near) = near {
            problem = problem.with_mend(format!("write {near}"), span, near);
        }
        self.problems.push(problem);
        false
    }

    fn dimension(&mut self, fact: &Fact, value: &Value, unit: Option<&str>) {
        let Some(stated) = value.quantity() else { return };
        let wanted = unit.and_then(|it| Quantity::exact(1.0, it).ok());
        let name = fact.name.value.replace('_', " ");
        let message = match (unit, wanted) {
            (Some(unit), Some(wanted)) if !stated.dimension().stands_for(wanted.dimension()) => {
                if stated.dimension().is_plain() && stated.unit().is_none() {
                    let mut problem = Problem::new(
                        "unit/missing",
                        value.span,
                        format!("A {name} is given with its unit: {unit}, or another of the same dimension."),
                    );
                    let end = Span::new(value.span.end, value.span.end);
                    problem = problem.with_mend(format!("add {unit}"), end, format!(" {unit}"));
                    self.problems.push(problem);
                    return;
                }
                format!(
                    "A {name} is given in {unit} ({}), not in {} ({}).",
                    wanted.dimension(),
                    stated.unit().map_or("plain numbers", |it| it.symbol),
                    stated.dimension(),
                )
            }
            _ => return,
        };
        self.problems.push(Problem::new("unit/dimension", value.span, message));
    }
}
