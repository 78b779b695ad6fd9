//! Power cuts, which killing a process cannot show: what was not synced is there, gone, or any mixture.

use std::{
    io,
    path::PathBuf,
    sync::{Arc, Mutex},
};

use rand_pcg::{Pcg64, rand_core::Rng};

use super::{FIRST_PAUSE, LONGEST_PAUSE, Stamped, Writer, Written};
use crate::log::{disk::Disk, parse, read::Refusal};

/// What a disk does not write in part, in bytes.
const SECTOR: usize = 64;

/// A disk with a cache in front of it, and faults.
#[derive(Clone)]
struct Cached(Arc<Mutex<Cache>>);

struct Cache {
    /// What a reader sees.
    seen: Vec<u8>,
    /// What is known to be on the disk.
    synced: Vec<u8>,
    /// Every state since the last sync: a sector may be as in any of them.
    between: Vec<Vec<u8>>,
    random: Pcg64,
    /// One operation in so many fails; 0: none.
    faults: u64,
}

impl Cache {
    fn fails(&mut self) -> bool {
        self.faults > 0 && self.random.next_u64().is_multiple_of(self.faults)
    }

    fn below(&mut self, bound: usize) -> usize {
        (self.random.next_u64() % bound.max(1) as u64) as usize
    }

    fn remember(&mut self) {
        let seen = self.seen.clone();
        self.between.push(seen);
    }

    /// What is found when the power is back.
    fn after_the_cut(&mut self) -> Vec<u8> {
        let mut states = std::mem::take(&mut self.between);
        states.push(self.synced.clone());
        let chosen = self.below(states.len());
        let length = states[chosen].len();
        let mut found = vec![0; length];
        for (place, byte) in found.iter_mut().enumerate() {
            // All bytes of a sector come from one state.
            if place.is_multiple_of(SECTOR) || place == 0 {
                let chosen = self.below(states.len());
                states.swap(0, chosen);
            }
            *byte = states[0].get(place).copied().unwrap_or(0);
        }
        found
    }
}

impl Disk for Cached {
    fn write(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let mut cache = self.0.lock().unwrap();
        assert_eq!(offset as usize, cache.seen.len());
        let fails = cache.fails();
        let part = if fails {
            cache.below(bytes.len())
        } else {
            bytes.len()
        };
        cache.seen.extend_from_slice(&bytes[..part]);
        cache.remember();
        if fails {
            Err(io::ErrorKind::StorageFull.into())
        } else {
            Ok(())
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut cache = self.0.lock().unwrap();
        if cache.fails() {
            // Some of it may have reached the disk; nobody is told what.
            return Err(io::Error::other("input/output error"));
        }
        cache.synced = cache.seen.clone();
        cache.between.clear();
        Ok(())
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        let mut cache = self.0.lock().unwrap();
        if cache.fails() {
            return Err(io::Error::other("input/output error"));
        }
        cache.seen.truncate(length as usize);
        cache.remember();
        Ok(())
    }

    fn restore(&mut self, _: u64) -> io::Result<()> {
        Ok(())
    }
}

/// Records that differ in length, so that sectors and records never agree.
fn event(number: u64) -> Stamped<(u64, String)> {
    Stamped {
        at: "2026-12-21T15:00:00+01:00[Europe/Berlin]".parse().unwrap(),
        ms: 0,
        event: (number, "x".repeat(number as usize * 37 % 150)),
    }
}

#[test]
fn a_power_cut_takes_nothing_that_was_acknowledged() {
    let mut cuts = 0;
    for seed in 0..400 {
        let random = Pcg64::new(seed, 7);
        let disk = Cached(Arc::new(Mutex::new(Cache {
            seen: Vec::new(),
            synced: Vec::new(),
            between: Vec::new(),
            random,
            faults: 0,
        })));
        let mut writer = Writer::over(&PathBuf::from("nowhere"), disk.clone(), 0, 0).unwrap();
        let (mut appended, mut acknowledged, mut now) = (0, 0, 0);
        for _ in 0..12 {
            let (count, faults) = {
                let mut cache = disk.0.lock().unwrap();
                (cache.below(4) as u64 + 1, cache.below(5) as u64)
            };
            disk.0.lock().unwrap().faults = faults;
            writer.retry(now);
            now += LONGEST_PAUSE.max(FIRST_PAUSE);
            writer.retry(now);
            let batch: Vec<_> = (appended..appended + count).map(event).collect();
            appended += count;
            if writer.append(&batch).wait() == Written::Synced {
                acknowledged = appended;
            }
            // The cut may come at any moment; the writer knows nothing of it and goes on.
            let found = {
                let mut cache = disk.0.lock().unwrap();
                let between = cache.between.clone();
                let found = cache.after_the_cut();
                cache.between = between;
                found
            };
            cuts += 1;
            let kept = match parse::<(u64, String)>(&found) {
                Ok(reading) => {
                    for (record, number) in reading.records.iter().zip(0..) {
                        assert_eq!(record.event, event(number).event, "seed {seed}");
                    }
                    assert!(
                        reading
                            .flaw
                            .is_none_or(|flaw| flaw.line as u64 > acknowledged)
                    );
                    reading.records.len() as u64
                }
                Err(Refusal::Empty | Refusal::NoBeginning(_)) => 0,
                Err(other) => panic!("seed {seed}: {other}"),
            };
            assert!(
                kept >= acknowledged,
                "seed {seed}: {kept} of {acknowledged} acknowledged"
            );
            assert!(kept <= appended, "seed {seed}");
        }
    }
    assert_eq!(cuts, 4_800);
}
