//! Writes the invented collection of the demo to standard output, or one of so many times as many clubs.

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let times = std::env::args().nth(1).map_or(Ok(1), |times| times.parse())?;
    Ok(invented_irons::write_collection(std::io::stdout(), times)?)
}
