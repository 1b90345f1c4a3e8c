//! The ways of a conversion side by side: what each costs, how long it waits, what it leaves open, and
//! what it closes off.

use std::collections::BTreeMap;

use trunnion_check::awaited::{awaited, told};
use trunnion_check::bill;
use trunnion_check::ctx::Ctx;
use trunnion_check::run::of_world;
use trunnion_check::works::works;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::decl::Verb;
use trunnion_model::fact::Found;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Outcome};
use trunnion_model::world::{Place, World, conversion, world};

use crate::money::{Money, of_world as money_of_world, way_shown};

/// The ways of a conversion.
#[derive(Clone, Debug, PartialEq)]
pub struct Ways {
    /// The conversion's display name.
    pub title: String,
    /// Each way; a conversion without ways is one.
    pub ways: Vec<Way>,
    /// Where they differ: what one row names has something for each way.
    pub differs: Vec<Difference>,
    /// What all of them close off.
    pub closed_by_all: Vec<Closed>,
}

/// One way.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// Its name in the specification; none where the conversion has no ways.
    pub name: Option<String>,
    /// As it is shown.
    pub shown: String,
    /// What it costs and what of it is paid.
    pub money: Money,
    /// The longest wait of what has not come yet.
    pub wait: Option<Wait>,
    /// What is bought and of which nobody said how long it takes.
    pub unknown_waits: Vec<String>,
    /// The work that is not done yet, added up.
    pub work: Option<Quantity>,
    /// How many pieces of work that are.
    pub pieces: usize,
    /// The work of which nobody said how long it takes.
    pub untimed: Vec<String>,
    /// The mass of what is fitted less that of what is taken out, as far as both are known.
    pub mass: Option<Quantity>,
    /// What comes or goes and of which nobody stated the mass.
    pub unknown_masses: Vec<String>,
    /// How many points clash.
    pub clashes: usize,
    /// How many points are open for each gate.
    pub open: Vec<(Gate, usize)>,
    /// What it closes off and another way does not.
    pub closes: Vec<Closed>,
    /// What the other ways would still allow once this one is carried out.
    pub then: Vec<Then>,
}

/// The longest wait.
#[derive(Clone, Debug, PartialEq)]
pub struct Wait {
    /// What is waited for.
    pub what: String,
    /// How long; of several parts that may be taken the one that comes soonest.
    pub soonest: Quantity,
    /// The one that comes last.
    pub latest: Quantity,
    /// Where it is stated.
    pub rests: Vec<Found>,
}

/// Why there is no way back behind something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// It is cut, drilled or welded.
    Cut,
    /// The work says that there is no way back.
    NoWayBack,
    /// A donor's part that is there once.
    Taken,
    /// It was sold.
    Sold,
}

/// Something that is closed off.
#[derive(Clone, Debug, PartialEq)]
pub struct Closed {
    /// What, as a sentence part: "the selector hole of the body is cut"; of what is taken "the gearbox of the
    /// donor".
    pub what: String,
    /// Why.
    pub why: Why,
    /// The statement.
    pub site: Site,
    /// By which two ways are compared: what is closed, and for a taken part where it goes.
    key: (String, String),
}

/// What becomes of another way.
#[derive(Clone, Debug, PartialEq)]
pub struct Then {
    /// The other way, as it is shown.
    pub way: String,
    /// What stands against it; empty where it stays possible.
    pub against: Vec<String>,
    /// What would have to be bought for it beside what is bought by this way.
    pub buys: Vec<String>,
}

/// A place or part in which ways differ.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// What: "the air cooler", "rear seal".
    pub what: String,
    /// For each way, in order, what is there.
    pub each: Vec<String>,
}

