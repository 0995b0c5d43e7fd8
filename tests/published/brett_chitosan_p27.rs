//! OENO One 2018 (Cartwright et al.), abstract (P27): fungal chitosan at 4, 8 and 12 g/hL against
//! Brettanomyces: 10⁶ CFU/mL fell by 3 powers of ten in Cabernet Sauvignon, 10⁵ to about 10² in
//! barrels, and rose again. Paulin et al. 2020, abstract (P28): 13 % of 53 strains felt nothing.
use super::germs::logs;
use super::*;
use stillbright::knowledge::survivors;

#[test]
fn chitosan_takes_at_most_three_powers_of_ten_and_of_some_strains_nothing() {
    let of = logs("chitosan", Quantity::Brett);
    near(of.high, 3.0, 0.0);
    near(1e5 * survivors(of.high), 1e2, 1e-6);
    near(of.low, 0.0, 0.0);
}
