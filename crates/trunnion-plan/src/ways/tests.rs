use trunnion_model::db::Host;
use trunnion_model::verdict::Gate;

use super::{Ways, Why, ways};
use crate::conversions;

fn of(body: &str, more: &str) -> Ways {
    let source = format!(
        r#"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox, flywheel, clutch, body is unit }}
part manual is unit fills gearbox {{ fitted on Dunlin, mass 47 kg }}
part auto_six is unit fills gearbox {{ suits gearbox of Dunlin, mass 86 kg }}
part solid is unit fills flywheel {{ offer 310 EUR, wait 10 weeks, mass 9 kg }}
part light is unit fills flywheel {{ offer 120 EUR, wait 3 days }}
work box_out {{ takes 3 h, on gearbox, opens housing }}
work wheel_on {{ takes 50 min, on flywheel }}
work hole {{ takes 40 min, on body, no way back }}
work untimed {{ on clutch }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
vehicle breaker is Dunlin "the breaker" {{ built 2015-09, has gearbox auto_six, price 1450 EUR }}
conversion easy {{ recipient van
{body} }}"#
    );
    let mut host = Host::new();
    host.set_file("test.trunnion", &source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    ways(host.db(), host.workspace(), id).expect("a recipient")
}

const TWO: &str = "  fit solid\n  way automatic { donor breaker, take gearbox from breaker, cut body.hole for \
                   \"the selector\" }\n  way pedals \"with pedals\" { fit light for clutch, remove clutch }";

#[test]
fn a_conversion_without_ways_is_one_way() {
    let it = of("  fit solid", "");
    assert_eq!(it.ways.len(), 1);
    let way = &it.ways[0];
    assert_eq!((way.name.as_deref(), way.shown.as_str()), (None, "easy"));
    assert_eq!(way.wait.as_ref().map(|it| it.latest.display()).as_deref(), Some("10 weeks"));
    assert_eq!(way.work.map(|it| it.in_unit("min")), Some(Some(50.0)));
    // Nobody said what the old flywheel weighs.
    assert_eq!(way.mass.map(|it| it.display()).as_deref(), Some("9 kg"));
    assert_eq!(way.unknown_masses, ["the flywheel that goes"]);
    assert!(it.differs.is_empty() && way.then.is_empty());
}

#[test]
fn each_way_is_counted_by_itself() {
    let it = of(TWO, "");
    let [automatic, pedals] = it.ways.as_slice() else { panic!("two ways") };
    assert_eq!(automatic.money.cost.amounts[0].display(), "1760 EUR");
    // 86 − 47 kg for the gearbox, 9 kg for the flywheel.
    assert_eq!(automatic.mass.map(|it| it.display()).as_deref(), Some("48 kg"));
    // 3 h and 50 min and, since the body is cut, 40 min.
    assert_eq!(automatic.work.and_then(|it| it.in_unit("min")).map(f64::round), Some(270.0));
    assert_eq!(automatic.pieces, 3);
    assert_eq!(pedals.shown, "with pedals");
    assert_eq!(pedals.untimed, ["untimed"]);
    assert!(automatic.open.iter().any(|it| it.0 == Gate::Buying));
}

#[test]
fn what_one_closes_off_stands_against_the_other() {
    let it = of(TWO, "");
    let whys: Vec<Why> = it.ways[0].closes.iter().map(|it| it.why).collect();
    assert_eq!(whys, [Why::Cut, Why::NoWayBack, Why::Taken]);
    assert_eq!(it.ways[0].closes[0].what, "the hole of the body is cut: the selector");
    let then = &it.ways[0].then[0];
    assert_eq!(then.way, "with pedals");
    assert_eq!(then.against, ["the hole of the body is cut: the selector", "hole"]);
    let back = &it.ways[1].then[0];
    assert!(back.against.is_empty(), "{:?}", back.against);
    assert_eq!(back.buys, ["the breaker"]);
    assert!(
        it.differs
            .iter()
            .any(|it| it.what == "the gearbox"
                && it.each == ["auto six, from the breaker", "manual, as built"])
    );
}

#[test]
fn what_is_sold_stands_against_the_way_that_keeps_it() {
    let it = of(TWO, "log of van {\n  2026-03-01 sold manual 60 EUR\n}");
    assert_eq!(it.closed_by_all.len(), 1);
    assert_eq!(it.ways[0].then[0].against.last().map(String::as_str), Some("manual is sold"));
    assert!(it.ways[1].then[0].against.is_empty());
}
