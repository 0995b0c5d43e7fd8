//! The rows of the two lists of check values that were not read, or read only in part: each is held
//! to be shown as not
//! verified, or under the tag it was read with. With these every row of both lists has its check;
//! the rows left out are
//! named with the reason in the last test.
use super::*;
use stillbright::case::Case;
use stillbright::law::{Legality, organic, so2_limits};

#[track_caller]
fn not_verified(key: &str, colour: Colour, market: Market) {
    assert_eq!(
        finding(key, colour, market).legality,
        Legality::NotKnown,
        "{key}"
    );
}
#[track_caller]
fn believed(key: &str, colour: Colour, market: Market) {
    assert_eq!(
        finding(key, colour, market).legality,
        Legality::Believed,
        "{key}"
    );
}
#[track_caller]
fn memory_limit(material: &str, market: Market, kind: LimitKind) -> (f64, &'static str) {
    let l = rule(material, market, Colour::White)
        .limits
        .iter()
        .find(|l| l.kind == kind)
        .unwrap();
    assert_eq!(l.evidence, Evidence::Memory, "{material}");
    (l.value, l.text)
}

#[test]
fn e13_charcoal_on_must_less_than_100_g_hl() {
    let juice = limit_of(
        rule_in("carbon", Law::Eu, Colour::Red, Stage::Juice),
        LimitKind::Sum,
    );
    assert_eq!(juice, (100.0, "g/hL", true));
}
#[test]
fn e25_gum_arabic_0_8_g_l_for_red_liqueur_wine_is_named_and_not_taken() {
    let r = rule("gum_arabic", Market::Eu, Colour::Red);
    assert!(
        r.edition
            .contains("0.8 g/L for red liqueur wine (2022) not verified")
    );
    near(r.limits[0].value, 0.3, 0.0);
}
#[test]
fn e38_acidification_by_zone_was_read_in_texts_that_quote_it() {
    for (stage, most) in [(Stage::Juice, 1.5), (Stage::Dry, 2.5)] {
        let r = rule_in("tartaric_acid", Law::Eu, Colour::White, stage);
        assert_eq!(limit_of(r, LimitKind::Dose), (most, "g/L", false));
        assert_eq!(r.limits[0].evidence, Evidence::Secondary);
        // 75.04 g per equivalent: 20 and 33.3 meq/L.
        near(most / 0.07504, most / 1.5 * 20.0, 0.05);
    }
    believed("tartaric_acid", Colour::White, Market::Eu);
}
#[test]
fn e40_deacidification_by_1_g_l_was_not_read() {
    // 1 g/L of tartaric acid is 13.3 meq/L; 100.1 and 50.0 g per equivalent of the salts.
    let acid = 1.0 / 0.07504;
    for (material, each) in [
        ("potassium_bicarbonate", 0.10012),
        ("calcium_carbonate", 0.05004),
    ] {
        let (most, text) = memory_limit(material, Market::Eu, LimitKind::Dose);
        near(most, acid * each, 0.01);
        assert!(text.contains("1 g/L taken away") && text.contains("not read"));
        believed(material, Colour::White, Market::Eu);
    }
}
#[test]
fn e48_e49_pores_and_heat_of_the_organic_regulation_were_not_read() {
    for (key, figure) in [
        ("crossflow_filtration", "0.2 µm"),
        ("membrane_045", "0.2 µm"),
        ("pasteurisation", "75 °C (70 °C"),
    ] {
        let r = organic(Organic::Eu, treatment(key)).unwrap();
        assert!(
            r.evidence == Evidence::Memory && r.text.contains(figure),
            "{key}"
        );
    }
}
#[test]
fn e50_absent_from_the_organic_list_from_memory() {
    for key in [
        "pvpp",
        "cmc",
        "polyaspartate",
        "lysozyme",
        "sorbate",
        "dmdc",
        "ferrocyanide",
    ] {
        let r = organic(Organic::Eu, treatment(key)).unwrap();
        assert_eq!(
            (r.verdict, r.evidence),
            (Verdict::Forbidden, Evidence::Memory),
            "{key}"
        );
    }
}
#[test]
fn c09_pvpp_719_g_hl_stands_in_a_secondary_list() {
    assert_eq!(
        limit("pvpp", Market::Us, Colour::White, LimitKind::Sum),
        (719.0, "g/hL", false)
    );
    assert_eq!(
        rule("pvpp", Market::Us, Colour::White).limits[0].evidence,
        Evidence::Secondary
    );
    assert!(
        rule("pvpp", Market::Us, Colour::White)
            .edition
            .contains("secondary list")
    );
}
#[test]
fn c12_chitosan_10_g_per_100_l_was_not_read() {
    near(
        memory_limit("chitosan", Market::Us, LimitKind::Dose).0,
        10.0,
        0.0,
    );
}
#[test]
fn c19_gum_arabic_8_lb_is_named_and_the_older_2_lb_binds() {
    let l = rule("gum_arabic", Market::Us, Colour::Red).limits[0];
    near(l.value, 24.0, 0.0);
    assert!(l.text.contains("8 lb is believed"));
}
#[test]
fn c20_c21_copper_6_mg_l_added_and_the_lower_residue_0_5() {
    assert_eq!(
        limit("copper_sulfate", Market::Us, Colour::White, LimitKind::Dose),
        (6.0, "mg/L", false)
    );
    assert_eq!(
        limit(
            "copper_sulfate",
            Market::Us,
            Colour::White,
            LimitKind::Residue
        ),
        (0.5, "mg/L", false)
    );
    assert!(
        rule("copper_sulfate", Market::Us, Colour::White)
            .edition
            .contains("secondary texts that disagree")
    );
    near(
        finding("copper_sulfate", Colour::White, Market::Us)
            .dose_cap
            .unwrap(),
        0.5,
        1e-9,
    );
}
#[test]
fn c22_to_c24_bitartrate_silica_and_metatartaric_acid_were_not_read() {
    for key in ["contact_process", "silica_sol", "egg_albumin"] {
        believed(key, Colour::Red, Market::Us);
    }
    not_verified("metatartaric", Colour::Red, Market::Us);
    // 35 lb per 1000 gal.
    near(
        memory_limit("bitartrate", Market::Us, LimitKind::Dose).0,
        35.0 * 11.9826,
        0.5,
    );
    // 20 lb of sol per 1000 gal is 239.7 g/hL, at 1.2 g/mL 199.7 mL/hL, the unit of the card.
    near(
        memory_limit("silica", Market::Us, LimitKind::Dose).0,
        20.0 * 11.9826 / 1.2,
        0.1,
    );
    // What is remembered bounds brine of fresh white; of dry white it says nothing.
    let egg = finding("egg_albumin", Colour::Red, Market::Us);
    assert!(egg.dose_cap.is_none() && egg.conditions[0].contains("no figure for dry white"));
}
#[test]
fn c55_china_cmc_and_metatartaric_acid_are_believed_not_approved() {
    not_verified("cmc", Colour::White, Market::Cn);
    not_verified("metatartaric", Colour::White, Market::Cn);
}
#[test]
fn perlite_is_read_where_it_was_and_taken_for_an_inert_earth_nowhere() {
    assert_eq!(
        finding("perlite_filtration", Colour::White, Market::Eu).legality,
        Legality::Permitted
    );
    assert_eq!(
        finding("perlite_filtration", Colour::White, Market::Au).legality,
        Legality::Permitted
    );
    believed("perlite_filtration", Colour::White, Market::Us);
    not_verified("perlite_filtration", Colour::White, Market::Ca);
    assert_eq!(
        finding("earth_filtration", Colour::White, Market::Ca).legality,
        Legality::Permitted
    );
}
/// A material that is listed with its figure unread is held to the lowest figure of any law: of
/// ascorbic acid South Africa has 150 mg/L, the Union 250.
#[test]
fn a_figure_that_was_not_read_is_held_to_the_lowest_known() {
    let f = finding("ascorbic_acid", Colour::White, Market::Us);
    assert_eq!(
        (f.legality, f.dose_cap),
        (Legality::Believed, Some(150.0)),
        "{}",
        f.note
    );
    assert!(f.note.contains("R1433"), "{}", f.note);
    // No law that was read has a figure for gelatin.
    assert_eq!(finding("gelatin", Colour::Red, Market::Us).dose_cap, None);
}
#[test]
fn pvpp_on_must_only_while_it_ferments() {
    let at = |stage| {
        findings(
            &Case::of(&Wine {
                stage: Some(stage),
                ..wine(Colour::White, Market::Eu)
            }),
            treatment("pvpp"),
        )
        .remove(0)
        .legality
    };
    assert_eq!(
        (at(Stage::Juice), at(Stage::Fermenting), at(Stage::Dry)),
        (Legality::NotKnown, Legality::Limited, Legality::Limited)
    );
}
/// Rows of the Union's list for wine alone say nothing of must.
#[test]
fn what_is_listed_for_wine_is_not_taken_for_must() {
    for key in [
        "metatartaric",
        "cmc",
        "polyaspartate",
        "gum_arabic",
        "mannoproteins",
        "citric_acid",
        "sorbate",
        "dmdc",
        "electrodialysis",
        "cation_exchange",
    ] {
        let must = Wine {
            stage: Some(Stage::Juice),
            ..wine(Colour::White, Market::Eu)
        };
        assert_eq!(
            findings(&Case::of(&must), treatment(key))[0].legality,
            Legality::NotKnown,
            "{key}"
        );
    }
}
#[test]
fn an_australian_certifier_100_and_150_with_50_more_from_2_g_l() {
    let organic = |colour, sugar| {
        most_so2(
            Wine {
                organic: vec![Organic::Au],
                ..wine(colour, Market::Au)
            },
            sugar,
        )
    };
    near(organic(Colour::Red, 1.0), 100.0, 0.0);
    near(organic(Colour::White, 1.0), 150.0, 0.0);
    near(organic(Colour::Red, 2.0), 150.0, 0.0);
    near(organic(Colour::Rose, 9.0), 200.0, 0.0);
}
#[test]
fn canada_organic_free_30_35_45_by_sugar_with_totals_from_memory() {
    let free = |sugar: &str| {
        let w = Wine {
            organic: vec![Organic::Ca],
            analyses: [(Quantity::Sugar, AsTyped(sugar.into()))].into(),
            ..wine(Colour::White, Market::Ca)
        };
        let row = *so2_limits(&Case::of(&w))
            .iter()
            .find(|l| l.schemes.contains(&Organic::Ca))
            .unwrap();
        assert_eq!(row.evidence, Evidence::Memory);
        row.most_free
    };
    assert_eq!(
        [free("10"), free("60"), free("120")],
        [Some(30.0), Some(35.0), Some(45.0)]
    );
}
#[test]
fn south_africa_older_sheet_200_in_all_and_60_free() {
    let row = so2_limits(&Case::of(&wine(Colour::White, Market::Za)))[0];
    assert_eq!((row.most, row.most_free), (200.0, Some(60.0)));
}
/// Sums over must and wine: where they stand, and nowhere else.
#[test]
fn sums_over_must_and_wine() {
    let mut sums: Vec<(&str, Law, f64)> = LAW
        .iter()
        .flat_map(|r| {
            r.limits
                .iter()
                .filter(|l| l.kind == LimitKind::Sum)
                .map(|l| (r.materials[0], r.law[0], l.value))
        })
        .collect();
    sums.dedup();
    let expected = [
        ("pvi_pvp", Law::Eu, 500.0),
        ("carbon", Law::Eu, 100.0),
        ("lysozyme", Law::Eu, 500.0),
        ("pvpp", Law::Us, 719.0),
        ("carbon", Law::Us, 299.6),
    ];
    assert_eq!(sums, expected);
}
/// E33, calcium phytate 8 g/hL, is no check: no figure is given for what only an authorised person
/// may do. C25, ferrous
/// sulfate, is none: the material is not among the treatments.
#[test]
fn rows_with_no_place_here() {
    assert!(
        LAW.iter()
            .filter(|r| r.materials.contains(&"phytate"))
            .all(|r| r.limits.is_empty())
    );
    assert!(TREATMENTS.iter().all(|t| t.material != "ferrous_sulfate"));
}
