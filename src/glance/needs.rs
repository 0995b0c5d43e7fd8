//! What the lists of the problems that were named put first.

use super::{Next, Seen};
use crate::advice::{Advice, ProblemAdvice};
use crate::answer::AnswerKey;
use crate::case::Field;
use crate::dossier::Dossier;
use crate::knowledge::treatment;
use crate::rules::Before;
use crate::stability::{sample_by, test_of};
use crate::state::KnownBy;
use crate::wine::*;
use crate::work_order::dosing::dose_for;

/// The quantity that is typed for one that follows from others: molecular sulfur dioxide follows
/// from the free and the pH.
pub(super) fn typed(dossier: &Dossier, which: Quantity) -> Quantity {
    let open = |q: Quantity| dossier.at_most(q).is_none() || dossier.voided(q);
    match which {
        Quantity::MolecularSo2 if open(Quantity::Ph) && !open(Quantity::FreeSo2) => Quantity::Ph,
        Quantity::MolecularSo2 => Quantity::FreeSo2,
        other => other,
    }
}

/// A reading, again or for the first time; by a laboratory where it takes one.
pub(super) fn measure(seen: &Seen, which: Quantity, again: bool) -> Next {
    let quantity = typed(seen.dossier, which);
    let test = test_of(quantity);
    let days = test.map(|t| t.days.middle);
    let by = test
        .filter(|_| seen.ahead().is_some())
        .and_then(|t| sample_by(seen.dossier, t));
    if again {
        return Next::MeasureAgain { quantity, days, by };
    }
    if test.is_some_and(|t| t.place == Place::Laboratory) {
        return Next::AskLaboratory {
            quantity: Some(quantity),
            problem: None,
            by,
        };
    }
    Next::Measure { quantity, days, by }
}

fn says(p: &ProblemAdvice, keys: &[AnswerKey]) -> bool {
    p.says.iter().any(|k| keys.contains(k))
}

/// What is to be done for the problems: a reading first, then a trial or a choice. None where no
/// list calls for anything.
pub(super) fn active(seen: &Seen, advice: &Advice) -> Option<Next> {
    if let Some(first) = advice.problems.iter().find_map(|p| reading(seen, p)) {
        return Some(first);
    }
    // Waiting is said of a haze whose signs point to no cause: the cause comes before a choice.
    let cause = seen.dossier.diagnosis();
    let open = cause.is_some_and(|d| d.likely().is_none());
    if open && waits(advice).is_some() {
        return Some(Next::FindCause);
    }
    let late = |p: &&ProblemAdvice| says(p, &[AnswerKey::TooLate, AnswerKey::DayPassed]);
    if let Some(p) = advice.problems.iter().find(late) {
        return Some(Next::MoveDay {
            passed: says(p, &[AnswerKey::DayPassed]),
        });
    }
    let open: Vec<&ProblemAdvice> = advice.problems.iter().filter(|p| is_to_choose(p)).collect();
    if let Some(step) = open.iter().find_map(|p| tried(seen, p, open.len() > 1)) {
        return Some(step);
    }
    match open.as_slice() {
        [] => None,
        [one] => Some(Next::Choose {
            problem: one.problem,
        }),
        _ => Some(Next::ChooseRoute { because: None }),
    }
}

/// The reading that an answer puts first.
fn reading(seen: &Seen, p: &ProblemAdvice) -> Option<Next> {
    let again = says(p, &[AnswerKey::MeasureAgain]);
    if !again && !says(p, &[AnswerKey::MeasureFirst]) {
        return None;
    }
    let need = p.need.as_ref()?;
    // What was read and is told needs no reading: there the answer asks for another test in words.
    let told = need.value_by == Some(KnownBy::Measured) && !again;
    (need.quantity.facts().asked && !told).then(|| match measure(seen, need.quantity, again) {
        Next::AskLaboratory { quantity, by, .. } => Next::AskLaboratory {
            quantity,
            problem: Some(p.problem),
            by,
        },
        other => other,
    })
}

/// Whether an answer names something to begin with, and no laboratory before it.
fn is_to_choose(p: &ProblemAdvice) -> bool {
    let nothing = [
        AnswerKey::NoTreatment,
        AnswerKey::TakeNoMore,
        AnswerKey::NothingCures,
        AnswerKey::NothingFits,
    ];
    let begins = says(p, &[AnswerKey::Begin])
        || says(p, &[AnswerKey::OnlyHelps, AnswerKey::NoBarrier])
            && !says(p, &[AnswerKey::Laboratory]);
    begins && !p.ranked.is_empty() && !says(p, &nothing)
}

/// A trial that was begun of something on the list: its glasses are to be read, or what it found
/// may be done.
fn tried(seen: &Seen, p: &ProblemAdvice, several: bool) -> Option<Next> {
    let begun = |key: &str| {
        let mut trials = seen.dossier.trials.iter();
        trials.any(|t| t.key == key && !t.glasses.is_empty())
    };
    let key = p.ranked.iter().map(|r| r.key).find(|k| begun(k))?;
    let t = treatment(key)?;
    let before = Before::act(seen.dossier, key);
    let weighed = dose_for(seen.dossier, t, &Field::NotGiven, &before);
    let given = seen.dossier.acts().any(|a| a.key == key);
    match weighed {
        // What was given is judged by what is measured after it.
        _ if given => None,
        // A trial does not choose among several needs.
        Ok(_) if several => None,
        Ok(_) => Some(Next::Do {
            treatment: key,
            day: None,
        }),
        Err(_) if crate::trial::bench_dose(seen.dossier, t).is_some() => {
            Some(Next::Trial { treatment: key })
        }
        Err(_) => None,
    }
}

/// The problem that is waited for.
pub(super) fn waits(advice: &Advice) -> Option<Next> {
    let mut problems = advice.problems.iter();
    let p = problems.find(|p| says(p, &[AnswerKey::WaitAndRack]))?;
    Some(Next::WaitAndRack { problem: p.problem })
}

/// What is said of the problems for which nothing is to be done now.
pub(super) fn passive(advice: &Advice) -> Option<Next> {
    let find = |key: AnswerKey| advice.problems.iter().find(|p| says(p, &[key]));
    if let Some(step) = waits(advice) {
        return Some(step);
    }
    if let Some(p) = find(AnswerKey::NothingFits).or_else(|| find(AnswerKey::Laboratory)) {
        return Some(Next::AskLaboratory {
            quantity: None,
            problem: Some(p.problem),
            by: None,
        });
    }
    find(AnswerKey::NothingCures).map(|p| Next::NothingCures { problem: p.problem })
}
