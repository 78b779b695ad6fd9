//! The session on the screen.

use std::{collections::VecDeque, io, path::PathBuf};

use crossterm::event::{Event as Reported, EventStream};
use futures_util::StreamExt;
use ratatui::layout::Rect;

use super::bell::Calls;
use crate::{
    commands::view::{self, View as Look},
    engine::face::{Face, Input, View},
    live::{Board, Ms, State, typed::Typed},
    screen::{
        self,
        alike::Alike,
        app::{self, Effect},
    },
};

/// The screen and its keyboard.
pub struct Tui {
    look: Look,
    events: EventStream,
    board: Option<Board>,
    waiting: VecDeque<Input>,
    log: Option<PathBuf>,
    calls: Calls,
    /// What is said on the first frame.
    told: Option<String>,
}

impl Tui {
    /// On a terminal that was taken; it is given back when this is dropped.
    pub fn start(look: Look, log: Option<PathBuf>, calls: Calls, told: Option<String>) -> Self {
        Self {
            look,
            events: EventStream::new(),
            board: None,
            waiting: VecDeque::new(),
            log,
            calls,
            told,
        }
    }

    fn draw(&mut self, board: &Board) -> io::Result<()> {
        self.look
            .draw(|buffer, ui| screen::paint(buffer, board, ui))
    }

    /// What the terminal reports, as inputs of the loop.
    fn take(&mut self, event: &Reported) -> io::Result<()> {
        self.look.fit(event);
        let Some(board) = &self.board else {
            return Ok(());
        };
        let size: Rect = self.look.screen.area();
        for effect in app::on_event(event, size, board, &mut self.look.ui) {
            match effect {
                Effect::Act(action) => self.waiting.push_back(Input::Act(action)),
                Effect::Redraw => self.waiting.push_back(Input::Redraw),
                Effect::Afresh => {
                    self.look.obey(Alike::Afresh)?;
                    self.waiting.push_back(Input::Redraw);
                }
                Effect::Suspend => self.waiting.push_back(Input::Suspend),
                Effect::Mouse(on) => self.look.obey(Alike::Mouse(on))?,
                Effect::Leave => self.waiting.push_back(Input::Leave),
                Effect::Other(_) => {}
            }
        }
        Ok(())
    }
}

impl Face for Tui {
    fn show(&mut self, view: &View<'_>) -> io::Result<()> {
        let mut board = view.state.board(view.now, self.look.units);
        if !view.saved {
            board.notices.insert(0, view::unsaved());
        }
        if let (crate::live::board::Phase::After { lines }, Some(log)) =
            (&mut board.phase, &self.log)
        {
            lines.push(format!("The log of this evening is {}", log.display()));
        }
        if let Some(words) = self.told.take() {
            app::say(&board, &mut self.look.ui, words);
        }
        self.draw(&board)?;
        self.calls.show(view)?;
        if self.board.is_none() {
            self.look.ui.last_input = board.now;
        }
        self.board = Some(board);
        Ok(())
    }

    async fn input(&mut self) -> Input {
        loop {
            if let Some(input) = self.waiting.pop_front() {
                return input;
            }
            let reported = tokio::select! {
                reported = self.events.next() => reported,
                event = self.calls.tried() => return Input::Told(event),
            };
            match reported {
                Some(Ok(event)) => {
                    if self.take(&event).is_err() {
                        return Input::Leave;
                    }
                }
                // The terminal is gone; the log resumes.
                Some(Err(_)) | None => return Input::Leave,
            }
        }
    }

    fn changes_at(&self, _: &State, now: Ms) -> Option<Ms> {
        let board = self.board.as_ref()?;
        app::next_redraw(board, &self.look.ui).map(|at| at.max(now + 1))
    }

    fn refuse(&mut self, why: &str) {
        if let Some(board) = &self.board {
            app::say(board, &mut self.look.ui, why.to_owned());
        }
    }

    fn answer(&mut self, _: &Typed, _: &State, _: Ms) {}

    fn beep(&mut self) -> io::Result<()> {
        self.calls.beep()
    }

    fn suspend(&mut self) -> io::Result<()> {
        self.look.obey(Alike::Suspend)
    }

    fn proceed(&mut self) -> io::Result<()> {
        self.look.proceed()
    }
}
