//! What was tried, what is planned and what was really done: inputs, as typed.

use super::wine::{AsTyped, InputError, Wine, yes_or_no};
use super::words::Quantity;
use crate::json::record;
use crate::units::day::Day;
use crate::units::read::{self, ReadError, measurement};
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
    /// What the reading is of, where it was typed; another quantity named later does not turn it
    /// into that.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quantity: Option<Quantity>,
    /// Score of the taste, 0 to 10, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub score: AsTyped,
    /// The test this reading was made with, where the trial named one when it was typed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub test: String,
    /// What was seen or tasted.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
}

record!(Rung { dose kept, reading, quantity, score, test, note } Rung::default());

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
    /// The test all glasses are read with, such as the heat and the hours; readings of two tests
    /// are never read together.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub test: String,
    /// Own target, at most, in the unit of the quantity, as typed: for what has no limit, or to be
    /// stricter than it.
    #[serde(skip_serializing_if = "empty")]
    pub target: AsTyped,
    /// Day, year-month-day, as typed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub day: String,
    /// Volume of each sample in mL, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub sample_ml: AsTyped,
    /// Strength of the stock, g in 100 mL, as typed; empty for the usual one.
    #[serde(skip_serializing_if = "empty")]
    pub stock_percent: AsTyped,
    /// The rungs, ascending.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rungs: Vec<Rung>,
    /// Other agents that every glass got, the control too, each at one dose.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<PlanStep>,
    /// What the numbers on the glasses are drawn from, so that they stay when the wine is renamed;
    /// None: its name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shuffle: Option<u32>,
    /// The tested rung that was chosen, as its dose; empty while none is.
    #[serde(skip_serializing_if = "empty")]
    pub chosen: AsTyped,
    /// True where the user states that this wine was not tried on the bench; it stays on every
    /// paper.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub not_trialled: bool,
}

record!(Trial { treatment kept, quantity, test, target, day, sample_ml, stock_percent, rungs, with, shuffle, chosen, not_trialled } Trial::default());

/// Most of any dose in its own unit that is taken as typed; it refuses slips of the pen.
const MOST_DOSE: f64 = 10_000.0;
/// A rise in the heat test this far below nothing is an error of reading and counts as nothing;
/// below it, read again.
const LEAST_RISE: f64 = -0.3;
/// Most that a relative reading may be: absorbance, index, share. Below 1,000, so that 1.234 reads
/// one way only.
const MOST_RELATIVE: f64 = 999.0;

/// A text read as a number between two values; None where it is empty.
pub(super) fn number(
    text: &AsTyped,
    field: &str,
    unit: &str,
    least: f64,
    most: f64,
) -> Option<Result<f64, InputError>> {
    if text.0.trim().is_empty() {
        return None;
    }
    Some(
        read::measurement(&text.0, unit, least, most).map_err(|e| InputError {
            field: field.into(),
            read: text.0.clone(),
            expected: e.message(unit),
        }),
    )
}

impl Rung {
    /// The dose in the treatment's own unit, 0 or more; `at` is the path of the rung.
    pub fn dose(&self, at: &str) -> Option<Result<f64, InputError>> {
        number(&self.dose, &format!("{at}.dose"), "", 0.0, MOST_DOSE)
    }
    /// The score, 0 to 10.
    pub fn score(&self, at: &str) -> Option<Result<f64, InputError>> {
        number(&self.score, &format!("{at}.score"), "", 0.0, 10.0)
    }
    /// The reading in the unit of its quantity, `of` where it names none; a quantity followed only
    /// as a share is read as typed, in any one unit.
    pub fn reading(&self, at: &str, of: Option<Quantity>) -> Option<Result<f64, InputError>> {
        let of = self.quantity.or(of);
        if let Some(answer) = of.and_then(|q| yes_or_no(q, &self.reading.0)) {
            return Some(Ok(answer));
        }
        let (unit, least, most) = bounds(of);
        number(&self.reading, &format!("{at}.reading"), unit, least, most)
            .map(|r| r.map(|v| v.max(0.0)))
    }
}

fn bounds(of: Option<Quantity>) -> (&'static str, f64, f64) {
    match of.map(|q| (q, q.facts())) {
        Some((Quantity::HeatRise | Quantity::HeatRiseMild | Quantity::HeatRiseHard, f)) => {
            (f.unit, LEAST_RISE, f.most)
        }
        Some((q, f)) if f.asked => (q.read_in(), f.least, f.most),
        _ => ("", 0.0, MOST_RELATIVE),
    }
}

