//! What the pages share: the wines as they are on screen, where they are saved, and what could not
//! be.

use super::page::Page;
use super::port::Browser;
use super::{files, habits, words};
use crate::book::shelf::{ASIDE, All, Kept, One, wine_of};
use crate::book::{Aside, DEFAULTS, Memory, Newer, Port, PortError, Shelf};
use crate::json;
use crate::units::day::Day;
use crate::wine::Wine;
use leptos::prelude::*;
use std::rc::Rc;
use std::sync::atomic::{AtomicU32, Ordering::Relaxed};

/// Whether what was typed last is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Keeping {
    /// Saved on this device.
    Saved,
    /// Storage is closed: the wines last as long as the page.
    NotHere,
    /// A write failed; the words say why.
    Failed(String),
}

/// A change of a wine that can be taken back. Kept as a way back and not as the wine of before, so
/// that what was typed or logged
/// since then stays.
#[derive(Clone)]
pub struct Undo {
    /// Its wine.
    pub id: String,
    /// What was done, in words.
    pub says: &'static str,
    /// The way back.
    pub back: Rc<dyn Fn(&mut Wine)>,
    /// So many pages it is offered on.
    pub pages: u32,
}

/// Counts the changes of the wines on screen, so that what was worked out from one is known to be
/// old.
static CHANGES: AtomicU32 = AtomicU32::new(0);

/// How often a wine on screen was changed.
pub fn changes() -> u32 {
    CHANGES.load(Relaxed)
}

fn touched() {
    CHANGES.fetch_add(1, Relaxed);
}

/// Shared state; a bundle of signals, cheap to copy.
#[derive(Clone, Copy)]
pub struct Store {
    shelf: StoredValue<Rc<Shelf<Browser>>, LocalStorage>,
    /// The page shown.
    pub page: RwSignal<Page>,
    /// Wines as on screen, last saved first.
    pub wines: RwSignal<Vec<Kept>>,
    /// Wines that a newer version of the page saved.
    pub newer: RwSignal<Vec<Newer>>,
    /// What could not be read and was set aside.
    pub aside: RwSignal<Vec<Aside>>,
    /// Whether typing is kept.
    pub keeping: RwSignal<Keeping>,
    /// The wine just deleted, for the undo.
    pub deleted: RwSignal<Option<Kept>>,
    /// What was set aside and removed, the last one last, for the undo.
    pub dropped: RwSignal<Vec<Aside>>,
    /// The last change that can be taken back, if any.
    pub undo: RwSignal<Option<Undo>, LocalStorage>,
    /// A short word to the user, read out politely.
    pub said: RwSignal<String>,
    /// What the user should know of how long this browser keeps wines; empty where there is nothing
    /// to say.
    pub lasting: RwSignal<&'static str>,
    /// Code of the language spoken.
    pub language: RwSignal<String>,
}

impl Store {
    /// Opens storage and reads what is there.
    pub fn open() -> Store {
        let browser = Browser::open();
        habits::take(&browser.read(habits::KEY).ok().flatten().unwrap_or_default());
        let shelf = Shelf::new(browser);
        let (all, read) = match shelf.all() {
            Ok(all) => (all, Ok(())),
            Err(e) => (All::default(), Err(e)),
        };
        let store = Store {
            shelf: StoredValue::new_local(Rc::new(shelf)),
            page: RwSignal::new(Page::here()),
            wines: RwSignal::new(all.wines),
            newer: RwSignal::new(all.newer),
            aside: RwSignal::new(Vec::new()),
            keeping: RwSignal::new(Keeping::Saved),
            deleted: RwSignal::new(None),
            dropped: RwSignal::new(Vec::new()),
            undo: RwSignal::new_local(None),
            said: RwSignal::new(String::new()),
            lasting: RwSignal::new(""),
            language: RwSignal::new(super::paper::speak()),
        };
        store.note(read);
        store
    }

