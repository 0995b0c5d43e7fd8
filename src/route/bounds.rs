//! What can be said of a route before it is whole: the least that is still to come. Each bound
//! leaves things out only on the
//! side that cuts less off, so that the search stays exact.

use super::model::{Act, Counts, Effect, Instance, Label, Need};

/// Needs for which the least that is still to come is told together; others are left out, which
/// only asks for less.
const TOGETHER: usize = 6;

/// How far a need is from being met: not at all; so far that any decision that moves it could do;
/// or so far that it takes one
/// that is strong for it, or two that are not.
type Demand = u8;
const STRONG: Demand = 2;

/// What a need asks of further decisions.
#[derive(Debug, Clone, Copy)]
pub struct Ask {
    demand: Demand,
    /// Least share of the draws in which what answers it is done: those that may be missed are left
    /// out, and where two weak
    /// ones answer, those in which one would do.
    share: f64,
}

/// Least value over its ceiling that rounding cannot have lifted there.
const JUST_ABOVE: f64 = 1.0 + 1e-9;

/// The bit of a need or a draw; those beyond the sixty-fourth have none, and so cut nothing off.
pub fn bit(at: usize) -> u64 {
    if at < 64 { 1 << at } else { 0 }
}

/// How far a need is from its band on a route, by draw.
#[derive(Debug)]
struct Gap {
    /// Draws in which it is required and its value too high, as bits.
    above: u64,
    /// The value over its ceiling, once what the last act asks for has done its best.
    by: Vec<f64>,
}

/// What is still to be met on a route.
#[derive(Debug)]
pub struct Open {
    gaps: Vec<Gap>,
    /// Needs that are unmet in any draw, as bits.
    any: u64,
    /// What each need asks of further decisions.
    pub asks: Vec<Ask>,
}

/// Bounds of an instance.
#[derive(Debug)]
pub struct Bounds {
    /// Draws.
    draws: f64,
    /// Draws that may miss the target.
    allowed: f64,
    /// Needs for which each act is done, as bits.
    removes: Vec<u64>,
    /// How far a decision on each act answers what each need asks for.
    answers: Vec<Vec<Demand>>,
    /// Least share left that any one decision could bring that is not strong for the need, by need
    /// and draw.
    weak: Vec<Vec<f64>>,
    /// Least share left that a decision on each act could bring, with what the rules put in beside it,
    /// by need and draw.
    alone: Vec<Vec<Vec<f64>>>,
    /// The same for what each act asks for after it.
    closing: Vec<Vec<Vec<f64>>>,
    /// The same for any one decision from a place on, by place, need and draw.
    later: Vec<Vec<Vec<f64>>>,
    /// Least counts of decisions that together answer what the needs ask for, by place of the first
    /// act and by those demands.
    least: Vec<Vec<Counts>>,
    /// The needs of those demands: required ones, since what only guards an act asks for nothing.
    together: Vec<usize>,
}

/// What the rules may put in beside an act, by place.
fn put_in(act: &Act) -> impl Iterator<Item = usize> {
    let asks = act.after.iter().chain(&act.before);
    asks.flat_map(|a| a.any.iter().copied())
}

/// Acts with all that may be put in beside them, as often as it may be: what is put in asks for its
/// own.
fn with_beside(on: &Instance, acts: impl Iterator<Item = usize>) -> Vec<&Act> {
    let mut all = Vec::new();
    let mut open: Vec<usize> = acts.collect();
    while let Some(act) = open.pop().and_then(|i| on.acts.get(i)) {
        open.extend(put_in(act));
        all.push(act);
    }
    all
}

/// The same without the act itself.
fn beside<'a>(on: &'a Instance, act: &Act) -> Vec<&'a Act> {
    with_beside(on, put_in(act))
}

/// The share that an effect leaves at its best, by draw: an addition below zero could bring
/// anything down.
fn at_best(e: &Effect, draw: usize) -> f64 {
    if e.add.iter().any(|a| *a < 0.0) {
        0.0
    } else {
        e.left
            .iter()
            .filter_map(|l| l.get(draw))
            .fold(1.0, |m, x| m.min(*x))
    }
}

