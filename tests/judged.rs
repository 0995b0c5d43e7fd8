//! The answers against the full judge, wine by wine: what it refuses stands in no list, trial,
//! route or order; a worse reading makes no verdict better; what nothing reads changes nothing.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod chance;
mod drawn;

use drawn::plausible::{PLAUSIBLE, plausible};
use drawn::{today, wines};
use std::collections::BTreeMap;
use stillbright::advice::advise;
use stillbright::answer::AnswerKey;
use stillbright::dossier::Dossier;
use stillbright::knowledge::*;
use stillbright::obligations::{Obligation, obligations};
use stillbright::route::{Route, plan::plan, routes};
use stillbright::rules;
use stillbright::stability::{self, Status};
use stillbright::state::voids;
use stillbright::treatment::suit::{reasons, reasons_for};
use stillbright::trial;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::order::work_order;
use stillbright::work_order::ready::{Shown, ready};

/// Wines of cheap checks.
const MANY: usize = 2000;

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn known(key: &str) -> &'static Treatment {
    treatment(key).unwrap()
}

/// So many of these, all of them where tests are tried longer (`make long`).
fn some_of(all: usize, here: u32) -> impl Iterator<Item = usize> {
    let tried = (chance::tries(here).cases as usize).min(all);
    // Spread over all of them.
    (0..tried).map(move |i| i * all / tried)
}

/// Drawn wines and plausible ones with logs, of each so many.
fn of_each(here: u32) -> impl Iterator<Item = Wine> {
    let drawn = some_of(wines::DRAWN, here).map(|n| wines::drawn(n + 1));
    drawn.chain(some_of(PLAUSIBLE, here).map(plausible))
}

/// Faults by their kind, each with how often and the smallest wine that has it.
#[derive(Default)]
struct Faults(BTreeMap<String, (usize, usize, String)>);

impl Faults {
    fn add(&mut self, kind: impl Into<String>, wine: &Wine, more: impl Into<String>) {
        let told = wine.analyses.len() + 3 * wine.done.len() + 2 * wine.problems.len();
        let seen = self
            .0
            .entry(kind.into())
            .or_insert((0, usize::MAX, String::new()));
        seen.0 += 1;
        if told < seen.1 {
            (seen.1, seen.2) = (told, format!("{} {}", wine.name, more.into()));
        }
    }

    /// Fails where there is any.
    fn none(&self) {
        let all: Vec<String> = self
            .0
            .iter()
            .map(|(k, (n, _, w))| format!("{n} × {k}: {w}"))
            .collect();
        assert!(all.is_empty(), "{} kinds:\n{}", all.len(), all.join("\n"));
    }
}

// What is refused.

/// A list holds nothing that the judge refuses for its need, and all that acts on the need and is
/// not in it is refused, with the reason.
#[test]
fn nothing_that_is_refused_stands_in_a_list() {
    let mut faults = Faults::default();
    let mut seen = 0;
    for number in some_of(MANY, 500) {
        let wine = wines::drawn(number);
        let dossier = Dossier::of(&wine);
        for p in advise(&dossier, today()).problems {
            for r in &p.ranked {
                seen += 1;
                let t = known(r.key);
                let against = rules::against(&dossier, t, Some(p.problem));
                if let Some(ruling) = against.first() {
                    faults.add(format!("list: {}", ruling.rule), &wine, r.key);
                }
            }
            for left in &p.left_out {
                if reasons_for(&dossier, known(left.key), p.problem).is_empty() {
                    faults.add("left out and not refused", &wine, left.key);
                }
            }
        }
    }
    assert!(seen > 1000, "{seen}");
    faults.none();
}

