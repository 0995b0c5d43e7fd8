//! From what is seen and tested to causes: Bayes over five words, with the share of each cause,
//! whether the first one holds
//! when any word is off by one, what speaks against it, and which test to do next.
//!
//! Words are judgements; the rules behind the signs have their sources in the tables. Signs of one
//! family are ways in which one thing
//! may be, of which at most one holds: that one counts alone, the one that tells the causes apart
//! most where two were said to hold.
//! Where none holds each “no” counts.

use crate::case::Case;
use crate::knowledge::{CAUSES, Cause, SIGNS, Sign, WithCause};
use crate::wine::*;
use serde::Serialize;

/// Probability behind a word: never 0.02, seldom 0.12, sometimes 0.4, often 0.75, nearly always
/// 0.95. Judgement.
pub const fn share(word: Likely) -> f64 {
    match word {
        Likely::Never => 0.02,
        Likely::Seldom => 0.12,
        Likely::Sometimes => 0.4,
        Likely::Often => 0.75,
        Likely::NearlyAlways => 0.95,
    }
}

fn shifted(word: Likely, by: i32) -> Likely {
    let at = (word as i32 + by).clamp(0, Likely::ALL.len() as i32 - 1);
    Likely::ALL.get(at as usize).copied().unwrap_or(word)
}

/// Share of the belief from which the first cause counts as likely, on the page that finds it and
/// for the judge. Judgement.
pub const LIKELY: f64 = 0.6;

/// A cause with its share of the belief.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Belief {
    /// Key of the cause.
    pub key: &'static str,
    /// Its name.
    pub name: &'static str,
    /// Share, 0 to 1; all of them sum to 1.
    pub share: f64,
    /// The share to the nearest 5 %, as shown.
    pub percent: u32,
}

/// A test that would tell most.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct NextTest {
    /// Key of the sign.
    pub key: &'static str,
    /// The question.
    pub question: &'static str,
    /// Information expected, bits.
    pub bits: f64,
    /// Minutes it takes.
    pub minutes: f64,
}

/// What follows from the signs.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Diagnosis {
    /// Causes, likeliest first.
    pub causes: Vec<Belief>,
    /// Whether the first cause stays first when any one word is one level off.
    pub holds: bool,
    /// What was answered that speaks against the first cause.
    pub against: Vec<&'static str>,
    /// The test in the cellar that tells most per minute.
    pub next: Option<NextTest>,
    /// The one in the laboratory.
    pub next_laboratory: Option<NextTest>,
}

impl Diagnosis {
    /// The first cause, where it is likely.
    pub fn likely(&self) -> Option<&Belief> {
        self.causes.first().filter(|c| c.share >= LIKELY)
    }
}

/// A word moved for the test of how firm the answer is.
#[derive(Clone, Copy)]
struct Shift {
    sign: &'static str,
    cause: &'static str,
    by: i32,
}

fn word(sign: &Sign, cause: &str) -> Likely {
    sign.with
        .iter()
        .find(|w| w.cause == cause)
        .map_or(sign.else_word, |w| w.word)
}

/// Chance that a sign is answered yes under a cause; of two causes at once the likelier speaks.
fn yes(sign: &Sign, cause: &Cause, shift: Option<Shift>) -> f64 {
    let of_one = |key: &str| {
        let by = shift
            .filter(|s| s.sign == sign.key && s.cause == key)
            .map_or(0, |s| s.by);
        share(shifted(word(sign, key), by))
    };
    if cause.of.is_empty() {
        of_one(cause.key)
    } else {
        cause.of.iter().map(|k| of_one(k)).fold(0.0, f64::max)
    }
}

/// Belief in a cause before any sign; none in one that cannot be.
fn prior(cause: &Cause, colour: Option<Colour>, stage: Option<Stage>) -> f64 {
    let own = share(cause.prior);
    match (can_be(cause, colour, stage), cause.of.is_empty()) {
        (false, _) => 0.0,
        (true, true) => own,
        // Two at once are rarer than either.
        (true, false) => own * 0.5,
    }
}

/// Whether what these name, any where none is named, may be where this was told.
fn suits<T: PartialEq>(named: &[T], told: Option<T>) -> bool {
    named.is_empty() || told.is_none_or(|t| named.contains(&t))
}

/// Whether a cause can be in a wine of this colour at this stage; of two at once, whether both can.
pub fn can_be(cause: &Cause, colour: Option<Colour>, stage: Option<Stage>) -> bool {
    CAUSES
        .iter()
        .filter(|c| c.key == cause.key || cause.of.contains(&c.key))
        .all(|c| suits(c.colours, colour) && suits(c.stages, stage))
}

/// Whether a sign can be in a wine of this colour at this stage, and tells something there: it is
/// asked for then alone. One that points to nothing but what cannot be tells nothing.
pub fn may_be(sign: &Sign, colour: Option<Colour>, stage: Option<Stage>) -> bool {
    let points_to = |w: &&WithCause| share(w.word) > share(sign.else_word);
    let mut causes = sign
        .with
        .iter()
        .filter(points_to)
        .filter_map(|w| CAUSES.rows().iter().find(|c| c.key == w.cause));
    suits(sign.colours, colour)
        && suits(sign.stages, stage)
        && causes.any(|c| can_be(c, colour, stage))
}

/// How far a sign that holds drives the causes apart, nat.
fn tells(sign: &Sign) -> f64 {
    let chances = CAUSES.iter().map(|c| yes(sign, c, None));
    let (low, high) = chances.fold((1.0, 0.0_f64), |(l, h), p| (p.min(l), p.max(h)));
    libm::log(high / low)
}

