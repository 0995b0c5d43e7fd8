//! Whether the steps of a plan stand in their order: who goes first, what may not be in one wine.

use crate::knowledge::*;
use crate::state::log::acts;
pub use crate::trial::order::goes_first;
use crate::wine::*;

/// Why two treatments may not be in one wine. Air before copper is no matter once the copper is in.
fn never(first: &str, then: &str) -> Option<&'static Fact> {
    let settles = |key: &str| PHASES.iter().any(|p| p.phase == Phase::Settle && p.treatments.contains(&key));
    let link = |a: &str, b: &str| LINKS.rows().iter().find(|l| l.kind == LinkKind::Never && l.first.contains(&a) && l.then.contains(&b));
    link(first, then).or_else(|| link(then, first).filter(|_| !settles(then))).map(|l| &l.why)
}

/// What speaks against a step at its place in the plan.
pub fn marks(wine: &Wine, at: usize) -> Vec<String> {
    let Some(step) = wine.plan.get(at) else { return Vec::new() };
    let name = |key: &str| TREATMENTS.iter().find(|t| t.key == key).map_or("", |t| t.name);
    let earlier: Vec<&str> = wine.plan.iter().take(at).map(|s| s.treatment.as_str()).collect();
    let mut marks = Vec::new();
    for (i, before) in earlier.iter().enumerate() {
        // A filter that is there to take an agent out stands where it must.
        let takes_out = LINKS
            .iter()
            .any(|l| l.kind == LinkKind::Insert && (l.then.contains(before) || l.acts.contains(before)) && earlier.iter().take(i).any(|e| l.first.contains(e)));
        if let Some(why) = goes_first(wine.colour, &step.treatment, before).filter(|_| !takes_out) {
            marks.push(format!("Goes before step {} ({}). {}", i + 1, name(before), why.text));
        }
    }
    let done: Vec<&str> = acts(wine).iter().map(|a| a.entry.treatment.as_str()).collect();
    for other in earlier.into_iter().chain(done) {
        if let Some(why) = never(other, &step.treatment) {
            let mark = format!("Not with {}: {}", name(other), why.text);
            if !marks.contains(&mark) {
                marks.push(mark);
            }
        }
    }
    marks
}
