//! What a route is made of, free of any wine: needs, acts, and what happens when an act follows
//! another. All values are by
//! draw; the same act in the same draw always does the same.

/// A set of acts by index.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Set([u64; 4]);

impl Set {
    /// Most acts an instance may have.
    pub const MOST: usize = 256;
    /// Adds one.
    pub fn add(&mut self, i: usize) {
        if let Some(word) = self.0.get_mut(i / 64) {
            *word |= 1 << (i % 64);
        }
    }
    /// Whether it holds one.
    pub fn has(&self, i: usize) -> bool {
        self.0.get(i / 64).is_some_and(|w| w >> (i % 64) & 1 == 1)
    }
    /// Whether it holds all of another.
    pub fn holds(&self, other: &Set) -> bool {
        self.0.iter().zip(other.0).all(|(a, b)| a & b == b)
    }
    /// Whether both hold one in common.
    pub fn meets(&self, other: &Set) -> bool {
        self.0.iter().zip(other.0).any(|(a, b)| a & b != 0)
    }
}

/// A quantity that must come into its band.
#[derive(Debug, Clone, Default)]
pub struct Need {
    /// Values before anything is done, by draw.
    pub start: Vec<f64>,
    /// Least value that meets it.
    pub floor: f64,
    /// Value below which it is met.
    pub ceiling: f64,
    /// Whether a route must meet it; else it only guards other acts.
    pub required: bool,
}

impl Need {
    /// Whether a value meets it.
    pub fn met(&self, value: f64) -> bool {
        value < self.ceiling && value >= self.floor
    }
}

/// What an act does to one need.
#[derive(Debug, Clone, Default)]
pub struct Effect {
    /// The need.
    pub need: usize,
    /// Share left, by rung and by draw.
    pub left: Vec<Vec<f64>>,
    /// Amount added, by rung.
    pub add: Vec<f64>,
    /// Whether it takes anything away, so that it is done for this need.
    pub removes: bool,
}

/// An act.
#[derive(Debug, Clone, Default)]
pub struct Act {
    /// Doses that may be given, ascending; a single one where there is nothing to choose.
    pub rungs: Vec<f64>,
    /// Which of them is given where none reaches the band.
    pub usual: usize,
    /// What it does.
    pub effects: Vec<Effect>,
    /// Money per hL whatever the dose, by draw.
    pub fixed: Vec<f64>,
    /// Money per hL for each unit of dose, by draw.
    pub per_dose: Vec<f64>,
    /// Days, with its wait.
    pub days: f64,
    /// Days of its bench trial, before it.
    pub trial_days: f64,
    /// Days of a test before it that only this act asks for.
    pub test_days: f64,
    /// Days that the tests after all acts take longer because of it. Tests run side by side, so the
    /// longest counts.
    pub retest_days: f64,
    /// Days from the start before which it cannot be done, since what it needs is not there yet.
    pub not_before: f64,
    /// Impact in points, by rung.
    pub impact: Vec<f64>,
    /// Class of origin: 0 free of animal material, 1 milk or egg, 2 other.
    pub origin: u8,
    /// Whether it stays in the wine and so on the label.
    pub stays: bool,
    /// Whether the law or a scheme is not known.
    pub unsure: bool,
    /// Whether costly equipment that was not said to be had must be hired for it.
    pub hired: bool,
    /// Whether it may be decided on; else it is only put in.
    pub decidable: bool,
    /// Whether it is done at the filler, on one day with others like it.
    pub at_filler: bool,
    /// Whether filters and additions before it no longer count for what needs them.
    pub muddies: bool,
    /// Needs that must be met before it.
    pub guards: Vec<usize>,
    /// Acts it may not follow in a wine.
    pub never: Set,
    /// Acts that it goes before.
    pub ahead: Set,
    /// Acts that may follow with nothing between, tried in the same glasses.
    pub together: Set,
    /// Acts that it stands some time behind.
    pub apart: Vec<Apart>,
    /// What must follow it at once.
    pub after: Option<Asks>,
    /// What must come before it.
    pub before: Vec<Asks>,
    /// Shared limits it draws on, and the dose that would use each up.
    pub limits: Vec<(usize, f64)>,
}

