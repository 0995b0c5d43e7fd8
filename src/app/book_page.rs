//! The cellar book: saved wines, demos, files in and out, and what was set aside.

use super::growing::Growing;
use super::page::Page;
use super::paper::{Node, button, el, follow, line, live, said, section, speak, telling, with};
use super::parts::{LONG, called, named, sieve_growing, unreviewed};
use super::store::{Store, store};
use super::{files, words};
use crate::book::{DEFAULTS, Import, Newer, write_book, write_kept, write_wine};
use crate::demos::TITLES;
use crate::units::day::Day;
use crate::wine::{Colour, Problem, Stage, Wine};
use leptos::prelude::*;
use std::rc::Rc;
use wasm_bindgen::JsCast;

/// The page.
pub fn page(offline: RwSignal<bool>) -> Vec<Node> {
    let store = store();
    let new_wine = move |_| store.add_and_go(store.blank(), |id| Page::Ask(id, 1));
    let demo = move |at: usize| {
        leptos::task::spawn_local(async move {
            let Some(wines) = super::apart::demo(at).await else {
                return store.said.set(words::NOT_FETCHED.into());
            };
            for wine in wines {
                store.add_and_go(wine, |id| Page::Treatments(id, None));
            }
        });
    };
    let demos = TITLES
        .iter()
        .enumerate()
        .map(|(at, name)| button("chip", name, Rc::new(move |_| demo(at))))
        .collect();
    let empty = move || {
        if store.book(|_| ()).is_empty() && store.newer.with(Vec::is_empty) {
            words::EMPTY_BOOK.to_string()
        } else {
            String::new()
        }
    };
    let export = move |_| {
        let all: Vec<Wine> = untrack(|| store.book(|k| k.wine.clone()));
        files::save(
            "stillbright-cellar-book.json",
            &write_book(&all, store.wine_now(DEFAULTS)),
        );
    };
    let export = Rc::new(export);
    let export = move || {
        if store.wines.with(Vec::is_empty) {
            Vec::new()
        } else {
            vec![button("", words::EXPORT_ALL, export.clone())]
        }
    };
    let ready = move || {
        if offline.get() {
            vec![with(
                "role",
                "status",
                line("p", "soft", words::OFFLINE_READY),
            )]
        } else {
            Vec::new()
        }
    };
    let soft = |text: &str| with("role", "status", line("p", "soft", text));
    let lasting = move || {
        [words::KEEP_FILE, words::KEEP_LOOSE]
            .into_iter()
            .filter(|w| *w == store.lasting.get())
            .map(soft)
            .collect()
    };
    vec![
        line("h1", "", words::BOOK),
        button("main", words::NEW_WINE, Rc::new(new_wine)),
        telling("p", "lead", Box::new(empty)),
        el("div", "", wines(store)),
        section(
            words::DEMOS,
            vec![
                line("p", "soft", words::DEMO_LEAD),
                el("div", "chips", demos),
            ],
        ),
        import(store),
        live("div", "", Box::new(export)),
        live("div", "", Box::new(move || set_aside(store))),
        live("div", "", Box::new(lasting)),
        languages(store),
        // Last, since it comes late: it moves nothing under a thumb.
        live("div", "", Box::new(ready)),
    ]
}

/// The wines, and above a long list the field to find one. Its rows are made anew when a wine
/// changes, that field is not: another tab
/// may change one while something is typed into it.
fn wines(store: Store) -> Vec<Node> {
    let (find, list) = (el("div", "", Vec::new()), el("ul", "", Vec::new()));
    let rows = Growing::empty(list.clone());
    let (place, filled, mut made) = (find.clone(), list.clone(), false);
    follow(Box::new(move || {
        let wines = store.book(|k| (k.id.clone(), called(&k.wine), k.wine.colour, about(&k.wine)));
        let newer = store.newer.get();
        let long = wines.len() + newer.len() > LONG;
        with(
            "class",
            if long { "wines long" } else { "wines" },
            filled.clone(),
        );
        let wines = wines
            .into_iter()
            .map(move |(id, name, colour, about)| row(store, &id, &name, colour, &about));
        rows.fill(Box::new(
            newer
                .into_iter()
                .map(move |n| newer_row(store, n))
                .chain(wines),
        ));
        if !long && made {
            place.say("");
        } else if long && !made {
            place.hold(&sieve_growing(words::BOOK, rows.clone(), true));
        } else if let Ok(Some(input)) = place.element().query_selector("input") {
            find_again(&input);
        }
        made = long;
    }));
    vec![find, list]
}

