//! Reads the words of the page, checks them and packs them. Used by the build script, and by the
//! tests of its messages. Every problem is collected, so that one run names them all, each with its
//! file and line.

use super::sign;
use fluent_syntax::ast::{
    Entry, Expression, InlineExpression, Pattern, PatternElement, Variant, VariantKey,
};
use std::collections::{BTreeMap, BTreeSet};

/// A file of words.
pub struct Input {
    /// How it is named in an error.
    pub name: String,
    /// Its language, as in `fr`.
    pub code: String,
    /// What it holds.
    pub text: String,
}

/// What comes of the files.
#[derive(Debug)]
pub struct Compiled {
    /// A constant or a function of Rust for each message.
    pub rust: String,
    /// Each message in the order of its file, with its English program: what the tests of the
    /// packing read.
    #[allow(dead_code)]
    pub english: Vec<(String, String)>,
    /// The packed table of each other language.
    pub tables: Vec<(String, Vec<u8>)>,
    /// What a language lacks, as file and message.
    pub missing: Vec<(String, String)>,
}

/// What fills a gap.
#[derive(Debug, Clone, PartialEq)]
enum Kind {
    Number,
    Text,
    Sentence,
    Message,
    /// A type of Rust, by its path; a variant of it chooses.
    Enum(String),
}

/// A gap of an English message.
#[derive(Debug, Clone)]
struct Gap {
    name: String,
    kind: Kind,
}

/// A message or a term as it was read.
struct Read<'a> {
    line: usize,
    pattern: Pattern<&'a str>,
    gaps: Vec<Gap>,
}

/// A file as it was read: its messages in their order, and its terms.
struct File<'a> {
    name: &'a str,
    order: Vec<&'a str>,
    messages: BTreeMap<&'a str, Read<'a>>,
    terms: BTreeMap<&'a str, Read<'a>>,
}

/// Compiles the English words and their translations.
pub fn compile(english: &Input, others: &[Input]) -> Result<Compiled, Vec<String>> {
    let mut errors = Vec::new();
    let en = read(english, &mut errors);
    // The variants of each enum, as its first selector has them.
    let mut enums = BTreeMap::new();
    let mut programs = Vec::new();
    for id in &en.order {
        let Some(message) = en.messages.get(id) else {
            continue;
        };
        let mut packer = Packer::new(&en, id, message, &message.gaps, &mut enums, &mut errors);
        let program = packer.whole(&message.pattern);
        for gap in packer.unused() {
            packer.fail(&format!(
                "`{id}` says that it has ${gap}, and never uses it"
            ));
        }
        programs.push((id.to_string(), program));
    }
    let mut tables = Vec::new();
    let mut missing = Vec::new();
    for input in others {
        let file = read(input, &mut errors);
        for (id, message) in &file.messages {
            if !en.messages.contains_key(id) {
                errors.push(format!(
                    "{}:{}: `{id}` is no message of {}",
                    file.name, message.line, en.name
                ));
            }
        }
        let mut packed = Vec::new();
        for id in &en.order {
            let (Some(message), Some(source)) = (file.messages.get(id), en.messages.get(id)) else {
                missing.push((input.name.clone(), id.to_string()));
                packed.push(String::new());
                continue;
            };
            let mut packer = Packer::new(&file, id, message, &source.gaps, &mut enums, &mut errors);
            packed.push(packer.whole(&message.pattern));
            for gap in packer.unused() {
                packer.fail(&format!("`{id}` leaves ${gap} out, which the English has"));
            }
        }
        match rule(&input.code) {
            Some(rule) => match table(rule, &packed) {
                Ok(bytes) => tables.push((input.code.clone(), bytes)),
                Err(what) => errors.push(format!("{}: {what}", input.name)),
            },
            None => errors.push(format!(
                "{}: the plural of the language `{}` is not known here",
                input.name, input.code
            )),
        }
    }
    if errors.is_empty() {
        Ok(Compiled {
            rust: rust(&en, &programs, &enums),
            english: programs,
            tables,
            missing,
        })
    } else {
        Err(errors)
    }
}