/// What an act asks for beside itself: it is put in unless it is there.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Asks {
    /// What may be put in: the first of them that nothing done before shuts out. No way of asking
    /// leads back to the act itself; the build refuses such rows.
    pub any: Vec<usize>,
    /// Acts that make it needless.
    pub instead: Set,
    /// Whether the act is done without it where none of them may be put in, or there is no time.
    pub spared: bool,
    /// Whether what was done anywhere before it counts; else only what no later act undid.
    pub once: bool,
}

impl Act {
    /// Money per hL at the useful dose, on average over the draws.
    pub fn usual_money(&self) -> f64 {
        let dose = self.rungs.get(self.usual).copied().unwrap_or(0.0);
        mean(&self.fixed) + mean(&self.per_dose) * dose
    }
}

/// The mean of figures by draw; 0 where there are none.
pub fn mean(by_draw: &[f64]) -> f64 {
    by_draw.iter().sum::<f64>() / by_draw.len().max(1) as f64
}

/// Time between an act and a later one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// The earlier act.
    pub from: usize,
    /// Days between them.
    pub days: f64,
}

/// A whole problem to search.
#[derive(Debug, Clone, Default)]
pub struct Instance {
    /// Needs.
    pub needs: Vec<Need>,
    /// Acts in the order in which they would be done.
    pub acts: Vec<Act>,
    /// Draws.
    pub draws: usize,
    /// Shared limits.
    pub limits: usize,
    /// Days there are; infinite where no day is set.
    pub days: f64,
    /// Days that every route takes: tests before and after, but for what an act asks for more.
    pub test_days: f64,
    /// Days that every route takes at least, since tests run while its acts go on.
    pub least_days: f64,
    /// Share of the draws in which all needs must be met.
    pub target: f64,
    /// Most decisions.
    pub decisions: usize,
    /// What days and impact cost.
    pub prices: Prices,
    /// Sets of decisions that may not stand in one route: what the full judge refused.
    pub cuts: Vec<Set>,
}

/// Money per hL that is not told apart. Judgement.
pub const MONEY_STEP: f64 = 1.0;
/// Points of impact that are not told apart. Judgement.
pub const IMPACT_STEP: f64 = 5.0;

/// What a route is judged by; less is better in each.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Counts {
    /// Money per hL.
    pub money: f64,
    /// Days.
    pub days: f64,
    /// Impact in points.
    pub impact: f64,
    /// Worst class of origin, as [`Act::origin`].
    pub origin: u8,
    /// Things on the label.
    pub labels: u32,
    /// Whether the law or a scheme is not known.
    pub unsure: bool,
    /// Whether costly equipment must be hired.
    pub hired: bool,
    /// Decisions.
    pub decisions: usize,
}

impl Counts {
    /// More than any route has.
    pub const MOST: Counts = Counts {
        money: f64::INFINITY,
        days: f64::INFINITY,
        impact: f64::INFINITY,
        origin: u8::MAX,
        labels: u32::MAX,
        unsure: true,
        hired: true,
        decisions: usize::MAX,
    };

    /// With these more: most add up, the worst of origin, of what is not known and of what is hired
    /// holds.
    #[must_use]
    pub fn plus(&self, more: &Counts) -> Counts {
        Counts {
            money: self.money + more.money,
            days: self.days + more.days,
            impact: self.impact + more.impact,
            origin: self.origin.max(more.origin),
            labels: self.labels.saturating_add(more.labels),
            unsure: self.unsure | more.unsure,
            hired: self.hired | more.hired,
            decisions: self.decisions.saturating_add(more.decisions),
        }
    }

