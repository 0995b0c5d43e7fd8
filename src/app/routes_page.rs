//! Routes: whole chains of acts, as a list with a chart of money against days; one as a chain with
//! its calendar; two side by
//! side.

use super::chain::{self, Stop, bottling};
use super::dossiers::dossier_now;
use super::page::{Page, Sheet};
use super::paper::{Node, Turned, button, el, in_turns, line, link, section, with};
use super::parts::{called, entries, head, no_wine, sentences};
use super::picture::{
    LINE, Picture, WIDE, as_table, axes, circle, group, label, rect, stroke, width, wrapped,
};
use super::store::{Store, store};
use super::words;
use crate::dossier::Dossier;
use crate::law::Legality;
use crate::route::plan::{self, chosen};
use crate::route::{Route, RouteSearch, Routes, Step, StepKind};
use crate::treatment::Span;
use crate::trial::dose_for;
use crate::units::show;
use std::rc::Rc;

/// The page: the list where no key is given, one route, or two side by side.
pub fn page(id: &str, keys: &[String]) -> Vec<Node> {
    let store = store();
    let (Some(wine), Some(dossier)) = (store.wine_now(id), dossier_now(store, id)) else {
        return no_wine(words::ROUTES);
    };
    let (up, up_name) = if keys.is_empty() {
        (Page::Wine(id.into()), called(&wine))
    } else {
        (
            Page::Routes(id.into(), Vec::new()),
            words::ROUTES.to_string(),
        )
    };
    let heading = match keys {
        [] => words::ROUTES,
        [_] => words::ROUTE,
        _ => words::COMPARE,
    };
    let mut nodes = head(&up, up_name, heading);
    nodes.push(in_turns(
        words::LOOKING,
        looking(id.to_string(), keys.to_vec(), dossier),
    ));
    nodes.push(line("p", "soft", words::ROUTES_LEAD));
    nodes
}

/// Milliseconds of one turn of the search, so that no tap waits longer.
const TURN: f64 = 40.0;
/// Routes looked at between two looks at the clock.
const BETWEEN: usize = 100;

/// The search in turns: the list is shown as soon as there is a way, and again when the search has
/// ended; a single route only then.
fn looking(id: String, keys: Vec<String>, dossier: Rc<Dossier>) -> Box<dyn FnMut() -> Turned> {
    let store = store();
    let today = store.today();
    let mut search: Option<RouteSearch> = None;
    let mut has_shown = false;
    Box::new(move || {
        let begun = js_sys::Date::now();
        let search = search.get_or_insert_with(|| RouteSearch::of(&dossier, today));
        while !search.run(BETWEEN) && js_sys::Date::now() - begun < TURN {}
        let more = !search.has_ended();
        let has_way = keys.is_empty() && !has_shown && search.has_way();
        has_shown |= has_way;
        let shows = (!more || has_way).then(|| found(store, &id, &keys, &dossier, search));
        Turned { shows, more }
    })
}

/// What was found: the list where no key is given, one route, or two side by side.
fn found(
    store: Store,
    id: &str,
    keys: &[String],
    dossier: &Dossier,
    search: &RouteSearch,
) -> Vec<Node> {
    let found = &search.routes();
    // One that was among the best while the search went on is shown too.
    let of = |key: &String| {
        let best = found.routes.iter().find(|r| r.key == *key).cloned();
        best.or_else(|| search.route(key))
    };
    match keys {
        [] => {
            let taken = chosen(dossier, store.today());
            let taken = taken.as_ref().map(|c| (c.holds, c.says.clone()));
            let mut nodes = list(id, dossier, found, taken);
            nodes.push(super::treatments_page::assumed(&crate::advice::assumed(
                dossier,
            )));
            nodes
        }
        [one] => of(one).map_or_else(gone, |r| to_take(store, id, dossier, &r, found)),
        [one, two, ..] => of(one)
            .zip(of(two))
            .map_or_else(gone, |(a, b)| beside(id, dossier, &a, &b)),
    }
}

