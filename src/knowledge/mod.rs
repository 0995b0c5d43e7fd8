//! Facts: treatments, law by market, problems and their bands, typical values, order rules, sources. Data files under
//! `data/`, checked when the crate is built and held as static tables. No facts are written in code.

use crate::wine::*;
use serde::Serialize;

#[cfg(test)]
use crate::wine::words;
#[cfg(test)]
mod compile;

type Text = &'static str;
type List<T> = &'static [T];
type W<T> = T;

macro_rules! shape {
    ($($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* })*) => {
        $($(#[$meta])* #[derive(Debug, Clone, Copy, PartialEq, Serialize)] pub struct $name { $($body)* })*
    };
}
include!("schema.rs");
include!(concat!(env!("OUT_DIR"), "/knowledge.rs"));

/// The standing of every figure and statement in the tables, one entry each: what the page about the figures counts.
pub fn standings() -> Vec<Standing> {
    let mut all = Vec::new();
    for t in TREATMENTS {
        let estimates = [Some(t.days), t.longest_days, Some(t.loss_percent), Some(t.labour_hours), t.energy_kwh_per_hl, t.water_l_per_hl];
        all.extend(estimates.iter().flatten().map(|e| e.standing));
        all.extend(t.effects.iter().flat_map(|e| [e.removes, e.adds]).flatten().map(|e| e.standing));
        all.extend(t.dose.iter().map(|d| d.range.standing));
        all.extend(t.dose.iter().filter_map(|d| d.note.map(|n| n.standing)));
        all.extend(t.price.iter().map(|p| p.amount.standing));
        all.extend(t.colours.iter().map(|c| c.why.standing));
        all.push(t.origin_note.standing);
        for list in [t.mechanism, t.label, t.preparation, t.contact, t.over, t.disagree] {
            all.extend(list.iter().map(|f| f.standing));
        }
    }
    all.extend(ORDER.iter().map(|o| o.rule.standing));
    all.extend(CAUTIONS.iter().map(|c| c.text.standing));
    all.extend(TYPICAL.iter().map(|t| t.value.standing));
    for p in PROBLEMS {
        all.extend(p.bands.iter().map(|b| b.why.standing));
        all.extend(p.first.iter().chain(p.errors).chain(p.no_cure).map(|f| f.standing));
    }
    all
}