    /// Whether none of them is more than another's.
    pub fn no_worse(&self, other: &Counts) -> bool {
        self.money <= other.money
            && self.days <= other.days
            && self.impact <= other.impact
            && self.origin <= other.origin
            && self.labels <= other.labels
            && self.unsure <= other.unsure
            && self.hired <= other.hired
            && self.decisions <= other.decisions
    }

    /// The less of both in each.
    #[must_use]
    pub fn least(&self, other: &Counts) -> Counts {
        Counts {
            money: self.money.min(other.money),
            days: self.days.min(other.days),
            impact: self.impact.min(other.impact),
            origin: self.origin.min(other.origin),
            labels: self.labels.min(other.labels),
            unsure: self.unsure & other.unsure,
            hired: self.hired & other.hired,
            decisions: self.decisions.min(other.decisions),
        }
    }
}

/// What a day and a point of impact cost, money per hL: the one scale of loss.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Prices {
    /// A day.
    pub day: f64,
    /// A point of impact.
    pub point: f64,
}

/// One act as it was done in a route.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Done {
    /// The act.
    pub act: usize,
    /// Whether it was decided on, not put in.
    pub decided: bool,
    /// Least and greatest dose over the draws in which it was done, and share of those draws.
    pub dose: [f64; 2],
    /// Share of the draws in which it was done.
    pub share: f64,
    /// Day on which its trial or, without one, the act begins, from the start of the first act.
    pub begins: f64,
    /// Days of the trial, and of the test that only it asks for, before it.
    pub trial: f64,
    /// Days of waiting, after its trial, until what it needs is there.
    pub waits: f64,
}

/// A route as far as it goes.
#[derive(Debug, Clone, Default)]
pub struct Label {
    /// Values of each need, by draw.
    pub values: Vec<Vec<f64>>,
    /// Money per hL, by draw.
    pub money: Vec<f64>,
    /// Days.
    pub days: f64,
    /// Days that the tests after it take longer.
    pub retest_days: f64,
    /// Impact, summed over the draws.
    pub impact: f64,
    /// Worst class of origin.
    pub origin: u8,
    /// Things on the label.
    pub labels: u32,
    /// Whether anything is not known of the law.
    pub unsure: bool,
    /// Whether anything must be hired.
    pub hired: bool,
    /// Decisions so far.
    pub decisions: usize,
    /// Share of each limit used.
    pub used: Vec<f64>,
    /// Acts done, decided or put in.
    pub done: Vec<Done>,
    /// Acts decided.
    pub decided: Set,
    /// Acts done, decided or put in.
    pub past: Set,
    /// How many of the acts done have got what they ask for after them.
    pub closed: usize,
    /// Acts that still count for what needs an earlier act.
    pub fresh: Set,
    /// Things on the label, so that none counts twice.
    pub on_label: Set,
}

impl Label {
    /// Whether what must come before an act is there.
    fn has(&self, asks: &Asks) -> bool {
        let there = if asks.once { &self.past } else { &self.fresh };
        there.meets(&asks.instead)
    }

    /// Whether no shared limit is used up.
    fn is_within_limits(&self) -> bool {
        self.used.iter().all(|u| *u <= 1.0 + 1e-9)
    }

    /// The day from which an act stands far enough behind what was done; 0 where nothing is near.
    fn clear_of(&self, apart: &[Apart]) -> f64 {
        let clear = |a: &Apart| {
            let last = self.done.iter().rfind(|d| d.act == a.from)?;
            Some(last.begins + last.trial + last.waits + a.days)
        };
        apart.iter().filter_map(clear).fold(0.0, f64::max)
    }
}

impl Instance {
    /// Before anything is done.
    pub fn start(&self) -> Label {
        Label {
            values: self.needs.iter().map(|n| n.start.clone()).collect(),
            money: vec![0.0; self.draws],
            used: vec![0.0; self.limits],
            ..Label::default()
        }
    }

