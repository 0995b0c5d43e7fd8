//! Readers of the records of a file. Derived ones can also read a record from a list without names, which no file of ours
//! is, and that half of them is code over the wire.

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, Visitor};
use std::marker::PhantomData;

/// A record whose fields may each be left out.
pub trait Record: Default {
    /// Names of its fields.
    const FIELDS: &'static [&'static str];
    /// Reads the value of the field with this place in [`Record::FIELDS`].
    fn take<'de, A: MapAccess<'de>>(&mut self, field: usize, pairs: &mut A) -> Result<(), A::Error>;
}

/// A record from a map of its fields. An unknown field and one that stands twice are errors.
pub fn record<'de, D: Deserializer<'de>, T: Record>(reader: D) -> Result<T, D::Error> {
    struct Fields<T>(PhantomData<T>);
    impl<'de, T: Record> Visitor<'de> for Fields<T> {
        type Value = T;
        fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
            f.write_str("an object with named fields")
        }
        fn visit_map<A: MapAccess<'de>>(self, mut pairs: A) -> Result<T, A::Error> {
            let mut read = T::default();
            let mut seen = 0_u64;
            while let Some(field) = pairs.next_key_seed(Name(T::FIELDS))? {
                let bit = 1_u64.wrapping_shl(field as u32);
                if seen & bit != 0 {
                    return Err(A::Error::duplicate_field(T::FIELDS.get(field).copied().unwrap_or_default()));
                }
                seen |= bit;
                read.take(field, &mut pairs)?;
            }
            Ok(read)
        }
    }
    reader.deserialize_map(Fields(PhantomData))
}

/// Finds the place of a field by its name.
struct Name(&'static [&'static str]);

impl<'de> DeserializeSeed<'de> for Name {
    type Value = usize;
    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<usize, D::Error> {
        reader.deserialize_identifier(self)
    }
}

impl Visitor<'_> for Name {
    type Value = usize;
    fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str("the name of a field")
    }
    fn visit_str<E: Error>(self, name: &str) -> Result<usize, E> {
        self.0.iter().position(|f| *f == name).ok_or_else(|| E::unknown_field(name, self.0))
    }
}

/// Reads a struct by the names of its fields, all of them: one forgotten here does not compile.
macro_rules! reads {
    ($name:ident { $($field:ident),* $(,)? }) => {
        impl $crate::wine::reads::Record for $name {
            const FIELDS: &'static [&'static str] = &[$(stringify!($field)),*];
            fn take<'de, A: serde::de::MapAccess<'de>>(&mut self, field: usize, pairs: &mut A) -> Result<(), A::Error> {
                let $name { $($field),* } = self;
                let mut at = 0;
                $(
                    if field == at {
                        *$field = pairs.next_value()?;
                        return Ok(());
                    }
                    at += 1;
                )*
                let _past_the_last = at;
                Ok(())
            }
        }
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(reader: D) -> Result<Self, D::Error> { $crate::wine::reads::record(reader) }
        }
        const _: () = assert!(<$name as $crate::wine::reads::Record>::FIELDS.len() <= 64);
    };
}
pub(crate) use reads;

#[cfg(test)]
mod tests {
    use crate::wine::{PlanStep, Rung};

    #[test]
    fn names_unknown_and_repeated_fields_and_takes_no_list() {
        assert!(serde_json::from_str::<PlanStep>("{\"dose\":\"3\",\"treatment\":\"a\"}").is_ok_and(|s| s.treatment == "a" && s.dose.0 == "3"));
        assert!(serde_json::from_str::<Rung>("{}").is_ok_and(|r| r == Rung::default()));
        let wrong = |text: &str| serde_json::from_str::<PlanStep>(text).map_or_else(|e| e.to_string(), |_| String::new());
        assert!(wrong("{\"does\":1}").contains("unknown field `does`, expected `treatment` or `dose`"));
        assert!(wrong("{\"dose\":1,\"dose\":2}").contains("duplicate field `dose`"));
        assert!(wrong("[\"a\"]").contains("named fields"));
    }
}
