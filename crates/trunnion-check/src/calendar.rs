//! Days between dates, for waits and last days.

use jiff::ToSpan;
use jiff::civil;
use trunnion_syntax::tree::Date;

/// The first day that a date may mean.
pub fn first_day(date: Date) -> civil::Date {
    // What was read as a date is one: 1 to 9999, a month of the year, a day of that month.
    let month = civil::Date::new(date.year as i16, date.month as i8, 1).unwrap_or(civil::Date::MIN);
    match date.day {
        Some(day) => {
            civil::Date::new(month.year(), month.month(), day as i8).unwrap_or(month.last_of_month())
        }
        None => month,
    }
}

/// The last day that a date may mean: a month means all of it.
pub fn last_day(date: Date) -> civil::Date {
    let first = first_day(date);
    if date.day.is_some() { first } else { first.last_of_month() }
}

/// So many days later; earlier where they are below zero. It stops at the ends of the calendar.
pub fn later(day: civil::Date, days: i64) -> civil::Date {
    day.saturating_add(days.days())
}

/// The days from one day to another.
pub fn between(from: civil::Date, to: civil::Date) -> i64 {
    (to - from).get_days().into()
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
        let between = |a, b| between(first_day(a), first_day(b));
        assert_eq!(between(date(2024, 2, Some(28)), date(2024, 3, Some(1))), 2);
        assert_eq!(between(date(2023, 2, Some(28)), date(2023, 3, Some(1))), 1);
        assert_eq!(between(date(1900, 2, Some(28)), date(1900, 3, Some(1))), 1);
        assert_eq!(between(date(2000, 1, Some(1)), date(2001, 1, Some(1))), 366);
        // Unix time 1 000 000 000 s was 2001-09-09, 11574 days after 1970-01-01.
        assert_eq!(between(date(1970, 1, Some(1)), date(2001, 9, Some(9))), 11_574);
    }

    #[test]
    fn a_month_means_all_of_it() {
        assert_eq!(first_day(date(2026, 2, None)).to_string(), "2026-02-01");
        assert_eq!(last_day(date(2026, 2, None)).to_string(), "2026-02-28");
        assert_eq!(last_day(date(2026, 12, None)).to_string(), "2026-12-31");
    }

    #[test]
    fn every_day_comes_back() {
        let from = first_day(date(1999, 12, Some(25)));
        let mut seen: Vec<String> = (0..1500).map(|it| later(from, it).to_string()).collect();
        assert_eq!(seen[7], "2000-01-01");
        let count = seen.len();
        seen.dedup();
        assert_eq!(seen.len(), count);
        assert!(seen.is_sorted());
    }
}
