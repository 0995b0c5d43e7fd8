//! What the rules say of the order of acts: what goes before what, what must follow or come before
//! an act, what stands hours apart, and what waits for a test.

use super::Situation;
use super::now::Now;
use super::value::clause;
use super::{Ruling, asked, bound, condition, is_about, ruling, words};
use crate::dossier::Dossier;
use crate::knowledge::{Clause, Fact as Reason, RULES, Rule, Treatment, treatment};
use crate::rules::{Truth, Value};
use crate::wine::*;
use serde::Serialize;

/// What comes before a step.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Before {
    /// Keys of the acts that are still in the wine beside it: the steps of the plan before it, and
    /// what the log gave since the wine was last racked or filtered.
    pub earlier: Vec<&'static str>,
    /// Those of them that are still to do.
    pub pending: Vec<&'static str>,
}

impl Before {
    /// What comes before a step of the plan, by its place; all of the plan where it is past its end.
    pub fn step(dossier: &Dossier, at: usize) -> Before {
        let steps = dossier.plan.iter().zip(dossier.done_by()).take(at);
        let mut before = Before {
            earlier: since_racked(dossier),
            pending: Vec::new(),
        };
        for (step, by) in steps {
            let Some(t) = step.treatment else { continue };
            before.earlier.push(t.key);
            if by.is_empty() {
                before.pending.push(t.key);
            }
        }
        before
    }

    /// What comes before a step of a route, by the keys of the acts before it.
    pub fn of_route(dossier: &Dossier, acts: &[&'static str]) -> Before {
        let mut earlier = since_racked(dossier);
        earlier.extend(acts);
        Before {
            earlier,
            pending: acts.to_vec(),
        }
    }

    /// What comes before an act that the plan may hold: its first step, else all of the plan.
    pub fn act(dossier: &Dossier, key: &str) -> Before {
        let at = dossier.plan.iter().position(|s| s.key == key);
        Before::step(dossier, at.unwrap_or(dossier.plan.len()))
    }
}

/// What the log gave since the wine was last taken off what lay in it: by a filter, or by an act
/// that is put in for that.
fn since_racked(dossier: &Dossier) -> Vec<&'static str> {
    let follows = |r: &&Rule| r.verdict == RuleVerdict::NeedsAfter;
    let put_in = |key: &str| {
        let mut rules = dossier.rules().iter().filter(follows);
        rules.any(|r| r.acts.contains(&key))
    };
    let mut since = Vec::new();
    for t in dossier.acts().filter_map(|a| a.treatment) {
        // A fining that is put in after another takes nothing off.
        let takes_off = t.family == Family::Time && put_in(t.key);
        if t.family == Family::Filter || takes_off {
            since.clear();
        } else {
            since.push(t.key);
        }
    }
    since
}

/// Why an act goes before another in this wine; None where it does not, or where either will do.
pub fn goes_before(dossier: &Dossier, act: &Treatment, other: &str) -> Option<Ruling> {
    let now = Now::of(dossier);
    bound(&now, act, None, &[RuleVerdict::GoesBefore])
        .find(|b| b.rule.acts.contains(&other))
        .map(|b| ruling(&now, act, b))
}

/// How far apart two acts stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// Hours between them.
    pub hours: f64,
    /// What says so.
    pub ruling: Ruling,
}

impl Apart {
    /// In words, where the earlier act is a step of the plan.
    pub fn after_step(&self, number: usize, name: &str) -> String {
        words::after_step(self, number, name)
    }

    /// In words, where the earlier act is one of the log.
    pub fn after_act(&self, act: &str) -> String {
        words::after_act(self, act)
    }
}

/// The hours between an act and a later one, where there are any.
pub fn apart(dossier: &Dossier, act: &Treatment, later: &str) -> Option<Apart> {
    let now = Now::of(dossier);
    bound(&now, act, None, &[RuleVerdict::Apart])
        .filter(|b| b.rule.acts.contains(&later))
        .filter_map(|b| {
            Some(Apart {
                hours: b.rule.hours?,
                ruling: ruling(&now, act, b),
            })
        })
        .max_by(|a, b| a.hours.total_cmp(&b.hours))
}

/// The hours between an act and a later one where it stands nearer than that.
pub fn too_near(dossier: &Dossier, act: &Treatment, later: &str, hours: f64) -> Option<Apart> {
    // What is worked out in parts of days may miss by a trace.
    apart(dossier, act, later).filter(|a| hours < a.hours - 1e-6)
}

/// What speaks against the place of an act behind an earlier one.
#[derive(Debug, Clone, PartialEq)]
pub enum Against {
    /// It goes before it.
    Order(Ruling),
    /// It follows it too soon.
    TooSoon(Apart),
}

/// What speaks against the place of an act, with the place of the earlier one.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfPlace {
    /// Place of the earlier act among those before.
    pub behind: usize,
    /// What speaks against it.
    pub against: Against,
}

/// What the rules on order and distance say of an act behind those before it, which it stands so
/// many hours behind: asked by plan and route alike.
pub fn misplaced(
    dossier: &Dossier,
    act: &Treatment,
    before: &[&'static Treatment],
    hours: &dyn Fn(usize) -> f64,
) -> Vec<OutOfPlace> {
    let mut all = Vec::new();
    for (behind, earlier) in before.iter().enumerate() {
        let so_far = before.get(..behind).unwrap_or_default();
        let first =
            goes_before(dossier, act, earlier.key).filter(|_| !takes_out(dossier, earlier, so_far));
        let near = too_near(dossier, earlier, act.key, hours(behind));
        let found = [first.map(Against::Order), near.map(Against::TooSoon)];
        let at = |against| OutOfPlace { behind, against };
        all.extend(found.into_iter().flatten().map(at));
    }
    all
}

/// An act that another stands hours behind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Behind {
    /// Key of the earlier act.
    pub earlier: &'static str,
    /// Hours between them.
    pub hours: f64,
}

