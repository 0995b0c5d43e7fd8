//! The wine, checked once a change: numbers in units, days, keys of treatments, the log and the
//! plan. Everything above reads this and never what was typed.

mod bench;
mod field;
pub mod log;

pub use bench::{BenchTrial, Beside, Glass};
pub use field::Field;
pub use log::Act;

use crate::knowledge::{Treatment, treatment};
use crate::units::day::Day;
use crate::units::read::Found;
use crate::wine::*;

/// A piece of equipment, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Equipment {
    /// Owned, hired, by contractor, or not to be had.
    pub means: KitMeans,
    /// Smallest batch it is brought for, litres.
    pub minimum_batch: Field<f64>,
    /// Days until it is here once ordered; only of what is hired or comes with a contractor.
    pub lead_days: Field<f64>,
}

impl Equipment {
    /// Equipment that can be had so, with nothing else told of it.
    pub fn of(means: KitMeans) -> Equipment {
        Equipment {
            means,
            minimum_batch: Field::NotGiven,
            lead_days: Field::NotGiven,
        }
    }
}

/// A step of the route that was chosen.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// Key of the treatment as typed; empty for a test.
    pub key: String,
    /// The treatment; None for a test, and for a key that is not known here.
    pub treatment: Option<&'static Treatment>,
    /// Dose in the treatment's own unit.
    pub dose: Field<f64>,
    /// What is measured, where the step is a test.
    pub measure: Vec<Quantity>,
    /// True for a test that runs while acts go on.
    pub alongside: bool,
    /// Day on which it begins at the latest by the route that was taken.
    pub day: Field<Day>,
}

impl Planned {
    /// Whether something is measured, and nothing done.
    pub fn is_test(&self) -> bool {
        self.key.is_empty() && self.measure.iter().any(|q| q.facts().asked)
    }
}

/// Something looked at before bottling that is passed or failed, with no figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Looked {
    /// Key of the check.
    pub key: String,
    /// The day.
    pub day: Field<Day>,
    /// True for passed, false for failed; None while not looked at.
    pub passed: Option<bool>,
    /// Who looked, smelled or tasted.
    pub by: String,
}

/// A proof that the winemaker does without.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Waiver {
    /// Key of the proof.
    pub key: String,
    /// The day.
    pub day: Field<Day>,
    /// Who answers for it.
    pub by: String,
    /// Why.
    pub reason: String,
}

impl Waiver {
    /// Its day, where it has a name, a reason and a day.
    pub fn signed(&self) -> Option<Day> {
        let whole = !self.by.trim().is_empty() && !self.reason.trim().is_empty();
        self.day.given().filter(|_| whole)
    }
}

/// Share of the draws in which a route meets each need, where the user set none. Judgement.
pub const SURE_SHARE: f64 = 0.9;

/// Under which key a record keeps that the authority of a market confirmed a material.
pub fn confirmation(material: &str, market: Market) -> String {
    format!("confirmed_{}_{material}", market.key())
}

