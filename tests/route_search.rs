//! The search for routes against brute force: every ordered choice of acts, worked out by code of
//! its own from the same
//! definitions, must leave the same front.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod chance;

use proptest::prelude::*;
use std::collections::BTreeSet;
use stillbright::route::aims::Aim;
use stillbright::route::model::{
    Act, Apart, Asks, Counts, Effect, IMPACT_STEP, Instance, MONEY_STEP, Need, Prices, Set,
};
use stillbright::route::search::{Search, search};

/// A small source of numbers, so that an instance hangs on one seed only.
struct Dice(u64);
impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }
    fn below(&mut self, n: u64) -> u64 {
        self.roll() % n.max(1)
    }
    fn share(&mut self) -> f64 {
        self.below(1000) as f64 / 1000.0
    }
    fn chance(&mut self, p: f64) -> bool {
        self.share() < p
    }
}

fn set(members: impl IntoIterator<Item = usize>) -> Set {
    let mut s = Set::default();
    members.into_iter().for_each(|i| s.add(i));
    s
}

fn instance(seed: u64) -> Instance {
    let mut d = Dice(seed);
    let draws = 3 + d.below(6) as usize;
    let needs: Vec<Need> = (0..1 + d.below(4))
        .map(|_| {
            let high = 2.0 + 20.0 * d.share();
            Need {
                start: (0..draws).map(|_| high * (0.3 + d.share())).collect(),
                floor: if d.chance(0.15) {
                    0.1
                } else {
                    f64::NEG_INFINITY
                },
                ceiling: 1.0 + 3.0 * d.share(),
                required: d.chance(0.85),
            }
        })
        .collect();
    let n = 6 + d.below(4) as usize;
    let limits = d.below(3) as usize;
    // No act asks for one that stands before it here, so that none asks for itself by any way.
    let mut asking: Vec<usize> = (0..n).collect();
    for i in (1..n).rev() {
        asking.swap(i, d.below(i as u64 + 1) as usize);
    }
    let mut acts: Vec<Act> = (0..n)
        .map(|i| {
            let rungs: Vec<f64> = (1..=1 + d.below(3)).map(|k| k as f64 * 10.0).collect();
            let mut effects = Vec::new();
            for need in 0..needs.len() {
                if d.chance(0.6) {
                    let base: Vec<f64> = (0..draws).map(|_| 0.1 + 0.7 * d.share()).collect();
                    // Some add a little, some take a fixed amount away, as a carbonate takes acid.
                    let each = if d.chance(0.1) {
                        0.01
                    } else if d.chance(0.1) {
                        -0.05
                    } else {
                        0.0
                    };
                    effects.push(Effect {
                        need,
                        left: (0..rungs.len())
                            .map(|r| base.iter().map(|b| b.powi(r as i32 + 1)).collect())
                            .collect(),
                        add: rungs.iter().map(|r| r * each).collect(),
                        removes: d.chance(0.9),
                    });
                }
            }
            let list = |d: &mut Dice, p: f64| {
                set((0..n)
                    .filter(|j| *j != i && d.chance(p))
                    .collect::<Vec<_>>())
            };
            let (never, together) = (list(&mut d, 0.04), list(&mut d, 0.2));
            let ahead = list(&mut d, 0.1);
            let place = asking.iter().position(|j| *j == i).unwrap();
            let asks = |d: &mut Dice, p: f64| -> Option<Asks> {
                let may = &asking[place + 1..];
                (!may.is_empty() && d.chance(p)).then(|| Asks {
                    any: (0..1 + d.below(2))
                        .map(|_| may[d.below(may.len() as u64) as usize])
                        .collect(),
                    instead: list(d, 0.2),
                    spared: d.chance(0.3),
                    once: d.chance(0.3),
                })
            };
            let after = asks(&mut d, 0.4);
            let before = (0..2).filter_map(|_| asks(&mut d, 0.25)).collect();
            Act {
                usual: d.below(rungs.len() as u64) as usize,
                effects,
                fixed: (0..draws).map(|_| 0.2 + 6.0 * d.share()).collect(),
                per_dose: (0..draws).map(|_| 0.2 * d.share()).collect(),
                days: d.below(8) as f64,
                trial_days: 2.0 * d.below(2) as f64,
                test_days: if d.chance(0.1) { 5.0 } else { 0.0 },
                retest_days: if d.chance(0.15) {
                    1.0 + d.below(4) as f64
                } else {
                    0.0
                },
                not_before: if d.chance(0.15) {
                    d.below(16) as f64
                } else {
                    0.0
                },
                impact: rungs
                    .iter()
                    .map(|r| {
                        if d.chance(0.5) {
                            r * 0.4 * d.share()
                        } else {
                            0.0
                        }
                    })
                    .collect(),
                origin: d.below(3) as u8,
                stays: d.chance(0.3),
                unsure: d.chance(0.2),
                hired: d.chance(0.2),
                decidable: d.chance(0.9),
                at_filler: i + 2 >= n && d.chance(0.5),
                muddies: d.chance(0.5),
                guards: (0..needs.len()).filter(|_| d.chance(0.05)).collect(),
                never,
                ahead,
                together,
                apart: if d.chance(0.25) {
                    vec![Apart {
                        from: d.below(n as u64) as usize,
                        days: 1.0 + d.below(6) as f64,
                    }]
                } else {
                    Vec::new()
                },
                after,
                before,
                limits: if limits > 0 && d.chance(0.5) {
                    vec![(d.below(limits as u64) as usize, 20.0 + 50.0 * d.share())]
                } else {
                    Vec::new()
                },
                rungs,
            }
        })
        .collect();
    // Impact may not fall with the dose.
    for a in &mut acts {
        a.impact.sort_by(f64::total_cmp);
    }
    Instance {
        needs,
        acts,
        draws,
        limits,
        days: if d.chance(0.3) {
            6.0 + d.below(15) as f64
        } else {
            f64::INFINITY
        },
        test_days: 5.0,
        least_days: if d.chance(0.3) { 9.0 } else { 0.0 },
        target: [0.5, 0.75, 0.9, 1.0][d.below(4) as usize],
        decisions: 3 + d.below(3) as usize,
        prices: Prices {
            day: d.share(),
            point: d.share(),
        },
        cuts: cuts(&mut d, n),
    }
}

