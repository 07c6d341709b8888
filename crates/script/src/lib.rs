//! What the page of a run is filled into, and its script: plain modules, put one behind the other.
//!
//! No text here is Rust's: the template is `page.html`, the look is `style.css`, and each module is a file in `modules/`.

/// The page, as a template.
pub const TEMPLATE: &str = include_str!("../page.html");

/// How the page looks.
pub const STYLE: &str = include_str!("../style.css");

/// The modules of the script, in the order in which they build on each other.
const MODULES: &[&str] = &[
    include_str!("../modules/unpack.js"),
    include_str!("../modules/words.js"),
    include_str!("../modules/pace.js"),
    include_str!("../modules/reading.js"),
    include_str!("../modules/stand.js"),
    include_str!("../modules/run.js"),
    include_str!("../modules/state.js"),
    include_str!("../modules/events.js"),
    include_str!("../modules/rove.js"),
    include_str!("../modules/cursor.js"),
    include_str!("../modules/play.js"),
    include_str!("../modules/series.js"),
    include_str!("../modules/flags.js"),
    include_str!("../modules/zoom.js"),
    include_str!("../modules/curves.js"),
    include_str!("../modules/stopped.js"),
    include_str!("../modules/glyphs.js"),
    include_str!("../modules/blocks.js"),
    include_str!("../modules/views.js"),
    include_str!("../modules/signs.js"),
    include_str!("../modules/glides.js"),
    include_str!("../modules/goods.js"),
    include_str!("../modules/layers.js"),
    include_str!("../modules/tints.js"),
    include_str!("../modules/story.js"),
    include_str!("../modules/near.js"),
    include_str!("../modules/map.js"),
    include_str!("../modules/pair.js"),
    include_str!("../modules/reach.js"),
    include_str!("../modules/waits.js"),
    include_str!("../modules/details.js"),
    include_str!("../modules/find.js"),
    include_str!("../modules/paper.js"),
    include_str!("../modules/tree.js"),
    include_str!("../modules/choice.js"),
    include_str!("../modules/csv.js"),
    include_str!("../modules/vectors.js"),
    include_str!("../modules/takeaway.js"),
    include_str!("../modules/first.js"),
    include_str!("../modules/address.js"),
    include_str!("../modules/main.js"),
];

/// The modules as one. What they import from each other is there already.
#[must_use]
pub fn script() -> String {
    let mut text = String::new();
    for module in MODULES {
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
