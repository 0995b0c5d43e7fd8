//! What the readings of a trial say. The dose recommended is a rung that was tested: the least whose reading lies inside the
//! limit with its error, with no higher rung outside, and not beaten in taste.

use super::Tested;
use super::fit::{Point, best_decay, falling};
use crate::knowledge::{PROBLEMS, STABILITIES, Treatment};
use crate::law::{self, Legality};
use crate::sorting::sort;
pub use crate::stability::SURE;
use crate::stability::standard_error;
use crate::units::{day::Day, show};
use crate::wine::*;

/// Error of a reading, as a share, where the tables hold none for its test. Judgement.
pub const OWN_ERROR: f64 = 0.1;
/// Points of a score that a difference in taste must pass. Judgement.
pub const TASTE: f64 = 1.0;
/// A gap in the ladder below the rung found that is worth a closer one, as a share of the top rung. Judgement.
const GAP: f64 = 0.15;

/// How a rung stands to the limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// Inside with its error.
    Inside,
    /// Too near the limit for its error.
    Doubtful,
    /// Outside.
    Outside,
    /// There is no limit, or no reading.
    NotJudged,
}

impl Stand {
    /// The word on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Stand::Inside => "inside",
            Stand::Doubtful => "too near",
            Stand::Outside => "outside",
            Stand::NotJudged => "–",
        }
    }
}

/// A dose with what was read at it.
#[derive(Debug, Clone, PartialEq)]
pub struct At {
    /// Dose.
    pub dose: f64,
    /// Mean reading.
    pub value: Option<f64>,
    /// How many readings.
    pub times: usize,
    /// The never-rising fit, with its band (90 % two-sided), low, middle and high; None for an outlier and beyond
    /// over-fining.
    pub fit: Option<[f64; 3]>,
    /// Mean score.
    pub score: Option<f64>,
    /// How it stands.
    pub stand: Stand,
    /// Whether it breaks the fit by more than its error.
    pub outlier: bool,
    /// Whether it is above a legal limit of a market named.
    pub over_cap: bool,
}

/// What came of the trial.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing to read yet.
    Empty,
    /// No glass without a dose.
    NoControl,
    /// Readings of more than one test.
    TwoTests,
    /// The control is inside, or as good as any: no treatment is called for.
    NoTreatment,
    /// A tested rung does it.
    Found,
    /// Rungs lie too near the limit for their error.
    Doubtful,
    /// No rung reaches the limit.
    NoneReached,
    /// A rung reaches it, but is above a legal limit.
    OverLimit,
    /// The law of a market named forbids the treatment.
    Forbidden,
    /// There is no limit, no target and no score.
    NotJudged,
}

/// A trial, read.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Unit of the doses.
    pub unit: &'static str,
    /// What was read; None for taste alone.
    pub quantity: Option<Quantity>,
    /// Least that is inside.
    pub floor: Option<f64>,
    /// What must be kept below: the limit, or the own target where it is stricter or there is none.
    pub ceiling: Option<f64>,
    /// Where the limit comes from, and its source; empty for an own target.
    pub why: (&'static str, &'static str),
    /// Doses ascending.
    pub at: Vec<At>,
    /// What came of it.
    pub outcome: Outcome,
    /// The tested rung recommended.
    pub recommended: Option<f64>,
    /// The tested rung that the user chose.
    pub chosen: Option<f64>,
    /// Where the fit crosses the limit: it sizes the next ladder and is never a dose.
    pub crossing: Option<f64>,
    /// Rungs worth trying next.
    pub next: Vec<f64>,
    /// The answer in a sentence or two.
    pub answer: String,
    /// What else was seen: outliers, over-fining, too few rungs.
    pub notes: Vec<String>,
    day: Option<Day>,
    error: (f64, f64),
    /// Whether every glass got another agent too.
    beside: bool,
}

