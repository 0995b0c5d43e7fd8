//! The routes of a wine as a report: the search, each route that is shown held against the full
//! judge, and which to relax where none is found.

use super::aims::Aim;
use super::answer::{answer, beside, first, no_cure_words};
use super::chain::{hired, report};
use super::held::{Held, Way, held};
use super::instance::{Asked, Built, build_only, measured_outside};
use super::model::Label;
use super::picks::{Pick, nearest, picks};
use super::report::{Route, Routes};
use super::search::{MOST_TRIED, Search};
use super::tied::leaders_first;
use super::verify::{cut, follow, refused};
use super::{SEARCH_DRAWS, SHOWN_DRAWS, relax};
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law;
use crate::obligations::in_bottle;
use crate::sorting::sort;
use crate::units::day::Day;
use crate::wine::*;

/// Most times that the search goes on after a route was refused. Judgement: what is refused after
/// that is left out, and it is said that a better route may exist.
const MOST_CUTS: usize = 40;

/// Works out the routes. `today` decides what is too late.
pub fn routes(dossier: &Dossier, today: Option<Day>) -> Routes {
    let mut search = RouteSearch::of(dossier, today);
    while !search.run(MOST_TRIED) {}
    search.routes()
}

/// The search for the routes of a wine. It can be shown at any time and gone on with.
#[derive(Debug)]
pub struct RouteSearch {
    dossier: Dossier,
    today: Option<Day>,
    /// What is said where there is nothing to search.
    said: Option<Routes>,
    asked: Asked,
    built: Built,
    search: Search,
    /// Routes looked at by searches that were begun anew.
    tried: usize,
    cuts: usize,
    ended: bool,
}

impl RouteSearch {
    /// Of a wine. `today` decides what is too late.
    pub fn of(dossier: &Dossier, today: Option<Day>) -> RouteSearch {
        let said = nothing_to_search(dossier);
        let built = build_only(
            dossier,
            dossier.days_left(today),
            SEARCH_DRAWS,
            Asked::All,
            said.as_ref().map(|_| &[][..]),
        );
        let search = Search::of(&built.instance);
        RouteSearch {
            dossier: dossier.clone(),
            today,
            ended: said.is_some(),
            said,
            asked: Asked::All,
            built,
            search,
            tried: 0,
            cuts: 0,
        }
    }

    /// Whether a way is known that the judge permits.
    pub fn has_way(&self) -> bool {
        let mut found = self.search.front().best_by.iter();
        found.any(|f| self.permits(&f.decisions))
    }

    /// The best way by an aim that is known and that the judge permits, with any act.
    pub(super) fn way(&self, aim: Aim) -> Option<Way> {
        let best = self.search.front().by(aim)?;
        if best.decisions.is_empty() || !self.permits(&best.decisions) {
            return None;
        }
        let label = follow(&self.built, &best.decisions)?;
        let acts = best
            .decisions
            .iter()
            .filter_map(|i| self.built.acts.get(*i));
        Some(Way {
            acts: acts.copied().collect(),
            days: best.counts.days,
            hire: hired(&self.dossier, &self.built, &label),
        })
    }

    /// Whether the judge permits a route.
    fn permits(&self, decisions: &[usize]) -> bool {
        follow(&self.built, decisions)
            .is_some_and(|label| refused(&self.dossier, &self.built, &label).is_none())
    }

    /// Whether nothing is left to look at.
    pub fn has_ended(&self) -> bool {
        self.ended
    }

    /// Looks at so many routes more; true where nothing is left to look at.
    pub fn run(&mut self, tries: usize) -> bool {
        if self.ended {
            return true;
        }
        let on = &self.built.instance;
        let searched = self.search.run(on, tries);
        let stopped = self.search.front().tried >= MOST_TRIED;
        if searched || stopped {
            self.ended = !(self.cut_refused() || self.named_alone());
        }
        self.ended
    }

    /// Cuts what the judge refuses of the routes that were found and begins anew; false where it
    /// permits them all.
    fn cut_refused(&mut self) -> bool {
        if self.cuts >= MOST_CUTS {
            return false;
        }
        let mut cuts = Vec::new();
        for found in &self.search.front().best_by {
            if self.permits(&found.decisions) {
                continue;
            }
            let set = cut(&self.dossier, &self.built, &found.decisions);
            if !cuts.contains(&set) {
                cuts.push(set);
            }
        }
        self.cuts += cuts.len();
        let has_cut = !cuts.is_empty();
        if has_cut {
            self.built.instance.cuts.extend(cuts);
            self.again();
        }
        has_cut
    }

