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
    /// In words, as whole sentences.
    pub text: String,
}

/// What the likely cause of a wine says of acts, rule by rule: first what it puts first, then what it
/// shuts out, then what it makes doubtful. Nothing where no cause is likely.
pub fn by_cause(dossier: &Dossier) -> Vec<ByCause> {
    // In the order in which they are said.
    const ORDER: [&[RuleVerdict]; 3] = [
        &[RuleVerdict::Preferred],
        &[RuleVerdict::Never, RuleVerdict::Hold],
        &[RuleVerdict::Caution],
    ];
    let mut all = Vec::new();
    for verdicts in ORDER {
        for rule in dossier.rules() {
            if verdicts.contains(&rule.verdict) {
                all.extend(holds_by_cause(dossier, rule));
            }
        }
    }
    all
}

fn holds_by_cause(dossier: &Dossier, rule: &'static Rule) -> Option<ByCause> {
    if !rule
        .when
        .iter()
        .flat_map(|c| c.any)
        .any(|q| q.cause.is_some())
    {
        return None;
    }
    let now = Now::of(dossier);
    let need = rule.needs.first().copied();
    let mut acts = Vec::new();
    for t in TREATMENTS.rows() {
        if is_about(rule, t, need) {
            let value = condition(rule, &now, t, need);
            let by_cause = value.witness.iter().any(|f| matches!(f, Fact::Cause(_)));
            if value.truth == Truth::Yes && by_cause {
                acts.push(t.key);
            }
        }
    }
    (!acts.is_empty()).then(|| ByCause {
        rule: rule.key,
        verdict: rule.verdict,
        text: words::by_cause(rule, &acts),
        acts,
    })
}
