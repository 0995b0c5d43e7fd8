//! The tables of the other languages: nothing missing, nothing left over, every gap of a form
//! filled.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::collections::{BTreeMap, BTreeSet};
use std::{fs, path::Path};
use stillbright::demos::TITLES;
use stillbright::knowledge::*;
use stillbright::law::Legality;
use stillbright::wine::*;

type Table = BTreeMap<String, String>;

/// Every text of the knowledge, a line each, as the build has packed it.
const KNOWLEDGE: &str = include_str!(concat!(env!("OUT_DIR"), "/knowledge.txt"));

fn tables() -> Vec<(String, Table, String)> {
    let mut all: Vec<_> = fs::read_dir("languages")
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|x| x == "json"))
        .collect();
    all.sort();
    all.into_iter()
        .map(|p| {
            let text = fs::read_to_string(&p).unwrap();
            let table =
                serde_json::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", p.display()));
            (p.display().to_string(), table, text)
        })
        .collect()
}

/// Texts between quotes of a Rust source or a script, with every gap as `{}`.
fn literals(source: &str, quote: char) -> Vec<String> {
    let mut all = Vec::new();
    for line in source.lines().filter(|l| !l.trim_start().starts_with("//")) {
        let mut rest = line;
        while let Some(from) = rest.find(quote) {
            let (mut text, mut end, mut escaped) = (String::new(), None, false);
            for (i, c) in rest[from + 1..].char_indices() {
                match c {
                    _ if escaped => {
                        escaped = false;
                        text.push(c);
                    }
                    '\\' => escaped = true,
                    c if c == quote => {
                        end = Some(from + 1 + i + 1);
                        break;
                    }
                    c => text.push(c),
                }
            }
            let Some(end) = end else { break };
            all.push(gaps(&text));
            rest = &rest[end..];
        }
    }
    all
}