/// How a language makes its plural, as a packed table says it (CLDR).
fn rule(code: &str) -> Option<u8> {
    match code {
        "en" | "es" => Some(0),
        "fr" => Some(1),
        _ => None,
    }
}

/// A packed table.
fn table(rule: u8, programs: &[String]) -> Result<Vec<u8>, String> {
    let short = |n: usize| u16::try_from(n).map_err(|_| format!("{n} is too long"));
    let mut bytes = vec![rule];
    bytes.extend(short(programs.len())?.to_le_bytes());
    for program in programs {
        bytes.extend(short(program.len())?.to_le_bytes());
    }
    bytes.extend(programs.iter().flat_map(|p| p.bytes()));
    Ok(bytes)
}

/// The line of a place in a text, from 1.
fn line_at(text: &str, at: usize) -> usize {
    text.bytes().take(at).filter(|b| *b == b'\n').count() + 1
}

/// The line on which a message or a term begins.
fn line_of(text: &str, id: &str) -> usize {
    text.lines()
        .position(|line| {
            line.strip_prefix(id)
                .is_some_and(|rest| rest.trim_start().starts_with('='))
        })
        .map_or(1, |at| at + 1)
}

fn read<'a>(input: &'a Input, errors: &mut Vec<String>) -> File<'a> {
    let resource =
        fluent_syntax::parser::parse(input.text.as_str()).unwrap_or_else(|(resource, problems)| {
            for problem in problems {
                errors.push(format!(
                    "{}:{}: {problem}",
                    input.name,
                    line_at(&input.text, problem.pos.start)
                ));
            }
            resource
        });
    let mut file = File {
        name: &input.name,
        order: Vec::new(),
        messages: BTreeMap::new(),
        terms: BTreeMap::new(),
    };
    for entry in resource.body {
        let (id, pattern, attributes, comment, term) = match entry {
            Entry::Message(m) => (m.id.name, m.value, m.attributes, m.comment, false),
            Entry::Term(t) => (t.id.name, Some(t.value), t.attributes, t.comment, true),
            _ => continue,
        };
        let written = if term {
            format!("-{id}")
        } else {
            id.to_string()
        };
        let line = line_of(&input.text, &written);
        let mut fail =
            |what: &str| errors.push(format!("{}:{line}: `{written}` {what}", input.name));
        if !attributes.is_empty() {
            fail("has attributes, which are not known here");
        }
        if !id
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        {
            fail("is to be written in small letters with hyphens");
        }
        let lines = comment.map(|c| c.content).unwrap_or_default();
        let gaps = gaps(&lines, &mut fail);
        let Some(pattern) = pattern else { continue };
        let read = Read {
            line,
            pattern,
            gaps,
        };
        let twice = if term {
            file.terms.insert(id, read)
        } else {
            file.order.push(id);
            file.messages.insert(id, read)
        };
        if twice.is_some() {
            fail("stands there twice");
        }
    }
    file
}

/// The gaps that the comment of a message declares: `$count (number)`.
fn gaps(comment: &[&str], fail: &mut dyn FnMut(&str)) -> Vec<Gap> {
    let mut all: Vec<Gap> = Vec::new();
    for line in comment.iter().filter_map(|l| l.trim().strip_prefix('$')) {
        let told = line
            .split_once(" (")
            .and_then(|(name, rest)| Some((name, rest.split_once(')')?.0)));
        let Some((name, kind)) = told else {
            fail(&format!("tells no kind of ${line}: write `$name (text)`"));
            continue;
        };
        let kind = match kind {
            "number" => Kind::Number,
            "text" => Kind::Text,
            "sentence" => Kind::Sentence,
            "message" => Kind::Message,
            path if path.contains("::") => Kind::Enum(path.to_string()),
            other => {
                fail(&format!(
                    "gives ${name} the kind `{other}`: it may be number, text, sentence, message or the path of an enum"
                ));
                continue;
            }
        };
        if all.iter().any(|g| g.name == name) {
            fail(&format!("tells ${name} twice"));
        }
        all.push(Gap {
            name: name.to_string(),
            kind,
        });
    }
    all
}