/// One route, with the button that takes it.
fn to_take(store: Store, id: &str, dossier: &Dossier, r: &Route, all: &Routes) -> Vec<Node> {
    let (mut nodes, steps, id) = (whole(id, dossier, r, all), plan::plan(r), id.to_string());
    let take = move |_| {
        // A plan with typed doses may stand here: it can be had back.
        let before = store.wine_now(&id).map(|w| w.plan).unwrap_or_default();
        store.edit_lightly(
            &id,
            &mut |w| w.plan.clone_from(&steps),
            words::TAKEN,
            Rc::new(move |w| w.plan.clone_from(&before)),
        );
        Page::Routes(id.clone(), Vec::new()).go();
    };
    // In reach while the chain is read.
    nodes.push(el(
        "div",
        "bottom",
        vec![button("main", words::TAKE_ROUTE, Rc::new(take))],
    ));
    nodes
}

fn gone() -> Vec<Node> {
    vec![line("p", "answer", words::ROUTE_GONE)]
}

fn money(s: Span, currency: &str) -> String {
    format!(
        "{}–{} {currency}/hL",
        show::fixed(s.low, 0),
        show::fixed(s.high, 0)
    )
}

fn hundred(share: f64) -> String {
    show::fixed(share * 100.0, 0)
}

fn acts(r: &Route) -> String {
    let names: Vec<&str> = r
        .steps
        .iter()
        .filter(|s| s.kind == StepKind::Act)
        .map(|s| s.name.as_str())
        .collect();
    if names.is_empty() {
        words::DO_NOTHING.to_string()
    } else {
        names.join(" → ")
    }
}

fn count(name: &str, value: String) -> Node {
    el("div", "", vec![line("dt", "", name), line("dd", "", value)])
}

/// In how many draws the needs are met; what a test decides has no such number.
fn met(r: &Route, draws: &str) -> String {
    let share = format!("{} of 100{draws}", hundred(r.probability));
    let tests: Vec<String> = r.judged_by.iter().map(|t| show::inside(t)).collect();
    match (tests.is_empty(), r.has_figures()) {
        (true, _) => share,
        (false, true) => format!("{share}; a test decides: {}", tests.join(", ")),
        (false, false) => format!("a test decides: {}", tests.join(", ")),
    }
}

fn counts(r: &Route, currency: &str) -> Node {
    el(
        "dl",
        "counts",
        vec![
            count(words::COST, money(r.money, currency)),
            count(words::TIME, format!("{} days", show::fixed(r.days, 0))),
            count(words::MET, met(r, " draws")),
            count(
                words::IMPACT,
                format!("{} points", show::fixed(r.impact, 0)),
            ),
        ],
    )
}

fn list(id: &str, dossier: &Dossier, all: &Routes, taken: Option<(bool, String)>) -> Vec<Node> {
    let mut nodes = vec![Node::with(
        "role",
        "status".into(),
        line("p", "answer", all.answer.clone()),
    )];
    nodes.extend(all.law.iter().map(|t| line("p", "mark", t.clone())));
    let not_read = all
        .not_read
        .iter()
        .map(|e| line("li", "mend", e.to_string()));
    nodes.extend(entries(words::NOT_READ, not_read.collect()));
    if let Some((holds, says)) = taken {
        nodes.push(line(
            "p",
            if holds { "soft" } else { "mark" },
            format!("{} {says}", words::CHOSEN_ROUTE),
        ));
        nodes.push(el("p", "chips", onward(id, dossier)));
    }
    nodes.extend(sentences(words::FIRST, &all.first));
    let more: Vec<Node> = all
        .relax
        .iter()
        .map(|r| line("li", "", r.clone()))
        .collect();
    if !more.is_empty() {
        nodes.push(section(words::RELAX, vec![el("ul", "facts", more)]));
    }
    if all.routes.len() > 1 {
        nodes.push(chart(&all.routes, &dossier.currency));
    }
    let unsure = all.routes.iter().any(|r| !r.confirm.is_empty());
    let hired = all.routes.iter().any(|r| !r.hire.is_empty());
    let rows = all.routes.iter().enumerate().map(|(i, r)| {
        let mut parts = vec![link(
            Page::Routes(id.into(), vec![r.key.clone()]).address(),
            vec![
                line("span", "rank", (i + 1).to_string()),
                line("strong", "", acts(r)),
            ],
        )];
        if !r.best_at.is_empty() {
            let among = if r.confirm.is_empty() && unsure {
                words::AMONG_SURE
            } else {
                ""
            };
            let at_hand = if r.hire.is_empty() && hired {
                words::AT_HAND
            } else {
                ""
            };
            parts.push(line(
                "p",
                "kind",
                format!("{}{at_hand}{among}", show::sentence(&r.best_at.join(", "))),
            ));
        }
        parts.push(counts(r, &dossier.currency));
        let stays = if r.on_label.is_empty() {
            "nothing stays in the wine".to_string()
        } else {
            format!("stays in the wine: {}", show::listed(&r.on_label))
        };
        parts.push(line(
            "p",
            "soft",
            format!("{}; {stays}.", show::sentence(r.origin)),
        ));
        parts.extend(to_hire(r));
        parts.extend(to_confirm(r));
        if r.short {
            parts.push(line("p", "mark", words::SHORT));
        }
        parts.extend(left_out(r).into_iter().take(1));
        parts.extend(not_covered(all));
        el(
            "li",
            if r.confirm.is_empty() {
                "treatment"
            } else {
                "treatment doubtful"
            },
            parts,
        )
    });
    if !all.routes.is_empty() {
        nodes.push(el("ol", "ranked", rows.collect()));
        let said = match (all.goes_on, all.stopped) {
            (true, _) => words::BEST_SO_FAR,
            (false, true) => words::STOPPED,
            (false, false) => "",
        };
        let looked_at = format!("{} routes looked at. {said}", all.tried);
        nodes.push(line("p", "soft", looked_at.trim_end()));
    }
    nodes
}

