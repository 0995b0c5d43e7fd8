//! The draws: each sequence is keyed by a text, even, and goes its own way.
#![allow(missing_docs)]

use stillbright::advice::advise;
use stillbright::dossier::Dossier;
use stillbright::knowledge::TREATMENTS;
use stillbright::stability::draws::{DRAWS, Drawn, MANY, Sequence, error};
use stillbright::treatment::Ranked;
use stillbright::treatment::acceptability::first_counts;
use stillbright::wine::{Colour, Problem, Quantity, Stage, Wine};

/// Draws of a route.
const FEWEST: u32 = 64;

struct InUse {
    what: String,
    sequence: Sequence,
}

/// Every sequence that the tables can ask for.
fn in_use() -> Vec<InUse> {
    let counts = [
        Drawn::Effect,
        Drawn::Cost,
        Drawn::Time,
        Drawn::Origin,
        Drawn::Labour,
        Drawn::Lost,
        Drawn::Price,
    ];
    let quantities = Quantity::ALL.iter().map(|q| InUse {
        what: q.key().to_string(),
        sequence: Sequence::of_quantity(*q),
    });
    let treatments = TREATMENTS.iter().flat_map(|t| {
        let takes = t.effects.iter().map(|e| Drawn::Takes(e.on));
        counts
            .into_iter()
            .chain(takes)
            .map(|what| InUse {
                what: format!("{} {what:?}", t.key),
                sequence: Sequence::of_treatment(t.key, what),
            })
            .collect::<Vec<_>>()
    });
    quantities.chain(treatments).collect()
}

fn drawn(sequence: Sequence, n: u32) -> Vec<f64> {
    (0..n).map(|i| sequence.draw(i)).collect()
}

/// Worked out by a program of its own from the formulas in the comments of `draws.rs`: what was
/// drawn once is drawn for ever, whatever else the tables come to hold.
#[test]
fn a_draw_is_fixed_by_its_key() {
    let rise = Sequence::of_quantity(Quantity::HeatRise);
    let effect = Sequence::of_treatment("bentonite_sodium", Drawn::Effect);
    let takes = Sequence::of_treatment("bentonite_sodium", Drawn::Takes(Quantity::HeatRise));
    let expected = [
        (rise, 0, 0.929_687_5),
        (rise, 64, 0.613_281_25),
        (rise, 999, 0.250_488_281_25),
        (effect, 1, 0.882_812_5),
        (effect, 255, 0.439_453_125),
        (takes, 63, 0.257_812_5),
    ];
    for (sequence, index, value) in expected {
        assert!(
            (sequence.draw(index) - value).abs() < 1e-15,
            "{sequence:?} {index}"
        );
    }
}

/// The share of the draws below any limit is as far from the limit as is stated at most: the
/// greatest such distance lies at one of the draws.
#[test]
fn every_sequence_is_even() {
    for n in [FEWEST, DRAWS, MANY] {
        for InUse { what, sequence } in in_use() {
            let mut all = drawn(sequence, n);
            assert!(all.iter().all(|x| (0.0..1.0).contains(x)), "{what}");
            all.sort_by(f64::total_cmp);
            let share = |count: usize| count as f64 / f64::from(n);
            let worst = all
                .iter()
                .enumerate()
                .map(|(i, x)| (x - share(i)).abs().max((share(i + 1) - x).abs()))
                .fold(0.0, f64::max);
            assert!(worst < error(n), "{what}: {worst} in {n} draws");
        }
    }
}

