//! One route as a report: a chain of steps with the state after each, on a calendar.

use super::JUST_BELOW;
use super::branches::branches;
use super::instance::{Built, last_days};
use super::model::{Done, Label};
use super::owed::{less_sure, owed, priced, release};
use super::owed_steps::{bottle, let_go, put_alongside, retest, the_day, to_the_day};
use super::report::{LeftOut, Route, RouteTest, Stand, Step, StepKind};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Legality};
use crate::obligations::days_of;
use crate::rules::{self, Bearing};
use crate::state::reading;
use crate::treatment::suit::{reasons, to_hire};
use crate::treatment::{Span, scales};
use crate::units::{day::Day, show};
use crate::wine::*;

/// Why an authority is asked before an act.
const CONFIRM: &str = "Its law was not read in whole: ask before it is done. How long the answer takes is not counted.";

/// The acts of a route that are to be confirmed, each agent once, and with whom.
fn confirmations(
    dossier: &Dossier,
    built: &Built,
    label: &Label,
) -> impl Iterator<Item = (&'static Treatment, Vec<&'static str>)> {
    let mut all: Vec<(&'static Treatment, Vec<&'static str>)> = Vec::new();
    for t in label.done.iter().filter_map(|d| built.acts.get(d.act)) {
        let found = dossier.law(t);
        let open = law::to_confirm(dossier, t, &found);
        if !open.is_empty() && all.iter().all(|(other, _)| other.material != t.material) {
            all.push((t, law::authorities(&open)));
        }
    }
    all.into_iter()
}

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

