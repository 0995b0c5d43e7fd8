//! Which dose may be weighed. The one place that lets a figure onto paper.

use crate::case::{Act, BenchTrial, Field};
use crate::dossier::Dossier;
use crate::knowledge::Treatment;
use crate::law;
use crate::rules::{self, Before, Kind};
use crate::trial::ReadDose;
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// A dose that may be weighed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weighed {
    /// In the treatment's own unit; above 0.
    pub dose: f64,
    /// Why it may.
    pub by: WeighedBy,
}

/// What lets a dose be weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WeighedBy {
    /// A rung of this wine's bench trial, with its reading.
    Trial,
    /// The user confirmed that it was not trialled.
    NotTrialled,
    /// It is worked out from analyses, not found by trial.
    Analyses,
}

/// Why no dose may be weighed, as a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Because {
    /// It is a process: it has no dose.
    Process,
    /// The log has it already.
    Done,
    /// It is never dosed here.
    Never,
    /// The dose of the plan cannot be read.
    Unreadable,
    /// The dose is 0.
    Zero,
    /// It is worked out from fresh analyses first.
    Analyses,
    /// A bench trial comes first.
    BenchTrial,
    /// The bench trial gives no dose yet.
    TrialOpen,
    /// The dose was not tested.
    NotTested,
    /// The bench trial is older than a change of the wine.
    TrialOld,
    /// It was confirmed as not trialled, and the plan has no dose.
    NotInPlan,
    /// The plan and the bench trial disagree.
    Disagree,
    /// The judge shuts it out of this wine, as it is known or after an earlier step.
    Closed,
    /// A test does not show yet what it must.
    NotShown,
    /// A market forbids it.
    Forbidden,
    /// The law of a market is to be confirmed first.
    NotConfirmed,
    /// It stands in two units, so it cannot be counted together.
    TwoUnits,
    /// It is over the limit of a market.
    OverLimit,
}

/// Why no dose may be weighed, and what to do first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NoDose {
    /// The reason.
    pub because: Because,
    /// In words; empty where the tables hold no dose.
    pub text: String,
}

impl NoDose {
    pub(super) fn of<T>(because: Because, text: impl Into<String>) -> Result<T, NoDose> {
        Err(NoDose {
            because,
            text: text.into(),
        })
    }
}

/// It reads as its words.
impl std::ops::Deref for NoDose {
    type Target = str;
    fn deref(&self) -> &str {
        &self.text
    }
}

/// The dose of a step, or what to do first. `in_plan` is what stands in the plan, `before` what
/// comes before it.
pub fn dose_for(
    dossier: &Dossier,
    t: &'static Treatment,
    in_plan: &Field<f64>,
    before: &Before,
) -> Result<Weighed, NoDose> {
    let weighed = found_for(dossier, t, in_plan, before)?;
    let found = dossier.law(t);
    let open = law::to_confirm(dossier, t, &found);
    if open.is_empty() {
        return Ok(weighed);
    }
    let asked = law::authorities(&open).join(", ");
    NoDose::of(
        Because::NotConfirmed,
        format!(
            "First confirm it with {asked}, and note under the plan when and by whom: its law was not read in whole."
        ),
    )
}

