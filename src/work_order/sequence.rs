//! Whether the steps of a plan stand in their order: who goes first, what may not be in one wine,
//! what stands hours apart.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules::{self, Apart, Before, Fact, order};
pub use crate::trial::order::goes_first;
use crate::units::day::Day;
use serde::Serialize;

/// What is wrong with the place of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fault {
    /// It goes before an earlier step.
    GoesBefore,
    /// It may not be in one wine with another.
    NotWith,
    /// It comes too soon after another.
    TooSoon,
    /// It is done on the bottling day or not at all, and stands on another.
    NotTheDay,
}

/// What speaks against a step at its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Misplaced {
    /// What is wrong.
    pub fault: Fault,
    /// Key of the other treatment.
    pub other: String,
    /// Key of the rule that says so.
    pub rule: &'static str,
    /// In words.
    pub text: String,
}

/// A step of the plan before another.
struct Earlier {
    /// Its number in the plan, from 1.
    number: usize,
    treatment: &'static Treatment,
    /// Day on which it was done, or begins by the plan.
    day: Option<Day>,
}

/// What speaks against a step at its place in the plan.
pub fn marks(dossier: &Dossier, at: usize) -> Vec<Misplaced> {
    let Some(t) = dossier.plan.get(at).and_then(|s| s.treatment) else {
        return Vec::new();
    };
    let earlier = earlier(dossier, at);
    let mut marks = goes_before(dossier, t, &earlier);
    marks.extend(not_with(dossier, t, at));
    marks.extend(too_soon(dossier, t, at, &earlier));
    marks.extend(not_the_day(dossier, t, at));
    marks
}

/// That a germ filter stands on another day than the bottling, where both days are known. Must is
/// not bottled.
fn not_the_day(dossier: &Dossier, t: &Treatment, at: usize) -> Option<Misplaced> {
    let rule = order::ends_the_way(dossier, t).filter(|_| !dossier.is_must())?;
    let bottling = dossier.bottling_day.given()?;
    let by = dossier.done_by().into_iter().nth(at)?;
    let done = by.last().and_then(|a| a.day.given());
    let day = done.or(dossier.plan.get(at)?.day.given())?;
    (day != bottling).then(|| Misplaced {
        fault: Fault::NotTheDay,
        other: t.key.to_string(),
        rule: rule.key,
        text: order::not_the_day(rule, &bottling.show()),
    })
}

fn earlier(dossier: &Dossier, at: usize) -> Vec<Earlier> {
    let steps = dossier.plan.iter().zip(dossier.done_by()).take(at);
    let step = |(i, (step, by)): (usize, (&crate::case::Planned, Vec<&crate::case::Act>))| {
        let done = by.first().and_then(|a| a.day.given());
        Some(Earlier {
            number: i + 1,
            treatment: step.treatment?,
            day: done.or(step.day.given()),
        })
    };
    steps.enumerate().filter_map(step).collect()
}

/// The earlier steps that it goes before.
fn goes_before(dossier: &Dossier, t: &Treatment, earlier: &[Earlier]) -> Vec<Misplaced> {
    let mut marks = Vec::new();
    for (i, before) in earlier.iter().enumerate() {
        let so_far: Vec<&Treatment> = earlier.iter().take(i).map(|e| e.treatment).collect();
        let Some(ruling) = goes_first(dossier, t, before.treatment)
            .filter(|_| !order::takes_out(dossier, before.treatment, &so_far))
        else {
            continue;
        };
        marks.push(Misplaced {
            fault: Fault::GoesBefore,
            other: before.treatment.key.to_string(),
            rule: ruling.rule,
            text: ruling.before_step(before.number, before.treatment.name),
        });
    }
    marks
}

/// What it may not come after. What the log alone has against it is said with the dose.
fn not_with(dossier: &Dossier, t: &Treatment, at: usize) -> Vec<Misplaced> {
    let before = Before::step(dossier, at);
    let said = rules::against(dossier, t, None);
    let mut marks = Vec::new();
    for ruling in rules::against_after(dossier, t, &before) {
        if said.iter().any(|s| s.rule == ruling.rule) {
            continue;
        }
        let others = ruling.witness.iter().filter_map(|fact| match fact {
            Fact::Earlier(key) => treatment(key),
            _ => None,
        });
        marks.extend(others.map(|other| Misplaced {
            fault: Fault::NotWith,
            other: other.key.to_string(),
            rule: ruling.rule,
            text: format!("Not with {}: {}", other.name, ruling.why()),
        }));
    }
    marks
}

/// What it follows too soon: by the days of plan and log, else by the least that the steps between
/// take. Where neither tells, it is said as well.
fn too_soon(dossier: &Dossier, t: &Treatment, at: usize, earlier: &[Earlier]) -> Vec<Misplaced> {
    let day = dossier.plan.get(at).and_then(|s| s.day.given());
    let near = |apart: &Apart, other: Option<Day>, least_days: f64| {
        let between = day.zip(other).map(|(own, other)| other.until(own) as f64);
        between.unwrap_or(least_days) * 24.0 < apart.hours
    };
    let mark = |apart: &Apart, key: &str, text: String| Misplaced {
        fault: Fault::TooSoon,
        other: key.to_string(),
        rule: apart.ruling.rule,
        text,
    };
    let mut marks = Vec::new();
    for (i, e) in earlier.iter().enumerate() {
        let since = earlier.iter().skip(i);
        let least_days = since.map(|e| e.treatment.takes()[0]).sum();
        let apart = order::apart(dossier, e.treatment, t.key);
        let near = apart.filter(|a| near(a, e.day, least_days));
        let text = |a: &Apart| a.after_step(e.number, e.treatment.name);
        marks.extend(near.map(|a| mark(&a, e.treatment.key, text(&a))));
    }
    let of_plan: Vec<usize> = dossier
        .done_by()
        .iter()
        .flatten()
        .map(|a| a.number)
        .collect();
    for act in dossier.acts().filter(|a| !of_plan.contains(&a.number)) {
        let apart = act.treatment.and_then(|e| order::apart(dossier, e, t.key));
        let near = apart.filter(|a| near(a, act.day.given(), 0.0));
        marks.extend(near.map(|a| mark(&a, &act.key, a.after_act(&act.words()))));
    }
    marks
}
