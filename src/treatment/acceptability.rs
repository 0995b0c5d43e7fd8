//! How firm the first place is: the share of draws in which each treatment comes first when every
//! count is drawn from its
//! spread (stochastic multicriteria acceptability, Lahdelma and Salminen 2001, over the facts with
//! the weights as given, and over the
//! weights too where they were left open); and how likely it is that measuring what was not
//! measured would change what to do.

use super::ranking::{Ranked, Span, class};
use super::scales::{self, Scales};
use super::setting::Setting;
use crate::dossier::Dossier;
use crate::knowledge::Estimate;
use crate::stability::draws::{DRAWS, Drawn, MANY, Sequence, error, triangle};
use crate::units::show;
use crate::wine::{Problem, Quantity};
use serde::Serialize;
use std::ops::Range;

fn at(s: Span, share: f64) -> f64 {
    triangle(s.low.min(s.middle), s.middle, s.high.max(s.middle), share)
}

/// In how many of the draws each of `ranked` comes first among those that are as clean and as much
/// of a cure as the first: by
/// what the order goes by, and whatever the weights are. 0 for the rest; in the order given. Draws
/// are keyed by the treatment, so they are the same whatever else is ranked, and counts of two runs
/// of draws add up.
pub fn first_counts(
    dossier: &Dossier,
    problem: Problem,
    ranked: &[Ranked],
    draws: Range<u32>,
) -> Vec<[u32; 2]> {
    let at_stake = scales::loss(dossier, problem);
    firsts(&Scales::of(dossier), at_stake, ranked, draws)
}

/// The same by what money and time are worth and what the problem costs.
pub(super) fn firsts(
    scales: &Scales,
    at_stake: f64,
    ranked: &[Ranked],
    draws: Range<u32>,
) -> Vec<[u32; 2]> {
    let mut wins = vec![[0_u32; 2]; ranked.len()];
    let Some(leader) = ranked.first() else {
        return Vec::new();
    };
    let (money, open) = (scales.by_money, scales.open);
    let given = if money {
        [at_stake, -1.0, -scales.per_day, -scales.per_point]
    } else {
        scales.weights
    };
    let spans = |r: &Ranked| {
        if money {
            [r.effect.value, r.money_per_hl, r.days, r.impact_points]
        } else {
            [r.effect.value, r.cost.value, r.time.value, r.origin.value]
        }
    };
    let keyed: Vec<(usize, [Vec<f64>; 4])> = ranked
        .iter()
        .enumerate()
        .filter(|(_, r)| class(r) == class(leader))
        .map(|(i, r)| {
            let of = |span: Span, what: Drawn| -> Vec<f64> {
                let sequence = Sequence::of_treatment(r.key, what);
                let shares = sequence.over(draws.clone()).into_iter();
                shares.map(|share| at(span, share)).collect()
            };
            let [effect, cost, time, origin] = spans(r);
            (
                i,
                [
                    of(effect, Drawn::Effect),
                    of(cost, Drawn::Cost),
                    of(time, Drawn::Time),
                    of(origin, Drawn::Origin),
                ],
            )
        })
        .collect();
    for (nth, draw) in draws.enumerate() {
        let any = even_weights(STEPS.map(|step| fraction(step, draw)));
        let mut best: [Option<(usize, f64)>; 2] = [None, None];
        for (i, counts) in &keyed {
            let values = counts
                .each_ref()
                .map(|drawn| drawn.get(nth).copied().unwrap_or_default());
            for (slot, weights) in best.iter_mut().zip([Some(given), open.then_some(any)]) {
                let Some(weights) = weights else { continue };
                let total: f64 = values.iter().zip(weights).map(|(v, w)| w * v).sum();
                // The earlier one keeps a tie.
                if slot.is_none_or(|(_, most)| total > most) {
                    *slot = Some((*i, total));
                }
            }
        }
        for (which, (i, _)) in best
            .iter()
            .enumerate()
            .filter_map(|(which, b)| b.map(|b| (which, b)))
        {
            if let Some(n) = wins.get_mut(i).and_then(|w| w.get_mut(which)) {
                *n += 1;
            }
        }
    }
    wins
}

/// The first places by the draws of a page at rest, in words; empty where there is nothing to say.
pub fn finer(dossier: &Dossier, ranked: &[Ranked], wins: &[[u32; 2]]) -> String {
    let most = |open: bool| {
        let of = |w: &[u32; 2]| if open { w[1] } else { w[0] };
        ranked
            .iter()
            .zip(wins)
            .max_by_key(|(_, w)| of(w))
            .map(|(r, w)| {
                (
                    r.name,
                    show::fixed(f64::from(of(w)) * 100.0 / f64::from(MANY), 0),
                )
            })
    };
    let Some((name, n)) = most(false) else {
        return String::new();
    };
    let mut text = format!(
        "By {MANY} draws (±{}): {name} is first in {n} of 100.",
        show::fixed(error(MANY) * 100.0, 0)
    );
    if Scales::of(dossier).open
        && let Some((name, n)) = most(true)
    {
        text.push_str(&format!(" Whatever the weights: {name}, in {n}."));
    }
    text
}