/// A wine, checked. Closed sets stand as the user chose them; every text is read into a [`Field`].
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// Its name in the cellar book.
    pub name: String,
    /// Colour.
    pub colour: Option<Colour>,
    /// Kind of wine.
    pub style: Option<Style>,
    /// Where it stands.
    pub stage: Option<Stage>,
    /// Malolactic fermentation.
    pub malolactic: Option<Malolactic>,
    /// What has been done to it, as the user said; [`Case::past`] adds what the log implies.
    pub past_told: Vec<Past>,
    /// What the winemaker wants of the bottling.
    pub wishes: Vec<Wish>,
    /// What it lies in.
    pub vessel: Option<Vessel>,
    /// Volume in litres.
    pub volume: Field<f64>,
    /// The volume as it was typed, for papers.
    pub volume_words: String,
    /// What is wrong, or feared.
    pub problems: Vec<Problem>,
    /// Signs answered with yes or no, by their keys.
    pub observed: Map<String, bool>,
    /// Where it was made.
    pub made_in: Option<Market>,
    /// Where it will be sold.
    pub sold_in: Vec<Market>,
    /// Claims to keep.
    pub claims: Vec<Claim>,
    /// Organic schemes that were named; [`Case::schemes`] adds those that are assumed.
    pub organic: Vec<Organic>,
    /// Readings in their units.
    pub analyses: Map<Quantity, Field<Found>>,
    /// Days on which they were made.
    pub measured_on: Map<Quantity, Field<Day>>,
    /// Readings that the user marked as made before the last change of the wine.
    pub stale: Vec<Quantity>,
    /// Equipment; what is not named is not known.
    pub kit: Map<Kit, Equipment>,
    /// Bottling day.
    pub bottling_day: Field<Day>,
    /// Value of the wine, money per hL.
    pub value_per_hl: Field<f64>,
    /// Share of its value that it loses when a need is not met, 0 to 1.
    pub loss: Field<f64>,
    /// The same for single problems.
    pub losses: Map<Problem, Field<f64>>,
    /// What a day of delay costs, money per hL.
    pub cost_per_day: Field<f64>,
    /// What a point of impact costs, money per hL.
    pub cost_per_point: Field<f64>,
    /// Own prices of tests for the lot.
    pub test_prices: Map<Quantity, Field<f64>>,
    /// True to rank by expected money in place of the weights.
    pub by_money: bool,
    /// How far and how warm it travels.
    pub journey: Option<Journey>,
    /// In how many of 100 draws a route must meet each need.
    pub sure_in_100: Field<f64>,
    /// How long it is to keep in bottle, months.
    pub shelf_life_months: Field<f64>,
    /// What labour costs, money per hour.
    pub labour_per_hour: Field<f64>,
    /// The money all amounts are in.
    pub currency: String,
    /// Own prices of treatments by key, in the unit of the treatment's price.
    pub prices: Map<String, Field<f64>>,
    /// Bench trials, one a treatment.
    pub trials: Vec<BenchTrial>,
    /// The route that was chosen, in its order.
    pub plan: Vec<Planned>,
    /// The log, oldest first: every entry, with those that count no more.
    pub log: Vec<Act>,
    /// What is passed or failed before bottling.
    pub checks: Vec<Looked>,
    /// Proofs that the winemaker does without.
    pub waived: Vec<Waiver>,
    /// Weights of the criteria.
    pub weights: Weights,
    /// Every text that cannot be used.
    pub errors: Vec<InputError>,
}

impl From<&Wine> for Case {
    fn from(wine: &Wine) -> Case {
        Case::of(wine)
    }
}

/// A wine of which nothing is told.
impl Default for Case {
    fn default() -> Case {
        Case::of(&Wine::default())
    }
}

impl Case {
    /// Checks a wine.
    pub fn of(wine: &Wine) -> Case {
        Case {
            name: wine.name.clone(),
            colour: wine.colour,
            style: wine.style,
            stage: wine.stage,
            malolactic: wine.malolactic,
            past_told: wine.past.clone(),
            wishes: wine.wishes.clone(),
            vessel: wine.vessel,
            volume: wine.litres().into(),
            volume_words: wine.volume_words(),
            problems: wine.problems.clone(),
            observed: wine.observed.clone(),
            made_in: wine.made_in,
            sold_in: wine.sold_in.clone(),
            claims: wine.claims.clone(),
            organic: wine.organic.clone(),
            analyses: keyed(wine.analyses.keys(), |q| (*q, wine.found(*q).into())),
            measured_on: keyed(wine.measured_on.keys(), |q| {
                let typed = wine.measured_on.get(q).map_or("", |t| &t.0);
                (*q, day(typed, || format!("measured_on.{}", q.key())))
            }),
            stale: wine.stale.clone(),
            kit: keyed(&wine.kit, |(kit, entry)| {
                let equipment = Equipment {
                    means: entry.means,
                    minimum_batch: wine.kit_minimum(*kit).into(),
                    lead_days: wine.kit_lead(*kit).into(),
                };
                (*kit, equipment)
            }),
            bottling_day: day(&wine.bottling_day, || "bottling_day".into()),
            value_per_hl: wine.value().into(),
            loss: wine.loss().into(),
            losses: wine
                .losses
                .keys()
                .filter_map(|p| Problem::from_key(p))
                .map(|p| (p, wine.loss_by(p).into()))
                .collect(),
            cost_per_day: wine.per_day().into(),
            cost_per_point: wine.per_point().into(),
            test_prices: keyed(wine.test_prices.keys(), |q| {
                (*q, wine.test_price(*q).into())
            }),
            by_money: wine.by_money,
            journey: wine.journey,
            sure_in_100: wine.sure().into(),
            shelf_life_months: wine.shelf_life().into(),
            labour_per_hour: wine.labour().into(),
            currency: wine.money().to_string(),
            prices: keyed(wine.prices.keys(), |k| (k.clone(), wine.price(k).into())),
            trials: bench::trials(wine),
            plan: plan(wine),
            log: log::read(wine),
            checks: checks(wine),
            waived: waived(wine),
            weights: wine.weights,
            errors: wine.errors(),
        }
    }

