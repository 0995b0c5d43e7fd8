//! IFV (Institut français de la vigne et du vin), filtration on the estate: even tight grades of earth do
//! not take all yeast and bacteria out.
use super::germs::logs;
use super::*;

#[test]
fn earth_keeps_no_germ_back_for_sure() {
    near(logs("earth_filtration", Quantity::Yeast).low, 0.0, 0.0);
    near(logs("earth_filtration", Quantity::Brett).low, 0.0, 0.0);
    assert!(treatment("earth_filtration").germ_barrier.is_empty());
}