/// Steps of the draws of weights: the powers of 1/g, where g⁴ = g + 1. They fill the cube of three
/// shares evenly (the additive
/// recurrence of three dimensions).
const STEPS: [f64; 3] = [
    0.819_172_513_396_164_4,
    0.671_043_606_703_789_3,
    0.549_700_477_901_970_3,
];

/// The draw of a recurrence: the fractional part of `(index + ½)·step`.
fn fraction(step: f64, index: u32) -> f64 {
    let x = (f64::from(index) + 0.5) * step;
    x - libm::floor(x)
}

/// Four weights that sum to 1, spread evenly over all there are, from three shares: the gaps
/// between them in order.
fn even_weights(shares: [f64; 3]) -> [f64; 4] {
    let [a, b, c] = shares;
    let (low, high) = (a.min(b).min(c), a.max(b).max(c));
    let between = a + b + c - low - high;
    [low, between - low, high - between, 1.0 - high]
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

impl Choice {
    /// What doing it costs: product, labour and lost wine, its days and its impact.
    pub fn of(scales: &Scales, r: &Ranked) -> Choice {
        let money = r.money_per_hl.middle
            + r.days.middle * scales.per_day
            + r.impact_points.middle * scales.per_point;
        // Of germs what counts is how far it goes to what is asked.
        let of_germs = r.logs.is_some() || r.stops.is_some();
        let does = if of_germs { r.effect.value } else { r.removes };
        Choice {
            money,
            removes: does.middle,
        }
    }
}

/// The choices of a list: what is at hand, or all where nothing is; of those the clean ones, or all
/// where none is clean, since
/// what is not known counts as not to be had.
pub fn choices(scales: &Scales, ranked: &[Ranked]) -> Vec<Choice> {
    let Some((hire, unsure)) = ranked
        .iter()
        .map(|r| (class(r).hire, class(r).unsure))
        .min()
    else {
        return Vec::new();
    };
    let kept = |r: &&Ranked| (hire || !class(r).hire) && (unsure || !class(r).unsure);
    ranked
        .iter()
        .filter(kept)
        .map(|r| Choice::of(scales, r))
        .collect()
}

/// A band and how an effect counts in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Least, where there is one.
    pub floor: Option<f64>,
    /// Most, where there is one.
    pub ceiling: Option<f64>,
    /// Whether treatments move this quantity itself; else what they take of the problem counts.
    pub own: bool,
}

impl Bounds {
    /// Whether a value lies inside.
    pub fn inside(&self, v: f64) -> bool {
        self.ceiling.is_none_or(|c| v < c) && self.floor.is_none_or(|f| v >= f)
    }
}

/// What knowing one quantity brings.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Knowing {
    /// Expected loss avoided, money per hL.
    pub worth: f64,
    /// Share of the values at which another choice is best than without knowing.
    pub changes: f64,
}

/// Expected value of knowing one quantity (value of partial perfect information; Howard 1966,
/// Information value theory, IEEE
/// Trans. Syst. Sci. Cybern. 2:22-26), money per hL: the loss of the choice that is best on
/// average, less the average of the
/// losses of the best choice at each value. The loss of a choice at a value is its money and the
/// part of `at_stake` that its
/// effect leaves; doing nothing costs all of `at_stake` outside the band. A test that errs is worth
/// less than this.
pub fn knowing(choices: &[Choice], values: &[f64], bounds: Bounds, at_stake: f64) -> Knowing {
    let loss = |choice: Option<&Choice>, v: f64| {
        let inside = bounds.inside(v);
        match choice {
            None => at_stake * f64::from(u8::from(!inside)),
            Some(c) if inside => c.money,
            Some(c) => {
                let (floor, ceiling) = if bounds.own {
                    (bounds.floor, bounds.ceiling)
                } else {
                    (None, None)
                };
                c.money
                    + at_stake * (1.0 - scales::effect(1.0 - c.removes, Some(v), floor, ceiling))
            }
        }
    };
    let n = values.len().max(1) as f64;
    // The first is to do nothing.
    let mut sums = vec![0.0; choices.len() + 1];
    let mut best: Vec<(usize, f64)> = Vec::with_capacity(values.len());
    for v in values {
        let mut least = (0, f64::INFINITY);
        for (i, (sum, choice)) in sums
            .iter_mut()
            .zip(std::iter::once(None).chain(choices.iter().map(Some)))
            .enumerate()
        {
            let l = loss(choice, *v);
            *sum += l;
            if l < least.1 {
                least = (i, l);
            }
        }
        best.push(least);
    }
    let (now, on_average) =
        sums.iter()
            .enumerate()
            .fold((0, f64::INFINITY), |(at, least), (i, s)| {
                if *s < least { (i, *s) } else { (at, least) }
            });
    let informed: f64 = best.iter().map(|(_, l)| l).sum();
    let changed = best.iter().filter(|(i, _)| *i != now).count();
    if values.is_empty() {
        return Knowing::default();
    }
    Knowing {
        worth: ((on_average - informed) / n).max(0.0),
        changes: changed as f64 / n,
    }
}

