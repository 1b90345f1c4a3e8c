//! Branch and bound over who stays out of which full run.
//!
//! Where a run is too full, at least one of some nets must stay out of it; the first of them that does makes
//! the branches, and those before it are bound to stay. The best bound goes first. Bounds are the sum of the
//! nets' own trees, what it costs at least to take enough out of each overfull run ([`super::jam`]), and
//! tolls ([`super::tolls`]).

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};
use std::rc::Rc;

use super::field::{self, Bans, Field};
use super::ground::{Halt, Laid};
use super::jam::Jam;
use super::repair::{one_by_one, repair};
use super::tolls::{self, Tolls};

/// Branches that are looked at before the search is given up.
const BRANCHES: usize = 2_000;
/// Steps of the exact method in all before it is given up.
const WORK: u64 = 1 << 26;

/// What came of looking for routes of some nets.
pub(super) enum Found {
    /// Trees in the order of the nets, and a bound for their sum.
    Best(Vec<Rc<Laid>>, u64),
    /// There are none.
    None,
    /// Given up.
    Unknown,
}

/// Whether the least is wanted, or any routes that fit.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Want {
    Least,
    Any,
}

/// A branch: what is forbidden, who is bound to stay, and what can be hoped for.
#[derive(Default)]
pub(super) struct Branch {
    pub bans: Bans,
    /// For each run the nets that are taken to use it.
    pub kept: BTreeMap<usize, Vec<usize>>,
    /// The own trees of the nets under what is forbidden.
    pub trees: Vec<Rc<Laid>>,
    bound: u64,
    /// What the nets pay at least, tolls and all.
    tolled: u128,
    depth: usize,
}

/// Routes for these nets, in order.
pub(super) fn search(field: &mut Field, active: &[usize], want: Want) -> Result<Found, Halt> {
    let Some(mut trees) = field.trees(active, &Bans::new())? else { return Ok(Found::None) };
    let places = contending(field, active, &trees);
    let some: Vec<usize> = places.iter().map(|it| active[*it]).collect();
    let own: Vec<Rc<Laid>> = places.iter().map(|it| trees[*it].clone()).collect();
    let others = field::bound(&trees) - field::bound(&own);
    Ok(match contend(field, &some, own, want)? {
        Found::Best(found, bound) => {
            for (place, tree) in places.into_iter().zip(found) {
                trees[place] = tree;
            }
            Found::Best(trees, bound.saturating_add(others))
        }
        other => other,
    })
}

/// The nets, by their place, whose own trees use a run that may become too full. The others can keep theirs
/// whatever these do.
fn contending(field: &Field, active: &[usize], trees: &[Rc<Laid>]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..active.len()).collect();
    loop {
        let area = places.iter().fold(0u64, |sum, it| sum.saturating_add(field.nets[active[*it]].area));
        let mut carried = vec![area; field.network.runs.len()];
        for place in (0..active.len()).filter(|it| places.binary_search(it).is_err()) {
            for run in &trees[place].runs {
                carried[*run] = carried[*run].saturating_add(field.nets[active[place]].area);
            }
        }
        let tight = field.overfull(&carried);
        let before = places.len();
        places.retain(|it| trees[*it].runs.iter().any(|run| tight.binary_search(run).is_ok()));
        if places.len() == before {
            return places;
        }
    }
}

