//! JSON: the files and the storage of a wine, and an advice as a file. `serde_json` reads and
//! writes the grammar, by one tree;
//! ours are the lists of fields, by which one reader and one writer go through every record:
//! readers that are derived for
//! each type weigh more over the wire, and give no path to what they do not take.
//! What the lists write is equal to the byte to what serde's derived writers would write, which the
//! tests hold.

mod tree;

pub use tree::{Value, parse};

use crate::wine::{AsTyped, Map, Word};
use serde::Serialize;

/// What in a text of JSON cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Path of the field, such as `wines[0].colour`; empty for the whole.
    pub path: String,
    /// What was read there, as JSON; empty where the text is no JSON.
    pub read: String,
    /// What is wrong and how to mend it.
    pub what: String,
    /// The line, from 1, where the text is no JSON; 0 for a value, which its path leads to.
    pub line: usize,
    /// So many bytes of that line were read when the fault was seen.
    pub column: usize,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}: {}. {}", self.path, self.read, self.what)
    }
}

impl std::error::Error for Fault {}

impl Fault {
    /// Of a value, with no path yet.
    pub fn new(value: &Value, what: String) -> Fault {
        Fault {
            path: String::new(),
            read: to_text(value),
            what,
            line: 0,
            column: 0,
        }
    }

    /// How many bytes of the text were read when the fault was seen.
    pub fn offset(&self, text: &str) -> usize {
        let before: usize = text
            .split_inclusive('\n')
            .take(self.line.saturating_sub(1))
            .map(str::len)
            .sum();
        before + self.column
    }

    /// The same, seen from the record or list that holds it.
    fn under(mut self, step: &str) -> Fault {
        let dot = if self.path.is_empty() || self.path.starts_with('[') {
            ""
        } else {
            "."
        };
        self.path = [step, dot, &self.path].concat();
        self
    }
}

/// “`a`, `b`, `c`”.
fn quoted(names: &[&str]) -> String {
    names
        .iter()
        .map(|n| ["`", n, "`"].concat())
        .collect::<Vec<_>>()
        .join(", ")
}

/// Why a number is not taken.
const OUT_OF_RANGE: &str = "This number is out of range: write a smaller one.";

/// Something that stands in JSON.
pub trait Field {
    /// One that holds nothing yet.
    fn blank() -> Self
    where
        Self: Sized;
    /// Takes what was read.
    fn take(&mut self, value: &Value) -> Result<(), Fault>;
    /// What is written. Mutable only because one list of fields serves both ways; nothing is
    /// changed.
    fn put(&mut self) -> Value;
    /// Whether it says no more than its absence, and may be left out.
    fn bare(&self) -> bool {
        false
    }
}

/// When a field of a record is written, and whether it must be there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// Left out where it is bare.
    Optional,
    /// Always written, yet may be left out in what is read.
    Kept,
    /// Always written and must be there.
    Needed,
}

/// A field of a record: its name, its presence, its place.
pub type Entry<'a> = (&'static str, Presence, &'a mut dyn Field);

/// Reads a record. An unknown field, one that stands twice and a needed one that is missing are
/// faults.
pub fn take_record(mut entries: Vec<Entry<'_>>, value: &Value) -> Result<(), Fault> {
    let Value::Fields(fields) = value else {
        return Err(value.unlike("Write an object with named fields."));
    };
    let mut seen: Vec<&str> = Vec::new();
    for (name, inner) in fields {
        if seen.contains(&name.as_str()) {
            return Err(Fault::new(
                inner,
                ["Duplicate field `", name, "`: take one out."].concat(),
            )
            .under(name));
        }
        seen.push(name);
        match entries.iter_mut().find(|e| e.0 == name) {
            Some(e) => e.2.take(inner).map_err(|f| f.under(name))?,
            None => {
                let names: Vec<&str> = entries.iter().map(|e| e.0).collect();
                return Err(Fault::new(
                    inner,
                    [
                        "Unknown field `",
                        name,
                        "`: take it out, or write one of ",
                        &quoted(&names),
                        ".",
                    ]
                    .concat(),
                )
                .under(name));
            }
        }
    }
    match entries
        .iter()
        .find(|e| e.1 == Presence::Needed && !seen.contains(&e.0))
    {
        Some(e) => Err(Fault::new(
            value,
            ["Missing field `", e.0, "`: add it."].concat(),
        )),
        None => Ok(()),
    }
}

/// A record as it is written.
pub fn put_record(entries: Vec<Entry<'_>>) -> Value {
    let mut fields = Vec::new();
    for (name, presence, field) in entries {
        if presence != Presence::Optional || !field.bare() {
            fields.push((name.to_string(), field.put()));
        }
    }
    Value::Fields(fields)
}

