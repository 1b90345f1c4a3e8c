//! All nets together: the least sum of efforts such that no bore is overfull.
//!
//! As long as every net by itself fits, its own least tree is the answer. Else branch and bound: where a run
//! is too full, at least one of some nets must stay out of it; the first of them that does makes the
//! branches. The best bound goes first. Bounds are the sum of the nets' own trees, what it costs at least
//! to take enough out of each overfull run ([`super::cover`]), and tolls ([`super::tolls`]).
//!
//! The same input gives the same routes. Where no run is too full, each net has the first of its equal trees
//! (the order is in [`super::tree`]). Where runs are full and several routes have the same least sum, those
//! that the search meets first are taken; its order is fixed, and sends later nets round before earlier ones.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};
use std::rc::Rc;

use super::cover::cover;
use super::field::{self, Bans, Field};
use super::ground::{Halt, Laid};
use super::network::{Net, Network, Outcome, Routes, Tree};
use super::tolls::{self, Tolls};

/// Branches that are looked at before the search is given up.
const BRANCHES: usize = 20_000;
/// Steps of the exact method in all before it is given up.
const WORK: u64 = 1 << 31;

/// Joins all nets over the network with the least sum of efforts, so that the nets that use a run have no
/// more area than its room. `go_on` is asked often; when it says no the answer is [`Outcome::Stopped`].
///
/// Efforts are best kept below 10⁹ seconds; sums that pass the largest number stay there.
pub fn lay(network: &Network, nets: &[Net], go_on: &dyn Fn() -> bool) -> Outcome {
    outcome(network, nets, go_on).unwrap_or(Outcome::Stopped)
}

/// What came of looking for routes of some nets.
enum Found {
    /// Trees in the order of the nets, and a bound for their sum.
    Best(Vec<Rc<Laid>>, u64),
    /// There are none.
    None,
    /// Given up.
    Unknown,
}

fn outcome(network: &Network, nets: &[Net], go_on: &dyn Fn() -> bool) -> Result<Outcome, Halt> {
    let mut field = match Field::of(network, nets, go_on) {
        Ok(field) => field,
        Err(net) => return Ok(Outcome::NoWay { net }),
    };
    let all: Vec<usize> = (0..nets.len()).collect();
    let mut own = Vec::with_capacity(nets.len());
    for net in &all {
        let Some(tree) = field.tree(*net, &[])? else { return Ok(Outcome::NoWay { net: *net }) };
        own.push(tree);
    }
    Ok(match search(&mut field, &all, Want::Least)? {
        Found::Best(trees, bound) => {
            let tree = |(laid, own): (&Rc<Laid>, &Rc<Laid>)| Tree {
                effort: laid.effort,
                taps: laid.taps.clone(),
                runs: laid.runs.clone(),
                exact: laid.effort == own.bound,
                bound: own.bound,
            };
            let effort = field::effort(&trees);
            let trees = trees.iter().zip(&own).map(tree).collect();
            Outcome::Laid(Routes { trees, effort, bound: bound.min(effort), exact: bound >= effort })
        }
        Found::None => {
            let (run, nets) = contradiction(&mut field, &all)?;
            Outcome::NoRoom { run, nets }
        }
        Found::Unknown => Outcome::Stopped,
    })
}

/// Fewer of the nets that still cannot all be laid, none of which can be left out, and a run that they fill.
/// Thin nets are left out before thick ones, later ones before earlier.
fn contradiction(field: &mut Field, all: &[usize]) -> Result<(usize, Vec<usize>), Halt> {
    let mut order = all.to_vec();
    order.sort_by_key(|it| (field.nets[*it].area, Reverse(*it)));
    let mut left = order.clone();
    let mut chunk = left.len().div_ceil(2).max(1);
    loop {
        let mut at = 0;
        while at < left.len() {
            let mut fewer = left.clone();
            fewer.drain(at..(at + chunk).min(left.len()));
            fewer.sort_unstable();
            match search(field, &fewer, Want::Any)? {
                Found::None => {
                    let end = (at + chunk).min(left.len());
                    left.drain(at..end);
                }
                Found::Best(..) | Found::Unknown => at += chunk,
            }
        }
        if chunk == 1 {
            break;
        }
        chunk = chunk.div_ceil(2);
    }
    left.sort_unstable();
    // What they would fill if each went its own best way, at any thickness.
    let mut own = Vec::new();
    for net in &left {
        own.extend(field.tree(*net, &[])?);
    }
    let carried = field.carried(&left, &own);
    let fullest =
        field.overfull(&carried).into_iter().max_by_key(|it| (field.excess(*it, carried[*it]), Reverse(*it)));
    // Nets that fit when each goes its own way can all be laid, so that there is one.
    Ok((fullest.unwrap_or(0), left))
}

