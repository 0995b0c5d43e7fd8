//! Reading matter as plain elements. Facts, rows and lists do not change under the hand, so they
//! are made once, by a few
//! functions; a view type for each would double the bundle. A node is one handle, so that moving it
//! costs nothing: as a
//! tree of values it took a third more code. Text goes in as text nodes, never as markup.

use super::speech::{Words, spoken_and_shown};
pub use super::speech::{foreign, said, shown, shown_lines, speak};
use leptos::prelude::*;
use std::rc::Rc;
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// A piece of reading matter: an element or a text. A clone is the same element, not a second one.
#[derive(Clone)]
pub struct Node(web_sys::Node);

thread_local! {
    static DOCUMENT: web_sys::Document = web_sys::window().and_then(|w| w.document()).map_or(JsValue::NULL, JsValue::from).unchecked_into();
}

impl Node {
    /// Text, in the language chosen and as it is shown on this device.
    pub fn text(text: impl Words) -> Node {
        Node::own(&shown(&text))
    }

    /// Text that the user typed: shown as it is.
    pub fn own(text: &str) -> Node {
        Node(DOCUMENT.with(|d| d.create_text_node(text)).unchecked_into())
    }

    /// An element in place of what could not be made, if ever.
    fn made(element: Result<web_sys::Element, JsValue>, children: Vec<Node>) -> Node {
        let Ok(element) = element else {
            return Node::text("");
        };
        for child in children {
            let _added = element.append_child(&child.0);
        }
        Node(element.unchecked_into())
    }

