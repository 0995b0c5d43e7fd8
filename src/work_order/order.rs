//! The work order: the steps of the plan for the tank as it is.

use super::amount::{Amount, amount};
use super::dosing::{Because, NoDose, Weighed, dose_for};
use super::filter::{Filter, filter};
use super::sequence::{Misplaced, marks as marks_of_place};
use crate::case::Act;
use crate::case::log::add_past;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, Finding, Legality};
use crate::obligations::{Takes, at_filler, days_of};
use crate::rules::{self, Bearing, Before, Kind, Ruling};
use crate::state::{again, judging};
use crate::treatment::suit;
use crate::trial::{self, bench_dose};
use crate::units::read::Found;
use crate::units::{Litres, show};
use crate::wine::*;
use serde::{Serialize, Serializer};

/// Something to measure, before or after a step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Check {
    /// The quantity.
    pub quantity: Quantity,
    /// What is known of it now; empty where nothing is.
    pub now: String,
    /// Whether nothing is known of it that still holds.
    pub open: bool,
    /// What is wanted, with how it is known; empty where the tables name no limit.
    pub want: Vec<Fact>,
}

/// Water that a slurry brings, L.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Water {
    /// At the strongest slurry.
    pub least: f64,
    /// At the weakest.
    pub most: f64,
    /// Strength in words comes from here; None where the product is itself watery.
    pub strength: Option<Estimate>,
}

/// A step of the plan that measures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanTest {
    /// Its number in the plan, from 1.
    pub number: usize,
    /// How many acts of the order stand before it.
    pub after_acts: usize,
    /// What is measured.
    pub checks: Vec<Check>,
    /// Whether it was measured at its place.
    pub done: bool,
    /// Day by which it begins by the route that was taken, as it stands in the plan; empty where
    /// there is none.
    pub begin_by: String,
    /// Day on which it begins, counted as for an act; None where it is done.
    pub day: Option<[f64; 2]>,
    /// Days until it has answered, least and most.
    pub takes: [f64; 2],
    /// Whether it runs while acts go on.
    pub alongside: bool,
}

impl PlanTest {
    /// “Measure: heat test rise”, or again after an act.
    pub fn name(&self) -> String {
        let of: Vec<&str> = self.checks.iter().map(|c| c.quantity.label()).collect();
        format!(
            "{}: {}",
            if self.after_acts > 0 {
                "Measure again"
            } else {
                "Measure"
            },
            show::listed(&of)
        )
    }
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Its number in the plan, from 1.
    pub number: usize,
    /// Day by which it begins by the route that was taken, as it stands in the plan; empty where
    /// there is none.
    pub begin_by: String,
    /// The treatment; in a report its key and name.
    #[serde(serialize_with = "crate::knowledge::named")]
    pub treatment: &'static Treatment,
    /// The dose that may be weighed, or what to do first; an empty text for a process, which has no
    /// dose.
    #[serde(serialize_with = "weighed_or_first")]
    pub dose: Result<Weighed, NoDose>,
    /// The amount for the tank, or for 100 L where the volume is not known. There is one only where
    /// there is a dose.
    pub amount: Option<Amount>,
    /// Water of the slurry, for the same volume.
    pub water: Option<Water>,
    /// What speaks against the step on this wine, and what the law leaves open, in words.
    pub marks: Vec<String>,
    /// What speaks against the step on this wine, as keys.
    pub reasons: Vec<suit::Reason>,
    /// Markets whose law on it is to be confirmed first.
    pub to_confirm: Vec<Market>,
    /// The coldest that this wine bears, °C, or what to do first, where it is chilled to that.
    #[serde(serialize_with = "coldest_or_first")]
    pub coldest: Option<Result<f64, String>>,
    /// The area it needs, where it is a filter.
    pub filter: Option<Filter>,
    /// What speaks against its place in the plan.
    pub place: Vec<Misplaced>,
    /// Rules on the order that bear on it.
    pub order: Vec<Bearing>,
    /// Before.
    pub before: Vec<Check>,
    /// After: what it voids.
    pub after: Vec<Check>,
    /// Entries of the log that already did it: then nothing is weighed for it and nothing speaks
    /// against it any more.
    pub logged: Vec<String>,
    /// Days of the bench trial that is still to be made before it; 0 where there is none.
    pub trial_days: f64,
    /// Days until the next step may follow it, least and most.
    pub takes: [f64; 2],
    /// Day on which it begins, after its trial, counted from the first thing still to do, least and
    /// most; None where the log has it.
    pub day: Option<[f64; 2]>,
}

