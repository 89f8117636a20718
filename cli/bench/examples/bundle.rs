//! Puts the bench page into one file: `cargo run -p agewright-bench --features bundle --example bundle --
//! engine.wasm bench.html HASH`, with the hash of the sources (see `.ci/bench-page`).

use agewright_bench::page_file::page_file;
use flate2::{Compression, GzBuilder};
use std::error::Error;
use std::io::Write as _;

#[expect(clippy::print_stdout, reason = "a step of the build says what it made")]
fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [engine, out, sources] = &arguments[..] else {
        return Err("give the engine, the page to be written and the hash of the sources".into());
    };
    let engine = trimmed(engine)?;
    let packed = packed(&engine)?;
    let page = page_file(&packed, sources)?;
    std::fs::write(out, &page)?;
    println!("engine {} bytes, packed {}; page {} bytes", engine.len(), packed.len(), page.len());
    Ok(())
}

/// The engine without what the page does not call: a library for drawing on a browser's canvas, which is not done here,
/// brings thousands of functions of a browser, each of them offered to the page.
fn trimmed(path: &str) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut module = walrus::Module::from_file(path).map_err(|error| error.to_string())?;
    let is_ours = |name: &str| name == "memory" || name.starts_with("bench_");
    let others: Vec<_> = module.exports.iter().filter(|one| !is_ours(&one.name)).map(walrus::Export::id).collect();
    others.into_iter().for_each(|id| module.exports.delete(id));
    let notes: Vec<_> = module.customs.iter().map(|(id, _)| id).collect();
    notes.into_iter().for_each(|id| drop(module.customs.delete(id)));
    walrus::passes::gc::run(&mut module);
    Ok(module.emit_wasm())
}

/// As gzip (RFC 1952), without a name or a time: the same engine gives the same bytes.
fn packed(engine: &[u8]) -> Result<Vec<u8>, std::io::Error> {
    let mut packed = GzBuilder::new().mtime(0).write(Vec::new(), Compression::best());
    packed.write_all(engine)?;
    packed.finish()
}
