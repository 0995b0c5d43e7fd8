//! What the answers about one problem of a wine go by, worked out once for its list, its shares, its
//! answer and what is measured first.

use super::acceptability::Bounds;
use super::germs::{self, Asked};
use super::scales::{self, Scales};
use super::sugar::Fed;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Status};
use crate::state::{Known, reading};
use crate::wine::*;

/// What all problems of a wine share.
#[derive(Debug, Clone, Copy)]
pub struct Shared {
    /// Days to the bottling day, where it is known.
    pub days_left: Option<i64>,
    /// What money and time are worth.
    pub scales: Scales,
    /// What feeds germs.
    pub fed: Fed,
}

impl Shared {
    /// Those of a wine with so many days to its bottling.
    pub fn of(dossier: &Dossier, days_left: Option<i64>) -> Shared {
        Shared {
            days_left,
            scales: Scales::of(dossier),
            fed: Fed::of(dossier),
        }
    }
}

/// A problem in one wine.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// What it shares with the others.
    pub shared: Shared,
    /// The problem.
    pub problem: &'static ProblemFacts,
    /// The band it needs, where there is one.
    pub band: Option<&'static NeedBand>,
    /// What leaving it costs, money per hectolitre.
    pub at_stake: f64,
    /// The food that asks for a barrier.
    pub food: Option<&'static StabilityFacts>,
    /// What is asked of its germs; None where it is none of germs.
    pub germs: Option<Asked>,
    /// What its test says.
    pub status: Status,
    /// The quantity by whose test the wine is judged.
    pub read: Quantity,
    /// What is known of it.
    pub known: Option<Known>,
    /// Whether what was typed for it cannot be read.
    pub unreadable: bool,
}

impl Setting {
    /// A problem of a wine; None where it has no facts.
    pub fn of(dossier: &Dossier, shared: Shared, problem: Problem) -> Option<Setting> {
        let facts = PROBLEMS.rows().iter().find(|f| f.problem == problem)?;
        let at_stake = scales::loss(dossier, problem);
        let food = shared.fed.food(problem);
        let germs = germs::asked_of(dossier, problem);
        let band = facts.band(dossier.colour, dossier.stage, dossier.journey);
        let status = stability::status_of(dossier, facts.quantity);
        let read = reading(dossier, facts.quantity);
        Some(Setting {
            shared,
            problem: facts,
            band,
            at_stake,
            food,
            germs,
            status,
            read,
            known: dossier.state.get(facts.quantity).copied(),
            unreadable: dossier.unreadable(read).is_some(),
        })
    }

    /// Its limits, where there are any.
    pub fn bounds(&self) -> Option<Bounds> {
        self.band.map(|b| Bounds {
            floor: b.floor,
            ceiling: b.ceiling,
            own: true,
        })
    }

    /// Whether food is left and a treatment settles it not, so that it never is enough.
    pub fn never_enough(&self, t: &Treatment) -> bool {
        self.food
            .is_some_and(|food| !self.shared.fed.settles(food, t))
    }
}
