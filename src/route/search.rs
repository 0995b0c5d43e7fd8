//! The search: every route of up to so many decisions that reaches the target and that no other beats on all counts.
//! Exact within the model: what is cut off could only be beaten, or could never reach the target.

use super::model::{Act, Counts, Effect, Instance, Label};

/// A route that no other beats.
#[derive(Debug, Clone)]
pub struct Found {
    /// Decisions, in their order.
    pub decisions: Vec<usize>,
    /// What it is judged by.
    pub counts: Counts,
}

/// What a search brought.
#[derive(Debug, Clone, Default)]
pub struct Front {
    /// Routes that no other beats, in the order found.
    pub routes: Vec<Found>,
    /// Routes looked at, whole or in part.
    pub tried: usize,
    /// Best share of draws met by any route looked at, for the case that none reaches the target.
    pub best: f64,
    /// The decisions of that route.
    pub best_decisions: Vec<usize>,
    /// True where the search was stopped before its end, so that a better route may exist.
    pub stopped: bool,
}

/// Most routes looked at before the search stops and says so.
pub const MOST_TRIED: usize = 400_000;

fn no_worse(a: &Counts, b: &Counts) -> bool {
    a.iter().zip(b).all(|(x, y)| *x <= *y + 1e-12)
}

/// What can be said of the acts from a place on, for one need.
#[derive(Debug, Clone)]
struct Bound {
    /// Least share left that one more decision could bring, by draw, with what links put in beside it.
    left: Vec<f64>,
    /// Least share left that what the last act asks for could bring.
    closing: Vec<f64>,
    /// Least days, money and decisions, each shared over the needs that an act serves.
    days: f64,
    money: f64,
    decisions: f64,
}

struct Search<'a> {
    on: &'a Instance,
    front: Front,
    /// By place of the first act that may still be decided on, then by need.
    bounds: Vec<Vec<Bound>>,
    /// Needs that a decision on each act may move, with what links put in beside it, as bits.
    moves: Vec<u64>,
    /// Most needs that a decision may move.
    most_moves: u32,
    /// Least share left that what each act asks for after it could bring, by need and draw.
    closing: Vec<Vec<Vec<f64>>>,
    /// Least share left that a decision on each act could bring, with what links put in beside it, by need and draw.
    alone: Vec<Vec<Vec<f64>>>,
}

/// Searches.
pub fn search(on: &Instance) -> Front {
    let moves: Vec<u64> = on.acts.iter().map(|a| touched(on, a).into_iter().fold(0, |m, need| m | bit(need))).collect();
    let most_moves = on.acts.iter().zip(&moves).filter(|(a, _)| a.decidable).map(|(_, m)| m.count_ones()).max().unwrap_or(0);
    let mut s = Search { on, front: Front::default(), bounds: bounds(on), moves, most_moves, alone: Vec::new(), closing: Vec::new() };
    s.alone = on.acts.iter().map(|a| least(on, std::iter::once(a).chain(put_beside(on, a)))).collect();
    s.closing = on.acts.iter().map(|a| least(on, a.after.iter().filter_map(|(i, _)| on.acts.get(*i)))).collect();
    let start = on.start();
    s.close(&start, &[]);
    if s.front.routes.is_empty() {
        // Few decisions first: what they find cuts the rest.
        for decisions in 1..=on.decisions {
            s.extend(&start, &mut Vec::new(), 0, decisions);
        }
    }
    s.front
}

/// The least that an act costs in a draw in which it is done.
fn least_money(act: &Act) -> f64 {
    let smallest = act.rungs.first().copied().unwrap_or(0.0);
    act.fixed.iter().zip(&act.per_dose).map(|(f, d)| f + d * smallest).fold(f64::INFINITY, f64::min)
}

/// What links may put in beside an act.
fn put_beside<'a>(on: &'a Instance, act: &'a Act) -> impl Iterator<Item = &'a Act> {
    act.after.iter().map(|a| a.0).chain(act.before.iter().map(|b| b.0)).filter_map(|i| on.acts.get(i))
}

/// The needs that a decision on an act may move: by its own effects and those of what links put in beside it.
fn touched(on: &Instance, act: &Act) -> Vec<usize> {
    let mut needs: Vec<usize> = Vec::new();
    for e in act.effects.iter().chain(put_beside(on, act).flat_map(|a| &a.effects)) {
        if !needs.contains(&e.need) {
            needs.push(e.need);
        }
    }
    needs
}

/// The bit of a need; needs beyond the sixty-fourth share one that is never missed.
fn bit(need: usize) -> u64 {
    if need < 64 { 1 << need } else { 0 }
}

/// The least share left that acts together could bring, by need and draw.
fn least<'a>(on: &Instance, acts: impl Iterator<Item = &'a Act>) -> Vec<Vec<f64>> {
    let mut all = vec![vec![1.0; on.draws]; on.needs.len()];
    for e in acts.flat_map(|a| &a.effects) {
        let Some(left) = all.get_mut(e.need) else { continue };
        let falls = e.add.iter().any(|a| *a < 0.0);
        for (draw, x) in left.iter_mut().enumerate() {
            *x *= if falls { 0.0 } else { e.left.iter().filter_map(|l| l.get(draw)).fold(1.0_f64, |m, y| m.min(*y)) };
        }
    }
    all
}

