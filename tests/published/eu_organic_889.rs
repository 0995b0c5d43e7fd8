//! Regulation (EC) 889/2008 Annex VIIIa (the list) and Art. 29b-29d; Implementing Regulation (EU) 203/2012.
use super::*;
use stillbright::law::{organic, so2_limit};

#[track_caller]
fn most(colour: Colour, sugar: f64, expected: f64) {
    let wine = Wine { organic: vec![Organic::Eu], ..wine(colour, Market::Eu) };
    assert_eq!(so2_limit(&wine, Some(sugar)).map(|l| l.most), Some(expected));
}
#[track_caller]
fn listed(key: &str, verdict: Verdict) {
    let rule = organic(Organic::Eu, treatment(key)).expect("a row");
    assert_eq!((rule.verdict, rule.evidence != Evidence::Memory), (verdict, true));
}

#[test]
fn point_7a_red_below_2_is_100() {
    most(Colour::Red, 1.9, 100.0);
}
#[test]
fn point_7b_white_below_2_is_150() {
    most(Colour::White, 0.5, 150.0);
}
#[test]
fn point_7c_white_of_6_is_the_conventional_limit_less_30() {
    most(Colour::White, 6.0, 220.0);
}
#[test]
fn point_7c_red_of_6() {
    most(Colour::Red, 6.0, 170.0);
}
#[test]
fn bentonite_is_listed() {
    listed("bentonite_sodium", Verdict::Permitted);
}
#[test]
fn silicon_dioxide_is_listed() {
    listed("silica_sol", Verdict::Permitted);
}
#[test]
fn gelatin_and_isinglass_are_listed() {
    listed("gelatin", Verdict::Permitted);
    listed("isinglass", Verdict::Permitted);
}
#[test]
fn egg_albumin_is_listed() {
    listed("egg_albumin", Verdict::Permitted);
}
#[test]
fn plant_proteins_are_listed() {
    listed("pea_protein", Verdict::Permitted);
    listed("potato_protein", Verdict::Permitted);
}
#[test]
fn fungal_chitosan_is_listed_since_2018_1584() {
    listed("chitosan", Verdict::Permitted);
}
#[test]
fn metatartaric_is_listed() {
    listed("metatartaric", Verdict::Permitted);
}
#[test]
fn electrodialysis_is_forbidden() {
    listed("electrodialysis", Verdict::Forbidden);
}
