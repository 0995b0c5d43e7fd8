//! How much product a dose is for a volume.

use crate::knowledge::Dose;
use crate::units::{Litres, show};
use crate::wine::Basis;
use serde::Serialize;

/// An amount of product.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Amount {
    /// Product as sold, in grams or in millilitres.
    pub product: f64,
    /// True where `product` is in millilitres.
    pub liquid: bool,
    /// Active substance in it, g, where the product is a salt or a solution.
    pub active: Option<f64>,
}

/// The amount for a dose in the treatment's own unit and a volume. 60 g/hL in 5000 L are 3000 g;
/// 0.2 mg/L of copper in 1000 L
/// are 0.2 g of copper, 0.786 g of its sulfate. None where the basis is no dose, or counts an
/// active substance whose share
/// is not known.
pub fn amount(dose: &Dose, value: f64, volume: Litres) -> Option<Amount> {
    let (litres, share) = (volume.0, dose.active_share.filter(|s| *s > 0.0));
    let active = |grams: f64| share.map(|s| grams * s);
    let found = match dose.basis {
        Basis::GramsPerHl => value * litres / 100.0,
        Basis::MilligramsPerLitre => value * litres / 1000.0,
        Basis::MillilitresPerHl => {
            let product = value * litres / 100.0;
            return Some(Amount {
                product,
                liquid: true,
                active: active(product),
            });
        }
        Basis::CopperMgPerL | Basis::SorbicMgPerL | Basis::SulfurMgPerL => {
            let grams = value * litres / 1000.0;
            return Some(Amount {
                product: grams / share?,
                liquid: false,
                active: Some(grams),
            });
        }
        Basis::NoDose => return None,
    };
    Some(Amount {
        product: found,
        liquid: false,
        active: active(found),
    })
}

impl Amount {
    /// “3 kg”, “786 mg”, “1.5 L”.
    pub fn words(&self) -> String {
        if self.liquid {
            scaled(self.product, "L", "mL")
        } else {
            grams(self.product)
        }
    }
}

/// Grams in the unit a balance shows.
pub fn grams(g: f64) -> String {
    scaled(g, "kg", "g")
}

fn scaled(value: f64, large: &str, small: &str) -> String {
    if value >= 1000.0 {
        format!("{} {large}", show::fixed(value / 1000.0, 3))
    } else {
        // Small masses keep their figures: half a gram of a copper salt is no rounding matter.
        let places = if value >= 100.0 {
            0
        } else if value >= 10.0 {
            1
        } else if value >= 1.0 {
            2
        } else {
            3
        };
        format!("{} {small}", show::fixed(value, places))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn masses_are_shown_as_a_balance_shows_them() {
        assert_eq!(
            (
                grams(3000.0).as_str(),
                grams(0.786).as_str(),
                grams(12.34).as_str()
            ),
            ("3 kg", "0.786 g", "12.3 g")
        );
        assert_eq!(
            Amount {
                product: 1500.0,
                liquid: true,
                active: None
            }
            .words(),
            "1.5 L"
        );
        assert_eq!(grams(f64::NAN), "– g");
    }
}
