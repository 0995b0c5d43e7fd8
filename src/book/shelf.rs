//! Wines in storage: one wine a key in two slots, written in turn, so that a crash in the middle of a write leaves the
//! last good copy. What cannot be read is set aside and kept, never overwritten.

use super::port::{Port, PortError};
use crate::json::{self, Field, parse, record};
use crate::wine::{Map, Wine};

const WINE: &str = "stillbright/wine/";
const ASIDE: &str = "stillbright/aside/";
const BIN: &str = "stillbright/bin/";
/// Identifier of the user's defaults, kept like a wine but no wine.
pub const DEFAULTS: &str = "defaults";
/// Version of a stored slot.
const SLOT_SCHEMA: u32 = 1;

struct Slot {
    schema: u32,
    revision: u64,
    saved: u64,
    wine: Wine,
}

record!(Slot { schema needed, revision needed, saved needed, wine needed } Slot { schema: 0, revision: 0, saved: 0, wine: Wine::default() });

/// Something that could not be read, kept as it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    /// Its key in storage.
    pub key: String,
    /// Its text, unchanged.
    pub text: String,
}

/// A wine on the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Identifier.
    pub id: String,
    /// When it was last saved, milliseconds since 1970.
    pub saved: u64,
    /// The wine.
    pub wine: Wine,
}

/// The shelf over a port.
#[derive(Debug)]
pub struct Shelf<P: Port> {
    port: P,
}

enum Found {
    Nothing,
    Good(Box<Slot>),
    Bad(String),
    Newer,
}

impl<P: Port> Shelf<P> {
    /// Over this port.
    pub fn new(port: P) -> Shelf<P> {
        Shelf { port }
    }

    /// The port.
    pub fn port(&self) -> &P {
        &self.port
    }

    fn slot(&self, key: &str) -> Result<Found, PortError> {
        let Some(text) = self.port.read(key)? else {
            return Ok(Found::Nothing);
        };
        let Ok(value) = parse(&text) else { return Ok(Found::Bad(text)) };
        if value.get("schema").is_some_and(|v| v.whole(u64::from(u32::MAX)).is_ok_and(|s| s > u64::from(SLOT_SCHEMA))) {
            return Ok(Found::Newer);
        }
        let mut slot = Box::new(Slot::blank());
        Ok(if slot.take(&value).is_ok() { Found::Good(slot) } else { Found::Bad(text) })
    }

