use trunnion_model::db::Host;

use super::{Doubts, doubts};
use crate::conversions;

fn of(source: &str) -> Doubts {
    let mut host = Host::new();
    host.set_file("test.trunnion", source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    doubts(host.db(), host.workspace(), id).expect("a recipient")
}

/// Two parts may sit in the place that stays; looking which it is settles what both of its figures are asked for, so
/// that neither has to be measured.
fn two_candidates(known: &str) -> Doubts {
    of(&format!(
        r#"
source manual "Manual" documented
kind unit {{ asks mass
  safety brakes }}
family Dunlin {{ built 2009-06 to 2018-12
  place drum, disc is unit
  joint drum.face to disc.face }}
part drum_early is unit fills drum {{ fitted on Dunlin to 2014-02 per manual, mass 9 kg per manual, width 40 mm per manual }}
part drum_late is unit fills drum {{ fitted on Dunlin from 2014-02 per manual, mass 11 kg per manual, width 45 mm per manual }}
part disc_new is unit fills disc {{
  suits disc of Dunlin from 2009-06 to 2018-12 per manual
  mass 5 kg per manual
  offer 60 EUR per manual
  needs drum.width < 42 mm per manual
  needs drum.mass < 10 kg per manual }}
vehicle van is Dunlin {{ built 2014-02 per manual{known} }}
conversion easy {{ recipient van, fit disc_new }}"#
    ))
}

#[test]
fn one_look_settles_what_two_measurements_would() {
    let it = two_candidates("");
    assert_eq!(it.measurements.len(), 1, "{:#?}", it.measurements);
    assert!(it.measurements[0].0.starts_with("which drum van has"), "{:?}", it.measurements);
    assert!(it.measurements[0].1.len() >= 2, "{:?}", it.measurements);
    assert!(it.smallest);
    let known = two_candidates(", has drum drum_early per manual");
    assert!(known.measurements.is_empty(), "{:?}", known.measurements);
}

/// The dearer part is the one in dollars once a rate says so: 200 USD at 1.25 USD for 1 EUR are 160 EUR.
#[test]
fn money_is_ranked_in_one_currency_where_a_rate_is_stated() {
    let with = |rate: &str| {
        of(&format!(
            r#"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12, place drum, disc is unit }}
part drum_new is unit fills drum {{ suits drum of Dunlin from 2009-06 to 2018-12, mass 9 kg, offer 200 USD
  needs drum.mass < 10 kg }}
part disc_new is unit fills disc {{ suits disc of Dunlin from 2009-06 to 2018-12, mass 5 kg, offer 170 EUR
  needs disc.mass < 10 kg }}
vehicle van is Dunlin {{ built 2014-02 }}
{rate}
conversion easy {{ recipient van, budget 900 EUR, fit disc_new, fit drum_new }}"#
        ))
    };
    let masses = |it: &Doubts| -> Vec<String> {
        it.doubts.iter().filter(|it| it.claim.starts_with("mass")).map(|it| it.of.clone()).collect()
    };
    assert_eq!(masses(&with("exchange 1 EUR is 1.25 USD")), ["disc_new", "drum_new"]);
    assert_eq!(masses(&with("exchange 1 EUR is 1.05 USD")), ["drum_new", "disc_new"]);
    let it = with("exchange 1 EUR is 1.25 USD");
    let of = |name: &str| it.doubts.iter().find(|it| it.of == name).map(|it| it.stake.money[0].display());
    assert_eq!(of("drum_new").as_deref(), Some("160 EUR"));
}
