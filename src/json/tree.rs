//! The tree between a text of JSON and the records. `serde_json` knows the grammar; the tree keeps
//! the fields in their order
//! and each as often as it stands, so that one that stands twice can be named.

use super::{Fault, quoted};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, Serializer};
use serde_json::Number;

/// Largest power of ten behind a number; what lies beyond is a slip.
const MOST_TENS: i32 = 40;

/// A value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Value {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number: whole up to 64 bits, otherwise the nearest double.
    Number(Number),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Value>),
    /// An object: its fields in the order of the text.
    Fields(Vec<(String, Value)>),
}

impl Value {
    /// The value of a field.
    pub fn get(&self, name: &str) -> Option<&Self> {
        match self {
            Value::Fields(fields) => fields.iter().find(|(n, _)| n == name).map(|(_, v)| v),
            _ => None,
        }
    }

    /// The fault of being something else than was expected.
    pub fn unlike(&self, mend: &str) -> Fault {
        Fault::new(self, mend.to_string())
    }

    /// A whole number from 0 to `most`.
    pub fn whole(&self, most: u64) -> Result<u64, Fault> {
        match self {
            Value::Number(n) => n.as_u64().filter(|n| *n <= most),
            _ => None,
        }
        .ok_or_else(|| {
            self.unlike(&["Write a whole number from 0 to ", &most.to_string(), "."].concat())
        })
    }

    /// Which of these words it is.
    pub fn place_in(&self, keys: &[&str]) -> Result<usize, Fault> {
        let found = if let Value::Text(text) = self {
            keys.iter().position(|k| k == text)
        } else {
            None
        };
        found.ok_or_else(|| self.unlike(&["Write one of ", &quoted(keys), "."].concat()))
    }
}

impl Serialize for Value {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Value::Null => to.serialize_unit(),
            Value::Bool(b) => to.serialize_bool(*b),
            Value::Number(n) => n.serialize(to),
            Value::Text(text) => to.serialize_str(text),
            Value::List(list) => to.collect_seq(list),
            Value::Fields(fields) => {
                to.collect_map(fields.iter().map(|(name, value)| (name, value)))
            }
        }
    }
}

/// A number with no power of ten behind it, digit for digit; None where it is out of range.
pub fn spelled_out(number: &str) -> Option<String> {
    let Some((digits, power)) = number.split_once(['e', 'E']) else {
        return Some(number.to_string());
    };
    let mut power: i32 = power
        .trim_start_matches('+')
        .parse()
        .ok()
        .filter(|p: &i32| p.abs() <= MOST_TENS)?;
    let (sign, digits) = digits.strip_prefix('-').map_or(("", digits), |d| ("-", d));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let (mut whole, mut part) = (whole.to_string(), part.to_string());
    while power > 0 {
        whole.push(if part.is_empty() { '0' } else { part.remove(0) });
        power -= 1;
    }
    while power < 0 {
        part.insert(0, whole.pop().unwrap_or('0'));
        power += 1;
    }
    let (whole, part) = (whole.trim_start_matches('0'), part.trim_end_matches('0'));
    Some(
        [
            sign,
            if whole.is_empty() { "0" } else { whole },
            if part.is_empty() { "" } else { "." },
            part,
        ]
        .concat(),
    )
}

/// What a text is that ends before its value does.
const CUT: &str = "The file ends too early, as if it had been cut: save or export it again.";
/// What a text is with something in it that JSON does not know.
const ODD: &str = "This cannot stand here: choose a file that was exported or saved here, or put this place right.";

/// Reads a text that holds one value and nothing behind it. A fault of the text says its place, and
/// in our words what is wrong: those of
/// the reader are English and no advice.
pub fn parse(text: &str) -> Result<Value, Fault> {
    serde_json::from_str(text).map_err(|e| {
        let what = if e.is_eof() { CUT } else { ODD };
        Fault {
            path: String::new(),
            read: String::new(),
            what: what.into(),
            line: e.line(),
            column: e.column(),
        }
    })
}

impl<'de> Deserialize<'de> for Value {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Value, D::Error> {
        from.deserialize_any(Tree)
    }
}

/// Takes whatever comes.
struct Tree;

