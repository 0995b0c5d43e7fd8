//! Roots between two bounds, by the Brent method of the library `roots`.

use roots::{SimpleConvergency, find_root_brent};

/// The root of `f` between `low` and `high`, where its sign changes; None where it does not.
pub(crate) fn between(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (at_low, at_high) = (f(low), f(high));
    if !(at_low.is_finite() && at_high.is_finite()) || at_low * at_high > 0.0 {
        return None;
    }
    if at_low.abs() == 0.0 {
        return Some(low);
    }
    if at_high.abs() == 0.0 {
        return Some(high);
    }
    let mut enough = SimpleConvergency {
        eps: 1e-13,
        max_iter: 200,
    };
    find_root_brent(low, high, f, &mut enough)
        .ok()
        .filter(|x| x.is_finite())
}
