//! Rungs worth trying next. They size a ladder and are never a dose.

use super::fit::best_decay;
use super::gather::{At, same};
use super::reading::Reading;

impl Reading {
    /// Rungs above the top one: half a gap apart where the top is near the limit, else towards
    /// where the decay curve of all
    /// readings comes inside, and never to more than twice what was tried.
    pub(super) fn higher(&self, read: &[At], top: f64, far: bool) -> Vec<f64> {
        let before = read.iter().rev().nth(1).map_or(0.0, |a| a.dose);
        if !far {
            let half = (top - before) / 2.0;
            return if half > 0.0 {
                vec![rounded(top + half, top), rounded(top + 2.0 * half, top)]
            } else {
                Vec::new()
            };
        }
        let points: Vec<(f64, f64, f64)> = self
            .at
            .iter()
            .filter_map(|a| {
                let value = a.value?;
                let error = self.error(value, a.times as f64).max(1e-6);
                Some((a.dose, value, 1.0 / (error * error)))
            })
            .collect();
        let Some(to) = best_decay(&points).and_then(|c| c.dose_at(self.ceiling?)) else {
            return Vec::new();
        };
        // Not `clamp`: its panic links a float formatter into the page.
        let to = (to * 1.1).max(top * 1.3).min(top * 2.0);
        let mut rungs: Vec<f64> = (1..=4)
            .map(|i| rounded(top + (to - top) * f64::from(i) / 4.0, top))
            .filter(|d| *d > top)
            .collect();
        rungs.dedup_by(|a, b| same(*a, *b));
        rungs
    }
}

/// Where a decay between two rungs crosses the limit: `d1 + (d2 − d1)·ln(y1/L)/ln(y1/y2)` on fitted
/// values.
pub(super) fn crossing(under: &At, found: &At, limit: f64) -> Option<f64> {
    let (a, b) = (under.fit?[1], found.fit?[1]);
    let share = libm::log(a / limit) / libm::log(a / b);
    (a >= limit && b > 0.0 && share.is_finite())
        .then(|| under.dose + (found.dose - under.dose) * share.clamp(0.0, 1.0))
}

/// Three doses between two, on quarters of the gap.
pub(super) fn between(low: f64, high: f64, top: f64) -> Vec<f64> {
    let mut doses: Vec<f64> = (1..=3)
        .map(|i| rounded(low + (high - low) * f64::from(i) / 4.0, top))
        .filter(|d| *d > low && *d < high)
        .collect();
    doses.dedup_by(|a, b| same(*a, *b));
    doses
}

/// To what is weighed: twentieths of the power of ten at or below the top rung (5 for 100, 0.5 for
/// 50 and 10).
fn rounded(dose: f64, top: f64) -> f64 {
    let mut unit = 1.0;
    for _ in 0..12 {
        if unit * 10.0 <= top {
            unit *= 10.0;
        } else if unit > top {
            unit /= 10.0;
        }
    }
    libm::round(dose / (unit / 20.0)) * (unit / 20.0)
}
