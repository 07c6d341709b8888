//! A hall of 20,000 parts: it opens, what had to be thinned out is reported, and the map moves. How fast
//! is measured and written to `target/screenshots/large.txt`, but not judged: machines differ.

use crate::support::{DESK, Shown, drawn, screenshots};

/// 20,250 parts, all at work for a minute.
pub(crate) const SCENARIO: &str = "tests/browser/large.ron";

/// Moves the map and the cursor for two seconds and counts the frames.
const FRAMES: &str = "new Promise((done) => {
    const { map, cursor } = hallwright;
    const begun = performance.now();
    let frames = 0;
    const next = () => {
        frames += 1;
        map.left += frames % 2 ? 0.5 : -0.5;
        cursor.step(1);
        const passed = performance.now() - begun;
        if (passed < 2000) requestAnimationFrame(next);
        else done(((frames * 1000) / passed).toFixed(1));
    };
    requestAnimationFrame(next);
})";

#[test]
fn a_hall_of_20_000_parts_opens_and_moves() {
    let page = drawn(&[SCENARIO]);
    let bytes = std::fs::metadata(&page).expect("the page is there").len();
    assert!(bytes < 5_000_000, "{bytes}");

    let shown = Shown::open(&page, DESK, "light");
    assert_eq!(shown.text("hallwright.map.run.partCount"), "20500");
    // What was left out, and what was kept, is reported in the page.
    let note = shown.text("document.querySelector('.summary .note').textContent");
    assert!(note.contains("every tick is kept from"), "{note}");
    let loaded = shown.text("Math.round(performance.getEntriesByName('ready')[0].startTime)");
    let closed = shown.text(FRAMES);
    shown.go(820);
    shown.keep("large-closed");
    shown.click("#open-more");
    let open = shown.text(FRAMES);
    shown.go(820);
    shown.keep("large-open");
    let text = format!(
        "20,500 parts, page of {:.2} MB: ready after {loaded} ms; map and cursor moving: \
         {closed} frames/s as it opens, {open} frames/s with every module open\n",
        bytes as f64 / 1e6
    );
    print!("{text}");
    std::fs::write(screenshots().join("large.txt"), text).expect("it can be written");
    shown.assert_untroubled();
}
