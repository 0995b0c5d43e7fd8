//! The stabilities a bottle needs. Each is judged by one test with its own limit, from the reading
//! and its error; a typical
//! value, a voided reading or a model never passes or fails a wine.

pub mod draws;

use crate::derived;
use crate::dossier::Dossier;
use crate::knowledge::{
    NeedBand, STABILITIES, ShelfNote, StabilityFacts, TESTS, TestFacts, holds_for,
};
use crate::state::{Known, KnownBy, kept_as};
use crate::units::{day::Day, show};
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
    /// There is a reading, but no limit that makes a verdict of it.
    NoVerdict,
}

impl Status {
    /// Its key, as in the file of the advice.
    pub const fn key(self) -> &'static str {
        match self {
            Status::Stable => "stable",
            Status::Doubtful => "doubtful",
            Status::Unstable => "unstable",
            Status::Unknown => "unknown",
            Status::NoVerdict => "no_verdict",
        }
    }
    /// The word on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Status::Stable => "stable",
            Status::Doubtful => "doubtful",
            Status::Unstable => "unstable",
            Status::Unknown => "not known",
            Status::NoVerdict => "no verdict: compare",
        }
    }
}

/// A stability that concerns a wine, with what it is judged by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Concern {
    /// The stability.
    pub facts: &'static StabilityFacts,
    /// Its limit for this wine.
    pub band: &'static NeedBand,
    /// What is known of its quantity.
    pub known: Known,
}

impl Concern {
    /// A stability of a wine; None where it has no limit for it, or nothing is known.
    fn of(dossier: &Dossier, facts: &'static StabilityFacts) -> Option<Concern> {
        Some(Concern {
            facts,
            band: band(dossier, facts)?,
            known: *dossier.state.get(kept_as(facts))?,
        })
    }

    /// Its limit, and whether that is the least.
    fn limit(&self) -> Option<(f64, bool)> {
        let ceiling = self.band.ceiling.map(|c| (c, false));
        ceiling.or(self.band.floor.map(|f| (f, true)))
    }
}

/// One stability.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Stability {
    /// What it is judged by.
    #[serde(skip)]
    pub concern: Concern,
    /// Key.
    pub key: &'static str,
    /// Name.
    pub name: &'static str,
    /// The quantity its test reads.
    pub quantity: Quantity,
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
    /// True where the limit is the least, not the most.
    pub least: bool,
    /// Unit of both.
    pub unit: &'static str,
    /// How far inside the limit it lies; below 0 outside.
    pub margin: f64,
    /// Whether its test is still wanted: it is not known, and no other test of its kind tells.
    pub wanted: bool,
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

impl Stability {
    /// The limit in a few words: “below 2 NTU”, “no crystals”; None where no limit makes a verdict
    /// of a reading.
    pub fn bound(&self) -> Option<String> {
        if self.concern.facts.no_verdict {
            return None;
        }
        Some(match self.quantity {
            Quantity::ColdHold => "no crystals".into(),
            Quantity::ColdColour => "no haze, no deposit".into(),
            Quantity::Ullage => "no air above the wine".into(),
            Quantity::BrownsInAir => "no browning".into(),
            _ => format!(
                "{} {} {}",
                if self.least { "at least" } else { "below" },
                show::plain(self.limit),
                self.unit
            )
            .trim_end()
            .into(),
        })
    }
    /// Whether the mark for it lies off a drawing that ends at twice the limit: the reading, or all
    /// that it may be.
    pub fn beyond(&self) -> bool {
        let [least, reading, _] = self.value;
        (if self.by == KnownBy::Measured {
            reading
        } else {
            least
        }) > 2.0 * self.limit
    }
}

/// How many standard errors must lie between a reading and its limit: one-sided 95 % of a normal
/// error. One rule for the
/// bench, the stabilities and the bottle. One-sided, since only a reading on the wrong side of its
/// limit misleads; judgement,
/// after the usual guard band of conformity assessment (JCGM 106:2012, from memory).
pub const SURE: f64 = 1.645;

