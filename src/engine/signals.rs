//! What the system tells the program, as input of the loop.

/// Something that the system says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signal {
    /// End now (SIGTERM).
    Terminate,
    /// The terminal is gone (SIGHUP).
    HangUp,
    /// The cook pressed Ctrl-C where the terminal makes a signal of it (SIGINT).
    Interrupt,
    /// Give the terminal back, then call [`stop`] (SIGTSTP).
    Suspend,
    /// Take the terminal again (SIGCONT).
    Continue,
    /// The terminal has another size (SIGWINCH).
    Resize,
}

#[cfg(unix)]
mod unix {
    use std::io;

    use tokio::signal::unix::{SignalKind, signal};

    use super::Signal;

    /// The signals of a Unix system.
    #[derive(Debug)]
    pub struct Signals {
        terminate: tokio::signal::unix::Signal,
        hang_up: tokio::signal::unix::Signal,
        interrupt: tokio::signal::unix::Signal,
        suspend: tokio::signal::unix::Signal,
        proceed: tokio::signal::unix::Signal,
        resize: tokio::signal::unix::Signal,
    }

    impl Signals {
        /// From here on the signals have no other effect than to come out of [`next`](Signals::next). Needs a running
        /// tokio runtime with I/O.
        ///
        /// # Errors
        /// When the system refuses one.
        pub fn new() -> io::Result<Self> {
            use rustix::process::Signal as Number;
            let listen = |number: Number| signal(SignalKind::from_raw(number.as_raw()));
            Ok(Signals {
                terminate: listen(Number::TERM)?,
                hang_up: listen(Number::HUP)?,
                interrupt: listen(Number::INT)?,
                suspend: listen(Number::TSTP)?,
                proceed: listen(Number::CONT)?,
                resize: listen(Number::WINCH)?,
            })
        }

        /// The next one. May be dropped; several of one kind that come together are one.
        pub async fn next(&mut self) -> Signal {
            tokio::select! {
                biased;
                Some(()) = self.terminate.recv() => Signal::Terminate,
                Some(()) = self.hang_up.recv() => Signal::HangUp,
                Some(()) = self.interrupt.recv() => Signal::Interrupt,
                Some(()) = self.suspend.recv() => Signal::Suspend,
                Some(()) = self.proceed.recv() => Signal::Continue,
                Some(()) = self.resize.recv() => Signal::Resize,
                else => std::future::pending().await,
            }
        }
    }

    /// Asks the whole job to be suspended, as Ctrl-Z does where the terminal makes a signal of it; it comes back as
    /// [`Signal::Suspend`]. The job and not this process alone: whoever started it waits for all of it.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn suspend_job() -> io::Result<()> {
        use rustix::process::{Signal, kill_current_process_group};
        Ok(kill_current_process_group(Signal::TSTP)?)
    }

    /// Stops this process; returns when it is told to go on.
    ///
    /// # Errors
    /// When the system refuses.
    pub fn stop() -> io::Result<()> {
        use rustix::process::{Signal, getpid, kill_process};
        Ok(kill_process(getpid(), Signal::STOP)?)
    }
}

#[cfg(not(unix))]
mod other {
    use std::io;

    use super::Signal;

    /// Ctrl-C; the rest comes from the terminal.
    #[derive(Debug)]
    pub struct Signals(());

    impl Signals {
        /// Nothing to prepare.
        ///
        /// # Errors
        /// None.
        pub fn new() -> io::Result<Self> {
            Ok(Signals(()))
        }

        /// The next one.
        pub async fn next(&mut self) -> Signal {
            match tokio::signal::ctrl_c().await {
                Ok(()) => Signal::Interrupt,
                Err(_) => std::future::pending().await,
            }
        }
    }

    /// There are no jobs.
    ///
    /// # Errors
    /// Always.
    pub fn suspend_job() -> io::Result<()> {
        Err(io::ErrorKind::Unsupported.into())
    }

    /// There are no jobs.
    ///
    /// # Errors
    /// Always.
    pub fn stop() -> io::Result<()> {
        Err(io::ErrorKind::Unsupported.into())
    }
}

#[cfg(not(unix))]
pub use other::{Signals, stop, suspend_job};
#[cfg(unix)]
pub use unix::{Signals, stop, suspend_job};

#[cfg(all(test, unix))]
mod tests {
    use rustix::process::{Signal as Number, getpid, kill_process};

    use super::*;

    #[tokio::test]
    async fn signals_come_as_input() {
        let mut signals = Signals::new().unwrap();
        for (number, expected) in [
            (Number::WINCH, Signal::Resize),
            (Number::HUP, Signal::HangUp),
            (Number::TSTP, Signal::Suspend),
            (Number::CONT, Signal::Continue),
            (Number::TERM, Signal::Terminate),
            (Number::INT, Signal::Interrupt),
        ] {
            kill_process(getpid(), number).unwrap();
            assert_eq!(signals.next().await, expected);
        }
    }
}
