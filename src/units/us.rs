//! The US figure beside each metric one, put into a finished text: “30 g/hL” becomes “30 g/hL (2.5
//! lb/1000 gal)”.
//!
//! The metric text stays as it is, letter by letter; something is only put in. What is not surely
//! one figure with one unit is
//! left alone. mg/L (1 mg/L is 1 ppm), g/L, the mL and grams of the bench, kWh and lengths stay
//! metric, as laboratories and
//! balances do there too.
//!
//! Rounding: to three significant digits, to whole units from 100 on, and to the safe side. Doses,
//! masses, volumes, flows and
//! pressures go down, since each may be a most: 25.036 reads 25. What is a least (“at least”, “or
//! more”, ≥, and the area of a
//! filter) goes up. Litres were rounded before they are read here, so what lacks no more than 0.14
//! of the last digit (half a
//! litre of a gallon) has it: 3785 L are 1000 gal. Money goes to the nearest. A temperature goes to
//! the nearest tenth of a
//! degree, which is exact for whole °C.

use super::{GRAMS_PER_POUND, LITRES_PER_US_GALLON, read, show};

/// Grams in an ounce: a sixteenth of a pound.
const OUNCE: f64 = GRAMS_PER_POUND / 16.0;
/// Square metres in a square foot of 0.3048 m.
const SQUARE_FOOT: f64 = 0.3048 * 0.3048;
/// Bar in a pound-force per square inch, 6.894 757 kPa.
const PSI: f64 = 0.068_947_57;

/// Which way a figure is rounded.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Round {
    Down,
    /// Down, but 3785 L are 1000 gal.
    Volume,
    Up,
    Nearest,
    /// To the nearest tenth, after so much was added.
    Tenth(f64),
}

/// Metric unit, US unit, what one metric unit is in it. The longer of two that begin alike stands
/// first.
///
/// Exact by definition: 1 US gal = 3.785 411 784 L of 128 fl oz, 1 lb = 453.592 37 g, 1 ft = 0.3048
/// m (NIST Handbook 44,
/// Appendix C, from memory; the definitions were checked in secondary tables); 1 psi = 6.894 757
/// kPa (NIST SP 811, B.8, from memory).
static UNITS: &[(&str, &str, f64)] = &[
    (
        "g/hL",
        "lb/1000 gal",
        LITRES_PER_US_GALLON * 10.0 / GRAMS_PER_POUND,
    ),
    ("mL/hL", "fl oz/1000 gal", 1.28),
    ("L/hL", "gal/1000 gal", 10.0),
    ("hL/h", "gal/h", 100.0 / LITRES_PER_US_GALLON),
    ("L/m²/h", "gal/ft²/h", SQUARE_FOOT / LITRES_PER_US_GALLON),
    ("L/m²", "gal/ft²", SQUARE_FOOT / LITRES_PER_US_GALLON),
    ("kg/m²", "lb/ft²", 1000.0 * SQUARE_FOOT / GRAMS_PER_POUND),
    ("hL", "gal", 100.0 / LITRES_PER_US_GALLON),
    ("L", "gal", 1.0 / LITRES_PER_US_GALLON),
    ("kg", "lb", 1000.0 / GRAMS_PER_POUND),
    ("g", "oz", 1.0 / OUNCE),
    ("m²", "ft²", 1.0 / SQUARE_FOOT),
    ("bar", "psi", 1.0 / PSI),
    ("°C", "°F", 1.8),
];

/// Every metric unit of the table with the US unit beside it.
pub fn units() -> impl Iterator<Item = (&'static str, &'static str)> {
    UNITS.iter().map(|&(unit, us, _)| (unit, us))
}

/// Before a least, and behind one, in the languages of the page.
static LEAST: [&str; 5] = [
    "at least",
    "au moins",
    "au minimum",
    "al menos",
    "como mínimo",
];
static OR_MORE: [&str; 3] = [" or more", " ou plus", " o más"];
/// What may stand between two figures of one unit.
static LINKS: [&str; 10] = [
    ", ", " to ", " or ", " and ", " à ", " ou ", " et ", " a ", " o ", " y ",
];
/// After one of these, or before one of those below, °C is a difference, in the languages of the
/// page.
static BY: [&str; 12] = [
    "±", "+", "plus", "minus", "less", "within", "by", "moins", "moins de", "más", "menos",
    "menos de",
];
/// These end like one of those above, and are a least or a most: au plus, au moins, al menos, a lo
/// más, the first letter large or small.
static MOST: [&str; 4] = ["u plus", "u moins", "l menos", "lo más"];
static THAN: [&str; 25] = [
    " above",
    " below",
    " under",
    " higher",
    " lower",
    " warmer",
    " colder",
    " more",
    " for each",
    " of it",
    " au-dessus",
    " au-dessous",
    " près",
    " plus chaud",
    " plus froid",
    " pour chaque",
    " sobre ",
    " por encima",
    " por debajo",
    " más frío",
    " por cada",
    " de plus",
    " de moins",
    " de más",
    " de menos",
];

