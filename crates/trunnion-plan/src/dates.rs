//! For which build dates and options a conversion works, and what changes from one to the next.
//!
//! The build month and the options of the recipient are taken as unknown. The family's window is cut at
//! every date on which something changes over; in each span the whole of the specification is checked
//! anew, and equal neighbours become one. What is stated of the recipient itself (`has`, figures,
//! measurements) is kept as it is: a row says what it would be with that, and names it.

mod alike;
mod change_over;
mod variant;

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::Arc;

use jiff::civil::Date;
use trunnion_check::calendar::first_day;
use trunnion_check::run::verdicts_of_conversion;
use trunnion_model::built::{How, family, vehicle};
use trunnion_model::db::Host;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{World, conversion, world};
use trunnion_syntax::tree::Name;

use crate::money::{Total, cost};

use alike::Alike;
use variant::Variant;

/// The most sets of options that are all tried; beyond, each option is changed by itself.
const MOST_SETS: usize = 64;

/// The whole table of a conversion.
#[derive(Clone, Debug, PartialEq)]
pub struct Dates {
    /// The conversion's display name.
    pub title: String,
    /// The recipient's display name.
    pub recipient: String,
    /// The options of the recipient that are stated.
    pub stated: Options,
    /// What is stated of the recipient itself and so kept in every row, by place.
    pub kept: Vec<String>,
    /// Whether every set of options was tried; else each was changed by itself.
    pub whole: bool,
    /// The rows, the recipient's own options first, by date.
    pub rows: Vec<Row>,
}

/// A set of options: name and value.
pub type Options = Vec<(String, String)>;

/// A span of build dates in which everything is the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The first day.
    pub from: Date,
    /// The last day.
    pub to: Date,
    /// The options.
    pub options: Options,
    /// Whether the recipient's own build date and options lie in it.
    pub own: bool,
    /// What comes out of the places that change, and what stays in those that meet it, where it
    /// differs from row to row: place and part.
    pub sits: Vec<(String, String)>,
    /// What clashes: check, subject, sentence.
    pub clashes: Vec<Point>,
    /// What is open and was not accepted.
    pub open: Vec<Point>,
    /// Where sources disagree on this span: sentences.
    pub disputed: Vec<String>,
    /// What all that is bought costs then, by the cheapest way to the dearest.
    pub cost: Total,
    /// The places in which something else sits than in the row before, of the same options; also where those
    /// are not next to one another.
    pub changes: Vec<Change>,
}

/// A place that holds something else than in the row before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The place.
    pub place: String,
    /// What sat there before; none where the place was not there.
    pub was: Option<String>,
    /// What sits there now; none where the place is no longer there.
    pub is: Option<String>,
}

/// One verdict of a row.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Point {
    /// The check.
    pub check: String,
    /// What it is about.
    pub subject: String,
    /// The sentence.
    pub message: String,
}

impl Row {
    /// Whether nothing is known to clash. Open points stay open.
    pub fn works(&self) -> bool {
        self.clashes.is_empty()
    }

    fn same(&self, other: &Self) -> bool {
        let points = |it: &Self| (it.clashes.clone(), it.open.clone());
        self.options == other.options
            && self.sits == other.sits
            && self.disputed == other.disputed
            && self.cost == other.cost
            && points(self) == points(other)
    }
}

/// The table of a conversion. The host's text of the recipient is changed while it is made, and as it
/// was at the end. None where it is no conversion, or its recipient or family has no build window.
pub fn dates(host: &mut Host, id: Id, mut shown: impl FnMut(usize, usize) -> bool) -> Option<Dates> {
    let (db, workspace) = (host.db(), host.workspace());
    let first = world_of(host, id)?;
    let recipient = first.recipient.vehicle;
    let declared = vehicle(db, recipient)?;
    let cuts = change_over::spans(db, workspace, &first)?;
    let all = options(host, &first);
    let stated: Options =
        first.recipient.options.iter().map(|it| (it.0.to_string(), it.1.to_string())).collect();
    let (sets, whole) = sets(&stated, &all);
    let own = declared.built.as_ref().map(|it| first_day(it.0.value));
    let kept = kept(db, &first);
    let title = id.shown(db);
    let recipient_shown = recipient.shown(db);
    let variant = Variant::of(host, recipient)?;
    let worlds = worlds(host, id);
    let alike = Alike::of(db, workspace, &worlds.iter().map(|it| &**it).collect::<Vec<_>>());
    let mut known: BTreeMap<Vec<u8>, Row> = BTreeMap::new();
    let mut rows: Vec<Row> = Vec::new();
    let total = sets.len() * cuts.len();
    'sets: for (nth, set) in sets.iter().enumerate() {
        for (cut, (from, to)) in cuts.iter().enumerate() {
            if !shown(nth * cuts.len() + cut, total) {
                break 'sets;
            }
            // What cannot be told from a span that was checked is as that one is.
            let mut row = match known.entry(alike.key(*from, set)) {
                Entry::Occupied(it) => {
                    Row { from: *from, to: *to, options: set.clone(), own: false, ..it.get().clone() }
                }
                Entry::Vacant(it) => {
                    variant.put(host, (*from, *to), set);
                    it.insert(row(host, id, *from, *to, set)).clone()
                }
            };
            row.own = *set == stated && own.is_some_and(|it| *from <= it && it <= *to);
            rows.push(row);
        }
    }
    variant.restore(host);
    keep_what_differs(&mut rows);
    let mut rows = merged(rows);
    name_changes(&mut rows);
    Some(Dates { title, recipient: recipient_shown, stated, kept, whole, rows })
}

