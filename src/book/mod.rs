//! The cellar book: wines as files and in storage. Storage, clock and identifiers come through one
//! port, so that all of it
//! runs and is tested without a browser. Inputs only are stored, never results.

pub mod file;
pub mod port;
pub mod rescue;
pub mod shelf;
mod together;

pub use file::{FileError, read_book, read_file, write_book, write_wine};
pub use port::{Memory, Port, PortError};
pub use rescue::{Import, read_import, write_kept};
pub use shelf::{Aside, DEFAULTS, Newer, Shelf};
