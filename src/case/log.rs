//! The log of a wine and what it comes to: the acts that count, the measurements they void, what
//! they make of the wine's past. All of it follows from the entries; nothing the user wrote is
//! changed.

use super::{Case, Field, checked_dose, day};
use crate::knowledge::{STABILITIES, Treatment, treatment};
use crate::units::day::Day;
use crate::wine::*;

/// One entry of the log.
#[derive(Debug, Clone, PartialEq)]
pub struct Act {
    /// Its number in the log, from 1.
    pub number: usize,
    /// Key of the treatment as typed; empty for an act that has none here.
    pub key: String,
    /// The treatment; None for an act that is not in the tables.
    pub treatment: Option<&'static Treatment>,
    /// The day.
    pub day: Field<Day>,
    /// Dose in the treatment's own unit.
    pub dose: Field<f64>,
    /// Batch number of the material.
    pub batch: String,
    /// Who signs.
    pub by: String,
    /// What came of it, or what it was.
    pub note: String,
    /// Number of the entry that this one marks as an error; such an entry is no act of its own.
    pub corrects: Option<u32>,
    /// Whether it counts: it marks no other, and no later one marks it.
    pub counts: bool,
}

impl Act {
    /// Whether it voids a measurement of this quantity. An act that is not in the tables voids all
    /// of them: nobody knows what it moved.
    pub fn voids(&self, which: Quantity) -> bool {
        let which = match which {
            // Both are read on the same disc.
            Quantity::Vmax => Quantity::CloggingIndex,
            // What moves bitartrate moves both.
            Quantity::SaturationTemperature => Quantity::ConductivityDrop,
            other => other,
        };
        self.treatment.is_none_or(|t| {
            t.voids.contains(&which) || kin(which).any(|other| t.voids.contains(&other))
        })
    }

    /// Whether it may have come after something done on `day`. On the same day, or where a day is
    /// not known, it may.
    pub fn may_follow(&self, day: Option<Day>) -> bool {
        match (day, self.day.given()) {
            (Some(then), Some(act)) => then <= act,
            _ => true,
        }
    }

    /// “bentonite, sodium (2026-11-02)”.
    pub fn words(&self) -> String {
        let name = match self.treatment {
            Some(t) => t.name,
            None if self.note.is_empty() => "an act",
            None => &self.note,
        };
        let day = match &self.day {
            Field::NotGiven => "no day".into(),
            day => day.words(),
        };
        format!("{name} ({day})")
    }
}

/// The entries of a log.
pub(super) fn read(wine: &Wine) -> Vec<Act> {
    // A mark counts only for an entry above it.
    let marked = |number: usize| {
        wine.done
            .iter()
            .skip(number)
            .any(|d| d.corrects.is_some_and(|c| c as usize == number))
    };
    let act = |(i, entry): (usize, &Done)| Act {
        number: i + 1,
        key: entry.treatment.clone(),
        treatment: treatment(&entry.treatment),
        day: day(&entry.day, || format!("done.{i}.day")),
        dose: checked_dose(&entry.dose, || format!("done.{i}.dose")),
        batch: entry.batch.clone(),
        by: entry.by.clone(),
        note: entry.note.clone(),
        corrects: entry.corrects,
        counts: entry.corrects.is_none() && !marked(i + 1),
    };
    wine.done.iter().enumerate().map(act).collect()
}

impl Case {
    /// The acts that count, oldest first: entries that mark an error are none, and what they mark
    /// is none any more.
    pub fn acts(&self) -> impl DoubleEndedIterator<Item = &Act> {
        self.log.iter().filter(|a| a.counts)
    }

    /// For each step of the plan the acts of the log that did it: an act is that of the first step
    /// of its treatment that has none yet, or of the last one where all have one.
    pub fn done_by(&self) -> Vec<Vec<&Act>> {
        let mut by: Vec<Vec<&Act>> = self.plan.iter().map(|_| Vec::new()).collect();
        for act in self.acts() {
            let of = |i: &usize| {
                self.plan
                    .get(*i)
                    .is_some_and(|s| !s.key.is_empty() && s.key == act.key)
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

    /// Whether what a step of the plan measures was measured at its place: every act before it is
    /// in the log, and each reading holds, or was voided by acts of later steps only.
    pub fn measured_at(&self, at: usize) -> bool {
        let by = self.done_by();
        let acted = self
            .plan
            .iter()
            .zip(&by)
            .take(at)
            .all(|(s, by)| s.is_test() || !by.is_empty());
        let later: Vec<usize> = by.iter().skip(at).flatten().map(|a| a.number).collect();
        let holds = |q: &Quantity| {
            let mut voiding = self
                .acts()
                .filter(|a| a.voids(*q) && a.may_follow(self.measured_on(*q)));
            self.at_most(*q).is_some()
                && !self.stale.contains(q)
                && voiding.all(|a| later.contains(&a.number))
        };
        acted
            && self
                .plan
                .get(at)
                .is_some_and(|s| s.is_test() && s.measure.iter().all(holds))
    }

    /// Whether something of this quantity, known on `day`, no longer holds: the last act that voids
    /// it.
    pub fn voided_since(&self, which: Quantity, day: Option<Day>) -> Option<&Act> {
        self.acts().rfind(|a| a.voids(which) && a.may_follow(day))
    }

    /// Whether the measurement of a quantity no longer holds: the user said so, or an act of the
    /// log voids it. A measurement with no day counts as made before every act.
    pub fn voided(&self, which: Quantity) -> bool {
        self.stale.contains(&which) || self.voided_since(which, self.measured_on(which)).is_some()
    }

    /// What has been done to the wine: what the user said and what the log implies.
    pub fn past(&self) -> Vec<Past> {
        let mut all = self.past_told.clone();
        self.acts()
            .filter_map(|a| a.treatment)
            .for_each(|t| add_past(&mut all, t));
        all
    }
}

/// The quantities that other tests of the same question read.
pub(crate) fn kin(which: Quantity) -> impl Iterator<Item = Quantity> {
    let group = STABILITIES
        .iter()
        .find(|s| s.quantity == which)
        .and_then(|s| s.group);
    STABILITIES
        .rows()
        .iter()
        .filter(move |s| group.is_some() && s.group == group && s.quantity != which)
        .map(|s| s.quantity)
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
