//! Cold: the freezing point, the energy of chilling, settling.

use super::*;
use crate::case::Case;
use crate::chemistry::cold::{Chilling, coldest_target, freezing_point};
use crate::chemistry::settling;
use crate::units::*;

/// The coldest that this wine bears, °C, one figure for order, table and page: half a degree above
/// its own freezing point. Where
/// that cannot be worked out, what to do first.
pub fn coldest(case: &Case) -> Result<f64, String> {
    let find = |why: &str| {
        format!(
            "Find this wine's freezing point first, by cooling a sample until ice shows: {why}."
        )
    };
    let Some(alcohol) = measured(case, Quantity::Alcohol) else {
        return Err(find("its alcohol is not known"));
    };
    coldest_target(PercentVol(alcohol), sugar(case))
        .map(|c| c.0)
        .map_err(|e| find(&no_answer(&e)))
}

/// Its sugar; none where nobody measured it, since a dry wine freezes first.
fn sugar(case: &Case) -> GPerL {
    GPerL(measured(case, Quantity::Sugar).unwrap_or(0.0))
}

/// Electricity to chill a lot and hold it 10 days, kWh per hL: insulated, insulated, bare. It
/// stands in place of the figure in
/// the tables where volume and alcohol are known.
pub fn chilling_energy(case: &Case, to: Option<f64>) -> Option<[f64; 3]> {
    let litres = case.volume.given()?;
    let alcohol = PercentVol(measured(case, Quantity::Alcohol)?);
    let sugar = sugar(case);
    let coldest = coldest(case).ok()?;
    let to = Celsius(to.map_or(coldest, |t| t.max(coldest)));
    let days = if to.0 < -1.0 { 10.0 } else { 1.0 };
    let kwh = |wall: f64, performance: f64| {
        let tank = Chilling {
            volume: Litres(litres),
            alcohol,
            sugar,
            from: Celsius(15.0),
            to,
            around: Celsius(15.0),
            wall: WallHeat(wall),
        };
        let heat = KiloWattHours(tank.heat().ok()?.0 + tank.ingress(Days(days)).ok()?.0);
        Some(Chilling::electricity(heat, performance).ok()?.0 / (litres / 100.0))
    };
    Some([kwh(0.3, 3.0)?, kwh(0.3, 2.5)?, kwh(6.0, 2.0)?])
}

pub(super) fn work(case: &Case, f: &mut Findings) {
    const FREEZE: &str = "ethanol and water, less 1.86 °C for each mol/kg of solutes (0.25) and sugar; the target is half a degree above";
    const ENERGY: &str = "mass × heat capacity (4.2 to 4.4 kJ/(kg·K)) × fall, and U·A·ΔT through the wall: 0.3 W/(m²·K) insulated, 6 bare; coefficient of performance 2.5";
    let Some(alcohol) = measured(case, Quantity::Alcohol).map(PercentVol) else {
        f.lacks("Alcohol", "the freezing point and the coldest target");
        return;
    };
    if case.style == Some(Style::Juice) || case.stage == Some(Stage::Juice) {
        return;
    }
    let mut assumed = Vec::new();
    if measured(case, Quantity::Sugar).is_none() {
        assumed.push("dry".into());
    }
    let sugar = sugar(case);
    let target = coldest(case);
    let value = match (freezing_point(alcohol, sugar), &target) {
        (Ok(p), Ok(t)) => format!(
            "{} °C; chill to {} °C, and not lower, which would freeze it",
            show::fixed(p.0, 1),
            show::fixed(*t, 1)
        ),
        (_, Err(first)) => first.clone(),
        (Err(e), _) => no_answer(&e),
    };
    f.say(
        "Freezing point, and the coldest target",
        value,
        FREEZE,
        assumed.clone(),
    );
    if let (Some(litres), Ok(to)) = (case.volume.given(), target.map(Celsius)) {
        assumed.push("from 15 °C in a cellar of 15 °C, held 10 days".into());
        let tank = Chilling {
            volume: Litres(litres),
            alcohol,
            sugar,
            from: Celsius(15.0),
            to,
            around: Celsius(15.0),
            wall: WallHeat(0.3),
        };
        let kwh = |wall: f64| {
            let tank = Chilling {
                wall: WallHeat(wall),
                ..tank
            };
            let heat = KiloWattHours(tank.heat()?.0 + tank.ingress(Days(10.0))?.0);
            Ok(Chilling::electricity(heat, 2.5)?.0)
        };
        f.answer(
            "Electricity to chill this lot",
            kwh(0.3).and_then(|a| Ok((a, kwh(6.0)?))),
            ENERGY,
            assumed,
            |(a, b): (f64, f64)| {
                format!(
                    "{} kWh insulated, {} bare",
                    show::fixed(a, 0),
                    show::fixed(b, 0)
                )
            },
        );
    }
    let metre = |diameter: f64, heavier: f64| {
        settling::days_to_fall(
            Millimetres(1000.0),
            Micrometres(diameter),
            KgPerM3(heavier),
            Celsius(12.0),
            Percent(0.5),
        )
    };
    let fall = metre(5.0, 105.0).and_then(|y| Ok((y, metre(20.0, 60.0)?)));
    f.answer(
        "Days to fall a metre at 12 °C",
        fall,
        "Stokes, wine viscosity after Yanniotis; a drift in the tank undoes it, and single bacteria never fall",
        Vec::new(),
        |(y, c)| format!("{} for a yeast cell of 5 µm, {} for a clump of 20 µm", show::fixed(y.0, 0), show::fixed(c.0, 1)),
    );
}