/// Every `{name}` as `{}`.
fn gaps(text: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for c in text.chars() {
        match c {
            '{' => {
                inside = true;
                out.push('{');
            }
            '}' => {
                inside = false;
                out.push('}');
            }
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

fn sources(folder: &Path, all: &mut Vec<String>) {
    for entry in fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
        if entry.is_dir() {
            sources(&entry, all);
        } else if entry.extension().is_some_and(|x| x == "rs") {
            all.extend(literals(&fs::read_to_string(&entry).unwrap(), '"'));
        }
    }
}

/// Labels of a closed set.
macro_rules! labels {
    ($all:ident: $($set:ident)*) => { $($all.extend($set::ALL.iter().map(|x| x.label().to_string()));)* };
}

/// What every language must have: the catalogue of words, the closed sets, names, questions and
/// cautions.
fn needed() -> BTreeSet<String> {
    let words = fs::read_to_string("src/app/words.rs").unwrap();
    // The messages of the .ftl files are taken in there, by the name of a file.
    let words: String = words
        .lines()
        .filter(|line| !line.starts_with("include!"))
        .map(|line| format!("{line}\n"))
        .collect();
    let mut all: BTreeSet<String> = literals(&words, '"').into_iter().collect();
    for constant in words.split("pub const ").skip(1) {
        let definition = constant.split(";\n").next().unwrap();
        assert!(
            !definition.contains('"') || !literals(definition, '"').is_empty(),
            "the text of this constant of src/app/words.rs could not be read: {definition}"
        );
    }
    labels!(all: Colour Style Stage Malolactic Past Vessel Problem Market Law Claim Organic Kit KitMeans Origin Standing Evidence RuleBasis Verdict LimitKind
        Process Basis Likely Place Access RuleVerdict Phase BenchPart Family Quantity Journey Germ);
    all.extend(
        [
            Legality::Permitted,
            Legality::Limited,
            Legality::Free,
            Legality::Believed,
            Legality::NotKnown,
            Legality::NotListed,
            Legality::Forbidden,
        ]
        .map(|l| l.label().to_string()),
    );
    all.extend(Quantity::ALL.iter().map(|q| q.bare()).map(String::from));
    // What an acidity is counted in stands at its field.
    all.extend(
        Quantity::ALL
            .iter()
            .map(|q| q.read_in())
            .filter(|u| u.contains(" as "))
            .map(String::from),
    );
    all.extend(
        TREATMENTS
            .iter()
            .flat_map(|t| [t.name.to_string(), t.summary.to_string()]),
    );
    all.extend(CAUSES.iter().map(|c| c.name.to_string()));
    all.extend(TITLES.iter().map(|title| title.to_string()));
    all.extend(SIGNS.iter().map(|s| s.question.to_string()));
    all.extend(
        STABILITIES
            .iter()
            .flat_map(|s| [s.name.to_string(), s.test.text.to_string()]),
    );
    all.extend(LAST.iter().map(|l| l.name.to_string()));
    all.extend(CAUTIONS.iter().map(|c| c.text.text.to_string()));
    all.extend(
        rules()
            .into_iter()
            .chain(laws())
            .chain(treated())
            .filter(|t| !t.is_empty())
            .map(String::from),
    );
    all.extend(terms().into_iter().flat_map(|t| [t.term, t.text]));
    all.iter().map(|t| t.trim().to_string()).collect()
}

/// What decides what is done: order, bench, water, filters, problems, causes and signs,
/// stabilities, the last days, routes.
fn rules() -> Vec<&'static str> {
    let bands = |b: &'static [NeedBand]| b.iter().map(|b| b.why);
    let mut all: Vec<Fact> = BENCH
        .iter()
        .map(|b| b.rule)
        .chain(WATER.iter().map(|w| w.rule))
        .chain(GAS.iter().map(|g| g.means))
        .chain(COSTLY.iter().map(|c| c.why))
        .collect();
    all.extend(FILTERS.iter().map(|f| f.grade));
    all.extend(PROBLEMS.iter().flat_map(|p| {
        bands(p.bands)
            .chain(p.first.iter().chain(p.errors).chain(p.no_cure).copied())
            .chain(p.smell.map(|s| s.words))
    }));
    all.extend(
        CAUSES
            .iter()
            .map(|c| c.act)
            .chain(SIGNS.iter().map(|s| s.how)),
    );
    all.extend(STABILITIES.iter().flat_map(|s| {
        bands(s.bands)
            .chain([s.window.why])
            .chain(s.blind.iter().copied())
            .chain(s.shelf.iter().map(|n| n.note))
            .chain(s.barrier.iter().map(|r| r.why))
    }));
    all.extend(
        LAST.iter()
            .flat_map(|l| bands(l.bands).chain([l.test, l.window.why])),
    );
    all.extend(
        PHASES
            .iter()
            .map(|p| p.why)
            .chain(ENOUGH.iter().map(|e| e.why))
            .chain(ENOUGH.iter().filter_map(|e| Some(e.counted?.why)))
            .chain(HURDLES.iter().map(|h| h.why))
            .chain(RULES.iter().map(|r| r.why))
            .chain(HONEST.iter().map(|h| h.why)),
    );
    all.iter()
        .map(|f| f.text)
        .chain(FILTERS.iter().map(|f| f.pieces))
        .collect()
}

/// What the law asks, and how far it was read.
fn laws() -> Vec<&'static str> {
    let mut all: Vec<&str> = LAW
        .iter()
        .flat_map(|r| {
            [r.article, r.edition]
                .into_iter()
                .chain(r.conditions.iter().copied())
        })
        .collect();
    all.extend(LAW.iter().flat_map(|r| r.limits).map(|l| l.text));
    all.extend(
        BODIES
            .iter()
            .flat_map(|b| [b.name, b.edition, b.authority, b.unlisted.text]),
    );
    let closed = BODIES.iter().filter_map(|b| b.closed);
    all.extend(closed.flat_map(|c| [c.name, c.why.text]));
    all.extend(
        BODIES
            .iter()
            .flat_map(|b| b.labels)
            .flat_map(|l| [l.about, l.rule.text]),
    );
    all.extend(
        ACCEPTANCES
            .iter()
            .flat_map(|a| [a.text, a.article])
            .chain(ORGANIC.iter().map(|o| o.text)),
    );
    all.extend(
        SO2_LIMITS
            .iter()
            .flat_map(|l| [l.article, l.only_for.unwrap_or_default()]),
    );
    all
}