/// The temperature, or what to do first in words.
fn coldest_or_first<S: Serializer>(
    coldest: &Option<Result<f64, String>>,
    writer: S,
) -> Result<S::Ok, S::Error> {
    match coldest {
        None => writer.serialize_none(),
        Some(Ok(celsius)) => writer.serialize_f64(*celsius),
        Some(Err(first)) => writer.serialize_str(first),
    }
}

fn weighed_or_first<S: Serializer>(
    dose: &Result<Weighed, NoDose>,
    writer: S,
) -> Result<S::Ok, S::Error> {
    match dose {
        Ok(weighed) => weighed.serialize(writer),
        Err(first) => first.serialize(writer),
    }
}

/// A material counted against the law of a market.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Total {
    /// Name of the treatment.
    pub name: &'static str,
    /// Unit of its dose.
    pub unit: &'static str,
    /// What the log gave, and what this order gives, in that unit; None where an entry of the log
    /// cannot be counted.
    pub total: Option<f64>,
    /// What each market leaves open for this order.
    pub markets: Vec<(Market, Legality, Option<f64>)>,
}

/// A work order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkOrder {
    /// Litres, where they are known.
    pub litres: Option<f64>,
    /// The steps, in the order of the plan.
    pub steps: Vec<Step>,
    /// The steps that measure, in the order of the plan.
    pub tests: Vec<PlanTest>,
    /// Keys in the plan that name no treatment.
    pub unknown: Vec<String>,
    /// What holds of the law for the whole wine.
    pub law: Vec<String>,
    /// Most water of all slurries, L, for the tank or for 100 L.
    pub water: f64,
    /// Totals by material.
    pub totals: Vec<Total>,
    /// Share of the wine that the steps still to do lose together, low and high.
    pub loss: [f64; 2],
    /// Days until the last step is over, trials and waits among them, least and most.
    pub days: [f64; 2],
    /// What the past of the wine is once all steps are done.
    pub past: Vec<Past>,
}

impl WorkOrder {
    /// The volume that the amounts are for.
    pub fn basis(&self) -> Litres {
        Litres(self.litres.unwrap_or(100.0))
    }

    /// What is measured again after its steps, each once, by the tests that judge the wine then.
    pub fn again(&self) -> Vec<Quantity> {
        let mut all: Vec<Quantity> = Vec::new();
        for q in self
            .steps
            .iter()
            .flat_map(|s| &s.after)
            .map(|check| judging(check.quantity, &self.past))
        {
            if !all.contains(&q) {
                all.push(q);
            }
        }
        all
    }

    /// Days until what is measured again has answered.
    pub fn test_days(&self) -> Takes {
        days_of(&self.again(), &self.past)
    }

    /// Days to the bottle, least and most: all steps still to do, and the tests after them.
    pub fn to_bottle(&self) -> [f64; 2] {
        // Where the plan ends with its tests, they are counted among the days.
        let in_tank = self.steps.iter().rposition(|s| !at_filler(s.treatment));
        let acts = in_tank.map_or(0, |at| at + 1);
        let closes = self.tests.iter().any(|t| t.after_acts >= acts);
        let tests = if closes {
            Takes::default()
        } else {
            self.test_days()
        };
        let [low, high] = self.days;
        [low + tests.low, high + tests.high]
    }

