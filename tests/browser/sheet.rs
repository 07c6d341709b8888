//! The build sheet in a browser and on paper.

use serde_json::json;

use crate::support::{DESK, PHONE, Shown, sheet_of};

#[test]
fn what_is_ticked_off_stays_so_and_nothing_sticks_out() {
    let page = sheet_of("scenarios/first-slice.ron");
    let shown = Shown::open(&page, PHONE, "light");
    let widest = shown.json("document.documentElement.scrollWidth");
    assert_eq!(widest, json!(PHONE.0));
    shown.click("#h1");
    shown.click("#b2");
    let ticked = "[...document.querySelectorAll('input:checked')].map((box) => box.id)";
    assert_eq!(shown.json(ticked), json!(["b2", "h1"]));
    shown.text(
        "(() => { document.documentElement.dataset.ready = ''; location.reload(); return ''; })()",
    );
    shown.wait_for("document.documentElement.dataset.ready === 'yes'");
    assert_eq!(shown.json(ticked), json!(["b2", "h1"]));
    shown.click("#clear");
    assert_eq!(shown.json(ticked), json!([]));
    shown.assert_untroubled();
}

#[test]
fn each_height_begins_a_page_and_every_plan_fits_on_a4_and_on_letter() {
    // A4 is 210 mm wide and letter 279 mm high (ISO 216, ANSI/ASME Y14.1): 190 x 259 within the margins.
    for file in ["scenarios/first-slice.ron", "scenarios/multi-item-line.ron"] {
        let page = sheet_of(file);
        let shown = Shown::open(&page, DESK, "light");
        shown.on_paper(true);
        let breaks = shown.json(
            "[...document.querySelectorAll('.height')].every((height) => getComputedStyle(height).breakBefore === 'page')",
        );
        assert_eq!(breaks, json!(true));
        let largest = shown.json(
            "['Width', 'Height'].map((side) => Math.max(...[...document.querySelectorAll('.plan')].map((plan) => plan[`offset${side}`] * 25.4 / 96)))",
        );
        let largest: Vec<f64> = serde_json::from_value(largest).expect("two numbers");
        assert!(largest[0] <= 190.0 && largest[1] <= 230.0, "{largest:?}");
        assert_eq!(
            shown.json("document.getElementById('print').checkVisibility()"),
            json!(false)
        );
        let name = file.rsplit('/').next().unwrap_or(file);
        shown.print_as(&format!(
            "target/screenshots/sheet-{}.pdf",
            name.trim_end_matches(".ron")
        ));
        shown.keep(&format!("sheet-{}", name.trim_end_matches(".ron")));
        shown.assert_untroubled();
    }
}
