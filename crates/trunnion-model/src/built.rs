//! As built: what sits in each place of a vehicle, from its build date, its
//! options and what it is known to have.

use std::sync::Arc;

use smol_str::SmolStr;
use trunnion_syntax::tree::{Date, Name, Span};

use crate::db::{Db, Site, Workspace};
use crate::decl::{Body, Family, Fitted, Part, PlaceDecl, Vehicle, With};
use crate::fact::{Claim, Found, Ref, Standing, Value};
use crate::lower::lowered;
use crate::name::{Id, Scope, Space, scope};

/// The months a date covers, as first and last day, `(year, month, day)`.
pub fn days(date: Date) -> (Date, Date) {
    match date.day {
        Some(_) => (date, date),
        None => (Date { day: Some(1), ..date }, Date { day: Some(31), ..date }),
    }
}

/// Whether a vehicle's build span lies in a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Inside {
    /// Not at all.
    No,
    /// In part: the vehicle's date is a month or a span and the change falls into it.
    Partly,
    /// Wholly.
    Yes,
}

/// Whether the span from `built.0` to `built.1` lies in the window.
pub fn inside(built: (Date, Date), from: Option<Date>, to: Option<Date>) -> Inside {
    let (first, last) = (days(built.0).0, days(built.1).1);
    let opens = from.map(|it| days(it).0);
    let ends = to.map(|it| days(it).1);
    if opens.is_some_and(|it| last < it) || ends.is_some_and(|it| first > it) {
        return Inside::No;
    }
    if opens.is_some_and(|it| first < it) || ends.is_some_and(|it| last > it) {
        return Inside::Partly;
    }
    Inside::Yes
}

/// What sits in a place.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Holding {
    /// The place does not exist on this vehicle, or nothing sits in it.
    Nothing,
    /// Nobody knows.
    Unknown,
    /// A part of this kind, of which nothing more is known.
    Hollow(Id),
    /// This part.
    Part(Id),
    /// One of these parts: several match, or claims disagree.
    Several(Vec<Id>),
    /// One of these, left to the planner.
    Choice(Vec<Id>),
}

impl Holding {
    /// The part, where there is exactly one.
    pub fn part(&self) -> Option<Id> {
        match self {
            Self::Part(it) => Some(*it),
            _ => None,
        }
    }

    /// Every part it may be.
    pub fn parts(&self) -> &[Id] {
        match self {
            Self::Part(it) => std::slice::from_ref(it),
            Self::Several(all) | Self::Choice(all) => all,
            _ => &[],
        }
    }

    /// Whether something sits there, known or not.
    pub fn is_filled(&self) -> bool {
        !matches!(self, Self::Nothing)
    }
}

/// How it is known what sits in a place.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum How {
    /// The vehicle `has` it.
    Has(Site),
    /// It was fitted at this build date and option set: the `fitted` lines.
    Fitted(Vec<Site>),
    /// The family or scheme holds a kind there.
    Holds,
    /// Nobody said.
    Unsaid,
}

/// One place of a vehicle as built.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct BuiltPlace {
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
    /// Whether the place exists with these options.
    pub exists: bool,
    /// What sits there.
    pub holding: Holding,
    /// How that is known.
    pub how: How,
    /// The `fitted` lines that may or may not cover this vehicle: the build date is too
    /// coarse, or sources disagree.
    pub doubtful: Vec<(Id, Site)>,
}

/// A vehicle as built.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Built {
    /// The vehicle.
    pub vehicle: Id,
    /// Its family or the general scheme, innermost first with those it builds on.
    pub families: Vec<Id>,
    /// First and last possible build date.
    pub built: Option<(Date, Date)>,
    /// The options that are known.
    pub options: Vec<(Name, Name, Site)>,
    /// The options that the family has and nobody stated.
    pub unsaid: Vec<Name>,
    /// The places.
    pub places: Vec<BuiltPlace>,
}

