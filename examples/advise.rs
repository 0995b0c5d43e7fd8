//! Prints what the page shows of the wines of an exported file, as JSON: an array with one entry a
//! wine, values and keys with
//! the English of the page beside them.
//!
//!     cargo run --release --example advise -- [--today YYYY-MM-DD] [PART] FILE.json
//!
//! Without a part: the whole advice (lists, stabilities, what to measure next, causes, what follows
//! from the analyses), equal
//! to the byte to the file that the page saves. The parts:
//!
//! - `--routes`: whole chains to the bottle.
//! - `--order`: the work order of the plan, whether the route that was taken still holds, and the
//!   sheet.
//! - `--record`: the record of fitness to bottle, and the sheet.
//! - `--laboratory`: what a laboratory is asked, and the sheet.
//! - `--glance`: the five lanes, the one next step and the next days.
//! - `--all`: all of these, the bench trials, the log and the summary for the owner.
//!
//! `--today 2026-11-25` sets the day that the bottling day is counted from; without it no day is
//! known. A field that cannot be
//! used is named on the error channel, and the exit status is not zero. With the feature `schema`,
//! `--schema-file`,
//! `--schema-advice`, `--schema-routes` and `--schema-glance` print the JSON Schemas of the file, the
//! advice, the routes and the glance.

use std::process::ExitCode;
use stillbright::dossier::Dossier;
use stillbright::glance::home;
use stillbright::wine::Wine;
use stillbright::{advice::advise, book::read_file, report, route::routes, units::day::Day};

const USAGE: &str = "Usage: advise [--today YYYY-MM-DD] [--routes | --order | --record | --laboratory | --glance | --all] FILE.json";

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
    let (mut today, mut file, mut part) = (None, None, None);
    let mut args = args.into_iter();
    while let Some(arg) = args.next() {
        match arg.as_str() {
            "--today" => {
                let text = args.next().unwrap_or_default();
                today = Some(
                    Day::read(&text)
                        .ok_or_else(|| error("--today", &text, "a day such as 2026-11-25"))?,
                );
            }
            "--routes" | "--order" | "--record" | "--laboratory" | "--glance" | "--all"
                if part.is_none() =>
            {
                part = Some(arg)
            }
            #[cfg(feature = "schema")]
            "--schema-routes" => {
                return json(&schemars::schema_for!(Vec<stillbright::route::Routes>));
            }
            #[cfg(feature = "schema")]
            "--schema-glance" => {
                return json(&schemars::schema_for!(Vec<stillbright::glance::Home>));
            }
            #[cfg(feature = "schema")]
            "--schema-file" => {
                return json(&schemars::schema_for!(stillbright::book::file::BookFile));
            }
            #[cfg(feature = "schema")]
            "--schema-advice" => {
                return json(&schemars::schema_for!(Vec<stillbright::advice::Advice>));
            }
            _ if arg.starts_with("--") || file.is_some() => return Err(USAGE.to_string()),
            _ => file = Some(arg),
        }
    }
    let wines = read(&file.ok_or_else(|| USAGE.to_string())?)?;
    let wines = wines.iter();
    match part.as_deref() {
        Some("--routes") => json(
            &wines
                .map(|w| routes(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
        Some("--order") => json(
            &wines
                .map(|w| report::order(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
        Some("--record") => json(
            &wines
                .map(|w| report::record(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
        Some("--laboratory") => json(
            &wines
                .map(|w| report::laboratory(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
        Some("--glance") => json(
            &wines
                .map(|w| home(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
        Some(_) => json(
            &wines
                .map(|w| report::everything(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
        None => json(
            &wines
                .map(|w| advise(&Dossier::of(w), today))
                .collect::<Vec<_>>(),
        ),
    }
}

/// The wines of a file; what cannot be used is an error.
fn read(file: &str) -> Result<Vec<Wine>, String> {
    let text = std::fs::read_to_string(file).map_err(|e| error("file", file, &e.to_string()))?;
    let wines = read_file(&text).map_err(|e| {
        let e = e.input_error();
        error(&e.field, &e.read, &e.expected)
    })?;
    for (i, wine) in wines.iter().enumerate() {
        if let Some(e) = wine.errors().first() {
            return Err(error(
                &format!("wines[{i}].{}", e.field),
                &e.read,
                &e.expected,
            ));
        }
    }
    Ok(wines)
}

fn json<T: serde::Serialize>(value: &T) -> Result<String, String> {
    serde_json::to_string(value).map_err(|e| e.to_string())
}

fn error(field: &str, read: &str, expected: &str) -> String {
    serde_json::json!({ "error": { "field": field, "read": read, "expected": expected } })
        .to_string()
}
