//! The ladder of a trial: rungs, stock, millilitres for each glass, and what the law says of each
//! rung.

use super::arithmetic::{glass_milligrams, least_percent, liquid_millilitres, product_per_hl};
use crate::case::BenchTrial;
use crate::chemistry::haze;
use crate::dossier::Dossier;
use crate::knowledge::{Dose, Treatment};
use crate::law::{self, Legality};
use crate::sorting::sort;
use crate::units::show::plain;
use crate::units::{GramsPerHl, Ntu, Ph};
use crate::wine::*;
use serde::Serialize;

/// Sample volumes offered, mL.
pub const SAMPLES: [f64; 4] = [100.0, 250.0, 500.0, 750.0];
/// Least that is measured with a graduated pipette of 1 mL. Judgement.
pub const LEAST_ML: f64 = 0.1;
/// Least that is weighed on a balance that shows 0.01 g. Judgement.
pub const LEAST_MG: f64 = 50.0;
/// Most that a stock may dilute the wine in the glass, %: above it readings are of thinner wine.
/// Judgement; the same figure
/// is the limit on water of 27 CFR 24.246.
pub const MOST_WATER: f64 = 1.0;
/// Strengths that a stock is made at, g in 100 mL.
const STRENGTHS: [f64; 12] = [
    20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.25, 0.1, 0.05, 0.02, 0.01, 0.004,
];

/// How the product comes into a glass.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Dosing {
    /// From a stock of so many grams in 100 mL.
    Stock(f64),
    /// A liquid product, 1 part made up to so many (1: neat).
    Liquid(f64),
    /// Weighed dry.
    Dry,
}

/// A rung of the ladder.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Dose in the treatment's own unit; 0 is the control.
    pub dose: f64,
    /// Millilitres of stock or of the diluted liquid for the glass.
    pub millilitres: Option<f64>,
    /// Milligrams for the glass, where it is weighed.
    pub milligrams: Option<f64>,
    /// Markets whose limit it is over.
    pub over: Vec<Market>,
}

/// Another agent that every glass gets, the control too.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Beside {
    /// Which; in a report its key and name.
    #[serde(serialize_with = "crate::knowledge::named")]
    pub treatment: &'static Treatment,
    /// How it comes into a glass.
    pub dosing: Dosing,
    /// How much, and the law of it.
    pub step: Step,
    /// Whether it goes in before the agent that is tried; else after it.
    pub first: bool,
}

/// A designed trial.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Design {
    /// Unit of the doses.
    pub unit: &'static str,
    /// What is read; None for taste alone.
    pub quantity: Option<Quantity>,
    /// Volume of each sample, mL.
    pub sample_ml: f64,
    /// How the product comes into a glass.
    pub dosing: Dosing,
    /// The rungs, ascending, the control first.
    pub steps: Vec<Step>,
    /// Other agents in every glass, those that go first before the others.
    pub with: Vec<Beside>,
    /// Millilitres of stock to make for all glasses, and the grams in them; for a liquid, its
    /// millilitres.
    pub make: Option<(f64, f64)>,
    /// Water to put into the control, mL: as much as the fullest glass gets.
    pub control_ml: f64,
    /// Greatest dose under the limits of the markets named.
    pub cap: Option<f64>,
    /// Markets that forbid it.
    pub forbidden: Vec<Market>,
    /// The hardest answer of the law; None where no market was named.
    pub legality: Option<Legality>,
    /// What to mind: too small to pipette, too much water, where the ladder comes from.
    pub notes: Vec<String>,
}

/// The usual strength of the stock: what the treatment's facts say.
fn usual(dose: &Dose) -> Option<f64> {
    dose.stock_percent.filter(|p| *p > 0.0)
}

/// The doses of a first ladder: for sodium bentonite sized by the measured rise in the heat test,
/// else the treatment's own.
pub fn first_ladder(dossier: &Dossier, t: &Treatment) -> Vec<f64> {
    let Some(dose) = super::bench_dose(dossier, t) else {
        return Vec::new();
    };
    sized(dossier, t).unwrap_or_else(|| dose.ladder.to_vec())
}

/// The prior is an equation for sodium bentonite, so no other clay is sized by it.
fn sized(dossier: &Dossier, t: &Treatment) -> Option<Vec<f64>> {
    let usable = |q| dossier.analysis(q).filter(|_| !dossier.voided(q));
    let rise = usable(Quantity::HeatRise).filter(|_| t.key == "bentonite_sodium")?;
    let ladder = haze::ladder(Ntu(rise), usable(Quantity::Ph).map(Ph)).ok()?;
    Some(ladder.into_iter().map(|d| d.0).collect())
}

