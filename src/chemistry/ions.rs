//! What treatments that move ions do to a wine, all through the same charge balance.

use super::acid::Acid;
use super::bitartrate::Tartrate;
use super::{Answer, molar, within};
use crate::units::{GPerL, MolPerL, PercentVol};

/// A wine after a share of it ran through a cation exchanger in the acid form: that share loses all
/// its strong cations, the rest is derived from the charge balance. A
/// tenth of a red of pH 3.45: pH −0.084.
pub fn cation_exchange(wine: &Tartrate, share: f64) -> Answer<Tartrate> {
    let left = 1.0 - within("share treated", share, 0.0, 1.0)?;
    let mut next = *wine;
    next.potassium *= left;
    next.solution.net_cations *= left;
    Ok(next)
}

/// A wine after electrodialysis took a share of its ions: as much of all its strong cations and,
/// after one study (14.5 % of the ions, 10.9 % of the tartaric acid [ED-TSAT]), three quarters of
/// that share of the tartaric acid. The other acids stay, as that study found; how far the pH falls
/// differs by membrane and wine.
pub fn electrodialysis(wine: &Tartrate, share: f64) -> Answer<Tartrate> {
    let s = within("share of the ions", share, 0.0, 0.5)?;
    let mut next = *wine;
    next.potassium *= 1.0 - s;
    next.solution.net_cations *= 1.0 - s;
    let tartaric = wine.solution.amount(Acid::Tartaric).0 * (1.0 - s * 10.9 / 14.5);
    next.solution = next.solution.with(Acid::Tartaric, MolPerL(tartaric));
    Ok(next)
}

/// A wine after potassium bicarbonate: one potassium comes, the carbon dioxide leaves [13]. 1 g/L
/// takes 75.045/100.115 = 0.75 g/L of acidity.
pub fn potassium_bicarbonate(wine: &Tartrate, dose: GPerL) -> Answer<Tartrate> {
    let moles =
        within("potassium bicarbonate, g/L", dose.0, 0.0, 10.0)? / molar::POTASSIUM_BICARBONATE;
    let mut next = *wine;
    next.potassium += moles;
    next.solution.net_cations += moles;
    Ok(next)
}

/// A wine after calcium carbonate: two charges of calcium come [13]. 1 g/L takes 1.50 g/L of
/// acidity. The calcium tartrate that follows weeks later is left out.
pub fn calcium_carbonate(wine: &Tartrate, dose: GPerL) -> Answer<Tartrate> {
    let moles = within("calcium carbonate, g/L", dose.0, 0.0, 10.0)? / molar::CALCIUM_CARBONATE;
    let mut next = *wine;
    next.solution.net_cations += 2.0 * moles;
    Ok(next)
}

/// A wine after an acid was added [13]. 1 g/L of tartaric acid: 1 g/L more acidity.
pub fn acid(wine: &Tartrate, which: Acid, dose: GPerL) -> Answer<Tartrate> {
    let moles = which
        .moles(GPerL(within("acid, g/L", dose.0, 0.0, 20.0)?))
        .0;
    let mut next = *wine;
    next.solution = next
        .solution
        .with(which, MolPerL(wine.solution.amount(which).0 + moles));
    Ok(next)
}

/// Alcohol that a sparkling base will have after its second fermentation: 1.3 to 1.5 % vol more
/// [2]; the middle. Tartrate is
/// judged at it.
pub fn after_second_fermentation(base: PercentVol) -> Answer<PercentVol> {
    Ok(PercentVol(
        within("alcohol, % vol", base.0, 0.0, 18.0)? + 1.4,
    ))
}
