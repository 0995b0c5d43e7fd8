//! A bench trial, checked.

use super::{Field, checked_dose, day};
use crate::knowledge::{Treatment, treatment};
use crate::units::day::Day;
use crate::wine::*;

/// One glass or cylinder of a trial.
#[derive(Debug, Clone, PartialEq)]
pub struct Glass {
    /// Dose in the treatment's own unit; 0 is the control.
    pub dose: Field<f64>,
    /// What was read, in the unit of its quantity.
    pub reading: Field<f64>,
    /// What the reading is of, where it was typed; another quantity named later does not turn it
    /// into that.
    pub quantity: Option<Quantity>,
    /// Score of the taste, 0 to 10.
    pub score: Field<f64>,
    /// The test this reading was made with, where the trial named one.
    pub test: String,
    /// What was seen or tasted.
    pub note: String,
}

/// Another agent that every glass got.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside {
    /// Key of the treatment as typed.
    pub key: String,
    /// The treatment; None for a key that is not known here.
    pub treatment: Option<&'static Treatment>,
    /// Its dose, in its own unit.
    pub dose: Field<f64>,
}

/// A trial of one treatment.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchTrial {
    /// Key of the treatment as typed.
    pub key: String,
    /// The treatment; None for a key that is not known here.
    pub treatment: Option<&'static Treatment>,
    /// The quantity read; None where it is judged by taste alone.
    pub quantity: Option<Quantity>,
    /// The test all glasses are read with.
    pub test: String,
    /// Own target, at most, in the unit of the quantity.
    pub target: Field<f64>,
    /// The day.
    pub day: Field<Day>,
    /// Volume of each sample, mL.
    pub sample_ml: Field<f64>,
    /// Strength of the stock, g in 100 mL.
    pub stock_percent: Field<f64>,
    /// The glasses, as they were written.
    pub glasses: Vec<Glass>,
    /// Other agents that every glass got.
    pub with: Vec<Beside>,
    /// What the numbers on the glasses are drawn from; None: the name of the wine.
    pub shuffle: Option<u32>,
    /// The tested rung that was chosen, as its dose.
    pub chosen: Field<f64>,
    /// True where the user states that this wine was not tried on the bench.
    pub not_trialled: bool,
    /// What was typed into it and cannot be used.
    pub errors: Vec<InputError>,
}

/// The trials of a wine.
pub(super) fn trials(wine: &Wine) -> Vec<BenchTrial> {
    let read = |(i, t): (usize, &Trial)| {
        let at = format!("trials.{i}");
        BenchTrial {
            key: t.treatment.clone(),
            treatment: treatment(&t.treatment),
            quantity: t.quantity,
            test: t.test.clone(),
            target: t.target(&at).into(),
            day: day(&t.day, || format!("{at}.day")),
            sample_ml: t.sample(&at).into(),
            stock_percent: t.stock(&at).into(),
            glasses: glasses(t, &at),
            with: t.with.iter().map(|w| beside(w, &at)).collect(),
            shuffle: t.shuffle,
            chosen: t.chosen(&at).into(),
            not_trialled: t.not_trialled,
            errors: t.errors(&at),
        }
    };
    wine.trials.iter().enumerate().map(read).collect()
}

fn glasses(trial: &Trial, at: &str) -> Vec<Glass> {
    let read = |(i, r): (usize, &Rung)| {
        let at = format!("{at}.rungs.{i}");
        Glass {
            dose: r.dose(&at).into(),
            reading: r.reading(&at, trial.quantity).into(),
            quantity: r.quantity,
            score: r.score(&at).into(),
            test: r.test.clone(),
            note: r.note.clone(),
        }
    };
    trial.rungs.iter().enumerate().map(read).collect()
}

fn beside(given: &PlanStep, at: &str) -> Beside {
    Beside {
        key: given.treatment.clone(),
        treatment: treatment(&given.treatment),
        dose: checked_dose(&given.dose, || format!("{at}.with.{}", given.treatment)),
    }
}