/// The same text with the US figure in brackets behind each metric one; “≈” where it stands in
/// brackets already. Putting a
/// text in twice changes nothing more.
pub fn beside(text: &str) -> String {
    let (mut all, mut done, mut depth) = (String::new(), 0, 0_i32);
    for (at, byte) in text.bytes().enumerate() {
        // Brackets are counted from the start of the line.
        match byte {
            b'\n' => depth = 0,
            b'(' => depth += 1,
            b')' => depth -= 1,
            _ => {}
        }
        let (b' ', Some(before), Some(after)) = (byte, text.get(..at), text.get(at + 1..)) else {
            continue;
        };
        let Some((unit, figures, us)) = figures(before, after) else {
            continue;
        };
        let Some(tail) = after.get(unit..) else {
            continue;
        };
        let shown = if depth > 0 {
            [" ≈ ", &figures, us].concat()
        } else {
            [" (", &figures, us, ")"].concat()
        };
        // The writer of the text may have put it there.
        let (bracket, _) = tail.split_once(')').unwrap_or_default();
        if tail.starts_with(&shown) || (bracket.starts_with(" (") && bracket.contains(us)) {
            continue;
        }
        let end = at + 1 + unit;
        all.push_str(text.get(done..end).unwrap_or_default());
        all.push_str(&shown);
        done = end;
    }
    all.push_str(text.get(done..).unwrap_or_default());
    all
}

/// Whether a text begins with a letter or a digit: then what stands before it is no whole unit.
fn goes_on(text: &str) -> bool {
    text.chars().next().is_some_and(|c| {
        c.is_ascii_alphanumeric()
            || matches!(c, '/' | '_' | '²' | '³' | '·' | '⁻' | '\u{c0}'..='\u{1fff}')
    })
}

fn ends_in_digit(text: &str) -> bool {
    text.as_bytes().last().is_some_and(u8::is_ascii_digit)
}

/// The length of the unit that `after` begins with, the figures at the end of `before` in the US
/// unit, and that unit.
fn figures(before: &str, after: &str) -> Option<(usize, String, &'static str)> {
    if !ends_in_digit(before) {
        return None;
    }
    let (from, single) = start(before)?;
    let (head, text) = before.split_at_checked(from)?;
    for &(unit, us, factor) in UNITS {
        let Some(tail) = after.strip_prefix(unit) else {
            continue;
        };
        // “5 g per kg” is another unit than the gram, and “0.1 L of gas per litre” than the litre.
        if goes_on(tail) || tail.starts_with(" per ") || tail.starts_with(" of gas per ") {
            continue;
        }
        let said = head.trim_end();
        let round = match us {
            "°F" if (BY.iter().any(|w| said.ends_with(w))
                && !MOST.iter().any(|w| said.ends_with(w)))
                || THAN.iter().any(|w| tail.starts_with(w)) =>
            {
                Round::Tenth(0.0)
            }
            "°F" => Round::Tenth(32.0),
            "ft²" => Round::Up,
            _ if said.ends_with('≥')
                || LEAST.iter().any(|w| said.ends_with(w))
                || OR_MORE.iter().any(|w| tail.starts_with(w)) =>
            {
                Round::Up
            }
            "gal" => Round::Volume,
            _ => Round::Down,
        };
        let convert = |v: f64| {
            if unit == "g" && v < OUNCE {
                None
            } else {
                figure(v * factor, round)
            }
        };
        let text = each(text, &convert).or_else(|| each(before.get(single..)?, &convert))?;
        return Some((
            unit.len(),
            [if said.ends_with('±') { "±" } else { "" }, &text, " "].concat(),
            us,
        ));
    }
    let (length, coin, us) = money(after)?;
    let text = each(text, &|v| {
        figure(v * 10.0 * LITRES_PER_US_GALLON, Round::Nearest)
    })?;
    Some((length, [&text, " ", coin].concat(), us))
}

