//! What must be shown of a wine before the line, at the line and before it is released: one list
//! for the record, the routes, the work order and the laboratory. It depends on what was done to
//! the wine and on what is still to be done.

mod bottles;
mod days;

pub use bottles::in_bottle;
pub use days::{Takes, counted_after, days_of, takes};

use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Concern, SURE, Status, standard_error};
use crate::wine::*;

/// What a proof is about.
#[derive(Debug, Clone, Copy)]
pub enum What {
    /// A stability, by its test.
    Stability(&'static StabilityFacts),
    /// A check of the last days, or of the bottles.
    Check(&'static LastCheck),
    /// That a smell is gone.
    Smell(&'static LastCheck, &'static ProblemFacts),
    /// Total sulfur dioxide against the law.
    TotalSo2,
}

/// One thing that must be shown.
#[derive(Debug, Clone, Copy)]
pub struct Obligation {
    /// What it is about.
    pub what: What,
    /// When it must be shown.
    pub due: Due,
    /// The barrier that may take the place of its limit.
    pub barrier: Option<&'static BarrierRule>,
}

/// Key of the proof that total sulfur dioxide lies inside the law.
pub const TOTAL_SO2: &str = "total_so2";

impl Obligation {
    fn before_line(what: What) -> Obligation {
        Obligation {
            what,
            due: Due::BeforeLine,
            barrier: None,
        }
    }

    /// Its key; with its problem where several of one check are asked for.
    pub fn key(&self) -> String {
        match self.what {
            What::Stability(f) => f.key.into(),
            What::Check(c) => c.key.into(),
            What::Smell(c, f) => smell_key(c, f.problem),
            What::TotalSo2 => TOTAL_SO2.into(),
        }
    }

    /// The quantity that its test reads; None for what is passed or failed.
    pub fn reads(&self) -> Option<Quantity> {
        match self.what {
            What::Stability(f) => Some(f.quantity),
            What::Check(c) => c.quantity,
            What::Smell(..) => None,
            What::TotalSo2 => Some(Quantity::TotalSo2),
        }
    }

    /// How old its test may be on the bottling day.
    pub fn window(&self) -> Option<&'static Window> {
        match self.what {
            What::Stability(f) => Some(&f.window),
            What::Check(c) | What::Smell(c, _) => Some(&c.window),
            What::TotalSo2 => so2_window(),
        }
    }

    /// What asks for it where nobody may waive it.
    pub fn binds(&self) -> Option<Binds> {
        match self.what {
            What::Stability(f) => f.binds,
            What::Check(c) | What::Smell(c, _) => c.binds,
            What::TotalSo2 => Some(Binds::Law),
        }
    }
}

/// Ten days for total sulfur dioxide, as for the analyses of the last week.
pub fn so2_window() -> Option<&'static Window> {
    let sugar = |s: &&StabilityFacts| s.quantity == Quantity::Sugar;
    STABILITIES.rows().iter().find(sugar).map(|s| &s.window)
}

