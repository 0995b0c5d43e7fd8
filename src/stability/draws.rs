//! Draws that are the same on every machine. Each sequence is keyed by a text that says what is
//! drawn, never by a place in a list or by the order of calls, so that a new treatment or quantity
//! moves no draw of another.

use crate::wine::Quantity;
use std::ops::Range;

/// Draws while one is typing.
pub const DRAWS: u32 = 256;
/// Draws when the page is at rest.
pub const MANY: u32 = 1000;
/// Draws of one slice of work, so that a slow phone answers between them.
pub const SLICE: u32 = 250;

/// What a share of so many draws may be wrong by: `1/√n`, twice the standard error that draws by
/// chance would have at worst.
/// Even draws lie closer. 256: 6 %; 1,000: 3 %.
pub fn error(draws: u32) -> f64 {
    1.0 / libm::sqrt(f64::from(draws.max(1)))
}

/// Draws in a row of which each falls into another part of the range. A power of two.
const BLOCK: u32 = 64;

/// What is drawn of a treatment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawn {
    /// How much of a problem it covers, in the order of a list.
    Effect,
    /// What it costs, in the order of a list.
    Cost,
    /// Its days, in the order of a list.
    Time,
    /// What it is made of, in the order of a list.
    Origin,
    /// The share of a quantity that it takes away, in a route.
    Takes(Quantity),
    /// Hours of work, in a route.
    Labour,
    /// Wine lost, in a route.
    Lost,
    /// The price of what is bought, in a route.
    Price,
}

impl Drawn {
    const fn key(self) -> &'static str {
        match self {
            Drawn::Effect => "effect",
            Drawn::Cost => "cost",
            Drawn::Time => "time",
            Drawn::Origin => "origin",
            Drawn::Takes(_) => "takes",
            Drawn::Labour => "labour",
            Drawn::Lost => "lost",
            Drawn::Price => "price",
        }
    }
}

/// One sequence of draws. Each block of 64 draws goes once through 64 equal parts of the range, in
/// an order that the key chooses (Latin hypercube sampling, McKay, Beckman and Conover 1979). So
/// two sequences go together no more than two orders that were drawn by chance, and yet all go
/// through the same values: two spreads that are alike have the same mean and the same worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sequence(u64);

impl Sequence {
    /// The sequence of the value of a quantity.
    pub fn of_quantity(which: Quantity) -> Sequence {
        Sequence::keyed(&["quantity", which.key()])
    }

    /// The sequence of something drawn of a treatment.
    pub fn of_treatment(treatment: &str, what: Drawn) -> Sequence {
        match what {
            Drawn::Takes(of) => Sequence::keyed(&["treatment", treatment, what.key(), of.key()]),
            _ => Sequence::keyed(&["treatment", treatment, what.key()]),
        }
    }

    /// FNV-1a of 64 bits over the words, each closed by a zero byte. It is written out since the
    /// hash of the standard library may change.
    fn keyed(words: &[&str]) -> Sequence {
        let mut hash = 0xcbf2_9ce4_8422_2325_u64;
        for byte in words.iter().flat_map(|w| w.bytes().chain([0])) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        Sequence(hash)
    }

    /// The draw of an index, above 0 and below 1.
    pub fn draw(self, index: u32) -> f64 {
        self.block(index / BLOCK).draw(index % BLOCK)
    }

    /// The draws of these indices, each block made ready once.
    pub fn over(self, indices: Range<u32>) -> Vec<f64> {
        let mut all = Vec::with_capacity(indices.len());
        let mut number = indices.start / BLOCK;
        let mut block = self.block(number);
        for index in indices {
            if index / BLOCK != number {
                number = index / BLOCK;
                block = self.block(number);
            }
            all.push(block.draw(index % BLOCK));
        }
        all
    }

    fn block(self, number: u32) -> Block {
        let by = mixed(self.0.wrapping_add(u64::from(number)));
        Block {
            steps: [0, 1, 2, 3].map(|step| Step {
                times: (by >> (11 * step)) as u32 | 1,
                plus: (by >> (11 * step + 5)) as u32,
            }),
            place: place(number),
        }
    }
}

/// One step of an order: it can be undone, so that every number comes once.
struct Step {
    times: u32,
    plus: u32,
}

/// One block of a sequence: its order, and where in each part it lies.
struct Block {
    steps: [Step; 4],
    place: f64,
}

impl Block {
    fn draw(&self, number: u32) -> f64 {
        let mut part = number;
        for step in &self.steps {
            part = part.wrapping_mul(step.times).wrapping_add(step.plus) % BLOCK;
            part ^= part >> 3;
        }
        (f64::from(part) + self.place) / f64::from(BLOCK)
    }
}

/// Where in each part the draws of a block lie: 1/2, 1/4, 3/4, 1/8, 5/8 and so on, the bits of the
/// number of the block behind the point (van der Corput 1935).
fn place(block: u32) -> f64 {
    f64::from((block + 1).reverse_bits()) / 4_294_967_296.0
}

/// Every bit of the result depends on every bit given (the finisher of SplitMix64, Steele, Lea and
/// Flood 2014).
fn mixed(x: u64) -> u64 {
    let x = x.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

/// The draw of a quantity at an index.
pub fn share(which: Quantity, index: u32) -> f64 {
    Sequence::of_quantity(which).draw(index)
}

/// A value of a triangle from `low` over `middle` to `high` at a share.
pub fn triangle(low: f64, middle: f64, high: f64, share: f64) -> f64 {
    let width = high - low;
    if width <= 0.0 {
        return middle;
    }
    let turn = (middle - low) / width;
    if share < turn {
        low + libm::sqrt(share * width * (middle - low))
    } else {
        high - libm::sqrt((1.0 - share) * width * (high - middle))
    }
}
