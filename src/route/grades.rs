//! Grades of one agent are one act of a route: the grade is chosen before the search.

use super::instance::About;
use super::model::{Act, Instance, mean};
use crate::dossier::Dossier;
use crate::knowledge::Treatment;
use crate::rules;

/// Lets no two grades of an agent into one route, and of the grades that may be decided on leaves
/// for each need that must be met the one that suits it best.
pub fn as_one(dossier: &Dossier, on: &mut Instance, needs: &[About], acts: &[&'static Treatment]) {
    let mut one_of: Vec<(usize, Vec<usize>)> = Vec::new();
    for (at, t) in acts.iter().enumerate() {
        let of_it = |i: &usize| acts.get(*i).is_some_and(|o| o.agent() == t.agent());
        one_of.push((
            at,
            (0..acts.len()).filter(|i| *i != at && of_it(i)).collect(),
        ));
    }
    one_of.retain(|(_, others)| !others.is_empty());
    let serves = |at: usize, need: usize| {
        let act = on.acts.get(at).filter(|a| a.decidable);
        act.is_some_and(|a| a.effects.iter().any(|e| e.need == need && e.removes))
    };
    let is_best = |at: usize, others: &[usize]| {
        let mut required = needs.iter().enumerate().filter(|(_, n)| n.required);
        required.any(|(need, about)| {
            let fit = |i: usize| suits(dossier, on, (i, need), about, acts);
            let own = fit(at);
            let beats = |i: &usize| {
                let other = fit(*i);
                other < own || (*i < at && other <= own)
            };
            serves(at, need) && !others.iter().any(|i| serves(*i, need) && beats(i))
        })
    };
    let left_out: Vec<usize> = one_of
        .iter()
        .filter(|(at, others)| !is_best(*at, others))
        .map(|(at, _)| *at)
        .collect();
    for (at, others) in one_of {
        if let Some(act) = on.acts.get_mut(at) {
            others.into_iter().for_each(|i| act.never.add(i));
            act.decidable &= !left_out.contains(&at);
        }
    }
}

/// How badly a grade suits a need: whether its law is not known, what makes it doubtful there, what
/// it falls short of at its greatest dose, its money, and what it leaves.
fn suits(
    dossier: &Dossier,
    on: &Instance,
    (at, need): (usize, usize),
    about: &About,
    acts: &[&'static Treatment],
) -> [f64; 5] {
    let (Some(act), Some(t)) = (on.acts.get(at), acts.get(at)) else {
        return [f64::INFINITY; 5];
    };
    let doubts = rules::cautions(dossier, t, Some(about.problem.problem)).len();
    let left = least_left(act, need);
    [
        f64::from(u8::from(act.unsure)),
        doubts as f64,
        (left - (1.0 - about.asks)).max(0.0),
        act.usual_money(),
        left,
    ]
}

fn least_left(act: &Act, need: usize) -> f64 {
    let effect = act.effects.iter().find(|e| e.need == need);
    let greatest = effect.and_then(|e| e.left.last());
    greatest.map_or(1.0, |left| mean(left))
}
