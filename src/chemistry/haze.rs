//! Protein haze. Bench readings rule: no constants of an adsorption curve and no multiplier for pH
//! were published, so the
//! curve below only sizes ladders and is never shown as a dose.

use super::{Answer, within};
use crate::units::{GramsPerHl, MgPerL, Ntu, Ph};

/// Protein left at a dose, derived from the mass balance of a Langmuir curve: `d·q·K·P/(1+K·P) = P0
/// − P`.
/// `capacity` in mg/g,
/// `affinity` in L/mg; both are guesses of ours (200-350 mg/g and 0.03-0.15 L/mg for sodium
/// bentonite).
pub fn protein_left(
    start: MgPerL,
    dose: GramsPerHl,
    capacity: f64,
    affinity: f64,
) -> Answer<MgPerL> {
    let p0 = within("protein, mg/L", start.0, 0.0, 1000.0)?;
    let d = within("dose, g/hL", dose.0, 0.0, 1000.0)? / 100.0;
    let q = within("capacity, mg/g", capacity, 1.0, 2000.0)?;
    let k = within("affinity, L/mg", affinity, 1e-4, 10.0)?;
    let b = 1.0 + k * (d * q - p0);
    // The form that keeps its digits where b is large.
    Ok(MgPerL(2.0 * p0 / (b + libm::sqrt(b * b + 4.0 * k * p0))))
}

/// Dose that leaves a given amount, g/hL, derived from the same curve: `(P0 − P)(1 + K·P)/(q·K·P)`.
/// 120 to 4 mg/L, 250 mg/g, 0.05: 278.
pub fn dose_leaving(
    start: MgPerL,
    left: MgPerL,
    capacity: f64,
    affinity: f64,
) -> Answer<GramsPerHl> {
    let p0 = within("protein, mg/L", start.0, 0.0, 1000.0)?;
    let p = within("protein left, mg/L", left.0, 0.01, p0.max(0.01))?;
    let q = within("capacity, mg/g", capacity, 1.0, 2000.0)?;
    let k = within("affinity, L/mg", affinity, 1e-4, 10.0)?;
    Ok(GramsPerHl(
        ((p0 - p) * (1.0 + k * p) / (q * k * p) * 100.0).max(0.0),
    ))
}

/// First guess of the dose from the rise in the heat test, to size a ladder: `1.48·ΔNTU + 2` g/hL
/// (an equation of French
/// origin used in a Virginia trial, one wine). Which report that was is not noted, so it counts as
/// from memory. 100 NTU: 150.
pub fn first_guess(rise: Ntu) -> Answer<GramsPerHl> {
    Ok(GramsPerHl(
        1.48 * within("rise, NTU", rise.0, 0.0, 500.0)? + 2.0,
    ))
}

/// Rungs for a first ladder: 0, ¼, ½, ¾, 1 and 1¼ of the guess, to 5 g/hL, the top at least 20 and
/// at most what the pH
/// suggests: 80 below 3.2, 120 to 3.5, 160 above. Our judgement.
pub fn ladder(rise: Ntu, ph: Option<Ph>) -> Answer<Vec<GramsPerHl>> {
    let guess = first_guess(rise)?.0;
    let most = match ph {
        Some(p) if p.0 < 3.2 => 80.0,
        Some(p) if p.0 <= 3.5 => 120.0,
        _ => 160.0,
    };
    let top = (guess * 1.25).clamp(20.0, most);
    let mut rungs: Vec<f64> = (0..=5_u8)
        .map(|i| libm::round(top * f64::from(i) / 25.0) * 5.0)
        .collect();
    rungs.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    Ok(rungs.into_iter().map(GramsPerHl).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A rise of 200 NTU asks for more than any top: 1.48 · 200 + 2 = 298 g/hL. The line itself
    /// belongs to the lower top at 3.5
    /// and to the higher one at 3.2, as the doc of `ladder` says.
    #[test]
    fn the_top_of_a_ladder_on_the_line_of_a_ph() {
        let top = |ph: f64| {
            ladder(Ntu(200.0), Some(Ph(ph)))
                .ok()
                .and_then(|rungs| rungs.last().map(|r| r.0))
        };
        assert_eq!(
            [3.19, 3.2, 3.5, 3.51].map(top),
            [80.0, 120.0, 120.0, 160.0].map(Some)
        );
    }
}
