//! Title 27 and 21 of the US Code of Federal Regulations, and 7 CFR 205.605.
use super::*;
use stillbright::case::Case;
use stillbright::law::{Legality, organic};

#[test]
fn s24_241_carbon_25_lb_per_1000_gal_is_299_6_g_hl() {
    assert_eq!(
        limit("carbon", Market::Us, Colour::White, LimitKind::Sum),
        (299.6, "g/hL", false)
    );
}
#[test]
fn s24_241_carbon_on_red_is_not_forbidden_there() {
    assert_eq!(
        finding("carbon_colour", Colour::Red, Market::Us).legality,
        Legality::Limited
    );
}
#[test]
fn s24_241_colour_left() {
    assert!(rule("carbon", Market::Us, Colour::White).conditions[0].contains("0.6 Lovibond"));
    assert!(rule("carbon", Market::Us, Colour::White).conditions[0].contains("95 %"));
}
#[test]
fn s24_246_a2_water_1_percent() {
    assert!(rule("bentonite", Market::Us, Colour::White).conditions[0].contains("1 %"));
    assert_eq!(
        finding("bentonite_sodium", Colour::White, Market::Us).legality,
        Legality::Permitted
    );
}
#[test]
fn s4_22_total_so2_350() {
    near(most_so2(wine(Colour::White, Market::Us), 40.0), 350.0, 0.0);
}
#[test]
fn s205_605b_made_with_organic_grapes_100() {
    let wine = Wine {
        organic: vec![Organic::UsMadeWith],
        ..wine(Colour::Red, Market::Us)
    };
    near(most_so2(wine, 1.0), 100.0, 0.0);
}
#[test]
fn s205_605a_bentonite_is_listed() {
    let rule = organic(Organic::Us, treatment("bentonite_sodium")).unwrap();
    assert_eq!(
        (rule.verdict, rule.evidence),
        (Verdict::Permitted, Evidence::InForce)
    );
}
#[test]
fn us_organic_takes_no_added_sulfite() {
    assert_eq!(
        organic(Organic::Us, treatment("sulfur_dioxide"))
            .unwrap()
            .verdict,
        Verdict::Forbidden
    );
}
#[test]
fn s173_50_pvpp_is_filtered_out() {
    assert!(rule("pvpp", Market::Us, Colour::White).conditions[0].contains("filtration"));
}
#[test]
fn what_was_not_read_is_believed_by_two_texts_and_not_known_by_one() {
    let all = |keys: &[&str], legality: Legality| {
        for key in keys {
            let f = finding(key, Colour::White, Market::Us);
            assert_eq!(f.legality, legality, "{key}");
            assert!(!f.legality.allows() && f.legality.is_open());
        }
    };
    // Listed in a text that was read, their figure not; or in two lists from memory.
    let listed = ["gelatin", "casein", "silica_sol", "chitosan"];
    let twice = ["isinglass", "cmc", "lysozyme", "pvi_pvp"];
    all(&[listed, twice].concat(), Legality::Believed);
    let once = ["polyaspartate", "metatartaric", "pectinase", "pea_protein"];
    all(&once, Legality::NotKnown);
}
/// No text that names racking was read in either market: it is never shown as permitted, but as
/// asked of by no text.
#[test]
fn racking_is_named_by_no_text_and_not_shown_as_permitted() {
    for market in [Market::Eu, Market::Us] {
        let f = finding("wait_rack", Colour::White, market);
        assert_eq!(
            (f.legality, f.evidence),
            (Legality::Free, Evidence::Concluded)
        );
        assert!(f.note.contains("no article says so"));
    }
}
/// 26 USC 5382(a)(1)(A): what is customary commercial practice goes on counting as proper cellar
/// treatment while no regulation finds against it.
#[test]
fn heat_cold_and_spinning_ask_no_permission() {
    for key in [
        "chill_static",
        "pasteurisation",
        "centrifuge",
        "flotation",
        "blending",
    ] {
        let f = finding(key, Colour::White, Market::Us);
        assert_eq!(
            (f.legality, f.source),
            (Legality::Free, "USC-5382"),
            "{key}"
        );
    }
}
#[test]
fn s4_32e_sulfites_from_10_ppm_in_all() {
    assert_eq!(label(Law::Us, "Sulfites").from, Some(10.0));
    assert!(label(Law::Us, "Sulfites").rule.text.contains("total"));
}
#[test]
fn grn_284_mannoprotein_to_400_mg_l() {
    assert_eq!(
        limit("mannoproteins", Market::Us, Colour::White, LimitKind::Dose),
        (400.0, "mg/L", false)
    );
    assert!(
        rule("mannoproteins", Market::Us, Colour::White).limits[0]
            .text
            .contains("50-400")
    );
}
#[test]
fn grn_397_chitosan_10_to_500_g_hl_is_not_the_limit_of_24_246() {
    assert!(
        rule("chitosan", Market::Us, Colour::White)
            .edition
            .contains("10-500 g/hL")
    );
    assert_eq!(
        finding("chitosan", Colour::White, Market::Us).legality,
        Legality::Believed
    );
}
#[test]
fn s24_244_citric_acid_0_7_g_l() {
    assert_eq!(
        limit("citric_acid", Market::Us, Colour::White, LimitKind::Dose),
        (0.7, "g/L", false)
    );
}
#[test]
fn s24_244_fumaric_acid_3_g_l() {
    assert_eq!(
        limit("fumaric_acid", Market::Us, Colour::Red, LimitKind::Dose),
        (3.0, "g/L", false)
    );
}
#[test]
fn sorbic_acid_300_mg_l() {
    assert_eq!(
        limit("sorbate", Market::Us, Colour::White, LimitKind::Dose),
        (300.0, "mg/L", false)
    );
}
#[test]
fn s172_133_dimethyl_dicarbonate_200_mg_l() {
    assert_eq!(
        limit("dmdc", Market::Us, Colour::White, LimitKind::Dose),
        (200.0, "mg/L", false)
    );
}
#[test]
fn older_table_gum_arabic_2_lb_per_1000_gal() {
    assert_eq!(
        limit("gum_arabic", Market::Us, Colour::Red, LimitKind::Dose),
        (24.0, "g/hL", false)
    );
    near(2.0 * 453.59237 / 3785.411784 * 100.0, 23.97, 0.01);
}
#[test]
fn s205_605a_bentonite_kaolin_and_earth_are_listed() {
    for key in [
        "bentonite_calcium",
        "kaolin",
        "earth_filtration",
        "calcium_carbonate",
        "citric_acid",
        "tartaric_acid",
    ] {
        let rule = organic(Organic::Us, treatment(key)).unwrap();
        assert_eq!(
            (rule.verdict, rule.evidence),
            (Verdict::Permitted, Evidence::InForce),
            "{key}"
        );
    }
}
#[test]
fn a_wine_made_in_the_eu_comes_in_by_the_agreement_of_2006() {
    let wine = Wine {
        sold_in: vec![Market::Us],
        ..wine(Colour::White, Market::Eu)
    };
    let found = findings(&Case::of(&wine), treatment("polyaspartate"));
    assert_eq!(
        (found.len(), found[1].basis, found[1].legality),
        (2, RuleBasis::Acceptance, Legality::Limited)
    );
    assert_eq!(found[1].dose_cap, Some(100.0));
}
#[test]
fn s173_55_soluble_pvp_60_ppm_left() {
    assert!(rule("pvpp", Market::Us, Colour::White).conditions[1].contains("60 mg/L"));
}
#[test]
fn s24_245_carbon_dioxide_3_92_g_l_in_still_wine() {
    assert_eq!(
        limit("inert_gas", Market::Us, Colour::White, LimitKind::Residue),
        (3920.0, "mg/L", false)
    );
    assert_eq!(
        finding("inert_gas", Colour::White, Market::Us).legality,
        Legality::Believed
    );
}
