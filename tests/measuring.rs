//! How firm the first place is, and what measuring is worth, against cases worked by hand.
#![allow(missing_docs)]

use stillbright::advice::{ProblemAdvice, advise};
use stillbright::dossier::Dossier;
use stillbright::wine::*;

fn one(wine: Wine, problem: Problem) -> ProblemAdvice {
    advise(
        &Dossier::of(&Wine {
            problems: vec![problem],
            stage: Some(Stage::Dry),
            ..wine
        }),
        None,
    )
    .problems
    .remove(0)
}

/// The typical rise of a red is a triangle 0, 1, 5 NTU; the limit 2. Inside: 1 − (5 − 2)²/((5 −
/// 0)(5 − 1)) = 0.55.
#[test]
fn chance_that_nothing_is_needed_by_hand() {
    let m = one(
        Wine {
            colour: Some(Colour::Red),
            ..Wine::default()
        },
        Problem::Protein,
    )
    .measure
    .unwrap();
    assert_eq!(m.quantity, Quantity::HeatRise);
    assert!(
        (m.nothing_needed - 0.55).abs() < 0.01,
        "{}",
        m.nothing_needed
    );
    assert!(m.changes >= m.nothing_needed && m.changes <= 1.0);
}
/// White: 1, 10, 60 NTU: inside (2 − 1)²/((60 − 1)(10 − 1)) = 0.002.
#[test]
fn a_white_nearly_always_needs_something() {
    let m = one(
        Wine {
            colour: Some(Colour::White),
            ..Wine::default()
        },
        Problem::Protein,
    )
    .measure
    .unwrap();
    assert!(m.nothing_needed < 0.01);
}
/// What must be confirmed first never takes the place of what is sure, so it cannot make a test
/// look worth its while either.
#[test]
fn what_is_not_verified_changes_nothing() {
    let w = Wine {
        colour: Some(Colour::White),
        made_in: Some(Market::Eu),
        sold_in: vec![Market::Eu],
        volume: AsTyped("5000".into()),
        ..Wine::default()
    };
    let p = one(w, Problem::Protein);
    let unsure = p
        .ranked
        .iter()
        .find(|r| r.legality == Some(stillbright::law::Legality::NotKnown) && !r.helper)
        .unwrap();
    assert!(
        unsure.total.middle > p.ranked[0].total.middle,
        "else this test shows nothing"
    );
    assert!(p.measure.unwrap().changes < 0.5);
}
#[test]
fn what_was_measured_is_not_worth_measuring_again_unless_voided() {
    let mut w = Wine {
        colour: Some(Colour::White),
        analyses: [(Quantity::HeatRise, AsTyped("20".into()))].into(),
        ..Wine::default()
    };
    assert!(one(w.clone(), Problem::Protein).measure.is_none());
    w.stale = vec![Quantity::HeatRise];
    assert!(one(w, Problem::Protein).measure.is_some());
}
#[test]
fn shares_of_first_places_sum_to_one_and_repeat() {
    for (colour, problem) in [
        (Colour::White, Problem::Bitterness),
        (Colour::Red, Problem::Astringency),
        (Colour::White, Problem::Haze),
    ] {
        let w = Wine {
            colour: Some(colour),
            ..Wine::default()
        };
        let (a, b) = (one(w.clone(), problem), one(w, problem));
        let sum: f64 = a.ranked.iter().map(|r| r.first_in).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert_eq!(a, b, "same wine, same figures");
    }
}
/// Two values, equally likely, 1 and 4, limit 2; one choice for 10 that takes all; 60 at stake.
/// Doing nothing loses 30 on
/// average, the choice 10; knowing loses 0 and 10, 5 on average: it is worth 5.
#[test]
fn the_worth_of_knowing_by_hand() {
    use stillbright::treatment::acceptability::{Choice, worth_of_knowing};
    let one = [Choice {
        money: 10.0,
        removes: 1.0,
    }];
    assert!((worth_of_knowing(&one, &[1.0, 4.0], None, Some(2.0), 60.0) - 5.0).abs() < 1e-9);
    // With little at stake nothing is done either way, and knowing is worth nothing.
    assert!(worth_of_knowing(&one, &[1.0, 4.0], None, Some(2.0), 9.0).abs() < 1e-9);
    // A dear choice that only half helps: at 4, half of it gone reaches the limit.
    let half = [Choice {
        money: 50.0,
        removes: 0.5,
    }];
    assert!(
        (worth_of_knowing(&half, &[1.0, 4.0], None, Some(2.0), 60.0) - (30.0 - 25.0)).abs() < 1e-9
    );
}
/// A treatment alone is first in every draw; none is first that cannot be used.
#[test]
fn alone_it_is_always_first() {
    let p = one(
        Wine {
            colour: Some(Colour::White),
            style: Some(Style::Juice),
            ..Wine::default()
        },
        Problem::Smoke,
    );
    let cures: Vec<_> = p.ranked.iter().filter(|r| !r.helper).collect();
    if cures.len() == 1 {
        assert!((cures[0].first_in - 1.0).abs() < 1e-9);
    }
    assert!(
        p.ranked
            .iter()
            .filter(|r| r.helper != p.ranked[0].helper)
            .all(|r| r.first_in.abs() < 1e-9)
    );
}

