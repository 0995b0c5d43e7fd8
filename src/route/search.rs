//! The search: every route of up to so many decisions that reaches the target and that no other
//! beats on all counts.
//! Exact within the model: what is cut off could only be beaten, or could never reach the target.

use super::bounds::{Bounds, Open, plus};
use super::model::{Counts, Instance, Label};

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
    /// Routes that no other beats, by rising money.
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

struct Search<'a> {
    on: &'a Instance,
    front: Front,
    bounds: Bounds,
}

/// Searches.
pub fn search(on: &Instance) -> Front {
    let mut s = Search {
        on,
        front: Front::default(),
        bounds: Bounds::of(on),
    };
    let start = on.start();
    s.close(&start, &[]);
    if s.front.routes.is_empty() {
        let (sums, open) = (on.sums(&start), s.bounds.open(on, &start));
        // Few decisions first: what they find cuts the rest.
        for decisions in 1..=on.decisions {
            s.extend((&start, &sums, &open), &mut Vec::new(), 0, decisions);
        }
    }
    s.front
}

impl Search<'_> {
    /// The front stands by rising money, so that the dearer ones need no look.
    fn is_beaten(&self, counts: &Counts) -> bool {
        let dearest = counts.first().copied().unwrap_or(0.0) + 1e-12;
        self.front
            .routes
            .iter()
            .take_while(|f| f.counts.first().is_some_and(|m| *m <= dearest))
            .any(|f| no_worse(&f.counts, counts))
    }

    /// Whether a route is cut off that has these sums now and needs so much more at least.
    fn is_cut(&self, sums: &Counts, more: &Counts, decisions: usize) -> bool {
        let [.., most] = *more;
        most > decisions as f64 || self.is_beaten(&self.on.at_least(&plus(sums, more)))
    }

    /// Closes a route and keeps it where nothing found beats it.
    fn close(&mut self, label: &Label, decisions: &[usize]) {
        let Some(closed) = self.on.close(label) else {
            return;
        };
        if self.on.days(&closed) > self.on.days {
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
        let at = self
            .front
            .routes
            .iter()
            .take_while(|f| f.counts < counts)
            .count();
        self.front.routes.insert(
            at,
            Found {
                decisions: decisions.to_vec(),
                counts,
            },
        );
    }

    /// Every route of so many decisions more, from an act on: what there is, its sums, what is
    /// open.
    fn extend(
        &mut self,
        (label, sums, open): (&Label, &Counts, &Open),
        decisions_so_far: &mut Vec<usize>,
        from: usize,
        more: usize,
    ) {
        let mut left = Vec::with_capacity(self.on.needs.len());
        for i in from..self.on.acts.len() {
            let Some(act) = self.on.acts.get(i).filter(|a| a.decidable) else {
                continue;
            };
            if self.front.tried >= MOST_TRIED {
                self.front.stopped = true;
                return;
            }
            // What it leaves alone must be met by the decisions after it.
            self.bounds.left_by(open, i, &mut left);
            let new_label = act.stays && !label.on_label.has(i);
            let takes = if act.at_filler { 0.0 } else { act.days };
            let adds = [
                0.0,
                takes,
                0.0,
                f64::from(act.origin),
                f64::from(u8::from(new_label)),
                f64::from(u8::from(act.unsure)),
                1.0,
            ];
            let with_it = plus(sums, &adds);
            if self.bounds.is_idle(open, i)
                || self.is_cut(&with_it, &self.bounds.still(&left, i + 1), more - 1)
            {
                continue;
            }
            if !self.bounds.could(open, i, more, &mut left)
                || self.is_cut(&with_it, &self.bounds.still(&left, i + 1), more - 1)
            {
                continue;
            }
            let Some(next) = self.on.decide(label, i) else {
                continue;
            };
            self.front.tried += 1;
            if self.on.days(&next) > self.on.days {
                continue;
            }
            decisions_so_far.push(i);
            if more == 1 {
                self.close(&next, decisions_so_far);
            } else {
                let sums = self.on.sums(&next);
                // What is beaten already needs no closer look.
                if !self.is_beaten(&self.on.at_least(&sums)) {
                    let open = self.bounds.open(self.on, &next);
                    let least = self.bounds.still(&open.asks, i + 1);
                    if !self.is_cut(&sums, &least, more - 1)
                        && self.on.probability(&next) < self.on.target
                    {
                        self.extend((&next, &sums, &open), decisions_so_far, i + 1, more - 1);
                    }
                }
            }
            let _taken = decisions_so_far.pop();
        }
    }
}
