//! Steppers: a number one step up or down, again and again while a button is held.

use super::paper::{Node, el, line, with};
use super::store::store;
use super::words;
use leptos::prelude::*;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::time::Duration;
use wasm_bindgen::JsCast;

/// A field of a number with a step down and a step up beside it, for wet hands. A button that is
/// held goes on by itself. `spoken`
/// names the buttons.
pub fn stepped(spoken: &str, whole: bool, field: Node) -> Node {
    let store = store();
    let step = |sign: &str, word: &str, up: bool| {
        let place = field.clone();
        // One step; the value, or none where it cannot be stepped.
        let once = move || {
            let input: web_sys::HtmlInputElement = place
                .element()
                .query_selector("input")
                .ok()??
                .unchecked_into();
            let next = crate::units::step::step(&input.value(), up, whole)?;
            input.set_value(&next);
            let _told = input.dispatch_event(&web_sys::Event::new("input").ok()?);
            Some(next)
        };
        with(
            "aria-label",
            format!("{spoken}: {word}"),
            held(
                line("button", "", sign),
                Rc::new(once),
                Rc::new(move |value| store.said.set(value)),
            ),
        )
    };
    // The label stays outside the grid of the three: what is put beside it to explain a word then
    // lies under no button.
    let three = el("div", "stepped", Vec::new());
    if let Ok(Some(input)) = field.element().query_selector("input") {
        let _placed = field.element().insert_before(three.element(), Some(&input));
        let _moved = three.element().append_child(&input);
        for button in [step("−", words::LESS, false), step("+", words::MORE, true)] {
            three.hold(&button);
        }
    }
    field
}

/// Makes a button do a thing once when it is tapped or pressed by a key, and over and over while a
/// finger or a pointer holds it.
/// What came of it is said once, when it is let go.
fn held(button: Node, once: Rc<dyn Fn() -> Option<String>>, say: Rc<dyn Fn(String)>) -> Node {
    // Which holding it is, so that the timer of one that ended does nothing; and the value, while
    // it went on by itself.
    let (turn, last) = (Rc::new(Cell::new(0_u32)), Rc::new(RefCell::new(None)));
    let (of, told) = (last.clone(), say.clone());
    let (begin, act) = (turn.clone(), once.clone());
    let tap = move |_| {
        // The tap at the end of a holding is part of it.
        if of.take().is_none()
            && let Some(value) = act()
        {
            told(value);
        }
    };
    let (here, ended, of) = (button.clone(), last.clone(), last.clone());
    let down = move |_| {
        begin.set(begin.get().wrapping_add(1));
        of.take();
        again(
            here.clone(),
            begin.clone(),
            begin.get(),
            HOLD,
            once.clone(),
            of.clone(),
        );
    };
    let let_go: Rc<dyn Fn(String)> = Rc::new(move |_| {
        turn.set(turn.get().wrapping_add(1));
        if let Some(value) = ended.borrow().clone() {
            say(value);
            // No tap follows where the finger slid away.
            let ended = ended.clone();
            set_timeout(move || drop(ended.take()), Duration::from_millis(300));
        }
    });
    let button = Node::on(
        "pointerdown",
        Rc::new(down),
        Node::on("click", Rc::new(tap), with("type", "button", button)),
    );
    ["pointerup", "pointercancel", "pointerleave"]
        .into_iter()
        .fold(button, |b, event| Node::on(event, let_go.clone(), b))
}

/// Milliseconds until a button that is held goes on by itself.
const HOLD: u64 = 450;

/// The next step of a holding, after so many milliseconds.
fn again(
    button: Node,
    turn: Rc<Cell<u32>>,
    mine: u32,
    after: u64,
    once: Rc<dyn Fn() -> Option<String>>,
    last: Rc<RefCell<Option<String>>>,
) {
    let go_on = move || {
        // The page may have been drawn anew under the finger.
        if turn.get() != mine || !button.element().is_connected() {
            return;
        }
        if let Some(value) = once() {
            last.replace(Some(value));
            // Quicker and quicker, but where less motion is asked for.
            let next = if calm() {
                HOLD
            } else {
                (after * 4 / 5).clamp(60, 200)
            };
            again(button, turn, mine, next, once, last);
        }
    };
    set_timeout(go_on, Duration::from_millis(after));
}

/// Whether the system asks for less motion.
fn calm() -> bool {
    web_sys::window()
        .and_then(|w| w.match_media("(prefers-reduced-motion: reduce)").ok()?)
        .is_some_and(|m| m.matches())
}
