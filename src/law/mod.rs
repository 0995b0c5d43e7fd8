//! Is this treatment, on this wine, permitted, limited, forbidden or not verified in each market it must satisfy? A rule
//! that was not read is "not verified", whatever it is believed to say, and never counts as allowed.

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
    /// No text was read that settles it: confirm first.
    NotVerified,
    /// Not permitted.
    Forbidden,
}

impl Legality {
    /// The words on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Legality::Permitted => "Permitted",
            Legality::Limited => "Limited",
            Legality::NotVerified => "Not verified: confirm first",
            Legality::Forbidden => "Forbidden",
        }
    }
    /// Whether the law was read and allows it.
    pub const fn allows(self) -> bool {
        matches!(self, Legality::Permitted | Legality::Limited)
    }
}

/// The finding for one market.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Finding {
    /// The market.
    pub market: Market,
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
    /// Source key.
    pub source: &'static str,
}

/// Every market a wine must satisfy: where it is made, then where it is sold. A wine with no market named must satisfy none.
pub fn findings(wine: &Wine, treatment: &Treatment) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(made) = wine.made_in {
        found.push(own(wine, treatment, made));
    }
    for sold in wine.sold_in.iter().copied().filter(|m| Some(*m) != wine.made_in) {
        found.push(match wine.made_in {
            // Not said where it is made: read as made where it is sold; the advice says so.
            None => own(wine, treatment, sold),
            Some(made) => through_border(wine, treatment, made, sold),
        });
    }
    found
}

/// The hardest answer of several; None when no market was named.
pub fn hardest(found: &[Finding]) -> Option<Legality> {
    found.iter().map(|f| f.legality).max()
}

fn rule_of(wine: &Wine, treatment: &Treatment, market: Market, basis: RuleBasis) -> Option<&'static LawRule> {
    LAW.iter().find(|r| {
        r.material == treatment.material
            && r.market == market
            && r.basis == basis
            && (r.colours.is_empty() || wine.colour.is_some_and(|c| r.colours.contains(&c)))
            && (r.stages.is_empty() || wine.stage.is_some_and(|s| r.stages.contains(&s)))
    })
}

/// Rules of this material in this market, whatever the colour or stage: used to say what is missing.
fn any_rule(treatment: &Treatment, market: Market) -> bool {
    LAW.iter().any(|r| r.material == treatment.material && r.market == market)
}

fn own(wine: &Wine, treatment: &Treatment, market: Market) -> Finding {
    finding(wine, treatment, market, RuleBasis::Own)
}

fn finding(wine: &Wine, treatment: &Treatment, market: Market, basis: RuleBasis) -> Finding {
    let Some(rule) = rule_of(wine, treatment, market, basis) else {
        let note = if any_rule(treatment, market) {
            "The rules read do not settle it for this colour and stage.".to_string()
        } else {
            "No rule on this was read.".to_string()
        };
        let unlisted = MARKETS.iter().find(|m| m.market == market);
        return Finding {
            market,
            basis,
            legality: Legality::NotVerified,
            article: unlisted.map_or("", |m| m.law),
            edition: unlisted.map_or("", |m| m.edition),
            evidence: Evidence::Memory,
            limits: Vec::new(),
            conditions: Vec::new(),
            note: match unlisted {
                Some(m) => format!("{note} {}", m.unlisted.text),
                None => note,
            },
            dose_cap: None,
            source: "",
        };
    };
    let unread_limit = rule.limits.iter().any(|l| l.evidence == Evidence::Memory);
    let (legality, note) = match (rule.verdict, rule.evidence) {
        (Verdict::Forbidden, Evidence::Memory) => (Legality::NotVerified, "Believed not to be permitted; the text was not read."),
        (Verdict::Permitted, Evidence::Memory) => (Legality::NotVerified, "Believed to be permitted; the text was not read."),
        (Verdict::Forbidden, _) => (Legality::Forbidden, ""),
        (Verdict::Permitted, _) if unread_limit => (Legality::NotVerified, "Its listing was read, its limit was not."),
        (Verdict::Permitted, Evidence::Earlier) if rule.limits.is_empty() => (Legality::Permitted, EARLIER),
        (Verdict::Permitted, Evidence::Earlier) => (Legality::Limited, EARLIER),
        (Verdict::Permitted, _) if rule.limits.is_empty() => (Legality::Permitted, ""),
        (Verdict::Permitted, _) => (Legality::Limited, ""),
    };
    Finding {
        market,
        basis,
        legality,
        article: rule.article,
        edition: rule.edition,
        evidence: rule.evidence,
        limits: rule.limits.iter().map(|l| l.text).collect(),
        conditions: rule.conditions.to_vec(),
        note: note.to_string(),
        dose_cap: dose_cap(rule, treatment),
        source: rule.source,
    }
}

