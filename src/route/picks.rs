//! Which of the routes that no other beats are shown, and what each is best at.

use super::instance::{Asked, Built, build_only};
use super::search::{Found, Front, search};
use super::{SEARCH_DRAWS, SHOWN};
use crate::knowledge::*;
use crate::sorting::sort;
use crate::wine::*;

/// What a route is called that needs no equipment which few cellars own and this wine does not name.
pub(super) const PLAIN: &str = "cheapest without special equipment";

/// The decisions of the cheapest route without special equipment of which nothing is said; None where nothing falls away by
/// that, or no such route is left.
pub(super) fn without_special(wine: &Wine, built: &Built, days_left: Option<i64>, asked: Asked) -> Option<Vec<usize>> {
    let special = |k: &Kit| !matches!(k, Kit::Filter | Kit::Chiller | Kit::InertGas) && !wine.kit.contains_key(k);
    let asks = |t: &&&'static Treatment| if t.any_kit { t.kit.iter().all(special) && !t.kit.is_empty() } else { t.kit.iter().any(special) };
    if !built.acts.iter().any(|t| asks(&t)) {
        return None;
    }
    let mut without = wine.clone();
    for kit in Kit::ALL.iter().filter(|k| special(k)) {
        let _none = without.kit.insert(*kit, KitEntry::of(KitMeans::No));
    }
    let plain = build_only(&without, days_left, SEARCH_DRAWS, asked, None);
    // With less equipment more may be past cure: a route that leaves a need out is not the same in plain.
    if plain.no_cure.len() > built.no_cure.len() {
        return None;
    }
    let front = search(&plain.instance);
    let (_, decisions) = shown(&front).into_iter().find(|(names, _)| names.contains(&"cheapest"))?;
    let keys = decisions.iter().filter_map(|i| plain.acts.get(*i)).map(|t| t.key);
    keys.map(|key| built.acts.iter().position(|t| t.key == key)).collect()
}

/// Those shown: the best of each kind, clean before not verified, then the rest by money.
pub(super) fn shown(front: &Front) -> Vec<(Vec<&'static str>, Vec<usize>)> {
    let clean = |f: &&Found| f.counts.get(5).is_some_and(|u| *u == 0.0);
    let clean_only = front.routes.iter().any(|f| clean(&f));
    let pool: Vec<&Found> = front.routes.iter().filter(|f| !clean_only || clean(f)).collect();
    let at = |f: &Found, i: usize| f.counts.get(i).copied().unwrap_or(0.0);
    let mut picked: Vec<(Vec<&'static str>, &Found)> = Vec::new();
    let mut pick = |name: &'static str, keys: [usize; 3], fits: &dyn Fn(&Found) -> bool| {
        let best = pool
            .iter()
            .copied()
            .filter(|f| fits(f))
            .min_by(|a, b| keys.iter().map(|k| at(a, *k).total_cmp(&at(b, *k))).find(|o| o.is_ne()).unwrap_or(std::cmp::Ordering::Equal));
        if let Some(best) = best {
            match picked.iter_mut().find(|(_, f)| f.decisions == best.decisions) {
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
    let mut rest: Vec<&Found> = front.routes.iter().filter(|f| !picked.iter().any(|(_, p)| p.decisions == f.decisions)).collect();
    sort(&mut rest, &mut |a, b| at(a, 5).total_cmp(&at(b, 5)).then(at(a, 0).total_cmp(&at(b, 0))));
    let room = SHOWN.saturating_sub(picked.len());
    picked.extend(rest.into_iter().take(room).map(|f| (Vec::new(), f)));
    sort(&mut picked, &mut |a, b| at(a.1, 5).total_cmp(&at(b.1, 5)).then(at(a.1, 0).total_cmp(&at(b.1, 0))));
    picked.into_iter().map(|(names, f)| (names, f.decisions.clone())).collect()
}
