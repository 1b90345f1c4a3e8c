use crate::testing::check;

fn van(vehicle: &str, change: &str) -> String {
    format!(
        r#"
source papers "Vehicle papers" documented
source club "Club notes" reported
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine is unit
  place gearbox is unit
  place winch is unit
  place bracket is unit
  engine.behind_axle -200 mm
  gearbox.behind_axle 800 mm }}
part small is unit fills engine {{ fitted on Dunlin, mass 150 kg }}
part large is unit fills engine {{ mass 210 kg }}
part manual_five is unit fills gearbox {{ fitted on Dunlin, mass 46 kg }}
part auto_six is unit fills gearbox {{ mass 86 kg }}
part cable_winch is unit fills winch {{ mass 38 kg }}
part plate is unit fills bracket {{ mass 3 kg }}
vehicle van is Dunlin {{ built 2012-04, wheelbase 3200 mm, {vehicle} }}
conversion easy {{ recipient van, {change} }}"#
    )
}

const FRONT: &str = "front axle load 980 kg per papers, front axle limit 1080 kg per papers";

#[test]
fn each_change_falls_to_the_axles_by_its_place() {
    // 60 kg, 200 mm before the axle: 60 × 3400 / 3200; 40 kg, 800 mm behind it: 40 × 2400 / 3200.
    let found = check("drive/axle", &van(FRONT, "fit large, fit auto_six"));
    found
        .clear("The front axle carries 1074 kg with nothing on it, 980 kg before; the plate allows 1080 kg.");
    assert_eq!(found.only().margin.as_deref(), Some("6.25 kg"));
    assert_eq!(
        found.only().formula.as_deref(),
        Some(
            "share = 60 kg × 3400 mm / 3200 mm = 63.75 kg; share = 40 kg × 2400 mm / 3200 mm = 30 kg; \
             980 kg + 93.75 kg = 1074 kg"
        )
    );
    assert_eq!(found.only().safety, ["wheels"]);
    let rear = "rear axle load 910 kg, rear axle limit 1500 kg";
    check("drive/axle", &van(rear, "fit large, fit auto_six"))
        .clear("The rear axle carries 916.2 kg with nothing on it, 910 kg before; the plate allows 1500 kg.");
}

#[test]
fn an_axle_over_its_plate_is_a_clash() {
    let found = check("drive/axle", &van("front axle load 1030 kg, front axle limit 1080 kg", "fit large"));
    found.clash(
        "The front axle carries 1094 kg with nothing on it, 1030 kg before, but the plate allows 1080 kg.",
    );
    assert_eq!(found.text(), "front axle limit 1080 kg");
}

#[test]
fn small_things_count_in_full() {
    let found = check("drive/axle", &van(FRONT, "fit plate"));
    found.clear("The front axle carries 983 kg with nothing on it, 980 kg before; the plate allows 1080 kg.");
    assert!(found.only().notes.iter().any(|it| it.contains("bracket")), "{:?}", found.only().notes);
}

#[test]
fn what_nobody_stated_is_open() {
    let found = check("drive/axle", &van(FRONT, "fit cable_winch"));
    found.open(
        "Nobody has said the distance of its centre of mass behind the front axle of the winch: it decides whether \
         the front axle carries what the work brings.",
    );
    check("drive/axle", &van("front axle limit 1080 kg", "fit large")).open(
        "Nobody has said the front axle load of the vehicle: it decides whether the front axle carries what the work \
         brings.",
    );
    check("drive/axle", &van(FRONT, "fit large, aim payload 600 kg")).open(
        "Nobody has said the front axle load, laden of the vehicle: it decides whether the front axle carries what \
         the work brings.",
    );
    let two = "front axle load 980 kg per papers, front axle load 1020 kg per club, front axle limit 1080 kg";
    assert_eq!(check("drive/axle", &van(two, "fit large")).only().outcome.word(), "open");
}

#[test]
fn what_was_weighed_after_all_of_the_work_outranks_the_sum() {
    let done = "\nlog of van {\n  2026-03-05 done fit large for engine\n  \
                2026-04-02 measured van.front_axle_load 1062 kg, with \"weighbridge\" to 10 kg\n}";
    let found = check("drive/axle", &(van(FRONT, "fit large") + done));
    found.clear(
        "The front axle carries 1062 kg ± 10 kg with nothing on it, weighed after the work; the plate allows 1080 kg.",
    );
    // While the gearbox is not in, the load that was weighed is one of before.
    let found = check("drive/axle", &(van(FRONT, "fit large, fit auto_six") + done));
    found.clash(
        "The front axle carries 1146 to 1166 kg with nothing on it, 1062 kg ± 10 kg before, but the plate allows 1080 kg.",
    );
}

#[test]
fn where_nothing_is_stated_of_an_axle_it_is_silent() {
    check("drive/axle", &van("plated mass 2800 kg", "fit large")).silent();
}
