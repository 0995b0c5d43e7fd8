//! Prints cases and what this program makes of them as JSON, for the comparison with general
//! reference libraries in
//! `tests/reference`. Compositions come from a fixed sequence, so that each run compares the same
//! ones.

use serde_json::{Value, json};
use stillbright::chemistry::acid::Acid;
use stillbright::chemistry::balance::Solution;
use stillbright::chemistry::bitartrate::Tartrate;
use stillbright::chemistry::filter::vmax_line;
use stillbright::chemistry::solvent::Medium;
use stillbright::chemistry::{Answer, haze};
use stillbright::dossier::Dossier;
use stillbright::units::*;

/// A fixed sequence of numbers between 0 and 1.
struct Sequence(u64);
impl Sequence {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

fn solution(s: &mut Sequence, medium: Medium) -> Solution {
    // g/L at most of tartaric, malic, lactic, succinic, citric, acetic acid.
    let mut acids = [0.0; 6];
    for ((slot, acid), most) in acids
        .iter_mut()
        .zip(Acid::ALL)
        .zip([6.0, 5.0, 3.0, 1.5, 1.0, 1.0])
    {
        *slot = acid.moles(GPerL(most * s.next())).0;
    }
    Solution {
        medium,
        acids,
        net_cations: 0.002 + 0.03 * s.next(),
    }
}

fn water(s: &mut Sequence) -> Answer<Value> {
    let medium = Medium {
        temperature: Celsius(25.0),
        alcohol: PercentVol(0.0),
        ionic_strength: MolPerL(0.05),
    };
    let own = solution(s, medium).with_own_ions()?;
    Ok(
        json!({ "acids": own.acids, "net_cations": own.net_cations, "pk": Acid::ALL.map(|a| a.pka(own.medium)), "ph": own.ph()?.0 }),
    )
}

fn conditional(s: &mut Sequence) -> Answer<Value> {
    // Unit activity: no ions in the activity equation; the constants still follow temperature and
    // alcohol.
    let medium = Medium {
        temperature: Celsius(30.0 * s.next()),
        alcohol: PercentVol(16.0 * s.next()),
        ionic_strength: MolPerL(0.0),
    };
    let own = solution(s, medium);
    Ok(
        json!({ "acids": own.acids, "net_cations": own.net_cations, "pk": Acid::ALL.map(|a| a.mixed(own.medium)), "ph": own.ph()?.0 }),
    )
}

fn saturation(s: &mut Sequence) -> Answer<Value> {
    let alcohol = 9.0 + 6.0 * s.next();
    let ph = 3.0 + s.next();
    let grams = [1.5 + 2.5 * s.next(), 3.0, 1.0, 0.6, 0.3, 0.4];
    let potassium = 400.0 + 700.0 * s.next();
    let mut acids = [0.0; 6];
    for ((slot, acid), g) in acids.iter_mut().zip(Acid::ALL).zip(grams) {
        *slot = acid.moles(GPerL(g)).0;
    }
    let wine = Tartrate::new(
        Solution::closed(Medium::wine(PercentVol(alcohol)), acids, Ph(ph))?,
        MgPerL(potassium),
    )?;
    Ok(
        json!({ "alcohol": alcohol, "product": wine.product()?, "saturation": wine.saturation_temperature()?.0 }),
    )
}

fn blocking(s: &mut Sequence) -> Answer<Value> {
    let (vmax, q) = (1000.0 + 8000.0 * s.next(), 100.0 + 200.0 * s.next());
    let points: Vec<(f64, f64)> = (1..=8)
        .map(|t| {
            (
                f64::from(t),
                (1.0 / (1.0 / (q * f64::from(t)) + 1.0 / vmax)) * (0.98 + 0.04 * s.next()),
            )
        })
        .collect();
    let line = vmax_line(
        &points
            .iter()
            .map(|(t, v)| (Minutes(*t), Millilitres(*v)))
            .collect::<Vec<_>>(),
    )?;
    Ok(json!({ "points": points, "vmax": line.vmax.0, "start_flow": line.start_flow }))
}

fn adsorption(s: &mut Sequence) -> Answer<Value> {
    let (start, dose, q, k) = (
        10.0 + 200.0 * s.next(),
        150.0 * s.next(),
        100.0 + 250.0 * s.next(),
        0.03 + 0.12 * s.next(),
    );
    Ok(
        json!({ "start": start, "dose": dose, "capacity": q, "affinity": k, "left": haze::protein_left(MgPerL(start), GramsPerHl(dose), q, k)?.0 }),
    )
}

fn acceptability() -> Value {
    use stillbright::advice::advise;
    use stillbright::wine::{Colour, Problem, Stage, Wine};
    let cases = [
        (Colour::White, Problem::Bitterness),
        (Colour::Red, Problem::Astringency),
        (Colour::White, Problem::Browning),
        (Colour::Red, Problem::Brettanomyces),
    ];
    let rows = cases.map(|(colour, problem)| {
        let wine = Wine { colour: Some(colour), stage: Some(Stage::Dry), problems: vec![problem], ..Wine::default() };
        let advice = advise(&Dossier::of(&wine), None);
        let ranked = advice.problems.first().map(|p| p.ranked.clone()).unwrap_or_default();
        // Only what is as much of a cure, as much at hand and as much preferred as the first is drawn
        // against it.
        let class = |r: &stillbright::treatment::Ranked| {
            (r.never_enough, r.hire.is_empty(), r.preferred.is_empty(), r.helper)
        };
        let first = ranked.first().map(class);
        let span = |s: stillbright::treatment::Span| [s.low, s.middle, s.high];
        let alike: Vec<Value> = ranked
            .iter()
            .filter(|r| Some(class(r)) == first)
            .map(|r| json!({ "counts": [span(r.effect.value), span(r.cost.value), span(r.time.value), span(r.origin.value)], "first_in": r.first_in, "first_in_any": r.first_in_any }))
            .collect();
        json!({ "weights": [0.5, 0.2, 0.2, 0.1], "treatments": alike })
    });
    json!(rows)
}

fn knowing(s: &mut Sequence) -> Answer<Value> {
    use stillbright::treatment::acceptability::{Choice, worth_of_knowing};
    let choices: Vec<Choice> = (0..4)
        .map(|_| Choice {
            money: 20.0 * s.next(),
            removes: s.next(),
        })
        .collect();
    let (low, ceiling, stake) = (0.5 * s.next(), 1.0 + 3.0 * s.next(), 20.0 + 80.0 * s.next());
    let (middle, high) = (low + 2.0 * s.next(), low + 2.0 + 8.0 * s.next());
    let values: Vec<f64> = (0..256)
        .map(|i| {
            stillbright::stability::draws::triangle(
                low,
                middle,
                high,
                stillbright::stability::draws::share(stillbright::wine::Quantity::HeatRise, i),
            )
        })
        .collect();
    let worth = worth_of_knowing(&choices, &values, None, Some(ceiling), stake);
    Ok(
        json!({ "choices": choices.iter().map(|c| [c.money, c.removes]).collect::<Vec<_>>(), "spread": [low, middle, high], "ceiling": ceiling, "stake": stake, "worth": worth }),
    )
}

/// A normal deviate from two even ones (Box and Muller 1958).
fn normal(s: &mut Sequence) -> f64 {
    let (a, b) = (s.next().max(1e-12), s.next());
    libm::sqrt(-2.0 * libm::log(a)) * libm::cos(2.0 * std::f64::consts::PI * b)
}

/// A simulated heat-test ladder: a true falling curve, readings with the stated error of the test,
/// and what the reading of
/// the trial makes of them.
fn ladder(s: &mut Sequence) -> Answer<Value> {
    use stillbright::knowledge::{STABILITIES, TREATMENTS};
    use stillbright::trial::fit::{Shape, decay, falling};
    use stillbright::wine::{AsTyped, Colour, Quantity, Rung, Stage, Trial, Wine};
    let missing = stillbright::chemistry::NoAnswer::Contradiction("the tables changed");
    let test = STABILITIES
        .iter()
        .find(|x| x.quantity == Quantity::HeatRise)
        .ok_or(missing)?;
    let t = TREATMENTS
        .iter()
        .find(|t| t.key == "bentonite_sodium")
        .ok_or(missing)?;
    let (start, rungs, langmuir) = (
        5.0 + 55.0 * s.next(),
        4 + (4.0 * s.next()) as usize,
        s.next() < 0.5,
    );
    // The limit of 2 NTU is met somewhere on the ladder or a little above it.
    let meets = 30.0 + 90.0 * s.next();
    let rate = if langmuir {
        (start / 2.0 - 1.0) / meets
    } else {
        libm::log(start / 2.0) / meets
    };
    let rows: Vec<(f64, f64, f64, usize)> = (0..=rungs)
        .map(|i| {
            let dose = 20.0 * i as f64;
            let truth = if langmuir {
                start / (1.0 + rate * dose)
            } else {
                start * libm::exp(-rate * dose)
            };
            let times = 1 + usize::from(s.next() < 0.25);
            let error = libm::sqrt(
                test.error_plus * test.error_plus
                    + test.error_share * test.error_share * truth * truth,
            );
            let value = (0..times)
                .map(|_| (truth + error * normal(s)).max(0.0))
                .sum::<f64>()
                / times as f64;
            (dose, truth, value, times)
        })
        .collect();
    // Glasses read twice are given twice at their mean, which weighs the same; decimals as the file
    // reads them.
    let typed = |x: f64| AsTyped(format!("{x:.12}"));
    let glasses = rows
        .iter()
        .flat_map(|(d, _, y, n)| {
            std::iter::repeat_n(
                Rung {
                    dose: typed(*d),
                    reading: typed(*y),
                    ..Rung::default()
                },
                *n,
            )
        })
        .collect();
    let trial = Trial {
        treatment: t.key.into(),
        quantity: Some(Quantity::HeatRise),
        test: "one".into(),
        rungs: glasses,
        ..Trial::default()
    };
    let wine = Wine {
        colour: Some(Colour::White),
        stage: Some(Stage::Dry),
        trials: vec![trial],
        ..Wine::default()
    };
    let read = stillbright::trial::read(&Dossier::of(&wine), t).ok_or(missing)?;
    let points: Vec<(f64, f64, f64)> = rows
        .iter()
        .map(|(d, _, y, n)| {
            (
                *d,
                *y,
                *n as f64
                    / (test.error_plus * test.error_plus
                        + test.error_share * test.error_share * y * y),
            )
        })
        .collect();
    let curve = |shape| decay(&points, shape).map(|c| json!([c.start, c.rate, c.squares]));
    Ok(json!({
        "rows": rows.iter().map(|(d, truth, y, n)| json!([d, truth, y, n])).collect::<Vec<_>>(),
        "falling": falling(&rows.iter().map(|(_, _, y, n)| (*y, *n as f64)).collect::<Vec<_>>()),
        "bands": read.at.iter().map(|a| json!(a.fit)).collect::<Vec<_>>(),
        "weights": points.iter().map(|p| p.2).collect::<Vec<_>>(),
        "exponential": curve(Shape::Exponential), "langmuir": curve(Shape::Langmuir),
        "limit": 2.0, "recommended": read.recommended, "crossing": read.crossing,
    }))
}

fn main() {
    let mut s = Sequence(20_261_125);
    let mut many = |n: usize, f: fn(&mut Sequence) -> Answer<Value>| {
        (0..n)
            .filter_map(|_| f(&mut s).ok())
            .collect::<Vec<Value>>()
    };
    let cases = json!({
        "water": many(600, water),
        "conditional": many(600, conditional),
        "saturation": many(300, saturation),
        "blocking": many(100, blocking),
        "adsorption": many(300, adsorption),
        "knowing": many(60, knowing),
        "acceptability": acceptability(),
        "ladders": many(400, ladder),
    });
    println!("{cases}");
}
