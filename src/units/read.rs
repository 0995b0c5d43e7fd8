//! Reads numbers as people type them: comma or point, spaces, a typed unit. No panic, whatever is
//! typed.

use super::molar;

/// Why a text is not a number that can be used. The words for it are made in one place,
/// [`ReadError::message`].
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

impl std::fmt::Display for ReadError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.message(""))
    }
}

impl std::error::Error for ReadError {}

impl ReadError {
    /// What is wrong and how to mend it.
    pub fn message(&self, unit: &str) -> String {
        use super::show::plain;
        match self {
            ReadError::NotANumber => {
                format!(
                    "Write a number{}, for example 3.25; a comma will do too.",
                    with(unit)
                )
            }
            ReadError::Ambiguous(a, b) => format!(
                "Write {} or {} so that it reads one way only.",
                plain(*a),
                plain(*b)
            ),
            ReadError::Unit(u) => format!(
                "The unit “{u}” is not one used here: write the number{}.",
                with(unit)
            ),
            ReadError::Range(low, high) => {
                format!(
                    "Write a value from {} to {}{}.",
                    plain(*low),
                    plain(*high),
                    if unit.is_empty() {
                        String::new()
                    } else {
                        format!(" {unit}")
                    }
                )
            }
        }
    }
}

/// The unit, and the others that can be typed for it.
fn with(unit: &str) -> String {
    if unit.is_empty() {
        return String::new();
    }
    let mut all = [" in ", unit].concat();
    for (_, other, _) in CONVERSIONS
        .iter()
        .filter(|c| c.0 == unit || c.0 == bare(unit))
    {
        all.push_str(" or ");
        all.push_str(other);
    }
    all
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
        .find(|(_, c)| {
            !(c.is_ascii_digit()
                || matches!(c, ',' | '.' | '-' | '−' | '+' | '\'' | '’')
                || c.is_whitespace())
        })
        .map_or(text.len(), |(i, _)| i);
    let (number, unit) = text.split_at(end);
    let (value, other) = decimal(number)?;
    Ok(Typed {
        value,
        other,
        unit: unit.trim().to_string(),
    })
}

/// Reads a decimal: mantissa as an integer below 2^53 divided by a power of ten, so the result is
/// exactly rounded.
fn decimal(text: &str) -> Result<(f64, Option<f64>), ReadError> {
    let compact: String = text
        .chars()
        .filter(|c| !c.is_whitespace() && !matches!(c, '\'' | '’'))
        .collect();
    let (negative, digits) = match compact.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, compact.strip_prefix('+').unwrap_or(&compact)),
    };
    let marks: Vec<char> = digits.chars().filter(|c| !c.is_ascii_digit()).collect();
    if marks.iter().any(|c| !matches!(c, ',' | '.'))
        || digits.chars().filter(char::is_ascii_digit).count() == 0
    {
        return Err(ReadError::NotANumber);
    }
    let last = marks.last().copied();
    let kinds_differ = marks.first() != marks.last();
    // Several of one mark can only be thousands; two kinds: the last is the decimal mark.
    let decimal_mark = if marks.len() > 1 && !kinds_differ {
        None
    } else {
        last
    };
    if let Some(mark) = decimal_mark
        && digits.chars().filter(|c| *c == mark).count() > 1
    {
        return Err(ReadError::NotANumber);
    }
    let sign = if negative { -1.0 } else { 1.0 };
    let value = sign * assemble(digits, decimal_mark)?;
    let other = match (marks.as_slice(), digits.split_once([',', '.'])) {
        ([_], Some((whole, rest)))
            if rest.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') =>
        {
            Some(sign * assemble(digits, None)?)
        }
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

/// Reads a measurement in `unit`, or in another unit that converts to it, between `least` and
/// `most`.
pub fn measurement(text: &str, unit: &str, least: f64, most: f64) -> Result<f64, ReadError> {
    let t = typed(text)?;
    let convert = converter(unit, &t.unit).ok_or_else(|| ReadError::Unit(t.unit.clone()))?;
    within(
        convert.of(t.value),
        t.other.map(|o| convert.of(o)),
        least,
        most,
    )
}

/// What a laboratory found: a figure, or that it lies below what it can tell, “< 0.5”.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// The figure, or the most that it may be.
    pub value: f64,
    /// Whether it is only known to be at most that.
    pub at_most: bool,
}

