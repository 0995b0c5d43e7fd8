//! The steps of a route on its days: what is measured and confirmed first, each act with where every
//! need stands after it, and the end of the way.

use super::branches::branches;
use super::chain::spread;
use super::instance::{Built, last_days, lead_days, place};
use super::model::{Act, Done, Instance, Label};
use super::owed::{Owed, owed};
use super::owed_steps::{bottle, let_go, put_alongside, retest, the_day, to_the_day};
use super::report::{Stand, Step, StepKind};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law;
use crate::obligations::days_of;
use crate::rules;
use crate::state::reading;
use crate::treatment::scales;
use crate::units::{day::Day, show};
use crate::wine::*;

/// Why an authority is asked before an act.
const CONFIRM: &str = "Its law was not read in whole: ask before it is done. How long the answer takes is not counted.";

/// The steps of a route while they are laid out.
pub(super) struct Steps<'a> {
    dossier: &'a Dossier,
    built: &'a Built,
    label: &'a Label,
    bottling: Option<Day>,
    /// What the route owes besides its needs.
    pub owed: Owed,
    /// Those laid out so far.
    pub all: Vec<Step>,
    /// Day of the next one; at the end, the days of the route.
    pub now: f64,
    /// What the acts cost.
    pub costs: Costs,
    /// Whether what the acts void was tested again.
    retested: bool,
    /// Whether the wine of the day was tested.
    on_day: bool,
    /// The same route once more, step by step, for the state after each.
    state: Label,
    /// And without what no figure tells: what is shown of the needs.
    plain: Label,
    figures: Instance,
}

/// What the acts of a route cost beside their money.
#[derive(Debug, Default)]
pub(super) struct Costs {
    /// Money for what is bought, for lost wine and for labour.
    pub split: [f64; 3],
    /// Energy, kWh per hectolitre.
    pub energy: f64,
    /// Water, L per hectolitre.
    pub water: f64,
    /// Acts of which neither is known.
    pub unknown: usize,
}

impl Costs {
    fn add(&mut self, dossier: &Dossier, t: &Treatment, share: f64, money: f64) {
        let lost = share * t.loss_percent.middle * scales::value(dossier) / 100.0;
        let labour = share * t.labour_hours.middle * scales::per_hour(dossier)
            / scales::hectolitres(dossier);
        let parts = [(money - lost - labour).max(0.0), lost, labour];
        for (sum, part) in self.split.iter_mut().zip(parts) {
            *sum += part;
        }
        match (t.energy_kwh_per_hl, t.water_l_per_hl) {
            (None, None) => self.unknown += 1,
            (e, w) => {
                self.energy += e.map_or(0.0, |e| e.middle) * share;
                self.water += w.map_or(0.0, |w| w.middle) * share;
            }
        }
    }
}

/// The acts of a route.
pub(super) fn used(built: &Built, label: &Label) -> Vec<&'static Treatment> {
    let acts = label.done.iter().filter_map(|d| built.acts.get(d.act));
    acts.copied().collect()
}

/// What is measured at the beginning, by the test that the journey asks for: what must be met, and
/// what must be met before an act of the route.
fn measured_first(dossier: &Dossier, built: &Built, label: &Label) -> Vec<Quantity> {
    let guards = |at: usize| {
        let mut decided = label.done.iter().filter(|d| d.decided);
        decided.any(|d| {
            let act = built.instance.acts.get(d.act);
            act.is_some_and(|a| a.guards.contains(&at))
        })
    };
    built
        .needs
        .iter()
        .zip(&built.instance.needs)
        .enumerate()
        .filter(|(at, (about, need))| about.is_unmeasured() && (need.required || guards(*at)))
        .map(|(_, (about, _))| reading(dossier, about.problem.quantity))
        .collect()
}

/// An act of a route as it is laid out.
struct Laid {
    treatment: &'static Treatment,
    phase: Phase,
    done: Done,
    /// Day on which the next one begins.
    end: f64,
    /// The act before it.
    last: Option<&'static Treatment>,
    /// The next one that was decided, from itself on.
    next: Option<&'static Treatment>,
}

