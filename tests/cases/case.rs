//! A case as written in `cases.json`: what is told of the wine, and what must follow.

use super::words::*;
use serde::de::{Error, IntoDeserializer};
use serde::{Deserialize, Deserializer};
use serde_json::{Map, Number, Value};
use std::collections::BTreeMap;

/// Fields that tell of the wine; a change of a flip names some of them.
const TOLD: [&str; 15] = [
    "colour",
    "style",
    "stage",
    "abv",
    "ph",
    "analyses",
    "observations",
    "needs",
    "markets",
    "claims",
    "kit_missing",
    "days_available",
    "history",
    "planned",
    "asks_about",
];
/// Fields that say what must follow.
const WANTED: [&str; 9] = [
    "expected_any_of",
    "also_any",
    "expected_all_in_order",
    "order_only_with",
    "loose_order",
    "refused",
    "refused_unless",
    "refused_order",
    "outranks",
];
/// All other fields of a case.
const ABOUT: [&str; 12] = [
    "id",
    "evidence",
    "kind",
    "title",
    "dose",
    "doses_other",
    "numbers",
    "facts",
    "flips",
    "synthetic",
    "source",
    "note",
];
/// All other fields of a flip.
const OF_FLIP: [&str; 3] = ["change", "why", "numbers"];

/// What is told of the wine.
#[derive(Debug, Clone, Deserialize)]
pub struct Told {
    pub colour: Colour,
    /// Free words.
    pub style: String,
    pub stage: Stage,
    pub abv: Option<Number>,
    pub ph: Option<Number>,
    pub analyses: BTreeMap<Analysis, Number>,
    pub observations: Vec<Observation>,
    pub needs: Vec<Need>,
    pub markets: Vec<Market>,
    pub claims: Vec<Claim>,
    pub kit_missing: Vec<Missing>,
    pub days_available: Option<i64>,
    /// What was done.
    pub history: Vec<Id>,
    /// What the maker means to do.
    pub planned: Vec<Id>,
}

/// A treatment that may be recommended only where every condition is met or stated.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Unless {
    pub treatment: Id,
    pub unless: Vec<Condition>,
}

/// A condition: another treatment in its right place, or a gate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    Gate(Gate),
    Step(Id),
}

impl<'de> Deserialize<'de> for Condition {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Condition, D::Error> {
        let word = String::deserialize(reader)?;
        let gate: Result<Gate, serde::de::value::Error> =
            Gate::deserialize(word.as_str().into_deserializer());
        gate.map(Condition::Gate)
            .or_else(|_| Id::read(&word).map(Condition::Step))
            .map_err(D::Error::custom)
    }
}

impl Condition {
    pub fn key(self) -> &'static str {
        match self {
            Condition::Gate(gate) => gate.key(),
            Condition::Step(id) => id.0,
        }
    }
}

/// Treatments of which one is enough: “a|b”.
#[derive(Debug, Clone, Deserialize)]
#[serde(try_from = "String")]
pub struct AnyOf(pub Vec<Id>);

impl TryFrom<String> for AnyOf {
    type Error = String;
    fn try_from(text: String) -> Result<AnyOf, String> {
        text.split('|')
            .map(Id::read)
            .collect::<Result<_, _>>()
            .map(AnyOf)
    }
}

impl std::fmt::Display for AnyOf {
    fn fmt(&self, to: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        to.write_str(&self.0.iter().map(|id| id.0).collect::<Vec<_>>().join("|"))
    }
}

/// What must follow.
#[derive(Debug, Clone, Deserialize)]
pub struct Wanted {
    /// One of these is recommended.
    pub expected_any_of: Vec<Id>,
    /// These count too, by the note of the case.
    #[serde(default)]
    pub also_any: Vec<Id>,
    /// These stand in the first route, in this order.
    #[serde(default)]
    pub expected_all_in_order: Vec<AnyOf>,
    /// The order is asked only of a route with this treatment.
    pub order_only_with: Option<Id>,
    /// They may stand in any order.
    #[serde(default)]
    pub loose_order: bool,
    /// These are not recommended.
    pub refused: Vec<Id>,
    #[serde(default)]
    pub refused_unless: Vec<Unless>,
    /// The first before the second is the error.
    #[serde(default)]
    pub refused_order: Vec<(Id, Id)>,
    /// Where both are listed the first stands higher.
    #[serde(default)]
    pub outranks: Vec<(Id, Id)>,
}

