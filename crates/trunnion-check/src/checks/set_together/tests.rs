use crate::testing::{Found, check};

fn van(places: &str, changes: &str) -> Found {
    check(
        "set/together",
        &format!(
            r#"
kind key_reader {{ asks mass }}
kind controller "engine controller" {{ asks mass
  comes with key_reader }}
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  option gearbox is manual_five, auto_six
  place gearbox is unit
  place engine_controller is controller
  holds controller in engine_controller
  {places} }}
part auto_six is unit fills gearbox {{ fitted on Dunlin with gearbox auto_six }}
part manual_five is unit fills gearbox {{ fitted on Dunlin with gearbox manual_five }}
part pedal is unit fills clutch {{ fitted on Dunlin with gearbox manual_five }}
part box is unit fills gearbox_controller {{ fitted on Dunlin with gearbox auto_six }}
part reader is key_reader fills key_reader {{ offer 60 EUR }}
vehicle van is Dunlin "the recipient" {{ built 2012-04, gearbox manual_five }}
vehicle breaker is Dunlin "the donor" {{ built 2015-09, gearbox auto_six }}
vehicle wreck is Dunlin "the wreck" {{ built 2014-09, gearbox auto_six }}
conversion easy {{ recipient van, donor breaker, donor wreck, {changes} }}"#
        ),
    )
}

const READER: &str = "place key_reader is key_reader\n holds key_reader in key_reader";
const TAKE: &str = "take engine_controller from breaker";

#[test]
fn a_set_from_one_donor_is_clear() {
    van(READER, "take engine_controller, key_reader from breaker")
        .clear("The engine controller and its key reader come from the donor together.");
    van(READER, &format!("{TAKE}, fit reader"))
        .clear("The engine controller from the donor wants a key reader with it: reader is fitted for it.");
}

#[test]
fn what_stays_behind_is_a_clash() {
    let found = van(READER, TAKE);
    found.clash(
        "The engine controller from the donor only works together with its key reader, \
         but the key reader of the recipient stays.",
    );
    assert_eq!(found.text(), TAKE);
    assert_eq!(found.only().subject, "engine_controller.key_reader");
    assert!(found.fixed(0).contains("take key_reader from breaker"));
}

#[test]
fn a_set_from_two_donors_is_a_clash() {
    van(READER, &format!("{TAKE}, take key_reader from wreck")).clash(
        "The engine controller from the donor only works together with its key reader, \
         but the key reader comes from the wreck.",
    );
}

#[test]
fn a_set_nobody_spoke_of_is_open() {
    van("zone bay", TAKE).open(
        "The engine controller from the donor only works together with its key reader, \
         and nobody has said whether that comes along.",
    );
}

const CLUTCH: &str = "place clutch is unit with gearbox manual_five";
const CONTROLLER: &str = "place gearbox_controller is unit with gearbox auto_six";

#[test]
fn what_no_longer_belongs_is_open() {
    let found = van(CLUTCH, "take gearbox from breaker");
    found
        .open("The clutch belongs to gearbox manual five and is still there: remove it or say why it stays.");
    assert_eq!(found.text(), "easy");
    let fixed = found.fixed(0);
    assert!(fixed.contains("remove clutch"));
    check("set/together", &fixed).clear(
        "All places that gearbox auto six calls for are filled, and nothing of gearbox manual five is left.",
    );
}

#[test]
fn what_is_newly_called_for_is_open() {
    let found = van(CONTROLLER, "take gearbox from breaker");
    found.open("The gearbox controller is called for with gearbox auto six, and nobody has said where it comes from.");
    assert!(found.fixed(0).contains("take gearbox_controller from breaker"));
    van(CONTROLLER, "take gearbox, gearbox_controller from breaker").clear(
        "All places that gearbox auto six calls for are filled, and nothing of gearbox manual five is left.",
    );
}

#[test]
fn a_conversion_that_changes_no_option_is_silent() {
    van(CLUTCH, "budget 100 EUR").silent();
}
