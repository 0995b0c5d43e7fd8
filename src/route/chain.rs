//! One route as a report: its steps, and what they come to.

use super::JUST_BELOW;
use super::instance::Built;
use super::model::Label;
use super::owed::{less_sure, priced, release};
use super::report::{LeftOut, Route, RouteTest};
use super::steps::{Steps, used};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Legality};
use crate::rules::{self, Bearing};
use crate::state::reading;
use crate::treatment::Span;
use crate::treatment::suit::{reasons, to_hire};
use crate::units::day::Day;
use crate::wine::*;

/// Costly equipment that a route needs and that was not said to be had.
pub(super) fn hired(dossier: &Dossier, built: &Built, label: &Label) -> Vec<&'static str> {
    let mut all: Vec<&'static str> = Vec::new();
    for kit in label
        .done
        .iter()
        .filter_map(|d| built.acts.get(d.act))
        .flat_map(|t| to_hire(dossier, t))
    {
        if !all.contains(&kit.label()) {
            all.push(kit.label());
        }
    }
    all
}

/// Nine of ten draws lie between, with the mean.
pub(super) fn spread(values: &[f64]) -> Span {
    let mut sorted = values.to_vec();
    // Longer than the lists that `sorting` is for.
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| {
        sorted
            .get((share * (sorted.len().max(1) - 1) as f64) as usize)
            .copied()
            .unwrap_or(0.0)
    };
    Span {
        low: at(0.05),
        middle: values.iter().sum::<f64>() / values.len().max(1) as f64,
        high: at(0.95),
    }
}

/// A route in words and figures.
pub(super) fn report(
    dossier: &Dossier,
    built: &Built,
    label: Label,
    best_at: Vec<&'static str>,
    cheapest_in: f64,
    bottling: Option<Day>,
    short: bool,
) -> Route {
    let on = &built.instance;
    let used = used(built, &label);
    let steps = Steps::of(dossier, built, &label, bottling);
    let begin = steps.begin();
    let Steps {
        all: steps,
        now,
        costs,
        owed,
        ..
    } = steps;
    let measured: Vec<Quantity> = steps.iter().flat_map(|s| s.measures.clone()).collect();
    let tests = priced(dossier, &measured);
    let decided: Vec<&str> = label
        .done
        .iter()
        .filter(|d| d.decided)
        .filter_map(|d| built.acts.get(d.act))
        .map(|t| t.key)
        .collect();
    let names = |fits: &dyn Fn(&&'static Treatment) -> bool| {
        let mut all: Vec<&'static str> = Vec::new();
        for t in used.iter().filter(|t| fits(t)) {
            if !all.contains(&t.name) {
                all.push(t.name);
            }
        }
        all
    };
    let on_label = names(&|t| t.stays);
    let believed = names(&|t| law::hardest(&dossier.law(t)) == Some(Legality::Believed));
    let confirm = names(&|t| {
        let mut acts = built.acts.iter().zip(&on.acts);
        acts.find(|(a, _)| a.key == t.key)
            .is_some_and(|(_, act)| act.unsure)
    });
    let hire = hired(dossier, built, &label);
    let oxygen = used
        .iter()
        .flat_map(|t| t.effects)
        .filter(|e| e.on == Quantity::Oxygen)
        .filter_map(|e| e.adds)
        .map(|a| a.middle)
        .sum();
    Route {
        key: if decided.is_empty() {
            "wait".into()
        } else {
            decided.join("+")
        },
        best_at,
        money: spread(&label.money),
        loss: on.loss(&on.sums_with_tests(&label), on.probability(&label)),
        split: costs.split,
        days: now,
        release_days: owed.release_days,
        bottling: bottling.map(Day::show),
        release: release(bottling, owed.release_days),
        test_money: test_money(&tests),
        tests,
        less_sure: less_sure(dossier, &met_by(dossier, built)),
        impact: label.impact / (on.draws.max(1) as f64),
        energy: costs.energy,
        water: costs.water,
        unknown_means: costs.unknown,
        oxygen,
        origin: match label.origin {
            0 => "free of animal material",
            1 => "with milk or egg",
            _ => "with animal material",
        },
        on_label,
        confirm,
        believed,
        probability: built.probability(&label),
        judged_by: built
            .judged_in(&label)
            .into_iter()
            .map(|(_, by)| by.label())
            .collect(),
        hire,
        cheapest_in,
        left_out: left_out(dossier, &used),
        rules: bearing(dossier, &used),
        begin_by: begin.map(Day::show),
        short: short || built.probability(&label) < dossier.sure() - JUST_BELOW,
        steps,
    }
}

/// Money for the lot for all tests of a route; None where a price is not known.
fn test_money(tests: &[RouteTest]) -> Option<Span> {
    let zero = Span {
        low: 0.0,
        middle: 0.0,
        high: 0.0,
    };
    tests.iter().try_fold(zero, |sum, t| {
        let [low, middle, high] = t.price?;
        Some(sum.plus(Span { low, middle, high }.times(t.times as f64)))
    })
}

/// What the tests of the needs that a route meets read.
fn met_by(dossier: &Dossier, built: &Built) -> Vec<Quantity> {
    let needs = built.needs.iter().filter(|n| n.required);
    needs
        .flat_map(|n| {
            let q = n.problem.quantity;
            [q, reading(dossier, q)]
        })
        .collect()
}

/// Rules on order that bear on two acts of the route, or on one alone.
fn bearing(dossier: &Dossier, used: &[&'static Treatment]) -> Vec<Bearing> {
    let mut found: Vec<Bearing> = Vec::new();
    for t in used {
        let met = |key: &str| {
            let mut others = used.iter().filter(|o| o.material != t.material);
            others.any(|o| o.key == key)
        };
        for b in rules::order::bearing(dossier, t, &met) {
            if !found.iter().any(|f| f.text == b.text) {
                found.push(b);
            }
        }
    }
    found
}

/// What the rules ask for beside the acts of a route and is not in it: nothing that serves can be
/// had for this wine.
fn left_out(dossier: &Dossier, used: &[&'static Treatment]) -> Vec<LeftOut> {
    let is_used = |key: &&'static str| used.iter().any(|t| t.key == *key);
    let mut all: Vec<LeftOut> = Vec::new();
    for act in used {
        let asks = [RuleVerdict::NeedsBefore, RuleVerdict::NeedsAfter]
            .into_iter()
            .flat_map(|verdict| rules::order::rows(dossier, act, verdict));
        for rule in asks {
            let has = rule.acts.iter().chain(rule.unless).any(&is_used);
            if has || all.iter().any(|l| l.rule == rule.key) {
                continue;
            }
            let serve = rule.acts.iter().filter_map(|k| treatment(k));
            let against = serve.clone().next().map(|t| reasons(dossier, t));
            all.push(LeftOut {
                rule: rule.key,
                act: act.key,
                names: serve.map(|t| t.name).collect(),
                why: rule.why.text,
                because: against
                    .unwrap_or_default()
                    .into_iter()
                    .map(|r| r.ruling.text)
                    .collect(),
            });
        }
    }
    all
}
