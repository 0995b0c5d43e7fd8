//! One treatment, whole: how it works, dose and ladder, preparation, order, over-treatment, label,
//! law, cautions, and the
//! source and standing of every figure.

use super::dossiers::dossier_now;
use super::page::{Page, Sheet};
use super::paper::{Node, button, el, line, link, section, with};
use super::parts::{entries, fact, facts, head, known, standing, unreviewed};
use super::store::store;
use super::words;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law;
use crate::rules::{self, Before};
use crate::treatment::{Span, germs};
use crate::units::show;
use crate::wine::*;

/// The page.
pub fn page(id: String, problem: Problem, key: String) -> Vec<Node> {
    let store = store();
    let back = Page::Treatments(id.clone(), Some(problem));
    let (Some(wine), Some(dossier), Some(t)) = (
        store.wine_now(&id),
        dossier_now(store, &id),
        treatment(&key),
    ) else {
        return vec![
            line("h1", "", words::LOST),
            el(
                "p",
                "",
                vec![link(back.address(), vec![Node::text(words::TREATMENTS)])],
            ),
        ];
    };
    super::page::entitle(t.name);
    let order = rules::order::bearing(&dossier, t, &|_| true)
        .iter()
        .filter_map(|b| {
            let why = b.why()?;
            Some(known(
                vec![
                    line("strong", "", b.verdict.label()),
                    Node::text(format!(": {}", b.text)),
                ],
                standing(why.standing.label(), why.source),
            ))
        })
        .collect();
    let voids: Vec<&str> = crate::state::voids(t).iter().map(|q| q.label()).collect();
    let mut nodes = head(&back, problem.label(), t.name);
    nodes.push(line("p", "answer", t.summary));
    nodes.push(ways(&id, &dossier, problem, t));
    nodes.extend(ruled(&dossier, t, Some(problem)));
    let hire: Vec<Node> = crate::treatment::suit::to_hire(&dossier, t)
        .iter()
        .flat_map(|k| COSTLY.iter().filter(|c| c.kit == *k))
        .map(|c| {
            known(
                vec![
                    line("strong", "", c.kit.label()),
                    Node::text(format!(": {}", c.why.text)),
                ],
                standing(c.why.standing.label(), c.why.source),
            )
        })
        .collect();
    nodes.extend(entries(words::WITH_HIRE, hire));
    nodes.extend(cautions(t));
    nodes.extend(entries(
        words::HOW,
        t.mechanism
            .iter()
            .chain(t.bounds.iter().map(|b| &b.why))
            .chain(&t.germ_barrier_why)
            .chain(&t.in_line)
            .map(fact)
            .collect(),
    ));
    nodes.extend(dose(&dossier, t, problem));
    nodes.extend(facts(words::PREPARATION, t.preparation));
    nodes.extend(facts(words::CONTACT, t.contact));
    nodes.extend(entries(words::ORDER, order));
    nodes.extend(facts(words::OVER, t.over));
    nodes.push(effects(t));
    let moved: Vec<_> = crate::derived::findings(&dossier)
        .changes
        .into_iter()
        .filter(|c| c.key.is_empty() || c.key == t.key)
        .collect();
    if moved.len() > 1 {
        nodes.push(super::follows_page::changes(&moved));
    }
    if !voids.is_empty() {
        nodes.push(section(words::VOIDS, vec![line("p", "", voids.join(", "))]));
    }
    let mut label = vec![
        line("li", "", format!("{}: {}", words::ORIGIN, t.origin.label())),
        fact(&t.origin_note),
    ];
    label.extend(t.label.iter().map(fact));
    nodes.extend(entries(words::LABEL, label));
    nodes.push(law_section(&dossier, t, problem));
    nodes.extend(facts(words::DISAGREE, t.disagree));
    // What only an authorised person may do has no figures here, not even of time and loss.
    if t.access != Access::Licensed {
        nodes.push(figures(&dossier, t));
    }
    if t.price.is_some() || t.dose.is_some() {
        nodes.push(section(
            words::PRICES,
            vec![super::wine_page::price(&id, &wine, t)],
        ));
    }
    nodes
}