/// The least share left that acts together could bring, by need and draw.
fn together<'a>(on: &Instance, acts: impl Iterator<Item = &'a Act>) -> Vec<Vec<f64>> {
    let mut all = vec![vec![1.0; on.draws]; on.needs.len()];
    for e in acts.flat_map(|a| &a.effects) {
        all.get_mut(e.need)
            .into_iter()
            .flatten()
            .enumerate()
            .for_each(|(draw, x)| *x *= at_best(e, draw));
    }
    all
}

fn take_less_of(to: &mut [f64], from: &[f64]) {
    to.iter_mut().zip(from).for_each(|(x, y)| *x = x.min(*y));
}

fn take_less(to: &mut [Vec<f64>], from: &[Vec<f64>]) {
    to.iter_mut()
        .zip(from)
        .for_each(|(x, y)| take_less_of(x, y));
}

/// What a decision adds to each count at the least, in a draw in which the need is met by it or by
/// what is put in beside it.
fn adds(on: &Instance, act: &Act, is_put_in: bool) -> Counts {
    let put_in = beside(on, act).into_iter();
    let helps: Vec<&Act> = std::iter::once(act)
        .chain(put_in.filter(|a| !a.effects.is_empty()))
        .collect();
    let smallest = |v: &[f64]| v.iter().fold(f64::INFINITY, |m, x| m.min(*x)).max(0.0);
    let money = |a: &Act| {
        let dose = a.rungs.first().copied().unwrap_or(0.0);
        smallest(
            &a.fixed
                .iter()
                .zip(&a.per_dose)
                .map(|(f, d)| f + d * dose)
                .collect::<Vec<f64>>(),
        )
    };
    let impact = |a: &Act| {
        if a.impact.is_empty() {
            0.0
        } else {
            smallest(&a.impact)
        }
    };
    Counts {
        money: helps.iter().map(|a| money(a)).fold(f64::INFINITY, f64::min),
        days: if act.at_filler { 0.0 } else { act.days },
        impact: helps
            .iter()
            .map(|a| impact(a))
            .fold(f64::INFINITY, f64::min),
        origin: act.origin,
        labels: u32::from(act.stays && !is_put_in),
        unsure: act.unsure,
        hired: act.hired,
        decisions: 1,
    }
}

/// Demands as one number, the first need counting least.
fn index(demands: impl DoubleEndedIterator<Item = Demand>) -> usize {
    demands.rev().fold(0, |n, d| n * 3 + usize::from(d))
}

fn least(on: &Instance, answers: &[Vec<Demand>], together: &[usize]) -> Vec<Vec<Counts>> {
    let states = together.iter().fold(1, |n, _| n * 3);
    let mut here: Vec<Counts> = (0..states)
        .map(|state| {
            if state == 0 {
                Counts::default()
            } else {
                Counts::MOST
            }
        })
        .collect();
    let mut all = vec![here.clone()];
    for (i, (act, answers)) in on.acts.iter().zip(answers).enumerate().rev() {
        if act.decidable {
            let is_put_in = on.acts.iter().flat_map(put_in).any(|x| x == i);
            let adds = adds(on, act, is_put_in);
            let after = here.clone();
            for (state, counts) in here.iter_mut().enumerate() {
                let (mut rest, mut left, mut place) = (state, 0, 1);
                for answer in together.iter().filter_map(|n| answers.get(*n)) {
                    left += (rest % 3).saturating_sub(usize::from(*answer)) * place;
                    rest /= 3;
                    place *= 3;
                }
                let Some(rest) = after.get(left) else {
                    continue;
                };
                *counts = counts.least(&rest.plus(&adds));
            }
        }
        all.push(here.clone());
    }
    all.reverse();
    all
}

