//! The log: an entry to add, and the entries with the mark of an error. There is no way to change
//! or delete one.

use super::dossiers::{dossier_now, dossier_of};
use super::paper::{Node, button, by_id, el, fold, input, line, live, say, with};
use super::store::{Store, store};
use super::words;
use crate::dossier::Dossier;
use crate::knowledge::{TREATMENTS, Treatment, treatment};
use crate::rules::Before;
use crate::units::day::Day;
use crate::units::read::in_own;
use crate::wine::*;
use crate::work_order::dosing::dose_for;
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::JsCast;

const DOSE: &str = "log-dose";
const WRONG: &str = "log-wrong";

/// The form, and the marks; the entries themselves stand on the sheet below.
pub fn form(id: StoredValue<String>) -> Vec<Node> {
    let store = store();
    let today = store.today().map(Day::show).unwrap_or_default();
    let dossier = dossier_now(store, &id.get_value()).unwrap_or_default();
    // The next step of the plan is what was most likely done.
    let next = next(&dossier);
    let (dose, unit) = planned_dose(&dossier, &next);
    let draft = Rc::new(RefCell::new(Done {
        day: today.clone(),
        treatment: next.clone(),
        dose: AsTyped(dose.clone()),
        ..Done::default()
    }));
    // What is planned stands first.
    let planned: Vec<&'static Treatment> =
        dossier.plan.iter().filter_map(|p| p.treatment).collect();
    let rest = TREATMENTS
        .rows()
        .iter()
        .filter(|t| planned.iter().all(|p| p.key != t.key));
    let mut options = vec![with("value", "", line("option", "", words::OTHER_ACT))];
    options.extend(planned.iter().copied().chain(rest).map(|t| {
        let option = with("value", t.key, line("option", "", t.name));
        if t.key == next {
            with("selected", "", option)
        } else {
            option
        }
    }));
    let chosen = draft.clone();
    let choose = move |key: String| {
        let dossier = dossier_now(store, &id.get_value()).unwrap_or_default();
        let (dose, unit) = planned_dose(&dossier, &key);
        say(DOSE, &dose);
        say("log-dose-hint", unit);
        let mut entry = chosen.borrow_mut();
        entry.dose = AsTyped(dose);
        entry.treatment = key;
    };
    let select = Node::on(
        "change",
        Rc::new(choose),
        with("id", "log-what", el("select", "", options)),
    );
    let text = |key: &'static str, label: &'static str, start: &str, set: fn(&mut Done, String)| {
        let draft = draft.clone();
        input(
            key,
            label,
            start,
            Rc::new(move |t| set(&mut draft.borrow_mut(), t)),
        )
    };
    let fields = vec![
        line("p", "soft", words::LOG_LEAD),
        el(
            "div",
            "field",
            vec![
                with("for", "log-what", line("label", "", words::WHAT)),
                select,
            ],
        ),
        text("log-day", words::DAY_DONE, &today, |d, t| d.day = t),
        number(
            text(DOSE, words::DOSE_GIVEN, &dose, |d, t| d.dose = AsTyped(t)),
            unit,
        ),
        text("log-batch", words::BATCH, "", |d, t| d.batch = t),
        text("log-by", words::BY, "", |d, t| d.by = t),
        text("log-note", words::RESULT, "", |d, t| d.note = t),
        with("id", WRONG, with("role", "status", line("p", "mend", ""))),
        button(
            "",
            words::ADD_LOG,
            Rc::new(move |_| add(store, id, &mut draft.borrow_mut())),
        ),
    ];
    // One button for each act that counts.
    let marks = move || {
        let dossier = dossier_of(store, &id.get_value()).unwrap_or_default();
        let buttons: Vec<Node> = dossier
            .acts()
            .map(|act| {
                let entry = Done {
                    day: today.clone(),
                    corrects: u32::try_from(act.number).ok(),
                    ..Done::default()
                };
                button(
                    "chip",
                    format!("{}. {}", act.number, act.words()),
                    Rc::new(move |_| {
                        store.edit(&id.get_value(), &mut |w| w.done.push(entry.clone()))
                    }),
                )
            })
            .collect();
        if buttons.is_empty() {
            return Vec::new();
        }
        vec![fold(
            "edit",
            words::MARK_ERROR,
            vec![el("div", "chips", buttons)],
        )]
    };
    vec![el("div", "edit", fields), live("div", "", Box::new(marks))]
}

/// The first step of the plan that is not in the log; empty where there is none.
fn next(dossier: &Dossier) -> String {
    crate::route::plan::left(dossier)
        .first()
        .map(|p| p.key.clone())
        .unwrap_or_default()
}

/// What the plan gives of a treatment, and its unit.
fn planned_dose(dossier: &Dossier, key: &str) -> (String, &'static str) {
    let t = treatment(key);
    let plan = dossier.plan.iter().find(|p| p.key == key);
    let dose = t
        .zip(plan)
        .and_then(|(t, p)| dose_for(dossier, t, &p.dose, &Before::act(dossier, key)).ok())
        .map(|w| crate::units::show::plain(w.dose))
        .unwrap_or_default();
    (dose, t.and_then(|t| t.dose).map_or("", |d| d.basis.label()))
}

/// A field with the keys of a number, and its unit.
fn number(field: Node, unit: &str) -> Node {
    if let Ok(Some(input)) = field.element().query_selector("input") {
        let _set = input.set_attribute("inputmode", "decimal");
    }
    if let Ok(Some(hint)) = field.element().query_selector(".mend") {
        hint.set_text_content(Some(unit));
    }
    field
}

/// Chooses in the list of what was done.
fn choose(key: &str) {
    if let Some(list) =
        by_id("log-what").and_then(|l| l.dyn_into::<web_sys::HtmlSelectElement>().ok())
    {
        list.set_value(key);
    }
}

/// Adds the entry, or says what is wrong with it.
fn add(store: Store, id: StoredValue<String>, entry: &mut Done) {
    let t = treatment(&entry.treatment);
    let dosed = t.is_some_and(|t| t.dose.is_some());
    entry.dose = AsTyped(in_own(
        &entry.dose.0,
        t.and_then(|t| t.dose).map_or("", |d| d.basis.label()),
    ));
    let readable = match dose(&entry.dose) {
        None => !dosed,
        Some(read) => read.is_ok(),
    };
    let day = Day::read(&entry.day);
    let why = if day.is_none() {
        words::WRONG_DAY
    } else if day
        .zip(store.today())
        .is_some_and(|(day, today)| day > today)
    {
        words::DAY_TO_COME
    } else if entry.treatment.is_empty() && entry.note.trim().is_empty() {
        words::WRONG_ACT
    } else if !readable {
        words::WRONG_DOSE
    } else {
        ""
    };
    say(WRONG, why);
    if why.is_empty() {
        entry.day = Day::tidy(&entry.day);
        let added = entry.clone();
        store.edit(&id.get_value(), &mut |w| w.done.push(added.clone()));
        (entry.batch, entry.note) = Default::default();
        for field in ["log-batch", "log-note"] {
            say(field, "");
        }
        // On to the step after it.
        let dossier = dossier_now(store, &id.get_value()).unwrap_or_default();
        entry.treatment = next(&dossier);
        let (dose, unit) = planned_dose(&dossier, &entry.treatment);
        say(DOSE, &dose);
        say("log-dose-hint", unit);
        entry.dose = AsTyped(dose);
        choose(&entry.treatment);
        store.said.set(words::ADDED.into());
    }
}