impl Built {
    /// The place of that name.
    pub fn place(&self, name: &str) -> Option<&BuiltPlace> {
        self.places.iter().find(|it| it.name == name)
    }

    /// The value of an option.
    pub fn option(&self, name: &str) -> Option<&Name> {
        self.options.iter().find(|it| it.0 == name).map(|it| &it.1)
    }

    /// Whether all of several hold: none where one may not.
    pub fn holds_all(&self, with: &[With]) -> Option<bool> {
        let each: Vec<Option<bool>> = with.iter().map(|it| self.holds(Some(it))).collect();
        let unknown = each.contains(&None) && !each.contains(&Some(false));
        (!unknown).then(|| each.iter().all(|it| *it == Some(true)))
    }

    /// Whether a `with` holds: none where the option is unknown.
    pub fn holds(&self, with: Option<&With>) -> Option<bool> {
        let Some(with) = with else { return Some(true) };
        Some(*self.option(&with.option.value)? == with.value.value)
    }
}

/// The part declaration behind an id.
pub fn part(db: &dyn Db, id: Id) -> Option<&Part> {
    match &id.decl(db)?.body {
        Body::Part(it) => Some(it),
        _ => None,
    }
}

/// The family declaration behind an id.
pub fn family(db: &dyn Db, id: Id) -> Option<&Family> {
    match &id.decl(db)?.body {
        Body::Family(it) => Some(it),
        _ => None,
    }
}

/// The vehicle declaration behind an id.
pub fn vehicle(db: &dyn Db, id: Id) -> Option<&Vehicle> {
    match &id.decl(db)?.body {
        Body::Vehicle(it) => Some(it),
        _ => None,
    }
}

/// What a part says about where it goes: changes less often than the part.
#[derive(Clone, Debug, PartialEq)]
struct Goes {
    fills: Option<Ref>,
    fitted: Vec<Fitted>,
}

#[salsa::tracked(returns(ref))]
fn goes(db: &dyn Db, item: crate::db::Item) -> Vec<Option<Goes>> {
    let goes = |decl: &crate::decl::Decl| match &decl.body {
        Body::Part(part) => Some(Goes { fills: part.fills.clone(), fitted: part.fitted.clone() }),
        _ => None,
    };
    lowered(db, item).decls.iter().map(goes).collect()
}

/// The scope of the file a declaration stands in.
pub fn scope_of(db: &dyn Db, workspace: Workspace, id: Id) -> &Scope {
    scope(db, workspace, id.item.file(db))
}

/// The family or scheme of a vehicle with those it builds on, innermost first.
pub fn families(db: &dyn Db, workspace: Workspace, id: Id) -> Vec<Id> {
    let scope = scope_of(db, workspace, id);
    let Some(decl) = vehicle(db, id) else { return Vec::new() };
    let first = match &decl.family {
        Some(it) => scope.find(Space::Family, it.head()),
        None => scheme(db, scope, decl),
    };
    let mut all: Vec<Id> = Vec::new();
    let mut next = first;
    while let Some(id) = next.filter(|it| !all.contains(it)) {
        all.push(id);
        let base = family(db, id).and_then(|it| it.base.as_ref());
        next = base.and_then(|it| scope_of(db, workspace, id).find(Space::Family, it.head()));
    }
    all
}

/// The general scheme that fits a vehicle without a family: same driven axle, same frame.
fn scheme(db: &dyn Db, scope: &Scope, vehicle: &Vehicle) -> Option<Id> {
    let driven = vehicle.driven.as_ref()?;
    let frame = vehicle
        .kind
        .as_ref()
        .and_then(|it| kind_fact(db, scope, it.head(), "frame"))
        .unwrap_or_else(|| "unitary".into());
    let fits = |id: &Id, with_frame: bool| {
        family(db, *id).is_some_and(|it| {
            it.scheme
                && it.driven.as_ref() == Some(&driven.value)
                && (!with_frame || it.frame.as_ref() == Some(&frame))
        })
    };
    let mut all = scope.each(Space::Family).map(|(_, id)| id);
    let schemes: Vec<Id> = all.by_ref().collect();
    schemes.iter().find(|it| fits(it, true)).or_else(|| schemes.iter().find(|it| fits(it, false))).copied()
}

