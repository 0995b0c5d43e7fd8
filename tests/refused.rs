//! What the rules say of a wine stands in its record and on the sheet for the laboratory too.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use stillbright::dossier::Dossier;
use stillbright::knowledge::RULES;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::deciding::deciding;
use stillbright::work_order::laboratory::asked;
use stillbright::work_order::ready::{Because, Proof, Shown, ready};

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

fn wine(colour: Colour, log: &[(&str, &str)]) -> Wine {
    Wine {
        colour: Some(colour),
        stage: Some(Stage::Dry),
        done: log
            .iter()
            .map(|(treatment, day)| Done {
                treatment: (*treatment).into(),
                day: (*day).into(),
                ..Done::default()
            })
            .collect(),
        ..Wine::default()
    }
}

/// The acts that the record says are refused, with why.
fn refused(wine: &Wine) -> Vec<Proof> {
    let record = ready(&Dossier::of(wine), today());
    let rows = record.evidence.into_iter();
    rows.filter(|p| p.because == Some(Because::Refused))
        .collect()
}

fn keys(wine: &Wine) -> Vec<&'static str> {
    refused(wine).iter().map(|p| p.key).collect()
}

fn why(rule: &str) -> &'static str {
    RULES
        .rows()
        .iter()
        .find(|r| r.key == rule)
        .unwrap()
        .why
        .text
}

/// CMC after lysozyme hazes: it is done, and the record says so, once. The other way round it is
/// the lysozyme. Alone each is no fault.
#[test]
fn an_act_after_one_that_closes_it_speaks_against_bottling() {
    let both = [("lysozyme", "2026-11-01"), ("cmc", "2026-11-10")];
    let rows = refused(&wine(Colour::White, &both));
    assert_eq!(rows.len(), 1, "{rows:?}");
    let row = rows.first().unwrap();
    assert_eq!((row.key, row.shown), ("cmc", Shown::Against));
    assert!(row.why.ends_with(why("cmc_after_lysozyme")), "{}", row.why);
    let other = [("cmc", "2026-11-01"), ("lysozyme", "2026-11-10")];
    assert_eq!(keys(&wine(Colour::White, &other)), ["lysozyme"]);
    // Written in another order than it was done.
    let late = [("cmc", "2026-11-10"), ("lysozyme", "2026-11-01")];
    assert_eq!(keys(&wine(Colour::White, &late)), ["cmc"]);
    for alone in both {
        assert!(keys(&wine(Colour::White, &[alone])).is_empty());
    }
}

/// Bentonite before CMC is as it should be, after it is not.
#[test]
fn an_act_before_the_one_that_closes_it_is_no_fault() {
    let before = [("bentonite_sodium", "2026-11-01"), ("cmc", "2026-11-10")];
    assert!(keys(&wine(Colour::White, &before)).is_empty());
    let after = [("cmc", "2026-11-01"), ("bentonite_sodium", "2026-11-10")];
    assert_eq!(keys(&wine(Colour::White, &after)), ["bentonite_sodium"]);
}

#[test]
fn an_act_that_the_colour_closes_speaks_against_bottling() {
    let cmc = [("cmc", "2026-11-10")];
    assert_eq!(keys(&wine(Colour::Red, &cmc)), ["cmc"]);
    assert!(keys(&wine(Colour::White, &cmc)).is_empty());
    // Egg white leaves a white with its lees: a poor choice, and no fault of the wine.
    let egg = [("egg_albumin", "2026-11-10")];
    assert!(keys(&wine(Colour::White, &egg)).is_empty());
    let carbon = [("carbon_colour", "2026-11-10")];
    assert_eq!(keys(&wine(Colour::Red, &carbon)), ["carbon_colour"]);
}

/// Copper over its limit stands in the record as a reading, and not a second time by the act.
#[test]
fn what_a_reading_says_is_not_said_twice() {
    let w = Wine {
        analyses: [(Quantity::Copper, AsTyped("0.8".into()))]
            .into_iter()
            .collect(),
        measured_on: [(Quantity::Copper, AsTyped("2026-11-29".into()))]
            .into_iter()
            .collect(),
        ..wine(Colour::White, &[("copper_sulfate", "2026-11-10")])
    };
    assert!(keys(&w).is_empty());
    let record = ready(&Dossier::of(&w), today());
    let copper = record.evidence.iter().filter(|p| p.key == "copper");
    assert_eq!(copper.filter(|p| p.shown == Shown::Against).count(), 1);
}

/// An act that was marked as an error counts no more.
#[test]
fn a_corrected_entry_is_not_refused() {
    let mut w = wine(
        Colour::White,
        &[("lysozyme", "2026-11-01"), ("cmc", "2026-11-10")],
    );
    w.done.push(Done {
        corrects: Some(1),
        ..Done::default()
    });
    assert!(keys(&w).is_empty());
}

/// Sorbate is kept out of a wine of which nobody knows whether it is clear, or whether malic acid
/// is left: the laboratory is asked for both, each once and with the reason; and for neither once
/// it is known.
#[test]
fn the_laboratory_is_asked_for_what_decides_on_an_act() {
    let sweet = |analyses: &[(Quantity, &str)]| Wine {
        malolactic: None,
        problems: vec![Problem::Refermentation],
        analyses: analyses
            .iter()
            .map(|(q, t)| (*q, AsTyped((*t).into())))
            .collect(),
        ..wine(Colour::White, &[])
    };
    let open = sweet(&[]);
    let decides = |w: &Wine| -> Vec<Quantity> {
        deciding(&Dossier::of(w))
            .iter()
            .map(|d| d.quantity)
            .collect()
    };
    assert_eq!(decides(&open), [Quantity::Turbidity, Quantity::Malic]);
    for d in deciding(&Dossier::of(&open)) {
        assert_eq!(d.act, "sorbate");
        assert!(d.text.ends_with(why(d.rule)), "{}", d.text);
    }
    let known = sweet(&[(Quantity::Turbidity, "0.4"), (Quantity::Malic, "0.05")]);
    assert!(decides(&known).is_empty());
    let all = asked(&Dossier::of(&open), today());
    for q in [Quantity::Turbidity, Quantity::Malic] {
        assert_eq!(all.iter().filter(|a| a.quantity == q).count(), 1, "{q:?}");
    }
    // What the law or the stage keeps out too is not measured for.
    let sour = Wine {
        stage: Some(Stage::Fermenting),
        ..open
    };
    assert!(decides(&sour).is_empty());
}