impl Trial {
    /// Volume of a sample, 10 to 5000 mL; `at` is the path of the trial.
    pub fn sample(&self, at: &str) -> Option<Result<f64, InputError>> {
        number(
            &self.sample_ml,
            &format!("{at}.sample_ml"),
            "mL",
            10.0,
            5000.0,
        )
    }
    /// Strength of the stock, g in 100 mL.
    pub fn stock(&self, at: &str) -> Option<Result<f64, InputError>> {
        number(
            &self.stock_percent,
            &format!("{at}.stock_percent"),
            "%",
            0.001,
            50.0,
        )
    }
    /// The own target, in the unit of the quantity.
    pub fn target(&self, at: &str) -> Option<Result<f64, InputError>> {
        let (unit, _, most) = bounds(self.quantity);
        number(&self.target, &format!("{at}.target"), unit, 0.0, most)
    }
    /// The rung chosen, as its dose.
    pub fn chosen(&self, at: &str) -> Option<Result<f64, InputError>> {
        number(&self.chosen, &format!("{at}.chosen"), "", 0.0, MOST_DOSE)
    }
    /// Every text of the trial that cannot be used; `at` is its path.
    pub fn errors(&self, at: &str) -> Vec<InputError> {
        let own = [
            self.sample(at),
            self.stock(at),
            self.target(at),
            self.chosen(at),
        ];
        let mut errors: Vec<InputError> =
            own.into_iter().flatten().filter_map(Result::err).collect();
        if !self.day.trim().is_empty() && Day::read(&self.day).is_none() {
            errors.push(InputError {
                field: format!("{at}.day"),
                read: self.day.clone(),
                expected: super::wine::DAY_EXPECTED.into(),
            });
        }
        for other in &self.with {
            dose_error(
                &mut errors,
                format!("{at}.with.{}", other.treatment),
                &other.dose,
            );
        }
        for (i, rung) in self.rungs.iter().enumerate() {
            let at = format!("{at}.rungs.{i}");
            errors.extend(
                [
                    rung.dose(&at),
                    rung.reading(&at, self.quantity),
                    rung.score(&at),
                ]
                .into_iter()
                .flatten()
                .filter_map(Result::err),
            );
        }
        errors
    }
}

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
    /// What is measured, where the step is a test and has no treatment.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub measure: Vec<Quantity>,
    /// True for a test that runs while acts go on, so that nothing waits for it.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub alongside: bool,
    /// Day on which it begins at the latest by the route that was taken, year-month-day; empty
    /// where there is none.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub day: String,
}

record!(PlanStep { treatment kept, dose, measure, alongside, day } PlanStep::default());

impl PlanStep {
    /// Whether something is measured, and nothing done.
    pub fn is_test(&self) -> bool {
        self.treatment.is_empty() && self.measure.iter().any(|q| q.facts().asked)
    }
}

/// Something looked at before bottling that is passed or failed, with no figure.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
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
    /// Who looked, smelled or tasted.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub by: String,
}
record!(Checked { key kept, day, passed, by } Checked::default());

/// A proof that the winemaker does without. It counts once it has a name, a reason and a day.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Waived {
    /// Key of the proof.
    pub key: String,
    /// Day, year-month-day, as typed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub day: String,
    /// Who answers for it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub by: String,
    /// Why.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub reason: String,
}
record!(Waived { key kept, day, by, reason } Waived::default());

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
    /// Number, from 1, of the earlier entry that this one marks as an error. Such an entry is no
    /// act of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrects: Option<u32>,
}

/// Largest dose that is read, in any unit of dose: a slip of the pen lies above it.
const LARGEST_DOSE: f64 = 100_000.0;

/// A dose as typed, in the treatment's own unit: None where nothing was typed.
pub fn dose(text: &AsTyped) -> Option<Result<f64, ReadError>> {
    if text.0.trim().is_empty() {
        None
    } else {
        Some(measurement(&text.0, "", 0.0, LARGEST_DOSE))
    }
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
    for waived in &wine.waived {
        day(
            &mut errors,
            format!("waived.{}.day", waived.key),
            &waived.day,
        );
    }
    for (i, step) in wine.plan.iter().enumerate() {
        dose_error(&mut errors, format!("plan.{i}.dose"), &step.dose);
        day(&mut errors, format!("plan.{i}.day"), &step.day);
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
        errors.push(InputError {
            field,
            read: text.into(),
            expected: super::wine::DAY_EXPECTED.into(),
        });
    }
}

fn dose_error(errors: &mut Vec<InputError>, field: String, text: &AsTyped) {
    if let Some(Err(e)) = dose(text) {
        errors.push(InputError {
            field,
            read: text.0.clone(),
            expected: e.message(""),
        });
    }
}

record!(Done { day kept, treatment kept, dose, batch, by, note, corrects } Done::default());
