//! How stable it is: each stability against its limit with its spread, the answer as a sentence above.

use super::paper::{Node, button, el, fold, line, live, section, shown_lines};
use super::parts::{Chip, chips, no_wine, wine_head, worked};
use super::store::store;
use super::{files, words};
use crate::advice::{Advice, advise};
use crate::stability::{Stability, Status, answer, request};
use crate::state::KnownBy;
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// The page.
pub fn page(id: &str) -> Vec<Node> {
    let store = store();
    let Some(wine) = store.wine_now(id) else {
        return no_wine(words::STABILITY);
    };
    let wine_id = StoredValue::new(id.to_string());
    let advice = worked(wine_id, move |w| Some(advise(w, store.today())));
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
    let sheet = move || {
        let lines = store.wine(&wine_id.get_value()).and_then(|w| advice.with(|a| Some(request(&w, &a.as_ref()?.stabilities)))).unwrap_or_default();
        if lines.is_empty() {
            return Vec::new();
        }
        let file = shown_lines(&lines.join("\n"));
        let list = el("ul", "facts", lines.into_iter().map(|l| line("li", "", l)).collect());
        vec![fold("", words::REQUEST, vec![list, button("", words::SAVE, Rc::new(move |_| files::save("stillbright-laboratory.txt", &file)))])]
    };
    let mut nodes = wine_head(id, &wine, words::STABILITY);
    nodes.push(live("div", "", Box::new(move || advice.with(|a| a.as_ref().map(picture)).unwrap_or_default())));
    nodes.push(live("div", "", Box::new(sheet)));
    nodes.push(line("p", "soft", words::STABILITY_LEAD));
    nodes.extend(changed);
    nodes
}

/// The answer, each stability against its limit, and what to measure next.
fn picture(a: &Advice) -> Vec<Node> {
    let answer = Node::with("role", "status".into(), line("p", "answer", answer(&a.stabilities)));
    vec![answer, el("ul", "facts", a.stabilities.iter().map(row).collect()), next(a)]
}

/// The tests that are worth more than they cost.
fn next(a: &Advice) -> Node {
    let hl = |w: f64| format!("{} {}", show::fixed(w, 1), a.currency);
    let rows = a.measure_next.best.iter().map(|w| {
        let price = w.price.map_or(words::PRICE_NOT_KNOWN.to_string(), |[low, _, high]| format!("{} {}", show::range(low, high), a.currency));
        let [soon, _, late] = w.days;
        let mut what = format!(
            "In {} of 100 draws it changes what to do. It saves about {} per hL, {} {} for the lot. Price {price}, {}.",
            show::fixed(w.changes * 100.0, 0),
            hl(w.worth_per_hl),
            show::fixed(w.worth, 0),
            a.currency,
            show::days(soon, late)
        );
        if let Some(day) = &w.sample_by {
            what.push_str(&format!(" Sample by {day}."));
        }
        el(
            "li",
            "",
            vec![line("strong", "", w.quantity.label()), line("span", "soft", format!("{} · {}", w.needs.join(", "), w.place.label())), line("span", "", what)],
        )
    });
    let children = vec![line("p", "", a.measure_next.answer.clone()), el("ol", "facts", rows.collect()), line("p", "soft", words::NEXT_MEASURE_LEAD)];
    section(words::NEXT_MEASURE, children)
}

fn row(s: &Stability) -> Node {
    // The limit stands in the middle of the bar.
    let [low, _, high] = s.value.map(|v| (v / (2.0 * s.limit)).clamp(0.0, 1.0));
    let part = |class: &'static str, share: f64| Node::with("width", format!("{}%", show::fixed(share * 100.0, 1)), el("span", class, Vec::new()));
    let measured = s.by == KnownBy::Measured;
    let bar = el("span", if measured { "bar limit" } else { "bar limit guess" }, vec![part("sure", low), part("grain", (high - low).max(0.008))]);
    let [least, read, most] = s.value;
    let value = if s.quantity.is_yes_no() {
        match s.by {
            KnownBy::Measured if read > s.limit => words::YES.to_string(),
            KnownBy::Measured => words::NO.to_string(),
            _ => words::NOT_LOOKED.to_string(),
        }
    } else {
        let limit = format!("{} {} {}", if s.least { "at least" } else { "below" }, show::plain(s.limit), s.unit);
        match s.by {
            KnownBy::Measured => format!("{} {}; {limit}", show::plain(read), s.unit),
            KnownBy::Voided => format!("{} {} before the last change; {limit}", show::plain(read), s.unit),
            _ => format!("not measured, typically {}; {limit}", show::range(least, most)),
        }
    };
    let sure = matches!(s.status, Status::Stable | Status::Doubtful | Status::Unstable);
    let chance = if sure { format!(" · {} % inside", show::fixed(libm::round(s.probability * 20.0) * 5.0, 0)) } else { String::new() };
    let head = vec![
        line("strong", "", s.name),
        line("span", s.status.key(), format!("{}{chance}", s.status.label())),
        Node::with("aria-hidden", "true".into(), bar),
        line("span", "soft", value),
    ];
    let mut more = vec![el("summary", "", head), line("p", "soft", format!("{} · {}", s.why, s.source)), line("p", "soft", s.test)];
    more.extend(s.blind.iter().map(|b| line("p", "soft", format!("{} {b}", words::BLIND))));
    let mut parts = vec![el("details", "stability", more)];
    parts.extend(s.notes.iter().map(|n| line("span", "mark", n.clone())));
    el("li", "", parts)
}
