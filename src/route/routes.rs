//! The routes of a wine as a report: each a chain of steps with the state after each, on a calendar; which to relax where
//! none is found.

use super::instance::{About, Built, build, build_only};
use super::model::{Instance, Label};
use super::search::{Found, Front, search};
use super::{JUST_BELOW, SEARCH_DRAWS, SHOWN, SHOWN_DRAWS, TARGET, TEST_DAYS, relax};
use crate::knowledge::*;
use crate::sorting::sort;
use crate::state::{KnownBy, reading};
use crate::treatment::{Span, scales};
use crate::units::{day::Day, show};
use crate::wine::*;
use serde::Serialize;

/// What kind of step it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// Measure first.
    Test,
    /// A bench trial: the dose is read from it.
    Trial,
    /// An act that was chosen.
    Act,
    /// An act that a rule puts in.
    PutIn,
    /// Measure again, since acts have voided what was measured.
    Retest,
}

/// Where a need stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Stand {
    /// The problem.
    pub problem: Problem,
    /// Nine of ten draws lie between, and the middle.
    pub value: Span,
    /// Unit; empty for a share left.
    pub unit: &'static str,
    /// Share of the draws in which it is met.
    pub met: f64,
}

/// One step of a route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Step {
    /// Its kind.
    pub kind: StepKind,
    /// Key of the treatment; empty for tests.
    pub key: &'static str,
    /// What is done.
    pub name: String,
    /// Day on which it begins, from the start of the route.
    pub begins: f64,
    /// Days it takes, with its wait.
    pub days: f64,
    /// The date on which it begins at the latest, where a bottling day is set.
    pub date: Option<String>,
    /// Least and greatest dose over the draws, in the unit of the treatment; None where there is none to give.
    pub dose: Option<[f64; 2]>,
    /// Unit of the dose.
    pub unit: &'static str,
    /// Share of the draws in which it is called for.
    pub share: f64,
    /// Money per hL, on average.
    pub money: f64,
    /// Labour, hours.
    pub labour_hours: f64,
    /// Equipment that it keeps busy.
    pub kit: Vec<&'static str>,
    /// What must be ordered for it, and how long before.
    pub order: Option<String>,
    /// What its result decides: what to do where it turns out otherwise.
    pub branches: Vec<String>,
    /// Why it stands here.
    pub why: &'static str,
    /// Where each need stands after it.
    pub after: Vec<Stand>,
    /// Whether it moved any of them.
    pub changes: bool,
}

/// A route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Route {
    /// Keys of the decisions in their order, joined by “+”; “wait” where nothing is to be done.
    pub key: String,
    /// What it is best at.
    pub best_at: Vec<&'static str>,
    /// Steps in their order.
    pub steps: Vec<Step>,
    /// Money per hL: nine of ten draws lie between, and the mean.
    pub money: Span,
    /// Of which products and services, lost wine and labour, on average.
    pub split: [f64; 3],
    /// Days in all, tests among them.
    pub days: f64,
    /// Impact on the wine: points of aroma, tannin and, but for a white wine, colour.
    pub impact: f64,
    /// Energy, kWh per hL, of those steps whose energy is known.
    pub energy: f64,
    /// Water, L per hL, of those steps whose water is known.
    pub water: f64,
    /// Oxygen picked up, mg/L, of those steps for which it is known.
    pub oxygen: f64,
    /// Steps whose energy or water is not known.
    pub unknown_means: usize,
    /// Worst origin of what is used, in words.
    pub origin: &'static str,
    /// What stays in the wine.
    pub on_label: Vec<&'static str>,
    /// What must be confirmed first: the law or the scheme was not verified.
    pub confirm: Vec<&'static str>,
    /// Share of the draws in which every need is met.
    pub probability: f64,
    /// Share of the draws in which it is the cheapest of those shown that are as clean.
    pub cheapest_in: f64,
    /// Rules on order that concern it, the hardest first.
    pub rules: Vec<(Severity, &'static str)>,
    /// Latest day on which it begins.
    pub begin_by: Option<String>,
    /// True where it falls short of the aim, be it only on more draws than the search has.
    pub short: bool,
}

