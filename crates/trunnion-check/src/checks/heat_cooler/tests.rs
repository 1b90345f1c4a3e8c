use crate::testing::check;

fn cooled(part: &str, core: &str, conversion: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
source club "Club notes" reported
medium gearbox_oil
kind box {{ asks port cooler_out carrying gearbox_oil }}
kind cooler {{ asks port inlet carrying gearbox_oil, port outlet carrying gearbox_oil }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box
  place oil_cooler is cooler
  line hose joins gearbox.cooler_out to oil_cooler.inlet, carrying gearbox_oil
  line back joins oil_cooler.outlet to gearbox.cooler_in, carrying gearbox_oil }}
part auto_six "automatic" is box fills gearbox {{ port cooler_out carrying gearbox_oil, port cooler_in carrying gearbox_oil, {part} }}
part core "oil cooler" is cooler fills oil_cooler {{ fitted on Dunlin, port inlet carrying gearbox_oil, port outlet carrying gearbox_oil, {core} }}
part large is cooler fills oil_cooler {{ cooler 9 kW, rated difference 60 K, offer 120 EUR }}
part air "air cooler" is cooler {{ port inlet carrying gearbox_oil, port outlet carrying gearbox_oil, cooler 3 kW, rated difference 60 K }}
vehicle van is Dunlin {{ built 2012-04, tows 750 kg }}
conversion easy {{
  recipient van
  fit auto_six
  {conversion}
}}"#
    )
}

const HOT: &str = "cooler 5.2 kW per manual, temperature limit 120 °C per manual";

#[test]
fn enough_on_the_hottest_day_is_clear() {
    // 6 kW at 90 K; 120 °C over 40 °C is 80 K: 6 × 80 / 90.
    let found = check("heat/cooler", &cooled(HOT, "cooler 6 kW, rated difference 90 K", ""));
    found.clear("Oil cooler carries off 5.333 kW at 80 K over the air; automatic gives 5.2 kW.");
    assert_eq!(found.only().formula.as_deref(), Some("heat = 6 kW × 80 K / 90 K = 5.333 kW"));
    assert!(found.only().notes[0].starts_with("it tows 750 kg"));
    assert!(found.only().sources.iter().any(|it| it.starts_with("ambient 40 °C: common practice")));
    let cold = cooled(HOT, "cooler 4 kW, rated difference 80 K", "") + "\nbasis { ambient 10 °C }";
    check("heat/cooler", &cold)
        .clear("Oil cooler carries off 5.5 kW at 110 K over the air; automatic gives 5.2 kW.");
}

#[test]
fn too_little_is_a_clash_with_the_cooler_that_carries_it() {
    let found = check("heat/cooler", &cooled(HOT, "cooler 5 kW, rated difference 90 K", ""));
    found.clash("Oil cooler carries off 4.444 kW at 80 K over the air, but automatic gives 5.2 kW.");
    assert_eq!(found.text(), "fit auto_six");
    assert!(found.fixed(0).contains("replace oil_cooler with large"), "{}", found.fixed(0));
}

#[test]
fn coolers_in_a_row_are_added_up() {
    let row = "place air_cooler is cooler\n  fit air for air_cooler\n  \
               line to_air joins gearbox.cooler_out to air_cooler.inlet, carrying gearbox_oil\n  \
               line on joins air_cooler.outlet to oil_cooler.inlet, carrying gearbox_oil";
    let found = check("heat/cooler", &cooled(HOT, "cooler 5 kW, rated difference 90 K", row));
    assert_eq!(found.only().outcome.word(), "clear", "{}", found.listing());
    assert!(found.only().message.contains("carry off 8.444 kW"), "{}", found.only().message);
    assert!(found.only().notes.iter().any(|it| it.contains("warmer air")));
}

#[test]
fn what_nobody_stated_is_open() {
    check("heat/cooler", &cooled(HOT, "cooler 6 kW", "")).open(
        "Nobody has said the rated difference of temperature of the oil cooler: it decides whether the \
         heat of the gearbox is carried off.",
    );
    let found = check("heat/cooler", &cooled("mass 80 kg", "cooler 6 kW, rated difference 90 K", ""));
    assert_eq!(found.only().outcome.word(), "open");
    let two = "cooler 5.2 kW per manual, cooler 7 kW per club, temperature limit 120 °C";
    let found = check("heat/cooler", &cooled(two, "cooler 6 kW, rated difference 90 K", ""));
    assert_eq!(found.only().outcome.word(), "open");
    assert!(found.only().message.contains("is disputed"), "{}", found.only().message);
}

#[test]
fn where_no_heat_is_stated_or_nothing_changes_it_is_silent() {
    check("heat/cooler", &cooled("mass 80 kg", "mass 2 kg", "")).silent();
    let same =
        cooled(HOT, "cooler 5 kW, rated difference 90 K", "").replace("fit auto_six\n", "budget 1 EUR\n");
    check("heat/cooler", &same.replace("fills gearbox {", "fills gearbox { fitted on Dunlin,")).silent();
}
