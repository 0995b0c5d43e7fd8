//! Molar masses, g/mol [13] of the sources of `chemistry`: concentrations are converted by them too.

/// Tartaric acid.
pub const TARTARIC: f64 = 150.09;
/// Malic acid.
pub const MALIC: f64 = 134.09;
/// Lactic acid.
pub const LACTIC: f64 = 90.08;
/// Succinic acid.
pub const SUCCINIC: f64 = 118.09;
/// Citric acid.
pub const CITRIC: f64 = 192.12;
/// Acetic acid.
pub const ACETIC: f64 = 60.05;
/// Sulfuric acid, of which a mole holds two equivalents.
pub const SULFURIC: f64 = 98.079;
/// Sulfur dioxide.
pub const SULFUR_DIOXIDE: f64 = 64.066;
/// Potassium.
pub const POTASSIUM: f64 = 39.098;
/// Potassium hydrogen tartrate.
pub const BITARTRATE: f64 = 188.18;
/// Calcium.
pub const CALCIUM: f64 = 40.078;
/// Potassium hydrogen carbonate.
pub const POTASSIUM_BICARBONATE: f64 = 100.115;
/// Calcium carbonate.
pub const CALCIUM_CARBONATE: f64 = 100.087;
/// Potassium metabisulfite.
pub const METABISULFITE: f64 = 222.32;
/// Grams of tartaric acid in one equivalent.
pub const TARTARIC_EQUIVALENT: f64 = 75.045;