/// Packs one message.
struct Packer<'p, 'a> {
    file: &'p File<'a>,
    line: usize,
    id: &'p str,
    gaps: &'p [Gap],
    used: BTreeSet<String>,
    enums: &'p mut BTreeMap<String, Vec<String>>,
    errors: &'p mut Vec<String>,
}

impl<'p, 'a> Packer<'p, 'a> {
    fn new(
        file: &'p File<'a>,
        id: &'p str,
        message: &Read<'a>,
        gaps: &'p [Gap],
        enums: &'p mut BTreeMap<String, Vec<String>>,
        errors: &'p mut Vec<String>,
    ) -> Self {
        let line = message.line;
        Packer {
            file,
            line,
            id,
            gaps,
            used: BTreeSet::new(),
            enums,
            errors,
        }
    }

    fn fail(&mut self, what: &str) {
        self.errors
            .push(format!("{}:{}: {what}", self.file.name, self.line));
    }

    /// The gaps that were not used.
    fn unused(&self) -> Vec<String> {
        let unused = self.gaps.iter().map(|g| g.name.clone());
        unused.filter(|name| !self.used.contains(name)).collect()
    }

    /// A whole message.
    fn whole(&mut self, pattern: &Pattern<&str>) -> String {
        let mut program = String::new();
        self.pattern(pattern, &mut Vec::new(), &mut program);
        program
    }

    /// `within` are the messages and terms that are being put in, so that none holds itself.
    fn pattern(&mut self, pattern: &Pattern<&str>, within: &mut Vec<String>, to: &mut String) {
        for element in &pattern.elements {
            match element {
                // A line that goes on below is one line on the page.
                PatternElement::TextElement { value } => {
                    self.letters(&value.replace('\n', " "), to)
                }
                PatternElement::Placeable { expression } => self.expression(expression, within, to),
            }
        }
    }

    fn letters(&mut self, text: &str, to: &mut String) {
        if text.contains(|c: char| c < ' ') {
            self.fail(&format!("`{}` holds a sign that is no letter", self.id));
        }
        to.push_str(text);
    }

    fn expression(
        &mut self,
        expression: &Expression<&str>,
        within: &mut Vec<String>,
        to: &mut String,
    ) {
        match expression {
            Expression::Inline(inline) => self.inline(inline, within, to),
            Expression::Select { selector, variants } => {
                self.select(selector, variants, within, to);
            }
        }
    }

    fn inline(
        &mut self,
        inline: &InlineExpression<&str>,
        within: &mut Vec<String>,
        to: &mut String,
    ) {
        match inline {
            InlineExpression::StringLiteral { value } => {
                let text = fluent_syntax::unicode::unescape_unicode_to_string(value).into_owned();
                self.letters(&text, to);
            }
            InlineExpression::NumberLiteral { value } => to.push_str(value),
            InlineExpression::VariableReference { id } => {
                if let Some((at, kind)) = self.gap(id.name) {
                    if matches!(kind, Kind::Enum(_)) {
                        self.fail(&format!(
                            "`{}` shows ${}, which only chooses",
                            self.id, id.name
                        ));
                    }
                    to.push(char::from(sign::ARG));
                    to.push(char::from(at));
                }
            }
            InlineExpression::MessageReference {
                id,
                attribute: None,
            } => {
                let found = self.file.messages.get(id.name);
                self.put_in(id.name.to_string(), found, within, to);
            }
            InlineExpression::TermReference {
                id,
                attribute: None,
                arguments: None,
            } => {
                let found = self.file.terms.get(id.name);
                self.put_in(format!("-{}", id.name), found, within, to);
            }
            InlineExpression::Placeable { expression } => self.expression(expression, within, to),
            InlineExpression::FunctionReference { id, .. } => {
                self.fail(&format!(
                    "`{}` calls {}, which is not known here",
                    self.id, id.name
                ));
            }
            InlineExpression::MessageReference { id, .. }
            | InlineExpression::TermReference { id, .. } => {
                self.fail(&format!(
                    "`{}` asks for a part of `{}` or hands something to it, which is not known here",
                    self.id, id.name
                ));
            }
        }
    }

