//! Work order, log and fitness to bottle: worked examples with names, and what must hold for any
//! wine.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod chance;

use proptest::prelude::*;
use proptest::sample::select;
use stillbright::book::{Memory, Port, Shelf, read_file, write_wine};
use stillbright::case::{Case, Field, checked_dose};
use stillbright::dossier::Dossier;
use stillbright::knowledge::{LAST, TREATMENTS, Treatment};
use stillbright::law::{Legality, findings};
use stillbright::rules::Before;
use stillbright::units::Litres;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::amount::amount;
use stillbright::work_order::dosing::{Because, WeighedBy, dose_for};
use stillbright::work_order::order::{WorkOrder, work_order};
use stillbright::work_order::ready::{Fitness, Shown, consequences, ready};
use stillbright::work_order::sheet;

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn in_plan(text: &str) -> Field<f64> {
    checked_dose(&typed(text), || "plan.0.dose".into())
}

fn treatment(key: &str) -> &'static Treatment {
    TREATMENTS.iter().find(|t| t.key == key).unwrap()
}

fn step(key: &str, dose: &str) -> PlanStep {
    PlanStep {
        treatment: key.into(),
        dose: typed(dose),
        ..PlanStep::default()
    }
}

fn act(key: &str, day: &str, dose: &str) -> Done {
    Done {
        treatment: key.into(),
        day: day.into(),
        dose: typed(dose),
        ..Done::default()
    }
}

/// A trial with a control and one read rung, which is chosen.
fn trial(key: &str, chosen: &str, reading: &str) -> Trial {
    let rung = |dose: &str| Rung {
        dose: typed(dose),
        reading: typed(reading),
        ..Rung::default()
    };
    Trial {
        treatment: key.into(),
        quantity: Some(Quantity::HeatRise),
        day: "2026-11-02".into(),
        rungs: vec![rung("0"), rung(chosen)],
        chosen: typed(chosen),
        ..Trial::default()
    }
}

fn white() -> Wine {
    Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        style: Some(Style::StillDry),
        volume: typed("5000 L"),
        ..Wine::default()
    }
}

fn product(order: &WorkOrder, step: usize) -> f64 {
    order.steps[step].amount.unwrap().product
}

fn paper(wine: &Wine) -> String {
    sheet::text(
        "Work order",
        &sheet::of_order(&Dossier::of(wine), &work_order(&Dossier::of(wine))),
    )
}

// Worked examples.

