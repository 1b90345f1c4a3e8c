//! Routes of small generated cases against exhaustive search: every subset of runs and taps of every net,
//! and every combination of what remains of them.

use trunnion_plan::loom::fill::lay;
use trunnion_plan::loom::network::{Net, Network, Outcome, Piece, Run, Tap, Tree};

use crate::routes::Draw;

const CASES: u64 = 6000;

/// Two to four zones, up to six runs (parallel ones and loops among them), two or three nets; efforts so
/// small that many trees are equal.
fn case(seed: u64) -> (Network, Vec<Net>) {
    let mut draw = Draw::from(seed);
    let zones = 2 + draw.below(3).min(draw.below(4)) as usize;
    let mut runs = Vec::new();
    for _ in 0..1 + draw.below(6) {
        let room = (draw.below(2) == 0).then(|| draw.below(5));
        let (a, b) = (draw.below(zones as u64) as usize, draw.below(zones as u64) as usize);
        runs.push(Run { a, b, effort: draw.below(5), room });
    }
    let stay = (0..draw.below(zones as u64 + 1)).map(|_| draw.below(2)).collect();
    let mut nets = Vec::new();
    for _ in 0..2 + draw.below(2) {
        let mut net = Net { pieces: Vec::new(), area: draw.below(6).min(3) };
        let mut left = 12 - runs.len() as u64;
        for _ in 0..1 + draw.below(4) {
            let taps = 1 + draw.below(3).min(draw.below(3));
            if taps <= left {
                left -= taps;
                let mut tap = |_| Tap { zone: draw.below(zones as u64) as usize, effort: draw.below(3) };
                let taps = (0..taps).map(&mut tap).collect();
                net.pieces.push(Piece { taps, through: draw.below(3) != 0 });
            }
        }
        nets.push(net);
    }
    (Network { zones, runs, stay }, nets)
}

/// A way to join a net, in the order of preference: effort, how many runs, how many taps, the runs, the taps.
type Way = (u64, usize, usize, Vec<usize>, Vec<(usize, usize)>);

fn root(of: &mut [usize], at: usize) -> usize {
    if of[at] != at {
        of[at] = root(of, of[at]);
    }
    of[at]
}

/// What the runs and taps cost, if they make one conductor of all pieces.
fn joins(network: &Network, net: &Net, runs: &[usize], taps: &[(usize, usize)]) -> Option<u64> {
    let mut of: Vec<usize> = (0..network.zones + net.pieces.len()).collect();
    let (mut effort, mut used) = (0, vec![0; net.pieces.len()]);
    for run in runs {
        let run = network.runs[*run];
        let (a, b) = (root(&mut of, run.a), root(&mut of, run.b));
        of[a] = b;
        effort += run.effort;
    }
    for (piece, tap) in taps {
        let tap = net.pieces[*piece].taps[*tap];
        let (a, b) = (root(&mut of, tap.zone), root(&mut of, network.zones + piece));
        of[a] = b;
        used[*piece] += 1;
        effort += tap.effort + network.stay.get(tap.zone).copied().unwrap_or(0);
    }
    let first = root(&mut of, network.zones);
    let one = (0..net.pieces.len()).all(|it| root(&mut of, network.zones + it) == first);
    let ends = net.pieces.iter().zip(used).all(|(piece, used)| piece.through || used == 1);
    (one && ends).then_some(effort)
}

/// Every subset of runs and taps that joins a net, without those that use more runs and more effort than
/// another, best first.
fn ways(network: &Network, net: &Net) -> Vec<Way> {
    if net.pieces.len() < 2 {
        return vec![(0, 0, 0, Vec::new(), Vec::new())];
    }
    let taps: Vec<(usize, usize)> = net
        .pieces
        .iter()
        .enumerate()
        .flat_map(|(nth, piece)| (0..piece.taps.len()).map(move |tap| (nth, tap)))
        .collect();
    let (count, mut ways) = (network.runs.len(), Vec::new());
    for subset in 0..1u32 << (count + taps.len()) {
        let used: Vec<usize> = (0..count).filter(|it| subset >> it & 1 == 1).collect();
        let with: Vec<(usize, usize)> =
            (0..taps.len()).filter(|it| subset >> (count + it) & 1 == 1).map(|it| taps[it]).collect();
        if let Some(effort) = joins(network, net, &used, &with) {
            ways.push((effort, used.len(), with.len(), used, with));
        }
    }
    ways.sort();
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        if !kept.iter().any(|it| it.3.iter().all(|run| way.3.contains(run))) {
            kept.push(way);
        }
    }
    kept
}