fn stands(built: &Built, label: &Label) -> Vec<Stand> {
    let judged = built.judged_in(label);
    built
        .needs
        .iter()
        .zip(&built.instance.needs)
        .zip(&label.values)
        .enumerate()
        .filter(|(_, ((_, n), _))| n.required)
        .map(|(at, ((about, need), values))| {
            let met =
                values.iter().filter(|v| need.met(**v)).count() as f64 / values.len().max(1) as f64;
            let judged_by = judged
                .iter()
                .find(|(need, _)| *need == at)
                .map(|(_, by)| by.label());
            Stand {
                problem: about.problem.problem,
                value: spread(values),
                unit: about.problem.quantity.facts().unit,
                met,
                judged_by,
            }
        })
        .collect()
}

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
    let mut steps: Vec<Step> = Vec::new();
    let mut split = [0.0; 3];
    let (mut energy, mut water, mut unknown_means) = (0.0, 0.0, 0);
    let mut now = 0.0;
    // What must be met, and what must be met before an act of this route.
    let guards = |at: usize| {
        label
            .done
            .iter()
            .filter(|d| d.decided)
            .any(|d| on.acts.get(d.act).is_some_and(|a| a.guards.contains(&at)))
    };
    let asked = built
        .needs
        .iter()
        .zip(&on.needs)
        .enumerate()
        .filter(|(at, (about, need))| about.is_unmeasured() && (need.required || guards(*at)));
    // The test that the journey asks for, where there are several.
    let measures: Vec<Quantity> = asked
        .map(|(_, (about, _))| reading(dossier, about.problem.quantity))
        .collect();
    let used: Vec<&'static Treatment> = label
        .done
        .iter()
        .filter_map(|d| built.acts.get(d.act).copied())
        .collect();
    let owed = owed(dossier, &measures, &used);
    let first_days = days_of(&measures, &dossier.past).middle;
    if !measures.is_empty() {
        let unmeasured: Vec<&str> = measures.iter().map(|q| q.label()).collect();
        let measure = Step::test(
            StepKind::Test,
            format!("Measure: {}", show::listed(&unmeasured)),
            now,
            first_days,
            "Not measured, or measured before the last change: typical values stand in.",
        );
        steps.push(Step {
            measures,
            branches: branches(dossier, built, &label),
            ..measure
        });
        now += first_days;
    }
    steps.extend(confirmations(dossier, built, &label).map(|(t, asked)| {
        let name = format!("Confirm with {}: {}", asked.join(", "), t.name);
        Step {
            confirms: t.key,
            ..Step::test(StepKind::Confirm, name, now, 0.0, CONFIRM)
        }
    }));
    // The same route once more, step by step, for the state after each.
    let mut state = on.start();
    // And without what no figure tells: what is shown of the needs.
    let figures = built.by_figures();
    let mut plain = on.start();
    let retest_days = last_days(dossier) + label.retest_days;
    let (mut retested, mut on_day) = (false, false);
    let ends: Vec<f64> = label
        .done
        .iter()
        .skip(1)
        .map(|d| d.begins)
        .chain([label.days])
        .collect();
    for (at, (d, end)) in label.done.iter().zip(ends).enumerate() {
        let act_of = |d: &Done| built.acts.get(d.act).copied();
        let last = label.done.iter().take(at).next_back().and_then(act_of);
        let mut rest = label.done.iter().skip(at);
        let next = rest.find(|d| d.decided).and_then(act_of);
        let (Some(t), Some(act)) = (built.acts.get(d.act), on.acts.get(d.act)) else {
            continue;
        };
        let phase = super::instance::place(dossier, t.key).map_or(Phase::Fine, |p| p.0);
        let is_late = |d: &Done| {
            let placed = act_of(d).and_then(|t| super::instance::place(dossier, t.key));
            placed.is_some_and(|p| p.0 >= Phase::Protect)
        };
        // An act of the end that is done early, as sulfur dioxide against rot, ends nothing.
        if label.done.iter().skip(at).all(is_late) && !retested {
            steps.push(retest(&owed, now, retest_days));
            now += retest_days;
            retested = true;
        }
        // The wine of the day is tested before it goes to the filler.
        if phase >= Phase::Filler && !on_day && !dossier.is_must() {
            steps.push(the_day(&owed, now));
            on_day = true;
        }
        // The test that only this act asks for stands at the beginning, with its days.
        let test_days = if d.decided { act.test_days } else { 0.0 };
        let trial_days = d.trial - test_days;
        if trial_days > 0.0 {
            let trial = Step::test(
                StepKind::Trial,
                format!("Bench trial: {}", t.name),
                now,
                trial_days,
                "The dose is read from a trial of this wine; begin with the least rung.",
            );
            let branches = vec!["If no rung reaches its aim: give no more than the ladder’s last; type in the readings and choose a route anew.".to_string()];
            steps.push(Step {
                tries: t.key,
                branches,
                ..trial
            });
            now += trial_days;
        }
        now += d.waits;
        let before = stands(built, &plain);
        on.repeat(&mut state, d.act, d.decided);
        figures.repeat(&mut plain, d.act, d.decided);
        let after = stands(built, &plain);
        let done = state.done.last().copied().unwrap_or(*d);
        let dose = (d.dose[0] + d.dose[1]) / 2.0;
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
        let money = done.share * (mean(&act.fixed) + mean(&act.per_dose) * dose);
        let lost = done.share * t.loss_percent.middle * scales::value(dossier) / 100.0;
        let labour = done.share * t.labour_hours.middle * scales::per_hour(dossier)
            / scales::hectolitres(dossier);
        for (s, x) in split
            .iter_mut()
            .zip([(money - lost - labour).max(0.0), lost, labour])
        {
            *s += x;
        }
        match (t.energy_kwh_per_hl, t.water_l_per_hl) {
            (None, None) => unknown_means += 1,
            (e, w) => {
                energy += e.map_or(0.0, |e| e.middle) * done.share;
                water += w.map_or(0.0, |w| w.middle) * done.share;
            }
        }
        let days = (end - d.begins - d.trial - d.waits).max(0.0);
        steps.push(Step {
            kind: if d.decided {
                StepKind::Act
            } else {
                StepKind::PutIn
            },
            key: t.key,
            name: t.name.to_string(),
            tries: "",
            confirms: "",
            measures: Vec::new(),
            shows: Vec::new(),
            begins: now,
            days,
            date: None,
            dose: t.dose.filter(|_| d.share > 0.0).map(|_| d.dose),
            unit: t.dose.map_or("", |x| x.basis.label()),
            share: done.share,
            money,
            labour_hours: t.labour_hours.middle,
            kit: t.kit.iter().map(|k| k.label()).collect(),
            order: order(dossier, t, begin_of(bottling, on.days(&label)), now),
            branches: Vec::new(),
            why: if d.decided {
                why(dossier, t.key, phase)
            } else {
                why_put_in(dossier, t.key, last, next)
            },
            changes: after != before,
            after,
        });
        now += days;
    }
    if !retested {
        steps.push(retest(&owed, now, retest_days));
        now += retest_days;
    }
    // What runs beside the acts has answered by then.
    let whole = on.days(&label);
    now = now.max(whole);
    if !dossier.is_must() {
        if !on_day {
            steps.push(the_day(&owed, now));
        }
        steps.push(bottle(&owed, now));
        if owed.release_days > 0.0 || !owed.before_release.is_empty() {
            steps.push(let_go(&owed, now));
        }
        to_the_day(&mut steps, now);
        put_alongside(&mut steps, &owed, now);
    }
    let begin = begin_of(bottling, now);
    for s in &mut steps {
        s.date = begin.map(|b| b.plus(libm::floor(s.begins) as i64).show());
    }
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
        built
            .acts
            .iter()
            .position(|a| a.key == t.key)
            .and_then(|i| on.acts.get(i))
            .is_some_and(|a| a.unsure)
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
        split,
        days: now,
        release_days: owed.release_days,
        bottling: bottling.map(Day::show),
        release: release(bottling, owed.release_days),
        test_money: test_money(&tests),
        tests,
        less_sure: less_sure(dossier, &met_by(dossier, built)),
        impact: label.impact / (on.draws.max(1) as f64),
        energy,
        water,
        unknown_means,
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

