//! Bench arithmetic v = D·V/(1000·p): TU Munich lecture notes 5.6.3 (gelatin), a Polish bench ladder with 10 % slurry, Iowa
//! State University Extension (copper).
use super::{near, treatment};
use stillbright::units::GramsPerHl;

#[track_caller]
fn ml(dose: f64, wine_ml: f64, percent: f64, expected: f64) {
    near(GramsPerHl(dose).stock_millilitres(wine_ml, percent).unwrap(), expected, 0.01);
}

#[test]
fn bentonite_50_in_100_ml_of_5_percent_is_1_ml() {
    ml(50.0, 100.0, 5.0, 1.0);
}
#[test]
fn slurry_10_percent_100_g_hl_is_1_ml() {
    ml(100.0, 100.0, 10.0, 1.0);
}
#[test]
fn gelatin_1_g_hl_in_250_ml_of_0_25_percent_is_1_ml() {
    ml(1.0, 250.0, 0.25, 1.0);
}
#[test]
fn gelatin_8_g_hl_in_250_ml_is_8_ml() {
    ml(8.0, 250.0, 0.25, 8.0);
}
#[test]
fn isinglass_2_g_hl_of_0_5_percent_is_0_4_ml() {
    ml(2.0, 100.0, 0.5, 0.4);
}
#[test]
fn copper_stock_0_004_percent_gives_0_1_mg_l_for_1_ml() {
    let d = treatment("copper_sulfate").dose.unwrap();
    // 1 mL of p % holds p·10 mg of salt; in 100 mL of wine that is p·100 mg/L of salt.
    near(d.stock_percent.unwrap() * 100.0 * d.active_share.unwrap(), 0.102, 0.003);
}
#[test]
fn no_stock_no_volume_no_answer() {
    assert_eq!(GramsPerHl(50.0).stock_millilitres(100.0, 0.0), None);
    assert_eq!(GramsPerHl(50.0).stock_millilitres(-1.0, 5.0), None);
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