/// The least sum over all combinations that keep to the room.
fn least(nets: &[(&Net, &Vec<Way>)], room: &mut [Option<u64>]) -> Option<u64> {
    let Some(((net, ways), rest)) = nets.split_first() else { return Some(0) };
    let mut best: Option<u64> = None;
    for (effort, _, _, runs, _) in ways.iter() {
        if runs.iter().all(|it| room[*it].is_none_or(|room| room >= net.area)) {
            for run in runs {
                room[*run] = room[*run].map(|it| it - net.area);
            }
            if let Some(others) = least(rest, room) {
                best = Some(best.map_or(effort + others, |it| it.min(effort + others)));
            }
            for run in runs {
                room[*run] = room[*run].map(|it| it + net.area);
            }
        }
    }
    best
}

fn rooms(network: &Network) -> Vec<Option<u64>> {
    network.runs.iter().map(|it| it.room).collect()
}

/// That trees join their nets, cost what they say and keep to the room.
pub fn sound(network: &Network, nets: &[Net], trees: &[Tree]) {
    assert_eq!(nets.len(), trees.len());
    let mut room = rooms(network);
    for (net, tree) in nets.iter().zip(trees) {
        if net.pieces.len() > 1 {
            assert_eq!(joins(network, net, &tree.runs, &tree.taps), Some(tree.effort), "{net:?} {tree:?}");
        }
        assert!(tree.bound <= tree.effort && tree.exact == (tree.bound == tree.effort), "{tree:?}");
        for run in &tree.runs {
            room[*run] = room[*run].map(|it| it.checked_sub(net.area).expect("room"));
        }
    }
}

#[test]
fn routes_are_those_of_exhaustive_search() {
    let mut counts = [0; 4];
    for seed in 0..CASES {
        let (network, nets) = case(seed);
        let all: Vec<Vec<Way>> = nets.iter().map(|it| ways(&network, it)).collect();
        let pairs: Vec<(&Net, &Vec<Way>)> = nets.iter().zip(&all).collect();
        let fits = |pairs: &[(&Net, &Vec<Way>)]| least(pairs, &mut rooms(&network));
        let made = lay(&network, &nets, &|| true);
        assert_eq!(made, lay(&network, &nets, &|| true));
        match &made {
            Outcome::NoWay { net } => {
                assert_eq!(all.iter().position(Vec::is_empty), Some(*net), "{seed}");
                counts[0] += 1;
            }
            Outcome::NoRoom { run, nets: some } => {
                assert!(all.iter().all(|it| !it.is_empty()), "{seed}");
                assert_eq!(fits(&pairs), None, "{seed}");
                let named: Vec<_> = some.iter().map(|it| pairs[*it]).collect();
                assert_eq!(fits(&named), None, "{seed} {made:?}");
                for out in 0..named.len() {
                    let mut fewer = named.clone();
                    fewer.remove(out);
                    assert!(fits(&fewer).is_some(), "{seed} {made:?} without {out}");
                }
                let area: u64 = named.iter().map(|it| it.0.area).sum();
                assert!(network.runs[*run].room.is_some_and(|room| room < area), "{seed} {made:?}");
                counts[1] += 1;
            }
            Outcome::Laid(routes) => {
                sound(&network, &nets, &routes.trees);
                assert_eq!(Some(routes.effort), fits(&pairs), "{seed} {made:?}");
                assert!(routes.exact && routes.bound == routes.effort, "{seed} {made:?}");
                assert_eq!(routes.effort, routes.trees.iter().map(|it| it.effort).sum::<u64>());
                // Each net's own best, by the stated order, as long as those fit together.
                let firsts: Vec<Vec<Way>> = all.iter().map(|it| vec![it[0].clone()]).collect();
                let alone: Vec<(&Net, &Vec<Way>)> = nets.iter().zip(&firsts).collect();
                if fits(&alone).is_some() {
                    for (tree, first) in routes.trees.iter().zip(&firsts) {
                        assert_eq!((&tree.runs, &tree.taps), (&first[0].3, &first[0].4), "{seed}");
                    }
                    counts[2] += 1;
                } else {
                    counts[3] += 1;
                }
            }
            Outcome::Stopped => panic!("{seed}: not told to stop"),
        }
    }
    // No way, no room, each its own best, sent round a full bore: enough of all.
    assert!(counts.iter().all(|it| *it > 300), "{counts:?}");
}

#[test]
fn told_to_stop_it_stops() {
    let (network, nets) = case(1);
    assert_eq!(lay(&network, &nets, &|| false), Outcome::Stopped);
}
