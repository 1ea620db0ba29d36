//! What a code means.

use endplate::diag::Code;
use serde_json::json;

use crate::cli::terminal::Terminal;
use crate::cli::{Format, Stop};

pub fn explain(code: Code, format: Format, terminal: &mut Terminal) -> Result<(), Stop> {
    let info = code.info();
    if format == Format::Json {
        terminal.print_json(&json!({
            "code": info.name,
            "severity": info.severity.word(),
            "what": info.what,
            "why": info.why,
            "remedy": info.remedy,
            "example": info.example,
        }))?;
        return Ok(());
    }
    let example: Vec<_> = info.example.lines().map(|line| format!("    {line}\n")).collect();
    terminal.print(&format!(
        "{} ({})\n\n  what    {}\n  why     {}\n  remedy  {}\n\n  example\n{}",
        info.name,
        info.severity.word(),
        info.what,
        info.why,
        info.remedy,
        example.concat()
    ))?;
    Ok(())
}
