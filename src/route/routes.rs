//! The routes of a wine as a report: each a chain of steps with the state after each, on a
//! calendar; which to relax where
//! none is found.

use super::answer::{answer, beside, first, no_cure_words};
use super::instance::{Asked, Built, build_only, last_days, measured_outside};
use super::model::{Done, Label};
use super::owed::{Alongside, Made, Owed, less_sure, owed, priced, release};
use super::picks::{Pick, at_hand, joined, keys, nearest, picks};
use super::report::{Route, RouteTest, Routes, Stand, Step, StepKind};
use super::search::{Front, search};
use super::{JUST_BELOW, SEARCH_DRAWS, SHOWN_DRAWS, relax};
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Legality};
use crate::obligations::days_of;
use crate::rules::{self, Bearing};
use crate::sorting::sort;
use crate::state::reading;
use crate::treatment::suit::to_hire;
use crate::treatment::{Span, scales};
use crate::units::{day::Day, show};
use crate::wine::*;

/// Works out the routes. `today` decides what is too late.
pub fn routes(dossier: &Dossier, today: Option<Day>) -> Routes {
    let say = |says: &[AnswerKey], answer: &str| Routes {
        answer: answer.into(),
        says: says.to_vec(),
        ..Routes::default()
    };
    if dossier.stage == Some(Stage::Bottled) {
        let answer = "It is in bottle: nothing is dosed into a bottle. Set the lot aside, find the cause by tests, then decide what to do with it.";
        return say(&[AnswerKey::InBottle, AnswerKey::FindCause], answer);
    }
    if dossier.problems.is_empty() && measured_outside(dossier).is_empty() {
        return say(
            &[AnswerKey::NothingNamed, AnswerKey::NoTreatment],
            "Nothing is named as wrong or feared: no treatment is called for. Choose what is wrong, or feared, on the wine's page: a route needs something to cure.",
        );
    }
    if dossier.problems.is_empty() {
        return say(
            &[AnswerKey::NothingNamed],
            "Choose what is wrong, or feared, on the wine's page: a route needs something to cure.",
        );
    }
    if dossier.style == Some(Style::Fruit) {
        return say(
            &[AnswerKey::NotCovered],
            "Fruit wine: its law and its figures were not read, so no route is offered.",
        );
    }
    let bottling = dossier.bottling_day.given();
    let days_left = dossier.days_left(today);
    let (asked, built, front) = searched(dossier, days_left);
    let mut all = Routes {
        no_cure: built.no_cure.iter().map(|f| f.problem.label()).collect(),
        uncured: built.no_cure.iter().map(|f| f.problem).collect(),
        not_read: dossier.errors.clone(),
        first: first(dossier),
        found: front.routes.len(),
        tried: front.tried,
        stopped: front.stopped,
        ..Routes::default()
    };
    let required = built.needs.iter().any(|n| n.required);
    if !required {
        let none = || {
            "None of what was named has a limit or a measure that a route could aim at: find the cause, or ask a laboratory.".to_string()
        };
        (all.says, all.answer) = no_cure_words(dossier, &built).map_or_else(
            || (vec![AnswerKey::FindCause, AnswerKey::Laboratory], none()),
            |(key, words)| (vec![key], words),
        );
        beside(dossier, &mut all);
        return all;
    }
    let found = picks(&front, &built);
    let short = found.is_empty();
    let chosen = match with_what_is_at_hand(dossier, &built, days_left, asked) {
        None if short => nearest(&front, &built).into_iter().collect(),
        None => found,
        Some((plain, at_hand)) => {
            let hires = |keys: &[&'static str]| {
                follow(&built, keys).is_some_and(|l| !hired(dossier, &built, &l).is_empty())
            };
            let with_hire = front
                .routes
                .iter()
                .filter(|f| hires(&keys(&built, &f.decisions)))
                .count();
            all.found = at_hand.routes.len() + with_hire;
            all.tried += at_hand.tried;
            all.stopped |= at_hand.stopped;
            if short {
                let nearer = nearest(&front, &built).filter(|_| front.best > at_hand.best);
                nearest(&at_hand, &plain)
                    .into_iter()
                    .chain(nearer)
                    .collect()
            } else {
                joined(
                    picks(&at_hand, &plain),
                    found.into_iter().filter(|(_, keys)| hires(keys)).collect(),
                )
            }
        }
    };
    let acts: Vec<&'static str> = chosen
        .iter()
        .flat_map(|(_, keys)| keys.iter().copied())
        .collect();
    let fine = build_only(dossier, days_left, SHOWN_DRAWS, asked, Some(&acts));
    let labels: Vec<(Vec<&'static str>, Label)> = chosen
        .into_iter()
        .filter_map(|(best_at, keys): Pick| follow(&fine, &keys).map(|label| (best_at, label)))
        .collect();
    let cheapest = cheapest_in(dossier, &fine, &labels);
    all.routes = labels
        .into_iter()
        .zip(cheapest)
        .map(|((best_at, label), share)| {
            report(dossier, &fine, label, best_at, share, bottling, short)
        })
        .collect();
    let class = |r: &Route| (!r.hire.is_empty(), !r.confirm.is_empty());
    sort(&mut all.routes, &mut |a, b| {
        class(a)
            .cmp(&class(b))
            .then(a.money.middle.total_cmp(&b.money.middle))
    });
    let used = all
        .routes
        .iter()
        .flat_map(|r| &r.steps)
        .filter_map(|s| treatment(s.key));
    let found: Vec<law::Finding> = used.flat_map(|t| dossier.law(t).into_owned()).collect();
    all.law = law::said(dossier, &found.iter().collect::<Vec<_>>());
    if short {
        all.relax = relax::relax(dossier, today);
    }
    all.not_covered = not_covered(dossier, &built);
    (all.says, all.answer) = answer(&all, &built, dossier, today, days_left);
    beside(dossier, &mut all);
    all
}

/// The search for all needs; where it finds nothing, for those that were named alone.
fn searched(dossier: &Dossier, days_left: Option<i64>) -> (Asked, Built, Front) {
    let of = |asked: Asked| {
        let built = build_only(dossier, days_left, SEARCH_DRAWS, asked, None);
        let front = search(&built.instance);
        (asked, built, front)
    };
    let all = of(Asked::All);
    let (_, built, front) = &all;
    let more = built
        .needs
        .iter()
        .any(|n| n.required && !dossier.problems.contains(&n.problem.problem));
    if more && front.routes.is_empty() {
        let named = of(Asked::Named);
        if !named.2.routes.is_empty() {
            return named;
        }
    }
    all
}

/// The search over what needs no costly equipment to be hired; None where nothing needs any, or
/// where without it more is past
/// cure, so that such a route would leave a need out.
fn with_what_is_at_hand(
    dossier: &Dossier,
    built: &Built,
    days_left: Option<i64>,
    asked: Asked,
) -> Option<(Built, Front)> {
    let plain = build_only(
        &at_hand(dossier, built)?,
        days_left,
        SEARCH_DRAWS,
        asked,
        None,
    );
    let front = search(&plain.instance);
    (plain.no_cure.len() == built.no_cure.len()).then_some((plain, front))
}

/// Costly equipment that a route needs and that was not said to be had.
fn hired(dossier: &Dossier, built: &Built, label: &Label) -> Vec<&'static str> {
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

/// What was measured outside its limit and no route shown here was worked out for.
fn not_covered(dossier: &Dossier, built: &Built) -> Vec<&'static str> {
    let met = |f: &StabilityFacts| {
        built.needs.iter().any(|n| {
            n.required
                && Some(n.problem.problem) == f.problem
                && f.in_routes == Some(RoutePart::Need)
        })
    };
    let open = |f: &&'static StabilityFacts| !met(f) && f.in_routes != Some(RoutePart::Last);
    measured_outside(dossier)
        .into_iter()
        .filter(open)
        .map(|f| f.name)
        .collect()
}

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

