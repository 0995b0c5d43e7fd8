//! The keys of an answer say what its sentence says: each key stands where its words stand, and
//! nowhere else.
#![allow(clippy::panic, missing_docs)]

use stillbright::advice::advise;
use stillbright::answer::AnswerKey::{self, *};
use stillbright::dossier::Dossier;
use stillbright::route::{StepKind, routes};
use stillbright::rules::Fact;
use stillbright::units::day::Day;
use stillbright::wine::*;

/// Each key with the words that only it brings.
const WORDS: [(AnswerKey, &[&str]); 42] = [
    (InBottle, &["It is in bottle"]),
    (FindCause, &["find the cause"]),
    (NothingNamed, &["Choose what is wrong"]),
    (NotCovered, &["were not read, so no route"]),
    (NoTreatment, &[": no treatment is called for"]),
    (RestInside, &["For the rest no treatment"]),
    (MetToo, &["Met too, since"]),
    (NoBarrier, &["makes it safe to bottle"]),
    (
        TakeNoMore,
        &["Take nothing more out", "take nothing more out"],
    ),
    (
        MeasureFirst,
        &[
            "measure it more finely first",
            ": measure first",
            ", measure first",
            "Measure first.",
            "Measure first:",
        ],
    ),
    (
        MeasureAgain,
        &["measure again first", "measure again before any"],
    ),
    (MeasureNext, &["Measure next", "measure next"]),
    (NotWorthMeasuring, &["othing more is worth its price"]),
    (
        NothingToMeasure,
        &["othing that is judged here is left to measure"],
    ),
    (
        Begin,
        &[
            "Begin with",
            "begin with",
            "best way is",
            "without costly equipment is",
        ],
    ),
    (PutFirst, &["comes first here"]),
    (BenchTrial, &["On a bench trial"]),
    (NotToldApart, &["do not tell them apart"]),
    (OnlyHelps, &["helps a little", "help a little"]),
    (WaitAndRack, &["Wait and rack."]),
    (Prevent, &["Prevent it next year"]),
    (Declassify, &["Declassify it"]),
    (LiveWith, &["may be lived with"]),
    (ExpertsDiffer, &["Experts differ"]),
    (NothingCures, &["cures this"]),
    (NothingFits, &["Nothing that is known here fits"]),
    (
        Laboratory,
        &["laboratory is the next step", "sk a laboratory"],
    ),
    (
        ConfirmLaw,
        &[
            "Confirm the law first",
            "Confirm the law before",
            "confirm before it is given",
            "confirms it",
        ],
    ),
    (NoLawChecked, &["no law was checked"]),
    (BeginBy, &["Begin by"]),
    (
        Hire,
        &[
            "It takes equipment that you may hire",
            "does more, with equipment that you may hire",
            "is verified, with equipment that you may hire",
        ],
    ),
    (OthersHire, &["others below take equipment"]),
    (CheaperOther, &["Cheaper by about"]),
    (OthersBetter, &["better at something else"]),
    (OthersUnsure, &["below need the law confirmed"]),
    (
        TooLate,
        &["cannot be done by then", "too late for the bottling day"],
    ),
    (DayPassed, &["bottling day has passed"]),
    (NoRoute, &["No route is known"]),
    (StageCloses, &["is not done there"]),
    (
        DaysTooFew,
        &["too few to meet all needs", "Write a later day too"],
    ),
    (FallsShort, &["No route reaches all needs"]),
    (NameFewer, &["Name fewer problems"]),
];

fn today() -> Option<Day> {
    Day::read("2026-11-30")
}

fn typed(list: &[(Quantity, &str)]) -> Map<Quantity, AsTyped> {
    list.iter()
        .map(|(q, t)| (*q, AsTyped((*t).into())))
        .collect()
}

