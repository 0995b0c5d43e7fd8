//! Days of the calendar, written year-month-day.

/// Days since 1970-01-01 in the Gregorian calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub i64);

impl Day {
    /// From year, month and day; None when there is no such day. Algorithm: H. Hinnant, "chrono-compatible low-level
    /// date algorithms", days_from_civil.
    pub fn from_civil(year: i64, month: i64, day: i64) -> Option<Day> {
        if !(1900..=2200).contains(&year) || !(1..=12).contains(&month) || day < 1 || day > month_length(year, month) {
            return None;
        }
        let y = if month <= 2 { year - 1 } else { year };
        let era = y.div_euclid(400);
        let year_of_era = y - era * 400;
        let day_of_year = (153 * (if month > 2 { month - 3 } else { month + 9 }) + 2) / 5 + day - 1;
        let day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
        Some(Day(era * 146_097 + day_of_era - 719_468))
    }

    /// Reads “2026-12-01”.
    pub fn read(text: &str) -> Option<Day> {
        let mut parts = text.trim().split('-').map(|p| p.parse::<i64>().ok());
        match (parts.next()?, parts.next()?, parts.next()?, parts.next()) {
            (Some(y), Some(m), Some(d), None) => Day::from_civil(y, m, d),
            _ => None,
        }
    }

    /// Written “2026-12-01”. Algorithm: the same text, civil_from_days.
    pub fn text(self) -> String {
        let z = self.0.saturating_add(719_468);
        let era = z.div_euclid(146_097);
        let day_of_era = z - era * 146_097;
        let year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
        let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let mp = (5 * day_of_year + 2) / 153;
        let (day, month) = (day_of_year - (153 * mp + 2) / 5 + 1, if mp < 10 { mp + 3 } else { mp - 9 });
        let year = year_of_era + era * 400 + i64::from(month <= 2);
        format!("{year:04}-{month:02}-{day:02}")
    }

    /// Days from `self` to `later`.
    pub fn until(self, later: Day) -> i64 {
        later.0 - self.0
    }
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
    fn writes_what_it_reads() {
        for n in [0_i64, 11_016, 11_017, 20_782, -25_567, 84_006] {
            assert_eq!(Day::read(&Day(n).text()), Some(Day(n)), "{}", Day(n).text());
        }
        assert_eq!(Day(11_017).text(), "2000-03-01");
    }

    #[test]
    fn counts_days() {
        assert_eq!(Day::read("1970-01-01"), Some(Day(0)));
        assert_eq!(Day::read("2000-03-01"), Some(Day(11_017)));
        assert_eq!(Day::read("2026-02-30"), None);
        assert_eq!(Day::read("soon"), None);
        let days = Day::read("2026-11-25").zip(Day::read("2027-01-04")).map(|(a, b)| a.until(b));
        assert_eq!(days, Some(40));
    }
}
