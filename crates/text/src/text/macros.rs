//! Declares document types: what is written in them is the language.

/// A struct read from named fields. `Option`, `Vec` and `Entries` may be left out in the text.
#[macro_export]
macro_rules! document {
    ($($(#[$meta:meta])* $visibility:vis struct $name:ident {
        $($(#[$field_meta:meta])* $field:ident: $type:ty,)*
    })*) => {$(
        $(#[$meta])*
        #[derive(Debug)]
        #[allow(dead_code, reason = "not every document's place is needed")]
        $visibility struct $name {
            /// The word that says what it is, or its first character.
            pub(crate) head: $crate::source::Span,
            /// Where all of it stands.
            pub(crate) span: $crate::source::Span,
            $($(#[$field_meta])* pub(crate) $field: $type,)*
        }

        impl $crate::text::FromFields for $name {
            const CHOICES: &'static [&'static str] = &[];

            #[allow(unused_variables, reason = "some documents have no fields")]
            fn from_fields(
                _choice: &str,
                fields: &mut $crate::text::Fields<'_>,
                reader: &mut $crate::text::Reader<'_>,
            ) -> Option<Self> {
                $(let $field = fields.take::<$type>(stringify!($field), reader);)*
                Some(Self { head: fields.head(), span: fields.span(), $($field: $field?,)* })
            }
        }

        impl $crate::text::Decode for $name {
            fn decode(
                node: $crate::text::Node<'_>,
                reader: &mut $crate::text::Reader<'_>,
            ) -> Option<Self> {
                let mut fields = $crate::text::Fields::read(node, reader)?;
                let value = <Self as $crate::text::FromFields>::from_fields("", &mut fields, reader);
                fields.finish(reader);
                value
            }
        }

        impl $crate::text::Payload for $name {
            fn from_payload(
                node: $crate::text::Node<'_>,
                reader: &mut $crate::text::Reader<'_>,
            ) -> Option<Self> {
                <Self as $crate::text::Decode>::decode(node, reader)
            }
        }
    )*};
}

/// An enum each of whose choices is a word with named fields.
#[macro_export]
macro_rules! kinds_of {
    ($(#[$meta:meta])* $visibility:vis enum $name:ident {
        $($(#[$choice_meta:meta])* $choice:ident($type:ty),)*
    }) => {
        $(#[$meta])*
        #[derive(Debug)]
        $visibility enum $name {
            $($(#[$choice_meta])*
            #[allow(dead_code, reason = "of some parts there is nothing more to say")]
            $choice($type),)*
        }

        impl $crate::text::FromFields for $name {
            const CHOICES: &'static [&'static str] = &[$(stringify!($choice),)*];

            fn from_fields(
                choice: &str,
                fields: &mut $crate::text::Fields<'_>,
                reader: &mut $crate::text::Reader<'_>,
            ) -> Option<Self> {
                match choice {
                    $(stringify!($choice) => {
                        <$type as $crate::text::FromFields>::from_fields("", fields, reader)
                            .map(Self::$choice)
                    })*
                    _ => None,
                }
            }
        }
    };
}

/// An enum whose choices are words, each alone or with something in parentheses.
#[macro_export]
macro_rules! choices {
    ($(#[$meta:meta])* $visibility:vis enum $name:ident {
        $($(#[$choice_meta:meta])* $choice:ident $(($type:ty))?,)*
    }) => {
        $(#[$meta])*
        #[derive(Debug)]
        $visibility enum $name {
            $($(#[$choice_meta])* $choice $(($type))?,)*
        }

        impl $crate::text::Decode for $name {
            fn decode(
                node: $crate::text::Node<'_>,
                reader: &mut $crate::text::Reader<'_>,
            ) -> Option<Self> {
                let words: &'static [&'static str] = &[$(stringify!($choice),)*];
                let (word, payload) = $crate::text::choose(node, words, reader)?;
                match word {
                    $(stringify!($choice) => {
                        $crate::choices!(@read Self::$choice, payload, reader $(, $type)?)
                    })*
                    _ => None,
                }
            }
        }
    };
    (@read $choice:path, $payload:ident, $reader:ident) => {
        if $payload.text == "()" {
            Some($choice)
        } else {
            $reader.wrong_type($payload, "nothing in parentheses");
            None
        }
    };
    (@read $choice:path, $payload:ident, $reader:ident, $type:ty) => {
        <$type as $crate::text::Payload>::from_payload($payload, $reader).map($choice)
    };
}
