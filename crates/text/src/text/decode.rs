//! How values become documents.

use super::fields::Fields;
use super::node::{Node, Reader, shortened};
use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::Span;
use crate::suggest::did_you_mean_one_of;

/// A type that is read from one value.
pub trait Decode: Sized {
    /// Reads the value. `None` if it cannot be understood, which is reported.
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self>;

    /// What an absent field stands for; `None` if the field is needed.
    fn absent() -> Option<Self> {
        None
    }
}

/// A type that is read from named fields, so that more fields can stand beside its own.
pub trait FromFields: Sized {
    /// The words one of which stands before the fields; none for a plain struct.
    const CHOICES: &'static [&'static str];

    /// Takes its own fields.
    fn from_fields(choice: &str, fields: &mut Fields<'_>, reader: &mut Reader<'_>) -> Option<Self>;
}

impl<T: FromFields> FromFields for Box<T> {
    const CHOICES: &'static [&'static str] = T::CHOICES;

    fn from_fields(choice: &str, fields: &mut Fields<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        T::from_fields(choice, fields, reader).map(Box::new)
    }
}

/// Reads a type from named fields, together with more fields that `more` takes.
pub fn decode_fields<T: FromFields, M>(
    node: Node<'_>,
    reader: &mut Reader<'_>,
    more: impl FnOnce(&mut Fields<'_>, &mut Reader<'_>) -> Option<M>,
) -> Option<(T, M)> {
    let (choice, payload) = if T::CHOICES.is_empty() {
        ("", node)
    } else {
        choose(node, T::CHOICES, reader)?
    };
    let mut fields = Fields::read(payload, reader)?;
    let more = more(&mut fields, reader);
    let value = T::from_fields(choice, &mut fields, reader);
    fields.finish(reader);
    Some((value?, more?))
}

/// The word of a value, which must be one of these, and what stands in its parentheses.
pub fn choose<'t>(
    node: Node<'t>,
    choices: &'static [&'static str],
    reader: &mut Reader<'_>,
) -> Option<(&'t str, Node<'t>)> {
    let Some((word, payload)) = node.choice() else {
        let list: Vec<String> = choices.iter().map(|word| format!("`{word}`")).collect();
        reader.wrong_type(node, &format!("one of {}", list.join(", ")));
        return None;
    };
    if !choices.contains(&word) {
        let message = format!("`{word}` is not known here");
        let problem = Diagnostic::error(ids::UNKNOWN_CHOICE, node.head(), message);
        reader.report(problem.help(did_you_mean_one_of(word, choices)));
        return None;
    }
    Some((word, payload))
}

/// A type that is read from what stands in the parentheses behind a word.
pub trait Payload: Sized {
    /// Reads the parentheses.
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self>;
}

/// The values in parentheses, which must be so many.
pub fn positions<'t>(
    node: Node<'t>,
    count: usize,
    reader: &mut Reader<'_>,
) -> Option<Vec<Node<'t>>> {
    let mut values = Vec::with_capacity(count);
    let pieces = node.in_parentheses().into_iter().flatten();
    for piece in pieces.take_while(|piece| !piece.is_named) {
        values.push(reader.inner(&piece));
    }
    if values.len() != count {
        let plural = if count == 1 { "value" } else { "values" };
        reader.wrong_type(node, &format!("{count} {plural} in parentheses"));
        return None;
    }
    Some(values)
}

impl<A: Decode, B: Decode> Payload for (A, B) {
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let values = positions(node, 2, reader)?;
        let first = A::decode(values[0], reader);
        let second = B::decode(values[1], reader);
        Some((first?, second?))
    }
}

/// The one value in parentheses.
pub fn one<T: Decode>(node: Node<'_>, reader: &mut Reader<'_>) -> Option<T> {
    let values = positions(node, 1, reader)?;
    T::decode(values[0], reader)
}

