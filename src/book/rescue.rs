//! What the page gives to be saved where it cannot go on: texts as they are kept, each under its
//! key. The recovery screen writes such
//! a file of all that is kept, the book one of what was set aside or what a newer version saved.
//! Here it is read back, as far as it
//! can be; what cannot be read is named.

use super::file::{FileError, read_book};
use super::shelf::{ASIDE, BIN, DEFAULTS, Found, wine_of};
use crate::json::{self, Field, Value, parse};
use crate::wine::{Map, Wine};

/// Longest file of kept texts, bytes: browsers keep about five million characters.
const MOST_KEPT: usize = 16_000_000;
/// How every key of ours begins.
const OURS: &str = "stillbright";
/// What stands beside figures and days: a habit of the device, which is not taken over.
const HABITS: &str = "stillbright/shown";
/// So many parts of a wine may be unreadable before it counts as no wine.
const MOST_LOST: usize = 30;

/// What a file brings into the book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Import {
    /// The user's defaults.
    pub defaults: Option<Wine>,
    /// The wines.
    pub wines: Vec<Wine>,
    /// What stands in the file and is not among them, or not whole.
    pub missed: Vec<Missed>,
}

/// Something in a file that was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missed {
    /// What it is called: the name of its wine, or its key where that is not known.
    pub name: String,
    /// Why.
    pub why: Why,
}

/// Why something in a file was not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Why {
    /// A newer version of the page saved it.
    Newer,
    /// Nothing in it can be read.
    Nothing,
    /// The wine was deleted before the file was made.
    Deleted,
    /// One copy of two is damaged; the wine is there from the other.
    Copy,
    /// These fields of the wine cannot be read; the rest is there.
    Fields(Vec<String>),
    /// The text is cut or spoiled in this field of the wine or behind it; what stands before is
    /// there.
    From(String),
}

impl Why {
    /// In words, and the fields it is about.
    pub fn words(&self) -> (&'static str, String) {
        let words = match self {
            Why::Newer => "made by a newer version: update the page, then import this file again",
            Why::Nothing => "nothing of it can be read",
            Why::Deleted => "deleted before: left out",
            Why::Copy => "one of its copies is damaged; the wine is here from the other",
            Why::Fields(_) => "not everything can be read; what is missing:",
            Why::From(_) => {
                "its text is damaged; missing is what stands in this field or behind it:"
            }
        };
        let fields = match self {
            Why::Fields(fields) => fields.join(", "),
            Why::From(field) => field.clone(),
            _ => String::new(),
        };
        (words, fields)
    }
}

/// Kept texts as a file.
pub fn write_kept(texts: impl IntoIterator<Item = (String, String)>) -> String {
    let mut file = Map::new();
    for (key, text) in texts {
        file.insert(key, text);
    }
    json::write_spaced(&mut file)
}

/// Reads whatever this page gives to be saved: a file of wines, or one of kept texts.
pub fn read_import(text: &str) -> Result<Import, FileError> {
    match kept_texts(text)? {
        Some(texts) => Ok(rescue(texts)),
        None => read_book(text).map(|book| Import {
            defaults: book.defaults,
            wines: book.wines,
            missed: Vec::new(),
        }),
    }
}

/// The texts of such a file by their keys; None where it is none.
fn kept_texts(text: &str) -> Result<Option<Vec<(String, String)>>, FileError> {
    // One text alone, as the page saved it once.
    if text.starts_with("{\"schema\":") {
        return Ok(Some(vec![(String::new(), text.to_string())]));
    }
    // Where nothing was kept the file is empty.
    let ours = |inner: &str| inner == "}" || inner.starts_with(&["\"", OURS].concat());
    if !text
        .trim()
        .strip_prefix('{')
        .is_some_and(|t| ours(t.trim_start()))
    {
        return Ok(None);
    }
    if text.len() > MOST_KEPT {
        return Err(FileError::TooLong(text.len(), MOST_KEPT));
    }
    let Ok(Value::Fields(fields)) = parse(text) else {
        return Ok(None);
    };
    Ok(fields
        .into_iter()
        .map(|(key, value)| {
            if let Value::Text(text) = value {
                Some((key, text))
            } else {
                None
            }
        })
        .collect())
}

/// The copies of one wine, each under its key.
type Copies = Vec<(String, String)>;

