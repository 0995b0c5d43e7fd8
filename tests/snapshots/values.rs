//! What the app decides of a wine, one line a decision: keys and rounded figures, no sentence.

use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;
use stillbright::advice::{Advice, ProblemAdvice, advise};
use stillbright::dossier::Dossier;
use stillbright::report;
use stillbright::route::{Route, StepKind, routes};
use stillbright::stability::Status;
use stillbright::units::day::Day;
use stillbright::wine::Wine;
use stillbright::work_order::order::{PlanTest, Step};
use stillbright::work_order::ready::{Proof, Ready};

/// Treatments named at the head of a list.
const FIRST: usize = 6;
/// Routes of a wine that have a line.
const ROUTES: usize = 3;
/// The reason of most treatments for most problems: it says nothing of the wine.
const USUAL: &str = "no_evidence";

/// One decision about a wine.
#[derive(Serialize)]
struct Decision<'a> {
    wine: &'a str,
    #[serde(flatten)]
    what: What,
}

/// What is decided.
#[derive(Serialize)]
#[serde(rename_all = "snake_case", tag = "what")]
enum What {
    /// The list for a problem.
    List {
        need: String,
        says: Vec<String>,
        first: Vec<&'static str>,
        /// Treatments that share the first place.
        tied: usize,
        /// Treatments whose law, or scheme, is to be confirmed.
        #[serde(skip_serializing_if = "is_none")]
        confirm: usize,
        /// By reason, how many are left out for it; one may have several.
        left_out: BTreeMap<String, usize>,
    },
    /// The stabilities that a reading decides.
    Stable { by: Groups },
    /// What to measure next.
    Measure {
        says: Vec<String>,
        best: Vec<String>,
    },
    /// What is said of the routes together.
    Routes {
        says: Vec<String>,
        shown: usize,
        #[serde(skip_serializing_if = "Vec::is_empty")]
        uncured: Vec<String>,
        #[serde(skip_serializing_if = "is_none")]
        not_covered: usize,
        #[serde(skip_serializing_if = "is_none")]
        relax: usize,
    },
    /// One of the routes, by its place; the steps of the first only.
    Route {
        at: usize,
        key: String,
        #[serde(skip_serializing_if = "Vec::is_empty")]
        steps: Vec<String>,
        days: Value,
        money: Value,
        /// Percent.
        probability: Value,
        #[serde(skip_serializing_if = "Option::is_none")]
        begin: Option<String>,
        #[serde(skip_serializing_if = "Vec::is_empty")]
        hire: Vec<&'static str>,
        #[serde(skip_serializing_if = "is_none")]
        confirm: usize,
    },
    /// Whether the plan still holds.
    Plan {
        because: String,
        holds: bool,
        left: usize,
    },
    /// A step of the work order, by its number in the plan.
    Order {
        at: usize,
        step: &'static str,
        #[serde(skip_serializing_if = "Option::is_none")]
        dose: Option<Value>,
        /// What lets the dose be weighed, or why there is none.
        because: String,
        /// Of the product, for the tank.
        #[serde(skip_serializing_if = "Option::is_none")]
        product: Option<Value>,
        #[serde(skip_serializing_if = "Option::is_none")]
        water: Option<Value>,
        /// What speaks against it.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        against: Vec<String>,
        #[serde(skip_serializing_if = "is_none")]
        misplaced: usize,
        #[serde(skip_serializing_if = "is_none")]
        rules: usize,
        /// Day on which it begins, at the least.
        #[serde(skip_serializing_if = "Option::is_none")]
        day: Option<Value>,
        after: Vec<String>,
    },
    /// A step that measures.
    Test {
        at: usize,
        measure: Vec<String>,
        done: bool,
    },
    /// The record, a word for each of its lines.
    Record { says: Vec<String>, by: Groups },
}

/// What is said, and of which keys: short to write. `changed` turns it round and compares key by
/// key.
type Groups = BTreeMap<String, Vec<String>>;

fn is_none(n: &usize) -> bool {
    *n == 0
}

/// Its key, as a report writes it.
fn key<T: Serialize>(word: &T) -> String {
    match serde_json::to_value(word).unwrap() {
        Value::String(key) => key,
        other => other.to_string(),
    }
}

fn keys<T: Serialize>(words: &[T]) -> Vec<String> {
    words.iter().map(key).collect()
}

/// To two digits, so that the last bit of a float shows nowhere.
fn two_digits(figure: f64) -> Value {
    let rounded: f64 = format!("{figure:.1e}").parse().unwrap();
    if rounded.fract() == 0.0 {
        Value::from(rounded as i64)
    } else {
        Value::from(rounded)
    }
}

fn whole(figure: f64) -> Value {
    Value::from(figure.round() as i64)
}

/// Every decision about a wine, a line each.
pub fn lines(name: &str, wine: &Wine, today: Option<Day>) -> Vec<String> {
    let order = report::order(&Dossier::of(wine), today);
    let mut all = of_advice(&advise(&Dossier::of(wine), today));
    all.extend(of_routes(&routes(&Dossier::of(wine), today)));
    all.extend(order.chosen.map(|c| What::Plan {
        because: key(&c.because),
        holds: c.holds,
        left: c.left.len(),
    }));
    all.extend(order.order.steps.iter().map(of_step));
    all.extend(order.order.tests.iter().map(of_test));
    all.push(of_record(&report::record(&Dossier::of(wine), today).record));
    all.into_iter()
        .map(|what| serde_json::to_string(&Decision { wine: name, what }).unwrap())
        .collect()
}

