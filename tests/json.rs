//! What our own writer writes is what serde would write, to the byte.
#![allow(clippy::unwrap_used, missing_docs)]

use stillbright::advice::advise;
use stillbright::book::read_file;
use stillbright::json::{read, to_text, write};
use stillbright::wine::*;

fn demos() -> Vec<Wine> {
    let files = std::fs::read_dir("demo-data").unwrap().map(|e| e.unwrap().path());
    files.filter(|p| p.file_name().unwrap().to_string_lossy().starts_with('0')).flat_map(|p| read_file(&std::fs::read_to_string(p).unwrap()).unwrap()).collect()
}

#[test]
fn the_advice_of_every_demo_wine_is_written_as_serde_does() {
    let wines = demos();
    assert!(wines.len() >= 6);
    for wine in &wines {
        let advice = [advise(wine, None)];
        assert!(to_text(&advice) == serde_json::to_string(&advice).unwrap(), "{}", wine.name);
    }
}

#[test]
fn every_field_is_written_as_serde_does_and_read_back() {
    let mut wine = demos().remove(0);
    wine.note = "\u{1}\u{1f}\u{7f} \"quoted\" \\ \r\n\t é 🍷".into();
    wine.trials = vec![Trial {
        treatment: "bentonite".into(),
        rungs: vec![Rung::default(), Rung { dose: AsTyped("3".into()), ..Rung::default() }],
        not_trialled: true,
        ..Trial::default()
    }];
    wine.done = vec![Done { corrects: Some(1), ..Done::default() }];
    wine.checks = vec![Checked { key: "a".into(), passed: Some(false), ..Checked::default() }];
    wine.plan = vec![PlanStep::default()];
    wine.kit.insert(Kit::Filter, KitEntry { means: KitMeans::No, minimum_batch: AsTyped("1 hL".into()), lead_days: AsTyped("3".into()) });
    wine.observed.insert("hazy".into(), false);
    let text = write(&mut wine.clone());
    assert!(text == serde_json::to_string(&wine).unwrap(), "{text}");
    assert!(read::<Wine>(&text).unwrap() == wine);
}

#[test]
fn figures_are_written_as_serde_does() {
    let mut figures = vec![0.0, -0.0, 1.0, 1e-5, 9.9e-6, 1e15, 1e16, 1e21, 0.1 + 0.2, f64::MIN_POSITIVE, f64::MAX, f64::NAN, f64::INFINITY];
    figures.extend((0..2000).map(|i| f64::from_bits(0x9e37_79b9_7f4a_7c15_u64.wrapping_mul(i))));
    assert!(to_text(&figures) == serde_json::to_string(&figures).unwrap());
}
