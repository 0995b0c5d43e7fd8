//! What the markets, the schemes and the claims of a wine do to its lists and routes.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

use stillbright::advice::{Advice, advise};
use stillbright::case::Case;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{Dose, Estimate, TREATMENTS, Treatment};
use stillbright::law::{Legality, findings, hardest, organic, so2_limit};
use stillbright::route::routes;
use stillbright::rules::{Fact, Kind};
use stillbright::treatment::reasons;
use stillbright::units::day::Day;
use stillbright::wine::*;
use stillbright::work_order::{order::work_order, sheet};

fn today() -> Option<Day> {
    Day::read("2026-11-25")
}
fn of(key: &str) -> &'static Treatment {
    TREATMENTS.iter().find(|t| t.key == key).unwrap()
}
fn wine(colour: Colour, made: Market, sold: &[Market], problems: &[Problem]) -> Wine {
    Wine {
        colour: Some(colour),
        style: Some(Style::StillDry),
        stage: Some(Stage::Dry),
        made_in: Some(made),
        sold_in: sold.to_vec(),
        volume: AsTyped("5000".into()),
        problems: problems.to_vec(),
        ..Wine::default()
    }
}
/// What a list comes to: its answers, the order with the shares of first places, what is left out.
fn outcome(a: &Advice) -> Vec<String> {
    let of = |p: &stillbright::advice::ProblemAdvice| {
        let ranked: Vec<_> = p
            .ranked
            .iter()
            .map(|r| (r.key, r.rank, r.legality, r.first_in))
            .collect();
        format!(
            "{} {ranked:?} {:?}",
            p.answer,
            p.left_out.iter().map(|l| l.key).collect::<Vec<_>>()
        )
    };
    a.problems.iter().map(of).collect()
}

/// No import rule of these was read: selling there changes no list and no route, and is said once.
#[test]
fn a_border_rule_that_was_not_read_reorders_nothing() {
    for colour in [Colour::White, Colour::Red] {
        for far in [Market::Gb, Market::Za, Market::Cl, Market::Ar] {
            let home = wine(colour, Market::Eu, &[Market::Eu], Problem::ALL);
            let sold = wine(colour, Market::Eu, &[Market::Eu, far], Problem::ALL);
            let (near, there) = (
                advise(&Dossier::of(&home), today()),
                advise(&Dossier::of(&sold), today()),
            );
            assert_eq!(outcome(&near), outcome(&there), "{far:?}");
            assert!(near.law.is_empty());
            assert_eq!(there.law.len(), 1);
            assert!(
                there.law[0].contains(far.label()) && there.law[0].contains(Market::Eu.label()),
                "{:?}",
                there.law
            );
        }
    }
    let few = [Problem::Protein, Problem::Crystals];
    let (near, there) = (
        routes(
            &Dossier::of(&wine(Colour::White, Market::Eu, &[Market::Eu], &few)),
            today(),
        ),
        routes(
            &Dossier::of(&wine(
                Colour::White,
                Market::Eu,
                &[Market::Eu, Market::Gb],
                &few,
            )),
            today(),
        ),
    );
    assert_eq!((&near.answer, &near.routes), (&there.answer, &there.routes));
    assert!(
        near.law.is_empty()
            && there.law.len() == 1
            && !there.answer.contains("Confirm the law first")
    );
}

/// Some rows of these laws were read, others not. What was not read settles nothing; what was read,
/// or is believed to refuse, binds.
#[test]
fn what_was_read_of_an_import_law_binds() {
    let (mut refused, mut believed) = (0, 0);
    for (sold, style) in Market::ALL
        .iter()
        .flat_map(|m| [(m, Style::StillDry), (m, Style::Fortified)])
    {
        let w = Wine {
            style: Some(style),
            ..wine(Colour::White, Market::Eu, &[*sold], &[Problem::Crystals])
        };
        for t in TREATMENTS.iter() {
            let found = findings(&Case::of(&w), t);
            let Some(there) = found.get(1) else { continue };
            assert!(!found[0].border_unread, "the law at home is no border");
            let bound = hardest(&found).unwrap();
            if there.border_unread {
                assert_eq!(
                    (there.legality, bound),
                    (Legality::NotKnown, found[0].legality),
                    "{} in {sold:?}",
                    t.key
                );
            } else {
                assert_eq!(
                    bound,
                    found[0].legality.max(there.legality),
                    "{} in {sold:?}",
                    t.key
                );
            }
            if there.legality == Legality::Forbidden && found[0].legality != Legality::Forbidden {
                assert!(!reasons(&Dossier::of(&w), t).is_empty());
                refused += 1;
            }
            believed += usize::from(
                there.legality == Legality::NotKnown
                    && !there.border_unread
                    && found[0].legality.allows(),
            );
        }
    }
    assert!(
        refused > 0 && believed > 0,
        "else this test shows nothing: {refused} {believed}"
    );
    // Believed to be refused in Japan: behind what no text speaks against.
    let a = advise(
        &Dossier::of(&wine(
            Colour::White,
            Market::Eu,
            &[Market::Jp],
            &[Problem::Crystals],
        )),
        today(),
    );
    let place = |key: &str| {
        a.problems[0]
            .ranked
            .iter()
            .position(|r| r.key == key)
            .unwrap()
    };
    assert!(place("cmc") < place("polyaspartate"));
    assert!(
        a.law.len() == 1 && a.law[0].contains("in part: Japan"),
        "{:?}",
        a.law
    );
}

