//! Numbers by the two buttons for wet hands.
#![allow(missing_docs)]

mod chance;

use proptest::prelude::*;
use stillbright::units::step::step;

#[test]
fn a_step_goes_by_tenths_below_ten_and_keeps_what_was_typed() {
    let up = |t: &str| step(t, true, false);
    let down = |t: &str| step(t, false, false);
    assert_eq!(up("1,9").as_deref(), Some("2"));
    assert_eq!(up("1,95").as_deref(), Some("2,05"));
    assert_eq!(down("1.9").as_deref(), Some("1.8"));
    assert_eq!(up("9.9").as_deref(), Some("10"));
    assert_eq!(down("10").as_deref(), Some("9.9"));
    assert_eq!(up("15").as_deref(), Some("16"));
    assert_eq!(up("15.25 NTU").as_deref(), Some("16.25 NTU"));
    assert_eq!(up("").as_deref(), Some("0.1"));
    assert_eq!(down("").as_deref(), Some("0"));
    assert_eq!(step("7", true, true).as_deref(), Some("8"));
    // What is not one number is left to be mended.
    assert_eq!(up("clear"), None);
    assert_eq!(up("1,234"), None);
}

proptest! {
    #![proptest_config(chance::tries(256))]

    #[test]
    fn any_text_is_stepped_or_left_without_panic(text in ".{0,20}", up in any::<bool>(), whole in any::<bool>()) {
        if let Some(next) = step(&text, up, whole) {
            prop_assert!(!next.is_empty() && !next.contains('–'), "{}", next);
        }
    }

    #[test]
    fn up_and_down_are_each_others_way_back(tenths in 1_u32..99) {
        let text = stillbright::units::show::fixed(f64::from(tenths) / 10.0, 1);
        prop_assert_eq!(step(&step(&text, true, false).unwrap_or_default(), false, false), Some(text));
    }
}
