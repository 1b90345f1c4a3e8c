//! Routes of larger generated cases against a reference optimiser: `routes_fixture.py` makes the file.

use trunnion_plan::loom::fill::lay;
use trunnion_plan::loom::network::{Net, Network, Outcome, Piece, Run, Tap};

use crate::small_routes::sound;

/// Numbers that follow from a seed: SplitMix64 (Steele, Lea and Flood, "Fast splittable pseudorandom
/// number generators", OOPSLA 2014; cited from memory).
pub struct Draw(u64);

impl Draw {
    pub fn from(seed: u64) -> Draw {
        Draw(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut it = self.0;
        it = (it ^ (it >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        it = (it ^ (it >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        it ^ (it >> 31)
    }

    /// A number below another.
    pub fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    fn index(&mut self, end: usize) -> usize {
        self.below(end as u64) as usize
    }
}

/// How large a generated case is.
#[derive(Clone, Copy)]
pub struct Size {
    pub zones: usize,
    /// Runs beyond those that make the zones hang together.
    pub extra: usize,
    pub nets: usize,
    /// The most pieces of a net.
    pub pieces: usize,
    /// The most room of a bore, in 500/1000 mm²; 0: no bores.
    pub room: u64,
}

/// The case that follows from a seed, in the same words in `routes_fixture.py`.
pub fn case(seed: u64, size: Size) -> (Network, Vec<Net>) {
    let mut draw = Draw::from(seed);
    let mut network = Network { zones: size.zones, ..Network::default() };
    for nth in 0..size.zones - 1 + size.extra {
        let (a, b) = if nth < size.zones - 1 {
            (draw.index(nth + 1), nth + 1)
        } else {
            let a = draw.index(size.zones);
            (a, (a + 1 + draw.index(size.zones - 1)) % size.zones)
        };
        let effort = 10 + draw.below(300);
        let bore = draw.below(3) == 0 && size.room > 0;
        let room = bore.then(|| (2 + draw.below(size.room)) * 500);
        network.runs.push(Run { a, b, effort, room });
    }
    for _ in 0..size.zones {
        let costs = draw.below(8) == 0;
        network.stay.push(if costs { draw.below(20) } else { 0 });
    }
    let mut nets = Vec::new();
    for _ in 0..size.nets {
        let count = 2 + draw.below(size.pieces as u64 - 1);
        let area = [350, 500, 750, 1000, 1500, 2500][draw.index(6)];
        let mut pieces = Vec::new();
        for _ in 0..count {
            let many = if draw.below(3) == 0 { 2 + draw.below(3) } else { 1 };
            let through = draw.below(4) != 0;
            let tap = |_| Tap { zone: draw.index(size.zones), effort: 20 + draw.below(100) };
            pieces.push(Piece { taps: (0..many).map(tap).collect(), through });
        }
        nets.push(Net { pieces, area });
    }
    (network, nets)
}

#[test]
fn routes_are_those_of_a_reference_optimiser() {
    let (mut lines, mut laid, mut full, mut over, mut sum) = (0, 0, 0, 0, 0);
    for line in include_str!("routes.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let cell = |nth: usize| cells[nth].parse::<u64>().expect("a number");
        let at = |nth: usize| cell(nth) as usize;
        let size = Size { zones: at(1), extra: at(2), nets: at(3), pieces: at(4), room: cell(5) };
        let (network, nets) = case(cell(0), size);
        match lay(&network, &nets, &|| true) {
            Outcome::Laid(routes) => {
                sound(&network, &nets, &routes.trees);
                let optimum = cell(6);
                assert!(routes.bound <= optimum && optimum <= routes.effort, "{line} {routes:?}");
                assert_eq!(routes.exact, routes.bound == routes.effort, "{line}");
                // The sizes that people have are proven to be the least.
                assert!(routes.exact || size.pieces > 10, "{line} {} to {}", routes.bound, routes.effort);
                if size.pieces > 10 {
                    (over, sum) = (over + routes.effort - optimum, sum + optimum);
                }
                laid += 1;
            }
            Outcome::NoRoom { nets: some, .. } => {
                assert_eq!(cells[6], "none", "{line}");
                let kept = |drop: usize| -> Vec<Net> {
                    let left = some.iter().enumerate().filter(|it| it.0 != drop);
                    left.map(|it| nets[*it.1].clone()).collect()
                };
                assert!(
                    matches!(lay(&network, &kept(some.len()), &|| true), Outcome::NoRoom { .. }),
                    "{line}"
                );
                for drop in 0..some.len() {
                    assert!(matches!(lay(&network, &kept(drop), &|| true), Outcome::Laid(_)), "{line}");
                }
                full += 1;
            }
            other => panic!("{line}: {other:?}"),
        }
        lines += 1;
    }
    assert_eq!(lines, 520);
    assert!(full > 30 && laid > 400, "{full} {laid}");
    // Beyond those sizes the trees are good: within one part in a hundred of the least, taken together.
    assert!(over * 100 <= sum, "{over} of {sum}");
}

/// Times of a large vehicle: `cargo test --release -p trunnion-tests --test plan -- --ignored --nocapture`.
#[test]
#[ignore = "prints times"]
#[expect(clippy::print_stdout, reason = "times are to be read, not tested")]
fn times_of_a_large_vehicle() {
    let large = Size { zones: 40, extra: 30, nets: 300, pieces: 10, room: 0 };
    for (name, size) in [
        ("no bores", large),
        ("wide bores", Size { room: 700, ..large }),
        ("bores of which some are full", Size { room: 400, ..large }),
    ] {
        let (network, nets) = case(7, size);
        let start = std::time::Instant::now();
        let made = lay(&network, &nets, &|| true);
        let time = start.elapsed();
        match made {
            Outcome::Laid(it) => println!("{name}: {time:?}, {} s, at least {} s", it.effort, it.bound),
            Outcome::NoRoom { run, nets } => println!("{name}: {time:?}, run {run} full with {nets:?}"),
            other => println!("{name}: {time:?}, {other:?}"),
        }
    }
}
