//! The house: crates, folders and files import one way, and what stands in a file is small enough to be read.
//!
//! Imports are read from the code by a parser of the language (syn): every `use` and every path that starts at the
//! crate.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;
use syn::visit::{self, Visit};

/// A crate's own folders, lowest first; those on one line do not see each other, and files beside them see only what
/// the last entry, if it is `*`, allows.
type Order = &'static [&'static [&'static str]];

const MODEL: Order = &[&["numbers"], &["reading"], &["tables"], &["evidence"], &["answer"], &["questions"]];
const CALIBRATION: Order = &[&["dated"], &["smooth"], &["tables"], &["shelf"], &["fit"], &["audit", "simulate"]];
const FILES: Order = &[];
const BENCH: Order = &[];
const PAGES: Order = &[&["words"], &["drawings", "laid_out"], &["terminal", "json", "charts", "write_up"]];
const COMMANDS: Order = &[&["arguments"], &["disk"], &["asked"], &["commands"]];

fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}

/// Every file of Rust under a folder, outside what is built.
fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() && !path.ends_with("target") && !path.ends_with(".git") {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
    files.sort();
    files
}

/// Paths of a file that start at `crate`, without it: `evidence::asked::Asked`. Modules of tests are not read.
#[derive(Default)]
struct CratePaths(Vec<Vec<String>>);

impl<'ast> Visit<'ast> for CratePaths {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if !item.attrs.iter().any(|attribute| attribute.path().is_ident("cfg")) {
            visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        for path in leaves(&item.tree, &[]) {
            self.keep(&path);
        }
    }

    /// `pub(crate)` imports nothing.
    fn visit_vis_restricted(&mut self, _: &'ast syn::VisRestricted) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        self.keep(&path.segments.iter().map(|segment| segment.ident.to_string()).collect::<Vec<_>>());
        visit::visit_path(self, path);
    }
}

impl CratePaths {
    fn keep(&mut self, path: &[String]) {
        if let [first, rest @ ..] = path
            && first == "crate"
        {
            self.0.push(rest.to_vec());
        }
    }
}

fn leaves(tree: &syn::UseTree, above: &[String]) -> Vec<Vec<String>> {
    let with = |name: &syn::Ident| [above, &[name.to_string()]].concat();
    match tree {
        syn::UseTree::Path(path) => leaves(&path.tree, &with(&path.ident)),
        syn::UseTree::Group(group) => group.items.iter().flat_map(|item| leaves(item, above)).collect(),
        syn::UseTree::Name(name) => vec![with(&name.ident)],
        syn::UseTree::Rename(rename) => vec![with(&rename.ident)],
        _ => vec![above.to_vec()],
    }
}

/// What each module of a crate imports of it, by their paths: `answer::ledger` -> `numbers::axis`. The crate's front
/// door is the empty path.
type Imports = BTreeMap<String, BTreeSet<String>>;

/// Reads the imports of texts by the paths of their modules.
fn imports_of(texts: &BTreeMap<String, String>) -> Imports {
    let module_of = |path: &[String]| {
        let known = (0..=path.len()).rev().map(|n| path[..n].join("::"));
        known.into_iter().find(|module| texts.contains_key(module)).unwrap()
    };
    let imports = |text: &String| {
        let mut paths = CratePaths::default();
        paths.visit_file(&syn::parse_file(text).unwrap());
        paths.0.iter().map(|path| module_of(path)).collect()
    };
    texts.iter().map(|(module, text)| (module.clone(), imports(text))).collect()
}

/// The texts of a crate by module; a folder's `mod.rs` is the folder.
fn modules(crate_folder: &str) -> BTreeMap<String, String> {
    let source = project().join(crate_folder).join("src");
    let files = rust_files(&source).into_iter().filter(|file| !file.ends_with("main.rs"));
    let module = |file: &Path| {
        let words = file.strip_prefix(&source).unwrap().with_extension("");
        let words = words.iter().map(|word| word.to_str().unwrap());
        words.filter(|word| !["lib", "mod"].contains(word)).collect::<Vec<_>>().join("::")
    };
    files.map(|file| (module(&file), std::fs::read_to_string(&file).unwrap())).collect()
}

