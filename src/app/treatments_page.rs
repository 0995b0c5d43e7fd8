//! Treatments ranked for a problem, what was left out, and what was assumed.

use super::page::Page;
use super::parts::sentences;
use super::store::store;
use super::{files, words};
use crate::advice::{Advice, ProblemAdvice, advise};
use crate::law::Legality;
use crate::treatment::{Ranked, Share, Span};
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;

/// The page.
#[component]
pub fn TreatmentsPage(id: String, problem: Option<Problem>) -> impl IntoView {
    let store = store();
    let Some(wine) = store.wine_now(&id) else {
        return view! { <h1>{words::TREATMENTS}</h1><p>{words::NO_WINE}</p><p><a href="#/">{words::BOOK}</a></p> }.into_any();
    };
    let wine_id = StoredValue::new(id.clone());
    let Some(problem) = problem
        .filter(|p| wine.problems.contains(p))
        .or_else(|| wine.problems.first().copied())
    else {
        return view! { <h1>{words::TREATMENTS}</h1><p>{words::NO_PROBLEM}</p><a class="main" href=Page::Wine(id).address()>{words::THE_WINE}</a> }.into_any();
    };
    let advice = Memo::new(move |_| {
        store
            .wine(&wine_id.get_value())
            .map(|w| advise(&w, store.today()))
    });
    let tabs = wine.problems.iter().copied().map(|p| {
        let here = p == problem;
        view! { <a class="chip" aria-current=if here { Some("page") } else { None } href=Page::Treatments(id.clone(), Some(p)).address()>{p.label()}</a> }
    }).collect_view();
    let name = if wine.name.trim().is_empty() {
        words::UNNAMED.to_string()
    } else {
        wine.name.clone()
    };
    view! {
        <p class="crumb"><a href=Page::Wine(id.clone()).address()>{name}</a></p>
        <h1>{problem.label()}</h1>
        {(wine.problems.len() > 1).then(|| view! { <nav class="chips" aria-label=words::PROBLEMS>{tabs}</nav> })}
        {move || advice.get().and_then(|a| a.problems.into_iter().find(|p| p.problem == problem)).map(|p| view! { <p class="answer" role="status">{p.answer}</p> })}
        <details class="weights"><summary>{words::WEIGHTS}</summary>{weights(wine_id)}</details>
        {move || advice.get().map(|a| body(&wine_id.get_value(), problem, a))}
    }
    .into_any()
}

