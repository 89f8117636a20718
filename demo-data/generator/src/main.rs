//! Writes the invented collection of the demo to standard output.

fn main() -> Result<(), Box<dyn std::error::Error>> {
    Ok(invented_irons::write_collection(std::io::stdout())?)
}
