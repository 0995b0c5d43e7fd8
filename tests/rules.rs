//! Every rule has a pair of wines, in `tests/rules/examples.toml`: the smallest one on which it is
//! seen, and the same with one fact changed, on which it is not. A rule whose pair reads the same
//! without it is of no use, or its example shows something else.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

use serde::Deserialize;
use std::collections::BTreeSet;
use stillbright::advice::{ProblemAdvice, advise};
use stillbright::book::read_file;
use stillbright::case::Field;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{
    Effect, PROBLEMS, ProblemFacts, Question, RULES, Rule, SOURCES, TREATMENTS, Treatment,
};
use stillbright::route::instance::{Asked, build_only};
use stillbright::route::model::Done;
use stillbright::route::routes;
use stillbright::rules::order::{apart, asking, waits};
use stillbright::rules::{Before, Fact, Kind, Ruling, Truth, after, against_after, by_cause};
use stillbright::treatment::ranking::{Ranked, unsure};
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::dosing::{Because, dose_for};
use stillbright::work_order::sequence::{Fault, Misplaced, goes_first, marks};

/// What a user sees of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Outcome {
    /// The list of the need leaves the act out.
    Absent,
    /// The list shows a caution beside the act.
    Caution,
    /// The list has the act before the others of its class, or opens it, with the rule beside it.
    First,
    /// The work order gives no mass of it.
    NoMass,
    /// A plan marks the act where it stands after what the wine, or the plan, has before it.
    NotAfter,
    /// The list shows the act with what must be measured before it.
    Waits,
    /// The work order gives no mass of it until a test has shown what it must.
    NotYet,
    /// A plan marks the act where it stands after what it goes before.
    GoesBefore,
    /// A plan marks what comes too soon after the act.
    TooSoon,
    /// A route of the acts of the plan has what must follow the act, or come before it, put in.
    PutIn,
}

/// A pair of wines for a rule.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Example {
    rule: String,
    act: String,
    need: String,
    /// As in a file that the page imports.
    wine: toml::Table,
    /// All that is seen of the rule on it.
    sees: BTreeSet<Outcome>,
    /// The facts that it rests on there.
    by: Vec<serde_json::Value>,
    /// The change after which nothing of it is seen; an empty text takes a field away.
    #[serde(default)]
    but: toml::Table,
    /// Another act, where the rule asks of the act alone: on the same wine it is not seen of it.
    but_act: Option<String>,
    /// The change that makes the fact not known.
    unknown: Option<toml::Table>,
    /// Why the act is left out, on either wine, though the rule is not there.
    #[serde(default)]
    also_out_by: BTreeSet<String>,
    /// The published case that the wine is taken from, as in `tests/cases/cases.json`.
    case: Option<String>,
    /// The source that the wine is taken from, by its key.
    source: Option<String>,
    /// A publication that the wine is taken from and that stands in no table.
    cited: Option<String>,
    /// What that source or publication says of such a wine, in our words.
    says: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Examples {
    example: Vec<Example>,
}

fn examples() -> Vec<Example> {
    let text = std::fs::read_to_string("tests/rules/examples.toml").unwrap();
    toml::from_str::<Examples>(&text)
        .unwrap_or_else(|e| panic!("{e}"))
        .example
}

fn rule(key: &str) -> &'static Rule {
    let found = RULES.rows().iter().find(|r| r.key == key);
    found.unwrap_or_else(|| panic!("no rule {key}"))
}

fn treatment(key: &str) -> &'static Treatment {
    let found = TREATMENTS.rows().iter().find(|t| t.key == key);
    found.unwrap_or_else(|| panic!("no act {key}"))
}

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

/// The fields of a wine with some of them changed.
fn changed(wine: &toml::Table, by: &toml::Table) -> toml::Table {
    let mut all = wine.clone();
    for (field, value) in by {
        if value.as_str() == Some("") {
            let _taken = all.remove(field);
        } else {
            let _old = all.insert(field.clone(), value.clone());
        }
    }
    all
}

/// The wine, read as the page reads a file.
fn read(fields: &toml::Table) -> Wine {
    let file = serde_json::json!({ "app": "stillbright", "schema": 1, "wines": [fields] });
    let mut wines = read_file(&file.to_string()).unwrap_or_else(|e| panic!("{e}: {fields}"));
    wines.remove(0)
}

