//! Readings that would decide whether an act may be given: a rule shuts it out as long as they are
//! not known.

use crate::dossier::Dossier;
use crate::knowledge::{PROBLEMS, TREATMENTS, Treatment};
use crate::rules::{Fact, Kind, Truth};
use crate::stability::test_of;
use crate::treatment::suit::{Reason, reasons_for};
use crate::units::show;
use crate::wine::*;

/// A reading that decides on an act.
#[derive(Debug, Clone, PartialEq)]
pub struct Deciding {
    /// The quantity.
    pub quantity: Quantity,
    /// Key of the act.
    pub act: &'static str,
    /// Key of the rule.
    pub rule: &'static str,
    /// In words.
    pub text: String,
}

/// The readings that alone keep an act out of a list of this wine, each once.
pub fn deciding(dossier: &Dossier) -> Vec<Deciding> {
    let mut all: Vec<Deciding> = Vec::new();
    for facts in PROBLEMS
        .iter()
        .filter(|f| dossier.problems.contains(&f.problem))
    {
        let works = |t: &&Treatment| t.works_on(facts.quantity);
        for t in TREATMENTS.rows().iter().filter(works) {
            for found in keeps_out(dossier, t, facts.problem) {
                if !all.iter().any(|d| d.quantity == found.quantity) {
                    all.push(found);
                }
            }
        }
    }
    all
}

/// The readings whose absence alone keeps an act out for a problem; none where something else does.
fn keeps_out(dossier: &Dossier, t: &'static Treatment, problem: Problem) -> Vec<Deciding> {
    let mut found = Vec::new();
    for reason in reasons_for(dossier, t, problem) {
        let Reason { because, ruling } = reason;
        if because != Kind::Rule || ruling.truth != Truth::NotKnown {
            return Vec::new();
        }
        let sent = |q: &Quantity| test_of(*q).is_some_and(|test| test.sample_ml > 0.0);
        let readings = ruling.witness.iter().filter_map(|f| match f {
            Fact::Reading(q) => Some(*q),
            _ => None,
        });
        found.extend(readings.filter(sent).map(|quantity| Deciding {
            quantity,
            act: t.key,
            rule: ruling.rule,
            text: format!(
                "{}, to decide on: {}. {}",
                quantity.label(),
                show::inside(t.name),
                ruling.why()
            ),
        }));
    }
    found
}
