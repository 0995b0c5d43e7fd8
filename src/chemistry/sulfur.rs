//! Sulfur dioxide: the molecular share, the free SO2 it takes, and what an addition does.

use super::{Answer, within};
use crate::units::{Litres, MgPerL, PercentVol, Ph};

/// Constant of the field tables: 1.81, water, no correction [8]. The cautious one, and the default.
pub const FIELD: f64 = 1.81;
/// Share of sulfur dioxide in fresh potassium metabisulfite, 2·64.066/222.32.
pub const METABISULFITE: f64 = 2.0 * super::molar::SULFUR_DIOXIDE / super::molar::METABISULFITE;

/// Thermodynamic constant of the OIV at 20 °C by alcohol: 1.798, 1.897, 1.997, 2.099 at 0, 5, 10,
/// 15 % vol [7], in a line
/// between. 12 % vol: 2.038. It is held at 20 °C: its rise with warmth is not used, so that a warm
/// cellar never needs less.
pub fn oiv(alcohol: PercentVol) -> Answer<f64> {
    let a = within("alcohol, % vol", alcohol.0, 0.0, 15.0)?;
    let table = [(0.0, 1.798), (5.0, 1.897), (10.0, 1.997), (15.0, 2.099)];
    let mut value = 1.798;
    for w in table.windows(2) {
        if let [(x0, y0), (x1, y1)] = w
            && a >= *x0
        {
            value = y0 + (y1 - y0) * (a - x0) / (x1 - x0);
        }
    }
    Ok(value)
}

/// Molecular SO2, by definition of pK: `free / (1 + 10^(pH − pK))`. Free 30 at pH 3.25 by the field
/// constant: 1.05 mg/L. Readings of free SO2 in reds may overstate it.
pub fn molecular(free: MgPerL, ph: Ph, pk: f64) -> Answer<MgPerL> {
    within("free SO2, mg/L", free.0, 0.0, 1000.0)?;
    Ok(MgPerL(free.0 / denominator(ph, pk)?))
}

/// Free SO2 needed for a molecular aim, by definition of pK: `aim·(1 + 10^(pH − pK))`. 0.8 at pH
/// 3.5 by the field constant: 40 mg/L.
pub fn free_needed(aim: MgPerL, ph: Ph, pk: f64) -> Answer<MgPerL> {
    within("molecular SO2, mg/L", aim.0, 0.0, 5.0)?;
    Ok(MgPerL(aim.0 * denominator(ph, pk)?))
}

fn denominator(ph: Ph, pk: f64) -> Answer<f64> {
    within("pH", ph.0, 2.5, 4.6)?;
    within("pK", pk, 1.0, 3.0)?;
    Ok(1.0 + libm::pow(10.0, ph.0 - pk))
}

/// How sulfur dioxide is added.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    /// Gas or liquefied gas: all of it.
    Gas,
    /// A solution of so many g of SO2 in 100 mL.
    Solution(f64),
    /// Potassium metabisulfite, with the share of its strength that is left (1 when fresh).
    Metabisulfite(f64),
}

/// An addition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Addition {
    /// Grams of gas or salt, or millilitres of solution.
    pub amount: f64,
    /// Rise of the total, mg/L.
    pub total_rise: f64,
}

/// What raises the free SO2 by `rise` in a lot, when the share `free_share` of an addition stays
/// free (0.35 to 0.75; 0.5
/// until it is measured [12]). 50 hL, 20 mg/L, 0.5, fresh metabisulfite: 347 g and 40 mg/L more in
/// all.
pub fn addition(rise: MgPerL, lot: Litres, free_share: f64, form: Form) -> Answer<Addition> {
    within("rise of free SO2, mg/L", rise.0, 0.0, 300.0)?;
    within("volume, L", lot.0, 0.0, 1e7)?;
    within("share that stays free", free_share, 0.05, 1.0)?;
    let total_rise = rise.0 / free_share;
    let grams = total_rise * lot.0 / 1000.0;
    let amount = match form {
        Form::Gas => grams,
        Form::Solution(percent) => {
            grams / within("strength, g in 100 mL", percent, 0.1, 20.0)? * 100.0
        }
        Form::Metabisulfite(strength) => {
            grams / (METABISULFITE * within("strength left", strength, 0.3, 1.0)?)
        }
    };
    Ok(Addition { amount, total_rise })
}
