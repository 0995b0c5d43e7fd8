//! US figures beside the metric ones: against the handbook's values, over every text of the
//! knowledge, and over made-up figures.
#![allow(clippy::unwrap_used, missing_docs)]

mod chance;

use proptest::prelude::*;
use std::collections::BTreeSet;
use stillbright::units::read::{litres, measurement};
use stillbright::units::us::{beside, units};

/// What one US unit is in the metric one, as NIST Handbook 44 (Appendix C) and SP 811 (B.8) define
/// or print it; written here
/// anew, so that a slip in the table shows.
const HANDBOOK: &[(&str, &str, f64)] = &[
    ("g/hL", "lb/1000 gal", 11.982_642_7),
    ("mL/hL", "fl oz/1000 gal", 0.781_25),
    ("L/hL", "gal/1000 gal", 0.1),
    ("hL/h", "gal/h", 0.037_854_117_84),
    ("L/m²/h", "gal/ft²/h", 40.745_833),
    ("L/m²", "gal/ft²", 40.745_833),
    ("kg/m²", "lb/ft²", 4.882_427_6),
    ("hL", "gal", 0.037_854_117_84),
    ("L", "gal", 3.785_411_784),
    ("kg", "lb", 0.453_592_37),
    ("g", "oz", 28.349_523_125),
    ("m²", "ft²", 0.092_903_04),
    ("bar", "psi", 0.068_947_57),
];

/// A unit that is missing here is not held against the handbook. A temperature has its own test,
/// since it is no multiple.
#[test]
fn every_unit_of_the_table_is_held_against_the_handbook() {
    let shown: BTreeSet<(&str, &str)> = units().filter(|unit| *unit != ("°C", "°F")).collect();
    let held: BTreeSet<(&str, &str)> = HANDBOOK.iter().map(|&(unit, us, _)| (unit, us)).collect();
    assert_eq!(
        shown, held,
        "left: `UNITS` of src/units/us.rs, right: `HANDBOOK` of this file, which need the same units"
    );
}

#[test]
fn the_figures_of_the_trade() {
    for (text, shown) in [
        ("30 g/hL", "30 g/hL (2.5 lb/1000 gal)"),
        ("10–40 g/hL.", "10–40 g/hL (0.834–3.33 lb/1000 gal)."),
        (
            "0, 20, 40, 60 g/hL, the 0 as control",
            "0, 20, 40, 60 g/hL (0, 1.66, 3.33, 5 lb/1000 gal), the 0 as control",
        ),
        (
            "20 and 4 g/hL",
            "20 and 4 g/hL (1.66 and 0.333 lb/1000 gal)",
        ),
        ("5,000 L or 50 hL", "5,000 L (1321 gal) or 50 hL (1321 gal)"),
        ("Weigh 1.2 kg in all", "Weigh 1.2 kg (2.64 lb) in all"),
        ("350 g", "350 g (12.3 oz)"),
        (
            "2 mL/hL and 1 L/hL",
            "2 mL/hL (2.56 fl oz/1000 gal) and 1 L/hL (10 gal/1000 gal)",
        ),
        ("at most ≤ 300 g/hL", "at most ≤ 300 g/hL (25 lb/1000 gal)"),
        ("(60 g/hL; dry)", "(60 g/hL ≈ 5 lb/1000 gal; dry)"),
        (
            "comes for 1000 L or more",
            "comes for 1000 L (265 gal) or more",
        ),
        ("at least 1000 L", "at least 1000 L (265 gal)"),
        ("Area 10–12 m²", "Area 10–12 m² (108–130 ft²)"),
        ("Stop at 3.0 bar.", "Stop at 3.0 bar (43.5 psi)."),
        ("12 °C", "12 °C (53.6 °F)"),
        ("−4 to −2 °C", "−4 to −2 °C (24.8 to 28.4 °F)"),
        (
            "0-4 °C and 100 °C",
            "0-4 °C (32-39.2 °F) and 100 °C (212 °F)",
        ),
        // A difference is no temperature.
        ("12 °C, ±3 °C", "12 °C (53.6 °F), ±3 °C (±5.4 °F)"),
        (
            "15 °C above storage, plus 0.5 °C, within 5 °C of it",
            "15 °C (27 °F) above storage, plus 0.5 °C (0.9 °F), within 5 °C (9 °F) of it",
        ),
        (
            "Leave 5-10 days above 8 °C",
            "Leave 5-10 days above 8 °C (46.4 °F)",
        ),
        (
            "12–15 EUR/hL, 0.1 per hL, 20 USD per hL",
            "12–15 EUR/hL (454–568 EUR/1000 gal), 0.1 per hL (3.79 per 1000 gal), 20 USD per hL (757 USD per 1000 gal)",
        ),
    ] {
        assert_eq!(beside(text), shown);
    }
}

