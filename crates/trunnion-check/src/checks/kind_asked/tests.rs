use crate::testing::check;

fn taken(asks: &str, part: &str) -> String {
    format!(
        r#"
measure mass in kg, tool "scales" to 1 kg, takes 10 min, from tape
source manual "Manual" documented 2016-03
source club "Club" reported 2021-05
kind gearbox "automatic gearbox" {{ {asks} }}
family Dunlin {{ built 2009-06 to 2018-12
  place gearbox is gearbox }}
part box is gearbox fills gearbox {{ {part} }}
vehicle van is Dunlin {{ built 2012-04 }}
conversion easy {{ recipient van, fit box }}"#
    )
}

const ALL: &str = "asks face front, signal reverse_lamp, mass\n asks port cooler_out carrying gearbox_oil";

#[test]
fn answered_questions_are_clear_and_none_is_an_answer() {
    check(
        "kind/asked",
        &taken(
            ALL,
            "face front per manual, port cooler_out none, mass 80 kg, plug T1 { 1 signal reverse_lamp out }",
        ),
    )
    .clear("All 4 questions that the trade asks of an automatic gearbox are answered.");
}

#[test]
fn each_unanswered_question_is_open() {
    let found = check("kind/asked", &taken(ALL, "face front"));
    let said: Vec<_> = found.verdicts().iter().map(|it| it.message.as_str()).collect();
    assert_eq!(
        said,
        [
            "Nobody has said where the signal reverse lamp of the gearbox is.",
            "Nobody has said the mass of the gearbox.",
            "Nobody has said what the cooler out port of the gearbox is.",
        ]
    );
    let mass = found.about("gearbox.mass").question.clone().expect("asked");
    assert_eq!((mass.tool.as_deref(), mass.minutes), (Some("scales"), Some(10)));
    assert_eq!(mass.hangs, "whether it can be fitted");
}

#[test]
fn a_hole_is_left_for_what_is_missing() {
    let found =
        check("kind/asked", &taken("asks face front before no return because \"it bolts there\"", ""));
    found.open("Nobody has said what the front face of the gearbox is.");
    assert_eq!(found.text(), "fit box");
    let question = found.only().question.as_ref().expect("asked");
    assert_eq!(question.gate.word(), "no return");
    assert_eq!(question.hangs, "it bolts there");
    assert!(found.fixed(0).contains("fills gearbox { face front is …"));
}

#[test]
fn a_figure_outside_what_is_good_is_a_clash() {
    let found = check("kind/asked", &taken("asks mass good 40 kg to 60 kg", "mass 80 kg per manual"));
    found.clash("80 kg is outside what is good for the mass of the gearbox: 40 to 60 kg.");
    assert_eq!(found.text(), "mass 80 kg per manual");
    let found = check("kind/asked", &taken("asks mass good 40 kg to 60 kg", "mass 59 kg ± 2 kg"));
    found.open("59 kg ± 2 kg may or may not be good for the mass of the gearbox: 40 to 60 kg is.");
}

#[test]
fn disputed_claims_are_open() {
    check("kind/asked", &taken("asks mass", "mass 80 kg per manual, mass 86 kg per club"))
        .open("Sources differ on the mass of the gearbox: Manual (documented) says 80 kg, Club (reported) says 86 kg.");
}

#[test]
fn a_hollow_part_is_asked_everything_and_a_removed_one_nothing() {
    let source = r"
kind gearbox { asks mass, face front }
family Dunlin { built 2009-06 to 2018-12
  place gearbox, clutch is gearbox
  holds gearbox in gearbox
  holds gearbox in clutch }
vehicle van is Dunlin { built 2012-04 }
vehicle breaker is Dunlin { built 2015-09 }
conversion easy { recipient van, donor breaker, take gearbox from breaker, remove clutch }";
    let found = check("kind/asked", source);
    assert_eq!(found.verdicts().len(), 2, "{}", found.listing());
    let question = found.about("gearbox.front").question.clone().expect("asked");
    assert_eq!(question.who.word(), "tape");
    assert_eq!(found.about("gearbox.front").fixes[0].title, "say which part the gearbox is");
}

#[test]
fn a_choice_is_asked_for_each_candidate() {
    let source = r"
kind wheel { asks mass }
family Dunlin { built 2009-06 to 2018-12
  place flywheel is wheel }
part new_one is wheel fills flywheel { mass 2 kg }
part used_one is wheel fills flywheel
vehicle van is Dunlin { built 2012-04 }
conversion easy { recipient van, choose flywheel from new_one, used_one }";
    check("kind/asked", source).open("Nobody has said the mass of the flywheel, for used one.");
}