/// A circle of imports, if there is one: each module imports the next, the last the first.
fn circle(imports: &Imports) -> Option<Vec<String>> {
    fn walk(
        imports: &Imports,
        module: &str,
        above: &mut Vec<String>,
        done: &mut BTreeSet<String>,
    ) -> Option<Vec<String>> {
        if let Some(start) = above.iter().position(|name| name == module) {
            return Some(above[start..].to_vec());
        }
        if !done.insert(module.to_owned()) {
            return None;
        }
        above.push(module.to_owned());
        let found = imports[module].iter().find_map(|next| walk(imports, next, above, done));
        above.pop();
        found
    }
    let mut done = BTreeSet::new();
    imports.keys().find_map(|module| walk(imports, module, &mut Vec::new(), &mut done))
}

/// Imports that go up the order of folders, or across a line of it.
fn against_the_order(imports: &Imports, order: Order) -> Vec<String> {
    let folder = |module: &str| module.split("::").next().unwrap_or_default().to_owned();
    let floor = |folder: &str| order.iter().position(|line| line.contains(&folder));
    let mut wrong = Vec::new();
    for (module, targets) in imports.iter().filter(|(module, _)| !module.is_empty()) {
        for target in targets {
            let (from, to) = (folder(module), folder(target));
            if let (Some(above), Some(below)) = (floor(&from), floor(&to))
                && (below > above || (below == above && from != to))
            {
                wrong.push(format!("{module} imports {target}"));
            }
            if floor(&from).is_some() && target.is_empty() {
                wrong.push(format!("{module} imports from the front door of its own crate"));
            }
        }
    }
    wrong
}

const CRATES: [(&str, Order); 6] = [
    ("model", MODEL),
    ("calibration", CALIBRATION),
    ("cli/files", FILES),
    ("cli/pages", PAGES),
    ("cli/bench", BENCH),
    ("cli", COMMANDS),
];

#[test]
fn no_crate_has_a_circle_of_files() {
    for (folder, _) in CRATES {
        assert_eq!(circle(&imports_of(&modules(folder))), None, "{folder}");
    }
}

#[test]
fn folders_import_one_way() {
    for (folder, order) in CRATES {
        let texts = modules(folder);
        let named: BTreeSet<&str> = order.iter().flat_map(|line| line.iter().copied()).collect();
        assert!(named.iter().all(|name| texts.contains_key(*name)), "{folder} lacks one of {named:?}");
        assert_eq!(against_the_order(&imports_of(&texts), order), Vec::<String>::new(), "{folder}");
    }
}

/// Nobody imports the commands but the program's front door.
#[test]
fn commands_are_imported_by_nobody() {
    for (module, targets) in imports_of(&modules("cli")) {
        let of_commands = targets.iter().any(|target| target.starts_with("commands"));
        assert!(!of_commands || module.is_empty() || module.starts_with("commands"), "{module}");
    }
}

/// The checks above see what they look for: a planted circle, an import that goes up, one across.
#[test]
fn a_planted_circle_is_found() {
    let texts = |ledger: &str, axis: &str| {
        let texts = [
            ("", "pub mod answer; pub mod numbers; pub mod questions;"),
            ("answer", "pub mod ledger; pub mod band;"),
            ("answer::ledger", ledger),
            ("answer::band", "use crate::numbers::{axis::Axis};"),
            ("numbers", "pub mod axis;"),
            ("numbers::axis", axis),
            ("questions", ""),
        ];
        texts.map(|(module, text)| (module.to_owned(), text.to_owned())).into()
    };
    let down = imports_of(&texts("use crate::answer::band::Band as Span;", "pub struct Axis;"));
    assert_eq!(down["answer::ledger"], BTreeSet::from(["answer::band".to_owned()]));
    assert!(circle(&down).is_none() && against_the_order(&down, MODEL).is_empty());

    let planted =
        imports_of(&texts("use crate::answer::band::Band;", "pub(crate) fn f() -> crate::answer::ledger::Ledger {}"));
    assert_eq!(circle(&planted).unwrap(), ["answer::band", "numbers::axis", "answer::ledger"]);
    assert_eq!(against_the_order(&planted, MODEL), ["numbers::axis imports answer::ledger"]);
    let tested = imports_of(&texts("", "#[cfg(test)] mod tests { use crate::answer::ledger::Ledger; }"));
    assert!(circle(&tested).is_none());
    let door = imports_of(&texts("use crate::Axis;", ""));
    assert_eq!(against_the_order(&door, MODEL).len(), 1);
    assert_eq!(against_the_order(&down, &[&["answer", "numbers"]]).len(), 1);
}

