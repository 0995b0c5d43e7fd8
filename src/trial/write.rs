//! Writing into the trials of a wine: what is typed, before it is checked.

use super::blind::next;
use super::design::first_ladder;
use super::reading::dose_text;
use super::{bench_dose, quantities, trial_of};
use crate::dossier::Dossier;
use crate::knowledge::Treatment;
use crate::wine::*;

/// The trial of a treatment to write in: begun with its first ladder and the quantity its problem
/// shows in where there is
/// none yet. None where none is to be made.
pub fn open<'a>(wine: &'a mut Wine, t: &Treatment) -> Option<&'a mut Trial> {
    let dossier = Dossier::of(&*wine);
    bench_dose(&dossier, t)?;
    let ladder = first_ladder(&dossier, t);
    let quantity = quantities(&dossier, t).first().copied();
    if trial_of(&dossier, t.key).is_none() {
        let shuffle = Some(next(None, &wine.name, t.key));
        wine.trials.push(Trial {
            treatment: t.key.into(),
            quantity,
            shuffle,
            ..Trial::default()
        });
    }
    let trial = wine.trials.iter_mut().find(|x| x.treatment == t.key)?;
    if trial.rungs.is_empty() {
        add(trial, &ladder);
    }
    Some(trial)
}

/// Adds rungs at these doses to a trial, after those that are there.
pub fn add(trial: &mut Trial, doses: &[f64]) {
    trial.rungs.extend(doses.iter().map(|d| Rung {
        dose: AsTyped(dose_text(*d)),
        ..Rung::default()
    }));
}

/// Types a reading into a rung, with what it is of and the test it was made with; a rung that is
/// not there is passed over.
pub fn type_reading(trial: &mut Trial, rung: usize, text: String) {
    let (test, quantity) = if text.trim().is_empty() {
        (String::new(), None)
    } else {
        (trial.test.clone(), trial.quantity)
    };
    if let Some(r) = trial.rungs.get_mut(rung) {
        (r.reading, r.test, r.quantity) = (AsTyped(text), test, quantity);
    }
}

/// Types the dose of another agent that every glass gets; an empty text takes it out.
pub fn give_with(trial: &mut Trial, treatment: &str, text: String) {
    trial
        .with
        .retain(|w| w.treatment != treatment || !text.trim().is_empty());
    match trial.with.iter_mut().find(|w| w.treatment == treatment) {
        Some(w) => w.dose = AsTyped(text),
        None if text.trim().is_empty() => {}
        None => trial.with.push(PlanStep {
            treatment: treatment.into(),
            dose: AsTyped(text),
            ..PlanStep::default()
        }),
    }
}

/// Says that all readings were made with the test that the trial names.
pub fn one_test(trial: &mut Trial) {
    let test = trial.test.clone();
    trial
        .rungs
        .iter_mut()
        .for_each(|r| r.test.clone_from(&test));
}
