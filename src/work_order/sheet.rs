//! Sheets for paper: the same lines for the screen, for print and for a text that is sent.

use super::amount::grams;
use super::dosing::WeighedBy;
use super::order::{Check, PlanTest, Step, Total, WorkOrder};
use crate::case::{Act, Field};
use crate::dossier::Dossier;
use crate::knowledge::*;
use crate::law::Legality;
use crate::law::body;
use crate::trial::TRIAL_DAYS;
use crate::units::day::Day;
use crate::units::show;
use crate::wine::*;
use serde::Serialize;

/// One line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Line {
    /// What matters most.
    Strong(String),
    /// A plain line.
    Say(String),
    /// Something that speaks against it, or must be settled.
    Mark(String),
    /// A caution.
    Caution(String),
    /// A line with how it is known.
    Known(String, String),
    /// To be filled in by hand.
    Sign(&'static str),
}

/// Lines under a heading, kept together on paper where they fit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Block {
    /// Heading.
    pub heading: String,
    /// What stands beside the heading where the rest is folded: the amount and the days; empty
    /// where nothing is folded.
    pub brief: Vec<String>,
    /// Lines that always show.
    pub lines: Vec<Line>,
    /// Lines that a screen may fold away, never a caution or what speaks against it; paper shows
    /// them.
    pub more: Vec<Line>,
}

/// A block with nothing to fold.
pub fn block(heading: impl Into<String>, lines: Vec<Line>) -> Block {
    Block {
        heading: heading.into(),
        brief: Vec::new(),
        lines,
        more: Vec::new(),
    }
}

/// A fact as a line.
pub fn known(f: &Fact) -> Line {
    Line::Known(f.text.into(), how(f))
}

/// “read · B2”.
pub fn how(f: &Fact) -> String {
    f.how()
}

/// The sheet as a text.
pub fn text(title: &str, blocks: &[Block]) -> String {
    let mut all = format!("{title}\n");
    for b in blocks {
        all.push_str(&format!("\n{}\n", b.heading));
        b.brief
            .iter()
            .for_each(|t| all.push_str(&format!("  {t}\n")));
        for line in b.lines.iter().chain(&b.more) {
            all.push_str(&match line {
                Line::Strong(t) | Line::Say(t) => format!("  {t}\n"),
                Line::Mark(t) => format!("! {t}\n"),
                Line::Caution(t) => format!("! Caution: {t}\n"),
                Line::Known(t, how) => format!("  {t} [{how}]\n"),
                Line::Sign(t) => format!("  {t}: ____________________\n"),
            });
        }
    }
    all
}

/// The wine, its lot and its markets: the head of every sheet.
pub fn head(dossier: &Dossier) -> Block {
    let given = |t: &str| {
        if t.trim().is_empty() {
            "not given".to_string()
        } else {
            t.trim().to_string()
        }
    };
    let list = |all: Vec<&str>| {
        if all.is_empty() {
            "not given".to_string()
        } else {
            all.join(", ")
        }
    };
    let kind = [
        dossier.colour.map(Colour::label),
        dossier.style.map(Style::label),
        dossier.stage.map(Stage::label),
        dossier.vessel.map(Vessel::label),
    ];
    let mut lines = vec![
        Line::Strong(given(&dossier.name)),
        Line::Say(list(kind.into_iter().flatten().collect())),
        Line::Say(format!(
            "Volume: {}. Bottling day: {}.",
            given(&dossier.volume_words),
            given(&dossier.bottling_day.words())
        )),
        Line::Say(format!(
            "Made in: {}. Sold in: {}.",
            dossier.made_in.map_or("not given", Market::label),
            list(dossier.sold_in.iter().map(|m| m.label()).collect())
        )),
        Line::Say(format!(
            "Claims: {}.",
            list(
                dossier
                    .claims
                    .iter()
                    .map(|c| c.label())
                    .chain(dossier.organic.iter().map(|o| o.label()))
                    .collect()
            )
        )),
    ];
    lines.extend(dossier.errors.iter().enumerate().flat_map(|(i, error)| {
        let heading = (i == 0).then(|| Line::Mark("Typed, but not used:".into()));
        heading.into_iter().chain([Line::Mark(error.to_string())])
    }));
    // It stays on every paper.
    for trial in dossier.trials.iter().filter(|t| t.not_trialled) {
        let name = trial.treatment.map_or(trial.key.as_str(), |t| t.name);
        lines.push(Line::Mark(format!(
            "Confirmed as not trialled on the bench: {name}."
        )));
    }
    block("Wine", lines)
}