/// Wines of every stage, measured on either side of their limits, late, early and without a market.
fn wines() -> Vec<Wine> {
    let white = |problems: &[Problem]| Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Eu],
        problems: problems.to_vec(),
        ..Wine::default()
    };
    let with = |problem: Problem, analyses: &[(Quantity, &str)]| Wine {
        analyses: typed(analyses),
        ..white(&[problem])
    };
    let day = |problems: &[Problem], day: &str| Wine {
        bottling_day: day.into(),
        ..white(problems)
    };
    let none = |kit: Kit| (kit, KitEntry::of(KitMeans::No));
    let mut all: Vec<Wine> = Problem::ALL.iter().map(|p| white(&[*p])).collect();
    all.extend(Problem::ALL.iter().map(|p| Wine {
        sold_in: Vec::new(),
        made_in: None,
        colour: Some(Colour::Red),
        ..white(&[*p])
    }));
    all.extend([
        white(&[]),
        Wine {
            stage: Some(Stage::Bottled),
            ..white(&[Problem::Haze])
        },
        Wine {
            style: Some(Style::Fruit),
            ..white(&[Problem::Haze])
        },
        Wine {
            stage: Some(Stage::Juice),
            sold_in: vec![Market::Za],
            made_in: Some(Market::Za),
            ..white(&[Problem::Rot])
        },
        white(&[Problem::Protein, Problem::Rot]),
        with(Problem::Protein, &[(Quantity::HeatRise, "0.2")]),
        with(Problem::Haze, &[(Quantity::Turbidity, "0.95")]),
        with(
            Problem::Microbes,
            &[
                (Quantity::Sugar, "0.2"),
                (Quantity::Malic, "0.1"),
                (Quantity::Ph, "3.2"),
                (Quantity::FreeSo2, "40"),
            ],
        ),
        with(
            Problem::Protein,
            &[(Quantity::HeatRise, "15"), (Quantity::Turbidity, "12")],
        ),
        Wine {
            stage: Some(Stage::Fermenting),
            ..with(Problem::Refermentation, &[(Quantity::Sugar, "40")])
        },
        Wine {
            problems: vec![Problem::Mousy, Problem::Haze],
            ..with(Problem::Haze, &[(Quantity::Turbidity, "0.3")])
        },
        with(Problem::Protein, &[(Quantity::HeatRise, "40")]),
        Wine {
            stale: vec![Quantity::HeatRise],
            ..with(Problem::Protein, &[(Quantity::HeatRise, "40")])
        },
        Wine {
            stage: Some(Stage::Juice),
            ..with(Problem::Haze, &[(Quantity::Turbidity, "5")])
        },
        day(&[Problem::Haze], "2026-11-01"),
        day(&[Problem::Haze], "2026-12-02"),
        day(&[Problem::Haze], "2027-06-01"),
        day(
            &[Problem::Haze, Problem::Protein, Problem::Crystals],
            "2026-12-01",
        ),
        Wine {
            kit: [
                none(Kit::Filter),
                none(Kit::CrossFlow),
                none(Kit::Centrifuge),
                none(Kit::EarthFilter),
            ]
            .into(),
            ..day(&[Problem::Haze, Problem::Crystals], "2026-12-14")
        },
        Wine {
            claims: vec![Claim::Vegan],
            sold_in: vec![Market::Us, Market::Za, Market::Cn],
            ..white(&[Problem::Smoke, Problem::Calcium])
        },
        Wine {
            stage: Some(Stage::Fermenting),
            ..white(&[Problem::Protein, Problem::Crystals])
        },
        Wine {
            stage: Some(Stage::Ready),
            analyses: typed(&[(Quantity::HeatRise, "90"), (Quantity::Turbidity, "900")]),
            kit: Kit::ALL.iter().map(|k| none(*k)).collect(),
            ..white(&[Problem::Protein, Problem::Haze])
        },
        Wine {
            stage: Some(Stage::Juice),
            colour: Some(Colour::Red),
            ..white(&[Problem::Haze, Problem::BlockedFilter])
        },
        Wine {
            stage: Some(Stage::Ready),
            ..with(Problem::Protein, &[(Quantity::HeatRise, "15")])
        },
    ]);
    all
}

/// An answer, what it says and what says it.
fn agree(says: &[AnswerKey], answer: &str, seen: &mut Vec<AnswerKey>) {
    for (key, words) in WORDS {
        let said = words.iter().any(|w| answer.contains(w));
        assert_eq!(says.contains(&key), said, "{key:?} in: {answer}");
    }
    let unknown: Vec<_> = says
        .iter()
        .filter(|k| !WORDS.iter().any(|(key, _)| key == *k))
        .collect();
    assert!(unknown.is_empty(), "{unknown:?} have no words here");
    seen.extend(says);
}

#[test]
fn keys_say_what_the_sentences_say() {
    let mut seen = Vec::new();
    for w in wines() {
        let advice = advise(&Dossier::of(&w), today());
        for p in &advice.problems {
            agree(&p.says, &p.answer, &mut seen);
        }
        agree(
            &advice.measure_next.says,
            &advice.measure_next.answer,
            &mut seen,
        );
        let all = routes(&Dossier::of(&w), today());
        agree(&all.says, &all.answer, &mut seen);
        assert_eq!(
            all.uncured.iter().map(|p| p.label()).collect::<Vec<_>>(),
            all.no_cure
        );
    }
    let never: Vec<_> = WORDS
        .iter()
        .map(|(key, _)| key)
        .filter(|k| !seen.contains(k))
        .collect();
    assert!(never.is_empty(), "no wine here brings {never:?}");
}