    /// Water of all slurries, % of the wine.
    pub fn water_percent(&self) -> f64 {
        self.water / self.basis().0 * 100.0
    }
}

/// The work order for the plan of a wine.
pub fn work_order(dossier: &Dossier) -> WorkOrder {
    let litres = dossier.volume.given();
    let mut order = WorkOrder {
        litres,
        steps: Vec::new(),
        tests: Vec::new(),
        unknown: Vec::new(),
        law: Vec::new(),
        water: 0.0,
        totals: Vec::new(),
        loss: [0.0; 2],
        days: [0.0; 2],
        past: dossier.past.clone(),
    };
    let basis = order.basis();
    let mut all_found: Vec<Finding> = Vec::new();
    // Doses of this order so far, by material, as shares of what is still open in each market.
    for ((at, planned), by) in dossier.plan.iter().enumerate().zip(dossier.done_by()) {
        let number = at + 1;
        if planned.is_test() {
            let done = dossier.measured_at(at);
            let day = (!done).then_some(order.days);
            let takes = days_of(&planned.measure, &order.past);
            if !done && !planned.alongside {
                let [low, high] = order.days;
                order.days = [low + takes.low, high + takes.high];
            }
            let (after_acts, checks) =
                (order.steps.len(), checks(dossier, planned.measure.clone()));
            order.tests.push(PlanTest {
                number,
                after_acts,
                checks,
                done,
                begin_by: planned.day.words(),
                day,
                takes: [takes.low, takes.high],
                alongside: planned.alongside,
            });
            continue;
        }
        let Some(t) = planned.treatment else {
            order.unknown.push(planned.key.clone());
            continue;
        };
        if !by.is_empty() {
            let step = done(dossier, number, t, &by, basis);
            order.water += step.water.map_or(0.0, |w| w.most);
            order.steps.push(step);
            continue;
        }
        let found = dossier.law(t);
        let earlier: Vec<(&Treatment, f64)> = order
            .steps
            .iter()
            .filter_map(|s| s.dose.as_ref().ok().map(|w| (s.treatment, w.dose)))
            .collect();
        let dose = dose_for(dossier, t, &planned.dose, &Before::step(dossier, at))
            .and_then(|w| lawful(t, &found, &earlier, w));
        let amount = dose
            .as_ref()
            .ok()
            .and_then(|w| amount(t.dose.as_ref()?, w.dose, basis));
        let water = amount.and_then(|a| water(t, a, dose.as_ref().map_or(0.0, |w| w.dose), basis));
        order.water += water.map_or(0.0, |w| w.most);
        let trial_days = if is_to_try(dossier, t, &dose) {
            trial::days(dossier, t)
        } else {
            0.0
        };
        let [low, high] = order.days.map(|d| d + trial_days);
        let takes = takes(t);
        let reasons = suit::reasons(dossier, t);
        order.days = [low + takes[0], high + takes[1]];
        order.steps.push(Step {
            number,
            begin_by: planned.day.words(),
            treatment: t,
            dose,
            amount,
            water,
            marks: marks(dossier, t, &reasons, &found),
            reasons,
            to_confirm: law::to_confirm(dossier, t, &found)
                .into_iter()
                .map(|f| f.market)
                .collect(),
            coldest: t.coldest.then(|| crate::derived::coldest(dossier)),
            filter: filter(dossier, t, litres.map(Litres)),
            place: marks_of_place(dossier, at),
            order: bearing(dossier, t),
            before: bounded(t, checks(dossier, before(dossier, t))),
            after: checks(dossier, again(t, &order.past)),
            logged: Vec::new(),
            trial_days,
            takes,
            day: Some([low, high]),
        });
        all_found.extend(found.into_owned());
        add_past(&mut order.past, t);
    }
    order.law = law::said(dossier, &all_found.iter().collect::<Vec<_>>());
    // One after the other, each of what the one before left.
    let left = |of: fn(&Estimate) -> f64| {
        order
            .steps
            .iter()
            .filter(|s| s.logged.is_empty())
            .fold(1.0, |left, s| {
                left * (1.0 - (of(&s.treatment.loss_percent) / 100.0).clamp(0.0, 1.0))
            })
    };
    order.loss = [1.0 - left(|e| e.low), 1.0 - left(|e| e.high)];
    order.totals = totals(dossier, &order);
    order
}

