//! Every public equation of `src/chemistry` says where it is from, has an example with a figure
//! that is not its own, and is tried with any number at all.
//!
//! Read from the sources, so that nobody keeps a list:
//! - a reference is `[7]`, the number of a work in `src/chemistry/mod.rs`; `[OIV]`, the key of a
//!   source of the knowledge; or one of the words of `WITHOUT_A_WORK`;
//! - an example is a doctest, or a call in `tests/published` or `tests/worked`;
//! - a public function that is no equation (it makes, reads or passes on a value) says “No
//!   equation.” in its doc comment, and why where that is not plain.
#![allow(clippy::unwrap_used, missing_docs)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use stillbright::knowledge::SOURCES;

/// How an equation is known that no work is named for.
const WITHOUT_A_WORK: [&str; 5] = [
    "by definition",
    "derived from",
    "from memory",
    "common practice",
    "judgement",
];
/// What a helper says of itself.
const HELPER: &str = "no equation";

/// A public function with its doc comment.
#[derive(Debug)]
struct Function {
    /// The file without its ending.
    module: String,
    /// The type it belongs to.
    of: Option<String>,
    name: String,
    doc: String,
}

impl Function {
    fn shown(&self) -> String {
        let of = self.of.as_ref().map_or(String::new(), |t| format!("{t}::"));
        format!("src/chemistry/{}.rs: {of}{}", self.module, self.name)
    }

    /// Whether a source calls it: a method behind a point or its type, anything else behind its
    /// module or, where it is imported, alone.
    fn is_called_in(&self, source: &str) -> bool {
        let call = format!("{}(", self.name);
        if let Some(of) = &self.of {
            let is_named = source.contains(of.as_str());
            return source.contains(&format!("{of}::{call}"))
                || is_named && source.contains(&format!(".{call}"));
        }
        let alone = || {
            source.match_indices(&call).any(|(at, _)| {
                let before = source[..at].chars().next_back();
                !before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | '.' | ':'))
            })
        };
        source.contains(&format!("{}::{call}", self.module))
            || is_imported(source, &self.module, &self.name) && alone()
    }
}

fn is_imported(source: &str, module: &str, name: &str) -> bool {
    let from = format!("chemistry::{module}::");
    source.match_indices(&from).any(|(at, _)| {
        let rest = &source[at + from.len()..];
        let names = rest.split(';').next().unwrap();
        names
            .split(|c: char| !(c.is_alphanumeric() || c == '_'))
            .any(|word| word == name)
    })
}

/// The public functions of a source as rustfmt writes it, without its tests.
fn functions(module: &str, source: &str) -> Vec<Function> {
    let mut all = Vec::new();
    let (mut of, mut doc) = (None, String::new());
    for line in source.lines().take_while(|l| *l != "#[cfg(test)]") {
        let text = line.trim_start();
        if let Some(type_name) = line.strip_prefix("impl ") {
            of = Some(type_name.trim_end_matches(" {").to_string());
        } else if line == "}" {
            of = None;
        }
        if let Some(words) = text.strip_prefix("///") {
            doc.push_str(words);
            doc.push('\n');
        } else if !text.starts_with("#[") {
            let rest = ["pub fn ", "pub const fn "]
                .iter()
                .find_map(|start| text.strip_prefix(start));
            if let Some(rest) = rest {
                all.push(Function {
                    module: module.into(),
                    of: of.clone(),
                    name: rest.split(['(', '<']).next().unwrap().into(),
                    doc: doc.clone(),
                });
            }
            doc.clear();
        }
    }
    all
}

/// What stands in brackets and reads as a number or a key: “[2, 6]” is 2 and 6. The brackets of a
/// formula, between backticks, are concentrations.
fn works(doc: &str) -> BTreeSet<String> {
    let words: String = doc.split('`').step_by(2).collect();
    words
        .split('[')
        .skip(1)
        .filter_map(|rest| rest.split_once(']'))
        .flat_map(|(inside, _)| inside.split(','))
        .map(str::trim)
        .filter(|w| {
            w.chars()
                .all(|c| c.is_ascii_uppercase() || c.is_ascii_digit() || matches!(c, '-' | '.'))
        })
        .filter(|w| !w.is_empty())
        .map(String::from)
        .collect()
}

/// The numbers of the works listed in `src/chemistry/mod.rs`.
fn listed(module: &str) -> BTreeSet<String> {
    module
        .lines()
        .filter_map(|l| l.strip_prefix("//! ")?.split_once(". "))
        .map(|(number, _)| number.to_string())
        .filter(|n| n.chars().all(|c| c.is_ascii_digit()))
        .collect()
}

/// What the functions are held against.
struct Held {
    works: BTreeSet<String>,
    /// Sources of tests that show examples.
    examples: Vec<String>,
    /// The property that tries any number.
    any_number: String,
}

