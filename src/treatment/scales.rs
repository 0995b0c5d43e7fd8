//! The fixed value scales: each turns one count into 0 (worst) to 1 (best), whatever the other
//! options are, so that
//! taking an option away never reorders the others. All are judgements of ours, shown as such.

use crate::dossier::Dossier;
use crate::knowledge::PROBLEMS;
use crate::wine::{Origin, Problem, Weights};

/// Money per hectolitre that is worth nothing on the scale.
pub const DEAREST_PER_HL: f64 = 100.0;
/// Days that are worth nothing on the scale.
pub const LONGEST_DAYS: f64 = 120.0;
/// Labour, money per hour, until the user gives his own. Judgement.
pub const LABOUR_PER_HOUR: f64 = 25.0;
/// Value of a wine, money per hectolitre, until the user gives it. Judgement.
pub const VALUE_PER_HL: f64 = 200.0;
/// What a day of delay costs, money per hectolitre, until the user gives it: tank, cellar and
/// tied-up money. Judgement.
pub const PER_DAY: f64 = 0.1;
/// Share of the wine's value that a point of impact costs (1 % of the aroma, colour or tannin),
/// until the user gives it.
/// Judgement.
pub const POINT_SHARE: f64 = 0.001;
/// Money per hectolitre taken for a product or service whose price is not known: low, middle, high.
/// Nothing would flatter it.
/// Judgement.
pub const UNKNOWN_PRICE: [f64; 3] = [0.2, 2.0, 10.0];
/// Volume of a lot in litres, until the user gives it. Judgement.
pub const LOT_LITRES: f64 = 1000.0;

/// The value of a wine, money per hectolitre: the user's own or [`VALUE_PER_HL`].
pub fn value(dossier: &Dossier) -> f64 {
    dossier.value_per_hl.given().unwrap_or(VALUE_PER_HL)
}

/// The lot in hectolitres: the user's own or [`LOT_LITRES`].
pub fn hectolitres(dossier: &Dossier) -> f64 {
    dossier.volume.given().unwrap_or(LOT_LITRES) / 100.0
}

/// What labour costs, money per hour: the user's own or [`LABOUR_PER_HOUR`].
pub fn per_hour(dossier: &Dossier) -> f64 {
    dossier.labour_per_hour.given().unwrap_or(LABOUR_PER_HOUR)
}

/// Share of its value that a wine loses when a problem is not met, 0 to 1: the user's own for the
/// problem, else the user's
/// own for all, else the figure of the tables.
pub fn loss_share(dossier: &Dossier, problem: Problem) -> f64 {
    let own = dossier.loss_by(problem).or(dossier.loss.given());
    own.unwrap_or_else(|| {
        PROBLEMS
            .iter()
            .find(|p| p.problem == problem)
            .map_or(0.0, |p| p.loss_percent.middle / 100.0)
    })
}

/// The same in money per hectolitre. One scale for the ranking by money, the worth of measuring,
/// shares and routes.
pub fn loss(dossier: &Dossier, problem: Problem) -> f64 {
    value(dossier) * loss_share(dossier, problem)
}

/// What a day of delay costs, money per hectolitre.
pub fn per_day(dossier: &Dossier) -> f64 {
    dossier.cost_per_day.given().unwrap_or(PER_DAY)
}

/// What a point of impact costs, money per hectolitre.
pub fn per_point(dossier: &Dossier) -> f64 {
    dossier
        .cost_per_point
        .given()
        .unwrap_or_else(|| POINT_SHARE * value(dossier))
}

/// What money, time and the four counts are worth in a wine: worked out once, for all its lists.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// The value of the wine, money per hectolitre.
    pub value: f64,
    /// The lot, hectolitres.
    pub hectolitres: f64,
    /// What labour costs, money per hour.
    pub per_hour: f64,
    /// What a day of delay costs, money per hectolitre.
    pub per_day: f64,
    /// What a point of impact costs, money per hectolitre.
    pub per_point: f64,
    /// Shares of the four weights, summing to 1.
    pub weights: [f64; 4],
    /// Whether the weights are as they came, so that they count as open.
    pub open: bool,
    /// Whether the lists go by money in place of the weights.
    pub by_money: bool,
}

