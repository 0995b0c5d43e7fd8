//! A barrier against germs in the place of a limit: a wine that holds food for yeast or bacteria is
//! fit where none of them reaches
//! the bottle. What counts as a barrier, and what proves it, stands in the data.

use super::ready::{Because, Proof, Shown, When, last};
use crate::case::{Act, Case};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::obligations::{at_filler, in_filler_phase};
use crate::stability;
use crate::units::day::Day;
use crate::units::show;
use crate::wine::*;

/// The wine as it goes to the filler: the tests of the last days are of this wine, so that what is
/// done at the filler on the
/// bottling day voids none of them. Heat is no such act, since it may change what is in the bottle.
pub fn before_filler(dossier: &Dossier, bottling: Option<Day>) -> Dossier {
    let there: Vec<usize> = dossier
        .acts()
        .filter(|a| {
            a.day.given().is_some()
                && a.day.given() == bottling
                && a.treatment.is_some_and(in_filler_phase)
        })
        .map(|a| a.number)
        .collect();
    let mut tank = Case::clone(dossier);
    tank.log
        .iter_mut()
        .filter(|a| there.contains(&a.number))
        .for_each(|a| a.counts = false);
    dossier.with(tank)
}

fn reading(dossier: &Dossier, facts: &StabilityFacts) -> Option<(f64, f64)> {
    let value = dossier.analysis(facts.quantity)?;
    Some((value, stability::band(dossier, facts)?.ceiling?))
}

