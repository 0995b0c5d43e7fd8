//! Whether the rows on order hold together: no act goes before itself by any way, none asks for
//! itself, and no two rows say the same. What depends on the colour is looked at in each colour.

use super::crate_words::{Colour, RuleVerdict, Word};
use super::owned::Rule;
use std::collections::{BTreeMap, BTreeSet};

/// A row with its file and key, as a fault names it.
pub struct Row<'a> {
    /// File and key.
    pub place: String,
    /// The row.
    pub rule: &'a Rule,
}

/// One act before another, and the row that says so.
struct Edge<'a> {
    from: &'a str,
    to: &'a str,
    place: &'a str,
}

/// All that is wrong between the rows.
pub fn faults(rows: &[Row<'_>]) -> Vec<String> {
    let mut found = BTreeSet::new();
    for colour in Colour::EVERY {
        let before = edges(rows, *colour, |v| v == RuleVerdict::GoesBefore);
        found.extend(twice(&before));
        let what = "goes before itself";
        found.extend(circle(&before).map(|c| c.said(what)));
        let asks = edges(rows, *colour, |v| {
            matches!(v, RuleVerdict::NeedsAfter | RuleVerdict::NeedsBefore)
        });
        found.extend(circle(&asks).map(|c| c.said("asks for itself")));
    }
    found.into_iter().collect()
}

/// Whether a row can hold in a wine of this colour; what it asks beside the colour may be so.
fn may_hold(rule: &Rule, colour: Colour) -> bool {
    rule.when.0.iter().all(|clause| {
        clause.any.0.iter().any(|q| {
            let has = q.colours.0.iter().any(|c| c.0 == colour);
            q.colours.0.is_empty() || has != q.not
        })
    })
}

fn edges<'a>(
    rows: &'a [Row<'a>],
    colour: Colour,
    wanted: impl Fn(RuleVerdict) -> bool,
) -> Vec<Edge<'a>> {
    let mut all = Vec::new();
    for row in rows {
        if !wanted(row.rule.verdict.0) || !may_hold(row.rule, colour) {
            continue;
        }
        for from in &row.rule.about.0 {
            all.extend(row.rule.acts.0.iter().map(|to| Edge {
                from,
                to,
                place: &row.place,
            }));
        }
    }
    all
}

/// Pairs that two rows name.
fn twice(edges: &[Edge<'_>]) -> Vec<String> {
    let mut first: BTreeMap<(&str, &str), &str> = BTreeMap::new();
    let mut found = Vec::new();
    for e in edges {
        if let Some(other) = first.insert((e.from, e.to), e.place) {
            found.push(format!(
                "{}: `{}` before `{}` stands in {other} already",
                e.place, e.from, e.to
            ));
        }
    }
    found
}

/// A way from an act back to it.
struct Circle<'a> {
    place: &'a str,
    acts: Vec<&'a str>,
}

impl Circle<'_> {
    fn said(&self, what: &str) -> String {
        let way = self.acts.join(" → ");
        format!("{}: an act {what}: {way}", self.place)
    }
}

/// The first circle, if there is one.
fn circle<'a>(edges: &[Edge<'a>]) -> Option<Circle<'a>> {
    let mut done = BTreeSet::new();
    edges.iter().find_map(|e| {
        let mut way = Vec::new();
        walk(edges, e.from, e.place, &mut way, &mut done)
    })
}

/// Follows the edges from an act; what was left once without a circle is not walked again.
fn walk<'a>(
    edges: &[Edge<'a>],
    at: &'a str,
    place: &'a str,
    way: &mut Vec<&'a str>,
    done: &mut BTreeSet<&'a str>,
) -> Option<Circle<'a>> {
    if let Some(from) = way.iter().position(|act| *act == at) {
        let mut acts = way.split_off(from);
        acts.push(at);
        return Some(Circle { place, acts });
    }
    if done.contains(at) {
        return None;
    }
    way.push(at);
    let next = edges.iter().filter(|e| e.from == at);
    for e in next {
        if let Some(found) = walk(edges, e.to, e.place, way, done) {
            return Some(found);
        }
    }
    let _left = way.pop();
    let _new = done.insert(at);
    None
}
