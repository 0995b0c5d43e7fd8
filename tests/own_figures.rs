//! Own prices, labour and equipment: as defaults, and per wine.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use stillbright::advice::advise;
use stillbright::book::{read_book, write_book};
use stillbright::dossier::Dossier;
use stillbright::treatment::Ranked;
use stillbright::wine::*;

fn wine() -> Wine {
    Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Protein],
        volume: AsTyped("1000".into()),
        value_per_hl: AsTyped("200".into()),
        ..Wine::default()
    }
}
fn ranked(wine: &Wine, key: &str) -> Ranked {
    advise(&Dossier::of(wine), None).problems[0]
        .ranked
        .iter()
        .find(|r| r.key == key)
        .unwrap()
        .clone()
}

#[test]
fn an_own_price_counts_in_place_of_the_built_in_one() {
    let mut w = wine();
    w.prices
        .insert("bentonite_sodium".into(), AsTyped("10".into()));
    // 60 g/hL at 10 a kilogram.
    let p = ranked(&w, "bentonite_sodium").product_per_hl.unwrap();
    assert!((p.low - 0.6).abs() < 1e-9 && (p.high - 0.6).abs() < 1e-9);
}
#[test]
fn labour_is_the_hours_at_the_own_rate_over_the_volume() {
    let w = Wine {
        labour_per_hour: AsTyped("40".into()),
        ..wine()
    };
    // 1-3 h for 10 hL.
    let l = ranked(&w, "bentonite_sodium").labour_per_hl;
    assert!((l.low - 4.0).abs() < 1e-9 && (l.high - 12.0).abs() < 1e-9);
}
#[test]
fn in_other_money_only_own_prices_count() {
    let mut w = Wine {
        currency: "CHF".into(),
        ..wine()
    };
    assert!(ranked(&w, "bentonite_sodium").product_per_hl.is_none());
    w.prices
        .insert("bentonite_sodium".into(), AsTyped("5".into()));
    assert!(
        (ranked(&w, "bentonite_sodium")
            .product_per_hl
            .unwrap()
            .middle
            - 0.3)
            .abs()
            < 1e-9
    );
    assert_eq!(advise(&Dossier::of(&w), None).currency, "CHF");
    for euro in ["", "EUR", "eur", "€"] {
        assert_eq!(
            Wine {
                currency: euro.into(),
                ..Wine::default()
            }
            .money(),
            "EUR"
        );
    }
}
#[test]
fn nothing_bought_costs_no_product() {
    let w = Wine {
        problems: vec![Problem::Haze],
        ..wine()
    };
    assert!(ranked(&w, "wait_rack").product_per_hl.unwrap().high.abs() < 1e-9);
}
#[test]
fn an_unreadable_price_is_named_and_not_used() {
    let mut w = wine();
    w.prices
        .insert("bentonite_sodium".into(), AsTyped("cheap".into()));
    assert_eq!(w.errors()[0].field, "prices.bentonite_sodium");
    assert!(
        (ranked(&w, "bentonite_sodium")
            .product_per_hl
            .unwrap()
            .middle
            - 0.24)
            .abs()
            < 1e-9
    );
}
#[test]
fn defaults_fill_what_is_open_and_change_no_answer() {
    let entry = |means| KitEntry::of(means);
    let mut defaults = Wine {
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Gb],
        labour_per_hour: AsTyped("31".into()),
        ..Wine::default()
    };
    defaults.kit = [
        (Kit::Filter, entry(KitMeans::Owned)),
        (Kit::Chiller, entry(KitMeans::No)),
    ]
    .into();
    defaults.prices = [("pvpp".to_string(), AsTyped("44".into()))].into();
    let mut w = Wine {
        sold_in: vec![Market::Us],
        kit: [(Kit::Chiller, entry(KitMeans::Hired))].into(),
        ..wine()
    };
    w.fill_from(&defaults);
    assert_eq!(
        (w.made_in, w.sold_in.as_slice()),
        (Some(Market::Eu), [Market::Us].as_slice())
    );
    assert_eq!(
        (
            w.kit.get(&Kit::Filter).unwrap().means,
            w.kit.get(&Kit::Chiller).unwrap().means
        ),
        (KitMeans::Owned, KitMeans::Hired)
    );
    assert_eq!(
        (
            w.labour_per_hour.0.as_str(),
            w.prices.get("pvpp").unwrap().0.as_str()
        ),
        ("31", "44")
    );
    assert_eq!(w.value_per_hl.0, "200");
}
#[test]
fn a_book_file_keeps_the_defaults() {
    let defaults = Wine {
        labour_per_hour: AsTyped("31".into()),
        ..Wine::default()
    };
    let book = read_book(&write_book(&[wine()], Some(defaults.clone()))).unwrap();
    assert_eq!((book.wines, book.defaults), (vec![wine()], Some(defaults)));
    assert_eq!(read_book(&write_book(&[], None)).unwrap().defaults, None);
}
#[test]
fn fruit_wine_has_no_law_here() {
    let w = Wine {
        style: Some(Style::Fruit),
        made_in: Some(Market::Eu),
        ..wine()
    };
    let a = advise(&Dossier::of(&w), None);
    assert!(
        a.problems[0]
            .ranked
            .iter()
            .all(|r| r.legality == Some(stillbright::law::Legality::NotKnown))
    );
    assert!(a.so2.is_empty() && a.notes.iter().any(|n| n.contains("Fruit wine")));
}
#[test]
fn nothing_cures_mousy_taint_and_the_answer_says_so() {
    for colour in [Colour::White, Colour::Red] {
        let w = Wine {
            problems: vec![Problem::Mousy],
            colour: Some(colour),
            ..wine()
        };
        assert!(
            advise(&Dossier::of(&w), None).problems[0]
                .answer
                .starts_with("Nothing here cures this.")
        );
    }
}