/// The ways of a conversion. None where it is none or has no recipient.
pub fn ways(db: &dyn Db, workspace: Workspace, id: Id) -> Option<Ways> {
    let decl = conversion(db, id)?;
    let numbers: Vec<Option<u32>> = match decl.ways.len() {
        0 => vec![None],
        many => (0..many as u32).map(Some).collect(),
    };
    let worlds: Vec<_> =
        numbers.iter().map(|it| world(db, workspace, id.item, id.nth, *it)).collect::<Option<_>>()?;
    let closed: Vec<Vec<Closed>> =
        worlds.iter().map(|it| closes(&Ctx { db, workspace, world: it })).collect();
    let of_all = |it: &&Closed| closed.iter().all(|all| all.iter().any(|other| other.key == it.key));
    let closed_by_all = closed.first().into_iter().flatten().filter(of_all).cloned().collect();
    let mut ways = Vec::new();
    for (nth, (number, world)) in numbers.iter().zip(&worlds).enumerate() {
        let mut way = one(db, workspace, id, *number, world);
        way.closes = closed[nth].iter().filter(|it| !of_all(it)).cloned().collect();
        ways.push(way);
    }
    for nth in 0..ways.len() {
        let others = (0..ways.len()).filter(|it| *it != nth);
        ways[nth].then = others.map(|other| then(db, &ways, &closed, &worlds[other], nth, other)).collect();
    }
    let differs = differences(db, workspace, &worlds, &ways);
    Some(Ways { title: id.shown(db), ways, differs, closed_by_all })
}

fn one(db: &dyn Db, workspace: Workspace, id: Id, number: Option<u32>, world: &World) -> Way {
    let ctx = Ctx { db, workspace, world };
    let verdicts = of_world(db, workspace, id, number);
    let open: Vec<_> =
        verdicts.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none()).collect();
    let at = |gate: Gate| open.iter().filter(|it| gate_of(it) == gate).count();
    let (wait, unknown_waits) = waits(&ctx);
    let (mut work, mut untimed) = (None::<Quantity>, Vec::new());
    let jobs = works(&ctx);
    let left: Vec<_> = jobs.iter().filter(|it| it.done.is_none()).collect();
    for job in &left {
        match job.work.takes {
            Some(takes) => work = Some(work.map_or(takes, |it| it.add(&takes).unwrap_or(it))),
            None => untimed.push(job.shown(&ctx)),
        }
    }
    let (mass, unknown_masses) = masses(&ctx);
    Way {
        name: world.way.as_ref().map(ToString::to_string),
        shown: way_shown(db, world).unwrap_or_else(|| id.shown(db)),
        money: money_of_world(db, workspace, world),
        wait,
        unknown_waits,
        work: work.and_then(|it| it.shown_in("h").ok()),
        pieces: left.len(),
        untimed,
        mass,
        unknown_masses,
        clashes: verdicts.iter().filter(|it| it.outcome == Outcome::Clash).count(),
        open: Gate::ALL.map(|gate| (gate, at(gate))).to_vec(),
        closes: Vec::new(),
        then: Vec::new(),
    }
}

/// The gate before which an open point must be settled; one that names none counts for the first.
pub(crate) fn gate_of(verdict: &trunnion_model::verdict::Verdict) -> Gate {
    verdict.question.as_ref().map_or(Gate::Buying, |it| it.gate)
}

/// The longest wait of what has not come, and what nobody said how long it takes.
fn waits(ctx: &Ctx<'_>) -> (Option<Wait>, Vec<String>) {
    let mut by_place: BTreeMap<String, Wait> = BTreeMap::new();
    let mut unknown = Vec::new();
    for it in awaited(ctx) {
        if it.here || told(ctx, &it.names).arrived.is_some() {
            continue;
        }
        let Some(time) = it.wait else {
            unknown.push(it.shown.clone());
            continue;
        };
        let place = it.names.get(1).filter(|it| !it.is_empty()).unwrap_or(&it.names[0]).clone();
        match by_place.get_mut(&place) {
            Some(wait) => {
                // Of several one will be taken: the soonest or the last of them.
                if time.lo() < wait.soonest.lo() {
                    wait.soonest = time;
                }
                if time.hi() > wait.latest.hi() {
                    wait.latest = time;
                }
                wait.what = format!("the {}", place.replace('_', " "));
                wait.rests.push(it.stated);
            }
            None => {
                let (soonest, latest) = (time, time);
                by_place.insert(place, Wait { what: it.shown, soonest, latest, rests: vec![it.stated] });
            }
        }
    }
    let longest = by_place.into_values().fold(None, |longest: Option<Wait>, it| match longest {
        Some(last) if last.latest.hi() >= it.latest.hi() => Some(last),
        _ => Some(it),
    });
    (longest, unknown)
}

