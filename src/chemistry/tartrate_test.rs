//! Tests of tartrate stability, each judged by its own limit. Results of different tests do not
//! mix.

use super::{Answer, within};
use crate::units::{Celsius, MicroSiemens, Percent, PercentVol};

/// A verdict by a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside the limit.
    Stable,
    /// On the edge.
    Borderline,
    /// Outside.
    Unstable,
}

/// Saturation temperature of a white wine from the rise of conductivity at 20 °C after 4 g/L of
/// bitartrate, µS/cm:
/// `20 − ΔL/29.30` (Würdig [6]); checked for about 7 to 20 °C. ΔL 200: 13.17 °C.
pub fn saturation_white(rise: MicroSiemens) -> Answer<Celsius> {
    Ok(Celsius(
        20.0 - within("rise of conductivity, µS/cm", rise.0, 0.0, 600.0)? / 29.30,
    ))
}

/// The same for rosé and red at 30 °C: `29.91 − ΔL/58.30` (Maujean [6]). ΔL 900: 14.47 °C.
pub fn saturation_red(rise: MicroSiemens) -> Answer<Celsius> {
    Ok(Celsius(
        29.91 - within("rise of conductivity, µS/cm", rise.0, 0.0, 2000.0)? / 58.30,
    ))
}

/// The highest saturation temperature of a white wine that stays clear at a storage temperature: 15
/// °C above it at 11 %
/// vol, 12 °C at 12.5 % vol, between them in a line; said between 10.5 and 13.5 % vol only [2, 6].
/// It leaves colloids out
/// on purpose. 12.5 % vol at −4 °C: 8 °C.
pub fn highest_saturation(alcohol: PercentVol, storage: Celsius) -> Answer<Celsius> {
    within("alcohol, % vol", alcohol.0, 10.5, 13.5)?;
    within("storage temperature, °C", storage.0, -6.0, 25.0)?;
    Ok(Celsius(storage.0 + 15.0 - 2.0 * (alcohol.0 - 11.0)))
}

/// Fall of the conductivity in the mini-contact test (10 g/L of seed, 0 °C, 5 to 10 minutes) [2],
/// %. 2000 to 1890 µS/cm: 5.5.
pub fn drop_percent(before: MicroSiemens, after: MicroSiemens) -> Answer<Percent> {
    within("conductivity before, µS/cm", before.0, 100.0, 10_000.0)?;
    within("conductivity after, µS/cm", after.0, 0.0, before.0)?;
    Ok(Percent(100.0 * (before.0 - after.0) / before.0))
}

/// Its verdict: unstable from 5 %, borderline from 3 % [2, and common practice]. It reports today's
/// colloids only, and does
/// not judge inhibitors.
pub fn mini_contact(drop: Percent) -> Answer<Verdict> {
    let d = within("drop, %", drop.0, 0.0, 100.0)?;
    Ok(if d >= 5.0 {
        Verdict::Unstable
    } else if d >= 3.0 {
        Verdict::Borderline
    } else {
        Verdict::Stable
    })
}

/// Cold hold, filtered sample at −4 °C for 3 days: crystals that stay when it is warm again mean
/// unstable
/// [AWRI-CA]. No equation.
pub const fn cold_hold(crystals: bool) -> Verdict {
    if crystals {
        Verdict::Unstable
    } else {
        Verdict::Stable
    }
}