/// What was measured outside its limit and stands outside every route shown.
fn not_covered(all: &Routes) -> Option<Node> {
    (!all.not_covered.is_empty()).then(|| {
        line(
            "p",
            "mark",
            format!(
                "{}: {}.",
                words::NOT_COVERED,
                show::listed(&all.not_covered)
            ),
        )
    })
}

/// What a route would keep beside its acts and cannot, with what it is for and what speaks against
/// it.
fn left_out(r: &Route) -> Vec<Node> {
    let mut nodes = Vec::new();
    for left in &r.left_out {
        let names = format!("{}: {}.", words::LEFT_OUT_HERE, show::listed(&left.names));
        nodes.push(line("p", "mark", names));
        nodes.push(line("p", "soft", left.why));
        nodes.extend(left.because.iter().map(|t| line("p", "soft", t.clone())));
    }
    nodes
}

/// What is to be confirmed: what the law is not known to say, and what it is believed to permit.
fn to_confirm(r: &Route) -> Vec<Node> {
    [
        (words::CONFIRM_FIRST, &r.confirm),
        (Legality::Believed.label(), &r.believed),
    ]
    .into_iter()
    .filter(|(_, names)| !names.is_empty())
    .map(|(says, names)| line("p", "mark", format!("{says}: {}", names.join(", "))))
    .collect()
}

fn to_hire(r: &Route) -> Option<Node> {
    (!r.hire.is_empty()).then(|| {
        line(
            "p",
            "mark",
            format!("{}: {}", words::WITH_HIRE, show::listed(&r.hire)),
        )
    })
}

/// Where a chosen route goes on: its work order, and the trials that it still asks for.
fn onward(id: &str, dossier: &Dossier) -> Vec<Node> {
    let order = Page::Paper(id.into(), Sheet::Order);
    let mut to = vec![with(
        "href",
        order.address(),
        line("a", "chip", order.title()),
    )];
    let untried = plan::left(dossier)
        .into_iter()
        .filter(|p| p.treatment.is_some_and(|t| dose_for(dossier, t).is_none()));
    to.extend(untried.filter_map(|p| super::trial_page::to_trial(id, dossier, &p.key)));
    to
}

