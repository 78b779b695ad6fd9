//! Files that are wrong, and files of any kind: every fault at its place, and never a panic.

use std::fs;
use std::path::{Path, PathBuf};

use mealtide::measure::dial::Scale;
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

fn mealtide(arguments: &[&str], environment: &[(&str, &Path)]) -> (Option<i32>, String, String) {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(arguments)
        .env_clear()
        .envs(environment.iter().copied())
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

#[test]
fn what_new_writes_passes_check() {
    let folder = tempfile::tempdir().unwrap();
    for kind in ["dish", "session"] {
        let file = folder.path().join(format!("my-{kind}.toml"));
        let name = file.to_str().unwrap();
        let (code, _, errors) = mealtide(&["new", kind, name], &[]);
        assert_eq!(code, Some(0), "{errors}");
        let (code, said, errors) = mealtide(&["check", name], &[]);
        assert_eq!(
            (code, said.contains("nothing to say against it")),
            (Some(0), true),
            "{said}{errors}"
        );
        let (code, _, errors) = mealtide(&["new", kind, name], &[]);
        assert_eq!(code, Some(2));
        assert!(errors.contains("is there already"), "{errors}");
    }
    // Without an ending it gets the one by which dishes are found.
    let bare = folder.path().join("soup");
    let (code, said, _) = mealtide(&["new", "dish", bare.to_str().unwrap()], &[]);
    assert!(
        code == Some(0) && said.contains("soup.toml is written"),
        "{said}"
    );
    assert!(folder.path().join("soup.toml").exists() && !bare.exists());
    let nowhere = folder.path().join("dishes/soup.toml");
    let (code, _, errors) = mealtide(&["new", "dish", nowhere.to_str().unwrap()], &[]);
    assert!(
        code == Some(2) && errors.contains("there is no folder"),
        "{errors}"
    );
}

#[test]
fn check_ends_with_2_and_says_nothing_on_stdout_for_a_broken_file() {
    let file = folder().join("many-faults.toml");
    let (code, said, errors) = mealtide(&["check", file.to_str().unwrap()], &[]);
    assert_eq!((code, said.as_str()), (Some(2), ""));
    assert!(
        errors.contains("4 errors") && errors.contains("many-faults.toml:13:1"),
        "{errors}"
    );
    let (code, said, errors) = mealtide(&["check", "no-such-file.toml"], &[]);
    assert_eq!((code, said.as_str()), (Some(2), ""));
    assert!(errors.contains("there is no such file"), "{errors}");
}

#[test]
fn a_step_that_can_never_be_on_time() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("late.toml");
    let text = "guests = 2\nserve = \"19:30\"\nstart = \"19:00\"\n[[course]]\ndishes = [\"stew\"]\n[[dish]]\nid = \"stew\"\n\
        [[dish.step]]\nid = \"braise\"\ndo = \"Braise\"\ntakes = \"40 min\"\nkeeps = \"1 h\"\n";
    fs::write(&file, text).unwrap();
    let (code, said, errors) = mealtide(&["check", "--brief", file.to_str().unwrap()], &[]);
    assert_eq!(code, Some(1), "{errors}");
    assert!(
        said.contains(
            ":9:6: warning: the step 'stew/braise' can never be on time: it ends 10 min late"
        ),
        "{said}"
    );
}

/// Rows T26 and T27: XDG Base Directory Specification 0.8, sections 2 and 3: `~/.config` by default; an empty value
/// counts as unset, and a relative one is ignored.
#[cfg(target_os = "linux")]
#[test]
fn the_kitchen_is_written_at_the_xdg_place() {
    let home = tempfile::tempdir().unwrap();
    let xdg = tempfile::tempdir().unwrap();
    let write = |value: &Path| {
        let arguments = [
            "kitchen",
            "--cooks",
            "2",
            "--oven",
            "top oven, 1, fan",
            "--ware",
            "stockpot, 1, 6 L",
            "--replace",
        ];
        mealtide(
            &arguments,
            &[("HOME", home.path()), ("XDG_CONFIG_HOME", value)],
        )
    };
    let (code, said, errors) = write(xdg.path());
    let file = xdg.path().join("mealtide/kitchen.toml");
    assert_eq!(code, Some(0), "{said}{errors}");
    let bytes = fs::read(&file).unwrap();
    let (kitchen, _) = menu::load_kitchen("kitchen.toml", &bytes).unwrap();
    assert_eq!((kitchen.cooks, kitchen.burners), (2, 4));
    assert_eq!(
        (kitchen.ovens[0].name.as_str(), kitchen.ovens[0].racks),
        ("top oven", 1)
    );
    assert_eq!(kitchen.ovens[0].dial, Some(Scale::Fan));
    assert_eq!(
        kitchen.wares[0].holds,
        Some(mealtide::measure::Ratio::from_integer(6))
    );

    let default = home.path().join(".config/mealtide/kitchen.toml");
    for unset in ["", "relative/folder"] {
        let _ = fs::remove_file(&default);
        let (code, said, errors) = write(Path::new(unset));
        assert_eq!(code, Some(0), "{said}{errors}");
        assert!(default.exists(), "{unset:?}: {said}");
    }
}

/// The schema and the reader come from the same tables: what a built-in session says, its schema knows.
#[test]
fn the_schema_knows_every_key_of_the_sessions() {
    fn known(schema: &serde_json::Value, value: &toml::Value, path: &str) {
        let schema = match schema["anyOf"].as_array() {
            Some(choices) => choices.iter().find(|c| c["type"] == "object").unwrap(),
            None => schema,
        };
        match value {
            toml::Value::Table(table) => {
                for required in schema["required"].as_array().unwrap() {
                    assert!(
                        table.contains_key(required.as_str().unwrap()),
                        "{path} lacks {required}"
                    );
                }
                for (key, value) in table {
                    let inner = &schema["properties"][key];
                    assert!(inner.is_object(), "{path}/{key} is not in the schema");
                    known(inner, value, &format!("{path}/{key}"));
                }
            }
            toml::Value::Array(list) => list
                .iter()
                .for_each(|value| known(&schema["items"], value, path)),
            _ => {}
        }
    }
    let (code, text, errors) = mealtide(&["schema", "session"], &[]);
    assert_eq!(code, Some(0), "{errors}");
    let schema: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    for session in menu::builtin::SESSIONS {
        let table: toml::Table = session.text.parse().unwrap();
        // A kitchen may be a path as well.
        let table: toml::Table = table
            .into_iter()
            .filter(|(_, v)| !v.is_str())
            .collect::<toml::Table>();
        let mut table = toml::Value::Table(table);
        if let Some(map) = table.as_table_mut() {
            map.entry("serve").or_insert("19:30".into());
        }
        known(&schema, &table, session.id);
    }
    for kind in ["dish", "kitchen", "config"] {
        let (code, text, _) = mealtide(&["schema", kind], &[]);
        assert_eq!(code, Some(0));
        let _: serde_json::Value = serde_json::from_str(&text).unwrap();
    }
}

#[test]
fn a_cue_says_until_once() {
    let text = "[[step]]\nid = 'steam'\ndo = 'Steam'\ntakes = '4 min'\nuntil = 'until tender'\n";
    let (dish, _) = menu::load_dish("beans.toml", text.as_bytes(), None).unwrap();
    assert_eq!(dish.steps[0].until.as_deref(), Some("tender"));
}
