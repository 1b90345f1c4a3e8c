//! Which feed each new supply hangs on: the right voltage, from the right key state, with room under its
//! fuse, at the least effort.

use std::collections::BTreeMap;

use trunnion_check::ctx::{Ctx, listed, trimmed};
use trunnion_check::loads::Loads;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::world::{When, WireEnd, World};

use super::existing::Standing;
use super::nets::{Sort, Wanted};
use super::ways::{How, Spot, Zones, spots};
use super::{Lack, Unsolved};

/// What share of its rating a fuse is loaded with where the `basis` says nothing: as wire/fuse takes it,
/// common practice, no source.
const SHARE: f64 = 75.0;

/// So many ways of sharing out the feeds are looked at before the best one so far is taken.
const MOST: usize = 200_000;

/// A feed as a choice.
struct Feed {
    name: WireEnd,
    spots: Vec<Spot>,
    /// What its fuse has left, in A; none where nobody knows.
    room: Option<f64>,
    /// Why nobody knows.
    unknown: bool,
    from: Option<String>,
    volts: Option<Quantity>,
}

/// A supply that asks for a feed.
struct Ask {
    wanted: usize,
    draw: f64,
    /// Feeds that suit, with the effort.
    options: Vec<(usize, u64)>,
}

/// What was chosen.
#[derive(Default)]
pub(super) struct Chosen {
    /// By number of the net: the feed, and why.
    pub feeds: BTreeMap<usize, (Vec<Spot>, String)>,
    pub unsolved: Vec<(usize, Unsolved)>,
    /// Feeds that carry more than their fuse may be loaded with, by what hangs on them already.
    pub overloaded: Vec<Unsolved>,
    /// What the choice costs more than the nearest feed for each would, in s.
    pub over: u64,
    /// Whether it is proven to be the best.
    pub exact: bool,
}

/// Chooses a feed for each net of `wanted` that asks for one. `rest` is the world without what is taken out.
pub(super) fn choose(
    standing: &mut Standing<'_, '_>,
    zones: &Zones,
    wanted: &[Wanted],
    rest: &World,
) -> Chosen {
    let feeds = feeds(standing, zones, rest);
    let mut chosen = Chosen { exact: true, ..Chosen::default() };
    chosen.overloaded = feeds.iter().filter_map(|it| overloaded(standing, it)).collect();
    let mut asks: Vec<Ask> = Vec::new();
    let mut reasons: BTreeMap<usize, String> = BTreeMap::new();
    for (nth, it) in wanted.iter().enumerate().filter(|(_, it)| it.sort == Sort::Supply && it.is_choice()) {
        match ask(standing, zones, &feeds, nth, it) {
            Ok((ask, why)) => {
                reasons.insert(nth, why);
                asks.push(ask);
            }
            Err(sentence) => chosen.unsolved.push((nth, unsolved(standing, it, sentence))),
        }
    }
    let mut search = Search { feeds: &feeds, asks: &asks, best: None, nodes: 0 };
    search.go(&mut Vec::new(), &mut feeds.iter().map(|it| it.room).collect(), (0, 0));
    chosen.exact = search.nodes < MOST;
    let Some((_, _, picks)) = search.best else { return chosen };
    let mut taken: Vec<Vec<usize>> = vec![Vec::new(); feeds.len()];
    for (nth, (ask, pick)) in asks.iter().zip(&picks).enumerate() {
        if let Some(option) = pick {
            taken[ask.options[*option].0].push(nth);
        }
    }
    // What a feed has left for one supply, when the others of this plan hang on theirs.
    let left = |feed: usize, but: usize| {
        let others: Vec<&Ask> = taken[feed].iter().filter(|it| **it != but).map(|it| &asks[*it]).collect();
        let drawn: f64 = others.iter().map(|it| it.draw).sum();
        let with: Vec<String> = others.iter().map(|it| wanted[it.wanted].word.clone()).collect();
        let beside = if with.is_empty() { String::new() } else { format!(" beside the {}", listed(&with)) };
        let name = feeds[feed].name.text();
        match feeds[feed].room.map(|it| it - drawn) {
            Some(room) if room > 1e-9 => format!("{name} has {} A left{beside}", trimmed(room, 2)),
            Some(_) => format!("{name} has nothing left{beside}"),
            None => format!("nobody knows what {name} has left"),
        }
    };
    for (nth, (ask, pick)) in asks.iter().zip(&picks).enumerate() {
        let Some(option) = *pick else {
            let names: Vec<String> = ask.options.iter().map(|it| left(it.0, nth)).collect();
            let sentence = format!(
                "No feed has room for {} A at {}: {}.",
                trimmed(ask.draw, 1),
                standing.nodes[wanted[ask.wanted].of].shown(),
                names.join("; ")
            );
            chosen.unsolved.push((ask.wanted, unsolved(standing, &wanted[ask.wanted], sentence)));
            continue;
        };
        let (feed, effort) = ask.options[option];
        chosen.over += effort - ask.options.iter().map(|it| it.1).min().unwrap_or(effort);
        let node = standing.node(&feeds[feed].name);
        let others: Vec<String> = ask
            .options
            .iter()
            .filter(|it| it.0 != feed && it.1 <= effort)
            .map(|it| left(it.0, nth))
            .collect();
        let mut why = format!("{}; {}", reasons[&ask.wanted], left(feed, nth));
        if !others.is_empty() {
            why.push_str(&format!(", while {}", others.join(" and ")));
        }
        let spots = feeds[feed].spots.iter().map(|it| Spot { node, ..it.clone() });
        chosen.feeds.insert(ask.wanted, (spots.collect(), why));
        if feeds[feed].unknown {
            let sentence = format!(
                "Whether {} has room for {} hangs on consumers of which nobody has said what they draw.",
                feeds[feed].name.text(),
                standing.nodes[wanted[ask.wanted].of].shown()
            );
            chosen.unsolved.push((ask.wanted, unsolved(standing, &wanted[ask.wanted], sentence)));
        }
    }
    chosen
}