/// The table without a rule.
fn without(key: &str) -> &'static [Rule] {
    let rest: Vec<Rule> = RULES.iter().filter(|r| r.key != key).copied().collect();
    Box::leak(rest.into_boxed_slice())
}

/// The table with the verdict of one rule turned.
fn turned(key: &str, verdict: RuleVerdict) -> &'static [Rule] {
    let turn = |r: &Rule| {
        if r.key == key {
            Rule { verdict, ..*r }
        } else {
            *r
        }
    };
    Box::leak(
        RULES
            .iter()
            .map(turn)
            .collect::<Vec<_>>()
            .into_boxed_slice(),
    )
}

/// A ruling where a user meets it.
struct Says {
    outcome: Outcome,
    ruling: Ruling,
    /// What is written there.
    text: String,
}

/// All that is seen of an act on one wine under some rules.
struct Seen {
    /// What is seen, whatever the reason.
    outcomes: BTreeSet<Outcome>,
    /// The rulings that say so, in the list, the order and the plan.
    says: Vec<Says>,
    /// What leaves it out of the list since it does not fit such a wine: the rule, and the kind of
    /// reason.
    fits: Vec<(&'static str, String)>,
}

impl Seen {
    fn on(wine: &Wine, act: &str, need: Problem, rules: &'static [Rule]) -> Seen {
        let mut seen = Seen {
            outcomes: BTreeSet::new(),
            says: Vec::new(),
            fits: Vec::new(),
        };
        seen.list(wine, act, need, rules);
        seen.order(wine, act, rules);
        seen.plan(wine, act, rules);
        seen.soon(wine, act, rules);
        seen.route(wine, act, rules);
        seen
    }

    fn say(&mut self, outcome: Outcome, ruling: Ruling, text: &str) {
        let text = text.to_string();
        let _new = self.outcomes.insert(outcome);
        self.says.push(Says {
            outcome,
            ruling,
            text,
        });
    }

    fn list(&mut self, wine: &Wine, act: &str, need: Problem, rules: &'static [Rule]) {
        let advice = advise(&Dossier::of(wine).judged_by(rules), today());
        let of_need = |p: &&ProblemAdvice| p.problem == need;
        let found = advice.problems.iter().find(of_need);
        let p = found.unwrap_or_else(|| panic!("the wine does not name {need:?}"));
        if let Some(row) = p.ranked.iter().find(|r| r.key == act) {
            for ruling in &row.doubts {
                let outcome = match ruling.verdict {
                    RuleVerdict::UntilShown => Outcome::Waits,
                    _ => Outcome::Caution,
                };
                self.say(outcome, ruling.clone(), &ruling.text);
            }
            for ruling in &row.preferred {
                let alike = |r: &&Ranked| {
                    r.hire == row.hire
                        && r.never_enough == row.never_enough
                        && unsure(r) == unsure(row)
                };
                let mut before = p.ranked.iter().filter(alike).take_while(|r| r.key != act);
                let other = before.find(|r| r.preferred.is_empty()).map(|r| r.key);
                assert_eq!(
                    other, None,
                    "before {act}, which {} puts first",
                    ruling.rule
                );
                self.say(Outcome::First, ruling.clone(), &ruling.text);
            }
            return;
        }
        // What is listed for no need has its examples in the order alone.
        let Some(left_out) = p.left_out.iter().find(|l| l.key == act) else {
            return;
        };
        let _new = self.outcomes.insert(Outcome::Absent);
        for reason in &left_out.reasons {
            self.say(Outcome::Absent, reason.ruling.clone(), reason.words().1);
            if reason.because != Kind::Rule {
                let tag = serde_json::to_value(reason.because).unwrap();
                let tag = tag.as_str().unwrap().to_string();
                self.fits.push((reason.ruling.rule, tag));
            }
        }
    }

