//! The order of work: what is done when, what it waits for, what can be done meanwhile, what is open then.
//!
//! Time is counted in minutes of work from the day on which all is ordered that is not ordered yet (the
//! newest day of the log where there is one); no clock is read. A day of work is [`DAY`] unless said otherwise,
//! so that what arrives after so many days can be worked on from the start of that day.

mod access;
pub(crate) mod arrival;
pub mod hands;
mod overnight;
pub(crate) mod placing;
mod search;

use std::collections::BTreeMap;

use trunnion_check::checks::work_order::sequence::{Before, Why, assumed, edges, ring};
use trunnion_check::ctx::{Ctx, listed};
use trunnion_check::run::of_world;
use trunnion_check::works::{Job, works};
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::{Db, Site, Workspace};
use trunnion_model::known;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_model::world::{conversion, world};
use trunnion_syntax::tree::{Date, Name};

use crate::critical_path::Times;
use hands::{Piece, Timetable, Trouble, timetable};

pub use access::{Access, Also};
pub use arrival::Arrival;

/// A day of work in minutes: 8 h. Common practice, no source.
pub const DAY: u64 = 8 * 60;

/// What the order is made for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Options {
    /// How many minutes of a day are worked; at least 1.
    pub day: u64,
    /// How many people there are; none means as many as the piece that needs most.
    pub hands: Option<u32>,
    /// What was picked where the conversion leaves a choice, by place: the others are not waited for.
    pub picked: BTreeMap<Name, Id>,
}

impl Default for Options {
    fn default() -> Self {
        Self { day: DAY, hands: None, picked: BTreeMap::new() }
    }
}

/// The order of work of a conversion by one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Order {
    /// The way, where there are several.
    pub way: Option<String>,
    /// What is to be done, in the order in which it is begun.
    pub items: Vec<Item>,
    /// What the log says is done, with the day.
    pub done: Vec<(String, Date)>,
    /// What is waited for, soonest first; what nobody knows the time of last.
    pub waits: Vec<Wait>,
    /// What is opened.
    pub accesses: Vec<Access>,
    /// When the last is finished, in minutes of work.
    pub length: u64,
    /// The same by the critical path alone, as if there were any number of hands.
    pub path: u64,
    /// No order with these hands is shorter.
    pub bound: u64,
    /// Whether something is unknown that can only make it longer: the length is at least this.
    pub at_least: bool,
    /// Minutes of work in a day.
    pub day: u64,
    /// How many people are counted on.
    pub hands: u32,
    /// The pieces for which more people must come than there are, with how many they need.
    pub help: Vec<(String, u32)>,
    /// What nobody has said, as sentences.
    pub unknown: Vec<String>,
    /// What is wrong with the order, as the checks say it; in a ring there are no items.
    pub trouble: Vec<String>,
    /// The newest day of the log: time is counted from there, else from the day of ordering.
    pub from: Option<Date>,
}

/// One piece of work to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its name.
    pub name: String,
    /// As it is shown.
    pub shown: String,
    /// Where it is declared.
    pub site: Site,
    /// How many minutes it takes, at the most; none where nobody said so.
    pub takes: Option<u64>,
    /// How many people it needs; none where nobody said so: one is counted.
    pub hands: Option<u32>,
    /// When it is done. What nobody knows is counted as nothing.
    pub times: Times,
    /// Its earliest start with any number of hands.
    pub soonest: u64,
    /// What must come before it, by place in the items, and why in words.
    pub after: Vec<(usize, String)>,
    /// Whose people do it next: pieces that hold it up only for want of hands, by place in the items.
    pub held: Vec<usize>,
    /// The parts it needs.
    pub arrivals: Vec<Arrival>,
    /// Whether it cuts, drills, welds or seals.
    pub no_way_back: bool,
    /// What is not settled before there is no way back.
    pub unsettled: Option<String>,
    /// What must hold before it and does not, or is not known to.
    pub needs: Vec<String>,
    /// The accesses in which it is reached.
    pub reached_in: Vec<String>,
    /// What stands open, or cannot be used, when it is stopped after this piece.
    pub overnight: String,
    /// The cautions: the word and the sentence.
    pub cautions: Vec<(String, String)>,
    /// Tightening torques: what, how much, by which source.
    pub torques: Vec<(String, String, String)>,
}

