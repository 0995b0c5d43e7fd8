//! The one door to the outside: storage, clock, identifiers.

use crate::wine::Map;
use std::cell::{Cell, RefCell};

/// Why storage did not do what was asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PortError {
    /// There is no storage here, or it is closed to us.
    Denied,
    /// It is full.
    Full,
    /// Anything else, in the words of the platform.
    Other(String),
}

impl std::fmt::Display for PortError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            PortError::Denied => "denied",
            PortError::Full => "full",
            PortError::Other(what) => what,
        })
    }
}

impl std::error::Error for PortError {}

/// Storage of texts under keys, the time and fresh identifiers.
pub trait Port {
    /// The text under a key.
    fn read(&self, key: &str) -> Result<Option<String>, PortError>;
    /// Puts a text under a key.
    fn write(&self, key: &str, text: &str) -> Result<(), PortError>;
    /// Takes a key away.
    fn remove(&self, key: &str) -> Result<(), PortError>;
    /// Every key there is.
    fn keys(&self) -> Result<Vec<String>, PortError>;
    /// Milliseconds since 1970.
    fn now(&self) -> u64;
    /// A fresh identifier of letters and digits.
    fn fresh_id(&self) -> String;
}

/// The twin in memory, for tests and where storage is denied.
#[derive(Debug, Default)]
pub struct Memory {
    texts: RefCell<Map<String, String>>,
    ticks: Cell<u64>,
    /// Most characters it holds in all; 0 for no bound.
    pub room: Cell<usize>,
    /// True: every call is denied.
    pub denied: Cell<bool>,
}

impl Memory {
    fn open(&self) -> Result<(), PortError> {
        if self.denied.get() {
            Err(PortError::Denied)
        } else {
            Ok(())
        }
    }
    fn tick(&self) -> u64 {
        self.ticks.set(self.ticks.get() + 1);
        self.ticks.get()
    }
}

impl Port for Memory {
    fn read(&self, key: &str) -> Result<Option<String>, PortError> {
        self.open()?;
        Ok(self.texts.borrow().get(key).cloned())
    }
    fn write(&self, key: &str, text: &str) -> Result<(), PortError> {
        self.open()?;
        let others: usize = self
            .texts
            .borrow()
            .iter()
            .filter(|(k, _)| *k != key)
            .map(|(k, t)| k.len() + t.len())
            .sum();
        if self.room.get() > 0 && others + key.len() + text.len() > self.room.get() {
            return Err(PortError::Full);
        }
        self.texts
            .borrow_mut()
            .insert(key.to_string(), text.to_string());
        Ok(())
    }
    fn remove(&self, key: &str) -> Result<(), PortError> {
        self.open()?;
        self.texts.borrow_mut().remove(key);
        Ok(())
    }
    fn keys(&self) -> Result<Vec<String>, PortError> {
        self.open()?;
        Ok(self.texts.borrow().keys().cloned().collect())
    }
    fn now(&self) -> u64 {
        self.tick()
    }
    fn fresh_id(&self) -> String {
        format!("m{}", self.tick())
    }
}
