//! The words of the page: what each language says, and how a wrong file stops the build.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

#[allow(dead_code)]
#[path = "../src/text/sign.rs"]
mod sign;

#[path = "../src/text/compile.rs"]
mod texts;

use std::borrow::Cow;
use stillbright::message::{Arg, Entry, Message};
use stillbright::text::{Said, Table, say};
use texts::{Compiled, Input, compile};

fn input(code: &str, text: &str) -> Input {
    Input {
        name: format!("{code}.ftl"),
        code: code.into(),
        text: text.into(),
    }
}

fn compiled(english: &str, french: &str) -> Result<Compiled, Vec<String>> {
    compile(&input("en", english), &[input("fr", french)])
}

/// The errors of two small files.
fn errors(english: &str, french: &str) -> Vec<String> {
    compiled(english, french).unwrap_err()
}

/// A speaker that knows one word.
fn speak(text: &str) -> (Cow<'_, str>, bool) {
    match text {
        "white" => (Cow::Borrowed("blanc"), false),
        _ => (Cow::Borrowed(text), true),
    }
}

/// A message of a small file in a language, as it was packed.
fn said(compiled: &Compiled, code: &str, id: &str, args: Vec<Arg>) -> Said {
    let at = compiled.english.iter().position(|(i, _)| i == id).unwrap();
    let entry: &'static Entry = Box::leak(Box::new(Entry {
        id: u16::try_from(at).unwrap(),
        english: Box::leak(compiled.english[at].1.clone().into_boxed_str()),
    }));
    let table = compiled.tables.iter().find(|(c, _)| c == code);
    let table = table.map(|(_, bytes)| Table::read(bytes).unwrap());
    say(&Message::filled(entry, args), table.as_ref(), &speak)
}

const COUNTED: &str = "# $count (number)
wines = { $count ->
    [0] no wine
    [one] { $count } wine
   *[other] { $count } wines
 } in the book
";

#[test]
fn each_language_has_its_own_plural() {
    let french =
        "wines = { $count ->\n [one] { $count } vin\n *[other] { $count } vins\n } dans le cahier";
    let spanish = "wines = { $count ->\n *[other] { $count } vinos\n [one] { $count } vino\n } en el cuaderno";
    let all = compile(
        &input("en", COUNTED),
        &[input("fr", french), input("es", spanish)],
    )
    .unwrap();
    for (code, number, text) in [
        ("en", 0.0, "no wine in the book"),
        ("en", 1.0, "1 wine in the book"),
        ("en", 1.5, "1.5 wines in the book"),
        ("en", 2.0, "2 wines in the book"),
        ("fr", 0.0, "0 vin dans le cahier"),
        ("fr", 1.0, "1 vin dans le cahier"),
        ("fr", 1.5, "1.5 vin dans le cahier"),
        ("fr", 2.0, "2 vins dans le cahier"),
        ("es", 0.0, "0 vinos en el cuaderno"),
        ("es", 1.0, "1 vino en el cuaderno"),
        ("es", 1.5, "1.5 vinos en el cuaderno"),
        ("es", 21.0, "21 vinos en el cuaderno"),
    ] {
        let said = said(&all, code, "wines", vec![Arg::Number(number)]);
        assert_eq!(said.text, text, "{code} {number}");
        assert!(!said.english, "{code} {number}");
    }
}

