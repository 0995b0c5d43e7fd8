//! Two to four treatments side by side, those counts first in which they differ. Which ones stands
//! in the address.

use super::dossiers::dossier_now;
use super::page::Page;
use super::paper::{Node, el, line, link, section};
use super::parts::{head, no_wine};
use super::store::store;
use super::words;
use crate::advice::{advise, setting};
use crate::knowledge::{Treatment, treatment};
use crate::treatment::compare::{MOST, Row, compare};
use crate::wine::Problem;

/// The page.
pub fn page(id: &str, problem: Problem, keys: &[String]) -> Vec<Node> {
    let store = store();
    let Some(dossier) = dossier_now(store, id) else {
        return no_wine(words::COMPARE);
    };
    let mut chosen: Vec<&'static Treatment> = Vec::new();
    for key in keys {
        chosen.extend(treatment(key).filter(|t| !chosen.iter().any(|c| c.key == t.key)));
    }
    chosen.truncate(MOST);
    let rows = setting(&dossier, problem, store.today(), |s| {
        compare(&dossier, s, &chosen)
    })
    .unwrap_or_default();
    let with = |keys: Vec<&str>| {
        Page::Compare(
            id.into(),
            problem,
            keys.into_iter().map(String::from).collect(),
        )
        .address()
    };
    let now: Vec<&str> = chosen.iter().map(|t| t.key).collect();
    let columns = chosen.iter().map(|t| {
        let rest: Vec<&str> = now.iter().copied().filter(|k| *k != t.key).collect();
        let name = link(
            Page::Treatment(id.into(), problem, t.key.into()).address(),
            vec![Node::text(t.name)],
        );
        let out = (!rest.is_empty()).then(|| {
            link(
                with(rest),
                vec![
                    line("span", "", words::TAKE_OUT),
                    line("span", "voice", format!(" {}", t.name)),
                ],
            )
        });
        Node::with(
            "scope",
            "col".into(),
            el("th", "", std::iter::once(name).chain(out).collect()),
        )
    });
    let (differ, alike): (Vec<Row>, Vec<Row>) = rows.into_iter().partition(Row::differs);
    let mut nodes = head(
        &Page::Treatments(id.into(), Some(problem)),
        problem.label(),
        words::COMPARE,
    );
    let table = |rows: &[Row], head: Option<Vec<Node>>| {
        let count = chosen.len().to_string();
        let body = rows.iter().flat_map(|r| {
            let name = Node::with("colspan", count.clone(), line("th", "kind", r.name));
            [
                el("tr", "count", vec![name]),
                el(
                    "tr",
                    "",
                    r.values
                        .iter()
                        .map(|v| line("td", "", if v.is_empty() { "–" } else { v }))
                        .collect(),
                ),
            ]
        });
        let parts = head
            .map(|h| el("thead", "", vec![el("tr", "", h)]))
            .into_iter()
            .chain([el("tbody", "", body.collect())]);
        el("table", "compare", parts.collect())
    };
    if chosen.len() < 2 {
        nodes.push(table(&[], Some(columns.collect())));
    } else {
        nodes.push(section(
            words::DIFFERENT,
            vec![table(&differ, Some(columns.collect()))],
        ));
        nodes.push(section(words::ALIKE, vec![table(&alike, None)]));
    }
    if chosen.len() < MOST {
        let advice = advise(&dossier.with_problem(problem), store.today());
        let ranked = advice
            .problems
            .iter()
            .filter(|p| p.problem == problem)
            .flat_map(|p| &p.ranked);
        let add = ranked.filter(|r| !now.contains(&r.key)).map(|r| {
            let more: Vec<&str> = now.iter().copied().chain([r.key]).collect();
            Node::with("href", with(more), line("a", "chip", r.name))
        });
        nodes.push(section(
            words::COMPARE_ADD,
            vec![el("div", "chips", add.collect())],
        ));
    }
    nodes
}
