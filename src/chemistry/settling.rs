//! Particles that fall through still wine.

use super::{Answer, within};
use crate::units::{Celsius, Centimetres, Days, KgPerM3, Micrometres, Millimetres, Percent};

/// Viscosity of a dry wine, mPa·s: 1.80 at 16 °C, activation energy 22.2 kJ/mol [9]; measured 2 to
/// 26 °C, taken to −6 and
/// 35. 10 °C: 2.19.
pub fn viscosity(temperature: Celsius) -> Answer<f64> {
    within("temperature, °C", temperature.0, -6.0, 35.0)?;
    Ok(1.80 * libm::exp(22_200.0 / 8.314 * (1.0 / temperature.kelvin() - 1.0 / 289.15)))
}

/// Speed of fall by Stokes (from memory), mm a day: `g·d²·Δρ/(18·µ)`. Diameter in µm, density above
/// the wine's in kg/m³. A yeast of 5 µm, 105 kg/m³, at 12 °C: 60 mm. For few particles in still
/// wine: a drift of 0.1 mm/s undoes it, and thick lees fall slower.
pub fn fall_per_day(
    diameter: Micrometres,
    heavier: KgPerM3,
    temperature: Celsius,
) -> Answer<Millimetres> {
    let d = within("diameter, µm", diameter.0, 0.1, 1000.0)? * 1e-6;
    let rho = within("density above the wine's, kg/m³", heavier.0, 0.0, 3000.0)?;
    let mu = viscosity(temperature)? * 1e-3;
    let speed = 9.81 * d * d * rho / (18.0 * mu);
    // Above this the fall is no longer slow enough for the formula.
    within("Reynolds number", 990.0 * speed * d / mu, 0.0, 0.5)?;
    Ok(Millimetres(speed * 1000.0 * 86_400.0))
}

/// Days to fall a height, derived from the speed, and out of range where the lees are too thick for
/// single particles (over 2 % of the volume, from memory). 1 m, 0.8 µm, 90 kg/m³, 12 °C: 755.
pub fn days_to_fall(
    height: Millimetres,
    diameter: Micrometres,
    heavier: KgPerM3,
    temperature: Celsius,
    solids: Percent,
) -> Answer<Days> {
    within(
        "solids, % of the volume (hindered settling above)",
        solids.0,
        0.0,
        2.0,
    )?;
    let speed = fall_per_day(diameter, heavier, temperature)?;
    Ok(Days(
        within("height, mm", height.0, 0.0, 30_000.0)?
            / within("fall, mm a day", speed.0, 1e-6, 1e9)?,
    ))
}

/// Force of a centrifuge in times gravity: `1.118·10⁻⁵·r·n²`, derived from `r·ω²/g`, radius in cm,
/// turns a minute. 20 cm, 4500: 4528.
pub fn relative_force(radius: Centimetres, turns: f64) -> Answer<f64> {
    let r = within("radius, cm", radius.0, 0.1, 200.0)?;
    let n = within("turns a minute", turns, 0.0, 50_000.0)?;
    Ok(1.118e-5 * r * n * n)
}
