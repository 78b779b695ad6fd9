//! A private sound server with a sink that leads nowhere, and a recorder on it.

use std::{
    io::Read,
    os::unix::net::UnixStream,
    path::PathBuf,
    process::{Child, Command, Stdio},
    sync::{Arc, Mutex},
    thread::JoinHandle,
    time::Instant,
};

use mealtide::alert::Surroundings;
use rustix::process::{Pid, Signal, kill_process};
use tempfile::TempDir;

use super::until;

pub const RATE: usize = 48_000;

/// A sample louder than this is heard: 2 % of full scale.
pub const LOUD: i16 = 655;

/// Ended when dropped, also while it is frozen.
pub struct Server {
    folder: TempDir,
    child: Option<Child>,
}

impl Server {
    /// A place for a server, without one.
    pub fn absent() -> Self {
        let folder = tempfile::Builder::new().prefix("ear").tempdir().unwrap();
        Self {
            folder,
            child: None,
        }
    }

    pub fn running() -> Self {
        let mut server = Self::absent();
        server.start();
        server
    }

    pub fn start(&mut self) {
        let socket = self.socket();
        let _ = std::fs::remove_file(&socket);
        let native = format!(
            "module-native-protocol-unix auth-anonymous=1 socket={}",
            socket.display()
        );
        let sink = "module-null-sink sink_name=vsink rate=48000 format=s16le channels=2";
        let mut command = self.command("pulseaudio");
        command.args([
            "-n",
            "--daemonize=no",
            "--exit-idle-time=-1",
            "--use-pid-file=no",
            "-L",
            sink,
            "-L",
            &native,
        ]);
        self.child = Some(command.spawn().unwrap());
        until("a sound server", || UnixStream::connect(&socket).is_ok());
    }

    pub fn kill(&mut self) {
        if let Some(mut child) = self.child.take() {
            child.kill().unwrap();
            child.wait().unwrap();
        }
    }

    pub fn signal(&self, signal: Signal) {
        if let Some(child) = &self.child {
            kill_process(Pid::from_child(child), signal).unwrap();
        }
    }

    fn socket(&self) -> PathBuf {
        self.folder.path().join("native")
    }

    /// The environment in which this server is the only one, and no player is installed.
    pub fn surroundings(&self) -> Surroundings {
        Surroundings::default()
            .with("HOME", self.folder.path())
            .with("XDG_RUNTIME_DIR", self.folder.path())
            .with("PULSE_RUNTIME_PATH", self.folder.path())
            .with("PULSE_SERVER", format!("unix:{}", self.socket().display()))
    }

    fn command(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command
            .env("HOME", self.folder.path())
            .env("XDG_RUNTIME_DIR", self.folder.path())
            .env("PULSE_RUNTIME_PATH", self.folder.path())
            .env("PULSE_SERVER", format!("unix:{}", self.socket().display()))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        command
    }

    /// Begins to record, and returns once it does.
    pub fn record(&self) -> Recorder {
        let mut command = self.command("parec");
        command
            .args([
                "--device=vsink.monitor",
                "--format=s16le",
                "--rate=48000",
                "--channels=1",
            ])
            .args(["--latency-msec=10", "--raw"])
            .stdout(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let mut pipe = child.stdout.take().unwrap();
        let heard = Arc::new(Mutex::new(Heard::default()));
        let writer = Arc::clone(&heard);
        let reader = std::thread::spawn(move || {
            let mut buffer = [0u8; 4096];
            let mut odd = Vec::new();
            while let Ok(count @ 1..) = pipe.read(&mut buffer) {
                let now = Instant::now();
                odd.extend_from_slice(&buffer[..count]);
                let whole = odd.len() / 2 * 2;
                let samples: Vec<i16> = odd
                    .drain(..whole)
                    .as_slice()
                    .chunks_exact(2)
                    .map(|pair| i16::from_le_bytes([pair[0], pair[1]]))
                    .collect();
                let mut heard = writer.lock().unwrap();
                if heard.loud.is_none()
                    && samples
                        .iter()
                        .any(|sample| sample.unsigned_abs() > LOUD as u16)
                {
                    heard.loud = Some(now);
                }
                heard.samples.extend(samples);
            }
        });
        let recorder = Recorder {
            child,
            heard,
            reader: Some(reader),
        };
        until("the recording", || recorder.length() > 0);
        recorder
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.signal(Signal::CONT);
        self.kill();
    }
}

#[derive(Default)]
struct Heard {
    samples: Vec<i16>,
    /// When the first loud sample was read, since it was last asked for.
    loud: Option<Instant>,
}

/// What is heard on the server.
pub struct Recorder {
    child: Child,
    heard: Arc<Mutex<Heard>>,
    reader: Option<JoinHandle<()>>,
}

impl Recorder {
    fn length(&self) -> usize {
        self.heard.lock().unwrap().samples.len()
    }

    /// When the first loud sample was read.
    pub fn loud(&self) -> Option<Instant> {
        self.heard.lock().unwrap().loud
    }

    /// All that was heard up to now.
    pub fn so_far(&self) -> Vec<i16> {
        self.heard.lock().unwrap().samples.clone()
    }

    /// Forgets what was heard.
    pub fn forget(&self) {
        let mut heard = self.heard.lock().unwrap();
        heard.samples.clear();
        heard.loud = None;
    }

    /// Records on for so many ms of sound, then returns all that was heard.
    pub fn after(&self, ms: usize) -> Vec<i16> {
        let enough = self.length() + ms * RATE / 1000;
        until("the rest of the recording", || self.length() >= enough);
        self.heard.lock().unwrap().samples.clone()
    }

    /// Waits until nothing loud was heard for so many ms of sound.
    pub fn silence(&self, ms: usize) {
        until("silence", || self.is_silent(ms));
    }

    /// Whether nothing loud was heard for so many ms of sound.
    pub fn is_silent(&self, ms: usize) -> bool {
        let span = ms * RATE / 1000;
        let samples = &self.heard.lock().unwrap().samples;
        samples.len() >= span
            && samples[samples.len() - span..]
                .iter()
                .all(|sample| sample.unsigned_abs() <= LOUD as u16)
    }
}

impl Drop for Recorder {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        if let Some(reader) = self.reader.take() {
            let _ = reader.join();
        }
    }
}
