//! Potassium bitartrate: how much stays dissolved, how far a wine is above that, and what falling
//! crystals do to it.
//!
//! All of it is a driving force: colloids of real wine hold two to three times what pure alcohol
//! and water do.

use super::acid::{Acid, HANDBOOK_TARTARIC, Species};
use super::balance::Solution;
use super::solvent::Medium;
use super::{Answer, NoAnswer, molar, root, within};
use crate::units::{Celsius, GPerL, MgPerL, MolPerL, PercentVol, Ph, TartaricGPerL};

/// Solubility product of activities, (mol/L)²: `ln Ksp = 13.333 − 6200/T − 0.1156·a`, −5 to 30 °C
/// (read to 40), 0 to 20 %
/// vol [5]; known to ±15 %. 12 % vol, 0 °C: 2.14·10⁻⁵.
pub fn solubility_product(temperature: Celsius, alcohol: PercentVol) -> Answer<f64> {
    within("temperature, °C", temperature.0, -6.0, 40.0)?;
    within("alcohol, % vol", alcohol.0, 0.0, 20.0)?;
    Ok(libm::exp(
        13.333 - 6200.0 / temperature.kelvin() - 0.1156 * alcohol.0,
    ))
}

/// Concentration product of potassium and bitartrate that is just saturated in a medium, (mol/L)²:
/// the solubility product
/// over the square of the activity at that temperature [4, 5]. 12 % vol, 0 °C: 3.24·10⁻⁵.
pub fn saturated_product(m: Medium) -> Answer<f64> {
    let g = m.checked()?.activity(1);
    Ok(solubility_product(m.temperature, m.alcohol)? / (g * g))
}

/// Coldest at which saturation is sought, °C.
const LEAST_SOUGHT: f64 = -6.0;
/// Warmest, °C.
const MOST_SOUGHT: f64 = 40.0;

/// Where the temperature at which a wine is just saturated lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Saturation {
    /// Above 40 °C: the most unstable wines.
    Above,
    /// There.
    At(Celsius),
    /// Below −6 °C: the most stable.
    Below,
}

/// A wine as this file needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tartrate {
    /// Acids closed to the measured pH, at 20 °C.
    pub solution: Solution,
    /// Potassium, mol/L.
    pub potassium: f64,
}

impl Tartrate {
    /// From potassium in mg/L. No equation. Where potassium alone carries more charge than all
    /// cations together can, the analyses contradict each other.
    pub fn new(solution: Solution, potassium: MgPerL) -> Answer<Tartrate> {
        within("potassium, mg/L", potassium.0, 0.0, 10_000.0)?;
        let potassium = potassium.0 / 1000.0 / molar::POTASSIUM;
        // A tenth is left for the errors of the analyses.
        if potassium > solution.net_cations * 1.1 + 0.001 {
            return Err(NoAnswer::Contradiction(
                "more potassium than the acids and the pH leave room for: check pH, potassium and tartaric acid",
            ));
        }
        Ok(Tartrate {
            solution,
            potassium,
        })
    }

    fn tartaric(&self) -> f64 {
        self.solution.amount(Acid::Tartaric).0
    }

    /// Potassium, mg/L. No equation.
    pub fn potassium(&self) -> MgPerL {
        MgPerL(self.potassium * molar::POTASSIUM * 1000.0)
    }

    /// Concentration product `[K]·[tartaric]·share of bitartrate`, (mol/L)², by the constants of
    /// this program [1, 4], by definition.
    pub fn product(&self) -> Answer<f64> {
        let share = Species::of(
            Acid::Tartaric.mixed(self.solution.medium),
            self.solution.ph()?,
        )
        .share;
        let [_, bitartrate, ..] = share;
        Ok(self.potassium * self.tartaric() * bitartrate)
    }

    /// The same by the handbook's constants, to hold against limits that were set with them. K 315
    /// mg/L, tartaric acid 2.433
    /// g/L, pH 3.11: 6.83·10⁻⁵ [2].
    pub fn handbook_product(&self) -> Answer<f64> {
        let [_, bitartrate, ..] = Species::of(HANDBOOK_TARTARIC, self.solution.ph()?).share;
        Ok(self.potassium * self.tartaric() * bitartrate)
    }