    /// Where nothing was found for all needs, searches for those that were named alone; false where
    /// that is no other search.
    fn named_alone(&mut self) -> bool {
        let named = |p: &Problem| self.dossier.problems.contains(p);
        let mut required = self.built.needs.iter().filter(|n| n.required);
        let more = required.any(|n| !named(&n.problem.problem));
        if self.asked == Asked::Named || !more || !self.search.front().is_empty() {
            return false;
        }
        let days_left = self.dossier.days_left(self.today);
        let built = build_only(&self.dossier, days_left, SEARCH_DRAWS, Asked::Named, None);
        self.asked = Asked::Named;
        self.built = built;
        self.again();
        true
    }

    fn again(&mut self) {
        self.tried += self.search.front().tried;
        self.search = Search::of(&self.built.instance);
    }

    /// What was found so far.
    pub fn routes(&self) -> Routes {
        if let Some(said) = &self.said {
            return said.clone();
        }
        let dossier = &self.dossier;
        let front = self.search.front();
        let mut all = Routes {
            no_cure: self
                .built
                .no_cure
                .iter()
                .map(|f| f.problem.label())
                .collect(),
            uncured: self.built.no_cure.iter().map(|f| f.problem).collect(),
            not_read: dossier.errors.clone(),
            first: first(dossier),
            tried: self.tried + front.tried,
            goes_on: !self.ended,
            stopped: front.tried >= MOST_TRIED || self.cuts >= MOST_CUTS,
            ..Routes::default()
        };
        if !self.built.needs.iter().any(|n| n.required) {
            let none = || {
                "None of what was named has a limit or a measure that a route could aim at: find the cause, or ask a laboratory.".to_string()
            };
            (all.says, all.answer) = no_cure_words(dossier, &self.built).map_or_else(
                || (vec![AnswerKey::FindCause, AnswerKey::Laboratory], none()),
                |(key, words)| (vec![key], words),
            );
            beside(dossier, &mut all);
            return all;
        }
        let found = self.permitted(picks(front, &self.built));
        all.found = found.len();
        let short = found.is_empty();
        let chosen = if short {
            self.permitted(nearest(front, &self.built).into_iter().collect())
        } else {
            found
        };
        all.routes = self.reported(chosen, short);
        let used = all
            .routes
            .iter()
            .flat_map(|r| &r.steps)
            .filter_map(|s| treatment(s.key));
        let found: Vec<law::Finding> = used.flat_map(|t| dossier.law(t).into_owned()).collect();
        all.law = law::said(dossier, &found.iter().collect::<Vec<_>>());
        let mut kept = None;
        if short && self.ended {
            all.relax = relax::relax(dossier, self.today);
            kept = held(dossier, self.today, all.routes.is_empty());
            all.held_by = kept.as_ref().map(Held::witness).unwrap_or_default();
        }
        all.not_covered = not_covered(dossier, &self.built);
        let days_left = dossier.days_left(self.today);
        (all.says, all.answer) = answer(
            &all,
            &self.built,
            dossier,
            self.today,
            days_left,
            kept.as_ref(),
        );
        beside(dossier, &mut all);
        all
    }

    /// A route by its key, whether or not it is among the best; None where it may not be.
    pub fn route(&self, key: &str) -> Option<Route> {
        let keys: Option<Vec<&'static str>> = key
            .split('+')
            .map(|k| treatment(k).map(|t| t.key))
            .collect();
        let best_at = Vec::new();
        let picked = self.permitted(vec![Pick {
            best_at,
            keys: keys?,
        }]);
        self.reported(picked, false).into_iter().next()
    }

    /// Those that the judge permits.
    fn permitted(&self, mut picks: Vec<Pick>) -> Vec<Pick> {
        let at = |key: &&'static str| self.built.acts.iter().position(|t| t.key == *key);
        picks.retain(|pick| {
            let decisions: Option<Vec<usize>> = pick.keys.iter().map(at).collect();
            decisions.is_some_and(|d| self.permits(&d))
        });
        picks
    }

