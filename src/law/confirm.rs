//! What is to be confirmed with an authority before it is given.

use super::Finding;
use crate::case::Case;
use crate::knowledge::{BODIES, Treatment};
use crate::units::day::Day;

/// The findings that are to be confirmed, whether somebody did or not: believed, or not known. A
/// border whose rule was not read is said once for the wine and holds nothing back.
pub fn open(found: &[Finding]) -> impl Iterator<Item = &Finding> {
    found
        .iter()
        .filter(|f| f.legality.is_open() && !f.border_unread)
}

/// Those of them that nobody has confirmed yet.
pub fn to_confirm<'a>(
    case: &Case,
    treatment: &Treatment,
    found: &'a [Finding],
) -> Vec<&'a Finding> {
    open(found)
        .filter(|f| case.confirmed(treatment, f.market).is_none())
        .collect()
}

/// How a finding stands, after a name: that it was confirmed, when and by whom; else what the law is
/// known to say.
pub fn stands(case: &Case, treatment: &Treatment, f: &Finding) -> String {
    match case
        .confirmed(treatment, f.market)
        .filter(|_| f.legality.is_open())
    {
        Some(c) => format!(
            "confirmed with the authority on {} by {}.",
            c.day.given().map_or(String::new(), Day::show),
            c.by.trim()
        ),
        None => format!("{}. {}", f.legality.label(), f.note),
    }
}

/// Who is to be asked: the authority of each of these findings, once.
pub fn authorities(found: &[&Finding]) -> Vec<&'static str> {
    let mut all = Vec::new();
    for f in found {
        let body = BODIES.iter().find(|b| b.law == f.law);
        let name = body.map_or(f.market.label(), |b| b.authority);
        if !all.contains(&name) {
            all.push(name);
        }
    }
    all
}
