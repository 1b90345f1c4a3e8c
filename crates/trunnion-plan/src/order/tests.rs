use trunnion_model::db::Host;

use super::*;
use crate::conversions;

fn ordered(works: &str, conversion: &str, log: &str, options: &Options) -> Order {
    let (host, id) = loaded(works, conversion, log);
    order(host.db(), host.workspace(), id, None, options).expect("a conversion")
}

fn loaded(works: &str, conversion: &str, log: &str) -> (Host, Id) {
    let source = format!(
        r#"
source bench "Bench" measured
kind brake_line {{ asks mass
  safety brakes }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox is gearbox, place flywheel is flywheel, place body is bodyshell, place pipe is brake_line }}
part manual_five is gearbox fills gearbox {{ fitted on Dunlin }}
part solid "solid flywheel" is flywheel fills flywheel {{ offer 310 EUR, wait 2 weeks }}
part used_one "used flywheel" is flywheel fills flywheel {{ offer 120 EUR, wait 3 days }}
part plain_body is bodyshell fills body {{ fitted on Dunlin }}
part pipe_new "brake pipe" is brake_line fills pipe {{ offer 12 EUR }}
{works}
vehicle van is Dunlin {{ built 2012-04 }}
vehicle breaker is Dunlin "the breaker" {{ built 2015-09, has gearbox manual_five }}
conversion easy {{ recipient van
  donor breaker
  take gearbox from breaker
  {conversion} }}
log of van {{ {log} }}"#
    );
    let mut host = Host::new();
    host.set_file("test.trunnion", &source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    (host, id)
}

fn named<'o>(order: &'o Order, name: &str) -> &'o Item {
    order.items.iter().find(|it| it.name == name).unwrap_or_else(|| panic!("no {name}"))
}

const OUT: &str = "work raise { takes 40 min, hands 1, caution lifting }\n\
    work gearbox_out \"gearbox out\" { takes 3 h, hands 2, on gearbox, opens housing, after raise\n\
      torque \"bell to block\" 48 Nm per bench, torque \"bracket\" 20 Nm }\n\
    work wheel_on \"flywheel on\" { takes 50 min, hands 1, on flywheel, reached only in housing }\n\
    service rear_seal \"rear seal\" { takes 30 min, reached only in housing, offer 28 EUR because \"it is behind the gearbox\" }\n";

#[test]
fn each_piece_has_its_time_and_what_it_waits_for() {
    let order = ordered(OUT, "fit solid", "", &Options::default());
    // The donor's gearbox is not waited for by what takes the old one out.
    let starts: Vec<(&str, u64)> = order.items.iter().map(|it| (it.name.as_str(), it.times.start)).collect();
    assert_eq!(starts, [("raise", 0), ("gearbox_out", 40), ("wheel_on", 14 * 480)]);
    assert_eq!((order.length, order.path, order.hands, order.at_least), (6770, 6770, 2, false));
    let wheel = named(&order, "wheel_on");
    assert_eq!(wheel.after[0].1, "gearbox out, which opens housing");
    assert!(wheel.is_critical() && !named(&order, "raise").is_critical());
    assert_eq!(named(&order, "raise").times.slack(), 6720 - 220);
    assert_eq!(order.waits[0].arrival.phrase(), "the flywheel (solid flywheel), 14 days");
    assert_eq!((order.waits[0].meanwhile.len(), order.waits[0].idle), (2, 6720 - 220));
    let torques = &named(&order, "gearbox_out").torques;
    assert_eq!(torques[0].0, "bell to block");
    assert!(torques[0].2.contains("Bench") && torques[1].2 == "no source named", "{torques:?}");
    let short = ordered(OUT, "fit solid", "", &Options { day: 60, ..Options::default() });
    assert_eq!(named(&short, "wheel_on").times.start, 14 * 60);
}