/// A few sets of one to three acts.
fn cuts(d: &mut Dice, acts: usize) -> Vec<Set> {
    let mut all = Vec::new();
    while d.chance(0.4) {
        let size = 1 + d.below(3);
        all.push(set((0..size)
            .map(|_| d.below(acts as u64) as usize)
            .collect::<Vec<_>>()));
    }
    all
}

/// One draw of one wine, and what the whole route has gathered.
#[derive(Clone)]
struct Sim<'a> {
    on: &'a Instance,
    /// values[draw][need]
    values: Vec<Vec<f64>>,
    money: Vec<f64>,
    days: f64,
    retest: f64,
    impact: f64,
    sequence: Vec<usize>,
    /// Day on which each act of the sequence itself was done, after its trial.
    on_day: Vec<f64>,
    /// Whether what the last act asks for after it is still to come.
    wish: bool,
    decided: BTreeSet<usize>,
    fresh: BTreeSet<usize>,
    used: Vec<f64>,
}

impl<'a> Sim<'a> {
    fn new(on: &'a Instance) -> Self {
        let values = (0..on.draws)
            .map(|k| on.needs.iter().map(|n| n.start[k]).collect())
            .collect();
        Sim {
            on,
            values,
            money: vec![0.0; on.draws],
            days: 0.0,
            retest: 0.0,
            impact: 0.0,
            sequence: vec![],
            on_day: vec![],
            wish: false,
            decided: BTreeSet::new(),
            fresh: BTreeSet::new(),
            used: vec![0.0; on.limits],
        }
    }
    fn met(&self, need: usize, v: f64) -> bool {
        v < self.on.needs[need].ceiling && v >= self.on.needs[need].floor
    }
    fn share_met(&self) -> f64 {
        let all = self
            .values
            .iter()
            .filter(|v| (0..v.len()).all(|j| !self.on.needs[j].required || self.met(j, v[j])));
        all.count() as f64 / self.on.draws as f64
    }
    fn idle(&self, i: usize) -> bool {
        !self.on.acts[i]
            .effects
            .iter()
            .any(|e| e.removes && self.values.iter().any(|v| !self.met(e.need, v[e.need])))
    }
    fn apply(&mut self, i: usize, decided: bool) {
        let a = &self.on.acts[i];
        let last = self.sequence.last().map(|l| &self.on.acts[*l]);
        let trial = if decided && !last.is_some_and(|l| l.together.has(i)) {
            a.trial_days
        } else {
            0.0
        } + if decided { a.test_days } else { 0.0 };
        let same_day = a.at_filler && last.is_some_and(|l| l.at_filler);
        let mut day = (self.days + trial).max(a.not_before);
        for (done, then) in self.sequence.iter().zip(&self.on_day) {
            for apart in a.apart.iter().filter(|x| x.from == *done) {
                day = day.max(then + apart.days);
            }
        }
        self.days = day + if same_day { 0.0 } else { a.days };
        self.on_day.push(day);
        self.retest = self.retest.max(a.retest_days);
        let mut most = None;
        for k in 0..self.on.draws {
            let v = &self.values[k];
            let rung = if !decided {
                a.usual
            } else {
                if a.guards.iter().any(|g| !self.met(*g, v[*g])) {
                    continue;
                }
                let wanted: Vec<&Effect> = a
                    .effects
                    .iter()
                    .filter(|e| e.removes && v[e.need] >= self.on.needs[e.need].ceiling)
                    .collect();
                if wanted.is_empty() {
                    continue;
                }
                let reached: Vec<usize> = wanted
                    .iter()
                    .filter_map(|e| {
                        (0..a.rungs.len())
                            .find(|r| self.met(e.need, v[e.need] * e.left[*r][k] + e.add[*r]))
                    })
                    .collect();
                reached.into_iter().max().unwrap_or(a.usual)
            };
            for e in &a.effects {
                self.values[k][e.need] = self.values[k][e.need] * e.left[rung][k] + e.add[rung];
            }
            self.money[k] += a.fixed[k] + a.per_dose[k] * a.rungs[rung];
            self.impact += a.impact[rung];
            most = Some(most.map_or(a.rungs[rung], |m: f64| m.max(a.rungs[rung])));
        }
        if let Some(m) = most {
            a.limits
                .iter()
                .for_each(|(l, full)| self.used[*l] += m / full);
        }
        if a.muddies {
            self.fresh.clear();
        }
        self.fresh.insert(i);
        self.sequence.push(i);
    }
    /// Whether an act may come now.
    fn may(&self, i: usize) -> bool {
        !self.sequence.iter().any(|s| self.on.acts[i].never.has(*s))
    }
    /// What is put in of what is asked for: an act, nothing, or an error where the route ends.
    fn wished(&self, asks: &Asks) -> Result<Option<usize>, ()> {
        let left = self.on.days - (self.days + self.retest + self.on.test_days);
        let open = |i: &&usize| self.may(**i) && !(asks.spared && self.on.acts[**i].days > left);
        let is_late = |i: usize| {
            let ahead = &self.on.acts[i].ahead;
            asks.once && self.sequence.iter().any(|s| ahead.has(*s))
        };
        let may_be_chosen = |i: &&usize| is_late(**i) && self.on.acts[**i].decidable;
        let first = asks
            .any
            .iter()
            .filter(open)
            .find(|i| !is_late(**i) || may_be_chosen(i));
        match first {
            Some(i) if is_late(*i) => Err(()),
            Some(i) => Ok(Some(*i)),
            None if asks.spared => Ok(None),
            None => Err(()),
        }
    }
    fn none_is_used_up(&self) -> bool {
        self.used.iter().all(|u| *u <= 1.0 + 1e-9)
    }
    /// What the last act asks for, until what comes next does it; false where it may not come.
    fn bridge(&mut self, next: Option<usize>) -> bool {
        while let Some(last) = self.sequence.last().copied().filter(|_| self.wish) {
            let a = &self.on.acts[last];
            let Some(asks) = &a.after else { break };
            let does = |n: usize| asks.instead.has(n) || a.together.has(n) || asks.any.contains(&n);
            if next.is_some_and(does) {
                break;
            }
            let Ok(wished) = self.wished(asks) else {
                return false;
            };
            let Some(wished) = wished else { break };
            self.wish = false;
            if !self.step(wished, false) {
                return false;
            }
        }
        true
    }
    /// An act with what must come before it.
    fn step(&mut self, i: usize, decided: bool) -> bool {
        for asks in &self.on.acts[i].before {
            let is_there = |s: &Self| {
                let anywhere = asks.once && s.sequence.iter().any(|f| asks.instead.has(*f));
                anywhere || s.fresh.iter().any(|f| asks.instead.has(*f))
            };
            if is_there(self) {
                continue;
            }
            match self.wished(asks) {
                Ok(Some(wished)) => {
                    if !self.bridge(Some(wished)) {
                        return false;
                    }
                    if !is_there(self) && !self.step(wished, false) {
                        return false;
                    }
                }
                Ok(None) => {}
                Err(()) => return false,
            }
        }
        if !self.bridge(Some(i)) || !self.may(i) {
            return false;
        }
        self.apply(i, decided);
        self.wish = true;
        true
    }
    fn decide(&mut self, i: usize) -> bool {
        if !self.may(i) || self.decided.contains(&i) || !self.step(i, true) {
            return false;
        }
        self.decided.insert(i);
        let members = |cut: &Set| {
            (0..self.on.acts.len())
                .filter(|a| cut.has(*a))
                .collect::<Vec<_>>()
        };
        let whole = |cut: &Set| members(cut).iter().all(|a| self.decided.contains(a));
        if self.on.cuts.iter().any(whole) {
            return false;
        }
        self.none_is_used_up()
    }
    /// With the tests before and after.
    fn all_days(&self) -> f64 {
        (self.days + self.retest + self.on.test_days).max(self.on.least_days)
    }
    fn counts(&self) -> Counts {
        let n = self.on.draws as f64;
        let acts = || self.sequence.iter().map(|i| &self.on.acts[*i]);
        let stays: BTreeSet<usize> = self
            .sequence
            .iter()
            .copied()
            .filter(|i| self.on.acts[*i].stays)
            .collect();
        Counts {
            money: (self.money.iter().sum::<f64>() / n / MONEY_STEP).round() * MONEY_STEP,
            days: (self.all_days() - 1e-9).ceil(),
            impact: (self.impact / n / IMPACT_STEP).round() * IMPACT_STEP,
            origin: acts().map(|a| a.origin).max().unwrap_or(0),
            labels: stays.len() as u32,
            unsure: acts().any(|a| a.unsure),
            hired: acts().any(|a| a.hired),
            decisions: self.decided.len(),
        }
    }
}

