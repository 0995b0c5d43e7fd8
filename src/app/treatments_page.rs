//! Treatments ranked for a problem, what was left out, and what was assumed.

use super::dossiers::{dossier_now, worked};
use super::page::Page;
use super::paper::{Node, button, el, fold, follow, line, link, live, section, telling, with};
use super::parts::{
    Chip, LONG, chips, entries, known, no_wine, sentences, sieve, unreviewed, wine_head,
};
use super::store::store;
use super::{files, words};
use crate::advice::{Advice, Assumption, ProblemAdvice, advise};
use crate::dossier::Dossier;
use crate::law::Legality;
use crate::stability::draws;
use crate::treatment::acceptability::{finer, first_counts};
use crate::treatment::scales::VALUE_PER_HL;
use crate::treatment::{Ranked, Share, Span};
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering::Relaxed};

/// The page.
pub fn page(id: String, problem: Option<Problem>) -> Vec<Node> {
    let store = store();
    let Some(wine) = store.wine_now(&id) else {
        return no_wine(words::TREATMENTS);
    };
    let wine_id = StoredValue::new(id.clone());
    // A link from the causes names a problem that was not chosen yet: a look leaves the wine as it is.
    let looked_at = problem.filter(|p| !wine.problems.contains(p));
    let Some(problem) = problem.or_else(|| wine.problems.first().copied()) else {
        let wine = with(
            "href",
            Page::Wine(id).address(),
            line("a", "main", words::THE_WINE),
        );
        return vec![
            line("h1", "", words::TREATMENTS),
            line("p", "", words::NO_PROBLEM),
            wine,
        ];
    };
    let advice = worked(wine_id, move |w| {
        Some(match looked_at {
            Some(p) => advise(&w.with_problem(p), store.today()),
            None => advise(w, store.today()),
        })
    });
    let fine = at_rest(advice, id.clone(), problem);
    let to = |page: Page, label: &str| with("href", page.address(), line("a", "chip", label));
    let mut nodes = wine_head(&id, &wine, problem.label());
    if looked_at.is_some() {
        let of = id.clone();
        let name_it = move |_| {
            store.edit(&of, &mut |w| w.problems.push(problem));
            // The page was drawn for a wine that did not have it.
            store.page.update(|_| {});
        };
        nodes.push(line("p", "mark", words::NOT_NAMED));
        nodes.push(button("", words::NAME_IT, Rc::new(name_it)));
    }
    if wine.problems.len() > 1 {
        let tab = |p: &Problem| {
            let tab = to(Page::Treatments(id.clone(), Some(*p)), p.label());
            if *p == problem {
                with("aria-current", "page", tab)
            } else {
                tab
            }
        };
        nodes.push(with(
            "aria-label",
            words::PROBLEMS,
            el("nav", "chips", wine.problems.iter().map(tab).collect()),
        ));
    }
    let answer = move || {
        advice
            .with(|a| {
                a.as_ref()?
                    .problems
                    .iter()
                    .find(|p| p.problem == problem)
                    .map(|p| p.answer.clone())
            })
            .unwrap_or_default()
    };
    let ways = [
        to(Page::Cause(id.clone()), words::CAUSE),
        to(Page::Routes(id.clone(), Vec::new()), words::ROUTES),
        to(Page::Stability(id.clone()), words::STABILITY),
        to(Page::Follows(id.clone()), words::FOLLOWS),
    ];
    let mut count = weights(wine_id);
    count.push(by_money(&id));
    nodes.extend([
        with("role", "status", telling("p", "answer", Box::new(answer))),
        fold("weights", words::WEIGHTS, count),
        el("p", "chips", ways.into()),
        live(
            "div",
            "",
            Box::new(move || {
                advice.with(|a| {
                    a.as_ref()
                        .map(|a| body(&wine_id.get_value(), problem, a, advice))
                        .unwrap_or_default()
                })
            }),
        ),
        // Draws come in later: below the list they move nothing.
        with(
            "id",
            "fine",
            telling("p", "soft", Box::new(move || fine.get())),
        ),
    ]);
    nodes
}

