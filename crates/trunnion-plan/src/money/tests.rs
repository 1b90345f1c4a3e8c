use trunnion_check::bill::Stage;
use trunnion_handbook::quantity::Quantity;
use trunnion_model::db::Host;

use super::{Money, money};
use crate::conversions;

/// The money of a conversion that takes a gearbox from a breaker of 1450 EUR and makes `changes`.
fn of(parts: &str, changes: &str, more: &str) -> Money {
    let source = format!(
        r#"
source shop "Price list" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox, flywheel, clutch is unit
  place 4 of wheel is unit }}
part manual "five-speed" is unit fills gearbox {{ fitted on Dunlin }}
part auto_six is unit fills gearbox {{ suits gearbox of Dunlin }}
part solid is unit fills flywheel {{ {parts} }}
part light is unit fills flywheel {{ offer 120 EUR per shop }}
part alloy is unit fills wheel {{ offer 60 EUR per shop }}
{more}
vehicle breaker is Dunlin "the breaker" {{ built 2015-09, has gearbox auto_six, price 1450 EUR }}
conversion easy {{ recipient van, donor breaker
  take gearbox from breaker
  {changes} }}"#
    );
    let van = "\nvehicle van is Dunlin { built 2012-04 }\n";
    let source = if source.contains("vehicle van") { source } else { source + van };
    let mut host = Host::new();
    host.set_file("test.trunnion", &source);
    let id = conversions(&host, &["test.trunnion".to_owned()])[0];
    money(host.db(), host.workspace(), id, None).expect("a recipient")
}

fn shown(amounts: &[Quantity]) -> String {
    amounts.iter().map(Quantity::display).collect::<Vec<_>>().join(" + ")
}

const OFFER: &str = "offer 310 EUR per shop";

#[test]
fn what_nobody_ordered_is_planned_and_adds_up() {
    let it = of(OFFER, "budget 2100 EUR, fit solid, fit alloy", "");
    // 1450 + 310 + 4 × 60 = 2000; 2100 − 2000 = 100.
    assert_eq!(shown(&it.planned.amounts), "2000 EUR");
    assert_eq!(shown(&it.cost.amounts), "2000 EUR");
    assert_eq!(shown(&it.to_pay.amounts), "2000 EUR");
    assert_eq!(shown(&it.donors.amounts), "1450 EUR");
    assert!(it.spent.is_empty() && it.committed.is_empty());
    assert_eq!(it.left.map(|it| it.display()).as_deref(), Some("100 EUR"));
    assert_eq!(it.lines.len(), 3);
    assert!(it.lines.iter().all(|it| !it.rests.is_empty() && it.stage == Stage::Planned));
}

#[test]
fn an_order_commits_and_a_payment_spends() {
    let log = "log of van {\n  2026-02-21 paid 1400 EUR for breaker\n  2026-03-01 ordered solid 290 EUR\n  \
               2026-03-01 paid 40 EUR for solid\n}";
    let it = of(OFFER, "budget 2100 EUR, fit solid, fit alloy", log);
    // Spent 1400 + 40; of the order 290 − 40 = 250 are left; 240 planned; 1440 + 250 + 240 = 1930.
    assert_eq!(shown(&it.spent.amounts), "1440 EUR");
    assert_eq!(shown(&it.committed.amounts), "250 EUR");
    assert_eq!(shown(&it.planned.amounts), "240 EUR");
    assert_eq!(shown(&it.to_pay.amounts), "490 EUR");
    assert_eq!(shown(&it.cost.amounts), "1930 EUR");
    assert_eq!(it.left.map(|it| it.display()).as_deref(), Some("170 EUR"));
    let stages: Vec<Stage> = it.lines.iter().map(|it| it.stage).collect();
    assert_eq!(stages, [Stage::Paid, Stage::Ordered, Stage::Planned]);
}

#[test]
fn what_came_without_a_sum_in_the_log_is_committed_at_its_offer() {
    let it = of(OFFER, "fit solid", "log of van {\n  2026-03-01 arrived solid\n}");
    assert_eq!(shown(&it.committed.amounts), "310 EUR");
    assert_eq!(shown(&it.planned.amounts), "1450 EUR");
}

#[test]
fn freight_tax_and_deposit_are_named_apart() {
    let parts = "offer 100 EUR per shop, freight 20 EUR, deposit 80 EUR";
    let it = of(parts, "budget 2100 EUR, fit solid", "basis { tax 19 % }");
    // (100 + 20) × 1.19 = 142.80; of it 20 freight and 22.80 tax; the donor's price is a private sale's.
    assert_eq!(shown(&it.cost.amounts), "1592.8 EUR");
    assert_eq!(shown(&it.freight), "20 EUR");
    assert_eq!(shown(&it.tax), "22.8 EUR");
    assert_eq!(shown(&it.deposits), "80 EUR");
    assert_eq!(it.tax_rate.map(|it| it.display()).as_deref(), Some("19 %"));
    let rates = "basis { tax 19 % }\nbasis { tax 20 % per shop }";
    let it = of(parts, "fit solid", rates);
    assert!(it.unsettled[0].starts_with("the tax on top of offers is disputed"), "{:?}", it.unsettled);
}

