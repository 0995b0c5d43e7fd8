//! The wines: those of the demonstration, and 200 drawn from a fixed seed. Every list that is drawn
//! from stands here, so that
//! a new word of the app, or a new treatment, changes no wine.

use serde_json::{Value, json};
use stillbright::diagnosis::may_be;
use stillbright::knowledge::{SIGNS, Sign};
use stillbright::units::day::Day;
use stillbright::wine::*;

/// The day on which all are judged.
pub const TODAY: &str = "2026-11-26";
/// How many are drawn.
pub const DRAWN: usize = 200;

const SEED: u64 = 20_261_126;

/// A small generator (SplitMix64); each wine has one of its own, by its number.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.next() % n as u64) as usize
    }

    pub fn chance(&mut self, of_100: usize) -> bool {
        self.below(100) < of_100
    }

    pub fn one<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// So many different ones, in the order they are drawn in.
    pub fn some<T: Copy + PartialEq>(&mut self, from: &[T], n: usize) -> Vec<T> {
        let mut all: Vec<T> = Vec::new();
        // A list may name one twice to make it more frequent.
        for _ in 0..200 {
            let one = self.one(from);
            if all.len() < n && !all.contains(&one) {
                all.push(one);
            }
        }
        all
    }

    /// A figure as it is typed, between two that are given in its last digit.
    pub fn figure(&mut self, low: usize, high: usize, decimals: usize) -> String {
        let n = low + self.below(high - low + 1);
        let ten = 10_usize.pow(decimals as u32);
        if decimals == 0 {
            n.to_string()
        } else {
            format!("{}.{:0decimals$}", n / ten, n % ten)
        }
    }

    pub fn typed(&mut self, low: usize, high: usize, decimals: usize) -> AsTyped {
        AsTyped(self.figure(low, high, decimals))
    }
}

const COLOURS: [Colour; 10] = {
    use Colour::*;
    [
        White, White, White, White, Red, Red, Red, Rose, Rose, Orange,
    ]
};
const STYLES: [Style; 12] = {
    use Style::*;
    [
        StillDry,
        StillDry,
        StillDry,
        StillDry,
        StillDry,
        StillDry,
        StillDry,
        StillSweet,
        StillSweet,
        SparklingBase,
        Fortified,
        Juice,
    ]
};
const STAGES: [Stage; 12] = {
    use Stage::*;
    [
        Dry, Dry, Dry, Dry, Dry, Dry, Ready, Ready, Ready, Ready, Fermenting, Bottled,
    ]
};
const VESSELS: [Vessel; 7] = {
    use Vessel::*;
    [Steel, Steel, Steel, Concrete, Plastic, Barrel, Clay]
};
const PASTS: [Past; 5] = {
    use Past::*;
    [OnLees, Fined, ColdStabilised, Blended, Inhibited]
};
/// What any wine may have.
const PROBLEMS: [Problem; 32] = {
    use Problem::*;
    [
        Haze,
        Haze,
        Haze,
        Crystals,
        Crystals,
        Crystals,
        Crystals,
        Crystals,
        Crystals,
        Bitterness,
        Bitterness,
        Browning,
        Browning,
        Microbes,
        Microbes,
        Microbes,
        Microbes,
        Refermentation,
        Refermentation,
        BlockedFilter,
        BlockedFilter,
        Reduction,
        Reduction,
        ExcessCopper,
        ExcessIron,
        Calcium,
        OffOdour,
        Rot,
        Smoke,
        VolatileAcidity,
        Mousy,
        Sourness,
    ]
};
const OF_WHITE: [Problem; 7] = {
    use Problem::*;
    [
        Protein, Protein, Protein, Protein, Pinking, Browning, Colour,
    ]
};
const OF_RED: [Problem; 7] = {
    use Problem::*;
    [
        Astringency,
        Astringency,
        Deposit,
        Deposit,
        Brettanomyces,
        Brettanomyces,
        Bitterness,
    ]
};
const MARKETS: [Market; 18] = {
    use Market::*;
    [
        Eu, Eu, Eu, Eu, Us, Us, Us, Gb, Gb, Ca, Au, Nz, Jp, Cn, Za, Cl, Ar, Au,
    ]
};
const CLAIMS: [Claim; 8] = {
    use Claim::*;
    [
        Vegan, Vegan, Vegan, Vegetarian, NoEgg, NoMilk, NoFish, Organic,
    ]
};
const KITS: [Kit; 11] = {
    use Kit::*;
    [
        Filter,
        CrossFlow,
        Chiller,
        HeatExchanger,
        Electrodialysis,
        DosingUnit,
        InertGas,
        Centrifuge,
        Flotation,
        IonExchange,
        EarthFilter,
    ]
};
const VOLUMES: [&str; 11] = [
    "225", "450 L", "900", "1500", "22.5 hL", "3000 L", "4200", "5000", "8000 L", "120 hL", "20000",
];

