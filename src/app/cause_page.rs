//! Find the cause: questions answered with yes or no, the shares of the causes moving with each,
//! and the test to do next.

use super::dossiers::worked;
use super::page::Page;
use super::paper::{Node, button, el, fold, line, link, live, section, telling, with};
use super::parts::{Chip, attend, chips, choose_one, fact, no_wine, sieve, standing, wine_head};
use super::store::{Store, store};
use super::words;
use crate::diagnosis::{Diagnosis, diagnose_passing, may_be};
use crate::knowledge::{CAUSES, CAUTIONS, SIGNS, Sign};
use crate::rules::{ByCause, by_cause, reason};
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// The page.
pub fn page(id: &str) -> Vec<Node> {
    let store = store();
    let Some(wine) = store.wine_now(id) else {
        return no_wine(words::CAUSE);
    };
    let wine_id = StoredValue::new(id.to_string());
    // What was passed over is for now: it is asked for again the next time.
    let passed = RwSignal::new(Vec::new());
    let found = worked(wine_id, move |w| passed.with(|p| diagnose_passing(w, p)));
    // What the rules say by the likely cause stands in place of what is usual for it.
    let judged = worked(wine_id, by_cause);
    let next = Memo::new(move |_| found.with(|d| d.next.as_ref().map(|n| n.key.to_string())));
    // What is seen at once is chosen from one list; with it done, or put off, one question comes
    // after the other.
    let put_off = RwSignal::new(false);
    let to_look = |w: Wine| {
        seen(w.colour, w.stage).all(|s| w.observed.get(s.key) != Some(&false))
            && seen(w.colour, w.stage).any(|s| !w.observed.contains_key(s.key))
    };
    let looking =
        Memo::new(move |_| !put_off.get() && store.wine(&wine_id.get_value()).is_some_and(to_look));
    let kind = Memo::new(move |_| {
        let wine = store.wine(&wine_id.get_value());
        wine.map_or((None, None), |w| (w.colour, w.stage))
    });
    let mut all = vec![line("p", "soft", words::TAP_AGAIN_SHORT)];
    let (mut asked, mut folds) = (Vec::new(), Vec::new());
    for place in Place::ALL {
        let here: Vec<Node> = SIGNS
            .rows()
            .iter()
            .filter(|s| s.place == *place)
            // What was answered may be taken back wherever the wine stands.
            .filter(|s| may_be(s, wine.colour, wine.stage) || wine.observed.contains_key(s.key))
            .map(|s| question(id, s))
            .collect();
        asked.extend(here.iter().cloned());
        folds.push(fold("", place.label(), here));
    }
    all.push(sieve(words::ALL_SIGNS, asked, true));
    all.extend(folds);
    let ask = move || {
        if looking.get() {
            return vec![look(store, wine_id, kind.get(), put_off)];
        }
        let sign = next
            .get()
            .and_then(|k| SIGNS.rows().iter().find(|s| s.key == k));
        let asked = sign.map(|s| {
            section(words::NEXT_TEST, {
                let pass = button(
                    "",
                    words::DO_NOT_KNOW,
                    Rc::new(move |_| passed.update(|p| p.push(s.key))),
                );
                let asked = Node::on(
                    "click",
                    Rc::new(|_| attend(ASKED)),
                    question(&wine_id.get_value(), s),
                );
                [asked, pass].into_iter().chain(how(s)).collect()
            })
        });
        asked.into_iter().collect()
    };
    // A wet thumb slips: what was answered stands together, to be taken back.
    let given = move || {
        let id = wine_id.get_value();
        let all = store.wine(&id).map(|w| w.observed).unwrap_or_default();
        let mut rows: Vec<Node> = SIGNS
            .rows()
            .iter()
            .filter(|s| all.contains_key(s.key))
            .map(|s| question(&id, s))
            .collect();
        if rows.is_empty() {
            return rows;
        }
        if !looking.get() {
            let again = |w: &mut Wine| {
                for s in seen(w.colour, w.stage)
                    .filter(|s| w.observed.get(s.key) == Some(&false))
                    .collect::<Vec<_>>()
                {
                    w.observed.remove(s.key);
                }
            };
            let again = move |_| {
                put_off.set(false);
                store.edit(&wine_id.get_value(), &mut { again });
            };
            rows.insert(0, button("", words::LOOK_AGAIN, Rc::new(again)));
        }
        vec![if rows.len() > FEW {
            fold("", words::ANSWERED, rows)
        } else {
            section(words::ANSWERED, rows)
        }]
    };
    let mut nodes = wine_head(id, &wine, words::CAUSE);
    nodes.extend([
        with(
            "role",
            "status",
            telling(
                "p",
                "answer",
                Box::new(move || found.with(|d| answer(d, looking.get()))),
            ),
        ),
        live(
            "div",
            "",
            Box::new(move || found.with(|d| onward(&wine_id.get_value(), d))),
        ),
        with(
            "id",
            ASKED,
            with("tabindex", "-1", live("div", "", Box::new(ask))),
        ),
        live(
            "div",
            "",
            Box::new(move || found.with(|d| picture(&wine_id.get_value(), d, &judged.get()))),
        ),
        live("div", "", Box::new(given)),
        section(words::ALL_SIGNS, all),
    ]);
    nodes
}

