//! A timetable of pieces of work with as many hands as there are.
//!
//! The critical path method gives the shortest time with any number of hands; with few, a piece also waits
//! for hands. Up to [`EXACT`] pieces the timetable is the shortest there is; beyond, it is a good one (pieces
//! by latest start and the like, justified right and left), with a length that none can beat beside it.
//! Source: scheduling of a project under a limited resource, common in operations research; the method of
//! forward and backward justification is common practice, no source.

use super::placing::in_turn;
use super::search::shorter;
use crate::critical_path::{Activity, Times, schedule};

/// Up to how many pieces the shortest timetable is searched for.
pub const EXACT: usize = 12;

/// One piece of work. Times in any one unit.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Piece {
    /// How long it takes.
    pub takes: u64,
    /// How many people it needs.
    pub hands: u32,
    /// Which it waits for, by their index.
    pub after: Vec<usize>,
    /// Not before this time, for what must arrive first.
    pub not_before: u64,
}

/// When each piece is done.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Timetable {
    /// By piece. Slack and what is critical count the hands too: what waits for a person waits.
    pub times: Vec<Times>,
    /// When the last is finished.
    pub finish: u64,
    /// The order in which they start.
    pub order: Vec<usize>,
    /// By piece: those after which it comes because their people do it next.
    pub held: Vec<Vec<usize>>,
    /// The length by the critical path alone, with any number of hands.
    pub path: u64,
    /// No timetable with these hands is shorter than this.
    pub bound: u64,
    /// By piece: its earliest start by the critical path alone.
    pub soonest: Vec<u64>,
}

impl Timetable {
    /// Whether it is proven that none is shorter.
    pub fn is_shortest(&self) -> bool {
        self.finish == self.bound
    }
}

/// Why there is no timetable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// The piece of this index waits for itself, by way of others or not.
    Ring(usize),
    /// The piece of this index needs more hands than there are.
    Hands(usize),
}

/// Makes the timetable. Indices in `after` beyond the list are left out.
///
/// # Errors
/// A piece that waits for itself, or that needs more hands than there are.
pub fn timetable(pieces: &[Piece], hands: u32) -> Result<Timetable, Trouble> {
    let count = pieces.len();
    let pieces: Vec<Piece> = pieces
        .iter()
        .map(|it| Piece { after: it.after.iter().copied().filter(|it| *it < count).collect(), ..it.clone() })
        .collect();
    let activities: Vec<Activity> = pieces.iter().map(activity).collect();
    let path = schedule(&activities).map_err(|it| Trouble::Ring(it.0))?;
    if let Some(nth) = pieces.iter().position(|it| it.hands > hands) {
        return Err(Trouble::Hands(nth));
    }
    let tails = tails(&pieces, &path.order);
    let soonest: Vec<u64> = path.times.iter().map(|it| it.start).collect();
    let mut bound = path.finish.max(least(&pieces, hands, &soonest, &tails));
    let mut starts = good(&pieces, hands, &path.times, &tails);
    let length = |starts: &[u64]| starts.iter().zip(&pieces).map(|(at, it)| at + it.takes).max().unwrap_or(0);
    if length(&starts) > bound && count <= EXACT {
        let (found, proven) = shorter(&pieces, hands, &tails, bound, length(&starts));
        starts = found.unwrap_or(starts);
        if proven {
            bound = length(&starts);
        }
    }
    let held = held(&pieces, hands, &starts);
    let bound_to_people: Vec<Activity> = activities
        .into_iter()
        .zip(&held)
        .map(|(mut it, held)| {
            it.after.extend(held);
            it
        })
        .collect();
    // Hands pass only from what is finished to what starts later: this adds no ring.
    let made = schedule(&bound_to_people).map_err(|it| Trouble::Ring(it.0))?;
    let (finish, bound) = (made.finish, bound.min(made.finish));
    Ok(Timetable { times: made.times, finish, order: made.order, held, path: path.finish, bound, soonest })
}

fn activity(piece: &Piece) -> Activity {
    Activity { takes: piece.takes, after: piece.after.clone(), not_before: piece.not_before }
}

/// By piece: the longest chain of times from its start to the end.
fn tails(pieces: &[Piece], order: &[usize]) -> Vec<u64> {
    let mut tails: Vec<u64> = pieces.iter().map(|it| it.takes).collect();
    for nth in order.iter().rev() {
        for before in &pieces[*nth].after {
            tails[*before] = tails[*before].max(pieces[*before].takes + tails[*nth]);
        }
    }
    tails
}

