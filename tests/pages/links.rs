//! Links on the pages lead somewhere: to a file of the project, and to a heading that it has.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use super::root;

/// All pages of the project, changelog and tests' own pages among them.
fn pages() -> Vec<PathBuf> {
    let root = root();
    let mut pages = vec![root.join("README.md"), root.join("DEVELOPERS.md")];
    for folder in ["docs", "scenarios", "tests"] {
        super::words::files(&root.join(folder), &["md"], &mut pages);
    }
    pages
}

/// A page without its blocks of code, where a bracket is no link.
fn prose(page: &Path) -> String {
    let text = std::fs::read_to_string(page).expect("a text");
    let mut is_code = false;
    let lines = text.lines().filter(|line| {
        let is_fence = line.trim_start().starts_with("```");
        is_code ^= is_fence;
        !is_code && !is_fence
    });
    lines.fold(String::new(), |text, line| text + line + "\n")
}

/// Where the links of a page lead, as they are written: `[words](here)`.
fn links(prose: &str) -> Vec<&str> {
    let after = prose.split("](").skip(1);
    after
        .filter_map(|rest| rest.split_once(')').map(|(link, _)| link))
        .collect()
}

/// The names by which the headings of a page can be linked to: small letters, digits and hyphens, and a
/// number behind a name that was there before.
fn anchors(prose: &str) -> BTreeSet<String> {
    let mut seen: BTreeMap<String, u32> = BTreeMap::new();
    let headings = prose.lines().filter(|line| line.starts_with('#'));
    let names = headings.map(|line| {
        let words = line.trim_start_matches('#').trim().to_lowercase();
        let kept = words.chars().filter_map(|letter| match letter {
            ' ' => Some('-'),
            _ if letter.is_alphanumeric() || letter == '-' || letter == '_' => Some(letter),
            _ => None,
        });
        let name: String = kept.collect();
        let before = seen.entry(name.clone()).or_default();
        *before += 1;
        match *before {
            1 => name,
            again => format!("{name}-{}", again - 1),
        }
    });
    names.collect()
}

/// What is wrong with a link of a page; `None` if it leads somewhere, or out of the project.
fn problem(page: &Path, link: &str) -> Option<String> {
    if link.contains("://") {
        return None;
    }
    let (path, anchor) = link.split_once('#').unwrap_or((link, ""));
    let target = match path {
        "" => page.to_owned(),
        path => page.parent()?.join(path),
    };
    if !target.exists() {
        return Some(format!("{}: {link}: no such file", page.display()));
    }
    // Only pages have headings.
    if anchor.is_empty() {
        return None;
    }
    (!anchors(&prose(&target)).contains(anchor))
        .then(|| format!("{}: {link}: no such heading", page.display()))
}

#[test]
fn every_link_leads_somewhere() {
    let mut dead = Vec::new();
    let mut count = 0;
    for page in pages() {
        let prose = prose(&page);
        for link in links(&prose) {
            count += 1;
            dead.extend(problem(&page, link));
        }
    }
    assert!(count > 50, "{count} links are few");
    assert!(dead.is_empty(), "{dead:#?}");
}

#[test]
fn every_page_is_on_a_shelf() {
    let docs = root().join("docs");
    let shelves = prose(&docs.join("README.md"));
    let on_shelves: BTreeSet<&str> = links(&shelves).into_iter().collect();
    let mut pages = Vec::new();
    super::words::files(&docs, &["md"], &mut pages);
    let names = pages.iter().map(|page| {
        let name = page.strip_prefix(&docs).expect("it lies there");
        name.display().to_string().replace('\\', "/")
    });
    let missing: Vec<String> = names
        .filter(|name| name != "README.md" && !on_shelves.contains(name.as_str()))
        .collect();
    assert!(missing.is_empty(), "not in docs/README.md: {missing:?}");
}

#[test]
fn a_dead_link_is_found() {
    let readme = root().join("README.md");
    assert!(problem(&readme, "docs/nowhere.md").is_some());
    assert!(problem(&readme, "docs/look-up/layouts.md#no-such-heading").is_some());
    assert_eq!(
        problem(&readme, "docs/look-up/goals.md#getting-goods-out"),
        None
    );
}
