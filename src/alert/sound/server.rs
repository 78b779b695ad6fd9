//! One call to a PulseAudio or PipeWire server: connect, play, drain, close.
//!
//! A connection that is kept is dead after a restart of the server and after the program was stopped and continued; one
//! for each call isn't. Every read and write has a timeout, so that a frozen server costs a bounded time.

use std::{
    ffi::CString,
    io::{self, BufReader, Read},
    net::Shutdown,
    os::unix::net::UnixStream,
    path::Path,
    time::Duration,
};

use pulseaudio::protocol::{self, Command, Prop, Props, ProtocolError};

use super::{Job, socket};
use crate::alert::{RATE, Surroundings, stop::Stop, tone};

/// How long a server may take to answer; whoever asked has given it up before.
const PATIENCE: Duration = Duration::from_millis(2500);

/// After the length of the sound itself: a sink without a device buffers two seconds.
const GRACE: Duration = Duration::from_secs(3);

/// Bytes of one sample.
const SAMPLE: u32 = 2;

/// The server asks for data, and wakes its device, this often.
const PERIOD_MS: u32 = 20;

/// Samples that are sent at once: in bytes within what a server keeps in one block of its pool.
const BLOCK: usize = 16 * 1024;

/// A control message longer than this is not from a sound server.
const LONGEST_MESSAGE: u32 = 1 << 20;

/// Plays a sound.
pub(super) fn play(
    job: &Job,
    surroundings: &Surroundings,
    stop: &Stop,
    started: &dyn Fn(),
) -> Result<(), String> {
    let mut failure = String::new();
    for place in socket::places(surroundings)? {
        match connect(&place, stop) {
            Ok(link) => {
                let played = Session {
                    link,
                    version: protocol::MAX_VERSION,
                }
                .play(job, socket::cookie(surroundings), started);
                // When the link was shut because the sound is no longer wanted, nothing failed.
                return if stop.stopped() { Ok(()) } else { played };
            }
            Err(error) => failure = format!("{}: {error}", place.display()),
        }
    }
    Err(failure)
}

fn connect(place: &Path, stop: &Stop) -> io::Result<BufReader<UnixStream>> {
    let link = UnixStream::connect(place)?;
    link.set_read_timeout(Some(PATIENCE))?;
    link.set_write_timeout(Some(PATIENCE))?;
    let other = link.try_clone()?;
    // The server ends a stream at once when its client is gone.
    stop.on_stop(move || {
        let _ = other.shutdown(Shutdown::Both);
    });
    Ok(BufReader::new(link))
}

struct Session {
    link: BufReader<UnixStream>,
    version: u16,
}

/// What a control message says to who plays.
enum Said {
    Started,
    Drained,
    Failed(String),
    Other,
}

const DRAIN: u32 = 3;

impl Session {
    fn play(mut self, job: &Job, cookie: Vec<u8>, started: &dyn Fn()) -> Result<(), String> {
        let channel = self.open(job, cookie).map_err(words)?;
        self.send(job, channel).map_err(words)?;
        self.link
            .get_ref()
            .set_read_timeout(Some(PATIENCE))
            .map_err(|error| error.to_string())?;
        let mut heard = false;
        loop {
            match self.listen() {
                Ok(Said::Started) if !heard => {
                    heard = true;
                    started();
                    let rest = job.length + GRACE;
                    self.link
                        .get_ref()
                        .set_read_timeout(Some(rest))
                        .map_err(|error| error.to_string())?;
                }
                Ok(Said::Drained) => return Ok(()),
                Ok(Said::Failed(why)) => return Err(why),
                Ok(Said::Started | Said::Other) => {}
                // A drain that isn't confirmed in time does not mean that nothing was heard.
                Err(ProtocolError::Io(error)) if heard && timed_out(&error) => return Ok(()),
                Err(error) => return Err(words(error)),
            }
        }
    }

