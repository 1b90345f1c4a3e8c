//! Tolls on full runs: a proven lower bound for all nets together.
//!
//! If each unit of area pays a toll in each run that may be full, and the room is paid back, then the sum
//! of the cheapest trees at those prices is never more than the effort of any routes that fit (Lagrangian
//! relaxation: M. Held and R. M. Karp, "The traveling-salesman problem and minimum spanning trees: part
//! II", Mathematical Programming 1 (1971) 6–25, cited from memory). The tolls are improved step by step.
//! With efforts left out, the same sum above nothing proves that the nets cannot all be laid.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::field::{Bans, Field};
use super::ground::{Halt, Laid};

/// Efforts are multiplied by this, so that tolls can be whole numbers.
const SCALE: u64 = 1 << 12;
/// Steps for the bound.
const STEPS: usize = 100;
/// Steps for the proof that there is no room.
const PROOF: usize = 60;
/// Steps of the exact method after which either is ended.
const WORK: u64 = 1 << 25;
/// Steps without gain after which they are halved.
const PATIENCE: usize = 6;

/// A toll for each run, and what it makes of the nets.
#[derive(Clone, Debug, Default)]
pub(super) struct Tolls {
    toll: Vec<u64>,
    values: BTreeMap<(usize, Vec<usize>), Option<u64>>,
    /// What is paid back for all the room.
    back: u128,
}

impl Tolls {
    /// Good tolls for these nets, if routes of the effort `upper` are known or thought possible.
    pub fn find(field: &mut Field, active: &[usize], upper: u64) -> Result<Tolls, Halt> {
        let none = Bans::new();
        let mut best = Tolls { toll: vec![0; field.network.runs.len()], ..Tolls::default() };
        let Some(trees) = field.trees(active, &none)? else { return Ok(best) };
        let target = u128::from(upper) * u128::from(SCALE);
        let (mut toll, mut gain, mut stale, mut step) = (vec![0f64; best.toll.len()], None, 0, 1.0);
        let work = field.work;
        for _ in 0..STEPS {
            let whole: Vec<u64> = toll.iter().map(|it| it.round() as u64).collect();
            let (mut sum, mut carried) = (0u128, vec![0u64; toll.len()]);
            for (net, own) in active.iter().zip(&trees) {
                // A net whose own tree pays no toll keeps it.
                let laid = if own.runs.iter().all(|it| whole[*it] == 0) {
                    sum += u128::from(own.bound) * u128::from(SCALE);
                    own.clone()
                } else {
                    let banned = field.bans(&none, *net).to_vec();
                    let Some(laid) = field.priced(*net, &banned, SCALE, |run| whole[run])? else {
                        return Ok(best);
                    };
                    sum += u128::from(laid.bound);
                    Rc::new(laid)
                };
                for run in &laid.runs {
                    carried[*run] = carried[*run].saturating_add(field.nets[*net].area);
                }
            }
            let back = paid_back(field, &whole);
            let value = signed(sum) - signed(back);
            if gain.is_none_or(|it| value > it) {
                (gain, stale) = (Some(value), 0);
                (best.toll, best.back) = (whole, back);
            } else {
                stale += 1;
            }
            if stale == PATIENCE {
                (stale, step) = (0, step / 2.0);
            }
            let slope = slope(field, &carried, &toll);
            let norm: f64 = slope.iter().map(|it| it * it).sum();
            let missing = signed(target) - value;
            if norm == 0.0 || missing <= 0 || field.work - work > WORK {
                break;
            }
            for (toll, slope) in toll.iter_mut().zip(slope) {
                *toll = (*toll + step * missing as f64 * slope / norm).clamp(0.0, 1e12);
            }
        }
        Ok(best)
    }

    /// What the cheapest tree of a net costs at these tolls; none if there is no way.
    pub fn value(&mut self, field: &mut Field, net: usize, banned: &[usize]) -> Result<Option<u64>, Halt> {
        let key = (net, banned.to_vec());
        if let Some(known) = self.values.get(&key) {
            return Ok(*known);
        }
        let toll = &self.toll;
        let free = |tree: &Laid| tree.runs.iter().all(|run| toll[*run] == 0);
        let found = match field.tree(net, banned)? {
            Some(own) if free(&own) => Some(own.bound.saturating_mul(SCALE)),
            Some(_) => field.priced(net, banned, SCALE, |run| toll[run])?.map(|it| it.bound),
            None => None,
        };
        self.values.insert(key, found);
        Ok(found)
    }

    /// The bound that follows from the sum of the values: a whole number of seconds.
    pub fn bound(&self, sum: u128) -> u64 {
        let left = sum.saturating_sub(self.back);
        u64::try_from(left.div_ceil(u128::from(SCALE))).unwrap_or(u64::MAX)
    }
}

/// Whether it is proven that these nets cannot all be laid.
pub(super) fn no_room(field: &mut Field, active: &[usize]) -> Result<bool, Halt> {
    let none = Bans::new();
    let mut toll = vec![0f64; field.network.runs.len()];
    let work = field.work;
    for nth in 0..PROOF {
        let whole: Vec<u64> = toll.iter().map(|it| (it * 1000.0).round() as u64).collect();
        let (mut sum, mut carried) = (0u128, vec![0u64; toll.len()]);
        for net in active {
            let banned = field.bans(&none, *net).to_vec();
            let Some(laid) = field.priced(*net, &banned, 0, |run| whole[run])? else { return Ok(true) };
            sum += u128::from(laid.bound);
            for run in laid.runs {
                carried[run] = carried[run].saturating_add(field.nets[*net].area);
            }
        }
        if sum > paid_back(field, &whole) {
            return Ok(true);
        }
        let slope = slope(field, &carried, &toll);
        let norm = slope.iter().map(|it| it * it).sum::<f64>().sqrt();
        if norm == 0.0 || field.work - work > WORK {
            return Ok(false);
        }
        let step = 1.0 / (1.0 + nth as f64 / 10.0);
        for (toll, slope) in toll.iter_mut().zip(slope) {
            *toll = (*toll + step * slope / norm).max(0.0);
        }
    }
    Ok(false)
}

/// What all the room is worth.
fn paid_back(field: &Field, toll: &[u64]) -> u128 {
    let runs = field.network.runs.iter().zip(toll);
    runs.map(|(run, toll)| u128::from(run.room.unwrap_or(0)) * u128::from(*toll)).sum()
}

/// How much too full each run is; below nothing where it has room, as long as its toll can fall.
fn slope(field: &Field, carried: &[u64], toll: &[f64]) -> Vec<f64> {
    let each = field.network.runs.iter().zip(carried.iter().zip(toll));
    each.map(|(run, (carried, toll))| match run.room {
        Some(room) if *toll > 0.0 || *carried > room => *carried as f64 - room as f64,
        _ => 0.0,
    })
    .collect()
}

fn signed(it: u128) -> i128 {
    i128::try_from(it).unwrap_or(i128::MAX)
}
