//! What the app says of some of the wines: the finished English sentences, a line each.
//! `words.test.mjs` says them in the
//! other languages. Facts as they stand in the tables are left out: `tests/languages.rs` holds that
//! each can be said.

use std::collections::BTreeSet;
use stillbright::advice::{Advice, advise};
use stillbright::dossier::Dossier;
use stillbright::report;
use stillbright::route::{Routes, routes};
use stillbright::stability;
use stillbright::units::{day::Day, us};
use stillbright::wine::Wine;
use stillbright::work_order::sheet::{Block, Line};

/// Drawn ones with a plan, a log or both.
pub const SPOKEN: [&str; 6] = ["w009", "w010", "w012", "w016", "w018", "w043"];

/// Whether what is said of a wine is kept: those of the demonstration, and [`SPOKEN`].
pub fn is_spoken(name: &str) -> bool {
    name.starts_with("demo") || SPOKEN.contains(&name)
}

/// How many of a long list are said.
const FEW: usize = 3;

/// The texts about a wine under a heading each; what was said of it before is not said again.
pub fn of(name: &str, wine: &Wine, today: Option<Day>) -> String {
    // Its own name is in no language.
    let wine = &Wine {
        name: "1".into(),
        ..wine.clone()
    };
    let (order, record) = (
        report::order(&Dossier::of(wine), today),
        report::record(&Dossier::of(wine), today),
    );
    let mut planned: Vec<String> = order.chosen.into_iter().map(|c| c.says).collect();
    planned.extend(paper(&order.sheet));
    let parts = [
        ("advice", advised(&advise(&Dossier::of(wine), today))),
        ("routes", on_the_way(&routes(&Dossier::of(wine), today))),
        ("order", planned),
        ("record", paper(&record.sheet)),
    ];
    let mut said = BTreeSet::new();
    let mut text = String::new();
    for (part, lines) in parts {
        text.push_str(&format!("== {name} {part}\n"));
        for line in lines.into_iter().filter(|l| !l.trim().is_empty()) {
            if said.insert(line.clone()) {
                text.push_str(&format!("{line}\n"));
            }
        }
    }
    text
}

fn advised(advice: &Advice) -> Vec<String> {
    let mut all = advice.law.clone();
    for p in &advice.problems {
        all.extend([p.problem.label().to_string(), p.answer.clone()]);
        for r in p.ranked.iter().take(FEW) {
            all.push(r.name.into());
            all.extend(r.doubts.iter().map(|c| c.text.clone()));
        }
        for l in p.left_out.iter().take(FEW) {
            let (kind, why) = l
                .reasons
                .first()
                .map_or_else(Default::default, |r| r.words());
            all.extend([l.name.to_string(), format!("{kind}: {why}")]);
        }
    }
    all.push(advice.measure_next.answer.clone());
    all.push(stability::answer(&advice.stabilities));
    all.extend(
        advice
            .assumed
            .iter()
            .flat_map(|a| [a.what.clone(), a.taken.clone()]),
    );
    all.extend(advice.so2.iter().chain(&advice.notes).cloned());
    all
}

fn on_the_way(all: &Routes) -> Vec<String> {
    let mut said = vec![all.answer.clone()];
    said.extend(all.law.iter().chain(&all.relax).cloned());
    said.extend(
        all.no_cure
            .iter()
            .chain(&all.not_covered)
            .map(ToString::to_string),
    );
    for step in all.routes.iter().take(1).flat_map(|r| &r.steps) {
        said.push(step.name.clone());
        said.extend(step.order.iter().chain(&step.branches).cloned());
    }
    said.extend(
        all.routes
            .iter()
            .take(FEW)
            .flat_map(|r| &r.best_at)
            .map(ToString::to_string),
    );
    said
}

fn paper(blocks: &[Block]) -> Vec<String> {
    let mut all = Vec::new();
    for b in blocks {
        all.push(b.heading.clone());
        all.extend(b.brief.iter().cloned());
        for line in b.lines.iter().chain(&b.more) {
            match line {
                Line::Strong(t) | Line::Say(t) | Line::Mark(t) | Line::Caution(t) => {
                    all.push(t.clone())
                }
                Line::Known(..) => {}
                Line::Sign(t) => all.push((*t).into()),
            }
        }
    }
    all
}

/// The lines of a text that get US figures, with them.
pub fn with_us_figures(text: &str) -> Vec<String> {
    let mut seen = BTreeSet::new();
    let heading = |line: &&str| !line.starts_with("== ");
    text.lines()
        .filter(heading)
        .map(|line| (line, us::beside(line)))
        .filter(|(line, us)| us != line && seen.insert(*line))
        .map(|(_, us)| us)
        .collect()
}

/// What is gone and what is new, by heading, some lines of each; None where nothing differs.
pub fn differences(before: &str, after: &str) -> Option<String> {
    let (was, is) = (under_headings(before), under_headings(after));
    let lines = |from: &BTreeSet<(&str, &str)>,
                 not_in: &BTreeSet<(&str, &str)>,
                 mark: &str|
     -> Vec<String> {
        from.difference(not_in)
            .map(|(heading, line)| format!("{heading}\n  {mark} {line}\n"))
            .collect()
    };
    let (gone, new) = (lines(&was, &is, "-"), lines(&is, &was, "+"));
    if gone.is_empty() && new.is_empty() {
        return None;
    }
    let some: String = gone
        .iter()
        .take(5)
        .chain(new.iter().take(5))
        .map(String::as_str)
        .collect();
    Some(format!(
        "{} lines are gone, {} are new:\n{some}",
        gone.len(),
        new.len()
    ))
}

fn under_headings(text: &str) -> BTreeSet<(&str, &str)> {
    let mut heading = "";
    let mut all = BTreeSet::new();
    for line in text.lines() {
        if line.starts_with("== ") {
            heading = line;
        } else {
            all.insert((heading, line));
        }
    }
    all
}