/// Leaves of the rows those that hold what is typed already.
fn find_again(input: &web_sys::Element) {
    if !input
        .unchecked_ref::<web_sys::HtmlInputElement>()
        .value()
        .is_empty()
        && let Ok(event) = web_sys::Event::new("input")
    {
        let _told = input.dispatch_event(&event);
    }
}

/// The languages, each by its own name.
const LANGUAGES: [(&str, &str); 3] = [("en", "English"), ("fr", "Français"), ("es", "Español")];

/// The language of the page. The start script fetches its words and remembers the choice; where
/// they cannot be had it stays as it was.
fn languages(store: Store) -> Node {
    let chip = |(code, name): (&'static str, &'static str)| {
        let choose = move |_| {
            leptos::task::spawn_local(async move {
                files::started("stillbrightSpeak", code, 1.0).await;
                store.language.set(speak());
                store.page.update(|_| {});
            });
        };
        let pressed = if store.language.get_untracked() == code {
            "true"
        } else {
            "false"
        };
        with(
            "aria-pressed",
            pressed,
            with("lang", code, button("chip", name, Rc::new(choose))),
        )
    };
    let legend = line("legend", "", words::LANGUAGE);
    let mut inner = vec![legend, el("div", "chips", LANGUAGES.map(chip).into())];
    inner.extend(unreviewed());
    el("fieldset", "", inner)
}

/// A button named for more than it shows.
fn act(label: &str, of: &str, tap: Rc<dyn Fn(String)>) -> Node {
    with(
        "aria-label",
        format!("{label} {of}"),
        button("", label, tap),
    )
}

/// Saves a wine as a file.
pub fn export(store: Store, id: &str) {
    if let Some(wine) = store.wine_now(id) {
        files::save(&files::file_name(&wine.name), &write_wine(&wine));
    }
}

/// What tells a wine from its like: colour, stage, what is wrong, the bottling day.
fn about(wine: &Wine) -> String {
    let mut all: Vec<&str> = wine
        .colour
        .map(Colour::label)
        .into_iter()
        .chain(wine.stage.map(Stage::label))
        .collect();
    all.extend(wine.problems.iter().copied().map(Problem::label));
    let (about, day) = (all.join(" · "), Day::tidy(&wine.bottling_day));
    if day.is_empty() {
        about
    } else {
        [about, day].join(" · ")
    }
}

fn row(store: Store, id: &str, name: &str, colour: Option<Colour>, about: &str) -> Node {
    let (one, two, three) = (id.to_string(), id.to_string(), id.to_string());
    let copy = move |_| {
        if let Some(mut wine) = store.wine_now(&one) {
            wine.name = format!("{} {}", words::COPY_OF, called(&wine));
            wine.demo = false;
            store.add(wine);
        }
    };
    let acts = vec![
        act(words::COPY, name, Rc::new(copy)),
        act(words::EXPORT, name, Rc::new(move |_| export(store, &two))),
        act(words::DELETE, name, Rc::new(move |_| store.delete(&three))),
    ];
    let wine = el(
        "a",
        "wine",
        vec![
            el("strong", "", vec![Node::own(name)]),
            line("span", "soft", about),
        ],
    );
    let parts = vec![
        with("href", Page::Wine(id.into()).address(), wine),
        el("span", "acts", acts),
    ];
    with(
        "data-colour",
        colour.map_or("", Colour::key),
        el("li", "", parts),
    )
}

