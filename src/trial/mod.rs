//! Bench trials: the ladder with its stock and glasses, what the readings say, and the dose that
//! was really tested on this
//! wine. The dose that is recommended is always a rung that was read; a curve only sizes the next
//! ladder. What only a
//! licensed or trained person may do has no ladder here, and a wine in bottle none either.

pub mod arithmetic;
pub mod blind;
pub mod design;
mod falling;
pub mod fit;
mod further;
pub mod gather;
mod judge;
pub mod order;
pub mod reading;
pub mod write;

pub use design::{Design, design};
pub use reading::{Outcome, Reading, read};

use crate::case::BenchTrial;
use crate::dossier::Dossier;
use crate::knowledge::{BENCH, BenchRule, Dose, Treatment};
use crate::law::Finding;
use crate::units::day::Day;
use crate::wine::*;

/// Days of a bench trial before a dose that is found by trial. Judgement.
pub const TRIAL_DAYS: f64 = 2.0;

/// The dose of a treatment that is found on the bench; None where none is (no dose, a dose worked
/// out and not tried, only
/// for a licensed or trained person, or the wine is in bottle).
pub fn bench_dose(dossier: &Dossier, t: &Treatment) -> Option<Dose> {
    let by_all = matches!(t.access, Access::Anyone | Access::Qualified)
        && dossier.stage != Some(Stage::Bottled);
    t.dose.filter(|d| by_all && d.by_trial)
}

/// Days of the bench trial of a treatment on this wine: [`TRIAL_DAYS`], or as long as the test that
/// reads its glasses takes, where
/// what is in them makes it take longer.
pub fn days(dossier: &Dossier, t: &Treatment) -> f64 {
    let read = trial_of(dossier, t.key).map_or_else(
        || quantities(dossier, t).first().copied(),
        |trial| trial.quantity,
    );
    let mut past = Vec::new();
    crate::case::log::add_past(&mut past, t);
    let judged = |q: &Quantity| t.effects.iter().any(|e| e.judged_by == Some(*q));
    read.map(|q| t.judged_by(q).unwrap_or(q))
        .filter(judged)
        .and_then(|q| crate::obligations::takes(q, &past))
        .map_or(TRIAL_DAYS, |d| d.middle.max(TRIAL_DAYS))
}

/// The trial of a treatment on this wine.
pub fn trial_of<'a>(dossier: &'a Dossier, treatment: &str) -> Option<&'a BenchTrial> {
    dossier.trials.iter().find(|t| t.key == treatment)
}

/// What a treatment takes away and a trial may read: first what a problem named by the user shows
/// in, then the rest; where
/// another test judges what it does, that one.
pub fn quantities(dossier: &Dossier, t: &Treatment) -> Vec<Quantity> {
    let facts = crate::knowledge::PROBLEMS.rows();
    let named = dossier
        .problems
        .iter()
        .filter_map(|p| facts.iter().find(|f| f.problem == *p));
    let mut all: Vec<Quantity> = Vec::new();
    for f in named.chain(facts.iter()) {
        let acts = t
            .effects
            .iter()
            .any(|e| e.on == f.quantity && e.taken().is_some_and(|r| r.high > 0.0));
        let read = t.judged_by(f.quantity).unwrap_or(f.quantity);
        if acts && !all.contains(&read) {
            all.push(read);
        }
    }
    all
}

/// The rules of the bench for a part of the sheet, a treatment and the quantity read.
pub fn rules(
    about: BenchPart,
    treatment: &str,
    of: Option<Quantity>,
) -> impl Iterator<Item = &'static BenchRule> {
    BENCH.iter().filter(move |b| {
        b.about == about
            && (b.treatments.is_empty() || b.treatments.contains(&treatment))
            && (b.quantities.is_empty() || of.is_some_and(|q| b.quantities.contains(&q)))
    })
}

/// A rung that was tested on this wine.
#[derive(Debug, Clone, PartialEq)]
pub struct Tested {
    /// The dose, in the treatment's own unit.
    pub dose: f64,
    /// That unit.
    pub unit: &'static str,
    /// Day of the trial, where it was written.
    pub day: Option<Day>,
    /// Whether the user chose it; else it is the one recommended.
    pub chosen: bool,
    /// What was read, and which share of it the rung took away, low, middle and high; None for
    /// taste alone.
    pub removed: Option<(Quantity, [f64; 3])>,
}

