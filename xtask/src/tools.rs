//! What the tests need from outside, installed if it is missing.

use super::run;
use std::path::Path;
use std::process::{Command, Stdio};

/// Makes sure a cargo subcommand is there, building it from crates.io if not.
pub(crate) fn cargo_tool(name: &str) -> Result<(), String> {
    if answers(name, "--version") {
        return Ok(());
    }
    eprintln!("installing {name} (a few minutes, once)");
    run(Command::new("cargo").args(["install", "--locked", name]))
}

/// Where browsers of the Chromium family are found.
const CHROMIUM: [&str; 3] =
    ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

/// Makes sure there is a browser and Node.js to drive it.
pub(crate) fn chromium() -> Result<(), String> {
    if !answers("node", "--version") || !answers("npm", "--version") {
        packages(&["nodejs", "npm"])?;
    }
    let named = std::env::var_os("CHROMIUM").is_some();
    if named || CHROMIUM.iter().any(|path| Path::new(path).exists()) {
        return Ok(());
    }
    packages(&["chromium", "fonts-liberation"])
}

/// Installs Debian packages where that can be done; elsewhere says what to install.
fn packages(names: &[&str]) -> Result<(), String> {
    let wanted = names.join(" ");
    if !answers("apt-get", "--version") {
        return Err(format!("install {wanted} with this system's package manager, then try again"));
    }
    let mut update = as_root("apt-get");
    run(update.args(["update", "--quiet"]).stdout(Stdio::null()))?;
    let mut install = as_root("apt-get");
    install.args(["install", "--yes", "--quiet", "--no-install-recommends"]).args(names);
    run(install.env("DEBIAN_FRONTEND", "noninteractive").stdout(Stdio::null()))
}

/// The command itself for root, through sudo for everyone else.
fn as_root(program: &str) -> Command {
    let is_root = Command::new("id").arg("-u").output().is_ok_and(|out| out.stdout == b"0\n");
    if is_root {
        return Command::new(program);
    }
    let mut command = Command::new("sudo");
    command.arg(program);
    command
}

fn answers(program: &str, argument: &str) -> bool {
    Command::new(program)
        .arg(argument)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}
