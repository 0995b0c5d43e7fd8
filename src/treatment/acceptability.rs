//! How firm the first place is: the share of draws in which each treatment comes first when every count is drawn from its
//! spread (stochastic multicriteria acceptability, Lahdelma and Salminen 2001, over the facts, weights as given); and how
//! likely it is that measuring what was not measured would change what to do.

use super::ranking::{Ranked, Setting, Span};
use super::scales;
use crate::knowledge::TREATMENTS;
use crate::stability::draws::{DRAWS, triangle};
use crate::wine::{Quantity, Weights, Wine};
use serde::Serialize;

/// Shares of the four weights, summing to 1.
pub fn weight_shares(w: Weights) -> [f64; 4] {
    let weights = [w.effect, w.cost, w.time, w.origin].map(f64::from);
    let sum: f64 = weights.iter().sum();
    if sum > 0.0 { weights.map(|v| v / sum) } else { [0.25; 4] }
}

#[derive(Debug)]
/// Even draws for one count of one treatment, the same whatever else is ranked: the fractional part of `(i + ½)·√p`, p the
/// prime of the count in the whole table.
pub struct Primes(Vec<f64>);

impl Primes {
    /// The first `count` of them.
    pub fn up_to(count: usize) -> Primes {
        let mut primes: Vec<u32> = Vec::new();
        let mut n = 2;
        while primes.len() < count {
            if primes.iter().take_while(|p| *p * *p <= n).all(|p| n % p != 0) {
                primes.push(n);
            }
            n += 1;
        }
        Primes(primes.into_iter().map(|p| libm::sqrt(f64::from(p))).collect())
    }

    /// The share for a draw of the `nth`.
    pub fn share(&self, nth: usize, draw: u32) -> f64 {
        let x = (f64::from(draw) + 0.5) * self.0.get(nth).copied().unwrap_or(std::f64::consts::SQRT_2);
        x - libm::floor(x)
    }
}

fn at(s: Span, share: f64) -> f64 {
    triangle(s.low.min(s.middle), s.middle, s.high.max(s.middle), share)
}

/// Share of the draws in which each of `ranked` comes first among those that are as clean and as much of a cure as the first;
/// 0 for the rest. In the order given.
pub fn first_shares(ranked: &[Ranked], weights: Weights, same_class: fn(&Ranked, &Ranked) -> bool) -> Vec<f64> {
    let mut wins = vec![0_u32; ranked.len()];
    let Some(leader) = ranked.first() else { return Vec::new() };
    let shares = weight_shares(weights);
    let primes = Primes::up_to(TREATMENTS.len() * 4);
    let keyed: Vec<(usize, &Ranked, usize)> = ranked
        .iter()
        .enumerate()
        .filter(|(_, r)| same_class(r, leader))
        .map(|(i, r)| (i, r, TREATMENTS.iter().position(|t| t.key == r.key).unwrap_or(0)))
        .collect();
    for draw in 0..DRAWS {
        let best = keyed
            .iter()
            .map(|(i, r, nth)| {
                let counts = [r.effect.value, r.cost.value, r.time.value, r.origin.value];
                let total: f64 = counts.iter().zip(shares).enumerate().map(|(c, (s, w))| w * at(*s, primes.share(nth * 4 + c, draw))).sum();
                (*i, total)
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
        if let Some(slot) = best.and_then(|(i, _)| wins.get_mut(i)) {
            *slot += 1;
        }
    }
    wins.into_iter().map(|w| f64::from(w) / f64::from(DRAWS)).collect()
}

/// What measuring a quantity is worth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MeasureFirst {
    /// The quantity.
    pub quantity: Quantity,
    /// Chance that knowing it changes what to do, 0 to 1.
    pub changes: f64,
    /// Chance that nothing needs to be done.
    pub nothing_needed: f64,
    /// Loss that knowing it avoids, money per hL, before the price of the test.
    pub worth_per_hl: f64,
}

/// One thing that can be done about a need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// Money per hL.
    pub money: f64,
    /// Share of the quantity it takes away.
    pub removes: f64,
}

/// Expected value of knowing one quantity (partial perfect information), money per hL: the loss of the choice that is best on
/// average, less the average of the losses of the best choice at each value. The loss of a choice at a value is its money and
/// the part of `at_stake` that its effect leaves; doing nothing costs all of `at_stake` outside the band.
pub fn worth_of_knowing(choices: &[Choice], values: &[f64], floor: Option<f64>, ceiling: Option<f64>, at_stake: f64) -> f64 {
    let inside = |v: f64| ceiling.is_none_or(|c| v < c) && floor.is_none_or(|f| v >= f);
    let loss = |choice: Option<&Choice>, v: f64| match choice {
        None => at_stake * f64::from(u8::from(!inside(v))),
        Some(c) if inside(v) => c.money,
        Some(c) => c.money + at_stake * (1.0 - scales::effect(1.0 - c.removes, Some(v), floor, ceiling)),
    };
    let all = || std::iter::once(None).chain(choices.iter().map(Some));
    let n = values.len().max(1) as f64;
    let on_average = all().map(|c| values.iter().map(|v| loss(c, *v)).sum::<f64>() / n).fold(f64::INFINITY, f64::min);
    let knowing = values.iter().map(|v| all().map(|c| loss(c, *v)).fold(f64::INFINITY, f64::min)).sum::<f64>() / n;
    (on_average - knowing).max(0.0)
}

/// The chance that knowing the problem's quantity changes the choice: over draws of its typical spread, how often the first
/// treatment at the drawn value, or none where it lies inside the band, differs from the present choice. None where it was
/// measured, has no band or no spread.
pub fn measure_first(ranked: &[Ranked], setting: &Setting<'_>, wine: &Wine) -> Option<MeasureFirst> {
    let quantity = setting.problem.quantity;
    let known = setting.state.get(quantity).filter(|k| k.by != crate::state::KnownBy::Measured)?;
    let band = setting.band?;
    let now = ranked.first()?;
    let [effect, cost, time, origin] = weight_shares(wine.weights);
    let e = known.estimate;
    let values: Vec<f64> = (0..DRAWS).map(|draw| triangle(e.low, e.middle, e.high, crate::stability::draws::share(quantity, draw))).collect();
    let (mut changed, mut none) = (0_u32, 0_u32);
    for value in values.iter().copied() {
        if band.ceiling.is_none_or(|c| value < c) && band.floor.is_none_or(|f| value >= f) {
            none += 1;
            continue;
        }
        let best = ranked
            .iter()
            .filter(|r| r.helper == now.helper)
            .map(|r| {
                let v = scales::effect(1.0 - r.removes.middle, Some(value), band.floor, band.ceiling);
                (r.key, effect * v + cost * r.cost.value.middle + time * r.time.value.middle + origin * r.origin.value.middle)
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(a.0)));
        changed += u32::from(best.is_some_and(|(key, _)| key != now.key));
    }
    let of = |n: u32| f64::from(n) / f64::from(DRAWS);
    let at_stake = wine.value().and_then(Result::ok).unwrap_or(scales::VALUE_PER_HL) * wine.loss().and_then(Result::ok).unwrap_or(scales::LOSS_SHARE);
    let choices: Vec<Choice> = ranked.iter().map(|r| Choice { money: r.money_per_hl.middle, removes: r.removes.middle }).collect();
    let worth_per_hl = worth_of_knowing(&choices, &values, band.floor, band.ceiling, at_stake);
    Some(MeasureFirst { quantity, changes: of(changed + none), nothing_needed: of(none), worth_per_hl })
}
