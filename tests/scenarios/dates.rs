//! The table of build dates against checking every single month and set of options by itself.

use trunnion_model::db::Host;
use trunnion_model::world::conversion;
use trunnion_plan::conversions;
use trunnion_plan::dates::{Dates, Point, dates};
use trunnion_plan::money::{Money, money};
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

/// The table of the finished `easy_van`, made once.
fn easy_van() -> &'static Dates {
    static TABLE: std::sync::OnceLock<Dates> = std::sync::OnceLock::new();
    TABLE.get_or_init(|| {
        let mut host = loaded::host(&loaded::files("examples/easy_van"));
        table(&mut host, "easy_van.trunnion")
    })
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
    Example {
        folder: "examples/camper_power",
        path: "power.trunnion",
        vehicles: "power.trunnion",
        built: "built 2017-08",
        options: &["roof pop"],
        window: ("2015-02", "2020-11"),
    },
    Example {
        folder: "examples/electric_roadster",
        path: "electric_roadster.trunnion",
        vehicles: "electric_roadster.trunnion",
        built: "built 1971-05",
        options: &["engine petrol_13", "gearbox manual_four"],
        window: ("1968-02", "1974-09"),
    },
    Example {
        folder: "examples/hand_controls",
        path: "hand_controls.trunnion",
        vehicles: "hand_controls.trunnion",
        built: "built 2016-05",
        options: &["parking foot"],
        window: ("2014-03", "2020-09"),
    },
    Example {
        folder: "examples/heavier_axles",
        path: "heavier_axles.trunnion",
        vehicles: "heavier_axles.trunnion",
        built: "built 2006-10",
        options: &[],
        window: ("2003-04", "2012-09"),
    },
];

/// The table agrees with checking every month and every set of options by itself; one test for each example, so that
/// they run beside one another.
mod the_table_agrees_with_every_month {
    use super::agrees;

    macro_rules! of {
        ($($name:ident $nth:literal)*) => { $(
            #[test]
            fn $name() {
                agrees($nth);
            }
        )* };
    }

    of! { easy_van 0 easy_van_as_first_written 1 later_engine 2 camper_power 3 electric_roadster 4 hand_controls 5 heavier_axles 6 }
}

/// The examples of the first evening have no family of their own, and so no window.
#[test]
fn every_example_with_a_window_is_in_the_list() {
    assert_eq!(EXAMPLES.len(), 7, "each has a test of its own above");
    for (folder, path) in loaded::examples() {
        let mut host = loaded::host(&loaded::files(&folder));
        let listed = EXAMPLES.iter().any(|it| it.folder == folder && it.path == path);
        for id in conversions(&host, std::slice::from_ref(&path)) {
            assert_eq!(dates(&mut host, id, |done, _| done < 1).is_some(), listed, "{folder}/{path}");
        }
    }
}

fn months((first, last): (&str, &str)) -> Vec<String> {
    let all = (1960..=2020).flat_map(|year| (1..=12).map(move |month| format!("{year:04}-{month:02}")));
    all.filter(|it| first <= it.as_str() && it.as_str() <= last).collect()
}

/// Checks every month, one at a time, against the table of one example.
fn agrees(nth: usize) {
    let example = &EXAMPLES[nth];
    let mut files = loaded::files(example.folder);
    let mut host = loaded::host(&files);
    let table = if nth == 0 { easy_van().clone() } else { table(&mut host, example.path) };
    assert!(table.whole);
    for (path, text) in &files {
        assert_eq!(host.text(path).map(|it| &**it), Some(text.as_str()), "{path} is as it was");
    }
    let at = files.iter().position(|it| it.0 == example.vehicles).expect("there");
    let written = files[at].1.clone();
    let sets: std::collections::BTreeSet<_> = table.rows.iter().map(|it| it.options.clone()).collect();
    for (nth_set, set) in sets.into_iter().enumerate() {
        // Every month with the recipient's own options; with other ones both ends of every third row, so
        // that each row is looked at with some of the sets. TRUNNION_EVERY_MONTH has every set tried in every month.
        let own = set == table.stated || std::env::var_os("TRUNNION_EVERY_MONTH").is_some();
        let ends = |month: &str| {
            let of_set = table.rows.iter().filter(|it| it.options == set).enumerate();
            let third = of_set.filter(|(nth, _)| (nth + nth_set) % 3 == 0);
            own || third.flat_map(|(_, it)| [it.from, it.to]).any(|it| it.to_string().starts_with(month))
        };
        for month in months(example.window).iter().filter(|it| ends(it.as_str())) {
            let mut text = written.replacen(example.built, &format!("built {month}"), 1);
            for (name, value) in &set {
                let stated = example.options.iter().find(|it| it.starts_with(name.as_str())).expect("stated");
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
            let id = conversions(&host, &[example.path.to_owned()])[0];
            let ways = conversion(host.db(), id).map_or(0, |it| it.ways.len() as u32);
            let ways: Vec<_> = if ways == 0 { vec![None] } else { (0..ways).map(Some).collect() };
            let each = ways.iter().filter_map(|it| money(host.db(), host.workspace(), id, *it));
            let euro = |it: Money, most: bool| match it.cost.amounts.first() {
                Some(it) if most => it.hi(),
                Some(it) => it.lo(),
                None => 0.0,
            };
            let each: Vec<Money> = each.collect();
            let least = each.iter().map(|it| euro(it.clone(), false)).fold(f64::INFINITY, f64::min);
            let most = each.iter().map(|it| euro(it.clone(), true)).fold(0.0, f64::max);
            let cost = row.cost.amounts.first().map_or((0.0, 0.0), |it| (it.lo(), it.hi()));
            assert_eq!(cost, (least, most), "{place}");
            for it in &each {
                assert!(it.cost.unknown.iter().all(|it| row.cost.unknown.contains(it)), "{place}");
            }
        }
    }
    host.set_file(example.vehicles, &written);
}

#[test]
fn the_recipient_is_in_one_row_and_disputed_spans_are_said() {
    let table = easy_van();
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

/// `easy_van/`: the breaker, the flexplate and the small things come to 1746 to 1954 EUR by the everyday way, and
/// to 2102 to 2310 EUR by the towing way; see the sums in `plan/money.rs`.
#[test]
fn each_row_says_what_it_costs_and_what_is_other_than_before() {
    let table = easy_van();
    let own = table.rows.iter().position(|it| it.own).expect("one");
    assert_eq!(table.rows[own].cost.amounts[0].display(), "1746 to 2310 EUR");
    // The parts list: from 2013-01 the second diesel with its eight-bolt flywheel.
    let text: Vec<String> = table.rows[own + 1]
        .changes
        .iter()
        .map(|it| format!("{}: {:?} -> {:?}", it.place, it.was.as_deref(), it.is.as_deref()))
        .collect();
    assert!(
        text.contains(
            &"flywheel: Some(\"dual-mass flywheel, six bolts\") -> Some(\"dual-mass flywheel, eight bolts\")"
                .to_owned()
        ),
        "{text:#?}"
    );
    let page = trunnion_report::dates::page(table);
    assert!(page.contains("costs 1746 to 2310 EUR"), "{page}");
    assert!(
        page.contains("flywheel: dual-mass flywheel, eight bolts instead of dual-mass flywheel, six bolts")
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