/// Reads the trial of a treatment; None where there is none or none to be made (see [`super::bench_dose`]).
pub fn read(wine: &Wine, t: &'static Treatment) -> Option<Reading> {
    let dose = super::bench_dose(wine, t)?;
    let (trial, path) = super::trial_of(wine, t.key)?;
    let found = law::findings(wine, t);
    let cap = found.iter().filter_map(|f| f.dose_cap).reduce(f64::min);
    let facts = trial.quantity.and_then(|q| PROBLEMS.iter().find(|p| p.quantity == q));
    let band = facts.and_then(|f| f.band(wine));
    let test = trial.quantity.and_then(|q| STABILITIES.iter().find(|s| s.quantity == q));
    let mut r = Reading {
        unit: dose.basis.label(),
        quantity: trial.quantity,
        floor: band.and_then(|b| b.floor),
        ceiling: band.and_then(|b| b.ceiling),
        why: band.map_or(("", ""), |b| (b.why.text, b.why.source)),
        at: gather(trial, &path, cap),
        outcome: Outcome::Empty,
        recommended: None,
        chosen: None,
        crossing: None,
        next: Vec::new(),
        answer: String::new(),
        notes: Vec::new(),
        day: Day::read(&trial.day),
        beside: trial.with.iter().any(|w| crate::wine::dose(&w.dose).is_some_and(|d| d.is_ok_and(|d| d > 0.0))),
        error: test.map_or((0.0, OWN_ERROR), |s| (s.error_plus, s.error_share)),
    };
    if let Some(Ok(own)) = trial.target(&path) {
        if r.ceiling.is_none_or(|c| own < c) {
            (r.ceiling, r.why) = (Some(own), ("", ""));
        } else {
            r.notes.push("Your target is not stricter than the limit: the limit counts.".into());
        }
    }
    let unread = trial.errors(&path).len();
    if unread > 0 {
        r.notes.push(format!("Typed, but not used: {}.", if unread == 1 { "one entry".into() } else { format!("{unread} entries") }));
    }
    if let Some(other) = trial.rungs.iter().filter(|x| !counts(trial, x)).find_map(|x| x.quantity) {
        r.notes.push(format!("Readings typed as “{}” are not used here.", other.label()));
    }
    let read_any = r.at.iter().any(|a| a.value.is_some());
    if read_any && test.is_none() {
        r.notes.push(format!("The error of this reading is not known here; {} of it is taken.", show::percent(OWN_ERROR)));
    }
    let tests = tests(trial);
    if tests.len() > 1 {
        r.outcome = Outcome::TwoTests;
        r.answer = format!("Readings of two tests are not read together: {}. Read all glasses by one of them.", tests.join("; "));
        return Some(r);
    }
    if read_any && trial.quantity == Some(Quantity::HeatRise) && tests.is_empty() {
        r.notes.push("Write which heat test it was: only readings of one test belong together.".into());
    }
    r.judge(cap, found.iter().any(|f| f.legality == Legality::Forbidden));
    if let Some(Ok(chosen)) = trial.chosen(&path) {
        r.choose(chosen);
    }
    Some(r)
}

/// Whether a rung has a reading of what the trial reads now.
fn counts(trial: &Trial, r: &Rung) -> bool {
    !r.reading.0.trim().is_empty() && (r.quantity.is_none() || r.quantity == trial.quantity)
}

/// The names of the tests, each once, however they are spaced and written large or small.
fn tests(trial: &Trial) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let used = trial.rungs.iter().filter(|r| counts(trial, r)).map(|r| &r.test);
    let any = used.clone().next().is_some();
    for name in used.chain(any.then_some(&trial.test)) {
        let plain = |s: &str| show::lower(&s.split_whitespace().collect::<String>());
        if !name.trim().is_empty() && !names.iter().any(|n| plain(n) == plain(name)) {
            names.push(name.trim().to_string());
        }
    }
    names
}

