//! Fills the page.

use std::borrow::Cow;

use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, Value, context};
use serde::Serialize;

use super::pack::Shelf;
use super::strips::Source;
use super::{Shown, beside, strips};

const TEMPLATE: &str = include_str!("../script/page.html");
const STYLE: &str = include_str!("../script/style.css");

/// The page's script: modules in the order in which they build on each other.
const SCRIPT: &[&str] = &[
    include_str!("../script/unpack.js"),
    include_str!("../script/words.js"),
    include_str!("../script/reading.js"),
    include_str!("../script/stand.js"),
    include_str!("../script/run.js"),
    include_str!("../script/state.js"),
    include_str!("../script/events.js"),
    include_str!("../script/rove.js"),
    include_str!("../script/cursor.js"),
    include_str!("../script/play.js"),
    include_str!("../script/series.js"),
    include_str!("../script/flags.js"),
    include_str!("../script/zoom.js"),
    include_str!("../script/curves.js"),
    include_str!("../script/stopped.js"),
    include_str!("../script/glyphs.js"),
    include_str!("../script/blocks.js"),
    include_str!("../script/views.js"),
    include_str!("../script/signs.js"),
    include_str!("../script/glides.js"),
    include_str!("../script/goods.js"),
    include_str!("../script/layers.js"),
    include_str!("../script/tints.js"),
    include_str!("../script/story.js"),
    include_str!("../script/near.js"),
    include_str!("../script/map.js"),
    include_str!("../script/pair.js"),
    include_str!("../script/reach.js"),
    include_str!("../script/waits.js"),
    include_str!("../script/details.js"),
    include_str!("../script/find.js"),
    include_str!("../script/paper.js"),
    include_str!("../script/tree.js"),
    include_str!("../script/choice.js"),
    include_str!("../script/csv.js"),
    include_str!("../script/vectors.js"),
    include_str!("../script/takeaway.js"),
    include_str!("../script/first.js"),
    include_str!("../script/address.js"),
    include_str!("../script/main.js"),
];

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
        TEMPLATE,
        context! {
            title => title,
            runs => Value::from(Serde(&runs)),
            which => Value::from(Serde(&which)),
            headlines => Value::from(Serde(&headlines)),
            questions => Value::from(Serde(&questions)),
            notes => Value::from(Serde(&notes)),
            strips => Value::from(Serde(strips::draw(&sources))),
            size => size(shown),
            style => STYLE,
            script => script(),
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

/// The modules as one: what they import from each other is there already.
fn script() -> String {
    let mut text = String::new();
    for module in SCRIPT {
        let mut is_import = false;
        for line in module.lines() {
            is_import |= line.starts_with("import ");
            if !is_import {
                text.push_str(line.strip_prefix("export ").unwrap_or(line));
                text.push('\n');
            }
            is_import &= !line.ends_with(';');
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

    #[test]
    fn no_two_modules_use_a_name_for_different_things() {
        let script = script();
        let mut names = std::collections::BTreeSet::new();
        for line in script.lines() {
            let line = line.strip_prefix("async ").unwrap_or(line);
            let Some((sort, rest)) = line.split_once(' ') else {
                continue;
            };
            if ["const", "let", "function", "class"].contains(&sort) {
                let end = rest.find(|letter: char| !letter.is_alphanumeric() && letter != '_');
                let name = &rest[..end.unwrap_or(rest.len())];
                assert!(names.insert(name.to_owned()), "{name} is there twice");
            }
        }
        assert!(names.contains("HallMap") && names.contains("Shelf"));
    }

    #[test]
    fn the_script_is_one_module_and_cannot_end_its_element() {
        let script = script();
        assert!(!script.contains("</script"));
        for line in script.lines() {
            assert!(
                !line.starts_with("import ") && !line.starts_with("export "),
                "{line}"
            );
        }
    }
}
