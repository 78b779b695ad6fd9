//! Steps of a dish.

use toml::de::DeTable;

use super::{Fields, Reader, Spot};
use crate::measure::Ratio;
use crate::measure::duration::{self, DurationRange};
use crate::measure::temperature::{self, Accepts, OvenTemperature};
use crate::menu::diagnostic::{At, Diagnostic};
use crate::menu::keys::{OVEN_NEED, STEP, THEN};
use crate::menu::model::{Hands, Need, OvenNeed, OvenThen, Step};

/// Where the parts of a step stand, and what was written that is resolved later.
#[derive(Clone, Debug, Default)]
pub(in crate::menu) struct StepPlaces {
    pub id: At,
    /// As written; `None`: the step before it in the file.
    pub after: Option<Vec<Spot<String>>>,
    pub needs: Vec<Spot<String>>,
    pub uses: Vec<Spot<String>>,
    pub oven: Option<At>,
    pub racks: Option<At>,
    pub batch: Option<At>,
}

/// A step, if it has what it must have; all faults are reported either way.
pub(super) fn step<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
) -> (Option<Step>, StepPlaces) {
    let fields = reader.open(&STEP, entries, at);
    let id = fields.id(reader, "id");
    let mut places = StepPlaces {
        id: id.as_ref().map_or(at, |id| id.at),
        after: fields.names(reader, "after"),
        needs: fields.names(reader, "needs").unwrap_or_default(),
        uses: fields.names(reader, "uses").unwrap_or_default(),
        oven: None,
        racks: None,
        batch: None,
    };
    let instruction = fields.text(reader, "do");
    let takes = fields.parsed(reader, "takes", str::parse::<DurationRange>);
    let hands = hands(reader, &fields);
    let oven = fields.table(reader, "oven").map(|(entries, at)| {
        places.oven = Some(at);
        oven(reader, entries, at, &mut places)
    });
    // The word is said when the cue is shown.
    let until = fields.text(reader, "until").map(|spot| {
        let cue = spot.value.strip_prefix("until ").map(str::to_owned);
        cue.unwrap_or(spot.value)
    });
    let core = fields.celsius(reader, "core");
    let keeps = fields.seconds(reader, "keeps");
    let ahead = fields.seconds(reader, "ahead");
    let scales = fields.flag(reader, "scales").unwrap_or(false);
    let batch = fields.name(reader, "batch");
    let hot = fields.flag(reader, "hot").unwrap_or(false);
    let lead = fields
        .seconds(reader, "lead")
        .unwrap_or(Ratio::from_integer(60));
    places.batch = batch.as_ref().map(|batch| batch.at);
    batch_rules(reader, &fields, oven.as_ref(), hot, &places);
    let step = (|| {
        Some(Step {
            id: id?.value,
            instruction: instruction?.value,
            takes: takes?.value,
            hands: hands?,
            after: Vec::new(),
            needs: counted(&places.needs),
            oven: match oven {
                Some(read) => Some(read?),
                None => None,
            },
            until,
            core,
            keeps,
            ahead,
            uses: places.uses.iter().map(|name| name.value.clone()).collect(),
            scales,
            batch: batch.map(|batch| batch.value),
            hot,
            lead,
        })
    })();
    (step, places)
}

fn batch_rules(
    reader: &mut Reader,
    fields: &Fields,
    oven: Option<&Option<OvenNeed>>,
    hot: bool,
    places: &StepPlaces,
) {
    let turned = matches!(oven, Some(Some(oven)) if !oven.then.is_empty());
    match places.batch {
        Some(at) if turned => reader.push(
            Diagnostic::error(at, "'batch' doesn't go with 'then'")
                .help("each batch is a whole run of the step; write one step a setting"),
        ),
        None if hot => reader.push(
            Diagnostic::warning(fields.spot("hot"), "'hot' without 'batch' has no effect")
                .help("it says that the vessel named by 'batch' is filled to two thirds only"),
        ),
        _ => {}
    }
}

/// "burner" twice is two burners; in the order of first mention.
fn counted(names: &[Spot<String>]) -> Vec<Need> {
    let mut needs: Vec<Need> = Vec::new();
    for name in names {
        match needs.iter_mut().find(|need| need.name == name.value) {
            Some(need) => need.count += 1,
            None => needs.push(Need {
                name: name.value.clone(),
                count: 1,
            }),
        }
    }
    needs
}

/// `None`: what is written is wrong.
fn hands(reader: &mut Reader, fields: &Fields) -> Option<Hands> {
    if fields.value("hands").is_none() {
        return Some(Hands::On);
    }
    let read = |text: &str| -> Result<Hands, String> {
        let lower = text.to_lowercase();
        match lower.as_str() {
            "on" => return Ok(Hands::On),
            "off" => return Ok(Hands::Off),
            _ => {}
        }
        let every = lower.strip_prefix("check every ").ok_or_else(|| {
            format!("'{text}' is not for 'hands': write \"on\", \"off\" or \"check every 20 min\"")
        })?;
        let every = duration::parse(every).map_err(|error| error.to_string())?;
        if every <= Ratio::from_integer(0) {
            return Err(
                "a look every 0 s: write \"on\" for a step that keeps the cook busy".into(),
            );
        }
        Ok(Hands::Check(every))
    };
    fields.parsed(reader, "hands", read).map(|spot| spot.value)
}

fn oven<'t>(
    reader: &mut Reader,
    entries: &'t DeTable<'t>,
    at: At,
    places: &mut StepPlaces,
) -> Option<OvenNeed> {
    let fields = reader.open(&OVEN_NEED, entries, at);
    let within = fields
        .parsed(reader, "within", temperature::difference)
        .map(|spot| spot.value);
    let racks = fields.count(reader, "racks").unwrap_or(1);
    places.racks = fields.value("racks").map(|_| fields.spot("racks"));
    let setting = |text: &str| OvenTemperature::parse(text, within);
    let first = fields.parsed(reader, "at", setting);
    if let (Some(spot), Some(_)) = (&first, within)
        && spot.value.accepts == Accepts::Off
    {
        reader.push(
            Diagnostic::warning(
                fields.spot("within"),
                "'within' says nothing of an oven that is off",
            )
            .help("leave it out"),
        );
    }
    let mut then = Vec::new();
    let mut last = Ratio::from_integer(0);
    let mut whole = true;
    for (entries, at) in fields.tables(reader, "then").unwrap_or_default() {
        let fields = reader.open(&THEN, entries, at);
        let after = fields.parsed(reader, "after", duration::parse);
        let setting = fields.parsed(reader, "at", setting);
        if let Some(after) = &after {
            if after.value <= last {
                let message = format!(
                    "'after' must increase: {} is not later than {}",
                    duration::print(after.value),
                    duration::print(last)
                );
                reader.push(
                    Diagnostic::error(after.at, message).help(
                        "each is counted from the start of the step, not from the one before",
                    ),
                );
            }
            last = after.value;
        }
        match (after, setting) {
            (Some(after), Some(at)) => then.push(OvenThen {
                after: after.value,
                at: at.value,
            }),
            _ => whole = false,
        }
    }
    Some(OvenNeed {
        at: first.filter(|_| whole)?.value,
        then,
        racks,
    })
}