    /// Share of the draws in which every required need is met.
    pub fn probability(&self, label: &Label) -> f64 {
        self.probability_but(label, &[])
    }

    /// The same with some needs left aside.
    pub fn probability_but(&self, label: &Label, aside: &[usize]) -> f64 {
        let needs = || {
            self.needs
                .iter()
                .zip(&label.values)
                .enumerate()
                .filter(|(at, (n, _))| n.required && !aside.contains(at))
        };
        let met = |draw: usize| needs().all(|(_, (n, v))| v.get(draw).is_some_and(|x| n.met(*x)));
        (0..self.draws).filter(|d| met(*d)).count() as f64 / (self.draws.max(1) as f64)
    }

    /// Days of a route, with the tests before and after it.
    pub fn days(&self, label: &Label) -> f64 {
        self.summed_days(label).max(self.least_days)
    }

    /// Days of what is done one after the other: they add up as a route grows.
    fn summed_days(&self, label: &Label) -> f64 {
        label.days + label.retest_days + self.test_days
    }

    /// The route with a decision more, and all that is put in for it. None where it may not follow.
    pub fn decide(&self, label: &Label, index: usize) -> Option<Label> {
        if label.decided.has(index) || self.is_shut_out(label, index) {
            return None;
        }
        let mut next = label.clone();
        self.bring(&mut next, index, true)?;
        next.decided.add(index);
        next.decisions += 1;
        let stands = next.is_within_limits() && !self.is_cut(&next.decided);
        stands.then_some(next)
    }

    /// The route closed: what its last act asks for is put in. None where that may not be done.
    pub fn close(&self, label: &Label) -> Option<Label> {
        let mut closed = label.clone();
        self.close_last(&mut closed, None)?;
        closed.is_within_limits().then_some(closed)
    }

    /// Whether something done before keeps an act out.
    fn is_shut_out(&self, label: &Label, index: usize) -> bool {
        let act = self.acts.get(index);
        act.is_none_or(|a| a.never.meets(&label.past))
    }

    /// Does an act, with what the one before it and it itself ask for. What is put in is judged as
    /// what is chosen is, and asks for its own.
    fn bring(&self, label: &mut Label, index: usize, decided: bool) -> Option<()> {
        let act = self.acts.get(index)?;
        for asks in &act.before {
            if label.has(asks) {
                continue;
            }
            let Some(put_in) = self.choice(label, asks)? else {
                continue;
            };
            // What the act before asks for may do.
            self.close_last(label, Some(put_in))?;
            if !label.has(asks) {
                self.bring(label, put_in, false)?;
            }
        }
        self.close_last(label, Some(index))?;
        if self.is_shut_out(label, index) {
            return None;
        }
        self.done(label, index, decided);
        Some(())
    }

    /// What is put in where an act asks for it; `Some(None)` where it is done without, None where it
    /// may not be.
    fn choice(&self, label: &Label, asks: &Asks) -> Option<Option<usize>> {
        for index in asks.any.iter().copied() {
            let act = self.acts.get(index)?;
            let no_time = asks.spared && self.summed_days(label) + act.days > self.days;
            if self.is_shut_out(label, index) || no_time {
                continue;
            }
            // What counts wherever it was done is not put in where it comes too late: it is chosen
            // in its place, where it may be.
            if asks.once && act.ahead.meets(&label.past) {
                if act.decidable {
                    return None;
                }
                continue;
            }
            return Some(Some(index));
        }
        asks.spared.then_some(None)
    }

