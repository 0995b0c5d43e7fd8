//! What is believed of the law ranks with what was read, and is confirmed before it is given.
#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use stillbright::advice::{Advice, advise};
use stillbright::book::{read_file, write_wine};
use stillbright::case::{Case, Field, confirmation};
use stillbright::dossier::Dossier;
use stillbright::knowledge::{TREATMENTS, Treatment};
use stillbright::law::{Legality, findings, to_confirm};
use stillbright::route::{StepKind, routes};
use stillbright::rules::Before;
use stillbright::treatment::ranking::first_read;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::dosing::{Because, dose_for};
use stillbright::work_order::order::work_order;
use stillbright::work_order::ready::{of_ready, ready};
use stillbright::work_order::sheet;

fn of(key: &str) -> &'static Treatment {
    TREATMENTS.iter().find(|t| t.key == key).unwrap()
}

fn wine(colour: Colour, market: Market, problems: &[Problem]) -> Wine {
    Wine {
        colour: Some(colour),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        made_in: Some(market),
        problems: problems.to_vec(),
        volume: AsTyped("1000".into()),
        ..Wine::default()
    }
}

/// A red of the United States with hard tannin, for which gelatin is listed and its figure unread.
fn hard_red() -> Wine {
    wine(Colour::Red, Market::Us, &[Problem::Astringency])
}

fn advice(w: &Wine) -> Advice {
    advise(&Dossier::of(w), Day::read("2026-11-30"))
}

/// The dose of an agent that nobody tried, in its plan.
fn dose(w: &Wine, key: &str) -> Result<f64, Because> {
    let mut w = w.clone();
    w.trials.push(Trial {
        treatment: key.into(),
        not_trialled: true,
        ..Trial::default()
    });
    dose_for(
        &Dossier::of(&w),
        of(key),
        &Field::Given(5.0),
        &Before::default(),
    )
    .map(|d| d.dose)
    .map_err(|none| none.because)
}

fn confirmed(w: &Wine, material: &str, market: Market) -> Wine {
    let mut w = w.clone();
    let tick = w.check(&confirmation(material, market));
    tick.passed = Some(true);
    tick.day = "2026-11-20".into();
    tick.by = "A. Cellar".into();
    w
}

#[test]
fn nothing_is_weighed_before_the_authority_confirmed_it() {
    let w = hard_red();
    assert_eq!(dose(&w, "gelatin"), Err(Because::NotConfirmed));
    let done = confirmed(&w, "gelatin", Market::Us);
    assert_eq!(dose(&done, "gelatin"), Ok(5.0));
    // Another grade of the agent is the agent; another agent is not.
    assert_eq!(dose(&done, "gelatin_high_bloom"), Ok(5.0));
    assert_eq!(dose(&done, "casein"), Err(Because::NotConfirmed));
    // Another market is not this one.
    let elsewhere = confirmed(&w, "gelatin", Market::Ca);
    assert_eq!(dose(&elsewhere, "gelatin"), Err(Because::NotConfirmed));
    // A tick counts with its day and who asked.
    for change in [
        |c: &mut Checked| c.day = String::new(),
        |c: &mut Checked| c.day = "soon".into(),
        |c: &mut Checked| c.by = "  ".into(),
        |c: &mut Checked| c.passed = None,
    ] {
        let mut half = done.clone();
        change(half.check(&confirmation("gelatin", Market::Us)));
        assert_eq!(dose(&half, "gelatin"), Err(Because::NotConfirmed));
    }
    // What was read asks for none.
    let read = wine(Colour::White, Market::Us, &[Problem::Protein]);
    assert_eq!(dose(&read, "bentonite_sodium"), Ok(5.0));
}

/// What nobody knows is not weighed on a guess either.
#[test]
fn what_is_not_known_is_confirmed_too() {
    let w = wine(Colour::White, Market::Za, &[Problem::Protein]);
    assert_eq!(
        findings(&Case::of(&w), of("bentonite_sodium"))[0].legality,
        Legality::NotKnown
    );
    assert_eq!(dose(&w, "bentonite_sodium"), Err(Because::NotConfirmed));
    let done = confirmed(&w, "bentonite", Market::Za);
    assert_eq!(dose(&done, "bentonite_sodium"), Ok(5.0));
    // A border of which nothing was read holds nothing back.
    let sold = Wine {
        sold_in: vec![Market::Za],
        ..wine(Colour::White, Market::Eu, &[Problem::Protein])
    };
    assert_eq!(dose(&sold, "bentonite_sodium"), Ok(5.0));
}

#[test]
fn a_route_asks_the_authority_before_the_act() {
    let w = hard_red();
    let asks = |w: &Wine| -> Vec<Vec<(StepKind, &str)>> {
        let of_route = |r: &stillbright::route::Route| {
            let step = |s: &stillbright::route::Step| match s.kind {
                StepKind::Confirm => (s.kind, s.confirms),
                _ => (s.kind, s.key),
            };
            r.steps.iter().map(step).collect()
        };
        let all = routes(&Dossier::of(w), Day::read("2026-11-30")).routes;
        all.iter().map(of_route).collect()
    };
    let mut believed = 0;
    for steps in asks(&w) {
        for (at, (kind, key)) in steps.iter().enumerate() {
            let act = matches!(kind, StepKind::Act | StepKind::PutIn);
            if !act
                || to_confirm(&Case::of(&w), of(key), &findings(&Case::of(&w), of(key))).is_empty()
            {
                continue;
            }
            believed += 1;
            let asked = |(k, about): &(StepKind, &str)| {
                *k == StepKind::Confirm && of(about).material == of(key).material
            };
            let place = steps.iter().position(asked).unwrap();
            assert!(place < at, "{steps:?}");
        }
    }
    assert!(believed > 0, "else this test shows nothing");
    // Confirmed, it is asked no more.
    let materials = [
        "gelatin",
        "egg_albumin",
        "isinglass",
        "casein",
        "milk",
        "plant_protein",
    ];
    let done = materials
        .iter()
        .fold(w, |w, m| confirmed(&w, m, Market::Us));
    let left: Vec<&str> = asks(&done)
        .concat()
        .into_iter()
        .filter(|(k, _)| *k == StepKind::Confirm)
        .map(|(_, about)| of(about).material)
        .collect();
    assert!(left.iter().all(|m| !materials.contains(m)), "{left:?}");
}