    /// Introduces the program and opens a stream; returns its channel.
    fn open(&mut self, job: &Job, cookie: Vec<u8>) -> Result<u32, ProtocolError> {
        let auth = protocol::AuthParams {
            version: protocol::MAX_VERSION,
            supports_shm: false,
            supports_memfd: false,
            cookie,
        };
        self.say(0, &Command::Auth(auth))?;
        let (_, reply) =
            protocol::read_reply_message::<protocol::AuthReply>(&mut self.link, self.version)?;
        self.version = self.version.min(reply.version);

        let mut client = Props::new();
        client.set(Prop::ApplicationName, c"mealtide");
        if let Ok(pid) = CString::new(std::process::id().to_string()) {
            client.set(Prop::ApplicationProcessId, pid);
        }
        // Both at once: each answer that is waited for costs a turn of a busy machine.
        self.say(1, &Command::SetClientName(client))?;
        self.say(2, &Command::CreatePlaybackStream(stream(job)))?;
        protocol::read_reply_message::<protocol::SetClientNameReply>(&mut self.link, self.version)?;
        let (_, reply) = protocol::read_reply_message::<protocol::CreatePlaybackStreamReply>(
            &mut self.link,
            self.version,
        )?;
        Ok(reply.channel)
    }

    /// Hands over the whole sound, and asks to be told when it has been played: from here on nothing depends on how
    /// busy this program is.
    fn send(&mut self, job: &Job, channel: u32) -> Result<(), ProtocolError> {
        for block in job.samples.chunks(BLOCK) {
            let bytes = tone::pcm(block, job.gain);
            protocol::write_memblock(self.link.get_mut(), channel, &bytes, 0)?;
        }
        self.say(DRAIN, &Command::DrainPlaybackStream(channel))
    }

    fn say(&mut self, number: u32, command: &Command) -> Result<(), ProtocolError> {
        protocol::write_command_message(self.link.get_mut(), number, command, self.version)
    }

    /// The next message. What the library can't read is passed over: newer servers say more.
    fn listen(&mut self) -> Result<Said, ProtocolError> {
        let head = protocol::read_descriptor(&mut self.link)?;
        if head.length > LONGEST_MESSAGE {
            return Err(ProtocolError::Invalid(format!(
                "a message of {} bytes",
                head.length
            )));
        }
        let mut message = vec![0; head.length as usize];
        self.link.read_exact(&mut message)?;
        if head.channel != u32::MAX {
            return Ok(Said::Other);
        }
        Ok(
            match Command::read_tag_prefixed(&mut message.as_slice(), self.version) {
                Ok((_, Command::Started(_))) => Said::Started,
                Ok((DRAIN, Command::Reply)) => Said::Drained,
                Ok((_, Command::Error(error))) => {
                    Said::Failed(format!("the server refused: {error}"))
                }
                Ok((_, Command::PlaybackStreamKilled(_))) => {
                    Said::Failed("the server ended the stream".into())
                }
                _ => Said::Other,
            },
        )
    }
}

fn stream(job: &Job) -> protocol::PlaybackStreamParams {
    let length = u32::try_from(job.samples.len())
        .unwrap_or(u32::MAX)
        .saturating_mul(SAMPLE);
    let period = RATE / 1000 * PERIOD_MS * SAMPLE;
    let mut props = Props::new();
    props.set(Prop::MediaName, c"Kitchen call");
    protocol::PlaybackStreamParams {
        sample_spec: protocol::SampleSpec {
            format: protocol::SampleFormat::S16Le,
            channels: 1,
            sample_rate: RATE,
        },
        channel_map: protocol::ChannelMap::mono(),
        sink_name: Some(protocol::DEFAULT_SINK.to_owned()),
        // No volume: the one that the user has set for this program stays.
        cvolume: None,
        buffer_attr: protocol::stream::BufferAttr {
            target_length: length.max(2 * period),
            pre_buffering: period,
            minimum_request_length: period,
            ..Default::default()
        },
        // A server that wakes by what is asked for keeps to the period, not to the length of the sound.
        flags: protocol::stream::StreamFlags {
            early_requests: true,
            ..Default::default()
        },
        props,
        ..Default::default()
    }
}

fn timed_out(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::WouldBlock | io::ErrorKind::TimedOut
    )
}

fn words(error: ProtocolError) -> String {
    use io::ErrorKind::{BrokenPipe, ConnectionReset, UnexpectedEof};
    match error {
        ProtocolError::Io(error) if timed_out(&error) => "the server does not answer".into(),
        ProtocolError::Io(error)
            if matches!(error.kind(), UnexpectedEof | ConnectionReset | BrokenPipe) =>
        {
            "the server went away".into()
        }
        ProtocolError::ServerError(error) => format!("the server refused: {error}"),
        error => error.to_string(),
    }
}