/// model imports no other crate of the house and nothing that reads files, clocks, threads or randomness; each crate
/// sees those below it.
#[test]
fn crates_depend_one_way() {
    // schemars is a feature, for what describes the formats.
    let model = ["libm", "schemars", "serde", "statrs", "nalgebra", "thiserror"];
    let calibration =
        ["agewright-model", "nalgebra", "rand", "rand_chacha", "rand_distr", "rayon", "statrs", "thiserror"];
    let of_the_house: [(&str, &[&str]); 4] = [
        ("agewright-files", &["agewright-model", "agewright-calibration"]),
        ("agewright-pages", &["agewright-model", "agewright-calibration", "agewright-files"]),
        ("agewright-bench", &["agewright-model", "agewright-files", "agewright-pages"]),
        (
            "agewright",
            &["agewright-model", "agewright-calibration", "agewright-files", "agewright-pages", "agewright-bench"],
        ),
    ];
    let outside = |dependency: &str, list: &[&str]| !list.contains(&dependency);
    for (name, list) in [("agewright-model", &model[..]), ("agewright-calibration", &calibration[..])] {
        let wrong: Vec<String> = dependencies(name).into_iter().filter(|d| outside(d, list)).collect();
        assert_eq!(wrong, Vec::<String>::new(), "{name}");
    }
    for (name, list) in of_the_house {
        let own = dependencies(name).into_iter().filter(|d| d.starts_with("agewright"));
        assert_eq!(own.filter(|d| outside(d, list)).collect::<Vec<_>>(), Vec::<String>::new(), "{name}");
    }
}

fn cargo(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO")).args(arguments).arg("--offline").current_dir(project()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

fn dependencies(name: &str) -> Vec<String> {
    let metadata = cargo(&["metadata", "--format-version", "1", "--no-deps"]);
    let metadata: serde_json::Value = serde_json::from_str(&metadata).unwrap();
    let package = metadata["packages"].as_array().unwrap().iter().find(|p| p["name"] == name).unwrap();
    let all = package["dependencies"].as_array().unwrap().iter();
    all.filter(|d| d["kind"].is_null()).map(|d| d["name"].as_str().unwrap().to_owned()).collect()
}

/// A program that dates clubs with the built-in rules or a saved calibration builds few crates.
#[test]
fn the_files_need_few_crates() {
    let tree = cargo(&["tree", "-p", "agewright-files", "-e", "normal,build", "--prefix", "none", "--format", "{p}"]);
    let crates: BTreeSet<&str> = tree.lines().map(|line| line.trim_end_matches(" (*)")).collect();
    assert!(crates.len() <= 60 && crates.len() > 5, "{} crates", crates.len());
}

/// No file is longer than 400 lines and no line wider than 120 columns; functions of more than 60 lines are refused by
/// clippy (clippy.toml).
#[test]
fn files_are_short_and_lines_fit() {
    for file in rust_files(&project()) {
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(text.lines().count() <= 400, "{} has {} lines", file.display(), text.lines().count());
        for (n, line) in text.lines().enumerate() {
            assert!(line.chars().count() <= 120, "{}:{} is {} wide", file.display(), n + 1, line.chars().count());
        }
    }
    let clippy = std::fs::read_to_string(project().join("clippy.toml")).unwrap();
    assert!(clippy.lines().any(|line| line == "too-many-lines-threshold = 60"));
}
