//! Filterability: indices of a test cell, capacity, area for a lot.

use super::{Answer, NoAnswer, within};
use crate::units::{
    Celsius, Flux, GramsPerHl, Hours, KgPerM2, Kilograms, Litres, Millilitres, Millimetres,
    Minutes, Seconds, SquareCentimetres, SquareMetres,
};

/// Filtration (clogging) index, s: `T400 − 2·T200`, 2 bar, 0.65 µm, 25 mm [11]. 63 and 133 s: 7.
pub fn index(t200: Seconds, t400: Seconds) -> Answer<Seconds> {
    within("time for 200 mL, s", t200.0, 1.0, 100_000.0)?;
    within("time for 400 mL, s", t400.0, t200.0, 1_000_000.0)?;
    Ok(Seconds(t400.0 - 2.0 * t200.0))
}

/// Modified index, s: `T300 − 2·T200 + T100` (from memory). 30, 63, 99: 3.
pub fn modified_index(t100: Seconds, t200: Seconds, t300: Seconds) -> Answer<Seconds> {
    within("time for 100 mL, s", t100.0, 0.5, 100_000.0)?;
    within("time for 200 mL, s", t200.0, t100.0, 1_000_000.0)?;
    within("time for 300 mL, s", t300.0, t200.0, 1_000_000.0)?;
    Ok(Seconds(t300.0 - 2.0 * t200.0 + t100.0))
}

/// What an index means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filterability {
    /// Below 25 s.
    VeryGood,
    /// 25 to 50 s: size the filter up.
    Acceptable,
    /// 50 to 100 s: filter before.
    Poor,
    /// From 100 s: do not run.
    Stop,
}

/// Class of the 0.65 µm index; a value on the line takes the worse class [11].
pub fn class(index: Seconds) -> Answer<Filterability> {
    let i = within("index, s", index.0, -1000.0, 1e6)?;
    Ok(if i < 25.0 {
        Filterability::VeryGood
    } else if i < 50.0 {
        Filterability::Acceptable
    } else if i < 100.0 {
        Filterability::Poor
    } else {
        Filterability::Stop
    })
}

/// Volume at which a disc blocks, mL, from two volumes: `(t2 − t1)/(t2/V2 − t1/V1)` (gradual
/// blocking [11]). 380 mL at 2 min and
/// 850 at 5: 4845.
pub fn vmax(first: (Minutes, Millilitres), second: (Minutes, Millilitres)) -> Answer<Millilitres> {
    vmax_line(&[first, second]).map(|line| line.vmax)
}

/// The line of t/V against t.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockingLine {
    /// Volume at which it blocks.
    pub vmax: Millilitres,
    /// Flow at the start, mL a minute.
    pub start_flow: f64,
}

/// Vmax from several points (time, mL): the slope of t/V over t is 1/Vmax, its height at 0 is 1/Q0.
/// Least squares [11]. 1 to 5 min
/// with 187, 353, 500, 632, 750 mL: 3029 mL and 200 mL/min.
pub fn vmax_line(points: &[(Minutes, Millilitres)]) -> Answer<BlockingLine> {
    within("points", points.len() as f64, 2.0, 1000.0)?;
    let mut sums = [0.0; 4];
    for (Minutes(t), Millilitres(v)) in points {
        within("time, min", *t, 1e-3, 1e6)?;
        within("volume, mL", *v, 1e-3, 1e7)?;
        let [x, y, xx, xy] = &mut sums;
        (*x, *y, *xx, *xy) = (*x + t, *y + t / v, *xx + t * t, *xy + t * t / v);
    }
    let n = points.len() as f64;
    let [x, y, xx, xy] = sums;
    let spread = n * xx - x * x;
    let slope = (n * xy - x * y) / spread;
    let height = (y - slope * x) / n;
    if !(spread > 0.0 && slope > 0.0 && height > 0.0) {
        return Err(NoAnswer::Contradiction(
            "these points do not slow down: no volume blocks the disc",
        ));
    }
    Ok(BlockingLine {
        vmax: Millilitres(1.0 / slope),
        start_flow: 1.0 / height,
    })
}

