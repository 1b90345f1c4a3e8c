use crate::testing::check;

fn van(basis: &str, thread: &str, wheel: &str, more: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
{basis}
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place flywheel is flywheel
  joint engine.crank to flywheel.crank }}
part diesel is engine fills engine {{ fitted on Dunlin, peak torque 340 Nm per manual
  face crank {{ holes 6 on 76 mm, thread {thread} }} per manual }}
part wheel is flywheel fills flywheel {{ {wheel} }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit wheel }}"#
    )
}

const BASIS: &str = "basis { torque factor 0.14 to 0.20, face friction 0.15 }";

/// By hand: 98 / (0.20 × 0.012) = 40.83 kN, 98 / (0.14 × 0.012) = 58.33 kN; six at 38 mm with 0.15 carry
/// 6 × 40.83 × 0.15 × 38 = 1396 Nm. ISO 898-1:2013, Table 7: proof load of M12x1.5, class 10.9, 73.1 kN.
#[test]
fn enough_and_not_too_much_is_clear() {
    let wheel = r#"property class "10.9" per manual
  face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 98 Nm per manual } per manual"#;
    let found = check("fit/clamp", &van(BASIS, "M12x1.5", wheel, ""));
    found.clear(
        "6 bolts M12x1.5 carry 1396 Nm by friction, 340 Nm come; \
         98 Nm load each M12x1.5 with 40.83 to 58.33 kN, one of class 10.9 bears 73.14 kN.",
    );
    assert_eq!(found.only().subject, "engine.crank-flywheel.crank");
    assert_eq!(found.text(), "joint engine.crank to flywheel.crank");
}

/// ISO 898-1:2013, Table 7: 51.1 kN for M12x1.5 of class 8.8; the split at 16 mm: 600 MPa from M18 on.
#[test]
fn too_much_for_the_class_is_a_clash_with_the_torque_that_would_do() {
    let wheel = r#"property class "8.8" per manual, tightening torque 98 Nm per manual
  face crank { holes 6 on 76 mm, bore 13 mm }"#;
    let found = check("fit/clamp", &van(BASIS, "M12x1.5", wheel, ""));
    found.clash("98 Nm load each M12x1.5 with 40.83 to 58.33 kN, but one of class 8.8 bears 51.11 kN.");
    assert_eq!(found.only().margin.as_deref(), Some("−7.22 kN"));
    assert_eq!(found.only().notes, ["A torque of 24 to 85 Nm would do."]);
    let large =
        r#"property class "8.8", face crank { holes 6 on 76 mm, bore 20 mm, tightening torque 300 Nm }"#;
    let found = check("fit/clamp", &van(BASIS, "M18x2.5", large, ""));
    assert!(found.only().formula.as_deref().is_some_and(|it| it.contains("proof stress 600 MPa")));
}

/// By hand: 20 / (0.24 × 0.012) = 6.944 kN, × 6 × 0.12 × 38 = 190 Nm.
#[test]
fn too_little_slips_by_common_practice() {
    let wheel =
        r#"property class "10.9", face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 20 Nm }"#;
    let found = check("fit/clamp", &van("", "M12x1.5", wheel, ""));
    found.clash("6 bolts M12x1.5 carry 190 Nm by friction, but 340 Nm come.");
    let practice = |word: &str| found.only().sources.iter().any(|it| it.starts_with(word));
    assert!(
        practice("torque factor 0.14 to 0.24: common practice") && practice("face friction 0.12: common")
    );
}

#[test]
fn the_work_that_speaks_of_the_joint_tells_the_torque() {
    let wheel = r#"property class "10.9", face crank { holes 6 on 76 mm, bore 13 mm }"#;
    let work = "work wheel_on \"flywheel on\" { on flywheel, torque \"flywheel to crank\" 98 Nm per manual }";
    let found = check("fit/clamp", &van(BASIS, "M12x1.5", wheel, work));
    assert_eq!(found.only().outcome.word(), "clear");
    check("fit/clamp", &van(BASIS, "M12x1.5", wheel, "")).silent();
}

/// By hand: one diameter of M12 in steel, two in aluminium.
#[test]
fn too_few_threads_are_a_clash() {
    let wheel = r#"property class "10.9", thread engaged 9 mm
  face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 98 Nm }"#;
    let found = check("fit/clamp", &van(BASIS, "M12x1.5", wheel, ""));
    found.clash("9 mm of thread are engaged, but in steel 12 mm are usual.");
}

#[test]
fn what_nobody_said_is_open() {
    let wheel = "face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 98 Nm }";
    let found = check("fit/clamp", &van(BASIS, "M12x1.5", wheel, ""));
    found.open(
        "Nobody has said the property class of the bolts of the flywheel: \
         it decides whether the bolts between engine and flywheel hold.",
    );
    assert!(found.fixed(0).contains("property class …"));
    let odd =
        r#"property class "hard", face crank { holes 6 on 76 mm, bore 13 mm, tightening torque 98 Nm }"#;
    check("fit/clamp", &van(BASIS, "M12x1.5", odd, "")).open(
        "It cannot be told whether the bolts between engine and flywheel hold: hard is no property class such as 8.8.",
    );
}