#[test]
fn what_could_be_renewed_while_it_is_open_is_told_with_time_and_price() {
    let order = ordered(OUT, "fit solid", "", &Options::default());
    let access = &order.accesses[0];
    assert_eq!((access.shown.as_str(), access.opened_by.as_str()), ("housing", "gearbox out"));
    assert_eq!(access.inside, ["flywheel on"]);
    let also = &access.also[0];
    assert_eq!(
        (also.name.as_str(), also.takes, also.price.as_deref()),
        ("rear_seal", Some(30), Some("28 EUR"))
    );
    assert_eq!(also.because.as_deref(), Some("it is behind the gearbox"));
    let order = ordered(OUT, "fit solid, renew rear_seal", "", &Options::default());
    assert!(order.accesses[0].also.is_empty());
    assert_eq!(
        order.accesses[0].inside,
        ["rear seal", "flywheel on"],
        "nobody knows when the seal comes: it holds nothing up"
    );
    // Nobody said how long the seal takes to come.
    assert!(order.at_least);
    assert!(
        order.unknown.iter().any(|it| it == "Nobody has said how long what rear seal needs takes to come.")
    );
}

#[test]
fn what_nobody_timed_makes_the_length_the_least() {
    let works = OUT.replace("takes 50 min, hands 1, ", "");
    let order = ordered(&works, "fit solid", "", &Options::default());
    assert!(order.at_least);
    assert_eq!(
        order.unknown,
        [
            "Nobody has said how long flywheel on takes.",
            "Nobody has said how many people flywheel on needs; one is counted.",
        ]
    );
}

#[test]
fn the_log_says_what_is_done_ordered_and_here() {
    let log = "\n 2026-03-01 ordered solid 310 EUR\n 2026-03-05 done raise, 1 h\n";
    let order = ordered(OUT, "fit solid", log, &Options::default());
    assert_eq!(order.done.len(), 1);
    assert_eq!(order.from.map(|it| it.to_string()).as_deref(), Some("2026-03-05"));
    // 2026-03-01 and 14 days is 2026-03-15, ten days after the log's newest.
    assert_eq!(named(&order, "wheel_on").times.start, 10 * 480);
    assert!(order.waits[0].arrival.ordered);
    let order = ordered(OUT, "fit solid", &format!("{log} 2026-03-06 arrived solid\n"), &Options::default());
    assert_eq!((order.waits.len(), named(&order, "wheel_on").times.start), (0, 180));
    let late = format!("{log} 2026-04-06 found \"rust\"\n");
    let order = ordered(OUT, "fit solid", &late, &Options::default());
    let told = "The flywheel (solid flywheel) was due on 2026-03-15, and the log does not say that it came.";
    assert!(order.at_least && order.unknown.iter().any(|it| it == told), "{:?}", order.unknown);
}

#[test]
fn parts_of_a_donor_are_here_when_the_log_says_so() {
    let works = "work box_in \"gearbox in\" { takes 3 h, hands 2, on gearbox }\n";
    let order = ordered(works, "", "", &Options::default());
    assert_eq!(order.unknown, ["Nobody has said when the gearbox of the breaker is here."]);
    for log in ["done take gearbox from breaker, 4 h", "arrived breaker", "arrived gearbox"] {
        let order = ordered(works, "", &format!("\n 2026-03-01 {log}\n"), &Options::default());
        assert!(order.unknown.is_empty() && !order.at_least, "{log}: {:?}", order.unknown);
    }
    // Draining it does not bring it here.
    let order = ordered(works, "", "\n 2026-03-01 done drain gearbox 2.2 L\n", &Options::default());
    assert!(order.at_least);
}

#[test]
fn of_several_that_may_be_picked_the_slowest_is_counted_on_until_one_is() {
    let choose = "choose flywheel from solid, used_one prefer cost";
    let order = ordered(OUT, choose, "", &Options::default());
    let arrival = &named(&order, "wheel_on").arrivals[0];
    assert_eq!(
        (arrival.days, arrival.others.as_slice()),
        (Some(14), &["the flywheel (used flywheel), 3 days".to_owned()][..])
    );
    let (host, id) = loaded(OUT, choose, "");
    let scope = trunnion_model::built::scope_of(host.db(), host.workspace(), id);
    let used = scope.find(trunnion_model::name::Space::Part, "used_one").expect("declared");
    let options = Options { picked: [("flywheel".into(), used)].into(), ..Options::default() };
    let picked = super::order(host.db(), host.workspace(), id, None, &options).expect("a conversion");
    let arrival = &named(&picked, "wheel_on").arrivals[0];
    assert_eq!((arrival.days, arrival.others.len()), (Some(3), 0));
    let order = ordered(OUT, choose, "\n 2026-03-01 arrived used_one\n", &Options::default());
    assert!(named(&order, "wheel_on").arrivals[0].here);
    let order = ordered(OUT, choose, "\n 2026-03-01 done fit used_one for flywheel\n", &Options::default());
    assert!(named(&order, "wheel_on").arrivals[0].here);
}

