//! What follows from the analyses of a wine by the equations of `chemistry`: each value with its
//! equation's source and with
//! what was assumed for what nobody measured. Values appear as their inputs do; what is missing is
//! said.

mod cold;
mod measured;
mod sulfur;
mod tartrate;

pub use cold::{chilling_energy, coldest};
pub use tartrate::{acidity_taken, composition};

use crate::case::Case;
use crate::chemistry::{Answer, NoAnswer};
use crate::wine::*;
use serde::Serialize;

/// One value that follows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Derived {
    /// What it is.
    pub name: &'static str,
    /// The value in words, with unit and spread.
    pub value: String,
    /// Equation and source.
    pub how: &'static str,
    /// What was assumed.
    pub assumed: Vec<String>,
}

/// A wine before or after a treatment that moves ions.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Change {
    /// What was done.
    pub name: String,
    /// Key of the treatment; empty for the wine as it is.
    pub key: &'static str,
    /// Potassium, mg/L.
    pub potassium: f64,
    /// Tartaric acid, g/L.
    pub tartaric: f64,
    /// Titratable acidity to pH 7, g/L as tartaric acid.
    pub titratable_acidity: f64,
    /// pH.
    pub ph: f64,
    /// Low end of the pH, since real wine buffers less than its acids in sum.
    pub ph_low: f64,
    /// High end.
    pub ph_high: f64,
}

/// The chart of bitartrate: concentration products, times 10⁵.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Chart {
    /// Product of the wine.
    pub product: f64,
    /// Saturated product by temperature, °C.
    pub saturated: Vec<(f64, f64)>,
    /// Temperature at which the wine is just saturated.
    pub saturation: Option<f64>,
    /// Storage temperature, where it was given.
    pub storage: Option<f64>,
}

/// All that follows.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Findings {
    /// Values.
    pub values: Vec<Derived>,
    /// What is missing, and what it would give.
    pub missing: Vec<String>,
    /// Before, and after each treatment that moves acids or potassium.
    pub changes: Vec<Change>,
    /// The chart.
    pub chart: Option<Chart>,
}

/// Works them out.
pub fn findings(case: &Case) -> Findings {
    let mut f = Findings::default();
    sulfur::dioxide(case, &mut f);
    tartrate::tartrate(case, &mut f);
    measured::tests(case, &mut f);
    measured::oxygen(case, &mut f);
    cold::work(case, &mut f);
    f
}

/// A reading that still holds.
fn measured(case: &Case, which: Quantity) -> Option<f64> {
    if case.voided(which) {
        None
    } else {
        case.analysis(which)
    }
}

/// The most that a reading which still holds may be: its figure, or the bound that it lies below.
fn at_most(case: &Case, which: Quantity) -> Option<f64> {
    if case.voided(which) {
        None
    } else {
        case.at_most(which)
    }
}

impl Findings {
    fn say(&mut self, name: &'static str, value: String, how: &'static str, assumed: Vec<String>) {
        self.values.push(Derived {
            name,
            value,
            how,
            assumed,
        });
    }

    fn lacks(&mut self, what: &str, gives: &str) {
        self.missing.push(format!("{what}: would give {gives}"));
    }

    /// Says an answer, or why there is none.
    fn answer<T>(
        &mut self,
        name: &'static str,
        answer: Answer<T>,
        how: &'static str,
        assumed: Vec<String>,
        words: impl FnOnce(T) -> String,
    ) {
        let value = match answer {
            Ok(x) => words(x),
            Err(e) => no_answer(&e),
        };
        self.say(name, value, how, assumed);
    }
}

/// Why there is no answer, in words.
pub fn no_answer(e: &NoAnswer) -> String {
    format!("no answer: {e}")
}
