//! Words in columns: measured, clipped and wrapped by what a terminal shows, not by bytes or letters.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Whether each byte is a letter of ASCII that shows: one column each, nothing to be tamed.
pub fn is_plain(text: &str) -> bool {
    text.bytes().all(|b| (b' '..=b'~').contains(&b))
}

/// What is between the parts of a sentence, and is left out where one of them ends a line that is cut.
pub const POINTS: [char; 3] = [',', ';', ':'];

/// How many columns a text takes.
pub fn width(text: &str) -> usize {
    if is_plain(text) {
        return text.len();
    }
    text.graphemes(true).map(UnicodeWidthStr::width).sum()
}

/// The text without what would move the cursor or turn the line around: controls, and marks that set the
/// direction of writing (Unicode annex 9: explicit formatting characters).
pub fn clean(text: &str) -> String {
    if is_plain(text) {
        return text.to_owned();
    }
    text.chars()
        .filter_map(|c| match c {
            '\t' | '\n' | '\r' => Some(' '),
            '\u{61c}' | '\u{200e}' | '\u{200f}' => None,
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => None,
            '\u{2028}' | '\u{2029}' => Some(' '),
            c if c.is_control() => None,
            c => Some(c),
        })
        .collect()
}

/// At most `columns` of the text; what is cut is marked with two dots.
pub fn clip(text: &str, columns: usize) -> String {
    let text = clean(text);
    if width(&text) <= columns {
        return text;
    }
    let marks = if columns >= 4 { ".." } else { "" };
    let mut room = columns.saturating_sub(marks.len());
    let mut out = String::new();
    for g in text.graphemes(true) {
        let w = UnicodeWidthStr::width(g);
        if w > room {
            break;
        }
        room -= w;
        out.push_str(g);
    }
    let kept = out.trim_end().len();
    out.truncate(kept);
    out.push_str(marks);
    out
}

/// The text from a column on.
pub fn from_column(text: &str, column: usize) -> String {
    let mut skipped = 0;
    text.chars()
        .skip_while(|c| {
            let skip = skipped < column;
            skipped += width(c.encode_utf8(&mut [0; 4]));
            skip
        })
        .collect()
}

/// The text in exactly `columns`: clipped, or filled with spaces.
pub fn fit(text: &str, columns: usize) -> String {
    let mut out = clip(text, columns);
    let missing = columns.saturating_sub(width(&out));
    out.extend(std::iter::repeat_n(' ', missing));
    out
}

/// The text to the right of exactly `columns`.
pub fn fit_right(text: &str, columns: usize) -> String {
    let out = clip(text, columns);
    let missing = columns.saturating_sub(width(&out));
    format!("{}{out}", " ".repeat(missing))
}