#[test]
fn one_person_does_one_thing_at_a_time_and_is_helped_where_two_are_needed() {
    let works =
        format!("{OUT}work widen \"widen the hole\" {{ takes 2 h, hands 1, on body, no way back }}\n");
    let conversion = "fit solid, cut body for \"a wider hole\"";
    let two = ordered(&works, conversion, "", &Options::default());
    let one = ordered(&works, conversion, "", &Options { hands: Some(1), ..Options::default() });
    assert_eq!(one.help, [("gearbox out".to_owned(), 2)]);
    assert!(two.help.is_empty() && two.hands == 2);
    let mut busy: Vec<(u64, u64)> = one.items.iter().map(|it| (it.times.start, it.times.finish)).collect();
    busy.sort_unstable();
    assert!(busy.windows(2).all(|it| it[0].1 <= it[1].0), "{busy:?}");
    let widen = named(&one, "widen");
    assert!(widen.no_way_back && widen.unsettled.is_some(), "nobody has said what the cut rests on");
    assert_eq!(widen.overnight, "nobody has said whether the vehicle can be moved then");
}

#[test]
fn what_takes_apart_comes_before_what_puts_together_and_it_is_told() {
    let works = "work box_in \"gearbox in\" { takes 1 h, hands 1, on gearbox }\n\
                 work box_out \"gearbox out\" { takes 2 h, hands 1, on gearbox, opens housing }\n";
    let order = ordered(works, "", "\n 2026-03-01 arrived breaker\n", &Options::default());
    let box_in = named(&order, "box_in");
    assert_eq!(box_in.times.start, 120);
    assert_eq!(box_in.after[0].1, "gearbox out, which takes the gearbox apart (nobody has said so)");
}

/// With two people the hole could be cut at once; nothing is later if all that can be undone comes first.
#[test]
fn what_can_be_undone_comes_before_what_cannot() {
    let works =
        format!("{OUT}work widen \"widen the hole\" {{ takes 2 h, hands 1, on body, no way back }}\n");
    let order = ordered(&works, "fit solid, cut body for \"a wider hole\"", "", &Options::default());
    let starts: Vec<(&str, u64)> = order.items.iter().map(|it| (it.name.as_str(), it.times.start)).collect();
    assert_eq!(starts, [("raise", 0), ("gearbox_out", 40), ("widen", 220), ("wheel_on", 14 * 480)]);
    assert_eq!(order.length, 6770);
}

#[test]
fn a_ring_has_no_order_and_is_told() {
    let ring = OUT.replace("takes 40 min", "after gearbox_out, takes 40 min");
    let order = ordered(&ring, "fit solid", "", &Options::default());
    assert!(order.items.is_empty());
    assert!(order.trouble[0].starts_with("No order is possible"), "{:?}", order.trouble);
}

#[test]
fn brakes_stand_with_their_caution() {
    let works = "work pipe_in \"brake pipe in\" { takes 1 h, hands 1, on pipe, caution brake_fluid }\n";
    let order = ordered(works, "fit pipe_new", "", &Options::default());
    let item = named(&order, "pipe_in");
    assert!(item.cautions.iter().any(|it| it.1.contains("proven only on the tester, by a licensed person")));
    assert!(item.overnight.starts_with("not to be driven until the work on the pipe is finished"));
    assert_eq!(order.unknown, ["Nobody has said how long the pipe (brake pipe) takes to come."]);
}
