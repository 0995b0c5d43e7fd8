//! The search: of every route of up to so many decisions that reaches the target, the best by each
//! aim. Exact within the model: what is cut off could be the best by none, or could never reach the
//! target. It can be stopped at any time and gone on with; what it has found so far is a way, though
//! a better one may exist.

use super::aims::{Aim, Score};
use super::bounds::{Ask, Bounds, Open};
use super::model::{Counts, Instance, Label, mean};
use crate::sorting::sort;
use std::cell::Cell;

/// A route that was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Decisions, in their order.
    pub decisions: Vec<usize>,
    /// What it is judged by.
    pub counts: Counts,
    /// Share of the draws in which it meets every need.
    pub met: f64,
}

/// What a search brought.
#[derive(Debug, Clone, Default)]
pub struct Front {
    /// The best route by each aim, in the order of [`Aim::ALL`]; empty where there is no route.
    pub best_by: Vec<Found>,
    /// Routes that were looked at on the way and that none of those beats on every count, nor one
    /// another.
    pub others: Vec<Found>,
    /// Routes looked at, whole or in part.
    pub tried: usize,
    /// Best share of draws met by any route looked at, for the case that none reaches the target.
    pub best: f64,
    /// The decisions of that route.
    pub best_decisions: Vec<usize>,
    /// True where the search was stopped before its end, so that a better route may exist.
    pub stopped: bool,
}

impl Front {
    /// The best route by an aim.
    pub fn by(&self, aim: Aim) -> Option<&Found> {
        let at = Aim::ALL.iter().position(|a| *a == aim)?;
        self.best_by.get(at)
    }

    /// Keeps a route among the others where none of them is as good on every count.
    fn keep(&mut self, found: &Found) {
        if self.others.iter().any(|o| o.counts.no_worse(&found.counts)) {
            return;
        }
        self.others.retain(|o| !found.counts.no_worse(&o.counts));
        if self.others.len() < MOST_OTHERS {
            self.others.push(found.clone());
        }
    }

    /// Whether no route was found.
    pub fn is_empty(&self) -> bool {
        self.best_by.is_empty()
    }
}

/// Most others that are kept.
const MOST_OTHERS: usize = 64;
/// Most routes looked at before the search stops and says so.
pub const MOST_TRIED: usize = 400_000;

/// Acts that are tried for each need at the beginning. Judgement.
const HEAD_START: usize = 2;
/// Most routes that are looked at there. Judgement.
const MOST_HEAD_START: usize = 64;

/// An act for a need, as the beginning of a search sees it.
struct Candidate {
    at: usize,
    hired: bool,
    unsure: bool,
    /// Share of the need that it leaves on average, in tenths.
    left: f64,
    money: f64,
}

/// The acts that leave least of a need at the useful dose, on average, what is at hand and known of
/// the law first; of those that leave as little the cheapest.
fn strongest(on: &Instance, need: usize) -> Vec<usize> {
    let mut all: Vec<Candidate> = Vec::new();
    for (at, act) in on.acts.iter().enumerate().filter(|(_, a)| a.decidable) {
        let of = act.effects.iter().find(|e| e.need == need && e.removes);
        if let Some(left) = of.and_then(|e| e.left.get(act.usual)) {
            all.push(Candidate {
                at,
                hired: act.hired,
                unsure: act.unsure,
                // Tenths, so that what hardly differs is told apart by its price.
                left: libm::round(mean(left) * 10.0),
                money: act.usual_money(),
            });
        }
    }
    sort(&mut all, &mut |a, b| {
        (a.hired, a.unsure)
            .cmp(&(b.hired, b.unsure))
            .then(a.left.total_cmp(&b.left))
            .then(a.money.total_cmp(&b.money))
    });
    all.into_iter().take(HEAD_START).map(|a| a.at).collect()
}

/// A route as far as it goes, and the act that is tried next after it.
#[derive(Debug)]
struct Frame {
    label: Label,
    sums: Counts,
    open: Open,
    next: usize,
}

/// A search that can be gone on with.
#[derive(Debug)]
pub struct Search {
    bounds: Bounds,
    front: Front,
    scores: Vec<Score>,
    /// Decisions of the routes of this pass: few first, since what they find cuts the rest.
    pass: usize,
    /// The route that is built, a frame for each decision; the first is the wine as it is.
    frames: Vec<Frame>,
    decisions: Vec<usize>,
    left: Vec<Ask>,
    /// The aim at which the route looked at last could still be the best: most likely the next can
    /// be so too, and one look is enough.
    hope: Cell<usize>,
}

