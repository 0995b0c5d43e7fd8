//! Wines with odd, blank and absurd entries: every page and paper still reads, no figure is broken,
//! and what a licensed person
//! does has none.
#![allow(clippy::indexing_slicing, missing_docs)]

mod chance;

use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use stillbright::advice::advise;
use stillbright::dossier::Dossier;
use stillbright::knowledge::TREATMENTS;
use stillbright::trial::ReadDose;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::dosing::WeighedBy;
use stillbright::work_order::order::work_order;
use stillbright::work_order::ready::{of_ready, ready};
use stillbright::work_order::sheet;

const NUMBERS: [&str; 22] = [
    "",
    " ",
    "0",
    "-5",
    "−5",
    "1,5",
    "1.000,5",
    "1e9",
    "1e309",
    "NaN",
    "inf",
    "999999999999",
    "0.0000001",
    "5000 L",
    "0 L",
    "20 gal",
    "3 hL",
    "5 furlongs",
    ",",
    "1-2",
    "<0.5",
    "12",
];
const DAYS: [&str; 7] = [
    "",
    "2026-11-26",
    "1999-01-01",
    "2026-12-10",
    "9999-12-31",
    "2026-02-30",
    "tomorrow",
];
const NAMES: [&str; 4] = [
    "",
    "x",
    "𝒲 <b>&amp;\"' \u{202e}abc",
    "A very long name of a wine that goes on and on and on and on and on and on and on and on and on and on",
];

fn number() -> impl Strategy<Value = AsTyped> {
    select(NUMBERS.to_vec()).prop_map(|t| AsTyped(t.into()))
}
fn day() -> impl Strategy<Value = String> {
    select(DAYS.to_vec()).prop_map(String::from)
}
fn some<T: Copy + std::fmt::Debug + 'static>(
    all: &'static [T],
) -> impl Strategy<Value = Option<T>> {
    proptest::option::of(select(all))
}
fn many<T: Copy + std::fmt::Debug + 'static>(
    all: &'static [T],
    most: usize,
) -> impl Strategy<Value = Vec<T>> {
    subsequence(all, 0..=most)
}
fn key() -> impl Strategy<Value = String> {
    prop_oneof![20 => (0..TREATMENTS.len()).prop_map(|i| TREATMENTS[i].key.to_string()), 1 => Just("no_such_thing".to_string())]
}

prop_compose! {
    fn rung()(dose in number(), reading in number(), score in number()) -> Rung { Rung { dose, reading, score, ..Rung::default() } }
}
prop_compose! {
    fn trials()(treatment in key(), quantity in some(Quantity::ALL), sample_ml in number(), stock_percent in number(), rungs in proptest::collection::vec(rung(), 0..6),
        target in number(), chosen in number(), day in day(), not_trialled in any::<bool>(), with in proptest::collection::vec(plans(), 0..3)) -> Trial {
        Trial { treatment, quantity, sample_ml, stock_percent, rungs, target, chosen, day, not_trialled, with, ..Trial::default() }
    }
}
prop_compose! {
    fn acts()(treatment in key(), day in day(), dose in number(), corrects in proptest::option::of(0..4_u32), note in select(NAMES.to_vec())) -> Done {
        Done { treatment, day, dose, corrects, note: note.into(), ..Done::default() }
    }
}
prop_compose! {
    fn plans()(treatment in prop_oneof![4 => key(), 1 => Just(String::new())], dose in number(), measure in many(Quantity::ALL, 3), day in day()) -> PlanStep {
        PlanStep { treatment, dose, measure, day, ..PlanStep::default() }
    }
}
prop_compose! {
    fn told()(colour in some(Colour::ALL), style in some(Style::ALL), stage in some(Stage::ALL), problems in many(Problem::ALL, 3), made_in in some(Market::ALL),
        sold_in in many(Market::ALL, Market::ALL.len()), claims in many(Claim::ALL, Claim::ALL.len()), organic in many(Organic::ALL, Organic::ALL.len()), vessel in some(Vessel::ALL)) -> Wine {
        Wine { colour, style, stage, problems, made_in, sold_in, claims, organic, vessel, ..Wine::default() }
    }
}
prop_compose! {
    fn odd()(told in told(), volume in number(), value_per_hl in number(), labour_per_hour in number(), loss_percent in number(), cost_per_day in number(),
        shelf_life_months in number(), analyses in proptest::collection::btree_map(select(Quantity::ALL), number(), 0..8), measured in day(), bottling_day in day(),
        name in select(NAMES.to_vec()), past in many(Past::ALL, 5)) -> Wine {
        let measured_on = analyses.keys().map(|q| (*q, AsTyped(measured.clone()))).collect();
        Wine { volume, value_per_hl, labour_per_hour, loss_percent, cost_per_day, shelf_life_months, analyses: analyses.into_iter().collect(), measured_on,
            bottling_day, name: name.into(), past, ..told }
    }
}
prop_compose! {
    fn worked()(odd in odd(), trials in proptest::collection::vec(trials(), 0..3), done in proptest::collection::vec(acts(), 0..3),
        plan in proptest::collection::vec(plans(), 0..4)) -> Wine { Wine { trials, done, plan, ..odd } }
}

