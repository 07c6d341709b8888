//! Where parts stand is looked at when a layout is read: what is wrong is a warning at the part's line.

use hallwright_declared::declarations::Goal;
use hallwright_scenario::diagnostic::Severity;
use hallwright_scenario::{LoadOptions, Loaded, ids};
use hallwright_site::place::Rule;

use crate::{load_text, readable};

/// A scenario with these fields.
fn loaded(fields: &str) -> Loaded {
    let text =
        format!("(\ntitle: \"Placed\",\nrun_for: \"1s\",\ngoods: {{\"flax\": 64}},\n{fields}\n)\n");
    load_text(&text, &LoadOptions::default())
}

/// A hopper that pushes into a barrel, which stands here.
fn pair(barrel: &str) -> Loaded {
    loaded(&format!(
        "parts: {{\n\"line\": Hopper(target: \"store\", holds: [\"flax\"], position: (0, 1, 0)),\n\
         \"store\": Barrel(position: {barrel}),\n}},\ncaps: [(0, 2, 0)],"
    ))
}

#[test]
fn what_stands_is_counted_and_not_reported() {
    let below = pair("(0, 0, 0)");
    assert_eq!(below.diagnostics, []);
    let site = readable(below)
        .declarations
        .site
        .expect("it stands somewhere");
    assert_eq!((site.parts, site.stand, site.links_proven), (2, 2, 1));
    assert_eq!(site.problems, []);
}

#[test]
fn a_mistyped_position_is_a_warning_at_the_part_s_line() {
    let apart = pair("(0, 0, 1)");
    let [warning] = apart.diagnostics.as_slice() else {
        panic!("{:?}", apart.diagnostics);
    };
    assert_eq!(warning.id, "site::target-apart");
    assert_eq!(warning.severity, Severity::Warning);
    let line = apart
        .sources
        .position(warning.primary().expect("it is in a text"))
        .line;
    assert_eq!(line, 6);
    let words = "`line` at (0, 1, 0) does not hand on to `store` at (0, 0, 1)";
    assert_eq!(warning.message, words);
    let others: Vec<&str> = warning.annotations[1..]
        .iter()
        .map(|other| other.label.as_str())
        .collect();
    assert_eq!(others, ["the other one"]);
    let site = readable(apart)
        .declarations
        .site
        .expect("it stands somewhere");
    assert_eq!(site.problems.len(), 1);
}

#[test]
fn what_a_module_does_wrong_in_each_instance_is_reported_once_with_the_number() {
    let row = loaded(
        "modules: {\"pair\": (parts: {\n\
         \"line\": Hopper(target: \"store\", holds: [\"flax\"], position: (0, 1, 0)),\n\
         \"store\": Barrel(position: (0, 0, 2)),\n}, caps: [(0, 2, 0)])},\n\
         uses: {\"row\": Row(module: \"pair\", count: 3, step: (2, 0, 0))},",
    );
    let messages: Vec<&str> = row
        .diagnostics
        .iter()
        .map(|one| one.message.as_str())
        .collect();
    assert_eq!(
        messages,
        [
            "`row[0].line` at (0, 1, 0) does not hand on to `row[0].store` at (0, 0, 2), \
          and 2 times more like this"
        ]
    );
}

#[test]
fn a_layout_without_positions_is_not_looked_at() {
    let silent = loaded("parts: {\"store\": Barrel(holds: [\"flax\"])},");
    assert_eq!(readable(silent).declarations.site, None);
}

#[test]
fn a_goal_names_what_need_not_be_buildable() {
    let parts = "parts: {\"store\": Barrel(holds: [\"flax\"])},";
    for (goal, named) in [("Buildable()", 0), ("Buildable(except: [\"store\"])", 1)] {
        let scenario = readable(loaded(&format!("{parts}\ngoals: [{goal}],")));
        let [Goal::Buildable(parts)] = scenario.declarations.goals.as_slice() else {
            panic!("{:?}", scenario.declarations.goals);
        };
        assert_eq!(parts.len(), named);
    }
}

#[test]
fn the_rules_of_the_site_have_the_ids_that_are_explained() {
    // `site` and `text` do not know each other.
    let rules: Vec<&str> = Rule::ALL.iter().map(|rule| rule.id()).collect();
    let explained = ids::ALL.iter().copied();
    let explained: Vec<&str> = explained.filter(|id| id.starts_with("site::")).collect();
    assert_eq!(rules, explained);
}

#[test]
fn a_shuttle_in_a_module_has_its_docks_at_the_sides_that_call_them_as_the_module_does() {
    let ferry = |side: &str| {
        loaded(&format!(
            "modules: {{\"ferry\": (parts: {{\n\
             \"north\": Dock, \"south\": Dock,\n\
             \"barge\": Shuttle(stops: [(dock: \"north\", travel: \"10s\"), \
             (dock: \"south\", travel: \"10s\")], position: (0, 0, 0), size: (3, 1, 1), \
             sides: {{\"{side}\": \"-x\", \"south\": \"+x\"}}),\n\
             \"line\": Hopper(target: \"south\", holds: [\"flax\"], position: (3, 0, 0)),\n}}, \
             caps: [(3, 1, 0)])}},\nuses: {{\"it\": One(module: \"ferry\")}},"
        ))
    };
    let sound = ferry("north");
    assert_eq!(sound.diagnostics, []);
    let site = readable(sound).declarations.site.expect("it stands");
    assert_eq!((site.stand, site.links_proven), (4, 1));
    let misspelt = ferry("nroth");
    let [warning] = misspelt.diagnostics.as_slice() else {
        panic!("{:?}", misspelt.diagnostics);
    };
    assert_eq!(
        warning.message,
        "`it.barge` at (0, 0, 0) has no side `nroth`"
    );
}