/// The work order on paper.
pub fn of_order(dossier: &Dossier, order: &WorkOrder) -> Vec<Block> {
    let mut first = head(dossier);
    first.lines.push(match order.litres {
        Some(l) => Line::Say(format!("Masses are for {} L: measure the tank, and measure it again after any step that loses wine.", show::fixed(l, 1))),
        None => Line::Mark("The volume is not known: amounts are for one hectolitre (100 L). Measure the tank first.".into()),
    });
    if dossier.name.trim().is_empty() {
        first.lines.push(Line::Mark(
            "This wine has no name: write it and its tank here before the order is given out."
                .into(),
        ));
        first.lines.push(Line::Sign("Wine and tank"));
    }
    let days = libm::ceil(order.to_bottle()[1]);
    if let Some(begins) = dossier
        .bottling_day
        .given()
        .filter(|_| order.days[1] > 0.0)
        .and_then(|d| d.back(days as i64))
    {
        first.lines.push(Line::Say(format!(
            "By the longer count it takes {} to the bottle, tests among them: to bottle on the day planned, begin by {}.",
            show::days(days, days),
            begins.show()
        )));
    }
    first
        .lines
        .push(Line::Say("Labels, safety sheets and local codes come first, and what the law keeps for a licensed person stays with that person.".into()));
    let bottling = dossier.bottling_day.given();
    if dossier.plan.iter().any(|s| {
        s.day
            .given()
            .zip(bottling)
            .is_some_and(|(day, bottling)| day > bottling)
    }) {
        first.lines.push(Line::Mark(
            "A day of the plan lies after the bottling day: take the route anew.".into(),
        ));
    }
    first.lines.extend(
        order
            .unknown
            .iter()
            .map(|k| Line::Mark(format!("The plan names “{k}”, which is not known here."))),
    );
    first
        .lines
        .extend(order.law.iter().map(|b| Line::Mark(b.clone())));
    let mut blocks = vec![first];
    for i in 0..=order.steps.len() {
        blocks.extend(order.tests.iter().filter(|t| t.after_acts == i).map(test));
        blocks.extend((i < order.steps.len()).then(|| step(i, &order.steps, order.litres)));
    }
    blocks.push(water(dossier, order));
    if !order.steps.is_empty() {
        let [low, high] = order.loss;
        let of = order.litres.map_or(String::new(), |l| {
            format!(
                ", {} L of {}",
                show::range(low * l, high * l),
                show::fixed(l, 0)
            )
        });
        blocks.push(block(
            "Loss",
            vec![Line::Say(format!(
                "All steps still to do leave behind {} %{of}.",
                show::range(low * 100.0, high * 100.0)
            ))],
        ));
    }
    if !order.totals.is_empty() {
        let mut lines = Vec::new();
        order.totals.iter().for_each(|t| total(t, &mut lines));
        blocks.push(block("Counted against the law", lines));
    }
    let wanted = wanted(order);
    if !wanted.is_empty() {
        blocks.push(Block {
            heading: "Wanted of what is measured".into(),
            brief: vec![format!("{} limits and aims", wanted.len())],
            lines: Vec::new(),
            more: wanted,
        });
    }
    blocks.push(block(
        "Signed",
        vec![
            Line::Sign("Ordered by, day"),
            Line::Sign("Done by, day"),
            Line::Sign("Checked by, day"),
        ],
    ));
    blocks
}

/// What a step leaves behind, as a share and in litres of the tank.
fn lost(e: &Estimate, litres: Option<f64>) -> Line {
    let how = if e.source.is_empty() {
        e.standing.label().to_string()
    } else {
        format!("{} · {}", e.standing.label(), e.source)
    };
    let of = litres.map_or(String::new(), |l| {
        format!(", {} L", show::range(e.low / 100.0 * l, e.high / 100.0 * l))
    });
    Line::Known(
        format!(
            "Left behind, lees and rests: {} % of the wine{of}",
            show::range(e.low, e.high)
        ),
        how,
    )
}

