//! A text of JSON as a tree.

use super::{Fault, one_of};

/// How many lists and objects may stand in each other, as in serde's reader: deeper ones could fill the stack.
const DEEPEST: usize = 127;
/// Largest power of ten behind a number; what lies beyond is a slip.
const MOST_TENS: i32 = 40;

/// A value, and where it begins, bytes from the beginning of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Value<'a> {
    /// Where it begins.
    pub at: usize,
    /// What it is.
    pub kind: Kind<'a>,
}

/// What a value is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind<'a> {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number as it is written.
    Number(&'a str),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Value<'a>>),
    /// An object: its fields in the order of the text.
    Fields(Vec<(String, Value<'a>)>),
}

impl Value<'_> {
    /// The value of a field.
    pub fn get(&self, name: &str) -> Option<&Self> {
        match &self.kind {
            Kind::Fields(fields) => fields.iter().find(|(n, _)| n == name).map(|(_, v)| v),
            _ => None,
        }
    }

    /// The fault of being something else than was expected.
    pub fn unlike(&self, expected: &str) -> Fault {
        let is = match &self.kind {
            Kind::Null => "null".to_string(),
            Kind::Bool(b) => ["boolean `", if *b { "true" } else { "false" }, "`"].concat(),
            Kind::Number(n) => ["number `", n, "`"].concat(),
            Kind::Text(t) => ["string \"", t, "\""].concat(),
            Kind::List(_) => "sequence".to_string(),
            Kind::Fields(_) => "map".to_string(),
        };
        Fault::new(self.at, ["invalid type: ", &is, ", expected ", expected].concat())
    }

    /// A whole number from 0 to `most`.
    pub fn whole(&self, most: u64) -> Result<u64, Fault> {
        match &self.kind {
            Kind::Number(n) => n.parse().ok().filter(|n| *n <= most),
            _ => None,
        }
        .ok_or_else(|| self.unlike(&["a whole number from 0 to ", &most.to_string()].concat()))
    }

    /// Which of these words it is.
    pub fn place_in(&self, keys: &[&str]) -> Result<usize, Fault> {
        let Kind::Text(text) = &self.kind else { return Err(self.unlike("a string")) };
        keys.iter().position(|k| k == text).ok_or_else(|| Fault::new(self.at, ["unknown variant `", text, "`, expected ", &one_of(keys)].concat()))
    }
}

/// A number with no power of ten behind it, digit for digit as it was written; None where it is out of range.
pub fn spelled_out(number: &str) -> Option<String> {
    let Some((digits, power)) = number.split_once(['e', 'E']) else { return Some(number.to_string()) };
    let mut power: i32 = power.trim_start_matches('+').parse().ok().filter(|p: &i32| p.abs() <= MOST_TENS)?;
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
    Some([sign, if whole.is_empty() { "0" } else { whole }, if part.is_empty() { "" } else { "." }, part].concat())
}

struct Parser<'a> {
    text: &'a str,
    at: usize,
    deep: usize,
}

/// Reads a text that holds one value and nothing behind it.
pub fn parse(text: &str) -> Result<Value<'_>, Fault> {
    let mut parser = Parser { text, at: 0, deep: 0 };
    let value = parser.value()?;
    match parser.next() {
        None => Ok(value),
        Some(_) => Err(parser.fault("trailing characters")),
    }
}

impl<'a> Parser<'a> {
    fn fault(&self, what: &str) -> Fault {
        Fault::new(self.at.min(self.text.len()), what.to_string())
    }

    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// The next byte that is not white space, not yet taken.
    fn next(&mut self) -> Option<u8> {
        while matches!(self.byte(), Some(b' ' | b'\n' | b'\r' | b'\t')) {
            self.at += 1;
        }
        self.byte()
    }

