//! A wine at a glance, for its home and its row in the cellar book: five lanes, the one next step,
//! the next days. It gathers what the stabilities, the list, the plan, the order and the record
//! say, as values and keys; it judges nothing itself and makes no sentence.

mod coming;
mod lanes;
mod needs;
mod next;
mod now;
mod planned;
mod record;

pub use coming::{Coming, What, coming};
pub use lanes::{EDGE, Lane, Mark, Shows, Spread, lanes};
pub use next::{Missing, Next, Page};
pub use now::{Now, now};

use crate::dossier::Dossier;
use crate::units::day::Day;
use crate::work_order::order::{WorkOrder, work_order};
use crate::work_order::ready::{Ready, ready};
use serde::{Serialize, Serializer};

/// What a wine's home shows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Home {
    /// Its five lanes.
    pub lanes: Vec<Lane>,
    /// The one next step.
    pub now: Now,
    /// The next days, the soonest first.
    pub coming: Vec<Coming>,
    /// How many proofs its record holds.
    pub proofs: usize,
}

/// What record and work order say of a wine, worked out once.
struct Seen<'a> {
    dossier: &'a Dossier,
    today: Option<Day>,
    record: Ready,
    order: WorkOrder,
}

impl<'a> Seen<'a> {
    fn of(dossier: &'a Dossier, today: Option<Day>) -> Seen<'a> {
        Seen {
            dossier,
            today,
            record: ready(dossier, today),
            order: work_order(dossier),
        }
    }

    /// The bottling day, where it has not passed.
    fn ahead(&self) -> Option<Day> {
        let passed = |day: &Day| self.today.is_some_and(|today| *day < today);
        self.dossier.bottling_day.given().filter(|d| !passed(d))
    }
}

/// A wine at a glance. `today` is the day by the device.
pub fn home(dossier: &Dossier, today: Option<Day>) -> Home {
    let seen = Seen::of(dossier, today);
    Home {
        lanes: lanes::of(dossier, &seen.record),
        now: now::of(&seen),
        coming: coming::of(&seen),
        proofs: seen.record.evidence.len(),
    }
}

/// A day, year-month-day.
fn written<S: Serializer>(day: &Day, writer: S) -> Result<S::Ok, S::Error> {
    writer.serialize_str(&day.show())
}

/// A day, year-month-day, where there is one.
fn written_if<S: Serializer>(day: &Option<Day>, writer: S) -> Result<S::Ok, S::Error> {
    match day {
        Some(day) => written(day, writer),
        None => writer.serialize_none(),
    }
}
