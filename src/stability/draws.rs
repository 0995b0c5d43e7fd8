//! Draws that are the same on every machine: keyed by the quantity and the index, never by the order of calls, and spread
//! evenly (an additive recurrence) rather than by chance.

use crate::wine::Quantity;

/// Draws while one is typing.
pub const DRAWS: u32 = 256;

/// A share between 0 and 1 for a draw of a quantity: the fractional part of `(index + ½)·√p`, p the prime of the quantity.
pub fn share(which: Quantity, index: u32) -> f64 {
    let nth = which as usize;
    let prime = (2_u32..).filter(|n| (2..*n).take_while(|d| d * d <= *n).all(|d| n % d != 0)).nth(nth).unwrap_or(2);
    let x = (f64::from(index) + 0.5) * libm::sqrt(f64::from(prime));
    x - libm::floor(x)
}

/// A value of a triangle from `low` over `middle` to `high` at a share.
pub fn triangle(low: f64, middle: f64, high: f64, share: f64) -> f64 {
    let width = high - low;
    if width <= 0.0 {
        return middle;
    }
    let turn = (middle - low) / width;
    if share < turn { low + libm::sqrt(share * width * (middle - low)) } else { high - libm::sqrt((1.0 - share) * width * (high - middle)) }
}
