//! The wines that tests draw: those of the snapshots, and plausible ones with logs. No test uses all
//! of it.
#![allow(dead_code)]

#[path = "../snapshots/plausible.rs"]
pub mod plausible;
#[path = "../snapshots/wines.rs"]
pub mod wines;

use stillbright::units::day::Day;

/// The day on which they are looked at.
pub fn today() -> Option<Day> {
    Day::read(wines::TODAY)
}
