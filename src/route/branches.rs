//! What the first tests of a route decide.

use super::chain::spread;
use super::instance::Built;
use super::model::Label;
use crate::dossier::Dossier;
use crate::state::reading;
use crate::units::show;

/// What the first tests decide: which acts fall away where a need turns out to be met, and from
/// where the route must be chosen
/// anew.
pub(super) fn branches(dossier: &Dossier, built: &Built, label: &Label) -> Vec<String> {
    let on = &built.instance;
    let mut found = Vec::new();
    for (at, (about, need)) in built
        .needs
        .iter()
        .zip(&on.needs)
        .enumerate()
        .filter(|(_, (about, need))| about.is_unmeasured() && need.required)
    {
        let serves = |d: &&super::model::Done, only: bool| {
            on.acts.get(d.act).is_some_and(|a| {
                let mut served = a
                    .effects
                    .iter()
                    .filter(|e| e.removes && on.needs.get(e.need).is_some_and(|n| n.required))
                    .map(|e| e.need);
                if only {
                    served.all(|n| n == at)
                } else {
                    served.any(|n| n == at)
                }
            })
        };
        let decided = || label.done.iter().filter(|d| d.decided && serves(d, false));
        let falls: Vec<&str> = decided()
            .filter(|d| serves(d, true))
            .filter_map(|d| built.acts.get(d.act))
            .map(|t| t.name)
            .collect();
        let read = reading(dossier, about.problem.quantity);
        let name = read.label();
        let (most, unit) = (
            spread(&need.start).high,
            about.problem.quantity.facts().unit,
        );
        if !falls.is_empty() {
            found.push(format!(
                "{name} within its limit: leave out {}.",
                show::listed(&falls)
            ));
        }
        // From the most that the draws hold, or that an act of the route is used with.
        let used_to = decided()
            .filter_map(|d| built.acts.get(d.act))
            .flat_map(|t| t.bounds)
            .filter(|b| b.on == about.problem.quantity)
            .map(|b| b.most);
        let most = used_to.fold(most, f64::min);
        if decided().next().is_some() && most > need.ceiling && read == about.problem.quantity {
            found.push(format!(
                "{name} above {} {unit}: choose a route anew.",
                show::plain(most)
            ));
        }
    }
    found
}
