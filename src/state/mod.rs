//! From a wine and typical values to a state: for each quantity an estimate, and how it is known.
//! Acts turn one state
//! into another.

use crate::case::Case;
use crate::case::log::{add_past, kin};
use crate::chemistry::sulfur;
use crate::knowledge::{
    Effect, Estimate, STABILITIES, StabilityFacts, TYPICAL, Treatment, Typical, holds_for,
    survivors,
};
use crate::units::{MgPerL, Ph};
use crate::wine::*;
use serde::Serialize;

/// How a value in a state is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum KnownBy {
    /// Measured, as typed.
    Measured,
    /// Measured only as below something: the middle and the high end are that bound.
    AtMost,
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

impl Known {
    /// Whether its reading tells on which side of its limits it lies: a figure, or a bound inside a
    /// limit that asks for no more than so
    /// much. A bound tells nothing of a limit that asks for so much at least.
    pub fn tells(&self, floor: Option<f64>, ceiling: Option<f64>) -> bool {
        match self.by {
            KnownBy::Measured => true,
            KnownBy::AtMost => floor.is_none() && ceiling.is_some_and(|c| self.estimate.high < c),
            _ => false,
        }
    }
}

/// What is known, assumed or followed of a wine.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct State {
    values: Map<Quantity, Known>,
}

impl State {
    /// The state of a wine as described. Unreadable texts count as not given; [`Wine::errors`]
    /// names them.
    pub fn of(case: &Case) -> State {
        let mut state = State::default();
        for which in Quantity::ALL.iter().copied() {
            let read = reading(case, which);
            let known = match case.found(read) {
                Some(found) if case.voided(read) => {
                    let estimate = around(found.value);
                    Some(Known {
                        estimate: if found.at_most {
                            Estimate {
                                low: read.facts().least,
                                ..estimate
                            }
                        } else {
                            estimate
                        },
                        by: KnownBy::Voided,
                    })
                }
                Some(found) if found.at_most => Some(Known {
                    estimate: Estimate {
                        low: read.facts().least,
                        ..exactly(found.value, Standing::Read)
                    },
                    by: KnownBy::AtMost,
                }),
                Some(found) => Some(Known {
                    estimate: exactly(found.value, Standing::Read),
                    by: KnownBy::Measured,
                }),
                _ => typical(case, read).map(|t| Known {
                    estimate: t.value,
                    by: KnownBy::Typical,
                }),
            };
            if let Some(known) = known.or_else(|| share(which)) {
                state.values.insert(which, known);
            }
        }
        state.molecular();
        state
    }

    /// The molecular share follows from free SO2 and pH by a cited equation, with the cautious
    /// constant. It is known as the free
    /// SO2 is, where the pH was measured; where an act moved either, it follows from the act.
    fn molecular(&mut self) {
        let (Some(free), Some(ph)) = (self.get(Quantity::FreeSo2), self.get(Quantity::Ph)) else {
            return;
        };
        let by = match (free.by, ph.by) {
            (KnownBy::Measured | KnownBy::Voided, KnownBy::Measured) => free.by,
            (KnownBy::AfterAct, KnownBy::Measured)
            | (KnownBy::Measured | KnownBy::AfterAct, KnownBy::AfterAct) => KnownBy::AfterAct,
            _ => return,
        };
        if let Ok(m) = sulfur::molecular(
            MgPerL(free.estimate.middle),
            Ph(ph.estimate.middle),
            sulfur::FIELD,
        ) {
            let estimate = if by == KnownBy::Voided {
                around(m.0)
            } else {
                exactly(m.0, Standing::Derived)
            };
            self.values
                .insert(Quantity::MolecularSo2, Known { estimate, by });
        }
    }

    /// What is known of a quantity.
    pub fn get(&self, which: Quantity) -> Option<&Known> {
        self.values.get(&which)
    }