impl Bounds {
    /// Of an instance.
    pub fn of(on: &Instance) -> Bounds {
        let allowed = on.draws as f64 * (1.0 - on.target) + 1e-9;
        let alone: Vec<Vec<Vec<f64>>> = on
            .acts
            .iter()
            .map(|a| together(on, std::iter::once(a).chain(beside(on, a))))
            .collect();
        let (mut weak, mut answers) = (
            vec![vec![1.0; on.draws]; on.needs.len()],
            Vec::with_capacity(on.acts.len()),
        );
        for (act, alone) in on.acts.iter().zip(&alone) {
            let mut answer = vec![0; on.needs.len()];
            for e in std::iter::once(act)
                .chain(beside(on, act))
                .flat_map(|a| &a.effects)
            {
                let (Some(slot), Some(need), Some(alone)) = (
                    answer.get_mut(e.need),
                    on.needs.get(e.need),
                    alone.get(e.need),
                ) else {
                    continue;
                };
                let unmet = need
                    .start
                    .iter()
                    .zip(alone)
                    .filter(|(v, l)| *v * *l >= need.ceiling)
                    .count() as f64;
                *slot = if unmet > allowed { 1 } else { STRONG };
            }
            for ((weak, alone), _) in weak
                .iter_mut()
                .zip(alone)
                .zip(&answer)
                .filter(|(_, d)| act.decidable && **d == 1)
            {
                take_less_of(weak, alone);
            }
            answers.push(answer);
        }
        let mut here = vec![vec![1.0; on.draws]; on.needs.len()];
        let mut later = vec![here.clone()];
        for (act, alone) in on.acts.iter().zip(&alone).rev() {
            if act.decidable {
                take_less(&mut here, alone);
            }
            later.push(here.clone());
        }
        later.reverse();
        let required: Vec<usize> = (0..on.needs.len())
            .filter(|i| on.needs.get(*i).is_some_and(|n| n.required))
            .take(TOGETHER)
            .collect();
        Bounds {
            draws: on.draws.max(1) as f64,
            allowed,
            removes: on
                .acts
                .iter()
                .map(|a| {
                    a.effects
                        .iter()
                        .filter(|e| e.removes)
                        .fold(0, |m, e| m | bit(e.need))
                })
                .collect(),
            alone,
            closing: on
                .acts
                .iter()
                .map(|a| {
                    let any = a.after.iter().flat_map(|x| x.any.iter().copied());
                    together(on, with_beside(on, any).into_iter())
                })
                .collect(),
            least: least(on, &answers, &required),
            together: required,
            answers,
            weak,
            later,
        }
    }

    /// What is still to be met on a route.
    pub fn open(&self, on: &Instance, label: &Label) -> Open {
        let closing = label.done.last().and_then(|d| self.closing.get(d.act));
        let mut open = Open {
            gaps: Vec::with_capacity(on.needs.len()),
            any: 0,
            asks: Vec::with_capacity(on.needs.len()),
        };
        for (at, (need, values)) in on.needs.iter().zip(&label.values).enumerate() {
            let gap = self.gap(need, values, closing.and_then(|c| c.get(at)));
            open.any |= if values.iter().any(|v| !need.met(*v)) {
                bit(at)
            } else {
                0
            };
            open.asks.push(self.ask(&gap, at));
            open.gaps.push(gap);
        }
        open
    }

    fn ask(&self, gap: &Gap, need: usize) -> Ask {
        let (mut left, mut left_by_weak) = (0_u32, 0_u32);
        let weak = self.weak.get(need).map_or(&[][..], |w| w);
        let mut above = gap.above;
        while above != 0 {
            let draw = above.trailing_zeros() as usize;
            above &= above - 1;
            let (Some(by), Some(weak)) = (gap.by.get(draw), weak.get(draw)) else {
                break;
            };
            left += u32::from(*by > JUST_ABOVE);
            left_by_weak += u32::from(by * weak > JUST_ABOVE);
        }
        self.asks(left, left_by_weak)
    }

    /// What a need asks for by the draws in which it is still unmet, and would be after a decision
    /// that is not strong for it.
    fn asks(&self, left: u32, left_by_weak: u32) -> Ask {
        let over = |n: u32| (f64::from(n) - self.allowed).max(0.0);
        let (any, strong) = (over(left), over(left_by_weak));
        let (demand, some) = match (any, strong) {
            (0.0, _) => (0, 0.0),
            (some, 0.0) => (1, some),
            (_, some) => (STRONG, some),
        };
        Ask {
            demand,
            share: some / self.draws,
        }
    }

