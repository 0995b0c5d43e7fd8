//! OIV International Code of Oenological Practices, the sheets that EU rows refer to, with Reg.
//! (EC) 423/2008 Annex IV and
//! the appendices of Reg. (EC) 606/2009.
use super::*;
use stillbright::case::Case;
use stillbright::law::Legality;

#[test]
fn ii_3_4_9_pvpp_80_g_hl() {
    assert_eq!(
        limit("pvpp", Market::Eu, Colour::White, LimitKind::Dose),
        (80.0, "g/hL", false)
    );
    assert_eq!(
        finding("pvpp", Colour::White, Market::Eu).legality,
        Legality::Limited
    );
}
#[test]
fn ii_3_5_9_charcoal_less_than_100_g_hl() {
    assert_eq!(
        limit("carbon", Market::Eu, Colour::White, LimitKind::Sum),
        (100.0, "g/hL", true)
    );
}
#[test]
fn ii_3_5_9_charcoal_not_to_decolour_red_or_rose() {
    assert_eq!(
        finding("carbon_colour", Colour::Red, Market::Eu).legality,
        Legality::Forbidden
    );
    assert_eq!(
        finding("carbon_colour", Colour::Rose, Market::Eu).legality,
        Legality::Forbidden
    );
}
#[test]
fn ii_3_2_7_plant_proteins_less_than_50_g_hl() {
    assert_eq!(
        limit("plant_protein", Market::Eu, Colour::Red, LimitKind::Dose),
        (50.0, "g/hL", true)
    );
}
#[test]
fn reg_606_appendix_13_chitosan_10_g_hl_against_microbes() {
    assert_eq!(
        limit("chitosan", Market::Eu, Colour::Red, LimitKind::Dose),
        (10.0, "g/hL", false)
    );
    let cap = finding("chitosan", Colour::Red, Market::Eu).dose_cap;
    assert!(
        cap.is_some_and(|c| 12.0 > c),
        "a request for 12 g/hL is over the cap"
    );
}
#[test]
fn ii_3_3_14_cmc_below_200_mg_l_and_not_in_red() {
    assert_eq!(
        limit("cmc", Market::Eu, Colour::White, LimitKind::Dose),
        (200.0, "mg/L", true)
    );
    assert_eq!(
        finding("cmc", Colour::Rose, Market::Eu).legality,
        Legality::Limited
    );
    assert_eq!(
        finding("cmc", Colour::Red, Market::Eu).legality,
        Legality::Forbidden
    );
}
#[test]
fn reg_606_appendix_24_polyaspartate_100_mg_l() {
    assert_eq!(
        limit("polyaspartate", Market::Eu, Colour::Red, LimitKind::Dose),
        (100.0, "mg/L", false)
    );
}
#[test]
fn ii_3_3_7_metatartaric_10_g_hl() {
    assert_eq!(
        limit("metatartaric", Market::Eu, Colour::White, LimitKind::Dose),
        (10.0, "g/hL", false)
    );
}
#[test]
fn ii_3_5_8_copper_sulfate_1_g_hl_and_1_mg_l_left() {
    assert_eq!(
        limit("copper_sulfate", Market::Eu, Colour::White, LimitKind::Dose),
        (1.0, "g/hL", false)
    );
    assert_eq!(
        limit(
            "copper_sulfate",
            Market::Eu,
            Colour::White,
            LimitKind::Residue
        ),
        (1.0, "mg/L", false)
    );
}
#[test]
fn copper_salt_limit_is_2_55_mg_l_of_copper() {
    let share = treatment("copper_sulfate")
        .dose
        .unwrap()
        .active_share
        .unwrap();
    near(
        limit("copper_sulfate", Market::Eu, Colour::White, LimitKind::Dose).0 * 10.0 * share,
        2.545,
        0.01,
    );
    // At worst all of it stays, so that what may be left binds first, and more so where copper is
    // there already.
    near(
        finding("copper_sulfate", Colour::White, Market::Eu)
            .dose_cap
            .unwrap(),
        1.0,
        1e-9,
    );
    let mut w = wine(Colour::White, Market::Eu);
    w.analyses.insert(Quantity::Copper, AsTyped("0.7".into()));
    near(
        findings(&Case::of(&w), treatment("copper_sulfate"))[0]
            .dose_cap
            .unwrap(),
        0.3,
        1e-9,
    );
}
#[test]
fn ii_3_3_10_ferrocyanide_gets_no_dose() {
    let t = treatment("ferrocyanide");
    assert!(t.dose.is_none() && t.access == Access::Licensed && t.price.is_none());
    assert!(
        !finding("ferrocyanide", Colour::White, Market::Eu)
            .legality
            .allows()
    );
}
#[test]
fn table_1_rows_2a_and_3_cold_and_filtration() {
    assert_eq!(
        finding("chill_static", Colour::Red, Market::Eu).legality,
        Legality::Permitted
    );
    assert_eq!(
        finding("sheet_filtration", Colour::Red, Market::Eu).legality,
        Legality::Permitted
    );
}
#[test]
fn potassium_metabisulfite_holds_57_6_percent() {
    // 2·64.066/222.32, Practical Winery & Vineyard Jan 2014.
    near(
        treatment("sulfur_dioxide")
            .dose
            .unwrap()
            .active_share
            .unwrap(),
        0.5763,
        0.001,
    );
}
#[test]
fn copper_share_of_the_pentahydrate() {
    near(
        treatment("copper_sulfate")
            .dose
            .unwrap()
            .active_share
            .unwrap(),
        63.546 / 249.685,
        0.0003,
    );
}
