//! Statements as the table of forms reads them.
#![allow(missing_docs, reason = "a test has no readers but its own")]

use trunnion_syntax::form::{Statement, statements};
use trunnion_syntax::parse::parse;
use trunnion_syntax::tree::{AtomKind, Line, SyntaxError, Tree};

/// All statements of some lines and of their blocks, by key, and what is told.
fn walk(context: &str, lines: &[Line], keys: &mut Vec<String>, errors: &mut Vec<SyntaxError>) {
    for statement in statements(context, lines, errors) {
        keys.push(statement.form.key.clone());
        if let (Some(block), Some(context)) = (statement.block, statement.form.block) {
            walk(context, &block.lines, keys, errors);
        }
    }
}

/// The keys of a text that reads without a word.
fn keys(context: &str, text: &str) -> Vec<String> {
    let tree = parse(text);
    let (mut keys, mut errors) = (Vec::new(), tree.errors.clone());
    walk(context, &tree.lines, &mut keys, &mut errors);
    let told: Vec<_> = errors.iter().map(|it| (&text[it.span.range()], &it.message)).collect();
    assert!(told.is_empty(), "{told:?}");
    keys
}

/// What is told of a text: name, place and the text of the mend.
fn told<'a>(context: &str, text: &'a str) -> Vec<(&'static str, &'a str, Option<String>)> {
    let tree = parse(text);
    let mut errors = tree.errors.clone();
    walk(context, &tree.lines, &mut Vec::new(), &mut errors);
    errors.into_iter().map(|it| (it.name, &text[it.span.range()], it.mend.map(|it| it.text))).collect()
}

fn message(context: &str, text: &str) -> String {
    let tree = parse(text);
    let mut errors = tree.errors.clone();
    walk(context, &tree.lines, &mut Vec::new(), &mut errors);
    assert_eq!(errors.len(), 1, "{text}: {errors:?}");
    errors.remove(0).message
}

