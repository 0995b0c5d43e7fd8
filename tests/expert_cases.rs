//! Published cases with an expert's answer, held against what the app says:
//! `tests/cases/README.md`.
//!
//! Which cases pass is kept in `tests/cases/passing.txt`. A case that passes no more fails the test
//! with its reasons, and so does
//! one that passes now and is not kept: `ACCEPT=1 cargo test --test expert_cases` writes the list
//! anew. All results, with what is
//! missing and what could not be said: `cargo test --test expert_cases -- --nocapture`.
#![allow(missing_docs)]

#[path = "cases/case.rs"]
mod case;
#[path = "cases/judge.rs"]
mod judge;
#[path = "cases/kept.rs"]
mod kept;
#[path = "cases/map.rs"]
mod map;
#[path = "cases/said.rs"]
mod said;
#[path = "cases/table.rs"]
mod table;
#[path = "cases/words.rs"]
mod words;

use kept::{Kept, accept, changes};
use table::{results, run};

const CASES: &str = include_str!("cases/cases.json");
const KEPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/passing.txt");

#[test]
fn the_cases_pass_that_are_kept() {
    let cases = case::read(CASES).unwrap();
    let rows = run(&cases).unwrap();
    println!("{}", results(&rows));
    let found: Vec<Kept> = rows.iter().map(Kept::of).collect();
    if std::env::var_os("ACCEPT").is_some() {
        return accept(KEPT, &found).unwrap();
    }
    let kept = kept::read(&std::fs::read_to_string(KEPT).unwrap()).unwrap();
    let changed = changes(&kept, &found, &rows);
    assert!(
        changed.is_empty(),
        "{}\n\nWhere this is meant: ACCEPT=1 cargo test --test expert_cases",
        changed.join("\n")
    );
}

#[test]
fn every_treatment_and_every_stated_fact_is_known() {
    said::every_treatment_has_its_word().unwrap();
    judge::every_stated_fact_is_known().unwrap();
}

/// A word that is not in the closed lists is an error, wherever it stands.
#[test]
fn an_unknown_word_is_an_error() {
    let case = || -> serde_json::Value {
        serde_json::from_str::<Vec<serde_json::Value>>(CASES)
            .unwrap()
            .swap_remove(44)
    };
    let error = |change: &dyn Fn(&mut serde_json::Value)| {
        let mut changed = case();
        change(&mut changed);
        case::read(&serde_json::to_string(&[changed]).unwrap())
            .err()
            .unwrap_or_default()
    };
    assert_eq!(error(&|_| {}), "");
    let lists = [
        "observations",
        "needs",
        "markets",
        "claims",
        "kit_missing",
        "history",
        "planned",
        "asks_about",
        "expected_any_of",
        "expected_all_in_order",
        "refused",
    ];
    for list in lists {
        let said = error(&|c| c[list].as_array_mut().unwrap().push("glitter".into()));
        assert!(
            said.starts_with("EC45: ") && said.contains("glitter"),
            "{list}: {said}"
        );
    }
    for (name, change) in [
        (
            "an analysis",
            &(|c: &mut serde_json::Value| c["analyses"]["glitter"] = 3.into())
                as &dyn Fn(&mut serde_json::Value),
        ),
        ("a field", &|c| c["glitter"] = true.into()),
        ("a condition", &|c| {
            c["refused_unless"][0]["unless"][0] = "glitter".into()
        }),
        ("a dose", &|c| c["dose"]["unit"] = "glitter".into()),
        ("a flip", &|c| c["flips"][0]["change"]["glitter"] = 3.into()),
        ("what a flip changes", &|c| {
            c["flips"][0]["change"]["needs"] = vec!["glitter"].into()
        }),
        ("what a flip expects", &|c| {
            c["flips"][0]["expected_any_of"] = vec!["glitter"].into()
        }),
    ] {
        assert!(
            error(change).contains("glitter"),
            "{name}: {}",
            error(change)
        );
    }
    assert!(said::ids("glitter", None).is_err());
}

/// The judge can say no: each rule of a case is broken once by an answer that is otherwise right.
#[test]
fn each_rule_can_fail() {
    let cases = case::read(CASES).unwrap();
    let today = stillbright::units::day::Day::read(map::TODAY);
    let ask = |c: &case::Case| {
        said::Said::of(map::wine_of(&c.id, &c.told, false).unwrap().0, today).unwrap()
    };
    let act = |s: &said::Step| s.ids.iter().find(|id| !id.is_answer()).copied();
    // A wine whose first route has two acts, one after the other.
    let (told, said) = cases
        .iter()
        .map(|c| (&c.told, ask(c)))
        .find(|(_, s)| s.in_route.len() > 1)
        .unwrap();
    let acts: Vec<words::Id> = said.steps.iter().filter_map(act).collect();
    let [first, then] = [acts[0], *acts.iter().find(|id| **id != acts[0]).unwrap()];
    let nobody = words::Id("glycosidase");
    let any_of = |ids: &[words::Id]| {
        ids.iter()
            .map(|id| case::AnyOf(vec![*id]))
            .collect::<Vec<_>>()
    };
    let unless = |condition: words::Id| {
        vec![case::Unless {
            treatment: first,
            unless: vec![case::Condition::Step(condition)],
        }]
    };
    let right = case::Wanted {
        expected_any_of: vec![first],
        also_any: Vec::new(),
        expected_all_in_order: any_of(&[first, then]),
        order_only_with: None,
        loose_order: false,
        refused: vec![nobody],
        refused_unless: unless(then),
        refused_order: vec![(then, first)],
        outranks: Vec::new(),
    };
    let judged = |wanted: &case::Wanted| judge::judge(&said, told, wanted).unwrap();
    assert!(judged(&right).all(), "{:?}", judged(&right));
    let wrong = [
        case::Wanted {
            expected_any_of: vec![nobody],
            ..right.clone()
        },
        case::Wanted {
            refused: vec![then],
            ..right.clone()
        },
        case::Wanted {
            expected_all_in_order: any_of(&[then, first]),
            ..right.clone()
        },
        case::Wanted {
            expected_all_in_order: any_of(&[nobody]),
            ..right.clone()
        },
        case::Wanted {
            refused_unless: unless(nobody),
            ..right.clone()
        },
        case::Wanted {
            refused_order: vec![(first, then)],
            ..right.clone()
        },
    ];
    for wanted in wrong {
        let finding = judged(&wanted);
        assert!(
            !finding.all() && !finding.reasons(&wanted).is_empty(),
            "{finding:?}"
        );
    }
    // A claim shuts out what the case itself does not name.
    let no_pvpp = case::Told {
        claims: vec![words::Claim::NoPvpp],
        ..told.clone()
    };
    let with_pvpp = said::Said {
        acts: [words::Id("pvpp"), first].into(),
        ..said
    };
    assert!(
        judge::judge(&with_pvpp, &no_pvpp, &right)
            .unwrap()
            .refused
            .iter()
            .any(|(id, _)| id.0 == "pvpp")
    );
}