/// Where it is made is not said: each market's own law counts, read or not.
#[test]
fn with_no_home_an_unread_law_stays_unverified() {
    let w = Wine {
        made_in: None,
        ..wine(
            Colour::White,
            Market::Eu,
            &[Market::Eu, Market::Za],
            &[Problem::Protein],
        )
    };
    let a = advise(&Dossier::of(&w), today());
    assert!(
        a.law.is_empty()
            && a.problems[0]
                .ranked
                .iter()
                .all(|r| r.legality == Some(Legality::NotKnown))
    );
}

#[test]
fn settling_and_racking_are_no_question_of_law() {
    for made in Market::ALL {
        for sold in Market::ALL {
            let w = wine(Colour::Red, *made, &[*sold], &[Problem::Haze]);
            for key in ["wait_rack", "racking"] {
                assert!(
                    findings(&Case::of(&w), of(key))
                        .iter()
                        .all(|f| f.legality.allows() && !f.border_unread),
                    "{key}: {made:?} to {sold:?}: the [[law]] of 52-law-eu.toml with the material “racking” names the bodies of law whose texts ask no permission; is one missing?"
                );
            }
        }
    }
}

/// On paper too it is said once, and not under each step; the trial sheet marks no glass for it.
#[test]
fn papers_say_an_unread_border_once() {
    let step = |key: &str| PlanStep {
        treatment: key.into(),
        ..PlanStep::default()
    };
    let plan = vec![
        step("bentonite_sodium"),
        step("wait_rack"),
        step("polyaspartate"),
    ];
    let w = Wine {
        plan,
        ..wine(
            Colour::White,
            Market::Eu,
            &[Market::Gb],
            &[Problem::Protein],
        )
    };
    let order = work_order(&Dossier::of(&w));
    assert!(
        order
            .steps
            .iter()
            .all(|s| s.marks.iter().all(|m| !m.contains("confirm first"))),
        "{:?}",
        order.steps[0].marks
    );
    let paper = sheet::text("Order", &sheet::of_order(&Dossier::of(&w), &order));
    assert_eq!(
        paper.matches("Import rule not read: Great Britain").count(),
        1,
        "{paper}"
    );
    assert!(
        !stillbright::trial::design::design(&Dossier::of(&w), of("bentonite_sodium"))
            .unwrap()
            .legality
            .is_some_and(Legality::is_open)
    );
}

fn organic_red(schemes: &[Organic], total: &str) -> Wine {
    Wine {
        claims: vec![Claim::Organic],
        organic: schemes.to_vec(),
        analyses: [
            (Quantity::TotalSo2, AsTyped(total.into())),
            (Quantity::Sugar, AsTyped("1".into())),
        ]
        .into(),
        ..wine(
            Colour::Red,
            Market::Eu,
            &[Market::Eu, Market::Us],
            &[Problem::Microbes],
        )
    }
}
fn ranks(w: &Wine, key: &str) -> bool {
    advise(&Dossier::of(w), today()).problems[0]
        .ranked
        .iter()
        .any(|r| r.key == key)
}

fn most(w: &Wine) -> f64 {
    so2_limit(&Case::of(w)).unwrap().most
}

