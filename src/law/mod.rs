//! What the law of each market says of a treatment on this wine. Only a text that was read permits
//! or forbids. What is believed, for good reason, ranks with what was read and is confirmed before
//! it is given; what is not known ranks after.

pub mod body;
mod confirm;
mod limit;
mod organic;
mod sulfur;

pub use confirm::{authorities, open, stands, to_confirm};
pub use limit::within_cap;
pub use organic::{organic, schemes_taken};
pub use sulfur::{so2_limit, so2_limits};

use crate::case::Case;
use crate::knowledge::*;
use crate::wine::*;
use serde::Serialize;

/// What the law says, as far as it was read. Ordered from clear to closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Legality {
    /// Permitted with no number.
    Permitted,
    /// Permitted up to a limit.
    Limited,
    /// Handling, a process or a food that the texts read ask no permission for: concluded, not
    /// quoted.
    Free,
    /// Its listing was read and its figure was not, or it stands in a text that quotes the law, or
    /// in two texts from memory: confirm before it is given.
    Believed,
    /// No text was read that settles it: confirm first.
    NotKnown,
    /// A closed list that was read does not name it.
    NotListed,
    /// Not permitted.
    Forbidden,
}

impl Legality {
    /// The words on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Legality::Permitted => "Permitted",
            Legality::Limited => "Limited",
            Legality::Free => "No permission asked for by the texts read",
            Legality::Believed => "Believed, not read: confirm first",
            Legality::NotKnown => "Not known: confirm first",
            Legality::NotListed => "Not listed",
            Legality::Forbidden => "Forbidden",
        }
    }
    /// Whether the law was read and does not stand against it.
    pub const fn allows(self) -> bool {
        matches!(
            self,
            Legality::Permitted | Legality::Limited | Legality::Free
        )
    }
    /// Whether it is to be confirmed before it is given.
    pub const fn is_open(self) -> bool {
        matches!(self, Legality::Believed | Legality::NotKnown)
    }
    /// Whether the law shuts it out.
    pub const fn shuts_out(self) -> bool {
        matches!(self, Legality::NotListed | Legality::Forbidden)
    }
}

/// The finding for one market.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Finding {
    /// The market.
    pub market: Market,
    /// The body of law that answers.
    pub law: Law,
    /// Through which door the wine comes in.
    pub basis: RuleBasis,
    /// The answer.
    pub legality: Legality,
    /// Article.
    pub article: &'static str,
    /// Text and date that were read.
    pub edition: &'static str,
    /// What was read.
    pub evidence: Evidence,
    /// Limits in words.
    pub limits: Vec<&'static str>,
    /// Conditions in words.
    pub conditions: Vec<&'static str>,
    /// Why it is not verified, or which agreement opens the door.
    pub note: String,
    /// Greatest dose that this finding allows, in the treatment's own unit.
    pub dose_cap: Option<f64>,
    /// Problems that it permits the use for; empty for any.
    pub only_for: &'static [Problem],
    /// The organic scheme that the greatest dose comes from; None where it is the law.
    pub cap_by: Option<Organic>,
    /// Source key.
    pub source: &'static str,
    /// At a border: its rule was not read, and nothing that is known speaks against it. It settles
    /// nothing: the law of where the
    /// wine is made does.
    pub border_unread: bool,
}

/// Every market a wine must satisfy: where it is made, then where it is sold. A wine with no market
/// named must satisfy none.
pub fn findings(case: &Case, treatment: &Treatment) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(made) = case.made_in {
        found.push(finding(
            case,
            treatment,
            made,
            body::own(made),
            RuleBasis::Own,
        ));
    }
    for sold in case
        .sold_in
        .iter()
        .copied()
        .filter(|m| Some(*m) != case.made_in)
    {
        found.push(match case.made_in {
            // Not said where it is made: read as made where it is sold; the advice says so.
            None => finding(case, treatment, sold, body::own(sold), RuleBasis::Own),
            Some(made) => through_border(case, treatment, made, sold),
        });
    }
    found
}

/// The same findings for one problem: what is permitted for others alone is forbidden for it, and
/// what is believed for others alone is not known.
pub fn for_problem(found: &[Finding], problem: Problem) -> Vec<Finding> {
    let judged = |f: &Finding| {
        let mut f = f.clone();
        if f.names_others(&[problem]) && !f.legality.shuts_out() {
            f.note = only_for(&f);
            f.legality = if f.legality.allows() {
                Legality::Forbidden
            } else {
                Legality::NotKnown
            };
        }
        f
    };
    found.iter().map(judged).collect()
}

