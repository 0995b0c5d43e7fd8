//! The routes in words: the answer, what comes before any route, and why there may be none.

use super::JUST_BELOW;
use super::held::Held;
use super::instance::{About, Built};
use super::report::{Route, Routes, StepKind};
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules;
use crate::stability::{self, Status};
use crate::state::reading;
use crate::treatment::sugar::Fed;
use crate::treatment::suit::reasons_for;
use crate::units::{day::Day, show};
use crate::wine::Problem;

/// What is to be known before any treatment, by the problems named; said once each.
pub(super) fn first(dossier: &Dossier) -> Vec<&'static str> {
    let mut all: Vec<&'static str> = Vec::new();
    let facts = dossier
        .problems
        .iter()
        .filter_map(|p| PROBLEMS.rows().iter().find(|f| f.problem == *p));
    for text in facts.flat_map(|f| f.first).map(|f| f.text) {
        if !all.contains(&text) {
            all.push(text);
        }
    }
    all
}

/// A need that was measured below its floor: nothing more may be taken out for it.
pub(super) fn too_little(dossier: &Dossier, built: &Built) -> Option<String> {
    let below = |n: &&About| {
        let floor = n
            .problem
            .band(dossier.colour, dossier.stage, dossier.journey)
            .and_then(|b| b.floor)?;
        let value = dossier.analysis(n.problem.quantity)?;
        let here = n.required && n.measured && value < floor;
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

/// In how many draws the needs are met, for the end of a sentence; what a test decides has no such
/// number.
pub(super) fn met(share: f64, judged_by: &[&'static str], has_figures: bool) -> String {
    let hundred = show::fixed(share * 100.0, 0);
    match (judged_by.is_empty(), has_figures) {
        (true, _) => format!(", all needs met in {hundred} of 100 draws."),
        (false, true) => format!(
            ", all other needs met in {hundred} of 100 draws.{}",
            by_tests(judged_by)
        ),
        (false, false) => format!(".{}", by_tests(judged_by)),
    }
}

/// What tests alone decide, as a sentence of its own; empty where there is nothing of that kind.
fn by_tests(judged_by: &[&'static str]) -> String {
    let names: Vec<String> = judged_by.iter().map(|n| show::inside(n)).collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" A test decides, not draws: {}.", names.join(", "))
    }
}

pub(super) fn no_cure_words(dossier: &Dossier, built: &Built) -> Option<(AnswerKey, String)> {
    let facts = built.no_cure.first()?;
    let fed = Fed::of(dossier);
    if let Some(food) = fed.food_in_bottle(facts.problem) {
        return Some((AnswerKey::NoBarrier, fed.no_barrier(food)));
    }
    let judged = rules::judge(dossier, facts.problem, TREATMENTS.rows());
    if let Some(held) = rules::held_back(&judged, facts.problem) {
        return Some((AnswerKey::MeasureAgain, held));
    }
    let mut beside = rules::honest(dossier, facts.problem, &judged).into_iter();
    if let Some(held) = beside.find(|a| a.key == AnswerKey::LiveWith) {
        return Some((held.key, held.text));
    }
    let text = format!(
        "Nothing cures this: {}. {}",
        show::inside(facts.problem.label()),
        facts.no_cure.first().map_or("", |f| f.text)
    );
    Some((AnswerKey::NothingCures, text))
}

/// What is said where the best route is to do nothing: that all lies inside its limits only where
/// every need was measured
/// and is; else what to measure first.
fn wait(dossier: &Dossier, built: &Built) -> (AnswerKey, String) {
    let doubtful =
        |n: &About| stability::status_of(dossier, n.problem.quantity) == Status::Doubtful;
    let open: Vec<&str> = built
        .needs
        .iter()
        .filter(|n| n.required && (!n.measured || doubtful(n)))
        .map(|n| reading(dossier, n.problem.quantity).label())
        .collect();
    if !open.is_empty() {
        let text = format!(
            "Measure first: {}. Whether anything is to be done depends on it.",
            show::listed(&open)
        );
        return (AnswerKey::MeasureFirst, text);
    }
    if !built.no_cure.is_empty() {
        return (
            AnswerKey::RestInside,
            "For the rest no treatment is called for: what was measured lies inside its limits."
                .into(),
        );
    }
    let text = "What was measured lies inside its limits: no treatment is called for. Wait, and test again before bottling.";
    (AnswerKey::NoTreatment, text.into())
}

/// Where no route is known, what is to be said of the needs that is no treatment, each once.
pub(super) fn beside(dossier: &Dossier, all: &mut Routes) {
    if !all.routes.is_empty() || all.says.contains(&AnswerKey::TakeNoMore) {
        return;
    }
    let mut said = Vec::new();
    let of = |p: &Problem| {
        let judged = rules::judge(dossier, *p, TREATMENTS.rows());
        rules::honest(dossier, *p, &judged)
    };
    for found in dossier.problems.iter().flat_map(of) {
        let again = found.key == AnswerKey::NothingCures && all.says.contains(&found.key);
        let said_so = all.answer.contains(&found.text);
        if again || said_so || said.contains(&found.row) {
            continue;
        }
        said.push(found.row);
        found.behind(&mut all.answer, &mut all.says);
    }
}

/// What a rule puts before the others of a need that was named, a sentence for each rule.
fn put_first(dossier: &Dossier) -> Vec<String> {
    let mut rules = Vec::new();
    let mut said = Vec::new();
    for problem in &dossier.problems {
        for t in TREATMENTS.iter() {
            for ruling in rules::preferred(dossier, t, *problem) {
                let fits = || reasons_for(dossier, t, *problem).is_empty();
                if !rules.contains(&ruling.rule) && fits() {
                    rules.push(ruling.rule);
                    said.push(ruling.first(t.name));
                }
            }
        }
    }
    said
}

/// Points of impact and days that are told apart in a sentence. Judgement.
const TOLD_APART: f64 = 1.0;

/// Where another route costs less money: by how much, and what it costs otherwise.
fn cheaper(routes: &[Route], currency: &str) -> Option<String> {
    let (first, others) = routes.split_first()?;
    let reaches = others.iter().filter(|r| !r.short);
    let cheapest = reaches.min_by(|a, b| a.money.middle.total_cmp(&b.money.middle))?;
    let less = first.money.middle - cheapest.money.middle;
    if less < TOLD_APART {
        return None;
    }
    let acts: Vec<String> = decided(cheapest).map(show::inside).collect();
    let mut said = vec![format!(
        "Cheaper by about {} {currency} per hL: {}.",
        show::fixed(less, 0),
        acts.join(", then ")
    )];
    let (days, impact) = (cheapest.days - first.days, cheapest.impact - first.impact);
    if days >= TOLD_APART {
        said.push(format!("It takes {} days more.", show::fixed(days, 0)));
    }
    if impact >= TOLD_APART {
        let points = show::fixed(impact, 0);
        said.push(format!(
            "It takes {points} points more of aroma, tannin or colour."
        ));
    }
    if first.probability - cheapest.probability > JUST_BELOW {
        let hundred = show::fixed(cheapest.probability * 100.0, 0);
        said.push(format!("It meets all needs in {hundred} of 100 draws."));
    }
    if !cheapest.hire.is_empty() && first.hire.is_empty() {
        said.push(format!(
            "You may hire what it needs: {}.",
            show::listed(&cheapest.hire)
        ));
    }
    if !cheapest.confirm.is_empty() && first.confirm.is_empty() {
        said.push("Its law must be confirmed first.".to_string());
    }
    Some(said.join(" "))
}

/// The names of the acts that were chosen for a route.
fn decided(r: &Route) -> impl Iterator<Item = &str> {
    let acts = r.steps.iter().filter(|s| s.kind == StepKind::Act);
    acts.map(|s| s.name.as_str())
}

/// The answer over all routes: what it says as keys, and the sentences.
pub(super) fn answer(
    all: &Routes,
    built: &Built,
    dossier: &Dossier,
    today: Option<Day>,
    days_left: Option<i64>,
    held: Option<&Held>,
) -> (Vec<AnswerKey>, String) {
    let (mut says, mut words) = (Vec::new(), Vec::new());
    let mut say = |keys: &[AnswerKey], text: String| {
        says.extend_from_slice(keys);
        words.push(text);
    };
    if let Some((key, none)) = no_cure_words(dossier, built) {
        say(&[key], none);
    }
    let Some(first) = all.routes.first() else {
        if let Some(little) = too_little(dossier, built) {
            say(&[AnswerKey::TakeNoMore], little);
            return (says, words.join(" "));
        }
        let back = |p: &Problem| {
            let judged = rules::judge(dossier, *p, TREATMENTS.rows());
            rules::held_back(&judged, *p)
        };
        if let Some(back) = dossier.problems.iter().find_map(back) {
            say(&[AnswerKey::MeasureAgain], back);
            return (says, words.join(" "));
        }
        say(
            &[AnswerKey::NoRoute],
            "No route is known that fits this wine, its markets, its claims and its day."
                .to_string(),
        );
        if days_left.is_some_and(|d| d < 0) {
            say(
                &[AnswerKey::DayPassed],
                "The bottling day has passed: write a new one.".to_string(),
            );
        }
        if let Some(held) = held {
            say(&held.keys(), held.words(dossier));
        } else if days_left.is_none_or(|d| d >= 0)
            && all.relax.is_empty()
            && dossier.problems.len() > 1
        {
            say(
                &[AnswerKey::NameFewer],
                "Name fewer problems at a time, the worst first.".to_string(),
            );
        }
        return (says, words.join(" "));
    };
    if all.found == 0 {
        if days_left.is_some_and(|d| d < 0) {
            say(
                &[AnswerKey::DayPassed],
                "The bottling day has passed: write a new one.".to_string(),
            );
        }
        let day = if days_left.is_some() {
            " by the bottling day"
        } else {
            ""
        };
        let text = format!(
            "No route reaches all needs in {} of 100 draws{day}. The nearest meets them in {} of 100. Below is what could give way.{}",
            show::fixed(dossier.sure() * 100.0, 0),
            show::fixed(first.probability * 100.0, 0),
            by_tests(&first.judged_by)
        );
        say(&[AnswerKey::FallsShort], text);
        if let Some(held) = held {
            say(&held.keys(), held.words(dossier));
        }
        return (says, words.join(" "));
    }
    if first.key == "wait" {
        let (key, text) = wait(dossier, built);
        say(&[key], text);
        return (says, words.join(" "));
    }
    let acts: Vec<String> = decided(first).map(show::inside).collect();
    let tested = first.steps.iter().any(|s| s.kind == StepKind::Test);
    // The first needs nothing costly, another does.
    let at_hand = first.hire.is_empty() && all.routes.iter().any(|r| !r.hire.is_empty());
    let way = format!(
        "{} {}: about {} {} per hL and {} days{}",
        match (tested, at_hand) {
            (true, false) => "Measure first. Then the best way is",
            (false, false) => "The best way is",
            (true, true) => "Measure first. Then the best way without costly equipment is",
            (false, true) => "The best way without costly equipment is",
        },
        acts.join(", then "),
        show::plain(first.money.middle),
        &*dossier.currency,
        show::fixed(first.days, 0),
        met(first.probability, &first.judged_by, first.has_figures())
    );
    say(
        if tested {
            &[AnswerKey::MeasureFirst, AnswerKey::Begin]
        } else {
            &[AnswerKey::Begin]
        },
        way,
    );
    if let Some(cheaper) = cheaper(&all.routes, &dossier.currency) {
        say(&[AnswerKey::CheaperOther], cheaper);
    }
    let put = put_first(dossier);
    if !put.is_empty() {
        say(&[AnswerKey::PutFirst], put.join(" "));
    }
    let added = built
        .needs
        .iter()
        .filter(|n| n.required && !dossier.problems.contains(&n.problem.problem));
    let added: Vec<String> = added
        .map(|n| show::inside(n.problem.problem.label()))
        .collect();
    if !added.is_empty() {
        say(
            &[AnswerKey::MetToo],
            format!(
                "Met too, since it was measured outside its limit: {}.",
                added.join("; ")
            ),
        );
    }
    if !first.hire.is_empty() {
        say(
            &[AnswerKey::Hire],
            format!(
                "It takes equipment that you may hire: {}.",
                show::listed(&first.hire)
            ),
        );
    }
    if !first.confirm.is_empty() {
        say(
            &[AnswerKey::ConfirmLaw],
            format!("Confirm the law first: {}.", first.confirm.join(", ")),
        );
    }
    if !first.believed.is_empty() {
        let said = !first.confirm.is_empty();
        say(
            if said { &[] } else { &[AnswerKey::ConfirmLaw] },
            format!(
                "Believed to be lawful, not read in whole: confirm before it is given: {}.",
                first.believed.join(", ")
            ),
        );
    }
    match (today, days_left) {
        (_, Some(left)) if first.days > left as f64 => say(
            &[AnswerKey::TooLate],
            "It is too late for the bottling day.".to_string(),
        ),
        (Some(_), Some(_)) => {
            if let Some(day) = &first.begin_by {
                say(&[AnswerKey::BeginBy], format!("Begin by {day}."));
            }
        }
        _ => {}
    }
    if crate::law::body::of_wine(dossier).is_empty() {
        say(
            &[AnswerKey::NoLawChecked],
            crate::answer::NO_MARKET.trim_start().to_string(),
        );
    }
    if all.routes.len() > 1 {
        let unsure =
            first.confirm.is_empty() && all.routes.iter().skip(1).all(|r| !r.confirm.is_empty());
        let hired = first.hire.is_empty() && all.routes.iter().skip(1).all(|r| !r.hire.is_empty());
        let (key, others) = if hired {
            (
                AnswerKey::OthersHire,
                "The others below take equipment that you may hire.",
            )
        } else if unsure {
            (
                AnswerKey::OthersUnsure,
                "The others below need the law confirmed first.",
            )
        } else {
            (
                AnswerKey::OthersBetter,
                "The others below are better at something else.",
            )
        };
        say(&[key], others.to_string());
    }
    (says, words.join(" "))
}
