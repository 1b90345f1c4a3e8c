//! What clearing the overfull runs costs at least, and which nets to branch on.

use std::cmp::Reverse;

use super::branches::Branch;
use super::cover::cover;
use super::field::Field;
use super::ground::Halt;

/// Nets, by their place, that use a run and are free to leave it, with what that costs at least; none: they have no other way.
type Users = Vec<(usize, Option<u64>)>;

/// Why the trees of a branch do not fit.
pub(super) struct Jam {
    /// What it costs at least to clear all overfull runs.
    pub extra: u64,
    /// The run to branch on.
    pub run: usize,
    /// Nets, by their place, of which at least one must leave it.
    pub leave: Vec<usize>,
}

impl Jam {
    /// None if it cannot be cleared.
    pub fn of(
        field: &mut Field,
        active: &[usize],
        branch: &Branch,
        carried: &[u64],
        overfull: &[usize],
    ) -> Result<Option<Jam>, Halt> {
        // For each overfull run: what clearing it alone costs, and its free users with what leaving costs.
        let mut runs: Vec<(u64, usize, Users)> = Vec::new();
        for run in overfull {
            let kept = branch.kept.get(run).map_or(&[][..], Vec::as_slice);
            let mut users = Vec::new();
            for (place, (net, tree)) in active.iter().zip(&branch.trees).enumerate() {
                if !tree.runs.contains(run) || kept.binary_search(net).is_ok() {
                    continue;
                }
                let banned = field.with(&branch.bans, *net, *run);
                let round = field.tree(*net, &banned)?;
                users.push((place, round.map(|it| it.bound.saturating_sub(tree.bound))));
            }
            let items = leaving(field, active, &users, &[]);
            let Some(cost) = cover(&items, field.excess(*run, carried[*run])) else { return Ok(None) };
            runs.push((cost, *run, users));
        }
        runs.sort_by_key(|it| (Reverse(it.0), it.1));
        // Each net is counted in one run only; in later ones it leaves for nothing.
        let (mut extra, mut taken) = (0u64, Vec::new());
        for (_, run, users) in &runs {
            let free = users.iter().filter(|it| taken.binary_search(&it.0).is_ok());
            let free = free.fold(0u64, |sum, it| sum.saturating_add(field.nets[active[it.0]].area));
            let needed = field.excess(*run, carried[*run]).saturating_sub(free);
            let Some(cost) = cover(&leaving(field, active, users, &taken), needed) else { return Ok(None) };
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
        for (place, _) in users {
            if full > room {
                break;
            }
            full = full.saturating_add(field.nets[active[place]].area);
            leave.push(place);
        }
        Ok(Some(Jam { extra, run, leave }))
    }
}

/// Nets that can leave a run, as (area, cost), without those named.
fn leaving(
    field: &Field,
    active: &[usize],
    users: &[(usize, Option<u64>)],
    without: &[usize],
) -> Vec<(u64, u64)> {
    let others = users.iter().filter(|it| without.binary_search(&it.0).is_err());
    others.filter_map(|(place, cost)| cost.map(|cost| (field.nets[active[*place]].area, cost))).collect()
}
