//! Pages and their addresses, behind the `#` so that they work from any folder and with no server.

use super::words;
use crate::message::Message;
use crate::wine::Problem;

/// A page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Page {
    /// The cellar book.
    Book,
    /// What is known of a wine.
    Wine(String),
    /// One question about it, from 1.
    Ask(String, usize),
    /// Treatments of a wine for a problem.
    Treatments(String, Option<Problem>),
    /// One treatment.
    Treatment(String, Problem, String),
    /// A bench trial of one treatment.
    Trial(String, String),
    /// Treatments side by side.
    Compare(String, Problem, Vec<String>),
    /// Routes: none named for the list, one, or two side by side.
    Routes(String, Vec<String>),
    /// How stable it is.
    Stability(String),
    /// Find the cause.
    Cause(String),
    /// What follows from the analyses.
    Follows(String),
    /// A sheet for paper.
    Paper(String, Sheet),
    /// A wine that a link carries.
    Handed(String),
    /// The user's defaults.
    Defaults,
    /// About the figures.
    Figures,
    /// The words of the trade.
    Words,
    /// No such page.
    Lost,
}

/// A sheet for paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// The work order.
    Order,
    /// What was done.
    Log,
    /// The record of fitness to bottle.
    Ready,
    /// What a laboratory is asked.
    Laboratory,
    /// A summary for the owner of the wine.
    Client,
}

impl Sheet {
    /// All, in the order shown.
    pub const ALL: [Sheet; 5] = [
        Sheet::Order,
        Sheet::Log,
        Sheet::Ready,
        Sheet::Laboratory,
        Sheet::Client,
    ];

    /// Its word in addresses and file names.
    pub const fn key(self) -> &'static str {
        match self {
            Sheet::Order => "order",
            Sheet::Log => "log",
            Sheet::Ready => "ready",
            Sheet::Laboratory => "laboratory",
            Sheet::Client => "summary",
        }
    }

    /// Its title.
    pub const fn label(self) -> &'static str {
        match self {
            Sheet::Order => words::WORK_ORDER,
            Sheet::Log => words::LOG,
            Sheet::Ready => words::READY,
            Sheet::Laboratory => words::REQUEST,
            Sheet::Client => words::CLIENT,
        }
    }
}

impl Page {
    /// The page that the address names.
    pub fn here() -> Page {
        let hash = web_sys::window()
            .and_then(|w| w.location().hash().ok())
            .unwrap_or_default();
        Page::read(
            hash.trim_start_matches('#')
                .split('?')
                .next()
                .unwrap_or_default(),
        )
    }

    /// From the part behind the `#`.
    pub fn read(path: &str) -> Page {
        let parts: Vec<&str> = path.split('/').filter(|p| !p.is_empty()).collect();
        match parts.as_slice() {
            [] | ["main"] => Page::Book,
            ["wine", id] => Page::Wine((*id).into()),
            ["wine", id, "ask", at] => match at.parse() {
                Ok(at) if (1..=super::questions::ASKED).contains(&at) => {
                    Page::Ask((*id).into(), at)
                }
                _ => Page::Lost,
            },
            ["wine", id, "routes", keys @ ..] => {
                Page::Routes((*id).into(), keys.iter().map(|k| (*k).into()).collect())
            }
            ["wine", id, "stability"] => Page::Stability((*id).into()),
            ["wine", id, "cause"] => Page::Cause((*id).into()),
            ["wine", id, "follows"] => Page::Follows((*id).into()),
            ["wine", id, "trial", key] => Page::Trial((*id).into(), (*key).into()),
            ["wine", id, "treatments"] => Page::Treatments((*id).into(), None),
            ["wine", id, "treatments", problem] => match Problem::from_key(problem) {
                Some(p) => Page::Treatments((*id).into(), Some(p)),
                None => Page::Lost,
            },
            ["wine", id, "treatments", problem, key] => match Problem::from_key(problem) {
                Some(p) => Page::Treatment((*id).into(), p, (*key).into()),
                None => Page::Lost,
            },
            ["wine", id, "compare", problem, keys] => match Problem::from_key(problem) {
                Some(p) => {
                    Page::Compare((*id).into(), p, keys.split('+').map(String::from).collect())
                }
                None => Page::Lost,
            },
            ["wine", id, sheet] => match Sheet::ALL.iter().find(|s| s.key() == *sheet) {
                Some(s) => Page::Paper((*id).into(), *s),
                None => Page::Lost,
            },
            ["add", packed] => Page::Handed((*packed).into()),
            ["defaults"] => Page::Defaults,
            ["figures"] => Page::Figures,
            ["words"] => Page::Words,
            _ => Page::Lost,
        }
    }

