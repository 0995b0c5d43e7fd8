//! The open red-wine data set (Cortez et al. 2009, 1,599 wines; crate linfa-datasets) through every
//! equation that its columns
//! feed: an answer for each wine inside the stated ranges, and inside physical bounds.
#![allow(clippy::indexing_slicing, missing_docs)]

use stillbright::chemistry::acid::{Acid, tartaric, turning_point};
use stillbright::chemistry::balance::Solution;
use stillbright::chemistry::bitartrate::ph_sign;
use stillbright::chemistry::solvent::Medium;
use stillbright::chemistry::{cold, sulfur};
use stillbright::units::*;

/// Columns of the set.
const VOLATILE: usize = 1;
const FIXED: usize = 0;
const CITRIC: usize = 2;
const SUGAR: usize = 3;
const FREE: usize = 5;
const PH: usize = 8;
const ALCOHOL: usize = 10;

fn spread(name: &str, mut all: Vec<f64>, least: f64, most: f64) -> [f64; 3] {
    all.sort_by(f64::total_cmp);
    let (low, middle, high) = (all[0], all[all.len() / 2], all[all.len() - 1]);
    println!(
        "{name}: {low:.3} / {middle:.3} / {high:.3} (least, middle, most of {})",
        all.len()
    );
    assert!(low >= least && high <= most, "{name}: {low} to {high}");
    [low, middle, high]
}

#[test]
fn every_wine_gets_an_answer_inside_physical_bounds() {
    let set = linfa_datasets::winequality();
    let rows: Vec<Vec<f64>> = set.records.rows().into_iter().map(|r| r.to_vec()).collect();
    assert_eq!(rows.len(), 1599);
    let (
        mut molecular,
        mut by_oiv,
        mut needed,
        mut bitartrate,
        mut turn,
        mut freezing,
        mut target,
        mut buffer,
        mut acidity,
    ) = (
        vec![],
        vec![],
        vec![],
        vec![],
        vec![],
        vec![],
        vec![],
        vec![],
        vec![],
    );
    let mut signs = [0; 2];
    for r in &rows {
        let (ph, alcohol, free) = (Ph(r[PH]), PercentVol(r[ALCOHOL]), MgPerL(r[FREE]));
        let m = Medium::wine(alcohol);
        molecular.push(sulfur::molecular(free, ph, sulfur::FIELD).unwrap().0);
        by_oiv.push(
            sulfur::molecular(free, ph, sulfur::oiv(alcohol).unwrap())
                .unwrap()
                .0,
        );
        needed.push(
            sulfur::free_needed(MgPerL(0.5), ph, sulfur::FIELD)
                .unwrap()
                .0,
        );
        bitartrate.push(tartaric(m, ph).unwrap().share[1]);
        turn.push(turning_point(m).unwrap().0);
        signs[usize::from(ph_sign(m, ph).is_ok())] += 1;
        let sugar = GPerL(r[SUGAR]);
        freezing.push(cold::freezing_point(alcohol, sugar).unwrap().0);
        target.push(cold::coldest_target(alcohol, sugar).unwrap().0);
        // The set gives fixed acidity, not its acids: all but the citric acid is taken as half
        // tartaric, half lactic.
        let rest = (r[FIXED] - r[CITRIC]).max(0.5);
        let acids = [
            Acid::Tartaric.moles(GPerL(rest / 2.0)).0,
            0.0,
            Acid::Lactic.moles(GPerL(rest / 2.0)).0,
            Acid::Succinic.moles(GPerL(0.7)).0,
            Acid::Citric.moles(GPerL(r[CITRIC])).0,
            Acid::Acetic.moles(GPerL(r[VOLATILE])).0,
        ];
        let s = Solution::closed(m, acids, ph).unwrap();
        assert!((s.ph().unwrap().0 - ph.0).abs() < 1e-9);
        buffer.push(s.buffer_capacity().unwrap().0 * 1000.0);
        acidity.push(s.titratable_acidity(Ph(7.0)).unwrap().0);
    }
    spread("molecular SO2, mg/L", molecular, 0.0, 20.0);
    spread("molecular SO2 by the OIV constant, mg/L", by_oiv, 0.0, 20.0);
    spread("free SO2 for 0.5 molecular, mg/L", needed, 2.0, 110.0);
    let [_, middle, _] = spread("share of bitartrate", bitartrate, 0.2, 0.67);
    assert!(
        (0.5..0.66).contains(&middle),
        "bitartrate is half to two thirds at wine pH"
    );
    spread("turning point, pH", turn, 3.6, 3.72);
    spread("freezing point, °C", freezing, -8.0, -3.0);
    spread("coldest target, °C", target, -7.5, -2.5);
    spread("buffer capacity, mmol/L a pH unit", buffer, 8.0, 120.0);
    spread(
        "titratable acidity of the assumed acids, g/L",
        acidity,
        1.0,
        20.0,
    );
    assert_eq!(signs, [0, 1599]);
}
