//! Each crate uses only those above it in the list of the contributors' guide.
#![allow(missing_docs)]

use std::fs;
use std::path::Path;

/// The crates, lowest first.
const ORDER: [&str; 8] = [
    "trunnion-syntax",
    "trunnion-handbook",
    "trunnion-model",
    "trunnion-check",
    "trunnion-plan",
    "trunnion-ide",
    "trunnion-report",
    "trunnion",
];

fn crates() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates")
}

/// The workspace crates that a manifest names as dependencies.
fn dependencies(manifest: &str) -> Vec<String> {
    manifest
        .lines()
        .filter_map(|line| line.split(['.', ' ', '=']).next())
        .filter(|word| word.starts_with("trunnion-"))
        .map(str::to_owned)
        .collect()
}

/// The part of a manifest that says what the crate itself uses, its tests left out.
fn own_dependencies(manifest: &str) -> &str {
    let Some((_, rest)) = manifest.split_once("[dependencies]\n") else { return "" };
    rest.split_once("\n[").map_or(rest, |it| it.0)
}

fn too_high(name: &str, manifest: &str) -> Vec<String> {
    let rank = |it: &str| ORDER.iter().position(|known| *known == it);
    let own = rank(name).expect("every crate is in the order");
    dependencies(manifest).into_iter().filter(|used| rank(used).is_none_or(|used| used >= own)).collect()
}

#[test]
fn no_crate_uses_one_below_it() {
    let mut seen = Vec::new();
    for entry in fs::read_dir(crates()).expect("crates/ is there") {
        let path = entry.expect("readable").path();
        let name = path.file_name().expect("named").to_string_lossy().into_owned();
        let manifest = fs::read_to_string(path.join("Cargo.toml")).expect("a manifest");
        assert_eq!(too_high(&name, &manifest), Vec::<String>::new(), "in {name}");
        seen.push(name);
    }
    seen.sort();
    let mut order = ORDER.map(str::to_owned);
    order.sort();
    assert_eq!(seen, order);
}

#[test]
fn the_test_sees_a_breach() {
    let manifest = "[dependencies]\ntrunnion-model.workspace = true\n";
    assert_eq!(too_high("trunnion-syntax", manifest), ["trunnion-model"]);
    assert_eq!(too_high("trunnion-check", manifest), Vec::<String>::new());
}

#[test]
fn only_the_binary_knows_the_protocol() {
    for name in ORDER.iter().filter(|name| **name != "trunnion") {
        let manifest = fs::read_to_string(crates().join(name).join("Cargo.toml")).expect("a manifest");
        for word in ["tower-lsp", "tokio", "serde_json", "clap", "ariadne"] {
            assert!(
                !own_dependencies(&manifest).contains(&format!("{word}.workspace")),
                "{name} uses {word}"
            );
        }
    }
}

#[test]
fn what_only_tests_use_does_not_count() {
    let manifest =
        "[package]\n\n[dependencies]\nserde.workspace = true\n\n[dev-dependencies]\nclap.workspace = true\n";
    assert_eq!(own_dependencies(manifest), "serde.workspace = true\n");
    assert!(own_dependencies("[dependencies]\nclap.workspace = true\n").contains("clap"));
}
