//! From a wine to an instance: its needs, the acts that can be used, their effects and costs by
//! draw, and their links.

use super::model::{Act, Apart, Asks, Effect, Instance, Label, Need, Prices, Set, mean};
use super::{grades, owed, sequence};
use crate::case::log;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Legality};
use crate::obligations::days_of;
use crate::rules::{self, order};
use crate::stability::draws::{Drawn, Sequence, triangle};
use crate::stability::{self, Status};
use crate::state::{State, again, reading};
use crate::treatment::ranking::{effect_on, is_missed, price};
use crate::treatment::suit::to_hire;
use crate::treatment::{Span, germs, scales, sugar};
use crate::trial::arithmetic::product_per_hl;
use crate::trial::{self, ReadDose};
use crate::wine::*;

/// A need with what it is about.
#[derive(Debug, Clone)]
pub struct About {
    /// The problem.
    pub problem: &'static ProblemFacts,
    /// Greatest value that meets it, for showing.
    pub ceiling: f64,
    /// Share that must be taken away from its middle value.
    pub asks: f64,
    /// Whether its reading tells on which side of its limits it lies.
    pub measured: bool,
    /// Whether a route must meet it; else it only guards acts.
    pub required: bool,
    /// The food that may be left, where only a barrier at the filler or an end to it meets the need.
    pub barred: Option<&'static StabilityFacts>,
}

impl About {
    /// Whether a test must come first.
    pub fn is_unmeasured(&self) -> bool {
        !self.measured && self.problem.quantity.facts().asked
    }
}

/// An instance with what its parts are.
#[derive(Debug, Clone)]
pub struct Built {
    /// The instance.
    pub instance: Instance,
    /// Needs, in the order of the instance.
    pub needs: Vec<About>,
    /// Acts, in the order of the instance.
    pub acts: Vec<&'static Treatment>,
    /// By act: the needs on which a test decides after it and no figure, with what that test reads.
    /// The effect that the instance
    /// holds for them is a judgement of how often the test is passed: it serves to choose, and is
    /// never shown as met.
    pub judged: Vec<Vec<(usize, Quantity)>>,
    /// Named problems that nothing here cures, so that no route can be asked to.
    pub no_cure: Vec<&'static ProblemFacts>,
}

/// Which needs a route must meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Those that were named, and those that were measured outside their limit.
    All,
    /// Those that were named.
    Named,
}

impl Built {
    /// The required needs of a route on which a test decides, each once.
    pub fn judged_in(&self, label: &Label) -> Vec<(usize, Quantity)> {
        let mut all: Vec<(usize, Quantity)> = Vec::new();
        for of in label
            .done
            .iter()
            .filter_map(|d| self.judged.get(d.act))
            .flatten()
        {
            let required = self.instance.needs.get(of.0).is_some_and(|n| n.required);
            if required && !all.iter().any(|a| a.0 == of.0) {
                all.push(*of);
            }
        }
        all
    }

    /// Share of the draws in which all that figures tell of a route is met.
    pub fn probability(&self, label: &Label) -> f64 {
        let aside: Vec<usize> = self
            .judged_in(label)
            .into_iter()
            .map(|(need, _)| need)
            .collect();
        self.instance.probability_but(label, &aside)
    }

    /// The instance in which no act changes what a test decides on: for the values that are shown.
    pub fn by_figures(&self) -> Instance {
        let mut on = self.instance.clone();
        for (act, judged) in on.acts.iter_mut().zip(&self.judged) {
            for e in act
                .effects
                .iter_mut()
                .filter(|e| judged.iter().any(|(need, _)| *need == e.need))
            {
                e.left.iter_mut().flatten().for_each(|l| *l = 1.0);
            }
        }
        on
    }
}

/// Part of what a need asks that an act must bring in the middle to be decided on for it; less only
/// helps. Judgement.
const WORTH: f64 = 0.25;
/// Share of a need below which a treatment's middle effect does not count as a cure of the kind
/// that nothing cures.
const CURES: f64 = 0.1;

/// Money per hL by which what must be hired counts as dearer where a link only asks for the
/// cheapest that serves.
const HIRED_LAST: f64 = 1e9;

fn span(s: Span, at: f64) -> f64 {
    triangle(s.low.min(s.middle), s.middle, s.high.max(s.middle), at)
}

/// The phase of a treatment in a wine, and its place over all phases.
pub fn place(dossier: &Dossier, key: &str) -> Option<(Phase, usize)> {
    let mut at = 0;
    for p in PHASES.iter() {
        let fits = holds_for(p.colours, dossier.colour);
        if fits && let Some(i) = p.treatments.iter().position(|t| *t == key) {
            return Some((p.phase, at + i));
        }
        at += p.treatments.len();
    }
    None
}