/// That a feed carries too much already, where a part that is changed hangs on it.
fn overloaded(standing: &Standing<'_, '_>, feed: &Feed) -> Option<Unsolved> {
    let over = feed.room.filter(|it| *it < -1e-9)?;
    let node = standing.find(&feed.name)?;
    let changed = standing.whole(node).iter().find_map(|it| {
        let pin = standing.pin(*it).filter(|it| it.place.changed() && !it.gone)?;
        Some(pin.place.done.last()?.site)
    })?;
    let name = feed.name.text();
    let sentence = format!(
        "What hangs on {name} draws {} A more than its fuse may be loaded with: something must go to another feed.",
        trimmed(-over, 2)
    );
    Some(Unsolved { subject: name, sentence, sites: vec![changed], lack: Lack::Knowledge })
}

fn unsolved(standing: &Standing<'_, '_>, wanted: &Wanted, sentence: String) -> Unsolved {
    let pin = standing.pin(wanted.of);
    let stated = pin.and_then(|it| Some(it.end?.0.site(it.now?.span)));
    let done = pin.and_then(|it| it.place.done.last()).map(|it| it.site);
    let sites = stated.into_iter().chain(done).collect();
    Unsolved { subject: standing.nodes[wanted.of].text(), sentence, sites, lack: Lack::Knowledge }
}

/// The feeds with what they have left.
fn feeds(standing: &Standing<'_, '_>, zones: &Zones, rest: &World) -> Vec<Feed> {
    let ctx = Ctx { db: standing.frame.ctx.db, workspace: standing.frame.ctx.workspace, world: rest };
    let loads = Loads::of(&ctx, When::After);
    let share = ctx.basis("fuse_load").best().and_then(|it| it.quantity()).and_then(|it| it.in_unit("%"));
    let share = share.unwrap_or(SHARE) / 100.0;
    let mut feeds: Vec<Feed> = Vec::new();
    for (nth, (_, feed)) in rest.feeds.iter().enumerate() {
        let name = WireEnd::Feed(feed.name.value.clone());
        if feeds.iter().any(|it| it.name == name) {
            continue;
        }
        let node = loads.sources.iter().find(|it| it.feed == Some(nth)).map(|it| it.node);
        let (mut drawn, mut known) = (0.0, true);
        for (edge, it) in loads.supply.edges.iter().enumerate() {
            if Some(it.a) == node || Some(it.b) == node {
                let flow = loads.through(edge);
                drawn += if Some(it.a) == node { flow.forth[2] } else { flow.back[2] };
                known &= flow.known;
            }
        }
        // Consumers that say nothing of what they draw: signals and what draws next to nothing do not count.
        let silent = node.is_some_and(|node| loads.loads_of(node).any(|it| it.draws.is_none()));
        let fuse = feed.fuse.and_then(|it| it.ends_in("A")).map(|it| it[0]);
        let unknown = fuse.is_none() || silent && !known;
        feeds.push(Feed {
            spots: zones.spots(usize::MAX, How::Feed, standing.frame.zone(&name).as_ref()),
            name,
            room: fuse.map(|it| it * share - drawn),
            unknown,
            from: feed.state.as_ref().map(|it| it.value.to_string()),
            volts: feed.voltage,
        });
    }
    feeds
}

