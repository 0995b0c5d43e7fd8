//! What must hold for any solution: charge and mass close, directions are right, no float gives no
//! number.
#![allow(clippy::unwrap_used, missing_docs)]

mod chance;

use proptest::prelude::*;
use stillbright::chemistry::acid::{Acid, Species, tartaric};
use stillbright::chemistry::balance::Solution;
use stillbright::chemistry::bitartrate::{Path, Tartrate, saturated_product, solubility_product};
use stillbright::chemistry::solvent::Medium;
use stillbright::chemistry::{
    cold, filter, haze, heat, ions, oxygen, settling, sulfur, tartrate_test,
};
use stillbright::units::*;

prop_compose! {
    fn solutions()(alcohol in 0.0..16.0_f64, t in 0.0..30.0_f64, i in 0.02..0.1_f64, ph in 2.8..4.3_f64, grams in proptest::array::uniform6(0.0..6.0_f64)) -> Solution {
        let medium = Medium { temperature: Celsius(t), alcohol: PercentVol(alcohol), ionic_strength: MolPerL(i) };
        let mut acids = [0.0; 6];
        for ((slot, a), g) in acids.iter_mut().zip(Acid::ALL).zip(grams) { *slot = a.moles(GPerL(g)).0; }
        Solution::closed(medium, acids, Ph(ph)).unwrap()
    }
}
fn any_float() -> impl Strategy<Value = f64> {
    prop_oneof![
        any::<f64>(),
        -50.0..200.0_f64,
        Just(0.0),
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(-0.0)
    ]
}

