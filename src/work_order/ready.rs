//! Ready for the line, and released: each proof that the wine owes with its evidence, and what the
//! log means for the label.
//! A test counts only with its day, while no act voids it and while it is young enough. The verdict
//! never says more than
//! the evidence does.

use super::barrier;
use super::order::now;
use super::sheet::{Block, Line, block, how, known};
use super::smell;
use super::verdict::Outcome;
use crate::case::{Act, Field};
use crate::chemistry::sulfur;
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::{self, body};
use crate::obligations::{Obligation, TOTAL_SO2, What, at_filler, obligations, so2_window};
use crate::rules;
use crate::stability::{self, Status};
use crate::units::day::Day;
use crate::units::{MgPerL, Ph, show};
use crate::wine::*;
use serde::Serialize;

/// What the evidence says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shown {
    /// Inside its limit, by a test that still holds.
    Inside,
    /// Outside its limit, or failed.
    Against,
    /// Not shown: there is no test, or it no longer holds, or it lies too near.
    Missing,
    /// To be done on the bottling day, which has not come.
    Due,
    /// Somebody answers for doing without it.
    Waived,
}

impl Shown {
    /// The words on screen.
    pub const fn label(self) -> &'static str {
        match self {
            Shown::Inside => "inside its limit",
            Shown::Against => "speaks against bottling",
            Shown::Missing => "not shown",
            Shown::Due => "due on the day",
            Shown::Waived => "released without it",
        }
    }
}

/// Why something counts as it does, as a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Because {
    /// It was not said of the wine, or cannot be read.
    NotSaid,
    /// The fermentation is not over.
    NotOver,
    /// It is in bottle already.
    InBottle,
    /// It stands in the work order and not in the log.
    NotDone,
    /// Something was typed that cannot be read.
    Unreadable,
    /// Not measured.
    NotMeasured,
    /// Not looked at.
    NotLookedAt,
    /// An act since then voids it, or may.
    Voided,
    /// It has no day.
    NoDay,
    /// The day of the bottling is not known.
    NoBottlingDay,
    /// Its day lies in the future.
    InFuture,
    /// It is too old on the bottling day.
    TooOld,
    /// It lies outside its limit.
    Outside,
    /// It lies too near its limit.
    TooNear,
    /// Nobody signed it.
    NotSigned,
    /// What stands in for the limit failed, or is not shown.
    Barrier,
    /// It was measured only as below a figure that does not tell.
    OnlyBelow,
    /// No limit was read.
    NoLimit,
    /// The test does not judge this wine.
    Blind,
    /// What it hangs on is not known.
    Hangs,
    /// It needs more time before the bottle.
    TooSoon,
    /// It holds no longer.
    TooLong,
    /// A market forbids it.
    Forbidden,
    /// A rule refuses it after what was done before it, or in a wine of this colour.
    Refused,
}

/// What the record says, as a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fitness {
    /// Something that is due before the line speaks against it.
    NotReady,
    /// Something that is due before the line is not shown, or nothing was judged.
    NotShown,
    /// All that can be shown before the bottling day is.
    DayLeft,
    /// Nothing that is due before the line is open.
    ReadyForLine,
    /// Something that is due at the line or before release speaks against it.
    NotReleased,
    /// The lot is kept back until what is still open is shown.
    KeptBack,
    /// Nothing at all is open.
    Released,
}

/// One line of the record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proof {
    /// Key of the stability, the check, the treatment or the field; empty where it names none.
    pub key: &'static str,
    /// What it is about.
    pub name: String,
    /// What is said.
    pub shown: Shown,
    /// The reading with its day.
    pub found: String,
    /// Why it does not count, or what else to know.
    pub why: String,
    /// Why it does not count, as a key.
    pub because: Option<Because>,
    /// The limit, with how it is known.
    pub limit: Option<Fact>,
    /// The test, with how it is known.
    pub test: Option<Fact>,
    /// Days still to wait before the bottle; none where it is not about waiting.
    pub wait: Option<i64>,
    /// When it is due.
    pub due: Due,
    /// Key under which somebody may answer for doing without it; None where nobody may.
    pub waive: Option<String>,
}