#[test]
fn another_currency_counts_at_a_stated_rate_and_stays_apart_without_one() {
    let it =
        of("offer 218 USD per shop", "budget 2100 EUR, fit solid", "exchange 1 EUR is 1.09 USD per shop");
    // 218 / 1.09 = 200.
    assert_eq!(shown(&it.cost.amounts), "1650 EUR");
    assert_eq!(it.counted_at, ["1 EUR is 1.09 USD"]);
    let it = of("offer 218 USD per shop", "budget 2100 EUR, fit solid", "");
    assert_eq!(shown(&it.cost.amounts), "1450 EUR + 218 USD");
    assert_eq!(it.unsettled, ["nobody has said the rate of exchange between EUR and USD"]);
    let two = "exchange 1 EUR is 1.09 USD\nexchange 1 EUR is 1.25 USD per shop";
    let it = of("offer 218 USD per shop", "budget 2100 EUR, fit solid", two);
    assert_eq!(shown(&it.cost.amounts), "1450 EUR + 218 USD");
    assert_eq!(it.unsettled[0], "one rate of exchange says 1 EUR is 1.09 USD, another 1 EUR is 1.25 USD");
}

#[test]
fn paid_in_another_currency_than_ordered() {
    let log = "log of van {\n  2026-03-01 ordered solid 218 USD\n  2026-03-02 paid 200 EUR for solid\n}";
    let it = of(OFFER, "fit solid", &format!("exchange 1 EUR is 1.09 USD per shop\n{log}"));
    assert_eq!(shown(&it.spent.amounts), "200 EUR");
    assert!(it.committed.is_empty() && it.unsettled.is_empty());
    let it = of(OFFER, "fit solid", log);
    assert_eq!(shown(&it.spent.amounts), "200 EUR");
    assert!(it.unsettled[0].contains("nobody can tell whether all of it is paid"), "{:?}", it.unsettled);
}

#[test]
fn what_has_no_price_is_named_and_in_no_sum() {
    let it = of("mass 9 kg", "budget 2100 EUR, fit solid", "");
    assert_eq!(shown(&it.planned.amounts), "1450 EUR");
    assert_eq!(it.planned.unknown, ["the flywheel (solid)"]);
    assert_eq!(it.cost.unknown, it.planned.unknown);
    let it = of("mass 9 kg", "choose flywheel from solid, light prefer cost", "");
    assert_eq!(it.planned.unknown, ["the flywheel (solid)"]);
    assert_eq!(shown(&it.planned.amounts), "1450 to 1570 EUR");
}

#[test]
fn of_what_may_still_be_chosen_the_log_tells_which_was_bought() {
    let chosen = "choose flywheel from solid, light prefer cost";
    let it = of(OFFER, chosen, "");
    assert_eq!(shown(&it.planned.amounts), "1570 to 1760 EUR");
    let it = of(OFFER, chosen, "log of van {\n  2026-03-01 ordered light 115 EUR\n}");
    assert_eq!(shown(&it.cost.amounts), "1565 EUR");
    assert_eq!(shown(&it.committed.amounts), "115 EUR");
}

#[test]
fn what_comes_out_is_still_to_sell_unless_sold_or_kept() {
    let van = "vehicle van is Dunlin { built 2012-04\n  gearbox.sale_price 180 EUR per shop\n  \
               wheel.sale_price 25 EUR\n  clutch.kept \"for the next owner\" }";
    let changes = "budget 2100 EUR, fit solid, fit alloy, remove clutch";
    let it = of(OFFER, changes, van);
    let named: Vec<(String, Option<String>)> =
        it.to_sell.iter().map(|it| (it.what.clone(), it.price.map(|it| it.display()))).collect();
    let priced = |what: &str, price: &str| (what.to_owned(), Some(price.to_owned()));
    assert_eq!(
        named,
        [
            priced("the gearbox (five-speed)", "180 EUR"),
            ("the flywheel".to_owned(), None),
            priced("4 × the wheel", "100 EUR")
        ]
    );
    // 180 + 4 × 25 = 280; nobody said what the flywheel would fetch.
    assert_eq!(shown(&it.to_fetch.amounts), "280 EUR");
    assert_eq!(it.to_fetch.unknown, ["the flywheel"]);
    assert_eq!(it.kept, [("the clutch".to_owned(), "for the next owner".to_owned())]);
    // What was sold is no longer for sale, and takes off what the conversion costs: 2100 − (2000 − 150).
    let sold =
        format!("{van}\nlog of van {{\n  2026-04-11 sold gearbox 150 EUR\n  2026-04-12 sold flywheel\n}}");
    let it = of(OFFER, changes, &sold);
    assert_eq!(shown(&it.proceeds.amounts), "150 EUR");
    assert_eq!(it.proceeds.unknown, ["flywheel"]);
    assert_eq!(it.to_sell.len(), 1);
    assert_eq!(shown(&it.cost.amounts), "2000 EUR");
    assert_eq!(it.left.map(|it| it.display()).as_deref(), Some("250 EUR"));
}

#[test]
fn what_is_paid_beside_the_list_counts_too() {
    let log = "log of van {\n  2026-03-01 ordered trolley 80 EUR\n  2026-03-02 paid 80 EUR for trolley\n  \
               2026-03-03 ordered lamp 30 EUR\n}";
    let it = of(OFFER, "fit solid", log);
    assert_eq!(shown(&it.spent.amounts), "80 EUR");
    assert_eq!(shown(&it.committed.amounts), "30 EUR");
}
