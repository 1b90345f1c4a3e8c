use crate::testing::check;

fn van(parts: &str, vehicle: &str, conversion: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place engine is engine
  place clutch is clutch
  place gearbox is gearbox
  place propshaft is propshaft
  place final_drive is final_drive
  place halfshaft both sides is halfshaft }}
part diesel is engine fills engine {{ peak torque 300 Nm per manual }}
part unknown is engine fills engine {{ mass 200 kg per manual }}
part five is manual_gearbox fills gearbox {{ fitted on Dunlin, ratios 4.00, 2.00, 1.00 per manual }}
{parts}
vehicle van is Dunlin {{ built 2012-04 per manual{vehicle} }}
conversion stronger {{ recipient van, {conversion} }}"#
    )
}

#[test]
fn the_engine_against_the_clutch() {
    let parts = r#"part disc is clutch fills clutch { fitted on Dunlin, torque limit 260 Nm per manual }
part large "the large clutch" is clutch fills clutch { torque limit 320 Nm, offer 90 EUR }"#;
    let found = check("drive/torque", &van(parts, "", "fit diesel"));
    found.clash("The clutch gets 300 Nm, but it carries 260 Nm.");
    assert_eq!(found.only().margin.as_deref(), Some("−40 Nm"));
    assert_eq!(found.text(), "fit diesel");
    assert!(found.fixed(0).contains("replace clutch with large"));
    let found = check("drive/torque", &van(parts, "", "fit diesel, fit large"));
    found.clear("The clutch gets 300 Nm; it carries 320 Nm.");
}

/// By hand: 300 Nm through a first gear of 4 are 1200 Nm.
#[test]
fn the_lowest_gear_multiplies_it() {
    let parts =
        "part prop is propshaft fills propshaft { fitted on Dunlin, torque limit 1300 Nm per manual }";
    let found = check("drive/torque", &van(parts, "", "fit diesel"));
    found.clear("The propshaft gets 1200 Nm; it carries 1300 Nm.");
    let formula = "torque = 300 Nm × 1 × product of (4) = 1200 Nm";
    assert_eq!(found.only().formula.as_deref(), Some(formula));
}

/// By hand: 1000 kg × 9.80665 × 0.8 × 2000 mm / 2π = 2497 Nm at the wheels, / 4 = 624.3 Nm.
#[test]
fn the_tyres_slip_first_where_the_load_is_known() {
    let parts = "basis { grip 0.8 }
part prop is propshaft fills propshaft { fitted on Dunlin, torque limit 700 Nm per manual }
part axle is final_drive fills final_drive { fitted on Dunlin, ratio 4.00 per manual }";
    let vehicle = ", rear axle load 1000 kg, rolling circumference 2000 mm";
    let found = check("drive/torque", &van(parts, vehicle, "fit diesel"));
    found.clear(
        "The propshaft gets 624.3 Nm, then the tyres slip (the engine could give 1200 Nm); it carries 700 Nm.",
    );
    let heavy = ", rear axle load 1500 kg, rolling circumference 2000 mm";
    let found = check("drive/torque", &van(parts, heavy, "fit diesel"));
    found.clash(
        "The propshaft gets 936.5 Nm, then the tyres slip (the engine could give 1200 Nm), but it carries 700 Nm.",
    );
    check("drive/torque", &van(parts, ", rolling circumference 2000 mm", "fit diesel")).open(
        "Nobody has said the rear axle load of the vehicle: \
         it decides whether the propshaft carries what comes to it.",
    );
}

/// By hand: 1200 Nm × 4 / 2 = 2400 Nm for each side.
#[test]
fn a_halfshaft_carries_half_of_the_axle() {
    let parts = "part axle is final_drive fills final_drive { fitted on Dunlin, ratio 4.00 per manual }
part half is halfshaft fills halfshaft { fitted on Dunlin, torque limit 2500 Nm per manual }";
    check("drive/torque", &van(parts, "", "fit diesel"))
        .clear("The halfshaft gets 2400 Nm; it carries 2500 Nm.");
}

#[test]
fn a_converter_multiplies_it_once_more() {
    let parts =
        "part six is automatic_gearbox fills gearbox { ratios 4.00, 2.00, 1.00, stall ratio 2.0 per manual }
part prop is propshaft fills propshaft { fitted on Dunlin, torque limit 2300 Nm per manual }
part seven is automatic_gearbox fills gearbox { ratios 4.00, 2.00, 1.00 per manual }
part axle is final_drive fills final_drive { fitted on Dunlin, torque limit 2300 Nm per manual, ratio 4.00 }";
    let vehicle = ", rear axle load 4000 kg, rolling circumference 2000 mm";
    let found = check("drive/torque", &van(parts, vehicle, "fit diesel, fit six"));
    assert_eq!(found.about("propshaft").message, "The propshaft gets 2400 Nm, but it carries 2300 Nm.");
    // Two parts hang on it, it is asked once.
    check("drive/torque", &van(parts, vehicle, "fit diesel, fit seven")).open(
        "Nobody has said the torque ratio of the converter at stall of the gearbox: \
         it decides whether the propshaft carries what comes to it.",
    );
}

#[test]
fn what_nobody_said_is_open_and_what_a_need_says_is_left_to_it() {
    let disc = "part disc is clutch fills clutch { fitted on Dunlin, torque limit 260 Nm per manual }";
    check("drive/torque", &van(disc, "", "fit unknown")).open(
        "Nobody has said the peak torque of the engine: it decides whether the clutch carries what comes to it.",
    );
    let needs = "part disc is clutch fills clutch { fitted on Dunlin, torque limit 260 Nm, needs engine.peak_torque <= 260 Nm }";
    check("drive/torque", &van(needs, "", "fit diesel")).silent();
    check("drive/torque", &van(disc, "", "budget 1 EUR")).silent();
}
