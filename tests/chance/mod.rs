//! How often a property is tried, and where a failure is kept.

use proptest::test_runner::{Config, FileFailurePersistence};

/// `cases` tries, times `PROPTEST_TIMES` where that is set (`make long`); `PROPTEST_CASES` says the
/// number itself. What fails is written beside the test (`tests/NAME.regressions`) and tried first
/// from then on.
pub fn tries(cases: u32) -> Config {
    let set = Config::default();
    // Stops at what is no number, rather than try less than was asked for.
    #[allow(clippy::unwrap_used)]
    let times: u32 = std::env::var("PROPTEST_TIMES").map_or(1, |times| times.parse().unwrap());
    let cases = if std::env::var_os("PROPTEST_CASES").is_some() {
        set.cases
    } else {
        cases * times
    };
    Config {
        cases,
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("regressions"))),
        ..set
    }
}
