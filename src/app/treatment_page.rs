//! One treatment, whole: how it works, dose and ladder, preparation, order, over-treatment, label, law, cautions, and the
//! source and standing of every figure.

use super::page::Page;
use super::parts::{fact, facts, standing};
use super::store::store;
use super::words;
use crate::knowledge::*;
use crate::law;
use crate::units::show;
use crate::wine::*;
use leptos::prelude::*;

/// The page.
#[component]
pub fn TreatmentPage(id: String, problem: Problem, key: String) -> impl IntoView {
    let store = store();
    let back = Page::Treatments(id.clone(), Some(problem)).address();
    let (Some(wine), Some(t)) = (
        store.wine_now(&id),
        TREATMENTS.iter().find(|t| t.key == key),
    ) else {
        return view! { <h1>{words::LOST}</h1><p><a href=back>{words::TREATMENTS}</a></p> }
            .into_any();
    };
    let order: Vec<AnyView> = ORDER
        .iter()
        .filter(|o| o.treatments.contains(&t.key))
        .map(|o| view! { <li><span><strong>{o.severity.label()}</strong>": "{o.rule.text}</span><span class="standing">{standing(o.rule.standing.label(), o.rule.source)}</span></li> }.into_any())
        .collect();
    let cautions: Vec<AnyView> = t
        .cautions
        .iter()
        .filter_map(|k| CAUTIONS.iter().find(|c| c.key == *k))
        .map(|c| fact(&c.text))
        .collect();
    let voids: Vec<&str> = t.voids.iter().map(|q| q.label()).collect();
    let colour = wine
        .colour
        .and_then(|c| t.colours.iter().find(|f| f.colour == c));
    view! {
        <p class="crumb"><a href=back>{problem.label()}</a></p>
        <h1>{t.name}</h1>
        <p class="answer">{t.summary}</p>
        {colour.map(|f| view! { <ul class="facts">{fact(&f.why)}</ul> })}
        {(!cautions.is_empty()).then(|| view! { <section class="cautions"><h2>{words::CAUTIONS}</h2><ul class="facts">{cautions}</ul></section> })}
        {facts(words::HOW, t.mechanism)}
        {dose(&wine, t)}
        {facts(words::PREPARATION, t.preparation)}
        {facts(words::CONTACT, t.contact)}
        {(!order.is_empty()).then(|| view! { <section><h2>{words::ORDER}</h2><ul class="facts">{order}</ul></section> })}
        {facts(words::OVER, t.over)}
        {effects(t)}
        {(!voids.is_empty()).then(|| view! { <section><h2>{words::VOIDS}</h2><p>{voids.join(", ")}</p></section> })}
        <section><h2>{words::LABEL}</h2><ul class="facts"><li><span>{words::ORIGIN}": "{t.origin.label()}</span></li>{fact(&t.origin_note)}{t.label.iter().map(fact).collect_view()}</ul></section>
        {law_section(&wine, t)}
        {facts(words::DISAGREE, t.disagree)}
        {figures(t)}
    }
    .into_any()
}

fn dose(wine: &Wine, t: &'static Treatment) -> AnyView {
    let Some(d) = t.dose else {
        return (t.access == Access::Licensed).then(|| view! { <section><h2>{words::DOSE}</h2><p>{words::NEVER_DOSED}" "{t.summary}</p></section> }).into_any();
    };
    let found = law::findings(wine, t);
    let unit = d.basis.label();
    let us = |v: f64| {
        (d.basis == Basis::GramsPerHl)
            .then(|| {
                format!(
                    " ({} lb/1000 gal)",
                    show::plain(crate::units::GramsPerHl(v).pounds_per_1000_gallons())
                )
            })
            .unwrap_or_default()
    };
    let salt = |v: f64| match (d.active_share, d.active) {
        (Some(share), Some(active))
            if share > 0.0
                && !matches!(
                    d.basis,
                    Basis::GramsPerHl | Basis::MillilitresPerHl | Basis::MilligramsPerLitre
                ) =>
        {
            format!(
                " = {} mg/L {} holding {} {active}",
                show::plain(v / share),
                d.counted_as,
                show::percent(share)
            )
        }
        _ => String::new(),
    };
    let closed = law::hardest(&found) == Some(law::Legality::Forbidden);
    let rungs = d.ladder.iter().map(|v| {
        let ml = match (d.basis, d.stock_percent) {
            (Basis::GramsPerHl, Some(p)) => crate::units::GramsPerHl(*v).stock_millilitres(100.0, p).map(|m| format!("{} mL", show::fixed(m, 2))).unwrap_or_default(),
            _ => String::new(),
        };
        let over = !law::within_cap(&found, *v);
        view! { <tr class:over=over><td>{show::plain(*v)}</td><td>{ml}</td><td>{if over { "over the legal limit" } else { "" }}</td></tr> }
    }).collect_view();
    let stock = d.stock_percent.map_or(String::new(), |p| {
        format!("of a {} % w/v stock in 100 mL of wine", show::plain(p))
    });
    view! {
        <section>
            <h2>{words::DOSE}</h2>
            <p>{format!("Useful range {} {unit}{}, {}{}.", show::range(d.range.low, d.range.high), us(d.range.high), d.counted_as, salt(d.range.middle))}
                <span class="standing">{standing(d.range.standing.label(), d.range.source)}</span></p>
            {d.by_trial.then(|| view! { <p><strong>"The dose is a rung that was tested on this wine, never a figure from this page."</strong></p> })}
            {closed.then(|| view! { <p class="mark">"Not permitted for this wine and its markets."</p> })}
            {(!d.ladder.is_empty()).then(|| view! {
                <table><caption>{format!("Bench ladder. Control first, contact as in the cellar. {stock}")}</caption>
                <thead><tr><th scope="col">{unit}</th><th scope="col">"Stock"</th><th scope="col">"Law"</th></tr></thead><tbody>{rungs}</tbody></table>
            })}
            {d.note.as_ref().map(|n| view! { <ul class="facts">{fact(n)}</ul> })}
        </section>
    }
    .into_any()
}

