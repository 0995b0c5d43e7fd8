//! What the log and the readings of a wine close: the list, the routes and the work order say the
//! same.
#![allow(missing_docs)]

use stillbright::advice::{ProblemAdvice, advise};
use stillbright::case::Field;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{Clause, RULES, TREATMENTS};
use stillbright::route::routes;
use stillbright::rules::{Before, Fact, Ruling, against};
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::dosing::dose_for;
use stillbright::work_order::order::work_order;
use stillbright::work_order::sheet;

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

fn white(problems: &[Problem], log: &[(&str, &str)], analyses: &[(Quantity, &str)]) -> Wine {
    Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        style: Some(Style::StillDry),
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Eu],
        volume: typed("5000 L"),
        problems: problems.to_vec(),
        done: log
            .iter()
            .map(|(t, day)| Done {
                treatment: (*t).into(),
                day: (*day).into(),
                dose: typed("20"),
                ..Done::default()
            })
            .collect(),
        analyses: analyses.iter().map(|(q, t)| (*q, typed(t))).collect(),
        ..Wine::default()
    }
}

fn listed(wine: &Wine, key: &str) -> bool {
    advise(&Dossier::of(wine), today())
        .problems
        .iter()
        .any(|p| p.ranked.iter().any(|r| r.key == key))
}

fn routed(wine: &Wine, key: &str) -> bool {
    routes(&Dossier::of(wine), today())
        .routes
        .iter()
        .any(|r| r.steps.iter().any(|s| s.key == key))
}

fn why_left_out(wine: &Wine, key: &str) -> String {
    let all = advise(&Dossier::of(wine), today()).problems;
    let of = |p: &ProblemAdvice| {
        p.left_out.iter().find(|l| l.key == key).map(|l| {
            l.reasons
                .iter()
                .map(|r| r.words().1)
                .collect::<Vec<_>>()
                .join("; ")
        })
    };
    all.iter().find_map(of).unwrap_or_default()
}

/// The order of a wine whose plan names a treatment, with a dose that the user confirmed without a
/// trial.
fn order_of(wine: &Wine, key: &str) -> (Wine, String) {
    let planned = Wine {
        plan: vec![PlanStep {
            treatment: key.into(),
            dose: typed("10"),
            ..PlanStep::default()
        }],
        trials: vec![Trial {
            treatment: key.into(),
            not_trialled: true,
            ..Trial::default()
        }],
        ..wine.clone()
    };
    let text = sheet::text(
        "Work order",
        &sheet::of_order(&Dossier::of(&planned), &work_order(&Dossier::of(&planned))),
    );
    (planned, text)
}

/// The acts that a rule names as done before the act it shuts out, where nothing else is asked.
fn closing_pairs() -> impl Iterator<Item = (&'static str, &'static str)> {
    RULES
        .iter()
        .filter(|r| r.verdict == RuleVerdict::Never && r.needs.is_empty())
        .filter_map(|r| match r.when {
            [Clause { any: [q] }] if !q.done.is_empty() => Some((q.done, r.about)),
            _ => None,
        })
        .flat_map(|(done, about)| {
            done.iter()
                .flat_map(move |given| about.iter().map(move |shut| (*given, *shut)))
        })
}

/// Every pair of acts of which a rule shuts the second out: neither list nor routes offer it once
/// the first is in the log, the reason names the act with its day, and no mass is printed.
#[test]
fn what_the_log_has_closes_list_routes_and_order() {
    let mut tried = 0;
    for (given, shut) in closing_pairs() {
        let wine = white(
            &[
                Problem::Crystals,
                Problem::Protein,
                Problem::Haze,
                Problem::Microbes,
            ],
            &[(given, "2026-11-01")],
            &[],
        );
        let t = TREATMENTS.iter().find(|t| t.key == shut).unwrap();
        let by = against(&Dossier::of(&wine), t, None);
        let named =
            |r: &Ruling| r.witness.contains(&Fact::Logged(1)) && r.text.contains("2026-11-01");
        assert!(by.iter().any(named), "{given} then {shut}: {by:?}");
        assert!(!listed(&wine, shut), "{shut} is listed after {given}");
        let (planned, text) = order_of(&wine, shut);
        if t.dose.is_some() {
            assert!(
                dose_for(
                    &Dossier::of(&planned),
                    t,
                    &Field::Given(10.0),
                    &Before::default()
                )
                .is_err(),
                "{shut} after {given}"
            );
            assert!(
                !text.contains("Weigh ") && text.contains("2026-11-01"),
                "{text}"
            );
        }
        tried += 1;
    }
    assert!(tried > 60, "{tried}");
    // The rule as its source words it, on the wine it was seen on.
    let wine = white(
        &[Problem::Crystals],
        &[("lysozyme", "2026-11-01")],
        &[(Quantity::ConductivityDrop, "9"), (Quantity::HeatRise, "1")],
    );
    for key in ["cmc", "polyaspartate", "metatartaric"] {
        assert!(!listed(&wine, key) && !routed(&wine, key), "{key}");
        let why = why_left_out(&wine, key);
        assert!(
            why.contains("Lysozyme (2026-11-01) is in the log") && why.contains("haze"),
            "{why}"
        );
    }
    assert!(listed(&white(&[Problem::Crystals], &[], &[]), "cmc"));
}