/// What may be measured: between which figures, in their last digit, with how many decimals, on how
/// many of 100 wines.
const ANALYSES: [(Quantity, usize, usize, usize, usize); 8] = {
    use Quantity::*;
    [
        (Ph, 300, 385, 2, 85),
        (Alcohol, 105, 150, 1, 80),
        (TitratableAcidity, 48, 85, 1, 65),
        (Potassium, 550, 1500, 0, 30),
        (Tartaric, 110, 350, 2, 30),
        (StorageTemperature, 8, 20, 0, 25),
        (SaturationTemperature, 90, 210, 1, 10),
        (TotalSo2, 46, 160, 0, 65),
    ]
};
/// The same of what should be low: of a wine that is ready the range is a fifth.
const LOW: [(Quantity, usize, usize, usize, usize); 20] = {
    use Quantity::*;
    [
        (Turbidity, 3, 200, 1, 55),
        (Calcium, 40, 110, 0, 35),
        (Copper, 2, 90, 2, 40),
        (Iron, 5, 80, 1, 40),
        (ConductivityDrop, 4, 90, 1, 40),
        (CloggingIndex, 5, 90, 0, 20),
        (VolatileAcidity, 15, 90, 2, 45),
        (Oxygen, 1, 25, 1, 35),
        (CarbonDioxide, 300, 1500, 0, 30),
        (BrettCells, 0, 300, 0, 20),
        (Ethylphenol, 20, 900, 0, 12),
        (YeastCells, 0, 300, 0, 20),
        (YeastPlate, 0, 5, 0, 10),
        (BacteriaPlate, 0, 5, 0, 10),
        (AceticRise, 0, 15, 2, 10),
        (ColdHold, 0, 1, 0, 25),
        (ColdColour, 0, 1, 0, 20),
        (Ullage, 0, 1, 0, 20),
        (BrownsInAir, 0, 1, 0, 20),
        (PinkRise, 0, 60, 0, 10),
    ]
};
/// And of wines in which protein may fall out.
const HEAT: [(Quantity, usize, usize, usize, usize); 3] = [
    (Quantity::HeatRise, 1, 200, 1, 65),
    (Quantity::HeatRiseMild, 1, 100, 1, 12),
    (Quantity::HeatRiseHard, 1, 300, 1, 12),
];

/// What stands in a log, with a usual dose in its own unit; empty where it has none.
const ACTS: [(&str, &str); 22] = [
    ("racking", ""),
    ("sulfur_dioxide", "30"),
    ("bentonite_sodium", "60"),
    ("casein", "20"),
    ("pea_protein", "15"),
    ("potato_protein", "10"),
    ("gelatin", "8"),
    ("egg_albumin", "8"),
    ("isinglass", "2"),
    ("silica_sol", "40"),
    ("pvpp", "30"),
    ("carbon_colour", "20"),
    ("copper_sulfate", "0.3"),
    ("chitosan", "8"),
    ("pectinase", "2"),
    ("chill_static", ""),
    ("cmc", "100"),
    ("polyaspartate", "100"),
    ("metatartaric", "80"),
    ("sheets_clarifying", ""),
    ("crossflow_filtration", ""),
    ("blending", ""),
];
const CHECKS: [&str; 9] = [
    "free_so2",
    "filterability",
    "carbon_dioxide",
    "temperature",
    "filter_integrity",
    "line",
    "yeast_plate",
    "bacteria_plate",
    "smell",
];

pub fn day(after_today: i64) -> String {
    Day::read(TODAY).unwrap().plus(after_today).show()
}

/// A wine by its number, from 1, without its plan.
pub fn drawn(number: usize) -> Wine {
    let mut dice = Dice(SEED.wrapping_mul(number as u64 + 1));
    let mut wine = Wine {
        name: format!("w{number:03}"),
        ..Wine::default()
    };
    kind(&mut wine, &mut dice);
    trade(&mut wine, &mut dice);
    analyses(&mut wine, &mut dice);
    cellar(&mut wine, &mut dice);
    if number.is_multiple_of(3) {
        log(&mut wine, &mut dice);
    }
    wine
}

