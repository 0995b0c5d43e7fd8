//! Shows numbers: the one place where a figure becomes text.

/// A number with at most three significant figures, without trailing zeros.
pub fn plain(value: f64) -> String {
    let size = value.abs();
    let places = if size >= 100.0 || size == 0.0 {
        0
    } else if size >= 10.0 {
        1
    } else if size >= 1.0 {
        2
    } else {
        3
    };
    fixed(value, places)
}

/// A number rounded to so many decimals, trailing zeros dropped. Integer arithmetic, so it reads
/// alike on every machine
/// and no float formatter is linked for it.
pub fn fixed(value: f64, places: u32) -> String {
    if !value.is_finite() {
        return "–".to_string();
    }
    let scale = 10_u64.saturating_pow(places.min(6));
    let scaled = libm::round(value.abs() * scale as f64);
    if scaled > 9.0e15 {
        return "–".to_string();
    }
    let scaled = scaled as u64;
    let (whole, part) = (scaled / scale, scaled % scale);
    let sign = if value < 0.0 && scaled > 0 { "−" } else { "" };
    if part == 0 {
        return format!("{sign}{whole}");
    }
    let width = places as usize;
    let tail = format!("{part:0width$}");
    format!("{sign}{whole}.{}", tail.trim_end_matches('0'))
}

/// “3–10”, or one number where both ends read alike.
pub fn range(low: f64, high: f64) -> String {
    let (a, b) = (plain(low), plain(high));
    if a == b { a } else { format!("{a}–{b}") }
}

/// “1 day”, “3–10 days”; within a day in whole hours, “4–6 h”.
pub fn days(low: f64, high: f64) -> String {
    if low > 0.0 && low < 1.0 && high <= 1.0 {
        let (a, b) = (fixed(low * 24.0, 0), fixed(high * 24.0, 0));
        return if a == b {
            format!("{a} h")
        } else {
            format!("{a}–{b} h")
        };
    }
    let text = range(low, high);
    if text == "1" {
        "1 day".into()
    } else {
        format!("{text} days")
    }
}

/// A name inside a sentence: its first letter small, the rest as it is (“free SO₂”, “pH”, “80 °C”);
/// initials (“CMC”) and the
/// name of a genus stay.
pub fn inside(name: &str) -> String {
    if name.starts_with("Brettanomyces")
        || name.chars().take(2).filter(|c| c.is_uppercase()).count() == 2
    {
        return name.to_string();
    }
    let mut letters = name.chars();
    letters
        .next()
        .map(small)
        .into_iter()
        .chain(letters)
        .collect()
}

/// The first letter large, the rest as it is.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|c| c.to_ascii_uppercase())
        .into_iter()
        .chain(letters)
        .collect()
}

/// All letters small, of the Latin alphabet with its usual accents. The tables of all alphabets
/// weigh kilobytes, and no name
/// here is in another.
pub fn lower(text: &str) -> String {
    text.chars().map(small).collect()
}

/// The small letter of a Latin capital.
pub fn small(c: char) -> char {
    match c {
        'A'..='Z' | 'À'..='Ö' | 'Ø'..='Þ' => char::from_u32(c as u32 + 32).unwrap_or(c),
        _ => c,
    }
}

/// Names inside a sentence, one after another.
pub fn listed(names: &[&str]) -> String {
    names
        .iter()
        .map(|n| inside(n))
        .collect::<Vec<_>>()
        .join(", ")
}

/// A share of 0 to 1 as a whole percentage.
pub fn percent(share: f64) -> String {
    format!("{} %", fixed(share * 100.0, 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shows_short_numbers() {
        assert_eq!(plain(3.256), "3.26");
        assert_eq!(plain(299.57), "300");
        assert_eq!(plain(0.0499), "0.05");
        assert_eq!(plain(-4.5), "−4.5");
        assert_eq!(plain(f64::NAN), "–");
        assert_eq!(range(2.0, 2.0), "2");
        assert_eq!(percent(0.155), "16 %");
        assert_eq!(
            [
                days(1.0, 1.0),
                days(0.17, 0.25),
                days(0.5, 0.5),
                days(0.0, 1.0),
                days(0.5, 2.0)
            ],
            ["1 day", "4–6 h", "12 h", "0–1 days", "0.5–2 days"]
        );
        assert_eq!(
            (lower("ÀÖ×ØÞ SO₂ ßé"), sentence("é a"), sentence("white")),
            ("àö×øþ so₂ ßé".into(), "é a".into(), "White".into())
        );
        assert!(
            (0..0x250)
                .filter_map(char::from_u32)
                .all(|c| c > 'Þ' || c.to_lowercase().eq([small(c)]))
        );
        assert_eq!(
            (inside("Free SO₂"), inside("pH"), inside("")),
            ("free SO₂".into(), "pH".into(), String::new())
        );
        assert_eq!(
            listed(&[
                "CMC (cellulose gum)",
                "DL-tartaric (racemic) acid",
                "Brettanomyces",
                "Free SO₂"
            ]),
            "CMC (cellulose gum), DL-tartaric (racemic) acid, Brettanomyces, free SO₂"
        );
    }
}
