//! Bitartrate: how far the wine is above saturation, and what a treatment that moves ions makes of
//! it.

use super::*;
use crate::case::Case;
use crate::chemistry::acid::{Acid, tartaric, turning_point};
use crate::chemistry::balance::Solution;
use crate::chemistry::bitartrate::{Saturation, Sign, Tartrate, ph_sign, saturated_product};
use crate::chemistry::ions;
use crate::chemistry::solvent::Medium;
use crate::units::*;

/// Composition closed to the measured pH, with what was assumed for what nobody measured; None
/// where the four values that
/// nothing replaces are not all there.
pub fn composition(case: &Case) -> Option<(Answer<Tartrate>, Vec<String>)> {
    let ph = measured(case, Quantity::Ph)?;
    let potassium = measured(case, Quantity::Potassium)?;
    let tartaric = measured(case, Quantity::Tartaric)?;
    let mut alcohol = measured(case, Quantity::Alcohol)?;
    let mut assumed = Vec::new();
    if case.style == Some(Style::SparklingBase)
        && let Ok(after) = ions::after_second_fermentation(PercentVol(alcohol))
    {
        alcohol = after.0;
        assumed.push(format!(
            "a sparkling base is judged at {} % vol, which it will have",
            show::fixed(alcohol, 1)
        ));
    }
    let done = case.malolactic == Some(Malolactic::Done);
    // Of an acid that was only found to lie below a bound, half of that.
    let below = |q: Quantity| {
        at_most(case, q)
            .filter(|_| measured(case, q).is_none())
            .map(|most| most / 2.0)
    };
    let mut taken = |name: &str, which: Option<Quantity>, typical: f64| match which
        .and_then(|q| measured(case, q))
    {
        Some(value) => value,
        None => {
            let typical = which.and_then(below).unwrap_or(typical);
            assumed.push(format!("{name} {} g/L", show::plain(typical)));
            typical
        }
    };
    let acetic = taken("acetic acid", Some(Quantity::VolatileAcidity), 0.4);
    let succinic = taken("succinic acid", None, 0.6);
    let citric = taken("citric acid", None, if done { 0.1 } else { 0.3 });
    assumed.push("ionic strength 0.05 mol/L; other ions from the charge balance".into());
    let made = |malic: f64, lactic: f64| {
        let mut acids = [0.0; 6];
        for ((slot, acid), grams) in acids
            .iter_mut()
            .zip(Acid::ALL)
            .zip([tartaric, malic, lactic, succinic, citric, acetic])
        {
            *slot = acid.moles(GPerL(grams)).0;
        }
        Solution::closed(Medium::wine(PercentVol(alcohol)), acids, Ph(ph))
    };
    // The acid that nobody measured follows from the titratable acidity, where that was; else a
    // typical amount stands in.
    let malic = measured(case, Quantity::Malic).or_else(|| {
        let half = below(Quantity::Malic)?;
        assumed.push(format!(
            "malic acid {} g/L, half of the bound that it lies below",
            show::plain(half)
        ));
        Some(half)
    });
    let fit = measured(case, Quantity::TitratableAcidity).and_then(|ta| {
        let over = |grams: f64| {
            let s = if malic.is_some() || done {
                made(malic.unwrap_or(0.1), grams)
            } else {
                made(grams, 0.2)
            };
            s.and_then(|s| s.titratable_acidity(Ph(7.0)))
                .map_or(f64::NAN, |t| t.0 - ta)
        };
        crate::chemistry::root_between(0.0, 10.0, over)
    });
    let (malic, lactic) = match (malic, done, fit) {
        (Some(m), _, Some(l)) => {
            assumed.push(format!(
                "lactic acid {} g/L, from the titratable acidity",
                show::plain(l)
            ));
            (m, l)
        }
        (None, true, Some(l)) => {
            assumed.push(format!(
                "malic acid 0.1 and lactic acid {} g/L, from the titratable acidity",
                show::plain(l)
            ));
            (0.1, l)
        }
        (None, false, Some(m)) => {
            assumed.push(format!(
                "lactic acid 0.2 and malic acid {} g/L, from the titratable acidity",
                show::plain(m)
            ));
            (m, 0.2)
        }
        (m, _, None) => {
            let lactic = if done { 1.5 } else { 0.2 };
            let malic = m.unwrap_or(if done { 0.1 } else { 2.0 });
            assumed.push(format!(
                "malic acid {}, lactic acid {} g/L",
                show::plain(malic),
                show::plain(lactic)
            ));
            (malic, lactic)
        }
    };
    Some((
        made(malic, lactic).and_then(|s| Tartrate::new(s, MgPerL(potassium))),
        assumed,
    ))
}

