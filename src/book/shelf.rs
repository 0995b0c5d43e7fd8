//! Wines in storage: one wine a key in two slots, written in turn, so that a crash in the middle of
//! a write leaves the
//! last good copy. What cannot be read is set aside and kept, never overwritten.

use super::port::{Port, PortError};
use super::rescue::write_kept;
use super::together::together;
use crate::json::{self, Field, Value, parse, record};
use crate::wine::{Done, Map, Wine};
use std::cell::RefCell;

/// Before the key of a slot.
const WINE: &str = "stillbright/wine/";
/// Before the key of what was set aside.
pub const ASIDE: &str = "stillbright/aside/";
/// Before the key of a deleted wine.
pub(super) const BIN: &str = "stillbright/bin/";
/// Identifier of the user's defaults, kept like a wine but no wine.
pub const DEFAULTS: &str = "defaults";
/// Version of a stored slot.
const SLOT_SCHEMA: u32 = 1;

pub(super) struct Slot {
    schema: u32,
    pub(super) revision: u64,
    saved: u64,
    pub(super) wine: Wine,
}

record!(Slot { schema needed, revision needed, saved needed, wine needed } Slot { schema: 0, revision: 0, saved: 0, wine: Wine::default() });

/// Something that could not be read, kept as it was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    /// Its key in storage: the slot itself where storage is too full to move it out.
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

/// A wine that a newer version of the page saved. This one cannot read it, so it is named, left as
/// it is and exported as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Newer {
    /// Identifier.
    pub id: String,
    /// What it is called; empty where that is not where it is now.
    pub name: String,
}

/// All that is on the shelf.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct All {
    /// Wines that can be read, last saved first.
    pub wines: Vec<Kept>,
    /// Wines that a newer version saved.
    pub newer: Vec<Newer>,
}

/// One wine, as far as it can be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum One {
    /// There is none, or nothing of it can be read.
    Gone,
    /// A wine.
    Kept(Box<Kept>),
    /// One that a newer version saved.
    Newer(Newer),
}

impl From<String> for Found {
    fn from(text: String) -> Found {
        let Ok(value) = parse(&text) else {
            return Found::Bad(text);
        };
        let number = |name: &str| value.get(name).and_then(|v| v.whole(u64::MAX).ok());
        if number("schema").is_some_and(|s| s > u64::from(SLOT_SCHEMA)) {
            let name = match value.get("wine").and_then(|w| w.get("name")) {
                Some(Value::Text(name)) => name.clone(),
                _ => String::new(),
            };
            return Found::Newer {
                revision: number("revision").unwrap_or(0),
                name,
            };
        }
        let mut slot = Box::new(Slot::blank());
        if slot.take(&value).is_ok() {
            Found::Good(slot)
        } else {
            Found::Bad(text)
        }
    }
}

/// The identifier of the wine in whose slot a key leads; None where it leads elsewhere.
pub fn wine_of(key: &str) -> Option<&str> {
    Some(key.strip_prefix(WINE)?.split_once('/')?.0)
}

/// The revision that a slot begins with, as it is written here; the rest of it is not looked at.
fn revision(text: &str) -> Option<u64> {
    text.strip_prefix("{\"schema\":1,\"revision\":")?
        .split(',')
        .next()?
        .parse()
        .ok()
}

/// The shelf over a port.
#[derive(Debug)]
pub struct Shelf<P: Port> {
    port: P,
    /// What could not be moved aside when it was found, because storage is full. It stays in its
    /// slot until there is room.
    unmoved: RefCell<Vec<Aside>>,
}

/// What stands in a slot.
pub(super) enum Found {
    Nothing,
    Good(Box<Slot>),
    Bad(String),
    Newer { revision: u64, name: String },
}

/// The two slots of a wine, read.
enum Copies {
    Nothing,
    /// The newest good copy and its slot.
    Good(Box<Slot>, &'static str),
    /// A newer version wrote at least one of them: what the wine is called there.
    Newer(String),
}

/// Why nothing is written to such a wine.
fn newer_error() -> PortError {
    PortError::Other("This wine was saved by a newer version of the page: reload to update.".into())
}

impl<P: Port> Shelf<P> {
    /// Over this port.
    pub fn new(port: P) -> Shelf<P> {
        Shelf {
            port,
            unmoved: RefCell::default(),
        }
    }