/// Which feeds suit a supply, and why those.
fn ask(
    standing: &Standing<'_, '_>,
    zones: &Zones,
    feeds: &[Feed],
    nth: usize,
    wanted: &Wanted,
) -> Result<(Ask, String), String> {
    let at = standing.nodes[wanted.of].shown();
    let cavity = standing.pin(wanted.of).and_then(|it| it.now);
    let volts = cavity.and_then(|it| it.volts);
    let draw = cavity.and_then(|it| it.draw).and_then(|it| it.ends_in("A")).map(|it| it[2]);
    let (states, why) = states(standing, wanted.of);
    let right = |it: &&(usize, &Feed)| {
        let same = volts.zip(it.1.volts).is_none_or(|(a, b)| a.overlaps(&b) != Ok(false));
        same && it.1.from.as_ref().is_some_and(|it| states.contains(&it.as_str()))
    };
    let each: Vec<(usize, &Feed)> = feeds.iter().enumerate().collect();
    let mut suit: Vec<(usize, &Feed)> = each.iter().filter(right).copied().collect();
    // What is known to have room goes before what may have.
    if suit.iter().any(|it| !it.1.unknown && it.1.room.is_some_and(|it| it >= draw.unwrap_or(0.0))) {
        suit.retain(|it| !it.1.unknown);
    }
    if suit.is_empty() {
        let volts = volts.map(|it| format!(" of {}", it.display())).unwrap_or_default();
        return Err(format!("{at} wants a supply{volts} from {}, and no feed is such ({why}).", states[0]));
    }
    let efforts = zones.efforts(&spots(standing, zones, wanted.pieces[0]));
    let options = suit
        .iter()
        .filter_map(|(nth, feed)| {
            let each = feed.spots.iter().filter_map(|it| Some(efforts[it.zone]? + it.effort()));
            Some((*nth, each.min()?))
        })
        .collect();
    let why = match draw {
        Some(draw) => format!("it draws {} A; {why}", trimmed(draw, 2)),
        None => format!("nobody has said what it draws; {why}"),
    };
    Ok((Ask { wanted: nth, draw: draw.unwrap_or(0.0), options }, why))
}

/// In which key states a supply must be there, as its part says it; else as controllers have it.
fn states(standing: &Standing<'_, '_>, node: usize) -> (Vec<&'static str>, String) {
    const IGNITION: [&str; 2] = ["ignition", "on"];
    let Some(pin) = standing.pin(node) else { return (IGNITION.to_vec(), String::new()) };
    let fact = standing.frame.ctx.fact(pin.place, "wake_up");
    let said = fact.claims().iter().flat_map(|it| &it.values).find_map(|it| it.word());
    if let Some(said) = said {
        let words = said.to_lowercase();
        if words.contains("ignition") {
            return (IGNITION.to_vec(), format!("it wakes by “{said}”"));
        }
        if words.contains("battery") || words.contains("message") {
            return (vec!["battery"], format!("it wakes by “{said}”, so its supply is always there"));
        }
    }
    let practice =
        "nobody has said in which key states; ignition, as controllers have it (common practice, no source)";
    (IGNITION.to_vec(), practice.to_owned())
}

/// The sharing out of feeds: as few as possible without, then the least effort, then the first.
struct Search<'s> {
    feeds: &'s [Feed],
    asks: &'s [Ask],
    best: Option<(usize, u64, Vec<Option<usize>>)>,
    nodes: usize,
}

impl Search<'_> {
    fn go(&mut self, picks: &mut Vec<Option<usize>>, room: &mut Vec<Option<f64>>, so_far: (usize, u64)) {
        self.nodes += 1;
        let least: u64 = self.asks[picks.len()..]
            .iter()
            .map(|it| it.options.iter().map(|it| it.1).min().unwrap_or(0))
            .sum();
        let hopeless = self.best.as_ref().is_some_and(|best| {
            (so_far.0, so_far.1 + if so_far.0 == best.0 { least } else { 0 }) >= (best.0, best.1)
        });
        if hopeless || self.nodes > MOST {
            return;
        }
        let Some(ask) = self.asks.get(picks.len()) else {
            self.best = Some((so_far.0, so_far.1, picks.clone()));
            return;
        };
        let mut order: Vec<usize> = (0..ask.options.len()).collect();
        order.sort_by_key(|it| (ask.options[*it].1, *it));
        for option in order {
            let (feed, effort) = ask.options[option];
            let fits =
                self.feeds[feed].unknown || room[feed].is_some_and(|it| it + 1e-9 >= ask.draw && it > 0.0);
            if !fits {
                continue;
            }
            let kept = room[feed];
            room[feed] = kept.map(|it| it - ask.draw);
            picks.push(Some(option));
            self.go(picks, room, (so_far.0, so_far.1 + effort));
            picks.pop();
            room[feed] = kept;
        }
        picks.push(None);
        self.go(picks, room, (so_far.0 + 1, so_far.1));
        picks.pop();
    }
}
