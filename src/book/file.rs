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
    /// The user's defaults for a new wine: equipment, prices, labour, markets.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub defaults: Option<Wine>,
    /// The wines.
    pub wines: Vec<Wine>,
}

record!(BookFile { app needed, schema needed, defaults, wines needed } BookFile { app: String::new(), schema: SCHEMA, defaults: None, wines: Vec::new() });

/// Why a file was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileError {
    /// Longer than [`LONGEST`].
    TooLong(usize),
    /// Written by a newer version.
    Newer(u32),
    /// A field that cannot be used.
    Field(InputError),
}

impl FileError {
    /// As field, what was read, what was expected.
    pub fn input_error(&self) -> InputError {
        match self {
            FileError::TooLong(bytes) => {
                InputError { field: "file".into(), read: format!("{bytes} bytes"), expected: format!("A file of at most {LONGEST} bytes, as exported here.") }
            }
            FileError::Newer(schema) => InputError {
                field: "schema".into(),
                read: schema.to_string(),
                expected: format!("{SCHEMA} or less: this file was written by a newer version. Update the page, then import again."),
            },
            FileError::Field(error) => error.clone(),
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
        return Err(FileError::TooLong(text.len()));
    }
    let wrong = |fault: Fault| unread(text, fault);
    let value = parse(text).map_err(wrong)?;
    // The head alone first, so that a file of another kind or version is named as such and not by its first odd field.
    let (mut app, mut schema) = (None::<String>, None::<u32>);
    let head: [json::Entry; 2] = [("app", Presence::Optional, &mut app), ("schema", Presence::Optional, &mut schema)];
    if !matches!(value, Value::Fields(_)) {
        return Err(wrong(value.unlike("an object with named fields")));
    }
    for (name, _, field) in head {
        if let Some(inner) = value.get(name) {
            field.take(inner).map_err(|f| wrong(Fault { path: name.into(), ..f }))?;
        }
    }
    if app.as_deref() != Some("stillbright") {
        return Err(FileError::Field(InputError {
            field: "app".into(),
            read: app.unwrap_or_else(|| "nothing".into()),
            expected: "\"stillbright\": a file exported here.".into(),
        }));
    }
    match schema {
        Some(s) if s > SCHEMA => return Err(FileError::Newer(s)),
        Some(_) => {}
        None => {
            return Err(FileError::Field(InputError { field: "schema".into(), read: "nothing".into(), expected: SCHEMA.to_string() }));
        }
    }
    let mut file = BookFile::blank();
    file.take(&value).map_err(wrong)?;
    if let Some((i, long)) = file.wines.iter().enumerate().find(|(_, w)| w.name.chars().count() > 200 || w.note.chars().count() > 20_000) {
        return Err(FileError::Field(InputError {
            field: format!("wines[{i}]"),
            read: format!("a name of {} and a note of {} characters", long.name.chars().count(), long.note.chars().count()),
            expected: "A name of at most 200 and a note of at most 20000 characters.".into(),
        }));
    }
    Ok(file)
}

/// A fault in the words of a file: its field, what was read, what was expected. Where the file is no JSON, the line it
/// stands on, and the field on that line.
fn unread(text: &str, fault: Fault) -> FileError {
    let near = text.lines().nth(fault.line.saturating_sub(1)).unwrap_or_default();
    let (field, read) = if fault.line > 0 { (key_near(near), near.trim()) } else { (fault.path, fault.read.as_str()) };
    let read: String = read.chars().take(80).collect();
    FileError::Field(InputError {
        field: if field.is_empty() { "file".to_string() } else { field },
        read: if fault.line > 0 { format!("line {}: {read}", fault.line) } else { read },
        expected: fault.what,
    })
}

/// The first key on a line of JSON.
fn key_near(line: &str) -> String {
    line.split('"').nth(1).filter(|_| line.contains(':')).unwrap_or_default().to_string()
}

/// Writes one wine as a file.
pub fn write_wine(wine: &Wine) -> String {
    write_book(std::slice::from_ref(wine), None)
}

/// Writes wines as a file.
pub fn write_book(wines: &[Wine], defaults: Option<Wine>) -> String {
    let mut file = BookFile { app: "stillbright".into(), schema: SCHEMA, defaults, wines: wines.to_vec() };
    json::write_spaced(&mut file)
}