/// Every word about a treatment.
fn treated() -> Vec<&'static str> {
    let mut all = Vec::new();
    for t in TREATMENTS.iter() {
        let lists = [
            t.mechanism,
            t.label,
            t.preparation,
            t.contact,
            t.over,
            t.disagree,
        ];
        all.extend(lists.into_iter().flatten().map(|f| f.text));
        all.extend(
            [t.origin_note.text]
                .into_iter()
                .chain(t.effects.iter().filter_map(|e| e.note)),
        );
        let shown = t
            .bounds
            .iter()
            .filter_map(|b| b.shown.as_ref())
            .map(|w| &w.why);
        all.extend(
            t.germ_barrier_why
                .iter()
                .chain(t.in_line.iter())
                .chain(t.bounds.iter().map(|b| &b.why))
                .chain(shown)
                .map(|f| f.text),
        );
        let facts = t.dose.iter().flat_map(|d| {
            [
                d.counted_as,
                d.active.unwrap_or_default(),
                d.note.map_or("", |n| n.text),
            ]
        });
        all.extend(facts.collect::<Vec<_>>());
    }
    all
}

/// A word of the trade, as the glossary keeps it.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Term {
    term: String,
    also: Vec<String>,
    text: String,
    standing: Standing,
    source: String,
}

fn terms() -> Vec<Term> {
    serde_json::from_str(&fs::read_to_string("glossary/terms.json").unwrap()).unwrap()
}

/// The same that the build asks of every other fact.
#[test]
fn each_term_is_explained_once_in_short_with_a_standing_and_its_source() {
    let all = terms();
    assert!((40..=70).contains(&all.len()), "{} terms", all.len());
    let mut names = BTreeSet::new();
    for t in &all {
        for name in std::iter::once(&t.term).chain(&t.also) {
            assert!(names.insert(name.to_lowercase()), "“{name}” is named twice");
        }
        assert!(
            (30..=180).contains(&t.text.chars().count()) && t.text.ends_with('.'),
            "{}: {}",
            t.term,
            t.text.chars().count()
        );
        let sourced = matches!(t.standing, Standing::Read | Standing::Derived);
        assert_eq!(
            sourced,
            !t.source.is_empty(),
            "{}: read or derived needs a source, what is neither has none",
            t.term
        );
        for key in t.source.split(", ").filter(|k| !k.is_empty()) {
            assert!(
                SOURCES.iter().any(|s| s.key == key),
                "{}: source {key} is not known",
                t.term
            );
        }
    }
    let order: Vec<String> = all.iter().map(|t| t.term.to_lowercase()).collect();
    assert!(order.is_sorted(), "{order:?}");
}

#[test]
fn every_needed_text_stands_in_every_language() {
    let needed = needed();
    for (name, table, _) in tables() {
        let missing: Vec<_> = needed.iter().filter(|k| !table.contains_key(*k)).collect();
        assert!(
            missing.is_empty(),
            "{name} lacks {}: {missing:#?}",
            missing.len()
        );
    }
}

/// The rooms that put sentences together, and the pages.
const SPEAKING: [&str; 16] = [
    "advice.rs",
    "derived",
    "law",
    "trial",
    "work_order",
    "route",
    "stability",
    "state",
    "treatment",
    "book",
    "json",
    "wine",
    "chemistry",
    "app",
    "units/read.rs",
    "diagnosis",
];

