//! What the page gives to be saved where it cannot go on is read back: all that is kept, what was
//! set aside, what a newer version saved.
#![allow(clippy::unwrap_used, missing_docs)]

use serde_json::Value;
use stillbright::book::rescue::{Missed, Why};
use stillbright::book::{
    DEFAULTS, Import, Memory, Port, Shelf, read_file, read_import, write_book, write_kept,
};
use stillbright::wine::*;

fn demo(start: &str) -> Wine {
    let file = std::fs::read_dir("demo-data")
        .unwrap()
        .map(|e| e.unwrap().path())
        .find(|p| p.file_name().unwrap().to_string_lossy().starts_with(start));
    read_file(&std::fs::read_to_string(file.unwrap()).unwrap())
        .unwrap()
        .remove(0)
}

/// A demo wine with a log, a plan and a trial.
fn full() -> Wine {
    let mut wine = demo("02");
    let entry = |note: &str| Done {
        day: "2026-10-01".into(),
        treatment: "gelatin".into(),
        dose: AsTyped("3".into()),
        note: note.into(),
        ..Done::default()
    };
    wine.done = vec![
        entry("first"),
        entry("second"),
        Done {
            corrects: Some(2),
            ..Done::default()
        },
    ];
    wine.plan = vec![
        PlanStep {
            treatment: "racking".into(),
            ..PlanStep::default()
        },
        PlanStep {
            treatment: "gelatin".into(),
            dose: AsTyped("4".into()),
            ..PlanStep::default()
        },
    ];
    let rung = |dose: &str| Rung {
        dose: AsTyped(dose.into()),
        reading: AsTyped("2".into()),
        note: "dull, “flat” \\ \"thin\"".into(),
        ..Rung::default()
    };
    wine.trials = vec![Trial {
        treatment: "gelatin".into(),
        rungs: vec![rung("0"), rung("4")],
        ..Trial::default()
    }];
    wine
}

/// The one text that a shelf keeps of a wine that was added to it.
fn slot(wine: &Wine) -> String {
    let shelf = Shelf::new(Memory::default());
    let id = shelf.port().fresh_id();
    shelf.put(&id, wine).unwrap();
    shelf
        .port()
        .read(&format!("stillbright/wine/{id}/a"))
        .unwrap()
        .unwrap()
}

fn aside(text: &str) -> Import {
    read_import(&write_kept([(
        "stillbright/aside/17/x-a".to_string(),
        text.to_string(),
    )]))
    .unwrap()
}

fn missed(name: &str, why: Why) -> Missed {
    Missed {
        name: name.into(),
        why,
    }
}

/// Whether one is the beginning, or a part, of the other.
fn part_of(part: &Value, whole: &Value) -> bool {
    match (part, whole) {
        (Value::Object(p), Value::Object(w)) => {
            p.iter().all(|(k, v)| w.get(k).is_some_and(|x| x == v))
        }
        (Value::Array(p), Value::Array(w)) => w.starts_with(p),
        (p, w) => p == w,
    }
}

