//! Days as people read them.

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, NaiveDateTime, Weekday};

use crate::language::{Language, Word};
use crate::{say, word};

const MONTHS: [Word; 12] = [
    word!(ctx: "month", "January"),
    word!(ctx: "month", "February"),
    word!(ctx: "month", "March"),
    word!(ctx: "month", "April"),
    word!(ctx: "month", "May"),
    word!(ctx: "month", "June"),
    word!(ctx: "month", "July"),
    word!(ctx: "month", "August"),
    word!(ctx: "month", "September"),
    word!(ctx: "month", "October"),
    word!(ctx: "month", "November"),
    word!(ctx: "month", "December"),
];

const SHORT_MONTHS: [Word; 12] = [
    word!(ctx: "short month", "Jan"),
    word!(ctx: "short month", "Feb"),
    word!(ctx: "short month", "Mar"),
    word!(ctx: "short month", "Apr"),
    word!(ctx: "short month", "May"),
    word!(ctx: "short month", "Jun"),
    word!(ctx: "short month", "Jul"),
    word!(ctx: "short month", "Aug"),
    word!(ctx: "short month", "Sep"),
    word!(ctx: "short month", "Oct"),
    word!(ctx: "short month", "Nov"),
    word!(ctx: "short month", "Dec"),
];

const fn weekday(day: Weekday) -> Word {
    match day {
        Weekday::Mon => word!("Monday"),
        Weekday::Tue => word!("Tuesday"),
        Weekday::Wed => word!("Wednesday"),
        Weekday::Thu => word!("Thursday"),
        Weekday::Fri => word!("Friday"),
        Weekday::Sat => word!("Saturday"),
        Weekday::Sun => word!("Sunday"),
    }
}

fn month(months: &[Word; 12], day: NaiveDate, language: Language) -> &'static str {
    let at = usize::try_from(day.month0()).unwrap_or_default();
    months.get(at).map_or("", |month| month.said(language))
}

/// "4 Mar 2026", for lists.
#[must_use]
pub fn short_date(day: NaiveDate, language: Language) -> String {
    say!(
        language,
        ctx: "short date",
        "{day} {month} {year}",
        day = day.day(),
        month = month(&SHORT_MONTHS, day, language),
        year = day.year()
    )
}

/// "4 Mar 2026 14:05": a day and the time of it, as the clock there stood.
#[must_use]
pub fn short_time(at: &DateTime<FixedOffset>, language: Language) -> String {
    time_at(at.naive_local(), language)
}

/// As [`short_time`], by a clock of which no more is known.
#[must_use]
pub fn time_at(at: NaiveDateTime, language: Language) -> String {
    let day = short_date(at.date(), language);
    format!("{day} {}", at.format("%H:%M"))
}

/// "Wednesday 4 March 2026", over a page.
#[must_use]
pub fn long_date(day: NaiveDate, language: Language) -> String {
    say!(
        language,
        ctx: "long date",
        "{weekday} {day} {month} {year}",
        weekday = weekday(day.weekday()).said(language),
        day = day.day(),
        month = month(&MONTHS, day, language),
        year = day.year()
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.
    use super::*;

    /// Against the date formats of Unicode CLDR 45 for en-GB, es and fr (yMMMEEEEd, yMMMd), from
    /// memory, without the comma of English.
    #[test]
    fn days_are_written_in_the_language() {
        let day = NaiveDate::from_ymd_opt(2026, 3, 4).unwrap();
        assert_eq!(long_date(day, Language::English), "Wednesday 4 March 2026");
        assert_eq!(
            long_date(day, Language::Spanish),
            "miércoles, 4 de marzo de 2026"
        );
        assert_eq!(long_date(day, Language::French), "mercredi 4 mars 2026");
        assert_eq!(short_date(day, Language::English), "4 Mar 2026");
        assert_eq!(short_date(day, Language::Spanish), "4 mar 2026");
        assert_eq!(short_date(day, Language::French), "4 mars 2026");
        for n in 1..=12 {
            let day = NaiveDate::from_ymd_opt(2026, n, 9).unwrap();
            for (language, written) in [(Language::Spanish, "9 de "), (Language::French, "9 ")] {
                assert!(long_date(day, language).contains(written), "{n}");
                assert_ne!(long_date(day, language), long_date(day, Language::English));
            }
        }
    }
}
