//! Stabilities: published limits, what a reading near its limit says, and what never passes a wine.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use proptest::prelude::*;
use stillbright::stability::draws::{share, triangle};
use stillbright::stability::{Stability, Status, answer, request, stabilities};
use stillbright::wine::*;

fn wine(colour: Colour, typed: &[(Quantity, &str)]) -> Wine {
    Wine { colour: Some(colour), analyses: typed.iter().map(|(q, t)| (*q, AsTyped((*t).into()))).collect(), ..Wine::default() }
}
fn of(w: &Wine, key: &str) -> Stability {
    stabilities(w).into_iter().find(|s| s.key == key).unwrap()
}
fn status(colour: Colour, q: Quantity, text: &str, key: &str) -> Status {
    of(&wine(colour, &[(q, text)]), key).status
}

/// French institutes' data sheet: white 0.8 NTU passes (limit 1.0), rosé 1.7 fails (limit 1.5).
#[test]
fn turbidity_at_bottling() {
    assert_eq!(status(Colour::White, Quantity::Turbidity, "0.7", "clarity"), Status::Stable);
    assert_eq!(status(Colour::Rose, Quantity::Turbidity, "2.0", "clarity"), Status::Unstable);
    assert_eq!(status(Colour::Red, Quantity::Turbidity, "1.6", "clarity"), Status::Stable);
}
/// AWRI heat test: below 2.0 NTU; a single 1.9 is too near to say.
#[test]
fn a_reading_near_its_limit_is_doubtful() {
    assert_eq!(status(Colour::White, Quantity::HeatRise, "1.1", "protein"), Status::Stable);
    assert_eq!(status(Colour::White, Quantity::HeatRise, "1.9", "protein"), Status::Doubtful);
    assert_eq!(status(Colour::White, Quantity::HeatRise, "14", "protein"), Status::Unstable);
    assert!(stabilities(&wine(Colour::Red, &[(Quantity::HeatRise, "14")])).iter().all(|s| s.key != "protein"), "not usual in red");
}
/// Handbook of Enology: 5 % is the line of the mini-contact test.
#[test]
fn mini_contact_by_its_own_limit() {
    assert_eq!(status(Colour::White, Quantity::ConductivityDrop, "2", "bitartrate"), Status::Stable);
    assert_eq!(status(Colour::White, Quantity::ConductivityDrop, "11", "bitartrate"), Status::Unstable);
    let held = Wine { past: vec![Past::Inhibited], ..wine(Colour::White, &[(Quantity::ConductivityDrop, "2")]) };
    let s = of(&held, "bitartrate");
    assert!(s.status == Status::Unknown && s.notes[0].contains("does not judge"));
}
/// AWRI: copper 0.7 mg/L is a risk though under the legal 1.0.
#[test]
fn copper_is_a_risk_under_the_legal_limit() {
    assert_eq!(status(Colour::White, Quantity::Copper, "0.7", "copper"), Status::Unstable);
}
/// AWRI: 60 mg/L of calcium in red, 80 in white.
#[test]
fn calcium_by_colour() {
    assert_eq!(status(Colour::Red, Quantity::Calcium, "70", "calcium"), Status::Unstable);
    assert_eq!(status(Colour::White, Quantity::Calcium, "70", "calcium"), Status::Stable);
}
/// Purdue Extension: 0.6 g/L of sugar and 0.05 of malic acid are low risk.
#[test]
fn sugar_and_malic_acid() {
    assert_eq!(status(Colour::White, Quantity::Sugar, "0.6", "refermentation"), Status::Stable);
    assert_eq!(status(Colour::White, Quantity::Malic, "0.05", "malolactic"), Status::Stable);
    assert_eq!(status(Colour::White, Quantity::Malic, "1.2", "malolactic"), Status::Unstable);
}
#[test]
fn neither_a_guess_nor_a_model_nor_a_voided_reading_passes_a_wine() {
    for s in stabilities(&wine(Colour::White, &[])) {
        assert_eq!(s.status, Status::Unknown, "{}", s.key);
    }
    let full = [(Quantity::Ph, "3.2"), (Quantity::Alcohol, "12"), (Quantity::Potassium, "300"), (Quantity::Tartaric, "1.5")];
    let s = of(&wine(Colour::White, &full), "bitartrate");
    assert!(s.status == Status::Unknown && s.notes.iter().any(|n| n.contains("A model decides nothing")));
    let mut w = wine(Colour::White, &[(Quantity::HeatRise, "0.5")]);
    assert_eq!(of(&w, "protein").status, Status::Stable);
    w.stale = vec![Quantity::HeatRise];
    let s = of(&w, "protein");
    assert!(s.status == Status::Unknown && s.notes[0].contains("Measure again"));
    // The advice does not call it measured either.
    w.problems = vec![Problem::Protein];
    assert!(stillbright::advice::advise(&w, None).problems[0].answer.contains("measure first"));
}
#[test]
fn the_request_sheet_asks_for_what_is_not_known() {
    let w = Wine {
        name: "Vat 3".into(),
        problems: vec![Problem::VolatileAcidity],
        ..wine(Colour::White, &[(Quantity::HeatRise, "0.5"), (Quantity::Sugar, "0.3")])
    };
    let sheet = request(&w, &stabilities(&w));
    assert!(sheet[0].contains("Vat 3") && sheet[1].contains("750 mL"));
    assert!(sheet.iter().any(|l| l.starts_with("Copper:")) && sheet.iter().any(|l| l.contains("Volatile acidity")));
    assert!(!sheet.iter().any(|l| l.starts_with("Protein:") || l.starts_with("Refermentation:")));
}
#[test]
fn the_answer_names_the_worst_first() {
    let w = wine(Colour::White, &[(Quantity::HeatRise, "14"), (Quantity::Turbidity, "0.5")]);
    assert!(answer(&stabilities(&w)).starts_with("Not stable: protein."));
    assert!(stabilities(&Wine { style: Some(Style::Juice), ..w }).is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn draws_are_keyed_even_and_inside(q in proptest::sample::select(Quantity::ALL), low in 0.0..10.0_f64, a in 0.0..5.0_f64, b in 0.0..5.0_f64) {
        let all: Vec<f64> = (0..256).map(|i| share(q, i)).collect();
        prop_assert!(all.iter().all(|s| (0.0..1.0).contains(s)));
        prop_assert_eq!(share(q, 77).to_bits(), all[77].to_bits());
        let mean = all.iter().sum::<f64>() / 256.0;
        prop_assert!((mean - 0.5).abs() < 0.03, "{mean}");
        // The mean of a triangle is the mean of its corners, to the error of 256 even draws.
        let (middle, high) = (low + a, low + a + b);
        let got = all.iter().map(|s| triangle(low, middle, high, *s)).sum::<f64>() / 256.0;
        prop_assert!((got - (low + middle + high) / 3.0).abs() <= 0.02 * (high - low) + 1e-9);
        prop_assert!(all.iter().map(|s| triangle(low, middle, high, *s)).all(|v| v >= low - 1e-9 && v <= high + 1e-9));
    }

    #[test]
    fn more_of_what_is_bad_is_never_more_stable(v in 0.0..10.0_f64, more in 0.0..10.0_f64) {
        let p = |x: f64| of(&wine(Colour::White, &[(Quantity::HeatRise, &format!("{x:.2}"))]), "protein").probability;
        prop_assert!(p(v + more) <= p(v) + 1e-9);
    }
}
