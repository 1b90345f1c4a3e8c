//! Picks against exhaustive search, and against a reference optimiser.

mod contradictions;
mod generated;

use generated::{Draw, Shape, problem};
use trunnion_plan::picks::{Outcome, Problem, Solution, alternatives, solve};

fn on() -> bool {
    true
}

/// A few picks, with figures that often tie.
fn small(nth: u64) -> Shape {
    let mut draw = Draw(nth.wrapping_mul(0x5851_F42D_4C95_7F2D));
    Shape {
        seed: 7_000_000 + nth,
        picks: 1 + draw.index(5),
        candidates: 2 + draw.below(3),
        spread: [3, 8, 1000, 1_000_000_000][draw.index(4)],
        nevers: draw.index(7),
        stocks: draw.index(3),
        budget: [0, 0, 200, 500][draw.index(4)],
    }
}

/// Every choice of one candidate for each pick, in the order of `picked`.
fn choices(problem: &Problem) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for pick in &problem.picks {
        let longer = |it: &Vec<usize>| -> Vec<Vec<usize>> {
            (0..pick.len()).map(|nth| [it.as_slice(), &[nth]].concat()).collect()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all
}

/// The best choice that passes, by looking at all of them.
fn exhaustive(problem: &Problem, passes: impl Fn(&[usize]) -> bool) -> Option<Solution> {
    let allowed = choices(problem).into_iter().filter(|it| allows(problem, it) && passes(it));
    allowed.map(|it| problem.worth(it)).min_by(|a, b| (&a.levels, &a.picked).cmp(&(&b.levels, &b.picked)))
}

/// Whether a choice is allowed, in the plainest words.
fn allows(problem: &Problem, picked: &[usize]) -> bool {
    let broken = problem.never.iter().any(|it| it.iter().all(|(pick, nth)| picked[*pick] == *nth));
    let over = problem.limits.iter().any(|limit| {
        limit.uses.iter().filter(|it| picked[it.0] == it.1).map(|it| it.2).sum::<u64>() > limit.most
    });
    !broken && !over
}

#[test]
fn small_problems_are_solved_as_by_looking_at_every_choice() {
    let (mut possible, mut impossible) = (0, 0);
    for nth in 0..4000 {
        let shape = small(nth);
        let problem = problem(shape);
        let found = solve(&problem, &on);
        match exhaustive(&problem, |_| true) {
            Some(best) => {
                possible += 1;
                assert_eq!(found, Outcome::Best(best.clone()), "{shape:?} {problem:?}");
                let others = alternatives(&problem, &best, &on);
                for (pick, other) in others.into_iter().enumerate() {
                    let expected = exhaustive(&problem, |it| it[pick] != best.picked[pick]);
                    assert_eq!(other, expected, "pick {pick} of {shape:?}");
                }
            }
            None => {
                impossible += 1;
                assert_eq!(found, Outcome::Impossible, "{shape:?} {problem:?}");
            }
        }
    }
    assert!(possible > 1500 && impossible > 300, "{possible} possible, {impossible} impossible");
}

/// Problems of 20 to 200 picks against the best of each level by OR-tools CP-SAT (`picks_fixture.py`).
#[test]
fn large_problems_come_to_the_same_as_with_a_reference_optimiser() {
    let mut count = 0;
    for line in include_str!("picks.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |nth: usize| cells[nth].parse::<u64>().unwrap();
        let shape = Shape {
            seed: number(0),
            picks: number(1) as usize,
            candidates: number(2),
            spread: number(3),
            nevers: number(4) as usize,
            stocks: number(5) as usize,
            budget: number(6),
        };
        let problem = problem(shape);
        match solve(&problem, &on) {
            Outcome::Best(it) => {
                assert!(allows(&problem, &it.picked), "{shape:?}");
                let levels: Vec<String> = it.levels.iter().map(u64::to_string).collect();
                assert_eq!(levels.join(" "), cells[7], "{shape:?}");
            }
            Outcome::Impossible => assert_eq!(cells[7], "impossible", "{shape:?}"),
            Outcome::Stopped => panic!("nobody stopped it"),
        }
        count += 1;
    }
    assert!(count >= 300, "{count}");
}
