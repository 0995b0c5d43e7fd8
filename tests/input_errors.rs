//! Bad input: the field, what was read and what was expected; and data files that must stop the
//! build.
#![allow(clippy::unwrap_used, missing_docs)]

use std::process::Command;
use stillbright::book::read_file;

fn error(text: &str) -> (String, String, String) {
    let e = read_file(text).unwrap_err().input_error();
    (e.field, e.read, e.expected)
}

#[test]
fn names_the_field_what_was_read_and_what_was_expected() {
    let (field, read, expected) = error(
        "{\"app\":\"stillbright\",\"schema\":1,\n\"wines\":[{\"name\":\"a\",\n\"colour\":\"blue\"}]}",
    );
    assert_eq!(field, "wines[0].colour");
    assert!(
        read.contains("blue") && expected.contains("white") && expected.contains("red"),
        "{read} {expected}"
    );
    let (field, _, expected) =
        error("{\"app\":\"stillbright\",\"schema\":1,\"wines\":[{\"colur\":\"red\"}]}");
    assert!(
        field.contains("colur") && expected.contains("Unknown field"),
        "{field} {expected}"
    );
    assert_eq!(error("{\"app\":\"other\",\"schema\":1}").0, "app");
    assert_eq!(
        error("{\"app\":\"stillbright\",\"schema\":9,\"wines\":[]}").0,
        "schema"
    );
    assert_eq!(error("").0, "file");
    assert_eq!(error(&"x".repeat(1_000_001)).0, "file");
    let deep = format!(
        "{{\"app\":\"stillbright\",\"schema\":1,\"wines\":{}{}}}",
        "[".repeat(500),
        "]".repeat(500)
    );
    assert!(read_file(&deep).is_err());
}

/// Words of the reader of JSON, which are English and no advice.
const READERS: [&str; 9] = [
    "at line",
    "while parsing",
    "trailing",
    "recursion",
    "expected value",
    "expected `",
    "control character",
    "invalid",
    "surrogate",
];

#[test]
fn where_a_text_is_no_json_the_place_is_shown_and_how_to_mend_it_in_our_words() {
    let head = "{\"app\":\"stillbright\",\"schema\":1,\"wines\":[";
    for (text, place, near) in [
        (
            format!("{head}{{\"name\":\"a\",\"volume\":12 34}}]}}"),
            "line 1, column",
            "12 34",
        ),
        (
            format!("{head}\n{{\"name\":\"é\"\n\"volume\":\"1\"}}]}}"),
            "line 3, column 1",
            "\"volume\"",
        ),
        (
            format!("{head}{{\"name\":\"a\u{1}\"}}]}}"),
            "line 1, column 52",
            "\"name\":\"a",
        ),
        (
            format!("{head}{{\"name\":\"\\ud83d\"}}]}}"),
            "line 1, column",
            "ud83d",
        ),
        (
            format!("{head}{{\"name\":\"Vat 1\",\"vol"),
            "line 1, column 61",
            "\"vol",
        ),
        (format!("{head}]}} more"), "line 1, column 45", "more"),
        (
            format!("{head}{}", "[".repeat(400)),
            "line 1, column",
            "[[[",
        ),
        (
            format!("{head}{{\"volume\":1e999}}]}}"),
            "line 1, column",
            "1e999",
        ),
        ("<html>".into(), "line 1, column 1", "<html>"),
    ] {
        let (field, read, expected) = error(&text);
        assert_eq!(field, "file");
        assert!(
            read.starts_with(place) && read.contains(near),
            "{read}: not {place}, {near}"
        );
        assert!(
            expected.starts_with("This cannot stand here: ")
                || expected.starts_with("The file ends too early"),
            "{expected}"
        );
        READERS.iter().for_each(|w| {
            assert!(
                !read.contains(w) && !expected.contains(w),
                "{read} {expected}"
            )
        });
    }
    assert!(
        error(&format!("{head}{{\"name\":\"Vat"))
            .2
            .starts_with("The file ends too early")
    );
    // However long the line, the place is shown and not its beginning.
    let long = format!(
        "{head}{{\"name\":\"a\",\"note\":\"{}\",\"volume\":?}}]}}",
        "é".repeat(5000)
    );
    let (_, read, _) = error(&long);
    assert!(
        read.contains("\"volume\":?") && read.chars().count() < 120,
        "{read}"
    );
}

#[test]
fn the_example_exits_non_zero_and_names_the_field() {
    let file = std::env::temp_dir().join(format!("stillbright-{}.json", std::process::id()));
    std::fs::write(
        &file,
        "{\"app\":\"stillbright\",\"schema\":1,\"wines\":[{\"analyses\":{\"ph\":\"31\"}}]}",
    )
    .unwrap();
    // `cargo test` builds the examples beside the tests: target/debug/deps/… and
    // target/debug/examples/advise.
    let example = std::env::current_exe()
        .unwrap()
        .ancestors()
        .nth(2)
        .unwrap()
        .join("examples")
        .join("advise")
        .with_extension(std::env::consts::EXE_EXTENSION);
    assert!(
        example.is_file(),
        "{} is not built: run `cargo build --example advise` first",
        example.display()
    );
    let out = Command::new(example).arg(&file).output().unwrap();
    std::fs::remove_file(&file).unwrap();
    let words = String::from_utf8_lossy(&out.stderr).to_string();
    assert!(!out.status.success());
    assert!(
        words.contains("wines[0].analyses.ph") && words.contains("\"31\"") && words.contains("2.5"),
        "{words}"
    );
}
