//! The values of parameters, and the scopes that they make.

use std::path::Path;

use super::Resolver;
use super::evaluate::{Value, in_words};
use super::layouts::{EACH, INDEX};
use super::names::{Scope, ScopeId};
use super::rows::RowInstance;
use crate::LoadOptions;
use crate::diagnostic::Diagnostic;
use crate::document::{Expression, ParameterDocument, ParameterType};
use crate::ids;
use crate::source::Span;
use crate::suggest::did_you_mean;
use crate::text::{Entries, Entry};
use hallwright_declared::space::{Axes, Block};

/// A value given from outside, and where.
type Given = (Value, Span);

/// What stands for a path where a value was set on the command line.
const COMMAND_LINE: &str = "command line";

/// A parameter of the command line, with what was written for it.
pub(super) struct LineParameter {
    pub(super) name: String,
    pub(super) text: String,
    pub(super) span: Span,
}

impl<'d> Resolver<'d> {
    /// The value of a parameter of a scope.
    pub(super) fn parameter(&mut self, scope: ScopeId, name: &str, span: Span) -> Option<Value> {
        let known = &self.scopes[scope.index()];
        if name == INDEX {
            return Some(Value::Number(self.turn.index.unwrap_or(known.index)));
        }
        if name == EACH
            && let Some(value) = &self.turn.each
        {
            return Some(value.clone());
        }
        let layout = self.layouts.get(known.layout);
        if let Some(value) = layout
            .parameter_numbers
            .get(name)
            .and_then(|number| known.parameters.get(*number))
        {
            return value.clone();
        }
        if layout.parameter_numbers.contains_key(name) {
            let message = format!("the parameter `{name}` gets its value only later");
            let problem = Diagnostic::error(ids::UNKNOWN_PARAMETER, span, message);
            let help = "parameters get their values in the order of the text".to_owned();
            self.problems.report(problem.help(help));
        } else {
            let message = format!("there is no parameter `{name}` here");
            let problem = Diagnostic::error(ids::UNKNOWN_PARAMETER, span, message);
            self.problems
                .report_not_in(problem, name, layout.parameters);
        }
        None
    }

    /// Sets the parameters of the top layout: the defaults, then the variant's, then those of the
    /// command line.
    pub(super) fn set_up_parameters(&mut self, options: &LoadOptions) {
        self.scopes.push(Scope {
            prefix: String::new(),
            layout: 0,
            index: 0,
            parameters: Vec::new(),
            members: Vec::new(),
            origin: Block::default(),
            axes: Axes::default(),
            is_measured: false,
        });
        self.problems.add_scope(None);
        self.check_variant_names(options);
        let document = self.document;
        let chosen = options.variant.as_ref();
        let variant = chosen.and_then(|chosen| document.variants.get(chosen)?.value.as_ref());
        let set = self.command_line(&options.set);
        for entry in &document.parameters.list {
            let name = entry.name.text.as_str();
            let in_variant = variant.and_then(|values| values.get(name));
            let in_variant = in_variant.and_then(|given| given.value.as_ref());
            let on_line = set.iter().rev().find(|given| given.name == name);
            let value = self.top_parameter(entry, in_variant, on_line);
            self.scopes[0].parameters.push(value);
        }
        self.check_variants(options);
    }

    /// The value of one parameter of the top layout.
    fn top_parameter(
        &mut self,
        entry: &'d Entry<ParameterDocument>,
        in_variant: Option<&'d Expression>,
        on_line: Option<&LineParameter>,
    ) -> Option<Value> {
        let name = entry.name.text.as_str();
        let mut value = self.default_value(ScopeId::TOP, entry.value.as_ref());
        let wanted = match &entry.value {
            Some(ParameterDocument::Needed(wanted, _)) => Some(*wanted),
            _ => value.as_ref().map(Value::type_of),
        };
        if let Some(expression) = in_variant {
            let given = self.value(ScopeId::TOP, expression);
            value = given.and_then(|given| self.checked(name, (given, expression.span), wanted));
        }
        if let Some(set) = on_line {
            value = self.parse_set(ScopeId::TOP, (&set.text, set.span), wanted, ',');
        }
        if let Some(ParameterDocument::Needed(wanted, span)) = entry.value
            && in_variant.is_none()
            && on_line.is_none()
        {
            let message = format!("the parameter `{name}` is given no value");
            let problem = Diagnostic::error(ids::MISSING_PARAMETER, span, message);
            let help = format!(
                "write {} here, or set it in every variant",
                in_words(wanted)
            );
            self.problems.report(problem.help(help));
        }
        value
    }

