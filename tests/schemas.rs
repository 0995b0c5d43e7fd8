//! The JSON Schemas in demo-data are those of the types, and every demo file fits its types.
#![cfg(feature = "schema")]
#![allow(clippy::unwrap_used, missing_docs)]

/// `make accept` writes them anew.
#[test]
fn the_schemas_are_written_from_the_types() {
    let written = [
        (
            "demo-data/file.schema.json",
            serde_json::to_string(&schemars::schema_for!(stillbright::book::file::BookFile)),
        ),
        (
            "demo-data/advice.schema.json",
            serde_json::to_string(&schemars::schema_for!(Vec<stillbright::advice::Advice>)),
        ),
        (
            "demo-data/routes.schema.json",
            serde_json::to_string(&schemars::schema_for!(Vec<stillbright::route::Routes>)),
        ),
        (
            "demo-data/glance.schema.json",
            serde_json::to_string(&schemars::schema_for!(Vec<stillbright::glance::Home>)),
        ),
    ];
    for (file, schema) in written {
        let schema = schema.unwrap();
        if std::env::var_os("ACCEPT").is_some() {
            std::fs::write(file, format!("{schema}\n")).unwrap();
        }
        let kept = std::fs::read_to_string(file).unwrap();
        assert_eq!(schema, kept.trim(), "{file}: `make accept` writes it");
    }
}

#[test]
fn every_demo_file_is_read_without_error() {
    for (title, text) in stillbright::demos::TITLES
        .iter()
        .zip(stillbright::demos::TEXTS)
    {
        let wines = stillbright::book::read_file(text).unwrap();
        let sound = |w: &stillbright::wine::Wine| {
            w.demo && w.errors().is_empty() && w.name.contains("(invented)")
        };
        assert!(wines.iter().all(sound), "{title}");
    }
}
