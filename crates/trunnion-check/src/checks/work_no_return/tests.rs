use crate::testing::check;

fn cut(selector: &str, conversion: &str, more: &str) -> String {
    format!(
        r#"
source manual "Workshop manual" documented
measure plate mass in kg, tool "scales", takes 5 min, from tape, before no return
kind box {{ asks plate mass
  safety lifting }}
kind shell {{ asks corrosion }}
family Dunlin {{ built 2009-06 to 2018-12
  place selector is box
  place lamp is box
  place body is shell
  joint selector.floor to body.selector_hole }}
part selector_auto "selector" is box fills selector {{ suits selector of Dunlin, offer 90 EUR, {selector} }}
part lamp_new is box fills lamp
part body_dunlin is shell fills body {{ fitted on Dunlin }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{
  recipient van
  fit selector_auto
  {conversion}
}}
{more}"#
    )
}

const CUT: &str = "cut body.selector_hole for \"14 mm wider\"";

#[test]
fn what_is_settled_may_be_cut() {
    // The lamp is open, and has nothing to do with the hole.
    let found =
        check("work/no-return", &cut("plate mass 2 kg per manual", &format!("{CUT}\n  fit lamp_new"), ""));
    assert_eq!(found.only().outcome.word(), "clear", "{}", found.listing());
    assert!(
        found
            .only()
            .message
            .starts_with("All that the cut at the body (selector hole) rests on is settled: "),
        "{}",
        found.only().message
    );
    assert!(found.only().message.ends_with(" on body and selector looked at."), "{}", found.only().message);
    assert_eq!(found.only().safety, ["lifting"]);
}

#[test]
fn what_is_open_before_that_gate_holds_it_up() {
    let found = check("work/no-return", &cut("wait 2 days", CUT, ""));
    found.open(
        "The cut at the body (selector hole) waits for what is not settled: the plate mass of the selector.",
    );
    assert_eq!(found.text(), CUT);
    assert_eq!(found.only().subject, "body.selector_hole");
    assert_eq!(found.only().question.as_ref().map(|it| it.tool.as_deref()), Some(Some("scales")));
    let accepted = format!(
        "{CUT}\n  accept kind/asked selector.plate_mass by \"M. O.\" because \"light, held in one hand\""
    );
    assert_eq!(check("work/no-return", &cut("wait 2 days", &accepted, "")).only().outcome.word(), "clear");
}

#[test]
fn a_rule_of_ones_own_that_must_hold_before_holds_it_up() {
    let rule = "rule light { needs selector.plate_mass <= 1 kg, before no return }";
    let found = check("work/no-return", &cut("plate mass 2 kg", CUT, rule));
    found.clash("The cut at the body (selector hole) waits for what clashes: rule of light.");
    let rule = "rule light { needs selector.plate_mass <= 1 kg, before road }";
    assert_eq!(check("work/no-return", &cut("plate mass 2 kg", CUT, rule)).only().outcome.word(), "clear");
}

#[test]
fn work_without_a_way_back_is_held_up_too() {
    let weld = "work weld \"weld the bracket\" {\n  on body\n  no way back\n}";
    let found = check("work/no-return", &cut("wait 2 days", "budget 1 EUR", weld));
    found.open("\"weld the bracket\" waits for what is not settled: the plate mass of the selector.");
    // It is told once, with the cut.
    assert_eq!(check("work/no-return", &cut("wait 2 days", CUT, weld)).verdicts().len(), 1);
    let far = "work weld \"weld the lamp\" {\n  on lamp\n  no way back\n}";
    check("work/no-return", &cut("wait 2 days", "budget 1 EUR", far)).silent();
}

#[test]
fn what_nothing_is_known_of_is_never_clear() {
    let bare = "kind shell { asks corrosion }\nfamily Dunlin { built 2009-06 to 2018-12\n  place body is shell }\n\
                vehicle van is Dunlin { built 2012-04 }\n\
                conversion easy { recipient van\n  cut body for \"a winch\" }";
    check("work/no-return", bare).open("The cut at the body rests on nothing that anybody stated.");
}
