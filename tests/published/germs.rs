//! What the checks on germs share.
use super::*;
use stillbright::knowledge::Estimate;

/// The powers of ten by which a treatment lowers a count.
pub fn logs(key: &str, of: Quantity) -> Estimate {
    let mut effects = treatment(key).effects.iter();
    effects.find(|e| e.on == of).and_then(|e| e.logs).unwrap()
}