/// The world by each way; by the only one where there are no ways.
fn worlds(host: &Host, id: Id) -> Vec<Arc<World>> {
    let (db, workspace) = (host.db(), host.workspace());
    let ways: Vec<Option<u32>> = match conversion(db, id).map_or(0, |it| it.ways.len()) {
        0 => vec![None],
        many => (0..many as u32).map(Some).collect(),
    };
    ways.into_iter().filter_map(|way| world(db, workspace, id.item, id.nth, way)).collect()
}

fn world_of(host: &Host, id: Id) -> Option<Arc<World>> {
    let (db, workspace) = (host.db(), host.workspace());
    let way = conversion(db, id).filter(|it| !it.ways.is_empty()).map(|_| 0);
    world(db, workspace, id.item, id.nth, way)
}

/// Every option of the recipient's family with the values it may take.
fn options(host: &Host, world: &World) -> BTreeMap<Name, Vec<Name>> {
    let mut all: BTreeMap<Name, Vec<Name>> = BTreeMap::new();
    for id in &world.recipient.families {
        for (name, values) in family(host.db(), *id).into_iter().flat_map(|it| &it.options) {
            all.entry(name.value.clone())
                .or_insert_with(|| values.iter().map(|it| it.value.clone()).collect());
        }
    }
    all
}

/// The sets of options to try, the stated one first.
fn sets(stated: &Options, all: &BTreeMap<Name, Vec<Name>>) -> (Vec<Options>, bool) {
    let with = |set: &Options, name: &str, value: &str| {
        let mut set: Options = set.iter().filter(|it| it.0 != name).cloned().collect();
        set.push((name.to_owned(), value.to_owned()));
        set.sort();
        set
    };
    let mut stated = stated.clone();
    stated.sort();
    let product: usize = all.values().map(|it| it.len().max(1)).fold(1, usize::saturating_mul);
    let mut sets = vec![stated.clone()];
    if product <= MOST_SETS {
        for (name, values) in all {
            sets = sets.iter().flat_map(|set| values.iter().map(|it| with(set, name, it))).collect();
        }
    } else {
        let one = all.iter().flat_map(|(name, values)| values.iter().map(move |it| (name, it)));
        sets.extend(one.map(|(name, value)| with(&stated, name, value)));
    }
    sets.sort();
    sets.dedup();
    sets.sort_by_key(|it| *it != stated);
    if !sets.contains(&stated) {
        sets.insert(0, stated);
    }
    (sets, product <= MOST_SETS)
}

/// What the recipient itself states of its places.
fn kept(db: &dyn trunnion_model::db::Db, world: &World) -> Vec<String> {
    let has = world.recipient.places.iter().filter(|it| matches!(it.how, How::Has(_)));
    let mut kept: Vec<String> = has.map(|it| it.name.replace('_', " ")).collect();
    let figures = vehicle(db, world.recipient.vehicle).map(|it| it.figures.as_slice()).unwrap_or_default();
    kept.extend(figures.iter().filter_map(|it| Some(it.target.first()?.value.replace('_', " "))));
    kept.sort();
    kept.dedup();
    kept
}

