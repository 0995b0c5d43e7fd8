//! Readers of the records of a file. Derived ones can also read a record from a list without names, which no file of ours
//! is, and that half of them is code over the wire.

use serde::de::{Deserializer, Error, MapAccess, Visitor};
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
            while let Some(name) = pairs.next_key::<String>()? {
                let Some((field, known)) = T::FIELDS.iter().enumerate().find(|(_, f)| **f == name) else {
                    return Err(A::Error::unknown_field(&name, T::FIELDS));
                };
                let bit = 1_u64.wrapping_shl(field as u32);
                if seen & bit != 0 {
                    return Err(A::Error::duplicate_field(known));
                }
                seen |= bit;
                read.take(field, &mut pairs)?;
            }
            Ok(read)
        }
    }
    reader.deserialize_map(Fields(PhantomData))
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