/// Standard error of a mean of `times` readings at `value`, in its unit: the part in its unit and
/// the part as a share of it
/// are independent and add as squares. 0.15 NTU and 12 % at 1.6 NTU: 0.24.
pub fn standard_error(plus: f64, share: f64, value: f64, times: f64) -> f64 {
    libm::sqrt((plus * plus + share * share * value * value) / times.max(1.0))
}

/// Every stability that concerns this wine, in the order of the tables.
pub fn stabilities(dossier: &Dossier) -> Vec<Stability> {
    let mut all: Vec<Stability> = concerning(dossier)
        .into_iter()
        .filter_map(|c| one(dossier, c))
        .collect();
    let groups: Vec<(Option<&'static str>, Status, &'static str, bool)> = all
        .iter()
        .map(|s| (s.concern.facts.group, s.status, s.name, s.wanted))
        .collect();
    for (i, s) in all.iter_mut().enumerate() {
        let group = s.concern.facts.group;
        let same = |(j, g): &(usize, &(Option<&'static str>, Status, &'static str, bool))| {
            *j != i && g.0.is_some() && g.0 == group
        };
        let mut others = groups.iter().enumerate().filter(same);
        let against = if s.status == Status::Unstable {
            Status::Stable
        } else {
            Status::Unstable
        };
        if matches!(s.status, Status::Stable | Status::Unstable)
            && let Some((_, other)) = others.clone().find(|(_, g)| g.1 == against)
        {
            s.notes.push(format!("Conflict: “{}” says {}. Results of different tests do not mix: go by the worse until both agree.", other.2, other.1.label()));
        }
        // One test of a kind is enough to ask for: one that told, else the first that judges this
        // wine. Beside a doubtful one
        // another is welcome.
        s.wanted &= !others.any(|(j, g)| {
            matches!(g.1, Status::Stable | Status::Unstable)
                || (j < i && g.3 && g.1 == Status::Unknown)
        });
    }
    all
}

/// The stabilities that concern a wine, in the order of the tables: those that fit its journey and
/// have a limit for it.
pub fn concerning(dossier: &Dossier) -> Vec<Concern> {
    if dossier.is_must() {
        return Vec::new();
    }
    let all = STABILITIES.rows().iter().filter(|f| fits(dossier, f));
    all.filter_map(|f| Concern::of(dossier, f))
        .filter(|c| c.limit().is_some())
        .collect()
}

/// Whether a test fits the journey: where one of its group is made for it, that one alone does.
fn fits(dossier: &Dossier, facts: &StabilityFacts) -> bool {
    let named = |f: &StabilityFacts| dossier.journey.is_some_and(|j| f.journeys.contains(&j));
    if !facts.journeys.is_empty() {
        return named(facts);
    }
    facts.group.is_none()
        || !STABILITIES
            .iter()
            .any(|f| f.group == facts.group && named(f))
}

pub(crate) fn band(dossier: &Dossier, facts: &StabilityFacts) -> Option<&'static NeedBand> {
    let Some(colour) = dossier.colour else {
        // Not known: the strictest counts.
        let strict = |b: &NeedBand| b.ceiling.unwrap_or(0.0) - b.floor.unwrap_or(0.0);
        return facts
            .bands
            .iter()
            .min_by(|a, b| strict(a).total_cmp(&strict(b)));
    };
    facts
        .bands
        .iter()
        .find(|b| holds_for(b.colours, Some(colour)))
}

