//! The file that is exported, imported and read by the example.

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
            FileError::TooLong(bytes) => InputError {
                field: "file".into(),
                read: format!("{bytes} bytes"),
                expected: format!("A file of at most {LONGEST} bytes, as exported here."),
            },
            FileError::Newer(schema) => InputError {
                field: "schema".into(),
                read: schema.to_string(),
                expected: format!(
                    "{SCHEMA} or less: this file was written by a newer version. Update the page, then import again."
                ),
            },
            FileError::Field(error) => error.clone(),
        }
    }
}

/// Reads a file of wines; numbers inside are checked too.
pub fn read_file(text: &str) -> Result<Vec<Wine>, FileError> {
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
            return Err(FileError::Field(InputError {
                field: "schema".into(),
                read: "nothing".into(),
                expected: SCHEMA.to_string(),
            }));
        }
    }
    let file: BookFile = decode(text)?;
    if let Some((i, long)) = file
        .wines
        .iter()
        .enumerate()
        .find(|(_, w)| w.name.chars().count() > 200 || w.note.chars().count() > 20_000)
    {
        return Err(FileError::Field(InputError {
            field: format!("wines[{i}]"),
            read: format!(
                "a name of {} and a note of {} characters",
                long.name.chars().count(),
                long.note.chars().count()
            ),
            expected: "A name of at most 200 and a note of at most 20000 characters.".into(),
        }));
    }
    Ok(file.wines)
}

fn decode<'a, T: Deserialize<'a>>(text: &'a str) -> Result<T, FileError> {
    let mut reader = serde_json::Deserializer::from_str(text);
    let value = serde_path_to_error::deserialize(&mut reader).map_err(|e| {
        let field = match e.path().to_string() {
            p if p == "." => "file".to_string(),
            p => p,
        };
        let inner = e.inner();
        let near = text
            .lines()
            .nth(inner.line().saturating_sub(1))
            .map_or("", str::trim);
        FileError::Field(InputError {
            field,
            read: format!(
                "line {}: {}",
                inner.line(),
                near.chars().take(80).collect::<String>()
            ),
            expected: inner.to_string(),
        })
    })?;
    reader.end().map_err(|e| {
        FileError::Field(InputError {
            field: "file".into(),
            read: "more after the end".into(),
            expected: e.to_string(),
        })
    })?;
    Ok(value)
}

/// Writes one wine as a file.
pub fn write_wine(wine: &Wine) -> String {
    write_book(std::slice::from_ref(wine))
}

/// Writes wines as a file.
pub fn write_book(wines: &[Wine]) -> String {
    let file = BookFile {
        app: "stillbright".into(),
        schema: SCHEMA,
        wines: wines.to_vec(),
    };
    // A file of plain texts and numbers always serialises; an empty text would be refused on reading, never taken for data.
    serde_json::to_string_pretty(&file).unwrap_or_default()
}
