//! The page: Leptos views, browser storage, files. Only under the wasm target; everything it shows is worked out by the
//! rooms below it.

mod book_page;
mod cause_page;
mod compare_page;
mod defaults_page;
mod figures_page;
mod files;
mod follows_page;
mod handover;
mod log_page;
mod page;
mod paper;
mod paper_page;
mod parts;
mod port;
mod routes_page;
mod stability_page;
mod store;
mod treatment_page;
mod treatments_page;
mod trial_page;
mod wine_page;
mod words;

use leptos::prelude::*;
use page::Page;
use store::Store;
use wasm_bindgen::{JsCast, prelude::Closure};

/// Mounts the page into `<div id="app">`, in place of the static shell. A panic stops the wasm at once; the start script
/// sees that as an error and shows the recovery screen, which lives outside wasm for that reason.
pub fn mount() {
    let Some(document) = web_sys::window().and_then(|w| w.document()) else {
        return;
    };
    let Some(place) = document.get_element_by_id("app").and_then(|e| e.dyn_into::<web_sys::HtmlElement>().ok()) else {
        return;
    };
    place.set_inner_html("");
    let _marked = place.set_attribute("data-ready", "");
    leptos::mount::mount_to(place, || view! { <Root/> }).forget();
}

/// Calls `f` on a window event for as long as the page lives.
fn on_window(event: &str, f: impl Fn() + 'static) {
    if let Some(window) = web_sys::window() {
        let closure = Closure::<dyn Fn()>::new(f);
        let _added = window.add_event_listener_with_callback(event, closure.as_ref().unchecked_ref());
        closure.forget();
    }
}

#[component]
fn Root() -> impl IntoView {
    let store = Store::open();
    provide_context(store);
    if store.keeping.get_untracked() == store::Keeping::Saved {
        store.ask_to_last("");
    }
    on_window("hashchange", move || {
        store.page.set(Page::here());
        // A reader of the screen begins at the new page, not where the old one was left.
        parts::focus("main");
        if let Some(window) = web_sys::window() {
            window.scroll_to_with_x_and_y(0.0, 0.0);
        }
    });
    Effect::new(move |_| {
        if let Some(document) = web_sys::window().and_then(|w| w.document()) {
            document.set_title(&format!("{} – Stillbright", store.page.with(Page::title)));
        }
    });
    // Else a tab that was opened earlier would write over what another one has typed since.
    on_window("storage", move || store.read_again());
    let offline = RwSignal::new(false);
    let update = RwSignal::new(false);
    on_window("stillbright-offline-ready", move || offline.set(true));
    on_window("stillbright-update", move || update.set(true));
    view! {
        <a class="skip" href="#main" on:click=move |e| { e.prevent_default(); parts::focus("main"); }>{words::SKIP}</a>
        <header class="top">
            <a class="brand" href="#/">"Stillbright"</a>
            <nav aria-label=words::PAGES><a href="#/defaults">{words::DEFAULTS}</a><a href="#/figures">{words::FIGURES}</a></nav>
        </header>
        <parts::Banners update=update/>
        <main id="main" tabindex="-1" data-colour=move || store.colour_key()>
            {move || match store.page.get() {
                Page::Book => view! { <book_page::BookPage offline=offline/> }.into_any(),
                Page::Wine(id) => view! { <wine_page::WinePage id=id/> }.into_any(),
                Page::Treatments(id, problem) => view! { <treatments_page::TreatmentsPage id=id problem=problem/> }.into_any(),
                Page::Treatment(id, problem, key) => view! { <treatment_page::TreatmentPage id=id problem=problem key=key/> }.into_any(),
                Page::Compare(id, problem, keys) => compare_page::page(&id, problem, &keys),
                Page::Routes(id, keys) => routes_page::page(&id, &keys),
                Page::Trial(id, key) => trial_page::page(&id, &key),
                Page::Stability(id) => stability_page::page(&id),
                Page::Cause(id) => cause_page::page(&id),
                Page::Follows(id) => follows_page::page(&id),
                Page::Paper(id, sheet) => paper_page::page(&id, sheet),
                Page::Handed(packed) => handover::page(packed),
                Page::Defaults => defaults_page::page(),
                Page::Figures => view! { <figures_page::FiguresPage/> }.into_any(),
                Page::Lost => view! { <h1>{words::LOST}</h1><p><a href="#/">{words::BOOK}</a></p> }.into_any(),
            }}
        </main>
        <footer class="foot">{words::FOOT}</footer>
    }
}
