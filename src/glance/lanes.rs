//! The five lanes of the limit line. What belongs to a lane stands with each stability and check in
//! the tables; a lane shows the worst of it.

use crate::dossier::Dossier;
use crate::knowledge::{LAST, LastCheck, STABILITIES, StabilityFacts};
use crate::obligations::{What, obligations};
use crate::stability::{Stability, Status, stabilities};
use crate::state::KnownBy;
use crate::units::{day::Day, show};
use crate::wine::*;
use crate::work_order::ready::{Because, Proof, Ready, Shown, ready};
use serde::Serialize;

/// Where something lies by its judge, the best first: so the worst of a lane is the greatest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Inside its limit, surely.
    Ready,
    /// Nobody knows.
    NotKnown,
    /// Too near its limit to tell.
    Doubtful,
    /// Outside its limit.
    Outside,
}

/// What stands under a lane.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Shows {
    /// A reading.
    Value {
        /// The figure, “<” before it where it is only a bound.
        figure: String,
        /// Its unit.
        unit: &'static str,
    },
    /// No test that still holds.
    NoTest,
    /// Looked at, and passed.
    Passed,
    /// Looked at, and failed.
    Failed,
    /// Nothing of it is asked of this wine.
    DoesNotApply,
}

/// Between which heights something may lie, as [`Lane::position`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Spread {
    /// The upper end.
    pub from: f64,
    /// The lower end.
    pub to: f64,
}

/// One lane.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Lane {
    /// Which.
    pub key: LaneKey,
    /// The worst verdict in it.
    pub mark: Mark,
    /// Height of the mark, 0 at the top, 1 at the bottom. The limit lies at 0.5, and below it is
    /// always good.
    pub position: f64,
    /// Where it may lie, by the error of its reading; None where one look told.
    pub spread: Option<Spread>,
    /// What stands under it.
    pub shows: Shows,
    /// Key of the stability or check that is shown; None where nothing is.
    pub stability: Option<&'static str>,
    /// How many others the lane gathers.
    pub others: usize,
}

/// Times the limit at which a lane is cut, and the share of it at the other end. Judgement.
pub const EDGE: f64 = 8.0;
/// Least height between the limit and what is surely on one side of it, so that a drawing shows
/// what the judge says. Judgement.
const CLEAR: f64 = 0.04;
/// The height of the limit.
const LIMIT: f64 = 0.5;

/// The five lanes of a wine; a red has its colour in the place of protein.
pub fn lanes(dossier: &Dossier, today: Option<Day>) -> Vec<Lane> {
    of(dossier, &ready(dossier, today))
}

pub(super) fn of(dossier: &Dossier, record: &Ready) -> Vec<Lane> {
    let second = if dossier.colour == Some(Colour::Red) {
        LaneKey::Colour
    } else {
        LaneKey::Protein
    };
    let all = members(dossier, record);
    [
        LaneKey::Clarity,
        second,
        LaneKey::Crystals,
        LaneKey::Microbes,
        LaneKey::Air,
    ]
    .into_iter()
    .map(|key| lane(key, &all))
    .collect()
}

/// Something that a lane gathers.
struct Member {
    lane: LaneKey,
    key: &'static str,
    mark: Mark,
    position: f64,
    spread: Option<Spread>,
    shows: Shows,
}

impl Member {
    /// Whether it is worse than another: by its verdict, then by its height.
    fn is_worse(&self, other: &Member) -> bool {
        (self.mark, -self.position) > (other.mark, -other.position)
    }
}

/// What is shown of the wine as it is: the stabilities that must be shown of it, and the checks
/// that were looked at.
fn members(dossier: &Dossier, record: &Ready) -> Vec<Member> {
    let all = stabilities(dossier);
    let asked = asked(dossier);
    let known = |f: &&'static StabilityFacts| all.iter().find(|s| s.key == f.key);
    let of_key = |key: &str| record.evidence.iter().find(|p| p.key == key);
    let mut members: Vec<Member> = asked
        .iter()
        .filter_map(|f| Some(of_stability(f.lane, known(f)?, of_key(f.key))))
        .collect();
    let checks = LAST.rows().iter();
    members.extend(checks.filter_map(|c| of_check(dossier, c, of_key(c.key)?)));
    members
}

