//! Origins: Reg. (EU) 1169/2011 Annex II, OIV codex sheets (charcoal of plant origin, fungal
//! chitosan), 606/2009 App. 13.
use super::*;
use stillbright::treatment::suit::keeps;

#[track_caller]
fn origin(key: &str, expected: Origin, vegan: bool, vegetarian: bool) {
    let o = treatment(key).origin;
    assert_eq!(
        (o, keeps(Claim::Vegan, o), keeps(Claim::Vegetarian, o)),
        (expected, vegan, vegetarian),
        "{key}"
    );
}
#[track_caller]
fn label_says(key: &str, word: &str) {
    assert!(
        treatment(key)
            .label
            .iter()
            .any(|f| f.text.to_lowercase().contains(word)),
        "{key}: {word}"
    );
}

#[test]
fn bentonite_is_a_mineral_and_vegan() {
    origin("bentonite_sodium", Origin::Mineral, true, true);
}
#[test]
fn isinglass_is_fish_and_exempt_in_the_eu_annex_ii_4b() {
    origin("isinglass", Origin::Fish, false, false);
    label_says("isinglass", "exempt");
}
#[test]
fn casein_is_milk_and_declared_where_detectable() {
    origin("casein", Origin::Milk, false, true);
    label_says("casein", "0.25 mg/l");
}
#[test]
fn egg_white_is_egg_and_declared_where_detectable() {
    origin("egg_albumin", Origin::Egg, false, true);
    label_says("egg_albumin", "0.25 mg/l");
}
#[test]
fn gelatin_is_animal() {
    origin("gelatin", Origin::Animal, false, false);
}
#[test]
fn chitosan_is_fungal() {
    origin("chitosan", Origin::Fungal, true, true);
}
#[test]
fn charcoal_is_of_plant_origin() {
    origin("carbon_colour", Origin::Plant, true, true);
}
#[test]
fn plant_proteins_are_plants() {
    origin("pea_protein", Origin::Plant, true, true);
    origin("potato_protein", Origin::Plant, true, true);
}
#[test]
fn sulfites_are_declared_from_10_mg_l() {
    label_says("sulfur_dioxide", "10 mg/l");
}
#[test]
fn additives_carry_their_e_number() {
    label_says("cmc", "e 466");
    label_says("polyaspartate", "e 456");
    label_says("metatartaric", "e 353");
}
#[test]
fn an_unknown_origin_keeps_no_claim() {
    assert!(Claim::ALL.iter().all(|c| !keeps(*c, Origin::Unknown)));
}
#[test]
fn the_rest_of_the_materials_by_origin() {
    origin("kaolin", Origin::Mineral, true, true);
    origin("skim_milk", Origin::Milk, false, true);
    origin("lysozyme", Origin::Egg, false, true);
    origin("wheat_protein", Origin::Plant, true, true);
    origin("yeast_protein", Origin::Fungal, true, true);
    origin("chitin_glucan", Origin::Fungal, true, true);
    origin("mannoproteins", Origin::Fungal, true, true);
    origin("pvi_pvp", Origin::Synthetic, true, true);
    origin("alginate", Origin::Plant, true, true);
    origin("gelatin_high_bloom", Origin::Animal, false, false);
    origin("earth_filtration", Origin::Mineral, true, true);
}
