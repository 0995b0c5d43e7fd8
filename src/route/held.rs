//! What keeps a wine from its routes where the stage, the days or both do: found by a search of the
//! same wine without them.

use super::aims::Aim;
use super::routes::RouteSearch;
use crate::answer::AnswerKey;
use crate::case::{Case, Field};
use crate::dossier::Dossier;
use crate::knowledge::Treatment;
use crate::rules::Fact;
use crate::units::{day::Day, show};
use crate::wine::Stage;

/// Most routes that are looked at for each of the changes, and how often a search that was begun
/// anew is gone on with. Judgement.
const MOST_TRIED: usize = 4_000;
const MOST_RUNS: usize = 2;

/// A way that the judge permits.
#[derive(Debug, Clone)]
pub(super) struct Way {
    /// Its acts, in the order in which they are decided.
    pub acts: Vec<&'static Treatment>,
    /// Days to the bottling.
    pub days: f64,
    /// Costly equipment that it needs and that was not said to be had.
    pub hire: Vec<&'static str>,
}

/// What keeps a wine from its routes.
#[derive(Debug, Clone)]
pub(super) struct Held {
    /// The stage at which the way is open, where it is not that of the wine.
    pub stage: Option<Stage>,
    /// The days that are left, where the way takes longer.
    pub days_left: Option<i64>,
    /// The best way that is known then; the quickest where the days are too few.
    pub way: Way,
}

impl Held {
    /// The facts that keep it.
    pub fn witness(&self) -> Vec<Fact> {
        let stage = self.stage.map(|_| Fact::Stage);
        let days = self.days_left.map(|_| Fact::BottlingDay);
        stage.into_iter().chain(days).collect()
    }

    /// What it says, as keys.
    pub fn keys(&self) -> Vec<AnswerKey> {
        let stage = self.stage.map(|_| AnswerKey::StageCloses);
        let days = self.days_left.map(|_| AnswerKey::DaysTooFew);
        let hire = (!self.way.hire.is_empty()).then_some(AnswerKey::Hire);
        stage.into_iter().chain(days).chain(hire).collect()
    }

    /// In words.
    pub fn words(&self, dossier: &Dossier) -> String {
        let names: Vec<String> = self.way.acts.iter().map(|t| show::inside(t.name)).collect();
        let (acts, days) = (names.join(", then "), show::fixed(self.way.days, 0));
        let now = dossier.stage.map_or("", Stage::label);
        let mut all = Vec::new();
        if let Some(then) = self.stage {
            all.push(format!(
                "The wine stands at “{now}”, and what would meet its needs is not done there."
            ));
            all.push(if dossier.stage == Some(Stage::Ready) {
                format!(
                    "Set the stage back to “{}” if it can still wait: then there is a way of {days} days: {acts}.",
                    then.label()
                )
            } else {
                format!(
                    "Once it stands at “{}”, there is a way of {days} days: {acts}.",
                    then.label()
                )
            });
        }
        if let Some(left) = self.days_left {
            all.push(if self.stage.is_some() {
                format!("Days to the bottling: {left}. Write a later day too.")
            } else {
                format!(
                    "Days to the bottling: {left}, too few to meet all needs. The quickest way that is known takes {days}: {acts}. Write a later day."
                )
            });
        }
        if !self.way.hire.is_empty() {
            let kits = show::listed(&self.way.hire);
            all.push(format!("It takes equipment that you may hire: {kits}."));
        }
        all.join(" ")
    }
}

/// Whether a wine with a later bottling day, another stage, or both gets a route, the least change
/// first; None where none of them brings one. A day that has passed is another matter, and a juice
/// for which something can be done does not wait for its fermentation.
pub(super) fn held(dossier: &Dossier, today: Option<Day>, nothing: bool) -> Option<Held> {
    let days_left = dossier.days_left(today).filter(|d| *d >= 0);
    // Where most is done.
    let stage = match dossier.stage {
        Some(Stage::Ready) => Some(Stage::Dry),
        Some(Stage::Juice | Stage::Fermenting) if nothing => Some(Stage::Dry),
        _ => None,
    };
    let both = days_left.is_some().then_some(stage).flatten();
    let changes = [
        days_left.map(|_| (None, days_left)),
        stage.map(|_| (stage, None)),
        both.map(|_| (stage, days_left)),
    ];
    changes.into_iter().flatten().find_map(|(stage, days)| {
        let way = way(dossier, today, stage, days.is_some())?;
        Some(Held {
            stage,
            days_left: days,
            way,
        })
    })
}

/// The best way of a wine at another stage, or the quickest with no bottling day.
fn way(dossier: &Dossier, today: Option<Day>, stage: Option<Stage>, any_day: bool) -> Option<Way> {
    let mut changed = Case::clone(dossier);
    changed.stage = stage.or(changed.stage);
    if any_day {
        changed.bottling_day = Field::NotGiven;
    }
    let mut search = RouteSearch::of(&dossier.with(changed), today);
    let _ended = (0..MOST_RUNS).any(|_| search.run(MOST_TRIED));
    search.way(if any_day { Aim::Days } else { Aim::Loss })
}
