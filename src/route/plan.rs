//! A route that was chosen and stays with the wine: whether it still holds after what was measured
//! or done since.

use super::SHOWN_DRAWS;
use super::answer::met;
use super::instance::{Asked, Built, build_only, measured_outside};
use super::model::Label;
use crate::case::Planned;
use crate::dossier::Dossier;
use crate::knowledge::{StabilityFacts, treatment};
use crate::state::reading;
use crate::treatment::suit::reasons;
use crate::units::{day::Day, show};
use crate::wine::*;
use serde::Serialize;

/// What came of judging the chosen route.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Judged {
    /// It still holds.
    Holds,
    /// Every step is in the log.
    AllDone,
    /// A step is done: measure again before the rest is judged.
    MeasureAgain,
    /// A step names no treatment that is known.
    NotKnown,
    /// A step no longer fits the wine.
    NoLongerFits,
    /// Its steps may not follow one another.
    MayNotFollow,
    /// It meets all needs in too few draws.
    FallsShort,
    /// It takes longer than there is to the bottling day.
    TooLate,
}

/// What is said of the chosen route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Chosen {
    /// Keys of the steps that are left, in their order.
    pub left: Vec<String>,
    /// Whether it still holds.
    pub holds: bool,
    /// Why, as a key.
    pub because: Judged,
    /// Why, in words.
    pub says: String,
    /// What is to be measured again before the rest is judged; empty where nothing is.
    pub again: Vec<Quantity>,
}

/// The acts of the plan that were not done yet: each act of the log takes the first step of its
/// treatment off.
pub fn left(dossier: &Dossier) -> Vec<&Planned> {
    dossier
        .plan
        .iter()
        .zip(dossier.done_by())
        .filter(|(s, by)| !s.is_test() && by.is_empty())
        .map(|(s, _)| s)
        .collect()
}

/// Judges the chosen route by what is known today; None where none was chosen.
pub fn chosen(dossier: &Dossier, today: Option<Day>) -> Option<Chosen> {
    if dossier.plan.is_empty() {
        return None;
    }
    let left = left(dossier);
    let keys: Vec<&str> = left.iter().map(|s| s.key.as_str()).collect();
    let say = |because: Judged, says: String| {
        let holds = matches!(
            because,
            Judged::Holds | Judged::AllDone | Judged::MeasureAgain
        );
        Some(Chosen {
            left: keys.iter().map(|k| (*k).to_string()).collect(),
            holds,
            because,
            says,
            again: Vec::new(),
        })
    };
    let acts = dossier.plan.iter().filter(|s| !s.is_test()).count();
    if acts == 0 {
        return say(
            Judged::AllDone,
            "The chosen route measures, and does nothing. Now the tests decide.".into(),
        );
    }
    if left.is_empty() {
        return say(
            Judged::AllDone,
            "Every step of the chosen route is in the log. Now the tests decide.".into(),
        );
    }
    for key in &keys {
        let Some(t) = treatment(key) else {
            return say(
                Judged::NotKnown,
                format!("“{key}” is not a treatment known here: choose a route anew."),
            );
        };
        if let Some(r) = reasons(dossier, t).first() {
            let (kind, text) = r.words();
            return say(
                Judged::NoLongerFits,
                format!(
                    "{} no longer fits this wine. {kind}: {}.",
                    t.name,
                    text.trim_end_matches('.')
                ),
            );
        }
    }
    let days_left = dossier.days_left(today);
    let follows = |asked: Asked| {
        let built = build_only(dossier, days_left, SHOWN_DRAWS, asked, Some(&keys));
        let label = follow(&built, &keys)?;
        Some((built.probability(&label), built, label))
    };
    // A route that was shown without what it does not cover is judged without it.
    let whole = follows(Asked::All);
    let enough = |share: f64| share >= dossier.sure() - 0.05;
    let judged = if whole.as_ref().is_some_and(|(share, ..)| enough(*share)) || !asks_more(dossier)
    {
        whole
    } else {
        follows(Asked::Named)
    };
    let Some((share, built, label)) = judged else {
        return say(
            Judged::MayNotFollow,
            "Its steps may not follow one another any more: choose a route anew.".into(),
        );
    };
    // What was done has changed the wine: until it is measured again, only a guess at the wine
    // before it is known.
    if left.len() < acts {
        let open = built
            .needs
            .iter()
            .filter(|n| n.required && n.is_unmeasured());
        let again: Vec<Quantity> = open.map(|n| reading(dossier, n.problem.quantity)).collect();
        if !again.is_empty() {
            let names: Vec<&str> = again.iter().map(|q| q.label()).collect();
            let text = format!(
                "A step of it is done. Measure again before the rest is judged: {}.",
                show::listed(&names)
            );
            return say(Judged::MeasureAgain, text).map(|said| Chosen { again, ..said });
        }
    }
    let days = built.instance.days(&label);
    if share < dossier.sure() - 0.05 {
        let hundred = show::fixed(share * 100.0, 0);
        return say(
            Judged::FallsShort,
            format!(
                "By what is known now it meets all needs in {hundred} of 100 draws only: choose a route anew."
            ),
        );
    }
    if days_left.is_some_and(|d| days > d as f64) {
        return say(
            Judged::TooLate,
            format!(
                "It takes {} days, and there are {} to the bottling day.",
                show::fixed(days, 0),
                days_left.unwrap_or(0)
            ),
        );
    }
    let judged = built.judged_in(&label);
    let tests: Vec<&'static str> = judged.iter().map(|(_, by)| by.label()).collect();
    let needs = built.instance.needs.iter().filter(|n| n.required).count();
    say(
        Judged::Holds,
        format!("It still holds{}", met(share, &tests, needs > judged.len())),
    )
}

