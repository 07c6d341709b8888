//! Goods on their way: where they are drawn between two parts, what stands for them, and how fast that is.

use serde_json::json;

use crate::support::{DESK, GRANARY, Shown, drawn, drawn_from, screenshots};

/// A hopper that takes three items out of a chest and passes them on to another; each stays for its cooldown.
const HANDED_ON: &str = r#"(
    title: "Handed on",
    run_for: "200t",
    goods: {"barley": 64, "barley meal": 64},
    parts: {
        "inbox": Chest(holds: [(kind: "barley meal", slots: 1, count: 3)]),
        "head": Hopper(above: "inbox", target: "store"),
        "store": Chest(),
    },
    stores: {"all": (parts: "store", takes: ["barley", "barley meal"])},
)"#;

/// Of the goods that are drawn between two parts: which share of their way they have gone, and their signs.
fn shares(shown: &Shown, from: &str, to: &str) -> Vec<(f64, String)> {
    let (from, to) = (json!(from), json!(to));
    let found = shown.json(&format!(
        "(() => {{
            const {{ map }} = hallwright;
            const {{ goods, run }} = map;
            const [a, b] = [{from}, {to}].map((name) => {{
                const part = run.find(name);
                return map.toPixel(run.x[part] + 0.5, run.y[part] + 0.5);
            }});
            const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
            return Array.from({{ length: goods.count }}, (_, at) => {{
                const [x, y] = [goods.x[at] - a[0], goods.y[at] - a[1]];
                const share = (x * dx + y * dy) / (dx * dx + dy * dy);
                const aside = Math.hypot(x - dx * share, y - dy * share);
                return [share, aside, goods.of(run).signs[goods.kind[at]]];
            }}).filter(([share, aside]) => aside < 1 && share > -0.01 && share < 1.01).map(([share, , sign]) => [share, sign]);
        }})()"
    ));
    serde_json::from_value(found).expect("shares and signs")
}

#[test]
fn an_item_is_seen_between_two_parts_around_its_move() {
    let (_folder, page) = drawn_from(HANDED_ON);
    let shown = Shown::open(&page, DESK, "light");
    let moves = shown.json(
        "(() => { const { run } = hallwright.map; const head = run.find('head'); \
         return [...run.eventTicks].filter((_, at) => run.shapes[run.events[at]].one === head); })()",
    );
    let moves: Vec<u64> = serde_json::from_value(moves).expect("ticks");
    assert_eq!(moves.len(), 3, "three items leave the hopper");
    assert_eq!(moves[1] - moves[0], 8, "a cooldown apart");
    // Half a cooldown before its move it sets out, half of one after it it is there.
    for (tick, share) in [(-3, 0.125), (-1, 0.375), (0, 0.5), (2, 0.75), (3, 0.875)] {
        shown.go(moves[2].saturating_add_signed(tick));
        let found = shares(&shown, "head", "store");
        assert_eq!(found.len(), 1, "{tick}: {found:?}");
        assert!((found[0].0 - share).abs() < 0.02, "{tick}: {found:?}");
        // B is barley's.
        assert_eq!(found[0].1, "Bm");
    }
    let key = shown.text("document.getElementById('goods-key').textContent");
    assert_eq!(key, "On its way: Bm barley meal");
    shown.keep("goods");
    shown.go(moves[2] + 4);
    assert_eq!(shares(&shown, "head", "store"), []);
    let key = shown.text("document.getElementById('goods-key').textContent");
    assert_eq!(key, "");
    shown.assert_untroubled();
}

#[test]
fn what_floats_goes_along_its_stream_block_by_block() {
    let page = drawn(&["tests/page/in_blocks.ron"]);
    let shown = Shown::open(&page, DESK, "light");
    // From the side, where its last block is seen, too.
    shown.click("#views [data-view=side]");
    // Where it is, in blocks of the stream, at each tick from the first in which something floats there.
    let places = shown.json(
        "(async () => {
            const { map, states } = hallwright;
            const { run, goods } = map;
            const [float] = goods.of(run).glides.floats;
            const places = [];
            for (let tick = float.from; tick < float.until; tick += 1) {
                states[0].go(tick);
                map.moment = tick;
                map.drawNow();
                const [x, y] = [goods.x[goods.count - 1] / map.scale + map.left, goods.y[goods.count - 1] / map.scale + map.top];
                const path = map.placed.stand.blocksOf(float.part);
                places.push(path.findIndex((block) => map.placed.u[block] === Math.floor(x) && map.placed.v[block] === Math.floor(y)));
            }
            return [run.partName(float.part), places];
        })()",
    );
    assert_eq!(places[0], "brook");
    let places: Vec<i64> = serde_json::from_value(places[1].clone()).expect("blocks");
    assert!(places.len() > 2, "{places:?}");
    assert!(places.is_sorted(), "{places:?}");
    assert_eq!(
        (places.first(), places.last()),
        (Some(&0), Some(&2)),
        "{places:?}"
    );
    shown.keep("goods-stream");
    shown.assert_untroubled();
}

#[test]
fn every_kind_has_a_sign_of_its_own_and_many_are_a_figure() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    let signs = shown.json("hallwright.map.goods.of(hallwright.map.run).signs");
    let signs: Vec<String> = serde_json::from_value(signs).expect("texts");
    let different: std::collections::BTreeSet<&String> = signs.iter().collect();
    assert_eq!(different.len(), signs.len(), "{signs:?}");
    assert!(
        signs.iter().all(|sign| sign.chars().count() <= 3),
        "{signs:?}"
    );
    // From far away, figures stand for all of them.
    shown.go(2540);
    shown.click("#open-more");
    shown.click("#fit");
    let sums = shown.json(
        "(() => { const { goods } = hallwright.map; \
         return [goods.count, goods.figures.reduce((sum, { items }) => sum + items, 0)]; })()",
    );
    assert!(sums[0].as_u64() > Some(5), "{sums}");
    assert_eq!(sums[0], sums[1]);
    // The signs are explained.
    shown.click(".legend summary");
    shown.keep("goods-signs");
    shown.assert_untroubled();
}

/// Lets a second and a half pass, a tick a frame, and counts the frames.
const FRAMES: &str = "new Promise((done) => {
    const { cursor } = hallwright;
    const begun = performance.now();
    let frames = 0;
    const next = () => {
        frames += 1;
        cursor.step(1);
        const passed = performance.now() - begun;
        if (passed < 1500) requestAnimationFrame(next);
        else done(((frames * 1000) / passed).toFixed(1));
    };
    requestAnimationFrame(next);
})";

/// How fast is written to `target/screenshots/frames.txt`, but not judged: machines differ.
#[test]
fn goods_travel_on_a_slow_machine() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    shown.click("#open-more");
    let mut text = String::new();
    for slower in [1, 6] {
        shown.slow_down(slower);
        shown.go(2450);
        let frames = shown.text(FRAMES);
        text += &format!(
            "granary, every module open, processor {slower} times slower: {frames} frames/s\n"
        );
    }
    print!("{text}");
    std::fs::write(screenshots().join("frames.txt"), text).expect("it can be written");
    shown.assert_untroubled();
}