fn one(dossier: &Dossier, by: Concern) -> Option<Stability> {
    let Concern { facts, band, known } = by;
    let (limit, least) = by.limit()?;
    let e = known.estimate;
    let error = standard_error(facts.error_plus, facts.error_share, e.middle, 1.0);
    let sure = SURE * error;
    let around = |half: f64| [(e.middle - half).max(0.0), e.middle, e.middle + half];
    // What is shown is the band that decides; what is drawn from is the triangle with the standard
    // error of the reading.
    let (value, [low, middle, high]) = match known.by {
        KnownBy::Measured => (around(sure), around(libm::sqrt(6.0) * error)),
        _ => ([e.low, e.middle, e.high], [e.low, e.middle, e.high]),
    };
    let margin = if least {
        middle - limit
    } else {
        limit - middle
    };
    let sequence = draws::Sequence::of_quantity(facts.quantity);
    let inside = sequence
        .over(0..draws::DRAWS)
        .into_iter()
        .map(|share| draws::triangle(low, middle, high, share))
        .filter(|v| (*v < limit) != least)
        .count();
    let probability = inside as f64 / f64::from(draws::DRAWS);
    let blinded = is_blinded(dossier, facts);
    let status = verdict(facts, known.by, margin, sure, least, blinded);
    Some(Stability {
        concern: by,
        key: facts.key,
        name: facts.name,
        quantity: facts.quantity,
        status,
        probability,
        value,
        by: known.by,
        limit,
        least,
        unit: facts.quantity.facts().unit,
        margin,
        wanted: matches!(status, Status::Unknown | Status::Doubtful) && !blinded,
        why: band.why.text,
        source: band.why.source,
        test: facts.test.text,
        blind: facts.blind.iter().map(|f| f.text).collect(),
        notes: notes(dossier, by, status, blinded),
    })
}

/// Whether what was done to the wine keeps its test from judging it.
fn is_blinded(dossier: &Dossier, facts: &StabilityFacts) -> bool {
    facts.not_after.iter().any(|p| dossier.past.contains(p))
}

fn verdict(
    facts: &StabilityFacts,
    by: KnownBy,
    margin: f64,
    sure: f64,
    least: bool,
    blinded: bool,
) -> Status {
    match by {
        _ if blinded => Status::Unknown,
        KnownBy::Measured if facts.no_verdict => Status::NoVerdict,
        // On its limit a reading is inside a floor and outside a ceiling.
        KnownBy::Measured if margin > sure || (least && margin >= sure) => Status::Stable,
        KnownBy::Measured if margin < -sure || (!least && margin <= -sure) => Status::Unstable,
        KnownBy::Measured => Status::Doubtful,
        // A bound shows that a wine has no more than so much, and never that it has so much at
        // least.
        KnownBy::AtMost if facts.no_verdict => Status::NoVerdict,
        KnownBy::AtMost if !least && margin > sure => Status::Stable,
        KnownBy::AtMost if !least && margin > 0.0 => Status::Doubtful,
        _ => Status::Unknown,
    }
}

/// What the test of a quantity says, without the draws of [`stabilities`]; unknown where no
/// stability reads it.
pub fn status_of(dossier: &Dossier, which: Quantity) -> Status {
    let said = || {
        let facts = STABILITIES.rows().iter().find(|f| f.quantity == which)?;
        let by = Concern::of(dossier, facts)?;
        let ((limit, least), known) = (by.limit()?, by.known);
        let value = known.estimate.middle;
        let sure = SURE * standard_error(facts.error_plus, facts.error_share, value, 1.0);
        let margin = if least { value - limit } else { limit - value };
        Some(verdict(
            facts,
            known.by,
            margin,
            sure,
            least,
            is_blinded(dossier, facts),
        ))
    };
    said().unwrap_or(Status::Unknown)
}

/// Why a reading that is only a bound does not judge a wine by its limit; None where it is a
/// figure, or inside the limit.
pub fn only_below(
    dossier: &Dossier,
    which: Quantity,
    floor: Option<f64>,
    ceiling: Option<f64>,
) -> Option<String> {
    let found = dossier.found(which).filter(|f| f.at_most)?;
    let unit = which.facts().unit;
    let below = format!("{} {unit}", show::plain(found.value));
    match (floor, ceiling) {
        (Some(_), _) => Some(format!(
            "Measured only as below {}: that does not show that there is enough.",
            below.trim()
        )),
        (None, Some(c)) if found.value >= c => Some(format!(
            "Measured only as below {}; the limit is {} {unit}: measure it more finely.",
            below.trim(),
            show::plain(c)
        )),
        _ => None,
    }
}

