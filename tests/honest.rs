//! What the answers come to over many wines: how often each is given, and how often a wine gets no
//! list or no route, by cause. `docs/answers.md` keeps the counts; those of wines without a list or
//! a route, and of experts that differ, may fall and not rise.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod drawn;

use drawn::plausible::{PLAUSIBLE, plausible};
use drawn::{today, wines};
use std::collections::BTreeMap;
use std::fmt::Write;
use stillbright::advice::{ProblemAdvice, advise};
use stillbright::answer::AnswerKey;
use stillbright::dossier::Dossier;
use stillbright::knowledge::TREATMENTS;
use stillbright::route::{Route, Routes, StepKind, routes};
use stillbright::rules::{Kind, clashes, judge};
use stillbright::treatment::suit::Reason;
use stillbright::units::day::Day;
use stillbright::wine::Problem;

/// Wines whose lists are counted.
const LISTS: usize = 2000;
/// Wines whose routes are counted: a search takes many times as long as a list.
const ROUTES: usize = 200;
/// Readings before the first act of a route that nobody counts as many.
const MOST_READ: usize = 3;
const KEPT: &str = "docs/answers.md";

/// Counts by a name, in the order of the names.
#[derive(Default)]
struct Counts(BTreeMap<String, usize>);

impl Counts {
    fn add(&mut self, name: impl Into<String>) {
        *self.0.entry(name.into()).or_default() += 1;
    }

    fn sum(&self) -> usize {
        self.0.values().sum()
    }

    /// As a table under a heading, the most frequent first.
    fn table(&self, heading: &str, what: &str) -> String {
        let mut rows: Vec<_> = self.0.iter().collect();
        rows.sort_by(|a, b| b.1.cmp(a.1).then(a.0.cmp(b.0)));
        let mut text = format!("## {heading}\n\n| {what} | times |\n| --- | --- |\n");
        for (name, times) in rows {
            let _fits = writeln!(text, "| {name} | {times} |");
        }
        let _fits = writeln!(text, "| in all | {} |\n", self.sum());
        text
    }
}

/// The key of an answer, as in a report.
fn key(says: AnswerKey) -> String {
    let json = serde_json::to_value(says).unwrap();
    json.as_str().unwrap().to_string()
}

/// The kind of reason that leaves most acts out which would work on the need.
fn cause(advice: &ProblemAdvice) -> String {
    let mut kinds = Counts::default();
    for left in &advice.left_out {
        let no_evidence = |r: &Reason| r.because == Kind::NoEvidence;
        if !left.reasons.iter().any(no_evidence) {
            kinds.add(left.reasons.first().map_or("none", |r| r.words().0));
        }
    }
    let most = kinds.0.iter().max_by_key(|(_, times)| **times);
    most.map_or_else(|| "nothing works on it".into(), |(kind, _)| kind.clone())
}

/// Everything that is counted.
#[derive(Default)]
struct Counted {
    answers: Counts,
    no_list: Counts,
    /// Acts on which two texts differ.
    differ: Counts,
    route_answers: Counts,
    no_route: Counts,
    measured_first: Counts,
    /// The same of wines of which signs were answered.
    signs: Signs,
    /// The same of plausible wines with logs.
    logs: Logs,
}

/// What is counted over plausible wines with logs.
#[derive(Default)]
struct Logs {
    no_list: Counts,
    no_route: Counts,
    measured_first: Counts,
}

/// What a wine gets in place of a route, if it gets none.
fn instead(found: &Routes) -> String {
    found.says.first().map_or("none".into(), |k| key(*k))
}

/// The readings that come before the first act of a route.
fn read_first(first: &Route) -> usize {
    let before = first.steps.iter().take_while(|s| s.kind == StepKind::Test);
    before.flat_map(|s| &s.measures).count()
}

/// The kind of reason that leaves out most of what acts on the needs of a wine.
fn cause_of_all(problems: &[ProblemAdvice]) -> String {
    let mut kinds = Counts::default();
    problems.iter().for_each(|p| kinds.add(cause(p)));
    let most = kinds.0.iter().max_by_key(|(_, times)| **times);
    most.map_or("none".into(), |(kind, _)| kind.clone())
}

impl Logs {
    /// Adds the lists and routes of one wine.
    fn add(&mut self, dossier: &Dossier, today: Option<Day>) {
        let advice = advise(dossier, today).problems;
        for p in advice
            .iter()
            .filter(|p| p.ranked.is_empty() && is_called_for(p))
        {
            self.no_list.add(cause(p));
        }
        let found = routes(dossier, today);
        let Some(first) = found.routes.first() else {
            let says = instead(&found);
            self.no_route.add(format!(
                "{says}, most left out by: {}",
                cause_of_all(&advice)
            ));
            return;
        };
        if read_first(first) > MOST_READ {
            let says = format!("more than {MOST_READ}");
            self.measured_first.add(says);
        }
    }
}

/// What is counted over wines of which signs were answered.
#[derive(Default)]
struct Signs {
    answers: Counts,
    no_list: Counts,
    differ: Counts,
}

impl Signs {
    /// Adds the answers of one wine.
    fn add(&mut self, dossier: &Dossier, today: Option<Day>) {
        for p in advise(dossier, today).problems {
            p.says.iter().for_each(|k| self.answers.add(key(*k)));
            if p.ranked.is_empty() && is_called_for(&p) {
                self.no_list.add(cause(&p));
            }
            add_clashes(dossier, p.problem, &mut self.differ);
        }
    }
}