/// The worth alone, where treatments move the quantity itself.
pub fn worth_of_knowing(
    choices: &[Choice],
    values: &[f64],
    floor: Option<f64>,
    ceiling: Option<f64>,
    at_stake: f64,
) -> f64 {
    knowing(
        choices,
        values,
        Bounds {
            floor,
            ceiling,
            own: true,
        },
        at_stake,
    )
    .worth
}

/// Draws of a quantity over its spread.
pub fn drawn(which: Quantity, e: &Estimate) -> Vec<f64> {
    let sequence = Sequence::of_quantity(which);
    let shares = sequence.over(0..DRAWS).into_iter();
    shares
        .map(|share| triangle(e.low, e.middle, e.high, share))
        .collect()
}

/// What doing nothing about a need is expected to lose, money per hL. Where no band tells, the
/// problem counts as there.
pub fn nothing_done(setting: &Setting) -> f64 {
    let (Some(bounds), Some(known)) = (setting.bounds(), setting.known) else {
        return setting.at_stake;
    };
    let values = drawn(setting.problem.quantity, &known.estimate);
    let outside = values.iter().filter(|v| !bounds.inside(**v)).count();
    setting.at_stake * outside as f64 / f64::from(DRAWS)
}

/// The chance that knowing the problem's quantity changes the choice: over draws of its typical
/// spread, how often the first
/// treatment at the drawn value, or none where it lies inside the band, differs from the present
/// choice. Only what is as sure in
/// law and in effect as the present choice may take its place. None where it was measured, has no
/// band or no spread.
pub fn measure_first(setting: &Setting, ranked: &[Ranked]) -> Option<MeasureFirst> {
    let bounds = setting.bounds()?;
    let known = setting
        .known
        .filter(|k| !k.tells(bounds.floor, bounds.ceiling))?;
    let now = ranked.first()?;
    let [effect, cost, time, origin] = setting.shared.scales.weights;
    let values = drawn(setting.problem.quantity, &known.estimate);
    let known_by_money = knowing(
        &choices(&setting.shared.scales, ranked),
        &values,
        bounds,
        setting.at_stake,
    );
    let (mut changed, mut none) = (0_u32, 0_u32);
    for value in values.iter().copied() {
        if bounds.inside(value) {
            none += 1;
            continue;
        }
        let best = ranked
            .iter()
            .filter(|r| class(r) == class(now))
            .map(|r| {
                let v = scales::effect(
                    1.0 - r.removes.middle,
                    Some(value),
                    bounds.floor,
                    bounds.ceiling,
                );
                (
                    r.key,
                    effect * v
                        + cost * r.cost.value.middle
                        + time * r.time.value.middle
                        + origin * r.origin.value.middle,
                )
            })
            .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(a.0)));
        changed += u32::from(best.is_some_and(|(key, _)| key != now.key));
    }
    let of = |n: u32| f64::from(n) / f64::from(DRAWS);
    let changes = if setting.shared.scales.by_money {
        known_by_money.changes
    } else {
        of(changed + none)
    };
    Some(MeasureFirst {
        quantity: setting.read,
        changes,
        nothing_needed: of(none),
        worth_per_hl: known_by_money.worth,
    })
}

#[cfg(test)]
mod tests {
    use super::super::ranking::measure;
    use super::super::setting::Shared;
    use super::*;
    use crate::knowledge::TREATMENTS;
    use crate::law::Legality;
    use crate::wine::Wine;

    #[test]
    fn what_is_not_known_is_no_choice_beside_what_is() -> Result<(), &'static str> {
        let dossier = Dossier::of(&Wine::default());
        let setting = Setting {
            band: None,
            ..Setting::of(&dossier, Shared::of(&dossier, None), Problem::Protein)
                .ok_or("no protein")?
        };
        let of = |key: &str, legality: Legality| {
            let t = TREATMENTS
                .rows()
                .iter()
                .find(|t| t.key == key)
                .ok_or("no such treatment")?;
            Ok::<_, &'static str>(Ranked {
                legality: Some(legality),
                hire: Vec::new(),
                organic_unsure: Vec::new(),
                ..measure(&dossier, &setting, t)
            })
        };
        let clean = of("bentonite_sodium", Legality::Limited)?;
        let doubtful = of("bentonite_calcium", Legality::NotKnown)?;
        let own = |r: &Ranked| Choice::of(&setting.shared.scales, r);
        assert_ne!(own(&clean), own(&doubtful));
        assert_eq!(
            choices(&setting.shared.scales, &[clean.clone(), doubtful.clone()]),
            [own(&clean)]
        );
        assert_eq!(
            choices(&setting.shared.scales, &[doubtful.clone(), clean.clone()]),
            [own(&clean)]
        );
        // Where all are not known all are weighed.
        assert_eq!(
            choices(&setting.shared.scales, std::slice::from_ref(&doubtful)),
            [own(&doubtful)]
        );
        Ok(())
    }
}
