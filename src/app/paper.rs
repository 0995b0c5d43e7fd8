//! Reading matter as a plain tree. Facts, rows and lists do not change under the hand, so one small renderer makes all of
//! them; a view type for each would double the bundle. Text goes in as text nodes, never as markup.

use leptos::html::Div;
use leptos::prelude::*;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;

/// A piece of reading matter.
#[derive(Clone)]
pub enum Node {
    /// An element with tag, class and children.
    El(&'static str, &'static str, Vec<Node>),
    /// An element with one more attribute.
    With(&'static str, String, Box<Node>),
    /// An element of a drawing, with its attributes.
    Draw(&'static str, Vec<(&'static str, String)>, Vec<Node>),
    /// Text.
    Text(String),
    /// An element that answers an event, with the value of what is typed or chosen in it.
    On(&'static str, Rc<dyn Fn(String)>, Box<Node>),
}

/// An element.
pub fn el(tag: &'static str, class: &'static str, children: Vec<Node>) -> Node {
    Node::El(tag, class, children)
}

/// An element that holds one text.
pub fn line(tag: &'static str, class: &'static str, text: impl Into<String>) -> Node {
    Node::El(tag, class, vec![Node::Text(text.into())])
}

/// A link.
pub fn link(address: String, children: Vec<Node>) -> Node {
    Node::With("href", address, Box::new(el("a", "", children)))
}

/// An element with one more attribute.
pub fn with(name: &'static str, value: impl Into<String>, inner: Node) -> Node {
    Node::With(name, value.into(), Box::new(inner))
}

/// A button; what it answers with is empty.
pub fn button(class: &'static str, label: impl Into<String>, tap: Rc<dyn Fn(String)>) -> Node {
    Node::On("click", tap, Box::new(with("type", "button", line("button", class, label))))
}

/// A text field under its label, with room for a hint.
pub fn input(id: &str, label: &str, value: &str, typed: Rc<dyn Fn(String)>) -> Node {
    let hint = format!("{id}-hint");
    let field =
        with("id", id, with("type", "text", with("autocomplete", "off", with("aria-describedby", hint.clone(), with("value", value, line("input", "", ""))))));
    let hint = with("id", hint, with("role", "status", line("p", "mend", "")));
    el("div", "field", vec![with("for", id, line("label", "", label)), Node::On("input", typed, Box::new(field)), hint])
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

/// The tree as plain text, for a sheet that is sent: a line for each block, cells with a bar between them, no drawings.
pub fn text(nodes: &[Node]) -> String {
    let mut all = String::new();
    nodes.iter().for_each(|n| tell(n, &mut all));
    all
}

fn tell(node: &Node, all: &mut String) {
    match node {
        Node::Text(text) => all.push_str(text),
        Node::With(_, _, inner) | Node::On(_, _, inner) => tell(inner, all),
        Node::Draw(..) => {}
        Node::El(tag, _, children) => {
            if *tag == "h2" {
                all.push('\n');
            }
            children.iter().for_each(|c| tell(c, all));
            let end = match *tag {
                "td" | "th" => " | ",
                "span" | "strong" => " ",
                _ if all.ends_with('\n') => "",
                _ => "\n",
            };
            all.push_str(end);
        }
    }
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
    if let Some(document) = web_sys::window().and_then(|w| w.document()) {
        nodes.iter().for_each(|n| drop(write(&document, place, n)));
    }
}

/// Writes a node into `parent`. Errors of the page tree are passed over: there is nobody to tell, and what follows still shows.
fn write(document: &web_sys::Document, parent: &web_sys::Element, node: &Node) -> Option<web_sys::Element> {
    let (element, children) = match node {
        Node::Text(text) => {
            let _added = parent.append_child(&document.create_text_node(text));
            return None;
        }
        Node::With(name, value, inner) => {
            let element = write(document, parent, inner)?;
            // Through the style object: the content policy forbids the style attribute.
            match element.dyn_ref::<web_sys::HtmlElement>().filter(|_| *name == "width") {
                Some(html) => drop(html.style().set_property("width", value)),
                None => drop(element.set_attribute(name, value)),
            }
            return Some(element);
        }
        Node::On(event, answer, inner) => {
            let element = write(document, parent, inner)?;
            let answer = answer.clone();
            // Not everything that answers holds a value.
            let value = |e: &web_sys::Event| js_sys::Reflect::get(e.target()?.as_ref(), &"value".into()).ok()?.as_string();
            let heard = Closure::<dyn Fn(web_sys::Event)>::new(move |e: web_sys::Event| answer(value(&e).unwrap_or_default()));
            // The engine lets go of it together with the element.
            let _added = element.add_event_listener_with_callback(event, heard.into_js_value().unchecked_ref());
            return Some(element);
        }
        Node::Draw(tag, attributes, children) => {
            let element = document.create_element_ns(Some("http://www.w3.org/2000/svg"), tag).ok()?;
            for (name, value) in attributes {
                let _set = element.set_attribute(name, value);
            }
            (element, children)
        }
        Node::El(tag, class, children) => {
            let element = document.create_element(tag).ok()?;
            if !class.is_empty() {
                element.set_class_name(class);
            }
            (element, children)
        }
    };
    children.iter().for_each(|c| drop(write(document, &element, c)));
    let _added = parent.append_child(&element);
    Some(element)
}
