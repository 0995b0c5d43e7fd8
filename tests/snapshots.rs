//! What the app decides of 200 drawn wines and those of the demonstration, kept in
//! `tests/snapshots/values.jsonl`, and what it
//! says of twelve of them, in `tests/snapshots/words/`; and what the tables of the knowledge come
//! to, in `tests/snapshots/figures.txt`.
//!
//! A difference fails with its summary: by kind of line and field, how many wines, with five
//! examples. `make changed` prints that
//! summary alone; `make accept` writes the files anew.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

#[path = "snapshots/changed.rs"]
mod changed;
#[path = "snapshots/figures.rs"]
mod figures;
#[path = "snapshots/values.rs"]
mod values;
#[path = "snapshots/wines.rs"]
mod wines;
#[path = "snapshots/words.rs"]
mod words;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use stillbright::dossier::Dossier;
use stillbright::knowledge::{everything, standings};
use stillbright::route::{plan::plan, routes};
use stillbright::units::day::Day;

const VALUES: &str = "tests/snapshots/values.jsonl";
const WORDS: &str = "tests/snapshots/words";
const FIGURES: &str = "tests/snapshots/figures.txt";
const PLANS: &str = "tests/snapshots/plans.jsonl";
/// Where the summary is left.
const CHANGED: &str = "target/snapshots/changed.txt";

/// On every core, in the order of the list.
fn each<T: Sync, R: Send>(all: &[T], work: impl Fn(usize, &T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut own = Vec::new();
        while let Some((at, item)) =
            Some(next.fetch_add(1, Ordering::Relaxed)).and_then(|at| Some((at, all.get(at)?)))
        {
            own.push((at, work(at, item)));
        }
        own
    };
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(worker)).collect();
        workers
            .into_iter()
            .flat_map(|w| w.join().unwrap())
            .collect()
    });
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, result)| result).collect()
}

fn read(path: &str) -> String {
    std::fs::read_to_string(path).unwrap_or_default()
}

