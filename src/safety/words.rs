//! Words of a kitchen text, and phrases found in them: without regard to case, accents and plural.

use std::collections::HashMap;

use serde::Deserialize;

/// Words of a text, lower case, without accents, in the singular.
#[must_use]
pub(crate) fn tokens(text: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut word = String::new();
    for c in text.chars() {
        if matches!(c, '\'' | '\u{2019}') {
            continue;
        }
        if c.is_alphanumeric() {
            for lower in c.to_lowercase() {
                fold(lower, &mut word);
            }
        } else if !word.is_empty() {
            all.push(singular(std::mem::take(&mut word)));
        }
    }
    if !word.is_empty() {
        all.push(singular(word));
    }
    all
}

fn fold(c: char, into: &mut String) {
    let plain = match c {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => "a",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' | 'ı' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
        'ù' | 'ú' | 'û' | 'ü' => "u",
        'ý' | 'ÿ' => "y",
        'œ' => "oe",
        'æ' => "ae",
        'ß' => "ss",
        'ş' => "s",
        'ğ' => "g",
        // Combining accents of decomposed text.
        '\u{300}'..='\u{36f}' => "",
        _ => return into.push(c),
    };
    into.push_str(plain);
}

/// A plain English singular; the table's words go the same way, so that it need not be right, only equal.
fn singular(word: String) -> String {
    let n = word.len();
    let cut = |end: usize| word.get(..end).unwrap_or(&word).to_owned();
    if n > 4 && word.ends_with("ies") {
        return cut(n - 3) + "y";
    }
    if n > 4
        && ["ches", "shes", "sses", "xes", "oes"]
            .iter()
            .any(|end| word.ends_with(end))
    {
        return cut(n - 2);
    }
    if n > 3 && word.ends_with('s') && !word.ends_with("ss") && !word.ends_with("us") {
        return cut(n - 1);
    }
    // "brownie" and "quiche" go the way of their plurals.
    if n > 3 && word.ends_with("ie") {
        return cut(n - 2) + "y";
    }
    if n > 3
        && ["che", "she", "sse", "xe", "oe"]
            .iter()
            .any(|end| word.ends_with(end))
    {
        return cut(n - 1);
    }
    word
}

/// One word of a phrase: whole, or its beginning alone.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Part {
    Whole(String),
    Start(String),
}

impl Part {
    fn matches(&self, token: &str) -> bool {
        match self {
            Self::Whole(word) => word == token,
            Self::Start(start) => token.starts_with(start.as_str()),
        }
    }
}

/// A phrase to look for; a word that ends in `*` stands for all that begin like it.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(from = "String")]
pub(crate) struct Phrase(Vec<Part>);

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        Self::new(&text)
    }
}

impl Phrase {
    pub(crate) fn new(text: &str) -> Self {
        let parts = text
            .split_whitespace()
            .flat_map(|word| match word.strip_suffix('*') {
                Some(start) => {
                    let mut parts: Vec<Part> = tokens(start).into_iter().map(Part::Whole).collect();
                    if let Some(last) = parts.pop() {
                        // Not singular: "bos*" must not become "bo".
                        let start = start
                            .rsplit(|c: char| !c.is_alphanumeric())
                            .next()
                            .unwrap_or(start);
                        let mut folded = String::new();
                        start
                            .chars()
                            .flat_map(char::to_lowercase)
                            .for_each(|c| fold(c, &mut folded));
                        parts.push(match last {
                            Part::Whole(_) | Part::Start(_) => Part::Start(folded),
                        });
                    }
                    parts
                }
                None => tokens(word).into_iter().map(Part::Whole).collect(),
            });
        Self(parts.collect())
    }

    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    fn at_start_of(&self, tokens: &[String]) -> bool {
        self.0.len() <= tokens.len()
            && self
                .0
                .iter()
                .zip(tokens)
                .all(|(part, token)| part.matches(token))
    }

    pub(crate) fn is_in(&self, tokens: &[String]) -> bool {
        !self.0.is_empty()
            && (0..tokens.len()).any(|i| tokens.get(i..).is_some_and(|rest| self.at_start_of(rest)))
    }
}

/// Whether any of the phrases is in the text.
pub(crate) fn says(tokens: &[String], phrases: &[&str]) -> bool {
    phrases
        .iter()
        .any(|phrase| may_be_in(phrase, tokens) && Phrase::new(phrase).is_in(tokens))
}

/// Whether a word begins with the letter with which the phrase begins: few do, and to take a phrase apart takes longer.
/// Neither accents nor plurals change a first letter that is ASCII.
fn may_be_in(phrase: &str, tokens: &[String]) -> bool {
    match phrase.bytes().next() {
        Some(first) if first.is_ascii_alphanumeric() => {
            let first = first.to_ascii_lowercase();
            tokens
                .iter()
                .any(|token| token.as_bytes().first() == Some(&first))
        }
        _ => true,
    }
}

