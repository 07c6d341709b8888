//! Modules in files of their own.

use std::path::Path;

use hallwright_scenario::{FileSort, LoadOptions, ids, load, sort_of_file};

use crate::{beside, ids_of, sound};

#[test]
fn modules_and_goods_come_from_files_beside_the_file_that_includes_them() {
    let scenario = sound(load(&beside("valid/included.ron"), &LoadOptions::default()));
    let kinds: Vec<&str> = scenario
        .network
        .kinds()
        .iter()
        .map(|kind| kind.name.as_str())
        .collect();
    // Its own goods first, then those of the files in the order of reading.
    assert_eq!(kinds, ["wool", "barley", "flax"]);
    assert!(scenario.network.find("slice.sieve").is_some());
}

#[test]
fn what_an_included_file_says_is_part_of_the_input() {
    let folder = tempfile::tempdir().expect("there is room for a file");
    let path = folder.path().join("scenario.ron");
    let text = r#"(title: "Digest", run_for: "1s", include: ["goods.ron"])"#;
    let digest = |goods: &str| {
        std::fs::write(&path, text).expect("there is room for a file");
        std::fs::write(folder.path().join("goods.ron"), goods).expect("there is room for a file");
        sound(load(&path, &LoadOptions::default())).input_digest
    };
    assert_ne!(
        digest(r#"(goods: {"flax": 64})"#),
        digest(r#"(goods: {"flax": 16})"#)
    );
}

#[test]
fn a_file_reports_what_it_is() {
    let sort = |name: &str| sort_of_file(&beside(name));
    assert_eq!(sort("valid/included.ron"), FileSort::Scenario);
    assert_eq!(sort("valid/modules/slice.ron"), FileSort::Modules);
    assert_eq!(sort("valid/modules/grains.ron"), FileSort::Modules);
    assert_eq!(sort("invalid/unknown-part.ron"), FileSort::Scenario);
    assert_eq!(sort("invalid/syntax.ron"), FileSort::Broken);
    assert_eq!(sort("valid/no-such.ron"), FileSort::Broken);
    let folder = tempfile::tempdir().expect("there is room for a file");
    let other = |text: &str| {
        let path = folder.path().join("other.ron");
        std::fs::write(&path, text).expect("there is room for a file");
        sort_of_file(&path)
    };
    assert_eq!(other("[1, 2]"), FileSort::Other);
    assert_eq!(other("(colour: 3)"), FileSort::Other);
    // The description of a hall, and a file that only looks a little like one.
    let multi = "multi: (width_blocks: 1, slots: 54, kinds: 1)";
    assert_eq!(other(&format!("(sides: 2, {multi})")), FileSort::Hall);
    assert_eq!(other(&format!("(colour: 2, {multi})")), FileSort::Other);
    assert_eq!(other("(sides: 2)"), FileSort::Other);
}

#[test]
fn no_more_than_256_files_are_included() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let reported = |files: usize| {
        for number in 0..files {
            let path = folder.path().join(format!("{number}.ron"));
            std::fs::write(path, "()").expect("there is room for a file");
        }
        let names: Vec<String> = (0..files)
            .map(|number| format!("\"{number}.ron\""))
            .collect();
        let text = format!(
            "(title: \"Many\", run_for: \"1s\", include: [{}])",
            names.join(", ")
        );
        let path = folder.path().join("scenario.ron");
        std::fs::write(&path, text).expect("there is room for a file");
        ids_of(&load(&path, &LoadOptions::default()))
    };
    assert_eq!(reported(256), [""; 0]);
    assert_eq!(reported(257), ["file::too-many"]);
}

#[test]
fn a_file_that_is_too_large_is_not_kept() {
    let folder = tempfile::tempdir().expect("there is room for a file");
    let path = folder.path().join("large.ron");
    // A file of nothing but holes: it takes no room.
    let file = std::fs::File::create(&path).expect("there is room for a file");
    file.set_len(64 * 1024 * 1024 + 1).expect("it can grow");
    let loaded = load(&path, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["file::too-large"]);
    let scenario = folder.path().join("scenario.ron");
    let text = r#"(title: "Large", run_for: "1s", include: ["large.ron"])"#;
    std::fs::write(&scenario, text).expect("there is room for a file");
    let loaded = load(&scenario, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["file::too-large"]);
}

#[test]
fn nothing_outside_the_root_is_read_or_quoted() {
    let folder = tempfile::tempdir().expect("there is room for files");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().expect("it is in a folder")).expect("a folder");
        std::fs::write(&path, text).expect("there is room for a file");
        path
    };
    write("secret.txt", "password: hunter\n");
    write("modules.ron", "(goods: {\"barley\": 64})");
    let scenario = write(
        "halls/hall.ron",
        "(title: \"Hall\", run_for: \"1s\", include: [\"../secret.txt\"], parts: {\"in\": Chest()},\n\
         arrivals: {\"cart\": FromFile(path: \"../secret.txt\")})",
    );
    let drawn = |path: &Path, options: &LoadOptions| {
        let loaded = load(path, options);
        let drawn = hallwright_scenario::render(&loaded.diagnostics, &loaded.sources, false);
        (ids_of(&loaded), drawn)
    };
    let (reported, text) = drawn(&scenario, &LoadOptions::default());
    assert_eq!(reported, [ids::FILE_OUTSIDE_ROOT, ids::FILE_OUTSIDE_ROOT]);
    assert!(
        !text.contains("hunter") && text.contains("--root"),
        "{text}"
    );
    // Inside the root that is given, it is read, and what is wrong with it is shown.
    let above = LoadOptions {
        root: Some(folder.path().to_path_buf()),
        ..LoadOptions::default()
    };
    let (reported, text) = drawn(&scenario, &above);
    assert!(!reported.contains(&ids::FILE_OUTSIDE_ROOT), "{text}");
    assert!(text.contains("hunter"), "{text}");
    // A repository is a root of its own.
    let text = std::fs::read_to_string(&scenario).expect("it is there");
    write("halls/hall.ron", &text.replace("secret.txt", "modules.ron"));
    std::fs::create_dir(folder.path().join(".git")).expect("a folder");
    let (reported, _) = drawn(&scenario, &LoadOptions::default());
    assert!(!reported.contains(&ids::FILE_OUTSIDE_ROOT), "{reported:?}");
}

#[cfg(unix)]
#[test]
fn links_count_by_where_they_lead() {
    use std::os::unix::fs::symlink;

    let folder = tempfile::tempdir().expect("there is room for files");
    let halls = folder.path().join("halls");
    std::fs::create_dir(&halls).expect("a folder");
    let secret = folder.path().join("secret.ron");
    std::fs::write(&secret, "password: hunter").expect("there is room for a file");
    symlink(&secret, halls.join("modules.ron")).expect("a link");
    symlink(&secret, halls.join("linked.ron")).expect("a link");
    let scenario = halls.join("hall.ron");
    let text = "(title: \"Hall\", run_for: \"1s\", include: [\"modules.ron\"])";
    std::fs::write(&scenario, text).expect("there is room for a file");
    for path in [scenario, halls.join("linked.ron")] {
        let loaded = load(&path, &LoadOptions::default());
        assert_eq!(ids_of(&loaded), [ids::FILE_OUTSIDE_ROOT]);
    }
    let bundled = hallwright_scenario::bundle(&halls.join("hall.ron"), &LoadOptions::default());
    assert!(bundled.is_err());
}
