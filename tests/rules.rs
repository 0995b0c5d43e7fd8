//! Every rule has a pair of wines, in `tests/rules/examples.toml`: the smallest one on which it is
//! seen, and the same with one fact changed, on which it is not. A rule whose pair reads the same
//! without it is of no use, or its example shows something else.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use serde::Deserialize;
use std::collections::BTreeSet;
use stillbright::advice::{ProblemAdvice, advise};
use stillbright::book::read_file;
use stillbright::case::Field;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{Question, RULES, Rule, SOURCES, TREATMENTS, Treatment};
use stillbright::route::routes;
use stillbright::rules::{Fact, Ruling, Truth, after, against};
use stillbright::treatment::suit::Reason;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::dosing::dose_for;
use stillbright::work_order::sequence::{Fault, marks};

/// What a user sees of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Outcome {
    /// The list of the need leaves the act out.
    Absent,
    /// The list shows a caution beside the act.
    Caution,
    /// The work order gives no mass of it.
    NoMass,
    /// A plan marks the act where it stands after what the wine, or the plan, has before it.
    NotAfter,
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
    but: toml::Table,
    /// The change that makes the fact not known.
    unknown: Option<toml::Table>,
    /// Why the act is left out, on either wine, though the rule is not there.
    #[serde(default)]
    also_out_by: BTreeSet<String>,
    /// The published case that the wine is taken from, as in `tests/cases/cases.json`.
    case: Option<String>,
    /// The source that the wine is taken from, by its key.
    source: Option<String>,
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

/// All that is seen of an act on one wine under some rules, whatever the reason.
struct Seen {
    outcomes: BTreeSet<Outcome>,
    /// The rulings that say so, in the list, the order and the plan.
    rulings: Vec<(Outcome, Ruling)>,
    /// What leaves it out of the list beside rules.
    other_reasons: BTreeSet<String>,
    /// What the order says in place of a mass, and the plan of its place.
    texts: Vec<(Outcome, String)>,
}

impl Seen {
    fn on(wine: &Wine, act: &str, need: Problem, rules: &'static [Rule]) -> Seen {
        let mut seen = Seen {
            outcomes: BTreeSet::new(),
            rulings: Vec::new(),
            other_reasons: BTreeSet::new(),
            texts: Vec::new(),
        };
        seen.list(wine, act, need, rules);
        seen.order(wine, act, rules);
        seen.plan(wine, act, rules);
        seen.outcomes.extend(seen.rulings.iter().map(|(o, _)| *o));
        seen
    }