/// A trial gives no dose of what the judge refuses, and offers nothing to be tried with it that is
/// refused.
#[test]
fn nothing_that_is_refused_is_tried() {
    let mut faults = Faults::default();
    let (mut refused, mut beside) = (0, 0);
    for number in some_of(MANY, 250) {
        let wine = wines::drawn(number);
        let dossier = Dossier::of(&wine);
        for t in TREATMENTS
            .rows()
            .iter()
            .filter(|t| trial::bench_dose(&dossier, t).is_some())
        {
            for p in trial::order::partners(&dossier, t) {
                beside += 1;
                if let Some(r) = reasons(&dossier, p).first() {
                    faults.add(
                        format!("partner: {}", r.ruling.rule),
                        &wine,
                        format!("{} with {}", t.key, p.key),
                    );
                }
            }
            if !rules::is_out(&dossier, t, None) {
                continue;
            }
            refused += 1;
            let mut tried = wine.clone();
            tried.trials = vec![Trial {
                treatment: t.key.into(),
                not_trialled: true,
                ..Trial::default()
            }];
            if trial::dose_for(&Dossier::of(&tried), t).is_some() {
                faults.add("dose of what is refused", &wine, t.key);
            }
        }
    }
    assert!(refused > 1000 && beside > 100, "{refused} {beside}");
    faults.none();
}

/// The order weighs nothing that the judge refuses, whatever the user wrote of its dose.
#[test]
fn nothing_that_is_refused_is_weighed() {
    let mut faults = Faults::default();
    let mut weighed = 0;
    for number in some_of(MANY, 500) {
        let wine = wines::drawn(number);
        // Some of the treatments, another few for each wine, all with a dose.
        let dosed = TREATMENTS.rows().iter().filter(|t| t.dose.is_some());
        for t in dosed.skip(number % 7).step_by(7) {
            let mut with = wine.clone();
            with.plan = vec![PlanStep {
                treatment: t.key.into(),
                dose: AsTyped(format!("{}", t.dose.unwrap().range.low.max(0.01))),
                ..PlanStep::default()
            }];
            with.trials = vec![Trial {
                treatment: t.key.into(),
                not_trialled: true,
                ..Trial::default()
            }];
            let dossier = Dossier::of(&with);
            let out = reasons(&dossier, t);
            for step in work_order(&dossier).steps {
                weighed += usize::from(step.amount.is_some());
                if step.amount.is_some() && !out.is_empty() {
                    faults.add(format!("mass: {}", out[0].ruling.rule), &with, t.key);
                }
            }
        }
    }
    assert!(weighed > 500, "{weighed}");
    faults.none();
}

/// What becomes of the readings that an act voids.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Voided {
    /// They are taken out.
    Gone,
    /// They are made anew, inside their limits.
    Inside,
}

/// A reading well inside what a wine is held to; None where what was read may stay.
fn inside(q: Quantity) -> Option<&'static str> {
    use Quantity::*;
    Some(match q {
        FreeSo2 => "30",
        CloggingIndex => "8",
        Turbidity => "0.5",
        HeatRise | HeatRiseMild | HeatRiseHard => "0.2",
        ConductivityDrop => "1",
        SaturationTemperature => "8",
        Calcium => "30",
        Oxygen => "0.1",
        Copper => "0.05",
        Iron => "0.5",
        ColdHold | ColdColour | BrettCells | YeastCells | YeastPlate | BacteriaPlate
        | BrettPlate | AceticRise | PinkRise | BrownsInAir | Ullage => "0",
        _ => return None,
    })
}

/// Does an act in a wine as its user would: it is written into the log with its day and dose.
fn done(wine: &mut Wine, t: &'static Treatment, day: Day, then: Voided) {
    wine.done.push(Done {
        treatment: t.key.into(),
        day: day.show(),
        dose: t
            .dose
            .map_or(AsTyped::default(), |d| AsTyped(format!("{}", d.range.low))),
        by: "A. B.".into(),
        ..Done::default()
    });
    for q in voids(t).into_iter().filter(|q| q.facts().asked) {
        let old = wine.analyses.remove(&q);
        wine.measured_on.remove(&q);
        let anew = inside(q).map(typed).or(old);
        if let (Voided::Inside, Some(text)) = (then, anew) {
            wine.analyses.insert(q, text);
            wine.measured_on.insert(q, AsTyped(day.plus(1).show()));
            wine.stale.retain(|s| *s != q);
        }
    }
}

