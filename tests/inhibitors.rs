//! Crystal inhibitors: how unstable a wine they are for, by which test they are judged, and the
//! days that test takes. Which
//! treatments are meant, their limits and their test stand in the data.
#![allow(clippy::unwrap_used, missing_docs)]

use stillbright::advice::advise;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{TREATMENTS, Treatment};
use stillbright::route::routes;
use stillbright::rules::Fact;
use stillbright::trial::{self, Outcome};
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::order::work_order;

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

/// A dry white whose crystals are feared; protein and lees are no matter.
fn white(drop: &str) -> Wine {
    let mut wine = Wine {
        colour: Some(Colour::White),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        sold_in: vec![Market::Eu],
        made_in: Some(Market::Eu),
        problems: vec![Problem::Crystals],
        volume: typed("4500 L"),
        bottling_day: "2027-02-15".into(),
        ..Wine::default()
    };
    for (q, value) in [
        (Quantity::Ph, "3.2"),
        (Quantity::HeatRise, "0.5"),
        (Quantity::ConductivityDrop, drop),
    ] {
        wine.analyses.insert(q, typed(value));
        wine.measured_on.insert(q, typed("2026-11-28"));
    }
    wine
}

/// The inhibitors of crystals, by what the data say they do.
fn inhibitors() -> Vec<&'static Treatment> {
    TREATMENTS
        .rows()
        .iter()
        .filter(|t| {
            t.effects
                .iter()
                .any(|e| e.process == Process::Inhibition && e.on == Quantity::ConductivityDrop)
        })
        .collect()
}

/// A ladder of which the middle rung holds in the cold.
fn ladder(t: &Treatment) -> Trial {
    let doses = t.dose.unwrap().ladder;
    let rung = |(i, dose): (usize, &f64)| Rung {
        dose: typed(&dose.to_string()),
        reading: typed(if i < 2 { "yes" } else { "no" }),
        ..Rung::default()
    };
    Trial {
        treatment: t.key.into(),
        quantity: Some(Quantity::ColdHold),
        day: "2026-11-29".into(),
        rungs: doses.iter().enumerate().map(rung).collect(),
        ..Trial::default()
    }
}

/// La Vigne 268 and the sheet of a French institute: above a drop of 15 to 20 % cellulose gum did
/// not make sure of it. Each
/// inhibitor has such a limit, and it holds in the list, in the routes, on the bench and on the
/// order.
#[test]
fn a_drop_out_of_reach_shuts_an_inhibitor_out_everywhere() {
    let all = inhibitors();
    assert!(all.len() >= 4);
    let wine = white("30");
    let advice = advise(&Dossier::of(&wine), today());
    let found = routes(&Dossier::of(&wine), today());
    assert!(
        found.found > 0 && !found.routes.is_empty(),
        "{}",
        found.answer
    );
    for t in &all {
        let out = advice.problems[0]
            .left_out
            .iter()
            .find(|l| l.key == t.key)
            .unwrap();
        let why = out
            .reasons
            .iter()
            .find(|r| r.ruling.witness == [Fact::Reading(Quantity::ConductivityDrop)])
            .unwrap();
        assert!(
            why.words()
                .1
                .starts_with("Mini-contact test drop was measured at 30 %, and it is used up to "),
            "{why:?}"
        );
        assert!(
            advice.problems[0].ranked.iter().all(|r| r.key != t.key),
            "{}",
            t.key
        );
        assert!(
            found
                .routes
                .iter()
                .flat_map(|r| &r.steps)
                .all(|s| s.key != t.key),
            "{}",
            t.key
        );
        let tried = Wine {
            trials: vec![ladder(t)],
            plan: vec![PlanStep {
                treatment: t.key.into(),
                ..PlanStep::default()
            }],
            ..wine.clone()
        };
        assert_eq!(
            trial::read(&Dossier::of(&tried), t).unwrap().outcome,
            Outcome::Refused,
            "{}",
            t.key
        );
        assert!(trial::dose_for(&Dossier::of(&tried), t).is_none());
        let order = work_order(&Dossier::of(&tried));
        assert!(
            order.steps[0].amount.is_none()
                && order.steps[0]
                    .dose
                    .as_ref()
                    .unwrap_err()
                    .starts_with("Not in this wine: "),
            "{:?}",
            order.steps[0].dose
        );
        // The user's word that it was not tried does not open the door either.
        let word = Trial {
            treatment: t.key.into(),
            not_trialled: true,
            ..Trial::default()
        };
        let plan = vec![PlanStep {
            treatment: t.key.into(),
            dose: typed("10"),
            ..PlanStep::default()
        }];
        assert!(
            work_order(&Dossier::of(&Wine {
                trials: vec![word],
                plan,
                ..wine.clone()
            }))
            .steps[0]
                .amount
                .is_none(),
            "{}",
            t.key
        );
    }
}

