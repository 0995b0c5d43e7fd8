//! The pages that come in a file of wasm of their own, fetched as soon as the first page stands:
//! all that need the knowledge
//! or work something out. The first load holds the shell, the cellar book and the questions.

use super::page::Page;
use super::paper::{Node, button, by_id, line, with};
use super::*;
use crate::book::{Import, read_file};
use crate::wine::Wine;
use std::pin::pin;
use std::task::{Context, Poll, Waker};

/// Where the second part of the page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// On its way.
    Coming,
    /// Here.
    Here,
    /// It could not be fetched.
    Missing,
}

/// Fetches the second part; `part` says what came of it.
pub fn fetch(part: RwSignal<Part>) {
    part.set(Part::Coming);
    leptos::task::spawn_local(async move {
        let here = doors::load().await.is_ok();
        // The other part of the language comes beside it.
        if paper::foreign() {
            files::started("stillbrightWhole", "", 0.0).await;
            paper::speak();
        }
        part.set(if here { Part::Here } else { Part::Missing });
        if here && let Some(app) = by_id("app") {
            let _marked = app.set_attribute("data-whole", "");
        }
    });
}

/// What such a page holds, or what is said in its place while it is not here.
pub fn page(page: Page, part: RwSignal<Part>) -> Vec<Node> {
    match part.get_untracked() {
        Part::Here => now(doors::draw(page))
            .and_then(Result::ok)
            .unwrap_or_default(),
        // Under its title, so that a reader of the screen knows where it is.
        Part::Coming => vec![
            line("h1", "", page.title()),
            with("role", "status", line("p", "soft", words::COMING)),
        ],
        Part::Missing => vec![
            line("h1", "", words::NOT_FETCHED),
            with("role", "alert", line("p", "", words::NOT_FETCHED_LEAD)),
            button(
                "main",
                words::TRY_AGAIN,
                std::rc::Rc::new(move |_| fetch(part)),
            ),
        ],
    }
}

/// The wines of an invented estate's file, from 0; None where the second part cannot be had.
pub async fn demo(at: usize) -> Option<Vec<Wine>> {
    doors::demo_wines(at).await.ok()
}

/// What a chosen file brings, and what is said of it; None where the second part cannot be had.
pub async fn look_into(file: String) -> Option<(Option<Import>, Vec<Node>)> {
    doors::looked_into(file).await.ok()
}

/// What is there without waiting.
fn now<T>(future: impl Future<Output = T>) -> Option<T> {
    match pin!(future).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(found) => Some(found),
        Poll::Pending => None,
    }
}

/// Where the program is parted: what is called through these doors only stands in the second file.
#[cfg(not(whole))]
mod doors {
    use super::{Import, Node, Page, Wine};
    use wasm_split_helpers::{SplitLoaderError, wasm_split};

    #[wasm_split(answers, fallible, preload(load))]
    pub fn draw(page: Page) -> Result<Vec<Node>, SplitLoaderError> {
        Ok(super::draw(page))
    }

    #[wasm_split(answers, fallible)]
    pub fn looked_into(file: String) -> Result<(Option<Import>, Vec<Node>), SplitLoaderError> {
        Ok(super::import::look(&file))
    }

    #[wasm_split(answers, fallible)]
    pub fn demo_wines(at: usize) -> Result<Vec<Wine>, SplitLoaderError> {
        Ok(super::demo_wines(at))
    }
}

/// The same doors in a build of one part (`make dev`), where all is there at once.
#[cfg(whole)]
mod doors {
    use super::{Import, Node, Page, Wine};
    use std::convert::Infallible;

    pub async fn load() -> Result<(), Infallible> {
        Ok(())
    }

    pub async fn draw(page: Page) -> Result<Vec<Node>, Infallible> {
        Ok(super::draw(page))
    }

    pub async fn looked_into(file: String) -> Result<(Option<Import>, Vec<Node>), Infallible> {
        Ok(super::import::look(&file))
    }

    pub async fn demo_wines(at: usize) -> Result<Vec<Wine>, Infallible> {
        Ok(super::demo_wines(at))
    }
}

fn draw(page: Page) -> Vec<Node> {
    match page {
        Page::Wine(id) => wine_page::page(id),
        Page::Treatments(id, problem) => treatments_page::page(id, problem),
        Page::Treatment(id, problem, key) => treatment_page::page(id, problem, key),
        Page::Compare(id, problem, keys) => compare_page::page(&id, problem, &keys),
        Page::Routes(id, keys) => routes_page::page(&id, &keys),
        Page::Trial(id, key) => trial_page::page(&id, &key),
        Page::Stability(id) => stability_page::page(&id),
        Page::Cause(id) => cause_page::page(&id),
        Page::Follows(id) => follows_page::page(&id),
        Page::Paper(id, sheet) => paper_page::page(&id, sheet),
        Page::Handed(packed) => handover::page(packed),
        Page::Defaults => defaults_page::page(),
        Page::Figures => figures_page::page(),
        // These come with the first load.
        Page::Book | Page::Ask(..) | Page::Words | Page::Lost => Vec::new(),
    }
}

fn demo_wines(at: usize) -> Vec<Wine> {
    let text = crate::demos::TEXTS.get(at).copied().unwrap_or_default();
    read_file(text).unwrap_or_default()
}
