//! What the record still asks for, each proof with the days between which it counts.

use super::needs::measure;
use super::{Next, Seen};
use crate::knowledge::{LAST, STABILITIES, StabilityFacts, TREATMENTS, Treatment};
use crate::obligations::{Obligation, obligations};
use crate::rules;
use crate::stability::{Status, sample_by, status_of, test_of};
use crate::units::day::Day;
use crate::wine::*;
use crate::work_order::ready::{Because, Fitness, Proof, Shown};

/// A proof that is open, with its days.
struct Owed<'a> {
    proof: &'a Proof,
    quantity: Option<Quantity>,
    /// First day on which it counts on the bottling day; None where no day is set.
    from: Option<Day>,
    /// Last day of its sample, or its first day where nothing is sampled.
    by: Option<Day>,
}

impl Owed<'_> {
    fn counts_today(&self, today: Option<Day>) -> bool {
        self.from
            .zip(today)
            .is_none_or(|(from, today)| from <= today)
    }
}

/// The key of the proof of an obligation.
fn names(o: &Obligation, proof: &Proof) -> bool {
    proof.waive.as_deref() == Some(&*o.key()) || proof.key == o.key()
}

/// Whether another look or reading shows it.
fn is_told_by_test(proof: &Proof) -> bool {
    matches!(
        proof.because,
        Some(
            Because::NotMeasured
                | Because::NotLookedAt
                | Because::Voided
                | Because::TooOld
                | Because::TooNear
                | Because::OnlyBelow
                | Because::NoDay
                | Because::InFuture
                | Because::Hangs
                | Because::NotSigned
        )
    )
}

/// The tests and looks that the record waits for, the one that must begin first in front.
fn owed<'a>(seen: &'a Seen) -> Vec<Owed<'a>> {
    let all = obligations(seen.dossier, &seen.dossier.to_do());
    let open = |p: &&Proof| matches!(p.shown, Shown::Missing | Shown::Due) && is_told_by_test(p);
    let bottling = seen.ahead();
    let mut owed: Vec<Owed> = Vec::new();
    for proof in seen.record.evidence.iter().filter(open) {
        let Some(o) = all.iter().find(|o| names(o, proof)) else {
            continue;
        };
        let window = o.window().map_or(0.0, |w| w.days);
        let quantity = o.reads();
        let from = bottling.and_then(|b| b.back(libm::floor(window) as i64));
        let sample = quantity
            .and_then(test_of)
            .and_then(|t| sample_by(seen.dossier, t));
        let by = sample.filter(|_| bottling.is_some()).or(from);
        owed.push(Owed {
            proof,
            quantity,
            from,
            by,
        });
    }
    crate::sorting::sort(&mut owed, &mut |a: &Owed, b: &Owed| {
        (a.proof.due, a.by).cmp(&(b.proof.due, b.by))
    });
    owed
}

/// Last day of the first sample that the record waits for.
pub(super) fn first_sample(seen: &Seen) -> Option<Day> {
    let owed = owed(seen);
    let before = owed.iter().filter(|o| o.proof.due == Due::BeforeLine);
    before.filter_map(|o| o.by).min()
}

/// The readings that the record waits for and that count from a later day on, by that day.
pub(super) fn tests_ahead(seen: &Seen) -> Vec<(Day, Vec<Quantity>)> {
    let mut all: Vec<(Day, Vec<Quantity>)> = Vec::new();
    let Some(bottling) = seen.ahead() else {
        return all;
    };
    for o in owed(seen) {
        let ahead = |d: &Day| !o.counts_today(seen.today) && *d < bottling;
        let (Some(day), Some(read)) = (o.from.filter(ahead), o.quantity) else {
            continue;
        };
        match all.iter_mut().find(|(d, _)| *d == day) {
            Some((_, of)) => of.push(read),
            None => all.push((day, vec![read])),
        }
    }
    all
}

/// What speaks against the wine in the record.
pub(super) fn against(seen: &Seen) -> Option<Next> {
    if let Some(act) = low_sulfur(seen) {
        return Some(act);
    }
    let mut rows = seen.record.evidence.iter();
    let row = rows.find(|p| p.shown == Shown::Against)?;
    if let Some(days) = row.wait {
        return Some(Next::Wait {
            treatment: row.key,
            days,
        });
    }
    let facts = STABILITIES.rows().iter().find(|s| s.key == row.key);
    let problem = facts.and_then(|f| f.problem);
    let new = problem.filter(|p| !seen.dossier.problems.contains(p));
    Some(match new {
        Some(problem) => Next::SayProblem {
            problem: Some(problem),
        },
        None => Next::Outside { key: row.key },
    })
}

