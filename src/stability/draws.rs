//! Draws that are the same on every machine: keyed by the quantity and the index, never by the
//! order of calls, and spread
//! evenly (an additive recurrence) rather than by chance.

use crate::knowledge::TREATMENTS;
use crate::wine::Quantity;
use std::sync::LazyLock;

/// Draws while one is typing.
pub const DRAWS: u32 = 256;
/// Draws when the page is at rest.
pub const MANY: u32 = 1000;
/// Draws of one slice of work, so that a slow phone answers between them.
pub const SLICE: u32 = 250;

/// What a share of so many draws may be wrong by: `1/√n`, twice the standard error that draws by
/// chance would have at worst.
/// Even draws lie closer. 256: 6 %; 1,000: 3 %.
pub fn error(draws: u32) -> f64 {
    1.0 / libm::sqrt(f64::from(draws.max(1)))
}

/// Roots of the first primes, enough for the quantities, for the counts of every treatment and for
/// what it does in a route. Left out are those near a
/// fraction of small denominator k, `k·|k·√p − nearest whole| < 0.02`: their draws come round so
/// slowly that 256 of them are
/// uneven by more than the stated error.
static ROOTS: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let count = TREATMENTS.len() * 10 + 130;
    let (mut primes, mut roots): (Vec<u32>, Vec<f64>) =
        (Vec::with_capacity(count), Vec::with_capacity(count));
    let mut n = 2;
    while roots.len() < count {
        if primes
            .iter()
            .take_while(|p| *p * *p <= n)
            .all(|p| n % p != 0)
        {
            primes.push(n);
            roots.extend(Some(libm::sqrt(f64::from(n))).filter(|r| is_even(*r)));
        }
        n += 1;
    }
    roots
});

fn is_even(root: f64) -> bool {
    (1..=8)
        .map(f64::from)
        .all(|k| k * (k * root - libm::round(k * root)).abs() >= 0.02)
}

/// The root of the nth prime that is kept, counted from 0: the key of one sequence of draws.
pub fn root(nth: usize) -> f64 {
    ROOTS.get(nth).copied().unwrap_or(std::f64::consts::SQRT_2)
}

/// The draw of a sequence: the fractional part of `(index + ½)·root`.
pub fn fraction(root: f64, index: u32) -> f64 {
    let x = (f64::from(index) + 0.5) * root;
    x - libm::floor(x)
}

/// A share between 0 and 1 for a draw of a quantity, keyed by the prime of the quantity.
pub fn share(which: Quantity, index: u32) -> f64 {
    fraction(root(which as usize), index)
}

/// A value of a triangle from `low` over `middle` to `high` at a share.
pub fn triangle(low: f64, middle: f64, high: f64, share: f64) -> f64 {
    let width = high - low;
    if width <= 0.0 {
        return middle;
    }
    let turn = (middle - low) / width;
    if share < turn {
        low + libm::sqrt(share * width * (middle - low))
    } else {
        high - libm::sqrt((1.0 - share) * width * (high - middle))
    }
}
