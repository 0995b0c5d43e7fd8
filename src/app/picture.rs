//! Pictures: drawings with a title and a description of their own, and their figures as a table
//! behind them. One mark for one
//! row. Words in a drawing are wrapped and kept inside by the width of their letters, which nothing
//! can be asked for before
//! they stand on the page.

use super::paper::{Node, el, fold, line, shown, told, with};
use super::words;
use crate::units::show;

/// Width of every drawing, in its own units; the style sheet gives its letters 14 of them (12 px on
/// a screen of 320).
pub const WIDE: f64 = 340.0;
/// Width of a letter on average in the widest of the usual fonts.
const LETTER: f64 = 8.2;
/// From one line of words to the next.
pub const LINE: f64 = 17.0;

/// A picture with all that belongs to it.
pub struct Picture<'a> {
    /// Begins the identifiers of title and description; one of its kind on a page.
    pub key: &'static str,
    /// Its title.
    pub title: &'a str,
    /// What it shows, in sentences.
    pub says: String,
    /// Height, in units of the drawing.
    pub height: f64,
    /// Axes, limits and what else holds for all.
    pub frame: Vec<Node>,
    /// What stands for one row of the table each.
    pub marks: Vec<Node>,
    /// The same figures as a table.
    pub table: Node,
}

impl Picture<'_> {
    /// Drawing and table.
    pub fn nodes(self) -> [Node; 2] {
        let id = |part: &str| format!("{}-{part}", self.key);
        let said = |tag: &'static str, text: &str| {
            told(Node::draw(tag, vec![("id", id(tag))], Vec::new()), text)
        };
        let mut parts = vec![said("title", self.title), said("desc", &self.says)];
        parts.extend(self.frame);
        parts.push(Node::draw("g", vec![("class", "marks".into())], self.marks));
        let about = vec![
            ("viewBox", format!("0 0 {} {}", at(WIDE), at(self.height))),
            ("role", "img".into()),
            ("aria-labelledby", [id("title"), id("desc")].join(" ")),
            ("class", "chart".into()),
        ];
        [Node::draw("svg", about, parts), self.table]
    }
}

/// Figures as a table, folded away.
pub fn as_table(heads: &[&str], rows: Vec<Vec<String>>) -> Node {
    let head = heads
        .iter()
        .map(|h| with("scope", "col", line("th", "", h)))
        .collect();
    let body = rows
        .into_iter()
        .map(|r| el("tr", "", r.into_iter().map(|c| line("td", "", c)).collect()))
        .collect();
    let table = el(
        "table",
        "",
        vec![
            el("thead", "", vec![el("tr", "", head)]),
            el("tbody", "", body),
        ],
    );
    fold("behind", words::AS_TABLE, vec![table])
}

/// A place or a length as an attribute, which knows no minus but the one of the keyboard.
fn at(v: f64) -> String {
    show::fixed(v, 1).replace('−', "-")
}

/// A shape by its numbers.
pub fn shape(tag: &'static str, class: &str, numbers: &[(&'static str, f64)]) -> Node {
    let mut all: Vec<(&'static str, String)> =
        numbers.iter().map(|(name, v)| (*name, at(*v))).collect();
    all.push(("class", class.into()));
    Node::draw(tag, all, Vec::new())
}

/// A straight line.
pub fn stroke(from: (f64, f64), to: (f64, f64), class: &str) -> Node {
    shape(
        "line",
        class,
        &[("x1", from.0), ("y1", from.1), ("x2", to.0), ("y2", to.1)],
    )
}

/// The two axes between which something is drawn.
pub fn axes(left: f64, right: f64, top: f64, bottom: f64) -> Node {
    through(
        "polyline",
        "axis",
        &[(left, top), (left, bottom), (right, bottom)],
    )
}

/// A circle.
pub fn circle((x, y): (f64, f64), radius: f64, class: &str) -> Node {
    shape("circle", class, &[("cx", x), ("cy", y), ("r", radius)])
}

/// A box by its upper left corner.
pub fn rect((x, y): (f64, f64), width: f64, height: f64, class: &str) -> Node {
    shape(
        "rect",
        class,
        &[("x", x), ("y", y), ("width", width), ("height", height)],
    )
}

/// A line or an area through points.
pub fn through(tag: &'static str, class: &str, points: &[(f64, f64)]) -> Node {
    let points: Vec<String> = points
        .iter()
        .map(|(x, y)| format!("{},{}", at(*x), at(*y)))
        .collect();
    Node::draw(
        tag,
        vec![("points", points.join(" ")), ("class", class.into())],
        Vec::new(),
    )
}

/// Several shapes as one mark.
pub fn group(parts: Vec<Node>) -> Node {
    Node::draw("g", Vec::new(), parts)
}

/// Words that begin, end or have their middle (`anchor`) at a place, moved as far as they must to
/// stay inside.
pub fn label(place: (f64, f64), anchor: &str, text: &str) -> Node {
    put(place, anchor, &shown(&text))
}

/// About how wide a text is, in the language chosen, on one line.
pub fn width(text: &str) -> f64 {
    shown(&text).chars().count() as f64 * LETTER
}

fn put((x, y): (f64, f64), anchor: &str, text: &str) -> Node {
    let long = (text.chars().count() as f64 * LETTER).min(WIDE);
    let x = match anchor {
        "end" => x.max(long),
        "middle" => x.max(long / 2.0).min(WIDE - long / 2.0),
        _ => x.min(WIDE - long),
    };
    Node::draw(
        "text",
        vec![("x", at(x)), ("y", at(y)), ("text-anchor", anchor.into())],
        vec![Node::own(text)],
    )
}

/// Words from a place on, over as many lines as they need; how many that were.
pub fn wrapped((x, y): (f64, f64), text: &str, into: &mut Vec<Node>) -> f64 {
    let most = ((WIDE - x) / LETTER) as usize;
    let (mut lines, mut now) = (0.0, String::new());
    let text = shown(&text);
    let mut end = |now: &mut String| {
        into.push(put((x, y + lines * LINE), "start", now));
        lines += 1.0;
        now.clear();
    };
    for word in text.split(' ') {
        if !now.is_empty() && now.chars().count() + 1 + word.chars().count() > most {
            end(&mut now);
        }
        if !now.is_empty() {
            now.push(' ');
        }
        now.push_str(word);
    }
    end(&mut now);
    lines
}