impl Proof {
    /// One of which nothing is shown yet.
    pub(super) fn missing(key: &'static str) -> Proof {
        Proof {
            key,
            name: String::new(),
            shown: Shown::Missing,
            found: String::new(),
            why: String::new(),
            because: None,
            limit: None,
            test: None,
            wait: None,
            due: Due::BeforeLine,
            waive: None,
        }
    }
    /// Whether it still keeps the wine from the line, or from release.
    pub fn is_open(&self) -> bool {
        !matches!(self.shown, Shown::Inside | Shown::Waived)
    }
    /// What the answer calls it: an act that only needs time is no fault of the wine.
    pub(super) fn brief(&self) -> String {
        let name = show::inside(&self.name);
        match self.wait {
            None => name,
            Some(1) => format!("{name} (too soon: wait 1 more day)"),
            Some(n) => format!("{name} (too soon: wait {n} more days)"),
        }
    }
}

/// The record.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ready {
    /// The answer in a sentence or two: what speaks against it by name; where much is missing, its
    /// number.
    pub verdict: String,
    /// What it says, as keys.
    pub says: Vec<Fitness>,
    /// What is too long for it, a line for each kind: what is not shown, what is due on the day,
    /// what is not judged here.
    pub names: Vec<String>,
    /// True where nothing that is due before the line is open.
    pub line: bool,
    /// True where nothing at all is open.
    pub released: bool,
    /// The evidence.
    pub evidence: Vec<Proof>,
}

impl Ready {
    /// Whether nothing that can be shown before the bottling day is missing or speaks against it.
    pub fn so_far(&self) -> bool {
        self.line || self.says.contains(&Fitness::DayLeft)
    }
}

/// When the tests must still hold, and today.
#[derive(Clone, Copy)]
pub(super) struct When {
    pub(super) bottling: Option<Day>,
    pub(super) today: Option<Day>,
}

impl When {
    /// The bottling day, or today where none is given or it is over; where the log has what is done
    /// at the filler on that day, the
    /// wine was bottled then.
    fn of(dossier: &Dossier, today: Option<Day>) -> When {
        let day = dossier.bottling_day.given();
        let filled = dossier.acts().any(|a| {
            a.day.given().is_some() && a.day.given() == day && a.treatment.is_some_and(at_filler)
        });
        let bottled = dossier.stage == Some(Stage::Bottled) && day.is_some();
        // What is looked at at the line was looked at on the bottling day.
        let at_line = |key: &str| {
            let check = LAST.rows().iter().find(|c| c.key == key);
            check.is_some_and(|c| c.due == Due::AtLine)
        };
        let ran = dossier
            .checks
            .iter()
            .any(|c| c.passed.is_some() && c.day.given() == day && at_line(&c.key));
        let ran = ran && day.is_some();
        When {
            bottling: if filled || bottled || ran {
                day
            } else {
                day.into_iter().chain(today).max()
            },
            today,
        }
    }
}

/// The record of a wine. `today` is the day by the device; tests are held against the bottling day,
/// or against today where none is given or it is over.
pub fn ready(dossier: &Dossier, today: Option<Day>) -> Ready {
    let when = When::of(dossier, today);
    let tank = &barrier::before_filler(dossier, when.bottling);
    let owed = obligations(tank, &dossier.to_do());
    let bottled = dossier.stage == Some(Stage::Bottled);
    let mut rows = Vec::new();
    if !bottled {
        said(dossier, &mut rows);
    }
    rows.extend(not_done(dossier, when));
    rows.extend(owed.iter().filter_map(|o| proof((dossier, tank), when, o)));
    rows.extend(dossier.acts().filter_map(|a| rest(a, when)));
    rows.extend(forbidden(dossier));
    rows.extend(super::refused::rows(dossier));
    rows.iter_mut().for_each(|row| waive(dossier, row));
    let judged = bottled || owed.iter().any(|o| matches!(o.what, What::Stability(_)));
    let verdict = Outcome::of(&rows, judged, &aside(tank, &owed), bottled);
    Ready {
        line: verdict.line,
        released: verdict.released,
        verdict: verdict.words,
        says: verdict.says,
        names: verdict.names,
        evidence: rows,
    }
}

