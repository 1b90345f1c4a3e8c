use crate::testing::check;

fn van(ring: &str, conversion: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
family Dunlin {{ built 2009-06 to 2018-12
  place engine is engine
  place flywheel is flywheel
  place gearbox is gearbox
  place starter is starter
  joint starter.front to gearbox.starter }}
part diesel is engine fills engine {{ fitted on Dunlin, crank height 12 mm per manual }}
part later is engine {{ crank height 10 mm per manual }}
part first "the first flywheel" is flywheel fills flywheel {{ fitted on Dunlin, teeth 132 per manual, ring depth 17.4 mm per manual }}
part other is flywheel {{ {ring} }}
part start is starter fills starter {{ fitted on Dunlin, teeth 10 per manual, module 2.5 mm per manual }}
part strong is starter {{ teeth 11 per manual, module 2.5 mm per manual }}
part coarse is starter {{ teeth 10 per manual, module 3 mm per manual }}
part plate is adaptor_plate {{ thickness 24 mm per manual }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van
  {conversion} }}"#
    )
}

#[test]
fn the_same_ring_meshes_as_before() {
    let ring = "teeth 132 per manual, ring depth 17.4 mm per manual";
    let found = check("fit/starter", &van(ring, "fit other for flywheel"));
    let verdict = found.about("starter.teeth");
    assert_eq!(verdict.message, "The ring gear has 132 teeth; so had the one that the starter worked with.");
    assert_eq!(verdict.outcome.word(), "clear");
    let verdict = found.about("flywheel.ring_depth");
    assert_eq!(
        verdict.message,
        "The ring gear sits where the pinion found it; the pinion takes 1 mm either way."
    );
    assert_eq!(found.text_of(verdict), "fit other for flywheel");
}

/// By hand: 2.5 mm × (132 − 129) / 2 = 3.75 mm.
#[test]
fn other_teeth_move_the_centres() {
    let found = check("fit/starter", &van("teeth 129 per manual", "fit other for flywheel"));
    found.clash("A ring gear of 129 teeth for 132 moves the centres by 3.75 mm, but 0.5 mm are good.");
    assert_eq!(found.only().formula.as_deref(), Some("2.5 mm × |129 − 132| / 2 = 3.75 mm"));
    assert_eq!(found.only().margin.as_deref(), Some("−3.25 mm"));
}

#[test]
fn another_module_is_a_clash() {
    let found = check("fit/starter", &van("teeth 132, module 3 mm", "fit other for flywheel"));
    found.clash("The ring gear has module 3 mm, but the pinion has module 2.5 mm.");
    let found = check("fit/starter", &van("teeth 132", "fit coarse for starter"));
    assert_eq!(
        found.about("starter.teeth").message,
        "The new pinion has module 3 mm, but the ring gear has module 2.5 mm."
    );
    let found = check("fit/starter", &van("teeth 132", "fit strong for starter"));
    assert_eq!(
        found.about("starter.teeth").message,
        "A pinion of 11 teeth for 10 moves the centres by 1.25 mm, but 0.5 mm are good."
    );
}

/// By hand: the crank stands 2 mm farther in, the plate takes the starter 24 mm back: the ring must
/// come 26 mm farther back, from 17.4 to 43.4 mm.
#[test]
fn a_plate_and_another_crank_move_the_ring() {
    let conversion = "fit later for engine, fit other for flywheel
  place adaptor is adaptor_plate
  make plate for adaptor";
    let ring = |depth: &str| format!("teeth 132 per manual, ring depth {depth} per manual");
    let found = check("fit/starter", &van(&ring("43.4 mm"), conversion));
    assert_eq!(found.about("flywheel.ring_depth").outcome.word(), "clear");
    let found = check("fit/starter", &van(&ring("41 mm"), conversion));
    let verdict = found.about("flywheel.ring_depth");
    assert_eq!(
        verdict.message,
        "The ring gear sits 2.4 mm farther from the gearbox, but the pinion takes 1 mm either way."
    );
    assert_eq!(verdict.outcome.word(), "clash");
}

#[test]
fn what_nobody_said_is_open() {
    let found = check("fit/starter", &van("module 2.5 mm", "fit other for flywheel"));
    found.open(
        "Nobody has said the number of teeth of the flywheel: it decides whether pinion and ring gear mesh.",
    );
    check("fit/starter", &van("mass 12 kg", "fit other for flywheel")).silent();
}
