//! Draws pages with the command and opens them.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::{Arc, Mutex, Once};
use std::time::{Duration, Instant};

use base64::prelude::{BASE64_STANDARD, Engine as _};
use hallwright_core::order::Orders;
use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, Scenario, load};
use serde_json::{Value, json};

use crate::chromium::{Chromium, PATIENCE};
use crate::command::hallwright;

/// A page's size in pixels.
pub(crate) const DESK: (u32, u32) = (1440, 900);
/// The width of a phone.
pub(crate) const PHONE: (u32, u32) = (390, 844);

/// The root of the project.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

/// The folder of the screenshots.
pub(crate) fn screenshots() -> PathBuf {
    let folder = root().join("target/screenshots");
    std::fs::create_dir_all(&folder).expect("the folder can be made");
    folder
}

/// The granary in five sections, and beside it in one: what to draw.
pub(crate) const GRANARY: [&str; 3] = ["scenarios/granary.ron", "--variant", "five sections"];
pub(crate) const FIVE_AND_ONE: [&str; 5] = [
    "scenarios/granary.ron",
    "--variant",
    "five sections",
    "--variant",
    "one section",
];

/// The page that `hallwright show` draws with these arguments, from the root of the project. All tests that
/// ask for the same share it, for drawing a large hall takes long.
pub(crate) fn drawn(arguments: &[&str]) -> PathBuf {
    once(&[&["show"], arguments].concat())
}

/// The page that `hallwright sheet` writes, likewise.
pub(crate) fn sheet_of(scenario: &str) -> PathBuf {
    once(&["sheet", scenario])
}

/// Draws a scenario of this text, into a folder that lives as long as the test; gives the folder and the
/// page's path.
pub(crate) fn drawn_from(text: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let scenario = folder.path().join("scenario.ron");
    std::fs::write(&scenario, text).expect("it can be written");
    let page = folder.path().join("page.html");
    write_page(&["show", scenario.to_str().expect("a plain path")], &page);
    (folder, page)
}

/// The page that a command writes, whatever its exit code, and what it reports on standard error.
pub(crate) fn written_by(command: &[&str], name: &str) -> (PathBuf, String) {
    let page = page_called(name);
    let output = with_page(command, &page);
    (page, String::from_utf8_lossy(&output.stderr).into_owned())
}

/// Where the page of this name is written.
fn page_called(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(name)
        .with_extension("html")
}

/// The page that a command writes, made on the first call.
fn once(command: &[&str]) -> PathBuf {
    static PAGES: Mutex<BTreeMap<PathBuf, Arc<Once>>> = Mutex::new(BTreeMap::new());
    let plain = |letter: char| {
        if letter.is_alphanumeric() {
            letter
        } else {
            '-'
        }
    };
    let name: String = command.join(" ").chars().map(plain).collect();
    let page = page_called(&name);
    let written = {
        let mut pages = PAGES.lock().expect("nobody panics meanwhile");
        Arc::clone(
            pages
                .entry(page.clone())
                .or_insert_with(|| Arc::new(Once::new())),
        )
    };
    // Others are drawn beside it.
    written.call_once(|| write_page(command, &page));
    page
}

fn write_page(command: &[&str], page: &Path) {
    let output = with_page(command, page);
    let reported = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?}: {reported}");
}

/// Runs a command that writes its page there.
fn with_page(command: &[&str], page: &Path) -> Output {
    Command::new(hallwright())
        .current_dir(root())
        .args(command)
        .arg("--output")
        .arg(format!("html={}", page.display()))
        .output()
        .expect("the command can be started")
}

/// Whether a text says all of this.
#[track_caller]
pub(crate) fn says(text: &str, words: &[&str]) {
    for words in words {
        assert!(text.contains(words), "{words:?} is not in: {text}");
    }
}

/// One of our scenarios in a variant.
pub(crate) fn scenario(file: &str, variant: &str) -> Scenario {
    let options = LoadOptions {
        variant: Some(variant.to_owned()),
        ..LoadOptions::default()
    };
    let loaded = load(&root().join("scenarios").join(file), &options);
    loaded.scenario.expect("the scenario is sound")
}

/// Its run, as the command makes it.
pub(crate) fn input(scenario: &Scenario) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}

/// A page in a browser.
pub(crate) struct Shown(RefCell<Chromium>);

