//! The charge balance: pH from what is dissolved, a composition closed to a measured pH, titratable
//! acidity, buffering.

use super::acid::{Acid, Species};
use super::solvent::Medium;
use super::{Answer, NoAnswer, molar, root, within};
use crate::units::{MolPerL, Ph, TartaricGPerL};

/// Acids and the charge that balances them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solution {
    /// What they are dissolved in.
    pub medium: Medium,
    /// Acids in all their forms, mol/L, in the order of [`Acid::ALL`].
    pub acids: [f64; 6],
    /// Charge of the strong cations less that of the strong anions, mol/L. It does not change with
    /// pH. Never built from
    /// cations alone: closed to the measured pH.
    pub net_cations: f64,
}

impl Solution {
    /// Closed to a measured pH: the unmeasured ions are what is left, `N = Σ C·z − [H⁺]`, by
    /// definition of the charge balance. The wine of 12 % vol and pH 3.9 in tests/worked: 0.03392.
    pub fn closed(medium: Medium, acids: [f64; 6], ph: Ph) -> Answer<Solution> {
        checked(medium, &acids)?;
        within("pH", ph.0, 1.5, 9.0)?;
        let open = Solution {
            medium,
            acids,
            net_cations: 0.0,
        };
        Ok(Solution {
            net_cations: open.charge(ph),
            ..open
        })
    }

    /// With the ionic strength that its own ions make, `½·Σ c·z²`, the net cations counted as
    /// singly charged, by definition; found by rounds, each of which shrinks the change about
    /// tenfold. 0.0341 mol/L of bitartrate in water at 25 °C: 0.0404.
    pub fn with_own_ions(mut self) -> Answer<Solution> {
        for _ in 0..16 {
            let ph = self.ph()?;
            let acids: f64 = Acid::ALL
                .iter()
                .zip(self.acids)
                .map(|(a, c)| c * Species::of(a.mixed(self.medium), ph).square())
                .sum();
            self.medium.ionic_strength =
                MolPerL((self.net_cations.abs() + acids + protons(self.medium, ph)) / 2.0);
        }
        Ok(self)
    }

    /// The same with another amount of one acid. No equation.
    pub fn with(mut self, acid: Acid, amount: MolPerL) -> Solution {
        if let Some(slot) = self.acids.get_mut(acid as usize) {
            *slot = amount.0;
        }
        self
    }

    /// How much of an acid is dissolved. No equation.
    pub fn amount(&self, acid: Acid) -> MolPerL {
        MolPerL(self.acids.get(acid as usize).copied().unwrap_or(0.0))
    }

    /// Charge of the acids less that of the protons at a pH, mol/L.
    fn charge(&self, ph: Ph) -> f64 {
        self.charges()(ph)
    }

    /// The same for many pH: constants and activities are worked out once.
    fn charges(&self) -> impl Fn(Ph) -> f64 + use<> {
        let (pk, acids, one) = (
            Acid::all_mixed(self.medium),
            self.acids,
            self.medium.activity(1),
        );
        move |ph| {
            let acids: f64 = pk
                .iter()
                .zip(acids)
                .filter(|(_, c)| *c > 0.0)
                .map(|(pk, c)| c * Species::of(*pk, ph).charge())
                .sum();
            acids - libm::exp10(-ph.0) / one
        }
    }

    /// pH: where the charges balance, sought between 1.5 and 9 (the balance rises steadily with pH,
    /// so there is one root), derived from the charge balance.
    /// Saturated bitartrate at 25 °C, 0.0341 mol/L: 3.55 (standard 3.557).
    pub fn ph(&self) -> Answer<Ph> {
        checked(self.medium, &self.acids)?;
        within("net cations, mol/L", self.net_cations, -1.0, 1.0)?;
        let charge = self.charges();
        root::between(1.5, 9.0, |x| charge(Ph(x)) - self.net_cations)
            .map(Ph)
            .ok_or(NoAnswer::Contradiction(
                "no pH between 1.5 and 9 balances these acids and cations",
            ))
    }