pub(super) fn tartrate(case: &Case, f: &mut Findings) {
    const PRODUCT: &str = "[K]·[tartaric acid]·share of bitartrate; constants of Robinson & Stokes with Davies' activities";
    const HANDBOOK: &str = "the same with the constants 3.01 and 4.05 of the Handbook of Enology, to hold against its limits";
    const SATURATION: &str = "fit of published solubilities, ±15 % in the product, about ±3 °C in the temperature, before colloids";
    const FALL: &str = "charge balance along the path; real cold gives half to two thirds of it";
    let missing: Vec<&str> = [
        Quantity::Ph,
        Quantity::Alcohol,
        Quantity::Potassium,
        Quantity::Tartaric,
    ]
    .into_iter()
    .filter(|q| measured(case, *q).is_none())
    .map(Quantity::label)
    .collect();
    if let (Some(ph), Some(alcohol)) = (
        measured(case, Quantity::Ph),
        measured(case, Quantity::Alcohol),
    ) {
        let m = Medium::wine(PercentVol(alcohol));
        f.answer(
            "Tartaric acid as bitartrate",
            tartaric(m, Ph(ph)),
            "mixed constants of tartaric acid at 20 °C, this alcohol and 0.05 mol/L",
            Vec::new(),
            |s| {
                let [_, one, ..] = s.share;
                show::percent(one)
            },
        );
        f.answer(
            "When bitartrate falls, the pH",
            ph_sign(m, Ph(ph)).and_then(|s| Ok((s, turning_point(m)?))),
            "turning point: mean of both mixed constants",
            Vec::new(),
            |(s, t)| {
                let what = match s {
                    Sign::Falls => "falls",
                    Sign::Rises => "rises",
                    Sign::NotSaid => {
                        "hardly moves: it lies too near the turning point to say which way"
                    }
                };
                format!("{what} (turning point {})", show::fixed(t.0, 2))
            },
        );
    }
    let Some((made, assumed)) = composition(case) else {
        f.lacks(&missing.join(", "), "how far the wine is above saturation with bitartrate, and what treatments do to its pH");
        return;
    };
    let wine_made = match made {
        Ok(t) => t,
        Err(e) => {
            f.say("Bitartrate", no_answer(&e), PRODUCT, assumed);
            return;
        }
    };
    let t = &wine_made;
    f.answer(
        "Concentration product of bitartrate",
        t.product(),
        PRODUCT,
        assumed.clone(),
        |p| format!("{}·10⁻⁵ (mol/L)²", show::fixed(p * 1e5, 1)),
    );
    f.answer("The same by the handbook's constants", t.handbook_product(), HANDBOOK, assumed.clone(), |p| {
        let red = case.colour == Some(Colour::Red);
        let (limit, kind) = if red { (30.0, "dry reds") } else { (16.5, "dry whites") };
        let side = if p * 1e5 > limit { "above" } else { "below" };
        format!("{}·10⁻⁵, {side} the limit of {}·10⁻⁵ remembered for {kind} (±25 %, not read): a test decides", show::fixed(p * 1e5, 1), show::plain(limit))
    });
    f.answer("Saturation temperature", t.saturation(), SATURATION, assumed.clone(), |x| match x {
        Saturation::At(x) => format!("{} °C, ±3 °C", show::fixed(x.0, 1)),
        Saturation::Above => "above 40 °C: supersaturated at any temperature in cellar or bottle, so crystals are to be feared; a test decides".into(),
        Saturation::Below => {
            "below −6 °C: not supersaturated at any temperature in cellar or bottle by this model; calcium is not in it, and a test decides".into()
        }
    });
    let storage = measured(case, Quantity::StorageTemperature);
    let at = Celsius(storage.unwrap_or(4.0));
    let mut with = assumed.clone();
    if storage.is_none() {
        with.push("stored at 4 °C".into());
    }
    f.answer(
        "Supersaturation where it is stored",
        t.supersaturation(at),
        SATURATION,
        with.clone(),
        |s| {
            format!(
                "{} times at {} °C: a driving force, not a verdict; colloids hold 2 to 3",
                show::fixed(s, 2),
                show::plain(at.0)
            )
        },
    );
    f.answer(
        "Bitartrate that could fall there",
        t.excess(at),
        FALL,
        with.clone(),
        |x| {
            if x.0 <= 0.0 {
                "none".into()
            } else {
                format!(
                    "at most {} g/L; in practice {} to {}",
                    show::fixed(x.0, 2),
                    show::fixed(x.0 * 0.5, 1),
                    show::fixed(x.0 * 0.67, 1)
                )
            }
        },
    );
    f.answer(
        "Buffer capacity",
        t.solution.buffer_capacity(),
        "ln10·([H⁺] + Σ c·(⟨z²⟩ − z²)); mixtures measured 15-30 % lower",
        assumed.clone(),
        |b| format!("{} mmol/L a pH unit", show::fixed(b.0 * 1000.0, 0)),
    );
    f.answer(
        "Titratable acidity these acids come to",
        t.titratable_acidity(),
        "charge balance to pH 7, as tartaric acid (OIV-MA-AS313-01)",
        assumed.clone(),
        |ta| {
            let own = measured(case, Quantity::TitratableAcidity);
            let gap = own.filter(|o| (o - ta.0).abs() > 1.0).map_or("", |_| ": more than 1 g/L from the one measured, so some analysis or assumption is off");
            format!("{} g/L{gap}", show::fixed(ta.0, 1))
        },
    );
    // The table has no row for a wine that is chilled to where the fit of solubilities ends.
    match super::coldest(case) {
        Ok(cold) => {
            if let Err(e) = t.excess(Celsius(cold)) {
                f.say(
                    "What chilling lets fall",
                    no_answer(&e),
                    SATURATION,
                    assumed.clone(),
                );
            }
        }
        Err(first) => f.say(
            "What chilling lets fall",
            first,
            SATURATION,
            assumed.clone(),
        ),
    }
    f.chart = chart(t, storage);
    f.changes = changes(case, t);
}

