//! Costly equipment of which nothing was said: what needs it comes last, in the list, in the draws,
//! in what measuring is worth and
//! in the routes, and is said to be hired.
#![allow(clippy::unwrap_used, missing_docs)]

use stillbright::advice::{advise, advise_with};
use stillbright::dossier::Dossier;
use stillbright::knowledge::{COSTLY, TREATMENTS, Treatment};
use stillbright::route::{Route, Routes, routes};
use stillbright::treatment::{ranking::unsure, suit::to_hire};
use stillbright::units::day::Day;
use stillbright::wine::*;

fn today() -> Option<Day> {
    Day::read("2026-11-25")
}
fn of(key: &str) -> &'static Treatment {
    TREATMENTS.iter().find(|t| t.key == key).unwrap()
}
fn wine(colour: Colour, problems: &[Problem]) -> Wine {
    Wine {
        colour: Some(colour),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Eu],
        volume: AsTyped("5000".into()),
        problems: problems.to_vec(),
        ..Wine::default()
    }
}
/// The same with the costly equipment said to be had, or not.
fn told(w: &Wine, means: KitMeans) -> Wine {
    let mut told = w.clone();
    for c in COSTLY.iter() {
        let _none = told.kit.insert(c.kit, KitEntry::of(means));
    }
    told
}
/// What has something at hand that acts, however little.
const AT_HAND: [Problem; 7] = [
    Problem::Haze,
    Problem::Protein,
    Problem::Crystals,
    Problem::Microbes,
    Problem::Refermentation,
    Problem::Calcium,
    Problem::Brettanomyces,
];

/// Left open, costly equipment moves nothing of what is at hand: answer, draws and worth of
/// measuring are those of a cellar without it.
#[test]
fn what_is_left_open_is_not_taken_as_to_be_had() {
    let mut last = 0;
    for colour in [Colour::White, Colour::Red] {
        for by_money in [false, true] {
            let w = Wine {
                by_money,
                ..wine(colour, &AT_HAND)
            };
            let (open, none) = (
                advise(&Dossier::of(&w), today()),
                advise(&Dossier::of(&told(&w, KitMeans::No)), today()),
            );
            for (a, b) in open.problems.iter().zip(&none.problems) {
                assert_eq!(
                    (&a.answer, a.measure),
                    (&b.answer, b.measure),
                    "{:?}",
                    a.problem
                );
                let at_hand: Vec<_> = a
                    .ranked
                    .iter()
                    .filter(|r| r.hire.is_empty())
                    .map(|r| (r.key, r.first_in, r.first_in_any))
                    .collect();
                assert_eq!(
                    at_hand,
                    b.ranked
                        .iter()
                        .map(|r| (r.key, r.first_in, r.first_in_any))
                        .collect::<Vec<_>>()
                );
                let hired: Vec<_> = a.ranked.iter().filter(|r| !r.hire.is_empty()).collect();
                assert!(
                    hired.iter().all(|r| !r.hire.is_empty()
                        && r.first_in == 0.0
                        && r.first_in_any.is_none_or(|s| s == 0.0)),
                    "{:?}",
                    a.problem
                );
                last += hired.len();
            }
            assert_eq!(open.measure_next, none.measure_next);
        }
    }
    assert!(last > 0, "else this test shows nothing");
}

#[test]
fn what_is_owned_hired_or_comes_by_contract_ranks_as_any_other() {
    let w = wine(Colour::White, &[Problem::Calcium]);
    let first = |w: &Wine| advise(&Dossier::of(w), today()).problems[0].ranked[0].key;
    assert_ne!(first(&w), "electrodialysis");
    for means in [KitMeans::Owned, KitMeans::Hired, KitMeans::Contractor] {
        let mut had = w.clone();
        let _none = had.kit.insert(Kit::Electrodialysis, KitEntry::of(means));
        assert_eq!(first(&had), "electrodialysis");
        assert!(to_hire(&Dossier::of(&had), of("electrodialysis")).is_empty());
        assert!(
            routes(&Dossier::of(&had), today()).routes[0]
                .hire
                .is_empty()
        );
        assert_eq!(
            routes(&Dossier::of(&had), today()).routes[0].key,
            "electrodialysis"
        );
    }
}

/// One of several is enough: it must be hired only where none of the others can be had.
#[test]
fn any_of_several_kits_at_hand_is_enough() {
    let mut w = wine(Colour::White, &[Problem::Bitterness]);
    assert!(to_hire(&Dossier::of(&w), of("pvpp")).is_empty());
    let _none = w.kit.insert(Kit::Filter, KitEntry::of(KitMeans::No));
    assert_eq!(to_hire(&Dossier::of(&w), of("pvpp")), [Kit::CrossFlow]);
}