/// The trial of a treatment on this wine: its own rungs where some are written, else a first
/// ladder. None where there is
/// none to make (see [`super::bench_dose`]).
pub fn design(dossier: &Dossier, t: &Treatment) -> Option<Design> {
    let dose = super::bench_dose(dossier, t)?;
    let trial = super::trial_of(dossier, t.key);
    let mut notes = Vec::new();
    let glasses = trial.map_or(&[][..], |trial| &trial.glasses);
    let mut doses: Vec<f64> = glasses.iter().filter_map(|g| g.dose.given()).collect();
    if doses.is_empty() {
        if sized(dossier, t).is_some() {
            notes.push("Sized by the heat test of this wine: 1.48 times the rise and 2 is a first guess from one published trial, not a dose.".to_string());
        }
        doses = first_ladder(dossier, t);
    }
    sort(&mut doses, &mut f64::total_cmp);
    doses.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    if doses.first().is_none_or(|d| *d > 0.0) {
        doses.insert(0, 0.0);
    }
    let sample_ml = trial.and_then(|t| t.sample_ml.given()).unwrap_or(100.0);
    let top = doses.last().copied().unwrap_or(0.0);
    let least = doses.iter().copied().find(|d| *d > 0.0).unwrap_or(top);
    let per_hl = |d: f64| product_per_hl(&dose, d);
    let dosing = dosing(
        &dose,
        trial.and_then(|t| t.stock_percent.given()),
        top,
        sample_ml,
    );
    let millilitres = |d: f64| drawn(&dose, dosing, d, sample_ml);
    let found = dossier.law(t);
    let steps: Vec<Step> = doses
        .iter()
        .map(|d| step(&dose, dosing, *d, sample_ml, &found))
        .collect();
    let with = beside(dossier, t, trial, sample_ml);
    let wet_beside: f64 = with.iter().filter_map(|b| b.step.millilitres).sum();
    let all_wet = wet_beside + millilitres(top).unwrap_or(0.0);
    let most = sample_ml * MOST_WATER / 100.0 + 1e-9;
    // Where the one alone brings too much, it is said of it.
    if all_wet > most && all_wet - wet_beside <= most {
        notes.push(format!(
            "All agents together bring {} mL into the fullest glass, more than {} % of the wine: make the stocks stronger.",
            plain(all_wet),
            plain(MOST_WATER)
        ));
    }
    mind(
        &mut notes,
        dosing,
        (millilitres(least), millilitres(top)),
        sample_ml,
        (per_hl(least), per_hl(top)),
    );
    let all: f64 = steps.iter().filter_map(|s| s.millilitres).sum();
    // A third more than is drawn, in a flask that there is.
    let flask = [20.0, 50.0, 100.0, 250.0, 500.0, 1000.0]
        .into_iter()
        .find(|v| *v >= all * 4.0 / 3.0)
        .unwrap_or(all * 4.0 / 3.0);
    let make = match dosing {
        Dosing::Stock(percent) => Some((flask, percent * flask / 100.0)),
        Dosing::Liquid(parts) if parts > 1.0 => Some((flask, flask / parts)),
        _ => None,
    };
    let wet = matches!(dosing, Dosing::Stock(_))
        || matches!(dosing, Dosing::Liquid(parts) if parts > 1.0);
    Some(Design {
        unit: dose.basis.label(),
        quantity: trial.map_or_else(
            || super::quantities(dossier, t).first().copied(),
            |trial| trial.quantity,
        ),
        sample_ml,
        dosing,
        steps,
        with,
        make,
        control_ml: if wet {
            millilitres(top).unwrap_or(0.0)
        } else {
            0.0
        },
        cap: found.iter().filter_map(|f| f.dose_cap).reduce(f64::min),
        forbidden: found
            .iter()
            .filter(|f| f.legality.shuts_out())
            .map(|f| f.market)
            .collect(),
        legality: law::hardest(&found),
        notes,
    })
}

/// How a product comes into a glass: a liquid made up ten times where the fullest glass can take
/// the water.
fn dosing(dose: &Dose, stock: Option<f64>, top: f64, sample_ml: f64) -> Dosing {
    match (dose.basis, stock.or(usual(dose))) {
        (Basis::MillilitresPerHl, _) => {
            let thin =
                liquid_millilitres(top, sample_ml, 10.0) <= sample_ml * MOST_WATER / 100.0 + 1e-9;
            Dosing::Liquid(if thin { 10.0 } else { 1.0 })
        }
        (_, Some(percent)) => Dosing::Stock(percent),
        (_, None) => Dosing::Dry,
    }
}

