//! `mealtide kitchen`: asks what the kitchen has, and writes it down.

mod form;

use std::fs;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::{Outcome, complain, faults, new, print, view};
use crate::menu::{self, Lookup, text};

/// What the kitchen has. What is not given is asked for on a terminal, and takes its default elsewhere.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// How many people cook.
    #[arg(long, value_name = "N")]
    cooks: Option<u32>,
    /// Burners of the hob.
    #[arg(long, value_name = "N")]
    burners: Option<u32>,
    /// An oven: its name, then its racks, then how its dial is marked: C, F, gas or fan ("top oven, 2, fan"). Several for
    /// several.
    #[arg(long, value_name = "NAME[, RACKS[, DIAL]]")]
    oven: Vec<String>,
    /// Cookware: its name, then how many, then what one holds ("stockpot, 1, 6 L"). Several for several.
    #[arg(long, value_name = "NAME[, COUNT[, VOLUME]]")]
    ware: Vec<String>,
    /// Where to write it [default: kitchen.toml in the config folder]; '-' for standard output.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a file that is there.
    #[arg(long)]
    replace: bool,
    /// Ask in lines of text instead of on the screen.
    #[arg(long)]
    plain: bool,
}

/// Asks, checks and writes.
pub fn run(mut args: Args) -> Outcome {
    let nothing = args.cooks.is_none()
        && args.burners.is_none()
        && args.oven.is_empty()
        && args.ware.is_empty();
    let on_screen = !args.plain && view::possible();
    let path = match &args.output {
        Some(path) if path.as_os_str() == "-" => None,
        Some(path) => Some(path.clone()),
        None => match Lookup::of_the_user().config {
            Some(folder) => Some(folder.join("kitchen.toml")),
            None => return complain("there is no home folder: say --output FILE"),
        },
    };
    // What can't be written in the end is not asked for.
    if let Some(path) = path.as_ref().filter(|path| path.exists() && !args.replace) {
        return there_already(path);
    }
    match &path {
        Some(path) if nothing && on_screen => match form::ask(&mut args, path) {
            Ok(true) => {}
            Ok(false) => return print("nothing is written\n"),
            Err(outcome) => return outcome,
        },
        _ if nothing && io::stdin().is_terminal() && ask(&mut args).is_err() => {
            return complain("nothing is written: the answers ended");
        }
        _ => {}
    }
    let content = match written(&args) {
        Ok(content) => content,
        Err(words) => return complain(&words),
    };
    if let Err(found) = menu::load_kitchen("the kitchen", content.as_bytes()) {
        return faults::tell(&found, false);
    }
    let Some(path) = path else {
        return print(&content);
    };
    let shown = path.display().to_string();
    let shown = text::clean(&shown);
    if let Some(folder) = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        && let Err(error) = fs::create_dir_all(folder)
    {
        return complain(&format!("cannot make the folder of {shown}: {error}"));
    }
    let result = if args.replace {
        fs::write(&path, &content)
    } else {
        new::write_new(&path, &content)
    };
    match result {
        Ok(()) => print(&format!("{shown} is written\n")),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => there_already(&path),
        Err(error) => complain(&format!("cannot write {shown}: {error}")),
    }
}

fn there_already(path: &Path) -> Outcome {
    let shown = path.display().to_string();
    complain(&format!(
        "{} is there already: say --replace to write over it",
        text::clean(&shown)
    ))
}

/// An empty answer takes what stands in brackets, or ends a list.
fn ask(args: &mut Args) -> io::Result<()> {
    args.cooks = number("How many people cook?", 1)?;
    args.burners = number("How many burners has the hob?", 4)?;
    say(
        "Ovens: name, racks, and how the dial is marked: C, F, gas or fan (\"top oven, 2, fan\"). An empty line ends; none means one oven of two racks.\n",
    )?;
    args.oven = list("Oven")?;
    say("Cookware: name, how many, what one holds (\"stockpot, 1, 6 L\"). An empty line ends.\n")?;
    args.ware = list("Cookware")?;
    Ok(())
}

fn number(question: &str, default: u32) -> io::Result<Option<u32>> {
    loop {
        let answer = line(&format!("{question} [{default}] "))?;
        if answer.is_empty() {
            return Ok(Some(default));
        }
        match answer.parse() {
            Ok(number) => return Ok(Some(number)),
            Err(_) => say("A whole number, please.\n")?,
        }
    }
}

fn list(name: &str) -> io::Result<Vec<String>> {
    let mut answers = Vec::new();
    loop {
        let answer = line(&format!("{name}: "))?;
        if answer.is_empty() {
            return Ok(answers);
        }
        answers.push(answer);
    }
}

fn line(prompt: &str) -> io::Result<String> {
    say(prompt)?;
    let mut answer = String::new();
    if io::stdin().lock().read_line(&mut answer)? == 0 {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    Ok(text::clean(&answer).trim().to_owned())
}

/// Questions go to standard error, so that `--output -` can be piped.
fn say(words: &str) -> io::Result<()> {
    let mut out = io::stderr().lock();
    out.write_all(words.as_bytes())?;
    out.flush()
}

/// The kitchen as TOML.
fn written(args: &Args) -> Result<String, String> {
    let mut out = format!(
        "# The kitchen that sessions without one of their own are planned for.\n\ncooks   = {}\nburners = {}\n",
        args.cooks.unwrap_or(1),
        args.burners.unwrap_or(4)
    );
    for oven in &args.oven {
        let (name, racks, dial) = three(oven)?;
        out += &format!("\n[[oven]]\nname  = {}\n", quoted(name));
        if let Some(racks) = racks {
            out += &format!("racks = {}\n", whole(racks, oven)?);
        }
        if let Some(dial) = dial {
            out += &format!("dial  = {}\n", quoted(dial));
        }
        out += "# heats = \"10 C/min\"   # time your own oven, and say so here\n# cools = \"4 C/min\"\n";
        if dial.is_none() {
            out += "# dial  = \"fan\"         # its marks: C, F, gas or fan; what it is set to is told so\n";
        }
    }
    for ware in &args.ware {
        let (name, count, volume) = three(ware)?;
        out += &format!("\n[[ware]]\nname  = {}\n", quoted(name));
        if let Some(count) = count {
            out += &format!("count = {}\n", whole(count, ware)?);
        }
        if let Some(volume) = volume {
            out += &format!("holds = {}\n", quoted(volume));
        }
    }
    Ok(out)
}

/// A name, and at most two things that are said of it, between commas.
///
/// # Errors
/// When there are more, in words.
fn three(line: &str) -> Result<(&str, Option<&str>, Option<&str>), String> {
    let mut parts = line.split(',').map(str::trim);
    let found = (parts.next().unwrap_or(""), parts.next(), parts.next());
    match parts.next() {
        None => Ok(found),
        Some(more) => Err(format!(
            "'{}' is one thing too many, in '{}'",
            text::clean(more),
            text::clean(line)
        )),
    }
}

fn whole(number: &str, of: &str) -> Result<u32, String> {
    number.parse().map_err(|_| {
        format!(
            "'{}' is not a whole number, in '{}'",
            text::clean(number),
            text::clean(of)
        )
    })
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}