impl Shown {
    /// Opens a page and waits until its script is done with it and it is laid out.
    pub(crate) fn open(page: &Path, (width, height): (u32, u32), scheme: &str) -> Self {
        let mut chromium = Chromium::start((width, height));
        chromium.call("Log.enable", json!({}));
        chromium.call("Runtime.enable", json!({}));
        // Time that the page itself takes, however busy the machine is.
        let of_thread = json!({"timeDomain": "threadTicks"});
        chromium.call("Performance.enable", of_thread);
        let metrics = json!({
            "width": width,
            "height": height,
            "deviceScaleFactor": 1,
            "mobile": width < 500,
        });
        chromium.call("Emulation.setDeviceMetricsOverride", metrics);
        let scheme = json!({"name": "prefers-color-scheme", "value": scheme});
        chromium.call("Emulation.setEmulatedMedia", json!({"features": [scheme]}));
        let url = format!("file://{}", page.display());
        let opened = chromium.call("Page.navigate", json!({"url": url}));
        assert_eq!(opened.get("errorText"), None, "the page opens");
        let shown = Self(RefCell::new(chromium));
        shown.wait_for("document.documentElement.dataset.ready === 'yes'");
        // What is laid out by the room that there is, comes with the first frame.
        shown.settle();
        shown
    }

    fn call(&self, method: &str, parameters: Value) -> Value {
        self.0.borrow_mut().call(method, parameters)
    }

    /// Makes the processor so many times slower.
    pub(crate) fn slow_down(&self, times: u32) {
        self.call("Emulation.setCPUThrottlingRate", json!({"rate": times}));
    }

    /// The text that an expression of the page's script comes to; promises are awaited.
    pub(crate) fn text(&self, script: &str) -> String {
        self.evaluated(script)
            .unwrap_or_else(|why| panic!("{script}: {why}"))
    }

    fn evaluated(&self, script: &str) -> Result<String, String> {
        let parameters = json!({"expression": script, "awaitPromise": true});
        let mut chromium = self.0.borrow_mut();
        let answer = chromium.try_call("Runtime.evaluate", parameters)?;
        let found = &answer["result"];
        Ok(match &found["value"] {
            Value::String(text) => text.clone(),
            Value::Null => format!("{:?}", found["description"].as_str()),
            other => other.to_string(),
        })
    }

    /// What a script gives, as JSON.
    pub(crate) fn json(&self, script: &str) -> Value {
        let text = self.text(&format!("(async () => JSON.stringify(await ({script})))()"));
        serde_json::from_str(&text).unwrap_or_else(|_| panic!("no JSON: {text}"))
    }

    /// Waits until an expression holds.
    pub(crate) fn wait_for(&self, script: &str) {
        let begun = Instant::now();
        // While a page goes, nothing can be asked of it.
        while self.evaluated(script).as_deref() != Ok("true") {
            assert!(begun.elapsed() < PATIENCE, "`{script}` never held");
            std::thread::sleep(Duration::from_millis(30));
        }
    }

