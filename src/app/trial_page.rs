//! A bench trial: the sheet to set it up, fields for what is read, and what the readings say.

use super::dossiers::dossier_of;
use super::page::{Page, Sheet};
use super::paper::{
    Node, button, el, fold, follow, hidden, line, live, section, telling, text, with,
};
use super::parts::{Chip, chips, fact, field, known, no_wine, standing, wine_head};
use super::picture::{Picture, axes, circle, group, label, stroke, through, width};
use super::stepper::stepped;
use super::store::store;
use super::treatment_page::{cautions, on_order, ruled};
use super::{files, words};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::rules::{Bearing, order::bearing as rules_on_order};
use crate::trial::blind::{Glass, next as next_glasses, of_trial};
use crate::trial::design::{Dosing, SAMPLES};
use crate::trial::reading::{Stand, dose_text};
use crate::trial::{self, Design, Outcome, Reading, design, read, write};
use crate::units::read::in_own;
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// A link to the bench trial of a treatment; None where none is made.
pub fn to_trial(id: &str, dossier: &Dossier, key: &str) -> Option<Node> {
    let t = treatment(key).filter(|t| trial::bench_dose(dossier, t).is_some())?;
    Some(with(
        "href",
        Page::Trial(id.into(), key.into()).address(),
        line(
            "a",
            "chip",
            format!("{}: {}", words::TRIAL, show::inside(t.name)),
        ),
    ))
}

/// What a trial says in a field.
type TrialSays = Box<dyn Fn(&Trial) -> Option<String>>;
/// What is typed, put into a trial.
type TrialSets = Box<dyn Fn(&mut Trial, String)>;

/// The same of one glass.
fn rung(at: usize, says: fn(&Rung) -> &String) -> TrialSays {
    Box::new(move |trial| trial.rungs.get(at).map(|r| says(r).clone()))
}

/// The trial of a treatment as it was typed.
fn typed_trial<'a>(wine: &'a Wine, key: &str) -> Option<&'a Trial> {
    wine.trials.iter().find(|t| t.treatment == key)
}

/// Its path in the file.
fn path(wine: &Wine, key: &str) -> String {
    let place = wine.trials.iter().position(|t| t.treatment == key);
    place.map_or_else(String::new, |i| format!("trials.{i}"))
}