/// Whether the least is wanted, or any routes that fit.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Want {
    Least,
    Any,
}

/// A branch: what is forbidden, who is bound to stay, and what can be hoped for.
#[derive(Default)]
struct Branch {
    bans: Bans,
    /// For each run the nets that are taken to use it.
    kept: BTreeMap<usize, Vec<usize>>,
    bound: u64,
    tolled: u128,
    depth: usize,
}

/// Routes for these nets, in order.
fn search(field: &mut Field, active: &[usize], want: Want) -> Result<Found, Halt> {
    let root = Bans::new();
    let Some(trees) = field.trees(active, &root)? else { return Ok(Found::None) };
    let carried = field.carried(active, &trees);
    if field.overfull(&carried).is_empty() {
        let bound = field::bound(&trees);
        return Ok(Found::Best(trees, bound));
    }
    if tolls::no_room(field, active)? {
        return Ok(Found::None);
    }
    let mut best = Best::default();
    best.offer(repair(field, active, &root)?);
    for order in [by_index(active), by_area(field, active)] {
        best.offer(one_by_one(field, active, &order)?);
    }
    if let (Want::Any, Some(trees)) = (want, &best.trees) {
        return Ok(Found::Best(trees.clone(), 0));
    }
    let least = field::bound(&trees);
    let upper = if best.trees.is_some() { best.effort } else { least.saturating_mul(2).saturating_add(1) };
    let mut tolls = Tolls::find(field, active, upper)?;
    let mut tolled = 0u128;
    for net in active {
        let banned = field.bans(&root, *net).to_vec();
        let Some(value) = tolls.value(field, *net, &banned)? else { return Ok(Found::None) };
        tolled += u128::from(value);
    }
    let bound = least.max(tolls.bound(tolled));
    let mut branches = vec![Branch { bans: root, kept: BTreeMap::new(), bound, tolled, depth: 0 }];
    // Least bound first, then the deepest, then the latest.
    let mut open = BinaryHeap::from([Reverse((bound, Reverse(0usize), Reverse(0usize)))]);
    // The least bound of what was closed without being solved exactly.
    let mut closed = u64::MAX;
    let (mut looked, work) = (0, field.work);
    while let Some(Reverse((bound, _, Reverse(nth)))) = open.pop() {
        if bound >= best.effort {
            closed = closed.min(bound);
            break;
        }
        looked += 1;
        if looked > BRANCHES || field.work - work > WORK {
            return Ok(match best.trees {
                Some(trees) => Found::Best(trees, bound.min(closed)),
                None => Found::Unknown,
            });
        }
        let branch = std::mem::take(&mut branches[nth]);
        let Some(trees) = field.trees(active, &branch.bans)? else { continue };
        let carried = field.carried(active, &trees);
        let overfull = field.overfull(&carried);
        if overfull.is_empty() {
            closed = closed.min(field::bound(&trees).max(branch.bound));
            best.offer(Some(trees));
            if want == Want::Any {
                break;
            }
            continue;
        }
        let Some(jam) = Jam::of(field, active, &branch, &trees, &carried, &overfull)? else { continue };
        let hoped = field::bound(&trees).saturating_add(jam.extra).max(branch.bound);
        if hoped >= best.effort {
            closed = closed.min(hoped);
            continue;
        }
        if looked % 16 == 1 {
            best.offer(repair(field, active, &branch.bans)?);
        }
        for (at, net) in jam.leave.iter().enumerate() {
            let banned = field.with(&branch.bans, *net, jam.run);
            let before = field.bans(&branch.bans, *net).to_vec();
            let Some(tree) = field.tree(*net, &banned)? else { continue };
            let old = field.tree(*net, &before)?.map_or(0, |it| it.bound);
            let (Some(value), Some(paid)) =
                (tolls.value(field, *net, &banned)?, tolls.value(field, *net, &before)?)
            else {
                continue;
            };
            let tolled = branch.tolled - u128::from(paid) + u128::from(value);
            let plain = (field::bound(&trees) - old).saturating_add(tree.bound);
            let bound = hoped.max(plain).max(tolls.bound(tolled));
            if bound >= best.effort {
                closed = closed.min(bound);
                continue;
            }
            let mut bans = branch.bans.clone();
            bans.insert(*net, banned);
            let mut kept = branch.kept.clone();
            let stay = kept.entry(jam.run).or_default();
            stay.extend(&jam.leave[..at]);
            stay.sort_unstable();
            let depth = branch.depth + 1;
            open.push(Reverse((bound, Reverse(depth), Reverse(branches.len()))));
            branches.push(Branch { bans, kept, bound, tolled, depth });
        }
    }
    Ok(match best.trees {
        Some(trees) => Found::Best(trees, closed.min(best.effort)),
        None => Found::None,
    })
}