impl<'de> Visitor<'de> for Tree {
    type Value = Value;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a value")
    }
    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }
    fn visit_bool<E>(self, b: bool) -> Result<Value, E> {
        Ok(Value::Bool(b))
    }
    fn visit_u64<E>(self, n: u64) -> Result<Value, E> {
        Ok(Value::Number(n.into()))
    }
    fn visit_i64<E>(self, n: i64) -> Result<Value, E> {
        Ok(Value::Number(n.into()))
    }
    fn visit_f64<E>(self, n: f64) -> Result<Value, E> {
        // The reader gives finite numbers only.
        Ok(Number::from_f64(n).map_or(Value::Null, Value::Number))
    }
    fn visit_str<E>(self, text: &str) -> Result<Value, E> {
        Ok(Value::Text(text.to_string()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Value, A::Error> {
        let mut list = Vec::new();
        while let Some(value) = from.next_element()? {
            list.push(value);
        }
        Ok(Value::List(list))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Value, A::Error> {
        let mut fields = Vec::new();
        while let Some(field) = from.next_entry()? {
            fields.push(field);
        }
        Ok(Value::Fields(fields))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The same tree in serde's terms.
    fn plain(value: &Value) -> serde_json::Value {
        match value {
            Value::Null => serde_json::Value::Null,
            Value::Bool(b) => (*b).into(),
            Value::Number(n) => n.clone().into(),
            Value::Text(t) => t.as_str().into(),
            Value::List(l) => l.iter().map(plain).collect(),
            Value::Fields(f) => {
                serde_json::Value::Object(f.iter().map(|(k, v)| (k.clone(), plain(v))).collect())
            }
        }
    }

    proptest! {
        // Near JSON, so that many are and many are not.
        #[test]
        fn the_tree_is_that_of_the_library(text in "([\\[\\]{},: ]|\"(a|é|\\\\n|\\\\u00e9|\\\\ud83d\\\\ude00|\\\\ud83d|\\\\x|\t)?\"|-?[0-2]{1,2}(\\.[0-9]{0,2})?(e[+-]?[0-9]?)?|true|null|nul){0,9}") {
            let ours = parse(&text).ok().map(|v| plain(&v));
            prop_assert_eq!(ours, serde_json::from_str::<serde_json::Value>(&text).ok(), "{}", text);
        }

        #[test]
        fn reads_back_any_text(text in any::<String>(), list in prop::collection::vec(any::<i32>(), 0..5)) {
            let value = serde_json::json!({ "a": [&text, &list, null], "b": { "c": true } });
            for written in [value.to_string(), serde_json::to_string_pretty(&value).unwrap()] {
                prop_assert_eq!(parse(&written).ok().map(|v| plain(&v)), Some(value.clone()));
            }
        }

        // Up to 15 digits with its zeros, a decimal is read as it is written, but for zeros that
        // say nothing.
        #[test]
        fn decimals_read_as_they_are_written(n in -999_999_999_999_i64..=999_999_999_999, places in 0..12_usize, zeros in 0..4_usize) {
            let (sign, digits) = if n < 0 { ("-", -n) } else { ("", n) };
            let digits = format!("{digits:0>width$}", width = places + 1);
            let (whole, part) = digits.split_at(digits.len() - places);
            let written = if places == 0 { [sign, whole].concat() } else { [sign, whole, ".", part, &"0".repeat(zeros)].concat() };
            let typed: crate::wine::AsTyped = crate::json::read(&written).map_err(|f| TestCaseError::fail(f.what))?;
            let bare = |t: &str| if t.contains('.') { t.trim_end_matches('0').trim_end_matches('.').to_string() } else { t.to_string() };
            prop_assert_eq!(bare(&typed.0), bare(&written));
        }

        #[test]
        fn powers_of_ten_are_spelled_out(n in -99999_i32..99999, places in 0..4_usize, power in -12..12_i32) {
            let number = format!("{:.places$}e{power}", f64::from(n) / 100.0);
            let spelled = spelled_out(&number).unwrap();
            prop_assert!(!spelled.contains('e'));
            prop_assert_eq!(spelled.parse::<f64>().ok().map(|v| v.abs()), number.parse::<f64>().ok().map(|v| v.abs()), "{} {}", number, spelled);
        }
    }

    #[test]
    fn says_what_is_wrong_and_where() {
        let wrong = |text: &str| {
            parse(text).map_or_else(|f| (f.line, f.column, f.what), |_| (0, 0, String::new()))
        };
        assert_eq!(wrong(""), (1, 0, CUT.into()));
        assert_eq!(wrong("{\"a\": [1,\n"), (2, 0, CUT.into()));
        assert_eq!(wrong("[1,\n 2 3]"), (2, 4, ODD.into()));
        assert_eq!(wrong("{\"a\" 1}"), (1, 6, ODD.into()));
        assert_eq!(wrong("{} {}"), (1, 4, ODD.into()));
        assert_eq!(wrong(&"[".repeat(200)), (1, 128, ODD.into()));
        assert_eq!(wrong("1e999").2, ODD);
        assert!(parse(&[&"[".repeat(127), "1", &"]".repeat(127)].concat()).is_ok());
        assert_eq!(spelled_out("1e99"), None);
    }

    #[test]
    fn fields_keep_their_order_and_stand_as_often_as_they_are_written() {
        let names = |text: &str| match parse(text) {
            Ok(Value::Fields(fields)) => fields
                .into_iter()
                .map(|(n, v)| [n, serde_json::to_string(&v).unwrap_or_default()].concat())
                .collect::<Vec<_>>()
                .concat(),
            _ => String::new(),
        };
        assert_eq!(
            names("{\"b\":1,\"a\":[true],\"b\":null,\"c\":\"x\\\"\"}"),
            "b1a[true]bnullc\"x\\\"\""
        );
    }
}