    /// Supersaturation at a temperature: the square root of the product over the saturated one; 1
    /// is just saturated. By definition.
    pub fn supersaturation(&self, temperature: Celsius) -> Answer<f64> {
        Ok(libm::sqrt(
            self.product()? / saturated_product(self.solution.medium.at(temperature))?,
        ))
    }

    /// Where the temperature at which it is just saturated lies, sought between −6 and 40 °C,
    /// derived from the product and the saturated one [5]; about ±3 °C before colloids.
    pub fn saturation(&self) -> Answer<Saturation> {
        let product = self.product()?;
        let saturated = |t: f64| saturated_product(self.solution.medium.at(Celsius(t)));
        if product > saturated(MOST_SOUGHT)? {
            return Ok(Saturation::Above);
        }
        if product < saturated(LEAST_SOUGHT)? {
            return Ok(Saturation::Below);
        }
        root::between(LEAST_SOUGHT, MOST_SOUGHT, |t| {
            saturated(t).map_or(f64::NAN, |s| libm::log(s / product))
        })
        .map(|t| Saturation::At(Celsius(t)))
        .ok_or(NoAnswer::NeverReached("no saturated state was found"))
    }

    /// The same as a figure, derived from it; none where it lies above or below what is sought.
    pub fn saturation_temperature(&self) -> Answer<Celsius> {
        match self.saturation()? {
            Saturation::At(t) => Ok(t),
            Saturation::Above => Err(NoAnswer::NeverReached("saturated above 40 °C")),
            Saturation::Below => Err(NoAnswer::NeverReached("saturated below −6 °C")),
        }
    }

    /// The wine after so much bitartrate has fallen: each g/L takes 207.8 mg/L of potassium, 0.798
    /// g/L of tartaric acid and
    /// 0.40 g/L of titratable acidity [13]; the pH follows from the charge balance.
    pub fn after_removing(&self, removed: GPerL) -> Answer<Tartrate> {
        let x =
            within("bitartrate removed, g/L", removed.0, 0.0, self.most().0)? / molar::BITARTRATE;
        let mut next = *self;
        next.potassium = (next.potassium - x).max(0.0);
        next.solution = next
            .solution
            .with(Acid::Tartaric, MolPerL((self.tartaric() - x).max(0.0)));
        next.solution.net_cations -= x;
        Ok(next)
    }

    /// The most that could ever fall, g/L: all the potassium or all the tartaric acid [2, 13]. 780
    /// mg/L of potassium: 3.76.
    pub fn most(&self) -> GPerL {
        GPerL(self.potassium.min(self.tartaric()).max(0.0) * molar::BITARTRATE)
    }

    /// What would fall down to saturation at a temperature, g/L, derived from the saturated product
    /// [5]: an upper bound, since real cold
    /// gives half to two thirds of
    /// it. Nothing where it is not supersaturated.
    pub fn excess(&self, temperature: Celsius) -> Answer<GPerL> {
        let saturated = saturated_product(self.solution.medium.at(temperature))?;
        if self.product()? <= saturated {
            return Ok(GPerL(0.0));
        }
        let over = |x: f64| {
            self.after_removing(GPerL(x))
                .and_then(|w| w.product())
                .map_or(f64::NAN, |p| p - saturated)
        };
        // All but a trace, where the product has vanished.
        root::between(0.0, self.most().0 * (1.0 - 1e-9), over)
            .map(GPerL)
            .ok_or(NoAnswer::Contradiction("no saturated state was found"))
    }

    /// Titratable acidity to pH 7, as tartaric acid. No equation: that of its solution.
    pub fn titratable_acidity(&self) -> Answer<TartaricGPerL> {
        self.solution.titratable_acidity(Ph(7.0))
    }
}

/// One point of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Bitartrate removed so far, g/L.
    pub removed: f64,
    /// pH.
    pub ph: f64,
    /// Potassium, mg/L.
    pub potassium: f64,
    /// Tartaric acid, g/L.
    pub tartaric: f64,
    /// Titratable acidity to pH 7, g/L as tartaric acid.
    pub titratable_acidity: f64,
    /// Concentration product, (mol/L)².
    pub product: f64,
}

/// What crystals that fall do to a wine, worked out once and read at any point.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    points: Vec<Point>,
}

/// Steps of a path.
const STEPS: u32 = 24;

