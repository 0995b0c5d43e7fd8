//! Sheets for paper: work order, log, fit to bottle, request to a laboratory, summary. What can be
//! changed stands above the
//! sheet and is not printed.

use super::dossiers::{dossier_now, dossier_of};
use super::page::{Page, Sheet};
use super::paper::{Node, button, el, fold, line, live, shown_lines, with};
use super::parts::{Chip, chips, field, no_wine, unreviewed, wine_head};
use super::store::store;
use super::{chain, files, log_page, words};
use crate::case::{Planned, confirmation};
use crate::dossier::Dossier;
use crate::knowledge::{LastCheck, Treatment, treatment};
use crate::law;
use crate::obligations::{What, obligations, smell_key};
use crate::units::read::in_own;
use crate::units::{day::Day, show};
use crate::wine::*;
use crate::work_order::order::work_order;
use crate::work_order::ready::{of_ready, ready};
use crate::work_order::sheet::{self, Block, Line};
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;

/// The page.
pub fn page(id: &str, kind: Sheet) -> Vec<Node> {
    let store = store();
    let Some(wine) = store.wine_now(id) else {
        return no_wine(kind.label());
    };
    let id = StoredValue::new(id.to_string());
    let blocks = move || {
        dossier_of(store, &id.get_value())
            .map(|c| blocks(&c, kind, store.today()))
            .unwrap_or_default()
    };
    let edit = match kind {
        Sheet::Order => vec![plan(id)],
        Sheet::Log => log_page::form(id),
        Sheet::Ready => vec![looked_at(id, &wine), without(id, &wine)],
        Sheet::Laboratory | Sheet::Client => Vec::new(),
    };
    let sheet = move || {
        let mut nodes: Vec<Node> = store
            .today()
            .iter()
            .map(|d| line("p", "soft", format!("{} {}", words::AS_OF, d.show())))
            .collect();
        nodes.extend(unreviewed());
        for (i, block) in blocks().iter().enumerate() {
            nodes.push(node(block));
            // Below the head of the sheet.
            if i == 0 && kind == Sheet::Order {
                nodes.extend(
                    dossier_now(store, &id.get_value())
                        .and_then(|c| chain::of_order(&c, &work_order(&c))),
                );
            }
        }
        nodes
    };
    let links = Sheet::ALL.iter().map(|s| {
        if *s == kind {
            with("aria-current", "page", line("span", "chip", s.label()))
        } else {
            with(
                "href",
                Page::Paper(id.get_value(), *s).address(),
                line("a", "chip", s.label()),
            )
        }
    });
    let share = move |_| {
        files::share(
            file_name(kind),
            kind.label(),
            shown_lines(&sheet::text(kind.label(), &untrack(blocks))),
        )
    };
    let mut nodes = wine_head(&id.get_value(), &wine, kind.label());
    nodes.extend(edit);
    nodes.push(live("div", "sheet", Box::new(sheet)));
    nodes.extend([
        el(
            "p",
            "chips",
            vec![
                button("chip", words::PRINT_PAPER, Rc::new(|_| files::print())),
                button("chip", words::SHARE, Rc::new(share)),
            ],
        ),
        with(
            "aria-label",
            words::PAPERS,
            el("nav", "chips", links.collect()),
        ),
    ]);
    nodes
}

const fn file_name(kind: Sheet) -> &'static str {
    match kind {
        Sheet::Order => "stillbright-work-order.txt",
        Sheet::Log => "stillbright-log.txt",
        Sheet::Ready => "stillbright-ready-for-the-line.txt",
        Sheet::Laboratory => "stillbright-laboratory.txt",
        Sheet::Client => "stillbright-summary.txt",
    }
}

fn blocks(dossier: &Dossier, kind: Sheet, today: Option<Day>) -> Vec<Block> {
    match kind {
        Sheet::Order => sheet::of_order(dossier, &work_order(dossier)),
        Sheet::Log => vec![sheet::head(dossier), sheet::log(dossier)],
        Sheet::Ready => of_ready(dossier, &ready(dossier, today)),
        Sheet::Laboratory => sheet::laboratory(dossier, today),
        Sheet::Client => sheet::client(dossier, &ready(dossier, today)),
    }
}

