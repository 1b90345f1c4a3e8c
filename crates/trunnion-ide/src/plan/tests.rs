//! Plans of small conversions, as edits.

use super::*;
use crate::Session;

const GROUND: &str = "kind unit { asks ratio }\nmeasure ratio\n\
     family Ruff { built 2009-06 to 2018-12, place gearbox is unit, place final_drive is unit, place flywheel is unit }\n\
     part slow_axle is unit fills final_drive { fitted on Ruff, ratio 4.28 }\n\
     part far_axle is unit fills final_drive { ratio 3.70, mass 38 kg, offer 120.50 EUR, wait 5 weeks }\n\
     part box is unit fills gearbox { needs final_drive.ratio = 3.69 within 2 %, offer 800 EUR, wait 3 days }\n\
     part plate_new is unit fills flywheel { ratio 1, offer 310 EUR, wait 10 weeks }\n\
     part plate_used is unit fills flywheel { ratio 1, offer 120 EUR, wait 3 days }\n\
     vehicle van is Ruff { built 2012-04 }\n";

fn wish(conversion: &str, way: Option<&str>) -> Wish {
    Wish { path: "a.trunnion".to_owned(), conversion: conversion.to_owned(), way: way.map(str::to_owned) }
}

fn session(more: &str) -> Session {
    let mut session = Session::new();
    session.edit("parts.trunnion", GROUND.to_owned());
    session.edit("a.trunnion", format!("use \"parts\"\n{more}"));
    session
}

fn offered(more: &str, way: Option<&str>) -> Offer {
    match plan(&session(more).snapshot(), &wish("easy", way), &|_| true) {
        Answer::Offer(it) => it,
        other => panic!("{other:?}"),
    }
}

fn applied(text: &str, edits: &[(Span, String)]) -> String {
    let mut text = text.to_owned();
    for (span, new) in edits.iter().rev() {
        text.replace_range(span.range(), new);
    }
    text
}

#[test]
fn a_plan_is_offered_as_lines_and_nothing_else_is_touched() {
    let more = "// mine\nconversion easy {\n  recipient van\n  fit box  // kept\n}\n\n// the end\n";
    let offer = offered(more, None);
    assert_eq!(*offer.text, format!("use \"parts\"\n{more}"));
    let [(span, new)] = offer.edits.as_slice() else { panic!("{:?}", offer.edits) };
    assert_eq!(span.start, span.end);
    assert!(new.starts_with("  replace final_drive with far_axle\n    because \""), "{new}");
    let text = applied(&offer.text, &offer.edits);
    let mut after = session(more);
    after.edit("a.trunnion", text.clone());
    assert!(after.diagnostics("a.trunnion").iter().all(|it| it.code == "open"), "{text}");
    assert!(offer.whole);
}

#[test]
fn it_tells_what_it_does_what_it_costs_and_what_is_open() {
    let told = offered("conversion easy {\n  recipient van\n  fit box\n}\n", None).told;
    let begins = "easy: 1 change, of parts. What is picked costs 120.50 EUR, 5 weeks to wait. \
                  Then nothing that is known clashes, but ";
    assert!(told.starts_with(begins), "{told}");
    assert!(told.contains(" before ") && told.contains("licensed person"), "{told}");
}

#[test]
fn a_choice_is_replaced_in_its_own_line() {
    let offer = offered(
        "conversion easy {\n  recipient van\n  choose flywheel from plate_new, plate_used\n}\n",
        None,
    );
    let [(span, new)] = offer.edits.as_slice() else { panic!("{:?}", offer.edits) };
    assert_eq!(&offer.text[span.range()], "  choose flywheel from plate_new, plate_used\n");
    assert!(new.starts_with("  replace flywheel with plate_used\n"), "{new}");
}

#[test]
fn nothing_to_change_is_told_and_edits_nothing() {
    let offer = offered("conversion easy {\n  recipient van\n  remove flywheel\n}\n", None);
    assert!(
        offer.edits.is_empty() && offer.told.starts_with("easy: nothing has to be changed."),
        "{}",
        offer.told
    );
}

