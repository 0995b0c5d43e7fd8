//! The US figure beside each metric one, put into a finished text: “30 g/hL” becomes “30 g/hL (2.5 lb/1000 gal)”.
//!
//! The metric text stays as it is, letter by letter; something is only put in. What is not surely one figure with one unit is
//! left alone. mg/L (1 mg/L is 1 ppm), g/L, the mL and grams of the bench, kWh and lengths stay metric, as laboratories and
//! balances do there too.
//!
//! Rounding: to three significant digits, to whole units from 100 on, and to the safe side. Doses, masses, volumes, flows and
//! pressures go down, since each may be a most: 25.036 reads 25. What is a least (“at least”, “or more”, ≥, and the area of a
//! filter) goes up. Litres were rounded before they are read here, so what lacks no more than 0.14 of the last digit (half a
//! litre of a gallon) has it: 3785 L are 1000 gal. Money goes to the nearest. A temperature goes to the nearest tenth of a
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
}

/// Metric unit, US unit, what one metric unit is in it. The longer of two that begin alike stands first.
///
/// Exact by definition: 1 US gal = 3.785 411 784 L of 128 fl oz, 1 lb = 453.592 37 g, 1 ft = 0.3048 m (NIST Handbook 44,
/// Appendix C); 1 psi = 6.894 757 kPa (NIST SP 811, B.8).
const UNITS: [(&str, &str, f64); 14] = [
    ("g/hL", "lb/1000 gal", LITRES_PER_US_GALLON * 10.0 / GRAMS_PER_POUND),
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

/// What may stand between two figures of one unit.
const LINKS: [&str; 4] = [", ", " to ", " or ", " and "];
/// After one of these, or before one of those below, °C is a difference.
const BY: [&str; 7] = ["±", "+", "plus", "minus", "less", "within", "by"];
const THAN: [&str; 10] = [" above", " below", " under", " higher", " lower", " warmer", " colder", " more", " for each", " of it"];

/// The same text with the US figure in brackets behind each metric one; “≈” where it stands in brackets already. Putting a
/// text in twice changes nothing more.
pub fn beside(text: &str) -> String {
    let (mut all, mut done, mut line, mut depth) = (String::new(), 0, 0, 0_i32);
    for (at, space) in text.match_indices([' ', '\u{a0}']) {
        let (Some(before), Some(after)) = (text.get(..at), text.get(at + space.len()..)) else { continue };
        if !before.ends_with(|c: char| c.is_ascii_digit()) {
            continue;
        }
        let Some((unit, figures)) = figures(before, after) else { continue };
        let (Some(tail), Some(since)) = (after.get(unit..), text.get(line..at)) else { continue };
        // Brackets are counted from the start of the line.
        for c in since.chars() {
            depth = match c {
                '\n' => 0,
                '(' => depth + 1,
                ')' => depth - 1,
                _ => depth,
            };
        }
        line = at;
        let shown = if depth > 0 { [" ≈ ", &figures].concat() } else { [" (", &figures, ")"].concat() };
        let us = figures.rsplit(|c: char| c.is_ascii_digit()).next().unwrap_or_default();
        // The writer of the text has put it there.
        let there = tail.strip_prefix(" (").and_then(|t| t.split(')').next()).is_some_and(|t| t.contains(&*figures) || (us.len() > 2 && t.contains(us)));
        if there || tail.starts_with(&shown) {
            continue;
        }
        let end = at + space.len() + unit;
        all.push_str(text.get(done..end).unwrap_or_default());
        all.push_str(&shown);
        done = end;
    }
    all.push_str(text.get(done..).unwrap_or_default());
    all
}

/// The length of the unit that `after` begins with, and the figures at the end of `before` in the US unit with that unit.
fn figures(before: &str, after: &str) -> Option<(usize, String)> {
    let whole = |unit: &str| {
        let tail = after.strip_prefix(unit)?;
        let ends = !tail.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '/' | '²' | '³' | '·' | '⁻' | '_'));
        // “5 g per kg” is another unit than the gram, and “0.1 L of gas per litre” than the litre.
        let clause = tail.split(['.', ',', ';', ':', '(', ')']).next().unwrap_or_default();
        (ends && !tail.starts_with(" per ") && !clause.contains(" per litre")).then_some(tail)
    };
    let (from, single) = start(before)?;
    let Some((unit, us, factor, tail)) = UNITS.iter().find_map(|(unit, us, factor)| Some((*unit, *us, *factor, whole(unit)?))) else {
        return money(before, from, after);
    };
    let head = before.get(..from)?;
    let text = before.get(from..)?;
    let said = head.trim_end();
    if unit == "°C" {
        let difference = BY.iter().any(|w| said.ends_with(w)) || THAN.iter().any(|w| tail.starts_with(w));
        let fahrenheit = |v: f64| Some(show::fixed(if difference { v * factor } else { v * factor + 32.0 }, 1));
        return Some((unit.len(), [if said.ends_with('±') { "±" } else { "" }, &each(text, &fahrenheit)?, " ", us].concat()));
    }
    let least = said.ends_with("at least") || said.ends_with('≥') || tail.starts_with(" or more") || unit == "m²";
    let round = match us {
        _ if least => Round::Up,
        "gal" => Round::Volume,
        _ => Round::Down,
    };
    let convert = |v: f64| if unit == "g" && v < OUNCE { None } else { figure(v * factor, round) };
    let text = each(text, &convert).or_else(|| each(before.get(single..)?, &convert))?;
    Some((unit.len(), [&*text, " ", us].concat()))
}