/// The evidence for one thing that must be shown. `tank` is the wine as it goes to the filler; what
/// is counted behind a barrier is of the wine after it.
fn proof((dossier, tank): (&Dossier, &Dossier), when: When, owed: &Obligation) -> Option<Proof> {
    let row = match owed.what {
        What::Stability(facts) => {
            let status = stability::status_of(tank, facts.quantity);
            let row = stability_row(tank, when, status, facts);
            Some(match owed.barrier {
                None => row,
                Some(rule) => barrier::judge(row, (dossier, tank), when, facts, rule),
            })
        }
        What::Check(check) if check.due == Due::Released => last(dossier, when, check),
        What::Check(check) => last(tank, when, check),
        What::Smell(check, facts) => Some(smell::row(tank, when, check, facts)),
        What::TotalSo2 => total_so2(tank, when),
    };
    row.map(|row| Proof {
        due: owed.due,
        waive: owed.binds().is_none().then(|| owed.key()),
        ..row
    })
}

/// Takes a proof for settled where somebody answers for doing without it. What was measured after
/// that day is not covered.
fn waive(dossier: &Dossier, row: &mut Proof) {
    let waiver = row.waive.as_deref().and_then(|key| dossier.waiver(key));
    let Some((waiver, day)) = waiver.and_then(|w| Some((w, w.signed()?))) else {
        return;
    };
    let against = row.shown == Shown::Against;
    let covered = || found_on(dossier, &waiver.key).is_some_and(|found| found <= day);
    if !row.is_open() || against && !covered() {
        return;
    }
    row.shown = Shown::Waived;
    row.why = format!(
        "Released by {} on {}, without it: {}. {}",
        waiver.by.trim(),
        day.show(),
        waiver.reason.trim().trim_end_matches('.'),
        row.why
    )
    .trim_end()
    .into();
}

/// The last day on which something was found out of what a proof is about: its reading, with the pH
/// where the limit hangs on it, or what was looked at; None where one of them has no day.
fn found_on(dossier: &Dossier, key: &str) -> Option<Day> {
    let measured = |all: &[Quantity]| {
        let days = all.iter().map(|q| dossier.measured_on(*q));
        days.reduce(|a, b| a.zip(b).map(|(a, b)| a.max(b)))
            .flatten()
    };
    if let Some(facts) = STABILITIES.rows().iter().find(|s| s.key == key) {
        return measured(&[facts.quantity]);
    }
    let check = LAST.rows().iter().find(|c| c.key == key);
    match check.and_then(|c| Some((c.quantity?, c.molecular))) {
        Some((q, true)) => measured(&[q, Quantity::Ph]),
        Some((q, false)) => measured(&[q]),
        None => dossier.checked(key).and_then(|looked| looked.day.given()),
    }
}

/// What is not judged here: the stabilities that concern this wine and are not asked for.
fn aside(dossier: &Dossier, owed: &[Obligation]) -> Vec<String> {
    let asked = |f: &&'static StabilityFacts| {
        owed.iter()
            .any(|o| matches!(o.what, What::Stability(s) if s.key == f.key))
    };
    let blinded =
        |f: &&'static StabilityFacts| f.not_after.iter().any(|p| dossier.past.contains(p));
    let concerning = stability::concerning(dossier).into_iter().map(|c| c.facts);
    let mut all: Vec<String> = concerning
        .filter(|f| !asked(f) && !blinded(f))
        .map(|f| show::inside(f.name))
        .collect();
    all.push("taste".into());
    all
}

/// What the record needs to know of the wine before any test speaks.
fn said(dossier: &Dossier, rows: &mut Vec<Proof>) {
    let mut lacks = |key: &'static str, name: &str, because: Because, why: &str| {
        rows.push(Proof {
            name: name.into(),
            why: why.into(),
            because: Some(because),
            ..Proof::missing(key)
        });
    };
    if dossier.colour.is_none() {
        lacks(
            "colour",
            "Colour",
            Because::NotSaid,
            "Not said, and the limits hang on it.",
        );
    }
    match dossier.stage {
        None => lacks("stage", "Where it stands", Because::NotSaid, "Not said."),
        Some(Stage::Juice | Stage::Fermenting) => lacks(
            "fermentation",
            "Fermentation",
            Because::NotOver,
            "It is not over.",
        ),
        Some(Stage::Dry | Stage::Ready | Stage::Bottled) => {}
    }
    if dossier.style == Some(Style::Juice) {
        lacks(
            "fermentation",
            "Fermentation",
            Because::NotOver,
            "It is juice.",
        );
    }
    if dossier.bottling_day.error().is_some() {
        lacks(
            "bottling_day",
            "Bottling day",
            Because::NotSaid,
            "It cannot be read: write it as year-month-day.",
        );
    }
}

