//! What must come before what, and an order that keeps to it.

use crate::works::Job;

/// Why one piece of work must come before another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// It is said so.
    After,
    /// It opens what the other is reached in.
    Opens(String),
    /// The other seals what it is reached in.
    Seals(String),
    /// Nobody said so, but it takes apart what the other puts together: the place on which both work.
    Apart(String),
}

impl Why {
    pub(super) fn seals(&self) -> bool {
        matches!(self, Self::Seals(_))
    }
}

/// One piece of work before another, by their places in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Before {
    /// The one that comes first.
    pub first: usize,
    /// The one that comes after it.
    pub then: usize,
    /// Why.
    pub why: Why,
}

/// Everything that must come before something.
pub fn edges(jobs: &[Job<'_>]) -> Vec<Before> {
    let mut edges = Vec::new();
    for (then, job) in jobs.iter().enumerate() {
        for name in &job.work.after {
            if let Some(first) = jobs.iter().position(|it| it.name == name.head().as_str()) {
                edges.push(Before { first, then, why: Why::After });
            }
        }
        for access in &job.work.reached_in {
            let openers: Vec<usize> = (0..jobs.len()).filter(|it| jobs[*it].opens(&access.value)).collect();
            // Where several open it, any of them will do.
            if let [first] = openers.as_slice() {
                edges.push(Before { first: *first, then, why: Why::Opens(access.value.to_string()) });
            }
            if !job.work.no_way_back {
                continue;
            }
            // Of two that seal the same, nobody has said which comes last.
            let before = |it: &Job<'_>| it.work.service || !it.work.no_way_back;
            let inside = jobs.iter().enumerate().filter(|(_, it)| before(it) && it.reached_in(&access.value));
            for (first, _) in inside.filter(|(first, _)| *first != then) {
                edges.push(Before { first, then, why: Why::Seals(access.value.to_string()) });
            }
        }
    }
    edges
}

/// What is taken for granted where nobody said which comes first: of two pieces of work on one place, the one
/// that opens something takes apart what the other puts together.
pub fn assumed(jobs: &[Job<'_>], edges: &[Before]) -> Vec<Before> {
    let mut known: Vec<Before> = edges.to_vec();
    let mut assumed = Vec::new();
    for (first, job) in jobs.iter().enumerate().filter(|(_, it)| !it.work.opens.is_empty()) {
        let puts = |it: &Job<'_>| it.work.opens.is_empty() && !it.work.service;
        for (then, other) in jobs.iter().enumerate().filter(|(_, it)| puts(it)) {
            let shared = job.work.on.iter().find(|it| other.work.on.iter().any(|on| on.head() == it.head()));
            let Some(place) = shared.map(|it| it.head().to_string()) else { continue };
            if !leads(&known, first, then) && !leads(&known, then, first) {
                let edge = Before { first, then, why: Why::Apart(place) };
                known.push(edge.clone());
                assumed.push(edge);
            }
        }
    }
    assumed
}

/// Whether edges lead from one piece to another.
fn leads(edges: &[Before], from: usize, to: usize) -> bool {
    let mut reached = vec![from];
    let mut next = 0;
    while let Some(at) = reached.get(next).copied() {
        next += 1;
        for edge in edges.iter().filter(|it| it.first == at) {
            if edge.then == to {
                return true;
            }
            if !reached.contains(&edge.then) {
                reached.push(edge.then);
            }
        }
    }
    false
}

/// An order of so many pieces that keeps to the edges; those in a ring are left out. What may be done next is
/// taken in the order of the list.
pub fn sequence(count: usize, edges: &[Before]) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::new();
    loop {
        let ready = |it: &usize| {
            !order.contains(it) && edges.iter().all(|e| e.then != *it || order.contains(&e.first))
        };
        let Some(next) = (0..count).find(ready) else { return order };
        order.push(next);
    }
}

/// Edges that lead round, if there are any: the shortest way from a piece of work back to itself.
pub fn ring<'e>(jobs: &[Job<'_>], edges: &'e [Before]) -> Option<Vec<&'e Before>> {
    around(jobs.len(), edges)
}

fn around(count: usize, edges: &[Before]) -> Option<Vec<&Before>> {
    let done = sequence(count, edges);
    let mut best: Option<Vec<&Before>> = None;
    for start in (0..count).filter(|it| !done.contains(it)) {
        let mut ways: Vec<(usize, Vec<&Before>)> = vec![(start, Vec::new())];
        let mut next = 0;
        while let Some((at, way)) = ways.get(next).cloned() {
            next += 1;
            for edge in edges.iter().filter(|it| it.first == at) {
                let mut longer = way.clone();
                longer.push(edge);
                if edge.then == start {
                    if best.as_ref().is_none_or(|it| longer.len() < it.len()) {
                        best = Some(longer);
                    }
                } else if !ways.iter().any(|(it, _)| *it == edge.then) {
                    ways.push((edge.then, longer));
                }
            }
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn before(pairs: &[(usize, usize)]) -> Vec<Before> {
        pairs.iter().map(|&(first, then)| Before { first, then, why: Why::After }).collect()
    }

    #[test]
    fn an_order_keeps_to_what_comes_first() {
        assert_eq!(sequence(4, &before(&[(3, 0), (0, 1)])), [2, 3, 0, 1]);
        assert_eq!(sequence(2, &before(&[(0, 1), (1, 0)])), Vec::<usize>::new());
    }

    #[test]
    fn a_ring_is_told_by_its_shortest_way() {
        let edges = before(&[(0, 1), (1, 2), (2, 3), (3, 0), (2, 1)]);
        let ring = around(4, &edges).unwrap();
        assert_eq!(ring.iter().map(|it| (it.first, it.then)).collect::<Vec<_>>(), [(1, 2), (2, 1)]);
        assert_eq!(around(2, &before(&[(1, 1)])).map(|it| it.len()), Some(1));
        assert_eq!(around(3, &before(&[(0, 1), (1, 2)])), None);
    }

    /// Against the definition, over many made lists: either an order of all in which every edge leads
    /// forward, or a ring of edges that each begin where the last ended.
    #[test]
    fn either_an_order_or_a_ring() {
        let mut seed = 7u32;
        let mut drawn = |below: u32| {
            // Numerical Recipes, a linear congruential generator; its upper bits are random enough here.
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 16) % below
        };
        let (mut orders, mut rings) = (0, 0);
        for _ in 0..2000 {
            let count = drawn(14);
            let pairs: Vec<(usize, usize)> =
                (0..count).map(|_| (drawn(9) as usize, drawn(9) as usize)).collect();
            let edges = before(&pairs);
            let order = sequence(9, &edges);
            let at = |it: usize| order.iter().position(|nth| *nth == it);
            match around(9, &edges) {
                None => {
                    orders += 1;
                    assert_eq!(order.len(), 9, "{pairs:?}");
                    assert!(edges.iter().all(|it| at(it.first) < at(it.then)), "{pairs:?}");
                }
                Some(ring) => {
                    rings += 1;
                    assert!(order.len() < 9, "{pairs:?}");
                    let next = ring.iter().skip(1).chain(ring.first());
                    assert!(ring.iter().zip(next).all(|(a, b)| a.then == b.first), "{pairs:?}");
                }
            }
        }
        assert!(orders > 300 && rings > 300, "{orders} orders, {rings} rings");
    }
}
