//! Handing a wine over as a link: the wine itself stands behind the `#`, which no server sees.

use super::page::Page;
use super::store::store;
use super::{files, words};
use crate::book::{read_file, write_wine};
use crate::wine::Wine;
use leptos::prelude::*;

/// Most bytes of a packed wine in a link; a third more as letters. What is longer is cut by mail and messengers.
const MOST: f64 = 6000.0;

/// The part of the wine page that makes the link.
pub fn offer(id: StoredValue<String>) -> AnyView {
    let store = store();
    // What is said, and the link.
    let made = RwSignal::new((String::new(), String::new()));
    let make = move |_| {
        let text = store.wine_now(&id.get_value()).map(|w| write_wine(&w)).unwrap_or_default();
        leptos::task::spawn_local(async move {
            let here = web_sys::window().and_then(|w| w.location().href().ok()).unwrap_or_default();
            let here = here.split('#').next().unwrap_or_default();
            made.set(match files::started("stillbrightPack", &text, MOST).await {
                Some(packed) if !packed.is_empty() => {
                    let link = format!("{here}#/add/{packed}");
                    (format!("{} characters. {}", link.chars().count(), words::LINK_LEAD), link)
                }
                Some(_) => (words::LINK_LONG.into(), String::new()),
                None => (words::LINK_NOT.into(), String::new()),
            });
        });
    };
    view! {
        <details>
            <summary>{words::HAND_OVER}</summary>
            <button on:click=make>{words::MAKE_LINK}</button>
            <p role="status">{move || made.get().0}</p>
            {move || {
                let link = made.get().1;
                (!link.is_empty()).then(|| {
                    let sent = link.clone();
                    view! {
                        <textarea readonly rows="3" aria-label=words::LINK prop:value=link></textarea>
                        <button on:click=move |_| files::share("stillbright-link.txt", words::LINK, sent.clone())>{words::SHARE}</button>
                    }
                })
            }}
        </details>
    }
    .into_any()
}

/// The page that such a link opens: it asks before anything is kept.
pub fn page(packed: String) -> AnyView {
    let store = store();
    // None while it is read; then the wines, or none where it cannot be.
    let found: RwSignal<Option<Vec<Wine>>> = RwSignal::new(None);
    leptos::task::spawn_local(async move {
        let text = files::started("stillbrightUnpack", &packed, MOST).await;
        found.set(Some(text.and_then(|t| read_file(&t).ok()).unwrap_or_default()));
    });
    let wines = move || found.get().unwrap_or_default();
    let said = move || match found.get() {
        None => String::new(),
        Some(all) if all.is_empty() => words::LINK_BAD.into(),
        Some(all) => all.iter().map(|w| if w.name.trim().is_empty() { words::UNNAMED } else { &w.name }).collect::<Vec<_>>().join(", "),
    };
    view! {
        <h1>{words::HANDED}</h1>
        <p class="answer" role="status">{said}</p>
        <p class="chips" hidden=move || wines().is_empty()>
            <button class="chip" on:click=move |_| {
                let mut last = None;
                for wine in wines() {
                    last = Some(store.add(wine));
                }
                if let Some(id) = last {
                    Page::Wine(id).go();
                }
            }>{words::IMPORT_ADD}</button>
        </p>
        <p><a href="#/">{words::BOOK}</a></p>
    }
    .into_any()
}