/// The coldest that this wine bears, or what to do before it is chilled, which is never folded.
fn coldest(target: &Result<f64, String>) -> Line {
    match target {
        Ok(c) => Line::Known(
            format!(
                "Wine at: {} °C, its own coldest target: not lower, which would freeze it.",
                show::fixed(*c, 1)
            ),
            Standing::Derived.label().into(),
        ),
        Err(first) => Line::Mark(first.clone()),
    }
}

/// The day that the route gave a step.
fn begin_by(day: &str) -> Option<String> {
    (!day.trim().is_empty()).then(|| format!("By the route taken, begin by {}.", Day::tidy(day)))
}

fn counted([low, high]: [f64; 2]) -> String {
    if high > 0.0 {
        format!(
            "Day {}, counted from the first trial or step.",
            show::range(low, high)
        )
    } else {
        "First.".into()
    }
}

/// A step of the plan that measures: what, when, and what is known now; ticked where it was
/// measured.
fn test(t: &PlanTest) -> Block {
    let name = format!("{}. {}", t.number, t.name());
    let Some(day) = t.day else {
        let found = to_measure("Done", &t.checks, true).into_iter().collect();
        return Block {
            heading: format!("✓ {name}"),
            brief: Vec::new(),
            lines: found,
            more: Vec::new(),
        };
    };
    // Nothing waits for what runs beside the acts.
    let counted = (!t.alongside).then(|| counted(day));
    let brief = begin_by(&t.begin_by).into_iter().chain(counted).collect();
    let more = to_measure("Known now", &t.checks, true)
        .into_iter()
        .chain([Line::Sign("Done by, day and hour")])
        .collect();
    Block {
        heading: name,
        brief,
        lines: Vec::new(),
        more,
    }
}

/// A step that the log has: ticked, with its entries, and nothing to do but what is still to be
/// measured after it.
fn done(s: &Step) -> Block {
    let open: Vec<Check> = s.after.iter().filter(|c| c.open).cloned().collect();
    let more = to_measure("After it, measure", &open, false)
        .into_iter()
        .collect();
    let brief = s.logged.iter().map(|l| format!("Done: {l}.")).collect();
    Block {
        heading: format!("✓ {}. {}", s.number, s.treatment.name),
        brief,
        lines: Vec::new(),
        more,
    }
}

fn step(at: usize, steps: &[Step], litres: Option<f64>) -> Block {
    let Some(s) = steps.get(at) else {
        return block("", Vec::new());
    };
    if !s.logged.is_empty() {
        return done(s);
    }
    // What a step that is over would have said is said at the next one.
    let earlier = || steps.iter().take(at).filter(|e| e.logged.is_empty());
    let t = s.treatment;
    let (mut lines, mut brief, mut more) = (Vec::new(), Vec::new(), Vec::new());
    doses(s, litres.is_some(), &mut brief, &mut lines, &mut more);
    brief.extend(begin_by(&s.begin_by));
    if let Some([low, high]) = s.day {
        brief.push(counted([low, high]));
        if s.trial_days > 0.0 {
            let days = show::days(s.trial_days, s.trial_days);
            more.push(Line::Say(if s.trial_days > TRIAL_DAYS {
                format!("Its bench trial takes {days} before it, as long as its test.")
            } else {
                format!("Its bench trial counts as {days} before it: judgement.")
            }));
        }
    }
    lines.extend(
        s.place
            .iter()
            .map(|p| &p.text)
            .chain(&s.marks)
            .map(|m| Line::Mark(m.clone())),
    );
    // In full where it comes first; named again at each later step that it holds for.
    let mut as_before: Vec<String> = Vec::new();
    for c in t
        .cautions
        .iter()
        .filter_map(|k| CAUTIONS.iter().find(|c| c.key == *k))
    {
        match earlier().find(|e| e.treatment.cautions.contains(&c.key)) {
            Some(e) => as_before.push(e.number.to_string()),
            None => lines.push(Line::Caution(format!("{} ({})", c.text.text, how(&c.text)))),
        }
    }
    as_before.dedup();
    if !as_before.is_empty() {
        let of: Vec<&str> = as_before.iter().map(String::as_str).collect();
        lines.push(Line::Caution(format!("As at step {}.", show::listed(&of))));
    }
    let new = s
        .order
        .iter()
        .filter(|o| !earlier().any(|e| e.order.iter().any(|x| x.text == o.text)));
    more.extend(new.map(|o| Line::Known(o.words(), o.why().map(how).unwrap_or_default())));
    more.extend(to_measure("Before", &s.before, true));
    // What a licensed or trained person does is named, not described.
    if !matches!(t.access, Access::Licensed | Access::Trained) {
        more.extend(t.preparation.iter().chain(t.contact).map(known));
        let span = |name: &str, e: &Estimate, unit: &str| {
            let how = if e.source.is_empty() {
                e.standing.label().to_string()
            } else {
                format!("{} · {}", e.standing.label(), e.source)
            };
            Line::Known(
                format!("{name}: {} {unit}", show::range(e.low, e.high)),
                how,
            )
        };
        more.extend(t.temperature.iter().map(|e| span("Wine at", e, "°C")));
        more.extend(s.coldest.as_ref().map(coldest));
        more.push(span(
            "Clear of it, racked or filtered, after",
            &t.days,
            "days",
        ));
        more.extend(s.filter.iter().flat_map(super::filter::lines));
        more.push(lost(&t.loss_percent, litres));
        more.extend(
            t.longest_days
                .iter()
                .map(|e| span("No longer than", e, "days")),
        );
        more.extend(t.wait_days.iter().map(|e| {
            span(
                "Least wait from the act to the next step or the bottle",
                e,
                "days",
            )
        }));
        more.extend(t.over.iter().map(known));
    }
    more.extend(to_measure("After it, measure", &s.after, false));
    // What speaks against it is never folded.
    let (against, more): (Vec<Line>, Vec<Line>) = more
        .into_iter()
        .partition(|l| matches!(l, Line::Mark(_) | Line::Caution(_)));
    lines.extend(against);
    let mut more = more;
    if s.amount.is_some() {
        more.extend([Line::Sign("Batch"), Line::Sign("Amount really given")]);
    }
    more.push(Line::Sign("Done by, day and hour"));
    Block {
        heading: format!("{}. {}", s.number, t.name),
        brief,
        lines,
        more,
    }
}

