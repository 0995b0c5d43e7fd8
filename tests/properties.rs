//! What must hold for any wine.
#![allow(missing_docs)]

mod chance;

use proptest::prelude::*;
use proptest::sample::{select, subsequence};
use stillbright::advice::{advise, advise_with};
use stillbright::book::{read_file, write_wine};
use stillbright::dossier::Dossier;
use stillbright::knowledge::{TREATMENTS, Treatment, treatment};
use stillbright::law::Legality;
use stillbright::wine::*;

fn some<T: Clone + std::fmt::Debug + 'static>(
    all: &'static [T],
) -> impl Strategy<Value = Option<T>> {
    proptest::option::of(select(all))
}
fn many<T: Clone + std::fmt::Debug + 'static>(all: &'static [T]) -> impl Strategy<Value = Vec<T>> {
    subsequence(all, 0..=all.len())
}
prop_compose! {
    fn wines()(colour in some(Colour::ALL), style in some(Style::ALL), stage in some(Stage::ALL), problems in many(Problem::ALL),
        made_in in some(Market::ALL), sold_in in many(Market::ALL), claims in many(Claim::ALL), organic in many(Organic::ALL),
        typed in proptest::collection::btree_map(select(Quantity::ALL), ".{0,8}", 0..6), prices in proptest::collection::btree_map(select(vec!["casein", "pvpp", "nothing"]), "[0-9,.]{0,5}", 0..3), currency in "|EUR|CHF", volume in ".{0,6}", effect in 0_u8..11, cost in 0_u8..11,
        losses in proptest::collection::btree_map(select(vec!["protein", "haze", "nothing"]), "[0-9,.]{0,4}", 0..3), per_day in "[0-9]{0,2}", by_money in any::<bool>(), journey in some(Journey::ALL)) -> Wine {
        Wine { colour, style, stage, problems, made_in, sold_in, claims, organic, volume: AsTyped(volume),
            analyses: typed.into_iter().map(|(q, t)| (q, AsTyped(t))).collect(),
            prices: prices.into_iter().map(|(k, t)| (k.to_string(), AsTyped(t))).collect(), currency,
            losses: losses.into_iter().map(|(k, t)| (k.to_string(), AsTyped(t))).collect(), cost_per_day: AsTyped(per_day), by_money, journey,
            weights: Weights { effect, cost, ..Weights::default() }, ..Wine::default() }
    }
}
fn leak(list: Vec<Treatment>) -> &'static [Treatment] {
    Box::leak(list.into_boxed_slice())
}

