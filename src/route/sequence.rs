//! The order of a wine's acts: sorted by the rules of order that bind for it.

use crate::dossier::Dossier;
use crate::knowledge::Treatment;
use crate::rules::order;
use crate::wine::{RuleVerdict, Strength};

/// That one act goes before another, by their places, and how strong the rule is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GoesBefore {
    /// The earlier act.
    pub first: usize,
    /// The later one.
    pub then: usize,
    /// How strong it is.
    pub strength: Strength,
}

/// The places of acts, listed by phase, in the order of the rules that bind for this wine.
pub fn in_order(dossier: &Dossier, listed: &[&'static Treatment]) -> Vec<usize> {
    let mut rules = Vec::new();
    for (first, act) in listed.iter().enumerate() {
        for rule in order::rows(dossier, act, RuleVerdict::GoesBefore) {
            let later = listed.iter().enumerate();
            let of = later.filter(|(_, o)| rule.acts.contains(&o.key));
            rules.extend(of.map(|(then, _)| GoesBefore {
                first,
                then,
                strength: rule.strength,
            }));
        }
    }
    sorted(listed.len(), rules)
}

/// So many places in the order of the rules: each as early as they let it be, the first listed
/// first. Where the rules go round in a circle its weakest gives way, of equal ones the last.
pub fn sorted(acts: usize, mut rules: Vec<GoesBefore>) -> Vec<usize> {
    let mut open: Vec<usize> = (0..acts).collect();
    let mut found = Vec::with_capacity(acts);
    while !open.is_empty() {
        let waits = |at: &usize| {
            rules
                .iter()
                .any(|r| r.then == *at && open.contains(&r.first))
        };
        if let Some(place) = open.iter().position(|at| !waits(at)) {
            found.push(open.remove(place));
            continue;
        }
        let in_circle = |r: &GoesBefore| open.contains(&r.then) && leads(&rules, &open, r);
        let circle = rules.iter().enumerate().filter(|(_, r)| in_circle(r));
        let weakest = circle.max_by_key(|(_, r)| r.strength).map(|(at, _)| at);
        // Where every act waits, some go round in a circle.
        let Some(weakest) = weakest else { break };
        let _gives_way = rules.remove(weakest);
    }
    found.extend(open);
    found
}

/// Whether the later act of a rule leads back to its first one, over acts that are still open.
fn leads(rules: &[GoesBefore], open: &[usize], rule: &GoesBefore) -> bool {
    let (mut seen, mut next) = (vec![rule.then], vec![rule.then]);
    while let Some(at) = next.pop() {
        if at == rule.first {
            return true;
        }
        for r in rules.iter().filter(|r| r.first == at) {
            if open.contains(&r.then) && !seen.contains(&r.then) {
                seen.push(r.then);
                next.push(r.then);
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    fn before(first: usize, then: usize, strength: Strength) -> GoesBefore {
        GoesBefore {
            first,
            then,
            strength,
        }
    }

    /// Where nothing binds the list stands; what binds moves no more than it must.
    #[test]
    fn the_list_only_breaks_ties() {
        assert_eq!(sorted(4, Vec::new()), [0, 1, 2, 3]);
        let one = vec![before(3, 1, Strength::Order)];
        assert_eq!(sorted(4, one), [0, 2, 3, 1]);
        let way = vec![
            before(3, 2, Strength::Order),
            before(2, 0, Strength::Preference),
        ];
        assert_eq!(sorted(4, way), [1, 3, 2, 0]);
    }

    /// Two rows that hold together on a wine and go round in a circle: the stronger binds.
    #[test]
    fn in_a_circle_the_weakest_gives_way() {
        use Strength::{Chemistry, Order, Safety};
        let two = |a, b| sorted(2, vec![before(0, 1, a), before(1, 0, b)]);
        assert_eq!(two(Order, Chemistry), [1, 0]);
        assert_eq!(two(Chemistry, Order), [0, 1]);
        // Of equal ones the first row.
        assert_eq!(two(Order, Order), [0, 1]);
        // What only waits for a circle gives nothing up, though it is weaker.
        let three = vec![
            before(0, 1, Chemistry),
            before(1, 0, Safety),
            before(0, 2, Strength::Preference),
        ];
        assert_eq!(sorted(3, three), [1, 0, 2]);
    }
}