    /// Waits until everything that follows the cursor has followed.
    pub(crate) fn settle(&self) {
        self.text(
            "(async () => {
                const frame = () => new Promise((done) => requestAnimationFrame(done));
                for (let frames = 0; frames < 3 || !(window.hallwright?.isWritten() ?? true); frames += 1) await frame();
                return '';
            })()",
        );
    }

    /// Clicks the first element of a selector.
    pub(crate) fn click(&self, selector: &str) {
        let middle = self.json(&format!(
            "(async () => {{
                const element = document.querySelector({});
                if (!element) return null;
                const seen = await new Promise((done) => new IntersectionObserver((entries, observer) => {{
                    observer.disconnect();
                    done(entries[0].intersectionRatio);
                }}).observe(element));
                if (seen < 1) element.scrollIntoView({{ block: 'center', inline: 'center', behavior: 'instant' }});
                const {{ x, y, width, height }} = element.getClientRects()[0];
                return [x + width / 2, y + height / 2];
            }})()",
            json!(selector)
        ));
        match (middle[0].as_f64(), middle[1].as_f64()) {
            (Some(x), Some(y)) => self.click_at(x, y),
            _ => panic!("{selector}: nothing is there"),
        }
    }

    /// Clicks a point of the page.
    pub(crate) fn click_at(&self, x: f64, y: f64) {
        self.mouse("mouseMoved", (x, y), 0);
        self.mouse("mousePressed", (x, y), 1);
        self.mouse("mouseReleased", (x, y), 0);
        self.settle();
    }

    /// The mouse with so many of its left buttons down.
    pub(crate) fn mouse(&self, what: &str, (x, y): (f64, f64), buttons: u32) {
        let button = if what == "mouseMoved" && buttons == 0 {
            "none"
        } else {
            "left"
        };
        let event = json!({
            "type": what, "x": x, "y": y, "button": button, "buttons": buttons, "clickCount": 1,
        });
        self.call("Input.dispatchMouseEvent", event);
    }

    /// Turns the wheel at a point, down for a positive number.
    pub(crate) fn wheel(&self, (x, y): (f64, f64), pixels: f64) {
        let event = json!({"type": "mouseWheel", "x": x, "y": y, "deltaX": 0, "deltaY": pixels});
        self.call("Input.dispatchMouseEvent", event);
        self.settle();
    }

    /// Left edge, top edge, width and height of the first element of a selector, in the window.
    pub(crate) fn place(&self, selector: &str) -> [f64; 4] {
        let place = self.json(&format!(
            "(() => {{ const {{ left, top, width, height }} = \
             document.querySelector({}).getBoundingClientRect(); return [left, top, width, height]; }})()",
            json!(selector)
        ));
        serde_json::from_value(place).expect("four numbers")
    }

    /// Types into the element of a selector.
    pub(crate) fn type_into(&self, selector: &str, text: &str) {
        self.click(selector);
        for letter in text.chars() {
            self.key(&letter.to_string());
        }
        self.settle();
    }

    /// Presses a key.
    pub(crate) fn press(&self, key: &str) {
        self.key(key);
        self.settle();
    }

    /// A key goes down and up, with shift for one named so.
    fn key(&self, key: &str) {
        let (key, modifiers) = match key.strip_prefix("Shift+") {
            Some(key) => (key, 8),
            None => (key, 0),
        };
        // A letter writes itself.
        let (code, number, text) = match key {
            "Tab" => (key, 9, None),
            "Enter" => (key, 13, Some("\r")),
            "PageDown" => (key, 34, None),
            "ArrowLeft" => (key, 37, None),
            "ArrowRight" => (key, 39, None),
            "ArrowDown" => (key, 40, None),
            " " => ("Space", 32, Some(" ")),
            letter => {
                assert_eq!(letter.chars().count(), 1, "an unknown key: {letter}");
                let number = letter.bytes().next().filter(u8::is_ascii_alphanumeric);
                (
                    "",
                    number.map_or(0, |byte| byte.to_ascii_uppercase()),
                    Some(letter),
                )
            }
        };
        let mut event = json!({
            "type": if text.is_some() { "keyDown" } else { "rawKeyDown" },
            "key": key,
            "code": code,
            "modifiers": modifiers,
            "windowsVirtualKeyCode": number,
            "nativeVirtualKeyCode": number,
        });
        if let Some(text) = text {
            event["text"] = json!(text);
        }
        self.call("Input.dispatchKeyEvent", event.clone());
        event["type"] = json!("keyUp");
        self.call("Input.dispatchKeyEvent", event);
    }

    /// Fingers go from their first points to their last.
    pub(crate) fn touch(&self, from: &[(f64, f64)], to: &[(f64, f64)]) {
        let touch = |what: &str, share: f64| {
            let fingers = from.iter().zip(to).map(|(from, to)| {
                let at = |from: f64, to: f64| from + (to - from) * share;
                json!({"x": at(from.0, to.0), "y": at(from.1, to.1)})
            });
            let points: Vec<Value> = fingers.collect();
            let points = if what == "touchEnd" { vec![] } else { points };
            let event = json!({"type": what, "touchPoints": points});
            self.call("Input.dispatchTouchEvent", event);
        };
        touch("touchStart", 0.0);
        for step in 1..=8 {
            touch("touchMove", f64::from(step) / 8.0);
            self.settle();
        }
        touch("touchEnd", 1.0);
        self.settle();
    }

    /// Drags from one point to another.
    pub(crate) fn drag(&self, from: (f64, f64), to: (f64, f64)) {
        let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
        self.mouse("mousePressed", from, 1);
        self.mouse("mouseMoved", middle, 1);
        self.mouse("mouseMoved", to, 1);
        self.mouse("mouseReleased", to, 0);
        self.settle();
    }

    /// The tick of the cursor.
    pub(crate) fn tick(&self) -> u64 {
        let text = self.text("document.getElementById('tick').value");
        text.parse().expect("the field holds a tick")
    }

    /// Chooses a part by its name, as whatever on the page leads to one does.
    pub(crate) fn choose(&self, part: &str) {
        let part = Value::from(part);
        self.text(&format!(
            "(document.dispatchEvent(new CustomEvent('choose', {{ detail: {part} }})), '')"
        ));
        self.settle();
    }

    /// Finds a kind, chooses the first part that has it, and follows the item that is there for longest.
    pub(crate) fn follow_first(&self, kind: &str) {
        self.type_into("#find", kind);
        self.text("document.querySelector('#found button').click()");
        self.settle();
        self.text("[...document.querySelectorAll('#found button')].find((each) => each.textContent.startsWith('follow')).click()");
        self.settle();
    }

    /// Goes to a tick by the cursor's field.
    pub(crate) fn go(&self, tick: u64) {
        self.text(&format!(
            "(() => {{ const field = document.getElementById('tick'); field.value = '{tick}'; \
             field.dispatchEvent(new Event('change')); return ''; }})()"
        ));
        self.settle();
    }

    /// What is seen, as a file in PNG.
    fn picture(&self) -> Vec<u8> {
        self.settle();
        decoded(&self.call("Page.captureScreenshot", json!({"format": "png"})))
    }

    /// Keeps what is seen as `target/screenshots/NAME.png`.
    pub(crate) fn keep(&self, name: &str) {
        let path = screenshots().join(format!("{name}.png"));
        std::fs::write(path, self.picture()).expect("it can be written");
    }

    /// Keeps what is seen without scrolling, in the folder `PICTURES` if it is set.
    pub(crate) fn keep_view(&self, name: &str) {
        let folder = std::env::var_os("PICTURES").map_or_else(screenshots, |folder| {
            let folder = root().join(folder);
            std::fs::create_dir_all(&folder).expect("the folder can be made");
            folder
        });
        let path = folder.join(format!("{name}.png"));
        std::fs::write(path, self.picture()).expect("it can be written");
    }

    /// Lays the page out as for printing, or for the screen again.
    pub(crate) fn on_paper(&self, is_paper: bool) {
        let media = if is_paper { "print" } else { "" };
        self.call("Emulation.setEmulatedMedia", json!({"media": media}));
        self.settle();
    }

    /// Prints the page into a file, from the root of the project.
    pub(crate) fn print_as(&self, path: &str) {
        let printed = decoded(&self.call("Page.printToPDF", json!({})));
        screenshots();
        std::fs::write(root().join(path), printed).expect("it can be written");
    }

    /// The names that assistive technology reads of everything with a role.
    pub(crate) fn accessible_names(&self, role: &str) -> Vec<String> {
        self.call("Accessibility.enable", json!({}));
        let tree = self.call("Accessibility.getFullAXTree", json!({}));
        let nodes = tree["nodes"].as_array().cloned().unwrap_or_default();
        let of_role = nodes.iter().filter(|node| {
            let found = node["role"]["value"].as_str().unwrap_or_default();
            found == role || (role == "img" && found == "image")
        });
        let names = of_role.filter_map(|node| Some(node["name"]["value"].as_str()?.to_owned()));
        names.collect()
    }

    /// For how many milliseconds the page kept its processor busy so far.
    pub(crate) fn busy_ms(&self) -> f64 {
        let answer = self.call("Performance.getMetrics", json!({}));
        let metrics = answer["metrics"].as_array().cloned().unwrap_or_default();
        let task = metrics
            .iter()
            .find(|metric| metric["name"] == "TaskDuration");
        let seconds = task.and_then(|metric| metric["value"].as_f64());
        seconds.expect("it is measured") * 1000.0
    }

    /// Fails if the page had anything to complain about.
    #[track_caller]
    pub(crate) fn assert_untroubled(&self) {
        // What it had is there before the answer.
        self.text("''");
        let chromium = self.0.borrow();
        let troubles = chromium.troubles();
        assert!(troubles.is_empty(), "{troubles:#?}");
    }
}

/// The file in an answer.
fn decoded(answer: &Value) -> Vec<u8> {
    let data = answer["data"].as_str().expect("a file");
    BASE64_STANDARD.decode(data).expect("it is in base 64")
}