/// The page.
pub fn page(id: &str, key: &str) -> Vec<Node> {
    let store = store();
    let (Some(mut wine), Some(t)) = (store.wine_now(id), treatment(key)) else {
        return no_wine(words::TRIAL);
    };
    // As it will be once something is typed; nothing is written before.
    let Some(begun) = write::open(&mut wine, t).cloned() else {
        let mut nodes = wine_head(id, &wine, words::TRIAL);
        nodes.push(line("p", "", words::NO_TRIAL));
        return nodes;
    };
    let at = path(&wine, key);
    // As it will be, checked.
    let dossier = Dossier::of(&wine);
    let wine_id = StoredValue::new(id.to_string());
    let glasses = blind(&dossier, t);
    let now = move || dossier_of(store, &wine_id.get_value());

    let found = move || now().and_then(|w| read(&w, t));
    let answer = Memo::new(move |_| found().map(|r| r.answer));
    let next = move || found().map_or(Vec::new(), |r| r.next);
    // Glasses are added and the page is drawn anew, since its fields were drawn from what stood
    // here before.
    let change = move |how: &dyn Fn(&mut Trial)| {
        store.edit(&wine_id.get_value(), &mut |w| {
            if let Some(trial) = write::open(w, t) {
                how(trial);
            }
        });
        store.page.update(|_| {});
    };
    // The unit of the readings stands in their labels.
    let mut before = None;
    follow(Box::new(move || {
        let q = now().and_then(|w| design(&w, t)).and_then(|d| d.quantity);
        if before.replace(q).is_some_and(|b| b != q) {
            store.page.update(|_| {});
        }
    }));
    let own = |what: &str, label: &str, numeric: bool, says: TrialSays, set: TrialSets| {
        let says = move |w: &Wine| typed_trial(w, t.key).and_then(says.as_ref());
        let set = move |w: &mut Wine, text: String| {
            if let Some(trial) = write::open(w, t) {
                set(trial, text);
            }
        };
        field(
            id,
            &wine,
            &format!("{at}.{what}"),
            label.to_string(),
            numeric,
            Box::new(says),
            Box::new(set),
        )
    };
    let unit = begun.quantity.map_or("", Quantity::read_in);
    let with_unit = |label: &str, unit: &str| {
        if unit.is_empty() {
            label.to_string()
        } else {
            format!("{label} ({unit})")
        }
    };
    // The limit of the heat test is one of the rise: who types the heated glass alone is told that
    // no dose does it.
    let rise = matches!(
        begun.quantity,
        Some(Quantity::HeatRise | Quantity::HeatRiseMild | Quantity::HeatRiseHard)
    );
    let reading = with_unit(if rise { words::RISE } else { words::READING }, unit);
    let dose_unit = t.dose.map_or("", |d| d.basis.label());
    let mut rows = Vec::new();
    let mut doses = Vec::new();
    for (i, r) in begun.rungs.iter().enumerate() {
        let set = move |set: fn(&mut Rung, String)| -> TrialSets {
            Box::new(move |trial, text| {
                if let Some(r) = trial.rungs.get_mut(i) {
                    set(r, text);
                }
            })
        };
        let legend = match r.dose.0.trim() {
            "0" => words::CONTROL.to_string(),
            dose => format!("{dose} {dose_unit}"),
        };
        let yes_no = begun.quantity.filter(|q| q.is_yes_no());
        let typed = || {
            own(
                &format!("rungs.{i}.reading"),
                &reading,
                true,
                rung(i, |r| &r.reading.0),
                Box::new(move |trial, text| write::type_reading(trial, i, text)),
            )
        };
        let score = own(
            &format!("rungs.{i}.score"),
            words::SCORE,
            true,
            rung(i, |r| &r.score.0),
            set(|r, text| r.score = AsTyped(text)),
        );
        let note = own(
            &format!("rungs.{i}.note"),
            words::SEEN,
            false,
            rung(i, |r| &r.note),
            set(|r, text| r.note = text),
        );
        let glass = format!("{} {}", words::GLASS, i + 1);
        let read = match yes_no {
            Some(q) => answered(id, t, i, q, &glass),
            None => stepped(
                &format!("{glass}, {}", show::inside(words::READING)),
                false,
                typed(),
            ),
        };
        let score = stepped(
            &format!("{glass}, {}", show::inside(words::TASTE)),
            true,
            score,
        );
        rows.push(el(
            "fieldset",
            "rung",
            vec![
                line("legend", "", legend),
                el("div", "pair", vec![read, score]),
                note,
            ],
        ));
        let dose = move |trial: &mut Trial, text: String| {
            if let Some(r) = trial.rungs.get_mut(i) {
                r.dose = AsTyped(in_own(&text, dose_unit));
            }
        };
        doses.push(own(
            &format!("rungs.{i}.dose"),
            &with_unit(&format!("{} {}", words::DOSE_OF, i + 1), dose_unit),
            true,
            rung(i, |r| &r.dose.0),
            Box::new(dose),
        ));
    }
    let beside: Vec<Node> = trial::order::partners(&dossier, t)
        .into_iter()
        .map(|p| {
            let says = move |trial: &Trial| {
                Some(
                    trial
                        .with
                        .iter()
                        .find(|w| w.treatment == p.key)
                        .map_or(String::new(), |w| w.dose.0.clone()),
                )
            };
            let unit = p.dose.map_or("", |d| d.basis.label());
            let give = move |trial: &mut Trial, text: String| {
                write::give_with(trial, p.key, in_own(&text, unit))
            };
            own(
                &format!("with.{}", p.key),
                &format!("{} ({unit})", p.name),
                true,
                Box::new(says),
                Box::new(give),
            )
        })
        .collect();
    doses.push(press(
        words::ADD_GLASS,
        Box::new(move || change(&|trial| trial.rungs.push(Rung::default()))),
    ));
    let mut parts = wine_head(id, &wine, format!("{}: {}", words::TRIAL, t.name));
    // What shuts it out is said before the glasses are filled.
    parts.extend(ruled(&dossier, t, None));
    parts.extend([
        with(
            "role",
            "status",
            telling(
                "p",
                "answer",
                Box::new(move || answer.get().unwrap_or_default()),
            ),
        ),
        samples(id, t),
        reads(id, &dossier, t),
        own(
            "stock_percent",
            words::STOCK_PERCENT,
            true,
            Box::new(|t| Some(t.stock_percent.0.clone())),
            Box::new(|t, text| t.stock_percent = AsTyped(text)),
        ),
        live(
            "div",
            "",
            Box::new(move || {
                now()
                    .and_then(|w| Some(instructions(&w, &design(&w, t)?, t)))
                    .unwrap_or_default()
            }),
        ),
        fold(
            "ladder",
            words::CHANGE_LADDER,
            vec![el("div", "fields", doses)],
        ),
        if beside.is_empty() {
            Node::text("")
        } else if begun.with.is_empty() {
            fold("ladder", words::BESIDE, beside)
        } else {
            with("open", "", fold("ladder", words::BESIDE, beside))
        },
        section(words::READINGS, glasses),
        press(
            words::SHUFFLE,
            Box::new(move || {
                change(&|trial| {
                    trial.shuffle = Some(next_glasses(trial.shuffle, &wine_id.get_value(), t.key))
                })
            }),
        ),
        own(
            "test",
            words::TEST_NAME,
            false,
            Box::new(|t| Some(t.test.clone())),
            Box::new(|t, text| t.test = text),
        ),
        hidden(
            Box::new(move || found().is_none_or(|r| r.outcome != Outcome::TwoTests)),
            one_test(id, t),
        ),
        own(
            "day",
            words::DAY,
            false,
            Box::new(|t| Some(t.day.clone())),
            Box::new(|t, text| t.day = text),
        ),
    ]);
    let add_next = move || {
        let more = untrack(next);
        change(&|trial| write::add(trial, &more));
    };
    let print = || {
        if let Some(w) = web_sys::window() {
            let _printed = w.print();
        }
    };
    let send = move || {
        let wine = store.wine_now(&wine_id.get_value()).unwrap_or_default();
        files::share("stillbright-bench-sheet.txt", words::TRIAL, sheet(wine, t));
    };
    let delete = move || {
        let all = store
            .wine_now(&wine_id.get_value())
            .map(|w| w.trials)
            .unwrap_or_default();
        let Some(place) = all.iter().rposition(|x| x.treatment == t.key) else {
            return;
        };
        let Some(gone) = all.get(place).cloned() else {
            return;
        };
        let back: Rc<dyn Fn(&mut Wine)> =
            Rc::new(move |w| w.trials.insert(place.min(w.trials.len()), gone.clone()));
        let out = &mut |w: &mut Wine| {
            if place < w.trials.len() {
                w.trials.remove(place);
            }
        };
        store.edit_lightly(&wine_id.get_value(), out, words::TRIAL_OUT, back);
        store.page.update(|_| {});
    };
    parts.extend(rows);
    let to = |p: Page| with("href", p.address(), line("a", "chip", p.title()));
    let onto = wine
        .plan
        .iter()
        .all(|p| p.treatment != t.key)
        .then(|| on_order(id, t))
        .flatten();
    parts.extend([
        own(
            "target",
            &with_unit(words::TARGET, unit),
            true,
            Box::new(|t| Some(t.target.0.clone())),
            Box::new(|t, text| t.target = AsTyped(text)),
        ),
        live(
            "div",
            "",
            Box::new(move || found().map(|r| says(&r)).unwrap_or_default()),
        ),
        hidden(
            Box::new(move || next().is_empty()),
            press(words::TRY_NEXT, Box::new(add_next)),
        ),
        own(
            "chosen",
            &with_unit(words::CHOSEN, dose_unit),
            true,
            Box::new(|t| Some(t.chosen.0.clone())),
            Box::new(move |t, text| t.chosen = AsTyped(in_own(&text, dose_unit))),
        ),
        // The dose goes on from here: onto the order, or to it where the treatment stands there.
        el(
            "p",
            "chips",
            [
                onto.unwrap_or_else(|| to(Page::Paper(id.into(), Sheet::Order))),
                to(Page::Routes(id.into(), Vec::new())),
            ]
            .into(),
        ),
        not_trialled(id, t),
        press(words::PRINT, Box::new(print)),
        press(words::SHARE, Box::new(send)),
        press(words::DELETE_TRIAL, Box::new(delete)),
    ]);
    parts
}