/// Why the trees of a branch do not fit.
struct Jam {
    /// What it costs at least to clear all overfull runs.
    extra: u64,
    /// The run to branch on.
    run: usize,
    /// Nets of which at least one must leave it.
    leave: Vec<usize>,
}

impl Jam {
    /// None if it cannot be cleared.
    fn of(
        field: &mut Field,
        active: &[usize],
        branch: &Branch,
        trees: &[Rc<Laid>],
        carried: &[u64],
        overfull: &[usize],
    ) -> Result<Option<Jam>, Halt> {
        // For each overfull run: what clearing it alone costs, and its free users with what leaving costs.
        let mut runs: Vec<(u64, usize, Vec<(usize, Option<u64>)>)> = Vec::new();
        for run in overfull {
            let kept = branch.kept.get(run).map_or(&[][..], Vec::as_slice);
            let mut users = Vec::new();
            for (net, tree) in active.iter().zip(trees) {
                if !tree.runs.contains(run) || kept.binary_search(net).is_ok() {
                    continue;
                }
                let banned = field.with(&branch.bans, *net, *run);
                let round = field.tree(*net, &banned)?;
                users.push((*net, round.map(|it| it.bound.saturating_sub(tree.bound))));
            }
            let items = leaving(field, &users, &[]);
            let Some(cost) = cover(&items, field.excess(*run, carried[*run])) else { return Ok(None) };
            runs.push((cost, *run, users));
        }
        runs.sort_by_key(|it| (Reverse(it.0), it.1));
        // Each net is counted in one run only; in later ones it leaves for nothing.
        let (mut extra, mut taken) = (0u64, Vec::new());
        for (_, run, users) in &runs {
            let free = users.iter().filter(|it| taken.binary_search(&it.0).is_ok());
            let free = free.fold(0u64, |sum, it| sum.saturating_add(field.nets[it.0].area));
            let needed = field.excess(*run, carried[*run]).saturating_sub(free);
            let Some(cost) = cover(&leaving(field, users, &taken), needed) else { return Ok(None) };
            extra = extra.saturating_add(cost);
            taken.extend(users.iter().map(|it| it.0));
            taken.sort_unstable();
            taken.dedup();
        }
        let Some((_, run, mut users)) = runs.into_iter().next() else { return Ok(None) };
        // Dear ones first: their branches are closed soonest, and the others have them bound to stay.
        users.sort_by_key(|it| (Reverse(it.1.unwrap_or(u64::MAX)), it.0));
        let room = field.network.runs[run].room.unwrap_or(u64::MAX);
        let kept = branch.kept.get(&run).map_or(&[][..], Vec::as_slice);
        let mut full = kept.iter().fold(0u64, |sum, it| sum.saturating_add(field.nets[*it].area));
        let mut leave = Vec::new();
        for (net, _) in users {
            if full > room {
                break;
            }
            full = full.saturating_add(field.nets[net].area);
            leave.push(net);
        }
        Ok(Some(Jam { extra, run, leave }))
    }
}

/// Nets that can leave a run, as (area, cost), without those named.
fn leaving(field: &Field, users: &[(usize, Option<u64>)], without: &[usize]) -> Vec<(u64, u64)> {
    let others = users.iter().filter(|it| without.binary_search(&it.0).is_err());
    others.filter_map(|(net, cost)| cost.map(|cost| (field.nets[*net].area, cost))).collect()
}

/// The best routes so far.
struct Best {
    trees: Option<Vec<Rc<Laid>>>,
    effort: u64,
}

