//! What the answers about one problem of a wine go by, worked out once for its list, its shares, its
//! answer and what is measured first.

use super::acceptability::Bounds;
use super::germs::{self, Counting};
use super::scales::{self, Scales};
use super::sugar::Fed;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Status};
use crate::state::{Known, reading};
use crate::wine::*;

/// A problem in one wine.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// The problem.
    pub problem: &'static ProblemFacts,
    /// The band it needs, where there is one.
    pub band: Option<&'static NeedBand>,
    /// Days to the bottling day, where it is known.
    pub days_left: Option<i64>,
    /// The quantity by whose test the wine is judged.
    pub read: Quantity,
    /// What is known of it.
    pub known: Option<Known>,
    /// Whether what was typed for it cannot be read.
    pub unreadable: bool,
    /// What its test says.
    pub status: Status,
    /// What leaving it costs, money per hectolitre.
    pub at_stake: f64,
    /// What was counted of its germs.
    pub counted: Option<Counting>,
    /// The powers of ten by which they must fall.
    pub asked: Option<f64>,
    /// What feeds them.
    pub fed: Fed,
    /// The food that asks for a barrier.
    pub food: Option<&'static StabilityFacts>,
    /// What money and time are worth.
    pub scales: Scales,
}

impl Setting {
    /// A problem of a wine with so many days to its bottling; None where the problem has no facts.
    pub fn of(dossier: &Dossier, problem: Problem, days_left: Option<i64>) -> Option<Setting> {
        let facts = PROBLEMS.rows().iter().find(|f| f.problem == problem)?;
        let read = reading(dossier, facts.quantity);
        let counted = germs::counted(dossier, problem);
        let fed = Fed::of(dossier);
        Some(Setting {
            problem: facts,
            band: facts.band(dossier.colour, dossier.stage, dossier.journey),
            days_left,
            read,
            known: dossier.state.get(facts.quantity).copied(),
            unreadable: dossier.unreadable(read).is_some(),
            status: stability::status_of(dossier, facts.quantity),
            at_stake: scales::loss(dossier, problem),
            counted,
            asked: germs::asked_by(counted, problem),
            fed,
            food: fed.food(problem),
            scales: Scales::of(dossier),
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
}
