//! A wine with food for germs left, sugar or malic acid: what lets it be bottled. A share of germs
//! taken away is no safety, since what is left grows; only a barrier at the filler is, or an end to
//! the food, and the tables name each with its reason.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Status};
use crate::treatment::Span;
use crate::treatment::ranking::effect_on;
use crate::units::show;
use crate::wine::*;

/// What the tests say of the food of germs in a wine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fed {
    /// Whether it is must, which is to ferment.
    must: bool,
    /// Whether it is to stay sweet.
    stays_sweet: bool,
    sugar: Status,
    malic: Status,
}

impl Fed {
    /// Those of a wine.
    pub fn of(dossier: &Dossier) -> Fed {
        Fed {
            must: dossier.is_must(),
            stays_sweet: matches!(dossier.style, Some(Style::StillSweet | Style::Fortified)),
            sugar: stability::status_of(dossier, Quantity::Sugar),
            malic: stability::status_of(dossier, Quantity::Malic),
        }
    }

    /// The stability whose food asks for a barrier in this wine, for a problem: the fear that it
    /// ferments again, unless sugar was measured inside its limit; any fear of germs, where sugar
    /// was measured outside it. Must is to ferment.
    pub fn food(self, problem: Problem) -> Option<&'static StabilityFacts> {
        let asks = match problem {
            _ if self.must => false,
            Problem::Refermentation => self.sugar != Status::Stable,
            Problem::Microbes => self.sugar == Status::Unstable,
            _ => false,
        };
        fed_by(Quantity::Sugar).filter(|_| asks)
    }

    /// The same on the way to the bottle: there malic acid outside its limit asks for one too. In a
    /// tank malolactic fermentation may be held back by other means.
    pub fn food_in_bottle(self, problem: Problem) -> Option<&'static StabilityFacts> {
        let left = self.malic == Status::Unstable;
        let asks = left && problem == Problem::Microbes && !self.must;
        let malic = || fed_by(Quantity::Malic).filter(|_| asks);
        self.food(problem).or_else(malic)
    }

    /// How much of the sugar a treatment ends that a wine may ferment again, unless sugar was
    /// measured inside its limit; None where it ends none. Malic acid is one food of bacteria among
    /// others, so that its end is no end of them.
    pub fn taken(self, problem: Problem, t: &Treatment) -> Option<Span> {
        if problem != Problem::Refermentation || self.sugar == Status::Stable {
            return None;
        }
        let food = fed_by(Quantity::Sugar).filter(|food| ends(food, t))?;
        effect_on(t, food.quantity).map(|e| Span::of(&e, 1.0))
    }

    /// Whether a treatment settles it: a barrier at the filler, or an end to the food where the wine
    /// is not to stay sweet.
    pub fn settles(self, food: &StabilityFacts, t: &Treatment) -> bool {
        let may_end = food.quantity != Quantity::Sugar || !self.stays_sweet;
        is_barrier(food, t) || may_end && ends(food, t)
    }

    /// What is said where none of the barriers can be used.
    pub fn no_barrier(self, food: &StabilityFacts) -> String {
        let why = match (food.quantity, self.sugar) {
            (Quantity::Malic, _) => "Malic acid is left",
            (_, Status::Unstable) => "Sugar is left",
            _ => "Sugar was not measured, so it may be left",
        };
        let names: Vec<String> = TREATMENTS
            .rows()
            .iter()
            .filter(|t| meets(food, t))
            .map(|t| show::inside(t.name))
            .collect();
        format!(
            "{why}, and nothing that can be used here and now makes it safe to bottle. What does: {}.",
            names.join("; ")
        )
    }
}

/// [`Fed::food_in_bottle`] of a wine.
pub fn food_in_bottle(dossier: &Dossier, problem: Problem) -> Option<&'static StabilityFacts> {
    Fed::of(dossier).food_in_bottle(problem)
}

fn fed_by(which: Quantity) -> Option<&'static StabilityFacts> {
    let mut all = STABILITIES.rows().iter();
    all.find(|s| s.quantity == which && s.barrier.is_some())
}

/// Whether a treatment is a barrier at the filler behind which a wine with this food left may be
/// bottled.
pub fn is_barrier(food: &StabilityFacts, t: &Treatment) -> bool {
    food.barrier.as_ref().is_some_and(|r| r.is_met_by(t))
}

/// Whether a treatment ends the food.
fn ends(food: &StabilityFacts, t: &Treatment) -> bool {
    t.effects
        .iter()
        .any(|e| e.on == food.quantity && e.removes.is_some())
}

/// Whether a route meets the need by this treatment alone: a barrier, or the end of malolactic
/// fermentation. How far a wine ferments its sugar is not known before it has.
pub fn meets(food: &StabilityFacts, t: &Treatment) -> bool {
    is_barrier(food, t) || food.quantity == Quantity::Malic && ends(food, t)
}
