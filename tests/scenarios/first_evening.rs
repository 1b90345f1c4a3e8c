//! The first evening, minute by minute: no family, no catalogue, a few lines.

use trunnion_model::built::scope_of;
use trunnion_model::db::Host;
use trunnion_model::name::{Id, Space};
use trunnion_model::verdict::{Gate, Outcome};
use trunnion_plan::chain::Fate;
use trunnion_plan::next::{Next, next};
use trunnion_tests::loaded;

const SEVEN_LINES: &str = "\
vehicle van     { kind panel_van, rear driven, built 2012-04, gearbox manual }
vehicle breaker { kind panel_van, rear driven, built 2015-09, gearbox automatic, price 1450 EUR, ask by 2026-03-01 }
conversion easy {
  recipient van
  donor breaker
  take gearbox from breaker
  aim cruise 110 km/h at most 2600 rpm
  budget 2600 EUR
}
";

fn evening(text: &str) -> (Host, Next) {
    let host = loaded::host(&[("van.trunnion".to_owned(), text.to_owned())]);
    let item = host.file("van.trunnion").expect("held").items(host.db())[0];
    let scope = scope_of(host.db(), host.workspace(), Id { item, nth: 0 });
    let id = scope.find(Space::Conversion, "easy").expect("declared");
    let next = next(host.db(), host.workspace(), id).expect("a conversion");
    (host, next)
}

#[test]
fn minute_0_the_example_is_these_lines() {
    let shipped = loaded::files("examples/first_evening");
    let van = shipped.iter().find(|it| it.0 == "van.trunnion").expect("there");
    let words = |text: &str| -> Vec<String> {
        let lines = text.lines().filter(|it| !it.trim_start().starts_with("//"));
        lines.flat_map(|it| it.split_whitespace().map(str::to_owned).collect::<Vec<_>>()).collect()
    };
    assert_eq!(words(&van.1), words(SEVEN_LINES));
    let (host, _) = evening(SEVEN_LINES);
    let problems: Vec<String> = loaded::verdicts(&host, "van.trunnion")
        .iter()
        .filter(|it| ["write/", "name/", "unit/"].iter().any(|start| it.check.starts_with(start)))
        .map(|it| it.message.clone())
        .collect();
    assert_eq!(problems, Vec::<String>::new());
}

#[test]
fn minute_10_the_chain_of_places_that_change_drawn_hollow() {
    let (_, next) = evening(SEVEN_LINES);
    let fate = |place: &str| next.chain.iter().find(|it| it.place == place).map(|it| it.fate);
    assert_eq!(fate("gearbox"), Some(Fate::Changes));
    assert_eq!(fate("flywheel"), Some(Fate::Becomes));
    assert_eq!(fate("selector"), Some(Fate::Becomes));
    assert_eq!(fate("gearbox_controller"), Some(Fate::Comes));
    assert_eq!(fate("clutch"), Some(Fate::Goes));
    assert_eq!(fate("clutch_pedal"), Some(Fate::Goes));
    for place in ["propshaft", "final_drive", "engine"] {
        assert_eq!(fate(place), Some(Fate::Meets), "{place}");
    }
    for place in ["body_controller", "engine_controller"] {
        assert_eq!(fate(place), Some(Fate::Listens), "{place}");
    }
    assert!(next.chain.iter().all(|it| it.hollow), "nothing but kinds is known");
    assert_eq!(next.chain[0].before, "manual gearbox");
    assert_eq!(next.chain[0].after, "automatic gearbox");
}

#[test]
fn minute_15_three_questions_for_the_seller_and_five_measurements() {
    let (_, next) = evening(SEVEN_LINES);
    assert_eq!(next.ask_by.as_deref(), Some("2026-03-01"));
    assert!(next.seller.len() >= 3, "{:#?}", next.seller);
    for task in &next.seller[..3] {
        assert_eq!(task.gate, Gate::Buying, "{}", task.what);
        assert!(!task.hangs.is_empty(), "{}", task.what);
    }
    assert!(next.tape.len() >= 5, "{:#?}", next.tape);
    for task in &next.tape[..5] {
        assert!(task.tool.is_some() && task.precision.is_some() && task.minutes.is_some(), "{task:#?}");
    }
}

#[test]
fn minute_20_the_first_clash_with_its_arithmetic_from_three_facts() {
    let typed = SEVEN_LINES.replace(
        "built 2012-04, gearbox manual }",
        "built 2012-04, gearbox manual, final_drive.ratio 4.28 }",
    ) + "
part six_speed is automatic_gearbox fills gearbox {
  needs final_drive.ratio = 3.69 within 2 %
}
";
    let typed = typed.replace("price 1450 EUR", "has gearbox six_speed, price 1450 EUR");
    let (host, _) = evening(&typed);
    let verdicts = loaded::verdicts(&host, "van.trunnion");
    let clash: Vec<_> = verdicts.iter().filter(|it| it.outcome == Outcome::Clash).collect();
    let [clash] = clash.as_slice() else { panic!("{}", loaded::clashes(&verdicts)) };
    assert_eq!(clash.check, "need");
    assert_eq!(
        clash.message,
        "Six speed needs final drive ratio = 3.69 within 2 %, but final drive ratio 4.28."
    );
    assert_eq!(clash.formula.as_deref(), Some("(4.28 − 3.69) / 3.69 = 16.0 % high; allowed 2 %"));
}

#[test]
fn minute_30_the_pages_for_the_pocket() {
    let (host, _) = evening(SEVEN_LINES);
    let page = trunnion_report::next::pages(&host, &["van.trunnion".to_owned()]).concat();
    for words in
        ["The chain:", "Ask the seller (wants to know by 2026-03-01)", "Look or measure", "before buying"]
    {
        assert!(page.contains(words), "{words} in:\n{page}");
    }
}