    fn gap(&self, need: &Need, values: &[f64], closing: Option<&Vec<f64>>) -> Gap {
        let mut gap = Gap {
            above: 0,
            by: Vec::with_capacity(values.len()),
        };
        for (draw, v) in values.iter().enumerate() {
            let is_above = need.required && *v >= need.ceiling;
            gap.above |= if is_above { bit(draw) } else { 0 };
            // Where it is met nobody asks how far it was.
            gap.by.push(if is_above {
                v * closing.and_then(|c| c.get(draw)).copied().unwrap_or(1.0) / need.ceiling
            } else {
                0.0
            });
        }
        gap
    }

    /// Whether an act would do nothing for what is open.
    pub fn is_idle(&self, open: &Open, index: usize) -> bool {
        open.any & self.removes.get(index).copied().unwrap_or(0) == 0
    }

    /// What they ask still adds to the counts, by decisions from a place on.
    pub fn still(&self, asks: &[Ask], from: usize) -> Counts {
        let of = || self.together.iter().filter_map(|n| asks.get(*n));
        let asked = of().map(|a| a.demand);
        let Some(mut counts) = self
            .least
            .get(from)
            .and_then(|l| l.get(index(asked)).copied())
        else {
            return Counts::MOST;
        };
        // Money is spent and impact made only in the draws in which something is done.
        let share = of()
            .filter(|a| a.demand > 0)
            .fold(1.0_f64, |m, a| m.min(a.share));
        counts.money *= share;
        counts.impact *= share;
        counts
    }

    /// What a decision on an act leaves for later ones, before anything is worked out. In how many
    /// draws it leaves a need that
    /// it moves is not known then.
    pub fn left_by(&self, open: &Open, act: usize, to: &mut Vec<Ask>) {
        to.clear();
        let answers = self.answers.get(act).map_or(&[][..], |a| a);
        to.extend(open.asks.iter().zip(answers).map(|(ask, answer)| {
            if *answer == 0 {
                *ask
            } else {
                Ask {
                    demand: ask.demand.saturating_sub(*answer),
                    share: 0.0,
                }
            }
        }));
    }

    /// The same with the act at its best in each draw; false where so many decisions, itself
    /// counted, cannot reach the target.
    pub fn could(&self, open: &Open, act: usize, decisions: usize, to: &mut Vec<Ask>) -> bool {
        to.clear();
        let (Some(alone), Some(later)) = (self.alone.get(act), self.later.get(act + 1)) else {
            return false;
        };
        let mut lost = 0_u64;
        for (((gap, alone), later), weak) in open.gaps.iter().zip(alone).zip(later).zip(&self.weak)
        {
            let mut above = gap.above;
            let (mut left, mut left_by_weak) = (0_u32, 0_u32);
            while above != 0 {
                let draw = above.trailing_zeros() as usize;
                above &= above - 1;
                let of = |list: &[f64]| list.get(draw).copied().unwrap_or(0.0);
                let mut x = of(&gap.by) * of(alone);
                if x > JUST_ABOVE {
                    left += 1;
                    left_by_weak += u32::from(x * of(weak) > JUST_ABOVE);
                    let each = of(later);
                    (1..decisions).for_each(|_| x *= each);
                    lost |= if x > JUST_ABOVE { bit(draw) } else { 0 };
                }
            }
            // A draw that is lost for one need is lost for all.
            if f64::from(lost.count_ones()) > self.allowed {
                return false;
            }
            to.push(self.asks(left, left_by_weak));
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two rungs that leave 0.5 and 0.25 in the first draw, 0.8 and 0.64 in the second. An amount
    /// taken away on top may leave
    /// nothing, so that no bound may count on the share.
    #[test]
    fn an_amount_taken_away_may_leave_nothing() {
        let effect = |add: [f64; 2]| Effect {
            left: vec![vec![0.5, 0.8], vec![0.25, 0.64]],
            add: add.to_vec(),
            ..Effect::default()
        };
        let best = |e: &Effect| (at_best(e, 0), at_best(e, 1));
        assert_eq!(best(&effect([0.0, 0.0])), (0.25, 0.64));
        assert_eq!(best(&effect([0.0, 0.1])), (0.25, 0.64));
        assert_eq!(best(&effect([-0.1, -0.2])), (0.0, 0.0));
    }
}
