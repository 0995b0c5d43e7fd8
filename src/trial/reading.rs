//! What the readings of a trial say. The dose recommended is a rung that was tested: the least
//! whose reading lies inside the
//! limit with its error, with no higher rung outside, and not beaten in taste.

use super::Tested;
use super::gather::{At, counts, gather, same, tests};
use crate::case::BenchTrial;
use crate::dossier::Dossier;
use crate::knowledge::{Dose, PROBLEMS, STABILITIES, Treatment};
use crate::rules::{self, Kind, Ruling};
pub use crate::stability::SURE;
use crate::stability::{self, standard_error};
use crate::units::{day::Day, show};
use crate::wine::*;
use serde::Serialize;

/// Error of a reading, as a share, where the tables hold none for its test. Judgement.
pub const OWN_ERROR: f64 = 0.1;

/// How a rung stands to the limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Stand {
    /// Inside with its error.
    Inside,
    /// Too near the limit for its error.
    Doubtful,
    /// Outside.
    Outside,
    /// There is no limit, or no reading.
    NotJudged,
}

impl Stand {
    /// The word on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Stand::Inside => "inside",
            Stand::Doubtful => "too near",
            Stand::Outside => "outside",
            Stand::NotJudged => "–",
        }
    }
}

/// What came of the trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Nothing to read yet.
    Empty,
    /// No glass without a dose.
    NoControl,
    /// Readings of more than one test.
    TwoTests,
    /// The control is inside, or as good as any: no treatment is called for.
    NoTreatment,
    /// A tested rung does it.
    Found,
    /// Rungs lie too near the limit for their error.
    Doubtful,
    /// No rung reaches the limit.
    NoneReached,
    /// A rung reaches it, but is above a legal limit.
    OverLimit,
    /// The law of a market named forbids the treatment.
    Forbidden,
    /// A rule shuts the treatment out of this wine.
    Refused,
    /// There is no limit, no target and no score.
    NotJudged,
}

/// A trial, read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Reading {
    /// Unit of the doses.
    pub unit: &'static str,
    /// What was read; None for taste alone.
    pub quantity: Option<Quantity>,
    /// Least that is inside.
    pub floor: Option<f64>,
    /// What must be kept below: the limit, or the own target where it is stricter or there is none.
    pub ceiling: Option<f64>,
    /// Where the limit comes from, and its source; empty for an own target.
    pub why: (&'static str, &'static str),
    /// Doses ascending.
    pub at: Vec<At>,
    /// What came of it.
    pub outcome: Outcome,
    /// The tested rung recommended.
    pub recommended: Option<f64>,
    /// The tested rung that the user chose.
    pub chosen: Option<f64>,
    /// Where the fit crosses the limit: it sizes the next ladder and is never a dose.
    pub crossing: Option<f64>,
    /// Rungs worth trying next.
    pub next: Vec<f64>,
    /// The answer in a sentence or two.
    pub answer: String,
    /// What else was seen: outliers, over-fining, too few rungs.
    pub notes: Vec<String>,
    #[serde(skip)]
    pub(super) day: Option<Day>,
    #[serde(skip)]
    pub(super) error: (f64, f64),
    /// Whether a rule shuts the treatment out of this wine.
    #[serde(skip)]
    pub(super) shut: bool,
    /// Whether every glass got another agent too.
    #[serde(skip)]
    pub(super) beside: bool,
}

/// Reads the trial of a treatment; None where there is none or none to be made (see
/// [`super::bench_dose`]).
pub fn read(dossier: &Dossier, t: &'static Treatment) -> Option<Reading> {
    let dose = super::bench_dose(dossier, t)?;
    let trial = super::trial_of(dossier, t.key)?;
    Some(of_trial(dossier, t, dose, trial))
}

