//! The dish file of a recipe: TOML with a comment beside each proposal.

use super::NotImported;
use super::ingredient::{self, Split};
use super::node::is_hidden;
use super::phrases;
use super::recipe::{Recipe, Written};
use super::step::{self, How, Proposal, Step};
use crate::measure::quantity::{self, Measure};
use crate::measure::{Ratio, duration};

/// The dish file; `others`: titles of the other recipes in the same text.
pub(super) fn dish(recipe: &Recipe, others: &[&str]) -> Result<String, NotImported> {
    let mut ingredients = Vec::new();
    let mut unused: Vec<String> = Vec::new();
    let mut heading = None;
    for written in &recipe.ingredients {
        let mut split = ingredient::split(written);
        if let Written::Line(text) = written
            && split.is_empty()
            && let Some(empty) = heading.replace(text)
        {
            unused.push(format!("among the ingredients: \"{empty}\""));
        }
        // The first of a group carries the heading.
        if let Some(first) = split.first_mut() {
            first.heading = heading.take().cloned();
        }
        ingredients.extend(split);
    }
    if let Some(text) = heading {
        unused.push(format!("among the ingredients: \"{text}\""));
    }
    tell_apart(&mut ingredients);
    let (steps, unplaced) = step::propose_all(recipe, &ingredients);
    if steps.is_empty() {
        return Err(NotImported::NoSteps {
            title: recipe.title.clone(),
        });
    }
    unused.extend(unplaced);
    unused.extend(recipe.unused.iter().cloned());
    unused.extend(recipe.tools.iter().map(|tool| format!("tool: {tool}")));
    let mut out = head(recipe, &mut unused);
    for ingredient in &ingredients {
        out.push_str(&one_ingredient(ingredient));
    }
    let mut section = None;
    for step in &steps {
        if step.section != section && step.section.is_some() {
            section.clone_from(&step.section);
            out.push_str(&format!(
                "\n# {}\n",
                comment(section.as_deref().unwrap_or_default())
            ));
        }
        out.push_str(&one_step(step));
    }
    if !others.is_empty() {
        unused.push(format!(
            "other recipes in the same text: {}",
            others.join("; ")
        ));
    }
    if !unused.is_empty() {
        out.push_str("\n# Not used:\n");
        for line in &unused {
            out.push_str(&format!("# - {}\n", comment(line)));
        }
    }
    Ok(out)
}

/// What stands twice in the list carries in its note which part of the dish it is for.
fn tell_apart(ingredients: &mut [Split]) {
    let items: Vec<String> = ingredients.iter().map(|i| i.item.to_lowercase()).collect();
    let mut group: Option<String> = None;
    for (index, ingredient) in ingredients.iter_mut().enumerate() {
        group = ingredient.heading.clone().or(group);
        let item = ingredient.item.to_lowercase();
        let twice = items
            .iter()
            .enumerate()
            .any(|(other, name)| other != index && *name == item);
        if let (true, Some(group)) = (twice, &group) {
            ingredient::add_note(ingredient, group);
        }
    }
}

fn head(recipe: &Recipe, unused: &mut Vec<String>) -> String {
    let mut out = String::from(
        "# Made from a schema.org Recipe. Behind each value that the recipe does not state in so many words stands how\n\
         # sure it is: likely (read from the words of the step) or guess (nothing says so). Look them over, above all\n\
         # times, temperatures and what runs beside what: each step comes after the one before it, but for `after`.\n",
    );
    if let Some(author) = &recipe.author {
        out.push_str(&format!("# By {}\n", comment(author)));
    }
    if let Some(url) = &recipe.url {
        out.push_str(&format!("# From {}\n", comment(url)));
    }
    let times = [
        ("prepTime", recipe.prep),
        ("cookTime", recipe.cook),
        ("totalTime", recipe.total),
    ];
    let told: Vec<String> = times
        .iter()
        .filter_map(|(name, t)| t.map(|t| format!("{name} {}", duration::print(t))))
        .collect();
    if !told.is_empty() {
        out.push_str(&format!("# The recipe's own times: {}\n", told.join(", ")));
    }
    out.push_str(&format!("\ntitle = {}\n", quoted(&recipe.title)));
    match serves(&recipe.yields) {
        Some((serves, how, written)) => out.push_str(&format!(
            "serves = {serves}  # {}: {}\n",
            name(how),
            comment(&quoted(&written))
        )),
        None => {
            for written in &recipe.yields {
                unused.push(format!(
                    "yield: \"{written}\" (how many that serves is yours to say: serves = ...)"
                ));
            }
            if recipe.yields.is_empty() {
                unused.push("the recipe does not say how many it serves: serves = ...".to_owned());
            }
        }
    }
    out
}

/// The servings, if a yield says so: "Serves 4 to 6" is for the fewer.
fn serves(yields: &[String]) -> Option<(String, How, String)> {
    let number = |text: &str| {
        let start = text
            .find(|c: char| c.is_ascii_digit())
            .or_else(|| number_word(text))?;
        let (q, rest) = quantity::read(text.get(start..)?).ok()??;
        let bare = matches!(&q.measure, Measure::Pieces(p) if p.noun.is_none());
        let rest = if bare {
            rest
        } else {
            "loaf, dozen or the like"
        };
        let sane = q.lo >= Ratio::from_integer(1)
            && q.lo <= Ratio::from_integer(1000)
            && q.lo.is_integer();
        sane.then(|| (q.lo.to_integer().to_string(), rest.trim().to_lowercase()))
    };
    let says = |text: &str| {
        let lower = text.to_lowercase();
        [
            "serv",
            "people",
            "person",
            "portion",
            "guest",
            "makes enough for",
        ]
        .iter()
        .any(|w| lower.contains(w))
    };
    let said = yields
        .iter()
        .find(|y| says(y))
        .and_then(|y| Some((number(y)?.0, How::Sure, y.clone())));
    said.or_else(|| {
        let bare = yields
            .iter()
            .find(|y| number(y).is_some_and(|(_, rest)| rest.is_empty()))?;
        Some((number(bare)?.0, How::Likely, bare.clone()))
    })
}

