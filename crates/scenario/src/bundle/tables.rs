//! Tables as lists.

use super::{Diagnostic, ModuleDocument, Sources};
use crate::document::{
    Expression, ExpressionKind, Operator, ParameterDocument, ParameterType, Piece,
};
use crate::ids;
use crate::text::{Entries, Name};
use crate::write::{list, quoted};

/// One row: names of columns with what is written there; empty fields are left out.
pub(super) type Cells = Vec<(String, String)>;

/// Reads a table. Reports if that cannot be done.
pub(super) fn read(
    path: &Name,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Vec<Cells> {
    let location = sources.beside(path.span.file, &path.text);
    let text = match sources.read_named(&location, path.span) {
        Ok(text) => text,
        Err(problem) => {
            problems.push(*problem);
            return Vec::new();
        }
    };
    let mut reader = csv::ReaderBuilder::new()
        .flexible(true)
        .trim(csv::Trim::All)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let columns = reader.headers().cloned().unwrap_or_default();
    let mut rows = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) => {
                let pairs = columns.iter().zip(record.iter());
                let given = pairs.filter(|(_, field)| !field.is_empty());
                let owned = |(name, field): (&str, &str)| (name.to_owned(), field.to_owned());
                rows.push(given.map(owned).collect());
            }
            Err(error) => {
                let message = format!("this is no table: {error}");
                problems.push(Diagnostic::error(ids::FILE_BAD_ROW, path.span, message));
                return rows;
            }
        }
    }
    rows
}

/// A row of a table of arrivals.
pub(super) fn arrival(row: &Cells) -> String {
    let find = |column: &str| row.iter().find(|(name, _)| name == column);
    let mut fields = Vec::new();
    if let Some((_, tick)) = find("tick") {
        fields.push(format!("at: {}", quoted(&format!("{tick}t"))));
    }
    if let Some((_, time)) = find("time") {
        fields.push(format!("at: {}", quoted(time)));
    }
    if let Some((_, place)) = find("place") {
        fields.push(format!("place: {}", quoted(place)));
    }
    match (find("kind"), find("full_of")) {
        (Some((_, kind)), Some((_, goods))) => {
            let (kind, goods) = (quoted(kind), quoted(goods));
            fields.push(format!("kind: Boxed(box: {kind}, full_of: {goods})"));
        }
        (Some((_, kind)), None) => fields.push(format!("kind: {}", quoted(kind))),
        (None, _) => {}
    }
    if let Some((_, count)) = find("count") {
        fields.push(format!("count: {count}"));
    }
    format!("({})", fields.join(", "))
}

/// A row of a table if it has these texts in these columns, without the columns.
pub(super) fn chosen(mut row: Cells, only: &Entries<Name>) -> Option<Cells> {
    for entry in &only.list {
        let (column, wanted) = (&entry.name.text, entry.value.as_ref()?);
        let at = row.iter().position(|(name, _)| name == column)?;
        let (_, field) = row.remove(at);
        if field != wanted.text {
            return None;
        }
    }
    Some(row)
}

/// A row of a table of modules.
pub(super) fn instance(row: &Cells, module: Option<&ModuleDocument>) -> String {
    let fields = row.iter().map(|(name, field)| {
        let value = match module.and_then(|module| type_of_parameter(module, name)) {
            Some(ParameterType::Number | ParameterType::Flag) => field.clone(),
            Some(ParameterType::List) => {
                let names = field.split(';');
                list(names.map(|name| quoted(name.trim())))
            }
            Some(ParameterType::Name) | None => quoted(field),
        };
        format!("{}: {value}", quoted(name))
    });
    format!("{{{}}}", fields.collect::<Vec<_>>().join(", "))
}

/// The type of a module's parameter.
fn type_of_parameter(module: &ModuleDocument, name: &str) -> Option<ParameterType> {
    match module.parameters.get(name)?.value.as_ref()? {
        ParameterDocument::Needed(wanted, _) => Some(*wanted),
        ParameterDocument::Default(value) => type_of(module, value),
    }
}

/// The type of what an expression comes to, as far as that can be seen without working it out.
fn type_of(module: &ModuleDocument, value: &Expression) -> Option<ParameterType> {
    Some(match &value.kind {
        ExpressionKind::Number(_) | ExpressionKind::Decimal(_) => ParameterType::Number,
        ExpressionKind::Flag(_) => ParameterType::Flag,
        ExpressionKind::Text(_) => ParameterType::Name,
        ExpressionKind::List(_) => ParameterType::List,
        ExpressionKind::Template(pieces) => match &pieces[..] {
            [Piece::Parameter(name)] if name == "index" => ParameterType::Number,
            // Parameters get their values in the order of the text, so this comes to an end; one
            // that names itself is no sound scenario.
            [Piece::Parameter(name)] => return type_of_parameter(module, name),
            _ => ParameterType::Name,
        },
        ExpressionKind::Operation(operator, values) => match operator {
            Operator::Plus
            | Operator::Minus
            | Operator::Times
            | Operator::Divided
            | Operator::Remainder
            | Operator::Length => ParameterType::Number,
            Operator::Is | Operator::Below | Operator::Not | Operator::Both | Operator::Either => {
                ParameterType::Flag
            }
            Operator::If => return type_of(module, values.get(1)?),
            Operator::Pick => ParameterType::Name,
        },
    })
}
