//! Acts of the log that the rules refuse: done is done, but the record says that it speaks against
//! the wine.

use super::ready::{Because, Proof, Shown};
use crate::case::Act;
use crate::dossier::Dossier;
use crate::law::Legality;
use crate::rules::{self, Fact, Ruling, Truth};
use crate::wine::*;

/// Each act of the log that a rule shuts out by what was done before it, or by the colour where it
/// stays in the wine or the law shuts it out: what was only a poor choice is no fault of the wine
/// any more. What a reading says stands in the record already, and what a sign or a cause says is of
/// today, not of the day of the act.
pub(super) fn rows(dossier: &Dossier) -> Vec<Proof> {
    dossier
        .acts()
        .filter_map(|act| {
            let t = act.treatment?;
            let refusals = rules::against(dossier, t, None).into_iter();
            // What a market forbids has its own line.
            let forbidden = dossier
                .law(t)
                .iter()
                .any(|f| f.legality == Legality::Forbidden);
            let said = |r: &Ruling| forbidden && r.strength == Strength::Law;
            let mut refusals = refusals.filter(|r| stood(dossier, act, r) && !said(r));
            let ruling = refusals.next()?;
            Some(Proof {
                name: t.name.to_string(),
                shown: Shown::Against,
                found: format!("Entry {}: {}", act.number, act.words()),
                why: ruling.text,
                because: Some(Because::Refused),
                ..Proof::missing(t.key)
            })
        })
        .collect()
}

/// Whether a ruling of today held when the act was done: every act that it names came before.
fn stood(dossier: &Dossier, act: &Act, ruling: &Ruling) -> bool {
    let came_before = |number: usize| {
        let other = dossier.acts().find(|a| a.number == number);
        other.is_some_and(|o| match (o.day.given(), act.day.given()) {
            (Some(o), Some(own)) if o != own => o < own,
            _ => number < act.number,
        })
    };
    ruling.verdict == RuleVerdict::Never
        && ruling.truth == Truth::Yes
        && ruling.witness.iter().all(|f| match f {
            Fact::Logged(number) => came_before(*number),
            Fact::Colour => {
                ruling.strength <= Strength::Law || act.treatment.is_some_and(|t| t.stays)
            }
            _ => false,
        })
}
