//! What a route can be best at. A route is compared by a short list of figures, the first that
//! differ decide.

use super::model::{Counts, Instance};
use std::cmp::Ordering;

/// What a route is best at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// The one scale of loss: money, days, impact and the chance to fail.
    Loss,
    /// Money.
    Money,
    /// Days.
    Days,
    /// Impact on the wine.
    Impact,
    /// No animal material.
    Origin,
    /// Things on the label.
    Label,
    /// Loss, whatever must be hired.
    LossHired,
    /// Days, whatever must be hired.
    DaysHired,
    /// Loss, whatever is not known of the law.
    LossUnsure,
}

/// Figures by which routes are compared, the first counting most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score([f64; 6]);

impl Score {
    /// Whether it is less than another.
    pub fn is_less(&self, other: &Score) -> bool {
        let told_apart = |(a, b): (&f64, &f64)| {
            let order = a.total_cmp(b);
            ((a - b).abs() > 1e-9).then_some(order)
        };
        self.0.iter().zip(&other.0).find_map(told_apart) == Some(Ordering::Less)
    }
}

impl Aim {
    /// All, the most telling first.
    pub const ALL: [Aim; 9] = [
        Aim::Loss,
        Aim::Money,
        Aim::Days,
        Aim::Impact,
        Aim::Origin,
        Aim::Label,
        Aim::LossHired,
        Aim::DaysHired,
        Aim::LossUnsure,
    ];

    /// What it says of a route that is best at it.
    pub const fn words(self) -> &'static str {
        match self {
            Aim::Loss | Aim::LossHired => "best in all",
            Aim::LossUnsure => "best in all once its law is confirmed",
            Aim::Money => "cheapest",
            Aim::Days | Aim::DaysHired => "quickest",
            Aim::Impact => "gentlest",
            Aim::Origin => "free of animal material",
            Aim::Label => "fewest additions on the label",
        }
    }

    /// The figures of a route. What needs nothing hired and no law confirmed goes before what does,
    /// but for an aim that leaves that aside. With the least that the counts of a route can be and
    /// `met` 1, it is the least that its figures can be.
    pub fn score(self, on: &Instance, counts: &Counts, met: f64) -> Score {
        let hired = f64::from(u8::from(counts.hired));
        let unsure = f64::from(u8::from(counts.unsure));
        let loss = || on.loss(counts, met);
        let operations = counts.decisions as f64;
        let Counts {
            money,
            days,
            impact,
            ..
        } = *counts;
        Score(match self {
            Aim::Loss => [hired, unsure, loss(), money, days, operations],
            Aim::Money => [hired, unsure, money, days, impact, operations],
            Aim::Days => [hired, unsure, days, money, impact, operations],
            Aim::Impact => [hired, unsure, impact, money, days, operations],
            Aim::Origin => {
                let animal = f64::from(u8::from(counts.origin > 0));
                [hired, unsure, animal, loss(), money, days]
            }
            Aim::Label => [hired, unsure, f64::from(counts.labels), loss(), money, days],
            Aim::LossHired => [unsure, loss(), money, days, operations, 0.0],
            Aim::DaysHired => [unsure, days, money, impact, operations, 0.0],
            Aim::LossUnsure => [hired, loss(), money, days, operations, 0.0],
        })
    }
}