/// “EUR/hL”, “EUR per hL”, “per hL”: its length, the coin, and the same for 1000 US gallons.
fn money(after: &str) -> Option<(usize, &str, &'static str)> {
    let sign = after
        .chars()
        .next()
        .filter(|c| matches!(c, '$' | '€' | '£'))
        .map_or(0, char::len_utf8);
    let letters = after.bytes().take_while(u8::is_ascii_uppercase).count();
    let (coin, tail) = after.split_at_checked(if letters == 3 { 3 } else { sign })?;
    let (per, us) = match coin {
        "" => ("per hL", "per 1000 gal"),
        _ if tail.starts_with('/') => ("/hL", "/1000 gal"),
        _ => (" per hL", " per 1000 gal"),
    };
    tail.strip_prefix(per).filter(|t| !goes_on(t))?;
    Some((coin.len() + per.len(), coin, us))
}

/// Where the figures at the end of a text begin, all of them and the last alone: “10–40”, “−4 to
/// −2”, “0, 20, 40”.
fn start(text: &str) -> Option<(usize, usize)> {
    let single = token(text).filter(|at| text.get(*at..).is_some_and(rises))?;
    let mut from = single;
    let (mut linked, mut listed) = (0, false);
    while let Some((earlier, link)) = text
        .get(..from)
        .and_then(|head| LINKS.iter().find_map(|l| Some((head.strip_suffix(l)?, l))))
    {
        let Some(next) = token(earlier) else { break };
        from = next;
        linked += 1;
        listed |= *link == ", ";
    }
    // A list rises, so that no number that only stands before a comma is taken for one of it; two
    // with a word between need not.
    let head = text.get(..from)?.trim_end();
    let free = linked == 1 && !listed;
    if linked > 0
        && ((!free && !rises(text.get(from..)?)) || head.ends_with("pH") || ends_in_digit(head))
    {
        from = single;
    }
    Some((from, single))
}

/// Where the last word of a text begins, if it is nothing but figures. Digits before a space are
/// thousands, or something else.
fn token(text: &str) -> Option<usize> {
    let length = text
        .chars()
        .rev()
        .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | '–' | '-' | '−'))
        .map(char::len_utf8)
        .sum();
    let (head, figures) = text.split_at_checked(text.len().checked_sub(length)?)?;
    let begins = figures
        .chars()
        .next()
        .is_some_and(|c| c.is_ascii_digit() || matches!(c, '-' | '−'));
    let opens = head.chars().next_back().is_none_or(|c| {
        matches!(
            c,
            ' ' | '\n' | '(' | '[' | '“' | '±' | '+' | '≤' | '≥' | '<' | '>' | '~'
        )
    });
    (begins && opens && ends_in_digit(figures) && !ends_in_digit(head.trim_end()))
        .then_some(head.len())
}

/// Whether the figures of a text rise, or stay.
fn rises(text: &str) -> bool {
    let last = std::cell::Cell::new(f64::NEG_INFINITY);
    each(text, &|v| {
        if v >= last.replace(v) {
            Some(String::new())
        } else {
            None
        }
    })
    .is_some()
}

/// The text with each of its figures in other words; None where one is no number or has none.
fn each(text: &str, words: &dyn Fn(f64) -> Option<String>) -> Option<String> {
    let (mut all, mut number) = (String::new(), String::new());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        let digit_next = rest.peek().is_some_and(char::is_ascii_digit);
        let part = c.is_ascii_digit()
            || (digit_next
                && (matches!(c, '.' | ',') || (number.is_empty() && matches!(c, '-' | '−'))));
        if part {
            number.push(c);
        }
        if (!part || rest.peek().is_none()) && !number.is_empty() {
            let t = read::typed(&number)
                .ok()
                .filter(|_| number.matches(',').count() < 2)?;
            // What is shown has thousands after a comma, and a point before decimals.
            all.push_str(&words(if number.contains(',') {
                t.other.unwrap_or(t.value)
            } else {
                t.value
            })?);
            number.clear();
        }
        if !part {
            all.push(c);
        }
    }
    Some(all)
}

/// A figure with at most three significant digits, whole from 100 on. None where nothing of it
/// would be left.
fn figure(value: f64, round: Round) -> Option<String> {
    if let Round::Tenth(more) = round {
        return Some(show::fixed(value + more, 1));
    }
    let (mut scale, mut places) = (1.0, 0);
    while value.abs() * scale < 100.0 && places < 6 {
        scale *= 10.0;
        places += 1;
    }
    // What is off by the error of a float only counts as the figure itself.
    let scaled = value * scale;
    let error = scaled.abs() * 1e-12;
    let whole = match round {
        Round::Down => libm::floor(scaled + error),
        Round::Volume => libm::floor(scaled + 0.14),
        Round::Up => libm::ceil(scaled - error),
        Round::Nearest | Round::Tenth(_) => libm::round(scaled),
    };
    (whole > 0.0 || value == 0.0).then(|| show::fixed(whole / scale, places))
}
