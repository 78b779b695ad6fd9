//! Files that are wrong, and files of any kind: every fault at its place, and never a panic.

use std::fs;
use std::path::{Path, PathBuf};

use mealtide::menu::{self, Diagnostics, Lookup, Severity};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/suite/broken")
}

fn faults(path: &Path) -> Diagnostics {
    match menu::load(path, &Lookup::default()) {
        Ok(loaded) => panic!("{} loads: {:?}", path.display(), loaded.session),
        Err(found) => found,
    }
}

/// Each line of a `.expected` file is "LINE:COLUMN: part of the message|part of the help"; one "LINE:" alone leaves
/// the rest open. The number of errors must agree: nothing is told that is a consequence.
#[test]
fn every_fault_is_told_at_its_place() {
    let mut files: Vec<PathBuf> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.retain(|path| path.extension().is_some_and(|e| e == "toml"));
    files.sort();
    assert!(files.len() >= 40, "{} files", files.len());
    let mut wrong = Vec::new();
    for path in &files {
        let found = faults(path);
        let expected = fs::read_to_string(path.with_extension("expected")).unwrap();
        let errors: Vec<_> = found
            .list
            .iter()
            .filter(|d| d.severity == Severity::Error)
            .collect();
        let mut good = errors.len() == expected.lines().count();
        for line in expected.lines() {
            let (place, words) = line.split_once(": ").unwrap_or((line, ""));
            let (message, help) = words.split_once('|').unwrap_or((words, ""));
            good &= errors.iter().any(|d| {
                let (_, l, c) = found.position(d.at);
                let at = format!("{l}:{c}");
                (at == place || place == format!("{l}:"))
                    && d.message.contains(message)
                    && (d.message.contains(help) || d.help.iter().any(|h| h.contains(help)))
            });
        }
        let rendered = found.to_string();
        good &= rendered.contains("error: ") && !rendered.contains('\u{1b}');
        if !good {
            wrong.push(format!(
                "{}\nexpected:\n{expected}found:\n{}{rendered}",
                path.display(),
                found.brief()
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}\n{}",
        wrong.len(),
        files.len(),
        wrong.join("\n")
    );
}

/// Whatever the bytes, the readers come back; and what they say holds no control character but line ends.
fn survives(bytes: &[u8]) {
    menu::read_anything(bytes);
    let nothing = menu::files::BuiltIn(&[]);
    if let Err(found) = menu::load_bytes("x.toml", bytes, &nothing, &Lookup::default()) {
        let text = found.to_string() + &found.brief();
        assert!(
            !text.chars().any(|c| c.is_control() && c != '\n'),
            "{text:?}"
        );
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(200))]

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(proptest::num::u8::ANY, 0..300)) {
        survives(&bytes);
    }

    #[test]
    fn any_text(text in "(\\PC|[\\x00-\\x1f\u{80}-\u{9f}\u{202e}]|\n|=|\"|\\[|\\]){0,200}") {
        survives(text.as_bytes());
    }

    /// A real session with some bytes changed, cut out, or doubled.
    #[test]
    fn a_session_with_holes(
        at in proptest::collection::vec((0_usize..20_000, 0_usize..40, "[ -~\u{e9}\u{1b}\n]{0,6}"), 1..6),
    ) {
        let mut bytes = menu::builtin::SESSIONS[0].text.as_bytes().to_vec();
        for (start, length, new) in at {
            let start = start % bytes.len();
            let end = (start + length).min(bytes.len());
            bytes.splice(start..end, new.into_bytes());
        }
        survives(&bytes);
    }
}

/// A file as large as is read at all: many faults are bounded, many good lines too. That it ends is the test: each of
/// these takes minutes or more where reading is quadratic.
#[test]
fn large_files_end() {
    let fill = |line: &str| line.repeat(4 * 1024 * 1024 / line.len()).into_bytes();
    for line in [
        "x = 1\n",
        "= =\n",
        "[[dish]]\n",
        "[[course]]\ndishes = [\"a\"]\n",
        "#\n",
        "[",
        "a.",
        "\u{1b}",
    ] {
        let found = menu::load_bytes(
            "x.toml",
            &fill(line),
            &menu::files::BuiltIn(&[]),
            &Lookup::default(),
        );
        let found = found.expect_err(line);
        assert!(
            found.list.len() <= 100 && found.to_string().len() < 200_000,
            "{line:?}"
        );
    }
    let steps = "[[step]]\nid = \"a\"\ndo = \"b\"\ntakes = \"1 min\"\n";
    let found = menu::load_dish("x.toml", &fill(steps), None).unwrap_err();
    assert!(found.to_string().contains("second step"), "{found}");
}