/// What the rules have against a treatment in this wine, what makes it doubtful, and what puts it
/// first.
pub fn ruled(dossier: &Dossier, t: &'static Treatment, problem: Option<Problem>) -> Vec<Node> {
    rules::against(dossier, t, problem)
        .into_iter()
        .chain(rules::cautions(dossier, t, problem))
        .chain(rules::order::waits(dossier, t, &Before::default()))
        .chain(
            problem
                .map(|p| rules::preferred(dossier, t, p))
                .into_iter()
                .flatten(),
        )
        .map(|r| line("p", "mark", format!("{}: {}", r.kind(), r.text)))
        .collect()
}

/// The cautions of a treatment, beside the word on their translation; None where it has none.
pub fn cautions(t: &'static Treatment) -> Option<Node> {
    let all: Vec<Node> = t
        .cautions
        .iter()
        .filter_map(|k| CAUTIONS.iter().find(|c| c.key == *k))
        .map(|c| fact(&c.text))
        .collect();
    (!all.is_empty()).then(|| {
        let mut inner = vec![line("h2", "", words::CAUTIONS), el("ul", "facts", all)];
        inner.extend(unreviewed());
        el("section", "cautions", inner)
    })
}

/// Where to go from here: beside another, to the bench, onto the work order.
fn ways(id: &str, dossier: &Dossier, problem: Problem, t: &'static Treatment) -> Node {
    let to = |page: Page, label: &str| with("href", page.address(), line("a", "chip", label));
    let mut ways = vec![to(
        Page::Compare(id.into(), problem, vec![t.key.into()]),
        words::COMPARE_WITH,
    )];
    if crate::trial::bench_dose(dossier, t).is_some() {
        ways.push(to(Page::Trial(id.into(), t.key.into()), words::TRIAL));
    }
    ways.extend(on_order(id, t));
    el("p", "chips", ways)
}

/// Puts a treatment on the work order and goes there; None for what only a licensed person may do.
pub fn on_order(id: &str, t: &'static Treatment) -> Option<Node> {
    let (store, id) = (store(), id.to_string());
    let put = move |_| {
        store.edit(&id, &mut |w| {
            w.plan.push(PlanStep {
                treatment: t.key.into(),
                ..PlanStep::default()
            })
        });
        Page::Paper(id.clone(), Sheet::Order).go();
    };
    (t.access != Access::Licensed).then(|| button("chip", words::ON_ORDER, std::rc::Rc::new(put)))
}

fn dose(dossier: &Dossier, t: &'static Treatment, problem: Problem) -> Option<Node> {
    let Some(d) = t.dose else {
        return matches!(t.access, Access::Licensed | Access::Trained).then(|| {
            section(
                words::DOSE,
                vec![line(
                    "p",
                    "",
                    format!("{} {}", words::NEVER_DOSED, t.summary),
                )],
            )
        });
    };
    let found = law::for_problem(&dossier.law(t), problem);
    let unit = d.basis.label();
    let salt = match (d.active_share, d.active) {
        (Some(share), Some(active))
            if share > 0.0
                && matches!(
                    d.basis,
                    Basis::CopperMgPerL | Basis::SorbicMgPerL | Basis::SulfurMgPerL
                ) =>
        {
            format!(
                "; as {}: {} mg/L, which holds {} {active}",
                d.counted_as,
                show::range(d.range.low / share, d.range.high / share),
                show::percent(share)
            )
        }
        (Some(share), Some(active)) => format!(
            ", {}; 1 mL holds about {} g of {active}",
            d.counted_as,
            show::plain(share)
        ),
        _ => format!(", {}", d.counted_as),
    };
    let mut nodes = vec![el(
        "p",
        "",
        vec![
            Node::text(format!(
                "Useful range {} {unit}{salt}.",
                show::range(d.range.low, d.range.high)
            )),
            line(
                "span",
                "standing",
                format!(" {}", standing(d.range.standing.label(), d.range.source)),
            ),
        ],
    )];
    if d.by_trial {
        nodes.push(line(
            "p",
            "kind",
            "The dose is a rung that was tested on this wine, never a figure from this page.",
        ));
    }
    match law::hardest(&found) {
        Some(shut) if shut.shuts_out() => nodes.push(line(
            "p",
            "mark",
            "Not permitted for this wine and its markets.",
        )),
        Some(open) if open.is_open() => nodes.push(line("p", "mark", open.label())),
        _ => {}
    }
    if !d.ladder.is_empty() {
        let stock = d.stock_percent.map_or(String::new(), |p| {
            format!(" Stock {} % w/v, for 100 mL of wine.", show::plain(p))
        });
        let head = [unit, "Stock", "Law"]
            .map(|h| Node::with("scope", "col".into(), line("th", "", h)))
            .to_vec();
        let rows = d.ladder.iter().map(|v| {
            let ml = match (d.basis, d.stock_percent) {
                (Basis::GramsPerHl, Some(p)) => crate::units::GramsPerHl(*v)
                    .stock_millilitres(100.0, p)
                    .map(|m| format!("{} mL", show::fixed(m, 2))),
                // mg/L of Cu as salt, from a stock in g of salt per 100 mL: v = dose / share * 0.1
                // L / (p * 10 mg/mL).
                (Basis::CopperMgPerL, Some(p)) => d
                    .active_share
                    .map(|s| format!("{} mL", show::fixed(v / s * 0.1 / (p * 10.0), 2))),
                _ => None,
            };
            let over = !law::within_cap(&found, *v);
            let verdict = if over { "over the legal limit" } else { "" };
            el(
                "tr",
                if over { "over" } else { "" },
                vec![
                    line("td", "", show::plain(*v)),
                    line("td", "", ml.unwrap_or_default()),
                    line("td", "", verdict),
                ],
            )
        });
        nodes.push(el(
            "table",
            "",
            vec![
                line(
                    "caption",
                    "",
                    format!("Bench ladder. A control first; contact as in the cellar.{stock}"),
                ),
                el("thead", "", vec![el("tr", "", head)]),
                el("tbody", "", rows.collect()),
            ],
        ));
    }
    if let Some(n) = &d.note {
        nodes.push(el("ul", "facts", vec![fact(n)]));
    }
    Some(section(words::DOSE, nodes))
}

