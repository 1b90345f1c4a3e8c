use crate::testing::check;

fn hose(box_says: &str, line: &str) -> String {
    format!(
        r#"
medium gearbox_oil
source manual "Workshop manual" documented
source club "Club notes" reported
kind box {{ asks port cooler_out carrying gearbox_oil }}
kind cooler {{ asks port inlet carrying gearbox_oil }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box
  place radiator is cooler }}
part auto_six "automatic" is box fills gearbox {{
  port cooler_out carrying gearbox_oil
  {box_says}
}}
part core is cooler fills radiator {{ fitted on Dunlin, port inlet carrying gearbox_oil, pressure 90 bar }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six
  line hose "new hose" joins gearbox.cooler_out to radiator.inlet, carrying gearbox_oil{line} }}"#
    )
}

#[test]
fn a_hose_that_stands_both_is_clear() {
    let said = "pressure 8 bar per manual\n temperature 110 °C per manual";
    let found = check("line/rating", &hose(said, ", 10 bar pressure, 130 °C hot"));
    found.clear(
        "The line \"new hose\" stands what its ports give: 10 bar against automatic gives a pressure of 8 bar, \
         130 °C against automatic gives a temperature of 110 °C.",
    );
    assert_eq!(found.only().margin.as_deref(), Some("2 bar and 20 K"));
    assert_eq!(found.only().formula.as_deref(), Some("8 bar ≤ 10 bar; 110 °C ≤ 130 °C"));
}

#[test]
fn the_peak_counts_and_a_stronger_hose_is_offered() {
    let found = check("line/rating", &hose("pressure 8 bar, peak pressure 14 bar", ", 10 bar pressure"));
    found.clash(
        "The line \"new hose\" is too weak: it stands 10 bar, but automatic gives a peak pressure of 14 bar.",
    );
    assert_eq!(found.only().margin.as_deref(), Some("−4 bar"));
    assert!(found.fixed(0).contains("carrying gearbox_oil, 14 bar pressure }"), "{}", found.fixed(0));
    assert!(found.text().starts_with("line hose"));
}

#[test]
fn what_one_side_leaves_unsaid_is_open() {
    let found = check("line/rating", &hose("mass 80 kg", ", 10 bar pressure"));
    found.open(
        "Nobody has said the pressure at the cooler out of the gearbox: it decides whether the line \"new hose\" \
         stands what its ports give.",
    );
    assert!(found.fixed(0).contains("cooler_out.pressure … bar\n"), "{}", found.fixed(0));
    let found = check("line/rating", &hose("cooler_out.pressure 8 bar", ""));
    found.open(
        "Nobody has said which pressure the line stands: it decides whether the line \"new hose\" stands what its \
         ports give.",
    );
    assert!(found.fixed(0).contains("radiator.inlet, … bar pressure, carrying"), "{}", found.fixed(0));
}

#[test]
fn disputed_and_too_close_are_open() {
    let two = "pressure 8 bar per manual\n pressure 12 bar per club";
    check("line/rating", &hose(two, ", 10 bar pressure")).open(
        "It cannot be told whether the line \"new hose\" stands what its ports give: the pressure of gearbox is \
         disputed: Workshop manual (documented) says 8 bar, Club notes (reported) says 12 bar.",
    );
    let found = check("line/rating", &hose("pressure 9 bar to 11 bar", ", 10 bar pressure"));
    assert_eq!(found.only().outcome.word(), "open");
}

#[test]
fn where_nobody_said_a_figure_it_is_silent() {
    check("line/rating", &hose("mass 80 kg", "")).silent();
}
