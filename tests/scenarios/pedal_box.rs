//! A manual gearbox's clutch pedal box is taken out: what is left loose.

use std::collections::BTreeSet;

use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_tests::loaded;

fn verdicts(conversion: &str) -> Vec<Verdict> {
    let mut files = loaded::files("examples/easy_van");
    files.push((
        "only.trunnion".to_owned(),
        format!("use \"vehicles\"\nconversion only {{ recipient van\n{conversion}\n}}\n"),
    ));
    let host = loaded::host(&files);
    loaded::verdicts(&host, "only.trunnion")
}

fn loose(verdicts: &[Verdict]) -> Vec<&Verdict> {
    let open = verdicts.iter().filter(|it| it.outcome == Outcome::Open && it.accepted.is_none());
    open.filter(|it| it.check == "loose/end").collect()
}

/// The medium that a loose end's sentence speaks of.
fn medium(it: &Verdict) -> &'static str {
    let words =
        [("wire", "wire"), ("the port", "hydraulic"), ("the opening", "opening"), ("the mount", "bracket")];
    let text = it.message.to_lowercase();
    let end = text.split(" is loose").next().unwrap_or_default();
    words.iter().find(|(word, _)| end.contains(word)).map_or("other", |it| it.1)
}

#[test]
fn ends_in_four_media_are_left_loose() {
    let verdicts = verdicts("remove clutch_pedal");
    let media: BTreeSet<&str> = loose(&verdicts).into_iter().map(medium).collect();
    let listing: Vec<String> =
        loose(&verdicts).iter().map(|it| format!("{}: {}", it.subject, it.message)).collect();
    for wanted in ["wire", "hydraulic", "bracket", "opening"] {
        assert!(media.contains(wanted), "{wanted} in {listing:#?}");
    }
}

#[test]
fn nothing_calls_it_fit_until_each_is_answered() {
    let all = verdicts("remove clutch_pedal");
    let subjects: Vec<String> = loose(&all).iter().map(|it| it.subject.clone()).collect();
    let mut answers = String::from("remove clutch_pedal\n");
    for (nth, subject) in subjects.iter().enumerate() {
        let now = verdicts(&answers);
        assert_eq!(loose(&now).len(), subjects.len() - nth, "before {subject} is answered");
        let clear = now.iter().any(|it| {
            it.check == "loose/end" && matches!(it.outcome, Outcome::Clear(_)) && it.subject == "clutch_pedal"
        });
        assert!(!clear, "not clear while {subject} is loose");
        answers.push_str(&format!("accept loose/end {subject} because \"seen to\" by \"M. O.\"\n"));
    }
    assert_eq!(loose(&verdicts(&answers)).len(), 0);
}
