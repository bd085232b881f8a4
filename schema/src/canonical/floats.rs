//! Finds out whether a value holds a float anywhere, by writing it to nowhere.
//!
//! The JSON writers turn a float that is not a number into `null` without a word, so the text does not
//! show it. Signed data hold no floats at all.

use std::fmt;

use serde::Serialize;
use serde::ser::{
    SerializeMap, SerializeSeq, SerializeStruct, SerializeStructVariant, SerializeTuple,
    SerializeTupleStruct, SerializeTupleVariant, Serializer,
};

/// Does the value hold a float, or can it not be written?
pub(super) fn has_float<T: Serialize + ?Sized>(value: &T) -> bool {
    value.serialize(NoFloats).is_err()
}

/// Writes nothing, and fails at the first float.
struct NoFloats;

type Done = Result<(), fmt::Error>;
type Open = Result<NoFloats, fmt::Error>;

/// Methods that take one plain value and are content with it.
macro_rules! content {
    ($($method:ident($kind:ty)),* $(,)?) => {
        $(fn $method(self, _: $kind) -> Done { Ok(()) })*
    };
}

impl Serializer for NoFloats {
    type Ok = ();
    type Error = fmt::Error;
    type SerializeSeq = Self;
    type SerializeTuple = Self;
    type SerializeTupleStruct = Self;
    type SerializeTupleVariant = Self;
    type SerializeMap = Self;
    type SerializeStruct = Self;
    type SerializeStructVariant = Self;

    content!(
        serialize_bool(bool),
        serialize_i8(i8),
        serialize_i16(i16),
        serialize_i32(i32),
        serialize_i64(i64),
        serialize_i128(i128),
        serialize_u8(u8),
        serialize_u16(u16),
        serialize_u32(u32),
        serialize_u64(u64),
        serialize_u128(u128),
        serialize_char(char),
        serialize_str(&str),
        serialize_bytes(&[u8]),
        serialize_unit_struct(&'static str),
    );

    fn serialize_f32(self, _: f32) -> Done {
        Err(fmt::Error)
    }

    fn serialize_f64(self, _: f64) -> Done {
        Err(fmt::Error)
    }

    fn serialize_none(self) -> Done {
        Ok(())
    }

    fn serialize_unit(self) -> Done {
        Ok(())
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Done {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Done {
        value.serialize(self)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Done {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        value: &T,
    ) -> Done {
        value.serialize(self)
    }

    fn serialize_seq(self, _: Option<usize>) -> Open {
        Ok(self)
    }

    fn serialize_tuple(self, _: usize) -> Open {
        Ok(self)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Open {
        Ok(self)
    }

    fn serialize_tuple_variant(self, _: &'static str, _: u32, _: &'static str, _: usize) -> Open {
        Ok(self)
    }

    fn serialize_map(self, _: Option<usize>) -> Open {
        Ok(self)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Open {
        Ok(self)
    }

    fn serialize_struct_variant(self, _: &'static str, _: u32, _: &'static str, _: usize) -> Open {
        Ok(self)
    }
}

/// Compounds whose parts have no name.
macro_rules! list {
    ($($kind:ident::$method:ident),* $(,)?) => {
        $(impl $kind for NoFloats {
            type Ok = ();
            type Error = fmt::Error;

            fn $method<T: Serialize + ?Sized>(&mut self, value: &T) -> Done {
                value.serialize(NoFloats)
            }

            fn end(self) -> Done {
                Ok(())
            }
        })*
    };
}

list!(
    SerializeSeq::serialize_element,
    SerializeTuple::serialize_element,
    SerializeTupleStruct::serialize_field,
    SerializeTupleVariant::serialize_field,
);

/// Compounds whose parts have a fixed name.
macro_rules! record {
    ($($kind:ident),* $(,)?) => {
        $(impl $kind for NoFloats {
            type Ok = ();
            type Error = fmt::Error;

            fn serialize_field<T: Serialize + ?Sized>(&mut self, _: &'static str, value: &T) -> Done {
                value.serialize(NoFloats)
            }

            fn end(self) -> Done {
                Ok(())
            }
        })*
    };
}

record!(SerializeStruct, SerializeStructVariant);

impl SerializeMap for NoFloats {
    type Ok = ();
    type Error = fmt::Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Done {
        key.serialize(NoFloats)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Done {
        value.serialize(NoFloats)
    }

    fn end(self) -> Done {
        Ok(())
    }
}