/// The same wine with some signs answered as on the page that finds the cause: what is seen at once
/// and was not chosen counts as no.
#[allow(dead_code)]
pub fn with_signs(number: usize) -> Wine {
    let mut dice = Dice(SEED.wrapping_add(1).wrapping_mul(number as u64 + 1));
    let mut wine = drawn(number);
    let asked = SIGNS.rows().iter();
    let asked: Vec<&Sign> = asked
        .filter(|s| may_be(s, wine.colour, wine.stage))
        .collect();
    let no = asked
        .iter()
        .filter(|s| s.seen.is_some())
        .map(|s| (s.key.to_string(), false));
    wine.observed.extend(no);
    let keys: Vec<&str> = asked.iter().map(|s| s.key).collect();
    let yes = dice
        .some(&keys, 3)
        .into_iter()
        .map(|k| (k.to_string(), true));
    wine.observed.extend(yes);
    wine
}

fn kind(wine: &mut Wine, dice: &mut Dice) {
    let colour = dice.one(&COLOURS);
    let style = dice.one(&STYLES);
    let stage = if style == Style::Juice {
        Stage::Juice
    } else {
        dice.one(&STAGES)
    };
    wine.colour = Some(colour);
    wine.style = Some(style);
    wine.stage = Some(stage);
    let own = if colour == Colour::Red {
        OF_RED
    } else {
        OF_WHITE
    };
    let named = 1 + dice.one(&[0, 0, 0, 1, 1, 1, 1, 2, 2, 3]);
    let first = dice.chance(70);
    wine.problems = dice.some(if first { &own } else { &PROBLEMS }, 1);
    for more in dice.some(&PROBLEMS, named) {
        if wine.problems.len() < named && !wine.problems.contains(&more) {
            wine.problems.push(more);
        }
    }
    if dice.chance(80) {
        wine.malolactic = Some(dice.one(&[
            Malolactic::Pending,
            Malolactic::Done,
            Malolactic::Done,
            Malolactic::Blocked,
        ]));
    }
    if dice.chance(45) {
        let n = 1 + dice.below(2);
        wine.past = dice.some(&PASTS, n);
    }
}

fn trade(wine: &mut Wine, dice: &mut Dice) {
    let made_in = dice.one(&MARKETS);
    if dice.chance(92) {
        wine.made_in = Some(made_in);
        wine.sold_in = if dice.chance(70) {
            vec![made_in]
        } else {
            Vec::new()
        };
        let more = dice.one(&[0, 0, 1, 1, 2]);
        for market in dice.some(&MARKETS, more) {
            if !wine.sold_in.contains(&market) {
                wine.sold_in.push(market);
            }
        }
    }
    if dice.chance(35) {
        let n = 1 + dice.below(2);
        wine.claims = dice.some(&CLAIMS, n);
    }
    if dice.chance(10) {
        wine.organic = made_in.usual_scheme().into_iter().collect();
    }
    if dice.chance(80) {
        wine.value_per_hl = dice.typed(60, 900, 0);
    }
    if dice.chance(50) {
        wine.labour_per_hour = dice.typed(18, 45, 0);
    }
    if dice.chance(20) {
        wine.loss_percent = dice.typed(5, 60, 0);
    }
    if dice.chance(15) {
        wine.cost_per_day = dice.typed(1, 20, 1);
    }
    wine.by_money = dice.chance(15);
    if dice.chance(30) {
        wine.journey = Some(dice.one(&[Journey::Home, Journey::Warm]));
    }
    if dice.chance(30) {
        wine.shelf_life_months = dice.typed(6, 60, 0);
    }
    if dice.chance(60) {
        let until = 12 + dice.below(130);
        wine.bottling_day = day(until as i64);
    }
}