fn node(block: &Block) -> Node {
    let said = |l: &Line| match l {
        Line::Strong(t) => line("p", "kind", t.clone()),
        Line::Say(t) => line("p", "", t.clone()),
        Line::Mark(t) => line("p", "mark", t.clone()),
        Line::Caution(t) => el(
            "p",
            "caution",
            vec![
                line("strong", "", words::CAUTION),
                Node::text(format!(" {t}")),
            ],
        ),
        Line::Known(t, how) => el(
            "p",
            "",
            vec![
                Node::text(format!("{t} ")),
                line("span", "standing", how.clone()),
            ],
        ),
        Line::Sign(t) => line("p", "sign", *t),
    };
    // For the hand in the cellar: what, how much, when, and what speaks against it or may hurt; the
    // rest unfolds. Paper shows all, in this order.
    let mut children = vec![line("h2", "", block.heading.clone())];
    children.extend(
        block
            .brief
            .iter()
            .enumerate()
            .map(|(i, t)| line("p", if i == 0 { "kind" } else { "soft" }, t.clone())),
    );
    children.extend(block.lines.iter().map(said));
    if !block.more.is_empty() {
        let summary = if block.more.iter().any(|l| matches!(l, Line::Sign(_))) {
            words::IN_FULL
        } else {
            words::GO_ON
        };
        children.push(fold("", summary, block.more.iter().map(said).collect()));
    }
    el("section", "", children)
}

/// The steps of the plan with their doses. Made anew only when the steps change, so that typing
/// keeps its place.
fn plan(id: StoredValue<String>) -> Node {
    let store = store();
    // What is done is said so, and has nothing to type.
    let keys = Memo::new(move |_| {
        let dossier = dossier_of(store, &id.get_value())?;
        let tests = |p: &Planned| {
            p.measure
                .iter()
                .map(|q| q.key())
                .collect::<Vec<_>>()
                .concat()
        };
        Some(
            dossier
                .plan
                .iter()
                .zip(dossier.done_by())
                .map(|(p, by)| format!("{}{}{}{} ", p.key, tests(p), p.day.words(), by.len()))
                .collect::<String>(),
        )
    });
    let steps = move || {
        let keys = keys.get().unwrap_or_default();
        let wine = store.wine_now(&id.get_value()).unwrap_or_default();
        if wine.plan.is_empty() || keys.is_empty() {
            let to = Page::Treatments(id.get_value(), None).address();
            return vec![
                line("p", "lead", words::EMPTY_PLAN),
                with("href", to, line("a", "chip", words::SEE_TREATMENTS)),
            ];
        }
        let mut views = Vec::new();
        let dossier = dossier_now(store, &id.get_value()).unwrap_or_default();
        for (i, (p, by)) in dossier.plan.iter().zip(dossier.done_by()).enumerate() {
            let state = match (by.is_empty(), dossier.measured_at(i)) {
                (false, _) => words::IN_LOG,
                (true, true) => words::MEASURED,
                (true, false) => {
                    plan_step(&mut views, &id.get_value(), &wine, i, &p.key);
                    continue;
                }
            };
            let name = p
                .treatment
                .map_or_else(|| measures(&p.measure), |t| t.name.to_string());
            views.push(line(
                "p",
                "soft",
                format!("✓ {}. {name}: {}", i + 1, show::inside(state)),
            ));
        }
        views
    };
    let plan = fold(
        "edit",
        words::EDIT_PLAN,
        vec![live("div", "", Box::new(steps))],
    );
    // Open while there is something to give here.
    let dossier = dossier_now(store, &id.get_value()).unwrap_or_default();
    let whole = !dossier.plan.is_empty()
        && work_order(&dossier)
            .steps
            .iter()
            .all(|s| s.dose.as_ref().err().is_none_or(|why| why.is_empty()));
    if whole { plan } else { with("open", "", plan) }
}

