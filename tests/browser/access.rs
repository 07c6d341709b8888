//! For everyone: names, roles and contrast as axe judges them; cards that fit; edges of controls that are seen.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::{Value, json};

use crate::support::{GRANARY, PHONE, Shown, drawn, says, written_by};

const DESK: (u32, u32) = (1280, 800);
const WIDE: (u32, u32) = (1920, 1000);

/// The checks of axe, if npm can get them.
fn axe() -> Option<&'static str> {
    static AXE: OnceLock<Option<String>> = OnceLock::new();
    let found = AXE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("axe");
        let script: PathBuf = folder.join("node_modules/axe-core/axe.min.js");
        if !script.exists() {
            let npm = Command::new("npm")
                .args(["install", "--no-audit", "--no-fund", "--silent", "--prefix"])
                .arg(&folder)
                .arg("axe-core@4")
                .output();
            npm.ok()?;
        }
        std::fs::read_to_string(script).ok()
    });
    if found.is_none() {
        assert!(
            std::env::var_os("CI").is_none(),
            "npm cannot get axe-core, and CI must check with it"
        );
        println!("skipped: npm cannot get axe-core");
    }
    found.as_deref()
}

/// What axe finds wrong with the page as it is.
fn violations(shown: &Shown, axe: &str) -> Value {
    shown.text(&format!("{axe}; ''"));
    shown.json(
        "axe.run(document, { resultTypes: ['violations'] }).then(({ violations }) => violations.flatMap(\
         ({ id, nodes }) => nodes.map((node) => [id, node.target.join(' '), node.failureSummary])))",
    )
}

/// Everything that can be opened is open, and a part is chosen.
const OPEN: &str = "(() => {
    for (const each of document.querySelectorAll('details:not(.legend)')) each.open = true;
    hallwright.map.choose(0, true);
    return '';
})()";

#[test]
fn axe_finds_nothing() {
    let Some(axe) = axe() else { return };
    let pages = [
        drawn(&GRANARY),
        drawn(&["scenarios/bulk-slice.ron"]),
        drawn(&["tests/browser/first/slow_stop.ron"]),
        drawn(&[
            "scenarios/granary.ron",
            "--variant",
            "one section",
            "--variant",
            "five sections",
        ]),
    ];
    for page in &pages {
        // Both schemes and both widths, but not each with each: names and roles are the same in all.
        for (scheme, size) in [("light", PHONE), ("dark", DESK)] {
            let shown = Shown::open(page, size, scheme);
            shown.text(OPEN);
            shown.settle();
            assert_eq!(
                violations(&shown, axe),
                json!([]),
                "{page:?} {scheme} {size:?}"
            );
        }
    }
}

/// What stands out of its card, or out of the page.
const OUT: &str = "[...document.querySelectorAll('.card, .headline, .take, .map-tools, .cursor, .top')].flatMap((card) => {
    const { right } = card.getBoundingClientRect();
    const inside = [...card.querySelectorAll('*:not(canvas, .hidden)')];
    return inside.filter((each) => each.getBoundingClientRect().right > Math.min(right, innerWidth) + 1)
        .map((each) => `${card.className}: ${each.textContent.slice(0, 60)}`);
})";

#[test]
fn nothing_stands_out_of_its_card_at_any_width() {
    let pages = [
        ("granary", drawn(&GRANARY)),
        (
            "compared",
            drawn(&[
                "scenarios/granary.ron",
                "--variant",
                "one section",
                "--variant",
                "five sections",
            ]),
        ),
        ("slow-stop", drawn(&["tests/browser/first/slow_stop.ron"])),
    ];
    for (name, page) in &pages {
        for (width, size) in [("1920", WIDE), ("1280", DESK), ("390", PHONE)] {
            for scheme in ["light", "dark"] {
                let shown = Shown::open(page, size, scheme);
                assert_eq!(shown.json(OUT), json!([]), "{name} at {width}");
                let widths =
                    "document.documentElement.scrollWidth - document.documentElement.clientWidth";
                assert_eq!(shown.text(widths), "0", "{name} at {width}");
                shown.keep(&format!("access-{name}-{width}-{scheme}"));
                shown.assert_untroubled();
            }
        }
    }
}

