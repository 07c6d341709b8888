//! Values that may depend on parameters.

use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::Span;
use crate::suggest::did_you_mean;
use crate::text::{Decode, Node, Payload, Reader, one, positions};

/// A number, text, flag or list, or a way to work one out.
#[derive(Clone, Debug)]
pub(crate) struct Expression {
    /// Where it stands.
    pub(crate) span: Span,
    /// What it is.
    pub(crate) kind: ExpressionKind,
}

/// The ways to write a value, each in as few bytes as can be: a large layout has hundreds of thousands.
#[derive(Clone, Debug)]
pub(crate) enum ExpressionKind {
    /// A whole number.
    Number(i64),
    /// A number with a fraction.
    Decimal(f64),
    /// `true` or `false`.
    Flag(bool),
    /// A text without parameters: a name or a time.
    Text(Box<str>),
    /// A text in which parameters are named.
    Template(Box<[Piece]>),
    /// A list.
    List(Box<[Expression]>),
    /// An operator with what it works on.
    Operation(Operator, Box<[Expression]>),
}

/// A piece of a text in which parameters are named.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Piece {
    /// Plain text.
    Plain(String),
    /// The value of a parameter.
    Parameter(String),
}

/// What can be done with values.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Operator {
    /// `Plus(a, b)`.
    Plus,
    /// `Minus(a, b)`.
    Minus,
    /// `Times(a, b)`.
    Times,
    /// `Divided(a, b)`, rounded down.
    Divided,
    /// `Remainder(a, b)`, never negative for positive `b`.
    Remainder,
    /// `Is(a, b)`: whether two values are equal.
    Is,
    /// `Below(a, b)`: whether one number is below another.
    Below,
    /// `Not(a)`.
    Not,
    /// `Both(a, b)`.
    Both,
    /// `Either(a, b)`.
    Either,
    /// `If(condition, then, otherwise)`.
    If,
    /// `Pick(list, number)`, from 0.
    Pick,
    /// `Length(list)`.
    Length,
}