fn rescue(texts: Vec<(String, String)>) -> Import {
    let mut import = Import::default();
    let mut wines: Vec<(String, Copies)> = Vec::new();
    for (key, text) in texts {
        if let Some(id) = copy_of(&key) {
            match wines.iter_mut().find(|(of, _)| of == id) {
                Some((_, copies)) => copies.push((key, text)),
                None => wines.push((id.to_string(), vec![(key, text)])),
            }
        } else if key.starts_with(BIN) {
            let name = if let Found::Good(slot) = Found::from(text) {
                slot.wine.name
            } else {
                key
            };
            import.missed.push(Missed {
                name,
                why: Why::Deleted,
            });
        } else if key != HABITS {
            import.missed.push(Missed {
                name: key,
                why: Why::Nothing,
            });
        }
    }
    for (id, copies) in wines {
        let Some(wine) = one(copies, &mut import.missed) else {
            continue;
        };
        if id == DEFAULTS {
            import.defaults = Some(wine);
        } else {
            import.wines.push(wine);
        }
    }
    import
}

/// The identifier of the wine whose copy stands under a key: in a slot, or set aside from one.
fn copy_of(key: &str) -> Option<&str> {
    if key.is_empty() {
        return Some(key);
    }
    wine_of(key).or_else(|| {
        Some(
            key.strip_prefix(ASIDE)?
                .split_once('/')?
                .1
                .rsplit_once('-')?
                .0,
        )
    })
}

/// A wine from its copies: the newest whole one, else the newest of which something can be read.
/// What is not in it is noted.
fn one(copies: Copies, missed: &mut Vec<Missed>) -> Option<Wine> {
    let mut best: Option<Part> = None;
    let mut damaged: Vec<String> = Vec::new();
    for (key, text) in copies {
        let part = match Found::from(text) {
            Found::Newer { name, .. } => {
                missed.push(Missed {
                    name: if name.is_empty() { key } else { name },
                    why: Why::Newer,
                });
                return None;
            }
            Found::Good(slot) => Some(Part {
                whole: true,
                revision: slot.revision,
                wine: slot.wine,
                lost: Vec::new(),
            }),
            Found::Bad(text) => {
                damaged.push(key);
                salvage(&text)
            }
            Found::Nothing => None,
        };
        // Of damaged ones too, the newest of those that say how new they are.
        if let Some(part) = part
            && best
                .as_ref()
                .is_none_or(|b| (part.whole, part.revision) > (b.whole, b.revision))
        {
            best = Some(part);
        }
    }
    let Some(part) = best else {
        missed.extend(damaged.into_iter().map(|name| Missed {
            name,
            why: Why::Nothing,
        }));
        return None;
    };
    let others = damaged.len() - usize::from(!part.whole);
    for why in part.lost.into_iter().chain((0..others).map(|_| Why::Copy)) {
        missed.push(Missed {
            name: part.wine.name.clone(),
            why,
        });
    }
    Some(part.wine)
}

/// What could be read of a copy.
struct Part {
    whole: bool,
    revision: u64,
    wine: Wine,
    lost: Vec<Why>,
}

/// Reads of a damaged copy what can be read; None where that is nothing.
fn salvage(text: &str) -> Option<Part> {
    let (slot, broken) = up_to_the_damage(text)?;
    let mut value = slot.get("wine")?.clone();
    let mut fields = Vec::new();
    let mut wine = loop {
        let mut wine = Wine::default();
        let Err(fault) = wine.take(&value) else {
            break wine;
        };
        let path = whole_entry(&fault.path);
        if fields.len() == MOST_LOST || !take_out(&mut value, path, path.starts_with("done[")) {
            return None;
        }
        fields.push(path.to_string());
    };
    // A wine of which nothing is known is no wine.
    if json::write(&mut wine) == json::write(&mut Wine::default()) {
        return None;
    }
    let lost = (!fields.is_empty())
        .then_some(Why::Fields(fields))
        .into_iter()
        .chain(broken.map(Why::From))
        .collect();
    let revision = slot
        .get("revision")
        .and_then(|v| v.whole(u64::MAX).ok())
        .unwrap_or(0);
    Some(Part {
        whole: false,
        revision,
        wine,
        lost,
    })
}

