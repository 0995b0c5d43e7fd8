//! What uses what, and who may see what was typed.
#![allow(clippy::unwrap_used, missing_docs)]

use std::path::{Path, PathBuf};

/// The modules from the ground up: each may use those before it.
const ORDER: [&str; 29] = [
    "units",
    "sorting",
    "message",
    "text",
    "answer",
    "chemistry",
    "json",
    "wine",
    "knowledge",
    "demos",
    "book",
    "case",
    "state",
    "law",
    "diagnosis",
    "derived",
    "dossier",
    "stability",
    "rules",
    "obligations",
    "trial",
    "treatment",
    "route",
    "work_order",
    "advice",
    "glance",
    "report",
    "app",
    "main",
];

/// The one arrow up: the lists of fields of a wine and the reader that goes by them.
const UP: [(&str, &str); 1] = [("json", "wine")];

/// Where what was typed is kept, checked, written or shown. Everything else reads a case.
const TYPED: [&str; 7] = [
    "wine/",
    "json/",
    "book/",
    "case/",
    "app/",
    "trial/write.rs",
    // A route that is taken is written into the plan.
    "route/plan.rs",
];

fn sources(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
    {
        if entry.is_dir() {
            sources(&entry, all);
        } else if entry.extension().is_some_and(|x| x == "rs") {
            all.push(entry);
        }
    }
}

/// Each source with its path under `src` and its code: no comments, texts or unit tests.
fn code() -> Vec<(String, String)> {
    let mut all = Vec::new();
    sources(Path::new("src"), &mut all);
    all.sort();
    let read = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        let own = text.split("#[cfg(test)]\nmod tests").next().unwrap();
        let code: Vec<String> = own.lines().map(plain).collect();
        let name = path.strip_prefix("src").unwrap().display().to_string();
        (name, code.join("\n"))
    };
    all.into_iter().map(read).collect()
}

/// A line without its comment and what stands between quotes.
fn plain(line: &str) -> String {
    let line = line.split("//").next().unwrap();
    line.split('"').step_by(2).collect::<Vec<_>>().join(" ")
}

fn module(file: &str) -> &str {
    file.split(['/', '.']).next().unwrap()
}

/// The modules that a piece of code names.
fn used(code: &str) -> Vec<&str> {
    code.split("crate::")
        .skip(1)
        .map(|rest| {
            let end = rest.find(|c: char| !(c.is_ascii_lowercase() || c == '_'));
            &rest[..end.unwrap_or(rest.len())]
        })
        .filter(|name| !name.is_empty())
        .collect()
}

fn place(module: &str) -> Option<usize> {
    ORDER.iter().position(|m| *m == module)
}

#[test]
fn a_module_uses_those_below_it() {
    let mut wrong = Vec::new();
    for (file, code) in code().iter().filter(|(f, _)| !f.starts_with("lib.")) {
        let own = module(file);
        let Some(at) = place(own) else {
            wrong.push(format!(
                "{file}: put `{own}` into ORDER of tests/modules.rs"
            ));
            continue;
        };
        for name in used(code).into_iter().filter(|n| *n != own) {
            let below = place(name).is_none_or(|p| p < at);
            if !below && !UP.contains(&(own, name)) {
                wrong.push(format!("{file} uses `{name}`, which stands above `{own}`"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn nothing_but_the_case_reads_what_was_typed() {
    let typed = |code: &str| {
        let word = |w: &str| code.split(|c: char| !c.is_alphanumeric()).any(|x| x == w);
        // What was found is a value of a case; to read it from a text is not.
        let code = code.replace("units::read::Found", "");
        word("Wine") || word("AsTyped") || code.contains("units::read")
    };
    let all = code();
    let wrong: Vec<&String> = all
        .iter()
        .filter(|(file, _)| !TYPED.iter().any(|t| file.starts_with(t)))
        .filter(|(file, _)| !file.starts_with("units/") && !file.starts_with("lib."))
        .filter(|(_, code)| typed(code))
        .map(|(file, _)| file)
        .collect();
    assert!(
        wrong.is_empty(),
        "these read what was typed in place of a case: {wrong:?}"
    );
}