/// What is ticked decides: the scheme named binds alone, and none that is only assumed forbids
/// sulfites.
#[test]
fn the_claim_organic_does_not_forbid_sulfites_unasked() {
    let named = organic_red(&[Organic::Eu], "60");
    assert!(ranks(&named, "sulfur_dioxide") && (most(&named) - 100.0).abs() < 1e-9);
    let open = organic_red(&[], "60");
    assert!(ranks(&open, "sulfur_dioxide") && (most(&open) - 100.0).abs() < 1e-9);
    // Whoever names the scheme that admits none gets it, and the reason names it.
    let none_added = organic_red(&[Organic::Us], "60");
    assert!(!ranks(&none_added, "sulfur_dioxide") && (most(&none_added) - 10.0).abs() < 1e-9);
    assert!(
        reasons(&Dossier::of(&none_added), of("sulfur_dioxide"))
            .iter()
            .all(|r| r.because == Kind::Organic && r.ruling.witness == [Fact::Scheme(Organic::Us)])
    );
    for market in Market::ALL {
        let w = Wine {
            made_in: Some(*market),
            sold_in: vec![*market],
            ..organic_red(&[], "60")
        };
        let forbids = |s: &Organic| {
            organic(*s, of("sulfur_dioxide")).is_some_and(|r| r.verdict == Verdict::Forbidden)
        };
        assert!(!Case::of(&w).schemes().iter().any(forbids), "{market:?}");
    }
}

#[test]
fn what_was_taken_for_organic_is_said_with_where_to_change_it() {
    let said = |schemes: &[Organic]| {
        advise(&Dossier::of(&organic_red(schemes, "60")), today())
            .law
            .join(" ")
    };
    let open = said(&[]);
    assert!(
        open.contains("taken for it: EU organic, US made with organic grapes.")
            && open.contains("Choose it on the wine’s page"),
        "{open}"
    );
    assert!(said(&[Organic::Eu]).contains(
        "No organic scheme is named for this market, so none is checked: United States."
    ));
    assert_eq!(said(&[Organic::Eu, Organic::Us]), "");
    let far = Wine {
        made_in: Some(Market::Za),
        sold_in: vec![Market::Za],
        ..organic_red(&[], "60")
    };
    assert!(
        advise(&Dossier::of(&far), today())
            .law
            .join(" ")
            .contains("no organic list is checked")
    );
    assert!(
        routes(&Dossier::of(&organic_red(&[], "60")), today())
            .law
            .join(" ")
            .contains("taken for it")
    );
}

/// A limit of the scheme is a reason of the claim, once; one of the law is the law's.
#[test]
fn a_limit_of_a_scheme_is_no_law_of_the_market() {
    let because = |w: &Wine| reasons(&Dossier::of(w), of("sulfur_dioxide"));
    let over = organic_red(&[Organic::Eu], "99");
    assert!(
        because(&over).len() == 1
            && because(&over)
                .iter()
                .all(|r| r.because == Kind::Organic
                    && r.ruling.witness == [Fact::Scheme(Organic::Eu)]),
        "{:?}",
        because(&over)
    );
    let plain = Wine {
        claims: Vec::new(),
        ..organic_red(&[], "149")
    };
    assert!(
        because(&plain).iter().all(|r| r.because == Kind::Law) && !because(&plain).is_empty(),
        "{:?}",
        because(&plain)
    );
}

/// Of what each problem's list holds, and of the routes, nothing is permitted for other uses alone.
#[test]
fn a_permission_for_one_use_is_none_for_another() {
    let mut bound = 0;
    for made in [Market::Eu, Market::Gb, Market::Us, Market::Au] {
        for p in advise(
            &Dossier::of(&wine(Colour::Red, made, &[made], Problem::ALL)),
            today(),
        )
        .problems
        {
            for r in &p.ranked {
                assert!(
                    r.law
                        .iter()
                        .all(|f| f.only_for.is_empty() || f.only_for.contains(&p.problem)),
                    "{} for {:?} in {made:?}",
                    r.key,
                    p.problem
                );
                bound += r.law.iter().filter(|f| !f.only_for.is_empty()).count();
            }
        }
    }
    assert!(bound > 0, "else this test shows nothing");
}

