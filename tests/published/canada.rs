//! Canada: B.02.100 of the Food and Drug Regulations as in force 22 Mar 2006 and in 2019, Health
//! Canada notices, and the
//! labelling part to June 2026. The standard moved to Volume 2 on 18 Dec 2024, which was not read.
use super::*;
use stillbright::case::Case;
use stillbright::law::{Legality, so2_limits};

#[test]
fn b_vii_70_free_or_350_combined_kept_as_both() {
    let all = so2_limits(&Case::of(&wine(Colour::White, Market::Ca)));
    assert_eq!((all[0].most, all[0].most_free), (350.0, Some(70.0)));
}
#[test]
fn b_xvi_sorbic_acid_500() {
    assert_eq!(
        limit("sorbate", Market::Ca, Colour::White, LimitKind::Dose),
        (500.0, "mg/L", false)
    );
}
#[test]
fn b_xii_pvp_2_left() {
    assert_eq!(
        limit("pvpp", Market::Ca, Colour::White, LimitKind::Residue),
        (2.0, "mg/L", false)
    );
    assert_eq!(
        finding("pvpp", Colour::White, Market::Ca).legality,
        Legality::NotKnown
    );
}
#[test]
fn b_viii_metatartaric_0_01_percent() {
    assert_eq!(
        limit("metatartaric", Market::Ca, Colour::White, LimitKind::Dose),
        (10.0, "g/hL", false)
    );
}
#[test]
fn b_viii_bitartrate_0_42_percent() {
    assert_eq!(
        limit("bitartrate", Market::Ca, Colour::White, LimitKind::Dose),
        (420.0, "g/hL", false)
    );
}
#[test]
fn health_canada_2021_polyaspartate_0_01_percent() {
    assert_eq!(
        limit("polyaspartate", Market::Ca, Colour::Red, LimitKind::Dose),
        (100.0, "mg/L", false)
    );
}
#[test]
fn b_vi_tartaric_acid_left_1_5_g_l_after_chalk() {
    assert_eq!(
        limit(
            "calcium_carbonate",
            Market::Ca,
            Colour::White,
            LimitKind::Floor
        ),
        (1.5, "g/L", false)
    );
}
#[test]
fn b_01_010_added_sulfites_from_10() {
    assert_eq!(label(Law::Ca, "Sulfites").from, Some(10.0));
    assert!(label(Law::Ca, "Sulfites").rule.text.contains("added"));
}
#[test]
fn b_01_008_no_ingredient_list_but_the_allergen_duty_stays() {
    let text = label(Law::Ca, "Ingredient").rule.text;
    assert!(text.contains("Not needed") && text.contains("allergen duty stays"));
}
#[test]
fn sfcr_353_organic_needs_95_percent() {
    assert!(
        stillbright::law::organic(Organic::Ca, treatment("sulfur_dioxide"))
            .unwrap()
            .text
            .contains("95 %")
    );
}
#[test]
fn finings_listed_in_2006() {
    for key in [
        "bentonite_sodium",
        "kaolin",
        "gelatin",
        "isinglass",
        "casein",
        "egg_albumin",
        "carbon_odour",
    ] {
        assert_eq!(
            finding(key, Colour::White, Market::Ca).legality,
            Legality::Permitted,
            "{key}"
        );
    }
}
#[test]
fn eu_wine_comes_in_by_the_agreement() {
    let w = Wine {
        sold_in: vec![Market::Ca],
        ..wine(Colour::White, Market::Eu)
    };
    assert_eq!(
        findings(&Case::of(&w), treatment("pvpp"))[1].basis,
        RuleBasis::Acceptance
    );
    assert_eq!(
        finding_imported("metatartaric", Colour::White, Market::Ca).basis,
        RuleBasis::Import
    );
}