/// “permitted only for: off-odour”.
pub fn only_for(f: &Finding) -> String {
    let names: Vec<&str> = f.only_for.iter().map(|p| p.label()).collect();
    let names = crate::units::show::listed(&names);
    if f.legality.allows() {
        format!("permitted only for: {names}")
    } else {
        format!("believed to be permitted only for: {names}")
    }
}

impl Finding {
    /// Whether it permits the use, but for none of these problems.
    pub fn is_other_use(&self, problems: &[Problem]) -> bool {
        self.legality.allows() && self.names_others(problems)
    }

    /// Whether it names uses, and none of these problems is among them.
    fn names_others(&self, problems: &[Problem]) -> bool {
        !self.only_for.is_empty() && !problems.iter().any(|p| self.only_for.contains(p))
    }
}

/// The hardest answer of several; None when no market was named. A border whose rule was not read
/// is left out: it would make
/// all treatments alike, and so lift what the law at home has not admitted. [`border`] says it once
/// for the wine.
pub fn hardest(found: &[Finding]) -> Option<Legality> {
    found
        .iter()
        .filter(|f| !f.border_unread)
        .map(|f| f.legality)
        .max()
}

/// What holds of the law for the whole wine, in words, by the findings of all that is shown.
pub fn said(case: &Case, found: &[&Finding]) -> Vec<String> {
    let mut said = border(case, found);
    said.extend(schemes_taken(case));
    said
}

/// What was not read of the borders that a wine crosses, in words, by the findings of all that is
/// shown: once for the wine.
pub fn border(case: &Case, found: &[&Finding]) -> Vec<String> {
    let unread = |m: &&Market| found.iter().any(|f| f.market == **m && f.border_unread);
    let open: Vec<Market> = case.sold_in.iter().filter(unread).copied().collect();
    let names = |part: bool| {
        open.iter()
            .filter(|m| body::import(**m).is_some() == part)
            .map(|m| m.label())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let mut said = Vec::new();
    let whole = names(false);
    if let (false, Some(made)) = (whole.is_empty(), case.made_in) {
        let home = made.label();
        said.push(format!(
            "Import rule not read: {whole}. Treatments are judged by the law of where it is made: {home}. Confirm with the authority of the market before treating."
        ));
    }
    let part = names(true);
    if !part.is_empty() {
        said.push(format!(
            "Import rule read only in part: {part}. The page of each treatment says what was read."
        ));
    }
    said
}

fn rule_of(case: &Case, treatment: &Treatment, law: Law) -> Option<&'static LawRule> {
    LAW.iter().find(|r| {
        r.materials.contains(&treatment.material)
            && r.law.contains(&law)
            && holds_for(r.colours, case.colour)
            && (r.stages.is_empty() || case.stage.is_some_and(|s| r.stages.contains(&s)))
            && (r.styles.is_empty() || case.style.is_some_and(|s| r.styles.contains(&s)))
    })
}

/// Whether a body of law has any rule on this material, whatever the colour or stage: used to say
/// what is missing.
fn any_rule(treatment: &Treatment, law: Law) -> bool {
    LAW.iter()
        .any(|r| r.materials.contains(&treatment.material) && r.law.contains(&law))
}

fn finding(
    case: &Case,
    treatment: &Treatment,
    market: Market,
    law: Law,
    basis: RuleBasis,
) -> Finding {
    let fruit = case.style == Some(Style::Fruit);
    // Handling is no question of law, whatever the wine is made of.
    let covered = |r: &&LawRule| !fruit || r.verdict == Verdict::Free;
    let Some(rule) = rule_of(case, treatment, law).filter(covered) else {
        let missing = if fruit {
            "The law read here is that of grape wine; fruit wine is not covered."
        } else if any_rule(treatment, law) {
            "The rules read do not settle it for this colour, style and stage."
        } else {
            "No rule on this was read."
        };
        let facts = BODIES.iter().find(|b| b.law == law);
        let closed = facts
            .and_then(|b| b.closed.as_ref())
            .filter(|_| !fruit && treatment.dose.is_some() && !any_rule(treatment, law));
        return Finding {
            market,
            law,
            basis,
            legality: closed.map_or(Legality::NotKnown, |_| Legality::NotListed),
            article: closed
                .map(|c| c.name)
                .or(facts.map(|b| b.name))
                .unwrap_or_default(),
            edition: facts.map_or("", |b| b.edition),
            evidence: closed.map_or(Evidence::Memory, |_| Evidence::InForce),
            limits: Vec::new(),
            conditions: Vec::new(),
            note: match (closed, facts) {
                (Some(c), _) => c.why.text.to_string(),
                (None, Some(b)) => format!("{missing} {}", b.unlisted.text),
                (None, None) => missing.to_string(),
            },
            dose_cap: None,
            cap_by: None,
            only_for: &[],
            source: closed.map_or("", |c| c.why.source),
            border_unread: basis != RuleBasis::Own && closed.is_none(),
        };
    };
    let (legality, note) = judged(rule);
    let mut cap = limit::dose_cap(rule, case, treatment, law);
    if legality == Legality::Believed && rule.limits_unread && cap.dose.is_none() {
        cap = limit::lowest_known(case, treatment, law);
    }
    Finding {
        market,
        law,
        basis,
        legality,
        article: rule.article,
        edition: rule.edition,
        evidence: rule.evidence,
        limits: rule.limits.iter().map(|l| l.text).collect(),
        conditions: rule.conditions.to_vec(),
        note: format!("{note} {}", cap.note).trim().to_string(),
        dose_cap: cap.dose,
        cap_by: cap.by,
        only_for: rule.problems,
        source: rule.source,
        border_unread: basis != RuleBasis::Own
            && legality == Legality::NotKnown
            && rule.verdict != Verdict::Forbidden,
    }
}

