//! What to measure next over the whole wine: for each quantity that nobody knows, how likely
//! knowing it changes what to do, and
//! the loss it saves, against the price and the days of its test. All on the one scale of loss of
//! [`scales`].

use super::acceptability::{Bounds, Choice, choices, drawn, knowing};
use super::ranking::{Ranked, measure};
use super::setting::{Setting, Shared};
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::obligations::Obligation;
use crate::rules;
use crate::sorting::sort;
use crate::stability::{Concern, Stability, sample_by, test_of, test_price};
use crate::state::KnownBy;
use crate::units::{day::Day, show};
use crate::wine::*;
use serde::Serialize;

/// Most tests that are named.
pub const MOST: usize = 3;

/// What one test is worth.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Worth {
    /// The quantity.
    pub quantity: Quantity,
    /// What it is measured for.
    pub needs: Vec<&'static str>,
    /// Chance that knowing it changes what is best to do, 0 to 1; of several needs the greatest.
    pub changes: f64,
    /// Expected loss avoided, money per hL, before price and days.
    pub worth_per_hl: f64,
    /// The same for the lot.
    pub worth: f64,
    /// Price of the test for the lot, low, middle, high; None where it is not known in this money.
    pub price: Option<[f64; 3]>,
    /// Days to its result, low, middle, high.
    pub days: [f64; 3],
    /// Worth of the lot less price and days.
    pub net: f64,
    /// Where it is done.
    pub place: Place,
    /// Sample, mL.
    pub sample_ml: f64,
    /// Last day of the sample, year-month-day, where the bottling day is known.
    pub sample_by: Option<String>,
    /// True where its result comes after the bottling day.
    pub too_late: bool,
}

/// What to measure next.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MeasureNext {
    /// The answer in a sentence or two: what the problems named are judged by first.
    pub answer: String,
    /// What the answer says, as keys.
    pub says: Vec<AnswerKey>,
    /// The tests that are worth more than they cost, best first, [`MOST`] at most.
    pub best: Vec<Worth>,
    /// How many quantities that are not known were weighed.
    pub weighed: usize,
}

/// What the weighing goes by, worked out before.
#[derive(Debug, Clone, Copy)]
pub struct Given<'a> {
    /// What all problems share.
    pub shared: Shared,
    /// Every stability that concerns the wine.
    pub stabilities: &'a [Stability],
    /// What must still be shown.
    pub owed: &'a [Obligation],
    /// The problems named, each with its list.
    pub named: &'a [(Setting, &'a [Ranked])],
    /// The day.
    pub today: Option<Day>,
}

/// What can be done about a problem.
struct Choices {
    setting: Setting,
    all: Vec<Choice>,
}

impl Choices {
    fn of(setting: Setting, ranked: &[Ranked]) -> Choices {
        Choices {
            all: choices(&setting.shared.scales, ranked),
            setting,
        }
    }
}

/// A need that hangs on one quantity.
struct Need {
    name: &'static str,
    problem: Problem,
    quantity: Quantity,
    estimate: Estimate,
    bounds: Bounds,
}

/// Weighs every quantity that is not known: those of the problems named, then those of the
/// stabilities.
pub fn measure_next(dossier: &Dossier, given: Given<'_>) -> MeasureNext {
    let scales = given.shared.scales;
    let open = open(&given);
    let mut known: Vec<Choices> = given
        .named
        .iter()
        .map(|(setting, list)| Choices::of(*setting, list))
        .collect();
    for (problem, _) in &open {
        if !known.iter().any(|k| k.setting.problem.problem == *problem) {
            known.extend(unnamed(dossier, given.shared, *problem));
        }
    }
    let mut needs: Vec<Need> = given
        .named
        .iter()
        .filter_map(|(s, _)| of_named(s))
        .collect();
    let about = |p: Problem| known.iter().find(|k| k.setting.problem.problem == p);
    for (problem, s) in open {
        let same = |n: &Need| n.quantity == s.quantity && n.problem == problem;
        if !needs.iter().any(same) {
            needs.extend(about(problem).map(|k| of_stability(s, &k.setting)));
        }
    }
    // Those of the problems named stand first, by their problem's own name.
    let is_named = |n: &&Need| {
        let mut all = given.named.iter();
        n.name == n.problem.label() && all.any(|(s, _)| s.problem.problem == n.problem)
    };
    let named: Vec<Quantity> = needs.iter().filter(is_named).map(|n| n.quantity).collect();
    let mut weighed: Vec<Worth> = Vec::new();
    for need in needs {
        let Some(of) = about(need.problem) else {
            continue;
        };
        let k = knowing(
            &of.all,
            &drawn(need.quantity, &need.estimate),
            need.bounds,
            of.setting.at_stake,
        );
        if let Some(w) = weighed.iter_mut().find(|w| w.quantity == need.quantity) {
            w.needs.push(need.name);
            w.changes = w.changes.max(k.changes);
            w.worth_per_hl += k.worth;
            continue;
        }
        let Some(t) = test_of(need.quantity) else {
            continue;
        };
        let late = |b: Day| {
            given
                .today
                .is_some_and(|d| d.until(b) < libm::ceil(t.days.low) as i64)
        };
        weighed.push(Worth {
            quantity: need.quantity,
            needs: vec![need.name],
            changes: k.changes,
            worth_per_hl: k.worth,
            worth: 0.0,
            price: test_price(dossier, t),
            days: [t.days.low, t.days.middle, t.days.high],
            net: 0.0,
            place: t.place,
            sample_ml: t.sample_ml,
            sample_by: sample_by(dossier, t).map(Day::show),
            too_late: dossier.bottling_day.given().is_some_and(late),
        });
    }
    for w in &mut weighed {
        let [_, price, _] = w.price.unwrap_or_default();
        let [_, days, _] = w.days;
        w.worth = w.worth_per_hl * scales.hectolitres;
        w.net = w.worth - price - days * scales.per_day * scales.hectolitres;
    }
    sort(&mut weighed, &mut |a, b| {
        b.net.total_cmp(&a.net).then(a.quantity.cmp(&b.quantity))
    });
    let count = weighed.len();
    let first: Vec<Quantity> = weighed
        .iter()
        .filter(|w| named.contains(&w.quantity) && !w.too_late)
        .map(|w| w.quantity)
        .collect();
    let best: Vec<Worth> = weighed
        .into_iter()
        .filter(|w| w.net > 0.0 && !w.too_late)
        .take(MOST)
        .collect();
    let (says, answer) = named_first(&first, &best, answer(&best, count));
    MeasureNext {
        answer,
        says,
        best,
        weighed: count,
    }
}