/// No timetable is shorter: what cannot begin before a time and has at least so much behind it must all be
/// done between, by these hands.
fn least(pieces: &[Piece], hands: u32, soonest: &[u64], tails: &[u64]) -> u64 {
    let hands = u64::from(hands.max(1));
    let after = |nth: usize| tails[nth] - pieces[nth].takes;
    let mut most = 0;
    for from in soonest {
        for behind in (0..pieces.len()).map(after) {
            let inside = (0..pieces.len()).filter(|it| soonest[*it] >= *from && after(*it) >= behind);
            let work: u64 = inside.map(|it| pieces[it].takes * u64::from(pieces[it].hands)).sum();
            if work > 0 {
                most = most.max(from + work.div_ceil(hands) + behind);
            }
        }
    }
    most
}

/// A good timetable: the best of several lists, each then justified right and left.
fn good(pieces: &[Piece], hands: u32, times: &[Times], tails: &[u64]) -> Vec<u64> {
    let finish = |starts: &[u64]| starts.iter().zip(pieces).map(|(at, it)| at + it.takes).max().unwrap_or(0);
    type Rank<'r> = Box<dyn Fn(usize) -> (u64, u64) + 'r>;
    let ranks: [Rank<'_>; 4] = [
        Box::new(|it| (times[it].latest_start, times[it].latest_finish)),
        Box::new(|it| (times[it].latest_finish, times[it].latest_start)),
        Box::new(|it| (u64::MAX - tails[it], times[it].start)),
        Box::new(|it| (times[it].start, u64::MAX - tails[it])),
    ];
    let mut best: Option<Vec<u64>> = None;
    for rank in &ranks {
        let mut list: Vec<usize> = (0..pieces.len()).collect();
        list.sort_by_key(|it| (rank(*it), *it));
        let mut starts = in_turn(pieces, hands, &list);
        loop {
            let again = justified(pieces, hands, &starts, finish(&starts));
            if finish(&again) >= finish(&starts) {
                break;
            }
            starts = again;
        }
        if best.as_ref().is_none_or(|it| finish(&starts) < finish(it)) {
            best = Some(starts);
        }
    }
    best.unwrap_or_default()
}

/// All pieces as late as may be, the last to finish first; then as early as may be in that order.
fn justified(pieces: &[Piece], hands: u32, starts: &[u64], finish: u64) -> Vec<u64> {
    let mut backward: Vec<Piece> = pieces
        .iter()
        .map(|it| Piece { takes: it.takes, hands: it.hands, after: Vec::new(), not_before: 0 })
        .collect();
    for (nth, piece) in pieces.iter().enumerate() {
        for before in &piece.after {
            backward[*before].after.push(nth);
        }
    }
    let mut list: Vec<usize> = (0..pieces.len()).collect();
    list.sort_by_key(|it| (finish - starts[*it] - pieces[*it].takes, *it));
    let turned = in_turn(&backward, hands, &list);
    // Nothing starts later than it did, counted from the end: what must arrive first still does.
    list.sort_by_key(|it| (std::cmp::Reverse(turned[*it] + pieces[*it].takes), *it));
    in_turn(pieces, hands, &list)
}

/// By piece: those whose people do it next. Each pair of hands goes from piece to piece; where there is a
/// choice it goes on from what comes before anyhow, else from what was finished last.
fn held(pieces: &[Piece], hands: u32, starts: &[u64]) -> Vec<Vec<usize>> {
    let mut held = vec![Vec::new(); pieces.len()];
    let mut order: Vec<usize> = (0..pieces.len()).filter(|it| pieces[*it].takes > 0).collect();
    order.sort_by_key(|it| (starts[*it], *it));
    let mut people: Vec<(u64, Option<usize>)> = vec![(0, None); hands as usize];
    for nth in order {
        let piece = &pieces[nth];
        for _ in 0..piece.hands {
            let rank = |(free, last): &(u64, Option<usize>)| {
                let known = last.is_some_and(|it| piece.after.contains(&it) || held[nth].contains(&it));
                (known, *free)
            };
            let free = (0..people.len()).filter(|it| people[*it].0 <= starts[nth]);
            // The timetable never has more at work than there are.
            let Some(who) = free.max_by_key(|it| (rank(&people[*it]), std::cmp::Reverse(*it))) else { break };
            if let Some(last) = people[who].1
                && !held[nth].contains(&last)
                && last != nth
            {
                held[nth].push(last);
            }
            people[who] = (starts[nth] + piece.takes, Some(nth));
        }
    }
    held
}
