//! Liveness: a wine that brute force over the full judge can bring to the bottle gets a route.
//!
//! Brute force starts from the wine itself. It chooses acts for its needs, at most two for each and
//! six in all, does them in the order of the phases, asks the judge before each with those before it
//! in the log, and works out by draws of its own in how many cases all needs are met. It knows
//! nothing of the search. Where it is not sure, it is strict: no act that
//! waits for a test, the longest days, and some more draws inside than asked for.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod chance;
mod drawn;

use drawn::plausible::{PLAUSIBLE, plausible};
use drawn::wines;
use stillbright::dossier::Dossier;
use stillbright::knowledge::*;
use stillbright::obligations::days_of;
use stillbright::route::routes;
use stillbright::rules::{self, Before, order};
use stillbright::stability::{Status, status_of};
use stillbright::state::{reading, voids};
use stillbright::trial;
use stillbright::units::Ntu;
use stillbright::units::day::Day;
use stillbright::wine::*;

/// Choices of acts that are looked at for a wine.
const CAP: usize = 600;
/// Most acts that are chosen.
const MOST: usize = 6;
/// Draws of a choice.
const DRAWS: usize = 400;
/// How many draws more than asked for must meet all needs, as a share.
const SURER: f64 = 0.04;

fn today() -> Day {
    drawn::today().unwrap()
}

/// What must be met, and what the wine has of it.
struct Need {
    facts: &'static ProblemFacts,
    low: f64,
    middle: f64,
    high: f64,
    floor: f64,
    ceiling: f64,
    /// The food that only a barrier or an end to it lets into the bottle.
    food: Option<&'static StabilityFacts>,
    /// What each act takes of it, asked of the judge once.
    takes: Vec<Taken>,
}

/// What an act takes of a need, or adds to it.
struct Taken {
    key: &'static str,
    /// Share that it takes.
    share: Option<Estimate>,
    /// What it adds at the most.
    adds: f64,
    /// The dose.
    dose: f64,
    /// The dose at which it takes that share.
    useful: f64,
}

impl Need {
    fn taken(&self, t: &Treatment) -> Option<&Taken> {
        self.takes.iter().find(|x| x.key == t.key)
    }
}

/// The food for germs that is left, or may be, for a problem.
fn food(dossier: &Dossier, problem: Problem) -> Option<&'static StabilityFacts> {
    let of = |q: Quantity| {
        let mut all = STABILITIES.rows().iter();
        all.find(|s| s.quantity == q && s.barrier.is_some())
    };
    let says = |q: Quantity| status_of(dossier, q);
    match problem {
        Problem::Refermentation if says(Quantity::Sugar) != Status::Stable => of(Quantity::Sugar),
        Problem::Microbes if says(Quantity::Sugar) == Status::Unstable => of(Quantity::Sugar),
        Problem::Microbes if says(Quantity::Malic) == Status::Unstable => of(Quantity::Malic),
        _ => None,
    }
}

/// What an act takes of a need, low, middle and high, at a useful dose.
fn takes(dossier: &Dossier, t: &Treatment, need: &Need) -> Option<Estimate> {
    if rules::is_out(dossier, t, Some(need.facts.problem)) {
        return None;
    }
    if let Some(food) = need.food {
        let barrier = food.barrier.as_ref().is_some_and(|b| b.is_met_by(t));
        let all = Estimate {
            low: 1.0,
            middle: 1.0,
            high: 1.0,
            standing: Standing::Derived,
            source: "",
        };
        return barrier.then_some(all);
    }
    // Acid is worked out by equations, which brute force does without.
    if need.facts.quantity == Quantity::TitratableAcidity {
        return None;
    }
    let mut on = t.effects.iter().filter(|e| e.on == need.facts.quantity);
    // Of germs the share that powers of ten come to: evenly over the shares, less often the most.
    let share = |l: Estimate| {
        let of = |logs: f64| 1.0 - 10_f64.powf(-logs);
        let [low, middle, high] = [l.low, l.middle, l.high].map(of);
        Estimate {
            low,
            middle,
            high,
            ..l
        }
    };
    on.find_map(|e| e.removes.or(e.logs.map(share)))
        .filter(|r| r.middle > 0.0)
}

/// At the greatest dose that is useful and lawful, where it is found by trial; else at the usual one.
fn taken(dossier: &Dossier, t: &'static Treatment, need: &Need) -> Taken {
    let on = t.effects.iter().filter(|e| e.on == need.facts.quantity);
    let range = t.dose.map(|d| (d.range, d.by_trial));
    let most = range.map_or(1.0, |(r, tried)| if tried { r.high } else { r.middle });
    let caps = dossier.law(t);
    let dose = caps.iter().filter_map(|f| f.dose_cap).fold(most, f64::min);
    Taken {
        key: t.key,
        share: takes(dossier, t, need),
        adds: on.filter_map(|e| e.adds).map(|a| a.high * dose).sum(),
        dose,
        useful: range.map_or(1.0, |(r, _)| r.middle),
    }
}

