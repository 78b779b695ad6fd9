//! One-word commands, typed: the plain session's keyboard.

use super::{Action, Ms, State, event::Setting};
use crate::measure::Ratio;

/// What a typed line asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Typed {
    /// Something the cook does.
    Act(Action),
    /// How things stand.
    Status,
    /// The words that can be typed.
    Help,
    /// Leave; the session can be resumed.
    Quit,
    /// In virtual time: let so many ms pass; `None`: until the next thing is due.
    Wait(Option<Ms>),
}

/// The words, for help: what to type, and what it does.
pub const WORDS: &[(&str, &str)] = &[
    ("(Enter)", "do the expected next thing"),
    ("begin [STEP]", "begin what is next, or STEP"),
    ("done [STEP]", "the step is done"),
    ("more MINUTES [STEP]", "it needs so much longer"),
    ("less MINUTES [STEP]", "it needs so much less"),
    ("skip [STEP]", "the step is left out"),
    ("serve", "the next course is on the table"),
    (
        "oven [NAME] DEGREES",
        "the oven is set to so many C, or 'off'",
    ),
    ("core DEGREES [STEP]", "the thermometer reads so many C"),
    (
        "swap ITEM [N]",
        "use the Nth substitute for ITEM; 0: the item itself",
    ),
    ("heard yes|no", "whether the test sound was heard"),
    ("note WORDS", "write something down"),
    ("undo", "take back what was done last"),
    ("status", "how things stand"),
    ("close", "end the session"),
    ("quit", "leave; the session can be resumed"),
];

impl State {
    /// Understands a typed line at `now`. STEP is "dish/step", a step's id, or enough of its first letters.
    ///
    /// # Errors
    /// Words for the cook when it can't be understood.
    pub fn typed(&self, line: &str, now: Ms) -> Result<Typed, String> {
        let mut words = line.split_whitespace();
        let Some(word) = words.next() else {
            let nothing = || "nothing is to be done now".to_owned();
            return self.expected(now).map(Typed::Act).ok_or_else(nothing);
        };
        let rest: Vec<&str> = words.collect();
        let act = |action: Result<Action, String>| action.map(Typed::Act);
        match word.to_lowercase().as_str() {
            "begin" => act(self.typed_begin(&rest, now)),
            "done" => act(self.running(&rest).map(Action::Finish)),
            "more" => act(self.typed_extend(&rest, now, 1)),
            "less" => act(self.typed_extend(&rest, now, -1)),
            "skip" => act(self.typed_skip(&rest, now)),
            "serve" => act(self
                .next_course()
                .map(Action::Serve)
                .ok_or_else(|| "every course is served".into())),
            "oven" => act(self.typed_oven(&rest)),
            "core" => act(self.typed_core(&rest)),
            "swap" => act(self.typed_swap(&rest)),
            "heard" => match rest.as_slice() {
                ["yes"] => Ok(Typed::Act(Action::Heard(true))),
                ["no"] => Ok(Typed::Act(Action::Heard(false))),
                _ => Err("type 'heard yes' or 'heard no'".into()),
            },
            "note" if rest.is_empty() => Err("type 'note' and what to write down".into()),
            "note" => Ok(Typed::Act(Action::Note(rest.join(" ")))),
            "undo" => Ok(Typed::Act(Action::Undo)),
            "close" => Ok(Typed::Act(Action::Close)),
            "status" => Ok(Typed::Status),
            "help" => Ok(Typed::Help),
            "quit" => Ok(Typed::Quit),
            "wait" if rest.is_empty() => Ok(Typed::Wait(None)),
            "wait" => minutes(rest[0]).map(|ms| Typed::Wait(Some(ms))),
            _ => Err(format!(
                "'{word}' is not a word of this session; type 'help'"
            )),
        }
    }

    fn typed_begin(&self, rest: &[&str], now: Ms) -> Result<Action, String> {
        if !rest.is_empty() {
            return self
                .find(rest, |i| self.steps[i].waiting(), "has begun already")
                .map(Action::Begin);
        }
        match self
            .expected(now)
            .into_iter()
            .chain(self.coming().map(|(_, action)| action))
            .find(|action| matches!(action, Action::Begin(_) | Action::SetOven(..)))
        {
            Some(action) => Ok(action),
            None => Err("nothing can begin now".into()),
        }
    }

    fn typed_skip(&self, rest: &[&str], now: Ms) -> Result<Action, String> {
        if !rest.is_empty() {
            return self
                .find(rest, |i| !self.steps[i].over(), "is over already")
                .map(Action::Skip);
        }
        match self.expected(now) {
            Some(Action::Begin(step) | Action::Finish(step)) => Ok(Action::Skip(step)),
            _ => Err("name the step to leave out".into()),
        }
    }

    fn typed_extend(&self, rest: &[&str], now: Ms, sign: Ms) -> Result<Action, String> {
        let (by, step) = match rest.split_first() {
            Some((first, step)) => (Some(minutes(first)?), step),
            None => (None, rest),
        };
        let step = self.running(step)?;
        Ok(Action::Extend(
            step,
            sign * by.unwrap_or_else(|| self.proposal(step, now)),
        ))
    }

