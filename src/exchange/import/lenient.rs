//! JSON as it is found on pages: wrapped in comments and CDATA, with raw line breaks, stray commas and braces, and
//! quotes that nobody escaped. Strict reading comes first; what is mended is said.

use serde_json::Value;

/// The value of a text, and whether it had to be mended; `None` if that does not help.
pub(super) fn parse(text: &str) -> Option<(Value, bool)> {
    let text = text.trim_start_matches('\u{feff}').trim();
    if let Ok(value) = serde_json::from_str(text) {
        return Some((value, false));
    }
    let mended = mend(unwrapped(text));
    // The first whole value counts: a stray brace or semicolon after it is left.
    let mut values = serde_json::Deserializer::from_str(&mended).into_iter::<Value>();
    match values.next() {
        Some(Ok(value)) if value.is_object() || value.is_array() => Some((value, true)),
        _ => None,
    }
}

/// Without the comment and CDATA marks around it, and without what stands before the first bracket.
fn unwrapped(text: &str) -> &str {
    let start = text.find(['{', '[']).unwrap_or(0);
    let mut text = text.get(start..).unwrap_or(text);
    // "[CDATA[" begins with a bracket that is none of JSON.
    while let Some(rest) = text.strip_prefix("[CDATA[") {
        let start = rest.find(['{', '[']).unwrap_or(0);
        text = rest.get(start..).unwrap_or(rest);
    }
    text
}

/// One pass: comments and stray commas out of the structure, control characters and bare quotes in strings escaped,
/// what is left open closed.
fn mend(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut out = String::with_capacity(text.len());
    let mut open: Vec<char> = Vec::new();
    let mut at = 0;
    while let Some(&c) = chars.get(at) {
        match c {
            '"' => at = string(&chars, at, &mut out),
            '/' if chars.get(at + 1) == Some(&'*') => at = after(&chars, at + 2, &['*', '/']),
            '/' if chars.get(at + 1) == Some(&'/') => at = after(&chars, at + 2, &['\n']),
            ',' if matches!(next_sign(&chars, at + 1), Some('}' | ']' | ',') | None) => at += 1,
            '{' | '[' => {
                open.push(if c == '{' { '}' } else { ']' });
                out.push(c);
                at += 1;
            }
            '}' | ']' => {
                if open.last() == Some(&c) {
                    open.pop();
                    out.push(c);
                }
                at += 1;
                if open.is_empty() {
                    break;
                }
            }
            _ => {
                out.push(if c.is_control() { ' ' } else { c });
                at += 1;
            }
        }
    }
    out.extend(open.iter().rev());
    out
}

/// Copies the string that begins at `at`, and gives the place after it.
fn string(chars: &[char], at: usize, out: &mut String) -> usize {
    out.push('"');
    let mut at = at + 1;
    while let Some(&c) = chars.get(at) {
        at += 1;
        match c {
            '\\' => {
                let escaped = chars.get(at).copied().unwrap_or('\\');
                let known = matches!(escaped, '"' | '\\' | '/' | 'b' | 'f' | 'n' | 'r' | 't')
                    || escaped == 'u'
                        && chars
                            .get(at + 1..at + 5)
                            .is_some_and(|four| four.iter().all(char::is_ascii_hexdigit));
                if known {
                    out.push('\\');
                }
                out.push(escaped);
                at += 1;
            }
            '"' if ends_string(chars, at) => {
                out.push('"');
                return at;
            }
            '"' => out.push_str("\\\""),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    at
}

/// Whether the quote before `at` ends its string: what follows is structure.
fn ends_string(chars: &[char], at: usize) -> bool {
    match next_sign(chars, at) {
        None | Some('}' | ']' | ':') => true,
        Some(',') => {
            let comma = (at..chars.len()).find(|i| chars.get(*i) == Some(&','));
            let after = comma.and_then(|i| next_sign(chars, i + 1));
            matches!(
                after,
                None | Some('"' | '{' | '[' | '}' | ']' | '-' | '/' | '0'..='9')
            ) || comma.is_some_and(|i| word_follows(chars, i + 1))
        }
        // A comma was forgotten between two lines of a list.
        Some('"') => false,
        Some(_) => false,
    }
}

fn word_follows(chars: &[char], at: usize) -> bool {
    let rest: String = chars
        .iter()
        .skip(at)
        .skip_while(|c| c.is_whitespace())
        .take(5)
        .collect();
    ["true", "false", "null"]
        .iter()
        .any(|w| rest.starts_with(w))
}

fn next_sign(chars: &[char], at: usize) -> Option<char> {
    chars.iter().skip(at).copied().find(|c| !c.is_whitespace())
}

/// The place after the next occurrence of `end`.
fn after(chars: &[char], at: usize, end: &[char]) -> usize {
    let found = chars
        .get(at..)
        .and_then(|rest| rest.windows(end.len()).position(|w| w == end));
    found.map_or(chars.len(), |place| at + place + end.len())
}