    /// Another message or a term, in the place where it is named.
    fn put_in(
        &mut self,
        name: String,
        found: Option<&'p Read<'a>>,
        within: &mut Vec<String>,
        to: &mut String,
    ) {
        let Some(found) = found else {
            self.fail(&format!(
                "`{}` names `{name}`, which is not in this file",
                self.id
            ));
            return;
        };
        if name == self.id || within.contains(&name) {
            self.fail(&format!("`{}` holds itself by `{name}`", self.id));
            return;
        }
        within.push(name);
        self.pattern(&found.pattern, within, to);
        within.pop();
    }

    /// A gap by its name: its place and kind.
    fn gap(&mut self, name: &str) -> Option<(u8, Kind)> {
        let Some(at) = self.gaps.iter().position(|g| g.name == name) else {
            self.fail(&format!(
                "`{}` has ${name}, which the English message does not declare",
                self.id
            ));
            return None;
        };
        self.used.insert(name.to_string());
        let kind = self.gaps.get(at)?.kind.clone();
        Some((u8::try_from(at).ok()?, kind))
    }

    fn select(
        &mut self,
        selector: &InlineExpression<&str>,
        variants: &[Variant<&str>],
        within: &mut Vec<String>,
        to: &mut String,
    ) {
        let InlineExpression::VariableReference { id } = selector else {
            self.fail(&format!("`{}` chooses by what is no variable", self.id));
            return;
        };
        let Some((at, kind)) = self.gap(id.name) else {
            return;
        };
        let keys = match kind {
            Kind::Number => self.plural_keys(id.name, variants),
            Kind::Enum(path) => self.enum_keys(id.name, &path, variants),
            _ => {
                self.fail(&format!(
                    "`{}` chooses by ${}, which is neither a number nor an enum",
                    self.id, id.name
                ));
                return;
            }
        };
        let mut keyed: Vec<_> = keys.into_iter().zip(variants).collect();
        // An exact number comes before a category, and “other” last.
        keyed.sort_by_key(|(key, _)| *key);
        to.push(char::from(sign::SELECT));
        to.push(char::from(at));
        for (key, variant) in keyed {
            to.push(char::from(key));
            self.pattern(&variant.value, within, to);
            to.push(char::from(sign::END_VARIANT));
        }
        to.push(char::from(sign::END_SELECT));
    }

    fn plural_keys(&mut self, name: &str, variants: &[Variant<&str>]) -> Vec<u8> {
        let mut keys = Vec::new();
        for variant in variants {
            let key = match variant.key {
                VariantKey::Identifier { name: "one" } => Some(sign::ONE),
                VariantKey::Identifier { name: "other" } if variant.default => Some(sign::OTHER),
                VariantKey::NumberLiteral { value } => exact(value),
                VariantKey::Identifier { .. } => None,
            };
            match key {
                Some(key) if !keys.contains(&key) => keys.push(key),
                _ => {
                    self.fail(&format!(
                        "`{}`: a number chooses between [0], [1] and so on, [one] and *[other], each once; not [{}]",
                        self.id,
                        key_of(variant)
                    ));
                    keys.push(sign::OTHER);
                }
            }
        }
        if !keys.contains(&sign::OTHER) {
            self.fail(&format!(
                "`{}`: the choice by ${name} needs *[other]",
                self.id
            ));
        }
        keys
    }

