//! A quantity beside the words a person typed for it.

use super::error::TypedError;
use super::quantity::{Density, Force, Length, Mass, Quantity, Ratio, Thickness};
use super::symbol::Typable;
use super::typed::read_kept;
use serde::de::{self, MapAccess, Visitor};
use serde::ser::SerializeStruct;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// How far a stored number may lie from what its text says, relative to the larger of the two.
const AGREEMENT: f64 = 1e-6;

/// A quantity as entered: its value, and what the person wrote with the unit made explicit.
///
/// In records it is an object whose key names the unit of the number:
/// `{"n":55.0,"entered":"55 N"}`. Reading one refuses a number that its text contradicts.
///
/// From a text with its unit, the same comes by [`str::parse`]:
///
/// ```
/// use tautbook_core::units::{Entered, Force};
/// let force: Entered<Force> = "12 lb 6 oz".parse().unwrap();
/// assert_eq!(force.value.lbf(), 12.375);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Entered<Q> {
    /// The quantity.
    pub value: Q,
    /// What was typed: trimmed, with ordinary digits, each unit written out.
    pub text: String,
}

impl<Q> fmt::Display for Entered<Q> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

impl<Q: Typable> FromStr for Entered<Q> {
    type Err = TypedError;

    fn from_str(text: &str) -> Result<Self, TypedError> {
        read_kept(text)
    }
}

impl<Q: Quantity> Serialize for Entered<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut object = serializer.serialize_struct("Entered", 2)?;
        object.serialize_field(Q::KEY, &self.value.stored())?;
        object.serialize_field("entered", &self.text)?;
        object.end()
    }
}

impl<'de, Q: Typable> Deserialize<'de> for Entered<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (value, text) = deserializer.deserialize_map(Object::<Q, true>(PhantomData))?;
        let kept: Self = read_kept(&text).map_err(de::Error::custom)?;
        let (stored, typed) = (value.stored(), kept.value.stored());
        if (stored - typed).abs() > AGREEMENT * stored.abs().max(typed.abs()) {
            return Err(de::Error::custom(format_args!(
                "\u{201c}{text}\u{201d} is {typed} {key}, but the record has {stored} {key} \
                 beside it; one of the two was changed",
                key = Q::KEY
            )));
        }
        Ok(Self { value, text })
    }
}

/// The object form, with the typed text or without.
struct Object<Q, const TEXT: bool>(PhantomData<Q>);

impl<'de, Q: Quantity, const TEXT: bool> Visitor<'de> for Object<Q, TEXT> {
    type Value = (Q, String);

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let entered = if TEXT { " and \"entered\"" } else { "" };
        write!(f, "a {} as an object with \"{}\"{entered}", Q::KIND, Q::KEY)
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let (mut value, mut text) = (None, None);
        while let Some(key) = map.next_key::<String>()? {
            if key == Q::KEY {
                if value.replace(map.next_value::<f64>()?).is_some() {
                    return Err(de::Error::duplicate_field(Q::KEY));
                }
            } else if TEXT && key == "entered" {
                if text.replace(map.next_value::<String>()?).is_some() {
                    return Err(de::Error::duplicate_field("entered"));
                }
            } else {
                return Err(de::Error::custom(format_args!(
                    "unknown key \"{key}\"; a {} is stored under \"{}\"",
                    Q::KIND,
                    Q::KEY
                )));
            }
        }
        let value = value.ok_or_else(|| de::Error::missing_field(Q::KEY))?;
        let text = match text {
            None if TEXT => return Err(de::Error::missing_field("entered")),
            text => text.unwrap_or_default(),
        };
        Ok((Q::from_stored(value).map_err(de::Error::custom)?, text))
    }
}

macro_rules! bare_serde {
    ($($name:ident)+) => { $(
        /// An object whose key names the unit, without a typed text.
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                let mut object = serializer.serialize_struct(stringify!($name), 1)?;
                object.serialize_field(Self::KEY, &self.stored())?;
                object.end()
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let object = Object::<Self, false>(PhantomData);
                deserializer.deserialize_map(object).map(|(value, _)| value)
            }
        }

        #[cfg(feature = "schema")]
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schema::<Self>(false)
            }
        }

        #[cfg(feature = "schema")]
        impl schemars::JsonSchema for Entered<$name> {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                concat!("Entered", stringify!($name)).into()
            }

            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schema::<$name>(true)
            }
        }
    )+ };
}

bare_serde! { Mass Force Length Thickness Ratio Density }

#[cfg(feature = "schema")]
fn schema<Q: Quantity>(entered: bool) -> schemars::Schema {
    let mut number = serde_json::json!({ "type": "number" });
    if Q::from_stored(-1.0).is_err() {
        number["minimum"] = 0.into();
    }
    let mut properties = serde_json::Map::new();
    properties.insert(Q::KEY.to_owned(), number);
    let mut required = vec![Q::KEY];
    if entered {
        properties.insert(
            "entered".to_owned(),
            serde_json::json!({ "type": "string", "description": "What was typed, with its unit" }),
        );
        required.push("entered");
    }
    schemars::json_schema!({
        "type": "object",
        "description": format!("A {}, the key naming the unit", Q::KIND),
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}