impl<'a> Steps<'a> {
    /// Lays a route out, from its first tests to its release.
    pub fn of(
        dossier: &'a Dossier,
        built: &'a Built,
        label: &'a Label,
        bottling: Option<Day>,
    ) -> Steps<'a> {
        let measures = measured_first(dossier, built, label);
        let mut steps = Steps {
            dossier,
            built,
            label,
            bottling,
            owed: owed(dossier, &measures, &used(built, label)),
            all: Vec::new(),
            now: 0.0,
            costs: Costs::default(),
            retested: false,
            on_day: false,
            state: built.instance.start(),
            plain: built.instance.start(),
            figures: built.by_figures(),
        };
        steps.measure(measures);
        steps.confirm();
        steps.acts();
        steps.end();
        steps.date();
        steps
    }

    fn measure(&mut self, measures: Vec<Quantity>) {
        if measures.is_empty() {
            return;
        }
        let days = days_of(&measures, &self.dossier.past).middle;
        let names: Vec<&str> = measures.iter().map(|q| q.label()).collect();
        let measure = Step::test(
            StepKind::Test,
            format!("Measure: {}", show::listed(&names)),
            self.now,
            days,
            "Not measured, or measured before the last change: typical values stand in.",
        );
        self.all.push(Step {
            measures,
            branches: branches(self.dossier, self.built, self.label),
            ..measure
        });
        self.now += days;
    }

    fn confirm(&mut self) {
        for (t, asked) in confirmations(self.dossier, self.built, self.label) {
            let name = format!("Confirm with {}: {}", asked.join(", "), t.name);
            self.all.push(Step {
                confirms: t.key,
                ..Step::test(StepKind::Confirm, name, self.now, 0.0, CONFIRM)
            });
        }
    }

    fn acts(&mut self) {
        let label = self.label;
        let begins = label.done.iter().skip(1).map(|d| d.begins);
        let ends = begins.chain([label.days]);
        let act_of = |d: &Done| self.built.acts.get(d.act).copied();
        let all: Vec<(usize, Laid, &Act)> = label
            .done
            .iter()
            .zip(ends)
            .enumerate()
            .filter_map(|(at, (d, end))| {
                let treatment = act_of(d)?;
                let mut rest = label.done.iter().skip(at);
                let laid = Laid {
                    treatment,
                    phase: place(self.dossier, treatment.key).map_or(Phase::Fine, |p| p.0),
                    done: *d,
                    end,
                    last: label.done.iter().take(at).next_back().and_then(act_of),
                    next: rest.find(|d| d.decided).and_then(act_of),
                };
                Some((at, laid, self.built.instance.acts.get(d.act)?))
            })
            .collect();
        for (at, laid, act) in all {
            self.tests_before(at, laid.phase);
            self.trial(&laid, act);
            self.act(&laid, act);
        }
        if !self.retested {
            self.retest();
        }
    }

    /// Tests again what the acts void, and the wine of the day, before the first act of the end.
    fn tests_before(&mut self, at: usize, phase: Phase) {
        let is_late = |d: &Done| {
            let act = self.built.acts.get(d.act);
            let placed = act.and_then(|t| place(self.dossier, t.key));
            placed.is_some_and(|p| p.0 >= Phase::Protect)
        };
        // An act of the end that is done early, as sulfur dioxide against rot, ends nothing.
        if self.label.done.iter().skip(at).all(is_late) && !self.retested {
            self.retest();
        }
        // The wine of the day is tested before it goes to the filler.
        if phase >= Phase::Filler && !self.on_day && !self.dossier.is_must() {
            self.all.push(the_day(&self.owed, self.now));
            self.on_day = true;
        }
    }

    fn retest(&mut self) {
        let days = last_days(self.dossier) + self.label.retest_days;
        self.all.push(retest(&self.owed, self.now, days));
        self.now += days;
        self.retested = true;
    }

    fn trial(&mut self, laid: &Laid, act: &Act) {
        let (t, d) = (laid.treatment, &laid.done);
        // The test that only this act asks for stands at the beginning, with its days.
        let test_days = if d.decided { act.test_days } else { 0.0 };
        let days = d.trial - test_days;
        if days <= 0.0 {
            return;
        }
        let trial = Step::test(
            StepKind::Trial,
            format!("Bench trial: {}", t.name),
            self.now,
            days,
            "The dose is read from a trial of this wine; begin with the least rung.",
        );
        self.all.push(Step {
            tries: t.key,
            branches: vec!["If no rung reaches its aim: give no more than the ladder’s last; type in the readings and choose a route anew.".to_string()],
            ..trial
        });
        self.now += days;
    }

    fn act(&mut self, laid: &Laid, act: &Act) {
        let (t, d) = (laid.treatment, &laid.done);
        self.now += d.waits;
        let before = stands(self.built, &self.plain);
        let on = &self.built.instance;
        on.repeat(&mut self.state, d.act, d.decided);
        self.figures.repeat(&mut self.plain, d.act, d.decided);
        let after = stands(self.built, &self.plain);
        let share = self.state.done.last().map_or(d.share, |d| d.share);
        let dose = (d.dose[0] + d.dose[1]) / 2.0;
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len().max(1) as f64;
        let money = share * (mean(&act.fixed) + mean(&act.per_dose) * dose);
        self.costs.add(self.dossier, t, share, money);
        let begin = begin_of(self.bottling, on.days(self.label));
        let days = (laid.end - d.begins - d.trial - d.waits).max(0.0);
        self.all.push(Step {
            kind: if d.decided {
                StepKind::Act
            } else {
                StepKind::PutIn
            },
            key: t.key,
            name: t.name.to_string(),
            tries: "",
            confirms: "",
            measures: Vec::new(),
            shows: Vec::new(),
            begins: self.now,
            days,
            date: None,
            dose: t.dose.filter(|_| d.share > 0.0).map(|_| d.dose),
            unit: t.dose.map_or("", |x| x.basis.label()),
            share,
            money,
            labour_hours: t.labour_hours.middle,
            kit: t.kit.iter().map(|k| k.label()).collect(),
            order: order(self.dossier, t, begin, self.now),
            branches: Vec::new(),
            why: if d.decided {
                why(self.dossier, t.key, laid.phase)
            } else {
                why_put_in(self.dossier, t.key, laid.last, laid.next)
            },
            changes: after != before,
            after,
        });
        self.now += days;
    }

    /// The bottling, its tests and the release. Must is not bottled.
    fn end(&mut self) {
        // What runs beside the acts has answered by then.
        self.now = self.now.max(self.built.instance.days(self.label));
        if self.dossier.is_must() {
            return;
        }
        if !self.on_day {
            self.all.push(the_day(&self.owed, self.now));
        }
        self.all.push(bottle(&self.owed, self.now));
        if self.owed.release_days > 0.0 || !self.owed.before_release.is_empty() {
            self.all.push(let_go(&self.owed, self.now));
        }
        to_the_day(&mut self.all, self.now);
        put_alongside(&mut self.all, &self.owed, self.now);
    }

    /// The day on which the route begins at the latest.
    pub fn begin(&self) -> Option<Day> {
        begin_of(self.bottling, self.now)
    }

    fn date(&mut self) {
        let begin = self.begin();
        for s in &mut self.all {
            s.date = begin.map(|b| b.plus(libm::floor(s.begins) as i64).show());
        }
    }
}