/// What is measured around a step, in one line; what is wanted stands once, at the end of the
/// order.
fn to_measure(when: &str, all: &[Check], with_now: bool) -> Option<Line> {
    let now = |c: &Check| {
        let name = show::inside(c.quantity.label());
        match c.now.as_str() {
            _ if !with_now => name,
            "" => format!("{name} (not measured)"),
            now => format!("{name} ({now})"),
        }
    };
    let all: Vec<String> = all.iter().map(now).collect();
    (!all.is_empty()).then(|| Line::Say(format!("{when}: {}.", all.join(", "))))
}

/// What is wanted of each quantity that a step names, once.
fn wanted(order: &WorkOrder) -> Vec<Line> {
    let mut seen = Vec::new();
    let mut lines = Vec::new();
    let tested = order.tests.iter().flat_map(|t| &t.checks);
    for c in order
        .steps
        .iter()
        .flat_map(|s| s.before.iter().chain(&s.after))
        .chain(tested)
    {
        if seen.contains(&c.quantity) || c.want.is_empty() {
            continue;
        }
        seen.push(c.quantity);
        let want: Vec<&str> = c.want.iter().map(|f| f.text).collect();
        let sources: Vec<String> = c.want.iter().map(how).collect();
        lines.push(Line::Known(
            format!("{}: {}", c.quantity.label(), want.join(" ")),
            sources.join("; "),
        ));
    }
    lines
}

