//! Solvers compared on generated picks: a sum to be made small, pairwise nevers, a budget. See "Which solver,
//! and why" in DEVELOPERS.md.
//!
//! Each case runs in a process of its own, which is ended after 20 seconds.

// The search itself, taken from where it is rather than with all that its crate needs.
extern crate self as trunnion_plan;

#[path = "../../picks/generated.rs"]
mod generated;
mod plain;

#[allow(dead_code)]
#[path = "../../../../crates/trunnion-plan/src/picks"]
pub mod picks {
    mod problem;
    mod program;
    mod reduce;
    mod solve;
    mod task;

    pub use problem::{Candidate, Limit, Measure, Outcome, Problem};
    pub use solve::solve;
}

use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use generated::{Draw, Shape};
use trunnion_plan::picks::{Outcome, Problem, solve};

const SOLVERS: [(&str, fn(&Problem) -> Option<u64>); 4] =
    [("picks", whole), ("microlp", plain::microlp), ("pumpkin", plain::pumpkin), ("batsat", plain::batsat)];

fn whole(problem: &Problem) -> Option<u64> {
    match solve(problem, &|| true) {
        Outcome::Best(it) => it.levels.first().copied(),
        _ => None,
    }
}

/// The cases of a group; the one level is the third column, a sum.
fn case(group: &str, seed: u64) -> Problem {
    let large =
        Shape { seed, picks: 200, candidates: 10, spread: 100_000, nevers: 400, stocks: 2, budget: 0 };
    let shape = match group {
        "small" => {
            let mut draw = Draw(seed);
            let (picks, spread) = (1 + draw.index(5), [8, 1000, 1_000_000][draw.index(3)]);
            let (nevers, budget) = (draw.index(6), [0, 200, 500][draw.index(3)]);
            Shape { seed, picks, candidates: 4, spread, nevers, stocks: 1, budget }
        }
        "free" => large,
        "budget" => Shape { budget: 200, ..large },
        "impossible" => Shape { picks: 60, candidates: 4, nevers: 900, ..large },
        _ => panic!("no such group"),
    };
    let mut problem = generated::problem(shape);
    problem.levels = vec![vec![(2, 1)]];
    problem
}

/// The least by looking at every choice.
fn exhaustive(problem: &Problem) -> Option<u64> {
    let mut all = vec![Vec::new()];
    for pick in &problem.picks {
        all = (0..pick.len())
            .flat_map(|nth| all.iter().map(move |it: &Vec<usize>| [it.as_slice(), &[nth]].concat()))
            .collect();
    }
    all.into_iter().filter(|it| problem.allows(it)).filter_map(|it| problem.worth(it).levels.pop()).min()
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let [_, solver, group, seed] = args.as_slice() {
        let problem = case(group, seed.parse().expect("a number"));
        let (_, run) = SOLVERS.iter().find(|it| it.0 == solver).expect("a solver");
        let start = Instant::now();
        let found = run(&problem);
        println!("{} {}", start.elapsed().as_micros(), found.map_or("none".into(), |it| it.to_string()));
        return;
    }
    for (name, run) in SOLVERS {
        let wrong =
            (0..300).filter(|seed| run(&case("small", *seed)) != exhaustive(&case("small", *seed))).count();
        println!("{name}: {wrong} of 300 small cases wrong");
    }
    for group in ["free", "budget", "impossible"] {
        for (name, _) in SOLVERS {
            let mut times = Vec::new();
            let mut found = Vec::new();
            for seed in 0..5 {
                let (time, answer) =
                    apart(name, group, seed).unwrap_or((Duration::from_secs(20), "late".into()));
                times.push(time);
                found.push(answer);
            }
            times.sort();
            println!("{group} {name}: median {:?}, longest {:?}; {}", times[2], times[4], found.join(" "));
        }
    }
}

fn apart(solver: &str, group: &str, seed: u64) -> Option<(Duration, String)> {
    let own = std::env::current_exe().expect("runs");
    let mut child = Command::new(own)
        .args([solver, group, &seed.to_string()])
        .stdout(Stdio::piped())
        .spawn()
        .expect("starts");
    let start = Instant::now();
    while child.try_wait().expect("waits").is_none() {
        if start.elapsed() > Duration::from_secs(20) {
            child.kill().expect("ends");
            child.wait().expect("ends");
            return None;
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    let out = String::from_utf8(child.wait_with_output().expect("read").stdout).expect("text");
    let (time, answer) = out.trim().split_once(' ')?;
    Some((Duration::from_micros(time.parse().ok()?), answer.into()))
}
