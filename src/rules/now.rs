//! Today's wine, with what comes earlier in a plan or route.

use super::situation::Situation;
use super::value::{Fact, Truth, Value};
use super::{ADDS, Before};
use crate::case::Act;
use crate::diagnosis::{Belief, Diagnosis, LIKELY};
use crate::dossier::Dossier;
use crate::knowledge::{
    Above, Bound, CAUSES, PROBLEMS, Question, STABILITIES, Treatment, treatment,
};
use crate::stability::{self, Status};
use crate::state::{reading, voids};
use crate::wine::*;

/// A wine as it is known, after some acts of a plan.
#[derive(Debug, Clone, Copy)]
pub struct Now<'a> {
    /// What is known of it.
    pub dossier: &'a Dossier,
    /// Keys of the acts that come earlier in the plan or route.
    pub earlier: &'a [&'static str],
    /// Those of them that are still to do: what they move is not shown any more by a reading.
    pub pending: &'a [&'static str],
}

impl<'a> Now<'a> {
    /// Today's wine.
    pub fn of(dossier: &'a Dossier) -> Now<'a> {
        Now {
            dossier,
            earlier: &[],
            pending: &[],
        }
    }

    /// The wine at the place of a step.
    pub fn after(dossier: &'a Dossier, before: &'a Before) -> Now<'a> {
        Now {
            dossier,
            earlier: &before.earlier,
            pending: &before.pending,
        }
    }

