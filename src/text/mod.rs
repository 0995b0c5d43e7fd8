//! From a message to its words in a language.
//!
//! The words of a message are a little program, itself a text: letters stand for themselves, and
//! the signs below are followed by one byte that says which argument or variant is meant. The build
//! packs all programs of a language into one table; those of English stand beside their messages.

use crate::message::{Arg, Entry, Message};
use crate::units::show;
use std::borrow::Cow;

/// The signs of a program, the same for the build that writes it.
pub mod sign;

/// Which numbers a language takes as its singular.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plural {
    /// 1 alone: English, Spanish.
    One,
    /// All below 2: French.
    BelowTwo,
}

impl Plural {
    fn is_one(self, number: f64) -> bool {
        let size = number.abs();
        match self {
            Plural::One => (size - 1.0).abs() < f64::EPSILON,
            Plural::BelowTwo => size < 2.0,
        }
    }
}

/// The words of one language besides English, as the build has packed them: the plural, how many
/// messages there are, how long each is, and all of them one behind the other.
#[derive(Debug)]
pub struct Table {
    plural: Plural,
    ends: Vec<usize>,
    words: String,
}

impl Table {
    /// Reads a packed table; none where it is not one.
    pub fn read(bytes: &[u8]) -> Option<Table> {
        let (rule, rest) = bytes.split_first()?;
        let (count, mut rest) = short(rest)?;
        let (mut ends, mut end) = (Vec::with_capacity(count), 0);
        for _ in 0..count {
            let (long, behind) = short(rest)?;
            end += long;
            ends.push(end);
            rest = behind;
        }
        let words = std::str::from_utf8(rest).ok()?.to_string();
        (words.len() == end).then_some(Table {
            plural: if *rule == 0 {
                Plural::One
            } else {
                Plural::BelowTwo
            },
            ends,
            words,
        })
    }

    /// The program of a message; none where it is not translated.
    fn program(&self, id: u16) -> Option<&str> {
        let at = usize::from(id);
        let from = match at.checked_sub(1) {
            Some(before) => *self.ends.get(before)?,
            None => 0,
        };
        self.words
            .get(from..*self.ends.get(at)?)
            .filter(|program| !program.is_empty())
    }
}

/// A number of two bytes, the low one first, and what stands behind it.
fn short(bytes: &[u8]) -> Option<(usize, &[u8])> {
    let (two, rest) = bytes.split_first_chunk::<2>()?;
    Some((usize::from(u16::from_le_bytes(*two)), rest))
}

/// What was said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The words.
    pub text: String,
    /// Whether they stayed English where another language is spoken.
    pub english: bool,
}

/// Says an English sentence of the engine in the language chosen, and whether it stayed English
/// where another one is spoken.
pub type Speak<'a> = &'a dyn Fn(&str) -> (Cow<'_, str>, bool);

/// A message in a language; without a table, in English.
pub fn say(message: &Message, table: Option<&Table>, speak: Speak) -> Said {
    let Entry { id, english } = *message.entry();
    let translated = table.and_then(|t| t.program(id));
    let mut run = Run {
        rest: translated.unwrap_or(english),
        args: message.args(),
        plural: match (translated, table) {
            (Some(_), Some(table)) => table.plural,
            _ => Plural::One,
        },
        table,
        speak,
        english: table.is_some() && translated.is_none() && id != Entry::UNLISTED,
        text: String::new(),
    };
    run.on(true);
    Said {
        text: run.text,
        english: run.english,
    }
}

/// A program that is being run.
struct Run<'a> {
    rest: &'a str,
    args: &'a [Arg],
    plural: Plural,
    table: Option<&'a Table>,
    speak: Speak<'a>,
    english: bool,
    text: String,
}

impl Run<'_> {
    /// To the end of the variant; says it only where it `counts`.
    fn on(&mut self, counts: bool) {
        loop {
            let end = self.rest.find(|c: char| c <= '\u{4}');
            let (words, rest) = self.rest.split_at(end.unwrap_or(self.rest.len()));
            if counts {
                self.text.push_str(words);
            }
            self.rest = rest;
            match self.byte() {
                sign::ARG => {
                    let at = self.byte();
                    if counts {
                        self.show(at);
                    }
                }
                sign::SELECT => self.select(counts),
                // The end of a variant, or of all.
                _ => return,
            }
        }
    }

    /// The next byte; 0 at the end.
    fn byte(&mut self) -> u8 {
        let first = self.rest.bytes().next().unwrap_or_default();
        self.rest = self.rest.get(1..).unwrap_or_default();
        first
    }

    /// The first variant that fits.
    fn select(&mut self, counts: bool) {
        let at = self.byte();
        let mut open = counts;
        loop {
            let key = self.byte();
            // At the end of a program, which is no program, it stops too.
            if key < sign::FIRST_KEY {
                return;
            }
            let fits = open && self.fits(key, at);
            open &= !fits;
            self.on(fits);
        }
    }

    fn fits(&self, key: u8, at: u8) -> bool {
        match (key, self.args.get(usize::from(at))) {
            (sign::OTHER, _) => true,
            (sign::ONE, Some(Arg::Number(n))) => self.plural.is_one(*n),
            (key, Some(Arg::Number(n))) => {
                (f64::from(key - sign::FIRST_KEY) - n).abs() < f64::EPSILON
            }
            (key, Some(Arg::Variant(v))) => key - sign::FIRST_KEY == *v,
            _ => false,
        }
    }

    fn show(&mut self, at: u8) {
        match self.args.get(usize::from(at)) {
            Some(Arg::Number(n)) => self.text.push_str(&show::fixed(*n, 3)),
            Some(Arg::Text(text)) => self.text.push_str(text),
            Some(Arg::Sentence(sentence)) => {
                let (said, english) = (self.speak)(sentence);
                self.text.push_str(&said);
                // A message of which one gap stayed English is not English.
                self.english |= english && self.rest.is_empty() && self.args.len() == 1;
            }
            Some(Arg::Message(inner)) => {
                let said = say(inner, self.table, self.speak);
                self.text.push_str(&said.text);
            }
            Some(Arg::Variant(_)) | None => {}
        }
    }
}
