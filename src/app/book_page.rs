//! The cellar book: saved wines, demos, files in and out, and what was set aside.

use super::page::Page;
use super::store::store;
use super::{files, words};
use crate::book::file::BookFile;
use crate::book::shelf::Kept;
use crate::book::{DEFAULTS, read_book, read_file, write_book, write_wine};
use crate::wine::{InputError, Wine};
use leptos::prelude::*;
use wasm_bindgen::JsCast;

const DEMOS: [(&str, &str); 6] = [
    ("Heat-unstable white", include_str!("../../demo-data/01-heat-unstable-white.json")),
    ("Hard young red", include_str!("../../demo-data/02-hard-young-red.json")),
    ("Browning organic rosé", include_str!("../../demo-data/03-browning-organic-rose.json")),
    ("Sparkling base for two markets", include_str!("../../demo-data/04-sparkling-base.json")),
    ("Cloudy, smoky juice", include_str!("../../demo-data/05-smoky-juice.json")),
    ("Organic vegan red", include_str!("../../demo-data/06-organic-vegan-red.json")),
];

fn title(wine: &Wine) -> String {
    if wine.name.trim().is_empty() { words::UNNAMED.to_string() } else { wine.name.clone() }
}

/// The page.
#[component]
pub fn BookPage(offline: RwSignal<bool>) -> impl IntoView {
    let store = store();
    let new_wine = move |_| {
        let mut wine = Wine::default();
        wine.fill_from(&store.defaults());
        Page::Wine(store.add(wine)).go();
    };
    let demo = move |text: &'static str| {
        if let Ok(wines) = read_file(text) {
            for wine in wines {
                Page::Treatments(store.add(wine), None).go();
            }
        }
    };
    view! {
        <h1>{words::BOOK}</h1>
        <button class="main" on:click=new_wine>{words::NEW_WINE}</button>
        {move || store.book().is_empty().then(|| view! { <p class="lead">{words::EMPTY_BOOK}</p> }.into_any())}
        <ul class="wines">
            <For each=move || store.book() key=|k| (k.id.clone(), k.wine.name.clone(), k.wine.colour) children=row/>
        </ul>
        <section>
            <h2>{words::DEMOS}</h2>
            <p class="soft">{words::DEMO_LEAD}</p>
            <div class="chips">
                {DEMOS.map(|(name, text)| view! { <button class="chip" on:click=move |_| demo(text)>{name}</button> }.into_any()).collect_view()}
            </div>
        </section>
        <Import/>
        {move || (!store.wines.with(Vec::is_empty)).then(|| view! {
            <button on:click=move |_| {
                let all: Vec<Wine> = untrack(|| store.book()).into_iter().map(|k| k.wine).collect();
                files::save("stillbright-cellar-book.json", &write_book(&all, store.wine_now(DEFAULTS)));
            }>{words::EXPORT_ALL}</button>
        }.into_any())}
        <AsideBox/>
        {move || [words::KEEP_FILE, words::KEEP_LOOSE].into_iter().find(|w| *w == store.lasting.get()).map(|w| view! { <p class="soft" role="status">{w}</p> }.into_any())}
        {move || offline.get().then(|| view! { <p class="soft" role="status">{words::OFFLINE_READY}</p> }.into_any())}
    }
}

