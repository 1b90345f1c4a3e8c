//! Small vehicles, each with one thing to be wired.

mod chance;

use std::fmt::Write;

use trunnion_check::check_workspace;
use trunnion_model::db::{Host, Site};
use trunnion_model::verdict::Outcome;
use trunnion_model::world::world;

use super::{Kind, LoomPlan, loom};
use crate::conversions;

/// A plan with what it was made from.
struct Planned {
    source: String,
    host: Host,
    plan: LoomPlan,
}

/// A family with three zones, a hard bulkhead between two of them, and what a test adds to it.
fn plan(family: &str, rest: &str, conversion: &str) -> Planned {
    let source = format!(
        "kind unit {{ asks mass }}\n\
         family Dunlin {{ built 2009-06 to 2018-12\n  \
         zone bay, cabin, console\n  \
         place brake is unit in bay\n  place body is unit in cabin\n  place box is unit in cabin\n  place lever is unit in console\n  \
         bus drive is CAN at 500 kbit/s\n  \
         run cabin to console 0.9 m\n  \
         ground G1 at bay\n  ground G2 at cabin\n  ground G3 at console\n{family} }}\n\
         connector shell {{ cavities 40, terminal blade, sealed }}\n\
         terminal blade \"2.8 mm blade\" {{ wire size 0.35 mm2 to 2.5 mm2, rating 15 A }}\n\
         vehicle van is Dunlin {{ built 2012-04 }}\n{rest}\n\
         conversion easy {{ recipient van\n  {conversion}\n}}\n"
    );
    of(source)
}

const BULKHEAD: &str = "  run bay to cabin 2.1 m through bulkhead, bore 22 mm, effort hard";

