//! The acids of wine: constants against temperature, alcohol and ionic strength; species at a pH.

use super::solvent::Medium;
use super::{Answer, molar, within};
use crate::units::{GPerL, MolPerL, Ph};

/// An acid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Acid {
    /// Tartaric.
    Tartaric,
    /// Malic.
    Malic,
    /// Lactic.
    Lactic,
    /// Succinic.
    Succinic,
    /// Citric.
    Citric,
    /// Acetic.
    Acetic,
}

/// Steps an acid can have.
const STEPS: usize = 3;

impl Acid {
    /// All of them.
    pub const ALL: [Acid; 6] = [
        Acid::Tartaric,
        Acid::Malic,
        Acid::Lactic,
        Acid::Succinic,
        Acid::Citric,
        Acid::Acetic,
    ];

    /// Molar mass, g/mol [13]. No equation.
    pub const fn molar_mass(self) -> f64 {
        match self {
            Acid::Tartaric => molar::TARTARIC,
            Acid::Malic => molar::MALIC,
            Acid::Lactic => molar::LACTIC,
            Acid::Succinic => molar::SUCCINIC,
            Acid::Citric => molar::CITRIC,
            Acid::Acetic => molar::ACETIC,
        }
    }

    /// Moles per litre of so many grams per litre, by the molar mass [13]. No equation.
    pub fn moles(self, grams: GPerL) -> MolPerL {
        MolPerL(grams.0 / self.molar_mass())
    }

    /// Thermodynamic pKa of each step: `A/T − B + C·T` in water [1], malic constant, plus k for
    /// each % vol of alcohol (from
    /// [3] for lactic and succinic; tartaric set so that bitartrate peaks where published, the rest
    /// by likeness). Steps that
    /// are not there read as 99. Valid −6 to 40 °C and 0 to 20 % vol (k checked to 16).
    pub fn pka(self, m: Medium) -> [f64; STEPS] {
        let t = m.temperature.kelvin();
        let form = |a: f64, b: f64, c: f64, k: f64| a / t - b + c * t + k * m.alcohol.0;
        let flat = |p: f64, k: f64| p + k * m.alcohol.0;
        match self {
            Acid::Tartaric => [
                form(1525.59, 6.6558, 0.015_336, 0.012),
                form(1765.35, 7.3015, 0.019_276, 0.012),
                NONE,
            ],
            Acid::Malic => [flat(3.459, 0.013), flat(5.097, 0.013), NONE],
            Acid::Lactic => [form(1286.49, 4.8607, 0.014_776, 0.013), NONE, NONE],
            Acid::Succinic => [
                form(1206.25, 3.3266, 0.011_697, 0.0145),
                form(1679.13, 5.7049, 0.019_153, 0.016),
                NONE,
            ],
            Acid::Citric => [
                form(1255.6, 4.5635, 0.011_673, 0.013),
                form(1585.2, 5.4460, 0.016_399, 0.013),
                form(1814.9, 6.3664, 0.022_389, 0.013),
            ],
            Acid::Acetic => [form(1170.48, 3.1649, 0.013_399, 0.013), NONE, NONE],
        }
    }

    /// Mixed pKa' of each step: pH an activity, the rest concentrations: `pKn' = pKn + log γn − log
    /// γ(n−1)`, by definition. Tartaric in
    /// 12 % vol at 20 °C: 3.094 and 4.233.
    pub fn mixed(self, m: Medium) -> [f64; STEPS] {
        self.with_activities(m, [1, 2, 3].map(|z| m.log_activity(z)))
    }

    fn with_activities(self, m: Medium, logs: [f64; STEPS]) -> [f64; STEPS] {
        let [a, b, c] = self.pka(m);
        let [one, two, three] = logs;
        [a + one, b + two - one, c + three - two]
    }

    /// Mixed constants of every acid, in the order of [`Acid::ALL`].
    pub(crate) fn all_mixed(m: Medium) -> [[f64; STEPS]; 6] {
        let logs = [1, 2, 3].map(|z| m.log_activity(z));
        Acid::ALL.map(|a| a.with_activities(m, logs))
    }
}

const NONE: f64 = 99.0;

/// The set that published concentration products were worked with: tartaric 3.01 and 4.05, no
/// correction [2]. For
/// comparing with those limits only.
pub const HANDBOOK_TARTARIC: [f64; STEPS] = [3.01, 4.05, NONE];

/// Shares of an acid by the charge it carries, 0 to 3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Share that carries no, one, two and three charges.
    pub share: [f64; STEPS + 1],
}

impl Species {
    /// From mixed constants at a pH, by definition of them. Published: pK 3.04 and 4.37 at pH 3.50
    /// give 23.4, 67.5 and 9.1 %.
    pub fn of(pk: [f64; STEPS], ph: Ph) -> Species {
        let [a, b, c] = pk.map(|p| libm::exp10(ph.0 - p));
        let terms = [1.0, a, a * b, a * b * c];
        let sum: f64 = terms.iter().sum();
        Species {
            share: terms.map(|t| t / sum),
        }
    }

    /// Mean charge carried, by definition. Of these shares 0.675 + 2 · 0.091 = 0.857.
    pub fn charge(self) -> f64 {
        let [_, one, two, three] = self.share;
        one + 2.0 * two + 3.0 * three
    }

    /// Mean square of the charge, by definition. Of these shares 0.675 + 4 · 0.091 = 1.039.
    pub fn square(self) -> f64 {
        let [_, one, two, three] = self.share;
        one + 4.0 * two + 9.0 * three
    }
}

/// Shares of tartaric acid as acid, bitartrate and tartrate in a wine at its pH (2 to 5), by its
/// mixed constants [1, 4]. 12 % vol, 20 °C, pH 3.2: 53.3 % bitartrate.
pub fn tartaric(m: Medium, ph: Ph) -> Answer<Species> {
    within("pH", ph.0, 2.0, 5.0)?;
    Ok(Species::of(Acid::Tartaric.mixed(m.checked()?), ph))
}

/// The pH at which taking bitartrate out changes no pH, the mean of both mixed constants, derived
/// from the charge balance: there the acid carries one charge, as bitartrate does. 3.66 in 12 % vol
/// at 20 °C.
pub fn turning_point(m: Medium) -> Answer<Ph> {
    let [first, second, _] = Acid::Tartaric.mixed(m.checked()?);
    Ok(Ph((first + second) / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::PercentVol;

    #[test]
    fn examples() {
        let [a, b, _] = Acid::Tartaric.mixed(Medium::wine(PercentVol(12.0)));
        assert!(
            (a - 3.094).abs() < 0.001 && (b - 4.233).abs() < 0.002,
            "{a} {b}"
        );
        let s = Species::of([3.04, 4.37, NONE], Ph(3.5)).share;
        assert!(
            (s[0] - 0.234).abs() < 0.002
                && (s[1] - 0.675).abs() < 0.002
                && (s[2] - 0.091).abs() < 0.002
        );
        assert!(tartaric(Medium::wine(PercentVol(12.0)), Ph(f64::NAN)).is_err());
    }
}