/// The signs that count.
fn counting(observed: &Map<String, bool>) -> Vec<(&'static Sign, bool)> {
    SIGNS
        .rows()
        .iter()
        .filter_map(|s| Some((s, *observed.get(s.key)?)))
        .fold(Vec::new(), with_sign)
}

/// The signs that count once one more is answered.
fn with_sign(
    mut counted: Vec<(&'static Sign, bool)>,
    new: (&'static Sign, bool),
) -> Vec<(&'static Sign, bool)> {
    let holds = counted
        .iter()
        .find(|(s, a)| *a && s.family == new.0.family)
        .map(|(s, _)| *s);
    if holds.is_none_or(|old| new.1 && tells(new.0) > tells(old)) {
        if new.1 {
            counted.retain(|(s, _)| s.family != new.0.family);
        }
        counted.push(new);
    }
    counted
}

fn posterior(
    priors: &[(&'static Cause, f64)],
    signs: &[(&'static Sign, bool)],
    shift: Option<Shift>,
) -> Vec<(&'static Cause, f64)> {
    let mut all: Vec<(&'static Cause, f64)> = priors
        .iter()
        .map(|&(c, prior)| {
            let chance = |(s, a): &(&'static Sign, bool)| {
                if *a {
                    yes(s, c, shift)
                } else {
                    1.0 - yes(s, c, shift)
                }
            };
            (c, prior * signs.iter().map(chance).product::<f64>())
        })
        .collect();
    let sum: f64 = all.iter().map(|(_, p)| p).sum();
    all.iter_mut().for_each(|(_, p)| *p /= sum);
    all
}

fn first(all: &[(&'static Cause, f64)]) -> Option<&'static Cause> {
    all.iter()
        .max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.key.cmp(a.0.key)))
        .map(|(c, _)| *c)
}

/// Information in bits that answering a sign is expected to bring, beside what counts already.
fn bits(
    sign: &'static Sign,
    priors: &[(&'static Cause, f64)],
    signs: &[(&'static Sign, bool)],
    all: &[(&'static Cause, f64)],
) -> f64 {
    let entropy = |of: &[(&Cause, f64)]| {
        of.iter()
            .map(|(_, p)| *p)
            .filter(|p| *p > 0.0)
            .map(|p| -p * libm::log2(p))
            .sum::<f64>()
    };
    let p_yes: f64 = all.iter().map(|(c, p)| p * yes(sign, c, None)).sum();
    let after = |answer: bool| {
        entropy(&posterior(
            priors,
            &with_sign(signs.to_vec(), (sign, answer)),
            None,
        ))
    };
    (entropy(all) - p_yes * after(true) - (1.0 - p_yes) * after(false)).max(0.0)
}

/// Minutes that any question costs beside what its test takes: a glass, a light, the way there and
/// back. Judgement. Without them
/// all that is looked at comes before the first short test, however little it tells.
const ROUND_MINUTES: f64 = 10.0;

/// Works out the causes from what was observed and the colour. The order in which signs were
/// answered does not matter.
pub fn diagnose(case: &Case) -> Diagnosis {
    diagnose_passing(case, &[])
}

/// The same; what is passed over, since nobody can answer it now, is not asked for next. It says
/// nothing for or against a cause.
pub fn diagnose_passing(case: &Case, passed: &[&str]) -> Diagnosis {
    let (observed, colour) = (&case.observed, case.colour);
    let signs = counting(observed);
    let priors: Vec<(&'static Cause, f64)> = CAUSES
        .rows()
        .iter()
        .map(|c| (c, prior(c, colour, case.stage)))
        .collect();
    let all = posterior(&priors, &signs, None);
    let Some(top) = first(&all) else {
        return Diagnosis::default();
    };
    let holds = signs.iter().all(|(s, _)| {
        CAUSES.iter().filter(|c| c.of.is_empty()).all(|c| {
            [-1, 1].iter().all(|by| {
                first(&posterior(
                    &priors,
                    &signs,
                    Some(Shift {
                        sign: s.key,
                        cause: c.key,
                        by: *by,
                    }),
                ))
                .is_some_and(|f| f.key == top.key)
            })
        })
    });
    let against = signs
        .iter()
        .filter(|(s, a)| {
            if *a {
                yes(s, top, None) < 0.15
            } else {
                yes(s, top, None) > 0.85
            }
        })
        .map(|(s, _)| s.question)
        .collect();
    let per_minute = |t: &NextTest| t.bits / (t.minutes + ROUND_MINUTES);
    let next = |here: fn(Place) -> bool| {
        SIGNS
            .rows()
            .iter()
            // Where one of a family holds, the others do not.
            .filter(|s| {
                here(s.place)
                    && may_be(s, colour, case.stage)
                    && !passed.contains(&s.key)
                    && !observed.contains_key(s.key)
                    && !signs.iter().any(|(o, a)| *a && o.family == s.family)
            })
            .map(|s| NextTest {
                key: s.key,
                question: s.question,
                bits: bits(s, &priors, &signs, &all),
                minutes: s.minutes,
            })
            .filter(|t| t.bits > 0.01)
            .max_by(|a, b| {
                per_minute(a)
                    .total_cmp(&per_minute(b))
                    .then(b.key.cmp(a.key))
            })
    };
    let mut causes: Vec<Belief> = all
        .iter()
        .map(|(c, p)| Belief {
            key: c.key,
            name: c.name,
            share: *p,
            percent: (libm::round(p * 20.0) * 5.0) as u32,
        })
        .collect();
    crate::sorting::sort(&mut causes, &mut |a, b| {
        b.share.total_cmp(&a.share).then(a.key.cmp(b.key))
    });
    Diagnosis {
        causes,
        holds,
        against,
        next: next(|p| p != Place::Laboratory),
        next_laboratory: next(|p| p == Place::Laboratory),
    }
}
