//! WebVTT chapters, for those who film: one cue a chapter, in order, none overlapping another.

use std::fmt::Write;

/// A chapter of a film.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chapter {
    /// Milliseconds from the beginning.
    pub start_ms: u64,
    /// Milliseconds from the beginning; a chapter ends where the next begins, at the latest.
    pub end_ms: u64,
    /// One line.
    pub title: String,
}

/// The chapters as a WebVTT file. Sorted by start; a chapter is cut where the next one begins; chapters without a title, or of no
/// length, are left out.
#[must_use]
pub fn chapters(list: &[Chapter]) -> String {
    let mut sorted: Vec<&Chapter> = list
        .iter()
        .filter(|chapter| !plain(&chapter.title).is_empty())
        .collect();
    sorted.sort_by_key(|chapter| chapter.start_ms);
    let mut out = String::from("WEBVTT\n");
    let mut number = 0;
    for (i, chapter) in sorted.iter().enumerate() {
        let next = sorted.get(i + 1).map_or(u64::MAX, |next| next.start_ms);
        let end = chapter.end_ms.min(next);
        if end > chapter.start_ms {
            number += 1;
            let (start, end) = (timestamp(chapter.start_ms), timestamp(end));
            // Writing to a String does not fail.
            let _ = write!(
                out,
                "\n{number}\n{start} --> {end}\n{}\n",
                plain(&chapter.title)
            );
        }
    }
    out
}

/// "01:02:03.456": two digits of hours or more.
fn timestamp(ms: u64) -> String {
    let (s, ms) = (ms / 1000, ms % 1000);
    format!("{:02}:{:02}:{:02}.{ms:03}", s / 3600, s / 60 % 60, s % 60)
}

/// One line of cue text: no line breaks, no markup; an arrow would end the cue.
fn plain(title: &str) -> String {
    let one_line: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|word| !word.is_empty())
        .collect();
    one_line
        .join(" ")
        .replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chapter(start_ms: u64, end_ms: u64, title: &str) -> Chapter {
        Chapter {
            start_ms,
            end_ms,
            title: title.into(),
        }
    }

    /// The W3C's WebVTT: the header, a blank line before each cue, hours, no "-->" in the text.
    #[test]
    fn chapters_are_cues() {
        let text = chapters(&[
            chapter(3_723_456, 400_000_000, "Roast --> rest & carve\nat last"),
            chapter(0, 9_999_999, "Soup"),
            chapter(5_000, 5_000, "nothing"),
            chapter(6_000, 7_000, " \n "),
        ]);
        let expected = "WEBVTT\n\n1\n00:00:00.000 --> 00:00:05.000\nSoup\n\n2\n01:02:03.456 --> 111:06:40.000\nRoast --&gt; rest &amp; carve at last\n";
        assert_eq!(text, expected);
    }

    #[test]
    fn no_chapters_are_an_empty_file() {
        assert_eq!(chapters(&[]), "WEBVTT\n");
    }
}
