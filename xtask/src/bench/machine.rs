//! What the figures were measured on.

use crate::{error::Failed, step, workspace::Workspace};
use std::{fs, process::Command, thread};

pub struct Machine {
    pub processor: String,
    pub cores: usize,
    pub memory: String,
    pub rustc: String,
    pub date: String,
}

impl Machine {
    pub fn this(workspace: &Workspace) -> Result<Self, Failed> {
        let rustc = step::ask("bench", workspace.command("rustc").arg("--version"))?;
        let date = step::ask("bench", Command::new("date").args(["-u", "+%F"]))?;
        Ok(Self {
            processor: value_of("/proc/cpuinfo", "model name").unwrap_or_else(|| "unknown processor".into()),
            cores: thread::available_parallelism().map_or(1, usize::from),
            memory: value_of("/proc/meminfo", "MemTotal")
                .map_or_else(|| "unknown".into(), |text| gibibytes(&text)),
            rustc: rustc.trim().into(),
            date: date.trim().into(),
        })
    }
}

/// The value of the first line `name : value` of a file of the kernel.
fn value_of(path: &str, name: &str) -> Option<String> {
    let text = fs::read_to_string(path).ok()?;
    let (_, value) =
        text.lines().filter_map(|line| line.split_once(':')).find(|(key, _)| key.trim() == name)?;
    Some(value.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// `24683456 kB` in whole GiB.
fn gibibytes(text: &str) -> String {
    let kibibytes = text.split(' ').next().and_then(|number| number.parse::<f64>().ok());
    kibibytes.map_or_else(|| text.into(), |kibibytes| format!("{:.0} GiB", kibibytes / 1024.0 / 1024.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn memory_is_told_in_whole_gibibytes() {
        assert_eq!(gibibytes("24683456 kB"), "24 GiB");
        assert_eq!(gibibytes("much"), "much");
    }
}