const EARLIER: &str =
    "Read in an earlier text, or in the file that the law refers to: confirm the row in force.";

/// What a rule comes to, given what of it was read. Only a text that was read permits or forbids.
fn judged(rule: &LawRule) -> (Legality, &'static str) {
    let unread = |e: Evidence| matches!(e, Evidence::Memory | Evidence::Secondary);
    let limit_unread = rule.limits_unread || rule.limits.iter().any(|l| unread(l.evidence));
    match (rule.verdict, rule.evidence) {
        (Verdict::Forbidden, Evidence::Memory) => (
            Legality::NotKnown,
            "Believed not to be permitted; the text was not read.",
        ),
        (Verdict::Forbidden, Evidence::Secondary) => (
            Legality::NotKnown,
            "Not permitted by a text that quotes the law, which was not read.",
        ),
        (Verdict::Forbidden, _) => (Legality::Forbidden, ""),
        (Verdict::Permitted, Evidence::Memory) if !rule.second.is_empty() => (
            Legality::Believed,
            "From memory, and a second text says the same; the law itself was not read.",
        ),
        (_, Evidence::Memory) => (
            Legality::NotKnown,
            "Believed to be permitted; the text was not read.",
        ),
        (Verdict::Free, _) => (
            Legality::Free,
            "Concluded from what the texts read do and do not list; no article says so.",
        ),
        (Verdict::Permitted, Evidence::Secondary) => (
            Legality::Believed,
            "Read in a text that quotes the law, not in the law itself.",
        ),
        (Verdict::Permitted, Evidence::Concluded) => (
            Legality::Believed,
            "Believed to fall under a wider entry that was read; none names it.",
        ),
        (Verdict::Permitted, _) if limit_unread => (
            Legality::Believed,
            "Its listing was read; whether, or which, limit stands beside it was not.",
        ),
        (Verdict::Permitted, evidence) => {
            let legality = if rule.limits.is_empty() {
                Legality::Permitted
            } else {
                Legality::Limited
            };
            (
                legality,
                if evidence == Evidence::Earlier {
                    EARLIER
                } else {
                    ""
                },
            )
        }
    }
}

/// A wine made in one market and sold in another: by mutual acceptance that was read, else by the
/// law for imports that was
/// read, else not known. Plain handling is no question at a border.
fn through_border(case: &Case, treatment: &Treatment, made: Market, sold: Market) -> Finding {
    let accepted = ACCEPTANCES
        .iter()
        .find(|a| a.made.contains(&made) && a.sold.contains(&sold));
    let handling =
        rule_of(case, treatment, body::own(made)).is_some_and(|r| r.verdict == Verdict::Free);
    if let (Some(law), true) = (
        body::import(sold),
        accepted.is_none_or(|a| a.evidence == Evidence::Memory),
    ) {
        let imported = finding(case, treatment, sold, law, RuleBasis::Import);
        if !(handling && imported.border_unread) {
            return imported;
        }
    }
    let mut at_home = finding(
        case,
        treatment,
        made,
        body::own(made),
        RuleBasis::Acceptance,
    );
    at_home.market = sold;
    at_home.border_unread = false;
    match accepted {
        Some(a) if a.evidence != Evidence::Memory => {
            at_home.note = format!("{} ({}). {}", a.text, a.article, at_home.note)
                .trim()
                .to_string()
        }
        _ if handling => {}
        not_read => {
            at_home.legality = at_home.legality.max(Legality::NotKnown);
            at_home.border_unread = at_home.legality == Legality::NotKnown;
            at_home.note = match not_read {
                Some(a) => format!("{} ({}): believed, not read.", a.text, a.article),
                None => format!("The import rule of {} was not read.", sold.label()),
            };
        }
    }
    at_home
}
