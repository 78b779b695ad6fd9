//! The kitchen, asked for on one screen: cooks, burners, ovens, cookware. Arrows go and count, Enter types or adds.

mod paint;

use crossterm::event::{Event, KeyEventKind};
use ratatui::{buffer::Buffer, layout::Rect};
use tui_input::{Input, InputRequest, backend::crossterm::EventHandler};

pub use paint::paint;

use super::{
    Command, Ui,
    alike::{self, Alike, Asked},
    text,
};

/// More than this is no kitchen at home, and was mistyped.
const MOST: u32 = 40;

/// What is asked for.
#[derive(Clone, Debug, Default)]
pub struct Form {
    /// How many people cook.
    pub cooks: u32,
    /// Burners of the hob.
    pub burners: u32,
    /// Ovens: "top oven, 2, fan" for a name, its racks, and how its dial is marked.
    pub ovens: Vec<String>,
    /// Cookware: "stockpot, 1, 6 L" for a name, how many, and what one holds.
    pub ware: Vec<String>,
    /// Where it will be written.
    pub path: String,
    /// Why it could not be taken or written, in words.
    pub fault: Option<String>,
    chosen: usize,
    typing: Option<Input>,
}

/// A line of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Line {
    Cooks,
    Burners,
    Oven(usize),
    AddOven,
    Ware(usize),
    AddWare,
    Write,
}

/// The kitchen is to be written down.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Write;

impl Form {
    /// A form for a kitchen of one cook and four burners, to be written to `path`.
    pub fn new(path: String) -> Self {
        Form {
            cooks: 1,
            burners: 4,
            ovens: vec!["oven, 2".to_owned()],
            path,
            ..Form::default()
        }
    }

    fn lines(&self) -> Vec<Line> {
        let ovens = (0..self.ovens.len()).map(Line::Oven);
        let ware = (0..self.ware.len()).map(Line::Ware);
        let numbers = [Line::Cooks, Line::Burners].into_iter();
        let all = numbers.chain(ovens).chain([Line::AddOven]);
        all.chain(ware)
            .chain([Line::AddWare, Line::Write])
            .collect()
    }

    fn line(&self) -> Line {
        self.lines()
            .get(self.chosen)
            .copied()
            .unwrap_or(Line::Write)
    }

    /// What one reported event asks for.
    pub fn on_event(&mut self, event: &Event, size: Rect, ui: &mut Ui) -> Option<Asked<Write>> {
        if self.typing.is_some() {
            return self.type_in(event, ui);
        }
        let shown = self.clone();
        let drawn = |ui: &Ui| paint(&mut Buffer::empty(size), &shown, ui);
        alike::on_event(event, ui, drawn, |command, _| self.obey(command))
    }

    fn obey(&mut self, command: &Command) -> Option<Asked<Write>> {
        let last = self.lines().len().saturating_sub(1);
        match command {
            Command::Up => self.chosen = self.chosen.saturating_sub(1),
            Command::Down => self.chosen = (self.chosen + 1).min(last),
            Command::Earlier => self.chosen = 0,
            Command::Later => self.chosen = last,
            Command::Left => self.count(false),
            Command::Right => self.count(true),
            // A tap goes to a line; a tap on it again takes it.
            Command::Row(n) if usize::from(*n) != self.chosen + 1 => {
                self.chosen = usize::from(*n).saturating_sub(1).min(last);
            }
            Command::Take | Command::Next | Command::Row(_) => return self.take(),
            Command::Back | Command::Quit => return Some(Asked::Leave),
            _ => return None,
        }
        Some(Asked::REDRAW)
    }

    /// One more, or one fewer, of what is chosen.
    fn count(&mut self, more: bool) {
        let least = u32::from(self.line() == Line::Cooks);
        let number = match self.line() {
            Line::Cooks => &mut self.cooks,
            Line::Burners => &mut self.burners,
            _ => return,
        };
        *number = match more {
            true => number.saturating_add(1).min(MOST),
            false => number.saturating_sub(1).max(least),
        };
    }

