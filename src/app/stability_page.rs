//! How stable it is: each stability against its limit with its spread, the answer as a sentence
//! above.

use super::dossiers::{dossier_now, dossier_of, worked};
use super::paper::{Node, button, el, fold, line, live, said, section, shown_lines};
use super::parts::{Chip, chips, no_wine, wine_head};
use super::picture::{
    LINE, Picture, as_table, circle, group, label, rect, stroke, through, wrapped,
};
use super::store::store;
use super::{files, words};
use crate::advice::{Advice, advise};
use crate::stability::{Stability, Status, answer};
use crate::state::KnownBy;
use crate::units::day::Day;
use crate::units::show;
use crate::wine::*;
use crate::work_order::laboratory::request;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// The page.
pub fn page(id: &str) -> Vec<Node> {
    let store = store();
    let (Some(wine), Some(dossier)) = (store.wine_now(id), dossier_now(store, id)) else {
        return no_wine(words::STABILITY);
    };
    let wine_id = StoredValue::new(id.to_string());
    let advice = worked(wine_id, move |w| Some(advise(w, store.today())));
    let measured: Vec<Quantity> = Quantity::ALL
        .iter()
        .copied()
        .filter(|q| dossier.at_most(*q).is_some())
        .collect();
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
        let lines = dossier_of(store, &wine_id.get_value())
            .map(|w| request(&w, store.today()))
            .unwrap_or_default();
        if lines.is_empty() {
            return Vec::new();
        }
        let file = shown_lines(&lines.join("\n"));
        let list = el(
            "ul",
            "facts",
            lines.into_iter().map(|l| line("li", "", l)).collect(),
        );
        vec![fold(
            "",
            words::REQUEST,
            vec![
                list,
                button(
                    "",
                    words::SAVE,
                    Rc::new(move |_| files::save("stillbright-laboratory.txt", &file)),
                ),
            ],
        )]
    };
    let mut nodes = wine_head(id, &wine, words::STABILITY);
    nodes.push(live(
        "div",
        "",
        Box::new(move || advice.with(|a| a.as_ref().map(picture)).unwrap_or_default()),
    ));
    nodes.push(live("div", "", Box::new(sheet)));
    nodes.push(line("p", "soft", words::STABILITY_LEAD));
    nodes.extend(changed);
    nodes
}

/// The answer, each stability against its limit, and what to measure next.
fn picture(a: &Advice) -> Vec<Node> {
    let answer = Node::with(
        "role",
        "status".into(),
        line("p", "answer", answer(&a.stabilities)),
    );
    let mut nodes = vec![answer];
    nodes.extend((!a.stabilities.is_empty()).then(|| drawn(&a.stabilities)));
    nodes.extend([
        el("ul", "facts", a.stabilities.iter().map(row).collect()),
        next(a, store().today()),
    ]);
    nodes
}

/// Each stability as a bar over one line that is the limit of all: inside to the left of it,
/// whether the limit is the most or the least.
fn drawn(all: &[Stability]) -> Node {
    const LEFT: f64 = 8.0;
    const RIGHT: f64 = 332.0;
    const LIMIT: f64 = (LEFT + RIGHT) / 2.0;
    // Twice the limit is as far as it goes; where the least counts, the sides change.
    let x = |s: &Stability, v: f64| {
        let share = (v / (2.0 * s.limit).max(1e-9)).clamp(0.0, 1.0);
        LEFT + if s.least { 1.0 - share } else { share } * (RIGHT - LEFT)
    };
    let (mut y, mut says) = (24.0, Vec::new());
    let mark = |s: &Stability| {
        let verdict = format!("{}: {}", s.name, s.status.label());
        let mut mark = Vec::new();
        y += wrapped((LEFT, y + 13.0), &verdict, &mut mark) * LINE;
        says.push(format!("{verdict}."));
        let [low, middle, high] = s.value.map(|v| x(s, v));
        let (from, to) = (low.min(high), low.max(high));
        let measured = s.by == KnownBy::Measured;
        if to - from > 1.0 {
            mark.push(rect(
                (from, y + 3.0),
                to - from,
                10.0,
                if measured { "span" } else { "grain" },
            ));
        }
        mark.push(stroke((LIMIT, y), (LIMIT, y + 16.0), "ring"));
        // In outline what was not measured, or before the last change.
        let class = if measured { "" } else { "hollow" };
        if s.beyond() {
            // Further than it is drawn: an arrow that points there.
            let back = if s.least { 12.0 } else { -12.0 };
            mark.push(through(
                "polygon",
                class,
                &[
                    (middle, y + 8.0),
                    (middle + back, y + 1.0),
                    (middle + back, y + 15.0),
                ],
            ));
        } else if measured || to - from <= 1.0 {
            mark.push(circle((middle, y + 8.0), 5.0, class));
        }
        y += 24.0;
        group(mark)
    };
    let marks = all.iter().map(mark).collect();
    let frame = vec![
        label(
            (LEFT, 14.0),
            "start",
            &format!("← {}", said(&words::INSIDE)),
        ),
        label((LIMIT, 14.0), "middle", words::LIMIT),
        label(
            (RIGHT, 14.0),
            "end",
            &format!("{} →", said(&words::OUTSIDE)),
        ),
    ];
    let rows = all.iter().map(|s| {
        let [low, middle, high] = s.value;
        let reading = match (answered(s), s.by) {
            (Some(word), _) => word.to_string(),
            (_, KnownBy::Measured) => format!(
                "{} {} ({})",
                show::plain(middle),
                s.unit,
                show::range(low, high)
            ),
            (_, KnownBy::Voided) => {
                format!("{} {} before the last change", show::plain(middle), s.unit)
            }
            (_, KnownBy::AtMost) => format!("< {} {}", show::plain(high), s.unit),
            _ => format!("typically {} {}", show::range(low, high), s.unit),
        };
        vec![
            s.name.to_string(),
            s.status.label().to_string(),
            reading,
            s.bound().unwrap_or("–".into()),
        ]
    });
    let table = as_table(
        &[
            words::STABILITY_OF,
            words::VERDICT,
            words::READING,
            words::LIMIT,
        ],
        rows.collect(),
    );
    let mut parts = vec![line("p", "soft", words::STABLE_LEAD)];
    parts.extend(
        Picture {
            key: "stable",
            title: words::STABLE_PICTURE,
            says: says.join(" "),
            height: y,
            frame,
            marks,
            table,
        }
        .nodes(),
    );
    section(words::STABLE_PICTURE, parts)
}

