use crate::testing::check;

fn van(basis: &str, tube: &str, vehicle: &str, conversion: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
{basis}
family Dunlin {{ built 2009-06 to 2018-12, driven rear
  place engine is engine
  place gearbox is gearbox
  place propshaft is propshaft
  place final_drive is final_drive }}
part diesel is engine fills engine {{ fitted on Dunlin, peak speed 4000 rpm per manual, peak torque 300 Nm per manual }}
part other is engine fills engine {{ peak speed 5000 rpm per manual }}
part five is manual_gearbox fills gearbox {{ ratios 4.00, 2.00, 1.00, 0.80 per manual }}
part axle is final_drive fills final_drive {{ fitted on Dunlin, ratio 4.00 per manual }}
part prop is propshaft fills propshaft {{ {tube} }}
vehicle van is Dunlin {{ built 2012-04 per manual{vehicle} }}
conversion easy {{ recipient van, fit prop, {conversion} }}"#
    )
}

const TUBE: &str = "tube diameter 76 mm per manual, tube wall 2 mm per manual, material \"steel\" per manual";

/// The whirling speed of a steel tube 76 × 2 mm, 1400 mm long, is 6447 rpm: the example of the
/// handbook, the formula of a uniform beam on two hinges.
#[test]
fn a_tube_that_keeps_below_is_clear() {
    let tube = format!("length 1400 mm per manual, {TUBE}");
    let found = check("drive/shaft", &van("basis { shaft speed at most 80 % }", &tube, "", "fit five"));
    found.clear("The propshaft turns up to 5000 rpm; 80 % of its whirling speed of 6447 rpm are 5158 rpm.");
    assert_eq!(found.only().margin.as_deref(), Some("157.6 rpm"));
    assert_eq!(found.text(), "fit prop");
    // 300 Nm × 4 in that tube: (16 × 1200 × 0.076) / (π × (0.076⁴ − 0.072⁴)) = 71.6 MPa.
    assert!(
        found.only().notes.iter().any(|it| it.starts_with("At 1200 Nm the stress in the tube is 71.59 MPa"))
    );
}

#[test]
fn a_tube_that_whirls_is_a_clash() {
    let tube = format!("length 1400 mm per manual, {TUBE}");
    let found = check("drive/shaft", &van("", &tube, "", "fit five"));
    found.clash(
        "The propshaft turns up to 5000 rpm, but 75 % of its whirling speed of 6447 rpm are 4835 rpm.",
    );
    assert!(found.only().sources.iter().any(|it| it == "shaft speed 75 %: common practice, no source"));
    assert!(found.only().sources.iter().any(|it| it.starts_with("shaft uniform_beam")));
}

#[test]
fn the_makers_figure_goes_before_the_model() {
    let tube = "critical speed 7000 rpm per manual";
    check("drive/shaft", &van("", tube, "", "fit five"))
        .clear("The propshaft turns up to 5000 rpm; 75 % of its whirling speed of 7000 rpm are 5250 rpm.");
}

/// By hand: 108 km/h are 30 m/s, with 2 m a turn 15 turns a second, × 4 = 60 a second: 3600 rpm.
#[test]
fn with_its_own_engine_the_top_speed_decides() {
    let vehicle = ", top speed 108 km/h per manual, rolling circumference 2000 mm per manual";
    let tube = "critical speed 5000 rpm per manual";
    check("drive/shaft", &van("", tube, vehicle, "fit five"))
        .clear("The propshaft turns up to 3600 rpm; 75 % of its whirling speed of 5000 rpm are 3750 rpm.");
    // With another engine the papers no longer tell how fast it goes: 5000 rpm / 0.8.
    check("drive/shaft", &van("", tube, vehicle, "fit five, fit other")).clash(
        "The propshaft turns up to 6250 rpm, but 75 % of its whirling speed of 5000 rpm are 3750 rpm.",
    );
}

#[test]
fn what_nobody_said_is_open() {
    let found =
        check("drive/shaft", &van("", "length 1400 mm, tube wall 2 mm, material \"steel\"", "", "fit five"));
    found.open(
        "Nobody has said the outside diameter of the tube of the propshaft: \
         it decides whether the propshaft keeps below its whirling speed.",
    );
    assert!(found.fixed(0).contains("tube diameter … mm"));
    check("drive/shaft", &van("", "length 1400 mm", "", "fit five")).silent();
    let tube = format!("length 1400 mm, {TUBE}");
    check("drive/shaft", &van("basis { shaft is three_masses }", &tube, "", "fit five")).open(
        "It cannot be told whether the propshaft keeps below its whirling speed: \
         the handbook has no model three_masses of a shaft; it has uniform_beam and lumped_mass.",
    );
}

/// The example of the handbook for one mass in the middle: 6 kg, 4176 rpm; here half of 12 kg.
#[test]
fn the_lumped_model_reads_lower_for_a_heavy_shaft() {
    let tube = format!("length 1400 mm per manual, mass 12 kg per manual, {TUBE}");
    check("drive/shaft", &van("basis { shaft is lumped_mass }", &tube, "", "fit five")).clash(
        "The propshaft turns up to 5000 rpm, but 75 % of its whirling speed of 4176 rpm are 3132 rpm.",
    );
}

#[test]
fn the_stress_is_judged_where_the_basis_has_a_limit() {
    let tube = format!("length 1000 mm per manual, {TUBE}");
    let found = check("drive/shaft", &van("basis { shaft stress at most 60 MPa }", &tube, "", "fit five"));
    let verdict = found.about("propshaft.torsion");
    assert_eq!(
        verdict.message,
        "1200 Nm make 71.59 MPa in the tube of the propshaft, but the basis allows 60 MPa."
    );
    assert_eq!(verdict.outcome.word(), "clash");
}
