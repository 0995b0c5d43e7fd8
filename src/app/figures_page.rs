//! About the figures: standings, counts, law read, sources.

use super::paper::{Node, el, line, section};
use super::parts::{known, sieve};
use super::words;
use crate::knowledge::*;
use crate::wine::*;

/// The page.
pub fn page() -> Vec<Node> {
    let said = |text: String| vec![Node::text(text)];
    let read = Evidence::ALL.iter().map(|e| {
        let rules = LAW.iter().filter(|r| r.evidence == *e).count()
            + ORGANIC.iter().filter(|r| r.evidence == *e).count()
            + SO2_LIMITS.iter().filter(|r| r.evidence == *e).count();
        known(said(e.label().into()), rules.to_string())
    });
    let read: Vec<Node> = read.collect();
    let counts = counts()
        .into_iter()
        .map(|(s, n)| known(said(s.label().into()), n.to_string()))
        .collect();
    let markets: Vec<Node> = BODIES
        .iter()
        .map(|b| {
            known(
                said(format!(
                    "{}: {} {} Ask: {}.",
                    b.law.label(),
                    b.unlisted.text,
                    b.edition,
                    b.authority
                )),
                b.name.into(),
            )
        })
        .collect();
    let sources: Vec<Node> = SOURCES
        .iter()
        .map(|s| known(said(format!("{} {}", s.key, s.title)), s.read.into()))
        .collect();
    let works = format!(
        "{} treatments, {} rules of law, {} works cited.",
        TREATMENTS.len(),
        LAW.len() + ORGANIC.len() + SO2_LIMITS.len(),
        SOURCES.len()
    );
    vec![
        line("h1", "", words::FIGURES),
        line("p", "answer", works),
        section(
            "How they are known",
            vec![
                el("ul", "facts", counts),
                line(
                    "p",
                    "soft",
                    "Read: in the source named. Derived: worked out from read figures. Judgement: ours, from the evidence named. From memory and common practice: not read anywhere; treat as a lead.",
                ),
                line(
                    "p",
                    "soft",
                    "Effects come from strengths of evidence put on a scale of ours (weak 10–35 %, clear 30–70 %, first-line 60–95 % of the problem taken away) unless a figure was read. The four value scales and the weights are judgements too; prices are in money of the year shown.",
                ),
                line(
                    "p",
                    "soft",
                    "The scales, 0 to 1. Effect: the share of the way to the band, or of the problem, that is covered. Cost: 1 at nothing, 0 at 100 EUR/hL, logarithmic. Time: 1 at once, 0 at 120 days, logarithmic. Origin: nothing added 1; mineral, plant, yeast or fungus, synthetic 0.75; milk, egg 0.25; fish, animal, not known 0.",
                ),
                line(
                    "p",
                    "soft",
                    "Money: the loss when a need is not met is a share of the wine's value, by problem; what a day and a point of impact cost stand beside it. All of it can be typed over. Shares of draws are right to 6 in 100 while you type (256 draws) and to 3 at rest (1,000).",
                ),
            ],
        ),
        section(
            words::LAW,
            vec![
                line("p", "soft", words::CONFIRM),
                line(
                    "p",
                    "soft",
                    "Rules of law by what was read of them; what is believed is marked, what is not known ranks last.",
                ),
                el("ul", "facts", read),
                sieve(words::LAW, markets.clone(), true),
                el("ul", "facts", markets),
            ],
        ),
        el(
            "details",
            "",
            vec![
                line(
                    "summary",
                    "",
                    format!("{} ({})", words::SOURCES, SOURCES.len()),
                ),
                sieve(words::SOURCES, sources.clone(), false),
                el("ul", "facts", sources),
            ],
        ),
    ]
}

/// Figures and statements by standing, counted over the tables.
fn counts() -> Vec<(Standing, usize)> {
    let all = crate::knowledge::standings();
    Standing::ALL
        .iter()
        .map(|s| (*s, all.iter().filter(|x| *x == s).count()))
        .collect()
}
