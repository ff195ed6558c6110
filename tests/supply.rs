//! What the crate is built of: licences, duplicates, counts, and the promises of its manifest.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

/// Licences under which parts may come: each lets the whole be passed on under its own.
const LICENCES: &[&str] = &[
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "MIT-0",
    "Unicode-3.0",
    "Unlicense",
    "Zlib",
];

fn cargo(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO"))
        .args(arguments)
        .arg("--locked")
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

fn file(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// Where the counts hold: other systems take other crates for the terminal.
const TARGET: &str = "x86_64-unknown-linux-gnu";

/// Crates that a build takes besides this one, as `name version`.
fn crates(options: &[&str]) -> BTreeSet<String> {
    let tree = cargo(
        &[
            &["tree", "--prefix", "none", "--format", "{p}", "--edges"],
            options,
        ]
        .concat(),
    );
    tree.lines()
        .filter_map(|line| line.split_once(' '))
        .map(|(name, rest)| format!("{name} {}", rest.split(' ').next().unwrap()))
        .filter(|line| !line.starts_with("barkline "))
        .collect()
}

const LIBRARY: &[&str] = &["normal,build", "--no-default-features"];
const PROGRAM: &[&str] = &["normal,build"];

#[test]
fn the_counts_that_are_stated_are_those_of_the_lock_file() {
    let stated = file("DEVELOPERS.md");
    let line = format!(
        "The library is built of {} crates besides its own, the program of {}.",
        crates(LIBRARY).len(),
        crates(PROGRAM).len()
    );
    assert!(stated.contains(&line), "DEVELOPERS.md must say: {line}");
}

/// Two versions of one crate in the program or the library: none today.
#[test]
fn no_crate_is_there_in_two_versions() {
    for options in [LIBRARY, PROGRAM] {
        let mut versions: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for one in crates(options) {
            let (name, version) = one.split_once(' ').unwrap();
            versions
                .entry(name.to_owned())
                .or_default()
                .push(version.to_owned());
        }
        versions.retain(|_, all| all.len() > 1);
        assert!(versions.is_empty(), "{options:?}: {versions:?}");
    }
}

/// Whether one of the licences to choose from, or all of those that hold together, are among the allowed ones.
fn allowed(expression: &str) -> bool {
    let known = |licence: &str| LICENCES.contains(&licence.trim_matches(['(', ')', ' ']));
    let one_of = |choice: &str| choice.replace('/', " OR ").split(" OR ").any(known);
    // Of "A AND B OR C", which nobody writes without brackets, this asks for more than is due.
    expression.split(" AND ").all(one_of)
}

#[test]
fn every_crate_comes_from_the_registry_under_a_licence_that_is_allowed() {
    assert!(
        allowed("MIT OR Apache-2.0")
            && allowed("MIT/GPL-3.0")
            && allowed("(MIT OR Apache-2.0) AND Unicode-3.0")
    );
    assert!(
        !allowed("GPL-3.0")
            && !allowed("MIT AND GPL-3.0")
            && !allowed("(MIT OR Apache-2.0) AND GPL-3.0")
    );
    let metadata: Value = serde_json::from_str(&cargo(&[
        "metadata",
        "--format-version",
        "1",
        "--filter-platform",
        TARGET,
    ]))
    .unwrap();
    let mut seen = 0;
    for package in metadata["packages"].as_array().unwrap() {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or_default();
        assert!(allowed(licence), "{name}: {licence:?}");
        if name != "barkline" {
            let source = package["source"].as_str().unwrap_or_default();
            assert!(
                source.starts_with("registry+"),
                "{name} comes from {source:?}"
            );
        }
        seen += 1;
    }
    assert!(seen > 50, "{seen} packages");
}

/// The library alone takes nothing that only a program needs.
#[test]
fn the_library_takes_nothing_of_the_program() {
    let names: BTreeSet<String> = crates(LIBRARY)
        .iter()
        .map(|one| one.split(' ').next().unwrap().to_owned())
        .collect();
    for heavy in [
        "clap",
        "anstream",
        "tempfile",
        "comfy-table",
        "annotate-snippets",
        "rayon",
        "regex",
        "ctrlc",
        "microlp",
        "terminal_size",
    ] {
        assert!(!names.contains(heavy), "{heavy}");
    }
}

#[test]
fn the_manifest_says_what_documentation_and_editors_need() {
    let manifest: toml::Table = file("Cargo.toml").parse().unwrap();
    let package = manifest["package"].as_table().unwrap();
    for key in [
        "description",
        "license",
        "readme",
        "rust-version",
        "keywords",
        "categories",
    ] {
        assert!(package.contains_key(key), "{key}");
    }
    let docs = &package["metadata"]["docs"]["rs"];
    assert_eq!(docs["no-default-features"].as_bool(), Some(true));
    assert!(
        docs["targets"]
            .as_array()
            .is_some_and(|targets| !targets.is_empty())
    );
    let version = package["rust-version"].as_str().unwrap();
    for name in ["README.md", "DEVELOPERS.md"] {
        assert!(
            file(name).contains(&format!("Rust {version}")),
            "{name} must state Rust {version}"
        );
    }
}