fn notes(dossier: &Dossier, of: Concern, status: Status, blinded: bool) -> Vec<String> {
    let (facts, band, by) = (of.facts, of.band, of.known.by);
    let mut notes = Vec::new();
    if by == KnownBy::AtMost {
        notes.extend(only_below(
            dossier,
            facts.quantity,
            band.floor,
            band.ceiling,
        ));
    }
    if dossier.unreadable(facts.quantity).is_some() {
        notes.push("What was typed cannot be read: mend it first.".into());
    }
    if blinded {
        notes.push("This test does not judge a wine with a crystal inhibitor: hold a filtered sample at −4 °C for 3 to 6 days.".into());
    }
    if by == KnownBy::Voided {
        notes.push("Measured before the last change: it counts as a guess. Measure again.".into());
    }
    // A reading by a test of the same group that does not fit the journey.
    for other in STABILITIES
        .iter()
        .filter(|f| facts.group.is_some() && f.group == facts.group && !fits(dossier, f))
    {
        if !matches!(by, KnownBy::Measured | KnownBy::AtMost)
            && dossier.at_most(other.quantity).is_some()
        {
            notes.push(format!("There is a reading by “{}”. It does not carry over: results of different tests do not mix.", other.quantity.label()));
        }
    }
    // What stands in for the limit.
    if status == Status::Unstable {
        notes.extend(facts.barrier.iter().map(|r| r.why.text.to_string()));
    }
    let months = dossier.shelf_life_months.given().unwrap_or(0.0);
    let kept = |n: &&ShelfNote| {
        months > n.from_months
            && (n.after.is_empty() || n.after.iter().any(|p| dossier.past_told.contains(p)))
    };
    notes.extend(facts.shelf.iter().filter(kept).map(|n| {
        format!(
            "For {} months in bottle: {} ({})",
            show::plain(months),
            n.note.text,
            n.note.standing.label()
        )
    }));
    if facts.quantity == Quantity::ConductivityDrop
        && let Some((Ok(t), _)) = derived::composition(dossier)
        && let Ok(s) = t.supersaturation(crate::units::Celsius(0.0))
    {
        notes
            .push(format!("By the model it is {} times saturated at 0 °C: a driving force; colloids hold 2 to 3. A model decides nothing.", show::fixed(s, 1)));
    }
    notes
}

/// What is known of a test.
pub fn test_of(which: Quantity) -> Option<&'static TestFacts> {
    TESTS.rows().iter().find(|t| t.quantity == which)
}

/// The last day on which a sample gives its result in time for bottling; None without a bottling
/// day.
pub fn sample_by(dossier: &Dossier, t: &TestFacts) -> Option<Day> {
    dossier
        .bottling_day
        .given()?
        .back(libm::ceil(t.before_days.middle + t.days.high) as i64)
}

/// Price of a test for the lot: the user's own, else the built-in one where the money is the same.
pub fn test_price(dossier: &Dossier, t: &TestFacts) -> Option<[f64; 3]> {
    match dossier.test_price(t.quantity) {
        Some(own) => Some([own; 3]),
        None => (dossier.currency == EURO).then_some([t.price.low, t.price.middle, t.price.high]),
    }
}

/// The answer in a sentence.
pub fn answer(all: &[Stability]) -> String {
    let of = |s: Status| {
        all.iter()
            .filter(|x| x.status == s && (s != Status::Unknown || x.wanted))
            .map(|x| show::inside(x.name))
            .collect::<Vec<_>>()
    };
    let (bad, doubt, unknown) = (
        of(Status::Unstable),
        of(Status::Doubtful),
        of(Status::Unknown),
    );
    let mut words = Vec::new();
    for (list, what) in [
        (&bad, "Not stable"),
        (&doubt, "Doubtful, measure again"),
        (&unknown, "Not known, so measure"),
    ] {
        if !list.is_empty() {
            words.push(format!("{what}: {}.", list.join(", ")));
        }
    }
    if words.is_empty() && !all.is_empty() {
        return "Every stability judged here is inside its limit. Test again after any change."
            .into();
    }
    words.join(" ")
}