/// What the judge says against the acts of a route, one after the other, each after those before it
/// were done.
fn refused_on_the_way(wine: &Wine, route: &Route, then: Voided) -> Vec<(String, String)> {
    let mut wine = wine.clone();
    wine.plan = Vec::new();
    let begin = today().unwrap();
    let mut refused = Vec::new();
    for step in route.steps.iter().filter(|s| !s.key.is_empty()) {
        let t = known(step.key);
        let dossier = Dossier::of(&wine);
        for r in reasons(&dossier, t) {
            refused.push((
                r.ruling.rule.to_string(),
                format!("{} of {}", t.key, route.key),
            ));
        }
        done(&mut wine, t, begin.plus(step.begins.floor() as i64), then);
        // What is fermented is wine.
        if t.effects.iter().any(|e| e.process == Process::Fermentation) {
            wine.stage = Some(Stage::Dry);
        }
    }
    refused
}

/// The judge permits each act of a shown route after those before it were done, whether what they
/// void was measured anew or not.
#[test]
fn nothing_that_is_refused_stands_in_a_route() {
    let mut faults = Faults::default();
    let mut shown = 0;
    for wine in of_each(60) {
        let dossier = Dossier::of(&wine);
        for route in routes(&dossier, today()).routes {
            shown += 1;
            for then in [Voided::Gone, Voided::Inside] {
                for (rule, what) in refused_on_the_way(&wine, &route, then) {
                    faults.add(format!("route, {then:?}: {rule}"), &wine, what);
                }
            }
        }
    }
    println!("{shown} routes");
    assert!(shown > 100, "{shown}");
    faults.none();
}

/// A wine with a plan in which its user gave every dose and said that none was tried.
fn with_doses(wine: &Wine, mut plan: Vec<PlanStep>) -> Wine {
    let mut trials = Vec::new();
    for step in plan.iter_mut().filter(|s| !s.treatment.is_empty()) {
        if let Some(dose) = known(&step.treatment).dose {
            step.dose = AsTyped(format!("{}", dose.range.low));
            trials.push(Trial {
                treatment: step.treatment.clone(),
                not_trialled: true,
                ..Trial::default()
            });
        }
    }
    Wine {
        plan,
        trials,
        ..wine.clone()
    }
}

/// The order of a shown route weighs nothing that the judge refuses at its place, speaks against no
/// step of it and puts none in another place.
#[test]
fn the_order_has_nothing_against_a_route_that_was_taken() {
    let mut faults = Faults::default();
    let mut places: BTreeMap<&str, (usize, String)> = BTreeMap::new();
    let (mut steps, mut weighed) = (0, 0);
    for mut wine in of_each(60) {
        // Its steps have their days, by which what stands in the log is far enough away or not.
        if wine.bottling_day.is_empty() {
            wine.bottling_day = "2027-06-15".into();
        }
        for route in routes(&Dossier::of(&wine), today()).routes {
            let dossier = Dossier::of(&with_doses(&wine, plan(&route)));
            for step in work_order(&dossier).steps {
                let before = rules::Before::step(&dossier, step.number - 1);
                let against = rules::against_after(&dossier, step.treatment, &before);
                weighed += usize::from(step.amount.is_some());
                if let (Some(_), Some(r)) = (step.amount, against.first()) {
                    faults.add(format!("mass: {}", r.rule), &wine, step.treatment.key);
                }
                steps += 1;
                let at = format!("{} of {}", step.treatment.key, route.key);
                for r in &step.reasons {
                    faults.add(format!("order: {}", r.ruling.rule), &wine, &at);
                }
                for m in &step.place {
                    let seen = places.entry(m.rule).or_default();
                    seen.0 += 1;
                    seen.1 = format!("{} {at}: {}", wine.name, m.text);
                }
            }
        }
    }
    assert!(steps > 200 && weighed > 100, "{steps} {weighed}");
    faults.none();
    assert!(places.is_empty(), "{places:?}");
}

// What is worse is no better.

/// In which direction a reading gets worse, by every limit that stands on it; None where they do not
/// agree, or where there is none.
fn worse_is_more(q: Quantity) -> Option<(bool, f64)> {
    let of_stability = STABILITIES
        .rows()
        .iter()
        .filter(|s| s.quantity == q)
        .flat_map(|s| s.bands);
    let of_check = LAST
        .rows()
        .iter()
        .filter(|c| c.quantity == Some(q))
        .flat_map(|c| c.bands);
    let of_problem = PROBLEMS
        .rows()
        .iter()
        .filter(|p| p.quantity == q)
        .flat_map(|p| p.bands);
    // Whether it is too clear already is a question of must.
    let of_problem = of_problem.filter(|b| !b.stages.contains(&Stage::Juice));
    let bands: Vec<&NeedBand> = of_stability.chain(of_check).chain(of_problem).collect();
    let most = bands.iter().filter_map(|b| b.ceiling).reduce(f64::max);
    let least = bands.iter().filter_map(|b| b.floor).reduce(f64::min);
    match (most, least) {
        (Some(most), None) => Some((true, most)),
        (None, Some(least)) => Some((false, least)),
        _ => None,
    }
}

