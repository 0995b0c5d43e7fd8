//! Results as JSON: serde's derived descriptions of them, written by a small writer of our own. serde's own writer is copied
//! into every field of every type.

use super::quote;
use serde::ser::{self, Serialize};

/// Anything as JSON without spaces; an empty text where it cannot be written, which no result of ours does.
pub fn to_text<T: Serialize + ?Sized>(thing: &T) -> String {
    let mut out = Writer { out: String::new(), first: true };
    match thing.serialize(&mut out) {
        Ok(()) => out.out,
        Err(Failed) => String::new(),
    }
}

/// It cannot be written.
#[derive(Debug)]
pub struct Failed;

impl std::fmt::Display for Failed {
    fn fmt(&self, _: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        Ok(())
    }
}
impl std::error::Error for Failed {}
impl ser::Error for Failed {
    fn custom<T: std::fmt::Display>(_: T) -> Failed {
        Failed
    }
}

struct Writer {
    out: String,
    /// Whether nothing stands yet in the list or object that is open.
    first: bool,
}

impl Writer {
    fn open(&mut self, c: char) {
        self.out.push(c);
        self.first = true;
    }
    fn close(&mut self, c: char) {
        self.out.push(c);
        self.first = false;
    }
    fn comma(&mut self) {
        if !std::mem::take(&mut self.first) {
            self.out.push(',');
        }
    }
    fn key(&mut self, name: &str) {
        self.comma();
        quote(&mut self.out, name);
        self.out.push(':');
    }
}

type Done = Result<(), Failed>;

macro_rules! numbers {
    ($($method:ident $kind:ident;)*) => { $(
        fn $method(self, n: $kind) -> Done {
            self.out.push_str(&n.to_string());
            Ok(())
        }
    )* };
}

impl<'a> ser::Serializer for &'a mut Writer {
    type Ok = ();
    type Error = Failed;
    type SerializeSeq = &'a mut Writer;
    type SerializeTuple = &'a mut Writer;
    type SerializeTupleStruct = &'a mut Writer;
    type SerializeTupleVariant = &'a mut Writer;
    type SerializeMap = &'a mut Writer;
    type SerializeStruct = &'a mut Writer;
    type SerializeStructVariant = &'a mut Writer;

    numbers! { serialize_i8 i8; serialize_i16 i16; serialize_i32 i32; serialize_i64 i64; serialize_u8 u8; serialize_u16 u16; serialize_u32 u32; serialize_u64 u64; }

    fn serialize_bool(self, b: bool) -> Done {
        self.out.push_str(if b { "true" } else { "false" });
        Ok(())
    }
    fn serialize_f32(self, n: f32) -> Done {
        self.serialize_f64(n.into())
    }
    fn serialize_f64(self, n: f64) -> Done {
        match serde_json::Number::from_f64(n) {
            Some(n) => self.out.push_str(&n.to_string()),
            None => self.out.push_str("null"),
        }
        Ok(())
    }
    fn serialize_char(self, c: char) -> Done {
        self.serialize_str(c.encode_utf8(&mut [0; 4]))
    }
    fn serialize_str(self, text: &str) -> Done {
        quote(&mut self.out, text);
        Ok(())
    }
    fn serialize_bytes(self, bytes: &[u8]) -> Done {
        bytes.serialize(self)
    }
    fn serialize_none(self) -> Done {
        self.serialize_unit()
    }
    fn serialize_some<T: Serialize + ?Sized>(self, inner: &T) -> Done {
        inner.serialize(self)
    }
    fn serialize_unit(self) -> Done {
        self.out.push_str("null");
        Ok(())
    }
    fn serialize_unit_struct(self, _: &'static str) -> Done {
        self.serialize_unit()
    }
    fn serialize_unit_variant(self, _: &'static str, _: u32, name: &'static str) -> Done {
        self.serialize_str(name)
    }
    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, inner: &T) -> Done {
        inner.serialize(self)
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(self, _: &'static str, _: u32, name: &'static str, inner: &T) -> Done {
        self.open('{');
        self.key(name);
        inner.serialize(&mut *self)?;
        self.close('}');
        Ok(())
    }
    fn serialize_seq(self, _: Option<usize>) -> Result<Self, Failed> {
        self.open('[');
        Ok(self)
    }
    fn serialize_tuple(self, _: usize) -> Result<Self, Failed> {
        self.serialize_seq(None)
    }
    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self, Failed> {
        self.serialize_seq(None)
    }
    fn serialize_map(self, _: Option<usize>) -> Result<Self, Failed> {
        self.open('{');
        Ok(self)
    }
    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, Failed> {
        self.serialize_map(None)
    }
    // A variant with fields stands in an object of its own; no result of ours has one that is not tagged.
    fn serialize_tuple_variant(self, _: &'static str, _: u32, _: &'static str, _: usize) -> Result<Self, Failed> {
        Err(Failed)
    }
    fn serialize_struct_variant(self, _: &'static str, _: u32, _: &'static str, _: usize) -> Result<Self, Failed> {
        Err(Failed)
    }
}

macro_rules! sequence {
    ($($name:ident $method:ident;)*) => { $(
        impl ser::$name for &mut Writer {
            type Ok = ();
            type Error = Failed;
            fn $method<T: Serialize + ?Sized>(&mut self, inner: &T) -> Done {
                self.comma();
                inner.serialize(&mut **self)
            }
            fn end(self) -> Done {
                self.close(']');
                Ok(())
            }
        }
    )* };
}
sequence! { SerializeSeq serialize_element; SerializeTuple serialize_element; SerializeTupleStruct serialize_field; SerializeTupleVariant serialize_field; }

macro_rules! object {
    ($($name:ident)*) => { $(
        impl ser::$name for &mut Writer {
            type Ok = ();
            type Error = Failed;
            fn serialize_field<T: Serialize + ?Sized>(&mut self, name: &'static str, inner: &T) -> Done {
                self.key(name);
                inner.serialize(&mut **self)
            }
            fn end(self) -> Done {
                self.close('}');
                Ok(())
            }
        }
    )* };
}
object! { SerializeStruct SerializeStructVariant }

impl ser::SerializeMap for &mut Writer {
    type Ok = ();
    type Error = Failed;
    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Done {
        self.comma();
        key.serialize(&mut **self)
    }
    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Done {
        self.out.push(':');
        value.serialize(&mut **self)
    }
    fn end(self) -> Done {
        self.close('}');
        Ok(())
    }
}