/// The acts of a route that are to be confirmed, each agent once, and with whom.
fn confirmations(
    dossier: &Dossier,
    built: &Built,
    label: &Label,
) -> impl Iterator<Item = (&'static Treatment, Vec<&'static str>)> {
    let mut all: Vec<(&'static Treatment, Vec<&'static str>)> = Vec::new();
    for t in label.done.iter().filter_map(|d| built.acts.get(d.act)) {
        let found = dossier.law(t);
        let open = law::to_confirm(dossier, t, &found);
        if !open.is_empty() && all.iter().all(|(other, _)| other.material != t.material) {
            all.push((t, law::authorities(&open)));
        }
    }
    all.into_iter()
}

fn stands(built: &Built, label: &Label) -> Vec<Stand> {
    let judged = built.judged_in(label);
    built
        .needs
        .iter()
        .zip(&built.instance.needs)
        .zip(&label.values)
        .enumerate()
        .filter(|(_, ((_, n), _))| n.required)
        .map(|(at, ((about, need), values))| {
            let met =
                values.iter().filter(|v| need.met(**v)).count() as f64 / values.len().max(1) as f64;
            let judged_by = judged
                .iter()
                .find(|(need, _)| *need == at)
                .map(|(_, by)| by.label());
            Stand {
                problem: about.problem.problem,
                value: spread(values),
                unit: about.problem.quantity.facts().unit,
                met,
                judged_by,
            }
        })
        .collect()
}

/// The day on which a route of so many days begins at the latest.
fn begin_of(bottling: Option<Day>, days: f64) -> Option<Day> {
    bottling.map(|b| b.plus(-(libm::ceil(days) as i64)))
}

/// What must be ordered for a treatment, and until when.
fn order(dossier: &Dossier, t: &Treatment, begin: Option<Day>, now: f64) -> Option<String> {
    let lead = lead_days(dossier, t);
    if lead <= 0.0 {
        return None;
    }
    let kit: Vec<String> = t
        .kit
        .iter()
        .filter(|k| dossier.kit_lead(**k).is_some())
        .map(|k| show::inside(k.label()))
        .collect();
    let kit = kit.join(if t.any_kit { " or " } else { ", " });
    Some(match begin {
        Some(day) => format!(
            "Order by {}: {kit}.",
            day.plus(libm::floor(now - lead) as i64).show()
        ),
        None => format!("Order {} before: {kit}.", show::days(lead, lead)),
    })
}

fn why(dossier: &Dossier, key: &str, phase: Phase) -> &'static str {
    let fits = |p: &&PhaseFacts| {
        p.phase == phase && p.treatments.contains(&key) && holds_for(p.colours, dossier.colour)
    };
    PHASES.rows().iter().find(fits).map_or("", |p| p.why.text)
}

/// Why an act was put in: the act before it must be followed by it, or else the next decided one
/// must come after it.
fn why_put_in(
    dossier: &Dossier,
    key: &str,
    last: Option<&Treatment>,
    next: Option<&Treatment>,
) -> &'static str {
    let asks = |t: &Treatment, verdict: RuleVerdict| {
        let rows = rules::order::rows(dossier, t, verdict);
        rows.into_iter().find(|r| r.acts.contains(&key))
    };
    let after = last.and_then(|t| asks(t, RuleVerdict::NeedsAfter));
    let before = || next.and_then(|t| asks(t, RuleVerdict::NeedsBefore));
    after.or_else(before).map_or("", |r| r.why.text)
}