fn weights(id: StoredValue<String>) -> Vec<Node> {
    let store = store();
    type Pick = fn(&mut Weights) -> &mut u8;
    let rows: [(&'static str, Pick); 4] = [
        (words::EFFECT, |w| &mut w.effect),
        (words::COST, |w| &mut w.cost),
        (words::TIME, |w| &mut w.time),
        (words::ORIGIN, |w| &mut w.origin),
    ];
    rows.map(|(name, pick)| {
        let value = move || {
            store
                .wine(&id.get_value())
                .map_or(0, |mut w| *pick(&mut w.weights))
        };
        let step = move |sign: &str, word: &str, by: i8| {
            let tap = move |_| {
                store.edit(&id.get_value(), &mut |w| {
                    let v = pick(&mut w.weights);
                    *v = v.saturating_add_signed(by).min(10);
                })
            };
            with(
                "aria-label",
                format!("{name}: {word}"),
                button("", sign, Rc::new(tap)),
            )
        };
        let parts = vec![
            line("span", "", name),
            step("−", words::LESS, -1),
            telling("output", "", Box::new(move || value().to_string())),
            step("+", words::MORE, 1),
        ];
        with(
            "role",
            "group",
            with("aria-label", name, el("div", "stepper", parts)),
        )
    })
    .into()
}

/// The other order: by expected money.
fn by_money(id: &str) -> Node {
    let chip = Chip {
        label: words::BY_MONEY,
        spoken: None,
        on: Arc::new(|w| w.by_money),
        tap: Rc::new(|w| w.by_money = !w.by_money),
    };
    chips(id, words::ORDER_BY, vec![chip])
}

/// Counts the changes, so that draws under way for an older state stop.
static RUN: AtomicU32 = AtomicU32::new(0);

/// Once nothing was typed for a while: more draws, in slices, so that no tap waits.
fn at_rest(advice: Memo<Option<Advice>>, id: String, problem: Problem) -> RwSignal<String> {
    let (store, fine) = (store(), RwSignal::new(String::new()));
    follow(Box::new(move || {
        let ranked = advice.with(|a| {
            a.as_ref()?
                .problems
                .iter()
                .find(|p| p.problem == problem)
                .map(|p| p.ranked.clone())
        });
        let run = RUN.fetch_add(1, Relaxed) + 1;
        fine.set(String::new());
        if let Some((dossier, ranked)) = dossier_now(store, &id).zip(ranked) {
            slice(
                Rest {
                    dossier,
                    problem,
                    ranked,
                    wins: Vec::new(),
                    from: 0,
                    run,
                    fine,
                },
                400,
            );
        }
    }));
    fine
}

/// Draws that are under way.
struct Rest {
    dossier: Rc<Dossier>,
    problem: Problem,
    ranked: Vec<Ranked>,
    wins: Vec<[u32; 2]>,
    from: u32,
    run: u32,
    fine: RwSignal<String>,
}

fn slice(mut r: Rest, wait: u64) {
    set_timeout(
        move || {
            if RUN.load(Relaxed) != r.run {
                return;
            }
            let to = (r.from + draws::SLICE).min(draws::MANY);
            let more = first_counts(&r.dossier, r.problem, &r.ranked, r.from..to);
            r.wins.resize(more.len(), [0, 0]);
            for ([a, b], [c, d]) in r.wins.iter_mut().zip(more) {
                *a += c;
                *b += d;
            }
            r.from = to;
            if to < draws::MANY {
                slice(r, 1);
            } else {
                // The page may have been left.
                let _left = r.fine.try_set(finer(&r.dossier, &r.ranked, &r.wins));
            }
        },
        std::time::Duration::from_millis(wait),
    );
}

fn body(id: &str, problem: Problem, advice: &Advice, whole: Memo<Option<Advice>>) -> Vec<Node> {
    let Some(p) = advice.problems.iter().find(|p| p.problem == problem) else {
        return Vec::new();
    };
    let not_read = advice
        .not_read
        .iter()
        .map(|e| line("li", "mend", e.to_string()))
        .collect();
    let rows: Vec<Node> = p
        .ranked
        .iter()
        .map(|r| row(id, problem, r, &advice.currency))
        .collect();
    let mut nodes: Vec<Node> = advice
        .law
        .iter()
        .map(|t| line("p", "mark", t.clone()))
        .collect();
    if let Some(m) = p.measure.filter(|m| m.changes >= 0.1) {
        let none = if m.nothing_needed > 0.05 {
            format!(
                ", and in {} nothing needs to be done",
                tens(m.nothing_needed)
            )
        } else {
            String::new()
        };
        let worth = match show::fixed(m.worth_per_hl, 1).as_str() {
            "0" => String::new(),
            worth => format!(
                " Knowing it is worth about {worth} {} per hL, less the price of the test.",
                advice.currency
            ),
        };
        let what = words::MEASURE_WORTH.replace("{}", &show::inside(m.quantity.label()));
        nodes.push(line(
            "p",
            "mark",
            format!(
                "{what}: in {} it changes what to do{none}.{worth}",
                tens(m.changes)
            ),
        ));
    }
    nodes.extend(entries(words::NOT_READ, not_read));
    nodes.extend(sentences(words::FIRST, &p.first));
    let mut nothing = format!(
        "To do nothing is expected to lose {} {} per hL.",
        show::fixed(p.nothing_per_hl, 1),
        advice.currency
    );
    if dossier_now(store(), id).is_some_and(|c| c.value_per_hl.is_empty()) {
        nothing.push_str(&format!(
            " The wine is taken to be worth {} {} per hL.",
            show::plain(VALUE_PER_HL),
            advice.currency
        ));
    }
    nodes.extend(unreviewed());
    let mut ranked = vec![line("p", "soft", nothing)];
    if p.ranked.iter().enumerate().any(|(i, r)| r.rank != i + 1) {
        ranked.push(line("p", "soft", words::SAME_RANK));
    }
    if rows.len() > LONG {
        ranked.push(sieve(words::RANKED, rows.clone(), true));
    }
    ranked.extend(grouped(&p.ranked, &rows));
    nodes.push(section(words::RANKED, ranked));
    nodes.extend(sentences(words::ERRORS, &p.errors));
    nodes.extend(sentences(words::NO_CURE, &p.no_cure));
    nodes.push(left_out(id, p));
    nodes.push(assumed(&advice.assumed));
    nodes.push(limits(advice));
    nodes.extend(advice.notes.iter().map(|t| line("p", "soft", t.clone())));
    let save = move |_| {
        files::save(
            "stillbright-advice.json",
            &untrack(|| whole.with(|a| crate::json::to_text(a.as_slice()))),
        )
    };
    nodes.push(with(
        "id",
        "save-advice",
        button("", words::SAVE_ADVICE, Rc::new(save)),
    ));
    nodes
}

/// The list in its order: what is at hand, what must be hired, what is never enough with sugar
/// left.
fn grouped(ranked: &[Ranked], rows: &[Node]) -> Vec<Node> {
    let of = |r: &Ranked| {
        if r.never_enough {
            2
        } else {
            u8::from(!r.hire.is_empty())
        }
    };
    let mut nodes = Vec::new();
    for (group, heading) in [(0, ""), (1, words::WITH_HIRE), (2, words::NEVER_ENOUGH)] {
        let here: Vec<Node> = ranked
            .iter()
            .zip(rows)
            .filter(|(r, _)| of(r) == group)
            .map(|(_, row)| row.clone())
            .collect();
        if !here.is_empty() {
            nodes.extend((group > 0).then(|| line("h3", "", heading)));
            nodes.push(el("ol", "ranked", here));
        }
    }
    nodes
}

/// What stands in for what was not given, folded away.
pub fn assumed(all: &[Assumption]) -> Node {
    let rows = all
        .iter()
        .map(|a| {
            known(
                vec![Node::text(format!("{}: {}", a.what, a.taken))],
                a.standing.label().into(),
            )
        })
        .collect();
    el(
        "details",
        "",
        vec![line("summary", "", words::ASSUMED), el("ul", "facts", rows)],
    )
}

fn row(id: &str, problem: Problem, r: &Ranked, currency: &str) -> Node {
    let treatment = crate::knowledge::treatment(r.key);
    let address = Page::Treatment(id.to_string(), problem, r.key.to_string()).address();
    let impact: Vec<String> = r
        .impact
        .iter()
        .filter(|(_, s)| s.middle > 0.005)
        .map(|(q, s)| format!("{} {}", show::inside(q.bare()), show::percent(s.middle)))
        .collect();
    let energy = r
        .energy_kwh_per_hl
        .map_or(words::NOT_KNOWN.to_string(), |e| {
            format!("{} kWh/hL", spread(e))
        });
    let cost = if r.product_per_hl.is_none() {
        format!("{} {currency}/hL, its price a guess", money(r.money_per_hl))
    } else {
        format!("{} {currency}/hL", money(r.money_per_hl))
    };
    let count = |name: &str, value: String| {
        el("div", "", vec![line("dt", "", name), line("dd", "", value)])
    };
    let bar = |class: &'static str, share: f64| {
        Node::with("width", width(share), el("span", class, Vec::new()))
    };
    let mut beside = format!(
        "{}: {} %. {}: {} h. {}: {}.",
        words::LOST_WINE,
        spread(r.loss_percent),
        words::LABOUR,
        spread(r.labour_hours),
        words::ENERGY,
        energy
    );
    if !impact.is_empty() {
        beside.push_str(&format!(" {}: {}.", words::IMPACT, impact.join(", ")));
    }
    let mut marks: Vec<String> = Vec::new();
    match r.legality {
        Some(Legality::Limited) => {
            let mut limits: Vec<&str> = r
                .law
                .iter()
                .flat_map(|f| f.limits.iter().copied())
                .collect();
            limits.dedup();
            marks.push(format!("Limited by law: {}", limits.join(" ")));
        }
        Some(open) if open.is_open() => marks.push(open.label().into()),
        _ => {}
    }
    // Where the law names a use, the words that bound it.
    let mut bounds: Vec<&str> = r
        .law
        .iter()
        .filter(|f| !f.only_for.is_empty())
        .flat_map(|f| f.conditions.iter().copied())
        .collect();
    bounds.dedup();
    marks.extend(bounds.into_iter().map(String::from));
    if !r.organic_unsure.is_empty() {
        marks.push(format!(
            "Not verified for: {}",
            r.organic_unsure
                .iter()
                .map(|o| o.label())
                .collect::<Vec<_>>()
                .join(", ")
        ));
    }
    if !r.hire.is_empty() {
        let kits: Vec<&str> = r.hire.iter().map(|k| k.label()).collect();
        marks.push(format!("{}: {}", words::WITH_HIRE, show::listed(&kits)));
    }
    marks.extend(r.preferred.iter().map(|c| c.text.clone()));
    marks.extend(r.doubts.iter().map(|c| c.text.clone()));
    // What is never enough stands under its own heading.
    marks.extend(r.stops.iter().map(|s| s.text.clone()));
    let helps = r.helper && !r.never_enough && r.stops.is_none();
    marks.extend(helps.then(|| words::HELPER.to_string()));
    marks.extend(
        treatment
            .filter(|t| !t.disagree.is_empty())
            .map(|_| words::SIDES.to_string()),
    );
    marks.extend(r.too_late.then(|| words::TOO_LATE.to_string()));
    marks.extend(
        r.beaten_by
            .and_then(crate::knowledge::treatment)
            .map(|t| format!("{} is at least as good on every count", t.name)),
    );
    let doubt = r.legality == Some(Legality::NotKnown);
    // A share of germs fills every bar: drawn is how far it goes to what is asked.
    let drawn = r.logs.map_or(r.removes, |_| r.effect.value);
    let mut children = vec![
        link(
            address,
            vec![
                line("span", "rank", r.rank.to_string()),
                line("strong", "", r.name),
            ],
        ),
        Node::with(
            "aria-hidden",
            "true".into(),
            el(
                "div",
                "bar",
                vec![bar("sure", drawn.low), bar("grain", drawn.high - drawn.low)],
            ),
        ),
        el(
            "dl",
            "counts",
            vec![
                count(words::EFFECT, r.taken()),
                count(words::COST, cost),
                count(words::TIME, show::days(r.days.low, r.days.high)),
                count(
                    words::ORIGIN,
                    treatment.map_or("", |t| t.origin.label()).to_string(),
                ),
            ],
        ),
        line("p", "soft", beside),
        line(
            "p",
            "soft",
            format!(
                "{}: {} {currency}/hL. {}",
                words::EXPECTED,
                show::fixed(r.expected_per_hl.middle, 1),
                shares(r)
            ),
        ),
    ];
    children.extend(marks.into_iter().map(|m| line("p", "mark", m)));
    let beside = Page::Compare(id.to_string(), problem, vec![r.key.to_string()]).address();
    children.push(link(
        beside,
        vec![
            line("span", "small", words::COMPARE_WITH),
            line("span", "voice", format!(": {}", r.name)),
        ],
    ));
    el(
        "li",
        if doubt {
            "treatment doubtful"
        } else {
            "treatment"
        },
        children,
    )
}

