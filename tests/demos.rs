//! A demo wine is one file: what lies in the folder is what the page offers.
#![allow(missing_docs, clippy::unwrap_used)]

use std::fs;
use stillbright::book::{read_book, read_file};
use stillbright::demos::{TEXTS, TITLES};

/// The numbered files, by name.
fn folder() -> Vec<String> {
    let mut paths: Vec<_> = fs::read_dir("demo-data")
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.retain(|p| {
        let name = p.file_name().unwrap().to_string_lossy();
        name.starts_with(|c: char| c.is_ascii_digit()) && name.ends_with(".json")
    });
    paths.sort();
    paths
        .iter()
        .map(|p| fs::read_to_string(p).unwrap())
        .collect()
}

#[test]
fn every_file_of_the_folder_is_offered_under_its_title() {
    let folder = folder();
    assert!(!folder.is_empty());
    assert_eq!(folder, TEXTS);
    let titles: Vec<String> = folder
        .iter()
        .map(|text| read_book(text).unwrap().title)
        .collect();
    assert_eq!(titles, TITLES);
    for (i, title) in TITLES.iter().enumerate() {
        assert!(!TITLES[..i].contains(title), "two are called {title}");
    }
}

/// The page opens what it adds, one wine a file.
#[test]
fn every_file_holds_one_invented_wine_that_names_what_is_wrong() {
    for (title, text) in TITLES.iter().zip(TEXTS) {
        let wines = read_file(text).unwrap();
        assert_eq!(wines.len(), 1, "{title}");
        let sound = wines[0].demo && wines[0].errors().is_empty();
        assert!(sound && wines[0].name.contains("(invented)"), "{title}");
        assert!(!wines[0].problems.is_empty(), "{title}");
    }
}
