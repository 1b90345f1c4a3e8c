use crate::testing::{Found, check};

fn done(works: &str, conversion: &str, log: &str) -> Found {
    let source = format!(
        r#"
source bench "Bench" measured
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12, place gearbox, body is unit }}
part auto_six is unit fills gearbox {{ mass 86 kg }}
part plain_body is unit fills body {{ fitted on Dunlin }}
{works}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit auto_six
  {conversion} }}
log of van {{ {log} }}"#
    );
    check("work/order", &source)
}

const OUT: &str = "work raise { takes 40 min per bench }\n\
    work gearbox_out \"gearbox out\" { takes 3 h per bench, hands 2, on gearbox, opens housing, after raise }\n";

#[test]
fn an_order_that_is_possible_is_clear() {
    let seal = "service rear_seal \"rear seal\" { takes 30 min, reached only in housing }";
    let found = done(&format!("{OUT}{seal}"), "renew rear_seal", "");
    found.clear(
        "The work can be done in this order, 3 pieces, 4 h 10 min together: raise; gearbox out; rear seal.",
    );
    assert_eq!(found.only().formula.as_deref(), Some("40 min + 3 h + 30 min = 4 h 10 min"));
    assert_eq!(found.only().notes, ["more than one person is needed for gearbox out (2)"]);
}

#[test]
fn what_nobody_timed_is_said() {
    let found = done("work gearbox_out \"gearbox out\" { on gearbox }", "budget 1 EUR", "");
    found.clear("The work can be done in this order, one piece: gearbox out.");
    assert_eq!(found.only().notes, ["nobody has said how long these take: gearbox out"]);
}

#[test]
fn what_waits_for_itself_is_a_clash() {
    let ring = "work gearbox_out { on gearbox, opens housing, after converter_up }\n\
                work converter_up { on gearbox, reached only in housing }";
    let found = done(ring, "budget 1 EUR", "");
    found.clash(
        "No order is possible: gearbox out comes after converter up; converter up is reached only in housing, \
         which gearbox out opens.",
    );
    assert_eq!(found.text(), "converter_up");
}

#[test]
fn nothing_is_sealed_in_before_its_service() {
    let works = format!(
        "{OUT}work close_up \"close up\" {{ on gearbox, reached only in housing, no way back }}\n\
         service rear_seal \"rear seal\" {{ reached only in housing, after close_up }}"
    );
    let found = done(&works, "renew rear_seal", "");
    found.clash("No order is possible: rear seal comes after close up; close up seals housing, in which rear seal is reached.");
    let works = works.replace(", after close_up", "");
    let found = done(&works, "renew rear_seal", "");
    assert!(
        found.only().message.ends_with("raise; gearbox out; rear seal; close up."),
        "{}",
        found.listing()
    );
    let found = done(&works, "renew rear_seal", "2026-03-05 done close_up, 1 h");
    found.clash("Rear seal is reached only in housing, which close up sealed on 2026-03-05.");
}

#[test]
fn nothing_else_is_sealed_in_either_nor_a_part_that_has_not_come() {
    let works = format!(
        "{OUT}work box_in \"gearbox in\" {{ on gearbox, reached only in housing, after gearbox_out }}\n\
         work close_up \"close up\" {{ on gearbox, reached only in housing, no way back }}"
    );
    let found = done(&works, "budget 1 EUR", "");
    assert!(found.only().message.contains("gearbox in; close up."), "{}", found.listing());
    let sealed = "\n  2026-03-01 ordered auto_six 90 EUR\n  2026-03-05 done close_up, 1 h\n";
    let works = works
        .replace("work raise", "part six is unit fills gearbox { offer 90 EUR, wait 10 weeks }\nwork raise");
    let found = done(&works, "budget 1 EUR", sealed);
    let message = &found.verdicts().iter().find(|it| it.subject == "box_in").expect("told").message;
    assert_eq!(
        message,
        "Gearbox in is reached only in housing, which close up sealed on 2026-03-05; the gearbox (auto six) was \
         ordered on 2026-03-01 and has not come."
    );
    let came = sealed.replace("2026-03-05 done", "2026-03-04 arrived auto_six\n  2026-03-05 done");
    let found = done(&works, "budget 1 EUR", &came);
    let message = &found.verdicts().iter().find(|it| it.subject == "box_in").expect("told").message;
    assert!(message.ends_with("sealed on 2026-03-05."), "{message}");
}

