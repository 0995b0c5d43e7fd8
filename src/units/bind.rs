//! A number and the sign behind it stay on one line: “63 %” is never broken between the two.

const SIGNS: [&str; 3] = ["%", "°C", "°F"];

/// The same text with a space that does not break between a number and such a sign.
pub fn bound(text: String) -> String {
    if !SIGNS.iter().any(|s| text.contains(s)) {
        return text;
    }
    let mut all = String::with_capacity(text.len() + 4);
    for (at, c) in text.char_indices() {
        let number = all.as_bytes().last().is_some_and(u8::is_ascii_digit);
        let sign = || {
            text.get(at + 1..)
                .is_some_and(|rest| SIGNS.iter().any(|s| rest.starts_with(s)))
        };
        all.push(if c == ' ' && number && sign() {
            '\u{a0}'
        } else {
            c
        });
    }
    all
}

#[cfg(test)]
mod tests {
    use super::bound;

    #[test]
    fn a_number_keeps_its_sign() {
        for (text, shown) in [
            (
                "effect 63 %, cost 13 %.",
                "effect 63\u{a0}%, cost 13\u{a0}%.",
            ),
            ("80 °C (176 °F) for 2 h", "80\u{a0}°C (176\u{a0}°F) for 2 h"),
            ("a share in % of 5", "a share in % of 5"),
            ("5 ", "5 "),
            ("% 5 °", "% 5 °"),
            ("±3 %", "±3\u{a0}%"),
            ("µ 1 %", "µ 1\u{a0}%"),
        ] {
            assert_eq!(bound(text.into()), shown);
        }
    }
}
