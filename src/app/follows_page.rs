//! What follows from the analyses: values with how they were worked out, the chart of bitartrate, before and after.

use super::paper::{Node, el, line, section};
use super::parts::{as_table, entries, no_wine, wine_head};
use super::store::store;
use super::words;
use crate::derived::{Change, Chart, Derived, findings};
use crate::units::show;

/// The page.
pub fn page(id: &str) -> Vec<Node> {
    let store = store();
    let Some(wine) = store.wine_now(id) else {
        return no_wine(words::FOLLOWS);
    };
    let f = findings(&wine);
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
    nodes.extend(entries(words::MISSING, f.missing.iter().map(|m| line("li", "", m.clone())).collect()));
    nodes
}

fn value(d: &Derived) -> Node {
    let mut how = vec![line("p", "soft", format!("{}.", d.how))];
    if !d.assumed.is_empty() {
        how.push(line("p", "soft", format!("Assumed: {}.", d.assumed.join("; "))));
    }
    how.insert(0, line("summary", "", words::HOW_WORKED));
    el("li", "", vec![line("span", "soft", d.name), line("strong", "", d.value.clone()), el("details", "how", how)])
}

/// Before, and after each treatment that moves acids or potassium.
pub fn changes(all: &[Change]) -> Node {
    let head = ["K, mg/L", "Tartaric, g/L", "TA, g/L", "pH"].map(|h| Node::with("scope", "col".into(), line("th", "", h))).to_vec();
    let rows = all.iter().flat_map(|c| {
        let ph = if (c.ph_high - c.ph_low) < 0.005 {
            show::fixed(c.ph, 2)
        } else {
            format!("{} ({}–{})", show::fixed(c.ph, 2), show::fixed(c.ph_low.min(c.ph_high), 2), show::fixed(c.ph_high.max(c.ph_low), 2))
        };
        let name = Node::with("colspan", "4".into(), line("th", "kind", c.name.clone()));
        let values = [show::fixed(c.potassium, 0), show::fixed(c.tartaric, 2), show::fixed(c.titratable_acidity, 2), ph];
        [el("tr", "count", vec![name]), el("tr", "", values.map(|v| line("td", "", v)).to_vec())]
    });
    let table = el("table", "compare", vec![el("thead", "", vec![el("tr", "", head)]), el("tbody", "", rows.collect())]);
    section(words::BEFORE_AFTER, vec![line("p", "soft", words::BEFORE_AFTER_LEAD), table])
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
    let stroke = |from: (f64, f64), to: (f64, f64), class: &str| {
        Node::draw("line", vec![("x1", at(from.0)), ("y1", at(from.1)), ("x2", at(to.0)), ("y2", at(to.1)), ("class", class.into())], Vec::new())
    };
    let text = |(px, py): (f64, f64), anchor: &str, words: String| {
        Node::draw("text", vec![("x", at(px)), ("y", at(py)), ("text-anchor", anchor.into())], vec![Node::text(words)])
    };
    let curve: Vec<String> = c.saturated.iter().filter(|(_, v)| *v <= most).map(|(t, v)| format!("{},{}", at(x(*t)), at(y(*v)))).collect();
    let mut parts = vec![
        stroke((LEFT, BOTTOM), (RIGHT, BOTTOM), "axis"),
        stroke((LEFT, TOP), (LEFT, BOTTOM), "axis"),
        Node::draw("polyline", vec![("points", curve.join(" ")), ("class", "solid".into())], Vec::new()),
        stroke((LEFT, y(c.product)), (RIGHT, y(c.product)), "dashed"),
        text((LEFT + 4.0, y(c.product) - 5.0), "start", "this wine".into()),
    ];
    for t in [-5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0] {
        parts.push(text((x(t), BOTTOM + 14.0), "middle", show::fixed(t, 0)));
    }
    for share in [0.0, 0.5, 1.0] {
        parts.push(text((LEFT - 4.0, y(most * share) + 4.0), "end", show::fixed(most * share, 0)));
    }
    // Beside the curve, low enough to stay clear of the line of the wine.
    if let Some((t, v)) = c.saturated.iter().copied().rfind(|(_, v)| *v <= most * 0.25) {
        parts.push(text((x(t) - 4.0, y(v) - 6.0), "end", "saturated".into()));
    }
    let mut said = format!("The product of the wine is {} hundred-thousandths.", at(c.product));
    for (t, name) in [(c.saturation, "saturation"), (c.storage, "storage")] {
        if let Some(t) = t.filter(|t| (-5.0..=30.0).contains(t)) {
            parts.push(stroke((x(t), TOP), (x(t), BOTTOM), "dotted"));
            let (side, shift) = if t > 12.0 { ("end", -3.0) } else { ("start", 3.0) };
            let height = if name == "storage" { BOTTOM - 6.0 } else { TOP + 8.0 };
            parts.push(text((x(t) + shift, height), side, format!("{name} {} °C", at(t))));
            said.push_str(&format!(" {name}: {} °C.", at(t)));
        }
    }
    let svg = Node::draw("svg", vec![("viewBox", "0 0 340 206".into()), ("role", "img".into()), ("aria-label", said), ("class", "chart".into())], parts);
    // Every fifth degree.
    let rows = c.saturated.iter().filter(|(t, _)| (t / 5.0 - libm::round(t / 5.0)).abs() < 1e-6).map(|(t, v)| vec![show::fixed(*t, 0), at(*v), at(c.product)]);
    section(
        words::CHART,
        vec![
            line("p", "soft", "Concentration product, 10⁻⁵ (mol/L)², over °C. Where this wine lies above the saturated line, crystals have a reason to fall."),
            svg,
            as_table(&["°C", words::SATURATED, "this wine"], rows.collect()),
        ],
    )
}
