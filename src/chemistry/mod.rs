//! Cited equations: acids and bases, bitartrate and calcium, sulfur dioxide, protein haze, heat and
//! cold, settling,
//! filtration, oxygen, ions. One file a subject; each public function says its formula, range,
//! example and reference: a work of the list below by its number, [7], a source of the knowledge by
//! its key, [OIV], or how it is known without one: by definition, derived from what is named, from
//! memory, common practice, judgement. What is no equation says so. `tests/equations.rs` asks for
//! it. No
//! facts on treatments or law live here, and nothing here knows of a wine as described: numbers in,
//! numbers out.
//!
//! What a model says is a driving force. The verdict on a wine belongs to a test of it.
//!
//! References, cited by number:
//! 1. Robinson & Stokes, Electrolyte Solutions, appendix 12 (coefficients from memory, each checked
//!    at 25 °C).
//! 2. Ribéreau-Gayon et al., Handbook of Enology vol. 2, ch. 1 (single pages read).
//! 3. Prenesti E. et al. 2012, Sci. World J. 249041, table 4 (read).
//! 4. Davies equation; water permittivity and its fall with ethanol (from memory).
//! 5. Fit of bitartrate solubilities in references 2 and others, done for this program: ±8 % in
//!    solubility.
//! 6. Würdig et al. 1982; Maujean et al. 1985 (formulas read).
//! 7. OIV-MA-AS323-04C, tables of pKT (read, 20 to 40 °C).
//! 8. University of California handout of 1982, table of free SO2 (read).
//! 9. Yanniotis S. et al., viscosity of wines (read).
//! 10. Danilewicz J.C. 2007 and later; AWRI gas pages (read).
//! 11. French technical institutes and trade articles on filterability (read), gradual blocking law
//!     (from memory).
//! 12. Practical Winery & Vineyard 2008 and 2014 (read).
//! 13. Molar masses: OIV Codex, USP 32, tables of elements.
//! 14. Freezing of ethanol in water: CRC Handbook of Chemistry and Physics, 62nd ed., p. D-207 (4 %
//!     by mass read as another
//!     page quotes it, the rest from memory); Melinder, Properties of secondary working fluids (11,
//!     16 and 21 % by mass read in an open table).

pub mod acid;
pub mod balance;
pub mod bitartrate;
pub mod calcium;
pub mod cold;
pub mod filter;
pub mod haze;
pub mod heat;
pub mod ions;
pub mod oxygen;
mod root;
pub mod settling;
pub mod solvent;
pub mod sulfur;
pub mod tartrate_test;

/// Why there is no answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoAnswer {
    /// A value outside the range in which the equation was checked, or no number at all.
    OutOfRange {
        /// What.
        what: &'static str,
        /// The value given.
        value: f64,
        /// Least that is taken.
        least: f64,
        /// Most that is taken.
        most: f64,
    },
    /// The values given contradict each other.
    Contradiction(&'static str),
    /// It can never be reached.
    NeverReached(&'static str),
}

impl std::fmt::Display for NoAnswer {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            NoAnswer::OutOfRange {
                what,
                value,
                least,
                most,
            } => {
                let [value, least, most] = [*value, *least, *most].map(crate::units::show::plain);
                write!(
                    out,
                    "{what} is {value}, and the equation was checked for {least} to {most}"
                )
            }
            NoAnswer::Contradiction(why) | NoAnswer::NeverReached(why) => out.write_str(why),
        }
    }
}

impl std::error::Error for NoAnswer {}

/// An answer, or the reason why there is none.
pub type Answer<T> = Result<T, NoAnswer>;

/// The value, where it is a number inside the range.
pub(crate) fn within(what: &'static str, value: f64, least: f64, most: f64) -> Answer<f64> {
    if value >= least && value <= most {
        Ok(value)
    } else {
        Err(NoAnswer::OutOfRange {
            what,
            value,
            least,
            most,
        })
    }
}

pub(crate) use root::between as root_between;

pub use crate::units::molar;