#[test]
fn all_that_is_kept_comes_back_as_the_recovery_screen_saves_it() {
    let shelf = Shelf::new(Memory::default());
    let [white, red, rose] = ["01", "02", "03"].map(demo);
    let kept = shelf.add(&white).unwrap();
    shelf
        .put(
            &kept,
            &Wine {
                note: "typed last".into(),
                ..white.clone()
            },
        )
        .unwrap();
    let damaged = shelf.add(&red).unwrap();
    shelf.put(&damaged, &red).unwrap();
    let deleted = shelf.add(&rose).unwrap();
    shelf.delete(&deleted).unwrap();
    let defaults = Wine {
        labour_per_hour: AsTyped("31".into()),
        ..Wine::default()
    };
    shelf.put(DEFAULTS, &defaults).unwrap();
    let port = shelf.port();
    port.write(
        &format!("stillbright/wine/{damaged}/b"),
        "{\"schema\":1,\"revi",
    )
    .unwrap();
    port.write(
        "stillbright/wine/later/a",
        "{\"schema\":7,\"revision\":1,\"wine\":{\"name\":\"From tomorrow\"}}",
    )
    .unwrap();
    port.write("stillbright/wine/lost/a", "\u{0}\u{0}\u{0}")
        .unwrap();
    port.write("stillbright/shown", "us days").unwrap();
    port.write("stillbright/tomorrow", "anything").unwrap();
    let all: Vec<(String, String)> = port
        .keys()
        .unwrap()
        .into_iter()
        .map(|k| (k.clone(), port.read(&k).unwrap().unwrap()))
        .collect();
    // By both ways of writing it: the page's own, and the start script's, with one space.
    let mut spaced = Vec::new();
    let object: serde_json::Map<String, Value> = all
        .iter()
        .map(|(k, t)| (k.clone(), t.as_str().into()))
        .collect();
    let indent = serde_json::ser::PrettyFormatter::with_indent(b" ");
    serde::Serialize::serialize(
        &object,
        &mut serde_json::Serializer::with_formatter(&mut spaced, indent),
    )
    .unwrap();
    for file in [write_kept(all), String::from_utf8(spaced).unwrap()] {
        let import = read_import(&file).unwrap();
        let mut wines = import.wines.clone();
        wines.sort_by_key(|w| std::cmp::Reverse(w.note.clone()));
        assert_eq!(
            wines,
            [
                Wine {
                    note: "typed last".into(),
                    ..white.clone()
                },
                red.clone()
            ]
        );
        assert_eq!(import.defaults, Some(defaults.clone()));
        let expected = [
            missed(&rose.name, Why::Deleted),
            missed("stillbright/tomorrow", Why::Nothing),
            missed(&red.name, Why::Copy),
            missed("From tomorrow", Why::Newer),
            missed("stillbright/wine/lost/a", Why::Nothing),
        ];
        assert_eq!(import.missed.len(), expected.len(), "{:?}", import.missed);
        expected.iter().for_each(|m| {
            assert!(
                import.missed.contains(m),
                "{m:?} is not in {:?}",
                import.missed
            )
        });
    }
    assert_eq!(read_import("{}"), Ok(Import::default()));
    // A file of wines is read as ever, and its faults are said as ever.
    assert_eq!(
        read_import(&write_book(std::slice::from_ref(&red), None))
            .unwrap()
            .wines,
        [red]
    );
    assert_eq!(
        read_import("{\"app\":\"other\"}")
            .unwrap_err()
            .input_error()
            .field,
        "app"
    );
}

#[test]
fn of_a_copy_cut_anywhere_all_that_stands_before_the_cut_is_read_and_the_rest_is_named() {
    let wine = full();
    let (text, whole) = (slot(&wine), serde_json::to_value(&wine).unwrap());
    let names: Vec<&String> = whole.as_object().unwrap().keys().collect();
    let start = text.find("\"wine\":{").unwrap() + 8;
    let mut most = 0;
    for cut in (0..text.len()).filter(|n| text.is_char_boundary(*n)) {
        let import = aside(&text[..cut]);
        let Some(found) = import.wines.first() else {
            assert_eq!(
                import.missed,
                [missed("stillbright/aside/17/x-a", Why::Nothing)]
            );
            assert!(cut < start + 60, "nothing was read of {}", &text[..cut]);
            continue;
        };
        assert_eq!(import.wines.len(), 1);
        // The weights are one thing, with none of its four missing.
        let mut missed = import.missed.clone();
        missed.retain(|m| m.why != Why::Fields(vec!["weights".into()]));
        let [
            Missed {
                name,
                why: Why::From(field),
            },
        ] = missed.as_slice()
        else {
            panic!("{:?}", import.missed)
        };
        assert_eq!(name, &found.name);
        let found = serde_json::to_value(found).unwrap();
        for (key, value) in found.as_object().unwrap() {
            // The weights are always written.
            assert!(
                key == "weights" || part_of(value, &whole[key]),
                "{key}: {value} of {cut}"
            );
        }
        // Whole is every field that stands before the one that is named.
        let place = |name: &str| text[start..].find(&format!("\"{name}\":")).unwrap();
        let before: Vec<&String> = names
            .iter()
            .filter(|n| place(n) < place(field))
            .copied()
            .collect();
        before.iter().for_each(|n| {
            assert_eq!(
                found.get(n.as_str()),
                Some(&whole[n.as_str()]),
                "{n} at {cut}"
            )
        });
        assert!(
            start + place(field) < cut && before.len() >= most,
            "less was read of more, at {cut}"
        );
        most = before.len();
    }
    assert_eq!(most, names.len() - 1);
}