/// The chain with the state after each step, and the calendar.
fn whole(id: &str, dossier: &Dossier, r: &Route, all: &Routes) -> Vec<Node> {
    let mut nodes = vec![line("p", "answer", acts(r)), counts(r, &dossier.currency)];
    if let Some(day) = &r.begin_by {
        nodes.push(line(
            "p",
            "kind",
            format!(
                "Begin by {day}, to bottle on {}.",
                dossier.bottling_day.words()
            ),
        ));
    }
    if let Some(day) = &r.release {
        nodes.push(line("p", "soft", format!("{} {day}.", words::RELEASED_ON)));
    }
    nodes.extend(less_sure(r));
    nodes.extend(to_hire(r));
    nodes.extend(to_confirm(r));
    nodes.extend(left_out(r));
    nodes.extend(not_covered(all));
    nodes.push(glance(dossier, r));
    let rows = r.steps.iter().enumerate().map(|(i, s)| {
        // A trial stands before the act whose dose it finds.
        let key = r
            .steps
            .iter()
            .skip(i)
            .map(|s| s.key)
            .find(|k| !k.is_empty())
            .unwrap_or_default();
        let to = match s.kind {
            StepKind::Trial => Some(Page::Trial(id.into(), key.into())),
            StepKind::Act | StepKind::PutIn => dossier
                .problems
                .first()
                .map(|p| Page::Treatment(id.into(), *p, key.into())),
            _ => None,
        };
        step(s, &dossier.currency, to)
    });
    nodes.push(section(
        words::STEPS,
        vec![el("ol", "ranked", rows.collect())],
    ));
    nodes.push(calendar(r));
    let [product, lost, labour] = r.split;
    let money = format!(
        "Products and services {}, lost wine {}, labour {} {}/hL on average.",
        show::plain(product),
        show::plain(lost),
        show::plain(labour),
        &dossier.currency
    );
    let hours: f64 = r.steps.iter().map(|s| s.labour_hours).sum();
    let known = if r.unknown_means > 0 {
        format!(" ({} steps not known)", r.unknown_means)
    } else {
        String::new()
    };
    let means = format!(
        "Labour {} h. Energy {} kWh/hL, water {} L/hL{known}.",
        show::plain(hours),
        show::plain(r.energy),
        show::plain(r.water)
    );
    let tests = tests(r, &dossier.currency);
    let oxygen = format!(
        "Oxygen picked up: about {} mg/L; each mg/L spends up to 4 mg/L of SO₂.",
        show::plain(r.oxygen)
    );
    nodes.push(section(
        words::MEANS,
        [money, means, tests, oxygen]
            .map(|t| line("p", "soft", t))
            .to_vec(),
    ));
    if !r.rules.is_empty() {
        let rules = r.rules.iter().map(|rule| {
            el(
                "li",
                "",
                vec![
                    line("span", "kind", rule.verdict.label()),
                    line("span", "", rule.text),
                ],
            )
        });
        nodes.push(el(
            "details",
            "",
            vec![
                line("summary", "", words::ORDER_RULES),
                el("ul", "facts", rules.collect()),
            ],
        ));
    }
    let others = all
        .routes
        .iter()
        .enumerate()
        .filter(|(_, o)| o.key != r.key)
        .map(|(i, o)| {
            Node::with(
                "href",
                Page::Routes(id.into(), vec![r.key.clone(), o.key.clone()]).address(),
                line("a", "chip", format!("{}: {}", i + 1, acts(o))),
            )
        });
    nodes.push(el(
        "details",
        "",
        vec![
            line("summary", "", words::COMPARE_WITH),
            el("div", "chips", others.collect()),
        ],
    ));
    nodes
}

/// What a route leaves less sure than asked for.
fn less_sure(r: &Route) -> Vec<Node> {
    if r.less_sure.is_empty() {
        return Vec::new();
    }
    let names = r.less_sure.iter().map(|l| {
        let share = hundred(l.inside);
        line("li", "", format!("{}: {share} of 100", l.name))
    });
    vec![
        line("p", "mark", words::LESS_SURE),
        el("ul", "facts", names.collect()),
    ]
}

/// How many tests a route takes, and what they cost for the lot.
fn tests(r: &Route, currency: &str) -> String {
    let times: usize = r.tests.iter().map(|t| t.times).sum();
    let price = r.test_money.map_or(String::new(), |m| {
        format!(", {} {currency} for the lot", show::range(m.low, m.high))
    });
    format!("{}: {times}{price}.", words::TESTS_COST)
}

