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
        let estimates =
            [Some(t.days), t.longest_days, t.wait_days, t.temperature, Some(t.loss_percent), Some(t.labour_hours), t.energy_kwh_per_hl, t.water_l_per_hl];
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
    all.extend(BODIES.iter().flat_map(|b| b.labels.iter().map(|l| l.rule.standing).chain([b.unlisted.standing])));
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
            super::BODIES,
            super::ACCEPTANCES,
            super::LAW,
            super::ORGANIC,
            super::SO2_LIMITS
        );
        let unused: Vec<&str> = super::SOURCES.iter().map(|s| s.key).filter(|k| !tables.contains(k)).collect();
        assert!(unused.is_empty(), "{unused:?}");
        assert_eq!(super::PROBLEMS.len(), super::Problem::ALL.len());
    }

    /// Low, middle and high weigh differently, so that two slips do not cancel easily.
    fn weigh<'a>(all: impl Iterator<Item = &'a super::Estimate>) -> f64 {
        let sum: f64 = all.map(|e| e.low + 2.0 * e.middle + 3.0 * e.high).sum();
        (sum * 1e4).round() / 1e4
    }

    /// Checksums of the tables, so that a mistyped digit fails: change one only together with its figures.
    #[test]
    fn tables_add_up() {
        use super::{LAW, PROBLEMS, SO2_LIMITS, TREATMENTS, TYPICAL};
        let limits: f64 = LAW.iter().flat_map(|r| r.limits.iter().map(|l| l.value * r.law.len() as f64)).sum();
        let sulfur: f64 = SO2_LIMITS.iter().map(|l| l.most + l.most_free.unwrap_or(0.0) + l.sugar_from.unwrap_or(0.0) + l.sugar_below.unwrap_or(0.0)).sum();
        let bands: f64 = PROBLEMS.iter().flat_map(|p| p.bands).map(|b| b.floor.unwrap_or(0.0) + b.ceiling.unwrap_or(0.0)).sum();
        let sums = [
            ("legal limits", limits),
            ("sulfur dioxide", sulfur),
            ("bands", bands),
            ("typical values", weigh(TYPICAL.iter().map(|t| &t.value))),
            ("doses", weigh(TREATMENTS.iter().filter_map(|t| t.dose.as_ref().map(|d| &d.range)))),
            ("ladders", TREATMENTS.iter().filter_map(|t| t.dose).flat_map(|d| d.ladder).sum()),
            ("removed", weigh(TREATMENTS.iter().flat_map(|t| t.effects).filter_map(|e| e.removes.as_ref()))),
            ("added", weigh(TREATMENTS.iter().flat_map(|t| t.effects).filter_map(|e| e.adds.as_ref()))),
            ("days", weigh(TREATMENTS.iter().flat_map(|t| [Some(&t.days), t.longest_days.as_ref(), t.wait_days.as_ref()]).flatten())),
            ("losses and labour", weigh(TREATMENTS.iter().flat_map(|t| [&t.loss_percent, &t.labour_hours]))),
            ("energy and water", weigh(TREATMENTS.iter().flat_map(|t| [&t.energy_kwh_per_hl, &t.water_l_per_hl]).flatten())),
            ("temperatures", weigh(TREATMENTS.iter().filter_map(|t| t.temperature.as_ref()))),
            ("prices", weigh(TREATMENTS.iter().filter_map(|t| t.price.as_ref().map(|p| &p.amount)))),
        ];
        for ((what, sum), expected) in sums.iter().zip(SUMS) {
            assert!((sum - expected).abs() < 1e-3, "{what}: {sum} is not {expected}; all: {sums:?}");
        }
    }
    const SUMS: [f64; 13] = [13644.0, 9239.008, 431.28, 6631.65, 20622.4, 8667.8, 908.32, 2308.928, 8855.05, 1727.73, 131.71, 2488.0, 15231.4];

    /// What the page about the figures counts.
    #[test]
    fn counts_are_as_stated() {
        use super::{LAW, ORDER, ORGANIC, SO2_LIMITS, SOURCES, TREATMENTS};
        let counts = [TREATMENTS.len(), LAW.len(), ORGANIC.len(), SO2_LIMITS.len(), ORDER.len(), SOURCES.len()];
        let of = |s: super::Standing| super::standings().iter().filter(|x| **x == s).count();
        let standings: Vec<usize> = super::Standing::ALL.iter().map(|s| of(*s)).collect();
        assert_eq!((counts.as_slice(), standings.as_slice()), (COUNTS.as_slice(), STANDINGS.as_slice()));
    }
    const COUNTS: [usize; 6] = [78, 128, 25, 38, 91, 219];
    const STANDINGS: [usize; 5] = [502, 41, 572, 159, 486];
}