    /// Puts in what the last act asks for, unless what comes next does it.
    fn close_last(&self, label: &mut Label, next: Option<usize>) -> Option<()> {
        if label.closed == label.done.len() {
            return Some(());
        }
        let last = label.done.last().and_then(|d| self.acts.get(d.act));
        let Some((last, asks)) = last.and_then(|l| Some((l, l.after.as_ref()?))) else {
            return Some(());
        };
        let does = |n: usize| asks.instead.has(n) || asks.any.contains(&n) || last.together.has(n);
        if next.is_some_and(does) {
            return Some(());
        }
        let Some(put_in) = self.choice(label, asks)? else {
            return Some(());
        };
        // What comes before the act that is put in does not ask for it again.
        label.closed = label.done.len();
        self.bring(label, put_in, false)?;
        self.close_last(label, next)
    }

    /// Does an act once more on a route, for the state after it.
    pub fn repeat(&self, label: &mut Label, index: usize, decided: bool) {
        self.done(label, index, decided);
    }

    fn done(&self, label: &mut Label, index: usize, decided: bool) {
        let Some(act) = self.acts.get(index) else {
            return;
        };
        let follows_at_once = label
            .done
            .last()
            .and_then(|d| self.acts.get(d.act))
            .is_some_and(|l| l.together.has(index));
        let filler_open = label
            .done
            .last()
            .and_then(|d| self.acts.get(d.act))
            .is_some_and(|l| l.at_filler);
        let trial = if decided && !follows_at_once {
            act.trial_days
        } else {
            0.0
        } + if decided { act.test_days } else { 0.0 };
        let begins = label.days;
        let earliest = act.not_before.max(label.clear_of(&act.apart));
        let waits = (earliest - begins - trial).max(0.0);
        label.days += trial
            + waits
            + if act.at_filler && filler_open {
                0.0
            } else {
                act.days
            };
        label.retest_days = label.retest_days.max(act.retest_days);
        let rungs = if decided {
            self.rungs(label, act)
        } else {
            vec![Some(act.usual); self.draws]
        };
        for e in &act.effects {
            let Some(values) = label.values.get_mut(e.need) else {
                continue;
            };
            for (draw, (v, rung)) in values.iter_mut().zip(&rungs).enumerate() {
                let Some(rung) = rung else { continue };
                let left = e
                    .left
                    .get(*rung)
                    .and_then(|l| l.get(draw))
                    .copied()
                    .unwrap_or(1.0);
                *v = *v * left + e.add.get(*rung).copied().unwrap_or(0.0);
            }
        }
        let mut dose = [f64::INFINITY, 0.0_f64];
        let mut times = 0_u32;
        for (((m, rung), fixed), each) in label
            .money
            .iter_mut()
            .zip(&rungs)
            .zip(&act.fixed)
            .zip(&act.per_dose)
        {
            let Some(rung) = rung else { continue };
            let given = act.rungs.get(*rung).copied().unwrap_or(0.0);
            *m += fixed + each * given;
            label.impact += act.impact.get(*rung).copied().unwrap_or(0.0);
            // Doses are numbers: two comparisons cost less than what stands guard against others.
            if given < dose[0] {
                dose[0] = given;
            }
            if given > dose[1] {
                dose[1] = given;
            }
            times += 1;
        }
        if times > 0 {
            for (limit, full) in &act.limits {
                if let Some(u) = label.used.get_mut(*limit) {
                    *u += dose[1] / full.max(1e-12);
                }
            }
        } else {
            dose = [0.0, 0.0];
        }
        label.origin = label.origin.max(act.origin);
        label.unsure |= act.unsure;
        label.hired |= act.hired;
        if act.stays && !label.on_label.has(index) {
            label.on_label.add(index);
            label.labels += 1;
        }
        if act.muddies {
            label.fresh = Set::default();
        }
        label.fresh.add(index);
        label.past.add(index);
        label.done.push(Done {
            act: index,
            decided,
            dose,
            share: f64::from(times) / (self.draws.max(1) as f64),
            begins,
            trial,
            waits,
        });
    }

