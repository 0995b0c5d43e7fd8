//! The page: Leptos views, browser storage, files. Only under the wasm target; everything it shows
//! is worked out by the
//! rooms below it.

mod apart;
mod ask_page;
mod book_page;
mod cause_page;
mod chain;
mod compare_page;
mod defaults_page;
mod dossiers;
mod figures_page;
mod files;
mod follows_page;
mod growing;
mod habits;
mod handover;
mod import;
mod log_page;
mod page;
mod paper;
mod paper_page;
mod parts;
mod picture;
mod port;
mod questions;
mod routes_page;
mod speech;
mod stability_page;
mod stepper;
mod store;
mod treatment_page;
mod treatments_page;
mod trial_page;
mod wine_page;
mod words;

use crate::message::Message;
use apart::Part;
use leptos::prelude::*;
use page::Page;
use paper::{Node, el, follow, line, link, live, with};
use std::rc::Rc;
use store::Store;
use wasm_bindgen::{JsCast, JsValue, prelude::Closure};

/// Mounts the page into `<div id="app">`, in place of the static shell. A panic stops the wasm at
/// once; the start script
/// sees that as an error and shows the recovery screen, which lives outside wasm for that reason.
pub fn mount() {
    let Some(document) = web_sys::window().and_then(|w| w.document()) else {
        return;
    };
    let Some(place) = document
        .get_element_by_id("app")
        .and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok())
    else {
        return;
    };
    place.set_inner_html("");
    let _marked = place.set_attribute("data-ready", "");
    let root = place.clone();
    // Leptos keeps the state and says what changed; the elements are made by `paper`.
    leptos::mount::mount_to(place, move || paper::replace(&root, &shell())).forget();
}

/// Calls `f` on a window event for as long as the page lives.
fn on_window(event: &str, f: impl Fn() + 'static) {
    on_window_told(event, move |_| f());
}

/// The same with the event.
fn on_window_told(event: &str, f: impl Fn(&JsValue) + 'static) {
    if let Some(window) = web_sys::window() {
        let closure = Closure::<dyn Fn(JsValue)>::new(move |event| f(&event));
        let _added =
            window.add_event_listener_with_callback(event, closure.as_ref().unchecked_ref());
        closure.forget();
    }
}

/// Draws the page anew, since another tab changed what it shows. Not while the hand is in a field
/// of it: the field would be another one
/// under the hand. It `waits` until the hand has left; the fields follow what was changed by
/// themselves, but for that one.
fn draw_anew(store: Store, waits: StoredValue<bool>) {
    let gone = store
        .page
        .with_untracked(|p| p.wine().is_some_and(|id| store.of(id, |_| ()).is_none()));
    // The book follows by itself, and so does the sheet of the log, whose entry that is not added
    // yet stands in its form only.
    let follows = store
        .page
        .with_untracked(|p| matches!(p, Page::Book | Page::Paper(_, page::Sheet::Log)));
    let wait = !gone && !follows && paper::typing();
    waits.set_value(wait);
    if gone || !(follows || wait) {
        store.page.update(|_| {});
    }
}

/// All that is on screen.
fn shell() -> Vec<Node> {
    let store = Store::open();
    provide_context(store);
    if store.keeping.get_untracked() == store::Keeping::Saved {
        store.ask_to_last("");
    }
    on_window("hashchange", move || {
        store.turn();
        // A reader of the screen begins at the new page, not where the old one was left.
        parts::focus("main");
        if let Some(window) = web_sys::window() {
            window.scroll_to_with_x_and_y(0.0, 0.0);
        }
    });
    // Else a tab that was opened earlier would write over what another one has typed since.
    let waits = StoredValue::new(false);
    on_window_told("storage", move |event| {
        let key = js_sys::Reflect::get(event, &"key".into())
            .ok()
            .and_then(|k| k.as_string());
        if store.hear(key.as_deref()) {
            draw_anew(store, waits);
        }
    });
    on_window("focusout", move || {
        if waits.get_value() {
            // After a tap that took the hand out of the field has done what it does.
            set_timeout(
                move || {
                    if waits.get_value() {
                        draw_anew(store, waits);
                    }
                },
                std::time::Duration::from_millis(500),
            );
        }
    });
    let offline = RwSignal::new(false);
    let update = RwSignal::new(false);
    on_window("stillbright-offline-ready", move || offline.set(true));
    on_window("stillbright-update", move || update.set(true));
    // What stands around the page is made anew when the language changes.
    let top = move || {
        store.language.track();
        let skip = Node::on(
            "click",
            Rc::new(|_| parts::focus("main")),
            with("href", "#main", line("a", "skip", words::SKIP)),
        );
        let to = |page: Page, label: Message| link(page.address(), vec![Node::text(label)]);
        let pages = el(
            "nav",
            "",
            vec![
                to(Page::Defaults, words::DEFAULTS),
                to(Page::Figures, words::FIGURES),
            ],
        );
        let brand = link(Page::Book.address(), vec![Node::own("Stillbright")]);
        vec![
            skip,
            el(
                "header",
                "top",
                vec![
                    with("class", "brand", brand),
                    with("aria-label", words::PAGES, pages),
                ],
            ),
        ]
    };
    let in_book = Memo::new(move |_| store.page.with(|p| *p == Page::Book));
    let foot = move || {
        store.language.track();
        let mut foot = vec![
            line("p", "", words::FOOT),
            el(
                "p",
                "",
                vec![link(Page::Words.address(), vec![Node::text(words::WORDS)])],
            ),
        ];
        // The cellar book says it under the choice of the language.
        foot.extend((!in_book.get()).then(parts::unreviewed).flatten());
        foot
    };
    let main = with(
        "id",
        "main",
        with("tabindex", "-1", el("main", "", Vec::new())),
    );
    let part = RwSignal::new(Part::Coming);
    apart::fetch(part);
    ask_page::make_ready();
    let (place, coloured, mut before) = (main.clone(), main.clone(), None);
    follow(Box::new(move || {
        let page = store.page.get();
        // Only a page that waits for it is drawn anew when it comes.
        if page.is_apart() {
            part.track();
        }
        page::entitle(&page.title());
        // Another page keeps nothing of the one before; the same drawn anew keeps what was open and
        // where the focus is.
        if before.as_ref() != Some(&page) {
            place.say("");
        }
        before = Some(page.clone());
        waits.set_value(false);
        paper::replace(place.element(), &untrack(|| draw(page, offline, part)));
    }));
    follow(Box::new(move || {
        drop(with("data-colour", store.colour_key(), coloured.clone()))
    }));
    let mut all = vec![live("div", "", Box::new(top))];
    all.extend(parts::banners(update));
    all.extend([main, live("footer", "foot", Box::new(foot))]);
    all
}

/// What a page holds.
fn draw(page: Page, offline: RwSignal<bool>, part: RwSignal<Part>) -> Vec<Node> {
    match page {
        Page::Book => book_page::page(offline),
        Page::Ask(id, at) => ask_page::page(&id, at),
        // Filled by the glossary, a file of its own that comes after the page.
        Page::Words => {
            let wait = with(
                "id",
                "glossary",
                el("div", "", vec![line("p", "soft", words::WORDS_WAIT)]),
            );
            vec![
                line("h1", "", words::WORDS),
                line("p", "soft", words::WORDS_LEAD),
                wait,
            ]
        }
        Page::Lost => vec![
            line("h1", "", words::LOST),
            el(
                "p",
                "",
                vec![link(Page::Book.address(), vec![Node::text(words::BOOK)])],
            ),
        ],
        page => apart::page(page, part),
    }
}