/// The steps of the work order that are not in the log. What is done at the filler belongs to the
/// line.
fn not_done(dossier: &Dossier, when: When) -> Vec<Proof> {
    let ahead = when.today.zip(when.bottling);
    let ahead = ahead.is_some_and(|(today, day)| today < day);
    let mut rows = Vec::new();
    for (step, by) in dossier.plan.iter().zip(dossier.done_by()) {
        // What is still to be measured stands among the tests below.
        if !by.is_empty() || step.is_test() {
            continue;
        }
        let (key, name) = step
            .treatment
            .map_or(("", step.key.as_str()), |t| (t.key, t.name));
        let at_line = step.treatment.is_some_and(at_filler);
        rows.push(Proof {
            name: name.into(),
            shown: if at_line && ahead {
                Shown::Due
            } else {
                Shown::Missing
            },
            why: "It is on the work order and not in the log.".into(),
            because: Some(Because::NotDone),
            due: if at_line {
                Due::AtLine
            } else {
                Due::BeforeLine
            },
            ..Proof::missing(key)
        });
    }
    rows
}

/// The same of a quantity, or of what goes with one: its readings are voided by the user and by the
/// log.
fn reading_counts(
    dossier: &Dossier,
    when: When,
    day: Option<Day>,
    voided_with: Option<Quantity>,
    window: &Window,
) -> Result<(), (Because, String)> {
    let stale = voided_with
        .filter(|q| dossier.stale.contains(q))
        .map(|_| "Marked as measured before the last change: measure again.");
    counts(
        when,
        day,
        stale,
        voided_with.and_then(|q| dossier.voided_since(q, day)),
        window,
    )
}

/// Whether something known on `day` still counts, unless it is said not to or an act came since;
/// the reason where it does not,
/// as a key and in words.
pub(super) fn counts(
    when: When,
    day: Option<Day>,
    stale: Option<&str>,
    since: Option<&Act>,
    window: &Window,
) -> Result<(), (Because, String)> {
    if let Some(stale) = stale {
        return Err((Because::Voided, stale.into()));
    }
    if let Some(act) = since {
        return Err((
            Because::Voided,
            format!("{} came after it, or may have: measure again.", act.words()),
        ));
    }
    let Some(day) = day else {
        return Err((
            Because::NoDay,
            "It has no day, and only a test with its day counts: add the day.".into(),
        ));
    };
    let Some(bottling) = when.bottling else {
        return Err((
            Because::NoBottlingDay,
            "Neither bottling day nor today is known.".into(),
        ));
    };
    if when.today.is_some_and(|t| t < day) {
        return Err((Because::InFuture, "Its day lies in the future.".into()));
    }
    let age = day.until(bottling);
    if age as f64 > window.days {
        let why = format!(
            "{age} days before the bottling, and at most {} count: {}",
            show::plain(window.days),
            window.why.text
        );
        return Err((Because::TooOld, why));
    }
    Ok(())
}

/// What is missing now and belongs to the day itself is due, as long as that day has not come.
pub(super) fn late(when: When, window: &Window) -> Shown {
    match (when.today, when.bottling) {
        (Some(today), Some(day))
            if window.days <= 1.0 && (today.until(day) as f64) > window.days =>
        {
            Shown::Due
        }
        _ => Shown::Missing,
    }
}

