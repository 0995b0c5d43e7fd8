//! Answers that are no treatment: wait, a laboratory, prevention, a lower class, and that experts
//! differ. They go by rows of `74-honest.toml` and by rules that clash.

use super::value::{Fact, Truth, Value, hold};
use super::{Judged, Now, Ruling, reason, words};
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::knowledge::{HONEST, HonestRow};
use crate::wine::*;

/// An answer with its sentences.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// What it says.
    pub key: AnswerKey,
    /// Key of its row, or of the rule that puts the act first.
    pub row: &'static str,
    /// In words.
    pub text: String,
}

/// Two rules of one strength that pull an act both ways, each by a text that it names.
#[derive(Debug, Clone, PartialEq)]
pub struct Clash {
    /// Key of the act.
    pub act: &'static str,
    /// The rule that puts it first.
    pub first: Ruling,
    /// The rule that speaks against it.
    pub against: Ruling,
}

/// The answers that fit a need of a wine, by what was judged of the acts for it.
pub fn honest(dossier: &Dossier, need: Problem, judged: &[Judged]) -> Vec<Answered> {
    let now = Now::of(dossier);
    let mut all = Vec::new();
    for row in HONEST.rows() {
        if row.needs.contains(&need) && fits(row, &now).truth == Truth::Yes {
            all.push(Answered {
                key: key(row.says),
                row: row.key,
                text: words::honest(row),
            });
        }
    }
    for clash in clashes(judged) {
        all.push(Answered {
            key: AnswerKey::ExpertsDiffer,
            row: clash.first.rule,
            text: words::clash(&clash),
        });
    }
    all
}

impl Answered {
    /// Puts it behind an answer, and its key among those that are said.
    pub fn behind(&self, answer: &mut String, says: &mut Vec<AnswerKey>) {
        if !says.contains(&self.key) {
            says.push(self.key);
        }
        answer.push(' ');
        answer.push_str(&self.text);
    }
}

/// The condition of a row; a row without one holds of every wine.
fn fits(row: &HonestRow, now: &Now<'_>) -> Value {
    // The build lets an answer ask nothing of an act.
    let none = || Value {
        truth: Truth::NotKnown,
        witness: Vec::new(),
    };
    hold(row.when, &|q| now.of_wine(q).unwrap_or_else(none))
}

const fn key(says: Honest) -> AnswerKey {
    match says {
        Honest::MeasureFirst => AnswerKey::MeasureFirst,
        Honest::WaitAndRack => AnswerKey::WaitAndRack,
        Honest::Laboratory => AnswerKey::Laboratory,
        Honest::NothingCures => AnswerKey::NothingCures,
        Honest::Prevent => AnswerKey::Prevent,
        Honest::Declassify => AnswerKey::Declassify,
        Honest::LiveWith => AnswerKey::LiveWith,
    }
}

/// The clashes of a need. A rule of our own judgement, or of common practice, names no text that
/// another could contradict.
pub fn clashes(judged: &[Judged]) -> Vec<Clash> {
    let mut all = Vec::new();
    for j in judged.iter().filter(|j| !j.preferred.is_empty()) {
        // What the log closes is closed: no text says otherwise of such a wine.
        let by_log = |f: &Fact| matches!(f, Fact::Logged(_) | Fact::Earlier(_));
        let stands = |o: &&Ruling| o.truth == Truth::Yes && !o.witness.iter().any(by_log);
        for first in &j.preferred {
            let contradicts = |o: &&Ruling| {
                o.strength == first.strength && are_two_texts(source(first), source(o))
            };
            let mut others = j.against.iter().chain(&j.cautions).filter(stands);
            if let Some(against) = others.find(contradicts) {
                all.push(Clash {
                    act: j.act.key,
                    against: against.clone(),
                    first: first.clone(),
                });
            }
        }
    }
    all
}

/// The keys of the sources of a ruling; empty where it names no text.
pub(super) fn source(ruling: &Ruling) -> &'static str {
    reason(ruling.rule).map_or("", |why| why.source)
}

fn are_two_texts(one: &str, other: &str) -> bool {
    !one.is_empty() && !other.is_empty() && one != other
}
