//! What the terminal can show, and the way to it.

use std::io::{self, BufRead, IsTerminal, Write};

use endplate::diag::render::Look;

use super::When;

/// Standard output for data, standard error for everything else.
pub struct Terminal {
    stdout: io::BufWriter<io::Stdout>,
    data: Look,
    talk: Look,
}

impl Terminal {
    pub fn new(color: When) -> Self {
        Terminal {
            stdout: io::BufWriter::new(io::stdout()),
            data: look(color, io::stdout().is_terminal()),
            talk: look(color, io::stderr().is_terminal()),
        }
    }

    /// What standard output can show.
    pub fn data_look(&self) -> Look {
        self.data
    }

    /// What standard error can show.
    pub fn talk_look(&self) -> Look {
        self.talk
    }

    /// Prints data.
    pub fn print(&mut self, text: &str) -> io::Result<()> {
        self.stdout.write_all(text.as_bytes())?;
        self.stdout.flush()
    }

    /// Prints data as JSON, one value and a line end.
    pub fn print_json(&mut self, value: &serde_json::Value) -> io::Result<()> {
        let text = serde_json::to_string_pretty(value).map_err(io::Error::other)?;
        self.print(&format!("{text}\n"))
    }

    /// Tells people something on standard error; nobody listening is no fault.
    pub fn say(&self, text: &str) {
        let _ = writeln!(io::stderr(), "{}", text.trim_end());
    }

    /// Whether somebody can answer a question.
    pub fn listens(&self) -> bool {
        io::stdin().is_terminal() && io::stderr().is_terminal()
    }

    /// Asks for a yes; anything else is a no.
    pub fn agrees(&self, question: &str) -> io::Result<bool> {
        let answer = self.ask(&format!("{question} [y/N]"))?;
        Ok(answer.is_some_and(|a| matches!(a.to_lowercase().as_str(), "y" | "yes")))
    }

    /// Asks a question, if there is someone to answer it.
    pub fn ask(&self, question: &str) -> io::Result<Option<String>> {
        if !self.listens() {
            return Ok(None);
        }
        let mut stderr = io::stderr();
        write!(stderr, "{question} ")?;
        stderr.flush()?;
        let mut line = String::new();
        let read = io::stdin().lock().read_line(&mut line)?;
        Ok((read > 0).then(|| line.trim().to_string()))
    }
}

fn look(color: When, is_terminal: bool) -> Look {
    let color = match color {
        When::Always => true,
        When::Never => false,
        When::Auto => {
            let plain = |name: &str, value: &str| set(name).is_some_and(|v| v == value);
            is_terminal && set("NO_COLOR").is_none() && !plain("TERM", "dumb")
        }
    };
    Look { color, unicode: is_terminal && speaks_unicode(), ..Look::default() }
}

/// A variable of the environment that is set to something.
#[allow(clippy::disallowed_methods)] // The environment is the terminal's.
fn set(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}

fn speaks_unicode() -> bool {
    let locale = set("LC_ALL").or_else(|| set("LC_CTYPE")).or_else(|| set("LANG"));
    let locale = locale.unwrap_or_default().to_lowercase();
    cfg!(windows)
        || cfg!(target_os = "macos")
        || locale.contains("utf-8")
        || locale.contains("utf8")
}
