//! A step, named from anywhere in the session. Ids hold no '/', so that it is one word: "dish/step".

use std::{fmt, str::FromStr};

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

/// A step of a dish, both by id.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StepRef {
    /// The dish's id.
    pub dish: String,
    /// The step's id.
    pub step: String,
}

impl fmt::Display for StepRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.dish, self.step)
    }
}

impl FromStr for StepRef {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.split_once('/') {
            Some((dish, step)) if !dish.is_empty() && !step.is_empty() && !step.contains('/') => {
                Ok(Self {
                    dish: dish.into(),
                    step: step.into(),
                })
            }
            _ => Err(format!("'{text}' is not DISH/STEP")),
        }
    }
}

impl Serialize for StepRef {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for StepRef {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?
            .parse()
            .map_err(D::Error::custom)
    }
}
