//! Sheets for paper: work order, log, fit to bottle, request to a laboratory, summary. What can be changed stands above the
//! sheet and is not printed.

use super::page::{Page, Sheet};
use super::paper::{Node, el, line, paper};
use super::parts::{Chip, chips, field};
use super::store::store;
use super::{files, log_page, words};
use crate::knowledge::{LAST, TREATMENTS};
use crate::units::day::Day;
use crate::wine::*;
use crate::work_order::order::work_order;
use crate::work_order::ready::{of_ready, ready};
use crate::work_order::sheet::{self, Block, Line};
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// The page.
pub fn page(id: &str, kind: Sheet) -> AnyView {
    let store = store();
    let Some(wine) = store.wine_now(id) else {
        return view! { <h1>{kind.label()}</h1><p>{words::NO_WINE}</p><p><a href="#/">{words::BOOK}</a></p> }.into_any();
    };
    let id = StoredValue::new(id.to_string());
    let name = if wine.name.trim().is_empty() { words::UNNAMED.to_string() } else { wine.name.clone() };
    let blocks = Memo::new(move |_| store.wine(&id.get_value()).map(|w| blocks(&w, kind, store.today())).unwrap_or_default());
    let edit = match kind {
        Sheet::Order => plan(id),
        Sheet::Log => log_page::form(id),
        Sheet::Ready => looked_at(id, &wine),
        Sheet::Laboratory | Sheet::Client => ().into_any(),
    };
    let today = store.today().map(|d| format!("{} {}", words::AS_OF, d.text()));
    let links = Sheet::ALL.iter().map(|s| {
        if *s == kind {
            Node::With("aria-current", "page".into(), Box::new(line("span", "chip", s.label())))
        } else {
            Node::With("href", Page::Paper(id.get_value(), *s).address(), Box::new(line("a", "chip", s.label())))
        }
    });
    let links = Node::With("aria-label", words::PAPERS.into(), Box::new(el("nav", "chips", links.collect())));
    view! {
        <p class="crumb"><a href=Page::Wine(id.get_value()).address()>{name}</a></p>
        <h1>{kind.label()}</h1>
        {edit}
        <div class="sheet">
            <p class="soft">{today}</p>
            {move || paper(blocks.with(|b| b.iter().map(node).collect()))}
        </div>
        <p class="chips">
            <button class="chip" on:click=move |_| files::print()>{words::PRINT}</button>
            <button class="chip" on:click=move |_| {
                files::share(file_name(kind), kind.label(), blocks.with_untracked(|b| sheet::text(kind.label(), b)));
            }>{words::SHARE}</button>
        </p>
        {paper(vec![links])}
    }
    .into_any()
}

const fn file_name(kind: Sheet) -> &'static str {
    match kind {
        Sheet::Order => "stillbright-work-order.txt",
        Sheet::Log => "stillbright-log.txt",
        Sheet::Ready => "stillbright-fit-to-bottle.txt",
        Sheet::Laboratory => "stillbright-laboratory.txt",
        Sheet::Client => "stillbright-summary.txt",
    }
}

fn blocks(wine: &Wine, kind: Sheet, today: Option<Day>) -> Vec<Block> {
    match kind {
        Sheet::Order => sheet::of_order(wine, &work_order(wine)),
        Sheet::Log => vec![sheet::head(wine), sheet::log(wine)],
        Sheet::Ready => of_ready(wine, &ready(wine, today)),
        Sheet::Laboratory => sheet::laboratory(wine),
        Sheet::Client => sheet::client(wine, &ready(wine, today)),
    }
}

fn node(block: &Block) -> Node {
    let mut children = vec![line("h2", "", block.heading.clone())];
    children.extend(block.lines.iter().map(|l| match l {
        Line::Strong(t) => line("p", "kind", t.clone()),
        Line::Say(t) => line("p", "", t.clone()),
        Line::Mark(t) => line("p", "mark", t.clone()),
        Line::Caution(t) => el("p", "caution", vec![line("strong", "", words::CAUTION), Node::Text(format!(" {t}"))]),
        Line::Known(t, how) => el("p", "", vec![Node::Text(format!("{t} ")), line("span", "standing", how.clone())]),
        Line::Sign(t) => line("p", "sign", *t),
    }));
    el("section", "", children)
}