/// What a function lacks, a sentence each.
fn lacking(f: &Function, held: &Held) -> Vec<String> {
    let words = f.doc.split_whitespace().collect::<Vec<_>>().join(" ");
    let words = words.to_lowercase();
    if words.contains(HELPER) {
        return Vec::new();
    }
    let mut all = Vec::new();
    let mut say = |what: String| all.push(format!("{} {what}", f.shown()));
    let named = works(&f.doc);
    for unknown in named.difference(&held.works) {
        say(format!(
            "cites [{unknown}], which is no work of src/chemistry/mod.rs and no source of the knowledge"
        ));
    }
    if named.is_empty() && !WITHOUT_A_WORK.iter().any(|w| words.contains(w)) {
        say(format!(
            "has no reference: in its doc comment, name a work of src/chemistry/mod.rs as [7], a source of the knowledge by its key, or say one of {WITHOUT_A_WORK:?}; “No equation.” where it is none"
        ));
    }
    if !f.doc.contains("```") && !held.examples.iter().any(|source| f.is_called_in(source)) {
        say("has no example: call it in tests/published with a figure that was read, or in tests/worked with one worked out by hand".into());
    }
    if !f.is_called_in(&held.any_number) {
        say("is not tried with any number: add it to no_float_makes_a_panic_or_no_number in tests/chemistry_properties.rs".into());
    }
    all
}

fn sources(folder: &str) -> Vec<(String, String)> {
    let mut files: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|x| x == "rs"))
        .collect();
    files.sort();
    let stem = |p: &Path| p.file_stem().unwrap().to_string_lossy().to_string();
    files
        .iter()
        .map(|p| (stem(p), fs::read_to_string(p).unwrap()))
        .collect()
}

/// Without its comments, in which a name is no call.
fn code(source: &str) -> String {
    source
        .lines()
        .filter(|l| !l.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n")
}

fn held() -> Held {
    let module = fs::read_to_string("src/chemistry/mod.rs").unwrap();
    let properties = code(&fs::read_to_string("tests/chemistry_properties.rs").unwrap());
    let (imports, any_number) = properties
        .split_once("fn no_float_makes_a_panic_or_no_number")
        .unwrap();
    let imports: String = imports
        .split_inclusive(';')
        .filter(|s| s.contains("use "))
        .collect();
    let keys = SOURCES.iter().map(|s| s.key.to_string());
    Held {
        works: listed(&module).into_iter().chain(keys).collect(),
        examples: sources("tests/published")
            .into_iter()
            .chain(sources("tests/worked"))
            .map(|(_, source)| code(&source))
            .collect(),
        any_number: imports + any_number,
    }
}

#[test]
fn every_public_equation_has_a_reference_an_example_and_a_trial_with_any_number() {
    let held = held();
    let lacks: Vec<String> = sources("src/chemistry")
        .iter()
        .flat_map(|(module, source)| functions(module, source))
        .flat_map(|f| lacking(&f, &held))
        .collect();
    assert!(
        lacks.is_empty(),
        "{} faults:\n{}",
        lacks.len(),
        lacks.join("\n")
    );
}

/// A work that nothing cites is no reference of anything.
#[test]
fn every_listed_work_is_cited() {
    let module = fs::read_to_string("src/chemistry/mod.rs").unwrap();
    let cited: BTreeSet<String> = sources("src/chemistry")
        .iter()
        .flat_map(|(_, source)| source.lines().map(str::to_string).collect::<Vec<_>>())
        .filter(|l| l.trim_start().starts_with("///"))
        .flat_map(|l| works(&l))
        .collect();
    let idle: Vec<_> = listed(&module).difference(&cited).cloned().collect();
    assert!(
        idle.is_empty(),
        "no doc comment of src/chemistry cites these works of its mod.rs: {idle:?}"
    );
}

#[test]
fn what_an_equation_lacks_is_named() {
    let source = "
/// Falls with warmth [1]. 14 °C: 9.0.
pub fn good(x: f64) -> f64 {
    x
}

/// Says nothing of where it is from.
pub fn bare(x: f64) -> f64 {
    x
}

impl Path {
    /// Cites what nobody listed [99, OIV], and `[K]·[H]` is no work.
    #[must_use]
    pub fn at(&self) -> f64 {
        0.0
    }

    /// The points. No equation.
    pub fn points(&self) -> &[f64] {
        &self.points
    }

    fn hidden(&self) {}
}

/// Twice the sum, by definition:
/// ```
/// ```
pub const fn shown(x: f64) -> f64 {
    x
}

#[cfg(test)]
mod tests {
    pub fn of_tests() {}
}
";
    let held = Held {
        works: ["1".to_string(), "OIV".to_string()].into(),
        examples: vec![
            "use stillbright::chemistry::sample::{good, shown}; good(1.0); xbare(2.0)".into(),
        ],
        any_number: "sample::good(x); sample::shown(x); Path::of(x).at(y)".into(),
    };
    let all: Vec<String> = functions("sample", source)
        .iter()
        .flat_map(|f| lacking(f, &held))
        .map(|told| told.split([':', ',']).take(5).collect::<Vec<_>>().join(":"))
        .collect();
    let named = |part: &str, what: &str| {
        all.iter()
            .any(|told| told.contains(part) && told.contains(what))
    };
    assert_eq!(all.len(), 5, "{all:#?}");
    assert!(named("bare", "no reference") && named("bare", "no example"));
    assert!(named("bare", "any number"));
    assert!(named("at", "cites [99]") && named("at", "no example"));
}
