//! What is to be said, before any language is chosen: which message, and what fills its gaps. The
//! words themselves stand in `languages/*.ftl`; the build makes a constant or a function of each
//! message.

use std::borrow::Cow;

/// A message with its English words, as the build packs them.
#[derive(Debug, PartialEq)]
pub struct Entry {
    /// Its place in `languages/en.ftl`; [`Entry::UNLISTED`] for a sentence that stands in no list.
    pub id: u16,
    /// Its English words, as a little program: see [`crate::text`].
    pub english: &'static str,
}

impl Entry {
    /// The place of what stands in no list.
    pub const UNLISTED: u16 = u16::MAX;
}

/// A sentence of the engine, whose words are found by the English text itself.
static SENTENCE: Entry = Entry {
    id: Entry::UNLISTED,
    english: "\u{1}\0",
};

/// What fills a gap of a message, or chooses between its variants.
#[derive(Debug, Clone, PartialEq)]
pub enum Arg {
    /// A number: shown plain, and it chooses the plural.
    Number(f64),
    /// A text that is shown as it is: a name that was typed, or what was already said.
    Text(String),
    /// An English sentence of the engine, said in the language chosen.
    Sentence(Cow<'static, str>),
    /// Another message.
    Message(Message),
    /// Which variant of an enum, by its place among the variants of the message.
    Variant(u8),
}

/// What fills the gaps of a message, in the order of their declaration.
#[derive(Debug, Clone, PartialEq)]
struct Filled {
    args: Vec<Arg>,
}

/// What is to be said. Two words long, so that it costs no more than a text.
#[derive(Debug, Clone, PartialEq)]
pub struct Message {
    entry: &'static Entry,
    filled: Option<Box<Filled>>,
}

impl Message {
    /// A message without gaps.
    pub const fn fixed(entry: &'static Entry) -> Message {
        Message {
            entry,
            filled: None,
        }
    }

    /// A message with what fills its gaps, in the order of their declaration.
    pub fn filled(entry: &'static Entry, args: Vec<Arg>) -> Message {
        Message {
            entry,
            filled: Some(Box::new(Filled { args })),
        }
    }

    /// Which message it is.
    pub fn entry(&self) -> &'static Entry {
        self.entry
    }

    /// What fills its gaps.
    pub fn args(&self) -> &[Arg] {
        self.filled.as_deref().map_or(&[], |f| f.args.as_slice())
    }
}

impl From<&'static str> for Message {
    fn from(sentence: &'static str) -> Message {
        Message::filled(&SENTENCE, vec![Arg::Sentence(Cow::Borrowed(sentence))])
    }
}

impl From<String> for Message {
    fn from(sentence: String) -> Message {
        Message::filled(&SENTENCE, vec![Arg::Sentence(Cow::Owned(sentence))])
    }
}

/// What counts as a number of a message.
pub trait Number {
    /// The number.
    fn number(self) -> f64;
}

/// Numbers of these types.
macro_rules! numbers {
    ($($kind:ty)*) => { $(impl Number for $kind {
        fn number(self) -> f64 {
            self as f64
        }
    })* };
}
numbers!(u8 u16 u32 u64 usize i32 i64 f64);
