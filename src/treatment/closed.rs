//! What is closed to this wine by its own past and readings: what the log has, what was measured
//! over its limit, and what
//! it is not shown to be. It holds for the list, for routes and for the mass on the work order.

use crate::case::Act;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Status};
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// What closes a wine to a treatment.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Closed {
    /// An act of the log: the two may not be in one wine, or the one ends the other.
    Log {
        /// The act.
        act: &'static str,
        /// Its day, as typed.
        day: String,
        /// In words.
        text: String,
    },
    /// A reading: over the limit of what it adds to, or out of its reach.
    Reading {
        /// The quantity.
        quantity: Quantity,
        /// In words.
        text: String,
    },
    /// The wine is not shown to be what it must be.
    NotShown {
        /// What is not shown.
        lacks: Vec<Condition>,
        /// In words.
        text: String,
    },
}

impl Closed {
    /// The kind in one word, and the reason in words.
    pub fn words(&self) -> (&'static str, String) {
        match self {
            Closed::Log { text, .. } => ("Log", text.clone()),
            Closed::Reading { text, .. } => ("Analysis", text.clone()),
            Closed::NotShown { text, .. } => ("Not shown", text.clone()),
        }
    }
}

/// Share of a limit that an act must add to count as adding to it. Judgement: what adds less is
/// lost in the error of a
/// reading.
const ADDS: f64 = 0.05;

/// Every reason of this kind against a treatment. An act that the log has already is judged like
/// any other.
pub fn closed(dossier: &Dossier, treatment: &Treatment) -> Vec<Closed> {
    let mut found: Vec<Closed> = dossier
        .acts()
        .filter_map(|a| by_log(dossier, a, treatment))
        .collect();
    found.dedup();
    found.extend(
        treatment
            .effects
            .iter()
            .filter_map(|e| by_reading(dossier, e, treatment)),
    );
    let above = |(b, value): (&Bound, f64)| Closed::Reading {
        quantity: b.on,
        text: above(b, value),
    };
    found.extend(
        readings(dossier, treatment)
            .filter(|(b, value)| *value > b.most)
            .map(above),
    );
    found.extend(not_shown(dossier, treatment));
    found
}

/// Whether a sign that a link asks for was seen.
fn is_seen(dossier: &Dossier, link: &Link) -> bool {
    link.sign
        .is_none_or(|s| dossier.observed.get(s) == Some(&true))
}

/// What an act of the log says of a treatment: it may never share a wine with it, or it closes the
/// wine to it.
fn by_log(dossier: &Dossier, act: &Act, treatment: &Treatment) -> Option<Closed> {
    let given = act.treatment?;
    let speaks = |l: &&Link| {
        let there = l.first.contains(&given.key) && l.then.contains(&treatment.key);
        let back = l.kind == LinkKind::Never
            && l.then.contains(&given.key)
            && l.first.contains(&treatment.key);
        l.lasting && is_seen(dossier, l) && (there || back)
    };
    let link = LINKS.rows().iter().find(speaks)?;
    Some(Closed::Log {
        act: given.key,
        day: act.day.words(),
        text: format!("{} is in the log. {}", act.words(), link.why.text),
    })
}

/// What a reading over its limit says of a treatment that adds to it. A reading that is no longer
/// sure is no lower for that.
fn by_reading(dossier: &Dossier, effect: &Effect, treatment: &Treatment) -> Option<Closed> {
    let adds = effect.adds?.middle * treatment.dose.map_or(1.0, |d| d.range.middle);
    let facts = STABILITIES
        .rows()
        .iter()
        .find(|s| s.quantity == effect.on && s.closes_additions)?;
    let limit = stability::band(dossier, facts)?.ceiling?;
    let value = dossier.analysis(effect.on)?;
    (value >= limit && adds >= ADDS * limit).then(|| {
        let (name, unit) = (effect.on.label(), effect.on.facts().unit);
        let text = format!(
            "{name} was measured at {} {unit}, over its limit of {} {unit}, and this adds to it",
            show::plain(value),
            show::plain(limit)
        );
        Closed::Reading {
            quantity: effect.on,
            text,
        }
    })
}

/// What the wine must be for a treatment, and is not shown to be.
fn not_shown(dossier: &Dossier, treatment: &Treatment) -> Option<Closed> {
    let lacks: Vec<Condition> = treatment
        .only_in
        .iter()
        .copied()
        .filter(|c| !is_shown(dossier, *c))
        .collect();
    (!lacks.is_empty()).then(|| {
        let names: Vec<&str> = lacks.iter().map(|c| c.label()).collect();
        Closed::NotShown {
            text: format!("not shown of this wine: {}", show::listed(&names)),
            lacks,
        }
    })
}

fn is_shown(dossier: &Dossier, condition: Condition) -> bool {
    let inside = |q: Quantity| stability::status_of(dossier, q) == Status::Stable;
    match condition {
        Condition::FermentedOut => matches!(dossier.stage, Some(Stage::Dry | Stage::Ready)),
        Condition::Clear => inside(Quantity::Turbidity),
        Condition::MalolacticOver => {
            matches!(
                dossier.malolactic,
                Some(Malolactic::Done | Malolactic::Blocked)
            ) || inside(Quantity::Malic)
        }
    }
}

/// The readings of this wine that bound a treatment, with their bounds. One that an act has voided
/// says nothing.
fn readings(
    dossier: &Dossier,
    treatment: &Treatment,
) -> impl Iterator<Item = (&'static Bound, f64)> {
    treatment
        .bounds
        .iter()
        .filter(|b| !dossier.voided(b.on))
        .filter_map(|b| Some((b, dossier.analysis(b.on)?)))
}

/// “30 %”.
fn amount(of: Quantity, value: f64) -> String {
    format!("{} {}", show::plain(value), of.facts().unit)
}

fn above(bound: &Bound, value: f64) -> String {
    format!(
        "{} was measured at {}, and it is used up to {} only",
        bound.on.label(),
        amount(bound.on, value),
        amount(bound.on, bound.most)
    )
}

/// Why a reading of this wine lies out of the reach of a treatment: then it is neither tried nor
/// weighed.
pub fn out_of_reach(dossier: &Dossier, treatment: &Treatment) -> Option<String> {
    readings(dossier, treatment)
        .find(|(b, value)| *value > b.most)
        .map(|(b, value)| above(b, value))
}

/// A reading with which it may be used and is not sure.
pub fn at_its_edge(dossier: &Dossier, treatment: &Treatment) -> Option<String> {
    let near =
        |(b, value): &(&Bound, f64)| *value <= b.most && b.careful.is_some_and(|c| *value >= c);
    let (b, value) = readings(dossier, treatment).find(near)?;
    Some(format!(
        "{} was measured at {}: from {} on it is not sure.",
        b.on.label(),
        amount(b.on, value),
        amount(b.on, b.careful.unwrap_or(b.most))
    ))
}
