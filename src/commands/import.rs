//! `import`: a dish file from a schema.org Recipe.

use std::fs::{self, OpenOptions};
use std::io::{self, Read, Write};
use std::path::PathBuf;

use super::{Outcome, complain, print};
use crate::exchange::import;

/// Make a dish file of a recipe in a page or JSON file.
///
/// Reads schema.org Recipe data (JSON-LD in a page or bare, microdata, plain JSON) and proposes a dish: every value
/// that the recipe does not state is marked in a comment with how sure it is. Nothing is fetched from the network.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The saved page or JSON file, or - for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Write the dish here instead of to standard output.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Overwrite the output file if it exists.
    #[arg(long)]
    force: bool,
    /// Which recipe of the file, counted from 1.
    #[arg(long, value_name = "N", default_value_t = 1)]
    recipe: usize,
}

/// Imports a recipe.
pub fn run(args: Args) -> Outcome {
    let name = args.file.display();
    let bytes = match read(&args.file) {
        Ok(bytes) => bytes,
        Err(error) => return complain(&format!("cannot read {name}: {error}")),
    };
    // A stray byte in a page loses one letter, not the recipe.
    let text = String::from_utf8_lossy(&bytes);
    let dish = match import::dish(&text, args.recipe) {
        Ok(dish) => dish,
        Err(error) => return complain(&format!("{name}: {error}")),
    };
    match args.output {
        None => print(&dish),
        Some(path) => match write(&path, &dish, args.force) {
            Ok(()) => Outcome::Well,
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                complain(&format!("{} exists; --force overwrites it", path.display()))
            }
            Err(error) => complain(&format!("cannot write {}: {error}", path.display())),
        },
    }
}

fn read(path: &PathBuf) -> io::Result<Vec<u8>> {
    let limit = import::LARGEST as u64 + 1;
    let mut bytes = Vec::new();
    if path.as_os_str() == "-" {
        io::stdin().lock().take(limit).read_to_end(&mut bytes)?;
    } else {
        fs::File::open(path)?.take(limit).read_to_end(&mut bytes)?;
    }
    Ok(bytes)
}

fn write(path: &PathBuf, text: &str, force: bool) -> io::Result<()> {
    let mut options = OpenOptions::new();
    options.write(true);
    if force {
        options.create(true).truncate(true);
    } else {
        options.create_new(true);
    }
    options.open(path)?.write_all(text.as_bytes())
}
