//! From a dose to what goes into a glass or a tank. Worked examples: TU Munich lecture notes 5.6.3
//! (gelatin), Iowa State
//! University Extension (bentonite, copper), a Polish bench ladder with a 10 % slurry, 27 CFR
//! 24.246 (water).

use crate::knowledge::Dose;
use crate::units::Litres;
use crate::wine::Basis;

/// Grams of product per hectolitre (millilitres where the product is a liquid) at a dose in the
/// treatment's own unit. A dose
/// counted as an active substance is divided by the share of it in the product.
pub fn product_per_hl(dose: &Dose, amount: f64) -> f64 {
    match dose.basis {
        Basis::GramsPerHl | Basis::MillilitresPerHl => amount,
        Basis::NoDose => 0.0,
        Basis::MilligramsPerLitre => amount / 10.0,
        Basis::CopperMgPerL | Basis::SorbicMgPerL | Basis::SulfurMgPerL => {
            amount / 10.0 / dose.active_share.filter(|s| *s > 0.0).unwrap_or(1.0)
        }
    }
}

/// Milligrams of product weighed into a glass: `D·V/100`, D g/hL, V mL of wine. 40 g/hL in 750 mL:
/// 300 mg.
pub fn glass_milligrams(grams_per_hl: f64, wine_ml: f64) -> f64 {
    grams_per_hl * wine_ml / 100.0
}

/// Millilitres of a liquid product for a glass: `D·V·n/100,000`, D mL/hL, V mL of wine, n parts
/// that one part of product was
/// made up to (1 for neat). 50 mL/hL in 100 mL, 1 made up to 10: 0.5 mL.
pub fn liquid_millilitres(ml_per_hl: f64, wine_ml: f64, parts: f64) -> f64 {
    ml_per_hl * wine_ml * parts / 100_000.0
}

/// Grams (or millilitres) of product for a tank at a dose in the treatment's own unit. 60 g/hL in
/// 50 hL: 3000 g.
pub fn tank_amount(dose: &Dose, amount: f64, tank: Litres) -> f64 {
    product_per_hl(dose, amount) * tank.hectolitres()
}

/// Water that a slurry brings, % of the wine: `D/(10·p)`, D g/hL, p g in 100 mL. 60 g/hL at 5 %:
/// 1.2 %. None where the
/// strength is not above 0.
pub fn water_percent(grams_per_hl: f64, percent: f64) -> Option<f64> {
    (percent > 0.0).then(|| grams_per_hl / (10.0 * percent))
}

/// Weakest slurry that keeps its water within `most` % of the wine, g in 100 mL: `D/(10·w)`. None
/// where `most` is not above 0.
pub fn least_percent(grams_per_hl: f64, most: f64) -> Option<f64> {
    (most > 0.0).then(|| grams_per_hl / (10.0 * most))
}