fn of_advice(advice: &Advice) -> Vec<What> {
    let decided = advice
        .stabilities
        .iter()
        .filter(|s| s.status != Status::Unknown);
    let mut all: Vec<What> = advice.problems.iter().map(of_problem).collect();
    all.push(What::Stable {
        by: grouped(decided.map(|s| (s.status.key().to_string(), s.key.to_string()))),
    });
    let next = &advice.measure_next;
    all.push(What::Measure {
        says: keys(&next.says),
        best: next.best.iter().map(|w| key(&w.quantity)).collect(),
    });
    all
}

fn grouped(said: impl Iterator<Item = (String, String)>) -> Groups {
    let mut all = Groups::new();
    for (word, key) in said {
        all.entry(word).or_default().push(key);
    }
    all
}

fn of_problem(p: &ProblemAdvice) -> What {
    let mut left_out = BTreeMap::new();
    for reason in p
        .left_out
        .iter()
        .flat_map(|l| &l.reasons)
        .map(because)
        .filter(|r| r != USUAL)
    {
        *left_out.entry(reason).or_default() += 1;
    }
    What::List {
        need: key(&p.problem),
        says: keys(&p.says),
        first: p.ranked.iter().take(FIRST).map(|r| r.key).collect(),
        tied: p.ranked.iter().filter(|r| r.rank == 1).count(),
        confirm: p
            .ranked
            .iter()
            .filter(|r| stillbright::treatment::ranking::unsure(r))
            .count(),
        left_out,
    }
}

/// The kind of a reason to leave out.
fn because<T: Serialize>(reason: &T) -> String {
    key(&serde_json::to_value(reason).unwrap()["because"])
}

fn of_routes(all: &stillbright::route::Routes) -> Vec<What> {
    let together = What::Routes {
        says: keys(&all.says),
        shown: all.routes.len(),
        uncured: keys(&all.uncured),
        not_covered: all.not_covered.len(),
        relax: all.relax.len(),
    };
    std::iter::once(together)
        .chain(
            all.routes
                .iter()
                .take(ROUTES)
                .enumerate()
                .map(|(i, r)| of_route(i + 1, r)),
        )
        .collect()
}

fn of_route(at: usize, route: &Route) -> What {
    let step = |s: &stillbright::route::Step| match s.kind {
        StepKind::Act => s.key.to_string(),
        StepKind::PutIn => format!("put_in {}", s.key),
        StepKind::Trial => format!("trial {}", s.tries),
        StepKind::Confirm => format!("confirm {}", s.confirms),
        _ => {
            format!("{} {}", key(&s.kind), keys(&s.measures).join("+"))
        }
    };
    What::Route {
        at,
        key: route.key.clone(),
        steps: if at == 1 {
            route.steps.iter().map(step).collect()
        } else {
            Vec::new()
        },
        days: whole(route.days),
        money: two_digits(route.money.middle),
        probability: whole(route.probability * 100.0),
        begin: route.begin_by.clone(),
        hire: route.hire.clone(),
        confirm: route.confirm.len(),
    }
}

fn of_step(step: &Step) -> What {
    What::Order {
        at: step.number,
        step: step.treatment.key,
        dose: step.dose.as_ref().ok().map(|w| two_digits(w.dose)),
        because: match &step.dose {
            Ok(weighed) => key(&weighed.by),
            Err(first) => key(&first.because),
        },
        product: step.amount.map(|a| two_digits(a.product)),
        water: step.water.map(|w| two_digits(w.most)),
        against: step.reasons.iter().map(because).collect(),
        misplaced: step.place.len(),
        rules: step.order.len(),
        day: step.day.map(|[least, _]| whole(least)),
        after: step.after.iter().map(|c| key(&c.quantity)).collect(),
    }
}

fn of_test(test: &PlanTest) -> What {
    What::Test {
        at: test.number,
        measure: test.checks.iter().map(|c| key(&c.quantity)).collect(),
        done: test.done,
    }
}

fn of_record(record: &Ready) -> What {
    let mut seen: Vec<String> = Vec::new();
    for proof in &record.evidence {
        let name = if proof.key.is_empty() {
            proof.name.as_str()
        } else {
            proof.key
        };
        // A check may stand there once for each smell.
        let place = (1..)
            .map(|n| {
                if n == 1 {
                    name.to_string()
                } else {
                    format!("{name} {n}")
                }
            })
            .find(|k| !seen.contains(k));
        seen.extend(place);
    }
    What::Record {
        says: keys(&record.says),
        by: grouped(record.evidence.iter().map(of_proof).zip(seen)),
    }
}

/// “missing: too_soon, wait 3”.
fn of_proof(proof: &Proof) -> String {
    let mut words = key(&proof.shown);
    if let Some(because) = &proof.because {
        words.push_str(&format!(": {}", key(because)));
    }
    if let Some(days) = proof.wait {
        words.push_str(&format!(", wait {days}"));
    }
    words
}
