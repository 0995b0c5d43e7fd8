//! The JSON Schemas in demo-data are those of the types, and every demo file fits its types.
#![cfg(feature = "schema")]
#![allow(missing_docs)]

#[test]
fn the_schemas_are_written_from_the_types() {
    let file =
        serde_json::to_string(&schemars::schema_for!(stillbright::book::file::BookFile)).unwrap();
    let advice =
        serde_json::to_string(&schemars::schema_for!(Vec<stillbright::advice::Advice>)).unwrap();
    let routes =
        serde_json::to_string(&schemars::schema_for!(Vec<stillbright::route::Routes>)).unwrap();
    assert_eq!(
        routes,
        include_str!("../demo-data/routes.schema.json").trim()
    );
    assert_eq!(file, include_str!("../demo-data/file.schema.json").trim());
    assert_eq!(
        advice,
        include_str!("../demo-data/advice.schema.json").trim()
    );
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
