//! A route held against the full judge, step by step, as the work order will ask it: what the rules
//! say of each act after those before it, of its order and its distance, and whether the wine stays
//! inside the limits in which it was measured.

use super::instance::Built;
use super::model::{Label, Set};
use crate::dossier::Dossier;
use crate::knowledge::{STABILITIES, StabilityFacts, Treatment};
use crate::rules::{
    self, Before,
    order::{self, Against},
};
use crate::stability::{self, Status};
use crate::wine::{Quantity, RoutePart};

/// Why a route is refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refused {
    /// A rule shuts an act out after those before it.
    Rule {
        /// The rule.
        rule: &'static str,
        /// The act.
        act: &'static str,
    },
    /// An act serves no need for which the rules let it stand at its place.
    NoNeed {
        /// The act.
        act: &'static str,
    },
    /// An act goes before an earlier one.
    Order {
        /// The act.
        act: &'static str,
        /// The earlier one.
        earlier: &'static str,
    },
    /// An act follows another too soon.
    TooSoon {
        /// The act.
        act: &'static str,
        /// The earlier one.
        earlier: &'static str,
    },
    /// What was measured inside its limit is outside it afterwards.
    OverLimit {
        /// What is read.
        quantity: Quantity,
    },
}

/// What the judge says against a route; None where it may be shown.
pub fn refused(dossier: &Dossier, built: &Built, label: &Label) -> Option<Refused> {
    let acts: Vec<Placed> = placed(built, label).collect();
    let of_step = |(at, act): (usize, &Placed)| {
        let earlier = acts.get(..at).unwrap_or_default();
        by_rules(dossier, built, act, earlier).or_else(|| by_order(dossier, act, earlier))
    };
    let mut steps = acts.iter().enumerate();
    steps
        .find_map(of_step)
        .or_else(|| over_limit(dossier, built, label))
}

/// An act of a route at its place.
struct Placed {
    at: usize,
    treatment: &'static Treatment,
    decided: bool,
    /// Day on which it is done.
    day: f64,
}

fn placed<'a>(built: &'a Built, label: &'a Label) -> impl Iterator<Item = Placed> + 'a {
    label.done.iter().filter_map(|d| {
        Some(Placed {
            at: d.act,
            treatment: built.acts.get(d.act)?,
            decided: d.decided,
            day: d.begins + d.trial + d.waits,
        })
    })
}

/// What the rules say of an act after those before it.
fn by_rules(dossier: &Dossier, built: &Built, act: &Placed, earlier: &[Placed]) -> Option<Refused> {
    let t = act.treatment;
    let keys: Vec<&'static str> = earlier.iter().map(|e| e.treatment.key).collect();
    let before = Before::of_route(dossier, &keys);
    if let Some(ruling) = rules::against_after(dossier, t, &before).first() {
        return Some(Refused::Rule {
            rule: ruling.rule,
            act: t.key,
        });
    }
    let effects = built.instance.acts.get(act.at)?.effects.iter();
    // What only guards a later act is a need of the route too.
    let mut needs = effects
        .filter(|e| e.removes)
        .filter_map(|e| built.needs.get(e.need));
    let stands = needs.any(|n| !rules::is_out_after(dossier, t, n.problem.problem, &before));
    (act.decided && !stands).then_some(Refused::NoNeed { act: t.key })
}

/// What the rules say of its order and its distance.
fn by_order(dossier: &Dossier, act: &Placed, earlier: &[Placed]) -> Option<Refused> {
    let before: Vec<&'static Treatment> = earlier.iter().map(|e| e.treatment).collect();
    let hours = |at: usize| earlier.get(at).map_or(0.0, |e| (act.day - e.day) * 24.0);
    let all = order::misplaced(dossier, act.treatment, &before, &hours);
    let found = all.first()?;
    let (act, earlier) = (act.treatment.key, before.get(found.behind)?.key);
    Some(match found.against {
        Against::Order(_) => Refused::Order { act, earlier },
        Against::TooSoon(_) => Refused::TooSoon { act, earlier },
    })
}

/// What was measured inside its limit and lies outside it by the chemistry of the acts: of what
/// would be a need of every route there, and is none of this.
fn over_limit(dossier: &Dossier, built: &Built, label: &Label) -> Option<Refused> {
    let mut state = dossier.state.clone();
    for d in &label.done {
        let t = built.acts.get(d.act)?;
        let [least, most] = d.dose;
        state = state.after(t, (least + most) / 2.0);
    }
    let is_need = |f: &StabilityFacts| {
        let mut needs = built.needs.iter();
        needs.any(|n| n.required && Some(n.problem.problem) == f.problem)
    };
    let was_inside = |f: &StabilityFacts| {
        f.in_routes == Some(RoutePart::Need)
            && dossier.analysis(f.quantity).is_some()
            && stability::status_of(dossier, f.quantity) == Status::Stable
    };
    let outside = |f: &StabilityFacts| {
        let value = state.get(f.quantity).map(|k| k.estimate.middle);
        let band = stability::band(dossier, f);
        value.zip(band).is_some_and(|(v, b)| {
            b.ceiling.is_some_and(|most| v >= most) || b.floor.is_some_and(|least| v < least)
        })
    };
    STABILITIES
        .rows()
        .iter()
        .find(|f| !is_need(f) && was_inside(f) && outside(f))
        .map(|f| Refused::OverLimit {
            quantity: f.quantity,
        })
}

/// The least set of decisions of a refused route for which it is refused all the same.
pub fn cut(dossier: &Dossier, built: &Built, decisions: &[usize]) -> Set {
    let mut kept: Vec<usize> = decisions.to_vec();
    for left_out in decisions {
        let without: Vec<usize> = kept.iter().copied().filter(|d| d != left_out).collect();
        let still = !without.is_empty()
            && follow(built, &without).is_some_and(|l| refused(dossier, built, &l).is_some());
        if still {
            kept = without;
        }
    }
    let mut cut = Set::default();
    kept.into_iter().for_each(|d| cut.add(d));
    cut
}

/// A route over the draws of an instance, by its decisions; None where it may not be.
pub fn follow(built: &Built, decisions: &[usize]) -> Option<Label> {
    let mut label = built.instance.start();
    for at in decisions {
        label = built.instance.decide(&label, *at)?;
    }
    built.instance.close(&label)
}