fn stability_row(
    dossier: &Dossier,
    when: When,
    status: Status,
    facts: &'static StabilityFacts,
) -> Proof {
    let limit = stability::band(dossier, facts).map(|b| b.why);
    let row = |shown, because: Option<Because>, why: String| Proof {
        key: facts.key,
        name: facts.name.into(),
        shown,
        found: now(dossier, facts.quantity),
        why,
        because,
        limit,
        test: Some(facts.test),
        ..Proof::missing(facts.key)
    };
    if let Some(error) = dossier.unreadable(facts.quantity) {
        let shown = late(when, &facts.window);
        return Proof {
            found: format!("“{}”", error.read),
            ..row(shown, Some(Because::Unreadable), error.expected.clone())
        };
    }
    if now(dossier, facts.quantity).is_empty() {
        return row(
            late(when, &facts.window),
            Some(Because::NotMeasured),
            "Not measured.".into(),
        );
    }
    if let Err((because, why)) = reading_counts(
        dossier,
        when,
        dossier.measured_on(facts.quantity),
        Some(facts.quantity),
        &facts.window,
    ) {
        // A reading outside its limit does not get better by growing old; one that is voided has no
        // status.
        return match late(when, &facts.window) {
            Shown::Missing if status == Status::Unstable => row(
                Shown::Against,
                Some(Because::Outside),
                format!("Outside its limit. {why}"),
            ),
            shown => row(shown, Some(because), why),
        };
    }
    match status {
        Status::Stable => row(Shown::Inside, None, String::new()),
        Status::Unstable => row(
            Shown::Against,
            Some(Because::Outside),
            "Outside its limit.".into(),
        ),
        Status::Doubtful => row(
            Shown::Missing,
            Some(Because::TooNear),
            "Too near its limit for the error of a reading: measure again.".into(),
        ),
        Status::NoVerdict => row(
            Shown::Missing,
            Some(Because::NoLimit),
            "No limit of this test was read: it gives no verdict.".into(),
        ),
        Status::Unknown if only_below(dossier, facts).is_some() => row(
            Shown::Missing,
            Some(Because::OnlyBelow),
            only_below(dossier, facts).unwrap_or_default(),
        ),
        Status::Unknown => row(
            Shown::Missing,
            Some(Because::Blind),
            "This test does not judge this wine.".into(),
        ),
    }
}

/// Why a reading that is only a bound does not judge this stability.
fn only_below(dossier: &Dossier, facts: &StabilityFacts) -> Option<String> {
    let band = stability::band(dossier, facts)?;
    stability::only_below(dossier, facts.quantity, band.floor, band.ceiling)
}

pub(super) fn last(dossier: &Dossier, when: When, check: &'static LastCheck) -> Option<Proof> {
    let mut row = Proof {
        name: check.name.into(),
        test: Some(check.test),
        ..Proof::missing(check.key)
    };
    let Some(q) = check.quantity else {
        let looked = dossier.checked(check.key).cloned().unwrap_or_default();
        let Some(passed) = looked.passed else {
            row.shown = late(when, &check.window);
            (row.because, row.why) = (Some(Because::NotLookedAt), "Not looked at.".into());
            return Some(row);
        };
        row.found = format!(
            "{} ({})",
            if passed { "passed" } else { "failed" },
            match looked.day {
                Field::NotGiven => "no day".into(),
                _ => looked.day.words(),
            }
        );
        match reading_counts(
            dossier,
            when,
            looked.day.given(),
            check.voided_with,
            &check.window,
        ) {
            Ok(()) if passed => row.shown = Shown::Inside,
            Ok(()) => (row.shown, row.because) = (Shown::Against, Some(Because::Outside)),
            Err((because, why)) => {
                (row.shown, row.because, row.why) = (late(when, &check.window), Some(because), why)
            }
        }
        return Some(row);
    };
    let band = check
        .bands
        .iter()
        .find(|b| holds_for(b.colours, dossier.colour))?;
    row.limit = Some(band.why);
    row.found = now(dossier, q);
    if let Some(error) = dossier.unreadable(q) {
        row.shown = late(when, &check.window);
        row.found = format!("“{}”", error.read);
        (row.because, row.why) = (Some(Because::Unreadable), error.expected.clone());
        return Some(row);
    }
    let Some(value) = dossier.at_most(q) else {
        row.shown = late(when, &check.window);
        (row.because, row.why) = (Some(Because::NotMeasured), "Not measured.".into());
        return Some(row);
    };
    if let Some(why) = stability::only_below(dossier, q, band.floor, band.ceiling) {
        (row.shown, row.because, row.why) =
            (late(when, &check.window), Some(Because::OnlyBelow), why);
        return Some(row);
    }
    if let Err((because, why)) = reading_counts(
        dossier,
        when,
        dossier.measured_on(q),
        Some(q),
        &check.window,
    ) {
        (row.shown, row.because, row.why) = (late(when, &check.window), Some(because), why);
        return Some(row);
    }
    let floor = match band.floor {
        Some(f) if check.molecular => {
            let ph = dossier
                .analysis(Quantity::Ph)
                .filter(|_| !dossier.voided(Quantity::Ph));
            let Some(free) =
                ph.and_then(|p| sulfur::free_needed(MgPerL(f), Ph(p), sulfur::FIELD).ok())
            else {
                (row.because, row.why) = (
                    Some(Because::Hangs),
                    "The pH is missing or no longer holds, and what is needed hangs on it.".into(),
                );
                return Some(row);
            };
            row.why = format!(
                "At this pH {} mg/L free are needed, and {} on top.",
                show::fixed(free.0, 0),
                show::plain(check.margin)
            );
            Some(free.0 + check.margin)
        }
        other => other.map(|f| f + check.margin),
    };
    let inside = floor.is_none_or(|f| value >= f) && band.ceiling.is_none_or(|c| value <= c);
    (row.shown, row.because) = if inside {
        (Shown::Inside, None)
    } else {
        (Shown::Against, Some(Because::Outside))
    };
    Some(row)
}

