//! Checks the knowledge and packs it. A wrong figure stops the build with a message that says
//! where.

#![allow(missing_docs)]

#[allow(dead_code)]
#[path = "src/wine/words.rs"]
mod words;

#[allow(dead_code)]
#[path = "src/knowledge/packed.rs"]
mod packed;

#[path = "src/knowledge/compile.rs"]
mod compile;

use std::{env, fs, path::Path, process::ExitCode};

fn main() -> ExitCode {
    let folder = Path::new("src/knowledge/data");
    println!("cargo:rerun-if-changed=src/knowledge");
    println!("cargo:rerun-if-changed=src/wine/words.rs");
    println!("cargo:rerun-if-changed=build.rs");
    let written = read(folder)
        .and_then(|inputs| compile::compile(&inputs))
        .and_then(|packed| {
            let out = env::var("OUT_DIR").map_err(|e| vec![e.to_string()])?;
            let write = |name: &str, bytes: &[u8]| {
                fs::write(Path::new(&out).join(name), bytes).map_err(|e| vec![e.to_string()])
            };
            write("knowledge.txt", packed.texts.as_bytes())
                .and_then(|()| write("knowledge.bin", &packed.bytes))
        });
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

fn read(folder: &Path) -> Result<Vec<compile::Input>, Vec<String>> {
    let fail = |e: std::io::Error| vec![format!("{}: {e}", folder.display())];
    let mut names: Vec<_> = fs::read_dir(folder)
        .map_err(fail)?
        .filter_map(|entry| entry.ok().map(|e| e.path()))
        .filter(|path| path.extension().is_some_and(|x| x == "toml"))
        .collect();
    names.sort();
    names
        .into_iter()
        .map(|path| {
            Ok(compile::Input {
                name: path.display().to_string(),
                text: fs::read_to_string(&path).map_err(fail)?,
            })
        })
        .collect()
}
