use crate::testing::{Found, check};

fn bought(parts: &str, changes: &str, more: &str) -> Found {
    let source = format!(
        r#"
source shop "Price list" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox, flywheel is unit
  place 4 of wheel is unit }}
part auto_six is unit fills gearbox {{ fitted on Dunlin }}
part solid is unit fills flywheel {{ {parts} }}
part light is unit fills flywheel {{ offer 120 EUR per shop }}
part alloy is unit fills wheel {{ offer 60 EUR per shop }}
{more}
vehicle van is Dunlin {{ built 2012-04 }}
vehicle breaker is Dunlin "the breaker" {{ built 2015-09, price 1450 EUR }}
conversion easy {{ recipient van, donor breaker
  take gearbox from breaker
  {changes} }}"#
    );
    check("stock/budget", &source)
}

const OFFER: &str = "offer 310 EUR per shop";

#[test]
fn what_stays_within_the_budget_is_clear() {
    let found = bought(OFFER, "budget 2100 EUR, fit solid, fit alloy", "");
    found.clear("What is bought costs 2000 EUR; the budget is 2100 EUR.");
    assert_eq!(
        found.only().formula.as_deref(),
        Some("1450 breaker + 310 flywheel (solid) + 240 wheel (alloy) = 2000 EUR")
    );
    assert_eq!(found.only().margin.as_deref(), Some("100 EUR"));
    assert_eq!(found.text(), "2100 EUR");
}

#[test]
fn what_costs_more_is_a_clash() {
    let found = bought(OFFER, "budget 1700 EUR, fit solid", "");
    found.clash("What is bought costs 1760 EUR, but the budget is 1700 EUR.");
    assert_eq!(found.only().margin.as_deref(), Some("−60 EUR"));
    assert!(found.fixed(0).contains("budget 1760 EUR,"), "{}", found.fixed(0));
}

#[test]
fn freight_tax_and_deposit_count_as_what_they_are() {
    let parts = "offer 100 EUR per shop, freight 20 EUR, deposit 80 EUR";
    let found = bought(parts, "budget 2100 EUR, fit solid", "basis { tax 19 % }");
    found.clear(
        "What is bought costs 1592.80 EUR; the budget is 2100 EUR.".replace("1592.80", "1592.8").as_str(),
    );
    let notes = found.only().notes.join("; ");
    assert!(notes.contains("19 % tax"), "{notes}");
    assert!(notes.contains("80 EUR of deposits"), "{notes}");
}

#[test]
fn other_currencies_count_at_a_stated_rate() {
    let found =
        bought("offer 218 USD per shop", "budget 2100 EUR, fit solid", "exchange 1 EUR is 1.09 USD per shop");
    found.clear("What is bought costs 1650 EUR; the budget is 2100 EUR.");
    assert!(
        found.only().notes.iter().any(|it| it == "counted at 1 EUR is 1.09 USD"),
        "{:?}",
        found.only().notes
    );
    let two = "exchange 1 EUR is 1.09 USD\nexchange 1 GBP is 1.308 USD per shop";
    let found = bought("offer 100 GBP per shop", "budget 2100 EUR, fit solid", two);
    found.clear("What is bought costs 1570 EUR; the budget is 2100 EUR.");
}

#[test]
fn without_a_rate_it_is_open() {
    let found = bought("offer 218 USD per shop", "budget 2100 EUR, fit solid", "");
    found.open(
        "Nobody has said the rate of exchange between EUR and USD: it decides whether the budget holds.",
    );
    assert!(found.fixed(0).ends_with("\n\nexchange 1 EUR is … USD"), "{}", found.fixed(0));
    let two = "exchange 1 EUR is 1.09 USD\nexchange 1 EUR is 1.25 USD per shop";
    let found = bought("offer 218 USD per shop", "budget 2100 EUR, fit solid", two);
    assert!(found.only().message.contains("another 1 EUR is 1.25 USD"), "{}", found.listing());
}

#[test]
fn without_a_price_it_is_open_with_what_is_left() {
    let found = bought("mass 9 kg", "budget 2100 EUR, fit solid", "");
    found.open(
        "Nobody has said what the flywheel (solid) costs; good would be 650 EUR at most: it decides whether the \
         budget holds.",
    );
    assert!(found.fixed(0).contains("{ mass 9 kg, offer … EUR }"));
    bought("mass 9 kg", "budget 1400 EUR, fit solid", "")
        .clash("What is bought costs 1450 EUR, but the budget is 1400 EUR.");
}

#[test]
fn what_is_still_to_be_chosen_is_a_range() {
    let chosen = "fit alloy, choose flywheel from solid, light prefer cost";
    bought(OFFER, &format!("budget 2100 EUR, {chosen}"), "")
        .clear("What is bought costs 1810 to 2000 EUR; the budget is 2100 EUR.");
    let found = bought(OFFER, &format!("budget 1900 EUR, {chosen}"), "");
    found.open(
        "What is bought costs 1810 to 2000 EUR; the budget is 1900 EUR: the tolerances leave both possible.",
    );
}

#[test]
fn what_the_log_says_was_paid_or_sold_counts_as_it_was() {
    let log = "log of van {\n  2026-02-21 paid 1400 EUR for breaker\n  2026-03-01 ordered solid 290 EUR\n  \
               2026-04-11 sold old_box 60 EUR\n}";
    bought(OFFER, "budget 2100 EUR, fit solid", log)
        .clear("What is bought costs 1630 EUR; the budget is 2100 EUR.");
}

#[test]
fn what_is_renewed_counts_and_must_have_a_price() {
    let seal = |price: &str| format!("service rear_seal \"rear seal\" {{ takes 30 min{price} }}");
    bought(OFFER, "budget 2100 EUR, renew rear_seal", &seal(", offer 28 EUR per shop"))
        .clear("What is bought costs 1478 EUR; the budget is 2100 EUR.");
    let found = bought(OFFER, "budget 2100 EUR, renew rear_seal", &seal(""));
    assert!(
        found.only().message.starts_with("Nobody has said what rear seal costs, with its parts;"),
        "{}",
        found.listing()
    );
}

#[test]
fn without_a_budget_nothing_is_said() {
    bought(OFFER, "fit solid", "").silent();
}