proptest! {
    #![proptest_config(chance::tries(400))]

    #[test]
    fn charge_closes_and_the_ph_comes_back(s in solutions(), ph in 2.8..4.3_f64) {
        let closed = Solution::closed(s.medium, s.acids, Ph(ph)).unwrap();
        prop_assert!((closed.ph().unwrap().0 - ph).abs() < 1e-9);
        for a in Acid::ALL {
            let shares: f64 = Species::of(a.mixed(s.medium), Ph(ph)).share.iter().sum();
            prop_assert!((shares - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn acid_lowers_and_base_raises_the_ph(s in solutions(), more in 0.01..3.0_f64) {
        let now = s.ph().unwrap().0;
        for a in [Acid::Tartaric, Acid::Malic, Acid::Citric, Acid::Lactic] {
            let with = s.with(a, MolPerL(s.amount(a).0 + a.moles(GPerL(more)).0));
            prop_assert!(with.ph().unwrap().0 < now);
        }
        let base = Solution { net_cations: s.net_cations + more / 100.0, ..s };
        prop_assert!(base.ph().unwrap().0 > now);
        prop_assert!(s.buffer_capacity().unwrap().0 > 0.0);
    }

    #[test]
    fn solubility_rises_with_warmth_and_falls_with_alcohol(t in -5.0..29.0_f64, a in 0.0..19.0_f64) {
        let k = |t: f64, a: f64| solubility_product(Celsius(t), PercentVol(a)).unwrap();
        prop_assert!(k(t + 1.0, a) > k(t, a) && k(t, a + 1.0) < k(t, a));
        let m = Medium::wine(PercentVol(a));
        prop_assert!(saturated_product(m.at(Celsius(t + 1.0))).unwrap() > saturated_product(m.at(Celsius(t))).unwrap());
    }

    #[test]
    fn precipitation_closes_its_mass_and_raises_nothing(s in solutions(), share in 0.0..1.0_f64, k in 200.0..2000.0_f64) {
        if let Ok(w) = Tartrate::new(s, MgPerL(k)) {
            let out = GPerL(w.most().0 * share * 0.999);
            let after = w.after_removing(out).unwrap();
            prop_assert!(after.potassium().0 <= k + 1e-9);
            let (before, left) = (w.solution.amount(Acid::Tartaric).0, after.solution.amount(Acid::Tartaric).0);
            prop_assert!(left <= before + 1e-12);
            prop_assert!((before - left - (w.potassium - after.potassium)).abs() < 1e-9, "as much tartaric acid as potassium");
            prop_assert!((s.net_cations - after.solution.net_cations - out.0 / 188.18).abs() < 1e-9);
            if let Ok(path) = Path::of(&w) {
                prop_assert!(path.points().windows(2).all(|p| p[0].potassium >= p[1].potassium && p[0].tartaric >= p[1].tartaric && p[0].product >= p[1].product - 1e-12));
            }
            let back = ions::potassium_bicarbonate(&w, GPerL(0.5)).unwrap();
            prop_assert!((back.solution.net_cations - back.potassium - (w.solution.net_cations - w.potassium)).abs() < 1e-9);
        }
    }

    #[test]
    fn so2_needed_and_molecular_are_each_others_inverse(ph in 2.6..4.5_f64, aim in 0.01..3.0_f64) {
        let free = sulfur::free_needed(MgPerL(aim), Ph(ph), sulfur::FIELD).unwrap();
        if free.0 < 1000.0 {
            prop_assert!((sulfur::molecular(free, Ph(ph), sulfur::FIELD).unwrap().0 - aim).abs() < 1e-9);
        }
    }

    /// Any float at all: an answer that is a number, or a reason.
    #[test]
    fn no_float_makes_a_panic_or_no_number(x in any_float(), y in any_float(), z in any_float(), w in any_float()) {
        let mut all = vec![
            sulfur::oiv(PercentVol(x)).unwrap_or(0.0),
            sulfur::molecular(MgPerL(x), Ph(y), z).map_or(0.0, |v| v.0),
            sulfur::free_needed(MgPerL(x), Ph(y), z).map_or(0.0, |v| v.0),
            sulfur::addition(MgPerL(x), Litres(y), z, sulfur::Form::Metabisulfite(w)).map_or(0.0, |v| v.amount + v.total_rise),
            sulfur::addition(MgPerL(x), Litres(y), z, sulfur::Form::Solution(w)).map_or(0.0, |v| v.amount),
            settling::viscosity(Celsius(x)).unwrap_or(0.0),
            settling::days_to_fall(Millimetres(x), Micrometres(y), KgPerM3(z), Celsius(w), Percent(0.5)).map_or(0.0, |v| v.0),
            filter::index(Seconds(x), Seconds(y)).map_or(0.0, |v| v.0),
            filter::modified_index(Seconds(x), Seconds(y), Seconds(z)).map_or(0.0, |v| v.0),
            filter::vmax((Minutes(x), Millilitres(y)), (Minutes(z), Millilitres(w))).map_or(0.0, |v| v.0),
            filter::sizing(Millilitres(x), SquareCentimetres(y), Litres(z), w).map_or(0.0, |s| s.area.0 + s.capacity),
            filter::flow_left(x).unwrap_or(0.0),
            filter::time(Litres(x), SquareMetres(y), Flux(z), Celsius(w)).map_or(0.0, |v| v.0),
            f64::from(filter::pieces(SquareMetres(x), SquareMetres(y)).unwrap_or(0)),
            oxygen::saturation(Celsius(x)).map_or(0.0, |v| v.0),
            oxygen::total_package(MgPerL(x), Millilitres(y), Millilitres(z)).map_or(0.0, |v| v.0),
            oxygen::free_after(MgPerL(x), MgPerL(y)).map_or(0.0, |v| v.0),
            oxygen::ascorbic(MgPerL(x)).map_or(0.0, |v| v.0.0 + v.1.0),
            cold::freezing_point(PercentVol(x), GPerL(y)).map_or(0.0, |v| v.0),
            heat::pasteurisation_units(Minutes(x), Celsius(y), z).unwrap_or(0.0),
            haze::protein_left(MgPerL(x), GramsPerHl(y), z, w).map_or(0.0, |v| v.0),
            haze::ladder(Ntu(x), Some(Ph(y))).map_or(0.0, |r| r.iter().map(|g| g.0).sum()),
            tartrate_test::saturation_white(MicroSiemens(x)).map_or(0.0, |v| v.0),
            tartrate_test::highest_saturation(PercentVol(x), Celsius(y)).map_or(0.0, |v| v.0),
            tartrate_test::drop_percent(MicroSiemens(x), MicroSiemens(y)).map_or(0.0, |v| v.0),
            solubility_product(Celsius(x), PercentVol(y)).unwrap_or(0.0),
        ];
        let medium = Medium { temperature: Celsius(x), alcohol: PercentVol(y), ionic_strength: MolPerL(z.abs() / 1000.0) };
        all.push(tartaric(medium, Ph(w)).map_or(0.0, |s| s.charge()));
        let chill = cold::Chilling { volume: Litres(x), alcohol: PercentVol(12.0), sugar: GPerL(0.0), from: Celsius(y), to: Celsius(z), around: Celsius(w), wall: WallHeat(1.0) };
        all.extend([chill.heat().map_or(0.0, |v| v.0), chill.time(KiloWatts(x)).map_or(0.0, |v| v.0), chill.ingress(Days(y)).map_or(0.0, |v| v.0)]);
        let loose = Solution { medium, acids: [x / 100.0, y / 100.0, 0.0, 0.0, 0.0, z / 100.0], net_cations: w / 100.0 };
        all.extend([loose.ph().map_or(0.0, |v| v.0), loose.titratable_acidity(Ph(x)).map_or(0.0, |v| v.0), loose.buffer_capacity().map_or(0.0, |v| v.0)]);
        if let Ok(t) = Tartrate::new(loose, MgPerL(y)) {
            all.extend([t.product().unwrap_or(0.0), t.saturation_temperature().map_or(0.0, |v| v.0), t.excess(Celsius(w)).map_or(0.0, |v| v.0), t.supersaturation(Celsius(x)).unwrap_or(0.0)]);
        }
        prop_assert!(all.iter().all(|v| v.is_finite()), "{all:?}");
    }
}