fn analyses(wine: &mut Wine, dice: &mut Dice) {
    let fermenting = matches!(wine.stage, Some(Stage::Juice | Stage::Fermenting));
    if dice.chance(70) {
        let (low, high) = match wine.style {
            _ if fermenting => (100, 1900),
            Some(Style::StillSweet | Style::Fortified) => (60, 1100),
            _ => (1, 30),
        };
        wine.analyses
            .insert(Quantity::Sugar, dice.typed(low, high, 1));
    }
    if dice.chance(75) {
        let low = if wine.stage == Some(Stage::Ready) {
            18
        } else {
            3
        };
        wine.analyses
            .insert(Quantity::FreeSo2, dice.typed(low, 42, 0));
    }
    if dice.chance(60) {
        let (low, high) = if wine.malolactic == Some(Malolactic::Done) {
            (1, 20)
        } else {
            (60, 320)
        };
        wine.analyses
            .insert(Quantity::Malic, dice.typed(low, high, 2));
    }
    let heat: &[_] = if wine.colour == Some(Colour::Red) {
        &[]
    } else {
        &HEAT
    };
    for (which, low, high, decimals, of_100) in ANALYSES.iter().chain(&LOW).chain(heat).copied() {
        if !dice.chance(of_100) || (wine.stage == Some(Stage::Juice) && which == Quantity::Alcohol)
        {
            continue;
        }
        let falls = !ANALYSES.iter().any(|(of, ..)| *of == which);
        let high = if falls && wine.stage == Some(Stage::Ready) {
            low + (high - low) / 5
        } else {
            high
        };
        let text = dice.figure(low, high, decimals);
        let bound = decimals > 0 && dice.chance(3);
        let text = match (which.is_yes_no(), bound, text.as_str()) {
            (true, _, "0") => "no".to_string(),
            (true, ..) => "yes".to_string(),
            (_, true, _) => format!("<{text}"),
            _ => text,
        };
        wine.analyses.insert(which, AsTyped(text));
    }
    if dice.chance(65) {
        let ago = dice.below(25) as i64;
        // Some were made on another day.
        let days: Vec<(Quantity, i64)> = wine
            .analyses
            .keys()
            .map(|q| (*q, if dice.chance(80) { ago } else { ago / 4 }))
            .collect();
        wine.measured_on = days
            .into_iter()
            .map(|(q, ago)| (q, AsTyped(day(-ago))))
            .collect();
    }
    if dice.chance(6) {
        wine.stale = vec![Quantity::FreeSo2];
    }
}

fn cellar(wine: &mut Wine, dice: &mut Dice) {
    wine.vessel = Some(if wine.stage == Some(Stage::Bottled) {
        Vessel::Bottle
    } else {
        dice.one(&VESSELS)
    });
    if dice.chance(88) {
        wine.volume = AsTyped(dice.one(&VOLUMES).into());
    }
    let n = dice.below(6);
    for kit in dice.some(&KITS, n) {
        let means = dice.one(&[
            KitMeans::Owned,
            KitMeans::Owned,
            KitMeans::Hired,
            KitMeans::Contractor,
            KitMeans::No,
        ]);
        let mut entry = KitEntry::of(means);
        if matches!(means, KitMeans::Hired | KitMeans::Contractor) && dice.chance(50) {
            entry.minimum_batch = AsTyped(dice.one(&["10 hL", "50 hL", "100 hL"]).into());
            entry.lead_days = dice.typed(2, 21, 0);
        }
        wine.kit.insert(kit, entry);
    }
    if wine.stage == Some(Stage::Ready) && dice.chance(50) {
        let n = 2 + dice.below(7);
        for key in dice.some(&CHECKS, n) {
            let (ago, passed) = (dice.below(4) as i64, dice.chance(85));
            wine.checks.push(Checked {
                key: key.into(),
                day: day(-ago),
                passed: Some(passed),
                by: "A. B.".into(),
            });
        }
    }
}

fn log(wine: &mut Wine, dice: &mut Dice) {
    let mut ago = 10 + dice.below(60) as i64;
    for _ in 0..1 + dice.below(3) {
        let (treatment, dose) = dice.one(&ACTS);
        wine.done.push(Done {
            day: day(-ago),
            treatment: treatment.into(),
            dose: AsTyped(dose.into()),
            by: "A. B.".into(),
            ..Done::default()
        });
        ago /= 2;
    }
    if dice.chance(12) {
        wine.done.push(Done {
            day: day(-ago),
            note: "Topped up".into(),
            by: "A. B.".into(),
            ..Done::default()
        });
    }
    if dice.chance(10) {
        wine.done.push(Done {
            day: day(0),
            corrects: Some(1),
            by: "A. B.".into(),
            ..Done::default()
        });
    }
}

/// Whether a plan is taken for it where it has a route, which comes to a third of them, some with a
/// log.
pub fn is_planned(number: usize) -> bool {
    ![2, 5, 6, 8].contains(&(number % 9))
}

