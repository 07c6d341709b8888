//! Files that are made from the page: tables of curves and events, drawings of curves and map.

use serde_json::{Value, json};

use crate::support::{DESK, GRANARY, Shown, drawn, drawn_from};

/// Keeps every file that the page makes instead of saving it.
const CATCH: &str = "(() => {
    window.made = [];
    URL.createObjectURL = (blob) => { window.made.push({ blob }); return 'blob:none'; };
    HTMLAnchorElement.prototype.click = function () { window.made.at(-1).name = this.download; };
    return '';
})()";

/// A small hall whose names try to be more than text.
const NAMES: &str = r#"(
    title: "Millbrook Granary: names",
    run_for: "3s",
    goods: {"=barley": 64, "flax, \"long\"": 64},
    parts: {
        "inbox": Chest(holds: [(kind: "=barley", count: 1), (kind: "flax, \"long\"", count: 2)]),
        "head, \"first\"": Hopper(above: "inbox", target: "store"),
        "store": Chest(),
    },
    stores: {"all": (parts: "store", takes: ["=barley", "flax, \"long\""])},
)"#;

/// Clicks a button, and gives the name and the text of the file.
fn made(shown: &Shown, id: &str) -> (String, String) {
    shown.text(CATCH);
    shown.click(&format!("#{id}"));
    shown.wait_for("window.made.length === 1 && window.made[0].name !== undefined");
    let made = shown.json("(async () => [made[0].name, await made[0].blob.text()])()");
    let text = |at: usize| made[at].as_str().expect("a text").to_owned();
    (text(0), text(1))
}

/// What a drawing comes to when it stands alone: the texts in it, and whether it is well formed.
fn drawing(shown: &Shown, text: &str) -> Value {
    shown.json(&format!(
        "(() => {{
            const parsed = new DOMParser().parseFromString({}, 'image/svg+xml');
            return {{
                wrong: parsed.querySelector('parsererror')?.textContent ?? null,
                texts: [...parsed.querySelectorAll('text')].map((each) => each.textContent),
                title: parsed.querySelector('title')?.textContent ?? '',
                foreign: [...parsed.querySelectorAll('image, use, script, foreignObject, style, a')].length,
                shapes: parsed.querySelectorAll('path, rect').length,
            }};
        }})()",
        json!(text)
    ))
}

#[test]
fn curves_are_a_table_with_a_row_for_each_tick() {
    let (_folder, page) = drawn_from(NAMES);
    let shown = Shown::open(&page, DESK, "light");
    let (name, text) = made(&shown, "take-curves-csv");
    assert_eq!(name, "millbrook-granary-names-curves.csv");
    let rows: Vec<&str> = text.split_terminator("\r\n").collect();
    assert!(rows[0].starts_with("tick,time (s),"), "{}", rows[0]);
    // 3 s of 20 ticks, and the names of the columns.
    assert_eq!(rows.len(), 61);
    assert!(rows[21].starts_with("20,1,"), "{}", rows[21]);
    let columns = rows[0].split(',').count();
    for row in rows {
        assert_eq!(row.split(',').count(), columns, "{row}");
    }
    // What the page shows at a tick stands in its row.
    shown.go(20);
    let work = shown.text("document.querySelector('[data-key=work] output').textContent");
    let row: Vec<&str> = text
        .split("\r\n")
        .nth(21)
        .expect("a row")
        .split(',')
        .collect();
    assert!(row.contains(&work.as_str()), "{work}: {row:?}");
    shown.assert_untroubled();
}

#[test]
fn events_are_a_table_and_no_name_is_a_formula() {
    let (_folder, page) = drawn_from(NAMES);
    let shown = Shown::open(&page, DESK, "light");
    // Without a part there is nothing to take away, which is said.
    shown.click("#take-events");
    assert!(
        shown
            .text("document.getElementById('taken').textContent")
            .starts_with("Choose a part first")
    );
    shown.choose("head, \"first\"");
    let (name, text) = made(&shown, "take-events");
    assert_eq!(name, "head-first-events.csv");
    let rows: Vec<&str> = text.split_terminator("\r\n").collect();
    assert_eq!(rows[0], "part,tick,time (s),event");
    // Its first move: it draws in tick 0.
    assert_eq!(rows[1], "\"head, \"\"first\"\"\",0,0,'=barley from inbox");
    assert!(
        rows.iter()
            .any(|row| row.ends_with(",\"flax, \"\"long\"\" to store\"")),
        "{rows:?}"
    );
    shown.assert_untroubled();
}

#[test]
fn drawings_stand_alone() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    let (name, text) = made(&shown, "take-curves-svg");
    assert!(name.ends_with("-curves.svg"), "{name}");
    let curves = drawing(&shown, &text);
    assert_eq!(
        (&curves["wrong"], &curves["foreign"]),
        (&Value::Null, &json!(0))
    );
    assert!(
        !text.contains("var(") && !text.contains("NaN"),
        "it is finished"
    );
    let texts = curves["texts"].to_string();
    for word in ["Backlog", "Throughput", "stop"] {
        assert!(texts.contains(word), "{word}: {texts}");
    }
    keep("take-curves", &text);
    let (_, text) = made(&shown, "take-map-svg");
    let map = drawing(&shown, &text);
    assert_eq!((&map["wrong"], &map["foreign"]), (&Value::Null, &json!(0)));
    assert!(
        !text.contains("var(") && !text.contains("NaN"),
        "it is finished"
    );
    assert!(
        map["title"]
            .as_str()
            .is_some_and(|title| title.contains("at the end of tick 2,500")),
        "{map}"
    );
    assert!(map["shapes"].as_u64() > Some(100), "{map}");
    keep("take-map", &text);
    // The map goes on as before.
    shown.go(2600);
    shown.keep("take-after");
    shown.text(CATCH);
    shown.click("#take-map-png");
    shown.wait_for("window.made.length === 1 && window.made[0].name !== undefined");
    let png = shown.json(
        "(async () => { const { blob, name } = made[0]; const picture = await createImageBitmap(blob); \
         const { canvas } = hallwright.map; return [name.endsWith('-map.png'), blob.type, picture.width - canvas.width]; })()",
    );
    assert_eq!(png, json!([true, "image/png", 0]));
    shown.assert_untroubled();
}

/// Keeps a drawing beside the screenshots, to be looked at.
fn keep(name: &str, text: &str) {
    let path = crate::support::screenshots().join(format!("{name}.svg"));
    std::fs::write(path, text).expect("it can be written");
}
