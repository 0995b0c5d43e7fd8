//! Sugar left in a wine, and what a route says of what was measured: no route and no first place is
//! unsafe, and none says that
//! all is well where nobody measured.
#![allow(clippy::unwrap_used, missing_docs)]

use stillbright::advice::advise;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{TREATMENTS, Treatment};
use stillbright::route::{Routes, routes};
use stillbright::treatment::sugar;
use stillbright::units::day::Day;
use stillbright::wine::*;

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

fn wine(stage: Stage, problems: &[Problem], analyses: &[(Quantity, &str)]) -> Wine {
    Wine {
        colour: Some(Colour::White),
        stage: Some(stage),
        style: Some(Style::StillSweet),
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Eu],
        volume: typed("5000 L"),
        problems: problems.to_vec(),
        analyses: analyses.iter().map(|(q, t)| (*q, typed(t))).collect(),
        ..Wine::default()
    }
}

fn first(wine: &Wine, problem: Problem) -> Option<&'static str> {
    advise(&Dossier::of(wine), today())
        .problems
        .iter()
        .find(|p| p.problem == problem)?
        .ranked
        .first()
        .map(|r| r.key)
}

fn answer(wine: &Wine, problem: Problem) -> String {
    advise(&Dossier::of(wine), today())
        .problems
        .into_iter()
        .find(|p| p.problem == problem)
        .map(|p| p.answer)
        .unwrap_or_default()
}

const BARRIERS: [&str; 3] = ["membrane_045", "pasteurisation_bottle", "dmdc"];

fn each_has_a_barrier(all: &Routes) {
    for r in &all.routes {
        let at = r.steps.iter().position(|s| BARRIERS.contains(&s.key));
        assert!(at.is_some(), "{}", r.key);
        // Nothing follows but what is done in line at the filler.
        let after: Vec<&str> = r
            .steps
            .iter()
            .skip(at.unwrap() + 1)
            .map(|s| s.key)
            .filter(|k| !k.is_empty())
            .collect();
        assert!(
            after.iter().all(|k| BARRIERS.contains(k)),
            "{}: {after:?}",
            r.key
        );
    }
}

/// The barriers of the tables are those of the rule: absolute 0.45 µm at the filler, heat in bottle
/// or at the filler, dimethyl
/// dicarbonate in line. A nominal sheet and a 0.65 µm membrane are none.
#[test]
fn the_barriers_are_those_of_the_rule() {
    let barriers = |sugar: &str, malic: &str, problem: Problem| {
        let mut wine = Wine {
            colour: Some(Colour::White),
            stage: Some(Stage::Ready),
            ..Wine::default()
        };
        wine.analyses.insert(Quantity::Sugar, AsTyped(sugar.into()));
        wine.analyses.insert(Quantity::Malic, AsTyped(malic.into()));
        let food = sugar::food_in_bottle(&Dossier::of(&wine), problem)?;
        let is_barrier = |t: &&Treatment| sugar::is_barrier(food, t);
        let mut named: Vec<&str> = TREATMENTS
            .iter()
            .filter(is_barrier)
            .map(|t| t.key)
            .collect();
        named.sort_unstable();
        Some(named)
    };
    let against_yeast = Some(vec!["dmdc", "membrane_045", "pasteurisation_bottle"]);
    for problem in [Problem::Refermentation, Problem::Microbes] {
        assert_eq!(barriers("12", "0.05", problem), against_yeast);
    }
    // Malic acid left feeds bacteria, which dimethyl dicarbonate hardly kills.
    let against_bacteria = Some(vec!["membrane_045", "pasteurisation_bottle"]);
    assert_eq!(barriers("0.2", "2.8", Problem::Microbes), against_bacteria);
    assert_eq!(barriers("0.2", "0.05", Problem::Microbes), None);
}

#[test]
fn with_sugar_left_every_route_and_first_place_has_its_barrier() {
    for sugar in [
        &[(Quantity::Sugar, "12")][..],
        &[(Quantity::Sugar, "110")],
        &[],
    ] {
        for problem in [Problem::Refermentation, Problem::Microbes] {
            if problem == Problem::Microbes && sugar.is_empty() {
                continue;
            }
            let mut wine = wine(Stage::Ready, &[problem], sugar);
            for unit in [false, true] {
                if unit {
                    wine.kit
                        .insert(Kit::DosingUnit, KitEntry::of(KitMeans::Owned));
                }
                let all = routes(&Dossier::of(&wine), today());
                assert!(!all.routes.is_empty(), "{}", all.answer);
                each_has_a_barrier(&all);
                assert!(
                    first(&wine, problem).is_some_and(|k| BARRIERS.contains(&k)),
                    "{:?}",
                    first(&wine, problem)
                );
            }
        }
    }
    // Measured dry, there is nothing left to ferment, and no barrier is asked for.
    let dry = wine(
        Stage::Ready,
        &[Problem::Refermentation],
        &[(Quantity::Sugar, "0.2")],
    );
    assert!(sugar::food_in_bottle(&Dossier::of(&dry), Problem::Refermentation).is_none());
    let advice = advise(&Dossier::of(&dry), today());
    let ranked = &advice.problems[0].ranked;
    assert!(!ranked.is_empty() && ranked.iter().all(|r| !r.never_enough));
}