/// Where what is asked next stands: it has the focus once the question before is answered and gone.
const ASKED: &str = "asked";

/// So many answers stand open; more of them fold away.
const FEW: usize = 4;

/// Signs that are seen or smelled at once in a wine of this colour at this stage.
fn seen(colour: Option<Colour>, stage: Option<Stage>) -> impl Iterator<Item = &'static Sign> {
    SIGNS
        .rows()
        .iter()
        .filter(move |s| s.seen.is_some() && may_be(s, colour, stage))
}

/// All that is seen at once, to choose from; the rest of it is answered with no.
fn look(
    store: Store,
    id: StoredValue<String>,
    (colour, stage): (Option<Colour>, Option<Stage>),
    put_off: RwSignal<bool>,
) -> Node {
    let chip = |sign: &'static Sign| Chip {
        label: sign.seen.unwrap_or(sign.question),
        spoken: None,
        on: Arc::new(move |w| w.observed.get(sign.key) == Some(&true)),
        tap: Rc::new(move |w| match w.observed.remove(sign.key) {
            Some(_) => {}
            None => drop(w.observed.insert(sign.key.to_string(), true)),
        }),
    };
    let done = move |_| {
        attend(ASKED);
        store.edit(&id.get_value(), &mut |w| {
            seen(w.colour, w.stage).for_each(|s| w.observed.insert_new(s.key.to_string(), false))
        });
    };
    let one_by_one = move |_| {
        attend(ASKED);
        put_off.set(true);
    };
    let id = id.get_value();
    let mut parts = Vec::new();
    if colour.is_none() {
        parts.push(choose_one(
            &id,
            words::COLOUR,
            Colour::ALL,
            Colour::label,
            |w| w.colour,
            |w, v| w.colour = v,
        ));
    }
    parts.push(chips(
        &id,
        words::LOOK_LEAD,
        seen(colour, stage).map(chip).collect(),
    ));
    let ways = vec![
        button("", words::LOOK_UNSURE, Rc::new(one_by_one)),
        button("main", words::LOOK_DONE, Rc::new(done)),
    ];
    parts.push(el("div", "bottom ways", ways));
    section(words::LOOK, parts)
}

fn answer(d: &Diagnosis, looking: bool) -> String {
    let then = match &d.next {
        _ if looking => "Say first what you see.",
        Some(_) => "Answer the next question.",
        None => "Nothing is left to ask here: send a settled sample to a laboratory.",
    };
    let firm = if d.holds {
        ""
    } else {
        " It does not hold if one judgement behind it is a step off."
    };
    if let Some(one) = d.likely() {
        return format!(
            "Most likely {} (about {} %).{firm}",
            show::inside(one.name),
            one.percent
        );
    }
    match d.causes.as_slice() {
        [one, two, ..] => format!(
            "Not settled: {} or {}. {then}",
            show::inside(one.name),
            show::inside(two.name)
        ),
        _ => String::new(),
    }
}

