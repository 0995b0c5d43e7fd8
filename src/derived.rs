//! What follows from the analyses of a wine by the equations of `chemistry`: each value with its equation's source and with
//! what was assumed for what nobody measured. Values appear as their inputs do; what is missing is said.

use crate::chemistry::acid::{Acid, tartaric, turning_point};
use crate::chemistry::balance::Solution;
use crate::chemistry::bitartrate::{Sign, Tartrate, ph_sign, saturated_product};
use crate::chemistry::calcium::{CalciumRisk, risk};
use crate::chemistry::cold::{Chilling, coldest_target, freezing_point};
use crate::chemistry::filter::{Filterability, class};
use crate::chemistry::solvent::Medium;
use crate::chemistry::tartrate_test::{Verdict, highest_saturation, mini_contact};
use crate::chemistry::{Answer, NoAnswer, ions, settling, sulfur};
use crate::units::*;
use crate::wine::*;
use serde::Serialize;

/// One value that follows.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Derived {
    /// What it is.
    pub name: &'static str,
    /// The value in words, with unit and spread.
    pub value: String,
    /// Equation and source.
    pub how: &'static str,
    /// What was assumed.
    pub assumed: Vec<String>,
}

/// A wine before or after a treatment that moves ions.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Change {
    /// What was done.
    pub name: String,
    /// Key of the treatment; empty for the wine as it is.
    pub key: &'static str,
    /// Potassium, mg/L.
    pub potassium: f64,
    /// Tartaric acid, g/L.
    pub tartaric: f64,
    /// Titratable acidity to pH 7, g/L as tartaric acid.
    pub titratable_acidity: f64,
    /// pH.
    pub ph: f64,
    /// Low end of the pH, since real wine buffers less than its acids in sum.
    pub ph_low: f64,
    /// High end.
    pub ph_high: f64,
}

/// The chart of bitartrate: concentration products, times 10⁵.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Chart {
    /// Product of the wine.
    pub product: f64,
    /// Saturated product by temperature, °C.
    pub saturated: Vec<(f64, f64)>,
    /// Temperature at which the wine is just saturated.
    pub saturation: Option<f64>,
    /// Storage temperature, where it was given.
    pub storage: Option<f64>,
}

/// All that follows.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Findings {
    /// Values.
    pub values: Vec<Derived>,
    /// What is missing, and what it would give.
    pub missing: Vec<String>,
    /// Before, and after each treatment that moves acids or potassium.
    pub changes: Vec<Change>,
    /// The chart.
    pub chart: Option<Chart>,
}

/// Works them out.
pub fn findings(wine: &Wine) -> Findings {
    let mut f = Findings::default();
    sulfur_dioxide(wine, &mut f);
    tartrate(wine, &mut f);
    tests(wine, &mut f);
    oxygen(wine, &mut f);
    cold_work(wine, &mut f);
    f
}

/// A reading that still holds.
fn measured(wine: &Wine, which: Quantity) -> Option<f64> {
    if crate::state::voided(wine, which) { None } else { wine.analysis(which)?.ok() }
}

impl Findings {
    fn say(&mut self, name: &'static str, value: String, how: &'static str, assumed: Vec<String>) {
        self.values.push(Derived { name, value, how, assumed });
    }

    fn lacks(&mut self, what: &str, gives: &str) {
        self.missing.push(format!("{what}: would give {gives}"));
    }

    /// Says an answer, or why there is none.
    fn answer<T>(&mut self, name: &'static str, answer: Answer<T>, how: &'static str, assumed: Vec<String>, words: impl FnOnce(T) -> String) {
        let value = match answer {
            Ok(x) => words(x),
            Err(e) => no_answer(&e),
        };
        self.say(name, value, how, assumed);
    }
}

/// Why there is no answer, in words.
pub fn no_answer(e: &NoAnswer) -> String {
    match e {
        NoAnswer::OutOfRange { what, value, least, most } => {
            format!("no answer: {what} is {}, and the equation was checked for {} to {}", show::plain(*value), show::plain(*least), show::plain(*most))
        }
        NoAnswer::Contradiction(why) | NoAnswer::NeverReached(why) => format!("no answer: {why}"),
    }
}

