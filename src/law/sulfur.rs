//! Limits on sulfur dioxide by body of law, scheme, colour, kind of wine and sugar.

use super::body;
use crate::case::Case;
use crate::knowledge::*;
use crate::wine::*;

/// Every limit that holds for this wine, the tightest first; with them those that were not read,
/// which bind nothing. Wines
/// named in a law have limits of their own, which are left to the user to claim.
pub fn so2_limits(case: &Case) -> Vec<&'static So2Limit> {
    let laws: Vec<Law> = body::of_wine(case).into_iter().map(|(_, l)| l).collect();
    let mut all: Vec<&So2Limit> = SO2_LIMITS
        .iter()
        .filter(|l| holds(l, case, &laws))
        .collect();
    crate::sorting::sort(&mut all, &mut |a, b| {
        (a.evidence == Evidence::Memory)
            .cmp(&(b.evidence == Evidence::Memory))
            .then(a.most.total_cmp(&b.most))
    });
    all
}

/// The tightest limit on total SO2 that was read for this wine, over its markets and schemes.
pub fn so2_limit(case: &Case) -> Option<&'static So2Limit> {
    so2_limits(case)
        .into_iter()
        .find(|l| l.evidence != Evidence::Memory)
}

/// The tightest that was read under given bodies of law.
pub(super) fn tightest(case: &Case, laws: &[Law]) -> Option<&'static So2Limit> {
    SO2_LIMITS
        .iter()
        .filter(|l| l.evidence != Evidence::Memory && holds(l, case, laws))
        .min_by(|a, b| a.most.total_cmp(&b.most))
}

fn holds(l: &So2Limit, case: &Case, laws: &[Law]) -> bool {
    let schemes = case.schemes();
    let whose = if l.schemes.is_empty() {
        l.law.iter().any(|x| laws.contains(x))
    } else {
        l.schemes.iter().any(|s| schemes.contains(s))
    };
    let sugar = case.analysis(Quantity::Sugar);
    whose
        // Limits of grape wine; fruit wine is not covered.
        && case.style != Some(Style::Fruit)
        && l.only_for.is_none()
        && (l.colours.is_empty() || case.colour.is_none_or(|c| l.colours.contains(&c)))
        && (l.styles.is_empty() || case.style.is_none_or(|s| l.styles.contains(&s)))
        // Sugar not known: the tighter row, the one for less sugar.
        && match sugar {
            Some(s) => l.sugar_from.is_none_or(|f| s >= f) && l.sugar_below.is_none_or(|b| s < b),
            None => l.sugar_from.is_none(),
        }
}