#[test]
fn what_no_bit_turned_can_do_is_stop_the_reading() {
    let text = slot(&full());
    for at in 0..text.len() {
        for bit in 0..8 {
            let mut bytes = text.clone().into_bytes();
            bytes[at] ^= 1 << bit;
            if let Ok(spoiled) = String::from_utf8(bytes) {
                let import = aside(&spoiled);
                assert_eq!(
                    import.wines.is_empty(),
                    import
                        .missed
                        .iter()
                        .any(|m| matches!(m.why, Why::Nothing | Why::Newer)),
                    "{spoiled}"
                );
            }
        }
    }
}

#[test]
fn fields_that_cannot_be_read_are_named_and_the_others_read() {
    let wine = full();
    let text = slot(&wine);
    let changed = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        aside(&text.replacen(from, to, 1))
    };
    let fields = |import: &Import| match import.missed.as_slice() {
        [
            Missed {
                why: Why::Fields(fields),
                ..
            },
        ] => fields.join(" "),
        other => format!("{other:?}"),
    };
    let read = |import: &Import| import.wines.first().cloned().unwrap();
    let import = changed("\"wine\":{", "\"wine\":{\"later_field\":{\"a\":1},");
    assert_eq!(
        (fields(&import).as_str(), read(&import)),
        ("later_field", wine.clone())
    );
    let import = changed("\"colour\":\"red\"", "\"colour\":\"blue\"");
    assert_eq!(
        (fields(&import).as_str(), read(&import)),
        (
            "colour",
            Wine {
                colour: None,
                ..wine.clone()
            }
        )
    );
    let import = changed(
        "\"analyses\":{",
        "\"analyses\":{\"later_quantity\":\"3\",\"copper\":true,",
    );
    assert_eq!(
        (fields(&import).as_str(), read(&import)),
        ("analyses.later_quantity analyses.copper", wine.clone())
    );
    // An entry of the log keeps its place, since others name it by its number.
    let import = changed(
        "{\"day\":\"2026-10-01\",\"treatment\":\"gelatin\"",
        "7,{\"day\":\"2026-10-01\",\"treatment\":\"gelatin\"",
    );
    let mut log = wine.done.clone();
    log.insert(0, Done::default());
    assert_eq!(
        (fields(&import).as_str(), read(&import).done),
        ("done[0]", log)
    );
    let import = changed("\"note\":\"second\"", "\"note\":4");
    assert_eq!(fields(&import), "done[1].note");
    assert_eq!(
        read(&import).done[1],
        Done {
            note: String::new(),
            ..wine.done[1].clone()
        }
    );
    // A trial without one of its readings would speak for another dose.
    let import = changed("\"reading\":\"2\"", "\"reading\":[]");
    assert_eq!(
        (fields(&import).as_str(), read(&import).trials),
        ("trials[0]", Vec::new())
    );
    // What is set aside may have been saved as its text alone.
    assert_eq!(read_import(&text[..text.len() - 1]).unwrap().wines.len(), 1);
}

#[test]
fn of_two_damaged_copies_the_newer_counts() {
    let copy = |revision: u32, name: &str| {
        format!(
            "{{\"schema\":1,\"revision\":{revision},\"saved\":1,\"wine\":{{\"name\":\"{name}\",\"volume\":\"5"
        )
    };
    let kept = |a: &str, b: &str| {
        let texts = [
            ("stillbright/wine/x/a", copy(8, a)),
            ("stillbright/aside/17/x-b", copy(9, b)),
        ];
        read_import(&write_kept(texts.map(|(k, t)| (k.to_string(), t)))).unwrap()
    };
    let import = kept("older", "newer");
    assert_eq!(
        import
            .wines
            .iter()
            .map(|w| w.name.as_str())
            .collect::<Vec<_>>(),
        ["newer"]
    );
    assert_eq!(
        import.missed,
        [
            missed("newer", Why::From("volume".into())),
            missed("newer", Why::Copy)
        ]
    );
}

#[test]
fn a_file_of_all_that_a_browser_keeps_is_not_too_long_and_a_longer_one_says_so() {
    let text = slot(&full());
    let many =
        |n: usize| write_kept((0..n).map(|i| (format!("stillbright/wine/m{i}/a"), text.clone())));
    let n = 5_000_000 / text.len();
    assert_eq!(read_import(&many(n)).unwrap().wines.len(), n);
    let error = read_import(&many(n * 4)).unwrap_err().input_error();
    assert!(error.expected.contains("16000000"), "{error:?}");
}
