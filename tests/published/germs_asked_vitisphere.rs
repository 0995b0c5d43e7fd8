//! Vitisphere, 14 April 2010: bottlers ask for fewer than 10 living germs per litre of a filtered wine.
use super::*;
use stillbright::knowledge::ENOUGH;

#[test]
fn fewer_than_10_yeasts_a_litre_are_few_enough() {
    let of = ENOUGH.iter().find(|e| e.problem == Problem::Refermentation);
    let counted = of.unwrap().counted.unwrap();
    assert_eq!(counted.quantity, Quantity::YeastCells);
    assert_eq!(Quantity::YeastCells.facts().unit, "cells/mL");
    near(counted.under * 1000.0, 10.0, 1e-9);
}
