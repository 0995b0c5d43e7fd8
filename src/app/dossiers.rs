//! The wine of a page, checked once for each change, for everything on the page that answers.

use super::store::{Store, changes, store};
use crate::dossier::Dossier;
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;

/// A wine as it was checked last.
struct Last {
    id: String,
    changes: u32,
    dossier: Rc<Dossier>,
}

thread_local! {
    static LAST: RefCell<Option<Last>> = const { RefCell::new(None) };
}

/// A wine on screen, checked; whoever asks is told of its changes. None where it is not there.
pub fn dossier_of(store: Store, id: &str) -> Option<Rc<Dossier>> {
    let wine = store.wine(id)?;
    LAST.with_borrow_mut(|last| {
        let now = changes();
        if let Some(l) = last.as_ref().filter(|l| l.id == id && l.changes == now) {
            return Some(l.dossier.clone());
        }
        let dossier = Rc::new(Dossier::of(&wine));
        *last = Some(Last {
            id: id.into(),
            changes: now,
            dossier: dossier.clone(),
        });
        Some(dossier)
    })
}

/// The same, once.
pub fn dossier_now(store: Store, id: &str) -> Option<Rc<Dossier>> {
    untrack(|| dossier_of(store, id))
}

/// What is worked out from a wine, anew when a wine changed: as a rule it is this one. Nothing is
/// compared, which would be code for every type in every answer.
pub fn worked<T: Default + Send + Sync + 'static>(
    id: StoredValue<String>,
    work: impl Fn(&Dossier) -> T + Send + Sync + 'static,
) -> Memo<T> {
    let store = store();
    Memo::new_with_compare(
        move |_| {
            dossier_of(store, &id.get_value())
                .as_deref()
                .map(&work)
                .unwrap_or_default()
        },
        |_, _| true,
    )
}