impl Scales {
    /// Those of a wine.
    pub fn of(dossier: &Dossier) -> Scales {
        Scales {
            value: value(dossier),
            hectolitres: hectolitres(dossier),
            per_hour: per_hour(dossier),
            per_day: per_day(dossier),
            per_point: per_point(dossier),
            weights: weight_shares(dossier.weights),
            open: dossier.weights == Weights::default() && !dossier.by_money,
            by_money: dossier.by_money,
        }
    }
}

/// Shares of the four weights, summing to 1.
fn weight_shares(w: Weights) -> [f64; 4] {
    let weights = [w.effect, w.cost, w.time, w.origin].map(f64::from);
    let sum: f64 = weights.iter().sum();
    if sum > 0.0 {
        weights.map(|v| v / sum)
    } else {
        [0.25; 4]
    }
}

/// Value of a cost in money per hectolitre: 1 at nothing, 0 at [`DEAREST_PER_HL`], logarithmic
/// between. Never rises with
/// the cost.
pub fn cost(per_hl: f64) -> f64 {
    (1.0 - libm::log1p(per_hl.max(0.0)) / libm::log1p(DEAREST_PER_HL)).clamp(0.0, 1.0)
}

/// Value of a time in days: 1 at none, 0 at [`LONGEST_DAYS`], logarithmic between.
pub fn time(days: f64) -> f64 {
    (1.0 - libm::log1p(days.max(0.0)) / libm::log1p(LONGEST_DAYS)).clamp(0.0, 1.0)
}

/// Value of an origin: a stated ordinal. Nothing added 1; mineral, plant, yeast or fungus,
/// synthetic 0.75; milk and egg
/// 0.25; fish, animal and not known 0.
pub fn origin(origin: Origin) -> f64 {
    match origin {
        Origin::Nothing => 1.0,
        Origin::Mineral | Origin::Plant | Origin::Fungal | Origin::Synthetic => 0.75,
        Origin::Milk | Origin::Egg => 0.25,
        Origin::Fish | Origin::Animal | Origin::Unknown => 0.0,
    }
}

/// Value of an effect. `left` is the share of the quantity that stays. Without a band: the share
/// taken away. With a
/// value and a band: how much of the way to the band is covered, and less again for going past its
/// floor.
pub fn effect(left: f64, value: Option<f64>, floor: Option<f64>, ceiling: Option<f64>) -> f64 {
    let removed = (1.0 - left).clamp(0.0, 1.0);
    let (Some(value), Some(ceiling)) = (value, ceiling) else {
        return removed;
    };
    if value <= ceiling || value <= 0.0 {
        return removed;
    }
    let needed = 1.0 - ceiling / value;
    let covered = (removed / needed).clamp(0.0, 1.0);
    match floor {
        Some(floor) if value * left < floor && floor > 0.0 => {
            covered * (value * left / floor).clamp(0.0, 1.0)
        }
        _ => covered,
    }
}

/// Value of an effect on germs: how many of the powers of ten that are asked it brings. Where a
/// count shows that none is asked, all do.
pub fn logs(brings: f64, asked: f64) -> f64 {
    if asked <= 0.0 {
        return 1.0;
    }
    (brings / asked).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_fixed_and_monotone() {
        assert!((cost(0.0) - 1.0).abs() < 1e-12 && cost(100.0).abs() < 1e-12 && cost(1e9) == 0.0);
        assert!((1..400).all(|i| cost(f64::from(i) * 0.5) <= cost(f64::from(i - 1) * 0.5)));
        assert!((1..400).all(|i| time(f64::from(i)) <= time(f64::from(i - 1))));
    }

    #[test]
    fn too_clear_a_juice_is_worth_less() {
        // 400 NTU to a band of 50-200: three quarters off lands at 100, in the band; nearly all off
        // lands at 8, below it.
        let good = effect(0.25, Some(400.0), Some(50.0), Some(200.0));
        let starved = effect(0.02, Some(400.0), Some(50.0), Some(200.0));
        assert!(
            (good - 1.0).abs() < 1e-12 && starved < 0.2,
            "{good} {starved}"
        );
    }
}
