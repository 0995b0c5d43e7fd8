//! Which of the routes that no other beats are shown, and what each is best at.

use super::SHOWN;
use super::instance::Built;
use super::search::{Found, Front};
use crate::case::{Case, Equipment};
use crate::dossier::Dossier;
use crate::sorting::sort;
use crate::treatment::suit::to_hire;
use crate::wine::*;

/// The wine as if no costly equipment could be had of which nothing is said; None where no act that
/// may be done needs any.
pub(super) fn at_hand(dossier: &Dossier, built: &Built) -> Option<Dossier> {
    let hired: Vec<Kit> = built
        .acts
        .iter()
        .flat_map(|t| to_hire(dossier, t))
        .collect();
    let mut without = Case::clone(dossier);
    for kit in &hired {
        let _none = without.kit.insert(*kit, Equipment::of(KitMeans::No));
    }
    (!hired.is_empty()).then(|| dossier.with(without))
}

/// Those that need no equipment to hire, then the best of each kind among those that do: a few,
/// where there is a choice.
pub(super) fn joined(at_hand: Vec<Pick>, mut hired: Vec<Pick>) -> Vec<Pick> {
    if !at_hand.is_empty() {
        hired.retain(|(names, _)| !names.is_empty());
        hired.truncate(SHOWN / 3);
    }
    let mut all = at_hand;
    all.truncate(SHOWN - hired.len());
    all.extend(hired);
    all
}

/// What a route is best at, and the keys of its decisions.
pub(super) type Pick = (Vec<&'static str>, Vec<&'static str>);

/// Those shown, by the keys of their decisions.
pub(super) fn picks(front: &Front, built: &Built) -> Vec<Pick> {
    shown(front)
        .into_iter()
        .map(|(names, decisions)| (names, keys(built, &decisions)))
        .collect()
}

/// The one that comes nearest where none reaches the aim.
pub(super) fn nearest(front: &Front, built: &Built) -> Option<Pick> {
    (front.best > 0.0).then(|| (Vec::new(), keys(built, &front.best_decisions)))
}

pub(super) fn keys(built: &Built, decisions: &[usize]) -> Vec<&'static str> {
    decisions
        .iter()
        .filter_map(|i| built.acts.get(*i))
        .map(|t| t.key)
        .collect()
}

/// Those shown: the best of each kind, clean before not known, then the rest by money.
fn shown(front: &Front) -> Vec<(Vec<&'static str>, Vec<usize>)> {
    let clean = |f: &&Found| f.counts.get(5).is_some_and(|u| *u == 0.0);
    let clean_only = front.routes.iter().any(|f| clean(&f));
    let pool: Vec<&Found> = front
        .routes
        .iter()
        .filter(|f| !clean_only || clean(f))
        .collect();
    let at = |f: &Found, i: usize| f.counts.get(i).copied().unwrap_or(0.0);
    let mut picked: Vec<(Vec<&'static str>, &Found)> = Vec::new();
    let mut pick = |name: &'static str, keys: [usize; 3], fits: &dyn Fn(&Found) -> bool| {
        let best = pool.iter().copied().filter(|f| fits(f)).min_by(|a, b| {
            keys.iter()
                .map(|k| at(a, *k).total_cmp(&at(b, *k)))
                .find(|o| o.is_ne())
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        if let Some(best) = best {
            match picked
                .iter_mut()
                .find(|(_, f)| f.decisions == best.decisions)
            {
                Some((names, _)) => names.push(name),
                None => picked.push((vec![name], best)),
            }
        }
    };
    pick("cheapest", [0, 1, 2], &|_| true);
    pick("quickest", [1, 0, 2], &|_| true);
    pick("gentlest", [2, 0, 1], &|_| true);
    if front.routes.iter().any(|f| at(f, 3) > 0.0) {
        pick("free of animal material", [0, 1, 2], &|f| at(f, 3) == 0.0);
    }
    pick("fewest additions on the label", [4, 0, 1], &|_| true);
    pick("fewest operations", [6, 0, 1], &|_| true);
    let mut rest: Vec<&Found> = front
        .routes
        .iter()
        .filter(|f| !picked.iter().any(|(_, p)| p.decisions == f.decisions))
        .collect();
    sort(&mut rest, &mut |a, b| {
        at(a, 5)
            .total_cmp(&at(b, 5))
            .then(at(a, 0).total_cmp(&at(b, 0)))
    });
    let room = SHOWN.saturating_sub(picked.len());
    picked.extend(rest.into_iter().take(room).map(|f| (Vec::new(), f)));
    sort(&mut picked, &mut |a, b| {
        at(a.1, 5)
            .total_cmp(&at(b.1, 5))
            .then(at(a.1, 0).total_cmp(&at(b.1, 0)))
    });
    picked
        .into_iter()
        .map(|(names, f)| (names, f.decisions.clone()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Money and class of origin: 0 free of animal material, 1 milk or egg, 2 other. The cheapest
    /// routes take both; only the dearest
    /// takes neither.
    #[test]
    fn milk_and_egg_are_animal_material() {
        let route = |at: usize, money: f64, origin: f64| Found {
            decisions: vec![at],
            counts: [money, 5.0, 0.0, origin, 0.0, 0.0, 1.0],
        };
        let front = Front {
            routes: vec![
                route(0, 10.0, 2.0),
                route(1, 20.0, 1.0),
                route(2, 30.0, 0.0),
            ],
            ..Front::default()
        };
        let free = |front: &Front| -> Vec<Vec<usize>> {
            shown(front)
                .into_iter()
                .filter(|(names, _)| names.contains(&"free of animal material"))
                .map(|(_, decisions)| decisions)
                .collect()
        };
        assert_eq!(free(&front), [vec![2]]);
        // Where every route takes some, none has the name.
        let none = Front {
            routes: vec![route(0, 10.0, 2.0), route(1, 20.0, 1.0)],
            ..Front::default()
        };
        assert!(free(&none).is_empty());
    }
}