#[test]
fn what_is_believed_ranks_with_what_was_read_and_names_the_first_of_those() {
    let a = advice(&hard_red());
    let p = &a.problems[0];
    let place = |legality: Legality| {
        p.ranked
            .iter()
            .filter(|r| !r.helper)
            .position(|r| r.legality == Some(legality))
    };
    let believed = place(Legality::Believed).unwrap();
    assert!(place(Legality::NotKnown).is_none_or(|k| k > believed));
    assert_eq!(p.ranked[0].legality, Some(Legality::Believed));
    assert!(
        p.answer
            .contains("Confirm the law before it is given: it is believed, not read in whole."),
        "{}",
        p.answer
    );
    let named = p.answer.contains("Of those whose law was read, ");
    assert_eq!(named, first_read(&p.ranked).is_some(), "{}", p.answer);
    // Where one that was read cures too, it is named.
    let haze = advice(&wine(Colour::White, Market::Us, &[Problem::Crystals]));
    let crystals = &haze.problems[0];
    if crystals.ranked[0].legality == Some(Legality::Believed) {
        assert!(crystals.answer.contains("Of those whose law was read, "));
    }
}

#[test]
fn what_a_closed_list_does_not_name_is_left_out_with_the_list() {
    let w = wine(Colour::White, Market::Au, &[Problem::Protein]);
    let a = advice(&w);
    let out = a.problems[0].left_out.iter().find(|l| l.key == "kaolin");
    let words: Vec<&str> = out.unwrap().reasons.iter().map(|r| r.words().1).collect();
    let names = |t: &&str| t.contains("not listed (Std 4.5.1 cl. 3-4)");
    assert!(words.iter().any(names), "{words:?}");
    let all = routes(&Dossier::of(&w), None).routes;
    assert!(
        all.iter()
            .all(|r| r.steps.iter().all(|s| s.key != "kaolin"))
    );
    let planned = Wine {
        plan: vec![PlanStep {
            treatment: "kaolin".into(),
            dose: AsTyped("300".into()),
            ..PlanStep::default()
        }],
        trials: vec![Trial {
            treatment: "kaolin".into(),
            not_trialled: true,
            ..Trial::default()
        }],
        ..w
    };
    let order = work_order(&Dossier::of(&planned));
    let refused = order.steps[0].dose.as_ref().unwrap_err();
    assert_eq!(refused.because, Because::Forbidden);
    assert!(refused.text.contains("Std 4.5.1"), "{}", refused.text);
}

/// Handling is no question of law, be the wine of grapes or not.
#[test]
fn racking_a_fruit_wine_asks_nothing() {
    let fruit = Wine {
        style: Some(Style::Fruit),
        ..wine(Colour::White, Market::Eu, &[Problem::Haze])
    };
    let law = |key: &str| findings(&Case::of(&fruit), of(key))[0].legality;
    assert_eq!(law("wait_rack"), Legality::Free);
    assert_eq!(law("bentonite_sodium"), Legality::NotKnown);
}

#[test]
fn a_file_keeps_what_was_confirmed() {
    let w = confirmed(&hard_red(), "gelatin", Market::Us);
    let back = read_file(&write_wine(&w)).unwrap().remove(0);
    assert_eq!(back, w);
    assert_eq!(dose(&back, "gelatin"), Ok(5.0));
}

/// Order and record say who confirmed it, in place of that it is to be confirmed.
#[test]
fn papers_say_who_confirmed_it() {
    let mut w = confirmed(&hard_red(), "gelatin", Market::Us);
    w.plan = vec![PlanStep {
        treatment: "gelatin".into(),
        dose: AsTyped("5".into()),
        ..PlanStep::default()
    }];
    let says = "confirmed with the authority on 2026-11-20 by A. Cellar.";
    let marks = |w: &Wine| work_order(&Dossier::of(w)).steps[0].marks.join("\n");
    assert!(marks(&w).contains(says) && !marks(&w).contains("confirm first"));
    w.done = vec![Done {
        treatment: "gelatin".into(),
        day: "2026-11-22".into(),
        dose: AsTyped("5".into()),
        ..Done::default()
    }];
    let record = |w: &Wine| {
        let dossier = Dossier::of(w);
        let found = ready(&dossier, Day::read("2026-11-30"));
        sheet::text("Record", &of_ready(&dossier, &found))
    };
    assert!(record(&w).contains(says), "{}", record(&w));
    w.checks.clear();
    assert!(
        record(&w).contains("Believed, not read: confirm first"),
        "{}",
        record(&w)
    );
}
