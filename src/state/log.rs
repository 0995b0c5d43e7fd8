//! What the log of a wine comes to: the acts that count, the measurements they void, what they make
//! of the wine's past. All
//! of it follows from the entries; nothing the user wrote is changed.

use crate::knowledge::{TREATMENTS, Treatment};
use crate::units::day::Day;
use crate::wine::*;

/// One act that counts.
#[derive(Debug, Clone, Copy)]
pub struct Act<'a> {
    /// Its number in the log, from 1.
    pub number: usize,
    /// The entry.
    pub entry: &'a Done,
    /// The treatment; None for an act that is not in the tables.
    pub treatment: Option<&'static Treatment>,
    /// The day; None where it cannot be read.
    pub day: Option<Day>,
}

impl Act<'_> {
    /// Whether it voids a measurement of this quantity. An act that is not in the tables voids all
    /// of them: nobody knows
    /// what it moved.
    pub fn voids(&self, which: Quantity) -> bool {
        let which = match which {
            // Both are read on the same disc.
            Quantity::Vmax => Quantity::CloggingIndex,
            // What moves bitartrate moves both.
            Quantity::SaturationTemperature => Quantity::ConductivityDrop,
            other => other,
        };
        self.treatment.is_none_or(|t| {
            t.voids.contains(&which) || super::kin(which).any(|other| t.voids.contains(&other))
        })
    }

    /// Whether it may have come after something done on `day`. On the same day, or where a day is
    /// not known, it may.
    pub fn may_follow(&self, day: Option<Day>) -> bool {
        match (day, self.day) {
            (Some(then), Some(act)) => then <= act,
            _ => true,
        }
    }

    /// “bentonite, sodium (2026-11-02)”.
    pub fn words(&self) -> String {
        let name = self.treatment.map_or_else(
            || {
                if self.entry.note.is_empty() {
                    "an act"
                } else {
                    &self.entry.note
                }
            },
            |t| t.name,
        );
        format!(
            "{name} ({})",
            if self.entry.day.is_empty() {
                "no day"
            } else {
                &self.entry.day
            }
        )
    }
}

/// The acts that count, oldest first: entries that mark an error are none, and what they mark is
/// none any more.
pub fn acts(wine: &Wine) -> Vec<Act<'_>> {
    // A mark counts only for an entry above it.
    let marked = |number: usize| {
        wine.done
            .iter()
            .skip(number)
            .any(|d| d.corrects.is_some_and(|c| c as usize == number))
    };
    let counts = |(i, entry): &(usize, &Done)| entry.corrects.is_none() && !marked(i + 1);
    wine.done
        .iter()
        .enumerate()
        .filter(counts)
        .map(|(i, entry)| Act {
            number: i + 1,
            entry,
            treatment: TREATMENTS.iter().find(|t| t.key == entry.treatment),
            day: Day::read(&entry.day),
        })
        .collect()
}

/// For each step of the plan the acts of the log that did it: an act is that of the first step of
/// its treatment that has none yet, or
/// of the last one where all have one.
pub fn done_by(wine: &Wine) -> Vec<Vec<Act<'_>>> {
    let mut by: Vec<Vec<Act<'_>>> = wine.plan.iter().map(|_| Vec::new()).collect();
    for act in acts(wine) {
        let of = |i: &usize| {
            wine.plan
                .get(*i)
                .is_some_and(|s| !s.treatment.is_empty() && s.treatment == act.entry.treatment)
        };
        let free = (0..by.len()).find(|i| of(i) && by.get(*i).is_some_and(Vec::is_empty));
        if let Some(step) = free
            .or_else(|| (0..by.len()).rfind(of))
            .and_then(|i| by.get_mut(i))
        {
            step.push(act);
        }
    }
    by
}

/// Whether what a step of the plan measures was measured at its place: every act before it is in
/// the log, and each reading holds, or
/// was voided by acts of later steps only.
pub fn measured_at(wine: &Wine, at: usize) -> bool {
    let by = done_by(wine);
    let acted = wine
        .plan
        .iter()
        .zip(&by)
        .take(at)
        .all(|(s, by)| s.is_test() || !by.is_empty());
    let later: Vec<usize> = by.iter().skip(at).flatten().map(|a| a.number).collect();
    let holds = |q: &Quantity| {
        let voiding = acts(wine)
            .into_iter()
            .filter(|a| a.voids(*q) && a.may_follow(measured_on(wine, *q)));
        wine.at_most(*q).is_some()
            && !wine.stale.contains(q)
            && voiding.into_iter().all(|a| later.contains(&a.number))
    };
    acted
        && wine
            .plan
            .get(at)
            .is_some_and(|s| s.is_test() && s.measure.iter().all(holds))
}

/// The day on which a quantity was measured, where it was given and can be read.
pub fn measured_on(wine: &Wine, which: Quantity) -> Option<Day> {
    wine.measured_on.get(&which).and_then(|t| Day::read(&t.0))
}

/// Whether something of this quantity, known on `day`, no longer holds: the last act that voids it.
pub fn voided_since(wine: &Wine, which: Quantity, day: Option<Day>) -> Option<Act<'_>> {
    acts(wine)
        .into_iter()
        .rfind(|a| a.voids(which) && a.may_follow(day))
}

/// Whether the measurement of a quantity no longer holds: the user said so, or an act of the log
/// voids it. A measurement
/// with no day counts as made before every act.
pub fn voided(wine: &Wine, which: Quantity) -> bool {
    wine.stale.contains(&which) || voided_since(wine, which, measured_on(wine, which)).is_some()
}

/// What has been done to the wine: what the user said and what the log implies.
pub fn past(wine: &Wine) -> Vec<Past> {
    let mut all = wine.past.clone();
    acts(wine)
        .iter()
        .filter_map(|a| a.treatment)
        .for_each(|t| add_past(&mut all, t));
    all
}

/// Adds what a treatment makes of the past of a wine.
pub fn add_past(all: &mut Vec<Past>, t: &Treatment) {
    let does = |process: Process| t.effects.iter().any(|e| e.process == process);
    // Cold takes potassium out with the bitartrate; seeds of calcium tartrate do not.
    let cold = t
        .effects
        .iter()
        .any(|e| e.process == Process::Bitartrate && e.on == Quantity::Potassium);
    for (holds, past) in [
        (t.family == Family::Fining, Past::Fined),
        (cold, Past::ColdStabilised),
        (does(Process::Blending), Past::Blended),
        (does(Process::Inhibition), Past::Inhibited),
    ] {
        if holds && !all.contains(&past) {
            all.push(past);
        }
    }
}
