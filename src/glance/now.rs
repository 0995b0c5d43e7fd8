//! The one next step, in the order in which one thing keeps the next from being sure: what cannot
//! be read, what was not said, the plan, the problems, the record.

use super::lanes::Mark;
use super::{Missing, Next, Page, Seen, needs, planned, record};
use crate::advice::advise;
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::units::day::Day;
use crate::wine::*;
use crate::work_order::ready::{Because, Fitness, Shown};
use serde::Serialize;

/// The next step, and what the row of a wine shows beside it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Now {
    /// The step.
    pub step: Next,
    /// The page of its button.
    pub page: Page,
    /// What the record says of the wine as a whole.
    pub mark: Mark,
    /// Day by which the acts of the plan and the tests that are owed begin at the latest; None
    /// where nothing is open, or no day is set.
    #[serde(serialize_with = "super::written_if")]
    #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
    pub begin_by: Option<Day>,
    /// Days to the bottling; below 0 where it has passed.
    pub days: Option<i64>,
}

/// The next step of a wine. `today` is the day by the device.
pub fn now(dossier: &Dossier, today: Option<Day>) -> Now {
    of(&Seen::of(dossier, today))
}

pub(super) fn of(seen: &Seen) -> Now {
    let step = step(seen);
    Now {
        page: step.page(),
        step,
        mark: mark(seen),
        begin_by: begin_by(seen),
        days: seen.dossier.days_left(seen.today),
    }
}

/// The verdict of the record as a mark.
fn mark(seen: &Seen) -> Mark {
    let rows = &seen.record.evidence;
    if rows.iter().any(|p| p.shown == Shown::Against) {
        return Mark::Outside;
    }
    let bottled = seen.dossier.stage == Some(Stage::Bottled);
    if seen.record.released || (!bottled && seen.record.so_far()) {
        return Mark::Ready;
    }
    if rows.iter().any(|p| p.because == Some(Because::TooNear)) {
        return Mark::Doubtful;
    }
    Mark::NotKnown
}

fn begin_by(seen: &Seen) -> Option<Day> {
    seen.ahead()?;
    let open = planned::open(seen);
    let acts = open.iter().filter_map(|o| planned::day(seen, o));
    // Before an act stands its trial.
    let trials = open.iter().filter_map(|o| match o {
        planned::Open::Act(step) => planned::day(seen, o)?.back(libm::ceil(step.trial_days) as i64),
        planned::Open::Test(_) => None,
    });
    acts.chain(trials).chain(record::first_sample(seen)).min()
}

fn step(seen: &Seen) -> Next {
    let dossier = seen.dossier;
    if let Some(error) = dossier.errors.first() {
        return Next::MendInput {
            field: error.field.clone(),
        };
    }
    if dossier.stage == Some(Stage::Bottled) {
        return bottled(seen);
    }
    if let Some(missing) = missing(dossier) {
        return Next::SayWhat { missing };
    }
    if seen.record.released {
        return Next::Released;
    }
    let days = dossier.days_left(seen.today);
    if seen.record.line && days.is_some_and(|d| d <= 0) {
        return at_line(seen);
    }
    if days.is_some_and(|d| d < 0) {
        return Next::MoveDay { passed: true };
    }
    if let Some(step) = planned::next(seen) {
        return step;
    }
    unplanned(seen)
}

/// What everything hangs on and was not said.
fn missing(dossier: &Dossier) -> Option<Missing> {
    if dossier.colour.is_none() {
        return Some(Missing::Colour);
    }
    dossier.stage.is_none().then_some(Missing::Stage)
}

/// The next step where the plan has none.
fn unplanned(seen: &Seen) -> Next {
    let dossier = seen.dossier;
    let advice = advise(dossier, seen.today);
    // What only the fermentation can bring is not measured or treated before it is over.
    if is_fermenting(dossier)
        && let Some(step) = needs::waits(&advice)
    {
        return step;
    }
    if let Some(step) = needs::active(seen, &advice) {
        return step;
    }
    if dossier.problems.is_empty() {
        let answered = dossier.diagnosis();
        if answered.is_some_and(|d| d.likely().is_none()) {
            return Next::FindCause;
        }
        if answered.is_none() && is_blank(dossier) {
            return Next::SayProblem { problem: None };
        }
    }
    if is_fermenting(dossier) {
        return needs::passive(&advice).unwrap_or(Next::Ferment);
    }
    if let Some(step) = record::against(seen) {
        return step;
    }
    if seen.record.line {
        return Next::ReadyForLine;
    }
    if !record::says(seen, Fitness::DayLeft) {
        if let Some(step) = needs::passive(&advice) {
            return step;
        }
        let best = advice.measure_next.best.first();
        if advice.measure_next.says.contains(&AnswerKey::MeasureNext)
            && let Some(worth) = best
        {
            return needs::measure(seen, worth.quantity, dossier.voided(worth.quantity));
        }
    }
    if dossier.bottling_day.is_empty() && record::only_last_days(seen) {
        return Next::NothingWrong;
    }
    record::open(seen).unwrap_or(Next::SayProblem { problem: None })
}

/// Whether the fermentation is not over.
fn is_fermenting(dossier: &Dossier) -> bool {
    dossier.is_must() || dossier.stage == Some(Stage::Fermenting)
}

/// Whether nothing is known of it by which it could be judged.
fn is_blank(dossier: &Dossier) -> bool {
    dossier.analyses.is_empty() && dossier.plan.is_empty() && dossier.checks.is_empty()
}

/// At the line and after it: what the record still asks for, once it was begun.
fn at_line(seen: &Seen) -> Next {
    if !record::ran(seen) {
        return planned::next(seen).unwrap_or(Next::ReadyForLine);
    }
    record::against(seen)
        .or_else(|| record::after_line(seen))
        .unwrap_or(Next::ReadyForLine)
}

fn bottled(seen: &Seen) -> Next {
    if let Some(step) = record::of_bottles(seen) {
        return step;
    }
    let dossier = seen.dossier;
    let faulty = !dossier.problems.is_empty() || dossier.observed.iter().any(|(_, yes)| *yes);
    let likely = dossier.diagnosis().is_some_and(|d| d.likely().is_some());
    if faulty && !likely {
        return Next::FindCause;
    }
    if seen.record.released {
        Next::Released
    } else {
        Next::FindCause
    }
}