    fn take(&mut self) -> Option<Asked<Write>> {
        let before = match self.line() {
            Line::Write => return Some(Asked::Own(Write)),
            Line::Cooks => self.cooks.to_string(),
            Line::Burners => self.burners.to_string(),
            Line::Oven(i) => self.ovens.get(i).cloned().unwrap_or_default(),
            Line::Ware(i) => self.ware.get(i).cloned().unwrap_or_default(),
            Line::AddOven | Line::AddWare => String::new(),
        };
        self.typing = Some(Input::new(before));
        Some(Asked::REDRAW)
    }

    fn type_in(&mut self, event: &Event, ui: &Ui) -> Option<Asked<Write>> {
        let input = self.typing.as_mut()?;
        let command = match event {
            Event::Key(key) if key.kind == KeyEventKind::Release => return None,
            Event::Key(key) => ui.keys.command(ui.place, key),
            _ => None,
        };
        match (command, event) {
            (Some(Command::Back), _) => (self.typing, self.fault) = (None, None),
            (Some(Command::Take), _) => self.taken(),
            (Some(Command::Suspend), _) => return Some(Asked::Alike(Alike::Suspend)),
            (_, Event::Paste(words)) => {
                for c in text::clean(words).chars() {
                    input.handle(InputRequest::InsertChar(c));
                }
            }
            (_, Event::Key(_)) => {
                input.handle_event(event);
            }
            (_, Event::Resize(..)) => {}
            _ => return None,
        }
        Some(Asked::REDRAW)
    }

    /// The typed line is taken; an empty one takes its thing away.
    fn taken(&mut self) {
        let Some(input) = &self.typing else { return };
        let typed = text::clean(input.value()).trim().to_owned();
        let line = self.line();
        match checked(&typed, line) {
            Err(why) => {
                self.fault = Some(why);
                return;
            }
            Ok(Some(number)) if line == Line::Cooks => self.cooks = number,
            Ok(Some(number)) => self.burners = number,
            Ok(None) => {
                let (list, i) = match line {
                    Line::Oven(i) => (&mut self.ovens, Some(i)),
                    Line::Ware(i) => (&mut self.ware, Some(i)),
                    Line::AddOven => (&mut self.ovens, None),
                    _ => (&mut self.ware, None),
                };
                match (i, typed.is_empty()) {
                    (Some(i), true) if i < list.len() => {
                        list.remove(i);
                    }
                    (Some(i), false) if i < list.len() => list[i] = typed,
                    (None, false) => {
                        list.push(typed);
                        // On the line to add another still, which is one further down.
                        self.chosen += 1;
                    }
                    _ => {}
                }
            }
        }
        (self.typing, self.fault) = (None, None);
    }
}

/// Whether a typed line is right; gives the number of a line that asks for one.
fn checked(typed: &str, line: Line) -> Result<Option<u32>, String> {
    let number = |word: &str, least: u32| {
        let number: Option<u32> = word.parse().ok();
        let fits = number.filter(|n| (least..=MOST).contains(n));
        fits.ok_or_else(|| format!("'{word}' is not a whole number from {least} to {MOST}"))
    };
    match line {
        Line::Cooks => return number(typed, 1).map(Some),
        Line::Burners => return number(typed, 0).map(Some),
        _ => {}
    }
    let mut parts = typed.split(',').map(str::trim);
    let name = parts.next().unwrap_or("");
    if name.is_empty() && !typed.is_empty() {
        return Err("a name comes first, then a comma".to_owned());
    }
    if let Some(count) = parts.next() {
        number(count, 1)?;
    }
    let most = usize::from(matches!(line, Line::Ware(_) | Line::AddWare));
    match parts.nth(most) {
        Some(_) => Err(format!("'{typed}' has too many commas")),
        None => Ok(None),
    }
}
