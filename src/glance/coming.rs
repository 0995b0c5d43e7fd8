//! The next days: what the plan holds, the tests whose time comes, and the bottling.

use super::planned::{self, Open};
use super::{Seen, record};
use crate::dossier::Dossier;
use crate::units::day::Day;
use crate::wine::Quantity;
use serde::Serialize;

/// What happens on a day.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// The bench trial of an act, by the key of its treatment.
    Trial(&'static str),
    /// An act, by the key of its treatment.
    Act(&'static str),
    /// Tests.
    Test(Vec<Quantity>),
    /// The bottling.
    Bottling,
}

/// Something that comes, with its day.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Coming {
    /// The day by which it begins, today at the soonest.
    #[serde(serialize_with = "super::written")]
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    pub day: Day,
    /// What.
    pub what: What,
    /// Whether its day has passed already.
    pub late: bool,
}

/// What comes, the soonest first. Nothing comes where neither today nor a bottling day is known.
pub fn coming(dossier: &Dossier, today: Option<Day>) -> Vec<Coming> {
    of(&Seen::of(dossier, today))
}

pub(super) fn of(seen: &Seen) -> Vec<Coming> {
    let mut all = Vec::new();
    let mut put = |day: Day, what: What| {
        let day_or_today = seen.today.map_or(day, |today| day.max(today));
        all.push(Coming {
            day: day_or_today,
            what,
            late: day < day_or_today,
        });
        day_or_today
    };
    // What comes after a late step is late as well.
    let mut soonest: Option<Day> = None;
    for open in planned::open(seen) {
        let Some(due) = planned::day(seen, &open).or_else(|| planned::from_today(seen, &open))
        else {
            continue;
        };
        match &open {
            Open::Act(step) => {
                let trial = libm::ceil(step.trial_days) as i64;
                let mut begins = soonest.map_or(due, |s| due.max(s));
                if trial > 0
                    && let Some(day) = begins.back(trial)
                {
                    let tried = put(day, What::Trial(step.treatment.key));
                    begins = begins.max(tried.plus(trial));
                }
                soonest = Some(put(begins, What::Act(step.treatment.key)));
            }
            Open::Test(test) => {
                let read: Vec<Quantity> = test.checks.iter().map(|c| c.quantity).collect();
                let begins = soonest.map_or(due, |s| due.max(s));
                let begun = put(begins, What::Test(read));
                soonest = if test.alongside { soonest } else { Some(begun) };
            }
        }
    }
    for (day, read) in record::tests_ahead(seen) {
        put(day, What::Test(read));
    }
    if let Some(day) = seen.ahead() {
        put(day, What::Bottling);
    }
    crate::sorting::sort(&mut all, &mut |a: &Coming, b: &Coming| a.day.cmp(&b.day));
    all
}
