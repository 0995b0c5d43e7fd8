//! Oxygen and what it spends.

use super::{Answer, within};
use crate::units::{Celsius, MgPerL, Millilitres};

/// Sulfur dioxide spent by a milligram of oxygen, two molecules to one: 4.0 mg [10]. Real wines
/// begin lower, not below 2.
pub const SULFUR_PER_OXYGEN: f64 = 2.0 * super::molar::SULFUR_DIOXIDE / 31.998;

/// Oxygen in wine saturated with air, mg/L: `11.35 − 0.17·T`, 5 to 30 °C [ENCYC]. 14 °C: 9.0.
pub fn saturation(temperature: Celsius) -> Answer<MgPerL> {
    Ok(MgPerL(
        11.35 - 0.17 * within("temperature, °C", temperature.0, 5.0, 30.0)?,
    ))
}

/// Total package oxygen, mg/L: dissolved, and what the headspace holds, `h·0.2095·1.330` mg for h
/// mL of air at 20 °C: derived from the share of oxygen in air and its density of 31.998/24.055
/// mg/mL. 6 mL in 750 mL: 2.2 mg/L.
pub fn total_package(
    dissolved: MgPerL,
    headspace: Millilitres,
    bottle: Millilitres,
) -> Answer<MgPerL> {
    within("dissolved oxygen, mg/L", dissolved.0, 0.0, 20.0)?;
    let h = within("headspace, mL", headspace.0, 0.0, 200.0)?;
    let b = within("bottle, mL", bottle.0, 50.0, 20_000.0)?;
    Ok(MgPerL(dissolved.0 + h * 0.2095 * 1.330 / b * 1000.0))
}

/// Least free SO2 to be expected once the oxygen of a package is spent [10]. 30 mg/L and 2.0 mg/L
/// of oxygen: 22.
pub fn free_after(free: MgPerL, oxygen: MgPerL) -> Answer<MgPerL> {
    within("free SO2, mg/L", free.0, 0.0, 1000.0)?;
    within("oxygen, mg/L", oxygen.0, 0.0, 50.0)?;
    Ok(MgPerL((free.0 - SULFUR_PER_OXYGEN * oxygen.0).max(0.0)))
}

/// Oxygen that ascorbic acid takes up, and the SO2 that the peroxide it makes then spends, both
/// mg/L, derived from one molecule of each [13]. 100 mg/L: 18.2 and 36.
pub fn ascorbic(acid: MgPerL) -> Answer<(MgPerL, MgPerL)> {
    let moles = within("ascorbic acid, mg/L", acid.0, 0.0, 1000.0)? / 176.12;
    Ok((
        MgPerL(moles * 31.998),
        MgPerL(moles * super::molar::SULFUR_DIOXIDE),
    ))
}