fn of(source: String) -> Planned {
    let mut host = Host::new();
    host.set_file("test.trunnion", &source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    let found = world(host.db(), host.workspace(), id.item, id.nth, None).expect("a conversion");
    let plan = loom(host.db(), host.workspace(), &found, &|| true);
    Planned { source, host, plan }
}

impl Planned {
    fn texts(&self) -> Vec<&str> {
        self.plan.changes.iter().map(|it| it.text.as_str()).collect()
    }

    fn unsolved(&self) -> Vec<&str> {
        self.plan.unsolved.iter().map(|it| it.sentence.as_str()).collect()
    }

    /// The text that a change takes the place of.
    fn replaced(&self, nth: usize) -> Vec<&str> {
        let sites = self.plan.changes[nth].replaces.iter();
        sites.map(|it| &self.source[self.host.locate(*it).expect("a statement").span.range()]).collect()
    }

    /// The source with the plan carried out, planned again.
    fn carried_out(&self) -> Planned {
        let mut out: Vec<Site> =
            self.plan.changes.iter().flat_map(|it| it.replaces.iter().copied()).collect();
        out.extend(self.plan.dropped.iter().map(|it| it.0));
        let mut spans: Vec<_> =
            out.iter().map(|it| self.host.locate(*it).expect("a statement").span.range()).collect();
        spans.sort_by_key(|it| std::cmp::Reverse(it.start));
        let mut text = self.source.clone();
        for span in spans {
            text.replace_range(span, "");
        }
        let end = text.rfind('}').expect("a block");
        let new = self.plan.changes.iter().fold(String::new(), |mut all, it| {
            let _ = writeln!(all, "  {}", it.text);
            all
        });
        text.insert_str(end, &new);
        of(text)
    }

    /// What the checks of wires and loose ends still say against it.
    fn faults(&self) -> Vec<String> {
        const CHECKS: [&str; 10] = [
            "plug/cavity",
            "plug/terminal",
            "wire/end",
            "wire/twisted",
            "wire/bundle",
            "wire/fuse",
            "wire/drop",
            "bus/termination",
            "state/duty",
            "loose/end",
        ];
        let all = check_workspace(self.host.db(), self.host.workspace());
        let bad = all.iter().filter(|it| {
            CHECKS.contains(&it.check)
                && match it.outcome {
                    Outcome::Clash => true,
                    Outcome::Open => it.check == "loose/end",
                    Outcome::Clear(_) => false,
                }
        });
        bad.map(|it| format!("{}: {}", it.check, it.message)).collect()
    }

    /// That nothing is left to do or to say once it is carried out, and that planning again plans the same.
    #[track_caller]
    fn whole(&self) {
        let after = self.carried_out();
        assert_eq!(after.faults(), Vec::<String>::new(), "{}", after.source);
        assert_eq!(after.texts(), Vec::<&str>::new(), "{}", after.source);
        let again = of(self.source.clone());
        assert_eq!(self.plan.changes, again.plan.changes);
        assert!(self.plan.bound <= self.plan.effort);
        assert_eq!(self.plan.effort, self.plan.changes.iter().map(|it| it.effort.seconds).sum::<u64>());
    }
}

const FEED: &str = "  feed F1 is 12 V from ignition, fuse 15 A, at cabin";
const LEVER: &str =
    "module lever_auto is unit fills lever { plug L is shell { 1 supply 12 V draw 2 A, 2 ground } }";

#[test]
fn what_is_right_stays() {
    let found = plan(
        FEED,
        LEVER,
        "fit lever_auto\n  wire F1 to lever.L[1] 0.75 mm2 RD by cabin, console\n  wire lever.L[2] to G3 0.75 mm2 BN by console",
    );
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(found.unsolved(), Vec::<&str>::new());
    // Two wires, and the two cavities that they serve.
    assert_eq!(found.plan.kept, 4);
    assert!(found.plan.exact);
    found.whole();
}

#[test]
fn supply_and_ground_are_run_anew() {
    let found = plan(FEED, LEVER, "fit lever_auto");
    assert_eq!(
        found.texts(),
        [
            "wire F1 to lever.L[1] 0.75 mm2 RD by cabin, console",
            "wire lever.L[2] to G3 0.75 mm2 BN by console"
        ]
    );
    assert!(found.plan.changes.iter().all(|it| it.kind == Kind::Run));
    let effort = &found.plan.changes[0].effort;
    // 0.9 m, a tenth more, 150 mm at each end, to the next 10 mm.
    assert_eq!(effort.length, Some(1290));
    assert_eq!((effort.zones, effort.bulkheads, effort.terminals), (1, 0, 2));
    assert_eq!(found.plan.changes[1].effort.length, None);
    assert!(found.plan.changes[0].buy.contains(&("seal for 2.8 mm blade".to_owned(), 1)));
    assert!(found.plan.changes[0].buy.contains(&("2.8 mm blade".to_owned(), 1)));
    assert!(found.plan.exact);
    found.whole();
}

/// A switch of the old lever on a splice in the console, which the body takes.
const SWITCHED: &str = "
module lever_manual is unit fills lever { fitted on Dunlin, plug R is shell { 1 switch reverse out, 2 ground } }
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 5 signal reverse in } }
loom main of Dunlin { splice S7 at console
  wire lever.R[1] to S7 0.5 mm2 GY by console
  wire S7 to body.J[5] 0.5 mm2 GY by console, cabin
  wire lever.R[2] to G3 0.5 mm2 BN by console }";

#[test]
fn a_signal_is_spliced_in_where_its_net_is_and_what_is_left_is_capped() {
    let rest = format!(
        "{SWITCHED}\nmodule lever_auto is unit fills lever {{ plug L is shell {{ 4 signal reverse out }} }}"
    );
    let found = plan("", &rest, "fit lever_auto");
    // The loose end of the old switch lies there: less work than the splice.
    assert_eq!(found.texts(), ["splice lever.L[4] to lever.R[1] at console", "blank lever.R[2]"]);
    assert_eq!(found.plan.changes[0].kind, Kind::Splice);
    assert_eq!(found.plan.changes[1].kind, Kind::Cap);
    found.whole();
}