/// What each criterion brought to the place.
fn shares(r: &Ranked) -> String {
    let total = r.total.middle.max(1e-9);
    let part = |name: &str, s: &Share| {
        format!("{} {}", show::lower(name), show::percent(s.points / total))
    };
    let any = r.first_in_any.map_or(String::new(), |s| {
        format!("; whatever the weights, in {}", show::fixed(s * 100.0, 0))
    });
    let either = r.first_in >= 0.005 || r.first_in_any.is_some_and(|s| s >= 0.005);
    let first = if either {
        format!(" {} {}{any}.", words::FIRST_IN, tens(r.first_in))
    } else {
        String::new()
    };
    format!(
        "{} points: {}, {}, {}, {}.{first}",
        show::fixed(r.total.middle * 100.0, 0),
        part(words::EFFECT, &r.effect),
        part(words::COST, &r.cost),
        part(words::TIME, &r.time),
        part(words::ORIGIN, &r.origin)
    )
}

/// “83 of 100 draws”.
fn tens(share: f64) -> String {
    format!("{} of 100 draws", show::fixed(share * 100.0, 0))
}

fn spread(s: Span) -> String {
    show::range(s.low, s.high)
}

fn money(s: Span) -> String {
    format!("{}–{}", show::fixed(s.low, 1), show::fixed(s.high, 1))
}

