//! Plausible wines with logs, drawn from a fixed seed: readings that fit the colour and each other,
//! a market, a bottling day, and two to five acts that a cellar does one after the other, each with
//! its day and dose. Most readings were made after the last of them, some before.

use super::wines::{Dice, day};
use stillbright::knowledge::treatment;
use stillbright::wine::*;

/// How many there are.
pub const PLAUSIBLE: usize = 200;

const SEED: u64 = 20_261_201;

/// What may be wrong or feared by colour; one that is named twice comes twice as often.
const OF_WHITE: [Problem; 14] = {
    use Problem::*;
    [
        Protein,
        Protein,
        Protein,
        Crystals,
        Crystals,
        Crystals,
        Haze,
        Browning,
        Pinking,
        Bitterness,
        Refermentation,
        Reduction,
        ExcessCopper,
        BlockedFilter,
    ]
};
const OF_RED: [Problem; 12] = {
    use Problem::*;
    [
        Astringency,
        Astringency,
        Deposit,
        Deposit,
        Crystals,
        Crystals,
        Haze,
        Brettanomyces,
        Reduction,
        Microbes,
        Bitterness,
        BlockedFilter,
    ]
};
const MARKETS: [Market; 12] = {
    use Market::*;
    [Eu, Eu, Eu, Eu, Us, Us, Gb, Ca, Au, Nz, Za, Cl]
};
const VOLUMES: [&str; 6] = ["900", "2000", "30 hL", "5000", "100 hL", "20000 L"];

/// An act with its dose, and the days to the next.
type Given = (&'static str, &'static str, i64);

/// What a cellar does first, then, and last: of each at most one.
const FIRST: [Given; 3] = [
    ("racking", "", 14),
    ("sulfur_dioxide", "30", 10),
    ("racking", "", 20),
];
const WHITE_THEN: [Given; 5] = [
    ("bentonite_sodium", "50", 10),
    ("casein", "20", 8),
    ("pvpp", "30", 6),
    ("isinglass", "2", 12),
    ("copper_sulfate", "0.3", 7),
];
const RED_THEN: [Given; 4] = [
    ("egg_albumin", "8", 12),
    ("gelatin", "6", 10),
    ("pea_protein", "15", 10),
    ("copper_sulfate", "0.3", 7),
];
const LAST: [Given; 3] = [
    ("chill_static", "", 12),
    ("sheets_clarifying", "", 3),
    ("crossflow_filtration", "", 3),
];

/// A wine by its number.
pub fn plausible(number: usize) -> Wine {
    let mut dice = Dice(SEED.wrapping_mul(number as u64 + 1));
    let mut wine = Wine {
        name: format!("p{number:03}"),
        ..Wine::default()
    };
    told(&mut wine, &mut dice);
    let last = log(&mut wine, &mut dice);
    analyses(&mut wine, &mut dice);
    // Of a wine that was worked on most is measured anew; some readings are of before.
    let since = wine.analyses.keys().copied().collect::<Vec<_>>();
    for q in since {
        let ago = if dice.chance(85) {
            dice.below(last as usize) as i64
        } else {
            last + 5
        };
        wine.measured_on.insert(q, AsTyped(day(-ago)));
    }
    wine
}

fn told(wine: &mut Wine, dice: &mut Dice) {
    let colour = dice.one(&[
        Colour::White,
        Colour::White,
        Colour::White,
        Colour::Rose,
        Colour::Red,
        Colour::Red,
        Colour::Red,
    ]);
    wine.colour = Some(colour);
    wine.style = Some(if dice.chance(88) {
        Style::StillDry
    } else {
        Style::StillSweet
    });
    wine.stage = Some(dice.one(&[Stage::Dry, Stage::Dry, Stage::Ready]));
    wine.malolactic = Some(match colour {
        Colour::Red => Malolactic::Done,
        _ => dice.one(&[Malolactic::Blocked, Malolactic::Blocked, Malolactic::Done]),
    });
    let named = dice.one(&[1, 1, 1, 2]);
    wine.problems = if colour == Colour::Red {
        dice.some(&OF_RED, named)
    } else {
        dice.some(&OF_WHITE, named)
    };
    let home = dice.one(&MARKETS);
    wine.made_in = Some(home);
    wine.sold_in = vec![home];
    let more = dice.one(&[0, 0, 1]);
    for market in dice.some(&MARKETS, more) {
        if !wine.sold_in.contains(&market) {
            wine.sold_in.push(market);
        }
    }
    wine.vessel = Some(dice.one(&[Vessel::Steel, Vessel::Steel, Vessel::Barrel]));
    wine.volume = AsTyped(dice.one(&VOLUMES).into());
    wine.value_per_hl = dice.typed(100, 600, 0);
    wine.bottling_day = day(35 + dice.below(100) as i64);
}

