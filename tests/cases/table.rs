//! All cases at once, and their results in lines.

use super::case::{Case, Told, Wanted};
use super::judge::{Finding, judge};
use super::map::{Notes, TODAY, wine_of};
use super::said::Said;
use super::words::{Missing, Word};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use stillbright::units::day::Day;

/// One wine, judged.
pub struct Judged {
    /// “EC04” or “EC04-f1”.
    pub name: String,
    pub finding: Finding,
    /// What is wrong.
    pub reasons: Vec<String>,
    /// What the app says, in a line.
    pub says: String,
    pub notes: Notes,
}

/// A case with its flips, judged.
pub struct Row<'a> {
    pub case: &'a Case,
    pub base: Judged,
    pub flips: Vec<Judged>,
}

impl Row<'_> {
    pub fn first(&self) -> bool {
        self.base.finding.first_score()
    }
    pub fn second(&self) -> bool {
        self.base.finding.second_score(self.case.kind)
    }
    pub fn order(&self) -> Option<bool> {
        self.base.finding.order(&self.case.wanted)
    }
    pub fn flips(&self) -> Vec<bool> {
        self.flips.iter().map(|f| f.finding.all()).collect()
    }
}

/// Judges every case, on all processors.
pub fn run(cases: &[Case]) -> Result<Vec<Row<'_>>, String> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mine = std::iter::from_fn(|| cases.get(next.fetch_add(1, Ordering::Relaxed)));
        mine.map(|case| Ok((case.id.as_str(), row(case)?)))
            .collect::<Result<Vec<_>, String>>()
    };
    let done: Vec<Vec<(&str, Row<'_>)>> = thread::scope(|scope| {
        let threads: Vec<_> = (0..thread::available_parallelism().map_or(1, |n| n.get()))
            .map(|_| scope.spawn(work))
            .collect();
        threads
            .into_iter()
            .map(|t| t.join().map_err(|_| "a case stopped the app".to_string())?)
            .collect::<Result<_, String>>()
    })?;
    let mut rows: Vec<(&str, Row<'_>)> = done.into_iter().flatten().collect();
    rows.sort_by(|a, b| a.0.cmp(b.0));
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

fn row(case: &Case) -> Result<Row<'_>, String> {
    // Equipment that only a change takes away is at hand in the case itself.
    let by_contractor = case
        .flips
        .iter()
        .any(|f| f.told.kit_missing.contains(&Missing::DosingEquipment));
    let one = |name: String, told: &Told, wanted: &Wanted| -> Result<Judged, String> {
        let (wine, notes) = wine_of(&name, told, by_contractor)?;
        let said = Said::of(wine, Day::read(TODAY)).map_err(|e| format!("{name}: {e}"))?;
        let finding = judge(&said, told, wanted).map_err(|e| format!("{name}: {e}"))?;
        let (reasons, says) = (finding.reasons(wanted), in_a_line(&said));
        Ok(Judged {
            name,
            finding,
            reasons,
            says,
            notes,
        })
    };
    let base = one(case.id.clone(), &case.told, &case.wanted)?;
    let flips = case
        .flips
        .iter()
        .enumerate()
        .map(|(i, f)| one(format!("{}-f{}", case.id, i + 1), &f.told, &f.wanted));
    let flips = flips.collect::<Result<_, _>>()?;
    Ok(Row { case, base, flips })
}

fn in_a_line(said: &Said) -> String {
    let lists: Vec<String> = said
        .top
        .iter()
        .map(|(p, keys)| format!("{}: {}", p.key(), keys.join(", ")))
        .collect();
    let answers: Vec<String> = said
        .answers
        .iter()
        .map(|(id, place)| format!("{} ({place})", id.0))
        .collect();
    format!(
        "first route: {}; lists: {}; answers: {}",
        said.route(),
        lists.join("; "),
        answers.join(", ")
    )
}

/// Each case with its scores and what is wrong, then what could not be said, then the totals.
pub fn results(rows: &[Row<'_>]) -> String {
    let mut text = String::new();
    let mut say = |line: String| {
        text.push_str(&line);
        text.push('\n');
    };
    for row in rows {
        say(format!(
            "{}  {}  {}",
            super::kept::Kept::of(row),
            row.case.kind.key(),
            row.case.title
        ));
        let flips = row
            .flips
            .iter()
            .zip(&row.case.flips)
            .map(|(f, flip)| (f, format!("{} ({})", f.name, flip.why)));
        for (judged, name) in std::iter::once((&row.base, row.base.name.clone())).chain(flips) {
            if !judged.reasons.is_empty() {
                judged
                    .reasons
                    .iter()
                    .for_each(|r| say(format!("    {name}: {r}")));
                say(format!("        {}", judged.says));
            }
        }
        row.base.finding.ranks.iter().for_each(|r| {
            say(format!(
                "    {}: rank turned, not judged: {r}",
                row.base.name
            ))
        });
    }
    say(String::new());
    not_said(rows).into_iter().for_each(&mut say);
    say(String::new());
    totals(rows).into_iter().for_each(&mut say);
    text
}

/// What the app offers no way to say, and what was said otherwise, with the wines.
fn not_said(rows: &[Row<'_>]) -> Vec<String> {
    let mut all: BTreeMap<(&str, &str), Vec<&str>> = BTreeMap::new();
    for judged in rows
        .iter()
        .flat_map(|r| std::iter::once(&r.base).chain(&r.flips))
    {
        let notes = &judged.notes;
        let kinds = [
            ("cannot be said", &notes.cannot),
            ("nearly said", &notes.nearest),
            ("borrowed", &notes.borrowed),
        ];
        for (kind, what) in kinds
            .iter()
            .flat_map(|(kind, all)| all.iter().map(move |what| (*kind, *what)))
        {
            all.entry((kind, what)).or_default().push(&judged.name);
        }
    }
    all.into_iter()
        .map(|((kind, what), names)| format!("{kind}: {what} [{}]", names.join(", ")))
        .collect()
}

fn totals(rows: &[Row<'_>]) -> Vec<String> {
    let count = |fits: &dyn Fn(&Row<'_>) -> bool| rows.iter().filter(|r| fits(r)).count();
    let orders: Vec<bool> = rows.iter().filter_map(Row::order).collect();
    let flips: Vec<(bool, bool)> = rows
        .iter()
        .flat_map(|r| {
            r.flips()
                .into_iter()
                .map(|right| (right, right && r.second()))
        })
        .collect();
    let ranks: (usize, usize) = rows.iter().fold((0, 0), |(t, s), r| {
        (
            t + r.base.finding.ranks.len(),
            s + r.base.finding.ranks_seen,
        )
    });
    vec![
        format!(
            "score 1, something expected and nothing refused: {} of {}",
            count(&|r| r.first()),
            rows.len()
        ),
        format!(
            "score 2, conditions met, and the order where the case is about order: {} of {}",
            count(&|r| r.second()),
            rows.len()
        ),
        format!(
            "score 2 with every order that is given: {}",
            count(&|r| r.base.finding.all())
        ),
        format!(
            "orders: {} of {}",
            orders.iter().filter(|o| **o).count(),
            orders.len()
        ),
        format!(
            "flips: {} of {}; with their case as pairs: {}",
            flips.iter().filter(|f| f.0).count(),
            flips.len(),
            flips.iter().filter(|f| f.1).count()
        ),
        format!("ranks turned, not judged: {} of {}", ranks.0, ranks.1),
    ]
}
