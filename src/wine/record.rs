//! What was tried, what is planned and what was really done: inputs, as typed.

use super::reads::reads;
use super::wine::AsTyped;
use super::words::Quantity;
use serde::Serialize;

fn empty(text: &AsTyped) -> bool {
    text.0.is_empty()
}

/// One glass or cylinder of a bench trial.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
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

reads!(Rung { dose, reading, score, note });

/// A bench trial of one treatment on this wine.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
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

reads!(Trial { treatment, quantity, day, sample_ml, rungs, chosen, not_trialled });

/// A step of the route that was chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct PlanStep {
    /// Key of the treatment.
    pub treatment: String,
    /// Dose in the treatment's own unit, as typed; empty where it has none or is still to be tried.
    #[serde(skip_serializing_if = "empty")]
    pub dose: AsTyped,
}

reads!(PlanStep { treatment, dose });

/// What was really done to the wine. Entries are added, never rewritten.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
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
}

reads!(Done { day, treatment, dose, batch, by, note });
