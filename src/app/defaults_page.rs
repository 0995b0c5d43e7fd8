//! The user's defaults: equipment, prices, labour and markets that every new wine begins with.

use super::parts::{choose_many, choose_one};
use super::store::store;
use super::wine_page::{kits, money, price};
use super::words;
use crate::book::DEFAULTS;
use crate::knowledge::TREATMENTS;
use crate::wine::*;
use leptos::prelude::*;

/// The page.
pub fn page() -> AnyView {
    let store = store();
    store.open_defaults();
    let wine = store.defaults();
    let prices = TREATMENTS.iter().filter(|t| t.price.is_some() || t.dose.is_some()).map(|t| price(DEFAULTS, &wine, t)).collect_view();
    view! {
        <h1>{words::DEFAULTS}</h1>
        <p class="soft">{words::DEFAULTS_LEAD}</p>
        {choose_one(DEFAULTS, words::MADE_IN, Market::ALL, Market::label, |w| w.made_in, |w, v| w.made_in = v)}
        {choose_many(DEFAULTS, words::SOLD_IN, Market::ALL, Market::label, |w| &mut w.sold_in, |w, o| w.sold_in.contains(&o))}
        <section><h2>{words::MONEY}</h2>{money(DEFAULTS, &wine)}</section>
        <section><h2>{words::KIT}</h2><p class="soft">{words::KIT_LEAD}</p>{kits(DEFAULTS, &wine)}</section>
        <details><summary>{words::PRICES}</summary><p class="soft">{words::PRICES_LEAD}</p><div class="fields">{prices}</div></details>
    }
    .into_any()
}
