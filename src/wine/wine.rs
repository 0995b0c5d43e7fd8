//! One wine as the user describes it. Everything may be left out, and numbers are kept as they were
//! typed.

use super::map::Map;
use super::record::*;
use super::words::*;
use crate::json::record;
use crate::units::day::Day;
use crate::units::read::Found;
use serde::Serialize;

/// A text as typed. In a file it may also be written as a number.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct AsTyped(pub String);

/// How a piece of equipment can be had.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct KitEntry {
    /// Owned, hired, by contractor, or not to be had.
    pub means: KitMeans,
    /// Smallest batch it is brought for, as typed.
    #[serde(default, skip_serializing_if = "empty")]
    pub minimum_batch: AsTyped,
    /// Days until it is here once ordered, as typed.
    #[serde(default, skip_serializing_if = "empty")]
    pub lead_days: AsTyped,
}

impl KitEntry {
    /// Equipment that can be had so, with nothing else told of it.
    pub fn of(means: KitMeans) -> KitEntry {
        KitEntry {
            means,
            minimum_batch: AsTyped::default(),
            lead_days: AsTyped::default(),
        }
    }
}

/// Weights of the four criteria, 0 to 10.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Weights {
    /// Weight of the effect.
    pub effect: u8,
    /// Weight of the cost.
    pub cost: u8,
    /// Weight of the time.
    pub time: u8,
    /// Weight of the origin.
    pub origin: u8,
}

record!(KitEntry { means needed, minimum_batch, lead_days } KitEntry::of(KitMeans::FIRST));
record!(Weights { effect needed, cost needed, time needed, origin needed } Weights::default());

impl Default for Weights {
    fn default() -> Self {
        Weights {
            effect: 5,
            cost: 2,
            time: 2,
            origin: 1,
        }
    }
}

/// A wine as described: inputs only, never results.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct Wine {
    /// Its name in the cellar book.
    pub name: String,
    /// True for invented wines that the app brings along.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub demo: bool,
    /// Free note.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Colour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub colour: Option<Colour>,
    /// Kind of wine.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub style: Option<Style>,
    /// Where it stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stage: Option<Stage>,
    /// Malolactic fermentation.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub malolactic: Option<Malolactic>,
    /// What has been done to it, or how it lies.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub past: Vec<Past>,
    /// What the winemaker wants of the bottling.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub wishes: Vec<Wish>,
    /// What it lies in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub vessel: Option<Vessel>,
    /// Volume as typed, litres unless a unit is given.
    #[serde(skip_serializing_if = "empty")]
    pub volume: AsTyped,
    /// What is wrong, or feared.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub problems: Vec<Problem>,
    /// Signs answered with yes or no, by their keys.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub observed: Map<String, bool>,
    /// Where it was made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made_in: Option<Market>,
    /// Where it will be sold.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sold_in: Vec<Market>,
    /// Claims to keep.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub claims: Vec<Claim>,
    /// Organic schemes to keep.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub organic: Vec<Organic>,
    /// Analyses as typed; a unit may follow the number, and “<” stand before it where no more is
    /// known than that it lies below.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub analyses: Map<Quantity, AsTyped>,
    /// Analyses that were made before the last change of the wine: they count as a guess only.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stale: Vec<Quantity>,
    /// Equipment; what is not named is not known.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub kit: Map<Kit, KitEntry>,
    /// Bottling day as typed, year-month-day.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub bottling_day: String,
    /// Value of the wine, money per hectolitre, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub value_per_hl: AsTyped,
    /// What a wine loses when a need is not met (rework, a lower class), % of its value, as typed:
    /// for every problem that has
    /// no own figure in `losses`.
    #[serde(skip_serializing_if = "empty")]
    pub loss_percent: AsTyped,
    /// The same for single problems, by their keys, % of its value, as typed.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub losses: Map<String, AsTyped>,
    /// What a day of delay costs, money per hectolitre, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub cost_per_day: AsTyped,
    /// What a point of impact (1 % of the aroma, colour or tannin) costs, money per hectolitre, as
    /// typed.
    #[serde(skip_serializing_if = "empty")]
    pub cost_per_point: AsTyped,
    /// Own prices of tests for the lot, as typed.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub test_prices: Map<Quantity, AsTyped>,
    /// True to rank by expected money in place of the weights.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub by_money: bool,
    /// How far and how warm it travels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub journey: Option<Journey>,
    /// In how many of 100 draws a route must meet each need, as typed; empty for 90.
    #[serde(skip_serializing_if = "empty")]
    pub sure_in_100: AsTyped,
    /// How long it is to keep in bottle, months, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub shelf_life_months: AsTyped,
    /// What labour costs, money per hour, as typed.
    #[serde(skip_serializing_if = "empty")]
    pub labour_per_hour: AsTyped,
    /// The money all amounts are in; empty for euro.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub currency: String,
    /// Own prices by treatment key, as typed, in the unit of the treatment's price.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub prices: Map<String, AsTyped>,
    /// Days on which analyses were made, year-month-day, as typed.
    #[serde(skip_serializing_if = "Map::is_empty")]
    pub measured_on: Map<Quantity, AsTyped>,
    /// Bench trials, one a treatment.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub trials: Vec<Trial>,
    /// The route that was chosen, in its order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub plan: Vec<PlanStep>,
    /// What was really done, oldest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub done: Vec<Done>,
    /// What is passed or failed before bottling, one for each of the last days' checks.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<Checked>,
    /// Proofs that the winemaker does without, by name, reason and day.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub waived: Vec<Waived>,
    /// Weights of the criteria.
    pub weights: Weights,
}