    /// The newest good copy of a wine. Bad slots are moved aside first.
    fn newest(&self, id: &str) -> Result<Option<(Box<Slot>, &'static str)>, PortError> {
        let mut best: Option<(Box<Slot>, &'static str)> = None;
        for name in ["a", "b"] {
            let key = format!("{WINE}{id}/{name}");
            match self.slot(&key)? {
                Found::Good(slot) if best.as_ref().is_none_or(|(b, _)| slot.revision > b.revision) => best = Some((slot, name)),
                Found::Bad(text) => self.set_aside(&key, &text)?,
                Found::Good(_) | Found::Nothing | Found::Newer => {}
            }
        }
        Ok(best)
    }

    /// Copies an unreadable text aside, then frees its place. If the copy fails, the text stays where it is.
    fn set_aside(&self, key: &str, text: &str) -> Result<(), PortError> {
        let aside = format!("{ASIDE}{}/{}", self.port.now(), key.trim_start_matches(WINE).replace('/', "-"));
        self.port.write(&aside, text)?;
        self.port.remove(key)
    }

    /// Every wine that can be read, last saved first.
    pub fn all(&self) -> Result<Vec<Kept>, PortError> {
        let mut ids = Map::new();
        for key in self.port.keys()? {
            if let Some((id, _)) = key.strip_prefix(WINE).and_then(|k| k.split_once('/')) {
                ids.insert(id.to_string(), ());
            }
        }
        let mut wines = Vec::new();
        for (id, ()) in ids {
            // One that cannot even be set aside must not hide the others.
            if let Ok(Some((slot, _))) = self.newest(&id) {
                wines.push(Kept { id, saved: slot.saved, wine: slot.wine });
            }
        }
        crate::sorting::sort(&mut wines, &mut |a, b| b.saved.cmp(&a.saved).then_with(|| a.id.cmp(&b.id)));
        Ok(wines)
    }

    /// One wine.
    pub fn get(&self, id: &str) -> Result<Option<Wine>, PortError> {
        Ok(self.newest(id)?.map(|(slot, _)| slot.wine))
    }

    /// Saves a wine into the slot that does not hold its newest good copy.
    pub fn put(&self, id: &str, wine: &Wine) -> Result<(), PortError> {
        let (revision, name) = match self.newest(id)? {
            Some((slot, "a")) => (slot.revision + 1, "b"),
            Some((slot, _)) => (slot.revision + 1, "a"),
            None => (1, "a"),
        };
        let key = format!("{WINE}{id}/{name}");
        if matches!(self.slot(&key)?, Found::Newer) {
            return Err(PortError::Other("this wine was saved by a newer version of the page; reload to update".into()));
        }
        let mut slot = Slot { schema: SLOT_SCHEMA, revision, saved: self.port.now(), wine: wine.clone() };
        self.port.write(&key, &json::write(&mut slot))
    }

    /// Adds a wine under a fresh identifier.
    pub fn add(&self, wine: &Wine) -> Result<String, PortError> {
        let id = self.port.fresh_id();
        self.put(&id, wine)?;
        Ok(id)
    }

    /// Takes a wine off the shelf into the bin, from where it can be put back.
    pub fn delete(&self, id: &str) -> Result<(), PortError> {
        if let Some((mut slot, _)) = self.newest(id)? {
            let text = json::write(&mut *slot);
            // Full storage must not forbid freeing storage: the page holds the wine for the undo as well.
            let _kept = self.port.write(&format!("{BIN}{id}"), &text);
        }
        self.port.remove(&format!("{WINE}{id}/a"))?;
        self.port.remove(&format!("{WINE}{id}/b"))
    }

    /// Puts a deleted wine back under its identifier.
    pub fn undelete(&self, id: &str, wine: &Wine) -> Result<(), PortError> {
        self.put(id, wine)?;
        self.port.remove(&format!("{BIN}{id}"))
    }

    /// Wines in the bin, which a reload does not empty.
    pub fn bin(&self) -> Result<Map<String, Wine>, PortError> {
        let mut wines = Map::new();
        for key in self.port.keys()? {
            if let Some(id) = key.strip_prefix(BIN)
                && let Found::Good(slot) = self.slot(&key)?
            {
                wines.insert(id.to_string(), slot.wine);
            }
        }
        Ok(wines)
    }

    /// Empties the bin.
    pub fn empty_bin(&self) -> Result<(), PortError> {
        for key in self.port.keys()?.iter().filter(|k| k.starts_with(BIN)) {
            self.port.remove(key)?;
        }
        Ok(())
    }

    /// What was set aside because it could not be read.
    pub fn aside(&self) -> Result<Vec<Aside>, PortError> {
        let mut all = Vec::new();
        for key in self.port.keys()?.into_iter().filter(|k| k.starts_with(ASIDE)) {
            if let Some(text) = self.port.read(&key)? {
                all.push(Aside { key, text });
            }
        }
        Ok(all)
    }

    /// Takes something set aside away for good; only when the user says so, after saving it.
    pub fn drop_aside(&self, key: &str) -> Result<(), PortError> {
        if key.starts_with(ASIDE) { self.port.remove(key) } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::port::Memory;
    use super::*;

    fn named(name: &str) -> Wine {
        Wine { name: name.into(), ..Wine::default() }
    }

    #[test]
    fn keeps_the_last_good_copy_and_sets_the_bad_one_aside() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.put(&id, &named("two"))?;
        shelf.port().write(&format!("{WINE}{id}/b"), "{\"schema\":1,\"revis")?;
        assert_eq!(shelf.get(&id)?.map(|w| w.name), Some("one".into()));
        assert_eq!(shelf.aside()?.len(), 1);
        assert_eq!(shelf.aside()?.first().map(|a| a.text.as_str()), Some("{\"schema\":1,\"revis"));
        shelf.put(&id, &named("three"))?;
        assert_eq!(shelf.get(&id)?.map(|w| w.name), Some("three".into()));
        Ok(())
    }

    #[test]
    fn a_full_store_keeps_what_it_has() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.port().room.set(1);
        assert_eq!(shelf.put(&id, &named("two")), Err(PortError::Full));
        assert_eq!(shelf.get(&id)?.map(|w| w.name), Some("one".into()));
        assert!(shelf.delete(&id).is_ok());
        Ok(())
    }

    #[test]
    fn newer_data_is_left_alone() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let text = "{\"schema\":99,\"revision\":4,\"anything\":true}";
        shelf.port().write("stillbright/wine/x/a", text)?;
        assert!(shelf.all()?.is_empty());
        assert!(shelf.put("x", &named("old page")).is_err());
        assert_eq!(shelf.port().read("stillbright/wine/x/a")?.as_deref(), Some(text));
        Ok(())
    }

    #[test]
    fn delete_can_be_undone_and_denied_storage_says_so() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.delete(&id)?;
        assert!(shelf.all()?.is_empty());
        let binned = shelf.bin()?.remove(&id).unwrap_or_default();
        shelf.undelete(&id, &binned)?;
        assert_eq!(shelf.all()?.len(), 1);
        shelf.port().denied.set(true);
        assert_eq!(shelf.all(), Err(PortError::Denied));
        Ok(())
    }
}