/// What a step of the plan measures.
fn measures(quantities: &[Quantity]) -> String {
    format!(
        "{}: {}",
        words::MEASURE,
        show::listed(&quantities.iter().map(|q| q.label()).collect::<Vec<_>>())
    )
}

fn plan_step(views: &mut Vec<Node>, id: &str, wine: &Wine, at: usize, key: &str) {
    let t = treatment(key);
    let name = t.map_or_else(|| key.to_string(), |t| t.name.to_string());
    let dosed = t
        .filter(|t| !matches!(t.access, Access::Licensed | Access::Trained))
        .and_then(|t| t.dose);
    let dose = dosed.map(|d| {
        let says = move |w: &Wine| w.plan.get(at).map(|p| p.dose.0.clone());
        let set = move |w: &mut Wine, text: String| {
            if let Some(p) = w.plan.get_mut(at) {
                p.dose = AsTyped(in_own(&text, d.basis.label()));
            }
        };
        field(
            id,
            wine,
            &format!("plan.{at}.dose"),
            format!("{}. {name} ({})", at + 1, d.basis.label()),
            true,
            Box::new(says),
            Box::new(set),
        )
    });
    let mut options = Vec::new();
    if let Some(t) = t.filter(|_| dosed.is_some_and(|d| d.by_trial)) {
        options.push(Chip {
            label: words::ANSWER_FOR,
            spoken: Some(format!("{name}: {}", words::ANSWER_FOR)),
            on: Arc::new(move |w| {
                w.trials
                    .iter()
                    .any(|x| x.treatment == t.key && x.not_trialled)
            }),
            tap: Rc::new(
                move |w| match w.trials.iter_mut().rfind(|x| x.treatment == t.key) {
                    Some(trial) => trial.not_trialled = !trial.not_trialled,
                    None => w.trials.push(Trial {
                        treatment: t.key.into(),
                        not_trialled: true,
                        ..Trial::default()
                    }),
                },
            ),
        });
    }
    let move_it = |label: &'static str, tap: Rc<dyn Fn(&mut Wine)>| Chip {
        label,
        spoken: Some(format!("{name}: {label}")),
        on: Arc::new(|_| false),
        tap,
    };
    if at > 0 {
        options.push(move_it(
            words::EARLIER,
            Rc::new(move |w| w.plan.swap(at - 1, at)),
        ));
    }
    let store = store();
    let of = id.to_string();
    let take_out = move |_| {
        let Some(step) = store.wine_now(&of).and_then(|w| w.plan.get(at).cloned()) else {
            return;
        };
        let back: Rc<dyn Fn(&mut Wine)> =
            Rc::new(move |w| w.plan.insert(at.min(w.plan.len()), step.clone()));
        let out = &mut |w: &mut Wine| {
            if at < w.plan.len() {
                w.plan.remove(at);
            }
        };
        store.edit_lightly(&of, out, words::STEP_OUT, back);
    };
    // A step that measures has its day, and no field.
    let test = wine.plan.get(at).filter(|p| p.is_test());
    let measured = test.map(|p| measures(&p.measure));
    let name = measured.clone().unwrap_or(name);
    views.extend(measured.map(|what| {
        let day = wine
            .plan
            .get(at)
            .map(|p| p.day.trim())
            .filter(|d| !d.is_empty())
            .map_or(String::new(), |d| format!("{}: ", Day::tidy(d)));
        line("p", "soft", format!("{}. {day}{what}", at + 1))
    }));
    let legend = if test.is_some() {
        words::MEASURE
    } else {
        t.map_or(words::WHAT, |t| t.name)
    };
    views.extend(dose);
    if let Some(t) = t.filter(|_| dosed.is_some()) {
        confirmed(views, id, wine, t);
    }
    let out = with(
        "aria-label",
        format!("{name}: {}", words::TAKE_OUT),
        button("chip", words::TAKE_OUT, Rc::new(take_out)),
    );
    let group = chips(id, legend, options);
    if let Ok(Some(row)) = group.element().query_selector(".chips") {
        // The trial before the word that there was none.
        let dossier = dossier_now(store, id).unwrap_or_default();
        if let Some(trial) = super::trial_page::to_trial(id, &dossier, key) {
            let _added = row.insert_before(trial.element(), row.first_child().as_ref());
        }
        let _added = row.append_child(out.element());
    }
    views.push(group);
}