/// Share of the starting flow that is left when a share of Vmax has passed: `(1 − V/Vmax)²`
/// [11]. Half: 25 %.
pub fn flow_left(share_of_vmax: f64) -> Answer<f64> {
    let s = 1.0 - within("share of Vmax", share_of_vmax, 0.0, 1.0)?;
    Ok(s * s)
}

/// What a lot asks of a membrane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizing {
    /// Litres a square metre holds before it blocks.
    pub capacity: f64,
    /// Area for the lot.
    pub area: SquareMetres,
}

/// Area of a membrane: capacity `10·Vmax/EFA` L/m², area `V/(capacity·f)`, f the share of Vmax used
/// (0.5) [11]. Vmax 3000 mL on
/// 4.9 cm², 10 000 L: 6122 L/m² and 3.27 m². A disc promises more than a pleated cartridge keeps.
pub fn sizing(
    vmax: Millilitres,
    disc: SquareCentimetres,
    lot: Litres,
    share_used: f64,
) -> Answer<Sizing> {
    let capacity = 10.0 * within("Vmax, mL", vmax.0, 1.0, 1e6)?
        / within("area of the disc, cm²", disc.0, 0.5, 200.0)?;
    let area = within("volume, L", lot.0, 0.0, 1e8)?
        / (capacity * within("share of Vmax used", share_used, 0.05, 1.0)?);
    Ok(Sizing {
        capacity,
        area: SquareMetres(area),
    })
}

/// Pieces (cartridges, sheets) of an area that make up what is needed, by definition: 3.27 m² in
/// pieces of 0.6 m² are 6.
pub fn pieces(area: SquareMetres, each: SquareMetres) -> Answer<u32> {
    let n =
        within("area, m²", area.0, 0.0, 1e5)? / within("area of a piece, m²", each.0, 0.01, 100.0)?;
    Ok(libm::ceil(n - 1e-9).max(1.0) as u32)
}

/// Time for a lot at a flux of L/m²/h, which falls with the viscosity [9] where the wine is not at
/// 20 °C. 200 hL on 20 m² at 40:
/// 25 h.
pub fn time(lot: Litres, area: SquareMetres, flux: Flux, temperature: Celsius) -> Answer<Hours> {
    let slower =
        super::settling::viscosity(temperature)? / super::settling::viscosity(Celsius(20.0))?;
    let running =
        within("area, m²", area.0, 0.01, 1e5)? * within("flux, L/m²/h", flux.0, 0.1, 10_000.0)?;
    Ok(Hours(
        within("volume, L", lot.0, 0.0, 1e8)? / running * slower,
    ))
}

/// Flow ratio of two windows of a minute at the same pressure (30 to 90 s over 120 to 180 s, 0.45
/// µm): to 1.5 it runs, to 2.0
/// slow down, above filter again [11]. 120 mL then 70: 1.71.
pub fn flow_ratio(first: Millilitres, second: Millilitres) -> Answer<f64> {
    Ok(within("first volume, mL", first.0, 0.0, 1e6)?
        / within("second volume, mL", second.0, 0.1, 1e6)?)
}

/// Filter earth for a lot, kg, by definition: precoat on the area and body feed with the wine. 10
/// m² at 1.0 kg/m², 200 hL at 80 g/hL: 26 kg.
pub fn earth(
    area: SquareMetres,
    precoat: KgPerM2,
    lot: Litres,
    body_feed: GramsPerHl,
) -> Answer<Kilograms> {
    let coat =
        within("area, m²", area.0, 0.0, 1000.0)? * within("precoat, kg/m²", precoat.0, 0.0, 5.0)?;
    Ok(Kilograms(
        coat + within("volume, L", lot.0, 0.0, 1e8)? / 100.0
            * within("body feed, g/hL", body_feed.0, 0.0, 1000.0)?
            / 1000.0,
    ))
}

/// Wine that sheets hold, L, by definition: area, thickness in mm and the share that is void (0.8).
/// 60 of 0.16 m²,
/// 3.8 mm: 29.
pub fn held(area: SquareMetres, thickness: Millimetres, void: f64) -> Answer<Litres> {
    let a = within("area, m²", area.0, 0.0, 10_000.0)?;
    Ok(Litres(
        a * within("thickness, mm", thickness.0, 0.1, 20.0)?
            * within("void share", void, 0.0, 1.0)?,
    ))
}