/// What comes less what goes, where a mass is stated; and what of it nobody stated.
fn masses(ctx: &Ctx<'_>) -> (Option<Quantity>, Vec<String>) {
    let (mut sum, mut unknown) = (None::<Quantity>, Vec::new());
    let mut put = |mass: Option<Quantity>| {
        if let Some(mass) = mass {
            sum = Some(sum.map_or(mass, |it| it.add(&mass).unwrap_or(it)));
        }
    };
    for place in ctx.world.places.iter().filter(|it| it.changed()) {
        let count = Quantity::number(f64::from(place.count)).ok();
        let times = |it: Quantity| count.and_then(|count| it.mul(&count).ok());
        let comes = place.after.is_filled().then(|| ctx.fact(place, "mass").quantity());
        let goes = place.before.is_filled().then(|| ctx.fact_before(place, "mass").quantity());
        put(comes.flatten().and_then(times));
        put(goes.flatten().and_then(times).and_then(|it| it.neg().ok()));
        if comes == Some(None) {
            unknown.push(format!("the {} that comes", place.shown()));
        }
        if goes == Some(None) {
            unknown.push(format!("the {} that goes", place.shown()));
        }
    }
    (sum.and_then(|it| it.shown_in("kg").ok()), unknown)
}

/// What a way closes off, in the order: cut, work without a way back, taken, sold.
fn closes(ctx: &Ctx<'_>) -> Vec<Closed> {
    let mut all: Vec<Closed> = Vec::new();
    let Some(id) = ctx.world.conversion else { return all };
    for change in &ctx.world.changes {
        if let Verb::Cut { what, reason } = &change.verb {
            let reason = reason.as_ref().map(|it| format!(": {it}")).unwrap_or_default();
            let shown = match what.second() {
                Some(end) => {
                    format!("the {} of the {}", end.replace('_', " "), what.head().replace('_', " "))
                }
                None => format!("the {}", what.head().replace('_', " ")),
            };
            let key = (format!("cut {}", what.text()), String::new());
            all.push(Closed {
                what: format!("{shown} is cut{reason}"),
                why: Why::Cut,
                site: id.site(change.span),
                key,
            });
        }
    }
    for job in works(ctx).iter().filter(|it| it.work.no_way_back) {
        let key = (format!("work {}", job.name), String::new());
        all.push(Closed { what: job.shown(ctx), why: Why::NoWayBack, site: job.site(ctx), key });
    }
    for place in &ctx.world.places {
        for done in &place.done {
            let Some(donor) = done.donor else { continue };
            let part = donor_part(ctx, place, donor);
            let what = format!("the {} of {}", place.shown(), named(&donor.shown(ctx.db)));
            let key = (format!("{} of {}", part, donor.name(ctx.db)), place.name.to_string());
            all.push(Closed { what, why: Why::Taken, site: done.site, key });
        }
    }
    for sale in bill::sold(ctx) {
        let what = format!("{} is sold", sale.what.replace('_', " "));
        all.push(Closed { what, why: Why::Sold, site: sale.found.site, key: (sale.what, String::new()) });
    }
    all
}

/// A vehicle in a sentence: "the donor", and its name where it has an article or none of its own.
fn named(shown: &str) -> String {
    if shown.starts_with("the ") || shown.starts_with("a ") {
        shown.to_owned()
    } else {
        format!("the {shown}")
    }
}