/// Whether the text tells to do one of these: it begins with it, or it follows "and" or "then".
pub(crate) fn commands(tokens: &[String], phrases: &[&str]) -> bool {
    let starts =
        (0..tokens.len()).filter(|&i| match i.checked_sub(1).and_then(|i| tokens.get(i)) {
            None => true,
            Some(before) => before == "and" || before == "then",
        });
    let rests: Vec<&[String]> = starts.filter_map(|i| tokens.get(i..)).collect();
    phrases
        .iter()
        .filter(|phrase| may_be_in(phrase, tokens))
        .map(|phrase| Phrase::new(phrase))
        .any(|phrase| rests.iter().any(|rest| phrase.at_start_of(rest)))
}

/// Many phrases, each with a value; the longest at a place wins, and its words are used up.
#[derive(Clone, Debug)]
pub(crate) struct Lexicon<T> {
    by_first: HashMap<String, Vec<(Phrase, T)>>,
}

impl<T: Clone> Lexicon<T> {
    /// Whole words only: a beginning (`*`) has no place in a lexicon.
    pub(crate) fn new(entries: impl IntoIterator<Item = (String, T)>) -> Self {
        let mut by_first: HashMap<String, Vec<(Phrase, T)>> = HashMap::new();
        for (text, value) in entries {
            if let Some(first) = tokens(&text).into_iter().next() {
                by_first
                    .entry(first)
                    .or_default()
                    .push((Phrase::new(&text), value));
            }
        }
        for phrases in by_first.values_mut() {
            phrases.sort_by_key(|(phrase, _)| std::cmp::Reverse(phrase.len()));
        }
        Self { by_first }
    }

    /// Every value found, in the order of the text.
    pub(crate) fn find(&self, tokens: &[String]) -> Vec<T> {
        let mut found = Vec::new();
        let mut i = 0;
        while let Some(rest) = tokens.get(i..).filter(|rest| !rest.is_empty()) {
            let hit = rest
                .first()
                .and_then(|first| self.by_first.get(first))
                .and_then(|phrases| phrases.iter().find(|(phrase, _)| phrase.at_start_of(rest)));
            match hit {
                Some((phrase, value)) => {
                    found.push(value.clone());
                    i += phrase.len().max(1);
                }
                None => i += 1,
            }
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn accents_case_and_plural_do_not_matter() {
        assert_eq!(
            tokens("Crème FRAÎCHE, 2 tomatoes"),
            ["creme", "fraich", "2", "tomato"]
        );
        assert_eq!(tokens("berries' jus"), ["berry", "jus"]);
        assert_eq!(tokens("Haselnu\u{df}"), ["haselnuss"]);
        for (one, many) in [
            ("brownie", "brownies"),
            ("quiche", "quiches"),
            ("mousse", "mousses"),
            ("sloe", "sloes"),
            ("pie", "pies"),
            ("axe", "axes"),
            ("radish", "radishes"),
        ] {
            assert_eq!(tokens(one), tokens(many));
        }
        assert!(tokens(" -- ").is_empty());
    }

    #[test]
    fn the_longest_phrase_uses_its_words_up() {
        let lexicon = Lexicon::new([("chicken".to_owned(), 1), ("chicken stock".to_owned(), 2)]);
        assert_eq!(lexicon.find(&tokens("Chicken stock")), [2]);
        assert_eq!(lexicon.find(&tokens("chickens in chicken stock")), [1, 2]);
    }

    #[test]
    fn a_first_letter_alone_never_hides_a_phrase() {
        for (text, phrase) in [
            ("Quiches", "quiche"),
            ("cr\u{e8}me", "crème"),
            ("creme", "Crème fra*"),
            ("\u{e9}clair", "eclair"),
            ("\u{e9}clairs", "\u{c9}clair"),
            ("the '2 h", "'2 h"),
            ("Fries", "fry"),
        ] {
            let tokens = tokens(text);
            assert_eq!(
                says(&tokens, &[phrase]),
                Phrase::new(phrase).is_in(&tokens),
                "{phrase} in {text}"
            );
        }
    }

    #[test]
    fn a_star_stands_for_the_rest_of_the_word() {
        assert!(Phrase::new("deep fr*").is_in(&tokens("Now deep-frying the fish")));
        assert!(Phrase::new("boss*").is_in(&tokens("bossy")));
        assert!(!Phrase::new("fry").is_in(&tokens("frying")));
        assert!(says(
            &tokens("leave at room temperature"),
            &["room temperature"]
        ));
    }
}