fn width(share: f64) -> String {
    format!("{}%", show::fixed((share * 100.0).clamp(0.0, 100.0), 1))
}

/// Limits on sulfur dioxide and rules on the label, for the markets of the wine.
fn limits(advice: &Advice) -> Node {
    let mut rows: Vec<Node> = advice
        .so2
        .iter()
        .map(|t| line("li", "", t.clone()))
        .collect();
    rows.extend(advice.labels.iter().map(|l| {
        known(
            vec![
                line("strong", "", l.law.label()),
                Node::text(format!(" · {}: {}", l.about, l.text)),
            ],
            super::parts::standing(l.standing.label(), l.source),
        )
    }));
    if rows.is_empty() {
        rows.push(line("li", "", "No market was named."));
    }
    let mut inner = vec![
        line("summary", "", words::LIMITS),
        el("ul", "facts", rows),
        line("p", "soft", words::CONFIRM),
    ];
    inner.extend(unreviewed());
    el("details", "", inner)
}

fn left_out(id: &str, p: &ProblemAdvice) -> Node {
    let rows = p
        .left_out
        .iter()
        .map(|l| {
            let reasons = l.reasons.iter().map(|r| {
                let (kind, text) = r.words();
                el(
                    "span",
                    "",
                    vec![line("span", "kind", kind), Node::text(format!(" {text}"))],
                )
            });
            let address = Page::Treatment(id.to_string(), p.problem, l.key.to_string()).address();
            el(
                "li",
                "",
                std::iter::once(link(address, vec![line("strong", "", l.name)]))
                    .chain(reasons)
                    .collect(),
            )
        })
        .collect();
    el(
        "details",
        "left-out",
        vec![
            line(
                "summary",
                "",
                format!("{} ({})", words::LEFT_OUT, p.left_out.len()),
            ),
            el("ul", "facts", rows),
        ],
    )
}
