//! Turbidity at bottling and pores: French technical institutes' data sheets; heat test: AWRI;
//! juice: VITIS, ITV.
use super::*;
use stillbright::knowledge::{NeedBand, PROBLEMS};

fn band(problem: Problem, colour: Colour, stage: Stage) -> &'static NeedBand {
    let facts = PROBLEMS.iter().find(|p| p.problem == problem).unwrap();
    facts
        .bands
        .iter()
        .find(|b| {
            (b.colours.is_empty() || b.colours.contains(&colour))
                && (b.stages.is_empty() || b.stages.contains(&stage))
        })
        .unwrap()
}

#[test]
fn white_is_bright_below_1_ntu() {
    assert_eq!(
        band(Problem::Haze, Colour::White, Stage::Ready).ceiling,
        Some(1.0)
    );
}
#[test]
fn rose_is_bright_below_1_5_ntu() {
    assert_eq!(
        band(Problem::Haze, Colour::Rose, Stage::Ready).ceiling,
        Some(1.5)
    );
}
#[test]
fn red_is_bright_below_2_ntu() {
    assert_eq!(
        band(Problem::Haze, Colour::Red, Stage::Ready).ceiling,
        Some(2.0)
    );
}
#[test]
fn juice_lies_between_50_and_200_ntu() {
    let b = band(Problem::Haze, Colour::White, Stage::Juice);
    assert_eq!((b.floor, b.ceiling), (Some(50.0), Some(200.0)));
}
#[test]
fn heat_test_rise_below_2_ntu() {
    assert_eq!(
        band(Problem::Protein, Colour::White, Stage::Dry).ceiling,
        Some(2.0)
    );
}
#[test]
fn mini_contact_drop_5_percent() {
    assert_eq!(
        band(Problem::Crystals, Colour::White, Stage::Dry).ceiling,
        Some(5.0)
    );
}
#[test]
fn clogging_index_20_before_a_membrane() {
    assert_eq!(
        band(Problem::BlockedFilter, Colour::White, Stage::Dry).ceiling,
        Some(20.0)
    );
}
#[test]
fn membrane_of_0_45_holds_yeast_and_bacteria_and_sheets_are_nominal() {
    assert!(
        treatment("membrane_045").mechanism[0]
            .text
            .contains("0.45 µm")
    );
    assert!(
        treatment("sheet_filtration").mechanism[0]
            .text
            .contains("nominal")
    );
}
#[test]
fn microbial_sheets_stop_at_1_5_bar() {
    assert!(
        treatment("sheet_filtration").contact[0]
            .text
            .contains("1.5 bar")
    );
}