/// The correlation of two sequences that have nothing to do with each other has a standard error
/// of `1/√n`, which is `error(n)`. Over all pairs it must be no greater on average, and no pair may
/// lie further out than chance would bring once in a thousand such tables (6 standard errors, for
/// some hundred thousand pairs). More sequences than draws cannot all be nearer: of more than n
/// directions in n dimensions some lean to each other (Welch 1974).
#[test]
fn no_two_sequences_go_together() {
    for n in [FEWEST, DRAWS, MANY] {
        let all: Vec<(String, Vec<f64>)> = in_use()
            .into_iter()
            .map(|s| {
                let values = drawn(s.sequence, n);
                let mean = values.iter().sum::<f64>() / f64::from(n);
                let apart: Vec<f64> = values.iter().map(|x| x - mean).collect();
                let size = apart.iter().map(|x| x * x).sum::<f64>().sqrt();
                (s.what, apart.iter().map(|x| x / size).collect())
            })
            .collect();
        let (mut squares, mut pairs) = (0.0, 0_u32);
        let mut worst = (0.0, String::new());
        for (at, (what, one)) in all.iter().enumerate() {
            for (other, values) in &all[..at] {
                let r: f64 = one.iter().zip(values).map(|(a, b)| a * b).sum();
                squares += r * r;
                pairs += 1;
                if r.abs() > worst.0 {
                    worst = (r.abs(), format!("{what} and {other}"));
                }
            }
        }
        let usual = (squares / f64::from(pairs)).sqrt();
        println!(
            "{n} draws, {pairs} pairs: {usual:.4} on average, {worst:?} at most, stated {}",
            error(n)
        );
        assert!(usual < 1.02 * error(n), "{n} draws: {usual} on average");
        assert!(worst.0 < 6.0 * error(n), "{n} draws: {worst:?}");
    }
}

fn list() -> (Wine, Vec<Ranked>) {
    let wine = Wine {
        colour: Some(Colour::Red),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Astringency],
        ..Wine::default()
    };
    let mut ranked = advise(&Dossier::of(&wine), None).problems.remove(0).ranked;
    ranked.retain(|r| !r.helper && r.hire.is_empty() && !r.never_enough);
    assert!(ranked.len() > 3, "else this shows nothing");
    (wine, ranked)
}

/// In how many draws each is first, by key.
fn firsts(wine: &Wine, ranked: &[Ranked]) -> Vec<(&'static str, [u32; 2])> {
    let counts = first_counts(&Dossier::of(wine), Problem::Astringency, ranked, 0..DRAWS);
    let mut all: Vec<_> = ranked.iter().map(|r| r.key).zip(counts).collect();
    all.sort_by_key(|(key, _)| *key);
    all
}

#[test]
fn a_list_turned_round_or_with_one_more_in_front_draws_the_same() {
    let (wine, ranked) = list();
    let before = firsts(&wine, &ranked);
    assert!(
        before.iter().filter(|(_, n)| n[0] > 0).count() > 2,
        "{before:?}"
    );
    let turned: Vec<Ranked> = ranked.iter().rev().cloned().collect();
    assert_eq!(firsts(&wine, &turned), before);
    // One that never wins: it does nothing.
    let mut idle = Ranked {
        key: "one_more",
        ..ranked[0].clone()
    };
    for span in [&mut idle.effect.value, &mut idle.cost.value] {
        (span.low, span.middle, span.high) = (0.0, 0.0, 0.0);
    }
    let mut longer = vec![idle];
    longer.extend(ranked);
    let mut after = firsts(&wine, &longer);
    after.retain(|(key, _)| *key != "one_more");
    assert_eq!(after, before);
}

/// Two that are alike in all but their key share the first places: their draws differ, though
/// neither has a place in any table.
#[test]
fn a_key_in_no_table_has_draws_of_its_own() {
    let (wine, ranked) = list();
    let alike = ["one_more", "another_one"].map(|key| Ranked {
        key,
        ..ranked[0].clone()
    });
    let counts = first_counts(&Dossier::of(&wine), Problem::Astringency, &alike, 0..MANY);
    for n in counts.iter().flatten() {
        let share = f64::from(*n) / f64::from(MANY);
        assert!((share - 0.5).abs() < error(MANY), "{counts:?}");
    }
}