#[test]
fn a_live_end_is_capped_with_a_caution() {
    let rest = format!(
        "{LEVER}\nmodule lever_old is unit fills lever {{ fitted on Dunlin, plug R is shell {{ 1 supply 12 V }} }}\nloom main of Dunlin {{ wire F1 to lever.R[1] 0.5 mm2 RD by cabin, console }}"
    );
    let found = plan(FEED, &rest, "remove lever");
    assert_eq!(found.texts(), ["blank lever.R[1]"]);
    assert!(found.plan.changes[0].why.contains("live from F1: fuse out"), "{}", found.plan.changes[0].why);
    found.whole();
}

#[test]
fn terminals_change_places_in_one_plug() {
    let rest = "
module brake_old is unit fills brake { fitted on Dunlin to 2013-08, plug B is shell { 8 switch brake_switch in, 9 signal speed out, 3 sensor wear in } }
module brake_new is unit fills brake { plug B is shell { 8 signal speed out, 9 switch brake_switch in, 5 sensor wear in } }
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 1 switch brake_switch out, 2 signal speed in, 3 sensor wear out } }
loom main of Dunlin {
  wire brake.B[8] to body.J[1] 0.5 mm2 GY by bay, cabin
  wire brake.B[9] to body.J[2] 0.5 mm2 WH by bay, cabin
  wire brake.B[3] to body.J[3] 0.5 mm2 BU by bay, cabin }";
    let found = plan(BULKHEAD, rest, "fit brake_new");
    assert_eq!(
        found.texts(),
        ["move brake.B[3] to brake.B[5]", "move brake.B[8] to brake.B[9]", "move brake.B[9] to brake.B[8]"]
    );
    assert!(found.plan.changes.iter().all(|it| it.kind == Kind::Move && it.effort.terminals == 1));
    found.whole();
}

#[test]
fn a_wire_for_which_the_new_part_has_no_cavity_is_left_to_the_owner() {
    let rest = "
module brake_old is unit fills brake { fitted on Dunlin to 2013-08, plug B is shell { 8 switch brake_switch in } }
module brake_new is unit fills brake { plug B is shell { 8 signal speed out } }
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 1 switch brake_switch out } }
loom main of Dunlin { wire brake.B[8] to body.J[1] 0.5 mm2 GY by bay, cabin }";
    let found = plan(BULKHEAD, rest, "fit brake_new");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert!(found.unsolved()[0].contains("has no cavity for that"), "{:?}", found.unsolved());
}

/// A bus with a splice for each wire in the cabin; the low wire has another one in the console.
const BUS: &str = "
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 1 can_high drive, 2 can_low drive }, terminates drive with 120 Ω }
module brake_unit is unit fills brake { fitted on Dunlin, plug B is shell { 1 can_high drive, 2 can_low drive }, terminates drive with 120 Ω }
module box_unit is unit fills box { fitted on Dunlin, plug C is shell { 7 can_low drive } }
loom main of Dunlin { splice S3 at cabin, splice S4 at cabin, splice S5 at console
  wire body.J[1] to S3 0.5 mm2 GN by cabin
  wire body.J[2] to S4 0.5 mm2 GN/BK by cabin
  wire brake.B[1] to S3 0.5 mm2 GN by bay, cabin
  wire brake.B[2] to S4 0.5 mm2 GN/BK by bay, cabin
  wire S4 to S5 0.5 mm2 GN/BK by cabin, console
  wire S5 to box.C[7] 0.5 mm2 GN/BK by console, cabin }";
const NODE: &str =
    "module lever_auto is unit fills lever { plug L is shell { 3 can_high drive, 4 can_low drive } }";

#[test]
fn a_pair_goes_the_same_way_to_partner_splices() {
    let found = plan(BULKHEAD, &format!("{BUS}\n{NODE}"), "fit lever_auto");
    assert_eq!(
        found.texts(),
        [
            "wire lever.L[3] to S3 0.5 mm2 GN by console, cabin",
            "wire lever.L[4] to S4 0.5 mm2 GN/BK by console, cabin"
        ]
    );
    // The second is pulled through with the first.
    assert_eq!(found.plan.changes[1].effort.zones, 0);
    assert_eq!(found.unsolved(), Vec::<&str>::new());
    found.whole();
}

