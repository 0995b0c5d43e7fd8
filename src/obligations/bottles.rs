//! What can be done for a wine that is in bottle, in words.

use super::{What, of_bottles};
use crate::answer::AnswerKey;
use crate::dossier::Dossier;
use crate::knowledge::LastCheck;
use crate::sorting::sort;
use crate::stability;
use crate::wine::Problem;

/// The answer for a bottled wine: what can be done for its bottles, what safety asks first, then the
/// cause. Of one need, where it is asked of one.
pub fn in_bottle(dossier: &Dossier, need: Option<Problem>) -> (Vec<AnswerKey>, String) {
    let mut checks: Vec<&'static LastCheck> = Vec::new();
    let concerns = stability::concerning(dossier);
    for owed in of_bottles(dossier, &concerns) {
        if let What::Check(c) = owed.what
            && c.of_bottles
            && (c.only_for.is_empty() || need.is_none_or(|n| c.only_for.contains(&n)))
        {
            checks.push(c);
        }
    }
    sort(&mut checks, &mut |a, b| {
        a.binds.is_none().cmp(&b.binds.is_none())
    });
    let mut said: Vec<&str> = checks.iter().map(|c| c.test.text).collect();
    said.push(if said.is_empty() {
        "It is in bottle: nothing is dosed into a bottle. Set the lot aside, find the cause by tests, then decide what to do with it."
    } else {
        "It is in bottle: find the cause by tests, then decide what to do with it."
    });
    let says = vec![AnswerKey::InBottle, AnswerKey::FindCause];
    (says, said.join(" "))
}