/// The acts that one stands hours behind in this wine.
pub fn stands_behind(dossier: &Dossier, act: &Treatment) -> Vec<Behind> {
    let rules = dossier.rules().iter();
    let of = rules.filter(|r| r.verdict == RuleVerdict::Apart && r.acts.contains(&act.key));
    let earlier = of.flat_map(|r| r.about.iter());
    let known = earlier.filter_map(|k| treatment(k));
    known
        .filter_map(|earlier| {
            Some(Behind {
                earlier: earlier.key,
                hours: apart(dossier, earlier, act.key)?.hours,
            })
        })
        .collect()
}

/// What an act waits for: tests that do not show yet what they must.
pub fn waits(dossier: &Dossier, act: &Treatment, before: &Before) -> Vec<Ruling> {
    let now = Now::after(dossier, before);
    bound(&now, act, None, &[RuleVerdict::UntilShown])
        .map(|b| ruling(&now, act, b))
        .collect()
}

/// The reading that an act waits for in a wine such as this, whatever it reads today.
pub fn gates(dossier: &Dossier, act: &Treatment) -> Vec<Quantity> {
    let now = Now::of(dossier);
    let asks = |c: &Clause| c.any.iter().find_map(|q| q.shown.filter(|_| q.not));
    let holds = |rule: &&Rule| {
        let rest = rule.when.iter().filter(|c| asks(c).is_none());
        let value = Value::all(rest.map(|c| clause(c, &|q| now.answer(q, act, None))));
        value.truth != Truth::No
    };
    dossier
        .rules()
        .iter()
        .filter(|r| r.verdict == RuleVerdict::UntilShown && is_about(r, act, None))
        .filter(holds)
        .filter_map(|r| r.when.iter().find_map(asks))
        .collect()
}

/// Whether a filter is there to take out what an earlier act left: it stands where it must.
fn takes_out(dossier: &Dossier, filter: &Treatment, earlier: &[&'static Treatment]) -> bool {
    let serves = |r: &&Rule| r.acts.contains(&filter.key) || r.unless.contains(&filter.key);
    let asks = |e: &&'static Treatment| {
        let rows = rows(dossier, e, RuleVerdict::NeedsAfter);
        rows.iter().any(serves)
    };
    filter.family == Family::Filter && earlier.iter().any(asks)
}

/// The rule by which an act ends the way to the bottle: behind it come only acts of the sterile
/// line, and the bottling, the same day. None where it is no such act.
pub fn ends_the_way(dossier: &Dossier, act: &Treatment) -> Option<&'static Rule> {
    let questions = |r: &'static Rule| r.when.iter().flat_map(|c| c.any);
    let in_line = |r: &Rule| asked(r) == Some(OfAct::NotInLine);
    let rules = dossier.rules().iter().filter(|r| in_line(r));
    rules
        .into_iter()
        .find(|r| questions(r).any(|q| q.beside.contains(&act.key)))
}

/// That such an act stands on another day than the bottling, in words.
pub fn not_the_day(rule: &Rule, bottling: &str) -> String {
    words::not_the_day(rule, bottling)
}

/// The rows of one verdict that bind for an act in this wine.
pub fn rows(dossier: &Dossier, act: &Treatment, verdict: RuleVerdict) -> Vec<&'static Rule> {
    let now = Now::of(dossier);
    bound(&now, act, None, &[verdict]).map(|b| b.rule).collect()
}

/// The same with what makes them bind.
pub fn asking(dossier: &Dossier, act: &Treatment, verdict: RuleVerdict) -> Vec<Ruling> {
    let now = Now::of(dossier);
    let rules = [verdict];
    bound(&now, act, None, &rules)
        .map(|b| ruling(&now, act, b))
        .collect()
}

/// A rule on order that bears on an act.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Bearing {
    /// Key of the rule.
    pub rule: &'static str,
    /// What it says.
    pub verdict: RuleVerdict,
    /// Its reason.
    pub text: &'static str,
}

impl Bearing {
    /// Its reason, with how it is known.
    pub fn why(&self) -> Option<&'static Reason> {
        let row = RULES.iter().find(|r| r.key == self.rule);
        row.map(|r| &r.why)
    }

    /// In words.
    pub fn words(&self) -> String {
        words::bearing(self)
    }
}

/// The rules on order that bear on an act in this wine: what it asks for itself, and what holds
/// between it and such other acts as are met.
pub fn bearing(dossier: &Dossier, act: &Treatment, met: &dyn Fn(&str) -> bool) -> Vec<Bearing> {
    let now = Now::of(dossier);
    let between = |r: &Rule| matches!(r.verdict, RuleVerdict::GoesBefore | RuleVerdict::Apart);
    let alone = |r: &Rule| {
        matches!(
            r.verdict,
            RuleVerdict::NeedsAfter | RuleVerdict::NeedsBefore | RuleVerdict::UntilShown
        )
    };
    let any = |keys: &[&str]| keys.iter().any(|k| met(k));
    let bears = |r: &&Rule| {
        let own = r.about.contains(&act.key);
        let other = r.acts.contains(&act.key);
        alone(r) && own || between(r) && (own && any(r.acts) || other && any(r.about))
    };
    let mut all: Vec<Bearing> = Vec::new();
    for r in dossier.rules().iter().filter(bears) {
        let binds = condition(r, &now, act, None).truth != Truth::No;
        // Two rows may give one reason, each for its own agents.
        if binds && !all.iter().any(|b| b.text == r.why.text) {
            all.push(Bearing {
                rule: r.key,
                verdict: r.verdict,
                text: r.why.text,
            });
        }
    }
    all
}