#[test]
fn a_bus_wire_to_a_taken_cavity_is_replaced() {
    let found = plan(
        BULKHEAD,
        &format!("{BUS}\n{NODE}"),
        "fit lever_auto\n  wire lever.L[3] to brake.B[1] 0.5 mm2 GN by console, cabin, bay\n  wire lever.L[4] to brake.B[2] 0.5 mm2 GN/BK by console, cabin, bay",
    );
    assert_eq!(found.texts().len(), 2);
    assert_eq!(found.texts()[0], "wire lever.L[3] to S3 0.5 mm2 GN by console, cabin");
    assert_eq!(found.replaced(0), ["wire lever.L[3] to brake.B[1] 0.5 mm2 GN by console, cabin, bay"]);
    assert_eq!(found.replaced(1), ["wire lever.L[4] to brake.B[2] 0.5 mm2 GN/BK by console, cabin, bay"]);
    assert!(
        found.plan.changes[0].why.starts_with("B[1] of the brake is taken"),
        "{}",
        found.plan.changes[0].why
    );
    found.whole();
}

#[test]
fn a_third_terminator_is_told() {
    let node = NODE.replace("} }", "}, terminates drive with 120 Ω }");
    let found = plan(BULKHEAD, &format!("{BUS}\n{node}"), "fit lever_auto");
    assert_eq!(found.texts().len(), 2);
    assert_eq!(
        found.unsolved(),
        [
            "The drive bus would have 3 terminators, in brake unit, body unit and lever auto; it wants two. No wire \
             mends that: take a part without."
        ]
    );
    assert_eq!(found.plan.unsolved[0].subject, "drive");
}

#[test]
fn the_feed_that_has_room_is_taken() {
    let rest = format!(
        "{LEVER}\nmodule body_unit is unit fills body {{ fitted on Dunlin, plug J is shell {{ 1 supply 12 V draw 10 A, 2 ground }} }}\nloom main of Dunlin {{ wire F1 to body.J[1] 1.5 mm2 RD/BU by cabin\n wire body.J[2] to G2 1.5 mm2 BN by cabin }}"
    );
    // 15 A, loaded to 75 % at most, are 11.25 A: 1.25 A are left.
    let near = format!(
        "{FEED}\n  feed F2 is 12 V from ignition, fuse 10 A, at bay\n  feed F3 is 12 V from battery, fuse 30 A, at console\n{BULKHEAD}"
    );
    let found = plan(&near, &rest, "fit lever_auto");
    assert_eq!(found.texts()[0], "wire F2 to lever.L[1] 1.5 mm2 RD by bay, cabin, console");
    assert!(
        found.plan.changes[0].why.contains("F2 has 7.5 A left, while F1 has 1.25 A left"),
        "{}",
        found.plan.changes[0].why
    );
    found.whole();

    let full = plan(FEED, &rest, "fit lever_auto");
    assert_eq!(full.texts(), ["wire lever.L[2] to G3 1.5 mm2 BN by console"]);
    assert_eq!(full.unsolved(), ["No feed has room for 2 A at L[1] of the lever: F1 has 1.25 A left."]);
}

