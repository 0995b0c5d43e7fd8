//! What the page shows of a wine, gathered for a program: values and keys, with the English of the
//! page beside them.

use crate::advice::{Advice, advise};
use crate::dossier::Dossier;
use crate::glance::{self, Home};
use crate::route::plan::{Chosen, chosen};
use crate::route::{Routes, routes};
use crate::trial::design::Design;
use crate::trial::reading::Reading;
use crate::units::day::Day;
use crate::work_order::laboratory::{Asked, asked};
use crate::work_order::order::{WorkOrder, work_order};
use crate::work_order::ready::{Ready, of_ready, ready};
use crate::work_order::sheet::{self, Block};
use serde::Serialize;

/// The work order, and its sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Order {
    /// Name of the wine.
    pub wine: String,
    /// Whether the route that was taken still holds; None where the plan is empty.
    pub chosen: Option<Chosen>,
    /// The order.
    pub order: WorkOrder,
    /// Its lines on paper.
    pub sheet: Vec<Block>,
}

/// The record of fitness to bottle, and its sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Record {
    /// Name of the wine.
    pub wine: String,
    /// The record.
    pub record: Ready,
    /// Its lines on paper.
    pub sheet: Vec<Block>,
}

/// What a laboratory is asked, and its sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Laboratory {
    /// Name of the wine.
    pub wine: String,
    /// What is asked.
    pub asked: Vec<Asked>,
    /// Its lines on paper.
    pub sheet: Vec<Block>,
}

/// A bench trial of the wine.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trial {
    /// Key of the treatment.
    pub treatment: &'static str,
    /// The ladder; None where there is none to make.
    pub design: Option<Design>,
    /// What its readings say; None where none is to be read.
    pub reading: Option<Reading>,
}

/// Everything.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Everything {
    /// The advice, with stabilities, what to measure next, the causes and what follows from the
    /// analyses.
    pub advice: Advice,
    /// The routes.
    pub routes: Routes,
    /// The bench trials.
    pub trials: Vec<Trial>,
    /// The work order.
    pub order: Order,
    /// What was done, on paper.
    pub log: Block,
    /// The record.
    pub record: Record,
    /// What a laboratory is asked.
    pub laboratory: Laboratory,
    /// The summary for the owner of the wine, on paper.
    pub summary: Vec<Block>,
    /// The wine at a glance: its lanes, its next step, its next days.
    pub glance: Home,
}

/// The work order of a wine.
pub fn order(dossier: &Dossier, today: Option<Day>) -> Order {
    let order = work_order(dossier);
    Order {
        wine: dossier.name.clone(),
        chosen: chosen(dossier, today),
        sheet: sheet::of_order(dossier, &order),
        order,
    }
}

/// The record of a wine.
pub fn record(dossier: &Dossier, today: Option<Day>) -> Record {
    let record = ready(dossier, today);
    Record {
        wine: dossier.name.clone(),
        sheet: of_ready(dossier, &record),
        record,
    }
}

/// What a laboratory is asked of a wine.
pub fn laboratory(dossier: &Dossier, today: Option<Day>) -> Laboratory {
    Laboratory {
        wine: dossier.name.clone(),
        asked: asked(dossier, today),
        sheet: sheet::laboratory(dossier, today),
    }
}

/// Everything that is said of a wine.
pub fn everything(dossier: &Dossier, today: Option<Day>) -> Everything {
    let record = record(dossier, today);
    Everything {
        advice: advise(dossier, today),
        routes: routes(dossier, today),
        trials: trials(dossier),
        order: order(dossier, today),
        log: sheet::log(dossier),
        summary: sheet::client(dossier, &record.record),
        record,
        laboratory: laboratory(dossier, today),
        glance: glance::home(dossier, today),
    }
}

fn trials(dossier: &Dossier) -> Vec<Trial> {
    let known = dossier.trials.iter().filter_map(|x| x.treatment);
    known
        .map(|t| Trial {
            treatment: t.key,
            design: crate::trial::design(dossier, t),
            reading: crate::trial::read(dossier, t),
        })
        .collect()
}
