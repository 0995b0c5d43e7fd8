//! Bench arithmetic v = D·V/(1000·p) and scale-up, each row with the figure its source prints: TU
//! Munich lecture notes 5.6.3
//! (gelatin), a Polish bench ladder with 10 % slurry (rungs of 25 to 300 g/hL), a home log of a
//! bentonite trial
//! (nielsj.users.sonic.net/3099, 5 % slurry in 100 mL), Iowa State University Extension (bentonite
//! slurry; Dharmadhikari,
//! Copper Sulfate Trial), Purdue Extension FS-53-W (slurry), a US supplier's sheet (2 gal of water
//! per lb), a teaching sheet
//! “Bench trials and cellar additions” (studylib.net 8800971), two supply sheets on metabisulfite,
//! 27 CFR 24.241 (carbon)
//! and 24.246 (water). Rows that we worked out ourselves stand in `tests/worked`.
use super::{near, treatment};
use stillbright::trial::arithmetic::{
    glass_milligrams, least_percent, product_per_hl, tank_amount, water_percent,
};
use stillbright::units::{GRAMS_PER_POUND, GramsPerHl, LITRES_PER_US_GALLON, Litres};
use stillbright::work_order::amount::amount;

const LITRES_PER_IMPERIAL_GALLON: f64 = 4.546_09;

