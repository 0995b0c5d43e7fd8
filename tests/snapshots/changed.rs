//! What changed between two files of decisions: by kind of line and field, how many wines, with a
//! few examples.

use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};

/// Examples shown of each field.
const EXAMPLES: usize = 5;

type Fields = BTreeMap<String, String>;

/// Which decision a line is about: the wine, its kind, and its problem or place.
type Place = (String, String, String);

/// The fields of a line that only say what it is about.
const NAMES: [&str; 4] = ["wine", "what", "need", "at"];

/// A decision that differs.
struct Change {
    wine: String,
    /// Problem or place.
    of: String,
    before: String,
    after: String,
}

/// How many wines differ, field by field; None where the two files say the same.
pub fn summary(before: &str, after: &str) -> Option<String> {
    let (before, after) = (decisions(before), decisions(after));
    let wines: BTreeSet<&String> = before
        .keys()
        .chain(after.keys())
        .map(|(wine, ..)| wine)
        .collect();
    let changes = changes(&before, &after);
    let moved = count(changes.values().flatten());
    if moved == 0 {
        return None;
    }
    let mut text = format!("{moved} of {} wines changed.\n", wines.len());
    for (field, all) in &changes {
        text.push_str(&format!(
            "\n{field}: {}\n",
            show_count(count(all), all.len())
        ));
        for c in spread(all) {
            text.push_str(&format!(
                "  {}{}: {} -> {}\n",
                c.wine, c.of, c.before, c.after
            ));
        }
    }
    Some(text)
}

fn show_count(wines: usize, lines: usize) -> String {
    let named = if wines == 1 {
        "1 wine".to_string()
    } else {
        format!("{wines} wines")
    };
    if lines == wines {
        named
    } else {
        format!("{named}, {lines} times")
    }
}

fn count<'a>(changes: impl IntoIterator<Item = &'a Change>) -> usize {
    changes
        .into_iter()
        .map(|c| &c.wine)
        .collect::<BTreeSet<_>>()
        .len()
}

/// Examples of as many wines as there are, the first of each.
fn spread(all: &[Change]) -> Vec<&Change> {
    let mut seen = BTreeSet::new();
    all.iter()
        .filter(|c| seen.insert(&c.wine))
        .take(EXAMPLES)
        .collect()
}

fn decisions(text: &str) -> BTreeMap<Place, Fields> {
    text.lines()
        .filter_map(|line| serde_json::from_str::<Map<String, Value>>(line).ok())
        .map(|line| (place(&line), fields(&line)))
        .collect()
}

fn place(line: &Map<String, Value>) -> Place {
    let word = |name: &str| match line.get(name) {
        Some(Value::String(word)) => word.clone(),
        Some(other) => other.to_string(),
        None => String::new(),
    };
    (word("wine"), word("what"), word("need") + &word("at"))
}

/// A field that holds fields of its own is one for each of them. What is written as a word and
/// those of which it is said
/// (`by`) is one for each of those.
fn fields(line: &Map<String, Value>) -> Fields {
    let mut all = Fields::new();
    for (name, value) in line
        .iter()
        .filter(|(name, _)| !NAMES.contains(&name.as_str()))
    {
        match value {
            Value::Object(words) if name == "by" => words
                .iter()
                .for_each(|(word, of)| all.extend(each(of).map(|key| (show(key), word.clone())))),
            Value::Object(inner) => all.extend(
                inner
                    .iter()
                    .map(|(key, v)| (format!("{name}.{key}"), show(v))),
            ),
            other => all.extend([(name.clone(), show(other))]),
        }
    }
    all
}

fn each(list: &Value) -> impl Iterator<Item = &Value> {
    list.as_array().into_iter().flatten()
}

/// As in the file, without the marks of JSON.
fn show(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Array(list) => format!("[{}]", list.iter().map(show).collect::<Vec<_>>().join(", ")),
        other => other.to_string(),
    }
}

/// Every change, by kind of line and field.
fn changes(
    before: &BTreeMap<Place, Fields>,
    after: &BTreeMap<Place, Fields>,
) -> BTreeMap<String, Vec<Change>> {
    let mut all: BTreeMap<String, Vec<Change>> = BTreeMap::new();
    let places: BTreeSet<&Place> = before.keys().chain(after.keys()).collect();
    for place in places {
        let (wine, what, of) = place;
        let mut add = |field: &str, before: &str, after: &str| {
            let field = if field.is_empty() {
                what.clone()
            } else {
                format!("{what}.{field}")
            };
            let of = if of.is_empty() {
                String::new()
            } else {
                format!(" {of}")
            };
            all.entry(field).or_default().push(Change {
                wine: wine.clone(),
                of,
                before: before.into(),
                after: after.into(),
            });
        };
        match (before.get(place), after.get(place)) {
            (Some(was), Some(is)) => differing(was, is)
                .into_iter()
                .for_each(|name| add(name, value(was, name), value(is, name))),
            (was, is) => add("", &head(was), &head(is)),
        }
    }
    all
}

const NOTHING: &str = "(none)";

fn value<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.get(name).map_or(NOTHING, String::as_str)
}

/// The fields that differ. Where another route or step has the place, that alone is said: all the
/// rest follows from it.
fn differing<'a>(was: &'a Fields, is: &'a Fields) -> Vec<&'a str> {
    let names: BTreeSet<&str> = was.keys().chain(is.keys()).map(String::as_str).collect();
    let all: Vec<&str> = names
        .into_iter()
        .filter(|name| was.get(*name) != is.get(*name))
        .collect();
    match all.iter().find(|name| ["key", "step"].contains(name)) {
        Some(other) => vec![other],
        None => all,
    }
}

/// What a line that is new or gone is about.
fn head(fields: Option<&Fields>) -> String {
    let Some(fields) = fields else {
        return NOTHING.into();
    };
    let name = ["key", "step", "measure", "first"]
        .iter()
        .find_map(|name| fields.get(*name));
    name.or_else(|| fields.values().next())
        .map_or("there", String::as_str)
        .into()
}