    /// That the authority of a market confirmed a treatment: ticked, with the day and who asked.
    /// One grade of an agent is as lawful as another.
    pub fn confirmed(&self, treatment: &Treatment, market: Market) -> Option<&Looked> {
        self.checked(&confirmation(treatment.material, market))
            .filter(|c| {
                c.passed == Some(true) && c.day.given().is_some() && !c.by.trim().is_empty()
            })
    }

    /// A reading with its bound, “< 0.5” or a figure.
    pub fn found(&self, which: Quantity) -> Option<Found> {
        self.analyses.get(&which)?.given()
    }

    /// What is wrong with what was typed as a reading.
    pub fn unreadable(&self, which: Quantity) -> Option<&InputError> {
        self.analyses.get(&which)?.error()
    }

    /// A reading that is a figure; None for one that is only a bound.
    pub fn analysis(&self, which: Quantity) -> Option<f64> {
        self.found(which).filter(|f| !f.at_most).map(|f| f.value)
    }

    /// The most that a quantity may be by its reading: the figure, or the bound that it lies below.
    /// For limits that ask for no more than so much; of a limit that asks for so much at least a
    /// bound tells nothing.
    pub fn at_most(&self, which: Quantity) -> Option<f64> {
        self.found(which).map(|f| f.value)
    }

    /// The day on which a quantity was measured.
    pub fn measured_on(&self, which: Quantity) -> Option<Day> {
        self.measured_on.get(&which)?.given()
    }

    /// What was found at one of the last days' checks.
    pub fn checked(&self, key: &str) -> Option<&Looked> {
        self.checks.iter().find(|c| c.key == key)
    }

    /// Whether it is must, which is to ferment.
    pub fn is_must(&self) -> bool {
        self.stage == Some(Stage::Juice) || self.style == Some(Style::Juice)
    }

    /// What was written on doing without a proof.
    pub fn waiver(&self, key: &str) -> Option<&Waiver> {
        self.waived.iter().find(|w| w.key == key)
    }

    /// Share of the draws in which a route must meet each need: 0.9 unless the user set it.
    pub fn sure(&self) -> f64 {
        self.sure_in_100.given().map_or(SURE_SHARE, |s| s / 100.0)
    }