/// The dose by trial, analyses or the user's word, whatever the law of it.
fn found_for(
    dossier: &Dossier,
    t: &'static Treatment,
    in_plan: &Field<f64>,
    before: &Before,
) -> Result<Weighed, NoDose> {
    let kept = matches!(t.access, Access::Licensed | Access::Trained);
    let Some(facts) = t.dose else {
        return NoDose::of(
            if kept {
                Because::Never
            } else {
                Because::Process
            },
            "",
        );
    };
    if kept {
        return NoDose::of(Because::Never, "Never dosed here.");
    }
    let against = rules::against_after(dossier, t, before);
    if !against.is_empty() {
        let because = if dossier.stage == Some(Stage::Bottled) {
            Because::Never
        } else if against.iter().any(|r| r.because() == Kind::Law) {
            Because::Forbidden
        } else {
            Because::Closed
        };
        let said: Vec<&str> = against.iter().map(|r| r.text.as_str()).collect();
        return NoDose::of(because, format!("Not in this wine: {}", said.join(" ")));
    }
    if let Some(ruling) = rules::order::waits(dossier, t, before).first() {
        return NoDose::of(Because::NotShown, ruling.not_yet());
    }
    let unit = facts.basis.label();
    if let Some(error) = in_plan.error() {
        return NoDose::of(
            Because::Unreadable,
            format!("First mend the dose of the plan: {}", error.expected),
        );
    }
    let planned = in_plan.given();
    let weighed = |dose: f64, by: WeighedBy| {
        if dose > 0.0 {
            Ok(Weighed { dose, by })
        } else {
            NoDose::of(Because::Zero, "The dose is 0: leave this step out.")
        }
    };
    if !facts.by_trial {
        return planned.map_or_else(
            || NoDose::of(Because::Analyses, format!("First work the dose out from fresh analyses and write it into the plan, in {unit}.")),
            |d| weighed(d, WeighedBy::Analyses),
        );
    }
    // The word that a wine was not tried is about the agent of that trial alone, never about what
    // stands beside it.
    let own = |x: &BenchTrial| x.key == t.key;
    let trial =
        crate::trial::speaks_for(dossier, t.key).filter(|x| own(x) || !x.glasses.is_empty());
    let not_trialled = trial.is_some_and(|x| own(x) && x.not_trialled);
    let by_trial = trial.map(|x| tested(dossier, t, x, unit));
    match (by_trial, planned) {
        (Some(Ok(chosen)), None) => weighed(chosen, WeighedBy::Trial),
        (Some(Ok(chosen)), Some(p)) if same(chosen, p) => weighed(chosen, WeighedBy::Trial),
        (Some(Ok(chosen)), Some(p)) => {
            let text = format!(
                "The plan says {} {unit}, the trial chose {} {unit}: settle it first.",
                show::plain(p),
                show::plain(chosen)
            );
            NoDose::of(Because::Disagree, text)
        }
        (_, Some(p)) if not_trialled => weighed(p, WeighedBy::NotTrialled),
        (_, None) if not_trialled => NoDose::of(
            Because::NotInPlan,
            format!("Not trialled: write the dose into the plan, in {unit}."),
        ),
        (Some(Err(why)), _) => Err(why),
        (None, _) => {
            // The same ladder as on the sheet of the trial.
            let rungs: Vec<String> = crate::trial::design(dossier, t)
                .iter()
                .flat_map(|d| &d.steps)
                .map(|s| show::plain(s.dose))
                .collect();
            let text = format!(
                "First a bench trial of this wine: {} {unit}, the 0 as control. A mass follows from its chosen rung.",
                rungs.join(", ")
            );
            NoDose::of(Because::BenchTrial, text)
        }
    }
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(1.0)
}

/// The rung that the bench gives, chosen or recommended, if it still speaks of this wine.
fn tested(
    dossier: &Dossier,
    t: &'static Treatment,
    trial: &BenchTrial,
    unit: &str,
) -> Result<f64, NoDose> {
    let Some(ReadDose::Tested(rung)) = crate::trial::dose_for(dossier, t) else {
        return match trial.chosen.given() {
            Some(d) if trial.key == t.key => {
                let text = format!(
                    "{} {unit} is no tested rung of the trial that may be given: test it, or choose one that was.",
                    show::plain(d)
                );
                NoDose::of(Because::NotTested, text)
            }
            _ => NoDose::of(
                Because::TrialOpen,
                "First finish the bench trial: it gives no dose yet.",
            ),
        };
    };
    match since(dossier, trial, t.key) {
        Some(act) => NoDose::of(
            Because::TrialOld,
            format!(
                "The bench trial is older than a change of the wine, {}: try again.",
                act.words()
            ),
        ),
        None => Ok(rung.dose),
    }
}

/// The act after which a trial no longer speaks of this wine: one that voids what it read, or, by
/// taste, any that voids
/// anything; or the treatment itself. What the glasses got beside it at the same dose is no change:
/// it was tried with it.
fn since<'a>(dossier: &'a Dossier, trial: &BenchTrial, key: &str) -> Option<&'a Act> {
    let day = trial.day.given();
    let tried = |a: &Act| {
        let given = a.dose.given();
        let own = || {
            (trial.key == a.key)
                .then(|| {
                    a.treatment
                        .and_then(|t| crate::trial::dose_for(dossier, t)?.tested())
                })
                .flatten()
        };
        let with = || {
            trial
                .with
                .iter()
                .find(|w| w.key == a.key)
                .and_then(|w| w.dose.given())
        };
        a.key != key
            && given
                .zip(own().or_else(with))
                .is_some_and(|(a, b)| same(a, b))
    };
    dossier.acts().rfind(|a| {
        let moves = match trial.quantity {
            Some(q) => a.voids(q) || a.key == trial.key || a.key == key,
            None => a.treatment.is_none_or(|t| !t.voids.is_empty()),
        };
        moves && a.may_follow(day) && !tried(a)
    })
}
