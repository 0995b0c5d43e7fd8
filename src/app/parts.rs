//! Small parts that several pages use.

use super::growing::Growing;
use super::page::{self, Page, Sheet};
use super::paper::{
    self, Node, button, by_id, el, follow, line, link, live, section, telling, with,
};
use super::speech::Words;
use super::store::{Keeping, store};
use super::words;
use crate::knowledge::Fact;
use crate::units::show;
use crate::wine::Wine;
use leptos::prelude::*;
use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;
use wasm_bindgen::JsCast;

/// Moves the focus to an element.
pub fn focus(id: &str) {
    if let Some(e) = by_id(id)
        && let Ok(e) = e.dyn_into::<web_sys::HtmlElement>()
    {
        let _focused = e.focus();
    }
}

/// Moves the focus to an element in which something else stands now, and shows its beginning.
pub fn attend(id: &'static str) {
    // What the tap changes is drawn first.
    set_timeout(
        move || {
            focus(id);
            if let Some(e) = by_id(id).filter(|e| e.get_bounding_client_rect().top() < 0.0) {
                e.scroll_into_view_with_bool(true);
            }
        },
        std::time::Duration::ZERO,
    );
}

/// The way up, and the title.
pub fn head(up: &Page, name: impl Words, title: impl Words) -> Vec<Node> {
    vec![
        el(
            "p",
            "crumb",
            vec![link(up.address(), vec![Node::text(name)])],
        ),
        line("h1", "", title),
    ]
}

/// What stands beside cautions and law where they are shown in a language nobody of the trade has
/// reviewed.
pub fn unreviewed() -> Option<Node> {
    paper::foreign().then(|| line("p", "mark", words::UNREVIEWED))
}

/// The head of a page of a wine.
pub fn wine_head(id: &str, wine: &Wine, title: impl Words) -> Vec<Node> {
    let up = link(
        Page::Wine(id.into()).address(),
        vec![Node::own(&called(wine))],
    );
    vec![el("p", "crumb", vec![up]), line("h1", "", title)]
}

/// What a wine is called.
pub fn called(wine: &Wine) -> String {
    named(&wine.name)
}

/// The same by its name alone.
pub fn named(name: &str) -> String {
    if name.trim().is_empty() {
        paper::said(&words::UNNAMED).into_owned()
    } else {
        name.into()
    }
}

/// The page of a wine that is not on this device, or cannot be read by this version.
pub fn no_wine(title: impl Words) -> Vec<Node> {
    let store = store();
    let newer = store.page.with_untracked(|p| {
        store
            .newer
            .with_untracked(|all| all.iter().any(|n| p.wine() == Some(&n.id)))
    });
    let why = line("p", "", if newer { words::NEWER } else { words::NO_WINE });
    vec![
        line("h1", "", title),
        why,
        el(
            "p",
            "",
            vec![link(Page::Book.address(), vec![Node::text(words::BOOK)])],
        ),
    ]
}

