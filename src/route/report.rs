//! What is said of routes: the shapes of the report.

use crate::answer::AnswerKey;
use crate::knowledge::PROBLEMS;
use crate::rules::{Bearing, Fact};
use crate::treatment::{Span, germs};
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// What kind of step it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum StepKind {
    /// Measure first.
    Test,
    /// A bench trial: the dose is read from it.
    Trial,
    /// An act that was chosen.
    Act,
    /// An act that a rule puts in.
    PutIn,
    /// Ask the authority: the law of an act was not read in whole.
    Confirm,
    /// Measure while acts go on, since none of them changes it.
    Alongside,
    /// Measure again, since acts have voided what was measured.
    Retest,
    /// Measure and look on the bottling day, before the line.
    Day,
    /// Bottle, and show what is due at the line.
    Bottling,
    /// Show what is due before release.
    Release,
}

impl StepKind {
    /// Whether something is measured or looked at, and nothing is done to the wine.
    pub const fn is_test(self) -> bool {
        matches!(
            self,
            StepKind::Test | StepKind::Alongside | StepKind::Retest | StepKind::Day
        )
    }
}

/// A test of a route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RouteTest {
    /// What it reads.
    pub quantity: Quantity,
    /// How often it is made.
    pub times: usize,
    /// Days until it has answered: least, usual, most.
    pub days: [f64; 3],
    /// Price of one for the lot, low, middle, high; None where it is not known in this money.
    pub price: Option<[f64; 3]>,
}

/// Something that must be shown before the line, is not known, and is inside its limit less often
/// than the user asks for, by typical values.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LessSure {
    /// Key of the stability.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Share of the draws in which it is inside its limit.
    pub inside: f64,
}

/// Where a need stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Stand {
    /// The problem.
    pub problem: Problem,
    /// Nine of ten draws lie between, and the middle.
    pub value: Span,
    /// Unit; empty for a share left.
    pub unit: &'static str,
    /// Share of the draws in which it is met.
    pub met: f64,
    /// What a test reads that alone decides on it, once an act was done whose effect the value does
    /// not show.
    pub judged_by: Option<&'static str>,
}

impl Stand {
    /// Its value in words: “12 % left”, “3.2 NTU (1.1–6)”, of germs “99.9 in 100 held back”.
    pub fn words(&self) -> String {
        let of = PROBLEMS.iter().find(|f| f.problem == self.problem);
        if of.is_some_and(|f| f.quantity.is_germs()) {
            return germs::left(self.value.middle);
        }
        if self.unit.is_empty() {
            return format!("{} left", show::percent(self.value.middle));
        }
        format!(
            "{} {} ({})",
            show::plain(self.value.middle),
            self.unit,
            show::range(self.value.low, self.value.high)
        )
    }
}

/// One step of a route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Step {
    /// Its kind.
    pub kind: StepKind,
    /// Key of the treatment; empty for tests.
    pub key: &'static str,
    /// What is done.
    pub name: String,
    /// Key of the treatment that a bench trial tries; empty for other steps.
    pub tries: &'static str,
    /// Key of the treatment that an authority is asked about; empty for other steps.
    pub confirms: &'static str,
    /// What a test measures.
    pub measures: Vec<Quantity>,
    /// What is looked at, passed or failed.
    pub shows: Vec<String>,
    /// Day on which it begins, from the start of the route.
    pub begins: f64,
    /// Days it takes, with its wait.
    pub days: f64,
    /// The date on which it begins at the latest, where a bottling day is set.
    pub date: Option<String>,
    /// Least and greatest dose over the draws, in the unit of the treatment; None where there is
    /// none to give.
    pub dose: Option<[f64; 2]>,
    /// Unit of the dose.
    pub unit: &'static str,
    /// Share of the draws in which it is called for.
    pub share: f64,
    /// Money per hL, on average.
    pub money: f64,
    /// Labour, hours.
    pub labour_hours: f64,
    /// Equipment that it keeps busy.
    pub kit: Vec<&'static str>,
    /// What must be ordered for it, and how long before.
    pub order: Option<String>,
    /// What its result decides: what to do where it turns out otherwise.
    pub branches: Vec<String>,
    /// Why it stands here.
    pub why: &'static str,
    /// Where each need stands after it.
    pub after: Vec<Stand>,
    /// Whether it moved any of them.
    pub changes: bool,
}

impl Step {
    /// A step that does nothing to the wine: its kind, name, first day, days and reason.
    pub(super) fn test(
        kind: StepKind,
        name: String,
        begins: f64,
        days: f64,
        why: &'static str,
    ) -> Step {
        Step {
            kind,
            key: "",
            name,
            tries: "",
            confirms: "",
            measures: Vec::new(),
            shows: Vec::new(),
            begins,
            days,
            date: None,
            dose: None,
            unit: "",
            share: 1.0,
            money: 0.0,
            labour_hours: 0.0,
            kit: Vec::new(),
            order: None,
            branches: Vec::new(),
            why,
            after: Vec::new(),
            changes: false,
        }
    }
}

