//! Inter-Rhône, trials of four cross-flow machines with three membrane types on reds, in Réussir Vigne:
//! in one pass all yeast, and bacteria from 10⁵ to under 10² per mL.
use super::germs::logs;
use super::*;
use stillbright::knowledge::survivors;

#[test]
fn cross_flow_takes_bacteria_from_100_000_to_100_and_more_yeast() {
    let bacteria = logs("crossflow_filtration", Quantity::Germs);
    near(1e5 * survivors(bacteria.middle), 1e2, 1e-6);
    assert!(logs("crossflow_filtration", Quantity::Yeast).middle > bacteria.middle);
}
