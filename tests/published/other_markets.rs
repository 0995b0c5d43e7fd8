//! Country sheets (China, Japan, Argentina, Chile, South Africa), as read; what was not read is not
//! verified.
use super::*;
use stillbright::law::Legality;

#[test]
fn china_polyaspartate_0_3_g_l() {
    assert_eq!(
        limit("polyaspartate", Market::Cn, Colour::White, LimitKind::Dose),
        (300.0, "mg/L", false)
    );
}
#[test]
fn china_250_to_45_g_l_of_sugar_and_400_above() {
    near(most_so2(wine(Colour::White, Market::Cn), 45.0), 250.0, 0.0);
    near(most_so2(wine(Colour::White, Market::Cn), 46.0), 400.0, 0.0);
}
#[test]
fn japan_pvi_pvp_0_50_g_l_and_so2_350() {
    assert_eq!(
        limit("pvi_pvp", Market::Jp, Colour::White, LimitKind::Dose),
        (500.0, "mg/L", false)
    );
    near(most_so2(wine(Colour::Red, Market::Jp), 1.0), 350.0, 0.0);
}
#[test]
fn argentina_dry_red_130_and_white_180() {
    near(most_so2(wine(Colour::Red, Market::Ar), 2.0), 130.0, 0.0);
    near(most_so2(wine(Colour::White, Market::Ar), 2.0), 180.0, 0.0);
    near(most_so2(wine(Colour::White, Market::Ar), 9.0), 210.0, 0.0);
}
#[test]
fn chile_250_and_sweet_400_with_a_limit_on_free() {
    near(most_so2(wine(Colour::White, Market::Cl), 2.0), 250.0, 0.0);
    near(
        most_so2(
            Wine {
                style: Some(Style::StillSweet),
                ..wine(Colour::White, Market::Cl)
            },
            60.0,
        ),
        400.0,
        0.0,
    );
}
#[test]
fn south_africa_ascorbic_150_and_gum_arabic_only_after_fermentation() {
    assert_eq!(
        limit("ascorbic", Market::Za, Colour::White, LimitKind::Dose),
        (150.0, "mg/L", false)
    );
    assert!(
        rule("gum_arabic", Market::Za, Colour::Red).conditions[0]
            .contains("after the fermentation")
    );
}
#[test]
fn a_market_with_no_rule_read_allows_nothing() {
    for market in [Market::Jp, Market::Cn, Market::Za, Market::Cl, Market::Ar] {
        assert_eq!(
            finding("bentonite_sodium", Colour::White, market).legality,
            Legality::NotKnown
        );
    }
}