fn sulfur_dioxide(wine: &Wine, f: &mut Findings) {
    const FIELD: &str = "free / (1 + 10^(pH − 1.81)), the field constant (University of California 1982); no alcohol, no temperature";
    const OIV: &str = "the same with the OIV constant at 20 °C and this alcohol (OIV-MA-AS323-04C); held at 20 °C, so that a warm cellar never needs less";
    let Some(ph) = measured(wine, Quantity::Ph).map(Ph) else {
        f.lacks("pH", "molecular SO₂ and the free SO₂ needed");
        return;
    };
    let red = if wine.colour == Some(Colour::Red) { " Free SO₂ measured in reds may overstate protection." } else { "" };
    let needed = |aim: f64| sulfur::free_needed(MgPerL(aim), ph, sulfur::FIELD).map(|n| n.0);
    f.answer("Free SO₂ for 0.5 and 0.8 mg/L molecular", needed(0.5).and_then(|a| Ok((a, needed(0.8)?))), FIELD, Vec::new(), |(a, b)| {
        let hard = if b > 60.0 { ". So much free SO₂ is hardly practical: lower the pH or take another hurdle" } else { "" };
        format!("{} and {} mg/L{hard}.{red}", show::fixed(a, 0), show::fixed(b, 0))
    });
    let Some(free) = measured(wine, Quantity::FreeSo2).map(MgPerL) else {
        f.lacks("Free SO₂", "molecular SO₂");
        return;
    };
    f.answer("Molecular SO₂", sulfur::molecular(free, ph, sulfur::FIELD), FIELD, Vec::new(), |m| format!("{} mg/L.{red}", show::fixed(m.0, 2)));
    addition(wine, f, ph, free);
    if let Some(alcohol) = measured(wine, Quantity::Alcohol).map(PercentVol) {
        let by_oiv = sulfur::oiv(alcohol).and_then(|pk| sulfur::molecular(free, ph, pk));
        f.answer("Molecular SO₂, by the OIV constant", by_oiv, OIV, Vec::new(), |m| {
            format!("{} mg/L; the lower figure is the cautious one.", show::fixed(m.0, 2))
        });
    }
}