/// Only a reading that lies above shuts out: not a typical value, nor one that an act has voided.
#[test]
fn what_nobody_measured_shuts_nothing_out() {
    let left_out = |wine: &Wine| {
        let of = |t: &&&Treatment| {
            stillbright::treatment::suit::reasons(&Dossier::of(wine), t)
                .iter()
                .any(|r| r.ruling.rule == "out_of_reach")
        };
        inhibitors()
            .iter()
            .filter(of)
            .map(|t| t.key)
            .collect::<Vec<_>>()
    };
    assert_eq!(left_out(&white("30")).len(), inhibitors().len());
    assert!(left_out(&white("")).is_empty() && left_out(&white("12")).is_empty());
    assert_eq!(left_out(&white("18")), ["mannoproteins"]);
    let mut chilled = white("30");
    chilled.done.push(Done {
        treatment: "chill_static".into(),
        day: "2026-11-29".into(),
        ..Done::default()
    });
    assert!(left_out(&chilled).is_empty());
    // Near the limit it says so.
    let says = |drop: &str| {
        let advice = advise(&Dossier::of(&white(drop)), today());
        advice.problems[0]
            .ranked
            .iter()
            .find(|r| r.key == "cmc")
            .unwrap()
            .doubts
            .iter()
            .find(|c| c.rule == "at_its_edge")
            .map(|c| c.text.clone())
    };
    assert!(says("17").unwrap().contains("from 15 % on it is not sure") && says("12").is_none());
}

/// The saturation temperature is another reading of the same thing, and an act that moves
/// bitartrate voids it too.
#[test]
fn a_saturation_temperature_shuts_out_what_it_bounds() {
    let mut wine = white("");
    wine.analyses
        .insert(Quantity::SaturationTemperature, typed("21"));
    wine.measured_on
        .insert(Quantity::SaturationTemperature, typed("2026-11-28"));
    let out = |wine: &Wine| {
        advise(&Dossier::of(wine), today()).problems[0]
            .left_out
            .iter()
            .any(|l| l.key == "cmc" && l.reasons[0].ruling.rule == "out_of_reach")
    };
    assert!(out(&wine));
    let mut colder = wine.clone();
    colder.done.push(Done {
        treatment: "contact_process".into(),
        day: "2026-11-29".into(),
        ..Done::default()
    });
    assert!(!out(&colder));
    wine.analyses
        .insert(Quantity::SaturationTemperature, typed("16"));
    assert!(!out(&wine));
}

/// The one test for all of them is the cold hold, in the trial, after the act and on the record;
/// its days stand in the calendar.
#[test]
fn the_bench_of_an_inhibitor_is_read_in_the_cold() {
    for t in inhibitors() {
        let read = trial::quantities(&Dossier::of(&white("9")), t);
        assert!(
            read[0] == Quantity::ColdHold
                && !read.contains(&Quantity::ConductivityDrop)
                && !read.contains(&Quantity::Calcium),
            "{}: {read:?}",
            t.key
        );
        let mut wine = white("9");
        assert_eq!(
            trial::write::open(&mut wine, t).unwrap().quantity,
            Some(Quantity::ColdHold)
        );
        // The least rung that held is the dose.
        let tried = Wine {
            trials: vec![ladder(t)],
            ..white("9")
        };
        let found = trial::read(&Dossier::of(&tried), t).unwrap();
        assert_eq!(
            (found.outcome, found.recommended),
            (Outcome::Found, Some(t.dose.unwrap().ladder[2])),
            "{}: {}",
            t.key,
            found.answer
        );
        // None held: no dose, and no target of the user's makes one of the mini-contact test.
        let mut none = ladder(t);
        none.rungs.iter_mut().for_each(|r| r.reading = typed("yes"));
        let none = Wine {
            trials: vec![none],
            ..white("9")
        };
        assert_eq!(
            trial::read(&Dossier::of(&none), t).unwrap().outcome,
            Outcome::NoneReached
        );
        let mut drop = ladder(t);
        drop.quantity = Some(Quantity::ConductivityDrop);
        drop.rungs
            .iter_mut()
            .zip(["9", "6", "3", "1", "1"])
            .for_each(|(r, text)| r.reading = typed(text));
        let drop = Wine {
            trials: vec![Trial {
                target: typed("4"),
                chosen: drop.rungs[2].dose.clone(),
                ..drop
            }],
            ..white("9")
        };
        let found = trial::read(&Dossier::of(&drop), t).unwrap();
        assert!(
            found.outcome == Outcome::NotJudged
                && found.answer.contains("does not judge this treatment"),
            "{}",
            found.answer
        );
        assert!(trial::dose_for(&Dossier::of(&drop), t).is_none());
    }
}