/// A route that reaches the target.
struct Reached {
    counts: Counts,
    met: f64,
}

impl Reached {
    /// What the route costs: all of it once, and once more as often as it fails.
    fn loss(&self, on: &Instance) -> f64 {
        let c = &self.counts;
        (c.money + c.days * on.prices.day + c.impact * on.prices.point) * (1.0 + 1.0 - self.met)
    }
}

/// What the best route by an aim reaches, as a list of figures, the first counting most.
fn figures(aim: Aim, on: &Instance, r: &Reached) -> Vec<f64> {
    let c = &r.counts;
    let [hired, unsure] = [c.hired, c.unsure].map(|b| f64::from(u8::from(b)));
    let operations = c.decisions as f64;
    match aim {
        Aim::Loss => vec![hired, unsure, r.loss(on), c.money, c.days, operations],
        Aim::Money => vec![hired, unsure, c.money, c.days, c.impact, operations],
        Aim::Days => vec![hired, unsure, c.days, c.money, c.impact, operations],
        Aim::Impact => vec![hired, unsure, c.impact, c.money, c.days, operations],
        Aim::Origin => {
            let animal = if c.origin == 0 { 0.0 } else { 1.0 };
            vec![hired, unsure, animal, r.loss(on), c.money, c.days]
        }
        Aim::Label => vec![
            hired,
            unsure,
            f64::from(c.labels),
            r.loss(on),
            c.money,
            c.days,
        ],
        Aim::LossHired => vec![unsure, r.loss(on), c.money, c.days, operations],
        Aim::DaysHired => vec![unsure, c.days, c.money, c.impact, operations],
        Aim::LossUnsure => vec![hired, r.loss(on), c.money, c.days, operations],
    }
}