/// The needs of a wine: those named and those measured outside their limit that a route meets. None
/// where one of them has no measure here.
fn needs(dossier: &Dossier, usable: &[&'static Treatment]) -> Option<Vec<Need>> {
    let mut problems = dossier.problems.clone();
    for s in STABILITIES.rows() {
        let outside = s.in_routes == Some(RoutePart::Need)
            && status_of(dossier, s.quantity) == Status::Unstable;
        problems.extend(s.problem.filter(|p| outside && !problems.contains(p)));
    }
    let mut all = Vec::new();
    for problem in problems {
        let facts = PROBLEMS.rows().iter().find(|f| f.problem == problem)?;
        let known = dossier.state.get(facts.quantity)?;
        let e = known.estimate;
        let band = facts.band(dossier.colour, dossier.stage, dossier.journey);
        let enough = ENOUGH.iter().find(|x| x.problem == problem);
        // What a count says of how far germs must fall is left to the engine.
        let counted = enough.and_then(|x| x.counted);
        if counted.is_some_and(|c| dossier.at_most(c.quantity).is_some()) {
            return None;
        }
        let ceiling = match (enough, band) {
            (Some(x), _) => {
                let logs = x.logs.map_or(1.0, |logs| 10_f64.powf(-logs));
                x.left.unwrap_or(logs) * e.middle
            }
            (None, Some(b)) => b.ceiling.unwrap_or(f64::INFINITY),
            (None, None) => continue,
        };
        let mut need = Need {
            facts,
            low: e.low,
            middle: e.middle,
            high: e.high,
            floor: band.and_then(|b| b.floor).unwrap_or(f64::NEG_INFINITY),
            ceiling,
            food: food(dossier, problem),
            takes: Vec::new(),
        };
        need.takes = usable.iter().map(|t| taken(dossier, t, &need)).collect();
        // What nothing cures is left out, and said.
        let cures = |x: &Taken| x.share.is_some_and(|r| r.middle > 0.1);
        if facts.no_cure.is_empty() || need.takes.iter().any(cures) {
            all.push(need);
        }
    }
    (!all.is_empty()).then_some(all)
}

/// Where an act has its place in a wine of this colour.
fn place(dossier: &Dossier, key: &str) -> Option<usize> {
    let fits = PHASES
        .rows()
        .iter()
        .filter(|p| holds_for(p.colours, dossier.colour));
    let mut keys = fits.flat_map(|p| p.treatments);
    keys.position(|k| *k == key)
}

/// A draw from a triangle.
fn drawn(dice: &mut wines::Dice, low: f64, middle: f64, high: f64) -> f64 {
    let (low, high) = (low.min(middle), high.max(middle));
    if high <= low {
        return middle;
    }
    let u = (dice.below(1_000_000) as f64 + 0.5) / 1e6;
    let at = (middle - low) / (high - low);
    if u < at {
        low + ((high - low) * (middle - low) * u).sqrt()
    } else {
        high - ((high - low) * (high - middle) * (1.0 - u)).sqrt()
    }
}

/// Share of the draws in which all these needs are met after these acts.
fn met(needs: &[&Need], acts: &[&'static Treatment]) -> f64 {
    let mut dice = wines::Dice(7);
    let inside = (0..DRAWS).filter(|_| {
        // An act takes more or less of all that it acts on, in each draw anew.
        needs.iter().all(|need| {
            let start = drawn(&mut dice, need.low, need.middle, need.high);
            let mut value = start;
            for taken in acts.iter().filter_map(|t| need.taken(t)) {
                if let Some(r) = taken.share {
                    let share = drawn(&mut dice, r.low, r.middle, r.high).clamp(0.0, 1.0);
                    value *= (1.0 - share).powf(strength(taken, need, start));
                } else {
                    value += taken.adds;
                }
            }
            if need.food.is_some() {
                value <= 0.0
            } else {
                value < need.ceiling && value >= need.floor
            }
        })
    });
    inside.count() as f64 / DRAWS as f64
}

/// How many times the dose is what the share is given for: each unit of dose takes the same share of
/// what is left. The protein of a wine asks for bentonite by its rise.
fn strength(taken: &Taken, need: &Need, start: f64) -> f64 {
    let sized = taken.key == "bentonite_sodium" && need.facts.quantity == Quantity::HeatRise;
    let guess = stillbright::chemistry::haze::first_guess(Ntu(start));
    let given_for = match guess {
        Ok(guess) if sized => guess.0,
        _ => taken.useful,
    };
    if given_for > 0.0 {
        taken.dose / given_for
    } else {
        1.0
    }
}

/// What of these rows must follow an act, or come before it, and is not in the chain.
fn lacks(dossier: &Dossier, chain: &[&'static Treatment], at: usize) -> bool {
    let t = chain[at];
    let has = |r: &Rule, part: &[&'static Treatment]| {
        part.iter()
            .any(|o| r.acts.contains(&o.key) || r.unless.contains(&o.key))
    };
    order::rows(dossier, t, RuleVerdict::NeedsAfter)
        .iter()
        .any(|r| !has(r, &chain[at + 1..]))
        || order::rows(dossier, t, RuleVerdict::NeedsBefore)
            .iter()
            .any(|r| r.strength != Strength::Preference && !has(r, &chain[..at]))
}

/// The acts in their order with what must follow or come before them put in; None where that is not
/// to be had.
fn whole(dossier: &Dossier, acts: &[&'static Treatment]) -> Option<Vec<&'static Treatment>> {
    let mut chain: Vec<&'static Treatment> = Vec::new();
    let usable =
        |key: &&&'static str| treatment(key).is_some_and(|t| !rules::is_out(dossier, t, None));
    for t in acts {
        for r in order::rows(dossier, t, RuleVerdict::NeedsBefore) {
            let there = chain
                .iter()
                .any(|o| r.acts.contains(&o.key) || r.unless.contains(&o.key));
            if !there && r.strength != Strength::Preference {
                chain.push(treatment(r.acts.iter().find(usable)?)?);
            }
        }
        chain.push(t);
    }
    let mut at = 0;
    while at < chain.len() {
        for r in order::rows(dossier, chain[at], RuleVerdict::NeedsAfter) {
            let later = &chain[at + 1..];
            if !later
                .iter()
                .any(|o| r.acts.contains(&o.key) || r.unless.contains(&o.key))
            {
                chain.insert(at + 1, treatment(r.acts.iter().find(usable)?)?);
            }
        }
        at += 1;
        if chain.len() > 20 {
            return None;
        }
    }
    let lacking = (0..chain.len()).any(|at| lacks(dossier, &chain, at));
    (!lacking).then_some(chain)
}

/// Whether the judge permits each act after those before it were done, the order rules have nothing
/// against their places, and none waits for a test or for another act.
fn permitted(wine: &Wine, chain: &[&'static Treatment]) -> bool {
    let mut wine = Wine {
        plan: Vec::new(),
        ..wine.clone()
    };
    let mut day = today();
    let mut earlier: Vec<&'static Treatment> = Vec::new();
    for t in chain {
        let dossier = Dossier::of(&wine);
        let before = Before {
            earlier: earlier.iter().map(|t| t.key).collect(),
            pending: earlier.iter().map(|t| t.key).collect(),
        };
        let apart = |o: &&'static Treatment| order::apart(&dossier, o, t.key).is_some();
        let after_it = |o: &&'static Treatment| order::goes_before(&dossier, t, o.key).is_some();
        if rules::is_out(&dossier, t, None)
            || !rules::against_after(&dossier, t, &before).is_empty()
            || !order::waits(&dossier, t, &before).is_empty()
            || earlier.iter().any(|o| apart(o) || after_it(o))
        {
            return false;
        }
        wine.done.push(Done {
            treatment: t.key.into(),
            day: day.show(),
            ..Done::default()
        });
        for q in voids(t) {
            wine.analyses.remove(&q);
            wine.measured_on.remove(&q);
        }
        day = day.plus(t.takes()[2].ceil() as i64);
        earlier.push(t);
    }
    true
}

/// Days that a chain takes at most, with its trials and tests.
fn days(dossier: &Dossier, needs: &[Need], chain: &[&'static Treatment]) -> f64 {
    let tests: Vec<Quantity> = needs
        .iter()
        .map(|n| reading(dossier, n.facts.quantity))
        .collect();
    let test = days_of(&tests, &dossier.past).high;
    let again: Vec<Quantity> = chain.iter().flat_map(|t| voids(t)).collect();
    let last = days_of(&again, &dossier.past).high;
    let lead = |t: &&'static Treatment| {
        t.kit
            .iter()
            .map(|k| dossier.kit_lead(*k).unwrap_or(0.0))
            .fold(0.0, f64::max)
    };
    let acts: f64 = chain
        .iter()
        .map(|t| t.takes()[2] + trial::days(dossier, t))
        .sum();
    test + acts + last + chain.iter().map(lead).fold(0.0, f64::max) + 16.0
}

/// What came of the search by force.
enum Forced {
    /// These acts bring the wine to the bottle.
    Found(Vec<&'static str>),
    /// No choice does.
    Nothing,
    /// More choices than are looked at.
    Capped,
    /// It has no need that can be measured here.
    NoNeed,
}

/// The choices for a need that meet it alone: nothing, one act, or two.
fn choices(sure: f64, need: &Need, usable: &[&'static Treatment]) -> Vec<Vec<&'static Treatment>> {
    let share = |t: &&'static Treatment| Some((need.taken(t)?.share?.middle, *t));
    let mut by: Vec<(f64, &'static Treatment)> = usable.iter().filter_map(share).collect();
    by.sort_by(|a, b| b.0.total_cmp(&a.0));
    let acts: Vec<&'static Treatment> = by.into_iter().map(|(_, t)| t).take(12).collect();
    let mut all = vec![Vec::new()];
    all.extend(acts.iter().map(|t| vec![*t]));
    for (i, first) in acts.iter().take(6).enumerate() {
        let then = acts.iter().take(6).skip(i + 1);
        all.extend(then.map(|then| vec![*first, *then]));
    }
    all.retain(|c| met(&[need], c) >= sure);
    all.truncate(10);
    all
}

/// Looks for acts that bring a wine to the bottle, by trying.
fn by_force(wine: &Wine) -> Forced {
    let dossier = Dossier::of(wine);
    let anyone = |t: &&Treatment| matches!(t.access, Access::Anyone | Access::Qualified);
    let usable: Vec<&'static Treatment> = TREATMENTS
        .rows()
        .iter()
        .filter(anyone)
        .filter(|t| place(&dossier, t.key).is_some())
        .filter(|t| !rules::is_out(&dossier, t, None))
        .collect();
    let Some(needs) = needs(&dossier, &usable) else {
        return Forced::NoNeed;
    };
    let options: Vec<Vec<Vec<&'static Treatment>>> = needs
        .iter()
        .map(|n| choices(dossier.sure(), n, &usable))
        .collect();
    let left = dossier
        .days_left(Some(today()))
        .map_or(f64::INFINITY, |d| d as f64);
    let all: Vec<&Need> = needs.iter().collect();
    let mut at = vec![0; options.len()];
    if options.iter().any(Vec::is_empty) {
        return Forced::Nothing;
    }
    for _ in 0..CAP {
        let mut acts: Vec<&'static Treatment> = Vec::new();
        for t in at.iter().zip(&options).flat_map(|(i, o)| &o[*i]) {
            if acts.iter().all(|a| a.material != t.material) {
                acts.push(t);
            }
        }
        acts.sort_by_key(|t| place(&dossier, t.key));
        let enough = acts.len() <= MOST && met(&all, &acts) >= dossier.sure() + SURER;
        if enough
            && let Some(chain) = whole(&dossier, &acts)
            && days(&dossier, &needs, &chain) <= left
            && permitted(wine, &chain)
        {
            return Forced::Found(chain.iter().map(|t| t.key).collect());
        }
        // The next choice, the first need fastest.
        let mut need = 0;
        loop {
            let Some(i) = at.get_mut(need) else {
                return Forced::Nothing;
            };
            *i += 1;
            if *i < options[need].len() {
                break;
            }
            *i = 0;
            need += 1;
        }
    }
    Forced::Capped
}

/// Every wine that brute force brings to the bottle gets a route that is not called short.
#[test]
fn what_brute_force_brings_to_the_bottle_gets_a_route() {
    let (mut found, mut nothing, mut capped, mut without) = (0, 0, 0, Vec::new());
    let tried = (chance::tries(100).cases as usize).min(PLAUSIBLE);
    let drawn = (0..tried).map(|n| wines::drawn(n * wines::DRAWN / tried));
    for wine in drawn.chain((0..tried).map(|n| plausible(n * PLAUSIBLE / tried))) {
        if wine.stage == Some(Stage::Bottled) {
            continue;
        }
        match by_force(&wine) {
            Forced::Found(chain) => {
                found += 1;
                let got = routes(&Dossier::of(&wine), Some(today()));
                if got.routes.iter().all(|r| r.short) {
                    without.push(format!(
                        "{}: {} ({:?})",
                        wine.name,
                        chain.join("+"),
                        got.says
                    ));
                }
            }
            Forced::Nothing => nothing += 1,
            Forced::Capped => capped += 1,
            Forced::NoNeed => {}
        }
    }
    println!("{found} brought to the bottle, {nothing} not, {capped} after {CAP} choices");
    assert!(found > tried / 2, "{found}");
    assert!(
        without.is_empty(),
        "{} of {found}:\n{}",
        without.len(),
        without.join("\n")
    );
}
