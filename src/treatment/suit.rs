//! Why a treatment is left out. Every reason that holds is given, none is silent.

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules::{self, Judged, Kind, Ruling};
use crate::wine::*;
use serde::Serialize;

pub use crate::rules::keeps;

/// One reason to leave a treatment out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Reason {
    /// The kind of reason.
    pub because: Kind,
    /// What the judge says.
    pub ruling: Ruling,
}

impl From<Ruling> for Reason {
    fn from(ruling: Ruling) -> Reason {
        Reason {
            because: ruling.because(),
            ruling,
        }
    }
}

impl Reason {
    /// The kind of reason in one word, and the reason in words.
    pub fn words(&self) -> (&'static str, &str) {
        (self.ruling.kind(), &self.ruling.text)
    }
}

/// A treatment left out, with every reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LeftOut {
    /// Key of the treatment.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Why.
    pub reasons: Vec<Reason>,
}

impl LeftOut {
    /// An act that the rules shut out.
    pub fn of(judged: &Judged) -> LeftOut {
        let all = judged.against.iter().cloned();
        LeftOut {
            key: judged.act.key,
            name: judged.act.name,
            reasons: all.map(Reason::from).collect(),
        }
    }
}

/// Every reason against a treatment on this wine, whatever it is for.
pub fn reasons(dossier: &Dossier, treatment: &Treatment) -> Vec<Reason> {
    ruled(dossier, treatment, None)
}

/// Every reason against a treatment for one problem.
pub fn reasons_for(dossier: &Dossier, treatment: &Treatment, problem: Problem) -> Vec<Reason> {
    ruled(dossier, treatment, Some(problem))
}

fn ruled(dossier: &Dossier, treatment: &Treatment, problem: Option<Problem>) -> Vec<Reason> {
    let all = rules::against(dossier, treatment, problem).into_iter();
    all.map(Reason::from).collect()
}

/// The laws that permit a treatment, but for none of these problems.
pub fn other_use(dossier: &Dossier, treatment: &Treatment, problems: &[Problem]) -> Vec<Reason> {
    let of = |p: &Problem| -> Vec<Reason> {
        let all = reasons_for(dossier, treatment, *p).into_iter();
        all.filter(|r| r.ruling.asks() == Some(OfAct::LawOtherUse))
            .collect()
    };
    let rest: Vec<Vec<Reason>> = problems.iter().skip(1).map(of).collect();
    let first = problems.first().map(of).unwrap_or_default().into_iter();
    first
        .filter(|r| rest.iter().all(|other| other.contains(r)))
        .collect()
}

/// Costly equipment that a treatment needs and that was not said to be had. What is owned, hired or
/// comes by contract is not
/// named.
pub fn to_hire(dossier: &Dossier, treatment: &Treatment) -> Vec<Kit> {
    let open = |k: &Kit| !dossier.kit.contains_key(k) && COSTLY.iter().any(|c| c.kit == *k);
    let possible: Vec<Kit> = treatment
        .kit
        .iter()
        .copied()
        .filter(|k| rules::has_kit(dossier, *k))
        .collect();
    if treatment.any_kit && !possible.iter().all(open) {
        Vec::new()
    } else {
        possible.into_iter().filter(open).collect()
    }
}
