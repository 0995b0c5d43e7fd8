//! What must hold for any solution: charge and mass close, directions are right, no float gives no
//! number.
#![allow(clippy::unwrap_used, missing_docs)]

mod chance;

use proptest::prelude::*;
use stillbright::chemistry::acid::{Acid, Species};
use stillbright::chemistry::balance::Solution;
use stillbright::chemistry::bitartrate::{
    Path, Tartrate, ph_sign, pure, saturated_product, solubility, solubility_product,
};
use stillbright::chemistry::solvent::Medium;
use stillbright::chemistry::{
    Answer, acid, calcium, cold, filter, haze, heat, ions, oxygen, settling, sulfur, tartrate_test,
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
        1 => any::<f64>(),
        1 => -50.0..200.0_f64,
        // Where most equations answer.
        4 => 0.0..20.0_f64,
        1 => Just(0.0),
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(-0.0)
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

    /// Any float at all: an answer that is a number, or a reason. Every public equation is called
    /// here or below, which tests/equations.rs asks for.
    #[test]
    fn no_float_makes_a_panic_or_no_number(x in any_float(), y in any_float(), z in any_float(), w in any_float()) {
        for (of, all) in [
            ("sulfur dioxide", sulfur_dioxide(x, y, z, w)),
            ("settling and filters", settling_and_filters(x, y, z, w)),
            ("oxygen", oxygen(x, y, z)),
            ("heat and cold", heat_and_cold(x, y, z, w)),
            ("haze", haze(x, y, z, w)),
            ("tests of tartrate", tests_of_tartrate(x, y)),
            ("solutions", of_solutions(x, y, z, w)),
            ("bitartrate", of_bitartrate(x, y, z, w)),
        ] {
            prop_assert!(all.iter().all(|v| v.is_finite()), "{of}: {all:?}");
        }
    }
}

/// The number that was answered; 0 for a reason.
fn number<T>(answer: Answer<T>, of: impl FnOnce(T) -> f64) -> f64 {
    answer.map_or(0.0, of)
}

/// A class is no number: what counts is that it comes without a panic.
fn class<T>(answer: Answer<T>) -> f64 {
    number(answer, |_| 1.0)
}

fn sulfur_dioxide(x: f64, y: f64, z: f64, w: f64) -> Vec<f64> {
    let added = |form| {
        let addition = sulfur::addition(MgPerL(x), Litres(y), z, form);
        number(addition, |a| a.amount + a.total_rise)
    };
    vec![
        number(sulfur::oiv(PercentVol(x)), |v| v),
        number(sulfur::molecular(MgPerL(x), Ph(y), z), |v| v.0),
        number(sulfur::free_needed(MgPerL(x), Ph(y), z), |v| v.0),
        added(sulfur::Form::Metabisulfite(w)),
        added(sulfur::Form::Solution(w)),
        added(sulfur::Form::Gas),
    ]
}

fn settling_and_filters(x: f64, y: f64, z: f64, w: f64) -> Vec<f64> {
    let at = |t: f64, v: f64| (Minutes(t), Millilitres(v));
    let fall = settling::fall_per_day(Micrometres(x), KgPerM3(y), Celsius(z));
    let days = settling::days_to_fall(
        Millimetres(x),
        Micrometres(y),
        KgPerM3(z),
        Celsius(w),
        Percent(0.5),
    );
    let sizing = filter::sizing(Millilitres(x), SquareCentimetres(y), Litres(z), w);
    let time = filter::time(Litres(x), SquareMetres(y), Flux(z), Celsius(w));
    let line = filter::vmax_line(&[at(x, y), at(z, w), at(y, z)]);
    let earth = filter::earth(SquareMetres(x), KgPerM2(y), Litres(z), GramsPerHl(w));
    let modified = filter::modified_index(Seconds(x), Seconds(y), Seconds(z));
    vec![
        number(settling::viscosity(Celsius(x)), |v| v),
        number(fall, |v| v.0),
        number(days, |v| v.0),
        number(settling::relative_force(Centimetres(x), y), |v| v),
        number(filter::index(Seconds(x), Seconds(y)), |v| v.0),
        number(modified, |v| v.0),
        class(filter::class(Seconds(x))),
        number(filter::vmax(at(x, y), at(z, w)), |v| v.0),
        number(line, |l| l.vmax.0 + l.start_flow),
        number(sizing, |s| s.area.0 + s.capacity),
        number(filter::flow_left(x), |v| v),
        number(time, |v| v.0),
        number(filter::pieces(SquareMetres(x), SquareMetres(y)), f64::from),
        number(filter::flow_ratio(Millilitres(x), Millilitres(y)), |v| v),
        number(earth, |v| v.0),
        number(filter::held(SquareMetres(x), Millimetres(y), z), |v| v.0),
    ]
}

fn oxygen(x: f64, y: f64, z: f64) -> Vec<f64> {
    let package = oxygen::total_package(MgPerL(x), Millilitres(y), Millilitres(z));
    vec![
        number(oxygen::saturation(Celsius(x)), |v| v.0),
        number(package, |v| v.0),
        number(oxygen::free_after(MgPerL(x), MgPerL(y)), |v| v.0),
        number(oxygen::ascorbic(MgPerL(x)), |v| v.0.0 + v.1.0),
    ]
}

