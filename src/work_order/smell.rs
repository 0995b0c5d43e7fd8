//! A smell that was named, or that something was done against, is gone only where somebody who
//! signs tasted the wine after the last
//! act. Which problems smell, and what is done against each, stands in the data.

use super::ready::{Because, Proof, Shown, When, counts, late};
use crate::case::{Act, Field};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::obligations::smell_key;
use crate::units::day::Day;
use crate::units::show;

/// The line of the record for a smell.
pub(super) fn row(
    dossier: &Dossier,
    when: When,
    check: &'static LastCheck,
    facts: &'static ProblemFacts,
) -> Proof {
    let looked = dossier
        .checked(&smell_key(check, facts.problem))
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
