//! Barata A. et al. 2008, Int. J. Food Microbiol. 121:201, abstract: about 40 mg/L of free sulfur dioxide
//! at pH 3.42, near 1 mg/L molecular, kept Brettanomyces from blooming in barrel, less did not.
//! University of Minnesota, note of 2014 (UMN): sorbate kills nothing.
use super::*;
use stillbright::chemistry::sulfur::{FIELD, molecular};
use stillbright::treatment::germs::effect;
use stillbright::units::{MgPerL, Ph};

#[test]
fn forty_of_free_at_3_42_are_near_one_molecular() {
    near(
        molecular(MgPerL(40.0), Ph(3.42), FIELD).unwrap().0,
        1.0,
        0.15,
    );
}

#[test]
fn sulfur_dioxide_and_sorbate_hold_and_lower_no_count() {
    for (key, of, hurdle) in [
        ("sulfur_dioxide", Quantity::Brett, Hurdle::SulfurDioxide),
        ("sulfur_dioxide", Quantity::Germs, Hurdle::SulfurDioxide),
        ("sorbate", Quantity::Yeast, Hurdle::Sorbate),
    ] {
        let of = effect(treatment(key), of).unwrap();
        assert_eq!((of.hurdle, of.logs, of.removes), (Some(hurdle), None, None));
    }
}