#[test]
fn what_stays_as_it_is() {
    for text in [
        "",
        "60 mg/L, 3 g/L, 10 mL, 2 kWh/hL, 5 days, 1.5 kg per m², 10 g/100 L, 1 g/kg, 250 L/kg",
        "5 g in 100 mL",
        "27 CFR 24.246",
        "pH3 g",
        "A-10 L",
        "3/4 L",
        "0.1 L of gas per litre",
        "2·10⁻⁵ L",
        "1 000 L",
        "2027-03-15 L 7",
        "10 Liter",
        "5 grams",
        "12 kr/hL",
        "5 Lb",
        "25 lb/1000 gal",
        "30 g/hL (2.5 lb/1000 gal)",
        "Dose (g/hL)",
        "°C",
        " L",
        "5L",
        "3 g/hL/day",
        "1,2,3 L",
        "#/add/x-5L-4 x",
        "12 °Ca",
    ] {
        assert_eq!(beside(text), text);
    }
    // What is no list of one unit: only the last figure is taken.
    assert_eq!(
        beside("In 2024, 40 g/hL"),
        "In 2024, 40 g/hL (3.33 lb/1000 gal)"
    );
    assert_eq!(
        beside("At pH 3 and 40 g/hL"),
        "At pH 3 and 40 g/hL (3.33 lb/1000 gal)"
    );
}

fn is_inside(part: &str, whole: &str) -> bool {
    let mut rest = whole.chars();
    part.chars().all(|c| rest.any(|r| r == c))
}

fn strings(value: &toml::Value, all: &mut Vec<String>) {
    match value {
        toml::Value::String(s) => all.push(s.clone()),
        toml::Value::Array(a) => a.iter().for_each(|v| strings(v, all)),
        toml::Value::Table(t) => t.values().for_each(|v| strings(v, all)),
        _ => {}
    }
}

#[test]
fn every_text_of_the_knowledge_keeps_its_metric_words() {
    let mut all = Vec::new();
    for file in std::fs::read_dir("src/knowledge/data").unwrap() {
        strings(
            &toml::from_str(&std::fs::read_to_string(file.unwrap().path()).unwrap()).unwrap(),
            &mut all,
        );
    }
    let mut changed = 0;
    for text in &all {
        let shown = beside(text);
        assert!(is_inside(text, &shown), "{text}\n{shown}");
        assert_eq!(beside(&shown), shown);
        if shown != *text {
            changed += 1;
            if std::env::var("SHOW").is_ok() {
                println!("{shown}");
            }
        }
        // No temperature is passed over.
        let bare = usize::from(text == "°C");
        assert_eq!(
            shown.matches("°C").count() - bare,
            shown.matches("°F").count(),
            "{shown}"
        );
    }
    assert!(changed > 100, "{changed} of {}", all.len());
}

/// The figure in brackets, and the US unit that it has to have.
fn bracket<'a>(shown: &'a str, us: &str) -> &'a str {
    shown
        .split_once(" (")
        .unwrap()
        .1
        .strip_suffix(')')
        .unwrap()
        .strip_suffix(us)
        .unwrap()
        .trim_end()
}

