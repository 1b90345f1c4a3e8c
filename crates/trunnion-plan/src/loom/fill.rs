//! All nets together: the least sum of efforts such that no bore is overfull.
//!
//! As long as every net by itself fits, its own least tree is the answer; else [`super::branches`] finds it.
//!
//! The same input gives the same routes. Where no run is too full, each net has the first of its equal trees
//! (the order is in [`super::tree`]). Where runs are full and several routes have the same least sum, those
//! that the search meets first are taken; its order is fixed, and sends later nets round before earlier ones.

use std::cmp::Reverse;
use std::rc::Rc;

use super::branches::{Found, Want, search};
use super::field::{self, Field};
use super::ground::{Halt, Laid};
use super::network::{Net, Network, Outcome, Routes, Tree};

/// Joins all nets over the network with the least sum of efforts, so that the nets that use a run have no
/// more area than its room. `go_on` is asked often; when it says no the answer is [`Outcome::Stopped`].
///
/// Efforts are best kept below 10⁹ seconds; sums that pass the largest number stay there.
pub fn lay(network: &Network, nets: &[Net], go_on: &dyn Fn() -> bool) -> Outcome {
    outcome(network, nets, go_on).unwrap_or(Outcome::Stopped)
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
