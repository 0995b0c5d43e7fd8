//! Checks against published figures: one file a source, each check with citation, input, expected
//! value and tolerance.
//! All law rows here were read in the text or the earlier text named; what was not read is no test.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod anz_code;
mod bench_arithmetic;
mod brett_chitosan_p27;
mod brett_duarte;
mod brett_heat_chatonnet;
mod canada;
mod chemistry;
mod crossflow_reds;
mod earth_ifv;
mod eu_organic_889;
mod eu_so2_934;
mod germs;
mod germs_asked_vitisphere;
mod lysozyme_lactic;
mod oiv_code;
mod oiv_code_more;
mod origins_and_allergens;
mod other_markets;
mod rows_not_read;
mod sulfur_and_sorbate_hold;
mod turbidity_and_pores;
mod unit_conversions;
mod us_cfr;

use stillbright::case::Case;
use stillbright::knowledge::{BODIES, LAW, LabelRule, LawRule, TREATMENTS, Treatment};
use stillbright::law::{Finding, body, findings, so2_limit};
use stillbright::wine::*;

pub fn treatment(key: &str) -> &'static Treatment {
    TREATMENTS
        .iter()
        .find(|t| t.key == key)
        .unwrap_or_else(|| panic!("no treatment {key}"))
}

pub fn wine(colour: Colour, market: Market) -> Wine {
    Wine {
        colour: Some(colour),
        stage: Some(Stage::Dry),
        style: Some(Style::StillDry),
        made_in: Some(market),
        sold_in: vec![market],
        ..Wine::default()
    }
}

/// A wine brought in from a market whose practices no agreement that was read accepts.
pub fn imported(colour: Colour, sold: Market) -> Wine {
    Wine {
        made_in: Some(Market::Gb),
        sold_in: vec![sold],
        ..wine(colour, sold)
    }
}

pub fn finding(key: &str, colour: Colour, market: Market) -> Finding {
    findings(&Case::of(&wine(colour, market)), treatment(key)).remove(0)
}

pub fn finding_imported(key: &str, colour: Colour, sold: Market) -> Finding {
    findings(&Case::of(&imported(colour, sold)), treatment(key)).remove(1)
}

/// The rule of a market's own law for a wine after its fermentation.
pub fn rule(material: &str, market: Market, colour: Colour) -> &'static LawRule {
    rule_in(material, body::own(market), colour, Stage::Dry)
}

pub fn rule_in(material: &str, law: Law, colour: Colour, stage: Stage) -> &'static LawRule {
    LAW.iter()
        .find(|r| {
            r.materials.contains(&material)
                && r.law.contains(&law)
                && (r.colours.is_empty() || r.colours.contains(&colour))
                && (r.stages.is_empty() || r.stages.contains(&stage))
                && (r.styles.is_empty() || r.styles.contains(&Style::StillDry))
        })
        .unwrap_or_else(|| panic!("no rule for {material}"))
}

pub fn limit(
    material: &str,
    market: Market,
    colour: Colour,
    kind: LimitKind,
) -> (f64, &'static str, bool) {
    limit_of(rule(material, market, colour), kind)
}

pub fn limit_of(rule: &'static LawRule, kind: LimitKind) -> (f64, &'static str, bool) {
    let l = rule
        .limits
        .iter()
        .find(|l| l.kind == kind)
        .expect("a limit of this kind");
    assert_ne!(
        l.evidence,
        Evidence::Memory,
        "only what was read is a check"
    );
    (l.value, l.unit, l.strict)
}

pub fn label(law: Law, about: &str) -> &'static LabelRule {
    BODIES
        .iter()
        .find(|b| b.law == law)
        .unwrap()
        .labels
        .iter()
        .find(|l| l.about.contains(about))
        .unwrap()
}

pub fn most_so2(wine: Wine, sugar: f64) -> f64 {
    let wine = Wine {
        analyses: [(Quantity::Sugar, AsTyped(sugar.to_string()))].into(),
        ..wine
    };
    so2_limit(&Case::of(&wine)).unwrap().most
}

#[track_caller]
pub fn near(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{got} is not {expected} ± {tolerance}"
    );
}