/// What storage says, the undo, the update, and the polite voice.
pub fn banners(update: RwSignal<bool>) -> Vec<Node> {
    let store = store();
    // The start script tells the waiting version to take over, and reloads when it has.
    let reload: Rc<dyn Fn(String)> = Rc::new(|_| {
        if let Some(window) = web_sys::window()
            && let Ok(event) = web_sys::Event::new("stillbright-use")
        {
            let _told = window.dispatch_event(&event);
        }
    });
    let told: Rc<dyn Fn(String)> = Rc::new(move |_| {
        store.lasting.set("");
        store.ask_to_last("told");
    });
    // A reload would lose what is only on screen: unkept wines, and an entry of the log not yet
    // added.
    let safe = move || {
        store.keeping.get() == Keeping::Saved
            && !matches!(store.page.get(), Page::Paper(_, Sheet::Log))
    };
    let alert = |text: String| with("role", "alert", line("p", "banner", text));
    let offer = |text: &str, label: &str, tap: Rc<dyn Fn(String)>| {
        with(
            "role",
            "status",
            el(
                "p",
                "banner",
                vec![Node::text(text), button("", label, tap)],
            ),
        )
    };
    let shown = move || {
        store.language.track();
        let mut all = match store.keeping.get() {
            Keeping::Saved => Vec::new(),
            Keeping::NotHere => vec![alert(words::DENIED.into())],
            Keeping::Failed(why) => vec![alert(why)],
        };
        let done = |text: &str, undo: Rc<dyn Fn(String)>, close: Rc<dyn Fn(String)>| {
            let parts = vec![
                Node::text(text),
                button("", words::UNDO, undo),
                button("", words::CLOSE, close),
            ];
            with("role", "status", el("p", "banner undo", parts))
        };
        if store.deleted.get().is_some() {
            all.push(done(
                words::DELETED,
                Rc::new(move |_| store.undo_delete()),
                Rc::new(move |_| store.deleted.set(None)),
            ));
        }
        if !store.dropped.get().is_empty() {
            all.push(done(
                words::ASIDE_OUT,
                Rc::new(move |_| store.undo_drop()),
                Rc::new(move |_| store.dropped.set(Vec::new())),
            ));
        }
        if let Some(undo) = store.undo.get() {
            all.push(done(
                undo.says,
                Rc::new(move |_| store.undo_edit()),
                Rc::new(move |_| store.undo.set(None)),
            ));
        }
        if update.get() && safe() {
            all.push(offer(words::UPDATE, words::UPDATE_NOW, reload.clone()));
        }
        if store.lasting.get() == words::KEEP_HOME {
            all.push(offer(words::KEEP_HOME, words::UNDERSTOOD, told.clone()));
        }
        all
    };
    vec![
        with(
            "role",
            "status",
            telling("div", "voice", Box::new(move || store.said.get())),
        ),
        live("div", "banners", Box::new(shown)),
    ]
}

/// One chip: its words, whether it is pressed, and what a tap does. Boxed, so that one piece of
/// code draws all of them.
pub struct Chip {
    /// Words on the chip.
    pub label: &'static str,
    /// Words read out, where the chip alone would not be understood.
    pub spoken: Option<String>,
    /// Whether it is pressed.
    pub on: Arc<dyn Fn(&Wine) -> bool + Send + Sync>,
    /// What a tap does.
    pub tap: Rc<dyn Fn(&mut Wine)>,
}

/// Chips of which one may be chosen; tapping it again takes the answer back.
pub fn choose_one<T: Copy + PartialEq + Send + Sync + 'static>(
    id: &str,
    legend: &'static str,
    options: &'static [T],
    label: fn(T) -> &'static str,
    get: fn(&Wine) -> Option<T>,
    set: fn(&mut Wine, Option<T>),
) -> Node {
    let chip = |o: T| Chip {
        label: label(o),
        spoken: None,
        on: Arc::new(move |w| get(w) == Some(o)),
        tap: Rc::new(move |w| {
            let next = if get(w) == Some(o) { None } else { Some(o) };
            set(w, next);
        }),
    };
    chips(id, legend, options.iter().map(|o| chip(*o)).collect())
}

/// Chips of which several may be chosen.
pub fn choose_many<T: Copy + PartialEq + Send + Sync + 'static>(
    id: &str,
    legend: &'static str,
    options: &'static [T],
    label: fn(T) -> &'static str,
    list: fn(&mut Wine) -> &mut Vec<T>,
    has: fn(&Wine, T) -> bool,
) -> Node {
    let chip = |o: T| Chip {
        label: label(o),
        spoken: None,
        on: Arc::new(move |w| has(w, o)),
        tap: Rc::new(move |w| {
            let list = list(w);
            match list.iter().position(|x| *x == o) {
                Some(at) => {
                    list.remove(at);
                }
                None => list.push(o),
            }
        }),
    };
    chips(id, legend, options.iter().map(|o| chip(*o)).collect())
}

