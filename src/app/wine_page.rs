//! What is known of a wine: a sheet of taps, and fields for what was measured.

use super::page::{Page, Sheet};
use super::paper::{Node, button, el, fill, fold, hidden, input, line, say, section, with};
use super::parts::{Chip, bind, chips, choose_many, choose_one, field, focus, head, no_wine};
use super::questions::asked;
use super::store::store;
use super::words;
use crate::knowledge::{PROBLEMS, TESTS, Treatment};
use crate::wine::*;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// What laboratories often report as below what they can tell.
const REPORTED_BELOW: [Quantity; 6] = [
    Quantity::Sugar,
    Quantity::Malic,
    Quantity::Copper,
    Quantity::Iron,
    Quantity::BrettCells,
    Quantity::Ethylphenol,
];

/// The page.
pub fn page(id: String) -> Vec<Node> {
    let store = store();
    let Some(wine) = store.wine_now(&id) else {
        return no_wine(words::THE_WINE);
    };
    let measured = RwSignal::new(String::new());
    let analyses = Quantity::ALL
        .iter()
        .copied()
        .filter(|q| q.facts().asked)
        .map(|q| {
            if q.is_yes_no() {
                return yes_no(&id, q);
            }
            let label = match q.read_in() {
                "" => q.label().to_string(),
                unit if unit == q.facts().unit => format!("{} ({unit})", q.label()),
                unit => format!(
                    "{} ({unit}; or write g/L H₂SO₄ or meq/L after the number)",
                    q.label()
                ),
            };
            let says = move |w: &Wine| Some(typed(w.analyses.get(&q)));
            let set = move |w: &mut Wine, text: String| {
                // A new value is of the day named above the fields, or of none: the day of the old
                // one is not its day.
                let day = measured.get_untracked();
                dated(w, q, if text.is_empty() { "" } else { &day });
                own_of(&mut w.analyses, q, text);
            };
            // A minus, the letters of a unit and the “<” of a laboratory are not on the keys for
            // numbers.
            let numeric = q != Quantity::StorageTemperature
                && q.read_in() == q.facts().unit
                && !REPORTED_BELOW.contains(&q);
            field(
                &id,
                &wine,
                &format!("analyses.{}", q.key()),
                label,
                numeric,
                Box::new(says),
                Box::new(set),
            )
        })
        .collect();
    let next = Page::Treatments(id.clone(), None).address();
    let links = [
        Page::Routes(id.clone(), Vec::new()),
        Page::Stability(id.clone()),
        Page::Follows(id.clone()),
    ]
    .into_iter()
    .chain([Sheet::Order, Sheet::Log, Sheet::Ready].map(|s| Page::Paper(id.clone(), s)))
    .map(|p| with("href", p.address(), line("a", "chip", p.title())))
    .collect();
    let note_id = StoredValue::new(id.clone());
    let fill_id = note_id;
    let mut kit = kits(&id, &wine);
    kit.insert(0, line("p", "soft", words::KIT_LEAD));
    let note = with(
        "id",
        "field-note",
        with("rows", "4", el("textarea", "", vec![Node::own(&wine.note)])),
    );
    let note = bind(
        &id,
        &wine,
        note,
        Box::new(|w| Some(w.note.clone())),
        Box::new(|w, t| w.note = t),
    );
    let mut plan = asked(&id, &wine, 8);
    plan.extend([
        field(
            &id,
            &wine,
            "sure_in_100",
            words::SURE_IN_100.into(),
            true,
            Box::new(|w| Some(w.sure_in_100.0.clone())),
            Box::new(|w, t| w.sure_in_100 = AsTyped(t)),
        ),
        field(
            &id,
            &wine,
            "shelf_life_months",
            words::SHELF_LIFE.into(),
            true,
            Box::new(|w| Some(w.shelf_life_months.0.clone())),
            Box::new(|w, t| w.shelf_life_months = AsTyped(t)),
        ),
        el(
            "div",
            "field",
            vec![
                with("for", "field-note", line("label", "", words::NOTE)),
                note,
            ],
        ),
    ]);
    let fill_in = move |_| {
        let defaults = store.defaults();
        store.edit(&fill_id.get_value(), &mut |w| w.fill_from(&defaults));
        store.said.set(words::FILLED.into());
        // The fields were drawn from what stood here before.
        store.page.update(|_| {});
    };
    let day = input(
        "measured",
        words::MEASURED_ON,
        "",
        Rc::new(move |t| measured.set(t)),
    );
    let mut nodes = head(&Page::Book, words::BOOK, words::THE_WINE);
    nodes.push(line("p", "soft", words::TAP_AGAIN));
    for at in [9, 2, 3, 1, 5, 4, 6] {
        nodes.extend(asked(&id, &wine, at));
    }
    nodes.extend([
        choose_one(
            &id,
            words::STYLE,
            Style::ALL,
            Style::label,
            |w| w.style,
            |w, v| w.style = v,
        ),
        choose_one(
            &id,
            words::MALOLACTIC,
            Malolactic::ALL,
            Malolactic::label,
            |w| w.malolactic,
            |w, v| w.malolactic = v,
        ),
        choose_many(
            &id,
            words::PAST,
            Past::ALL,
            Past::label,
            |w| &mut w.past,
            |w, o| w.past.contains(&o),
        ),
        choose_one(
            &id,
            words::VESSEL,
            Vessel::ALL,
            Vessel::label,
            |w| w.vessel,
            |w, v| w.vessel = v,
        ),
        choose_many(
            &id,
            words::WISHES,
            Wish::ALL,
            Wish::label,
            |w| &mut w.wishes,
            |w, o| w.wishes.contains(&o),
        ),
        choose_one(
            &id,
            words::JOURNEY,
            Journey::ALL,
            Journey::label,
            |w| w.journey,
            |w, v| w.journey = v,
        ),
    ]);
    nodes.extend(asked(&id, &wine, 7));
    nodes.extend([
        fold(
            "",
            words::ANALYSES,
            vec![
                day,
                line("p", "soft", words::BELOW_LEAD),
                el("div", "fields", analyses),
                days(note_id),
            ],
        ),
        with(
            "id",
            "onward",
            with(
                "tabindex",
                "-1",
                section(
                    words::ONWARD,
                    vec![el("p", "chips", links), super::handover::offer(fill_id)],
                ),
            ),
        ),
        fold("", words::KIT, kit),
        fold("", words::MONEY, money(&id, &wine)),
        fold("", words::PLAN, plan),
        button("", words::FILL, Rc::new(fill_in)),
        el(
            "nav",
            "bottom ways",
            vec![
                button("", words::GO_ON, Rc::new(|_| focus("onward"))),
                with("href", next, line("a", "main", words::SEE_TREATMENTS)),
            ],
        ),
    ]);
    nodes
}

