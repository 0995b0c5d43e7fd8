//! What is known of a wine, worked out once for all answers: the case, its state, its past and what
//! the law says of each treatment.

use crate::case::{Case, log::add_past};
use crate::diagnosis::{Diagnosis, diagnose};
use crate::knowledge::{RULES, Rule, TREATMENTS, Treatment};
use crate::law::{self, Finding};
use crate::state::State;
use crate::wine::{Past, Problem};
use std::borrow::Cow;
use std::cell::OnceCell;
use std::ops::Deref;

/// A case with what follows from it. It reads as its case.
#[derive(Debug, Clone)]
pub struct Dossier {
    /// The wine, checked. What follows from it is worked out with it, so it is read and never
    /// changed: [`Dossier::with`] opens another.
    case: Case,
    /// Its state by its readings and by typical values.
    pub state: State,
    /// What has been done to it: what the user said and what the log implies.
    pub past: Vec<Past>,
    /// The rules that its acts are judged by.
    rules: &'static [Rule],
    /// Its causes by the signs, once somebody asked; None where nothing was answered.
    diagnosis: OnceCell<Option<Diagnosis>>,
    /// What the law says of each treatment of the tables, once somebody asked.
    law: Vec<OnceCell<Vec<Finding>>>,
}

impl Dossier {
    /// Opens the dossier of a case, or of a wine that is checked for it.
    pub fn of(case: impl Into<Case>) -> Dossier {
        let case = case.into();
        Dossier {
            state: State::of(&case),
            past: case.past(),
            rules: RULES.rows(),
            diagnosis: OnceCell::new(),
            law: TREATMENTS.rows().iter().map(|_| OnceCell::new()).collect(),
            case,
        }
    }

    /// The same wine under other rules, such as the table without one of them.
    #[must_use]
    pub fn judged_by(self, rules: &'static [Rule]) -> Dossier {
        Dossier { rules, ..self }
    }

    /// Another case under the rules of this one.
    pub(crate) fn with(&self, case: Case) -> Dossier {
        Dossier::of(case).judged_by(self.rules)
    }

    /// The same wine with one more problem named, for a look that leaves the wine as it is; the
    /// wine itself where it is named already.
    #[must_use]
    pub fn with_problem(&self, problem: Problem) -> Dossier {
        let mut case = self.case.clone();
        if !case.problems.contains(&problem) {
            case.problems.push(problem);
        }
        self.with(case)
    }

    /// The rules that its acts are judged by.
    pub fn rules(&self) -> &'static [Rule] {
        self.rules
    }

    /// What has been done to it once these acts are done too.
    pub fn past_after(&self, acts: &[&'static Treatment]) -> Vec<Past> {
        let mut past = self.past.clone();
        acts.iter().for_each(|t| add_past(&mut past, t));
        past
    }

    /// The causes by what was seen and tested; None where nothing was answered.
    pub fn diagnosis(&self) -> Option<&Diagnosis> {
        self.diagnosis
            .get_or_init(|| (!self.observed.is_empty()).then(|| diagnose(&self.case)))
            .as_ref()
    }

    /// What the law of each market says of a treatment.
    pub fn law(&self, treatment: &Treatment) -> Cow<'_, [Finding]> {
        let place = TREATMENTS
            .rows()
            .iter()
            .position(|t| std::ptr::eq(t, treatment));
        match place.and_then(|at| self.law.get(at)) {
            Some(found) => {
                Cow::Borrowed(found.get_or_init(|| law::findings(&self.case, treatment)))
            }
            // A treatment that is not of the tables, as in tests.
            None => Cow::Owned(law::findings(&self.case, treatment)),
        }
    }
}

/// The dossier of a wine of which nothing is told.
impl Default for Dossier {
    fn default() -> Dossier {
        Dossier::of(Case::default())
    }
}

impl Deref for Dossier {
    type Target = Case;
    fn deref(&self) -> &Case {
        &self.case
    }
}
