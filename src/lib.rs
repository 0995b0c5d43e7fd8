//! Stillbright: what to do with a wine that is not yet fit to bottle.
//!
//! The rooms, from the ground up; an upper room may use a lower one, never the reverse. Nothing
//! outside `app` knows that
//! a browser, a clock or a disk exists.

/// The whole advice for a wine.
pub mod advice;
/// What answers say, as keys beside their sentences.
pub mod answer;
/// The cellar book: scenarios as files and in storage, behind one port.
pub mod book;
/// The wine, checked once a change: numbers in units, days, the log and the plan.
pub mod case;
/// Cited equations: acids and bases, tartrate, sulfur dioxide, protein, heat and cold, settling,
/// filtration, oxygen.
pub mod chemistry;
/// The invented wines that the page brings along.
pub mod demos;
/// What follows from the analyses of a wine by the equations.
pub mod derived;
/// From what is seen and tested to causes, and the test to do next.
pub mod diagnosis;
/// What is known of a wine, worked out once for all answers.
pub mod dossier;
/// A wine at a glance: its lanes, its next step, its next days.
pub mod glance;
/// Files and results as JSON, read and written by one small piece of code.
pub mod json;
/// Facts with source and standing, checked when the crate is built.
pub mod knowledge;
/// What the law of each market says.
pub mod law;
/// What is to be said, before any language is chosen.
pub mod message;
/// What must be shown of a wine before the line, at the line and before it is released.
pub mod obligations;
/// What the page shows of a wine, gathered for a program.
pub mod report;
/// Whole chains of acts, from this wine to fit to bottle: the best ones only, on a calendar.
pub mod route;
/// The judge: what speaks for or against an act on this wine.
pub mod rules;
/// Putting short lists in order.
pub mod sorting;
/// The stabilities a bottle needs: verdict, probability, margin, evidence.
pub mod stability;
/// From a wine and typical values to a state; acts turn one state into another.
pub mod state;
/// From what is to be said to its words in a language.
pub mod text;
/// One treatment on one wine, and the ranking for a problem.
pub mod treatment;
/// Bench trials: the ladder and its stock, what the readings say, the tested rung.
pub mod trial;
/// Numbers, units and days: reading what was typed, showing what was worked out.
pub mod units;
/// What the user tells us: types only.
pub mod wine;
/// What the cellar does and what the bottle needs: work order, what the log counts, the record of
/// fitness to bottle, on paper.
pub mod work_order;

/// The page. Only under the wasm target.
#[cfg(target_arch = "wasm32")]
pub mod app;
