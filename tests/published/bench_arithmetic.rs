//! Bench arithmetic v = D·V/(1000·p): TU Munich lecture notes 5.6.3 (gelatin), a Polish bench ladder with 10 % slurry (rungs
//! of 25 to 300 g/hL), Iowa State University Extension (bentonite slurry, copper), a US supplier's sheet (2 gal of water per
//! lb), 27 CFR 24.241 (carbon) and 24.246 (water). Rows that we worked out ourselves stand in `tests/worked`.
use super::{near, treatment};
use stillbright::trial::arithmetic::{least_percent, product_per_hl, water_percent};
use stillbright::units::{GRAMS_PER_POUND, GramsPerHl, LITRES_PER_US_GALLON};

#[track_caller]
fn ml(dose: f64, wine_ml: f64, percent: f64, expected: f64) {
    near(GramsPerHl(dose).stock_millilitres(wine_ml, percent).unwrap(), expected, 0.01);
}

macro_rules! rungs {
    ($($name:ident: $dose:literal, $wine_ml:literal, $percent:literal => $expected:literal;)*) => {$(
        #[test]
        fn $name() {
            ml($dose, $wine_ml, $percent, $expected);
        }
    )*};
}

rungs! {
    bentonite_50_in_100_ml_of_5_percent_is_1_ml: 50.0, 100.0, 5.0 => 1.0;
    slurry_10_percent_25_g_hl_is_0_25_ml: 25.0, 100.0, 10.0 => 0.25;
    slurry_10_percent_50_g_hl_is_0_5_ml: 50.0, 100.0, 10.0 => 0.5;
    slurry_10_percent_75_g_hl_is_0_75_ml: 75.0, 100.0, 10.0 => 0.75;
    slurry_10_percent_100_g_hl_is_1_ml: 100.0, 100.0, 10.0 => 1.0;
    slurry_10_percent_125_g_hl_is_1_25_ml: 125.0, 100.0, 10.0 => 1.25;
    slurry_10_percent_150_g_hl_is_1_5_ml: 150.0, 100.0, 10.0 => 1.5;
    slurry_10_percent_200_g_hl_is_2_ml: 200.0, 100.0, 10.0 => 2.0;
    slurry_10_percent_300_g_hl_is_3_ml: 300.0, 100.0, 10.0 => 3.0;
    gelatin_1_g_hl_in_250_ml_of_0_25_percent_is_1_ml: 1.0, 250.0, 0.25 => 1.0;
    gelatin_8_g_hl_in_250_ml_is_8_ml: 8.0, 250.0, 0.25 => 8.0;
}

#[test]
fn bentonite_5_g_made_up_to_100_ml_is_5_percent() {
    near(treatment("bentonite_sodium").dose.unwrap().stock_percent.unwrap(), 5.0, 1e-12);
}
#[test]
fn gelatin_2_5_g_in_1_litre_is_0_25_percent() {
    near(treatment("gelatin").dose.unwrap().stock_percent.unwrap(), 2.5 / 1000.0 * 100.0, 1e-12);
}
#[test]
fn copper_stock_0_004_percent_gives_0_1_mg_l_for_1_ml() {
    let d = treatment("copper_sulfate").dose.unwrap();
    // 1 mL of p % holds p·10 mg of salt; in 100 mL of wine that is p·100 mg/L of salt.
    near(d.stock_percent.unwrap() * 100.0 * d.active_share.unwrap(), 0.102, 0.003);
    ml(product_per_hl(&d, 0.1018), 100.0, d.stock_percent.unwrap(), 1.0);
}
#[test]
fn slurry_of_2_gallons_a_pound_is_6_percent() {
    near(GRAMS_PER_POUND / (2.0 * LITRES_PER_US_GALLON * 10.0), 5.99, 0.01);
}
#[test]
fn us_carbon_25_lb_per_1000_gallons_is_3_g_l() {
    near(GramsPerHl::from_pounds_per_1000_gallons(25.0).milligrams_per_litre() / 1000.0, 3.00, 0.01);
}
#[test]
fn no_stock_no_volume_no_answer() {
    assert_eq!(GramsPerHl(50.0).stock_millilitres(100.0, 0.0), None);
    assert_eq!(GramsPerHl(50.0).stock_millilitres(-1.0, 5.0), None);
    assert_eq!((water_percent(50.0, 0.0), least_percent(50.0, 0.0)), (None, None));
}
#[test]
fn copper_for_hydrogen_sulfide_1_86_mg_a_mg() {
    near(63.546 / 34.08, 1.86, 0.01);
    assert!(treatment("copper_sulfate").dose.unwrap().note.unwrap().text.contains("1.86"));
}
#[test]
fn virginia_trial_equation_100_ntu_is_150_g_hl() {
    near(stillbright::chemistry::haze::first_guess(stillbright::units::Ntu(100.0)).unwrap().0, 150.0, 0.5);
}
#[test]
fn potassium_sorbate_holds_74_6_percent_sorbic_acid() {
    near(treatment("sorbate").dose.unwrap().active_share.unwrap(), 112.13 / 150.22, 0.002);
}