proptest! {
    #![proptest_config(chance::tries(256))]

    #[test]
    fn back_again_within_the_rounding_and_never_higher(mantissa in 1_u32..999_999, places in 0_u32..4, at in 0..HANDBOOK.len()) {
        let (unit, us, in_metric) = HANDBOOK[at];
        let value = f64::from(mantissa) / 10_f64.powi(places as i32);
        let text = format!("{value} {unit}");
        let shown = beside(&text);
        if unit == "g" && value < 28.35 {
            prop_assert_eq!(shown, text);
        } else {
            let figure: f64 = bracket(&shown, us).parse().unwrap();
            let back = figure * in_metric;
            // Three digits are a hundredth at worst; the constants of this file have eight.
            prop_assert!((back / value - 1.0).abs() < 0.01 + 1e-6, "{shown}");
            if unit == "m²" {
                prop_assert!(back >= value * (1.0 - 1e-6), "{shown}");
            } else {
                let slack = if us == "gal" { 0.0014 } else { 0.0 };
                prop_assert!(back <= value * (1.0 + slack + 1e-6), "{shown}");
            }
            let least: f64 = bracket(&beside(&format!("at least {text}")), us).parse().unwrap();
            prop_assert!(least * in_metric >= value * (1.0 - 1e-6), "{least} {us} for {text}");
        }
    }

    #[test]
    fn a_temperature_reads_back(tenths in -300_i32..1500) {
        let celsius = f64::from(tenths) / 10.0;
        let text = format!("{celsius} °C").replace('-', "−");
        let shown = beside(&text);
        let figure = bracket(&shown, "°F");
        let back = measurement(&format!("{figure} °F"), "°C", -50.0, 200.0).unwrap();
        prop_assert!((back - celsius).abs() <= 0.05 / 1.8 + 1e-9, "{shown}");
    }

    #[test]
    fn any_text_is_kept_and_none_stops_it(text in "[ -~\u{a0}°–−±≤²·⁻é(),.0-9\n]{0,60}|([0-9.,–−-]{1,6}[ ,]{0,2}(g/hL|L|kg|g|°C|EUR/hL|per hL|to|and|\\(|\\)|\n) ?){0,9}") {
        let shown = beside(&text);
        prop_assert!(is_inside(&text, &shown), "{text}\n{shown}");
        prop_assert!(!shown.contains("NaN"));
        prop_assert_eq!(beside(&shown), shown);
    }

    #[test]
    fn a_volume_typed_in_gallons_reads_back(gallons in 1_u32..100_000) {
        // Whole litres, as the work order shows the coarsest.
        let shown = beside(&format!("{:.0} L", litres(&format!("{gallons} gal")).unwrap()));
        if gallons >= 100 {
            prop_assert_eq!(bracket(&shown, "gal"), gallons.to_string());
        }
    }
}

/// In another language a least still goes up, and a difference of temperature is one.
#[test]
fn other_languages() {
    assert_eq!(
        beside("al menos 30 g/hL a 12 °C"),
        "al menos 30 g/hL (2.51 lb/1000 gal) a 12 °C (53.6 °F)"
    );
    assert_eq!(
        beside("Au plus 75 °C, al menos 10 °C"),
        "Au plus 75 °C (167 °F), al menos 10 °C (50 °F)"
    );
    assert_eq!(
        beside("30 g/hL, 3 °C de plus"),
        "30 g/hL (2.5 lb/1000 gal), 3 °C (5.4 °F) de plus"
    );
    assert_eq!(
        beside("15 °C sobre el almacenamiento"),
        "15 °C (27 °F) sobre el almacenamiento"
    );
    assert_eq!(
        beside("à 5 °C près, à 12 °C ou plus chaud"),
        "à 5 °C (9 °F) près, à 12 °C (53.6 °F) ou plus chaud"
    );
}

/// Every text of the languages gets the US figures that its English gets: none rounds the other
/// way, so that no dose reads higher
/// for the language it is read in.
#[test]
fn every_translation_has_the_figures_of_its_english() {
    let numbers = |text: &str| -> Vec<String> {
        let part = |c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '−'));
        text.split(part)
            .map(|n| n.trim_matches(['.', ',']).to_string())
            .filter(|n| n.contains(|c: char| c.is_ascii_digit()))
            .collect()
    };
    // Those that were put in.
    let figures = |text: &str| -> Vec<String> {
        let mut all = numbers(&beside(text));
        for own in numbers(text) {
            all.remove(all.iter().position(|n| *n == own).unwrap());
        }
        all.sort();
        all
    };
    let (mut counted, mut wrong) = (0, Vec::new());
    for code in ["fr", "es"] {
        let table: std::collections::BTreeMap<String, String> = serde_json::from_str(
            &std::fs::read_to_string(format!("languages/{code}.json")).unwrap(),
        )
        .unwrap();
        for (english, other) in &table {
            counted += figures(english).len();
            if figures(english) != figures(other) {
                wrong.push(format!(
                    "{code}: {:?} in “{english}”, {:?} in “{other}”",
                    figures(english),
                    figures(other)
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(counted > 300, "{counted}");
}
