//! What must be shown before the line, at it and before release: the list by what was done, its
//! days, what is waived, and the record, the routes and the laboratory that go by it.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod drawn;

use drawn::plausible::{PLAUSIBLE, plausible};
use drawn::wines;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{LAST, TREATMENTS, Treatment};
use stillbright::obligations::{Obligation, days_of, obligations, takes};
use stillbright::route::{Route, plan::plan, routes};
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::deciding::deciding;
use stillbright::work_order::laboratory::asked;
use stillbright::work_order::ready::{Because, Fitness, Ready, Shown, ready};

const TODAY: &str = "2026-11-30";

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}

fn treatment(key: &str) -> &'static Treatment {
    TREATMENTS.rows().iter().find(|t| t.key == key).unwrap()
}

fn white() -> Wine {
    Wine {
        colour: Some(Colour::White),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        volume: typed("5000 L"),
        ..Wine::default()
    }
}

fn keys(wine: &Wine, acts: &[&str]) -> Vec<String> {
    let acts: Vec<&'static Treatment> = acts.iter().map(|k| treatment(k)).collect();
    let all = obligations(&Dossier::of(wine), &acts);
    all.iter().map(Obligation::key).collect()
}

fn has(wine: &Wine, acts: &[&str], key: &str) -> bool {
    keys(wine, acts).iter().any(|k| k == key)
}

fn on(day: &str, wine: &Wine) -> Ready {
    ready(&Dossier::of(wine), Day::read(day))
}

/// AWRI: the mini-contact test does not judge a wine with an inhibitor, the cold hold does.
#[test]
fn an_inhibitor_brings_the_cold_hold() {
    assert!(has(&white(), &[], "bitartrate") && !has(&white(), &[], "cold_hold"));
    for act in ["cmc", "polyaspartate", "metatartaric"] {
        assert!(!has(&white(), &[act], "bitartrate") && has(&white(), &[act], "cold_hold"));
    }
}

/// A germ filter brings its integrity tests and the counts behind it; sugar left brings the counts
/// whatever is planned.
#[test]
fn counts_come_with_the_barrier() {
    assert!(!has(&white(), &[], "yeast_plate") && has(&white(), &["membrane_045"], "yeast_plate"));
    let mut sweet = white();
    sweet.analyses.insert(Quantity::Sugar, typed("12"));
    assert!(has(&sweet, &[], "yeast_plate"));
}

/// A plate for yeast is read before Brettanomyces shows: where that is feared, a plate of its own
/// stands behind the barrier, and no lot waits for it else.
#[test]
fn brettanomyces_is_counted_behind_the_barrier_where_it_is_feared() {
    let plate = |w: &Wine| has(w, &["membrane_045"], "brett_plate");
    let mut red = white();
    red.colour = Some(Colour::Red);
    assert!(has(&red, &["membrane_045"], "yeast_plate") && !plate(&red));
    red.analyses.insert(Quantity::BrettCells, typed("0"));
    assert!(!plate(&red), "none was found");
    red.analyses.insert(Quantity::BrettCells, typed("200"));
    assert!(plate(&red) && !has(&red, &[], "brett_plate"));
    red.analyses.remove(&Quantity::BrettCells);
    red.problems = vec![Problem::Brettanomyces];
    assert!(plate(&red));
    let (low, high) = takes(Quantity::BrettPlate, &[]).map_or((0.0, 0.0), |t| (t.low, t.high));
    assert_eq!((low, high), (7.0, 14.0));
}

/// A smell that was named, or that an act is done against, must be gone.
#[test]
fn a_smell_brings_its_tasting() {
    let mut wine = white();
    assert!(!has(&wine, &[], "smell_reduction"));
    assert!(has(&wine, &["copper_sulfate"], "smell_reduction"));
    wine.problems = vec![Problem::Reduction];
    assert!(has(&wine, &[], "smell_reduction"));
}

/// “Bottled unfiltered on purpose” takes clarity and the filter away, and leaves the germ barrier.
#[test]
fn a_wine_that_is_bottled_unfiltered_is_not_asked_to_be_clear() {
    let mut wine = white();
    for key in ["clarity", "filterability", "filter_integrity"] {
        assert!(has(&wine, &[], key), "{key}");
    }
    wine.wishes = vec![Wish::Unfiltered];
    for key in ["clarity", "filterability", "filter_integrity"] {
        assert!(!has(&wine, &[], key), "{key}");
    }
    assert!(has(&wine, &[], "refermentation") && has(&wine, &[], "free_so2"));
    wine.analyses.insert(Quantity::Sugar, typed("12"));
    assert!(
        has(&wine, &[], "filter_integrity")
            && has(&wine, &[], "yeast_plate")
            && !has(&wine, &[], "clarity"),
        "{:?}",
        keys(&wine, &[])
    );
}