/// Reg. 606/2009 Appendix 19: to lower the ethylphenols that microbes made. Its law elsewhere names
/// no use.
#[test]
fn the_membrane_with_carbon_is_not_for_smoke_in_the_union() {
    let key = "membrane_carbon";
    let list = |made: Market, problem: Problem| {
        advise(
            &Dossier::of(&wine(Colour::Red, made, &[made], &[problem])),
            today(),
        )
        .problems
        .remove(0)
    };
    for made in [Market::Eu, Market::Gb] {
        let smoke = list(made, Problem::Smoke);
        let out = smoke.left_out.iter().find(|l| l.key == key).unwrap();
        let words: Vec<String> = out
            .reasons
            .iter()
            .map(|r| r.words().1.to_string())
            .collect();
        assert!(
            words
                .iter()
                .any(|w| w.contains("permitted only for: off-odour")),
            "{words:?}"
        );
        assert!(
            list(made, Problem::OffOdour)
                .ranked
                .iter()
                .any(|r| r.key == key)
        );
    }
    assert!(
        list(Market::Au, Problem::Smoke)
            .ranked
            .iter()
            .any(|r| r.key == key)
    );
    // Sold elsewhere, the law of where it is made still binds.
    let away = advise(
        &Dossier::of(&wine(
            Colour::Red,
            Market::Eu,
            &[Market::Au],
            &[Problem::Smoke],
        )),
        today(),
    );
    assert!(away.problems[0].ranked.iter().all(|r| r.key != key));
    // Both named: it may be chosen for the odour, and counts for nothing against the smoke.
    let both = |made: Market| {
        stillbright::route::instance::build(
            &Dossier::of(&wine(
                Colour::Red,
                made,
                &[made],
                &[Problem::OffOdour, Problem::Smoke],
            )),
            None,
            8,
        )
    };
    let on_smoke = |built: &stillbright::route::instance::Built| {
        let at = built.acts.iter().position(|t| t.key == key).unwrap();
        let need = built
            .needs
            .iter()
            .position(|n| n.problem.problem == Problem::Smoke)
            .unwrap();
        built.instance.acts[at]
            .effects
            .iter()
            .any(|e| e.need == need && e.removes)
    };
    assert!(on_smoke(&both(Market::Au)) && !on_smoke(&both(Market::Eu)));
    // A plan that has it for smoke is told.
    let step = PlanStep {
        treatment: key.into(),
        ..PlanStep::default()
    };
    let planned = |problems: &[Problem]| {
        work_order(&Dossier::of(&Wine {
            plan: vec![step.clone()],
            ..wine(Colour::Red, Market::Eu, &[Market::Eu], problems)
        }))
    };
    let told = |problems: &[Problem]| {
        planned(problems).steps[0]
            .marks
            .iter()
            .any(|m| m.contains("permitted only for"))
    };
    assert!(
        told(&[Problem::Smoke])
            && !told(&[Problem::Smoke, Problem::OffOdour])
            && !told(&[Problem::Protein])
    );
}

/// OIV II.3.3.4: bitartrate is seeded to help tartrate fall, not to take acid.
#[test]
fn seeding_with_bitartrate_is_no_deacidification_in_the_union() {
    let has = |problem: Problem| {
        advise(
            &Dossier::of(&wine(Colour::White, Market::Eu, &[Market::Eu], &[problem])),
            today(),
        )
        .problems[0]
            .ranked
            .iter()
            .any(|r| r.key == "contact_process")
    };
    assert!(has(Problem::Crystals) && !has(Problem::Sourness));
}

/// Regulation (EU) 2019/934, Annex I Part B: at most 150 mg/L in a dry red, 200 in a dry white.
/// Where nobody said the colour the
/// tighter one holds, in the Union and in every market.
#[test]
fn a_wine_of_unknown_colour_gets_the_tightest_limit_on_sulfur_dioxide() {
    let most = |market: Market, colour: Option<Colour>| {
        so2_limit(&Case::of(&Wine {
            colour,
            ..wine(Colour::Red, market, &[market], &[])
        }))
        .map(|l| l.most)
    };
    let of_colours = [None, Some(Colour::Red), Some(Colour::White)].map(|c| most(Market::Eu, c));
    assert_eq!(of_colours, [Some(150.0), Some(150.0), Some(200.0)]);
    for market in Market::ALL.iter().copied() {
        let tightest = Colour::ALL
            .iter()
            .filter_map(|c| most(market, Some(*c)))
            .reduce(f64::min);
        assert_eq!(most(market, None), tightest, "{market:?}");
    }
}

/// PVPP in the Union: at most 80 g/hL (OIV II.3.4.9). A useful range that begins just there keeps
/// one lawful dose, one that begins
/// above it none.
#[test]
fn a_limit_at_the_least_useful_dose_leaves_that_dose() {
    let w = wine(
        Colour::White,
        Market::Eu,
        &[Market::Eu],
        &[Problem::Bitterness],
    );
    let useful_from = |low: f64| Treatment {
        dose: of("pvpp").dose.map(|d| Dose {
            range: Estimate { low, ..d.range },
            ..d
        }),
        ..*of("pvpp")
    };
    let too_low = |t: &Treatment| {
        reasons(&Dossier::of(&w), t).iter().any(|r| {
            r.because == Kind::Law && r.ruling.text.contains("below the least useful dose")
        })
    };
    assert!(!too_low(&useful_from(80.0)) && too_low(&useful_from(80.5)));
}
