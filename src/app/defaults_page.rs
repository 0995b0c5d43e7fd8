//! The user's defaults: equipment, prices, labour and markets that every new wine begins with.

use super::habits;
use super::paper::{Node, el, fold, line, section};
use super::parts::{choose_many, choose_one, sieve};
use super::store::store;
use super::wine_page::{kits, money, price};
use super::words;
use crate::book::DEFAULTS;
use crate::knowledge::TREATMENTS;
use crate::wine::*;

/// The page.
pub fn page() -> Vec<Node> {
    let store = store();
    store.open_defaults();
    let wine = store.defaults();
    let prices: Vec<Node> = TREATMENTS
        .iter()
        .filter(|t| t.price.is_some() || t.dose.is_some())
        .map(|t| price(DEFAULTS, &wine, t))
        .collect();
    let mut kit = kits(DEFAULTS, &wine);
    kit.insert(0, line("p", "soft", words::KIT_LEAD));
    vec![
        line("h1", "", words::DEFAULTS),
        line("p", "soft", words::DEFAULTS_LEAD),
        choose_one(
            DEFAULTS,
            words::MADE_IN,
            Market::ALL,
            Market::label,
            |w| w.made_in,
            |w, v| w.made_in = v,
        ),
        choose_many(
            DEFAULTS,
            words::SOLD_IN,
            Market::ALL,
            Market::label,
            |w| &mut w.sold_in,
            |w, o| w.sold_in.contains(&o),
        ),
        habits::choice(),
        section(words::MONEY, money(DEFAULTS, &wine)),
        section(words::KIT, kit),
        fold(
            "",
            words::PRICES,
            vec![
                line("p", "soft", words::PRICES_LEAD),
                sieve(words::PRICES, prices.clone(), true),
                el("div", "fields", prices),
            ],
        ),
    ]
}