/// Where a number stands as a word: "serves four". "A" and "one" are none.
fn number_word(text: &str) -> Option<usize> {
    const WORDS: &[&str] = &[
        "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    ];
    let lower = text.to_ascii_lowercase();
    WORDS
        .iter()
        .filter_map(|word| phrases::place(&lower, word))
        .min()
}

fn one_ingredient(ingredient: &Split) -> String {
    let mut out = String::new();
    if let Some(heading) = &ingredient.heading {
        out.push_str(&format!("\n# {}\n", comment(heading)));
    }
    out.push_str(&format!(
        "\n[[ingredient]]  # {}\n",
        comment(&quoted(&ingredient.written))
    ));
    out.push_str(&format!("item = {}\n", quoted(&ingredient.item)));
    if let Some(amount) = &ingredient.amount {
        out.push_str(&format!("amount = {}\n", quoted(amount)));
    }
    if let Some(note) = &ingredient.note {
        out.push_str(&format!("note = {}\n", quoted(note)));
    }
    if !ingredient.or.is_empty() {
        out.push_str(&format!("or = {}\n", list(&ingredient.or)));
    }
    out
}

fn one_step(step: &Step) -> String {
    let mut out = String::from("\n[[step]]\n");
    out.push_str(&format!("id = {}\n", quoted(&step.id)));
    out.push_str(&format!(
        "do = {}\n",
        quoted_to(&step.instruction, LONGEST_TEXT)
    ));
    line(&mut out, "takes", quoted(&step.takes.value), &step.takes);
    if let Some(hands) = &step.hands {
        line(&mut out, "hands", quoted(&hands.value), hands);
    }
    if let Some(after) = &step.after {
        let ids = list(&after.ids);
        out.push_str(&format!(
            "after = {ids}  # {}: {}\n",
            name(after.how),
            comment(&after.why)
        ));
    }
    if !step.needs.is_empty() {
        let names: Vec<String> = step.needs.iter().map(|n| n.value.clone()).collect();
        let guessed: Vec<&str> = step
            .needs
            .iter()
            .filter(|n| n.how == How::Guess)
            .map(|n| n.why.as_str())
            .collect();
        let guess = if guessed.is_empty() {
            String::new()
        } else {
            format!("; guess: {}", comment(&guessed.join(", ")))
        };
        out.push_str(&format!("needs = {}  # likely{guess}\n", list(&names)));
    }
    if let Some((at, then)) = &step.oven {
        let value = match then {
            Some((after, to)) => {
                format!(
                    "{{ at = {}, then = [{{ after = {}, at = {} }}] }}",
                    quoted(&at.value),
                    quoted(&duration::print(*after)),
                    quoted(to)
                )
            }
            None => format!("{{ at = {} }}", quoted(&at.value)),
        };
        line(&mut out, "oven", value, at);
    }
    for (key, proposal) in [
        ("until", &step.until),
        ("core", &step.core),
        ("keeps", &step.keeps),
        ("ahead", &step.ahead),
    ] {
        if let Some(proposal) = proposal {
            line(&mut out, key, quoted(&proposal.value), proposal);
        }
    }
    if let Some((items, how)) = &step.uses {
        out.push_str(&format!("uses = {}  # {}\n", list(items), name(*how)));
    }
    out
}

fn line(out: &mut String, key: &str, value: String, proposal: &Proposal) {
    out.push_str(&format!("{key} = {value}"));
    if proposal.how != How::Sure {
        let gap = if proposal.why.is_empty() { "" } else { ": " };
        out.push_str(&format!(
            "  # {}{gap}{}",
            name(proposal.how),
            comment(&proposal.why)
        ));
    }
    out.push('\n');
}

fn name(how: How) -> &'static str {
    match how {
        How::Sure => "sure",
        How::Likely => "likely",
        How::Guess => "guess",
    }
}

/// The most characters of a name, a note or another short text in a dish file.
const LONGEST_NAME: usize = 200;

/// The most characters of an instruction.
const LONGEST_TEXT: usize = 2000;

/// A TOML string of a short text.
fn quoted(text: &str) -> String {
    quoted_to(text, LONGEST_NAME)
}

/// A TOML string; what is too long for a dish file is cut, which its last characters show.
fn quoted_to(text: &str, most: usize) -> String {
    let cut: String = text.chars().take(most - 3).collect();
    let text = if text.chars().count() > most {
        format!("{}...", cut.trim_end())
    } else {
        text.to_owned()
    };
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if is_hidden(c) => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

fn list(texts: &[String]) -> String {
    format!(
        "[{}]",
        texts
            .iter()
            .map(|t| quoted(t))
            .collect::<Vec<_>>()
            .join(", ")
    )
}

/// One line, without what TOML forbids in a comment.
fn comment(text: &str) -> String {
    text.chars()
        .map(|c| if is_hidden(c) { ' ' } else { c })
        .collect()
}