#[test]
fn a_full_bore_is_told_and_a_way_round_is_taken() {
    let loom = "
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 1 signal speed in, 9 signal lamp out } }
module brake_unit is unit fills brake { fitted on Dunlin, plug B is shell { 9 signal lamp in } }
module brake_new is unit fills brake { plug B is shell { 8 signal speed out, 9 signal lamp in } }
loom main of Dunlin {
  wire body.J[9] to brake.B[9] 2.5 mm2 GY by cabin, bay }";
    // One wire of 2.5 mm² is 3 mm wide, one of 0.5 mm² 1.6 mm (ISO 6722-1, thin wall): 4.6 mm side by side.
    let tight = "  run bay to cabin 2.1 m through bulkhead, bore 4 mm, effort hard";
    let found = plan(tight, loom, "fit brake_new");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(
        found.unsolved(),
        [
            "The bore of 4 mm through the bulkhead from bay to cabin is full: 1 wires are in it, and B[8] of the brake \
             needs one more through it."
        ]
    );
    let round = format!("{tight}\n  run bay to console 3 m through floor, effort hard");
    let found = plan(&round, loom, "fit brake_new");
    assert_eq!(found.texts(), ["wire brake.B[8] to body.J[1] 0.5 mm2 WH by bay, console, cabin"]);
    found.whole();
}

#[test]
fn what_nobody_or_several_give_is_not_guessed() {
    let taker = "module lever_auto is unit fills lever { plug L is shell { 6 switch brake_switch in } }";
    let found = plan("", taker, "fit lever_auto");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(found.unsolved(), ["L[6] of the lever takes brake switch, and nobody has said who gives it."]);
    assert_eq!(found.plan.unsolved[0].subject, "lever.L[6]");

    let two = format!(
        "{taker}\nmodule body_unit is unit fills body {{ fitted on Dunlin, plug J is shell {{ 1 switch brake_switch out }} }}\n\
         module box_unit is unit fills box {{ fitted on Dunlin, plug C is shell {{ 2 switch brake_switch out }} }}"
    );
    let found = plan("", &two, "fit lever_auto");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(
        found.unsolved(),
        ["L[6] of the lever takes brake switch, and several could give it: body.J[1] and box.C[2]."]
    );
}

#[test]
fn a_listener_that_lost_its_giver_keeps_its_loose_wire_open() {
    let rest = "
module lever_old is unit fills lever { fitted on Dunlin, plug R is shell { 1 switch clutch out } }
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 5 switch start_release in } }
module lever_auto is unit fills lever { plug L is shell { 5 switch start_inhibit out } }
loom main of Dunlin { wire lever.R[1] to body.J[5] 0.5 mm2 VT by console, cabin }";
    let found = plan("", rest, "fit lever_auto");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(found.unsolved().len(), 2, "{:?}", found.unsolved());
    // Said by the owner, in a cavity that is taken: so it is known what belongs together.
    let found = plan("", rest, "fit lever_auto\n  wire lever.L[5] to body.J[5] 0.5 mm2 VT by console, cabin");
    assert_eq!(found.texts(), ["splice lever.L[5] to lever.R[1] at console"]);
    assert_eq!(found.replaced(0), ["wire lever.L[5] to body.J[5] 0.5 mm2 VT by console, cabin"]);
    found.whole();
}

#[test]
fn a_wire_serves_one_net_only() {
    // Two givers on one wire by the owner's word.
    let rest = "
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 5 signal speed in } }
module box_unit is unit fills box { fitted on Dunlin, plug C is shell { 1 signal speed out } }
module lever_auto is unit fills lever { plug L is shell { 5 signal reverse out } }
loom main of Dunlin { wire box.C[1] to body.J[5] 0.5 mm2 VT by cabin }";
    let found = plan("", rest, "fit lever_auto\n  wire lever.L[5] to body.J[5] 0.5 mm2 VT by console, cabin");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(found.plan.dropped[0].1, "it would join the signal reverse and the signal speed");
    assert_eq!(found.unsolved(), ["L[5] of the lever gives reverse, and nobody has said who takes it."]);
    // A supply and a ground.
    let found = plan(FEED, LEVER, "fit lever_auto\n  wire F1 to lever.L[2] 0.75 mm2 RD by cabin, console");
    assert_eq!(found.plan.dropped.len(), 1);
    assert_eq!(found.plan.dropped[0].1, "it would join a supply and ground");
    assert_eq!(found.texts().len(), 2);
    found.whole();
}

