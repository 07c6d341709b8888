//! Draws pages with the command and opens them.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use hallwright_core::order::Orders;
use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, Scenario, load};
use headless_chrome::browser::tab::point::Point;
use headless_chrome::protocol::cdp::Emulation;
use headless_chrome::protocol::cdp::Page::CaptureScreenshotFormatOption;
use headless_chrome::protocol::cdp::types::Event;
use headless_chrome::{Browser, LaunchOptions, Tab};

use crate::command::hallwright;

/// How long anything may take before the test gives up. Not a bound on how fast it is.
const PATIENCE: Duration = Duration::from_secs(120);

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

/// Runs `hallwright show` from the root of the project, into a folder that lives as long as the
/// test; gives the folder and the page's path.
pub(crate) fn drawn(arguments: &[&str]) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let page = folder.path().join("page.html");
    let output = Command::new(hallwright())
        .current_dir(root())
        .arg("show")
        .args(arguments)
        .arg("--output")
        .arg(format!("html={}", page.display()))
        .output()
        .expect("the command can be started");
    let reported = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {reported}");
    (folder, page)
}

/// Runs `hallwright sheet` likewise.
pub(crate) fn sheet_of(scenario: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let page = folder.path().join("sheet.html");
    let output = Command::new(hallwright())
        .current_dir(root())
        .args(["sheet", scenario, "--output"])
        .arg(format!("html={}", page.display()))
        .output()
        .expect("the command can be started");
    let reported = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{scenario}: {reported}");
    (folder, page)
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
pub(crate) struct Shown {
    tab: Arc<Tab>,
    troubles: Arc<Mutex<Vec<String>>>,
    _browser: Browser,
}

impl Shown {
    /// Opens a page and waits until its script is done with it.
    pub(crate) fn open(page: &Path, (width, height): (u32, u32), scheme: &str) -> Self {
        let options = LaunchOptions::default_builder()
            .sandbox(false)
            .idle_browser_timeout(PATIENCE)
            .window_size(Some((width, height)))
            .build()
            .expect("these options are sound");
        let browser = Browser::new(options).expect("Chromium is installed");
        let tab = browser.new_tab().expect("a tab");
        tab.set_default_timeout(PATIENCE);
        let troubles = listened(&tab);
        tab.call_method(Emulation::SetDeviceMetricsOverride {
            width,
            height,
            device_scale_factor: 1.0,
            mobile: width < 500,
            scale: None,
            screen_width: None,
            screen_height: None,
            position_x: None,
            position_y: None,
            dont_set_visible_size: None,
            screen_orientation: None,
            viewport: None,
            display_feature: None,
            device_posture: None,
        })
        .expect("the size can be set");
        tab.call_method(Emulation::SetEmulatedMedia {
            media: None,
            features: Some(vec![Emulation::MediaFeature {
                name: "prefers-color-scheme".to_owned(),
                value: scheme.to_owned(),
            }]),
        })
        .expect("the scheme can be set");
        tab.navigate_to(&format!("file://{}", page.display()))
            .and_then(|tab| tab.wait_until_navigated())
            .expect("the page opens");
        let shown = Self {
            tab,
            troubles,
            _browser: browser,
        };
        shown.wait_for("document.documentElement.dataset.ready === 'yes'");
        shown
    }

    /// The text that an expression of the page's script comes to; promises are awaited.
    pub(crate) fn text(&self, script: &str) -> String {
        let value = self
            .tab
            .evaluate(script, true)
            .expect("it can be evaluated");
        match value.value {
            Some(serde_json::Value::String(text)) => text,
            Some(other) => other.to_string(),
            None => format!("{:?}", value.description),
        }
    }

    /// What a script gives, as JSON.
    pub(crate) fn json(&self, script: &str) -> serde_json::Value {
        let text = self.text(&format!("(async () => JSON.stringify(await ({script})))()"));
        serde_json::from_str(&text).unwrap_or_else(|_| panic!("no JSON: {text}"))
    }

    /// Waits until an expression holds.
    pub(crate) fn wait_for(&self, script: &str) {
        let begun = Instant::now();
        while self.text(script) != "true" {
            assert!(begun.elapsed() < PATIENCE, "`{script}` never held");
            std::thread::sleep(Duration::from_millis(30));
        }
    }

    /// Waits until everything that follows the cursor has followed.
    pub(crate) fn settle(&self) {
        self.text(
            "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => \
             requestAnimationFrame(() => done('')))))",
        );
    }

    /// Clicks the first element of a selector.
    pub(crate) fn click(&self, selector: &str) {
        let element = self.tab.find_element(selector);
        element
            .and_then(|element| element.click().map(drop))
            .unwrap_or_else(|error| panic!("{selector}: {error}"));
        self.settle();
    }

    /// Clicks a point of the page.
    pub(crate) fn click_at(&self, x: f64, y: f64) {
        self.tab
            .click_point(Point { x, y })
            .expect("it can be clicked");
        self.settle();
    }

    /// Types into the element of a selector.
    pub(crate) fn type_into(&self, selector: &str, text: &str) {
        self.click(selector);
        self.tab.type_str(text).expect("it can be typed");
        self.settle();
    }

    /// Presses a key.
    pub(crate) fn press(&self, key: &str) {
        self.tab.press_key(key).expect("it can be pressed");
        self.settle();
    }

    /// Drags from one point to another.
    pub(crate) fn drag(&self, from: (f64, f64), to: (f64, f64)) {
        use headless_chrome::protocol::cdp::Input;
        let mouse = |kind, (x, y): (f64, f64), buttons| Input::DispatchMouseEvent {
            Type: kind,
            x,
            y,
            modifiers: None,
            timestamp: None,
            button: Some(Input::MouseButton::Left),
            buttons: Some(buttons),
            click_count: Some(1),
            force: None,
            tangential_pressure: None,
            tilt_x: None,
            tilt_y: None,
            twist: None,
            delta_x: None,
            delta_y: None,
            pointer_Type: None,
        };
        use Input::DispatchMouseEventTypeOption as Kind;
        let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
        for event in [
            mouse(Kind::MousePressed, from, 1),
            mouse(Kind::MouseMoved, middle, 1),
            mouse(Kind::MouseMoved, to, 1),
            mouse(Kind::MouseReleased, to, 0),
        ] {
            self.tab.call_method(event).expect("the mouse moves");
        }
        self.settle();
    }

    /// The tick of the cursor.
    pub(crate) fn tick(&self) -> u64 {
        let text = self.text("document.getElementById('tick').value");
        text.parse().expect("the field holds a tick")
    }

    /// Goes to a tick by the cursor's field.
    pub(crate) fn go(&self, tick: u64) {
        self.text(&format!(
            "(() => {{ const field = document.getElementById('tick'); field.value = '{tick}'; \
             field.dispatchEvent(new Event('change')); return ''; }})()"
        ));
        self.settle();
    }

    /// Keeps what is seen as `target/screenshots/NAME.png`.
    pub(crate) fn keep(&self, name: &str) {
        self.settle();
        let picture = self
            .tab
            .capture_screenshot(CaptureScreenshotFormatOption::Png, None, None, true)
            .expect("a screenshot");
        let path = screenshots().join(format!("{name}.png"));
        std::fs::write(path, picture).expect("it can be written");
    }

    /// Keeps what is seen without scrolling, in the folder `PICTURES` if it is set.
    pub(crate) fn keep_view(&self, name: &str) {
        self.settle();
        let picture = self
            .tab
            .capture_screenshot(CaptureScreenshotFormatOption::Png, None, None, true)
            .expect("a screenshot");
        let folder = std::env::var_os("PICTURES").map_or_else(screenshots, |folder| {
            let folder = root().join(folder);
            std::fs::create_dir_all(&folder).expect("the folder can be made");
            folder
        });
        std::fs::write(folder.join(format!("{name}.png")), picture).expect("it can be written");
    }

    /// Lays the page out as for printing, or for the screen again.
    pub(crate) fn on_paper(&self, is_paper: bool) {
        let media = if is_paper { "print" } else { "" };
        self.tab
            .call_method(Emulation::SetEmulatedMedia {
                media: Some(media.to_owned()),
                features: None,
            })
            .expect("the medium can be set");
        self.settle();
    }

    /// Prints the page into a file, from the root of the project.
    pub(crate) fn print_as(&self, path: &str) {
        let pdf = self.tab.print_to_pdf(None).expect("it prints");
        screenshots();
        std::fs::write(root().join(path), pdf).expect("it can be written");
    }

    /// Fails if the page had anything to complain about.
    #[track_caller]
    pub(crate) fn assert_untroubled(&self) {
        let troubles = self.troubles.lock().expect("no listener panicked");
        assert!(troubles.is_empty(), "{troubles:#?}");
    }
}

/// Everything that the page's console says.
fn listened(tab: &Arc<Tab>) -> Arc<Mutex<Vec<String>>> {
    let troubles = Arc::new(Mutex::new(Vec::new()));
    let heard = Arc::clone(&troubles);
    let listener = move |event: &Event| {
        let trouble = match event {
            Event::LogEntryAdded(added) => added.params.entry.text.clone(),
            Event::RuntimeExceptionThrown(thrown) => format!("{:?}", thrown.params),
            Event::RuntimeConsoleAPICalled(called) => format!("{:?}", called.params.args),
            _ => return,
        };
        if let Ok(mut heard) = heard.lock() {
            heard.push(trouble);
        }
    };
    tab.enable_log().expect("the log can be heard");
    tab.enable_runtime().expect("exceptions can be heard");
    tab.add_event_listener(Arc::new(listener))
        .expect("it can be listened to");
    troubles
}