#[track_caller]
fn ml(dose: f64, wine_ml: f64, percent: f64, expected: f64) {
    near(
        GramsPerHl(dose)
            .stock_millilitres(wine_ml, percent)
            .unwrap(),
        expected,
        0.01,
    );
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
    home_log_0_25_g_l_is_0_5_ml: 25.0, 100.0, 5.0 => 0.5;
    home_log_0_5_g_l_is_1_ml: 50.0, 100.0, 5.0 => 1.0;
    home_log_1_g_l_is_2_ml: 100.0, 100.0, 5.0 => 2.0;
    home_log_1_5_g_l_is_3_ml: 150.0, 100.0, 5.0 => 3.0;
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
    near(
        treatment("bentonite_sodium")
            .dose
            .unwrap()
            .stock_percent
            .unwrap(),
        5.0,
        1e-12,
    );
}
#[test]
fn gelatin_2_5_g_in_1_litre_is_0_25_percent() {
    near(
        treatment("gelatin").dose.unwrap().stock_percent.unwrap(),
        2.5 / 1000.0 * 100.0,
        1e-12,
    );
}
#[test]
fn copper_stock_0_004_percent_gives_0_1_mg_l_for_1_ml() {
    let d = treatment("copper_sulfate").dose.unwrap();
    // 1 mL of p % holds p·10 mg of salt; in 100 mL of wine that is p·100 mg/L of salt.
    near(
        d.stock_percent.unwrap() * 100.0 * d.active_share.unwrap(),
        0.102,
        0.003,
    );
    ml(
        product_per_hl(&d, 0.1018),
        100.0,
        d.stock_percent.unwrap(),
        1.0,
    );
}
#[test]
fn slurry_of_2_gallons_a_pound_is_6_percent() {
    near(
        GRAMS_PER_POUND / (2.0 * LITRES_PER_US_GALLON * 10.0),
        5.99,
        0.01,
    );
}
#[test]
fn us_carbon_25_lb_per_1000_gallons_is_3_g_l() {
    near(
        GramsPerHl::from_pounds_per_1000_gallons(25.0).milligrams_per_litre() / 1000.0,
        3.00,
        0.01,
    );
}
#[test]
fn no_stock_no_volume_no_answer() {
    assert_eq!(GramsPerHl(50.0).stock_millilitres(100.0, 0.0), None);
    assert_eq!(GramsPerHl(50.0).stock_millilitres(-1.0, 5.0), None);
    assert_eq!(
        (water_percent(50.0, 0.0), least_percent(50.0, 0.0)),
        (None, None)
    );
}
#[test]
fn copper_for_hydrogen_sulfide_1_86_mg_a_mg() {
    near(63.546 / 34.08, 1.86, 0.01);
    assert!(
        treatment("copper_sulfate")
            .dose
            .unwrap()
            .note
            .unwrap()
            .text
            .contains("1.86")
    );
}
#[test]
fn virginia_trial_equation_100_ntu_is_150_g_hl() {
    near(
        stillbright::chemistry::haze::first_guess(stillbright::units::Ntu(100.0))
            .unwrap()
            .0,
        150.0,
        0.5,
    );
}
#[test]
fn potassium_sorbate_holds_74_6_percent_sorbic_acid() {
    near(
        treatment("sorbate").dose.unwrap().active_share.unwrap(),
        112.13 / 150.22,
        0.002,
    );
}
/// Home log: “.5 g/L * 100 mL = .05 g bentonite needed”.
#[test]
fn home_log_half_a_gram_a_litre_in_100_ml_is_50_mg() {
    near(glass_milligrams(50.0, 100.0), 50.0, 1e-9);
}
/// Copper Sulfate Trial: 1.0 mL of 1 % made up to 250 mL is the stock of 0.004 %.
#[test]
fn copper_1_ml_of_1_percent_in_250_ml_is_the_stock() {
    near(
        treatment("copper_sulfate")
            .dose
            .unwrap()
            .stock_percent
            .unwrap(),
        1.0 / 250.0,
        1e-12,
    );
}
/// Copper Sulfate Trial: flasks of 0.5 to 2.0 mL in 100 mL, which its page reads as 0.05 to 0.2
/// mg/L of copper.
#[test]
fn copper_flasks_of_half_to_two_ml() {
    let d = treatment("copper_sulfate").dose.unwrap();
    for (ml, copper) in [(0.5, 0.05), (1.0, 0.1), (1.5, 0.15), (2.0, 0.2)] {
        near(
            GramsPerHl(product_per_hl(&d, copper))
                .stock_millilitres(100.0, d.stock_percent.unwrap())
                .unwrap(),
            ml,
            0.04,
        );
    }
}
/// Purdue FS-53-W: at most 16.7 L of water for a kilogram, 2 gallons for a pound.
#[test]
fn purdue_16_7_litres_a_kilogram_are_2_gallons_a_pound() {
    near(
        2.0 * LITRES_PER_US_GALLON / GRAMS_PER_POUND * 1000.0,
        16.7,
        0.05,
    );
    near(least_percent(60.0, 1.0).unwrap(), 100.0 / 16.7, 0.02);
}
/// Purdue FS-53-W: 60 g in 1 L is a 6 % slurry.
#[test]
fn purdue_60_g_in_a_litre_is_6_percent() {
    near(
        GramsPerHl(60.0)
            .stock_millilitres(100.0, 60.0 / 1000.0 * 100.0)
            .unwrap(),
        1.0,
        1e-9,
    );
}
/// Teaching sheet: 1 lb/1000 gal is 0.12 g/L, 0.012 g in 100 mL and 0.09 g in 750 mL.
#[test]
fn one_pound_per_1000_gallons_in_a_glass_and_a_bottle() {
    let d = GramsPerHl::from_pounds_per_1000_gallons(1.0);
    near(d.milligrams_per_litre(), 120.0, 0.5);
    near(glass_milligrams(d.0, 100.0), 12.0, 0.05);
    near(glass_milligrams(d.0, 750.0), 90.0, 0.5);
}
/// Teaching sheet: 1 lb/1000 gal is 0.45 g in a gallon.
#[test]
fn one_pound_per_1000_gallons_is_0_45_g_a_gallon() {
    let d = GramsPerHl::from_pounds_per_1000_gallons(1.0).0;
    near(
        tank_amount(
            &treatment("bentonite_sodium").dose.unwrap(),
            d,
            Litres(LITRES_PER_US_GALLON),
        ),
        0.45,
        0.005,
    );
}
/// Teaching sheet: 0.1 g in 100 mL is 3.8 g in a gallon and 8.3 lb in 1000 gallons.
#[test]
fn a_tenth_of_a_percent_is_8_3_pounds_per_1000_gallons() {
    near(GramsPerHl(100.0).pounds_per_1000_gallons(), 8.3, 0.05);
    near(
        glass_milligrams(100.0, LITRES_PER_US_GALLON * 1000.0) / 1000.0,
        3.8,
        0.05,
    );
}
/// Teaching sheet: 0.1 mg/L of copper is 0.15 mL of a 1 % solution in a gallon.
#[test]
fn copper_0_1_mg_l_is_0_15_ml_of_1_percent_a_gallon() {
    let d = treatment("copper_sulfate").dose.unwrap();
    near(
        GramsPerHl(product_per_hl(&d, 0.1))
            .stock_millilitres(LITRES_PER_US_GALLON * 1000.0, 1.0)
            .unwrap(),
        0.15,
        0.005,
    );
}
/// Teaching sheet: 0.1 mg/L of copper is 0.1 mL of a 0.05 % solution in 120 mL.
#[test]
fn copper_0_1_mg_l_is_0_1_ml_of_0_05_percent_in_120_ml() {
    let d = treatment("copper_sulfate").dose.unwrap();
    near(
        GramsPerHl(product_per_hl(&d, 0.1))
            .stock_millilitres(120.0, 0.05)
            .unwrap(),
        0.1,
        0.006,
    );
}
/// Teaching sheet: 10 mg/L of ascorbic acid is 0.1 mL of 1 % in 100 mL, 3.78 mL in a gallon and
/// 37.85 g in 1000 gallons.
#[test]
fn ascorbic_acid_10_mg_l_from_glass_to_tank() {
    let per_hl = 1.0;
    near(
        GramsPerHl(per_hl).stock_millilitres(100.0, 1.0).unwrap(),
        0.1,
        1e-9,
    );
    near(
        GramsPerHl(per_hl)
            .stock_millilitres(LITRES_PER_US_GALLON * 1000.0, 1.0)
            .unwrap(),
        3.78,
        0.01,
    );
    near(
        glass_milligrams(per_hl, LITRES_PER_US_GALLON * 1e6) / 1000.0,
        37.85,
        0.01,
    );
}
/// Supply sheet: 50 mg/L of sulfur dioxide in 100 L at 57.6 % is 8.6 g of potassium metabisulfite.
#[test]
fn metabisulfite_50_mg_l_in_100_l_is_8_6_g() {
    near(
        amount(
            &treatment("sulfur_dioxide").dose.unwrap(),
            50.0,
            Litres(100.0),
        )
        .unwrap()
        .product,
        8.6,
        0.1,
    );
}
/// Supply sheet: 2.4 mL of a 10 % metabisulfite solution (5.7 % of the gas) give an imperial gallon
/// 30 mg/L.
#[test]
fn metabisulfite_10_percent_2_4_ml_in_an_imperial_gallon_is_30_mg_l() {
    let grams = amount(
        &treatment("sulfur_dioxide").dose.unwrap(),
        30.0,
        Litres(LITRES_PER_IMPERIAL_GALLON),
    )
    .unwrap()
    .product;
    near(grams / 0.10, 2.4, 0.05);
}
/// Supply sheet: 20 mg/L in 19.2 L are 6.7 mL of the same solution.
#[test]
fn metabisulfite_10_percent_6_7_ml_in_19_2_litres_is_20_mg_l() {
    let grams = amount(
        &treatment("sulfur_dioxide").dose.unwrap(),
        20.0,
        Litres(19.2),
    )
    .unwrap()
    .product;
    near(grams / 0.10, 6.7, 0.05);
}