impl Item {
    /// Whether any delay of it makes the whole later.
    pub fn is_critical(&self) -> bool {
        self.times.is_critical()
    }
}

/// A wait for a part, or for what a service needs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wait {
    /// For what.
    pub arrival: Arrival,
    /// From when on it can be worked on, in minutes of work.
    pub ready: Option<u64>,
    /// The pieces that wait for it.
    pub holds: Vec<String>,
    /// What can be done meanwhile, in order.
    pub meanwhile: Vec<String>,
    /// How many minutes of work are left over until then with nothing to do.
    pub idle: u64,
}

/// The order of work of a conversion by one of its ways. None where it is no conversion or has no recipient.
pub fn order(
    db: &dyn Db,
    workspace: Workspace,
    id: Id,
    way: Option<u32>,
    options: &Options,
) -> Option<Order> {
    conversion(db, id)?;
    let world = world(db, workspace, id.item, id.nth, way)?;
    let ctx = Ctx { db, workspace, world: &world };
    let verdicts = of_world(db, workspace, id, way);
    let all = works(&ctx);
    let mut before = edges(&all);
    if ring(&all, &before).is_none() {
        before.extend(assumed(&all, &before));
    }
    let expected = arrival::Expected::of(&ctx, &options.picked);
    let mut order = Order {
        way: world.way.as_ref().map(|it| it.replace('_', " ")),
        items: Vec::new(),
        done: all.iter().filter_map(|it| Some((it.shown(&ctx), it.done?))).collect(),
        waits: Vec::new(),
        accesses: access::accesses(&ctx, &all, &verdicts),
        length: 0,
        path: 0,
        bound: 0,
        at_least: false,
        day: options.day.max(1),
        hands: 1,
        help: Vec::new(),
        unknown: Vec::new(),
        trouble: Vec::new(),
        from: expected.newest(),
    };
    for verdict in verdicts.iter().filter(|it| it.check == "work/order" && it.accepted.is_none()) {
        match verdict.outcome {
            Outcome::Clash => order.trouble.push(verdict.message.clone()),
            Outcome::Open => order.unknown.push(verdict.message.clone()),
            Outcome::Clear(_) => {}
        }
    }
    let left: Vec<usize> = (0..all.len()).filter(|it| all[*it].done.is_none()).collect();
    let mut items: Vec<Item> =
        left.iter().map(|nth| item(&ctx, &all, *nth, &left, &before, &expected, &verdicts)).collect();
    fill(&mut order, &mut items, options);
    Some(order)
}

