//! The catalogue: which goods there are, how many are expected, and how many come in.

use std::collections::BTreeMap;
use std::path::Path;

use hallwright_scenario::Diagnostic;
use hallwright_scenario::placed_table::{PlacedRow, PlacedTable, PlacedText, read_placed_table};
use hallwright_scenario::source::{Sources, Span};

use crate::hall::Sort;
use crate::ids;

/// What the builder wishes for goods.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Wish {
    /// The sort of slice; the planner decides if there is none.
    pub sort: Option<Sort>,
    /// The slice, by its number along the line of its sort, from 1 at the input.
    pub slice: Option<u64>,
    /// The side of the hall: 1 or 2.
    pub side: Option<u64>,
}

/// How to write a wish.
const WISH_HELP: &str = "write `bulk`, `multi`, `oddments` or `automatic`, and perhaps the number of \
     a slice and a side: `bulk 3`, `multi side 1`, `bulk 3 side 2`";

impl Wish {
    /// The planner decides everything.
    pub const AUTOMATIC: Self = Self {
        sort: None,
        slice: None,
        side: None,
    };

    /// Reads a wish: a sort, a number of a slice of it, and `side` with a number; each may be left out.
    fn read(text: &str) -> Option<Self> {
        let mut words = text.split_whitespace().peekable();
        let mut wish = Self::AUTOMATIC;
        if let Some(word) = words.peek() {
            wish.sort = Sort::ALL.into_iter().find(|sort| sort.name() == *word);
            if wish.sort.is_some() || *word == "automatic" {
                words.next();
            }
        }
        if wish.sort.is_some() {
            wish.slice = words.peek().and_then(|word| word.parse().ok());
            if wish.slice.is_some() {
                words.next();
            }
        }
        if words.next_if_eq(&"side").is_some() {
            wish.side = Some(words.next()?.parse().ok()?);
        }
        let in_range =
            wish.slice != Some(0) && wish.side.is_none_or(|side| (1..=2).contains(&side));
        (in_range && words.next().is_none()).then_some(wish)
    }
}

impl std::fmt::Display for Wish {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(self.sort.map_or("automatic", Sort::name))?;
        if let Some(slice) = self.slice {
            write!(formatter, " {slice}")?;
        }
        match self.side {
            Some(side) => write!(formatter, " side {side}"),
            None => Ok(()),
        }
    }
}

/// One sort of goods.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Good {
    /// Its name, unique in the catalogue.
    pub name: String,
    /// How many share a slot: 64, 16 or 1.
    pub stack_limit: u32,
    /// How many items are expected to be stored.
    pub amount: u64,
    /// How many come in, in thousandths of an item an hour.
    pub inflow_thousandths: u64,
    /// The family, or nothing.
    pub family: String,
    /// How many items more are expected with each year.
    pub a_year: u64,
    /// What the builder wishes.
    pub wish: Wish,
    /// Where the wish stands; without one, the row.
    pub wish_span: Span,
    /// The row of the catalogue.
    pub span: Span,
}

impl Good {
    /// How many slots the expected amount takes, at least 1.
    #[must_use]
    pub fn stacks(&self) -> u64 {
        self.stacks_after(0)
    }

    /// How many it will take after so many years, at least 1.
    #[must_use]
    pub fn stacks_after(&self, years: u64) -> u64 {
        let amount = self.amount + self.a_year * years;
        amount.div_ceil(u64::from(self.stack_limit)).max(1)
    }
}

/// A list of goods.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Catalogue {
    /// The goods, in the order of the text.
    pub goods: Vec<Good>,
}

/// So many items of one sort may be expected, or come in within an hour.
const MOST_ITEMS: u64 = 1_000_000_000;

/// The columns, and whether each is needed.
const COLUMNS: [(&str, bool); 7] = [
    ("name", true),
    ("stack_limit", true),
    ("amount", true),
    ("inflow_per_hour", true),
    ("family", false),
    ("wish", false),
    ("a_year", false),
];

/// Reads a catalogue. `None` if anything is wrong with it; all mistakes are reported.
pub fn read_catalogue(
    path: &Path,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<Catalogue> {
    let reported = problems.len();
    let table = read_placed_table(path, sources, problems)?;
    // Rows that do not fit are reported by now; of the others, what stands in columns that are known is
    // looked at.
    check_columns(&table, problems);
    let mut known: BTreeMap<&str, Span> = BTreeMap::new();
    let mut goods = Vec::new();
    for row in &table.rows {
        let name = field(&table, row, "name");
        if let Some((name, earlier)) =
            name.and_then(|name| Some((name, known.get(name.text.as_str())?)))
        {
            let message = format!("`{}` is in the catalogue twice", name.text);
            let problem = Diagnostic::error(ids::REPEATED_NAME, name.span, message);
            problems.push(problem.context(*earlier, "first listed here"));
        }
        if let Some(name) = name {
            known.entry(&name.text).or_insert(name.span);
        }
        goods.extend(good(&table, row, problems));
    }
    if table.rows.is_empty() && problems.len() == reported {
        let message = format!("`{}` has no goods", path.display());
        let problem = Diagnostic::general(ids::NO_GOODS, message);
        let help = "write a line for each, such as `barley, 64, 4000, 120, grain, automatic`";
        problems.push(problem.help(help.to_owned()));
    }
    (problems.len() == reported).then_some(Catalogue { goods })
}

/// Reports of columns that are missing, unknown or there twice.
fn check_columns(table: &PlacedTable, problems: &mut Vec<Diagnostic>) {
    let names = COLUMNS.map(|(name, _)| format!("`{name}`")).join(", ");
    for (number, column) in table.columns.iter().enumerate() {
        let earlier = &table.columns[..number];
        let message = if earlier
            .iter()
            .any(|earlier| earlier.is_called(&column.text))
        {
            format!("there are two columns `{}`", column.text)
        } else if COLUMNS.iter().any(|(name, _)| column.is_called(name)) {
            continue;
        } else {
            format!("a catalogue has no column `{}`", column.text)
        };
        let problem = Diagnostic::error(ids::UNKNOWN_COLUMN, column.span, message);
        problems.push(problem.help(format!("the columns are {names}")));
    }
    for (name, is_needed) in COLUMNS {
        if is_needed && table.column(name).is_none() {
            let message = format!("the column `{name}` is missing");
            let place = table.columns.first().map(|column| column.span);
            let problem = match place {
                Some(span) => Diagnostic::error(ids::MISSING_COLUMN, span, message),
                None => Diagnostic::general(ids::MISSING_COLUMN, message),
            };
            problems.push(problem.help(format!(
                "the columns are {names}; the last three may be left out"
            )));
        }
    }
}

/// What a row has in a column; `None` if there is no such column or it is empty.
fn field<'t>(table: &PlacedTable, row: &'t PlacedRow, column: &str) -> Option<&'t PlacedText> {
    let field = row.fields.get(table.column(column)?)?;
    Some(field).filter(|field| !field.text.is_empty())
}

