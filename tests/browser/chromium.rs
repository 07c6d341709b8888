//! Debian's Chromium without a window, and messages with it through two pipes.
//!
//! Its protocol is JSON, a message after the other with a byte of 0 behind each. It reads them from file 3 and
//! writes them to file 4, and ends by itself when nobody is there any more.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::Duration;

use serde_json::{Value, json};

/// How long anything may take before the test gives up. Not a bound on how fast it is.
pub(crate) const PATIENCE: Duration = Duration::from_secs(120);

/// A shell moves its own two ends of pipes to where Chromium has them.
const LAUNCH: &str = r#"exec "$@" 3<&0 4>&1 </dev/null >/dev/null"#;

/// Nothing that goes on by itself, nothing that is held back because nobody looks.
const ARGUMENTS: [&str; 14] = [
    "--headless",
    "--remote-debugging-pipe",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-background-timer-throttling",
    "--disable-backgrounding-occluded-windows",
    "--disable-renderer-backgrounding",
    "--disable-component-update",
    "--disable-extensions",
    "--force-color-profile=srgb",
    "--no-first-run",
    "--password-store=basic",
];

/// A browser with one page.
pub(crate) struct Chromium {
    process: Child,
    input: ChildStdin,
    messages: Receiver<Value>,
    /// Messages that were no answers.
    events: Vec<Value>,
    calls: u64,
    /// The page, once there is one.
    session: Option<String>,
    _profile: tempfile::TempDir,
}

impl Chromium {
    /// Starts it with an empty page in a window of this size.
    pub(crate) fn start((width, height): (u32, u32)) -> Self {
        let profile = tempfile::tempdir().expect("a temporary folder");
        let mut process = Command::new("sh")
            .args(["-c", LAUNCH, "sh", "chromium"])
            .args(ARGUMENTS)
            .arg(format!("--user-data-dir={}", profile.path().display()))
            .arg(format!("--window-size={width},{height}"))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("Chromium is installed");
        let input = process.stdin.take().expect("it is a pipe");
        let output = process.stdout.take().expect("it is a pipe");
        let (sender, messages) = channel();
        std::thread::spawn(move || pass_on(output, &sender));
        let mut chromium = Self {
            process,
            input,
            messages,
            events: Vec::new(),
            calls: 0,
            session: None,
            _profile: profile,
        };
        let target = chromium.call("Target.createTarget", json!({"url": "about:blank"}));
        let target = json!({"targetId": target["targetId"], "flatten": true});
        let attached = chromium.call("Target.attachToTarget", target);
        let session = attached["sessionId"].as_str().expect("a name");
        chromium.session = Some(session.to_owned());
        chromium
    }

    /// Calls a method of the page, or of the browser before there is one. Gives what it answers.
    #[track_caller]
    pub(crate) fn call(&mut self, method: &str, parameters: Value) -> Value {
        match self.try_call(method, parameters) {
            Ok(answer) => answer,
            Err(why) => panic!("{method}: {why}"),
        }
    }

    /// The same, but an error is an answer too.
    pub(crate) fn try_call(&mut self, method: &str, parameters: Value) -> Result<Value, String> {
        self.calls += 1;
        let id = self.calls;
        let mut message = json!({"id": id, "method": method, "params": parameters});
        if let Some(session) = &self.session {
            message["sessionId"] = json!(session);
        }
        let sent = write!(self.input, "{message}\0").and_then(|()| self.input.flush());
        sent.map_err(|error| error.to_string())?;
        loop {
            let received = self.messages.recv_timeout(PATIENCE);
            let mut message = received.map_err(|_| "no answer".to_owned())?;
            if message["id"] != id {
                self.events.push(message);
                continue;
            }
            return match message.get("error") {
                Some(error) => Err(error.to_string()),
                None => Ok(message["result"].take()),
            };
        }
    }

    /// What the page's console said, and errors of its script.
    pub(crate) fn troubles(&self) -> Vec<&Value> {
        let of_console = [
            "Log.entryAdded",
            "Runtime.exceptionThrown",
            "Runtime.consoleAPICalled",
        ];
        let is_trouble =
            |event: &&Value| of_console.iter().any(|method| event["method"] == *method);
        let troubles = self.events.iter().filter(is_trouble);
        troubles.map(|event| &event["params"]).collect()
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// Passes messages on until there are no more.
fn pass_on(output: ChildStdout, to: &Sender<Value>) {
    let mut output = BufReader::new(output);
    let mut message = Vec::new();
    while output
        .read_until(0, &mut message)
        .is_ok_and(|read| read > 0)
    {
        let value = message.strip_suffix(&[0]).unwrap_or(&message);
        let is_passed = serde_json::from_slice(value).is_ok_and(|value| to.send(value).is_ok());
        if !is_passed {
            break;
        }
        message.clear();
    }
}