/// Few agents that are dosed by trial, in doses that read, so that plans, trials and what stands
/// beside meet often.
fn agent() -> impl Strategy<Value = String> {
    select(vec![
        "bentonite_sodium",
        "pea_protein",
        "casein",
        "silica_sol",
    ])
    .prop_map(String::from)
}
fn given() -> impl Strategy<Value = AsTyped> {
    select(vec!["", "12", "45"]).prop_map(|t| AsTyped(t.into()))
}
prop_compose! {
    fn few()(treatment in agent(), dose in given()) -> PlanStep { PlanStep { treatment, dose, ..PlanStep::default() } }
}
prop_compose! {
    fn tried()(treatment in agent(), rise in select(vec!["", "1.0", "9"]), with in proptest::collection::vec(few(), 0..3), chosen in given(), not_trialled in any::<bool>()) -> Trial {
        let rung = |dose: &str, reading: &str| Rung { dose: AsTyped(dose.into()), reading: AsTyped(reading.into()), ..Rung::default() };
        let rungs = if rise.is_empty() { Vec::new() } else { vec![rung("0", "20"), rung("12", rise), rung("45", "0.5")] };
        Trial { treatment, quantity: Some(Quantity::HeatRise), rungs, with, chosen, not_trialled, ..Trial::default() }
    }
}
prop_compose! {
    fn at_the_bench()(trials in proptest::collection::vec(tried(), 0..3), plan in proptest::collection::vec(few(), 1..4)) -> Wine {
        Wine { colour: Some(Colour::White), stage: Some(Stage::Dry), volume: AsTyped("5000".into()), trials, plan, ..Wine::default() }
    }
}

/// No mass without its own trial: a rung that was tested, or the user's word on this very agent.
fn weighed_without_trial(wine: &Wine) -> Option<String> {
    let word = |key: &str| {
        wine.trials
            .iter()
            .any(|t| t.treatment == key && t.not_trialled)
    };
    work_order(&Dossier::of(wine)).steps.iter().find_map(|s| {
        let by = s.dose.as_ref().ok()?.by;
        let tested = stillbright::trial::dose_for(&Dossier::of(wine), s.treatment);
        let sound = match by {
            WeighedBy::Trial => matches!(tested, Some(ReadDose::Tested(_))),
            WeighedBy::NotTrialled => word(s.treatment.key),
            WeighedBy::Analyses => !s.treatment.dose?.by_trial,
        };
        (!sound).then(|| format!("{} is weighed by {by:?}", s.treatment.key))
    })
}

