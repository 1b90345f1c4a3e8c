//! Routes that fit, found without looking at everything.

use std::cmp::Reverse;
use std::rc::Rc;

use super::field::{Bans, Field};
use super::ground::{Halt, Laid};

/// Sends nets out of overfull runs, the cheapest for their thickness first, until all fit.
pub(super) fn repair(
    field: &mut Field,
    active: &[usize],
    bans: &Bans,
) -> Result<Option<Vec<Rc<Laid>>>, Halt> {
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
pub(super) fn one_by_one(
    field: &mut Field,
    active: &[usize],
    order: &[usize],
) -> Result<Option<Vec<Rc<Laid>>>, Halt> {
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
