//! The file that is exported, imported and read by the example.

use crate::json::{self, Fault, Field, Presence, Value, parse, record};
use crate::wine::{InputError, Wine};
use serde::Serialize;

/// Version of the file's shape that this build writes.
pub const SCHEMA: u32 = 1;
/// Longest file that is read, bytes.
pub const LONGEST: usize = 1_000_000;

/// A file of wines.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BookFile {
    /// Always "stillbright".
    pub app: String,
    /// Version of the shape.
    pub schema: u32,
    /// What the page offers the wines as, in a file that it brings along.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// The user's defaults for a new wine: equipment, prices, labour, markets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defaults: Option<Wine>,
    /// The wines.
    pub wines: Vec<Wine>,
}

record!(BookFile { app needed, schema needed, title, defaults, wines needed } BookFile { app: String::new(), schema: SCHEMA, title: String::new(), defaults: None, wines: Vec::new() });

/// Why a file was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileError {
    /// So many bytes, and the most that is read.
    TooLong(usize, usize),
    /// Written by a newer version.
    Newer(u32),
    /// The text is no JSON.
    Text {
        /// The line, from 1, where that shows.
        line: usize,
        /// The character on it, from 1.
        column: usize,
        /// What stands around that place.
        near: String,
        /// What is wrong and how to mend it.
        what: String,
    },
    /// A field that cannot be used.
    Field(InputError),
}

impl std::fmt::Display for FileError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.input_error().fmt(out)
    }
}

impl std::error::Error for FileError {}

impl FileError {
    /// What is wrong and how to mend it.
    pub fn mend(&self) -> String {
        match self {
            FileError::TooLong(bytes, most) => format!("This file has {bytes} bytes, and at most {most} are read: export the wines one by one."),
            FileError::Newer(_) => "A newer version of this page wrote this file: update the page, then import it again.".into(),
            FileError::Text { what, .. } => what.clone(),
            FileError::Field(error) => error.expected.clone(),
        }
    }

    /// As field, what was read, what was expected.
    pub fn input_error(&self) -> InputError {
        let (field, read) = match self {
            FileError::TooLong(bytes, _) => ("file", format!("{bytes} bytes")),
            FileError::Newer(schema) => ("schema", schema.to_string()),
            FileError::Text {
                line, column, near, ..
            } => ("file", format!("line {line}, column {column}: {near}")),
            FileError::Field(error) => return error.clone(),
        };
        InputError {
            field: field.into(),
            read,
            expected: self.mend(),
        }
    }
}

/// Reads a file of wines; numbers inside are checked too.
pub fn read_file(text: &str) -> Result<Vec<Wine>, FileError> {
    read_book(text).map(|b| b.wines)
}

/// Reads a file of wines with the defaults that may stand in it.
pub fn read_book(text: &str) -> Result<BookFile, FileError> {
    if text.len() > LONGEST {
        return Err(FileError::TooLong(text.len(), LONGEST));
    }
    let wrong = |fault: Fault| unread(text, fault);
    let value = parse(text).map_err(wrong)?;
    // The head alone first, so that a file of another kind or version is named as such and not by
    // its first odd field.
    let (mut app, mut schema) = (None::<String>, None::<u32>);
    let head: [json::Entry; 2] = [
        ("app", Presence::Optional, &mut app),
        ("schema", Presence::Optional, &mut schema),
    ];
    if !matches!(value, Value::Fields(_)) {
        return Err(wrong(value.unlike("Write an object with named fields.")));
    }
    for (name, _, field) in head {
        if let Some(inner) = value.get(name) {
            field.take(inner).map_err(|f| {
                wrong(Fault {
                    path: name.into(),
                    ..f
                })
            })?;
        }
    }
    let head = |field: &str, read: Option<String>| {
        let expected =
            "This is no file of this page: choose one that was exported or saved here.".into();
        FileError::Field(InputError {
            field: field.into(),
            read: read.unwrap_or_default(),
            expected,
        })
    };
    if app.as_deref() != Some("stillbright") {
        return Err(head("app", app));
    }
    match schema {
        Some(s) if s > SCHEMA => return Err(FileError::Newer(s)),
        Some(_) => {}
        None => return Err(head("schema", None)),
    }
    let mut file = BookFile::blank();
    file.take(&value).map_err(wrong)?;
    let long = |text: &str, most: usize| text.chars().count() > most;
    for (i, wine) in file.wines.iter().enumerate() {
        for (name, text, most) in [("name", &wine.name, 200), ("note", &wine.note, 20_000)] {
            if long(text, most) {
                return Err(FileError::Field(InputError {
                    field: format!("wines[{i}].{name}"),
                    read: text.chars().take(SHOWN).collect(),
                    expected: format!("Write at most {most} characters here."),
                }));
            }
        }
    }
    Ok(file)
}

/// So many characters of a file are shown where it is wrong.
const SHOWN: usize = 60;

/// A fault in the words of a file: its field and what was read there, or the place where the text
/// is no JSON.
fn unread(text: &str, fault: Fault) -> FileError {
    if fault.line == 0 {
        let field = if fault.path.is_empty() {
            "file".to_string()
        } else {
            fault.path
        };
        return FileError::Field(InputError {
            field,
            read: fault.read.chars().take(SHOWN).collect(),
            expected: fault.what,
        });
    }
    // Columns are counted in bytes by the reader, and in characters by people.
    let line = text.lines().nth(fault.line - 1).unwrap_or_default();
    let until = (0..=fault.column.min(line.len()))
        .rev()
        .find(|at| line.is_char_boundary(*at))
        .unwrap_or(0);
    let (before, behind) = line.split_at(until);
    let column = before.chars().count();
    let near: String = line
        .chars()
        .skip(column.saturating_sub(SHOWN / 2))
        .take(column.min(SHOWN / 2) + behind.chars().count().min(SHOWN / 4))
        .collect();
    FileError::Text {
        line: fault.line,
        column: column.max(1),
        near: near.trim().to_string(),
        what: fault.what,
    }
}

/// Writes one wine as a file.
pub fn write_wine(wine: &Wine) -> String {
    write_book(std::slice::from_ref(wine), None)
}

/// Writes wines as a file.
pub fn write_book(wines: &[Wine], defaults: Option<Wine>) -> String {
    let mut file = BookFile {
        app: "stillbright".into(),
        schema: SCHEMA,
        title: String::new(),
        defaults,
        wines: wines.to_vec(),
    };
    json::write_spaced(&mut file)
}