/// Total sulfur dioxide against the tightest limit that was read.
fn total_so2(dossier: &Dossier, when: When) -> Option<Proof> {
    let window = so2_window()?;
    let q = Quantity::TotalSo2;
    let limit = law::so2_limit(dossier);
    let found = now(dossier, q);
    let (shown, because, why) = match (dossier.at_most(q), limit) {
        (_, None) => (
            Shown::Missing,
            Some(Because::NoLimit),
            "No limit was read for this wine and its markets: ask.".to_string(),
        ),
        (None, _) if dossier.unreadable(q).is_some() => (
            Shown::Missing,
            Some(Because::Unreadable),
            dossier
                .unreadable(q)
                .map_or(String::new(), |e| e.to_string()),
        ),
        (None, _) => (
            Shown::Missing,
            Some(Because::NotMeasured),
            "Not measured.".into(),
        ),
        (Some(value), Some(l)) => {
            match reading_counts(dossier, when, dossier.measured_on(q), Some(q), window) {
                Err((because, why)) => (Shown::Missing, Some(because), why),
                Ok(()) if value > l.most && dossier.analysis(q).is_none() => (
                    Shown::Missing,
                    Some(Because::OnlyBelow),
                    stability::only_below(dossier, q, None, Some(l.most)).unwrap_or_default(),
                ),
                Ok(()) if value <= l.most => (
                    Shown::Inside,
                    None,
                    format!(
                        "Limit {} mg/L: {} ({}).",
                        show::plain(l.most),
                        l.article,
                        l.source
                    ),
                ),
                Ok(()) => (
                    Shown::Against,
                    Some(Because::Outside),
                    format!(
                        "Over the limit of {} mg/L: {} ({}).",
                        show::plain(l.most),
                        l.article,
                        l.source
                    ),
                ),
            }
        }
    };
    Some(Proof {
        name: "Total SO₂ and the law".into(),
        shown,
        found,
        why,
        because,
        ..Proof::missing(TOTAL_SO2)
    })
}

/// An act that needs time before the bottle, or whose effect does not wait so long.
fn rest(act: &Act, when: When) -> Option<Proof> {
    let t = act.treatment?;
    let age = act
        .day
        .given()
        .zip(when.bottling)
        .map(|(d, b)| d.until(b) as f64);
    let mut wait = None;
    let (shown, because, why) = match (t.wait_days, t.longest_days.filter(|_| t.stays), age) {
        (Some(_), _, None) | (_, Some(_), None) => (
            Shown::Missing,
            Because::NoDay,
            "Its day is not known, and it has a time to keep before the bottle.".to_string(),
        ),
        (Some(w), _, Some(age)) if age < w.low => {
            wait = Some(libm::ceil(w.low - age) as i64);
            let from = act
                .day
                .given()
                .map_or(String::new(), |d| d.plus(libm::ceil(w.low) as i64).show());
            let needs = format!(
                "It needs {} before the bottle ({}).",
                show::days(w.low, w.high),
                w.standing.label()
            );
            (
                Shown::Against,
                Because::TooSoon,
                format!("Too soon after it. {needs} Bottle on {from} or later."),
            )
        }
        (_, Some(l), Some(age)) if age > l.high => {
            let why = format!(
                "It holds for {} at most, and is {} days old ({}).",
                show::days(l.low, l.high),
                show::fixed(age, 0),
                l.standing.label()
            );
            (Shown::Missing, Because::TooLong, why)
        }
        _ => return None,
    };
    let found = format!("Entry {}: {}", act.number, act.words());
    Some(Proof {
        name: t.name.into(),
        shown,
        found,
        why,
        because: Some(because),
        wait,
        ..Proof::missing(t.key)
    })
}