/// Plates: yeast 3 to 5 days, bacteria 7 to 10, Brettanomyces 7 to 14 (common practice); the cold
/// hold 3 days, 6 with an inhibitor (Bosso et al. 2020); the mini-contact test takes hours.
#[test]
fn each_test_has_its_own_days() {
    let span = |q: Quantity, past: &[Past]| {
        let t = takes(q, past).unwrap();
        (t.low, t.high)
    };
    assert_eq!(span(Quantity::YeastPlate, &[]), (3.0, 5.0));
    assert_eq!(span(Quantity::BacteriaPlate, &[]), (7.0, 10.0));
    assert_eq!(span(Quantity::BrettCells, &[]), (7.0, 14.0));
    assert_eq!(span(Quantity::ColdHold, &[Past::Inhibited]), (3.0, 6.0));
    assert!(takes(Quantity::ConductivityDrop, &[]).unwrap().low < 0.5);
    // Side by side they count once.
    let both = days_of(&[Quantity::YeastPlate, Quantity::BacteriaPlate], &[]);
    assert_eq!(
        both,
        takes(Quantity::BacteriaPlate, &[]).unwrap(),
        "{both:?}"
    );
    assert_eq!(
        days_of(&[], &[]),
        stillbright::obligations::Takes::default()
    );
}

fn waived(key: &str, by: &str, reason: &str, day: &str) -> Waived {
    Waived {
        key: key.into(),
        by: by.into(),
        reason: reason.into(),
        day: day.into(),
    }
}

/// What is waived has a name, a reason and a day; what safety or law asks for is never waived, and
/// what is measured later is not covered.
#[test]
fn a_proof_is_waived_by_name_reason_and_day() {
    let row = |w: &Wine, key: &str| {
        let r = on("2026-11-25", w);
        r.evidence.iter().find(|e| e.key == key).unwrap().clone()
    };
    let with = |waiver: Waived| Wine {
        waived: vec![waiver],
        made_in: Some(Market::Eu),
        ..white()
    };
    let whole = with(waived(
        "iron",
        "A. Winemaker",
        "steel throughout",
        "2026-11-20",
    ));
    let iron = row(&whole, "iron");
    assert!(
        iron.shown == Shown::Waived
            && iron.why.starts_with(
                "Released by A. Winemaker on 2026-11-20, without it: steel throughout."
            ),
        "{iron:?}"
    );
    for lacking in [
        waived("iron", "", "steel", "2026-11-20"),
        waived("iron", "A", " ", "2026-11-20"),
        waived("iron", "A", "steel", ""),
        waived("iron", "A", "steel", "some day"),
    ] {
        assert_eq!(row(&with(lacking), "iron").shown, Shown::Missing);
    }
    for key in ["refermentation", "total_so2"] {
        let wine = with(waived(key, "A", "no time", "2026-11-20"));
        assert_eq!(row(&wine, key).shown, Shown::Missing, "{key}");
    }
    let mut later = whole.clone();
    later.analyses.insert(Quantity::Iron, typed("30"));
    later
        .measured_on
        .insert(Quantity::Iron, typed("2026-11-22"));
    assert_eq!(row(&later, "iron").shown, Shown::Against);
    later
        .measured_on
        .insert(Quantity::Iron, typed("2026-11-18"));
    assert_eq!(row(&later, "iron").shown, Shown::Waived);
}