/// The tests that are worth more than they cost.
fn next(a: &Advice, today: Option<Day>) -> Node {
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
            let due = Day::read(day).zip(today).is_some_and(|(day, today)| today > day);
            what.push_str(&if due { format!(" Its sample is due since {day}: take it now.") } else { format!(" Sample by {day}.") });
        }
        el(
            "li",
            "",
            vec![line("strong", "", w.quantity.label()), line("span", "soft", format!("{} · {}", w.needs.join(", "), w.place.label())), line("span", "", what)],
        )
    });
    let children = vec![
        line("p", "", a.measure_next.answer.clone()),
        el("ol", "facts", rows.collect()),
        line("p", "soft", words::NEXT_MEASURE_LEAD),
    ];
    section(words::NEXT_MEASURE, children)
}

/// The answer to a question of yes or no; None where a number is read.
fn answered(s: &Stability) -> Option<&'static str> {
    s.quantity.is_yes_no().then(|| match s.by {
        KnownBy::Measured if s.value[1] > s.limit => words::YES,
        KnownBy::Measured => words::NO,
        _ => words::NOT_LOOKED,
    })
}

fn row(s: &Stability) -> Node {
    let [least, read, most] = s.value;
    let value = if let Some(word) = answered(s) {
        word.to_string()
    } else {
        let limit = s.bound().map_or(String::new(), |b| format!("; {b}"));
        match s.by {
            KnownBy::Measured => format!("{} {}{limit}", show::plain(read), s.unit),
            KnownBy::Voided => format!(
                "{} {} before the last change{limit}",
                show::plain(read),
                s.unit
            ),
            KnownBy::AtMost => format!("< {} {}{limit}", show::plain(most), s.unit),
            _ => format!(
                "not measured, typically {} {}{limit}",
                show::range(least, most),
                s.unit
            ),
        }
    };
    let sure = matches!(
        s.status,
        Status::Stable | Status::Doubtful | Status::Unstable
    );
    let chance = if sure {
        format!(
            " · {} % inside",
            show::fixed(libm::round(s.probability * 20.0) * 5.0, 0)
        )
    } else {
        String::new()
    };
    let head = vec![
        line("strong", "", s.name),
        line(
            "span",
            s.status.key(),
            format!("{}{chance}", s.status.label()),
        ),
        line("span", "soft", value),
    ];
    let mut more = vec![
        el("summary", "", head),
        line(
            "p",
            "soft",
            if s.source.is_empty() {
                s.why.into()
            } else {
                format!("{} · {}", s.why, s.source)
            },
        ),
        line("p", "soft", s.test),
    ];
    more.extend(
        s.blind
            .iter()
            .map(|b| line("p", "soft", format!("{} {b}", words::BLIND))),
    );
    let mut parts = vec![el("details", "stability", more)];
    parts.extend(s.notes.iter().map(|n| line("span", "mark", n.clone())));
    el("li", "", parts)
}