    /// The order of a plan with the act in it, its dose confirmed by the user.
    fn order(&mut self, wine: &Wine, act: &str, rules: &'static [Rule]) {
        let t = treatment(act);
        if t.dose.is_none() || matches!(t.access, Access::Licensed | Access::Trained) {
            return;
        }
        let confirmed = Wine {
            trials: vec![Trial {
                treatment: act.into(),
                not_trialled: true,
                ..Trial::default()
            }],
            ..wine.clone()
        };
        let dossier = Dossier::of(&confirmed).judged_by(rules);
        let before = Before::act(&dossier, act);
        if let Err(none) = dose_for(&dossier, t, &Field::Given(10.0), &before) {
            let (outcome, rulings) = if none.because == Because::NotShown {
                (Outcome::NotYet, waits(&dossier, t, &before))
            } else {
                (Outcome::NoMass, against_after(&dossier, t, &before))
            };
            let _new = self.outcomes.insert(outcome);
            for ruling in rulings {
                self.say(outcome, ruling, &none.text);
            }
        }
    }

    /// A plan of what the log, or the plan, has before the act, and then the act.
    fn plan(&mut self, wine: &Wine, act: &str, rules: &'static [Rule]) {
        let planned = wine.plan.iter().map(|s| &s.treatment);
        let logged = wine.done.iter().map(|d| &d.treatment);
        let earlier: Vec<&String> = logged.chain(planned.take_while(|k| *k != act)).collect();
        let step = |key: &str| PlanStep {
            treatment: key.into(),
            ..PlanStep::default()
        };
        let not_yet = Wine {
            done: Vec::new(),
            plan: earlier.iter().map(|k| step(k)).chain([step(act)]).collect(),
            ..wine.clone()
        };
        let dossier = Dossier::of(&not_yet).judged_by(rules);
        let (t, other) = (treatment(act), |mark: &Misplaced| treatment(&mark.other));
        for mark in marks(&dossier, earlier.len()) {
            match mark.fault {
                Fault::NotWith => {
                    let ruling = after(&dossier, t, other(&mark).key).unwrap();
                    self.say(Outcome::NotAfter, ruling, &mark.text);
                }
                Fault::GoesBefore => {
                    let ruling = goes_first(&dossier, t, other(&mark)).unwrap();
                    self.say(Outcome::GoesBefore, ruling, &mark.text);
                }
                Fault::TooSoon | Fault::NotTheDay => {}
            }
        }
    }

    /// What comes too soon after the act in the plan of the wine.
    fn soon(&mut self, wine: &Wine, act: &str, rules: &'static [Rule]) {
        let dossier = Dossier::of(wine).judged_by(rules);
        for (at, step) in wine.plan.iter().enumerate() {
            for mark in marks(&dossier, at) {
                if mark.fault == Fault::TooSoon && mark.other == act {
                    let apart = apart(&dossier, treatment(act), &step.treatment).unwrap();
                    self.say(Outcome::TooSoon, apart.ruling, &mark.text);
                }
            }
        }
    }

    /// What is put in for the act in a route of the acts of the plan.
    fn route(&mut self, wine: &Wine, act: &str, rules: &'static [Rule]) {
        let keys: Vec<&str> = wine.plan.iter().map(|s| s.treatment.as_str()).collect();
        if !keys.contains(&act) {
            return;
        }
        let dossier = Dossier::of(wine).judged_by(rules);
        let built = build_only(&dossier, None, 4, Asked::All, Some(&keys));
        let mut label = built.instance.start();
        for key in keys {
            let at = built.acts.iter().position(|t| t.key == key);
            // Not every plan is a route: what may not follow, or does nothing here, is none.
            let Some(next) = at.and_then(|at| built.instance.decide(&label, at)) else {
                return;
            };
            label = next;
        }
        let done = built.instance.close(&label).map_or(Vec::new(), |l| l.done);
        if done.is_empty() {
            return;
        }
        let key = |d: &Done| built.acts[d.act].key;
        let at = done
            .iter()
            .position(|d| d.decided && key(d) == act)
            .unwrap();
        for (verdict, near) in [
            (
                RuleVerdict::NeedsAfter,
                &done[at + 1..done.len().min(at + 2)],
            ),
            (RuleVerdict::NeedsBefore, &done[..at]),
        ] {
            for ruling in asking(&dossier, treatment(act), verdict) {
                let r = rule(ruling.rule);
                if near.iter().any(|d| !d.decided && r.acts.contains(&key(d))) {
                    self.say(Outcome::PutIn, ruling, r.why.text);
                }
            }
        }
    }

    /// What one rule says.
    fn of<'a>(&'a self, rule: &'a str) -> impl Iterator<Item = &'a Says> {
        self.says.iter().filter(move |s| s.ruling.rule == rule)
    }

