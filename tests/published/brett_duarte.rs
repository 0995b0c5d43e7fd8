//! Duarte F.L. et al. 2017, Am. J. Enol. Vitic. 68:504, abstract: behind polyethersulfone of 0.45, 0.65
//! and 1.0 µm no Brettanomyces was found, behind polypropylene of 0.6 and 1.0 µm there were many.
use super::germs::logs;
use super::*;

#[test]
fn a_finer_membrane_holds_more_brettanomyces_and_a_coarse_one_may_hold_little() {
    let of = |key: &str| logs(key, Quantity::Brett);
    let finer = ["membrane_12", "membrane_08", "membrane_065", "membrane_045"].map(of);
    assert!(finer.is_sorted_by(|a, b| a.middle < b.middle));
    // None found: below one in a plate of a wine of some thousand cells per mL.
    assert!(of("membrane_065").middle >= 3.0 && of("membrane_045").middle >= 3.0);
    assert!(of("membrane_08").low < 1.0);
}