/// What the bench says of the dose of a treatment.
#[derive(Debug, Clone, PartialEq)]
pub enum ReadDose {
    /// A rung was tested.
    Tested(Tested),
    /// The user states that this wine was not tried; it stays on every paper.
    NotTrialled,
}

impl ReadDose {
    /// The tested dose.
    pub fn tested(&self) -> Option<f64> {
        match self {
            ReadDose::Tested(t) => Some(t.dose),
            ReadDose::NotTrialled => None,
        }
    }
}

/// The dose that the bench of this wine gives a treatment: the rung chosen, else the one
/// recommended, never above a legal
/// limit of a market named; where it has no trial of its own, what the glasses of another got
/// beside; None where there is
/// neither a rung nor the statement that it was not tried, and where a rule shuts the treatment out
/// of this wine.
pub fn dose_for(dossier: &Dossier, t: &'static Treatment) -> Option<ReadDose> {
    let own_dose = bench_dose(dossier, t)?;
    let by = told_by(dossier, t)?;
    let ladder = bench_dose(dossier, by.of)?;
    let read = reading::of_trial(dossier, by.of, ladder, by.trial);
    if let Some(dose) = by.beside {
        let given = Tested {
            dose,
            unit: own_dose.basis.label(),
            day: by.trial.day.given(),
            chosen: true,
            removed: None,
        };
        return may_stand_beside(dossier, t, &read, dose).then_some(ReadDose::Tested(given));
    }
    if read.shut {
        return None;
    }
    let tested = read.tested().map(ReadDose::Tested);
    tested.or(by.trial.not_trialled.then_some(ReadDose::NotTrialled))
}

/// The trial by which a treatment has its dose.
struct ToldBy<'a> {
    trial: &'a BenchTrial,
    /// The treatment that was tried.
    of: &'static Treatment,
    /// How much of this one every glass got beside it; None where this one was tried.
    beside: Option<f64>,
}

fn told_by<'a>(dossier: &'a Dossier, t: &'static Treatment) -> Option<ToldBy<'a>> {
    let own = own(dossier, t.key).map(|trial| ToldBy {
        trial,
        of: t,
        beside: None,
    });
    own.or_else(|| {
        let (trial, dose) = host(dossier, t.key)?;
        Some(ToldBy {
            trial,
            of: trial.treatment?,
            beside: Some(dose),
        })
    })
}

/// Whether what every glass got beside another agent may be given: that trial gave a dose, or showed
/// that this alone does it, and nothing stands against it.
fn may_stand_beside(dossier: &Dossier, t: &Treatment, read: &Reading, dose: f64) -> bool {
    let allowed = |f: &Finding| !f.legality.shuts_out() && f.dose_cap.is_none_or(|cap| dose <= cap);
    (read.outcome == Outcome::NoTreatment || read.tested().is_some())
        && !crate::rules::is_out(dossier, t, None)
        && dossier.law(t).iter().all(allowed)
}

/// The trial that speaks of a treatment: its own, if it has glasses or the statement that it was
/// not tried.
fn own<'a>(dossier: &'a Dossier, treatment: &str) -> Option<&'a BenchTrial> {
    trial_of(dossier, treatment).filter(|x| x.not_trialled || !x.glasses.is_empty())
}

/// The trial that gives a treatment its dose: its own, else one in which every glass got it beside
/// another agent.
pub fn speaks_for<'a>(dossier: &'a Dossier, treatment: &str) -> Option<&'a BenchTrial> {
    own(dossier, treatment)
        .or_else(|| host(dossier, treatment).map(|h| h.0))
        .or_else(|| trial_of(dossier, treatment))
}

/// The trial in which every glass got this treatment beside another one, and how much of it.
fn host<'a>(dossier: &'a Dossier, treatment: &str) -> Option<(&'a BenchTrial, f64)> {
    let given = |x: &BenchTrial| {
        x.with
            .iter()
            .find(|w| w.key == treatment)
            .and_then(|w| w.dose.given())
            .filter(|d| *d > 0.0)
    };
    dossier.trials.iter().find_map(|x| Some((x, given(x)?)))
}