fn row(host: &Host, id: Id, from: Date, to: Date, options: &Options) -> Row {
    let (db, workspace) = (host.db(), host.workspace());
    let verdicts = verdicts_of_conversion(db, workspace, id);
    // The span that was tried is no part of what is said: neighbours that say the same are one.
    let tried = [format!("built between {from} and {to}"), format!("built {from}")];
    let without = |it: &str| it.replace(&tried[0], "built then").replace(&tried[1], "built then");
    let point = |it: &Verdict| Point {
        check: it.check.to_owned(),
        subject: it.subject.clone(),
        message: without(&it.message),
    };
    let points = |outcome: Outcome| {
        let of = verdicts.iter().filter(|it| it.outcome == outcome && it.accepted.is_none());
        let mut points: Vec<Point> = of.map(point).collect();
        points.sort();
        points.dedup();
        points
    };
    let disputed = verdicts.iter().filter(|it| it.check == "build/disagree");
    let mut disputed: Vec<String> = disputed
        .filter(|it| !matches!(it.outcome, Outcome::Clear(_)))
        .map(|it| without(&it.message))
        .collect();
    disputed.dedup();
    Row {
        from,
        to,
        options: options.clone(),
        own: false,
        sits: sits(host, id),
        clashes: points(Outcome::Clash),
        open: points(Outcome::Open),
        disputed,
        cost: cost_of(host, id),
        changes: Vec::new(),
    }
}

/// What is bought, by the cheapest way to the dearest.
fn cost_of(host: &Host, id: Id) -> Total {
    let (db, workspace) = (host.db(), host.workspace());
    let each: Vec<Total> = worlds(host, id).iter().map(|it| cost(db, workspace, it)).collect();
    Total::one_of(&each)
}

/// What sits in each place of the recipient as built, and what kind of loom is there.
fn sits(host: &Host, id: Id) -> Vec<(String, String)> {
    use trunnion_model::built::Holding;
    let db = host.db();
    let Some(world) = world_of(host, id) else { return Vec::new() };
    let named = |holding: &Holding| match holding {
        Holding::Nothing => "nothing".to_owned(),
        Holding::Unknown => "unknown".to_owned(),
        Holding::Hollow(kind) => format!("an unknown {}", kind.shown(db)),
        Holding::Part(it) => it.shown(db),
        Holding::Several(all) | Holding::Choice(all) => {
            all.iter().map(|it| it.shown(db)).collect::<Vec<_>>().join(" or ")
        }
    };
    let mut all: Vec<(String, String)> =
        world.places.iter().map(|it| (it.shown(), named(&it.before))).collect();
    let mut looms: Vec<String> = world.wires.iter().map(|it| it.id).filter_map(|it| loom(host, it)).collect();
    looms.sort();
    looms.dedup();
    all.push(("looms".to_owned(), if looms.is_empty() { "none known".to_owned() } else { looms.join(", ") }));
    all
}

fn loom(host: &Host, id: Id) -> Option<String> {
    let decl = id.decl(host.db())?;
    (Space::of(&decl.body) == Some(Space::Loom)).then(|| id.shown(host.db()))
}

/// Leaves in each row only those places in which the rows differ.
fn keep_what_differs(rows: &mut [Row]) {
    let mut seen: BTreeMap<String, std::collections::BTreeSet<String>> = BTreeMap::new();
    for (place, part) in rows.iter().flat_map(|it| &it.sits) {
        seen.entry(place.clone()).or_default().insert(part.clone());
    }
    let present = rows.len();
    let in_all: BTreeMap<String, usize> =
        rows.iter().flat_map(|it| &it.sits).fold(BTreeMap::new(), |mut all, it| {
            *all.entry(it.0.clone()).or_default() += 1;
            all
        });
    let differs = |place: &String| {
        seen.get(place).is_some_and(|it| it.len() > 1) || in_all.get(place) != Some(&present)
    };
    for row in rows {
        row.sits.retain(|it| differs(&it.0));
    }
}

/// Neighbours that are equal become one.
fn merged(rows: Vec<Row>) -> Vec<Row> {
    let mut merged: Vec<Row> = Vec::new();
    for row in rows {
        match merged.last_mut().filter(|last| last.same(&row) && last.to < row.from) {
            Some(last) => {
                last.to = row.to;
                last.own |= row.own;
            }
            None => merged.push(row),
        }
    }
    merged
}

/// Says of each row what sits there instead of what sat there in the row before.
fn name_changes(rows: &mut [Row]) {
    for nth in 1..rows.len() {
        let (before, here) = (&rows[nth - 1], &rows[nth]);
        if before.options != here.options {
            continue;
        }
        let of = |row: &Row, place: &str| row.sits.iter().find(|it| it.0 == place).map(|it| it.1.clone());
        let mut changes = Vec::new();
        for (place, is) in &here.sits {
            let was = of(before, place);
            if was.as_ref() != Some(is) {
                changes.push(Change { place: place.clone(), was, is: Some(is.clone()) });
            }
        }
        for (place, was) in before.sits.iter().filter(|it| of(here, &it.0).is_none()) {
            changes.push(Change { place: place.clone(), was: Some(was.clone()), is: None });
        }
        rows[nth].changes = changes;
    }
}
