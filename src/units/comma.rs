//! The decimal comma of a finished text in a language that has it: “3.25” becomes “3,25”.
//!
//! Only what is surely one number is changed: numbers of law and of files keep their points (27 CFR
//! 24.246, row 1.8, 4.1.2), and so
//! does what hangs on a letter (v1.2, US-24.246). The page writes no number with marks between
//! thousands, so “1,234” can be read
//! one way only.

/// Before a number that is the name of a text or of its part, in the languages of the page.
static NAMES: [&str; 28] = [
    "CFR",
    "§",
    "§§",
    "art.",
    "Art.",
    "article",
    "Article",
    "artículo",
    "Artículo",
    "Part",
    "section",
    "Section",
    "sección",
    "Standard",
    "OIV-MA-AS",
    "row",
    "rows",
    "line",
    "lines",
    "item",
    "items",
    "ligne",
    "lignes",
    "fila",
    "filas",
    "línea",
    "líneas",
    "ítem",
];

/// Behind a number that is an amount, whatever stands before it.
static UNITS: [&str; 8] = ["g/", "mg/", "kg", "mL", "L ", "%", "°", "µ"];

/// The same text with a comma for the point of each decimal number.
pub fn with_comma(text: &str) -> String {
    let bytes = text.as_bytes();
    let part = |at: usize| {
        bytes
            .get(at)
            .is_some_and(|b| b.is_ascii_digit() || *b == b'.')
    };
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut all = String::with_capacity(text.len());
    // Whether the number before was a name, and what stood before the point of the last that was
    // one.
    let mut named = false;
    let mut title = "";
    for (at, c) in text.char_indices() {
        let point = c == '.' && at > 0 && digit(at - 1) && digit(at + 1);
        if !point {
            all.push(c);
            continue;
        }
        let from = (0..at).rev().find(|i| !part(*i)).map_or(0, |i| i + 1);
        let to = (at..bytes.len()).find(|i| !part(*i)).unwrap_or(bytes.len());
        // A point that ends the sentence is no part of the number.
        let points = bytes
            .get(from..to)
            .unwrap_or_default()
            .iter()
            .enumerate()
            .filter(|(i, b)| **b == b'.' && digit(from + i + 1))
            .count();
        let before = text.get(..from).unwrap_or_default();
        let word = before
            .trim_end()
            .rsplit([' ', '\u{a0}', '('])
            .next()
            .unwrap_or_default();
        let amount = text
            .get(to..)
            .is_some_and(|rest| UNITS.iter().any(|u| rest.trim_start().starts_with(u)));
        let whole = text.get(from..at).unwrap_or_default();
        // Of “24.246 and 24.248”, or “1.5, 1.6”, the second is a name as well, and so is 24.245
        // anywhere behind 24.246.
        let listed = matches!(
            word,
            "," | "and" | "et" | "y" | "to" | "à" | "a" | "or" | "ou" | "o"
        ) || word
            .strip_suffix(',')
            .is_some_and(|w| w.ends_with(|c: char| c.is_ascii_digit()));
        named = NAMES.contains(&word) || !amount && (named && listed || whole == title);
        // A row has one digit, and so have many amounts.
        if named && whole.len() > 1 {
            title = whole;
        }
        let mut last = before.bytes().rev();
        let hangs = match last.next() {
            Some(b'-') => last.next().is_some_and(|b| b.is_ascii_alphabetic()),
            Some(b) => b.is_ascii_alphabetic() || b == b'_',
            None => false,
        };
        all.push(if points == 1 && !named && !hangs {
            ','
        } else {
            '.'
        });
    }
    all
}

#[cfg(test)]
mod tests {
    use super::with_comma;

    #[test]
    fn numbers_take_the_comma_and_names_keep_the_point() {
        for (text, shown) in [
            ("pH 3.25, 0.8 mg/L.", "pH 3,25, 0,8 mg/L."),
            (
                "de 0.5 à 1.25 g/hL (0.4 lb/1000 gal)",
                "de 0,5 à 1,25 g/hL (0,4 lb/1000 gal)",
            ),
            ("±0.1; ≥2.0; −4.1 °C", "±0,1; ≥2,0; −4,1 °C"),
            ("0.4-0.8 et 0.4–0.8, 1.5/2.5", "0,4-0,8 et 0,4–0,8, 1,5/2,5"),
            ("Au total 12.", "Au total 12."),
            ("Il reste 12.5.", "Il reste 12,5."),
            ("27 CFR 24.246 et 24.248", "27 CFR 24.246 et 24.248"),
            (
                "27 CFR 24.246, 24.248 ou 24.182",
                "27 CFR 24.246, 24.248 ou 24.182",
            ),
            (
                "27 CFR 24.246 ; dioxyde de carbone : 24.245",
                "27 CFR 24.246 ; dioxyde de carbone : 24.245",
            ),
            (
                "27 CFR 24.246, 0.8 g/L ou 1.2 g/L, de 24.5 %",
                "27 CFR 24.246, 0,8 g/L ou 1,2 g/L, de 24,5 %",
            ),
            (
                "lu · US-24.246, US-173.50 (US-4.22)",
                "lu · US-24.246, US-173.50 (US-4.22)",
            ),
            (
                "ligne 1.8. Il en reste 1.8 mg/L, de 1.4 à 1.9",
                "ligne 1.8. Il en reste 1,8 mg/L, de 1,4 à 1,9",
            ),
            (
                "lignes 1.5, 1.6 ; fila 1.7, filas 1.5 y 1.6",
                "lignes 1.5, 1.6 ; fila 1.7, filas 1.5 y 1.6",
            ),
            (
                "règlement (UE) 2019/934, art. 4.2",
                "règlement (UE) 2019/934, art. 4.2",
            ),
            ("FSANZ 4.5.1", "FSANZ 4.5.1"),
            ("v1.2, B2.1, 2026-11-26", "v1.2, B2.1, 2026-11-26"),
            (
                "1. 2026: collage. 2. soutirage",
                "1. 2026: collage. 2. soutirage",
            ),
            ("3.", "3."),
            (".5 et 5.", ".5 et 5."),
            ("", ""),
        ] {
            assert_eq!(with_comma(text), shown);
            assert_eq!(with_comma(shown), shown, "once more changes nothing");
        }
    }
}