#[test]
fn plugs_that_belong_together_share_supply_and_ground() {
    let rest = "
module box_unit is unit fills box { plug K is shell { 1 supply 12 V draw 15 A, 2 ground }, plug T is shell { 1 supply 12 V out, 2 ground, 3 coil shift_a, 4 sensor speed } }
module lever_auto is unit fills lever { plug M is shell { 7 supply 12 V, 8 ground, 5 coil shift_a, 6 sensor speed } }";
    let found =
        plan("  feed F1 is 12 V from ignition, fuse 25 A, at cabin", rest, "fit box_unit, fit lever_auto");
    let texts = found.texts();
    assert!(texts.contains(&"wire box.T[1] to lever.M[7] 0.75 mm2 RD by cabin, console"), "{texts:#?}");
    assert!(texts.contains(&"wire box.T[2] to lever.M[8] 0.75 mm2 BN by cabin, console"), "{texts:#?}");
    assert_eq!(texts.len(), 6, "{texts:#?}");
    found.whole();
}

#[test]
fn a_chosen_basis_decides_the_size() {
    let rest = "
basis { cable is iso_6722_thin_wall, drop at most 3 %, ambient 50 °C, current is cfr_183_425, insulation 105 °C }
module lever_auto is unit fills lever { plug L { 1 supply 12 V draw 8 A, 2 ground } }";
    let found = plan(FEED, rest, "fit lever_auto");
    // 3 % of 12 V are 0.36 V. ISO 6722-1 (from memory, unverified): 12.7 mΩ/m for 1.5 mm², 7.6 for 2.5 mm², 18.5
    // for 1 mm², each 11.8 % more at 50 °C. 0.9 m and 1 m for its ends, 8 A, there and back: 0.43 V with 1.5 mm²,
    // 0.26 V with 2.5 mm². The ground wire has its ends only: 0.33 V with 1 mm².
    assert_eq!(
        found.texts(),
        ["wire F1 to lever.L[1] 2.5 mm2 RD by cabin, console", "wire lever.L[2] to G3 1 mm2 BN by console"]
    );
    found.whole();
}

#[test]
fn an_unknown_zone_leaves_the_way_open() {
    let rest = "module tower is unit { plug L is shell { 1 ground } }";
    let found = plan("", rest, "place mast is unit\n  fit tower for mast");
    assert_eq!(found.texts().len(), 1);
    assert!(found.texts()[0].starts_with("wire mast.L[1] to G1 0.75 mm2 BN"), "{:?}", found.texts());
    assert!(!found.texts()[0].contains(" by "));
    assert!(found.plan.changes[0].why.contains("nobody has said in which zones"));
}

#[test]
fn a_signal_drives_no_lamp() {
    let rest = "
module lever_old is unit fills lever { fitted on Dunlin, plug R is shell { 1 switch reverse out } }
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 5 lamp reverse 12 V in } }
module lever_auto is unit fills lever { plug L is shell { 4 ROLE reverse out } }
loom main of Dunlin { wire lever.R[1] to body.J[5] 0.75 mm2 VT by console, cabin }";
    let found = plan("", &rest.replace("ROLE", "signal"), "fit lever_auto");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert_eq!(
        found.unsolved(),
        [
            "J[5] of the body takes reverse, and nobody has said who gives it.",
            "L[4] of the lever gives reverse, and nobody has said who takes it."
        ]
    );
    let found = plan("", &rest.replace("ROLE", "switch"), "fit lever_auto");
    assert_eq!(found.texts(), ["splice lever.L[4] to lever.R[1] at console"]);
    found.whole();
}