#[test]
fn each_way_is_planned_by_itself() {
    let more = "conversion easy {\n  recipient van\n  way axle { fit box }\n  way plate { choose flywheel from plate_new, plate_used }\n}\n";
    let written = |way| {
        let offer = offered(more, way);
        applied(&offer.text, &offer.edits)
    };
    assert!(written(Some("axle")).contains("  replace final_drive with far_axle\n"));
    assert!(written(Some("plate")).contains("replace flywheel with plate_used"));
    assert_eq!(offered(more, None), offered(more, Some("axle")));
    assert!(offered(more, Some("plate")).told.starts_with("easy, by way of plate: "));
    let none = plan(&session(more).snapshot(), &wish("easy", Some("third")), &|_| true);
    assert_eq!(none, Answer::NoPlan("easy has no way `third`.".to_owned()));
}

#[test]
fn a_contradiction_is_told_with_its_statements() {
    let more = "conversion easy {\n  recipient van\n  budget 900 EUR\n  fit box\n}\n";
    let Answer::NoPlan(told) = plan(&session(more).snapshot(), &wish("easy", None), &|_| true) else {
        panic!("a contradiction")
    };
    assert!(told.starts_with("easy: there is no plan, for these cannot all hold: `"), "{told}");
    assert!(told.contains("What would help: ") && !told.contains(".."), "{told}");
}

#[test]
fn what_is_not_there_is_said() {
    let none = |more: &str, conversion| plan(&session(more).snapshot(), &wish(conversion, None), &|_| true);
    assert_eq!(
        none("conversion easy { recipient van }\n", "hard"),
        Answer::NoPlan("a.trunnion declares no conversion `hard`.".to_owned())
    );
    assert_eq!(
        none("conversion easy { recipient nobody }\n", "easy"),
        Answer::NoPlan("easy: its recipient is not known, so nothing can be planned.".to_owned())
    );
}

#[test]
fn stopping_is_no_answer() {
    let snapshot = session("conversion easy {\n  recipient van\n  fit box\n}\n").snapshot();
    let most = Cell::new(0);
    let whole = plan(&snapshot, &wish("easy", None), &|judged| {
        most.set(most.get().max(judged));
        true
    });
    assert!(matches!(whole, Answer::Offer(_)) && most.get() > 1);
    for stop in 0..most.get() {
        let stopped = plan(&snapshot, &wish("easy", None), &|judged| judged < stop);
        assert_eq!(stopped, Answer::Stopped, "at {stop}");
    }
}

#[test]
fn a_snapshot_stays_as_it_was_and_names_what_changed() {
    let mut session = session("conversion easy { recipient van }\n");
    let before = session.snapshot();
    assert_eq!(before.changed(&session.snapshot()), None);
    session.edit("parts.trunnion", GROUND.replace("3.70", "3.71"));
    assert_eq!(before.changed(&session.snapshot()), Some("parts.trunnion"));
    session.edit("parts.trunnion", GROUND.to_owned());
    assert_eq!(before.changed(&session.snapshot()), None);
    session.edit("0.trunnion", String::new());
    let later = session.snapshot();
    assert_eq!(before.changed(&later), Some("0.trunnion"));
    assert_eq!(later.changed(&before), Some("0.trunnion"));
}

#[test]
fn hunks_make_the_one_text_of_the_other() {
    let texts = [
        "",
        "a\n",
        "a",
        "a\nb\nc\nd\ne\n",
        "a\nB\nc\nD\ne\nf",
        "a\r\nb\nc\n",
        "x\na\nb\n\nc\ne\n",
        "e\nd\nc\nb\na\n",
    ];
    for before in texts {
        for after in texts {
            let edits = hunks(before, after);
            assert_eq!(applied(before, &edits), after, "{before:?} to {after:?}");
            assert!(edits.windows(2).all(|it| it[0].0.end < it[1].0.start), "{edits:?} touch");
            assert_eq!(edits.is_empty(), before == after);
        }
    }
    // Lines that stay are not touched.
    assert_eq!(
        hunks("a\nb\nc\nd\ne\n", "a\nB\nc\ne\n"),
        [(Span::new(2, 4), "B\n".to_owned()), (Span::new(6, 8), String::new())]
    );
}
