//! The judge: what speaks for or against an act on this wine, and what holds of its place among
//! others. Every rule is a row of `73-rules.toml` or `74-rules-order.toml`: an act, a condition, a
//! verdict and its reason. One evaluator answers for the list, the bench trial, the routes and the
//! work order, with the facts that made it so.

mod cause;
mod fits;
mod honest;
mod now;
pub mod order;
mod situation;
mod value;
mod words;

pub use cause::{ByCause, by_cause};
pub use fits::{Kind, has_kit, keeps, keeps_claim};
pub use honest::{Answered, Clash, clashes, honest};
pub use now::Now;
pub use order::{Apart, Bearing, Before};
pub use situation::Situation;
pub use value::{Fact, Truth, Value};

use crate::dossier::Dossier;
use crate::knowledge::{PROBLEMS, Question, RULES, Rule, Treatment};
use crate::wine::*;
use serde::Serialize;

/// Share of a limit that an act must add to count as adding to it. Judgement: what adds less is
/// lost in the error of a reading.
pub const ADDS: f64 = 0.05;

/// What a rule says of an act, and the facts that made it so or whose knowledge would decide it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Ruling {
    /// Key of the rule.
    pub rule: &'static str,
    /// What it says.
    pub verdict: RuleVerdict,
    /// How strong it is.
    pub strength: Strength,
    /// Whether its condition holds, or is only not known.
    pub truth: Truth,
    /// The facts.
    pub witness: Vec<Fact>,
    /// In words, as whole sentences.
    pub text: String,
}

impl Ruling {
    /// The kind of what it rests on, in one word.
    pub fn kind(&self) -> &'static str {
        words::kind(self)
    }

    /// That it puts an act before the others of a need, as sentences of an answer.
    pub fn first(&self, act: &str) -> String {
        words::first(self, act)
    }

    /// Its reason alone.
    pub fn why(&self) -> &'static str {
        reason(self.rule).map_or("", |why| why.text)
    }

    /// What its rule asks of the act itself.
    pub fn asks(&self) -> Option<OfAct> {
        let rule = RULES.iter().find(|r| r.key == self.rule)?;
        asked(rule)
    }

    /// The kind of reason that it is, as a key.
    pub fn because(&self) -> Kind {
        Kind::of(self.asks(), &self.witness)
    }

    /// That the act goes before an earlier step of a plan, in words.
    pub fn before_step(&self, number: usize, name: &str) -> String {
        words::goes_before(self, number, name)
    }

    /// That the act waits for a test, in words.
    pub fn not_yet(&self) -> String {
        words::not_shown(self)
    }

    /// Whether it rests on a reading of this wine.
    pub fn is_measured(&self) -> bool {
        self.strength == Strength::Measured
    }
}

/// The reason of a rule, with its standing and source, by its key.
pub fn reason(rule: &str) -> Option<crate::knowledge::Fact> {
    RULES.iter().find(|r| r.key == rule).map(|r| r.why)
}

/// Whether a rule stands where its condition is not known: what shuts an act out or holds it does,
/// an order takes the stricter way; what only advises does not stand, nor does what was not told of
/// stage, kind of wine or equipment.
fn stands_unknown(rule: &Rule) -> bool {
    !matches!(rule.verdict, RuleVerdict::Caution | RuleVerdict::Preferred)
        && Kind::of(asked(rule), &[]).stands_unknown()
}

/// What a rule asks of the act itself.
fn asked(rule: &Rule) -> Option<OfAct> {
    rule.when.iter().flat_map(|c| c.any).find_map(|q| q.act)
}

/// The verdicts that shut an act out.
const SHUTS: [RuleVerdict; 2] = [RuleVerdict::Never, RuleVerdict::Hold];

/// Whether a rule is about this act, for this need. A rule about some needs only is about no act
/// as such.
fn is_about(rule: &Rule, act: &Treatment, need: Option<Problem>) -> bool {
    (rule.about.is_empty() || rule.about.contains(&act.key))
        && (rule.needs.is_empty() || need.is_some_and(|n| rule.needs.contains(&n)))
}