/// The sheet as a text: how to set it up, the glasses in their order, a line to fill in for each,
/// what the readings say.
fn sheet(mut wine: Wine, t: &'static Treatment) -> String {
    let _begun = write::open(&mut wine, t);
    let dossier = Dossier::of(&wine);
    let Some(d) = design(&dossier, t) else {
        return String::new();
    };
    let mut nodes = vec![
        line("h1", "", format!("{}: {}", words::TRIAL, t.name)),
        line("p", "", wine.name.clone()),
    ];
    nodes.extend(instructions(&dossier, &d, t));
    let codes = |g: &Glass| g.code.to_string();
    let glasses: Vec<String> = of_trial(&dossier, t.key, d.steps.len())
        .iter()
        .map(codes)
        .collect();
    let rows = glasses.iter().map(|code| {
        line(
            "p",
            "",
            format!(
                "{code}: {} ______ {} ______ {} ____________",
                words::READING,
                words::SCORE,
                words::SEEN
            ),
        )
    });
    nodes.push(section(words::READINGS, rows.collect()));
    nodes.extend(read(&dossier, t).iter().flat_map(says));
    text(&nodes)
}

fn press(label: &'static str, act: Box<dyn Fn()>) -> Node {
    el("p", "", vec![button("", label, Rc::new(move |_| act()))])
}