/// Reads one statement and looks at it.
fn with_first(context: &str, text: &str, look: impl FnOnce(&Statement<'_>)) {
    with_all(context, text, |all| look(&all[0]));
}

fn with_all(context: &str, text: &str, look: impl FnOnce(&[Statement<'_>])) {
    let Tree { lines, errors } = parse(text);
    assert!(errors.is_empty(), "{errors:?}");
    let mut errors = Vec::new();
    let all = statements(context, &lines, &mut errors);
    assert!(errors.is_empty(), "{text}: {errors:?}");
    look(&all);
}

const FAMILY: &str = r#"
/// What is known about the Dunlin van, for work on its driveline.
source manual "Workshop manual, issue 7"    documented 2016-03
source bench  "Measured on the recipient"   measured   2026-02-11

family Dunlin {
  built 2009-06 to 2018-12
  option engine  is diesel_22, petrol_20
  place engine, flywheel, gearbox, propshaft, final_drive
  joint engine.crank   to flywheel.crank
  bus drive is CAN at 500 kbit/s
  zone bay, cabin, console
  run bay to cabin     2.1 m through bulkhead, bore 22 mm, effort hard
  run cabin to console 0.9 m
}
pattern crank_six { holes 6 on 76 mm, thread M12x1.5, register 44 mm H7 }
connector shell38 { cavities 38, terminal blade_15, sealed, keying A }
module brake_late fills brake_controller {
  fitted on Dunlin from 2013-09                      per manual
  plug B1 is shell38 { 14 can_high drive, 15 can_low drive, 1 supply 12 V draw 20 A, 2 ground }
  sends torque_cut on drive every 10 ms
}
part auto_six "six-speed automatic" fills gearbox {
  face front is bell_22
  ratios 4.31, 2.47, 1.59, 1.17, 0.88, 0.68
  torque limit 400 Nm                                per manual
  needs final_drive.ratio = 3.69 within 2 %          per manual
    because "its controller compares road speed with output speed"
  needs brake_controller sends torque_cut            per club
}
"#;

const CONVERSION: &str = r#"
use "../catalogue/dunlin"
vehicle van is Dunlin "the recipient" {
  built 2012-04                                      per bench
  engine diesel_22, gearbox manual_five
  tyre "205/65 R16"
  has final_drive axle_428                           per bench
}
vehicle breaker is Dunlin "the donor" { built 2015-09, engine diesel_22, gearbox auto_six, price 1450 EUR }
conversion easy_van "An automatic for a driver who cannot press a clutch" {
  recipient van
  donor breaker
  budget 2600 EUR
  take gearbox, gearbox_controller, selector, propshaft from breaker
  replace final_drive with axle_369 from breaker
  choose flywheel from flexplate_new, flexplate_used prefer cost
  move  van.B1[8] to van.B1[11]
  wire  gearbox_controller.K1[3] to van.B1[14]  0.5 mm2 GN  by bay, cabin
  setup brake_controller "gearbox type" is "automatic"
  aim cruise 110 km/h at most 2600 rpm
  accept gap/shaft gap.exhaust_to_shaft because "seen with 20 mm at full lock" by "M. O."
}
"#;

const WORK: &str = r#"
loom console_loom of Dunlin {
  fitted from 2011-03 with gearbox manual_five           per manual
  splice S7 at console
  wire selector.L1[4] to S7                  0.35 mm2 BN     by console
  wire brake_controller.B1[8] to body_controller.J2[31]  0.5 mm2 YE/GN  by bay, cabin
}
feed F31 of Dunlin is 12 V from ignition, fuse 15 A, at cabin
part flexplate_new  fills flywheel { face crank is crank_six, offer 310 EUR, wait 10 weeks, new   per maker_list }
work gearbox_out  { takes 3 h, hands 2, opens clutch_housing, caution lifting }
service rear_seal "rear crankshaft seal" { reached only in clutch_housing, takes 30 min, offer 28 EUR, because "the gearbox must come off to reach it" }
rule tow_cooler {
  when  vehicle.tows > 1500 kg
  needs gearbox.cooler >= 8 kW           per manual
  because "the converter heats the oil on long climbs"
}
basis { current is cfr_183_425, drop at most 3 %, speedometer is unece_39 }
log of van {
  2026-03-02 measured propshaft.length 1418 mm
  2026-03-05 done take gearbox from breaker, 4 h
}
kind automatic_gearbox is gearbox {
  asks face front, face input, face tail, mount rear
  asks port cooler_out, port cooler_in carrying gearbox_oil
  asks ratios, torque limit, mass, fluid
  asks chain pull_out "converter pull-out"     before no return, tool "depth gauge" to 0.1 mm, takes 5 min
}
line cooler_hose joins gearbox.cooler_out to radiator.oil_in   12 mm bore, 25 bar pressure, 120 °C hot, 0.9 m long
vehicle van     { kind panel_van, rear driven, built 2012-04, gearbox manual }
vehicle breaker { kind panel_van, rear driven, built 2015-09, gearbox automatic, price 1450 EUR, ask by 2026-03-01 }
"#;

#[test]
fn the_sketches_of_the_language_are_read() {
    let family = keys("file", FAMILY);
    assert_eq!(family.iter().filter(|it| *it == "run to").count(), 2);
    let conversion = keys("file", CONVERSION);
    assert!(conversion.contains(&"replace with".to_owned()) && conversion.contains(&"take from".to_owned()));
    let work = keys("file", WORK);
    assert!(work.contains(&"reached only in".to_owned()) && work.contains(&"driven".to_owned()));
}

#[test]
fn a_comma_goes_on_with_the_statement_or_begins_another() {
    assert_eq!(
        keys("family", "run bay to cabin 2.1 m through bulkhead, bore 22 mm, effort hard"),
        ["run to"]
    );
    assert_eq!(
        keys("vehicle", "built 2015-09, engine diesel_22, price 1450 EUR, ask by 2026-03-01"),
        ["built", "fact value", "price"],
    );
    assert_eq!(
        keys("work", "takes 3 h, opens housing, caution lifting, hands 2"),
        ["takes", "opens", "caution", "hands"]
    );
    assert_eq!(keys("part", "caution lifting, battery, new, paired"), ["caution", "flag", "paired"]);
}

#[test]
fn lists_end_before_a_new_statement() {
    with_first("conversion", "take gearbox, selector, propshaft from breaker", |it| {
        assert_eq!(it.paths("places").len(), 3);
        assert_eq!(it.path("donor").map(|it| it.value.to_string()).as_deref(), Some("breaker"));
    });
    with_first("part", "ratios 4.31, 2.47 per manual, 1.59", |it| {
        let values = it.values("value");
        assert_eq!(values.len(), 3);
        assert_eq!(values[1].per.as_ref().map(|it| it.value.to_string()).as_deref(), Some("manual"));
        assert!(values[0].per.is_none() && it.per.is_none());
    });
    with_all("part", "mass 3 kg, torque limit 400 Nm", |all| {
        assert_eq!(all.len(), 2);
        assert_eq!(all[1].word("fact").map(|it| it.value.to_string()).as_deref(), Some("torque_limit"));
    });
}

#[test]
fn a_source_at_the_end_speaks_for_its_line() {
    with_all("part", "mass 3 kg per bench, wait 3 days, new per manual", |all| {
        let sources: Vec<_> = all.iter().map(|it| it.per.as_ref().map(|it| it.value.to_string())).collect();
        assert_eq!(sources, [Some("bench".to_owned()), Some("manual".to_owned()), Some("manual".to_owned())]);
    });
    with_all("part", "mass 3 kg, because \"weighed\", wait 3 days", |all| {
        assert_eq!(all[0].because.as_ref().map(|it| it.value.as_str()), Some("weighed"));
        assert!(all[1].because.is_none());
    });
    with_first("part", "plug A is b { 1 ground } per manual", |it| {
        assert!(it.per.is_some() && it.block.is_some())
    });
}

#[test]
fn options_come_in_any_order() {
    with_first("part", "fitted with engine diesel_22 to 2013-08 on Dunlin, from 2009-06", |it| {
        assert_eq!(it.date("from").map(|it| it.value.to_string()).as_deref(), Some("2009-06"));
        assert_eq!(it.word("option").map(|it| it.value.to_string()).as_deref(), Some("engine"));
        assert_eq!(it.path("family").map(|it| it.value.to_string()).as_deref(), Some("Dunlin"));
    });
    with_first("part", "face front female is bell", |it| {
        assert!(it.flag("female") && !it.flag("male") && !it.flag("none"));
    });
    with_first("family", "place left, right both sides in bay", |it| {
        assert!(it.flag("both sides"));
        assert_eq!(it.names("names").len(), 2);
        assert_eq!(it.slot_span("names").map(|it| it.range()), Some(6..17));
    });
}

#[test]
fn slots_take_what_their_type_says() {
    with_first("conversion", "wire a.K1[3] to b.B1[14] 0.5 mm2 YE/GN by bay, cabin, 3 m long", |it| {
        assert_eq!(it.word("colour").map(|it| it.value.to_string()).as_deref(), Some("YE/GN"));
        assert_eq!(it.paths("zones").len(), 2);
        assert!(it.figure("size").is_some() && it.figure("length").is_some());
    });
    with_first("kind", "asks face input, torque limit \"what it bears\", mass before no return", |it| {
        let asked = it.asked("asked");
        assert_eq!(asked.len(), 3);
        assert_eq!(asked[0].class.as_deref(), Some("face"));
        assert_eq!(
            (asked[1].name.value.as_str(), asked[1].title.as_deref()),
            ("torque_limit", Some("what it bears"))
        );
        assert_eq!(it.word("gate").map(|it| it.value.to_string()).as_deref(), Some("no return"));
    });
    with_first("vehicle", "tyre 205/65R16", |it| {
        assert!(
            matches!(it.value("tyre").map(|it| &it.kind), Some(AtomKind::Tyre(it)) if it == "205/65 R16")
        );
    });
    with_first("log", "2026-03-05 done take gearbox from breaker, 4 h", |it| {
        assert_eq!(it.rest("what"), "take gearbox from breaker, 4 h");
    });
}

#[test]
fn a_doc_comment_is_the_first_statements() {
    with_all("part", "/// why\nmass 3 kg, new", |all| {
        assert_eq!(all[0].doc.as_deref(), Some("why"));
        assert_eq!(all[1].doc, None);
    });
}

#[test]
fn a_wrong_leading_word_is_told_once_with_the_nearest() {
    assert_eq!(
        told("file", "vehicel van { built 2012-04 }"),
        [("write/statement", "vehicel", Some("vehicle".into()))]
    );
    assert_eq!(
        told("conversion", "recipent van"),
        [("write/statement", "recipent", Some("recipient".into()))]
    );
    assert_eq!(told("part", "usd"), [("write/statement", "usd", Some("used".into()))]);
    let inside = message("file", "face front is bell");
    assert!(inside.contains("`face`") && inside.contains("inside a part"), "{inside}");
}

#[test]
fn a_fact_may_begin_with_a_leading_word() {
    assert_eq!(keys("part", "software number none per wiring"), ["fact value"]);
    assert_eq!(keys("part", "opening pressure 1.1 bar"), ["fact value"]);
}

#[test]
fn what_is_missing_is_told_where_it_should_stand() {
    assert_eq!(told("conversion", "take gearbox"), [("write/missing", "", None)]);
    assert_eq!(told("family", "joint a.b too c.d"), [("write/missing", "too", Some("to".into()))]);
    assert_eq!(told("part", "needs"), [("write/missing", "", None)]);
    assert!(message("conversion", "move a to b[3]").contains("a path"), "`a` has neither a dot nor a cavity");
    assert!(message("file", "part M12 { }").contains("reads as a thread"));
}

#[test]
fn what_is_left_over_is_told_with_what_may_follow() {
    assert_eq!(told("part", "fitted form 2013-08"), [("write/rest", "form 2013-08", Some("from".into()))]);
    assert_eq!(told("part", "fitted fron 2013-08"), [("write/rest", "fron 2013-08", Some("from".into()))]);
    assert_eq!(told("conversion", "wire a to b ye/gn"), [("write/rest", "ye/gn", Some("YE/GN".into()))]);
    assert_eq!(told("conversion", "donor breaker { }"), [("write/rest", "{ }", None)]);
    let rest = message("part", "sends torque_cut on drive often");
    assert!(rest.contains("`sends MESSAGE`") && rest.contains("`every`") && rest.contains("`per`"), "{rest}");
    assert!(!rest.contains("`on`"), "what is there may not follow again: {rest}");
}

#[test]
fn a_broken_condition_is_told_once() {
    assert_eq!(told("part", "needs a = per manual"), [("write/expression", "=", None)]);
    assert_eq!(told("rule", "when a > 3 b"), [("write/expression", "b", None)]);
}

#[test]
fn what_a_whole_place_leaves_open_can_be_accepted() {
    for subject in ["clutch", "gearbox.breather", "propshaft.rear-final_drive.nose"] {
        let text = format!("accept set/together {subject} because \"seen\" by \"M. O.\"");
        assert_eq!(keys("conversion", &text), ["accept"], "{subject}");
    }
}