proptest! {
    #![proptest_config(chance::tries(200))]

    #[test]
    fn a_claim_is_never_broken_and_forbidden_never_ranks(wine in wines()) {
        for p in advise(&Dossier::of(&wine), None).problems {
            for r in &p.ranked {
                let t = TREATMENTS.iter().find(|t| t.key == r.key).unwrap();
                prop_assert!(wine.claims.iter().all(|c| stillbright::rules::keeps_claim(*c, t)), "{}", r.key);
                prop_assert!(!r.legality.is_some_and(Legality::shuts_out) && t.access != Access::Licensed);
                prop_assert!(r.law.iter().all(|f| f.legality.allows() || f.legality.is_open()));
            }
            if wine.claims.contains(&Claim::Vegan) {
                prop_assert!(p.ranked.iter().all(|r| !["casein", "egg_albumin", "gelatin", "isinglass"].contains(&r.key)));
            }
            // Side by side: one value a treatment in each count, differences first.
            let keys: Vec<_> = TREATMENTS.iter().step_by(19).take(4).collect();
            let rows = stillbright::advice::setting(&Dossier::of(&wine), p.problem, None, |s| stillbright::treatment::compare::compare(&Dossier::of(&wine), s, &keys)).unwrap();
            prop_assert!(rows.iter().all(|r| r.values.len() == keys.len()));
            prop_assert!(rows.windows(2).all(|w| w[0].differs() >= w[1].differs()));
            // What is never enough with sugar left ranks last, before it what must be hired; else
            // not known of the law after clean ones,
            // and helpers after cures.
            let unsure = |r: &stillbright::treatment::Ranked| r.legality == Some(Legality::NotKnown) || !r.organic_unsure.is_empty();
            let classes: Vec<_> = p.ranked.iter().map(|r| (r.never_enough, !r.hire.is_empty(), unsure(r), r.helper)).collect();
            prop_assert!(classes.windows(2).all(|w| w[0] <= w[1]));
            // Nothing disappears silently.
            prop_assert_eq!(p.ranked.len() + p.left_out.len(), TREATMENTS.len());
            prop_assert!(p.left_out.iter().all(|l| !l.reasons.is_empty()));
            for r in &p.ranked {
                let figures = [r.total.low, r.total.high, r.expected_per_hl.low, r.expected_per_hl.middle, r.expected_per_hl.high, r.first_in, r.first_in_any.unwrap_or(0.0)];
                prop_assert!(figures.iter().all(|f| f.is_finite()) && r.expected_per_hl.low >= 0.0);
            }
            if wine.stage == Some(Stage::Bottled) { prop_assert!(p.ranked.is_empty()); }
        }
    }

    #[test]
    fn order_of_data_and_absence_of_others_do_not_reorder(wine in wines(), drop in 0..TREATMENTS.len()) {
        let full = advise(&Dossier::of(&wine), None);
        let reversed = advise_with(&Dossier::of(&wine), None, leak(TREATMENTS.iter().rev().copied().collect()));
        let (gone, agent) = (TREATMENTS.rows()[drop].key, TREATMENTS.rows()[drop].agent());
        let fewer = advise_with(&Dossier::of(&wine), None, leak(TREATMENTS.iter().filter(|t| t.key != gone).copied().collect()));
        for ((a, b), c) in full.problems.iter().zip(&reversed.problems).zip(&fewer.problems) {
            let keys = |p: &stillbright::advice::ProblemAdvice| p.ranked.iter().map(|r| r.key).collect::<Vec<_>>();
            prop_assert_eq!(keys(a), keys(b));
            // Another grade of the agent may take its place; all other agents keep theirs.
            let others = |p| keys(p).into_iter().filter(|k| treatment(k).unwrap().agent() != agent).collect::<Vec<_>>();
            prop_assert_eq!(others(a), others(c));
            prop_assert!(!keys(c).contains(&gone));
            for r in &c.ranked {
                let before = a.ranked.iter().find(|x| x.key == r.key).unwrap();
                prop_assert_eq!(before.total, r.total);
            }
        }
    }

    #[test]
    fn dearer_never_ranks_higher_for_it(wine in wines(), which in 0..TREATMENTS.len(), times in 1.0..50.0_f64) {
        let mut list = TREATMENTS.to_vec();
        let key = list[which].key;
        if let Some(p) = &mut list[which].price {
            p.amount.low *= times; p.amount.middle *= times; p.amount.high *= times;
        }
        let (before, after) = (advise(&Dossier::of(&wine), None), advise_with(&Dossier::of(&wine), None, leak(list)));
        for (a, b) in before.problems.iter().zip(&after.problems) {
            let find = |p: &stillbright::advice::ProblemAdvice| p.ranked.iter().position(|r| r.key == key).map(|i| (i, p.ranked[i].total.middle));
            if let (Some((i, was)), Some((j, is))) = (find(a), find(b)) {
                prop_assert!(j >= i && is <= was + 1e-12);
                prop_assert!(b.ranked[j].expected_per_hl.middle >= a.ranked[i].expected_per_hl.middle - 1e-9);
            }
        }
    }

    #[test]
    fn a_file_reads_back_as_it_was(wine in wines()) {
        prop_assert_eq!(read_file(&write_wine(&wine)), Ok(vec![wine.clone()]));
        prop_assert_eq!(Some(stillbright::json::write(&mut wine.clone())), serde_json::to_string(&wine).ok());
        prop_assert_eq!(Some(stillbright::json::write_spaced(&mut wine.clone())), serde_json::to_string_pretty(&wine).ok());
    }

    #[test]
    fn any_bytes_are_refused_without_panic(text in ".{0,200}") {
        prop_assert!(read_file(&text).is_err());
    }
}

/// By the library's own setting a property would keep its failures in a file of another name, and
/// `make long` would not try it more often.
#[test]
fn every_property_is_declared_with_its_tries() {
    let mut seen = 0;
    for path in std::fs::read_dir("tests")
        .unwrap()
        .map(|e| e.unwrap().path())
    {
        if path.extension().is_none_or(|x| x != "rs") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let count = |begin: &str| text.lines().filter(|l| l.trim().starts_with(begin)).count();
        assert_eq!(
            count("proptest! {"),
            count("#![proptest_config(chance::tries("),
            "{}",
            path.display()
        );
        seen += count("proptest! {");
    }
    assert!(seen > 9, "the tests could not be read: {seen}");
}
