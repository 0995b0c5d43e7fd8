//! A wine with sugar left: what lets it be bottled. A share of yeast taken away is no safety, since
//! what is left grows; only
//! a barrier at the filler is, and the tables name each with its reason.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Status};
use crate::units::show;
use crate::wine::*;

/// Whether a problem asks for a barrier in this wine: the fear that it ferments again, unless sugar
/// was measured inside its
/// limit; any fear of germs, where sugar was measured outside it. Must is to ferment.
pub fn asks_for_barrier(dossier: &Dossier, problem: Problem) -> bool {
    let must = dossier.stage == Some(Stage::Juice) || dossier.style == Some(Style::Juice);
    let sugar = || stability::status_of(dossier, Quantity::Sugar);
    match problem {
        _ if must => false,
        Problem::Refermentation => sugar() != Status::Stable,
        Problem::Microbes => sugar() == Status::Unstable,
        _ => false,
    }
}

/// Whether a treatment is a barrier at the filler behind which a wine with sugar left may be
/// bottled.
pub fn is_barrier(t: &Treatment) -> bool {
    let rule = STABILITIES
        .iter()
        .find(|s| s.quantity == Quantity::Sugar)
        .and_then(|s| s.barrier.as_ref());
    rule.is_some_and(|r| r.is_met_by(t))
}

/// Whether a treatment settles it: a barrier at the filler, or an end to the sugar where the wine
/// is not to stay sweet.
pub fn settles(dossier: &Dossier, t: &Treatment) -> bool {
    let stays_sweet = matches!(dossier.style, Some(Style::StillSweet | Style::Fortified));
    let ends_it = t
        .effects
        .iter()
        .any(|e| e.on == Quantity::Sugar && e.removes.is_some());
    is_barrier(t) || ends_it && !stays_sweet
}

/// What is said where none of the barriers can be used.
pub fn no_barrier(dossier: &Dossier) -> String {
    let why = match stability::status_of(dossier, Quantity::Sugar) {
        Status::Unstable => "Sugar is left",
        _ => "Sugar was not measured, so it may be left",
    };
    let names: Vec<String> = TREATMENTS
        .rows()
        .iter()
        .filter(|t| is_barrier(t))
        .map(|t| show::inside(t.name))
        .collect();
    format!(
        "{why}, and nothing that can be used here and now makes it safe to bottle. What does: {}.",
        names.join("; ")
    )
}