    /// Titratable acidity to an end point, as tartaric acid: `Σ C·z(e) − 10^(−e)/γ − N`, times
    /// 75.04. Sulfur dioxide and carbon dioxide are left out. Derived from the charge balance. To
    /// pH 7 after the OIV, to 8.2 in the United States. The wine of 12 % vol and pH 3.9 in
    /// tests/worked, to pH 7: 3.351.
    pub fn titratable_acidity(&self, end: Ph) -> Answer<TartaricGPerL> {
        checked(self.medium, &self.acids)?;
        within("end point, pH", end.0, 6.5, 8.5)?;
        // What balances at no pH is no wine, and has no acidity.
        let _now = self.ph()?;
        Ok(TartaricGPerL(
            (self.charge(end) - self.net_cations) * molar::TARTARIC_EQUIVALENT,
        ))
    }

    /// Buffer capacity at its pH, mol/L of strong base per pH unit: `ln10·([H⁺] + Σ C·(⟨z²⟩ −
    /// z²))`, derived from the charge balance as its slope. Real mixtures buffer
    /// 15-30 % less than the sum of their acids, so that pH shifts are known to about ±25 %.
    pub fn buffer_capacity(&self) -> Answer<MolPerL> {
        let ph = self.ph()?;
        let acids: f64 = Acid::ALL
            .iter()
            .zip(self.acids)
            .map(|(a, c)| {
                let s = Species::of(a.mixed(self.medium), ph);
                c * (s.square() - s.charge() * s.charge())
            })
            .sum();
        Ok(MolPerL(
            std::f64::consts::LN_10 * (protons(self.medium, ph) + acids),
        ))
    }
}

fn protons(m: Medium, ph: Ph) -> f64 {
    libm::exp10(-ph.0) / m.activity(1)
}

fn checked(m: Medium, acids: &[f64; 6]) -> Answer<()> {
    m.checked()?;
    for c in acids {
        within("acid, mol/L", *c, 0.0, 1.0)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Celsius, GPerL, PercentVol};

    /// White wine of 12 % vol: 3.0 tartaric, 2.5 malic, 0.2 lactic, 0.6 succinic, 0.3 citric, 0.3
    /// acetic, pH 3.20.
    #[test]
    fn worked_example() {
        let grams = [3.0, 2.5, 0.2, 0.6, 0.3, 0.3];
        let mut acids = [0.0; 6];
        acids
            .iter_mut()
            .zip(Acid::ALL)
            .zip(grams)
            .for_each(|((slot, a), g)| *slot = a.moles(GPerL(g)).0);
        let wine = Solution::closed(Medium::wine(PercentVol(12.0)), acids, Ph(3.2)).unwrap();
        assert!(
            (wine.net_cations - 0.01971).abs() < 0.00002,
            "{}",
            wine.net_cations
        );
        assert!(wine.ph().is_ok_and(|p| (p.0 - 3.2).abs() < 1e-9));
        assert!(
            wine.buffer_capacity()
                .is_ok_and(|b| (b.0 - 0.02984).abs() < 0.00003)
        );
        assert!(
            wine.titratable_acidity(Ph(7.0))
                .is_ok_and(|t| (t.0 - 5.931).abs() < 0.003)
        );
        assert!(
            wine.titratable_acidity(Ph(8.2))
                .is_ok_and(|t| (t.0 - 5.972).abs() < 0.003)
        );
    }

    #[test]
    fn no_number_gives_no_number() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e9] {
            let m = Medium {
                temperature: Celsius(bad),
                ..Medium::wine(PercentVol(12.0))
            };
            assert!(Solution::closed(m, [0.01; 6], Ph(3.2)).is_err() || bad < 0.0);
            assert!(Solution::closed(Medium::wine(PercentVol(12.0)), [bad; 6], Ph(3.2)).is_err());
            assert!(
                Solution {
                    medium: Medium::wine(PercentVol(12.0)),
                    acids: [0.01; 6],
                    net_cations: bad
                }
                .ph()
                .is_err()
            );
        }
    }
}
