//! Times a pH solve, a precipitation path, a full set of findings and a whole advice over the same
//! wines, natively or, built for wasm, in a
//! page: `make bench`. Prints microseconds for one of each as JSON; in a page it becomes the title.

use stillbright::advice::advise;
use stillbright::case::Case;
use stillbright::chemistry::acid::Acid;
use stillbright::chemistry::balance::Solution;
use stillbright::chemistry::bitartrate::{Path, Tartrate};
use stillbright::chemistry::solvent::Medium;
use stillbright::derived::findings;
use stillbright::dossier::Dossier;
use stillbright::route::model::{Act, Asks, Instance, Set};
use stillbright::route::search::{Search, search};
use stillbright::route::{RouteSearch, SEARCH_DRAWS, instance};
use stillbright::stability::draws::SLICE;
use stillbright::treatment::acceptability::first_counts;
use stillbright::units::*;
use stillbright::wine::*;

mod additive;

const WINES: u32 = 200;
/// Milliseconds each measure runs for at least.
const LEAST: f64 = 400.0;

#[cfg(not(target_arch = "wasm32"))]
fn milliseconds() -> f64 {
    use std::time::{SystemTime, UNIX_EPOCH};
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0.0, |d| d.as_secs_f64() * 1000.0)
}
#[cfg(target_arch = "wasm32")]
fn milliseconds() -> f64 {
    js_sys::Date::now()
}

fn wine(i: u32) -> (Solution, f64) {
    let f = f64::from(i) / f64::from(WINES);
    let mut acids = [0.0; 6];
    for ((slot, acid), g) in
        acids
            .iter_mut()
            .zip(Acid::ALL)
            .zip([2.0 + 2.0 * f, 3.0 - 2.0 * f, 0.5 + f, 0.6, 0.3, 0.4])
    {
        *slot = acid.moles(GPerL(g)).0;
    }
    let medium = Medium::wine(PercentVol(10.0 + 4.0 * f));
    let closed = Solution::closed(medium, acids, Ph(3.0 + 0.8 * f));
    (
        closed.unwrap_or(Solution {
            medium,
            acids,
            net_cations: 0.02,
        }),
        400.0 + 300.0 * f,
    )
}

/// Microseconds for one, over enough rounds of all wines; the sum keeps the work from being left
/// out.
fn time(mut one: impl FnMut(u32) -> f64) -> (f64, f64) {
    let (mut rounds, mut sum) = (0_u32, 0.0);
    let from = milliseconds();
    while milliseconds() - from < LEAST {
        sum += (0..WINES).map(&mut one).sum::<f64>();
        rounds += 1;
    }
    (
        (milliseconds() - from) * 1000.0 / f64::from(rounds * WINES),
        sum / f64::from(rounds),
    )
}

/// The same instance with a second act beside each, a little other in cost and effect: twice the
/// catalogue.
fn doubled(on: &Instance) -> Instance {
    let both = |s: &Set| {
        let mut twice = Set::default();
        (0..on.acts.len())
            .filter(|i| s.has(*i))
            .for_each(|i| [2 * i, 2 * i + 1].iter().for_each(|k| twice.add(*k)));
        twice
    };
    let asks = |of: &Asks| Asks {
        any: of.any.iter().map(|i| 2 * i).collect(),
        instead: both(&of.instead),
        ..of.clone()
    };
    let mut dice = 1_u64;
    let mut near = |x: f64| {
        dice = dice
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        x * (0.9 + 0.2 * ((dice >> 33) % 1000) as f64 / 1000.0)
    };
    let mut acts = Vec::new();
    for act in &on.acts {
        let first = Act {
            never: both(&act.never),
            together: both(&act.together),
            ahead: both(&act.ahead),
            after: act.after.as_ref().map(asks),
            before: act.before.iter().map(asks).collect(),
            ..act.clone()
        };
        let mut second = first.clone();
        let (cost, power) = (near(1.0), near(1.0));
        second
            .fixed
            .iter_mut()
            .chain(&mut second.per_dose)
            .for_each(|c| *c *= cost);
        second
            .effects
            .iter_mut()
            .flat_map(|e| &mut e.left)
            .flatten()
            .for_each(|l| *l = libm::pow(*l, power));
        acts.extend([first, second]);
    }
    Instance { acts, ..on.clone() }
}

