//! About the figures: standings, counts, law read, sources.

use super::words;
use crate::knowledge::*;
use crate::wine::*;
use leptos::prelude::*;

/// The page.
#[component]
pub fn FiguresPage() -> impl IntoView {
    let counts = counts();
    view! {
        <h1>{words::FIGURES}</h1>
        <p class="answer">{format!("{} treatments, {} rules of law, {} works cited.", TREATMENTS.len(), LAW.len() + ORGANIC.len() + SO2_LIMITS.len(), SOURCES.len())}</p>
        <section><h2>"How they are known"</h2>
            <ul class="facts">{counts.into_iter().map(|(s, n)| view! { <li><span>{s.label()}</span><span class="standing">{n}</span></li> }).collect_view()}</ul>
            <p class="soft">"Read: in the source named. Derived: worked out from read figures. Judgement: ours, from the evidence named. From memory and common practice: not read anywhere; treat as a lead."</p>
            <p class="soft">"Effects come from strengths of evidence put on a scale of ours (weak 10–35 %, clear 30–70 %, first-line 60–95 % of the problem taken away) unless a figure was read. The four value scales and the weights are judgements; prices are in money of the year shown."</p>
        </section>
        <section><h2>{words::LAW}</h2>
            <p class="soft">{words::CONFIRM}</p>
            <ul class="facts">{MARKETS.iter().map(|m| view! { <li><span><strong>{m.market.label()}</strong>": "{m.law}". "{m.edition}</span><span>{m.unlisted.text}</span></li> }).collect_view()}</ul>
        </section>
        <section><h2>{words::SOURCES}</h2>
            <ul class="facts">{SOURCES.iter().map(|s| view! { <li><span><strong>{s.key}</strong>" "{s.title}</span><span class="standing">{s.read}</span></li> }).collect_view()}</ul>
        </section>
    }
}

/// Figures and statements by standing, counted over the tables.
fn counts() -> Vec<(Standing, usize)> {
    let all = crate::knowledge::standings();
    Standing::ALL
        .iter()
        .map(|s| (*s, all.iter().filter(|x| *x == s).count()))
        .collect()
}