/// A trial is read whole or not at all: without one of its readings, or without an agent that stood
/// in every glass, it would speak for
/// another dose.
fn whole_entry(path: &str) -> &str {
    match path.find(']') {
        Some(end) if path.starts_with("trials[") => path.get(..=end).unwrap_or(path),
        _ => path,
    }
}

/// Takes what a path leads to out of a tree. In the log, whose entries are named by their numbers,
/// an entry that would go is emptied, so
/// that those behind it keep theirs: it counts as something that was done.
fn take_out(value: &mut Value, path: &str, numbered: bool) -> bool {
    match value {
        Value::Fields(fields) => {
            // The last, where one stands twice.
            let behind = |name: &str| {
                path.strip_prefix(name)
                    .filter(|rest| rest.is_empty() || rest.starts_with(['.', '[']))
            };
            let Some(at) = fields.iter().rposition(|(name, _)| behind(name).is_some()) else {
                return false;
            };
            let Some((name, inner)) = fields.get_mut(at) else {
                return false;
            };
            let rest = behind(name).unwrap_or_default();
            let rest = rest.strip_prefix('.').unwrap_or(rest);
            if rest.is_empty() || !take_out(inner, rest, numbered) {
                fields.remove(at);
            }
            true
        }
        Value::List(list) => {
            let Some((number, rest)) = path.strip_prefix('[').and_then(|p| p.split_once(']'))
            else {
                return false;
            };
            let Some(at) = number.parse::<usize>().ok().filter(|at| *at < list.len()) else {
                return false;
            };
            let Some(inner) = list.get_mut(at) else {
                return false;
            };
            let rest = rest.strip_prefix('.').unwrap_or(rest);
            if !rest.is_empty() && take_out(inner, rest, numbered) {
                return true;
            }
            let emptied = matches!(inner, Value::Fields(fields) if fields.is_empty());
            if numbered && !emptied {
                *inner = Value::Fields(Vec::new());
            } else {
                list.remove(at);
            }
            true
        }
        _ => false,
    }
}

/// The tree of a text up to where it is cut or spoiled, and the field of the wine in which or
/// behind which that is; none where nothing
/// is lost.
fn up_to_the_damage(text: &str) -> Option<(Value, Option<String>)> {
    let mut end = match parse(text) {
        Ok(value) => return Some((value, None)),
        Err(fault) => fault.offset(text),
    };
    // The place that the reader names may lie a little behind the damage.
    for _ in 0..3 {
        let (until, closing, field) = last_whole(text, end)?;
        if let Ok(value) = parse(&[text.get(..until)?, &closing].concat()) {
            return Some((value, Some(field)));
        }
        end = until.checked_sub(1)?;
    }
    None
}

/// So deep stand the fields of a wine: in the slot, in the wine.
const FIELDS: usize = 2;
/// And the entries of its lists. What lies deeper is read whole or not at all.
const ENTRIES: usize = 3;

/// The last place before `end` where a field of the wine, or an entry of one of its lists, is
/// whole; the brackets that close the text
/// there; the last field of the wine before `end`.
fn last_whole(text: &str, end: usize) -> Option<(usize, String, String)> {
    let (mut open, mut inside, mut escaped, mut best) = (Vec::new(), false, false, None);
    let (mut words, mut from, mut field) = ("", 0, "");
    for (at, c) in text.char_indices().take_while(|(at, _)| *at < end) {
        if inside {
            match c {
                _ if escaped => escaped = false,
                '\\' => escaped = true,
                '"' => {
                    inside = false;
                    words = text.get(from..at).unwrap_or_default();
                }
                _ => {}
            }
            continue;
        }
        let whole = match c {
            '"' => {
                (inside, from) = (true, at + 1);
                None
            }
            ':' if open.len() == FIELDS => {
                field = words;
                None
            }
            '{' | '[' => {
                open.push(if c == '{' { '}' } else { ']' });
                Some(at + 1)
            }
            '}' | ']' => {
                open.pop();
                Some(at + 1)
            }
            ',' => Some(at),
            _ => None,
        };
        if let Some(until) = whole.filter(|_| open.len() <= ENTRIES) {
            best = Some((until, open.iter().rev().collect()));
        }
    }
    best.map(|(until, closing)| (until, closing, field.to_string()))
}
