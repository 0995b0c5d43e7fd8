//! Which of the routes that were found are shown, and what each is best at.

use super::aims::Aim;
use super::instance::Built;
use super::search::{Found, Front};
use crate::sorting::sort;

/// A route that is shown.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pick {
    /// What it is best at.
    pub best_at: Vec<&'static str>,
    /// The keys of its decisions.
    pub keys: Vec<&'static str>,
}

/// Most routes shown.
const SHOWN: usize = 8;
/// Least share of the draws in which the nearest route meets every need, to be worth showing.
/// Judgement.
const NEAR: f64 = 0.1;

/// Those shown: the best by each aim, each once, then others by their loss, whose acts do not all
/// stand in one that is shown.
pub(super) fn picks(front: &Front, built: &Built) -> Vec<Pick> {
    let mut all: Vec<(&Found, Vec<&'static str>)> = Vec::new();
    for aim in Aim::ALL {
        let Some(best) = front.by(aim).filter(|best| tells(aim, best, front)) else {
            continue;
        };
        let has_room = all.len() < SHOWN;
        let same = all.iter_mut().find(|(f, _)| f.decisions == best.decisions);
        match same {
            Some((_, names)) if names.contains(&aim.words()) => {}
            Some((_, names)) => names.push(aim.words()),
            None if has_room => all.push((best, vec![aim.words()])),
            // No room is left for one more: the aims that count most come first.
            None => {}
        }
    }
    let clean = |f: &Found| !f.counts.hired && !f.counts.unsure;
    let mut others: Vec<&Found> = front.others.iter().filter(|f| clean(f)).collect();
    let loss = |f: &Found| built.instance.loss(&f.counts, f.met);
    sort(&mut others, &mut |a, b| loss(a).total_cmp(&loss(b)));
    for other in others {
        let stands = |at: &usize| all.iter().any(|(f, _)| f.decisions.contains(at));
        if all.len() < SHOWN && !other.decisions.iter().all(stands) {
            all.push((other, Vec::new()));
        }
    }
    let pick = |(found, best_at): (&Found, Vec<&'static str>)| Pick {
        best_at,
        keys: keys(built, &found.decisions),
    };
    all.into_iter().map(pick).collect()
}

/// Whether it says anything that a route is the best by an aim: that it takes no animal material
/// only where another does; that it takes equipment to hire, or law to confirm, only where the rest
/// does not.
fn tells(aim: Aim, best: &Found, front: &Front) -> bool {
    let first = front.by(Aim::Loss).map(|f| f.counts).unwrap_or_default();
    match aim {
        Aim::Origin => {
            let animal = |f: &Found| f.counts.origin > 0;
            !animal(best) && front.best_by.iter().any(animal)
        }
        Aim::LossHired | Aim::DaysHired => best.counts.hired && !first.hired,
        Aim::LossUnsure => best.counts.unsure && !first.unsure,
        _ => true,
    }
}

/// The one that comes nearest where none reaches the aim.
pub(super) fn nearest(front: &Front, built: &Built) -> Option<Pick> {
    (front.best >= NEAR).then(|| Pick {
        best_at: Vec::new(),
        keys: keys(built, &front.best_decisions),
    })
}

fn keys(built: &Built, decisions: &[usize]) -> Vec<&'static str> {
    decisions
        .iter()
        .filter_map(|i| built.acts.get(*i))
        .map(|t| t.key)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::model::Counts;
    use super::*;

    /// Money and class of origin: 0 free of animal material, 1 milk or egg, 2 other.
    fn route(at: usize, money: f64, origin: u8) -> Found {
        Found {
            decisions: vec![at],
            counts: Counts {
                money,
                origin,
                ..Counts::default()
            },
            met: 1.0,
        }
    }

    /// Where the cheapest takes milk or egg, another is the best without animal material; where
    /// every route takes some, none has the name.
    #[test]
    fn milk_and_egg_are_animal_material() {
        let front = |free: Found| Front {
            best_by: Aim::ALL
                .iter()
                .map(|aim| {
                    if *aim == Aim::Origin {
                        free.clone()
                    } else {
                        route(0, 10.0, 1)
                    }
                })
                .collect(),
            ..Front::default()
        };
        let named = |free: Found| {
            let front = front(free);
            let best = front.by(Aim::Origin).cloned().unwrap();
            tells(Aim::Origin, &best, &front)
        };
        assert!(named(route(2, 30.0, 0)));
        assert!(!named(route(1, 20.0, 2)));
    }
}