/// What is passed or failed before the line, at it and before release.
fn looked_at(id: StoredValue<String>, wine: &Wine) -> Node {
    let dossier = dossier_now(store(), &id.get_value()).unwrap_or_default();
    let today = store().today().map(Day::show).unwrap_or_default();
    let owed = obligations(&dossier, &dossier.to_do());
    let mut rows = Vec::new();
    for due in Due::ALL {
        let mut heading = Some(line("h2", "", due.label()));
        for o in owed.iter().filter(|o| o.due == *due && o.reads().is_none()) {
            rows.extend(heading.take());
            match o.what {
                What::Smell(check, f) => {
                    tasted(&mut rows, &id.get_value(), wine, &today, check, f.problem);
                }
                What::Check(check) => checked(&mut rows, &id.get_value(), wine, &today, check),
                What::Stability(_) | What::TotalSo2 => {}
            }
        }
    }
    fold("edit", words::LOOKED_AT, rows)
}

/// A check that is passed or failed, with its day.
fn checked(rows: &mut Vec<Node>, id: &str, wine: &Wine, today: &str, c: &'static LastCheck) {
    let signed = Signed {
        key: c.key.into(),
        name: c.name.into(),
        about: c.name,
        answers: &[(words::PASSED, true), (words::FAILED, false)],
        by: None,
    };
    signed.push(rows, id, wine, today);
}

/// Who answers for doing without a proof, why and since when.
fn without(id: StoredValue<String>, wine: &Wine) -> Node {
    let dossier = dossier_now(store(), &id.get_value()).unwrap_or_default();
    let record = ready(&dossier, store().today());
    let mut rows = vec![line("p", "soft", words::WITHOUT_LEAD)];
    for row in &record.evidence {
        let Some(key) = row.waive.clone() else {
            continue;
        };
        let written = dossier.waiver(&key).is_some();
        if row.is_open() || written {
            let mut fields = Vec::new();
            waiver(&mut fields, &id.get_value(), wine, &row.name, &key);
            let proof = fold("", &row.name, fields);
            rows.push(if written {
                with("open", "", proof)
            } else {
                proof
            });
        }
    }
    fold("edit", words::WITHOUT, rows)
}

/// One line of what is written on doing without a proof: how it is read and set.
struct WaiverField {
    name: &'static str,
    label: &'static str,
    read: fn(&Waived) -> &String,
    place: fn(&mut Waived) -> &mut String,
}

const WAIVER_FIELDS: [WaiverField; 3] = [
    WaiverField {
        name: "by",
        label: words::ANSWERS_FOR,
        read: |w| &w.by,
        place: |w| &mut w.by,
    },
    WaiverField {
        name: "reason",
        label: words::REASON,
        read: |w| &w.reason,
        place: |w| &mut w.reason,
    },
    WaiverField {
        name: "day",
        label: words::DAY_DONE,
        read: |w| &w.day,
        place: |w| &mut w.day,
    },
];

fn waiver(rows: &mut Vec<Node>, id: &str, wine: &Wine, name: &str, key: &str) {
    let key: Rc<str> = key.into();
    for of in WAIVER_FIELDS {
        let (read, place) = (of.read, of.place);
        let (shown, written) = (key.clone(), key.clone());
        rows.push(field(
            id,
            wine,
            &format!("waived.{key}.{}", of.name),
            format!("{name}: {}", of.label),
            false,
            Box::new(move |w: &Wine| {
                let found = w.waived.iter().find(|x| *x.key == *shown);
                Some(found.map(|x| read(x).clone()).unwrap_or_default())
            }),
            Box::new(move |w: &mut Wine, text: String| *place(w.waive(&written)) = text),
        ));
    }
}

