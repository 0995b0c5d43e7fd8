//! A smell that was named, or that something was done against, is gone only where somebody who
//! signs tasted the wine after the last
//! act. Which problems smell, and what is done against each, stands in the data.

use super::ready::{Because, Proof, Shown, When, counts, late};
use crate::case::{Act, Field};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::units::day::Day;
use crate::units::show;
use crate::wine::*;

/// The smells that this wine is asked about: those named, and those that the log holds a treatment
/// for, where what was named does
/// not account for it.
pub fn smells(dossier: &Dossier) -> Vec<&'static ProblemFacts> {
    let named = |f: &ProblemFacts| dossier.problems.contains(&f.problem);
    let all = || PROBLEMS.rows().iter().filter(|f| f.smell.is_some());
    let accounted = |t: &Treatment| {
        all().any(|f| {
            named(f)
                && t.effects
                    .iter()
                    .any(|e| e.on == f.quantity && e.removes.is_some())
        })
    };
    let treated = |f: &ProblemFacts| {
        let against = |t: &Treatment| f.smell.is_some_and(|s| s.after.contains(&t.key));
        dossier
            .acts()
            .filter_map(|a| a.treatment)
            .any(|t| against(t) && !accounted(t))
    };
    all().filter(|f| named(f) || treated(f)).collect()
}

/// Under which key a record keeps what was found of a smell.
pub fn key(check: &LastCheck, problem: Problem) -> String {
    format!("{}_{}", check.key, problem.key())
}

/// A line of the record for each smell that is asked about.
pub(super) fn rows(dossier: &Dossier, when: When, check: &'static LastCheck) -> Vec<Proof> {
    smells(dossier)
        .into_iter()
        .map(|f| row(dossier, when, check, f))
        .collect()
}

fn row(
    dossier: &Dossier,
    when: When,
    check: &'static LastCheck,
    facts: &'static ProblemFacts,
) -> Proof {
    let looked = dossier
        .checked(&key(check, facts.problem))
        .cloned()
        .unwrap_or_default();
    let mut row = Proof {
        name: format!("Smell: {}", show::inside(facts.problem.label())),
        shown: late(when, &check.window),
        because: Some(Because::NotLookedAt),
        why: "Nobody has tasted it yet.".into(),
        limit: facts.smell.map(|s| s.words),
        test: Some(check.test),
        ..Proof::missing(check.key)
    };
    let Some(gone) = looked.passed else {
        return row;
    };
    let day = match looked.day {
        Field::NotGiven => "no day".into(),
        _ => looked.day.words(),
    };
    let by = looked.by.trim();
    row.found = if gone {
        format!("gone ({day})")
    } else {
        format!("still there ({day})")
    };
    let tasted = looked.day.given();
    match counts(when, tasted, None, since(dossier, tasted), &check.window) {
        // What is still there is not gone because the taster did not sign.
        Ok(()) if !gone => {
            (row.shown, row.because, row.why) = (
                Shown::Against,
                Some(Because::Outside),
                "The smell is still there.".into(),
            )
        }
        Ok(()) if by.is_empty() => {
            (row.because, row.why) = (
                Some(Because::NotSigned),
                "Nobody signed it: write who tasted.".into(),
            )
        }
        Ok(()) => {
            (row.shown, row.because, row.why) = (Shown::Inside, None, format!("Tasted by {by}."))
        }
        Err((because, why)) => (row.because, row.why) = (Some(because), why),
    }
    row
}

/// The last act that may have changed how it tastes: any that voids a measurement.
fn since(dossier: &Dossier, day: Option<Day>) -> Option<&Act> {
    dossier
        .acts()
        .rfind(|a| a.treatment.is_none_or(|t| !t.voids.is_empty()) && a.may_follow(day))
}
