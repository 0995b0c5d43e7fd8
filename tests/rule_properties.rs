//! What holds of every rule on any wine: nothing moves it but what it asks for, its witness is
//! enough and no more than enough, and a fact that is no longer known never turns it round.
#![allow(clippy::unwrap_used, missing_docs)]

mod chance;

use proptest::prelude::*;
use proptest::sample::{Index, select, subsequence};
use proptest::test_runner::{Config, TestCaseResult, TestRunner};
use std::cell::Cell;
use stillbright::dossier::Dossier;
use stillbright::knowledge::{Question, RULES, Rule, SIGNS, TREATMENTS, Treatment};
use stillbright::rules::{Fact, Now, Truth, Value, condition};
use stillbright::wine::*;

/// Readings that rules ask for, by a limit, by a bound of an act, or by a need that is met.
const READ: [Quantity; 11] = [
    Quantity::Sugar,
    Quantity::BrettCells,
    Quantity::Copper,
    Quantity::Iron,
    Quantity::Calcium,
    Quantity::Turbidity,
    Quantity::Malic,
    Quantity::HeatRise,
    Quantity::ConductivityDrop,
    Quantity::SaturationTemperature,
    Quantity::YeastCells,
];
/// As a laboratory writes them, and one that cannot be read.
const READINGS: [&str; 8] = ["0.05", "0.6", "7", "18", "25", "95", "< 0.5", "about 5"];
const DAYS: [&str; 4] = ["", "2026-11-01", "2026-11-10", "2026-11-20"];
/// Signs that rules ask for, or that lead to a cause that they ask for.
const TELLING: [&str; 6] = [
    "after_fining",
    "after_air",
    "brown",
    "crystals",
    "yellow_needles",
    "prisms",
];

/// A rule put to a wine.
#[derive(Debug, Clone)]
struct Put {
    rule: &'static Rule,
    act: &'static Treatment,
    need: Option<Problem>,
    earlier: Vec<&'static str>,
}

impl Put {
    fn to(&self, wine: &Wine) -> Value {
        let dossier = Dossier::of(wine);
        let now = Now {
            dossier: &dossier,
            earlier: &self.earlier,
            pending: &[],
        };
        condition(self.rule, &now, self.act, self.need)
    }

    fn questions(&self) -> impl Iterator<Item = &'static Question> {
        self.rule.when.iter().flat_map(|c| c.any)
    }

    /// Whether one of its questions is of a kind.
    fn asks(&self, kind: impl Fn(&Question) -> bool) -> bool {
        self.questions().any(kind)
    }
}

fn named(rule: &Rule) -> Vec<&'static str> {
    let questions = rule.when.iter().flat_map(|c| c.any);
    questions
        .flat_map(|q| q.done.iter().chain(q.beside).copied())
        .collect()
}

fn some<T: Copy + std::fmt::Debug + 'static>(
    all: &'static [T],
) -> impl Strategy<Value = Option<T>> {
    proptest::option::of(select(all))
}

/// Whether a question asks if the act fits the wine at all.
fn fits(q: &Question) -> bool {
    q.act
        .is_some_and(|a| !matches!(a, OfAct::OverBound | OfAct::AtEdge | OfAct::GivenSince))
}

/// Whether it asks what the law says of the act.
fn by_law(q: &Question) -> bool {
    matches!(
        q.act,
        Some(OfAct::LawForbids | OfAct::LawNotListed | OfAct::LawOtherUse | OfAct::CapBelowUseful)
    )
}

/// Whether it asks of the act alone, whatever the wine is.
fn of_act_alone(q: &Question) -> bool {
    matches!(q.act, Some(OfAct::Licensed | OfAct::NoEffect))
}

/// Whether a rule is about an act; of a rule about all, such acts as its question can hold of.
fn may_be_asked(rule: &Rule, act: &Treatment) -> bool {
    let mut questions = rule.when.iter().flat_map(|c| c.any);
    let adds = |of: Quantity| act.effects.iter().any(|e| e.on == of && e.adds.is_some());
    let can = |q: &Question| q.adds.map_or(!act.bounds.is_empty() || fits(q), adds);
    rule.about.contains(&act.key) || (rule.about.is_empty() && questions.any(can))
}

