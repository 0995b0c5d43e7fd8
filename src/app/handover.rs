//! Handing a wine over as a link: the wine itself stands behind the `#`, which no server sees.

use super::book_page::export as save;
use super::page::{Page, Sheet};
use super::paper::{Node, button, el, fill, line, link, say, with};
use super::parts::called;
use super::store::store;
use super::{files, words};
use crate::book::{read_file, write_wine};
use leptos::prelude::*;
use std::rc::Rc;

/// Most bytes of a packed wine in a link; a third more as letters. What is longer is cut by mail
/// and messengers.
const MOST: f64 = 6000.0;

/// The part of the wine page that makes the link.
pub fn offer(id: StoredValue<String>) -> Node {
    let store = store();
    let make = move |_| {
        let text = store
            .wine_now(&id.get_value())
            .map(|w| write_wine(&w))
            .unwrap_or_default();
        leptos::task::spawn_local(async move {
            let here = web_sys::window()
                .and_then(|w| w.location().href().ok())
                .unwrap_or_default();
            let here = here.split('#').next().unwrap_or_default();
            let said = match files::started("stillbrightPack", &text, MOST).await {
                Some(packed) if !packed.is_empty() => {
                    let link = format!("{here}#/add/{packed}");
                    let field = with(
                        "aria-label",
                        words::LINK,
                        with("readonly", "", el("textarea", "", vec![Node::own(&link)])),
                    );
                    let said = format!("{} characters. {}", link.chars().count(), words::LINK_LEAD);
                    fill(
                        "link",
                        &[
                            field,
                            button(
                                "",
                                words::SHARE,
                                Rc::new(move |_| {
                                    files::share("stillbright-link.txt", words::LINK, link.clone())
                                }),
                            ),
                        ],
                    );
                    said
                }
                Some(_) => words::LINK_LONG.into(),
                None => words::LINK_NOT.into(),
            };
            say("link-said", &said);
        });
    };
    let said = with("id", "link-said", with("role", "status", line("p", "", "")));
    let place = with("id", "link", el("div", "", Vec::new()));
    // All three ways of handing over in one place: link, file, paper. The link shows above them,
    // where the thumb was.
    let export = move |_| save(store, &id.get_value());
    let paper = Page::Paper(id.get_value(), Sheet::Client);
    let ways = vec![
        button("", words::MAKE_LINK, Rc::new(make)),
        button("", words::EXPORT, Rc::new(export)),
        with("href", paper.address(), line("a", "chip", paper.title())),
    ];
    el(
        "details",
        "",
        vec![
            line("summary", "", words::HAND_OVER),
            said,
            place,
            el("p", "chips", ways),
        ],
    )
}

/// The page that such a link opens: it asks before anything is kept.
pub fn page(packed: String) -> Vec<Node> {
    let store = store();
    let read = async move {
        let text = files::started("stillbrightUnpack", &packed, MOST).await;
        let wines = text.and_then(|t| read_file(&t).ok()).unwrap_or_default();
        if wines.is_empty() {
            return say("handed", words::LINK_BAD);
        }
        let names: Vec<String> = wines.iter().map(called).collect();
        say("handed", names.join(", "));
        let add = move |_| {
            let mut last = None;
            for wine in &wines {
                last = Some(store.add(wine.clone()));
            }
            if let Some(id) = last {
                Page::Wine(id).go();
            }
        };
        fill("handed-add", &[button("", words::IMPORT_ADD, Rc::new(add))]);
    };
    // Once the page stands.
    set_timeout(
        move || leptos::task::spawn_local(read),
        std::time::Duration::ZERO,
    );
    let said = with(
        "id",
        "handed",
        with("role", "status", line("p", "answer", "")),
    );
    let book = link("#/".into(), vec![Node::text(words::BOOK)]);
    vec![
        line("h1", "", words::HANDED),
        said,
        with("id", "handed-add", el("p", "", Vec::new())),
        el("p", "", vec![book]),
    ]
}