/// Metabisulfite for the lot to reach the usual aim, what it does to the total, and the limit read for this wine.
fn addition(wine: &Wine, f: &mut Findings, ph: Ph, free: MgPerL) {
    const HOW: &str = "g = rise × volume / (0.576 × share that stays free); 0.35 to 0.75 stay free, half until it is measured (Practical Winery 2014)";
    let Some(Ok(litres)) = wine.litres() else {
        f.lacks("Volume", "the metabisulfite for this lot");
        return;
    };
    let aim = if wine.colour == Some(Colour::Red) { 0.5 } else { 0.8 };
    let Ok(needed) = sulfur::free_needed(MgPerL(aim), ph, sulfur::FIELD) else { return };
    let rise = MgPerL(needed.0 - free.0);
    if rise.0 <= 0.0 {
        f.say("Metabisulfite for this lot", format!("none: {} mg/L molecular is reached", show::plain(aim)), HOW, Vec::new());
        return;
    }
    let grams = |share: f64| sulfur::addition(rise, Litres(litres), share, sulfur::Form::Metabisulfite(1.0));
    let answer = grams(0.5).and_then(|m| Ok((m, grams(0.75)?, grams(0.35)?)));
    let total = measured(wine, Quantity::TotalSo2);
    let limit = crate::law::so2_limit(wine).map(|l| l.most);
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

/// Composition closed to the measured pH, with what was assumed for what nobody measured; None where the four values that
/// nothing replaces are not all there.
pub fn composition(wine: &Wine) -> Option<(Answer<Tartrate>, Vec<String>)> {
    let ph = measured(wine, Quantity::Ph)?;
    let potassium = measured(wine, Quantity::Potassium)?;
    let tartaric = measured(wine, Quantity::Tartaric)?;
    let mut alcohol = measured(wine, Quantity::Alcohol)?;
    let mut assumed = Vec::new();
    if wine.style == Some(Style::SparklingBase)
        && let Ok(after) = ions::after_second_fermentation(PercentVol(alcohol))
    {
        alcohol = after.0;
        assumed.push(format!("a sparkling base is judged at {} % vol, which it will have", show::fixed(alcohol, 1)));
    }
    let done = wine.malolactic == Some(Malolactic::Done);
    let mut taken = |name: &str, which: Option<Quantity>, typical: f64| match which.and_then(|q| measured(wine, q)) {
        Some(value) => value,
        None => {
            assumed.push(format!("{name} {} g/L", show::plain(typical)));
            typical
        }
    };
    let acetic = taken("acetic acid", Some(Quantity::VolatileAcidity), 0.4);
    let succinic = taken("succinic acid", None, 0.6);
    let citric = taken("citric acid", None, if done { 0.1 } else { 0.3 });
    assumed.push("ionic strength 0.05 mol/L; other ions from the charge balance".into());
    let made = |malic: f64, lactic: f64| {
        let mut acids = [0.0; 7];
        for ((slot, acid), grams) in acids.iter_mut().zip(Acid::ALL).zip([tartaric, malic, lactic, succinic, citric, acetic]) {
            *slot = acid.moles(GPerL(grams)).0;
        }
        Solution::closed(Medium::wine(PercentVol(alcohol)), acids, Ph(ph))
    };
    // The acid that nobody measured follows from the titratable acidity, where that was; else a typical amount stands in.
    let malic = measured(wine, Quantity::Malic);
    let fit = measured(wine, Quantity::TitratableAcidity).and_then(|ta| {
        let over = |grams: f64| {
            let s = if malic.is_some() || done { made(malic.unwrap_or(0.1), grams) } else { made(grams, 0.2) };
            s.and_then(|s| s.titratable_acidity(Ph(7.0))).map_or(f64::NAN, |t| t.0 - ta)
        };
        crate::chemistry::root_between(0.0, 10.0, over)
    });
    let (malic, lactic) = match (malic, done, fit) {
        (Some(m), _, Some(l)) => {
            assumed.push(format!("lactic acid {} g/L, from the titratable acidity", show::plain(l)));
            (m, l)
        }
        (None, true, Some(l)) => {
            assumed.push(format!("malic acid 0.1 and lactic acid {} g/L, from the titratable acidity", show::plain(l)));
            (0.1, l)
        }
        (None, false, Some(m)) => {
            assumed.push(format!("lactic acid 0.2 and malic acid {} g/L, from the titratable acidity", show::plain(m)));
            (m, 0.2)
        }
        (m, _, None) => {
            let lactic = if done { 1.5 } else { 0.2 };
            let malic = m.unwrap_or(if done { 0.1 } else { 2.0 });
            assumed.push(format!("malic acid {}, lactic acid {} g/L", show::plain(malic), show::plain(lactic)));
            (malic, lactic)
        }
    };
    Some((made(malic, lactic).and_then(|s| Tartrate::new(s, MgPerL(potassium))), assumed))
}

fn tartrate(wine: &Wine, f: &mut Findings) {
    const PRODUCT: &str = "[K]·[tartaric acid]·share of bitartrate; constants of Robinson & Stokes with Davies' activities";
    const HANDBOOK: &str = "the same with the constants 3.01 and 4.05 of the Handbook of Enology, to hold against its limits";
    const SATURATION: &str = "fit of published solubilities, ±15 % in the product, about ±3 °C in the temperature, before colloids";
    const FALL: &str = "charge balance along the path; real cold gives half to two thirds of it";
    let missing: Vec<&str> = [Quantity::Ph, Quantity::Alcohol, Quantity::Potassium, Quantity::Tartaric]
        .into_iter()
        .filter(|q| measured(wine, *q).is_none())
        .map(Quantity::label)
        .collect();
    if let (Some(ph), Some(alcohol)) = (measured(wine, Quantity::Ph), measured(wine, Quantity::Alcohol)) {
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
                    Sign::NotSaid => "hardly moves: it lies too near the turning point to say which way",
                };
                format!("{what} (turning point {})", show::fixed(t.0, 2))
            },
        );
    }
    let Some((made, assumed)) = composition(wine) else {
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
    f.answer("Concentration product of bitartrate", t.product(), PRODUCT, assumed.clone(), |p| format!("{}·10⁻⁵ (mol/L)²", show::fixed(p * 1e5, 1)));
    f.answer("The same by the handbook's constants", t.handbook_product(), HANDBOOK, assumed.clone(), |p| {
        let red = wine.colour == Some(Colour::Red);
        let (limit, kind) = if red { (30.0, "dry reds") } else { (16.5, "dry whites") };
        let side = if p * 1e5 > limit { "above" } else { "below" };
        format!("{}·10⁻⁵, {side} the limit of {}·10⁻⁵ remembered for {kind} (±25 %, not read): a test decides", show::fixed(p * 1e5, 1), show::plain(limit))
    });
    f.answer("Saturation temperature", t.saturation_temperature(), SATURATION, assumed.clone(), |x| format!("{} °C, ±3 °C", show::fixed(x.0, 1)));
    let storage = measured(wine, Quantity::StorageTemperature);
    let at = Celsius(storage.unwrap_or(4.0));
    let mut with = assumed.clone();
    if storage.is_none() {
        with.push("stored at 4 °C".into());
    }
    f.answer("Supersaturation where it is stored", t.supersaturation(at), SATURATION, with.clone(), |s| {
        format!("{} times at {} °C: a driving force, not a verdict; colloids hold 2 to 3", show::fixed(s, 2), show::plain(at.0))
    });
    f.answer("Bitartrate that could fall there", t.excess(at), FALL, with.clone(), |x| {
        if x.0 <= 0.0 {
            "none".into()
        } else {
            format!("at most {} g/L; in practice {} to {}", show::fixed(x.0, 2), show::fixed(x.0 * 0.5, 1), show::fixed(x.0 * 0.67, 1))
        }
    });
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
            let own = measured(wine, Quantity::TitratableAcidity);
            let gap = own.filter(|o| (o - ta.0).abs() > 1.0).map_or("", |_| ": more than 1 g/L from the one measured, so some analysis or assumption is off");
            format!("{} g/L{gap}", show::fixed(ta.0, 1))
        },
    );
    f.chart = chart(t, storage);
    f.changes = changes(wine, t);
}