fn effects(t: &'static Treatment) -> Node {
    let rows = t.effects.iter().filter_map(|e| {
        let name = e.on.bare();
        if let Some(h) = e.hurdle {
            let facts = HURDLES.iter().find(|f| f.hurdle == h)?;
            let note = e.note.map_or(String::new(), |n| format!("{n} "));
            let what = format!("{name}: {} {note}{}", germs::STOPS, facts.why.text);
            let how = standing(facts.why.standing.label(), facts.why.source);
            return Some(known(vec![Node::text(what)], how));
        }
        if let Some(l) = e.logs {
            let powers = germs::powers(Span::of(&l, 1.0));
            let note = e.note.map_or(String::new(), |n| format!(" {n}"));
            let process = show::sentence(e.process.label());
            let what = format!("{name}: {powers}. {process}.{note}");
            let how = standing(l.standing.label(), l.source);
            return Some(known(vec![Node::text(what)], how));
        }
        let (what, by) = match (e.removes, e.adds) {
            (Some(r), _) if e.judged_by.is_some() => {
                let test = e.judged_by.map_or("", |q| q.label());
                (
                    format!(
                        "{}. {}: {test}",
                        show::sentence(e.process.label()),
                        words::JUDGED_BY
                    ),
                    r,
                )
            }
            (Some(r), _) => (
                format!(
                    "{name}: takes {}–{} by {}",
                    show::fixed(r.low * 100.0, 0),
                    show::percent(r.high),
                    e.process.label()
                ),
                r,
            ),
            (None, Some(a)) => (
                format!(
                    "{name}: adds {} {}{}",
                    show::range(a.low, a.high),
                    e.on.facts().unit,
                    if t.dose.is_some() {
                        " per unit of dose"
                    } else {
                        ""
                    }
                ),
                a,
            ),
            (None, None) => return None,
        };
        let note = e.note.map_or(String::new(), |n| format!(". {n}"));
        Some(known(
            vec![Node::text(format!("{what}{note}"))],
            standing(by.standing.label(), by.source),
        ))
    });
    section(words::EFFECTS, vec![el("ul", "facts", rows.collect())])
}