/// The condition of a rule in a situation.
pub fn condition(
    rule: &Rule,
    in_it: &dyn Situation,
    act: &Treatment,
    need: Option<Problem>,
) -> Value {
    value::hold(rule.when, &|q| in_it.answer(q, act, need))
}

/// Whether a rule puts an act first for a need.
fn is_preferred(now: &Now<'_>, act: &Treatment, need: Option<Problem>) -> bool {
    let mut rules = now.dossier.rules().iter();
    rules.any(|r| {
        r.verdict == RuleVerdict::Preferred
            && is_about(r, act, need)
            && condition(r, now, act, need).truth == Truth::Yes
    })
}

/// A rule that binds, with what makes it so.
struct Bound {
    rule: &'static Rule,
    value: Value,
}

/// The rules of these verdicts that bind for an act in a situation, for a need or as such.
fn bound<'a>(
    now: &'a Now<'a>,
    act: &'a Treatment,
    need: Option<Problem>,
    verdicts: &'a [RuleVerdict],
) -> impl Iterator<Item = Bound> + 'a {
    let wanted = move |r: &&'static Rule| verdicts.contains(&r.verdict) && is_about(r, act, need);
    let rules = now.dossier.rules().iter().filter(wanted);
    rules.filter_map(move |rule| {
        // What a rule puts first for a need is opened for it, though nothing read says that it acts.
        if asked(rule) == Some(OfAct::NoEffect) && is_preferred(now, act, need) {
            return None;
        }
        let value = condition(rule, now, act, need);
        let binds = match value.truth {
            Truth::Yes => true,
            Truth::NotKnown => stands_unknown(rule),
            Truth::No => false,
        };
        binds.then_some(Bound { rule, value })
    })
}

/// What a rule that binds says.
fn ruling(now: &Now<'_>, act: &Treatment, bound: Bound) -> Ruling {
    let Bound { rule, value } = bound;
    Ruling {
        rule: rule.key,
        verdict: rule.verdict,
        strength: rule.strength,
        truth: value.truth,
        text: words::of(rule, now, act, &value),
        witness: value.witness,
    }
}

/// Where several facts shut the act out, each alone, as each market that forbids it, each is a
/// ruling.
fn parted(
    rule: &Rule,
    now: &Now<'_>,
    act: &Treatment,
    need: Option<Problem>,
    value: Value,
) -> Vec<Value> {
    let all = asked(rule).map_or(Vec::new(), |asked| now.misfits(asked, act, need));
    if all.is_empty() {
        return vec![value];
    }
    let alone = |fact| Value::of(value.truth, fact);
    all.into_iter().map(alone).collect()
}

/// What the rules of these verdicts say of an act in a situation, for a need or as such.
fn rulings(
    now: &Now<'_>,
    act: &Treatment,
    need: Option<Problem>,
    verdicts: &[RuleVerdict],
) -> Vec<Ruling> {
    let mut found = Vec::new();
    for Bound { rule, value } in bound(now, act, need, verdicts) {
        let each = parted(rule, now, act, need, value).into_iter();
        found.extend(each.map(|value| ruling(now, act, Bound { rule, value })));
    }
    found
}

/// Whether anything shuts an act out of this wine, as such and for a need.
pub fn is_out(dossier: &Dossier, act: &Treatment, need: Option<Problem>) -> bool {
    let now = Now::of(dossier);
    bound(&now, act, need, &SHUTS).next().is_some()
}

/// What shuts an act out of this wine, as such and for a need.
pub fn against(dossier: &Dossier, act: &Treatment, need: Option<Problem>) -> Vec<Ruling> {
    rulings(&Now::of(dossier), act, need, &SHUTS)
}

/// What shuts an act out of this wine at its place, after what comes before it.
pub fn against_after(dossier: &Dossier, act: &Treatment, before: &Before) -> Vec<Ruling> {
    rulings(&Now::after(dossier, before), act, None, &SHUTS)
}

