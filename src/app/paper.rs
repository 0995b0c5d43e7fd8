//! Reading matter as a plain tree. Facts, rows and lists do not change under the hand, so one small renderer makes all of
//! them; a view type for each would double the bundle. Text goes in as text nodes, never as markup.

use leptos::html::Div;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// A piece of reading matter.
#[derive(Debug, Clone)]
pub enum Node {
    /// An element with tag, class and children.
    El(&'static str, &'static str, Vec<Node>),
    /// An element with one more attribute.
    With(&'static str, String, Box<Node>),
    /// An element of a drawing, with its attributes.
    Draw(&'static str, Vec<(&'static str, String)>, Vec<Node>),
    /// Text.
    Text(String),
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

/// A section with its heading.
pub fn section(heading: &str, mut children: Vec<Node>) -> Node {
    children.insert(0, line("h2", "", heading));
    el("section", "", children)
}

/// The tree as a view.
pub fn paper(nodes: Vec<Node>) -> AnyView {
    let place = NodeRef::<Div>::new();
    let nodes = StoredValue::new(nodes);
    Effect::new(move |_| {
        if let (Some(div), Some(document)) = (place.get(), web_sys::window().and_then(|w| w.document())) {
            // A page of the same shape may take this element over with its old content in it.
            div.set_inner_html("");
            nodes.with_value(|all| all.iter().for_each(|n| write(&document, &div, n, None)));
        }
    });
    view! { <div node_ref=place></div> }.into_any()
}

/// The same for what takes a while to work out: `waiting` shows first, so that the page answers at once.
pub fn paper_later(waiting: &'static str, work: Box<dyn FnOnce() -> Vec<Node>>) -> AnyView {
    let place = NodeRef::<Div>::new();
    let work = std::cell::Cell::new(Some(work));
    Effect::new(move |_| {
        if let (Some(div), Some(document), Some(work)) = (place.get(), web_sys::window().and_then(|w| w.document()), work.take()) {
            div.set_inner_html("");
            write(&document, &div, &line("p", "answer", waiting), None);
            set_timeout(
                move || {
                    let nodes = work();
                    div.set_inner_html("");
                    nodes.iter().for_each(|n| write(&document, &div, n, None));
                },
                // Two frames, so that the words are seen.
                std::time::Duration::from_millis(32),
            );
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

/// Writes a node into `parent`. Errors of the page tree are passed over: there is nobody to tell, and what follows still shows.
fn write(document: &web_sys::Document, parent: &web_sys::Element, node: &Node, attribute: Option<(&str, &str)>) {
    match node {
        Node::Text(text) => {
            let _added = parent.append_child(&document.create_text_node(text));
        }
        Node::Draw(tag, attributes, children) => {
            let Ok(element) = document.create_element_ns(Some("http://www.w3.org/2000/svg"), tag) else { return };
            for (name, value) in attributes {
                let _set = element.set_attribute(name, value);
            }
            children.iter().for_each(|c| write(document, &element, c, None));
            let _added = parent.append_child(&element);
        }
        Node::With(name, value, inner) => write(document, parent, inner, Some((name, value))),
        Node::El(tag, class, children) => {
            let Ok(element) = document.create_element(tag) else { return };
            if !class.is_empty() {
                element.set_class_name(class);
            }
            match attribute {
                // Through the style object: the content policy forbids the style attribute.
                Some(("width", value)) => {
                    if let Some(html) = element.dyn_ref::<web_sys::HtmlElement>() {
                        let _set = html.style().set_property("width", value);
                    }
                }
                Some((name, value)) => {
                    let _set = element.set_attribute(name, value);
                }
                None => {}
            }
            children.iter().for_each(|c| write(document, &element, c, None));
            let _added = parent.append_child(&element);
        }
    }
}