use stillbright::advice::Advice;
use stillbright::stability::draws::{DRAWS, MANY, error};
use stillbright::treatment::acceptability::{Bounds, Choice, first_counts, knowing};
use stillbright::treatment::ranking::Ranked;
use stillbright::treatment::scales;

fn typed(text: &str) -> AsTyped {
    AsTyped(text.into())
}
fn whole(w: &Wine) -> Advice {
    advise(
        &Dossier::of(w),
        stillbright::units::day::Day::read("2026-11-25"),
    )
}
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// The table, then the own figure for all, then the own figure for the problem.
#[test]
fn one_scale_of_loss() {
    let mut w = Wine {
        value_per_hl: typed("400"),
        problems: vec![Problem::Protein],
        ..Wine::default()
    };
    assert!(
        near(scales::loss(&Dossier::of(&w), Problem::Protein), 100.0),
        "25 % of 400"
    );
    assert!(
        whole(&w)
            .assumed
            .iter()
            .any(|a| a.taken == "Protein instability: 25 % of the wine's value")
    );
    w.loss_percent = typed("10");
    assert!(
        near(scales::loss(&Dossier::of(&w), Problem::Protein), 40.0)
            && near(scales::loss(&Dossier::of(&w), Problem::Mousy), 40.0)
    );
    w.losses = [("protein".to_string(), typed("50 %"))].into();
    assert!(
        near(scales::loss(&Dossier::of(&w), Problem::Protein), 200.0)
            && near(scales::loss(&Dossier::of(&w), Problem::Mousy), 40.0)
    );
    assert!(!whole(&w).assumed.iter().any(|a| a.what.starts_with("Loss")));
    assert!(
        near(scales::per_point(&Dossier::of(&w)), 0.4)
            && near(scales::per_day(&Dossier::of(&w)), 0.1)
    );
    w.cost_per_day = typed("2");
    w.losses.insert("protein".into(), typed("much"));
    assert_eq!(w.errors()[0].field, "losses.protein");
    assert!(
        near(scales::loss(&Dossier::of(&w), Problem::Protein), 40.0),
        "what cannot be read is not used"
    );
    assert!(near(scales::per_day(&Dossier::of(&w)), 2.0));
}
/// Expected money is product, labour, lost wine, days, impact and the loss that is left, and the
/// order by money goes by it.
#[test]
fn ranking_by_money() {
    let w = Wine {
        colour: Some(Colour::Red),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Astringency],
        cost_per_day: typed("0.5"),
        cost_per_point: typed("1"),
        by_money: true,
        ..Wine::default()
    };
    let p = &whole(&w).problems[0];
    for r in &p.ranked {
        let by_hand = r.money_per_hl.middle
            + 0.5 * r.days.middle
            + r.impact.iter().map(|(_, s)| 100.0 * s.middle).sum::<f64>()
            + 30.0 * (1.0 - r.effect.value.middle);
        assert!(
            (r.expected_per_hl.middle - by_hand).abs() < 1e-9,
            "{}: {} is not {by_hand}",
            r.key,
            r.expected_per_hl.middle
        );
        assert!(
            r.expected_per_hl.low <= r.expected_per_hl.middle
                && r.expected_per_hl.middle <= r.expected_per_hl.high
                && r.first_in_any.is_none()
        );
    }
    // Further grades of an agent come after all other agents.
    let alike = |t: &&[Ranked]| (t[0].helper, t[0].grade) == (t[1].helper, t[1].grade);
    for two in p.ranked.windows(2).filter(alike) {
        assert!(two[0].expected_per_hl.middle <= two[1].expected_per_hl.middle);
    }
    assert!((p.ranked.iter().map(|r| r.first_in).sum::<f64>() - 1.0).abs() < 1e-9);
    // Dearer days send the slow ones down.
    let place = |per_day: &str, key: &str| {
        let w = Wine {
            cost_per_day: typed(per_day),
            ..w.clone()
        };
        whole(&w).problems[0]
            .ranked
            .iter()
            .position(|r| r.key == key)
            .unwrap()
    };
    let slowest = p
        .ranked
        .iter()
        .filter(|r| !r.helper)
        .max_by(|a, b| a.days.middle.total_cmp(&b.days.middle))
        .unwrap()
        .key;
    assert!(place("20", slowest) > place("0", slowest));
    // The weights do not count then.
    let other = Wine {
        weights: Weights {
            effect: 0,
            cost: 10,
            time: 3,
            origin: 9,
        },
        ..w.clone()
    };
    let keys = |w: &Wine| {
        whole(w).problems[0]
            .ranked
            .iter()
            .map(|r| r.key)
            .collect::<Vec<_>>()
    };
    assert_eq!(keys(&w), keys(&other));
}
#[test]
fn to_do_nothing_costs_the_loss_where_the_need_is_not_met() {
    let at = |ntu: &str| {
        let analyses = [(Quantity::HeatRise, typed(ntu))].into();
        whole(&Wine {
            colour: Some(Colour::White),
            problems: vec![Problem::Protein],
            analyses,
            ..Wine::default()
        })
        .problems[0]
            .nothing_per_hl
    };
    assert!(near(at("20"), 50.0) && near(at("0.5"), 0.0));
    let p = one(
        Wine {
            colour: Some(Colour::Red),
            ..Wine::default()
        },
        Problem::Protein,
    );
    assert!(
        (p.nothing_per_hl - 50.0 * 0.45).abs() < 0.6,
        "{}",
        p.nothing_per_hl
    );
}
/// As above by hand: without knowing, the choice for 10; at 1 nothing is best, at 4 the choice: it
/// changes in one of two.
#[test]
fn how_often_knowing_changes_the_choice_by_hand() {
    let bounds = |own| Bounds {
        floor: None,
        ceiling: Some(2.0),
        own,
    };
    let half = [Choice {
        money: 10.0,
        removes: 0.5,
    }];
    let k = knowing(&half, &[1.0, 4.0], bounds(true), 60.0);
    assert!(near(k.changes, 0.5) && near(k.worth, 5.0));
    // Where it does not move the quantity itself, half of the loss is left: 10 and 40 on average
    // 25; knowing 0 and 40.
    let k = knowing(&half, &[1.0, 4.0], bounds(false), 60.0);
    assert!(near(k.worth, 5.0) && near(k.changes, 0.5));
    // A floor: 0.2 lies outside, 1 inside.
    let k = knowing(
        &[Choice {
            money: 4.0,
            removes: 1.0,
        }],
        &[0.2, 1.0],
        Bounds {
            floor: Some(0.5),
            ceiling: None,
            own: false,
        },
        20.0,
    );
    assert!(near(k.worth, 2.0) && near(k.changes, 0.5));
    assert!(near(knowing(&half, &[], bounds(true), 60.0).worth, 0.0));
}
#[test]
fn the_best_three_tests_are_worth_more_than_they_cost() {
    let w = Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Protein],
        volume: typed("50 hL"),
        ..Wine::default()
    };
    let m = whole(&w).measure_next;
    assert!(m.weighed >= 8 && m.best.len() == 3, "{m:?}");
    for x in &m.best {
        let [_, price, _] = x.price.unwrap();
        assert!((x.worth - 50.0 * x.worth_per_hl).abs() < 1e-9 && x.net > 0.0);
        assert!((x.net - (x.worth - price - x.days[1] * 0.1 * 50.0)).abs() < 1e-9);
        assert!((0.0..=1.0).contains(&x.changes));
    }
    assert!(m.best.windows(2).all(|t| t[0].net >= t[1].net));
    // A dearer test falls, and what was measured is not asked for.
    let first = m.best[0].quantity;
    let dear = Wine {
        test_prices: [(first, typed("900000"))].into(),
        ..w.clone()
    };
    assert!(
        whole(&dear)
            .measure_next
            .best
            .iter()
            .all(|x| x.quantity != first)
    );
    let known = Wine {
        analyses: [(first, typed(if first.is_yes_no() { "no" } else { "1" }))].into(),
        ..w.clone()
    };
    assert!(
        whole(&known)
            .measure_next
            .best
            .iter()
            .all(|x| x.quantity != first)
    );
    // A voided reading counts as a guess: it is asked for again.
    let voided = Wine {
        stale: vec![first],
        ..known
    };
    assert_eq!(whole(&voided).measure_next.weighed, m.weighed);
    // What comes after the bottling day is no use.
    let soon = Wine {
        bottling_day: "2026-11-25".into(),
        ..w.clone()
    };
    assert!(
        whole(&soon)
            .measure_next
            .best
            .iter()
            .all(|x| x.days[0] < 1e-9)
    );
}
/// A feared haze is asked for its own test first, and another test stands beside it, never in its
/// place.
#[test]
fn what_is_feared_is_measured_first() {
    let w = Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Protein],
        volume: typed("50 hL"),
        ..Wine::default()
    };
    let m = whole(&w).measure_next;
    assert!(
        m.best[0].quantity != Quantity::HeatRise,
        "else this test shows nothing"
    );
    assert!(
        m.answer.starts_with(
            "For what you named, measure first: heat test rise. Besides that, measure next: "
        ),
        "{}",
        m.answer
    );
    // Measured, or come too late: it is not asked for.
    let read = Wine {
        analyses: [(Quantity::HeatRise, typed("1"))].into(),
        ..w.clone()
    };
    assert!(
        whole(&read)
            .measure_next
            .answer
            .starts_with("Measure next: ")
    );
    // Of what nobody named nothing comes first.
    let open = Wine {
        problems: Vec::new(),
        ..w.clone()
    };
    assert!(
        whole(&open)
            .measure_next
            .answer
            .starts_with("Measure next: ")
    );
    // Where nothing is worth its price, what was named is asked for still.
    let cheap = Wine {
        loss_percent: typed("0"),
        ..w
    };
    let m = whole(&cheap).measure_next;
    assert!(
        m.best.is_empty()
            && m.answer.starts_with(
                "For what you named, measure first: heat test rise. Nothing more is worth its price"
            ),
        "{}",
        m.answer
    );
}
/// Side by side: each count has a name of its own, and money its unit, rounded as in the ranked
/// list.
#[test]
fn side_by_side_money_has_its_unit() {
    use stillbright::treatment::compare::compare;
    let w = Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        problems: vec![Problem::Protein],
        volume: typed("50 hL"),
        ..Wine::default()
    };
    let two: Vec<_> = stillbright::knowledge::TREATMENTS
        .iter()
        .filter(|t| t.key.starts_with("bentonite_"))
        .take(2)
        .collect();
    let rows = stillbright::advice::setting(&Dossier::of(&w), Problem::Protein, None, |s| {
        compare(&Dossier::of(&w), s, &two)
    })
    .unwrap();
    for (i, r) in rows.iter().enumerate() {
        let stem = |n: &str| n.trim_end_matches(" per hL").to_string();
        assert!(
            rows.iter()
                .skip(i + 1)
                .all(|o| stem(o.name) != stem(r.name)),
            "{} twice",
            r.name
        );
    }
    let of = |name: &str| &rows.iter().find(|r| r.name == name).unwrap().values;
    for name in [
        "Cost per hL",
        "Expected money per hL",
        "Cost of the product per hL",
        "Cost of the wine lost per hL",
        "Cost of labour per hL",
    ] {
        for v in of(name) {
            assert!(v.contains(" EUR"), "{name}: {v}");
            for number in v.split_once(" EUR").unwrap().0.split('–') {
                assert!(
                    number
                        .split_once('.')
                        .is_none_or(|(_, part)| part.len() == 1),
                    "{name}: {v}"
                );
            }
        }
    }
    assert!(
        of("Price").iter().all(|v| v.ends_with(" EUR per kg or L")),
        "{:?}",
        of("Price")
    );
    assert!(
        of("Wine lost").iter().all(|v| v.ends_with('%'))
            && of("Labour").iter().all(|v| v.ends_with('h'))
    );
}
#[test]
fn it_says_when_nothing_more_is_worth_measuring() {
    let w = Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        loss_percent: typed("0"),
        ..Wine::default()
    };
    let m = whole(&w).measure_next;
    assert!(
        m.best.is_empty()
            && m.weighed > 5
            && m.answer.starts_with("Nothing more is worth its price")
            && m.answer.contains("stays not known")
    );
    let bottled = Wine {
        stage: Some(Stage::Bottled),
        ..w
    };
    assert!(whole(&bottled).measure_next.best.is_empty());
}
/// By 256 draws and by 1,000, and by half and by double: figures agree within their stated error.
/// Slices add up.
#[test]
fn more_draws_agree_within_the_stated_error() {
    for (colour, problem) in [
        (Colour::White, Problem::Protein),
        (Colour::White, Problem::Bitterness),
        (Colour::Red, Problem::Astringency),
        (Colour::White, Problem::Haze),
        (Colour::Red, Problem::Brettanomyces),
    ] {
        for by_money in [false, true] {
            let w = Wine {
                colour: Some(colour),
                stage: Some(Stage::Dry),
                problems: vec![problem],
                by_money,
                ..Wine::default()
            };
            let p = whole(&w).problems.remove(0);
            let share = |n: u32| {
                first_counts(&Dossier::of(&w), problem, &p.ranked, 0..n)
                    .into_iter()
                    .map(|w| w.map(|x| f64::from(x) / f64::from(n)))
                    .collect::<Vec<_>>()
            };
            let (few, double, many) = (share(DRAWS), share(2 * DRAWS), share(MANY));
            for (i, r) in p.ranked.iter().enumerate() {
                assert!(
                    near(few[i][0], r.first_in)
                        && (by_money || near(few[i][1], r.first_in_any.unwrap()))
                );
                for k in 0..2 {
                    assert!(
                        (few[i][k] - double[i][k]).abs() < error(DRAWS)
                            && (few[i][k] - many[i][k]).abs() < error(DRAWS),
                        "{} {problem:?} {by_money}: {} {} {}",
                        r.key,
                        few[i][k],
                        double[i][k],
                        many[i][k]
                    );
                }
            }
            let sliced = (0..4)
                .map(|s| first_counts(&Dossier::of(&w), problem, &p.ranked, s * 250..(s + 1) * 250))
                .fold(vec![[0; 2]; p.ranked.len()], |mut sum, part| {
                    sum.iter_mut()
                        .zip(part)
                        .for_each(|(s, x)| *s = [s[0] + x[0], s[1] + x[1]]);
                    sum
                });
            assert_eq!(
                sliced,
                first_counts(&Dossier::of(&w), problem, &p.ranked, 0..MANY)
            );
            let sum: f64 = many.iter().map(|m| m[1]).sum();
            assert!(
                near(sum, if by_money { 0.0 } else { 1.0 }),
                "open weights: one first in each draw"
            );
        }
    }
}
/// The second figure is only there while the weights are as they came.
#[test]
fn whatever_the_weights_only_while_they_are_open() {
    let w = Wine {
        colour: Some(Colour::White),
        ..Wine::default()
    };
    assert!(
        one(w.clone(), Problem::Protein)
            .ranked
            .iter()
            .all(|r| r.first_in_any.is_some())
    );
    let set = Wine {
        weights: Weights {
            cost: 3,
            ..Weights::default()
        },
        ..w
    };
    assert!(
        one(set, Problem::Protein)
            .ranked
            .iter()
            .all(|r| r.first_in_any.is_none())
    );
}