/// Whether something is to be done for a need.
fn is_called_for(p: &ProblemAdvice) -> bool {
    use AnswerKey::{InBottle, NoTreatment, TakeNoMore};
    let not = |k: &AnswerKey| matches!(k, InBottle | NoTreatment | TakeNoMore);
    !p.says.iter().any(not)
}

fn add_clashes(dossier: &Dossier, need: Problem, to: &mut Counts) {
    for clash in clashes(&judge(dossier, need, TREATMENTS.rows())) {
        let (first, against) = (clash.first.rule, clash.against.rule);
        to.add(format!("{}: {first}, {against}", clash.act));
    }
}

fn counted() -> Counted {
    let today = today();
    let mut all = Counted::default();
    for number in 0..LISTS {
        let dossier = Dossier::of(&wines::drawn(number));
        for p in advise(&dossier, today).problems {
            p.says.iter().for_each(|k| all.answers.add(key(*k)));
            add_clashes(&dossier, p.problem, &mut all.differ);
            if p.ranked.is_empty() && is_called_for(&p) {
                all.no_list.add(cause(&p));
            }
        }
        all.signs
            .add(&Dossier::of(&wines::with_signs(number)), today);
        if number < ROUTES {
            let found = routes(&dossier, today);
            found
                .says
                .iter()
                .for_each(|k| all.route_answers.add(key(*k)));
            let Some(first) = found.routes.first() else {
                all.no_route.add(instead(&found));
                continue;
            };
            all.measured_first.add(match read_first(first) {
                0..=MOST_READ => "three or fewer".to_string(),
                _ => "more than three".to_string(),
            });
        }
    }
    for number in 0..PLAUSIBLE {
        let dossier = Dossier::of(&plausible(number));
        all.logs.add(&dossier, today);
    }
    all
}

fn text(all: &Counted) -> String {
    let mut text = format!(
        "# What the answers come to\n\nCounted by `tests/honest.rs` over {LISTS} wines drawn from a fixed seed (lists) and {ROUTES} of them (routes), over the same wines with three signs that hold and nothing else that is seen at once, and over {PLAUSIBLE} plausible wines with logs; `make accept` writes it anew where the counts of wines without a list or a route, of wines with logs that are measured more than three times first, and of experts that differ, have not risen.\n\n"
    );
    text.push_str(&all.answers.table("Answers of the lists", "key"));
    let what = "act: what puts it first, what speaks against it";
    text.push_str(&all.differ.table("Experts differ", what));
    let why = "kind of reason that leaves most out";
    text.push_str(&all.no_list.table("Needs without a list", why));
    text.push_str(&all.route_answers.table("Answers of the routes", "key"));
    text.push_str(
        &all.no_route
            .table("Wines without a route", "first key of the answer"),
    );
    let first = "readings before the first act of the first route";
    text.push_str(&all.measured_first.table("Measured first", first));
    text.push_str(
        &all.signs
            .answers
            .table("With signs: answers of the lists", "key"),
    );
    text.push_str(&all.signs.differ.table("With signs: experts differ", what));
    let none = &all.signs.no_list;
    text.push_str(&none.table("With signs: needs without a list", why));
    let logs = &all.logs;
    text.push_str(&logs.no_list.table("With logs: needs without a list", why));
    text.push_str(&logs.no_route.table(
        "With logs: wines without a route",
        "first key of the answer, and kind of reason that leaves most out",
    ));
    text.push_str(
        &logs
            .measured_first
            .table("With logs: measured first", first),
    );
    text.trim_end().to_string() + "\n"
}

/// The sum of a table that was kept.
fn kept_sum(kept: &str, heading: &str) -> usize {
    let part = kept.split(&format!("## {heading}\n")).nth(1);
    part.and_then(|p| p.split("| in all | ").nth(1))
        .and_then(|p| p.split(' ').next())
        .and_then(|n| n.parse().ok())
        .unwrap_or(usize::MAX)
}

#[test]
fn no_more_wines_go_without_a_list_or_a_route_or_meet_experts_that_differ() {
    let all = counted();
    let (now, kept) = (
        text(&all),
        std::fs::read_to_string(KEPT).unwrap_or_default(),
    );
    for (heading, sum) in [
        ("Experts differ", all.differ.sum()),
        ("Needs without a list", all.no_list.sum()),
        ("Wines without a route", all.no_route.sum()),
        ("With signs: experts differ", all.signs.differ.sum()),
        ("With signs: needs without a list", all.signs.no_list.sum()),
        ("With logs: needs without a list", all.logs.no_list.sum()),
        ("With logs: wines without a route", all.logs.no_route.sum()),
        ("With logs: measured first", all.logs.measured_first.sum()),
    ] {
        let before = kept_sum(&kept, heading);
        assert!(
            sum <= before,
            "{heading}: {before} before, {sum} now\n{now}"
        );
    }
    if std::env::var_os("ACCEPT").is_some() {
        std::fs::write(KEPT, &now).unwrap();
        return;
    }
    assert!(
        now == kept,
        "{KEPT} says otherwise: read it, then `make accept`\n{now}"
    );
}
