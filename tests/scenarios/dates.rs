//! The table of build dates against checking every single month and set of options by itself.

use trunnion_model::db::Host;
use trunnion_plan::conversions;
use trunnion_plan::dates::{Dates, Point, dates};
use trunnion_tests::loaded;

/// Check and subject of points, sorted.
fn keys(points: &[Point]) -> Vec<String> {
    let mut keys: Vec<String> = points.iter().map(|it| format!("{} {}", it.check, it.subject)).collect();
    keys.sort();
    keys.dedup();
    keys
}

fn table(host: &mut Host, path: &str) -> Dates {
    let id = conversions(host, &[path.to_owned()])[0];
    dates(host, id, |_, _| true).expect("the family has a window")
}

/// One example: its folder, the file of the conversion, and where its recipient's date and options stand.
struct Example {
    folder: &'static str,
    path: &'static str,
    vehicles: &'static str,
    built: &'static str,
    options: &'static [&'static str],
    window: (&'static str, &'static str),
}

const EXAMPLES: &[Example] = &[
    Example {
        folder: "examples/easy_van",
        path: "easy_van.trunnion",
        vehicles: "vehicles.trunnion",
        built: "built 2012-04",
        options: &["engine diesel_22", "gearbox manual_five"],
        window: ("2009-06", "2018-12"),
    },
    Example {
        folder: "examples/easy_van",
        path: "first_written/easy_van.trunnion",
        vehicles: "vehicles.trunnion",
        built: "built 2012-04",
        options: &["engine diesel_22", "gearbox manual_five"],
        window: ("2009-06", "2018-12"),
    },
    Example {
        folder: "examples/later_engine",
        path: "later_engine.trunnion",
        vehicles: "later_engine.trunnion",
        built: "built 1999-05",
        options: &["engine diesel_25", "gearbox manual_five"],
        window: ("1996-02", "2003-07"),
    },
];

fn months((first, last): (&str, &str)) -> Vec<String> {
    let all = (1990..=2020).flat_map(|year| (1..=12).map(move |month| format!("{year:04}-{month:02}")));
    all.filter(|it| first <= it.as_str() && it.as_str() <= last).collect()
}

#[test]
fn the_table_agrees_with_checking_every_month_and_every_set_of_options() {
    for example in EXAMPLES {
        let mut files = loaded::files(example.folder);
        let mut host = loaded::host(&files);
        let table = table(&mut host, example.path);
        assert!(table.whole);
        for (path, text) in &files {
            assert_eq!(host.text(path).map(|it| &**it), Some(text.as_str()), "{path} is as it was");
        }
        let at = files.iter().position(|it| it.0 == example.vehicles).expect("there");
        let written = files[at].1.clone();
        let sets: std::collections::BTreeSet<_> = table.rows.iter().map(|it| it.options.clone()).collect();
        for set in sets {
            // Every month with the recipient's own options; with other ones both ends of each row.
            let own = set == table.stated;
            let ends = |month: &str| {
                let of_set = table.rows.iter().filter(|it| it.options == set);
                own || of_set.flat_map(|it| [it.from, it.to]).any(|it| it.to_string().starts_with(month))
            };
            for month in months(example.window).iter().filter(|it| ends(it.as_str())) {
                let mut text = written.replacen(example.built, &format!("built {month}"), 1);
                for (name, value) in &set {
                    let stated =
                        example.options.iter().find(|it| it.starts_with(name.as_str())).expect("stated");
                    text = text.replacen(stated, &format!("{name} {value}"), 1);
                }
                files[at].1 = text;
                host.set_file(example.vehicles, &files[at].1);
                let verdicts = loaded::verdicts(&host, example.path);
                let day: jiff::civil::Date = format!("{month}-01").parse().expect("a date");
                let row = table.rows.iter().find(|it| it.options == set && it.from <= day && day <= it.to);
                let row = row.unwrap_or_else(|| panic!("no row for {month} with {set:?}"));
                let place = format!("{} {month} {set:?}", example.path);
                assert_eq!(keys(&row.clashes), loaded::named(&verdicts, "clash"), "{place}");
                assert_eq!(keys(&row.open), loaded::named(&verdicts, "open"), "{place}");
            }
        }
        host.set_file(example.vehicles, &written);
    }
}

#[test]
fn the_recipient_is_in_one_row_and_disputed_spans_are_said() {
    let mut host = loaded::host(&loaded::files("examples/easy_van"));
    let table = table(&mut host, "easy_van.trunnion");
    let own: Vec<_> = table.rows.iter().filter(|it| it.own).collect();
    assert_eq!(own.len(), 1);
    assert!(own[0].works());
    let disputed: Vec<String> =
        table.rows.iter().filter(|it| !it.disputed.is_empty()).map(|it| it.from.to_string()).collect();
    assert!(
        disputed.contains(&"2011-03-01".to_owned()) && disputed.contains(&"2014-03-01".to_owned()),
        "{disputed:?}"
    );
}

#[test]
fn it_can_be_cancelled() {
    let mut host = loaded::host(&loaded::files("examples/easy_van"));
    let before = host.text("vehicles.trunnion").cloned();
    let id = conversions(&host, &["easy_van.trunnion".to_owned()])[0];
    let table = dates(&mut host, id, |done, _| done < 3).expect("as far as it came");
    assert!(table.rows.len() <= 3);
    assert_eq!(host.text("vehicles.trunnion").cloned(), before);
}