/// Whether a bench trial still comes before it. What only waits for a test may have had its own.
fn is_to_try(dossier: &Dossier, t: &'static Treatment, dose: &Result<Weighed, NoDose>) -> bool {
    let tried = |first: &NoDose| {
        let tested = || trial::dose_for(dossier, t).is_some();
        first.because == Because::NotConfirmed || first.because == Because::NotShown && tested()
    };
    let open = dose.as_ref().err().is_some_and(|first| !tried(first));
    open && bench_dose(dossier, t).is_some()
}

fn takes(t: &Treatment) -> [f64; 2] {
    let [least, _, most] = t.takes();
    [least, most]
}

/// A step that the log has. Its water counts as it was given; what speaks against a step, and what
/// comes before it, is over.
fn done(
    dossier: &Dossier,
    number: usize,
    t: &'static Treatment,
    by: &[&Act],
    basis: Litres,
) -> Step {
    let given: f64 = by.iter().filter_map(|a| a.dose.given()).sum();
    let amount = t
        .dose
        .filter(|_| given > 0.0)
        .and_then(|d| amount(&d, given, basis));
    Step {
        number,
        begin_by: String::new(),
        treatment: t,
        dose: Err(NoDose {
            because: Because::Done,
            text: String::new(),
        }),
        amount: None,
        water: amount.and_then(|a| water(t, a, given, basis)),
        marks: Vec::new(),
        reasons: Vec::new(),
        to_confirm: Vec::new(),
        coldest: None,
        filter: None,
        place: Vec::new(),
        order: Vec::new(),
        before: Vec::new(),
        after: checks(dossier, again(t, &dossier.past)),
        logged: by.iter().map(|a| a.words()).collect(),
        trial_days: 0.0,
        takes: takes(t),
        day: None,
    }
}

/// Lets a dose pass only where every cap still holds, with the same material of the earlier steps.
fn lawful(
    t: &Treatment,
    found: &[Finding],
    earlier: &[(&Treatment, f64)],
    w: Weighed,
) -> Result<Weighed, NoDose> {
    let same: Vec<&(&Treatment, f64)> = earlier
        .iter()
        .filter(|(e, _)| e.material == t.material)
        .collect();
    let unit = |x: &Treatment| x.dose.map(|d| d.basis);
    if found.iter().any(|f| f.dose_cap.is_some()) && same.iter().any(|(e, _)| unit(e) != unit(t)) {
        let text = "An earlier step gives the same material in another unit: count them together by hand against the limit first.";
        return NoDose::of(Because::TwoUnits, text);
    }
    let sum = w.dose + same.iter().map(|(_, d)| d).sum::<f64>();
    match found
        .iter()
        .find(|f| f.dose_cap.is_some_and(|cap| sum > cap))
    {
        Some(f) => {
            let text = format!(
                "{} {} with what this order gives before it is over the limit in {} ({} left): no mass is given. {}",
                show::plain(sum),
                t.dose.map_or("", |d| d.basis.label()),
                f.cap_by.map_or(f.market.label(), Organic::label),
                show::plain(f.dose_cap.unwrap_or(0.0)),
                f.note
            );
            NoDose::of(Because::OverLimit, text)
        }
        None => Ok(w),
    }
}

