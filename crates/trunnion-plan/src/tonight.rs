//! What can be done tonight: questions, measurements and work that fit the time and the hands there are,
//! with the parts that are here; and why the rest is not possible.

use trunnion_check::ctx::Ctx;
use trunnion_model::db::{Db, Workspace};
use trunnion_model::known::measure;
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Who};
use trunnion_model::world::world;

use crate::next::{Next, Task};
use crate::order::arrival::Expected;
use crate::order::hands::{EXACT, Piece, timetable};
use crate::order::placing::in_turn;
use crate::order::{Item, Options, Order, hours};

/// An evening in minutes where only the hands are named: 2 h. Common practice, no source.
pub const EVENING: u64 = 120;

/// How much time there is tonight, and how many people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Evening {
    /// In minutes.
    pub time: u64,
    /// At least one.
    pub hands: u32,
}

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum What {
    /// Something is found out, by asking, looking, measuring or deciding.
    FindOut(Who),
    /// A piece of work.
    Work,
}

/// One thing that can be done tonight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doable {
    /// What is done.
    pub what: What,
    /// In words: what is found out, or the piece of work.
    pub shown: String,
    /// When it begins, in minutes from the beginning of the evening.
    pub start: u64,
    /// How many minutes it takes.
    pub minutes: u64,
    /// How many people it needs.
    pub hands: u32,
    /// With which tool, how precise.
    pub tool: Option<String>,
    /// What to type when it is known.
    pub type_in: Option<String>,
    /// By when, for what is found out.
    pub gate: Option<Gate>,
    /// How many verdicts or pieces of work wait for it.
    pub unlocks: usize,
    /// What stands open, or cannot be used, over night.
    pub overnight: Option<String>,
    /// Work that is not pressing: how many minutes of work it may wait without making the whole later.
    pub may_wait: Option<u64>,
    /// The cautions of the step.
    pub cautions: Vec<String>,
}

/// What can be done tonight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tonight {
    /// How many minutes there are.
    pub time: u64,
    /// How many people there are.
    pub hands: u32,
    /// What is done, in the order in which it is begun.
    pub doable: Vec<Doable>,
    /// How many minutes of work that is, of one person or of several.
    pub sum: u64,
    /// When the last is finished.
    pub finish: u64,
    /// The work that is not possible tonight, and why.
    pub not: Vec<(String, String)>,
    /// What could be found out elsewhere, and why not here.
    pub elsewhere: Vec<(String, String)>,
    /// What could be found out as well, had one the time.
    pub more: usize,
    /// What is to be found out and nobody has said how long it takes.
    pub untimed: usize,
}

/// Something that might be done.
struct Candidate<'a> {
    rank: (usize, bool, std::cmp::Reverse<usize>, usize),
    of: Of<'a>,
    minutes: u64,
    hands: u32,
    unlocks: usize,
}

