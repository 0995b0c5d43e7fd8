//! Organic schemes.

use crate::case::Case;
use crate::knowledge::*;
use crate::wine::*;

/// Which schemes were taken for an organic wine that names none, or not for all of its markets, and
/// where to change it.
pub fn schemes_taken(case: &Case) -> Vec<String> {
    if !case.claims.contains(&Claim::Organic) {
        return Vec::new();
    }
    let taken = case
        .schemes_assumed()
        .iter()
        .map(|s| s.label())
        .collect::<Vec<_>>()
        .join(", ");
    let without = case
        .without_scheme()
        .iter()
        .map(|m| m.label())
        .collect::<Vec<_>>()
        .join(", ");
    let what = match (
        taken.is_empty(),
        without.is_empty(),
        case.organic.is_empty(),
    ) {
        (false, ..) => format!("No organic scheme is named; taken for it: {taken}."),
        (_, false, _) => {
            format!("No organic scheme is named for this market, so none is checked: {without}.")
        }
        (.., true) => "Organic, but no scheme is named: no organic list is checked.".to_string(),
        _ => return Vec::new(),
    };
    vec![format!(
        "{what} Choose it on the wine’s page, under “Organic scheme”."
    )]
}

/// What an organic scheme says of a material; None when it is not in the lists read.
pub fn organic(scheme: Organic, treatment: &Treatment) -> Option<&'static OrganicRule> {
    ORGANIC
        .iter()
        .find(|r| r.schemes.contains(&scheme) && r.materials.contains(&treatment.material))
}