#[test]
fn what_takes_apart_is_taken_to_come_first_and_the_verdict_says_so() {
    let works = "work box_in \"gearbox in\" { takes 1 h, on gearbox }\nwork box_out \"gearbox out\" { takes 1 h, on gearbox, opens housing }";
    let found = done(works, "budget 1 EUR", "");
    assert!(found.only().message.ends_with("gearbox out; gearbox in."), "{}", found.listing());
    assert_eq!(
        found.only().notes,
        [
            "nobody has said so, it is taken for granted: gearbox in comes after gearbox out, which takes the gearbox apart"
        ]
    );
    // What somebody says holds.
    let said = works.replace("opens housing", "opens housing, after box_in");
    let found = done(&said, "budget 1 EUR", "");
    assert!(found.only().message.ends_with("gearbox in; gearbox out."), "{}", found.listing());
    assert!(found.only().notes.is_empty());
}

#[test]
fn what_was_done_too_early_is_a_clash() {
    let log = "\n  2026-03-05 done gearbox_out, 3 h\n  2026-03-06 done raise\n";
    done(OUT, "budget 1 EUR", log)
        .clash("Gearbox out was done on 2026-03-05, before raise, which must come first.");
    let log = "\n  2026-03-05 done raise\n  2026-03-06 done gearbox_out\n";
    let found = done(OUT, "budget 1 EUR", log);
    assert!(
        found
            .only()
            .notes
            .contains(&"done already: raise on 2026-03-05 and gearbox out on 2026-03-06".to_owned())
    );
}

#[test]
fn what_nothing_opens_is_open() {
    let seal = "service rear_seal \"rear seal\" { takes 30 min, reached only in housing }";
    let found = done(seal, "renew rear_seal", "");
    found.open("Rear seal is reached only in housing, and nobody has said which work opens it.");
    assert_eq!(found.text(), "housing");
    let two = "work engine_out { opens housing }\nwork box_down { opens housing }\n";
    let found = done(&format!("{two}{seal}"), "renew rear_seal", "");
    found.open(
        "Rear seal is reached only in housing; nobody has said which opens it here: box down or engine out.",
    );
}

#[test]
fn what_a_work_asks_for_is_judged() {
    let work = "work converter_up \"converter up\" { takes 1 h, on gearbox, needs gearbox.mass <= 90 kg }";
    let found = done(work, "budget 1 EUR", "");
    let need = found.about("converter_up.needs");
    assert_eq!(need.message, "Converter up needs gearbox mass ≤ 90 kg: gearbox mass 86 kg.");
    let found = done(&work.replace("90 kg", "80 kg"), "budget 1 EUR", "");
    let need = found.about("converter_up.needs");
    assert_eq!(need.outcome.word(), "clash");
    assert_eq!(found.text_of(need), "needs gearbox.mass <= 80 kg");
    let found = done(&work.replace("gearbox.mass", "body.mass"), "budget 1 EUR", "");
    assert_eq!(found.about("converter_up.needs").outcome.word(), "open");
    // What the kind asks of the part that comes in is asked by kind/asked.
    let silent = check_unknown(work);
    assert!(silent.verdicts().iter().all(|it| it.subject == "work"), "{}", silent.listing());
}

fn check_unknown(work: &str) -> Found {
    let source = format!(
        "kind unit {{ asks mass }}\nfamily Dunlin {{ built 2009-06 to 2018-12, place gearbox is unit }}\n\
         part auto_six is unit fills gearbox {{ ratio 1 }}\n{work}\nvehicle van is Dunlin {{ built 2012-04 }}\n\
         conversion easy {{ recipient van, fit auto_six }}"
    );
    check("work/order", &source)
}

#[test]
fn work_on_other_places_is_not_looked_at() {
    done("work paint { on body, takes 9 h }", "budget 1 EUR", "").silent();
    let found = done(
        "work widen \"widen the hole\" { on body, takes 1 h, no way back }",
        "cut body for \"a hole\"",
        "",
    );
    assert!(found.only().message.contains("widen the hole"), "{}", found.listing());
}
