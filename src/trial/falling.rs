//! Whether the readings fall as they should: over-fining, slips, and the never-rising fit.

use super::fit::{Point, falling};
use super::gather::same;
use super::reading::{Reading, list};
use crate::sorting::sort;

impl Reading {
    /// The dose from which the wine is over-fined: the reading has risen from its least by more
    /// than the error, at two doses or
    /// more, and does not fall again to the end of the ladder.
    pub(super) fn beyond(&mut self) -> Option<f64> {
        let points: Vec<Point> = self.points();
        let least = points
            .iter()
            .copied()
            .reduce(|a, b| if b.value < a.value { b } else { a })?;
        let tail: Vec<&Point> = points.iter().filter(|p| p.dose > least.dose).collect();
        let risen = |p: &Point| {
            let (a, b) = (
                self.error(p.value, p.times),
                self.error(least.value, least.times),
            );
            p.value - least.value > libm::sqrt(a * a + b * b)
        };
        let (first, last) = tail.first().zip(tail.last())?;
        // Readings that fall again after a rise have a slip below them, not too much.
        if !tail.iter().all(|p| risen(p)) || last.value < first.value {
            return None;
        }
        let from = first.dose;
        if least.dose <= 0.0 {
            self.notes
                .push("Every dose reads worse than the control.".into());
            return Some(from);
        }
        if tail.len() == 1 {
            self.notes.push(format!(
                "The reading rises again at {}: a slip, or too much. Repeat that glass.",
                list(&[from], self.unit)
            ));
            return None;
        }
        self.notes.push(format!("Over-fining: the reading rises again from {}. Its test stands on the page of the treatment.", list(&[from], self.unit)));
        Some(from)
    }

    fn points(&self) -> Vec<Point> {
        self.at
            .iter()
            .filter_map(|a| {
                Some(Point {
                    dose: a.dose,
                    value: a.value?,
                    times: a.times as f64,
                })
            })
            .collect()
    }

    /// The never-rising fit without what lies beyond over-fining and without outliers, which are
    /// named.
    pub(super) fn fit(&mut self, beyond: Option<f64>) {
        let mut points: Vec<Point> = self
            .points()
            .into_iter()
            .filter(|p| beyond.is_none_or(|b| p.dose < b))
            .collect();
        let all = points.len();
        let fitted = |points: &[Point]| {
            falling(
                &points
                    .iter()
                    .map(|p| (p.value, p.times))
                    .collect::<Vec<_>>(),
            )
        };
        let misfit =
            |p: &Point, f: f64| libm::fabs(p.value - f) / self.error(f, p.times).max(1e-12);
        let mut out: Vec<f64> = Vec::new();
        // A later reading above an earlier one, their errors not touching. One rung is taken out
        // after the other, the one without
        // which least is broken; where two contradict each other and nothing tells them apart,
        // both.
        let broken = |points: &[Point]| {
            let ends: Vec<[f64; 2]> = points
                .iter()
                .map(|p| self.error(p.value, p.times))
                .zip(points)
                .map(|(e, p)| [p.value - e, p.value + e])
                .collect();
            ends.iter()
                .enumerate()
                .map(|(i, a)| ends.iter().skip(i + 1).filter(|b| b[0] > a[1]).count())
                .sum::<usize>()
        };
        while points.len() >= 3 && out.len() * 2 < all && broken(&points) > 0 {
            let left = |without: f64| {
                let rest: Vec<Point> = points
                    .iter()
                    .copied()
                    .filter(|p| !same(p.dose, without))
                    .collect();
                let squares = rest
                    .iter()
                    .zip(fitted(&rest))
                    .map(|(p, f)| misfit(p, f) * misfit(p, f))
                    .sum::<f64>();
                broken(&rest) as f64 * 1e6 + squares
            };
            let costs: Vec<(f64, f64)> = points.iter().map(|p| (p.dose, left(p.dose))).collect();
            let best = costs.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
            let blamed: Vec<f64> = costs
                .iter()
                .filter(|c| c.1 <= best + 1e-9)
                .map(|c| c.0)
                .collect();
            points.retain(|p| !blamed.iter().any(|b| same(*b, p.dose)));
            out.extend(blamed);
        }
        let mut pairs: Vec<f64> = Vec::new();
        for (a, b) in points.iter().zip(points.iter().skip(1)) {
            if b.value > a.value {
                pairs.extend([a.dose, b.dose]);
            }
        }
        pairs.dedup_by(|a, b| same(*a, *b));
        if !pairs.is_empty() {
            self.notes.push(format!("Not steadily falling at {}, within the error of the readings: repeat these glasses.", list(&pairs, self.unit)));
        }
        if !out.is_empty() {
            sort(&mut out, &mut f64::total_cmp);
            self.notes.push(format!(
                "Out of line by more than the error: {}. Read again before you rely on it.",
                list(&out, self.unit)
            ));
        }
        let fits: Vec<(f64, [f64; 3])> = points
            .iter()
            .zip(fitted(&points))
            .map(|(p, f)| {
                let error = self.error(f, p.times);
                (p.dose, [(f - error).max(0.0), f, f + error])
            })
            .collect();
        for a in &mut self.at {
            a.outlier = out.iter().any(|d| same(*d, a.dose));
            a.fit = fits.iter().find(|(d, _)| same(*d, a.dose)).map(|f| f.1);
        }
    }
}