/// A route over the draws of an instance; None where it may not be.
fn follow(built: &Built, keys: &[&'static str]) -> Option<Label> {
    let mut label = built.instance.start();
    for key in keys {
        let at = built.acts.iter().position(|t| t.key == *key)?;
        label = built.instance.decide(&label, at)?;
    }
    built.instance.close(&label)
}

/// Share of the draws in which each is the cheapest among those that are as clean as the first and
/// as much at hand.
fn cheapest_in(
    dossier: &Dossier,
    built: &Built,
    labels: &[(Vec<&'static str>, Label)],
) -> Vec<f64> {
    let on = &built.instance;
    let mut wins = vec![0_u32; labels.len()];
    let classes: Vec<(bool, bool)> = labels
        .iter()
        .map(|(_, l)| (!hired(dossier, built, l).is_empty(), l.unsure))
        .collect();
    let best_class = classes.iter().min().copied();
    for draw in 0..on.draws {
        let best = labels
            .iter()
            .enumerate()
            .filter(|(i, _)| classes.get(*i).copied() == best_class)
            .filter_map(|(i, (_, l))| l.money.get(draw).map(|m| (i, *m)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(w) = best.and_then(|(i, _)| wins.get_mut(i)) {
            *w += 1;
        }
    }
    wins.into_iter()
        .map(|w| f64::from(w) / (on.draws.max(1) as f64))
        .collect()
}

/// Nine of ten draws lie between, with the mean.
fn spread(values: &[f64]) -> Span {
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

fn report(
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
    let test = |kind: StepKind, name: String, begins: f64, days: f64, why: &'static str| Step {
        kind,
        key: "",
        name,
        tries: "",
        confirms: "",
        measures: Vec::new(),
        shows: Vec::new(),
        begins,
        days,
        date: None,
        dose: None,
        unit: "",
        share: 1.0,
        money: 0.0,
        labour_hours: 0.0,
        kit: Vec::new(),
        order: None,
        branches: Vec::new(),
        why,
        after: Vec::new(),
        changes: false,
    };
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
        let measure = test(
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
            ..test(StepKind::Confirm, name, now, 0.0, CONFIRM)
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
            steps.push(retest(&test, &owed, now, retest_days));
            now += retest_days;
            retested = true;
        }
        // The wine of the day is tested before it goes to the filler.
        if phase >= Phase::Filler && !on_day && !dossier.is_must() {
            steps.push(the_day(&test, &owed, now));
            on_day = true;
        }
        // The test that only this act asks for stands at the beginning, with its days.
        let test_days = if d.decided { act.test_days } else { 0.0 };
        let trial_days = d.trial - test_days;
        if trial_days > 0.0 {
            let trial = test(
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
        steps.push(retest(&test, &owed, now, retest_days));
        now += retest_days;
    }
    // What runs beside the acts has answered by then.
    let whole = on.days(&label);
    now = now.max(whole);
    if !dossier.is_must() {
        if !on_day {
            steps.push(the_day(&test, &owed, now));
        }
        steps.push(bottle(&test, &owed, now));
        if owed.release_days > 0.0 || !owed.before_release.is_empty() {
            steps.push(let_go(&test, &owed, now));
        }
        to_the_day(&mut steps, now);
        put_alongside(&mut steps, &test, &owed, now);
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

/// What the first tests decide: which acts fall away where a need turns out to be met, and from
/// where the route must be chosen
/// anew.
fn branches(dossier: &Dossier, built: &Built, label: &Label) -> Vec<String> {
    let on = &built.instance;
    let mut found = Vec::new();
    for (at, (about, need)) in built
        .needs
        .iter()
        .zip(&on.needs)
        .enumerate()
        .filter(|(_, (about, need))| about.is_unmeasured() && need.required)
    {
        let serves = |d: &&super::model::Done, only: bool| {
            on.acts.get(d.act).is_some_and(|a| {
                let mut served = a
                    .effects
                    .iter()
                    .filter(|e| e.removes && on.needs.get(e.need).is_some_and(|n| n.required))
                    .map(|e| e.need);
                if only {
                    served.all(|n| n == at)
                } else {
                    served.any(|n| n == at)
                }
            })
        };
        let decided = || label.done.iter().filter(|d| d.decided && serves(d, false));
        let falls: Vec<&str> = decided()
            .filter(|d| serves(d, true))
            .filter_map(|d| built.acts.get(d.act))
            .map(|t| t.name)
            .collect();
        let read = reading(dossier, about.problem.quantity);
        let name = read.label();
        let (most, unit) = (
            spread(&need.start).high,
            about.problem.quantity.facts().unit,
        );
        if !falls.is_empty() {
            found.push(format!(
                "{name} within its limit: leave out {}.",
                show::listed(&falls)
            ));
        }
        // From the most that the draws hold, or that an act of the route is used with.
        let used_to = decided()
            .filter_map(|d| built.acts.get(d.act))
            .flat_map(|t| t.bounds)
            .filter(|b| b.on == about.problem.quantity)
            .map(|b| b.most);
        let most = used_to.fold(most, f64::min);
        if decided().next().is_some() && most > need.ceiling && read == about.problem.quantity {
            found.push(format!(
                "{name} above {} {unit}: choose a route anew.",
                show::plain(most)
            ));
        }
    }
    found
}

/// Makes a step that measures: its kind, name, first day, days and reason.
type MakeTest<'a> = &'a dyn Fn(StepKind, String, f64, f64, &'static str) -> Step;

/// The test after the acts, by what judges a wine with such a past.
fn retest(test: MakeTest<'_>, owed: &Owed, now: f64, days: f64) -> Step {
    let names: Vec<&str> = STABILITIES
        .rows()
        .iter()
        .filter(|s| owed.again.contains(&s.quantity))
        .map(|s| s.name)
        .collect();
    let name = if names.is_empty() {
        "Measure free SO₂, then correct it".to_string()
    } else {
        format!(
            "Measure again: {}; and free SO₂, then correct it",
            show::listed(&names)
        )
    };
    let again = test(
        StepKind::Retest,
        name,
        now,
        days,
        "Each act voids earlier readings; a model or a bench trial never passes a wine.",
    );
    let mut measures = owed.again.clone();
    measures.push(Quantity::FreeSo2);
    Step { measures, ..again }
}

/// What is measured and looked at on the bottling day, before the line.
fn the_day(test: MakeTest<'_>, owed: &Owed, now: f64) -> Step {
    let names: Vec<&str> = owed.on_day.iter().map(|q| q.label()).collect();
    let step = test(
        StepKind::Day,
        format!("On the day, before the line: {}", show::listed(&names)),
        now,
        0.0,
        "Ready for the line where nothing that is due before it is open.",
    );
    Step {
        measures: owed.on_day.clone(),
        shows: owed.looked_at.clone(),
        ..step
    }
}

fn bottle(test: MakeTest<'_>, owed: &Owed, now: f64) -> Step {
    let step = test(
        StepKind::Bottling,
        "Bottle".into(),
        now,
        0.0,
        "What goes wrong at the line is seen there, or in the bottles.",
    );
    Step {
        shows: owed.at_line.clone(),
        ..step
    }
}

/// The release of the lot, once what is counted after the bottling has answered.
fn let_go(test: MakeTest<'_>, owed: &Owed, now: f64) -> Step {
    let step = test(
        StepKind::Release,
        "Release the lot".into(),
        libm::ceil(now),
        owed.release_days,
        "The lot is kept back until nothing at all is open.",
    );
    Step {
        measures: owed.counted.clone(),
        shows: owed.before_release.clone(),
        ..step
    }
}

/// What stands from the tests of the day on is done on the bottling day.
fn to_the_day(steps: &mut [Step], day: f64) {
    let first = steps.iter().position(|s| s.kind == StepKind::Day);
    let on_it = |s: &&mut Step| s.kind != StepKind::Release;
    let late = steps.iter_mut().skip(first.unwrap_or(usize::MAX));
    for step in late.filter(on_it) {
        step.begins = libm::ceil(day);
        step.days = 0.0;
    }
}

/// Puts the tests that run beside the acts among the steps: each as early as it may be to count on
/// the bottling day.
fn put_alongside(steps: &mut Vec<Step>, test: MakeTest<'_>, owed: &Owed, days: f64) {
    let from = |a: &&Alongside| libm::ceil((days - a.window).max(0.0)) as i64;
    let again = steps.iter().find(|s| s.kind == StepKind::Retest);
    let again = again.map_or(0, |s| libm::floor(s.begins) as i64);
    let wanted = |a: &&Alongside| match a.made {
        Made::Nowhere => true,
        Made::First => from(a) > 0,
        Made::Again => from(a) > again,
    };
    let all: Vec<&Alongside> = owed.alongside.iter().filter(wanted).collect();
    let mut begins: Vec<i64> = all.iter().map(from).collect();
    sort(&mut begins, &mut i64::cmp);
    begins.dedup();
    for day in begins {
        let of = all.iter().filter(|a| from(a) == day);
        let measures: Vec<Quantity> = of.clone().map(|a| a.quantity).collect();
        let names: Vec<&str> = measures.iter().map(|q| q.label()).collect();
        let step = test(
            StepKind::Alongside,
            format!("Have measured meanwhile: {}", show::listed(&names)),
            day as f64,
            of.map(|a| a.days).fold(0.0, f64::max),
            "Nothing that the route does changes it, so nothing waits for it.",
        );
        // What is measured first stays first.
        let later = |s: &Step| s.begins >= day as f64 && s.kind != StepKind::Test;
        let at = steps.iter().position(later);
        steps.insert(at.unwrap_or(steps.len()), Step { measures, ..step });
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
