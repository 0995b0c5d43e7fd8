//! Whether the steps of a plan stand in their order: who goes first, what may not be in one wine,
//! what stands hours apart.

use crate::case::Act;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules::order::{self, Against};
use crate::rules::{self, Apart, Before, Fact};
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
    let (mut marks, too_soon) = by_order(dossier, t, at);
    marks.extend(not_with(dossier, t, at));
    marks.extend(too_soon);
    marks.extend(too_soon_in_log(dossier, t, at));
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

/// The earlier steps that it goes before, and those that it follows too soon: by their days, else by
/// the least that the steps between take. Where neither tells, it is said as well.
fn by_order(dossier: &Dossier, t: &Treatment, at: usize) -> (Vec<Misplaced>, Vec<Misplaced>) {
    let earlier = earlier(dossier, at);
    let before: Vec<&'static Treatment> = earlier.iter().map(|e| e.treatment).collect();
    let hours = |at_step: usize| {
        let steps = earlier.iter().skip(at_step);
        let least_days = steps.clone().map(|e| e.treatment.takes()[0]).sum();
        let day = steps.clone().next().and_then(|e| e.day);
        hours_between(day, planned_on(dossier, at), least_days)
    };
    let (mut first, mut near) = (Vec::new(), Vec::new());
    for found in order::misplaced(dossier, t, &before, &hours) {
        let Some(e) = earlier.get(found.behind) else {
            continue;
        };
        let (number, name) = (e.number, e.treatment.name);
        match found.against {
            Against::Order(ruling) => first.push(Misplaced {
                fault: Fault::GoesBefore,
                other: e.treatment.key.to_string(),
                rule: ruling.rule,
                text: ruling.before_step(number, name),
            }),
            Against::TooSoon(apart) => {
                near.push(near_to(
                    &apart,
                    e.treatment.key,
                    apart.after_step(number, name),
                ));
            }
        }
    }
    (first, near)
}

/// The day on which a step of the plan is to be done.
fn planned_on(dossier: &Dossier, at: usize) -> Option<Day> {
    dossier.plan.get(at)?.day.given()
}

fn hours_between(earlier: Option<Day>, later: Option<Day>, least_days: f64) -> f64 {
    let days = later
        .zip(earlier)
        .map(|(own, other)| other.until(own) as f64);
    days.unwrap_or(least_days) * 24.0
}

fn near_to(apart: &Apart, other: &str, text: String) -> Misplaced {
    Misplaced {
        fault: Fault::TooSoon,
        other: other.to_string(),
        rule: apart.ruling.rule,
        text,
    }
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

/// The acts of the log outside the plan that it follows too soon.
fn too_soon_in_log(dossier: &Dossier, t: &Treatment, at: usize) -> Vec<Misplaced> {
    let of_plan: Vec<usize> = dossier
        .done_by()
        .iter()
        .flatten()
        .map(|a| a.number)
        .collect();
    let day = planned_on(dossier, at);
    let near = |act: &Act| {
        let hours = hours_between(act.day.given(), day, 0.0);
        let apart = order::too_near(dossier, act.treatment?, t.key, hours)?;
        Some(near_to(&apart, &act.key, apart.after_act(&act.words())))
    };
    let outside = dossier.acts().filter(|a| !of_plan.contains(&a.number));
    outside.filter_map(near).collect()
}