#[test]
fn bounds_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("large.toml");
    fs::write(&path, vec![b'#'; 4 * 1024 * 1024 + 1]).unwrap();
    assert!(faults(&path).to_string().contains("larger than 4 MiB"));

    let mut text = String::from("serves = 4\n");
    for step in 0..=5000 {
        text += &format!("[[step]]\nid = \"s{step}\"\ndo = \"x\"\ntakes = \"1 min\"\n");
    }
    let found = menu::load_dish("x.toml", text.as_bytes(), None).unwrap_err();
    assert!(
        found.to_string().contains("more than 5000 steps"),
        "{found}"
    );
}

/// Nothing outside of the session's folder is read: by path, or through a link.
#[cfg(unix)]
#[test]
fn a_link_out_of_the_folder_is_refused() {
    let outside = tempfile::tempdir().unwrap();
    fs::write(outside.path().join("home.toml"), "cooks = 2\n").unwrap();
    let folder = tempfile::tempdir().unwrap();
    std::os::unix::fs::symlink(
        outside.path().join("home.toml"),
        folder.path().join("home.toml"),
    )
    .unwrap();
    let path = folder.path().join("meal.toml");
    fs::write(
        &path,
        "guests = 2\nserve = \"19:30\"\nkitchen = \"home.toml\"\n",
    )
    .unwrap();
    assert!(
        faults(&path)
            .to_string()
            .contains("a link leads out of the folder")
    );
}

/// Dishes come from the file, then from beside it, then from the user's own folder; the kitchen from the user's own.
#[test]
fn the_order_of_looking_up() {
    let folder = tempfile::tempdir().unwrap();
    let user = tempfile::tempdir().unwrap();
    let dish = |title: &str| {
        format!("title = \"{title}\"\n[[step]]\nid = \"a\"\ndo = \"b\"\ntakes = \"1 min\"\n")
    };
    for (base, names) in [
        (folder.path(), ["one", "two"]),
        (user.path(), ["two", "three"]),
    ] {
        fs::create_dir(base.join("dishes")).unwrap();
        for name in names {
            let whose = if base == user.path() {
                "the user's"
            } else {
                "beside"
            };
            fs::write(base.join(format!("dishes/{name}.toml")), dish(whose)).unwrap();
        }
    }
    fs::write(user.path().join("kitchen.toml"), "cooks = 3\n").unwrap();
    let text = "guests = 2\nserve = \"19:30\"\n[[course]]\ndishes = [\"one\", \"two\", \"three\"]\n\
        [[dish]]\nid = \"one\"\ntitle = \"in the file\"\n[[dish.step]]\nid = \"a\"\ndo = \"b\"\ntakes = \"1 min\"\n";
    let path = folder.path().join("meal.toml");
    fs::write(&path, text).unwrap();
    let lookup = Lookup {
        config: Some(user.path().into()),
        data: Some(user.path().into()),
    };
    let session = menu::load(&path, &lookup)
        .unwrap_or_else(|found| panic!("{found}"))
        .session;
    let titles: Vec<&str> = session
        .dishes
        .iter()
        .map(|dish| dish.title.as_str())
        .collect();
    assert_eq!(titles, ["in the file", "beside", "the user's"]);
    assert_eq!(session.kitchen.cooks, 3);
}

#[test]
fn doubts_are_warnings() {
    let text = "guests = 8\nserve = \"19:30\"\n[[course]]\ndishes = [\"soup\", \"tart\"]\n\
        [[dish]]\nid = \"soup\"\nserves = 4\nmakes = \"2 L\"\n\
        [[dish.ingredient]]\nitem = \"leek\"\n\
        [[dish.step]]\nid = \"simmer\"\ndo = \"Simmer\"\ntakes = \"20 min\"\nneeds = [\"stockpot\", \"burner\"]\n\
        [[dish]]\nid = \"tart\"\n\
        [[dish.step]]\nid = \"sear\"\ndo = \"Bake hot\"\ntakes = \"20 min\"\nneeds = [\"stokpot\"]\noven = { at = \"230 C\" }\n\
        [[dish.step]]\nid = \"bake\"\ndo = \"Bake\"\ntakes = \"20 min\"\nkeeps = \"5 min\"\noven = { at = \"170 C\" }\n\
        [kitchen]\n[[kitchen.ware]]\nname = \"stockpot\"\nholds = \"3 L\"\n";
    let loaded = menu::load_text("x.toml", text).unwrap_or_else(|found| panic!("{found}"));
    let brief = loaded.warnings.brief();
    for part in [
        "x.toml:10:8: warning: the ingredient 'leek' of 'soup' is never used",
        "x.toml:12:6: warning: the last step 'soup/simmer' is hot",
        "x.toml:15:10: warning: 'stockpot' is too small: 'soup' makes 4 L for 8, and it holds 3 L",
        "x.toml:22:10: warning: the cookware 'stokpot' looks like 'stockpot'",
        "x.toml:29:8: warning: 'bake' follows 'sear' in the oven at another temperature",
    ] {
        assert!(brief.contains(part), "{part}\n{brief}");
    }
    assert_eq!(loaded.warnings.list.len(), 5, "{brief}");
    assert!(!loaded.warnings.has_errors());
}