    /// Every variant of the enum, and no other.
    fn enum_keys(&mut self, name: &str, path: &str, variants: &[Variant<&str>]) -> Vec<u8> {
        let mine: Vec<String> = variants.iter().map(key_of).collect();
        let known = self
            .enums
            .entry(path.to_string())
            .or_insert_with(|| mine.clone())
            .clone();
        let mut keys = Vec::new();
        for key in &mine {
            let at = known.iter().position(|k| k == key).unwrap_or_else(|| {
                self.fail(&format!("`{}`: {path} has no variant [{key}]", self.id));
                0
            });
            let byte = u8::try_from(at)
                .unwrap_or(u8::MAX)
                .saturating_add(sign::FIRST_KEY);
            if byte > sign::LAST_KEY || keys.contains(&byte) {
                self.fail(&format!("`{}`: [{key}] stands there twice", self.id));
            }
            keys.push(byte);
        }
        for key in known.iter().filter(|k| !mine.contains(k)) {
            self.fail(&format!(
                "`{}`: the choice by ${name} lacks [{key}]",
                self.id
            ));
        }
        keys
    }
}

/// The key of an exact number.
fn exact(value: &str) -> Option<u8> {
    let key = value.parse::<u8>().ok()?.checked_add(sign::FIRST_KEY)?;
    (key <= sign::LAST_KEY).then_some(key)
}

fn key_of(variant: &Variant<&str>) -> String {
    match variant.key {
        VariantKey::Identifier { name } => name.to_string(),
        VariantKey::NumberLiteral { value } => value.to_string(),
    }
}

/// The messages as Rust.
fn rust(en: &File, programs: &[(String, String)], enums: &BTreeMap<String, Vec<String>>) -> String {
    let mut all = String::new();
    for (at, (id, program)) in programs.iter().enumerate() {
        let Some(message) = en.messages.get(id.as_str()) else {
            continue;
        };
        let entry = format!("Entry {{ id: {at}, english: {program:?} }}");
        let snake = id.replace('-', "_");
        if message.gaps.is_empty() {
            let name = snake.to_uppercase();
            all.push_str(&format!(
                "pub const {name}: Message = Message::fixed(&{entry});\n"
            ));
            continue;
        }
        let gap = |gap: &Gap| {
            let name = gap.name.replace('-', "_");
            match &gap.kind {
                Kind::Number => (
                    format!("{name}: impl Number"),
                    format!("Arg::Number({name}.number())"),
                ),
                Kind::Text => (
                    format!("{name}: impl Into<String>"),
                    format!("Arg::Text({name}.into())"),
                ),
                Kind::Sentence => (
                    format!("{name}: impl Into<std::borrow::Cow<'static, str>>"),
                    format!("Arg::Sentence({name}.into())"),
                ),
                Kind::Message => (
                    format!("{name}: impl Into<Message>"),
                    format!("Arg::Message({name}.into())"),
                ),
                Kind::Enum(path) => {
                    let arms = enums.get(path).into_iter().flatten().enumerate();
                    let arms: Vec<String> = arms
                        .map(|(at, key)| format!("{path}::{} => {at}", pascal(key)))
                        .collect();
                    (
                        format!("{name}: {path}"),
                        format!("Arg::Variant(match {name} {{ {} }})", arms.join(", ")),
                    )
                }
            }
        };
        let (takes, fills): (Vec<String>, Vec<String>) = message.gaps.iter().map(gap).unzip();
        all.push_str(&format!(
            "pub fn {snake}({}) -> Message {{ static ENTRY: Entry = {entry}; Message::filled(&ENTRY, vec![{}]) }}\n",
            takes.join(", "),
            fills.join(", ")
        ));
    }
    all
}

/// `not-known` as `NotKnown`.
fn pascal(key: &str) -> String {
    key.split('-')
        .map(|word| {
            let (first, rest) = word.split_at(word.len().min(1));
            first.to_uppercase() + rest
        })
        .collect()
}