fn bounds(on: &Instance) -> Vec<Vec<Bound>> {
    let none = Bound { left: vec![1.0; on.draws], closing: vec![1.0; on.draws], days: f64::INFINITY, money: f64::INFINITY, decisions: f64::INFINITY };
    let lower = |to: &mut Bound, e: &Effect| {
        // A negative addition could bring anything down.
        let falls = e.add.iter().any(|a| *a < 0.0);
        for (draw, b) in to.left.iter_mut().enumerate() {
            let here = e.left.iter().filter_map(|l| l.get(draw)).fold(1.0_f64, |m, x| m.min(*x));
            *b = if falls { 0.0 } else { b.min(here) };
        }
    };
    // What links may put in beside a decision: one act after the last, and one for each link before it.
    let mut beside = vec![none.clone(); on.needs.len()];
    let mut times = 1;
    for act in &on.acts {
        times = times.max(act.before.len() + 1);
        for a in act.after.iter().map(|a| a.0).chain(act.before.iter().map(|b| b.0)).filter_map(|i| on.acts.get(i)) {
            a.effects.iter().for_each(|e| beside.get_mut(e.need).into_iter().for_each(|b| lower(b, e)));
        }
    }
    let mut here = vec![none; on.needs.len()];
    let mut all = Vec::with_capacity(on.acts.len() + 1);
    let with = |here: &Vec<Bound>| {
        let mut with = here.clone();
        for (w, b) in with.iter_mut().zip(&beside) {
            w.closing.clone_from(&b.left);
            w.left.iter_mut().zip(&b.left).for_each(|(x, y)| (0..times).for_each(|_| *x *= y));
        }
        with
    };
    all.push(with(&here));
    for act in on.acts.iter().rev() {
        if act.decidable {
            let touched = touched(on, act);
            let serves = touched.len().max(1) as f64;
            let money = std::iter::once(act).chain(put_beside(on, act)).map(least_money).fold(f64::INFINITY, f64::min);
            act.effects.iter().for_each(|e| here.get_mut(e.need).into_iter().for_each(|b| lower(b, e)));
            for need in touched {
                let Some(b) = here.get_mut(need) else { continue };
                b.days = b.days.min(if act.at_filler { 0.0 } else { act.days / serves });
                b.money = b.money.min(money / serves);
                b.decisions = b.decisions.min(1.0 / serves);
            }
        }
        all.push(with(&here));
    }
    all.reverse();
    all
}

