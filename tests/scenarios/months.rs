//! The recipient's build month alone is changed, month by month over the family's window.

use trunnion_model::db::Host;
use trunnion_tests::loaded;

/// Every month in which a family window of the example can begin or end.
fn months() -> Vec<String> {
    let all = (2009..=2018).flat_map(|year| (1..=12).map(move |month| format!("{year:04}-{month:02}")));
    all.filter(|it| it.as_str() >= "2009-06").collect()
}

/// What is said of one specification for each build month: check, subject and outcome.
fn said(path: &str) -> Vec<(String, Vec<String>)> {
    let mut files = loaded::files("examples/easy_van");
    let at = files.iter().position(|it| it.0 == "vehicles.trunnion").expect("there");
    let written = files[at].1.clone();
    assert!(written.contains("built 2012-04"), "the recipient as written");
    let mut host = Host::new();
    host.set_files(files.iter().map(|(path, text)| (path.as_str(), text.as_str())));
    months()
        .into_iter()
        .map(|month| {
            files[at].1 = written.replacen("built 2012-04", &format!("built {month}"), 1);
            host.set_file("vehicles.trunnion", &files[at].1);
            let verdicts = loaded::verdicts(&host, path);
            let mut lines: Vec<String> = verdicts
                .iter()
                .filter(|it| it.outcome.word() != "clear")
                .map(|it| format!("{} {} {}", it.outcome.word(), it.check, it.subject))
                .collect();
            lines.sort();
            lines.dedup();
            (month, lines)
        })
        .collect()
}

/// The months at which what is said changes.
fn changes(said: &[(String, Vec<String>)]) -> Vec<&str> {
    said.windows(2).filter(|pair| pair[0].1 != pair[1].1).map(|pair| pair[1].0.as_str()).collect()
}

/// What is said at a month.
fn at<'a>(said: &'a [(String, Vec<String>)], month: &str) -> &'a [String] {
    &said.iter().find(|it| it.0 == month).expect("in the window").1
}

#[test]
fn as_first_written_verdicts_change_at_the_change_over_dates_only() {
    let said = said("first_written/easy_van.trunnion");
    assert_eq!(changes(&said), FIRST_WRITTEN);
    let torque_cut = "clash need gearbox_controller".to_owned();
    assert!(at(&said, "2013-08").contains(&torque_cut), "{:#?}", at(&said, "2013-08"));
    assert!(!at(&said, "2013-09").contains(&torque_cut), "{:#?}", at(&said, "2013-09"));
}

#[test]
fn as_first_written_it_clashes_in_every_medium() {
    let host = loaded::host(&loaded::files("examples/easy_van"));
    let clashes = loaded::named(&loaded::verdicts(&host, "first_written/easy_van.trunnion"), "clash");
    for check in [
        "need",
        "fit/pattern",
        "fit/length",
        "bus/termination",
        "plug/cavity",
        "stock/twice",
        "drive/ratio",
        "line/mate",
    ] {
        assert!(clashes.iter().any(|it| it.starts_with(check)), "{check} in {clashes:#?}");
    }
}

#[test]
fn as_finished_verdicts_change_at_the_change_over_dates_only() {
    let said = said("easy_van.trunnion");
    assert_eq!(changes(&said), FINISHED);
    let own: Vec<&String> = at(&said, "2012-04").iter().filter(|it| it.starts_with("clash")).collect();
    assert_eq!(own, Vec::<&String>::new());
}

#[test]
fn editing_month_by_month_says_the_same_as_starting_afresh() {
    let said = said("first_written/easy_van.trunnion");
    for month in ["2009-06", "2011-04", "2013-09", "2018-12"] {
        let mut files = loaded::files("examples/easy_van");
        for (path, text) in &mut files {
            if path == "vehicles.trunnion" {
                *text = text.replacen("built 2012-04", &format!("built {month}"), 1);
            }
        }
        let host = loaded::host(&files);
        let verdicts = loaded::verdicts(&host, "first_written/easy_van.trunnion");
        let mut lines: Vec<String> = verdicts
            .iter()
            .filter(|it| it.outcome.word() != "clear")
            .map(|it| format!("{} {} {}", it.outcome.word(), it.check, it.subject))
            .collect();
        lines.sort();
        lines.dedup();
        assert_eq!(at(&said, month), lines);
    }
}

/// The change-over dates that the conversion as first written runs into.
const FIRST_WRITTEN: &[&str] = &["2011-03", "2011-06", "2013-09", "2014-03", "2014-06"];

/// Those that the finished conversion still depends on.
const FINISHED: &[&str] = &["2011-03", "2011-06", "2013-01", "2014-03", "2014-06"];