/// Reads what a laboratory found, as [`measurement`] does; a “<” or “≤” before the number makes it
/// a bound, which says nothing where
/// it is the least that is believable.
pub fn found(text: &str, unit: &str, least: f64, most: f64) -> Result<Found, ReadError> {
    let text = text.trim();
    let Some(bound) = text
        .strip_prefix(['<', '≤'])
        .map(|rest| rest.strip_prefix('=').unwrap_or(rest))
    else {
        return Ok(Found {
            value: measurement(text, unit, least, most)?,
            at_most: false,
        });
    };
    let value = measurement(bound, unit, least, most)?;
    if value > least {
        Ok(Found {
            value,
            at_most: true,
        })
    } else {
        Err(ReadError::NotANumber)
    }
}

/// Reads a volume in litres; accepts L, hL, m³, US gallons. A bare number is litres.
pub fn litres(text: &str) -> Result<f64, ReadError> {
    measurement(text, "L", 0.1, 10_000_000.0)
}

/// A dose in `unit`, the label of its basis, where it was typed with another unit that is surely
/// the same kind: “2 lb/1000 gal”
/// is “23.97” in g/hL, to 0.005 from 1 on and to 0.00005 below. The unit itself is taken off. Any
/// other text stays as it is.
pub fn in_own(text: &str, unit: &str) -> String {
    let Some(t) = typed(text).ok().filter(|t| !t.unit.is_empty()) else {
        return text.to_string();
    };
    // “mg/L as Cu” counts a part of the product, which another unit would leave open.
    let (own, part) = unit
        .split_once(' ')
        .map_or((unit, false), |(own, _)| (own, true));
    if squeeze(&t.unit) == squeeze(own) {
        return text
            .trim()
            .strip_suffix(&*t.unit)
            .unwrap_or(text)
            .trim_end()
            .to_string();
    }
    match converter(own, &t.unit).filter(|_| !part && t.other.is_none()) {
        Some(convert) => {
            let value = convert.of(t.value);
            super::show::fixed(value, if value.abs() < 1.0 { 4 } else { 2 })
        }
        None => text.to_string(),
    }
}

/// Reads an amount of money, 0 or more.
pub fn money(text: &str) -> Result<f64, ReadError> {
    coins(text, false)
}

/// Reads an amount of money per hectolitre, 0 or more; accepts it per US gallon or per 1000 of
/// them.
pub fn money_per_hl(text: &str) -> Result<f64, ReadError> {
    coins(text, true)
}

fn coins(text: &str, gallons: bool) -> Result<f64, ReadError> {
    let t = typed(text.trim_start_matches(['€', '$', '£', ' ']))?;
    let unit = squeeze(&t.unit);
    let per = ["eur", "usd", "€", "$"]
        .iter()
        .find_map(|coin| unit.strip_prefix(coin))
        .unwrap_or(&unit);
    let factor = match per {
        "" | "/hl" => 1.0,
        "/gal" if gallons => 100.0 / super::LITRES_PER_US_GALLON,
        "/1000gal" if gallons => 0.1 / super::LITRES_PER_US_GALLON,
        _ => return Err(ReadError::Unit(t.unit)),
    };
    within(
        t.value * factor,
        t.other.map(|o| o * factor),
        0.0,
        1_000_000.0,
    )
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
    let digit = |c| match c {
        '₂' => '2',
        '₄' => '4',
        c => super::show::small(c),
    };
    unit.chars()
        .filter(|c| !c.is_whitespace())
        .map(digit)
        .collect()
}

/// A unit without what it counts: “g/L” of “g/L as tartaric acid”.
fn bare(unit: &str) -> &str {
    unit.split_once(" as ").map_or(unit, |(bare, _)| bare)
}

/// From a unit typed to the own one: taken less, times, over.
#[derive(Debug, Clone, Copy)]
struct Conversion(f64, f64, f64);

impl Conversion {
    fn of(self, value: f64) -> f64 {
        (value - self.0) * self.1 / self.2
    }
}

/// Grams a hectolitre that a pound per 1000 US gallons is.
const POUND: f64 = super::GRAMS_PER_POUND / (10.0 * super::LITRES_PER_US_GALLON);

