//! From readings and scores to an answer: which tested rung is recommended, or why none is.

use super::further::{between, crossing};
use super::gather::{At, same};
use super::reading::{Outcome, Reading, Stand, dose_text, list};
use crate::units::show;

/// Points of a score that a difference in taste must pass. Judgement.
pub const TASTE: f64 = 1.0;
/// A gap in the ladder below the rung found that is worth a closer one, as a share of the top rung.
/// Judgement.
const GAP: f64 = 0.15;

impl Reading {
    pub(super) fn judge(&mut self, cap: Option<f64>, forbidden: bool) {
        let beyond = self.beyond();
        self.fit(beyond);
        self.stand();
        self.taste_notes();
        let read: Vec<&At> = self.at.iter().filter(|a| a.value.is_some()).collect();
        let tasted = self.at.iter().any(|a| a.score.is_some());
        if read.is_empty() && !tasted {
            self.answer = "Nothing read yet. Type the reading or the score of each glass.".into();
            return;
        }
        if forbidden {
            self.outcome = Outcome::Forbidden;
            self.answer =
                "Not permitted in a market you named: no dose is read from this trial.".into();
            return;
        }
        let judged = !read.is_empty() && (self.ceiling.is_some() || self.floor.is_some());
        if judged {
            if read.len() < 3 {
                self.notes
                    .push("Fewer than three doses were read: that is no curve.".into());
            }
            self.by_reading(cap, beyond);
        } else {
            self.by_taste(tasted);
        }
    }

    fn stand(&mut self) {
        let (floor, ceiling) = (self.floor, self.ceiling);
        if floor.is_none() && ceiling.is_none() {
            return;
        }
        let stands: Vec<Stand> = self
            .at
            .iter()
            .map(|a| {
                let Some(value) = a.value else {
                    return Stand::NotJudged;
                };
                // The less favourable of reading and fit.
                let fit = a.fit.map_or(value, |f| f[1]);
                let (low, high) = (value.min(fit), value.max(fit));
                let (up, down) = (
                    self.error(high, a.times as f64),
                    self.error(low, a.times as f64),
                );
                let own = self.error(value, a.times as f64);
                if ceiling.is_none_or(|c| high + up < c) && floor.is_none_or(|f| low - down >= f) {
                    Stand::Inside
                } else if ceiling.is_some_and(|c| value - own >= c)
                    || floor.is_some_and(|f| value + own < f)
                {
                    Stand::Outside
                } else {
                    Stand::Doubtful
                }
            })
            .collect();
        for (a, s) in self.at.iter_mut().zip(stands) {
            a.stand = s;
        }
    }

    /// Whether a dose above this one tastes better by more than a score's error.
    fn beaten(&self, by: &[&At], a: &At) -> bool {
        a.score
            .is_some_and(|own| by.iter().any(|b| b.score.is_some_and(|s| s > own + TASTE)))
    }

    fn taste_notes(&mut self) {
        let scored: Vec<(f64, f64)> = self
            .at
            .iter()
            .filter_map(|a| Some((a.dose, a.score?)))
            .collect();
        let Some(best) = scored
            .iter()
            .copied()
            .reduce(|a, b| if b.1 > a.1 { b } else { a })
        else {
            return;
        };
        if let Some(worse) = scored.iter().find(|s| s.0 > best.0 && s.1 < best.1 - TASTE) {
            self.notes.push(format!(
                "Taste falls beyond {}: {} scored {} against {}.",
                list(&[best.0], self.unit),
                dose_text(worse.0),
                show::plain(worse.1),
                show::plain(best.1)
            ));
        }
    }