    /// Has the start script look how long this browser keeps wines. After the first wine it asks
    /// the browser to keep them
    /// (`when` is “added”); “told” says that the user has read the words about the home screen.
    pub fn ask_to_last(&self, when: &'static str) {
        let lasting = self.lasting;
        leptos::task::spawn_local(async move {
            match files::started("stillbrightKeep", when, 0.0)
                .await
                .as_deref()
            {
                Some("file") => lasting.set(words::KEEP_FILE),
                Some("home") => lasting.set(words::KEEP_HOME),
                Some("loose") => lasting.set(words::KEEP_LOOSE),
                _ => {}
            }
        });
    }

    fn with<T>(&self, f: impl FnOnce(&Shelf<Browser>) -> T) -> T {
        let shelf = self.shelf.get_value();
        f(&shelf)
    }

    /// Keeps what stands beside figures and days, and shows the page anew with it.
    pub fn keep_shown(&self, words: &str) {
        habits::take(words);
        self.note(self.with(|s| s.port().write(habits::KEY, words)));
        self.page.update(|_| {});
    }

    /// Takes over what another tab wrote under a key, and says whether that changes anything on
    /// screen; where no key is told, anything
    /// may have been written. Other pages of this address keep their things in the same storage:
    /// their keys are none of ours. Where
    /// something typed here could not be kept, it stays on screen instead.
    pub fn hear(&self, key: Option<&str>) -> bool {
        if self.keeping.get_untracked() != Keeping::Saved {
            return false;
        }
        match key {
            None => self.read_all(),
            Some(habits::KEY) => {
                habits::take(
                    &self
                        .with(|s| s.port().read(habits::KEY))
                        .ok()
                        .flatten()
                        .unwrap_or_default(),
                );
                self.wines.notify();
                true
            }
            Some(key) => {
                if key.starts_with(ASIDE) {
                    // Its list follows by itself.
                    self.note(Ok(()));
                }
                wine_of(key).is_some_and(|id| self.read_one(id))
            }
        }
    }

    fn read_all(&self) -> bool {
        let Ok(all) = self.with(|s| s.all()) else {
            return false;
        };
        touched();
        self.wines.set(all.wines);
        self.newer.set(all.newer);
        true
    }

    /// Reads one wine once more. What is on screen already is left as it is.
    fn read_one(&self, id: &str) -> bool {
        let Ok(now) = self.with(|s| s.one(id)) else {
            return false;
        };
        let shown = self.wines.with_untracked(|all| match &now {
            // By their texts: a comparison of every type in a wine would be code for the first
            // load.
            One::Kept(kept) => all.iter().any(|k| {
                k.id == id
                    && json::write(&mut k.wine.clone()) == json::write(&mut kept.wine.clone())
            }),
            One::Gone | One::Newer(_) => all.iter().all(|k| k.id != id),
        });
        if shown && !matches!(now, One::Newer(_)) {
            return false;
        }
        self.newer.update(|all| all.retain(|n| n.id != id));
        touched();
        self.wines.update(|all| match now {
            One::Kept(kept) => match all.iter_mut().find(|k| k.id == id) {
                Some(place) => *place = *kept,
                None => all.insert(0, *kept),
            },
            One::Gone => all.retain(|k| k.id != id),
            One::Newer(newer) => {
                all.retain(|k| k.id != id);
                self.newer.update(|all| all.push(newer));
            }
        });
        true
    }

    fn note(&self, result: Result<(), PortError>) {
        let lasting = self.with(|s| s.port().lasting());
        let now = match result {
            Ok(()) if lasting => Keeping::Saved,
            Ok(()) => Keeping::NotHere,
            Err(e) => Keeping::Failed(port_words(&e)),
        };
        if self.keeping.get_untracked() != now {
            self.keeping.set(now);
        }
        let aside = self.with(|s| s.aside().unwrap_or_default());
        if self.aside.get_untracked() != aside {
            self.aside.set(aside);
        }
    }

    /// The wine as on screen; follows changes.
    pub fn wine(&self, id: &str) -> Option<Wine> {
        self.wines
            .with(|all| all.iter().find(|k| k.id == id).map(|k| k.wine.clone()))
    }

