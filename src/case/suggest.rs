//! Words for messages: quoting what was typed, lists, and near misses.

use strsim::damerau_levenshtein;

/// The longest quotation of a typed text, in characters.
const MAX_QUOTE: usize = 48;

/// What was typed, between backticks, on one line and not too long.
pub fn quote(text: &str) -> String {
    let mut shown: String = text.chars().take(MAX_QUOTE).flat_map(visible).collect();
    if text.chars().nth(MAX_QUOTE).is_some() {
        shown.push('…');
    }
    format!("`{shown}`")
}

fn visible(c: char) -> Vec<char> {
    match super::text::forbidden(c) {
        None if c != '\n' && c != '\t' => vec![c],
        _ => c.escape_default().collect(),
    }
}

/// Words in a row: `a, b, c`.
pub fn list(words: &[&str]) -> String {
    words.join(", ")
}

/// Letters and digits alone, in lower case: `Sitting-Height` is `sittingheight`.
fn bones(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// The word that was probably meant, if one is close.
pub fn did_you_mean<'a>(typed: &str, words: &[&'a str]) -> Option<&'a str> {
    let typed = bones(typed);
    if typed.is_empty() || typed.len() > 64 {
        return None;
    }
    let far = |word: &str| damerau_levenshtein(&typed, &bones(word));
    let (distance, word) = words.iter().map(|w| (far(w), *w)).min_by_key(|(d, _)| *d)?;
    let allowed = match typed.chars().count().min(bones(word).chars().count()) {
        0..=2 => 0,
        3..=4 => 1,
        5..=8 => 2,
        _ => 3,
    };
    (distance <= allowed).then_some(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_misses_are_found_and_others_are_not() {
        let keys = ["name", "born", "sex", "sitting_height", "menarche"];
        assert_eq!(did_you_mean("nmae", &keys), Some("name"));
        assert_eq!(did_you_mean("Sitting height", &keys), Some("sitting_height"));
        assert_eq!(did_you_mean("menarchy", &keys), Some("menarche"));
        assert_eq!(did_you_mean("weight", &keys), None);
        assert_eq!(did_you_mean("ex", &keys), None);
    }

    #[test]
    fn quotations_stay_on_one_line_and_short() {
        assert_eq!(quote("a\nb\u{202e}"), "`a\\nb\\u{202e}`");
        assert_eq!(quote(&"x".repeat(100)).chars().count(), 48 + 3);
    }
}
