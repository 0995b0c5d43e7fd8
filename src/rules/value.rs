//! Three values, strong Kleene logic, each with its witness.

use crate::knowledge::{Clause, Question};
use crate::wine::*;
use serde::Serialize;

/// Whether something holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Truth {
    /// It does not.
    No,
    /// It is not known.
    NotKnown,
    /// It does.
    Yes,
}

/// A fact that a condition depends on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Fact {
    /// An act of the log, by its number.
    Logged(usize),
    /// An act that comes earlier in the plan or route, by its key.
    Earlier(&'static str),
    /// None of these acts was done.
    NotDone(Vec<&'static str>),
    /// A sign, by its key.
    Sign(&'static str),
    /// A cause, by its key.
    Cause(&'static str),
    /// That signs were answered and no cause is likely.
    CauseOpen,
    /// That these problems were named, or not.
    Named(Vec<Problem>),
    /// A reading.
    Reading(Quantity),
    /// What the act adds to.
    Adds(Quantity),
    /// The colour.
    Colour,
    /// Where the wine stands.
    Stage,
    /// The malolactic fermentation.
    Malolactic,
    /// The law of a market.
    Market(Market),
    /// The list of an organic scheme.
    Scheme(Organic),
    /// A claim to keep.
    Claim(Claim),
    /// Equipment.
    Kit(Kit),
    /// The kind of wine.
    Style(Style),
    /// Who may do it.
    Access,
    /// The day of the bottling.
    BottlingDay,
}

/// A truth with the smallest set of facts that made it so, or whose knowledge would decide it.
#[derive(Debug, Clone, PartialEq)]
pub struct Value {
    /// Whether it holds.
    pub truth: Truth,
    /// The facts.
    pub witness: Vec<Fact>,
}

impl Value {
    /// A value that one fact makes so.
    pub fn of(truth: Truth, fact: Fact) -> Value {
        Value {
            truth,
            witness: vec![fact],
        }
    }

    /// Yes or no by one fact.
    pub fn is(holds: bool, fact: Fact) -> Value {
        Value::of(if holds { Truth::Yes } else { Truth::No }, fact)
    }

    /// Holds where all hold. One that does not is enough for a no, and its facts are the witness.
    pub fn all(parts: impl Iterator<Item = Value>) -> Value {
        Value::joined(parts, Truth::No, Truth::Yes)
    }

    /// Holds where one holds.
    pub fn any(parts: impl Iterator<Item = Value>) -> Value {
        Value::joined(parts, Truth::Yes, Truth::No)
    }

    /// `decides` in one part decides the whole; where none does, what is not known remains, and
    /// else it is `rest` by all parts.
    fn joined(parts: impl Iterator<Item = Value>, decides: Truth, rest: Truth) -> Value {
        let parts: Vec<Value> = parts.collect();
        let by = |truth: Truth| parts.iter().filter(move |p| p.truth == truth);
        let union = |truth: Truth| {
            let mut witness = Vec::new();
            for fact in by(truth).flat_map(|p| &p.witness) {
                if !witness.contains(fact) {
                    witness.push(fact.clone());
                }
            }
            Value { truth, witness }
        };
        if let Some(least) = by(decides).min_by_key(|p| p.witness.len()) {
            return least.clone();
        }
        if by(Truth::NotKnown).next().is_some() {
            return union(Truth::NotKnown);
        }
        union(rest)
    }
}

/// Whether all clauses hold, by the answer to each question. One function for rules and answers:
/// its parts would weigh twice.
pub(super) fn hold(when: &[Clause], answer: &dyn Fn(&Question) -> Value) -> Value {
    Value::all(when.iter().map(|c| clause(c, answer)))
}

/// A clause of a condition, by the answer to each question.
pub(super) fn clause(c: &Clause, answer: &dyn Fn(&Question) -> Value) -> Value {
    let question = |q: &Question| {
        let value = answer(q);
        if q.not { !value } else { value }
    };
    Value::any(c.any.iter().map(question))
}

/// The opposite, by the same facts.
impl std::ops::Not for Value {
    type Output = Value;
    fn not(self) -> Value {
        let truth = match self.truth {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::NotKnown => Truth::NotKnown,
        };
        Value { truth, ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn values(of: [Truth; 2]) -> impl Iterator<Item = Value> {
        let facts = [Fact::Colour, Fact::Stage];
        of.into_iter()
            .zip(facts)
            .map(|(truth, fact)| Value::of(truth, fact))
    }

    /// The tables of strong three-valued logic (S. C. Kleene, Introduction to Metamathematics,
    /// 1952, §64, from memory): “and” is the lesser, “or” the greater of No < not known < Yes.
    #[test]
    fn and_is_the_lesser_and_or_the_greater() {
        let all = [Truth::No, Truth::NotKnown, Truth::Yes];
        for a in all {
            for b in all {
                assert_eq!(
                    Value::all(values([a, b])).truth,
                    a.min(b),
                    "{a:?} and {b:?}"
                );
                assert_eq!(Value::any(values([a, b])).truth, a.max(b), "{a:?} or {b:?}");
            }
        }
    }

    #[test]
    fn the_witness_is_what_decides() {
        use Truth::*;
        assert_eq!(Value::all(values([Yes, No])).witness, [Fact::Stage]);
        assert_eq!(Value::all(values([Yes, NotKnown])).witness, [Fact::Stage]);
        assert_eq!(Value::any(values([Yes, NotKnown])).witness, [Fact::Colour]);
        assert_eq!(Value::all(values([Yes, Yes])).witness.len(), 2);
        assert_eq!((!Value::of(NotKnown, Fact::Colour)).truth, NotKnown);
    }
}
