//! Every address that the page reads is walked by the browser tests that look at every page: sizes
//! of what is tapped, what is too wide, axe.
#![allow(clippy::unwrap_used, missing_docs)]

/// What stands from `start` on, up to the first line that closes it.
fn part<'a>(source: &'a str, start: &str, end: &str) -> &'a str {
    source
        .split_once(start)
        .unwrap()
        .1
        .split_once(end)
        .unwrap()
        .0
}

/// The words between quotes of the patterns that lead to a page: of `["wine", id, "cause"]` they
/// are wine and cause.
fn words_of_addresses(source: &str) -> Vec<&str> {
    let read = part(source, "pub fn read(path: &str) -> Page {", "\n    }\n");
    let sheets = part(source, "pub const fn key(self)", "\n    }\n");
    let patterns = read
        .lines()
        .map(str::trim_start)
        // The book is the empty address; its other word is that of the link to the content.
        .filter(|l| l.starts_with('[') && !l.ends_with("Page::Book,"));
    patterns
        .chain(sheets.lines())
        .flat_map(|l| l.split('"').skip(1).step_by(2))
        .collect()
}

/// Those that `everyPage` goes to nowhere.
fn not_walked<'a>(pages: &'a str, browser_test: &str) -> Vec<&'a str> {
    let walk = part(browser_test, "const everyPage = ", "\n};\n");
    words_of_addresses(pages)
        .into_iter()
        .filter(|word| !walk.contains(&format!("/{word}")))
        .filter(|word| !walk.contains(&format!("\"{word}\"")))
        .collect()
}

#[test]
fn every_page_is_walked_by_the_browser_tests() {
    let missing = not_walked(
        include_str!("../src/app/page.rs"),
        include_str!("browser/hand.test.mjs"),
    );
    assert!(
        missing.is_empty(),
        "src/app/page.rs reads addresses with these words, and everyPage of tests/browser/hand.test.mjs goes to none: add a line there: {missing:?}"
    );
}

#[test]
fn a_page_that_is_not_walked_is_named() {
    let pages = r#"
    pub const fn key(self) -> &'static str {
            Sheet::Order => "order",
            Sheet::Bill => "bill",
    }

    pub fn read(path: &str) -> Page {
        match parts.as_slice() {
            [] | ["main"] => Page::Book,
            ["wine", id, "cause"] => Page::Cause((*id).into()),
            ["figures"] => Page::Figures,
            ["tests"] => Page::Tests,
        }
    }
"#;
    let walk = r##"
const everyPage = async () => {
  await at("cause", `#/wine/${id}/cause`);
  for (const kind of ["order"]) await at(kind, `${wine}/${kind}`);
  await at("no", "#/figures");
};
/tests /bill
"##;
    assert_eq!(not_walked(pages, walk), ["tests", "bill"]);
}