    /// What a wine on screen says of something, once.
    pub fn of<T>(&self, id: &str, says: impl FnOnce(&Wine) -> T) -> Option<T> {
        self.wines
            .with_untracked(|all| all.iter().find(|k| k.id == id).map(|k| says(&k.wine)))
    }

    /// The wine as on screen, once.
    pub fn wine_now(&self, id: &str) -> Option<Wine> {
        untrack(|| self.wine(id))
    }

    /// Changes a wine on screen and in storage. What cannot be stored stays on screen, and the
    /// banner says so.
    pub fn edit(&self, id: &str, change: &mut dyn FnMut(&mut Wine)) {
        let mut changed = None;
        touched();
        self.wines.update(|all| {
            if let Some(kept) = all.iter_mut().find(|k| k.id == id) {
                change(&mut kept.wine);
                changed = Some(kept.wine.clone());
            }
        });
        if let Some(wine) = changed {
            let kept = self.with(|s| s.put(id, &wine));
            // Another tab added to the log.
            if let Ok(Some(log)) = &kept {
                touched();
                self.wines.update(|all| {
                    all.iter_mut()
                        .filter(|k| k.id == id)
                        .for_each(|k| k.wine.done.clone_from(log))
                });
            }
            self.note(kept.map(|_| ()));
        }
    }

    /// What is kept of a wine, unchanged, as a file.
    pub fn as_it_is(&self, id: &str) -> String {
        self.with(|s| s.as_it_is(id)).unwrap_or_default()
    }

    /// The user's defaults, as they are now.
    pub fn defaults(&self) -> Wine {
        self.wine_now(DEFAULTS).unwrap_or_default()
    }

    /// Makes room for the user's defaults, so that they can be edited like a wine.
    pub fn open_defaults(&self) {
        if self.wine_now(DEFAULTS).is_none() {
            let saved = self.with(|s| s.port().now());
            touched();
            self.wines.update(|all| {
                all.push(Kept {
                    id: DEFAULTS.into(),
                    saved,
                    wine: Wine::default(),
                })
            });
        }
    }

    /// What `f` makes of each wine in the book: of all that is kept but the defaults.
    pub fn book<T>(&self, f: impl Fn(&Kept) -> T) -> Vec<T> {
        self.wines
            .with(|all| all.iter().filter(|k| k.id != DEFAULTS).map(f).collect())
    }

    /// A wine of which nothing is known but the user's defaults.
    pub fn blank(&self) -> Wine {
        let mut wine = Wine::default();
        wine.fill_from(&self.defaults());
        wine
    }

    /// A blank wine that is kept where nothing lasts: all that keeping one needs is made ready by
    /// it.
    pub fn rehearse(&self) -> Wine {
        let (wine, nowhere) = (self.blank(), Shelf::new(Browser::Memory(Memory::default())));
        let _kept = nowhere.put(&nowhere.port().fresh_id(), &wine);
        wine
    }

    /// Adds a wine and gives its identifier.
    pub fn add(&self, wine: Wine) -> String {
        let id = self.keep_new(wine);
        self.wines.notify();
        id
    }

    /// Adds a wine and goes to a page of it, which hears of it before the book does: that is not
    /// drawn once more before it goes.
    pub fn add_and_go(&self, wine: Wine, to: impl FnOnce(String) -> Page) {
        to(self.keep_new(wine)).go();
        self.wines.notify();
    }

    fn keep_new(&self, wine: Wine) -> String {
        let (id, result) = self.with(|s| {
            let id = s.port().fresh_id();
            let result = s.put(&id, &wine).map(|_| ());
            (id, result)
        });
        let saved = self.with(|s| s.port().now());
        touched();
        self.wines.update_untracked(|all| {
            all.insert(
                0,
                Kept {
                    id: id.clone(),
                    saved,
                    wine,
                },
            )
        });
        self.note(result);
        if self.keeping.get_untracked() == Keeping::Saved {
            // Not before the page that the tap asked for is drawn.
            let store = *self;
            set_timeout(
                move || store.ask_to_last("added"),
                std::time::Duration::from_millis(300),
            );
        }
        id
    }

