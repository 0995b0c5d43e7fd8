//! Organic schemes.

use crate::knowledge::*;
use crate::wine::*;

/// What an organic scheme says of a material; None when it is not in the lists read.
pub fn organic(scheme: Organic, treatment: &Treatment) -> Option<&'static OrganicRule> {
    ORGANIC.iter().find(|r| r.schemes.contains(&scheme) && r.materials.contains(&treatment.material))
}
