//! The sheet for a laboratory: what is open in the record and a sample can show, and what the
//! problems named ask for.

use super::deciding::deciding;
use super::ready::{Because, Proof, ready};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::obligations::obligations;
use crate::stability::{only_below, sample_by, test_of, test_price};
use crate::units::day::Day;
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// What a laboratory is asked to measure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Asked {
    /// The quantity.
    pub quantity: Quantity,
    /// Sample, mL; None where nothing is known of the test.
    pub sample_ml: Option<f64>,
    /// Last day of the sample, year-month-day, where the bottling day is known.
    pub sample_by: Option<String>,
    /// True where that day has passed.
    pub due: bool,
    /// Price for the lot, low, middle, high; None where it is not known in this money.
    pub price: Option<[f64; 3]>,
    /// In words.
    pub text: String,
}

impl Asked {
    /// What is asked for `what`: “protein: heat test [50 mL; sample by 2027-02-01; 20 EUR]”.
    fn of(dossier: &Dossier, quantity: Quantity, today: Option<Day>, what: String) -> Asked {
        let Some(t) = test_of(quantity) else {
            return Asked {
                quantity,
                sample_ml: None,
                sample_by: None,
                due: false,
                price: None,
                text: what,
            };
        };
        let (by, price) = (sample_by(dossier, t), test_price(dossier, t));
        let due = by.zip(today).is_some_and(|(by, today)| today > by);
        let mut words = vec![format!("{} mL", show::plain(t.sample_ml))];
        words.extend(by.map(|d| {
            if due {
                format!("sample due since {}: take it now", d.show())
            } else {
                format!("sample by {}", d.show())
            }
        }));
        words
            .extend(price.map(|[low, _, high]| {
                format!("{} {}", show::range(low, high), &*dossier.currency)
            }));
        let text = format!("{what} [{}]", words.join("; "));
        Asked {
            quantity,
            sample_ml: Some(t.sample_ml),
            sample_by: by.map(Day::show),
            due,
            price,
            text,
        }
    }
}

/// What a laboratory is asked: each reading that the record still owes, what the problems named ask
/// for, and what decides on an act of the lists.
pub fn asked(dossier: &Dossier, today: Option<Day>) -> Vec<Asked> {
    let owed = obligations(dossier, &dossier.to_do());
    let record = ready(dossier, today);
    let mut asked: Vec<Asked> = Vec::new();
    for o in &owed {
        let key = o.key();
        let Some((row, which)) = open(&record.evidence, &key).zip(o.reads()) else {
            continue;
        };
        if is_sent(which) && !asked.iter().any(|a| a.quantity == which) {
            let test = row.test.map_or("", |t| t.text);
            let what = format!("{}: {test}", row.name);
            let what = what.trim_end_matches([':', ' ']).to_string();
            asked.push(Asked::of(dossier, which, today, what));
        }
    }
    for facts in named(dossier) {
        let which = crate::state::reading(dossier, facts.quantity);
        let tells = facts
            .band(dossier.colour, dossier.stage, dossier.journey)
            .is_none_or(|b| only_below(dossier, which, b.floor, b.ceiling).is_none());
        let measured = dossier.at_most(which).is_some() && tells && !dossier.voided(which);
        let owes = owed.iter().any(|o| o.reads() == Some(which));
        if !measured && !owes && which.facts().asked {
            let problem = show::inside(facts.problem.label());
            let what = format!("{}, for: {problem}", which.label());
            asked.push(Asked::of(dossier, which, today, what));
        }
    }
    // What would decide whether an act may be given.
    for d in deciding(dossier) {
        if !asked.iter().any(|a| a.quantity == d.quantity) {
            asked.push(Asked::of(dossier, d.quantity, today, d.text));
        }
    }
    asked
}

/// The row of the record with this key, where another reading would tell. What lies outside its
/// limit is treated first, and a reading that lacks its day needs no other.
fn open<'a>(rows: &'a [Proof], key: &str) -> Option<&'a Proof> {
    let told_by_reading = |r: &&Proof| {
        matches!(
            r.because,
            Some(
                Because::NotMeasured
                    | Because::Voided
                    | Because::TooOld
                    | Because::TooNear
                    | Because::OnlyBelow
            )
        )
    };
    rows.iter().find(|r| r.key == key).filter(told_by_reading)
}

/// What is looked at or measured in the tank, or on the bottling day, is not sent away.
fn is_sent(which: Quantity) -> bool {
    test_of(which).is_some_and(|t| {
        let on_the_day = t.place == Place::Cellar && t.before_days.high <= 1.0;
        t.sample_ml > 0.0 && !on_the_day
    })
}

/// The facts of the problems that were named.
fn named(dossier: &Dossier) -> impl Iterator<Item = &'static ProblemFacts> {
    let named = |p: &&ProblemFacts| dossier.problems.contains(&p.problem);
    PROBLEMS.rows().iter().filter(named)
}

/// A request to a laboratory: what it is asked, with sample, last day and price of each, and how to
/// send it. Empty where nothing
/// is to be asked.
pub fn request(dossier: &Dossier, today: Option<Day>) -> Vec<String> {
    let asked = asked(dossier, today);
    if asked.is_empty() {
        return Vec::new();
    }
    let sample: f64 = asked.iter().filter_map(|a| a.sample_ml).sum();
    let text = |t: &str| {
        if t.trim().is_empty() {
            "not given".to_string()
        } else {
            t.trim().to_string()
        }
    };
    let bottles = libm::ceil(sample / 750.0).max(1.0) + 1.0;
    let mut sheet = vec![
        format!(
            "Wine: {}. Volume: {}. Bottling day: {}.",
            text(&dossier.name),
            text(&dossier.volume_words),
            text(&dossier.bottling_day.words())
        ),
        format!(
            "Sample: {} mL in all, so {} bottles of 750 mL, one of them to keep; filled to the brim from the middle of the mixed tank, closed, cool and dark.",
            show::plain(sample),
            show::fixed(bottles, 0)
        ),
        "Please write the method and its limit beside each result.".into(),
    ];
    sheet.extend(asked.into_iter().map(|a| a.text));
    sheet
}
