//! The wine of a page, checked once for each change, for everything on the page that answers.

use super::store::{changes, store};
use crate::case::Case;
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;

/// A wine as it was checked last.
struct Last {
    id: String,
    changes: u32,
    case: Rc<Case>,
}

thread_local! {
    static LAST: RefCell<Option<Last>> = const { RefCell::new(None) };
}

/// A wine on screen, checked; whoever asks is told of its changes. None where it is not there.
pub fn case_of(id: &str) -> Option<Rc<Case>> {
    let wine = store().wine(id)?;
    LAST.with_borrow_mut(|last| {
        let now = changes();
        if let Some(l) = last.as_ref().filter(|l| l.id == id && l.changes == now) {
            return Some(l.case.clone());
        }
        let case = Rc::new(Case::of(&wine));
        *last = Some(Last {
            id: id.into(),
            changes: now,
            case: case.clone(),
        });
        Some(case)
    })
}

/// The same, once.
pub fn case_now(id: &str) -> Option<Rc<Case>> {
    untrack(|| case_of(id))
}

/// What is worked out from a wine, anew when a wine changed: as a rule it is this one. Nothing is
/// compared, which would be code for every type in every answer.
pub fn worked<T: Default + Send + Sync + 'static>(
    id: StoredValue<String>,
    work: impl Fn(&Case) -> T + Send + Sync + 'static,
) -> Memo<T> {
    Memo::new_with_compare(
        move |_| {
            case_of(&id.get_value())
                .as_deref()
                .map(&work)
                .unwrap_or_default()
        },
        |_, _| true,
    )
}