    /// What a parameter is unless it is given; `None` if it must be, or that cannot be said.
    fn default_value(
        &mut self,
        scope: ScopeId,
        parameter: Option<&'d ParameterDocument>,
    ) -> Option<Value> {
        match parameter? {
            ParameterDocument::Default(expression) => self.value(scope, expression),
            ParameterDocument::Needed(..) => None,
        }
    }

    /// The value, if it is of the type that is wanted.
    fn checked(
        &mut self,
        name: &str,
        (value, span): Given,
        wanted: Option<ParameterType>,
    ) -> Option<Value> {
        match wanted {
            Some(wanted) if wanted != value.type_of() => {
                let found = in_words(value.type_of());
                let message = format!(
                    "the parameter `{name}` is {}, not {found}",
                    in_words(wanted)
                );
                self.report_wrong_value(span, message);
                None
            }
            _ => Some(value),
        }
    }

    /// Reports of variants of one name, and of a chosen one that is not there.
    fn check_variant_names(&mut self, options: &LoadOptions) {
        let variants = &self.document.variants;
        for entry in &variants.list {
            let name = &entry.name;
            if let Some(first) = variants
                .get(&name.text)
                .filter(|one| one.name.span != name.span)
            {
                let message = format!("there are two variants named `{}`", name.text);
                let problem = Diagnostic::error(ids::DUPLICATE_NAME, name.span, message);
                self.problems
                    .report(problem.context(first.name.span, "first named here"));
            }
        }
        if let Some(chosen) = &options.variant
            && variants.is_whole
            && variants.get(chosen).is_none()
        {
            let message = format!("the scenario has no variant `{chosen}`");
            let names: Vec<String> = variants.names().map(|name| format!("`{name}`")).collect();
            let help = if names.is_empty() {
                "there are no variants".to_owned()
            } else {
                let all = format!("the variants are {}", names.join(", "));
                match did_you_mean(chosen, variants.names()) {
                    Some(near) => format!("{near} {all}"),
                    None => all,
                }
            };
            self.problems
                .report(Diagnostic::general(ids::UNKNOWN_VARIANT, message).help(help));
        }
    }

    /// Checks the values of every variant, chosen or not: each names a parameter, once, and is of
    /// its type.
    fn check_variants(&mut self, options: &LoadOptions) {
        let document = self.document;
        for variant in &document.variants.list {
            let is_chosen = options.variant.as_ref() == Some(&variant.name.text);
            let Some(values) = &variant.value else {
                continue;
            };
            self.check_given_names(values, 0, "the scenario");
            for entry in values.list.iter().filter(|_| !is_chosen) {
                let numbers = &self.layouts.get(0).parameter_numbers;
                let number = numbers.get(entry.name.text.as_str()).copied();
                let (Some(number), Some(expression)) = (number, &entry.value) else {
                    continue;
                };
                let wanted = self.type_of_number(number);
                if let Some(value) = self.value(ScopeId::TOP, expression) {
                    self.checked(&entry.name.text, (value, expression.span), wanted);
                }
            }
        }
    }

    /// The type of a parameter of the top layout; `None` if there is none, or that cannot be said.
    pub(super) fn top_type(&self, name: &str) -> Option<ParameterType> {
        let number = self.layouts.get(0).parameter_numbers.get(name)?;
        self.type_of_number(*number)
    }

    fn type_of_number(&self, number: usize) -> Option<ParameterType> {
        match &self.document.parameters.list[number].value {
            Some(ParameterDocument::Needed(wanted, _)) => Some(*wanted),
            _ => self.scopes[0].parameters[number]
                .as_ref()
                .map(Value::type_of),
        }
    }

    /// Reports of values for parameters that are not there, and of those given twice.
    pub(super) fn check_given_names(
        &mut self,
        given: &'d Entries<Expression>,
        layout: usize,
        of: &str,
    ) {
        let layout = self.layouts.get(layout);
        for entry in &given.list {
            let name = &entry.name;
            if let Some(first) = given
                .get(&name.text)
                .filter(|one| one.name.span != name.span)
            {
                let message = format!("the parameter `{}` is given twice", name.text);
                let problem = Diagnostic::error(ids::DUPLICATE_NAME, name.span, message);
                self.problems
                    .report(problem.context(first.name.span, "first given here"));
            }
            if !layout.parameter_numbers.contains_key(name.text.as_str()) {
                let message = format!("{of} has no parameter `{}`", name.text);
                let problem = Diagnostic::error(ids::UNKNOWN_PARAMETER, name.span, message);
                self.problems
                    .report_not_in(problem, &name.text, layout.parameters);
            }
        }
    }