#[test]
fn where_nothing_else_acts_the_hired_one_is_named_and_said_to_be_hired() {
    let only = |keys: &[&str]| -> &'static [Treatment] {
        let list: Vec<Treatment> = TREATMENTS
            .iter()
            .filter(|t| keys.contains(&t.key))
            .copied()
            .collect();
        Box::leak(list.into_boxed_slice())
    };
    let answer = |keys: &[&str], p: Problem| {
        advise_with(
            &Dossier::of(&wine(Colour::White, &[p])),
            today(),
            only(keys),
        )
        .problems[0]
            .answer
            .clone()
    };
    let alone = answer(&["electrodialysis"], Problem::Calcium);
    assert!(
        alone.contains("with electrodialysis")
            && alone.contains("It takes equipment that you may hire: electrodialysis unit."),
        "{alone}"
    );
    // What is at hand only helps.
    let helped = answer(&["electrodialysis", "blending"], Problem::Calcium);
    assert!(
        helped.contains("only helps a little: Blending.")
            && helped.contains("Electrodialysis does more, with equipment that you may hire"),
        "{helped}"
    );
    // What is at hand is only believed to be lawful.
    let doubtful = answer(&["electrodialysis", "dl_tartaric"], Problem::Calcium);
    assert!(
        doubtful.contains("begin with DL-tartaric (racemic) acid")
            || doubtful.contains("begin with dL-tartaric"),
        "{doubtful}"
    );
    assert!(
        doubtful.contains("Of those whose law was read, electrodialysis comes first, with equipment that you may hire"),
        "{doubtful}"
    );
}

fn hires(w: &Wine, r: &Route) -> bool {
    r.steps
        .iter()
        .filter(|s| !s.key.is_empty())
        .any(|s| !to_hire(&Dossier::of(w), of(s.key)).is_empty())
}
fn first_keys(all: &Routes) -> Vec<&str> {
    all.routes.iter().map(|r| r.key.as_str()).collect()
}

#[test]
fn the_first_route_needs_nothing_hired_where_there_is_one() {
    let mut after = 0;
    for (colour, problems) in [
        (Colour::White, vec![Problem::Crystals]),
        (Colour::White, vec![Problem::Protein, Problem::Crystals]),
        (Colour::Red, vec![Problem::Brettanomyces]),
        (Colour::Red, vec![Problem::Crystals, Problem::Calcium]),
        (Colour::White, vec![Problem::Refermentation, Problem::Haze]),
    ] {
        let w = wine(colour, &problems);
        let (open, none) = (
            routes(&Dossier::of(&w), today()),
            routes(&Dossier::of(&told(&w, KitMeans::No)), today()),
        );
        // What a route puts in counts too.
        assert!(
            open.routes
                .iter()
                .all(|r| hires(&w, r) != r.hire.is_empty()),
            "{problems:?}"
        );
        assert!(
            open.routes
                .windows(2)
                .all(|two| two[0].hire.is_empty() >= two[1].hire.is_empty()),
            "{:?}",
            first_keys(&open)
        );
        assert_eq!(
            (&open.routes[0].key, &open.routes[0].steps),
            (&none.routes[0].key, &none.routes[0].steps),
            "{problems:?}"
        );
        assert!(open.routes.len() <= open.found && open.routes.len() <= 12);
        let at_hand = open.routes.iter().any(|r| !r.hire.is_empty());
        assert_eq!(
            open.answer.contains("best way without costly equipment"),
            at_hand,
            "{}",
            open.answer
        );
        after += open.routes.iter().filter(|r| !r.hire.is_empty()).count();
    }
    assert!(after > 0, "else this test shows nothing");
}

/// Of the rot of a red only heat does enough, and the answer says what it takes.
#[test]
fn a_route_that_must_be_hired_says_so() {
    let w = wine(Colour::Red, &[Problem::Rot]);
    let all = routes(&Dossier::of(&w), today());
    assert!(all.routes.iter().all(|r| !r.hire.is_empty()) && !all.routes.is_empty());
    assert!(
        all.answer
            .contains("It takes equipment that you may hire: heat exchanger."),
        "{}",
        all.answer
    );
    assert!(
        !routes(&Dossier::of(&told(&w, KitMeans::Owned)), today())
            .answer
            .contains("hire")
    );
}

/// The list names as first only what is clean and at hand, if there is such a thing that cures.
#[test]
fn the_headline_names_nothing_to_hire() {
    for colour in Colour::ALL {
        for p in advise(&Dossier::of(&wine(*colour, Problem::ALL)), today()).problems {
            let cure = p
                .ranked
                .iter()
                .any(|r| r.hire.is_empty() && !unsure(r) && !r.helper);
            if cure {
                assert!(
                    p.ranked[0].hire.is_empty() && !p.answer.contains("hire"),
                    "{}",
                    p.answer
                );
            }
        }
    }
}
