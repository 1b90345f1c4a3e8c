//! Dates, and the other ways they are written.

use crate::parse::{Errors, error};
use crate::token::Spanned;
use crate::tree::Date;

/// Reads a date. One that is written another way, or that no calendar has, is told.
pub(super) fn date(raw: &str, token: Spanned, errors: &mut Errors) -> Date {
    let numbers: Vec<u32> = raw.split(['-', '/', '.']).filter_map(|it| it.parse().ok()).collect();
    let year_first = raw.find(['-', '/', '.']) == Some(4);
    let strokes = raw.contains('/');
    let (year, month, day) = match (numbers.as_slice(), year_first) {
        ([year, month], true) => (*year, *month, None),
        ([year, month, day], true) => (*year, *month, Some(*day)),
        ([month, year], false) => (*year, *month, None),
        // `08/14/2013` can only be the fourteenth of August.
        ([month, day, year], false) if strokes && *month <= 12 && *day > 12 => (*year, *month, Some(*day)),
        ([day, month, year], false) => (*year, *month, Some(*day)),
        _ => (0, 0, None),
    };
    let most = if (1..=12).contains(&month) { days_in(year, month) } else { 31 };
    let date = Date {
        year: year.clamp(1, 9999) as u16,
        month: month.clamp(1, 12) as u8,
        day: day.map(|it| it.clamp(1, most) as u8),
    };
    if !(1..=12).contains(&month) {
        errors.tell(error("write/date", token, format!("There is no month {month}.")));
    } else if year == 0 {
        errors.tell(error("write/date", token, "There is no year 0."));
    } else if day.is_some_and(|it| !(1..=most).contains(&it)) {
        let why = format!("{year:04}-{month:02} has no day {}.", day.unwrap_or_default());
        errors.tell(error("write/date", token, why));
    } else if raw != date.to_string() {
        let either = strokes && !year_first && day.is_some_and(|it| it <= 12 && it != month);
        let told = if either {
            let (y, m, d) = (date.year, date.month, date.day.unwrap_or_default());
            error(
                "write/date",
                token,
                format!("Day or month may stand first here: write `{date}` or `{y:04}-{d:02}-{m:02}`."),
            )
        } else {
            let right = date.to_string();
            error("write/date", token, format!("A date is written year first: `{right}`.")).written(&right)
        };
        errors.tell(told);
    }
    date
}

/// How many days a month has in the Gregorian calendar.
fn days_in(year: u32, month: u32) -> u32 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => 29,
        2 => 28,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use crate::parse::parse;
    use crate::tree::AtomKind;

    /// The date as read, and what is told with its mend.
    fn read(text: &str) -> (String, Option<(String, Option<String>)>) {
        let tree = parse(text);
        let AtomKind::Date(date) = tree.lines[0].clauses[0].atoms[0].kind else { panic!("{text}") };
        assert!(tree.errors.len() < 2, "{:?}", tree.errors);
        let told = tree.errors.into_iter().next();
        (date.to_string(), told.map(|it| (it.message, it.mend.map(|it| it.text))))
    }

    #[test]
    fn year_first_is_silent() {
        assert_eq!(read("2013-08"), ("2013-08".into(), None));
        assert_eq!(read("2012-02-29"), ("2012-02-29".into(), None));
    }

    #[test]
    fn other_ways_are_mended() {
        for (text, right) in [
            ("04/2012", "2012-04"),
            ("14.08.2013", "2013-08-14"),
            ("12.2.2026", "2026-02-12"),
            ("1.12.2026", "2026-12-01"),
            ("14/08/2013", "2013-08-14"),
            ("08/14/2013", "2013-08-14"),
            ("2013/08", "2013-08"),
            ("2013-8", "2013-08"),
        ] {
            let (date, told) = read(text);
            assert_eq!(date, right);
            assert_eq!(told.and_then(|it| it.1).as_deref(), Some(right), "{text}");
        }
    }

    #[test]
    fn a_date_that_may_be_two_is_not_guessed() {
        let (_, told) = read("04/08/2013");
        let (message, mend) = told.expect("told");
        assert!(message.contains("2013-08-04") && message.contains("2013-04-08"), "{message}");
        assert_eq!(mend, None);
    }

    #[test]
    fn dates_that_no_calendar_has_are_told_and_kept_near() {
        assert_eq!(read("2013-13"), ("2013-12".into(), Some(("There is no month 13.".into(), None))));
        assert_eq!(read("2013-02-30"), ("2013-02-28".into(), Some(("2013-02 has no day 30.".into(), None))));
        assert_eq!(read("1900-02-29").0, "1900-02-28");
        assert_eq!(read("2013-00").0, "2013-01");
        assert_eq!(read("0000-01").0, "0001-01");
    }
}