const EARLIER: &str = "Read in an earlier text, or in the file that the law refers to: confirm the row in force.";

fn through_border(wine: &Wine, treatment: &Treatment, made: Market, sold: Market) -> Finding {
    if rule_of(wine, treatment, sold, RuleBasis::Import).is_some() {
        return finding(wine, treatment, sold, RuleBasis::Import);
    }
    let mut at_home = own(wine, treatment, made);
    at_home.market = sold;
    at_home.basis = RuleBasis::Acceptance;
    match ACCEPTANCES.iter().find(|a| a.made == made && a.sold == sold) {
        Some(a) if a.evidence != Evidence::Memory => {
            at_home.note = format!("{} ({}). {}", a.text, a.article, at_home.note).trim().to_string();
        }
        _ => {
            at_home.legality = at_home.legality.max(Legality::NotVerified);
            at_home.note = format!("The import rule of {} was not read.", sold.label());
        }
    }
    at_home
}

/// The greatest dose under a rule's dose and sum limits, in the treatment's unit. A "less than" limit leaves the last rung
/// below it; the cap itself is then not reached, which [`within_cap`] minds.
fn dose_cap(rule: &LawRule, treatment: &Treatment) -> Option<f64> {
    let basis = treatment.dose?.basis;
    rule.limits
        .iter()
        .filter(|l| matches!(l.kind, LimitKind::Dose | LimitKind::Sum))
        .filter_map(|l| {
            let value = in_basis(l.value, l.unit, basis)?;
            Some(if l.strict { value - value * 1e-9 } else { value })
        })
        .reduce(f64::min)
}

fn in_basis(value: f64, unit: &str, basis: Basis) -> Option<f64> {
    match (unit, basis) {
        ("g/hL", Basis::GramsPerHl) | ("mL/hL", Basis::MillilitresPerHl) => Some(value),
        ("mg/L", Basis::GramsPerHl) => Some(value / 10.0),
        ("g/L", Basis::GramsPerHl) => Some(value * 100.0),
        ("g/hL", Basis::MilligramsPerLitre) => Some(value * 10.0),
        ("mg/L", Basis::MilligramsPerLitre | Basis::CopperMgPerL | Basis::SorbicMgPerL | Basis::SulfurMgPerL) => Some(value),
        ("mg/L as Cu", Basis::CopperMgPerL) | ("mg/L as sorbic acid", Basis::SorbicMgPerL) => Some(value),
        // A salt limit on copper: CuSO4·5H2O holds 25.45 % Cu (63.546 / 249.685).
        ("g/hL", Basis::CopperMgPerL) => Some(value * 10.0 * 0.2545),
        _ => None,
    }
}

/// Whether a dose stays inside every cap found.
pub fn within_cap(found: &[Finding], dose: f64) -> bool {
    found.iter().filter_map(|f| f.dose_cap).all(|cap| dose <= cap)
}

/// What an organic scheme says of a material; None when it is not in the lists read.
pub fn organic(scheme: Organic, treatment: &Treatment) -> Option<&'static OrganicRule> {
    ORGANIC.iter().find(|r| r.scheme == scheme && r.material == treatment.material)
}

/// The tightest limit on total SO2 that was read for this wine, over its markets and schemes.
pub fn so2_limit(wine: &Wine, sugar: Option<f64>) -> Option<&'static So2Limit> {
    let markets: Vec<Market> = wine.made_in.into_iter().chain(wine.sold_in.iter().copied()).collect();
    SO2_LIMITS
        .iter()
        .filter(|l| match l.scheme {
            Some(scheme) => wine.organic.contains(&scheme),
            None => markets.contains(&l.market),
        })
        .filter(|l| l.evidence != Evidence::Memory)
        .filter(|l| l.colours.is_empty() || wine.colour.is_none_or(|c| l.colours.contains(&c)))
        // Sugar not known: the tighter row, the one for less sugar.
        .filter(|l| match sugar {
            Some(s) => l.sugar_from.is_none_or(|f| s >= f) && l.sugar_below.is_none_or(|b| s < b),
            None => l.sugar_from.is_none(),
        })
        .min_by(|a, b| a.most.total_cmp(&b.most))
}