/// What must be shown of a wine once these acts are done, those of its log counted already.
pub fn obligations(dossier: &Dossier, acts: &[&'static Treatment]) -> Vec<Obligation> {
    let concerns = stability::concerning(dossier);
    let past = dossier.past_after(acts);
    if dossier.stage == Some(Stage::Bottled) {
        return of_bottles(dossier, &concerns);
    }
    let mut all = stabilities(dossier, &concerns, &past);
    let rules: Vec<&'static BarrierRule> = all.iter().filter_map(|o| o.barrier).collect();
    let done = dossier.acts().filter_map(|a| a.treatment);
    let used: Vec<&'static Treatment> = done.chain(acts.iter().copied()).collect();
    for check in LAST.rows().iter().filter(|c| !c.of_bottles) {
        if is_asked(dossier, check, &past, &rules, &used) {
            all.extend(of_check(dossier, check, &used));
        }
    }
    if dossier.made_in.is_some() || !dossier.sold_in.is_empty() {
        all.push(Obligation::before_line(What::TotalSo2));
    }
    all
}

/// The stabilities that must be shown of a wine with this past, by the tests that judge it then.
fn stabilities(dossier: &Dossier, concerns: &[Concern], past: &[Past]) -> Vec<Obligation> {
    let blinded = |f: &StabilityFacts| f.not_after.iter().any(|p| past.contains(p));
    // What else answers the question of a test that does not judge this wine is asked for.
    let instead: Vec<&str> = concerns
        .iter()
        .filter(|c| blinded(c.facts))
        .filter_map(|c| c.facts.group)
        .collect();
    let asked = |c: &&Concern| {
        let f = c.facts;
        let named = f.where_named && f.problem.is_some_and(|p| dossier.problems.contains(&p));
        let lifted = f.lifted_by.iter().any(|w| dossier.wishes.contains(w));
        !blinded(f)
            && !lifted
            && (!f.optional
                || named
                || dossier.at_most(f.quantity).is_some()
                || f.group.is_some_and(|g| instead.contains(&g)))
    };
    let of = |c: &Concern| Obligation {
        barrier: barrier(dossier, c),
        ..Obligation::before_line(What::Stability(c.facts))
    };
    concerns.iter().filter(asked).map(of).collect()
}

/// Whether a check of the last days is asked for: by the wine, by a barrier that it needs, or by
/// one that is used.
fn is_asked(
    dossier: &Dossier,
    check: &LastCheck,
    past: &[Past],
    rules: &[&'static BarrierRule],
    used: &[&'static Treatment],
) -> bool {
    let by_barrier = rules.iter().any(|r| check.against.contains(&r.counted));
    let by_act = used.iter().any(|t| check.barrier_of.contains(&t.key));
    let counted = check.against.is_empty() || by_barrier || by_act;
    let lifted = check.lifted_by.iter().any(|w| dossier.wishes.contains(w));
    counted
        && (check.only_for.is_empty() || check.only_for.iter().any(|p| is_feared(dossier, *p)))
        && (!lifted || by_act || !rules.is_empty())
        && (check.only_after.is_empty() || past.iter().any(|p| check.only_after.contains(p)))
        && !dossier.style.is_some_and(|s| check.not_styles.contains(&s))
        && (check.bands.is_empty()
            || check
                .bands
                .iter()
                .any(|b| holds_for(b.colours, dossier.colour)))
}

/// Whether a problem was named, or a reading of it does not lie surely inside its limit.
fn is_feared(dossier: &Dossier, problem: Problem) -> bool {
    let of = |s: &&StabilityFacts| s.problem == Some(problem);
    let outside = |s: &StabilityFacts| {
        let status = stability::status_of(dossier, s.quantity);
        matches!(status, Status::Unstable | Status::Doubtful)
    };
    dossier.problems.contains(&problem) || STABILITIES.rows().iter().filter(of).any(outside)
}

fn of_check(
    dossier: &Dossier,
    check: &'static LastCheck,
    used: &[&'static Treatment],
) -> Vec<Obligation> {
    let of = |what| Obligation {
        due: check.due,
        ..Obligation::before_line(what)
    };
    if check.each_smell {
        let smells = smells(dossier, used).into_iter();
        return smells.map(|f| of(What::Smell(check, f))).collect();
    }
    vec![of(What::Check(check))]
}

/// What is still to be shown of a bottled wine, and what is asked where something is wrong with it.
fn of_bottles(dossier: &Dossier, concerns: &[Concern]) -> Vec<Obligation> {
    let faulty = !dossier.problems.is_empty() || dossier.observed.iter().any(|(_, seen)| *seen);
    let past = &dossier.past;
    let rules: Vec<&'static BarrierRule> = concerns
        .iter()
        .filter_map(|c| barrier(dossier, c))
        .collect();
    let used: Vec<&'static Treatment> = dossier.acts().filter_map(|a| a.treatment).collect();
    let asked = |c: &&'static LastCheck| {
        if c.of_bottles {
            let named = |p: &Problem| dossier.problems.contains(p);
            faulty && (c.only_for.is_empty() || c.only_for.iter().any(named))
        } else {
            c.due != Due::BeforeLine && is_asked(dossier, c, past, &rules, &used)
        }
    };
    let checks = LAST.rows().iter().filter(asked);
    checks.flat_map(|c| of_check(dossier, c, &used)).collect()
}

/// The barrier that may take the place of a limit, where the reading is not surely inside it.
fn barrier(dossier: &Dossier, concern: &Concern) -> Option<&'static BarrierRule> {
    let facts = concern.facts;
    let rule = facts.barrier.as_ref()?;
    let value = dossier.analysis(facts.quantity)?;
    let ceiling = concern.band.ceiling?;
    let error = standard_error(facts.error_plus, facts.error_share, value, 1.0);
    (value + SURE * error >= ceiling).then_some(rule)
}

/// Whether a treatment is done at the filler, into the bottle or in it.
pub fn at_filler(t: &Treatment) -> bool {
    in_filler_phase(t) || !t.germ_barrier.is_empty()
}

/// Whether its place is at the filler.
pub fn in_filler_phase(t: &Treatment) -> bool {
    PHASES
        .iter()
        .any(|p| p.phase == Phase::Filler && p.treatments.contains(&t.key))
}

/// The smells that this wine is asked about: those named, and those that one of these acts is done
/// against, where what was named does not account for it.
pub fn smells(dossier: &Dossier, acts: &[&'static Treatment]) -> Vec<&'static ProblemFacts> {
    let named = |f: &ProblemFacts| dossier.problems.contains(&f.problem);
    let all = || PROBLEMS.rows().iter().filter(|f| f.smell.is_some());
    let acts_on = |t: &Treatment, f: &ProblemFacts| {
        let mut on = t.effects.iter().filter(|e| e.on == f.quantity);
        on.any(|e| e.works())
    };
    let accounted = |t: &Treatment| all().any(|f| named(f) && acts_on(t, f));
    let treated = |f: &ProblemFacts| {
        let against = |t: &Treatment| f.smell.is_some_and(|s| s.after.contains(&t.key));
        acts.iter().any(|t| against(t) && !accounted(t))
    };
    all().filter(|f| named(f) || treated(f)).collect()
}

/// Under which key a record keeps what was found of a smell.
pub fn smell_key(check: &LastCheck, problem: Problem) -> String {
    format!("{}_{}", check.key, problem.key())
}
