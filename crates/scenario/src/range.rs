//! What a parameter may be in a search.

/// The values of one parameter that a search tries.
#[derive(Clone, PartialEq, Debug)]
pub struct ParameterRange {
    /// The parameter.
    pub name: String,
    /// The values, in the order in which they are tried; none twice, and at least one.
    pub values: Vec<RangeValue>,
}

/// One value of a parameter.
#[derive(Clone, PartialEq, Debug)]
pub enum RangeValue {
    /// A whole number.
    Number(i64),
    /// A number with a fraction.
    Decimal(f64),
    /// True or false.
    Flag(bool),
    /// A name, or any other text.
    Name(String),
}

impl RangeValue {
    /// The value as [`crate::LoadOptions::set`] takes it.
    #[must_use]
    pub fn set_text(&self) -> String {
        match self {
            Self::Number(number) => number.to_string(),
            Self::Decimal(number) => crate::write::decimal(*number),
            Self::Flag(flag) => flag.to_string(),
            Self::Name(name) => name.clone(),
        }
    }

    /// The value as a scenario writes it.
    #[must_use]
    pub fn ron(&self) -> String {
        match self {
            Self::Number(number) => number.to_string(),
            Self::Decimal(number) => crate::write::decimal(*number),
            Self::Flag(flag) => flag.to_string(),
            Self::Name(name) => crate::write::quoted(name),
        }
    }
}
