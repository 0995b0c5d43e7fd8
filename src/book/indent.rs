//! JSON with line breaks. Serde's own pretty writer would have every type of a wine written out in code a second time.

/// The same JSON with two spaces of indent for each level. `text` is JSON as serde writes it, without spaces.
pub fn indent(text: &str) -> String {
    let mut out = String::with_capacity(text.len() * 2);
    let (mut depth, mut quoted, mut escaped, mut opened) = (0, false, false, false);
    let line = |out: &mut String, depth: usize| {
        out.push('\n');
        (0..depth).for_each(|_| out.push_str("  "));
    };
    for c in text.chars() {
        if quoted {
            out.push(c);
            quoted = escaped || c != '"';
            escaped = !escaped && c == '\\';
            continue;
        }
        let closes = matches!(c, '}' | ']');
        if closes {
            depth -= usize::from(depth > 0);
        }
        // Nothing between the brackets: they stay together.
        if opened != closes {
            line(&mut out, depth);
        }
        opened = matches!(c, '{' | '[');
        depth += usize::from(opened);
        quoted = c == '"';
        out.push(c);
        match c {
            ',' => line(&mut out, depth),
            ':' => out.push(' '),
            _ => {}
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::indent;
    use proptest::prelude::*;
    use serde_json::Value;

    fn json() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            "[a-z\"\\\\{}\\[\\],:\n ]{0,8}".prop_map(Value::from)
        ];
        leaf.prop_recursive(4, 24, 4, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
                prop::collection::vec(("[a-z\"\\\\{,: ]{0,4}", inner), 0..4).prop_map(|pairs| Value::Object(pairs.into_iter().collect()))
            ]
        })
    }

    proptest! {
        #[test]
        fn equals_the_pretty_writer(value in json()) {
            prop_assert_eq!(indent(&value.to_string()), serde_json::to_string_pretty(&value).unwrap_or_default());
        }
    }
}
