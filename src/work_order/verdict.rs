//! What the record comes to, as keys and in words.

use super::ready::{Because, Fitness, Proof, Shown};
use crate::wine::Due;

/// How many of what is missing the answer names; more are counted, and named below it.
const NAMED: usize = 3;

/// What the rows of a record come to.
pub(super) struct Outcome {
    pub words: String,
    pub says: Vec<Fitness>,
    pub names: Vec<String>,
    pub line: bool,
    pub released: bool,
}

impl Outcome {
    /// `judged` tells whether any stability was; `aside` names what is not judged here.
    pub fn of(rows: &[Proof], judged: bool, aside: &[String], bottled: bool) -> Outcome {
        let mut verdict = Outcome {
            words: String::new(),
            says: Vec::new(),
            names: Vec::new(),
            line: false,
            released: false,
        };
        if !bottled {
            verdict.before_line(rows, judged);
        }
        verdict.after_line(rows, bottled);
        verdict.without(rows);
        if !bottled {
            let aside = format!("Not judged here: {}.", aside.join(", "));
            verdict.beside(aside);
        }
        verdict
    }

    fn say(&mut self, key: Fitness, words: String) {
        self.says.push(key);
        if !self.words.is_empty() {
            self.words.push(' ');
        }
        self.words.push_str(&words);
    }

    /// A line below the answer; in the answer itself where the wine is ready, which is never said
    /// without it.
    fn beside(&mut self, line: String) {
        if self.line || self.says.contains(&Fitness::DayLeft) {
            self.words = format!("{} {line}", self.words);
        } else {
            self.names.push(line);
        }
    }

    fn before_line(&mut self, rows: &[Proof], judged: bool) {
        let of = |shown: Shown| names(rows, &[Due::BeforeLine], shown);
        let (against, missing, due) = (of(Shown::Against), of(Shown::Missing), of(Shown::Due));
        let lacks = lacks(rows, &missing);
        if !against.is_empty() {
            let words = format!("Not ready for the line: {}.", against.join(", "));
            self.say(Fitness::NotReady, words);
        }
        if !lacks.is_empty() {
            let words = format!("Not shown ready for the line: {}.", lacks.join("; "));
            self.say(Fitness::NotShown, words);
        }
        if missing.len() > NAMED {
            self.names
                .push(format!("Not shown: {}.", missing.join(", ")));
        }
        if against.is_empty() && lacks.is_empty() {
            if !judged {
                let words = "Not shown ready for the line: nothing was judged.";
                self.say(Fitness::NotShown, words.into());
            } else if due.is_empty() {
                self.line = true;
                let words = "Ready for the line: nothing that is due before it is open, by the tests named, each on its day.";
                self.say(Fitness::ReadyForLine, words.into());
            } else {
                let words = "All that can be shown before the bottling day is shown.";
                self.say(Fitness::DayLeft, words.into());
            }
        }
        if !due.is_empty() {
            self.beside(format!("On the day, before the line: {}.", due.join(", ")));
        }
    }

    fn after_line(&mut self, rows: &[Proof], bottled: bool) {
        const AFTER: [Due; 2] = [Due::AtLine, Due::Released];
        let against = names(rows, &AFTER, Shown::Against);
        if !against.is_empty() {
            let words = format!("Not released: {}.", against.join(", "));
            self.say(Fitness::NotReleased, words);
        }
        let open = |due: Due| {
            let mut all = names(rows, &[due], Shown::Missing);
            all.extend(names(rows, &[due], Shown::Due));
            all
        };
        let (at_line, later) = (open(Due::AtLine), open(Due::Released));
        let through = self.line || bottled;
        if through && !(at_line.is_empty() && later.is_empty()) {
            let words = "The lot is kept back until what is due at the line and after it is shown.";
            self.say(Fitness::KeptBack, words.into());
        }
        let open_before = rows.iter().any(|r| r.due == Due::BeforeLine && r.is_open());
        if through && !open_before && against.is_empty() && at_line.is_empty() && later.is_empty() {
            self.released = true;
            self.say(Fitness::Released, "Released: nothing is open.".into());
        }
        for (when, names) in [("At the line", at_line), ("Before release", later)] {
            if !names.is_empty() {
                self.beside(format!("{when}: {}.", names.join(", ")));
            }
        }
    }

    fn without(&mut self, rows: &[Proof]) {
        let waived: Vec<String> = rows
            .iter()
            .filter(|r| r.shown == Shown::Waived)
            .map(Proof::brief)
            .collect();
        if !waived.is_empty() {
            let words = format!("Released without: {}.", waived.join(", "));
            self.beside(words);
        }
    }
}

/// The names of what stands so. Steps of the work order are counted apart.
fn names(rows: &[Proof], due: &[Due], shown: Shown) -> Vec<String> {
    let of = |r: &&Proof| {
        let step = r.because == Some(Because::NotDone) && r.due == Due::BeforeLine;
        r.shown == shown && due.contains(&r.due) && !step
    };
    rows.iter().filter(of).map(Proof::brief).collect()
}

/// What is lacking in the answer: the number of open steps, and the proofs by name or number.
fn lacks(rows: &[Proof], missing: &[String]) -> Vec<String> {
    let step = |r: &&Proof| r.because == Some(Because::NotDone) && r.due == Due::BeforeLine;
    let steps = match rows.iter().filter(step).count() {
        0 => None,
        1 => Some("a step of the work order is not in the log".to_string()),
        n => Some(format!("{n} steps of the work order are not in the log")),
    };
    let proofs = match missing.len() {
        0 => None,
        n if n > NAMED => Some(format!("{n} proofs are missing")),
        _ => Some(missing.join(", ")),
    };
    steps.into_iter().chain(proofs).collect()
}