/// The same wine with a small change, and what must follow then.
#[derive(Debug)]
pub struct Flip {
    pub told: Told,
    pub wanted: Wanted,
    pub why: String,
}

/// A case.
#[derive(Debug)]
pub struct Case {
    pub id: String,
    pub kind: Kind,
    pub title: String,
    pub told: Told,
    pub wanted: Wanted,
    pub flips: Vec<Flip>,
}

/// What nothing is worked out from: read so that its words are known words.
#[derive(Debug, Deserialize)]
#[allow(dead_code)]
struct About {
    evidence: Evidence,
    asks_about: Vec<Id>,
    dose: Option<DoseRange>,
    #[serde(default)]
    doses_other: Vec<DoseRange>,
    #[serde(default)]
    numbers: BTreeMap<String, Value>,
    facts: Vec<String>,
    synthetic: Vec<String>,
    source: String,
    note: String,
}

/// A range for the ladder on the bench.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(dead_code)]
struct DoseRange {
    treatment: Id,
    low: f64,
    high: f64,
    unit: DoseUnit,
}

/// Reads the cases; says which case and what is wrong.
pub fn read(text: &str) -> Result<Vec<Case>, String> {
    let all: Vec<Map<String, Value>> = serde_json::from_str(text).map_err(|e| e.to_string())?;
    all.into_iter()
        .map(|fields| {
            let id = fields
                .get("id")
                .and_then(Value::as_str)
                .unwrap_or("a case with no id")
                .to_string();
            one(fields).map_err(|e| format!("{id}: {e}"))
        })
        .collect()
}

fn one(fields: Map<String, Value>) -> Result<Case, String> {
    known(&fields, &[&TOLD, &WANTED, &ABOUT])?;
    let _words: About = typed(&fields)?;
    let flips = match fields.get("flips") {
        None => Vec::new(),
        Some(Value::Array(all)) => all
            .iter()
            .map(|f| flip(&fields, f))
            .collect::<Result<_, _>>()?,
        Some(other) => return Err(format!("flips: {other}")),
    };
    let Head { id, kind, title } = typed(&fields)?;
    Ok(Case {
        id,
        kind,
        title,
        told: typed(&fields)?,
        wanted: typed(&fields)?,
        flips,
    })
}

#[derive(Deserialize)]
struct Head {
    id: String,
    kind: Kind,
    title: String,
}

/// A flip: what its change names stands in place of what the case tells; analyses are merged.
fn flip(case: &Map<String, Value>, flip: &Value) -> Result<Flip, String> {
    let Value::Object(flip) = flip else {
        return Err(format!("no flip: {flip}"));
    };
    known(flip, &[&WANTED, &OF_FLIP])?;
    let Some(Value::Object(change)) = flip.get("change") else {
        return Err("a flip with no change".into());
    };
    known(change, &[&TOLD])?;
    let mut told = case.clone();
    for (field, new) in change {
        match (told.get_mut(field), new) {
            (Some(Value::Object(old)), Value::Object(new)) => old.extend(new.clone()),
            _ => drop(told.insert(field.clone(), new.clone())),
        }
    }
    let why = flip
        .get("why")
        .and_then(Value::as_str)
        .ok_or("a flip with no reason")?
        .to_string();
    Ok(Flip {
        told: typed(&told)?,
        wanted: typed(flip)?,
        why,
    })
}

/// A field that nobody reads is a slip of the pen.
fn known(fields: &Map<String, Value>, lists: &[&[&str]]) -> Result<(), String> {
    match fields
        .keys()
        .find(|k| !lists.iter().any(|l| l.contains(&k.as_str())))
    {
        Some(field) => Err(format!("unknown field “{field}”")),
        None => Ok(()),
    }
}

fn typed<T: serde::de::DeserializeOwned>(fields: &Map<String, Value>) -> Result<T, String> {
    serde_json::from_value(Value::Object(fields.clone())).map_err(|e| e.to_string())
}
