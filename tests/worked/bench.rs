//! Bench and scale-up rows worked out for this program (W1 to W12 and C1 to C12 of its reference),
//! with the formula of each.
use super::near;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{Dose, TREATMENTS};
use stillbright::trial::arithmetic::*;
use stillbright::trial::design;
use stillbright::units::{GRAMS_PER_POUND, GramsPerHl, LITRES_PER_US_GALLON, Litres};
use stillbright::wine::{AsTyped, Trial, Wine};

fn dose(key: &str) -> Dose {
    TREATMENTS
        .iter()
        .find(|t| t.key == key)
        .unwrap()
        .dose
        .unwrap()
}
fn ml(dose: f64, wine_ml: f64, percent: f64) -> f64 {
    GramsPerHl(dose)
        .stock_millilitres(wine_ml, percent)
        .unwrap()
}

#[test]
fn w1_a_bentonite_ladder_from_5_percent() {
    for (d, v) in [
        (20.0, 0.4),
        (40.0, 0.8),
        (60.0, 1.2),
        (80.0, 1.6),
        (100.0, 2.0),
    ] {
        near(ml(d, 100.0, 5.0), v, 1e-9);
    }
    let t = TREATMENTS
        .iter()
        .find(|t| t.key == "bentonite_sodium")
        .unwrap();
    let steps = design(&Dossier::of(&Wine::default()), t).unwrap().steps;
    assert_eq!(
        steps
            .iter()
            .map(|s| s.millilitres.unwrap())
            .collect::<Vec<_>>(),
        [0.0, 0.4, 0.8, 1.2, 1.6, 2.0]
    );
}
#[test]
fn w4_isinglass_from_two_stocks() {
    near(ml(2.0, 100.0, 0.1), 2.0, 1e-9);
    near(ml(2.0, 100.0, 0.5), 0.4, 1e-9);
}
#[test]
fn w5_pvpp_weighed_dry() {
    near(glass_milligrams(40.0, 750.0), 300.0, 1e-9);
}
#[test]
fn w6_bentonite_for_50_hl_and_its_water() {
    near(
        tank_amount(&dose("bentonite_sodium"), 60.0, Litres(5000.0)),
        3000.0,
        1e-9,
    );
    near(water_percent(60.0, 5.0).unwrap(), 1.2, 1e-9);
    near(least_percent(60.0, 1.0).unwrap(), 6.0, 1e-9);
}
#[test]
fn w7_silica_and_gelatin_for_20_hl() {
    let (sol, gelatin) = (dose("silica_sol"), dose("gelatin"));
    let (ml, grams) = (
        tank_amount(&sol, 50.0, Litres(2000.0)),
        tank_amount(&gelatin, 5.0, Litres(2000.0)),
    );
    near(ml, 1000.0, 1e-9);
    near(grams, 100.0, 1e-9);
    near(ml * sol.active_share.unwrap() / grams, 3.6, 1e-9);
}
#[test]
fn w8_copper_for_15_hl() {
    near(
        tank_amount(&dose("copper_sulfate"), 0.2, Litres(1500.0)),
        1.179,
        0.001,
    );
}
#[test]
fn w10_four_pounds_per_1000_gallons_into_20_hl() {
    let d = GramsPerHl::from_pounds_per_1000_gallons(4.0).0;
    near(d, 47.9, 0.05);
    near(
        tank_amount(&dose("bentonite_sodium"), d, Litres(2000.0)),
        959.0,
        1.0,
    );
}
#[test]
fn w11_three_slurries_add_their_water() {
    near(
        [40.0, 5.0, 10.0]
            .iter()
            .map(|d| water_percent(*d, 5.0).unwrap())
            .sum(),
        1.1,
        1e-9,
    );
}
#[test]
fn c4_what_a_drawn_volume_holds() {
    // 0.4 mL of 0.5 % in 100 mL: 2 mg, 2 g/hL.
    near(glass_milligrams(2.0, 100.0), 0.4 * 5.0, 1e-9);
}
#[test]
fn c9_water_limit_at_2_gallons_a_pound() {
    let percent = GRAMS_PER_POUND / (2.0 * LITRES_PER_US_GALLON * 10.0);
    near(water_percent(59.9, percent).unwrap(), 1.0, 0.002);
    near(GramsPerHl::from_pounds_per_1000_gallons(5.0).0, 59.9, 0.1);
}
#[test]
fn c12_a_gram_of_copper_salt_in_a_hectolitre() {
    near(product_per_hl(&dose("copper_sulfate"), 2.545), 1.0, 0.001);
}
#[test]
fn a_liquid_made_up_ten_times() {
    near(liquid_millilitres(50.0, 100.0, 10.0), 0.5, 1e-12);
    near(liquid_millilitres(100.0, 100.0, 1.0), 0.1, 1e-12);
    near(
        product_per_hl(&dose("silica_sol"), 100.0) * dose("silica_sol").active_share.unwrap(),
        36.0,
        0.1,
    );
}
#[test]
fn every_stock_volume_follows_the_sample() {
    let t = TREATMENTS
        .iter()
        .find(|t| t.key == "bentonite_sodium")
        .unwrap();
    for (sample, expected) in [("100", 0.4), ("250", 1.0), ("500", 2.0), ("750", 3.0)] {
        let trial = Trial {
            treatment: t.key.into(),
            sample_ml: AsTyped(sample.into()),
            ..Trial::default()
        };
        let wine = Wine {
            trials: vec![trial],
            ..Wine::default()
        };
        near(
            design(&Dossier::of(&wine), t).unwrap().steps[1]
                .millilitres
                .unwrap(),
            expected,
            1e-9,
        );
    }
}
