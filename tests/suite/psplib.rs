//! Project scheduling: the search beside published optima, and the reader of PSPLIB's files.

use crate::projects::library::{Library, twenty};
use crate::projects::search::{Found, Settings, search};
use crate::projects::{Project, file};

/// Optima of PSPLIB's set J30 (`tests/reference/projects.py` says where from).
#[test]
fn the_search_finds_the_published_optima() {
    for (seed, known) in (0..).zip(twenty()) {
        let found = search(&known.project, 5_000, seed, &Settings::default()).unwrap();
        let what = format!("{}, seed {seed}", known.name);
        assert_eq!(known.project.fault(&found.starts), None, "{what}");
        assert_eq!(found.makespan, known.best, "{what}");
        assert!(
            found.schedules <= 5_000.0,
            "{what}: {} schedules",
            found.schedules
        );
    }
}

#[test]
fn the_same_seed_finds_the_same_and_more_schedules_are_never_worse() {
    for known in twenty().iter().take(5) {
        let run = |schedules| search(&known.project, schedules, 3, &Settings::default()).unwrap();
        let makespans: Vec<u32> = [1, 10, 200, 1_000].map(|s| run(s).makespan).to_vec();
        assert!(
            makespans.is_sorted_by(|a, b| a >= b),
            "{}: {makespans:?}",
            known.name
        );
        assert_eq!(run(200), run(200), "{}", known.name);
    }
}

/// A project in the form of PSPLIB: two jobs on one unit between a begin and an end.
const FILE: &str = "\
PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
   1        1          2           2   3
   2        1          1           4
   3        1          1           4
   4        1          0
************************************************************************
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
------------------------------------------------------------------------
  1      1     0       0
  2      1     3       1
  3      1     4       1
  4      1     0       0
************************************************************************
RESOURCEAVAILABILITIES:
  R 1
    1
************************************************************************
";

#[test]
fn a_file_is_read_and_its_jobs_wait_for_the_one_unit() {
    let project = file::read(FILE).unwrap();
    let expected = Project {
        durations: vec![0, 3, 4, 0],
        demands: vec![vec![0], vec![1], vec![1], vec![0]],
        successors: vec![vec![1, 2], vec![3], vec![3], vec![]],
        capacity: vec![1],
    };
    assert_eq!(project, expected);
    assert_eq!(project.critical_path(), 4);
    let Found { makespan, .. } = search(&project, 10, 1, &Settings::default()).unwrap();
    assert_eq!(makespan, 7);
    assert!(project.fault(&[0, 0, 3, 7]).is_none());
    assert!(
        project
            .fault(&[0, 0, 2, 7])
            .unwrap()
            .contains("2 of 1 of resource 1")
    );
    assert!(
        project
            .fault(&[0, 0, 3, 6])
            .unwrap()
            .contains("before job 3 ends")
    );
}

#[test]
fn a_file_that_cannot_be_scheduled_says_why() {
    let cases = [
        (
            "   2        1          1           4",
            "   2        1          1           9",
            "job 2: a successor",
        ),
        (
            "   4        1          0",
            "   4        1          1   2",
            "wait for each other",
        ),
        (
            "  2      1     3       1",
            "  2      1     3       2",
            "job 2: demands within",
        ),
        (
            "  2      1     3       1",
            "  2      2     3       1",
            "one mode",
        ),
        (
            "  2      1     3       1",
            "  2      1     three   1",
            "numbers",
        ),
        (
            "RESOURCEAVAILABILITIES",
            "RESOURCES",
            "no section RESOURCEAVAILABILITIES",
        ),
    ];
    for (from, to, why) in cases {
        let said = file::read(&FILE.replacen(from, to, 1)).unwrap_err();
        assert!(said.contains(why), "{to:?}: {said}");
    }
}

#[test]
fn sets_are_read_from_a_folder_and_from_an_archive() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("two")).unwrap();
    std::fs::write(folder.path().join("two/a.sm"), FILE).unwrap();
    let table = "problem,optimum\na.sm,6..7\nb.sm,3\n";
    std::fs::write(folder.path().join("two-best.csv"), table).unwrap();
    let archive = folder.path().join("sets.tar");
    let tar = std::process::Command::new("tar")
        .arg("-cf")
        .arg(&archive)
        .arg("-C")
        .arg(folder.path())
        .args(["two", "two-best.csv"])
        .status();
    assert!(tar.is_ok_and(|s| s.success()), "tar packs the folder");
    for path in [folder.path(), &archive] {
        let library = Library::open(path).unwrap();
        let (known, left_out) = library.set("two").unwrap();
        assert_eq!((known.len(), known[0].best), (1, 7));
        assert!(
            left_out.len() == 1 && left_out[0].contains("b.sm"),
            "{left_out:?}"
        );
        assert!(library.set("three").is_err());
    }
    assert!(Library::open(&folder.path().join("none")).is_err());
}