fn paper(wine: &Wine) -> String {
    stillbright::work_order::sheet::text(
        "",
        &stillbright::work_order::sheet::of_order(
            &Dossier::of(wine),
            &work_order(&Dossier::of(wine)),
        ),
    )
}

/// AWRI and Bosso et al. 2020: 3 days at −4 °C, 6 with an inhibitor. The order counts them before
/// and after the act.
#[test]
fn the_order_measures_an_inhibitor_by_the_cold_hold_and_counts_its_days() {
    for t in inhibitors() {
        let wine = Wine {
            plan: vec![PlanStep {
                treatment: t.key.into(),
                ..PlanStep::default()
            }],
            ..white("9")
        };
        let order = work_order(&Dossier::of(&wine));
        let again = order.again();
        assert!(
            again.contains(&Quantity::ColdHold) && !again.contains(&Quantity::ConductivityDrop),
            "{}: {again:?}",
            t.key
        );
        assert_eq!(
            (order.steps[0].trial_days, order.test_days().high),
            (6.0, 6.0),
            "{}",
            t.key
        );
        assert!((order.to_bottle()[1] - (6.0 + order.steps[0].takes[1] + 6.0)).abs() < 1e-9);
        let text = paper(&wine);
        assert!(
            text.contains("After it, measure: ")
                && text.contains("crystals in the cold hold at −4 °C"),
            "{text}"
        );
        assert!(!text.contains("a drop below 5 %"), "{text}");
        // Before it, what is wanted is a drop within its reach.
        assert!(
            text.contains(t.bounds[0].why.text)
                && text.contains("Before: mini-contact test drop (9 %"),
            "{text}"
        );
    }
    // A step that is read by another test keeps its days.
    let clay = Wine {
        plan: vec![PlanStep {
            treatment: "bentonite_sodium".into(),
            ..PlanStep::default()
        }],
        ..white("9")
    };
    let order = work_order(&Dossier::of(&clay));
    assert_eq!(
        (order.steps[0].trial_days, order.test_days().high),
        (2.0, 5.0)
    );
    // After cold alone the mini-contact test still judges; with an inhibitor behind it, what is
    // measured in the end is the hold.
    let both = |keys: &[&str]| {
        let plan = keys
            .iter()
            .map(|k| PlanStep {
                treatment: (*k).into(),
                ..PlanStep::default()
            })
            .collect();
        work_order(&Dossier::of(&Wine { plan, ..white("9") }))
    };
    assert!(
        both(&["chill_static"])
            .again()
            .contains(&Quantity::ConductivityDrop)
    );
    let order = both(&["chill_static", "polyaspartate"]);
    assert!(
        order.steps[0]
            .after
            .iter()
            .any(|c| c.quantity == Quantity::ConductivityDrop)
            && !order.again().contains(&Quantity::ConductivityDrop)
    );
}

