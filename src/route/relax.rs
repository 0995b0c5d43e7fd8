//! Where no route fits: which constraint would have to give way, and what each buys.

use super::SEARCH_DRAWS;
use super::aims::Aim;
use super::instance::build;
use super::search::search;
use crate::case::Case;
use crate::dossier::Dossier;
use crate::treatment::suit::to_hire;
use crate::units::{day::Day, show};
use crate::wine::*;

/// Most problems for which each constraint is tried: every try is a search of its own, and a page
/// waits for all of them.
const MOST_PROBLEMS: usize = 8;

/// Tries each constraint alone; one sentence for each that would open a route. None with more than
/// eight problems.
pub fn relax(dossier: &Dossier, today: Option<Day>) -> Vec<String> {
    let mut found = Vec::new();
    if dossier.problems.len() > MOST_PROBLEMS {
        return found;
    }
    let days_left = dossier.days_left(today);
    let mut attempt = |what: String, changed: &Dossier, days: Option<i64>, day: bool| {
        let built = build(changed, days, SEARCH_DRAWS);
        let front = search(&built.instance);
        let quickest = front.by(Aim::Days).map_or(0.0, |f| f.counts.days);
        if let Some(best) = front.by(Aim::Loss) {
            let (counts, decisions) = (best.counts, &best.decisions);
            let names: Vec<&str> = decisions
                .iter()
                .filter_map(|i| built.acts.get(*i))
                .map(|t| t.name)
                .collect();
            let when = match (day, today) {
                (true, Some(t)) => format!(
                    "; the earliest day is {}",
                    t.plus(libm::ceil(quickest) as i64).show()
                ),
                _ => String::new(),
            };
            let used = decisions.iter().filter_map(|i| built.acts.get(*i));
            let mut kits: Vec<&str> = used
                .flat_map(|t| to_hire(changed, t))
                .map(|k| k.label())
                .collect();
            kits.dedup();
            let hire = if kits.is_empty() {
                String::new()
            } else {
                format!(
                    " It takes equipment that you may hire: {}.",
                    show::listed(&kits)
                )
            };
            found.push(format!(
                "{what}: {} for about {} {} per hL in {} days{when}.{hire}",
                if names.is_empty() {
                    "nothing need be done".to_string()
                } else {
                    names
                        .iter()
                        .map(|n| show::inside(n))
                        .collect::<Vec<_>>()
                        .join(", then ")
                },
                show::plain(counts.money),
                &*dossier.currency,
                show::fixed(counts.days, 0)
            ));
        }
    };
    if days_left.is_some() {
        attempt("A later bottling day".into(), dossier, None, true);
    }
    for market in &dossier.sold_in {
        let changed = dossier.with(Case {
            sold_in: dossier
                .sold_in
                .iter()
                .copied()
                .filter(|m| m != market)
                .collect(),
            ..Case::clone(dossier)
        });
        attempt(
            format!("Not sold in: {}", market.label()),
            &changed,
            days_left,
            false,
        );
    }
    for claim in &dossier.claims {
        let changed = dossier.with(Case {
            claims: dossier
                .claims
                .iter()
                .copied()
                .filter(|c| c != claim)
                .collect(),
            ..Case::clone(dossier)
        });
        attempt(
            format!("Without the claim: {}", claim.label()),
            &changed,
            days_left,
            false,
        );
    }
    for scheme in &dossier.organic {
        let changed = dossier.with(Case {
            organic: dossier
                .organic
                .iter()
                .copied()
                .filter(|o| o != scheme)
                .collect(),
            ..Case::clone(dossier)
        });
        attempt(
            format!("Without: {}", scheme.label()),
            &changed,
            days_left,
            false,
        );
    }
    for kit in dossier
        .kit
        .iter()
        .filter(|(_, e)| e.means == KitMeans::No)
        .map(|(k, _)| *k)
    {
        let mut changed = Case::clone(dossier);
        let _removed = changed.kit.remove(&kit);
        let changed = dossier.with(changed);
        attempt(
            format!("With: {}", show::inside(kit.label())),
            &changed,
            days_left,
            false,
        );
    }
    for problem in dossier
        .problems
        .iter()
        .filter(|_| dossier.problems.len() > 1)
    {
        let changed = dossier.with(Case {
            problems: dossier
                .problems
                .iter()
                .copied()
                .filter(|p| p != problem)
                .collect(),
            ..Case::clone(dossier)
        });
        attempt(
            format!("Leaving aside: {}", show::inside(problem.label())),
            &changed,
            days_left,
            false,
        );
    }
    found
}
