//! Units, ranges and words of each quantity that can be known of a wine.

use super::words::Quantity;
use crate::units::read::{ACETIC, TARTARIC};

/// What a quantity is measured in and between which values a reading is believable.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuantityFacts {
    /// Unit on screen and in files; empty where there is none.
    pub unit: &'static str,
    /// Least reading that is taken.
    pub least: f64,
    /// Greatest reading that is taken.
    pub most: f64,
    /// Decimals shown.
    pub decimals: u32,
    /// Whether the page asks for it (the others are followed through the treatments only).
    pub asked: bool,
}

impl Quantity {
    /// Unit, believable range and decimals. The ranges refuse slips of the pen, not unusual wines.
    pub const fn facts(self) -> QuantityFacts {
        let (unit, least, most, decimals, asked) = match self {
            Quantity::Ph => ("", 2.5, 4.6, 2, true),
            Quantity::Alcohol => ("% vol", 0.0, 25.0, 1, true),
            Quantity::TitratableAcidity => ("g/L", 1.0, 20.0, 1, true),
            Quantity::FreeSo2 => ("mg/L", 0.0, 200.0, 0, true),
            Quantity::TotalSo2 => ("mg/L", 0.0, 500.0, 0, true),
            Quantity::Sugar => ("g/L", 0.0, 500.0, 1, true),
            Quantity::Malic => ("g/L", 0.0, 15.0, 2, true),
            Quantity::Turbidity => ("NTU", 0.0, 5000.0, 1, true),
            Quantity::HeatRise => ("NTU", 0.0, 500.0, 1, true),
            Quantity::Potassium => ("mg/L", 100.0, 4000.0, 0, true),
            Quantity::Tartaric => ("g/L", 0.0, 12.0, 2, true),
            Quantity::Calcium => ("mg/L", 0.0, 400.0, 0, true),
            Quantity::Copper => ("mg/L", 0.0, 20.0, 2, true),
            Quantity::Iron => ("mg/L", 0.0, 50.0, 1, true),
            Quantity::ConductivityDrop => ("%", 0.0, 60.0, 1, true),
            Quantity::CloggingIndex => ("s", 0.0, 2000.0, 0, true),
            Quantity::VolatileAcidity => ("g/L", 0.0, 6.0, 2, true),
            Quantity::Oxygen => ("mg/L", 0.0, 20.0, 1, true),
            Quantity::CarbonDioxide => ("mg/L", 0.0, 12_000.0, 0, true),
            Quantity::StorageTemperature => ("°C", -6.0, 45.0, 0, true),
            Quantity::HeatRiseMild | Quantity::HeatRiseHard => ("NTU", 0.0, 500.0, 1, true),
            Quantity::BrettCells => ("cells/mL", 0.0, 1e7, 0, true),
            Quantity::YeastCells => ("cells/mL", 0.0, 1e9, 0, true),
            Quantity::YeastPlate | Quantity::BacteriaPlate | Quantity::BrettPlate => {
                ("", 0.0, 1e6, 0, true)
            }
            Quantity::Ethylphenol => ("µg/L", 0.0, 20_000.0, 0, true),
            Quantity::AceticRise => ("g/L", 0.0, 3.0, 2, true),
            Quantity::Vmax => ("mL", 50.0, 100_000.0, 0, true),
            Quantity::SaturationTemperature => ("°C", -10.0, 45.0, 1, true),
            Quantity::PinkRise => ("mAU", 0.0, 1000.0, 0, true),
            // Answered with yes (1) or no (0).
            Quantity::ColdHold
            | Quantity::ColdColour
            | Quantity::Ullage
            | Quantity::CopperGlass
            | Quantity::AscorbicGlass
            | Quantity::Thin
            | Quantity::BrownsInAir => ("", 0.0, 1.0, 0, true),
            Quantity::MolecularSo2 => ("mg/L", 0.0, 10.0, 2, false),
            Quantity::Sodium => ("mg/L", 0.0, 500.0, 0, false),
            Quantity::AddedProtein => ("mg/L", 0.0, 10_000.0, 0, false),
            Quantity::Water => ("mL/L", 0.0, 1000.0, 1, false),
            Quantity::Bitter
            | Quantity::Astringent
            | Quantity::Brown
            | Quantity::Pink
            | Quantity::Colour
            | Quantity::Odour
            | Quantity::Aroma
            | Quantity::Tannin
            | Quantity::Germs
            | Quantity::Yeast
            | Quantity::Brett
            | Quantity::Sulfides
            | Quantity::Deposit
            | Quantity::Laccase
            | Quantity::Smoke
            | Quantity::Mousy => ("", 0.0, 1.0, 2, false),
        };
        QuantityFacts {
            unit,
            least,
            most,
            decimals,
            asked,
        }
    }

    /// The unit that a number typed for it is read in: an acidity names the acid that it is counted
    /// in.
    pub const fn read_in(self) -> &'static str {
        match self {
            Quantity::TitratableAcidity => TARTARIC,
            Quantity::VolatileAcidity | Quantity::AceticRise => ACETIC,
            other => other.facts().unit,
        }
    }

    /// Whether it is answered with yes or no.
    pub fn is_yes_no(self) -> bool {
        let facts = self.facts();
        facts.asked && facts.most <= 1.0
    }
}