    /// Deletes a wine; it can be put back.
    pub fn delete(&self, id: &str) {
        let mut gone = None;
        touched();
        self.wines.update(|all| {
            if let Some(at) = all.iter().position(|k| k.id == id) {
                gone = Some(all.remove(at));
            }
        });
        self.note(self.with(|s| s.delete(id)));
        self.deleted.set(gone);
        self.said.set(words::DELETED.into());
    }

    /// Puts the last deleted wine back.
    pub fn undo_delete(&self) {
        if let Some(kept) = self.deleted.get_untracked() {
            self.note(self.with(|s| s.undelete(&kept.id, &kept.wine)));
            touched();
            self.wines.update(|all| all.insert(0, kept));
            self.deleted.set(None);
            self.said.set(words::PUT_BACK.into());
        }
    }

    /// Changes a wine and offers the way back, in place of asking before.
    pub fn edit_lightly(
        &self,
        id: &str,
        change: &mut dyn FnMut(&mut Wine),
        says: &'static str,
        back: Rc<dyn Fn(&mut Wine)>,
    ) {
        self.edit(id, change);
        self.said.set(says.into());
        self.undo.set(Some(Undo {
            id: id.into(),
            says,
            back,
            pages: 3,
        }));
    }

    /// Another page: the way back of a change stays for two of them, where the change is still in
    /// mind, and goes with its wine.
    pub fn turn(&self) {
        self.page.set(Page::here());
        let stays = |u: &Undo| u.pages > 1 && self.page.with_untracked(|p| p.wine() == Some(&u.id));
        let undo = self.undo.get_untracked();
        if let Some(mut undo) = undo {
            let kept = stays(&undo);
            undo.pages -= u32::from(kept);
            self.undo.set(kept.then_some(undo));
        }
    }

    /// Takes the last such change back.
    pub fn undo_edit(&self) {
        if let Some(undo) = self.undo.get_untracked() {
            self.edit(&undo.id, &mut |w| (undo.back)(w));
            self.undo.set(None);
            self.said.set(words::TAKEN_BACK.into());
            // Fields were drawn from what stood here before.
            self.page.update(|_| {});
        }
    }

    /// Takes something set aside away; it can be put back.
    pub fn drop_aside(&self, aside: Aside) {
        self.note(self.with(|s| s.drop_aside(&aside)));
        let mut dropped = self.dropped.get_untracked();
        dropped.push(aside);
        self.dropped.set(dropped);
        self.said.set(words::ASIDE_OUT.into());
    }

    /// Puts back what was removed last. Where it cannot be written it stays at hand.
    pub fn undo_drop(&self) {
        let mut dropped = self.dropped.get_untracked();
        if let Some(aside) = dropped.pop() {
            let put = self.with(|s| s.undrop_aside(&aside));
            if put.is_ok() {
                self.dropped.set(dropped);
                self.said.set(words::TAKEN_BACK.into());
            }
            self.note(put);
        }
    }

    /// Today by the device's clock.
    pub fn today(&self) -> Option<Day> {
        let now = js_sys::Date::new_0();
        Day::from_civil(
            i64::from(now.get_full_year()),
            i64::from(now.get_month()) + 1,
            i64::from(now.get_date()),
        )
    }

    /// Colour of the wine whose page is shown.
    pub fn colour_key(&self) -> &'static str {
        let Some(id) = self.page.with(|p| p.wine().map(String::from)) else {
            return "";
        };
        self.wine(&id)
            .and_then(|w| w.colour)
            .map_or("", |c| c.key())
    }
}

fn port_words(error: &PortError) -> String {
    match error {
        PortError::Denied => words::DENIED.into(),
        PortError::Full => words::FULL.into(),
        PortError::Other(what) => format!("{} {what}", words::NOT_SAVED),
    }
}

/// The store of this page.
pub fn store() -> Store {
    expect_context::<Store>()
}