/// The amount beside the heading; what stands against it among the lines; how it is counted, and
/// its water, to fold.
fn doses(
    s: &Step,
    tank: bool,
    brief: &mut Vec<String>,
    lines: &mut Vec<Line>,
    more: &mut Vec<Line>,
) {
    let t = s.treatment;
    let (Some(facts), Ok(w)) = (t.dose, &s.dose) else {
        match &s.dose {
            _ if matches!(t.access, Access::Licensed | Access::Trained) => {
                lines.push(Line::Mark(format!("{}. {}", t.access.label(), t.summary)))
            }
            Err(why) if !why.is_empty() => lines.push(Line::Mark(why.text.clone())),
            _ => more.push(Line::Say(t.summary.into())),
        }
        return;
    };
    if let Some(a) = s.amount {
        let place = if tank { "in all" } else { "for each 100 L" };
        let active = match (a.active, facts.active) {
            (Some(g), Some(name)) => format!(", which holds {} of {name}", grams(g)),
            _ => String::new(),
        };
        brief.push(format!(
            "Weigh {} {place}: {} {} ({}{active}).",
            a.words(),
            show::plain(w.dose),
            facts.basis.label(),
            facts.counted_as
        ));
    }
    match w.by {
        WeighedBy::Trial => more.push(Line::Say("The dose is the chosen rung of this wine's bench trial. Bench mixing flatters: test the tank again.".into())),
        WeighedBy::NotTrialled => lines.push(Line::Mark("NOT TRIALLED on the bench: the dose was given by the user, who confirmed it.".into())),
        WeighedBy::Analyses => more.push(Line::Say("The dose was written into the plan: see that it follows from analyses of these days.".into())),
    }
    if let Some(water) = s.water {
        let place = if tank { "" } else { " for each 100 L of wine" };
        more.push(match water.strength {
            Some(e) => Line::Known(
                format!(
                    "Water: {} L{place}, at {} % w/v. Use no more than it needs.",
                    show::range(water.least, water.most),
                    show::range(e.low, e.high)
                ),
                if e.source.is_empty() {
                    e.standing.label().into()
                } else {
                    format!("{} · {}", e.standing.label(), e.source)
                },
            ),
            None => Line::Say(format!(
                "It brings up to {} L of water{place}.",
                show::plain(water.most)
            )),
        });
    }
}

/// The running total of water, against every limit that was read.
fn water(dossier: &Dossier, order: &WorkOrder) -> Block {
    let percent = order.water_percent();
    let open = order
        .steps
        .iter()
        .any(|s| s.logged.is_empty() && s.treatment.dose.is_some() && s.dose.is_err());
    let mut lines = vec![Line::Say(if open && order.water <= 0.0 {
        "How much water the slurries bring is not known before the doses are.".into()
    } else {
        format!(
            "All slurries together bring at most {} L, {} % of the wine.",
            show::plain(order.water),
            show::plain(percent)
        )
    })];
    if open && order.water > 0.0 {
        lines.push(Line::Mark("A step with no mass yet is not counted.".into()));
    }
    let laws: Vec<Law> = body::of_wine(dossier).into_iter().map(|(_, l)| l).collect();
    for rule in WATER.iter() {
        let binds = rule.law.iter().any(|l| laws.contains(l));
        // Where no market is named, every limit that was read.
        if !binds && !laws.is_empty() {
            continue;
        }
        lines.push(known(&rule.rule));
        if percent > rule.most_percent {
            let what = format!(
                "Over {} %: make the slurries stronger, or some of them in the wine.",
                show::plain(rule.most_percent)
            );
            lines.push(if binds {
                Line::Mark(what)
            } else {
                Line::Say(what)
            });
        }
    }
    block("Water", lines)
}

fn total(t: &Total, lines: &mut Vec<Line>) {
    let sum = t.total.map_or_else(
        || "an entry of the log has no dose that can be counted".into(),
        |v| format!("{} {} in all, log and order", show::plain(v), t.unit),
    );
    lines.push(Line::Strong(format!("{}: {sum}", t.name)));
    for (market, legality, left) in &t.markets {
        let left = left.map_or(String::new(), |l| {
            format!("; open for this order: {} {}", show::plain(l), t.unit)
        });
        let text = format!("{}: {}{left}", market.label(), legality.label());
        lines.push(if legality.allows() {
            Line::Say(text)
        } else {
            Line::Mark(text)
        });
    }
    if t.markets.is_empty() {
        lines.push(Line::Mark(format!(
            "No market was named: {}.",
            show::lower(Legality::NotKnown.label())
        )));
    }
}

/// What is to be measured by a laboratory.
pub fn laboratory(dossier: &Dossier, today: Option<Day>) -> Vec<Block> {
    let asked = super::laboratory::request(dossier, today);
    let mut lines: Vec<Line> = asked.into_iter().map(Line::Say).collect();
    if lines.is_empty() {
        lines.push(Line::Say(
            "Nothing is asked: name a problem, or see how stable it is.".into(),
        ));
    }
    lines.push(Line::Sign("Sampled by, day"));
    vec![head(dossier), block("Please measure", lines)]
}

