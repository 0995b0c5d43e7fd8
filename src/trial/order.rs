//! Who goes first of two treatments. The order is that of the phases and links of `72-routes.toml`,
//! which a route keeps too.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::wine::*;

/// The row of phases that holds a treatment in a wine of this colour, and its place in it.
fn place(colour: Option<Colour>, key: &str) -> Option<(&'static PhaseFacts, usize)> {
    let fits =
        |p: &&PhaseFacts| p.colours.is_empty() || colour.is_some_and(|c| p.colours.contains(&c));
    PHASES
        .rows()
        .iter()
        .filter(fits)
        .find_map(|p| Some((p, p.treatments.iter().position(|t| *t == key)?)))
}

/// Why `first` goes before `then` in a wine of this colour; None where it does not, or where either
/// will do.
pub fn goes_first(colour: Option<Colour>, first: &str, then: &str) -> Option<&'static Fact> {
    let ((a, i), (b, j)) = (place(colour, first)?, place(colour, then)?);
    if a.phase == b.phase {
        // Within a phase only what a rule or a link speaks of, and filters, coarse before fine; the
        // rest may come as it likes.
        // Where rules point both ways, the place in the phase says which holds for this colour.
        let rule = ORDER.rows().iter().find(|o| {
            o.first.contains(&first) && o.treatments.contains(&then) && !o.first.contains(&then)
        });
        let filters = || {
            [first, then].iter().all(|k| {
                TREATMENTS
                    .iter()
                    .any(|t| t.key == *k && t.family == Family::Filter)
            })
        };
        let linked = || {
            filters()
                || LINKS.iter().any(|l| {
                    l.kind == LinkKind::Together
                        && l.first.contains(&first)
                        && l.then.contains(&then)
                })
        };
        return if i >= j {
            None
        } else {
            rule.map(|o| &o.rule).or_else(|| linked().then_some(&a.why))
        };
    }
    // Wine is racked after any step, and sulfur dioxide is kept up all along.
    let anywhere = a.phase == Phase::Settle || b.phase == Phase::Protect;
    (a.phase < b.phase && !anywhere).then_some(if a.phase < Phase::Fine {
        &a.why
    } else {
        &b.why
    })
}

/// What a trial may be made together with: agents of the same phase that are found on the bench and
/// of which a rule says who
/// goes first.
pub fn partners(dossier: &Dossier, t: &Treatment) -> Vec<&'static Treatment> {
    let phase = |key: &str| place(dossier.colour, key).map(|(p, _)| p.phase);
    let either = |key: &str| {
        goes_first(dossier.colour, key, t.key)
            .or_else(|| goes_first(dossier.colour, t.key, key))
            .is_some()
    };
    TREATMENTS
        .rows()
        .iter()
        .filter(|p| {
            p.key != t.key
                && phase(p.key) == phase(t.key)
                && super::bench_dose(dossier, p).is_some()
                && either(p.key)
        })
        .collect()
}
