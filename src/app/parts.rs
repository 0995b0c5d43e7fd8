//! Small parts that several pages use.

use super::paper::{Node, el, line, section};
use super::store::{Keeping, store};
use super::words;
use crate::knowledge::Fact;
use crate::wine::Wine;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;
use wasm_bindgen::JsCast;

/// Moves the focus to an element.
pub fn focus(id: &str) {
    if let Some(e) = web_sys::window().and_then(|w| w.document()).and_then(|d| d.get_element_by_id(id))
        && let Ok(e) = e.dyn_into::<web_sys::HtmlElement>()
    {
        let _focused = e.focus();
    }
}

/// What is worked out from a wine, anew when the wine changed. The wine is compared and not the answer, which would be code
/// for every type in every answer.
pub fn worked<T: Default + Send + Sync + 'static>(id: StoredValue<String>, work: impl Fn(&Wine) -> T + Send + Sync + 'static) -> Memo<T> {
    let store = store();
    let wine = Memo::new(move |_| store.wine(&id.get_value()));
    Memo::new_with_compare(move |_| wine.with(|w| w.as_ref().map(&work)).unwrap_or_default(), |_, _| true)
}

/// What storage says, the undo, the update, and the polite voice.
#[component]
pub fn Banners(update: RwSignal<bool>) -> impl IntoView {
    let store = store();
    let reload = move |_| {
        if let Some(window) = web_sys::window() {
            // The waiting worker is told to take over; the reload then brings the new page.
            if let Ok(r) = js_sys::Reflect::get(&window, &"stillbrightUpdate".into())
                && let Ok(waiting) = js_sys::Reflect::get(&r, &"waiting".into())
                && let Ok(post) = js_sys::Reflect::get(&waiting, &"postMessage".into())
                && let Some(post) = post.dyn_ref::<js_sys::Function>()
            {
                let _told = post.call1(&waiting, &"skip-waiting".into());
            }
            set_timeout(
                move || {
                    let _r = window.location().reload();
                },
                std::time::Duration::from_millis(300),
            );
        }
    };
    view! {
        <div role="status" class="voice">{move || store.said.get()}</div>
        {move || match store.keeping.get() {
            Keeping::Saved => ().into_any(),
            Keeping::NotHere => view! { <p class="banner" role="alert">{words::DENIED}</p> }.into_any(),
            Keeping::Failed(why) => view! { <p class="banner" role="alert">{why}</p> }.into_any(),
        }}
        {move || store.deleted.get().map(|_| view! {
            <p class="banner">{words::DELETED}<button on:click=move |_| store.undo_delete()>{words::UNDO}</button></p>
        }.into_any())}
        {move || update.get().then(|| view! { <p class="banner">{words::UPDATE}<button on:click=reload>{words::UPDATE_NOW}</button></p> }.into_any())}
    }
}

/// One chip: its words, whether it is pressed, and what a tap does. Boxed, so that one piece of code draws all of them.
pub struct Chip {
    /// Words on the chip.
    pub label: &'static str,
    /// Words read out, where the chip alone would not be understood.
    pub spoken: Option<String>,
    /// Whether it is pressed.
    pub on: Arc<dyn Fn(&Wine) -> bool + Send + Sync>,
    /// What a tap does.
    pub tap: Rc<dyn Fn(&mut Wine)>,
}

/// Chips of which one may be chosen; tapping it again takes the answer back.
pub fn choose_one<T: Copy + PartialEq + Send + Sync + 'static>(
    id: &str,
    legend: &'static str,
    options: &'static [T],
    label: fn(T) -> &'static str,
    get: fn(&Wine) -> Option<T>,
    set: fn(&mut Wine, Option<T>),
) -> AnyView {
    let chip = |o: T| Chip {
        label: label(o),
        spoken: None,
        on: Arc::new(move |w| get(w) == Some(o)),
        tap: Rc::new(move |w| {
            let next = if get(w) == Some(o) { None } else { Some(o) };
            set(w, next);
        }),
    };
    chips(id, legend, options.iter().map(|o| chip(*o)).collect())
}

