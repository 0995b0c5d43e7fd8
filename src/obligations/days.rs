//! Days until tests have answered. Those that can run together count once.

use super::{Due, Obligation};
use crate::knowledge::TestFacts;
use crate::stability::test_of;
use crate::wine::{Past, Quantity};

/// Days, least, usual and most.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Takes {
    /// Least.
    pub low: f64,
    /// Usual.
    pub middle: f64,
    /// Most.
    pub high: f64,
}

impl Takes {
    /// Of two that run side by side.
    fn beside(self, other: Takes) -> Takes {
        Takes {
            low: self.low.max(other.low),
            middle: self.middle.max(other.middle),
            high: self.high.max(other.high),
        }
    }
}

/// Days of a test on a wine with this past; None where nothing is known of the test.
pub fn takes(which: Quantity, past: &[Past]) -> Option<Takes> {
    let facts: &TestFacts = test_of(which)?;
    let longer = facts
        .longer
        .iter()
        .find(|l| l.after.iter().any(|p| past.contains(p)));
    let days = longer.map_or(&facts.days, |l| &l.days);
    Some(Takes {
        low: days.low,
        middle: days.middle,
        high: days.high,
    })
}

/// Days until every one of these tests has answered, on a wine with this past: they run side by
/// side, so the longest counts.
pub fn days_of(tests: &[Quantity], past: &[Past]) -> Takes {
    let each = tests.iter().filter_map(|q| takes(*q, past));
    each.fold(Takes::default(), Takes::beside)
}

/// Days from the bottling until all that is counted after it has answered.
pub fn counted_after(all: &[Obligation], past: &[Past]) -> Takes {
    let counts = all.iter().filter(|o| o.due == Due::Released);
    let tests: Vec<Quantity> = counts.filter_map(Obligation::reads).collect();
    days_of(&tests, past)
}