/// Whether two lists of figures differ by more than rounding.
fn differ(a: &[f64], b: &[f64]) -> bool {
    a.iter().zip(b).any(|(x, y)| (x - y).abs() > 1e-6)
}

/// Every choice: the routes that reach the target, the greatest share met, and how many were looked
/// at.
fn brute(on: &Instance) -> (Vec<Reached>, f64, usize) {
    let (mut all, mut best, mut looked) = (Vec::new(), 0.0_f64, 0);
    let mut stack = vec![(Sim::new(on), 0)];
    while let Some((sim, from)) = stack.pop() {
        let mut closed = sim.clone();
        let may_end = closed.bridge(None) && closed.none_is_used_up();
        looked += 1;
        let ends = may_end && closed.all_days() <= on.days;
        if ends {
            best = best.max(closed.share_met());
            if closed.share_met() >= on.target {
                all.push(Reached {
                    counts: closed.counts(),
                    met: closed.share_met(),
                });
            }
        }
        // The rules of the model: no more decisions once the aim is reached, none that is idle. A
        // wine in which nothing is to
        // be done is left alone.
        let reached = sim.decided.is_empty() && closed.share_met() >= on.target && ends;
        if sim.decided.len() == on.decisions
            || reached
            || (!sim.decided.is_empty() && sim.share_met() >= on.target)
        {
            continue;
        }
        for i in from..on.acts.len() {
            if !on.acts[i].decidable || sim.idle(i) {
                continue;
            }
            let mut next = sim.clone();
            if next.decide(i) {
                stack.push((next, i + 1));
            }
        }
    }
    (all, best, looked)
}

