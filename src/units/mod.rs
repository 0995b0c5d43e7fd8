//! Numbers, units and days at the borders: reading what was typed, showing what was worked out.

pub mod bind;
pub mod comma;
pub mod day;
pub mod molar;
pub mod read;
pub mod show;
pub mod step;
pub mod us;

/// US gallon in litres (exact by definition of the inch).
pub const LITRES_PER_US_GALLON: f64 = 3.785_411_784;
/// Avoirdupois pound in grams (exact).
pub const GRAMS_PER_POUND: f64 = 453.592_37;

/// Litres: the volume of a lot.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Litres(pub f64);

impl Litres {
    /// In hectolitres.
    pub fn hectolitres(self) -> f64 {
        self.0 / 100.0
    }
}

/// Grams per hectolitre: the trade's unit of dose.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct GramsPerHl(pub f64);

impl GramsPerHl {
    /// In pounds per 1000 US gallons; 1 lb/1000 gal is 11.9826 g/hL.
    pub fn pounds_per_1000_gallons(self) -> f64 {
        self.0 / (GRAMS_PER_POUND / (1000.0 * LITRES_PER_US_GALLON) * 100.0)
    }
    /// From pounds per 1000 US gallons.
    pub fn from_pounds_per_1000_gallons(pounds: f64) -> GramsPerHl {
        GramsPerHl(pounds * GRAMS_PER_POUND / (1000.0 * LITRES_PER_US_GALLON) * 100.0)
    }
    /// In mg/L: 1 g/hL is 10 mg/L.
    pub fn milligrams_per_litre(self) -> f64 {
        self.0 * 10.0
    }
    /// Millilitres of stock for a glass: `v = D·V / (1000·p)`, D g/hL, V mL of wine, p % w/v (g per
    /// 100 mL).
    /// None where the strength or the volume is not above 0.
    pub fn stock_millilitres(self, wine_ml: f64, stock_percent: f64) -> Option<f64> {
        (stock_percent > 0.0 && wine_ml > 0.0).then(|| self.0 * wine_ml / (1000.0 * stock_percent))
    }
}

macro_rules! quantity {
    ($($(#[$meta:meta])* $name:ident;)*) => {$(
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub f64);
    )*};
}

quantity! {
    /// Degrees Celsius.
    Celsius;
    /// Alcohol, % of the volume.
    PercentVol;
    /// pH, an activity.
    Ph;
    /// Grams per litre.
    GPerL;
    /// Milligrams per litre.
    MgPerL;
    /// Moles per litre.
    MolPerL;
    /// Grams of tartaric acid per litre, the measure of titratable acidity.
    TartaricGPerL;
    /// Days.
    Days;
    /// Hours.
    Hours;
    /// Minutes.
    Minutes;
    /// Seconds.
    Seconds;
    /// Kilowatt hours.
    KiloWattHours;
    /// Kilowatts.
    KiloWatts;
    /// Watts per square metre and kelvin.
    WallHeat;
    /// Millilitres.
    Millilitres;
    /// Square metres.
    SquareMetres;
    /// Square centimetres.
    SquareCentimetres;
    /// Centimetres.
    Centimetres;
    /// Millimetres.
    Millimetres;
    /// Micrometres.
    Micrometres;
    /// Kilograms.
    Kilograms;
    /// Kilograms per square metre.
    KgPerM2;
    /// Kilograms per cubic metre.
    KgPerM3;
    /// Litres per square metre and hour.
    Flux;
    /// Microsiemens per centimetre.
    MicroSiemens;
    /// Turbidity units.
    Ntu;
    /// Percent.
    Percent;
}

impl Celsius {
    /// In kelvin.
    pub fn kelvin(self) -> f64 {
        self.0 + 273.15
    }
}
