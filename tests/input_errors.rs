//! Bad input: the field, what was read and what was expected; and data files that must stop the build.
#![allow(clippy::unwrap_used, missing_docs)]

use std::process::Command;
use stillbright::book::read_file;

fn error(text: &str) -> (String, String, String) {
    let e = read_file(text).unwrap_err().input_error();
    (e.field, e.read, e.expected)
}

#[test]
fn names_the_field_what_was_read_and_what_was_expected() {
    let (field, read, expected) = error("{\"app\":\"stillbright\",\"schema\":1,\n\"wines\":[{\"name\":\"a\",\n\"colour\":\"blue\"}]}");
    assert_eq!(field, "wines[0].colour");
    assert!(read.contains("blue") && expected.contains("white") && expected.contains("red"), "{read} {expected}");
    let (field, _, expected) = error("{\"app\":\"stillbright\",\"schema\":1,\"wines\":[{\"colur\":\"red\"}]}");
    assert!(field.contains("colur") && expected.contains("Unknown field"), "{field} {expected}");
    assert_eq!(error("{\"app\":\"other\",\"schema\":1}").0, "app");
    assert_eq!(error("{\"app\":\"stillbright\",\"schema\":9,\"wines\":[]}").0, "schema");
    assert_eq!(error("").0, "file");
    assert_eq!(error(&"x".repeat(1_000_001)).0, "file");
    let deep = format!("{{\"app\":\"stillbright\",\"schema\":1,\"wines\":{}{}}}", "[".repeat(500), "]".repeat(500));
    assert!(read_file(&deep).is_err());
}

#[test]
fn the_example_exits_non_zero_and_names_the_field() {
    let file = std::env::temp_dir().join(format!("stillbright-{}.json", std::process::id()));
    std::fs::write(&file, "{\"app\":\"stillbright\",\"schema\":1,\"wines\":[{\"analyses\":{\"ph\":\"31\"}}]}").unwrap();
    // `cargo test` builds the examples beside the tests: target/debug/deps/… and target/debug/examples/advise.
    let example = std::env::current_exe().unwrap().ancestors().nth(2).unwrap().join("examples").join("advise").with_extension(std::env::consts::EXE_EXTENSION);
    assert!(example.is_file(), "{} is not built: run `cargo build --example advise` first", example.display());
    let out = Command::new(example).arg(&file).output().unwrap();
    std::fs::remove_file(&file).unwrap();
    let words = String::from_utf8_lossy(&out.stderr).to_string();
    assert!(!out.status.success());
    assert!(words.contains("wines[0].analyses.ph") && words.contains("\"31\"") && words.contains("2.5"), "{words}");
}