fn row(kept: Kept) -> impl IntoView {
    let store = store();
    let id = StoredValue::new(kept.id.clone());
    let name = title(&kept.wine);
    let about: Vec<&str> = kept.wine.colour.map(|c| c.label()).into_iter().chain(kept.wine.stage.map(|s| s.label())).collect();
    let colour = kept.wine.colour.map_or("", |c| c.key());
    let labelled = name.clone();
    view! {
        <li data-colour=colour>
            <a class="wine" href=Page::Wine(kept.id).address()><strong>{name}</strong><span class="soft">{about.join(" · ")}</span></a>
            <span class="acts">
                <button aria-label=format!("{} {labelled}", words::COPY) on:click=move |_| {
                    if let Some(mut wine) = store.wine_now(&id.get_value()) {
                        wine.name = format!("{} {}", words::COPY_OF, title(&wine));
                        wine.demo = false;
                        store.add(wine);
                    }
                }>{words::COPY}</button>
                <button aria-label=format!("{} {labelled}", words::EXPORT) on:click=move |_| {
                    if let Some(wine) = store.wine_now(&id.get_value()) {
                        files::save(&files::file_name(&wine.name), &write_wine(&wine));
                    }
                }>{words::EXPORT}</button>
                <button aria-label=format!("{} {labelled}", words::DELETE) on:click=move |_| store.delete(&id.get_value())>{words::DELETE}</button>
            </span>
        </li>
    }
}

#[component]
fn Import() -> impl IntoView {
    let store = store();
    let waiting: RwSignal<Option<BookFile>> = RwSignal::new(None);
    let wrong: RwSignal<Option<InputError>> = RwSignal::new(None);
    let chosen = move |e: web_sys::Event| {
        let Some(input) = e.target().and_then(|t| t.dyn_into::<web_sys::HtmlInputElement>().ok()) else {
            return;
        };
        files::open(&input, move |text| {
            let read = text.map_or_else(
                || Err(InputError { field: "file".into(), read: "a file that is too long or is not text".into(), expected: "a file exported here.".into() }),
                |t| read_book(&t).map_err(|e| e.input_error()),
            );
            match read {
                Ok(book) => {
                    wrong.set(None);
                    waiting.set(Some(book));
                }
                Err(e) => {
                    waiting.set(None);
                    wrong.set(Some(e));
                }
            }
        });
    };
    view! {
        <div class="field">
            <label for="import">{words::IMPORT}</label>
            <input id="import" type="file" accept=".json,application/json" on:change=chosen/>
            {move || wrong.get().map(|e| view! {
                <p class="mend" role="alert">{format!("This file was not taken. Field: {}. Read: {}. Expected: {}", e.field, e.read, e.expected)}</p>
            }.into_any())}
            {move || waiting.get().map(|book| {
                let names: Vec<String> = book.wines.iter().map(title).chain(book.defaults.iter().map(|_| words::DEFAULTS.to_string())).collect();
                view! {
                    <div role="alert">
                        <p>{format!("{} in this file: {}", names.len(), names.join(", "))}</p>
                        <button on:click=move |_| {
                            if let Some(book) = waiting.get_untracked() {
                                for wine in book.wines { store.add(wine); }
                                if let Some(defaults) = book.defaults {
                                    store.open_defaults();
                                    store.edit(DEFAULTS, &mut |own| own.fill_from(&defaults));
                                }
                            }
                            waiting.set(None);
                        }>{words::IMPORT_ADD}</button>
                        <button on:click=move |_| waiting.set(None)>{words::CANCEL}</button>
                    </div>
                }.into_any()
            })}
        </div>
    }
}

#[component]
fn AsideBox() -> impl IntoView {
    let store = store();
    move || {
        let all = store.aside.get();
        (!all.is_empty()).then(|| view! {
            <section>
                <h2>{words::ASIDE}</h2>
                <p class="soft">{words::ASIDE_LEAD}</p>
                <ul class="facts">
                    {all.into_iter().enumerate().map(|(i, a)| {
                        let (text, key) = (a.text.clone(), a.key.clone());
                        view! {
                            <li>
                                <span>{format!("{} characters", a.text.chars().count())}</span>
                                <span class="acts">
                                    <button aria-label=format!("{} {}", words::SAVE, i + 1) on:click=move |_| files::save("stillbright-set-aside.json", &text)>{words::SAVE}</button>
                                    <button aria-label=format!("{} {}", words::REMOVE, i + 1) on:click=move |_| store.drop_aside(&key)>{words::REMOVE}</button>
                                </span>
                            </li>
                        }.into_any()
                    }).collect_view()}
                </ul>
            </section>
        }.into_any())
    }
}