fn chart(t: &Tartrate, storage: Option<f64>) -> Option<Chart> {
    let product = t.product().ok()? * 1e5;
    let saturated = (-5..=30)
        .filter_map(|c| {
            Some((
                f64::from(c),
                saturated_product(t.solution.medium.at(Celsius(f64::from(c)))).ok()? * 1e5,
            ))
        })
        .collect();
    Some(Chart {
        product,
        saturated,
        saturation: t.saturation_temperature().ok().map(|c| c.0),
        storage,
    })
}

/// The wine as it is, then after each treatment that moves acids or potassium, at a usual strength.
fn changes(case: &Case, t: &Tartrate) -> Vec<Change> {
    let row = |name: String, key: &'static str, w: Answer<Tartrate>| -> Option<Change> {
        let w = w.ok()?;
        let (now, after) = (t.solution.ph().ok()?.0, w.solution.ph().ok()?.0);
        let move_by = after - now;
        Some(Change {
            name,
            key,
            potassium: w.potassium().0,
            tartaric: w.solution.amount(Acid::Tartaric).0 * Acid::Tartaric.molar_mass(),
            titratable_acidity: w.titratable_acidity().ok()?.0,
            ph: after,
            ph_low: now
                + if move_by < 0.0 {
                    move_by * 1.25
                } else {
                    move_by * 0.75
                },
            ph_high: now
                + if move_by < 0.0 {
                    move_by * 0.75
                } else {
                    move_by * 1.25
                },
        })
    };
    // The middle of half and two thirds of what saturation there would let fall.
    let chilled = |target: f64| {
        t.excess(Celsius(target))
            .and_then(|x| t.after_removing(GPerL(x.0 * 0.58)))
    };
    let cold = super::coldest(case).ok();
    [
        row("As it is".into(), "", Ok(*t)),
        cold.and_then(|c| {
            row(
                format!("Chilled at {} °C", show::fixed(c, 1)),
                "chill_static",
                chilled(c),
            )
        }),
        row(
            "Contact process at 0 °C".into(),
            "contact_process",
            t.excess(Celsius(0.0))
                .and_then(|x| t.after_removing(GPerL(x.0 * 0.65))),
        ),
        row(
            "Electrodialysis, 15 % of the ions".into(),
            "electrodialysis",
            ions::electrodialysis(t, 0.15),
        ),
        row(
            "Cation exchange of a tenth".into(),
            "cation_exchange",
            ions::cation_exchange(t, 0.1),
        ),
        row(
            "Tartaric acid, 1 g/L".into(),
            "tartaric_acid",
            ions::acid(t, Acid::Tartaric, GPerL(1.0)),
        ),
        row(
            "Potassium bicarbonate, 1 g/L".into(),
            "potassium_bicarbonate",
            ions::potassium_bicarbonate(t, GPerL(1.0)),
        ),
        row(
            "Calcium carbonate, 0.5 g/L".into(),
            "calcium_carbonate",
            ions::calcium_carbonate(t, GPerL(0.5)),
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The share of the titratable acidity that a treatment takes, by the charge balance, where the
/// analyses allow it: low, middle,
/// high. It stands in place of the judgement in the tables.
pub fn acidity_taken(case: &Case, key: &str) -> Option<[f64; 3]> {
    let (made, _) = composition(case)?;
    let all = changes(case, &made.ok()?);
    let now = all.iter().find(|c| c.key.is_empty())?.titratable_acidity;
    let after = all.iter().find(|c| c.key == key)?.titratable_acidity;
    let taken = ((now - after) / now).clamp(0.0, 1.0);
    // A tenth for the analyses behind it.
    Some([taken * 0.9, taken, (taken * 1.1).min(1.0)])
}