/// A group of chips under its legend.
pub fn chips(id: &str, legend: &'static str, options: Vec<Chip>) -> Node {
    let store = store();
    let id: Rc<str> = id.into();
    let many = options.len();
    let (mut buttons, mut marks) = (Vec::new(), Vec::new());
    for Chip {
        label,
        spoken,
        on,
        tap,
    } in options
    {
        let of = id.clone();
        let mut chip = button(
            "chip",
            label,
            Rc::new(move |_| store.edit(&of, &mut |w| tap(w))),
        );
        if let Some(spoken) = spoken {
            chip = with("aria-label", spoken, chip);
        }
        marks.push((chip.clone(), on));
        buttons.push(chip);
    }
    // One effect for all of them: the wine is looked up once.
    follow(Box::new(move || {
        let wine = store.wine(&id);
        for (chip, on) in &marks {
            let pressed = wine.as_ref().is_some_and(|w| on(w));
            with(
                "aria-pressed",
                if pressed { "true" } else { "false" },
                chip.clone(),
            );
        }
    }));
    let mut parts = vec![line("legend", "", legend)];
    if many > LONG {
        parts.push(sieve(legend, buttons.clone(), false));
    }
    parts.push(el("div", "chips", buttons));
    el("fieldset", "", parts)
}

/// Longer lists get a field to find something in them.
pub const LONG: usize = 12;

/// A field that leaves of the rows those that hold what is typed; a chosen chip always stays. What
/// is typed over the one list of a page
/// stands in the address, so that it survives a reload and the way back.
pub fn sieve(of: impl Words, rows: Vec<Node>, kept: bool) -> Node {
    sieve_growing(of, Growing::whole(rows), kept)
}

/// The same over a list that may not be drawn to its end yet.
pub fn sieve_growing(of: impl Words, rows: Rc<Growing>, kept: bool) -> Node {
    let left = with("role", "status", line("p", "soft", ""));
    let says = left.clone();
    let look = move |typed: &str| {
        let wanted = show::lower(typed.trim());
        let (mut all, mut found) = (0_usize, 0_usize);
        rows.each(|row| {
            let e = row.element();
            // What can be done with a wine stands in its row too, in every one the same.
            let named = e.query_selector(".wine").ok().flatten();
            let text = named
                .as_ref()
                .unwrap_or(e)
                .text_content()
                .unwrap_or_default();
            let stays = e.get_attribute("aria-pressed").is_some_and(|p| p == "true")
                || show::lower(&text).contains(&wanted);
            all += 1;
            found += usize::from(stays);
            let _set = if stays {
                e.remove_attribute("hidden")
            } else {
                e.set_attribute("hidden", "")
            };
            if stays
                && !wanted.is_empty()
                && let Ok(Some(fold)) = e.closest("details")
            {
                let _open = fold.set_attribute("open", "");
            }
        });
        says.say(&if wanted.is_empty() {
            String::new()
        } else {
            format!("{found} of {all}")
        });
    };
    let start = if kept { page::find() } else { String::new() };
    if !start.is_empty() {
        look(&start);
    }
    let mut input = line("input", "", "");
    for (attribute, value) in [
        ("type", "search"),
        ("autocomplete", "off"),
        ("placeholder", &paper::said(&words::FIND)),
        (
            "aria-label",
            &format!("{}: {}", words::FIND, paper::said(&of)),
        ),
        ("value", &start),
    ] {
        input = with(attribute, value, input);
    }
    let typed = move |text: String| {
        look(&text);
        if kept {
            page::keep_find(&text);
        }
    };
    el(
        "div",
        "sieve",
        vec![Node::on("input", Rc::new(typed), input), left],
    )
}

/// What a wine says in a field; None where the field has nothing to say of it now.
pub type Says = Box<Told>;
/// The same, in a box or shared.
type Told = dyn Fn(&Wine) -> Option<String>;
/// Writes what is typed in a field into a wine.
pub type Sets = Box<dyn Fn(&mut Wine, String)>;