fn write(path: &str, text: &str) {
    std::fs::create_dir_all(Path::new(path).parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

fn is_set(name: &str) -> bool {
    std::env::var_os(name).is_some()
}

/// Every decision of today, a line each.
fn decided() -> String {
    let today = Day::read(wines::TODAY);
    let lines = each(&wines::all(&read(PLANS)), |_, (name, wine)| {
        values::lines(name, wine, today).join("\n")
    });
    lines.join("\n") + "\n"
}

#[test]
fn the_values_are_those_that_are_kept() {
    let now = decided();
    if is_set("ACCEPT") {
        return write(VALUES, &now);
    }
    // Another file to compare with, as of an earlier commit; then nothing fails.
    let against = std::env::var("AGAINST_FILE").ok();
    let kept = read(against.as_deref().unwrap_or(VALUES));
    let summary = changed::summary(&kept, &now);
    write(CHANGED, summary.as_deref().unwrap_or("No wine changed.\n"));
    if against.is_none() {
        assert!(
            summary.is_none(),
            "\n{}\nWhere this is meant: make accept",
            summary.unwrap_or_default()
        );
        assert!(
            kept == now,
            "the lines of {VALUES} stand in another order, or are written otherwise. Where this is meant: make accept"
        );
    }
}

#[test]
fn the_words_are_those_that_are_kept() {
    let today = Day::read(wines::TODAY);
    let spoken: Vec<_> = wines::all(&read(PLANS))
        .into_iter()
        .filter(|(name, _)| words::is_spoken(name))
        .collect();
    let drawn = spoken.iter().filter(|(_, wine)| !wine.demo);
    assert_eq!(drawn.count(), words::SPOKEN.len());
    held(
        &format!("{WORDS}/en.txt"),
        &each(&spoken, |_, (name, wine)| words::of(name, wine, today)).concat(),
    );
}

/// As the page does it: first the language, then the figures beside it.
#[test]
fn the_us_figures_are_those_that_are_kept() {
    let mut now = String::new();
    for language in ["en", "fr", "es"] {
        let lines = words::with_us_figures(&read(&format!("{WORDS}/{language}.txt")));
        now.push_str(&format!("== {language}\n{}\n", lines.join("\n")));
    }
    held(&format!("{WORDS}/us.txt"), &now);
}

/// Writes the file where that is asked for; else it must be the same.
fn held(path: &str, now: &str) {
    if is_set("ACCEPT") {
        return write(path, now);
    }
    let kept = read(path);
    let differences = words::differences(&kept, now);
    assert!(
        differences.is_none(),
        "{path}: {}\nWhere this is meant: make accept",
        differences.unwrap_or_default()
    );
    assert!(
        kept == now,
        "{path}: the same lines stand in another order. Where this is meant: make accept"
    );
}

/// A mistyped digit shows here, and so does what a change of the knowledge took along unseen.
#[test]
fn the_figures_are_those_that_are_kept() {
    let now = figures::of(&serde_json::to_value(everything()).unwrap());
    if is_set("ACCEPT") {
        return write(FIGURES, &now);
    }
    let kept = read(FIGURES);
    let differences = figures::differences(&kept, &now);
    assert!(
        differences.is_none(),
        "{FIGURES} says otherwise of these:\n{}Where this is meant: make accept",
        differences.unwrap_or_default()
    );
    assert!(
        kept == now,
        "the lines of {FIGURES} stand in another order. Where this is meant: make accept"
    );
}

/// The page about the figures counts every standing there is in the tables.
#[test]
fn the_page_about_the_figures_leaves_none_out() {
    let all = figures::standings(&figures::of(&serde_json::to_value(everything()).unwrap()));
    let mut counted: BTreeMap<String, usize> = BTreeMap::new();
    for standing in standings() {
        let word = serde_json::to_value(standing).unwrap();
        *counted.entry(word.as_str().unwrap().into()).or_default() += 1;
    }
    assert_eq!(counted, all);
}

#[test]
fn a_figure_that_differs_is_told_with_its_table() {
    let text = |entries: usize, low: &str| {
        format!("# head\n\n== law\nentries: {entries}\n\n== treatment\nsum days: low {low} in 2\n")
    };
    assert_eq!(figures::differences(&text(1, "3"), &text(1, "3")), None);
    assert_eq!(
        figures::differences(&text(1, "3"), &text(2, "3.5")).unwrap(),
        "law, entries: 1 -> 2\ntreatment, sum days: low 3 in 2 -> low 3.5 in 2\n"
    );
    // Two slips that have one sum.
    let of = |a: f64, b: f64| {
        figures::of(&serde_json::json!({"law": [{"limit": {"value": a}}, {"limit": {"value": b}}]}))
    };
    let told = figures::differences(&of(1.0, 3.0), &of(3.0, 1.0)).unwrap();
    assert!(told.starts_with("law, checksum of the figures: "), "{told}");
}

/// What is kept of one wine can only be compared with what is said of the same. Where this fails,
/// the wines moved: their list of
/// draws was changed, or the plans were taken anew.
#[test]
fn the_drawn_wines_stay_as_they_are() {
    let drawn: Vec<_> = wines::all(&read(PLANS))
        .into_iter()
        .map(|(_, wine)| wine)
        .filter(|w| !w.demo)
        .collect();
    assert_eq!(drawn.len(), wines::DRAWN);
    let faults: Vec<_> = drawn.iter().flat_map(|w| w.errors()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    let third = wines::DRAWN / 4..wines::DRAWN / 2;
    for part in [
        drawn.iter().filter(|w| !w.done.is_empty()).count(),
        drawn.iter().filter(|w| !w.plan.is_empty()).count(),
    ] {
        assert!(third.contains(&part), "{part}");
    }
    // FNV-1a.
    let text = serde_json::to_string(&drawn).unwrap();
    let sum = text.bytes().fold(0xCBF2_9CE4_8422_2325_u64, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3)
    });
    assert_eq!(format!("{sum:016x}"), "703588be2368aad5");
}

#[test]
fn the_summary_counts_wines_by_field() {
    let list = |wine: usize, first: &str| {
        format!(r#"{{"wine":"w{wine}","what":"list","need":"haze","first":["{first}"],"tied":1}}"#)
    };
    let route = |at: usize, key: &str, days: usize| {
        format!(r#"{{"wine":"w1","what":"route","at":{at},"key":"{key}","days":{days}}}"#)
    };
    let record = |by: &str| format!(r#"{{"wine":"w2","what":"record","by":{{{by}}}}}"#);
    let lines = |first: &str, more: [String; 3]| {
        (1..=7)
            .map(|n| list(n, first))
            .chain(more)
            .collect::<Vec<_>>()
            .join("\n")
    };
    let before = lines(
        "a",
        [
            route(1, "x", 3),
            route(2, "y", 4),
            record(r#""inside":["iron"],"missing":["copper","taste"]"#),
        ],
    );
    assert_eq!(changed::summary(&before, &before), None);
    let after = lines(
        "b",
        [
            route(1, "x", 5),
            route(3, "z", 9),
            record(r#""inside":["copper","iron"],"missing":["taste"]"#),
        ],
    );
    let told = changed::summary(&before, &after).unwrap();
    let expected = "7 of 7 wines changed.

list.first: 7 wines
  w1 haze: [a] -> [b]
  w2 haze: [a] -> [b]
  w3 haze: [a] -> [b]
  w4 haze: [a] -> [b]
  w5 haze: [a] -> [b]

record.copper: 1 wine
  w2: missing -> inside

route: 1 wine, 2 times
  w1 2: y -> (none)

route.days: 1 wine
  w1 1: 3 -> 5
";
    assert_eq!(told, expected);
    // Another route in its place: what follows from that is not told.
    let other = changed::summary(&route(1, "x", 3), &route(1, "z", 8)).unwrap();
    assert_eq!(
        other,
        "1 of 1 wines changed.\n\nroute.key: 1 wine\n  w1 1: x -> z\n"
    );
}

/// Plans are taken from the first route once and kept, so that a change of the routes leaves the
/// wines as they are:
/// `cargo test --test snapshots take_the_plans_anew -- --ignored`.
#[test]
#[ignore = "writes the plans anew, which changes the wines"]
fn take_the_plans_anew() {
    let today = Day::read(wines::TODAY);
    let planned: Vec<usize> = (1..=wines::DRAWN)
        .filter(|n| wines::is_planned(*n))
        .collect();
    let lines = each(&planned, |_, number| {
        let wine = wines::drawn(*number);
        let route = routes(&Dossier::of(&wine), today)
            .routes
            .into_iter()
            .next()?;
        Some(wines::plan_as_line(&wine.name, &plan(&route)) + "\n")
    });
    write(PLANS, &lines.into_iter().flatten().collect::<String>());
}
