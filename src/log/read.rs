//! Reading a log back, sound or damaged.

use std::{fs, io, path::Path};

use serde::de::DeserializeOwned;

use super::{FORMAT, LIMIT, Record, line};

/// What a log says, up to its first flaw.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading<E> {
    /// The format it was written in.
    pub format: u32,
    /// In order, `seq` from 0 without a gap; at least one.
    pub records: Vec<Record<E>>,
    /// How many bytes these records are.
    pub good: u64,
    /// What is wrong with the bytes after them.
    pub flaw: Option<Flaw>,
}

/// Where a log stops being usable, and why.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line} (byte {offset}): {what}")]
pub struct Flaw {
    /// Line of the file, from 1.
    pub line: usize,
    /// Byte of the file, from 0.
    pub offset: u64,
    /// What is wrong.
    pub what: What,
    /// Records that are whole and stand after it. At 0 the flaw is a tail, which may be cut.
    pub whole_after: usize,
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum What {
    /// The file ends in the midst of it.
    #[error("the record was not written to its end")]
    Torn,
    /// Its bytes are not those that were written.
    #[error("the record is damaged (its checksum does not fit)")]
    Damaged,
    /// It is whole but not the one that belongs here.
    #[error("record {found} stands where record {expected} belongs")]
    Sequence {
        /// By the records before.
        expected: u64,
        /// By its own words.
        found: u64,
    },
    /// It is whole but says nothing that this program knows.
    #[error("the record is whole but not understood: {0}")]
    Unknown(String),
}

impl Flaw {
    /// Whether it can be cut off without losing a record that is whole.
    pub fn is_tail(&self) -> bool {
        self.whole_after == 0 && matches!(self.what, What::Torn | What::Damaged)
    }
}

/// Why a log cannot be used at all.
#[derive(Debug, thiserror::Error)]
pub enum Refusal {
    /// It cannot be read.
    #[error("cannot read it: {0}")]
    Io(#[from] io::Error),
    /// It is larger than a log can be.
    #[error("it has more than {} MiB, the most that a log may have", LIMIT >> 20)]
    TooLarge,
    /// It was created and nothing was written.
    #[error("it is empty: the session ended before its first record was written")]
    Empty,
    /// Its first record, which holds the session, is not usable.
    #[error("its first record, which holds the session, is not usable: {0}")]
    NoBeginning(Flaw),
    /// It was written by a later version.
    #[error(
        "it has format {found}, and this version reads formats up to {FORMAT}: use a newer mealtide"
    )]
    Newer {
        /// The format it has.
        found: u32,
    },
    /// It is not a log of this program.
    #[error("it is not a log of this program: its first record names no format")]
    NotALog,
}

/// Reads the log at `path`.
///
/// # Errors
/// When nothing of it is usable. A flaw behind a usable beginning is no error: see [`Reading::flaw`].
pub fn read<E: DeserializeOwned>(path: &Path) -> Result<Reading<E>, Refusal> {
    let mut file = fs::File::open(path)?;
    parse(&bytes(&mut file)?)
}

