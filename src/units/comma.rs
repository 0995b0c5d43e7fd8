//! The decimal comma of a finished text in a language that has it: “3.25” becomes “3,25”.
//!
//! Only what is surely one number is changed: numbers of law and of files keep their points (27 CFR 24.246, 4.1.2), and so does
//! what hangs on a letter (v1.2). The page writes no number with marks between thousands, so “1,234” can be read one way only.

/// Before a number that is the name of a text or of its part, in the languages of the page.
static NAMES: [&str; 15] =
    ["CFR", "§", "§§", "art.", "Art.", "article", "Article", "artículo", "Artículo", "Part", "section", "Section", "sección", "Standard", "OIV-MA-AS"];

/// The same text with a comma for the point of each decimal number.
pub fn with_comma(text: &str) -> String {
    let bytes = text.as_bytes();
    let part = |at: usize| bytes.get(at).is_some_and(|b| b.is_ascii_digit() || *b == b'.');
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut all = String::with_capacity(text.len());
    let mut named = false;
    for (at, c) in text.char_indices() {
        let point = c == '.' && at > 0 && digit(at - 1) && digit(at + 1);
        if !point {
            all.push(c);
            continue;
        }
        let from = (0..at).rev().find(|i| !part(*i)).map_or(0, |i| i + 1);
        let to = (at..bytes.len()).find(|i| !part(*i)).unwrap_or(bytes.len());
        // A point that ends the sentence is no part of the number.
        let points = bytes.get(from..to).unwrap_or_default().iter().enumerate().filter(|(i, b)| **b == b'.' && digit(from + i + 1)).count();
        let before = text.get(..from).unwrap_or_default();
        let word = before.trim_end().rsplit([' ', '\u{a0}', '(']).next().unwrap_or_default();
        // Of “24.246 and 24.248” the second is a name as well.
        named = NAMES.contains(&word) || named && matches!(word, "," | "and" | "et" | "y" | "to" | "à" | "a" | "or" | "ou" | "o");
        let hangs = before.as_bytes().last().is_some_and(|b| b.is_ascii_alphabetic() || *b == b'_');
        all.push(if points == 1 && !named && !hangs { ',' } else { '.' });
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
            ("de 0.5 à 1.25 g/hL (0.4 lb/1000 gal)", "de 0,5 à 1,25 g/hL (0,4 lb/1000 gal)"),
            ("±0.1; ≥2.0; −4.1 °C", "±0,1; ≥2,0; −4,1 °C"),
            ("0.4-0.8 et 0.4–0.8, 1.5/2.5", "0,4-0,8 et 0,4–0,8, 1,5/2,5"),
            ("Au total 12.", "Au total 12."),
            ("Il reste 12.5.", "Il reste 12,5."),
            ("27 CFR 24.246 et 24.248", "27 CFR 24.246 et 24.248"),
            ("règlement (UE) 2019/934, art. 4.2", "règlement (UE) 2019/934, art. 4.2"),
            ("FSANZ 4.5.1", "FSANZ 4.5.1"),
            ("v1.2, B2.1, 2026-11-26", "v1.2, B2.1, 2026-11-26"),
            ("1. 2026: collage. 2. soutirage", "1. 2026: collage. 2. soutirage"),
            ("3.", "3."),
            (".5 et 5.", ".5 et 5."),
            ("", ""),
        ] {
            assert_eq!(with_comma(text), shown);
            assert_eq!(with_comma(shown), shown, "once more changes nothing");
        }
    }
}
