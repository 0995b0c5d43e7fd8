//! What the likely cause of a wine puts first, opens and closes.

use super::value::{Fact, Truth};
use super::{Now, condition, is_about, words};
use crate::dossier::Dossier;
use crate::knowledge::{Rule, TREATMENTS};
use crate::wine::*;
use serde::Serialize;

/// A rule that holds by the likely cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ByCause {
    /// Key of the rule.
    pub rule: &'static str,
    /// What it says of the acts.
    pub verdict: RuleVerdict,
    /// Keys of the acts.
    pub acts: Vec<&'static str>,
    /// The needs that it is about; every use where none is named.
    pub needs: &'static [Problem],
    /// In words, as whole sentences.
    pub text: String,
    /// How it is known.
    pub standing: Standing,
    /// Keys of its sources.
    pub source: &'static str,
}

/// What the likely cause of a wine says of acts, rule by rule: first what it puts first, then what it
/// shuts out, then what it makes doubtful. Nothing where no cause is likely.
pub fn by_cause(dossier: &Dossier) -> Vec<ByCause> {
    let of = |verdicts: &'static [RuleVerdict]| {
        let rules = dossier.rules().iter();
        let rules = rules.filter(move |r| verdicts.contains(&r.verdict));
        rules.filter_map(|r| holds_by_cause(dossier, r))
    };
    of(&[RuleVerdict::Preferred])
        .chain(of(&[RuleVerdict::Never, RuleVerdict::Hold]))
        .chain(of(&[RuleVerdict::Caution]))
        .collect()
}

fn holds_by_cause(dossier: &Dossier, rule: &'static Rule) -> Option<ByCause> {
    let asks = |rule: &Rule| {
        rule.when
            .iter()
            .flat_map(|c| c.any)
            .any(|q| q.cause.is_some())
    };
    if !asks(rule) {
        return None;
    }
    let now = Now::of(dossier);
    let need = rule.needs.first().copied();
    let acts: Vec<&'static str> = TREATMENTS
        .rows()
        .iter()
        .filter(|t| is_about(rule, t, need))
        .filter(|t| {
            let value = condition(rule, &now, t, need);
            let by_cause = value.witness.iter().any(|f| matches!(f, Fact::Cause(_)));
            value.truth == Truth::Yes && by_cause
        })
        .map(|t| t.key)
        .collect();
    (!acts.is_empty()).then(|| ByCause {
        rule: rule.key,
        verdict: rule.verdict,
        text: words::by_cause(rule, &acts),
        acts,
        needs: rule.needs,
        standing: rule.why.standing,
        source: rule.why.source,
    })
}