/// Chips of which several may be chosen.
pub fn choose_many<T: Copy + PartialEq + Send + Sync + 'static>(
    id: &str,
    legend: &'static str,
    options: &'static [T],
    label: fn(T) -> &'static str,
    list: fn(&mut Wine) -> &mut Vec<T>,
    has: fn(&Wine, T) -> bool,
) -> AnyView {
    let chip = |o: T| Chip {
        label: label(o),
        spoken: None,
        on: Arc::new(move |w| has(w, o)),
        tap: Rc::new(move |w| {
            let list = list(w);
            match list.iter().position(|x| *x == o) {
                Some(at) => {
                    list.remove(at);
                }
                None => list.push(o),
            }
        }),
    };
    chips(id, legend, options.iter().map(|o| chip(*o)).collect())
}

/// A group of chips under its legend.
pub fn chips(id: &str, legend: &'static str, options: Vec<Chip>) -> AnyView {
    let store = store();
    let id = StoredValue::new(id.to_string());
    let buttons: Vec<AnyView> = options
        .into_iter()
        .map(|chip| {
            let Chip { label, spoken, on, tap } = chip;
            let pressed = move || if store.wine(&id.get_value()).is_some_and(|w| on(&w)) { "true" } else { "false" };
            view! {
                <button type="button" class="chip" aria-pressed=pressed aria-label=spoken on:click=move |_| store.edit(&id.get_value(), &mut |w| tap(w))>{label}</button>
            }
            .into_any()
        })
        .collect();
    view! { <fieldset><legend>{legend}</legend><div class="chips">{buttons}</div></fieldset> }.into_any()
}

/// A text field that keeps what is typed, readable or not, and says how to mend what is not.
pub fn field(id: &str, name: &str, label: String, numeric: bool, start: String, set: Box<dyn Fn(&mut Wine, String)>) -> AnyView {
    let store = store();
    let wine_id = StoredValue::new(id.to_string());
    let name = StoredValue::new(name.to_string());
    let element = format!("field-{}", name.get_value().replace('.', "-"));
    let hint = format!("{element}-hint");
    let error =
        Memo::new(move |_| store.wine(&wine_id.get_value()).and_then(|w| w.errors().into_iter().find(|e| e.field == name.get_value()).map(|e| e.expected)));
    view! {
        <div class="field">
            <label for=element.clone()>{label}</label>
            <input
                id=element
                type="text"
                inputmode=if numeric { "decimal" } else { "text" }
                autocomplete="off"
                prop:value=start
                aria-describedby=hint.clone()
                aria-invalid=move || if error.get().is_some() { "true" } else { "false" }
                on:input=move |e| store.edit(&wine_id.get_value(), &mut |w| set(w, event_target_value(&e)))
            />
            <p class="mend" id=hint role="status">{move || error.get()}</p>
        </div>
    }
    .into_any()
}

/// A view made anew whenever what it reads changes. Boxed, so that one piece of code does it for all.
pub fn live(view: Box<dyn Fn() -> AnyView + Send + Sync>) -> AnyView {
    (move || view()).into_any()
}

/// Views that fold away under a summary.
pub fn fold(class: &'static str, summary: &'static str, open: bool, inner: Vec<AnyView>) -> AnyView {
    view! { <details class=class open=open><summary>{summary}</summary>{inner}</details> }.into_any()
}

/// A fact with its standing and source behind it.
pub fn fact(f: &Fact) -> Node {
    known(vec![Node::text(f.text)], standing(f.standing.label(), f.source))
}

/// A list entry: what is said, and how it is known.
pub fn known(what: Vec<Node>, how: String) -> Node {
    el("li", "", vec![el("span", "", what), line("span", "standing", how)])
}

/// “read · B2”.
pub fn standing(standing: &str, source: &str) -> String {
    if source.is_empty() { standing.to_string() } else { format!("{standing} · {source}") }
}

/// A heading over facts; nothing where there are none.
pub fn facts(heading: &str, list: &[Fact]) -> Option<Node> {
    entries(heading, list.iter().map(fact).collect())
}

/// A heading over list entries; nothing where there are none.
pub fn entries(heading: &str, list: Vec<Node>) -> Option<Node> {
    (!list.is_empty()).then(|| section(heading, vec![el("ul", "facts", list)]))
}

/// A heading over plain sentences; nothing where there are none.
pub fn sentences(heading: &str, list: &[&'static str]) -> Option<Node> {
    entries(heading, list.iter().map(|t| line("li", "", *t)).collect())
}
