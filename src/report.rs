//! What the page shows of a wine, gathered for a program: values and keys, with the English of the
//! page beside them.

use crate::advice::{Advice, advise};
use crate::knowledge::TREATMENTS;
use crate::route::plan::{Chosen, chosen};
use crate::route::{Routes, routes};
use crate::stability::{Asked, asked, stabilities};
use crate::trial::design::Design;
use crate::trial::reading::Reading;
use crate::units::day::Day;
use crate::wine::Wine;
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
}

/// The work order of a wine.
pub fn order(wine: &Wine, today: Option<Day>) -> Order {
    let order = work_order(wine);
    Order {
        wine: wine.name.clone(),
        chosen: chosen(wine, today),
        sheet: sheet::of_order(wine, &order),
        order,
    }
}

/// The record of a wine.
pub fn record(wine: &Wine, today: Option<Day>) -> Record {
    let record = ready(wine, today);
    Record {
        wine: wine.name.clone(),
        sheet: of_ready(wine, &record),
        record,
    }
}

/// What a laboratory is asked of a wine.
pub fn laboratory(wine: &Wine, today: Option<Day>) -> Laboratory {
    Laboratory {
        wine: wine.name.clone(),
        asked: asked(wine, &stabilities(wine), today),
        sheet: sheet::laboratory(wine, today),
    }
}

/// Everything that is said of a wine.
pub fn everything(wine: &Wine, today: Option<Day>) -> Everything {
    let record = record(wine, today);
    Everything {
        advice: advise(wine, today),
        routes: routes(wine, today),
        trials: trials(wine),
        order: order(wine, today),
        log: sheet::log(wine),
        summary: sheet::client(wine, &record.record),
        record,
        laboratory: laboratory(wine, today),
    }
}

fn trials(wine: &Wine) -> Vec<Trial> {
    let known = wine
        .trials
        .iter()
        .filter_map(|x| TREATMENTS.rows().iter().find(|t| t.key == x.treatment));
    known
        .map(|t| Trial {
            treatment: t.key,
            design: crate::trial::design(wine, t),
            reading: crate::trial::read(wine, t),
        })
        .collect()
}
