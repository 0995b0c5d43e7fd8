//! What every treatment card holds: waits that keep a wine safe, cautions, prices.
#![allow(clippy::panic, clippy::unwrap_used, missing_docs)]

use std::time::{SystemTime, UNIX_EPOCH};
use stillbright::knowledge::{CAUTIONS, TREATMENTS, Treatment};
use stillbright::wine::{Access, Basis};

fn card(key: &str) -> &'static Treatment {
    TREATMENTS
        .iter()
        .find(|t| t.key == key)
        .unwrap_or_else(|| panic!("no card {key}"))
}

#[test]
fn what_must_leave_leaves_in_time() {
    for (key, most) in [
        ("carbon_colour", 2.0),
        ("carbon_odour", 2.0),
        ("pvi_pvp", 2.0),
        ("yeast_protein", 0.25),
        ("sheets_sterile", 1.0),
        ("membrane_045", 1.0),
        ("membrane_065", 1.0),
        ("membrane_08", 1.0),
        ("pasteurisation", 1.0),
        ("chitosan", 10.0),
        ("gelatin", 40.0),
    ] {
        assert!(
            card(key).longest_days.is_some_and(|d| d.high <= most),
            "{key}"
        );
    }
}

#[test]
fn what_must_wait_waits() {
    for (key, least) in [
        ("cmc", 2.0),
        ("copper_sulfate", 7.0),
        ("copper_citrate", 7.0),
        ("bentonite_sodium", 3.0),
        ("gelatin", 3.0),
        ("calcium_carbonate", 42.0),
    ] {
        assert!(card(key).wait_days.is_some_and(|d| d.low >= least), "{key}");
    }
}

/// Longest never falls short of the time that the step itself takes, at its quickest.
#[test]
fn no_card_must_be_over_before_it_can_be() {
    for t in TREATMENTS
        .iter()
        .filter(|t| t.kit.is_empty() && t.dose.is_some())
    {
        assert!(
            t.longest_days.is_none_or(|d| d.high >= t.days.low),
            "{}",
            t.key
        );
    }
}

#[test]
fn no_figure_for_what_only_the_licensed_or_trained_may_do() {
    for t in TREATMENTS
        .iter()
        .filter(|t| matches!(t.access, Access::Licensed | Access::Trained))
    {
        assert!(
            t.dose.is_none()
                && t.price.is_none()
                && t.energy_kwh_per_hl.is_none()
                && t.water_l_per_hl.is_none(),
            "{}",
            t.key
        );
        assert!(!t.cautions.is_empty(), "{}", t.key);
    }
}

/// What carries no caution is a liquid, and whatever comes as a powder has one about dust, acid or
/// metal. Which treatments have none is kept in `tests/snapshots/figures.txt`, so that one more is
/// seen.
#[test]
fn each_step_that_can_hurt_has_its_caution() {
    for t in TREATMENTS.iter().filter(|t| t.cautions.is_empty()) {
        assert!(
            t.dose.is_some_and(|d| d.basis == Basis::MillilitresPerHl),
            "{} carries no caution and is no liquid: give it one in `cautions`",
            t.key
        );
    }
    let powder = [
        "dust",
        "silica_dust",
        "allergen_dust",
        "acid",
        "copper",
        "so2",
    ];
    for t in TREATMENTS
        .iter()
        .filter(|t| t.dose.is_some_and(|d| d.basis != Basis::MillilitresPerHl))
    {
        assert!(t.cautions.iter().any(|c| powder.contains(c)), "{}", t.key);
    }
    for key in [
        "casein",
        "isinglass",
        "egg_albumin",
        "wheat_protein",
        "lysozyme",
        "pectinase",
        "glucanase",
    ] {
        assert!(card(key).cautions.contains(&"allergen_dust"), "{key}");
    }
    for c in CAUTIONS.iter() {
        assert!(
            TREATMENTS.iter().any(|t| t.cautions.contains(&c.key)),
            "{} stands beside nothing",
            c.key
        );
    }
}

/// Costs are worked out only in the wine's own money, which is the euro unless it is set. No price
/// is of a year to come.
#[test]
fn built_in_prices_are_in_euros_with_a_year() {
    let since_1970 = SystemTime::now().duration_since(UNIX_EPOCH).unwrap();
    let this_year = 1970 + since_1970.as_secs() / 31_556_952;
    for t in TREATMENTS.iter() {
        let Some(p) = t.price else { continue };
        assert!(
            p.currency == "EUR" && (2000..=this_year).contains(&p.year.into()),
            "{}: a price in EUR of 2000 to {this_year}, not {} of {}",
            t.key,
            p.currency,
            p.year
        );
    }
}
