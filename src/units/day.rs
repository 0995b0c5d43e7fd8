//! Days of the calendar, written year-month-day.

/// Days since 1970-01-01 in the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub i64);

impl Day {
    /// From year, month and day; None when there is no such day. Algorithm: H. Hinnant,
    /// "chrono-compatible low-level
    /// date algorithms", days_from_civil.
    pub fn from_civil(year: i64, month: i64, day: i64) -> Option<Day> {
        if !(1900..=2200).contains(&year)
            || !(1..=12).contains(&month)
            || day < 1
            || day > month_length(year, month)
        {
            return None;
        }
        let y = if month <= 2 { year - 1 } else { year };
        let era = y.div_euclid(400);
        let year_of_era = y - era * 400;
        let day_of_year = (153 * (if month > 2 { month - 3 } else { month + 9 }) + 2) / 5 + day - 1;
        let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
        Some(Day(era * 146_097 + day_of_era - 719_468))
    }

    /// Reads “2026-12-01”, and “31.12.2026” or “31/12/2026”. With points the day stands before the
    /// month; with other marks only where one of
    /// the two can be no month, since of 03/12 nobody knows which is which.
    pub fn read(text: &str) -> Option<Day> {
        let text = text.trim();
        let mut parts = text
            .split(['-', '/', '.'])
            .map(|p| p.trim().parse::<i64>().ok());
        let (Some(a), Some(b), Some(c), None) =
            (parts.next()?, parts.next()?, parts.next()?, parts.next())
        else {
            return None;
        };
        if a > 31 {
            return Day::from_civil(a, b, c);
        }
        match (text.contains(['-', '/']), a > 12, b > 12) {
            (false, ..) | (_, true, _) => Day::from_civil(c, b, a),
            (_, _, true) => Day::from_civil(c, a, b),
            _ if a == b => Day::from_civil(c, b, a),
            _ => None,
        }
    }

    /// A typed day as it is written everywhere; as it was typed where it cannot be read.
    pub fn tidy(text: &str) -> String {
        Day::read(text).map_or_else(|| text.trim().to_string(), Day::show)
    }

    /// So many days later; earlier where negative.
    pub fn plus(self, days: i64) -> Day {
        Day(self.0.saturating_add(days))
    }

    /// The day so many days earlier; None before the first or after the last day that is read here.
    pub fn back(self, days: i64) -> Option<Day> {
        self.0
            .checked_sub(days)
            .map(Day)
            .filter(|d| (-25_567..=84_370).contains(&d.0))
    }

