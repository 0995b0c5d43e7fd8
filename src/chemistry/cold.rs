//! Cold work: the freezing point, heat to be taken out, time and energy for a tank.

use super::solvent::Medium;
use super::{Answer, NoAnswer, within};
use crate::units::{
    Celsius, Days, GPerL, Hours, KiloWattHours, KiloWatts, Litres, PercentVol, SquareMetres,
    WallHeat,
};

/// Ethanol in water, % by mass, and how far it lowers the freezing point, °C [14]. Where the two
/// tables differ, by 0.35 °C at
/// 16 %, the warmer stands.
const ETHANOL_IN_WATER: [(f64, f64); 9] = [
    (0.0, 0.0),
    (2.0, 0.81),
    (4.0, 1.65),
    (6.0, 2.54),
    (8.0, 3.47),
    (10.0, 4.47),
    (12.0, 5.56),
    (16.0, 7.66),
    (21.0, 11.84),
];

/// Freezing point of a wine, °C: that of its ethanol and water [14], between the points of the
/// table in a line, less what its solutes (0.25 mol/kg) and its sugar take, 1.86 °C per mol/kg. 12
/// % vol, dry: −4.8 °C. 0 to 22 % vol, sugar to 200 g/L.
pub fn freezing_point(alcohol: PercentVol, sugar: GPerL) -> Answer<Celsius> {
    within("alcohol, % vol", alcohol.0, 0.0, 22.0)?;
    let s = within("sugar, g/L", sugar.0, 0.0, 200.0)?;
    let mass = Medium::wine(alcohol).mass_percent();
    let mut ethanol = 0.0;
    for w in ETHANOL_IN_WATER.windows(2) {
        if let [(x0, y0), (x1, y1)] = w
            && mass >= *x0
        {
            ethanol = y0 + (y1 - y0) * (mass - x0) / (x1 - x0);
        }
    }
    Ok(Celsius(-ethanol - 1.86 * (0.25 + s / 180.16)))
}

/// The coldest target: half a degree above the freezing point, whatever rule of thumb says
/// otherwise. Judgement.
pub fn coldest_target(alcohol: PercentVol, sugar: GPerL) -> Answer<Celsius> {
    Ok(Celsius(freezing_point(alcohol, sugar)?.0 + 0.5))
}

/// Heat capacity of a wine, kJ/(kg·K): 4.18 for water and 0.01 more for each % vol, which gives the
/// 4.2 to 4.4 of 10 to 14 %
/// vol (from memory; 3.8 is in use too); 1.25 for dissolved sugar, by mass. Judgement.
pub fn heat_capacity(alcohol: PercentVol, sugar: GPerL) -> Answer<f64> {
    let a = within("alcohol, % vol", alcohol.0, 0.0, 20.0)?;
    let s = within("sugar, g/L", sugar.0, 0.0, 300.0)?;
    let share = s / (990.0 + 0.4 * s);
    Ok((4.18 + 0.01 * a) * (1.0 - share) + 1.25 * share)
}

/// A tank to be chilled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chilling {
    /// Wine in it.
    pub volume: Litres,
    /// Alcohol.
    pub alcohol: PercentVol,
    /// Sugar.
    pub sugar: GPerL,
    /// Temperature now.
    pub from: Celsius,
    /// Temperature wanted.
    pub to: Celsius,
    /// Temperature around it.
    pub around: Celsius,
    /// Heat that comes through the wall, W/(m²·K): about 0.3 insulated, 6 bare.
    pub wall: WallHeat,
}

impl Chilling {
    fn checked(&self) -> Answer<()> {
        within("volume, L", self.volume.0, 10.0, 1e7)?;
        within("temperature now, °C", self.from.0, -12.0, 45.0)?;
        within("temperature wanted, °C", self.to.0, -12.0, self.from.0)?;
        within("temperature around, °C", self.around.0, -20.0, 50.0)?;
        within("heat through the wall, W/(m²·K)", self.wall.0, 0.0, 20.0)?;
        Ok(())
    }

    /// Wall of a tank of this volume, m²: 16.6 at 50 hL, as of a closed cylinder 1.6 times as high
    /// as it is wide (judgement), with the two-thirds power of the volume. 400 hL: 66.4.
    pub fn area(&self) -> SquareMetres {
        SquareMetres(16.6 * libm::pow(self.volume.0 / 5000.0, 2.0 / 3.0))
    }

    /// Kilojoules per kelvin of the wine.
    fn capacity(&self) -> Answer<f64> {
        Ok(self.volume.0 * 0.99 * heat_capacity(self.alcohol, self.sugar)?)
    }

    /// Heat to be taken out of the wine itself, by definition of the heat capacity. 1 hL of 12 %
    /// vol by 20 °C: 2.4 kWh.
    pub fn heat(&self) -> Answer<KiloWattHours> {
        self.checked()?;
        Ok(KiloWattHours(
            self.capacity()? * (self.from.0 - self.to.0) / 3600.0,
        ))
    }

    /// Heat that comes in over so many days of holding it cold, by definition of the heat through
    /// the wall. 50 hL by 20 °C at 0.3: 2.4 kWh a day.
    pub fn ingress(&self, days: Days) -> Answer<KiloWattHours> {
        self.checked()?;
        within("days", days.0, 0.0, 400.0)?;
        Ok(KiloWattHours(
            (self.wall.0 * self.area().0 * (self.around.0 - self.to.0)).max(0.0) * 24.0 * days.0
                / 1000.0,
        ))
    }

    /// Electricity for a heat at a coefficient of performance: 1.8 to 3.0 at such temperatures
    /// [12].
    pub fn electricity(heat: KiloWattHours, performance: f64) -> Answer<KiloWattHours> {
        Ok(KiloWattHours(
            within("heat, kWh", heat.0, 0.0, 1e9)?
                / within("coefficient of performance", performance, 0.5, 10.0)?,
        ))
    }

    /// Time to chill it with so many kW of cold, while heat comes in through the wall: the wine
    /// follows
    /// `C·dT/dt = −P + U·A·(Ta − T)`, derived from the heat balance.
    pub fn time(&self, power: KiloWatts) -> Answer<Hours> {
        self.checked()?;
        let p = within("chilling power, kW", power.0, 0.01, 1e5)?;
        let c = self.capacity()?;
        let leak = self.wall.0 * self.area().0 / 1000.0;
        let at = |t: f64| p - leak * (self.around.0 - t);
        if at(self.to.0) <= 0.0 {
            return Err(NoAnswer::NeverReached(
                "the chiller does not overcome the heat that comes in: insulate, or more power",
            ));
        }
        if leak < 1e-9 {
            return Ok(Hours(c * (self.from.0 - self.to.0) / p / 3600.0));
        }
        Ok(Hours(
            c / leak * libm::log(at(self.from.0) / at(self.to.0)) / 3600.0,
        ))
    }
}
