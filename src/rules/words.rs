//! The English of a ruling, from its witness.

use super::fits::{self, KitOut};
use super::honest::source;
use super::now::Now;
use super::order::Bearing;
use super::value::{Fact, Truth, Value};
use super::{Apart, Clash, Kind, Ruling, asked};
use crate::knowledge::{CAUSES, HonestRow, Question, Rule, SIGNS, Treatment, treatment};
use crate::law;
use crate::units::show;
use crate::wine::*;

/// What a rule says of an act: the facts, then its reason.
pub(super) fn of(rule: &Rule, now: &Now<'_>, act: &Treatment, value: &Value) -> String {
    if let Some(text) = asked(rule).and_then(|asked| fit(asked, now, act, &value.witness)) {
        return text;
    }
    let mut said: Vec<String> = value
        .witness
        .iter()
        .filter_map(|f| fact(f, now, act, rule.verdict, value.truth))
        .map(sentence)
        .collect();
    // What bounds the act, or does not fit it, says it all.
    let whole = |q: &Question| {
        q.act
            .is_some_and(|a| !matches!(a, OfAct::GivenSince | OfAct::NotInLine))
    };
    if !rule.when.iter().flat_map(|c| c.any).any(whole) {
        said.push(rule.why.text.to_string());
    }
    said.join(" ")
}

/// Why an act does not fit the wine.
fn fit(asked: OfAct, now: &Now<'_>, act: &Treatment, witness: &[Fact]) -> Option<String> {
    let wine = now.dossier;
    let law = wine.law(act);
    let by = |market: &Market| law.iter().find(|f| f.market == *market);
    Some(match (asked, witness.first()?) {
        (OfAct::Licensed, _) => act.summary.to_string(),
        (OfAct::OperatorMissing, _) => {
            "A trained operator with a dosing unit only; none is named under equipment.".into()
        }
        (OfAct::LawForbids, Fact::Market(m)) => {
            let f = by(m)?;
            let (market, limits) = (m.label(), f.limits.join("; "));
            if limits.is_empty() {
                format!("{market}: not permitted ({}).", f.article)
            } else {
                format!("{market}: not permitted: {limits} ({}).", f.article)
            }
        }
        (OfAct::LawNotListed, Fact::Market(m)) => {
            format!("{}: not listed ({}).", m.label(), by(m)?.article)
        }
        (OfAct::LawOtherUse, Fact::Market(m)) => {
            let f = by(m)?;
            format!("{}: {} ({}).", m.label(), law::only_for(f), f.article)
        }
        (OfAct::CapBelowUseful, Fact::Market(m)) => format!(
            "{}: the limit lies below the least useful dose ({}).",
            m.label(),
            by(m)?.article
        ),
        (OfAct::CapBelowUseful, Fact::Scheme(s)) => {
            format!("{}: the limit lies below the least useful dose.", s.label())
        }
        (OfAct::ClaimBroken, Fact::Claim(Claim::NoSulfite)) => {
            format!("{}: it adds sulfur dioxide.", Claim::NoSulfite.label())
        }
        (OfAct::ClaimBroken, Fact::Claim(c)) => format!(
            "{}: it is of origin “{}”.",
            c.label(),
            show::lower(act.origin.label())
        ),
        (OfAct::SchemeForbids, Fact::Scheme(s)) => {
            let rule = law::organic(*s, act)?;
            let doubt = if rule.evidence == Evidence::Memory {
                " (text not read: confirm with the certifier)"
            } else {
                ""
            };
            format!("{}: {}{doubt}", s.label(), rule.text)
        }
        (OfAct::StyleExcluded, Fact::Style(s)) => {
            format!("Not used on: {}.", show::lower(s.label()))
        }
        (OfAct::InBottle, _) => "Nothing is dosed into a bottle.".into(),
        (OfAct::StageNotIts, _) => {
            let when: Vec<&str> = act.stages.iter().map(|s| s.label()).collect();
            format!("Used at: {}.", show::lower(&when.join(", ")))
        }
        (OfAct::KitMissing, Fact::Kit(kit)) => format!("{}: not to be had.", kit.label()),
        (OfAct::LotBelowMinimum, Fact::Kit(kit)) => match fits::kit_out(wine, *kit)? {
            KitOut::LotBelow { least, lot } => format!(
                "{} comes for {} L or more; this lot is {} L.",
                kit.label(),
                show::fixed(least, 0),
                show::fixed(lot, 0)
            ),
            KitOut::Missing => return None,
        },
        (OfAct::NoEffect, Fact::Named(needs)) => format!(
            "Nothing read says that it acts on: {}.",
            show::inside(needs.first()?.label())
        ),
        _ => return None,
    })
}