/// Builds the instance with so many draws.
pub fn build(dossier: &Dossier, days_left: Option<i64>, draws: usize) -> Built {
    build_only(dossier, days_left, draws, Asked::All, None)
}

/// The same with some treatments only, and what the rules put in for them.
pub fn build_only(
    dossier: &Dossier,
    days_left: Option<i64>,
    draws: usize,
    asked: Asked,
    only: Option<&[&str]>,
) -> Built {
    let usable: Vec<&'static Treatment> = TREATMENTS
        .rows()
        .iter()
        .filter(|t| {
            matches!(
                t.access,
                Access::Anyone | Access::Qualified | Access::Trained
            ) && !rules::is_out(dossier, t, None)
        })
        .collect();
    let (needs, no_cure) = needs(dossier, &usable, asked);
    let mut acts: Vec<(usize, Phase, &'static Treatment, bool)> = Vec::new();
    let put_in: Vec<&'static str> = put_in(dossier);
    for t in usable {
        let Some((phase, at)) = place(dossier, t.key) else {
            continue;
        };
        let acts_on = needs
            .iter()
            .any(|n| takes(dossier, t, n).is_some_and(|e| e.reaches(WORTH, n.asks)));
        // A step of a plan is followed though nothing is named that it acts on.
        let wanted = only.map_or(acts_on, |o| o.contains(&t.key));
        if put_in.contains(&t.key) || wanted {
            acts.push((at, phase, t, acts_on));
        }
    }
    crate::sorting::sort(&mut acts, &mut |a, b| a.0.cmp(&b.0));
    acts.truncate(Set::MOST);
    let listed: Vec<&'static Treatment> = acts.iter().map(|a| a.2).collect();
    let acts: Vec<(usize, Phase, &'static Treatment, bool)> = sequence::in_order(dossier, &listed)
        .into_iter()
        .filter_map(|at| acts.get(at).copied())
        .collect();
    let mut materials: Vec<&'static str> = Vec::new();
    let first: Vec<Quantity> = needs
        .iter()
        .filter(|n| n.is_unmeasured() && n.required)
        .map(|n| reading(dossier, n.problem.quantity))
        .collect();
    let first_days = days_of(&first, &dossier.past).middle;
    let mut instance = Instance {
        needs: needs
            .iter()
            .map(|n| Need {
                start: start(&dossier.state, n, draws),
                floor: n
                    .problem
                    .band(dossier.colour, dossier.stage, dossier.journey)
                    .and_then(|b| b.floor)
                    .unwrap_or(f64::NEG_INFINITY),
                ceiling: n.ceiling,
                required: n.required,
            })
            .collect(),
        draws,
        days: days_left.map_or(f64::INFINITY, |d| d as f64),
        // Measure first what was not measured; test again what acts have voided.
        test_days: last_days(dossier) + first_days,
        least_days: owed::least_days(dossier, &first),
        target: dossier.sure(),
        decisions: super::MOST_DECISIONS,
        prices: Prices {
            day: scales::per_day(dossier),
            point: scales::per_point(dossier),
        },
        ..Instance::default()
    };
    let all: Vec<&'static Treatment> = acts.iter().map(|a| a.2).collect();
    for (_, phase, t, acts_on) in &acts {
        let mut act = one(dossier, t, &needs, &instance.needs, draws, &mut materials);
        let wanted = only.is_none_or(|o| o.contains(&t.key));
        act.decidable = wanted && *acts_on && !act.rungs.is_empty();
        act.at_filler = *phase == Phase::Filler;
        act.muddies = *phase <= Phase::Cold;
        // It is ordered today, while the first tests run.
        act.not_before = (lead_days(dossier, t) - first_days).max(0.0);
        instance.acts.push(act);
    }
    instance.limits = materials.len();
    let dearness = |a: &Act| {
        let hired = if a.hired { HIRED_LAST } else { 0.0 };
        a.usual_money() + hired
    };
    let cost: Vec<f64> = instance.acts.iter().map(dearness).collect();
    for (act, t) in instance.acts.iter_mut().zip(&all) {
        link(dossier, act, t, &all, &cost);
        stand_apart(dossier, act, t, &all);
        gate(dossier, act, t, &needs);
        barred_after(dossier, act, t, &all);
        // What guards it is measured with the rest, or else for it alone.
        let guards = act.guards.iter().filter_map(|g| needs.get(*g));
        let tests: Vec<Quantity> = guards
            .filter(|g| first.is_empty() && g.is_unmeasured())
            .map(|g| reading(dossier, g.problem.quantity))
            .collect();
        act.test_days = days_of(&tests, &dossier.past).middle;
    }
    let judged: Vec<Vec<(usize, Quantity)>> = all.iter().map(|t| judged(t, &needs)).collect();
    only_one_is_judged(&mut instance, &judged);
    grades::as_one(dossier, &mut instance, &needs, &all);
    let beaten = beaten(&instance, &acts);
    for i in beaten {
        instance
            .acts
            .get_mut(i)
            .into_iter()
            .for_each(|a| a.decidable = false);
    }
    Built {
        instance,
        needs,
        acts: all,
        judged,
        no_cure,
    }
}

/// The needs on which a test decides after a treatment, with what it reads.
fn judged(t: &Treatment, needs: &[About]) -> Vec<(usize, Quantity)> {
    needs
        .iter()
        .enumerate()
        .filter_map(|(at, n)| Some((at, t.judged_by(n.problem.quantity)?)))
        .collect()
}

/// Of what a test decides on, one act of a route is enough: no text says what two do together, so
/// their shares are not multiplied.
fn only_one_is_judged(instance: &mut Instance, judged: &[Vec<(usize, Quantity)>]) {
    for (act, own) in instance.acts.iter_mut().zip(judged) {
        let same = |other: &Vec<(usize, Quantity)>| {
            other
                .iter()
                .any(|(need, _)| own.iter().any(|(n, _)| n == need))
        };
        judged
            .iter()
            .enumerate()
            .filter(|(_, other)| same(other))
            .for_each(|(i, _)| act.never.add(i));
    }
}

/// Middle rung of a second ladder over the last of the first. Judgement.
const SECOND_LADDER: f64 = 1.5;

/// Stabilities that were measured outside their limit and whose problem was not named.
pub fn measured_outside(dossier: &Dossier) -> Vec<&'static StabilityFacts> {
    // Most limits are of a wine for the bottle; must has its own for some.
    let of_must = |f: &StabilityFacts| {
        let bands = PROBLEMS.iter().find(|p| Some(p.problem) == f.problem);
        bands.is_some_and(|p| p.bands.iter().any(|b| b.stages.contains(&Stage::Juice)))
    };
    let named = |f: &StabilityFacts| f.problem.is_some_and(|p| dossier.problems.contains(&p));
    let outside = |f: &&StabilityFacts| {
        !named(f)
            && (!dossier.is_must() || of_must(f))
            && stability::status_of(dossier, f.quantity) == Status::Unstable
    };
    STABILITIES.rows().iter().filter(outside).collect()
}

/// Named problems, those measured outside their limit, and those that guard an act that may be
/// used.
fn needs(
    dossier: &Dossier,
    usable: &[&'static Treatment],
    asked: Asked,
) -> (Vec<About>, Vec<&'static ProblemFacts>) {
    let gates = usable.iter().flat_map(|t| order::gates(dossier, t));
    let guards = gates.filter_map(|q| PROBLEMS.iter().find(|f| f.quantity == q));
    let mut required: Vec<Problem> = dossier.problems.clone();
    if asked == Asked::All {
        for problem in measured_outside(dossier)
            .into_iter()
            .filter(|f| f.in_routes == Some(RoutePart::Need))
            .filter_map(|f| f.problem)
        {
            if !required.contains(&problem) {
                required.push(problem);
            }
        }
    }
    let mut all = required.clone();
    for guard in guards {
        if !all.contains(&guard.problem) {
            all.push(guard.problem);
        }
    }
    let (mut needs, mut no_cure) = (Vec::new(), Vec::new());
    for facts in all
        .into_iter()
        .filter_map(|p| PROBLEMS.rows().iter().find(|f| f.problem == p))
    {
        let barred = sugar::food_in_bottle(dossier, facts.problem);
        let cures = |t: &&Treatment| match barred {
            Some(food) => sugar::meets(food, t),
            None => removes(dossier, t, facts.quantity).is_some_and(Takes::cures),
        };
        if !facts.no_cure.is_empty() && !usable.iter().any(cures) {
            no_cure.push(facts);
            continue;
        }
        let Some(known) = dossier.state.get(facts.quantity) else {
            continue;
        };
        let value = known.estimate.middle;
        let ceiling = match (
            ENOUGH.iter().find(|e| e.problem == facts.problem),
            facts.band(dossier.colour, dossier.stage, dossier.journey),
        ) {
            (Some(e), _) => {
                e.left
                    .unwrap_or_else(|| share_left(dossier, e, barred.is_some()))
                    * value
            }
            (None, Some(b)) => b.ceiling.unwrap_or(f64::INFINITY),
            (None, None) => continue,
        };
        let asks = if value > ceiling {
            1.0 - ceiling / value
        } else {
            0.0
        };
        let floor = facts.band(dossier.colour, dossier.stage, dossier.journey);
        let measured = known.tells(floor.and_then(|b| b.floor), Some(ceiling))
            || germs::counted(dossier, facts.problem).is_some();
        needs.push(About {
            problem: facts,
            ceiling,
            asks,
            measured,
            required: required.contains(&facts.problem),
            barred,
        });
    }
    (needs, no_cure)
}

/// The share of the germs that may be left, so that their count falls by the powers of ten that are
/// asked. Where a count shows that none is asked, more than there are; where only a barrier meets
/// the need, no count tells.
fn share_left(dossier: &Dossier, enough: &Enough, barred: bool) -> f64 {
    let counted = germs::asked(dossier, enough.problem).filter(|_| !barred);
    match counted.or(enough.logs) {
        Some(logs) if logs > 0.0 => survivors(logs),
        _ => f64::INFINITY,
    }
}

/// What a treatment takes of a need.
#[derive(Debug, Clone, Copy)]
enum Takes {
    /// A share of it.
    Share(Span),
    /// So many powers of ten of a count of germs.
    Logs(Span),
}

impl Takes {
    /// The share at a place in its spread: a count falls by powers of ten, evenly over their range.
    fn share(self, at: f64) -> f64 {
        match self {
            Takes::Share(s) => span(s, at).clamp(0.0, 1.0),
            Takes::Logs(l) => 1.0 - survivors(span(l, at)),
        }
    }

    /// Whether its middle counts as a cure of the kind that nothing cures.
    fn cures(self) -> bool {
        match self {
            Takes::Share(s) => s.middle > CURES,
            Takes::Logs(l) => 1.0 - survivors(l.middle) > CURES,
        }
    }

    /// Whether its middle is more than nothing, and at least this part of what a need asks. Of
    /// germs the cells are compared: what takes most of them is worth a decision beside what takes
    /// the rest.
    fn reaches(self, part: f64, asks: f64) -> bool {
        let middle = match self {
            Takes::Share(s) => s.middle,
            Takes::Logs(l) => 1.0 - survivors(l.middle),
        };
        middle > 0.0 && middle >= part * asks
    }
}

fn removes(dossier: &Dossier, t: &Treatment, quantity: Quantity) -> Option<Takes> {
    let judged = effect_on(t, quantity)?;
    // For a need that its law or a rule keeps it from, an act counts for nothing.
    let kept_from = |p: &ProblemFacts| rules::is_out(dossier, t, Some(p.problem));
    if PROBLEMS
        .iter()
        .any(|p| p.quantity == quantity && kept_from(p))
    {
        return None;
    }
    let worked_out = if quantity == Quantity::TitratableAcidity {
        crate::derived::acidity_taken(dossier, t.key)
    } else {
        None
    };
    if let Some(logs) = germs::logs(t, quantity) {
        return Some(Takes::Logs(logs));
    }
    let share = worked_out.map_or(Span::of(&judged, 1.0), |[low, middle, high]| Span {
        low,
        middle,
        high,
    });
    Some(Takes::Share(share))
}

/// What a treatment takes of a need. Where only a barrier meets it, a barrier holds all and nothing
/// else counts.
fn takes(dossier: &Dossier, t: &Treatment, need: &About) -> Option<Takes> {
    if let Some(food) = need.barred {
        return sugar::meets(food, t).then_some(Takes::Share(Span {
            low: 1.0,
            middle: 1.0,
            high: 1.0,
        }));
    }
    removes(dossier, t, need.problem.quantity)
}

fn start(state: &State, need: &About, draws: usize) -> Vec<f64> {
    let q = need.problem.quantity;
    let shares = Sequence::of_quantity(q).over(0..draws as u32).into_iter();
    shares
        .map(|share| {
            state.get(q).map_or(f64::INFINITY, |k| {
                let e = k.estimate;
                triangle(e.low, e.middle, e.high, share)
            })
        })
        .collect()
}

/// The doses of a treatment that may be given here: the rungs of its first ladder, and those of a
/// second one where the first
/// ends below the useful range and the law; the middle where it is not found by trial. A physical
/// treatment has none, its dose
/// is 0.
fn rungs(dossier: &Dossier, t: &Treatment, cap: Option<f64>) -> Vec<f64> {
    let Some(d) = t.dose else { return vec![0.0] };
    let most = cap.map_or(d.range.high, |c| c.min(d.range.high));
    if !d.by_trial {
        return vec![d.range.middle.min(most)];
    }
    let mut rungs: Vec<f64> = crate::trial::design::first_ladder(dossier, t)
        .into_iter()
        .filter(|r| *r > 0.0 && *r <= most)
        .collect();
    let last = rungs.last().copied().unwrap_or(0.0);
    rungs.extend(
        [last * SECOND_LADDER]
            .into_iter()
            .filter(|r| *r > last && *r < most),
    );
    rungs.extend((most > last).then_some(most));
    rungs
}

/// The dose at which the effects of a treatment are given, in one draw: for protein and sodium
/// bentonite the first guess by
/// the rise ([`crate::chemistry::haze::first_guess`]), else the middle of the useful range. It only
/// says how a dose compares
/// with what this wine may need; the bench says what it needs.
fn dose_of_effect(t: &Treatment, quantity: Quantity, value: f64, useful: f64) -> f64 {
    let sized = t.key == "bentonite_sodium" && quantity == Quantity::HeatRise;
    let guess = if sized {
        crate::chemistry::haze::first_guess(crate::units::Ntu(value)).ok()
    } else {
        None
    };
    guess.map_or(useful, |g| g.0)
}

/// Days of the test that stands at the end of every route: free sulfur dioxide, before it is
/// corrected.
pub fn last_days(dossier: &Dossier) -> f64 {
    days_of(&[Quantity::FreeSo2], &dossier.past).middle
}

/// Days until the equipment of a treatment is here: the soonest of what any one of serves, else the
/// last of all.
pub fn lead_days(dossier: &Dossier, t: &Treatment) -> f64 {
    let days = t.kit.iter().map(|k| dossier.kit_lead(*k).unwrap_or(0.0));
    if t.any_kit {
        days.reduce(f64::min).unwrap_or(0.0)
    } else {
        days.fold(0.0, f64::max)
    }
}

fn one(
    dossier: &Dossier,
    t: &'static Treatment,
    needs: &[About],
    starts: &[Need],
    draws: usize,
    materials: &mut Vec<&'static str>,
) -> Act {
    let found = dossier.law(t);
    let cap = found.iter().filter_map(|f| f.dose_cap).reduce(f64::min);
    // A dose that the bench of this wine gave is no longer a range, and what it was seen to take is
    // no longer guessed.
    let bench = crate::trial::dose_for(dossier, t).and_then(|r| {
        if let ReadDose::Tested(tested) = r {
            Some(tested)
        } else {
            None
        }
    });
    let rungs = bench
        .as_ref()
        .map_or_else(|| rungs(dossier, t, cap), |b| vec![b.dose]);
    let useful = t.dose.map_or(0.0, |d| d.range.middle);
    let usual = rungs.iter().rposition(|r| *r <= useful + 1e-9).unwrap_or(0);
    let times = |r: f64| if useful > 0.0 { r / useful } else { 1.0 };
    let effects = needs
        .iter()
        .enumerate()
        .filter_map(|(need, about)| {
            let q = about.problem.quantity;
            // Where another test judges it, the bench read that one.
            let read = t.judged_by(q).unwrap_or(q);
            let permitted = |of: &Quantity| {
                *of == read && !rules::is_out(dossier, t, Some(about.problem.problem))
            };
            let seen = bench
                .as_ref()
                .and_then(|b| b.removed)
                .filter(|(of, _)| permitted(of))
                .map(|(_, [low, middle, high])| Takes::Share(Span { low, middle, high }));
            let takes = seen.or_else(|| takes(dossier, t, about));
            let adds = t.effects.iter().filter(|e| e.on == q).find_map(|e| e.adds);
            if takes.is_none() && adds.is_none() {
                return None;
            }
            let sequence = Sequence::of_treatment(t.key, Drawn::Takes(q));
            // Each unit of dose takes the same share of what is left. Judgement.
            let left = |rung: f64, draw: usize, taken: f64| {
                let start = starts
                    .get(need)
                    .and_then(|n| n.start.get(draw))
                    .copied()
                    .unwrap_or(0.0);
                let given_at = dose_of_effect(t, q, start, useful);
                let times = if given_at > 0.0 { rung / given_at } else { 1.0 };
                if (times - 1.0).abs() < 1e-12 {
                    1.0 - taken
                } else {
                    libm::pow(1.0 - taken, times)
                }
            };
            let shares = sequence.over(0..draws as u32).into_iter();
            let drawn: Vec<f64> = shares
                .map(|share| takes.map_or(0.0, |s| s.share(share)))
                .collect();
            Some(Effect {
                need,
                // What was seen was seen at this dose.
                left: rungs
                    .iter()
                    .map(|r| {
                        drawn
                            .iter()
                            .enumerate()
                            .map(|(draw, x)| {
                                if seen.is_some() {
                                    1.0 - x
                                } else {
                                    left(*r, draw, *x)
                                }
                            })
                            .collect()
                    })
                    .collect(),
                // Where both are given, the share is how it ranks.
                add: rungs
                    .iter()
                    .map(|r| {
                        adds.filter(|_| takes.is_none())
                            .map_or(0.0, |a| a.middle * if t.dose.is_some() { *r } else { 1.0 })
                    })
                    .collect(),
                removes: takes.is_some_and(|s| s.reaches(WORTH, about.asks)),
            })
        })
        .collect();
    let lost = Span::of(&t.loss_percent, scales::value(dossier) / 100.0);
    let labour = Span::of(
        &t.labour_hours,
        scales::per_hour(dossier) / scales::hectolitres(dossier),
    );
    let [low, middle, high] = scales::UNKNOWN_PRICE;
    let (bought, each_hl) = price(dossier, t).unwrap_or((Span { low, middle, high }, true));
    let each_unit = t.dose.map_or(0.0, |d| product_per_hl(&d, 1.0) / 1000.0);
    let by_draw = |of: Span, what: Drawn| -> Vec<f64> {
        let sequence = Sequence::of_treatment(t.key, what);
        let shares = sequence.over(0..draws as u32).into_iter();
        shares.map(|share| span(of, share)).collect()
    };
    let (hl, unit) = if each_hl {
        (1.0, 0.0)
    } else {
        (0.0, each_unit)
    };
    let prices = by_draw(bought, Drawn::Price);
    let fixed = by_draw(labour, Drawn::Labour)
        .into_iter()
        .zip(by_draw(lost, Drawn::Lost))
        .zip(&prices)
        .map(|((work, loss), price)| work + loss + hl * price)
        .collect();
    let per_dose = prices.iter().map(|price| unit * price).collect();
    let harm: Vec<f64> = t
        .effects
        .iter()
        .filter(|e| is_missed(dossier, e.on) && !needs.iter().any(|n| n.problem.quantity == e.on))
        .filter_map(|e| e.removes.map(|r| r.middle))
        .collect();
    let past = &dossier.past;
    let mut after = past.clone();
    log::add_past(&mut after, t);
    let mut limits = Vec::new();
    if let (Some(cap), true) = (cap, t.dose.is_some()) {
        let at = materials
            .iter()
            .position(|m| *m == t.material)
            .unwrap_or_else(|| {
                materials.push(t.material);
                materials.len() - 1
            });
        limits.push((at, cap));
    }
    Act {
        usual,
        effects,
        fixed,
        per_dose,
        days: t.takes()[1],
        trial_days: if bench.is_none() && t.dose.is_some_and(|d| d.by_trial) {
            trial::days(dossier, t)
        } else {
            0.0
        },
        retest_days: (days_of(&again(t, past), &after).middle - last_days(dossier)).max(0.0),
        impact: rungs
            .iter()
            .map(|r| {
                harm.iter()
                    .map(|m| 100.0 * (1.0 - libm::pow(1.0 - m, times(*r))))
                    .sum()
            })
            .collect(),
        origin: match t.origin {
            Origin::Milk | Origin::Egg => 1,
            Origin::Fish | Origin::Animal | Origin::Unknown => 2,
            _ => 0,
        },
        stays: t.stays,
        unsure: law::hardest(&found) == Some(Legality::NotKnown)
            || dossier
                .schemes()
                .into_iter()
                .any(|s| law::organic(s, t).is_none_or(|r| r.evidence == Evidence::Memory)),
        hired: !to_hire(dossier, t).is_empty(),
        limits,
        rungs,
        ..Act::default()
    }
}

/// What an act is compared by: its phase, what it asks for after it, and its counts.
type Weighed<'a> = (Phase, Option<&'a Asks>, Vec<f64>);

/// Acts that another of the same phase beats or equals on every count on average and at its worst:
/// what they do, cost, take
/// and ask for. Only the others are decided on.
fn beaten(on: &Instance, acts: &[(usize, Phase, &'static Treatment, bool)]) -> Vec<usize> {
    let worst = |v: &[f64]| v.iter().fold(0.0_f64, |m, x| m.max(*x));
    // Share left by need, on average and at worst, at the useful dose and at the greatest.
    let left = |a: &Act| -> Vec<f64> {
        let mut all = vec![1.0; on.needs.len() * 4];
        for e in &a.effects {
            let most = e.left.len().saturating_sub(1);
            for (k, rung) in [a.usual, most].into_iter().enumerate() {
                let (Some(l), add) = (e.left.get(rung), e.add.get(rung).copied().unwrap_or(0.0))
                else {
                    continue;
                };
                for (j, x) in [mean(l) + add, worst(l) + add].into_iter().enumerate() {
                    all.get_mut(e.need * 4 + k * 2 + j)
                        .into_iter()
                        .for_each(|slot| *slot = x);
                }
            }
        }
        all
    };
    let counts = |a: &Act| {
        let mut all = left(a);
        all.extend([
            a.usual_money(),
            if a.at_filler { 0.0 } else { a.days } + a.trial_days + a.test_days,
            a.retest_days,
            a.not_before,
            a.impact.get(a.usual).copied().unwrap_or(0.0),
            f64::from(a.origin),
            f64::from(u8::from(a.stays)),
            f64::from(u8::from(a.unsure)),
            f64::from(u8::from(a.hired)),
            a.guards.len() as f64,
            a.before.len() as f64,
        ]);
        all
    };
    // Whatever the rules let the other do, they let it do too.
    let no_stricter = |i: usize, j: usize| {
        let both = on.acts.get(i).zip(on.acts.get(j));
        both.is_some_and(|(a, b)| no_stricter(on, (i, a), (j, b)))
    };
    let all: Vec<Weighed<'_>> = on
        .acts
        .iter()
        .zip(acts)
        .map(|(a, (_, phase, _, _))| (*phase, a.after.as_ref(), counts(a)))
        .collect();
    let beats = |b: &Weighed<'_>, a: &Weighed<'_>| {
        b.0 == a.0
            && (b.1.is_none() || b.1 == a.1)
            && b.2.iter().zip(&a.2).all(|(x, y)| *x <= *y + 1e-9)
    };
    let decidable = |i: usize| on.acts.get(i).is_some_and(|a| a.decidable);
    (0..all.len())
        .filter(|i| {
            all.get(*i).is_some_and(|a| {
                all.iter().enumerate().any(|(j, b)| {
                    let beaten = decidable(j) && beats(b, a) && no_stricter(j, *i);
                    j != *i && beaten && (!beats(a, b) || j < *i)
                })
            })
        })
        .collect()
}

/// Whether the compiled rules ask no more of one act than of another: what it may not share a wine
/// with, what it stands behind, what must be met before it, what is put in for it, and what it uses
/// of shared limits.
fn no_stricter(on: &Instance, (i, one): (usize, &Act), (j, other): (usize, &Act)) -> bool {
    let others = || (0..on.acts.len()).filter(move |k| *k != i && *k != j);
    let never = others().all(|k| {
        let shut = |own: &Act, at: usize| {
            own.never.has(k) || on.acts.get(k).is_some_and(|a| a.never.has(at))
        };
        !shut(one, i) || shut(other, j)
    });
    let apart = one.apart.iter().all(|x| other.apart.contains(x))
        && others().filter_map(|k| on.acts.get(k)).all(|k| {
            let behind = |at: usize| {
                k.apart
                    .iter()
                    .find(|x| x.from == at)
                    .map_or(0.0, |x| x.days)
            };
            behind(i) <= behind(j)
        });
    let before = one.before.iter().all(|b| other.before.contains(b));
    let guard = one.guards.iter().all(|g| other.guards.contains(g));
    let part = |a: &Act, limit: usize| {
        let dose = a.rungs.get(a.usual).copied().unwrap_or(0.0);
        let full = a.limits.iter().find(|l| l.0 == limit);
        full.map_or(0.0, |l| dose / l.1.max(1e-12))
    };
    let limits = one
        .limits
        .iter()
        .all(|l| part(one, l.0) <= part(other, l.0));
    never && apart && before && guard && limits
}

/// The acts after which the rules shut an act out, as indices.
fn barred_after(dossier: &Dossier, act: &mut Act, t: &Treatment, all: &[&'static Treatment]) {
    let named = rules::acts_named(dossier, t);
    for (i, other) in all.iter().enumerate() {
        if named.contains(&other.key) && rules::after(dossier, t, other.key).is_some() {
            act.never.add(i);
        }
    }
}

/// What the rules put in before or after other acts.
fn put_in(dossier: &Dossier) -> Vec<&'static str> {
    let puts = |r: &&Rule| {
        matches!(
            r.verdict,
            RuleVerdict::NeedsAfter | RuleVerdict::NeedsBefore
        )
    };
    let rules = dossier.rules().iter().filter(puts);
    rules.flat_map(|r| r.acts.iter().copied()).collect()
}

/// Whether nothing that must follow an act is done at the stage of this wine, as no wine is racked
/// off its fining while it ferments.
fn is_later(dossier: &Dossier, r: &Rule) -> bool {
    let now = |t: &Treatment| dossier.stage.is_none_or(|s| t.stages.contains(&s));
    let mut acts = r.acts.iter().filter_map(|k| treatment(k));
    r.verdict == RuleVerdict::NeedsAfter && !acts.any(now)
}

/// Whether a rule shuts an act out for a need of this wine, whatever is done before it: then it is
/// not put in either.
fn is_shut_for_a_need(dossier: &Dossier, t: &Treatment) -> bool {
    let whatever = |key: &str| {
        let rule = dossier.rules().iter().find(|r| r.key == key);
        let mut asked = rule.into_iter().flat_map(|r| r.when).flat_map(|c| c.any);
        !asked.any(|q| q.not && !q.done.is_empty())
    };
    let shuts = |r: &rules::Ruling| r.because() == rules::Kind::Rule && whatever(r.rule);
    let of = |p: &Problem| rules::against(dossier, t, Some(*p));
    dossier.problems.iter().flat_map(of).any(|r| shuts(&r))
}

/// What must follow an act and what must come before it, as indices.
fn link(dossier: &Dossier, act: &mut Act, t: &Treatment, all: &[&'static Treatment], cost: &[f64]) {
    let index = |k: &'static str| all.iter().position(|t| t.key == k);
    let dear = |i: &usize| cost.get(*i).copied().unwrap_or(f64::INFINITY);
    let asks = |r: &Rule| {
        let own = r.acts.iter().filter_map(|k| treatment(k));
        let fits = own.filter(|t| !is_shut_for_a_need(dossier, t));
        let mut any: Vec<usize> = fits.filter_map(|t| index(t.key)).collect();
        crate::sorting::sort(&mut any, &mut |a, b| dear(a).total_cmp(&dear(b)));
        // What is put in does as well where it is chosen.
        let mut instead = Set::default();
        let keys = r.acts.iter().chain(r.unless);
        keys.filter_map(|k| index(k)).for_each(|i| instead.add(i));
        Asks {
            any,
            instead,
            // What is only better with it is done without; what comes at a later stage comes there.
            spared: r.strength == Strength::Preference || is_later(dossier, r),
            once: r.once,
        }
    };
    for r in order::rows(dossier, t, RuleVerdict::NeedsAfter) {
        if act.after.is_none() {
            act.after = Some(asks(r));
        }
        // What is tried on the bench and follows at once is tried in the same glasses.
        let tried = |t: &Treatment| t.dose.is_some_and(|d| d.by_trial);
        let agents = all
            .iter()
            .enumerate()
            .filter(|(_, o)| r.unless.contains(&o.key));
        agents
            .filter(|(_, o)| tried(t) && tried(o))
            .for_each(|(i, _)| act.together.add(i));
    }
    // What the log has done, and what therefore waits for a test, is not asked for again.
    let logged = |r: &Rule| dossier.acts().any(|a| r.acts.contains(&a.key.as_str()));
    act.before = order::rows(dossier, t, RuleVerdict::NeedsBefore)
        .into_iter()
        .map(|r| (r, asks(r)))
        .filter(|(r, asks)| !(asks.any.is_empty() && logged(r)))
        .map(|(_, asks)| asks)
        .collect();
    // What comes first is put in first.
    let place = |a: &Asks| a.any.iter().copied().min();
    crate::sorting::sort(&mut act.before, &mut |a, b| place(a).cmp(&place(b)));
    let ahead = order::rows(dossier, t, RuleVerdict::GoesBefore);
    let later = ahead.iter().flat_map(|r| r.acts);
    later
        .filter_map(|k| index(k))
        .for_each(|i| act.ahead.add(i));
}

/// The acts that it stands hours behind.
fn stand_apart(dossier: &Dossier, act: &mut Act, t: &Treatment, all: &[&'static Treatment]) {
    for behind in order::stands_behind(dossier, t) {
        let from = all.iter().position(|t| t.key == behind.earlier);
        act.apart.extend(from.map(|from| Apart {
            from,
            days: behind.hours / 24.0,
        }));
    }
}

/// The needs that must be met before it.
fn gate(dossier: &Dossier, act: &mut Act, t: &Treatment, needs: &[About]) {
    let gates = order::gates(dossier, t);
    let guards = needs.iter().enumerate();
    act.guards = guards
        .filter(|(_, n)| gates.contains(&n.problem.quantity))
        .map(|(at, _)| at)
        .collect();
}
