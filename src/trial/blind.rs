//! Glasses for blind tasting: three-digit numbers in an order that says nothing, the same each time
//! for one wine and
//! treatment, so that a sheet can be printed again, and new ones for the next tasting.

use crate::dossier::Dossier;

/// A sequence of numbers from a text (the FNV-1a hash, then a 64-bit linear congruence; both
/// general methods).
struct Sequence(u64);

impl Sequence {
    fn of(text: &str) -> Sequence {
        Sequence(text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
        }))
    }
    /// A whole number below `n`.
    fn below(&mut self, n: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % n.max(1)
    }
}

/// A glass: the number on it and what is in it, as its place in the list given to [`glasses`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Glass {
    /// Number on the glass, 100 to 999.
    pub code: u16,
    /// Place of its rung.
    pub rung: usize,
}

/// The next number to draw glasses from: another order for another tasting.
pub fn next(of: Option<u32>, wine: &str, treatment: &str) -> u32 {
    1 + Sequence::of(&format!("{}/{wine}/{treatment}", of.unwrap_or(0))).below(1_000_000) as u32
}

/// The glasses of the trial of a treatment: by the number kept with it, else by the name of the
/// wine.
pub fn of_trial(dossier: &Dossier, treatment: &str, rungs: usize) -> Vec<Glass> {
    let kept = super::trial_of(dossier, treatment).and_then(|t| t.shuffle);
    glasses(
        &kept.map_or_else(
            || format!("{}/{treatment}", dossier.name),
            |n| n.to_string(),
        ),
        rungs,
    )
}

/// One glass for each of `rungs`, and the first, the control, once more; numbered and shuffled by
/// `key`.
pub fn glasses(key: &str, rungs: usize) -> Vec<Glass> {
    let mut sequence = Sequence::of(key);
    let mut list: Vec<Glass> = Vec::new();
    for rung in (0..rungs.min(400)).chain((rungs > 0).then_some(0)) {
        let mut code = 100 + sequence.below(900) as u16;
        while list.iter().any(|g| g.code == code) {
            code = if code == 999 { 100 } else { code + 1 };
        }
        list.push(Glass { code, rung });
    }
    for end in (1..list.len()).rev() {
        list.swap(end, sequence.below(end as u64 + 1) as usize);
    }
    list
}