/// A word that a kind, or one it builds on, states.
fn kind_fact(db: &dyn Db, scope: &Scope, kind: &str, name: &str) -> Option<SmolStr> {
    let mut next = scope.find(Space::Kind, kind);
    let mut steps = 0;
    while let Some(Body::Kind(kind)) = next.and_then(|it| it.decl(db)).map(|it| &it.body) {
        if let Some(fact) = kind.facts.iter().find(|it| it.name.value == name) {
            return fact.values.first().and_then(Value::word);
        }
        steps += 1;
        if steps > 32 {
            break;
        }
        next = kind.base.as_ref().and_then(|it| scope.find(Space::Kind, it.head()));
    }
    None
}

/// The claim behind a statement, with the standing of its source.
pub fn found(
    db: &dyn Db,
    workspace: Workspace,
    id: Id,
    claim: &Claim,
    values: Vec<Value>,
    span: Span,
) -> Found {
    let per = values.iter().find_map(|it| it.per.as_ref()).or(claim.per.as_ref());
    let source = per.and_then(|it| scope_of(db, workspace, id).find(Space::Source, it.head()));
    let standing = match source.and_then(|it| it.decl(db)).map(|it| &it.body) {
        Some(Body::Source(it)) => it.standing,
        _ => Standing::Assumed,
    };
    let name = match (source, per) {
        (Some(it), _) => format!("{} ({})", it.shown(db), standing.word()),
        (None, Some(per)) => format!("{} (unknown source)", per.text()),
        (None, None) => "the writer's own word (assumed)".to_owned(),
    };
    Found {
        values,
        bound: None,
        standing,
        source: name,
        source_item: source.map(|it| it.item),
        site: id.site(span),
    }
}

/// The parts seen from a file that fill a place, by place name.
#[salsa::tracked(returns(ref))]
pub fn fillers(
    db: &dyn Db,
    workspace: Workspace,
    file: crate::db::SourceFile,
) -> std::collections::BTreeMap<Name, Vec<Id>> {
    let mut fillers = std::collections::BTreeMap::<Name, Vec<Id>>::new();
    for (_, id) in scope(db, workspace, file).each(Space::Part) {
        let goes = goes(db, id.item).get(id.nth as usize).and_then(Option::as_ref);
        if let Some(fills) = goes.and_then(|it| it.fills.as_ref()) {
            fillers.entry(fills.head().clone()).or_default().push(id);
        }
    }
    fillers
}

/// A vehicle as built.
#[salsa::tracked(returns(clone))]
pub fn built(db: &dyn Db, workspace: Workspace, item: crate::db::Item, nth: u32) -> Option<Arc<Built>> {
    let id = Id { item, nth };
    let decl = vehicle(db, id)?;
    let families = families(db, workspace, id);
    let mut known: Vec<(Name, Name, Site)> = Vec::new();
    let mut unsaid = Vec::new();
    for declared in families.iter().filter_map(|it| family(db, *it)).flat_map(|it| &it.options) {
        let name = &declared.0.value;
        if known.iter().any(|it| it.0 == *name) || unsaid.contains(name) {
            continue;
        }
        let stated = decl.facts.iter().find(|it| it.name.value == *name && it.target.is_empty());
        match stated.and_then(|it| Some((it.values.first()?.word()?, it.span))) {
            Some((value, span)) => known.push((name.clone(), value, id.site(span))),
            None => unsaid.push(name.clone()),
        }
    }
    let mut built = Built {
        vehicle: id,
        families: families.clone(),
        built: decl.built.as_ref().map(|(from, to)| (from.value, to.unwrap_or(from.value))),
        options: known,
        unsaid,
        places: Vec::new(),
    };
    let mut declared: Vec<(Id, &PlaceDecl)> = Vec::new();
    for family_id in &families {
        for place in family(db, *family_id).into_iter().flat_map(|it| &it.places) {
            if !declared.iter().any(|(_, it)| it.name.value == place.name.value) {
                declared.push((*family_id, place));
            }
        }
    }
    let all_fillers = fillers(db, workspace, item.file(db));
    for (family_id, place) in declared {
        let place = built_place(db, workspace, &built, decl, family_id, place, all_fillers);
        built.places.push(place);
    }
    Some(Arc::new(built))
}