/// Routes for nets that may be in one another's way.
fn contend(field: &mut Field, active: &[usize], trees: Vec<Rc<Laid>>, want: Want) -> Result<Found, Halt> {
    let root = Bans::new();
    let carried = field.carried(active, &trees);
    let overfull = field.overfull(&carried);
    if overfull.is_empty() {
        let bound = field::bound(&trees);
        return Ok(Found::Best(trees, bound));
    }
    let least = field::bound(&trees);
    let mut first = Branch { trees, bound: least, ..Branch::default() };
    let Some(jam) = Jam::of(field, active, &first, &carried, &overfull)? else {
        return Ok(Found::None);
    };
    let mut best = Best::default();
    best.offer(repair(field, active, &root)?);
    for order in [by_index(active), by_area(field, active)] {
        if best.trees.is_none() || want == Want::Least {
            best.offer(one_by_one(field, active, &order)?);
        }
    }
    match &best.trees {
        Some(trees) if want == Want::Any => return Ok(Found::Best(trees.clone(), 0)),
        None if tolls::no_room(field, active)? => return Ok(Found::None),
        _ => {}
    }
    first.bound = first.bound.saturating_add(jam.extra);
    if let Some(trees) = best.trees.take_if(|_| first.bound >= best.effort) {
        return Ok(Found::Best(trees, best.effort));
    }
    let upper = if best.trees.is_some() { best.effort } else { least.saturating_mul(2).saturating_add(1) };
    let mut tolls = Tolls::find(field, active, upper)?;
    let mut tolled = 0u128;
    for net in active {
        let banned = field.bans(&root, *net).to_vec();
        let Some(value) = tolls.value(field, *net, &banned)? else { return Ok(Found::None) };
        tolled += u128::from(value);
    }
    (first.bound, first.tolled) = (first.bound.max(tolls.bound(tolled)), tolled);
    explore(field, active, want, &mut tolls, first, best)
}

/// Looks at branches, the least bound first, until none can be better than what is known.
fn explore(
    field: &mut Field,
    active: &[usize],
    want: Want,
    tolls: &mut Tolls,
    first: Branch,
    mut best: Best,
) -> Result<Found, Halt> {
    // Least bound first, then the deepest, then the latest.
    let mut open = BinaryHeap::from([Reverse((first.bound, Reverse(0usize), Reverse(0usize)))]);
    let mut branches = vec![first];
    // The least bound of what is closed.
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
        let carried = field.carried(active, &branch.trees);
        let overfull = field.overfull(&carried);
        if overfull.is_empty() {
            closed = closed.min(branch.bound);
            best.offer(Some(branch.trees));
            if want == Want::Any {
                break;
            }
            continue;
        }
        let Some(jam) = Jam::of(field, active, &branch, &carried, &overfull)? else { continue };
        if looked % 16 == 1 {
            best.offer(repair(field, active, &branch.bans)?);
        }
        for child in children(field, active, tolls, &branch, &jam)? {
            if child.bound >= best.effort {
                closed = closed.min(child.bound);
                continue;
            }
            open.push(Reverse((child.bound, Reverse(child.depth), Reverse(branches.len()))));
            branches.push(child);
        }
    }
    Ok(match best.trees {
        Some(trees) => Found::Best(trees, closed.min(best.effort)),
        None => Found::None,
    })
}

/// The branches in which one net after another is the first to stay out of the run that is too full.
fn children(
    field: &mut Field,
    active: &[usize],
    tolls: &mut Tolls,
    branch: &Branch,
    jam: &Jam,
) -> Result<Vec<Branch>, Halt> {
    let plain = field::bound(&branch.trees);
    let hoped = plain.saturating_add(jam.extra).max(branch.bound);
    let mut children = Vec::new();
    for (at, place) in jam.leave.iter().enumerate() {
        let net = active[*place];
        let (old, before) = (&branch.trees[*place], field.bans(&branch.bans, net).to_vec());
        let banned = field.with(&branch.bans, net, jam.run);
        let Some(tree) = field.tree(net, &banned)? else { continue };
        let (Some(value), Some(paid)) =
            (tolls.value(field, net, &banned)?, tolls.value(field, net, &before)?)
        else {
            continue;
        };
        let tolled = branch.tolled - u128::from(paid) + u128::from(value);
        let own = (plain - old.bound).saturating_add(tree.bound);
        let bound = hoped.max(own).max(tolls.bound(tolled));
        let (mut bans, mut kept, mut trees) =
            (branch.bans.clone(), branch.kept.clone(), branch.trees.clone());
        bans.insert(net, banned);
        trees[*place] = tree;
        let stay = kept.entry(jam.run).or_default();
        stay.extend(jam.leave[..at].iter().map(|it| active[*it]));
        stay.sort_unstable();
        children.push(Branch { bans, kept, trees, bound, tolled, depth: branch.depth + 1 });
    }
    Ok(children)
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
