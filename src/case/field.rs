//! One field of a wine, checked: not given, given, or typed and not to be used.

use crate::units::{day::Day, show};
use crate::wine::InputError;

/// What was typed into one field.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Field<T> {
    /// Nothing was typed.
    #[default]
    NotGiven,
    /// The value, in the unit of the field.
    Given(T),
    /// Something was typed that cannot be used. Whoever needs the field says so in its answer.
    Unreadable(InputError),
}

impl<T> Field<T> {
    /// The value, where one was given.
    pub fn as_ref(&self) -> Option<&T> {
        match self {
            Field::Given(value) => Some(value),
            Field::NotGiven | Field::Unreadable(_) => None,
        }
    }

    /// What is wrong with what was typed.
    pub fn error(&self) -> Option<&InputError> {
        match self {
            Field::Unreadable(error) => Some(error),
            Field::NotGiven | Field::Given(_) => None,
        }
    }

    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        matches!(self, Field::NotGiven)
    }
}

impl<T: Copy> Field<T> {
    /// The value, where one was given. What cannot be read counts as not given here: the answer
    /// that uses it says so, by [`Field::error`] or by [`super::Case::errors`].
    pub fn given(&self) -> Option<T> {
        self.as_ref().copied()
    }
}

impl<T> Field<T> {
    /// The value by `show`, or what was typed where it cannot be used; empty where nothing was.
    fn shown(&self, show: impl Fn(&T) -> String) -> String {
        match self {
            Field::NotGiven => String::new(),
            Field::Given(value) => show(value),
            Field::Unreadable(error) => error.read.trim().to_string(),
        }
    }
}

impl Field<Day> {
    /// The day as it is shown; as it was typed where it cannot be read, empty where none was.
    pub fn words(&self) -> String {
        self.shown(|day| day.show())
    }
}

impl Field<f64> {
    /// The number as it is shown; as it was typed where it cannot be read, empty where none was.
    pub fn words(&self) -> String {
        self.shown(|value| show::plain(*value))
    }
}

impl<T> From<Option<Result<T, InputError>>> for Field<T> {
    fn from(read: Option<Result<T, InputError>>) -> Field<T> {
        match read {
            None => Field::NotGiven,
            Some(Ok(value)) => Field::Given(value),
            Some(Err(error)) => Field::Unreadable(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_read_is_neither_given_nor_empty() {
        let error = InputError {
            field: "volume".into(),
            read: "much".into(),
            expected: "Write a number.".into(),
        };
        let field: Field<f64> = Some(Err(error.clone())).into();
        assert_eq!(field.given(), None);
        assert_eq!(field.error(), Some(&error));
        assert!(!field.is_empty());
        assert_eq!(Field::from(Some(Ok(2.0))).given(), Some(2.0));
        assert!(Field::<f64>::from(None).is_empty());
    }
}