fn puts() -> impl Strategy<Value = Put> {
    // What has no condition holds of every wine.
    let asking: Vec<&Rule> = RULES.iter().filter(|r| !r.when.is_empty()).collect();
    let rules = select(asking);
    let at = (rules, any::<Index>(), any::<Index>(), any::<bool>());
    at.prop_map(|(rule, act, need, beside)| {
        let about: Vec<&Treatment> = TREATMENTS
            .rows()
            .iter()
            .filter(|t| may_be_asked(rule, t))
            .collect();
        let needs = if rule.needs.is_empty() {
            Problem::ALL
        } else {
            rule.needs
        };
        let names = named(rule);
        Put {
            rule,
            act: act.get::<&Treatment>(&about),
            need: Some(*need.get(needs)),
            earlier: if beside && !names.is_empty() {
                vec![*act.get::<&str>(&names)]
            } else {
                Vec::new()
            },
        }
    })
}

/// Acts of the log: half of them such as rules ask for.
fn acts() -> impl Strategy<Value = Done> {
    let asked: Vec<&str> = RULES.iter().flat_map(named).collect();
    let all: Vec<&str> = TREATMENTS.iter().map(|t| t.key).collect();
    let key = prop_oneof![select(asked), select(all)];
    (key, select(DAYS.to_vec())).prop_map(|(treatment, day)| Done {
        treatment: treatment.into(),
        day: day.into(),
        ..Done::default()
    })
}

fn signs() -> impl Strategy<Value = (String, bool)> {
    let all: Vec<&str> = SIGNS.iter().map(|s| s.key).collect();
    let key = prop_oneof![3 => select(TELLING.to_vec()), 1 => select(all)];
    (key, any::<bool>()).prop_map(|(key, seen)| (key.to_string(), seen))
}

fn readings() -> impl Strategy<Value = (Quantity, (&'static str, &'static str))> {
    (
        select(READ.to_vec()),
        (select(READINGS.to_vec()), select(DAYS.to_vec())),
    )
}

fn equipment() -> impl Strategy<Value = (Kit, KitEntry)> {
    let means = (select(KitMeans::ALL), select(vec!["", "500", "5000"]));
    (select(Kit::ALL), means).prop_map(|(kit, (means, least))| {
        let minimum_batch = AsTyped(least.into());
        (
            kit,
            KitEntry {
                minimum_batch,
                ..KitEntry::of(means)
            },
        )
    })
}

prop_compose! {
    /// Where a wine is made and sold, what it claims and what is at hand.
    fn homes()(made_in in some(Market::ALL), sold_in in subsequence(Market::ALL, 0..=2), claims in subsequence(Claim::ALL, 0..=2),
        organic in subsequence(Organic::ALL, 0..=1), kit in proptest::collection::vec(equipment(), 0..6),
        volume in select(vec!["", "1000", "9000"])) -> Wine {
        Wine { made_in, sold_in, claims, organic, kit: kit.into_iter().collect(), volume: AsTyped(volume.into()), ..Wine::default() }
    }
}

prop_compose! {
    fn wines()(home in homes(), colour in some(Colour::ALL), stage in some(Stage::ALL), malolactic in some(Malolactic::ALL), style in some(Style::ALL),
        problems in subsequence(Problem::ALL, 0..=4), past in subsequence(Past::ALL, 0..=2), stale in subsequence(READ.to_vec(), 0..=1),
        observed in proptest::collection::vec(signs(), 0..5), done in proptest::collection::vec(acts(), 0..4),
        read in proptest::collection::vec(readings(), 0..5)) -> Wine {
        Wine { colour, stage, malolactic, style, problems, past, stale, done, observed: observed.into_iter().collect(),
            analyses: read.iter().map(|(q, (text, _))| (*q, AsTyped((*text).into()))).collect(),
            measured_on: read.iter().map(|(q, (_, day))| (*q, AsTyped((*day).into()))).collect(), ..home }
    }
}

/// Tries a property, and asks that it had something to say of that many cases at least.
fn tried<S: Strategy>(
    name: &'static str,
    of: &S,
    least: u32,
    property: impl Fn(S::Value, &Cell<u32>) -> TestCaseResult,
) {
    let config = Config {
        source_file: Some(file!()),
        test_name: Some(name),
        ..chance::tries(20_000)
    };
    let told = Cell::new(0);
    let ran = TestRunner::new(config).run(of, |value| property(value, &told));
    assert!(ran.is_ok(), "{}", ran.unwrap_err());
    assert!(told.get() >= least, "only {} cases told", told.get());
}