/// Readings from the best to the worst.
fn ladder(q: Quantity) -> Vec<String> {
    if q.is_yes_no() {
        return vec!["no".into(), "yes".into()];
    }
    let Some((more, limit)) = worse_is_more(q) else {
        return Vec::new();
    };
    let facts = q.facts();
    let limit = if limit > 0.0 { limit } else { 1.0 };
    let mut all: Vec<f64> = [0.0, 0.2, 0.6, 0.85, 0.97, 1.0, 1.05, 1.3, 2.0, 6.0]
        .iter()
        .map(|x| (x * limit).clamp(facts.least, facts.most))
        .collect();
    if !more {
        all.reverse();
    }
    all.dedup();
    all.iter()
        .map(|v| format!("{}", (v * 1e4).round() / 1e4))
        .collect()
}

/// How bad a verdict is.
fn badness(status: Status) -> u8 {
    match status {
        Status::Stable => 0,
        Status::Doubtful | Status::Unknown | Status::NoVerdict => 1,
        Status::Unstable => 2,
    }
}

/// How bad the evidence is.
fn weight(shown: Shown) -> u8 {
    match shown {
        Shown::Inside | Shown::Waived => 0,
        Shown::Due => 1,
        Shown::Missing => 2,
        Shown::Against => 3,
    }
}

/// What a wine comes to, as far as a reading can make it better or worse.
struct Verdicts {
    status: u8,
    line: bool,
    released: bool,
    open: BTreeMap<String, u8>,
    /// Named problems for which something is called for.
    called: Vec<Problem>,
    owed: Vec<String>,
}

impl Verdicts {
    fn of(wine: &Wine, q: Quantity, day: Option<Day>) -> Verdicts {
        let dossier = Dossier::of(wine);
        let record = ready(&dossier, day);
        let mut open = BTreeMap::new();
        for e in &record.evidence {
            let slot = open.entry(format!("{} {}", e.key, e.name)).or_insert(0);
            *slot = weight(e.shown).max(*slot);
        }
        let fine = |k: &AnswerKey| *k == AnswerKey::NoTreatment;
        let advice = advise(&dossier, day).problems.into_iter();
        Verdicts {
            status: badness(stability::status_of(&dossier, q)),
            line: record.line,
            released: record.released,
            open,
            called: advice
                .filter(|p| !p.says.iter().any(fine))
                .map(|p| p.problem)
                .collect(),
            owed: obligations(&dossier, &dossier.to_do())
                .iter()
                .map(Obligation::key)
                .collect(),
        }
    }

    /// What got better, in words.
    fn better_than(&self, before: &Verdicts) -> Vec<String> {
        let mut all = Vec::new();
        if self.status < before.status {
            all.push("the stability".into());
        }
        if self.line && !before.line || self.released && !before.released {
            all.push("ready or released".into());
        }
        for (key, was) in &before.open {
            if self.open.get(key).copied().unwrap_or(0) < *was {
                all.push(format!("the proof of {key}"));
            }
        }
        for p in before.called.iter().filter(|p| !self.called.contains(p)) {
            all.push(format!("the need {}", p.key()));
        }
        for key in before.owed.iter().filter(|k| !self.owed.contains(k)) {
            all.push(format!("the obligation {key}"));
        }
        all
    }
}

