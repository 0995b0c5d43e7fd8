//! Heat against germs.

use super::{Answer, within};
use crate::units::{Celsius, Minutes};

/// Pasteurisation units, by definition: `minutes·10^((T − 60)/z)`. No agreed aim for wine was
/// found, and z must be said: 7 is the brewers' convention. 72 °C, 20 s, z 7: 17.3.
pub fn pasteurisation_units(time: Minutes, temperature: Celsius, z: f64) -> Answer<f64> {
    within("minutes", time.0, 0.0, 600.0)?;
    within("temperature, °C", temperature.0, 40.0, 100.0)?;
    within("z, °C", z, 3.0, 15.0)?;
    Ok(time.0 * libm::pow(10.0, (temperature.0 - 60.0) / z))
}
