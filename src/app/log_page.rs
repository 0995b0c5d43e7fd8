//! The log: an entry to add, and the entries with the mark of an error. There is no way to change or delete one.

use super::parts::plain_field;
use super::store::store;
use super::words;
use crate::knowledge::{TREATMENTS, Treatment};
use crate::state::log::acts;
use crate::units::day::Day;
use crate::wine::*;
use crate::work_order::dosing::dose_for;
use leptos::prelude::*;

fn treatment(key: &str) -> Option<&'static Treatment> {
    TREATMENTS.iter().find(|t| t.key == key)
}

/// The form and the marks; the entries themselves stand on the sheet below.
pub fn form(id: StoredValue<String>) -> AnyView {
    let store = store();
    let today = store.today().map(Day::text).unwrap_or_default();
    let draft = RwSignal::new(Done { day: today.clone(), ..Done::default() });
    let wrong = RwSignal::new("");
    let wine = store.wine_now(&id.get_value()).unwrap_or_default();
    // What is planned stands first.
    let planned: Vec<&'static Treatment> = wine.plan.iter().filter_map(|p| treatment(&p.treatment)).collect();
    let rest = TREATMENTS.rows().iter().filter(|t| !planned.contains(t));
    let options = planned.iter().copied().chain(rest).map(|t| view! { <option value=t.key>{t.name}</option> }.into_any()).collect_view();
    let choose = move |key: String| {
        let wine = store.wine_now(&id.get_value()).unwrap_or_default();
        let dose = wine.plan.iter().find(|p| p.treatment == key).and_then(|p| {
            let weighed = dose_for(&wine, treatment(&key)?, &p.dose).ok()?;
            Some(AsTyped(crate::units::show::plain(weighed.dose)))
        });
        draft.update(|d| {
            d.dose = dose.unwrap_or_default();
            d.treatment = key;
        });
    };
    let text = |key: &'static str, label: &'static str, get: fn(&Done) -> &str, set: fn(&mut Done, String)| {
        let value = move || draft.with(|d| get(d).to_string());
        plain_field(key, label.into(), Box::new(value), Box::new(move |t| draft.update(|d| set(d, t))))
    };
    let unit = move || {
        let dose = draft.with(|d| treatment(&d.treatment)).and_then(|t| t.dose);
        dose.map(|d| d.basis.label().to_string())
    };
    let add = move |_| {
        let entry = draft.get_untracked();
        let dosed = treatment(&entry.treatment).is_some_and(|t| t.dose.is_some());
        let why = if Day::read(&entry.day).is_none() {
            words::WRONG_DAY
        } else if entry.treatment.is_empty() && entry.note.trim().is_empty() {
            words::WRONG_ACT
        } else if dosed && !matches!(dose(&entry.dose), Some(Ok(_))) || matches!(dose(&entry.dose), Some(Err(_))) {
            words::WRONG_DOSE
        } else {
            ""
        };
        wrong.set(why);
        if why.is_empty() {
            store.edit(&id.get_value(), &mut |w| w.done.push(entry.clone()));
            draft.set(Done { day: entry.day, by: entry.by, ..Done::default() });
            store.said.set(words::ADDED.into());
        }
    };
    // One button for each act that counts.
    let open = Memo::new(move |_| store.wine(&id.get_value()).map(|w| acts(&w).iter().map(|a| (a.number, a.words())).collect::<Vec<_>>()).unwrap_or_default());
    let day = today;
    let marks = move || {
        let buttons = open.get().into_iter().map(|(number, act)| {
            let day = day.clone();
            let mark = move |_| {
                let entry = Done { day: day.clone(), corrects: u32::try_from(number).ok(), ..Done::default() };
                store.edit(&id.get_value(), &mut |w| w.done.push(entry.clone()));
            };
            view! { <button class="chip" on:click=mark>{format!("{number}. {act}")}</button> }.into_any()
        });
        (!open.with(Vec::is_empty))
            .then(|| view! { <details><summary>{words::MARK_ERROR}</summary><div class="chips">{buttons.collect_view()}</div></details> }.into_any())
    };
    view! {
        <div class="edit">
            <p class="soft">{words::LOG_LEAD}</p>
            <div class="field">
                <label for="log-what">{words::WHAT}</label>
                <select id="log-what" prop:value=move || draft.with(|d| d.treatment.clone()) on:change=move |e| choose(event_target_value(&e))>
                    <option value="">{words::OTHER_ACT}</option>
                    {options}
                </select>
            </div>
            {text("log-day", words::DAY, |d| &d.day, |d, t| d.day = t)}
            {text("log-dose", words::DOSE_GIVEN, |d| &d.dose.0, |d, t| d.dose = AsTyped(t))}
            <p class="soft">{unit}</p>
            {text("log-batch", words::BATCH, |d| &d.batch, |d, t| d.batch = t)}
            {text("log-by", words::BY, |d| &d.by, |d, t| d.by = t)}
            {text("log-note", words::RESULT, |d| &d.note, |d, t| d.note = t)}
            <p class="mend" role="status">{move || wrong.get()}</p>
            <button on:click=add>{words::ADD_LOG}</button>
            {marks}
        </div>
    }
    .into_any()
}