/// What was held in the cold before the dose is another wine; after it, no drop of the conductivity
/// shows anything.
#[test]
fn the_record_asks_for_a_cold_hold_after_the_dose() {
    use stillbright::work_order::ready::{Shown, ready};
    for t in inhibitors() {
        let shown = |hold: &str, day: &str| {
            let mut wine = white("3");
            wine.bottling_day = "2026-12-20".into();
            wine.done.push(Done {
                treatment: t.key.into(),
                day: "2026-12-10".into(),
                dose: typed("10"),
                ..Done::default()
            });
            wine.measured_on
                .insert(Quantity::ConductivityDrop, typed("2026-12-18"));
            wine.analyses.insert(Quantity::ColdHold, typed(hold));
            wine.measured_on.insert(Quantity::ColdHold, typed(day));
            let r = ready(&Dossier::of(&wine), Day::read("2026-12-18"));
            assert!(
                r.evidence.iter().all(|e| e.key != "bitartrate"),
                "{}",
                t.key
            );
            r.evidence
                .into_iter()
                .find(|e| e.key == "cold_hold")
                .unwrap()
                .shown
        };
        assert_eq!(shown("", ""), Shown::Missing);
        assert_eq!(shown("no", "2026-12-09"), Shown::Missing);
        assert_eq!(shown("no", "2026-12-17"), Shown::Inside);
        assert_eq!(shown("yes", "2026-12-17"), Shown::Against);
    }
}

fn routes_with(wine: &Wine) -> Vec<stillbright::route::Route> {
    let held: Vec<&str> = inhibitors().iter().map(|t| t.key).collect();
    routes(&Dossier::of(wine), today())
        .routes
        .into_iter()
        .filter(|r| r.key.split('+').any(|k| held.contains(&k)))
        .collect()
}

/// A route says of an inhibitor that the cold hold decides: no figure of the drop, no draws in
/// which the need is met, and the days
/// of the hold before it and after it.
#[test]
fn a_route_leaves_an_inhibitor_to_the_cold_hold() {
    use stillbright::route::StepKind;
    // Only an inhibitor is left where there is neither cold nor a column; the protein is stable and
    // measured.
    let mut wine = white("9");
    wine.kit = [Kit::Chiller, Kit::Electrodialysis, Kit::IonExchange]
        .map(|k| (k, KitEntry::of(KitMeans::No)))
        .into_iter()
        .collect();
    let all = routes(&Dossier::of(&wine), today());
    assert!(
        all.answer
            .ends_with("A test decides, not draws: crystals in the cold hold at −4 °C.")
            || all.answer.contains("crystals in the cold hold"),
        "{}",
        all.answer
    );
    assert!(!all.answer.contains("needs met"), "{}", all.answer);
    let found = routes_with(&wine);
    assert!(!found.is_empty(), "{}", all.answer);
    for r in &found {
        assert!(
            r.judged_by == ["Crystals in the cold hold at −4 °C"] && !r.has_figures() && !r.short,
            "{r:?}"
        );
        // One inhibitor is enough: nothing is known of two.
        assert_eq!(
            inhibitors()
                .iter()
                .filter(|t| r.key.split('+').any(|k| k == t.key))
                .count(),
            1,
            "{}",
            r.key
        );
        let act = r
            .steps
            .iter()
            .find(|s| inhibitors().iter().any(|t| t.key == s.key))
            .unwrap();
        assert!(act.changes && act.after[0].judged_by.is_some(), "{act:?}");
        // The drop that the draws hold stays where it was measured.
        assert!(
            (act.after[0].value.middle - 9.0).abs() < 1e-9 && act.after[0].met == 0.0,
            "{act:?}"
        );
        let days = |kind: StepKind| r.steps.iter().find(|s| s.kind == kind).unwrap().days;
        assert_eq!((days(StepKind::Trial), days(StepKind::Retest)), (6.0, 6.0));
        let again = r.steps.iter().find(|s| s.kind == StepKind::Retest).unwrap();
        assert!(
            again.name.contains("bitartrate by the cold hold")
                && !again.name.contains("otassium bitartrate"),
            "{}",
            again.name
        );
        // What runs beside the acts and what comes after the bottling adds no day.
        let in_turn = |s: &&stillbright::route::Step| {
            !matches!(s.kind, StepKind::Alongside | StepKind::Release)
        };
        let all: f64 = r.steps.iter().filter(in_turn).map(|s| s.days).sum();
        assert!(
            (r.days - all).abs() < 1e-9 && r.begin_by.is_some(),
            "{} {all}",
            r.days
        );
    }
    // Where the drop is still to be measured, it says from where on the route is no longer one.
    let open = Wine {
        analyses: [
            (Quantity::Ph, typed("3.2")),
            (Quantity::HeatRise, typed("0.5")),
        ]
        .into_iter()
        .collect(),
        ..wine.clone()
    };
    let r = &routes_with(&open)[0];
    let limit = inhibitors()
        .iter()
        .find(|t| r.key.split('+').any(|k| k == t.key))
        .unwrap()
        .bounds[0]
        .most;
    let first = r.steps.iter().find(|s| s.kind == StepKind::Test).unwrap();
    let beyond = |b: &String| {
        b.strip_prefix("Mini-contact test drop above ")
            .and_then(|b| b.split(' ').next()?.parse::<f64>().ok())
            .is_some_and(|v| v <= limit)
    };
    assert!(first.branches.iter().any(beyond), "{:?}", first.branches);
    // Cold takes the drop down by figures, and keeps its draws.
    let cold = Wine {
        kit: Default::default(),
        ..wine.clone()
    };
    let all = routes(&Dossier::of(&cold), today());
    let chilled = all.routes.iter().find(|r| r.judged_by.is_empty()).unwrap();
    assert!(
        chilled.probability >= 0.9
            && chilled
                .steps
                .iter()
                .filter(|s| s.kind == StepKind::Retest)
                .all(|s| (s.days - 5.0).abs() < 1e-9)
    );
}