/// The stabilities that must be shown of the wine before anything more is done. Of a bottled wine
/// nothing is asked any more: there it is what its readings said.
fn asked(dossier: &Dossier) -> Vec<&'static StabilityFacts> {
    if dossier.stage == Some(Stage::Bottled) {
        let read = |f: &&StabilityFacts| dossier.at_most(f.quantity).is_some();
        let concerning = crate::stability::concerning(dossier)
            .into_iter()
            .map(|c| c.facts);
        return concerning.filter(read).collect();
    }
    let stability = |what: What| match what {
        What::Stability(f) => STABILITIES.rows().iter().find(|s| s.key == f.key),
        _ => None,
    };
    let owed = obligations(dossier, &[]).into_iter();
    owed.filter_map(|o| stability(o.what)).collect()
}

/// A stability by its status; where a barrier stands in for its limit, or the record holds it
/// against the wine, by what the record says.
fn of_stability(lane: LaneKey, s: &Stability, proof: Option<&Proof>) -> Member {
    let barrier = matches!(s.status, Status::Unstable | Status::Doubtful)
        && proof.is_some_and(|p| p.shown == Shown::Inside);
    if barrier {
        return by_look(lane, s.key, true, Shows::Passed);
    }
    let against = proof.is_some_and(|p| p.shown == Shown::Against);
    let mark = match s.status {
        _ if against => Mark::Outside,
        Status::Stable => Mark::Ready,
        Status::Doubtful => Mark::Doubtful,
        Status::Unstable => Mark::Outside,
        Status::Unknown | Status::NoVerdict => Mark::NotKnown,
    };
    let [low, middle, high] = s.value;
    let at = |value: f64| height(value, s.limit, s.least);
    let (a, b) = (at(low), at(high));
    let position = agreeing(mark, at(middle));
    let spread = match mark {
        Mark::NotKnown => Spread { from: 0.0, to: 1.0 },
        _ => Spread {
            from: a.min(b).min(position),
            to: a.max(b).max(position),
        },
    };
    Member {
        lane,
        key: s.key,
        mark,
        position,
        spread: Some(spread),
        shows: shows(s, mark),
    }
}

fn shows(s: &Stability, mark: Mark) -> Shows {
    let read = match s.by {
        KnownBy::Measured | KnownBy::AtMost => true,
        // A reading that holds no longer shows where it still speaks against the wine.
        KnownBy::Voided => mark == Mark::Outside,
        KnownBy::Typical | KnownBy::Share | KnownBy::AfterAct => false,
    };
    match mark {
        _ if !read || (mark == Mark::NotKnown && s.status == Status::Unknown) => Shows::NoTest,
        Mark::Ready if s.quantity.is_yes_no() => Shows::Passed,
        _ if s.quantity.is_yes_no() => Shows::Failed,
        _ => figure(s.quantity, s.value[1], s.by == KnownBy::AtMost),
    }
}

fn figure(which: Quantity, value: f64, at_most: bool) -> Shows {
    let facts = which.facts();
    // No digit of a bound is rounded away.
    let figure = if at_most {
        format!("< {}", show::plain(value))
    } else {
        show::fixed(value, facts.decimals)
    };
    Shows::Value {
        figure,
        unit: facts.unit,
    }
}

/// A check of the last days, once the record counts it; before that it hides nothing.
fn of_check(dossier: &Dossier, check: &'static LastCheck, proof: &Proof) -> Option<Member> {
    let passed = match (proof.shown, proof.because) {
        (Shown::Inside, _) => true,
        (Shown::Against, Some(Because::Outside)) => false,
        _ => return None,
    };
    let read = check.quantity.and_then(|q| Some((q, dossier.found(q)?)));
    let shows = match read {
        Some((q, found)) => figure(q, found.value, found.at_most),
        None if passed => Shows::Passed,
        None => Shows::Failed,
    };
    Some(by_look(check.lane?, check.key, passed, shows))
}

