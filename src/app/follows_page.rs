//! What follows from the analyses: values with how they were worked out, the chart of bitartrate,
//! before and after.

use super::dossiers::dossier_now;
use super::paper::{Node, el, line, section};
use super::parts::{entries, no_wine, wine_head};
use super::picture::{Picture, as_table, axes, circle, label, stroke, through};
use super::store::store;
use super::words;
use crate::derived::{Change, Chart, Derived, findings};
use crate::units::show;

/// The page.
pub fn page(id: &str) -> Vec<Node> {
    let store = store();
    let (Some(wine), Some(dossier)) = (store.wine_now(id), dossier_now(store, id)) else {
        return no_wine(words::FOLLOWS);
    };
    let f = findings(&dossier);
    let mut nodes = wine_head(id, &wine, words::FOLLOWS);
    nodes.push(line("p", "soft", words::FOLLOWS_LEAD));
    if f.values.is_empty() {
        nodes.push(line("p", "", words::NOTHING_FOLLOWS));
    }
    nodes.push(el("ul", "facts", f.values.iter().map(value).collect()));
    nodes.extend(f.chart.as_ref().map(chart));
    if !f.changes.is_empty() {
        nodes.push(changes(&f.changes));
    }
    nodes.extend(entries(
        words::MISSING,
        f.missing
            .iter()
            .map(|m| line("li", "", m.clone()))
            .collect(),
    ));
    nodes
}

fn value(d: &Derived) -> Node {
    let mut how = vec![line("p", "soft", format!("{}.", d.how))];
    if !d.assumed.is_empty() {
        how.push(line(
            "p",
            "soft",
            format!("Assumed: {}.", d.assumed.join("; ")),
        ));
    }
    how.insert(0, line("summary", "", words::HOW_WORKED));
    el(
        "li",
        "",
        vec![
            line("span", "soft", d.name),
            line("strong", "", d.value.clone()),
            el("details", "how", how),
        ],
    )
}

/// Before, and after each treatment that moves acids or potassium.
pub fn changes(all: &[Change]) -> Node {
    let head = ["K, mg/L", "Tartaric, g/L", "TA, g/L", "pH"]
        .map(|h| Node::with("scope", "col".into(), line("th", "", h)))
        .to_vec();
    let rows = all.iter().flat_map(|c| {
        let ph = if (c.ph_high - c.ph_low) < 0.005 {
            show::fixed(c.ph, 2)
        } else {
            format!(
                "{} ({}–{})",
                show::fixed(c.ph, 2),
                show::fixed(c.ph_low.min(c.ph_high), 2),
                show::fixed(c.ph_high.max(c.ph_low), 2)
            )
        };
        let name = Node::with("colspan", "4".into(), line("th", "kind", c.name.clone()));
        let values = [
            show::fixed(c.potassium, 0),
            show::fixed(c.tartaric, 2),
            show::fixed(c.titratable_acidity, 2),
            ph,
        ];
        [
            el("tr", "count", vec![name]),
            el("tr", "", values.map(|v| line("td", "", v)).to_vec()),
        ]
    });
    let table = el(
        "table",
        "compare",
        vec![
            el("thead", "", vec![el("tr", "", head)]),
            el("tbody", "", rows.collect()),
        ],
    );
    section(
        words::BEFORE_AFTER,
        vec![line("p", "soft", words::BEFORE_AFTER_LEAD), table],
    )
}

const LEFT: f64 = 34.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 12.0;
const BOTTOM: f64 = 186.0;

/// Ionic product against solubility over temperature, with storage and saturation marked.
fn chart(c: &Chart) -> Node {
    let most = (c.product * 1.35).max(8.0);
    let x = |t: f64| LEFT + (t + 5.0) / 35.0 * (RIGHT - LEFT);
    let y = |v: f64| BOTTOM - v / most * (BOTTOM - TOP);
    let at = |v: f64| show::fixed(v, 1);
    // What has a place in the picture, and whether it is a fifth degree, which has a mark.
    let mut curve = Vec::new();
    let (mut marks, mut rows) = (Vec::new(), Vec::new());
    for (t, v) in c.saturated.iter().copied() {
        let fifth = (t / 5.0 - libm::round(t / 5.0)).abs() < 1e-6;
        if fifth {
            rows.push(vec![show::fixed(t, 0), at(v), at(c.product)]);
        }
        if v <= most {
            curve.push((x(t), y(v)));
            if fifth {
                marks.push(circle((x(t), y(v)), 2.5, ""));
            }
        }
    }
    let mut frame = vec![
        axes(LEFT, RIGHT, TOP, BOTTOM),
        through("polyline", "solid", &curve),
        stroke((LEFT, y(c.product)), (RIGHT, y(c.product)), "dashed"),
        label((LEFT + 4.0, y(c.product) - 5.0), "start", words::THIS_WINE),
    ];
    for t in [-5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0] {
        frame.push(label((x(t), BOTTOM + 18.0), "middle", &show::fixed(t, 0)));
    }
    for share in [0.0, 0.5, 1.0] {
        frame.push(label(
            (LEFT - 4.0, y(most * share) + 4.0),
            "end",
            &show::fixed(most * share, 0),
        ));
    }
    // Beside the curve, low enough to stay clear of the line of the wine.
    if let Some((t, v)) = c
        .saturated
        .iter()
        .copied()
        .rfind(|(_, v)| *v <= most * 0.25)
    {
        frame.push(label(
            (x(t) - 4.0, y(v) - 6.0),
            "end",
            words::SATURATED_LINE,
        ));
    }
    let mut says = format!("Product of this wine: {}.", at(c.product));
    for (t, name) in [(c.saturation, "saturation"), (c.storage, "storage")] {
        if let Some(t) = t.filter(|t| (-5.0..=30.0).contains(t)) {
            let (side, shift) = if t > 12.0 {
                ("end", -3.0)
            } else {
                ("start", 3.0)
            };
            let height = if name == "storage" {
                BOTTOM - 6.0
            } else {
                TOP + 8.0
            };
            frame.push(stroke((x(t), TOP), (x(t), BOTTOM), "dotted"));
            frame.push(label(
                (x(t) + shift, height),
                side,
                &format!("{name} {} °C", at(t)),
            ));
            says.push_str(&format!(" {}: {} °C.", show::sentence(name), at(t)));
        }
    }
    let table = as_table(&["°C", words::SATURATED, words::THIS_WINE], rows);
    let mut parts = vec![line("p", "soft", words::CHART_LEAD)];
    parts.extend(
        Picture {
            key: "bitartrate",
            title: words::CHART,
            says,
            height: 210.0,
            frame,
            marks,
            table,
        }
        .nodes(),
    );
    section(words::CHART, parts)
}
