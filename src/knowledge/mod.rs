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

#[cfg(test)]
mod tests {
    use super::compile::{Input, compile};

    const GOOD: &str = include_str!("data/00-bentonite.toml");

    fn wrong(from: &str, to: &str) -> String {
        assert!(GOOD.contains(from), "{from}");
        let errors = compile(&[Input { name: "one.toml".into(), text: GOOD.replacen(from, to, 1) }]).err().unwrap_or_default();
        assert!(errors.iter().all(|e| e.starts_with("one.toml")), "{errors:?}");
        errors.join("\n")
    }

    #[test]
    fn a_good_file_compiles() {
        assert!(compile(&[Input { name: "one.toml".into(), text: GOOD.into() }]).is_ok());
    }

    #[test]
    fn each_mistake_is_named_with_its_place() {
        assert!(wrong("source = \"B2\" },", "source = \"B9\" },").contains("treatment `bentonite_sodium`: mechanism cites `B9`"));
        assert!(wrong("standing = \"read\", source = \"I10\"", "standing = \"read\"").contains("names no source"));
        assert!(wrong("low = 4.0, middle = 7.0", "low = 8.0, middle = 7.0").contains("days must run low <= middle <= high"));
        assert!(wrong("origin = \"mineral\"", "origin = \"stone\"").contains("unknown variant `stone`"));
        assert!(wrong("summary =", "sumary =").contains("unknown field `sumary`"));
        assert!(wrong("key = \"P3\"", "key = \"B2\"").contains("source `B2` is a duplicate"));
        assert!(wrong("cautions = [\"silica_dust\"]", "cautions = [\"dragons\"]").contains("caution `dragons` is not known"));
        assert!(wrong("high = 0.98", "high = 1.98").contains("removes more than all"));
        assert!(wrong("access = \"anyone\"", "access = \"licensed\"").contains("it gets no dose"));
    }

    #[test]
    fn every_source_is_cited_and_every_table_is_filled() {
        let tables = format!(
            "{:?}{:?}{:?}{:?}{:?}{:?}{:?}{:?}{:?}{:?}",
            super::TREATMENTS,
            super::ORDER,
            super::CAUTIONS,
            super::PROBLEMS,
            super::TYPICAL,
            super::MARKETS,
            super::ACCEPTANCES,
            super::LAW,
            super::ORGANIC,
            super::SO2_LIMITS
        );
        let unused: Vec<&str> = super::SOURCES.iter().map(|s| s.key).filter(|k| !tables.contains(k)).collect();
        assert!(unused.is_empty(), "{unused:?}");
        assert_eq!(super::PROBLEMS.len(), super::Problem::ALL.len());
    }

    /// Checksum of the legal limits, so that a mistyped digit fails: change it only together with the figure.
    #[test]
    fn legal_limits_add_up() {
        let limits: f64 = super::LAW.iter().flat_map(|r| r.limits).map(|l| l.value).sum();
        let sulfur: f64 = super::SO2_LIMITS.iter().map(|l| l.most).sum();
        assert!((limits - LIMITS).abs() < 1e-6 && (sulfur - 2190.0).abs() < 1e-6, "{limits} {sulfur}");
    }
    const LIMITS: f64 = 1955.8;
}
