//! The stabilities a bottle needs. Each is judged by one test with its own limit, from the reading and its error; a typical
//! value, a voided reading or a model never passes or fails a wine.

pub mod draws;

use crate::derived;
use crate::knowledge::{NeedBand, STABILITIES, StabilityFacts};
use crate::state::{KnownBy, State};
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// What is said of a stability.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// The reading lies inside its limit, with its error.
    Stable,
    /// The reading lies too near the limit for its error.
    Doubtful,
    /// The reading lies outside.
    Unstable,
    /// There is no reading that still holds.
    Unknown,
}

impl Status {
    /// The word on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Status::Stable => "stable",
            Status::Doubtful => "doubtful",
            Status::Unstable => "unstable",
            Status::Unknown => "unknown: measure",
        }
    }
}

/// One stability.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Stability {
    /// Key.
    pub key: &'static str,
    /// Name.
    pub name: &'static str,
    /// What is said.
    pub status: Status,
    /// Share of the draws inside the limit.
    pub probability: f64,
    /// Low, middle and high of the value.
    pub value: [f64; 3],
    /// How the value is known.
    pub by: KnownBy,
    /// The limit.
    pub limit: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// Limit less value: how far inside.
    pub margin: f64,
    /// The limit in words.
    pub why: &'static str,
    /// Its source.
    pub source: &'static str,
    /// The test, and when.
    pub test: &'static str,
    /// What the test does not tell.
    pub blind: Vec<&'static str>,
    /// What else is known: a model's lean, a conflict, a voided reading.
    pub notes: Vec<String>,
}

/// Share from which a reading counts as inside, and below one less this as outside. Judgement.
const SURE: f64 = 0.95;

/// Every stability that concerns this wine, in the order of the tables.
pub fn stabilities(wine: &Wine) -> Vec<Stability> {
    if wine.style == Some(Style::Juice) || wine.stage == Some(Stage::Juice) {
        return Vec::new();
    }
    let state = State::of(wine);
    STABILITIES.rows().iter().filter_map(|facts| one(wine, &state, facts)).collect()
}

pub(crate) fn band(wine: &Wine, facts: &StabilityFacts) -> Option<&'static NeedBand> {
    facts.bands.iter().find(|b| b.colours.is_empty() || wine.colour.is_none_or(|c| b.colours.contains(&c)))
}

fn one(wine: &Wine, state: &State, facts: &'static StabilityFacts) -> Option<Stability> {
    let band = band(wine, facts)?;
    let limit = band.ceiling?;
    let known = state.get(facts.quantity)?;
    let e = known.estimate;
    let value = match known.by {
        KnownBy::Measured => {
            // Twice the error on either side.
            let error = 2.0 * (facts.error_plus + facts.error_share * e.middle);
            [(e.middle - error).max(0.0), e.middle, e.middle + error]
        }
        _ => [e.low, e.middle, e.high],
    };
    let [low, middle, high] = value;
    let inside = (0..draws::DRAWS).filter(|i| draws::triangle(low, middle, high, draws::share(facts.quantity, *i)) < limit).count();
    let probability = inside as f64 / f64::from(draws::DRAWS);
    let blinded = facts.not_after.iter().any(|p| crate::state::log::past(wine).contains(p));
    let status = match known.by {
        _ if blinded => Status::Unknown,
        KnownBy::Measured if probability >= SURE => Status::Stable,
        KnownBy::Measured if probability <= 1.0 - SURE => Status::Unstable,
        KnownBy::Measured => Status::Doubtful,
        _ => Status::Unknown,
    };
    Some(Stability {
        key: facts.key,
        name: facts.name,
        status,
        probability,
        value,
        by: known.by,
        limit,
        unit: facts.quantity.facts().unit,
        margin: limit - middle,
        why: band.why.text,
        source: band.why.source,
        test: facts.test.text,
        blind: facts.blind.iter().map(|f| f.text).collect(),
        notes: notes(wine, facts, known.by, blinded),
    })
}

fn notes(wine: &Wine, facts: &StabilityFacts, by: KnownBy, blinded: bool) -> Vec<String> {
    let mut notes = Vec::new();
    if blinded {
        notes.push("This test does not judge a wine with a crystal inhibitor: hold a filtered sample at −4 °C for 3 to 6 days.".into());
    }
    if by == KnownBy::Voided {
        notes.push("Measured before the last change: it counts as a guess. Measure again.".into());
    }
    if facts.quantity == Quantity::ConductivityDrop
        && let Some((Ok(t), _)) = derived::composition(wine)
        && let Ok(s) = t.supersaturation(crate::units::Celsius(0.0))
    {
        notes
            .push(format!("By the model it is {} times saturated at 0 °C: a driving force; colloids hold 2 to 3. A model decides nothing.", show::fixed(s, 1)));
    }
    notes
}

/// A request to a laboratory: what is not known or doubtful, and what the problems named ask for, with how to send it. Empty
/// where nothing is to be asked.
pub fn request(wine: &Wine, all: &[Stability]) -> Vec<String> {
    let mut asked: Vec<String> =
        all.iter().filter(|s| matches!(s.status, Status::Unknown | Status::Doubtful)).map(|s| format!("{}: {}", s.name, s.test)).collect();
    for facts in crate::knowledge::PROBLEMS.iter().filter(|p| wine.problems.contains(&p.problem)) {
        let measured = matches!(wine.analysis(facts.quantity), Some(Ok(_))) && !crate::state::voided(wine, facts.quantity);
        let listed = all.iter().any(|s| STABILITIES.iter().any(|f| f.key == s.key && f.quantity == facts.quantity));
        if !measured && !listed && facts.quantity.facts().asked {
            asked.push(format!("{}, for: {}", facts.quantity.label(), facts.problem.label().to_lowercase()));
        }
    }
    if asked.is_empty() {
        return asked;
    }
    let text = |t: &str| if t.trim().is_empty() { "not given".to_string() } else { t.trim().to_string() };
    let mut sheet = vec![
        format!("Wine: {}. Lot: {}. Bottling day: {}.", text(&wine.name), text(&wine.volume.0), text(&wine.bottling_day)),
        "Sample: two bottles of 750 mL, filled to the brim from the middle of the mixed tank, closed, kept cool and dark, sent today.".into(),
        "Please write the method and its limit beside each result.".into(),
    ];
    sheet.extend(asked);
    sheet
}

/// The answer in a sentence.
pub fn answer(all: &[Stability]) -> String {
    let of = |s: Status| all.iter().filter(|x| x.status == s).map(|x| x.name.to_lowercase()).collect::<Vec<_>>();
    let (bad, doubt, unknown) = (of(Status::Unstable), of(Status::Doubtful), of(Status::Unknown));
    let mut words = Vec::new();
    for (list, what) in [(&bad, "Not stable"), (&doubt, "Doubtful, measure again"), (&unknown, "Not known")] {
        if !list.is_empty() {
            words.push(format!("{what}: {}.", list.join(", ")));
        }
    }
    if words.is_empty() && !all.is_empty() {
        return "Every stability judged here is inside its limit. Test again after any change.".into();
    }
    words.join(" ")
}