impl<T: Decode> Payload for Vec<T> {
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        one(node, reader)
    }
}

impl<T: Decode> Payload for Box<T> {
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        one(node, reader)
    }
}

impl<T: Decode> Decode for Option<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.choice() {
            Some(("None", _)) => Some(None),
            Some(("Some", payload)) => {
                let values = positions(payload, 1, reader)?;
                T::decode(values[0], reader).map(Some)
            }
            _ => T::decode(node, reader).map(Some),
        }
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl<T: Decode> Decode for Box<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        T::decode(node, reader).map(Box::new)
    }
}

/// A list. Entries that cannot be understood are reported and left out.
impl<T: Decode> Decode for Vec<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Some(values) = node.in_list() else {
            reader.wrong_type(node, "a list, as in `[…]`");
            return None;
        };
        let mut list = Vec::with_capacity(values.least_count());
        for value in values {
            let value = reader.inner(&value);
            list.extend(T::decode(value, reader));
        }
        Some(list)
    }

    fn absent() -> Option<Self> {
        Some(Vec::new())
    }
}

/// A plain text with its place.
#[derive(Clone, Debug)]
pub struct Name {
    /// The text.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

impl Decode for Name {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        match node.string() {
            Some(text) => Some(Self {
                text,
                span: node.span,
            }),
            None => {
                let found = shortened(node.text);
                reader.wrong_type(node, &format!("a text in quotes, found `{found}`"));
                None
            }
        }
    }
}

/// A map from names, in the order of the text. Names given twice are kept: whoever uses the map
/// reports of them.
#[derive(Debug)]
pub struct Entries<T> {
    /// The entries.
    pub list: Vec<Entry<T>>,
    /// Whether every name could be read: if not, one that is not found may well be there.
    pub is_whole: bool,
}

impl<T> Entries<T> {
    /// A map that could not be read, which has been reported.
    pub const fn broken() -> Self {
        Self {
            list: Vec::new(),
            is_whole: false,
        }
    }

    /// Adds the entries of another map behind its own.
    pub fn append(&mut self, other: Self) {
        self.list.extend(other.list);
        self.is_whole &= other.is_whole;
    }

    /// The entry of a name, the first one if there are several.
    pub fn get(&self, name: &str) -> Option<&Entry<T>> {
        self.list.iter().find(|entry| entry.name.text == name)
    }

    /// All names, in the order of the text.
    pub fn names(&self) -> impl Iterator<Item = &str> + Clone {
        self.list.iter().map(|entry| entry.name.text.as_str())
    }
}

/// One entry of a map.
#[derive(Debug)]
pub struct Entry<T> {
    /// Its name.
    pub name: Name,
    /// Its value; `None` if it could not be understood, which has been reported.
    pub value: Option<T>,
}

impl<T: Decode> Decode for Entries<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let Some(mut pieces) = node.in_map() else {
            reader.wrong_type(node, "a map, as in `{\"name\": …}`");
            return None;
        };
        let mut list = Vec::with_capacity(pieces.least_count());
        let mut is_whole = true;
        while let (Some(key), Some(value)) = (pieces.next(), pieces.next()) {
            let key = reader.inner(&key);
            let value = reader.inner(&value);
            let name = Name::decode(key, reader);
            let value = T::decode(value, reader);
            match name {
                Some(name) => list.push(Entry { name, value }),
                None => is_whole = false,
            }
        }
        Some(Self { list, is_whole })
    }

    fn absent() -> Option<Self> {
        Some(Self {
            list: Vec::new(),
            is_whole: true,
        })
    }
}

/// Something that is reported with the place where it stands.
#[derive(Debug)]
pub struct Spanned<T> {
    /// Where it stands.
    pub span: Span,
    /// The thing.
    pub value: T,
}

impl<T: Decode> Decode for Spanned<T> {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let span = node.span;
        T::decode(node, reader).map(|value| Self { span, value })
    }
}