/// A check that is read by a figure is covered by its day as a stability is: what was measured by
/// the day of the waiver may be done without, what came later may not. Of molecular sulfur dioxide
/// the day of the pH counts too; of what is looked at, the day on which it was.
#[test]
fn a_check_is_waived_by_the_day_of_its_reading() {
    let shown = |w: &Wine, key: &str| {
        let r = on("2026-11-25", w);
        r.evidence.iter().find(|e| e.key == key).unwrap().shown
    };
    let mut wine = Wine {
        waived: ["free_so2", "line"]
            .map(|key| waived(key, "A. Winemaker", "drunk at once", "2026-11-24"))
            .into(),
        ..white()
    };
    let read = |wine: &mut Wine, q: Quantity, text: &str, day: &str| {
        wine.analyses.insert(q, typed(text));
        wine.measured_on.insert(q, typed(day));
    };
    read(&mut wine, Quantity::FreeSo2, "8", "2026-11-24");
    read(&mut wine, Quantity::Ph, "3.4", "2026-11-24");
    assert_eq!(shown(&wine, "free_so2"), Shown::Waived);
    let mut later = wine.clone();
    read(&mut later, Quantity::FreeSo2, "8", "2026-11-25");
    assert_eq!(shown(&later, "free_so2"), Shown::Against);
    let mut later = wine.clone();
    read(&mut later, Quantity::Ph, "3.6", "2026-11-25");
    assert_eq!(shown(&later, "free_so2"), Shown::Against);
    for (day, then) in [
        ("2026-11-24", Shown::Waived),
        ("2026-11-25", Shown::Against),
    ] {
        *wine.check("line") = Checked {
            key: "line".into(),
            day: day.into(),
            passed: Some(false),
            by: String::new(),
        };
        let r = on(day, &wine);
        let row = r.evidence.iter().find(|e| e.key == "line").unwrap();
        assert_eq!(row.shown, then, "{day}");
    }
}

/// A faulty bottled wine has a list of its own, and none of the tank's.
#[test]
fn a_faulty_bottled_wine_has_its_own_list() {
    let mut wine = Wine {
        stage: Some(Stage::Bottled),
        ..white()
    };
    assert!(!has(&wine, &[], "lot_blocked") && !has(&wine, &[], "protein"));
    wine.problems = vec![Problem::Haze];
    for key in ["lot_blocked", "more_bottles", "sealed_bottle", "reversible"] {
        assert!(has(&wine, &[], key), "{key}");
    }
    assert!(!has(&wine, &[], "gassy_bottles"));
    wine.problems = vec![Problem::Refermentation];
    assert!(has(&wine, &[], "gassy_bottles"));
    let r = on(TODAY, &wine);
    assert!(!r.line && !r.released && r.says.contains(&Fitness::KeptBack));
}

/// The sheet for the laboratory asks for nothing that the record does not owe or a named problem
/// needs, itself or to decide on an act against it.
#[test]
fn the_laboratory_is_asked_for_what_the_record_owes() {
    for wine in (1..=200).map(wines::drawn) {
        let dossier = Dossier::of(&wine);
        let owed = obligations(&dossier, &dossier.to_do());
        let record = ready(&dossier, Day::read(TODAY));
        let named: Vec<Quantity> = stillbright::knowledge::PROBLEMS
            .iter()
            .filter(|p| wine.problems.contains(&p.problem))
            .map(|p| stillbright::state::reading(&dossier, p.quantity))
            .chain(deciding(&dossier).into_iter().map(|d| d.quantity))
            .collect();
        for a in asked(&dossier, Day::read(TODAY)) {
            let owes = owed.iter().any(|o| {
                let shown = record.evidence.iter().find(|e| e.key == o.key());
                o.reads() == Some(a.quantity) && shown.is_some_and(|e| e.is_open())
            });
            assert!(owes || named.contains(&a.quantity), "{}", a.text);
        }
    }
}

/// A reading well inside what a wine is held to.
fn inside(q: Quantity) -> &'static str {
    match q {
        Quantity::FreeSo2 => "45",
        Quantity::TotalSo2 => "90",
        Quantity::CloggingIndex => "8",
        Quantity::Ph => "3.2",
        Quantity::Turbidity => "0.3",
        Quantity::HeatRise | Quantity::HeatRiseMild | Quantity::HeatRiseHard => "0.2",
        Quantity::ConductivityDrop => "1",
        Quantity::Calcium => "30",
        Quantity::Oxygen => "0.1",
        Quantity::Copper => "0.05",
        Quantity::Iron => "0.5",
        Quantity::Sugar => "0.2",
        Quantity::Malic => "0.05",
        Quantity::MolecularSo2 => "1.2",
        _ => "0",
    }
}

fn passed(wine: &mut Wine, key: &str, day: &str) {
    *wine.check(key) = Checked {
        key: key.into(),
        day: day.into(),
        passed: Some(true),
        by: "B. Taster".into(),
    };
}

