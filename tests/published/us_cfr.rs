//! Title 27 and 21 of the US Code of Federal Regulations, and 7 CFR 205.605.
use super::*;
use stillbright::law::{Legality, organic, so2_limit};

#[test]
fn s24_241_carbon_25_lb_per_1000_gal_is_299_6_g_hl() {
    assert_eq!(limit("carbon", Market::Us, Colour::White, LimitKind::Sum), (299.6, "g/hL", false));
}
#[test]
fn s24_241_carbon_on_red_is_not_forbidden_there() {
    assert_eq!(finding("carbon_colour", Colour::Red, Market::Us).legality, Legality::Limited);
}
#[test]
fn s24_241_colour_left() {
    assert!(rule("carbon", Market::Us, Colour::White).conditions[0].contains("0.6 Lovibond"));
    assert!(rule("carbon", Market::Us, Colour::White).conditions[0].contains("95 %"));
}
#[test]
fn s24_246_a2_water_1_percent() {
    assert!(rule("bentonite", Market::Us, Colour::White).conditions[0].contains("1 %"));
    assert_eq!(finding("bentonite_sodium", Colour::White, Market::Us).legality, Legality::Permitted);
}
#[test]
fn s4_22_total_so2_350() {
    assert_eq!(so2_limit(&wine(Colour::White, Market::Us), Some(40.0)).map(|l| l.most), Some(350.0));
}
#[test]
fn s205_605b_made_with_organic_grapes_100() {
    let wine = Wine { organic: vec![Organic::UsMadeWith], ..wine(Colour::Red, Market::Us) };
    assert_eq!(so2_limit(&wine, Some(1.0)).map(|l| l.most), Some(100.0));
}
#[test]
fn s205_605a_bentonite_is_listed() {
    let rule = organic(Organic::Us, treatment("bentonite_sodium")).unwrap();
    assert_eq!((rule.verdict, rule.evidence), (Verdict::Permitted, Evidence::InForce));
}
#[test]
fn us_organic_takes_no_added_sulfite() {
    assert_eq!(organic(Organic::Us, treatment("sulfur_dioxide")).unwrap().verdict, Verdict::Forbidden);
}
#[test]
fn s173_50_pvpp_is_filtered_out() {
    assert!(rule("pvpp", Market::Us, Colour::White).conditions[0].contains("filtration"));
}
#[test]
fn what_was_not_read_is_not_verified() {
    for key in ["isinglass", "cmc", "polyaspartate", "metatartaric", "pectinase", "chitosan", "silica_sol", "pea_protein"] {
        assert_eq!(finding(key, Colour::White, Market::Us).legality, Legality::NotVerified, "{key}");
    }
}
/// No text that names racking was read in either market, so it is not verified, harmless as it is.
#[test]
fn racking_was_not_read_and_is_not_verified() {
    for market in [Market::Eu, Market::Us] {
        assert_eq!(finding("wait_rack", Colour::White, market).legality, Legality::NotVerified);
    }
}
#[test]
fn a_wine_made_in_the_eu_comes_in_by_the_agreement_of_2006() {
    let wine = Wine { sold_in: vec![Market::Us], ..wine(Colour::White, Market::Eu) };
    let found = findings(&wine, treatment("polyaspartate"));
    assert_eq!((found.len(), found[1].basis, found[1].legality), (2, RuleBasis::Acceptance, Legality::Limited));
    assert_eq!(found[1].dose_cap, Some(100.0));
}
