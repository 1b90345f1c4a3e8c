//! Every function of the handbook can be called in a condition, and brings formula and sources.

use trunnion_check::run::check_workspace;
use trunnion_handbook::functions::FUNCTIONS;
use trunnion_handbook::registry::Function;
use trunnion_model::db::Host;
use trunnion_model::verdict::{Outcome, Verdict};
use trunnion_report::handbook::example;

/// A part that needs each of some conditions, in a vehicle of its own.
fn judged(conditions: &[String]) -> Vec<Verdict> {
    let needs: String = conditions.iter().map(|it| format!("  needs {it}\n")).collect();
    let text = format!(
        "kind box {{ asks mass }}\n\
         family Dunlin {{ built 2009-06 to 2018-12, place gearbox is box }}\n\
         part six is box fills gearbox {{ mass 86 kg\n{needs}}}\n\
         vehicle van is Dunlin {{ built 2012-04 }}\n\
         conversion easy {{ recipient van, fit six }}\n"
    );
    let mut host = Host::new();
    host.set_file("calls.trunnion", &text);
    let all = check_workspace(host.db(), host.workspace());
    let unread: Vec<_> = all.iter().filter(|it| it.check.starts_with("write/")).collect();
    assert!(unread.is_empty(), "{unread:?}");
    all.into_iter().filter(|it| it.check == "need").collect()
}

#[test]
fn every_function_is_called_by_its_example() {
    let conditions: Vec<String> =
        FUNCTIONS.iter().map(|it| format!("{} = {}", example(it), example(it))).collect();
    let verdicts = judged(&conditions);
    assert_eq!(verdicts.len(), FUNCTIONS.len());
    let result = |it: &Function| it.example.split_once(" = ").map_or("", |it| it.1);
    for (function, verdict) in FUNCTIONS.iter().zip(&verdicts) {
        let formula = verdict.formula.as_deref().unwrap_or_default();
        let ends = format!("{0} = {0}", result(function));
        assert!(formula.ends_with(&ends), "{}: {verdict:?}", function.name);
        // A range equals itself or does not: what is known leaves both possible.
        assert_ne!(verdict.outcome, Outcome::Clash, "{}", function.name);
        for source in function.sources {
            assert!(verdict.sources.contains(&source.to_string()), "{}: {source}", function.name);
        }
    }
}

/// No value at all, or money for each: open with the reason, never clear.
#[test]
fn no_function_takes_what_makes_no_sense() {
    let mut conditions = Vec::new();
    for it in FUNCTIONS {
        conditions.push(format!("{}() > 0", it.name));
        // No parameter of the handbook measures money.
        let money = vec!["3 EUR"; it.parameters.len()].join(", ");
        conditions.push(format!("{}({money}) > 0", it.name));
    }
    let verdicts = judged(&conditions);
    assert_eq!(verdicts.len(), conditions.len());
    for (condition, verdict) in conditions.iter().zip(&verdicts) {
        assert_eq!(verdict.outcome, Outcome::Open, "{condition}: {}", verdict.message);
        let asked = verdict.question.as_ref().map(|it| it.what.as_str()).unwrap_or_default();
        assert!(asked.starts_with("what is meant here: "), "{condition}: {asked}");
    }
}