/// The day on which a route of so many days begins at the latest.
fn begin_of(bottling: Option<Day>, days: f64) -> Option<Day> {
    bottling.map(|b| b.plus(-(libm::ceil(days) as i64)))
}

/// What must be ordered for a treatment, and until when.
fn order(dossier: &Dossier, t: &Treatment, begin: Option<Day>, now: f64) -> Option<String> {
    let lead = super::instance::lead_days(dossier, t);
    if lead <= 0.0 {
        return None;
    }
    let kit: Vec<String> = t
        .kit
        .iter()
        .filter(|k| dossier.kit_lead(**k).is_some())
        .map(|k| show::inside(k.label()))
        .collect();
    let kit = kit.join(if t.any_kit { " or " } else { ", " });
    Some(match begin {
        Some(day) => format!(
            "Order by {}: {kit}.",
            day.plus(libm::floor(now - lead) as i64).show()
        ),
        None => format!("Order {} before: {kit}.", show::days(lead, lead)),
    })
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

fn why(dossier: &Dossier, key: &str, phase: Phase) -> &'static str {
    let fits = |p: &&PhaseFacts| {
        p.phase == phase && p.treatments.contains(&key) && holds_for(p.colours, dossier.colour)
    };
    PHASES.rows().iter().find(fits).map_or("", |p| p.why.text)
}

/// Why an act was put in: the act before it must be followed by it, or else the next decided one
/// must come after it.
fn why_put_in(
    dossier: &Dossier,
    key: &str,
    last: Option<&Treatment>,
    next: Option<&Treatment>,
) -> &'static str {
    let asks = |t: &Treatment, verdict: RuleVerdict| {
        let rows = rules::order::rows(dossier, t, verdict);
        rows.into_iter().find(|r| r.acts.contains(&key))
    };
    let after = last.and_then(|t| asks(t, RuleVerdict::NeedsAfter));
    let before = || next.and_then(|t| asks(t, RuleVerdict::NeedsBefore));
    after.or_else(before).map_or("", |r| r.why.text)
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
