use crate::testing::{Found, check};

fn waited(part: &str, aim: &str, log: &str) -> Found {
    let source = format!(
        r#"
source maker "Maker's list" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12, place flywheel is unit }}
part solid "solid flywheel" is unit fills flywheel {{ {part} }}
part used_one is unit fills flywheel {{ offer 120 EUR, wait 3 days }}
service box_filter "box filter" {{ takes 1 h, offer 118 EUR, wait 2 days }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit solid
  {aim} }}
log of van {{
  2026-03-01 found "nothing"
  {log}
}}"#
    );
    check("stock/wait", &source)
}

const OFFER: &str = "offer 310 EUR per maker, wait 10 weeks";

#[test]
fn what_comes_in_time_is_clear() {
    let found = waited(OFFER, "aim ready 2026-06-01", "2026-03-06 ordered solid 310 EUR");
    found.clear("The flywheel (solid flywheel), ordered on 2026-03-06, comes on 2026-05-15; all is to be ready by 2026-06-01.");
    assert_eq!(found.only().formula.as_deref(), Some("2026-03-06 + 10 weeks = 2026-05-15"));
    assert_eq!(found.only().margin.as_deref(), Some("17 days"));
    assert_eq!(found.text(), "fit solid");
}

#[test]
fn what_comes_too_late_is_a_clash_with_what_comes_sooner() {
    let found = waited(OFFER, "aim ready 2026-05-01", "2026-03-06 ordered solid 310 EUR");
    found.clash("The flywheel (solid flywheel), ordered on 2026-03-06, comes on 2026-05-15, but all is to be ready by 2026-05-01.");
    assert_eq!(found.only().margin.as_deref(), Some("−14 days"));
    assert!(found.fixed(0).contains("replace flywheel with used_one"), "{}", found.fixed(0));
}

#[test]
fn what_nobody_ordered_is_open_with_the_last_day() {
    let found = waited(OFFER, "aim ready 2026-06-01", "2026-03-06 found \"rust\"");
    found.open(
        "Nobody has ordered the flywheel (solid flywheel), which takes 10 weeks; to be ready by 2026-06-01 it must \
         be ordered by 2026-03-23.",
    );
    waited(OFFER, "aim ready 2026-06-01", "2026-04-06 found \"rust\"").clash(
        "The flywheel (solid flywheel) is not ordered and takes 10 weeks: it cannot be there by 2026-06-01, since \
         the log goes on to 2026-04-06.",
    );
}

#[test]
fn a_wait_that_nobody_said_is_open() {
    let found = waited("offer 310 EUR per maker", "aim ready 2026-06", "2026-03-06 ordered solid 310 EUR");
    found.open("Nobody has said how long the flywheel (solid flywheel) takes to come.");
    assert!(found.fixed(0).contains("offer 310 EUR per maker, wait … days }"), "{}", found.fixed(0));
}

#[test]
fn a_wait_of_a_range_may_leave_both_possible() {
    let range = "offer 310 EUR per maker, wait 8 to 14 weeks";
    let found = waited(range, "aim ready 2026-06-01", "2026-03-06 ordered solid 310 EUR");
    assert!(found.only().message.ends_with("which leaves both possible."), "{}", found.listing());
    assert_eq!(found.only().outcome.word(), "open");
}

#[test]
fn what_came_is_clear_and_a_month_means_all_of_it() {
    waited(OFFER, "aim ready 2026-05", "2026-05-20 arrived solid")
        .clear("The flywheel (solid flywheel) came on 2026-05-20, to be ready by 2026-05-31.");
}

#[test]
fn what_is_renewed_is_waited_for_too() {
    let log = "2026-03-06 ordered solid 310 EUR\n  2026-03-07 ordered box_filter 118 EUR";
    let found = waited(OFFER, "aim ready 2026-06-01, renew box_filter", log);
    let filter = found.about("box_filter");
    assert_eq!(
        filter.message,
        "What box filter needs, ordered on 2026-03-07, comes on 2026-03-09; all is to be ready by 2026-06-01."
    );
}

#[test]
fn without_a_day_nothing_is_said() {
    waited(OFFER, "budget 1 EUR", "").silent();
}