record!(Wine {
    name kept,
    demo,
    note,
    colour,
    style,
    stage,
    malolactic,
    past,
    wishes,
    vessel,
    volume,
    problems,
    observed,
    made_in,
    sold_in,
    claims,
    organic,
    analyses,
    stale,
    kit,
    bottling_day,
    value_per_hl,
    loss_percent,
    losses,
    cost_per_day,
    cost_per_point,
    test_prices,
    by_money,
    journey,
    sure_in_100,
    shelf_life_months,
    labour_per_hour,
    currency,
    prices,
    measured_on,
    trials,
    plan,
    done,
    checks,
    waived,
    weights kept
} Wine::default());

/// How a file answers a question of yes or no.
pub const YES: &str = "yes";
/// How a file answers a question of yes or no.
pub const NO: &str = "no";
/// The money that built-in prices are in.
pub const EURO: &str = "EUR";

/// The answer to a question of yes or no, 1 or 0; None for any other text or quantity.
pub(super) fn yes_or_no(which: Quantity, text: &str) -> Option<f64> {
    match text.trim() {
        _ if !which.is_yes_no() => None,
        YES => Some(1.0),
        NO => Some(0.0),
        _ => None,
    }
}

fn empty(text: &AsTyped) -> bool {
    text.0.is_empty()
}

/// Something typed that cannot be used, and how to mend it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct InputError {
    /// Path of the field in the file, also its name on the page.
    pub field: String,
    /// What was read.
    pub read: String,
    /// What was expected.
    pub expected: String,
}

impl std::fmt::Display for InputError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}: “{}”. {}", self.name(), self.read, self.expected)
    }
}

impl std::error::Error for InputError {}

impl InputError {
    /// What the field is called on the page; its path where it has no name of its own there.
    pub fn name(&self) -> &str {
        match self.field.as_str() {
            "bottling_day" => "Bottling day",
            "volume" => "Volume",
            path => path
                .strip_prefix("analyses.")
                .and_then(Quantity::from_key)
                .map_or(path, |q| q.label()),
        }
    }
}

impl Wine {
    /// A quantity read from its text: None when left out, or known only as below something; an
    /// error when it cannot be used.
    pub fn analysis(&self, which: Quantity) -> Option<Result<f64, InputError>> {
        self.found(which)
            .filter(|f| !matches!(f, Ok(found) if found.at_most))
            .map(|f| f.map(|found| found.value))
    }

    /// The most that a quantity may be by its reading: the figure, or the bound that it lies below.
    /// For limits that ask for no more
    /// than so much; of a limit that asks for so much at least a bound tells nothing.
    pub fn at_most(&self, which: Quantity) -> Option<f64> {
        self.found(which)?.ok().map(|found| found.value)
    }

    /// A quantity as a laboratory reports it, a figure or “< 0.5”: None when left out, an error
    /// when it cannot be used.
    pub fn found(&self, which: Quantity) -> Option<Result<Found, InputError>> {
        let text = &self.analyses.get(&which)?.0;
        if text.trim().is_empty() {
            return None;
        }
        let facts = which.facts();
        if which.is_yes_no() {
            match text.trim() {
                YES => {
                    return Some(Ok(Found {
                        value: 1.0,
                        at_most: false,
                    }));
                }
                NO => {
                    return Some(Ok(Found {
                        value: 0.0,
                        at_most: false,
                    }));
                }
                _ => {}
            }
        }
        let unit = which.read_in();
        let read = if which.is_yes_no() {
            answered
        } else {
            crate::units::read::found
        };
        Some(
            read(text, unit, facts.least, facts.most).map_err(|e| InputError {
                field: format!("analyses.{}", which.key()),
                read: text.clone(),
                expected: e.message(unit),
            }),
        )
    }

    /// What was found at one of the last days' checks.
    pub fn checked(&self, key: &str) -> Option<&Checked> {
        self.checks.iter().find(|c| c.key == key)
    }