fn built_place(
    db: &dyn Db,
    workspace: Workspace,
    built: &Built,
    decl: &Vehicle,
    family_id: Id,
    place: &PlaceDecl,
    fillers: &std::collections::BTreeMap<Name, Vec<Id>>,
) -> BuiltPlace {
    let name = place.name.value.clone();
    let scope = scope_of(db, workspace, built.vehicle);
    let mut into = BuiltPlace {
        count: place.count,
        sides: place.sides,
        kind: place.kind.as_ref().and_then(|it| {
            let named = scope_of(db, workspace, family_id).find(Space::Kind, it.head());
            named.or_else(|| scope.find(Space::Kind, it.head()))
        }),
        zone: place.zone.as_ref().map(|it| it.head().clone()),
        site: family_id.site(place.name.span),
        exists: built.holds(place.with.as_ref()) != Some(false),
        holding: Holding::Unknown,
        how: How::Unsaid,
        doubtful: Vec::new(),
        name,
    };
    if let Some(has) = decl.has.iter().rev().find(|it| *it.place.head() == into.name) {
        let part = has.part.as_ref().map(|it| scope.find(Space::Part, it.head()));
        into.how = How::Has(built.vehicle.site(has.span));
        into.exists = has.part.is_some() || into.exists;
        into.holding = match part {
            None => Holding::Nothing,
            Some(Some(it)) => Holding::Part(it),
            Some(None) => Holding::Unknown,
        };
        return into;
    }
    if !into.exists {
        into.holding = Holding::Nothing;
        return into;
    }
    let mut sure: Vec<(Id, Site)> = Vec::new();
    for id in fillers.get(&into.name).into_iter().flatten() {
        let (mut best, mut doubt) = (None, None);
        for fitted in fitted_on(db, *id, &built.families, workspace) {
            let site = id.site(fitted.span);
            let dated = match built.built {
                Some(span) => inside(span, fitted.from, fitted.to),
                None if fitted.from.is_none() && fitted.to.is_none() => Inside::Yes,
                None => Inside::Partly,
            };
            match (dated, built.holds_all(&fitted.with)) {
                (Inside::No, _) | (_, Some(false)) => {}
                (Inside::Yes, Some(true)) => best = best.or(Some(site)),
                _ => doubt = doubt.or(Some(site)),
            }
        }
        let disputed = disputed(db, workspace, *id, built);
        match (best, doubt) {
            (Some(site), _) if !disputed => sure.push((*id, site)),
            (Some(site), _) | (None, Some(site)) => into.doubtful.push((*id, site)),
            (None, None) => {}
        }
    }
    match (sure.as_slice(), into.doubtful.as_slice()) {
        ([(only, site)], []) => {
            into.holding = Holding::Part(*only);
            into.how = How::Fitted(vec![*site]);
        }
        ([], []) => hollow(db, workspace, built, &mut into),
        _ => {
            let all: Vec<(Id, Site)> = sure.iter().chain(&into.doubtful).copied().collect();
            into.holding = Holding::Several(all.iter().map(|it| it.0).collect());
            into.how = How::Fitted(all.iter().map(|it| it.1).collect());
        }
    }
    into
}

