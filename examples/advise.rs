//! Prints the whole advice for an exported file as JSON: `cargo run --release --example advise -- SCENARIO.json`.
//! With `--routes` it prints the routes instead: whole chains to the bottle. `--today 2026-11-25` sets the day that the
//! bottling day is counted from. With the feature `schema`, `--schema-file`, `--schema-advice` and `--schema-routes` print
//! the JSON Schemas of the files.

use std::process::ExitCode;
use stillbright::{advice::advise, book::read_file, route::routes, units::day::Day};

fn main() -> ExitCode {
    match run(std::env::args().skip(1).collect()) {
        Ok(text) => {
            println!("{text}");
            ExitCode::SUCCESS
        }
        Err(text) => {
            eprintln!("{text}");
            ExitCode::FAILURE
        }
    }
}

fn run(args: Vec<String>) -> Result<String, String> {
    let (mut today, mut file, mut chains) = (None, None, false);
    let mut args = args.into_iter();
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--today" => {
                let text = args.next().unwrap_or_default();
                today = Some(Day::read(&text).ok_or_else(|| error("--today", &text, "a day such as 2026-11-25"))?);
            }
            "--routes" => chains = true,
            #[cfg(feature = "schema")]
            "--schema-routes" => {
                return json(&schemars::schema_for!(Vec<stillbright::route::Routes>));
            }
            #[cfg(feature = "schema")]
            "--schema-file" => {
                return json(&schemars::schema_for!(stillbright::book::file::BookFile));
            }
            #[cfg(feature = "schema")]
            "--schema-advice" => {
                return json(&schemars::schema_for!(Vec<stillbright::advice::Advice>));
            }
            _ => file = Some(arg),
        }
    }
    let file = file.ok_or_else(|| "Usage: advise [--today YYYY-MM-DD] [--routes] SCENARIO.json".to_string())?;
    let text = std::fs::read_to_string(&file).map_err(|e| error("file", &file, &e.to_string()))?;
    let wines = read_file(&text).map_err(|e| {
        let e = e.input_error();
        error(&e.field, &e.read, &e.expected)
    })?;
    for (i, wine) in wines.iter().enumerate() {
        if let Some(e) = wine.errors().first() {
            return Err(error(&format!("wines[{i}].{}", e.field), &e.read, &e.expected));
        }
    }
    if chains {
        let all: Vec<_> = wines.iter().map(|w| routes(w, today)).collect();
        return json(&all);
    }
    let advice: Vec<_> = wines.iter().map(|w| advise(w, today)).collect();
    json(&advice)
}

fn json<T: serde::Serialize>(value: &T) -> Result<String, String> {
    serde_json::to_string(value).map_err(|e| e.to_string())
}

fn error(field: &str, read: &str, expected: &str) -> String {
    serde_json::json!({ "error": { "field": field, "read": read, "expected": expected } }).to_string()
}