    /// An element of a drawing, with its attributes.
    pub fn draw(
        tag: &'static str,
        attributes: Vec<(&'static str, String)>,
        children: Vec<Node>,
    ) -> Node {
        let mut node = Node::made(
            DOCUMENT.with(|d| d.create_element_ns(Some("http://www.w3.org/2000/svg"), tag)),
            children,
        );
        for (name, value) in attributes {
            node = Node::with(name, value, node);
        }
        node
    }

    /// An element with one more attribute.
    pub fn with(name: &'static str, value: String, inner: Node) -> Node {
        with(name, value, inner)
    }

    /// The element.
    pub fn element(&self) -> &web_sys::Element {
        self.0.unchecked_ref()
    }

    /// Puts a node behind what it holds.
    pub fn hold(&self, node: &Node) {
        let _added = self.0.append_child(&node.0);
    }

    /// Puts a text in place of what it holds.
    pub fn say(&self, text: impl Words) {
        self.0.set_text_content(Some(&shown(&text)));
    }

    /// An element that answers an event, with the value of what is typed or chosen in it.
    pub fn on(event: &'static str, answer: Rc<dyn Fn(String)>, inner: Node) -> Node {
        // Not everything that answers holds a value.
        let value = |e: &web_sys::Event| {
            js_sys::Reflect::get(e.target()?.as_ref(), &"value".into())
                .ok()?
                .as_string()
        };
        let heard = Closure::<dyn Fn(web_sys::Event)>::new(move |e: web_sys::Event| {
            // The skip link names a place on the page, not a page.
            if event == "click" {
                e.prevent_default();
            }
            answer(value(&e).unwrap_or_default());
        });
        // The engine lets go of it together with the element.
        let _added = inner
            .0
            .add_event_listener_with_callback(event, heard.into_js_value().unchecked_ref());
        inner
    }
}

/// An element.
pub fn el(tag: &'static str, class: &'static str, children: Vec<Node>) -> Node {
    let node = Node::made(DOCUMENT.with(|d| d.create_element(tag)), children);
    if class.is_empty() {
        node
    } else {
        with("class", class, node)
    }
}

/// An element that holds one text.
pub fn line(tag: &'static str, class: &'static str, text: impl Words) -> Node {
    told(el(tag, class, Vec::new()), text)
}

/// An empty element, filled with one text.
pub fn told(node: Node, text: impl Words) -> Node {
    tell_in(node, &text)
}

fn tell_in(node: Node, text: &dyn Words) -> Node {
    let (text, english) = spoken_and_shown(text);
    let _added = node.0.append_child(&Node::own(&text).0);
    // So that a voice reads English as English.
    if english {
        with("lang", "en", node)
    } else {
        node
    }
}

/// A link.
pub fn link(address: String, children: Vec<Node>) -> Node {
    with("href", address, el("a", "", children))
}

/// An element with one more attribute.
pub fn with(name: &'static str, value: impl Words, inner: Node) -> Node {
    // A name that is read out holds the words that are seen.
    if name == "aria-label" {
        set(name, &shown(&value), inner)
    } else {
        set(name, &value.plain(), inner)
    }
}

fn set(name: &'static str, value: &str, inner: Node) -> Node {
    if name == "width" {
        // Through the style object: the content policy forbids the style attribute.
        let _set = inner
            .0
            .unchecked_ref::<web_sys::HtmlElement>()
            .style()
            .set_property(name, value);
    } else {
        let _set = inner
            .0
            .unchecked_ref::<web_sys::Element>()
            .set_attribute(name, value);
    }
    inner
}

/// A button; what it answers with is empty.
pub fn button(class: &'static str, label: impl Words, tap: Rc<dyn Fn(String)>) -> Node {
    Node::on(
        "click",
        tap,
        with("type", "button", line("button", class, label)),
    )
}

/// A text field under its label, with room for a hint.
pub fn input(id: &str, label: impl Words, value: &str, typed: Rc<dyn Fn(String)>) -> Node {
    let hint = format!("{id}-hint");
    let field = with(
        "id",
        id,
        with(
            "type",
            "text",
            with(
                "autocomplete",
                "off",
                with(
                    "aria-describedby",
                    &hint,
                    with("value", value, line("input", "", "")),
                ),
            ),
        ),
    );
    let hint = with("id", hint, with("role", "status", line("p", "mend", "")));
    el(
        "div",
        "field",
        vec![
            with("for", id, line("label", "", label)),
            Node::on("input", typed, field),
            hint,
        ],
    )
}

/// A section with its heading.
pub fn section(heading: impl Words, mut children: Vec<Node>) -> Node {
    children.insert(0, line("h2", "", heading));
    el("section", "", children)
}

/// Does something now, and again whenever what it reads changes. Boxed, so that Leptos brings one
/// piece of code for all.
pub fn follow(mut act: Box<dyn FnMut()>) {
    Effect::new(move |_| act());
}

/// An element whose children are made anew whenever what they read changes. Boxed, so that one
/// piece of code does it for all.
pub fn live(tag: &'static str, class: &'static str, make: Box<dyn Fn() -> Vec<Node>>) -> Node {
    let node = el(tag, class, Vec::new());
    let place = node.clone();
    follow(Box::new(move || replace(place.element(), &make())));
    node
}

/// An element with one text that follows what it reads. Written only when it changed, since it may
/// be read out.
pub fn telling(tag: &'static str, class: &'static str, text: Box<dyn Fn() -> String>) -> Node {
    let node = el(tag, class, Vec::new());
    let (place, mut shown) = (node.clone(), String::new());
    follow(Box::new(move || {
        let now = text();
        if now != shown {
            place.say(&now);
            shown = now;
        }
    }));
    node
}

/// What a turn of work comes to.
pub struct Turned {
    /// What is shown from now on; None where it stays.
    pub shows: Option<Vec<Node>>,
    /// Whether there is more to do.
    pub more: bool,
}

/// For what is worked out in turns, so that a tap never waits long: `waiting` shows first. It ends
/// where the page is left.
pub fn in_turns(waiting: impl Words, turn: Box<dyn FnMut() -> Turned>) -> Node {
    let node = el("div", "", vec![line("p", "answer", waiting)]);
    // Two frames, so that the words are seen.
    next_turn(node.clone(), turn, 32);
    node
}

fn next_turn(place: Node, mut turn: Box<dyn FnMut() -> Turned>, wait: u64) {
    let work = move || {
        let turned = turn();
        if let Some(nodes) = &turned.shows {
            replace(place.element(), nodes);
        }
        if turned.more && place.element().is_connected() {
            next_turn(place, turn, 0);
        }
    };
    set_timeout(work, std::time::Duration::from_millis(wait));
}

/// Nodes as plain text, for a sheet that is sent: a line for each block, cells with a bar
/// between them, no drawings.
pub fn text(nodes: &[Node]) -> String {
    let mut all = String::new();
    nodes.iter().for_each(|n| tell(&n.0, &mut all));
    all
}

fn tell(node: &web_sys::Node, all: &mut String) {
    let name = node.node_name();
    match name.as_str() {
        "#text" => all.push_str(&node.text_content().unwrap_or_default()),
        "svg" => {}
        tag => {
            if tag == "H2" {
                all.push('\n');
            }
            let mut child = node.first_child();
            while let Some(c) = child {
                tell(&c, all);
                child = c.next_sibling();
            }
            all.push_str(match tag {
                "TD" | "TH" => " | ",
                "SPAN" | "STRONG" => " ",
                _ if all.ends_with('\n') => "",
                _ => "\n",
            });
        }
    }
}

/// What is hidden while `when` says so.
pub fn hidden(when: Box<dyn Fn() -> bool>, inner: Node) -> Node {
    let node = el("div", "", vec![inner]);
    let place = node.clone();
    follow(Box::new(move || {
        place
            .0
            .unchecked_ref::<web_sys::HtmlElement>()
            .set_hidden(when())
    }));
    node
}

/// What folds away under a summary.
pub fn fold(class: &'static str, summary: impl Words, mut inner: Vec<Node>) -> Node {
    inner.insert(0, line("summary", "", summary));
    el("details", class, inner)
}

/// The element with this id, where there is one now.
pub fn by_id(id: &str) -> Option<web_sys::Element> {
    DOCUMENT.with(|d| d.get_element_by_id(id))
}

/// Puts nodes into the element with this id, in place of what it holds.
pub fn fill(id: &str, nodes: &[Node]) {
    if let Some(element) = by_id(id) {
        replace(&element, nodes);
    }
}

/// Puts a text into the element with this id; into a field, as what is typed.
pub fn say(id: &str, text: impl Words) {
    let Some(element) = by_id(id) else { return };
    match element.dyn_ref::<web_sys::HtmlInputElement>() {
        Some(input) => input.set_value(&text.plain()),
        None => element.set_text_content(Some(&shown(&text))),
    }
}

/// The field that is typed into now, in this window.
fn in_hand() -> Option<web_sys::Element> {
    DOCUMENT
        .with(|d| {
            if d.has_focus().unwrap_or(true) {
                d.active_element()
            } else {
                None
            }
        })
        .filter(|e| e.matches("input, textarea, select").unwrap_or(false))
}

/// Whether something is typed into a field now.
pub fn typing() -> bool {
    in_hand().is_some()
}

/// Whether this is the field that is typed into, and what stands in it.
pub fn typed_into(field: &Node) -> Option<String> {
    in_hand()
        .filter(|e| e.is_same_node(Some(&field.0)))
        .map(|e| e.unchecked_ref::<web_sys::HtmlInputElement>().value())
}

/// Puts a text into a field, as what is typed.
pub fn put_into(field: &Node, text: &str) {
    field
        .0
        .unchecked_ref::<web_sys::HtmlInputElement>()
        .set_value(text);
}

/// Puts nodes in place of what an element holds. What was folded open stays open, and what had the
/// focus has it again, at the same place
/// of its text; where that is another one now, at its end, so that nothing is typed in front of it.
pub fn replace(place: &web_sys::Element, nodes: &[Node]) {
    let here = DOCUMENT
        .with(web_sys::Document::active_element)
        .filter(|e| !e.is_same_node(Some(place)) && place.contains(Some(e)));
    let focused = here.map(|e| (e.tag_name(), name(&e), caret(&e)));
    let open: Vec<String> = all(place, "details[open]>summary")
        .iter()
        .map(name)
        .collect();
    place.set_inner_html("");
    for node in nodes {
        let _added = place.append_child(&node.0);
    }
    if !open.is_empty() {
        for summary in all(place, "summary") {
            if let Some(details) = summary
                .parent_element()
                .filter(|_| open.contains(&name(&summary)))
            {
                let _open = details.set_attribute("open", "");
            }
        }
    }
    if let Some((tag, name_then, caret_then)) = focused
        && let Some(again) = all(place, &tag).iter().find(|e| name(e) == name_then)
    {
        let _focused = again.unchecked_ref::<web_sys::HtmlElement>().focus();
        if let (Some((text, from, to)), Some((now, ..))) = (caret_then, caret(again)) {
            let end = u32::try_from(now.encode_utf16().count()).unwrap_or(u32::MAX);
            let (from, to) = if now == text { (from, to) } else { (end, end) };
            let _set = again
                .unchecked_ref::<web_sys::HtmlInputElement>()
                .set_selection_range(from, to);
        }
    }
}

/// What stands in a field, and from where to where it is selected; None for what has no such place.
fn caret(e: &web_sys::Element) -> Option<(String, u32, u32)> {
    let input: &web_sys::HtmlInputElement = e.unchecked_ref();
    let (from, to) = (input.selection_start().ok()??, input.selection_end().ok()??);
    Some((input.value(), from, to))
}

/// What tells an element from its like: its identifier, else its words.
fn name(e: &web_sys::Element) -> String {
    let id = e.id();
    if id.is_empty() {
        e.get_attribute("aria-label")
            .or_else(|| e.text_content())
            .unwrap_or_default()
    } else {
        id
    }
}

fn all(place: &web_sys::Element, selector: &str) -> Vec<web_sys::Element> {
    let Ok(list) = place.query_selector_all(selector) else {
        return Vec::new();
    };
    (0..list.length())
        .filter_map(|i| list.item(i))
        .map(JsCast::unchecked_into)
        .collect()
}
