//! Halls of 20,000 and 100,000 parts: they open soon, what had to be thinned out is reported, and the map
//! moves. How fast is measured and written to `target/screenshots/large.txt`. Machines differ, so that
//! only what takes three times as long as it should is a failure.

use crate::support::{DESK, Shown, drawn, screenshots};

/// 20,250 parts, all at work for a minute.
pub(crate) const SCENARIO: &str = "tests/browser/large.ron";
/// 1,333 slices, each with a store and a section: 19,995 parts.
const SLICES: &str = "tests/browser/slices.ron";

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

/// How long a page of so many parts should take until it is ready, in milliseconds.
const SHOULD_TAKE: [(u64, f64); 2] = [(20_500, 1500.0), (100_005, 6000.0)];

/// When the page was ready, and for how long it kept its processor busy until then, both in milliseconds. A
/// failure if that is far too much: other work on the machine does not count.
fn ready(shown: &Shown) -> String {
    let busy = shown.busy_ms();
    let parts = shown.text("hallwright.map.run.partCount");
    let parts: u64 = parts.parse().expect("a number");
    let ready = shown.text("Math.round(performance.getEntriesByName('ready')[0].startTime)");
    let should = SHOULD_TAKE.iter().find(|(most, _)| parts <= *most);
    let (_, should) = should.expect("no larger hall is drawn here");
    assert!(busy < 3.0 * should, "{parts} parts: busy for {busy} ms");
    format!("ready after {ready} ms, busy for {busy:.0} ms")
}

/// Keeps what was measured.
fn report(name: &str, text: &str) {
    print!("{text}");
    std::fs::write(screenshots().join(name), text).expect("it can be written");
}

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
    let loaded = ready(&shown);
    let closed = shown.text(FRAMES);
    shown.go(820);
    shown.keep("large-closed");
    shown.click("#open-more");
    let open = shown.text(FRAMES);
    shown.go(820);
    shown.keep("large-open");
    let text = format!(
        "20,500 parts, page of {:.2} MB: {loaded}; map and cursor moving: \
         {closed} frames/s as it opens, {open} frames/s with every module open\n",
        bytes as f64 / 1e6
    );
    report("large.txt", &text);
    shown.assert_untroubled();
}

/// Each slice has its own store and section, which are many short rows of numbers.
#[test]
fn a_hall_of_1_333_stores_opens_as_soon() {
    let page = drawn(&[SLICES]);
    let html = std::fs::read_to_string(&page).expect("the page is there");
    // It is said before the script runs, and until it is done.
    let said = "<p id=\"reading\" class=\"reading\" role=\"status\">Reading the run: 19,995 parts, 400 ticks";
    assert!(html.contains(said));
    let shown = Shown::open(&page, DESK, "light");
    let loaded = ready(&shown);
    assert_eq!(
        shown.text("document.getElementById('reading').checkVisibility()"),
        "false"
    );
    report(
        "large-slices.txt",
        &format!("19,995 parts, 1,333 stores: {loaded}\n"),
    );
    // A part far down, by its name.
    shown.type_into("#find", "hall[1200].row[7]");
    shown.click("#found button");
    let found = shown.text("document.querySelector('#details h2').textContent");
    assert_eq!(found, "hall[1200].row[7].hopper");
    shown.assert_untroubled();
}

/// Drawing its page takes a minute where nothing is optimized, so `.ci/long` runs it.
#[test]
#[ignore = "takes a minute"]
fn a_hall_of_100_000_parts_opens() {
    let page = drawn(&[SLICES, "--set", "slices=6667"]);
    let bytes = std::fs::metadata(&page).expect("the page is there").len();
    assert!(bytes < 5_000_000, "{bytes}");
    let shown = Shown::open(&page, DESK, "light");
    assert_eq!(shown.text("hallwright.map.run.partCount"), "100005");
    let loaded = ready(&shown);
    let moving = shown.text(FRAMES);
    let text = format!(
        "100,005 parts, page of {:.2} MB: {loaded}; map and cursor moving: {moving} frames/s\n",
        bytes as f64 / 1e6
    );
    report("large-100000.txt", &text);
    shown.keep("large-100000");
    shown.assert_untroubled();
}
