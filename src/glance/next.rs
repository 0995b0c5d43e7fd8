//! What the next step of a wine may be, and the page that its button opens.

use crate::route::plan::Judged;
use crate::units::day::Day;
use crate::wine::{Market, Problem, Quantity};
use crate::work_order::dosing;
use serde::Serialize;

/// What was not said of a wine and everything hangs on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Missing {
    /// Its colour.
    Colour,
    /// Where it stands.
    Stage,
}

/// The next step. Treatments, checks and fields are named by their keys.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "next", rename_all = "snake_case")]
pub enum Next {
    /// Something was typed that cannot be read.
    MendInput {
        /// Its field, as the file names it.
        field: String,
    },
    /// Something that everything hangs on was not said.
    SayWhat {
        /// What.
        missing: Missing,
    },
    /// A problem is to be named.
    SayProblem {
        /// What was measured outside its limit and is not named; None where nothing is known yet.
        problem: Option<Problem>,
    },
    /// Something is wrong with a bottled wine: something is still to be shown of its bottles.
    InBottle {
        /// Key of the check.
        check: &'static str,
    },
    /// Signs were answered and no cause is likely yet.
    FindCause,
    /// A reading decides.
    Measure {
        /// What.
        quantity: Quantity,
        /// Days until it has answered.
        days: Option<f64>,
        /// Last day of the sample.
        #[serde(serialize_with = "super::written_if")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        by: Option<Day>,
    },
    /// There is a reading that holds no longer, or lies too near its limit.
    MeasureAgain {
        /// What.
        quantity: Quantity,
        /// Days until it has answered.
        days: Option<f64>,
        /// Last day of the sample.
        #[serde(serialize_with = "super::written_if")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        by: Option<Day>,
    },
    /// A laboratory is asked.
    AskLaboratory {
        /// For what; None where no reading helps and a specialist may.
        quantity: Option<Quantity>,
        /// For which problem; None where the record asks for it.
        problem: Option<Problem>,
        /// Last day of the sample.
        #[serde(serialize_with = "super::written_if")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        by: Option<Day>,
    },
    /// Something was measured or looked at, and its day is missing or lies in the future.
    AddDay {
        /// Key of the proof.
        key: &'static str,
    },
    /// It clears or softens by itself.
    WaitAndRack {
        /// The problem.
        problem: Problem,
    },
    /// An act needs more days before the bottle.
    Wait {
        /// Its key.
        treatment: &'static str,
        /// Days that are still lacking.
        days: i64,
    },
    /// The fermentation is not over.
    Ferment,
    /// Nothing cures it.
    NothingCures {
        /// The problem.
        problem: Problem,
    },
    /// One problem asks for a treatment: its ranked list.
    Choose {
        /// The problem.
        problem: Problem,
    },
    /// A whole way is to be chosen.
    ChooseRoute {
        /// Why the plan does not hold; None where there is none.
        because: Option<Judged>,
    },
    /// A bench trial.
    Trial {
        /// Key of the treatment.
        treatment: &'static str,
    },
    /// A law is to be confirmed before a dose may be weighed.
    ConfirmLaw {
        /// Key of the treatment.
        treatment: &'static str,
        /// Whose law.
        market: Market,
    },
    /// A step of the plan cannot be done as it stands there.
    MendPlan {
        /// Key of the treatment.
        treatment: &'static str,
        /// Why no dose may be weighed; None where its place is wrong.
        because: Option<dosing::Because>,
    },
    /// An act.
    Do {
        /// Key of the treatment.
        treatment: &'static str,
        /// Day by which it begins; None where there is none.
        #[serde(serialize_with = "super::written_if")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        day: Option<Day>,
    },
    /// A test of the plan, or one whose time comes.
    Test {
        /// What it reads.
        quantity: Quantity,
        /// The day; None where there is none.
        #[serde(serialize_with = "super::written_if")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        day: Option<Day>,
    },
    /// Something is looked at in the last days, at the line or in the bottles.
    LastCheck {
        /// Its key in the record.
        key: &'static str,
        /// The day; None where there is none.
        #[serde(serialize_with = "super::written_if")]
        #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
        day: Option<Day>,
    },
    /// The record holds something against the wine that no list or plan answers.
    Outside {
        /// Key of the proof.
        key: &'static str,
    },
    /// The bottling day has passed, or comes too soon for what is to be done.
    MoveDay {
        /// Whether it has passed.
        passed: bool,
    },
    /// Nothing speaks against it, and no bottling day is set.
    NothingWrong,
    /// Nothing that is due before the line is open.
    ReadyForLine,
    /// Nothing at all is open.
    Released,
}

/// The page that a button opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Page {
    /// Its readings.
    Values,
    /// What is asked of it.
    Questions,
    /// Find the cause.
    Cause,
    /// The ranked list of a problem.
    Treatments,
    /// A bench trial.
    Trial,
    /// The routes.
    Routes,
    /// The work order.
    Order,
    /// The record.
    Record,
    /// What a laboratory is asked.
    Laboratory,
}

impl Next {
    /// The page of its button.
    pub const fn page(&self) -> Page {
        match self {
            Next::MendInput { .. }
            | Next::Measure { .. }
            | Next::MeasureAgain { .. }
            | Next::Test { .. } => Page::Values,
            Next::SayWhat { .. } | Next::SayProblem { .. } | Next::MoveDay { .. } => {
                Page::Questions
            }
            Next::NothingWrong | Next::Ferment => Page::Questions,
            Next::FindCause => Page::Cause,
            Next::WaitAndRack { .. } | Next::NothingCures { .. } | Next::Choose { .. } => {
                Page::Treatments
            }
            Next::Trial { .. } => Page::Trial,
            Next::ChooseRoute { .. } => Page::Routes,
            Next::Do { .. } | Next::MendPlan { .. } | Next::ConfirmLaw { .. } => Page::Order,
            Next::AskLaboratory { .. } => Page::Laboratory,
            Next::InBottle { .. }
            | Next::AddDay { .. }
            | Next::Wait { .. }
            | Next::LastCheck { .. }
            | Next::Outside { .. }
            | Next::ReadyForLine
            | Next::Released => Page::Record,
        }
    }
}