/// What is wrong with a text that someone reads.
fn wrong(text: &str) -> Option<String> {
    for bad in [
        "NaN", "inf ", "so₂", "ph ", "–,", "–;", "–.", " – ", "––", "  ", ",,", " ,", "( )", "()",
        ": .", "; ;", "Some(", "None)", "{}",
    ] {
        if let Some(at) = text.find(bad) {
            let start = text[..at]
                .char_indices()
                .rev()
                .take(60)
                .last()
                .map_or(0, |x| x.0);
            return Some(format!(
                "“{bad}” in: {}",
                text[start..].chars().take(140).collect::<String>()
            ));
        }
    }
    None
}

/// The texts of a report, without what the user typed.
fn texts(value: &serde_json::Value, all: &mut Vec<String>) {
    match value {
        serde_json::Value::String(s) => all.push(s.clone()),
        serde_json::Value::Array(a) => a.iter().for_each(|v| texts(v, all)),
        serde_json::Value::Object(o) => o
            .iter()
            .filter(|(k, _)| !["wine", "not_read", "read"].contains(&k.as_str()))
            .for_each(|(_, v)| texts(v, all)),
        _ => {}
    }
}

proptest! {
    #![proptest_config(chance::tries(80))]

    #[test]
    fn every_page_and_paper_reads(wine in worked()) {
        let today = Day::read("2026-11-26");
        let mut all = Vec::new();
        texts(&serde_json::to_value(advise(&Dossier::of(&wine), today)).unwrap(), &mut all);
        texts(&serde_json::to_value(stillbright::route::routes(&Dossier::of(&wine), today)).unwrap(), &mut all);
        all.extend(stillbright::route::plan::chosen(&Dossier::of(&wine), today).map(|c| c.says));
        // On paper what was typed stands as it was typed: here it is made plain.
        let plain = Wine { name: "x".into(), bottling_day: Day::read(&wine.bottling_day).map_or(String::new(), |d| d.show()), volume: AsTyped(String::new()),
            done: wine.done.iter().map(|d| Done { note: "x".into(), dose: AsTyped("1".into()), treatment: d.treatment.clone(), day: d.day.clone(), ..Done::default() }).collect(), ..wine.clone() };
        let order = work_order(&Dossier::of(&wine));
        for s in &order.steps {
            if matches!(s.treatment.access, Access::Licensed | Access::Trained) {
                prop_assert!(s.amount.is_none() && s.dose.is_err(), "{}", s.treatment.key);
            }
            if let Some(a) = s.amount {
                prop_assert!(a.product.is_finite() && a.product >= 0.0, "{a:?}");
                let tried = stillbright::trial::dose_for(&Dossier::of(&wine), s.treatment).is_some();
                prop_assert!(tried || !s.treatment.dose.unwrap().by_trial, "{} has a mass and no trial", s.treatment.key);
            }
        }
        prop_assert_eq!(weighed_without_trial(&wine), None);
        let r = ready(&Dossier::of(&plain), today);
        // What cannot be read is quoted as it was typed.
        let quotes: Vec<String> = Dossier::of(&plain).errors.iter().map(|e| format!("“{}”", e.read)).collect();
        for blocks in [sheet::of_order(&Dossier::of(&plain), &work_order(&Dossier::of(&plain))), of_ready(&Dossier::of(&plain), &r), sheet::laboratory(&Dossier::of(&plain), today), sheet::client(&Dossier::of(&plain), &r)] {
            all.extend(sheet::text("Sheet", &blocks).lines().filter(|l| !quotes.iter().any(|q| l.contains(q))).map(|l| l.trim().trim_end_matches('_').trim().to_string()));
        }
        for t in TREATMENTS.iter() {
            if let Some(read) = stillbright::trial::read(&Dossier::of(&wine), t) {
                all.push(read.answer.clone());
                all.extend(read.notes.iter().map(ToString::to_string));
            }
        }
        for text in all {
            if let Some(w) = wrong(&text) {
                prop_assert!(false, "{w}");
            }
        }
    }
}

proptest! {
    #![proptest_config(chance::tries(1000))]

    #[test]
    fn what_stands_beside_a_trial_is_weighed_by_its_own_word_only(wine in at_the_bench()) {
        prop_assert_eq!(weighed_without_trial(&wine), None);
    }
}