/// Writes the log, oldest first, and says how long ago the last act was done.
fn log(wine: &mut Wine, dice: &mut Dice) -> i64 {
    let then: &[Given] = if wine.colour == Some(Colour::Red) {
        &RED_THEN
    } else {
        &WHITE_THEN
    };
    let mut acts = vec![dice.one(&FIRST)];
    if dice.chance(75) {
        acts.extend([dice.one(then), ("racking", "", 7)]);
    }
    if acts.len() < 2 || dice.chance(50) {
        acts.push(dice.one(&LAST));
    }
    if acts.len() < 5 && dice.chance(40) {
        acts.push(("sulfur_dioxide", "20", 2));
    }
    let since = 4 + dice.below(20) as i64;
    let mut ago = since + acts.iter().rev().skip(1).map(|a| a.2).sum::<i64>();
    for (key, dose, days) in acts {
        assert!(treatment(key).is_some(), "{key}");
        wine.done.push(Done {
            treatment: key.into(),
            day: day(-ago),
            dose: AsTyped(dose.into()),
            by: "A. B.".into(),
            ..Done::default()
        });
        ago -= days;
    }
    since
}

fn analyses(wine: &mut Wine, dice: &mut Dice) {
    use Quantity::*;
    let red = wine.colour == Some(stillbright::wine::Colour::Red);
    let sweet = wine.style == Some(Style::StillSweet);
    // Of a low pH the acid is high.
    let acid = dice.below(50);
    let ph = if red { 380 } else { 350 } - acid;
    let mut read = |q: Quantity, of_100: usize, text: String| {
        let asked = !wine.analyses.contains_key(&q);
        if asked && dice.chance(of_100) {
            wine.analyses.insert(q, AsTyped(text));
        }
    };
    read(Ph, 95, format!("{:.2}", ph as f64 / 100.0));
    let acidity = if red { 4.8 } else { 5.5 } + acid as f64 / 25.0;
    read(TitratableAcidity, 85, format!("{acidity:.1}"));
    let malic = if wine.malolactic == Some(Malolactic::Done) {
        (2, 15)
    } else {
        (80, 280)
    };
    let sugar = if sweet { (80, 450) } else { (2, 25) };
    let rows: [(Quantity, usize, usize, usize, usize); 18] = [
        (Alcohol, 115, 145, 1, 90),
        (Malic, malic.0, malic.1, 2, 80),
        (Sugar, sugar.0, sugar.1, 1, 90),
        (FreeSo2, 12, 36, 0, 85),
        (TotalSo2, 55, 125, 0, 75),
        (Potassium, 650, 1250, 0, 40),
        (Tartaric, 120, 260, 2, 40),
        (Calcium, 45, 85, 0, 35),
        (Copper, 2, 60, 2, 45),
        (Iron, 5, 60, 1, 45),
        (VolatileAcidity, 20, 60, 2, 70),
        (Turbidity, 3, 90, 1, 65),
        (ConductivityDrop, 5, 80, 1, 55),
        (HeatRise, 2, 120, 1, if red { 0 } else { 65 }),
        (CloggingIndex, 6, 60, 0, 25),
        (CarbonDioxide, 400, 1200, 0, 35),
        (Oxygen, 2, 20, 1, 30),
        (BrettCells, 0, 60, 0, if red { 40 } else { 0 }),
    ];
    for (q, low, high, decimals, of_100) in rows {
        if dice.chance(of_100) {
            wine.analyses.insert(q, dice.typed(low, high, decimals));
        }
    }
}
