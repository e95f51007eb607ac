//! What is printed. A reader that has gone away (a pipe into `head`) ends the program quietly, never in a panic.

use std::{fmt, io::Write};

/// Prints a line to standard output.
macro_rules! say {
    ($($part:tt)*) => { $crate::output::line(&mut std::io::stdout(), format_args!($($part)*)) };
}

/// Prints a line to standard error.
macro_rules! complain {
    ($($part:tt)*) => { $crate::output::line(&mut std::io::stderr(), format_args!($($part)*)) };
}

pub(crate) use {complain, say};

/// Writes a line; ends the program when nobody reads any more.
pub fn line(out: &mut dyn Write, line: fmt::Arguments<'_>) {
    if writeln!(out, "{line}").is_err() {
        std::process::exit(0);
    }
}