/// Milliseconds for one, the median of seven, and what it gave.
fn once<T>(mut one: impl FnMut() -> T) -> (f64, T) {
    let mut last = one();
    let mut took: Vec<f64> = (0..7)
        .map(|_| {
            let from = milliseconds();
            last = one();
            milliseconds() - from
        })
        .collect();
    took.sort_by(f64::total_cmp);
    (took.get(3).copied().unwrap_or(0.0), last)
}

fn main() {
    let solutions: Vec<(Solution, f64)> = (0..WINES).map(wine).collect();
    let of = |i: u32| {
        solutions
            .get(i as usize)
            .copied()
            .unwrap_or_else(|| wine(i))
    };
    let ph = time(|i| of(i).0.ph().map_or(0.0, |p| p.0));
    let path = time(|i| {
        let (s, k) = of(i);
        Tartrate::new(s, MgPerL(k))
            .and_then(|t| Path::of(&t))
            .map_or(0.0, |p| p.points().len() as f64)
    });
    let whole = time(|i| {
        let f = f64::from(i) / f64::from(WINES);
        let typed = [
            (Quantity::Ph, 3.0 + 0.8 * f),
            (Quantity::Alcohol, 10.0 + 4.0 * f),
            (Quantity::Potassium, 400.0 + 300.0 * f),
            (Quantity::Tartaric, 2.0 + 2.0 * f),
            (Quantity::FreeSo2, 20.0),
            (Quantity::Malic, 2.0),
        ];
        let analyses = typed.map(|(q, v)| (q, AsTyped(format!("{v:.2}")))).into();
        findings(&Case::of(&Wine {
            analyses,
            volume: AsTyped("1000".into()),
            ..Wine::default()
        }))
        .values
        .len() as f64
    });
    // One wine with so many problems: law, ranking, 256 draws, findings, stabilities, what to
    // measure next.
    let described = |i: u32, problems: &[Problem]| {
        let f = f64::from(i) / f64::from(WINES);
        let analyses = [
            (Quantity::Ph, 3.0 + 0.8 * f),
            (Quantity::Alcohol, 12.0),
            (Quantity::Potassium, 600.0),
            (Quantity::Tartaric, 2.5),
        ];
        Wine {
            colour: Some(Colour::White),
            stage: Some(Stage::Dry),
            problems: problems.to_vec(),
            made_in: Some(Market::Eu),
            sold_in: vec![Market::Eu, Market::Us],
            claims: vec![Claim::Vegan],
            analyses: analyses
                .map(|(q, v)| (q, AsTyped(format!("{v:.2}"))))
                .into(),
            ..Wine::default()
        }
    };
    let three = [Problem::Protein, Problem::Crystals, Problem::Bitterness];
    let advised = |w: &Wine| {
        advise(&Dossier::of(w), None)
            .problems
            .iter()
            .map(|p| p.ranked.len() as f64)
            .sum()
    };
    let advice = time(|i| advised(&described(i, &three)));
    let every = time(|i| advised(&described(i, Problem::ALL)));
    // What a page at rest does between two turns.
    let lists: Vec<_> = (0..WINES)
        .map(|i| described(i, &[Problem::Haze]))
        .map(|w| (advise(&Dossier::of(&w), None).problems, w))
        .collect();
    let slice = time(|i| {
        let Some((problems, w)) = lists.get(i as usize) else {
            return 0.0;
        };
        problems
            .iter()
            .map(|p| {
                f64::from(
                    first_counts(&Dossier::of(w), p.problem, &p.ranked, 0..SLICE)
                        .iter()
                        .map(|n| n[0])
                        .max()
                        .unwrap_or(0),
                )
            })
            .sum()
    });
    // Routes: the additive instances that the general solvers are given too, and five needs of a
    // wine for every market.
    let instances: Vec<_> = (0..additive::COUNT)
        .map(|seed| additive::instance(&additive::written(seed)))
        .collect();
    let additive = time(|i| {
        instances
            .get(i as usize)
            .map_or(0.0, |on| search(on).best_by.len() as f64)
    });
    let five = [
        Problem::Protein,
        Problem::Crystals,
        Problem::Haze,
        Problem::Microbes,
        Problem::Browning,
    ];
    let of_colour = |colour| Wine {
        colour: Some(colour),
        sold_in: Market::ALL.to_vec(),
        claims: Vec::new(),
        ..described(100, &five)
    };
    let searched = |on: &Instance| {
        let front = search(on);
        [
            front.best_by.len() as f64,
            front.tried as f64,
            f64::from(u8::from(front.stopped)),
        ]
    };
    let colours = [Colour::White, Colour::Rose, Colour::Red];
    let routes = colours.map(|c| {
        once(|| {
            searched(&instance::build(&Dossier::of(&of_colour(c)), None, SEARCH_DRAWS).instance)
        })
    });
    let twice = colours
        .map(|c| {
            doubled(&instance::build(&Dossier::of(&of_colour(c)), None, SEARCH_DRAWS).instance)
        })
        .map(|on| once(|| searched(&on)));
    // Until a way is shown: the wine compiled, the first way found, its report over 1,000 draws; and
    // with twice the acts until a way is found.
    let first = colours.map(|c| {
        let dossier = Dossier::of(&of_colour(c));
        once(|| {
            let mut search = RouteSearch::of(&dossier, None);
            while !search.has_way() && !search.run(100) {}
            search.routes().routes.len() as f64
        })
    });
    let first_of_twice = colours.map(|c| {
        let on =
            doubled(&instance::build(&Dossier::of(&of_colour(c)), None, SEARCH_DRAWS).instance);
        once(|| {
            let mut search = Search::of(&on);
            while search.front().is_empty() && !search.run(&on, 100) {}
            search.front().tried as f64
        })
    });
    let first: Vec<String> = first
        .iter()
        .chain(&first_of_twice)
        .map(|(ms, _)| format!("{ms:.2}"))
        .collect();
    let first = first.join(",");
    let sum_of_routes: f64 = routes
        .iter()
        .chain(&twice)
        .flat_map(|(_, counted)| counted)
        .sum();
    let all = [&routes[..], &twice[..]].concat();
    let milliseconds: Vec<String> = all.iter().map(|(ms, _)| format!("{ms:.2}")).collect();
    let (milliseconds, tried) = (
        milliseconds.join(","),
        all.iter()
            .map(|(_, [_, tried, _])| tried.to_string())
            .collect::<Vec<_>>()
            .join(","),
    );
    let text = format!(
        "{{\"ph_us\":{:.3},\"path_us\":{:.3},\"findings_us\":{:.3},\"advice_us\":{:.3},\"every_us\":{:.3},\"slice_us\":{:.3},\"additive_us\":{:.3},\"routes_ms\":[{milliseconds}],\"first_ms\":[{first}],\"tried\":[{tried}],\"sums\":[{:.6},{:.0},{:.0},{:.0},{:.0},{:.0},{:.0},{sum_of_routes:.0}]}}",
        ph.0,
        path.0,
        whole.0,
        advice.0,
        every.0,
        slice.0,
        additive.0,
        ph.1,
        path.1,
        whole.1,
        advice.1,
        every.1,
        slice.1,
        additive.1
    );
    #[cfg(not(target_arch = "wasm32"))]
    println!("{text}");
    #[cfg(target_arch = "wasm32")]
    if let Some(document) = web_sys::window().and_then(|w| w.document()) {
        document.set_title(&text);
    }
}