/// A whole sentence; a question has its own mark.
fn sentence(text: String) -> String {
    if text.ends_with('?') {
        text
    } else {
        format!("{text}.")
    }
}

/// That an act goes before an earlier step.
pub(super) fn goes_before(ruling: &Ruling, number: usize, name: &str) -> String {
    format!("Goes before step {number} ({name}). {}", ruling.text)
}

/// That an act stands hours after a step of the plan.
pub(super) fn after_step(apart: &Apart, number: usize, name: &str) -> String {
    let hours = show::plain(apart.hours);
    let text = &apart.ruling.text;
    format!("At least {hours} h after step {number} ({name}). {text}")
}

/// That an act stands hours after one of the log: “At least 48 h after CMC (2026-11-10). …”.
pub(super) fn after_act(apart: &Apart, act: &str) -> String {
    let hours = show::plain(apart.hours);
    format!("At least {hours} h after {act}. {}", apart.ruling.text)
}

/// That an act that is done on the bottling day stands on another.
pub(super) fn not_the_day(rule: &Rule, bottling: &str) -> String {
    format!(
        "The bottling is on {bottling}, not on its day. {}",
        rule.why.text
    )
}

/// That an act waits for a test.
pub(super) fn not_shown(ruling: &Ruling) -> String {
    format!("Not yet: {}", ruling.text)
}

/// A rule on order, as a line: “Before it: …”.
pub(super) fn bearing(of: &Bearing) -> String {
    format!("{}: {}", of.verdict.label(), of.text)
}

/// That an act comes before the others of a need, and why.
pub(super) fn first(ruling: &Ruling, act: &str) -> String {
    format!("{act} comes first here. {}", ruling.text)
}

/// So many acts of a rule are named; more of them are counted.
const NAMED: usize = 4;

/// What a rule says of its acts, by the likely cause.
pub(super) fn by_cause(rule: &Rule, acts: &[&str]) -> String {
    let of = |key: &&&str| treatment(key).map(|t| t.name);
    let names: Vec<&str> = acts.iter().take(NAMED).filter_map(|k| of(&k)).collect();
    let names = show::listed(&names);
    let acts = match acts.len().saturating_sub(NAMED) {
        0 => names,
        more => format!("{names} and {more} more"),
    };
    let what = match rule.verdict {
        RuleVerdict::Preferred => format!("First: {acts}."),
        RuleVerdict::Never | RuleVerdict::Hold => format!("Not: {acts}."),
        _ => format!("With caution: {acts}."),
    };
    format!("{what} {}", rule.why.text)
}

/// What an answer says that is no treatment.
pub(super) fn honest(row: &HonestRow) -> String {
    let lead = match row.says {
        Honest::MeasureFirst => "Measure first.",
        Honest::WaitAndRack => "Wait and rack.",
        Honest::Laboratory => "Ask a laboratory or a specialist.",
        Honest::NothingCures => "Nothing here cures this.",
        Honest::Prevent => "Prevent it next year.",
        Honest::Declassify => "Declassify it, or sell and drink it early.",
        Honest::LiveWith => "It may be lived with for as long as it is held.",
    };
    format!("{lead} {}", row.why.text)
}

/// That two texts say opposite things of an act, with what each says and where.
pub(super) fn clash(clash: &Clash) -> String {
    let name = treatment(clash.act).map_or("", |t| t.name);
    format!(
        "Experts differ on this: {}. {} {} Sources: {}; {}.",
        show::inside(name),
        clash.first.why(),
        clash.against.why(),
        source(&clash.first),
        source(&clash.against)
    )
}