impl Search<'_> {
    fn is_beaten(&self, counts: &Counts) -> bool {
        self.front.routes.iter().any(|f| no_worse(&f.counts, counts))
    }

    /// Closes a route and keeps it where nothing found beats it.
    fn close(&mut self, label: &Label, decisions: &[usize]) {
        let closed = self.on.close(label);
        if closed.days + self.on.test_days > self.on.days {
            return;
        }
        let share = self.on.probability(&closed);
        if share > self.front.best || self.front.best_decisions.is_empty() {
            self.front.best = share;
            self.front.best_decisions = decisions.to_vec();
        }
        if share < self.on.target {
            return;
        }
        let counts = self.on.counts(&closed);
        if self.is_beaten(&counts) {
            return;
        }
        self.front.routes.retain(|f| !no_worse(&counts, &f.counts));
        self.front.routes.push(Found { decisions: decisions.to_vec(), counts });
    }

    fn extend(&mut self, label: &Label, decisions_so_far: &mut Vec<usize>, from: usize, more: usize) {
        let before = self.on.counts(label);
        let unmet = self.unmet(label);
        for i in from..self.on.acts.len() {
            let Some(act) = self.on.acts.get(i).filter(|a| a.decidable) else { continue };
            if self.front.tried >= MOST_TRIED {
                self.front.stopped = true;
                return;
            }
            // What it leaves alone must be met by the decisions after it.
            let left_alone = (unmet & !self.moves.get(i).copied().unwrap_or(0)).count_ones() as usize;
            if left_alone > (more - 1) * self.most_moves as usize {
                continue;
            }
            // What it adds at least, before the whole of it is worked out.
            let [money, days, impact, origin, labels, unsure, count] = before;
            let takes = if act.at_filler { 0.0 } else { act.days };
            let new_label = act.stays && !label.on_label.has(i);
            let at_least = [
                money,
                libm::ceil(days - 1.0 + takes).max(days),
                impact,
                origin.max(f64::from(act.origin)),
                labels + f64::from(u8::from(new_label)),
                if act.unsure { 1.0 } else { unsure },
                count + 1.0,
            ];
            if self.is_beaten(&at_least) || self.on.is_idle(label, act) || !self.could(label, i, more) {
                continue;
            }
            let Some(next) = self.on.decide(label, i) else { continue };
            self.front.tried += 1;
            if next.days + self.on.test_days > self.on.days {
                continue;
            }
            let mut counts = self.on.counts(&next);
            if self.is_beaten(&counts) {
                continue;
            }
            decisions_so_far.push(i);
            if more == 1 {
                self.close(&next, decisions_so_far);
            } else if self.on.probability(&next) < self.on.target
                && let Some([money, days, decisions]) = self.reachable(&next, i + 1, more - 1)
            {
                let [m, d, .., n] = &mut counts;
                // Half a step less: the rounding of a sum may lie so far below the sum of what was rounded.
                *m = (*m + money - super::model::MONEY_STEP).max(*m);
                *d = libm::ceil(*d - 1.0 + days).max(*d);
                *n += decisions;
                if !self.is_beaten(&counts) {
                    self.extend(&next, decisions_so_far, i + 1, more - 1);
                }
            }
            let _taken = decisions_so_far.pop();
        }
    }

    /// Whether a decision on an act, and so many less one after it, could reach the target at their best.
    fn could(&self, label: &Label, index: usize, more: usize) -> bool {
        let (Some(alone), Some(bounds)) = (self.alone.get(index), self.bounds.get(index + 1)) else { return false };
        let allowed = self.on.draws as f64 * (1.0 - self.on.target) + 1e-9;
        let pending = label.done.last().and_then(|d| self.closing.get(d.act));
        let mut lost = vec![false; self.on.draws];
        for (at, (need, values)) in self.on.needs.iter().zip(&label.values).enumerate() {
            let (Some(alone), Some(bound)) = (alone.get(at), bounds.get(at)) else { return false };
            if !need.required {
                continue;
            }
            let closing = pending.and_then(|p| p.get(at));
            for (draw, v) in values.iter().enumerate() {
                if *v < need.ceiling {
                    continue;
                }
                let factor = |list: Option<&Vec<f64>>| list.and_then(|l| l.get(draw)).copied().unwrap_or(1.0);
                let mut x = v * factor(Some(alone)) * factor(closing);
                if x >= need.ceiling && more > 1 {
                    let later = factor(Some(&bound.left));
                    for _ in 1..more {
                        x *= later;
                    }
                }
                if x >= need.ceiling
                    && let Some(l) = lost.get_mut(draw)
                {
                    *l = true;
                }
            }
        }
        lost.iter().filter(|l| **l).count() as f64 <= allowed
    }

    /// Needs that are unmet in too many draws, as bits; not those that what the last act asks for may still move.
    fn unmet(&self, label: &Label) -> u64 {
        let allowed = self.on.draws as f64 * (1.0 - self.on.target) + 1e-9;
        let pending = label.done.last().and_then(|d| self.on.acts.get(d.act)?.after.as_ref()).and_then(|(i, _)| self.on.acts.get(*i));
        let mut bits = 0;
        for (at, (need, values)) in self.on.needs.iter().zip(&label.values).enumerate() {
            let open = need.required && values.iter().filter(|v| !need.met(**v)).count() as f64 > allowed;
            if open && !pending.is_some_and(|a| a.effects.iter().any(|e| e.need == at)) {
                bits |= bit(at);
            }
        }
        bits
    }

    /// Money, days and decisions that are still needed at least, or None where so many decisions more cannot reach the target.
    fn reachable(&self, label: &Label, from: usize, more: usize) -> Option<[f64; 3]> {
        let bounds = self.bounds.get(from)?;
        let draws = self.on.draws as f64;
        let allowed = draws * (1.0 - self.on.target) + 1e-9;
        let mut out = vec![false; self.on.draws];
        let (mut money, mut days, mut decisions) = (0.0, 0.0, 0.0);
        // What the last act asks for comes without a further decision.
        let pending = label.done.last().and_then(|d| self.on.acts.get(d.act)?.after.as_ref()).and_then(|(i, _)| self.on.acts.get(*i));
        for (need_at, ((need, values), bound)) in self.on.needs.iter().zip(&label.values).zip(bounds).enumerate() {
            if !need.required {
                continue;
            }
            // Draws still unmet after none, one, two ... more decisions that all did their best for this need.
            let mut unmet = vec![0.0_f64; more + 1];
            for (((v, b), c), o) in values.iter().zip(&bound.left).zip(&bound.closing).zip(out.iter_mut()) {
                if need.met(*v) {
                    continue;
                }
                let mut x = *v * c;
                for (k, u) in unmet.iter_mut().enumerate() {
                    if k > 0 {
                        x *= b;
                    }
                    if k > 0 && x < need.ceiling {
                        break;
                    }
                    *u += 1.0;
                }
                *o |= x >= need.ceiling;
            }
            let first = unmet.first().copied().unwrap_or(0.0);
            if first > allowed && !pending.is_some_and(|a| a.effects.iter().any(|e| e.need == need_at)) {
                money += bound.money * (first - allowed) / draws;
                days += bound.days;
                decisions += bound.decisions * unmet.iter().filter(|u| **u > allowed).count() as f64;
            }
        }
        let lost = out.iter().filter(|o| **o).count() as f64;
        let decisions = libm::ceil(decisions - 1e-9).max(1.0);
        let money = if money.is_finite() { money } else { 0.0 };
        (lost <= allowed && decisions <= more as f64).then_some([money, days, decisions])
    }
}
