//! What was read and tasted of a trial, by dose.

use super::reading::Stand;
use crate::case::{BenchTrial, Glass};
use crate::sorting::sort;
use crate::units::show;
use serde::Serialize;

/// A dose with what was read at it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct At {
    /// Dose.
    pub dose: f64,
    /// Mean reading.
    pub value: Option<f64>,
    /// How many readings.
    pub times: usize,
    /// The never-rising fit, with its band (90 % two-sided), low, middle and high; None for an
    /// outlier and beyond
    /// over-fining.
    pub fit: Option<[f64; 3]>,
    /// Mean score.
    pub score: Option<f64>,
    /// How it stands.
    pub stand: Stand,
    /// Whether it breaks the fit by more than its error.
    pub outlier: bool,
    /// Whether it is above a legal limit of a market named.
    pub over_cap: bool,
}

/// Whether a rung has a reading of what the trial reads now.
pub(super) fn counts(trial: &BenchTrial, r: &Glass) -> bool {
    !r.reading.is_empty() && (r.quantity.is_none() || r.quantity == trial.quantity)
}

/// The names of the tests, each once, however they are spaced and written large or small.
pub(super) fn tests(trial: &BenchTrial) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let used = trial
        .glasses
        .iter()
        .filter(|r| counts(trial, r))
        .map(|r| &r.test);
    let any = used.clone().next().is_some();
    for name in used.chain(any.then_some(&trial.test)) {
        let letters = |s: &str| show::lower(&s.split_whitespace().collect::<String>());
        if !name.trim().is_empty() && !names.iter().any(|n| letters(n) == letters(name)) {
            names.push(name.trim().to_string());
        }
    }
    names
}

/// Readings and scores by dose, ascending; glasses of one dose are taken together.
pub(super) fn gather(trial: &BenchTrial, cap: Option<f64>) -> Vec<At> {
    let mut rows: Vec<(f64, Option<f64>, Option<f64>)> = Vec::new();
    for glass in &trial.glasses {
        if let Some(dose) = glass.dose.given() {
            let reading = glass.reading.given().filter(|_| counts(trial, glass));
            rows.push((dose, reading, glass.score.given()));
        }
    }
    // By dose and then by what was read, so that the sums do not hang on the order of the file.
    sort(&mut rows, &mut |a, b| {
        let key = |r: &(f64, Option<f64>, Option<f64>)| (r.1.unwrap_or(-1.0), r.2.unwrap_or(-1.0));
        let (a1, a2) = key(a);
        let (b1, b2) = key(b);
        a.0.total_cmp(&b.0)
            .then(a1.total_cmp(&b1))
            .then(a2.total_cmp(&b2))
    });
    let mut all: Vec<At> = Vec::new();
    let mut sums: Vec<[f64; 4]> = Vec::new();
    for (dose, value, score) in rows {
        if !all.last().is_some_and(|a| same(a.dose, dose)) {
            let over_cap = cap.is_some_and(|c| dose > c);
            all.push(At {
                dose,
                value: None,
                times: 0,
                fit: None,
                score: None,
                stand: Stand::NotJudged,
                outlier: false,
                over_cap,
            });
            sums.push([0.0; 4]);
        }
        if let Some([values, times, scores, tasted]) = sums.last_mut() {
            for (x, sum, many) in [(value, values, times), (score, scores, tasted)] {
                if let Some(x) = x {
                    *sum += x;
                    *many += 1.0;
                }
            }
        }
    }
    for (a, [values, times, scores, tasted]) in all.iter_mut().zip(sums) {
        let mean = |sum: f64, many: f64| (many > 0.0).then(|| sum / many);
        (a.value, a.score, a.times) = (mean(values, times), mean(scores, tasted), times as usize);
    }
    all
}

/// Whether two doses are one.
pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}