fn samples(id: &str, t: &'static Treatment) -> Node {
    let labels = ["100", "250", "500", "750"];
    let chip = |(ml, label): (f64, &'static str)| Chip {
        label,
        spoken: None,
        on: Arc::new(move |w| {
            design(&Dossier::of(w), t).is_some_and(|d| (d.sample_ml - ml).abs() < 0.5)
        }),
        tap: Rc::new(move |w| {
            if let Some(trial) = write::open(w, t) {
                trial.sample_ml = AsTyped(label.into());
            }
        }),
    };
    chips(
        id,
        words::SAMPLE,
        SAMPLES.into_iter().zip(labels).map(chip).collect(),
    )
}

/// What is read: the quantities the treatment acts on, or taste alone.
fn reads(id: &str, dossier: &Dossier, t: &'static Treatment) -> Node {
    let chip = |q: Option<Quantity>| Chip {
        label: q.map_or(words::TASTE_ALONE, |q| q.bare()),
        spoken: None,
        on: Arc::new(move |w| design(&Dossier::of(w), t).is_some_and(|d| d.quantity == q)),
        tap: Rc::new(move |w| {
            if let Some(trial) = write::open(w, t) {
                trial.quantity = q;
            }
        }),
    };
    let all = trial::quantities(dossier, t)
        .into_iter()
        .map(Some)
        .chain([None]);
    chips(id, words::READ_WHAT, all.map(chip).collect())
}

