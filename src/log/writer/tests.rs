use std::{
    fs, io,
    path::PathBuf,
    sync::{Arc, Mutex},
};

use jiff::ZonedDateTime;
use tempfile::TempDir;

use super::*;
use crate::log::{disk::Disk, parse, read};

fn now() -> ZonedDateTime {
    "2026-12-21T15:00:00+01:00[Europe/Berlin]".parse().unwrap()
}

fn stamped(numbers: std::ops::Range<i64>) -> Vec<Stamped<i64>> {
    numbers
        .map(|number| Stamped {
            at: now(),
            ms: number,
            event: number,
        })
        .collect()
}

fn place() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("state/logs/supper.jsonl");
    (folder, path)
}

fn said(bytes: &[u8]) -> Vec<i64> {
    let reading = parse(bytes).unwrap();
    assert_eq!(reading.flaw, None);
    reading
        .records
        .into_iter()
        .map(|record| record.event)
        .collect()
}

/// A disk in memory that fails on command.
#[derive(Clone, Default)]
struct Faulty(Arc<Mutex<Faults>>);

#[derive(Default)]
struct Faults {
    bytes: Vec<u8>,
    /// Room that is left before the disk is full.
    full_at: Option<usize>,
    no_sync: bool,
    no_cut: bool,
    syncs: usize,
}

impl Disk for Faulty {
    fn write(&mut self, offset: u64, bytes: &[u8]) -> io::Result<()> {
        let mut disk = self.0.lock().unwrap();
        assert_eq!(
            offset as usize,
            disk.bytes.len(),
            "written anywhere but at the end"
        );
        let room = disk
            .full_at
            .map_or(usize::MAX, |full| full - disk.bytes.len());
        let fits = bytes.len().min(room);
        disk.bytes.extend_from_slice(&bytes[..fits]);
        match fits == bytes.len() {
            true => Ok(()),
            false => Err(io::ErrorKind::StorageFull.into()),
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        let mut disk = self.0.lock().unwrap();
        disk.syncs += 1;
        match disk.no_sync {
            true => Err(io::Error::other("the disk does not answer")),
            false => Ok(()),
        }
    }

    fn cut(&mut self, length: u64) -> io::Result<()> {
        let mut disk = self.0.lock().unwrap();
        match disk.no_cut {
            true => Err(io::Error::other("cannot be cut")),
            false => {
                disk.bytes.truncate(length as usize);
                Ok(())
            }
        }
    }

    fn restore(&mut self, _: u64) -> io::Result<()> {
        Ok(())
    }
}

impl Faulty {
    fn change(&self, change: impl FnOnce(&mut Faults)) {
        change(&mut self.0.lock().unwrap());
    }

    fn bytes(&self) -> Vec<u8> {
        self.0.lock().unwrap().bytes.clone()
    }

