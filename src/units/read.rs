//! Reads numbers as people type them: comma or point, spaces, a typed unit. No panic, whatever is typed.

/// Why a text is not a number that can be used. The words for it are made in one place, [`ReadError::message`].
#[derive(Debug, Clone, PartialEq)]
pub enum ReadError {
    /// No digits, or something that is not part of a number.
    NotANumber,
    /// One separator and three digits: 1200 or 1.2?
    Ambiguous(f64, f64),
    /// A unit that this quantity is not given in.
    Unit(String),
    /// Outside what is believable.
    Range(f64, f64),
}

impl ReadError {
    /// What is wrong and how to mend it.
    pub fn message(&self, unit: &str) -> String {
        use super::show::plain;
        match self {
            ReadError::NotANumber => {
                format!("Write a number{}, for example 3.25 or 3,25.", with(unit))
            }
            ReadError::Ambiguous(a, b) => format!("Write {} or {} so that it reads one way only.", plain(*a), plain(*b)),
            ReadError::Unit(u) => format!("The unit “{u}” is not one used here: write the number{}.", with(unit)),
            ReadError::Range(low, high) => {
                format!("Write a value from {} to {}{}.", plain(*low), plain(*high), if unit.is_empty() { String::new() } else { format!(" {unit}") })
            }
        }
    }
}

fn with(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" in {unit}") }
}

/// A number with the unit typed after it, and the second way to read it where there is one.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// The value.
    pub value: f64,
    /// The other reading of “1,200”.
    pub other: Option<f64>,
    /// The unit as typed, trimmed; empty when none was.
    pub unit: String,
}

/// Splits a text into number and unit.
pub fn typed(text: &str) -> Result<Typed, ReadError> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, ',' | '.' | '-' | '−' | '+' | '\'' | '’') || c.is_whitespace()))
        .map_or(text.len(), |(i, _)| i);
    let (number, unit) = text.split_at(end);
    let (value, other) = decimal(number)?;
    Ok(Typed { value, other, unit: unit.trim().to_string() })
}

/// Reads a decimal: mantissa as an integer below 2^53 divided by a power of ten, so the result is exactly rounded.
fn decimal(text: &str) -> Result<(f64, Option<f64>), ReadError> {
    let compact: String = text.chars().filter(|c| !c.is_whitespace() && !matches!(c, '\'' | '’')).collect();
    let (negative, digits) = match compact.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, compact.strip_prefix('+').unwrap_or(&compact)),
    };
    let marks: Vec<char> = digits.chars().filter(|c| !c.is_ascii_digit()).collect();
    if marks.iter().any(|c| !matches!(c, ',' | '.')) || digits.chars().filter(char::is_ascii_digit).count() == 0 {
        return Err(ReadError::NotANumber);
    }
    let last = marks.last().copied();
    let kinds_differ = marks.first() != marks.last();
    // Several of one mark can only be thousands; two kinds: the last is the decimal mark.
    let decimal_mark = if marks.len() > 1 && !kinds_differ { None } else { last };
    if let Some(mark) = decimal_mark
        && digits.chars().filter(|c| *c == mark).count() > 1
    {
        return Err(ReadError::NotANumber);
    }
    let sign = if negative { -1.0 } else { 1.0 };
    let value = sign * assemble(digits, decimal_mark)?;
    let other = match (marks.as_slice(), digits.split_once([',', '.'])) {
        ([_], Some((whole, rest))) if rest.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') => Some(sign * assemble(digits, None)?),
        _ => None,
    };
    Ok((value, other))
}

fn assemble(digits: &str, decimal_mark: Option<char>) -> Result<f64, ReadError> {
    let (mut mantissa, mut places, mut after) = (0_u64, 0_i32, false);
    for c in digits.chars() {
        if Some(c) == decimal_mark {
            after = true;
        } else if let Some(d) = c.to_digit(10) {
            if mantissa > 900_000_000_000_000 {
                return Err(ReadError::NotANumber);
            }
            mantissa = mantissa * 10 + u64::from(d);
            places += i32::from(after);
        }
    }
    let mut scale = 1.0;
    for _ in 0..places {
        scale *= 10.0;
    }
    Ok(mantissa as f64 / scale)
}

/// Reads a measurement in `unit`, or in another unit that converts to it, between `least` and `most`.
pub fn measurement(text: &str, unit: &str, least: f64, most: f64) -> Result<f64, ReadError> {
    let t = typed(text)?;
    let convert = converter(unit, &t.unit).ok_or_else(|| ReadError::Unit(t.unit.clone()))?;
    within(convert(t.value), t.other.map(convert), least, most)
}