    /// The port.
    pub fn port(&self) -> &P {
        &self.port
    }

    fn slot(&self, key: &str) -> Result<Found, PortError> {
        Ok(self.port.read(key)?.map_or(Found::Nothing, Found::from))
    }

    /// The newest good copy of a wine. Bad slots are moved aside; where there is no room for that,
    /// the good copy is read all the same.
    /// Where a newer version wrote one of them, both are left as they are.
    fn copies(&self, id: &str) -> Result<Copies, PortError> {
        let mut best: Option<(Box<Slot>, &'static str)> = None;
        let mut newest: Option<(u64, String)> = None;
        let mut bad = Vec::new();
        for slot_name in ["a", "b"] {
            let key = format!("{WINE}{id}/{slot_name}");
            match self.slot(&key)? {
                Found::Good(slot)
                    if best
                        .as_ref()
                        .is_none_or(|(b, _)| slot.revision > b.revision) =>
                {
                    best = Some((slot, slot_name))
                }
                Found::Bad(text) => bad.push((key, text)),
                Found::Newer { revision, name }
                    if newest.as_ref().is_none_or(|(r, _)| revision > *r) =>
                {
                    newest = Some((revision, name))
                }
                Found::Good(_) | Found::Nothing | Found::Newer { .. } => {}
            }
        }
        if let Some((_, name)) = newest {
            return Ok(Copies::Newer(name));
        }
        for (key, text) in bad {
            let _later = self.set_aside(&key, text);
        }
        Ok(best.map_or(Copies::Nothing, |(slot, name)| Copies::Good(slot, name)))
    }

    /// The same for the list of all: where the newer of two slots is good, the older one is not
    /// read, which is half the work of a long
    /// book. It is read, and set aside if it is bad, before anything is written over it.
    fn latest(&self, id: &str) -> Result<Copies, PortError> {
        if let (Some(a), Some(b)) = (
            self.port.read(&format!("{WINE}{id}/a"))?,
            self.port.read(&format!("{WINE}{id}/b"))?,
        ) && let (Some(x), Some(y)) = (revision(&a), revision(&b))
            && let Found::Good(slot) = Found::from(if y > x { b } else { a })
        {
            return Ok(Copies::Good(slot, if y > x { "b" } else { "a" }));
        }
        self.copies(id)
    }

    /// One wine, for a page that hears of a change to it alone.
    pub fn one(&self, id: &str) -> Result<One, PortError> {
        Ok(match self.latest(id)? {
            Copies::Nothing => One::Gone,
            Copies::Good(slot, _) => One::Kept(Box::new(Kept {
                id: id.into(),
                saved: slot.saved,
                wine: slot.wine,
            })),
            Copies::Newer(name) => One::Newer(Newer {
                id: id.into(),
                name,
            }),
        })
    }

    /// Copies an unreadable text aside, then frees its place. If the copy fails, the text stays
    /// where it is, and is listed there.
    fn set_aside(&self, key: &str, text: String) -> Result<(), PortError> {
        let moved = self
            .port
            .write(&self.aside_key(key), &text)
            .and_then(|()| self.port.remove(key));
        let mut unmoved = self.unmoved.borrow_mut();
        unmoved.retain(|a| a.key != key);
        if moved.is_err() {
            unmoved.push(Aside {
                key: key.into(),
                text,
            });
        }
        moved
    }

    /// A key that is free, for a text set aside from this one.
    fn aside_key(&self, key: &str) -> String {
        format!(
            "{ASIDE}{}/{}",
            self.port.now(),
            key.trim_start_matches(WINE).replace('/', "-")
        )
    }

    /// Every wine there is.
    pub fn all(&self) -> Result<All, PortError> {
        let mut ids = Map::new();
        for key in self.port.keys()? {
            if let Some(id) = wine_of(&key) {
                ids.insert(id.to_string(), ());
            }
        }
        let (mut found, mut newer) = (Vec::new(), Vec::new());
        for (id, ()) in ids {
            // One that cannot be had must not hide the others.
            match self.latest(&id) {
                Ok(Copies::Good(slot, _)) => found.push((id, slot)),
                Ok(Copies::Newer(name)) => newer.push(Newer { id, name }),
                Ok(Copies::Nothing) | Err(_) => {}
            }
        }
        // In their boxes: a wine is large, and in a long book each is moved over many.
        crate::sorting::sort(&mut found, &mut |(a, x), (b, y)| {
            y.saved.cmp(&x.saved).then_with(|| a.cmp(b))
        });
        Ok(All {
            wines: found
                .into_iter()
                .map(|(id, slot)| Kept {
                    id,
                    saved: slot.saved,
                    wine: slot.wine,
                })
                .collect(),
            newer,
        })
    }

    /// One wine that can be read.
    pub fn get(&self, id: &str) -> Result<Option<Wine>, PortError> {
        Ok(match self.copies(id)? {
            Copies::Good(slot, _) => Some(slot.wine),
            Copies::Nothing | Copies::Newer(_) => None,
        })
    }

    /// What is kept of a wine, unchanged, as a file: the way out for one that a newer version
    /// saved.
    pub fn as_it_is(&self, id: &str) -> Result<String, PortError> {
        let mut kept = Vec::new();
        for name in ["a", "b"] {
            let key = format!("{WINE}{id}/{name}");
            if let Some(text) = self.port.read(&key)? {
                kept.push((key, text));
            }
        }
        Ok(write_kept(kept))
    }

    /// Saves a wine into the slot that does not hold its newest good copy. What is kept may hold
    /// entries of the log that this
    /// copy does not know, added in another tab: they stay, and the log of both is given back. A
    /// log that grew goes into both
    /// slots, so that one that is damaged takes no entry with it.
    pub fn put(&self, id: &str, wine: &Wine) -> Result<Option<Vec<Done>>, PortError> {
        let newest = match self.copies(id)? {
            Copies::Nothing => None,
            Copies::Good(slot, name) => Some((slot, name)),
            Copies::Newer(_) => return Err(newer_error()),
        };
        let (revision, name, other) = match &newest {
            Some((slot, "a")) => (slot.revision + 1, "b", "a"),
            Some((slot, _)) => (slot.revision + 1, "a", "b"),
            None => (1, "a", "b"),
        };
        let kept: &[Done] = newest.as_ref().map_or(&[], |(slot, _)| &slot.wine.done);
        let mut wine = wine.clone();
        let merged = together(kept, &wine.done);
        if let Some(all) = &merged {
            wine.done.clone_from(all);
        }
        let grew = wine.done.len() > kept.len();
        let mut slot = Slot {
            schema: SLOT_SCHEMA,
            revision,
            saved: self.port.now(),
            wine,
        };
        self.write_slot(id, name, &mut slot)?;
        if grew {
            slot.revision += 1;
            // The entry is kept already: a full store must not say that it is not.
            let _twice = self.write_slot(id, other, &mut slot);
        }
        Ok(merged)
    }

    fn write_slot(&self, id: &str, name: &str, slot: &mut Slot) -> Result<(), PortError> {
        let key = format!("{WINE}{id}/{name}");
        match self.slot(&key)? {
            Found::Newer { .. } => return Err(newer_error()),
            // Not before it is kept elsewhere.
            Found::Bad(text) => self.set_aside(&key, text)?,
            Found::Good(_) | Found::Nothing => {}
        }
        self.port.write(&key, &json::write(slot))
    }

    /// Adds a wine under a fresh identifier.
    pub fn add(&self, wine: &Wine) -> Result<String, PortError> {
        let id = self.port.fresh_id();
        self.put(&id, wine)?;
        Ok(id)
    }

    /// Takes a wine off the shelf into the bin, from where it can be put back.
    pub fn delete(&self, id: &str) -> Result<(), PortError> {
        let newest = match self.copies(id)? {
            Copies::Newer(_) => return Err(newer_error()),
            Copies::Nothing => "b",
            Copies::Good(mut slot, name) => {
                let text = json::write(&mut *slot);
                // Full storage must not forbid freeing storage: the page holds the wine for the
                // undo as well.
                let _kept = self.port.write(&format!("{BIN}{id}"), &text);
                name
            }
        };
        // The newest copy last: another tab hears of each, and an older one would show there as the
        // wine.
        for name in if newest == "a" {
            ["b", "a"]
        } else {
            ["a", "b"]
        } {
            let key = format!("{WINE}{id}/{name}");
            if let Found::Good(_) = self.slot(&key)? {
                self.port.remove(&key)?;
            }
        }
        // There may be room now for what could not be moved aside before.
        self.copies(id).map(|_| ())
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

    /// What was set aside because it could not be read, or was to be and could not be moved.
    pub fn aside(&self) -> Result<Vec<Aside>, PortError> {
        let mut all = Vec::new();
        for key in self
            .port
            .keys()?
            .into_iter()
            .filter(|k| k.starts_with(ASIDE))
        {
            if let Some(text) = self.port.read(&key)? {
                all.push(Aside { key, text });
            }
        }
        for unmoved in self.unmoved.borrow().iter() {
            if self.stands(unmoved)? {
                all.push(unmoved.clone());
            }
        }
        Ok(all)
    }

    /// Whether it is still there, unchanged.
    fn stands(&self, aside: &Aside) -> Result<bool, PortError> {
        Ok(self.port.read(&aside.key)?.as_ref() == Some(&aside.text))
    }

    /// Takes something set aside away; only when the user says so. Gone for good when the page is:
    /// see [`Shelf::undrop_aside`].
    pub fn drop_aside(&self, aside: &Aside) -> Result<(), PortError> {
        let ours = aside.key.starts_with(ASIDE) || self.unmoved.borrow().contains(aside);
        if ours && self.stands(aside)? {
            self.port.remove(&aside.key)
        } else {
            Ok(())
        }
    }

    /// Sets it aside again, unchanged and under the same key; what was removed from its slot is now
    /// moved out of it.
    pub fn undrop_aside(&self, aside: &Aside) -> Result<(), PortError> {
        let key = if aside.key.starts_with(ASIDE) {
            aside.key.clone()
        } else {
            self.aside_key(&aside.key)
        };
        self.port.write(&key, &aside.text)
    }
}

#[cfg(test)]
mod tests {
    use super::super::port::Memory;
    use super::*;

    fn named(name: &str) -> Wine {
        Wine {
            name: name.into(),
            ..Wine::default()
        }
    }

    #[test]
    fn keeps_the_last_good_copy_and_sets_the_bad_one_aside() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.put(&id, &named("two"))?;
        shelf
            .port()
            .write(&format!("{WINE}{id}/b"), "{\"schema\":1,\"revis")?;
        assert_eq!(shelf.get(&id)?.map(|w| w.name), Some("one".into()));
        assert_eq!(shelf.aside()?.len(), 1);
        assert_eq!(
            shelf.aside()?.first().map(|a| a.text.as_str()),
            Some("{\"schema\":1,\"revis")
        );
        shelf.put(&id, &named("three"))?;
        assert_eq!(shelf.get(&id)?.map(|w| w.name), Some("three".into()));
        // Removed and put back, as it was.
        let before = shelf.aside()?;
        for a in &before {
            shelf.drop_aside(a)?;
        }
        assert_eq!(shelf.aside()?, []);
        for a in &before {
            shelf.undrop_aside(a)?;
        }
        assert_eq!(shelf.aside()?, before);
        // No slot can be written this way.
        shelf.undrop_aside(&Aside {
            key: format!("{WINE}{id}/a"),
            text: "{}".into(),
        })?;
        assert_eq!(shelf.get(&id)?.map(|w| w.name), Some("three".into()));
        Ok(())
    }

    #[test]
    fn the_list_reads_the_newer_slot_and_loses_nothing_to_a_bad_one() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.put(&id, &named("two"))?;
        let names = || {
            Ok::<_, PortError>(
                shelf
                    .all()?
                    .wines
                    .into_iter()
                    .map(|k| k.wine.name)
                    .collect::<Vec<_>>(),
            )
        };
        let (a, b) = (format!("{WINE}{id}/a"), format!("{WINE}{id}/b"));
        // As it is written, or the short way is never taken.
        assert_eq!(
            [&a, &b].map(|k| shelf
                .port()
                .read(k)
                .ok()
                .flatten()
                .as_deref()
                .and_then(revision)),
            [Some(1), Some(2)]
        );
        assert_eq!(names()?, ["two"]);
        // A bad older one is not read for the list, and set aside before it is written over.
        let damaged = "{\"schema\":1,\"revision\":1,\"sav";
        shelf.port().write(&a, damaged)?;
        assert_eq!(names()?, ["two"]);
        assert!(shelf.aside()?.is_empty());
        shelf.put(&id, &named("three"))?;
        assert_eq!(names()?, ["three"]);
        assert_eq!(
            shelf
                .aside()?
                .into_iter()
                .map(|s| s.text)
                .collect::<Vec<_>>(),
            [damaged]
        );
        // A bad newer one is set aside at once, and the older one shows.
        shelf
            .port()
            .write(&a, "{\"schema\":1,\"revision\":9,\"sav")?;
        assert_eq!(names()?, ["two"]);
        assert_eq!(shelf.aside()?.len(), 2);
        Ok(())
    }