    fn writer(&self) -> Writer<i64> {
        Writer::over(&PathBuf::from("nowhere"), self.clone(), 0, 0).unwrap()
    }
}

/// Calls `retry` as a loop would, from deadline to deadline, until the log is well.
fn retry_until_well(writer: &mut Writer<i64>, mut now: i64) -> Vec<i64> {
    let mut dues = Vec::new();
    while let Some(due) = writer.retry(now) {
        dues.push(due - now);
        now = due;
        // An empty task cannot be waited for; a batch behind it can.
        assert!(dues.len() < 50);
        let next = writer.len() as i64;
        writer.append(&stamped(next..next + 1)).wait();
    }
    dues
}

#[test]
fn what_is_acknowledged_is_in_the_file() {
    let (_folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    assert!(writer.is_empty());
    for first in [0, 3, 6] {
        assert_eq!(
            writer.append(&stamped(first..first + 3)).wait(),
            Written::Synced
        );
        assert_eq!(
            said(&fs::read(&path).unwrap()),
            (0..first + 3).collect::<Vec<_>>()
        );
        assert!(!writer.behind());
    }
    assert_eq!(writer.append(&[]).wait(), Written::Synced);
    assert_eq!(writer.close(), Health::Well);
    assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
}

#[tokio::test]
async fn an_acknowledgement_can_be_awaited() {
    let disk = Faulty::default();
    let mut writer = disk.writer();
    assert_eq!(writer.append(&stamped(0..2)).await, Written::Synced);
    assert_eq!(said(&disk.bytes()), [0, 1]);
}

#[test]
fn dropping_the_writer_loses_nothing() {
    let disk = Faulty::default();
    let mut writer = disk.writer();
    for number in 0..500 {
        drop(writer.append(&stamped(number..number + 1)));
    }
    drop(writer);
    assert_eq!(said(&disk.bytes()), (0..500).collect::<Vec<_>>());
    // What piles up while the disk is busy is one write.
    assert!(disk.0.lock().unwrap().syncs <= 500);
}

#[test]
fn a_second_writer_is_told_who_has_it() {
    let (_folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    writer.append(&stamped(0..1)).wait();
    assert!(matches!(
        Writer::<i64>::create(&path, &now()),
        Err(OpenError::Held(Some(_)))
    ));
    let refused = Writer::<i64>::open(&path, &now()).unwrap_err();
    assert_eq!(
        refused.to_string(),
        format!(
            "another mealtide writes this log: process {}, since 2026-12-21 15:00:00",
            std::process::id()
        )
    );
    drop(writer);
    assert!(matches!(
        Writer::<i64>::create(&path, &now()),
        Err(OpenError::Exists)
    ));
    assert!(Writer::<i64>::open(&path, &now()).is_ok());
}

#[test]
fn a_log_goes_on_where_it_was_left() {
    let (_folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    writer.append(&stamped(0..4)).wait();
    drop(writer);
    let mut opened = Writer::<i64>::open(&path, &now()).unwrap();
    assert_eq!(opened.reading.records.len(), 4);
    assert_eq!(opened.set_aside, None);
    assert_eq!(opened.writer.append(&stamped(4..6)).wait(), Written::Synced);
    drop(opened);
    assert_eq!(said(&fs::read(&path).unwrap()), [0, 1, 2, 3, 4, 5]);
}

#[test]
fn a_log_cut_anywhere_goes_on() {
    let (_folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    writer.append(&stamped(0..4)).wait();
    drop(writer);
    let bytes = fs::read(&path).unwrap();
    let first = bytes.iter().position(|byte| *byte == b'\n').unwrap();
    // Every byte is tried by the reader alone; here each attempt is several syncs.
    for length in (first + 1..bytes.len()).step_by(11) {
        for tail in [&b""[..], &[0; 32], b"{\"seq\":9,\"at\":\"20\n"] {
            let cut = [&bytes[..length], tail].concat();
            fs::write(&path, &cut).unwrap();
            let mut opened = Writer::<i64>::open(&path, &now()).unwrap();
            let kept = opened.reading.records.len() as i64;
            opened.writer.append(&stamped(kept..kept + 1)).wait();
            drop(opened.writer);
            assert_eq!(
                said(&fs::read(&path).unwrap()),
                (0..=kept).collect::<Vec<_>>()
            );
            // No byte is thrown away.
            let aside = opened.set_aside.map(|aside| {
                let bytes = fs::read(&aside).unwrap();
                fs::remove_file(aside).unwrap();
                bytes
            });
            let good = opened.reading.good as usize;
            assert_eq!([&cut[..good], &aside.unwrap_or_default()].concat(), cut);
        }
    }
}

#[test]
fn torn_ends_are_numbered() {
    let (_folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    writer.append(&stamped(0..1)).wait();
    drop(writer);
    for number in 1..=3 {
        let mut bytes = fs::read(&path).unwrap();
        bytes.extend_from_slice(b"{\"seq\":1,");
        fs::write(&path, bytes).unwrap();
        let aside = Writer::<i64>::open(&path, &now())
            .unwrap()
            .set_aside
            .unwrap();
        let name = format!("supper.jsonl.torn-{number}");
        assert_eq!(aside, path.with_file_name(name));
    }
}

#[test]
fn damage_before_the_end_is_never_cut() {
    let (_folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    writer.append(&stamped(0..5)).wait();
    drop(writer);
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&path, &bytes).unwrap();
    let refused = Writer::<i64>::open(&path, &now()).unwrap_err();
    assert!(
        matches!(refused, OpenError::Damaged { usable: 2, .. }),
        "{refused}"
    );
    assert_eq!(fs::read(&path).unwrap(), bytes);
    assert_eq!(read::<i64>(&path).unwrap().records.len(), 2);
}

#[test]
fn a_full_disk_keeps_everything_and_writes_it_later() {
    let disk = Faulty::default();
    let mut writer = disk.writer();
    assert_eq!(writer.append(&stamped(0..3)).wait(), Written::Synced);
    let before = disk.bytes();
    // Full in the midst of the next record.
    disk.change(|faults| faults.full_at = Some(before.len() + 17));
    assert_eq!(writer.append(&stamped(3..5)).wait(), Written::Kept);
    assert_eq!(
        disk.bytes(),
        before,
        "the part that was written is taken back"
    );
    assert!(writer.behind());
    let Health::Failing { kept, torn, .. } = writer.health() else {
        panic!("{:?}", writer.health());
    };
    assert_eq!((kept, torn), (2, false));
    assert_eq!(writer.retry(100), Some(100 + FIRST_PAUSE));
    assert_eq!(writer.append(&stamped(5..6)).wait(), Written::Kept);
    disk.change(|faults| faults.full_at = None);
    retry_until_well(&mut writer, 100 + FIRST_PAUSE);
    assert_eq!(writer.health(), Health::Well);
    assert!(!writer.behind());
    let all = said(&disk.bytes());
    assert_eq!(all, (0..writer.len() as i64).collect::<Vec<_>>());
    assert!(all.len() >= 6);
}

#[test]
fn pauses_grow_to_their_bound() {
    let disk = Faulty::default();
    let mut writer = disk.writer();
    disk.change(|faults| faults.no_sync = true);
    assert_eq!(writer.append(&stamped(0..1)).wait(), Written::Kept);
    let mut now = 0;
    let mut pauses = Vec::new();
    for _ in 0..8 {
        let due = writer.retry(now).unwrap();
        assert_eq!(
            writer.retry(now),
            Some(due),
            "asking twice is no second attempt"
        );
        pauses.push(due - now);
        now = due;
    }
    assert_eq!(
        pauses,
        [1, 2, 4, 8, 16, 30, 30, 30].map(|seconds| seconds * 1000)
    );
    disk.change(|faults| faults.no_sync = false);
    drop(writer);
    assert_eq!(said(&disk.bytes()), [0], "tried once more at the end");
}

#[test]
fn nothing_is_written_behind_a_part_that_could_not_be_taken_back() {
    let disk = Faulty::default();
    let mut writer = disk.writer();
    writer.append(&stamped(0..1)).wait();
    let whole = disk.bytes().len();
    disk.change(|faults| {
        faults.full_at = Some(whole + 5);
        faults.no_cut = true;
    });
    assert_eq!(writer.append(&stamped(1..2)).wait(), Written::Kept);
    assert!(matches!(
        writer.health(),
        Health::Failing { torn: true, .. }
    ));
    disk.change(|faults| faults.full_at = None);
    writer.retry(0);
    writer.retry(FIRST_PAUSE);
    assert_eq!(writer.append(&stamped(2..3)).wait(), Written::Kept);
    assert_eq!(disk.bytes().len(), whole + 5);
    disk.change(|faults| faults.no_cut = false);
    retry_until_well(&mut writer, 10 * FIRST_PAUSE);
    assert_eq!(
        said(&disk.bytes()),
        (0..writer.len() as i64).collect::<Vec<_>>()
    );
}

#[test]
fn a_disk_that_is_all_but_full_takes_what_fits() {
    let disk = Faulty::default();
    let mut writer = disk.writer();
    writer.append(&stamped(0..1)).wait();
    let first = disk.bytes().len();
    writer.append(&stamped(1..2)).wait();
    let each = disk.bytes().len() - first;
    let room = |records| disk.change(|faults| faults.full_at = Some(first + records * each));
    room(1);
    for number in 2..9 {
        let written = writer.append(&stamped(number..number + 1)).wait();
        assert_eq!(written, Written::Kept);
    }
    room(6);
    writer.retry(0);
    writer.retry(FIRST_PAUSE);
    assert_eq!(writer.append(&stamped(9..10)).wait(), Written::Kept);
    let fits = said(&disk.bytes());
    assert!((3..=7).contains(&fits.len()), "{fits:?}");
    disk.change(|faults| faults.full_at = None);
    retry_until_well(&mut writer, 10 * FIRST_PAUSE);
    let all = (0..writer.len() as i64).collect::<Vec<_>>();
    assert_eq!(said(&disk.bytes()), all);
}

#[test]
fn memory_is_bounded_and_the_first_loss_is_the_end() {
    let disk = Faulty::default();
    let mut writer = Writer::over(&PathBuf::from("nowhere"), disk.clone(), 0, 0).unwrap();
    disk.change(|faults| faults.full_at = Some(0));
    let large = vec![Stamped {
        at: now(),
        ms: 0,
        event: "x".repeat(KEPT_LIMIT / 4),
    }];
    let mut written = Vec::new();
    for _ in 0..5 {
        written.push(writer.append(&large).wait());
    }
    assert_eq!(written[..3], [Written::Kept; 3]);
    assert_eq!(written[3..], [Written::Lost; 2]);
    assert!(matches!(writer.health(), Health::Ended { .. }));
    assert_eq!(writer.retry(0), None);
    disk.change(|faults| faults.full_at = None);
    drop(writer);
    let reading = parse::<String>(&disk.bytes()).unwrap();
    assert_eq!((reading.records.len(), reading.flaw), (3, None));
}

#[cfg(unix)]
#[test]
fn a_log_that_is_deleted_comes_back_whole() {
    let (folder, path) = place();
    let mut writer = Writer::create(&path, &now()).unwrap();
    writer.append(&stamped(0..3)).wait();
    fs::remove_dir_all(folder.path().join("state")).unwrap();
    assert_eq!(writer.append(&stamped(3..4)).wait(), Written::Kept);
    assert!(matches!(writer.health(), Health::Failing { why, .. } if why == "the log was deleted"));
    retry_until_well(&mut writer, 0);
    let all = said(&fs::read(&path).unwrap());
    assert_eq!(all, (0..writer.len() as i64).collect::<Vec<_>>());
    let refused = Writer::<i64>::open(&path, &now());
    assert!(
        matches!(refused, Err(OpenError::Held(_))),
        "the new file is locked, too"
    );
}

#[test]
fn a_log_that_cannot_be_created_yet_is_created_later() {
    let folder = tempfile::tempdir().unwrap();
    let blocked = folder.path().join("state");
    fs::write(&blocked, "a file where a folder belongs").unwrap();
    let path = blocked.join("supper.jsonl");
    let Err(OpenError::Io(error)) = Writer::<i64>::create(&path, &now()) else {
        panic!("created below a file");
    };
    let mut writer = Writer::absent(&path, &error).unwrap();
    assert_eq!(writer.append(&stamped(0..2)).wait(), Written::Kept);
    fs::remove_file(&blocked).unwrap();
    retry_until_well(&mut writer, 0);
    let all = said(&fs::read(&path).unwrap());
    assert_eq!(all, (0..writer.len() as i64).collect::<Vec<_>>());
}

/// The kernel's own full disk: every write fails, and the file cannot be cut either.
#[cfg(target_os = "linux")]
#[test]
fn a_device_that_is_full_is_reported() {
    use crate::log::disk::RealDisk;
    let file = fs::OpenOptions::new()
        .read(true)
        .write(true)
        .open("/dev/full")
        .unwrap();
    let disk = RealDisk::new(file, PathBuf::from("/dev/full"));
    let mut writer = Writer::over(&PathBuf::from("/dev/full"), disk, 0, 0).unwrap();
    assert_eq!(writer.append(&stamped(0..1)).wait(), Written::Kept);
    let Health::Failing { why, kept, .. } = writer.health() else {
        panic!("{:?}", writer.health());
    };
    assert!(why.contains("No space left on device"), "{why}");
    assert_eq!(kept, 1);
}
