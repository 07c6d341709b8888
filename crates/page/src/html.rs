//! Fills the page.

use std::borrow::Cow;

use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, Value, context};
use serde::Serialize;

use super::pack::Shelf;
use super::strips::Source;
use super::{Shown, beside, strips};

/// The whole file. `shelf`: the rows of numbers of all runs.
pub(super) fn html(shown: &[Shown<'_>], shelf: Shelf) -> String {
    let Some(first) = shown.first() else {
        return String::new();
    };
    let sources: Vec<Source<'_>> = shown.iter().map(source).collect();
    let mut data = serde_json::json!({
        "title": first.title,
        "runs": shown.iter().map(|shown| &shown.data).collect::<Vec<_>>(),
    });
    fit_names(&mut data);
    let runs: Vec<_> = shown.iter().map(|shown| &shown.summary).collect();
    let notes: Vec<_> = shown
        .iter()
        .filter_map(|shown| shown.note.as_ref())
        .collect();
    let title = hallwright_names::text(&first.title);
    let headlines: Vec<_> = shown.iter().map(|shown| shown.headline).collect();
    let headlines = fit(&headlines);
    let which: Vec<_> = shown.iter().map(|shown| &shown.which).collect();
    let which = fit(&which);
    let (questions, runs, notes) = (fit(&beside::beside(&runs)), fit(&runs), fit(&notes));
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    let filled = environment.render_str(
        hallwright_script::TEMPLATE,
        context! {
            title => title,
            runs => Value::from(Serde(&runs)),
            which => Value::from(Serde(&which)),
            headlines => Value::from(Serde(&headlines)),
            questions => Value::from(Serde(&questions)),
            notes => Value::from(Serde(&notes)),
            strips => Value::from(Serde(strips::draw(&sources))),
            size => size(shown),
            style => hallwright_script::STYLE,
            script => hallwright_script::script(),
            data => for_script(&data),
            rows => shelf.finish(),
        },
    );
    // The template is ours, and a test fills it.
    let whole = filled.unwrap_or_else(|error| panic!("the page's template is broken: {error:#}"));
    hallwright_names::page(&whole).into_owned()
}

/// Plain data with every name in it made fit to be shown.
fn fit(rows: &impl Serialize) -> serde_json::Value {
    let mut rows = serde_json::to_value(rows).expect("plain data can be written");
    fit_names(&mut rows);
    rows
}

/// Makes every text fit to be shown: what may not pass is spelled out. A browser would let most of it
/// pass, and a name could turn the writing around it.
fn fit_names(data: &mut serde_json::Value) {
    match data {
        serde_json::Value::String(name) => {
            if let Cow::Owned(fit) = hallwright_names::text(name) {
                *name = fit;
            }
        }
        serde_json::Value::Array(values) => values.iter_mut().for_each(fit_names),
        serde_json::Value::Object(fields) => fields.values_mut().for_each(fit_names),
        _ => {}
    }
}

/// How much there is to read, in words.
fn size(shown: &[Shown<'_>]) -> String {
    let runs = shown.iter().map(|shown| {
        let ticks = hallwright_names::numbers::grouped(shown.found.run_ticks);
        format!(
            "{} parts, {ticks} ticks",
            hallwright_names::numbers::grouped(shown.part_count as u64)
        )
    });
    runs.collect::<Vec<_>>().join("; ")
}

fn source<'s>(shown: &'s Shown<'_>) -> Source<'s> {
    Source {
        series: shown.series,
        run_ticks: shown.found.run_ticks,
        ticks_per_second: shown.found.ticks_per_second,
        flags: &shown.flags,
        limits: shown.limits.clone(),
    }
}

/// JSON that may stand in a `<script>` element: nothing in it can end the element.
fn for_script(data: &serde_json::Value) -> String {
    let mut text = String::new();
    for character in data.to_string().chars() {
        match character {
            '<' | '>' | '&' | '\u{2028}' | '\u{2029}' => {
                text.push_str(&format!("\\u{:04x}", u32::from(character)));
            }
            _ => text.push(character),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_the_data_can_end_its_element() {
        let data = serde_json::json!({ "name": "</script><b>&\u{2028}" });
        let text = for_script(&data);
        assert_eq!(
            text,
            r#"{"name":"\u003c/script\u003e\u003cb\u003e\u0026\u2028"}"#
        );
        let back: serde_json::Value = serde_json::from_str(&text).expect("it is still JSON");
        assert_eq!(back, data);
    }
}