fn drawn(dose: &Dose, dosing: Dosing, amount: f64, sample_ml: f64) -> Option<f64> {
    match dosing {
        Dosing::Stock(percent) => {
            GramsPerHl(product_per_hl(dose, amount)).stock_millilitres(sample_ml, percent)
        }
        Dosing::Liquid(parts) => Some(liquid_millilitres(amount, sample_ml, parts)),
        Dosing::Dry => None,
    }
}

fn step(dose: &Dose, dosing: Dosing, amount: f64, sample_ml: f64, found: &[law::Finding]) -> Step {
    Step {
        dose: amount,
        millilitres: drawn(dose, dosing, amount, sample_ml),
        milligrams: (dosing == Dosing::Dry)
            .then(|| glass_milligrams(product_per_hl(dose, amount), sample_ml)),
        over: found
            .iter()
            .filter(|f| f.dose_cap.is_some_and(|cap| amount > cap))
            .map(|f| f.market)
            .collect(),
    }
}

/// The other agents of a trial, by who goes first.
fn beside(
    dossier: &Dossier,
    t: &Treatment,
    trial: Option<&BenchTrial>,
    sample_ml: f64,
) -> Vec<Beside> {
    let given = trial.map_or(&[][..], |trial| &trial.with);
    let mut all: Vec<Beside> = given
        .iter()
        .filter_map(|w| {
            let other = w.treatment?;
            let facts = super::bench_dose(dossier, other)?;
            let amount = w.dose.given().filter(|d| *d > 0.0)?;
            let dosing = dosing(&facts, None, amount, sample_ml);
            let first = super::order::goes_first(dossier, t, other).is_none();
            let found = dossier.law(other);
            let mut step = step(&facts, dosing, amount, sample_ml, &found);
            step.over.extend(
                found
                    .iter()
                    .filter(|f| f.legality.shuts_out())
                    .map(|f| f.market),
            );
            Some(Beside {
                treatment: other,
                dosing,
                step,
                first,
            })
        })
        .collect();
    // Each before those it goes before.
    sort(&mut all, &mut |a, b| {
        let before = |a: &Beside, b: &Beside| {
            super::order::goes_first(dossier, a.treatment, b.treatment).is_some()
        };
        b.first
            .cmp(&a.first)
            .then_with(|| before(b, a).cmp(&before(a, b)))
    });
    all
}

/// What to mind in drawing and weighing, with the strength that would mend it.
fn mind(
    notes: &mut Vec<String>,
    dosing: Dosing,
    ml: (Option<f64>, Option<f64>),
    sample_ml: f64,
    per_hl: (f64, f64),
) {
    let (Some(small), Some(large)) = ml else {
        let mg = glass_milligrams(per_hl.0, sample_ml);
        if mg < LEAST_MG {
            // 1 mL and more for the least rung of this glass.
            let advised = STRENGTHS.into_iter().find(|p| {
                GramsPerHl(per_hl.0)
                    .stock_millilitres(sample_ml, *p)
                    .is_some_and(|v| v >= 2.0 * LEAST_ML)
            });
            let how = advised.map_or(String::new(), |p| {
                format!(
                    ", or make a stock of {} % and write its strength below",
                    plain(p)
                )
            });
            notes.push(format!("{} mg is too little to weigh on a balance that shows 0.01 g: take a larger sample{how}.", plain(mg)));
        }
        return;
    };
    let weaker = |p: &f64| {
        GramsPerHl(per_hl.0)
            .stock_millilitres(sample_ml, *p)
            .is_some_and(|v| v >= LEAST_ML)
    };
    if small > 0.0 && small < LEAST_ML {
        let how = match (dosing, STRENGTHS.iter().find(|p| weaker(p))) {
            (Dosing::Stock(_), Some(p)) => format!("a stock of {} %", plain(*p)),
            _ => "a larger sample".to_string(),
        };
        notes.push(format!(
            "{} mL is too small to pipette: take {how}.",
            plain(small)
        ));
    }
    if large > sample_ml * MOST_WATER / 100.0 + 1e-9 {
        let stronger = least_percent(per_hl.1, MOST_WATER)
            .and_then(|least| STRENGTHS.into_iter().rfind(|p| *p >= least));
        let how = match (dosing, stronger) {
            (Dosing::Stock(_), Some(p)) => {
                format!(": a stock of {} % and more keeps it below", plain(p))
            }
            _ => String::new(),
        };
        notes.push(format!(
            "The fullest glass gets {} mL, more than {} % of the wine{how}. Else multiply what is read there by {}.",
            plain(large),
            plain(MOST_WATER),
            plain((sample_ml + large) / sample_ml)
        ));
    }
}
