//! What is said on the page: the one place that knows the language chosen. Messages find their words
//! in its packed table; English sentences of the engine go through the speaker of the start script.

use super::habits;
use crate::message::Message;
use crate::text::{Said, Table, say};
use crate::units::bind::bound;
use crate::units::comma::with_comma;
use std::borrow::Cow;
use std::cell::{Cell, RefCell};
use wasm_bindgen::{JsCast, JsValue};

thread_local! {
    /// Says a sentence of the engine in the language chosen; none for English.
    static SPEAKER: RefCell<Option<js_sys::Function>> = const { RefCell::new(None) };
    /// The words of the language chosen; none for English.
    static TABLE: RefCell<Option<Table>> = const { RefCell::new(None) };
    /// Whether the numbers of that language have a comma here.
    static COMMA: Cell<bool> = const { Cell::new(false) };
}

/// Takes up the language that the start script has ready, and gives its code.
pub fn speak() -> String {
    let ready = |name: &str| js_sys::Reflect::get(&js_sys::global(), &name.into()).ok();
    let speaker = ready("stillbrightSay").and_then(|f| f.dyn_into().ok());
    SPEAKER.with(|s| s.replace(speaker));
    let table = ready("stillbrightWords")
        .filter(|packed| packed.is_object())
        .and_then(|packed| Table::read(&js_sys::Uint8Array::new(&packed).to_vec()));
    TABLE.with(|t| t.replace(table));
    let code = web_sys::window()
        .and_then(|w| w.document())
        .and_then(|d| d.document_element())
        .and_then(|e| e.get_attribute("lang"))
        .unwrap_or_default();
    COMMA.set(foreign() && comma_of(&code));
    code
}

/// Whether the browser writes numbers of a language with a comma, in the country that it names for
/// it: Spanish has it in Spain and the
/// point in Mexico.
fn comma_of(code: &str) -> bool {
    let mine = web_sys::window()
        .map(|w| w.navigator().languages())
        .unwrap_or_default();
    let own = mine
        .iter()
        .filter_map(|l| l.as_string())
        .find(|l| l.split('-').next() == Some(code));
    String::from(js_sys::Number::from(1.5).to_locale_string(own.as_deref().unwrap_or(code)))
        .contains(',')
}

/// Whether a language other than English is spoken.
pub fn foreign() -> bool {
    SPEAKER.with_borrow(Option::is_some)
}

/// A sentence of the engine in the language chosen; whether it stayed English in a page that is
/// not.
fn sentence(text: &str) -> (Cow<'_, str>, bool) {
    SPEAKER.with_borrow(|s| match s {
        None => (Cow::Borrowed(text), false),
        Some(f) => match f
            .call1(&JsValue::NULL, &text.into())
            .ok()
            .and_then(|t| t.as_string())
        {
            Some(said) => (Cow::Owned(said), false),
            None => (Cow::Borrowed(text), true),
        },
    })
}

/// What can be said: a message, or an English sentence of the engine.
pub trait Words {
    /// In the language chosen; whether it stayed English in a page that is not.
    fn spoken(&self) -> (Cow<'_, str>, bool);

    /// As it stands in an attribute that is not read out: a sentence as it is.
    fn plain(&self) -> Cow<'_, str>;
}

/// English sentences of the engine, however they are held.
macro_rules! sentences {
    ($($kind:ty),*) => { $(impl Words for $kind {
        fn spoken(&self) -> (Cow<'_, str>, bool) {
            sentence(self)
        }

        fn plain(&self) -> Cow<'_, str> {
            Cow::Borrowed(self)
        }
    })* };
}
sentences!(str, String, Cow<'_, str>);

impl Words for Message {
    fn spoken(&self) -> (Cow<'_, str>, bool) {
        let Said { text, english } =
            TABLE.with_borrow(|table| say(self, table.as_ref(), &sentence));
        (Cow::Owned(text), english)
    }

    fn plain(&self) -> Cow<'_, str> {
        self.spoken().0
    }
}

impl<T: Words + ?Sized> Words for &T {
    fn spoken(&self) -> (Cow<'_, str>, bool) {
        (**self).spoken()
    }

    fn plain(&self) -> Cow<'_, str> {
        (**self).plain()
    }
}

/// Words in the language chosen; English where it has none for it.
pub fn said(words: &(impl Words + ?Sized)) -> Cow<'_, str> {
    words.spoken().0
}

/// A text line by line as it is shown on this device, for what leaves as a file.
pub fn shown_lines(text: &str) -> String {
    text.lines()
        .map(|line| shown(&line))
        .collect::<Vec<_>>()
        .join("\n")
}

/// Words in the language chosen, as they are shown on this device.
pub fn shown(words: &dyn Words) -> String {
    spoken_and_shown(words).0
}

/// The same, and whether they stayed English in a page that is not. Numbers of the other languages
/// get their decimal comma where the
/// country has it; what stayed English keeps its point.
pub fn spoken_and_shown(words: &dyn Words) -> (String, bool) {
    let (said, english) = words.spoken();
    let shown = habits::shown(&said);
    (
        bound(if COMMA.get() && !english {
            with_comma(&shown)
        } else {
            shown
        }),
        english,
    )
}