/// A wine that a newer version saved: named, and saved as a file as it is.
fn newer_row(store: Store, newer: Newer) -> Node {
    let name = if newer.id == DEFAULTS {
        said(&words::DEFAULTS).into_owned()
    } else {
        named(&newer.name)
    };
    let wine = el(
        "span",
        "wine",
        vec![
            el("strong", "", vec![Node::own(&name)]),
            line("p", "mark", words::NEWER),
        ],
    );
    let export = act(
        words::EXPORT,
        &name,
        Rc::new(move |_| files::save(&files::file_name(&newer.name), &store.as_it_is(&newer.id))),
    );
    el("li", "", vec![wine, el("span", "acts", vec![export])])
}

/// A file of wines, or one that this page gave to be saved when it could not go on: looked into,
/// then added on a tap.
fn import(store: Store) -> Node {
    // What it brings, and what is said of it.
    let read: RwSignal<(Option<Import>, Vec<Node>), LocalStorage> =
        RwSignal::new_local((None, Vec::new()));
    let file = with(
        "id",
        "import",
        with(
            "type",
            "file",
            with(
                "accept",
                ".json,application/json",
                el("input", "", Vec::new()),
            ),
        ),
    );
    let chosen = file.clone();
    let open = move |_| {
        files::open(chosen.element().unchecked_ref(), move |text| {
            leptos::task::spawn_local(async move {
                let said = |words: &str| (None, vec![line("p", "mend", words)]);
                let found = match text {
                    None => said(words::FILE_NOT_READ),
                    Some(text) => super::apart::look_into(text)
                        .await
                        .unwrap_or_else(|| said(words::NOT_FETCHED_LEAD)),
                };
                read.set(found);
            });
        });
    };
    let add = move |_| {
        let (import, _) = read.get_untracked();
        read.set((None, Vec::new()));
        let Some(import) = import else { return };
        for wine in import.wines {
            store.add(wine);
        }
        if let Some(defaults) = import.defaults {
            store.open_defaults();
            store.edit(DEFAULTS, &mut |own| own.fill_from(&defaults));
        }
    };
    let answer = move || {
        let (import, mut nodes) = read.get();
        if nodes.is_empty() {
            return nodes;
        }
        if import.is_some() {
            nodes.push(button("", words::IMPORT_ADD, Rc::new(add)));
        }
        nodes.push(button(
            "",
            words::CANCEL,
            Rc::new(move |_| read.set((None, Vec::new()))),
        ));
        vec![with("role", "alert", el("div", "", nodes))]
    };
    let label = with("for", "import", line("label", "", words::IMPORT));
    el(
        "div",
        "field",
        vec![
            label,
            Node::on("change", Rc::new(open), file),
            live("div", "", Box::new(answer)),
        ],
    )
}

/// What could not be read, to be saved or removed.
fn set_aside(store: Store) -> Vec<Node> {
    let rows: Vec<Node> = store
        .aside
        .get()
        .into_iter()
        .enumerate()
        .map(|(i, a)| {
            let number = (i + 1).to_string();
            let long = format!("{} characters", a.text.chars().count());
            let gone = a.clone();
            let save = act(
                words::SAVE,
                &number,
                Rc::new(move |_| {
                    files::save(
                        "stillbright-set-aside.json",
                        &write_kept([(a.key.clone(), a.text.clone())]),
                    )
                }),
            );
            let remove = act(
                words::REMOVE,
                &number,
                Rc::new(move |_| store.drop_aside(gone.clone())),
            );
            el(
                "li",
                "",
                vec![
                    line("span", "", long),
                    el("span", "acts", vec![save, remove]),
                ],
            )
        })
        .collect();
    if rows.is_empty() {
        rows
    } else {
        vec![section(
            words::ASIDE,
            vec![
                line("p", "soft", words::ASIDE_LEAD),
                el("ul", "facts", rows),
            ],
        )]
    }
}