/// Searches to the end, or until so many routes were looked at that it stops and says so.
pub fn search(on: &Instance) -> Front {
    let mut search = Search::of(on);
    let ended = search.run(on, MOST_TRIED);
    let mut front = search.front;
    front.stopped = !ended;
    front
}

impl Search {
    /// Of an instance; nothing but the wine as it is was looked at.
    pub fn of(on: &Instance) -> Search {
        let mut search = Search {
            bounds: Bounds::of(on),
            front: Front::default(),
            scores: Vec::new(),
            pass: 0,
            frames: Vec::new(),
            decisions: Vec::new(),
            left: Vec::with_capacity(on.needs.len()),
            hope: Cell::new(0),
        };
        let start = on.start();
        search.close(on, &start);
        if search.front.is_empty() {
            search.head_start(on);
        } else {
            // Where nothing need be done, nothing is.
            search.pass = on.decisions;
        }
        search
    }

    /// Ways that take for each need one of the few acts that leave least of it: a way is known
    /// early, and what it costs cuts the rest.
    fn head_start(&mut self, on: &Instance) {
        let strongest: Vec<Vec<usize>> = (0..on.needs.len())
            .filter(|n| on.needs.get(*n).is_some_and(|need| need.required))
            .map(|need| strongest(on, need))
            .filter(|acts| !acts.is_empty())
            .collect();
        let ways: usize = strongest.iter().map(Vec::len).product();
        for way in 0..ways.min(MOST_HEAD_START) {
            let mut rest = way;
            let mut acts: Vec<usize> = Vec::new();
            for of in &strongest {
                acts.extend(of.get(rest % of.len()));
                rest /= of.len();
            }
            sort(&mut acts, &mut usize::cmp);
            acts.dedup();
            acts.truncate(on.decisions);
            self.look_at(on, &acts);
        }
    }

    /// Looks at one route, by the rules of the search: no decision is idle, and none follows once
    /// the aim is reached.
    fn look_at(&mut self, on: &Instance, acts: &[usize]) {
        let mut label = on.start();
        for at in acts {
            if self.bounds.is_idle(&self.bounds.open(on, &label), *at) {
                continue;
            }
            let Some(next) = on.decide(&label, *at) else {
                break;
            };
            self.front.tried += 1;
            label = next;
            self.decisions.push(*at);
            if on.probability(&label) >= on.target {
                break;
            }
        }
        if !self.decisions.is_empty() {
            self.close(on, &label);
        }
        self.decisions.clear();
    }

    /// What was found so far.
    pub fn front(&self) -> &Front {
        &self.front
    }

    /// Looks at so many routes more; true where nothing is left to look at.
    pub fn run(&mut self, on: &Instance, tries: usize) -> bool {
        let until = self.front.tried.saturating_add(tries);
        while self.front.tried < until {
            if self.frames.is_empty() {
                if self.pass >= on.decisions {
                    return true;
                }
                self.pass += 1;
                let label = on.start();
                let (sums, open) = (on.sums(&label), self.bounds.open(on, &label));
                self.frames.push(Frame {
                    label,
                    sums,
                    open,
                    next: 0,
                });
            }
            self.go_on(on);
        }
        self.frames.is_empty() && self.pass >= on.decisions
    }

    /// One act more after the last frame, or a step back.
    fn go_on(&mut self, on: &Instance) {
        let more = self.pass + 1 - self.frames.len();
        let Some(frame) = self.frames.last_mut() else {
            return;
        };
        let at = frame.next;
        frame.next += 1;
        // What no act from here on could make the best at anything, none after it can.
        let at_end = at >= on.acts.len();
        let hopeless = self
            .frames
            .last()
            .is_some_and(|f| self.is_cut(on, &f.sums, &self.bounds.still(&f.open.asks, at), more));
        if at_end || hopeless {
            let _done = self.frames.pop();
            let _taken = self.decisions.pop();
            return;
        }
        if let Some(label) = self.decided(on, at, more) {
            self.decisions.push(at);
            if more == 1 {
                self.close(on, &label);
                let _taken = self.decisions.pop();
            } else if let Some(frame) = self.opened(on, label, at + 1, more - 1) {
                self.frames.push(frame);
            } else {
                let _taken = self.decisions.pop();
            }
        }
    }