/// A question of yes or no among the analyses.
fn yes_no(id: &str, q: Quantity) -> Node {
    let chip = |label: &'static str, text: &'static str| Chip {
        label,
        spoken: Some(format!("{}: {label}", q.label())),
        on: Arc::new(move |w| w.analyses.get(&q).is_some_and(|t| t.0 == text)),
        tap: Rc::new(move |w| {
            let pressed = w.analyses.get(&q).is_some_and(|t| t.0 == text);
            own_of(
                &mut w.analyses,
                q,
                if pressed { String::new() } else { text.into() },
            );
        }),
    };
    chips(
        id,
        q.label(),
        vec![chip(words::YES, YES), chip(words::NO, NO)],
    )
}

/// Sets an own figure, or takes it out where nothing is typed.
fn own(list: &mut Map<String, AsTyped>, key: &str, text: String) {
    if text.is_empty() {
        list.remove(key);
    } else {
        list.insert(key.to_string(), AsTyped(text));
    }
}

/// The same for a quantity.
fn own_of(list: &mut Map<Quantity, AsTyped>, q: Quantity, text: String) {
    if text.is_empty() {
        list.remove(&q);
    } else {
        list.insert(q, AsTyped(text));
    }
}

/// What is typed, if anything.
fn typed(text: Option<&AsTyped>) -> String {
    text.map(|t| t.0.clone()).unwrap_or_default()
}