/// No stability, proof, obligation or need gets better and no wine fitter where a reading gets worse.
#[test]
fn a_worse_reading_makes_no_verdict_better() {
    let read: Vec<Quantity> = Quantity::ALL
        .iter()
        .copied()
        .filter(|q| q.facts().asked && !ladder(*q).is_empty())
        .collect();
    assert!(read.len() > 15, "{read:?}");
    let mut faults = Faults::default();
    let mut worse = 0;
    let every = some_of(MANY, 120).map(|n| (n, wines::drawn(n)));
    for (number, wine) in every.chain(some_of(PLAUSIBLE, 80).map(|n| (n, plausible(n)))) {
        // Each wine with two of them, so that each comes up often.
        for q in [
            read[number % read.len()],
            read[(number / 3 + 7) % read.len()],
        ] {
            let mut wine = wine.clone();
            // As it would stand on the bottling day, measured the day before.
            let day = Day::read(&wine.bottling_day).or(today());
            wine.measured_on
                .insert(q, AsTyped(day.unwrap().plus(-1).show()));
            wine.stale.retain(|s| *s != q);
            let mut before: Option<(String, Verdicts)> = None;
            for reading in ladder(q) {
                wine.analyses.insert(q, typed(&reading));
                let now = Verdicts::of(&wine, q, day);
                if let Some((was, before)) = &before {
                    worse += 1;
                    for what in now.better_than(before) {
                        faults.add(
                            format!("{}: {what}", q.key()),
                            &wine,
                            format!("from {was} to {reading}"),
                        );
                    }
                }
                before = Some((reading, now));
            }
        }
    }
    assert!(worse > 2000, "{worse}");
    faults.none();
}

// What nothing reads.

/// Quantities that an equation reads, whatever the tables say.
const BY_EQUATION: [Quantity; 14] = {
    use Quantity::*;
    [
        Ph,
        Alcohol,
        TitratableAcidity,
        Potassium,
        Tartaric,
        Malic,
        Calcium,
        Sodium,
        Sugar,
        FreeSo2,
        TotalSo2,
        StorageTemperature,
        SaturationTemperature,
        VolatileAcidity,
    ]
};

/// Whether the tables read a quantity for this wine: a test, a check, a named problem, a rule, or a
/// bound of an act.
fn is_read(dossier: &Dossier, q: Quantity) -> bool {
    let kin_of = |s: &StabilityFacts| {
        s.quantity == q
            || s.group.is_some()
                && STABILITIES
                    .iter()
                    .any(|o| o.quantity == q && o.group == s.group)
    };
    let mut concerning = stability::concerning(dossier).into_iter();
    let checks = LAST.rows().iter().filter(|c| {
        c.bands.is_empty() || c.bands.iter().any(|b| holds_for(b.colours, dossier.colour))
    });
    let questions = || RULES.rows().iter().flat_map(|r| r.when).flat_map(|c| c.any);
    let shown = |of: Quantity| {
        of == q
            || PROBLEMS
                .iter()
                .any(|p| p.quantity == of && stillbright::state::reading(dossier, of) == q)
    };
    BY_EQUATION.contains(&q)
        || concerning.any(|c| kin_of(c.facts))
        || checks
            .clone()
            .any(|c| c.quantity == Some(q) || c.voided_with == Some(q))
        || PROBLEMS
            .iter()
            .any(|p| dossier.problems.contains(&p.problem) && shown(p.quantity))
        || questions().any(|x| {
            let compares = |a: Option<Above>| a.is_some_and(|a| a.on == q);
            x.over_limit == Some(q)
                || x.adds == Some(q)
                || x.shown.is_some_and(shown)
                || compares(x.above)
                || compares(x.at_most)
                || x.unread == Some(q)
        })
        || TREATMENTS
            .rows()
            .iter()
            .any(|t| t.bounds.iter().any(|b| b.on == q))
}

/// All that is answered of a wine, without its own entries.
fn answers(wine: &Wine, with_routes: bool) -> serde_json::Value {
    let dossier = Dossier::of(wine);
    let mut advice = serde_json::to_value(advise(&dossier, today())).unwrap();
    advice.as_object_mut().unwrap().remove("wine");
    let owed: Vec<String> = obligations(&dossier, &dossier.to_do())
        .iter()
        .map(Obligation::key)
        .collect();
    let record = ready(&dossier, today());
    let found = with_routes.then(|| serde_json::to_value(routes(&dossier, today())).unwrap());
    serde_json::json!([advice, owed, record, found])
}

