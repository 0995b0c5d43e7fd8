//! One question a page, for a thumb: the same fields as the sheet of the wine, with a way back, on
//! and past each.

use super::page::Page;
use super::paper::{Node, el, line, link, live, with};
use super::parts::no_wine;
use super::questions::{ASKED, asked, is_answered};
use super::store::store;
use super::words;
use crate::wine::Wine;
use leptos::prelude::*;
use std::rc::Rc;
use std::time::Duration;

/// The page of a question, from 1.
pub fn page(id: &str, at: usize) -> Vec<Node> {
    store()
        .wine_now(id)
        .map_or_else(|| no_wine(words::ASK), |wine| drawn(id, wine, at))
}

/// Keeps a wine where nothing lasts and draws a question that nobody sees, once the first page
/// stands. A browser makes a function
/// ready when it is first called, and the first tap, on a new wine as a rule, would wait for all of
/// them.
pub fn make_ready() {
    let (Some(owner), store) = (Owner::current(), store()) else {
        return;
    };
    let at_rest = move || {
        // Elsewhere, and where that tap came sooner, there is nothing to get ready for.
        if store.page.with_untracked(|p| *p != Page::Book) {
            return;
        }
        let unseen = owner.child();
        let drawn = unseen.with(|| drawn("", store.rehearse(), 1));
        // What follows from the wine is drawn after this.
        set_timeout(
            move || {
                drop(drawn);
                unseen.cleanup();
            },
            Duration::ZERO,
        );
    };
    set_timeout(at_rest, Duration::from_millis(50));
}

fn drawn(id: &str, wine: Wine, at: usize) -> Vec<Node> {
    let store = store();
    let wine_id = StoredValue::new(id.to_string());
    let next = if at < ASKED {
        Page::Ask(id.into(), at + 1)
    } else {
        Page::Treatments(id.into(), None)
    };
    // Of these one answer is given, so a tap that answers goes on; the words above say so.
    let goes_on = (2..=4).contains(&at);
    let mut question = el("div", "question", asked(id, &wine, at));
    if goes_on {
        let on = next.clone();
        let before = RwSignal::new(wine);
        let answered = move |_| {
            let Some(now) = store.wine_now(&wine_id.get_value()) else {
                return;
            };
            let changed = before.with_untracked(|b| {
                b.colour != now.colour || b.stage != now.stage || b.made_in != now.made_in
            });
            let given = is_answered(&now, at);
            before.set(now);
            if changed && given {
                on.go();
            }
        };
        question = Node::on("click", Rc::new(answered), question);
    }
    let back = if at > 1 {
        Page::Ask(id.into(), at - 1)
    } else {
        Page::Book
    };
    let to = |page: &Page, class: &'static str, label: &str| {
        with("href", page.address(), line("a", class, label))
    };
    let treatments = Page::Treatments(id.into(), None);
    let ways = move || {
        let given = store
            .wine(&wine_id.get_value())
            .is_some_and(|w| is_answered(&w, at));
        let mut ways = vec![to(&back, "chip", words::BACK)];
        if at < ASKED {
            ways.push(to(
                &next,
                "chip",
                if given {
                    words::NEXT
                } else {
                    words::SKIP_QUESTION
                },
            ));
        }
        ways.push(to(&treatments, "main", words::SEE_TREATMENTS));
        ways
    };
    vec![
        el(
            "p",
            "crumb",
            vec![link(
                Page::Wine(id.into()).address(),
                vec![Node::text(words::ONE_SHEET)],
            )],
        ),
        line("h1", "", format!("Question {at} of {ASKED}")),
        line(
            "p",
            "soft",
            if goes_on {
                words::ASK_GOES_ON
            } else {
                words::ASK_SOME
            },
        ),
        question,
        live("nav", "bottom ways", Box::new(ways)),
    ]
}
