//! Notifications on a private bus, with a small server that records what comes.

use std::{
    collections::HashMap,
    io::{BufRead, BufReader},
    os::unix::net::UnixListener,
    process::{Child, Command, Output, Stdio},
    sync::{Arc, Mutex},
};

use futures_util::StreamExt;
use tempfile::TempDir;
use zbus::OwnedVariant;

use super::installed;

/// A bus of this test's own; ended when dropped.
struct Bus {
    folder: TempDir,
    child: Child,
    address: String,
}

impl Bus {
    fn start() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let mut child = Command::new("dbus-daemon")
            .args(["--session", "--nofork", "--print-address=1"])
            .arg(format!("--address=unix:dir={}", folder.path().display()))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut address = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut address)
            .unwrap();
        Self {
            folder,
            child,
            address: address.trim().to_owned(),
        }
    }
}

impl Drop for Bus {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The arguments of `Notify`, Desktop Notifications Specification.
type Notify = (
    String,
    u32,
    String,
    String,
    String,
    Vec<String>,
    HashMap<String, OwnedVariant>,
    i32,
);

#[derive(Clone, Debug, PartialEq)]
enum Seen {
    Shown {
        replaces: u32,
        title: String,
        body: String,
        urgency: u8,
        timeout: i32,
    },
    Closed(u32),
}

/// Owns the name of the notification service, and gives every new notification the next number.
fn serve(address: &str) -> Arc<Mutex<Vec<Seen>>> {
    let seen = Arc::new(Mutex::new(Vec::new()));
    let (record, address) = (Arc::clone(&seen), address.to_owned());
    let (ready, wait) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(async move {
            let builder = zbus::connection::Builder::address(address.as_str());
            let connection = builder.build().await.unwrap();
            let mut messages = zbus::MessageStream::from(&connection);
            connection
                .request_name("org.freedesktop.Notifications")
                .await
                .unwrap();
            ready.send(()).unwrap();
            let mut last = 0;
            // It ends with its bus.
            while let Some(Ok(message)) = messages.next().await {
                let header = message.header();
                if header.message_type() != zbus::message::Type::MethodCall {
                    continue;
                }
                match header
                    .member()
                    .map(|member| member.as_str().to_owned())
                    .as_deref()
                {
                    Some("Notify") => {
                        let (_, replaces, _, title, body, _, hints, timeout): Notify =
                            message.body().deserialize().unwrap();
                        let urgency = hints
                            .get("urgency")
                            .and_then(|value| u8::try_from(value).ok())
                            .unwrap_or(99);
                        record.lock().unwrap().push(Seen::Shown {
                            replaces,
                            title,
                            body,
                            urgency,
                            timeout,
                        });
                        if replaces == 0 {
                            last += 1;
                        }
                        let id = if replaces == 0 { last } else { replaces };
                        connection.reply(&header, &id).await.unwrap();
                    }
                    Some("CloseNotification") => {
                        record
                            .lock()
                            .unwrap()
                            .push(Seen::Closed(message.body().deserialize().unwrap()));
                        connection.reply(&header, &()).await.unwrap();
                    }
                    _ => {}
                }
            }
        });
    });
    wait.recv().unwrap();
    seen
}

/// Runs the program with a bus.
fn sound(bus: &str, folder: &TempDir, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mealtide"))
        .args(["sound", "--way", "notification"])
        .args(arguments)
        .env("DBUS_SESSION_BUS_ADDRESS", bus)
        .env("XDG_CONFIG_HOME", folder.path())
        .env("HOME", folder.path())
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

/// Urgency 0, 1, 2 and the meaning of `replaces_id`: Desktop Notifications Specification.
#[test]
fn one_notification_is_replaced_and_closed_when_it_is_answered() {
    if !installed(&["dbus-daemon"]) {
        return;
    }
    let bus = Bus::start();
    let seen = serve(&bus.address);
    let said = sound(&bus.address, &bus.folder, &[]);
    assert!(said.status.success(), "{said:?}");
    let seen = seen.lock().unwrap().clone();
    let shown: Vec<(u32, u8, i32)> = seen
        .iter()
        .filter_map(|seen| match seen {
            Seen::Shown {
                replaces,
                urgency,
                timeout,
                ..
            } => Some((*replaces, *urgency, *timeout)),
            Seen::Closed(_) => None,
        })
        .collect();
    // Low may expire as the desktop likes (-1), the others may not (0).
    assert_eq!(shown, [(0, 0, -1), (1, 1, 0), (1, 2, 0)]);
    assert_eq!(seen.last(), Some(&Seen::Closed(1)));
    let Some(Seen::Shown { title, body, .. }) = seen.first() else {
        panic!("{seen:?}");
    };
    assert_eq!(
        (title.as_str(), body.as_str()),
        (
            "A call of low priority",
            "Soon, something will have to be done"
        )
    );
}

#[test]
fn a_bus_without_a_service_and_no_bus_at_all_are_said_at_once() {
    if !installed(&["dbus-daemon"]) {
        return;
    }
    let bus = Bus::start();
    for address in [bus.address.as_str(), "unix:path=/nonexistent/bus"] {
        let said = sound(address, &bus.folder, &["--priority", "high"]);
        assert_eq!(said.status.code(), Some(1), "{said:?}");
        assert!(
            String::from_utf8_lossy(&said.stdout).contains("not by desktop notification"),
            "{said:?}"
        );
        assert!(said.stderr.is_empty(), "{said:?}");
    }
}

#[test]
fn a_bus_that_never_answers_holds_nothing_up() {
    let folder = tempfile::tempdir().unwrap();
    let socket = folder.path().join("bus");
    let _listener = UnixListener::bind(&socket).unwrap();
    let said = sound(
        &format!("unix:path={}", socket.display()),
        &folder,
        &["--priority", "low", "--repeat", "2"],
    );
    assert_eq!(said.status.code(), Some(1), "{said:?}");
    assert!(
        String::from_utf8_lossy(&said.stdout).contains("does not answer"),
        "{said:?}"
    );
}
