//! The file that is exported, imported and read by the example.

use super::indent::indent;
use crate::wine::{InputError, Wine};
use serde::{Deserialize, Serialize};

/// Version of the file's shape that this build writes.
pub const SCHEMA: u32 = 1;
/// Longest file that is read, bytes.
pub const LONGEST: usize = 1_000_000;

/// A file of wines.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
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
    #[derive(Deserialize)]
    struct Head {
        app: Option<String>,
        schema: Option<u32>,
    }
    // The head alone first, so that a file of another kind or version is named as such and not by its first odd field.
    let head: Head = decode(text)?;
    if head.app.as_deref() != Some("stillbright") {
        return Err(FileError::Field(InputError {
            field: "app".into(),
            read: head.app.unwrap_or_else(|| "nothing".into()),
            expected: "\"stillbright\": a file exported here.".into(),
        }));
    }
    match head.schema {
        Some(s) if s > SCHEMA => return Err(FileError::Newer(s)),
        Some(_) => {}
        None => {
            return Err(FileError::Field(InputError { field: "schema".into(), read: "nothing".into(), expected: SCHEMA.to_string() }));
        }
    }
    let file: BookFile = decode(text)?;
    if let Some((i, long)) = file.wines.iter().enumerate().find(|(_, w)| w.name.chars().count() > 200 || w.note.chars().count() > 20_000) {
        return Err(FileError::Field(InputError {
            field: format!("wines[{i}]"),
            read: format!("a name of {} and a note of {} characters", long.name.chars().count(), long.note.chars().count()),
            expected: "A name of at most 200 and a note of at most 20000 characters.".into(),
        }));
    }
    Ok(file)
}

fn decode<'a, T: Deserialize<'a>>(text: &'a str) -> Result<T, FileError> {
    let wrong = |field: String, error: &serde_json::Error| {
        let near = text.lines().nth(error.line().saturating_sub(1)).map_or("", str::trim);
        FileError::Field(InputError {
            field: if field.is_empty() { "file".to_string() } else { field },
            read: format!("line {}: {}", error.line(), near.chars().take(80).collect::<String>()),
            expected: error.to_string(),
        })
    };
    // Reading with the path of the field costs as much code again, so it is done only for a file that failed, and only
    // where the bundle does not count.
    let value = serde_json::from_str(text).map_err(|error| wrong(path_of::<T>(text).unwrap_or_else(|| key_near(text, error.line())), &error))?;
    Ok(value)
}

#[cfg(not(target_arch = "wasm32"))]
fn path_of<'a, T: Deserialize<'a>>(text: &'a str) -> Option<String> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let path = serde_path_to_error::deserialize::<_, T>(&mut reader).err()?.path().to_string();
    (path != ".").then_some(path)
}

#[cfg(target_arch = "wasm32")]
fn path_of<'a, T: Deserialize<'a>>(_text: &'a str) -> Option<String> {
    None
}

/// The first key on a line of JSON.
fn key_near(text: &str, line: usize) -> String {
    let near = text.lines().nth(line.saturating_sub(1)).unwrap_or_default();
    near.split('"').nth(1).filter(|_| near.contains(':')).unwrap_or_default().to_string()
}

/// Writes one wine as a file.
pub fn write_wine(wine: &Wine) -> String {
    write_book(std::slice::from_ref(wine), None)
}

/// Writes wines as a file.
pub fn write_book(wines: &[Wine], defaults: Option<Wine>) -> String {
    let file = BookFile { app: "stillbright".into(), schema: SCHEMA, defaults, wines: wines.to_vec() };
    // A file of plain texts and numbers always serialises; an empty text would be refused on reading, never taken for data.
    serde_json::to_string(&file).map(|text| indent(&text)).unwrap_or_default()
}
