//! Days between dates, for waits and last days.

use trunnion_syntax::tree::Date;

/// The days from 0000-03-01 to a date of the Gregorian calendar.
fn number(year: i64, month: i64, day: i64) -> i64 {
    // Counted in years that begin in March, so that the leap day is the last of its year.
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let leaps = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
    365 * year + leaps + (153 * month + 2) / 5 + day - 1
}

/// The first day that a date may mean, as a number of days.
pub fn first_day(date: Date) -> i64 {
    number(i64::from(date.year), i64::from(date.month), i64::from(date.day.unwrap_or(1)))
}

/// The last day that a date may mean: a month means all of it.
pub fn last_day(date: Date) -> i64 {
    match date.day {
        Some(_) => first_day(date),
        None if date.month == 12 => number(i64::from(date.year) + 1, 1, 1) - 1,
        None => number(i64::from(date.year), i64::from(date.month) + 1, 1) - 1,
    }
}

/// A number of days as a date, as it is written.
pub fn shown(days: i64) -> String {
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let month = if month < 10 { month + 3 } else { month - 9 };
    let year = year_of_era + 400 * era + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(year: u16, month: u8, day: Option<u8>) -> Date {
        Date { year, month, day }
    }

    /// ISO 8601: 2000 and 2024 are leap years, 1900 is not; day numbers differ by the days between.
    #[test]
    fn days_between_dates() {
        let between = |a, b| first_day(b) - first_day(a);
        assert_eq!(between(date(2024, 2, Some(28)), date(2024, 3, Some(1))), 2);
        assert_eq!(between(date(2023, 2, Some(28)), date(2023, 3, Some(1))), 1);
        assert_eq!(between(date(1900, 2, Some(28)), date(1900, 3, Some(1))), 1);
        assert_eq!(between(date(2000, 1, Some(1)), date(2001, 1, Some(1))), 366);
        // Unix time 1 000 000 000 s was 2001-09-09, 11574 days after 1970-01-01.
        assert_eq!(between(date(1970, 1, Some(1)), date(2001, 9, Some(9))), 11_574);
    }

    #[test]
    fn a_month_means_all_of_it() {
        assert_eq!(shown(first_day(date(2026, 2, None))), "2026-02-01");
        assert_eq!(shown(last_day(date(2026, 2, None))), "2026-02-28");
        assert_eq!(shown(last_day(date(2026, 12, None))), "2026-12-31");
    }

    #[test]
    fn every_day_comes_back() {
        let from = first_day(date(1999, 12, Some(25)));
        let mut seen: Vec<String> = (from..from + 1500).map(shown).collect();
        assert_eq!(seen[7], "2000-01-01");
        let count = seen.len();
        seen.dedup();
        assert_eq!(seen.len(), count);
        assert!(seen.is_sorted());
    }
}
