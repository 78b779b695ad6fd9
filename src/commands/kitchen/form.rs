//! The kitchen, asked for on the screen.

use std::{io, path::Path};

use super::{Args, written};
use crate::{
    commands::{Outcome, complain, view},
    menu,
    screen::{
        keys::Place,
        kitchen_form::{self, Form, Write},
    },
};

/// Asks for all of it; `false`: the cook left without writing.
///
/// # Errors
/// When the config is at fault or the terminal is gone; it was complained about.
pub fn ask(args: &mut Args, path: &Path) -> Result<bool, Outcome> {
    let config = view::config()?;
    let mut look = view::View::open(&config, Place::List)?;
    let mut form = Form::new(path.display().to_string());
    fill(args, &mut form, &mut look).map_err(|error| complain(&format!("the terminal: {error}")))
}

fn fill(args: &mut Args, form: &mut Form, look: &mut view::View) -> io::Result<bool> {
    while let Some(Write) = look.ask(form, kitchen_form::paint, Form::on_event)? {
        take(args, form);
        form.fault = faults(args);
        if form.fault.is_none() {
            return Ok(true);
        }
    }
    Ok(false)
}

fn take(args: &mut Args, form: &Form) {
    args.cooks = Some(form.cooks);
    args.burners = Some(form.burners);
    args.oven.clone_from(&form.ovens);
    args.ware.clone_from(&form.ware);
}

/// What is wrong with the kitchen, in one line.
fn faults(args: &Args) -> Option<String> {
    let content = match written(args) {
        Ok(content) => content,
        Err(words) => return Some(words),
    };
    let found = menu::load_kitchen("the kitchen", content.as_bytes()).err()?;
    let brief = found.brief();
    Some(
        brief
            .lines()
            .next()
            .unwrap_or("it can't be read")
            .to_owned(),
    )
}
