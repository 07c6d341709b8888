//! What is written: whole or not at all, and never over what is read.

use std::fs;
use std::path::Path;

use crate::support::{Halls, hallwright, stderr};

/// A scenario that reads two files.
const HALL: &str = r#"(
    title: "Two shelves",
    run_for: "20s",
    include: ["goods.ron"],
    parts: {"in": Chest(), "down": Hopper(above: "in", target: "store"), "store": Chest()},
    arrivals: {"cart": FromFile(path: "arrivals.csv")},
    stores: {"barley": (parts: "store", takes: "barley")},
    goals: [MisplacedAtMost(0)],
)"#;

fn hall() -> Halls {
    let halls = Halls::new();
    halls.write("hall.ron", HALL);
    halls.write("goods.ron", r#"(goods: {"barley": 64})"#);
    halls.write("arrivals.csv", "tick,place,kind\n5,in,barley\n");
    halls
}

/// The texts of all files in a folder, by their names.
fn all(folder: &str) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).expect("the folder is there");
    let mut files: Vec<(String, Vec<u8>)> = entries
        .map(|entry| entry.expect("it can be read").path())
        .filter(|path| path.is_file())
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy();
            (name.into_owned(), fs::read(&path).expect("it can be read"))
        })
        .collect();
    files.sort();
    files
}

#[test]
fn what_is_read_is_never_written_over() {
    let halls = hall();
    fs::create_dir(halls.path("below")).expect("a folder");
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(halls.path("hall.ron"), halls.path("link")).expect("a link");
        fs::hard_link(halls.path("goods.ron"), halls.path("second")).expect("a second name");
    }
    let before = all(halls.folder());
    let hall = halls.path("hall.ron");
    let read = [
        "hall.ron",
        "goods.ron",
        "arrivals.csv",
        "below/../hall.ron",
        #[cfg(unix)]
        "link",
        #[cfg(unix)]
        "second",
    ];
    for name in read {
        let path = halls.path(name);
        let json = format!("json={path}");
        let [trace, flat, bundle, html] =
            ["trace", "flat", "bundle", "html"].map(|format| format!("{format}={path}"));
        let commands: [&[&str]; 8] = [
            &["run", &hall, "--output", &json],
            &["run", &hall, "--output", &trace],
            &["run", &hall, "--output", &flat],
            &["run", &hall, "--output", &bundle],
            &["show", &hall, "--output", &html],
            &["explain", &hall, "--output", &json],
            &["check", &hall, "--output", &json],
            &["compare", &hall, &hall, "--output", &json],
        ];
        for command in commands {
            let output = hallwright(command);
            assert_eq!(output.status.code(), Some(2), "{command:?}");
            assert!(stderr(&output).contains("read here"), "{}", stderr(&output));
            assert!(output.stdout.is_empty(), "{command:?} was run");
            assert_eq!(all(halls.folder()), before, "{command:?}");
        }
    }
}

#[test]
fn a_search_and_a_plan_write_over_nothing_that_they_read() {
    let halls = Halls::new();
    halls.write(
        "goods.csv",
        "name,stack_limit,amount,inflow_per_hour\nbarley,64,400,120\n",
    );
    fs::create_dir(halls.path("goods")).expect("a folder");
    let catalogue = halls.path("goods/report.txt");
    fs::copy(halls.path("goods.csv"), &catalogue).expect("it can be copied");
    let before = all(&halls.path("goods"));
    let output = hallwright(&[
        "plan",
        &catalogue,
        "--output",
        &format!("hall={}", halls.path("goods")),
        "--force",
    ]);
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
    assert_eq!(all(&halls.path("goods")), before);
    let halls = Halls::new();
    halls.write("hall.ron", TUNED);
    let hall = halls.path("hall.ron");
    let output = hallwright(&[
        "tune",
        &hall,
        "--no-cache",
        "--output",
        &format!("csv={hall}"),
    ]);
    assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
    assert_eq!(halls.read("hall.ron"), TUNED);
    assert!(stderr(&output).contains("read here"), "{}", stderr(&output));
}

