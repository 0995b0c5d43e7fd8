//! Delegated Regulation (EU) 2019/934, Annex I Part B: total SO2 at release, split at 5 g/L of glucose + fructose.
use super::*;
use stillbright::law::so2_limit;

#[track_caller]
fn most(colour: Colour, sugar: f64, expected: f64) {
    assert_eq!(so2_limit(&wine(colour, Market::Eu), Some(sugar)).map(|l| l.most), Some(expected));
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
    assert_eq!(so2_limit(&wine(Colour::White, Market::Eu), None).map(|l| l.most), Some(200.0));
}