/// What each problem loses, and what each test costs: built in beside the own figure.
fn scale(id: &str, wine: &Wine) -> [Node; 2] {
    use crate::units::show::plain;
    let losses: Vec<Node> = PROBLEMS
        .iter()
        .map(|f| {
            let key = f.problem.key();
            let label = format!(
                "{} (%; built in: {})",
                f.problem.label(),
                plain(f.loss_percent.middle)
            );
            let says = move |w: &Wine| Some(typed(w.losses.get(key)));
            field(
                id,
                wine,
                &format!("losses.{key}"),
                label,
                true,
                Box::new(says),
                Box::new(move |w, t| own(&mut w.losses, key, t)),
            )
        })
        .collect();
    let tests: Vec<Node> = TESTS
        .iter()
        .map(|f| {
            let q = f.quantity;
            let label = format!(
                "{} (built in: {} EUR of {})",
                q.label(),
                plain(f.price.middle),
                f.year
            );
            let says = move |w: &Wine| Some(typed(w.test_prices.get(&q)));
            field(
                id,
                wine,
                &format!("test_prices.{}", q.key()),
                label,
                true,
                Box::new(says),
                Box::new(move |w, t| own_of(&mut w.test_prices, q, t)),
            )
        })
        .collect();
    [
        fold(
            "",
            words::LOSSES,
            vec![
                line("p", "soft", words::LOSSES_LEAD),
                el("div", "fields", losses),
            ],
        ),
        fold("", words::TEST_PRICES, vec![el("div", "fields", tests)]),
    ]
}

/// The day of each analysis that was typed; written when it is opened, so that it shows what stands
/// then.
fn days(id: StoredValue<String>) -> Node {
    let store = store();
    let open = move |_| {
        let wine = store.wine_now(&id.get_value()).unwrap_or_default();
        let day = |q: Quantity| {
            let name = format!("day-{}", q.key());
            let hint = format!("{name}-hint");
            let typed = move |text: String| {
                say(
                    &hint,
                    if text.is_empty() || crate::units::day::Day::read(&text).is_some() {
                        ""
                    } else {
                        words::WRONG_DAY
                    },
                );
                store.edit(&id.get_value(), &mut |w| dated(w, q, &text));
            };
            input(
                &name,
                q.label(),
                wine.measured_on.get(&q).map_or("", |t| &t.0),
                Rc::new(typed),
            )
        };
        fill(
            "days",
            &wine.analyses.keys().map(|q| day(*q)).collect::<Vec<_>>(),
        );
    };
    let inner = vec![
        line("summary", "", words::DAYS),
        line("p", "soft", words::DAYS_LEAD),
        with("id", "days", el("div", "fields", Vec::new())),
    ];
    Node::on("toggle", Rc::new(open), el("details", "", inner))
}

fn dated(wine: &mut Wine, which: Quantity, day: &str) {
    if day.is_empty() {
        wine.measured_on.remove(&which);
    } else {
        wine.measured_on.insert(which, AsTyped(day.into()));
    }
}

/// Labour, value of the wine, the scale of loss and the money all are in.
pub fn money(id: &str, wine: &Wine) -> Vec<Node> {
    let mut all = vec![
        field(
            id,
            wine,
            "labour_per_hour",
            words::LABOUR_COST.into(),
            true,
            Box::new(|w| Some(w.labour_per_hour.0.clone())),
            Box::new(|w, t| w.labour_per_hour = AsTyped(t)),
        ),
        field(
            id,
            wine,
            "value_per_hl",
            words::VALUE.into(),
            true,
            Box::new(|w| Some(w.value_per_hl.0.clone())),
            Box::new(|w, t| w.value_per_hl = AsTyped(t)),
        ),
        field(
            id,
            wine,
            "loss_percent",
            words::LOSS.into(),
            true,
            Box::new(|w| Some(w.loss_percent.0.clone())),
            Box::new(|w, t| w.loss_percent = AsTyped(t)),
        ),
        field(
            id,
            wine,
            "cost_per_day",
            words::PER_DAY.into(),
            true,
            Box::new(|w| Some(w.cost_per_day.0.clone())),
            Box::new(|w, t| w.cost_per_day = AsTyped(t)),
        ),
        field(
            id,
            wine,
            "cost_per_point",
            words::PER_POINT.into(),
            true,
            Box::new(|w| Some(w.cost_per_point.0.clone())),
            Box::new(|w, t| w.cost_per_point = AsTyped(t)),
        ),
        field(
            id,
            wine,
            "currency",
            words::CURRENCY.into(),
            false,
            Box::new(|w| Some(w.currency.clone())),
            Box::new(|w, t| w.currency = t),
        ),
    ];
    all.extend(scale(id, wine));
    all
}