fn effects(t: &'static Treatment) -> AnyView {
    view! {
        <section><h2>{words::EFFECTS}</h2><ul class="facts">
            {t.effects.iter().map(|e| {
                let name = e.on.label().trim_end_matches(" (share left)");
                let (what, by) = match (e.removes, e.adds) {
                    (Some(r), _) => (format!("{name}: takes {}–{} by {}", show::fixed(r.low * 100.0, 0), show::percent(r.high), e.process.label()), r),
                    (None, Some(a)) => (format!("{name}: adds {} {}{}", show::range(a.low, a.high), e.on.facts().unit, if t.dose.is_some() { " per unit of dose" } else { "" }), a),
                    (None, None) => return ().into_any(),
                };
                view! { <li><span>{what}{e.note.map(|n| format!(". {n}"))}</span><span class="standing">{standing(by.standing.label(), by.source)}</span></li> }.into_any()
            }).collect_view()}
        </ul></section>
    }
    .into_any()
}

fn law_section(wine: &Wine, t: &'static Treatment) -> AnyView {
    let found = law::findings(wine, t);
    let organic = wine.organic.iter().map(|s| {
        let (text, by) = law::organic(*s, t).map_or(("Not in the lists read: confirm with the certifier.".to_string(), String::new()), |r| {
            (format!("{}. {}", if r.evidence == Evidence::Memory { "Not verified" } else { r.verdict.label() }, r.text), format!("{} · {}", r.evidence.label(), r.source))
        });
        view! { <li><span><strong>{s.label()}</strong>": "{text}</span><span class="standing">{by}</span></li> }
    }).collect_view();
    view! {
        <section>
            <h2>{words::LAW}</h2>
            <p class="soft">{words::CONFIRM}</p>
            {found.is_empty().then(|| view! { <p>"No market was named."</p> })}
            <ul class="facts">
                {found.into_iter().map(|f| view! {
                    <li>
                        <span><strong>{f.market.label()}</strong>": "{f.legality.label()}" ("{f.basis.label()}")"</span>
                        {f.limits.iter().map(|l| view! { <span>{*l}</span> }).collect_view()}
                        {f.conditions.iter().map(|c| view! { <span>{*c}</span> }).collect_view()}
                        {(!f.note.is_empty()).then(|| view! { <span>{f.note.clone()}</span> })}
                        <span class="standing">{format!("{} · {} · {} · {}", f.article, f.edition, f.evidence.label(), f.source)}</span>
                    </li>
                }).collect_view()}
                {organic}
            </ul>
        </section>
    }
    .into_any()
}

fn figures(t: &'static Treatment) -> AnyView {
    let row = |name: &'static str, e: &Estimate, unit: &str| {
        view! { <li><span>{format!("{name}: {} {unit}", show::range(e.low, e.high))}</span><span class="standing">{standing(e.standing.label(), e.source)}</span></li> }.into_any()
    };
    view! {
        <section><h2>{words::FIGURES_USED}</h2><ul class="facts">
            {row("Until clear of it", &t.days, "days")}
            {t.longest_days.as_ref().map(|e| row("At most in the wine", e, "days"))}
            {row(words::LOST_WINE, &t.loss_percent, "%")}
            {row(words::LABOUR, &t.labour_hours, "h for the tank")}
            {t.energy_kwh_per_hl.as_ref().map(|e| row(words::ENERGY, e, "kWh/hL"))}
            {t.water_l_per_hl.as_ref().map(|e| row("Water", e, "L/hL"))}
            {t.price.as_ref().map(|p| row("Price", &p.amount, &format!("{}/{} ({})", p.currency, if p.per_hl { "hL" } else { "kg or L" }, p.year)))}
        </ul></section>
    }
    .into_any()
}
