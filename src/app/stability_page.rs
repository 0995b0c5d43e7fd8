//! How stable it is: each stability against its limit with its spread, the answer as a sentence above.

use super::page::Page;
use super::paper::{Node, el, line, paper};
use super::parts::{Chip, chips, worked};
use super::store::store;
use super::{files, words};
use crate::stability::{Stability, Status, answer, request, stabilities};
use crate::state::KnownBy;
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// The page.
pub fn page(id: &str) -> AnyView {
    let store = store();
    let Some(wine) = store.wine_now(id) else {
        return view! { <h1>{words::STABILITY}</h1><p>{words::NO_WINE}</p><p><a href="#/">{words::BOOK}</a></p> }.into_any();
    };
    let wine_id = StoredValue::new(id.to_string());
    let all = worked(wine_id, |w| stabilities(w));
    let name = if wine.name.trim().is_empty() { words::UNNAMED.to_string() } else { wine.name.clone() };
    let measured: Vec<Quantity> = Quantity::ALL.iter().copied().filter(|q| matches!(wine.analysis(*q), Some(Ok(_)))).collect();
    let stale = measured
        .into_iter()
        .map(|q| Chip {
            label: q.label(),
            spoken: None,
            on: Arc::new(move |w| w.stale.contains(&q)),
            tap: Rc::new(move |w| match w.stale.iter().position(|x| *x == q) {
                Some(at) => {
                    w.stale.remove(at);
                }
                None => w.stale.push(q),
            }),
        })
        .collect::<Vec<_>>();
    let changed = (!stale.is_empty()).then(|| chips(id, words::STALE, stale));
    view! {
        <p class="crumb"><a href=Page::Wine(id.to_string()).address()>{name}</a></p>
        <h1>{words::STABILITY}</h1>
        {move || view! { <p class="answer" role="status">{all.with(|a| answer(a))}</p> }.into_any()}
        {move || all.with(|a| paper(vec![el("ul", "facts", a.iter().map(row).collect())]))}
        {move || {
            let lines = store.wine(&wine_id.get_value()).map(|w| all.with(|a| request(&w, a))).unwrap_or_default();
            (!lines.is_empty()).then(|| {
                let file = lines.join("\n");
                view! {
                    <details>
                        <summary>{words::REQUEST}</summary>
                        {paper(vec![el("ul", "facts", lines.into_iter().map(|l| line("li", "", l)).collect())])}
                        <button on:click=move |_| files::save("stillbright-laboratory.txt", &file)>{words::SAVE}</button>
                    </details>
                }.into_any()
            })
        }}
        <p class="soft">{words::STABILITY_LEAD}</p>
        {changed}
    }
    .into_any()
}

fn row(s: &Stability) -> Node {
    // The limit stands in the middle of the bar.
    let [low, _, high] = s.value.map(|v| (v / (2.0 * s.limit)).clamp(0.0, 1.0));
    let part = |class: &'static str, share: f64| Node::With("width", format!("{}%", show::fixed(share * 100.0, 1)), Box::new(el("span", class, Vec::new())));
    let sure = if s.by == KnownBy::Measured { "sure" } else { "guess" };
    let bar = el("div", "bar limit", vec![part(sure, low), part("grain", high - low)]);
    let [least, read, most] = s.value;
    let value = match s.by {
        KnownBy::Measured => format!("{} {} measured", show::plain(read), s.unit),
        KnownBy::Voided => format!("{} {} before the last change", show::plain(read), s.unit),
        _ => format!("not measured, typically {} {}", show::range(least, most), s.unit),
    };
    let chance = if s.status == Status::Unknown { String::new() } else { format!(" · {} % inside", show::fixed(libm::round(s.probability * 20.0) * 5.0, 0)) };
    let mut parts = vec![
        line("strong", "", format!("{}: {}{chance}", s.name, s.status.label())),
        Node::With("aria-hidden", "true".into(), Box::new(bar)),
        line("span", "", format!("{value}; limit {} {} (the line)", show::plain(s.limit), s.unit)),
    ];
    parts.extend(s.notes.iter().map(|n| line("span", "mark", n.clone())));
    let mut more = vec![line("summary", "", words::TEST_AND_LIMIT), line("p", "soft", format!("{} · {}", s.why, s.source)), line("p", "soft", s.test)];
    more.extend(s.blind.iter().map(|b| line("p", "soft", format!("{} {b}", words::BLIND))));
    parts.push(el("details", "how", more));
    el("li", "", parts)
}