    fn noted(shelf: &Shelf<Memory>, id: &str) -> Result<Vec<String>, PortError> {
        Ok(shelf
            .get(id)?
            .unwrap_or_default()
            .done
            .into_iter()
            .map(|d| d.note)
            .collect())
    }

    fn logged(wine: &Wine, note: &str) -> Wine {
        let mut wine = wine.clone();
        wine.done.push(Done {
            note: note.into(),
            ..Done::default()
        });
        wine
    }

    #[test]
    fn the_log_loses_no_entry_to_another_tab_a_damaged_slot_or_an_undo() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let first = logged(&named("vat"), "racked");
        let id = shelf.add(&first)?;
        // Two tabs read it, each adds its own; the second does not know of the first's.
        assert_eq!(shelf.put(&id, &logged(&first, "fined"))?, None);
        let both = shelf
            .put(&id, &logged(&first, "filtered"))?
            .unwrap_or_default();
        assert_eq!(
            both.iter().map(|d| d.note.as_str()).collect::<Vec<_>>(),
            ["racked", "fined", "filtered"]
        );
        assert_eq!(noted(&shelf, &id)?, ["racked", "fined", "filtered"]);
        // Then the first types something else, and an old copy comes back with fewer entries.
        shelf.put(&id, &named("vat 3"))?;
        assert_eq!(noted(&shelf, &id)?, ["racked", "fined", "filtered"]);
        // Either slot may be damaged.
        for slot in ["a", "b"] {
            shelf
                .port()
                .write(&format!("{WINE}{id}/{slot}"), "{\"schema\":1,")?;
            assert_eq!(
                noted(&shelf, &id)?,
                ["racked", "fined", "filtered"],
                "{slot}"
            );
            let now = shelf.get(&id)?.unwrap_or_default();
            shelf.put(&id, &now)?;
            shelf.put(&id, &now)?;
        }
        let gone = shelf.get(&id)?.unwrap_or_default();
        shelf.delete(&id)?;
        assert_eq!(shelf.bin()?.remove(&id).map(|w| w.done.len()), Some(3));
        shelf.undelete(&id, &gone)?;
        assert_eq!(noted(&shelf, &id)?, ["racked", "fined", "filtered"]);
        Ok(())
    }

