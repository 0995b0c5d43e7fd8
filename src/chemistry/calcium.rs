//! Calcium tartrate: thresholds only. No model of its solubility in wine was found, and cold
//! neither tests nor cures it.

use super::{Answer, within};
use crate::units::MgPerL;

/// What the threshold says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CalciumRisk {
    /// Below it.
    Low,
    /// At it or above.
    Likely,
}

/// Above 60 mg/L in red, 80 mg/L in white and rosé, calcium tartrate is a risk [AWRI-CA]. A
/// value on the line takes the
/// worse class.
pub fn risk(calcium: MgPerL, red: bool) -> Answer<CalciumRisk> {
    let limit = if red { 60.0 } else { 80.0 };
    Ok(
        if within("calcium, mg/L", calcium.0, 0.0, 1000.0)? >= limit {
            CalciumRisk::Likely
        } else {
            CalciumRisk::Low
        },
    )
}