#[derive(Clone, Copy)]
enum Of<'a> {
    Task(Who, &'a Task),
    Item(usize, &'a Item),
}

/// What can be done tonight in so many minutes with so many people. The soonest gate comes first (before
/// buying, then work that is pressing, then the later gates, then other work), of these what most waits for; it is
/// taken while it fits.
pub fn tonight(
    db: &dyn Db,
    workspace: Workspace,
    id: Id,
    way: Option<u32>,
    next: &Next,
    order: &Order,
    evening: Evening,
) -> Option<Tonight> {
    let Evening { time, hands } = evening;
    let world = world(db, workspace, id.item, id.nth, way)?;
    let ctx = Ctx { db, workspace, world: &world };
    let mut tonight = Tonight {
        time,
        hands,
        doable: Vec::new(),
        sum: 0,
        finish: 0,
        not: Vec::new(),
        elsewhere: Vec::new(),
        more: 0,
        untimed: 0,
    };
    let mut candidates = asked(&ctx, next, &mut tonight);
    for (nth, item) in order.items.iter().enumerate() {
        if let Some(why) = hindered(item, time, hands) {
            tonight.not.push((item.shown.clone(), why));
            continue;
        }
        let unlocks = waiting(&order.items, nth);
        // What may wait for days need not stand apart for days: it comes last.
        let rank = if item.times.slack() >= order.day { 5 } else { 1 };
        candidates.push(Candidate {
            rank: (rank, !item.is_critical(), std::cmp::Reverse(unlocks), nth),
            of: Of::Item(nth, item),
            minutes: item.takes.unwrap_or(0),
            hands: item.hands.unwrap_or(1),
            unlocks,
        });
    }
    candidates.sort_by_key(|it| it.rank);
    pack(&mut tonight, candidates, &order.items);
    Some(tonight)
}

/// What there is to find out, where it can be found out here.
fn asked<'a>(ctx: &Ctx<'_>, next: &'a Next, tonight: &mut Tonight) -> Vec<Candidate<'a>> {
    let picked = Options::default().picked;
    let expected = Expected::of(ctx, &picked);
    let sorts = [
        (Who::Seller, &next.seller),
        (Who::Tape, &next.tape),
        (Who::Maker, &next.maker),
        (Who::Owner, &next.owner),
    ];
    let mut candidates = Vec::new();
    for (who, tasks) in sorts {
        for task in tasks {
            if let Some(why) = elsewhere(ctx, &expected, who, task) {
                tonight.elsewhere.push((task.what.clone(), why));
                continue;
            }
            let Some(minutes) = task.minutes else {
                tonight.untimed += 1;
                continue;
            };
            let gate = match task.gate {
                Gate::Buying => 0,
                Gate::NoReturn => 2,
                Gate::Power => 3,
                Gate::Road => 4,
            };
            let unlocks = task.hangs.len();
            candidates.push(Candidate {
                rank: (gate, !task.safety, std::cmp::Reverse(unlocks), candidates.len()),
                of: Of::Task(who, task),
                minutes: u64::from(minutes),
                hands: 1,
                unlocks,
            });
        }
    }
    candidates
}

/// Why something cannot be measured here: the part that it is about has not come.
fn elsewhere(ctx: &Ctx<'_>, expected: &Expected<'_>, who: Who, task: &Task) -> Option<String> {
    let place = ctx.world.place(&task.about).filter(|it| it.changed() && who == Who::Tape)?;
    let of_place = task
        .measure
        .as_ref()
        .and_then(|name| measure(ctx.db, ctx.workspace, ctx.world.root(), name).map(|it| it.of_place));
    if of_place == Some(true) {
        return None;
    }
    let arrival = expected.into(ctx, place).filter(|it| !it.here)?;
    Some(format!("waits for {}", arrival.phrase()))
}

/// Why a piece of work is not possible tonight, whatever else is done.
fn hindered(item: &Item, time: u64, hands: u32) -> Option<String> {
    if let Some(need) = item.needs.first() {
        return Some(need.trim_end_matches('.').to_owned());
    }
    if item.unsettled.is_some() {
        return Some("there is no way back after it, and what it rests on is not settled".to_owned());
    }
    if let Some(arrival) = item.arrivals.iter().find(|it| !it.here) {
        return Some(format!("waits for {}", arrival.phrase()));
    }
    match (item.hands, item.takes) {
        (Some(needed), _) if needed > hands => Some(format!("needs {needed} people")),
        (_, None) => Some("nobody has said how long it takes".to_owned()),
        (_, Some(takes)) if takes > time => Some(format!("takes {}", hours(takes))),
        _ => None,
    }
}

/// How many pieces wait for one, by way of others or not.
fn waiting(items: &[Item], nth: usize) -> usize {
    let mut waits = vec![false; items.len()];
    waits[nth] = true;
    // What a piece waits for stands before it.
    for at in nth + 1..items.len() {
        waits[at] = items[at].after.iter().any(|(before, _)| waits[*before]);
    }
    waits.iter().filter(|it| **it).count() - 1
}

/// Takes one after the other while all of it can be done in the time.
fn pack(tonight: &mut Tonight, mut left: Vec<Candidate<'_>>, items: &[Item]) {
    let mut taken: Vec<Candidate<'_>> = Vec::new();
    let mut pieces: Vec<Piece> = Vec::new();
    loop {
        let next = left.iter().position(|it| {
            piece(it, &taken)
                .is_some_and(|new| fits(&pieces.iter().cloned().chain([new]).collect::<Vec<_>>(), tonight))
        });
        let Some(at) = next else { break };
        let candidate = left.remove(at);
        pieces.extend(piece(&candidate, &taken));
        taken.push(candidate);
    }
    for it in left {
        match it.of {
            Of::Task(..) => tonight.more += 1,
            Of::Item(_, item) => {
                let missing = item.after.iter().find(|(at, _)| !has(&taken, *at));
                let why = match missing {
                    Some((at, _)) => format!("comes after {}", items[*at].shown),
                    None => format!("takes {}, and no time is left", hours(it.minutes)),
                };
                tonight.not.push((item.shown.clone(), why));
            }
        }
    }
    // In the order in which it was taken, where that fits; else as it did fit.
    let list: Vec<usize> = (0..pieces.len()).collect();
    let mut starts = in_turn(&pieces, tonight.hands.max(1), &list);
    if finish(&pieces, &starts) > tonight.time
        && let Ok(made) = timetable(&pieces, tonight.hands)
    {
        starts = made.times.iter().map(|it| it.start).collect();
    }
    tonight.finish = finish(&pieces, &starts);
    tonight.sum = pieces.iter().map(|it| it.takes * u64::from(it.hands)).sum();
    tonight.doable = taken.iter().zip(starts).map(|(it, at)| doable(it, at)).collect();
    tonight.doable.sort_by_key(|it| it.start);
}

/// Whether all of these can be done in the time: by one person if it adds up, by several if there is a
/// timetable that short; of more than a dozen only in the order in which they are taken.
fn fits(pieces: &[Piece], tonight: &Tonight) -> bool {
    let work: u64 = pieces.iter().map(|it| it.takes * u64::from(it.hands)).sum();
    let room = tonight.time.saturating_mul(u64::from(tonight.hands));
    if work > room || tonight.hands <= 1 {
        return work <= room;
    }
    finish(pieces, &in_turn(pieces, tonight.hands, &(0..pieces.len()).collect::<Vec<_>>())) <= tonight.time
        || pieces.len() <= EXACT && timetable(pieces, tonight.hands).is_ok_and(|it| it.finish <= tonight.time)
}

fn finish(pieces: &[Piece], starts: &[u64]) -> u64 {
    starts.iter().zip(pieces).map(|(at, it)| at + it.takes).max().unwrap_or(0)
}

/// A candidate as a piece after those that are taken; none while something before it is not.
fn piece(candidate: &Candidate<'_>, taken: &[Candidate<'_>]) -> Option<Piece> {
    let mut after = Vec::new();
    if let Of::Item(_, item) = candidate.of {
        for (before, _) in &item.after {
            after.push(taken.iter().position(|it| matches!(it.of, Of::Item(nth, _) if nth == *before))?);
        }
    }
    Some(Piece { takes: candidate.minutes, hands: candidate.hands, after, not_before: 0 })
}

