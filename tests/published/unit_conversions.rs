//! Unit conversions: exact definitions of pound and US gallon; worked conversions of the rules that
//! use them.
use super::near;
use stillbright::units::GramsPerHl;

#[test]
fn one_pound_per_1000_gallons_is_11_9826_g_hl() {
    near(
        GramsPerHl::from_pounds_per_1000_gallons(1.0).0,
        11.9826,
        0.0001,
    );
}
#[test]
fn carbon_25_pounds_is_299_57() {
    near(
        GramsPerHl::from_pounds_per_1000_gallons(25.0).0,
        299.57,
        0.01,
    );
}
#[test]
fn bitartrate_35_pounds_is_419_39() {
    near(
        GramsPerHl::from_pounds_per_1000_gallons(35.0).0,
        419.39,
        0.01,
    );
}
#[test]
fn pvpp_60_pounds_is_719_0() {
    near(
        GramsPerHl::from_pounds_per_1000_gallons(60.0).0,
        719.0,
        0.05,
    );
}
#[test]
fn eighty_g_hl_is_6_6763_pounds() {
    near(GramsPerHl(80.0).pounds_per_1000_gallons(), 6.6763, 0.0001);
}
#[test]
fn ten_g_hl_is_100_mg_l() {
    near(GramsPerHl(10.0).milligrams_per_litre(), 100.0, 1e-9);
}