/// Lists the fields of a record, all of them: one forgotten here does not compile. `kept` and
/// `needed` stand behind a name.
macro_rules! record {
    (@) => { $crate::json::Presence::Optional };
    (@ kept) => { $crate::json::Presence::Kept };
    (@ needed) => { $crate::json::Presence::Needed };
    ($name:ident { $($field:ident $($how:ident)?),* $(,)? } $blank:expr) => {
        impl $crate::json::Field for $name {
            fn blank() -> Self { $blank }
            fn take(&mut self, value: &$crate::json::Value) -> Result<(), $crate::json::Fault> {
                $crate::json::take_record(self.entries(), value)
            }
            fn put(&mut self) -> $crate::json::Value { $crate::json::put_record(self.entries()) }
        }
        impl $name {
            fn entries(&mut self) -> Vec<$crate::json::Entry<'_>> {
                let $name { $($field),* } = self;
                vec![$((stringify!($field), $crate::json::record!(@ $($how)?), $field as &mut dyn $crate::json::Field)),*]
            }
        }
    };
}
pub(crate) use record;

impl Field for String {
    fn blank() -> Self {
        String::new()
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        match value {
            Value::Text(text) => self.clone_from(text),
            _ => return Err(value.unlike("Write a text.")),
        }
        Ok(())
    }
    fn put(&mut self) -> Value {
        Value::Text(self.clone())
    }
    fn bare(&self) -> bool {
        self.is_empty()
    }
}

impl Field for AsTyped {
    fn blank() -> Self {
        AsTyped::default()
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        self.0 = match value {
            Value::Text(text) => text.clone(),
            Value::Number(number) => tree::spelled_out(&number.to_string())
                .ok_or_else(|| Fault::new(value, OUT_OF_RANGE.into()))?,
            _ => return Err(value.unlike("Write a text between quotes, or a number.")),
        };
        Ok(())
    }
    fn put(&mut self) -> Value {
        self.0.put()
    }
    fn bare(&self) -> bool {
        self.0.is_empty()
    }
}

impl Field for bool {
    fn blank() -> Self {
        false
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        match value {
            Value::Bool(b) => *self = *b,
            _ => return Err(value.unlike("Write `true` or `false`.")),
        }
        Ok(())
    }
    fn put(&mut self) -> Value {
        Value::Bool(*self)
    }
    fn bare(&self) -> bool {
        !*self
    }
}

macro_rules! whole {
    ($($name:ident)*) => { $(
        impl Field for $name {
            fn blank() -> Self { 0 }
            fn take(&mut self, value: &Value) -> Result<(), Fault> {
                *self = value.whole($name::MAX as u64)? as $name;
                Ok(())
            }
            fn put(&mut self) -> Value { Value::Number((*self).into()) }
        }
    )* };
}
whole!(u8 u32 u64);

impl<T: Field> Field for Option<T> {
    fn blank() -> Self {
        None
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        if matches!(value, Value::Null) {
            *self = None;
            return Ok(());
        }
        self.insert(T::blank()).take(value)
    }
    fn put(&mut self) -> Value {
        self.as_mut().map_or(Value::Null, Field::put)
    }
    fn bare(&self) -> bool {
        self.is_none()
    }
}

impl<W: Word> Field for W {
    fn blank() -> Self {
        W::FIRST
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        *self = W::EVERY
            .get(value.place_in(W::KEYS)?)
            .copied()
            .unwrap_or(W::FIRST);
        Ok(())
    }
    fn put(&mut self) -> Value {
        Value::Text(
            W::KEYS
                .get(self.place())
                .copied()
                .unwrap_or_default()
                .to_string(),
        )
    }
}

/// Something with a row of places in it, so that one piece of code reads and writes all lists, and
/// one all maps.
trait Row {
    /// Makes room for one more, under this key where it is a map.
    fn room(&mut self, key: &Value) -> Result<&mut dyn Field, Fault>;
    /// The place with this number, with its key where it is a map.
    fn at(&mut self, n: usize) -> Option<(Value, &mut dyn Field)>;
}

fn take_list(row: &mut dyn Row, value: &Value) -> Result<(), Fault> {
    let Value::List(values) = value else {
        return Err(value.unlike("Write a list."));
    };
    for (i, inner) in values.iter().enumerate() {
        let step = |f: Fault| f.under(&["[", &i.to_string(), "]"].concat());
        row.room(inner).map_err(step)?.take(inner).map_err(step)?;
    }
    Ok(())
}

fn take_map(row: &mut dyn Row, value: &Value) -> Result<(), Fault> {
    let Value::Fields(fields) = value else {
        return Err(value.unlike("Write an object."));
    };
    for (name, inner) in fields {
        let key = Value::Text(name.clone());
        row.room(&key)
            .and_then(|place| place.take(inner))
            .map_err(|f| f.under(name))?;
    }
    Ok(())
}

fn put_list(row: &mut dyn Row) -> Value {
    let mut list = Vec::new();
    while let Some((_, inner)) = row.at(list.len()) {
        list.push(inner.put());
    }
    Value::List(list)
}

fn put_map(row: &mut dyn Row) -> Value {
    let mut fields = Vec::new();
    while let Some((key, inner)) = row.at(fields.len()) {
        // Keys are words and names, which are texts.
        let name = if let Value::Text(name) = key {
            name
        } else {
            String::new()
        };
        fields.push((name, inner.put()));
    }
    Value::Fields(fields)
}