/// Water by the strength of the slurry, `L = kg / (p/100)` (p in % w/v, so 10·g/p mL); else what
/// the product itself brings.
fn water(t: &Treatment, a: Amount, dose: f64, basis: Litres) -> Option<Water> {
    if let Some(s) = t.slurry.filter(|_| !a.liquid) {
        let litres = |percent: f64| a.product / (10.0 * percent);
        return Some(Water {
            least: litres(s.high),
            most: litres(s.low),
            strength: Some(s),
        });
    }
    let adds = t.effects.iter().find(|e| e.on == Quantity::Water)?.adds?;
    // mL/L for a unit of dose.
    let litres = |per_unit: f64| per_unit * dose * basis.0 / 1000.0;
    Some(Water {
        least: litres(adds.low),
        most: litres(adds.high),
        strength: None,
    })
}

fn marks(
    dossier: &Dossier,
    t: &Treatment,
    reasons: &[suit::Reason],
    found: &[Finding],
) -> Vec<String> {
    // What it can be meant for, of what was named.
    let acts_on = |p: &&Problem| {
        PROBLEMS
            .iter()
            .any(|f| f.problem == **p && t.works_on(f.quantity))
    };
    let meant: Vec<Problem> = dossier.problems.iter().filter(acts_on).copied().collect();
    let other = if meant.is_empty() {
        Vec::new()
    } else {
        suit::other_use(dossier, t, &meant)
    };
    let mut marks: Vec<String> = reasons
        .iter()
        .chain(&other)
        // Said with the dose that is not given.
        .filter(|r| r.because != Kind::Licensed || t.dose.is_some())
        .map(|r| {
            let (kind, why) = r.words();
            format!("{kind}: {why}")
        })
        .collect();
    let doubts = rules::cautions(dossier, t, None).into_iter();
    marks.extend(doubts.filter(Ruling::is_measured).map(|d| d.text));
    let open = law::open(found);
    marks.extend(open.map(|f| format!("{}: {}", f.market.label(), law::stands(dossier, t, f))));
    if t.access == Access::Qualified {
        marks.push(Access::Qualified.label().into());
    }
    marks
}

/// The rules on order that bear on a step, with what is planned or was done beside it.
fn bearing(dossier: &Dossier, t: &Treatment) -> Vec<Bearing> {
    let met = |key: &str| {
        key != t.key
            && (dossier.plan.iter().any(|p| p.key == key) || dossier.acts().any(|a| a.key == key))
    };
    rules::order::bearing(dossier, t, &met)
}

/// What a step moves, where it is the trouble of this wine, was measured, or is added to; and what
/// it needs known: sulfur
/// dioxide is dosed by pH.
fn before(dossier: &Dossier, t: &Treatment) -> Vec<Quantity> {
    let trouble = |q: Quantity| {
        PROBLEMS
            .iter()
            .any(|p| p.quantity == q && dossier.problems.contains(&p.problem))
    };
    let concerns =
        |e: &&Effect| e.adds.is_some() || trouble(e.on) || dossier.analyses.contains_key(&e.on);
    let mut all: Vec<Quantity> = t.effects.iter().filter(concerns).map(|e| e.on).collect();
    if all.contains(&Quantity::FreeSo2) && !all.contains(&Quantity::Ph) {
        all.push(Quantity::Ph);
    }
    all
}

/// Before an act that is used up to a reading only, that is what is wanted of it; what the bottle
/// needs comes after.
fn bounded(t: &Treatment, mut checks: Vec<Check>) -> Vec<Check> {
    for b in t.bounds {
        checks
            .iter_mut()
            .filter(|c| c.quantity == b.on)
            .for_each(|c| c.want = vec![b.why]);
    }
    checks
}

fn checks(dossier: &Dossier, list: Vec<Quantity>) -> Vec<Check> {
    let mut seen: Vec<Quantity> = Vec::new();
    for q in list {
        if q.facts().asked && !seen.contains(&q) {
            seen.push(q);
        }
    }
    let open = |q: Quantity| dossier.at_most(q).is_none() || dossier.voided(q);
    seen.into_iter()
        .map(|q| Check {
            quantity: q,
            now: now(dossier, q),
            open: open(q),
            want: wanted(dossier, q),
        })
        .collect()
}