    fn done(&self, acts: &[&'static str]) -> Value {
        let logged = self.dossier.acts().find(|a| acts.contains(&a.key.as_str()));
        match logged {
            Some(act) => Value::of(Truth::Yes, Fact::Logged(act.number)),
            None => self.beside(acts),
        }
    }

    fn beside(&self, acts: &[&'static str]) -> Value {
        match self.earlier.iter().find(|e| acts.contains(e)) {
            Some(key) => Value::of(Truth::Yes, Fact::Earlier(key)),
            None => Value::of(Truth::No, Fact::NotDone(acts.to_vec())),
        }
    }

    /// A sign that nobody was asked about is not known.
    fn sign(&self, key: &'static str) -> Value {
        let truth = match self.dossier.observed.get(key) {
            Some(true) => Truth::Yes,
            Some(false) => Truth::No,
            None => Truth::NotKnown,
        };
        Value::of(truth, Fact::Sign(key))
    }

    /// A cause is likely where it comes first, by itself or with another, and all in which it has
    /// part hold enough of the belief together.
    fn cause(&self, key: &'static str) -> Value {
        let has_part = |c: &Belief| {
            let of = CAUSES
                .iter()
                .find(|f| f.key == c.key)
                .map_or(&[][..], |f| f.of);
            c.key == key || of.contains(&key)
        };
        let causes = self.dossier.diagnosis().map_or(&[][..], |d| &d.causes);
        let share: f64 = causes.iter().filter(|c| has_part(c)).map(|c| c.share).sum();
        let likely = share >= LIKELY && causes.first().is_some_and(has_part);
        Value::is(likely, Fact::Cause(key))
    }

    /// Whether somebody looked for the cause and none is likely. Where nobody did, nothing is said.
    fn cause_open(&self) -> Value {
        let open = |d: &Diagnosis| d.likely().is_none();
        Value::is(self.dossier.diagnosis().is_some_and(open), Fact::CauseOpen)
    }

    /// A reading over its limit stays one after further acts: it is no lower for being less sure.
    fn over_limit(&self, which: Quantity) -> Value {
        let Some(limit) = self.ceiling(which) else {
            return Value::of(Truth::No, Fact::Reading(which));
        };
        let over = self.dossier.analysis(which).is_some_and(|v| v >= limit);
        self.by_reading(which, over)
    }

    /// The limit a stability sets to a quantity, in its unit: the ceiling it must stay under; where
    /// none is about it, that of its problem.
    pub(super) fn ceiling(&self, which: Quantity) -> Option<f64> {
        match STABILITIES.rows().iter().find(|s| s.quantity == which) {
            Some(facts) => stability::band(self.dossier, facts)?.ceiling,
            None => {
                let facts = PROBLEMS.iter().find(|f| f.quantity == which)?;
                facts
                    .band(
                        self.dossier.colour,
                        self.dossier.stage,
                        self.dossier.journey,
                    )?
                    .ceiling
            }
        }
    }

    /// What a reading shows; not known where one was typed that cannot be read.
    fn by_reading(&self, which: Quantity, holds: bool) -> Value {
        let fact = Fact::Reading(which);
        if self.dossier.unreadable(which).is_some() {
            return Value::of(Truth::NotKnown, fact);
        }
        Value::is(holds, fact)
    }

    fn adds(&self, which: Quantity, act: &Treatment) -> Value {
        let limit = self.ceiling(which);
        let dose = act.dose.map_or(1.0, |d| d.range.middle);
        let added = act
            .effects
            .iter()
            .filter(|e| e.on == which)
            .find_map(|e| e.adds);
        // What reaches the share counts, though rounding leaves it a trace below.
        let enough = added
            .zip(limit)
            .is_some_and(|(a, limit)| a.middle * dose >= ADDS * limit * (1.0 - 1e-9));
        Value::is(enough, Fact::Adds(which))
    }

    /// By the test that the journey of the wine asks for.
    fn shown(&self, which: Quantity) -> Value {
        let fact = Fact::Reading(reading(self.dossier, which));
        if let Some(key) = self.pending.iter().find(|key| moves(key, which)) {
            return Value {
                truth: Truth::NotKnown,
                witness: vec![Fact::Earlier(key), fact],
            };
        }
        let truth = match stability::status_of(self.dossier, reading(self.dossier, which)) {
            Status::Stable => Truth::Yes,
            Status::Unstable => Truth::No,
            Status::Doubtful | Status::Unknown | Status::NoVerdict => Truth::NotKnown,
        };
        Value::of(truth, fact)
    }

    /// Not known where nothing was read, or what was read may have moved since.
    fn at_most(&self, figure: &Above) -> Value {
        let value = self.dossier.analysis(figure.on);
        let value = value.filter(|_| !self.dossier.voided(figure.on));
        let truth = match value {
            None => Truth::NotKnown,
            Some(v) if v <= figure.most => Truth::Yes,
            Some(_) => Truth::No,
        };
        Value::of(truth, Fact::Reading(figure.on))
    }

    /// A closed set that may not have been told.
    fn told<T: PartialEq>(told: Option<T>, of: &[T], fact: Fact) -> Value {
        let truth = match told {
            None => Truth::NotKnown,
            Some(told) if of.contains(&told) => Truth::Yes,
            Some(_) => Truth::No,
        };
        Value::of(truth, fact)
    }

    /// Whether a reading of this wine lies beyond one of these bounds. A reading that was not taken,
    /// or that an act has voided, says nothing.
    fn bound<'b>(
        &self,
        bounds: impl Iterator<Item = &'b Bound>,
        beyond: impl Fn(&Bound, f64) -> bool,
    ) -> Value {
        Value::any(bounds.map(|b| {
            let value = self.dossier.analysis(b.on);
            let counts = !self.dossier.voided(b.on);
            self.by_reading(b.on, value.is_some_and(|v| counts && beyond(b, v)))
        }))
    }

    /// Whether the act stands in the log since what it is meant for was measured. For a need that
    /// no test measures there is no answer but to taste or look, and it is not held back.
    fn given_since(&self, act: &Treatment, need: Option<Problem>) -> Value {
        // Another grade of the agent is the agent.
        let same = |a: &&Act| a.treatment.is_some_and(|t| t.material == act.material);
        let of = PROBLEMS.iter().find(|f| Some(f.problem) == need);
        let measured = of.map(|f| reading(self.dossier, f.quantity));
        let since = measured.filter(|q| q.facts().asked).and_then(|q| {
            let day = self.dossier.measured_on(q);
            let unmeasured = self.dossier.found(q).is_none();
            self.dossier
                .acts()
                .rfind(|a| same(a) && (unmeasured || a.may_follow(day)))
        });
        match (since, measured) {
            (Some(a), _) => Value::of(Truth::Yes, Fact::Logged(a.number)),
            (None, Some(q)) => Value::of(Truth::No, Fact::Reading(q)),
            (None, None) => Value {
                truth: Truth::No,
                witness: Vec::new(),
            },
        }
    }
}

/// Whether an act voids what tests of a quantity read.
fn moves(key: &str, which: Quantity) -> bool {
    let act = treatment(key);
    act.is_some_and(|t| voids(t).contains(&which))
}

impl Now<'_> {
    /// The answer to a question that asks nothing of an act; None for one that does.
    pub(super) fn of_wine(&self, q: &Question) -> Option<Value> {
        Some(if !q.done.is_empty() {
            self.done(q.done)
        } else if !q.beside.is_empty() {
            self.beside(q.beside)
        } else if let Some(key) = q.sign {
            self.sign(key)
        } else if let Some(key) = q.cause {
            self.cause(key)
        } else if q.cause_open {
            self.cause_open()
        } else if !q.named.is_empty() {
            let named = q.named.iter().any(|p| self.dossier.problems.contains(p));
            Value::is(named, Fact::Named(q.named.to_vec()))
        } else if let Some(which) = q.over_limit {
            self.over_limit(which)
        } else if let Some(above) = &q.above {
            let value = self.dossier.analysis(above.on);
            self.by_reading(above.on, value.is_some_and(|v| v > above.most))
        } else if let Some(figure) = &q.at_most {
            self.at_most(figure)
        } else if let Some(which) = q.unread {
            self.by_reading(which, self.dossier.analysis(which).is_none())
        } else if let Some(which) = q.shown {
            self.shown(which)
        } else if !q.claims.is_empty() {
            // What was not claimed is not kept.
            let made = q.claims.iter().find(|c| self.dossier.claims.contains(c));
            let claim = made.or(q.claims.first());
            claim.map_or(Value::is(false, Fact::Colour), |c| {
                Value::is(made.is_some(), Fact::Claim(*c))
            })
        } else if !q.colours.is_empty() {
            Now::told(self.dossier.colour, q.colours, Fact::Colour)
        } else if !q.stages.is_empty() {
            Now::told(self.dossier.stage, q.stages, Fact::Stage)
        } else if !q.malolactic.is_empty() {
            Now::told(self.dossier.malolactic, q.malolactic, Fact::Malolactic)
        } else {
            return None;
        })
    }
}

impl Situation for Now<'_> {
    fn answer(&self, q: &Question, act: &Treatment, need: Option<Problem>) -> Value {
        if let Some(value) = self.of_wine(q) {
            return value;
        }
        if let Some(which) = q.adds {
            return self.adds(which, act);
        }
        match q.act {
            Some(OfAct::OverBound) => self.bound(act.bounds.iter(), |b, value| value > b.most),
            Some(OfAct::AtEdge) => {
                let with_edge = act.bounds.iter().filter(|b| b.careful.is_some());
                self.bound(with_edge, |b, value| {
                    value <= b.most && b.careful.is_some_and(|c| value >= c)
                })
            }
            Some(OfAct::GivenSince) => self.given_since(act, need),
            Some(OfAct::NotInLine) => Value {
                // Of the wine nothing makes it so.
                witness: Vec::new(),
                truth: if act.in_line.is_none() {
                    Truth::Yes
                } else {
                    Truth::No
                },
            },
            Some(fit) => self.fit(fit, act, need),
            // The build refuses a question that asks nothing.
            None => Value {
                truth: Truth::NotKnown,
                witness: Vec::new(),
            },
        }
    }
}