    /// What is seen by one rule.
    fn by(&self, rule: &str) -> BTreeSet<Outcome> {
        self.of(rule).map(|s| s.outcome).collect()
    }

    /// Why the act does not fit such a wine, but for one rule.
    fn other_reasons(&self, rule: &str) -> BTreeSet<String> {
        let other = self.fits.iter().filter(|(by, _)| *by != rule);
        other.map(|(_, kind)| kind.clone()).collect()
    }

    /// What shuts the act out but for one rule, or marks its place: all that is seen but what advises,
    /// holds it for a test or puts others in; and nothing where it does not fit such a wine in
    /// the first place.
    fn shut(&self, rule: &str) -> BTreeSet<Outcome> {
        if !self.other_reasons(rule).is_empty() {
            return BTreeSet::new();
        }
        let mut all = self.outcomes.clone();
        all.retain(|o| {
            !matches!(
                o,
                Outcome::Caution
                    | Outcome::First
                    | Outcome::Waits
                    | Outcome::NotYet
                    | Outcome::PutIn
            )
        });
        all
    }

    /// The rulings in a few words, for a test that fails.
    fn words(&self) -> String {
        let all = self.says.iter();
        let words = all.map(|s| format!("{:?} by {}", s.outcome, s.ruling.rule));
        words.collect::<Vec<_>>().join(", ")
    }
}

/// Facts as they are written in a file.
fn written(facts: &[Fact]) -> Vec<serde_json::Value> {
    let all = facts.iter();
    all.map(|f| serde_json::to_value(f).unwrap()).collect()
}

fn ensure(holds: bool, says: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(says()) }
}

impl Example {
    fn need(&self) -> Problem {
        Problem::from_key(&self.need).unwrap_or_else(|| panic!("no need {}", self.need))
    }

    fn seen(&self, change: &toml::Table, rules: &'static [Rule]) -> Seen {
        let wine = read(&changed(&self.wine, change));
        Seen::on(&wine, &self.act, self.need(), rules)
    }

    /// Whether its rule advises, and shuts nothing out.
    fn advises(&self) -> bool {
        let verdict = rule(&self.rule).verdict;
        matches!(verdict, RuleVerdict::Caution | RuleVerdict::Preferred)
    }

    /// Without its rule an act that it opens has no evidence.
    fn opens(&self, seen: &Seen) -> bool {
        let preferred = rule(&self.rule).verdict == RuleVerdict::Preferred;
        preferred
            && seen
                .other_reasons(&self.rule)
                .iter()
                .all(|r| r == "no_evidence")
    }

    /// Whether the act stays in the list, so that it is seen there once the verdict shuts it out.
    fn stays_listed(&self) -> bool {
        !matches!(
            rule(&self.rule).verdict,
            RuleVerdict::Never | RuleVerdict::Hold
        )
    }

    /// On the wine itself all of `sees` is seen, by this rule and by these facts.
    fn shows(&self) -> Result<(), String> {
        let seen = self.seen(&toml::Table::new(), RULES.rows());
        let own = seen.by(&self.rule);
        ensure(own == self.sees, || format!("sees {own:?}"))?;
        let others = seen.other_reasons(&self.rule);
        ensure(others == self.also_out_by, || {
            format!("also left out by {others:?}")
        })?;
        for Says {
            outcome,
            ruling,
            text,
        } in seen.of(&self.rule)
        {
            let facts = written(&ruling.witness);
            // In a plan the act of the log is an earlier step.
            let moved = *outcome == Outcome::NotAfter && self.sees.len() > 1;
            ensure(moved || facts == self.by, || {
                format!("{outcome:?} by {facts:?}")
            })?;
            ensure(ruling.truth == Truth::Yes, || {
                format!("{outcome:?} is not known")
            })?;
            let reason = ruling.why().trim_end_matches('.');
            ensure(text.contains(reason) || text.contains(&ruling.text), || {
                format!("{outcome:?} without its reason: {text}")
            })?;
        }
        Ok(())
    }

