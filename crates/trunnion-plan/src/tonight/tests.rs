use trunnion_model::db::Host;

use super::*;
use crate::conversions;
use crate::next::{Asked, whole};

fn evening(works: &str, log: &str, time: u64, hands: u32) -> Tonight {
    let source = format!(
        r#"
kind unit {{ asks mass tool "scales" to 1 kg, takes 10 min, from tape, before buying }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox, flywheel is unit }}
part solid "solid flywheel" is unit fills flywheel {{ suits flywheel of Dunlin, offer 310 EUR, wait 2 weeks }}
part box_old is unit fills gearbox {{ fitted on Dunlin }}
part box_new is unit fills gearbox {{ suits gearbox of Dunlin, mass 30 kg, offer 90 EUR, wait 1 weeks }}
{works}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van
  fit box_new for gearbox
  fit solid }}
log of van {{ {log} }}"#
    );
    let mut host = Host::new();
    host.set_file("test.trunnion", &source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    let asked = Asked { time: Some(time), hands: Some(hands), ..Asked::default() };
    let whole = whole(host.db(), host.workspace(), id, &asked).expect("a conversion");
    whole.tonight.expect("asked for")
}

const WORKS: &str = "work raise { takes 40 min, hands 1 }\n\
    work box_out \"gearbox out\" { takes 1 h, hands 1, on gearbox, opens housing, after raise }\n\
    work box_in \"gearbox in\" { takes 30 min, hands 2, on gearbox, after box_out }\n\
    work wheel_on \"flywheel on\" { takes 30 min, hands 1, on flywheel, reached only in housing }\n";

fn work(tonight: &Tonight) -> Vec<(&str, u64)> {
    let work = tonight.doable.iter().filter(|it| it.what == What::Work);
    work.map(|it| (it.shown.as_str(), it.start)).collect()
}

fn why<'t>(tonight: &'t Tonight, name: &str) -> Option<&'t str> {
    tonight.not.iter().chain(&tonight.elsewhere).find(|it| it.0 == name).map(|it| it.1.as_str())
}

#[test]
fn what_fits_is_packed_in_an_order_that_can_be() {
    let tonight = evening(WORKS, "", 120, 1);
    let done = work(&tonight);
    assert_eq!(done.iter().map(|it| it.0).collect::<Vec<_>>(), ["raise", "gearbox out"]);
    assert!(done[0].1 + 40 <= done[1].1);
    assert_eq!((tonight.sum, tonight.finish), (100, 100));
    assert_eq!(why(&tonight, "gearbox in"), Some("waits for the gearbox (box new), 7 days"));
    assert_eq!(why(&tonight, "flywheel on"), Some("waits for the flywheel (solid flywheel), 14 days"));
}

#[test]
fn less_time_takes_less_and_says_why() {
    let tonight = evening(WORKS, "", 60, 1);
    assert_eq!(work(&tonight).len(), 1);
    assert_eq!(why(&tonight, "gearbox out"), Some("takes 1 h, and no time is left"));
    let tonight = evening(WORKS, "", 30, 1);
    assert_eq!(why(&tonight, "raise"), Some("takes 40 min"));
    assert!(work(&tonight).is_empty());
    let tonight = evening(WORKS, "", 0, 1);
    assert_eq!((tonight.doable.len(), tonight.sum), (0, 0));
}

#[test]
fn what_is_done_and_here_is_built_on() {
    let log = "\n 2026-03-01 done raise\n 2026-03-02 done box_out\n 2026-03-03 arrived box_new\n";
    let tonight = evening(WORKS, log, 60, 1);
    assert_eq!(why(&tonight, "gearbox in"), Some("needs 2 people"));
    let tonight = evening(WORKS, log, 60, 2);
    assert!(work(&tonight).iter().any(|it| it.0 == "gearbox in"));
}

/// The flywheel's mass can be weighed when it is here, and not before.
#[test]
fn a_part_is_measured_where_it_lies() {
    let tonight = evening(WORKS, "", 120, 1);
    let asked: Vec<_> = tonight.elsewhere.iter().filter(|it| it.0.contains("mass")).collect();
    assert_eq!(asked.len(), 1, "{tonight:?}");
    assert!(asked[0].1.contains("14 days"), "{}", asked[0].1);
    let tonight = evening(WORKS, "\n 2026-03-03 arrived solid\n", 120, 1);
    let weighed = tonight.doable.iter().find(|it| it.shown.contains("mass")).expect("it is here");
    assert_eq!((weighed.what, weighed.minutes), (What::FindOut(Who::Tape), 10));
    assert_eq!(weighed.tool.as_deref(), Some("scales to 1 kg"));
}

#[test]
fn two_people_do_two_things_at_once() {
    let works = "work a { takes 1 h, hands 1, on gearbox, opens one }\nwork b { takes 1 h, hands 1, on gearbox, opens two }";
    let tonight = evening(works, "", 60, 2);
    assert_eq!((work(&tonight).len(), tonight.sum, tonight.finish), (2, 120, 60));
    assert_eq!(work(&evening(works, "", 60, 1)).len(), 1);
}

#[test]
fn what_nobody_timed_is_not_packed() {
    let tonight = evening("work a { hands 1, on gearbox, opens one }", "", 60, 1);
    assert_eq!(why(&tonight, "a"), Some("nobody has said how long it takes"));
}
