//! The evening as chapters for those who film it.

use super::{Review, StepReview, show::plain};
use crate::{
    exchange::webvtt::{self, Chapter},
    live::Ms,
};

impl Review {
    /// A WebVTT file (W3C WebVTT, section 4.3: chapters are cues that don't overlap), from session-clock 0. A chapter
    /// is the time from the begin of a step to that of the next; steps begun within a second are one chapter.
    pub fn chapters(&self) -> String {
        let begun = |step: &StepReview| Some((step.actual?.from.max(0), title(step)));
        let mut begins: Vec<(Ms, String)> = self.steps.iter().filter_map(begun).collect();
        let served = self.courses.iter().filter_map(|course| {
            Some((
                course.served?.max(0),
                format!("Serve {}", plain(&course.name)),
            ))
        });
        begins.extend(served);
        begins.sort();
        let mut chapters: Vec<(Ms, String)> = Vec::new();
        for (from, title) in begins {
            match chapters.last_mut() {
                Some((last, titles)) if from - *last < 1_000 => {
                    titles.push_str("; ");
                    titles.push_str(&title);
                }
                _ => chapters.push((from, title)),
            }
        }
        let ends: Vec<Ms> = chapters.iter().skip(1).map(|chapter| chapter.0).collect();
        let last = chapters
            .last()
            .map(|chapter| self.until.max(chapter.0 + 1_000));
        let chapters = chapters.into_iter().zip(ends.into_iter().chain(last));
        let list: Vec<Chapter> = chapters
            .map(|((from, title), to)| Chapter {
                start_ms: from.unsigned_abs(),
                end_ms: to.unsigned_abs(),
                title,
            })
            .collect();
        webvtt::chapters(&list)
    }
}

fn title(step: &StepReview) -> String {
    format!("{}: {}", plain(&step.dish), plain(&step.instruction))
}

#[cfg(test)]
mod tests {
    use crate::log::{
        review::review,
        sample::{evening, records},
    };

    /// WebVTT by its own grammar: the signature, then blocks of a number, a line of times and one of text.
    #[test]
    fn chapters_follow_one_another() {
        let mut review = review(&records(evening())).unwrap();
        review.steps[0].instruction = "Chop <fine> --> & fast\u{1b}".to_owned();
        let text = review.chapters();
        let mut blocks = text.strip_suffix('\n').unwrap().split("\n\n");
        assert_eq!(blocks.next(), Some("WEBVTT"));
        let mut at = String::new();
        let mut count = 0;
        for block in blocks {
            let mut lines = block.lines();
            let number: usize = lines.next().unwrap().parse().unwrap();
            assert_eq!(number, count + 1);
            let (times, title) = (lines.next().unwrap(), lines.next().unwrap());
            assert_eq!(lines.next(), None);
            let (from, to) = times.split_once(" --> ").unwrap();
            for stamp in [from, to] {
                assert_eq!(stamp.len(), "00:00:00.000".len());
                let shape = stamp.replace(|letter: char| letter.is_ascii_digit(), "0");
                assert_eq!(shape, "00:00:00.000");
            }
            assert!(from >= at.as_str() && to > from, "{times}");
            at = to.to_owned();
            assert!(!title.contains(['\n', '<', '>', '\u{1b}']) && !title.is_empty());
            count += 1;
        }
        // Simmering begins as chopping ends; every step and both servings begin at a minute of their own.
        assert_eq!(count, 7);
        assert!(text.contains(
            "01:41:00.000 --> 02:00:00.000\nLeek soup: Chop &lt;fine&gt; --&gt; &amp; fast"
        ));
    }
}
