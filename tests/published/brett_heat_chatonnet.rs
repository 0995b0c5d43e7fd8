//! Chatonnet P., article on curing Brettanomyces: at 55 °C nine of ten die in 0.3-0.4 minutes, and ten
//! times as fast for each 5 °C more. So 2.5-3.3 powers of ten a minute at 55 °C, and in 20 s at 60 °C
//! 8.3-11.1.
use super::germs::logs;
use super::*;

/// Powers of ten in so many minutes at a temperature, by the time in which nine of ten die at 55 °C.
fn killed(minutes: f64, celsius: f64, d_55: f64) -> f64 {
    minutes * 10_f64.powf((celsius - 55.0) / 5.0) / d_55
}

#[test]
fn flash_heat_is_counted_no_higher_than_20_s_at_60() {
    let of = logs("pasteurisation", Quantity::Brett);
    near(of.middle, killed(20.0 / 60.0, 60.0, 0.4), 0.4);
    near(of.high, killed(20.0 / 60.0, 60.0, 0.3), 0.2);
}

#[test]
fn heat_in_bottle_is_counted_from_a_minute_at_55() {
    let of = logs("pasteurisation_bottle", Quantity::Brett);
    let (least, most) = (killed(1.0, 55.0, 0.4), killed(1.0, 55.0, 0.3));
    assert!(
        (least..=most).contains(&of.low),
        "{least} {} {most}",
        of.low
    );
}
