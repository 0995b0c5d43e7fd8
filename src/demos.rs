//! The invented wines: every file of `demo-data/` whose name begins with a digit, in order, put here
//! by the build script. What each is offered as stands in the file, as its `title`.

// Two lists, since the first part of the page needs the titles alone.
include!(concat!(env!("OUT_DIR"), "/demos.rs"));