/// “12 NTU, measured 2026-11-02”, with what became of it.
pub fn now(dossier: &Dossier, which: Quantity) -> String {
    let Some(Found { value, at_most }) = dossier.found(which) else {
        return String::new();
    };
    let day = dossier
        .measured_on(which)
        .map_or_else(|| "no day".to_string(), |d| d.show());
    let void = if dossier.voided(which) {
        "; before a change, so it no longer counts"
    } else {
        ""
    };
    let found = match which.is_yes_no() {
        true if value >= 0.5 => "yes".to_string(),
        true => "no".to_string(),
        // No digit of a bound is rounded away.
        false if at_most => format!("< {} {}", show::plain(value), which.facts().unit)
            .trim_end()
            .to_string(),
        false => format!(
            "{} {}",
            show::fixed(value, which.facts().decimals),
            which.facts().unit
        )
        .trim_end()
        .to_string(),
    };
    format!("{found} ({day}{void})")
}

/// The limits on a quantity for this wine: of the stabilities, else of the problems it has.
fn wanted(dossier: &Dossier, which: Quantity) -> Vec<Fact> {
    let fits = |b: &&NeedBand| {
        holds_for(b.colours, dossier.colour)
            && (b.stages.is_empty() || dossier.stage.is_some_and(|s| b.stages.contains(&s)))
    };
    let stabilities = STABILITIES
        .iter()
        .filter(|s| s.quantity == which)
        .map(|s| s.bands);
    let problems = PROBLEMS
        .iter()
        .filter(|p| p.quantity == which && dossier.problems.contains(&p.problem))
        .map(|p| p.bands);
    let mut all: Vec<Fact> = Vec::new();
    for band in stabilities
        .chain(problems)
        .filter_map(|bands| bands.iter().find(fits))
    {
        if !all.contains(&band.why) {
            all.push(band.why);
        }
    }
    all
}

/// One total a material and unit, over the whole history: what the log and the order give, beside
/// what each market leaves.
/// What only the log holds is counted too.
fn totals(dossier: &Dossier, order: &WorkOrder) -> Vec<Total> {
    let mut all: Vec<(&str, Basis, Total)> = Vec::new();
    let log: Vec<&Act> = dossier.acts().collect();
    let planned = order
        .steps
        .iter()
        .filter_map(|s| Some((s.treatment, s.dose.as_ref().ok()?.dose)));
    let logged = log.iter().filter_map(|a| a.treatment).map(|t| (t, 0.0));
    for (t, own) in planned.chain(logged) {
        let Some(facts) = t
            .dose
            .filter(|_| !matches!(t.access, Access::Licensed | Access::Trained))
        else {
            continue;
        };
        if let Some((.., sum)) = all
            .iter_mut()
            .find(|(m, b, _)| *m == t.material && *b == facts.basis)
        {
            sum.total = sum.total.map(|s| s + own);
            continue;
        }
        let given = log
            .iter()
            .filter(|a| a.treatment.is_some_and(|x| x.material == t.material))
            .try_fold(0.0, |sum, a| {
                let same = a
                    .treatment
                    .and_then(|x| x.dose)
                    .is_some_and(|d| d.basis == facts.basis);
                a.dose.given().filter(|_| same).map(|d| sum + d)
            });
        let markets = dossier
            .law(t)
            .iter()
            .map(|f| (f.market, f.legality, f.dose_cap))
            .collect();
        all.push((
            t.material,
            facts.basis,
            Total {
                name: t.name,
                unit: facts.basis.label(),
                total: given.map(|g| g + own),
                markets,
            },
        ));
    }
    all.into_iter().map(|(.., t)| t).collect()
}