fn step(s: &Step, currency: &str, to: Option<Page>) -> Node {
    let when = match &s.date {
        Some(d) => d.clone(),
        None => format!("day {}", show::fixed(s.begins, 0)),
    };
    let name = line("strong", "", s.name.clone());
    let name = to.map_or(name.clone(), |p| link(p.address(), vec![name]));
    let mut parts = vec![el(
        "div",
        "step",
        vec![
            line(
                "span",
                "soft",
                if s.days > 0.0 {
                    format!("{when}, {}", show::days(s.days, s.days))
                } else {
                    when
                },
            ),
            name,
        ],
    )];
    if let Some([low, high]) = s.dose {
        let how = if s.kind == StepKind::Act && low < high {
            ", as the trial shows"
        } else {
            ""
        };
        parts.push(line(
            "p",
            "",
            format!("{} {}{how}", show::range(low, high), s.unit),
        ));
    }
    if !s.shows.is_empty() {
        let shows = s.shows.iter().map(|t| line("li", "soft", t.clone()));
        parts.push(el("ul", "facts", shows.collect()));
    }
    parts.extend(
        s.order
            .iter()
            .chain(&s.branches)
            .map(|b| line("p", "soft", b.clone())),
    );
    if s.share < 0.995 && s.kind == StepKind::Act {
        parts.push(line(
            "p",
            "soft",
            format!(
                "Called for in {} of 100 draws: test first, it may not be needed.",
                hundred(s.share)
            ),
        ));
    }
    if !s.after.is_empty() && s.changes {
        let stands = s.after.iter().map(|a| {
            if let Some(test) = a.judged_by {
                return el(
                    "li",
                    "",
                    vec![line(
                        "span",
                        "soft",
                        format!(
                            "{}. {}: {}",
                            a.problem.label(),
                            words::JUDGED_BY,
                            show::inside(test)
                        ),
                    )],
                );
            }
            let value = a.words();
            let bar = |class: &'static str, share: f64| {
                Node::with(
                    "width",
                    format!("{}%", show::fixed(share * 100.0, 0)),
                    el("span", class, Vec::new()),
                )
            };
            let picture = Node::with(
                "aria-hidden",
                "true".into(),
                el("div", "bar", vec![bar("sure", a.met)]),
            );
            el(
                "li",
                "",
                vec![
                    line(
                        "span",
                        "soft",
                        format!(
                            "{}: {value}, met in {} of 100",
                            a.problem.label(),
                            hundred(a.met)
                        ),
                    ),
                    picture,
                ],
            )
        });
        parts.push(el("ul", "stands", stands.collect()));
    }
    let mut why = vec![
        line("summary", "", words::WHY_HERE),
        line("p", "soft", s.why),
    ];
    if s.money > 0.005 {
        why.push(line(
            "p",
            "soft",
            format!(
                "{} {currency}/hL; labour {} h.",
                show::plain(s.money),
                show::plain(s.labour_hours)
            ),
        ));
    }
    if !s.kit.is_empty() {
        why.push(line(
            "p",
            "soft",
            format!("{}: {}.", words::KEEPS_BUSY, show::listed(&s.kit)),
        ));
    }
    parts.push(el("details", "how", why));
    let class = if s.kind == StepKind::Act {
        "treatment"
    } else {
        "treatment put-in"
    };
    el("li", class, parts)
}

/// Bars over days: what is chosen is plain, what rules put in is grain, tests are outline.
fn calendar(r: &Route) -> Node {
    const LEFT: f64 = 4.0;
    const WIDTH: f64 = 332.0;
    let most = (r.days + r.release_days).max(1.0);
    let x = |d: f64| LEFT + d / most * WIDTH;
    let mut y = 0.0;
    let bar = |s: &Step| {
        let mut mark = Vec::new();
        // Above its bar, as far as there is room.
        let from = x(s.begins).min(WIDE - width(&s.name) - 2.0).max(LEFT);
        y += wrapped((from, y + 13.0), &s.name, &mut mark) * LINE;
        mark.push(rect(
            (x(s.begins), y + 1.0),
            (s.days / most * WIDTH).max(2.0),
            10.0,
            shape_of(s.kind),
        ));
        y += 15.0;
        group(mark)
    };
    let marks = r.steps.iter().map(bar).collect();
    let height = y + 20.0;
    let frame = [(0.0, "start"), (0.5, "middle"), (1.0, "end")]
        .map(|(share, anchor)| {
            label(
                (x(most * share), height - 4.0),
                anchor,
                &format!("day {}", show::fixed(most * share, 0)),
            )
        })
        .to_vec();
    let rows = r.steps.iter().map(|s| {
        let day = s.date.clone().unwrap_or_else(|| show::fixed(s.begins, 0));
        vec![s.name.clone(), day, show::plain(s.days)]
    });
    let table = as_table(
        &[words::STEPS, words::DAY_FROM, words::DAYS_LONG],
        rows.collect(),
    );
    let says = format!(
        "{} steps over {} days.",
        r.steps.len(),
        show::fixed(most, 0)
    );
    section(
        words::CALENDAR,
        Picture {
            key: "calendar",
            title: words::CALENDAR,
            says,
            height,
            frame,
            marks,
            table,
        }
        .nodes()
        .into(),
    )
}