/// Readings and scores by dose, ascending; glasses of one dose are taken together.
fn gather(trial: &Trial, path: &str, cap: Option<f64>) -> Vec<At> {
    let mut rows: Vec<(f64, Option<f64>, Option<f64>)> = Vec::new();
    for (i, rung) in trial.rungs.iter().enumerate() {
        let at = format!("{path}.rungs.{i}");
        if let Some(Ok(dose)) = rung.dose(&at) {
            let reading = if counts(trial, rung) { rung.reading(&at, trial.quantity) } else { None };
            rows.push((dose, reading.and_then(Result::ok), rung.score(&at).and_then(Result::ok)));
        }
    }
    // By dose and then by what was read, so that the sums do not hang on the order of the file.
    sort(&mut rows, &mut |a, b| {
        let key = |r: &(f64, Option<f64>, Option<f64>)| (r.1.unwrap_or(-1.0), r.2.unwrap_or(-1.0));
        let (a1, a2) = key(a);
        let (b1, b2) = key(b);
        a.0.total_cmp(&b.0).then(a1.total_cmp(&b1)).then(a2.total_cmp(&b2))
    });
    let mut all: Vec<At> = Vec::new();
    let mut sums: Vec<[f64; 4]> = Vec::new();
    for (dose, value, score) in rows {
        if !all.last().is_some_and(|a| same(a.dose, dose)) {
            let over_cap = cap.is_some_and(|c| dose > c);
            all.push(At { dose, value: None, times: 0, fit: None, score: None, stand: Stand::NotJudged, outlier: false, over_cap });
            sums.push([0.0; 4]);
        }
        if let Some([values, times, scores, tasted]) = sums.last_mut() {
            for (x, sum, many) in [(value, values, times), (score, scores, tasted)] {
                if let Some(x) = x {
                    *sum += x;
                    *many += 1.0;
                }
            }
        }
    }
    for (a, [values, times, scores, tasted]) in all.iter_mut().zip(sums) {
        let mean = |sum: f64, many: f64| (many > 0.0).then(|| sum / many);
        (a.value, a.score, a.times) = (mean(values, times), mean(scores, tasted), times as usize);
    }
    all
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// A dose as it was typed, to three decimals.
pub fn dose_text(dose: f64) -> String {
    show::fixed(dose, 3)
}

fn list(doses: &[f64], unit: &str) -> String {
    format!("{} {unit}", doses.iter().map(|d| dose_text(*d)).collect::<Vec<_>>().join(", "))
}

impl Reading {
    /// The one-sided error of a mean of `times` readings at `value`.
    fn error(&self, value: f64, times: f64) -> f64 {
        let (plus, share) = self.error;
        SURE * standard_error(plus, share, value, times)
    }

    /// The rung that counts: the one chosen, else the one recommended.
    pub fn tested(&self) -> Option<Tested> {
        let dose = self.chosen.or(self.recommended)?;
        let reading = |d: f64| self.at.iter().find(|a| same(a.dose, d)).and_then(|a| Some((a.value?, a.times as f64)));
        let removed = self.quantity.zip(reading(dose).zip(reading(0.0))).filter(|(_, (_, (start, _)))| *start > 0.0).map(|(q, ((value, n), (start, m)))| {
            let (own, from) = (self.error(value, n), self.error(start, m));
            let share = |left: f64, of: f64| (1.0 - left / of.max(1e-9)).clamp(0.0, 1.0);
            (q, [share(value + own, start - from), share(value, start), share((value - own).max(0.0), start + from)])
        });
        Some(Tested { dose, unit: self.unit, day: self.day, chosen: self.chosen.is_some(), removed })
    }

    /// Takes the user's rung where it was really tested and no limit stands against it.
    fn choose(&mut self, dose: f64) {
        let Some(at) = self.at.iter().find(|a| same(a.dose, dose) && (a.value.is_some() || a.score.is_some())) else {
            self.notes.push(format!("{} was chosen but not tested: choose a rung that was read or tasted.", list(&[dose], self.unit)));
            return;
        };
        if at.over_cap || self.outcome == Outcome::Forbidden {
            self.notes.push(format!("{} was chosen but is not to be used: over the limit of a market named.", list(&[dose], self.unit)));
            return;
        }
        if self.recommended.is_none_or(|r| !same(r, dose)) {
            let how = if at.stand == Stand::Inside { "inside" } else { "not shown to be inside" };
            self.notes.push(format!("You chose {}; its reading is {how}.", list(&[dose], self.unit)));
        }
        self.chosen = Some(dose);
    }

    fn judge(&mut self, cap: Option<f64>, forbidden: bool) {
        let beyond = self.beyond();
        self.fit(beyond);
        self.stand();
        self.taste_notes();
        let read: Vec<&At> = self.at.iter().filter(|a| a.value.is_some()).collect();
        let tasted = self.at.iter().any(|a| a.score.is_some());
        if read.is_empty() && !tasted {
            self.answer = "Nothing read yet. Type the reading or the score of each glass.".into();
            return;
        }
        if forbidden {
            self.outcome = Outcome::Forbidden;
            self.answer = "Not permitted in a market you named: no dose is read from this trial.".into();
            return;
        }
        let judged = !read.is_empty() && (self.ceiling.is_some() || self.floor.is_some());
        if judged {
            if read.len() < 3 {
                self.notes.push("Fewer than three doses were read: that is no curve.".into());
            }
            self.by_reading(cap, beyond);
        } else {
            self.by_taste(tasted);
        }
    }

    /// The dose from which the wine is over-fined: the reading has risen from its least by more than the error, at two doses or
    /// more, and does not fall again to the end of the ladder.
    fn beyond(&mut self) -> Option<f64> {
        let points: Vec<Point> = self.points();
        let least = points.iter().copied().reduce(|a, b| if b.value < a.value { b } else { a })?;
        let tail: Vec<&Point> = points.iter().filter(|p| p.dose > least.dose).collect();
        let risen = |p: &Point| {
            let (a, b) = (self.error(p.value, p.times), self.error(least.value, least.times));
            p.value - least.value > libm::sqrt(a * a + b * b)
        };
        let (first, last) = tail.first().zip(tail.last())?;
        // Readings that fall again after a rise have a slip below them, not too much.
        if !tail.iter().all(|p| risen(p)) || last.value < first.value {
            return None;
        }
        let from = first.dose;
        if least.dose <= 0.0 {
            self.notes.push("Every dose reads worse than the control.".into());
            return Some(from);
        }
        if tail.len() == 1 {
            self.notes.push(format!("The reading rises again at {}: a slip, or too much. Repeat that glass.", list(&[from], self.unit)));
            return None;
        }
        self.notes.push(format!("Over-fining: the reading rises again from {}. Its test stands on the page of the treatment.", list(&[from], self.unit)));
        Some(from)
    }

    fn points(&self) -> Vec<Point> {
        self.at.iter().filter_map(|a| Some(Point { dose: a.dose, value: a.value?, times: a.times as f64 })).collect()
    }

    /// The never-rising fit without what lies beyond over-fining and without outliers, which are named.
    fn fit(&mut self, beyond: Option<f64>) {
        let mut points: Vec<Point> = self.points().into_iter().filter(|p| beyond.is_none_or(|b| p.dose < b)).collect();
        let all = points.len();
        let fitted = |points: &[Point]| falling(&points.iter().map(|p| (p.value, p.times)).collect::<Vec<_>>());
        let misfit = |p: &Point, f: f64| libm::fabs(p.value - f) / self.error(f, p.times).max(1e-12);
        let mut out: Vec<f64> = Vec::new();
        // A later reading above an earlier one, their errors not touching. One rung is taken out after the other, the one without
        // which least is broken; where two contradict each other and nothing tells them apart, both.
        let broken = |points: &[Point]| {
            let ends: Vec<[f64; 2]> = points.iter().map(|p| self.error(p.value, p.times)).zip(points).map(|(e, p)| [p.value - e, p.value + e]).collect();
            ends.iter().enumerate().map(|(i, a)| ends.iter().skip(i + 1).filter(|b| b[0] > a[1]).count()).sum::<usize>()
        };
        while points.len() >= 3 && out.len() * 2 < all && broken(&points) > 0 {
            let left = |without: f64| {
                let rest: Vec<Point> = points.iter().copied().filter(|p| !same(p.dose, without)).collect();
                let squares = rest.iter().zip(fitted(&rest)).map(|(p, f)| misfit(p, f) * misfit(p, f)).sum::<f64>();
                broken(&rest) as f64 * 1e6 + squares
            };
            let costs: Vec<(f64, f64)> = points.iter().map(|p| (p.dose, left(p.dose))).collect();
            let best = costs.iter().map(|c| c.1).fold(f64::INFINITY, f64::min);
            let blamed: Vec<f64> = costs.iter().filter(|c| c.1 <= best + 1e-9).map(|c| c.0).collect();
            points.retain(|p| !blamed.iter().any(|b| same(*b, p.dose)));
            out.extend(blamed);
        }
        let mut pairs: Vec<f64> = Vec::new();
        for (a, b) in points.iter().zip(points.iter().skip(1)) {
            if b.value > a.value {
                pairs.extend([a.dose, b.dose]);
            }
        }
        pairs.dedup_by(|a, b| same(*a, *b));
        if !pairs.is_empty() {
            self.notes.push(format!("Not steadily falling at {}, within the error of the readings: repeat these glasses.", list(&pairs, self.unit)));
        }
        if !out.is_empty() {
            sort(&mut out, &mut f64::total_cmp);
            self.notes.push(format!("Out of line by more than the error: {}. Read again before you rely on it.", list(&out, self.unit)));
        }
        let fits: Vec<(f64, [f64; 3])> = points
            .iter()
            .zip(fitted(&points))
            .map(|(p, f)| {
                let error = self.error(f, p.times);
                (p.dose, [(f - error).max(0.0), f, f + error])
            })
            .collect();
        for a in &mut self.at {
            a.outlier = out.iter().any(|d| same(*d, a.dose));
            a.fit = fits.iter().find(|(d, _)| same(*d, a.dose)).map(|f| f.1);
        }
    }

    fn stand(&mut self) {
        let (floor, ceiling) = (self.floor, self.ceiling);
        if floor.is_none() && ceiling.is_none() {
            return;
        }
        let stands: Vec<Stand> = self
            .at
            .iter()
            .map(|a| {
                let Some(value) = a.value else { return Stand::NotJudged };
                // The less favourable of reading and fit.
                let fit = a.fit.map_or(value, |f| f[1]);
                let (low, high) = (value.min(fit), value.max(fit));
                let (up, down) = (self.error(high, a.times as f64), self.error(low, a.times as f64));
                let own = self.error(value, a.times as f64);
                if ceiling.is_none_or(|c| high + up < c) && floor.is_none_or(|f| low - down >= f) {
                    Stand::Inside
                } else if ceiling.is_some_and(|c| value - own >= c) || floor.is_some_and(|f| value + own < f) {
                    Stand::Outside
                } else {
                    Stand::Doubtful
                }
            })
            .collect();
        for (a, s) in self.at.iter_mut().zip(stands) {
            a.stand = s;
        }
    }

    /// Whether a dose above this one tastes better by more than a score's error.
    fn beaten(&self, by: &[&At], a: &At) -> bool {
        a.score.is_some_and(|own| by.iter().any(|b| b.score.is_some_and(|s| s > own + TASTE)))
    }

    fn taste_notes(&mut self) {
        let scored: Vec<(f64, f64)> = self.at.iter().filter_map(|a| Some((a.dose, a.score?))).collect();
        let Some(best) = scored.iter().copied().reduce(|a, b| if b.1 > a.1 { b } else { a }) else { return };
        if let Some(worse) = scored.iter().find(|s| s.0 > best.0 && s.1 < best.1 - TASTE) {
            self.notes.push(format!(
                "Taste falls beyond {}: {} scored {} against {}.",
                list(&[best.0], self.unit),
                dose_text(worse.0),
                show::plain(worse.1),
                show::plain(best.1)
            ));
        }
    }

    fn by_reading(&mut self, cap: Option<f64>, beyond: Option<f64>) {
        let unit = self.unit;
        let read: Vec<At> = self.at.iter().filter(|a| a.value.is_some()).cloned().collect();
        let value = |a: &At| a.value.unwrap_or(0.0);
        let Some(control) = read.iter().find(|a| same(a.dose, 0.0)) else {
            self.outcome = Outcome::NoControl;
            self.answer = "The control is missing: read a glass with no dose, treated like the others. Without it nothing shows what the dose did.".into();
            return;
        };
        if let Some(floor) = self.floor.filter(|f| value(control) < *f) {
            self.outcome = Outcome::NoTreatment;
            self.answer = format!("The control lies below {} already: take nothing more out.", show::plain(floor));
            return;
        }
        let ceiling = self.ceiling.unwrap_or(f64::INFINITY);
        // Beyond over-fining a reading outside is expected; before it, it speaks against every lower rung.
        let clear_above = |a: &At| !read.iter().any(|b| b.dose > a.dose && beyond.is_none_or(|x| b.dose < x) && value(b) >= ceiling);
        let passes: Vec<&At> = read.iter().filter(|a| a.stand == Stand::Inside && !a.outlier && clear_above(a)).collect();
        if passes.iter().any(|a| same(a.dose, 0.0)) {
            self.outcome = Outcome::NoTreatment;
            self.answer = match self.beside {
                false => "The control is inside the limit: no treatment is called for. Test again after any change of the wine.".into(),
                true => "The control is inside the limit, with the other agents in it: none of this one is called for.".into(),
            };
            return;
        }
        if control.stand == Stand::Inside {
            self.outcome = Outcome::Doubtful;
            self.answer = "The control lies inside, but a glass with a dose reads outside: read both again.".into();
            return;
        }
        let within: Vec<&At> = passes.iter().copied().filter(|a| !a.over_cap).collect();
        let best = within.iter().find(|a| !self.beaten(&within, a)).or(within.first()).copied();
        let top = read.last().map_or(0.0, |a| a.dose);
        if let Some(a) = best {
            let under = read.iter().rfind(|b| b.dose < a.dose && !passes.iter().any(|p| same(p.dose, b.dose)));
            self.crossing = under.and_then(|u| crossing(u, a, ceiling));
            // A closer ladder between the last rung that failed and the least that passed.
            let least = within.first().map_or(a.dose, |p| p.dose);
            self.next = under.filter(|u| least - u.dose > GAP * top).map_or(Vec::new(), |u| between(u.dose, least, top));
            let fallen = control.score.zip(a.score).is_some_and(|(c, s)| s < c - TASTE);
            (self.outcome, self.recommended) = (Outcome::Found, Some(a.dose));
            let taste = if same(least, a.dose) { "" } else { " Less would do by the reading, but tastes worse." };
            self.answer = format!("{} is the least tested dose that lies inside the limit with its error.{taste}", list(&[a.dose], unit));
            if fallen {
                self.notes.push("It tastes worse than the control: try a lower rung, or another treatment.".into());
            }
            if !self.next.is_empty() {
                self.notes.push(format!("To take less, try {} next.", list(&self.next, unit)));
            }
            return;
        }
        if let Some(a) = passes.first() {
            self.outcome = Outcome::OverLimit;
            self.answer =
                format!("{} lies inside, but is over the limit of a market you named: another treatment, or two that share the work.", list(&[a.dose], unit));
            return;
        }
        let near: Vec<f64> = read.iter().filter(|a| a.dose > 0.0 && matches!(a.stand, Stand::Doubtful | Stand::Inside)).map(|a| a.dose).collect();
        self.next = self.higher(&read, top, near.is_empty());
        self.next.retain(|d| cap.is_none_or(|c| *d <= c));
        let more = match (self.next.is_empty(), cap) {
            (false, _) => format!("try {}", list(&self.next, unit)),
            (true, Some(c)) if top >= c * 0.95 => format!("the legal limit of {} leaves no room for more: another treatment", list(&[c], unit)),
            (true, _) => "another treatment".to_string(),
        };
        if near.is_empty() {
            self.outcome = Outcome::NoneReached;
            let else_ = if self.next.is_empty() { "" } else { ", or another treatment" };
            self.answer = format!("No dose reached the limit: {more}{else_}.");
        } else {
            self.outcome = Outcome::Doubtful;
            self.answer = format!("No dose is sure: {} is too near the limit, or another glass contradicts it. Read again, or {more}.", list(&near, unit));
        }
    }

    /// Rungs above the top one: half a gap apart where the top is near the limit, else towards where the decay curve of all
    /// readings comes inside, and never to more than twice what was tried.
    fn higher(&self, read: &[At], top: f64, far: bool) -> Vec<f64> {
        let before = read.iter().rev().nth(1).map_or(0.0, |a| a.dose);
        if !far {
            let half = (top - before) / 2.0;
            return if half > 0.0 { vec![rounded(top + half, top), rounded(top + 2.0 * half, top)] } else { Vec::new() };
        }
        let points: Vec<(f64, f64, f64)> = self
            .at
            .iter()
            .filter_map(|a| {
                let value = a.value?;
                let error = self.error(value, a.times as f64).max(1e-6);
                Some((a.dose, value, 1.0 / (error * error)))
            })
            .collect();
        let Some(to) = best_decay(&points).and_then(|c| c.dose_at(self.ceiling?)) else { return Vec::new() };
        // Not `clamp`: its panic links a float formatter into the page.
        let to = (to * 1.1).max(top * 1.3).min(top * 2.0);
        let mut rungs: Vec<f64> = (1..=4).map(|i| rounded(top + (to - top) * f64::from(i) / 4.0, top)).filter(|d| *d > top).collect();
        rungs.dedup_by(|a, b| same(*a, *b));
        rungs
    }

    fn by_taste(&mut self, tasted: bool) {
        let read = self.quantity.is_some() && self.at.iter().any(|a| a.value.is_some());
        if !tasted {
            self.outcome = Outcome::NotJudged;
            self.answer = "No limit stands for this reading: write a target, or score the glasses.".into();
            return;
        }
        let scored: Vec<&At> = self.at.iter().filter(|a| a.score.is_some()).collect();
        if !scored.iter().any(|a| same(a.dose, 0.0)) {
            self.outcome = Outcome::NoControl;
            self.answer = "The control is missing: score a glass with no dose.".into();
            return;
        }
        let allowed: Vec<&At> = scored.iter().copied().filter(|a| !a.over_cap).collect();
        let Some(best) = allowed.iter().find(|a| !self.beaten(&allowed, a)).map(|a| a.dose) else { return };
        if same(best, 0.0) {
            self.outcome = Outcome::NoTreatment;
            self.answer = "By taste no dose beats the control: no treatment is called for.".into();
            return;
        }
        (self.outcome, self.recommended) = (Outcome::Found, Some(best));
        let by = if read { " No limit stands for the reading; it goes by taste." } else { "" };
        self.answer = format!("{} is the least tested dose that no other beats in taste.{by}", list(&[best], self.unit));
    }
}

/// Where a decay between two rungs crosses the limit: `d1 + (d2 − d1)·ln(y1/L)/ln(y1/y2)` on fitted values.
fn crossing(under: &At, found: &At, limit: f64) -> Option<f64> {
    let (a, b) = (under.fit?[1], found.fit?[1]);
    let share = libm::log(a / limit) / libm::log(a / b);
    (a >= limit && b > 0.0 && share.is_finite()).then(|| under.dose + (found.dose - under.dose) * share.clamp(0.0, 1.0))
}

/// Three doses between two, on quarters of the gap.
fn between(low: f64, high: f64, top: f64) -> Vec<f64> {
    let mut doses: Vec<f64> = (1..=3).map(|i| rounded(low + (high - low) * f64::from(i) / 4.0, top)).filter(|d| *d > low && *d < high).collect();
    doses.dedup_by(|a, b| same(*a, *b));
    doses
}

/// To what is weighed: twentieths of the power of ten at or below the top rung (5 for 100, 0.5 for 50 and 10).
fn rounded(dose: f64, top: f64) -> f64 {
    let mut unit = 1.0;
    for _ in 0..12 {
        if unit * 10.0 <= top {
            unit *= 10.0;
        } else if unit > top {
            unit /= 10.0;
        }
    }
    libm::round(dose / (unit / 20.0)) * (unit / 20.0)
}