/// What the log holds that a market forbids.
fn forbidden(dossier: &Dossier) -> Vec<Proof> {
    let mut all = Vec::new();
    for act in dossier.acts() {
        let Some(t) = act.treatment else { continue };
        for f in dossier.law(t).iter().filter(|f| f.legality.shuts_out()) {
            all.push(Proof {
                name: format!("{} in {}", t.name, f.market.label()),
                shown: Shown::Against,
                found: format!("Entry {}: {}", act.number, act.words()),
                why: format!("{}: {} ({}).", f.legality.label(), f.article, f.source),
                because: Some(Because::Forbidden),
                ..Proof::missing(t.key)
            });
        }
    }
    all
}

/// What the log means for label and claims, market by market.
pub fn consequences(dossier: &Dossier) -> Vec<Block> {
    let log: Vec<&Act> = dossier.acts().collect();
    let mut did: Vec<&'static Treatment> = Vec::new();
    let mut lines = vec![Line::Say("Only what the log holds is counted here. What was done before it, or to a part of a blend, is not.".into())];
    for act in &log {
        match act.treatment {
            Some(t) if !did.iter().any(|d| d.key == t.key) => did.push(t),
            Some(_) => {}
            None => lines.push(Line::Mark(format!(
                "Entry {}, {}: not in the tables. Its label consequences are not known here.",
                act.number,
                act.words()
            ))),
        }
    }
    for t in &did {
        let stays = if t.stays {
            "stays in the wine"
        } else {
            "does not stay in it"
        };
        lines.push(Line::Strong(format!(
            "{}: {}; {stays}",
            t.name,
            t.origin.label()
        )));
        lines.extend(t.label.iter().chain([&t.origin_note]).map(known));
    }
    if log.is_empty() {
        lines.push(Line::Say("The log is empty.".into()));
    }
    let mut blocks = vec![block("Label", lines)];
    blocks.extend(body::of_wine(dossier).into_iter().map(|(market, law)| {
        block(
            format!("Label in {}", market.label()),
            market_lines(dossier, &did, market, law),
        )
    }));
    let claims = claims(dossier, &log, &did);
    if !claims.is_empty() {
        blocks.push(block("Claims", claims));
    }
    blocks
}