impl Path {
    /// From the wine down to saturation at −5 °C, or to nothing: derived from
    /// [`Tartrate::after_removing`], point by point.
    pub fn of(wine: &Tartrate) -> Answer<Path> {
        let end = wine.excess(Celsius(-5.0))?.0;
        let points = (0..=STEPS)
            .map(|i| {
                let removed = end * f64::from(i) / f64::from(STEPS);
                let w = wine.after_removing(GPerL(removed))?;
                Ok(Point {
                    removed,
                    ph: w.solution.ph()?.0,
                    potassium: w.potassium().0,
                    tartaric: w.tartaric() * molar::TARTARIC,
                    titratable_acidity: w.titratable_acidity()?.0,
                    product: w.product()?,
                })
            })
            .collect::<Answer<Vec<Point>>>()?;
        Ok(Path { points })
    }

    /// The points. No equation.
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// The point at which so much has fallen, derived from the two nearest in a line.
    pub fn at(&self, removed: GPerL) -> Answer<Point> {
        let end = self.points.last().map_or(0.0, |p| p.removed);
        let x = within("bitartrate removed, g/L", removed.0, 0.0, end)?;
        let after = self.points.iter().position(|p| p.removed >= x).unwrap_or(0);
        let (Some(b), Some(a)) = (
            self.points.get(after),
            self.points.get(after.saturating_sub(1)),
        ) else {
            return Err(NoAnswer::Contradiction("an empty path"));
        };
        let share = if b.removed > a.removed {
            (x - a.removed) / (b.removed - a.removed)
        } else {
            0.0
        };
        let mix = |p: f64, q: f64| p + (q - p) * share;
        Ok(Point {
            removed: x,
            ph: mix(a.ph, b.ph),
            potassium: mix(a.potassium, b.potassium),
            tartaric: mix(a.tartaric, b.tartaric),
            titratable_acidity: mix(a.titratable_acidity, b.titratable_acidity),
            product: mix(a.product, b.product),
        })
    }
}

/// What a falling of bitartrate does to the pH.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// It falls.
    Falls,
    /// It rises.
    Rises,
    /// Too near the turning point (0.05) to say.
    NotSaid,
}

/// The sign of the pH change, derived from the turning point of the medium; that it is not said
/// within 0.05 of it is judgement.
pub fn ph_sign(m: Medium, ph: Ph) -> Answer<Sign> {
    within("pH", ph.0, 2.0, 5.0)?;
    let away = ph.0 - super::acid::turning_point(m)?.0;
    Ok(if away.abs() <= 0.05 {
        Sign::NotSaid
    } else if away < 0.0 {
        Sign::Falls
    } else {
        Sign::Rises
    })
}

/// Pure bitartrate in alcohol and water, with the ionic strength that its own ions make, `½·Σ
/// c·z²`, by definition. 0.0341 mol/L in water
/// at 25 °C: pH 3.554 (standard 3.557).
pub fn pure(temperature: Celsius, alcohol: PercentVol, salt: MolPerL) -> Answer<Solution> {
    let s = within("bitartrate, mol/L", salt.0, 1e-6, 0.2)?;
    let mut acids = [0.0; 6];
    if let Some(t) = acids.first_mut() {
        *t = s;
    }
    let medium = Medium {
        temperature,
        alcohol,
        ionic_strength: MolPerL(s),
    };
    Solution {
        medium,
        acids,
        net_cations: s,
    }
    .with_own_ions()
}

/// Solubility of pure bitartrate in alcohol and water, g/L [5]. 12 % vol, 20 °C: 2.66 (2.77
/// published); water, 20 °C: 5.52 (5.7 published).
pub fn solubility(temperature: Celsius, alcohol: PercentVol) -> Answer<GPerL> {
    let product = solubility_product(temperature, alcohol)?;
    let over = |s: f64| {
        let Ok(solution) = pure(temperature, alcohol, MolPerL(s)) else {
            return f64::NAN;
        };
        let Ok(ph) = solution.ph() else {
            return f64::NAN;
        };
        let m = solution.medium;
        let [_, bitartrate, ..] = Species::of(Acid::Tartaric.mixed(m), ph).share;
        let g = m.activity(1);
        s * s * bitartrate * g * g - product
    };
    root::between(1e-4, 0.08, over)
        .map(|s| GPerL(s * molar::BITARTRATE))
        .ok_or(NoAnswer::Contradiction("no solubility was found"))
}