    /// Nothing of the rule is seen on the changed wine, and nothing else takes its place.
    fn turns(&self) -> Result<(), String> {
        let other = Example {
            act: self.but_act.clone().unwrap_or_else(|| self.act.clone()),
            ..self.clone()
        };
        let seen = other.seen(&self.but, RULES.rows());
        let own = seen.by(&self.rule);
        ensure(own.is_empty() && seen.shut(&self.rule).is_empty(), || {
            format!("on the changed wine: {}", seen.words())
        })?;
        let others = seen.other_reasons(&self.rule);
        let fits = others.is_subset(&self.also_out_by) || self.opens(&seen);
        ensure(fits, || {
            format!("left out of the changed wine by {others:?}")
        })
    }

    /// With the rule off the act is back, or has its place. With its verdict turned to never, what left
    /// the act in the list shuts it out; turned to a caution, what shut it out lists it with one.
    fn is_needed(&self) -> Result<(), String> {
        let none = toml::Table::new();
        let off = self.seen(&none, without(&self.rule));
        ensure(
            off.by(&self.rule).is_empty() && off.shut(&self.rule).is_empty(),
            || format!("with the rule off: {}", off.words()),
        )?;
        let (other, expected) = if self.stays_listed() {
            (RuleVerdict::Never, Outcome::Absent)
        } else {
            (RuleVerdict::Caution, Outcome::Caution)
        };
        let in_list = self.stays_listed() || self.sees.contains(&Outcome::Absent);
        let alone = self.also_out_by.is_empty();
        let turned = self.seen(&none, turned(&self.rule, other));
        let shown = turned.by(&self.rule).contains(&expected);
        ensure(shown || !in_list || !alone, || {
            format!("turned to {other:?}: {}", turned.words())
        })
    }

    /// Where the fact is not known, what shuts out does so, by what is not known; what only doubts
    /// is silent.
    fn waits(&self) -> Result<(), String> {
        let Some(unknown) = &self.unknown else {
            return Ok(());
        };
        let seen = self.seen(unknown, RULES.rows());
        let expected = if self.advises() {
            BTreeSet::new()
        } else {
            self.sees.clone()
        };
        ensure(seen.by(&self.rule) == expected, || {
            format!("not known: {}", seen.words())
        })?;
        for says in seen.of(&self.rule) {
            let facts = written(&says.ruling.witness);
            let open = says.ruling.truth == Truth::NotKnown;
            ensure(open && facts.iter().all(|f| self.by.contains(f)), || {
                format!("{:?} by {facts:?}", says.ruling.truth)
            })?;
        }
        Ok(())
    }

    fn holds(&self) -> Result<(), String> {
        self.shows()?;
        self.turns()?;
        self.is_needed()?;
        self.waits()
    }
}

/// Whether the answer to a question may be not known.
fn may_be_unknown(q: &Question) -> bool {
    q.sign.is_some()
        || q.shown.is_some()
        || q.at_most.is_some()
        || q.over_limit.is_some()
        || matches!(
            q.act,
            Some(OfAct::OverBound | OfAct::AtEdge | OfAct::OperatorMissing)
        )
        || !q.colours.is_empty()
        || !q.stages.is_empty()
        || !q.malolactic.is_empty()
}

/// The kind of a fact, as it is written.
fn kind_of(fact: &serde_json::Value) -> &str {
    let named = fact.as_object().and_then(|f| f.keys().next());
    named.map_or_else(|| fact.as_str().unwrap(), String::as_str)
}

/// The kind of the fact by which an act does not fit a wine.
fn fits_by(asked: OfAct) -> Option<&'static str> {
    Some(match asked {
        OfAct::OverBound | OfAct::AtEdge | OfAct::GivenSince => return None,
        OfAct::Licensed => "access",
        OfAct::OperatorMissing | OfAct::KitMissing | OfAct::LotBelowMinimum => "kit",
        OfAct::LawForbids | OfAct::LawNotListed | OfAct::LawOtherUse | OfAct::CapBelowUseful => {
            "market"
        }
        OfAct::ClaimBroken => "claim",
        OfAct::SchemeForbids => "scheme",
        OfAct::StyleExcluded => "style",
        OfAct::InBottle | OfAct::StageNotIts => "stage",
        OfAct::NoEffect => "named",
        // The act alone makes it so, whatever the wine: it goes with what came earlier.
        OfAct::NotInLine => "earlier",
    })
}