/// Whether a smell is gone, when it was tasted and by whom.
fn tasted(
    rows: &mut Vec<Node>,
    id: &str,
    wine: &Wine,
    today: &str,
    check: &'static LastCheck,
    problem: Problem,
) {
    rows.push(line("p", "kind", check.name));
    let signed = Signed {
        key: smell_key(check, problem).into(),
        name: format!("{}: {}", check.name, show::inside(problem.label())),
        about: problem.label(),
        answers: &[(words::GONE, true), (words::STILL_THERE, false)],
        by: Some(words::TASTED_BY),
    };
    signed.push(rows, id, wine, today);
}

/// For each market whose law is to be confirmed for a step: that it was, when and by whom.
fn confirmed(views: &mut Vec<Node>, id: &str, wine: &Wine, t: &'static Treatment) {
    let dossier = dossier_now(store(), id).unwrap_or_default();
    let today = store().today().map(Day::show).unwrap_or_default();
    for f in law::open(&dossier.law(t)) {
        let asked = law::authorities(&[f]).concat();
        views.push(line(
            "p",
            "mark",
            format!("{}: {asked}", f.legality.label()),
        ));
        let signed = Signed {
            key: confirmation(t.material, f.market).into(),
            name: format!("{}, {}", t.name, f.market.label()),
            about: f.market.label(),
            answers: &[(words::CONFIRMED, true)],
            by: Some(words::ASKED_BY),
        };
        signed.push(views, id, wine, &today);
    }
}

/// Something answered on a day, and by whom where that is asked: a record keeps it under a key.
struct Signed {
    key: Rc<str>,
    /// What it is about, for who hears the page.
    name: String,
    /// Above its answers.
    about: &'static str,
    /// The answers, and whether each passes.
    answers: &'static [(&'static str, bool)],
    /// Above the field of who did it, where that is asked.
    by: Option<&'static str>,
}

impl Signed {
    fn chip(&self, (label, value): (&'static str, bool), today: &str) -> Chip {
        let (today, shown, written) = (today.to_string(), self.key.to_string(), self.key.clone());
        Chip {
            label,
            spoken: Some(format!("{}: {label}", self.name)),
            on: Arc::new(move |w: &Wine| {
                w.checked(&shown).is_some_and(|x| x.passed == Some(value))
            }),
            tap: Rc::new(move |w: &mut Wine| {
                let looked = w.check(&written);
                looked.passed = if looked.passed == Some(value) {
                    None
                } else {
                    Some(value)
                };
                if looked.passed.is_some() && looked.day.is_empty() {
                    looked.day.clone_from(&today);
                }
            }),
        }
    }

    /// Its answers, its day and, where that is asked, who did it.
    fn push(self, rows: &mut Vec<Node>, id: &str, wine: &Wine, today: &str) {
        let options = self.answers.iter().map(|a| self.chip(*a, today)).collect();
        rows.push(chips(id, self.about, options));
        rows.push(self.field(id, wine, "day", words::DAY_DONE, |x| &x.day, |x| &mut x.day));
        if let Some(by) = self.by {
            rows.push(self.field(id, wine, "by", by, |x| &x.by, |x| &mut x.by));
        }
    }

    /// One field of what is kept: how it is read and where it is written.
    fn field(
        &self,
        id: &str,
        wine: &Wine,
        of: &str,
        label: &str,
        read: fn(&Checked) -> &String,
        place: fn(&mut Checked) -> &mut String,
    ) -> Node {
        let (shown, written) = (self.key.clone(), self.key.clone());
        field(
            id,
            wine,
            &format!("checks.{}.{of}", self.key),
            format!("{}: {label}", self.name),
            false,
            Box::new(move |w: &Wine| {
                Some(
                    w.checked(&shown)
                        .map(|x| read(x).clone())
                        .unwrap_or_default(),
                )
            }),
            Box::new(move |w: &mut Wine, text: String| *place(w.check(&written)) = text),
        )
    }
}
