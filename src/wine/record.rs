//! What was tried, what is planned and what was really done: inputs, as typed.

use super::wine::{AsTyped, InputError, Wine};
use super::words::Quantity;
use crate::units::day::Day;
use crate::units::read::{ReadError, measurement};
use serde::{Deserialize, Serialize};

fn empty(text: &AsTyped) -> bool {
    text.0.is_empty()
}

/// One glass or cylinder of a bench trial.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Rung {
    /// Dose in the treatment's own unit, as typed; 0 is the control.
    pub dose: AsTyped,
    /// What was read, in the unit of the trial's quantity, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub reading: AsTyped,
    /// Score of the taste, 0 to 10, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub score: AsTyped,
    /// What was seen or tasted.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A bench trial of one treatment on this wine.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Trial {
    /// Key of the treatment.
    pub treatment: String,
    /// The quantity read; None where it is judged by taste alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quantity: Option<Quantity>,
    /// Day, year-month-day, as typed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub day: String,
    /// Volume of each sample in mL, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub sample_ml: AsTyped,
    /// The rungs, ascending.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rungs: Vec<Rung>,
    /// The tested rung that was chosen, as its dose; empty while none is.
    #[serde(skip_serializing_if = "empty")]
    pub chosen: AsTyped,
    /// True where the user states that this wine was not tried on the bench; it stays on every paper.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub not_trialled: bool,
}

/// A step of the route that was chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct PlanStep {
    /// Key of the treatment.
    pub treatment: String,
    /// Dose in the treatment's own unit, as typed; empty where it has none or is still to be tried.
    #[serde(skip_serializing_if = "empty")]
    pub dose: AsTyped,
}

/// Something looked at before bottling that is passed or failed, with no figure.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Checked {
    /// Key of the check.
    pub key: String,
    /// Day, year-month-day, as typed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub day: String,
    /// True for passed, false for failed; None while not looked at.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passed: Option<bool>,
}

/// What was really done to the wine. Entries are added, never rewritten.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Done {
    /// Day, year-month-day, as typed.
    pub day: String,
    /// Key of the treatment; empty for an act that has none here, then `note` says what it was.
    pub treatment: String,
    /// Dose in the treatment's own unit, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub dose: AsTyped,
    /// Batch number of the material.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub batch: String,
    /// Who signs.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// What came of it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Number, from 1, of the earlier entry that this one marks as an error. Such an entry is no act of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrects: Option<u32>,
}

/// Largest dose that is read, in any unit of dose: a slip of the pen lies above it.
const LARGEST_DOSE: f64 = 100_000.0;

/// A dose as typed, in the treatment's own unit: None where nothing was typed.
pub fn dose(text: &AsTyped) -> Option<Result<f64, ReadError>> {
    if text.0.trim().is_empty() { None } else { Some(measurement(&text.0, "", 0.0, LARGEST_DOSE)) }
}

/// The days and doses of plan and log that cannot be read, and marks that mark nothing.
pub(super) fn errors(wine: &Wine) -> Vec<InputError> {
    let mut errors = Vec::new();
    for (which, text) in &wine.measured_on {
        day(&mut errors, format!("measured_on.{}", which.key()), &text.0);
    }
    for check in &wine.checks {
        day(&mut errors, format!("checks.{}.day", check.key), &check.day);
    }
    for (i, step) in wine.plan.iter().enumerate() {
        dose_error(&mut errors, format!("plan.{i}.dose"), &step.dose);
    }
    for (i, act) in wine.done.iter().enumerate() {
        day(&mut errors, format!("done.{i}.day"), &act.day);
        dose_error(&mut errors, format!("done.{i}.dose"), &act.dose);
        if let Some(n) = act.corrects
            && !(1..=i).contains(&(n as usize))
        {
            errors.push(InputError {
                field: format!("done.{i}.corrects"),
                read: n.to_string(),
                expected: "The number, counted from 1, of an entry above this one.".into(),
            });
        }
    }
    errors
}

fn day(errors: &mut Vec<InputError>, field: String, text: &str) {
    if !text.trim().is_empty() && Day::read(text).is_none() {
        errors.push(InputError { field, read: text.into(), expected: "Write the day as year-month-day, for example 2027-03-15.".into() });
    }
}

fn dose_error(errors: &mut Vec<InputError>, field: String, text: &AsTyped) {
    if let Some(Err(e)) = dose(text) {
        errors.push(InputError { field, read: text.0.clone(), expected: e.message("") });
    }
}