/// Where two answers first differ.
fn differs(a: &serde_json::Value, b: &serde_json::Value, path: String) -> Option<String> {
    use serde_json::Value::*;
    match (a, b) {
        (Object(x), Object(y)) if x.len() == y.len() => x
            .iter()
            .find_map(|(k, v)| differs(v, y.get(k).unwrap_or(&Null), format!("{path}.{k}"))),
        (Array(x), Array(y)) if x.len() == y.len() => x
            .iter()
            .zip(y)
            .enumerate()
            .find_map(|(i, (v, w))| differs(v, w, format!("{path}.{i}"))),
        _ if a == b => None,
        _ => Some(format!("{path}: {a:.200} / {b:.200}")),
    }
}

/// A name, a note, the price of an act that the judge refuses, and a reading that nothing reads in
/// such a wine change no list, route, obligation or proof.
#[test]
fn what_no_row_reads_changes_nothing() {
    let mut faults = Faults::default();
    let (mut unread, mut priced) = (0, 0);
    let cheap = some_of(MANY, 200).map(|n| (false, wines::drawn(n)));
    for (with_routes, wine) in cheap.chain(of_each(20).map(|w| (true, w))) {
        let before = answers(&wine, with_routes);
        let dossier = Dossier::of(&wine);
        let mut now = wine.clone();
        now.name = "Another name".into();
        now.note = "For a client in the north, who asked for it on Tuesday.".into();
        for check in &mut now.checks {
            if check.key.is_empty() {
                check.by = "C. D.".into();
            }
        }
        // What a route could have with other markets, claims or equipment is priced for that.
        let out = |t: &&Treatment| {
            let fixed = [OfAct::Licensed, OfAct::StageNotIts, OfAct::StyleExcluded];
            let against = rules::against(&dossier, t, None);
            let mut asks = against.iter().filter_map(rules::Ruling::asks);
            asks.any(|asked| fixed.contains(&asked))
        };
        let priced_acts = TREATMENTS.rows().iter().filter(|t| t.price.is_some());
        for t in priced_acts.filter(out) {
            priced += usize::from(now.prices.insert(t.key.into(), typed("3.21")).is_none());
        }
        // Each quantity that nothing reads, by a figure that would alarm.
        for q in Quantity::ALL.iter().copied().filter(|q| q.facts().asked) {
            if !is_read(&dossier, q) {
                unread += 1;
                let text = if q.is_yes_no() {
                    "yes".into()
                } else {
                    format!("{}", q.facts().most / 2.0)
                };
                now.analyses.insert(q, AsTyped(text));
                now.measured_on.insert(q, typed(wines::TODAY));
            }
        }
        if let Some(at) = differs(&before, &answers(&now, with_routes), String::new()) {
            faults.add("changes", &wine, at);
        }
    }
    println!("{unread} readings, {priced} prices");
    assert!(unread > 100 && priced > 1000, "{unread} {priced}");
    faults.none();
}

/// A wine of which only colour and stage are told, with one need, gets a list, or an answer that says
/// why there is none.
#[test]
fn colour_stage_and_one_need_are_enough_for_a_list() {
    use AnswerKey::*;
    let honest = [
        InBottle,
        NotCovered,
        NoTreatment,
        NoBarrier,
        WaitAndRack,
        Prevent,
        Declassify,
        NothingCures,
    ];
    let mut faults = Faults::default();
    let mut lists = 0;
    for colour in Colour::ALL {
        for stage in Stage::ALL {
            for need in Problem::ALL {
                let wine = Wine {
                    name: format!("{} {} {}", colour.key(), stage.key(), need.key()),
                    colour: Some(*colour),
                    stage: Some(*stage),
                    problems: vec![*need],
                    ..Wine::default()
                };
                let advice = advise(&Dossier::of(&wine), today());
                let p = advice.problems.first().unwrap();
                let said = p.says.iter().any(|k| honest.contains(k)) && !p.answer.is_empty();
                lists += usize::from(!p.ranked.is_empty());
                if p.ranked.is_empty() && !said {
                    faults.add(
                        format!("{}, {}", need.key(), stage.key()),
                        &wine,
                        format!("{:?} {}", p.says, p.answer),
                    );
                }
            }
        }
    }
    assert!(lists > 200, "{lists}");
    faults.none();
}
