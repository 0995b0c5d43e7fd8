//! How figures and days are shown on this device: US units beside the metric ones, days in the device's own form beside the
//! written ones. A habit of whoever holds the device, so it is no part of a wine and goes into no file. Every text on the page
//! and on the papers that are shared goes through [`shown`].

use super::paper::{Node, button, el, line, with};
use super::store::store;
use super::words;
use crate::units::{day, us};
use std::borrow::Cow;
use std::cell::Cell;
use std::rc::Rc;

/// Where storage keeps them: the words of those that are on.
pub const KEY: &str = "stillbright/shown";

/// What can stand beside: its word in storage, and on the page.
const ALL: [(&str, &str); 2] = [("us", words::SHOW_US), ("days", words::SHOW_DAYS)];

thread_local! {
    static ON: Cell<[bool; 2]> = const { Cell::new([false; 2]) };
}

/// Takes over what storage keeps.
pub fn take(kept: &str) {
    ON.set(ALL.map(|(word, _)| kept.split(' ').any(|w| w == word)));
}

/// A text as it is shown.
pub fn shown(text: &str) -> Cow<'_, str> {
    let [units, days] = ON.get();
    let mut shown = Cow::Borrowed(text);
    if units {
        shown = us::beside(&shown).into();
    }
    if days {
        shown = day::beside(&shown, &own).into();
    }
    shown
}

/// The day in the form of this device's language.
fn own(day: &str) -> Option<String> {
    let language = web_sys::window()?.navigator().language()?;
    let options = js_sys::Object::new();
    let _set = js_sys::Reflect::set(&options, &"dateStyle".into(), &"medium".into());
    // At noon, so that no clock puts it into the day beside.
    let date = js_sys::Date::new(&[day, "T12:00"].concat().into());
    Some(date.to_locale_date_string(&language, &options).into())
}

/// The choice.
pub fn choice() -> Node {
    let store = store();
    let chips = ALL.iter().enumerate().map(|(at, (_, label))| {
        let on = ON.get().get(at).is_some_and(|on| *on);
        let tap = move |_| {
            let words = ALL.iter().zip(ON.get()).enumerate().filter(|(i, (_, on))| *on != (*i == at)).map(|(_, ((word, _), _))| *word).collect::<Vec<_>>();
            store.keep_shown(&words.join(" "));
        };
        with("aria-pressed", if on { "true" } else { "false" }, button("chip", label, Rc::new(tap)))
    });
    let lead = line("p", "soft", words::SHOW_LEAD);
    el("fieldset", "", vec![line("legend", "", words::SHOW), lead, el("div", "chips", chips.collect())])
}
