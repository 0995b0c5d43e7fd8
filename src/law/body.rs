//! Which body of law answers for a market.

use crate::case::Case;
use crate::wine::{Law, Market};

/// The law of a market for wine made there. New Zealand makes its wine under the Code it shares
/// with Australia.
pub const fn own(market: Market) -> Law {
    match market {
        Market::Eu => Law::Eu,
        Market::Gb => Law::Gb,
        Market::Us => Law::Us,
        Market::Ca => Law::Ca,
        Market::Au => Law::Au,
        Market::Nz => Law::Anz,
        Market::Jp => Law::Jp,
        Market::Cn => Law::Cn,
        Market::Za => Law::Za,
        Market::Cl => Law::Cl,
        Market::Ar => Law::Ar,
    }
}

/// The law that was read to hold for wine brought in from elsewhere; None where it was not read.
/// The Code holds for wine
/// imported into Australia and New Zealand; the Canadian, Japanese and Chinese texts hold for all
/// wine sold there.
pub const fn import(market: Market) -> Option<Law> {
    match market {
        Market::Au | Market::Nz => Some(Law::Anz),
        Market::Ca => Some(Law::Ca),
        Market::Jp => Some(Law::Jp),
        Market::Cn => Some(Law::Cn),
        Market::Eu | Market::Gb | Market::Us | Market::Za | Market::Cl | Market::Ar => None,
    }
}

/// Every body of law that a wine falls under, for limits on what is in the bottle: no acceptance of
/// practices lifts them.
pub fn of_wine(case: &Case) -> Vec<(Market, Law)> {
    let mut all: Vec<(Market, Law)> = case.made_in.iter().map(|m| (*m, own(*m))).collect();
    for m in case
        .sold_in
        .iter()
        .copied()
        .filter(|m| Some(*m) != case.made_in)
    {
        let law = if case.made_in.is_some() {
            import(m).unwrap_or(own(m))
        } else {
            own(m)
        };
        all.push((m, law));
    }
    all
}