/// Own unit, unit typed, conversion. These are the units that a message names.
static CONVERSIONS: [(&str, &str, Conversion); 23] = [
    // An acid has the acidity of so much sulfuric acid, by equivalents, of which tartaric and
    // sulfuric acid have two and acetic acid one:
    // 1 g/L of sulfuric acid is 1.530 g/L of tartaric acid and 1.2245 of acetic acid; 1 meq/L is
    // 0.07504 and 0.06005.
    (
        TARTARIC,
        "g/L H₂SO₄",
        Conversion(0.0, molar::TARTARIC, molar::SULFURIC),
    ),
    (TARTARIC, "meq/L", Conversion(0.0, molar::TARTARIC, 2000.0)),
    (
        ACETIC,
        "g/L H₂SO₄",
        Conversion(0.0, 2.0 * molar::ACETIC, molar::SULFURIC),
    ),
    (ACETIC, "meq/L", Conversion(0.0, molar::ACETIC, 1000.0)),
    ("mg/L", "g/L", Conversion(0.0, 1000.0, 1.0)),
    ("mg/L", "g/hL", Conversion(0.0, 10.0, 1.0)),
    ("mg/L", "ppm", Conversion(0.0, 1.0, 1.0)),
    ("mg/L", "lb/1000 gal", Conversion(0.0, 10.0 * POUND, 1.0)),
    ("g/L", "mg/L", Conversion(0.0, 1.0, 1000.0)),
    ("g/L", "g/hL", Conversion(0.0, 1.0, 100.0)),
    ("g/L", "g/100 mL", Conversion(0.0, 10.0, 1.0)),
    ("g/L", "%", Conversion(0.0, 10.0, 1.0)),
    ("g/hL", "mg/L", Conversion(0.0, 1.0, 10.0)),
    ("g/hL", "g/L", Conversion(0.0, 100.0, 1.0)),
    ("g/hL", "lb/1000 gal", Conversion(0.0, POUND, 1.0)),
    ("mL/hL", "mL/L", Conversion(0.0, 100.0, 1.0)),
    ("mL/hL", "fl oz/1000 gal", Conversion(0.0, 1.0, 1.28)),
    ("mL/hL", "gal/1000 gal", Conversion(0.0, 100.0, 1.0)),
    ("°C", "°F", Conversion(32.0, 1.0, 1.8)),
    ("L", "mL", Conversion(0.0, 1.0, 1000.0)),
    ("L", "hL", Conversion(0.0, 100.0, 1.0)),
    ("L", "m³", Conversion(0.0, 1000.0, 1.0)),
    (
        "L",
        "gal",
        Conversion(0.0, super::LITRES_PER_US_GALLON, 1.0),
    ),
];

/// What titratable acidity is counted in.
pub const TARTARIC: &str = "g/L as tartaric acid";
/// What volatile acidity is counted in.
pub const ACETIC: &str = "g/L as acetic acid";
/// Names of the acid that an acidity is counted in, squeezed, in the languages of the page, the
/// longer first; what one stands for,
/// empty for the own one.
static BASES: [(&str, &str, &str); 16] = [
    (TARTARIC, "tartaricacid", ""),
    (TARTARIC, "acidetartrique", ""),
    (TARTARIC, "ácidotartárico", ""),
    (TARTARIC, "tartaric", ""),
    (TARTARIC, "tartrique", ""),
    (TARTARIC, "tartárico", ""),
    (ACETIC, "aceticacid", ""),
    (ACETIC, "acideacétique", ""),
    (ACETIC, "ácidoacético", ""),
    (ACETIC, "acetic", ""),
    (ACETIC, "acétique", ""),
    (ACETIC, "acético", ""),
    ("", "h2so4", "h2so4"),
    ("", "sulfuricacid", "h2so4"),
    ("", "acidesulfurique", "h2so4"),
    ("", "ácidosulfúrico", "h2so4"),
];

/// An acidity as typed, “g H2SO4/L”, “g/L en acide sulfurique”, as the unit of the table:
/// “g/lh2so4”. The acid alone counts in g/L.
fn acidity(own: &str, given: String) -> String {
    let named = BASES
        .iter()
        .find(|(of, name, _)| (of.is_empty() || *of == own) && given.contains(name));
    let Some((_, name, stands_for)) = named else {
        return given.replace("méq", "meq");
    };
    let unit = given.replacen(name, "", 1);
    let unit = ["as", "en", "()"]
        .iter()
        .find_map(|link| unit.strip_suffix(link))
        .unwrap_or(&unit);
    [if unit.is_empty() { "g/l" } else { unit }, stands_for].concat()
}