#[test]
fn two_supplies_share_out_the_feeds() {
    // Each feed alone would do for either; F1 (11.25 A by its fuse) is nearest for both and takes but one.
    let rest = "
module lever_auto is unit fills lever { plug L is shell { 1 supply 12 V draw 8 A } }
module box_unit is unit fills box { plug C is shell { 1 supply 12 V draw 8 A } }";
    let feeds = format!("{FEED}\n  feed F2 is 12 V from ignition, fuse 15 A, at console");
    let found = plan(&feeds, rest, "fit lever_auto, fit box_unit");
    assert_eq!(
        found.texts(),
        ["wire F1 to box.C[1] 1.5 mm2 RD by cabin", "wire F2 to lever.L[1] 1.5 mm2 RD by console"]
    );
    let far = format!("{FEED}\n  feed F2 is 12 V from ignition, fuse 15 A, at bay\n{BULKHEAD}");
    let found = plan(&far, rest, "fit lever_auto, fit box_unit");
    assert_eq!(found.texts().len(), 2);
    let why = &found.plan.changes[1].why;
    assert!(found.texts()[1].starts_with("wire F"), "{:?}", found.texts());
    assert!(
        found.plan.changes.iter().any(|it| it.why.contains("F1 has 3.25 A left beside the supply of")),
        "{why}"
    );
    assert!(found.plan.exact);
}

#[test]
fn one_giver_with_listeners_in_three_zones_is_one_tree() {
    let rest = "
module lever_auto is unit fills lever { plug L is shell { 4 signal gear out } }
module box_unit is unit fills box { plug C is shell { 1 signal gear in } }
module body_unit is unit fills body { plug J is shell { 1 signal gear in } }
module brake_unit is unit fills brake { plug B is shell { 1 signal gear in } }";
    let found = plan(BULKHEAD, rest, "fit lever_auto, fit box_unit, fit body_unit, fit brake_unit");
    assert_eq!(
        found.texts(),
        [
            "wire lever.L[4] to body.J[1] 0.5 mm2 GY by console, cabin",
            "splice box.C[1] to body.J[1] at cabin",
            "splice brake.B[1] to body.J[1] at cabin"
        ]
    );
    assert!(found.plan.changes[2].why.contains("by cabin, bay"), "{}", found.plan.changes[2].why);
    // The joins at the second and third cavity are not in what the routing counts, so it claims no more than
    // it proved.
    assert!(found.plan.bound <= found.plan.effort);
    found.whole();
}

#[test]
fn high_voltage_and_shields_are_not_planned() {
    let rest = "
module box_unit is unit fills box { plug P is shell { 1 supply 400 V, 2 shield, 3 ground } }";
    let found = plan(FEED, rest, "fit box_unit");
    assert_eq!(found.texts(), ["wire box.P[3] to G2 0.75 mm2 BN by cabin"]);
    assert_eq!(
        found.unsolved(),
        [
            "P[1] of the box is for 400 V: high voltage is laid by a licensed person, and not planned here.",
            "P[2] of the box is a shield, and nobody has said at which of its ends it is grounded."
        ]
    );
}

#[test]
fn two_wires_in_one_loose_terminal_are_not_cut_apart() {
    let rest = "
module brake_unit is unit fills brake { fitted on Dunlin, plug B is shell { 1 can_high drive } }
module body_unit is unit fills body { fitted on Dunlin, plug J is shell { 1 can_high drive } }
module lever_old is unit fills lever { fitted on Dunlin, plug L is shell { 1 can_high drive } }
loom main of Dunlin {
  wire body.J[1] to lever.L[1] 0.5 mm2 GN by cabin, console
  wire lever.L[1] to brake.B[1] 0.5 mm2 GN by console, cabin, bay }";
    let found = plan(BULKHEAD, rest, "remove lever");
    assert_eq!(found.texts(), Vec::<&str>::new());
    assert!(
        found.unsolved()[0].starts_with("2 wires were crimped together at L[1]"),
        "{:?}",
        found.unsolved()
    );
}

#[test]
fn stopped_at_once_it_says_so() {
    let mut host = Host::new();
    host.set_file("test.trunnion", &plan(FEED, LEVER, "fit lever_auto").source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    let found = world(host.db(), host.workspace(), id.item, id.nth, None).expect("a conversion");
    let plan = loom(host.db(), host.workspace(), &found, &|| false);
    assert_eq!(plan.changes, []);
    assert_eq!(plan.unsolved.len(), 2);
    assert!(!plan.exact);
}
