//! Small changes of texts: a number by one, a date by a day, a word for
//! another that may stand there, a word more in a sentence.

use chrono::{Days, Months, NaiveDate};
use endplate::case::address::entries;
use endplate::case::field::{Kind, Record};
use endplate::case::node::parse;
use endplate::diag::Report;

/// A text with one change.
#[derive(Debug, Clone)]
pub struct Mutant {
    /// What was changed.
    pub what: String,
    /// The whole text.
    pub text: String,
}

/// The text once for each entry of the table, with that entry changed.
pub fn of_entries(text: &str, table: &'static Record) -> Vec<Mutant> {
    let root = parse(text, "", &mut Report::default()).expect("a file");
    let one = |(path, entry): (String, endplate::case::address::Entry)| {
        let key = path.split(" / ").filter(|part| part.parse::<usize>().is_err()).last();
        let raw = &text[entry.place.start..entry.place.end];
        let now = changed(key.unwrap_or_default(), raw, table);
        let text = format!("{}{now}{}", &text[..entry.place.start], &text[entry.place.end..]);
        Mutant { what: format!("{path}: {} → {}", raw.trim(), now.trim()), text }
    };
    entries(&root, table).into_iter().map(one).collect()
}

/// A value as it stands in the file, changed; its quotes stay.
fn changed(key: &str, raw: &str, table: &'static Record) -> String {
    let quote = raw.chars().next().filter(|c| matches!(c, '"' | '\''));
    let inner = quote.map_or(raw, |q| raw.trim_matches(q));
    let now = date(inner)
        .or_else(|| word(key, inner, table))
        .or_else(|| number(inner))
        .or_else(|| level(inner))
        .unwrap_or_else(|| text(key, inner));
    quote.map_or(now.clone(), |q| format!("{q}{now}{q}"))
}

/// A day or a month later.
fn date(text: &str) -> Option<String> {
    if let Ok(day) = NaiveDate::parse_from_str(text, "%Y-%m-%d") {
        return Some((day + Days::new(1)).to_string());
    }
    let month = NaiveDate::parse_from_str(&format!("{text}-01"), "%Y-%m-%d").ok()?;
    (text.len() == 7).then(|| (month + Months::new(1)).format("%Y-%m").to_string())
}

/// The next word of those that may stand under the key.
fn word(key: &str, text: &str, table: &'static Record) -> Option<String> {
    let mut found = None;
    for field in table.fields {
        found = found.or_else(|| match &field.kind {
            Kind::Record(inner) | Kind::Records(inner) => word(key, text, inner),
            kind if field.key == key => next_word(kind, text),
            _ => None,
        });
    }
    found
}

fn next_word(kind: &Kind, text: &str) -> Option<String> {
    match kind {
        Kind::Word(words) => {
            let at = words.iter().position(|word| *word == text)?;
            Some(words[(at + 1) % words.len()].to_string())
        }
        Kind::Flag => Some((text != "true").to_string()),
        Kind::List(inner) | Kind::OneOrMore(inner) | Kind::ByLevel(inner) => next_word(inner, text),
        Kind::ByName(_, inner) => next_word(inner, text),
        _ => None,
    }
}

/// One more in the last place written: 19 deg → 20 deg, 151.2 cm → 151.3 cm.
fn number(text: &str) -> Option<String> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let (digits, unit) = text.split_at(end);
    let places = digits.split_once('.').map_or(0, |(_, after)| after.len());
    let value: f64 = digits.parse().ok()?;
    let step = 10f64.powi(-(places as i32));
    Some(format!("{:.places$}{unit}", value + step))
}

/// The next vertebra down.
fn level(text: &str) -> Option<String> {
    let number: u32 = text.strip_prefix(['T', 'L', 'C'])?.parse().ok()?;
    Some(format!("{}{}", &text[..1], number + 1))
}

/// Another id, or one word more.
fn text(key: &str, text: &str) -> String {
    let one = !text.contains(' ') && text.chars().all(|c| !c.is_uppercase());
    match one || key == "id" {
        true => format!("{}x", text.trim_end()),
        false => format!("{} indeed{}", text.trim_end(), &text[text.trim_end().len()..]),
    }
}

/// The template with one word more, once for each line that has words of its
/// own: between two words, outside every tag.
pub fn of_template(template: &str) -> Vec<Mutant> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    let (mut inside, mut line) = (0usize, 1usize);
    let bytes = template.as_bytes();
    for at in 1..bytes.len().saturating_sub(1) {
        line += usize::from(bytes[at] == b'\n');
        match &bytes[at - 1..=at] {
            b"{%" | b"{{" | b"{#" => inside += 1,
            b"%}" | b"}}" | b"#}" => inside = inside.saturating_sub(1),
            _ => {}
        }
        let between = bytes[at - 1].is_ascii_lowercase() && bytes[at + 1].is_ascii_lowercase();
        let last = found.last().map(|(line, _)| *line);
        if inside == 0 && bytes[at] == b' ' && between && last != Some(line) {
            found.push((line, at));
        }
    }
    let one = |(line, at): (usize, usize)| Mutant {
        what: format!("line {line}"),
        text: format!("{} indeed{}", &template[..at], &template[at..]),
    };
    found.into_iter().map(one).collect()
}

/// The table with the last number of its middle line changed: a pixel, a
/// temperature.
pub fn of_table(table: &str) -> Vec<Mutant> {
    let lines: Vec<&str> = table.lines().collect();
    let middle = lines.len() / 2;
    let line = lines[middle];
    let cut = line.rfind(',').map_or(0, |at| at + 1);
    let Some(last) = number(&line[cut..]) else { return Vec::new() };
    let now = format!("{}{last}", &line[..cut]);
    let text =
        lines.iter().enumerate().map(|(n, l)| format!("{}\n", if n == middle { &now } else { *l }));
    vec![Mutant { what: format!("line {}: {now}", middle + 1), text: text.collect() }]
}

/// The rules once for each line with a bound or a wording, changed.
pub fn of_rules(rules: &str) -> Vec<Mutant> {
    let bounds = ["at_least: ", "at_most: ", "above: ", "below: ", "in: [", "valid_from: 20"];
    let mut all = Vec::new();
    for (number_of, line) in rules.lines().enumerate() {
        let bound = bounds.iter().find_map(|b| line.find(b).map(|at| at + b.len()));
        let words = line.find("worded: \"").map(|at| at + "worded: \"".len());
        let now = match (bound, words) {
            (Some(at), _) => number(&line[at..]).map(|n| format!("{}{n}", &line[..at])),
            (None, Some(at)) => Some(format!("{}Indeed: {}", &line[..at], &line[at..])),
            (None, None) => None,
        };
        let Some(now) = now else { continue };
        let lines = rules.lines().enumerate();
        let text = lines.map(|(n, l)| if n == number_of { &now } else { l }.to_string() + "\n");
        all.push(Mutant {
            what: format!("line {}: {}", number_of + 1, now.trim()),
            text: text.collect(),
        });
    }
    all
}