fn converter(own: &str, given: &str) -> Option<Conversion> {
    let own_bare = bare(own);
    let given = if own_bare == own {
        squeeze(given)
    } else {
        acidity(own, squeeze(given))
    };
    // Other ways to write a unit.
    let given = match (own, given.as_str()) {
        ("% vol", "%" | "vol" | "%v/v" | "abv" | "°")
        | ("", "ph")
        | ("°C", "c" | "°")
        | ("L", "litres" | "liters" | "litre" | "liter") => "",
        ("mg/L", "mg/kg") => "ppm",
        ("°C", "f") => "°f",
        ("L", "m3") => "m³",
        ("L", "usgal" | "gallons" | "gallon") => "gal",
        (_, "lbs/1000gal") => "lb/1000gal",
        (_, other) => other,
    };
    if given.is_empty() || given == squeeze(own_bare) {
        return Some(Conversion(0.0, 1.0, 1.0));
    }
    CONVERSIONS
        .iter()
        .find(|c| (c.0 == own || c.0 == own_bare) && squeeze(c.1) == given)
        .map(|c| c.2)
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
    fn reads_what_is_typed_in_the_united_states() {
        let near = |read: Result<f64, ReadError>, wanted: f64| {
            assert!(
                read.as_ref().is_ok_and(|v| (v / wanted - 1.0).abs() < 1e-6),
                "{read:?} {wanted}"
            )
        };
        near(litres("1000 US gal"), 3_785.411_784);
        near(litres("60 gallons"), 227.124_707);
        assert_eq!((litres("60"), litres("60 L")), (Ok(60.0), Ok(60.0)));
        near(measurement("-25 F", "°C", -60.0, 45.0), -31.666_667);
        near(
            measurement("25 lb/1000 gal", "mg/L", 0.0, 4000.0),
            2_995.660_7,
        );
        near(measurement("0.65 g/100 mL", "g/L", 0.0, 20.0), 6.5);
        near(money_per_hl("$5 /gal"), 132.086_026);
        near(money_per_hl("20 USD/1000 gal"), 0.528_344_1);
        assert_eq!(
            (money_per_hl("12 EUR/hL"), money_per_hl("€12,5")),
            (Ok(12.0), Ok(12.5))
        );
        assert_eq!(money("5 $/gal"), Err(ReadError::Unit("$/gal".into())));
        assert_eq!(money_per_hl("5 /lb"), Err(ReadError::Unit("/lb".into())));
        assert_eq!(
            ReadError::Unit("lb".into()).message("°C"),
            "The unit “lb” is not one used here: write the number in °C or °F."
        );
        assert_eq!(
            ReadError::NotANumber.message("L"),
            "Write a number in L or mL or hL or m³ or gal, for example 3.25; a comma will do too."
        );
    }

    /// By equivalents: 98.079 g of sulfuric acid have the acidity of 150.09 g of tartaric and of
    /// 120.10 g of acetic acid.
    #[test]
    fn reads_acidity_as_it_is_written_elsewhere() {
        let near = |read: Result<f64, ReadError>, wanted: f64| {
            assert!(
                read.as_ref().is_ok_and(|v| (v / wanted - 1.0).abs() < 2e-4),
                "{read:?} {wanted}"
            )
        };
        let total = |text: &str| measurement(text, TARTARIC, 1.0, 20.0);
        let volatile = |text: &str| measurement(text, ACETIC, 0.0, 6.0);
        for text in [
            "4.65 g/L H2SO4",
            "4,65 g/L H₂SO₄",
            "4.65 g H2SO4/L",
            "4.65 h2so4",
            "4,65 g/L en H₂SO₄",
            "4.65 g/L as sulfuric acid",
            "4,65 g/L (H2SO4)",
            "4,65 g/L en acide sulfurique",
            "4,65 g/L ácido sulfúrico",
        ] {
            near(total(text), 4.65 * 1.530_30);
        }
        near(total("3.9 H2SO4"), 5.968);
        near(total("62 meq/L"), 62.0 * 0.075_045);
        near(total("80 méq/L"), 6.003_6);
        for text in [
            "6.5",
            "6.5 g/L",
            "6,5 g/L en acide tartrique",
            "6.5 g/L as tartaric acid",
            "6.5 tartaric",
            "6500 mg/L",
            "0.65 g/100 mL",
        ] {
            near(total(text), 6.5);
        }
        near(volatile("0,25 g/L H₂SO₄"), 0.25 * 1.2245);
        near(volatile("5 mEq/L"), 5.0 * 0.060_05);
        near(volatile("300 mg/L acetic acid"), 0.3);
        near(volatile("0.31 g/L en acide acétique"), 0.31);
        // Each acidity has its own basis, what is no acidity has none, and what else stands there
        // is not passed over.
        for refused in [
            total("6 g/L acetic acid"),
            total("6 g/L malic"),
            total("6 kg H2SO4"),
            volatile("0.3 tartaric"),
            volatile("0.3 g/L H2SO4 x"),
            measurement("2 g/L H2SO4", "g/L", 0.0, 15.0),
            measurement("20 meq/L", "g/L", 0.0, 15.0),
        ] {
            assert!(matches!(refused, Err(ReadError::Unit(_))), "{refused:?}");
        }
        // The range is that of the value, not of what was typed.
        assert_eq!(total("700 meq/L"), Err(ReadError::Range(1.0, 20.0)));
        assert!(
            ReadError::Unit("x".into())
                .message(TARTARIC)
                .starts_with("The unit “x” is not one used here: write the number in g/L as tartaric acid or g/L H₂SO₄ or meq/L or mg/L")
        );
    }

    #[test]
    fn a_dose_is_taken_over_in_its_own_unit() {
        let all = |texts: &[&str], unit: &str| {
            texts
                .iter()
                .map(|t| in_own(t, unit))
                .collect::<Vec<_>>()
                .join("; ")
        };
        assert_eq!(
            all(
                &[
                    "2 lb/1000 gal",
                    "0.05 lbs/1000 gal",
                    "60",
                    " 60 g/hL",
                    "600 mg/L",
                    "0,6 g/L"
                ],
                "g/hL"
            ),
            "23.97; 0.5991; 60; 60; 60; 60"
        );
        assert_eq!(
            all(
                &["1.28 fl oz/1000 gal", "2 gal/1000 gal", "0.5 mL/L"],
                "mL/hL"
            ),
            "1; 200; 50"
        );
        // What part of the product a pound counts is open, so it stays, and the field says so.
        assert_eq!(
            all(&["0.5 mg/L", "2 lb/1000 gal", "1 g/hL"], "mg/L as Cu"),
            "0.5; 2 lb/1000 gal; 1 g/hL"
        );
        assert_eq!(
            all(&["", "x", "2 lb", "1,200 mg/L", "3 L"], "g/hL"),
            "; x; 2 lb; 1,200 mg/L; 3 L"
        );
    }

    #[test]
    fn reads_what_a_laboratory_could_not_tell_from_nothing() {
        let sugar = |text: &str| found(text, "g/L", 0.0, 500.0);
        for text in [
            "< 0.5",
            "<0,5",
            "≤ 0.5 g/L",
            "<= 0.5",
            "< 500 mg/L",
            " <0.5",
        ] {
            assert_eq!(
                sugar(text),
                Ok(Found {
                    value: 0.5,
                    at_most: true
                }),
                "{text}"
            );
        }
        assert_eq!(
            sugar("0.5"),
            Ok(Found {
                value: 0.5,
                at_most: false
            })
        );
        assert_eq!(
            found("< 0,25 g/L H2SO4", ACETIC, 0.0, 6.0)
                .map(|f| (f.at_most, f.value > 0.306 && f.value < 0.3062)),
            Ok((true, true))
        );
        // Below nothing, or below the least that is believed, says nothing.
        for text in ["<", "<0", "< -1", "<< 1", "< x", "> 0.5", "0.5 <", "< 501"] {
            assert!(sugar(text).is_err(), "{text}");
        }
        assert!(found("< 2.5", "", 2.5, 4.6).is_err());
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
        for text in [
            "",
            "abc",
            "--3",
            "1,2,3.4.5",
            "١٢",
            "9999999999999999999999",
            "NaN",
            "1e5",
            "3 / 4",
            "∞",
        ] {
            assert!(!ph(text).unwrap_err().message("pH").is_empty(), "{text}");
        }
        assert_eq!(ph("7"), Err(ReadError::Range(2.5, 4.6)));
        assert_eq!(
            measurement("-5", "mg/L", 0.0, 200.0),
            Err(ReadError::Range(0.0, 200.0))
        );
    }
}