    fn typed_oven(&self, rest: &[&str]) -> Result<Action, String> {
        let Some((last, name)) = rest.split_last() else {
            return match (0..self.ovens.len()).find_map(|oven| Some((oven, self.next_turn(oven)?)))
            {
                Some((oven, turn)) => Ok(Action::SetOven(oven, turn.to.clone())),
                None => Err("type 'oven' and what it is set to: 'oven 190', 'oven off'".into()),
            };
        };
        let name = name.join(" ").to_lowercase();
        let oven = if name.is_empty() {
            (0..self.ovens.len())
                .find(|&oven| self.next_turn(oven).is_some())
                .unwrap_or(0)
        } else {
            let known = self
                .script
                .ovens
                .iter()
                .position(|oven| oven.to_lowercase() == name);
            known.ok_or_else(|| format!("the kitchen has no oven '{name}'"))?
        };
        let to = match last.to_lowercase().as_str() {
            "off" => Setting::Off,
            degrees => Setting::At(celsius(degrees, 350)?),
        };
        Ok(Action::SetOven(oven, to))
    }

    fn typed_core(&self, rest: &[&str]) -> Result<Action, String> {
        let (first, step) = rest
            .split_first()
            .ok_or("type 'core' and the temperature in C")?;
        let core = celsius(first, 350)?;
        let measured = |i: usize| self.steps[i].running() && self.script.steps[i].core.is_some();
        let step = if step.is_empty() && (0..self.steps.len()).filter(|&i| measured(i)).count() == 1
        {
            (0..self.steps.len())
                .find(|&i| measured(i))
                .ok_or("nothing is running")?
        } else {
            self.running(step)?
        };
        Ok(Action::Measure(step, core))
    }

    fn typed_swap(&self, rest: &[&str]) -> Result<Action, String> {
        let (choice, item) = match rest.split_last() {
            Some((last, item)) if !item.is_empty() && last.parse::<usize>().is_ok() => {
                (last.parse().unwrap_or(1), item)
            }
            _ => (1, rest),
        };
        let item = item.join(" ");
        let dishes = self.script.session.dishes.iter().enumerate();
        let found = dishes.flat_map(|(d, dish)| {
            dish.ingredients
                .iter()
                .enumerate()
                .map(move |(i, known)| (d, i, known))
        });
        let (dish, ingredient, known) = found
            .into_iter()
            .find(|(.., known)| known.item.eq_ignore_ascii_case(&item))
            .ok_or_else(|| format!("no dish has '{item}'"))?;
        if choice > known.or.len() {
            return Err(format!("'{item}' has {} substitutes", known.or.len()));
        }
        Ok(Action::Substitute(dish, ingredient, choice.checked_sub(1)))
    }

    /// A running step by name; without one: the one that Space would end, or that ends next.
    fn running(&self, name: &[&str]) -> Result<usize, String> {
        if !name.is_empty() {
            return self.find(name, |i| self.steps[i].running(), "is not running");
        }
        let running = (0..self.steps.len()).filter(|&i| self.steps[i].running());
        running
            .min_by_key(|&i| self.steps[i].ask)
            .ok_or_else(|| "nothing is running".into())
    }

    fn find(
        &self,
        name: &[&str],
        fits: impl Fn(usize) -> bool,
        why_not: &str,
    ) -> Result<usize, String> {
        let name = name.join(" ");
        let all = 0..self.steps.len();
        let exact = |i: &usize| {
            let step = &self.script.steps[*i].name;
            step.to_string() == name || step.step == name
        };
        let near = |i: &usize| {
            let step = &self.script.steps[*i].name;
            step.step.starts_with(&name)
                || step.to_string().starts_with(&name)
                || step.dish.starts_with(&name)
        };
        let mut known: Vec<usize> = all.clone().filter(exact).collect();
        if known.is_empty() {
            known = all.filter(near).collect();
        }
        if known.is_empty() {
            return Err(format!("there is no step '{name}'"));
        }
        known
            .into_iter()
            .find(|&i| fits(i))
            .ok_or_else(|| format!("'{name}' {why_not}"))
    }
}

/// Minutes, as typed, in ms: at most a day.
fn minutes(word: &str) -> Result<Ms, String> {
    let number = word
        .trim_end_matches(|c: char| c.is_alphabetic())
        .replace(',', ".");
    match number.parse::<f64>() {
        Ok(minutes) if minutes > 0.0 && minutes <= 1440.0 => Ok((minutes * 60_000.0).round() as Ms),
        _ => Err(format!("'{word}' is not a number of minutes")),
    }
}

/// Degrees C, as typed: whole or with one decimal, up to `max`.
fn celsius(word: &str, max: i32) -> Result<Ratio, String> {
    let number = word
        .trim_end_matches(|c: char| c.is_alphabetic() || c == '°')
        .replace(',', ".");
    match number.parse::<f64>() {
        Ok(degrees) if (-30.0..=f64::from(max)).contains(&degrees) => {
            Ok(Ratio::new((degrees * 10.0).round() as i128, 10))
        }
        _ => Err(format!("'{word}' is not a temperature in C up to {max}")),
    }
}