/// A text field that keeps what is typed, readable or not, and says how to mend what is not.
pub fn field(
    id: &str,
    wine: &Wine,
    name: &str,
    label: String,
    numeric: bool,
    says: Says,
    set: Sets,
) -> Node {
    let store = store();
    let (of, name): (Rc<str>, String) = (id.into(), name.into());
    let element = ["field-", &name.replace('.', "-")].concat();
    let hint = [&element, "-hint"].concat();
    let mut input = el("input", "", Vec::new());
    for (attribute, value) in [
        ("id", element.as_str()),
        ("type", "text"),
        ("inputmode", if numeric { "decimal" } else { "text" }),
        ("autocomplete", "off"),
        ("value", &says(wine).unwrap_or_default()),
        ("aria-describedby", &hint),
        ("aria-invalid", "false"),
    ] {
        input = with(attribute, value, input);
    }
    let input = bind(id, wine, input, says, set);
    let mend = with("id", &hint, with("role", "status", line("p", "mend", "")));
    let (field, hint, mut before) = (input.clone(), mend.clone(), None);
    follow(Box::new(move || {
        let now = store.wine(&of).and_then(|w| {
            w.errors()
                .into_iter()
                .find(|e| e.field == name)
                .map(|e| e.expected)
        });
        // Only what changed is said, since it is read out.
        if before != now {
            with(
                "aria-invalid",
                if now.is_some() { "true" } else { "false" },
                field.clone(),
            );
            hint.say(now.as_deref().unwrap_or_default());
            before = now;
        }
    }));
    el(
        "div",
        "field",
        vec![with("for", &element, line("label", "", label)), input, mend],
    )
}

/// Binds a field to a wine: what is typed in it is kept, and what is changed elsewhere shows in it.
/// Not while it is typed into: then what
/// stands in it counts, and is kept once more where another tab wrote an older text over it.
pub fn bind(id: &str, wine: &Wine, input: Node, says: Says, set: Sets) -> Node {
    let store = store();
    let id: Rc<str> = id.into();
    let says: Rc<Told> = says.into();
    let of = id.clone();
    // What the wine said when it was shown here or typed here last.
    let known = Rc::new(RefCell::new(says(wine)));
    let (own, own_says) = (known.clone(), says.clone());
    let typed: Rc<dyn Fn(String)> = Rc::new(move |text: String| {
        store.edit(&of, &mut |w| set(w, text.clone()));
        own.replace(store.of(&of, |w| own_says(w)).flatten());
    });
    let input = Node::on("input", typed.clone(), input);
    let field = input.clone();
    follow(Box::new(move || {
        let Some(now) = store.wine(&id).and_then(|w| says(&w)) else {
            return;
        };
        if known.borrow().as_ref() == Some(&now) {
            return;
        }
        match paper::typed_into(&field) {
            Some(text) => typed(text),
            None => {
                paper::put_into(&field, &now);
                known.replace(Some(now));
            }
        }
    }));
    input
}

/// A fact with its standing and source behind it.
pub fn fact(f: &Fact) -> Node {
    el(
        "li",
        "",
        vec![
            line("span", "", f.text),
            line("span", "standing", standing(f.standing.label(), f.source)),
        ],
    )
}

/// A list entry: what is said, and how it is known.
pub fn known(what: Vec<Node>, how: String) -> Node {
    el(
        "li",
        "",
        vec![el("span", "", what), line("span", "standing", how)],
    )
}

/// “read · B2”.
pub fn standing(standing: &str, source: &str) -> String {
    if source.is_empty() {
        standing.to_string()
    } else {
        format!("{standing} · {source}")
    }
}

/// A heading over facts; nothing where there are none.
pub fn facts(heading: &str, list: &[Fact]) -> Option<Node> {
    entries(heading, list.iter().map(fact).collect())
}

/// A heading over list entries; nothing where there are none.
pub fn entries(heading: &str, list: Vec<Node>) -> Option<Node> {
    (!list.is_empty()).then(|| section(heading, vec![el("ul", "facts", list)]))
}

/// A heading over plain sentences; nothing where there are none.
pub fn sentences(heading: &str, list: &[&'static str]) -> Option<Node> {
    entries(heading, list.iter().map(|t| line("li", "", *t)).collect())
}
