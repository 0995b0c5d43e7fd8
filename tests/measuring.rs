//! How firm the first place is, and what measuring is worth, against cases worked by hand.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use stillbright::advice::{ProblemAdvice, advise};
use stillbright::wine::*;

fn one(wine: Wine, problem: Problem) -> ProblemAdvice {
    advise(&Wine { problems: vec![problem], stage: Some(Stage::Dry), ..wine }, None).problems.remove(0)
}

/// The typical rise of a red is a triangle 0, 1, 5 NTU; the limit 2. Inside: 1 − (5 − 2)²/((5 − 0)(5 − 1)) = 0.55.
#[test]
fn chance_that_nothing_is_needed_by_hand() {
    let m = one(Wine { colour: Some(Colour::Red), ..Wine::default() }, Problem::Protein).measure.unwrap();
    assert_eq!(m.quantity, Quantity::HeatRise);
    assert!((m.nothing_needed - 0.55).abs() < 0.01, "{}", m.nothing_needed);
    assert!(m.changes >= m.nothing_needed && m.changes <= 1.0);
}
/// White: 1, 10, 60 NTU: inside (2 − 1)²/((60 − 1)(10 − 1)) = 0.002.
#[test]
fn a_white_nearly_always_needs_something() {
    let m = one(Wine { colour: Some(Colour::White), ..Wine::default() }, Problem::Protein).measure.unwrap();
    assert!(m.nothing_needed < 0.01);
}
#[test]
fn what_was_measured_is_not_worth_measuring_again_unless_voided() {
    let mut w = Wine { colour: Some(Colour::White), analyses: [(Quantity::HeatRise, AsTyped("20".into()))].into(), ..Wine::default() };
    assert!(one(w.clone(), Problem::Protein).measure.is_none());
    w.stale = vec![Quantity::HeatRise];
    assert!(one(w, Problem::Protein).measure.is_some());
}
#[test]
fn shares_of_first_places_sum_to_one_and_repeat() {
    for (colour, problem) in [(Colour::White, Problem::Bitterness), (Colour::Red, Problem::Astringency), (Colour::White, Problem::Haze)] {
        let w = Wine { colour: Some(colour), ..Wine::default() };
        let (a, b) = (one(w.clone(), problem), one(w, problem));
        let sum: f64 = a.ranked.iter().map(|r| r.first_in).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert_eq!(a, b, "same wine, same figures");
    }
}
/// Two values, equally likely, 1 and 4, limit 2; one choice for 10 that takes all; 60 at stake. Doing nothing loses 30 on
/// average, the choice 10; knowing loses 0 and 10, 5 on average: it is worth 5.
#[test]
fn the_worth_of_knowing_by_hand() {
    use stillbright::treatment::acceptability::{Choice, worth_of_knowing};
    let one = [Choice { money: 10.0, removes: 1.0 }];
    assert!((worth_of_knowing(&one, &[1.0, 4.0], None, Some(2.0), 60.0) - 5.0).abs() < 1e-9);
    // With little at stake nothing is done either way, and knowing is worth nothing.
    assert!(worth_of_knowing(&one, &[1.0, 4.0], None, Some(2.0), 9.0).abs() < 1e-9);
    // A dear choice that only half helps: at 4, half of it gone reaches the limit.
    let half = [Choice { money: 50.0, removes: 0.5 }];
    assert!((worth_of_knowing(&half, &[1.0, 4.0], None, Some(2.0), 60.0) - (30.0 - 25.0)).abs() < 1e-9);
}
/// A treatment alone is first in every draw; none is first that cannot be used.
#[test]
fn alone_it_is_always_first() {
    let p = one(Wine { colour: Some(Colour::White), style: Some(Style::Juice), ..Wine::default() }, Problem::Smoke);
    let cures: Vec<_> = p.ranked.iter().filter(|r| !r.helper).collect();
    if cures.len() == 1 {
        assert!((cures[0].first_in - 1.0).abs() < 1e-9);
    }
    assert!(p.ranked.iter().filter(|r| r.helper != p.ranked[0].helper).all(|r| r.first_in.abs() < 1e-9));
}
