//! A private folder with the demo in it, and the program run there.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use assert_cmd::Command;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// A folder of its own for one test.
pub struct Bench {
    folder: TempDir,
}

pub struct Outcome {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
}

pub const CATALOGUE: &str = r#"
name = "Small"
years = { from = 1800, to = 1900 }
[[clue]]
id = "hosel"
label = "Hosel length, rim to crease"
kind = "measured"
unit = "in"
scale = "log"
range = [1.5, 8]
tolerance = 0.06
part = "head"
misread = 0.03
[[clue]]
id = "pin"
kind = "levels"
levels = ["front_back", "side_side"]
part = "head"
misread = 0.05
[[clue]]
id = "nicking"
kind = "levels"
levels = ["coarse", "fine", "absent"]
part = "head"
misread = 0.1
"#;

#[allow(dead_code, reason = "each test file uses some of it")]
impl Bench {
    pub fn new() -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap() };
        bench.write("cat.toml", CATALOGUE);
        bench.write("dated.csv", dated());
        bench
    }

    /// With a calibration fitted from the small collection, `cal.toml`.
    pub fn fitted() -> Self {
        let bench = Self::new();
        let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
        assert_eq!(fit.code, 0, "{}", fit.stderr);
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, contents: impl AsRef<[u8]>) {
        std::fs::write(self.path(name), contents).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn files(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    pub fn run(&self, arguments: &[&str]) -> Outcome {
        self.run_with(arguments, "")
    }

    pub fn run_with(&self, arguments: &[&str], stdin: &str) -> Outcome {
        self.run_set(arguments, stdin, None)
    }

    /// As on a terminal of so many columns.
    pub fn run_in_columns(&self, arguments: &[&str], columns: &str) -> Outcome {
        self.run_set(arguments, "", Some(columns))
    }

    fn run_set(&self, arguments: &[&str], stdin: &str, columns: Option<&str>) -> Outcome {
        let output = Command::cargo_bin("agewright")
            .unwrap()
            .args(arguments)
            .env_remove("COLUMNS")
            .envs(columns.map(|columns| ("COLUMNS", columns)))
            .current_dir(self.folder.path())
            .write_stdin(stdin)
            .output()
            .unwrap();
        Outcome {
            code: output.status.code().unwrap(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs and parses each line of the result as JSON.
    pub fn json(&self, arguments: &[&str]) -> Vec<serde_json::Value> {
        let outcome = self.run(arguments);
        assert_eq!(outcome.code, 0, "{}", outcome.stderr);
        outcome.stdout.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
    }
}

/// Twenty clubs that grow shorter and turn from front to side and from coarse to fine.
fn dated() -> String {
    let mut table = "id,made_from,made_to,hosel,pin,nicking\n".to_owned();
    for n in 0..20 {
        let year = 1801 + 5 * n;
        let hosel = 5.5 - 0.09 * f64::from(n) + 0.1 * f64::from(n % 3);
        let pin = if n < 9 { "front_back" } else { "side_side" };
        let nicking = if n % 5 == 4 {
            "absent"
        } else if n < 11 {
            "coarse"
        } else {
            "fine"
        };
        table += &format!("C{n:02},{year},{},{hosel:.2},{pin},{nicking}\n", year + n % 4);
    }
    table
}

/// A text on one line, however it was wrapped.
#[allow(dead_code, reason = "each test file uses some of it")]
pub fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Folder of the project.
#[allow(dead_code, reason = "each test file uses some of it")]
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_owned()
}