fn tell(told: &Cell<u32>) {
    told.set(told.get() + 1);
}

/// What a question goes by, taken over from another wine.
fn take_over(q: &Question, from: &Wine, to: &mut Wine) {
    let figure = q.above.is_some() || q.at_most.is_some();
    let read = q.over_limit.is_some() || figure || q.shown.is_some() || q.unread.is_some();
    let by_reading = read || q.act.is_some();
    let by_log = !q.done.is_empty() || q.shown.is_some() || q.act.is_some();
    let by_cause = q.cause.is_some() || q.cause_open;
    // A limit and a cause go by the colour.
    let by_colour = !q.colours.is_empty() || by_reading || q.adds.is_some() || by_cause;
    if by_reading {
        to.analyses = from.analyses.clone();
        to.measured_on = from.measured_on.clone();
        to.stale = from.stale.clone();
        to.past = from.past.clone();
    }
    if by_log {
        to.done = from.done.clone();
    }
    if by_colour {
        to.colour = from.colour;
    }
    if q.sign.is_some() || by_cause {
        to.observed = from.observed.clone();
    }
    if !q.named.is_empty() {
        to.problems = from.problems.clone();
    }
    // A stage rules causes out.
    if !q.stages.is_empty() || by_cause {
        to.stage = from.stage;
    }
    if !q.malolactic.is_empty() {
        to.malolactic = from.malolactic;
    }
    if !q.claims.is_empty() {
        to.claims = from.claims.clone();
    }
    if fits(q) {
        to.stage = from.stage;
        to.style = from.style;
        to.kit = from.kit.clone();
        to.volume = from.volume.clone();
        settle(from, to);
    }
}

/// Where a wine is made and sold, and what it claims.
fn settle(from: &Wine, to: &mut Wine) {
    to.made_in = from.made_in;
    to.sold_in = from.sold_in.clone();
    to.claims = from.claims.clone();
    to.organic = from.organic.clone();
}

#[test]
fn nothing_moves_a_rule_but_what_it_asks_for() {
    let cases = (puts(), wines(), wines());
    tried(
        "nothing_moves_a_rule_but_what_it_asks_for",
        &cases,
        500,
        |(put, wine, other), told| {
            let mut mixed = other;
            put.questions()
                .for_each(|q| take_over(q, &wine, &mut mixed));
            let value = put.to(&wine);
            prop_assert_eq!(&put.to(&mixed), &value);
            if value.truth == Truth::Yes {
                tell(told);
            }
            Ok(())
        },
    );
}

/// A wine that has none of the facts that a rule asks for: the rule does not hold of it, and what
/// it may still say is that something is not known.
#[test]
fn a_rule_does_not_hold_of_a_wine_without_its_facts() {
    let cases = (puts(), wines());
    tried(
        "a_rule_does_not_hold_of_a_wine_without_its_facts",
        &cases,
        500,
        |(put, wine), told| {
            let mut bare = wine.clone();
            put.questions()
                .for_each(|q| take_over(q, &Wine::default(), &mut bare));
            let without = Put {
                earlier: Vec::new(),
                ..put.clone()
            };
            // What asks of the act alone holds of every wine.
            let alone = put.asks(of_act_alone);
            prop_assert!(alone || without.to(&bare).truth != Truth::Yes);
            if put.to(&wine).truth == Truth::Yes {
                tell(told);
            }
            Ok(())
        },
    );
}

