//! The greatest dose under a rule.

use super::Finding;
use crate::knowledge::*;
use crate::wine::*;

/// The greatest dose under a rule's limits on the dose, on the sum over must and wine, and on what is left of a quantity
/// that the treatment itself adds, in the treatment's unit. A "less than" limit leaves the last rung below it; the cap
/// itself is then not reached, which [`within_cap`] minds. What is left is reckoned from the measured value, or from none.
pub(super) fn dose_cap(rule: &LawRule, wine: &Wine, treatment: &Treatment, law: Law) -> Option<f64> {
    let dose = treatment.dose?;
    let by_rule = rule.limits.iter().filter_map(|l| {
        let value = match l.kind {
            LimitKind::Dose | LimitKind::Sum => in_basis(l.value, l.unit, &dose)?,
            LimitKind::Residue => {
                let added = treatment.effects.iter().find(|e| Some(e.on) == l.quantity)?.adds?;
                room(measured(wine, l.quantity?), l.value, added.high)?
            }
            LimitKind::Floor | LimitKind::Process => return None,
        };
        Some(if l.strict { value - value * 1e-9 } else { value })
    });
    // Total sulfur dioxide stands in its own table, by colour and sugar.
    let by_total = treatment
        .effects
        .iter()
        .find(|e| e.on == Quantity::TotalSo2)
        .and_then(|e| e.adds)
        .and_then(|a| super::sulfur::tightest(wine, &[law]).and_then(|l| room(measured(wine, Quantity::TotalSo2), l.most, a.high)));
    by_rule.chain(by_total).reduce(f64::min)
}

fn measured(wine: &Wine, which: Quantity) -> f64 {
    wine.analysis(which).and_then(Result::ok).unwrap_or(0.0)
}

fn room(now: f64, most: f64, added_per_unit: f64) -> Option<f64> {
    (added_per_unit > 0.0).then(|| ((most - now) / added_per_unit).max(0.0))
}

fn in_basis(value: f64, unit: &str, dose: &Dose) -> Option<f64> {
    match (unit, dose.basis) {
        ("g/hL", Basis::GramsPerHl) | ("mL/hL", Basis::MillilitresPerHl) => Some(value),
        ("mg/L", Basis::GramsPerHl) => Some(value / 10.0),
        ("g/L", Basis::GramsPerHl) => Some(value * 100.0),
        ("g/L", Basis::MilligramsPerLitre) => Some(value * 1000.0),
        ("g/hL", Basis::MilligramsPerLitre) => Some(value * 10.0),
        ("mg/L", Basis::MilligramsPerLitre | Basis::CopperMgPerL | Basis::SorbicMgPerL | Basis::SulfurMgPerL) => Some(value),
        // A limit on the salt, for a dose that counts the metal.
        ("g/hL", Basis::CopperMgPerL) => Some(value * 10.0 * dose.active_share?),
        _ => None,
    }
}

/// Whether a dose stays inside every cap found.
pub fn within_cap(found: &[Finding], dose: f64) -> bool {
    found.iter().filter_map(|f| f.dose_cap).all(|cap| dose <= cap)
}