    /// Routes over more draws, the first the best of those at hand and of known law.
    fn reported(&self, chosen: Vec<Pick>, short: bool) -> Vec<Route> {
        let dossier = &self.dossier;
        let acts: Vec<&'static str> = chosen.iter().flat_map(|p| p.keys.clone()).collect();
        let days_left = dossier.days_left(self.today);
        let fine = build_only(dossier, days_left, SHOWN_DRAWS, self.asked, Some(&acts));
        let labels: Vec<(Pick, Label)> = chosen
            .into_iter()
            .filter_map(|pick| followed(&fine, &pick.keys).map(|label| (pick, label)))
            .collect();
        let cheapest = cheapest_in(dossier, &fine, &labels);
        let bottling = dossier.bottling_day.given();
        let reported = |((pick, label), share): ((Pick, Label), f64)| {
            report(dossier, &fine, label, pick.best_at, share, bottling, short)
        };
        let mut all: Vec<Route> = labels.into_iter().zip(cheapest).map(reported).collect();
        let class = |r: &Route| (!r.hire.is_empty(), !r.confirm.is_empty(), r.short);
        sort(&mut all, &mut |a, b| {
            class(a).cmp(&class(b)).then(a.loss.total_cmp(&b.loss))
        });
        leaders_first(dossier, self.today, &mut all, class);
        all
    }
}

/// What is said where there is nothing to search.
fn nothing_to_search(dossier: &Dossier) -> Option<Routes> {
    let say = |says: &[AnswerKey], answer: &str| {
        Some(Routes {
            answer: answer.into(),
            says: says.to_vec(),
            ..Routes::default()
        })
    };
    if dossier.stage == Some(Stage::Bottled) {
        let (says, answer) = in_bottle(dossier, None);
        return say(&says, &answer);
    }
    if dossier.problems.is_empty() && measured_outside(dossier).is_empty() {
        return say(
            &[AnswerKey::NothingNamed, AnswerKey::NoTreatment],
            "Nothing is named as wrong or feared: no treatment is called for. Choose what is wrong, or feared, on the wine's page: a route needs something to cure.",
        );
    }
    if dossier.problems.is_empty() {
        return say(
            &[AnswerKey::NothingNamed],
            "Choose what is wrong, or feared, on the wine's page: a route needs something to cure.",
        );
    }
    if dossier.style == Some(Style::Fruit) {
        return say(
            &[AnswerKey::NotCovered],
            "Fruit wine: its law and its figures were not read, so no route is offered.",
        );
    }
    None
}

/// A route over the draws of an instance, by its keys; None where it may not be.
fn followed(built: &Built, keys: &[&'static str]) -> Option<Label> {
    let at = |key: &&'static str| built.acts.iter().position(|t| t.key == *key);
    let decisions: Option<Vec<usize>> = keys.iter().map(at).collect();
    follow(built, &decisions?)
}

/// What was measured outside its limit and no route shown here was worked out for.
fn not_covered(dossier: &Dossier, built: &Built) -> Vec<&'static str> {
    let met = |f: &StabilityFacts| {
        built.needs.iter().any(|n| {
            n.required
                && Some(n.problem.problem) == f.problem
                && f.in_routes == Some(RoutePart::Need)
        })
    };
    let open = |f: &&'static StabilityFacts| !met(f) && f.in_routes != Some(RoutePart::Last);
    measured_outside(dossier)
        .into_iter()
        .filter(open)
        .map(|f| f.name)
        .collect()
}

/// Share of the draws in which each is the cheapest among those that are as clean as the first and
/// as much at hand.
fn cheapest_in(dossier: &Dossier, built: &Built, labels: &[(Pick, Label)]) -> Vec<f64> {
    let on = &built.instance;
    let mut wins = vec![0_u32; labels.len()];
    let classes: Vec<(bool, bool)> = labels
        .iter()
        .map(|(_, l)| (!hired(dossier, built, l).is_empty(), l.unsure))
        .collect();
    let best_class = classes.iter().min().copied();
    for draw in 0..on.draws {
        let best = labels
            .iter()
            .enumerate()
            .filter(|(i, _)| classes.get(*i).copied() == best_class)
            .filter_map(|(i, (_, l))| l.money.get(draw).map(|m| (i, *m)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        if let Some(w) = best.and_then(|(i, _)| wins.get_mut(i)) {
            *w += 1;
        }
    }
    wins.into_iter()
        .map(|w| f64::from(w) / (on.draws.max(1) as f64))
        .collect()
}
