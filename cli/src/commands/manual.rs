//! `agewright completions` and `agewright man`: what a shell and a manual need, from the command line itself.

use crate::arguments::{Arguments, CompletionsArguments};
use crate::failure::Failure;
use crate::streams::Streams;
use clap::CommandFactory as _;

pub fn completions(arguments: &CompletionsArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let mut script = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "agewright", &mut script);
    Ok(streams.stdout.write_all(&script)?)
}

/// One page: the whole program, then each command.
pub fn man(streams: &mut Streams<'_>) -> Result<(), Failure> {
    let mut command = Arguments::command();
    command.build();
    let mut page = Vec::new();
    let whole = clap_mangen::Man::new(command.clone());
    whole.render_title(&mut page)?;
    whole.render_name_section(&mut page)?;
    whole.render_synopsis_section(&mut page)?;
    whole.render_description_section(&mut page)?;
    for own in command.get_subcommands().filter(|own| own.get_name() != "help") {
        let man = clap_mangen::Man::new(own.clone());
        page.extend(format!(".SH AGEWRIGHT {}\n", own.get_name().to_uppercase()).into_bytes());
        man.render_description_section(&mut page)?;
        man.render_synopsis_section(&mut page)?;
        man.render_options_section(&mut page)?;
        page.extend(verbatim("EXAMPLES", own).into_bytes());
    }
    page.extend(verbatim("EXIT STATUS", &command).into_bytes());
    Ok(streams.stdout.write_all(&page)?)
}

/// What stands behind a command's help, line by line under a heading of its own.
fn verbatim(heading: &str, command: &clap::Command) -> String {
    let Some(text) = command.get_after_help() else { return String::new() };
    let text = text.to_string();
    let lines = text.lines().filter(|line| *line != "Examples:");
    // A backslash and a point at the start of a line mean something to a manual's formatter.
    let lines = lines.map(|line| format!("\\&{}\n", line.trim_start().replace('\\', "\\e").replace('-', "\\-")));
    format!(".SH {heading}\n.nf\n{}.fi\n", lines.collect::<String>())
}