/// The `fitted` lines of a part that speak of one of these families.
pub fn fitted_on<'db>(db: &'db dyn Db, id: Id, families: &[Id], workspace: Workspace) -> Vec<&'db Fitted> {
    let Some(goes) = goes(db, id.item).get(id.nth as usize).and_then(Option::as_ref) else {
        return Vec::new();
    };
    goes.fitted
        .iter()
        .filter(|fitted| match &fitted.family {
            Some(named) => {
                let found = scope_of(db, workspace, id).find(Space::Family, named.head());
                found.is_some_and(|it| families.contains(&it))
                    || families.iter().any(|it| it.name(db) == *named.head())
            }
            None => true,
        })
        .collect()
}

/// Whether sources give different windows for the same part and options, and they
/// differ on this vehicle.
pub fn disputed(db: &dyn Db, workspace: Workspace, id: Id, built: &Built) -> bool {
    contested(&fitted_on(db, id, &built.families, workspace), built)
}

/// Whether sources give different windows, and they differ on this vehicle.
pub fn contested(windows: &[&Fitted], built: &Built) -> bool {
    let Some(span) = built.built else { return false };
    let possible: Vec<&Fitted> =
        windows.iter().copied().filter(|it| built.holds_all(&it.with) != Some(false)).collect();
    rivals(&possible).iter().any(|(a, b)| {
        let both = [inside(span, a.from, a.to), inside(span, b.from, b.to)];
        both.contains(&Inside::Yes) && both.contains(&Inside::No)
    })
}

/// The pairs of windows in which different sources give different dates for the same run with
/// the same option.
pub fn rivals<'f>(windows: &[&'f Fitted]) -> Vec<(&'f Fitted, &'f Fitted)> {
    let mut pairs = Vec::new();
    for (nth, a) in windows.iter().enumerate() {
        for b in &windows[nth + 1..] {
            let differ = (a.from, a.to) != (b.from, b.to);
            if differ && same_option(a, b) && differs_in_source(a, b) && overlap(a, b) {
                pairs.push((*a, *b));
            }
        }
    }
    pairs
}

fn same_option(a: &Fitted, b: &Fitted) -> bool {
    let words = |it: &Fitted| {
        let mut all: Vec<_> =
            it.with.iter().map(|it| (it.option.value.clone(), it.value.value.clone())).collect();
        all.sort();
        all
    };
    words(a) == words(b)
}

fn differs_in_source(a: &Fitted, b: &Fitted) -> bool {
    let name = |it: &Fitted| it.claim.per.as_ref().map(Ref::text);
    name(a) != name(b)
}

/// Two windows about the same run overlap; windows that only meet are two runs.
fn overlap(a: &Fitted, b: &Fitted) -> bool {
    let first = |it: &Fitted| it.from.map(|it| days(it).0);
    let last = |it: &Fitted| it.to.map(|it| days(it).1);
    let before = |x: Option<Date>, y: Option<Date>| match (x, y) {
        (Some(x), Some(y)) => x < y,
        _ => false,
    };
    !before(last(a), first(b)) && !before(last(b), first(a))
}

/// The kind that the family expects in a place, as a hollow part.
fn hollow(db: &dyn Db, workspace: Workspace, built: &Built, into: &mut BuiltPlace) {
    for family_id in &built.families {
        let Some(decl) = family(db, *family_id) else { continue };
        for holds in decl.holds.iter().filter(|it| *it.place.head() == into.name) {
            if built.holds(holds.with.as_ref()) != Some(true) {
                continue;
            }
            if let Some(kind) = scope_of(db, workspace, *family_id).find(Space::Kind, holds.kind.head()) {
                into.holding = Holding::Hollow(kind);
                into.how = How::Holds;
                return;
            }
        }
    }
    // A scheme knows no parts; what its place is of is all that can be said.
    let scheme = built.families.iter().any(|it| family(db, *it).is_some_and(|it| it.scheme));
    if let (true, Some(kind)) = (scheme, into.kind) {
        into.holding = Holding::Hollow(kind);
        into.how = How::Holds;
    }
}
