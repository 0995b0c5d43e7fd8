//! Each honest answer has a pair of wines in `tests/rules/answers.toml`: the smallest that gets it,
//! and the same with one fact changed that does not.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use serde::Deserialize;
use std::collections::BTreeSet;
use stillbright::advice::advise;
use stillbright::book::read_file;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{HONEST, SOURCES, TREATMENTS};
use stillbright::rules::{Answered, Judged, clashes, honest, judge};
use stillbright::units::day::Day;
use stillbright::wine::*;

/// The answers that are no treatment.
const ANSWERS: [&str; 9] = [
    "no_treatment",
    "wait_and_rack",
    "measure_first",
    "laboratory",
    "nothing_cures",
    "prevent",
    "declassify",
    "live_with",
    "experts_differ",
];

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Pair {
    says: String,
    need: String,
    row: Option<String>,
    wine: toml::Table,
    but: toml::Table,
    case: Option<String>,
    source: Option<String>,
    text: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pairs {
    pair: Vec<Pair>,
}

fn pairs() -> Vec<Pair> {
    let text = std::fs::read_to_string("tests/rules/answers.toml").unwrap();
    toml::from_str::<Pairs>(&text)
        .unwrap_or_else(|e| panic!("{e}"))
        .pair
}

/// What is said of one wine.
struct Said {
    /// The keys of the answer of the need; none where the wine does not name it.
    keys: BTreeSet<String>,
    /// The answer.
    answer: String,
    /// The rows that hold for the need.
    rows: Vec<Answered>,
}

fn judged(dossier: &Dossier, need: Problem) -> Vec<Judged> {
    judge(dossier, need, TREATMENTS.rows())
}

/// The answers that fit a need of a wine.
fn fitting(dossier: &Dossier, need: Problem) -> Vec<Answered> {
    honest(dossier, need, &judged(dossier, need))
}

impl Pair {
    fn need(&self) -> Problem {
        Problem::from_key(&self.need).unwrap_or_else(|| panic!("no need {}", self.need))
    }

    fn said(&self, change: &toml::Table) -> Said {
        let mut fields = self.wine.clone();
        for (field, value) in change {
            if value.as_str() == Some("") {
                let _taken = fields.remove(field);
            } else {
                let _old = fields.insert(field.clone(), value.clone());
            }
        }
        let file = serde_json::json!({ "app": "stillbright", "schema": 1, "wines": [fields] });
        let wine = read_file(&file.to_string())
            .unwrap_or_else(|e| panic!("{e}"))
            .remove(0);
        let dossier = Dossier::of(&wine);
        let advice = advise(&dossier, Day::read("2026-11-30"));
        let of_need = advice.problems.iter().find(|p| p.problem == self.need());
        let key = |k| {
            serde_json::to_value(k)
                .unwrap()
                .as_str()
                .unwrap()
                .to_string()
        };
        Said {
            keys: of_need.iter().flat_map(|p| &p.says).map(key).collect(),
            answer: of_need.map_or_else(String::new, |p| p.answer.clone()),
            rows: if of_need.is_some() {
                fitting(&dossier, self.need())
            } else {
                Vec::new()
            },
        }
    }

    /// Whether it is said, by its row where it names one.
    fn holds(&self, said: &Said) -> bool {
        let by_row = |row: &String| {
            let found = said.rows.iter().find(|r| r.row == row);
            found.is_some_and(|r| said.answer.contains(&r.text))
        };
        said.keys.contains(&self.says) && self.row.as_ref().is_none_or(by_row)
    }

    /// Whether nothing of it is said.
    fn is_gone(&self, said: &Said) -> bool {
        match &self.row {
            Some(row) => said.rows.iter().all(|r| r.row != row),
            None => !said.keys.contains(&self.says),
        }
    }
}

#[test]
fn every_answer_and_every_row_has_a_pair() {
    let all = pairs();
    for key in ANSWERS {
        assert!(all.iter().any(|p| p.says == key), "no pair of {key}");
    }
    for row in HONEST.iter() {
        let own = all.iter().filter(|p| p.row.as_deref() == Some(row.key));
        assert!(own.clone().count() > 0, "no pair of {}", row.key);
        let key = serde_json::to_value(row.says).unwrap();
        own.for_each(|p| assert_eq!(key, p.says, "{}", row.key));
    }
    for p in &all {
        assert!(ANSWERS.contains(&p.says.as_str()), "{}", p.says);
        let is_source = |key: &String| SOURCES.iter().any(|s| s.key == key);
        assert!(p.source.as_ref().is_none_or(is_source), "{:?}", p.source);
        assert_eq!(p.source.is_some(), p.text.is_some(), "{:?}", p.row);
    }
    let cited = all
        .iter()
        .filter(|p| p.case.is_some() || p.source.is_some());
    println!(
        "{} of {} pairs of answers come from a cited text",
        cited.count(),
        all.len()
    );
}

#[test]
fn each_wine_gets_its_answer_and_the_changed_one_does_not() {
    for p in pairs() {
        let said = p.said(&toml::Table::new());
        assert!(p.holds(&said), "{:?} {}: {}", p.row, p.says, said.answer);
        let changed = p.said(&p.but);
        assert!(
            p.is_gone(&changed),
            "{:?} {}: {}",
            p.row,
            p.says,
            changed.answer
        );
    }
}

/// Without any one of its fields the answer is not given.
#[test]
fn each_wine_is_the_smallest() {
    for p in pairs() {
        for field in p.wine.keys().filter(|f| *f != "problems") {
            let mut without = toml::Table::new();
            let _new = without.insert(field.clone(), "".into());
            assert!(
                !p.holds(&p.said(&without)),
                "{:?}: {field} is not needed",
                p.row
            );
        }
    }
}

/// What the log closes is no difference of experts, nor is what two rules take from one text.
#[test]
fn what_the_log_closes_is_no_difference() {
    let wine = |done: Vec<Done>| Wine {
        stage: Some(Stage::Dry),
        problems: vec![Problem::Brettanomyces],
        done,
        ..Wine::default()
    };
    let cmc = Done {
        treatment: "cmc".into(),
        day: "2026-11-10".into(),
        ..Done::default()
    };
    for w in [wine(Vec::new()), wine(vec![cmc])] {
        assert_eq!(
            clashes(&judged(&Dossier::of(&w), Problem::Brettanomyces)),
            []
        );
    }
}

/// Both texts are named, and what the two say of the act stands side by side.
#[test]
fn experts_that_differ_are_both_named() {
    let wine = Wine {
        problems: vec![Problem::Rot],
        ..Wine::default()
    };
    let found = clashes(&judged(&Dossier::of(&wine), Problem::Rot));
    let clash = found.first().unwrap();
    assert_eq!(clash.act, "sulfur_dioxide");
    assert_eq!(clash.first.strength, clash.against.strength);
    let said = fitting(&Dossier::of(&wine), Problem::Rot);
    let text = &said
        .iter()
        .find(|s| s.row == clash.first.rule)
        .unwrap()
        .text;
    assert!(
        text.contains("WINEMAKER-1545") && text.contains("AWRI-LACCASE"),
        "{text}"
    );
}
