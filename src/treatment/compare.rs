//! Two to four treatments side by side on every count, those that differ first.

use super::ranking::{Ranked, Span, measure, price};
use super::setting::Setting;
use super::suit::reasons;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law;
use crate::units::show;
use crate::wine::*;

/// Most treatments that stand side by side.
pub const MOST: usize = 4;

/// One count of all the treatments compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The count.
    pub name: &'static str,
    /// Its value for each treatment, in the order asked for.
    pub values: Vec<String>,
}

impl Row {
    /// Whether the treatments differ in it.
    pub fn differs(&self) -> bool {
        self.values
            .windows(2)
            .any(|w| matches!(w, [a, b] if a != b))
    }
}

/// The rows, differences first; within each half in the order a winemaker asks. Keys that are not
/// known are passed over.
pub fn compare(
    dossier: &Dossier,
    setting: &Setting,
    treatments: &[&'static Treatment],
) -> Vec<Row> {
    let all: Vec<(&'static Treatment, Ranked)> = treatments
        .iter()
        .take(MOST)
        .map(|t| (*t, measure(dossier, setting, t)))
        .collect();
    let mut rows: Vec<Row> = COUNTS
        .iter()
        .map(|(name, value)| Row {
            name,
            values: all.iter().map(|(t, r)| value(dossier, t, r)).collect(),
        })
        .filter(|r| r.values.iter().any(|v| !v.is_empty()))
        .collect();
    crate::sorting::sort(&mut rows, &mut |a, b| b.differs().cmp(&a.differs()));
    rows
}

type Count = (
    &'static str,
    fn(&Dossier, &'static Treatment, &Ranked) -> String,
);

const COUNTS: [Count; 26] = [
    ("Usable here", |w, t, r| {
        let mut against: Vec<&str> = reasons(w, t).iter().map(|r| r.words().0).collect();
        // The law may permit it for other problems alone.
        if r.legality.is_some_and(law::Legality::shuts_out) && !against.contains(&"Law") {
            against.push("Law");
        }
        if against.is_empty() {
            "yes".into()
        } else {
            against.join(", ")
        }
    }),
    ("Takes away", |_, _, r| r.taken()),
    ("Also takes", |_, _, r| {
        r.impact
            .iter()
            .filter(|(_, s)| s.middle > 0.005)
            .map(|(q, s)| format!("{} {}", bare(*q), show::percent(s.middle)))
            .collect::<Vec<_>>()
            .join(", ")
    }),
    ("Adds", |_, t, _| {
        t.effects
            .iter()
            .filter(|e| e.adds.is_some_and(|a| a.high > 0.0))
            .map(|e| bare(e.on))
            .collect::<Vec<_>>()
            .join(", ")
    }),
    ("Cost per hL", |w, _, r| {
        format!(
            "{}{}",
            coins(w, r.money_per_hl),
            if r.product_per_hl.is_none() {
                ", its price a guess"
            } else {
                ""
            }
        )
    }),
    ("Expected money per hL", |w, _, r| {
        coins(w, r.expected_per_hl)
    }),
    ("Cost of the product per hL", |w, _, r| {
        r.product_per_hl.map_or("not known".into(), |s| coins(w, s))
    }),
    ("Cost of the wine lost per hL", |w, _, r| {
        coins(w, r.lost_wine_per_hl)
    }),
    ("Cost of labour per hL", |w, _, r| coins(w, r.labour_per_hl)),
    ("Price", |w, t, _| {
        price(w, t).map_or(String::new(), |(s, each_hl)| {
            format!(
                "{} {} per {}",
                span(s),
                w.currency,
                if each_hl { "hL" } else { "kg or L" }
            )
        })
    }),
    ("Time", |_, _, r| show::days(r.days.low, r.days.high)),
    ("Least wait from the act", |_, t, _| {
        t.wait_days
            .map_or(String::new(), |e| show::days(e.low, e.high))
    }),
    ("Longest in the wine, or after it", |_, t, _| {
        t.longest_days
            .map_or(String::new(), |e| show::days(e.low, e.high))
    }),
    ("Wine lost", |_, _, r| format!("{} %", span(r.loss_percent))),
    ("Labour", |_, _, r| format!("{} h", span(r.labour_hours))),
    ("Energy", |_, _, r| {
        r.energy_kwh_per_hl
            .map_or("not known".into(), |s| format!("{} kWh/hL", span(s)))
    }),
    ("Water", |_, t, _| {
        t.water_l_per_hl
            .map_or("not known".into(), |e| format!("{} L/hL", range(&e)))
    }),
    ("Dose", |_, t, _| {
        t.dose.map_or("none".into(), |d| {
            format!("{} {}", range(&d.range), d.basis.label())
        })
    }),
    ("Law", |_, _, r| {
        r.law
            .iter()
            .map(|f| format!("{}: {}", f.market.label(), f.legality.label()))
            .collect::<Vec<_>>()
            .join("; ")
    }),
    ("Limit", |_, t, r| match (r.dose_cap, t.dose) {
        (Some(cap), Some(d)) => format!("{} {}", show::plain(cap), d.basis.label()),
        _ => String::new(),
    }),
    ("Organic", |w, t, _| {
        let words = |s: Organic| match law::organic(s, t) {
            None => format!("{}: not in the lists read", s.label()),
            Some(r) if r.evidence == Evidence::Memory => format!("{}: not verified", s.label()),
            Some(r) => format!("{}: {}", s.label(), show::lower(r.verdict.label())),
        };
        w.schemes()
            .into_iter()
            .map(words)
            .collect::<Vec<_>>()
            .join("; ")
    }),
    ("Origin", |_, t, _| t.origin.label().into()),
    ("Stays in the wine", |_, t, _| {
        if t.stays {
            "yes, an additive".into()
        } else {
            "no".into()
        }
    }),
    ("Who", |_, t, _| t.access.label().into()),
    ("Equipment", |_, t, _| {
        t.kit
            .iter()
            .map(|k| k.label())
            .collect::<Vec<_>>()
            .join(if t.any_kit { " or " } else { ", " })
    }),
    ("Measure again", |_, t, _| {
        crate::state::voids(t)
            .iter()
            .map(|q| bare(*q))
            .collect::<Vec<_>>()
            .join(", ")
    }),
];

fn bare(q: Quantity) -> String {
    show::inside(q.bare())
}

/// Money of the wine, rounded as in the ranked list.
fn coins(dossier: &Dossier, s: Span) -> String {
    let (a, b) = (show::fixed(s.low, 1), show::fixed(s.high, 1));
    format!(
        "{} {}",
        if a == b { a } else { format!("{a}–{b}") },
        &*dossier.currency
    )
}

fn span(s: Span) -> String {
    show::range(s.low, s.high)
}

fn range(e: &Estimate) -> String {
    show::range(e.low, e.high)
}
