//! How wide a line of text is, near enough to keep labels apart.
//!
//! Advance widths of Noto Sans 2, in thousandths of an em, as its `hmtx` table
//! gives them; kerning is left out, which errs by less than a tenth of a
//! millimetre on a label. Letters beyond ASCII take the width of a wide one of
//! their case, so an estimate is too long rather than too short.

const MM_PER_POINT: f64 = 25.4 / 72.0;

#[rustfmt::skip]
const REGULAR: [u16; 95] = [
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434, 899, 639, 650, 632, 730, 556,
    519, 728, 741, 339, 273, 619, 524, 907, 760, 781, 605, 781, 622, 549, 556, 731, 600, 930, 586,
    566, 572, 329, 372, 329, 572, 444, 580, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534,
    258, 935, 618, 605, 615, 615, 413, 479, 361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572,
];

#[rustfmt::skip]
const BOLD: [u16; 95] = [
    260, 286, 472, 646, 572, 901, 750, 266, 339, 339, 545, 572, 285, 322, 285, 413, 572, 572, 572,
    572, 572, 572, 572, 572, 572, 572, 285, 285, 572, 572, 572, 477, 897, 690, 672, 637, 740, 560,
    549, 724, 765, 389, 331, 664, 565, 943, 813, 796, 628, 796, 660, 551, 579, 756, 650, 967, 667,
    624, 579, 331, 413, 331, 572, 411, 607, 604, 633, 514, 633, 591, 387, 633, 657, 305, 305, 620,
    305, 982, 657, 619, 633, 633, 454, 497, 434, 657, 569, 856, 578, 569, 488, 394, 551, 394, 572,
];

/// Points as millimetres.
pub(super) fn points(size: f64) -> f64 {
    size * MM_PER_POINT
}

/// Width of a line of text in mm.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let thousandths: u32 = text.chars().map(|c| u32::from(advance(c, bold))).sum();
    f64::from(thousandths) / 1000.0 * points(size)
}

fn advance(c: char, bold: bool) -> u16 {
    let table = if bold { &BOLD } else { &REGULAR };
    match c {
        ' '..='~' => table[c as usize - 32],
        '°' => 428,
        '·' => 285,
        '’' | '‘' => 217,
        '–' => 500,
        '±' | '−' => 572,
        '\u{300}'..='\u{36f}' => 0,
        _ if c.is_lowercase() => 660,
        _ if c.is_alphabetic() => 815,
        _ => 1000,
    }
}

/// Breaks a text at spaces into lines no wider than that; a single word that
/// is wider stays whole on its line.
pub(super) fn wrap(text: &str, size: f64, bold: bool, limit: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), size, bold) <= limit => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Width of the widest word, in mm: no wrapping makes a text narrower.
pub(super) fn widest_word(text: &str, size: f64, bold: bool) -> f64 {
    text.split_whitespace().map(|word| width(word, size, bold)).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_follow_the_font() {
        // "31°" is 572 + 572 + 428 thousandths of 9 points of 0.35278 mm.
        assert!((width("31°", 9.0, true) - 1.572 * 9.0 * 0.352_778).abs() < 1e-4);
        assert_eq!(width("", 8.0, false), 0.0);
    }

    #[test]
    fn wrapping_loses_no_word() {
        let lines = wrap("out of brace, standing", 8.0, false, 20.0);
        assert_eq!(lines, ["out of brace,", "standing"]);
        assert_eq!(wrap("thoracolumbar", 8.0, false, 5.0), ["thoracolumbar"]);
    }
}
