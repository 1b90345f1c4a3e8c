//! The large example as it was first written, planned: against what somebody who knows the work wrote by
//! hand (`examples/easy_van/easy_van.trunnion`), statement by statement.

use trunnion_check::run::of_world;
use trunnion_model::verdict::Outcome;
use trunnion_plan::conversions;
use trunnion_plan::draft::Sort;
use trunnion_plan::plan::{Plan, plan};
use trunnion_tests::loaded;

const PATH: &str = "first_written/easy_van.trunnion";

fn planned() -> Plan {
    let mut host = loaded::host(&loaded::files("examples/easy_van"));
    let id = conversions(&host, &[PATH.to_owned()])[0];
    plan(&mut host, id, None, None, &|_| true).expect("a plan")
}

/// What the plan writes where the hand wrote something else, or nothing: the statement by hand (empty: none),
/// and why the planned one is as good.
const OTHERWISE: &[(&str, &str, &str)] = &[
    (
        "replace flywheel with flexplate_used",
        "choose flywheel from flexplate_new, flexplate_used prefer cost",
        "the choice that the hand left to the planner, made: 120 EUR and 3 days against 328 EUR and 10 weeks",
    ),
    (
        "take final_drive from breaker",
        "replace final_drive with axle_369 from breaker",
        "what the breaker has in its final drive is axle_369: the same part, named by its place",
    ),
    (
        "take propshaft from breaker",
        "take gearbox, gearbox_controller, selector, propshaft, radiator from breaker",
        "one statement a part, each with its own reason",
    ),
    (
        "take radiator from breaker",
        "take gearbox, gearbox_controller, selector, propshaft, radiator from breaker",
        "one statement a part, each with its own reason",
    ),
    (
        "wire gearbox_controller.K1[4] to S4 0.5 mm2 GN/BK by cabin",
        "splice gearbox_controller.K1[4] to S4 at cabin",
        "the pair stays a pair: both lines of the bus go the same way, as wires of one length",
    ),
    (
        "wire gearbox_controller.K1[3] to S3 0.5 mm2 GN by cabin",
        "wire gearbox_controller.K1[3] to S3 0.5 mm2 GN by cabin, 0.4 m long",
        "the length was measured by hand; nobody has said it here, and within one zone no run tells it",
    ),
    (
        "blank body.clutch_hole",
        "blank body.clutch_hole with cover_plate",
        "which small part closes it is for the owner to say; the parts stand in the finished file only",
    ),
    (
        "blank body.pedal_bracket",
        "blank body.pedal_bracket with stud_caps",
        "which small part closes it is for the owner to say",
    ),
    (
        "blank brake_reservoir.clutch_out",
        "blank brake_reservoir.clutch_out with cap_8",
        "which small part closes it is for the owner to say",
    ),
];

/// Two statements that differ in nothing but the colour of a wire that is new at both ends.
fn but_for_colour(a: &str, b: &str) -> bool {
    let words = |it: &str| -> Vec<String> { it.split(' ').map(str::to_owned).collect() };
    let (a, b) = (words(a), words(b));
    let colour = |it: &String| it.chars().all(|it| it.is_ascii_uppercase() || it == '/');
    a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| a == b || colour(a) && colour(b))
}

#[test]
fn every_statement_is_what_the_hand_wrote_or_as_good() {
    let made = planned();
    let by_hand = std::fs::read_to_string(loaded::root().join("examples/easy_van/easy_van.trunnion"));
    let by_hand = by_hand.expect("the finished example");
    let by_hand: Vec<&str> = by_hand.lines().map(str::trim).collect();
    let mut strange = Vec::new();
    for text in made.steps.iter().filter_map(|it| it.text.as_deref()) {
        let same =
            by_hand.iter().any(|it| *it == text || text.starts_with("wire") && but_for_colour(it, text));
        let otherwise = OTHERWISE.iter().find(|it| it.0 == text);
        if let Some((_, hand, _)) = otherwise {
            assert!(hand.is_empty() || by_hand.contains(hand), "the hand no longer writes `{hand}`");
        }
        if !same && otherwise.is_none() {
            strange.push(text);
        }
    }
    assert!(strange.is_empty(), "neither by hand nor explained:\n{}", strange.join("\n"));
    assert!(made.steps.iter().all(|it| !it.because.is_empty()), "every step has its reason");
}

/// What the hand wrote and the plan does not, and why: it is no matter of one answer.
#[test]
fn what_the_plan_leaves_to_the_owner() {
    let made = planned();
    let wanted = [
        // Nothing in the model says who does it: the owner knows the vehicle.
        "hand clutch_pedal.cruise_off to gearbox_controller",
        "hand clutch_pedal.brake_pivot to brake_pedal",
        // No clash: worth doing while the housing is open, at a price. `trunnion next` names it.
        "renew rear_seal, input_seal",
        // A hole that is too small is work of the owner's own, with no way back.
        "cut body.selector_hole for \"the automatic's selector is 14 mm wider\"",
        // A taste.
        "setup cluster \"gear display\" is \"on\"",
    ];
    for statement in wanted {
        assert!(!made.after.contains(statement), "{statement}");
    }
    assert!(made.open.iter().map(|it| it.1).sum::<usize>() > 0, "they are open");
}

#[test]
fn written_into_the_text_it_has_no_clash_and_all_comments_and_is_laid_out() {
    let made = planned();
    assert!(
        made.is_whole() && made.proven,
        "{:?}",
        made.clashes.iter().map(|it| &it.message).collect::<Vec<_>>()
    );
    let mut files = loaded::files("examples/easy_van");
    for (path, text) in &mut files {
        if path == PATH {
            text.clone_from(&made.after);
        }
    }
    let host = loaded::host(&files);
    let id = conversions(&host, &[PATH.to_owned()])[0];
    let verdicts = of_world(host.db(), host.workspace(), id, None);
    let clashes: Vec<_> = verdicts.iter().filter(|it| it.outcome == Outcome::Clash).collect();
    assert!(clashes.is_empty(), "{clashes:#?}");
    assert!(verdicts.len() > 60, "the checks looked at it");
    for comment in made.before.lines().filter(|it| it.trim_start().starts_with("//")) {
        assert!(made.after.contains(comment), "{comment}");
    }
    assert!(
        made.after.contains("because \"flange to flange: straight edge where the automatic's tail will be\"")
    );
    assert_eq!(trunnion_syntax::layout::tidy(&made.after), made.after);
    // Planned again there is nothing left to do.
    let mut host = loaded::host(&files);
    let id = conversions(&host, &[PATH.to_owned()])[0];
    let again = plan(&mut host, id, None, None, &|_| true).expect("a plan");
    assert_eq!(again.steps, []);
}

#[test]
fn the_picks_are_told_with_the_best_that_could_be_taken_instead() {
    let made = planned();
    let places: Vec<&str> = made.picks.iter().map(|it| it.place.as_str()).collect();
    assert_eq!(places, ["flywheel", "propshaft", "final drive", "radiator", "brake controller"]);
    // 120 EUR by the offer of the used flexplate; the new one is 310 + 18 freight, so 208 more.
    assert_eq!((made.total.cost, made.total.wait), ((12_000, 12_000), 3 * 1440));
    let trunnion_plan::plan::Alternative::Other { total, .. } = &made.picks[0].alternative else {
        panic!("the new flexplate goes too")
    };
    assert_eq!((total.cost, total.wait), ((32_800, 32_800), 70 * 1440));
    assert_eq!(made.steps.iter().filter(|it| it.sort == Sort::Part).count(), 6);
}