impl Operator {
    /// Every operator: its word and how many values it takes.
    const ALL: [(&'static str, Self, usize); 13] = [
        ("Plus", Self::Plus, 2),
        ("Minus", Self::Minus, 2),
        ("Times", Self::Times, 2),
        ("Divided", Self::Divided, 2),
        ("Remainder", Self::Remainder, 2),
        ("Is", Self::Is, 2),
        ("Below", Self::Below, 2),
        ("Not", Self::Not, 1),
        ("Both", Self::Both, 2),
        ("Either", Self::Either, 2),
        ("If", Self::If, 3),
        ("Pick", Self::Pick, 2),
        ("Length", Self::Length, 1),
    ];
}

impl Decode for Expression {
    fn decode(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        let kind = match node.text.as_bytes().first()? {
            _ if node.is_string() => {
                let text = node.string()?;
                match pieces(&text) {
                    Some(pieces) => ExpressionKind::Template(pieces.into()),
                    None => ExpressionKind::Text(text.into()),
                }
            }
            b'0'..=b'9' | b'+' | b'-' | b'.' => number(node, reader)?,
            b'[' => ExpressionKind::List(Vec::decode(node, reader)?.into()),
            _ => match node.choice() {
                Some(("true", _)) => ExpressionKind::Flag(true),
                Some(("false", _)) => ExpressionKind::Flag(false),
                Some((word, payload)) => operation(word, node, payload, reader)?,
                None => {
                    reader.wrong_type(
                        node,
                        "a number, a text in quotes, a list or a way to work one out",
                    );
                    return None;
                }
            },
        };
        Some(Self {
            span: node.span,
            kind,
        })
    }
}

impl Payload for Expression {
    fn from_payload(node: Node<'_>, reader: &mut Reader<'_>) -> Option<Self> {
        one(node, reader)
    }
}

impl Expression {
    /// Whether the number of the instance in its row, or what it is for, plays a part in it.
    pub(crate) fn mentions_index(&self) -> bool {
        match &self.kind {
            ExpressionKind::Template(pieces) => pieces.iter().any(|piece| {
                matches!(piece, Piece::Parameter(name) if name == "index" || name == "each")
            }),
            ExpressionKind::List(values) | ExpressionKind::Operation(_, values) => {
                values.iter().any(Self::mentions_index)
            }
            _ => false,
        }
    }
}

/// A number as it is written.
fn number(node: Node<'_>, reader: &mut Reader<'_>) -> Option<ExpressionKind> {
    // Nearly all are a few digits.
    if node.text.bytes().all(|byte| byte.is_ascii_digit())
        && let Ok(number) = node.text.parse()
    {
        return Some(ExpressionKind::Number(number));
    }
    let is_whole = !node.text.contains('.') && ron::from_str::<f64>(node.text).is_ok();
    let kind = if is_whole || node.text.starts_with("0x") || node.text.starts_with("0b") {
        ron::from_str(node.text).ok().map(ExpressionKind::Number)
    } else {
        let decimal: Option<f64> = ron::from_str(node.text).ok();
        decimal
            .filter(|value| value.is_finite())
            .map(ExpressionKind::Decimal)
    };
    if kind.is_none() {
        let message = format!("`{}` is no number that can be used", node.text);
        reader.report(Diagnostic::error(ids::BAD_NUMBER, node.span, message));
    }
    kind
}

/// An operator with its values.
fn operation(
    word: &str,
    node: Node<'_>,
    payload: Node<'_>,
    reader: &mut Reader<'_>,
) -> Option<ExpressionKind> {
    let Some((_, operator, count)) = Operator::ALL.iter().find(|(name, ..)| *name == word) else {
        let words = Operator::ALL.map(|(name, ..)| name);
        let message = format!("`{word}` is no value, and no way to work one out");
        // A name without quotes is far more common than an operator that nobody knows.
        let help = did_you_mean(word, words).unwrap_or_else(|| {
            format!(
                "a name stands in quotes, `\"{word}\"`, and a parameter behind a `$`, `\"${word}\"`"
            )
        });
        reader.report(Diagnostic::error(ids::UNKNOWN_CHOICE, node.head(), message).help(help));
        return None;
    };
    let values = positions(payload, *count, reader)?;
    let decoded: Vec<Option<Expression>> = values
        .into_iter()
        .map(|value| Expression::decode(value, reader))
        .collect();
    let values = decoded.into_iter().collect::<Option<_>>()?;
    Some(ExpressionKind::Operation(*operator, values))
}

/// Takes a text apart at its parameters: `$name` or `${name}`. `None` if it names none.
fn pieces(text: &str) -> Option<Vec<Piece>> {
    if !text.contains('$') {
        return None;
    }
    let mut pieces = Vec::new();
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('$') {
        plain.push_str(&rest[..at]);
        let behind = &rest[at + 1..];
        let (name, after) = match behind
            .strip_prefix('{')
            .and_then(|inner| inner.split_once('}'))
        {
            Some(braced) => braced,
            None => {
                let is_part = |letter: char| letter.is_alphanumeric() || letter == '_';
                behind.split_at(
                    behind
                        .find(|letter| !is_part(letter))
                        .unwrap_or(behind.len()),
                )
            }
        };
        if !plain.is_empty() {
            pieces.push(Piece::Plain(std::mem::take(&mut plain)));
        }
        pieces.push(Piece::Parameter(name.to_owned()));
        rest = after;
    }
    if !rest.is_empty() {
        pieces.push(Piece::Plain(rest.to_owned()));
    }
    Some(pieces)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_taken_apart_at_their_parameters() {
        let plain = |text: &str| Piece::Plain(text.to_owned());
        let parameter = |name: &str| Piece::Parameter(name.to_owned());
        assert_eq!(pieces("plain"), None);
        assert_eq!(pieces("$gate"), Some(vec![parameter("gate")]));
        assert_eq!(
            pieces("store_$kind.top"),
            Some(vec![plain("store_"), parameter("kind"), plain(".top")])
        );
        assert_eq!(
            pieces("${kind}_store"),
            Some(vec![parameter("kind"), plain("_store")])
        );
    }
}