    /// The same, to be changed; made where it is not there.
    pub fn check(&mut self, key: &str) -> &mut Checked {
        let at = self
            .checks
            .iter()
            .position(|c| c.key == key)
            .unwrap_or(self.checks.len());
        if at == self.checks.len() {
            self.checks.push(Checked {
                key: key.into(),
                ..Checked::default()
            });
        }
        #[allow(clippy::indexing_slicing)] // It stands there now.
        &mut self.checks[at]
    }

    /// What was written on doing without a proof, to be changed; made where it is not there.
    pub fn waive(&mut self, key: &str) -> &mut Waived {
        let at = self
            .waived
            .iter()
            .position(|w| w.key == key)
            .unwrap_or(self.waived.len());
        if at == self.waived.len() {
            self.waived.push(Waived {
                key: key.into(),
                ..Waived::default()
            });
        }
        #[allow(clippy::indexing_slicing)] // It stands there now.
        &mut self.waived[at]
    }

    /// The volume in litres, if given and readable.
    pub fn litres(&self) -> Option<Result<f64, InputError>> {
        read_text(&self.volume, "volume", "L", crate::units::read::litres)
    }

    /// The volume as typed, with the litres that a bare number means; empty where nothing was
    /// typed.
    pub fn volume_words(&self) -> String {
        let text = self.volume.0.trim();
        if text.ends_with(|c: char| c.is_ascii_digit()) {
            format!("{text} L")
        } else {
            text.to_string()
        }
    }

    /// The value of the wine in money per hectolitre, if given and readable.
    pub fn value(&self) -> Option<Result<f64, InputError>> {
        read_text(
            &self.value_per_hl,
            "value_per_hl",
            "money per hL, or with /gal",
            crate::units::read::money_per_hl,
        )
    }

    /// What labour costs in money per hour, if given and readable.
    pub fn labour(&self) -> Option<Result<f64, InputError>> {
        read_text(
            &self.labour_per_hour,
            "labour_per_hour",
            "money per hour",
            crate::units::read::money,
        )
    }

    /// The share of its value that a wine loses when a need is not met, 0 to 1, if given and
    /// readable.
    pub fn loss(&self) -> Option<Result<f64, InputError>> {
        read_text(&self.loss_percent, "loss_percent", "%", share).map(|r| r.map(|p| p / 100.0))
    }

    /// The same for one problem, if given for it and readable.
    pub fn loss_by(&self, problem: Problem) -> Option<Result<f64, InputError>> {
        read_text(
            self.losses.get(problem.key())?,
            &format!("losses.{}", problem.key()),
            "%",
            share,
        )
        .map(|r| r.map(|p| p / 100.0))
    }

    /// What a day of delay costs, money per hectolitre, if given and readable.
    pub fn per_day(&self) -> Option<Result<f64, InputError>> {
        read_text(
            &self.cost_per_day,
            "cost_per_day",
            "money per hL, or with /gal",
            crate::units::read::money_per_hl,
        )
    }

    /// What a point of impact costs, money per hectolitre, if given and readable.
    pub fn per_point(&self) -> Option<Result<f64, InputError>> {
        read_text(
            &self.cost_per_point,
            "cost_per_point",
            "money per hL, or with /gal",
            crate::units::read::money_per_hl,
        )
    }

    /// The user's own price of a test for the lot, if given and readable.
    pub fn test_price(&self, which: Quantity) -> Option<Result<f64, InputError>> {
        read_text(
            self.test_prices.get(&which)?,
            &format!("test_prices.{}", which.key()),
            "money",
            crate::units::read::money,
        )
    }

    /// Smallest batch that a piece of equipment is brought for, litres, if given and readable.
    pub fn kit_minimum(&self, kit: Kit) -> Option<Result<f64, InputError>> {
        read_text(
            &self.kit.get(&kit)?.minimum_batch,
            &format!("kit.{}.minimum_batch", kit.key()),
            "L",
            crate::units::read::litres,
        )
    }

    /// Days until a piece of equipment that is not owned is here, if given and readable.
    pub fn kit_lead(&self, kit: Kit) -> Option<Result<f64, InputError>> {
        let entry = self
            .kit
            .get(&kit)
            .filter(|e| matches!(e.means, KitMeans::Hired | KitMeans::Contractor))?;
        read_text(
            &entry.lead_days,
            &format!("kit.{}.lead_days", kit.key()),
            "days",
            |t| crate::units::read::measurement(t, "days", 0.0, 365.0),
        )
    }

    /// How long it is to keep in bottle, months, if given and readable.
    pub fn shelf_life(&self) -> Option<Result<f64, InputError>> {
        read_text(
            &self.shelf_life_months,
            "shelf_life_months",
            "months",
            |t| crate::units::read::measurement(t, "months", 0.0, 1200.0),
        )
    }