/// The reading of a glass that is a yes or a no.
fn answered(id: &str, t: &'static Treatment, rung: usize, of: Quantity, glass: &str) -> Node {
    let chip = |label: &'static str, text: &'static str| {
        let stands = move |w: &Wine| {
            typed_trial(w, t.key)
                .and_then(|trial| trial.rungs.get(rung))
                .is_some_and(|r| r.reading.0 == text)
        };
        Chip {
            label,
            spoken: Some(format!("{glass}, {}: {label}", show::inside(of.label()))),
            on: Arc::new(stands),
            tap: Rc::new(move |w| {
                let again = stands(w);
                if let Some(trial) = write::open(w, t) {
                    write::type_reading(
                        trial,
                        rung,
                        if again { String::new() } else { text.into() },
                    );
                }
            }),
        }
    };
    chips(
        id,
        of.label(),
        vec![chip(words::YES, YES), chip(words::NO, NO)],
    )
}

fn not_trialled(id: &str, t: &'static Treatment) -> Node {
    let chip = Chip {
        label: words::NOT_TRIALLED_YES,
        spoken: None,
        on: Arc::new(move |w| typed_trial(w, t.key).is_some_and(|trial| trial.not_trialled)),
        tap: Rc::new(move |w| {
            if let Some(trial) = write::open(w, t) {
                trial.not_trialled = !trial.not_trialled;
            }
        }),
    };
    chips(id, words::NOT_TRIALLED, vec![chip])
}

/// Says that the readings typed under another name were made with the test now named.
fn one_test(id: &str, t: &'static Treatment) -> Node {
    let chip = Chip {
        label: words::ONE_TEST,
        spoken: None,
        on: Arc::new(|_| false),
        tap: Rc::new(move |w| {
            if let Some(trial) = write::open(w, t) {
                write::one_test(trial);
            }
        }),
    };
    chips(id, words::ONE_TEST_LEAD, vec![chip])
}

fn head(cells: Vec<String>) -> Node {
    let cells = cells
        .into_iter()
        .map(|h| Node::with("scope", "col".into(), line("th", "", h)))
        .collect();
    el("thead", "", vec![el("tr", "", cells)])
}