/// Puts the plan in, with what goes with it: a bench trial for some of its agents, some doses, some
/// of it done.
pub fn put_plan(wine: &mut Wine, number: usize, plan: Vec<PlanStep>) {
    let mut dice = Dice(SEED.wrapping_add(number as u64));
    wine.plan = plan;
    for step in wine.plan.iter_mut().filter(|s| !s.is_test()) {
        let Some((key, dose)) = ACTS
            .iter()
            .find(|(key, dose)| *key == step.treatment && !dose.is_empty())
        else {
            continue;
        };
        match dice.below(4) {
            0 => {}
            1 => step.dose = AsTyped((*dose).into()),
            2 => {
                step.dose = AsTyped((*dose).into());
                wine.trials.push(Trial {
                    treatment: (*key).into(),
                    not_trialled: true,
                    ..Trial::default()
                });
            }
            _ => wine.trials.push(bench(key, dose)),
        }
    }
    let first = wine.plan.iter().find(|s| !s.treatment.is_empty()).cloned();
    if let Some(first) = first.filter(|_| !wine.done.is_empty()) {
        wine.done.push(Done {
            day: day(-2),
            treatment: first.treatment,
            dose: first.dose,
            by: "A. B.".into(),
            ..Done::default()
        });
    }
}

/// A bench trial with its readings: by the heat test for an agent against protein, by taste for all
/// others.
fn bench(key: &str, dose: &str) -> Trial {
    let heat = key.starts_with("bentonite");
    let most: f64 = dose.parse().unwrap();
    let rung = |share: f64, reading: &str, score: &str| {
        let (reading, score) = if heat { (reading, "") } else { ("", score) };
        Rung {
            dose: AsTyped((most * share).to_string()),
            reading: AsTyped(reading.into()),
            score: AsTyped(score.into()),
            ..Rung::default()
        }
    };
    Trial {
        treatment: key.into(),
        quantity: heat.then_some(Quantity::HeatRise),
        day: day(-3),
        rungs: vec![
            rung(0.0, "14", "4"),
            rung(0.5, "4.5", "6"),
            rung(1.0, "0.6", "8"),
            rung(1.5, "0.3", "7"),
        ],
        chosen: AsTyped(dose.into()),
        ..Trial::default()
    }
}

/// A plan as it is kept.
pub fn plan_as_line(wine: &str, plan: &[PlanStep]) -> String {
    json!({ "wine": wine, "plan": plan }).to_string()
}

/// The plans that are kept, by the names of their wines.
fn plans(text: &str) -> Vec<(String, Vec<PlanStep>)> {
    let word = |v: &Value| v.as_str().unwrap_or_default().to_string();
    let step = |v: &Value| PlanStep {
        treatment: word(&v["treatment"]),
        day: word(&v["day"]),
        measure: v["measure"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|q| Quantity::from_key(q.as_str()?))
            .collect(),
        ..PlanStep::default()
    };
    let lines = text
        .lines()
        .map(|l| serde_json::from_str::<Value>(l).unwrap());
    lines
        .map(|l| {
            (
                word(&l["wine"]),
                l["plan"].as_array().unwrap().iter().map(step).collect(),
            )
        })
        .collect()
}

/// All wines, each with the name it has here.
pub fn all(kept_plans: &str) -> Vec<(String, Wine)> {
    let plans = plans(kept_plans);
    let mut all = demos();
    all.extend((1..=DRAWN).map(|number| {
        let mut wine = drawn(number);
        let plan = plans
            .iter()
            .find(|(name, _)| *name == wine.name)
            .map(|(_, plan)| plan.clone());
        if let Some(plan) = plan {
            put_plan(&mut wine, number, plan);
        }
        (wine.name.clone(), wine)
    }));
    all
}

fn demos() -> Vec<(String, Wine)> {
    let files = std::fs::read_dir("demo-data")
        .unwrap()
        .map(|e| e.unwrap().path());
    // Each has the name of its number, so that a further file changes no other's.
    let number = |path: &std::path::PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let digits = name.split(|c: char| !c.is_ascii_digit()).next();
        digits.and_then(|d| d.parse::<u32>().ok())
    };
    let mut files: Vec<_> = files.filter_map(|p| Some((number(&p)?, p))).collect();
    files.sort();
    files
        .into_iter()
        .map(|(number, path)| {
            let text = std::fs::read_to_string(path).unwrap();
            let mut wines = stillbright::book::read_file(&text).unwrap();
            assert_eq!(wines.len(), 1);
            (format!("demo{number}"), wines.remove(0))
        })
        .collect()
}