    /// In how many of 100 draws a route must meet each need, if given and readable.
    pub fn sure(&self) -> Option<Result<f64, InputError>> {
        read_text(&self.sure_in_100, "sure_in_100", "of 100", |t| {
            crate::units::read::measurement(t, "", 50.0, 99.0)
        })
    }

    /// The user's own price of a treatment, if given and readable.
    pub fn price(&self, treatment: &str) -> Option<Result<f64, InputError>> {
        read_text(
            self.prices.get(treatment)?,
            &format!("prices.{treatment}"),
            "money per kg, L or hL",
            crate::units::read::money,
        )
    }

    /// The money all amounts are in.
    pub fn money(&self) -> &str {
        let own = self.currency.trim();
        if own.is_empty() || own == "€" || own.eq_ignore_ascii_case(EURO) {
            EURO
        } else {
            own
        }
    }

    /// Fills what was left open from the user's defaults; nothing that was answered is changed.
    pub fn fill_from(&mut self, defaults: &Wine) {
        self.made_in = self.made_in.or(defaults.made_in);
        if self.sold_in.is_empty() {
            self.sold_in = defaults.sold_in.clone();
        }
        for (kit, entry) in &defaults.kit {
            self.kit.insert_new(*kit, entry.clone());
        }
        for (own, default) in [
            (&mut self.prices, &defaults.prices),
            (&mut self.losses, &defaults.losses),
        ] {
            for (key, figure) in default {
                own.insert_new(key.clone(), figure.clone());
            }
        }
        for (which, price) in &defaults.test_prices {
            self.test_prices.insert_new(*which, price.clone());
        }
        for (own, default) in [
            (&mut self.loss_percent, &defaults.loss_percent),
            (&mut self.cost_per_day, &defaults.cost_per_day),
            (&mut self.cost_per_point, &defaults.cost_per_point),
            (&mut self.labour_per_hour, &defaults.labour_per_hour),
            (&mut self.value_per_hl, &defaults.value_per_hl),
        ] {
            if own.0.is_empty() {
                *own = default.clone();
            }
        }
        if self.currency.is_empty() {
            self.currency = defaults.currency.clone();
        }
    }

    /// Every text that cannot be used.
    pub fn errors(&self) -> Vec<InputError> {
        let mut errors: Vec<InputError> = self
            .analyses
            .keys()
            .filter_map(|q| self.found(*q)?.err())
            .collect();
        errors.extend(self.litres().and_then(Result::err));
        errors.extend(self.value().and_then(Result::err));
        errors.extend(
            [
                self.loss(),
                self.per_day(),
                self.per_point(),
                self.shelf_life(),
                self.sure(),
            ]
            .into_iter()
            .flatten()
            .filter_map(Result::err),
        );
        errors.extend(
            self.losses
                .keys()
                .filter_map(|p| self.loss_by(Problem::from_key(p)?)?.err()),
        );
        errors.extend(
            self.test_prices
                .keys()
                .filter_map(|q| self.test_price(*q)?.err()),
        );
        errors.extend(self.labour().and_then(Result::err));
        errors.extend(self.prices.keys().filter_map(|k| self.price(k)?.err()));
        for kit in self.kit.keys() {
            errors.extend(self.kit_minimum(*kit).and_then(Result::err));
            errors.extend(self.kit_lead(*kit).and_then(Result::err));
        }
        errors.extend(super::record::errors(self));
        if !self.bottling_day.is_empty() && Day::read(&self.bottling_day).is_none() {
            errors.push(InputError {
                field: "bottling_day".into(),
                read: self.bottling_day.clone(),
                expected: DAY_EXPECTED.into(),
            });
        }
        for (i, trial) in self.trials.iter().enumerate() {
            errors.extend(trial.errors(&format!("trials.{i}")));
        }
        errors
    }
}

/// An answer of yes or no given as 1 or 0, which lies below nothing.
fn answered(
    text: &str,
    unit: &str,
    least: f64,
    most: f64,
) -> Result<Found, crate::units::read::ReadError> {
    crate::units::read::measurement(text, unit, least, most).map(|value| Found {
        value,
        at_most: false,
    })
}

fn share(text: &str) -> Result<f64, crate::units::read::ReadError> {
    crate::units::read::measurement(text, "%", 0.0, 100.0)
}
/// What a day should look like.
pub const DAY_EXPECTED: &str =
    "Write the day as year-month-day, for example 2027-03-15, or 15.3.2027.";

fn read_text(
    text: &AsTyped,
    field: &str,
    unit: &str,
    read: fn(&str) -> Result<f64, crate::units::read::ReadError>,
) -> Option<Result<f64, InputError>> {
    let text = &text.0;
    if text.trim().is_empty() {
        return None;
    }
    Some(read(text).map_err(|e| InputError {
        field: field.to_string(),
        read: text.clone(),
        expected: e.message(unit),
    }))
}