/// What was named is judged by its own test, however little that test may change: no other one is
/// asked for in its place.
fn named_first(
    first: &[Quantity],
    best: &[Worth],
    (key, answer): (AnswerKey, String),
) -> (Vec<AnswerKey>, String) {
    let top = best.first().map(|w| w.quantity);
    if first.iter().all(|q| Some(*q) == top) {
        return (vec![key], answer);
    }
    let names: Vec<&str> = first.iter().map(|q| q.label()).collect();
    let rest = if top.is_some_and(|q| !first.contains(&q)) {
        format!("Besides that, {}", show::inside(&answer))
    } else {
        answer
    };
    (
        vec![AnswerKey::MeasureFirst, key],
        format!(
            "For what you named, measure first: {}. {rest}",
            show::listed(&names)
        ),
    )
}

fn answer(best: &[Worth], weighed: usize) -> (AnswerKey, String) {
    match best {
        [] if weighed == 0 => (AnswerKey::NothingToMeasure, "Nothing that is judged here is left to measure.".into()),
        [] => (AnswerKey::NotWorthMeasuring, "Nothing more is worth its price by these figures. What was not measured stays not known.".into()),
        [first, ..] => {
            let draws = show::fixed(first.changes * 100.0, 0);
            (AnswerKey::MeasureNext, format!("Measure next: {}. In {draws} of 100 draws it changes what to do.", show::inside(first.quantity.label())))
        }
    }
}

/// The stabilities whose test is wanted and owed and was not made, each with the problem that it is
/// about.
fn open<'a>(given: &Given<'a>) -> Vec<(Problem, &'a Stability)> {
    let is_open = |s: &&Stability| {
        let asked = given.owed.iter().any(|o| o.key() == s.key);
        let judged = !s.concern.facts.no_verdict;
        s.wanted && asked && judged && s.by != KnownBy::Measured
    };
    let all = given.stabilities.iter().filter(is_open);
    all.filter_map(|s| Some((s.concern.facts.problem?, s)))
        .collect()
}

/// The need of a problem that was named, where its own test does not tell.
fn of_named(setting: &Setting) -> Option<Need> {
    let (known, bounds) = (setting.known?, setting.bounds()?);
    let facts = setting.problem;
    let tells = known.tells(bounds.floor, bounds.ceiling);
    (!tells && facts.quantity.facts().asked).then(|| Need {
        name: facts.problem.label(),
        problem: facts.problem,
        quantity: setting.read,
        estimate: known.estimate,
        bounds,
    })
}

/// The need of a stability, for the problem that it is about.
fn of_stability(s: &Stability, about: &Setting) -> Need {
    let Concern { band, known, .. } = s.concern;
    Need {
        name: s.name,
        problem: about.problem.problem,
        quantity: s.quantity,
        estimate: known.estimate,
        bounds: Bounds {
            floor: band.floor,
            ceiling: band.ceiling,
            own: about.read == s.quantity,
        },
    }
}

/// What can be done about a problem that was not named.
fn unnamed(dossier: &Dossier, shared: Shared, problem: Problem) -> Option<Choices> {
    let setting = Setting::of(dossier, shared, problem)?;
    let acts = |t: &&Treatment| t.works_on(setting.problem.quantity);
    let usable: Vec<Ranked> = TREATMENTS
        .rows()
        .iter()
        .filter(acts)
        .filter(|t| !rules::is_out(dossier, t, Some(problem)))
        .map(|t| measure(dossier, &setting, t))
        .collect();
    Some(Choices::of(setting, &usable))
}