    /// The route of the last frame with an act decided; None where that may not be, or where no
    /// route with it and so many decisions, itself counted, could be the best at anything.
    fn decided(&mut self, on: &Instance, at: usize, more: usize) -> Option<Label> {
        let act = on.acts.get(at).filter(|a| a.decidable)?;
        let frame = self.frames.last()?;
        if self.bounds.is_idle(&frame.open, at) {
            return None;
        }
        let adds = Counts {
            days: if act.at_filler { 0.0 } else { act.days },
            origin: act.origin,
            labels: u32::from(act.stays && !frame.label.on_label.has(at)),
            unsure: act.unsure,
            hired: act.hired,
            decisions: 1,
            ..Counts::default()
        };
        let with_it = frame.sums.plus(&adds);
        // What it leaves alone must be met by the decisions after it.
        self.bounds.left_by(&frame.open, at, &mut self.left);
        if self.is_cut(
            on,
            &with_it,
            &self.bounds.still(&self.left, at + 1),
            more - 1,
        ) || !self.bounds.could(&frame.open, at, more, &mut self.left)
            || self.is_cut(
                on,
                &with_it,
                &self.bounds.still(&self.left, at + 1),
                more - 1,
            )
        {
            return None;
        }
        let next = on.decide(&frame.label, at)?;
        self.front.tried += 1;
        (on.days(&next) <= on.days).then_some(next)
    }

    /// A route to go on from with so many decisions; None where nothing is to be gained by it.
    fn opened(&self, on: &Instance, label: Label, next: usize, more: usize) -> Option<Frame> {
        let sums = on.sums(&label);
        // What is beaten already needs no closer look.
        if self.is_beaten(on, &on.at_least(&sums)) {
            return None;
        }
        let open = self.bounds.open(on, &label);
        let least = self.bounds.still(&open.asks, next);
        let goes_on = !self.is_cut(on, &sums, &least, more) && on.probability(&label) < on.target;
        goes_on.then_some(Frame {
            label,
            sums,
            open,
            next,
        })
    }

    /// Whether a route with at least these counts is the best at nothing.
    fn is_beaten(&self, on: &Instance, counts: &Counts) -> bool {
        let hopes = |at: usize| {
            let of = Aim::ALL.get(at).zip(self.scores.get(at));
            of.is_some_and(|(aim, best)| aim.score(on, counts, 1.0).is_less(best))
        };
        if self.scores.is_empty() || hopes(self.hope.get()) {
            return false;
        }
        let hope = (0..Aim::ALL.len()).find(|at| hopes(*at));
        hope.into_iter().for_each(|at| self.hope.set(at));
        hope.is_none()
    }

    /// Whether a route is cut off that has these sums now and needs so much more at least.
    fn is_cut(&self, on: &Instance, sums: &Counts, more: &Counts, decisions: usize) -> bool {
        more.decisions > decisions || self.is_beaten(on, &on.at_least(&sums.plus(more)))
    }

    /// Closes a route and keeps it where it is the best at something.
    fn close(&mut self, on: &Instance, label: &Label) {
        let Some(closed) = on.close(label) else {
            return;
        };
        if on.days(&closed) > on.days {
            return;
        }
        let met = on.probability(&closed);
        if met > self.front.best || self.front.best_decisions.is_empty() {
            self.front.best = met;
            self.front.best_decisions.clone_from(&self.decisions);
        }
        if met < on.target {
            return;
        }
        let found = Found {
            decisions: self.decisions.clone(),
            counts: on.counts(&closed),
            met,
        };
        let score = |aim: &Aim| aim.score(on, &found.counts, met);
        self.front.keep(&found);
        if self.scores.is_empty() {
            self.scores = Aim::ALL.iter().map(score).collect();
            self.front.best_by = vec![found; Aim::ALL.len()];
            return;
        }
        let bests = self.scores.iter_mut().zip(&mut self.front.best_by);
        for (aim, (best, of)) in Aim::ALL.iter().zip(bests) {
            let own = score(aim);
            if own.is_less(best) {
                *best = own;
                of.clone_from(&found);
            }
        }
    }
}