/// Whether a rule only puts other acts into a route.
fn puts_in(r: &Rule) -> bool {
    matches!(
        r.verdict,
        RuleVerdict::NeedsAfter | RuleVerdict::NeedsBefore
    )
}

/// The kind of the fact that a question asks for.
fn asks(q: &Question) -> &'static str {
    if q.not && !q.done.is_empty() {
        "not_done"
    } else if !q.done.is_empty() || q.act == Some(OfAct::GivenSince) {
        "logged"
    } else if !q.beside.is_empty() {
        "earlier"
    } else if q.sign.is_some() {
        "sign"
    } else if q.cause.is_some() {
        "cause"
    } else if q.cause_open {
        "cause_open"
    } else if !q.named.is_empty() {
        "named"
    } else if let Some(fit) = q.act.and_then(fits_by) {
        fit
    } else if q.adds.is_some() {
        "adds"
    } else if !q.claims.is_empty() {
        "claim"
    } else if !q.colours.is_empty() {
        "colour"
    } else if !q.stages.is_empty() {
        "stage"
    } else if !q.malolactic.is_empty() {
        "malolactic"
    } else {
        "reading"
    }
}

/// Runs a check on every example and names all that fail.
fn each(check: impl Fn(&Example) -> Result<(), String>) {
    let failed: Vec<String> = examples()
        .iter()
        .filter_map(|e| check(e).err().map(|why| format!("{}: {why}", e.rule)))
        .collect();
    assert!(
        failed.is_empty(),
        "{} fail:\n{}",
        failed.len(),
        failed.join("\n")
    );
}

#[test]
fn every_rule_has_a_pair_and_every_pair_a_rule() {
    let all = examples();
    for r in RULES.iter() {
        let own: Vec<&Example> = all.iter().filter(|e| e.rule == r.key).collect();
        assert!(!own.is_empty(), "no example of {}", r.key);
        for q in r.when.iter().flat_map(|c| c.any) {
            let waits = !may_be_unknown(q) || own.iter().any(|e| e.unknown.is_some());
            assert!(waits, "no example of {} where the fact is not known", r.key);
            let rests = own
                .iter()
                .flat_map(|e| &e.by)
                .any(|f| kind_of(f) == asks(q));
            assert!(rests, "no example of {} rests on: {}", r.key, asks(q));
        }
    }
    let cases: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string("tests/cases/cases.json").unwrap()).unwrap();
    let is_case = |id: &str| {
        cases
            .as_array()
            .unwrap()
            .iter()
            .any(|c| c.get("id").unwrap() == id)
    };
    for e in &all {
        let r = rule(&e.rule);
        assert!(
            r.about.is_empty() || r.about.contains(&e.act.as_str()),
            "{} is not about {}",
            e.rule,
            e.act
        );
        assert!(
            r.needs.is_empty() || r.needs.contains(&e.need()),
            "{}",
            e.rule
        );
        assert!(
            e.case.as_deref().is_none_or(is_case),
            "{}: no case {:?}",
            e.rule,
            e.case
        );
        let is_source = |key: &str| SOURCES.iter().any(|s| s.key == key);
        let names_text = e.source.is_some() || e.cited.is_some();
        assert_eq!(
            e.says.is_some(),
            names_text,
            "{}: what the text says",
            e.rule
        );
        assert!(
            e.source.as_deref().is_none_or(is_source),
            "{}: no source {:?}",
            e.rule,
            e.source
        );
    }
}

#[test]
fn each_example_shows_its_rule() {
    each(Example::shows);
}

#[test]
fn the_changed_wine_does_not_show_it() {
    each(Example::turns);
}

/// A pair that only restates the condition of its row shows that the row works, and not that it is
/// right: so many wines are those of a published case, or of what a text says of when something
/// happens.
#[test]
fn many_pairs_come_from_a_text_and_not_from_the_row() {
    let all = examples();
    let cited = all.iter().filter(|e| e.case.is_some() || e.says.is_some());
    let cited = cited.count();
    println!("{cited} of {} pairs come from a cited text", all.len());
    assert!(cited >= 60, "{cited}");
}

/// Ablation. What else leaves the act out of the list on the same wine is printed.
#[test]
fn without_its_rule_the_act_is_back() {
    each(Example::is_needed);
    for e in examples().iter().filter(|e| !e.also_out_by.is_empty()) {
        println!(
            "{} says what the list says by {:?} too",
            e.rule, e.also_out_by
        );
    }
}