/// All bytes of an open log, from its beginning.
pub(super) fn bytes(file: &mut (impl io::Read + io::Seek)) -> Result<Vec<u8>, Refusal> {
    use io::Read;
    file.seek(io::SeekFrom::Start(0))?;
    let mut bytes = Vec::new();
    file.take(LIMIT + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LIMIT {
        return Err(Refusal::TooLarge);
    }
    Ok(bytes)
}

/// Reads a log from its bytes; whatever they are, an answer.
///
/// # Errors
/// As [`read`].
pub fn parse<E: DeserializeOwned>(bytes: &[u8]) -> Result<Reading<E>, Refusal> {
    let mut records: Vec<Record<E>> = Vec::new();
    let Scan { format, good, flaw } = scan(bytes, |expected, line| {
        let record = line::decode(line).map_err(|error| {
            misplaced(line, expected).unwrap_or(What::Unknown(error.to_string()))
        })?;
        in_place(record.seq, expected)?;
        records.push(record);
        Ok(())
    })?;
    Ok(Reading {
        format,
        records,
        good,
        flaw,
    })
}

/// The first record of a log, its last one, and what is wrong behind that.
pub(super) type Ends<E> = (Record<E>, Record<E>, Option<Flaw>);

/// Verifies every line and reads the first and the last sound one.
pub(super) fn ends<E: DeserializeOwned>(bytes: &[u8]) -> Result<Ends<E>, Refusal> {
    let (mut first, mut last) = (Vec::new(), Vec::new());
    let Scan { flaw, .. } = scan(bytes, |seq, line| {
        misplaced(line, seq).map_or(Ok(()), Err)?;
        if seq == 0 {
            first = line.to_vec();
        }
        last.clear();
        last.extend_from_slice(line);
        Ok(())
    })?;
    let read = |line: &[u8]| {
        line::decode(line)
            .map_err(|error| Refusal::Io(io::Error::new(io::ErrorKind::InvalidData, error)))
    };
    Ok((read(&first)?, read(&last)?, flaw))
}

/// What a look at every line shows.
pub(super) struct Scan {
    pub format: u32,
    pub good: u64,
    pub flaw: Option<Flaw>,
}

/// Verifies line by line and hands each whole one to `take`, which sees whether it is in its place, until the first flaw.
pub(super) fn scan(
    bytes: &[u8],
    mut take: impl FnMut(u64, &[u8]) -> Result<(), What>,
) -> Result<Scan, Refusal> {
    if bytes.is_empty() {
        return Err(Refusal::Empty);
    }
    let mut format = None;
    let mut good = 0;
    let mut seq = 0;
    let mut flaw = None;
    for (index, part) in bytes.split_inclusive(|byte| *byte == b'\n').enumerate() {
        let found = whole(part).and_then(|line| {
            if seq == 0 {
                let frame = line::frame(line).map_err(|error| What::Unknown(error.to_string()))?;
                in_place(frame.seq, 0)?;
                format = frame.format;
                // What a newer or a foreign record holds is not asked.
                if format.is_none_or(|format| format > FORMAT) {
                    return Ok(());
                }
            }
            take(seq, line)
        });
        match found {
            Ok(()) => {}
            Err(what) => {
                let after = bytes.get(good + part.len()..).unwrap_or_default();
                flaw = Some(Flaw {
                    line: index + 1,
                    offset: good as u64,
                    what,
                    whole_after: whole_lines(after),
                });
                break;
            }
        }
        match format {
            None | Some(0) => return Err(Refusal::NotALog),
            Some(found) if found > FORMAT => return Err(Refusal::Newer { found }),
            Some(_) => {}
        }
        good += part.len();
        seq += 1;
    }
    match (format, flaw) {
        (Some(format), flaw) if seq > 0 => Ok(Scan {
            format,
            good: good as u64,
            flaw,
        }),
        (_, Some(flaw)) => Err(Refusal::NoBeginning(flaw)),
        (_, None) => Err(Refusal::Empty),
    }
}

/// A line that is whole, without its line feed.
fn whole(part: &[u8]) -> Result<&[u8], What> {
    let line = trim(part);
    match (line::whole(line), part.ends_with(b"\n")) {
        (true, _) => Ok(line),
        (false, true) => Err(What::Damaged),
        (false, false) => Err(What::Torn),
    }
}

fn in_place(found: u64, expected: u64) -> Result<(), What> {
    if found == expected {
        Ok(())
    } else {
        Err(What::Sequence { expected, found })
    }
}

/// What is wrong with the frame of a whole line, if anything is.
fn misplaced(line: &[u8], expected: u64) -> Option<What> {
    match line::frame(line) {
        Ok(frame) => in_place(frame.seq, expected).err(),
        Err(error) => Some(What::Unknown(error.to_string())),
    }
}

fn trim(part: &[u8]) -> &[u8] {
    part.strip_suffix(b"\n").unwrap_or(part)
}

fn whole_lines(bytes: &[u8]) -> usize {
    let lines = bytes.split_inclusive(|byte| *byte == b'\n');
    lines.filter(|part| line::whole(trim(part))).count()
}

#[cfg(test)]
mod tests;