/// Reads a volume in litres; accepts L, hL, m³, US gallons.
pub fn litres(text: &str) -> Result<f64, ReadError> {
    let t = typed(text)?;
    let factor = match squeeze(&t.unit).as_str() {
        "" | "l" | "litres" | "liters" | "litre" | "liter" => 1.0,
        "hl" => 100.0,
        "m3" | "m³" => 1000.0,
        "ml" => 0.001,
        "gal" | "usgal" | "gallons" | "gallon" => super::LITRES_PER_US_GALLON,
        _ => return Err(ReadError::Unit(t.unit)),
    };
    within(t.value * factor, t.other.map(|o| o * factor), 0.1, 10_000_000.0)
}

/// Reads an amount of money per hectolitre, 0 or more.
pub fn money(text: &str) -> Result<f64, ReadError> {
    let t = typed(text.trim_start_matches(['€', '$', '£', ' ']))?;
    match squeeze(&t.unit).as_str() {
        "" | "€" | "eur" | "€/hl" | "eur/hl" | "/hl" | "$" | "usd" | "usd/hl" | "$/hl" => within(t.value, t.other, 0.0, 1_000_000.0),
        _ => Err(ReadError::Unit(t.unit)),
    }
}

fn within(value: f64, other: Option<f64>, least: f64, most: f64) -> Result<f64, ReadError> {
    let fits = |v: f64| (least..=most).contains(&v);
    match other {
        Some(o) if fits(o) && fits(value) => Err(ReadError::Ambiguous(o, value)),
        Some(o) if fits(o) => Ok(o),
        _ if fits(value) => Ok(value),
        _ => Err(ReadError::Range(least, most)),
    }
}

fn squeeze(unit: &str) -> String {
    unit.chars().filter(|c| !c.is_whitespace()).map(super::show::small).collect()
}

fn converter(own: &str, given: &str) -> Option<fn(f64) -> f64> {
    let given = squeeze(given);
    if given.is_empty() || given == squeeze(own) {
        return Some(|v| v);
    }
    match (own, given.as_str()) {
        ("mg/L", "g/l") => Some(|v| v * 1000.0),
        ("mg/L", "ppm" | "mg/kg") => Some(|v| v),
        ("mg/L", "g/hl") => Some(|v| v * 10.0),
        ("g/L", "mg/l") => Some(|v| v / 1000.0),
        ("g/L", "g/hl") => Some(|v| v / 100.0),
        ("g/L", "%") => Some(|v| v * 10.0),
        ("% vol", "%" | "vol" | "%v/v" | "abv" | "°") => Some(|v| v),
        ("°C", "c" | "°") => Some(|v| v),
        ("°C", "f" | "°f") => Some(|v| (v - 32.0) / 1.8),
        ("NTU", "ntu") | ("", "ph") => Some(|v| v),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ph(text: &str) -> Result<f64, ReadError> {
        measurement(text, "", 2.5, 4.6)
    }

    #[test]
    fn reads_what_people_type() {
        assert_eq!(ph("3,25"), Ok(3.25));
        assert_eq!(ph(" 3.25 pH"), Ok(3.25));
        assert_eq!(measurement("1200 mg/L", "g/L", 0.0, 15.0), Ok(1.2));
        assert_eq!(measurement("-4 °C", "°C", -6.0, 45.0), Ok(-4.0));
        assert_eq!(measurement("59 °F", "°C", -6.0, 45.0), Ok(15.0));
        assert_eq!(litres("1 200"), Ok(1200.0));
        assert_eq!(litres("1.200,5"), Ok(1200.5));
        assert_eq!(litres("12 hL"), Ok(1200.0));
    }

    #[test]
    fn says_when_a_text_reads_two_ways() {
        assert_eq!(litres("1,200"), Err(ReadError::Ambiguous(1200.0, 1.2)));
        // Only one reading is believable for a pH or a potassium content.
        assert_eq!(ph("3.256"), Ok(3.256));
        assert_eq!(measurement("1,200", "mg/L", 100.0, 4000.0), Ok(1200.0));
    }

    #[test]
    fn refuses_the_rest_without_panic() {
        for text in ["", "abc", "--3", "1,2,3.4.5", "١٢", "9999999999999999999999", "NaN", "1e5", "3 / 4", "∞"] {
            assert!(ph(text).is_err(), "{text}");
            assert!(!ph(text).err().map(|e| e.message("pH")).unwrap_or_default().is_empty());
        }
        assert_eq!(ph("7"), Err(ReadError::Range(2.5, 4.6)));
        assert_eq!(measurement("-5", "mg/L", 0.0, 200.0), Err(ReadError::Range(0.0, 200.0)));
    }
}
