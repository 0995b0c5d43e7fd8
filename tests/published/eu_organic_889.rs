//! Regulation (EC) 889/2008 Annex VIIIa (the list) and Art. 29b-29d; Implementing Regulation (EU)
//! 203/2012.
use super::*;
use stillbright::case::Case;
use stillbright::law::organic;

#[track_caller]
fn most(colour: Colour, sugar: f64, expected: f64) {
    let wine = Wine {
        organic: vec![Organic::Eu],
        ..wine(colour, Market::Eu)
    };
    near(most_so2(wine, sugar), expected, 0.0);
}
#[track_caller]
fn listed(key: &str, verdict: Verdict) {
    let rule = organic(Organic::Eu, treatment(key)).expect("a row");
    assert_eq!(
        (rule.verdict, rule.evidence != Evidence::Memory),
        (verdict, true)
    );
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
#[test]
fn all_other_wine_is_30_under_the_conventional_limit() {
    for (colour, sugar, conventional) in [
        (Colour::Red, 3.0, 150.0),
        (Colour::White, 3.0, 200.0),
        (Colour::Red, 9.0, 200.0),
        (Colour::Rose, 9.0, 250.0),
    ] {
        most(colour, sugar, conventional - 30.0);
    }
}
#[test]
fn cation_exchange_for_tartrate_is_forbidden_reg_203_2012() {
    listed("cation_exchange", Verdict::Forbidden);
}
#[test]
fn mannoproteins_and_yeast_extract_are_listed_since_2018_1584() {
    listed("mannoproteins", Verdict::Permitted);
    listed("yeast_protein", Verdict::Permitted);
}
#[test]
fn acids_chalk_ascorbic_acid_tannin_and_gases_are_listed() {
    for key in [
        "citric_acid",
        "tartaric_acid",
        "calcium_carbonate",
        "ascorbic_acid",
        "tannin",
        "inert_gas",
        "carbon_colour",
        "sulfur_dioxide",
        "casein",
    ] {
        listed(key, Verdict::Permitted);
    }
}
#[test]
fn earth_perlite_and_cellulose_are_listed_as_inert_filter_aids() {
    for key in [
        "earth_filtration",
        "perlite_filtration",
        "cellulose_filtration",
    ] {
        listed(key, Verdict::Permitted);
    }
}
#[test]
fn kaolin_is_not_on_the_list() {
    listed("kaolin", Verdict::Forbidden);
}
/// One claim with no scheme named, and the scheme of each market: in the US the one that admits
/// sulfites. A scheme that is named
/// binds alone.
#[test]
fn an_organic_wine_keeps_the_scheme_of_each_market() {
    let mut w = Wine {
        claims: vec![Claim::Organic],
        sold_in: vec![Market::Us, Market::Gb],
        ..wine(Colour::White, Market::Eu)
    };
    assert_eq!(
        Case::of(&w).schemes(),
        [Organic::Eu, Organic::UsMadeWith, Organic::Gb]
    );
    near(most_so2(w.clone(), 1.0), 100.0, 0.0);
    w.organic = vec![Organic::Eu];
    assert_eq!(Case::of(&w).schemes(), [Organic::Eu]);
    near(most_so2(w.clone(), 1.0), 150.0, 0.0);
    w.organic = vec![Organic::Us];
    assert_eq!(Case::of(&w).schemes(), [Organic::Us]);
    near(most_so2(w, 1.0), 10.0, 0.0);
}
