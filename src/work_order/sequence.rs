//! Whether the steps of a plan stand in their order: who goes first, what may not be in one wine. The order is that of the
//! phases and links of `72-routes.toml`, the same that a route keeps.

use crate::knowledge::*;
use crate::state::log::acts;
use crate::wine::*;

/// The row of phases that holds a treatment in a wine of this colour, and its place in it.
fn place(wine: &Wine, key: &str) -> Option<(&'static PhaseFacts, usize)> {
    let fits = |p: &&PhaseFacts| p.colours.is_empty() || wine.colour.is_some_and(|c| p.colours.contains(&c));
    PHASES.rows().iter().filter(fits).find_map(|p| Some((p, p.treatments.iter().position(|t| *t == key)?)))
}

/// Why `first` goes before `then` in this wine; None where it does not, or where either will do.
pub fn goes_first(wine: &Wine, first: &str, then: &str) -> Option<&'static Fact> {
    let ((a, i), (b, j)) = (place(wine, first)?, place(wine, then)?);
    if a.phase == b.phase {
        // Within a phase only what a rule or a link speaks of, and filters, coarse before fine; the rest may come as it likes.
        // Where rules point both ways, the place in the phase says which holds for this colour.
        let rule = ORDER.rows().iter().find(|o| o.first.contains(&first) && o.treatments.contains(&then) && !o.first.contains(&then));
        let filters = || [first, then].iter().all(|k| TREATMENTS.iter().any(|t| t.key == *k && t.family == Family::Filter));
        let linked = || filters() || LINKS.iter().any(|l| l.kind == LinkKind::Together && l.first.contains(&first) && l.then.contains(&then));
        return if i >= j { None } else { rule.map(|o| &o.rule).or_else(|| linked().then_some(&a.why)) };
    }
    // Wine is racked after any step, and sulfur dioxide is kept up all along.
    let anywhere = a.phase == Phase::Settle || b.phase == Phase::Protect;
    (a.phase < b.phase && !anywhere).then_some(if a.phase < Phase::Fine { &a.why } else { &b.why })
}

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
        if let Some(why) = goes_first(wine, &step.treatment, before).filter(|_| !takes_out) {
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