/// What was passed or failed stands just on its side of the limit.
fn by_look(lane: LaneKey, key: &'static str, passed: bool, shows: Shows) -> Member {
    let mark = if passed { Mark::Ready } else { Mark::Outside };
    Member {
        lane,
        key,
        mark,
        position: agreeing(mark, LIMIT),
        spread: None,
        shows,
    }
}

/// The height of a value: the logarithm of its share of the limit, a least limit turned over.
/// The limit itself lies at 0.5; [`EDGE`] times it, or more, at 0.
fn height(value: f64, limit: f64, least: bool) -> f64 {
    let over = if value <= 0.0 || limit <= 0.0 {
        // Nothing of it is the best below a ceiling; over one of zero anything is the worst.
        if (value <= 0.0) == least { 1.0 } else { -1.0 }
    } else {
        let share = if least { limit / value } else { value / limit };
        libm::log(share) / libm::log(EDGE)
    };
    (LIMIT - LIMIT * over).clamp(0.0, 1.0)
}

/// The height, on the side of the limit that its verdict names.
fn agreeing(mark: Mark, height: f64) -> f64 {
    match mark {
        Mark::Ready => height.max(LIMIT + CLEAR),
        Mark::Outside => height.min(LIMIT - CLEAR),
        Mark::Doubtful | Mark::NotKnown => LIMIT,
    }
}

fn lane(key: LaneKey, all: &[Member]) -> Lane {
    // Protein and colour share a place, and no wine has both.
    let second = [LaneKey::Protein, LaneKey::Colour];
    let here = |m: &&Member| m.lane == key || second.contains(&m.lane) && second.contains(&key);
    let mut gathered = all.iter().filter(here);
    let Some(first) = gathered.next() else {
        return Lane {
            key,
            mark: Mark::NotKnown,
            position: LIMIT,
            spread: Some(Spread { from: 0.0, to: 1.0 }),
            shows: Shows::DoesNotApply,
            stability: None,
            others: 0,
        };
    };
    let (mut worst, mut others) = (first, 0);
    for member in gathered {
        others += 1;
        if member.is_worse(worst) {
            worst = member;
        }
    }
    Lane {
        key,
        mark: worst.mark,
        position: worst.position,
        spread: worst.spread,
        shows: worst.shows.clone(),
        stability: Some(worst.key),
        others,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_height_is_the_logarithm_of_the_share_of_the_limit() {
        for (value, limit, least, expected) in [
            (2.0, 2.0, false, 0.5),
            (16.0, 2.0, false, 0.0),
            (160.0, 2.0, false, 0.0),
            (0.25, 2.0, false, 1.0),
            (0.0, 2.0, false, 1.0),
            (0.0, 0.8, true, 0.0),
            (6.4, 0.8, true, 1.0),
            (1.0, 0.0, false, 0.0),
        ] {
            let found = height(value, limit, least);
            assert!((found - expected).abs() < 1e-9, "{value} {limit}: {found}");
        }
        // Twice the limit lies as far over it as half of it below.
        assert!((height(2.0, 1.0, false) + height(0.5, 1.0, false) - 1.0).abs() < 1e-9);
        assert!(height(0.4, 0.8, true) < 0.5);
    }

    #[test]
    fn no_height_contradicts_its_mark() {
        for height in [0.0, 0.3, 0.5, 0.7, 1.0] {
            assert!(agreeing(Mark::Ready, height) > LIMIT);
            assert!(agreeing(Mark::Outside, height) < LIMIT);
            assert!((agreeing(Mark::Doubtful, height) - LIMIT).abs() < 1e-12);
        }
    }
}
