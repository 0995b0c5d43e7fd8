//! Which of the routes whose losses are not told apart stands first.

use super::aims::Aim;
use super::model::MONEY_STEP;
use super::report::Route;
use crate::dossier::Dossier;
use crate::knowledge::{TREATMENTS, Treatment, treatment};
use crate::rules::{self, Judged};
use crate::sorting::sort;
use crate::treatment::ranking::{Ranked, in_order};
use crate::treatment::setting::{Setting, Shared};
use crate::units::day::Day;
use crate::wine::Problem;

/// Puts first, of the leading routes whose losses are not told apart, the one whose acts stand
/// first in the lists of the needs that were named. `class` is what goes before the loss.
pub(super) fn leaders_first<C: PartialEq>(
    dossier: &Dossier,
    today: Option<Day>,
    routes: &mut [Route],
    class: impl Fn(&Route) -> C,
) {
    let alike = |routes: &[Route]| {
        let first = routes.first().map(&class);
        let same = routes.iter().take_while(|r| Some(class(r)) == first);
        same.count()
    };
    let count = alike(routes);
    let Some(leading) = routes.get_mut(..count) else {
        return;
    };
    let least = leading.first().map_or(0.0, |r| r.loss);
    let tied = leading
        .iter()
        .take_while(|r| r.loss < least + MONEY_STEP)
        .count();
    if let Some(tied) = leading.get_mut(..tied).filter(|t| t.len() > 1) {
        by_lists(dossier, today, tied);
    }
    name_best(leading);
}

/// Sorts routes by how far down their acts stand in the lists of the named needs.
fn by_lists(dossier: &Dossier, today: Option<Day>, tied: &mut [Route]) {
    let of =
        |r: &Route| -> Vec<&'static Treatment> { r.key.split('+').filter_map(treatment).collect() };
    let acts: Vec<&'static Treatment> = tied.iter().flat_map(of).collect();
    let lists: Vec<Vec<Ranked>> = dossier
        .problems
        .iter()
        .map(|p| list(dossier, *p, today, &acts))
        .collect();
    // How many stand before the first of its acts, summed over the needs.
    let before = |r: &Route| -> usize {
        let acts = of(r);
        let own = |l: &Ranked| acts.iter().any(|t| t.key == l.key);
        let of_need = |list: &Vec<Ranked>| list.iter().take_while(|l| !own(l)).count();
        lists.iter().map(of_need).sum()
    };
    sort(tied, &mut |a, b| before(a).cmp(&before(b)));
}

/// Some acts as they stand in the list of a need, each once.
fn list(
    dossier: &Dossier,
    problem: Problem,
    today: Option<Day>,
    acts: &[&'static Treatment],
) -> Vec<Ranked> {
    let judged = rules::judge(dossier, problem, TREATMENTS.rows());
    let stands = |j: &&Judged| j.against.is_empty() && acts.iter().any(|t| t.key == j.act.key);
    let fit: Vec<&Judged> = judged.iter().filter(stands).collect();
    let shared = Shared::of(dossier, dossier.days_left(today));
    Setting::of(dossier, shared, problem)
        .map(|s| in_order(dossier, &s, &fit))
        .unwrap_or_default()
}

/// The one that stands first is called the best in all, and no other of its class.
fn name_best(leading: &mut [Route]) {
    let best = Aim::Loss.words();
    let named = leading.iter().any(|r| r.best_at.contains(&best));
    for (at, route) in leading.iter_mut().enumerate().filter(|_| named) {
        route.best_at.retain(|words| *words != best);
        if at == 0 {
            route.best_at.insert(0, best);
        }
    }
}
