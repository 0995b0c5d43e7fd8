//! Curves through the readings of a ladder. The step fit says what was read; the decay curves only
//! size the next ladder.

/// A dose with its readings taken together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Dose.
    pub dose: f64,
    /// Mean of its readings.
    pub value: f64,
    /// How many there were.
    pub times: f64,
}

/// The nearest never-rising values to `values` in the order given, by weighted least squares: pool
/// adjacent violators
/// (Barlow, Bartholomew, Bremner, Brunk 1972, *Statistical Inference under Order Restrictions*;
/// from memory, held against
/// scipy's isotonic_regression). Weights not above 0 count as a very small one.
pub fn falling(values: &[(f64, f64)]) -> Vec<f64> {
    // Pools as mean, weight and how many.
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    for (value, weight) in values {
        let mut pool = (*value, weight.max(1e-12), 1);
        while let Some((mean, weight, many)) = pools.last().copied()
            && mean < pool.0
        {
            pools.pop();
            let sum = weight + pool.1;
            pool = ((mean * weight + pool.0 * pool.1) / sum, sum, many + pool.2);
        }
        pools.push(pool);
    }
    pools
        .into_iter()
        .flat_map(|(mean, _, many)| std::iter::repeat_n(mean, many))
        .collect()
}

/// The shapes tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// `a·exp(−k·d)`.
    Exponential,
    /// `a/(1 + k·d)`, what a Langmuir surface leaves while little is bound.
    Langmuir,
}

impl Shape {
    fn at(self, kd: f64) -> f64 {
        match self {
            Shape::Exponential => libm::exp(-kd),
            Shape::Langmuir => 1.0 / (1.0 + kd),
        }
    }
}

/// A decay curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decay {
    /// Its shape.
    pub shape: Shape,
    /// Value at no dose.
    pub start: f64,
    /// Rate, per unit of dose.
    pub rate: f64,
    /// Sum of the weighted squares left.
    pub squares: f64,
}

impl Decay {
    /// The dose at which the curve comes down to `value`; None where it never does, or starts below
    /// it.
    pub fn dose_at(&self, value: f64) -> Option<f64> {
        let fall = self.start / value;
        if !(self.rate > 0.0 && value > 0.0 && fall >= 1.0 && fall.is_finite()) {
            return None;
        }
        let kd = match self.shape {
            Shape::Exponential => libm::log(fall),
            Shape::Langmuir => fall - 1.0,
        };
        Some(kd / self.rate).filter(|d| d.is_finite())
    }
}

/// The decay curve of one shape by weighted least squares; each weight is one over the square of
/// the error. For each rate the
/// start follows in closed form, and the rate is found on a grid and then by golden section. None
/// for fewer than three
/// points, no dose above 0, or readings that do not fall.
pub fn decay(points: &[(f64, f64, f64)], shape: Shape) -> Option<Decay> {
    let top = points.iter().map(|p| p.0).fold(0.0, f64::max);
    if points.len() < 3
        || top <= 0.0
        || points
            .iter()
            .any(|p| !(p.0.is_finite() && p.1.is_finite() && p.2 > 0.0 && p.2.is_finite()))
    {
        return None;
    }
    let at = |log_rate: f64| {
        let rate = libm::exp(log_rate) / top;
        let (mut yf, mut ff) = (0.0, 0.0);
        for (d, y, w) in points {
            let f = shape.at(rate * d);
            yf += w * y * f;
            ff += w * f * f;
        }
        let start = if ff > 0.0 { yf / ff } else { 0.0 };
        let squares = points
            .iter()
            .map(|(d, y, w)| {
                w * (y - start * shape.at(rate * d)) * (y - start * shape.at(rate * d))
            })
            .sum();
        Decay {
            shape,
            start,
            rate,
            squares,
        }
    };
    // Rates from 1/100 to 300 over the ladder: flatter is no fall, steeper is over before the first
    // rung.
    let (from, step) = (-4.6, 0.172);
    let best = (0..=60)
        .map(|i| from + step * f64::from(i))
        .min_by(|a, b| at(*a).squares.total_cmp(&at(*b).squares))?;
    let golden = 0.618_033_988_749_894_9;
    let (mut low, mut high) = (best - step, best + step);
    for _ in 0..60 {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if at(a).squares <= at(b).squares {
            high = b;
        } else {
            low = a;
        }
    }
    let found = at((low + high) / 2.0);
    (best > from && found.start > 0.0 && found.squares.is_finite()).then_some(found)
}

/// The better of the two shapes.
pub fn best_decay(points: &[(f64, f64, f64)]) -> Option<Decay> {
    let both = [
        decay(points, Shape::Exponential),
        decay(points, Shape::Langmuir),
    ];
    both.into_iter()
        .flatten()
        .min_by(|a, b| a.squares.total_cmp(&b.squares))
}