/// The routes of a wine.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Routes {
    /// The answer in a sentence or two.
    pub answer: String,
    /// What comes before any route: find the cause, measure.
    pub first: Vec<&'static str>,
    /// Routes that no other beats, clean ones first, the cheapest first.
    pub routes: Vec<Route>,
    /// Needs that nothing cures: they were left out.
    pub no_cure: Vec<&'static str>,
    /// What can be relaxed, and what each buys.
    pub relax: Vec<String>,
    /// Routes that no other beats, shown or not.
    pub found: usize,
    /// Routes looked at.
    pub tried: usize,
    /// True where the search was stopped before its end.
    pub stopped: bool,
}

/// Works out the routes. `today` decides what is too late.
pub fn routes(wine: &Wine, today: Option<Day>) -> Routes {
    let say = |answer: &str| Routes { answer: answer.into(), ..Routes::default() };
    if wine.stage == Some(Stage::Bottled) {
        return say("It is in bottle: nothing is dosed into a bottle. Set the lot aside, find the cause by tests, then decide what to do with it.");
    }
    if wine.problems.is_empty() {
        return say("Choose what is wrong, or feared, on the wine's page: a route needs something to cure.");
    }
    if wine.style == Some(Style::Fruit) {
        return say("Fruit wine: its law and its figures were not read, so no route is offered.");
    }
    let bottling = Day::read(&wine.bottling_day);
    let days_left = today.zip(bottling).map(|(t, b)| t.until(b));
    let built = build(wine, days_left, SEARCH_DRAWS);
    let front = search(&built.instance);
    let mut all = Routes {
        no_cure: built.no_cure.iter().map(|f| f.problem.label()).collect(),
        first: first(wine),
        found: front.routes.len(),
        tried: front.tried,
        stopped: front.stopped,
        ..Routes::default()
    };
    let required = built.needs.iter().any(|n| wine.problems.contains(&n.problem.problem));
    if !required {
        all.answer = no_cure_words(&built)
            .unwrap_or_else(|| "None of what was named has a limit or a measure that a route could aim at: find the cause, or ask a laboratory.".into());
        return all;
    }
    let mut named = shown(&front);
    let short = named.is_empty();
    if let Some(plain) = without_special(wine, &built, days_left).filter(|_| !short) {
        match named.iter_mut().find(|(_, decisions)| *decisions == plain) {
            Some((names, _)) => names.push(PLAIN),
            None => {
                named.truncate(SHOWN - 1);
                named.push((vec![PLAIN], plain));
            }
        }
    }
    let chosen: Vec<(Vec<&'static str>, Vec<usize>)> = if short && front.best > 0.0 { vec![(Vec::new(), front.best_decisions.clone())] } else { named };
    let keys: Vec<&'static str> = chosen.iter().flat_map(|(_, d)| d).filter_map(|i| built.acts.get(*i)).map(|t| t.key).collect();
    let fine = build_only(wine, days_left, SHOWN_DRAWS, Some(&keys));
    let mut labels: Vec<(Vec<&'static str>, Label)> = Vec::new();
    for (best_at, decisions) in chosen {
        let keys = decisions.iter().filter_map(|i| built.acts.get(*i)).map(|t| t.key);
        if let Some(label) = follow(&fine, keys) {
            labels.push((best_at, label));
        }
    }
    let cheapest = cheapest_in(&fine.instance, &labels);
    all.routes = labels.into_iter().zip(cheapest).map(|((best_at, label), share)| report(wine, &fine, label, best_at, share, bottling, short)).collect();
    sort(&mut all.routes, &mut |a, b| a.confirm.is_empty().cmp(&b.confirm.is_empty()).reverse().then(a.money.middle.total_cmp(&b.money.middle)));
    if short {
        all.relax = relax::relax(wine, today);
    }
    all.answer = answer(&all, &built, wine, today, days_left);
    all
}

/// What a route is called that needs no equipment which few cellars own and this wine does not name.
const PLAIN: &str = "cheapest without special equipment";

/// The decisions of the cheapest route without special equipment of which nothing is said; None where nothing falls away by
/// that, or no such route is left.
fn without_special(wine: &Wine, built: &Built, days_left: Option<i64>) -> Option<Vec<usize>> {
    let special = |k: &Kit| !matches!(k, Kit::Filter | Kit::Chiller | Kit::InertGas) && !wine.kit.contains_key(k);
    let asks = |t: &&&'static Treatment| if t.any_kit { t.kit.iter().all(special) && !t.kit.is_empty() } else { t.kit.iter().any(special) };
    if !built.acts.iter().any(|t| asks(&t)) {
        return None;
    }
    let mut without = wine.clone();
    for kit in Kit::ALL.iter().filter(|k| special(k)) {
        let _none = without.kit.insert(*kit, KitEntry::of(KitMeans::No));
    }
    let plain = build(&without, days_left, SEARCH_DRAWS);
    let front = search(&plain.instance);
    let (_, decisions) = shown(&front).into_iter().find(|(names, _)| names.contains(&"cheapest"))?;
    let keys = decisions.iter().filter_map(|i| plain.acts.get(*i)).map(|t| t.key);
    keys.map(|key| built.acts.iter().position(|t| t.key == key)).collect()
}

/// A route over the draws of an instance; None where it may not be.
fn follow(built: &Built, keys: impl Iterator<Item = &'static str>) -> Option<Label> {
    let mut label = built.instance.start();
    for key in keys {
        let at = built.acts.iter().position(|t| t.key == key)?;
        label = built.instance.decide(&label, at)?;
    }
    Some(built.instance.close(&label))
}

/// Those shown: the best of each kind, clean before not verified, then the rest by money.
fn shown(front: &Front) -> Vec<(Vec<&'static str>, Vec<usize>)> {
    let clean = |f: &&Found| f.counts.get(5).is_some_and(|u| *u == 0.0);
    let clean_only = front.routes.iter().any(|f| clean(&f));
    let pool: Vec<&Found> = front.routes.iter().filter(|f| !clean_only || clean(f)).collect();
    let at = |f: &Found, i: usize| f.counts.get(i).copied().unwrap_or(0.0);
    let mut picked: Vec<(Vec<&'static str>, &Found)> = Vec::new();
    let mut pick = |name: &'static str, keys: [usize; 3], fits: &dyn Fn(&Found) -> bool| {
        let best = pool
            .iter()
            .copied()
            .filter(|f| fits(f))
            .min_by(|a, b| keys.iter().map(|k| at(a, *k).total_cmp(&at(b, *k))).find(|o| o.is_ne()).unwrap_or(std::cmp::Ordering::Equal));
        if let Some(best) = best {
            match picked.iter_mut().find(|(_, f)| f.decisions == best.decisions) {
                Some((names, _)) => names.push(name),
                None => picked.push((vec![name], best)),
            }
        }
    };
    pick("cheapest", [0, 1, 2], &|_| true);
    pick("quickest", [1, 0, 2], &|_| true);
    pick("gentlest", [2, 0, 1], &|_| true);
    if front.routes.iter().any(|f| at(f, 3) > 0.0) {
        pick("free of animal material", [0, 1, 2], &|f| at(f, 3) == 0.0);
    }
    pick("fewest additions on the label", [4, 0, 1], &|_| true);
    pick("fewest operations", [6, 0, 1], &|_| true);
    let mut rest: Vec<&Found> = front.routes.iter().filter(|f| !picked.iter().any(|(_, p)| p.decisions == f.decisions)).collect();
    sort(&mut rest, &mut |a, b| at(a, 5).total_cmp(&at(b, 5)).then(at(a, 0).total_cmp(&at(b, 0))));
    let room = SHOWN.saturating_sub(picked.len());
    picked.extend(rest.into_iter().take(room).map(|f| (Vec::new(), f)));
    sort(&mut picked, &mut |a, b| at(a.1, 5).total_cmp(&at(b.1, 5)).then(at(a.1, 0).total_cmp(&at(b.1, 0))));
    picked.into_iter().map(|(names, f)| (names, f.decisions.clone())).collect()
}

/// Share of the draws in which each is the cheapest among those that are as clean as the first.
fn cheapest_in(on: &Instance, labels: &[(Vec<&'static str>, Label)]) -> Vec<f64> {
    let mut wins = vec![0_u32; labels.len()];
    let clean = labels.first().is_some_and(|(_, l)| !l.unsure);
    for draw in 0..on.draws {
        let best = labels
            .iter()
            .enumerate()
            .filter(|(_, (_, l))| l.unsure != clean)
            .filter_map(|(i, (_, l))| l.money.get(draw).map(|m| (i, *m)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(w) = best.and_then(|(i, _)| wins.get_mut(i)) {
            *w += 1;
        }
    }
    wins.into_iter().map(|w| f64::from(w) / (on.draws.max(1) as f64)).collect()
}

/// Nine of ten draws lie between, with the mean.
fn spread(values: &[f64]) -> Span {
    let mut sorted = values.to_vec();
    // Longer than the lists that `sorting` is for.
    sorted.sort_unstable_by(f64::total_cmp);
    let at = |share: f64| sorted.get((share * (sorted.len().max(1) - 1) as f64) as usize).copied().unwrap_or(0.0);
    Span { low: at(0.05), middle: values.iter().sum::<f64>() / values.len().max(1) as f64, high: at(0.95) }
}

fn stands(built: &Built, label: &Label) -> Vec<Stand> {
    built
        .needs
        .iter()
        .zip(&built.instance.needs)
        .zip(&label.values)
        .filter(|((_, n), _)| n.required)
        .map(|((about, need), values)| {
            let met = values.iter().filter(|v| need.met(**v)).count() as f64 / values.len().max(1) as f64;
            Stand { problem: about.problem.problem, value: spread(values), unit: about.problem.quantity.facts().unit, met }
        })
        .collect()
}

fn report(wine: &Wine, built: &Built, label: Label, best_at: Vec<&'static str>, cheapest_in: f64, bottling: Option<Day>, short: bool) -> Route {
    let on = &built.instance;
    let mut steps: Vec<Step> = Vec::new();
    let mut split = [0.0; 3];
    let (mut energy, mut water, mut unknown_means) = (0.0, 0.0, 0);
    let litres = wine.litres().and_then(Result::ok).unwrap_or(scales::LOT_LITRES);
    let worth = wine.value().and_then(Result::ok).unwrap_or(scales::VALUE_PER_HL);
    let hour = wine.labour().and_then(Result::ok).unwrap_or(scales::LABOUR_PER_HOUR);
    let test = |kind: StepKind, name: String, begins: f64, why: &'static str| Step {
        kind,
        key: "",
        name,
        begins,
        days: if kind == StepKind::Trial { super::TRIAL_DAYS } else { TEST_DAYS },
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
    let guards = |at: usize| label.done.iter().filter(|d| d.decided).any(|d| on.acts.get(d.act).is_some_and(|a| a.guard == Some(at)));
    let asked = built.needs.iter().zip(&on.needs).enumerate().filter(|(at, (about, need))| about.is_unmeasured() && (need.required || guards(*at)));
    // The test that the journey asks for, where there are several.
    let unmeasured: Vec<&str> = asked.map(|(_, (about, _))| reading(wine, about.problem.quantity).label()).collect();
    if !unmeasured.is_empty() {
        let measure = test(
            StepKind::Test,
            format!("Measure: {}", show::listed(&unmeasured)),
            now,
            "Not measured, or measured before the last change: typical values stand in.",
        );
        steps.push(Step { branches: branches(wine, built, &label), ..measure });
        now += TEST_DAYS;
    }
    // The same route once more, step by step, for the state after each.
    let mut state = on.start();
    let mut voided: Vec<&'static str> = Vec::new();
    let mut retested = false;
    let ends: Vec<f64> = label.done.iter().skip(1).map(|d| d.begins).chain([label.days]).collect();
    for (d, end) in label.done.iter().zip(ends) {
        let (Some(t), Some(act)) = (built.acts.get(d.act), on.acts.get(d.act)) else { continue };
        let phase = super::instance::place(wine, t.key).map_or(Phase::Fine, |p| p.0);
        if phase >= Phase::Protect && !retested {
            steps.push(retest(&test, &voided, now));
            now += TEST_DAYS;
            retested = true;
        }
        // The test that only this act asks for stands at the beginning, with its days.
        let test_days = if d.decided { act.test_days } else { 0.0 };
        let trial_days = d.trial - test_days;
        if trial_days > 0.0 {
            let trial =
                test(StepKind::Trial, format!("Bench trial: {}", t.name), now, "The dose is read from a trial of this wine; begin with the least rung.");
            let branches = vec!["If no rung reaches its aim: give no more than the ladder’s last; type in the readings and choose a route anew.".to_string()];
            steps.push(Step { branches, ..trial });
            now += trial_days;
        }
        now += d.waits;
        let before = stands(built, &state);
        on.repeat(&mut state, d.act, d.decided);
        let after = stands(built, &state);
        let done = state.done.last().copied().unwrap_or(*d);
        for q in STABILITIES.iter().filter(|s| t.voids.contains(&s.quantity)).map(|s| s.name) {
            if !voided.contains(&q) {
                voided.push(q);
            }
        }
        let dose = (d.dose[0] + d.dose[1]) / 2.0;
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
        let money = done.share * (mean(&act.fixed) + mean(&act.per_dose) * dose);
        let lost = done.share * t.loss_percent.middle * worth / 100.0;
        let labour = done.share * t.labour_hours.middle * hour / (litres / 100.0);
        for (s, x) in split.iter_mut().zip([(money - lost - labour).max(0.0), lost, labour]) {
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
            kind: if d.decided { StepKind::Act } else { StepKind::PutIn },
            key: t.key,
            name: t.name.to_string(),
            begins: now,
            days,
            date: None,
            dose: t.dose.filter(|_| d.share > 0.0).map(|_| d.dose),
            unit: t.dose.map_or("", |x| x.basis.label()),
            share: done.share,
            money,
            labour_hours: t.labour_hours.middle,
            kit: t.kit.iter().map(|k| k.label()).collect(),
            order: order(wine, t, begin_of(bottling, label.days + on.test_days), now),
            branches: Vec::new(),
            why: why(t.key, phase, d.decided, wine),
            changes: after != before,
            after,
        });
        now += days;
    }
    if !retested {
        steps.push(retest(&test, &voided, now));
        now += TEST_DAYS;
    }
    let begin = begin_of(bottling, now);
    for s in &mut steps {
        s.date = begin.map(|b| b.plus(libm::floor(s.begins) as i64).show());
    }
    let used: Vec<&'static Treatment> = label.done.iter().filter_map(|d| built.acts.get(d.act).copied()).collect();
    let decided: Vec<&str> = label.done.iter().filter(|d| d.decided).filter_map(|d| built.acts.get(d.act)).map(|t| t.key).collect();
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
    let confirm = names(&|t| built.acts.iter().position(|a| a.key == t.key).and_then(|i| on.acts.get(i)).is_some_and(|a| a.unsure));
    let oxygen = used.iter().flat_map(|t| t.effects).filter(|e| e.on == Quantity::Oxygen).filter_map(|e| e.adds).map(|a| a.middle).sum();
    Route {
        key: if decided.is_empty() { "wait".into() } else { decided.join("+") },
        best_at,
        money: spread(&label.money),
        split,
        days: now,
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
        probability: on.probability(&label),
        cheapest_in,
        rules: rules(&used),
        begin_by: begin.map(Day::show),
        short: short || on.probability(&label) < TARGET - JUST_BELOW,
        steps,
    }
}

/// The day on which a route of so many days begins at the latest.
fn begin_of(bottling: Option<Day>, days: f64) -> Option<Day> {
    bottling.map(|b| b.plus(-(libm::ceil(days) as i64)))
}

/// What must be ordered for a treatment, and until when.
fn order(wine: &Wine, t: &Treatment, begin: Option<Day>, now: f64) -> Option<String> {
    let lead = super::instance::lead_days(wine, t);
    if lead <= 0.0 {
        return None;
    }
    let kit: Vec<String> = t.kit.iter().filter(|k| wine.kit_lead(**k).is_some()).map(|k| show::inside(k.label())).collect();
    let when = match begin {
        Some(day) => format!("by {}", day.plus(libm::floor(now - lead) as i64).show()),
        None => format!("{} before", show::days(lead, lead)),
    };
    Some(format!("Order {when}: {}.", kit.join(if t.any_kit { " or " } else { ", " })))
}

/// What the first tests decide: which acts fall away where a need turns out to be met, and from where the route must be chosen
/// anew.
fn branches(wine: &Wine, built: &Built, label: &Label) -> Vec<String> {
    let on = &built.instance;
    let mut found = Vec::new();
    for (at, (about, need)) in built.needs.iter().zip(&on.needs).enumerate().filter(|(_, (about, need))| about.is_unmeasured() && need.required) {
        let serves = |d: &&super::model::Done, only: bool| {
            on.acts.get(d.act).is_some_and(|a| {
                let mut served = a.effects.iter().filter(|e| e.removes && on.needs.get(e.need).is_some_and(|n| n.required)).map(|e| e.need);
                if only { served.all(|n| n == at) } else { served.any(|n| n == at) }
            })
        };
        let decided = || label.done.iter().filter(|d| d.decided && serves(d, false));
        let falls: Vec<&str> = decided().filter(|d| serves(d, true)).filter_map(|d| built.acts.get(d.act)).map(|t| t.name).collect();
        let read = reading(wine, about.problem.quantity);
        let name = read.label();
        let (most, unit) = (spread(&need.start).high, about.problem.quantity.facts().unit);
        if !falls.is_empty() {
            found.push(format!("{name} within its limit: leave out {}.", show::listed(&falls)));
        }
        if decided().next().is_some() && most > need.ceiling && read == about.problem.quantity {
            found.push(format!("{name} above {} {unit}: choose a route anew.", show::plain(most)));
        }
    }
    found
}

fn retest(test: &dyn Fn(StepKind, String, f64, &'static str) -> Step, voided: &[&'static str], now: f64) -> Step {
    let what = if voided.is_empty() { "what is to be proved".to_string() } else { show::listed(voided) };
    test(
        StepKind::Retest,
        format!("Measure again: {what}; and free SO₂, then correct it"),
        now,
        "Each act voids earlier readings; a model or a bench trial never passes a wine.",
    )
}

fn why(key: &str, phase: Phase, decided: bool, wine: &Wine) -> &'static str {
    if decided {
        let fits =
            |p: &&PhaseFacts| p.phase == phase && p.treatments.contains(&key) && (p.colours.is_empty() || wine.colour.is_some_and(|c| p.colours.contains(&c)));
        return PHASES.rows().iter().find(fits).map_or("", |p| p.why.text);
    }
    LINKS.rows().iter().find(|l| matches!(l.kind, LinkKind::Insert | LinkKind::Feed) && l.acts.contains(&key)).map_or("", |l| l.why.text)
}

/// Rules on order that concern two acts of the route, or one alone.
fn rules(used: &[&'static Treatment]) -> Vec<(Severity, &'static str)> {
    let mut found: Vec<(Severity, &'static str)> = Vec::new();
    for rule in ORDER.rows() {
        let mut met: Vec<&str> = Vec::new();
        for t in used.iter().filter(|t| rule.treatments.contains(&t.key)) {
            if !met.contains(&t.material) {
                met.push(t.material);
            }
        }
        if met.len() >= rule.treatments.len().min(2) && !found.iter().any(|f| f.1 == rule.rule.text) {
            found.push((rule.severity, rule.rule.text));
        }
    }
    sort(&mut found, &mut |a, b| a.0.cmp(&b.0));
    found
}

/// What is to be known before any treatment, by the problems named; said once each.
fn first(wine: &Wine) -> Vec<&'static str> {
    let mut all: Vec<&'static str> = Vec::new();
    let facts = wine.problems.iter().filter_map(|p| PROBLEMS.rows().iter().find(|f| f.problem == *p));
    for text in facts.flat_map(|f| f.first).map(|f| f.text) {
        if !all.contains(&text) {
            all.push(text);
        }
    }
    all
}

/// A need that was measured below its floor: nothing more may be taken out for it.
fn too_little(wine: &Wine, built: &Built) -> Option<String> {
    let below = |n: &&About| {
        let floor = n.problem.band(wine).and_then(|b| b.floor)?;
        let Some(Ok(value)) = wine.analysis(n.problem.quantity) else { return None };
        let here = wine.problems.contains(&n.problem.problem) && n.by == KnownBy::Measured && value < floor;
        here.then(|| {
            format!(
                "{} was measured at {}, below the {} it should keep: take nothing more out of it.",
                n.problem.quantity.label(),
                show::plain(value),
                show::plain(floor)
            )
        })
    };
    built.needs.iter().find_map(|n| below(&n))
}

fn no_cure_words(built: &Built) -> Option<String> {
    let facts = built.no_cure.first()?;
    Some(format!("Nothing cures this: {}. {}", show::inside(facts.problem.label()), facts.no_cure.first().map_or("", |f| f.text)))
}

fn answer(all: &Routes, built: &Built, wine: &Wine, today: Option<Day>, days_left: Option<i64>) -> String {
    let mut words = Vec::new();
    words.extend(no_cure_words(built));
    let Some(first) = all.routes.first() else {
        if let Some(little) = too_little(wine, built) {
            words.push(little);
            return words.join(" ");
        }
        words.push("No route is known that fits this wine, its markets, its claims and its day.".to_string());
        if days_left.is_some_and(|d| d < 0) {
            words.push("The bottling day has passed: write a new one.".to_string());
        } else if all.relax.is_empty() && wine.problems.len() > 1 {
            words.push("Name fewer problems at a time, the worst first.".to_string());
        }
        return words.join(" ");
    };
    if all.found == 0 {
        if days_left.is_some_and(|d| d < 0) {
            words.push("The bottling day has passed: write a new one.".to_string());
        }
        let day = if days_left.is_some() { " by the bottling day" } else { "" };
        words.push(format!(
            "No route reaches all needs in {} of 100 draws{day}. The nearest meets them in {} of 100. Below is what could give way.",
            show::fixed(TARGET * 100.0, 0),
            show::fixed(first.probability * 100.0, 0)
        ));
        return words.join(" ");
    }
    if first.key == "wait" {
        words.push("What was measured lies inside its limits: no treatment is called for. Wait, and test again before bottling.".to_string());
        return words.join(" ");
    }
    let decided: Vec<&str> = first.steps.iter().filter(|s| s.kind == StepKind::Act).map(|s| s.name.as_str()).collect();
    let tested = first.steps.iter().any(|s| s.kind == StepKind::Test);
    words.push(format!(
        "{}{} {}: about {} {} per hL and {} days, all needs met in {} of 100 draws.",
        if tested { "Measure first. Then " } else { "" },
        if tested { "the cheapest way is" } else { "The cheapest way is" },
        decided.iter().map(|n| show::inside(n)).collect::<Vec<_>>().join(", then "),
        show::plain(first.money.middle),
        wine.money(),
        show::fixed(first.days, 0),
        show::fixed(first.probability * 100.0, 0)
    ));
    if !first.confirm.is_empty() {
        words.push(format!("Confirm the law first: {}.", first.confirm.join(", ")));
    }
    match (today, days_left) {
        (_, Some(left)) if first.days > left as f64 => words.push("It is too late for the bottling day.".to_string()),
        (Some(_), Some(_)) => words.extend(first.begin_by.as_ref().map(|d| format!("Begin by {d}."))),
        _ => {}
    }
    if crate::law::body::of_wine(wine).is_empty() {
        words.push(crate::advice::NO_MARKET.trim_start().to_string());
    }
    if all.routes.len() > 1 {
        let unsure = first.confirm.is_empty() && all.routes.iter().skip(1).all(|r| !r.confirm.is_empty());
        let others = if unsure { "The others below need the law confirmed first." } else { "The others below are better at something else." };
        words.push(others.to_string());
    }
    words.join(" ")
}