/// What is taken out of a donor: the part that sits in its place, else the place.
fn donor_part(ctx: &Ctx<'_>, place: &Place, donor: Id) -> String {
    let built = ctx.world.donors.iter().find(|it| it.vehicle == donor);
    let part = place.after.part().filter(|id| {
        built.is_some_and(|it| it.places.iter().any(|there| there.holding.parts().contains(id)))
    });
    part.map_or_else(|| place.name.to_string(), |it| it.name(ctx.db).to_string())
}

/// What becomes of another way once this one is carried out.
fn then(db: &dyn Db, ways: &[Way], closed: &[Vec<Closed>], there: &World, this: usize, other: usize) -> Then {
    // What is sold cannot stay where the other way leaves it.
    let keeps = |name: &str| {
        let named = |it: &&Place| it.name == name || it.before.part().is_some_and(|id| *id.name(db) == *name);
        there.places.iter().find(named).is_some_and(|it| !it.changed())
    };
    let mut against = Vec::new();
    for it in &closed[this] {
        let same = closed[other].iter().any(|its| its.key == it.key);
        let stands = match it.why {
            // What the other way leaves whole is not whole any more.
            Why::Cut | Why::NoWayBack => !same,
            // A part that the other way wants elsewhere sits here now; it can be moved, but is there once.
            Why::Taken => {
                !same && closed[other].iter().any(|its| its.why == Why::Taken && its.key.0 == it.key.0)
            }
            Why::Sold => keeps(&it.key.0),
        };
        if stands {
            against.push(it.what.clone());
        }
    }
    let known: Vec<(&str, Site)> =
        ways[this].money.lines.iter().map(|it| (it.what.as_str(), it.site)).collect();
    let new = ways[other].money.lines.iter().filter(|it| !known.contains(&(it.what.as_str(), it.site)));
    Then { way: ways[other].shown.clone(), against, buys: new.map(|it| it.what.clone()).collect() }
}

/// The places and parts in which the ways differ.
fn differences(
    db: &dyn Db,
    workspace: Workspace,
    worlds: &[std::sync::Arc<World>],
    ways: &[Way],
) -> Vec<Difference> {
    let mut rows: Vec<(String, Vec<String>)> = Vec::new();
    let mut places: Vec<&str> = Vec::new();
    for place in worlds.iter().flat_map(|it| &it.places) {
        if !places.contains(&place.name.as_str()) {
            places.push(&place.name);
        }
    }
    for name in places {
        let sits = |world: &World| match world.place(name) {
            Some(place) => sits(&Ctx { db, workspace, world }, place),
            None => "no such place".to_owned(),
        };
        rows.push((format!("the {}", name.replace('_', " ")), worlds.iter().map(|it| sits(it)).collect()));
    }
    // What is bought beside the places: services, caps, seals.
    let mut bought: Vec<(&str, Site)> = Vec::new();
    for line in ways.iter().flat_map(|it| &it.money.lines).filter(|it| !it.what.starts_with("the ")) {
        if !bought.contains(&(line.what.as_str(), line.site)) {
            bought.push((line.what.as_str(), line.site));
        }
    }
    for (what, site) in bought {
        let has = |way: &Way| way.money.lines.iter().any(|it| it.what == what && it.site == site);
        let each = ways.iter().map(|it| if has(it) { "yes" } else { "no" }.to_owned()).collect();
        rows.push((what.to_owned(), each));
    }
    let differ = |it: &(String, Vec<String>)| it.1.iter().any(|other| *other != it.1[0]);
    rows.into_iter().filter(differ).map(|(what, each)| Difference { what, each }).collect()
}

fn sits(ctx: &Ctx<'_>, place: &Place) -> String {
    let what = ctx.holding_shown(&place.after, place);
    match place.done.last() {
        Some(done) => match done.donor {
            Some(donor) => format!("{what}, from {}", named(&donor.shown(ctx.db))),
            None => format!("{what} ({})", done.verb),
        },
        None => format!("{what}, as built"),
    }
}

#[cfg(test)]
mod tests;