/// The user's own price of one treatment.
pub fn price(id: &str, wine: &Wine, t: &'static Treatment) -> Node {
    let unit = if t.price.map_or(t.dose.is_none(), |p| p.per_hl) {
        "hL"
    } else {
        "kg or L"
    };
    let label = match t.price {
        Some(p) => format!(
            "{} (per {unit}; built in: {} {} of {})",
            t.name,
            crate::units::show::plain(p.amount.middle),
            p.currency,
            p.year
        ),
        None => format!("{} (per {unit})", t.name),
    };
    let set = move |w: &mut Wine, text: String| own(&mut w.prices, t.key, text);
    field(
        id,
        wine,
        &format!("prices.{}", t.key),
        label,
        true,
        Box::new(move |w| Some(typed(w.prices.get(t.key)))),
        Box::new(set),
    )
}

/// Every piece of equipment with how it can be had.
pub fn kits(id: &str, wine: &Wine) -> Vec<Node> {
    Kit::ALL.iter().flat_map(|k| kit(id, wine, *k)).collect()
}

fn kit(id: &str, wine: &Wine, kit: Kit) -> [Node; 2] {
    let store = store();
    let wine_id = StoredValue::new(id.to_string());
    let has_batch = move || {
        store.wine(&wine_id.get_value()).is_some_and(|w| {
            w.kit
                .get(&kit)
                .is_some_and(|e| matches!(e.means, KitMeans::Hired | KitMeans::Contractor))
        })
    };
    let chip = |means: KitMeans| Chip {
        label: means.label(),
        spoken: Some(format!("{}: {}", kit.label(), means.label())),
        on: Arc::new(move |w| w.kit.get(&kit).is_some_and(|e| e.means == means)),
        tap: Rc::new(move |w| match w.kit.get_mut(&kit) {
            Some(e) if e.means == means => {
                w.kit.remove(&kit);
            }
            Some(e) => e.means = means,
            None => {
                w.kit.insert(kit, KitEntry::of(means));
            }
        }),
    };
    let set = move |w: &mut Wine, t: String| {
        if let Some(e) = w.kit.get_mut(&kit) {
            e.minimum_batch = AsTyped(t);
        }
    };
    let set_lead = move |w: &mut Wine, t: String| {
        if let Some(e) = w.kit.get_mut(&kit) {
            e.lead_days = AsTyped(t);
        }
    };
    let says = move |w: &Wine, of: fn(&KitEntry) -> &AsTyped| Some(typed(w.kit.get(&kit).map(of)));
    let label = format!("{}: {}", kit.label(), words::MINIMUM_BATCH);
    let batch = field(
        id,
        wine,
        &format!("kit.{}.minimum_batch", kit.key()),
        label,
        true,
        Box::new(move |w| says(w, |e| &e.minimum_batch)),
        Box::new(set),
    );
    let lead_label = format!("{}: {}", kit.label(), words::LEAD_DAYS);
    let lead = field(
        id,
        wine,
        &format!("kit.{}.lead_days", kit.key()),
        lead_label,
        true,
        Box::new(move |w| says(w, |e| &e.lead_days)),
        Box::new(set_lead),
    );
    [
        chips(
            id,
            kit.label(),
            KitMeans::ALL.iter().map(|m| chip(*m)).collect(),
        ),
        hidden(
            Box::new(move || !has_batch()),
            el("div", "", vec![batch, lead]),
        ),
    ]
}