    /// The state after a treatment at `dose` (in the unit of the treatment; ignored where there is
    /// no dose). What it
    /// removes is meant at a useful dose; what it adds grows with the dose.
    pub fn after(&self, treatment: &Treatment, dose: f64) -> State {
        let mut next = self.clone();
        // What another test judges is no change of what this one reads.
        let moves = |e: &&Effect| e.judged_by.is_none() && e.hurdle.is_none();
        for effect in treatment.effects.iter().filter(moves) {
            let zero = Known {
                estimate: exactly(0.0, Standing::Derived),
                by: KnownBy::AfterAct,
            };
            let mut e = next.values.get(&effect.on).unwrap_or(&zero).estimate;
            // Where both are given, the share is how it ranks and the amount per unit of dose is
            // what it does.
            if let Some(r) = effect.removes.filter(|_| effect.adds.is_none()) {
                e.low *= 1.0 - r.high;
                e.middle *= 1.0 - r.middle;
                e.high *= 1.0 - r.low;
            }
            // Of germs those are followed that live on.
            if let Some(l) = effect.logs {
                e.low *= survivors(l.high);
                e.middle *= survivors(l.middle);
                e.high *= survivors(l.low);
            }
            if let Some(a) = effect.adds {
                let times = if treatment.dose.is_some() {
                    dose.max(0.0)
                } else {
                    1.0
                };
                e.low += a.low * times;
                e.middle += a.middle * times;
                e.high += a.high * times;
            }
            e.standing = Standing::Derived;
            next.values.insert(
                effect.on,
                Known {
                    estimate: e,
                    by: KnownBy::AfterAct,
                },
            );
        }
        // What another test of the same question said of the wine before no longer holds.
        for effect in treatment.effects {
            for other in kin(effect.on) {
                if let Some(known) = next.values.get_mut(&other)
                    && matches!(known.by, KnownBy::Measured | KnownBy::AtMost)
                {
                    *known = Known {
                        estimate: around(known.estimate.middle),
                        by: KnownBy::Voided,
                    };
                }
            }
        }
        next.molecular();
        next
    }
}

fn exactly(value: f64, standing: Standing) -> Estimate {
    Estimate {
        low: value,
        middle: value,
        high: value,
        standing,
        source: "",
    }
}

/// A reading that an act has voided: half as much or half as much again. Judgement.
fn around(value: f64) -> Estimate {
    Estimate {
        low: value * 0.5,
        middle: value,
        high: value * 1.5,
        standing: Standing::Judgement,
        source: "",
    }
}

/// Qualities that are followed as the share left start whole.
fn share(which: Quantity) -> Option<Known> {
    let facts = which.facts();
    (!facts.asked && facts.most <= 1.0).then(|| Known {
        estimate: exactly(1.0, Standing::Derived),
        by: KnownBy::Share,
    })
}

/// What a treatment voids: the readings its entry names, those of other tests of the same
/// questions, and what follows from them.
pub fn voids(treatment: &Treatment) -> Vec<Quantity> {
    let mut all = treatment.voids.to_vec();
    all.extend(treatment.voids.iter().flat_map(|q| kin(*q)));
    crate::sorting::sort(&mut all, &mut Quantity::cmp);
    all.dedup();
    all
}

/// What is measured again after a treatment in a wine with this past: what it voids, by tests that
/// judge the wine then.
pub fn again(treatment: &Treatment, past: &[Past]) -> Vec<Quantity> {
    let mut then = past.to_vec();
    add_past(&mut then, treatment);
    let mut all: Vec<Quantity> = Vec::new();
    for q in treatment.voids.iter().map(|q| judging(*q, &then)) {
        if !all.contains(&q) {
            all.push(q);
        }
    }
    all
}

/// The test that judges a wine with this past where that of `which` does not: another of its group,
/// where there is one.
pub fn judging(which: Quantity, past: &[Past]) -> Quantity {
    let blind = |s: &StabilityFacts| s.not_after.iter().any(|p| past.contains(p));
    let group = STABILITIES
        .iter()
        .find(|s| s.quantity == which && blind(s))
        .and_then(|s| s.group);
    STABILITIES
        .iter()
        .find(|s| group.is_some() && s.group == group && !blind(s))
        .map_or(which, |s| s.quantity)
}

/// The quantity under which a state keeps what the test of a stability reads: a test that is made
/// for a journey stands in for
/// the usual one of its group.
pub fn kept_as(facts: &StabilityFacts) -> Quantity {
    let usual = STABILITIES
        .iter()
        .find(|s| !facts.journeys.is_empty() && s.group == facts.group && s.journeys.is_empty());
    usual.map_or(facts.quantity, |s| s.quantity)
}

/// The quantity whose reading counts for `which`: where the journey asks for another test of the
/// same group, that one's.
pub fn reading(case: &Case, which: Quantity) -> Quantity {
    let Some(journey) = case.journey else {
        return which;
    };
    let group = STABILITIES
        .iter()
        .find(|s| s.quantity == which && s.journeys.is_empty())
        .and_then(|s| s.group);
    STABILITIES
        .iter()
        .find(|s| group.is_some() && s.group == group && s.journeys.contains(&journey))
        .map_or(which, |s| s.quantity)
}