/// Where the stage, the days or both keep a wine from its routes, the answer says which, and with
/// that changed there is a route; where something else does, it blames neither.
#[test]
fn what_keeps_a_wine_from_its_routes_is_said() {
    let wine = |stage: Stage, day: &str| Wine {
        colour: Some(Colour::White),
        stage: Some(stage),
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Eu],
        bottling_day: day.into(),
        problems: vec![Problem::Protein],
        analyses: typed(&[(Quantity::HeatRise, "15")]),
        ..Wine::default()
    };
    let of = |w: &Wine| routes(&Dossier::of(w), today());
    let (soon, later) = ("2026-12-03", "2027-02-01");
    let found = of(&wine(Stage::Dry, later));
    assert!(found.held_by.is_empty() && found.found > 0);
    let cases: [(Wine, &[Fact]); 4] = [
        (wine(Stage::Ready, later), &[Fact::Stage]),
        (wine(Stage::Ready, ""), &[Fact::Stage]),
        (wine(Stage::Dry, soon), &[Fact::BottlingDay]),
        (wine(Stage::Ready, soon), &[Fact::Stage, Fact::BottlingDay]),
    ];
    for (w, witness) in cases {
        let kept = of(&w);
        assert_eq!(kept.held_by, witness, "{}", kept.answer);
        let says = |key, fact: &Fact| kept.says.contains(&key) == witness.contains(fact);
        assert!(says(StageCloses, &Fact::Stage) && says(DaysTooFew, &Fact::BottlingDay));
    }
    let nowhere = Wine {
        kit: Kit::ALL
            .iter()
            .map(|k| (*k, KitEntry::of(KitMeans::No)))
            .collect(),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Smoke, Problem::VolatileAcidity],
        analyses: typed(&[(Quantity::VolatileAcidity, "1.6")]),
        ..wine(Stage::Dry, "")
    };
    let kept = of(&nowhere);
    assert!(
        kept.found == 0 && kept.held_by.is_empty(),
        "{}",
        kept.answer
    );
}

/// A bottled wine is answered with what can be done for its bottles, what safety asks first: gassy
/// bottles are chilled where gas is feared, and there alone.
#[test]
fn a_bottled_wine_leads_with_what_can_be_done_for_bottles() {
    let of = |problems: &[Problem]| {
        let w = Wine {
            colour: Some(Colour::White),
            stage: Some(Stage::Bottled),
            problems: problems.to_vec(),
            ..Wine::default()
        };
        let lists = advise(&Dossier::of(&w), today()).problems;
        let mut all: Vec<String> = lists.into_iter().map(|p| p.answer).collect();
        all.push(routes(&Dossier::of(&w), today()).answer);
        all
    };
    let (chill, block) = ("Chill gassy bottles", "Nothing of the lot leaves");
    let both = of(&[Problem::Refermentation, Problem::Haze]);
    let [gas, haze, route] = both.as_slice() else {
        panic!("{both:?}")
    };
    assert!(gas.starts_with(chill) && route.starts_with(chill) && gas.contains(block));
    assert!(haze.starts_with(block) && !haze.contains(chill));
    // Nothing is wrong: nothing is blocked.
    assert!(!of(&[]).concat().contains(block));
}

/// What is measured and what is tried stand as keys beside the words of a step.
#[test]
fn tests_and_trials_of_a_route_have_keys() {
    let mut kinds = Vec::new();
    for w in wines() {
        for step in routes(&Dossier::of(&w), today())
            .routes
            .iter()
            .flat_map(|r| &r.steps)
        {
            let measures =
                step.kind.is_test() || step.kind == StepKind::Release && !step.measures.is_empty();
            assert_eq!(
                (measures, step.kind == StepKind::Trial),
                (!step.measures.is_empty(), !step.tries.is_empty()),
                "{}",
                step.name
            );
            if step.kind == StepKind::Test {
                assert!(
                    step.measures
                        .iter()
                        .all(|q| step.name.to_lowercase().contains(&q.label().to_lowercase())),
                    "{}",
                    step.name
                );
            }
            kinds.push(step.kind);
        }
    }
    assert!(
        [
            StepKind::Test,
            StepKind::Trial,
            StepKind::Act,
            StepKind::Retest,
            StepKind::Alongside,
            StepKind::Day,
            StepKind::Bottling,
            StepKind::Release
        ]
        .iter()
        .all(|k| kinds.contains(k))
    );
}