    fn value(&mut self) -> Result<Value<'a>, Fault> {
        let first = self.next();
        let at = self.at;
        let kind = match first {
            None => return Err(self.fault("EOF while parsing a value")),
            Some(b'{' | b'[') => self.inner(first == Some(b'{'))?,
            Some(b'"') => Kind::Text(self.string()?),
            Some(b'-' | b'0'..=b'9') => self.number()?,
            Some(_) => {
                let words = [("null", Kind::Null), ("true", Kind::Bool(true)), ("false", Kind::Bool(false))];
                let rest = self.text.get(at..).unwrap_or_default();
                let Some((word, kind)) = words.into_iter().find(|(w, _)| rest.starts_with(w)) else { return Err(self.fault("expected value")) };
                self.at += word.len();
                kind
            }
        };
        Ok(Value { at, kind })
    }

    /// A list or an object.
    fn inner(&mut self, named: bool) -> Result<Kind<'a>, Fault> {
        let close = if named { b'}' } else { b']' };
        self.at += 1;
        self.deep += 1;
        if self.deep > DEEPEST {
            return Err(self.fault("recursion limit exceeded"));
        }
        let (mut list, mut fields) = (Vec::new(), Vec::new());
        if self.next() != Some(close) {
            loop {
                if named {
                    match self.next() {
                        Some(b'"') => {}
                        None => return Err(self.fault("EOF while parsing an object")),
                        Some(_) => return Err(self.fault("key must be a string")),
                    }
                    let name = self.string()?;
                    if self.next() != Some(b':') {
                        return Err(self.fault("expected `:`"));
                    }
                    self.at += 1;
                    fields.push((name, self.value()?));
                } else {
                    list.push(self.value()?);
                }
                match self.next() {
                    Some(b',') => self.at += 1,
                    Some(b) if b == close => break,
                    None => return Err(self.fault(if named { "EOF while parsing an object" } else { "EOF while parsing a list" })),
                    Some(_) => return Err(self.fault(if named { "expected `,` or `}`" } else { "expected `,` or `]`" })),
                }
            }
        }
        self.at += 1;
        self.deep -= 1;
        Ok(if named { Kind::Fields(fields) } else { Kind::List(list) })
    }

    fn digits(&mut self) -> Result<(), Fault> {
        let from = self.at;
        while matches!(self.byte(), Some(b'0'..=b'9')) {
            self.at += 1;
        }
        if self.at == from { Err(self.fault("invalid number")) } else { Ok(()) }
    }

    fn number(&mut self) -> Result<Kind<'a>, Fault> {
        let from = self.at;
        self.at += usize::from(self.byte() == Some(b'-'));
        if self.byte() == Some(b'0') {
            self.at += 1;
            if matches!(self.byte(), Some(b'0'..=b'9')) {
                return Err(self.fault("invalid number"));
            }
        } else {
            self.digits()?;
        }
        if self.byte() == Some(b'.') {
            self.at += 1;
            self.digits()?;
        }
        if matches!(self.byte(), Some(b'e' | b'E')) {
            self.at += 1;
            self.at += usize::from(matches!(self.byte(), Some(b'+' | b'-')));
            self.digits()?;
        }
        Ok(Kind::Number(self.text.get(from..self.at).unwrap_or_default()))
    }

    /// A text, from its opening quote on.
    fn string(&mut self) -> Result<String, Fault> {
        let mut out = String::new();
        self.at += 1;
        loop {
            let rest = self.text.get(self.at..).unwrap_or_default();
            let Some(c) = rest.chars().next() else { return Err(self.fault("EOF while parsing a string")) };
            self.at += c.len_utf8();
            match c {
                '"' => return Ok(out),
                '\\' => out.push(self.escaped()?),
                '\0'..='\u{1f}' => {
                    self.at -= 1;
                    return Err(self.fault("control character (\\u0000-\\u001F) found while parsing a string"));
                }
                _ => out.push(c),
            }
        }
    }

    fn escaped(&mut self) -> Result<char, Fault> {
        let c = self.byte();
        self.at += 1;
        Ok(match c {
            Some(c @ (b'"' | b'\\' | b'/')) => char::from(c),
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => {
                let mut n = self.hex()?;
                // Two halves of one character beyond the first plane.
                if (0xd800..0xdc00).contains(&n) && self.text.get(self.at..).is_some_and(|t| t.starts_with("\\u")) {
                    self.at += 2;
                    let low = self.hex()?;
                    n = if (0xdc00..0xe000).contains(&low) { 0x10000 + ((n - 0xd800) << 10) + (low - 0xdc00) } else { 0xd800 };
                }
                char::from_u32(n).ok_or_else(|| self.fault("lone surrogate in a string"))?
            }
            _ => return Err(self.fault("invalid escape")),
        })
    }

    fn hex(&mut self) -> Result<u32, Fault> {
        let digits = self.text.get(self.at..self.at + 4).filter(|d| d.bytes().all(|b| b.is_ascii_hexdigit()));
        let n = digits.and_then(|d| u32::from_str_radix(d, 16).ok()).ok_or_else(|| self.fault("invalid escape"))?;
        self.at += 4;
        Ok(n)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// The same tree in serde's terms.
    fn plain(value: &Value<'_>) -> serde_json::Value {
        match &value.kind {
            Kind::Null => serde_json::Value::Null,
            Kind::Bool(b) => (*b).into(),
            Kind::Number(n) => serde_json::from_str(n).unwrap_or_default(),
            Kind::Text(t) => t.as_str().into(),
            Kind::List(l) => l.iter().map(plain).collect(),
            Kind::Fields(f) => serde_json::Value::Object(f.iter().map(|(k, v)| (k.clone(), plain(v))).collect()),
        }
    }

    proptest! {
        // Near JSON, so that many are and many are not.
        #[test]
        fn takes_what_serde_takes(text in "([\\[\\]{},: ]|\"(a|é|\\\\n|\\\\u00e9|\\\\ud83d\\\\ude00|\\\\ud83d|\\\\x|\t)?\"|-?[0-2]{1,2}(\\.[0-9]{0,2})?(e[+-]?[0-9]?)?|true|null|nul){0,9}") {
            let ours = parse(&text).ok().map(|v| plain(&v));
            prop_assert_eq!(ours, serde_json::from_str::<serde_json::Value>(&text).ok(), "{}", text);
        }

        #[test]
        fn reads_back_any_text(text in any::<String>(), list in prop::collection::vec(any::<i32>(), 0..5)) {
            let value = serde_json::json!({ "a": [&text, &list, null], "b": { "c": true } });
            for written in [value.to_string(), serde_json::to_string_pretty(&value).unwrap_or_default()] {
                prop_assert_eq!(parse(&written).ok().map(|v| plain(&v)), Some(value.clone()));
            }
            let mut quoted = String::new();
            crate::json::quote(&mut quoted, &text);
            prop_assert_eq!(quoted, serde_json::Value::from(text).to_string());
        }

        #[test]
        fn powers_of_ten_are_spelled_out(n in -99999_i32..99999, places in 0..4_usize, power in -12..12_i32) {
            let number = format!("{:.places$}e{power}", f64::from(n) / 100.0);
            let spelled = spelled_out(&number).unwrap_or_default();
            prop_assert!(!spelled.contains('e'));
            prop_assert_eq!(spelled.parse::<f64>().ok().map(|v| v.abs()), number.parse::<f64>().ok().map(|v| v.abs()), "{} {}", number, spelled);
        }
    }

    #[test]
    fn says_what_is_wrong_and_where() {
        let wrong = |text: &str| parse(text).map_or_else(|f| (f.at, f.what), |_| (0, String::new()));
        assert_eq!(wrong(""), (0, "EOF while parsing a value".into()));
        assert_eq!(wrong("[1 2]"), (3, "expected `,` or `]`".into()));
        assert_eq!(wrong("{\"a\" 1}"), (5, "expected `:`".into()));
        assert_eq!(wrong("{} {}"), (3, "trailing characters".into()));
        assert_eq!(wrong(&"[".repeat(200)), (128, "recursion limit exceeded".into()));
        assert!(parse(&[&"[".repeat(127), "1", &"]".repeat(127)].concat()).is_ok());
        assert_eq!(spelled_out("1e999"), None);
    }
}