/// “12 EUR/hL”, “12 EUR per hL”, “12 per hL”: per 1000 US gallons.
fn money(before: &str, from: usize, after: &str) -> Option<(usize, String)> {
    let cut = after.find(['/', ' '])?;
    let (word, tail) = after.split_at_checked(cut)?;
    let coin = matches!(word, "€" | "$" | "£") || (word.len() == 3 && word.bytes().all(|b| b.is_ascii_uppercase()));
    let (length, us) = match () {
        () if after.starts_with("per hL") => ("per hL".len(), "per 1000 gal".to_string()),
        () if coin && tail.starts_with("/hL") => (cut + "/hL".len(), [word, "/1000 gal"].concat()),
        () if coin && tail.starts_with(" per hL") => (cut + " per hL".len(), [word, " per 1000 gal"].concat()),
        () => return None,
    };
    if after.get(length..)?.starts_with(char::is_alphanumeric) {
        return None;
    }
    let text = each(before.get(from..)?, &|v| figure(v * 10.0 * LITRES_PER_US_GALLON, Round::Nearest))?;
    Some((length, [&*text, " ", &us].concat()))
}

/// Where the figures at the end of a text begin, all of them and the last alone: “10–40”, “−4 to −2”, “0, 20, 40”.
fn start(text: &str) -> Option<(usize, usize)> {
    let single = token(text).filter(|at| text.get(*at..).is_some_and(rises))?;
    let mut from = single;
    let (mut linked, mut listed) = (0, false);
    while let Some((earlier, link)) = text.get(..from).and_then(|head| LINKS.iter().find_map(|l| Some((head.strip_suffix(l)?, l)))) {
        let Some(next) = token(earlier) else { break };
        from = next;
        linked += 1;
        listed |= *link == ", ";
    }
    // A list rises, so that no number that only stands before a comma is taken for one of it; two with a word between need not.
    let head = text.get(..from)?.trim_end();
    let free = linked == 1 && !listed;
    if linked > 0 && ((!free && !rises(text.get(from..)?)) || head.ends_with("pH") || head.ends_with(|c: char| c.is_ascii_digit())) {
        from = single;
    }
    Some((from, single))
}

/// Where the last word of a text begins, if it is nothing but figures. Digits before a space are thousands, or something else.
fn token(text: &str) -> Option<usize> {
    let word = text
        .rfind(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '–' | '-' | '−')))
        .map_or(Some(0), |i| Some(i + text.get(i..)?.chars().next()?.len_utf8()))?;
    let (head, figures) = text.split_at_checked(word)?;
    let plain = figures.ends_with(|c: char| c.is_ascii_digit()) && figures.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '−'));
    let opens = head.is_empty() || head.ends_with(|c: char| c.is_whitespace() || matches!(c, '(' | '[' | '“' | '±' | '+' | '≤' | '≥' | '<' | '>' | '~'));
    (plain && opens && !head.trim_end_matches(' ').ends_with(|c: char| c.is_ascii_digit())).then_some(word)
}

/// Whether the figures of a text rise, or stay.
fn rises(text: &str) -> bool {
    let last = std::cell::Cell::new(f64::NEG_INFINITY);
    each(text, &|v| if v >= last.replace(v) { Some(String::new()) } else { None }).is_some()
}

/// The text with each of its figures in other words; None where one is no number or has none.
fn each(text: &str, words: &dyn Fn(f64) -> Option<String>) -> Option<String> {
    let (mut all, mut number) = (String::new(), String::new());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        let digit_next = rest.peek().is_some_and(char::is_ascii_digit);
        let part = c.is_ascii_digit() || (digit_next && (matches!(c, '.' | ',') || (number.is_empty() && matches!(c, '-' | '−'))));
        if part {
            number.push(c);
        }
        if (!part || rest.peek().is_none()) && !number.is_empty() {
            let t = read::typed(&number).ok().filter(|_| number.matches(',').count() < 2)?;
            // What is shown has thousands after a comma, and a point before decimals.
            all.push_str(&words(if number.contains(',') { t.other.unwrap_or(t.value) } else { t.value })?);
            number.clear();
        }
        if !part {
            all.push(c);
        }
    }
    Some(all)
}

/// A figure with at most three significant digits, whole from 100 on. None where nothing of it would be left.
fn figure(value: f64, round: Round) -> Option<String> {
    let (mut scale, mut places) = (1.0, 0);
    while value.abs() * scale < 100.0 && places < 6 {
        scale *= 10.0;
        places += 1;
    }
    // What is off by the error of a float only counts as the figure itself.
    let scaled = value * scale;
    let slack = if round == Round::Volume { 0.14 } else { scaled.abs() * 1e-12 };
    let whole = match round {
        Round::Down | Round::Volume => libm::floor(scaled + slack),
        Round::Up => libm::ceil(scaled - slack),
        Round::Nearest => libm::round(scaled),
    };
    (whole != 0.0 || value == 0.0).then(|| show::fixed(whole / scale, places))
}
