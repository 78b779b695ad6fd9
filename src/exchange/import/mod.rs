//! A dish from a schema.org Recipe: JSON-LD in a page or bare, microdata, or plain JSON with the same names.
//!
//! What is written is a proposal. Every value that the recipe does not say in so many words carries a comment with
//! how sure it is: "sure" (the recipe says it), "likely" (read from the words of a step), "guess" (nothing says
//! so; a value had to stand there). What could not be used is listed at the end. Nothing is fetched.
//!
//! Source: schema.org 30.0 (2026-03-19), types Recipe, HowTo, HowToSection, HowToStep, PropertyValue,
//! QuantitativeValue, ItemList; superseded `ingredients` and `steps` are read too.

use thiserror::Error;

use crate::menu::files;

mod ingredient;
mod lenient;
mod microdata;
mod node;
mod page;
mod phrases;
mod recipe;
mod sentences;
mod step;
mod write;

pub use recipe::Recipe;

/// Texts longer than this are refused, in bytes: as with every other file, 4 MiB.
pub const LARGEST: usize = files::LARGEST as usize;

/// Why nothing could be imported.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NotImported {
    /// The text holds no recipe.
    #[error(
        "no schema.org Recipe is in it{found}; a recipe has recipeIngredient and recipeInstructions"
    )]
    NoRecipe {
        /// "; there is a HowTo", or empty.
        found: String,
    },
    /// A recipe without a step that could be cooked.
    #[error("the recipe {title:?} has no instructions: there is no step to plan")]
    NoSteps {
        /// Its name.
        title: String,
    },
    /// There are fewer recipes than asked for.
    #[error("it holds {count} recipes: there is no number {wanted}")]
    NoSuch {
        /// How many there are.
        count: usize,
        /// Which was asked for, from 1.
        wanted: usize,
    },
    /// Larger than [`LARGEST`].
    #[error("it is larger than 4 MiB: no recipe is")]
    TooLarge,
}

/// The recipes of a text, in the order in which they stand there.
///
/// # Errors
///
/// When the text is too large, or holds none.
pub fn recipes(text: &str) -> Result<Vec<Recipe>, NotImported> {
    if text.len() > LARGEST {
        return Err(NotImported::TooLarge);
    }
    let found = page::objects(text);
    let recipes = recipe::all(&found);
    if recipes.is_empty() {
        return Err(NotImported::NoRecipe {
            found: recipe::other_types(&found),
        });
    }
    Ok(recipes)
}

/// The dish file (TOML) made of the `wanted`th recipe of a text, counted from 1.
///
/// # Errors
///
/// When the text holds no such recipe, or the recipe has no instructions.
pub fn dish(text: &str, wanted: usize) -> Result<String, NotImported> {
    let recipes = recipes(text)?;
    let count = recipes.len();
    let recipe = wanted.checked_sub(1).and_then(|index| recipes.get(index));
    let recipe = recipe.ok_or(NotImported::NoSuch { count, wanted })?;
    let others: Vec<&str> = recipes
        .iter()
        .filter(|r| *r != recipe)
        .map(|r| r.title.as_str())
        .collect();
    write::dish(recipe, &others)
}

#[cfg(test)]
mod tests;