/// Sorbate counts only in a wine shown to be fermented out, clear and past malolactic fermentation,
/// and never alone.
#[test]
fn sorbate_is_never_enough_and_asks_for_a_finished_clear_wine() {
    let place = |w: &Wine| {
        advise(&Dossier::of(w), today()).problems[0]
            .ranked
            .iter()
            .find(|r| r.key == "sorbate")
            .cloned()
    };
    let bare = wine(
        Stage::Ready,
        &[Problem::Refermentation],
        &[(Quantity::Sugar, "30")],
    );
    assert!(place(&bare).is_none());
    let mut shown = wine(
        Stage::Ready,
        &[Problem::Refermentation],
        &[(Quantity::Sugar, "30"), (Quantity::Turbidity, "0.4")],
    );
    shown.malolactic = Some(Malolactic::Blocked);
    assert!(place(&shown).is_some_and(|r| r.never_enough && r.helper));
    each_has_a_barrier(&routes(&Dossier::of(&shown), today()));
    shown.malolactic = Some(Malolactic::Pending);
    assert!(place(&shown).is_none());
}

/// A wine that still ferments, with sugar: no market and no style is told that nothing is called
/// for.
#[test]
fn a_fermenting_sweet_wine_is_never_told_that_all_is_well() {
    for style in [Style::StillSweet, Style::Fortified, Style::StillDry] {
        for markets in [
            vec![],
            vec![Market::Eu],
            vec![Market::Gb],
            vec![Market::Us],
            vec![Market::Au],
        ] {
            for sugar in ["40", "110"] {
                let w = Wine {
                    style: Some(style),
                    sold_in: markets.clone(),
                    ..wine(
                        Stage::Fermenting,
                        &[Problem::Refermentation],
                        &[(Quantity::Sugar, sugar)],
                    )
                };
                let all = routes(&Dossier::of(&w), today());
                assert!(
                    !all.answer.contains("no treatment is called for"),
                    "{}",
                    all.answer
                );
                assert!(all.routes.iter().all(|r| r.key != "wait"), "{}", all.answer);
                let said = answer(&w, Problem::Refermentation);
                assert!(!said.contains("no treatment is called for"), "{said}");
            }
        }
    }
}

/// Volatile acidity that nobody measured is measured first; measured inside its limit it is left
/// alone; near the limit it is
/// measured again.
#[test]
fn nothing_is_called_for_only_where_every_need_was_measured_and_is_inside() {
    let calm = "no treatment is called for";
    for stage in [Stage::Dry, Stage::Ready] {
        for colour in [Colour::White, Colour::Red, Colour::Rose] {
            let va = |typed: &[(Quantity, &str)]| Wine {
                colour: Some(colour),
                style: Some(Style::StillDry),
                ..wine(stage, &[Problem::VolatileAcidity], typed)
            };
            let unmeasured = routes(&Dossier::of(&va(&[])), today()).answer;
            assert!(!unmeasured.contains(calm), "{unmeasured}");
            let inside = routes(
                &Dossier::of(&va(&[(Quantity::VolatileAcidity, "0.3")])),
                today(),
            );
            assert!(
                inside.routes.is_empty() || inside.answer.contains(calm),
                "{}",
                inside.answer
            );
        }
    }
    let clear = |ntu: &str| Wine {
        style: Some(Style::StillDry),
        ..wine(
            Stage::Dry,
            &[Problem::Haze],
            &[(Quantity::Turbidity, ntu), (Quantity::Sugar, "0.3")],
        )
    };
    assert!(
        routes(&Dossier::of(&clear("0.3")), today())
            .answer
            .contains(calm)
    );
    let near = clear("0.95");
    assert!(
        answer(&near, Problem::Haze).contains("too near"),
        "{}",
        answer(&near, Problem::Haze)
    );
    assert!(
        !routes(&Dossier::of(&near), today()).answer.contains(calm),
        "{}",
        routes(&Dossier::of(&near), today()).answer
    );
}

/// The Sauvignon at 12 NTU with malic acid and sugar, for which protein and crystals were named:
/// each route covers what was
/// measured outside its limit, or says that it does not.
#[test]
fn routes_cover_what_was_measured_outside_its_limit() {
    let typed: &[(Quantity, &str)] = &[
        (Quantity::Turbidity, "12"),
        (Quantity::Sugar, "1.8"),
        (Quantity::Malic, "2.8"),
        (Quantity::HeatRise, "15"),
    ];
    let w = Wine {
        style: Some(Style::StillDry),
        ..wine(Stage::Dry, &[Problem::Protein, Problem::Crystals], typed)
    };
    let all = routes(&Dossier::of(&w), today());
    assert!(!all.routes.is_empty(), "{}", all.answer);
    assert!(
        all.answer
            .contains("Met too, since it was measured outside its limit"),
        "{}",
        all.answer
    );
    each_has_a_barrier(&all);
    for r in &all.routes {
        assert!(
            r.steps.iter().any(|s| TREATMENTS
                .iter()
                .any(|t| t.key == s.key && t.family == Family::Filter)),
            "{}",
            r.key
        );
    }
    // What no route can do for it is said.
    let brown = Wine {
        style: Some(Style::StillDry),
        ..wine(
            Stage::Dry,
            &[Problem::Protein],
            &[(Quantity::HeatRise, "15"), (Quantity::BrownsInAir, "yes")],
        )
    };
    assert_eq!(
        routes(&Dossier::of(&brown), today()).not_covered,
        ["Browning"]
    );
}
