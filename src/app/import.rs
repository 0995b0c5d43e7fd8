//! What a chosen file brings, shown before it is added: names, what could not be read, or why
//! nothing is taken and how to mend it.

use super::paper::{Node, el, line};
use super::parts::{called, named};
use super::words;
use crate::book::rescue::Missed;
use crate::book::{FileError, Import, read_import};
use crate::wine::InputError;

/// What it brings, if anything, and what is said of it.
pub fn look(text: &str) -> (Option<Import>, Vec<Node>) {
    match read_import(text) {
        Ok(import) => {
            let mut nodes = vec![brought(&import)];
            if !import.missed.is_empty() {
                nodes.push(line("p", "mend", words::MISSED));
                nodes.push(el(
                    "ul",
                    "facts",
                    import.missed.iter().map(missed).collect(),
                ));
            }
            let anything = !import.wines.is_empty() || import.defaults.is_some();
            (anything.then_some(import), nodes)
        }
        Err(error) => (None, not_taken(&error)),
    }
}

fn brought(import: &Import) -> Node {
    let names: Vec<String> = import
        .wines
        .iter()
        .map(called)
        .chain(
            import
                .defaults
                .iter()
                .map(|_| super::paper::said(&words::DEFAULTS).into_owned()),
        )
        .collect();
    if names.is_empty() {
        return line("p", "", words::NONE_IN_FILE);
    }
    el(
        "p",
        "",
        vec![
            Node::text(format!("{} in this file:", names.len())),
            Node::own(&[" ", &names.join(", ")].concat()),
        ],
    )
}

fn missed(missed: &Missed) -> Node {
    let (why, fields) = missed.why.words();
    // What has no name of its own has that of its place in storage.
    let kept = missed.name.starts_with("stillbright/");
    let name = if kept {
        code(&missed.name)
    } else {
        el("strong", "", vec![Node::own(&named(&missed.name))])
    };
    let mut says = vec![Node::text(why)];
    if !fields.is_empty() {
        says.extend([Node::own(" "), code(&fields)]);
    }
    el("li", "", vec![name, el("span", "", says)])
}

/// What, where, and how to mend it.
fn not_taken(error: &FileError) -> Vec<Node> {
    let mut nodes = vec![line("p", "mend", words::NOT_TAKEN)];
    if let FileError::Text {
        line: at,
        column,
        near,
        ..
    } = error
    {
        nodes.push(beside(&format!("Line {at}, column {column}:"), near));
    }
    if let FileError::Field(InputError { field, read, .. }) = error {
        nodes.push(beside(words::FIELD, field));
        if !read.is_empty() {
            nodes.push(beside(words::FIELD_READ, read));
        }
    }
    nodes.push(line("p", "", error.mend()));
    nodes
}

/// Words of ours, then what stands in the file.
fn beside(label: &str, text: &str) -> Node {
    el("p", "", vec![Node::text(label), Node::own(" "), code(text)])
}

/// A piece of the file, which is in no language.
fn code(text: &str) -> Node {
    el("code", "", vec![Node::own(text)])
}