    #[test]
    fn the_last_entry_stands_in_both_slots() -> Result<(), PortError> {
        for slot in ["a", "b"] {
            let shelf = Shelf::new(Memory::default());
            let id = shelf.add(&named("vat"))?;
            shelf.put(&id, &logged(&named("vat"), "racked"))?;
            shelf
                .port()
                .write(&format!("{WINE}{id}/{slot}"), "damaged")?;
            assert_eq!(noted(&shelf, &id)?, ["racked"], "{slot}");
        }
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

    /// Leaves no room for anything more than what is kept now.
    fn fill(shelf: &Shelf<Memory>) -> Result<(), PortError> {
        shelf.port().room.set(0);
        let mut kept = 0;
        for key in shelf.port().keys()? {
            kept += key.len() + shelf.port().read(&key)?.unwrap_or_default().len();
        }
        shelf.port().room.set(kept);
        Ok(())
    }

    #[test]
    fn a_good_slot_is_read_though_there_is_no_room_to_set_the_bad_one_aside()
    -> Result<(), PortError> {
        for bad in ["a", "b"] {
            let shelf = Shelf::new(Memory::default());
            let id = shelf.add(&named("one"))?;
            shelf.put(&id, &named("two"))?;
            let other = shelf.add(&named("other"))?;
            let (key, damaged) = (
                format!("{WINE}{id}/{bad}"),
                "{\"schema\":1,\"revision\":9,\"sav",
            );
            shelf.port().write(&key, damaged)?;
            fill(&shelf)?;
            let good = if bad == "a" { "two" } else { "one" };
            let names = |shelf: &Shelf<Memory>| {
                Ok::<_, PortError>(
                    shelf
                        .all()?
                        .wines
                        .into_iter()
                        .map(|k| k.wine.name)
                        .collect::<Vec<_>>(),
                )
            };
            assert_eq!(names(&shelf)?, ["other", good]);
            assert_eq!(shelf.get(&id)?.map(|w| w.name).as_deref(), Some(good));
            // It is shown where it stands, once, and nothing is written over it.
            assert_eq!(
                shelf.aside()?,
                [Aside {
                    key: key.clone(),
                    text: damaged.into()
                }]
            );
            assert_eq!(shelf.put(&id, &named("three")), Err(PortError::Full));
            assert_eq!(shelf.port().read(&key)?.as_deref(), Some(damaged));
            assert_eq!(names(&shelf)?, ["other", good]);
            // Where there is room again it is set aside, and the wine is written as ever.
            shelf.delete(&other)?;
            shelf.port().room.set(0);
            shelf.put(&id, &named("three"))?;
            assert_eq!(names(&shelf)?, ["three"]);
            let aside = shelf.aside()?;
            assert_eq!(
                aside
                    .iter()
                    .map(|a| (a.key.starts_with(ASIDE), a.text.as_str()))
                    .collect::<Vec<_>>(),
                [(true, damaged)]
            );
        }
        Ok(())
    }

    #[test]
    fn what_cannot_be_moved_aside_can_be_saved_removed_and_put_back_and_outlives_its_wine()
    -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        let key = format!("{WINE}{id}/b");
        shelf.port().write(&key, "damaged")?;
        fill(&shelf)?;
        assert_eq!(shelf.all()?.wines.len(), 1);
        let stuck = shelf.aside()?;
        assert_eq!(
            stuck,
            [Aside {
                key: key.clone(),
                text: "damaged".into()
            }]
        );
        for a in &stuck {
            shelf.drop_aside(a)?;
            assert_eq!(shelf.port().read(&key)?, None);
            shelf.port().room.set(0);
            shelf.undrop_aside(a)?;
        }
        assert_eq!(
            shelf
                .aside()?
                .into_iter()
                .map(|a| a.text)
                .collect::<Vec<_>>(),
            ["damaged"]
        );
        assert_eq!(shelf.get(&id)?.map(|w| w.name).as_deref(), Some("one"));
        // Deleting the wine takes the bad slot nowhere but aside.
        shelf.port().write(&key, "damaged too")?;
        fill(&shelf)?;
        shelf.delete(&id)?;
        assert!(shelf.all()?.wines.is_empty());
        let texts: Vec<String> = shelf.aside()?.into_iter().map(|a| a.text).collect();
        assert_eq!(texts, ["damaged", "damaged too"]);
        Ok(())
    }

