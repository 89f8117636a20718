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
    clap_mangen::Man::new(command.clone()).render(&mut page)?;
    for own in command.get_subcommands().filter(|own| own.get_name() != "help") {
        let man = clap_mangen::Man::new(own.clone());
        page.extend(format!(".SH AGEWRIGHT {}\n", own.get_name().to_uppercase()).into_bytes());
        man.render_description_section(&mut page)?;
        man.render_synopsis_section(&mut page)?;
        man.render_options_section(&mut page)?;
        if own.get_after_help().is_some() {
            man.render_extra_section(&mut page)?;
        }
    }
    Ok(streams.stdout.write_all(&page)?)
}