/// The kind of what a ruling rests on.
pub(super) fn kind(ruling: &Ruling) -> &'static str {
    if ruling.verdict == RuleVerdict::Preferred {
        return "Comes first";
    }
    match ruling.because() {
        Kind::Law => return "Law",
        Kind::Claim | Kind::Organic => return "Claim",
        Kind::Style => return "Style",
        Kind::Stage => return "Stage",
        Kind::Kit => return "Kit",
        Kind::Licensed => return "Licence",
        Kind::NoEvidence => return "No evidence",
        Kind::Rule => {}
    }
    let has = |wanted: fn(&Fact) -> bool| ruling.witness.iter().any(wanted);
    match ruling.truth {
        Truth::NotKnown => "Not shown",
        _ if has(|f| matches!(f, Fact::Logged(_))) => "Log",
        _ if has(|f| matches!(f, Fact::Reading(_))) => "Analysis",
        _ if has(|f| matches!(f, Fact::Colour)) => "Colour",
        _ if has(|f| matches!(f, Fact::Claim(_))) => "Claim",
        _ if has(|f| matches!(f, Fact::Cause(_) | Fact::CauseOpen | Fact::Named(_))) => "Cause",
        _ => "Not shown",
    }
}

/// “30 %”.
fn amount(of: Quantity, value: f64) -> String {
    format!("{} {}", show::plain(value), of.facts().unit)
        .trim_end()
        .to_string()
}

/// What there is to say of a fact; nothing where the reason says it already.
fn fact(
    fact: &Fact,
    now: &Now<'_>,
    act: &Treatment,
    verdict: RuleVerdict,
    truth: Truth,
) -> Option<String> {
    let unknown = truth == Truth::NotKnown;
    let waits = verdict == RuleVerdict::UntilShown;
    Some(match fact {
        Fact::Logged(number) => {
            let act = now.dossier.acts().find(|a| a.number == *number)?;
            format!("{} is in the log", act.words())
        }
        Fact::Earlier(key) => {
            let name = treatment(key)?.name;
            format!("{name} comes before it")
        }
        Fact::Sign(key) if unknown => {
            let sign = SIGNS.iter().find(|s| s.key == *key)?;
            format!("Not answered yet: {}", sign.question)
        }
        Fact::Cause(key) => {
            let cause = CAUSES.iter().find(|c| c.key == *key)?;
            format!("The likely cause is: {}", show::inside(cause.name))
        }
        Fact::Reading(which) if unknown && waits => {
            format!("Measure this first: {}", show::inside(which.label()))
        }
        Fact::Reading(which) => read(*which, now, act, unknown)?,
        Fact::Colour if unknown => "The colour was not said".into(),
        Fact::Stage if unknown => "Where the wine stands was not said".into(),
        Fact::Malolactic if unknown => "Malolactic fermentation was not answered".into(),
        _ => return None,
    })
}

/// What a reading says: over the limit, over a bound of the act, or that there is none.
fn read(which: Quantity, now: &Now<'_>, act: &Treatment, unknown: bool) -> Option<String> {
    let label = which.label();
    let Some(value) = now.dossier.analysis(which).filter(|_| !unknown) else {
        return Some(format!("Not shown yet: {}", show::inside(label)));
    };
    let measured = amount(which, value);
    if let Some(b) = act.bounds.iter().find(|b| b.on == which) {
        return Some(if value > b.most {
            let most = amount(which, b.most);
            format!("{label} was measured at {measured}, and it is used up to {most} only")
        } else {
            let careful = amount(which, b.careful.unwrap_or(b.most));
            format!("{label} was measured at {measured}: from {careful} on it is not sure")
        });
    }
    let limit = now.ceiling(which)?;
    Some(if value >= limit {
        let limit = amount(which, limit);
        format!("{label} was measured at {measured}, over its limit of {limit}")
    } else {
        format!("{label} was measured at {measured}")
    })
}