/// The steps of the plan with their doses. Made anew only when the steps change, so that typing keeps its place.
fn plan(id: StoredValue<String>) -> AnyView {
    let store = store();
    let keys = Memo::new(move |_| store.wine(&id.get_value()).map(|w| w.plan.iter().map(|p| p.treatment.clone()).collect::<Vec<_>>()).unwrap_or_default());
    let steps = move || {
        let keys = keys.get();
        if keys.is_empty() {
            return paper(vec![line("p", "lead", words::EMPTY_PLAN)]);
        }
        let wine = store.wine_now(&id.get_value()).unwrap_or_default();
        keys.iter().enumerate().map(|(i, key)| plan_step(&id.get_value(), &wine, i, key)).collect_view().into_any()
    };
    view! { <details class="edit" open=true><summary>{words::EDIT_PLAN}</summary>{steps}</details> }.into_any()
}

fn plan_step(id: &str, wine: &Wine, at: usize, key: &str) -> AnyView {
    let t = TREATMENTS.iter().find(|t| t.key == key);
    let name = t.map_or_else(|| key.to_string(), |t| t.name.to_string());
    let dosed = t.filter(|t| !matches!(t.access, Access::Licensed | Access::Trained)).and_then(|t| t.dose);
    let dose = dosed.map(|d| {
        let start = wine.plan.get(at).map(|p| p.dose.0.clone()).unwrap_or_default();
        let set = move |w: &mut Wine, text: String| {
            if let Some(p) = w.plan.get_mut(at) {
                p.dose = AsTyped(text);
            }
        };
        field(id, &format!("plan.{at}.dose"), format!("{}. {name} ({})", at + 1, d.basis.label()), true, start, Box::new(set))
    });
    let mut options = Vec::new();
    if let Some(t) = t.filter(|_| dosed.is_some_and(|d| d.by_trial)) {
        options.push(Chip {
            label: words::NOT_TRIALLED,
            spoken: Some(format!("{name}: {}", words::NOT_TRIALLED)),
            on: Arc::new(move |w| w.trials.iter().any(|x| x.treatment == t.key && x.not_trialled)),
            tap: Rc::new(move |w| match w.trials.iter_mut().rfind(|x| x.treatment == t.key) {
                Some(trial) => trial.not_trialled = !trial.not_trialled,
                None => w.trials.push(Trial { treatment: t.key.into(), not_trialled: true, ..Trial::default() }),
            }),
        });
    }
    let move_it = |label: &'static str, tap: Rc<dyn Fn(&mut Wine)>| Chip { label, spoken: Some(format!("{name}: {label}")), on: Arc::new(|_| false), tap };
    if at > 0 {
        options.push(move_it(words::EARLIER, Rc::new(move |w| w.plan.swap(at - 1, at))));
    }
    options.push(move_it(
        words::TAKE_OUT,
        Rc::new(move |w| {
            if at < w.plan.len() {
                w.plan.remove(at);
            }
        }),
    ));
    let legend = t.map_or(words::WHAT, |t| t.name);
    view! { {dose}{chips(id, legend, options)} }.into_any()
}

/// What is passed or failed before bottling.
fn looked_at(id: StoredValue<String>, wine: &Wine) -> AnyView {
    let store = store();
    let today = store.today().map(Day::text).unwrap_or_default();
    let rows = LAST
        .rows()
        .iter()
        .filter(|c| c.quantity.is_none())
        .map(|c| {
            let chip = |label: &'static str, value: bool| {
                let today = today.clone();
                Chip {
                    label,
                    spoken: Some(format!("{}: {label}", c.name)),
                    on: Arc::new(move |w: &Wine| w.checks.get(c.key).is_some_and(|x| x.passed == Some(value))),
                    tap: Rc::new(move |w: &mut Wine| {
                        let looked = w.checks.entry(c.key.into()).or_default();
                        looked.passed = if looked.passed == Some(value) { None } else { Some(value) };
                        if looked.passed.is_some() && looked.day.is_empty() {
                            looked.day = today.clone();
                        }
                    }),
                }
            };
            let start = wine.checks.get(c.key).map(|x| x.day.clone()).unwrap_or_default();
            let set = move |w: &mut Wine, text: String| w.checks.entry(c.key.into()).or_default().day = text;
            let day = field(&id.get_value(), &format!("checks.{}.day", c.key), format!("{}: {}", c.name, words::DAY), false, start, Box::new(set));
            view! { {chips(&id.get_value(), c.name, vec![chip(words::PASSED, true), chip(words::FAILED, false)])}{day} }.into_any()
        })
        .collect_view();
    view! { <details class="edit"><summary>{words::LOOKED_AT}</summary>{rows}</details> }.into_any()
}
