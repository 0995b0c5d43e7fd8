//! Checks the knowledge and packs it, compiles the words of the page, and lists the demo wines. A
//! wrong figure or word stops the build with a message that says where.

#![allow(missing_docs)]

#[allow(dead_code)]
#[path = "src/wine/words.rs"]
mod words;

#[allow(dead_code)]
#[path = "src/knowledge/packed.rs"]
mod packed;

#[path = "src/knowledge/compile.rs"]
mod compile;

#[allow(dead_code)]
#[path = "src/text/sign.rs"]
mod sign;

#[path = "src/text/compile.rs"]
mod texts;

use std::path::{Path, PathBuf};
use std::{env, fs, process::ExitCode};

fn main() -> ExitCode {
    let folder = Path::new("src/knowledge/data");
    println!("cargo:rerun-if-changed=src/knowledge");
    println!("cargo:rerun-if-changed=src/wine/words.rs");
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed={DEMOS}");
    println!("cargo:rerun-if-changed={LANGUAGES}");
    println!("cargo:rerun-if-changed=src/text");
    let written = read(folder)
        .and_then(|inputs| compile::compile(&inputs))
        .and_then(|packed| {
            write("knowledge.txt", packed.texts.as_bytes())?;
            write("knowledge.bin", &packed.bytes)
        })
        .and_then(|()| write("demos.rs", demos()?.as_bytes()))
        .and_then(|()| words());
    match written {
        Ok(()) => ExitCode::SUCCESS,
        Err(errors) => {
            for error in errors {
                eprintln!("error: {error}");
            }
            ExitCode::FAILURE
        }
    }
}

/// Where the demo wines are.
const DEMOS: &str = "demo-data";

/// Where the words of the page are.
const LANGUAGES: &str = "languages";

/// Compiles the words of the page: the messages as Rust, and a table for each language but English.
fn words() -> Result<(), Vec<String>> {
    let mut others = Vec::new();
    let mut english = None;
    for path in files(Path::new(LANGUAGES), "ftl")? {
        let input = texts::Input {
            name: path.display().to_string(),
            code: path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            text: fs::read_to_string(&path)
                .map_err(|e| vec![format!("{}: {e}", path.display())])?,
        };
        match input.code.as_str() {
            "en" => english = Some(input),
            _ => others.push(input),
        }
    }
    let english = english.ok_or_else(|| vec![format!("{LANGUAGES}/en.ftl is missing")])?;
    let compiled = texts::compile(&english, &others)?;
    for (file, id) in &compiled.missing {
        println!("cargo:warning={file}: `{id}` is not translated and stays English");
    }
    write("messages.rs", compiled.rust.as_bytes())?;
    for (code, table) in &compiled.tables {
        write(&format!("{code}.words"), table)?;
    }
    Ok(())
}

fn write(name: &str, bytes: &[u8]) -> Result<(), Vec<String>> {
    let out = env::var("OUT_DIR").map_err(|e| vec![e.to_string()])?;
    fs::write(Path::new(&out).join(name), bytes).map_err(|e| vec![e.to_string()])
}

/// The files of a folder with this ending, by name.
fn files(folder: &Path, ending: &str) -> Result<Vec<PathBuf>, Vec<String>> {
    let mut all: Vec<PathBuf> = fs::read_dir(folder)
        .map_err(|e| vec![format!("{}: {e}", folder.display())])?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.extension().is_some_and(|x| x == ending))
        .collect();
    all.sort();
    Ok(all)
}

/// The demo wines as two lists in Rust: what each is offered as, and its text.
fn demos() -> Result<String, Vec<String>> {
    let (mut titles, mut texts, mut errors) = (String::new(), String::new(), Vec::new());
    let numbered = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.starts_with(|c: char| c.is_ascii_digit())
    };
    for path in files(Path::new(DEMOS), "json")?
        .into_iter()
        .filter(numbered)
    {
        let text = fs::read_to_string(&path).map_err(|e| e.to_string());
        let read = text.and_then(|text| {
            let file: serde_json::Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
            let title = file.get("title").and_then(serde_json::Value::as_str);
            let title = title.filter(|t| !t.trim().is_empty());
            Ok((
                title
                    .ok_or("give it a `title`: what the page offers it as")?
                    .to_string(),
                text,
            ))
        });
        match read {
            Ok((title, text)) => {
                titles.push_str(&format!("    {title:?},\n"));
                texts.push_str(&format!("    {text:?},\n"));
            }
            Err(what) => errors.push(format!("{}: {what}", path.display())),
        }
    }
    if errors.is_empty() {
        Ok(format!(
            "/// What each is offered as.\npub const TITLES: &[&str] = &[\n{titles}];\n/// Its file.\npub const TEXTS: &[&str] = &[\n{texts}];\n"
        ))
    } else {
        Err(errors)
    }
}

fn read(folder: &Path) -> Result<Vec<compile::Input>, Vec<String>> {
    let fail = |e: std::io::Error| vec![format!("{}: {e}", folder.display())];
    files(folder, "toml")?
        .into_iter()
        .map(|path| {
            Ok(compile::Input {
                name: path.display().to_string(),
                text: fs::read_to_string(&path).map_err(fail)?,
            })
        })
        .collect()
}
