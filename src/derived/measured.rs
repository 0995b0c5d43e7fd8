//! What tests that were made say by themselves, and the oxygen that work brings.

use super::*;
use crate::case::Case;
use crate::chemistry::calcium::{CalciumRisk, risk};
use crate::chemistry::filter::{Filterability, class};
use crate::chemistry::ions;
use crate::chemistry::tartrate_test::{Verdict, highest_saturation, mini_contact};
use crate::units::*;

pub(super) fn tests(case: &Case, f: &mut Findings) {
    if let Some(drop) = measured(case, Quantity::ConductivityDrop) {
        f.answer(
            "Mini-contact test",
            mini_contact(Percent(drop)),
            "10 g/L of seed, 0 °C, 5-10 min: unstable from 5 % (Handbook of Enology), borderline from 3 %",
            Vec::new(),
            |v| {
                let words = match v {
                    Verdict::Stable => "stable by this test, today",
                    Verdict::Borderline => "borderline by this test",
                    Verdict::Unstable => "unstable by this test",
                };
                format!("{words}; it does not judge inhibitors or calcium tartrate")
            },
        );
    }
    if let Some(calcium) = measured(case, Quantity::Calcium) {
        let red = case.colour == Some(Colour::Red);
        f.answer(
            "Calcium tartrate",
            risk(MgPerL(calcium), red),
            "threshold only (AWRI): 60 mg/L in red, 80 in white and rosé; there is no model for wine",
            Vec::new(),
            |r| {
                if r == CalciumRisk::Likely { "a risk".into() } else { "below the threshold".into() }
            },
        );
    }
    if let Some(index) = measured(case, Quantity::CloggingIndex) {
        f.answer(
            "Clogging index",
            class(Seconds(index)),
            "0.65 µm, 2 bar: classes at 25, 50 and 100 s (trade article of 2014); before a membrane 20 s or less",
            Vec::new(),
            |c| {
                let words = match c {
                    Filterability::VeryGood => "very good",
                    Filterability::Acceptable => "acceptable: more filter area",
                    Filterability::Poor => "poor: filter before",
                    Filterability::Stop => "do not run it onto a membrane",
                };
                words.into()
            },
        );
    }
    if let (Some(alcohol), Some(storage)) = (
        measured(case, Quantity::Alcohol),
        measured(case, Quantity::StorageTemperature),
    ) && case.colour != Some(Colour::Red)
        && let Ok(alcohol) = if case.style == Some(Style::SparklingBase) {
            ions::after_second_fermentation(PercentVol(alcohol))
        } else {
            Ok(PercentVol(alcohol))
        }
        && let Ok(most) = highest_saturation(alcohol, Celsius(storage))
    {
        let value = format!(
            "{} °C, measured by conductivity, to stay clear at {} °C",
            show::fixed(most.0, 1),
            show::plain(storage)
        );
        f.say(
            "Highest saturation temperature",
            value,
            "15 °C above storage at 11 % vol, 12 °C above at 12.5 (Maujean; Handbook of Enology); it leaves colloids out",
            Vec::new(),
        );
    }
    if let Some(sugar) =
        at_most(case, Quantity::Sugar).filter(|s| *s > 0.2 && case.style != Some(Style::Juice))
    {
        let name = match measured(case, Quantity::Sugar) {
            Some(_) => "Carbon dioxide, should this sugar ferment",
            None => "Carbon dioxide at most, should this sugar ferment",
        };
        f.say(name, gas_words(sugar * 0.489), "sugar × 0.489", Vec::new());
    }
}

/// How much gas it is, g/L, and the worst that it does to a closed bottle, with how that is known.
fn gas_words(gas: f64) -> String {
    let amount = format!("{} g/L", show::fixed(gas, 1));
    match crate::knowledge::GAS.iter().rfind(|g| gas >= g.from) {
        Some(g) => format!("{amount}. {} ({})", g.means.text, g.means.how()),
        None => amount,
    }
}

/// What operations bring of oxygen by the tables, and the sulfur dioxide that it can spend.
pub(super) fn oxygen(case: &Case, f: &mut Findings) {
    if measured(case, Quantity::FreeSo2).is_none() {
        return;
    }
    let mut seen: Vec<(f64, f64)> = Vec::new();
    let mut words = Vec::new();
    for t in crate::knowledge::TREATMENTS
        .iter()
        .filter(|t| case.stage.is_none_or(|s| t.stages.contains(&s)))
    {
        let Some(a) = t
            .effects
            .iter()
            .find(|e| e.on == Quantity::Oxygen)
            .and_then(|e| e.adds)
        else {
            continue;
        };
        // Filters of several grades share a range: the first speaks for them.
        if !seen
            .iter()
            .any(|(l, h)| (l - a.low).abs() < 1e-9 && (h - a.high).abs() < 1e-9)
        {
            seen.push((a.low, a.high));
            words.push(format!(
                "{} {}",
                crate::units::show::lower(t.name),
                show::range(a.low, a.high)
            ));
        }
    }
    if !words.is_empty() {
        let spent = show::fixed(crate::chemistry::oxygen::SULFUR_PER_OXYGEN, 1);
        let how = "ranges of the treatments' own pages; two SO₂ for one oxygen (Danilewicz), less at first";
        f.say(
            "Oxygen an operation brings",
            format!(
                "{} mg/L; each mg/L spends up to {spent} mg/L of SO₂",
                words.join(", ")
            ),
            how,
            Vec::new(),
        );
    }
}