    /// What is written for parameters on the command line, as a text of its own that messages can
    /// show.
    pub(super) fn command_line(&mut self, pairs: &[(String, String)]) -> Vec<LineParameter> {
        if pairs.is_empty() {
            return Vec::new();
        }
        let lines = pairs.iter().map(|(name, text)| format!("{name}={text}"));
        let lines: Vec<String> = lines.collect();
        let file = self.sources.add(Path::new(COMMAND_LINE), lines.join("\n"));
        let mut set = Vec::new();
        let mut start = 0;
        for ((name, text), line) in pairs.iter().zip(&lines) {
            let end = start + u32::try_from(line.len()).unwrap_or(0);
            let span = Span { file, start, end };
            start = end + 1;
            if self.document.parameters.get(name).is_none() {
                let message = format!("the scenario has no parameter `{name}`");
                let problem = Diagnostic::error(ids::UNKNOWN_PARAMETER, span, message);
                self.problems
                    .report_not_in(problem, name, &self.document.parameters);
            }
            set.push(LineParameter {
                name: name.clone(),
                text: text.clone(),
                span,
            });
        }
        set
    }

    /// A value as it is written on the command line or in a table. The scope is where names are
    /// looked up; the separator stands between the names of a list.
    pub(super) fn parse_set(
        &mut self,
        scope: ScopeId,
        (text, span): (&str, Span),
        wanted: Option<ParameterType>,
        separator: char,
    ) -> Option<Value> {
        let parsed = match wanted? {
            ParameterType::Number => text.parse().map(Value::Number).ok().or_else(|| {
                text.parse()
                    .ok()
                    .filter(|number: &f64| number.is_finite())
                    .map(Value::Decimal)
            }),
            ParameterType::Flag => text.parse().map(Value::Flag).ok(),
            ParameterType::Name => Some(Value::Text(text.into(), scope)),
            ParameterType::List => Some(Value::List(
                text.split(separator)
                    .map(|name| Value::Text(name.trim().into(), scope))
                    .collect(),
            )),
        };
        if parsed.is_none() {
            let message = format!("`{text}` is not {}", in_words(wanted?));
            self.report_wrong_value(span, message);
        }
        parsed
    }

    /// A scope for one instance of a module, with its parameters set.
    pub(super) fn instance(
        &mut self,
        within: ScopeId,
        prefix: String,
        module: (usize, Span),
        with: &'d Entries<Expression>,
        turn: &RowInstance<'d>,
    ) -> ScopeId {
        let (layout, module_span) = module;
        let scope = ScopeId(u32::try_from(self.scopes.len()).unwrap_or(u32::MAX));
        self.scopes.push(Scope {
            prefix,
            layout,
            index: turn.index.unwrap_or(0),
            parameters: Vec::new(),
            members: Vec::new(),
            origin: Block::default(),
            axes: Axes::default(),
            is_measured: false,
        });
        self.problems.add_scope(Some((within, module_span)));
        let before = self.problems.enter(within);
        for entry in &self.layouts.get(layout).parameters.list {
            let name = entry.name.text.as_str();
            let listed = turn.listed.and_then(|listed| listed.get(name));
            let value = match (with.get(name).or(listed), turn.field(name)) {
                (Some(given), _) => given.value.as_ref().and_then(|expression| {
                    let outer = std::mem::replace(&mut self.turn, turn.clone());
                    let value = self.value(within, expression);
                    self.turn = outer;
                    let wanted = self.type_of(scope, entry.value.as_ref());
                    self.checked(name, (value?, expression.span), wanted)
                }),
                (None, Some((text, span))) => {
                    let wanted = self.type_of(scope, entry.value.as_ref());
                    self.parse_set(within, (text, *span), wanted, ';')
                }
                (None, None) => {
                    if let Some(ParameterDocument::Needed(..)) = entry.value {
                        let message = format!("the module's parameter `{name}` is given no value");
                        self.problems.report(Diagnostic::error(
                            ids::MISSING_PARAMETER,
                            module_span,
                            message,
                        ));
                    }
                    self.problems.enter(scope);
                    let value = self.default_value(scope, entry.value.as_ref());
                    self.problems.enter(within);
                    value
                }
            };
            self.scopes[scope.index()].parameters.push(value);
        }
        self.problems.enter(before);
        scope
    }

    /// The type that a module's parameter wants.
    fn type_of(
        &mut self,
        scope: ScopeId,
        parameter: Option<&'d ParameterDocument>,
    ) -> Option<ParameterType> {
        match parameter? {
            ParameterDocument::Needed(wanted, _) => Some(*wanted),
            default => self
                .default_value(scope, Some(default))
                .map(|value| value.type_of()),
        }
    }
}