/// Once a cause is settled, the way to what can be done about it.
fn onward(id: &str, d: &Diagnosis) -> Vec<Node> {
    let first = d
        .likely()
        .and_then(|c| CAUSES.iter().find(|f| f.key == c.key)?.problem);
    let to = |p| {
        with(
            "href",
            Page::Treatments(id.to_string(), Some(p)).address(),
            line("a", "chip", words::SEE_TREATMENTS),
        )
    };
    first
        .map(|p| el("p", "chips", vec![to(p)]))
        .into_iter()
        .collect()
}

fn picture(id: &str, d: &Diagnosis, judged: &[ByCause]) -> Vec<Node> {
    let rows = d.causes.iter().take(5).enumerate().map(|(place, c)| {
        let facts = CAUSES.iter().find(|f| f.key == c.key);
        let width = Node::with(
            "width",
            format!("{}%", show::fixed(c.share * 100.0, 1)),
            el("span", "sure", Vec::new()),
        );
        let mut parts = vec![
            line("strong", "", format!("{} · {} %", c.name, c.percent)),
            Node::with("aria-hidden", "true".into(), el("div", "bar", vec![width])),
        ];
        if place == 0 && !judged.is_empty() {
            for r in judged {
                parts.push(line("span", "", r.text.clone()));
                if let Some(why) = reason(r.rule) {
                    let how = standing(why.standing.label(), why.source);
                    parts.push(line("span", "standing", how));
                }
            }
        } else if let Some(f) = facts {
            parts.extend([
                line("span", "", f.act.text),
                line(
                    "span",
                    "standing",
                    standing(f.act.standing.label(), f.act.source),
                ),
            ]);
        }
        if let Some(p) = facts.and_then(|f| f.problem) {
            parts.push(link(
                Page::Treatments(id.to_string(), Some(p)).address(),
                vec![line(
                    "span",
                    "small",
                    format!("{}: {}", words::TREATMENTS, p.label()),
                )],
            ));
        }
        el("li", "", parts)
    });
    let mut nodes = vec![el("ul", "facts", rows.collect())];
    if !d.against.is_empty() {
        nodes.push(section(
            words::AGAINST,
            vec![el(
                "ul",
                "facts",
                d.against.iter().map(|a| line("li", "", *a)).collect(),
            )],
        ));
    }
    if let Some(n) = &d.next_laboratory {
        nodes.push(line(
            "p",
            "soft",
            format!("{}: {}", words::NEXT_LABORATORY, n.question),
        ));
    }
    nodes
}

fn question(id: &str, sign: &'static Sign) -> Node {
    let chip = |label: &'static str, answer: bool| Chip {
        label,
        spoken: Some(format!("{}: {label}", sign.question)),
        on: Arc::new(move |w| w.observed.get(sign.key) == Some(&answer)),
        tap: Rc::new(move |w| {
            if w.observed.get(sign.key) == Some(&answer) {
                w.observed.remove(sign.key);
            } else {
                w.observed.insert(sign.key.to_string(), answer);
            }
        }),
    };
    chips(
        id,
        sign.question,
        vec![chip(words::YES, true), chip(words::NO, false)],
    )
}

fn how(sign: &Sign) -> Vec<Node> {
    let mut rows = vec![fact(&sign.how)];
    rows.extend(
        sign.cautions
            .iter()
            .filter_map(|k| CAUTIONS.iter().find(|c| c.key == *k))
            .map(|c| fact(&c.text)),
    );
    let takes = if sign.minutes < 120.0 {
        format!("about {} min", show::plain(sign.minutes))
    } else {
        format!("about {} h", show::plain(sign.minutes / 60.0))
    };
    vec![
        line("p", "soft", format!("{} · {takes}", sign.place.label())),
        el("ul", "facts", rows),
    ]
}