/// A Rust source without its tests, and without what no user sees.
fn shipped(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let own = text.split("#[cfg(test)]").next().unwrap();
    own.lines()
        .filter(|l| !["#[", "assert", ".expect("].iter().any(|w| l.contains(w)))
        .collect::<Vec<_>>()
        .join("\n")
}

/// The fixed parts of what is written between quotes: between gaps and within one sentence, two
/// words and more.
fn spoken_parts(path: &Path) -> Vec<String> {
    let page = path.starts_with("src/app");
    // On a page, what has no large letter is a class of the style.
    let shown =
        |l: &String| l.contains(' ') && (!page || l.starts_with(|c: char| c.is_uppercase()));
    let word = |p: &str| {
        p.split(' ')
            .filter(|w| w.chars().filter(|c| c.is_ascii_lowercase()).count() > 1)
            .count()
            > 1
    };
    let all = literals(&shipped(path), '"').into_iter().filter(shown);
    all.flat_map(|l| {
        ["{}", ". ", "; ", ", ", " ("]
            .iter()
            .fold(l, |l, by| l.replace(by, "\n"))
            .split('\n')
            .map(String::from)
            .collect::<Vec<_>>()
    })
    .map(|p| {
        p.trim_matches(|c: char| {
            c.is_whitespace() || c.is_ascii_punctuation() || "“”\"\\".contains(c)
        })
        .to_lowercase()
    })
    .filter(|p| word(p) && !p.ends_with("/1000 gal"))
    .collect()
}

fn rust_files(path: &Path, all: &mut Vec<std::path::PathBuf>) {
    if path.is_dir() {
        fs::read_dir(path)
            .unwrap()
            .for_each(|e| rust_files(&e.unwrap().path(), all));
    } else {
        all.push(path.into());
    }
}

/// A sentence that is put together outside the catalogue must be sayable too: cautions, errors,
/// findings of the law, what a
/// trial says. Its parts stand in the table, alone or in a form.
#[test]
fn what_is_put_together_in_the_library_can_be_said() {
    let mut files = Vec::new();
    SPEAKING
        .iter()
        .for_each(|room| rust_files(&Path::new("src").join(room), &mut files));
    let (_, table, _) = tables().remove(0);
    let known = table
        .keys()
        .map(|k| k.to_lowercase())
        .collect::<Vec<_>>()
        .join("\n");
    let parts: BTreeSet<(String, String)> = files
        .iter()
        .flat_map(|f| {
            spoken_parts(f)
                .into_iter()
                .map(|p| (f.display().to_string(), p))
        })
        .collect();
    assert!(
        parts.len() > 700,
        "the sources could not be read: {}",
        parts.len()
    );
    let missing: Vec<_> = parts
        .iter()
        .filter(|(_, p)| !known.contains(p.as_str()))
        .collect();
    assert!(
        missing.is_empty(),
        "nobody can say {}: {missing:#?}",
        missing.len()
    );
    // A word by itself with a large letter heads something and must be a key, but for names and
    // what only begins a sentence.
    let names = ["Begin", "Stillbright", "English", "Français", "Español"];
    let heads = files
        .iter()
        .flat_map(|f| literals(&shipped(f), '"'))
        .filter(|l| {
            let mut letters = l.trim_end_matches('.').chars();
            letters.next().is_some_and(char::is_uppercase)
                && l.len() > 2
                && letters.all(char::is_lowercase)
        });
    let heads: BTreeSet<String> = heads
        .filter(|l| !names.contains(&l.as_str()) && !table.contains_key(l))
        .collect();
    let missing: Vec<_> = heads
        .iter()
        .filter(|h| {
            !table.contains_key(h.trim_end_matches('.')) && !table.contains_key(&h.to_lowercase())
        })
        .collect();
    assert!(missing.is_empty(), "nobody can say {missing:?}");
}