/// The goods of one row. Everything wrong with it is reported.
fn good(table: &PlacedTable, row: &PlacedRow, problems: &mut Vec<Diagnostic>) -> Option<Good> {
    let mut needed = |column: &str, read: &dyn Fn(&str) -> Result<u64, &'static str>| {
        // A column that is missing is reported once, above.
        table.column(column)?;
        let result = match field(table, row, column) {
            None => Err((row.span, format!("the field `{column}` is empty"), None)),
            Some(field) => read(&field.text).map_err(|help| {
                let message = format!("`{}` is no `{column}`", field.text);
                (field.span, message, Some(help.to_owned()))
            }),
        };
        result
            .map_err(|(span, message, help)| {
                problems.push(Diagnostic::error(ids::BAD_FIELD, span, message).help(help));
            })
            .ok()
    };
    let stack_limit = needed("stack_limit", &read_stack_limit);
    let amount = needed("amount", &read_amount);
    let inflow = needed("inflow_per_hour", &read_inflow);
    let a_year = match field(table, row, "a_year") {
        None => Some(0),
        Some(_) => needed("a_year", &read_amount),
    };
    let name = read_name(table, row, "name", problems);
    let family = match field(table, row, "family") {
        None => Some(String::new()),
        Some(_) => read_name(table, row, "family", problems),
    };
    let wished = field(table, row, "wish");
    let wish = read_wish(wished, problems);
    Some(Good {
        name: name?,
        stack_limit: u32::try_from(stack_limit?).ok()?,
        amount: amount?,
        inflow_thousandths: inflow?,
        family: family?,
        a_year: a_year?,
        wish: wish?,
        wish_span: wished.map_or(row.span, |field| field.span),
        span: row.span,
    })
}

fn read_stack_limit(text: &str) -> Result<u64, &'static str> {
    match text {
        "64" => Ok(64),
        "16" => Ok(16),
        "1" => Ok(1),
        _ => Err("write 64, 16 or 1"),
    }
}

fn read_amount(text: &str) -> Result<u64, &'static str> {
    let number = text.parse().ok().filter(|amount| *amount <= MOST_ITEMS);
    number.ok_or("write a whole number of items, from 0 to 1000000000")
}

/// A number with at most three digits behind the point, in thousandths.
fn read_inflow(text: &str) -> Result<u64, &'static str> {
    let help =
        "write items an hour, such as `120` or `0.5`, with at most three digits behind the point";
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    let is_digits =
        |digits: &str| !digits.is_empty() && digits.bytes().all(|digit| digit.is_ascii_digit());
    if !is_digits(whole) || !is_digits(fraction) || fraction.len() > 3 {
        return Err(help);
    }
    let thousandths: Option<u64> = format!("{whole}{fraction:0<3}").parse().ok();
    let thousandths = thousandths.filter(|thousandths| *thousandths <= MOST_ITEMS * 1000);
    thousandths.ok_or(help)
}

/// Letters that have a meaning in scenarios or tables.
const FORBIDDEN: [char; 10] = ['.', '[', ']', '$', '*', '?', ';', ',', '"', '\\'];

fn read_name(
    table: &PlacedTable,
    row: &PlacedRow,
    column: &str,
    problems: &mut Vec<Diagnostic>,
) -> Option<String> {
    table.column(column)?;
    let Some(name) = field(table, row, column) else {
        let message = format!("the field `{column}` is empty");
        problems.push(Diagnostic::error(ids::BAD_FIELD, row.span, message));
        return None;
    };
    let is_forbidden = |letter: char| FORBIDDEN.contains(&letter) || letter.is_control();
    if name.text.contains(is_forbidden) {
        let message = format!("`{}` can be no `{column}`", name.text.escape_debug());
        let problem = Diagnostic::error(ids::BAD_FIELD, name.span, message);
        let help = "leave out the letters . [ ] $ * ? ; , \" and \\".to_owned();
        problems.push(problem.help(help));
        return None;
    }
    Some(name.text.clone())
}

fn read_wish(field: Option<&PlacedText>, problems: &mut Vec<Diagnostic>) -> Option<Wish> {
    let Some(field) = field else {
        return Some(Wish::AUTOMATIC);
    };
    let wish = Wish::read(&field.text);
    if wish.is_none() {
        let message = format!("`{}` is no wish", field.text);
        let problem = Diagnostic::error(ids::BAD_FIELD, field.span, message);
        problems.push(problem.help(WISH_HELP.to_owned()));
    }
    wish
}