    #[test]
    fn newer_data_is_named_left_alone_and_exported_as_it_is() -> Result<(), PortError> {
        let text = |revision: u32, name: &str| {
            format!(
                "{{\"schema\":99,\"revision\":{revision},\"wine\":{{\"name\":\"{name}\",\"later\":[1]}}}}"
            )
        };
        let old = |shelf: &Shelf<Memory>| shelf.put("x", &named("old page"));
        // In both slots, in one beside a good older copy, in one beside a damaged one, and with
        // nothing else that is known.
        for (a, b, called) in [
            (Some(text(4, "four")), Some(text(5, "five")), "five"),
            (Some(text(5, "five")), None, "five"),
            (
                Some(text(5, "five")),
                Some("{\"schema\":1,\"rev".to_string()),
                "five",
            ),
            (
                None,
                Some("{\"schema\":2,\"anything\":true}".to_string()),
                "",
            ),
        ] {
            let shelf = Shelf::new(Memory::default());
            if b.is_none() {
                old(&shelf)?;
                old(&shelf)?;
            }
            let (key_a, key_b) = ("stillbright/wine/x/a", "stillbright/wine/x/b");
            for (key, text) in [(key_a, &a), (key_b, &b)] {
                if let Some(text) = text {
                    shelf.port().write(key, text)?;
                }
            }
            let kept = [shelf.port().read(key_a)?, shelf.port().read(key_b)?];
            let newer = Newer {
                id: "x".into(),
                name: called.into(),
            };
            assert_eq!(
                shelf.all()?,
                All {
                    wines: Vec::new(),
                    newer: vec![newer.clone()]
                }
            );
            assert_eq!(shelf.one("x")?, One::Newer(newer));
            assert_eq!(shelf.get("x")?, None);
            let exported =
                json::read::<Map<String, String>>(&shelf.as_it_is("x")?).unwrap_or_default();
            assert_eq!(
                [exported.get(key_a).cloned(), exported.get(key_b).cloned()],
                kept
            );
            assert!(old(&shelf).is_err() && shelf.delete("x").is_err());
            assert_eq!([shelf.port().read(key_a)?, shelf.port().read(key_b)?], kept);
            assert!(shelf.aside()?.is_empty());
        }
        Ok(())
    }

