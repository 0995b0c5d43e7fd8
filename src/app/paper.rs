//! Reading matter as plain elements. Facts, rows and lists do not change under the hand, so they are made once, by a few
//! functions; a view type for each would double the bundle. A node is one handle, so that moving it costs nothing: as a
//! tree of values it took a third more code. Text goes in as text nodes, never as markup.

use leptos::html::Div;
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
    /// Text.
    pub fn text(text: impl AsRef<str>) -> Node {
        let text = text.as_ref();
        Node(DOCUMENT.with(|d| d.create_text_node(text)).unchecked_into())
    }

    /// An element in place of what could not be made, if ever.
    fn made(element: Result<web_sys::Element, JsValue>, children: Vec<Node>) -> Node {
        let Ok(element) = element else { return Node::text("") };
        for child in children {
            let _added = element.append_child(&child.0);
        }
        Node(element.unchecked_into())
    }

    /// An element of a drawing, with its attributes.
    pub fn draw(tag: &'static str, attributes: Vec<(&'static str, String)>, children: Vec<Node>) -> Node {
        let mut node = Node::made(DOCUMENT.with(|d| d.create_element_ns(Some("http://www.w3.org/2000/svg"), tag)), children);
        for (name, value) in attributes {
            node = Node::with(name, value, node);
        }
        node
    }

    /// An element with one more attribute.
    pub fn with(name: &'static str, value: String, inner: Node) -> Node {
        with(name, value, inner)
    }

    /// An element that answers an event, with the value of what is typed or chosen in it.
    pub fn on(event: &'static str, answer: Rc<dyn Fn(String)>, inner: Node) -> Node {
        // Not everything that answers holds a value.
        let value = |e: &web_sys::Event| js_sys::Reflect::get(e.target()?.as_ref(), &"value".into()).ok()?.as_string();
        let heard = Closure::<dyn Fn(web_sys::Event)>::new(move |e: web_sys::Event| answer(value(&e).unwrap_or_default()));
        // The engine lets go of it together with the element.
        let _added = inner.0.add_event_listener_with_callback(event, heard.into_js_value().unchecked_ref());
        inner
    }
}

/// An element.
pub fn el(tag: &'static str, class: &'static str, children: Vec<Node>) -> Node {
    let node = Node::made(DOCUMENT.with(|d| d.create_element(tag)), children);
    if class.is_empty() { node } else { with("class", class, node) }
}

/// An element that holds one text.
pub fn line(tag: &'static str, class: &'static str, text: impl AsRef<str>) -> Node {
    el(tag, class, vec![Node::text(text)])
}

/// A link.
pub fn link(address: String, children: Vec<Node>) -> Node {
    with("href", address, el("a", "", children))
}

/// An element with one more attribute.
pub fn with(name: &'static str, value: impl AsRef<str>, inner: Node) -> Node {
    let value = value.as_ref();
    if name == "width" {
        // Through the style object: the content policy forbids the style attribute.
        let _set = inner.0.unchecked_ref::<web_sys::HtmlElement>().style().set_property(name, value);
    } else {
        let _set = inner.0.unchecked_ref::<web_sys::Element>().set_attribute(name, value);
    }
    inner
}

/// A button; what it answers with is empty.
pub fn button(class: &'static str, label: impl AsRef<str>, tap: Rc<dyn Fn(String)>) -> Node {
    Node::on("click", tap, with("type", "button", line("button", class, label)))
}

/// A text field under its label, with room for a hint.
pub fn input(id: &str, label: &str, value: &str, typed: Rc<dyn Fn(String)>) -> Node {
    let hint = format!("{id}-hint");
    let field = with("id", id, with("type", "text", with("autocomplete", "off", with("aria-describedby", &hint, with("value", value, line("input", "", ""))))));
    let hint = with("id", hint, with("role", "status", line("p", "mend", "")));
    el("div", "field", vec![with("for", id, line("label", "", label)), Node::on("input", typed, field), hint])
}

/// A section with its heading.
pub fn section(heading: &str, mut children: Vec<Node>) -> Node {
    children.insert(0, line("h2", "", heading));
    el("section", "", children)
}

/// The tree as a view.
pub fn paper(nodes: Vec<Node>) -> AnyView {
    let place = NodeRef::<Div>::new();
    let nodes = StoredValue::new_local(nodes);
    Effect::new(move |_| {
        if let Some(div) = place.get() {
            // A page of the same shape may take this element over with its old content in it.
            nodes.with_value(|all| replace(&div, all));
        }
    });
    view! { <div node_ref=place></div> }.into_any()
}

/// The same for what takes a while to work out: `waiting` shows first, so that the page answers at once.
pub fn paper_later(waiting: &'static str, work: Box<dyn FnOnce() -> Vec<Node>>) -> AnyView {
    let place = NodeRef::<Div>::new();
    let work = std::cell::Cell::new(Some(work));
    Effect::new(move |_| {
        if let (Some(div), Some(work)) = (place.get(), work.take()) {
            replace(&div, &[line("p", "answer", waiting)]);
            // Two frames, so that the words are seen.
            set_timeout(move || replace(&div, &work()), std::time::Duration::from_millis(32));
        }
    });
    view! { <div node_ref=place></div> }.into_any()
}

/// A tree that is made anew when what it reads changes. Boxed, so that one piece of code draws all of them.
pub fn living(make: Box<dyn Fn() -> Vec<Node> + Send>) -> AnyView {
    (move || paper(make())).into_any()
}

/// What is hidden while `when` says so.
pub fn hidden(when: Box<dyn Fn() -> bool + Send + Sync>, inside: AnyView) -> AnyView {
    view! { <div hidden=move || when()>{inside}</div> }.into_any()
}

/// Puts nodes into the element with this id, in place of what it holds.
pub fn fill(id: &str, nodes: &[Node]) {
    if let Some(element) = web_sys::window().and_then(|w| w.document()).and_then(|d| d.get_element_by_id(id)) {
        replace(&element, nodes);
    }
}

/// Puts a text into the element with this id; into a field, as what is typed.
pub fn say(id: &str, text: &str) {
    let Some(element) = web_sys::window().and_then(|w| w.document()).and_then(|d| d.get_element_by_id(id)) else { return };
    match element.dyn_ref::<web_sys::HtmlInputElement>() {
        Some(input) => input.set_value(text),
        None => element.set_text_content(Some(text)),
    }
}

fn replace(place: &web_sys::Element, nodes: &[Node]) {
    place.set_inner_html("");
    for node in nodes {
        let _added = place.append_child(&node.0);
    }
}