/// What is corrected at the end of every route, where it was measured outside its limit and the
/// judge leaves an act that raises it.
fn low_sulfur(seen: &Seen) -> Option<Next> {
    let dossier = seen.dossier;
    let low = |f: &&StabilityFacts| {
        f.in_routes == Some(RoutePart::Last)
            && status_of(dossier, f.quantity) == Status::Unstable
            && crate::stability::concerning(dossier)
                .iter()
                .any(|c| c.facts.key == f.key)
    };
    STABILITIES.rows().iter().find(low)?;
    let raises = |t: &&Treatment| {
        let adds = |q: Quantity| t.effects.iter().any(|e| e.on == q && e.adds.is_some());
        adds(Quantity::FreeSo2) && !rules::is_out(dossier, t, None)
    };
    let act = TREATMENTS.rows().iter().find(raises)?;
    Some(Next::Do {
        treatment: act.key,
        day: seen.today,
    })
}

/// What the record waits for: what counts today first, else what comes first.
pub(super) fn open(seen: &Seen) -> Option<Next> {
    let rows = &seen.record.evidence;
    let owed = owed(seen);
    let before = |o: &&Owed| o.proof.due == Due::BeforeLine;
    let today = owed
        .iter()
        .filter(before)
        .find(|o| o.proof.shown == Shown::Missing && o.counts_today(seen.today));
    if let Some(o) = today {
        return Some(now(seen, o));
    }
    let mut ahead: Vec<&Owed> = owed.iter().filter(before).collect();
    crate::sorting::sort(&mut ahead, &mut |a: &&Owed, b: &&Owed| a.from.cmp(&b.from));
    if let Some(o) = ahead.first() {
        return Some(then(seen, o));
    }
    let left = rows.iter().find(|p| p.is_open() && !p.key.is_empty())?;
    Some(Next::Outside { key: left.key })
}

/// What is still looked at once the wine is at the line.
pub(super) fn after_line(seen: &Seen) -> Option<Next> {
    let owed = owed(seen);
    let o = owed.iter().find(|o| o.proof.due != Due::BeforeLine)?;
    Some(look(seen, o))
}

/// What is looked at of a wine in bottle; where something is wrong, of the bottles themselves first.
pub(super) fn of_bottles(seen: &Seen) -> Option<Next> {
    let dossier = seen.dossier;
    let faulty = !dossier.problems.is_empty() || dossier.observed.iter().any(|(_, yes)| *yes);
    let check = |p: &Proof| LAST.rows().iter().find(|c| c.key == p.key);
    let open = || seen.record.evidence.iter().filter(|p| p.is_open());
    let of_bottles = open().find(|p| check(p).is_some_and(|c| c.of_bottles));
    let proof = of_bottles.or_else(|| open().next())?;
    Some(match check(proof) {
        None => Next::Outside { key: proof.key },
        Some(c) if faulty && c.of_bottles => Next::InBottle { check: proof.key },
        // What is wrong is looked into before what the line owes.
        Some(_) if faulty && dossier.diagnosis().is_none_or(|d| d.likely().is_none()) => {
            Next::FindCause
        }
        Some(_) => Next::LastCheck {
            key: proof.key,
            day: seen.today,
        },
    })
}

/// Something that counts if it is shown today.
fn now(seen: &Seen, o: &Owed) -> Next {
    let key = o.proof.key;
    match (o.proof.because, o.quantity) {
        (Some(Because::NoDay | Because::InFuture), _) => Next::AddDay { key },
        (Some(Because::Hangs), _) => measure(seen, Quantity::Ph, false),
        (because, Some(quantity)) => {
            let again = matches!(
                because,
                Some(Because::Voided | Because::TooOld | Because::TooNear)
            );
            measure(seen, quantity, again)
        }
        (_, None) => look(seen, o),
    }
}

/// Something that counts only from a later day on.
fn then(seen: &Seen, o: &Owed) -> Next {
    match o.quantity {
        Some(quantity) => Next::Test {
            quantity: super::needs::typed(seen.dossier, quantity),
            day: o.from.or(seen.today),
        },
        None => look(seen, o),
    }
}

fn look(seen: &Seen, o: &Owed) -> Next {
    let day = o.from.into_iter().chain(seen.today).max();
    Next::LastCheck {
        key: o.proof.key,
        day,
    }
}

/// Whether all that is still open before the line is a look of the last days.
pub(super) fn only_last_days(seen: &Seen) -> bool {
    let is_last = |p: &Proof| LAST.rows().iter().any(|c| c.key == p.key);
    let mut all = seen.record.evidence.iter();
    let judged = all.any(|p| STABILITIES.rows().iter().any(|s| s.key == p.key));
    let short = |p: &Proof| {
        let facts = STABILITIES.rows().iter().find(|s| s.key == p.key);
        facts.is_some_and(|s| s.window.days <= 1.0)
    };
    let mut open = seen
        .record
        .evidence
        .iter()
        .filter(|p| p.is_open() && p.due == Due::BeforeLine);
    judged && open.all(|p| is_last(p) || short(p))
}

/// Whether the wine has gone over the line: something was looked at there.
pub(super) fn ran(seen: &Seen) -> bool {
    let shown = |p: &Proof| p.due != Due::BeforeLine && p.shown == Shown::Inside;
    seen.record.evidence.iter().any(shown)
}

/// Whether the record says so.
pub(super) fn says(seen: &Seen, what: Fitness) -> bool {
    seen.record.says.contains(&what)
}
