//! The knowledge as one compact blob: the build script packs what it read, the library unpacks it
//! once, when it is first
//! asked for. Both sides follow the shapes of `schema.rs`, so neither can forget a field. A third
//! smaller over the wire
//! than the same tables as static Rust, whose pointers do not compress; derived decoders of a
//! library weighed more than
//! they saved. Included by both; each side uses its half.

/// A figure is kept as a whole number and its decimals, so that it reads back to the same bits.
const MOST_PLACES: u32 = 6;

/// Writes the blob.
#[derive(Default)]
pub struct Packer {
    /// Texts in the order of their first use, a line each.
    pub texts: Vec<String>,
    known: std::collections::BTreeMap<String, usize>,
    /// Everything else.
    pub bytes: Vec<u8>,
}

impl Packer {
    /// A whole number, seven bits a byte, the low ones first.
    pub fn whole(&mut self, mut n: u64) {
        while n >= 0x80 {
            self.bytes.push((n & 0x7f) as u8 | 0x80);
            n >>= 7;
        }
        self.bytes.push(n as u8);
    }

    /// A text: 0 for the next new one, else one more than its number.
    pub fn text(&mut self, text: &str) {
        match self.known.get(text) {
            Some(&i) => self.whole(i as u64 + 1),
            None => {
                self.known.insert(text.to_string(), self.texts.len());
                self.texts.push(text.to_string());
                self.whole(0);
            }
        }
    }

    /// A figure: its places in the low bits, its sign, then its digits. None where it would not
    /// read back as it was.
    pub fn figure(&mut self, value: f64) -> Option<()> {
        let places = (0..=MOST_PLACES).find(|p| {
            shifted(value, *p).is_some_and(|m| unshifted(m, *p).to_bits() == value.to_bits())
        })?;
        let digits = shifted(value, places)?;
        self.whole(digits.unsigned_abs() << 4 | u64::from(digits < 0) << 3 | u64::from(places));
        Some(())
    }
}

fn power(places: u32) -> f64 {
    (0..places).fold(1.0, |n, _| n * 10.0)
}

fn shifted(value: f64, places: u32) -> Option<i64> {
    let moved = value * power(places);
    let near = if moved < 0.0 {
        moved - 0.5
    } else {
        moved + 0.5
    };
    (near.abs() < 1e15).then_some(near as i64)
}

fn unshifted(digits: i64, places: u32) -> f64 {
    digits as f64 / power(places)
}

/// Reads the blob. Past its end everything reads as nothing, so that no input can stop the page.
pub struct Unpacker {
    texts: Vec<&'static str>,
    fresh: usize,
    bytes: &'static [u8],
    at: usize,
}

impl Unpacker {
    /// Over the two halves of the blob.
    pub fn new(texts: &'static str, bytes: &'static [u8]) -> Unpacker {
        Unpacker {
            texts: texts.split('\n').collect(),
            fresh: 0,
            bytes,
            at: 0,
        }
    }

    /// A whole number.
    pub fn whole(&mut self) -> u64 {
        let (mut n, mut shift) = (0, 0);
        while let Some(b) = self.bytes.get(self.at) {
            self.at += 1;
            n |= u64::from(b & 0x7f) << shift;
            shift += 7;
            if b & 0x80 == 0 || shift > 56 {
                break;
            }
        }
        n
    }

    /// A text.
    pub fn text(&mut self) -> &'static str {
        let n = self.whole() as usize;
        let i = n.checked_sub(1).unwrap_or(self.fresh);
        self.fresh += usize::from(n == 0);
        self.texts.get(i).copied().unwrap_or_default()
    }

    /// A figure.
    pub fn figure(&mut self) -> f64 {
        let n = self.whole();
        let digits = (n >> 4) as i64;
        unshifted(if n & 8 == 0 { digits } else { -digits }, (n & 7) as u32)
    }

    /// Whether all of it was read.
    pub fn is_over(&self) -> bool {
        self.at == self.bytes.len() && self.fresh == self.texts.len()
    }
}