impl<T: Field> Row for Vec<T> {
    fn room(&mut self, key: &Value) -> Result<&mut dyn Field, Fault> {
        self.push(T::blank());
        match self.last_mut() {
            Some(place) => Ok(place),
            None => Err(Fault::new(key, String::new())),
        }
    }
    fn at(&mut self, n: usize) -> Option<(Value, &mut dyn Field)> {
        self.get_mut(n).map(|p| (Value::Null, p as &mut dyn Field))
    }
}

impl<T: Field> Field for Vec<T> {
    fn blank() -> Self {
        Vec::new()
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        self.clear();
        take_list(self, value)
    }
    fn put(&mut self) -> Value {
        put_list(self)
    }
    fn bare(&self) -> bool {
        self.is_empty()
    }
}

impl<K: Field + Ord, V: Field> Row for Map<K, V> {
    fn room(&mut self, key: &Value) -> Result<&mut dyn Field, Fault> {
        let mut own = K::blank();
        own.take(key)?;
        Ok(self.place_for(own, V::blank()))
    }
    fn at(&mut self, n: usize) -> Option<(Value, &mut dyn Field)> {
        self.nth_mut(n).map(|(k, v)| (k.put(), v as &mut dyn Field))
    }
}

impl<K: Field + Ord, V: Field> Field for Map<K, V> {
    fn blank() -> Self {
        Map::default()
    }
    fn take(&mut self, value: &Value) -> Result<(), Fault> {
        *self = Map::default();
        take_map(self, value)
    }
    fn put(&mut self) -> Value {
        put_map(self)
    }
    fn bare(&self) -> bool {
        self.is_empty()
    }
}

/// What serde can describe as JSON without spaces; an empty text where it cannot be written, which
/// nothing of ours is.
pub fn to_text<T: Serialize + ?Sized>(thing: &T) -> String {
    serde_json::to_string(thing).unwrap_or_default()
}

/// Something as JSON without spaces.
pub fn write(thing: &mut dyn Field) -> String {
    to_text(&thing.put())
}

/// Something as JSON with line breaks, and two spaces for each level.
pub fn write_spaced(thing: &mut dyn Field) -> String {
    serde_json::to_string_pretty(&thing.put()).unwrap_or_default()
}

/// Something from a text of JSON.
pub fn read<T: Field>(text: &str) -> Result<T, Fault> {
    let mut thing = T::blank();
    thing.take(&parse(text)?)?;
    Ok(thing)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::wine::{KitEntry, PlanStep, Rung};

    #[test]
    fn names_unknown_repeated_and_missing_fields_and_takes_no_list() {
        assert!(
            read::<PlanStep>("{\"dose\":\"3\",\"treatment\":\"a\"}")
                .is_ok_and(|s| s.treatment == "a" && s.dose.0 == "3")
        );
        assert!(read::<Rung>("{}").is_ok_and(|r| r == Rung::default()));
        let wrong = |text: &str| read::<PlanStep>(text).unwrap_err().what;
        assert!(wrong("{\"does\":1}").contains("Unknown field `does`: take it out, or write one of `treatment`, `dose`, `measure`, `alongside`, `day`."));
        assert!(wrong("{\"dose\":1,\"dose\":2}").contains("Duplicate field `dose`"));
        assert!(wrong("[\"a\"]").contains("named fields"));
        assert!(read::<KitEntry>("{}").is_err_and(|e| e.what == "Missing field `means`: add it."));
    }

    #[test]
    fn a_path_leads_to_the_fault() {
        let path = |text: &str| read::<Vec<Map<String, Vec<bool>>>>(text).unwrap_err().path;
        assert_eq!(path("[{},{\"a\":[true,1]}]"), "[1].a[1]");
        assert_eq!(path("[{},3]"), "[1]");
        assert_eq!(path("{}"), "");
        let read = |text: &str| {
            read::<Vec<Map<String, Vec<bool>>>>(text)
                .map_err(|e| (e.read, e.line))
                .unwrap_err()
        };
        assert_eq!(read("[{},{\"a\":[true,\"yes\"]}]"), ("\"yes\"".into(), 0));
        assert_eq!(read("[{},\n]"), (String::new(), 2));
    }

    #[test]
    fn a_map_takes_the_last_of_a_key_and_numbers_become_texts() {
        let text = "{\"b\":1,\"a\":3.22,\"b\":3}";
        let map = read::<Map<String, AsTyped>>(text).unwrap();
        assert_eq!(
            map.iter()
                .map(|(k, v)| (k.as_str(), v.0.as_str()))
                .collect::<Vec<_>>(),
            [("a", "3.22"), ("b", "3")]
        );
        assert!(read::<Map<String, u32>>("[]").is_err_and(|e| e.what.contains("an object")));
        assert!(
            read::<u8>("256").is_err()
                && read::<u8>("2.0").is_err()
                && read::<u8>("-1").is_err()
                && read::<u8>("255") == Ok(255)
        );
    }
}
