//! An edit shown to people: the lines before and after.

use super::Splice;

/// Lines shown around a change.
const AROUND: usize = 1;

/// The lines that change, `-` before and `+` after, with one line around
/// each change; `@@ -93 +93 @@` are the numbers of the first line before and
/// after.
pub fn difference(text: &str, splices: &[Splice]) -> String {
    let mut out = String::new();
    let mut longer = 0_isize;
    for group in groups(text, splices) {
        let (start, end) = (line_start(text, group[0].old.start), stop(text, group));
        let old = &text[start..end];
        let mut new = String::new();
        let mut from = start;
        for splice in group {
            new.push_str(&text[from..splice.old.start]);
            new.push_str(&splice.new);
            from = splice.old.end;
        }
        new.push_str(&text[from..end]);
        longer += hunk(&mut out, text, start, &lines(old), &lines(&new), longer);
    }
    out
}

/// Splices that touch the same lines, together.
fn groups<'a>(text: &str, splices: &'a [Splice]) -> Vec<&'a [Splice]> {
    let apart = |a: &Splice, b: &Splice| {
        line_start(text, b.old.start) >= stop(text, std::slice::from_ref(a))
    };
    splices.chunk_by(|a, b| !apart(a, b)).collect()
}

fn lines(text: &str) -> Vec<&str> {
    text.lines().collect()
}

fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |n| n + 1)
}

/// The end of the lines that a group takes; none for lines put between two.
fn stop(text: &str, group: &[Splice]) -> usize {
    let last = group.last().map_or(0, |s| s.old.end);
    let between = group.len() == 1 && group[0].old.is_empty() && line_start(text, last) == last;
    if between { last } else { text[last..].find('\n').map_or(text.len(), |n| last + n + 1) }
}

/// Writes one stretch of changed lines; gives how many lines it adds.
fn hunk(
    out: &mut String,
    text: &str,
    start: usize,
    old: &[&str],
    new: &[&str],
    longer: isize,
) -> isize {
    let same = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let tail = old[same..].iter().rev().zip(new[same..].iter().rev());
    let tail = tail.take_while(|(a, b)| a == b).count();
    let (gone, come) = (&old[same..old.len() - tail], &new[same..new.len() - tail]);
    let above: Vec<&str> = text[..start].lines().chain(old[..same].iter().copied()).collect();
    let below = text[start..].lines().skip(old.len() - tail).take(AROUND);
    let first = above.len().saturating_sub(AROUND);
    let number = first as isize + 1;
    out.push_str(&format!("@@ -{number} +{} @@\n", number + longer));
    let mut write = |sign: char, line: &str| {
        out.push_str(format!("{sign}{}", line.trim_end()).trim_end());
        out.push('\n');
    };
    above[first..].iter().for_each(|line| write(' ', line));
    gone.iter().for_each(|line| write('-', line));
    come.iter().for_each(|line| write('+', line));
    below.for_each(|line| write(' ', line));
    new.len() as isize - old.len() as isize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_changed_line_and_lines_put_in_are_shown() {
        let text = "a: 1\nb: 2\nc: 3\nd: 4\ne: 5\n";
        let value = Splice { old: 8..9, new: "20".into() };
        let entry = Splice { old: 20..20, new: "x: 1\ny: 2\n".into() };
        let shown = difference(text, &[value, entry]);
        let expected = "@@ -1 +1 @@\n a: 1\n-b: 2\n+b: 20\n c: 3\n\
                        @@ -4 +4 @@\n d: 4\n+x: 1\n+y: 2\n e: 5\n";
        assert_eq!(shown, expected);
    }

    #[test]
    fn two_changes_of_one_line_are_shown_once() {
        let text = "{a: 1, b: []}";
        let shown = difference(
            text,
            &[Splice { old: 4..5, new: "2".into() }, Splice { old: 11..11, new: "x".into() }],
        );
        assert_eq!(shown, "@@ -1 +1 @@\n-{a: 1, b: []}\n+{a: 2, b: [x]}\n");
    }
}
