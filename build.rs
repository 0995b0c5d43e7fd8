//! Checks the knowledge and packs it, and lists the demo wines. A wrong figure stops the build with
//! a message that says where.

#![allow(missing_docs)]

#[allow(dead_code)]
#[path = "src/wine/words.rs"]
mod words;

#[allow(dead_code)]
#[path = "src/knowledge/packed.rs"]
mod packed;

#[path = "src/knowledge/compile.rs"]
mod compile;

use std::path::{Path, PathBuf};
use std::{env, fs, process::ExitCode};

fn main() -> ExitCode {
    let folder = Path::new("src/knowledge/data");
    println!("cargo:rerun-if-changed=src/knowledge");
    println!("cargo:rerun-if-changed=src/wine/words.rs");
    println!("cargo:rerun-if-changed=build.rs");
    println!("cargo:rerun-if-changed={DEMOS}");
    let written = read(folder)
        .and_then(|inputs| compile::compile(&inputs))
        .and_then(|packed| {
            write("knowledge.txt", packed.texts.as_bytes())?;
            write("knowledge.bin", &packed.bytes)
        })
        .and_then(|()| write("demos.rs", demos()?.as_bytes()));
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
