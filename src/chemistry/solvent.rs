//! Water and alcohol as a solvent: density, permittivity, activity of ions.

use super::{Answer, within};
use crate::units::{Celsius, MolPerL, PercentVol};

/// Density of ethanol at 20 °C, g/mL.
const ETHANOL: f64 = 0.7893;

/// What the acids are dissolved in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Medium {
    /// Temperature.
    pub temperature: Celsius,
    /// Alcohol.
    pub alcohol: PercentVol,
    /// Ionic strength; wine lies at 0.04 to 0.10 mol/L.
    pub ionic_strength: MolPerL,
}

impl Medium {
    /// At the temperature at which pH is measured, and the usual ionic strength of a wine. No
    /// equation.
    pub fn wine(alcohol: PercentVol) -> Medium {
        Medium {
            temperature: Celsius(20.0),
            alcohol,
            ionic_strength: MolPerL(0.05),
        }
    }

    /// The same at another temperature. No equation.
    pub fn at(self, temperature: Celsius) -> Medium {
        Medium {
            temperature,
            ..self
        }
    }

    /// Whether the constants hold here: −6 to 40 °C, 0 to 20 % vol, ionic strength 0 to 0.2 mol/L.
    /// No equation.
    pub fn checked(self) -> Answer<Medium> {
        within("temperature, °C", self.temperature.0, -6.0, 40.0)?;
        within("alcohol, % vol", self.alcohol.0, 0.0, 20.0)?;
        within("ionic strength, mol/L", self.ionic_strength.0, 0.0, 0.2)?;
        Ok(self)
    }

    /// Density of ethanol-water at 20 °C, g/mL: 0.9982 − 0.001533·a + 0.000018·a², a in % vol, a
    /// fit to values that were read: 0.9847 at 10, 0.9825 at 12, 0.9803 at 14 % vol. In which table
    /// was not noted, so it counts as from memory.
    pub fn density(self) -> f64 {
        let a = self.alcohol.0;
        0.998_23 - 0.001_533 * a + 0.000_018 * a * a
    }

    /// Ethanol in % by mass, by definition: `a·0.7893 / density`. 12 % vol: 9.64.
    pub fn mass_percent(self) -> f64 {
        self.alcohol.0 * ETHANOL / self.density()
    }

    /// Davies coefficient `A = 1.8246·10⁶·√d / (ε·T)^1.5`, with the permittivity of water less 0.58
    /// for each % of ethanol
    /// by mass [4]. Water at 25 °C: 0.511. 12 % vol at 20 °C: 0.560.
    pub fn davies(self) -> f64 {
        let t = self.temperature.0;
        let water = 87.740 - 0.400_08 * t + 9.398e-4 * t * t - 1.410e-6 * t * t * t;
        let et = (water - 0.58 * self.mass_percent()) * self.temperature.kelvin();
        1.8246e6 * libm::sqrt(self.density()) / (et * libm::sqrt(et))
    }

    /// Decadic logarithm of the activity coefficient of an ion of this charge: `−A·z²·(√I/(1+√I) −
    /// 0.3·I)` [4].
    pub fn log_activity(self, charge: u32) -> f64 {
        let i = self.ionic_strength.0;
        let root = libm::sqrt(i);
        -self.davies() * f64::from(charge * charge) * (root / (1.0 + root) - 0.3 * i)
    }

    /// Activity coefficient of an ion of this charge [4]. 12 % vol, 20 °C, 0.05 mol/L: 0.805 and
    /// 0.421.
    pub fn activity(self, charge: u32) -> f64 {
        libm::exp10(self.log_activity(charge))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn examples() {
        let water = Medium {
            temperature: Celsius(25.0),
            alcohol: PercentVol(0.0),
            ionic_strength: MolPerL(0.05),
        };
        assert!((water.davies() - 0.511).abs() < 0.001);
        let wine = Medium::wine(PercentVol(12.0));
        assert!((wine.davies() - 0.560).abs() < 0.001);
        assert!(
            (wine.activity(1) - 0.805).abs() < 0.001 && (wine.activity(2) - 0.421).abs() < 0.002
        );
        assert!(Medium::wine(PercentVol(f64::NAN)).checked().is_err());
    }
}
