//! A wine is checked once: what cannot be read is kept with its error, and every answer that would
//! use it says so.
#![allow(missing_docs)]

mod chance;

use proptest::prelude::*;
use stillbright::advice::advise;
use stillbright::answer::AnswerKey;
use stillbright::case::{Case, Field};
use stillbright::dossier::Dossier;
use stillbright::route::routes;
use stillbright::stability::{Status, stabilities};
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::order::work_order;
use stillbright::work_order::ready::{Because as Lacks, ready};
use stillbright::work_order::{dosing::Because, sheet};

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

/// A white wine of which nothing that was typed can be read.
fn scrawled() -> Wine {
    Wine {
        colour: Some(Colour::White),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Protein],
        volume: typed("a lot"),
        bottling_day: "soon".into(),
        analyses: [(Quantity::HeatRise, typed("high"))].into(),
        measured_on: [(Quantity::HeatRise, typed("yesterday"))].into(),
        plan: vec![PlanStep {
            treatment: "bentonite_sodium".into(),
            dose: typed("some"),
            ..PlanStep::default()
        }],
        done: vec![Done {
            treatment: "casein".into(),
            day: "in May".into(),
            dose: typed("a bag"),
            ..Done::default()
        }],
        trials: vec![Trial {
            treatment: "bentonite_sodium".into(),
            target: typed("low"),
            ..Trial::default()
        }],
        ..Wine::default()
    }
}

#[test]
fn what_cannot_be_read_stands_in_its_field_with_its_error() {
    let case = Case::of(&scrawled());
    let fields: Vec<&str> = case.errors.iter().map(|e| e.field.as_str()).collect();
    for field in [
        "analyses.heat_rise",
        "volume",
        "measured_on.heat_rise",
        "plan.0.dose",
        "done.0.day",
        "done.0.dose",
        "bottling_day",
        "trials.0.target",
    ] {
        assert!(fields.contains(&field), "{field} is not in {fields:?}");
    }
    let error = |field: Option<&InputError>| field.map(|e| e.field.clone());
    assert_eq!(error(case.volume.error()).as_deref(), Some("volume"));
    assert_eq!(
        error(case.unreadable(Quantity::HeatRise)).as_deref(),
        Some("analyses.heat_rise")
    );
    assert_eq!(
        error(case.plan[0].dose.error()).as_deref(),
        Some("plan.0.dose")
    );
    assert_eq!(
        error(case.log[0].day.error()).as_deref(),
        Some("done.0.day")
    );
    assert!(case.log[0].words().ends_with("(in May)"));
    assert!(matches!(case.bottling_day, Field::Unreadable(_)));
    assert!(case.labour_per_hour.is_empty());
}

#[test]
fn every_answer_says_what_it_could_not_read() {
    let case = Dossier::of(&scrawled());
    let advice = advise(&case, None);
    assert_eq!(advice.not_read, case.errors);
    let protein = &advice.problems[0];
    assert!(
        protein.says.contains(&AnswerKey::MendFirst),
        "{}",
        protein.answer
    );
    let heat = stabilities(&case)
        .into_iter()
        .find(|s| s.quantity == Quantity::HeatRise)
        .unwrap();
    assert_eq!(heat.status, Status::Unknown);
    assert!(
        heat.notes.iter().any(|n| n.contains("cannot be read")),
        "{:?}",
        heat.notes
    );
    assert_eq!(routes(&case, None).not_read, case.errors);
    let order = work_order(&case);
    assert_eq!(
        order.steps[0].dose.as_ref().unwrap_err().because,
        Because::Unreadable
    );
    let record = ready(&case, None);
    let heat = record
        .evidence
        .iter()
        .find(|p| p.because == Some(Lacks::Unreadable))
        .unwrap();
    assert!(!record.line && heat.found == "“high”", "{heat:?}");
    // Each paper begins with what it could not read.
    let paper = sheet::text("Order", &[sheet::head(&case)]);
    for error in &case.errors {
        assert!(paper.contains(&error.to_string()), "{error} in {paper}");
    }
}

proptest! {
    #![proptest_config(chance::tries(256))]

    /// Whatever stands in the fields, a case holds a value or an error for each that is not blank.
    #[test]
    fn nothing_typed_is_passed_over(text in "\\PC{0,12}", day in "\\PC{0,12}") {
        let case = Case::of(&Wine {
            volume: typed(&text),
            bottling_day: day.clone(),
            analyses: [(Quantity::Ph, typed(&text))].into(),
            ..Wine::default()
        });
        prop_assert_eq!(case.volume.is_empty(), text.trim().is_empty());
        prop_assert_eq!(case.bottling_day.is_empty(), day.trim().is_empty());
        let ph = case.analyses.get(&Quantity::Ph);
        prop_assert_eq!(ph.is_none_or(Field::is_empty), text.trim().is_empty());
        let errors = [case.volume.error(), case.bottling_day.error(), case.unreadable(Quantity::Ph)];
        for error in errors.into_iter().flatten() {
            prop_assert!(case.errors.contains(error), "{}", error);
        }
        prop_assert_eq!(case.bottling_day.given(), Day::read(&day));
    }
}
