use crate::testing::check;

fn van(wheel: &str, vehicle: &str) -> String {
    format!(
        r#"
source papers "Vehicle papers" documented
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place wheel_rear both sides is wheel
  place wheel_front both sides is wheel }}
part alloy is wheel {{ {wheel} }}
vehicle van is Dunlin {{ built 2012-04 per papers, {vehicle} }}
conversion wheels {{ recipient van, fit alloy for wheel_rear }}"#
    )
}

/// UN Regulation No. 30, table of load-capacity indices: 95 is 690 kg, 91 is 615 kg.
#[test]
fn the_load_index_carries_the_axle_or_not() {
    let limit = "rear axle limit 1300 kg per papers";
    let found = check("drive/tyre", &van("load index \"95H\" per papers", limit));
    found.clear("2 tyres of load index 95 carry 1380 kg; the rear axle may weigh 1300 kg.");
    assert_eq!(found.only().margin.as_deref(), Some("80 kg"));
    assert_eq!(
        found.only().formula.as_deref(),
        Some("load = UN Regulation 30 table at 95 = 690 kg; 2 × 690 kg = 1380 kg")
    );
    let found = check("drive/tyre", &van("load index \"91H\" per papers", limit));
    found.clash("2 tyres of load index 91 carry 1230 kg, but the rear axle may weigh 1300 kg.");
    assert_eq!(found.only().subject, "wheel_rear.load");
    assert_eq!(found.text(), "fit alloy for wheel_rear");
    assert_eq!(found.only().safety, ["wheels"]);
}

/// UN Regulation No. 30, table of speed categories: S is 180 km/h, Q is 160 km/h.
#[test]
fn the_speed_symbol_stands_the_top_speed_or_not() {
    let vehicle = "rear axle limit 1300 kg, top speed 170 km/h per papers";
    let found = check("drive/tyre", &van("load index \"107/105Q\" per papers", vehicle));
    let verdict = found.about("wheel_rear.speed");
    assert_eq!(verdict.message, "The speed symbol Q stands for 160 km/h, but the top speed is 170 km/h.");
    let found = check("drive/tyre", &van("tyre 205/65 R16 107/105S", vehicle));
    assert_eq!(found.about("wheel_rear.speed").outcome.word(), "clear");
    assert_eq!(found.about("wheel_rear.load").outcome.word(), "clear");
}

#[test]
fn what_nobody_said_is_open() {
    check("drive/tyre", &van("load index \"95H\" per papers", "tows 750 kg")).open(
        "Nobody has said the rear axle limit on the plate of the vehicle: \
         it decides whether the tyres carry the rear axle.",
    );
    check("drive/tyre", &van("mass 18 kg", "rear axle limit 1300 kg")).open(
        "Nobody has said the load index and speed symbol of the wheel rear: \
         it decides whether the tyres carry the rear axle.",
    );
    check("drive/tyre", &van("mass 18 kg", "tows 750 kg")).silent();
    check("drive/tyre", &van("load index \"heavy\"", "rear axle limit 1300 kg")).open(
        "It cannot be told whether the tyres carry the rear axle: \
         `heavy` is no load index with a speed symbol, such as 107/105T.",
    );
}

/// UN Regulation No. 30, 6.1.2.1: 205/65 R16 is 406 + 2 × 133 = 672 mm across, 205/75 R16 is
/// 406 + 2 × 154 = 714 mm: 714 / 672 − 1 = 6.25 %; 215/60 R16 is 664 mm: 1.2 % less.
#[test]
fn another_size_says_how_much_farther_it_rolls() {
    let found = check("drive/tyre", &van("tyre 205/75 R16", "tyre 205/65 R16 per papers"));
    let verdict = found.about("wheel_rear.size");
    assert_eq!(verdict.message, "205/75 R16 rolls 6.3 % farther than 205/65 R16, but up to 3 % are usual.");
    assert_eq!(verdict.outcome.word(), "clash");
    let found = check("drive/tyre", &van("tyre 215/60 R16", "tyre 205/65 R16 per papers"));
    let verdict = found.about("wheel_rear.size");
    assert_eq!(verdict.message, "215/60 R16 rolls 1.2 % less than 205/65 R16; up to 3 % are usual.");
}