/// Whether more is asked of a route than what was named: else both are one question.
fn asks_more(dossier: &Dossier) -> bool {
    let need = |f: &&StabilityFacts| f.in_routes == Some(RoutePart::Need) && f.problem.is_some();
    measured_outside(dossier).iter().any(need)
}

/// The route by its keys, those that the rules put in among them.
fn follow(built: &Built, keys: &[&str]) -> Option<Label> {
    let on = &built.instance;
    let (mut label, mut last) = (on.start(), 0);
    for key in keys {
        let at = built.acts.iter().position(|t| t.key == *key)?;
        let before = label.done.last().and_then(|d| on.acts.get(d.act));
        let pending = before.and_then(|b| b.after.as_ref());
        // What is put in comes of itself with the next decision or the end.
        if pending.is_some_and(|asks| asks.any.contains(&at)) {
            continue;
        }
        // What the route is for stands in its order; what rules put in stands where it must.
        if on.acts.get(at).is_some_and(|a| a.decidable) {
            if at < last {
                return None;
            }
            last = at;
        }
        label = on.decide(&label, at)?;
    }
    on.close(&label)
}

/// The steps of a route as a plan: its tests and acts in their order, each with its day where the
/// route has one, and no dose. What the
/// search takes is a typical figure: the dose comes from the trial, which the order puts before its
/// act, or from fresh analyses by
/// whoever writes it into the plan.
pub fn plan(route: &super::Route) -> Vec<PlanStep> {
    let step = |s: &super::Step| PlanStep {
        treatment: s.key.to_string(),
        measure: asked(&s.measures),
        alongside: s.kind == super::StepKind::Alongside,
        day: s.date.clone().unwrap_or_default(),
        ..PlanStep::default()
    };
    route
        .steps
        .iter()
        .filter(|s| s.kind != super::StepKind::Release)
        .map(step)
        .filter(|s| s.is_test() || !s.treatment.is_empty())
        .collect()
}

/// What a step measures that is typed as an analysis, each once.
fn asked(measures: &[Quantity]) -> Vec<Quantity> {
    let mut all: Vec<Quantity> = measures
        .iter()
        .copied()
        .filter(|q| q.facts().asked)
        .collect();
    crate::sorting::sort(&mut all, &mut Quantity::cmp);
    all.dedup();
    all
}