/// A wine of which nothing is told but these facts, and the acts that come earlier. The limit of a
/// reading is that of the colour, and a cause rests on all signs.
fn only(facts: &[Fact], wine: &Wine) -> (Wine, Vec<&'static str>) {
    let mut bare = Wine::default();
    let mut earlier = Vec::new();
    for fact in facts {
        match fact {
            Fact::Logged(number) => bare.done.extend(wine.done.get(*number - 1).cloned()),
            Fact::Earlier(key) => earlier.push(*key),
            Fact::Sign(key) => {
                let seen = wine.observed.get(*key).copied();
                bare.observed.extend(seen.map(|s| ((*key).to_string(), s)));
            }
            Fact::Cause(_) | Fact::CauseOpen => {
                bare.observed = wine.observed.clone();
                bare.colour = wine.colour;
                bare.stage = wine.stage;
            }
            Fact::Named(of) => {
                let told = wine.problems.iter().filter(|p| of.contains(p));
                bare.problems.extend(told.copied());
            }
            Fact::Reading(which) => {
                let text = wine.analyses.get(which).cloned();
                bare.analyses.extend(text.map(|t| (*which, t)));
                bare.colour = wine.colour;
            }
            Fact::Adds(_) | Fact::Colour => bare.colour = wine.colour,
            Fact::Stage => bare.stage = wine.stage,
            Fact::Malolactic => bare.malolactic = wine.malolactic,
            // The law goes by the colour, the stage and the kind of wine, and a limit by what was
            // measured and given.
            Fact::Market(_) | Fact::Scheme(_) => {
                settle(wine, &mut bare);
                bare.colour = wine.colour;
                bare.stage = wine.stage;
                bare.style = wine.style;
                bare.analyses = wine.analyses.clone();
                bare.measured_on = wine.measured_on.clone();
                bare.done = wine.done.clone();
            }
            Fact::Claim(claim) => bare.claims.push(*claim),
            // For how small a lot it comes goes by the lot.
            Fact::Kit(_) => {
                bare.kit = wine.kit.clone();
                bare.volume = wine.volume.clone();
            }
            Fact::Style(_) => bare.style = wine.style,
            Fact::NotDone(_) | Fact::Access | Fact::BottlingDay => {}
        }
    }
    (bare, earlier)
}

/// The facts of a witness make the rule hold on their own, and none of them can be spared.
#[test]
fn a_witness_is_enough_and_no_more_than_enough() {
    let cases = (puts(), wines());
    tried(
        "a_witness_is_enough_and_no_more_than_enough",
        &cases,
        500,
        |(put, wine), told| {
            let value = put.to(&wine);
            if value.truth != Truth::Yes {
                return Ok(());
            }
            tell(told);
            let holds = |facts: &[Fact]| {
                let (bare, earlier) = only(facts, &wine);
                Put {
                    earlier,
                    ..put.clone()
                }
                .to(&bare)
                .truth
                    == Truth::Yes
            };
            prop_assert!(holds(&value.witness), "{:?} are not enough", value.witness);
            // What the act adds to, who may do it and what it acts on is no fact of the wine, a reading
            // brings the colour along, and a log that holds an act no more is as whole as before.
            let reads = value.witness.iter().any(|f| matches!(f, Fact::Reading(_)));
            let alone = put.asks(of_act_alone);
            let spare = |f: &&Fact| {
                let along = reads && matches!(f, Fact::Colour);
                !along && !alone && !matches!(f, Fact::Adds(_) | Fact::NotDone(_))
            };
            for fact in value.witness.iter().filter(spare) {
                let mut rest = value.witness.clone();
                rest.retain(|f| f != fact);
                prop_assert!(!holds(&rest), "{fact:?} is not needed");
            }
            Ok(())
        },
    );
}

/// All that a fact may turn out to be.
fn known(fact: &Fact, wine: &Wine, act: &Treatment) -> Vec<Wine> {
    let with = |change: &dyn Fn(&mut Wine)| {
        let mut w = wine.clone();
        change(&mut w);
        w
    };
    match fact {
        Fact::Sign(key) => [true, false]
            .map(|seen| with(&|w| w.observed.extend([((*key).to_string(), seen)])))
            .into(),
        Fact::Colour => Colour::ALL
            .iter()
            .map(|c| with(&|w| w.colour = Some(*c)))
            .collect(),
        Fact::Stage => Stage::ALL
            .iter()
            .map(|s| with(&|w| w.stage = Some(*s)))
            .collect(),
        Fact::Malolactic => {
            let all = Malolactic::ALL.iter();
            all.map(|m| with(&|w| w.malolactic = Some(*m))).collect()
        }
        Fact::Style(_) => Style::ALL
            .iter()
            .map(|s| with(&|w| w.style = Some(*s)))
            .collect(),
        Fact::Kit(kit) => KitMeans::ALL
            .iter()
            .map(|m| with(&|w| w.kit.extend([(*kit, KitEntry::of(*m))])))
            .collect(),
        // Measured anew, after all that was done: the least, the most, and where the act is at its
        // edge.
        Fact::Reading(which) => {
            let bounds = act.bounds.iter().filter(|b| b.on == *which);
            let edges = bounds.filter_map(|b| b.careful);
            let facts = which.facts();
            edges
                .chain([facts.least, facts.most])
                .map(|value| {
                    with(&|w| {
                        w.analyses.extend([(*which, AsTyped(value.to_string()))]);
                        w.measured_on
                            .extend([(*which, AsTyped("2026-12-31".into()))]);
                        w.stale.retain(|q| q != which);
                    })
                })
                .collect()
        }
        _ => Vec::new(),
    }
}