fn heat_and_cold(x: f64, y: f64, z: f64, w: f64) -> Vec<f64> {
    let chill = cold::Chilling {
        volume: Litres(x),
        alcohol: PercentVol(12.0),
        sugar: GPerL(0.0),
        from: Celsius(y),
        to: Celsius(z),
        around: Celsius(w),
        wall: WallHeat(1.0),
    };
    // The wall alone checks nothing: it is asked for of a tank that the others answer for.
    let area = chill.heat().map(|_| chill.area());
    let electricity = cold::Chilling::electricity(KiloWattHours(x), y);
    vec![
        number(heat::pasteurisation_units(Minutes(x), Celsius(y), z), |v| v),
        number(cold::freezing_point(PercentVol(x), GPerL(y)), |v| v.0),
        number(cold::coldest_target(PercentVol(x), GPerL(y)), |v| v.0),
        number(cold::heat_capacity(PercentVol(x), GPerL(y)), |v| v),
        number(chill.heat(), |v| v.0),
        number(area, |v| v.0),
        number(chill.time(KiloWatts(x)), |v| v.0),
        number(chill.ingress(Days(y)), |v| v.0),
        number(electricity, |v| v.0),
    ]
}

fn haze(x: f64, y: f64, z: f64, w: f64) -> Vec<f64> {
    let sum = |rungs: Vec<GramsPerHl>| rungs.iter().map(|g| g.0).sum();
    vec![
        number(haze::protein_left(MgPerL(x), GramsPerHl(y), z, w), |v| v.0),
        number(haze::dose_leaving(MgPerL(x), MgPerL(y), z, w), |v| v.0),
        number(haze::first_guess(Ntu(x)), |v| v.0),
        number(haze::ladder(Ntu(x), Some(Ph(y))), sum),
    ]
}

fn tests_of_tartrate(x: f64, y: f64) -> Vec<f64> {
    let highest = tartrate_test::highest_saturation(PercentVol(x), Celsius(y));
    let drop = tartrate_test::drop_percent(MicroSiemens(x), MicroSiemens(y));
    vec![
        number(tartrate_test::saturation_white(MicroSiemens(x)), |v| v.0),
        number(tartrate_test::saturation_red(MicroSiemens(x)), |v| v.0),
        number(highest, |v| v.0),
        number(drop, |v| v.0),
        class(tartrate_test::mini_contact(Percent(x))),
        class(calcium::risk(MgPerL(x), y > 0.0)),
        number(ions::after_second_fermentation(PercentVol(x)), |v| v.0),
    ]
}

fn medium(x: f64, y: f64, z: f64) -> Medium {
    Medium {
        temperature: Celsius(x),
        alcohol: PercentVol(y),
        ionic_strength: MolPerL(z.abs() / 1000.0),
    }
}

fn loose(x: f64, y: f64, z: f64, w: f64) -> Solution {
    Solution {
        medium: medium(x, y, z),
        acids: [x / 100.0, y / 100.0, 0.0, 0.0, 0.0, z / 100.0],
        net_cations: w / 100.0,
    }
}

fn of_solutions(x: f64, y: f64, z: f64, w: f64) -> Vec<f64> {
    let m = medium(x, y, z);
    let loose = loose(x, y, z, w);
    let own = loose.with_own_ions();
    let mut all = vec![
        number(acid::turning_point(m), |v| v.0),
        number(acid::tartaric(m, Ph(w)), |s| s.charge() + s.square()),
        number(Solution::closed(m, loose.acids, Ph(w)), |s| s.net_cations),
        number(own, |s| s.medium.ionic_strength.0),
        number(own.and_then(|s| s.ph()), |v| v.0),
        number(loose.ph(), |v| v.0),
        number(loose.titratable_acidity(Ph(x)), |v| v.0),
        number(loose.buffer_capacity(), |v| v.0),
    ];
    // What answers without a check is asked only for a medium and a pH that were checked.
    if acid::tartaric(m, Ph(w)).is_ok() {
        all.extend([m.density(), m.mass_percent(), m.davies()]);
        all.extend([m.log_activity(2), m.activity(1)]);
        for a in Acid::ALL {
            all.extend(a.pka(m));
            all.extend(Species::of(a.mixed(m), Ph(w)).share);
        }
    }
    all
}

fn of_bitartrate(x: f64, y: f64, z: f64, w: f64) -> Vec<f64> {
    let m = medium(x, y, z);
    let salt = pure(Celsius(x), PercentVol(y), MolPerL(z / 100.0));
    let mut all = vec![
        number(solubility_product(Celsius(x), PercentVol(y)), |v| v),
        number(solubility(Celsius(x), PercentVol(y)), |v| v.0),
        number(saturated_product(m), |v| v),
        number(salt.and_then(|s| s.ph()), |v| v.0),
        class(ph_sign(m, Ph(w))),
    ];
    let Ok(t) = Tartrate::new(loose(x, y, z, w), MgPerL(y)) else {
        return all;
    };
    let product = |wine: Answer<Tartrate>| number(wine.and_then(|t| t.product()), |v| v);
    all.extend([
        number(t.product(), |v| v),
        number(t.handbook_product(), |v| v),
        number(t.supersaturation(Celsius(x)), |v| v),
        class(t.saturation()),
        number(t.saturation_temperature(), |v| v.0),
        t.most().0,
        number(t.excess(Celsius(w)), |v| v.0),
        product(t.after_removing(GPerL(w))),
        product(ions::cation_exchange(&t, x)),
        product(ions::electrodialysis(&t, x)),
        product(ions::potassium_bicarbonate(&t, GPerL(x))),
        product(ions::calcium_carbonate(&t, GPerL(x))),
        product(ions::acid(&t, Acid::Malic, GPerL(x))),
    ]);
    if let Ok(path) = Path::of(&t) {
        all.push(number(path.at(GPerL(w)), |p| p.ph + p.product));
    }
    all
}