#[test]
fn a_fact_not_known_shuts_out_and_cautions_of_nothing() {
    each(Example::waits);
}

/// The example of a rule with another act that the rule is about, for a need that it may be listed
/// for.
fn for_act(e: &Example, act: &'static Treatment, need: &str) -> Example {
    let text = toml::to_string(&e.wine).unwrap();
    let text = text
        .replace(&format!("\"{}\"", e.act), &format!("\"{}\"", act.key))
        .replace(&format!("\"{}\"", e.need), &format!("\"{need}\""));
    Example {
        act: act.key.into(),
        need: need.into(),
        wine: toml::from_str(&text).unwrap(),
        ..e.clone()
    }
}

/// A rule is seen of every act that it is about, wherever the act is listed for a need. What is
/// left out of every list without the rule is printed.
#[test]
fn a_rule_is_seen_of_every_act_that_it_is_about() {
    let all = examples();
    let mut seldom = Vec::new();
    for r in RULES.iter().filter(|r| !puts_in(r)) {
        let e = all.iter().find(|e| e.rule == r.key).unwrap();
        for key in r.about {
            let act = treatment(key);
            let opens = r.verdict == RuleVerdict::Preferred;
            let acts_on = |p: &&ProblemFacts| {
                let mut effect = act.effects.iter().filter(|x| x.on == p.quantity);
                // What no test measures is never held back for a reading.
                let held = r.verdict != RuleVerdict::Hold || p.quantity.facts().asked;
                let named = r.needs.is_empty() || r.needs.contains(&p.problem);
                let acts = effect.any(Effect::works);
                held && named && (opens || acts)
            };
            let needs: Vec<Example> = PROBLEMS
                .iter()
                .filter(acts_on)
                .map(|p| for_act(e, act, p.problem.key()))
                .collect();
            let none = toml::Table::new();
            let seen = |e: &&Example| !e.seen(&none, RULES.rows()).by(&e.rule).is_empty();
            let shown: Vec<&Example> = needs.iter().filter(seen).collect();
            assert!(needs.is_empty() || !shown.is_empty(), "{} of {key}", r.key);
            // What the colour alone leaves out is back in a wine of another colour.
            let alone = |e: &Example, colour: &str| {
                let mut change = toml::Table::new();
                if !e.wine.contains_key("colour") {
                    let _new = change.insert("colour".into(), colour.into());
                }
                e.also_out_by.is_empty()
                    && !e.seen(&change, RULES.rows()).by(&e.rule).is_empty()
                    && e.seen(&change, without(r.key)).shut(r.key).is_empty()
            };
            let colours = ["", "white", "red"];
            if !shown.iter().any(|e| colours.iter().any(|c| alone(e, c))) {
                seldom.push(format!("{} of {key}", r.key));
            }
        }
    }
    println!(
        "Of these acts the rule alone decides nothing:\n{}",
        seldom.join("\n")
    );
}

/// All equipment, owned.
fn all_kit() -> Map<Kit, KitEntry> {
    let owned = |k: &Kit| {
        let entry = KitEntry {
            means: KitMeans::Owned,
            minimum_batch: AsTyped::default(),
            lead_days: AsTyped::default(),
        };
        (*k, entry)
    };
    Kit::ALL.iter().map(owned).collect()
}

