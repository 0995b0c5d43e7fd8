//! Germs: what lowers their count, in powers of ten, and what only stops them from growing.
//! Survivors are shown as what is held back, never as a share that rounds to nothing.

use super::setting::Setting;
use super::{Span, scales};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::stability::{self, Status};
use crate::state::{Known, KnownBy};
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// What stops growth and kills nothing, in words.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Stops {
    /// What it does it by.
    pub hurdle: Hurdle,
    /// That it kills nothing, and what it leans on in this wine.
    pub text: String,
}

/// What is asked of the germs of a problem.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asked {
    /// The powers of ten by which they must fall: so many that what was counted comes under its
    /// limit, else those of the tables.
    pub powers: f64,
    /// What a count of this wine says, where it tells how far they must fall.
    pub counted: Option<Counting>,
}

/// What was counted, and how far it must fall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counting {
    /// The quantity.
    pub quantity: Quantity,
    /// The powers of ten; 0 where few enough are left.
    pub asks: f64,
    /// The count.
    pub known: Known,
}

/// What is asked of the germs of a problem in a wine; None where the problem is none of germs.
pub fn asked_of(dossier: &Dossier, problem: Problem) -> Option<Asked> {
    let enough = enough(problem)?;
    let counted = enough.counted.and_then(|c| by_count(dossier, &c));
    Some(Asked {
        powers: counted.map(|c| c.asks).or(enough.logs)?,
        counted,
    })
}

/// [`Asked::powers`] of a wine.
pub fn asked(dossier: &Dossier, problem: Problem) -> Option<f64> {
    asked_of(dossier, problem).map(|a| a.powers)
}

/// [`Asked::counted`] of a wine.
pub fn counted(dossier: &Dossier, problem: Problem) -> Option<Counting> {
    asked_of(dossier, problem)?.counted
}

fn enough(problem: Problem) -> Option<&'static Enough> {
    let all = ENOUGH.rows().iter();
    all.filter(|e| e.logs.is_some())
        .find(|e| e.problem == problem)
}

/// How far a count must fall; None where none tells: one that is too near its limit for its error,
/// and “fewer than” where so many would be too many.
fn by_count(dossier: &Dossier, enough: &Counted) -> Option<Counting> {
    let known = *dossier.state.get(enough.quantity)?;
    let most = known.estimate.high;
    let doubtful = stability::status_of(dossier, enough.quantity) == Status::Doubtful;
    let asks = match known.by {
        _ if doubtful => return None,
        KnownBy::Measured | KnownBy::AtMost if most < enough.under => 0.0,
        KnownBy::Measured => libm::log10(most / enough.under),
        _ => return None,
    };
    Some(Counting {
        quantity: enough.quantity,
        asks,
        known,
    })
}

/// The effect of a treatment on the germs of a problem.
pub fn effect(t: &Treatment, of: Quantity) -> Option<&'static Effect> {
    t.effects.iter().find(|e| e.on == of && of.is_germs())
}

/// The powers of ten by which a treatment lowers the count.
pub fn logs(t: &Treatment, of: Quantity) -> Option<Span> {
    effect(t, of)?.logs.map(|l| Span::of(&l, 1.0))
}

/// What a treatment does by stopping growth alone.
pub fn stops(dossier: &Dossier, t: &Treatment, of: Quantity) -> Option<Stops> {
    let hurdle = effect(t, of)?.hurdle?;
    let facts = HURDLES.iter().find(|h| h.hurdle == hurdle)?;
    let leans = facts.leans_on.iter().map(|q| leaning(dossier, *q));
    let leans: Vec<String> = leans.collect();
    Some(Stops {
        hurdle,
        text: format!("{STOPS} {} {}", leans.join(" "), facts.why.text),
    })
}

/// What is said of an act that lowers no count.
pub const STOPS: &str = "Stops growth, kills nothing.";

/// A quantity that a hurdle leans on, with its reading, as a sentence.
fn leaning(dossier: &Dossier, which: Quantity) -> String {
    let read = dossier.state.get(which).filter(|k| {
        matches!(
            k.by,
            KnownBy::Measured | KnownBy::AtMost | KnownBy::AfterAct
        )
    });
    let name = match which {
        // Its label says what it is worked out from, which stands beside it.
        Quantity::MolecularSo2 => "molecular SO₂".to_string(),
        _ => show::inside(which.label()),
    };
    let facts = which.facts();
    match read {
        Some(k) => {
            let value = show::fixed(k.estimate.middle, facts.decimals);
            let read = format!("{value} {}", facts.unit);
            format!("It leans on {name}: {}.", read.trim_end())
        }
        None => format!("It leans on {name}, which was not measured."),
    }
}

/// Value of what a treatment does to the germs of a problem: how much of the way to what is asked
/// it goes. What ends the food of the germs goes as far as it takes of it.
pub fn value(setting: &Setting, t: &Treatment) -> Option<Span> {
    let (asked, problem) = (setting.germs?.powers, setting.problem);
    if let Some(food) = setting.shared.fed.taken(problem.problem, t) {
        return Some(food);
    }
    let logs = logs(t, problem.quantity);
    Some(logs.map_or(Span::default(), |l| l.through(|l| scales::logs(l, asked))))
}

/// What is held back where a count falls by so many powers of ten, of 100 germs: “99.9”, “more than
/// 99.9999”.
fn of_100(logs: f64) -> String {
    if logs > MOST {
        return format!("more than {}", of_100(MOST));
    }
    let held = 100.0 * (1.0 - survivors(logs.max(0.0)));
    let places = libm::floor(logs - 1.0 + 1e-9).clamp(0.0, 4.0) as u32;
    // Never rounded up: the nines count.
    let unit = libm::pow(10.0, f64::from(places));
    show::fixed(libm::floor(held * unit + 1e-6) / unit, places)
}

/// Powers of ten beyond which nothing is told apart.
const MOST: f64 = 6.0;

/// Powers of ten in words: “2–4 powers of ten (99 to 99.99 in 100 held back)”.
pub fn powers(logs: Span) -> String {
    let (low, high) = (of_100(logs.low), of_100(logs.high));
    if logs.high > MOST {
        return format!(
            "{} powers of ten ({low} to more than {} in 100 held back)",
            show::range(logs.low, logs.high),
            of_100(MOST)
        );
    }
    format!(
        "{} powers of ten ({low} to {high} in 100 held back)",
        show::range(logs.low, logs.high)
    )
}

/// What is left of the germs that were there, in words.
pub fn left(share: f64) -> String {
    if share <= 0.0 {
        return "kept from the bottle".into();
    }
    format!("{} in 100 held back", of_100(-libm::log10(share)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nines_are_never_rounded_up_to_all() {
        let said: Vec<String> = [0.0, 0.4, 1.0, 1.3, 2.0, 2.999, 3.0, 4.5, 6.0, 9.0]
            .map(of_100)
            .into();
        assert_eq!(
            said,
            [
                "0",
                "60",
                "90",
                "94",
                "99",
                "99.8",
                "99.9",
                "99.996",
                "99.9999",
                "more than 99.9999"
            ]
        );
        assert_eq!(left(0.001), "99.9 in 100 held back");
        assert_eq!(left(1.0), "0 in 100 held back");
        assert_eq!(left(0.0), "kept from the bottle");
        let three = Span {
            low: 0.0,
            middle: 1.5,
            high: 3.0,
        };
        assert_eq!(
            powers(three),
            "0–3 powers of ten (0 to 99.9 in 100 held back)"
        );
    }
}
