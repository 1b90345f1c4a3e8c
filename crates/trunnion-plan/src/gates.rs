//! What is still open before each gate, who can settle it, and whether the gate may be passed.

use trunnion_check::run::verdicts_of_conversion;
use trunnion_model::db::{Db, Workspace};
use trunnion_model::name::Id;
use trunnion_model::verdict::{Gate, Outcome, Verdict, Who};
use trunnion_model::world::{conversion, world};

use crate::chain::chain;
use crate::next::{Task, tasks};
use crate::ways::gate_of;

/// Who can settle what is open, in the order in which they are shown.
pub const WHO: [Who; 4] = [Who::Seller, Who::Tape, Who::Maker, Who::Owner];

/// The gates of a conversion.
#[derive(Clone, Debug, PartialEq)]
pub struct Gates {
    /// The conversion's display name.
    pub title: String,
    /// The gates, soonest first.
    pub gates: Vec<AtGate>,
}

/// What stands before one gate.
#[derive(Clone, Debug, PartialEq)]
pub struct AtGate {
    /// Which.
    pub gate: Gate,
    /// How many points are open for it, those that were accepted left out.
    pub open: usize,
    /// How many of them are parts without a kind, at which nobody looked.
    pub not_looked_at: usize,
    /// How many open points of it were accepted.
    pub accepted: usize,
    /// What clashes: check and sentence. A clash is mended on paper before anything is bought, so all of
    /// them stand before the first gate.
    pub clashes: Vec<(String, String)>,
    /// What is to be found out, by who can tell; nobody is left out who has nothing to tell.
    pub tasks: Vec<(Who, Vec<Task>)>,
    /// How long the measuring takes, where that is stated, in minutes.
    pub minutes: u32,
    /// How many measurements there are of which nobody said how long they take.
    pub untimed: usize,
    /// What is open or clashes before a sooner gate.
    pub sooner: usize,
    /// Whether nothing is open and nothing clashes, here and before the sooner gates. It is a statement
    /// about this paper, and no permission.
    pub may_pass: bool,
}

/// What stands before each gate of a conversion, points of all its ways together. None where it is none, or
/// has no recipient.
pub fn gates(db: &dyn Db, workspace: Workspace, id: Id) -> Option<Gates> {
    let way = conversion(db, id)?.ways.first().map(|_| 0);
    let world = world(db, workspace, id.item, id.nth, way)?;
    let chain = chain(db, workspace, &world);
    let verdicts = verdicts_of_conversion(db, workspace, id);
    let clashes: Vec<(String, String)> = verdicts
        .iter()
        .filter(|it| it.outcome == Outcome::Clash)
        .map(|it| (it.check.to_owned(), it.message.clone()))
        .collect();
    let mut gates = Vec::new();
    let mut sooner = 0;
    for gate in Gate::ALL {
        let of_gate: Vec<&Verdict> =
            verdicts.iter().filter(|it| it.outcome == Outcome::Open && gate_of(it) == gate).collect();
        let (accepted, open): (Vec<_>, Vec<_>) = of_gate.into_iter().partition(|it| it.accepted.is_some());
        let tasks: Vec<(Who, Vec<Task>)> = WHO.map(|it| (it, tasks(&open, it, &chain))).to_vec();
        let measured = tasks.iter().filter(|it| it.0 == Who::Tape).flat_map(|it| &it.1);
        let clashes = if gate == Gate::Buying { clashes.clone() } else { Vec::new() };
        let here = open.len() + clashes.len();
        gates.push(AtGate {
            gate,
            open: open.len(),
            not_looked_at: open.iter().filter(|it| it.check == "kind/none").count(),
            accepted: accepted.len(),
            clashes,
            minutes: measured.clone().filter_map(|it| it.minutes).sum(),
            untimed: measured.filter(|it| it.minutes.is_none()).count(),
            tasks,
            sooner,
            may_pass: here + sooner == 0,
        });
        sooner += here;
    }
    Some(Gates { title: id.shown(db), gates })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conversions;
    use trunnion_model::db::Host;

    fn of(asks: &str, states: &str, accept: &str) -> Gates {
        let source = format!(
            r#"
measure hole depth "depth of the hole" in mm, tool "depth gauge" to 0.1 mm, takes 5 min, from tape, before no return
measure bore width "width of the bore" in mm, tool "caliper" to 0.1 mm, takes 3 min, from tape, before no return
measure last oil "last change of oil" tool "ask", takes 5 min, from seller, before road
kind unit {{ asks {asks} }}
family Dunlin {{ built 2009-06 to 2018-12, place flywheel is unit }}
part solid is unit fills flywheel {{ suits flywheel of Dunlin from 2009-06 to 2018-12, {states} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit solid
  {accept} }}"#
        );
        let mut host = Host::new();
        host.set_file("test.trunnion", &source);
        let id = conversions(&host, &["test.trunnion".to_owned()])[0];
        gates(host.db(), host.workspace(), id).expect("a recipient")
    }

    const OFFER: &str = "offer 310 EUR, wait 3 days";

    #[test]
    fn what_is_open_stands_before_its_gate_and_all_later_ones() {
        let it = of("hole depth, bore width, last oil", OFFER, "");
        let each: Vec<(usize, u32, usize, bool)> =
            it.gates.iter().map(|it| (it.open, it.minutes, it.sooner, it.may_pass)).collect();
        // Depth 5 min and width 3 min before there is no way back; of the own van nobody can be asked, so that
        // the oil is looked up there: 5 min.
        assert_eq!(each, [(0, 0, 0, true), (2, 8, 0, false), (0, 0, 2, false), (1, 5, 2, false)]);
        let tape = &it.gates[1].tasks.iter().find(|it| it.0 == Who::Tape).expect("always there").1;
        assert_eq!(tape.len(), 2);
    }

    #[test]
    fn what_is_known_or_accepted_lets_pass() {
        let known = "offer 310 EUR, wait 3 days, hole depth 7 mm, bore width 3 mm, last oil \"2025\"";
        assert!(of("hole depth, bore width, last oil", known, "").gates.iter().all(|it| it.may_pass));
        let it = of("hole depth", OFFER, "accept kind/asked flywheel.hole_depth because \"seen\"");
        assert_eq!((it.gates[1].open, it.gates[1].accepted, it.gates[3].may_pass), (0, 1, true));
    }

    #[test]
    fn a_clash_stands_before_the_first_gate() {
        let it = of("hole depth", "offer 310 EUR, hole depth 7 mm, needs flywheel.hole_depth > 9 mm", "");
        assert_eq!(it.gates[0].clashes.len(), 1, "{:?}", it.gates[0]);
        assert_eq!(it.gates[3].sooner, 1);
        assert!(it.gates.iter().all(|it| !it.may_pass));
    }
}
