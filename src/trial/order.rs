//! Who goes first of two treatments, by the rules on order, which a route and a plan keep too.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules::{self, Ruling};
use crate::wine::Phase;

/// The phase that holds a treatment in a wine of this colour.
fn phase(dossier: &Dossier, key: &str) -> Option<Phase> {
    let fits = |p: &&PhaseFacts| holds_for(p.colours, dossier.colour);
    let mut holds = PHASES.rows().iter().filter(fits);
    holds.find(|p| p.treatments.contains(&key)).map(|p| p.phase)
}

/// Why `first` goes before `then` in this wine; None where it does not, or where either will do.
pub fn goes_first(dossier: &Dossier, first: &Treatment, then: &Treatment) -> Option<Ruling> {
    rules::order::goes_before(dossier, first, then.key)
}

/// What a trial may be made together with: agents of the same phase that are found on the bench, of
/// which a rule says who goes first, and which no rule shuts out of this wine.
pub fn partners(dossier: &Dossier, t: &Treatment) -> Vec<&'static Treatment> {
    let either =
        |p: &Treatment| goes_first(dossier, p, t).is_some() || goes_first(dossier, t, p).is_some();
    let on_bench = |p: &&Treatment| {
        p.key != t.key
            && phase(dossier, p.key) == phase(dossier, t.key)
            && super::bench_dose(dossier, p).is_some()
            && either(p)
            && !rules::is_out(dossier, p, None)
    };
    TREATMENTS.rows().iter().filter(on_bench).collect()
}