const CHOSEN: &str = "-brand = Stillbright
hello = Welcome to { -brand }
# $state (crate::Verdict)
# $name (text)
# $colour (sentence)
# $what (message)
judged = { $name }, { $colour }: { $state ->
    [stable] stable
   *[not-known] not known { \"{\" }{ $what }{ \"}\" }
 }.
";

fn judged(variant: u8) -> Vec<Arg> {
    static HELLO: Entry = Entry {
        id: 0,
        english: "Welcome to Stillbright",
    };
    vec![
        Arg::Variant(variant),
        Arg::Text("Hill".into()),
        Arg::Sentence("white".into()),
        Arg::Message(Message::fixed(&HELLO)),
    ]
}

#[test]
fn a_variant_of_an_enum_chooses_and_gaps_are_filled() {
    let french = "hello = Bienvenue\njudged = { $state ->\n *[not-known] non connu ({ $what })\n [stable] stable\n } : { $name } { $colour }";
    let all = compiled(CHOSEN, french).unwrap();
    for (code, variant, text) in [
        ("fr", 0, "stable : Hill blanc"),
        ("fr", 1, "non connu (Bienvenue) : Hill blanc"),
    ] {
        let said = said(&all, code, "judged", judged(variant));
        assert_eq!((said.text.as_str(), said.english), (text, false), "{code}");
    }
    let english = said(&all, "en", "hello", Vec::new());
    assert_eq!(
        (english.text.as_str(), english.english),
        ("Welcome to Stillbright", false)
    );
    // The compiler of the page holds the variants against those of the enum, each by its name.
    for part in [
        "pub const HELLO: Message",
        "pub fn judged(state: crate::Verdict, name: impl Into<String>,",
        "crate::Verdict::Stable => 0, crate::Verdict::NotKnown => 1",
    ] {
        assert!(all.rust.contains(part), "{part} not in\n{}", all.rust);
    }
}

#[test]
fn what_is_not_translated_stays_english_and_is_marked() {
    let all = compiled(CHOSEN, "hello = Bienvenue").unwrap();
    assert_eq!(all.missing, [("fr.ftl".to_string(), "judged".to_string())]);
    let said = said(&all, "fr", "judged", judged(1));
    // What fills its gaps is said as well as it can be.
    assert_eq!(said.text, "Hill, blanc: not known {Bienvenue}.");
    assert!(said.english);
}

#[test]
fn a_sentence_of_the_engine_goes_through_its_speaker() {
    let all = compiled("a = b", "a = c").unwrap();
    let table = Table::read(&all.tables[0].1).unwrap();
    let say = |text: &'static str| say(&text.into(), Some(&table), &speak);
    assert_eq!(
        (say("white").text.as_str(), say("white").english),
        ("blanc", false)
    );
    assert_eq!(
        (say("red").text.as_str(), say("red").english),
        ("red", true)
    );
}

#[test]
fn a_wrong_file_stops_the_build_with_its_line() {
    for (english, french, expected) in [
        (
            "a = b\n",
            "a = c\n\nz = y",
            "fr.ftl:3: `z` is no message of en.ftl",
        ),
        ("a = b\na = c", "", "en.ftl:1: `a` stands there twice"),
        ("a = b\nc { d", "", "en.ftl:2: "),
        (
            "a = { $n }",
            "",
            "en.ftl:1: `a` has $n, which the English message does not declare",
        ),
        (
            "# $n (text)\na = b",
            "",
            "en.ftl:2: `a` says that it has $n, and never uses it",
        ),
        (
            "# $n (letter)\na = { $n }",
            "",
            "en.ftl:2: `a` gives $n the kind `letter`",
        ),
        ("# $n\na = { $n }", "", "en.ftl:2: `a` tells no kind of $n"),
        (
            "# $n (text)\na = { $n }",
            "a = b",
            "fr.ftl:1: `a` leaves $n out, which the English has",
        ),
        (
            "# $n (text)\na = { $n }",
            "a = { $n } { $m }",
            "fr.ftl:1: `a` has $m, which",
        ),
        (
            "# $n (text)\na = { $n ->\n *[other] b\n }",
            "",
            "en.ftl:2: `a` chooses by $n, which is neither",
        ),
        (
            "# $n (number)\na = { $n ->\n *[few] b\n }",
            "",
            "en.ftl:2: `a`: a number chooses between",
        ),
        (
            "# $n (number)\na = { $n ->\n *[one] b\n }",
            "",
            "en.ftl:2: `a`: the choice by $n needs *[other]",
        ),
        (
            "# $s (a::S)\na = { $s }",
            "",
            "en.ftl:2: `a` shows $s, which only chooses",
        ),
        (
            "# $s (a::S)\na = { $s ->\n [on] b\n *[off] c\n }",
            "a = { $s ->\n [on] b\n *[of] c\n }",
            "fr.ftl:1: `a`: a::S has no variant [of]",
        ),
        (
            "# $s (a::S)\na = { $s ->\n [on] b\n *[off] c\n }",
            "a = { $s ->\n *[on] b\n }",
            "fr.ftl:1: `a`: the choice by $s lacks [off]",
        ),
        (
            "a = { -b }",
            "",
            "en.ftl:1: `a` names `-b`, which is not in this file",
        ),
        (
            "a = { b }\nb = { a }",
            "",
            "en.ftl:1: `a` holds itself by `a`",
        ),
        (
            "a = { NUMBER($n) }",
            "",
            "en.ftl:1: `a` calls NUMBER, which is not known here",
        ),
        ("a = b\n .title = c", "", "en.ftl:1: `a` has attributes"),
        (
            "A = b",
            "",
            "en.ftl:1: `A` is to be written in small letters",
        ),
    ] {
        let errors = errors(english, french);
        assert!(
            errors.iter().any(|e| e.starts_with(expected)),
            "{english:?} and {french:?} say {errors:?}"
        );
    }
    let unknown = compile(&input("en", "a = b"), &[input("xx", "a = b")]).unwrap_err();
    assert_eq!(
        unknown,
        ["xx.ftl: the plural of the language `xx` is not known here"]
    );
}

#[test]
fn what_is_no_table_is_not_read() {
    let bytes = compiled("a = b", "a = c").unwrap().tables[0].1.clone();
    assert!(Table::read(&bytes).is_some());
    for wrong in [&bytes[..bytes.len() - 1], &[], b"<html>not found</html>"] {
        assert!(Table::read(wrong).is_none());
    }
}

/// A file of the page.
fn kept(code: &str) -> Input {
    let name = format!("languages/{code}.ftl");
    Input {
        text: std::fs::read_to_string(&name).unwrap(),
        code: code.into(),
        name,
    }
}

#[test]
fn every_message_of_the_page_is_translated_with_its_figures() {
    let all = compile(&kept("en"), &[kept("es"), kept("fr")]).unwrap();
    assert_eq!(all.missing, []);
    let figures = |text: &str| {
        let mut all: Vec<char> = text.chars().filter(char::is_ascii_digit).collect();
        all.sort_unstable();
        all
    };
    // What has gaps or a choice may name a number once more in one language than in another.
    let fixed = |program: &str| !program.contains(|c: char| c < ' ');
    for (id, program) in all.english.iter().filter(|(_, p)| fixed(p)) {
        assert_eq!(said(&all, "en", id, Vec::new()).text, *program);
        for code in ["es", "fr"] {
            let said = said(&all, code, id, Vec::new());
            assert_eq!(figures(&said.text), figures(program), "{code}: {id}");
            assert!(!said.english, "{code}: {id}");
        }
    }
}