/// Turns the row of a stability whose reading is not inside its limit into what its barrier says.
/// `tank` is the wine as it goes to
/// the filler.
pub fn judge(
    mut row: Proof,
    (dossier, tank): (&Dossier, &Dossier),
    when: When,
    facts: &StabilityFacts,
    rule: &'static BarrierRule,
) -> Proof {
    let outside = reading(tank, facts).is_some_and(|(value, ceiling)| value >= ceiling);
    let mut why = vec![if outside {
        "Outside its limit.".to_string()
    } else {
        "Too near its limit for the error of a reading.".to_string()
    }];
    let log: Vec<&Act> = dossier.acts().collect();
    let act = log
        .iter()
        .copied()
        .rfind(|a| a.treatment.is_some_and(|t| rule.is_met_by(t)));
    let mut planned = dossier.plan.iter().filter_map(|p| p.treatment);
    let planned = planned.find(|t| rule.is_met_by(t));
    let Some(t) = act.and_then(|a| a.treatment).or(planned) else {
        let names: Vec<String> = TREATMENTS
            .iter()
            .filter(|t| rule.is_met_by(t))
            .map(|t| show::inside(t.name))
            .collect();
        why.push(rule.why.text.into());
        why.push(format!(
            "None of these is in the plan or the log: {}.",
            names.join(", ")
        ));
        why.extend(not_counted(dossier, rule));
        (row.shown, row.because, row.why) = (Shown::Against, Some(Because::Outside), why.join(" "));
        return row;
    };
    let parts = parts(t, act, &log, tank, when);
    let of = |shown: &[Shown]| {
        parts
            .iter()
            .filter(|(s, _)| shown.contains(s))
            .map(|(_, name)| name.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let (failed, missing) = (of(&[Shown::Against]), of(&[Shown::Missing, Shown::Due]));
    let name = act.map_or_else(|| show::inside(t.name), |a| show::inside(&a.words()));
    row.shown = if !failed.is_empty() {
        why.push(format!("The barrier is {name}, and it failed: {failed}."));
        Shown::Against
    } else if !missing.is_empty() {
        why.push(format!("The barrier is {name}. Still missing: {missing}."));
        // Where all that is missing belongs to the day, it is due with the rest.
        if of(&[Shown::Missing]).is_empty() {
            Shown::Due
        } else {
            Shown::Missing
        }
    } else {
        let shown = of(&[Shown::Inside]);
        why.push(if shown.is_empty() {
            format!("Met by the barrier {name}.")
        } else {
            format!("Met by the barrier {name}, with {shown}.")
        });
        Shown::Inside
    };
    row.because = (row.shown != Shown::Inside).then_some(Because::Barrier);
    row.why = why.join(" ");
    row
}

/// What must be shown of a barrier before the line, each with what the evidence says of it. What is
/// counted behind it, and its test after the run, are proofs of their own.
fn parts(
    t: &Treatment,
    act: Option<&Act>,
    log: &[&Act],
    tank: &Dossier,
    when: When,
) -> Vec<(Shown, String)> {
    let mut parts = Vec::new();
    if let Some(act) = act {
        let waits = act
            .day
            .given()
            .zip(when.bottling)
            .map(|(day, bottling)| day.until(bottling) as f64);
        if waits.is_none_or(|w| w < 0.0 || w > t.longest_days.map_or(0.0, |l| l.middle)) {
            parts.push((
                Shown::Missing,
                "its place at the filler, on the bottling day".to_string(),
            ));
        }
        // What is done in the sterile line brings nothing behind it, on its day.
        let in_line = |a: &Act, t: &Treatment| {
            at_filler(t) || t.in_line.is_some() && a.day.given() == act.day.given()
        };
        let later = |a: &&&Act| {
            a.number > act.number
                && a.may_follow(act.day.given())
                && !a.treatment.is_some_and(|t| in_line(a, t))
        };
        parts.extend(log.iter().find(later).map(|a| {
            (
                Shown::Missing,
                format!(
                    "its place as the last act ({} came after it, or may have)",
                    a.words()
                ),
            )
        }));
    }
    // What is only planned is done on the bottling day.
    let on = act.map_or(when.bottling, |a| a.day.given());
    for b in t.bounds {
        parts.extend(b.shown.as_ref().map(|window| {
            (
                fed(tank, on, b, window),
                format!(
                    "{} before it ({} at most)",
                    show::inside(b.on.label()),
                    amount(b)
                ),
            )
        }));
    }
    let proves = |c: &&LastCheck| c.barrier_of.contains(&t.key) && c.due == Due::BeforeLine;
    for check in LAST.rows().iter().filter(proves) {
        parts.extend(last(tank, when, check).map(|p| (p.shown, show::inside(&p.name))));
    }
    parts
}

fn amount(b: &Bound) -> String {
    format!("{} {}", show::plain(b.most), b.on.facts().unit)
        .trim_end()
        .to_string()
}

/// What a barrier is given to hold: a reading of so many days before it must show that it is not
/// more than it can.
fn fed(tank: &Dossier, on: Option<Day>, bound: &Bound, window: &Window) -> Shown {
    let (Some(value), day) = (tank.analysis(bound.on), tank.measured_on(bound.on)) else {
        return Shown::Missing;
    };
    let age = day.zip(on).map(|(day, on)| day.until(on) as f64);
    let stale = tank.stale.contains(&bound.on) || tank.voided_since(bound.on, day).is_some();
    match age {
        _ if value > bound.most => Shown::Against,
        Some(age) if (0.0..=window.days).contains(&age) && !stale => Shown::Inside,
        _ => Shown::Missing,
    }
}

/// Filters and heat of the plan and the log that are no barrier here, and why.
fn not_counted(dossier: &Dossier, rule: &BarrierRule) -> Vec<String> {
    let mut all: Vec<&'static Treatment> = Vec::new();
    let planned = dossier.plan.iter().filter_map(|p| p.treatment);
    for t in dossier.acts().filter_map(|a| a.treatment).chain(planned) {
        let lowers = t.effects.iter().any(|e| {
            e.process == Process::Filtration && matches!(e.on, Quantity::Yeast | Quantity::Germs)
        });
        if (lowers || !t.germ_barrier.is_empty())
            && !rule.is_met_by(t)
            && !all.iter().any(|x| x.key == t.key)
        {
            all.push(t);
        }
    }
    let why = |t: &Treatment| match &t.germ_barrier_why {
        Some(why) => format!("{} does not count. {}", t.name, why.text),
        None => format!(
            "{} does not count: it lowers the number of germs and keeps none from the bottle.",
            t.name
        ),
    };
    all.into_iter().map(why).collect()
}