/// The first typical row that fits the wine.
pub fn typical(case: &Case, which: Quantity) -> Option<&'static Typical> {
    TYPICAL.iter().find(|t| {
        let colour = holds_for(t.colours, case.colour);
        let style = t.styles.is_empty() || case.style.is_some_and(|s| t.styles.contains(&s));
        t.quantity == which && colour && style
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::TREATMENTS;

    fn treated(key: &str, dose: f64, typed: &[(Quantity, &str)]) -> Option<(State, State)> {
        let analyses = typed
            .iter()
            .map(|(q, t)| (*q, AsTyped((*t).into())))
            .collect();
        let before = State::of(&Case::of(&Wine {
            colour: Some(Colour::White),
            analyses,
            ..Wine::default()
        }));
        let after = before.after(TREATMENTS.iter().find(|t| t.key == key)?, dose);
        Some((before, after))
    }

    fn middle(state: &State, which: Quantity) -> f64 {
        state.get(which).map_or(f64::NAN, |k| k.estimate.middle)
    }

    /// Potassium metabisulfite, K2S2O5: 78.2 g of potassium with 128.1 g of SO2, so 40 mg/L of SO2
    /// bring 24.4 mg/L.
    #[test]
    fn metabisulfite_adds_sulfur_dioxide_and_potassium() {
        let (_, after) = treated(
            "sulfur_dioxide",
            40.0,
            &[(Quantity::TotalSo2, "60"), (Quantity::Potassium, "700")],
        )
        .unwrap();
        assert!((middle(&after, Quantity::TotalSo2) - 100.0).abs() < 1e-9);
        assert!((middle(&after, Quantity::Potassium) - 724.4).abs() < 0.2);
        assert_eq!(
            after.get(Quantity::TotalSo2).map(|k| k.by),
            Some(KnownBy::AfterAct)
        );
    }

    /// KHCO3, 100.1 g/mol, takes up one proton, as much as 75.04 g of tartaric acid gives: 100
    /// g/hL, which is 1 g/L, takes 0.75 g/L
    /// of 8. The share that stands beside it in the table ranks it, and is not taken a second time.
    #[test]
    fn the_acid_that_a_carbonate_takes_is_taken_once() {
        let acidity = treated(
            "potassium_bicarbonate",
            100.0,
            &[(Quantity::TitratableAcidity, "8")],
        )
        .map(|(_, after)| middle(&after, Quantity::TitratableAcidity));
        assert!(
            acidity.is_some_and(|left| (left - 7.25).abs() < 1e-9),
            "{acidity:?}"
        );
    }

    /// 30 mg/L free at pH 3.25 is 1.05 molecular; 20 more is 1.75 (the field constant).
    #[test]
    fn what_follows_from_a_reading_follows_an_act_and_what_another_test_said_is_void() {
        let typed = [
            (Quantity::FreeSo2, "30"),
            (Quantity::Ph, "3.25"),
            (Quantity::ConductivityDrop, "9"),
            (Quantity::ColdHold, "no"),
        ];
        let (before, after) = treated("sulfur_dioxide", 40.0, &typed).unwrap();
        assert!((middle(&before, Quantity::MolecularSo2) - 1.05).abs() < 0.01);
        assert_eq!(
            before.get(Quantity::MolecularSo2).map(|k| k.by),
            Some(KnownBy::Measured)
        );
        assert!(middle(&after, Quantity::MolecularSo2) > 1.2);
        assert_eq!(
            after.get(Quantity::MolecularSo2).map(|k| k.by),
            Some(KnownBy::AfterAct)
        );
        assert_eq!(
            after.get(Quantity::ColdHold),
            before.get(Quantity::ColdHold)
        );
        let chilled = before.after(
            TREATMENTS.iter().find(|t| t.key == "chill_static").unwrap(),
            0.0,
        );
        assert_eq!(
            chilled.get(Quantity::ColdHold).map(|k| k.by),
            Some(KnownBy::Voided)
        );
        let bentonite = voids(
            TREATMENTS
                .iter()
                .find(|t| t.key == "bentonite_sodium")
                .unwrap(),
        );
        assert!(
            bentonite.contains(&Quantity::HeatRise) && bentonite.contains(&Quantity::HeatRiseHard),
            "{bentonite:?}"
        );
    }

    #[test]
    fn a_fining_takes_a_share_and_leaves_the_rest_alone() {
        let (before, after) = treated(
            "bentonite_sodium",
            60.0,
            &[(Quantity::HeatRise, "20"), (Quantity::Ph, "3.2")],
        )
        .unwrap();
        assert!((middle(&after, Quantity::HeatRise) - 2.0).abs() < 1e-9);
        assert!(middle(&after, Quantity::Sodium) > 0.0);
        assert_eq!(after.get(Quantity::Ph), before.get(Quantity::Ph));
        assert!(after.get(Quantity::HeatRise).is_some_and(
            |k| k.estimate.low <= k.estimate.middle && k.estimate.middle <= k.estimate.high
        ));
    }
}