/// The chain as a picture: steps in their order with the days between, to the bottling day.
fn glance(dossier: &Dossier, r: &Route) -> Node {
    let when = |date: Option<String>, day: f64| {
        date.unwrap_or_else(|| format!("day {}", show::fixed(day, 0)))
    };
    // The bottling is a stop of its own, and the release comes after it.
    let before = |s: &&Step| !matches!(s.kind, StepKind::Bottling | StepKind::Release);
    let steps: Vec<&Step> = r.steps.iter().filter(before).collect();
    let ends = steps.iter().skip(1).map(|s| s.begins).chain([r.days]);
    let stop = |(s, end): (&&Step, f64)| Stop {
        shape: shape_of(s.kind),
        name: s.name.clone(),
        when: when(s.date.clone(), s.begins),
        then: Some([end - s.begins; 2]),
    };
    let mut stops: Vec<Stop> = steps.iter().zip(ends).map(stop).collect();
    stops.push(bottling(dossier, when(None, r.days)));
    chain::picture(format!("{}.", acts(r)), &stops)
}

const fn shape_of(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Act => chain::ACT,
        StepKind::PutIn => chain::PUT_IN,
        _ => chain::TEST,
    }
}

/// Money against days: the number is that of the list; filled is free of animal material, outline
/// must be confirmed first.
fn chart(all: &[Route], currency: &str) -> Node {
    const LEFT: f64 = 34.0;
    const RIGHT: f64 = 330.0;
    const TOP: f64 = 12.0;
    const BOTTOM: f64 = 176.0;
    let most_money = all.iter().map(|r| r.money.middle).fold(1.0, f64::max) * 1.1;
    let most_days = all.iter().map(|r| r.days).fold(1.0, f64::max) * 1.1;
    let x = |d: f64| LEFT + d / most_days * (RIGHT - LEFT);
    let y = |m: f64| BOTTOM - m / most_money * (BOTTOM - TOP);
    let mut frame = vec![axes(LEFT, RIGHT, TOP, BOTTOM)];
    for share in [0.0, 0.5, 1.0] {
        frame.push(label(
            (LEFT - 4.0, y(most_money * share) + 4.0),
            "end",
            &show::fixed(most_money * share, 0),
        ));
        frame.push(label(
            (x(most_days * share), BOTTOM + 18.0),
            "middle",
            &show::fixed(most_days * share, 0),
        ));
    }
    // Where something stands already: marks, then numbers.
    let mut taken: Vec<(f64, f64)> = all.iter().map(|r| (x(r.days), y(r.money.middle))).collect();
    let mark = |(i, r): (usize, &Route)| {
        let (px, py) = (x(r.days), y(r.money.middle));
        let class = if r.confirm.is_empty() {
            "act"
        } else {
            "outline"
        };
        // From the aim of 90 in 100 draws, and below it where none reaches it, up to all.
        let size = 3.0 + 4.0 * ((r.probability - 0.85) / 0.15).clamp(0.0, 1.0);
        let shape = if r.origin == "free of animal material" {
            circle((px, py), size, class)
        } else {
            rect((px - size, py - size), 2.0 * size, 2.0 * size, class)
        };
        // The nearest place around it where the number stands on nothing else; further out with a
        // line to it.
        let number = (i + 1).to_string();
        let mut place = (px, py, 0.0);
        'found: for ring in [15.0, 23.0, 31.0, 39.0, 47.0] {
            for (dx, dy) in [
                (0.75, -0.75),
                (1.0, 0.0),
                (0.75, 0.75),
                (-0.75, -0.75),
                (0.0, -1.0),
                (0.0, 1.0),
                (-0.75, 0.75),
                (-1.0, 0.0),
            ] {
                place = (px + dx * ring, py + dy * ring, ring);
                let inside = place.0 > LEFT + 10.0
                    && place.0 < WIDE - 10.0
                    && place.1 > 8.0
                    && place.1 < BOTTOM - 8.0;
                if inside
                    && !taken.iter().any(|t| {
                        (t.0 - place.0).abs() < 16.0
                            && (t.1 - place.1).abs() < 14.0
                            && *t != (px, py)
                    })
                {
                    break 'found;
                }
            }
        }
        let (tx, ty, far) = place;
        taken.push((tx, ty));
        let mut parts = vec![shape, label((tx, ty + 5.0), "middle", &number)];
        if far > 15.0 {
            parts.push(stroke(
                (px, py),
                (tx - (tx - px) * 9.0 / far, ty - (ty - py) * 9.0 / far),
                "axis",
            ));
        }
        group(parts)
    };
    let marks = all.iter().enumerate().map(mark).collect();
    let rows = all.iter().enumerate().map(|(i, r)| {
        vec![
            (i + 1).to_string(),
            show::fixed(r.money.middle, 0),
            show::fixed(r.days, 0),
            if r.has_figures() {
                hundred(r.probability)
            } else {
                "–".into()
            },
            r.origin.to_string(),
        ]
    });
    let heads = [
        words::ROUTE,
        &format!("{currency}/hL"),
        words::DAYS_LONG,
        words::MET_SHORT,
        words::ORIGIN,
    ];
    let table = as_table(&heads, rows.collect());
    // Without the tenth of room above.
    let [money, days] = [most_money, most_days].map(|most| show::fixed(most / 1.1, 0));
    let says = format!(
        "{} routes: up to {money} {currency}/hL, up to {days} days.",
        all.len()
    );
    let mut parts = vec![line("p", "soft", words::MONEY_DAYS_LEAD)];
    parts.extend(
        Picture {
            key: "money",
            title: words::MONEY_DAYS,
            says,
            height: 200.0,
            frame,
            marks,
            table,
        }
        .nodes(),
    );
    section(words::MONEY_DAYS, parts)
}

