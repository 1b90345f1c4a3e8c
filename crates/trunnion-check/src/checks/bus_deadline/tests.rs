use crate::testing::{Found, check};

/// The three messages of the paper's counterexample: 125 bits at 125 kbit/s make 1 ms each; the periods
/// are 2.5, 3.5 and 3.5 ms.
fn paper(deadline: &str, jitter: &str, changed: &str) -> Found {
    let source = format!(
        r#"
source paper "Real-Time Systems 35(3), 2007" documented
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place first, second, third is unit
  bus drive is CAN at 125 kbit/s per paper }}
module unit_a is unit fills first {{ fitted on Dunlin
  sends a on drive every 2.5 ms, id "0x100" per paper
  a.data_bytes 7 per paper
  a.jitter 0 ms per paper }}
module unit_b is unit fills second {{ fitted on Dunlin
  sends b on drive every 3.5 ms, id "0x200" per paper
  b.data_bytes 7 per paper
  b.jitter 0 ms per paper }}
module unit_c is unit fills third {{
  sends c on drive every 3.5 ms, id "0x300" per paper
  c.data_bytes 7 per paper
  {jitter}
  c.deadline {deadline} per paper }}
vehicle van is Dunlin {{ built 2012-04 }}
{changed}
conversion easy {{ recipient van, fit unit_c }}"#
    );
    check("bus/deadline", &source)
}

const STILL: &str = "c.jitter 0 ms per paper";

/// The older analysis stops at the first instance, which takes 3.0 ms; the second takes 3.5 ms.
#[test]
fn the_case_that_the_older_analysis_gets_wrong() {
    let found = paper("3.25 ms", STILL, "");
    found.clash("C has arrived after 3.5 ms at the latest, but 3.25 ms are allowed.");
    assert_eq!(found.text(), "sends c on drive every 3.5 ms, id \"0x300\" per paper");
    assert_eq!(
        found.only().formula.as_deref(),
        Some("response = start 0 ms + wait 2.5 ms + frame 1 ms = 3.5 ms among 3 messages at 125 kbit/s")
    );
}

#[test]
fn a_message_that_just_comes_in_time_is_clear() {
    let found = paper("3.5 ms", STILL, "");
    found.clear("C has arrived after 3.5 ms at the latest; 3.5 ms are allowed.");
    assert_eq!(found.only().margin.as_deref(), Some("0 ms"));
    assert!(found.only().notes[0].contains("no frame is repeated for an error"));
    assert!(found.only().sources.iter().any(|it| it.contains("Real-Time Systems 35(3)")));
}

#[test]
fn how_far_a_start_wanders_is_never_taken_as_zero() {
    let found = paper("3.5 ms", "mass 1 kg", "");
    found.open("Nobody has said the jitter of the message c: it decides whether c comes in time.");
    assert!(found.fixed(0).contains("c.jitter … ms"), "{}", found.fixed(0));
}

#[test]
fn the_basis_may_say_it_for_all() {
    let found = paper("5 ms", "mass 1 kg", "basis { bus jitter at most 0.25 ms }");
    found.clear("C has arrived after 3.75 ms at the latest; 5 ms are allowed.");
    let found = paper("3.25 ms", "mass 1 kg", "basis { bus jitter at most 0.25 ms }");
    found.clash("C has arrived after 3.75 ms at the latest, but 3.25 ms are allowed.");
}

#[test]
fn what_nobody_said_is_counted_at_its_worst_and_asked_where_it_decides() {
    let other = "module unit_d is unit fills fourth { fitted on Dunlin, sends d on drive every 50 ms, d.jitter 0 ms }";
    let with = |deadline: &str| {
        let source = paper_with(deadline, other);
        check("bus/deadline", &source)
    };
    with("20 ms").clear("C has arrived after 3.28 ms at the latest; 20 ms are allowed.");
    let open = with("3 ms");
    open.open(
        "Nobody has said the data bytes of the message d and the identifier of d: it decides whether c comes \
         in time.",
    );
}

fn paper_with(deadline: &str, other: &str) -> String {
    format!(
        r#"
kind unit {{ asks mass }}
family Dunlin {{ built 2009-06 to 2018-12
  place first, third, fourth is unit
  bus drive is CAN at 125 kbit/s }}
module unit_a is unit fills first {{ fitted on Dunlin
  sends a on drive every 5 ms, id "0x100"
  a.data_bytes 7, a.jitter 0 ms }}
module unit_c is unit fills third {{
  sends c on drive every 10 ms, id "0x300"
  c.data_bytes 7, c.jitter 0 ms, c.deadline {deadline} }}
{other}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit unit_c }}"#
    )
}

#[test]
fn a_full_bus_has_no_bound() {
    let full = "module unit_d is unit fills fourth { fitted on Dunlin, sends d on drive every 1 ms, id 1, d.data_bytes 8, d.jitter 0 ms }";
    check("bus/deadline", &paper_with("10 ms", full))
        .clash("The drive bus is so full that no time can be named within which it arrives.");
}

#[test]
fn without_a_deadline_nothing_is_said() {
    let source = paper_with("1 ms", "").replace(", c.deadline 1 ms", "");
    check("bus/deadline", &source).silent();
}

#[test]
fn a_short_identifier_goes_before_a_long_one_that_begins_alike() {
    assert!(super::rank(0x100) < super::rank(0x100 << 18));
    assert!(super::rank(0x100 << 18) < super::rank(0x101));
    assert!(super::rank(0x0CF0_0400) < super::rank(0x18FE_F100));
}
