//! Tables over many change-over dates: spans that are alike are checked once, and the table says the same.

use trunnion_model::db::Host;
use trunnion_plan::conversions;
use trunnion_plan::dates::{Dates, dates};
use trunnion_tests::change_overs::{Options, specification};
use trunnion_tests::loaded;

fn table(text: &str) -> Dates {
    let mut host = Host::new();
    host.set_file("made.trunnion", text);
    let id = conversions(&host, &["made.trunnion".to_owned()])[0];
    dates(&mut host, id, |_, _| true).expect("a window")
}

/// Every month and set of options of a small one, one at a time.
#[test]
fn the_table_agrees_with_every_month_and_every_set_of_options() {
    for options in [Options::Values(3), Options::Pairs(2)] {
        let text = specification(24, options);
        let table = table(&text);
        assert!(table.whole);
        let mut host = Host::new();
        let months =
            (2000..=2002).flat_map(|year| (1..=12).map(move |month| format!("{year:04}-{month:02}")));
        for month in months.step_by(3) {
            let day: jiff::civil::Date = format!("{month}-01").parse().expect("a date");
            for row in table.rows.iter().filter(|it| it.from <= day && day <= it.to) {
                let mut of_month = text.replace("built 2012-04", &format!("built {month}"));
                for (name, value) in &row.options {
                    of_month =
                        of_month.replace(&format!("\n  {name} {name}_0\n"), &format!("\n  {name} {value}\n"));
                }
                host.set_file("made.trunnion", &of_month);
                let verdicts = loaded::verdicts(&host, "made.trunnion");
                let keys = |all: &[trunnion_plan::dates::Point]| -> Vec<String> {
                    let mut keys: Vec<String> =
                        all.iter().map(|it| format!("{} {}", it.check, it.subject)).collect();
                    keys.sort();
                    keys.dedup();
                    keys
                };
                assert_eq!(
                    keys(&row.clashes),
                    loaded::named(&verdicts, "clash"),
                    "{month} {:?}",
                    row.options
                );
                assert_eq!(keys(&row.open), loaded::named(&verdicts, "open"), "{month} {:?}", row.options);
            }
        }
    }
}
