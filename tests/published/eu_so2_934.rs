//! Delegated Regulation (EU) 2019/934, Annex I Part B: total SO2 at release, split at 5 g/L of
//! glucose + fructose.
use super::*;
use stillbright::case::Case;
use stillbright::knowledge::SO2_LIMITS;

#[track_caller]
fn most(colour: Colour, sugar: f64, expected: f64) {
    near(most_so2(wine(colour, Market::Eu), sugar), expected, 0.0);
}

#[test]
fn a1a_red_dry_150() {
    most(Colour::Red, 4.9, 150.0);
}
#[test]
fn a1b_white_dry_200() {
    most(Colour::White, 3.0, 200.0);
}
#[test]
fn a1b_rose_dry_200() {
    most(Colour::Rose, 0.0, 200.0);
}
#[test]
fn a2a_red_from_5_is_200() {
    most(Colour::Red, 5.0, 200.0);
}
#[test]
fn a2b_white_from_5_is_250() {
    most(Colour::White, 5.0, 250.0);
}
#[test]
fn orange_follows_white_by_assumption() {
    most(Colour::Orange, 1.0, 200.0);
}
#[test]
fn sugar_not_known_takes_the_tighter_row() {
    assert_eq!(
        so2_limit(&Case::of(&wine(Colour::White, Market::Eu))).map(|l| l.most),
        Some(200.0)
    );
}
#[test]
fn a2c_spatlese_300_and_only_when_claimed() {
    let row = SO2_LIMITS
        .iter()
        .find(|l| l.article.ends_with("A.2(c)") && l.only_for.is_some())
        .unwrap();
    assert_eq!(
        (row.most, row.sugar_from, row.evidence),
        (300.0, Some(5.0), Evidence::InForce)
    );
    // It is never taken for a wine that only has the sugar.
    near(most_so2(wine(Colour::White, Market::Eu), 40.0), 250.0, 0.0);
}
#[test]
fn the_still_wine_rows_do_not_speak_for_sparkling_or_liqueur_wine() {
    for style in [Style::SparklingBase, Style::Fortified] {
        assert!(
            so2_limit(&Case::of(&Wine {
                style: Some(style),
                ..wine(Colour::White, Market::Eu)
            }))
            .is_none()
        );
    }
}
#[test]
fn great_britain_keeps_the_figures() {
    near(most_so2(wine(Colour::Red, Market::Gb), 1.0), 150.0, 0.0);
    let sweet = SO2_LIMITS.iter().find(|l| l.law == [Law::Gb]).unwrap();
    assert_eq!(
        (sweet.most, sweet.sugar_from, sweet.only_for.is_some()),
        (300.0, Some(45.001), true)
    );
}
