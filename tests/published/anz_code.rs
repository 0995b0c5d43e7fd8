//! Food Standards Code (Australia New Zealand), compiled March 2025: Standard 4.5.1 for wine made
//! in Australia; Standards
//! 1.2.3, 1.3.1, 1.3.3 and Schedules 9, 15, 16, 18 for wine made in New Zealand or imported.
use super::*;
use stillbright::case::Case;
use stillbright::law::Legality;

#[test]
fn s451_5_5a_made_in_australia_250_below_35_g_l() {
    near(most_so2(wine(Colour::White, Market::Au), 34.9), 250.0, 0.0);
}
#[test]
fn s451_5_5a_made_in_australia_300_from_35_g_l() {
    near(most_so2(wine(Colour::White, Market::Au), 35.0), 300.0, 0.0);
}
#[test]
fn schedule_15_new_zealand_400_above_35_and_250_below() {
    near(most_so2(wine(Colour::White, Market::Nz), 40.0), 400.0, 0.0);
    near(most_so2(wine(Colour::White, Market::Nz), 10.0), 250.0, 0.0);
    // Exactly 35 is not defined: the lower.
    near(most_so2(wine(Colour::White, Market::Nz), 35.0), 250.0, 0.0);
}
#[test]
fn sold_in_both_the_stricter_binds() {
    let both = Wine {
        sold_in: vec![Market::Nz],
        ..wine(Colour::White, Market::Au)
    };
    near(most_so2(both, 40.0), 300.0, 0.0);
}
#[test]
fn sorbic_acid_200_mg_l() {
    assert_eq!(
        limit("sorbate", Market::Au, Colour::White, LimitKind::Dose),
        (200.0, "mg/L", false)
    );
    assert_eq!(
        limit("sorbate", Market::Nz, Colour::White, LimitKind::Dose),
        (200.0, "mg/L", false)
    );
}
#[test]
fn dimethyl_dicarbonate_200_mg_l() {
    assert_eq!(
        limit("dmdc", Market::Au, Colour::White, LimitKind::Dose),
        (200.0, "mg/L", false)
    );
    assert_eq!(
        limit("dmdc", Market::Nz, Colour::White, LimitKind::Dose),
        (200.0, "mg/L", false)
    );
}
#[test]
fn polyaspartate_100_mg_l() {
    assert_eq!(
        limit("polyaspartate", Market::Au, Colour::Red, LimitKind::Dose),
        (100.0, "mg/L", false)
    );
    assert_eq!(
        limit("polyaspartate", Market::Nz, Colour::Red, LimitKind::Dose),
        (100.0, "mg/L", false)
    );
}
#[test]
fn schedule_15_mannoproteins_400_mg_kg() {
    assert_eq!(
        limit("mannoproteins", Market::Nz, Colour::Red, LimitKind::Dose),
        (400.0, "mg/L", false)
    );
}
#[test]
fn schedule_15_cmc_not_in_fortified_wine() {
    let port = Wine {
        style: Some(Style::Fortified),
        ..wine(Colour::White, Market::Nz)
    };
    assert_eq!(
        findings(&Case::of(&port), treatment("cmc"))[0].legality,
        Legality::Forbidden
    );
    assert_eq!(
        finding("cmc", Colour::White, Market::Nz).legality,
        Legality::Permitted
    );
}
/// The standard was read whole, so what its tables do not name is not listed, and the list is named.
/// It is about what is added: of a machine without a row it says nothing.
#[test]
fn what_the_tables_of_the_standard_do_not_name_is_not_listed() {
    for key in ["yeast_protein", "plant_fibre", "dl_tartaric"] {
        let f = finding(key, Colour::White, Market::Au);
        assert_eq!(
            (f.legality, f.article, f.source),
            (Legality::NotListed, "Std 4.5.1 cl. 3-4", "AU-451"),
            "{key}"
        );
        assert!(f.note.contains("Standard 4.5.1"), "{}", f.note);
        // Of the rest of the Code only a part was read.
        let abroad = finding(key, Colour::White, Market::Nz);
        assert_eq!(abroad.legality, Legality::NotKnown, "{key}");
    }
    let machine = finding("membrane_carbon", Colour::Red, Market::Au);
    assert_eq!(machine.legality, Legality::NotKnown);
}
/// Milk and milk products are named in clause 4; casein is one.
#[test]
fn s451_cl_4_casein_is_believed_to_be_a_milk_product() {
    let f = finding("casein", Colour::White, Market::Au);
    assert_eq!(
        (f.legality, f.evidence),
        (Legality::Believed, Evidence::Concluded)
    );
}
#[test]
fn s451_cl_4_has_no_kaolin() {
    assert_eq!(
        finding("kaolin", Colour::White, Market::Au).legality,
        Legality::NotListed
    );
    assert_eq!(
        finding("kaolin", Colour::White, Market::Nz).legality,
        Legality::Permitted
    );
}
#[test]
fn s451_cl_3_has_no_fumaric_acid() {
    assert_eq!(
        finding("fumaric_acid", Colour::Red, Market::Au).legality,
        Legality::NotListed
    );
    assert_eq!(
        finding("fumaric_acid", Colour::Red, Market::Nz).legality,
        Legality::Permitted
    );
}
#[test]
fn ferrocyanide_0_1_mg_kg_left_and_iron_must_remain() {
    assert_eq!(
        limit(
            "ferrocyanide",
            Market::Nz,
            Colour::White,
            LimitKind::Residue
        ),
        (0.1, "mg/L", false)
    );
    assert!(
        rule("ferrocyanide", Market::Au, Colour::White).conditions[0]
            .contains("must still hold iron")
    );
}
#[test]
fn s451_5_7b_water_70_ml_l() {
    assert!(rule("bentonite", Market::Au, Colour::White).conditions[1].contains("70 mL/L"));
}
#[test]
fn schedule_9_isinglass_is_exempt_and_other_fish_gelatin_is_not_named() {
    let text = label(Law::Anz, "fish").rule.text;
    assert!(text.contains("swim bladders is exempt") && text.contains("not named"));
}
#[test]
fn s123_egg_is_declared_when_present_without_a_threshold() {
    let egg = label(Law::Anz, "Egg");
    assert!(egg.from.is_none() && egg.rule.text.contains("without a threshold"));
}
#[test]
fn schedule_9_added_sulfites_from_10_mg_kg() {
    assert_eq!(label(Law::Anz, "Sulfites").from, Some(10.0));
    assert!(label(Law::Anz, "Sulfites").rule.text.contains("added"));
}
#[test]
fn what_is_listed_without_a_number() {
    for key in [
        "bentonite_sodium",
        "isinglass",
        "pvpp",
        "carbon_colour",
        "chitosan",
        "copper_citrate",
        "metatartaric",
        "gum_arabic",
        "lysozyme",
    ] {
        assert_eq!(
            finding(key, Colour::White, Market::Au).legality,
            Legality::Permitted,
            "{key}"
        );
        assert_eq!(
            finding(key, Colour::White, Market::Nz).legality,
            Legality::Permitted,
            "{key}"
        );
    }
}
#[test]
fn foods_need_no_permission_as_processing_aids() {
    for key in ["gelatin", "egg_albumin", "skim_milk", "pea_protein"] {
        assert_eq!(
            finding(key, Colour::Red, Market::Nz).legality,
            Legality::Free,
            "{key}"
        );
        assert_eq!(
            finding(key, Colour::Red, Market::Au).legality,
            Legality::Permitted,
            "{key}"
        );
    }
}
#[test]
fn imported_wine_comes_under_the_code_not_under_the_australian_standard() {
    let f = finding_imported("kaolin", Colour::White, Market::Au);
    assert_eq!(
        (f.law, f.basis, f.legality),
        (Law::Anz, RuleBasis::Import, Legality::Permitted)
    );
}
