//! Hetz 2001, thesis at Oregon State University, abstract: 250 mg/L of lysozyme brought Lactobacillus
//! kunkeei in juice to under 10 CFU/mL in 24 hours; 200 mg/L did not hold Acetobacter. Delfini et al.
//! 2004, J. Agric. Food Chem. 52:1861, abstract: Pediococcus lives through 500 mg/L.
use super::germs::logs;
use super::*;
use stillbright::treatment::germs::effect;

#[test]
fn lysozyme_kills_some_lactic_bacteria_and_nothing_else() {
    near(logs("lysozyme", Quantity::Germs).low, 0.0, 0.0);
    assert!(logs("lysozyme", Quantity::Germs).high >= 3.0);
    for other in [Quantity::Yeast, Quantity::Brett] {
        assert!(effect(treatment("lysozyme"), other).is_none());
    }
}
