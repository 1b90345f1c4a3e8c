use crate::testing::check;

fn hung(part: &str, beam: &str, joints: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
source club "Club notes" reported
kind box {{ asks mass
  safety lifting }}
kind carrier {{ asks mount top }}
family Dunlin {{ built 2009-06 to 2018-12
  place engine is carrier
  place gearbox is box
  place crossmember is carrier
  {joints} }}
part auto_six "automatic" is box fills gearbox {{ {part} }}
part block is carrier fills engine {{ fitted on Dunlin, mount top, face rear }}
part beam "crossmember" is carrier fills crossmember {{ fitted on Dunlin, mount top, mount side, {beam} }}
part strong_beam is carrier fills crossmember {{ mount top, mount load 150 kg, offer 90 EUR }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six }}"#
    )
}

const REAR: &str = "joint gearbox.front to engine.rear\n  joint gearbox.rear to crossmember.top";

#[test]
fn a_mount_that_carries_its_share_is_clear() {
    let part = "face front, mount rear, mass 86 kg, mounting length 566 mm, mass centre 310 mm";
    let found = check("carry/support", &hung(part, "mount load 60 kg", REAR));
    found.clear("Automatic weighs 86 kg, of which 47.1 kg fall to the mount; its mount on crossmember may carry 60 kg.");
    assert_eq!(found.only().formula.as_deref(), Some("share = 86 kg × 310 mm / 566 mm = 47.1 kg"));
    assert_eq!(found.only().margin.as_deref(), Some("12.9 kg"));
    assert_eq!(found.only().safety, ["lifting"]);
}

#[test]
fn a_mount_that_is_too_weak_is_a_clash_with_the_one_that_carries() {
    let found =
        check("carry/support", &hung("face front, mount rear, mass 86 kg", "top.mount_load 60 kg", REAR));
    found.clash("Automatic weighs 86 kg, but its mount on crossmember may carry 60 kg.");
    assert_eq!(found.text(), "fit auto_six");
    assert!(found.only().notes[0].contains("asked to carry all"));
    assert!(found.fixed(0).contains("replace crossmember with strong_beam"), "{}", found.fixed(0));
}

#[test]
fn several_mounts_carry_it_together() {
    let two = "joint gearbox.left to crossmember.top\n  joint gearbox.right to crossmember.side";
    let part = "mount left, mount right, mass 86 kg";
    let found = check("carry/support", &hung(part, "top.mount_load 60 kg, side.mount_load 50 kg", two));
    found.clear("Automatic weighs 86 kg; its 2 mounts on crossmember together may carry 110 kg.");
}

#[test]
fn a_mount_that_carries_something_else_is_left_out() {
    let two = "joint gearbox.rear to crossmember.top\n  joint gearbox.horn to engine.top";
    let part = "mount rear, mount horn, mass 86 kg";
    let asked = hung(part, "top.mount_load 100 kg", two)
        .replace("kind box { asks mass", "kind box { asks mount rear, mass");
    check("carry/support", &asked)
        .clear("Automatic weighs 86 kg; its mount on crossmember may carry 100 kg.");
}

#[test]
fn what_nobody_stated_is_open() {
    let found = check("carry/support", &hung("face front, mount rear, mass 86 kg", "length 1 m", REAR));
    found.open(
        "Nobody has said what the mount top of crossmember may carry; good would be at least 86 kg: it decides \
         whether the gearbox is carried.",
    );
    assert!(found.fixed(0).contains("top.mount_load … kg"), "{}", found.fixed(0));
    let two = "mount load 60 kg per manual, mount load 95 kg per club";
    let found = check("carry/support", &hung("face front, mount rear, mass 86 kg", two, REAR));
    assert_eq!(found.only().outcome.word(), "open");
    assert!(found.only().message.contains("is disputed"), "{}", found.only().message);
}

#[test]
fn what_has_nothing_to_hang_on_is_never_clear() {
    check("carry/support", &hung("mass 86 kg", "length 1 m", ""))
        .open("Nobody has said what carries automatic (86 kg): it decides whether the gearbox is carried.");
    check("carry/support", &hung("mass 86 kg, mount rear none", "length 1 m", ""))
        .clash("Automatic weighs 86 kg, but it has no mount, and no face of it is joined.");
    // A mount that is not joined is a loose end; what hangs on a face is carried by it.
    check("carry/support", &hung("mass 86 kg, mount rear", "length 1 m", "")).silent();
    check("carry/support", &hung("mass 86 kg, face front", "length 1 m", REAR)).silent();
}

#[test]
fn what_is_light_or_of_unknown_mass_is_silent() {
    check("carry/support", &hung("mass 4 kg, mount rear", "length 1 m", REAR)).silent();
    check("carry/support", &hung("mount rear", "length 1 m", REAR)).silent();
    let heavy =
        hung("mass 4 kg, face front, mount rear", "mount load 3 kg", REAR) + "\nbasis { support above 2 kg }";
    check("carry/support", &heavy)
        .clash("Automatic weighs 4 kg, but its mount on crossmember may carry 3 kg.");
}
