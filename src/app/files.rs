//! Saving and opening files.

use leptos::prelude::*;
use wasm_bindgen::{JsCast, JsValue};

/// Offers a text as a file to save.
pub fn save(name: &str, text: &str) {
    let _saved = try_save(name, text);
}

fn try_save(name: &str, text: &str) -> Option<()> {
    let document = web_sys::window()?.document()?;
    let options = web_sys::BlobPropertyBag::new();
    options.set_type(if name.ends_with(".json") {
        "application/json"
    } else {
        "text/plain;charset=utf-8"
    });
    let parts = js_sys::Array::of1(&JsValue::from_str(text));
    let blob = web_sys::Blob::new_with_str_sequence_and_options(&parts, &options).ok()?;
    let address = web_sys::Url::create_object_url_with_blob(&blob).ok()?;
    let link = document
        .create_element("a")
        .ok()?
        .dyn_into::<web_sys::HtmlAnchorElement>()
        .ok()?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    // Later, so that the browser has begun to read it.
    set_timeout(
        move || {
            let _gone = web_sys::Url::revoke_object_url(&address);
        },
        std::time::Duration::from_secs(10),
    );
    Some(())
}

/// Prints the page.
pub fn print() {
    if let Some(window) = web_sys::window() {
        let _asked = window.print();
    }
}

/// Offers a text to the share sheet of the device; where there is none, or it will not, as a file
/// to save.
pub fn share(name: &'static str, title: &'static str, text: String) {
    leptos::task::spawn_local(async move {
        if let Some(promise) = asked(title, &text) {
            match wasm_bindgen_futures::JsFuture::from(promise).await {
                Ok(_) => return,
                // The user closed the sheet: that is an answer.
                Err(e)
                    if js_sys::Reflect::get(&e, &"name".into())
                        .is_ok_and(|n| n == "AbortError") =>
                {
                    return;
                }
                Err(_) => {}
            }
        }
        save(name, &text);
    });
}

fn asked(title: &str, text: &str) -> Option<js_sys::Promise> {
    let navigator = web_sys::window()?.navigator();
    let share = js_sys::Reflect::get(&navigator, &"share".into())
        .ok()?
        .dyn_into::<js_sys::Function>()
        .ok()?;
    let data = js_sys::Object::new();
    let _set = js_sys::Reflect::set(&data, &"title".into(), &title.into());
    let _set = js_sys::Reflect::set(&data, &"text".into(), &text.into());
    share
        .call1(&navigator, &data)
        .ok()?
        .dyn_into::<js_sys::Promise>()
        .ok()
}

/// Calls a function of the start script that answers later; None where it fails or is not there.
pub async fn started(name: &str, text: &str, most: f64) -> Option<String> {
    let window = web_sys::window()?;
    let f = js_sys::Reflect::get(&window, &name.into())
        .ok()?
        .dyn_into::<js_sys::Function>()
        .ok()?;
    let promise = f
        .call2(&window, &text.into(), &most.into())
        .ok()?
        .dyn_into::<js_sys::Promise>()
        .ok()?;
    wasm_bindgen_futures::JsFuture::from(promise)
        .await
        .ok()?
        .as_string()
}

/// Longest file that is opened, bytes: longer than all that a browser keeps.
const LONGEST: f64 = 32_000_000.0;

/// Reads the file chosen in an input, then calls `then` with its text, or with None where it cannot
/// be read.
pub fn open(input: &web_sys::HtmlInputElement, then: impl Fn(Option<String>) + 'static) {
    let Some(file) = input.files().and_then(|f| f.get(0)) else {
        return;
    };
    // So that the same file can be chosen again.
    let input = input.clone();
    leptos::task::spawn_local(async move {
        let text = if file.size() > LONGEST {
            None
        } else {
            wasm_bindgen_futures::JsFuture::from(file.text())
                .await
                .ok()
                .and_then(|t| t.as_string())
        };
        input.set_value("");
        then(text);
    });
}

/// A name that is safe for a file.
pub fn file_name(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| {
            if letter(c) {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        })
        .collect();
    let plain = plain.trim_matches('-');
    format!(
        "stillbright-{}.json",
        if plain.is_empty() { "wine" } else { plain }
    )
}

/// Letters and digits, those of other alphabets among them, but no signs.
const fn letter(c: char) -> bool {
    c.is_ascii_alphanumeric()
        || matches!(c, '\u{c0}'..='\u{1fff}' | '\u{2c00}'..='\u{2dff}' | '\u{3040}'..='\u{d7ff}')
}
