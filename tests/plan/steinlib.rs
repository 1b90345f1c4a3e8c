//! Single nets against published instances of the Steiner tree problem in graphs: b01, b02, b04 and b06 of
//! test set B of J. E. Beasley, "An SST-based algorithm for the Steiner problem in graphs", Networks 19
//! (1989) 1–16, with the optima that SteinLib gives for them (T. Koch, A. Martin, S. Voß, "SteinLib: an
//! updated library on Steiner tree problems in graphs", urn:nbn:de:0297-zib-6056).
//!
//! `steinlib.csv` has one line an instance: name, optimum, nodes, terminals, edges (two nodes, cost); nodes
//! are counted from 1.

use trunnion_plan::loom::fill::lay;
use trunnion_plan::loom::network::{Net, Network, Outcome, Piece, Run, Tap};

fn numbers(cell: &str) -> Vec<usize> {
    cell.split(' ').map(|it| it.parse().expect("a number")).collect()
}

#[test]
fn published_instances_have_their_published_optima() {
    for line in include_str!("steinlib.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let optimum: u64 = cells[1].parse().expect("a number");
        let runs = cells[4].split(';').map(numbers);
        let runs =
            runs.map(|it| Run { a: it[0] - 1, b: it[1] - 1, effort: it[2] as u64, room: None }).collect();
        let network = Network { zones: numbers(cells[2])[0], runs, stay: Vec::new() };
        let piece = |node: usize| Piece { taps: vec![Tap { zone: node - 1, effort: 0 }], through: true };
        let pieces: Vec<Piece> = numbers(cells[3]).into_iter().map(piece).collect();
        let few = pieces.len() <= 10;
        let net = Net { pieces, area: 0 };
        let Outcome::Laid(routes) = lay(&network, std::slice::from_ref(&net), &|| true) else {
            panic!("{line}")
        };
        crate::small_routes::sound(&network, &[net], &routes.trees);
        assert!(routes.bound <= optimum && optimum <= routes.effort, "{line} {routes:?}");
        if few {
            assert!(routes.exact && routes.effort == optimum, "{line} {routes:?}");
        }
    }
}
