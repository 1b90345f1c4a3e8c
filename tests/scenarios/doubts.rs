//! What is said to rest on a claim changes when the claim is taken away.

use trunnion_model::db::Host;
use trunnion_model::fact::Standing;
use trunnion_model::verdict::Verdict;
use trunnion_plan::conversions;
use trunnion_plan::doubts::{Doubts, doubts};
use trunnion_tests::loaded;

fn table(host: &Host, path: &str) -> Doubts {
    let id = conversions(host, &[path.to_owned()])[0];
    doubts(host.db(), host.workspace(), id).expect("a conversion")
}

fn said(verdicts: &[Verdict], check: &str, subject: &str) -> Vec<String> {
    let of = verdicts.iter().filter(|it| it.check == check && it.subject == subject);
    of.map(|it| format!("{} {} {:?} {:?}", it.outcome.word(), it.message, it.figures, it.question)).collect()
}

#[test]
fn every_verdict_named_changes_when_the_claim_is_gone() {
    let files = loaded::files("examples/easy_van");
    let mut host = loaded::host(&files);
    let path = "easy_van.trunnion";
    let before = loaded::verdicts(&host, path);
    let table = table(&host, path);
    // Figures of parts, which stand on a line of their own: those can be taken out by themselves.
    let figures = table.doubts.iter().filter(|it| it.settle.tool.is_some()).filter(|it| {
        let text = host.text(&host.locate(it.site).expect("there").path).expect("there");
        let at = host.locate(it.site).expect("there").span;
        let line_before = text[..at.start as usize].rsplit('\n').next().unwrap_or_default();
        line_before.trim().is_empty() && !text[at.end as usize..].starts_with(',')
    });
    let chosen: Vec<_> = figures.take(40).cloned().collect();
    assert!(chosen.len() >= 15, "{}", chosen.len());
    for doubt in chosen {
        let at = host.locate(doubt.site).expect("there");
        let whole = host.text(&at.path).expect("there").to_string();
        let mut without = whole.clone();
        without.replace_range(at.span.range(), "");
        host.set_file(&at.path, &without);
        let after = loaded::verdicts(&host, path);
        for (check, subject, _) in &doubt.verdicts {
            let changed = said(&before, check, subject) != said(&after, check, subject);
            assert!(changed, "{check} {subject} does not rest on `{}` of {}", doubt.claim, doubt.of);
        }
        host.set_file(&at.path, &whole);
    }
}

#[test]
fn safety_comes_first_and_measured_claims_do_not_come_at_all() {
    let host = loaded::host(&loaded::files("examples/easy_van"));
    let table = table(&host, "easy_van.trunnion");
    assert!(table.doubts.iter().all(|it| it.standing != Standing::Measured));
    let first_without = table.doubts.iter().position(|it| it.safety.is_empty()).unwrap_or(table.doubts.len());
    assert!(first_without > 0 && table.doubts[first_without..].iter().all(|it| it.safety.is_empty()));
}

#[test]
fn what_must_be_measured_settles_every_open_point_of_safety() {
    let host = loaded::host(&loaded::files("examples/easy_van"));
    let path = "first_written/easy_van.trunnion";
    let table = table(&host, path);
    let settled: Vec<&String> = table.measurements.iter().flat_map(|it| &it.1).collect();
    let verdicts = loaded::verdicts(&host, path);
    let open = verdicts.iter().filter(|it| it.outcome.word() == "open" && it.accepted.is_none());
    for it in open.filter(|it| !it.safety.is_empty()) {
        assert!(settled.contains(&&format!("{} {}", it.check, it.subject)), "{} {}", it.check, it.subject);
    }
    let once: std::collections::BTreeSet<_> = table.measurements.iter().map(|it| &it.0).collect();
    assert_eq!(once.len(), table.measurements.len(), "each is asked once");
}
