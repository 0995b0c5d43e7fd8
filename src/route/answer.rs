//! The routes in words: the answer, what comes before any route, and why there may be none.

use super::TARGET;
use super::instance::{About, Built};
use super::report::{Routes, StepKind};
use crate::knowledge::*;
use crate::state::KnownBy;
use crate::units::{day::Day, show};
use crate::wine::*;

/// What is to be known before any treatment, by the problems named; said once each.
pub(super) fn first(wine: &Wine) -> Vec<&'static str> {
    let mut all: Vec<&'static str> = Vec::new();
    let facts = wine.problems.iter().filter_map(|p| PROBLEMS.rows().iter().find(|f| f.problem == *p));
    for text in facts.flat_map(|f| f.first).map(|f| f.text) {
        if !all.contains(&text) {
            all.push(text);
        }
    }
    all
}

/// A need that was measured below its floor: nothing more may be taken out for it.
pub(super) fn too_little(wine: &Wine, built: &Built) -> Option<String> {
    let below = |n: &&About| {
        let floor = n.problem.band(wine).and_then(|b| b.floor)?;
        let Some(Ok(value)) = wine.analysis(n.problem.quantity) else { return None };
        let here = wine.problems.contains(&n.problem.problem) && n.by == KnownBy::Measured && value < floor;
        here.then(|| {
            format!(
                "{} was measured at {}, below the {} it should keep: take nothing more out of it.",
                n.problem.quantity.label(),
                show::plain(value),
                show::plain(floor)
            )
        })
    };
    built.needs.iter().find_map(|n| below(&n))
}

pub(super) fn no_cure_words(built: &Built) -> Option<String> {
    let facts = built.no_cure.first()?;
    Some(format!("Nothing cures this: {}. {}", show::inside(facts.problem.label()), facts.no_cure.first().map_or("", |f| f.text)))
}

pub(super) fn answer(all: &Routes, built: &Built, wine: &Wine, today: Option<Day>, days_left: Option<i64>) -> String {
    let mut words = Vec::new();
    words.extend(no_cure_words(built));
    let Some(first) = all.routes.first() else {
        if let Some(little) = too_little(wine, built) {
            words.push(little);
            return words.join(" ");
        }
        words.push("No route is known that fits this wine, its markets, its claims and its day.".to_string());
        if days_left.is_some_and(|d| d < 0) {
            words.push("The bottling day has passed: write a new one.".to_string());
        } else if all.relax.is_empty() && wine.problems.len() > 1 {
            words.push("Name fewer problems at a time, the worst first.".to_string());
        }
        return words.join(" ");
    };
    if all.found == 0 {
        if days_left.is_some_and(|d| d < 0) {
            words.push("The bottling day has passed: write a new one.".to_string());
        }
        let day = if days_left.is_some() { " by the bottling day" } else { "" };
        words.push(format!(
            "No route reaches all needs in {} of 100 draws{day}. The nearest meets them in {} of 100. Below is what could give way.",
            show::fixed(TARGET * 100.0, 0),
            show::fixed(first.probability * 100.0, 0)
        ));
        return words.join(" ");
    }
    if first.key == "wait" {
        words.push("What was measured lies inside its limits: no treatment is called for. Wait, and test again before bottling.".to_string());
        return words.join(" ");
    }
    let decided: Vec<&str> = first.steps.iter().filter(|s| s.kind == StepKind::Act).map(|s| s.name.as_str()).collect();
    let tested = first.steps.iter().any(|s| s.kind == StepKind::Test);
    // The first needs nothing costly; another may be cheaper that does.
    let dearer = first.hire.is_empty() && all.routes.iter().any(|r| !r.hire.is_empty() && r.money.middle < first.money.middle);
    words.push(format!(
        "{} {}: about {} {} per hL and {} days, all needs met in {} of 100 draws.",
        match (tested, dearer) {
            (true, false) => "Measure first. Then the cheapest way is",
            (false, false) => "The cheapest way is",
            (true, true) => "Measure first. Then the cheapest way without costly equipment is",
            (false, true) => "The cheapest way without costly equipment is",
        },
        decided.iter().map(|n| show::inside(n)).collect::<Vec<_>>().join(", then "),
        show::plain(first.money.middle),
        wine.money(),
        show::fixed(first.days, 0),
        show::fixed(first.probability * 100.0, 0)
    ));
    if !first.hire.is_empty() {
        words.push(format!("It takes equipment that you may hire: {}.", show::listed(&first.hire)));
    }
    if !first.confirm.is_empty() {
        words.push(format!("Confirm the law first: {}.", first.confirm.join(", ")));
    }
    match (today, days_left) {
        (_, Some(left)) if first.days > left as f64 => words.push("It is too late for the bottling day.".to_string()),
        (Some(_), Some(_)) => words.extend(first.begin_by.as_ref().map(|d| format!("Begin by {d}."))),
        _ => {}
    }
    if crate::law::body::of_wine(wine).is_empty() {
        words.push(crate::advice::NO_MARKET.trim_start().to_string());
    }
    if all.routes.len() > 1 {
        let unsure = first.confirm.is_empty() && all.routes.iter().skip(1).all(|r| !r.confirm.is_empty());
        let hired = first.hire.is_empty() && all.routes.iter().skip(1).all(|r| !r.hire.is_empty());
        let others = if hired {
            "The others below take equipment that you may hire."
        } else if unsure {
            "The others below need the law confirmed first."
        } else {
            "The others below are better at something else."
        };
        words.push(others.to_string());
    }
    words.join(" ")
}