fn chart(t: &Tartrate, storage: Option<f64>) -> Option<Chart> {
    let product = t.product().ok()? * 1e5;
    let saturated = (-5..=30).filter_map(|c| Some((f64::from(c), saturated_product(t.solution.medium.at(Celsius(f64::from(c)))).ok()? * 1e5))).collect();
    Some(Chart { product, saturated, saturation: t.saturation_temperature().ok().map(|c| c.0), storage })
}

/// The wine as it is, then after each treatment that moves acids or potassium, at a usual strength.
fn changes(wine: &Wine, t: &Tartrate) -> Vec<Change> {
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
            ph_low: now + if move_by < 0.0 { move_by * 1.25 } else { move_by * 0.75 },
            ph_high: now + if move_by < 0.0 { move_by * 0.75 } else { move_by * 1.25 },
        })
    };
    let sugar = measured(wine, Quantity::Sugar).unwrap_or(0.0);
    let target = measured(wine, Quantity::Alcohol).and_then(|a| coldest_target(PercentVol(a), GPerL(sugar)).ok()).map_or(-4.0, |c| c.0.max(-5.0));
    // The middle of half and two thirds of what saturation there would let fall.
    let cold = t.excess(Celsius(target)).and_then(|x| t.after_removing(GPerL(x.0 * 0.58)));
    [
        row("As it is".into(), "", Ok(*t)),
        row(format!("Chilled at {} °C", show::fixed(target, 1)), "chill_static", cold),
        row("Contact process at 0 °C".into(), "contact_process", t.excess(Celsius(0.0)).and_then(|x| t.after_removing(GPerL(x.0 * 0.65)))),
        row("Electrodialysis, 15 % of the ions".into(), "electrodialysis", ions::electrodialysis(t, 0.15)),
        row("Cation exchange of a tenth".into(), "cation_exchange", ions::cation_exchange(t, 0.1)),
        row("Tartaric acid, 1 g/L".into(), "tartaric_acid", ions::acid(t, Acid::Tartaric, GPerL(1.0))),
        row("Potassium bicarbonate, 1 g/L".into(), "potassium_bicarbonate", ions::potassium_bicarbonate(t, GPerL(1.0))),
        row("Calcium carbonate, 0.5 g/L".into(), "calcium_carbonate", ions::calcium_carbonate(t, GPerL(0.5))),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The share of the titratable acidity that a treatment takes, by the charge balance, where the analyses allow it: low, middle,
/// high. It stands in place of the judgement in the tables.
pub fn acidity_taken(wine: &Wine, key: &str) -> Option<[f64; 3]> {
    let (made, _) = composition(wine)?;
    let all = changes(wine, &made.ok()?);
    let now = all.iter().find(|c| c.key.is_empty())?.titratable_acidity;
    let after = all.iter().find(|c| c.key == key)?.titratable_acidity;
    let taken = ((now - after) / now).clamp(0.0, 1.0);
    // A tenth for the analyses behind it.
    Some([taken * 0.9, taken, (taken * 1.1).min(1.0)])
}

fn tests(wine: &Wine, f: &mut Findings) {
    if let Some(drop) = measured(wine, Quantity::ConductivityDrop) {
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
    if let Some(calcium) = measured(wine, Quantity::Calcium) {
        let red = wine.colour == Some(Colour::Red);
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
    if let Some(index) = measured(wine, Quantity::CloggingIndex) {
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
    if let (Some(alcohol), Some(storage)) = (measured(wine, Quantity::Alcohol), measured(wine, Quantity::StorageTemperature))
        && wine.colour != Some(Colour::Red)
        && let Ok(alcohol) =
            if wine.style == Some(Style::SparklingBase) { ions::after_second_fermentation(PercentVol(alcohol)) } else { Ok(PercentVol(alcohol)) }
        && let Ok(most) = highest_saturation(alcohol, Celsius(storage))
    {
        let value = format!("{} °C, measured by conductivity, to stay clear at {} °C", show::fixed(most.0, 1), show::plain(storage));
        f.say(
            "Highest saturation temperature",
            value,
            "15 °C above storage at 11 % vol, 12 °C above at 12.5 (Maujean; Handbook of Enology); it leaves colloids out",
            Vec::new(),
        );
    }
    if let Some(sugar) = measured(wine, Quantity::Sugar).filter(|s| *s > 0.2 && wine.style != Some(Style::Juice)) {
        let gas = sugar * 0.489;
        let felt = if gas > 0.8 { ", felt as a prickle from about 0.8" } else { "" };
        f.say("Carbon dioxide, should this sugar ferment", format!("{} g/L{felt}", show::fixed(gas, 1)), "sugar × 0.489", Vec::new());
    }
}

/// Electricity to chill a lot and hold it 10 days, kWh per hL: insulated, insulated, bare. It stands in place of the figure in
/// the tables where volume and alcohol are known.
pub fn chilling_energy(wine: &Wine, to: Option<f64>) -> Option<[f64; 3]> {
    let litres = wine.litres()?.ok()?;
    let alcohol = PercentVol(measured(wine, Quantity::Alcohol)?);
    let sugar = GPerL(measured(wine, Quantity::Sugar).unwrap_or(0.0));
    let coldest = coldest_target(alcohol, sugar).ok()?.0;
    let to = Celsius(to.map_or(coldest, |t| t.max(coldest)));
    let days = if to.0 < -1.0 { 10.0 } else { 1.0 };
    let kwh = |wall: f64, performance: f64| {
        let tank = Chilling { volume: Litres(litres), alcohol, sugar, from: Celsius(15.0), to, around: Celsius(15.0), wall: WallHeat(wall) };
        let heat = KiloWattHours(tank.heat().ok()?.0 + tank.ingress(Days(days)).ok()?.0);
        Some(Chilling::electricity(heat, performance).ok()?.0 / (litres / 100.0))
    };
    Some([kwh(0.3, 3.0)?, kwh(0.3, 2.5)?, kwh(6.0, 2.0)?])
}

/// What operations bring of oxygen by the tables, and the sulfur dioxide that it can spend.
fn oxygen(wine: &Wine, f: &mut Findings) {
    if measured(wine, Quantity::FreeSo2).is_none() {
        return;
    }
    let mut seen: Vec<(f64, f64)> = Vec::new();
    let mut words = Vec::new();
    for t in crate::knowledge::TREATMENTS.iter().filter(|t| wine.stage.is_none_or(|s| t.stages.contains(&s))) {
        let Some(a) = t.effects.iter().find(|e| e.on == Quantity::Oxygen).and_then(|e| e.adds) else { continue };
        // Filters of several grades share a range: the first speaks for them.
        if !seen.iter().any(|(l, h)| (l - a.low).abs() < 1e-9 && (h - a.high).abs() < 1e-9) {
            seen.push((a.low, a.high));
            words.push(format!("{} {}", crate::units::show::lower(t.name), show::range(a.low, a.high)));
        }
    }
    if !words.is_empty() {
        let spent = show::fixed(crate::chemistry::oxygen::SULFUR_PER_OXYGEN, 1);
        let how = "ranges of the treatments' own pages; two SO₂ for one oxygen (Danilewicz), less at first";
        f.say("Oxygen an operation brings", format!("{} mg/L; each mg/L spends up to {spent} mg/L of SO₂", words.join(", ")), how, Vec::new());
    }
}

fn cold_work(wine: &Wine, f: &mut Findings) {
    const FREEZE: &str = "ethanol and water, less 1.86 °C for each mol/kg of solutes (0.25) and sugar; the target is half a degree above";
    const ENERGY: &str =
        "mass × heat capacity (4.2 to 4.4 kJ/(kg·K)) × fall, and U·A·ΔT through the wall: 0.3 W/(m²·K) insulated, 6 bare; coefficient of performance 2.5";
    let Some(alcohol) = measured(wine, Quantity::Alcohol).map(PercentVol) else {
        f.lacks("Alcohol", "the freezing point and the coldest target");
        return;
    };
    if wine.style == Some(Style::Juice) || wine.stage == Some(Stage::Juice) {
        return;
    }
    let mut assumed = Vec::new();
    let sugar = GPerL(measured(wine, Quantity::Sugar).unwrap_or_else(|| {
        assumed.push("dry".into());
        0.0
    }));
    let target = coldest_target(alcohol, sugar);
    f.answer("Freezing point, and the coldest target", freezing_point(alcohol, sugar).and_then(|p| Ok((p, target?))), FREEZE, assumed.clone(), |(p, t)| {
        format!("{} °C; chill to {} °C, not lower, whatever a rule of thumb says", show::fixed(p.0, 1), show::fixed(t.0, 1))
    });
    if let (Some(Ok(litres)), Ok(to)) = (wine.litres(), target) {
        assumed.push("from 15 °C in a cellar of 15 °C, held 10 days".into());
        let tank = Chilling { volume: Litres(litres), alcohol, sugar, from: Celsius(15.0), to, around: Celsius(15.0), wall: WallHeat(0.3) };
        let kwh = |wall: f64| {
            let tank = Chilling { wall: WallHeat(wall), ..tank };
            let heat = KiloWattHours(tank.heat()?.0 + tank.ingress(Days(10.0))?.0);
            Ok(Chilling::electricity(heat, 2.5)?.0)
        };
        f.answer("Electricity to chill this lot", kwh(0.3).and_then(|a| Ok((a, kwh(6.0)?))), ENERGY, assumed, |(a, b): (f64, f64)| {
            format!("{} kWh insulated, {} bare", show::fixed(a, 0), show::fixed(b, 0))
        });
    }
    let metre = |diameter: f64, heavier: f64| settling::days_to_fall(Millimetres(1000.0), Micrometres(diameter), KgPerM3(heavier), Celsius(12.0), Percent(0.5));
    let fall = metre(5.0, 105.0).and_then(|y| Ok((y, metre(20.0, 60.0)?)));
    f.answer(
        "Days to fall a metre at 12 °C",
        fall,
        "Stokes, wine viscosity after Yanniotis; a drift in the tank undoes it, and single bacteria never fall",
        Vec::new(),
        |(y, c)| format!("{} for a yeast cell of 5 µm, {} for a clump of 20 µm", show::fixed(y.0, 0), show::fixed(c.0, 1)),
    );
}