/// Does a route to the letter: every act on its day, every reading inside its limit on the day that
/// it has answered, every check passed on the bottling day; and the counts when they are read.
fn followed(wine: &Wine, route: &Route, bottling: Day) -> Wine {
    let mut wine = Wine {
        plan: plan(route),
        ..wine.clone()
    };
    wine.stage = Some(Stage::Ready);
    let begin = bottling.plus(-(route.days.ceil() as i64));
    for step in &route.steps {
        let day = begin.plus(step.begins.floor() as i64);
        if !step.key.is_empty() {
            wine.done.push(Done {
                treatment: step.key.into(),
                day: day.show(),
                ..Done::default()
            });
        }
        // A result is read when the test has run; it is of the wine on the day of the sample.
        for q in step.measures.iter().filter(|q| q.facts().asked) {
            let gas = if wine.colour == Some(Colour::Red) {
                "400"
            } else {
                "900"
            };
            let reading = match q {
                Quantity::CarbonDioxide => gas,
                q => inside(*q),
            };
            wine.analyses.insert(*q, typed(reading));
            wine.measured_on.insert(*q, typed(&day.show()));
            wine.stale.retain(|s| s != q);
        }
    }
    for check in LAST.rows().iter().filter(|c| c.quantity.is_none()) {
        passed(&mut wine, check.key, &bottling.show());
        for p in Problem::ALL {
            if check.each_smell {
                let key = format!("{}_{}", check.key, p.key());
                passed(&mut wine, &key, &bottling.show());
            }
        }
    }
    // What molecular sulfur dioxide is worked out from.
    wine.analyses.insert(Quantity::Ph, typed("3.2"));
    wine.measured_on
        .insert(Quantity::Ph, typed(&bottling.show()));
    wine
}

/// Does shown routes of these wines to the letter, each for its own bottling day: how many were
/// tried, and what was open then.
fn to_the_letter(wines: impl Iterator<Item = Wine>) -> (usize, Vec<String>) {
    let (mut tried, mut bad) = (0, Vec::new());
    for mut wine in wines {
        let bottling = Day::read(&wine.bottling_day).unwrap();
        // A reading counts with its day only.
        for q in wine.analyses.keys().copied().collect::<Vec<_>>() {
            if !wine.measured_on.contains_key(&q) {
                wine.measured_on.insert(q, typed("2026-11-20"));
            }
        }
        // What was measured and done stays; a wine that stands in must has no bottle in its route.
        let must = wine.stage == Some(Stage::Juice) || wine.style == Some(Style::Juice);
        if must || wine.colour.is_none() {
            continue;
        }
        let found = routes(&Dossier::of(&wine), Day::read(TODAY));
        // What nothing cures, or no route covers, is said beside the routes.
        if !found.no_cure.is_empty() || !found.not_covered.is_empty() {
            continue;
        }
        for route in found.routes.iter().filter(|r| !r.short).take(3) {
            let done = followed(&wine, route, bottling);
            let r = on(&bottling.show(), &done);
            let open: Vec<_> = r
                .evidence
                .iter()
                .filter(|e| e.is_open() && e.due == Due::BeforeLine)
                // What the log or the law held against the wine from the start is not the route's.
                .filter(|e| e.because != Some(Because::Forbidden))
                .filter(|e| e.because != Some(Because::NoLimit))
                .filter(|e| e.because != Some(Because::TooLong))
                .map(|e| (e.name.clone(), e.shown, e.why.clone()))
                .collect();
            if !open.is_empty() {
                bad.push(format!("{} {}: {open:#?}", wine.name, route.key));
                continue;
            }
            let later = bottling.plus(route.release_days.ceil() as i64).show();
            let after = on(&later, &done);
            let kept: Vec<_> = after
                .evidence
                .iter()
                .filter(|e| e.is_open() && e.due != Due::BeforeLine)
                .map(|e| (e.name.clone(), e.shown, e.why.clone()))
                .collect();
            if !kept.is_empty() {
                bad.push(format!("{} {}: after {kept:#?}", wine.name, route.key));
            }
            tried += 1;
        }
    }
    (tried, bad)
}

/// Whoever does a shown route to the letter, with every reading inside, is ready for the line on
/// the first of its days, and released on the second.
#[test]
fn a_route_done_to_the_letter_is_ready_and_released() {
    let late = |wine: Wine| Wine {
        bottling_day: "2027-06-15".into(),
        ..wine
    };
    let (tried, bad) = to_the_letter((1..=200).map(wines::drawn).map(late));
    println!("{tried} routes done to the letter");
    assert!(tried > 100 && bad.is_empty(), "{tried} {}", bad.join("\n"));
}

/// The same of plausible wines that were worked on already.
#[test]
fn a_route_of_a_wine_with_a_log_is_ready_and_released() {
    let (tried, bad) = to_the_letter((0..PLAUSIBLE).map(plausible));
    println!("{tried} routes of wines with logs done to the letter");
    assert!(tried > 200 && bad.is_empty(), "{tried} {}", bad.join("\n"));
}