/// Two routes, difference by difference.
fn beside(id: &str, dossier: &Dossier, a: &Route, b: &Route) -> Vec<Node> {
    let currency = &dossier.currency;
    let of = |r: &Route| {
        let hours: f64 = r.steps.iter().map(|s| s.labour_hours).sum();
        let none = |list: &[&str]| {
            if list.is_empty() {
                "–".to_string()
            } else {
                list.join(", ")
            }
        };
        [
            money(r.money, currency),
            format!("{} days", show::fixed(r.days, 0)),
            met(r, ""),
            format!("{} points", show::fixed(r.impact, 0)),
            r.origin.to_string(),
            none(&r.on_label),
            none(&r.confirm),
            none(&r.hire),
            r.steps.len().to_string(),
            format!("{} h", show::plain(hours)),
            format!("{} kWh/hL", show::plain(r.energy)),
            format!("{} mg/L", show::plain(r.oxygen)),
            r.steps
                .iter()
                .map(|s| s.name.as_str())
                .collect::<Vec<_>>()
                .join("; "),
        ]
    };
    let names = [
        words::COST,
        words::TIME,
        words::MET,
        words::IMPACT,
        words::ORIGIN,
        words::STAYS,
        words::CONFIRM_FIRST,
        words::WITH_HIRE,
        words::STEPS,
        words::LABOUR,
        words::ENERGY,
        words::OXYGEN,
        words::CHAIN,
    ];
    let head = [a, b]
        .map(|r| {
            Node::with(
                "scope",
                "col".into(),
                el(
                    "th",
                    "",
                    vec![link(
                        Page::Routes(id.into(), vec![r.key.clone()]).address(),
                        vec![Node::text(acts(r))],
                    )],
                ),
            )
        })
        .to_vec();
    let mut rows: Vec<(bool, [Node; 2])> = names
        .iter()
        .zip(of(a).into_iter().zip(of(b)))
        .map(|(name, (x, y))| {
            let differs = x != y;
            let title = Node::with("colspan", "2".into(), line("th", "kind", *name));
            (
                differs,
                [
                    el("tr", "count", vec![title]),
                    el("tr", "", vec![line("td", "", x), line("td", "", y)]),
                ],
            )
        })
        .collect();
    crate::sorting::sort(&mut rows, &mut |p, q| q.0.cmp(&p.0));
    let body = rows.into_iter().flat_map(|r| r.1).collect();
    vec![el(
        "table",
        "compare",
        vec![
            el("thead", "", vec![el("tr", "", head)]),
            el("tbody", "", body),
        ],
    )]
}
