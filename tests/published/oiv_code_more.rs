//! OIV Code sheets, Reg. (EC) 423/2008 Annex IV, the appendices of 606/2009 and Reg. (EU)
//! 1169/2011: the rest of the
//! materials, labels and volatile acidity.
use super::*;
use stillbright::case::Case;
use stillbright::dossier::Dossier;
use stillbright::knowledge::PROBLEMS;
use stillbright::law::Legality;

#[track_caller]
fn eu(material: &str, colour: Colour, kind: LimitKind, value: f64, unit: &str, strict: bool) {
    assert_eq!(
        limit(material, Market::Eu, colour, kind),
        (value, unit, strict),
        "{material}"
    );
}

#[test]
fn ii_3_2_14_yeast_protein_60_in_red_30_in_white_rose_and_must() {
    eu(
        "yeast_protein",
        Colour::Red,
        LimitKind::Dose,
        60.0,
        "g/hL",
        false,
    );
    eu(
        "yeast_protein",
        Colour::White,
        LimitKind::Dose,
        30.0,
        "g/hL",
        false,
    );
    eu(
        "yeast_protein",
        Colour::Rose,
        LimitKind::Dose,
        30.0,
        "g/hL",
        false,
    );
    near(
        limit_of(
            rule_in("yeast_protein", Law::Eu, Colour::Red, Stage::Juice),
            LimitKind::Dose,
        )
        .0,
        30.0,
        0.0,
    );
}
#[test]
fn ii_3_4_16_chitosan_100_g_hl_against_metals() {
    eu(
        "chitosan_metals",
        Colour::White,
        LimitKind::Dose,
        100.0,
        "g/hL",
        false,
    );
    assert!(
        rule("chitosan_metals", Market::Eu, Colour::White).limits[0]
            .text
            .contains("500 g/hL")
    );
}
#[test]
fn ii_3_2_13_chitin_glucan_100_g_hl() {
    eu(
        "chitin_glucan",
        Colour::White,
        LimitKind::Dose,
        100.0,
        "g/hL",
        false,
    );
}
#[test]
fn ii_3_3_6_gum_arabic_0_3_g_l() {
    eu(
        "gum_arabic",
        Colour::Red,
        LimitKind::Dose,
        0.3,
        "g/L",
        false,
    );
}
#[test]
fn ii_3_4_12_lysozyme_500_mg_l_over_must_and_wine() {
    eu(
        "lysozyme",
        Colour::Red,
        LimitKind::Sum,
        500.0,
        "mg/L",
        false,
    );
}
#[test]
fn ii_3_4_5_sorbic_acid_200_mg_l() {
    eu(
        "sorbate",
        Colour::White,
        LimitKind::Dose,
        200.0,
        "mg/L",
        false,
    );
}
#[test]
fn reg_643_2006_dimethyl_dicarbonate_200_mg_l_from_5_g_l_of_sugar_and_none_left() {
    eu("dmdc", Colour::White, LimitKind::Dose, 200.0, "mg/L", false);
    eu("dmdc", Colour::White, LimitKind::Process, 5.0, "g/L", false);
    assert!(rule("dmdc", Market::Eu, Colour::White).conditions[0].contains("none may be found"));
}
#[test]
fn dimethyl_dicarbonate_is_for_a_trained_operator_with_a_unit_and_gets_no_dose() {
    let t = treatment("dmdc");
    assert!(t.access == Access::Trained && t.dose.is_none());
    let reasons =
        stillbright::treatment::reasons(&Dossier::of(&wine(Colour::White, Market::Eu)), t);
    assert!(
        reasons
            .iter()
            .any(|r| r.because == stillbright::rules::Kind::Licensed)
    );
}
#[test]
fn ii_3_4_7_ascorbic_acid_250_mg_l_a_treatment_and_300_in_the_wine() {
    eu(
        "ascorbic",
        Colour::White,
        LimitKind::Dose,
        250.0,
        "mg/L",
        false,
    );
    assert!(
        rule("ascorbic", Market::Eu, Colour::White).limits[0]
            .text
            .contains("300 mg/L")
    );
}
#[test]
fn ii_3_3_12_calcium_tartrate_less_than_200_g_hl() {
    eu(
        "calcium_tartrate",
        Colour::White,
        LimitKind::Dose,
        200.0,
        "g/hL",
        true,
    );
}
#[test]
fn ii_3_3_8_citric_acid_1_g_l_in_the_wine() {
    eu(
        "citric_acid",
        Colour::White,
        LimitKind::Dose,
        1.0,
        "g/L",
        false,
    );
}
#[test]
fn ii_3_4_14_pvi_pvp_less_than_500_mg_l_and_out_within_2_days() {
    eu(
        "pvi_pvp",
        Colour::White,
        LimitKind::Sum,
        500.0,
        "mg/L",
        true,
    );
    assert!(rule("pvi_pvp", Market::Eu, Colour::White).conditions[0].contains("2 days"));
    assert!(
        treatment("pvi_pvp")
            .longest_days
            .is_some_and(|d| d.high <= 2.0)
    );
}
#[test]
fn ii_3_1_1_1_acidification_4_g_l_is_the_wider_oiv_figure() {
    let l = rule("tartaric_acid", Market::Eu, Colour::White).limits[0];
    assert!(l.text.contains("4 g/L in all") && l.evidence == Evidence::Secondary);
    // 54 meq/L of tartaric acid, 75.04 g per equivalent.
    near(54.0 * 150.09 / 2.0 / 1000.0, 4.05, 0.005);
    assert_eq!(
        finding("tartaric_acid", Colour::White, Market::Eu).legality,
        Legality::Believed
    );
}
#[test]
fn ii_3_1_2_2_deacidified_wine_keeps_1_g_l_of_tartaric_acid() {
    eu(
        "potassium_bicarbonate",
        Colour::White,
        LimitKind::Floor,
        1.0,
        "g/L",
        false,
    );
    eu(
        "calcium_carbonate",
        Colour::White,
        LimitKind::Floor,
        1.0,
        "g/L",
        false,
    );
}
#[test]
fn ii_3_4_23_fumaric_acid_300_to_600_mg_l() {
    eu(
        "fumaric_acid",
        Colour::Red,
        LimitKind::Dose,
        0.6,
        "g/L",
        false,
    );
    assert!(
        rule("fumaric_acid", Market::Eu, Colour::Red).limits[0]
            .text
            .contains("300-600")
    );
}
#[test]
fn ii_3_1_1_5_cation_exchange_lowers_ph_by_0_3_at_most_and_not_below_3() {
    eu(
        "cation_exchange",
        Colour::White,
        LimitKind::Process,
        0.3,
        "pH",
        false,
    );
    assert!(
        rule("cation_exchange", Market::Eu, Colour::White).limits[0]
            .text
            .contains("3.0")
    );
}
#[test]
fn ii_3_3_16_aspergillopepsin_60_to_75_degrees_for_about_a_minute() {
    eu(
        "protease",
        Colour::White,
        LimitKind::Process,
        60.0,
        "°C",
        false,
    );
    let t = treatment("protease_heat").temperature.unwrap();
    assert_eq!((t.low, t.high), (60.0, 75.0));
    assert_eq!(
        finding("protease_heat", Colour::White, Market::Eu).legality,
        Legality::NotKnown
    );
}
#[test]
fn skimmed_milk_is_in_the_oiv_code_and_believed_not_on_the_eu_list() {
    assert!(
        rule("milk", Market::Eu, Colour::White)
            .article
            .contains("OIV II.3.2.1 admits skimmed milk")
    );
    assert_eq!(
        finding("skim_milk", Colour::White, Market::Eu).legality,
        Legality::NotKnown
    );
}
#[test]
fn kaolin_alginate_and_plant_fibres_are_processing_aids_of_the_code() {
    assert_eq!(
        finding("kaolin", Colour::White, Market::Eu).legality,
        Legality::Permitted
    );
    eu(
        "plant_fibre",
        Colour::Red,
        LimitKind::Dose,
        200.0,
        "g/hL",
        false,
    );
}
#[test]
fn what_came_after_2020_is_not_verified_in_great_britain() {
    for key in ["cmc", "protease_heat", "fumaric_acid", "plant_fibre"] {
        assert_eq!(
            finding(key, Colour::Rose, Market::Gb).legality,
            Legality::NotKnown,
            "{key}"
        );
    }
    assert_eq!(
        finding("cmc", Colour::White, Market::Gb).legality,
        Legality::Limited
    );
    let must = Wine {
        stage: Some(Stage::Juice),
        ..wine(Colour::White, Market::Gb)
    };
    assert_eq!(
        findings(&Case::of(&must), treatment("pvpp"))[0].legality,
        Legality::NotKnown
    );
}
#[test]
fn reg_606_annex_i_c_volatile_acidity_18_and_20_meq() {
    let facts = PROBLEMS
        .iter()
        .find(|p| p.problem == Problem::VolatileAcidity)
        .unwrap();
    let band = |c: Colour| {
        facts
            .bands
            .iter()
            .find(|b| b.colours.is_empty() || b.colours.contains(&c))
            .unwrap()
            .ceiling
            .unwrap()
    };
    near(band(Colour::White), 18.0 * 0.060, 0.001);
    near(band(Colour::Red), 20.0 * 0.060, 0.001);
}
#[test]
fn oiv_comex_502_egg_and_milk_0_25_mg_l_with_0_5_to_quantify() {
    assert_eq!(label(Law::Eu, "Egg").from, Some(0.25));
    assert!(label(Law::Eu, "Egg").rule.text.contains("0.5 mg/L"));
    assert_eq!(label(Law::Gb, "Egg").from, Some(0.25));
}
#[test]
fn reg_1169_2011_sulfites_above_10_mg_l() {
    assert_eq!(label(Law::Eu, "Sulfites").from, Some(10.0));
    assert!(
        label(Law::Eu, "Sulfites")
            .rule
            .text
            .contains("above 10 mg/L")
    );
    assert_eq!(label(Law::Gb, "Sulfites").from, Some(10.0));
}
#[test]
fn annex_ii_4b_isinglass_is_exempt() {
    assert!(label(Law::Eu, "Fish").rule.text.contains("exempt"));
}
#[test]
fn reg_2021_2117_ingredient_list_from_8_december_2023() {
    assert!(
        label(Law::Eu, "Ingredient")
            .rule
            .text
            .contains("8 December 2023")
    );
}
#[test]
fn bentonite_is_a_processing_aid_and_polyaspartate_an_additive() {
    assert!(
        !treatment("bentonite_sodium").stays
            && treatment("bentonite_sodium").label[0]
                .text
                .contains("Processing aid")
    );
    assert!(
        treatment("polyaspartate").stays
            && treatment("polyaspartate").label[0].text.contains("E 456")
    );
}
#[test]
fn codex_oeno_22_2000_calcium_tartrate_holds_15_4_percent_calcium() {
    near(40.078 / 260.21, 0.154, 0.0005);
    near(150.09 / 260.21, 0.577, 0.0005);
}
#[test]
fn electrodialysis_comes_under_an_oenologist() {
    let f = finding("electrodialysis", Colour::White, Market::Eu);
    assert!(f.legality == Legality::Permitted && f.conditions[0].contains("oenologist"));
    assert_eq!(treatment("electrodialysis").access, Access::Qualified);
}
#[test]
fn no_figure_of_dose_is_given_for_what_only_an_authorised_person_may_do() {
    for key in ["ferrocyanide", "phytate"] {
        let t = treatment(key);
        assert!(
            t.dose.is_none() && t.access == Access::Licensed && t.price.is_none(),
            "{key}"
        );
        for r in LAW.iter().filter(|r| r.materials.contains(&t.material)) {
            assert!(
                r.limits.iter().all(|l| l.kind == LimitKind::Residue),
                "{key}"
            );
        }
    }
}
#[test]
fn table_1_row_5_sulfur_dioxide_is_not_taken_out_of_finished_wine() {
    assert!(
        rule("sulfur_dioxide", Market::Eu, Colour::White).conditions[1]
            .contains("may not be taken out")
    );
}
#[test]
fn ion_exchangers_anion_exchange_is_not_admitted() {
    assert!(
        rule("cation_exchange", Market::Eu, Colour::White).conditions[0]
            .contains("anion exchange is not admitted")
    );
}