    /// The address, with its `#`.
    pub fn address(&self) -> String {
        match self {
            Page::Book | Page::Lost => "#/".into(),
            Page::Wine(id) => format!("#/wine/{id}"),
            Page::Ask(id, at) => format!("#/wine/{id}/ask/{at}"),
            Page::Treatments(id, None) => format!("#/wine/{id}/treatments"),
            Page::Treatments(id, Some(p)) => format!("#/wine/{id}/treatments/{}", p.key()),
            Page::Treatment(id, p, key) => format!("#/wine/{id}/treatments/{}/{key}", p.key()),
            Page::Compare(id, p, keys) => {
                format!("#/wine/{id}/compare/{}/{}", p.key(), keys.join("+"))
            }
            Page::Routes(id, keys) => keys
                .iter()
                .fold(format!("#/wine/{id}/routes"), |a, k| format!("{a}/{k}")),
            Page::Trial(id, key) => format!("#/wine/{id}/trial/{key}"),
            Page::Stability(id) => format!("#/wine/{id}/stability"),
            Page::Cause(id) => format!("#/wine/{id}/cause"),
            Page::Follows(id) => format!("#/wine/{id}/follows"),
            Page::Paper(id, sheet) => format!("#/wine/{id}/{}", sheet.key()),
            Page::Handed(packed) => format!("#/add/{packed}"),
            Page::Defaults => "#/defaults".into(),
            Page::Figures => "#/figures".into(),
            Page::Words => "#/words".into(),
        }
    }

    /// The wine that it is about.
    pub fn wine(&self) -> Option<&str> {
        match self {
            Page::Wine(id)
            | Page::Ask(id, _)
            | Page::Treatments(id, _)
            | Page::Treatment(id, _, _)
            | Page::Trial(id, _)
            | Page::Compare(id, _, _)
            | Page::Follows(id)
            | Page::Cause(id)
            | Page::Routes(id, _)
            | Page::Stability(id)
            | Page::Paper(id, _) => Some(id),
            Page::Book
            | Page::Handed(_)
            | Page::Defaults
            | Page::Figures
            | Page::Words
            | Page::Lost => None,
        }
    }

    /// Whether it comes in the second part of the page.
    pub const fn is_apart(&self) -> bool {
        !matches!(self, Page::Book | Page::Ask(..) | Page::Words | Page::Lost)
    }

    /// The title of the window.
    pub fn title(&self) -> Message {
        match self {
            Page::Book => words::BOOK,
            Page::Wine(_) => words::THE_WINE.into(),
            Page::Ask(..) => words::ASK.into(),
            Page::Treatments(_, Some(p)) => p.label().into(),
            // The page of a treatment puts the name there.
            Page::Treatments(_, None) | Page::Treatment(..) => words::TREATMENTS.into(),
            Page::Compare(..) => words::COMPARE.into(),
            Page::Routes(_, keys) if keys.is_empty() => words::ROUTES.into(),
            Page::Routes(..) => words::ROUTE.into(),
            Page::Trial(..) => words::TRIAL.into(),
            Page::Stability(_) => words::STABILITY.into(),
            Page::Cause(_) => words::CAUSE.into(),
            Page::Follows(_) => words::FOLLOWS.into(),
            Page::Paper(_, sheet) => sheet.label().into(),
            Page::Handed(_) => words::HANDED.into(),
            Page::Defaults => words::DEFAULTS,
            Page::Figures => words::FIGURES,
            Page::Words => words::WORDS,
            Page::Lost => words::LOST.into(),
        }
    }

    /// Goes there. The page hears of it before this returns, so that what was tapped is answered in
    /// the next frame: by itself the
    /// browser tells of a new address only after it.
    pub fn go(&self) {
        let (Some(window), address) = (web_sys::window(), self.address()) else {
            return;
        };
        if window.location().hash().is_ok_and(|h| h == address) {
            return;
        }
        let kept = window
            .history()
            .and_then(|h| h.push_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&address)));
        let told = kept
            .and_then(|()| web_sys::Event::new("hashchange"))
            .and_then(|e| window.dispatch_event(&e));
        if told.is_err() {
            let _set = window.location().set_hash(&address);
        }
    }
}

/// Puts words into the title of the window.
pub fn entitle(title: &(impl super::speech::Words + ?Sized)) {
    if let Some(document) = web_sys::window().and_then(|w| w.document()) {
        document.set_title(&format!("{} – Stillbright", super::paper::said(title)));
    }
}

/// Before what is typed to find something in the list of a page, at the end of its address.
const FIND: &str = "?find=";

/// What is typed to find something, from the address.
pub fn find() -> String {
    let hash = web_sys::window()
        .and_then(|w| w.location().hash().ok())
        .unwrap_or_default();
    let typed = hash.split_once(FIND).map_or("", |(_, t)| t);
    js_sys::decode_uri_component(typed)
        .ok()
        .and_then(|t| t.as_string())
        .unwrap_or_default()
}

/// Puts it there, in place: it is no step of the way back.
pub fn keep_find(typed: &str) {
    let Some(window) = web_sys::window() else {
        return;
    };
    let mut address = Page::here().address();
    if !typed.is_empty() {
        address.push_str(FIND);
        address.push_str(&String::from(js_sys::encode_uri_component(typed)));
    }
    let _kept = window
        .history()
        .and_then(|h| h.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&address)));
}
