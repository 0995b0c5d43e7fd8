//! What a program reads of a wine: the same as the page shows, with keys beside the words.
#![allow(clippy::unwrap_used, missing_docs)]

use serde_json::Value;
use stillbright::advice::advise;
use stillbright::book::read_file;
use stillbright::dossier::Dossier;
use stillbright::report::{Everything, everything};
use stillbright::route::plan::{Judged, chosen};
use stillbright::route::routes;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::deciding::request;
use stillbright::work_order::sheet::Line;

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

/// A white whose bentonite was tried, is planned and comes before chilling and a membrane.
fn planned() -> Wine {
    let rung = |dose: &str, reading: &str| Rung {
        dose: typed(dose),
        reading: typed(reading),
        ..Rung::default()
    };
    let step = |key: &str| PlanStep {
        treatment: key.into(),
        ..PlanStep::default()
    };
    Wine {
        name: "Tank 4".into(),
        colour: Some(Colour::White),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        made_in: Some(Market::Eu),
        volume: typed("5000"),
        bottling_day: "2027-03-01".into(),
        problems: vec![Problem::Protein, Problem::Crystals],
        observed: [("even_haze".to_string(), true)].into(),
        analyses: [(Quantity::HeatRise, typed("12"))].into(),
        measured_on: [(Quantity::HeatRise, typed("2026-11-20"))].into(),
        plan: vec![
            step("bentonite_sodium"),
            step("chill_static"),
            step("membrane_045"),
        ],
        trials: vec![Trial {
            treatment: "bentonite_sodium".into(),
            quantity: Some(Quantity::HeatRise),
            day: "2026-11-21".into(),
            rungs: vec![rung("0", "12"), rung("30", "4"), rung("60", "0.8")],
            chosen: typed("60"),
            ..Trial::default()
        }],
        ..Wine::default()
    }
}

fn demo() -> Vec<Wine> {
    stillbright::demos::TEXTS
        .iter()
        .flat_map(|text| read_file(text).unwrap())
        .collect()
}

/// Every name of a field in a report.
fn fields(value: &Value, all: &mut Vec<String>) {
    match value {
        Value::Array(a) => a.iter().for_each(|v| fields(v, all)),
        Value::Object(o) => o.iter().for_each(|(k, v)| {
            all.push(k.clone());
            fields(v, all);
        }),
        _ => {}
    }
}

#[test]
fn everything_is_what_the_parts_are() {
    for wine in demo().into_iter().chain([planned()]) {
        let Everything {
            advice,
            routes: found,
            order,
            record,
            laboratory,
            ..
        } = everything(&Dossier::of(&wine), today());
        assert_eq!(
            (advice, found),
            (
                advise(&Dossier::of(&wine), today()),
                routes(&Dossier::of(&wine), today())
            )
        );
        assert_eq!(
            (&order.wine, &record.wine, &laboratory.wine),
            (&wine.name, &wine.name, &wine.name)
        );
        assert!(!order.sheet.is_empty() && record.sheet[0].heading == "Answer");
        // What is asked stands word for word on the sheet.
        let lines = &laboratory.sheet[1].lines;
        assert!(
            laboratory
                .asked
                .iter()
                .all(|a| lines.contains(&Line::Say(a.text.clone()))),
            "{lines:?}"
        );
        assert_eq!(
            laboratory.asked.is_empty(),
            request(&Dossier::of(&wine), today()).is_empty()
        );
    }
}

#[test]
fn the_report_of_a_planned_wine_has_its_values() {
    let json = serde_json::to_value(everything(&Dossier::of(&planned()), today())).unwrap();
    let step = &json["order"]["order"]["steps"][0];
    assert_eq!(
        (
            &step["treatment"]["key"],
            &step["dose"]["dose"],
            &step["dose"]["by"]
        ),
        (&"bentonite_sodium".into(), &60.0.into(), &"trial".into())
    );
    assert_eq!(step["amount"]["product"], 3000.0);
    let trial = &json["trials"][0];
    assert_eq!(
        (
            &trial["treatment"],
            &trial["reading"]["outcome"],
            &trial["reading"]["chosen"]
        ),
        (&"bentonite_sodium".into(), &"found".into(), &60.0.into())
    );
    assert_eq!(
        json["record"]["record"]["says"],
        serde_json::json!(["not_fit", "not_shown"])
    );
    assert!(
        json["record"]["record"]["evidence"]
            .as_array()
            .unwrap()
            .iter()
            .any(|e| e["key"] == "chill_static" && e["because"] == "not_done")
    );
    assert!(
        json["laboratory"]["asked"]
            .as_array()
            .unwrap()
            .iter()
            .any(|a| a["quantity"] == "conductivity_drop" && a["sample_ml"].is_number())
    );
    assert!(json["advice"]["diagnosis"]["next"]["key"].is_string());
    // No type of the program shows through, and a treatment is named, not told in full.
    let mut names = Vec::new();
    fields(&json, &mut names);
    assert!(
        !names
            .iter()
            .any(|n| ["Ok", "Err", "Some", "cautions", "effects"].contains(&n.as_str())),
        "{names:?}"
    );
}

#[test]
fn whether_the_route_that_was_taken_holds_has_a_key() {
    let of = |change: &dyn Fn(&mut Wine)| {
        let mut wine = planned();
        change(&mut wine);
        let c = chosen(&Dossier::of(&wine), today()).unwrap();
        assert_eq!(
            c.holds,
            matches!(
                c.because,
                Judged::Holds | Judged::AllDone | Judged::MeasureAgain
            ),
            "{}",
            c.says
        );
        c.because
    };
    let act = |key: &str| Done {
        treatment: key.into(),
        day: "2026-11-25".into(),
        ..Done::default()
    };
    assert_eq!(
        of(&|w| w.done = vec![
            act("bentonite_sodium"),
            act("chill_static"),
            act("membrane_045")
        ]),
        Judged::AllDone
    );
    assert_eq!(
        of(&|w| w.plan.push(PlanStep {
            treatment: "no_such_thing".into(),
            ..PlanStep::default()
        })),
        Judged::NotKnown
    );
    assert_eq!(of(&|w| w.stage = Some(Stage::Juice)), Judged::NoLongerFits);
    assert_eq!(of(&|w| w.plan.reverse()), Judged::MayNotFollow);
}
