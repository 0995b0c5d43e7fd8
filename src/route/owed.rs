//! What a route owes besides its own needs: tests that run while its acts go on, those of the
//! bottling day, and what is counted after it.

use super::instance::place;
use super::report::{LessSure, RouteTest};
use crate::case::log::kin;
use crate::dossier::Dossier;
use crate::knowledge::{STABILITIES, Treatment, Window};
use crate::obligations::{Obligation, What, counted_after, days_of, obligations, takes};
use crate::stability::{self, Status, test_of, test_price};
use crate::state::judging;
use crate::units::{day::Day, show};
use crate::wine::*;

/// Days before the bottling within which a test belongs to the bottling day itself.
const ON_THE_DAY: f64 = 3.0;

/// Where a route makes a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Made {
    /// At its beginning.
    First,
    /// After its acts.
    Again,
    /// Nowhere else.
    Nowhere,
}

/// A test that may be made while acts go on, since none that is still to come voids it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Alongside {
    /// What it reads.
    pub quantity: Quantity,
    /// How old it may be on the bottling day.
    pub window: f64,
    /// Days until it has answered.
    pub days: f64,
    /// Where the route makes it: it is made once more only where it is too old by the bottling.
    pub made: Made,
}

/// What a route owes.
#[derive(Debug, Clone, Default)]
pub(super) struct Owed {
    /// Tests that no act of the route voids and that nothing has shown so far.
    pub alongside: Vec<Alongside>,
    /// What its acts void, by the tests that judge the wine then.
    pub again: Vec<Quantity>,
    /// What is read on the bottling day, before the line.
    pub on_day: Vec<Quantity>,
    /// What is looked at on that day, before the line.
    pub looked_at: Vec<String>,
    /// What is due at the line.
    pub at_line: Vec<String>,
    /// What is counted after it, or looked at before release.
    pub before_release: Vec<String>,
    /// What of it is read.
    pub counted: Vec<Quantity>,
    /// Days from the bottling to the release.
    pub release_days: f64,
}