/// A scenario with something to search in.
const TUNED: &str = r#"(
    title: "Tuned",
    run_for: "20s",
    goods: {"barley": 64},
    parameters: {"rate": 1},
    ranges: {"rate": OneOf([1, 2])},
    arrivals: {"cart": Steady(place: "in", kind: "barley", per_second: "$rate")},
    parts: {"in": Chest(), "down": Hopper(above: "in", target: "store"), "store": Chest()},
    stores: {"barley": (parts: "store", takes: "barley")},
    goals: [MisplacedAtMost(0)],
)"#;

#[test]
fn two_outputs_are_not_written_to_one_file() {
    let halls = hall();
    let (hall, one) = (halls.path("hall.ron"), halls.path("one"));
    let other = halls.path("./one");
    let outputs = [format!("json={one}"), format!("text={other}")];
    let output = hallwright(&[
        "run",
        &hall,
        "--output",
        &outputs[0],
        "--output",
        &outputs[1],
    ]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("one file"), "{}", stderr(&output));
    assert!(!Path::new(&one).exists());
    let output = hallwright(&[
        "run",
        &hall,
        "--output",
        &outputs[0],
        "--output",
        &format!("trace={one}"),
    ]);
    assert_eq!(output.status.code(), Some(2));
    assert!(!Path::new(&one).exists());
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{FileTypeExt as _, MetadataExt as _, PermissionsExt as _, symlink};
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};

    use super::*;

    #[test]
    fn a_file_keeps_its_mode_and_a_link_stays_a_link() {
        let halls = hall();
        let (found, link) = (halls.path("found.json"), halls.path("link.json"));
        fs::write(&found, "old").expect("it can be written");
        fs::set_permissions(&found, fs::Permissions::from_mode(0o640)).expect("a mode");
        symlink("found.json", &link).expect("a link");
        let output = format!("json={link}");
        let output = hallwright(&["run", &halls.path("hall.ron"), "--output", &output]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        let there = fs::symlink_metadata(&link).expect("it is there");
        assert!(there.file_type().is_symlink());
        assert!(halls.read("found.json").starts_with('{'));
        let mode = fs::metadata(&found).expect("it is there").mode();
        assert_eq!(mode & 0o777, 0o640);
    }

    #[test]
    fn devices_and_pipes_are_written_through() {
        let halls = hall();
        let hall = halls.path("hall.ron");
        // A link to a device stands for it: if it were replaced, the link's target would be gone.
        let null = halls.path("null");
        symlink("/dev/null", &null).expect("a link");
        for path in ["/dev/null", &null] {
            let output = hallwright(&["run", &hall, "--output", &format!("json={path}")]);
            assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
            let there = fs::metadata("/dev/null").expect("it is there");
            assert!(there.file_type().is_char_device());
        }
        let output = hallwright(&["check", &hall, "--output", "json=/dev/stdout"]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        assert!(json["scenarios"].is_array());
        let full = hallwright(&["run", &hall, "--output", "json=/dev/full"]);
        assert_eq!(full.status.code(), Some(2));
        assert!(stderr(&full).contains("/dev/full"), "{}", stderr(&full));
        let pipe = halls.path("pipe");
        let made = Command::new("mkfifo").arg(&pipe).status();
        assert!(made.expect("mkfifo is there").success());
        let reader = std::thread::spawn({
            let pipe = pipe.clone();
            move || fs::read_to_string(pipe).expect("it can be read")
        });
        let output = hallwright(&["run", &hall, "--output", &format!("trace={pipe}")]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        assert!(reader.join().expect("it ends").contains("\"tick\""));
        let there = fs::symlink_metadata(&pipe).expect("it is there");
        assert!(there.file_type().is_fifo());
    }

    #[test]
    fn nothing_is_left_of_a_file_for_which_there_is_no_room() {
        let halls = hall();
        halls.write("page.html", "an old page");
        let before = all(halls.folder());
        // No file may grow beyond one block.
        for arguments in [
            "show hall.ron --output html=page.html",
            "run hall.ron --output html=page.html",
        ] {
            let line = format!("ulimit -f 1; exec \"$0\" {arguments}");
            let output = Command::new("sh")
                .args(["-c", &line, env!("CARGO_BIN_EXE_hallwright")])
                .current_dir(halls.folder())
                .output()
                .expect("there is a shell");
            assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
            assert!(stderr(&output).contains("page.html"), "{}", stderr(&output));
            assert_eq!(all(halls.folder()), before, "{arguments}");
        }
    }

    #[test]
    fn nothing_is_left_of_a_plan_for_which_there_is_no_room() {
        let halls = Halls::new();
        let catalogue =
            "name,stack_limit,amount,inflow_per_hour\nbarley,64,400,120\nflax,64,400,120\n";
        halls.write("goods.csv", catalogue);
        let line = "ulimit -f 3; exec \"$0\" plan goods.csv --output hall=a/b/hall";
        let output = Command::new("sh")
            .args(["-c", line, env!("CARGO_BIN_EXE_hallwright")])
            .env("TMPDIR", "/dev/shm")
            .current_dir(halls.folder())
            .output()
            .expect("there is a shell");
        assert_eq!(output.status.code(), Some(2), "{}", stderr(&output));
        let left = fs::read_dir(halls.folder())
            .expect("the folder is there")
            .count();
        assert_eq!(left, 1, "only the catalogue");
    }

    #[test]
    fn a_plan_keeps_the_files_that_are_not_its_own() {
        let halls = Halls::new();
        halls.write(
            "goods.csv",
            "name,stack_limit,amount,inflow_per_hour\nbarley,64,400,120\n",
        );
        let (catalogue, folder) = (halls.path("goods.csv"), halls.path("deep/er/hall"));
        let planned = |force: &[&str]| {
            let there = format!("hall={folder}");
            let arguments = [&["plan", &catalogue, "--output", &there], force].concat();
            hallwright(&arguments).status.code()
        };
        assert_eq!(planned(&[]), Some(0));
        halls.write("deep/er/hall/notes.txt", "mine");
        halls.write("deep/er/hall/report.txt", "changed");
        assert_eq!(planned(&[]), Some(2));
        assert_eq!(halls.read("deep/er/hall/report.txt"), "changed");
        assert_eq!(planned(&["--force"]), Some(0));
        assert_eq!(halls.read("deep/er/hall/notes.txt"), "mine");
        assert!(halls.read("deep/er/hall/report.txt").len() > 20);
        assert_eq!(all(&folder).len(), 8, "nothing else is left");
    }

    /// Something that goes on for much longer than the test.
    const RINGS: &str = r#"(
        title: "Rings",
        run_for: "600min",
        goods: {"barley": 64},
        modules: {"ring": (parts: {
            "one": Hopper(target: "other", holds: ["barley"]),
            "other": Hopper(target: "one"),
        })},
        uses: {"rings": Row(module: "ring", count: 200)},
    )"#;

    #[test]
    fn nothing_is_left_of_a_trace_that_is_interrupted() {
        let halls = Halls::new();
        halls.write("hall.ron", RINGS);
        halls.write("trace.jsonl", "an old trace");
        let before = all(halls.folder());
        for signal in ["INT", "TERM"] {
            let mut running = Command::new(env!("CARGO_BIN_EXE_hallwright"))
                .args(["run", "hall.ron", "--output", "trace=trace.jsonl"])
                .current_dir(halls.folder())
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .expect("the command can be started");
            let started = Instant::now();
            while all(halls.folder()) == before {
                assert!(
                    started.elapsed() < Duration::from_secs(60),
                    "no trace is begun"
                );
                std::thread::sleep(Duration::from_millis(5));
            }
            let process = running.id().to_string();
            let sent = Command::new("kill").args(["-s", signal, &process]).status();
            assert!(sent.expect("kill is there").success());
            let ended = running.wait().expect("it ends");
            assert_eq!(ended.code(), None, "a signal ended it");
            assert_eq!(all(halls.folder()), before, "after SIG{signal}");
        }
    }

    #[test]
    fn a_reader_that_goes_is_no_error() {
        let halls = hall();
        for arguments in [
            "run hall.ron 2>&1",
            "check hall.ron --output json=/dev/stdout",
        ] {
            let line = format!("(\"$0\" {arguments}; echo $? >code) | true");
            let ended = Command::new("sh")
                .args(["-c", &line, env!("CARGO_BIN_EXE_hallwright")])
                .current_dir(halls.folder())
                .status();
            assert!(ended.expect("there is a shell").success());
            let started = Instant::now();
            while !Path::new(&halls.path("code")).exists() {
                assert!(started.elapsed() < Duration::from_secs(60));
                std::thread::sleep(Duration::from_millis(5));
            }
            assert_eq!(halls.read("code"), "0\n", "{arguments}");
            fs::remove_file(halls.path("code")).expect("it is there");
        }
    }
}
