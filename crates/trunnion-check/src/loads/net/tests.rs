use super::*;

/// The next of a row of numbers that look like chance: Lehmer's, 48271 modulo 2³¹ − 1.
fn next(seed: &mut u64) -> usize {
    *seed = *seed * 48271 % 2_147_483_647;
    *seed as usize
}

/// A net of some nodes and edges, with what is at each node, made by chance.
fn made(seed: &mut u64, nodes: usize, edges: usize) -> Net {
    let mut net = Net::default();
    for _ in 0..nodes {
        let node = net.node();
        match next(seed) % 4 {
            0 => {
                let amps = (next(seed) % 50) as f64 + 1.0;
                let side = &mut net.nodes[node];
                side.gives = if next(seed).is_multiple_of(3) { Amount::ENDLESS } else { Amount::of(amps) };
                side.sources = 1;
                side.guard = Guard { amps: side.gives.amps(), by: By::Source(node) };
            }
            1 => net.nodes[node].draws = [1.0, 2.0, (next(seed) % 9) as f64 + 2.0],
            _ => {}
        }
    }
    for _ in 0..edges {
        let (a, b) = (next(seed) % nodes, next(seed) % nodes);
        let fuse = next(seed).is_multiple_of(4).then(|| (next(seed) % 30) as f64 + 1.0);
        if a != b {
            net.edges.push(Edge { a, b, fuse, is: Is::Bridge });
        }
    }
    net
}

/// All nodes that are reached from one without an edge, each with the guard that comes from there
/// through the fuses on the way.
fn reached(net: &Net, from: usize, without: usize) -> Vec<(usize, f64)> {
    let mut found = vec![(from, f64::INFINITY)];
    let mut at = 0;
    while let Some((node, limit)) = found.get(at).copied() {
        at += 1;
        for (_, edge) in net.edges.iter().enumerate().filter(|(nth, _)| *nth != without) {
            let other = if edge.a == node {
                edge.b
            } else if edge.b == node {
                edge.a
            } else {
                continue;
            };
            if !found.iter().any(|(it, _)| *it == other) {
                found.push((other, limit.min(edge.fuse.unwrap_or(f64::INFINITY))));
            }
        }
    }
    found
}

/// Held against taking each edge away and walking both sides.
#[test]
fn both_sides_of_each_edge_are_what_a_walk_finds() {
    let mut seed = 7;
    let mut bridges = 0;
    for round in 0..300 {
        let nodes = 2 + round % 9;
        let net = made(&mut seed, nodes, nodes + round % 3);
        let solved = net.solve();
        for (nth, edge) in net.edges.iter().enumerate() {
            let (a, b) = (reached(&net, edge.a, nth), reached(&net, edge.b, nth));
            let ring = a.iter().any(|(it, _)| *it == edge.b);
            assert_eq!(solved.sides[nth].is_none(), ring, "round {round}, edge {nth}");
            let Some((left, right)) = &solved.sides[nth] else { continue };
            bridges += 1;
            for (side, walked) in [(left, &a), (right, &b)] {
                let draws: f64 = walked.iter().map(|(it, _)| net.nodes[*it].draws[2]).sum();
                let gives: f64 = walked.iter().map(|(it, _)| net.nodes[*it].gives.amps()).sum();
                let sources: i32 = walked.iter().map(|(it, _)| net.nodes[*it].sources).sum();
                assert!((side.draws[2] - draws).abs() < 1e-9, "round {round}, edge {nth}");
                assert!(side.gives.amps() == gives || (side.gives.amps() - gives).abs() < 1e-9);
                assert_eq!(side.sources, sources);
            }
        }
    }
    assert!(bridges > 500, "{bridges}");
}

/// On trees, where there is one way only: the largest of all sources, each behind its smallest fuse.
#[test]
fn what_guards_an_edge_is_the_smallest_fuse_before_each_source() {
    let mut seed = 11;
    for round in 0..200 {
        let nodes = 2 + round % 12;
        let mut net = made(&mut seed, nodes, 0);
        for b in 1..nodes {
            let fuse = next(&mut seed).is_multiple_of(3).then(|| (next(&mut seed) % 30) as f64 + 1.0);
            net.edges.push(Edge { a: next(&mut seed) % b, b, fuse, is: Is::Bridge });
        }
        let solved = net.solve();
        for (nth, edge) in net.edges.iter().enumerate() {
            let Some((left, right)) = &solved.sides[nth] else { panic!("a tree has no ring") };
            for (side, from) in [(left, edge.a), (right, edge.b)] {
                let own = edge.fuse.unwrap_or(f64::INFINITY);
                let each = reached(&net, from, nth).into_iter();
                let amps = each.map(|(it, limit)| net.nodes[it].guard.amps.min(limit).min(own));
                assert_eq!(side.guard.amps, amps.fold(0.0, f64::max), "round {round}, edge {nth}");
            }
        }
    }
}

/// A specification of 16,000 wires: one long chain, where a walk for each edge would take 256 million
/// steps, and a star.
#[test]
fn many_wires_take_one_walk() {
    let mut net = Net::default();
    let first = net.node();
    net.nodes[first].gives = Amount::of(1e9);
    net.nodes[first].sources = 1;
    for nth in 0..16_000 {
        let node = net.node();
        net.nodes[node].draws = [0.0, 0.5, 1.0];
        let before = if nth % 2 == 0 { node - 1 } else { first };
        net.edges.push(Edge { a: before, b: node, fuse: None, is: Is::Wire(nth) });
    }
    let solved = net.solve();
    let first_edge = solved.sides[0].as_ref().expect("on no ring");
    assert_eq!(first_edge.1.draws[2], 1.0);
    assert_eq!(solved.whole.len(), 1);
    assert_eq!(solved.whole[0].draws[2], 16_000.0);
}
