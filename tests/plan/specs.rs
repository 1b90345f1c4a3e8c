//! Specifications that cannot be made whole: a smallest contradiction, and what is left when any one
//! statement of it is taken away.

use trunnion_model::db::Host;
use trunnion_plan::conversions;
use trunnion_plan::plan::contradiction::Contradiction;
use trunnion_plan::plan::{Plan, plan};
use trunnion_tests::loaded::root;

const PATH: &str = "spec.trunnion";

fn text(name: &str) -> String {
    let path = root().join("tests/plan/specs").join(format!("{name}.trunnion"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn planned(text: &str) -> (Host, Plan) {
    let mut host = Host::new();
    host.set_file(PATH, text);
    let id = conversions(&host, &[PATH.to_owned()])[0];
    let made = plan(&mut host, id, None, None, &|_| true).expect("a plan or a reason");
    (host, made)
}

fn statements(it: &Contradiction) -> Vec<&str> {
    it.statements.iter().map(|it| it.text.as_str()).collect()
}

/// The text without some of the statements, which leave blanks.
fn without(host: &Host, text: &str, it: &Contradiction, gone: &[usize]) -> String {
    let mut text = text.to_owned();
    for nth in gone {
        let at = host.locate(it.statements[*nth].site).expect("it stands in the text").span;
        let blank = " ".repeat(at.range().len());
        text.replace_range(at.range(), &blank);
    }
    text
}

/// That these statements and no others are the contradiction, and that without any one of them the rest is
/// possible.
#[track_caller]
fn contradicts(name: &str, expected: &[&str]) -> Contradiction {
    let text = text(name);
    let (host, made) = planned(&text);
    let found =
        made.contradiction.unwrap_or_else(|| panic!("{name}: a plan where there is none: {:?}", made.steps));
    assert_eq!(statements(&found), expected, "{name}");
    for nth in 0..found.statements.len() {
        let rest = without(&host, &text, &found, &[nth]);
        let (_, made) = planned(&rest);
        assert!(
            made.is_whole(),
            "{name} without `{}`: {:?} {:?}",
            found.statements[nth].text,
            made.contradiction,
            made.clashes.iter().map(|it| &it.message).collect::<Vec<_>>()
        );
    }
    found
}

#[test]
fn no_candidate() {
    let found = contradicts(
        "no_candidate",
        &[
            "ratio 4.28 per tag",
            "ratio 4.10 per manual",
            "needs final_drive.ratio = 3.69 within 2 %",
            "fit quick_box",
        ],
    );
    assert_eq!(
        found.chain,
        [
            "Six-speed automatic needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28.",
            "Six-speed automatic needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.1."
        ]
    );
}

#[test]
fn one_candidate_too_dear() {
    let found = contradicts(
        "too_dear",
        &[
            "ratio 4.28 per tag",
            "needs final_drive.ratio = 3.69 within 2 %",
            "offer 800 EUR",
            "budget 1000 EUR",
            "fit quick_box",
        ],
    );
    assert_eq!(
        found.chain[1],
        "The budget is 1000 EUR, and what is bought anyway costs 800 EUR: 200 EUR are left for the rest."
    );
    assert!(found.ways_out[0].contains("final drive 3.69 (640 EUR)"), "{:?}", found.ways_out);
}

#[test]
fn a_donor_part_wanted_twice() {
    let found = contradicts(
        "wanted_twice",
        &[
            "has level_air big_pump per yard",
            "take level_air from breaker",
            "replace horn_air with big_pump from breaker",
        ],
    );
    assert_eq!(found.chain, ["The level air of breaker is taken twice; there is one."]);
}

#[test]
fn a_third_terminator() {
    let found = contradicts(
        "third_terminator",
        &[
            "terminates drive with 120 Ω per wiring",
            "terminates drive with 120 Ω per wiring",
            "terminates drive with 120 Ω per wiring",
            "terminates drive with 120 Ω per wiring",
            "fit gearbox_unit",
        ],
    );
    assert!(found.chain[0].starts_with("The drive bus has three terminators"), "{:?}", found.chain);
}

#[test]
fn a_bore_that_is_full() {
    let found = contradicts(
        "full_bore",
        &[
            "run cabin to tunnel 0.8 m through bulkhead, bore 5 mm, effort hard per wiring",
            "1 coil shift_a",
            "2 coil shift_b",
            "3 coil lock_up",
            "4 sensor input_speed",
            "5 sensor output_speed",
            "6 sensor selector_position",
            "1 coil shift_a",
            "2 coil shift_b",
            "3 coil lock_up",
            "4 sensor input_speed",
            "5 sensor output_speed",
            "6 sensor selector_position",
            "fit box",
            "fit unit",
        ],
    );
    assert!(found.chain[0].starts_with("The bore of 5 mm through the bulkhead from cabin to tunnel is full"));
}