/// The text in lines of at most `columns`, broken at spaces, in words that are too long anywhere.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let columns = columns.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in clean(text).split(' ').filter(|w| !w.is_empty()) {
        let w = width(word);
        if used > 0 && used + 1 + w > columns {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        if w <= columns {
            line.push_str(word);
            used += w;
            continue;
        }
        for g in word.graphemes(true) {
            let w = UnicodeWidthStr::width(g);
            if used > 0 && used + w > columns {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            line.push_str(g);
            used += w;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A sentence in at most `columns`: if it is longer, its first parts say as much of it as fits, and no word is cut; a part
/// that would be too short to say anything gives way to whole words and two dots.
pub fn clause(text: &str, columns: usize) -> String {
    if width(text) <= columns {
        return clip(text, columns);
    }
    let ends = [", ", "; ", " until ", " for ", " with "];
    let cuts = ends.iter().flat_map(|end| text.match_indices(end));
    let heads = cuts.filter_map(|(at, _)| text.get(..at));
    let heads = heads.map(|head| head.trim_end_matches(POINTS));
    // Nothing is cut within brackets.
    let heads = heads.filter(|head| head.matches('(').count() == head.matches(')').count());
    let fitting = heads.filter(|head| (columns / 3..=columns).contains(&width(head)));
    match fitting.max_by_key(|head| width(head)) {
        Some(head) => clip(head, columns),
        None => words(text, columns),
    }
}

/// A line after which more would stand: as much of it as fits before two dots.
pub fn cut(line: &str, columns: usize) -> String {
    let whole = format!("{}..", clean(line.trim_end_matches(POINTS)));
    if width(&whole) <= columns {
        whole
    } else {
        words(line, columns.min(width(line).saturating_sub(1)))
    }
}

/// Whole words of a text that is too long, and two dots.
fn words(text: &str, columns: usize) -> String {
    let room = columns.saturating_sub(2);
    let spaces = text.match_indices(' ').map(|(at, _)| at);
    let heads = spaces.filter_map(|at| text.get(..at));
    let fitting = heads.filter(|head| (columns / 2..=room).contains(&width(head)));
    match fitting.max_by_key(|head| width(head)) {
        Some(head) => format!("{}..", clean(head.trim_end_matches(POINTS))),
        None => clip(text, columns),
    }
}

/// A name in at most `columns`: if it is longer, what comes before "with", a comma or a bracket says it as well, and no
/// letter is lost; else it is clipped.
pub fn name(text: &str, columns: usize) -> String {
    if width(text) <= columns {
        return clip(text, columns);
    }
    let ends = [" with ", " in ", " on ", " under ", ", ", " ("];
    let cuts = ends.iter().filter_map(|end| text.find(end));
    let heads = cuts
        .filter_map(|at| text.get(..at))
        .filter(|head| width(head) <= columns);
    match heads.max_by_key(|head| width(head)) {
        Some(head) if !head.is_empty() => clip(head, columns),
        _ => words(text, columns),
    }
}

/// `wrap` in at most `rows` lines; what is cut is marked.
pub fn wrap_in(text: &str, columns: usize, rows: usize) -> Vec<String> {
    let mut lines = wrap(text, columns);
    if lines.len() > rows {
        let rest = lines.split_off(rows.saturating_sub(1)).join(" ");
        if rows > 0 {
            lines.push(words(&rest, columns));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_letters_count_two_columns_and_are_never_halved() {
        assert_eq!(width("蒸し魚"), 6);
        assert_eq!(clip("蒸し魚を蒸す", 7), "蒸し..");
        assert_eq!(width(&fit("蒸し魚を蒸す", 8)), 8);
        assert_eq!(width(&fit("e\u{301}te\u{301}", 5)), 5);
    }

    #[test]
    fn a_name_is_cut_where_it_still_says_what_it_is() {
        assert_eq!(name("Loin of pork with fennel seed", 18), "Loin of pork");
        assert_eq!(name("Meringue with oranges", 30), "Meringue with oranges");
        assert_eq!(name("Donaudampfschiff", 8), "Donaud..");
        assert_eq!(name("Fish (sole) with capers", 13), "Fish (sole)");
    }

    #[test]
    fn a_sentence_is_cut_after_a_part_of_it() {
        let fish = "Dry the fish, salt it, lay it on the oiled tray";
        assert_eq!(clause(fish, 60), fish);
        assert_eq!(clause(fish, 30), "Dry the fish, salt it");
        assert_eq!(
            clause("Drain and turn in the butter", 24),
            "Drain and turn in the.."
        );
        let cream = "100 ml cream (or oat cream, 100 ml), until it steams";
        assert_eq!(clause(cream, 30), "100 ml cream (or oat cream..");
        assert_eq!(clause(cream, 40), "100 ml cream (or oat cream, 100 ml)");
        assert_eq!(clause("Drain, toss with the shallot", 27), "Drain, toss");
        assert_eq!(clause("蒸し魚を蒸す", 7), "蒸し..");
    }

    #[test]
    fn nothing_turns_the_line_around_or_moves_the_cursor() {
        assert_eq!(clean("a\u{202e}b\u{1b}[2Jc\td"), "ab[2Jc d");
    }

    #[test]
    fn lines_break_at_spaces_and_long_words_anywhere() {
        assert_eq!(wrap("stir and taste", 8), ["stir and", "taste"]);
        assert_eq!(wrap("abcdefghij", 4), ["abcd", "efgh", "ij"]);
        assert_eq!(wrap_in("one two three four", 9, 2), ["one two", "three.."]);
        assert!(wrap("", 5).is_empty());
    }
}
