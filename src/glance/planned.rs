//! What is left of the plan, each with its day.

use super::{Next, Seen};
use crate::knowledge::Treatment;
use crate::obligations::at_filler;
use crate::route::plan::{Judged, chosen};
use crate::rules::{self, Before, Fact};
use crate::units::day::Day;
use crate::wine::*;
use crate::work_order::dosing::Because;
use crate::work_order::order::{PlanTest, Step};

/// A step of the plan that is still to do.
pub(super) enum Open<'a> {
    Act(&'a Step),
    Test(&'a PlanTest),
}

impl Open<'_> {
    fn number(&self) -> usize {
        match self {
            Open::Act(step) => step.number,
            Open::Test(test) => test.number,
        }
    }

    /// Days from the first thing still to do until it begins, least and most.
    fn begins(&self) -> Option<[f64; 2]> {
        match self {
            Open::Act(step) => step.day,
            Open::Test(test) => test.day,
        }
    }

    pub fn is_at_filler(&self) -> bool {
        matches!(self, Open::Act(step) if at_filler(step.treatment))
    }
}

/// What is left of the plan, in its order.
pub(super) fn open<'a>(seen: &'a Seen) -> Vec<Open<'a>> {
    let steps = seen.order.steps.iter().filter(|s| s.logged.is_empty());
    let tests = seen.order.tests.iter().filter(|t| !t.done);
    let mut all: Vec<Open> = steps.map(Open::Act).chain(tests.map(Open::Test)).collect();
    crate::sorting::sort(&mut all, &mut |a: &Open, b: &Open| {
        a.number().cmp(&b.number())
    });
    all
}

/// Day on which a step begins at the latest: that of the plan, that of the bottling for what is
/// done at the filler, else counted back from it; None where nothing tells.
pub(super) fn day(seen: &Seen, open: &Open) -> Option<Day> {
    let at = open.number().checked_sub(1)?;
    let of_plan = seen.dossier.plan.get(at).and_then(|s| s.day.given());
    of_plan.or_else(|| {
        let bottling = seen.dossier.bottling_day.given()?;
        if open.is_at_filler() {
            return Some(bottling);
        }
        let [_, most] = open.begins()?;
        let [_, all] = seen.order.to_bottle();
        bottling.back(libm::ceil(all - most) as i64)
    })
}

/// Day on which a step begins if all goes on today and as slowly as it may.
pub(super) fn from_today(seen: &Seen, open: &Open) -> Option<Day> {
    let [_, most] = open.begins()?;
    Some(seen.today?.plus(libm::ceil(most) as i64))
}

/// The next step of the plan; None where there is none, or where what is left waits for the day.
pub(super) fn next(seen: &Seen) -> Option<Next> {
    let all = open(seen);
    if all.is_empty() && seen.order.unknown.is_empty() {
        return None;
    }
    let judged = chosen(seen.dossier, seen.today)?;
    if !judged.holds {
        let because = Some(judged.because);
        return Some(Next::ChooseRoute { because });
    }
    if judged.because == Judged::MeasureAgain
        && let Some(quantity) = judged.again.first()
    {
        return Some(super::needs::measure(seen, *quantity, true));
    }
    let first = all.iter().find(|o| !o.is_at_filler() || is_the_day(seen))?;
    match first {
        Open::Test(test) => Some(Next::Test {
            quantity: unread(test)?,
            day: day(seen, first),
        }),
        Open::Act(step) => Some(act(seen, step, day(seen, first))),
    }
}

/// Whether the bottling day has come.
fn is_the_day(seen: &Seen) -> bool {
    let bottling = seen.dossier.bottling_day.given();
    bottling.zip(seen.today).is_some_and(|(b, t)| t >= b)
}

/// What a test still has to read.
fn unread(test: &PlanTest) -> Option<Quantity> {
    let open = test.checks.iter().find(|c| c.open);
    open.or(test.checks.first()).map(|c| c.quantity)
}

/// What is next for an act of the plan: its place, its trial, its law, then itself.
fn act(seen: &Seen, step: &Step, day: Option<Day>) -> Next {
    let treatment = step.treatment.key;
    let mend = |because| Next::MendPlan { treatment, because };
    if !step.place.is_empty() {
        return mend(None);
    }
    match step.dose.as_ref().map_err(|no| no.because) {
        Ok(_) | Err(Because::Process | Because::Never | Because::Done) => {
            Next::Do { treatment, day }
        }
        Err(Because::BenchTrial | Because::TrialOpen | Because::NotTested | Because::TrialOld) => {
            Next::Trial { treatment }
        }
        // Its dose is worked out from what is measured before it.
        Err(Because::Analyses) => match step.before.iter().find(|c| c.open) {
            Some(check) => super::needs::measure(seen, check.quantity, false),
            None => Next::Do { treatment, day },
        },
        Err(Because::NotShown) => match awaited(seen, step.number, step.treatment) {
            Some(quantity) => super::needs::measure(seen, quantity, false),
            None => mend(Some(Because::NotShown)),
        },
        Err(Because::NotConfirmed) => match step.to_confirm.first() {
            Some(market) => Next::ConfirmLaw {
                treatment,
                market: *market,
            },
            None => mend(Some(Because::NotConfirmed)),
        },
        Err(because) => mend(Some(because)),
    }
}

/// The reading that an act waits for at its place.
fn awaited(seen: &Seen, number: usize, t: &'static Treatment) -> Option<Quantity> {
    let before = Before::step(seen.dossier, number.checked_sub(1)?);
    let waits = rules::order::waits(seen.dossier, t, &before);
    waits
        .iter()
        .flat_map(|ruling| &ruling.witness)
        .find_map(|f| match f {
            Fact::Reading(quantity) => Some(*quantity),
            _ => None,
        })
}
