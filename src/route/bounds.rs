//! What can be said of a route before it is whole: the least that is still to come. Each bound leaves things out only on the
//! side that cuts less off, so that the search stays exact.

use super::model::{Act, COUNTS, Counts, Effect, Instance, Label, Need};

/// Needs for which the least that is still to come is told together; others are left out, which only asks for less.
const TOGETHER: usize = 8;

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
    /// Needs that only a further decision can meet, as bits.
    pub needs: u64,
    /// Least share of the draws in which each need must still be met, beyond those that may be missed.
    shares: Vec<f64>,
}

/// Bounds of an instance.
#[derive(Debug)]
pub struct Bounds {
    /// Draws that may miss the target.
    allowed: f64,
    /// Needs for which each act is done, as bits.
    removes: Vec<u64>,
    /// Needs that a decision on each act may move, with what links put in beside it, as bits.
    moves: Vec<u64>,
    /// Least share left that a decision on each act could bring, with what links put in beside it, by need and draw.
    alone: Vec<Vec<Vec<f64>>>,
    /// The same for what each act asks for after it.
    closing: Vec<Vec<Vec<f64>>>,
    /// The same for any one decision from a place on, by place, need and draw.
    later: Vec<Vec<Vec<f64>>>,
    /// Least counts of decisions that together move every need of a set, by place of the first act and by the set's bits.
    least: Vec<Vec<Counts>>,
}

/// What links may put in beside an act.
fn beside<'a>(on: &'a Instance, act: &'a Act) -> impl Iterator<Item = &'a Act> {
    act.after.iter().map(|a| a.0).chain(act.before.iter().map(|b| b.0)).filter_map(|i| on.acts.get(i))
}

/// The needs that acts may move, as bits.
fn moved<'a>(acts: impl Iterator<Item = &'a Act>) -> u64 {
    acts.flat_map(|a| &a.effects).fold(0, |m, e| m | bit(e.need))
}

/// The share that an effect leaves at its best, by draw: an addition below zero could bring anything down.
fn at_best(e: &Effect, draw: usize) -> f64 {
    if e.add.iter().any(|a| *a < 0.0) { 0.0 } else { e.left.iter().filter_map(|l| l.get(draw)).fold(1.0, |m, x| m.min(*x)) }
}

/// The least share left that acts together could bring, by need and draw.
fn together<'a>(on: &Instance, acts: impl Iterator<Item = &'a Act>) -> Vec<Vec<f64>> {
    let mut all = vec![vec![1.0; on.draws]; on.needs.len()];
    for e in acts.flat_map(|a| &a.effects) {
        all.get_mut(e.need).into_iter().flatten().enumerate().for_each(|(draw, x)| *x *= at_best(e, draw));
    }
    all
}

fn take_less(to: &mut [Vec<f64>], from: &[Vec<f64>]) {
    to.iter_mut().flatten().zip(from.iter().flatten()).for_each(|(x, y)| *x = x.min(*y));
}

/// What a decision adds to each count at the least, in a draw in which the need is met by it or by what is put in beside it.
fn adds(on: &Instance, act: &Act, is_put_in: bool) -> Counts {
    let helps: Vec<&Act> = std::iter::once(act).chain(beside(on, act).filter(|a| !a.effects.is_empty())).collect();
    let smallest = |v: &[f64]| v.iter().fold(f64::INFINITY, |m, x| m.min(*x)).max(0.0);
    let money = |a: &Act| {
        let dose = a.rungs.first().copied().unwrap_or(0.0);
        smallest(&a.fixed.iter().zip(&a.per_dose).map(|(f, d)| f + d * dose).collect::<Vec<f64>>())
    };
    let impact = |a: &Act| if a.impact.is_empty() { 0.0 } else { smallest(&a.impact) };
    [
        helps.iter().map(|a| money(a)).fold(f64::INFINITY, f64::min),
        if act.at_filler { 0.0 } else { act.days },
        helps.iter().map(|a| impact(a)).fold(f64::INFINITY, f64::min),
        f64::from(act.origin),
        f64::from(u8::from(act.stays && !is_put_in)),
        f64::from(u8::from(act.unsure)),
        1.0,
    ]
}

/// Counts of a route with these more: most add up, the worst of origin and of what is not verified holds.
pub fn plus(a: &Counts, b: &Counts) -> Counts {
    let [money, days, impact, origin, labels, unsure, decisions] = *a;
    [money + b[0], days + b[1], impact + b[2], origin.max(b[3]), labels + b[4], unsure.max(b[5]), decisions + b[6]]
}

