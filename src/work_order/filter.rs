//! The area a filter needs for the tank: by the flow of wine in a day, by what it takes before it
//! blocks, and, for a membrane,
//! by Vmax of this wine. Where nothing is known, the maker is to be asked.

use super::sheet::Line;
use crate::chemistry::filter::{pieces, sizing};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::units::{Litres, Millilitres, SquareCentimetres, SquareMetres, show};
use crate::wine::*;
use serde::Serialize;

/// Hours that a run is planned for; twice as long, half the area. Judgement.
pub const HOURS: f64 = 8.0;
/// Area of a disc of 25 mm, cm²: the whole of it, since a smaller one promises more [derived].
const DISC: f64 = 4.9;
/// Share of Vmax that is used: the flow falls to a quarter. Common practice.
const USED: f64 = 0.5;

/// An area with the pieces that make it up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Area {
    /// Least and most, m².
    pub area: [f64; 2],
    /// Pieces for the least area of the largest piece, and for the most of the smallest; None where
    /// there are none.
    pub pieces: Option<[u32; 2]>,
}

/// What a filter needs for a volume.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Filter {
    /// What is known of it; None where nothing is.
    pub facts: Option<&'static FilterFacts>,
    /// By the flow of wine over [`HOURS`].
    pub by_flow: Option<Area>,
    /// By what it takes before it blocks.
    pub by_hold: Option<Area>,
    /// By Vmax of this wine, mL.
    pub by_vmax: Option<(f64, Area)>,
}

/// The filter of a step, for so many litres; None where the step is no filter.
pub fn filter(dossier: &Dossier, t: &Treatment, litres: Option<Litres>) -> Option<Filter> {
    if t.family != Family::Filter {
        return None;
    }
    let mut found = Filter {
        facts: FILTERS
            .rows()
            .iter()
            .find(|f| f.treatments.contains(&t.key)),
        by_flow: None,
        by_hold: None,
        by_vmax: None,
    };
    let (Some(facts), Some(lot)) = (found.facts, litres) else {
        return Some(found);
    };
    let of = |per_m2: f64| lot.0 / per_m2;
    let area = |least: f64, most: f64| Area {
        area: [least, most],
        pieces: facts.piece.and_then(|p| {
            Some([
                pieces(SquareMetres(least), SquareMetres(p.high)).ok()?,
                pieces(SquareMetres(most), SquareMetres(p.low)).ok()?,
            ])
        }),
    };
    found.by_flow = Some(area(
        of(facts.flux.high * HOURS),
        of(facts.flux.low * HOURS),
    ));
    found.by_hold = facts.holds.map(|h| area(of(h.high), of(h.low)));
    let vmax = dossier
        .analysis(Quantity::Vmax)
        .filter(|_| facts.by_vmax && !dossier.voided(Quantity::Vmax));
    found.by_vmax = vmax.and_then(|v| {
        let needed = sizing(Millilitres(v), SquareCentimetres(DISC), lot, USED)
            .ok()?
            .area
            .0;
        Some((v, area(needed, needed)))
    });
    Some(found)
}

fn words(facts: &FilterFacts, a: &Area) -> String {
    let range = |low: String, high: String| {
        if low == high {
            low
        } else {
            format!("{low}–{high}")
        }
    };
    let area = range(show::plain(a.area[0]), show::plain(a.area[1]));
    match a.pieces {
        Some([few, many]) => format!(
            "{area} m², {} {}",
            range(few.to_string(), many.to_string()),
            facts.pieces
        ),
        None => format!("{area} m²"),
    }
}

/// The lines of a filter on paper.
pub fn lines(filter: &Filter) -> Vec<Line> {
    let Some(facts) = filter.facts else {
        return vec![Line::Mark(
            "Filter area: not known here, ask the maker.".into(),
        )];
    };
    let how = |e: &Estimate| {
        if e.source.is_empty() {
            e.standing.label().to_string()
        } else {
            format!("{} · {}", e.standing.label(), e.source)
        }
    };
    let mut lines = vec![super::sheet::known(&facts.grade)];
    let Some(flow) = &filter.by_flow else {
        lines.push(Line::Mark("Filter area: measure the tank first.".into()));
        return lines;
    };
    let flux = show::range(facts.flux.low, facts.flux.high);
    lines.push(Line::Known(
        format!(
            "Area to run it in {} hours at {flux} L/m²/h: {}. Twice the hours, half of it.",
            show::plain(HOURS),
            words(facts, flow)
        ),
        how(&facts.flux),
    ));
    if let (Some(hold), Some(e)) = (&filter.by_hold, &facts.holds) {
        lines.push(Line::Known(
            format!(
                "It takes {} L/m² before it blocks: {}. The larger area counts.",
                show::range(e.low, e.high),
                words(facts, hold)
            ),
            how(e),
        ));
    }
    match &filter.by_vmax {
        Some((vmax, area)) => lines.push(Line::Say(format!(
            "By Vmax of {} mL, half of it used: {}. The larger area counts. A disc promises more than a cartridge keeps: have a spare set.",
            show::plain(*vmax),
            words(facts, area)
        ))),
        None if facts.by_vmax => lines.push(Line::Mark("How much it takes before it blocks is not known: measure Vmax on a disc, or ask the maker.".into())),
        None if filter.by_hold.is_none() => lines.push(Line::Say("How much it takes before it blocks: ask the maker.".into())),
        None => {}
    }
    if let Some(p) = facts.piece.filter(|p| p.standing == Standing::Memory) {
        lines.push(Line::Known(
            format!(
                "A piece has about {} m²: see its sheet.",
                show::range(p.low, p.high)
            ),
            how(&p),
        ));
    }
    lines
}
