//! Checks against published figures: one file a source, each check with citation, input, expected value and tolerance.
//! All law rows here were read in the text or the earlier text named; what was not read is no test.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, missing_docs)]

mod bench_arithmetic;
mod eu_organic_889;
mod eu_so2_934;
mod oiv_code;
mod origins_and_allergens;
mod turbidity_and_pores;
mod unit_conversions;
mod us_cfr;

use stillbright::knowledge::{LAW, LawRule, TREATMENTS, Treatment};
use stillbright::law::{Finding, findings};
use stillbright::wine::*;

pub fn treatment(key: &str) -> &'static Treatment {
    TREATMENTS.iter().find(|t| t.key == key).unwrap_or_else(|| panic!("no treatment {key}"))
}

pub fn wine(colour: Colour, market: Market) -> Wine {
    Wine { colour: Some(colour), stage: Some(Stage::Dry), made_in: Some(market), sold_in: vec![market], ..Wine::default() }
}

pub fn finding(key: &str, colour: Colour, market: Market) -> Finding {
    findings(&wine(colour, market), treatment(key)).remove(0)
}

pub fn rule(material: &str, market: Market, colour: Colour) -> &'static LawRule {
    LAW.iter()
        .find(|r| r.material == material && r.market == market && (r.colours.is_empty() || r.colours.contains(&colour)))
        .unwrap_or_else(|| panic!("no rule for {material}"))
}

pub fn limit(material: &str, market: Market, colour: Colour, kind: LimitKind) -> (f64, &'static str, bool) {
    let l = rule(material, market, colour).limits.iter().find(|l| l.kind == kind).expect("a limit of this kind");
    (l.value, l.unit, l.strict)
}

#[track_caller]
pub fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got} is not {expected} ± {tolerance}");
}
