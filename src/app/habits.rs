//! How figures and days are shown on this device: US units beside the metric ones, days in the
//! device's own form beside the
//! written ones. A habit of whoever holds the device, so it is no part of a wine and goes into no
//! file. Every text on the page
//! and on the papers that are shared goes through [`shown`].

use super::paper::{Node, button, el, line, with};
use super::store::store;
use super::words;
use crate::units::{day, us};
use std::cell::Cell;
use std::rc::Rc;

/// Where storage keeps them: “us”, “days” or both.
pub const KEY: &str = "stillbright/shown";

thread_local! {
    /// US units, days.
    static ON: Cell<(bool, bool)> = const { Cell::new((false, false)) };
}

/// Takes over what storage keeps.
pub fn take(kept: &str) {
    ON.set((kept.starts_with("us"), kept.ends_with("days")));
}

/// A text as it is shown.
pub fn shown(text: &str) -> String {
    let (units, days) = ON.get();
    let text = if units {
        us::beside(text)
    } else {
        text.to_string()
    };
    if days { day::beside(&text, &own) } else { text }
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
    let (units, days) = ON.get();
    let chip = |label: &'static str, on: bool, then: (bool, bool)| {
        let tap = move |_| {
            store.keep_shown(match then {
                (true, true) => "us days",
                (true, false) => "us",
                (false, true) => "days",
                (false, false) => "",
            });
        };
        with(
            "aria-pressed",
            if on { "true" } else { "false" },
            button("chip", label, Rc::new(tap)),
        )
    };
    let chips = vec![
        chip(words::SHOW_US, units, (!units, days)),
        chip(words::SHOW_DAYS, days, (units, !days)),
    ];
    let lead = line("p", "soft", words::SHOW_LEAD);
    el(
        "fieldset",
        "",
        vec![
            line("legend", "", words::SHOW),
            lead,
            el("div", "chips", chips),
        ],
    )
}