/// Beside a need that figures tell of, the draws speak of that one alone.
#[test]
fn the_draws_of_a_route_are_those_of_its_other_needs() {
    let mut wine = white("9");
    wine.problems.push(Problem::Protein);
    wine.analyses.insert(Quantity::HeatRise, typed("14"));
    wine.kit = [Kit::Chiller, Kit::Electrodialysis, Kit::IonExchange]
        .map(|k| (k, KitEntry::of(KitMeans::No)))
        .into_iter()
        .collect();
    let all = routes(&Dossier::of(&wine), today());
    assert!(
        all.answer.contains("all other needs met in ")
            && all
                .answer
                .contains("A test decides, not draws: crystals in the cold hold"),
        "{}",
        all.answer
    );
    let found = routes_with(&wine);
    assert!(!found.is_empty());
    for r in &found {
        let last = r.steps.iter().rfind(|s| !s.after.is_empty()).unwrap();
        let protein = last
            .after
            .iter()
            .find(|a| a.problem == Problem::Protein)
            .unwrap();
        assert!(
            (r.probability - protein.met).abs() < 1e-9
                && protein.judged_by.is_none()
                && r.has_figures(),
            "{r:?}"
        );
    }
    // Taken as the plan it is judged in the same way.
    let taken = Wine {
        plan: stillbright::route::plan::plan(&found[0]),
        ..wine
    };
    let says = stillbright::route::plan::chosen(&Dossier::of(&taken), today())
        .unwrap()
        .says;
    assert!(
        says.starts_with("It still holds, all other needs met in ")
            && says.contains("A test decides, not draws"),
        "{says}"
    );
}

/// A rung that held on the bench is the dose of the route; the tank is still judged by its own
/// hold.
#[test]
fn a_hold_that_was_passed_on_the_bench_sets_the_dose() {
    use stillbright::route::StepKind;
    let t = TREATMENTS
        .iter()
        .find(|t| t.key == "polyaspartate")
        .unwrap();
    let mut wine = Wine {
        trials: vec![ladder(t)],
        ..white("9")
    };
    wine.kit = [Kit::Chiller, Kit::Electrodialysis, Kit::IonExchange]
        .map(|k| (k, KitEntry::of(KitMeans::No)))
        .into_iter()
        .collect();
    let r = routes_with(&wine)
        .into_iter()
        .find(|r| r.key == t.key)
        .unwrap();
    let act = r.steps.iter().find(|s| s.key == t.key).unwrap();
    assert_eq!(act.dose, Some([t.dose.unwrap().ladder[2]; 2]));
    assert!(
        r.steps.iter().all(|s| s.kind != StepKind::Trial) && r.judged_by.len() == 1,
        "{r:?}"
    );
}
