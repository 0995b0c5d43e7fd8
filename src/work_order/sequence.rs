//! Whether the steps of a plan stand in their order: who goes first, what may not be in one wine.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules;
pub use crate::trial::order::goes_first;
use crate::wine::*;
use serde::Serialize;

/// What is wrong with the place of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fault {
    /// It goes before an earlier step.
    GoesBefore,
    /// It may not be in one wine with another.
    NotWith,
}

/// What speaks against a step at its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Misplaced {
    /// What is wrong.
    pub fault: Fault,
    /// Key of the other treatment.
    pub other: String,
    /// In words.
    pub text: String,
}

/// What speaks against a step at its place in the plan.
pub fn marks(dossier: &Dossier, at: usize) -> Vec<Misplaced> {
    let Some(step) = dossier.plan.get(at) else {
        return Vec::new();
    };
    let name = |key: &str| {
        TREATMENTS
            .iter()
            .find(|t| t.key == key)
            .map_or("", |t| t.name)
    };
    let earlier: Vec<&str> = dossier
        .plan
        .iter()
        .take(at)
        .map(|s| s.key.as_str())
        .collect();
    let mut marks = Vec::new();
    for (i, before) in earlier.iter().enumerate() {
        // A filter that is there to take an agent out stands where it must.
        let takes_out = LINKS.iter().any(|l| {
            l.kind == LinkKind::Insert
                && (l.then.contains(before) || l.acts.contains(before))
                && earlier.iter().take(i).any(|e| l.first.contains(e))
        });
        if let Some(why) = goes_first(dossier.colour, &step.key, before).filter(|_| !takes_out) {
            let text = format!(
                "Goes before step {} ({}). {}",
                i + 1,
                name(before),
                why.text
            );
            marks.push(Misplaced {
                fault: Fault::GoesBefore,
                other: (*before).to_string(),
                text,
            });
        }
    }
    // What the log has against it is said with the dose.
    let log = dossier.acts().filter_map(|a| a.treatment);
    let closed = |other: &Treatment| {
        let t = step.treatment?;
        let shut = rules::against(dossier, t, None);
        rules::after(dossier, t, other.key).filter(|r| shut.iter().all(|s| s.rule != r.rule))
    };
    let planned = dossier.plan.iter().take(at).filter_map(|s| s.treatment);
    for other in planned.chain(log) {
        if let Some(ruling) = closed(other) {
            let text = format!("Not with {}: {}", other.name, ruling.why());
            let mark = Misplaced {
                fault: Fault::NotWith,
                other: other.key.to_string(),
                text,
            };
            if !marks.contains(&mark) {
                marks.push(mark);
            }
        }
    }
    marks
}