    fn by_reading(&mut self, cap: Option<f64>, beyond: Option<f64>) {
        let unit = self.unit;
        let read: Vec<At> = self
            .at
            .iter()
            .filter(|a| a.value.is_some())
            .cloned()
            .collect();
        let value = |a: &At| a.value.unwrap_or(0.0);
        let Some(control) = read.iter().find(|a| same(a.dose, 0.0)) else {
            self.outcome = Outcome::NoControl;
            self.answer = "The control is missing: read a glass with no dose, treated like the others. Without it nothing shows what the dose did.".into();
            return;
        };
        if let Some(floor) = self.floor.filter(|f| value(control) < *f) {
            self.outcome = Outcome::NoTreatment;
            self.answer = format!(
                "The control lies below {} already: take nothing more out.",
                show::plain(floor)
            );
            return;
        }
        let ceiling = self.ceiling.unwrap_or(f64::INFINITY);
        // Beyond over-fining a reading outside is expected; before it, it speaks against every
        // lower rung.
        let clear_above = |a: &At| {
            !read.iter().any(|b| {
                b.dose > a.dose && beyond.is_none_or(|x| b.dose < x) && value(b) >= ceiling
            })
        };
        let passes: Vec<&At> = read
            .iter()
            .filter(|a| a.stand == Stand::Inside && !a.outlier && clear_above(a))
            .collect();
        if passes.iter().any(|a| same(a.dose, 0.0)) {
            self.outcome = Outcome::NoTreatment;
            self.answer = match self.beside {
                false => "The control is inside the limit: no treatment is called for. Test again after any change of the wine.".into(),
                true => "The control is inside the limit, with the other agents in it: none of this one is called for.".into(),
            };
            return;
        }
        if control.stand == Stand::Inside {
            self.outcome = Outcome::Doubtful;
            self.answer =
                "The control lies inside, but a glass with a dose reads outside: read both again."
                    .into();
            return;
        }
        let within: Vec<&At> = passes.iter().copied().filter(|a| !a.over_cap).collect();
        let best = within
            .iter()
            .find(|a| !self.beaten(&within, a))
            .or(within.first())
            .copied();
        let top = read.last().map_or(0.0, |a| a.dose);
        if let Some(a) = best {
            let under = read
                .iter()
                .rfind(|b| b.dose < a.dose && !passes.iter().any(|p| same(p.dose, b.dose)));
            self.crossing = under.and_then(|u| crossing(u, a, ceiling));
            // A closer ladder between the last rung that failed and the least that passed.
            let least = within.first().map_or(a.dose, |p| p.dose);
            self.next = under
                .filter(|u| least - u.dose > GAP * top)
                .map_or(Vec::new(), |u| between(u.dose, least, top));
            let fallen = control
                .score
                .zip(a.score)
                .is_some_and(|(c, s)| s < c - TASTE);
            (self.outcome, self.recommended) = (Outcome::Found, Some(a.dose));
            let taste = if same(least, a.dose) {
                ""
            } else {
                " Less would do by the reading, but tastes worse."
            };
            self.answer = format!(
                "{} is the least tested dose that lies inside the limit with its error.{taste}",
                list(&[a.dose], unit)
            );
            if fallen {
                self.notes.push(
                    "It tastes worse than the control: try a lower rung, or another treatment."
                        .into(),
                );
            }
            if !self.next.is_empty() {
                self.notes.push(format!(
                    "To take less, try {} next.",
                    list(&self.next, unit)
                ));
            }
            return;
        }
        if let Some(a) = passes.first() {
            self.outcome = Outcome::OverLimit;
            self.answer = format!(
                "{} lies inside, but is over the limit of a market you named: another treatment, or two that share the work.",
                list(&[a.dose], unit)
            );
            return;
        }
        let near: Vec<f64> = read
            .iter()
            .filter(|a| a.dose > 0.0 && matches!(a.stand, Stand::Doubtful | Stand::Inside))
            .map(|a| a.dose)
            .collect();
        self.next = self.higher(&read, top, near.is_empty());
        self.next.retain(|d| cap.is_none_or(|c| *d <= c));
        let more = match (self.next.is_empty(), cap) {
            (false, _) => format!("try {}", list(&self.next, unit)),
            (true, Some(c)) if top >= c * 0.95 => format!(
                "the legal limit of {} leaves no room for more: another treatment",
                list(&[c], unit)
            ),
            (true, _) => "another treatment".to_string(),
        };
        if near.is_empty() {
            self.outcome = Outcome::NoneReached;
            let else_ = if self.next.is_empty() {
                ""
            } else {
                ", or another treatment"
            };
            self.answer = format!("No dose reached the limit: {more}{else_}.");
        } else {
            self.outcome = Outcome::Doubtful;
            self.answer = format!(
                "No dose is sure: {} is too near the limit, or another glass contradicts it. Read again, or {more}.",
                list(&near, unit)
            );
        }
    }

    fn by_taste(&mut self, tasted: bool) {
        let read = self.quantity.is_some() && self.at.iter().any(|a| a.value.is_some());
        if !tasted {
            self.outcome = Outcome::NotJudged;
            self.answer =
                "No limit stands for this reading: write a target, or score the glasses.".into();
            return;
        }
        let scored: Vec<&At> = self.at.iter().filter(|a| a.score.is_some()).collect();
        if !scored.iter().any(|a| same(a.dose, 0.0)) {
            self.outcome = Outcome::NoControl;
            self.answer = "The control is missing: score a glass with no dose.".into();
            return;
        }
        let allowed: Vec<&At> = scored.iter().copied().filter(|a| !a.over_cap).collect();
        let Some(best) = allowed
            .iter()
            .find(|a| !self.beaten(&allowed, a))
            .map(|a| a.dose)
        else {
            return;
        };
        if same(best, 0.0) {
            self.outcome = Outcome::NoTreatment;
            self.answer = "By taste no dose beats the control: no treatment is called for.".into();
            return;
        }
        (self.outcome, self.recommended) = (Outcome::Found, Some(best));
        let by = if read {
            " No limit stands for the reading; it goes by taste."
        } else {
            ""
        };
        self.answer = format!(
            "{} is the least tested dose that no other beats in taste.{by}",
            list(&[best], self.unit)
        );
    }
}