/// Once the facts of its witness are known, a rule that was open holds or does not; and each way
/// is open. An act with no day may follow any reading: here each has one.
#[test]
fn the_witness_of_what_is_not_known_decides_it() {
    let cases = (puts(), wines());
    tried(
        "the_witness_of_what_is_not_known_decides_it",
        &cases,
        100,
        |(put, mut wine), told| {
            let days = wine.done.iter_mut().map(|d| &mut d.day);
            days.filter(|d| d.is_empty())
                .for_each(|d| *d = "2026-11-01".into());
            let value = put.to(&wine);
            if value.truth != Truth::NotKnown {
                return Ok(());
            }
            tell(told);
            let mut all = vec![wine];
            for fact in &value.witness {
                all = all.iter().flat_map(|w| known(fact, w, put.act)).collect();
            }
            let truths: Vec<Truth> = all.iter().map(|w| put.to(w).truth).collect();
            prop_assert!(
                truths.contains(&Truth::Yes) && truths.contains(&Truth::No),
                "{:?}: {truths:?}",
                value.witness
            );
            prop_assert!(
                !truths.contains(&Truth::NotKnown),
                "{:?}: {truths:?}",
                value.witness
            );
            Ok(())
        },
    );
}

/// A fact of three values that is taken back, or a reading that becomes unreadable, moves a rule to
/// not known or not at all. It does not hold of the rest, and need not: a log is complete, so that
/// an act is done or not; a cause is weighed anew without a sign or the stage; where the colour is not known the
/// strictest limit counts; a reading that was not taken lies over no limit and no bound; and the law
/// is not known of a wine of which too little is told, so that it shuts nothing out.
#[test]
fn a_fact_no_longer_known_never_turns_a_rule_round() {
    let cases = (puts(), wines(), any::<Index>());
    tried(
        "a_fact_no_longer_known_never_turns_a_rule_round",
        &cases,
        100,
        |(put, wine, at), told| {
            let mut less: Vec<Wine> = vec![Wine {
                malolactic: None,
                ..wine.clone()
            }];
            let limited =
                |q: &Question| q.over_limit.is_some() || q.adds.is_some() || q.shown.is_some();
            if !put.asks(|q| q.cause.is_some() || q.cause_open || limited(q)) {
                less.push(Wine {
                    colour: None,
                    ..wine.clone()
                });
            }
            if !put.asks(|q| q.cause.is_some() || q.cause_open) {
                less.push(Wine {
                    stage: None,
                    ..wine.clone()
                });
                let mut fewer = wine.clone();
                let keys: Vec<String> = wine.observed.keys().cloned().collect();
                if !keys.is_empty() {
                    let _gone = fewer.observed.remove(at.get(&keys));
                }
                less.push(fewer);
            }
            let which: Vec<Quantity> = wine.analyses.keys().copied().collect();
            if !which.is_empty() && !put.asks(|q| q.act == Some(OfAct::GivenSince)) {
                let q = *at.get(&which);
                let mut garbled = wine.clone();
                let _old = garbled.analyses.insert(q, AsTyped("about 5".into()));
                less.push(garbled);
                if put.asks(|q| q.shown.is_some()) {
                    let mut untaken = wine.clone();
                    let _gone = untaken.analyses.remove(&q);
                    less.push(untaken);
                }
            }
            if put.asks(by_law) {
                return Ok(());
            }
            let before = put.to(&wine).truth;
            for wine in &less {
                let after = put.to(wine).truth;
                prop_assert!(
                    after == before || after == Truth::NotKnown,
                    "{before:?} to {after:?}"
                );
                if after != before {
                    tell(told);
                }
            }
            Ok(())
        },
    );
}
