//! What a rule can ask. The evaluator reads a situation and knows no module: today's wine and a
//! step of a route answer alike.

use super::value::Value;
use crate::knowledge::{Question, Treatment};
use crate::wine::Problem;

/// A wine at one moment.
pub trait Situation {
    /// The answer to a question of a rule about an act, where it matters for a need; not yet turned
    /// round.
    fn answer(&self, question: &Question, act: &Treatment, need: Option<Problem>) -> Value;
}