/// How to set the trial up: stock, glasses, contact, reading, tasting, other agents.
fn instructions(dossier: &Dossier, d: &Design, t: &'static Treatment) -> Vec<Node> {
    let mut nodes: Vec<Node> = cautions(t).into_iter().collect();
    let rules = |part: BenchPart| {
        trial::rules(part, t.key, d.quantity)
            .map(|b| fact(&b.rule))
            .collect::<Vec<_>>()
    };
    let mut glass = Vec::new();
    if !d.forbidden.is_empty() {
        let markets: Vec<&str> = d.forbidden.iter().map(|m| m.label()).collect();
        glass.push(line(
            "p",
            "mark",
            format!("Not permitted: {}.", markets.join(", ")),
        ));
    } else if let Some(open) = d.legality.filter(|l| l.is_open()) {
        glass.push(line("p", "mark", open.label()));
    }
    glass.push(line("p", "", stock(d, t)));
    glass.push(el("ul", "facts", rules(BenchPart::Stock)));
    glass.extend(d.notes.iter().map(|n| line("p", "mark", n.clone())));
    // Where no rung is over a limit there is nothing to say of the law here.
    let capped = d.steps.iter().any(|s| !s.over.is_empty());
    let rows = d.steps.iter().map(|s| {
        let much = match (s.millilitres, s.milligrams) {
            (Some(ml), _) => format!("{} mL", show::fixed(ml, 2)),
            (None, Some(mg)) => format!("{} mg", show::fixed(mg, 1)),
            (None, None) => String::new(),
        };
        let over: Vec<&str> = s.over.iter().map(|m| m.label()).collect();
        let law = if over.is_empty() {
            String::new()
        } else {
            format!("over the limit, not to be used there: {}", over.join(", "))
        };
        let much = if s.dose > 0.0 {
            much
        } else {
            format!("{} mL of water", show::fixed(d.control_ml, 2))
        };
        let mut cells = vec![line("td", "", dose_text(s.dose)), line("td", "", much)];
        cells.extend(capped.then(|| line("td", "", law)));
        el("tr", if over.is_empty() { "" } else { "over" }, cells)
    });
    let what = match d.dosing {
        Dosing::Stock(_) => "Stock",
        Dosing::Liquid(_) => "Liquid",
        Dosing::Dry => "Weighed",
    };
    glass.push(el(
        "table",
        "",
        vec![
            line(
                "caption",
                "",
                format!("For {} mL of wine in each glass.", dose_text(d.sample_ml)),
            ),
            head(
                [d.unit, what]
                    .into_iter()
                    .chain(capped.then_some(words::LAW))
                    .map(String::from)
                    .collect(),
            ),
            el("tbody", "", rows.collect()),
        ],
    ));
    for b in &d.with {
        let facts = b.treatment.dose;
        let much = match (b.step.millilitres, b.dosing) {
            (Some(ml), Dosing::Stock(percent)) => format!(
                "{} mL of a stock of {} %",
                show::fixed(ml, 2),
                show::plain(percent)
            ),
            (Some(ml), Dosing::Liquid(parts)) if parts > 1.0 => format!(
                "{} mL of 1 part made up to {}",
                show::fixed(ml, 2),
                show::plain(parts)
            ),
            (Some(ml), _) => format!("{} mL as it is", show::fixed(ml, 2)),
            (None, _) => format!(
                "{} mg weighed",
                show::fixed(b.step.milligrams.unwrap_or(0.0), 1)
            ),
        };
        let place = if b.first { "before" } else { "after" };
        let unit = facts.map_or("", |d| d.basis.label());
        glass.push(line(
            "p",
            "",
            format!(
                "Into every glass, {place} this agent: {}, {} {unit}: {much}.",
                b.treatment.name,
                dose_text(b.step.dose)
            ),
        ));
        let over: Vec<&str> = b.step.over.iter().map(|m| m.label()).collect();
        if !over.is_empty() {
            glass.push(line(
                "p",
                "mark",
                format!(
                    "{}: not to be used at this dose in {}.",
                    b.treatment.name,
                    over.join(", ")
                ),
            ));
        }
    }
    if !d.with.is_empty() {
        glass.push(line("p", "", words::BESIDE_BLANK));
    }
    nodes.push(section(words::LADDER, glass));
    let mut treat: Vec<Node> = t.contact.iter().map(fact).collect();
    if let Some(c) = &t.temperature {
        treat.push(known(
            vec![Node::text(format!(
                "Wine at {} °C.",
                show::range(c.low, c.high)
            ))],
            standing(c.standing.label(), c.source),
        ));
    }
    treat.extend(rules(BenchPart::Glasses));
    let mut reading = rules(BenchPart::Reading);
    reading.extend(rules(BenchPart::Tasting));
    reading.extend(t.over.iter().map(fact));
    let order = rules_on_order(dossier, t, &|_| true);
    let order = order.iter().filter_map(Bearing::why).map(fact);
    let order: Vec<Node> = std::iter::once(line("li", "", words::SEVERAL))
        .chain(order)
        .collect();
    let prepared = t.preparation.iter().map(fact).collect();
    for (heading, list) in [
        (words::PREPARATION, prepared),
        (words::SAME_WAY, treat),
        (words::READ_TASTE, reading),
        (words::OTHERS, order),
    ] {
        nodes.push(el(
            "details",
            "",
            vec![line("summary", "", heading), el("ul", "facts", list)],
        ));
    }
    nodes
}

/// The numbered glasses in the order to taste, and the key to them, folded away.
fn blind(dossier: &Dossier, t: &'static Treatment) -> Vec<Node> {
    let Some(d) = design(dossier, t) else {
        return Vec::new();
    };
    let numbered = of_trial(dossier, t.key, d.steps.len());
    let codes: Vec<String> = numbered.iter().map(|g| g.code.to_string()).collect();
    let key = numbered.iter().map(|g| {
        let dose = d.steps.get(g.rung).map_or(0.0, |s| s.dose);
        line(
            "li",
            "",
            format!(
                "{}: {}",
                g.code,
                if dose > 0.0 {
                    format!("{} {}", dose_text(dose), d.unit)
                } else {
                    words::CONTROL.into()
                }
            ),
        )
    });
    let key = el(
        "details",
        "key",
        vec![
            line("summary", "", words::BLIND_KEY),
            el("ul", "facts", key.collect()),
        ],
    );
    vec![
        line("p", "kind", words::BLIND_ORDER),
        line("p", "codes", codes.join(" · ")),
        key,
    ]
}

