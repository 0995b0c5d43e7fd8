//! A long list of which the beginning is drawn at once and the rest little by little: the page
//! stands soon, and no tap waits for rows
//! that are far below.

use super::paper::{Node, replace};
use leptos::prelude::set_timeout;
use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

/// Rows drawn at once: more than a large screen shows.
const FIRST: usize = 24;
/// Rows drawn in one go after that: a few milliseconds on a phone.
const SLICE: usize = 60;

/// The rows of a list, in part still to come.
pub struct Growing {
    list: Node,
    rows: RefCell<Vec<Node>>,
    rest: RefCell<Box<dyn Iterator<Item = Node>>>,
}

impl Growing {
    /// Rows that all stand already, wherever they are.
    pub fn whole(rows: Vec<Node>) -> Rc<Growing> {
        Rc::new(Growing {
            list: Node::own(""),
            rows: RefCell::new(rows),
            rest: RefCell::new(Box::new(std::iter::empty())),
        })
    }

    /// A list that is still empty.
    pub fn empty(list: Node) -> Rc<Growing> {
        Rc::new(Growing {
            list,
            rows: RefCell::default(),
            rest: RefCell::new(Box::new(std::iter::empty())),
        })
    }

    /// Begins to draw rows in place of those that stand there. What had the focus has it again.
    pub fn fill(self: &Rc<Self>, mut rows: Box<dyn Iterator<Item = Node>>) {
        let first: Vec<Node> = rows.by_ref().take(FIRST).collect();
        replace(self.list.element(), &first);
        self.rows.replace(first);
        *self.rest.borrow_mut() = rows;
        self.clone().go_on();
    }

    /// Draws so many more and says whether there were so many.
    fn draw(&self, many: usize) -> bool {
        let more: Vec<Node> = self.rest.borrow_mut().by_ref().take(many).collect();
        for row in &more {
            self.list.hold(row);
        }
        let full = more.len() == many;
        self.rows.borrow_mut().extend(more);
        full
    }

    fn go_on(self: Rc<Self>) {
        // A list that is gone from the page needs no more rows.
        let more = move || {
            if self.list.element().is_connected() && self.draw(SLICE) {
                self.go_on();
            }
        };
        set_timeout(more, Duration::ZERO);
    }

    /// Calls `see` for every row; what is still to come is drawn first.
    pub fn each(&self, see: impl FnMut(&Node)) {
        self.draw(usize::MAX);
        self.rows.borrow().iter().for_each(see);
    }
}