/// The log on paper: every entry, with what was marked as an error.
pub fn log(dossier: &Dossier) -> Block {
    let mut lines: Vec<Line> = dossier.log.iter().map(entry).collect();
    if lines.is_empty() {
        lines.push(Line::Say("Nothing is logged yet.".into()));
    }
    // What follows from it, for the pages that judge the wine.
    let names = |heading: &str, all: Vec<&str>| {
        (!all.is_empty()).then(|| Line::Say(format!("{heading}: {}.", show::listed(&all))))
    };
    let past = &dossier.past;
    let implied = past
        .iter()
        .filter(|p| !dossier.past_told.contains(p))
        .map(|p| p.label())
        .collect();
    lines.extend(names("So the wine counts as", implied));
    let void = dossier
        .analyses
        .keys()
        .filter(|q| dossier.voided(**q))
        .map(|q| q.label())
        .collect();
    lines.extend(names(
        "Measured before it, or on no day, and no longer counted",
        void,
    ));
    block("What was done", lines)
}

/// One entry of the log.
pub fn entry(act: &Act) -> Line {
    let day = match act.day {
        Field::NotGiven => "no day".into(),
        _ => act.day.words(),
    };
    let mut text = format!("{}. {day}: ", act.number);
    if let Some(wrong) = act.corrects {
        text.push_str(&format!(
            "entry {wrong} was an error. {} {}",
            act.note, act.by
        ));
        return Line::Say(text);
    }
    let unit = act
        .treatment
        .and_then(|t| t.dose)
        .map_or("", |d| d.basis.label());
    let name = act.treatment.map_or(act.key.as_str(), |t| t.name);
    let mut parts = vec![name.to_string()];
    for (before, value, after) in [
        ("", &act.dose.words(), unit),
        ("batch ", &act.batch, ""),
        ("by ", &act.by, ""),
        ("", &act.note, ""),
    ] {
        if !value.trim().is_empty() {
            parts.push(
                format!("{before}{} {after}", value.trim())
                    .trim()
                    .to_string(),
            );
        }
    }
    parts.retain(|p| !p.is_empty());
    text.push_str(&parts.join(", "));
    if act.counts {
        Line::Say(text)
    } else {
        Line::Mark(format!("{text} — marked as an error: it counts no more."))
    }
}

/// A summary for whoever owns the wine.
pub fn client(dossier: &Dossier, ready: &super::ready::Ready) -> Vec<Block> {
    let answer = block("Answer", super::ready::answer(ready));
    let mut found: Vec<Line> = dossier
        .problems
        .iter()
        .map(|p| Line::Say(p.label().into()))
        .collect();
    found.push(Line::Say(crate::stability::answer(
        &crate::stability::stabilities(dossier),
    )));
    let order = super::order::work_order(dossier);
    let mut planned: Vec<Line> = order.law.iter().map(|b| Line::Mark(b.clone())).collect();
    let tests = |after: usize| {
        order
            .tests
            .iter()
            .filter(move |t| t.after_acts == after && !t.done)
            .map(|t| Line::Strong(t.name()))
    };
    // What is done stands in the log below.
    for (i, s) in order.steps.iter().enumerate() {
        planned.extend(tests(i));
        if !s.logged.is_empty() {
            continue;
        }
        planned.push(match (&s.dose, s.treatment.dose) {
            (Ok(w), Some(d)) => Line::Strong(format!(
                "{}: {} {}",
                s.treatment.name,
                show::plain(w.dose),
                d.basis.label()
            )),
            _ => Line::Strong(s.treatment.name.into()),
        });
        planned.push(Line::Say(s.treatment.summary.into()));
        planned.extend(
            s.dose
                .as_ref()
                .err()
                .filter(|why| !why.is_empty())
                .map(|why| Line::Mark(why.text.clone())),
        );
        planned.extend(s.marks.iter().map(|m| Line::Mark(m.clone())));
    }
    planned.extend(tests(order.steps.len()));
    if planned.is_empty() {
        planned.push(Line::Say(
            if order.steps.is_empty() {
                "Nothing is planned."
            } else {
                "Every step of the plan is in the log."
            }
            .into(),
        ));
    }
    let mut blocks = vec![
        head(dossier),
        answer,
        block("Found or feared", found),
        block("Planned", planned),
        log(dossier),
    ];
    blocks.extend(super::ready::consequences(dossier));
    blocks
}