/// The figures of the best by an aim.
fn best_by(aim: Aim, on: &Instance, all: &[Reached]) -> Option<Vec<f64>> {
    let figures = all.iter().map(|r| figures(aim, on, r));
    figures.reduce(|a, b| {
        let first = a.iter().zip(&b).find(|(x, y)| (*x - *y).abs() > 1e-9);
        if first.is_some_and(|(x, y)| y < x) {
            b
        } else {
            a
        }
    })
}

proptest! {
    #![proptest_config(chance::tries(6000))]
    #[test]
    fn the_search_finds_the_best_of_brute_force(seed in any::<u64>()) {
        let on = instance(seed);
        let (expected, best, _) = brute(&on);
        let found = search(&on);
        prop_assert!(!found.stopped);
        prop_assert_eq!(found.is_empty(), expected.is_empty());
        for (aim, route) in Aim::ALL.iter().zip(&found.best_by) {
            let own = Reached { counts: route.counts, met: route.met };
            let own = figures(*aim, &on, &own);
            let wanted = best_by(*aim, &on, &expected).unwrap();
            prop_assert!(!differ(&own, &wanted), "{aim:?}: found {own:?}, expected {wanted:?}");
        }
        // The nearest route is only told apart where none reaches the target.
        if expected.is_empty() && on.days.is_infinite() {
            prop_assert!(found.best <= best + 1e-12);
        }
    }

    /// Stopped as often as may be, it comes to the same; and what it has at any time is a route.
    #[test]
    fn a_search_that_is_stopped_and_gone_on_with_comes_to_the_same(seed in any::<u64>()) {
        let on = instance(seed);
        let whole = search(&on);
        let mut in_slices = Search::of(&on);
        while !in_slices.run(&on, 3) {
            for found in &in_slices.front().best_by {
                prop_assert!(found.met >= on.target);
            }
        }
        prop_assert_eq!(&in_slices.front().best_by, &whole.best_by);
        prop_assert_eq!(in_slices.front().tried, whole.tried);
    }
}

/// The instances are of every kind: with and without a way, with few routes and many, some cut by a
/// day or a limit.
#[test]
fn the_instances_are_worth_the_trouble() {
    let all: Vec<_> = (0..400).map(|s| brute(&instance(s * 7919))).collect();
    let none = all.iter().filter(|a| a.0.is_empty()).count();
    let several = all.iter().filter(|a| a.0.len() > 2).count();
    assert!(
        none > 40 && none < 320 && several > 40,
        "{none} without a way, {several} with several"
    );
    let most = all.iter().map(|a| a.2).max().unwrap();
    assert!(most > 100, "at most {most} routes");
    // What is put in asks for its own, before and after it.
    let chained = |on: &Instance| {
        let own = |a: &Act| a.after.iter().chain(&a.before).cloned().collect::<Vec<_>>();
        let asked = on.acts.iter().filter(|a| a.decidable).flat_map(own);
        asked
            .flat_map(|a| a.any)
            .any(|i| on.acts[i].after.is_some() && !on.acts[i].before.is_empty())
    };
    let chains = (0..400).filter(|s| chained(&instance(s * 7919))).count();
    assert!(chains > 120, "{chains} with chains of what is put in");
}