fn law_section(dossier: &Dossier, t: &'static Treatment, problem: Problem) -> Node {
    let found = law::for_problem(&dossier.law(t), problem);
    let mut rows: Vec<Node> = found
        .iter()
        .map(|f| {
            let mut lines = vec![el(
                "span",
                "",
                vec![
                    line("strong", "", f.market.label()),
                    Node::text(format!(
                        ": {} ({}, {})",
                        f.legality.label(),
                        f.law.label(),
                        f.basis.label()
                    )),
                ],
            )];
            lines.extend(
                f.limits
                    .iter()
                    .chain(&f.conditions)
                    .map(|l| line("span", "", *l)),
            );
            if !f.note.is_empty() {
                lines.push(line("span", "", f.note.clone()));
            }
            let ask = BODIES
                .iter()
                .find(|b| b.law == f.law)
                .map_or(String::new(), |b| format!(" · ask {}", b.authority));
            lines.push(line(
                "span",
                "standing",
                format!(
                    "{} · {} · {} · {}{ask}",
                    f.article,
                    f.edition,
                    f.evidence.label(),
                    f.source
                ),
            ));
            el("li", "", lines)
        })
        .collect();
    rows.extend(dossier.schemes().iter().map(|s| match law::organic(*s, t) {
        None => known(
            vec![Node::text(format!(
                "{}: not in the lists read; confirm with the certifier.",
                s.label()
            ))],
            String::new(),
        ),
        Some(r) => {
            let verdict = if r.evidence == Evidence::Memory {
                "Not verified"
            } else {
                r.verdict.label()
            };
            known(
                vec![Node::text(format!("{}: {verdict}. {}", s.label(), r.text))],
                format!("{} · {}", r.evidence.label(), r.source),
            )
        }
    }));
    let mut nodes = vec![line("p", "soft", words::CONFIRM)];
    nodes.extend(unreviewed());
    if found.is_empty() {
        nodes.push(line("p", "", "No market was named."));
    }
    nodes.push(el("ul", "facts", rows));
    section(words::LAW, nodes)
}

fn figures(dossier: &Dossier, t: &'static Treatment) -> Node {
    let say = |name: &str, e: &Estimate, value: String| {
        known(
            vec![Node::text(format!("{name}: {value}"))],
            standing(e.standing.label(), e.source),
        )
    };
    let row = |name: &str, e: &Estimate, unit: &str| {
        say(name, e, format!("{} {unit}", show::range(e.low, e.high)))
    };
    let span = |name: &str, e: &Estimate| say(name, e, show::days(e.low, e.high));
    // A count that nobody gave is said to be one, but for what is bought of a thing with no dose
    // and no machine.
    let or_not = |name: &str, e: Option<Node>| {
        e.unwrap_or_else(|| {
            known(
                vec![Node::text(format!("{name}: {}", words::NOT_KNOWN))],
                String::new(),
            )
        })
    };
    let price = t.price.as_ref().map(|p| {
        row(
            words::PRICE,
            &p.amount,
            &format!(
                "{}/{} ({})",
                p.currency,
                if p.per_hl { "hL" } else { "kg or L" },
                p.year
            ),
        )
    });
    let mut rows = vec![span("Until clear of it", &t.days)];
    rows.extend(
        t.wait_days
            .iter()
            .map(|e| span("Least wait from the act to the next step", e)),
    );
    rows.extend(
        t.longest_days
            .iter()
            .map(|e| span("At most in the wine, or waiting after it", e)),
    );
    rows.extend(t.temperature.iter().map(|e| row("Temperature", e, "°C")));
    if t.coldest {
        let value = crate::derived::coldest(dossier).map_or_else(
            |first| first,
            |c| {
                format!(
                    "{} °C, and not lower, which would freeze it",
                    show::fixed(c, 1)
                )
            },
        );
        rows.push(known(
            vec![Node::text(format!("Temperature: {value}"))],
            standing(Standing::Derived.label(), ""),
        ));
    }
    rows.push(row(words::LOST_WINE, &t.loss_percent, "%"));
    rows.push(row(words::LABOUR, &t.labour_hours, "h for the tank"));
    rows.push(or_not(
        words::ENERGY,
        t.energy_kwh_per_hl
            .as_ref()
            .map(|e| row(words::ENERGY, e, "kWh/hL")),
    ));
    rows.push(or_not(
        words::WATER,
        t.water_l_per_hl
            .as_ref()
            .map(|e| row(words::WATER, e, "L/hL")),
    ));
    if price.is_some() || t.dose.is_some() || !t.kit.is_empty() {
        rows.push(or_not(words::PRICE, price));
    }
    section(words::FIGURES_USED, vec![el("ul", "facts", rows)])
}
