//! The questions that every wine is asked: one a page on the guided path, the same fields on the
//! sheet of the wine.

use super::page::Page;
use super::paper::{Node, el, line, with};
use super::parts::{choose_many, choose_one, field};
use super::words;
use crate::wine::*;

/// How many questions there are on the path of one question a page.
pub const ASKED: usize = 9;

/// One of the questions that every wine is asked, from 1 in the order of the path; the sheet shows
/// the same fields.
pub fn asked(id: &str, wine: &Wine, at: usize) -> Vec<Node> {
    match at {
        1 => vec![
            el(
                "p",
                "",
                vec![with(
                    "href",
                    Page::Cause(id.into()).address(),
                    line("a", "chip", words::CAUSE),
                )],
            ),
            choose_many(
                id,
                words::PROBLEMS,
                Problem::ALL,
                Problem::label,
                |w| &mut w.problems,
                |w, o| w.problems.contains(&o),
            ),
        ],
        2 => vec![choose_one(
            id,
            words::COLOUR,
            Colour::ALL,
            Colour::label,
            |w| w.colour,
            |w, v| w.colour = v,
        )],
        3 => vec![choose_one(
            id,
            words::STAGE,
            Stage::ALL,
            Stage::label,
            |w| w.stage,
            |w, v| w.stage = v,
        )],
        4 => vec![choose_one(
            id,
            words::MADE_IN,
            Market::ALL,
            Market::label,
            |w| w.made_in,
            |w, v| w.made_in = v,
        )],
        5 => vec![choose_many(
            id,
            words::SOLD_IN,
            Market::ALL,
            Market::label,
            |w| &mut w.sold_in,
            |w, o| w.sold_in.contains(&o),
        )],
        6 => vec![
            choose_many(
                id,
                words::CLAIMS,
                Claim::ALL,
                Claim::label,
                |w| &mut w.claims,
                |w, o| w.claims.contains(&o),
            ),
            choose_many(
                id,
                words::ORGANIC,
                Organic::ALL,
                Organic::label,
                |w| &mut w.organic,
                |w, o| w.organic.contains(&o),
            ),
        ],
        7 => vec![field(
            id,
            wine,
            "volume",
            words::VOLUME.into(),
            true,
            Box::new(|w| Some(w.volume.0.clone())),
            Box::new(|w, t| w.volume = AsTyped(t)),
        )],
        8 => vec![field(
            id,
            wine,
            "bottling_day",
            words::BOTTLING_DAY.into(),
            false,
            Box::new(|w| Some(w.bottling_day.clone())),
            Box::new(|w, t| w.bottling_day = t),
        )],
        _ => vec![field(
            id,
            wine,
            "name",
            words::NAME.into(),
            false,
            Box::new(|w| Some(w.name.clone())),
            Box::new(|w, t| w.name = t),
        )],
    }
}

/// Whether that question was answered.
pub fn is_answered(w: &Wine, at: usize) -> bool {
    match at {
        1 => !w.problems.is_empty(),
        2 => w.colour.is_some(),
        3 => w.stage.is_some(),
        4 => w.made_in.is_some(),
        5 => !w.sold_in.is_empty(),
        6 => !w.claims.is_empty() || !w.organic.is_empty(),
        7 => !w.volume.0.trim().is_empty(),
        8 => !w.bottling_day.trim().is_empty(),
        _ => !w.name.trim().is_empty(),
    }
}