/// A route.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Route {
    /// Keys of the decisions in their order, joined by “+”; “wait” where nothing is to be done.
    pub key: String,
    /// What it is best at.
    pub best_at: Vec<&'static str>,
    /// Steps in their order.
    pub steps: Vec<Step>,
    /// Money per hL: nine of ten draws lie between, and the mean.
    pub money: Span,
    /// What it costs on the one scale of loss, money per hL: money, days, impact and the chance to
    /// fail.
    pub loss: f64,
    /// Of which products and services, lost wine and labour, on average.
    pub split: [f64; 3],
    /// Days to the bottling, tests among them.
    pub days: f64,
    /// Days from the bottling to the release.
    pub release_days: f64,
    /// The day of the bottling, where one is set.
    pub bottling: Option<String>,
    /// The day of the release.
    pub release: Option<String>,
    /// Its tests, each with its days and price.
    pub tests: Vec<RouteTest>,
    /// Money for the lot for all its tests; None where a price is not known in this money.
    pub test_money: Option<Span>,
    /// What it leaves less sure than asked for.
    pub less_sure: Vec<LessSure>,
    /// Impact on the wine: points of aroma, tannin and, but for a white wine, colour.
    pub impact: f64,
    /// Energy, kWh per hL, of those steps whose energy is known.
    pub energy: f64,
    /// Water, L per hL, of those steps whose water is known.
    pub water: f64,
    /// Oxygen picked up, mg/L, of those steps for which it is known.
    pub oxygen: f64,
    /// Steps whose energy or water is not known.
    pub unknown_means: usize,
    /// Worst origin of what is used, in words.
    pub origin: &'static str,
    /// What stays in the wine.
    pub on_label: Vec<&'static str>,
    /// What must be confirmed first: what the law or the scheme says of it is not known.
    pub confirm: Vec<&'static str>,
    /// What the law is believed to permit, and is confirmed before it is given.
    pub believed: Vec<&'static str>,
    /// Share of the draws in which every need is met that figures tell of; what a test decides is
    /// left aside.
    pub probability: f64,
    /// What tests read that alone decide on a need of this route.
    pub judged_by: Vec<&'static str>,
    /// Costly equipment that it needs and that was not said to be had: it may be hired.
    pub hire: Vec<&'static str>,
    /// Share of the draws in which it is the cheapest of those shown that are as clean and as much
    /// at hand.
    pub cheapest_in: f64,
    /// What it would keep beside its acts and cannot.
    pub left_out: Vec<LeftOut>,
    /// Rules on order that concern it.
    pub rules: Vec<Bearing>,
    /// Latest day on which it begins.
    pub begin_by: Option<String>,
    /// True where it falls short of the aim, be it only on more draws than the search has.
    pub short: bool,
}

impl Route {
    /// Whether there is a need that figures tell of.
    pub fn has_figures(&self) -> bool {
        self.steps
            .iter()
            .rfind(|s| !s.after.is_empty())
            .is_none_or(|s| s.after.iter().any(|a| a.judged_by.is_none()))
    }
}

/// What a route would keep beside an act and cannot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LeftOut {
    /// The rule that asks for it.
    pub rule: &'static str,
    /// The act that it asks of.
    pub act: &'static str,
    /// What serves, in words.
    pub names: Vec<&'static str>,
    /// Why it is asked for.
    pub why: &'static str,
    /// What speaks against the first of them in this wine, as whole sentences.
    pub because: Vec<String>,
}

/// The routes of a wine.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Routes {
    /// The answer in a sentence or two.
    pub answer: String,
    /// What the answer says, as keys.
    pub says: Vec<AnswerKey>,
    /// What holds of the law for the whole wine: borders of which nothing was read, schemes that
    /// were assumed.
    pub law: Vec<String>,
    /// What was typed and cannot be used.
    pub not_read: Vec<InputError>,
    /// What comes before any route: find the cause, measure.
    pub first: Vec<&'static str>,
    /// Routes that are the best at something: those that need no equipment to hire first, then those
    /// whose law is known, then by loss.
    pub routes: Vec<Route>,
    /// Needs that nothing cures: they were left out.
    pub no_cure: Vec<&'static str>,
    /// Stabilities that were measured outside their limit and that no route shown covers.
    pub not_covered: Vec<&'static str>,
    /// The same by their keys.
    pub uncured: Vec<Problem>,
    /// What alone keeps the wine from a route: its stage, its bottling day, or both.
    pub held_by: Vec<Fact>,
    /// What can be relaxed, and what each buys.
    pub relax: Vec<String>,
    /// Routes that reach the aim and that the judge permits, shown or not.
    pub found: usize,
    /// Routes looked at.
    pub tried: usize,
    /// True where the search still goes on: these are the best so far.
    pub goes_on: bool,
    /// True where the search was stopped before its end, so that a better route may exist.
    pub stopped: bool,
}
