//! What the app decides of 200 drawn wines and those of the demonstration, kept in `tests/snapshots/values.jsonl`, and what it
//! says of twelve of them, in `tests/snapshots/words/`.
//!
//! A difference fails with its summary: by kind of line and field, how many wines, with five examples. `make changed` prints that
//! summary alone; `make accept` writes the files anew.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

#[path = "snapshots/changed.rs"]
mod changed;
#[path = "snapshots/values.rs"]
mod values;
#[path = "snapshots/wines.rs"]
mod wines;
#[path = "snapshots/words.rs"]
mod words;

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use stillbright::route::{plan::plan, routes};
use stillbright::units::day::Day;

const VALUES: &str = "tests/snapshots/values.jsonl";
const WORDS: &str = "tests/snapshots/words";
const PLANS: &str = "tests/snapshots/plans.jsonl";
/// Where the summary is left.
const CHANGED: &str = "target/snapshots/changed.txt";

/// On every core, in the order of the list.
fn each<T: Sync, R: Send>(all: &[T], work: impl Fn(usize, &T) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut own = Vec::new();
        while let Some((at, item)) = Some(next.fetch_add(1, Ordering::Relaxed)).and_then(|at| Some((at, all.get(at)?))) {
            own.push((at, work(at, item)));
        }
        own
    };
    let mut done: Vec<(usize, R)> = std::thread::scope(|scope| {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(worker)).collect();
        workers.into_iter().flat_map(|w| w.join().unwrap()).collect()
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
    let lines = each(&wines::all(&read(PLANS)), |_, (name, wine)| values::lines(name, wine, today).join("\n"));
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
        assert!(summary.is_none(), "\n{}\nWhere this is meant: make accept", summary.unwrap_or_default());
        assert!(kept == now, "the lines of {VALUES} stand in another order, or are written otherwise. Where this is meant: make accept");
    }
}

#[test]
fn the_words_are_those_that_are_kept() {
    let today = Day::read(wines::TODAY);
    let spoken: Vec<_> = wines::all(&read(PLANS)).into_iter().filter(|(name, _)| words::SPOKEN.contains(&name.as_str())).collect();
    assert_eq!(spoken.len(), words::SPOKEN.len());
    held(&format!("{WORDS}/en.txt"), &each(&spoken, |_, (name, wine)| words::of(name, wine, today)).concat());
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
    assert!(differences.is_none(), "{path}: {}\nWhere this is meant: make accept", differences.unwrap_or_default());
    assert!(kept == now, "{path}: the same lines stand in another order. Where this is meant: make accept");
}

/// Plans are taken from the first route once and kept, so that a change of the routes leaves the wines as they are:
/// `cargo test --test snapshots take_the_plans_anew -- --ignored`.
#[test]
#[ignore = "writes the plans anew, which changes the wines"]
fn take_the_plans_anew() {
    let today = Day::read(wines::TODAY);
    let planned: Vec<usize> = (1..=wines::DRAWN).filter(|n| wines::is_planned(*n)).collect();
    let lines = each(&planned, |_, number| {
        let wine = wines::drawn(*number);
        let route = routes(&wine, today).routes.into_iter().next()?;
        Some(wines::plan_as_line(&wine.name, &plan(&route)) + "\n")
    });
    write(PLANS, &lines.into_iter().flatten().collect::<String>());
}