    /// The rung by draw, as the test before it and its trial would tell: none where nothing is to
    /// be done or what guards it is
    /// not met; else the least that reaches each band that can be reached; else the usual one.
    fn rungs(&self, label: &Label, act: &Act) -> Vec<Option<usize>> {
        let mut rungs: Vec<Option<usize>> = vec![None; self.draws];
        // Wanted, but no rung reaches a band so far.
        const BEYOND: usize = usize::MAX;
        for e in act.effects.iter().filter(|e| e.removes) {
            let (Some(need), Some(values)) = (self.needs.get(e.need), label.values.get(e.need))
            else {
                continue;
            };
            for (draw, (v, rung)) in values
                .iter()
                .zip(&mut rungs)
                .enumerate()
                .filter(|(_, (v, _))| **v >= need.ceiling)
            {
                let reaches = |(left, add): (&Vec<f64>, &f64)| {
                    left.get(draw).is_some_and(|l| need.met(v * l + add))
                };
                let least = e
                    .left
                    .iter()
                    .zip(&e.add)
                    .position(reaches)
                    .unwrap_or(BEYOND);
                *rung = match *rung {
                    None | Some(BEYOND) => Some(least),
                    Some(before) if least == BEYOND => Some(before),
                    Some(before) => Some(before.max(least)),
                };
            }
        }
        rungs
            .iter_mut()
            .flatten()
            .filter(|r| **r == BEYOND)
            .for_each(|r| *r = act.usual);
        for guard in &act.guards {
            let (Some(need), Some(values)) = (self.needs.get(*guard), label.values.get(*guard))
            else {
                continue;
            };
            rungs
                .iter_mut()
                .zip(values)
                .filter(|(_, v)| !need.met(**v))
                .for_each(|(r, _)| *r = None);
        }
        rungs
    }

    /// What a route is judged by, before anything is rounded.
    pub fn sums(&self, label: &Label) -> Counts {
        let n = self.draws.max(1) as f64;
        Counts {
            money: label.money.iter().sum::<f64>() / n,
            days: self.summed_days(label),
            impact: label.impact / n,
            origin: label.origin,
            labels: label.labels,
            unsure: label.unsure,
            hired: label.hired,
            decisions: label.decisions,
        }
    }

    /// The same with the days that every route takes at least.
    pub fn sums_with_tests(&self, label: &Label) -> Counts {
        Counts {
            days: self.days(label),
            ..self.sums(label)
        }
    }

    /// What a closed route is judged by. Money and impact are rounded to what can be told apart, so
    /// that a route's counts never fall as it grows.
    pub fn counts(&self, label: &Label) -> Counts {
        self.rounded(&self.sums(label), 1e-9)
    }

    /// The least that the counts can be of a route whose sums are at least these; a little less,
    /// since sums in another order round differently.
    pub fn at_least(&self, sums: &Counts) -> Counts {
        let less = Counts {
            money: sums.money - 1e-7,
            impact: sums.impact - 1e-7,
            ..*sums
        };
        self.rounded(&less, 1e-7)
    }

    fn rounded(&self, sums: &Counts, slack: f64) -> Counts {
        let to = |step: f64, x: f64| libm::round(x / step) * step;
        Counts {
            money: to(MONEY_STEP, sums.money),
            days: libm::ceil(sums.days.max(self.least_days) - slack),
            impact: to(IMPACT_STEP, sums.impact),
            ..*sums
        }
    }

    /// What a route costs on the one scale of loss, money per hL: money, days and impact, and the
    /// same once more in the share of the draws in which it does not reach its needs. A test tells
    /// so before the bottling, and then as much is to be done again. Judgement.
    pub fn loss(&self, counts: &Counts, met: f64) -> f64 {
        let once = counts.money + counts.days * self.prices.day + counts.impact * self.prices.point;
        once * (2.0 - met)
    }

    /// Whether a route holds all decisions of a cut.
    fn is_cut(&self, decided: &Set) -> bool {
        self.cuts.iter().any(|c| decided.holds(c))
    }
}