fn stock(d: &Design, t: &Treatment) -> String {
    let counted = t.dose.map_or("", |d| d.counted_as);
    match (d.dosing, d.make) {
        // Too little to weigh: by way of a 1 % stock.
        (Dosing::Stock(percent), Some((ml, grams))) if grams < 0.05 => format!(
            "Stock {} %: 1 g ({counted}) made up to 100 mL; {} mL of that made up to {} mL.",
            show::plain(percent),
            show::fixed(percent * ml, 2),
            show::plain(ml)
        ),
        (Dosing::Stock(percent), Some((ml, grams))) => {
            format!(
                "Stock {} %: {} g ({counted}) made up to {} mL.",
                show::plain(percent),
                show::plain(grams),
                show::plain(ml)
            )
        }
        (Dosing::Liquid(_), Some((ml, own))) => format!(
            "{counted}: {} mL made up to {} mL with water.",
            show::plain(own),
            show::plain(ml)
        ),
        (Dosing::Liquid(_), None) => format!("{counted}: drawn as it is."),
        (_, _) => format!("Weigh it into the glass ({counted})."),
    }
}

const LEFT: f64 = 34.0;
const RIGHT: f64 = 328.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 186.0;

/// What the readings say.
fn says(r: &Reading) -> Vec<Node> {
    // It stands at the top of the page too, screens away from the last reading.
    let mut parts = vec![line("p", "kind", r.answer.clone())];
    parts.extend(r.notes.iter().map(|n| line("p", "mark", n.clone())));
    let yes_no = r.quantity.is_some_and(Quantity::is_yes_no);
    if let Some(c) = r.ceiling {
        let unit = r.quantity.map_or("", |q| q.facts().unit);
        let (why, source) = r.why;
        let how = if why.is_empty() {
            words::TARGET.to_string()
        } else {
            standing(why, source)
        };
        parts.push(line(
            "p",
            "soft",
            if yes_no {
                how
            } else {
                format!("Below {} {unit}. {how}", show::plain(c))
            },
        ));
    }
    let number = |x: Option<f64>| x.map_or("–".to_string(), show::plain);
    // Glasses of one dose that differ stand between yes and no.
    let value = |x: Option<f64>| match x {
        Some(v) if yes_no && v <= 0.0 => words::NO.to_string(),
        Some(v) if yes_no && v >= 1.0 => words::YES.to_string(),
        other => number(other),
    };
    let rows = r.at.iter().map(|a| {
        let fit = a.fit.map_or("–".to_string(), |[low, middle, high]| {
            format!("{} ({})", show::plain(middle), show::range(low, high))
        });
        let stand = if a.over_cap {
            words::OVER_LIMIT
        } else if a.outlier {
            words::OUT_OF_LINE
        } else {
            a.stand.label()
        };
        el(
            "tr",
            "",
            vec![
                line("td", "", dose_text(a.dose)),
                line("td", "", value(a.value)),
                line("td", "", if yes_no { "–".to_string() } else { fit }),
                line("td", "", number(a.score)),
                line("td", "", stand),
            ],
        )
    });
    let body = rows.collect();
    let heads = vec![
        r.unit.to_string(),
        words::READING.into(),
        words::FIT.into(),
        words::TASTE.into(),
        words::LIMIT.into(),
    ];
    parts.extend(chart(
        r,
        el(
            "table",
            "",
            vec![
                line("caption", "", words::FIT_LEAD),
                head(heads),
                el("tbody", "", body),
            ],
        ),
    ));
    parts.extend(
        trial::rules(BenchPart::After, "", None).map(|b| el("ul", "facts", vec![fact(&b.rule)])),
    );
    vec![section(words::SAYS, parts)]
}

