//! What is written by the lists of fields is what serde would write, to the byte.
#![allow(clippy::unwrap_used, missing_docs)]

use stillbright::book::read_file;
use stillbright::json::{read, write, write_spaced};
use stillbright::wine::*;

fn demos() -> Vec<Wine> {
    stillbright::demos::TEXTS
        .iter()
        .flat_map(|text| read_file(text).unwrap())
        .collect()
}

#[test]
fn every_field_is_written_as_serde_does_and_read_back() {
    let mut wine = demos().remove(0);
    wine.note = "\u{1}\u{1f}\u{7f} \"quoted\" \\ \r\n\t é 🍷".into();
    wine.trials = vec![Trial {
        treatment: "bentonite".into(),
        rungs: vec![
            Rung::default(),
            Rung {
                dose: AsTyped("3".into()),
                ..Rung::default()
            },
        ],
        not_trialled: true,
        ..Trial::default()
    }];
    wine.done = vec![Done {
        corrects: Some(1),
        ..Done::default()
    }];
    wine.checks = vec![Checked {
        key: "a".into(),
        passed: Some(false),
        ..Checked::default()
    }];
    wine.plan = vec![
        PlanStep::default(),
        PlanStep {
            measure: vec![Quantity::HeatRise],
            day: "2027-02-24".into(),
            ..PlanStep::default()
        },
    ];
    wine.kit.insert(
        Kit::Filter,
        KitEntry {
            means: KitMeans::No,
            minimum_batch: AsTyped("1 hL".into()),
            lead_days: AsTyped("3".into()),
        },
    );
    wine.observed.insert("hazy".into(), false);
    let text = write(&mut wine.clone());
    assert!(text == serde_json::to_string(&wine).unwrap(), "{text}");
    assert!(read::<Wine>(&text).unwrap() == wine);
    let spaced = write_spaced(&mut wine.clone());
    assert!(
        spaced == serde_json::to_string_pretty(&wine).unwrap(),
        "{spaced}"
    );
    assert!(read::<Wine>(&spaced).unwrap() == wine);
}