    fn list(&mut self, wine: &Wine, act: &str, need: Problem, rules: &'static [Rule]) {
        let advice = advise(&Dossier::of(wine).judged_by(rules), today());
        let found = |p: &&ProblemAdvice| p.problem == need;
        let p = advice.problems.iter().find(found).unwrap_or_else(|| {
            panic!("the wine does not name {need:?}: {:?}", wine.problems);
        });
        if let Some(row) = p.ranked.iter().find(|r| r.key == act) {
            let doubts = row.cautions.iter().cloned();
            self.rulings.extend(doubts.map(|r| (Outcome::Caution, r)));
            return;
        }
        let _new = self.outcomes.insert(Outcome::Absent);
        let left_out = p.left_out.iter().find(|l| l.key == act).unwrap();
        for reason in &left_out.reasons {
            match reason {
                Reason::Rule { ruling } => self.rulings.push((Outcome::Absent, ruling.clone())),
                other => {
                    let tag = serde_json::to_value(other).unwrap();
                    let tag = tag.get("because").unwrap().as_str().unwrap().to_string();
                    let _new = self.other_reasons.insert(tag);
                }
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
        if let Err(none) = dose_for(&dossier, t, &Field::Given(10.0)) {
            let _new = self.outcomes.insert(Outcome::NoMass);
            self.texts.push((Outcome::NoMass, none.text));
            let shut = against(&dossier, t, None).into_iter();
            self.rulings.extend(shut.map(|r| (Outcome::NoMass, r)));
        }
    }

    /// A plan of what the log, or the plan, has before the act, and then the act.
    fn plan(&mut self, wine: &Wine, act: &str, rules: &'static [Rule]) {
        let planned = wine.plan.iter().map(|s| &s.treatment);
        let earlier: Vec<&String> = wine
            .done
            .iter()
            .map(|d| &d.treatment)
            .chain(planned.take_while(|key| *key != act))
            .collect();
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
        for mark in marks(&dossier, earlier.len()) {
            if mark.fault == Fault::NotWith {
                let _new = self.outcomes.insert(Outcome::NotAfter);
                let ruling = after(&dossier, treatment(act), treatment(&mark.other).key).unwrap();
                assert!(ruling.witness.iter().all(|f| matches!(f, Fact::Earlier(_))));
                self.rulings.push((Outcome::NotAfter, ruling));
                self.texts.push((Outcome::NotAfter, mark.text));
            }
        }
    }

    /// What is seen by one rule.
    fn by(&self, rule: &str) -> BTreeSet<Outcome> {
        let own = self.rulings.iter().filter(|(_, r)| r.rule == rule);
        own.map(|(o, _)| *o).collect()
    }

    /// What is seen whatever the reason, but for cautions and what leaves the act out besides.
    fn shut(&self) -> BTreeSet<Outcome> {
        let mut all = self.outcomes.clone();
        let _gone = all.remove(&Outcome::Caution);
        if !self.other_reasons.is_empty() {
            let _gone = all.remove(&Outcome::Absent);
        }
        all
    }
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

    /// What is said on the wine itself: all of `sees`, by this rule and by these facts.
    fn shows(&self) -> Result<(), String> {
        let seen = self.seen(&toml::Table::new(), RULES.rows());
        let own = seen.by(&self.rule);
        ensure(own == self.sees, || format!("sees {own:?}"))?;
        ensure(seen.other_reasons == self.also_out_by, || {
            format!("also left out by {:?}", seen.other_reasons)
        })?;
        for (outcome, ruling) in seen.rulings.iter().filter(|(_, r)| r.rule == self.rule) {
            let facts: Vec<_> = ruling
                .witness
                .iter()
                .map(|f| serde_json::to_value(f).unwrap())
                .collect();
            // In a plan the act of the log is an earlier step.
            let moved = *outcome == Outcome::NotAfter && self.sees.len() > 1;
            ensure(moved || facts == self.by, || {
                format!("{outcome:?} by {}", serde_json::to_string(&facts).unwrap())
            })?;
            ensure(ruling.truth == Truth::Yes, || {
                format!("{outcome:?} is not known")
            })?;
            let said = |text: &str| {
                text.contains(ruling.why().trim_end_matches('.')) || text.contains(&ruling.text)
            };
            let texts: Vec<_> = seen.texts.iter().filter(|(o, _)| o == outcome).collect();
            ensure(
                texts.is_empty() || texts.iter().any(|(_, t)| said(t)),
                || format!("{texts:?} do not give its reason"),
            )?;
        }
        Ok(())
    }

    /// Nothing of the rule is seen on the changed wine, and nothing else takes its place.
    fn turns(&self) -> Result<(), String> {
        let seen = self.seen(&self.but, RULES.rows());
        let own = seen.by(&self.rule);
        ensure(own.is_empty(), || {
            format!("still sees {own:?} on the changed wine")
        })?;
        ensure(seen.shut().is_empty(), || {
            format!("shut by others on the changed wine: {:?}", seen.rulings)
        })?;
        ensure(seen.other_reasons.is_subset(&self.also_out_by), || {
            format!("left out of the changed wine by {:?}", seen.other_reasons)
        })
    }

    /// With the rule off the act is back.
    fn is_needed(&self) -> Result<(), String> {
        let none = toml::Table::new();
        let off = self.seen(&none, without(&self.rule));
        ensure(off.by(&self.rule).is_empty(), || {
            "it speaks though it is off".into()
        })?;
        ensure(off.shut().is_empty(), || {
            format!("with the rule off: {:?} by {:?}", off.shut(), off.rulings)
        })?;
        // A caution that shut the act out would be seen, and one that shuts it out is one only.
        let caution = rule(&self.rule).verdict == RuleVerdict::Caution;
        let other = if caution {
            RuleVerdict::Never
        } else {
            RuleVerdict::Caution
        };
        let turned = self.seen(&none, turned(&self.rule, other)).by(&self.rule);
        let listed = self.also_out_by.is_empty() && self.sees.contains(&Outcome::Absent);
        ensure(
            if caution {
                turned.contains(&Outcome::Absent)
            } else {
                !listed || turned == [Outcome::Caution].into()
            },
            || format!("turned to {other:?} it shows {turned:?}"),
        )
    }

    /// Where the fact is not known, what shuts out does so, by what is not known; what only doubts
    /// is silent.
    fn waits(&self) -> Result<(), String> {
        let Some(unknown) = &self.unknown else {
            return Ok(());
        };
        let seen = self.seen(unknown, RULES.rows());
        let own: Vec<_> = seen
            .rulings
            .iter()
            .filter(|(_, r)| r.rule == self.rule)
            .collect();
        if rule(&self.rule).verdict == RuleVerdict::Caution {
            ensure(own.is_empty(), || {
                format!("speaks where nothing is known: {own:?}")
            })?;
            let shut = seen.rulings.iter().filter(|(o, _)| *o == Outcome::Absent);
            let waiting = shut.clone().all(|(_, r)| r.truth == Truth::NotKnown);
            let absent = seen.outcomes.contains(&Outcome::Absent);
            return ensure(!absent || (waiting && shut.count() > 0), || {
                "not listed where nothing is known".into()
            });
        }
        ensure(seen.by(&self.rule) == self.sees, || {
            format!("not known: {:?}", seen.by(&self.rule))
        })?;
        for (_, ruling) in own {
            let given = |f: &Fact| self.by.contains(&serde_json::to_value(f).unwrap());
            ensure(
                ruling.truth == Truth::NotKnown
                    && !ruling.witness.is_empty()
                    && ruling.witness.iter().all(given),
                || format!("{:?} by {:?}", ruling.truth, ruling.witness),
            )?;
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
        || q.over_limit.is_some()
        || matches!(q.act, Some(OfAct::OverBound | OfAct::AtEdge))
        || !q.colours.is_empty()
        || !q.stages.is_empty()
        || !q.malolactic.is_empty()
}

/// The kind of a fact, as it is written.
fn kind_of(fact: &serde_json::Value) -> &str {
    let named = fact.as_object().and_then(|f| f.keys().next());
    named.map_or_else(|| fact.as_str().unwrap(), String::as_str)
}

/// The kind of the fact that a question asks for.
fn asks(q: &Question) -> &'static str {
    if !q.done.is_empty() || q.act == Some(OfAct::GivenSince) {
        "logged"
    } else if !q.beside.is_empty() {
        "earlier"
    } else if q.sign.is_some() {
        "sign"
    } else if q.cause.is_some() {
        "cause"
    } else if !q.named.is_empty() {
        "named"
    } else if q.adds.is_some() {
        "adds"
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
        let of_rule = |key: &str| r.why.source.split(", ").any(|s| s == key);
        let is_source = |key: &str| of_rule(key) && SOURCES.iter().any(|s| s.key == key);
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

/// No route takes what its rule shuts out, nor in an order that it forbids.
#[test]
fn no_route_goes_against_an_example() {
    each(|e| {
        let wine = read(&e.wine);
        let taken = |wine: &Wine| routes(&Dossier::of(wine), today()).routes;
        if e.sees.contains(&Outcome::Absent) {
            let shut = !taken(&wine)
                .iter()
                .any(|r| r.steps.iter().any(|s| s.key == e.act));
            ensure(shut, || "a route takes the act".into())?;
        }
        Ok(())
    });
}
