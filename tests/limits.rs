//! A limit stands once in the data files: elsewhere `{limit KEY}` stands for it
//! (`src/knowledge/limits.rs`).
#![allow(missing_docs, clippy::unwrap_used, clippy::indexing_slicing)]

use std::fs;
use stillbright::wine::Quantity;
use toml::{Table, Value};

/// A problem, a stability or a last check, as its file has it.
struct Entry {
    place: String,
    kind: &'static str,
    quantity: Option<Quantity>,
    fields: Table,
}

impl Entry {
    fn bands(&self) -> impl Iterator<Item = &Table> {
        let bands = self.fields.get("bands").and_then(Value::as_array);
        bands.into_iter().flatten().filter_map(Value::as_table)
    }

    /// The limits that `{limit KEY}` can stand for: those of bands with one limit, but for the
    /// figures of a problem that no test has.
    fn limits(&self, all: &[Entry]) -> Vec<f64> {
        let sides = self.bands().map(sides).filter(|sides| sides.len() == 1);
        let named = |v: &&Value| v.is_str() || self.kind != "problem";
        let found = sides.flatten().filter(named);
        found.flat_map(|v| limit_of(v, all)).collect()
    }
}

fn sides(band: &Table) -> Vec<&Value> {
    ["floor", "ceiling"]
        .iter()
        .filter_map(|side| band.get(*side))
        .collect()
}

/// A figure, or all limits of what a reference names.
fn limit_of(value: &Value, all: &[Entry]) -> Vec<f64> {
    let Some(text) = value.as_str() else {
        return value.as_float().into_iter().collect();
    };
    let key = text.trim_matches(['{', '}']).split(' ').nth(1).unwrap();
    let named = all
        .iter()
        .find(|e| e.fields.get("key").and_then(Value::as_str) == Some(key));
    named.unwrap().limits(all)
}

fn entries() -> Vec<Entry> {
    let mut all = Vec::new();
    let mut files: Vec<_> = fs::read_dir("src/knowledge/data")
        .unwrap()
        .map(|f| f.unwrap().path())
        .collect();
    files.sort();
    for path in files {
        let file: Table = toml::from_str(&fs::read_to_string(&path).unwrap()).unwrap();
        for (kind, key) in [
            ("problem", "problem"),
            ("stability", "key"),
            ("last", "key"),
        ] {
            let rows = file.get(kind).and_then(Value::as_array);
            for fields in rows.into_iter().flatten().filter_map(Value::as_table) {
                let name = fields.get(key).and_then(Value::as_str).unwrap();
                let quantity = fields.get("quantity").and_then(Value::as_str);
                all.push(Entry {
                    place: format!("{}: {kind} `{name}`", path.display()),
                    kind,
                    quantity: quantity.and_then(Quantity::from_key),
                    fields: fields.clone(),
                });
            }
        }
    }
    all
}

fn texts<'a>(value: &'a Value, all: &mut Vec<&'a str>) {
    match value {
        Value::String(text) => all.push(text),
        Value::Array(list) => list.iter().for_each(|v| texts(v, all)),
        Value::Table(table) => table.values().for_each(|v| texts(v, all)),
        _ => {}
    }
}

/// Whether a text has this figure in this unit, however many decimals it is written with.
fn states(text: &str, figure: f64, unit: &str) -> bool {
    text.match_indices(&format!(" {unit}")).any(|(at, _)| {
        let before = &text[..at];
        let number = before
            .rsplit(|c: char| !c.is_ascii_digit() && c != '.')
            .next();
        number.and_then(|n| n.parse::<f64>().ok()) == Some(figure)
    })
}

#[test]
fn a_problem_takes_the_limit_of_the_test_of_its_quantity() {
    let all = entries();
    let mut taken = 0;
    for problem in all.iter().filter(|e| e.kind == "problem") {
        let same = |e: &&Entry| {
            e.kind != "problem" && e.quantity.is_some() && e.quantity == problem.quantity
        };
        let Some(test) = all.iter().find(same) else {
            continue;
        };
        for band in problem.bands().filter(|b| !b.contains_key("stages")) {
            let limit = band.get("ceiling").or(band.get("floor")).unwrap();
            assert!(
                limit.is_str(),
                "{}: writes out the limit {limit}, which stands in {}: refer to it, {{limit KEY}}",
                problem.place,
                test.place
            );
            taken += 1;
        }
    }
    assert!(taken > 10, "{taken}");
}

/// Where an entry states its own limit in words, the words follow the figure.
#[test]
fn no_sentence_writes_out_the_limit_of_its_entry() {
    let all = entries();
    let mut looked = 0;
    for entry in &all {
        let Some(unit) = entry.quantity.map(|q| q.facts().unit) else {
            continue;
        };
        let limits = entry.limits(&all);
        let mut said = Vec::new();
        entry.fields.values().for_each(|v| texts(v, &mut said));
        for text in said.into_iter().filter(|t| !t.contains("{limit ")) {
            looked += 1;
            for limit in &limits {
                assert!(
                    unit.is_empty() || !states(text, *limit, unit),
                    "{}: “{text}” writes out the limit {limit} {unit}: put {{limit KEY}} there",
                    entry.place
                );
            }
        }
    }
    assert!(looked > 300, "{looked}");
    assert!(states("below 2.0 NTU", 2.0, "NTU") && states("of 2 NTU", 2.0, "NTU"));
    assert!(!states("below 12 NTU", 2.0, "NTU") && !states("for 2 h", 2.0, "NTU"));
}

/// Where nothing can stand for a figure in the sentence of its band, the sentence has it: both
/// limits of a band that has two, and the figure of a problem that no test has.
#[test]
fn the_sentence_of_a_band_has_its_figures() {
    let mut looked = 0;
    for entry in entries() {
        for band in entry.bands() {
            let sides = sides(band);
            let own = entry.kind == "problem" && sides.iter().all(|v| v.is_float());
            if sides.len() == 1 && !own {
                continue;
            }
            let why = band["why"]["text"].as_str().unwrap();
            let numbers: Vec<f64> = why
                .split(|c: char| !c.is_ascii_digit() && c != '.')
                .filter_map(|n| n.parse().ok())
                .collect();
            for limit in sides.into_iter().filter_map(Value::as_float) {
                looked += 1;
                assert!(
                    numbers.contains(&limit),
                    "{}: “{why}” does not have the limit {limit} of its band",
                    entry.place
                );
            }
        }
    }
    assert!(looked >= 6, "{looked}");
}
