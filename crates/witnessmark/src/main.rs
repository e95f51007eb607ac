//! Witness Mark: the condition book of a specialist workshop.
//!
//! This is the command line. Each command takes the request apart, asks the rooms, and prints what they answer; no rule of
//! the trade lives here.

mod arguments;
mod commands;
mod error;
mod output;

use arguments::{Arguments, Command};
use clap::Parser;
use error::Failed;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return error::wrong_use(&error),
    };
    let json = arguments.json();
    match run(arguments) {
        Ok(()) => ExitCode::SUCCESS,
        Err(failed) => failed.report(json),
    }
}

fn run(arguments: Arguments) -> Result<(), Failed> {
    match arguments.command {
        Command::Demo(arguments) => commands::demo::run(&arguments),
        Command::Serve(arguments) => commands::serve::run(&arguments),
        Command::Record(arguments) => commands::record::run(&arguments),
        Command::Sheet(command) => commands::sheet::run(&command),
        Command::Book(command) => commands::book::run(&command),
        Command::Cars(arguments) => commands::cars::run(&arguments),
        Command::Assess(arguments) => commands::assess::run(&arguments),
        Command::Explain(arguments) => commands::explain::run(&arguments),
        Command::Plan(arguments) => commands::plan::run(&arguments),
        Command::Calendar(arguments) => commands::calendar::run(&arguments),
        Command::Letter(arguments) => commands::letter::run(&arguments),
        Command::Judge(arguments) => commands::judge::run(&arguments),
        Command::Calc(arguments) => commands::bench::calc::run(&arguments),
        Command::Uncertainty(arguments) => commands::bench::uncertainty::run(&arguments),
        Command::Fit(command) => commands::fit::run(&command),
    }
}
