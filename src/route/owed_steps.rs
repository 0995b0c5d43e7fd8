//! The steps of a route that are owed whatever it does: the test after its acts, the bottling day,
//! the bottling, the release, and tests that run beside the acts.

use super::owed::{Alongside, Made, Owed};
use super::report::{Step, StepKind};
use crate::knowledge::STABILITIES;
use crate::sorting::sort;
use crate::units::show;
use crate::wine::*;

/// The test after the acts, by what judges a wine with such a past.
pub(super) fn retest(owed: &Owed, now: f64, days: f64) -> Step {
    let names: Vec<&str> = STABILITIES
        .rows()
        .iter()
        .filter(|s| owed.again.contains(&s.quantity))
        .map(|s| s.name)
        .collect();
    let name = if names.is_empty() {
        "Measure free SO₂, then correct it".to_string()
    } else {
        format!(
            "Measure again: {}; and free SO₂, then correct it",
            show::listed(&names)
        )
    };
    let again = Step::test(
        StepKind::Retest,
        name,
        now,
        days,
        "Each act voids earlier readings; a model or a bench trial never passes a wine.",
    );
    let mut measures = owed.again.clone();
    measures.push(Quantity::FreeSo2);
    Step { measures, ..again }
}

/// What is measured and looked at on the bottling day, before the line.
pub(super) fn the_day(owed: &Owed, now: f64) -> Step {
    let names: Vec<&str> = owed.on_day.iter().map(|q| q.label()).collect();
    let step = Step::test(
        StepKind::Day,
        format!("On the day, before the line: {}", show::listed(&names)),
        now,
        0.0,
        "Ready for the line where nothing that is due before it is open.",
    );
    Step {
        measures: owed.on_day.clone(),
        shows: owed.looked_at.clone(),
        ..step
    }
}

pub(super) fn bottle(owed: &Owed, now: f64) -> Step {
    let step = Step::test(
        StepKind::Bottling,
        "Bottle".into(),
        now,
        0.0,
        "What goes wrong at the line is seen there, or in the bottles.",
    );
    Step {
        shows: owed.at_line.clone(),
        ..step
    }
}

/// The release of the lot, once what is counted after the bottling has answered.
pub(super) fn let_go(owed: &Owed, now: f64) -> Step {
    let step = Step::test(
        StepKind::Release,
        "Release the lot".into(),
        libm::ceil(now),
        owed.release_days,
        "The lot is kept back until nothing at all is open.",
    );
    Step {
        measures: owed.counted.clone(),
        shows: owed.before_release.clone(),
        ..step
    }
}

/// What stands from the tests of the day on is done on the bottling day.
pub(super) fn to_the_day(steps: &mut [Step], day: f64) {
    let first = steps.iter().position(|s| s.kind == StepKind::Day);
    let on_it = |s: &&mut Step| s.kind != StepKind::Release;
    let late = steps.iter_mut().skip(first.unwrap_or(usize::MAX));
    for step in late.filter(on_it) {
        step.begins = libm::ceil(day);
        step.days = 0.0;
    }
}

/// Puts the tests that run beside the acts among the steps: each as early as it may be to count on
/// the bottling day.
pub(super) fn put_alongside(steps: &mut Vec<Step>, owed: &Owed, days: f64) {
    let from = |a: &&Alongside| libm::ceil((days - a.window).max(0.0)) as i64;
    let again = steps.iter().find(|s| s.kind == StepKind::Retest);
    let again = again.map_or(0, |s| libm::floor(s.begins) as i64);
    let wanted = |a: &&Alongside| match a.made {
        Made::Nowhere => true,
        Made::First => from(a) > 0,
        Made::Again => from(a) > again,
    };
    let all: Vec<&Alongside> = owed.alongside.iter().filter(wanted).collect();
    let mut begins: Vec<i64> = all.iter().map(from).collect();
    sort(&mut begins, &mut i64::cmp);
    begins.dedup();
    for day in begins {
        let of = all.iter().filter(|a| from(a) == day);
        let measures: Vec<Quantity> = of.clone().map(|a| a.quantity).collect();
        let names: Vec<&str> = measures.iter().map(|q| q.label()).collect();
        let step = Step::test(
            StepKind::Alongside,
            format!("Have measured meanwhile: {}", show::listed(&names)),
            day as f64,
            of.map(|a| a.days).fold(0.0, f64::max),
            "Nothing that the route does changes it, so nothing waits for it.",
        );
        // What is measured first stays first.
        let later = |s: &Step| s.begins >= day as f64 && s.kind != StepKind::Test;
        let at = steps.iter().position(later);
        steps.insert(at.unwrap_or(steps.len()), Step { measures, ..step });
    }
}