/// Whether anything shuts an act out of this wine for a need, after what comes before it.
pub fn is_out_after(dossier: &Dossier, act: &Treatment, need: Problem, before: &Before) -> bool {
    let now = Now::after(dossier, before);
    bound(&now, act, Some(need), &SHUTS).next().is_some()
}

/// What makes an act doubtful in this wine.
pub fn cautions(dossier: &Dossier, act: &Treatment, need: Option<Problem>) -> Vec<Ruling> {
    rulings(&Now::of(dossier), act, need, &[RuleVerdict::Caution])
}

/// What puts an act first among those of a need, or opens it there.
pub fn preferred(dossier: &Dossier, act: &Treatment, need: Problem) -> Vec<Ruling> {
    rulings(
        &Now::of(dossier),
        act,
        Some(need),
        &[RuleVerdict::Preferred],
    )
}

/// What the rules say of one act for a need: asked once, for the list, its answer and what is said
/// beside it.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The act.
    pub act: &'static Treatment,
    /// What shuts it out.
    pub against: Vec<Ruling>,
    /// What puts it first, or opens it.
    pub preferred: Vec<Ruling>,
    /// What makes it doubtful; of an act that is shut out only where another rule puts it first.
    pub cautions: Vec<Ruling>,
    /// The tests that an act which is not shut out waits for.
    pub waits: Vec<Ruling>,
}

/// What the rules say of each of these acts for a need.
pub fn judge(dossier: &Dossier, need: Problem, acts: &'static [Treatment]) -> Vec<Judged> {
    let now = Now::of(dossier);
    acts.iter().map(|act| judged(&now, act, need)).collect()
}

fn judged(now: &Now<'_>, act: &'static Treatment, need: Problem) -> Judged {
    let say = |need, verdicts: &[RuleVerdict], asked: bool| {
        if asked {
            rulings(now, act, need, verdicts)
        } else {
            Vec::new()
        }
    };
    let against = say(Some(need), &SHUTS, true);
    let preferred = say(Some(need), &[RuleVerdict::Preferred], true);
    let fits = against.is_empty();
    let doubted = fits || !preferred.is_empty();
    Judged {
        act,
        cautions: say(Some(need), &[RuleVerdict::Caution], doubted),
        waits: say(None, &[RuleVerdict::UntilShown], fits),
        against,
        preferred,
    }
}

/// Why what works on a problem waits for a reading, in words; None where nothing that works on it
/// is held back by that alone.
pub fn held_back(judged: &[Judged], problem: Problem) -> Option<String> {
    let of = PROBLEMS.iter().find(|f| f.problem == problem)?.quantity;
    let mut works = judged.iter().filter(|j| j.act.works_on(of));
    works.find_map(|j| {
        // What does not fit the wine may have been enough when it was given.
        let own = |r: &&Ruling| r.because() == Kind::Rule;
        let mut all = j.against.iter().filter(own);
        let held = all.clone().all(|r| r.verdict == RuleVerdict::Hold);
        all.next().filter(|_| held).map(|r| r.text.clone())
    })
}

/// The acts that a rule which may shut this one out names as done before it.
pub fn acts_named(dossier: &Dossier, act: &Treatment) -> Vec<&'static str> {
    dossier
        .rules()
        .iter()
        .filter(|r| r.verdict == RuleVerdict::Never && is_about(r, act, None))
        .flat_map(|r| r.when)
        .flat_map(|c| c.any)
        .flat_map(|q| q.done.iter().chain(q.beside).copied())
        .collect()
}

/// What shuts an act out once another was done earlier in the same plan or route, and did not
/// before.
pub fn after(dossier: &Dossier, act: &Treatment, earlier: &'static str) -> Option<Ruling> {
    let names = |q: &Question| q.done.contains(&earlier) || q.beside.contains(&earlier);
    let rule = |r: &Ruling| dossier.rules().iter().find(|x| x.key == r.rule);
    let now = Now {
        dossier,
        earlier: &[earlier],
        pending: &[],
    };
    rulings(&now, act, None, &[RuleVerdict::Never])
        .into_iter()
        .find(|r| rule(r).is_some_and(|x| x.when.iter().flat_map(|c| c.any).any(names)))
}
