use crate::testing::{Found, check};

fn van(line: &str, out: &str, oil_in: &str) -> Found {
    check(
        "line/mate",
        &format!(
            r#"
source manual "Manual" documented 2016-03
kind box {{ asks port cooler_out }}
kind cooler {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is box
  place radiator is cooler }}
part auto_six is box fills gearbox {{ mass 80 kg
  {out} }}
part core "oil cooler" is cooler fills radiator {{ fitted on Dunlin
  {oil_in} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van
  fit auto_six
  line hose "oil to the cooler" joins gearbox.cooler_out to radiator.oil_in{line} }}"#
        ),
    )
}

const LINE: &str = ", 10 mm bore, carrying gearbox_oil per manual";
const OUT: &str = "port cooler_out carrying gearbox_oil { thread M16x1.5, bore 10 mm } per manual";
const IN: &str = "port oil_in carrying gearbox_oil { bore 10 mm } per manual";

#[test]
fn what_is_the_same_at_both_ends_is_clear() {
    let found = van(LINE, OUT, IN);
    found.clear(
        "The line \"oil to the cooler\" goes together with its ports: gearbox oil; \
         bore 10 mm at the port cooler out of the gearbox; bore 10 mm at the port oil in of the radiator.",
    );
    assert_eq!(
        found.only().outcome,
        trunnion_model::verdict::Outcome::Clear(trunnion_model::verdict::Won::Paper)
    );
}

#[test]
fn another_bore_or_thread_is_a_clash_with_both_figures() {
    let found = van(LINE, OUT, "port oil_in carrying gearbox_oil { bore 12 mm }");
    found.clash(
        "The line \"oil to the cooler\" does not go together with its ports: \
         bore 10 mm against 12 mm at the port oil in of the radiator.",
    );
    assert!(found.text().starts_with("line hose \"oil to the cooler\" joins"));
    van(&format!("{LINE} {{ thread M14x1.5, M16x1.5 }}").replace(" per manual", ""), OUT, IN).clash(
        "The line \"oil to the cooler\" does not go together with its ports: \
         thread M14x1.5 against M16x1.5 at the port cooler out of the gearbox.",
    );
}

#[test]
fn another_medium_is_a_clash_and_can_be_mended() {
    let found = van(", 10 mm bore, carrying coolant", OUT, IN);
    found.clash(
        "The line \"oil to the cooler\" does not go together with its ports: it carries coolant, \
         the port cooler out of the gearbox carries gearbox oil, the port oil in of the radiator carries gearbox oil.",
    );
    assert!(found.fixed(0).contains("10 mm bore, carrying gearbox_oil }"));
}

#[test]
fn what_nobody_stated_is_open_once() {
    let found = van(", 10 mm bore", OUT, "port oil_in { bore 10 mm }");
    found.open(
        "The line \"oil to the cooler\": nobody has said what the line carries, what the port oil in of the radiator carries.",
    );
    assert!(found.fixed(0).contains("to radiator.oil_in, carrying gearbox_oil, 10 mm bore"));
    assert!(found.fixed(1).contains("port oil_in carrying gearbox_oil { bore 10 mm }"));
    van(", carrying gearbox_oil", OUT, IN).open(
        "The line \"oil to the cooler\": nobody has said which thread, flare or bore it has in common with the \
         port cooler out of the gearbox, which thread, flare or bore it has in common with the port oil in of the radiator.",
    );
}

#[test]
fn a_port_that_is_not_there_is_a_clash_and_one_nobody_stated_open() {
    van(LINE, OUT, "port oil_in none").clash(
        "The line \"oil to the cooler\" joins the port cooler out of the gearbox to the port oil in of the radiator, \
         but oil cooler has no oil in.",
    );
    let found = van(LINE, OUT, "port top carrying coolant");
    found.open("The line \"oil to the cooler\": nobody has said whether oil cooler has a port oil in.");
    assert!(found.fixed(0).contains("port top carrying coolant\n  port oil_in is …"));
}

#[test]
fn a_port_that_its_kind_asks_for_is_left_to_that_question() {
    van(LINE, "mass 80 kg", IN).silent();
    van(&LINE.replace("gearbox_oil", "coolant"), "mass 80 kg", IN).clash(
        "The line \"oil to the cooler\" does not go together with its ports: it carries coolant, \
         the port oil in of the radiator carries gearbox oil.",
    );
}
