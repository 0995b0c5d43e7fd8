//! The signs of a program of words: what says it and what packs it know them from here.

/// Show an argument.
pub const ARG: u8 = 1;
/// Choose by an argument: variants follow, each with its key.
pub const SELECT: u8 = 2;
/// The end of a variant.
pub const END_VARIANT: u8 = 3;
/// The end of a choice.
pub const END_SELECT: u8 = 4;
/// The key of the number 0, or of the first variant; others follow it.
pub const FIRST_KEY: u8 = 8;
/// The last key that a number or a variant may have.
pub const LAST_KEY: u8 = 0x7d;
/// The key of the plural category “one”.
pub const ONE: u8 = 0x7e;
/// The key of what is left: the category “other”.
pub const OTHER: u8 = 0x7f;