fn least(on: &Instance, moves: &[u64]) -> Vec<Vec<Counts>> {
    let sets = 1_usize << on.needs.len().min(TOGETHER);
    let mut here: Vec<Counts> = (0..sets).map(|set| [if set == 0 { 0.0 } else { f64::INFINITY }; COUNTS]).collect();
    let mut all = vec![here.clone()];
    for (i, (act, moves)) in on.acts.iter().zip(moves).enumerate().rev() {
        if act.decidable {
            let is_put_in = on.acts.iter().any(|a| a.after.iter().map(|x| x.0).chain(a.before.iter().map(|x| x.0)).any(|x| x == i));
            let adds = adds(on, act, is_put_in);
            let after = here.clone();
            for (set, counts) in here.iter_mut().enumerate() {
                let Some(rest) = after.get(set & !(*moves as usize)) else { continue };
                counts.iter_mut().zip(plus(rest, &adds)).for_each(|(c, w)| *c = c.min(w));
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
        let moves: Vec<u64> = on.acts.iter().map(|a| moved(std::iter::once(a).chain(beside(on, a)))).collect();
        // One act is put in after the last, and one for each link before it.
        let times = 1 + on.acts.iter().map(|a| a.before.len()).max().unwrap_or(0);
        let mut puts = vec![vec![1.0; on.draws]; on.needs.len()];
        for a in on.acts.iter().flat_map(|a| beside(on, a)) {
            take_less(&mut puts, &together(on, std::iter::once(a)));
        }
        puts.iter_mut().flatten().for_each(|x| *x = libm::pow(*x, times as f64));
        let mut here = vec![vec![1.0; on.draws]; on.needs.len()];
        let with_puts = |here: &[Vec<f64>]| here.iter().zip(&puts).map(|(a, b)| a.iter().zip(b).map(|(x, y)| x * y).collect()).collect::<Vec<Vec<f64>>>();
        let mut later = vec![with_puts(&here)];
        for act in on.acts.iter().rev() {
            if act.decidable {
                take_less(&mut here, &together(on, std::iter::once(act)));
            }
            later.push(with_puts(&here));
        }
        later.reverse();
        Bounds {
            allowed: on.draws as f64 * (1.0 - on.target) + 1e-9,
            removes: on.acts.iter().map(|a| a.effects.iter().filter(|e| e.removes).fold(0, |m, e| m | bit(e.need))).collect(),
            alone: on.acts.iter().map(|a| together(on, std::iter::once(a).chain(beside(on, a)))).collect(),
            closing: on.acts.iter().map(|a| together(on, a.after.iter().filter_map(|(i, _)| on.acts.get(*i)))).collect(),
            least: least(on, &moves),
            moves,
            later,
        }
    }

    /// What is still to be met on a route.
    pub fn open(&self, on: &Instance, label: &Label) -> Open {
        let last = label.done.last().map(|d| d.act);
        let closing = last.and_then(|i| self.closing.get(i));
        let pending = last.and_then(|i| on.acts.get(i)?.after.as_ref()).and_then(|(i, _)| on.acts.get(*i)).map_or(0, |a| moved(std::iter::once(a)));
        let draws = on.draws.max(1) as f64;
        let mut open = Open { gaps: Vec::with_capacity(on.needs.len()), any: 0, needs: 0, shares: Vec::with_capacity(on.needs.len()) };
        for (at, (need, values)) in on.needs.iter().zip(&label.values).enumerate() {
            open.gaps.push(self.gap(need, values, closing.and_then(|c| c.get(at))));
            let unmet = values.iter().filter(|v| !need.met(**v)).count() as f64;
            open.any |= if unmet > 0.0 { bit(at) } else { 0 };
            open.needs |= if need.required && unmet > self.allowed && pending & bit(at) == 0 { bit(at) } else { 0 };
            open.shares.push((unmet - self.allowed).max(0.0) / draws);
        }
        open
    }

    fn gap(&self, need: &Need, values: &[f64], closing: Option<&Vec<f64>>) -> Gap {
        let mut gap = Gap { above: 0, by: Vec::with_capacity(values.len()) };
        for (draw, v) in values.iter().enumerate() {
            gap.above |= if need.required && *v >= need.ceiling { bit(draw) } else { 0 };
            gap.by.push(v * closing.and_then(|c| c.get(draw)).copied().unwrap_or(1.0) / need.ceiling);
        }
        gap
    }

    /// Whether an act would do nothing for what is open.
    pub fn is_idle(&self, open: &Open, index: usize) -> bool {
        open.any & self.removes.get(index).copied().unwrap_or(0) == 0
    }

    /// What these needs still add to the counts, by decisions from a place on.
    pub fn still(&self, open: &Open, needs: u64, from: usize) -> Counts {
        let by_set = self.least.get(from).map_or(&[][..], |l| l);
        let set = needs as usize & by_set.len().saturating_sub(1);
        let mut counts = by_set.get(set).copied().unwrap_or_default();
        // Nothing is spent in the draws that may be missed.
        let share = open.shares.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1).fold(1.0_f64, |m, (_, s)| m.min(*s));
        counts[0] *= share;
        counts[2] *= share;
        counts
    }

    /// The needs that an act leaves to later ones, before anything is worked out.
    pub fn left_by(&self, open: &Open, index: usize) -> u64 {
        open.needs & !self.moves.get(index).copied().unwrap_or(0)
    }

    /// The needs that a decision on an act leaves to later ones even at its best, or None where so many decisions, itself
    /// counted, cannot reach the target.
    pub fn could(&self, open: &Open, index: usize, decisions: usize) -> Option<u64> {
        self.best(open, self.alone.get(index)?, index + 1, decisions.checked_sub(1)?)
    }

    fn best(&self, open: &Open, alone: &[Vec<f64>], from: usize, more: usize) -> Option<u64> {
        let later = self.later.get(from)?;
        let (mut lost, mut needs) = (0_u64, 0_u64);
        for (at, ((gap, alone), later)) in open.gaps.iter().zip(alone).zip(later).enumerate() {
            let mut above = gap.above;
            let mut left = 0_u32;
            while above != 0 {
                let draw = above.trailing_zeros() as usize;
                above &= above - 1;
                let of = |list: &[f64]| list.get(draw).copied().unwrap_or(0.0);
                let mut x = of(&gap.by) * of(alone);
                if x > JUST_ABOVE {
                    left += 1;
                    let each = of(later);
                    (0..more).for_each(|_| x *= each);
                    lost |= if x > JUST_ABOVE { bit(draw) } else { 0 };
                }
            }
            // A draw that is lost for one need is lost for all.
            if f64::from(lost.count_ones()) > self.allowed {
                return None;
            }
            needs |= if f64::from(left) > self.allowed { bit(at) } else { 0 };
        }
        Some(needs)
    }
}
