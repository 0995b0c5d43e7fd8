//! The browser behind the port: local storage where it answers, else memory.

use crate::book::{Memory, Port, PortError};
use gloo_storage::{LocalStorage, Storage};
use wasm_bindgen::{JsCast, JsValue};

/// Storage of this browser.
pub enum Browser {
    /// Local storage that answered.
    Local,
    /// It did not: wines live as long as the page.
    Memory(Memory),
}

impl Browser {
    /// Probes first with web-sys: gloo-storage stops the page where storage is denied.
    pub fn open() -> Browser {
        let probe = web_sys::window().and_then(|w| w.local_storage().ok().flatten());
        match probe {
            Some(storage) if storage.length().is_ok() => Browser::Local,
            _ => Browser::Memory(Memory::default()),
        }
    }

    /// Whether wines outlive the page.
    pub fn lasting(&self) -> bool {
        matches!(self, Browser::Local)
    }
}

fn port_error(error: &JsValue) -> PortError {
    let name = js_sys::Reflect::get(error, &JsValue::from_str("name"))
        .ok()
        .and_then(|n| n.as_string())
        .unwrap_or_default();
    match name.as_str() {
        "QuotaExceededError" | "NS_ERROR_DOM_QUOTA_REACHED" => PortError::Full,
        "SecurityError" => PortError::Denied,
        _ => PortError::Other(
            error
                .dyn_ref::<js_sys::Error>()
                .map_or(name, |e| String::from(e.message())),
        ),
    }
}

impl Port for Browser {
    fn read(&self, key: &str) -> Result<Option<String>, PortError> {
        match self {
            Browser::Local => LocalStorage::raw()
                .get_item(key)
                .map_err(|e| port_error(&e)),
            Browser::Memory(m) => m.read(key),
        }
    }
    fn write(&self, key: &str, text: &str) -> Result<(), PortError> {
        match self {
            Browser::Local => LocalStorage::raw()
                .set_item(key, text)
                .map_err(|e| port_error(&e)),
            Browser::Memory(m) => m.write(key, text),
        }
    }
    fn remove(&self, key: &str) -> Result<(), PortError> {
        match self {
            Browser::Local => LocalStorage::raw()
                .remove_item(key)
                .map_err(|e| port_error(&e)),
            Browser::Memory(m) => m.remove(key),
        }
    }
    fn keys(&self) -> Result<Vec<String>, PortError> {
        match self {
            Browser::Local => {
                let storage = LocalStorage::raw();
                let length = storage.length().map_err(|e| port_error(&e))?;
                Ok((0..length)
                    .filter_map(|i| storage.key(i).ok().flatten())
                    .filter(|k| k.starts_with("stillbright"))
                    .collect())
            }
            Browser::Memory(m) => m.keys(),
        }
    }
    fn now(&self) -> u64 {
        js_sys::Date::now() as u64
    }
    fn fresh_id(&self) -> String {
        let random = (js_sys::Math::random() * 4_294_967_296.0) as u64;
        format!("{:x}{random:08x}", self.now())
    }
}