/// What a route with these acts owes, where these quantities are measured at its beginning.
pub(super) fn owed(dossier: &Dossier, first: &[Quantity], acts: &[&'static Treatment]) -> Owed {
    let past = dossier.past_after(acts);
    let all = obligations(dossier, acts);
    if dossier.is_must() {
        return Owed {
            again: judged_again(acts, &past),
            ..Owed::default()
        };
    }
    // The last corrections come after the test of the tank: what they void is read on the day.
    let is_late =
        |t: &&&'static Treatment| place(dossier, t.key).is_some_and(|p| p.0 >= Phase::Protect);
    let (late, early): (Vec<_>, Vec<_>) = acts.iter().partition(is_late);
    let (late, early) = (voided(&late), voided(&early));
    let mut owed = Owed {
        release_days: counted_after(&all, &past).high,
        ..Owed::default()
    };
    for o in &all {
        match (o.due, o.reads()) {
            (Due::AtLine, _) => owed.at_line.push(name(o)),
            (Due::Released, reads) => {
                owed.before_release.push(name(o));
                owed.counted.extend(reads);
            }
            (Due::BeforeLine, None) => owed.looked_at.push(name(o)),
            (Due::BeforeLine, Some(q)) if is_of_the_day(o) || late.contains(&q) => {
                owed.on_day.push(q)
            }
            (Due::BeforeLine, Some(q)) => {
                let window = o.window().map_or(0.0, |w: &Window| w.days);
                let made = if early.contains(&q) {
                    owed.again.push(q);
                    Made::Again
                } else if first.contains(&q) {
                    Made::First
                } else {
                    Made::Nowhere
                };
                if made != Made::Nowhere || !holds(dossier, q, window) {
                    owed.alongside.push(Alongside {
                        quantity: q,
                        window,
                        days: takes(q, &past).map_or(0.0, |t| t.middle),
                        made,
                    });
                }
            }
        }
    }
    owed
}

fn is_of_the_day(o: &Obligation) -> bool {
    o.window().is_some_and(|w| w.days <= ON_THE_DAY)
}

/// What these acts void of what a stability reads, by the tests that judge the wine then: all that
/// a must owes.
fn judged_again(acts: &[&'static Treatment], past: &[Past]) -> Vec<Quantity> {
    let mut all: Vec<Quantity> = Vec::new();
    for q in acts.iter().flat_map(|t| t.voids).map(|q| judging(*q, past)) {
        let is_judged = STABILITIES.rows().iter().any(|s| s.quantity == q);
        if is_judged && !all.contains(&q) {
            all.push(q);
        }
    }
    all
}

/// What these acts void, with the other tests of the same question.
fn voided(acts: &[&&'static Treatment]) -> Vec<Quantity> {
    let own = || acts.iter().flat_map(|t| t.voids).copied();
    own().chain(own().flat_map(kin)).collect()
}

/// Whether a reading still holds on the bottling day, and is not too near its limit; where that day
/// is not known, whether it holds now.
fn holds(dossier: &Dossier, which: Quantity, window: f64) -> bool {
    let measured = dossier.at_most(which).is_some()
        && !dossier.voided(which)
        && stability::status_of(dossier, which) != Status::Doubtful;
    let age = dossier.measured_on(which).zip(dossier.bottling_day.given());
    measured && age.is_none_or(|(read, bottling)| read.until(bottling) as f64 <= window)
}

fn name(o: &Obligation) -> String {
    match o.what {
        What::Stability(f) => f.name.into(),
        What::Check(c) => c.name.into(),
        What::Smell(c, f) => format!("{} ({})", c.name, show::inside(f.problem.label())),
        What::TotalSo2 => Quantity::TotalSo2.label().into(),
    }
}

/// Days that a route takes at least, so that what runs alongside has answered.
pub(super) fn least_days(dossier: &Dossier, first: &[Quantity]) -> f64 {
    let owed = owed(dossier, first, &[]);
    let beside = owed.alongside.iter().filter(|a| a.made == Made::Nowhere);
    beside.map(|a| a.days).fold(0.0, f64::max)
}

/// The tests of a route with what each costs, every time that it is made.
pub(super) fn priced(dossier: &Dossier, measured: &[Quantity]) -> Vec<RouteTest> {
    let mut all: Vec<RouteTest> = Vec::new();
    for q in measured {
        if let Some(same) = all.iter_mut().find(|t| t.quantity == *q) {
            same.times += 1;
            continue;
        }
        let Some(facts) = test_of(*q) else { continue };
        let days = days_of(&[*q], &dossier.past);
        all.push(RouteTest {
            quantity: *q,
            times: 1,
            days: [days.low, days.middle, days.high],
            price: test_price(dossier, facts),
        });
    }
    all
}

/// What must be shown before the line, is not known, and is inside its limit less often than asked
/// for, by typical values: needs that a route meets are left out.
pub(super) fn less_sure(dossier: &Dossier, met: &[Quantity]) -> Vec<LessSure> {
    let all = stability::stabilities(dossier);
    let owed = obligations(dossier, &[]);
    let asked = |key: &str| owed.iter().any(|o| o.key() == key);
    let open = |s: &&stability::Stability| {
        let unknown = matches!(s.status, Status::Unknown | Status::Doubtful);
        unknown && asked(s.key) && !met.contains(&s.quantity) && s.probability < dossier.sure()
    };
    let of = |s: &stability::Stability| LessSure {
        key: s.key,
        name: s.name,
        inside: s.probability,
    };
    all.iter().filter(open).map(of).collect()
}

/// The day of release of a lot that is bottled on a day.
pub(super) fn release(bottling: Option<Day>, days: f64) -> Option<String> {
    bottling.map(|b| b.plus(libm::ceil(days) as i64).show())
}