    #[test]
    fn one_wine_is_read_by_itself() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.add(&named("other"))?;
        let name = |shelf: &Shelf<Memory>| match shelf.one(&id) {
            Ok(One::Kept(kept)) => kept.wine.name,
            other => format!("{other:?}"),
        };
        assert_eq!(name(&shelf), "one");
        shelf.put(&id, &named("two"))?;
        assert_eq!(name(&shelf), "two");
        shelf.delete(&id)?;
        assert_eq!(shelf.one(&id)?, One::Gone);
        Ok(())
    }

    /// A port that tells what is on the shelf after each removal, as another tab reads it.
    struct Watched<'a>(&'a Memory, &'a RefCell<Vec<String>>);

    impl Port for Watched<'_> {
        fn read(&self, key: &str) -> Result<Option<String>, PortError> {
            self.0.read(key)
        }
        fn write(&self, key: &str, text: &str) -> Result<(), PortError> {
            self.0.write(key, text)
        }
        fn remove(&self, key: &str) -> Result<(), PortError> {
            self.0.remove(key)?;
            let all = Shelf::new(Watched(self.0, self.1)).all()?;
            self.1
                .borrow_mut()
                .push(all.wines.into_iter().map(|k| k.wine.name).collect());
            Ok(())
        }
        fn keys(&self) -> Result<Vec<String>, PortError> {
            self.0.keys()
        }
        fn now(&self) -> u64 {
            self.0.now()
        }
        fn fresh_id(&self) -> String {
            self.0.fresh_id()
        }
    }

    #[test]
    fn no_older_copy_shows_while_a_wine_is_deleted() -> Result<(), PortError> {
        for times in 2..4 {
            let (memory, seen) = (Memory::default(), RefCell::default());
            let shelf = Shelf::new(Watched(&memory, &seen));
            let id = shelf.port().fresh_id();
            for time in 1..=times {
                shelf.put(&id, &named(&time.to_string()))?;
            }
            shelf.delete(&id)?;
            assert_eq!(*seen.borrow(), [times.to_string(), String::new()]);
        }
        Ok(())
    }

    #[test]
    fn delete_can_be_undone_and_denied_storage_says_so() -> Result<(), PortError> {
        let shelf = Shelf::new(Memory::default());
        let id = shelf.add(&named("one"))?;
        shelf.delete(&id)?;
        assert!(shelf.all()?.wines.is_empty());
        let binned = shelf.bin()?.remove(&id).unwrap_or_default();
        shelf.undelete(&id, &binned)?;
        assert_eq!(shelf.all()?.wines.len(), 1);
        shelf.port().denied.set(true);
        assert_eq!(shelf.all(), Err(PortError::Denied));
        Ok(())
    }
}