/// Readings over doses on a root scale: points, the never-rising fit with its band, the limit and
/// the rung that counts.
fn chart(r: &Reading, table: Node) -> Vec<Node> {
    let highest =
        r.at.iter()
            .filter_map(|a| Some(a.value?.max(a.fit.map_or(0.0, |f| f[2]))))
            .reduce(f64::max);
    // A yes and a no make no curve.
    if r.quantity.is_some_and(Quantity::is_yes_no) {
        return vec![table];
    }
    let (Some(top), Some(highest)) = (r.at.last().map(|a| a.dose).filter(|d| *d > 0.0), highest)
    else {
        return vec![table];
    };
    let most = highest.max(r.ceiling.unwrap_or(0.0)).max(1e-6) * 1.08;
    let x = |d: f64| LEFT + 8.0 + d / top * (RIGHT - LEFT - 16.0);
    let y = |v: f64| BOTTOM - libm::sqrt(v.max(0.0) / most) * (BOTTOM - TOP);
    let fits: Vec<(f64, [f64; 3])> = r.at.iter().filter_map(|a| Some((a.dose, a.fit?))).collect();
    // Steps: a value holds until the next dose.
    let steps = |pick: fn(&[f64; 3]) -> f64| {
        let ends = fits
            .iter()
            .skip(1)
            .map(|f| f.0)
            .chain(fits.last().map(|f| f.0));
        fits.iter()
            .zip(ends)
            .flat_map(|((d, f), end)| [(x(*d), y(pick(f))), (x(end), y(pick(f)))])
            .collect::<Vec<_>>()
    };
    let mut band = steps(|f| f[2]);
    band.extend(steps(|f| f[0]).into_iter().rev());
    let mut frame = vec![
        through("polygon", "band", &band),
        axes(LEFT, RIGHT, TOP, BOTTOM),
        through("polyline", "solid", &steps(|f| f[1])),
    ];
    for (limit, name) in [(r.ceiling, "limit"), (r.floor, "at least")] {
        if let Some(v) = limit {
            frame.push(stroke((LEFT, y(v)), (RIGHT, y(v)), "dashed"));
            frame.push(label(
                (RIGHT, y(v) - 5.0),
                "end",
                &format!("{name} {}", show::plain(v)),
            ));
        }
    }
    let counts = r.chosen.or(r.recommended);
    let (mut marks, mut free) = (Vec::new(), f64::MIN);
    for a in &r.at {
        // A dose whose number would stand on the one before goes without; the table has it.
        let dose = dose_text(a.dose);
        let half = width(&dose) / 2.0;
        if x(a.dose) - half > free {
            free = x(a.dose) + half + 2.0;
            frame.push(label((x(a.dose), BOTTOM + 18.0), "middle", &dose));
        }
        let Some(v) = a.value else { continue };
        let mut mark = vec![circle(
            (x(a.dose), y(v)),
            4.0,
            if a.outlier || a.stand == Stand::Doubtful {
                "hollow"
            } else {
                ""
            },
        )];
        if counts.is_some_and(|c| (c - a.dose).abs() < 1e-9) {
            mark.push(circle((x(a.dose), y(v)), 9.0, "ring"));
        }
        marks.push(group(mark));
    }
    for share in [0.0, 0.25, 1.0] {
        let v = most / 1.08 * share;
        frame.push(label((LEFT - 4.0, y(v) + 4.0), "end", &show::plain(v)));
    }
    let mut says = format!(
        "{} readings over doses of 0 to {} {}.",
        marks.len(),
        dose_text(top),
        r.unit
    );
    if let Some(c) = counts {
        says.push_str(&format!(" Ringed: {} {}.", dose_text(c), r.unit));
    }
    Picture {
        key: "bench",
        title: words::BENCH_CURVE,
        says,
        height: 210.0,
        frame,
        marks,
        table,
    }
    .nodes()
    .into()
}