/// Reads the trial of a treatment whose dose is found on the bench.
pub(super) fn of_trial(
    dossier: &Dossier,
    t: &'static Treatment,
    dose: Dose,
    trial: &BenchTrial,
) -> Reading {
    let against = rules::against(dossier, t, None);
    let cautions = rules::cautions(dossier, t, None);
    let test = trial
        .quantity
        .and_then(|q| STABILITIES.iter().find(|s| s.quantity == q));
    // The limit of the problem, else of the test that judges it.
    let band = trial
        .quantity
        .and_then(|q| PROBLEMS.iter().find(|p| p.quantity == q))
        .and_then(|f| f.band(dossier.colour, dossier.stage, dossier.journey))
        .or_else(|| test.and_then(|s| stability::band(dossier, s)));
    let found = dossier.law(t);
    let cap = found.iter().filter_map(|f| f.dose_cap).reduce(f64::min);
    let mut r = Reading {
        unit: dose.basis.label(),
        quantity: trial.quantity,
        floor: band.and_then(|b| b.floor),
        ceiling: band.and_then(|b| b.ceiling),
        why: band.map_or(("", ""), |b| (b.why.text, b.why.source)),
        at: gather(trial, cap),
        outcome: Outcome::Empty,
        recommended: None,
        chosen: None,
        crossing: None,
        next: Vec::new(),
        answer: String::new(),
        notes: Vec::new(),
        day: trial.day.given(),
        shut: !against.is_empty(),
        beside: trial
            .with
            .iter()
            .any(|w| w.dose.given().is_some_and(|d| d > 0.0)),
        error: test.map_or((0.0, OWN_ERROR), |s| (s.error_plus, s.error_share)),
    };
    if let Some(own) = trial.target.given() {
        if r.ceiling.is_none_or(|c| own < c) {
            (r.ceiling, r.why) = (Some(own), ("", ""));
        } else {
            r.notes
                .push("Your target is not stricter than the limit: the limit counts.".into());
        }
    }
    let unread = trial.errors.len();
    if unread > 0 {
        r.notes.push(format!(
            "Typed, but not used: {}.",
            if unread == 1 {
                "one entry".into()
            } else {
                format!("{unread} entries")
            }
        ));
    }
    if let Some(other) = trial
        .glasses
        .iter()
        .filter(|x| !counts(trial, x))
        .find_map(|x| x.quantity)
    {
        r.notes.push(format!(
            "Readings typed as “{}” are not used here.",
            other.label()
        ));
    }
    let read_any = r.at.iter().any(|a| a.value.is_some());
    if read_any && test.is_none() {
        r.notes.push(format!(
            "The error of this reading is not known here; {} of it is taken.",
            show::percent(OWN_ERROR)
        ));
    }
    let tests = tests(trial);
    if tests.len() > 1 {
        r.outcome = Outcome::TwoTests;
        r.answer = format!(
            "Readings of two tests are not read together: {}. Read all glasses by one of them.",
            tests.join("; ")
        );
        return r;
    }
    if read_any && trial.quantity == Some(Quantity::HeatRise) && tests.is_empty() {
        r.notes.push(
            "Write which heat test it was: only readings of one test belong together.".into(),
        );
    }
    if let Some((q, by)) = trial.quantity.and_then(|q| Some((q, t.judged_by(q)?))) {
        r.outcome = Outcome::NotJudged;
        r.answer = format!(
            "“{}” does not judge this treatment: choose “{}”, and read the glasses by it.",
            q.label(),
            by.label()
        );
        return r;
    }
    // What the law has against it is said of the rungs, below.
    if let Some(ruling) = against.iter().find(|r| !is_of_law(r)) {
        (r.outcome, r.answer) = (
            Outcome::Refused,
            format!("{} No dose is read from this trial.", ruling.text),
        );
        return r;
    }
    let doubts = cautions.into_iter().filter(Ruling::is_measured);
    r.notes.extend(doubts.map(|d| d.text));
    r.judge(cap, found.iter().any(|f| f.legality.shuts_out()));
    if let Some(chosen) = trial.chosen.given() {
        r.choose(chosen);
    }
    r
}

/// Whether a ruling is one of the law on the agent or its dose.
fn is_of_law(r: &Ruling) -> bool {
    r.because() == Kind::Law || r.asks() == Some(OfAct::CapBelowUseful)
}

/// A dose as it was typed, to three decimals.
pub fn dose_text(dose: f64) -> String {
    show::fixed(dose, 3)
}

pub(super) fn list(doses: &[f64], unit: &str) -> String {
    format!(
        "{} {unit}",
        doses
            .iter()
            .map(|d| dose_text(*d))
            .collect::<Vec<_>>()
            .join(", ")
    )
}

impl Reading {
    /// The one-sided error of a mean of `times` readings at `value`.
    pub(super) fn error(&self, value: f64, times: f64) -> f64 {
        let (plus, share) = self.error;
        SURE * standard_error(plus, share, value, times)
    }

    /// The rung that counts: the one chosen, else the one recommended.
    pub fn tested(&self) -> Option<Tested> {
        let dose = self.chosen.or(self.recommended)?;
        let reading = |d: f64| {
            self.at
                .iter()
                .find(|a| same(a.dose, d))
                .and_then(|a| Some((a.value?, a.times as f64)))
        };
        let removed = self
            .quantity
            .zip(reading(dose).zip(reading(0.0)))
            .filter(|(_, (_, (start, _)))| *start > 0.0)
            .map(|(q, ((value, n), (start, m)))| {
                let (own, from) = (self.error(value, n), self.error(start, m));
                let share = |left: f64, of: f64| (1.0 - left / of.max(1e-9)).clamp(0.0, 1.0);
                (
                    q,
                    [
                        share(value + own, start - from),
                        share(value, start),
                        share((value - own).max(0.0), start + from),
                    ],
                )
            });
        Some(Tested {
            dose,
            unit: self.unit,
            day: self.day,
            chosen: self.chosen.is_some(),
            removed,
        })
    }

    /// Takes the user's rung where it was really tested and no limit stands against it.
    fn choose(&mut self, dose: f64) {
        let Some(at) = self
            .at
            .iter()
            .find(|a| same(a.dose, dose) && (a.value.is_some() || a.score.is_some()))
        else {
            self.notes.push(format!(
                "{} was chosen but not tested: choose a rung that was read or tasted.",
                list(&[dose], self.unit)
            ));
            return;
        };
        if at.over_cap || self.outcome == Outcome::Forbidden {
            self.notes.push(format!(
                "{} was chosen but is not to be used: over the limit of a market named.",
                list(&[dose], self.unit)
            ));
            return;
        }
        if self.recommended.is_none_or(|r| !same(r, dose)) {
            let how = if at.stand == Stand::Inside {
                "inside"
            } else {
                "not shown to be inside"
            };
            self.notes.push(format!(
                "You chose {}; its reading is {how}.",
                list(&[dose], self.unit)
            ));
        }
        self.chosen = Some(dose);
    }
}