fn weights(id: StoredValue<String>) -> AnyView {
    let store = store();
    type Pick = fn(&mut Weights) -> &mut u8;
    let rows: [(&'static str, Pick); 4] = [
        (words::EFFECT, |w| &mut w.effect),
        (words::COST, |w| &mut w.cost),
        (words::TIME, |w| &mut w.time),
        (words::ORIGIN, |w| &mut w.origin),
    ];
    rows.map(|(name, pick)| {
        let value = move || store.wine(&id.get_value()).map_or(0, |mut w| *pick(&mut w.weights));
        let step = move |by: i8| store.edit(&id.get_value(), |w| {
            let v = pick(&mut w.weights);
            *v = v.saturating_add_signed(by).min(10);
        });
        view! {
            <div class="stepper" role="group" aria-label=name>
                <span>{name}</span>
                <button type="button" aria-label=format!("{name}: {}", words::LESS) on:click=move |_| step(-1)>"−"</button>
                <output>{value}</output>
                <button type="button" aria-label=format!("{name}: {}", words::MORE) on:click=move |_| step(1)>"+"</button>
            </div>
        }
    }).collect_view().into_any()
}

fn body(id: &str, problem: Problem, advice: Advice) -> AnyView {
    let file = StoredValue::new(serde_json::to_string(&vec![&advice]).unwrap_or_default());
    let Some(p) = advice.problems.iter().find(|p| p.problem == problem) else {
        return ().into_any();
    };
    let not_read = advice
        .not_read
        .iter()
        .map(|e| view! { <li>{format!("{}: “{}”. {}", e.field, e.read, e.expected)}</li> })
        .collect_view();
    let assumed = advice.assumed.iter().map(|a| view! { <li><span>{format!("{}: {}", a.what, a.taken)}</span><span class="standing">{a.standing.label()}</span></li> }).collect_view();
    view! {
        {(!advice.not_read.is_empty()).then(|| view! { <section class="mend"><h2>{words::NOT_READ}</h2><ul>{not_read}</ul></section> })}
        {sentences(words::FIRST, p.first.clone())}
        <section>
            <h2>{words::RANKED}</h2>
            <ol class="ranked">{p.ranked.iter().map(|r| row(id, problem, r)).collect_view()}</ol>
        </section>
        {sentences(words::ERRORS, p.errors.clone())}
        {sentences(words::NO_CURE, p.no_cure.clone())}
        {left_out(p)}
        <details><summary>{words::ASSUMED}</summary><ul class="facts">{assumed}</ul></details>
        <section>
            {advice.so2.clone().map(|t| view! { <p>{t}</p> })}
            {advice.notes.iter().map(|t| view! { <p class="soft">{t.clone()}</p> }).collect_view()}
            <button on:click=move |_| files::save("stillbright-advice.json", &file.get_value())>{words::SAVE_ADVICE}</button>
        </section>
    }
    .into_any()
}

fn row(id: &str, problem: Problem, r: &Ranked) -> AnyView {
    let address = Page::Treatment(id.to_string(), problem, r.key.to_string()).address();
    let law = r.legality.map_or("", |l| match l {
        Legality::Permitted => "",
        other => other.label(),
    });
    let beaten = r
        .beaten_by
        .and_then(|k| crate::knowledge::TREATMENTS.iter().find(|t| t.key == k))
        .map(|t| format!("{} is at least as good on every count", t.name));
    let origin = crate::knowledge::TREATMENTS
        .iter()
        .find(|t| t.key == r.key)
        .map_or("", |t| t.origin.label());
    let impact: Vec<String> = r
        .impact
        .iter()
        .filter(|(_, s)| s.middle > 0.005)
        .map(|(q, s)| {
            format!(
                "{} {}",
                q.label().trim_end_matches(" (share left)").to_lowercase(),
                show::percent(s.middle)
            )
        })
        .collect();
    let energy = r
        .energy_kwh_per_hl
        .map_or(words::NOT_KNOWN.to_string(), |e| {
            format!("{} kWh/hL", spread(e))
        });
    let cost = if r.product_per_hl.is_none() && r.costed_dose.is_some() {
        format!("{}/hL without product", spread(r.money_per_hl))
    } else {
        format!("{}/hL", spread(r.money_per_hl))
    };
    view! {
        <li class="treatment" class:doubtful=r.legality == Some(Legality::NotVerified)>
            <a href=address><span class="rank">{r.rank}</span><strong>{r.name}</strong></a>
            <div class="bar" aria-hidden="true"><span class="sure" style:width=width(r.removes.low)></span><span class="grain" style:width=width(r.removes.high - r.removes.low)></span></div>
            <dl class="counts">
                <div><dt>{words::EFFECT}</dt><dd>{format!("{}–{}", show::fixed(r.removes.low * 100.0, 0), show::percent(r.removes.high))}</dd></div>
                <div><dt>{words::COST}</dt><dd>{cost}</dd></div>
                <div><dt>{words::TIME}</dt><dd>{format!("{} days", spread(r.days))}</dd></div>
                <div><dt>{words::ORIGIN}</dt><dd>{origin}</dd></div>
            </dl>
            <p class="soft">{format!("{}: {} %. {}: {} h. {}: {}.", words::LOST_WINE, spread(r.loss_percent), words::LABOUR, spread(r.labour_hours), words::ENERGY, energy)}
                {(!impact.is_empty()).then(|| format!(" {}: {}.", words::IMPACT, impact.join(", ")))}</p>
            <p class="soft">{shares(r)}</p>
            {(!law.is_empty()).then(|| view! { <p class="mark">{law}</p> })}
            {(!r.organic_unsure.is_empty()).then(|| view! { <p class="mark">{format!("Not verified for: {}", r.organic_unsure.iter().map(|o| o.label()).collect::<Vec<_>>().join(", "))}</p> })}
            {r.colour_caution.map(|c| view! { <p class="mark">{c}</p> })}
            {r.too_late.then(|| view! { <p class="mark">{words::TOO_LATE}</p> })}
            {beaten.map(|b| view! { <p class="mark">{b}</p> })}
        </li>
    }
    .into_any()
}

/// What each criterion brought to the place.
fn shares(r: &Ranked) -> String {
    let total = r.total.middle.max(1e-9);
    let part = |name: &str, s: &Share| {
        format!(
            "{} {}",
            name.to_lowercase(),
            show::percent(s.points / total)
        )
    };
    format!(
        "{} points: {}, {}, {}, {}.",
        show::fixed(r.total.middle * 100.0, 0),
        part(words::EFFECT, &r.effect),
        part(words::COST, &r.cost),
        part(words::TIME, &r.time),
        part(words::ORIGIN, &r.origin)
    )
}

fn spread(s: Span) -> String {
    show::range(s.low, s.high)
}

fn width(share: f64) -> String {
    format!("{}%", show::fixed((share * 100.0).clamp(0.0, 100.0), 1))
}

fn left_out(p: &ProblemAdvice) -> AnyView {
    view! {
        <details>
            <summary>{format!("{} ({})", words::LEFT_OUT, p.left_out.len())}</summary>
            <ul class="facts">
                {p.left_out.iter().map(|l| view! {
                    <li>
                        <strong>{l.name}</strong>
                        <ul>{l.reasons.iter().map(|r| { let (kind, text) = r.words(); view! { <li><span class="kind">{kind}</span>" "{text}</li> } }).collect_view()}</ul>
                    </li>
                }).collect_view()}
            </ul>
        </details>
    }
    .into_any()
}