    /// Writes “2026-12-01”. Algorithm: H. Hinnant, as above, civil_from_days.
    pub fn show(self) -> String {
        let z = self.0.saturating_add(719_468);
        let era = z.div_euclid(146_097);
        let day_of_era = z - era * 146_097;
        let year_of_era =
            (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let shifted = (5 * day_of_year + 2) / 153;
        let month = if shifted < 10 {
            shifted + 3
        } else {
            shifted - 9
        };
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        format!(
            "{year:04}-{month:02}-{:02}",
            day_of_year - (153 * shifted + 2) / 5 + 1
        )
    }

    /// Days from `self` to `later`.
    pub fn until(self, later: Day) -> i64 {
        later.0 - self.0
    }
}

/// The text with each day in it (“2027-03-15”) followed by what `own` calls it, in brackets; after
/// a comma where it stands in
/// brackets already. Nothing is taken away, and a second time changes nothing more.
pub fn beside(text: &str, own: &dyn Fn(&str) -> Option<String>) -> String {
    const LENGTH: usize = "2027-03-15".len();
    let (mut all, mut done) = (String::new(), 0);
    // Its fifth letter is the first hyphen.
    for (hyphen, byte) in text.bytes().enumerate() {
        let Some(at) = hyphen
            .checked_sub(4)
            .filter(|at| byte == b'-' && *at >= done)
        else {
            continue;
        };
        let (Some(before), Some(day), Some(tail)) = (
            text.get(..at),
            text.get(at..at + LENGTH),
            text.get(at + LENGTH..),
        ) else {
            continue;
        };
        let digits = day.bytes().all(|b| b.is_ascii_digit() || b == b'-');
        // In an address or a number of a document it is no day.
        let within = |c: Option<char>| {
            c.is_some_and(|c| {
                c.is_ascii_alphanumeric() || matches!(c, '/' | '-' | '_' | '\u{c0}'..='\u{1fff}')
            })
        };
        if !digits
            || within(before.chars().next_back())
            || within(tail.chars().next())
            || Day::read(day).is_none()
        {
            continue;
        }
        let Some(own) = own(day) else { continue };
        let shown = if before.ends_with('(') {
            [", ", &own].concat()
        } else {
            [" (", &own, ")"].concat()
        };
        all.push_str(text.get(done..at + LENGTH).unwrap_or_default());
        if !tail.starts_with(&shown) {
            all.push_str(&shown);
        }
        done = at + LENGTH;
    }
    all.push_str(text.get(done..).unwrap_or_default());
    all
}

fn month_length(year: i64, month: i64) -> i64 {
    match month {
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_reads_back_as_it_was_shown() {
        for n in (-25_000..80_000).step_by(17) {
            assert_eq!(Day::read(&Day(n).show()), Some(Day(n)));
        }
        assert_eq!(
            Day::read("2027-03-15")
                .and_then(|d| d.back(42))
                .map(Day::show),
            Some("2027-02-01".into())
        );
    }

    #[test]
    fn a_day_stands_beside_its_own_name() {
        let own = |day: &str| {
            (day != "2027-03-16").then(|| format!("{}!", day.get(5..).unwrap_or_default()))
        };
        for (text, shown) in [
            (
                "1. 2027-03-15: fined (2026-12-01).",
                "1. 2027-03-15 (03-15!): fined (2026-12-01, 12-01!).",
            ),
            ("2027-03-15, 2027-03-16", "2027-03-15 (03-15!), 2027-03-16"),
            (
                "https://a.org/2027-03-15/x 12027-03-15 2027-03-15-1 2027-02-30 20é7-03-15 -",
                "https://a.org/2027-03-15/x 12027-03-15 2027-03-15-1 2027-02-30 20é7-03-15 -",
            ),
            ("", ""),
        ] {
            assert_eq!(beside(text, &own), shown);
            assert_eq!(beside(shown, &own), shown);
        }
    }

    #[test]
    fn counts_days() {
        assert_eq!(Day::read("1970-01-01"), Some(Day(0)));
        assert_eq!(Day::read("2000-03-01"), Some(Day(11_017)));
        assert_eq!(Day::read("2026-02-30"), None);
        assert_eq!(Day::read("soon"), None);
        let last = Day::from_civil(2026, 12, 31);
        for text in [
            "2026-12-31",
            "2026/12/31",
            "31.12.2026",
            "31/12/2026",
            " 31-12-2026 ",
            "12/31/2026",
            "31 . 12 . 2026",
        ] {
            assert_eq!(Day::read(text), last, "{text}");
        }
        assert_eq!(Day::read("3.12.2026"), Day::from_civil(2026, 12, 3));
        assert_eq!(Day::read("03/03/2026"), Day::from_civil(2026, 3, 3));
        for text in [
            "03/12/2026",
            "3-12-2026",
            "31.13.2026",
            "12.31.2026",
            "31/12/26",
            "31/12",
            "1/2/3/2026",
            "--",
            "31..2026",
            "-1-2-2026",
            "0/0/2026",
        ] {
            assert_eq!(Day::read(text), None, "{text}");
        }
        assert_eq!(
            (Day::tidy(" 31/12/2026"), Day::tidy("in May ")),
            ("2026-12-31".into(), "in May".into())
        );
        let days = Day::read("2026-11-25")
            .zip(Day::read("2027-01-04"))
            .map(|(a, b)| a.until(b));
        assert_eq!(days, Some(40));
    }

    #[test]
    fn every_day_reads_back_as_it_was_written() {
        let start = Day::read("1999-12-31").unwrap();
        for n in 0..20_000 {
            let day = start.plus(n);
            assert_eq!(Day::read(&day.show()), Some(day), "{}", day.show());
        }
    }
}