/// The least contrast of an edge or a background of a control to what is behind it, and which it is.
const EDGES: &str = "(() => {
    const light = (tone) => {
        const [r, g, b] = tone.match(/[\\d.]+/g).map((part) => {
            const share = part / 255;
            return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const contrast = (one, other) => {
        const [low, high] = [light(one), light(other)].sort((a, b) => a - b);
        return (high + 0.05) / (low + 0.05);
    };
    const isClear = (tone) => /, 0\\)$/.test(tone);
    const behind = (element) => {
        for (let at = element.parentElement; at; at = at.parentElement) {
            const tone = getComputedStyle(at).backgroundColor;
            if (!isClear(tone)) return tone;
        }
        return 'rgb(255, 255, 255)';
    };
    const controls = [...document.querySelectorAll('button, select, input:not([type=range]), #map')];
    const framed = controls.filter((each) => each.checkVisibility() && !each.disabled && !each.matches('.link, .row, .flag'));
    return framed.map((each) => {
        const style = getComputedStyle(each);
        return [contrast(style.borderTopColor, behind(each)), each.id || each.textContent];
    }).sort(([one], [other]) => one - other)[0];
})()";

#[test]
fn edges_of_controls_are_seen() {
    let page = drawn(&GRANARY);
    for scheme in ["light", "dark"] {
        let shown = Shown::open(&page, DESK, scheme);
        let found = shown.json(EDGES);
        assert!(found[0].as_f64() >= Some(3.0), "{scheme}: {found}");
    }
}

/// Signs are read aloud as words.
#[test]
fn signs_of_verdicts_have_words() {
    let page = drawn(&["tests/browser/first/slow_stop.ron"]);
    let shown = Shown::open(&page, DESK, "light");
    let silent = shown.json(
        "[...document.querySelectorAll('.summary b')].filter((sign) => /^[✓✕]$/.test(sign.textContent.trim()) \
         && !(sign.getAttribute('role') === 'img' && sign.getAttribute('aria-label'))).length",
    );
    assert_eq!(silent, json!(0));
    let names = shown.accessible_names("img");
    assert!(names.contains(&"missed".to_owned()), "{names:?}");
    assert!(names.contains(&"ok".to_owned()), "{names:?}");
}

/// A page of many runs says which of them it shows, and the command what it wrote and how it came off.
#[test]
fn a_page_of_many_runs_says_which_it_shows() {
    let (page, said) = written_by(
        &["check", "tests/browser/first/slow_stop.ron"],
        "check-slow-stop",
    );
    let shown = Shown::open(&page, DESK, "light");
    let head = shown.text("document.querySelector('.variants').textContent");
    says(
        &head,
        &[
            "tests/browser/first/slow_stop.ron",
            "declared",
            "seed 0",
            "the first goal that was missed",
        ],
    );
    says(
        &said,
        &[
            "wrote ",
            "1 of 10 answers missed",
            "1 scenario in 1 variant",
        ],
    );
    let (page, said) = written_by(
        &[
            "compare",
            "scenarios/first-slice.ron",
            "--variant",
            "sealed",
            "--variant",
            "leaky",
        ],
        "compare-first-slice",
    );
    let shown = Shown::open(&page, DESK, "light");
    let head = shown.text("document.querySelector('.variants').textContent");
    says(
        &head,
        &[
            "sealed scenarios/first-slice.ron",
            "leaky scenarios/first-slice.ron",
            "declared",
        ],
    );
    says(
        &said,
        &[
            "wrote ",
            "sealed, scenarios/first-slice.ron",
            "leaky, scenarios/first-slice.ron",
            "answers ok",
        ],
    );
    shown.assert_untroubled();
}