/// The reference's case W6: bentonite 60 g/hL in 50 hL as a 5 % slurry: 3.0 kg in 60 L of water,
/// 1.2 % of the wine, over 1 %.
#[test]
fn bentonite_for_fifty_hectolitres() {
    let wine = Wine {
        made_in: Some(Market::Us),
        plan: vec![step("bentonite_sodium", "60")],
        trials: vec![trial("bentonite_sodium", "60", "1.2")],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    assert!((product(&order, 0) - 3000.0).abs() < 1e-9);
    assert!((order.water - 60.0).abs() < 1e-9 && (order.water_percent() - 1.2).abs() < 1e-9);
    let text = paper(&wine);
    assert!(text.contains("Weigh 3 kg in all: 60 g/hL"), "{text}");
    assert!(text.contains("! Over 1 %"), "{text}");
    assert!(
        text.contains("Bentonite and earth dust may hold crystalline silica"),
        "{text}"
    );
}

/// The days of the order are those of a route: a trial that is still to be made stands before its
/// step, one that was read does
/// not, and what the log has takes no day.
#[test]
fn a_trial_still_to_be_made_takes_its_days() {
    let open = Wine {
        plan: vec![step("bentonite_sodium", ""), step("racking", "")],
        ..white()
    };
    let bentonite = treatment("bentonite_sodium");
    // Until the wine is clear of it, which is longer here than the least wait.
    let over = |from: f64| Some([from + bentonite.days.low, from + bentonite.days.high]);
    let order = work_order(&Dossier::of(&open));
    assert_eq!(
        (order.steps[0].trial_days, order.steps[0].day),
        (2.0, Some([2.0, 2.0]))
    );
    assert_eq!(
        (order.steps[1].trial_days, order.steps[1].day),
        (0.0, over(2.0))
    );
    assert!(order.days[1] > order.steps[1].day.unwrap()[1] - 1e-9);
    let read = Wine {
        trials: vec![trial("bentonite_sodium", "60", "1.2")],
        ..open.clone()
    };
    let order = work_order(&Dossier::of(&read));
    assert_eq!(
        (
            order.steps[0].trial_days,
            order.steps[0].day,
            order.steps[1].day
        ),
        (0.0, Some([0.0, 0.0]), over(0.0))
    );
    let done = Wine {
        done: vec![act("bentonite_sodium", "2026-11-03", "60")],
        ..read
    };
    let order = work_order(&Dossier::of(&done));
    assert_eq!(
        (order.steps[0].day, order.steps[1].day),
        (None, Some([0.0, 0.0]))
    );
}

/// AWRI-PACK: at least seven days from a copper addition to the bottle, though the wine is clear of
/// it in one or two. AWRI-CMC and WV-2015: two
/// to three days from CMC to the membrane; the time to dissolve runs in them and is not added.
#[test]
fn the_least_wait_counts_from_the_act() {
    for (key, least, most) in [
        ("copper_sulfate", 7.0, 7.0),
        ("cmc", 2.0, 3.0),
        ("pectinase", 1.0, 7.0),
        ("calcium_carbonate", 42.0, 180.0),
    ] {
        let order = work_order(&Dossier::of(&Wine {
            plan: vec![step(key, ""), step("racking", "")],
            ..white()
        }));
        let [from, to] = order.steps[0].day.unwrap();
        assert_eq!(
            (Some(order.steps[0].takes), order.steps[1].day),
            (Some([least, most]), Some([from + least, to + most])),
            "{key}"
        );
    }
}

/// The headline names the day that is too near or gone, so that nobody begins what cannot end; with
/// time enough it says nothing of it.
#[test]
fn the_headline_names_a_bottling_day_that_is_too_near() {
    let says = |bottling_day: &str| {
        let wine = Wine {
            problems: vec![Problem::Protein],
            sold_in: vec![Market::Eu],
            bottling_day: bottling_day.into(),
            ..white()
        };
        stillbright::advice::advise(&Dossier::of(&wine), Day::read("2026-11-26")).problems[0]
            .answer
            .clone()
    };
    assert!(
        says("2026-11-27").starts_with(
            "Bottling is 1 day away: sodium bentonite cannot be done by then. Move the day. "
        ),
        "{}",
        says("2026-11-27")
    );
    assert!(
        says("25.11.2026").starts_with("The bottling day has passed: set another. "),
        "{}",
        says("25.11.2026")
    );
    for far in ["2027-02-01", ""] {
        assert!(!says(far).contains("ottling"), "{}", says(far));
    }
}

/// A reading that an act of the log has voided was taken all the same.
#[test]
fn the_headline_knows_a_voided_reading_from_none() {
    let mut wine = Wine {
        problems: vec![Problem::Protein],
        sold_in: vec![Market::Eu],
        ..white()
    };
    let says = |wine: &Wine| {
        stillbright::advice::advise(&Dossier::of(wine), None).problems[0]
            .answer
            .clone()
    };
    wine.done.push(act("bentonite_sodium", "2026-11-03", "60"));
    assert!(
        says(&wine).starts_with("Heat test rise was not measured: measure first. "),
        "{}",
        says(&wine)
    );
    wine.analyses.insert(Quantity::HeatRise, typed("12"));
    assert!(
        says(&wine).starts_with(
            "Heat test rise was measured before the last change of the wine: measure again first. "
        ),
        "{}",
        says(&wine)
    );
    wine.measured_on
        .insert(Quantity::HeatRise, typed("2026-11-04"));
    assert!(!says(&wine).contains("measure"), "{}", says(&wine));
}

/// An order that is given out has a name, says by when it begins, and no figure for water before
/// there are doses.
#[test]
fn the_head_of_an_order_names_what_is_missing_and_when_to_begin() {
    let open = Wine {
        plan: vec![step("bentonite_sodium", ""), step("racking", "")],
        bottling_day: "31.12.2026".into(),
        name: "Tank 4".into(),
        ..white()
    };
    let text = paper(&open);
    // Trial 2, bentonite 10, racking 3 and the tests after them 5 days by the longer count.
    assert!(
        text.contains("By the longer count it takes 20 days to the bottle, tests among them: to bottle on the day planned, begin by 2026-12-11."),
        "{text}"
    );
    assert!(
        text.contains("Bottling day: 2026-12-31.")
            && text.contains("is not known before the doses are")
            && !text.contains("at most 0 L"),
        "{text}"
    );
    assert!(!text.contains("This wine has no name"));
    assert!(
        paper(&Wine {
            name: " ".into(),
            ..open
        })
        .contains("! This wine has no name: write it and its tank here")
    );
}

/// Reference C3/I9: 0.2 mg/L of copper in 1000 L is 0.2 g Cu, 0.786 g of the pentahydrate (25.45 %
/// Cu).
#[test]
fn copper_counts_the_metal_and_weighs_the_salt() {
    let a = amount(
        &treatment("copper_sulfate").dose.unwrap(),
        0.2,
        Litres(1000.0),
    )
    .unwrap();
    assert!((a.product - 0.785_854_6).abs() < 1e-6 && (a.active.unwrap() - 0.2).abs() < 1e-12);
}

/// 40 mg/L of SO2 in 2250 L are 90 g of SO2, 156.25 g of metabisulfite of 57.6 %.
#[test]
fn sulfur_dioxide_counts_the_gas_and_weighs_the_salt() {
    let wine = Wine {
        volume: typed("22.5 hL"),
        plan: vec![step("sulfur_dioxide", "40")],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    assert!((product(&order, 0) - 156.25).abs() < 1e-9);
    assert!((order.steps[0].amount.unwrap().active.unwrap() - 90.0).abs() < 1e-9);
    assert_eq!(
        order.steps[0].dose.as_ref().unwrap().by,
        WeighedBy::Analyses
    );
}

/// 50 mL/hL of a 30 % silica sol (0.36 g of SiO2 in 1 mL) in 5000 L: 2.5 L with 900 g of silicon
/// dioxide.
#[test]
fn silica_sol_is_poured_by_volume() {
    let wine = Wine {
        plan: vec![step("silica_sol", "50")],
        trials: vec![trial("silica_sol", "50", "2")],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    assert!((product(&order, 0) - 2500.0).abs() < 1e-9);
    assert!((order.steps[0].amount.unwrap().active.unwrap() - 900.0).abs() < 1e-9);
    assert!(
        paper(&wine).contains("Weigh 2.5 L in all"),
        "{}",
        paper(&wine)
    );
}

/// The reference's case W11 with the weak slurries: bentonite 40 at 5 %, gelatin 5 at 1 %: 0.8 and
/// 0.5 L/hL, 1.3 %.
#[test]
fn water_of_two_slurries_adds_up() {
    let wine = Wine {
        plan: vec![step("bentonite_sodium", "40"), step("gelatin", "5")],
        trials: vec![
            trial("bentonite_sodium", "40", "1"),
            trial("gelatin", "5", "1"),
        ],
        ..white()
    };
    assert!((work_order(&Dossier::of(&wine)).water_percent() - 1.3).abs() < 1e-9);
}

#[test]
fn with_no_volume_amounts_are_for_a_hectolitre_and_say_so() {
    let wine = Wine {
        volume: typed(""),
        plan: vec![step("bentonite_sodium", "")],
        trials: vec![trial("bentonite_sodium", "60", "1.2")],
        ..white()
    };
    assert!((product(&work_order(&Dossier::of(&wine)), 0) - 60.0).abs() < 1e-9);
    let text = paper(&wine);
    assert!(
        text.contains("The volume is not known") && text.contains("Weigh 60 g for each 100 L"),
        "{text}"
    );
}

// Which dose may be weighed.

#[test]
fn a_bench_dosed_agent_needs_a_reading_or_a_confirmed_word() {
    let t = treatment("bentonite_sodium");
    let with = |trials: Vec<Trial>, plan: &str| {
        dose_for(
            &Dossier::of(&Wine { trials, ..white() }),
            t,
            &in_plan(plan),
            &Before::default(),
        )
    };
    assert!(
        with(vec![], "60")
            .unwrap_err()
            .contains("First a bench trial")
    );
    // Chosen but not read; chosen but no rung; read but none chosen.
    assert!(
        with(vec![trial("bentonite_sodium", "60", "")], "60")
            .unwrap_err()
            .contains("no tested rung")
    );
    let other = Trial {
        chosen: typed("70"),
        ..trial("bentonite_sodium", "60", "1")
    };
    assert!(
        with(vec![other], "")
            .unwrap_err()
            .contains("no tested rung")
    );
    let none = Trial {
        chosen: typed(""),
        ..trial("bentonite_sodium", "60", "1")
    };
    assert!(
        with(vec![none], "60")
            .unwrap_err()
            .contains("finish the bench trial")
    );
    // A whole ladder gives the rung that it recommends, with none chosen.
    let rung = |dose: &str, reading: &str| Rung {
        dose: typed(dose),
        reading: typed(reading),
        ..Rung::default()
    };
    let whole = Trial {
        treatment: t.key.into(),
        quantity: Some(Quantity::HeatRise),
        day: "2026-11-01".into(),
        rungs: vec![
            rung("0", "12"),
            rung("20", "7"),
            rung("40", "3.5"),
            rung("60", "0.9"),
            rung("80", "0.5"),
        ],
        ..Trial::default()
    };
    assert!((with(vec![whole], "").unwrap().dose - 60.0).abs() < 1e-9);
    // The plan and the trial disagree.
    assert!(
        with(vec![trial("bentonite_sodium", "60", "1")], "80")
            .unwrap_err()
            .contains("settle")
    );
    assert_eq!(
        with(vec![trial("bentonite_sodium", "60", "1")], "60")
            .unwrap()
            .by,
        WeighedBy::Trial
    );
    let confirmed = Trial {
        treatment: t.key.into(),
        not_trialled: true,
        ..Trial::default()
    };
    assert_eq!(
        with(vec![confirmed.clone()], "60").unwrap().by,
        WeighedBy::NotTrialled
    );
    assert!(with(vec![confirmed.clone()], "").is_err());
    let wine = Wine {
        trials: vec![confirmed],
        plan: vec![step(t.key, "60")],
        ..white()
    };
    assert!(paper(&wine).contains("! NOT TRIALLED"));
}

/// Where no dose may be weighed a key says why, beside the words.
#[test]
fn a_dose_that_is_not_given_has_its_reason_as_a_key() {
    let because = |key: &str, trials: Vec<Trial>, plan: &str| {
        dose_for(
            &Dossier::of(&Wine { trials, ..white() }),
            treatment(key),
            &in_plan(plan),
            &Before::default(),
        )
        .unwrap_err()
        .because
    };
    let tried = |chosen: &str, reading: &str| {
        vec![Trial {
            chosen: typed(chosen),
            ..trial("bentonite_sodium", "60", reading)
        }]
    };
    let confirmed = || {
        vec![Trial {
            treatment: "bentonite_sodium".into(),
            not_trialled: true,
            ..Trial::default()
        }]
    };
    assert_eq!(
        because("bentonite_sodium", vec![], "60"),
        Because::BenchTrial
    );
    assert_eq!(
        because("bentonite_sodium", tried("70", "1"), ""),
        Because::NotTested
    );
    assert_eq!(
        because("bentonite_sodium", tried("", "1"), "60"),
        Because::TrialOpen
    );
    assert_eq!(
        because("bentonite_sodium", tried("60", "1"), "80"),
        Because::Disagree
    );
    assert_eq!(
        because("bentonite_sodium", tried("60", "1"), "much"),
        Because::Unreadable
    );
    assert_eq!(
        because("bentonite_sodium", confirmed(), ""),
        Because::NotInPlan
    );
    assert_eq!(because("bentonite_sodium", confirmed(), "0"), Because::Zero);
    assert_eq!(because("sulfur_dioxide", vec![], ""), Because::Analyses);
    assert_eq!(because("chill_static", vec![], ""), Because::Process);
    assert_eq!(because("ferrocyanide", vec![], "5"), Because::Never);
    let first = |wine: Wine| {
        work_order(&Dossier::of(&wine))
            .steps
            .pop()
            .unwrap()
            .dose
            .unwrap_err()
            .because
    };
    let moved = Wine {
        trials: tried("60", "1"),
        done: vec![act("blending", "2026-11-20", "")],
        plan: vec![step("bentonite_sodium", "60")],
        ..white()
    };
    assert_eq!(first(moved), Because::TrialOld);
}

/// As a report a step names its treatment by key and name, not with all its facts, and its place
/// and its wine by keys.
#[test]
fn an_order_can_be_read_by_a_program() {
    let wine = Wine {
        claims: vec![Claim::Vegan],
        plan: vec![
            step("membrane_045", ""),
            step("isinglass", ""),
            step("bentonite_sodium", ""),
        ],
        ..white()
    };
    let json = serde_json::to_value(work_order(&Dossier::of(&wine))).unwrap();
    let steps = json["steps"].as_array().unwrap();
    assert_eq!(
        steps[1]["treatment"],
        serde_json::json!({ "key": "isinglass", "name": treatment("isinglass").name })
    );
    assert_eq!(
        (&steps[0]["dose"]["because"], &steps[1]["dose"]["because"]),
        (&"process".into(), &"closed".into())
    );
    assert_eq!(steps[1]["reasons"][0]["because"], "claim");
    assert_eq!(
        (
            &steps[2]["place"][0]["fault"],
            &steps[2]["place"][0]["other"]
        ),
        (&"goes_before".into(), &"membrane_045".into())
    );
}

#[test]
fn a_trial_older_than_a_change_of_the_wine_weighs_nothing() {
    let before = Wine {
        plan: vec![step("bentonite_sodium", "")],
        trials: vec![trial("bentonite_sodium", "60", "1.2")],
        ..white()
    };
    assert!(work_order(&Dossier::of(&before)).steps[0].dose.is_ok());
    for (day, key, holds) in [
        ("2026-11-01", "blending", true),
        ("2026-11-02", "blending", false),
        ("2026-11-03", "bentonite_sodium", false),
        ("", "racking", true),
    ] {
        let wine = Wine {
            done: vec![act(key, day, "60")],
            ..before.clone()
        };
        assert_eq!(
            work_order(&Dossier::of(&wine)).steps[0].dose.is_ok(),
            holds,
            "{key} {day}"
        );
    }
}

/// Silica beside a gelatin ladder: both are weighed by the one trial; what is done of it at its
/// dose is no change of the wine.
#[test]
fn two_agents_of_one_trial_are_both_weighed() {
    let rung = |dose: &str, reading: &str| Rung {
        dose: typed(dose),
        reading: typed(reading),
        ..Rung::default()
    };
    let pair = Trial {
        treatment: "gelatin".into(),
        quantity: Some(Quantity::Turbidity),
        day: "2026-11-02".into(),
        rungs: vec![
            rung("0", "9"),
            rung("2", "3"),
            rung("5", "0.3"),
            rung("8", "0.2"),
        ],
        with: vec![step("silica_sol", "50")],
        ..Trial::default()
    };
    let wine = Wine {
        trials: vec![pair],
        plan: vec![step("silica_sol", ""), step("gelatin", "")],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    assert!(
        (product(&order, 0) - 2500.0).abs() < 1e-9 && (product(&order, 1) - 250.0).abs() < 1e-9
    );
    assert_eq!(order.steps[0].dose.as_ref().unwrap().by, WeighedBy::Trial);
    let after = |key: &str, dose: &str| {
        let order = work_order(&Dossier::of(&Wine {
            done: vec![act(key, "2026-11-03", dose)],
            ..wine.clone()
        }));
        (order.steps[0].dose.is_ok(), order.steps[1].dose.is_ok())
    };
    assert_eq!(after("silica_sol", "50"), (false, true));
    assert_eq!(after("silica_sol", "80"), (false, false));
    assert_eq!(after("gelatin", "5"), (true, false));
    assert_eq!(after("gelatin", "8"), (false, false));
    assert_eq!(after("blending", ""), (false, false));
}

#[test]
fn no_mass_where_the_law_forbids_or_the_limit_is_reached() {
    // The cap of polyaspartate and of metatartaric in the EU, over two steps and over the log.
    let t = treatment("metatartaric");
    let eu = Wine {
        made_in: Some(Market::Eu),
        ..white()
    };
    let cap = findings(&Case::of(&eu), t)[0].dose_cap.unwrap();
    assert!((cap - 10.0).abs() < 1e-6, "{cap}");
    let plan = |done: Vec<Done>, steps: usize| Wine {
        plan: vec![step("metatartaric", "7.5"); steps],
        trials: vec![Trial {
            quantity: Some(Quantity::ColdHold),
            ..trial("metatartaric", "7.5", "no")
        }],
        done,
        ..eu.clone()
    };
    let twice = work_order(&Dossier::of(&plan(vec![], 2)));
    assert!(
        twice.steps[0].dose.is_ok()
            && twice.steps[1]
                .dose
                .as_ref()
                .unwrap_err()
                .contains("over the limit")
    );
    assert_eq!(
        twice.steps[1].dose.as_ref().unwrap_err().because,
        Because::OverLimit
    );
    let after = plan(vec![act("metatartaric", "2026-10-01", "5")], 1);
    let f = &findings(&Case::of(&after), t)[0];
    assert!(
        (f.dose_cap.unwrap() - 5.0).abs() < 1e-6
            && f.note.contains("The log gave 5 of the 10 g/hL"),
        "{f:?}"
    );
    assert!(work_order(&Dossier::of(&after)).steps[0].dose.is_err());
    // An entry with no dose leaves nothing.
    let f = &findings(
        &Case::of(&plan(vec![act("metatartaric", "2026-10-01", "")], 1)),
        t,
    )[0];
    assert!(
        f.dose_cap == Some(0.0) && f.note.contains("Entry 1"),
        "{f:?}"
    );
    // Marked as an error, it counts no more.
    let mark = Done {
        corrects: Some(1),
        ..Done::default()
    };
    let f = &findings(
        &Case::of(&plan(vec![act("metatartaric", "2026-10-01", ""), mark], 1)),
        t,
    )[0];
    assert!((f.dose_cap.unwrap() - 10.0).abs() < 1e-6);
}

/// EU, white, dry: at most 200 mg/L in all. 120 read, then 40 added: 40 are left, not 80.
#[test]
fn sulfur_dioxide_added_since_the_reading_counts() {
    let mut wine = Wine {
        made_in: Some(Market::Eu),
        ..white()
    };
    wine.analyses.insert(Quantity::TotalSo2, typed("120"));
    wine.measured_on
        .insert(Quantity::TotalSo2, typed("2026-11-01"));
    let t = treatment("sulfur_dioxide");
    let open = findings(&Case::of(&wine), t)[0].dose_cap.unwrap();
    wine.done.push(act("sulfur_dioxide", "2026-11-05", "40"));
    assert!((open - findings(&Case::of(&wine), t)[0].dose_cap.unwrap() - 40.0).abs() < 1e-6);
    wine.measured_on
        .insert(Quantity::TotalSo2, typed("2026-11-06"));
    assert!((open - findings(&Case::of(&wine), t)[0].dose_cap.unwrap()).abs() < 1e-6);
}

/// Over all treatments: a licensed or trained agent never carries a number, a bench-dosed one none
/// without its trial.
#[test]
fn no_figure_for_whom_none_is_due() {
    for t in TREATMENTS.iter() {
        for dose in ["", "5", "60"] {
            let wine = Wine {
                plan: vec![step(t.key, dose)],
                ..white()
            };
            let order = work_order(&Dossier::of(&wine));
            let s = &order.steps[0];
            if matches!(t.access, Access::Licensed | Access::Trained)
                || t.dose.is_none_or(|d| d.by_trial)
            {
                assert!(
                    s.amount.is_none() && s.dose.is_err() && s.water.is_none(),
                    "{}",
                    t.key
                );
            }
            let text = paper(&wine);
            let own = text
                .split("\n1. ")
                .nth(1)
                .unwrap()
                .split("\nWater\n")
                .next()
                .unwrap()
                .to_string();
            assert_eq!(own.contains(" in all: "), s.amount.is_some(), "{own}");
            if matches!(t.access, Access::Licensed | Access::Trained) {
                let trial = Trial {
                    not_trialled: true,
                    ..trial(t.key, "5", "1")
                };
                assert!(
                    work_order(&Dossier::of(&Wine {
                        trials: vec![trial],
                        ..wine.clone()
                    }))
                    .steps[0]
                        .amount
                        .is_none(),
                    "{}",
                    t.key
                );
                // The limits on what is in the wine may stand; nothing else carries a unit of dose.
                let said: Vec<&str> = own
                    .lines()
                    .filter(|l| !l.starts_with("  Before ") && !l.starts_with("  After, measure "))
                    .collect();
                assert!(
                    !said.iter().any(|l| l.contains("g/hL")
                        || l.contains("mg/L")
                        || l.contains(" kg")
                        || l.contains(" g ")),
                    "{own}"
                );
            }
        }
    }
}

/// What is weighed says how it is made ready and how long it acts; every step says when the wine is
/// clear of it and what is lost.
#[test]
fn every_step_says_how_it_is_prepared_and_how_long_it_acts() {
    for t in TREATMENTS
        .iter()
        .filter(|t| !matches!(t.access, Access::Licensed | Access::Trained))
    {
        assert!(
            t.dose.is_none() || !t.preparation.is_empty(),
            "{}: preparation",
            t.key
        );
        assert!(!t.contact.is_empty(), "{}: contact", t.key);
        let text = paper(&Wine {
            plan: vec![step(t.key, "")],
            ..white()
        });
        assert!(
            text.contains("Clear of it, racked or filtered, after")
                && text.contains("Left behind, lees and rests"),
            "{text}"
        );
    }
}

#[test]
fn nothing_is_weighed_for_a_bottle() {
    let wine = Wine {
        stage: Some(Stage::Bottled),
        plan: vec![step("sulfur_dioxide", "40")],
        ..white()
    };
    assert!(work_order(&Dossier::of(&wine)).steps[0].amount.is_none());
}

#[test]
fn rules_that_bind_stand_beside_their_step() {
    let wine = Wine {
        plan: vec![
            step("bentonite_sodium", ""),
            step("cmc", ""),
            step("membrane_045", ""),
        ],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    assert!(
        order.steps[1]
            .order
            .iter()
            .any(|o| o.rule == "cmc_48h" && o.verdict == RuleVerdict::Apart)
    );
    // What goes before a partner shows only where the partner is there.
    let of = |o: &stillbright::rules::Bearing| o.rule == "carbon_first";
    assert!(!order.steps[0].order.iter().any(of));
    let with = Wine {
        plan: vec![step("carbon_odour", ""), step("bentonite_sodium", "")],
        ..white()
    };
    assert!(
        work_order(&Dossier::of(&with)).steps[1]
            .order
            .iter()
            .any(of)
    );
}

// The order of the steps.

/// Whether an act goes before another, or is shut out after it.
fn precedes(colour: Colour, first: &str, then: &str) -> bool {
    use stillbright::work_order::sequence::goes_first;
    let dossier = Dossier::of(&Wine {
        colour: Some(colour),
        ..white()
    });
    let (first, then) = (treatment(first), treatment(then));
    goes_first(&dossier, first, then).is_some()
        || stillbright::rules::after(&dossier, first, then.key).is_some()
}

/// Who goes first by what was read and by common practice, in a white unless said.
#[test]
fn the_order_of_the_steps_is_that_of_the_rules() {
    const RULES: [(&str, Colour, &[&str], &[&str]); 24] = [
        (
            "tannin_or_silica_first",
            Colour::White,
            &["silica_sol"],
            &["gelatin", "pea_protein", "potato_protein"],
        ),
        (
            "tannin_first",
            Colour::White,
            &["tannin", "silica_sol"],
            &[
                "gelatin",
                "gelatin_high_bloom",
                "gelatin_liquid",
                "wheat_protein",
                "yeast_protein",
            ],
        ),
        (
            "gelatin_then_silica",
            Colour::Red,
            &["gelatin"],
            &["silica_sol"],
        ),
        (
            "gelatin_types_then_silica",
            Colour::Red,
            &["gelatin_high_bloom", "gelatin_low_bloom", "gelatin_liquid"],
            &["silica_sol"],
        ),
        (
            "carbon_first",
            Colour::White,
            &["carbon_colour", "carbon_odour"],
            &["bentonite_sodium", "pvpp", "casein"],
        ),
        (
            "carbon_then_phenols_then_clay",
            Colour::White,
            &["pvpp", "casein", "gelatin"],
            &["bentonite_sodium", "bentonite_calcium"],
        ),
        (
            "enzyme_before_bentonite",
            Colour::White,
            &["pectinase"],
            &["bentonite_sodium"],
        ),
        (
            "enzymes_before_bentonite",
            Colour::White,
            &["glucanase", "protease_heat"],
            &["bentonite_sodium"],
        ),
        (
            "enzyme_before_calcium_bentonite",
            Colour::White,
            &["pectinase"],
            &["bentonite_calcium"],
        ),
        (
            "enzyme_protein_bentonite",
            Colour::White,
            &["pectinase", "gelatin", "casein", "potato_protein"],
            &["bentonite_sodium"],
        ),
        (
            "bentonite_after_gelatin",
            Colour::White,
            &["gelatin"],
            &["bentonite_sodium", "bentonite_calcium"],
        ),
        (
            "tannin_not_after_protein",
            Colour::White,
            &["tannin"],
            &["gelatin", "isinglass", "pea_protein", "wheat_protein"],
        ),
        (
            "copper_then_out",
            Colour::White,
            &["copper_sulfate", "copper_citrate"],
            &["pvi_pvp", "bentonite_sodium"],
        ),
        (
            "colloid_after_fining",
            Colour::White,
            &["gelatin", "bentonite_sodium", "bentonite_calcium"],
            &["metatartaric", "gum_arabic", "mannoproteins"],
        ),
        (
            "cmc_needs_protein_stable",
            Colour::White,
            &["bentonite_sodium"],
            &["cmc", "polyaspartate"],
        ),
        (
            "acid_before_trial",
            Colour::White,
            &["tartaric_acid", "blending"],
            &["bentonite_sodium"],
        ),
        (
            "bentonite_before_cold",
            Colour::White,
            &["bentonite_sodium"],
            &["chill_static"],
        ),
        (
            "cmc_last",
            Colour::White,
            &[
                "blending",
                "tartaric_acid",
                "bentonite_sodium",
                "chill_static",
            ],
            &["cmc"],
        ),
        (
            "metatartaric_last",
            Colour::White,
            &["bentonite_sodium", "chill_static"],
            &["metatartaric"],
        ),
        (
            "filter_cold",
            Colour::White,
            &["chill_static"],
            &["sheet_filtration", "crossflow_filtration"],
        ),
        (
            "clarify_before_filter",
            Colour::White,
            &["gelatin", "bentonite_sodium"],
            &["sheet_filtration", "crossflow_filtration"],
        ),
        (
            "membrane_last",
            Colour::White,
            &["sheet_filtration", "cmc", "bentonite_sodium"],
            &["membrane_045"],
        ),
        (
            "filter_step_down",
            Colour::White,
            &["sheets_coarse", "sheets_clarifying", "membrane_12"],
            &["membrane_065", "membrane_045"],
        ),
        (
            "glucanase_before_filter",
            Colour::White,
            &["glucanase"],
            &["membrane_045", "sheets_sterile"],
        ),
    ];
    for (key, colour, first, then) in RULES {
        for (a, b) in first.iter().flat_map(|a| then.iter().map(move |b| (a, b))) {
            assert!(precedes(colour, a, b), "{key}: {a} before {b}");
            assert!(!precedes(colour, b, a), "{key}: {b} before {a}");
        }
    }
}

/// The search takes acts in the order of the phases: no rule says the other way round, in any colour.
#[test]
fn every_rule_with_a_direction_agrees_with_the_phases() {
    use stillbright::knowledge::RULES;
    use stillbright::route::instance::place;
    use stillbright::work_order::sequence::goes_first;
    let mut pairs = 0;
    for colour in Colour::ALL {
        let dossier = Dossier::of(&Wine {
            colour: Some(*colour),
            ..white()
        });
        let at = |key: &str| place(&dossier, key).map(|(_, at)| at);
        for r in RULES
            .iter()
            .filter(|r| r.verdict == RuleVerdict::GoesBefore)
        {
            let of_rule = r
                .about
                .iter()
                .flat_map(|a| r.acts.iter().map(move |b| (a, b)));
            for (a, b) in of_rule {
                let binds = goes_first(&dossier, treatment(a), treatment(b)).is_some();
                let (Some(first), Some(then)) = (at(a), at(b)) else {
                    continue;
                };
                pairs += usize::from(binds);
                assert!(!binds || first < then, "{}: {a} before {b}", r.key);
            }
        }
    }
    assert!(pairs > 2_000, "{pairs}");
}

/// What may not share a plan is marked, and no mass is printed for it: neither beside an earlier
/// step nor beside what the log gave since the wine was racked.
#[test]
fn a_step_that_is_refused_at_its_place_gets_no_mass() {
    let trials = |key: &str| {
        vec![Trial {
            treatment: key.into(),
            not_trialled: true,
            ..Trial::default()
        }]
    };
    let order = |plan: &[&str], done: Vec<Done>| {
        let wine = Wine {
            plan: plan.iter().map(|k| step(k, "20")).collect(),
            trials: trials("bentonite_sodium"),
            done,
            ..white()
        };
        let order = work_order(&Dossier::of(&wine));
        let last = order.steps.last().unwrap();
        (last.dose.clone().map(|w| w.dose), !last.place.is_empty())
    };
    let (dose, marked) = order(&["pea_protein", "bentonite_sodium"], Vec::new());
    assert!(marked && dose.unwrap_err().because == Because::Closed);
    let (dose, marked) = order(&["racking", "bentonite_sodium"], Vec::new());
    assert!(!marked && dose.is_ok());
    let pea = act("pea_protein", "2026-10-01", "20");
    let (dose, marked) = order(&["bentonite_sodium"], vec![pea.clone()]);
    assert!(marked && dose.unwrap_err().because == Because::Closed);
    let racked = vec![pea, act("racking", "2026-10-10", "")];
    let (dose, marked) = order(&["bentonite_sodium"], racked);
    assert!(!marked && dose.is_ok());
}

/// Where the order depends on the colour and that was not said, either order is marked, with what
/// would decide it.
#[test]
fn an_order_that_depends_on_the_colour_asks_for_it() {
    let said = |colour: Option<Colour>, keys: &[&str]| {
        paper(&Wine {
            colour,
            plan: keys.iter().map(|k| step(k, "")).collect(),
            ..white()
        })
    };
    for keys in [["gelatin", "silica_sol"], ["silica_sol", "gelatin"]] {
        let text = said(None, &keys);
        assert!(text.contains("! Goes before step 1 ("), "{text}");
        assert!(text.contains("The colour was not said."), "{text}");
    }
    let white = Some(Colour::White);
    assert!(said(white, &["gelatin", "silica_sol"]).contains("Goes before step 1 (Gelatin)"));
    assert!(!said(white, &["silica_sol", "gelatin"]).contains("Goes before step"));
}

/// Two days lie between CMC and a filter: by the days of log and plan, else by what the steps
/// between take.
#[test]
fn a_filter_comes_two_days_after_cmc() {
    let said = |done: &str, plan: Vec<PlanStep>| {
        paper(&Wine {
            done: vec![act("cmc", done, "100")]
                .into_iter()
                .filter(|_| !done.is_empty())
                .collect(),
            plan,
            ..white()
        })
    };
    let on = |key: &str, day: &str| PlanStep {
        day: day.into(),
        ..step(key, "")
    };
    let near = "! At least 48 h after ";
    let membrane = |day: &str| vec![on("membrane_045", day)];
    assert!(said("2026-12-01", membrane("2026-12-02")).contains(near));
    assert!(said("2026-12-01", membrane("2026-12-02")).contains("(2026-12-01)"));
    assert!(!said("2026-12-01", membrane("2026-12-03")).contains(near));
    // A day that was not said is taken as too near.
    assert!(said("2026-12-01", membrane("")).contains(near));
    let both = |cmc: &str, membrane: &str| vec![on("cmc", cmc), on("membrane_045", membrane)];
    assert!(said("", both("2026-12-01", "2026-12-02")).contains("48 h after step 1 ("));
    // CMC takes two days as it is.
    assert!(!said("", both("", "")).contains(near));
}

/// CMC waits for a heat test that is passed, and that no step before it voids; not in a red.
#[test]
fn an_inhibitor_waits_for_the_heat_test() {
    let dose = |colour: Colour, rise: &str, plan: &[&str]| {
        let wine = Wine {
            colour: Some(colour),
            analyses: [(Quantity::HeatRise, typed(rise))]
                .into_iter()
                .filter(|_| !rise.is_empty())
                .collect(),
            plan: plan.iter().map(|k| step(k, "10")).collect(),
            trials: plan
                .iter()
                .map(|k| Trial {
                    treatment: (*k).into(),
                    not_trialled: true,
                    ..Trial::default()
                })
                .collect(),
            ..white()
        };
        let order = work_order(&Dossier::of(&wine));
        order.steps.last().unwrap().dose.clone()
    };
    let waits = |rise: &str, plan: &[&str]| {
        let first = dose(Colour::White, rise, plan).unwrap_err();
        assert_eq!(first.because, Because::NotShown, "{}", first.text);
        first.text
    };
    assert!(waits("", &["polyaspartate"]).contains("Measure this first: heat test rise."));
    assert!(waits("12", &["polyaspartate"]).contains("over its limit"));
    assert!(waits("0.2", &["gelatin", "polyaspartate"]).contains("comes before it"));
    assert!(dose(Colour::White, "0.2", &["polyaspartate"]).is_ok());
    assert!(dose(Colour::Red, "", &["polyaspartate"]).is_ok());
}

#[test]
fn a_step_out_of_its_order_says_who_goes_first() {
    let text = |keys: &[&str]| {
        paper(&Wine {
            plan: keys.iter().map(|k| step(k, "")).collect(),
            ..white()
        })
    };
    assert!(
        text(&["bentonite_sodium", "pectinase"])
            .contains("! Goes before step 1 (Sodium bentonite). Bentonite stops an enzyme")
    );
    assert!(text(&["sheet_filtration", "gelatin"]).contains("! Goes before step 1 ("));
    assert!(text(&["cmc", "gelatin"]).contains("! Not with "));
    // Racking between finings, sulfur dioxide at any time, a filter that takes an agent out: no
    // matter.
    for keys in [
        &[
            "silica_sol",
            "gelatin",
            "racking",
            "bentonite_sodium",
            "sheet_filtration",
            "membrane_045",
        ][..],
        &["sulfur_dioxide", "gelatin", "racking"],
        &["pvi_pvp", "sheet_filtration", "bentonite_sodium"],
        &["gelatin", "isinglass"],
    ] {
        assert!(
            !text(keys).contains("Goes before step"),
            "{keys:?}: {}",
            text(keys)
        );
    }
    // What may not be in one wine, also where the log holds it; air after copper is no matter.
    assert!(text(&["lysozyme", "cmc"]).contains("! Not with Lysozyme"));
    assert!(text(&["cmc", "lysozyme"]).contains("! Not with "));
    let done = Wine {
        done: vec![act("lysozyme", "2026-10-01", "20")],
        plan: vec![step("cmc", "")],
        ..white()
    };
    let said = paper(&done);
    assert!(said.contains("Lysozyme (2026-10-01) is in the log") && !said.contains("! Not with"));
    assert!(!text(&["copper_sulfate", "racking"]).contains("! Not with"));
    assert!(text(&["racking", "copper_sulfate"]).contains("! Not with"));
}

// Filters and loss.

/// The reference's worked case: 20 sheets of 0.14 m² at 500 L/m²/h run 1400 L/h; so 11 200 L in 8
/// hours need 20.
#[test]
fn sheets_for_a_run() {
    let wine = Wine {
        volume: typed("11200 L"),
        plan: vec![step("sheets_clarifying", "")],
        ..white()
    };
    let flow = work_order(&Dossier::of(&wine)).steps[0]
        .filter
        .unwrap()
        .by_flow
        .unwrap();
    assert!(
        (flow.area[1] - 2.8).abs() < 1e-9 && flow.pieces.unwrap()[1] == 20,
        "{flow:?}"
    );
}

/// The reference's worked case: Vmax 3000 mL on 4.9 cm², 10 000 L, half used: 3.27 m², six
/// cartridges of 0.6 m².
#[test]
fn a_membrane_by_vmax_of_this_wine() {
    let mut wine = Wine {
        volume: typed("10000 L"),
        plan: vec![step("membrane_045", "")],
        ..white()
    };
    assert!(paper(&wine).contains("! How much it takes before it blocks is not known"));
    wine.analyses.insert(Quantity::Vmax, typed("3000"));
    wine.measured_on.insert(Quantity::Vmax, typed("2026-11-20"));
    let (_, by) = work_order(&Dossier::of(&wine)).steps[0]
        .filter
        .unwrap()
        .by_vmax
        .unwrap();
    assert!(
        (by.area[0] - 3.267).abs() < 0.005 && by.pieces == Some([5, 7]),
        "{by:?}"
    );
    assert!(
        paper(&wine).contains("By Vmax of 3000 mL, half of it used: 3.27 m², 5–7 cartridges"),
        "{}",
        paper(&wine)
    );
    // An act that voids what is read on the disc takes it back.
    wine.done.push(act("gelatin", "2026-11-21", "5"));
    assert!(
        work_order(&Dossier::of(&wine)).steps[0]
            .filter
            .unwrap()
            .by_vmax
            .is_none()
    );
}

#[test]
fn every_filter_says_its_grade_and_area_or_asks_the_maker() {
    for t in TREATMENTS.iter().filter(|t| {
        t.family == Family::Filter && !matches!(t.access, Access::Licensed | Access::Trained)
    }) {
        let wine = |volume: &str| Wine {
            volume: typed(volume),
            plan: vec![step(t.key, "")],
            ..white()
        };
        let known = work_order(&Dossier::of(&wine("5000 L"))).steps[0]
            .filter
            .unwrap();
        let text = paper(&wine("5000 L"));
        match known.facts {
            Some(f) => assert!(
                text.contains(f.grade.text) && text.contains("Area to run it in 8 hours"),
                "{text}"
            ),
            None => assert!(
                text.contains("! Filter area: not known here, ask the maker."),
                "{text}"
            ),
        }
        assert!(
            known.facts.is_none()
                || paper(&wine("")).contains("! Filter area: measure the tank first."),
            "{}",
            t.key
        );
    }
    assert!(
        work_order(&Dossier::of(&Wine {
            plan: vec![step("racking", "")],
            ..white()
        }))
        .steps[0]
            .filter
            .is_none()
    );
}

/// Coarse sheets leave 0.2–0.8 % behind, racking 0.5–6 %: of 5000 L 10–40 and 25–300 L; one after
/// the other 0.7–6.75 %.
#[test]
fn what_is_left_behind_is_said_in_litres() {
    let wine = Wine {
        plan: vec![step("racking", ""), step("sheets_coarse", "")],
        ..white()
    };
    let text = paper(&wine);
    assert!(
        text.contains("Left behind, lees and rests: 0.5–6 % of the wine, 25–300 L"),
        "{text}"
    );
    let [low, high] = work_order(&Dossier::of(&wine)).loss;
    assert!(
        (low - (1.0 - 0.995 * 0.998)).abs() < 1e-12 && (high - (1.0 - 0.94 * 0.992)).abs() < 1e-12
    );
    // What the log has already is lost already.
    let done = Wine {
        done: vec![act("racking", "2026-11-01", "")],
        ..wine
    };
    assert!((work_order(&Dossier::of(&done)).loss[1] - 0.008).abs() < 1e-12);
}

/// The whole history is counted: what only the log holds stands beside what each market leaves,
/// too.
#[test]
fn what_only_the_log_holds_is_counted_against_the_law() {
    let wine = Wine {
        made_in: Some(Market::Eu),
        done: vec![act("metatartaric", "2026-10-01", "6")],
        plan: vec![step("racking", "")],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    let total = &order.totals[0];
    assert!(
        total.total == Some(6.0) && (total.markets[0].2.unwrap() - 4.0).abs() < 1e-6,
        "{total:?}"
    );
    assert!(
        paper(&wine).contains("6 g/hL in all, log and order"),
        "{}",
        paper(&wine)
    );
}

/// Standard 4.5.1: 70 mL/L in wine made in Australia; 27 CFR 24.246: 1 %. Each is said where it
/// binds, both where no market is named.
#[test]
fn limits_on_water_are_those_of_the_markets() {
    let text = |made_in| {
        let wine = Wine {
            made_in,
            plan: vec![step("bentonite_sodium", "90")],
            trials: vec![trial("bentonite_sodium", "90", "1")],
            ..white()
        };
        paper(&wine).split("\nWater\n").nth(1).unwrap().to_string()
    };
    let (us, au, none) = (text(Some(Market::Us)), text(Some(Market::Au)), text(None));
    assert!(
        us.contains("24.246") && us.contains("! Over 1 %") && !us.contains("70 mL/L"),
        "{us}"
    );
    assert!(
        au.contains("70 mL/L") && !au.contains("Over 7 %") && !au.contains("24.246"),
        "{au}"
    );
    assert!(
        none.contains("24.246") && none.contains("70 mL/L") && none.contains("  Over 1 %"),
        "{none}"
    );
}

// Log.

#[test]
fn an_act_voids_what_it_voids_by_day() {
    let mut wine = white();
    wine.analyses.insert(Quantity::HeatRise, typed("1.2"));
    wine.done.push(act("blending", "2026-11-10", ""));
    for (day, void) in [
        ("", true),
        ("soon", true),
        ("2026-11-09", true),
        ("2026-11-10", true),
        ("2026-11-11", false),
    ] {
        wine.measured_on.insert(Quantity::HeatRise, typed(day));
        assert_eq!(Case::of(&wine).voided(Quantity::HeatRise), void, "{day}");
    }
    // An act that is not in the tables voids all; a day that cannot be read is later than any.
    wine.done = vec![Done {
        day: "2026-11-01".into(),
        note: "topped up".into(),
        ..Done::default()
    }];
    assert!(!Case::of(&wine).voided(Quantity::HeatRise));
    wine.done[0].day = "last week".into();
    assert!(Case::of(&wine).voided(Quantity::HeatRise));
    // Bentonite does not void the alcohol. What another test says of the same question goes with
    // it.
    wine.done = vec![act("bentonite_sodium", "2026-11-20", "60")];
    assert!(
        !Case::of(&wine).voided(Quantity::Alcohol)
            && Case::of(&wine).voided(Quantity::HeatRise)
            && Case::of(&wine).voided(Quantity::HeatRiseHard)
    );
    wine.done.push(Done {
        corrects: Some(1),
        ..Done::default()
    });
    assert!(!Case::of(&wine).voided(Quantity::HeatRise) && Case::of(&wine).acts().next().is_none());
}

#[test]
fn what_was_done_sets_the_past() {
    let of = |key: &str| {
        Case::of(&Wine {
            done: vec![act(key, "2026-11-01", "5")],
            ..white()
        })
        .past()
    };
    for key in ["cmc", "metatartaric", "mannoproteins", "polyaspartate"] {
        assert_eq!(of(key), [Past::Inhibited], "{key}");
    }
    assert_eq!(of("bentonite_sodium"), [Past::Fined]);
    assert_eq!(of("chill_static"), [Past::ColdStabilised]);
    assert_eq!(of("contact_process"), [Past::ColdStabilised]);
    assert_eq!(of("blending"), [Past::Blended]);
    assert!(of("racking").is_empty() && of("calcium_tartrate_seed").is_empty());
}

#[test]
fn the_log_on_paper_keeps_every_entry_and_says_what_follows() {
    let mut wine = Wine {
        done: vec![
            act("cmc", "2026-11-02", "70"),
            Done {
                corrects: Some(1),
                day: "2026-11-03".into(),
                ..Done::default()
            },
        ],
        ..white()
    };
    wine.analyses.insert(Quantity::ConductivityDrop, typed("4"));
    let text = |wine: &Wine| sheet::text("", &[sheet::log(&Dossier::of(wine))]);
    let struck = text(&wine);
    assert!(
        struck.contains("1. 2026-11-02: ")
            && struck.contains("marked as an error")
            && struck.contains("2. 2026-11-03: entry 1 was an error"),
        "{struck}"
    );
    assert!(
        !struck.contains("counts as") && !struck.contains("no longer counted"),
        "{struck}"
    );
    wine.done.pop();
    assert!(
        text(&wine).contains("counts as: crystal inhibitor added")
            && text(&wine).contains("no longer counted: mini-contact test drop"),
        "{}",
        text(&wine)
    );
}

#[test]
fn unreadable_days_and_doses_are_named() {
    let mut wine = white();
    wine.measured_on.insert(Quantity::Ph, typed("yesterday"));
    wine.plan.push(step("pvpp", "a lot"));
    wine.done.push(act("pvpp", "12/03/2026", "1,200"));
    wine.done.push(Done {
        corrects: Some(2),
        ..Done::default()
    });
    wine.checks.push(Checked {
        key: "line".into(),
        day: "x".into(),
        passed: Some(true),
        ..Checked::default()
    });
    let fields: Vec<String> = wine.errors().into_iter().map(|e| e.field).collect();
    assert_eq!(
        fields,
        [
            "measured_on.ph",
            "checks.line.day",
            "plan.0.dose",
            "done.0.day",
            "done.0.dose",
            "done.1.corrects"
        ]
    );
}

// Fit to bottle.

/// A white wine with every test of the tables inside its limit and of the right day.
fn fit_white() -> Wine {
    let mut wine = Wine {
        bottling_day: "2026-11-25".into(),
        stage: Some(Stage::Ready),
        ..white()
    };
    for (q, value, day) in [
        (Quantity::Turbidity, "0.5", "2026-11-24"),
        (Quantity::HeatRise, "0.8", "2026-11-01"),
        (Quantity::ConductivityDrop, "3", "2026-11-01"),
        (Quantity::Calcium, "60", "2026-11-01"),
        (Quantity::Sugar, "0.3", "2026-11-20"),
        (Quantity::Malic, "0.05", "2026-11-20"),
        (Quantity::Oxygen, "0.3", "2026-11-25"),
        (Quantity::Copper, "0.1", "2026-11-01"),
        (Quantity::Iron, "2", "2026-11-01"),
        (Quantity::FreeSo2, "35", "2026-11-25"),
        (Quantity::CloggingIndex, "12", "2026-11-23"),
        (Quantity::CarbonDioxide, "900", "2026-11-25"),
        (Quantity::Ph, "3.2", "2026-11-20"),
    ] {
        wine.analyses.insert(q, typed(value));
        wine.measured_on.insert(q, typed(day));
    }
    for c in LAST
        .iter()
        .filter(|c| c.quantity.is_none() && c.only_after.is_empty())
    {
        *wine.check(c.key) = Checked {
            key: c.key.into(),
            day: "2026-11-25".into(),
            passed: Some(true),
            ..Checked::default()
        };
    }
    wine
}

fn on(day: &str, wine: &Wine) -> stillbright::work_order::ready::Ready {
    ready(&Dossier::of(wine), Day::read(day))
}

#[test]
fn all_shown_says_no_more_than_that() {
    let r = on("2026-11-25", &fit_white());
    assert!(r.so_far(), "{r:#?}");
    assert!(
        r.line
            && r.released
            && r.verdict
                .starts_with("Ready for the line: nothing that is due before it is open")
            && r.verdict.contains("Released: nothing is open.")
            && r.verdict.contains("Not judged here"),
        "{}",
        r.verdict
    );
    // Four days earlier the tests of the day are due, not missing.
    let mut wine = fit_white();
    for q in [Quantity::Oxygen, Quantity::FreeSo2, Quantity::CarbonDioxide] {
        wine.analyses.remove(&q);
    }
    wine.checks.clear();
    wine.measured_on
        .insert(Quantity::Turbidity, typed("2026-11-22"));
    wine.measured_on
        .insert(Quantity::CloggingIndex, typed("2026-11-22"));
    let r = on("2026-11-22", &wine);
    assert!(
        r.so_far()
            && r.verdict
                .contains("On the day, before the line: oxygen, free and molecular SO₂"),
        "{}",
        r.verdict
    );
    // On the day they are missing: too many to name in the answer, which says their number; the
    // names stand below it.
    let r = on("2026-11-25", &wine);
    let missing = r
        .evidence
        .iter()
        .filter(|e| e.shown == Shown::Missing && e.due == Due::BeforeLine)
        .count();
    assert!(
        missing > 3
            && r.verdict == format!("Not shown ready for the line: {missing} proofs are missing."),
        "{}",
        r.verdict
    );
    assert!(
        r.names[0].starts_with("Not shown: oxygen, ")
            && r.names.last().unwrap().starts_with("Not judged here: "),
        "{:?}",
        r.names
    );
    let answer = &stillbright::work_order::ready::of_ready(&Dossier::of(&wine), &r)[0].lines;
    assert!(
        answer.len() == 1 + r.names.len() && answer[0] == sheet::Line::Strong(r.verdict.clone()),
        "{answer:?}"
    );
}

/// What is only feared is not said to be found, and the owner reads the names behind the short
/// answer too.
#[test]
fn the_owner_is_not_told_that_a_fear_was_found() {
    let mut wine = white();
    wine.analyses = Default::default();
    wine.problems = vec![Problem::Protein];
    let r = on("2026-11-25", &wine);
    let blocks = sheet::client(&Dossier::of(&wine), &r);
    assert!(
        blocks.iter().any(|b| b.heading == "Found or feared")
            && blocks.iter().all(|b| b.heading != "Found")
    );
    let answer = blocks.iter().find(|b| b.heading == "Answer").unwrap();
    assert!(
        answer.lines.len() == 1 + r.names.len() && !r.names.is_empty(),
        "{answer:?}"
    );
}

/// The answer is a few lines for a wine of which nothing is known, and says what is asked of the
/// winemaker, not of the wine.
#[test]
fn the_answer_is_short_and_says_what_to_do() {
    let mut wine = white();
    wine.analyses = Default::default();
    let r = on("2026-11-25", &wine);
    assert!(
        r.verdict.chars().count() < 120 && r.verdict.matches('.').count() <= 2,
        "{}",
        r.verdict
    );
    // Bentonite needs three days: two after it the wine waits for one more, and the day is named.
    let mut wine = fit_white();
    wine.done.push(act("bentonite_sodium", "2026-11-23", "60"));
    let r = on("2026-11-25", &wine);
    assert!(
        r.verdict
            .starts_with("Not ready for the line: sodium bentonite (too soon: wait 1 more day)."),
        "{}",
        r.verdict
    );
    let proof = r
        .evidence
        .iter()
        .find(|e| e.name == "Sodium bentonite")
        .unwrap();
    assert!(
        proof.wait == Some(1) && proof.why.ends_with("Bottle on 2026-11-26 or later."),
        "{}",
        proof.why
    );
    let copper = Wine {
        done: vec![act("copper_sulfate", "2026-11-23", "0.1")],
        ..fit_white()
    };
    assert!(
        on("2026-11-25", &copper)
            .verdict
            .contains("(too soon: wait 5 more days)"),
        "{}",
        on("2026-11-25", &copper).verdict
    );
    // A reading without its day asks for the day, outside its limit too.
    let mut wine = fit_white();
    wine.analyses.insert(Quantity::HeatRise, typed("9"));
    drop(wine.measured_on.remove(&Quantity::HeatRise));
    let r = on("2026-11-25", &wine);
    let why = &r.evidence.iter().find(|e| e.key == "protein").unwrap().why;
    assert!(
        why.starts_with("Outside its limit.") && why.ends_with("add the day."),
        "{why}"
    );
}

/// A bound shows that there is no more than so much, where it lies inside the limit itself, and
/// never that there is enough. It stands on
/// the papers as it was reported, with every digit.
#[test]
fn a_bound_is_proof_of_a_most_and_of_no_least() {
    let shown = |q: Quantity, text: &str, key: &str| {
        let mut wine = Wine {
            made_in: Some(Market::Eu),
            ..fit_white()
        };
        let _was = (
            wine.analyses.insert(q, typed(text)),
            wine.measured_on.insert(q, typed("2026-11-25")),
        );
        let proof = on("2026-11-25", &wine)
            .evidence
            .into_iter()
            .find(|e| e.key == key)
            .unwrap();
        (proof.shown, proof.found, proof.why)
    };
    let (inside, found, _) = shown(Quantity::Malic, "< 0.05", "malolactic");
    assert!(
        inside == Shown::Inside && found.starts_with("< 0.05 g/L"),
        "{found}"
    );
    let (inside, found, _) = shown(Quantity::Malic, "<0,035", "malolactic");
    assert!(
        inside == Shown::Inside && found.starts_with("< 0.035 g/L"),
        "{found}"
    );
    assert_eq!(
        shown(Quantity::TotalSo2, "< 100", "total_so2").0,
        Shown::Inside
    );
    for (q, text, key) in [
        (Quantity::Malic, "< 2", "malolactic"),
        (Quantity::TotalSo2, "< 400", "total_so2"),
        (Quantity::FreeSo2, "< 60", "free_so2"),
    ] {
        let (shown, _, why) = shown(q, text, key);
        assert!(
            shown == Shown::Missing && why.starts_with("Measured only as below"),
            "{key}: {shown:?} {why}"
        );
    }
}

/// Regulation (EU) 2019/934, Annex I Part B: a dry white holds at most 200 mg/L, so just 200 is
/// lawful.
#[test]
fn sulfur_dioxide_just_at_its_limit_is_lawful() {
    let shown = |total: &str| {
        let mut wine = Wine {
            made_in: Some(Market::Eu),
            ..fit_white()
        };
        let _was = (
            wine.analyses.insert(Quantity::TotalSo2, typed(total)),
            wine.measured_on
                .insert(Quantity::TotalSo2, typed("2026-11-25")),
        );
        on("2026-11-25", &wine)
            .evidence
            .into_iter()
            .find(|e| e.key == "total_so2")
            .unwrap()
            .shown
    };
    assert_eq!(
        ["199", "200", "201"].map(shown),
        [Shown::Inside, Shown::Inside, Shown::Against]
    );
}

/// Of what a limit leaves open a bound counts as the most that it may be.
#[test]
fn a_bound_leaves_no_more_room_than_the_figure() {
    let room = |total: &str| {
        let wine = Wine {
            made_in: Some(Market::Eu),
            analyses: [(Quantity::TotalSo2, typed(total))].into_iter().collect(),
            ..white()
        };
        findings(&Case::of(&wine), treatment("sulfur_dioxide"))[0].dose_cap
    };
    assert!(
        room("120").is_some() && room("< 120") == room("120") && room("< 120") < room("60"),
        "{:?}",
        room("< 120")
    );
}

/// A step that the log has is ticked and silent, on the order and in the summary: its trial was
/// made before it, and its cautions, marks
/// and masses are over. What it left to be measured is still said, and what it would have said
/// first is said at the next step.
#[test]
fn a_step_that_is_done_is_ticked_and_silent() {
    let agents = [
        step("bentonite_sodium", "60"),
        step("bentonite_calcium", ""),
    ];
    let mut wine = Wine {
        made_in: Some(Market::Us),
        plan: agents.to_vec(),
        trials: vec![trial("bentonite_sodium", "60", "0.5")],
        ..white()
    };
    let dust = "Bentonite and earth dust may hold crystalline silica";
    let blocks = |wine: &Wine| sheet::of_order(&Dossier::of(wine), &work_order(&Dossier::of(wine)));
    let block = |wine: &Wine, name: &str| {
        let found = blocks(wine)
            .into_iter()
            .find(|b| b.heading.ends_with(name))
            .unwrap();
        (found.heading.clone(), sheet::text("", &[found]))
    };
    assert!(
        block(&wine, "Sodium bentonite").1.contains(dust)
            && block(&wine, "Calcium bentonite").1.contains("As at step 1")
    );
    let before = work_order(&Dossier::of(&wine));
    wine.done.push(act("bentonite_sodium", "2026-11-05", "60"));
    let (heading, text) = block(&wine, "Sodium bentonite");
    assert_eq!(heading, "✓ 1. Sodium bentonite");
    assert!(
        text.contains("Done: Sodium bentonite (2026-11-05).")
            && text.contains("After it, measure: heat test rise"),
        "{text}"
    );
    assert!(
        !text.contains('!')
            && !text.contains("try again")
            && !text.contains("Weigh")
            && !text.contains("____"),
        "{text}"
    );
    let (_, next) = block(&wine, "Calcium bentonite");
    assert!(
        next.contains(dust) && !next.contains("As at step"),
        "{next}"
    );
    // Its water was given and counts; the log alone counts its dose.
    let order = work_order(&Dossier::of(&wine));
    assert!(
        (order.water - before.water).abs() < 1e-9
            && (order.totals[0].total.unwrap() - 60.0).abs() < 1e-9,
        "{:?}",
        order.totals
    );
    let client = sheet::text(
        "",
        &sheet::client(&Dossier::of(&wine), &on("2026-11-25", &wine)),
    );
    let planned = client
        .split("Planned")
        .nth(1)
        .unwrap()
        .split("What was done")
        .next()
        .unwrap();
    assert!(
        planned.contains("Calcium bentonite")
            && !planned.contains("Sodium bentonite")
            && !planned.contains("older than a change"),
        "{planned}"
    );
    // Read again, nothing is asked after it; with every step done the summary plans nothing.
    let read = Wine {
        analyses: [(Quantity::HeatRise, typed("0.5"))].into_iter().collect(),
        measured_on: [(Quantity::HeatRise, typed("2026-11-06"))]
            .into_iter()
            .collect(),
        ..wine.clone()
    };
    assert!(
        !block(&read, "Sodium bentonite")
            .1
            .contains("heat test rise"),
        "{}",
        block(&read, "Sodium bentonite").1
    );
    wine.done.push(act("bentonite_calcium", "2026-11-07", "20"));
    let all = sheet::text(
        "",
        &sheet::client(&Dossier::of(&wine), &on("2026-11-25", &wine)),
    );
    assert!(
        all.contains("Every step of the plan is in the log."),
        "{all}"
    );
}

/// One act does one step: of two rackings planned, the second is still ahead; an entry that was
/// marked as an error did nothing.
#[test]
fn an_act_does_one_step_of_the_plan() {
    let mut wine = Wine {
        plan: vec![
            step("racking", ""),
            step("bentonite_sodium", ""),
            step("racking", ""),
        ],
        done: vec![act("racking", "2026-11-05", "")],
        ..white()
    };
    let ticked = |wine: &Wine| {
        work_order(&Dossier::of(wine))
            .steps
            .iter()
            .map(|s| !s.logged.is_empty())
            .collect::<Vec<_>>()
    };
    let ahead = |wine: &Wine| stillbright::route::plan::left(&Dossier::of(wine)).len();
    assert_eq!((ticked(&wine), ahead(&wine)), (vec![true, false, false], 2));
    wine.done.push(act("racking", "2026-11-06", ""));
    wine.done.push(act("racking", "2026-11-07", ""));
    assert_eq!(
        (
            ticked(&wine),
            ahead(&wine),
            work_order(&Dossier::of(&wine)).steps[2].logged.len()
        ),
        (vec![true, false, true], 1, 2)
    );
    wine.done.truncate(1);
    wine.done.push(Done {
        corrects: Some(1),
        ..Done::default()
    });
    assert_eq!((ticked(&wine), ahead(&wine)), (vec![false; 3], 3));
}

/// The user's word that bentonite was not tried lets bentonite be weighed, with a mark, and nothing
/// that stands beside it.
#[test]
fn a_word_for_one_agent_is_none_for_another() {
    let beside = Trial {
        treatment: "bentonite_sodium".into(),
        not_trialled: true,
        with: vec![step("potato_protein", "45")],
        ..Trial::default()
    };
    let wine = Wine {
        plan: vec![step("bentonite_sodium", "60"), step("potato_protein", "45")],
        trials: vec![beside.clone()],
        ..white()
    };
    let order = work_order(&Dossier::of(&wine));
    assert_eq!(
        order.steps[0].dose.as_ref().map(|w| w.by),
        Ok(WeighedBy::NotTrialled)
    );
    assert!(
        order.steps[1].amount.is_none()
            && order.steps[1]
                .dose
                .as_ref()
                .is_err_and(|why| why.starts_with("First a bench trial of this wine"))
    );
    // Its own word does, and so does a glass in which both were read.
    let own = Trial {
        treatment: "potato_protein".into(),
        not_trialled: true,
        ..Trial::default()
    };
    let word = work_order(&Dossier::of(&Wine {
        trials: vec![beside.clone(), own],
        ..wine.clone()
    }));
    assert_eq!(
        word.steps[1].dose.as_ref().map(|w| w.by),
        Ok(WeighedBy::NotTrialled)
    );
    let read = Trial {
        with: beside.with,
        ..trial("bentonite_sodium", "60", "0.5")
    };
    let read = work_order(&Dossier::of(&Wine {
        trials: vec![read],
        ..wine
    }));
    assert_eq!(
        read.steps[1].dose.as_ref().map(|w| w.by),
        Ok(WeighedBy::Trial)
    );
}

#[test]
fn each_gap_takes_the_verdict_back() {
    let shown = |name: &str, change: &dyn Fn(&mut Wine)| {
        let mut wine = fit_white();
        change(&mut wine);
        let r = on("2026-11-25", &wine);
        assert!(!r.so_far(), "{name}: {}", r.verdict);
        r.evidence
            .iter()
            .find(|e| e.name == name || e.key == name)
            .map(|e| e.shown)
            .unwrap()
    };
    use Shown::{Against, Missing};
    assert_eq!(
        shown("protein", &|w| drop(
            w.measured_on.remove(&Quantity::HeatRise)
        )),
        Missing
    );
    assert_eq!(
        shown("protein", &|w| drop(
            w.measured_on
                .insert(Quantity::HeatRise, typed("2026-10-01"))
        )),
        Missing
    );
    assert_eq!(
        shown("protein", &|w| drop(
            w.measured_on
                .insert(Quantity::HeatRise, typed("2026-11-26"))
        )),
        Missing
    );
    assert_eq!(
        shown("protein", &|w| w.done.push(act(
            "lysozyme",
            "2026-11-02",
            "20"
        ))),
        Missing
    );
    assert_eq!(
        shown("protein", &|w| w.stale.push(Quantity::HeatRise)),
        Missing
    );
    assert_eq!(
        shown("protein", &|w| drop(
            w.analyses.insert(Quantity::HeatRise, typed("9"))
        )),
        Against
    );
    assert_eq!(
        shown("clarity", &|w| drop(
            w.measured_on
                .insert(Quantity::Turbidity, typed("2026-11-21"))
        )),
        Missing
    );
    assert_eq!(
        shown("free_so2", &|w| drop(
            w.analyses.insert(Quantity::FreeSo2, typed("20"))
        )),
        Against
    );
    assert_eq!(
        shown("free_so2", &|w| drop(w.analyses.remove(&Quantity::Ph))),
        Missing
    );
    assert_eq!(
        shown("filter_integrity", &|w| *w.check("filter_integrity") =
            Checked {
                key: "filter_integrity".into(),
                day: "2026-11-25".into(),
                passed: Some(false),
                ..Checked::default()
            }),
        Against
    );
    assert_eq!(
        shown("filter_integrity", &|w| *w.check("filter_integrity") =
            Checked {
                key: "filter_integrity".into(),
                day: String::new(),
                passed: Some(true),
                ..Checked::default()
            }),
        Missing
    );
    assert_eq!(shown("Colour", &|w| w.colour = None), Missing);
    assert_eq!(
        shown("Fermentation", &|w| w.stage = Some(Stage::Fermenting)),
        Missing
    );
    assert_eq!(
        shown("Sodium bentonite", &|w| w
            .plan
            .push(step("bentonite_sodium", "60"))),
        Missing
    );
    // Copper two days before the bottle: it needs seven.
    let copper = treatment("copper_sulfate").name;
    assert_eq!(
        shown(copper, &|w| w.done.push(act(
            "copper_sulfate",
            "2026-11-23",
            "0.1"
        ))),
        Against
    );
    // With an inhibitor the cold hold stands in for the mini-contact test.
    assert_eq!(
        shown("cold_hold", &|w| w.done.push(act(
            "cmc",
            "2026-10-20",
            "70"
        ))),
        Missing
    );
}

/// A smell that was named is not signed off by any other proof: somebody must have tasted after the
/// last act that it is gone.
#[test]
fn a_smell_that_was_named_is_tasted_before_it_is_signed_off() {
    use stillbright::knowledge::PROBLEMS;
    let check = LAST.iter().find(|c| c.each_smell).unwrap();
    let smelly: Vec<Problem> = PROBLEMS
        .iter()
        .filter(|f| f.smell.is_some())
        .map(|f| f.problem)
        .collect();
    for of in [
        Problem::Reduction,
        Problem::OffOdour,
        Problem::Smoke,
        Problem::Mousy,
        Problem::Brettanomyces,
        Problem::Rot,
        Problem::VolatileAcidity,
    ] {
        assert!(smelly.contains(&of), "{of:?}");
    }
    let row = |wine: &Wine| {
        on("2026-11-25", wine)
            .evidence
            .into_iter()
            .find(|e| e.key == check.key)
            .map(|e| (e.shown, e.why))
    };
    let tasted = |gone: bool, day: &str, by: &str, problem: Problem| Checked {
        key: stillbright::obligations::smell_key(check, problem),
        day: day.into(),
        passed: Some(gone),
        by: by.into(),
    };
    assert!(row(&fit_white()).is_none() && on("2026-11-25", &fit_white()).so_far());
    for problem in smelly {
        let named = Wine {
            problems: vec![problem],
            ..fit_white()
        };
        let r = on("2026-11-25", &named);
        let name = format!(
            "Smell: {}",
            stillbright::units::show::inside(problem.label())
        );
        assert!(
            !r.so_far() && r.verdict.contains(&stillbright::units::show::inside(&name)),
            "{}",
            r.verdict
        );
        let with = |check: Checked| {
            let mut wine = named.clone();
            wine.checks.push(check);
            (row(&wine).unwrap(), on("2026-11-25", &wine).so_far())
        };
        let (gone, fit) = with(tasted(true, "2026-11-24", "A. Baker", problem));
        assert!(
            gone == (Shown::Inside, "Tasted by A. Baker.".into()) && fit,
            "{problem:?} {gone:?}"
        );
        assert_eq!(
            with(tasted(true, "2026-11-24", " ", problem)).0,
            (Shown::Missing, "Nobody signed it: write who tasted.".into())
        );
        assert_eq!(
            with(tasted(false, "2026-11-24", "A. Baker", problem)).0.0,
            Shown::Against
        );
        for day in ["", "2026-11-26", "2026-11-01"] {
            assert_eq!(
                with(tasted(true, day, "A. Baker", problem)).0.0,
                Shown::Missing,
                "{day}"
            );
        }
        // It speaks of this smell alone.
        let other = if problem == Problem::Mousy {
            Problem::Smoke
        } else {
            Problem::Mousy
        };
        assert_eq!(
            with(tasted(true, "2026-11-24", "A. Baker", other)).0.0,
            Shown::Missing
        );
    }
    // What is no smell is asked for none.
    assert!(
        row(&Wine {
            problems: vec![Problem::Protein, Problem::Crystals],
            ..fit_white()
        })
        .is_none()
    );
}

/// What was done against a smell tells that there was one; an act after the tasting takes it back,
/// as it does with every proof.
#[test]
fn a_treatment_of_a_smell_asks_for_its_tasting() {
    let treated = |done: Vec<Done>, problems: Vec<Problem>, day: &str| {
        let mut wine = Wine {
            done,
            problems,
            ..fit_white()
        };
        for key in ["smell_reduction", "smell_off_odour", "smell_smoke"] {
            wine.checks.push(Checked {
                key: key.into(),
                day: day.into(),
                passed: Some(true),
                by: "A. Baker".into(),
            });
        }
        on("2026-11-25", &wine)
            .evidence
            .into_iter()
            .filter(|e| e.key == "smell")
            .map(|e| (e.name, e.shown))
            .collect::<Vec<_>>()
    };
    let copper = || vec![act("copper_sulfate", "2026-11-12", "0.1")];
    assert_eq!(
        treated(copper(), vec![], "2026-11-20"),
        [("Smell: reduction".to_string(), Shown::Inside)]
    );
    assert_eq!(
        treated(copper(), vec![], "2026-11-12"),
        [("Smell: reduction".to_string(), Shown::Missing)]
    );
    // Tasted before the last act, or before one that is not in the tables.
    let with = |more: Done| {
        treated(
            copper().into_iter().chain([more]).collect(),
            vec![],
            "2026-11-20",
        )
    };
    assert_eq!(
        with(act("sulfur_dioxide", "2026-11-21", "20"))[0].1,
        Shown::Missing
    );
    assert_eq!(
        with(Done {
            day: "2026-11-21".into(),
            note: "topped up".into(),
            ..Done::default()
        })[0]
            .1,
        Shown::Missing
    );
    // An entry marked as an error asks for nothing.
    assert!(
        with(Done {
            corrects: Some(1),
            ..Done::default()
        })
        .is_empty()
    );
    // A treatment of what was named is accounted for.
    let carbon = || vec![act("carbon_odour", "2026-11-12", "20")];
    assert_eq!(
        treated(carbon(), vec![], "2026-11-20")[0].0,
        "Smell: off-odour"
    );
    assert_eq!(
        treated(carbon(), vec![Problem::Smoke], "2026-11-20"),
        [("Smell: smoke taint".to_string(), Shown::Inside)]
    );
    assert!(
        treated(
            vec![act("bentonite_sodium", "2026-11-01", "60")],
            vec![],
            "2026-11-20"
        )
        .is_empty()
    );
}

/// The work order asks for the ladder that the sheet of the trial has, which is sized by the heat
/// test where that was read.
#[test]
fn the_order_asks_for_the_ladder_of_the_trial() {
    for rise in ["", "14", "90"] {
        let mut wine = fit_white();
        // What is ready to bottle gets no bentonite.
        wine.stage = Some(Stage::Dry);
        wine.plan = vec![step("bentonite_sodium", "")];
        drop(wine.analyses.insert(Quantity::HeatRise, typed(rise)));
        let steps = stillbright::trial::design(&Dossier::of(&wine), treatment("bentonite_sodium"))
            .unwrap()
            .steps;
        let ladder = steps
            .iter()
            .map(|s| stillbright::units::show::plain(s.dose))
            .collect::<Vec<_>>()
            .join(", ");
        let order = work_order(&Dossier::of(&wine));
        assert!(
            order.steps[0]
                .dose
                .as_ref()
                .is_err_and(|why| why.contains(&format!(": {ladder} g/hL"))),
            "{ladder}: {:?}",
            order.steps[0].dose
        );
    }
}

/// In the answer the open steps are counted, not named among the tests; names keep their capitals.
#[test]
fn the_answer_counts_open_steps() {
    let mut wine = fit_white();
    wine.plan = vec![step("cmc", ""), step("racking", "")];
    drop(wine.analyses.remove(&Quantity::FreeSo2));
    let verdict = on("2026-11-25", &wine).verdict;
    assert!(
        verdict.contains(
            "Not shown ready for the line: 2 steps of the work order are not in the log; "
        ) && !verdict.contains("CMC"),
        "{verdict}"
    );
    assert!(
        verdict.contains("SO₂") && !verdict.contains("so₂"),
        "{verdict}"
    );
}

/// By the field constant, pH 3.2 needs 0.8·(1 + 10^(3.2 − 1.81)) = 20.4 mg/L, and 5 on top: 25
/// fails, 26 passes.
#[test]
fn free_sulfur_dioxide_by_the_ph() {
    let with = |free: &str| {
        let mut wine = fit_white();
        wine.analyses.insert(Quantity::FreeSo2, typed(free));
        on("2026-11-25", &wine).so_far()
    };
    assert!(!with("25") && with("26"));
}

/// Regulation (EU) 2021/2117: additives are named in a list, processing aids are not. Bentonite
/// goes out again, citric acid stays.
#[test]
fn an_ingredient_list_is_of_what_stays_in_the_wine() {
    let of = |keys: &[&str]| {
        let done = keys
            .iter()
            .map(|key| act(key, "2026-10-01", "10"))
            .collect();
        sheet::text(
            "",
            &consequences(&Dossier::of(&Wine {
                made_in: Some(Market::Eu),
                done,
                ..white()
            })),
        )
    };
    assert!(
        !of(&["bentonite_sodium"]).contains("Ingredient list"),
        "{}",
        of(&["bentonite_sodium"])
    );
    let citric = treatment("citric_acid");
    let both = of(&["bentonite_sodium", citric.key]);
    assert!(
        both.contains("Ingredient list")
            && both.contains(&format!("Stays in this wine: {}.", citric.name)),
        "{both}"
    );
}

#[test]
fn what_was_done_reaches_the_label() {
    let wine = Wine {
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Us],
        claims: vec![Claim::Vegan],
        done: vec![
            act("casein", "2026-10-01", "20"),
            act("cmc", "2026-10-20", "70"),
            Done {
                note: "a lot of something".into(),
                ..Done::default()
            },
        ],
        ..white()
    };
    let text = sheet::text("", &consequences(&Dossier::of(&wine)));
    for part in [
        "Milk allergen",
        "Ingredient list",
        "Stays in this wine: ",
        "! Vegan: broken by ",
        "Label in United States",
        "! Entry 3",
        "Egg, milk",
    ] {
        assert!(text.contains(part), "{part} in {text}");
    }
    let clean = sheet::text(
        "",
        &consequences(&Dossier::of(&Wine {
            claims: vec![Claim::Vegan],
            done: vec![act("bentonite_sodium", "2026-10-01", "60")],
            ..white()
        })),
    );
    assert!(
        clean.contains("Vegan: nothing in the log breaks it"),
        "{clean}"
    );
}

// What must hold for any wine.

const KEYS: [&str; 9] = [
    "bentonite_sodium",
    "gelatin",
    "copper_sulfate",
    "silica_sol",
    "metatartaric",
    "sulfur_dioxide",
    "ferrocyanide",
    "racking",
    "nothing",
];

fn logs() -> impl Strategy<Value = Vec<Done>> {
    let entry = (
        select(&KEYS[..]),
        "2026-1[0-2]-[0-2][1-9]|.{0,4}",
        "[0-9]{1,2}|.{0,3}",
        proptest::option::of(0_u32..6),
        ".{0,6}",
    )
        .prop_map(|(key, day, dose, corrects, note)| Done {
            corrects,
            note,
            ..act(key, &day, &dose)
        });
    proptest::collection::vec(entry, 0..7)
}

prop_compose! {
    fn wines()(done in logs(), plan in proptest::collection::vec((select(&KEYS[..]), "[0-9]{0,3}(\\.[0-9])?"), 0..5), litres in 1.0_f64..100_000.0,
        made_in in proptest::option::of(select(Market::ALL)), chosen in 1_u32..90, day in "2026-11-[0-2][1-9]|") -> Wine {
        let trials = KEYS.iter().map(|k| Trial { day: day.clone(), ..trial(k, &chosen.to_string(), "1") }).collect();
        let mut wine = Wine { done, made_in, trials, plan: plan.iter().map(|(k, d)| step(k, d)).collect(), volume: typed(&format!("{litres:.1}")), ..white() };
        wine.analyses = Quantity::ALL.iter().filter(|q| q.facts().asked).map(|q| (*q, typed("3"))).collect();
        wine.measured_on = Quantity::ALL.iter().map(|q| (*q, typed(&day))).collect();
        wine
    }
}

proptest! {
    #![proptest_config(chance::tries(200))]

    #[test]
    fn mass_in_is_mass_out_and_grows_in_a_line(wine in wines(), times in 1.5_f64..20.0) {
        let order = work_order(&Dossier::of(&wine));
        let Some(litres) = order.litres else { return Ok(()) };
        for s in &order.steps {
            prop_assert_eq!(s.amount.is_some(), s.dose.is_ok());
            if let (Some(a), Ok(w), Some(d)) = (s.amount, &s.dose, s.treatment.dose) {
                // Back from the mass to the dose, by the unit it is counted in.
                let share = d.active_share.unwrap_or(1.0);
                let per = match d.basis {
                    Basis::GramsPerHl | Basis::MillilitresPerHl => a.product / litres * 100.0,
                    Basis::MilligramsPerLitre => a.product / litres * 1000.0,
                    _ => a.product * share / litres * 1000.0,
                };
                prop_assert!((per - w.dose).abs() < 1e-9 * w.dose);
                let large = amount(&d, w.dose, Litres(litres * times)).unwrap();
                prop_assert!((large.product - a.product * times).abs() < 1e-9 * large.product);
            }
        }
        // What the paper sums is what the steps hold.
        let water: f64 = order.steps.iter().filter_map(|s| s.water).map(|w| w.most).sum();
        prop_assert!((water - order.water).abs() < 1e-9 * water.max(1.0) && order.water.is_finite());
    }

    #[test]
    fn a_filter_grows_with_the_tank_and_is_never_short(key in select(&["sheets_coarse", "sheets_clarifying", "sheets_sterile", "sheet_filtration", "lenticular", "membrane_065"][..]),
        litres in 50.0_f64..500_000.0, vmax in 100.0_f64..20_000.0, times in 1.0_f64..10.0) {
        let mut wine = Wine { plan: vec![step(key, "")], ..white() };
        wine.analyses.insert(Quantity::Vmax, typed(&format!("{vmax:.0}")));
        let of = |litres: f64| stillbright::work_order::filter::filter(&Dossier::of(&wine), treatment(key), Some(Litres(litres))).unwrap();
        let (small, large) = (of(litres), of(litres * times));
        let areas = |f: &stillbright::work_order::filter::Filter| [f.by_flow, f.by_hold, f.by_vmax.map(|v| v.1)];
        let piece = small.facts.unwrap().piece.unwrap();
        for (a, b) in areas(&small).into_iter().zip(areas(&large)).filter_map(|(a, b)| a.zip(b)) {
            prop_assert!((b.area[0] - times * a.area[0]).abs() < 1e-9 * b.area[0] && a.area[0] <= a.area[1]);
            let [few, many] = a.pieces.unwrap();
            prop_assert!(f64::from(few) * piece.high >= a.area[0] - 1e-6 && f64::from(many) * piece.low >= a.area[1] - 1e-6 && few <= many);
        }
    }

    #[test]
    fn totals_never_understate(wine in wines()) {
        let order = work_order(&Dossier::of(&wine));
        for s in &order.steps {
            if let Ok(w) = &s.dose {
                let total = order.totals.iter().find(|t| t.name == s.treatment.name).and_then(|t| t.total);
                if let Some(total) = total { prop_assert!(total >= w.dose - 1e-9); }
                for a in Case::of(&wine).acts().filter(|a| a.treatment.is_some_and(|t| t.key == s.treatment.key)) {
                    match a.dose.given() {
                        Some(d) => if let Some(total) = total { prop_assert!(total >= d + w.dose - 1e-9) },
                        _ => prop_assert!(total.is_none()),
                    }
                }
                // Nothing is weighed over what a market leaves open, or where it forbids.
                for f in findings(&Case::of(&wine), s.treatment) {
                    prop_assert!(f.legality != Legality::Forbidden && f.dose_cap.is_none_or(|c| w.dose <= c));
                }
            }
        }
        let text = paper(&wine);
        prop_assert!(!text.contains("NaN") && !text.contains("inf "));
    }

    #[test]
    fn the_log_never_raises_a_cap_or_mends_a_test(wine in wines(), more in logs()) {
        let mut later = wine.clone();
        later.done.extend(more.into_iter().map(|d| Done { corrects: None, ..d }));
        for q in Quantity::ALL {
            prop_assert!(!Case::of(&wine).voided(*q) || Case::of(&later).voided(*q), "{q:?}");
        }
        for t in TREATMENTS.iter().step_by(5).chain([treatment("metatartaric"), treatment("sulfur_dioxide")]) {
            for (a, b) in findings(&Case::of(&wine), t).iter().zip(findings(&Case::of(&later), t)) {
                prop_assert!(b.dose_cap.unwrap_or(f64::INFINITY) <= a.dose_cap.unwrap_or(f64::INFINITY) + 1e-9);
            }
        }
        let was = Case::of(&wine).past();
        prop_assert!(was.iter().all(|p| Case::of(&later).past().contains(p)));
        // Old evidence does not come back either.
        let (a, b) = (on("2026-11-30", &wine), on("2026-11-30", &later));
        prop_assert!(a.so_far() || !b.so_far());
    }

    #[test]
    fn the_log_survives_file_and_storage(wine in wines(), more in logs()) {
        let back = read_file(&write_wine(&wine)).unwrap();
        prop_assert_eq!(&back[0].done, &wine.done);
        let shelf = Shelf::new(Memory::default());
        let id = shelf.port().fresh_id();
        shelf.put(&id, &wine).unwrap();
        let mut grown = wine.clone();
        grown.done.extend(more);
        shelf.put(&id, &grown).unwrap();
        let kept = shelf.all().unwrap().wines;
        prop_assert_eq!(&kept[0].wine.done, &grown.done);
        prop_assert!(kept[0].wine.done.starts_with(&wine.done));
    }

    #[test]
    fn the_record_says_no_more_than_its_rows(wine in wines()) {
        let r = on("2026-11-30", &wine);
        let clean = r.evidence.iter().all(|e| matches!(e.shown, Shown::Inside | Shown::Due)) && !r.evidence.is_empty();
        prop_assert!(!r.so_far() || clean);
        prop_assert_eq!(r.verdict.contains("Ready for the line: "), r.line);
        prop_assert_eq!(r.verdict.contains("Released: "), r.released);
        prop_assert!(!r.released || r.line);
        prop_assert!(r.evidence.iter().all(|e| e.shown == Shown::Inside || !e.why.is_empty() || e.shown == Shown::Against));
        // The keys say the same as the words.
        prop_assert!(r.evidence.iter().all(|e| e.because.is_none() == (e.shown == Shown::Inside)), "{:?}", r.evidence);
        let says = [
            (Fitness::ReadyForLine, "Ready for the line: "),
            (Fitness::NotReady, "Not ready for the line: "),
            (Fitness::NotShown, "Not shown ready for the line: "),
            (Fitness::DayLeft, "All that can be shown before the bottling day is shown."),
            (Fitness::KeptBack, "The lot is kept back"),
            (Fitness::Released, "Released: "),
        ];
        prop_assert!(says.iter().all(|(key, words)| r.says.contains(key) == r.verdict.contains(words)), "{:?}: {}", r.says, r.verdict);
    }
}
