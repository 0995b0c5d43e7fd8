//! A chain of steps as a picture: one below the other, tests and trials where they stand, the days
//! between, bottling at the end.

use super::paper::{Node, line, section};
use super::picture::{LINE, Picture, as_table, circle, group, rect, stroke, wrapped};
use super::words;
use crate::dossier::Dossier;
use crate::trial::TRIAL_DAYS;
use crate::units::{day::Day, show};
use crate::work_order::order::WorkOrder;

/// Class of an act that was chosen.
pub const ACT: &str = "act";
/// Of an act that a rule puts in.
pub const PUT_IN: &str = "grain";
/// Of a test or a trial.
pub const TEST: &str = "outline";
/// Of the bottling day.
const END: &str = "ring";

/// One stop of a chain.
pub struct Stop {
    /// Its kind, as the class of its shape.
    pub shape: &'static str,
    /// What is done.
    pub name: String,
    /// When it begins; empty where no day is known.
    pub when: String,
    /// Days from its beginning to the next, least and most, waits among them; None where they are
    /// not counted.
    pub then: Option<[f64; 2]>,
}

/// The end of every chain: the day in the plan, else the day counted from the first.
pub fn bottling(dossier: &Dossier, counted: String) -> Stop {
    Stop {
        shape: END,
        name: words::BOTTLING.into(),
        when: dossier.bottling_day.given().map_or(counted, Day::show),
        then: None,
    }
}

/// Heading, legend, picture and table.
pub fn picture(says: String, stops: &[Stop]) -> Node {
    const AXIS: f64 = 10.0;
    const WORDS: f64 = 26.0;
    let (mut y, mut marks) = (2.0, Vec::new());
    let between = |s: &Stop| {
        s.then
            .filter(|d| d[1] > 0.0)
            .map_or(String::new(), |[low, high]| show::days(low, high))
    };
    let mut last = 0.0;
    for s in stops {
        let middle = y + 9.0;
        let mut mark = vec![match s.shape {
            TEST => circle((AXIS, middle), 6.0, "hollow"),
            END => circle((AXIS, middle), 7.0, ""),
            kind => rect((AXIS - 6.0, middle - 6.0), 12.0, 12.0, kind),
        }];
        last = middle;
        let text = if s.when.is_empty() {
            s.name.clone()
        } else {
            format!("{} · {}", s.when, s.name)
        };
        y += wrapped((WORDS, y + 14.0), &text, &mut mark) * LINE;
        let wait = between(s);
        if !wait.is_empty() {
            y += wrapped(
                (WORDS, y + 14.0),
                &format!("{} {wait}", words::NEXT_AFTER),
                &mut mark,
            ) * LINE;
        }
        // The longer it takes, the longer the line.
        y += 8.0 + s.then.map_or(0.0, |d| d[1].clamp(0.0, 40.0));
        marks.push(group(mark));
    }
    let rows = stops
        .iter()
        .map(|s| vec![s.name.clone(), s.when.clone(), between(s)])
        .collect();
    let table = as_table(&[words::STEPS, words::DAY_FROM, words::NEXT_AFTER], rows);
    let frame = vec![stroke((AXIS, 11.0), (AXIS, last), "axis")];
    let mut parts = vec![line("p", "soft", words::CHAIN_LEAD)];
    if stops.iter().any(|s| s.shape == TEST) {
        parts.push(line(
            "p",
            "soft",
            format!(
                "A bench trial counts as {} days, longer where its test is: judgement.",
                show::plain(TRIAL_DAYS)
            ),
        ));
    }
    parts.extend(
        Picture {
            key: "chain",
            title: words::CHAIN,
            says,
            height: y,
            frame,
            marks,
            table,
        }
        .nodes(),
    );
    section(words::CHAIN, parts)
}

/// The chain of a work order, counted in days from the first thing still to do; None where nothing
/// is planned.
pub fn of_order(dossier: &Dossier, order: &WorkOrder) -> Option<Node> {
    let mut stops = Vec::new();
    let day = |[low, high]: [f64; 2]| format!("day {}", show::range(low, high));
    // The tests of the plan stand where it has them.
    let tests = |after: usize| {
        order
            .tests
            .iter()
            .filter(move |t| t.after_acts == after)
            .map(move |t| Stop {
                shape: TEST,
                name: t.name(),
                when: t.day.map_or(words::MEASURED.into(), day),
                then: t.day.filter(|_| !t.alongside).map(|_| t.takes),
            })
    };
    for (i, s) in order.steps.iter().enumerate() {
        stops.extend(tests(i));
        let t = s.treatment;
        if let Some(begins) = s.day.filter(|_| s.trial_days > 0.0) {
            let when = day(begins.map(|d| d - s.trial_days));
            stops.push(Stop {
                shape: TEST,
                name: format!("{}: {}", words::TRIAL, t.name),
                when,
                then: Some([s.trial_days; 2]),
            });
        }
        let then = s.day.map(|_| s.takes);
        stops.push(Stop {
            shape: ACT,
            name: t.name.into(),
            when: s.day.map_or(words::IN_LOG.into(), day),
            then,
        });
    }
    let before = stops.len();
    stops.extend(tests(order.steps.len()));
    let again: Vec<&str> = order.again().into_iter().map(|q| q.label()).collect();
    if !again.is_empty() && stops.len() == before {
        let name = format!("{}: {}", words::MEASURE_AGAIN, show::listed(&again));
        stops.push(Stop {
            shape: TEST,
            name,
            when: day(order.days),
            then: Some([order.test_days().low, order.test_days().high]),
        });
    }
    let names: Vec<&str> = stops.iter().map(|s| s.name.as_str()).collect();
    let says = format!("{}.", names.join("; "));
    stops.push(bottling(dossier, day(order.to_bottle())));
    (!order.steps.is_empty()).then(|| picture(says, &stops))
}