fn market_lines(
    dossier: &Dossier,
    did: &[&'static Treatment],
    market: Market,
    law: Law,
) -> Vec<Line> {
    let mut lines = Vec::new();
    let all: Vec<law::Finding> = did
        .iter()
        .flat_map(|t| dossier.law(t).into_owned())
        .filter(|f| f.market == market)
        .collect();
    lines.extend(
        law::border(dossier, &all.iter().collect::<Vec<_>>())
            .into_iter()
            .map(Line::Mark),
    );
    for t in did {
        for f in dossier
            .law(t)
            .iter()
            .filter(|f| f.market == market && !f.legality.allows() && !f.border_unread)
        {
            let text = format!("{}: {}", t.name, law::stands(dossier, t, f));
            lines.push(Line::Mark(text));
        }
        // What the log took of a limit.
        for f in dossier
            .law(t)
            .iter()
            .filter(|f| f.market == market && f.legality.allows() && f.dose_cap.is_some())
        {
            let text = format!("{}: {}", t.name, f.note);
            lines.push(if f.dose_cap.is_some_and(|c| c <= 0.0) {
                Line::Mark(text)
            } else {
                Line::Say(text)
            });
        }
    }
    let Some(facts) = BODIES.iter().find(|b| b.law == law) else {
        return lines;
    };
    let named = |about: &str| {
        // Sulfites are declared whoever brought them; a list is of what stays; the rest by what it
        // is made of.
        let from = |origin: Origin| {
            did.iter().any(|t| t.origin == origin)
                && show::lower(about).contains(&show::lower(origin.label()))
        };
        about == "Sulfites"
            || (about == "Ingredient list" && did.iter().any(|t| t.stays))
            || from(Origin::Egg)
            || from(Origin::Milk)
            || from(Origin::Fish)
            || (show::lower(about).contains("wheat") && did.iter().any(|t| t.key.contains("wheat")))
    };
    for rule in facts.labels.iter().filter(|l| named(l.about)) {
        lines.push(Line::Known(
            format!("{}: {}", rule.about, rule.rule.text),
            how(&rule.rule),
        ));
        if rule.about == "Ingredient list" {
            let stays: Vec<&str> = did.iter().filter(|t| t.stays).map(|t| t.name).collect();
            lines.push(Line::Say(format!(
                "Stays in this wine: {}.",
                stays.join(", ")
            )));
        }
    }
    if facts.labels.is_empty() {
        lines.push(Line::Mark(format!(
            "No label rule was read: ask {}.",
            facts.authority
        )));
    } else {
        lines.push(Line::Say(format!("Confirm with {}.", facts.authority)));
    }
    lines
}

fn claims(dossier: &Dossier, log: &[&Act], did: &[&'static Treatment]) -> Vec<Line> {
    let mut lines = Vec::new();
    let unknown = log.iter().any(|a| a.treatment.is_none());
    for claim in dossier.claims.iter().filter(|c| **c != Claim::Organic) {
        let broken: Vec<&str> = did
            .iter()
            .filter(|t| !rules::keeps_claim(*claim, t))
            .map(|t| t.name)
            .collect();
        lines.push(match (broken.is_empty(), unknown) {
            (false, _) => Line::Mark(format!(
                "{}: broken by {}.",
                claim.label(),
                broken.join(", ")
            )),
            (true, true) => Line::Mark(format!(
                "{}: not shown; an entry of the log is not in the tables.",
                claim.label()
            )),
            (true, false) => Line::Say(format!("{}: nothing in the log breaks it.", claim.label())),
        });
    }
    for scheme in dossier.schemes() {
        let mut quiet = true;
        for t in did {
            let text = match law::organic(scheme, t) {
                None => "is not in the lists read: confirm with the certifier.".to_string(),
                Some(r) if r.verdict == Verdict::Forbidden && r.evidence != Evidence::Memory => {
                    format!("is not allowed. {}", r.text)
                }
                Some(r) if r.evidence == Evidence::Memory => format!("is not verified: {}", r.text),
                Some(_) => continue,
            };
            quiet = false;
            lines.push(Line::Mark(format!("{}: {} {text}", scheme.label(), t.name)));
        }
        if quiet && !unknown {
            lines.push(Line::Say(format!(
                "{}: everything in the log is in the lists read. The certifier decides.",
                scheme.label()
            )));
        } else if unknown {
            lines.push(Line::Mark(format!(
                "{}: an entry of the log is not in the tables.",
                scheme.label()
            )));
        }
    }
    lines
}

/// The answer in lines: short and strong, the names behind it below.
pub fn answer(ready: &Ready) -> Vec<Line> {
    std::iter::once(Line::Strong(ready.verdict.clone()))
        .chain(ready.names.iter().cloned().map(Line::Say))
        .collect()
}

/// The order in which proofs stand on paper.
const SHOWN_ORDER: [Shown; 5] = [
    Shown::Against,
    Shown::Missing,
    Shown::Due,
    Shown::Waived,
    Shown::Inside,
];

/// A proof in lines.
fn lines_of(r: &Proof) -> Vec<Line> {
    let found = if r.found.is_empty() {
        String::new()
    } else {
        format!(": {}", r.found)
    };
    let mut lines = vec![Line::Strong(format!("{}{found}", r.name))];
    if !r.why.is_empty() {
        lines.push(if r.is_open() {
            Line::Mark(r.why.clone())
        } else {
            Line::Say(r.why.clone())
        });
    }
    lines.extend(r.limit.iter().chain(&r.test).map(known));
    if r.shown == Shown::Due {
        lines.push(Line::Sign("Result, hour, by"));
    }
    lines
}

/// The record on paper.
pub fn of_ready(dossier: &Dossier, ready: &Ready) -> Vec<Block> {
    let mut blocks = vec![block("Answer", answer(ready)), super::sheet::head(dossier)];
    for due in Due::ALL {
        for shown in SHOWN_ORDER {
            let of = |r: &&Proof| r.due == *due && r.shown == shown;
            let lines: Vec<Line> = ready
                .evidence
                .iter()
                .filter(of)
                .flat_map(lines_of)
                .collect();
            if !lines.is_empty() {
                blocks.push(block(format!("{}: {}", due.label(), shown.label()), lines));
            }
        }
    }
    blocks.extend(consequences(dossier));
    blocks.push(block(
        "Signed",
        vec![
            Line::Sign("Released by, day"),
            Line::Sign("Checked by, day"),
        ],
    ));
    blocks
}