/// An entry that was corrected away closes nothing.
#[test]
fn a_corrected_entry_of_the_log_closes_nothing() {
    let mut wine = white(
        &[Problem::Crystals],
        &[("lysozyme", "2026-11-01")],
        &[(Quantity::ConductivityDrop, "9")],
    );
    assert!(!listed(&wine, "cmc"));
    wine.done.push(Done {
        corrects: Some(1),
        ..Done::default()
    });
    assert!(listed(&wine, "cmc"));
}

/// Copper at 0.6 mg/L, over the 0.5 of the table: no copper for the smell, whether or not an act
/// has come since. At 0.1 it is
/// offered. The same holds for whatever adds to what lies over its limit.
#[test]
fn nothing_adds_to_what_is_over_its_limit() {
    let smell = |copper: &str, log: &[(&str, &str)]| {
        white(&[Problem::Reduction], log, &[(Quantity::Copper, copper)])
    };
    for key in ["copper_sulfate", "copper_citrate"] {
        assert!(listed(&smell("0.1", &[]), key), "{key}");
        for wine in [
            smell("0.6", &[]),
            smell("0.6", &[("copper_sulfate", "2026-11-10")]),
        ] {
            assert!(!listed(&wine, key) && !routed(&wine, key), "{key}");
            assert!(
                why_left_out(&wine, key)
                    .contains("Copper was measured at 0.6 mg/L, over its limit of 0.5 mg/L"),
                "{}",
                why_left_out(&wine, key)
            );
            assert!(!order_of(&wine, key).1.contains("Weigh "), "{key}");
        }
    }
    let sour = |calcium: &str| white(&[Problem::Sourness], &[], &[(Quantity::Calcium, calcium)]);
    assert!(listed(&sour("50"), "calcium_carbonate") && !listed(&sour("95"), "calcium_carbonate"));
    // At its usual dose kaolin adds just the share of the limit that counts, 0.3 of 6 mg/L.
    let hazy = |iron: &str| white(&[Problem::Haze], &[], &[(Quantity::Iron, iron)]);
    assert!(listed(&hazy("3"), "kaolin") && !listed(&hazy("7"), "kaolin"));
}

/// A haze that came after gelatin is not treated with more protein; its cures stay.
#[test]
fn an_over_fining_gets_no_more_protein() {
    let mut wine = white(
        &[Problem::Protein, Problem::Haze],
        &[("gelatin", "2026-11-10")],
        &[(Quantity::Turbidity, "12")],
    );
    // Nobody was asked when the haze came: until then no more protein, and the question is named.
    assert!(!listed(&wine, "pea_protein"));
    let why = why_left_out(&wine, "pea_protein");
    assert!(why.contains("Not answered yet: "), "{why}");
    wine.observed.insert("after_fining".into(), false);
    assert!(listed(&wine, "pea_protein"));
    wine.observed.insert("after_fining".into(), true);
    for key in [
        "gelatin",
        "gelatin_liquid",
        "isinglass",
        "casein",
        "pea_protein",
    ] {
        assert!(!listed(&wine, key) && !routed(&wine, key), "{key}");
    }
    assert!(listed(&wine, "bentonite_sodium") && listed(&wine, "silica_sol"));
    assert!(
        why_left_out(&wine, "gelatin").contains("2026-11-10"),
        "{}",
        why_left_out(&wine, "gelatin")
    );
}

/// Citric acid holds iron and takes none: it is no treatment of too much iron.
#[test]
fn citric_acid_takes_no_iron() {
    let wine = white(&[Problem::ExcessIron], &[], &[(Quantity::Iron, "7")]);
    assert!(!listed(&wine, "citric_acid") && !routed(&wine, "citric_acid"));
    assert!(
        why_left_out(&wine, "citric_acid").contains("Nothing read says that it acts"),
        "{}",
        why_left_out(&wine, "citric_acid")
    );
}