/// One piece, not yet in its place.
fn item(
    ctx: &Ctx<'_>,
    all: &[Job<'_>],
    nth: usize,
    left: &[usize],
    before: &[Before],
    expected: &arrival::Expected<'_>,
    verdicts: &[Verdict],
) -> Item {
    let job = &all[nth];
    let after = before.iter().filter(|it| it.then == nth).filter_map(|edge| {
        let at = left.iter().position(|it| *it == edge.first)?;
        let first = all[edge.first].shown(ctx);
        let why = match &edge.why {
            Why::After => first,
            Why::Opens(access) => format!("{first}, which opens {}", access.replace('_', " ")),
            Why::Seals(access) => format!("{first}, before {} is sealed", access.replace('_', " ")),
            Why::Apart(place) => {
                format!("{first}, which takes the {} apart (nobody has said so)", place.replace('_', " "))
            }
        };
        Some((at, why))
    });
    let mut waited: Vec<(usize, String)> = Vec::new();
    for (at, why) in after {
        if !waited.iter().any(|it| it.0 == at) {
            waited.push((at, why));
        }
    }
    let needs = verdicts.iter().filter(|it| {
        let own = it.check == "work/order" && it.subject == format!("{}.needs", job.name);
        own && !matches!(it.outcome, Outcome::Clear(_)) && it.accepted.is_none()
    });
    Item {
        name: job.name.clone(),
        shown: job.shown(ctx),
        site: job.site(ctx),
        takes: job.work.takes.as_ref().and_then(minutes),
        hands: job.work.hands,
        times: Times::default(),
        soonest: 0,
        after: waited,
        held: Vec::new(),
        arrivals: expected.by(ctx, job),
        no_way_back: job.work.no_way_back,
        unsettled: unsettled(job, verdicts).filter(|_| job.work.no_way_back),
        needs: needs.map(|it| it.message.clone()).collect(),
        reached_in: job.work.reached_in.iter().map(|it| it.value.replace('_', " ")).collect(),
        overnight: overnight::stands(ctx, job),
        cautions: overnight::cautions(ctx, job),
        torques: torques(ctx, job),
    }
}

/// The most minutes of a time, rounded up.
pub(crate) fn minutes(time: &Quantity) -> Option<u64> {
    let most = time.ends_in("min")?[2].ceil();
    // A piece of work of ten years is none.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    (0.0..5_256_000.0).contains(&most).then_some(most as u64)
}

/// Minutes in words: "14 h 35 min".
pub fn hours(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// What work/no-return says of this piece, or of the cut at a place it works on.
fn unsettled(job: &Job<'_>, verdicts: &[Verdict]) -> Option<String> {
    let about = verdicts.iter().filter(|it| {
        let place = it.subject.split(['.', '[']).next().unwrap_or_default();
        it.subject == job.name || job.work.on.iter().any(|on| on.head() == place)
    });
    let said = about.filter(|it| it.check == "work/no-return" && it.accepted.is_none());
    let mut waiting = said.filter(|it| !matches!(it.outcome, Outcome::Clear(_)));
    waiting.next().map(|it| it.message.clone())
}

fn torques(ctx: &Ctx<'_>, job: &Job<'_>) -> Vec<(String, String, String)> {
    let torques = job.work.torques.iter().map(|it| {
        let source = match &it.claim.per {
            Some(_) => known::said(ctx.db, ctx.workspace, job.id, &it.claim, it.span).source,
            None => "no source named".to_owned(),
        };
        (it.what.to_string(), it.torque.display(), source)
    });
    torques.collect()
}

/// Gives each piece its time, and tells what is waited for.
fn fill(order: &mut Order, items: &mut [Item], options: &Options) {
    let most = items.iter().map(|it| it.hands.unwrap_or(1)).max().unwrap_or(1).max(1);
    order.hands = options.hands.unwrap_or(most).max(1);
    let pieces: Vec<Piece> = items
        .iter()
        .map(|it| Piece {
            takes: it.takes.unwrap_or(0),
            // Where more are needed than there are, all of them are at it, and others come to help.
            hands: it.hands.unwrap_or(1).clamp(1, order.hands),
            after: it.after.iter().map(|it| it.0).collect(),
            not_before: it.arrivals.iter().filter_map(|it| it.ready(order.day)).max().unwrap_or(0),
        })
        .collect();
    for item in items.iter() {
        if let Some(needed) = item.hands.filter(|it| *it > order.hands) {
            order.help.push((item.shown.clone(), needed));
        }
    }
    tell_unknown(order, items);
    let made = match timetable(&pieces, order.hands) {
        Ok(made) => made,
        // The check has told the ring; no piece asks for more hands than there are.
        Err(Trouble::Ring(_) | Trouble::Hands(_)) => return,
    };
    let made = undone_first(&pieces, items, order.hands, made);
    (order.length, order.path, order.bound) = (made.finish, made.path, made.bound);
    let mut place = vec![0; items.len()];
    for (at, nth) in made.order.iter().enumerate() {
        place[*nth] = at;
    }
    for nth in &made.order {
        let mut item = items[*nth].clone();
        item.times = made.times[*nth];
        item.soonest = made.soonest[*nth];
        item.held = made.held[*nth]
            .iter()
            .filter(|it| !item.after.iter().any(|(at, _)| at == *it))
            .map(|it| place[*it])
            .collect();
        for (at, _) in &mut item.after {
            *at = place[*at];
        }
        order.items.push(item);
    }
    order.waits = waits(&order.items, order.day);
    // What is done in an access is told in the order in which it is done; what is done already comes first.
    let place = |it: &String| order.items.iter().position(|item| item.shown == *it);
    for access in &mut order.accesses {
        access.inside.sort_by_key(place);
    }
}

/// What can be undone comes before what cannot, where that makes nothing later: before all that does not wait
/// for it, else at least before all that can be begun until the first part is waited for.
fn undone_first(pieces: &[Piece], items: &[Item], hands: u32, made: Timetable) -> Timetable {
    let finals: Vec<usize> = (0..items.len()).filter(|it| items[*it].no_way_back).collect();
    if finals.is_empty() {
        return made;
    }
    let first_wait = pieces.iter().map(|it| it.not_before).filter(|it| *it > 0).min().unwrap_or(u64::MAX);
    let mut later = vec![vec![false; pieces.len()]; pieces.len()];
    for nth in &made.order {
        for (at, row) in later.iter_mut().enumerate() {
            row[*nth] = at == *nth || pieces[*nth].after.iter().any(|it| row[*it]);
        }
    }
    for until in [u64::MAX, first_wait] {
        let mut kept = pieces.to_vec();
        for at in &finals {
            let undone = (0..pieces.len())
                .filter(|it| !items[*it].no_way_back && !later[*at][*it] && made.times[*it].start < until);
            // What waits for another final piece must not come before this one: that could close a ring.
            let free = undone.filter(|it| !finals.iter().any(|other| later[*other][*it]));
            kept[*at].after.extend(free);
        }
        if let Ok(new) = timetable(&kept, hands)
            && new.finish == made.finish
        {
            // The lengths that are told stay those without this.
            return Timetable { path: made.path, bound: made.bound, soonest: made.soonest, ..new };
        }
    }
    made
}

/// What nobody has said, of times, hands and arrivals.
fn tell_unknown(order: &mut Order, items: &[Item]) {
    let untimed: Vec<String> =
        items.iter().filter(|it| it.takes.is_none()).map(|it| it.shown.clone()).collect();
    let handless: Vec<String> =
        items.iter().filter(|it| it.hands.is_none()).map(|it| it.shown.clone()).collect();
    let mut told = Vec::new();
    if !untimed.is_empty() {
        told.push(format!("Nobody has said how long {} takes.", each(&untimed)));
    }
    for arrival in items.iter().flat_map(|it| &it.arrivals) {
        if let Some(why) = &arrival.unknown
            && !told.contains(why)
        {
            told.push(why.clone());
        }
    }
    order.at_least = !told.is_empty();
    if !handless.is_empty() {
        told.push(format!("Nobody has said how many people {} needs; one is counted.", each(&handless)));
    }
    order.unknown.extend(told);
}

/// "A"; "each of A and B".
fn each(names: &[String]) -> String {
    if names.len() == 1 { names[0].clone() } else { format!("each of {}", listed(names)) }
}

/// What is waited for, and what can be done until then.
fn waits(items: &[Item], day: u64) -> Vec<Wait> {
    let mut waits: Vec<Wait> = Vec::new();
    for item in items {
        for arrival in item.arrivals.iter().filter(|it| !it.here) {
            if let Some(wait) = waits.iter_mut().find(|it| it.arrival == *arrival) {
                wait.holds.push(item.shown.clone());
                continue;
            }
            let ready = arrival.ready(day);
            let until = ready.unwrap_or(u64::MAX);
            let own = follows(items, &item.name);
            // Nothing can be said to be done before a time that nobody knows but what does not wait for it.
            let free = |nth: &usize| !own[*nth] && items[*nth].soonest < until;
            let meanwhile: Vec<usize> = (0..items.len()).filter(free).collect();
            let last = items.iter().filter(|it| it.times.start < until).map(|it| it.times.finish).max();
            waits.push(Wait {
                arrival: arrival.clone(),
                ready,
                holds: vec![item.shown.clone()],
                meanwhile: meanwhile.into_iter().map(|it| items[it].shown.clone()).collect(),
                idle: ready.map_or(0, |it| it.saturating_sub(last.unwrap_or(0))),
            });
        }
    }
    waits.sort_by_key(|it| (it.ready.unwrap_or(u64::MAX), it.arrival.shown.clone()));
    waits
}

/// By place: whether a piece is the one of that name or comes after it.
fn follows(items: &[Item], name: &str) -> Vec<bool> {
    let mut follows: Vec<bool> = items.iter().map(|it| it.name == name).collect();
    // Items are in order: what a piece waits for stands before it.
    for nth in 0..items.len() {
        follows[nth] |= items[nth].after.iter().any(|(at, _)| follows[*at]);
    }
    follows
}

#[cfg(test)]
mod tests;