impl Default for Best {
    fn default() -> Best {
        Best { trees: None, effort: u64::MAX }
    }
}

impl Best {
    fn offer(&mut self, trees: Option<Vec<Rc<Laid>>>) {
        let Some(trees) = trees else { return };
        let effort = field::effort(&trees);
        if self.trees.is_none() || effort < self.effort {
            (self.trees, self.effort) = (Some(trees), effort);
        }
    }
}

fn by_index(active: &[usize]) -> Vec<usize> {
    (0..active.len()).collect()
}

/// Thick nets first.
fn by_area(field: &Field, active: &[usize]) -> Vec<usize> {
    let mut order = by_index(active);
    order.sort_by_key(|it| (Reverse(field.nets[active[*it]].area), *it));
    order
}

/// Sends nets out of overfull runs, the cheapest for their thickness first, until all fit.
fn repair(field: &mut Field, active: &[usize], bans: &Bans) -> Result<Option<Vec<Rc<Laid>>>, Halt> {
    let mut bans = bans.clone();
    let Some(mut trees) = field.trees(active, &bans)? else { return Ok(None) };
    loop {
        let carried = field.carried(active, &trees);
        let overfull = field.overfull(&carried).into_iter();
        let Some(run) = overfull.max_by_key(|it| (field.excess(*it, carried[*it]), Reverse(*it))) else {
            return polish(field, active, trees).map(Some);
        };
        let excess = field.excess(run, carried[run]);
        let mut best: Option<(u128, u128, usize, Rc<Laid>)> = None;
        for nth in 0..active.len() {
            let net = active[nth];
            if !trees[nth].runs.contains(&run) || field.nets[net].area == 0 {
                continue;
            }
            let banned = field.with(&bans, net, run);
            let Some(round) = field.tree(net, &banned)? else { continue };
            let cost = u128::from(round.effort.saturating_sub(trees[nth].effort));
            let gain = u128::from(field.nets[net].area.min(excess));
            if best.as_ref().is_none_or(|it| cost * it.1 <= it.0 * gain) {
                best = Some((cost, gain, nth, round));
            }
        }
        let Some((_, _, nth, round)) = best else { return Ok(None) };
        let banned = field.with(&bans, active[nth], run);
        bans.insert(active[nth], banned);
        trees[nth] = round;
    }
}

/// Lays nets one after another in what room is left.
fn one_by_one(field: &mut Field, active: &[usize], order: &[usize]) -> Result<Option<Vec<Rc<Laid>>>, Halt> {
    let mut carried = vec![0u64; field.network.runs.len()];
    let mut trees: Vec<Option<Rc<Laid>>> = vec![None; active.len()];
    for nth in order {
        let Some(tree) = in_room(field, active[*nth], &carried)? else { return Ok(None) };
        for run in &tree.runs {
            carried[*run] = carried[*run].saturating_add(field.nets[active[*nth]].area);
        }
        trees[*nth] = Some(tree);
    }
    let trees: Option<Vec<Rc<Laid>>> = trees.into_iter().collect();
    trees.map(|it| polish(field, active, it)).transpose()
}

/// The best tree of a net where the others leave room.
fn in_room(field: &mut Field, net: usize, carried: &[u64]) -> Result<Option<Rc<Laid>>, Halt> {
    let area = field.nets[net].area;
    let full = |it: &usize| field.excess(*it, carried[*it].saturating_add(area)) > 0;
    let banned: Vec<usize> = (0..carried.len()).filter(full).collect();
    field.tree(net, &banned)
}

/// Lets each net take a better tree where there is room, until none has any.
fn polish(field: &mut Field, active: &[usize], mut trees: Vec<Rc<Laid>>) -> Result<Vec<Rc<Laid>>, Halt> {
    let mut carried = field.carried(active, &trees);
    loop {
        let mut better = false;
        for nth in 0..active.len() {
            let area = field.nets[active[nth]].area;
            let mut without = carried.clone();
            for run in &trees[nth].runs {
                without[*run] = without[*run].saturating_sub(area);
            }
            if let Some(tree) =
                in_room(field, active[nth], &without)?.filter(|it| it.effort < trees[nth].effort)
            {
                for run in &tree.runs {
                    without[*run] = without[*run].saturating_add(area);
                }
                (trees[nth], carried, better) = (tree, without, true);
            }
        }
        if !better {
            return Ok(trees);
        }
    }
}
