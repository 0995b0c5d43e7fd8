//! From a wine and typical values to a state: for each quantity an estimate, and how it is known. Acts turn one state
//! into another.

pub mod log;

pub use log::voided;

use crate::knowledge::{Estimate, TYPICAL, Treatment, Typical};
use crate::wine::*;
use serde::Serialize;
use std::collections::BTreeMap;

/// How a value in a state is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum KnownBy {
    /// Measured, as typed.
    Measured,
    /// Nobody measured it: a typical value stands in.
    Typical,
    /// A share, 1 before any treatment.
    Share,
    /// Measured, but before the last change: a guess.
    Voided,
    /// It follows from an act.
    AfterAct,
}

/// One value of a state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// The value.
    pub estimate: Estimate,
    /// How it is known.
    pub by: KnownBy,
}

/// What is known, assumed or followed of a wine.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct State {
    values: BTreeMap<Quantity, Known>,
}

impl State {
    /// The state of a wine as described. Unreadable texts count as not given; [`Wine::errors`] names them.
    pub fn of(wine: &Wine) -> State {
        let mut state = State::default();
        for which in Quantity::ALL.iter().copied() {
            let known = match wine.analysis(which) {
                Some(Ok(value)) if voided(wine, which) => Some(Known { estimate: around(value), by: KnownBy::Voided }),
                Some(Ok(value)) => Some(Known { estimate: exactly(value, Standing::Read), by: KnownBy::Measured }),
                _ => typical(wine, which).map(|t| Known { estimate: t.value, by: KnownBy::Typical }),
            };
            if let Some(known) = known.or_else(|| share(which)) {
                state.values.insert(which, known);
            }
        }
        state
    }

    /// What is known of a quantity.
    pub fn get(&self, which: Quantity) -> Option<&Known> {
        self.values.get(&which)
    }

    /// The state after a treatment at `dose` (in the unit of the treatment; ignored where there is no dose). What it
    /// removes is meant at a useful dose; what it adds grows with the dose.
    pub fn after(&self, treatment: &Treatment, dose: f64) -> State {
        let mut next = self.clone();
        for effect in treatment.effects {
            let zero = Known { estimate: exactly(0.0, Standing::Derived), by: KnownBy::AfterAct };
            let known = next.values.entry(effect.on).or_insert(zero);
            let mut e = known.estimate;
            // Where both are given, the share is how it ranks and the amount per unit of dose is what it does.
            if let Some(r) = effect.removes.filter(|_| effect.adds.is_none()) {
                e.low *= 1.0 - r.high;
                e.middle *= 1.0 - r.middle;
                e.high *= 1.0 - r.low;
            }
            if let Some(a) = effect.adds {
                let times = if treatment.dose.is_some() { dose.max(0.0) } else { 1.0 };
                e.low += a.low * times;
                e.middle += a.middle * times;
                e.high += a.high * times;
            }
            e.standing = Standing::Derived;
            *known = Known { estimate: e, by: KnownBy::AfterAct };
        }
        next
    }
}

fn exactly(value: f64, standing: Standing) -> Estimate {
    Estimate { low: value, middle: value, high: value, standing, source: "" }
}

/// A reading that an act has voided: half as much or half as much again. Judgement.
fn around(value: f64) -> Estimate {
    Estimate { low: value * 0.5, middle: value, high: value * 1.5, standing: Standing::Judgement, source: "" }
}

/// Qualities that are followed as the share left start whole.
fn share(which: Quantity) -> Option<Known> {
    let facts = which.facts();
    (!facts.asked && facts.most <= 1.0).then(|| Known { estimate: exactly(1.0, Standing::Derived), by: KnownBy::Share })
}

/// The first typical row that fits the wine.
pub fn typical(wine: &Wine, which: Quantity) -> Option<&'static Typical> {
    TYPICAL.iter().find(|t| {
        let colour = t.colours.is_empty() || wine.colour.is_some_and(|c| t.colours.contains(&c));
        let style = t.styles.is_empty() || wine.style.is_some_and(|s| t.styles.contains(&s));
        t.quantity == which && colour && style
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::TREATMENTS;

    fn treated(key: &str, dose: f64, typed: &[(Quantity, &str)]) -> Option<(State, State)> {
        let analyses = typed.iter().map(|(q, t)| (*q, AsTyped((*t).into()))).collect();
        let before = State::of(&Wine { colour: Some(Colour::White), analyses, ..Wine::default() });
        let after = before.after(TREATMENTS.iter().find(|t| t.key == key)?, dose);
        Some((before, after))
    }

    fn middle(state: &State, which: Quantity) -> f64 {
        state.get(which).map_or(f64::NAN, |k| k.estimate.middle)
    }

    /// Potassium metabisulfite, K2S2O5: 78.2 g of potassium with 128.1 g of SO2, so 40 mg/L of SO2 bring 24.4 mg/L.
    #[test]
    fn metabisulfite_adds_sulfur_dioxide_and_potassium() {
        let Some((_, after)) = treated("sulfur_dioxide", 40.0, &[(Quantity::TotalSo2, "60"), (Quantity::Potassium, "700")]) else {
            assert!(TREATMENTS.is_empty());
            return;
        };
        assert!((middle(&after, Quantity::TotalSo2) - 100.0).abs() < 1e-9);
        assert!((middle(&after, Quantity::Potassium) - 724.4).abs() < 0.2);
        assert_eq!(after.get(Quantity::TotalSo2).map(|k| k.by), Some(KnownBy::AfterAct));
    }

    #[test]
    fn a_fining_takes_a_share_and_leaves_the_rest_alone() {
        let Some((before, after)) = treated("bentonite_sodium", 60.0, &[(Quantity::HeatRise, "20"), (Quantity::Ph, "3.2")]) else {
            assert!(TREATMENTS.is_empty());
            return;
        };
        assert!((middle(&after, Quantity::HeatRise) - 2.0).abs() < 1e-9);
        assert!(middle(&after, Quantity::Sodium) > 0.0);
        assert_eq!(after.get(Quantity::Ph), before.get(Quantity::Ph));
        assert!(after.get(Quantity::HeatRise).is_some_and(|k| k.estimate.low <= k.estimate.middle && k.estimate.middle <= k.estimate.high));
    }
}
