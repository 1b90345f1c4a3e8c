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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loom::network::{Piece, Run, Tap};

    fn piece(taps: &[(usize, u64)], through: bool) -> Piece {
        Piece {
            taps: taps.iter().map(|(zone, effort)| Tap { zone: *zone, effort: *effort }).collect(),
            through,
        }
    }

    /// Bay 0, cabin 1, roof 2: a bore through the bulkhead, and the long way over the roof.
    fn bulkhead(room: u64) -> Network {
        let run = |a, b, effort, room| Run { a, b, effort, room };
        let runs = vec![run(0, 1, 10, Some(room)), run(0, 2, 30, None), run(2, 1, 40, None)];
        Network { zones: 3, runs, stay: Vec::new() }
    }

    fn across(area: u64) -> Net {
        Net { pieces: vec![piece(&[(0, 1)], true), piece(&[(1, 2)], true)], area }
    }

    fn laid(network: &Network, nets: &[Net]) -> Routes {
        match lay(network, nets, &|| true) {
            Outcome::Laid(routes) => routes,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_later_of_two_equal_nets_goes_round_a_full_bore() {
        let routes = laid(&bulkhead(1500), &[across(1000), across(1000)]);
        let runs: Vec<&[usize]> = routes.trees.iter().map(|it| it.runs.as_slice()).collect();
        assert_eq!(runs, [&[0][..], &[1, 2]]);
        assert_eq!((routes.effort, routes.bound, routes.exact), (13 + 73, 86, true));
        assert_eq!((routes.trees[1].bound, routes.trees[1].exact), (13, false));
    }

    #[test]
    fn the_thick_net_stays_if_two_thin_ones_would_have_to_go() {
        let routes = laid(&bulkhead(1500), &[across(700), across(1500), across(800)]);
        assert_eq!(routes.trees[1].runs, [1, 2]);
        let routes = laid(&bulkhead(1500), &[across(1000), across(1500), across(1000)]);
        assert_eq!(routes.effort, 13 + 73 + 73);
    }

    #[test]
    fn a_full_bore_without_a_way_round_names_the_nets_that_fill_it() {
        let mut network = bulkhead(1500);
        network.runs.truncate(2);
        let nets = [across(350), across(1000), across(350), across(750)];
        assert_eq!(lay(&network, &nets, &|| true), Outcome::NoRoom { run: 0, nets: vec![1, 3] });
        assert_eq!(
            lay(&network, &[across(500), across(2500)], &|| true),
            Outcome::NoRoom { run: 0, nets: vec![1] }
        );
    }

    #[test]
    fn of_a_choice_of_feeds_one_is_taken_and_none_is_passed_through() {
        let network = bulkhead(0);
        let feeds = [(0, 5), (1, 5)];
        let lamps = |through| {
            let pieces = vec![piece(&[(0, 1)], true), piece(&feeds, through), piece(&[(1, 1)], true)];
            laid(&network, &[Net { pieces, area: 500 }]).trees.swap_remove(0)
        };
        assert_eq!(
            lamps(true),
            Tree { effort: 12, taps: vec![(0, 0), (1, 0), (1, 1), (2, 0)], ..lamps(true) }
        );
        let taken = lamps(false);
        assert_eq!((taken.effort, taken.runs), (1 + 1 + 5 + 70, vec![1, 2]));
        assert_eq!(taken.taps, [(0, 0), (1, 0), (2, 0)]);
    }

    #[test]
    fn pieces_in_one_zone_are_joined_there_and_an_unreached_zone_is_told() {
        let mut network = bulkhead(0);
        network.zones = 4;
        network.stay = vec![3];
        let pair = Net { pieces: vec![piece(&[(0, 1)], true), piece(&[(0, 2)], false)], area: 500 };
        assert_eq!(laid(&network, std::slice::from_ref(&pair)).effort, 1 + 2 + 3 + 3);
        let far = Net { pieces: vec![piece(&[(0, 1)], true), piece(&[(3, 2)], true)], area: 0 };
        assert_eq!(lay(&network, &[pair.clone(), far], &|| true), Outcome::NoWay { net: 1 });
        let nowhere = Net { pieces: vec![piece(&[(0, 1)], true), piece(&[], true)], area: 0 };
        assert_eq!(lay(&network, &[pair, nowhere], &|| true), Outcome::NoWay { net: 1 });
    }

    #[test]
    fn one_piece_alone_takes_nothing() {
        let alone = Net { pieces: vec![piece(&[(0, 9), (1, 9)], false)], area: 500 };
        assert_eq!(laid(&bulkhead(0), &[alone, Net::default()]).effort, 0);
    }
}
