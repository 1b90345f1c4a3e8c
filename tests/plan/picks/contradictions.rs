//! A smallest contradiction against looking at every set of statements.

use super::generated::{Draw, Shape, problem};
use super::on;
use trunnion_plan::picks::{Grounds, Limit, Outcome, Problem, contradiction, irreducible, solve};

/// Some statements for each constraint, mostly one, now and then none or two.
fn grounds(problem: &Problem, statements: u64, draw: &mut Draw) -> Grounds {
    let mut some = || -> Vec<u32> {
        let count = [1, 1, 1, 1, 2, 2, 0][draw.index(7)];
        (0..count).map(|_| 10 + 3 * draw.below(statements) as u32).collect()
    };
    Grounds {
        picks: problem.picks.iter().map(|_| some()).collect(),
        never: problem.never.iter().map(|_| some()).collect(),
        limits: problem.limits.iter().map(|_| some()).collect(),
    }
}

/// What is left of a problem when only some statements hold, in the plainest words: a pick that nothing
/// demands gets a candidate that nothing speaks of.
fn left(problem: &Problem, grounds: &Grounds, set: &[u32]) -> Problem {
    let holds = |it: &Vec<u32>| it.iter().all(|one| set.contains(one));
    let mut left = problem.clone();
    let free: Vec<usize> = left.picks.iter().map(Vec::len).collect();
    for (pick, it) in left.picks.iter_mut().zip(&grounds.picks) {
        if !holds(it) {
            pick.push(Default::default());
        }
    }
    let mut at = grounds.never.iter();
    left.never.retain(|_| at.next().is_some_and(holds));
    let mut at = grounds.limits.iter();
    left.limits.retain(|_| at.next().is_some_and(holds));
    left.columns.clear();
    left.levels.clear();
    assert!(left.never.iter().flatten().all(|it| it.1 < free[it.0]));
    left
}

fn possible(problem: &Problem) -> bool {
    super::choices(problem).iter().any(|it| super::allows(problem, it))
}

/// All sets of so many statements.
fn sets(of: &[u32], count: usize) -> Vec<Vec<u32>> {
    if count == 0 {
        return vec![Vec::new()];
    }
    let with = |(nth, it): (usize, &u32)| -> Vec<Vec<u32>> {
        sets(&of[nth + 1..], count - 1).iter().map(|rest| [&[*it], rest.as_slice()].concat()).collect()
    };
    of.iter().enumerate().flat_map(with).collect()
}

#[test]
fn no_contradiction_is_smaller_than_what_looking_at_every_set_finds() {
    let mut found = 0;
    let mut nth = 0;
    let mut sizes = [0; 8];
    while found < 3000 {
        nth += 1;
        let mut draw = Draw(nth);
        let shape = Shape {
            seed: 11_000_000 + nth,
            picks: 1 + draw.index(4),
            candidates: 1 + draw.below(3),
            spread: [4, 50, 1000][draw.index(3)],
            nevers: draw.index(8),
            stocks: draw.index(3),
            budget: [0, 0, 1, 100][draw.index(4)],
        };
        let mut problem = problem(shape);
        if draw.below(3) == 0 {
            // A budget below what the cheapest choice costs.
            if let Some(limit) = problem.limits.last_mut() {
                limit.most /= 2;
            }
        }
        let grounds = grounds(&problem, 3 + draw.below(5), &mut draw);
        let answer = contradiction(&problem, &grounds, &on);
        let lists = [&grounds.picks, &grounds.never, &grounds.limits];
        let mut all: Vec<u32> = lists.into_iter().flatten().flatten().copied().collect();
        all.sort_unstable();
        all.dedup();
        if possible(&left(&problem, &grounds, &all)) {
            assert_eq!(answer, None, "{shape:?}");
            continue;
        }
        found += 1;
        let first = (0..=all.len())
            .flat_map(|count| sets(&all, count))
            .find(|set| !possible(&left(&problem, &grounds, set)));
        let answer = answer.unwrap();
        assert_eq!(Some(answer.len()), first.map(|it| it.len()), "{shape:?} {problem:?} {grounds:?}");
        assert!(!possible(&left(&problem, &grounds, &answer)), "{shape:?}");
        sizes[answer.len()] += 1;
        let answer = irreducible(&problem, &grounds, &on).unwrap();
        assert!(!possible(&left(&problem, &grounds, &answer)), "{shape:?}");
        for out in &answer {
            let rest: Vec<u32> = answer.iter().filter(|it| *it != out).copied().collect();
            assert!(possible(&left(&problem, &grounds, &rest)), "{shape:?}");
        }
    }
    assert!(sizes[0] > 10 && sizes[2] > 300 && sizes[4] > 30, "{sizes:?}");
}

/// Forty picks with something that cannot be: a budget too small, a few picks that exclude one another
/// whichever way they are made, or more demand than stock.
fn planted(nth: u64) -> (Problem, Grounds) {
    let (picks, mut draw) = (40, Draw(nth));
    let shape = Shape {
        seed: 12_000_000 + nth,
        picks,
        candidates: 6,
        spread: 1000,
        nevers: 80,
        stocks: 1,
        budget: 300,
    };
    let mut problem = problem(shape);
    match nth % 3 {
        0 => problem.limits[1].most = problem.limits[1].most * (1 + draw.below(4)) / 9,
        1 => {
            // A ring of picks, each with two candidates at most, of which neighbours cannot take the same; an
            // odd ring has no way round.
            let ring: Vec<usize> = (0..3 + 2 * draw.index(3)).map(|it| it * 5 + draw.index(5)).collect();
            problem.never.retain(|it| !it.iter().any(|one| ring.contains(&one.0)));
            for (nth, pick) in ring.iter().enumerate() {
                let next = ring[(nth + 1) % ring.len()];
                problem.picks[*pick].truncate(2);
                problem.never.extend((0..2).map(|it| vec![(*pick, it), (next, it)]));
            }
            let there = |it: &(usize, usize, u64)| it.1 < 2 || !ring.contains(&it.0);
            problem.limits.iter_mut().for_each(|it| it.uses.retain(there));
        }
        _ => {
            let mut uses = Vec::new();
            for it in 0..5 {
                let count = problem.picks[it * 8].len();
                uses.extend((0..count).map(|nth| (it * 8, nth, 1 + (it + nth) as u64 % 2)));
            }
            problem.limits.push(Limit { uses, most: 1 + draw.below(3) });
        }
    }
    // Every constraint rests on a statement of its own.
    let mut next = 0_u32..;
    let mut own = |count: usize| next.by_ref().take(count).map(|it| vec![it]).collect::<Vec<Vec<u32>>>();
    let grounds =
        Grounds { picks: own(picks), never: own(problem.never.len()), limits: own(problem.limits.len()) };
    (problem, grounds)
}

#[test]
fn without_any_one_statement_of_a_contradiction_the_rest_is_possible() {
    let mut found = 0;
    for nth in 0..30 {
        let (problem, grounds) = planted(nth);
        let Some(set) = contradiction(&problem, &grounds, &on) else { continue };
        found += 1;
        assert_eq!(solve(&left(&problem, &grounds, &set), &on), Outcome::Impossible);
        for out in &set {
            let rest: Vec<u32> = set.iter().filter(|it| *it != out).copied().collect();
            assert!(
                matches!(solve(&left(&problem, &grounds, &rest), &on), Outcome::Best(_)),
                "{out} of {set:?}"
            );
        }
    }
    assert!(found > 25, "{found}");
}
