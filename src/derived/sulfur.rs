//! Molecular sulfur dioxide, and what brings the free to a target.

use super::*;
use crate::case::Case;
use crate::chemistry::sulfur;
use crate::units::*;

pub(super) fn dioxide(case: &Case, f: &mut Findings) {
    const FIELD: &str = "free / (1 + 10^(pH − 1.81)), the field constant (University of California 1982); no alcohol, no temperature";
    const OIV: &str = "the same with the OIV constant at 20 °C and this alcohol (OIV-MA-AS323-04C); held at 20 °C, so that a warm cellar never needs less";
    let Some(ph) = measured(case, Quantity::Ph).map(Ph) else {
        f.lacks("pH", "molecular SO₂ and the free SO₂ needed");
        return;
    };
    let red = if case.colour == Some(Colour::Red) {
        " Free SO₂ measured in reds may overstate protection."
    } else {
        ""
    };
    let needed = |aim: f64| sulfur::free_needed(MgPerL(aim), ph, sulfur::FIELD).map(|n| n.0);
    f.answer(
        "Free SO₂ for 0.5 and 0.8 mg/L molecular",
        needed(0.5).and_then(|a| Ok((a, needed(0.8)?))),
        FIELD,
        Vec::new(),
        |(a, b)| {
            let hard = if b > 60.0 {
                ". So much free SO₂ is hardly practical: lower the pH or take another hurdle"
            } else {
                ""
            };
            format!(
                "{} and {} mg/L{hard}.{red}",
                show::fixed(a, 0),
                show::fixed(b, 0)
            )
        },
    );
    let Some(free) = measured(case, Quantity::FreeSo2).map(MgPerL) else {
        f.lacks("Free SO₂", "molecular SO₂");
        return;
    };
    f.answer(
        "Molecular SO₂",
        sulfur::molecular(free, ph, sulfur::FIELD),
        FIELD,
        Vec::new(),
        |m| format!("{} mg/L.{red}", show::fixed(m.0, 2)),
    );
    addition(case, f, ph, free);
    if let Some(alcohol) = measured(case, Quantity::Alcohol).map(PercentVol) {
        let by_oiv = sulfur::oiv(alcohol).and_then(|pk| sulfur::molecular(free, ph, pk));
        f.answer(
            "Molecular SO₂, by the OIV constant",
            by_oiv,
            OIV,
            Vec::new(),
            |m| {
                format!(
                    "{} mg/L; the lower figure is the cautious one.",
                    show::fixed(m.0, 2)
                )
            },
        );
    }
}

/// Metabisulfite for the lot to reach the usual aim, what it does to the total, and the limit read
/// for this wine.
fn addition(case: &Case, f: &mut Findings, ph: Ph, free: MgPerL) {
    const HOW: &str = "g = rise × volume / (0.576 × share that stays free); 0.35 to 0.75 stay free, half until it is measured (Practical Winery 2014)";
    let Some(litres) = case.volume.given() else {
        f.lacks("Volume", "the metabisulfite for this lot");
        return;
    };
    let aim = if case.colour == Some(Colour::Red) {
        0.5
    } else {
        0.8
    };
    let Ok(needed) = sulfur::free_needed(MgPerL(aim), ph, sulfur::FIELD) else {
        return;
    };
    let rise = MgPerL(needed.0 - free.0);
    if rise.0 <= 0.0 {
        f.say(
            "Metabisulfite for this lot",
            format!("none: {} mg/L molecular is reached", show::plain(aim)),
            HOW,
            Vec::new(),
        );
        return;
    }
    let grams = |share: f64| {
        sulfur::addition(
            rise,
            Litres(litres),
            share,
            sulfur::Form::Metabisulfite(1.0),
        )
    };
    let answer = grams(0.5).and_then(|m| Ok((m, grams(0.75)?, grams(0.35)?)));
    let total = at_most(case, Quantity::TotalSo2);
    let limit = crate::law::so2_limit(case).map(|l| l.most);
    f.answer("Metabisulfite for this lot", answer, HOW, vec!["fresh potassium metabisulfite".into()], |(m, low, high)| {
        let after = match (total, limit) {
            (Some(t), Some(l)) if t + m.total_rise > l => {
                format!("to {} mg/L, over the limit of {}: not this way", show::fixed(t + m.total_rise, 0), show::plain(l))
            }
            (Some(t), Some(l)) => format!("to {} mg/L of the {} allowed", show::fixed(t + m.total_rise, 0), show::plain(l)),
            (Some(t), None) => format!("to {} mg/L", show::fixed(t + m.total_rise, 0)),
            (None, _) => "the total was not measured".into(),
        };
        format!(
            "{} g ({} to {}) for {} mg/L molecular, then measure after a day or two; the total rises by {} mg/L, {after}",
            show::fixed(m.amount, 0),
            show::fixed(low.amount, 0),
            show::fixed(high.amount, 0),
            show::plain(aim),
            show::fixed(m.total_rise, 0)
        )
    });
}
