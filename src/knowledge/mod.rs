//! Facts: treatments, law by market, problems and their bands, typical values, order rules, sources. Data files under
//! `data/`, checked when the crate is built and held as static tables. No facts are written in code.

use crate::wine::*;
use serde::Serialize;

#[cfg(test)]
use crate::wine::words;
#[cfg(test)]
mod compile;

type Text = &'static str;
type List<T> = &'static [T];
type W<T> = T;

macro_rules! shape {
    ($($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* })*) => {
        $($(#[$meta])* #[derive(Debug, Clone, Copy, PartialEq, Serialize)] pub struct $name { $($body)* })*
    };
}
include!("schema.rs");
include!(concat!(env!("OUT_DIR"), "/knowledge.rs"));
