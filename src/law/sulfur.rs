//! Limits on sulfur dioxide by body of law, scheme, colour, kind of wine and sugar.

use super::body;
use crate::knowledge::*;
use crate::wine::*;

/// Every limit that holds for this wine, the tightest first; with them those that were not read,
/// which bind nothing. Wines
/// named in a law have limits of their own, which are left to the user to claim.
pub fn so2_limits(wine: &Wine) -> Vec<&'static So2Limit> {
    let laws: Vec<Law> = body::of_wine(wine).into_iter().map(|(_, l)| l).collect();
    let mut all: Vec<&So2Limit> = SO2_LIMITS
        .iter()
        .filter(|l| holds(l, wine, &laws))
        .collect();
    crate::sorting::sort(&mut all, &mut |a, b| {
        (a.evidence == Evidence::Memory)
            .cmp(&(b.evidence == Evidence::Memory))
            .then(a.most.total_cmp(&b.most))
    });
    all
}

/// The tightest limit on total SO2 that was read for this wine, over its markets and schemes.
pub fn so2_limit(wine: &Wine) -> Option<&'static So2Limit> {
    so2_limits(wine)
        .into_iter()
        .find(|l| l.evidence != Evidence::Memory)
}

/// The tightest that was read under given bodies of law.
pub(super) fn tightest(wine: &Wine, laws: &[Law]) -> Option<&'static So2Limit> {
    SO2_LIMITS
        .iter()
        .filter(|l| l.evidence != Evidence::Memory && holds(l, wine, laws))
        .min_by(|a, b| a.most.total_cmp(&b.most))
}

fn holds(l: &So2Limit, wine: &Wine, laws: &[Law]) -> bool {
    let schemes = wine.schemes();
    let whose = if l.schemes.is_empty() {
        l.law.iter().any(|x| laws.contains(x))
    } else {
        l.schemes.iter().any(|s| schemes.contains(s))
    };
    let sugar = wine.analysis(Quantity::Sugar).and_then(Result::ok);
    whose
        // Limits of grape wine; fruit wine is not covered.
        && wine.style != Some(Style::Fruit)
        && l.only_for.is_none()
        && (l.colours.is_empty() || wine.colour.is_none_or(|c| l.colours.contains(&c)))
        && (l.styles.is_empty() || wine.style.is_none_or(|s| l.styles.contains(&s)))
        // Sugar not known: the tighter row, the one for less sugar.
        && match sugar {
            Some(s) => l.sugar_from.is_none_or(|f| s >= f) && l.sugar_below.is_none_or(|b| s < b),
            None => l.sugar_from.is_none(),
        }
}