    /// The treatments of the plan that the log does not have yet.
    pub fn to_do(&self) -> Vec<&'static Treatment> {
        let open = self.plan.iter().zip(self.done_by());
        open.filter(|(_, by)| by.is_empty())
            .filter_map(|(step, _)| step.treatment)
            .collect()
    }

    /// Days from today to the bottling day; None where either is not known.
    pub fn days_left(&self, today: Option<Day>) -> Option<i64> {
        let bottling = self.bottling_day.given()?;
        today.map(|t| t.until(bottling))
    }

    /// Days until a piece of equipment that is not owned is here.
    pub fn kit_lead(&self, kit: Kit) -> Option<f64> {
        self.kit.get(&kit)?.lead_days.given()
    }

    /// The user's own price of a test for the lot.
    pub fn test_price(&self, which: Quantity) -> Option<f64> {
        self.test_prices.get(&which)?.given()
    }

    /// The user's own price of a treatment, in the unit of its price.
    pub fn price(&self, treatment: &str) -> Option<f64> {
        self.prices.get(treatment)?.given()
    }

    /// The user's own loss by one problem, 0 to 1.
    pub fn loss_by(&self, problem: Problem) -> Option<f64> {
        self.losses.get(&problem)?.given()
    }

    /// The organic schemes to keep: those named, and no others; for an organic wine of which none
    /// is named, the ones assumed.
    pub fn schemes(&self) -> Vec<Organic> {
        if self.organic.is_empty() {
            self.schemes_assumed()
        } else {
            self.organic.clone()
        }
    }

    /// The schemes taken for an organic wine of which none is named: one for each of its markets.
    pub fn schemes_assumed(&self) -> Vec<Organic> {
        let mut all = Vec::new();
        if self.claims.contains(&Claim::Organic) && self.organic.is_empty() {
            for scheme in self
                .made_in
                .iter()
                .chain(&self.sold_in)
                .filter_map(|m| m.usual_scheme())
            {
                if !all.contains(&scheme) {
                    all.push(scheme);
                }
            }
        }
        all
    }

    /// Markets with a scheme of their own of which the wine names none, though it is organic and
    /// names others.
    pub fn without_scheme(&self) -> Vec<Market> {
        let named = |m: &Market| {
            m.usual_scheme().is_none_or(|s| {
                self.organic
                    .iter()
                    .any(|o| *o == s || (*o == Organic::Us && *m == Market::Us))
            })
        };
        let asked = self.claims.contains(&Claim::Organic) && !self.organic.is_empty();
        self.sold_in
            .iter()
            .copied()
            .filter(|m| asked && !named(m))
            .collect()
    }
}

/// A map with each entry checked.
fn keyed<T, K: Ord, V>(all: impl IntoIterator<Item = T>, read: impl Fn(T) -> (K, V)) -> Map<K, V> {
    all.into_iter().map(read).collect()
}

/// A day as typed.
fn day(text: &str, field: impl Fn() -> String) -> Field<Day> {
    if text.trim().is_empty() {
        return Field::NotGiven;
    }
    match Day::read(text) {
        Some(day) => Field::Given(day),
        None => Field::Unreadable(InputError {
            field: field(),
            read: text.into(),
            expected: DAY_EXPECTED.into(),
        }),
    }
}

/// A dose as typed, in the treatment's own unit; `field` is its path in the file.
pub fn checked_dose(text: &AsTyped, field: impl Fn() -> String) -> Field<f64> {
    match dose(text) {
        None => Field::NotGiven,
        Some(Ok(dose)) => Field::Given(dose),
        Some(Err(error)) => Field::Unreadable(InputError {
            field: field(),
            read: text.0.clone(),
            expected: error.message(""),
        }),
    }
}

fn plan(wine: &Wine) -> Vec<Planned> {
    let step = |(i, s): (usize, &PlanStep)| Planned {
        key: s.treatment.clone(),
        treatment: treatment(&s.treatment),
        dose: checked_dose(&s.dose, || format!("plan.{i}.dose")),
        measure: s.measure.clone(),
        alongside: s.alongside,
        day: day(&s.day, || format!("plan.{i}.day")),
    };
    wine.plan.iter().enumerate().map(step).collect()
}

fn checks(wine: &Wine) -> Vec<Looked> {
    let look = |c: &Checked| Looked {
        key: c.key.clone(),
        day: day(&c.day, || format!("checks.{}.day", c.key)),
        passed: c.passed,
        by: c.by.clone(),
    };
    wine.checks.iter().map(look).collect()
}

fn waived(wine: &Wine) -> Vec<Waiver> {
    let read = |w: &Waived| Waiver {
        key: w.key.clone(),
        day: day(&w.day, || format!("waived.{}.day", w.key)),
        by: w.by.clone(),
        reason: w.reason.clone(),
    };
    wine.waived.iter().map(read).collect()
}
