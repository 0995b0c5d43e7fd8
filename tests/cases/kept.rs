//! Which cases pass, kept in a plain file: a line a case, with a remark that stays as long as the
//! line does.

use super::table::Row;
use std::fmt::{Display, Formatter};

/// What is kept of a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    id: String,
    first: bool,
    second: bool,
    order: Option<bool>,
    flips: Vec<bool>,
    /// Free words after “#”.
    remark: String,
}

const HEAD: &str = "# Which cases pass: case, score 1, score 2, order, flips. Written by `ACCEPT=1 cargo test --test expert_cases`; what stands
# after # on a line of a case is written by hand and stays as long as its results do.
";

fn word(right: bool) -> &'static str {
    if right { "yes" } else { "no" }
}

impl Display for Kept {
    fn fmt(&self, to: &mut Formatter<'_>) -> std::fmt::Result {
        let flips: Vec<&str> = self.flips.iter().map(|f| word(*f)).collect();
        let flips = if flips.is_empty() {
            "-".into()
        } else {
            flips.join("+")
        };
        write!(
            to,
            "{}  {:3}  {:3}  {:3}  {flips:10}",
            self.id,
            word(self.first),
            word(self.second),
            self.order.map_or("-", word)
        )
    }
}

impl Kept {
    pub fn of(row: &Row<'_>) -> Kept {
        Kept {
            id: row.case.id.clone(),
            first: row.first(),
            second: row.second(),
            order: row.order(),
            flips: row.flips(),
            remark: String::new(),
        }
    }

    /// All its results with their names, in the same order for the same case.
    fn results(&self) -> Vec<(String, bool)> {
        let mut all = vec![
            ("score 1".to_string(), self.first),
            ("score 2".to_string(), self.second),
        ];
        all.extend(self.order.map(|o| ("order".to_string(), o)));
        all.extend(
            self.flips
                .iter()
                .enumerate()
                .map(|(i, f)| (format!("flip {}", i + 1), *f)),
        );
        all
    }

    fn same(&self, other: &Kept) -> bool {
        self.id == other.id && self.results() == other.results()
    }

    fn read(line: &str) -> Result<Kept, String> {
        let (results, remark) = line.split_once('#').unwrap_or((line, ""));
        let error = || format!("passing.txt: “{line}” is no line of results");
        let read = |word: &str| match word {
            "yes" => Ok(true),
            "no" => Ok(false),
            _ => Err(error()),
        };
        let [id, first, second, order, flips] = results.split_whitespace().collect::<Vec<_>>()[..]
        else {
            return Err(error());
        };
        Ok(Kept {
            id: id.to_string(),
            first: read(first)?,
            second: read(second)?,
            order: if order == "-" {
                None
            } else {
                Some(read(order)?)
            },
            flips: if flips == "-" {
                Vec::new()
            } else {
                flips.split('+').map(read).collect::<Result<_, _>>()?
            },
            remark: remark.trim().to_string(),
        })
    }
}

/// The list as kept.
pub fn read(text: &str) -> Result<Vec<Kept>, String> {
    text.lines()
        .filter(|l| !l.trim().is_empty() && !l.starts_with('#'))
        .map(Kept::read)
        .collect()
}

/// Writes the list anew.
pub fn accept(file: &str, found: &[Kept]) -> Result<(), String> {
    let old = std::fs::read_to_string(file).map_or(Ok(Vec::new()), |text| read(&text))?;
    let mut text = HEAD.to_string();
    for new in found {
        let remark = old.iter().find(|o| o.same(new)).map_or("", |o| &o.remark);
        let line = if remark.is_empty() {
            format!("{new}")
        } else {
            format!("{new}  # {remark}")
        };
        text.push_str(line.trim_end());
        text.push('\n');
    }
    std::fs::write(file, text).map_err(|e| format!("{file}: {e}"))
}

/// What is otherwise than kept: what passes no more, with its reasons, and what passes now.
pub fn changes(kept: &[Kept], found: &[Kept], rows: &[Row<'_>]) -> Vec<String> {
    let mut all = Vec::new();
    for (new, row) in found.iter().zip(rows) {
        let Some(old) = kept.iter().find(|o| o.id == new.id) else {
            all.push(format!("{}: not kept yet", new.id));
            continue;
        };
        let (before, now) = (old.results(), new.results());
        if before.len() != now.len() {
            all.push(format!("{}: kept with other results than it has", new.id));
        }
        for ((name, was), (_, is)) in before
            .iter()
            .zip(&now)
            .filter(|((_, was), (_, is))| was != is)
        {
            let flip = name
                .strip_prefix("flip ")
                .and_then(|n| n.parse::<usize>().ok())
                .and_then(|n| row.flips.get(n - 1));
            let judged = flip.unwrap_or(&row.base);
            if *is && !was {
                all.push(format!(
                    "{} {name}: passes now: take it into the list",
                    new.id
                ));
            } else {
                all.push(format!(
                    "{} {name}: passes no more: {} [{}]",
                    new.id,
                    judged.reasons.join("; "),
                    judged.says
                ));
            }
        }
    }
    all.extend(
        kept.iter()
            .filter(|o| !found.iter().any(|n| n.id == o.id))
            .map(|o| format!("{}: kept and no case", o.id)),
    );
    all
}