#[test]
fn the_languages_hold_the_same_texts_sorted_and_filled() {
    let all = tables();
    assert_eq!(
        all.iter().map(|(n, _, _)| n.as_str()).collect::<Vec<_>>(),
        ["languages/es.json", "languages/fr.json"]
    );
    let (_, first, _) = &all[0];
    for (name, table, text) in &all {
        assert!(
            first.keys().eq(table.keys()),
            "{name} has other texts: {:?}",
            first
                .keys()
                .filter(|k| !table.contains_key(*k))
                .chain(table.keys().filter(|k| !first.contains_key(*k)))
                .collect::<Vec<_>>()
        );
        for (key, value) in table {
            assert!(!value.trim().is_empty(), "{name}: “{key}” is empty");
            assert_eq!(
                key.matches("{}").count(),
                value.matches("{}").count(),
                "{name}: gaps of “{key}”"
            );
            assert_eq!(
                value.matches(['{', '}']).count(),
                2 * value.matches("{}").count(),
                "{name}: “{key}”"
            );
            let digits = |t: &str| -> Vec<char> {
                let mut d: Vec<char> = t.chars().filter(char::is_ascii_digit).collect();
                d.sort_unstable();
                d
            };
            assert_eq!(digits(key), digits(value), "{name}: figures of “{key}”");
        }
        // One text a line: sorted by key, and none twice, which a reader of JSON would pass over.
        let keys: Vec<String> = text
            .lines()
            .filter(|l| l.starts_with('"'))
            .map(|l| {
                serde_json::from_str::<Table>(&format!("{{{}}}", l.trim_end_matches(',')))
                    .unwrap()
                    .into_keys()
                    .next()
                    .unwrap()
            })
            .collect();
        assert!(
            keys.windows(2).all(|w| w[0] < w[1]),
            "{name} is not sorted by key"
        );
        assert_eq!(keys.len(), table.len());
    }
}

/// The figures of a text, in order of size; a thousand without what sets it apart.
fn figures(text: &str) -> Vec<String> {
    let figure = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let mut closed = String::new();
    let mut before = ' ';
    for c in text.chars() {
        // French sets thousands apart by a no-break space.
        if !(c == '\u{a0}' && before.is_ascii_digit()) {
            closed.push(c);
        }
        before = c;
    }
    let mut all: Vec<String> = closed
        .split(|c| !figure(c))
        .map(|f| f.trim_matches(['.', ',']).replace(',', ""))
        .filter(|f| !f.is_empty())
        .collect();
    all.sort();
    all
}

/// A figure that changes in the English changes in the same text of every language.
#[test]
fn a_translation_has_the_figures_of_its_english() {
    for (file, table, _) in tables() {
        for (english, text) in table {
            assert_eq!(figures(&english), figures(&text), "{file}: {english}");
        }
    }
}

/// A text that no page shows any more is dead weight and hides that its successor is missing: each
/// of its fixed parts must
/// stand in the sources.
#[test]
fn no_text_is_left_over() {
    let mut all = Vec::new();
    sources(Path::new("src"), &mut all);
    all.push(KNOWLEDGE.to_string());
    all.extend(TITLES.iter().map(|title| title.to_string()));
    let boot = fs::read_to_string("style/start/boot.js").unwrap();
    all.extend(literals(&boot, '"'));
    all.extend(["glossary/terms.json", "glossary/explain.mjs"].map(|f| {
        fs::read_to_string(f)
            .unwrap()
            .replace("${t.term}", "")
            .replace("${shown.length}", "")
    }));
    let all = all.join("\n").to_lowercase();
    let (_, table, _) = tables().remove(0);
    let left: Vec<_> = table
        .keys()
        .filter(|k| *k != "{}: {}" && *k != "or")
        .filter(|k| {
            let key = k.to_lowercase();
            !all.contains(&key)
                && key
                    .replace("{}", "\n")
                    .split(['\n', ':', ';', ',', '.', '!'])
                    .map(str::trim)
                    .any(|p| !p.is_empty() && !all.contains(p))
        })
        .collect();
    assert!(left.is_empty(), "nothing shows {}: {left:#?}", left.len());
}