/// What must follow an act, or come before it, is put in for every act that a rule names.
#[test]
fn what_a_route_needs_is_put_in_for_every_act() {
    let mut taken = 0;
    let all = examples();
    for r in RULES.iter().filter(|r| puts_in(r)) {
        let example: Vec<&Example> = all.iter().filter(|e| e.rule == r.key).take(1).collect();
        for key in r.about {
            let act = treatment(key);
            let acts_on = |p: &&ProblemFacts| {
                let effect = act.effects.iter().filter(|x| x.on == p.quantity);
                let mut takes = effect.filter_map(|x| x.taken());
                takes.any(|x| x.high > 0.0)
            };
            let needs = PROBLEMS.iter().filter(acts_on);
            let wines = |p: &'static ProblemFacts| {
                let colours = [Colour::White, Colour::Red];
                let stages = [Stage::Fermenting, Stage::Dry];
                let of = move |c| stages.into_iter().map(move |s| (c, s, p.problem));
                colours.into_iter().flat_map(of)
            };
            let is_put_in = |(colour, stage, problem): (Colour, Stage, Problem)| {
                let clear = (Quantity::Turbidity, AsTyped("0.2".into()));
                // What a row asks of the wine is so in that of its example.
                let mut own = example.iter().map(|e| read(&e.wine));
                let own = own
                    .next()
                    .filter(|_| !r.when.is_empty())
                    .unwrap_or_default();
                let mut problems = own.problems.clone();
                if !problems.contains(&problem) {
                    problems.push(problem);
                }
                // Sorbate is for a clear wine.
                let clear = [clear].into_iter().filter(|_| *key == "sorbate");
                let wine = Wine {
                    colour: Some(own.colour.unwrap_or(colour)),
                    stage: Some(own.stage.unwrap_or(stage)),
                    malolactic: Some(Malolactic::Done),
                    analyses: own.analyses.clone().into_iter().chain(clear).collect(),
                    kit: all_kit(),
                    problems,
                    plan: Vec::new(),
                    ..own
                };
                let built = build_only(&Dossier::of(&wine), None, 1, Asked::All, Some(&[*key]));
                let at = built.acts.iter().position(|t| t.key == *key)?;
                let act = &built.instance.acts[at];
                let asks = act.after.iter().chain(&act.before);
                let mut puts = asks.flat_map(|a| a.any.iter().copied());
                Some(puts.any(|i| r.acts.contains(&built.acts[i].key)))
            };
            // In the wines whose routes take the act, wherever what is put in can be used.
            let put_in: Vec<bool> = needs.flat_map(wines).filter_map(is_put_in).collect();
            let seen = put_in.is_empty() || put_in.contains(&true);
            assert!(seen, "{} of {key}", r.key);
            taken += usize::from(!put_in.is_empty());
        }
    }
    println!("{taken} acts are taken by a route");
    assert!(taken >= 40, "{taken}");
}

/// What a likely cause puts first, opens and closes is told where the cause is found, act by act; on
/// the changed wine it is not.
#[test]
fn a_likely_cause_tells_what_it_opens_and_closes() {
    let rests_on_cause = |e: &&Example| e.by.iter().any(|f| kind_of(f) == "cause");
    let mut told = 0;
    // What is put into a route is told there.
    let told_there = |e: &&Example| !puts_in(rule(&e.rule));
    for e in examples().iter().filter(rests_on_cause).filter(told_there) {
        let of = |change: &toml::Table| {
            let wine = read(&changed(&e.wine, change));
            let all = by_cause(&Dossier::of(&wine));
            all.into_iter().find(|r| r.rule == e.rule)
        };
        let says = of(&toml::Table::new()).unwrap_or_else(|| panic!("{} is not told", e.rule));
        assert!(says.acts.contains(&e.act.as_str()), "{}", e.rule);
        assert!(says.text.ends_with(rule(&e.rule).why.text), "{}", says.text);
        assert_eq!(of(&e.but), None, "{}", e.rule);
        told += 1;
    }
    assert!(told >= 25, "{told}");
}

/// Without any one of its fields the pair shows nothing.
#[test]
fn each_example_is_the_smallest() {
    each(|e| {
        let fields = e.wine.keys().filter(|f| *f != "problems");
        for field in fields {
            let mut less = e.clone();
            let _gone = less.wine.remove(field);
            ensure(less.holds().is_err(), || format!("{field} is not needed"))?;
        }
        Ok(())
    });
}

/// No route takes what its rule shuts out; without the rule some do.
#[test]
fn no_route_takes_what_a_rule_shuts_out() {
    let takes = |e: &Example, rules: &'static [Rule]| {
        let dossier = Dossier::of(&read(&e.wine)).judged_by(rules);
        let found = routes(&dossier, today()).routes;
        found.iter().any(|r| r.steps.iter().any(|s| s.key == e.act))
    };
    let mut back = 0;
    let shut = |e: &&Example| e.sees.contains(&Outcome::Absent);
    for e in examples().iter().filter(shut) {
        assert!(!takes(e, RULES.rows()), "{}: a route takes the act", e.rule);
        back += usize::from(takes(e, without(&e.rule)));
    }
    println!("{back} acts are back in a route");
    assert!(back >= 5, "{back}");
}