fn has(taken: &[Candidate<'_>], nth: usize) -> bool {
    taken.iter().any(|it| matches!(it.of, Of::Item(at, _) if at == nth))
}

fn doable(it: &Candidate<'_>, start: u64) -> Doable {
    let bare = Doable {
        what: What::Work,
        shown: String::new(),
        start,
        minutes: it.minutes,
        hands: it.hands,
        tool: None,
        type_in: None,
        gate: None,
        unlocks: it.unlocks,
        overnight: None,
        may_wait: None,
        cautions: Vec::new(),
    };
    match it.of {
        Of::Item(_, item) => Doable {
            shown: item.shown.clone(),
            overnight: Some(item.overnight.clone()),
            may_wait: Some(item.times.slack()).filter(|_| it.rank.0 == 5),
            cautions: item.cautions.iter().map(|it| it.1.clone()).collect(),
            ..bare
        },
        Of::Task(who, task) => Doable {
            what: What::FindOut(who),
            shown: task.what.clone(),
            tool: task.tool.as_ref().map(|tool| match &task.precision {
                Some(it) => format!("{tool} to {it}"),
                None => tool.clone(),
            }),
            type_in: task.type_in.clone(),
            gate: Some(task.gate),
            ..bare
        },
    }
}

#[cfg(test)]
mod tests;
